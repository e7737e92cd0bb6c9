//! The solids of each kind of part against boxes worked by hand, and what may touch or needs more or less air.
#![allow(clippy::unwrap_used)]

use crate::Proof;
use crate::testing::{part, place, row, set};
use craft::schema::PartKind;
use craft::{Craft, CraftId};
use fit::{Role, SolidIndex};

/// One part of a kind, standing on the craft's origin.
fn one(kind: PartKind, facts: &[(&str, &str)]) -> Craft {
    let mut craft = Craft::new(CraftId::from_name("one"), "one");
    part(&mut craft, kind, "it", "it", facts);
    place(&mut craft, "it", "it", "body", &[]);
    craft
}

/// Each solid with its role and its box, in mm.
fn boxes(craft: &Craft) -> String {
    let proof = Proof::new(craft);
    let inputs = proof.inputs();
    assert!(inputs.unbuilt.is_empty(), "{:?}", inputs.unbuilt);
    let line = |(number, solid): (usize, &crate::CraftSolid)| {
        let extent = inputs.scene.extent(SolidIndex(number as u32)).unwrap();
        let (low, high) = (extent.low.coordinates(), extent.high.coordinates());
        let side = |axis: usize| {
            let rounded = |v: f64| crate::numbers::rounded(v, 3);
            format!("{} to {}", rounded(low[axis]), rounded(high[axis]))
        };
        format!(
            "{} [{}]: {}, {}, {}\n",
            solid.solid.name,
            solid.solid.role.words(),
            side(0),
            side(1),
            side(2)
        )
    };
    inputs.solids.iter().enumerate().map(line).collect()
}

fn check(craft: &Craft, expected: &str) {
    let expected: String = expected
        .lines()
        .map(str::trim)
        .filter(|line| !line.is_empty())
        .map(|line| format!("{line}\n"))
        .collect();
    assert_eq!(boxes(craft), expected);
}

#[test]
fn blocks_stand_on_their_origin() {
    let size = [("length", "60 mm"), ("width", "30 mm"), ("height", "24 mm")];
    check(&one(PartKind::Pack, &size), "it [pack]: -30 to 30, -15 to 15, 0 to 24");
    check(&one(PartKind::ControlReceiver, &size), "it [control receiver]: -30 to 30, -15 to 15, 0 to 24");
    check(&one(PartKind::Gnss, &size), "it [satellite receiver]: -30 to 30, -15 to 15, 0 to 24");
    check(&one(PartKind::PrintedPart, &size), "it [printed part]: -30 to 30, -15 to 15, 0 to 24");
}

#[test]
fn a_camera_lies_about_its_screws_and_its_lens_ahead_of_its_face() {
    let mut craft = one(
        PartKind::Camera,
        &[("body_depth", "16 mm"), ("body_width", "14 mm"), ("body_height", "15 mm"), ("face_ahead", "6 mm")],
    );
    part(&mut craft, PartKind::Lens, "lens", "lens", &[("proud", "9 mm"), ("head_diameter", "10 mm")]);
    place(&mut craft, "lens", "lens", "it/lens mount", &[]);
    check(
        &craft,
        "it [camera body]: -10 to 6, -7 to 7, -7.5 to 7.5
         room for the plug of it [room behind a camera]: -13 to -10, -7 to 7, -7.5 to 7.5
         lens [lens]: 6 to 15, -5 to 5, -5 to 5",
    );
}

#[test]
fn a_harness_bends_past_the_plug_it_leaves_by() {
    let camera = |pull: &str| {
        let size = [
            ("body_depth", "16 mm"),
            ("body_width", "14 mm"),
            ("body_height", "15 mm"),
            ("face_ahead", "6 mm"),
        ];
        let mut craft = one(PartKind::Camera, &size);
        let plug = [
            ("use", "camera"),
            ("pull", pull),
            ("x", "-11.5 mm"),
            ("z", "4 mm"),
            ("length", "3 mm"),
            ("width", "8 mm"),
            ("height", "2 mm"),
        ];
        row(&mut craft, "it", "plug", &plug);
        craft
    };
    // 5 mm, the least radius of a harness, from the plug's face: 13 mm behind the screws, or 5 mm above them.
    check(
        &camera("back"),
        "it [camera body]: -10 to 6, -7 to 7, -7.5 to 7.5
         bend of the harness at plug 1 of it [room behind a camera]: -18 to -13, -4 to 4, 3 to 5
         plug 1 of it [plug]: -13 to -10, -4 to 4, 3 to 5",
    );
    assert!(boxes(&camera("up")).contains("room behind a camera]: -13 to -10, -4 to 4, 5 to 10"));
    assert!(boxes(&camera("right")).contains("room behind a camera]: -13 to -10, -9 to -4, 3 to 5"));
}

