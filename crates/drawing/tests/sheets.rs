//! Whole sheets of a small invented craft: locked pictures, well-formed XML, names that try to break out.
//!
//! To take over a picture after a look at it: `UPDATE_EXPECT=1 cargo test -p drawing`.

#![allow(clippy::unwrap_used)]

mod well_formed;

use craft::{Craft, CraftClass, CraftId};
use drawing::{View, draw, thumbnail};
use expect_test::expect_file;
use fit::{BodyPoint, Hole, Outline, OwnerIndex, PlanePoint, Pose, Role, Shape, Solid};
use proof::{CraftSolid, Finding, Material, Piece, Proved, Verdict, Witness};
use quantity::{Degrees, Millimetres};
use well_formed::check_well_formed;

fn mm(size: f64) -> Millimetres {
    Millimetres::new(size)
}

fn at(x: f64, y: f64, z: f64) -> Pose {
    Pose::at(BodyPoint::new(x, y, z))
}

fn solid(name: &str, place: u32, role: Role, material: Material, shape: Shape, pose: Pose) -> CraftSolid {
    let ghost = matches!(material, Material::Sweep | Material::Space);
    let solid = Solid { name: name.into(), owner: OwnerIndex(place), role, shape, pose, drifts: vec![] };
    CraftSolid { solid, place: place as usize, material, ghost, piece: Piece::Whole }
}

/// A plate with four arms' worth of room, two posts, a board, a tilted camera and one pair of blades.
fn proved() -> Proved {
    let hole = |x: f64, y: f64| Hole::Round { centre: PlanePoint::new(x, y), diameter: mm(3.0) };
    let holes = vec![hole(-30.0, 12.0), hole(-30.0, -12.0)];
    let plate = Outline::rectangle(mm(90.0), mm(34.0), holes).unwrap();
    let post = || Shape::cylinder(mm(2.5), mm(20.0)).unwrap();
    let tilted = Pose::turned(
        BodyPoint::new(38.0, 0.0, 10.0),
        Degrees::new(0.0),
        Degrees::new(30.0),
        Degrees::new(0.0),
    );
    let solids = vec![
        solid(
            "bottom plate",
            0,
            Role::CarbonPlate,
            Material::Carbon,
            Shape::prism(plate, mm(2.0)).unwrap(),
            at(0.0, 0.0, -2.0),
        ),
        solid("left post", 0, Role::Standoff, Material::Metal, post(), at(20.0, 12.0, 10.0)),
        solid("right post", 0, Role::Standoff, Material::Metal, post(), at(20.0, -12.0, 10.0)),
        solid(
            "board",
            1,
            Role::Board,
            Material::Board,
            Shape::cuboid(mm(29.0), mm(29.0), mm(6.0)).unwrap(),
            at(-5.0, 0.0, 6.0),
        ),
        solid(
            "camera",
            2,
            Role::CameraBody,
            Material::Plastic,
            Shape::cuboid(mm(18.0), mm(14.0), mm(14.0)).unwrap(),
            tilted,
        ),
        solid(
            "blades",
            3,
            Role::BladeSweep,
            Material::Sweep,
            Shape::cylinder(mm(38.0), mm(6.0)).unwrap(),
            at(50.0, 50.0, 12.0),
        ),
    ];
    let witness = |a, b, on_a, on_b| Some(Witness { solid_a: a, solid_b: b, on_a, on_b });
    let mut foul = Finding::new(
        "fit.pair_clearance",
        Verdict::Broken,
        "board and right post",
        "The board's plug and the right post overlap by 0.6 mm",
    );
    foul = foul.margin(mm(-0.6), Some(0.2));
    foul.witness = witness(3, 2, [9.5, -12.0, 6.0], [17.5, -12.0, 6.0]);
    let mut close = Finding::new(
        "fit.pair_clearance",
        Verdict::Tight,
        "camera and left post",
        "The camera clears the left post by 3.2 mm and needs 3 mm",
    );
    close = close.margin(mm(0.2), Some(0.3));
    close.witness = witness(4, 1, [30.0, 7.0, 6.0], [22.0, 11.0, 6.0]);
    let sound = Finding::new("match.lens_thread", Verdict::Sound, "lens", "Lens and holder are both M8");
    Proved { findings: vec![foul, close, sound], solids, ..Proved::default() }
}

fn craft(name: &str) -> Craft {
    Craft { class: Some(CraftClass::Open3), ..Craft::new(CraftId::from_name("small-try"), name) }
}

#[test]
fn the_three_views_are_as_reviewed() {
    let (craft, proved) = (craft("Small try"), proved());
    expect_file!["sheets/top.svg"].assert_eq(&draw(&craft, &proved, View::Top));
    expect_file!["sheets/side.svg"].assert_eq(&draw(&craft, &proved, View::Side));
    expect_file!["sheets/front.svg"].assert_eq(&draw(&craft, &proved, View::Front));
    expect_file!["sheets/thumbnail.svg"].assert_eq(&thumbnail(&craft, &proved));
}

#[test]
fn every_sheet_is_well_formed_whatever_the_craft_is_called() {
    let mut proved = proved();
    proved.solids[1].solid.name = "]]> <post> & \"co\" \u{1}".into();
    proved.findings[0].message = "a < b && c > d ".repeat(40);
    for name in [
        "Small try",
        "<script>alert(1)</script>",
        "\" onload=\"x",
        "&amp;\u{0}\u{8}",
        "",
        "長い名前".repeat(60).as_str(),
    ] {
        let craft = craft(name);
        for picture in View::ALL.map(|view| draw(&craft, &proved, view)) {
            check_well_formed(&picture);
            assert!(!picture.contains("<script") && !picture.contains(" onload=\""), "{name}");
        }
        check_well_formed(&thumbnail(&craft, &proved));
    }
}

#[test]
fn a_craft_with_nothing_in_place_says_so() {
    let picture = draw(&craft("Bare"), &Proved::default(), View::Top);
    check_well_formed(&picture);
    assert!(picture.contains("Nothing has a size and a place yet."));
    check_well_formed(&thumbnail(&craft("Bare"), &Proved::default()));
}

#[test]
fn every_callout_has_its_letter_on_the_view_and_in_the_words() {
    let picture = draw(&craft("Small try"), &proved(), View::Top);
    for letter in [">A</text>", ">B</text>"] {
        assert_eq!(picture.matches(letter).count(), 2, "{letter}");
    }
    assert!(!picture.contains(">C</text>") && picture.contains("broken: 0.6 ± 0.2 mm short"));
}

#[test]
fn what_is_drawn_lies_on_the_sheet() {
    for view in View::ALL {
        let picture = draw(&craft("Small try"), &proved(), view);
        for path in picture.split(" d=\"").skip(1).map(|rest| rest.split('"').next().unwrap()) {
            let numbers = path.split(['M', 'L', 'H', 'V', 'Z', ' ']).filter_map(|n| n.parse::<f64>().ok());
            assert!(numbers.into_iter().all(|n| (0.0..=297.0).contains(&n)), "{path}");
        }
    }
}
