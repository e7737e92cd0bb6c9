//! The demo craft's wiring on paper: few crossings, every pad and every wire there, nothing off the sheet.
#![allow(clippy::unwrap_used)]

use super::*;
use craft::read_sheet;
use proof::{Proof, prove};

fn demo(name: &str) -> (Craft, Proved) {
    let text = match name {
        "dunnock" => include_str!("../../../../demo/dunnock.toml"),
        "fieldfare" => include_str!("../../../../demo/fieldfare.toml"),
        "brambling" => include_str!("../../../../demo/brambling.toml"),
        _ => include_str!("../../../../demo/whinchat.toml"),
    };
    let craft = read_sheet(text).craft;
    let proved = prove(&craft);
    (craft, proved)
}

#[test]
fn the_wires_of_the_demo_craft_cross_seldom() {
    // On Dunnock the feed of the video is the last pad of its board's edge and the first of the video's: whoever keeps both orders
    // crosses the three wires between them.
    for (name, most) in [("dunnock", 3), ("whinchat", 0), ("fieldfare", 1), ("brambling", 1)] {
        let (craft, proved) = demo(name);
        let diagram = wiring_diagram(&craft, &proved).unwrap();
        assert!(diagram.crossings <= most, "{name}: {} crossings", diagram.crossings);
        // What is drawn is the least there is, and that is known.
        let found = layout(proved.wiring.as_deref().unwrap());
        assert!(found.unspared <= found.crossings, "{name}: a bound above what was drawn");
        assert!(found.proven, "{name}: {} crossings, {} unspared", found.crossings, found.unspared);
    }
}

#[test]
fn every_pad_and_every_wire_is_drawn_and_no_track_is_shared() {
    for name in ["dunnock", "whinchat", "fieldfare", "brambling"] {
        let (_, proved) = demo(name);
        let model = proved.wiring.as_deref().unwrap();
        let found = layout(model);
        assert_eq!(found.spots.len(), model.pads.len(), "{name}");
        assert_eq!(
            found.ways.len(),
            model.wires.iter().map(|wire| wire.joins.len()).sum::<usize>(),
            "{name}"
        );
        for (number, one) in found.ways.iter().enumerate() {
            assert!(one.points.iter().all(|at| (0.0..=found.width).contains(&at[0])), "{name}: {one:?}");
            for other in &found.ways[number + 1..] {
                let (a, b) = (one.points[1], other.points[1]);
                assert!(
                    (a[0] - b[0]).abs() > 1e-6 || one.points.len() != other.points.len(),
                    "{name}: a shared track"
                );
            }
        }
    }
}

#[test]
fn no_name_of_a_pad_is_cut() {
    for name in ["dunnock", "whinchat", "fieldfare", "brambling"] {
        let (craft, proved) = demo(name);
        let svg = wiring_diagram(&craft, &proved).unwrap().svg;
        for pad in &proved.wiring.as_deref().unwrap().pads {
            assert!(svg.contains(&format!(">{}<", pad.name)), "{name}: {}", pad.name);
        }
    }
}

#[test]
fn a_fault_stands_on_the_wires_it_is_about_with_shape_and_words() {
    let (craft, proved) = demo("brambling");
    let diagram = wiring_diagram(&craft, &proved).unwrap();
    let crossed = diagram.marked.iter().find(|fault| fault.message.contains("crossed")).unwrap();
    assert_eq!(crossed.verdict, Verdict::Broken);
    assert_eq!(crossed.rows.len(), 2);
    assert!(crossed.message.contains("stuck at its lowest level"));
    assert!(diagram.svg.contains("stroke-dasharray=\"2.4 1\""));
    let pages = wiring(&craft, &proved);
    assert!(pages.len() >= 2 && pages[0].svg.contains("stuck at its lowest level"));
}

#[test]
fn a_craft_without_pads_says_what_to_enter() {
    let craft = Craft::new(craft::CraftId::new("bare").unwrap(), "Bare");
    let pages = wiring(&craft, &prove(&craft));
    assert!(pages[0].svg.contains("No part has pads yet"));
    assert!(wiring_diagram(&craft, &prove(&craft)).is_none());
}

#[test]
fn a_fault_of_what_has_no_pads_is_marked_at_what_it_is_plugged_into() {
    // Brambling's camera harness runs beside the wires of a motor: neither is drawn, the boards it joins are.
    let (craft, proved) = demo("brambling");
    let diagram = wiring_diagram(&craft, &proved).unwrap();
    let near = |fault: &&Marked| proved.findings[fault.finding].rule == "wire.near_motor";
    let fault = diagram.marked.iter().find(near).unwrap();
    assert!(fault.rows.is_empty() && !fault.units.is_empty());
    assert!(diagram.svg.contains(&format!(">{}</text>", fault.letter)), "{} stands nowhere", fault.letter);
}

#[test]
fn two_wires_of_one_fault_side_by_side_share_a_letter() {
    let (craft, proved) = demo("brambling");
    let diagram = wiring_diagram(&craft, &proved).unwrap();
    let crossed = diagram.marked.iter().find(|fault| fault.message.contains("crossed")).unwrap();
    assert_eq!(crossed.rows.len(), 2);
    assert_eq!(diagram.svg.matches(&format!(">{}</text>", crossed.letter)).count(), 1);
}

#[test]
fn a_step_stands_on_the_sheet_of_its_reason() {
    for name in ["dunnock", "whinchat", "fieldfare", "brambling"] {
        let (craft, proved) = demo(name);
        let pages = wiring(&craft, &proved);
        let steps = proof::wiring::power_up_steps(&Proof::new(&craft));
        let mut looked_at = 0;
        for step in &steps {
            let begins = |words: &str| escaped(words.split_inclusive(' ').take(4).collect::<String>().trim());
            let on = |words: &str| -> Vec<usize> {
                let pages = pages.iter().enumerate();
                pages.flat_map(|(n, page)| page.svg.matches(words).map(move |_| n)).collect()
            };
            // Steps that begin alike are told apart by their numbers only.
            let (does, why) = (on(&begins(&step.does)), on(&begins(&step.why)));
            if does.len() == 1 && why.len() == 1 {
                assert_eq!(does, why, "{name}: {} / {}", step.does, step.why);
                looked_at += 1;
            }
        }
        assert!(2 * looked_at > steps.len(), "{name}: {looked_at} of {}", steps.len());
    }
}

/// Two wires at one pad are of two gauges: each has its words where no other's stand.
#[test]
fn no_words_of_a_wire_lie_on_those_of_another() {
    let (craft, proved) = demo("fieldfare");
    let svg = wiring_diagram(&craft, &proved).unwrap().svg;
    let spots: Vec<&str> = svg.split("<text ").skip(1).map(|rest| rest.split('>').next().unwrap()).collect();
    let mut apart = spots.clone();
    apart.sort_unstable();
    apart.dedup();
    assert_eq!(apart.len(), spots.len());
    assert!(svg.contains(">26 black<") && svg.contains(">30 black<"));
}
