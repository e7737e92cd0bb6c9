//! Stacks under a plate and plugs that must come out.

#![allow(clippy::unwrap_used)]

use fit::{
    Block, BodyPoint, BodyVector, Drift, DriftField, Footprint, OwnerIndex, Pose, Role, Scene, Shape, Solid,
    SolidIndex, StackLayer, highest_under, meets_after, stack_height, straight_sweep_free,
};
use quantity::{Degrees, FactIndex, Linear, Millimetres};

fn mm(x: f64) -> Millimetres {
    Millimetres::new(x)
}
fn exact(value: f64) -> Linear {
    Linear { value, slopes: vec![] }
}
fn follows(value: f64, fact: u32) -> Linear {
    Linear { value, slopes: vec![(FactIndex(fact), 1.0)] }
}
fn block(name: &str, x: [f64; 2], y: [f64; 2], height: Linear) -> Block {
    Block { name: name.into(), footprint: Footprint { x, y }, height }
}
fn layer(name: &str, above: Vec<Block>, below: Vec<Block>, air: f64) -> StackLayer {
    StackLayer { name: name.into(), thickness: exact(1.6), above, below, air_below: mm(air) }
}

#[test]
fn plugs_side_by_side_cost_the_taller_and_over_each_other_their_sum() {
    let left = block("plug", [-15.0, -5.0], [-5.0, 5.0], follows(4.0, 0));
    let right = block("parts", [5.0, 15.0], [-5.0, 5.0], follows(2.5, 1));
    let over = block("solder", [-8.0, 0.0], [0.0, 8.0], follows(1.5, 2));
    let aside = stack_height(
        &[layer("low", vec![left.clone()], vec![], 3.0), layer("high", vec![], vec![right], 1.0)],
        mm(2.0),
    );
    // 3 + 1.6 + (4 + 1) + 1.6 + 2.
    assert!((aside.height.value - 13.2).abs() < 1e-12);
    assert_eq!((aside.gaps[1].lower, aside.gaps[1].upper), (Some(0), None));
    let stacked = stack_height(
        &[layer("low", vec![left], vec![], 3.0), layer("high", vec![], vec![over], 1.0)],
        mm(2.0),
    );
    assert!((stacked.height.value - 14.7).abs() < 1e-12);
    assert_eq!(stacked.height.slopes, vec![(FactIndex(0), 1.0), (FactIndex(2), 1.0)]);
    assert_eq!(stacked.gaps.len(), 3);
}

#[test]
fn an_empty_stack_needs_only_its_air() {
    assert_eq!(stack_height(&[], mm(2.0)).height.value, 2.0);
}

fn solid(name: &str, owner: u32, size: [f64; 3], at: [f64; 3]) -> Solid {
    Solid {
        name: name.into(),
        owner: OwnerIndex(owner),
        role: Role::Other,
        shape: Shape::cuboid(mm(size[0]), mm(size[1]), mm(size[2])).unwrap(),
        pose: Pose::at(BodyPoint::new(at[0], at[1], at[2])),
        drifts: vec![],
    }
}

#[test]
fn the_highest_thing_over_a_footprint_is_found_with_its_slopes() {
    let mut board = solid("board", 0, [20.0, 20.0, 2.0], [0.0, 0.0, 10.0]);
    let stretch =
        DriftField::Stretch { from: BodyPoint::new(0.0, 0.0, 9.0), axis: BodyVector::Z, per_unit: 0.5 };
    board.drifts.push(Drift { fact: FactIndex(3), field: stretch });
    let mast = solid("mast", 1, [2.0, 2.0, 80.0], [60.0, 0.0, 40.0]);
    let scene = Scene::new(vec![board, mast]).unwrap();
    let under = Footprint { x: [-30.0, 30.0], y: [-20.0, 20.0] };
    let (index, top) = highest_under(&scene, scene.indices(), under).unwrap();
    assert_eq!(index, SolidIndex(0));
    assert!((top.value - 11.0).abs() < 1e-12);
    // The thickness grows from the lower face: its top rises one to one.
    assert_eq!(top.slopes, vec![(FactIndex(3), 1.0)]);
}

