//! Cases of the form and its migrations.
#![allow(clippy::unwrap_used)]

use super::*;
use crate::at_hand::{craft_id, mass, moment, set_mass};
use crate::{BroughtUp, Workshop};
use std::path::Path;
use tempfile::tempdir;

/// A workshop as the first release wrote it, told in SQL.
const FORM_1: &str = include_str!("../fixtures/form_1.sql");

fn write_form_1(path: &Path) {
    let mut conn = Connection::open(path).unwrap();
    bring_up(&mut conn, 1).unwrap();
    conn.execute_batch(FORM_1).unwrap();
}

#[test]
fn a_workshop_of_form_1_is_backed_up_and_brought_up() {
    let folder = tempdir().unwrap();
    let path = folder.path().join("garage");
    write_form_1(&path);
    let opened = Workshop::open(&path).unwrap();
    let backup = folder.path().join(format!("garage.before-v{FORM}.backup"));
    assert_eq!(opened.brought_up, Some(BroughtUp { from: 1, to: FORM, backup: backup.clone() }));

    let mut shop = opened.workshop;
    let wren = craft_id("wren");
    assert!(mass(&shop.craft(&wren).unwrap(), "frame").unwrap().starts_with("41.5 g"));
    shop.set_setting("theme", Some("dark")).unwrap();
    assert_eq!(shop.can_undo(&wren).unwrap().as_deref(), Some("Set mass of frame \"Frame\" to 41.5 g"));
    assert_eq!(mass(&shop.undo(&wren, moment(9)).unwrap(), "frame"), None, "old edits can still be undone");
    drop(shop);
    assert_eq!(Workshop::open(&path).unwrap().brought_up, None);

    let (mark, form) = marks(&Connection::open(&backup).unwrap()).unwrap();
    assert_eq!((mark, form), (APPLICATION_ID, 1), "the backup is of the form before");
}

#[test]
fn a_reader_reads_an_older_form_and_leaves_it_as_it_is() {
    let folder = tempdir().unwrap();
    let path = folder.path().join("garage");
    write_form_1(&path);
    let before = std::fs::read(&path).unwrap();
    let mut shop = Workshop::open_read_only(&path).unwrap();
    assert_eq!(shop.craft(&craft_id("wren")).unwrap().parts.len(), 1);
    assert_eq!(shop.setting("theme").unwrap(), None);
    assert!(shop.edit(&craft_id("wren"), &set_mass("frame", 1.0), moment(1)).is_err());
    drop(shop);
    assert_eq!(std::fs::read(&path).unwrap(), before);
}

#[test]
fn a_backup_before_migration_never_replaces_an_earlier_one() {
    let folder = tempdir().unwrap();
    let path = folder.path().join("garage");
    for expected in [format!("garage.before-v{FORM}.backup"), format!("garage.before-v{FORM}-2.backup")] {
        write_form_1(&path);
        let brought_up = Workshop::open(&path).unwrap().brought_up.unwrap();
        assert_eq!(brought_up.backup, folder.path().join(expected));
        std::fs::remove_file(&path).unwrap();
    }
}

#[test]
fn a_damaged_file_of_an_older_form_is_not_migrated() {
    let folder = tempdir().unwrap();
    let path = folder.path().join("garage");
    write_form_1(&path);
    Connection::open(&path)
        .unwrap()
        .execute("UPDATE part SET json = replace(json, '41.5', '14.5')", [])
        .unwrap();
    let before = std::fs::read(&path).unwrap();
    let fault = Workshop::open(&path).map(|_| ()).unwrap_err().to_string();
    assert!(fault.contains("part \"frame\" is not as it was written"), "{fault}");
    assert_eq!(std::fs::read(&path).unwrap(), before);
}

#[test]
fn tables_altered_by_another_program_are_told() {
    let mut conn = Connection::open_in_memory().unwrap();
    bring_up(&mut conn, FORM).unwrap();
    examine(&conn).unwrap();
    conn.execute_batch("DROP TRIGGER journal_is_never_shortened").unwrap();
    let Err(Trouble::Rotten(what)) = examine(&conn) else { panic!("altered tables must be told") };
    assert_eq!(what, format!("its tables are not those of form {FORM}"));
}

#[test]
fn a_migration_is_all_or_nothing() {
    let mut conn = Connection::open_in_memory().unwrap();
    bring_up(&mut conn, 1).unwrap();
    // Something that stands in the way of form 2.
    conn.execute_batch("CREATE TABLE setting (other TEXT)").unwrap();
    assert!(bring_up(&mut conn, 2).is_err());
    assert_eq!(marks(&conn).unwrap().1, 1);
}
