//! Cases and laws of undo and redo.
#![allow(clippy::unwrap_used)]

use crate::at_hand::{at, craft, craft_id, edit, mass, moment, move_sender, part_id, set_mass, workshop};
use crate::{JournalKind, Workshop, WorkshopFault};
use craft::{Craft, Edit};
use proptest::prelude::*;

fn with_two_sharing() -> Workshop {
    let mut shop = workshop();
    shop.import(&craft("racer", 50.0), "", moment(1)).unwrap();
    shop.import(&craft("cruiser", 50.0), "", moment(2)).unwrap();
    shop
}

#[test]
fn a_fresh_craft_has_nothing_to_undo_or_redo() {
    let mut shop = with_two_sharing();
    let racer = craft_id("racer");
    let fault = shop.undo(&racer, moment(3)).unwrap_err();
    assert_eq!(fault.to_string(), "craft \"racer\": nothing to undo");
    let fault = shop.redo(&racer, moment(3)).unwrap_err();
    assert_eq!(fault.to_string(), "craft \"racer\": nothing to redo");
    assert!(shop.undo(&craft_id("nobody"), moment(3)).is_err());
}

#[test]
fn a_new_edit_ends_what_could_be_redone() {
    let mut shop = with_two_sharing();
    let racer = craft_id("racer");
    shop.edit(&racer, &move_sender(4.0), moment(3)).unwrap();
    shop.undo(&racer, moment(4)).unwrap();
    assert!(shop.can_redo(&racer).unwrap().is_some());
    shop.edit(&racer, &move_sender(5.0), moment(5)).unwrap();
    assert_eq!(shop.can_redo(&racer).unwrap(), None);
    let kinds: Vec<JournalKind> =
        shop.journal(Some(&racer), 9).unwrap().iter().map(|line| line.kind).collect();
    use JournalKind::*;
    assert_eq!(kinds, [Edited, Undone, Edited, Imported], "undo adds a line and takes none away");
}

#[test]
fn histories_of_two_craft_do_not_mix() {
    let mut shop = with_two_sharing();
    let (racer, cruiser) = (craft_id("racer"), craft_id("cruiser"));
    shop.edit(&racer, &move_sender(4.0), moment(3)).unwrap();
    shop.edit(&cruiser, &move_sender(6.0), moment(4)).unwrap();
    assert_eq!(shop.undo(&racer, moment(5)).unwrap(), craft("racer", 50.0));
    assert!(shop.can_undo(&cruiser).unwrap().is_some());
}

#[test]
fn a_part_changed_since_by_another_craft_is_not_undone_over_it() {
    let mut shop = with_two_sharing();
    let (racer, cruiser) = (craft_id("racer"), craft_id("cruiser"));
    shop.edit(&racer, &set_mass("frame", 55.0), moment(3)).unwrap();
    shop.edit(&cruiser, &set_mass("frame", 58.0), moment(4)).unwrap();
    let fault = shop.undo(&racer, moment(5)).unwrap_err();
    let WorkshopFault::ChangedSince { thing, later: Some(later), .. } = &fault else { panic!("{fault}") };
    assert_eq!(
        (thing.as_str(), later.craft.as_ref(), later.at),
        ("part \"frame\"", Some(&cruiser), moment(4))
    );
    assert!(fault.to_string().ends_with("undo that first"), "{fault}");
    assert!(mass(&shop.craft(&racer).unwrap(), "frame").unwrap().starts_with("58 g"));

    shop.undo(&cruiser, moment(6)).unwrap();
    assert_eq!(shop.undo(&racer, moment(7)).unwrap(), craft("racer", 50.0));
}