#[test]
fn a_transmitter_has_a_thin_hot_face_that_stops_short_of_its_edges() {
    // 2 mm inside each edge, 0.1 mm thick about the face.
    let faces = [
        ("up", "-13 to 13, -10 to 10, 6.95 to 7.05"),
        ("down", "-13 to 13, -10 to 10, -0.05 to 0.05"),
        ("forward", "14.95 to 15.05, -10 to 10, 1.75 to 5.25"),
        ("back", "-15.05 to -14.95, -10 to 10, 1.75 to 5.25"),
        ("left", "-13 to 13, 11.95 to 12.05, 1.75 to 5.25"),
        ("right", "-13 to 13, -12.05 to -11.95, 1.75 to 5.25"),
    ];
    for (face, skin) in faces {
        let facts = [("length", "30 mm"), ("width", "24 mm"), ("height", "7 mm"), ("hot_face", face)];
        check(
            &one(PartKind::VideoTransmitter, &facts),
            &format!(
                "it [transmitter]: -15 to 15, -12 to 12, 0 to 7
                 hot face of it [hot face of a transmitter]: {skin}"
            ),
        );
    }
}

#[test]
fn a_board_is_a_laminate_with_components_that_leave_its_holes_free() {
    let facts =
        [("length", "30 mm"), ("width", "30 mm"), ("board", "1.6 mm"), ("above", "3 mm"), ("below", "1 mm")];
    let mut craft = one(PartKind::FlightController, &facts);
    let whole = "board of it [board]: -15 to 15, -15 to 15, 1 to 2.6
                 components under it [board]: -15 to 15, -15 to 15, 0 to 1
                 components on it [board]: -15 to 15, -15 to 15, 2.6 to 5.6";
    check(&craft, whole);
    // Holes at (±10, ±10) keep a square of 1.9 + 0.8 mm free about them, the head of an M2 screw and the air it needs,
    // out to the corner: the cross of components still reaches every edge.
    row(&mut craft, "it", "pattern", &[("pitch", "20 mm"), ("hole", "2.4 mm"), ("screw", "M2")]);
    check(&craft, whole);
    let corner = |craft: &Craft| {
        let proof = Proof::new(craft);
        let fit::Shape::Prism(prism) = &proof.inputs().solids[2].solid.shape else { panic!("no prism") };
        prism.outline().outer().iter().map(|p| p.x.min(p.y)).fold(f64::NEG_INFINITY, f64::max)
    };
    assert!((corner(&craft) - 7.3).abs() < 1e-9, "{}", corner(&craft));
    // What the sheet says of them goes before custom.
    set(&mut craft, "it.pattern[0].clear", "7 mm");
    assert!((corner(&craft) - 6.5).abs() < 1e-9, "{}", corner(&craft));
    // A board with nothing under it has no solid there.
    set(&mut craft, "it.below", "0 mm");
    assert!(!boxes(&craft).contains("under"));
}

#[test]
fn round_things_stand_along_their_axes() {
    check(
        &one(PartKind::Motor, &[("bell_diameter", "18 mm"), ("height", "14 mm")]),
        "it [motor]: -9 to 9, -9 to 9, 0 to 14",
    );
    check(
        &one(PartKind::Blades, &[("diameter", "76 mm"), ("sweep_height", "6 mm")]),
        "disc of it [blade sweep]: -38 to 38, -38 to 38, 0 to 6",
    );
    check(
        &one(PartKind::Capacitor, &[("diameter", "8 mm"), ("length", "12 mm")]),
        "it [capacitor]: -6 to 6, -4 to 4, 0 to 8",
    );
    let antenna = [("length", "60 mm"), ("diameter", "3 mm"), ("active", "20 mm"), ("cap_diameter", "13 mm")];
    check(
        &one(PartKind::Antenna, &antenna),
        "stem of it [coax]: -1.5 to 1.5, -1.5 to 1.5, 0 to 40
         element of it [antenna element]: -6.5 to 6.5, -6.5 to 6.5, 40 to 60",
    );
    check(
        &one(PartKind::Antenna, &antenna[..2]),
        "element of it [antenna element]: -1.5 to 1.5, -1.5 to 1.5, 0 to 60",
    );
}

