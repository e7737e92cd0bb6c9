//! Cases of the fleet.
#![allow(clippy::unwrap_used)]

use crate::at_hand::{at, craft, craft_id, edit, mass, moment, move_sender, part_id, set_mass, workshop};
use crate::{JournalKind, Workshop, WorkshopFault};
use craft::{Craft, CraftClass, write_value};

fn with_two_sharing() -> Workshop {
    let mut shop = workshop();
    shop.import(&craft("racer", 50.0), "", moment(1)).unwrap();
    shop.import(&craft("cruiser", 50.0), "", moment(2)).unwrap();
    shop
}

#[test]
fn a_craft_is_begun_named_and_listed_in_order() {
    let mut shop = workshop();
    let first = shop.new_craft("Night owl", Some(CraftClass::Open5), moment(1)).unwrap();
    let second = shop.new_craft("Night owl", None, moment(2)).unwrap();
    assert_eq!((first.id.as_str(), second.id.as_str()), ("night-owl", "night-owl-2"));
    let cards = shop.list_craft().unwrap();
    assert_eq!(cards.iter().map(|card| &card.id).collect::<Vec<_>>(), [&first.id, &second.id]);
    assert_eq!(cards[0].class, Some(CraftClass::Open5));
    assert!(!cards[0].demo);
}

#[test]
fn a_craft_comes_back_exactly_as_it_went_in() {
    let mut shop = workshop();
    let racer = craft("racer", 0.1 + 0.2);
    let id = shop.import(&racer, "# a remark\n", moment(1)).unwrap().craft;
    assert_eq!(shop.craft_and_sheet(&id).unwrap(), (racer, Some("# a remark\n".to_owned())));
}

#[test]
fn an_edit_is_stored_told_and_touches_only_its_rows() {
    let mut shop = with_two_sharing();
    let racer = craft_id("racer");
    let after = shop.edit(&racer, &move_sender(4.0), moment(3)).unwrap();
    assert_eq!(at(&after, "sender").values.get("z").map(write_value).as_deref(), Some("4 mm, typical"));
    assert_eq!(shop.craft(&racer).unwrap(), after);
    let line = shop.journal(Some(&racer), 1).unwrap().remove(0);
    assert_eq!((line.seq, line.kind), (3, JournalKind::Edited));
    assert_eq!(line.what, "Move place \"sender\" to z 4 mm");
    assert_eq!(line.after().unwrap().len(), 1, "one place moved is one row");
    assert!(line.edit.unwrap().contains("move_place"));
}

#[test]
fn an_edit_that_changes_nothing_leaves_no_line() {
    let mut shop = with_two_sharing();
    shop.edit(&craft_id("racer"), &set_mass("frame", 50.0), moment(3)).unwrap();
    assert_eq!(shop.last_seq().unwrap(), 2);
}

#[test]
fn a_refused_edit_changes_nothing_and_says_why() {
    let mut shop = with_two_sharing();
    let before = shop.craft(&craft_id("racer")).unwrap();
    let fault = shop.edit(&craft_id("racer"), &set_mass("frame", -1.0), moment(3)).unwrap_err();
    assert!(fault.to_string().contains("mass -1 g must be between"), "{fault}");
    assert!(matches!(fault, WorkshopFault::Edit { .. }));
    assert_eq!(shop.craft(&craft_id("racer")).unwrap(), before);
    assert_eq!(shop.last_seq().unwrap(), 2);
}

#[test]
fn an_edit_of_a_shared_part_holds_for_every_craft_that_uses_it() {
    let mut shop = with_two_sharing();
    shop.edit(&craft_id("racer"), &set_mass("frame", 55.0), moment(3)).unwrap();
    let other = shop.craft(&craft_id("cruiser")).unwrap();
    assert_eq!(
        mass(&other, "frame").as_deref(),
        mass(&shop.craft(&craft_id("racer")).unwrap(), "frame").as_deref()
    );
    assert!(mass(&other, "frame").unwrap().starts_with("55 g"));
}

