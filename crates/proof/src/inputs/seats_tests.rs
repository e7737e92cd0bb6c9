//! Where places stand, worked by hand: turns, features, chains, seats that lead nowhere.
#![allow(clippy::unwrap_used)]

use crate::testing::{part, place, row, set};
use crate::{Proof, Seat};
use craft::schema::PartKind;
use craft::{Anchor, Craft, CraftId};
use fit::{PartPoint, PartVector};

/// A craft with a frame on the body and one part that may be seated anywhere.
fn craft() -> Craft {
    let mut craft = Craft::new(CraftId::from_name("seats"), "seats");
    part(&mut craft, PartKind::Frame, "frame", "frame", &[]);
    part(&mut craft, PartKind::Pack, "box", "box", &[]);
    place(&mut craft, "frame", "frame", "body", &[]);
    craft
}

fn seat(craft: &Craft, id: &str) -> Seat {
    let proof = Proof::new(craft);
    let number = craft.places.iter().position(|place| place.id.as_str() == id).unwrap();
    proof.inputs().seat(number).cloned().unwrap_or_else(|| panic!("{:?}", proof.inputs().unbuilt))
}

/// Holds the part's x, y and z at a place to these directions of the craft.
fn looks(craft: &Craft, id: &str, expected: [[f64; 3]; 3]) {
    let pose = seat(craft, id).pose;
    for (axis, expected) in [PartVector::X, PartVector::Y, PartVector::Z].into_iter().zip(expected) {
        let found = pose.vector(axis).coordinates();
        let apart: f64 = found.iter().zip(expected).map(|(a, b)| (a - b).abs()).sum();
        assert!(apart < 1e-9, "{axis:?} looks {found:?}, expected {expected:?}");
    }
}

fn stands(craft: &Craft, id: &str, expected: [f64; 3]) {
    let found = seat(craft, id).pose.origin().coordinates();
    let apart: f64 = found.iter().zip(expected).map(|(a, b)| (a - b).abs()).sum();
    assert!(apart < 1e-9, "{id} stands at {found:?}, expected {expected:?}");
}

#[test]
fn turns_are_yaw_then_pitch_then_roll_and_a_flip_comes_first() {
    const X: [f64; 3] = [1.0, 0.0, 0.0];
    const Y: [f64; 3] = [0.0, 1.0, 0.0];
    const Z: [f64; 3] = [0.0, 0.0, 1.0];
    let minus = |v: [f64; 3]| v.map(|c| -c);
    let check = |facts: &[(&str, &str)], expected| {
        let mut craft = craft();
        place(&mut craft, "it", "box", "frame", facts);
        looks(&craft, "it", expected);
    };
    check(&[], [X, Y, Z]);
    // Left positive; nose up; right side down, so that left goes up.
    check(&[("yaw", "90°")], [Y, minus(X), Z]);
    check(&[("pitch", "90°")], [Z, Y, minus(X)]);
    check(&[("roll", "90°")], [X, Z, minus(Y)]);
    check(&[("flipped", "yes")], [X, minus(Y), minus(Z)]);
    // After a quarter to the left the nose looks left, and goes up from there; its top falls to the right.
    check(&[("yaw", "90°"), ("pitch", "90°")], [Z, minus(X), minus(Y)]);
    check(&[("yaw", "90°"), ("flipped", "yes")], [Y, X, minus(Z)]);
    // Nose up, then rolled about the nose.
    check(&[("pitch", "90°"), ("roll", "90°")], [Z, minus(X), minus(Y)]);
}

#[test]
fn offsets_are_along_the_axes_of_the_seat_and_add_up_a_chain() {
    let mut craft = craft();
    set(&mut craft, "place frame.x", "100 mm");
    set(&mut craft, "place frame.yaw", "90°");
    place(&mut craft, "one", "box", "frame", &[("x", "10 mm"), ("z", "3 mm"), ("yaw", "90°")]);
    place(&mut craft, "two", "box", "one", &[("x", "1 mm"), ("y", "2 mm")]);
    // The frame looks left: its x is the craft's y. On it, `one` looks back: its x is -x, its y is -y.
    stands(&craft, "one", [100.0, 10.0, 3.0]);
    stands(&craft, "two", [99.0, 8.0, 3.0]);
}

