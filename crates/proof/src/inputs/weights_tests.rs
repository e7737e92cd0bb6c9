//! Masses, balance point and moments of inertia against sums worked by hand.
#![allow(clippy::unwrap_used)]

use crate::testing::{part, place, row, set};
use crate::testing_stack::sound_bay;
use crate::{Proof, Weights};
use craft::schema::PartKind;
use craft::{Craft, CraftId};

/// Two packs of 12 g, 6 × 4 × 2 mm, 10 mm ahead and 10 mm behind, both standing on z = 0.
fn two_packs() -> Craft {
    let mut craft = Craft::new(CraftId::from_name("packs"), "packs");
    let facts = [("mass", "12 g, measured"), ("length", "6 mm"), ("width", "4 mm"), ("height", "2 mm")];
    part(&mut craft, PartKind::Pack, "pack", "pack", &facts);
    place(&mut craft, "front", "pack", "body", &[("x", "10 mm, measured")]);
    place(&mut craft, "rear", "pack", "body", &[("x", "-10 mm, measured")]);
    craft
}

fn weights(craft: &Craft) -> Weights {
    Proof::new(craft).weights().clone()
}

#[test]
fn two_blocks_weigh_balance_and_turn_as_by_hand() {
    let weights = weights(&two_packs());
    let balance = weights.balance.unwrap();
    assert!((balance.mass.value - 24.0).abs() < 1e-9);
    let centre = balance.whole.centre.coordinates();
    assert!(centre[0].abs() < 1e-9 && centre[1].abs() < 1e-9 && (centre[2] - 1.0).abs() < 1e-9);
    // Each block: 12/12·(4² + 2²) = 20 about x, 12/12·(6² + 2²) = 40 about y, 12/12·(6² + 4²) = 52 about z; and
    // 12·10² = 1200 more about y and z.
    let inertia = weights.inertia.each_ref().map(|moment| moment.value);
    for (moment, expected) in inertia.into_iter().zip([40.0, 2480.0, 2504.0]) {
        assert!((moment - expected).abs() < 1e-6, "{inertia:?}");
    }
    assert!(weights.missing.is_empty());
}

#[test]
fn inertia_follows_masses_and_places() {
    let at = |spoil: &dyn Fn(&mut Craft)| {
        let mut craft = two_packs();
        spoil(&mut craft);
        weights(&craft).inertia[2].value
    };
    let craft = two_packs();
    let proof = Proof::new(&craft);
    let moment = &proof.weights().inertia[2];
    let slope = |path: &str| {
        let fact = proof.ledger().find(&quantity::FactPath(path.to_owned())).unwrap();
        moment.slope_on(fact)
    };
    // Both packs' mass: 2504/12 = 208.67 for each gram. One pack's place: 2·12·10 = 240 for each mm.
    assert!((slope("pack.mass") - 2504.0 / 12.0).abs() < 1e-6);
    assert!((slope("place front.x") - 240.0).abs() < 1e-6);
    let nudged = at(&|craft| set(craft, "place front.x", "10.01 mm, measured"));
    assert!(((nudged - 2504.0) / 0.01 - 240.0).abs() < 0.2, "{nudged}");
}

#[test]
fn screws_count_as_often_as_they_are_set_and_ground_gear_stays_behind() {
    let mut craft = two_packs();
    part(
        &mut craft,
        PartKind::Screw,
        "m3",
        "M3",
        &[("mass", "0.5 g, measured"), ("thread", "M3"), ("length", "8 mm"), ("head", "button")],
    );
    place(&mut craft, "screws", "m3", "body", &[("count", "4")]);
    part(&mut craft, PartKind::GroundReceiver, "ground", "ground", &[("mass", "300 g, measured")]);
    place(&mut craft, "ground", "ground", "body", &[]);
    assert!((weights(&craft).balance.unwrap().mass.value - 26.0).abs() < 1e-9);
}

#[test]
fn a_lead_weighs_halfway_between_its_plugs() {
    let mut craft = two_packs();
    for id in ["a", "b"] {
        part(&mut craft, PartKind::ControlReceiver, id, id, &[]);
        let plug = [("name", "socket"), ("length", "2 mm"), ("width", "2 mm"), ("height", "2 mm")];
        row(&mut craft, id, "plug", &plug);
    }
    place(&mut craft, "a", "a", "body", &[("y", "20 mm")]);
    place(&mut craft, "b", "b", "body", &[("y", "60 mm")]);
    set(&mut craft, "a.mass", "0.001 g");
    set(&mut craft, "b.mass", "0.001 g");
    part(&mut craft, PartKind::CameraHarness, "lead", "lead", &[("mass", "24 g, measured")]);
    place(&mut craft, "lead", "lead", "body", &[("from", "a/socket"), ("to", "b/socket")]);
    let balance = weights(&craft).balance.unwrap();
    // 24 g at y = 40 mm and 24 g at nought.
    assert!((balance.centre[1].value - 20.0).abs() < 0.01, "{:?}", balance.centre[1].value);
}

#[test]
fn masses_nobody_knows_are_named_once() {
    let mut craft = sound_bay();
    set(&mut craft, "motor.mass", "");
    let weights = weights(&craft);
    let labels: Vec<&str> = weights.missing.iter().map(|missing| missing.label.as_str()).collect();
    assert_eq!(labels, ["mass of \"motor\""]);
}
