//! Which pairs are judged, which may touch, what changes their need; the pairs of one place against those of all.
#![allow(clippy::unwrap_used)]

use crate::testing::{part, place, set};
use crate::testing_stack::sound_bay;
use crate::{NearPair, Proof};
use craft::Craft;
use craft::schema::PartKind;

#[test]
fn the_pairs_of_one_place_are_those_it_has_among_all() {
    let mut craft = sound_bay();
    let held = |craft: &Craft| {
        let proof = Proof::new(craft);
        let mut overlapping = 0;
        for number in 0..craft.places.len() {
            let all = proof.near_pairs().unwrap().iter();
            let mine: Vec<_> = all.filter(|pair| pair.places.contains(&number) && !pair.touching).collect();
            let told = |pair: &NearPair| (pair.clearance.a, pair.clearance.b, pair.margin.clone());
            match proof.inputs().near_of(&proof, number).unwrap() {
                Some(found) => {
                    let found: Vec<_> = found.iter().map(told).collect();
                    assert_eq!(found, mine.iter().map(|pair| told(pair)).collect::<Vec<_>>());
                }
                None => {
                    overlapping += 1;
                    assert!(mine.iter().any(|pair| pair.clearance.gap.distance.get() < 1e-6));
                }
            }
        }
        overlapping
    };
    assert_eq!(held(&craft), 0);
    // The transmitter into a standoff, and both into nothing else.
    set(&mut craft, "vtx.plug[0].x", "-23 mm, measured");
    set(&mut craft, "vtx.plug[0].y", "14 mm, measured");
    assert_eq!(held(&craft), 2);
}

/// The near pair of two solids by their names.
fn pair(craft: &Craft, a: &str, b: &str) -> Option<NearPair> {
    let proof = Proof::new(craft);
    let solids = &proof.inputs().solids;
    let is = |pair: &&NearPair| {
        let names = [pair.clearance.a, pair.clearance.b].map(|i| solids[i.0 as usize].solid.name.as_str());
        names.contains(&a) && names.contains(&b)
    };
    proof.near_pairs().unwrap().iter().find(is).cloned()
}

#[test]
fn what_is_held_or_clamped_is_meant_to_touch_and_nothing_else() {
    let mut craft = sound_bay();
    set(&mut craft, "fc.pattern[0].clear", "5.6 mm, measured");
    let touching = |a: &str, b: &str| pair(&craft, a, b).map(|pair| pair.touching);
    assert_eq!(touching("spacers 1", "video transmitter"), Some(true));
    assert_eq!(touching("spacers 1", "plate bottom of bay frame"), Some(true));
    assert_eq!(touching("soft mounts 1", "board of flight controller"), Some(true));
    assert_eq!(touching("head of M2×10 1 (fc-screws)", "board of flight controller"), Some(true));
    assert_eq!(touching("receiver", "adapter plate"), Some(true));
    assert_eq!(touching("adapter plate", "plate top of bay frame"), Some(true));
    assert_eq!(touching("lens", "nano camera"), Some(true));
    assert_eq!(touching("nano camera", "plate left cage of bay frame"), Some(false));
    assert_eq!(touching("components under flight controller", "soft mounts 1"), Some(false));
    assert_eq!(touching("head of M2×10 1 (fc-screws)", "components on flight controller"), Some(false));
}

#[test]
fn a_board_on_a_printed_holder_touches_it_and_one_on_the_frame_does_not() {
    let mut craft = sound_bay();
    let pad = [("length", "30 mm"), ("width", "30 mm"), ("height", "4 mm")];
    part(&mut craft, PartKind::PrintedPart, "pad", "pad", &pad);
    place(&mut craft, "pad", "pad", "frame", &[("z", "40 mm")]);
    place(&mut craft, "vtx-2", "vtx", "pad", &[("z", "4 mm")]);
    place(&mut craft, "vtx-3", "vtx", "frame", &[("z", "0 mm"), ("x", "10 mm")]);
    let touching = |a: &str, b: &str| pair(&craft, a, b).map(|pair| pair.touching);
    assert_eq!(touching("video transmitter (vtx-2)", "pad"), Some(true));
    assert_eq!(touching("video transmitter (vtx-3)", "plate bottom of bay frame"), Some(false));
}

#[test]
fn a_sheet_lowers_what_a_board_needs_and_soft_mounts_raise_it() {
    let need = |craft: &Craft, a: &str, b: &str| pair(craft, a, b).unwrap().clearance.needs.distance.get();
    let mut craft = sound_bay();
    let (board, plate) = ("components under flight controller", "plate bottom of bay frame");
    assert_eq!(need(&craft, board, plate), 1.5);
    set(&mut craft, "place fc.insulated", "yes");
    assert_eq!(need(&craft, board, plate), 1.0);
    // The flight controller on soft mounts: 1.0 + 0.5 mm to the transmitter; on plain spacers 1.0 mm.
    let (one, other) = ("video transmitter", "board of flight controller");
    assert_eq!(need(&craft, one, other), 1.5);
    crate::testing::remove_place(&mut craft, "soft");
    assert_eq!(need(&craft, one, other), 1.0);
}

#[test]
fn what_fits_the_room_custom_leaves_round_a_hole_is_no_pair_of_its_components() {
    let (components, head) = ("components on flight controller", "head of M2×10 1 (fc-screws)");
    let mut craft = sound_bay();
    assert!(pair(&craft, components, head).is_none());
    assert!(pair(&craft, "components under flight controller", "soft mounts 1").is_none());
    // A wider head than the pattern's screw has, or a stated circle, makes it one. 0.3 mm too wide: half of that short.
    set(&mut craft, "m2x10.head_diameter", "4.1 mm, measured");
    let short = pair(&craft, components, head).unwrap().margin;
    assert!((short.value + 0.15).abs() < 1e-9, "{}", short.value);
    set(&mut craft, "fc.pattern[0].clear", "5.9 mm, measured");
    let stated = pair(&craft, components, head).unwrap().margin;
    assert!((stated.value - 0.1).abs() < 1e-9, "{}", stated.value);
    // Another board's head beside the same edge is a pair however narrow.
    crate::testing::remove_place(&mut craft, "fc-screws");
    set(&mut craft, "fc.pattern[0].clear", "");
    place(&mut craft, "loose", "m2x4", "frame", &[("x", "30 mm"), ("y", "10 mm"), ("z", "6 mm")]);
    assert!(pair(&craft, components, "head of M2×4 1 (loose)").is_some());
}