#[test]
fn rows_of_a_part_are_solids_of_their_own() {
    let mut craft =
        one(PartKind::ControlReceiver, &[("length", "10 mm"), ("width", "10 mm"), ("height", "3 mm")]);
    let at = [("x", "8 mm"), ("z", "2 mm"), ("length", "6 mm"), ("width", "4 mm"), ("height", "2 mm")];
    row(&mut craft, "it", "plug", &[&[("name", "socket")], &at[..]].concat());
    row(&mut craft, "it", "pad", &[&[("name", "ground")], &at[..]].concat());
    let tube = [
        ("name", "whip"),
        ("role", "antenna element"),
        ("shape", "cylinder"),
        ("axis", "y"),
        ("diameter", "2 mm"),
        ("length", "40 mm"),
        ("z", "1 mm"),
    ];
    row(&mut craft, "it", "body", &tube);
    check(
        &craft,
        "it [control receiver]: -5 to 5, -5 to 5, 0 to 3
         plug socket of it [plug]: 5 to 11, -2 to 2, 1 to 3
         pad ground of it [bare conductor]: 5 to 11, -2 to 2, 1 to 3
         body whip of it [control antenna]: -1 to 1, -20 to 20, 0 to 2",
    );
}

#[test]
fn plates_lie_stand_along_or_stand_across() {
    let plate = |stands: &str| {
        let mut craft = one(PartKind::Frame, &[]);
        let facts = [
            ("name", "side"),
            ("material", "carbon"),
            ("stands", stands),
            ("thickness", "2 mm"),
            ("x", "10 mm"),
            ("y", "20 mm"),
            ("z", "30 mm"),
            ("outline", "0,0; 8,0; 8,5; 0,5"),
        ];
        row(&mut craft, "it", "plate", &facts);
        craft
    };
    // Outline 8 × 5: x, y and up; x, z and to the left; y, z and forward.
    check(&plate("flat"), "plate side of it [carbon plate]: 10 to 18, 20 to 25, 30 to 32");
    check(&plate("along"), "plate side of it [carbon plate]: 10 to 18, 20 to 22, 30 to 35");
    check(&plate("across"), "plate side of it [carbon plate]: 10 to 12, 20 to 28, 30 to 35");
}

#[test]
fn plates_are_drilled_by_holes_cut_outs_and_patterns() {
    let mut craft = one(PartKind::Frame, &[]);
    let plate = [
        ("name", "lid"),
        ("material", "carbon"),
        ("thickness", "2 mm"),
        ("outline", "0,0; 40,0; 40,40; 0,40"),
    ];
    row(&mut craft, "it", "plate", &plate);
    row(&mut craft, "it", "hole", &[("plate", "lid"), ("u", "5 mm"), ("v", "5 mm"), ("diameter", "4 mm")]);
    row(
        &mut craft,
        "it",
        "hole",
        &[("plate", "lid"), ("u", "10 mm"), ("v", "35 mm"), ("to_u", "20 mm"), ("diameter", "3 mm")],
    );
    row(&mut craft, "it", "cutout", &[("plate", "lid"), ("outline", "30,30; 36,30; 36,36; 30,36")]);
    row(
        &mut craft,
        "it",
        "pattern",
        &[
            ("name", "p"),
            ("plate", "lid"),
            ("x", "20 mm"),
            ("y", "18 mm"),
            ("pitch", "16 mm"),
            ("hole", "2 mm"),
        ],
    );
    let proof = Proof::new(&craft);
    let area = proof.inputs().solids[0].solid.shape.volume_mm3() / 2.0;
    // 1600 less a round hole of 4, a slot of 3 over 10, a window of 6 × 6, four holes of 2.
    let pi = std::f64::consts::PI;
    let expected = 1600.0 - pi * 4.0 - (30.0 + pi * 2.25) - 36.0 - 4.0 * pi;
    assert!((area - expected).abs() < 1e-6, "{area} {expected}");
}

