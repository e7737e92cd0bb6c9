//! Cases of opening: each thing that can be wrong with a path or file is told apart.
#![allow(clippy::unwrap_used)]

use super::*;
use crate::at_hand::{craft, craft_id, moment, move_sender};
use std::fs::Permissions;
use tempfile::{TempDir, tempdir};

fn place() -> (TempDir, PathBuf) {
    let folder = tempdir().unwrap();
    let path = folder.path().join("garage.creance");
    (folder, path)
}

fn with_racer(path: &Path) -> Workshop {
    let mut shop = Workshop::create(path).unwrap().workshop;
    shop.import(&craft("racer", 50.0), "", moment(1)).unwrap();
    shop
}

/// The fault's words with the folder taken out, since that differs from run to run.
fn words(folder: &TempDir, fault: &WorkshopFault) -> String {
    let shown = format!("{:?}", folder.path());
    fault.to_string().replace(&shown[1..shown.len() - 1], "…").replace("…/", "").replace("…\\\\", "")
}

#[test]
fn what_was_saved_is_there_when_opened_again() {
    let (_folder, path) = place();
    drop(with_racer(&path));
    let opened = Workshop::open(&path).unwrap();
    assert!(!opened.made && opened.brought_up.is_none());
    assert_eq!(opened.workshop.craft(&craft_id("racer")).unwrap(), craft("racer", 50.0));
    assert!(Workshop::open_or_create(path.with_file_name("other")).unwrap().made);
}

#[test]
fn the_store_keeps_a_log_and_syncs_every_commit() {
    let (_folder, path) = place();
    let shop = with_racer(&path);
    let pragma =
        |name: &str| shop.conn.pragma_query_value(None, name, |row| row.get::<_, rusqlite::types::Value>(0));
    assert_eq!(pragma("journal_mode").unwrap(), "wal".to_owned().into());
    assert_eq!(pragma("synchronous").unwrap(), 2.into());
    assert_eq!(pragma("foreign_keys").unwrap(), 1.into());
}

#[test]
fn each_wrong_path_has_its_own_words() {
    let (folder, path) = place();
    let told = |fault: WorkshopFault| words(&folder, &fault);
    assert_eq!(
        told(Workshop::open(&path).unwrap_err()),
        "workshop \"garage.creance\" is not there; make a new one or name another file"
    );
    assert_eq!(
        Workshop::open(folder.path()).unwrap_err().to_string(),
        format!("{:?} is a folder, not a workshop; name a file in it", folder.path())
    );
    assert_eq!(
        told(Workshop::create(folder.path().join("attic").join("garage")).unwrap_err()).replace("\\\\", "/"),
        "workshop \"attic/garage\": there is no folder \"attic\"; make it first or name another place"
    );
    drop(with_racer(&path));
    assert_eq!(
        told(Workshop::create(&path).unwrap_err()),
        "workshop \"garage.creance\" is already there; open it, or name another file for the new one"
    );
}

#[test]
fn a_file_of_something_else_is_left_alone() {
    let (folder, path) = place();
    for (bytes, what) in [
        (&b""[..], "the file is empty"),
        (b"short", "its first bytes are not those of a workshop"),
        (b"\xff\xfe not text and not a workshop either", "its first bytes are not those of a workshop"),
    ] {
        fs::write(&path, bytes).unwrap();
        for fault in [Workshop::open(&path).unwrap_err(), Workshop::open_read_only(&path).unwrap_err()] {
            assert_eq!(
                words(&folder, &fault),
                format!("\"garage.creance\" is no workshop: {what}; name another file")
            );
        }
        assert_eq!(fs::read(&path).unwrap(), bytes);
    }
    fs::remove_file(&path).unwrap();
    Connection::open(&path).unwrap().execute_batch("CREATE TABLE recipe (name TEXT)").unwrap();
    assert_eq!(
        words(&folder, &Workshop::open(&path).unwrap_err()),
        "\"garage.creance\" is no workshop: it is a data file of another program; name another file"
    );
}

