//! Cases of backup.
#![allow(clippy::unwrap_used)]

use super::*;
use crate::at_hand::{craft, craft_id, moment, move_sender};
use tempfile::{TempDir, tempdir};

const DAY: i64 = 86_400;

fn with_racer() -> (TempDir, Workshop) {
    let folder = tempdir().unwrap();
    let mut shop = Workshop::create(folder.path().join("garage")).unwrap().workshop;
    shop.import(&craft("racer", 50.0), "# remark\n", moment(1)).unwrap();
    (folder, shop)
}

fn names(folder: &TempDir) -> Vec<String> {
    let entries = fs::read_dir(folder.path()).unwrap();
    let mut names: Vec<String> =
        entries.map(|entry| entry.unwrap().file_name().into_string().unwrap()).collect();
    names.retain(|name| {
        !name.starts_with("garage-") && !name.ends_with(".lock") && !name.ends_with(".holder")
    });
    names.sort();
    names
}

#[test]
fn a_backup_is_one_file_that_opens_as_the_same_workshop() {
    let (folder, mut shop) = with_racer();
    let to = folder.path().join("copy");
    shop.backup(&to).unwrap();
    assert_eq!(names(&folder), ["copy", "garage"]);
    let moved = shop.edit(&craft_id("racer"), &move_sender(2.0), moment(2)).unwrap();
    let copy = Workshop::open_read_only(&to).unwrap();
    assert_eq!(copy.craft(&craft_id("racer")).unwrap(), craft("racer", 50.0));
    drop(copy);
    shop.backup(&to).unwrap();
    let mut copy = Workshop::open(&to).unwrap().workshop;
    assert_eq!(copy.craft(&craft_id("racer")).unwrap(), moved, "an older backup is replaced");
    assert_eq!(
        copy.undo(&craft_id("racer"), moment(3)).unwrap(),
        craft("racer", 50.0),
        "the journal came along"
    );
}

#[test]
fn a_reader_can_make_a_backup_while_the_workshop_is_in_use() {
    let (folder, shop) = with_racer();
    let reader = Workshop::open_read_only(shop.path()).unwrap();
    reader.backup(folder.path().join("copy")).unwrap();
    assert!(is_sound(&folder.path().join("copy")));
}

#[test]
fn a_half_written_backup_left_by_a_crash_does_not_stand_in_the_way() {
    let (folder, shop) = with_racer();
    let to = folder.path().join("copy");
    for ending in ["", "-journal", "-wal"] {
        fs::write(beside(&to, &format!(".half-{}{ending}", std::process::id())), "noise").unwrap();
    }
    shop.backup(&to).unwrap();
    assert_eq!(names(&folder), ["copy", "garage"]);
}

#[test]
fn a_backup_overwrites_nothing_but_a_workshop_at_rest() {
    let (folder, shop) = with_racer();
    let letter = folder.path().join("letter.txt");
    fs::write(&letter, "Dear aunt").unwrap();
    let fault = shop.backup(&letter).unwrap_err().to_string();
    assert!(
        fault.ends_with("letter.txt\" was not overwritten: it is no workshop; name another file"),
        "{fault}"
    );
    assert_eq!(fs::read(&letter).unwrap(), b"Dear aunt");

    let fault = shop.backup(shop.path()).unwrap_err().to_string();
    assert!(fault.contains("it is the workshop itself"), "{fault}");

    let mut other = Workshop::create(folder.path().join("other")).unwrap().workshop;
    other.new_craft("Kite", None, moment(1)).unwrap();
    let fault = shop.backup(other.path()).unwrap_err().to_string();
    assert!(fault.contains("it is a workshop in use"), "{fault}");
    drop(other);
    let idle = Workshop::open(folder.path().join("other")).unwrap().workshop;
    assert!(matches!(shop.backup(idle.path()).unwrap_err(), WorkshopFault::InUse { .. }));

    let fault = shop.backup(beside(shop.path(), "-journal")).unwrap_err().to_string();
    assert!(fault.contains("the workshop needs a file of that name for itself"), "{fault}");

    assert!(matches!(shop.backup(folder.path()).unwrap_err(), WorkshopFault::IsAFolder { .. }));
    assert!(matches!(
        shop.backup(folder.path().join("no").join("x")).unwrap_err(),
        WorkshopFault::NoFolder { .. }
    ));
}

#[test]
fn a_backup_now_and_then_is_made_when_due_and_the_newest_are_kept() {
    let (folder, shop) = with_racer();
    let start = Moment::read("2031-05-01T08:00:00Z").unwrap();
    let day = |n: i64| Moment::from_unix_seconds(start.unix_seconds() + n * DAY);
    assert!(shop.backup_if_older(day(0), 2, 3).unwrap().is_some());
    assert_eq!(shop.backup_if_older(day(1), 2, 3).unwrap(), None);
    for n in [2, 4, 6, 8] {
        assert!(shop.backup_if_older(day(n), 2, 3).unwrap().is_some());
    }
    assert_eq!(
        names(&folder),
        [
            "garage",
            "garage.kept-20310505T080000Z.backup",
            "garage.kept-20310507T080000Z.backup",
            "garage.kept-20310509T080000Z.backup"
        ]
    );
}

#[test]
fn a_backup_the_user_asked_for_stays_and_is_offered() {
    let (folder, shop) = with_racer();
    let asked = shop.backup_name(moment(0));
    shop.backup(&asked).unwrap();
    assert_eq!(crate::restore::last_good_backup(shop.path()), Some(asked));
    for n in 1..4 {
        shop.backup_if_older(moment(n * DAY), 1, 1).unwrap();
    }
    assert_eq!(
        names(&folder),
        ["garage", "garage.kept-20300320T174640Z.backup", "garage.made-20300317T174640Z.backup"]
    );
}

#[test]
fn a_clock_set_back_does_not_stop_backups() {
    let (folder, shop) = with_racer();
    shop.backup_if_older(moment(900 * DAY), 1, 2).unwrap();
    assert!(shop.backup_if_older(moment(0), 1, 2).unwrap().is_some());
    assert_eq!(shop.backup_if_older(moment(5), 1, 2).unwrap(), None);
    assert_eq!(names(&folder).len(), 3);
}

#[test]
fn a_file_that_only_resembles_a_backup_is_not_taken_away() {
    let (folder, shop) = with_racer();
    let mine = ["garage.kept-for-aunt.backup", "garage.kept-20310505T080000Z.txt", "garage.backup"];
    for name in mine {
        fs::write(folder.path().join(name), "mine").unwrap();
    }
    for n in 0..4 {
        shop.backup_if_older(moment(n * DAY), 1, 1).unwrap();
    }
    let left = names(&folder);
    assert!(mine.iter().all(|name| left.iter().any(|found| found == name)), "{left:?}");
    assert_eq!(left.len(), 5);
}