#[test]
fn standoffs_ducts_spacers_and_heads_stand_where_they_belong() {
    let mut craft = one(PartKind::Frame, &[]);
    let post = [
        ("name", "a"),
        ("x", "30 mm"),
        ("y", "10 mm"),
        ("z", "1 mm"),
        ("height", "20 mm"),
        ("diameter", "5 mm"),
    ];
    row(&mut craft, "it", "standoff", &post);
    let duct = [
        ("name", "b"),
        ("x", "60 mm"),
        ("z", "2 mm"),
        ("bore", "80 mm"),
        ("wall", "2 mm"),
        ("height", "10 mm"),
    ];
    row(&mut craft, "it", "duct", &duct);
    row(&mut craft, "it", "pattern", &[("name", "p"), ("x", "4 mm"), ("pitch", "20 mm"), ("hole", "3.2 mm")]);
    part(&mut craft, PartKind::Spacer, "s", "s", &[("height", "6 mm"), ("outer", "4 mm"), ("count", "2")]);
    place(&mut craft, "s", "s", "it/p", &[]);
    part(&mut craft, PartKind::Screw, "m", "m", &[("thread", "M3"), ("length", "8 mm"), ("head", "cap")]);
    place(&mut craft, "m", "m", "it/p", &[("z", "6 mm"), ("washer", "0.5 mm"), ("count", "1")]);
    // An M3 cap head is 5.7 mm across and 1.6 · 1.65 = 2.64 mm high; it lies on its washer. A duct of 72 corners has
    // them on both axes.
    check(
        &craft,
        "standoff a of it [standoff]: 27.5 to 32.5, 7.5 to 12.5, 1 to 21
         duct b of it [moulded duct]: 18 to 102, -42 to 42, 2 to 12
         s 1 [spacer]: 12 to 16, 8 to 12, 0 to 6
         s 2 [spacer]: -8 to -4, 8 to 12, 0 to 6
         head of m 1 [screw head]: 11.15 to 16.85, 7.15 to 12.85, 6.5 to 9.14",
    );
}

#[test]
fn the_role_of_a_plate_is_its_material() {
    let role = |material: &str| {
        let mut craft = one(PartKind::Frame, &[]);
        let facts = [("thickness", "2 mm"), ("outline", "0,0; 8,0; 8,5; 0,5"), ("material", material)];
        row(&mut craft, "it", "plate", &facts);
        Proof::new(&craft).inputs().solids[0].solid.role
    };
    assert_eq!(role("carbon"), Role::CarbonPlate);
    assert_eq!(role("glass fibre"), Role::InsulatingPlate);
    assert_eq!(role("moulded plastic"), Role::MouldedDuct);
    assert_eq!(role("printed, flexible"), Role::PrintedPart);
    assert_eq!(role("aluminium"), Role::Other);
}

#[test]
fn a_size_that_cannot_be_is_told_and_the_rest_stands() {
    let mut craft = one(PartKind::Frame, &[]);
    let facts =
        [("name", "bow"), ("material", "carbon"), ("thickness", "2 mm"), ("outline", "0,0; 8,5; 8,0; 0,5")];
    row(&mut craft, "it", "plate", &facts);
    part(
        &mut craft,
        PartKind::Pack,
        "pack",
        "pack",
        &[("length", "9 mm"), ("width", "9 mm"), ("height", "9 mm")],
    );
    place(&mut craft, "pack", "pack", "body", &[]);
    let proof = Proof::new(&craft);
    assert_eq!(proof.inputs().solids.len(), 1);
    let wrong = proof.inputs().unbuilt[0].wrong.as_deref().unwrap();
    assert!(wrong.contains("cross"), "{wrong}");
}

#[test]
fn what_goes_into_holes_stands_over_them_however_it_is_turned() {
    let holes = "10,10; -10,10; -10,-10; 6,-10";
    let heads = |facts: &[(&str, &str)]| {
        let mut craft = one(
            PartKind::Adapter,
            &[("length", "30 mm"), ("width", "30 mm"), ("thickness", "2 mm"), ("material", "carbon")],
        );
        row(&mut craft, "it", "pattern", &[("name", "odd"), ("holes", holes), ("hole", "2.2 mm, measured")]);
        let screw = [("thread", "M2"), ("length", "8 mm"), ("head", "button")];
        part(&mut craft, PartKind::Screw, "m2", "m2", &screw);
        place(&mut craft, "screws", "m2", "it/odd", &[&[("count", "4")], facts].concat());
        let proof = Proof::new(&craft);
        assert!(proof.inputs().unbuilt.is_empty(), "{:?}", proof.inputs().unbuilt);
        let middle = |number: usize| {
            let extent = proof.inputs().scene.extent(SolidIndex(number as u32))?;
            let (low, high) = (extent.low.coordinates(), extent.high.coordinates());
            Some([0, 1].map(|axis: usize| ((low[axis] + high[axis]) * 5e5).round() / 1e6))
        };
        let solids = proof.inputs().solids.iter().enumerate();
        solids
            .filter(|(_, s)| s.solid.role == Role::ScrewHead)
            .filter_map(|(n, _)| middle(n))
            .collect::<Vec<_>>()
    };
    let over = [[10.0, 10.0], [-10.0, 10.0], [-10.0, -10.0], [6.0, -10.0]];
    for facts in [&[][..], &[("flipped", "yes")], &[("yaw", "90°")], &[("yaw", "30°"), ("flipped", "yes")]]
    {
        assert_eq!(heads(facts), over, "{facts:?}");
    }
}