#[test]
fn a_newer_form_is_refused_and_left_alone() {
    let (folder, path) = place();
    drop(with_racer(&path));
    Connection::open(&path).unwrap().pragma_update(None, "user_version", FORM + 1).unwrap();
    let fault = Workshop::open(&path).unwrap_err();
    let known = FORM;
    assert_eq!(
        words(&folder, &fault),
        format!(
            "workshop \"garage.creance\" has form {}, this program knows forms up to {known}; open it with the newer \
             program that wrote it",
            known + 1
        )
    );
}

#[test]
fn a_file_marked_read_only_is_read_but_not_written() {
    let (folder, path) = place();
    drop(with_racer(&path));
    let mut permissions: Permissions = fs::metadata(&path).unwrap().permissions();
    permissions.set_readonly(true);
    fs::set_permissions(&path, permissions).unwrap();
    assert_eq!(
        words(&folder, &Workshop::open(&path).unwrap_err()),
        "workshop \"garage.creance\" may not be written: the file is marked read-only; unmark it, or copy it elsewhere; \
         nothing was changed"
    );
    let mut shop = Workshop::open_read_only(&path).unwrap();
    assert_eq!(shop.craft(&craft_id("racer")).unwrap(), craft("racer", 50.0));
    let fault = shop.edit(&craft_id("racer"), &move_sender(3.0), moment(2)).unwrap_err();
    assert_eq!(
        words(&folder, &fault),
        "workshop \"garage.creance\" may not be written: it is open for reading only; nothing was changed"
    );
}

#[cfg(unix)]
#[test]
fn a_folder_marked_read_only_is_told_before_anything_is_made() {
    use std::os::unix::fs::PermissionsExt;
    let (folder, path) = place();
    drop(with_racer(&path));
    fs::set_permissions(folder.path(), Permissions::from_mode(0o555)).unwrap();
    let faults =
        [Workshop::open(&path).unwrap_err(), Workshop::create(path.with_file_name("new")).unwrap_err()];
    fs::set_permissions(folder.path(), Permissions::from_mode(0o755)).unwrap();
    for fault in faults {
        assert!(fault.to_string().contains("its folder is marked read-only"), "{fault}");
    }
}

#[test]
fn a_file_that_nobody_can_write_beside_is_read_by_its_still_name() {
    let folder = tempdir().unwrap();
    let path = folder.path().join("50 % done? #1.creance");
    drop(with_racer(&path));
    let flags = OpenFlags::SQLITE_OPEN_READ_ONLY | OpenFlags::SQLITE_OPEN_URI;
    let conn = Connection::open_with_flags(still_name(&path).unwrap(), flags).unwrap();
    assert_eq!(form::marks(&conn).unwrap(), (APPLICATION_ID, FORM));
    form::examine(&conn).unwrap();
    assert!(!beside(&path, "-shm").exists(), "nothing is made beside it");
}

#[test]
fn a_second_writer_is_told_who_holds_it_and_readers_read_on() {
    let (folder, path) = place();
    let mut shop = with_racer(&path);
    shop.announce("http://127.0.0.1:8971").unwrap();
    let fault = Workshop::open(&path).unwrap_err();
    let WorkshopFault::InUse { by, .. } = &fault else { panic!("{fault}") };
    assert_eq!(by.process, Some(std::process::id()));
    assert!(
        words(&folder, &fault)
            .ends_with("whose pages are at http://127.0.0.1:8971; use that one or end it first"),
        "{fault}"
    );
    let reader = Workshop::open_read_only(&path).unwrap();
    assert!(reader.is_read_only() && !shop.is_read_only());
    let moved = shop.edit(&craft_id("racer"), &move_sender(3.0), moment(2)).unwrap();
    assert_eq!(reader.craft(&craft_id("racer")).unwrap(), moved, "a reader sees what was committed since");
    drop(shop);
    assert!(Workshop::open(&path).is_ok());
}

#[test]
fn a_crash_while_making_one_leaves_none_and_does_not_stand_in_the_way() {
    let (_folder, path) = place();
    fs::write(beside(&path, ".half-made"), b"SQLite format 3\0 and then the power went").unwrap();
    assert!(matches!(Workshop::open(&path).unwrap_err(), WorkshopFault::Missing { .. }));
    drop(with_racer(&path));
    assert!(!beside(&path, ".half-made").exists());
}