#[test]
fn renaming_a_plug_of_a_shared_part_carries_every_lead_along() {
    let mut shop = with_two_sharing();
    let rename =
        edit(r#"{"edit":"set_row","part":"sender","table":"plug","row":0,"key":"name","text":"left coax"}"#);
    shop.edit(&craft_id("racer"), &rename, moment(3)).unwrap();
    for id in ["racer", "cruiser"] {
        let craft = shop.craft(&craft_id(id)).unwrap();
        assert_eq!(
            at(&craft, "whip").values.get("from").map(write_value).as_deref(),
            Some("sender/left coax")
        );
        assert!(craft::faults(&craft).is_empty());
    }
}

#[test]
fn an_edit_that_breaks_another_craft_is_refused_by_its_name() {
    let mut shop = with_two_sharing();
    let racer = craft_id("racer");
    shop.edit(&racer, &edit(r#"{"edit":"set_place","place":"whip","key":"from","text":null}"#), moment(3))
        .unwrap();
    let fault = shop
        .edit(&racer, &edit(r#"{"edit":"remove_row","part":"sender","table":"plug","row":0}"#), moment(4))
        .unwrap_err();
    assert!(
        fault
            .to_string()
            .starts_with("part \"sender\" is shared with craft \"cruiser\", where this cannot stand: "),
        "{fault}"
    );
    assert_eq!(shop.last_seq().unwrap(), 3);
}

#[test]
fn a_part_begun_on_the_bench_is_a_new_one_though_it_is_called_alike() {
    let mut shop = workshop();
    let add = edit(r#"{"edit":"add_part","kind":"camera","name":"Camera"}"#);
    for name in ["One", "Two"] {
        let id = shop.new_craft(name, None, moment(1)).unwrap().id;
        shop.edit(&id, &add, moment(2)).unwrap();
    }
    let two = shop.edit(&craft_id("two"), &set_mass("camera-2", 7.0), moment(3)).unwrap();
    assert_eq!(two.parts[0].id, part_id("camera-2"));
    assert_eq!(mass(&shop.craft(&craft_id("one")).unwrap(), "camera"), None);
    let line = &shop.journal(Some(&craft_id("two")), 2).unwrap()[1];
    assert!(line.edit.as_deref().unwrap().contains("camera-2"), "the journal keeps the id that was given");
}

#[test]
fn a_copy_shares_parts_and_is_a_craft_of_its_own() {
    let mut shop = with_two_sharing();
    let copy = shop.duplicate_craft(&craft_id("racer"), "Racer for rain", moment(3)).unwrap();
    assert_eq!(copy.id.as_str(), "racer-for-rain");
    let original = shop.craft(&craft_id("racer")).unwrap();
    assert_eq!(Craft { id: original.id.clone(), name: original.name.clone(), ..copy }, original);
    shop.edit(&craft_id("racer-for-rain"), &move_sender(9.0), moment(4)).unwrap();
    assert_eq!(shop.craft(&craft_id("racer")).unwrap(), original);
}

#[test]
fn a_removed_craft_leaves_its_parts_and_comes_back_by_undo() {
    let mut shop = with_two_sharing();
    let racer = craft_id("racer");
    shop.edit(&racer, &move_sender(4.0), moment(3)).unwrap();
    let before = shop.craft(&racer).unwrap();
    shop.remove_craft(&racer, moment(4)).unwrap();
    assert_eq!(shop.parts().unwrap().len(), 3);
    assert_eq!(shop.craft(&racer).unwrap_err().to_string(), "no craft \"racer\" in this workshop");
    assert_eq!(shop.can_undo(&racer).unwrap().as_deref(), Some("Remove craft \"racer\""));
    assert_eq!(shop.undo(&racer, moment(5)).unwrap(), before);
    assert_eq!(shop.can_undo(&racer).unwrap().as_deref(), Some("Move place \"sender\" to z 4 mm"));
    assert_eq!(shop.redo(&racer, moment(6)).unwrap(), None);
    assert_eq!(shop.undo(&racer, moment(7)).unwrap(), before);
}

#[test]
fn a_mistyped_id_gets_the_near_one_offered() {
    let shop = with_two_sharing();
    let fault = shop.craft(&craft_id("raser")).unwrap_err();
    assert_eq!(fault.to_string(), "no craft \"raser\" in this workshop; did you mean \"racer\"?");
    assert!(fault.is_not_found());
}

#[test]
fn a_craft_with_two_places_alike_is_not_stored() {
    let mut shop = workshop();
    let mut racer = craft("racer", 50.0);
    racer.places.push(racer.places[0].clone());
    let fault = shop.import(&racer, "", moment(1)).unwrap_err();
    assert_eq!(
        fault.to_string(),
        "craft \"racer\" has two places \"frame\"; rename one; nothing was changed"
    );
}

#[test]
fn a_number_that_is_not_finite_is_not_stored() {
    let mut shop = workshop();
    let mut racer = craft("racer", 50.0);
    if let Some(craft::Value::Fact(fact)) = racer.parts[0].values.get_mut("mass") {
        fact.quantity.value = f64::NAN;
    }
    let fault = shop.import(&racer, "", moment(1)).unwrap_err();
    assert!(fault.to_string().contains("part \"frame\" cannot be stored"), "{fault}");
    assert_eq!((shop.last_seq().unwrap(), shop.parts().unwrap().len()), (0, 0));
}

#[test]
fn a_note_goes_into_the_journal_and_changes_nothing() {
    let mut shop = with_two_sharing();
    let racer = craft_id("racer");
    shop.note(&racer, JournalKind::Exported, "Export as racer.toml", moment(3)).unwrap();
    assert_eq!(shop.journal(Some(&racer), 1).unwrap()[0].what, "Export as racer.toml");
    assert_eq!(shop.can_undo(&racer).unwrap(), None);
    assert!(shop.note(&racer, JournalKind::Removed, "no", moment(4)).is_err());
}
