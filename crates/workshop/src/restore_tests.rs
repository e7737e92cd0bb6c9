//! Cases of damage and restoring.
#![allow(clippy::unwrap_used)]

use super::*;
use crate::Moment;
use crate::at_hand::{craft, craft_id, moment, move_sender};
use ::craft::Craft;
use tempfile::{TempDir, tempdir};

/// A workshop at rest with a backup, and what it held when the backup was made and at the end.
fn backed_up() -> (TempDir, PathBuf, Craft, Craft) {
    let folder = tempdir().unwrap();
    let path = folder.path().join("garage");
    let mut shop = Workshop::create(&path).unwrap().workshop;
    shop.import(&craft("racer", 50.0), "# a sheet with a remark\n", moment(1)).unwrap();
    let then = shop.edit(&craft_id("racer"), &move_sender(1.0), moment(2)).unwrap();
    shop.backup_if_older(moment(3), 1, 3).unwrap().unwrap();
    let last = shop.edit(&craft_id("racer"), &move_sender(2.0), moment(4)).unwrap();
    (folder, path, then, last)
}

fn damage(path: &Path) -> WorkshopFault {
    Workshop::open(path).map(|_| ()).unwrap_err()
}

#[test]
fn a_damaged_workshop_offers_its_backup_and_is_kept_aside() {
    let (_folder, path, then, _) = backed_up();
    let whole = fs::read(&path).unwrap();
    fs::write(&path, &whole[..whole.len() / 2]).unwrap();
    let fault = damage(&path);
    let WorkshopFault::Damaged { last_good_backup: Some(backup), .. } = &fault else { panic!("{fault}") };
    assert!(fault.to_string().contains("restore the last good backup"), "{fault}");
    assert_eq!(fault.last_good_backup(), Some(backup.as_path()));

    let restored = Workshop::restore_from_backup(&path).unwrap();
    assert_eq!(&restored.backup, backup);
    assert_eq!(restored.damaged, Some(beside(&path, ".damaged-1")));
    assert_eq!(fs::read(beside(&path, ".damaged-1")).unwrap(), whole[..whole.len() / 2]);
    assert!(backup.exists());
    let shop = Workshop::open(&path).unwrap().workshop;
    assert_eq!(shop.craft(&craft_id("racer")).unwrap(), then);
}

#[test]
fn damage_of_every_sort_is_told_as_damage() {
    let (_folder, path, ..) = backed_up();
    let whole = fs::read(&path).unwrap();
    let page = 4096;
    let spoilt: Vec<(&str, Vec<u8>)> = vec![
        ("emptied", Vec::new()),
        ("cut after the first page", whole[..page].to_vec()),
        ("cut within a page", whole[..whole.len() - 100].to_vec()),
        ("first bytes gone", [&[0; 16], &whole[16..]].concat()),
        ("mark gone", [&whole[..68], &[0; 4], &whole[72..]].concat()),
        ("a page of noughts", [&whole[..page], &vec![0; page], &whole[2 * page..]].concat()),
        ("all noise", whole.iter().map(|byte| byte ^ 0x5a).collect()),
    ];
    for (how, bytes) in spoilt {
        fs::write(&path, bytes).unwrap();
        let Err(fault) = Workshop::open(&path) else { panic!("{how}: not noticed") };
        assert!(matches!(fault, WorkshopFault::Damaged { last_good_backup: Some(_), .. }), "{how}: {fault}");
        let fault = Workshop::open_read_only(&path).map(|_| ()).unwrap_err();
        assert!(matches!(fault, WorkshopFault::Damaged { .. }), "{how}, reading: {fault}");
    }
}