#[test]
fn features_say_where_and_which_way() {
    let mut craft = craft();
    let plate = |craft: &mut Craft, name: &str, stands: &str| {
        let facts = [
            ("name", name),
            ("thickness", "2 mm"),
            ("x", "5 mm"),
            ("y", "7 mm"),
            ("z", "20 mm"),
            ("stands", stands),
            ("outline", "0,0; 30,0; 30,30; 0,30"),
        ];
        row(craft, "frame", "plate", &facts);
    };
    plate(&mut craft, "lid", "flat");
    let hole = |name: &'static str, face: &'static str| {
        [("name", name), ("plate", "lid"), ("face", face), ("x", "10 mm"), ("y", "4 mm"), ("pitch", "20 mm")]
    };
    row(&mut craft, "frame", "pattern", &hole("over", "upper"));
    row(&mut craft, "frame", "pattern", &hole("under", "lower"));
    for (name, faces) in [("arm", "up"), ("hung", "down")] {
        row(&mut craft, "frame", "motor_mount", &[("name", name), ("x", "60 mm"), ("faces", faces)]);
    }
    for (name, toward) in [("back", "0°"), ("right", "90°")] {
        let facts = [("name", name), ("x", "-50 mm"), ("lean", "30°"), ("toward", toward)];
        row(&mut craft, "frame", "antenna_mount", &facts);
    }
    let post = [("name", "post"), ("x", "1 mm"), ("y", "2 mm"), ("z", "3 mm"), ("height", "20 mm")];
    row(&mut craft, "frame", "standoff", &post);
    for feature in ["over", "under", "arm", "hung", "back", "right", "post"] {
        place(&mut craft, feature, "box", &format!("frame/{feature}"), &[("z", "1 mm")]);
    }
    // On the upper face, 20 + 2 + 1; under the lower face, 20 - 1, upside down.
    stands(&craft, "over", [15.0, 11.0, 23.0]);
    stands(&craft, "under", [15.0, 11.0, 19.0]);
    looks(&craft, "under", [[1.0, 0.0, 0.0], [0.0, -1.0, 0.0], [0.0, 0.0, -1.0]]);
    stands(&craft, "arm", [60.0, 0.0, 1.0]);
    stands(&craft, "hung", [60.0, 0.0, -1.0]);
    // Leaning 30° back the element goes -sin 30° back and cos 30° up; toward 90° it leans to the right.
    let (s, c) = (0.5, 0.75f64.sqrt());
    stands(&craft, "back", [-50.0 - s, 0.0, c]);
    stands(&craft, "right", [-50.0, -s, c]);
    stands(&craft, "post", [1.0, 2.0, 24.0]);
}

#[test]
fn cameras_motors_and_adapters_have_features_of_their_own() {
    let mut craft = craft();
    part(&mut craft, PartKind::Camera, "cam", "camera", &[("face_ahead", "8 mm")]);
    part(&mut craft, PartKind::Motor, "motor", "motor", &[("height", "14 mm")]);
    part(&mut craft, PartKind::Adapter, "adapter", "adapter", &[("thickness", "1.5 mm")]);
    for face in ["upper", "lower"] {
        row(
            &mut craft,
            "adapter",
            "pattern",
            &[("name", face), ("face", face), ("x", "2 mm"), ("pitch", "20 mm")],
        );
    }
    place(&mut craft, "cam", "cam", "frame", &[("pitch", "90°")]);
    place(&mut craft, "motor", "motor", "frame", &[("x", "60 mm")]);
    place(&mut craft, "adapter", "adapter", "frame", &[("z", "10 mm")]);
    place(&mut craft, "lens", "box", "cam/lens mount", &[]);
    place(&mut craft, "blades", "box", "motor/shaft", &[]);
    place(&mut craft, "over", "box", "adapter/upper", &[]);
    place(&mut craft, "under", "box", "adapter/lower", &[("z", "1 mm")]);
    stands(&craft, "lens", [0.0, 0.0, 8.0]);
    stands(&craft, "blades", [60.0, 0.0, 14.0]);
    // The adapter's underside lies at 10 mm, its upper face at 11.5 mm.
    stands(&craft, "over", [2.0, 0.0, 11.5]);
    stands(&craft, "under", [2.0, 0.0, 9.0]);
}

