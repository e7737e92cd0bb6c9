//! Cases of import and export.
#![allow(clippy::unwrap_used)]

use crate::WorkshopFault;
use crate::at_hand::{craft, craft_id, moment, workshop};

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
    let sheet = " ".repeat(craft::limits::SHEET_BYTES_MAX + 1);
    let fault = workshop().import(&craft("racer", 50.0), &sheet, moment(1)).unwrap_err();
    assert_eq!(
        fault.to_string(),
        "the sheet of \"racer\" has 67108865 bytes and may have 67108864; split it; nothing was changed"
    );
}