#[test]
fn a_changed_byte_is_told_or_does_no_harm() {
    let (folder, path, _, last) = backed_up();
    let whole = fs::read(&path).unwrap();
    let copy = folder.path().join("copy");
    let lines = Workshop::open_read_only(&path).unwrap().journal(None, 99).unwrap();
    let (mut told, mut harmless) = (0, 0);
    // Every 211th byte: a prime, so that all places within a page are met.
    for at in (0..whole.len()).step_by(211) {
        let mut bytes = whole.clone();
        bytes[at] ^= 1 << (at % 8);
        fs::write(&copy, bytes).unwrap();
        let look = || -> Result<(), WorkshopFault> {
            let shop = Workshop::open_read_only(&copy)?;
            let (found, sheet) = shop.craft_and_sheet(&craft_id("racer"))?;
            let journal = shop.journal(None, 99)?;
            assert_eq!(
                (found, sheet.as_deref()),
                (last.clone(), Some("# a sheet with a remark\n")),
                "byte {at}"
            );
            assert_eq!(journal, lines, "byte {at}");
            Ok(())
        };
        match look() {
            Ok(()) => harmless += 1,
            Err(_) => told += 1,
        }
        for ending in ["-wal", "-shm"] {
            fs::remove_file(beside(&copy, ending)).ok();
        }
    }
    assert!(told > 20 && harmless > 20, "{told} told, {harmless} harmless: both sorts must have been met");
}

#[test]
fn a_number_changed_within_its_text_is_told_with_the_part() {
    let (_folder, path, ..) = backed_up();
    let bytes = fs::read(&path).unwrap();
    let text = b"\"value\":50.0";
    let at = bytes.windows(text.len()).position(|found| found == text).unwrap();
    let mut spoilt = bytes.clone();
    // Every copy of it, so that no row says fifty any more.
    for from in (at..bytes.len() - text.len()).filter(|from| &bytes[*from..from + text.len()] == text) {
        spoilt[from + 8] = b'6';
    }
    fs::write(&path, spoilt).unwrap();
    let fault = damage(&path).to_string();
    assert!(fault.contains("part \"frame\" is not as it was written; its checksum differs"), "{fault}");
}

#[test]
fn a_missing_workshop_offers_its_backup_too() {
    let (_folder, path, then, _) = backed_up();
    fs::remove_file(&path).unwrap();
    let fault = Workshop::open_or_create(&path).map(|_| ()).unwrap_err();
    assert!(fault.last_good_backup().is_some(), "{fault}");
    assert_eq!(Workshop::restore_from_backup(&path).unwrap().damaged, None);
    assert_eq!(Workshop::open(&path).unwrap().workshop.craft(&craft_id("racer")).unwrap(), then);
}

#[test]
fn a_damaged_backup_is_passed_over_for_an_older_sound_one() {
    let (_folder, path, ..) = backed_up();
    let sound = last_good_backup(&path).unwrap();
    let newer = Moment::from_unix_seconds(moment(9).unix_seconds()).compact();
    let bytes = fs::read(&sound).unwrap();
    fs::write(beside(&path, &format!(".kept-{newer}.backup")), &bytes[..bytes.len() - 4096]).unwrap();
    assert_eq!(backups_of(&path).len(), 2);
    assert_eq!(last_good_backup(&path), Some(sound));
}

#[test]
fn nothing_is_restored_from_what_is_no_backup_or_into_a_workshop_in_use() {
    let (folder, path, ..) = backed_up();
    let letter = folder.path().join("letter.txt");
    fs::write(&letter, "Dear aunt").unwrap();
    assert!(matches!(
        Workshop::restore_from(&path, &letter).unwrap_err(),
        WorkshopFault::NotAWorkshop { .. }
    ));
    assert!(matches!(
        Workshop::restore_from_backup(folder.path().join("other")).unwrap_err(),
        WorkshopFault::NoBackup { .. }
    ));
    let _held = Workshop::open(&path).unwrap().workshop;
    assert!(matches!(Workshop::restore_from_backup(&path).unwrap_err(), WorkshopFault::InUse { .. }));
}

#[test]
fn the_log_of_a_damaged_workshop_goes_aside_with_it() {
    let (_folder, path, then, _) = backed_up();
    fs::write(&path, b"SQLite format 3\0 and then noise").unwrap();
    fs::write(beside(&path, "-wal"), b"what was not yet put away").unwrap();
    Workshop::restore_from_backup(&path).unwrap();
    assert_eq!(fs::read(beside(&path, ".damaged-1-wal")).unwrap(), b"what was not yet put away");
    assert_eq!(Workshop::open(&path).unwrap().workshop.craft(&craft_id("racer")).unwrap(), then);
}