#[test]
fn a_part_added_here_and_used_there_survives_the_undo_here() {
    let mut shop = with_two_sharing();
    let (racer, cruiser) = (craft_id("racer"), craft_id("cruiser"));
    let add = edit(r#"{"edit":"add_part","kind":"lens","name":"Lens"}"#);
    let with_lens = shop.edit(&racer, &add, moment(3)).unwrap();
    let part = shop.part(&part_id("lens")).unwrap().part;
    shop.edit(&cruiser, &Edit::AddPartWhole { part }, moment(4)).unwrap();
    assert_eq!(shop.part(&part_id("lens")).unwrap().used_by.len(), 2);
    assert_eq!(shop.undo(&racer, moment(5)).unwrap(), craft("racer", 50.0));
    assert_eq!(shop.part(&part_id("lens")).unwrap().used_by, [cruiser]);
    assert_eq!(shop.redo(&racer, moment(6)).unwrap(), Some(with_lens));
}

#[test]
fn a_plug_renamed_for_two_craft_is_undone_for_both() {
    let mut shop = with_two_sharing();
    let rename =
        edit(r#"{"edit":"set_row","part":"sender","table":"plug","row":0,"key":"name","text":"left"}"#);
    shop.edit(&craft_id("racer"), &rename, moment(3)).unwrap();
    shop.undo(&craft_id("racer"), moment(4)).unwrap();
    assert_eq!(shop.craft(&craft_id("cruiser")).unwrap(), craft("cruiser", 50.0));
}

#[test]
fn several_changes_are_one_line_and_one_undo() {
    let mut shop = with_two_sharing();
    let racer = craft_id("racer");
    let before = shop.craft(&racer).unwrap();
    // The workshop knows the id already, as another craft's part: the places follow to the next free one.
    let plate = r#"{"edit":"add_part_whole","part":{"id":"frame","kind":"adapter","name":"plate","values":{},"tables":{}}}"#;
    let on = r#"{"edit":"add_place","id":"plate","part":"frame-2","on":"frame"}"#;
    let seat = r#"{"edit":"set_place","place":"sender","key":"on","text":"plate"}"#;
    let all =
        edit(&format!(r#"{{"edit":"together","what":"Put in a plate","edits":[{plate},{on},{seat}]}}"#));
    let after = shop.edit(&racer, &all, moment(3)).unwrap();
    assert_eq!(at(&after, "plate").part, part_id("frame-2"));
    assert_eq!(shop.can_undo(&racer).unwrap().as_deref(), Some("Put in a plate"));
    assert_eq!(shop.journal(Some(&racer), 9).unwrap().len(), 2);
    assert_eq!(shop.undo(&racer, moment(4)).unwrap(), before);
    assert_eq!(shop.redo(&racer, moment(5)).unwrap(), Some(after));
}

#[test]
fn a_new_craft_under_an_old_id_does_not_inherit_its_history() {
    let mut shop = with_two_sharing();
    let racer = craft_id("racer");
    shop.edit(&racer, &move_sender(4.0), moment(3)).unwrap();
    shop.remove_craft(&racer, moment(4)).unwrap();
    shop.new_craft("Racer", None, moment(5)).unwrap();
    assert_eq!(shop.can_undo(&racer).unwrap(), None);
}

/// Edits of many kinds; which of them a craft takes depends on what went before.
fn any_edit() -> impl Strategy<Value = Edit> {
    let part = || prop_oneof![Just("frame"), Just("sender"), Just("whip"), Just("lens")];
    prop_oneof![
        (part(), 1..300u32).prop_map(|(part, mass)| set_mass(part, f64::from(mass) / 7.0)),
        (-50..50i32).prop_map(|z| move_sender(f64::from(z) / 3.0)),
        Just(edit(r#"{"edit":"add_part","kind":"lens","name":"Lens"}"#)),
        part().prop_map(|part| edit(&format!(r#"{{"edit":"add_place","part":"{part}"}}"#))),
        part().prop_map(|part| edit(&format!(r#"{{"edit":"remove_place","place":"{part}"}}"#))),
        part().prop_map(|part| edit(&format!(r#"{{"edit":"remove_part","part":"{part}"}}"#))),
        part()
            .prop_map(|part| edit(&format!(r#"{{"edit":"duplicate_part","part":"{part}","name":"Copy"}}"#))),
        (0..9u8).prop_map(|n| edit(&format!(
            r#"{{"edit":"set_row","part":"sender","table":"plug","row":0,"key":"name","text":"coax {n}"}}"#
        ))),
        (0..9u8).prop_map(|n| edit(&format!(r#"{{"edit":"set_craft","key":"name","text":"Name {n}"}}"#))),
    ]
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    #[test]
    fn undoing_all_gives_the_first_state_and_redoing_all_the_last(
        edits in proptest::collection::vec((any_edit(), any::<bool>()), 1..14),
    ) {
        let mut shop = with_two_sharing();
        let (racer, cruiser) = (craft_id("racer"), craft_id("cruiser"));
        // The states of both craft after each line of the racer's history.
        let states = |shop: &Workshop| (shop.craft(&racer).unwrap(), shop.craft(&cruiser).unwrap());
        let mut seen: Vec<(Craft, Craft)> = vec![states(&shop)];
        let mut clock = 10;
        let mut tick = || { clock += 1; moment(clock) };
        for (edit, then_back_and_forth) in &edits {
            let lines = shop.last_seq().unwrap();
            if shop.edit(&racer, edit, tick()).is_ok() && shop.last_seq().unwrap() > lines {
                seen.push(states(&shop));
                if *then_back_and_forth {
                    shop.undo(&racer, tick()).unwrap();
                    prop_assert_eq!(&states(&shop), &seen[seen.len() - 2]);
                    shop.redo(&racer, tick()).unwrap();
                    prop_assert_eq!(&states(&shop), &seen[seen.len() - 1]);
                }
            }
        }
        for state in seen.iter().rev().skip(1) {
            shop.undo(&racer, tick()).unwrap();
            prop_assert_eq!(&states(&shop), state);
        }
        prop_assert_eq!(shop.can_undo(&racer).unwrap(), None);
        for state in seen.iter().skip(1) {
            shop.redo(&racer, tick()).unwrap();
            prop_assert_eq!(&states(&shop), state);
        }
        prop_assert_eq!(shop.can_redo(&racer).unwrap(), None);
    }

    #[test]
    fn edits_of_two_craft_in_any_order_are_undone_in_reverse(
        edits in proptest::collection::vec((any_edit(), any::<bool>()), 1..10),
    ) {
        let mut shop = with_two_sharing();
        let (racer, cruiser) = (craft_id("racer"), craft_id("cruiser"));
        let mut done = Vec::new();
        for (edit, here) in &edits {
            let id = if *here { &racer } else { &cruiser };
            let lines = shop.last_seq().unwrap();
            if shop.edit(id, edit, moment(5)).is_ok() && shop.last_seq().unwrap() > lines {
                done.push(id);
            }
        }
        for id in done.into_iter().rev() {
            shop.undo(id, moment(6)).unwrap();
        }
        prop_assert_eq!(shop.craft(&racer).unwrap(), craft("racer", 50.0));
        prop_assert_eq!(shop.craft(&cruiser).unwrap(), craft("cruiser", 50.0));
    }
}