#[cfg(unix)]
#[test]
fn a_workshop_called_by_a_link_is_the_same_workshop() {
    let (folder, path) = place();
    let shop = with_racer(&path);
    let link = folder.path().join("link");
    std::os::unix::fs::symlink(&path, &link).unwrap();
    assert!(matches!(Workshop::open(&link).unwrap_err(), WorkshopFault::InUse { .. }));
    assert!(shop.backup(&link).unwrap_err().to_string().contains("it is the workshop itself"));
    drop(shop);
    assert!(Workshop::open(&link).is_ok());
}

#[test]
fn reading_leaves_nothing_that_stands_in_the_way_of_writing() {
    let (_folder, path) = place();
    drop(with_racer(&path));
    let reader = Workshop::open_read_only(&path).unwrap();
    let mut shop = Workshop::open(&path).unwrap().workshop;
    let moved = shop.edit(&craft_id("racer"), &move_sender(3.0), moment(2)).unwrap();
    assert_eq!(reader.craft(&craft_id("racer")).unwrap(), moved);
    drop(shop);
    drop(reader);
    assert_eq!(Workshop::open(&path).unwrap().workshop.craft(&craft_id("racer")).unwrap(), moved);
}

#[test]
fn reading_leaves_no_trace_beside_the_file() {
    let (folder, path) = place();
    drop(with_racer(&path));
    let beside_it = || {
        let mut names: Vec<String> = fs::read_dir(folder.path())
            .unwrap()
            .map(|entry| entry.unwrap().file_name().to_string_lossy().into_owned())
            .collect();
        names.sort();
        names
    };
    let before = beside_it();
    let reader = Workshop::open_read_only(&path).unwrap();
    assert_eq!(reader.craft(&craft_id("racer")).unwrap(), craft("racer", 50.0));
    drop(reader);
    assert_eq!(beside_it(), before);
    // Nor does one of two readers take anything from the other.
    let (first, second) =
        (Workshop::open_read_only(&path).unwrap(), Workshop::open_read_only(&path).unwrap());
    drop(first);
    assert_eq!(second.craft(&craft_id("racer")).unwrap(), craft("racer", 50.0));
}

#[test]
fn a_store_kept_busy_by_another_program_is_told() {
    let (folder, path) = place();
    let mut shop = with_racer(&path);
    // A program that knows nothing of the lock.
    let other = Connection::open(&path).unwrap();
    other.execute_batch("BEGIN IMMEDIATE").unwrap();
    shop.conn.busy_timeout(Duration::ZERO).unwrap();
    let fault = shop.edit(&craft_id("racer"), &move_sender(3.0), moment(2)).unwrap_err();
    assert_eq!(
        words(&folder, &fault),
        "workshop \"garage.creance\" stayed busy for 5 s; nothing was changed; do it again"
    );
    other.execute_batch("ROLLBACK").unwrap();
    assert!(shop.edit(&craft_id("racer"), &move_sender(3.0), moment(2)).is_ok());
}

#[test]
fn a_full_disk_is_told_and_nothing_saved_is_lost() {
    let (folder, path) = place();
    let mut shop = with_racer(&path);
    let id = craft_id("racer");
    let pages: i64 = shop.conn.pragma_query_value(None, "page_count", |row| row.get(0)).unwrap();
    shop.conn.pragma_update_and_check(None, "max_page_count", pages, |_| Ok(())).unwrap();
    let mut last = shop.craft(&id).unwrap();
    let fault = (0..200).find_map(|n| match shop.edit(&id, &move_sender(f64::from(n)), moment(2)) {
        Ok(craft) => {
            last = craft;
            None
        }
        Err(fault) => Some(fault),
    });
    assert_eq!(
        words(&folder, &fault.unwrap()),
        "the disk under \"garage.creance\" is full; nothing was changed and all that was saved is safe; free some room \
         and do it again"
    );
    assert_eq!(shop.craft(&id).unwrap(), last);
    drop(shop);
    let mut shop = Workshop::open(&path).unwrap().workshop;
    assert_eq!(shop.craft(&id).unwrap(), last);
    shop.edit(&id, &move_sender(-1.0), moment(3)).unwrap();
}