#[test]
fn the_anchor_is_where_the_part_would_stand_with_no_offset_and_no_turn() {
    let mut craft = craft();
    set(&mut craft, "place frame.x", "100 mm");
    set(&mut craft, "place frame.yaw", "90°");
    place(&mut craft, "it", "box", "frame", &[("x", "10 mm"), ("yaw", "45°"), ("flipped", "yes")]);
    let anchor = seat(&craft, "it").anchor;
    assert_eq!(anchor.origin().coordinates().map(f64::round), [100.0, 0.0, 0.0]);
    assert!((anchor.point(PartPoint::new(1.0, 0.0, 0.0)).y() - 1.0).abs() < 1e-12);
}

/// Boxes each seated on the one before, from the frame up, listed in this order or the other way round.
fn tower(height: usize, top_first: bool) -> Craft {
    let mut craft = craft();
    for number in 0..height {
        let under = if number == 0 { "frame".to_owned() } else { format!("b{}", number - 1) };
        place(&mut craft, &format!("b{number}"), "box", &under, &[("z", "1 mm")]);
    }
    if top_first {
        craft.places.reverse();
    }
    craft
}

#[test]
fn a_tower_stands_whichever_way_it_is_listed_up_to_the_limit() {
    for top_first in [false, true] {
        let craft = tower(100, top_first);
        stands(&craft, "b99", [0.0, 0.0, 100.0]);
        let craft = tower(3_000, top_first);
        stands(&craft, "b99", [0.0, 0.0, 100.0]);
        let proof = Proof::new(&craft);
        let fault = |unbuilt: &&crate::Unbuilt| unbuilt.because.is_none();
        let faults: Vec<_> =
            proof.inputs().unbuilt.iter().filter(fault).filter_map(|u| u.wrong.clone()).collect();
        assert!(
            faults.iter().all(|wrong| wrong.starts_with("more than 100 seats lie beneath it")),
            "{faults:?}"
        );
        assert_eq!(faults.len(), 1);
    }
}

#[test]
fn seats_that_go_round_leave_all_of_them_nowhere() {
    let mut craft = tower(3, false);
    let first = craft.places.iter_mut().find(|place| place.id.as_str() == "b0").unwrap();
    first.on = Some(Anchor::read("b2").unwrap());
    let proof = Proof::new(&craft);
    let nowhere = proof.inputs().seats.iter().filter(|seat| seat.is_err()).count();
    assert_eq!(nowhere, 3);
    let told: Vec<_> = proof.inputs().unbuilt.iter().filter_map(|unbuilt| unbuilt.wrong.as_deref()).collect();
    assert!(told[0].contains("leads back to itself") || told[1].contains("leads back to itself"), "{told:?}");
}

#[test]
fn what_leads_nowhere_names_what_it_leads_to() {
    let wrong = |on: &str| {
        let mut craft = craft();
        place(&mut craft, "it", "box", on, &[]);
        let proof = Proof::new(&craft);
        let unbuilt = &proof.inputs().unbuilt[0];
        unbuilt.wrong.clone().unwrap_or_else(|| unbuilt.missing[0].label.clone())
    };
    assert_eq!(
        wrong("shelf"),
        "it is seated on \"shelf\", which is no place of this craft; choose another seat"
    );
    assert_eq!(wrong("frame/shelf"), "\"frame\" has no feature \"shelf\"; seat it on another");
    assert_eq!(wrong("it"), "its seat leads back to itself (it); seat one of them on the frame");
}