#[test]
fn a_plug_is_stopped_by_the_standoff_behind_it() {
    let plug = solid("plug", 0, [4.0, 6.0, 3.0], [0.0, 0.0, 0.0]);
    let standoff = Solid {
        shape: Shape::cylinder(mm(2.5), mm(25.0)).unwrap(),
        ..solid("standoff", 1, [1.0; 3], [12.0, 0.0, 5.0])
    };
    let scene = Scene::new(vec![plug, standoff]).unwrap();
    // From the plug's face at 2 to the standoff's side at 9.5.
    let pull = straight_sweep_free(&scene, SolidIndex(0), BodyVector::X, mm(15.0), &[]).unwrap();
    assert!((pull.free.get() - 7.5).abs() < 1e-5, "{}", pull.free);
    let stop = pull.stopped_by.unwrap();
    assert_eq!(stop.solid, SolidIndex(1));
    assert!((stop.at.x() - 9.5).abs() < 1e-3);
    // Up it goes, and with the standoff taken out too.
    let up = straight_sweep_free(&scene, SolidIndex(0), BodyVector::Z, mm(15.0), &[]).unwrap();
    assert_eq!((up.free, up.stopped_by), (mm(15.0), None));
    let without =
        straight_sweep_free(&scene, SolidIndex(0), BodyVector::X, mm(15.0), &[SolidIndex(1)]).unwrap();
    assert_eq!(without.stopped_by, None);
}

#[test]
fn a_plug_slides_along_the_board_it_lies_on_and_not_into_it() {
    let plug = solid("plug", 0, [4.0, 6.0, 3.0], [0.0, 0.0, 1.5]);
    let board = solid("board", 1, [40.0, 40.0, 2.0], [0.0, 0.0, -1.0]);
    let scene = Scene::new(vec![plug, board]).unwrap();
    let pull = |way| straight_sweep_free(&scene, SolidIndex(0), way, mm(10.0), &[]).unwrap().free.get();
    assert_eq!(pull(BodyVector::X), 10.0);
    assert_eq!(pull(BodyVector::Z), 10.0);
    assert_eq!(pull(-BodyVector::Z), 0.0);
    assert_eq!(pull(BodyVector::new(1.0, 0.0, -1.0)), 0.0);
}

#[test]
fn a_head_meets_the_board_over_it_and_not_what_it_stands_in() {
    let head = solid("head", 0, [4.0, 4.0, 1.0], [0.0, 0.0, 0.5]);
    let over = solid("board", 1, [40.0, 40.0, 2.0], [0.0, 0.0, 6.0]);
    let beside = solid("standoff", 1, [5.0, 5.0, 30.0], [5.0, 0.0, 0.0]);
    let around = solid("plate", 1, [40.0, 40.0, 2.0], [0.0, 0.0, 0.0]);
    let meets = |other: &Solid, way| meets_after(&head, other, way, mm(100.0)).map(Millimetres::get);
    // From the head's face at 1 to the board's underside at 5.
    let free = meets(&over, BodyVector::Z).unwrap();
    assert!((free - 4.0).abs() < 1e-6, "{free}");
    assert_eq!(meets(&over, -BodyVector::Z), None);
    assert_eq!(meets(&beside, BodyVector::Z), None);
    assert!(meets(&beside, BodyVector::X).is_some_and(|free| (free - 0.5).abs() < 1e-6));
    assert_eq!(meets(&around, BodyVector::Z), None);
    assert_eq!(meets(&over, BodyVector::ZERO), None);
}

#[test]
fn the_socket_a_plug_sits_in_does_not_hold_it() {
    let plug = solid("plug", 0, [4.0, 6.0, 3.0], [0.0, 0.0, 0.0]);
    let own = solid("board with socket", 0, [20.0, 20.0, 4.0], [-8.0, 0.0, 0.0]);
    let foreign = solid("frame", 1, [20.0, 20.0, 4.0], [-8.0, 0.0, 0.0]);
    let free = |other| {
        let scene = Scene::new(vec![plug.clone(), other]).unwrap();
        straight_sweep_free(&scene, SolidIndex(0), BodyVector::X, mm(10.0), &[]).unwrap().free.get()
    };
    assert_eq!(free(own), 10.0);
    assert_eq!(free(foreign), 0.0);
}

#[test]
fn a_pull_past_a_turned_plate_stops_at_its_edge() {
    let plug = solid("plug", 0, [2.0, 2.0, 2.0], [0.0, 0.0, 0.0]);
    let mut plate = solid("plate", 1, [20.0, 20.0, 2.0], [0.0, 0.0, 30.0]);
    plate.pose = Pose::turned(
        BodyPoint::new(0.0, 0.0, 30.0),
        Degrees::new(0.0),
        Degrees::new(45.0),
        Degrees::new(0.0),
    );
    let scene = Scene::new(vec![plug, plate]).unwrap();
    // The lower face of the plate, 1 mm from its middle, slopes at 45°: z = 30 − √2 + x. The plug's upper
    // edge at x = −1 meets it first.
    let pull = straight_sweep_free(&scene, SolidIndex(0), BodyVector::Z, mm(60.0), &[]).unwrap();
    assert!((pull.free.get() - (30.0 - 2f64.sqrt() - 1.0 - 1.0)).abs() < 1e-5, "{}", pull.free);
}
