//! Cases of import and export.
#![allow(clippy::unwrap_used)]

use crate::WorkshopFault;
use crate::at_hand::{craft, craft_id, moment, move_sender, set_mass, workshop};
use ::craft::{read_sheet, write_sheet};
use proptest::prelude::*;

#[test]
fn the_very_same_craft_is_not_taken_in_twice() {
    let mut shop = workshop();
    let racer = craft("racer", 50.0);
    assert!(!shop.import(&racer, "a", moment(1)).unwrap().already_there);
    let again = shop.import(&racer, "a", moment(2)).unwrap();
    assert!(again.already_there);
    assert_eq!((again.craft, shop.last_seq().unwrap()), (craft_id("racer"), 1));
}

#[test]
fn a_craft_whose_id_is_taken_gets_the_next() {
    let mut shop = workshop();
    shop.import(&craft("racer", 50.0), "", moment(1)).unwrap();
    let other = shop.import(&craft("racer", 60.0), "", moment(2)).unwrap();
    assert_eq!((other.craft, other.craft_was), (craft_id("racer-2"), Some(craft_id("racer"))));
    assert_eq!(shop.craft(&craft_id("racer")).unwrap(), craft("racer", 50.0));
}

#[test]
fn an_import_is_all_or_nothing() {
    let mut shop = workshop();
    shop.import(&craft("racer", 50.0), "", moment(1)).unwrap();
    let parts = shop.parts().unwrap();
    let pages: i64 = shop.conn.pragma_query_value(None, "page_count", |row| row.get(0)).unwrap();
    shop.conn.pragma_update_and_check(None, "max_page_count", pages + 2, |_| Ok(())).unwrap();
    let mut big = craft("big", 70.0);
    let row = big.parts[1].tables["plug"][0].clone();
    big.parts[1].tables.insert("plug".to_owned(), vec![row; 2000]);
    let fault = shop.import(&big, "", moment(2)).unwrap_err();
    assert!(matches!(fault, WorkshopFault::DiskFull { .. }), "{fault}");
    assert_eq!(shop.parts().unwrap(), parts);
    assert_eq!((shop.list_craft().unwrap().len(), shop.last_seq().unwrap()), (1, 1));
    crate::form::examine(&shop.conn).unwrap();

    shop.conn.pragma_update_and_check(None, "max_page_count", 1_000_000, |_| Ok(())).unwrap();
    shop.import(&big, "", moment(3)).unwrap();
    assert_eq!(shop.craft(&craft_id("big")).unwrap().parts[1].tables, big.parts[1].tables);
}

#[test]
fn a_sheet_beyond_the_limit_is_refused_with_the_limit() {
    let most = ::craft::limits::SHEET_BYTES_MAX;
    let fault = workshop().import(&craft("racer", 50.0), &" ".repeat(most + 1), moment(1)).unwrap_err();
    let bytes = most + 1;
    assert_eq!(
        fault.to_string(),
        format!(
            "the sheet of \"racer\" has {bytes} bytes and may have {most}; split it; nothing was changed"
        )
    );
}

#[test]
fn a_sheet_keeps_its_comments_through_the_workshop() {
    let mut shop = workshop();
    let sheet = format!("# Flown at the quarry.\n{}# The end.\n", write_sheet(&craft("racer", 50.0)));
    let racer = shop.import(&read_sheet(&sheet).craft, &sheet, moment(1)).unwrap().craft;
    assert_eq!(shop.export(&racer).unwrap(), sheet, "what was not changed goes out as it came in");
    shop.edit(&racer, &set_mass("frame", 61.0), moment(2)).unwrap();
    let out = shop.export(&racer).unwrap();
    assert!(out.starts_with("# Flown at the quarry.\n") && out.ends_with("# The end.\n"), "{out}");
    assert_eq!(read_sheet(&out).craft, shop.craft(&racer).unwrap());
}

#[test]
fn a_craft_that_came_from_no_sheet_goes_out_as_a_new_one() {
    let mut shop = workshop();
    let kite = shop.new_craft("Kite", None, moment(1)).unwrap();
    assert_eq!(shop.export(&kite.id).unwrap(), write_sheet(&kite));
    assert_eq!(shop.last_seq().unwrap(), 1, "going out is not an event of the craft");
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    #[test]
    fn what_goes_out_of_one_workshop_comes_into_another_the_same(
        grams in 1..3000u32,
        height in -900..900i32,
        renamed in any::<bool>(),
    ) {
        let mut shop = workshop();
        if renamed {
            shop.import(&craft("racer", 1.0), "", moment(1)).unwrap();
        }
        let original = craft("racer", f64::from(grams) / 7.0);
        let id = shop.import(&original, &write_sheet(&original), moment(2)).unwrap().craft;
        shop.edit(&id, &move_sender(f64::from(height) / 3.0), moment(3)).unwrap();
        let sheet = shop.export(&id).unwrap();
        let reading = read_sheet(&sheet);
        prop_assert!(reading.faults.is_empty());
        let mut other = workshop();
        let there = other.import(&reading.craft, &sheet, moment(4)).unwrap().craft;
        prop_assert_eq!(other.craft(&there).unwrap(), shop.craft(&id).unwrap());
    }
}
