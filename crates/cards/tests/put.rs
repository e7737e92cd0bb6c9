//! A card is written all or nothing, whatever happens in the middle.
#![allow(clippy::unwrap_used)]

use cards::{CardFault, Deed, Load, Settled, Turn, Unwatched, look_at_master, put, read_back, settle};
use std::collections::BTreeMap;
use std::fs;
use std::io;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::path::{Path, PathBuf};
use tempfile::TempDir;

/// What lies on a card, file by file; our own temporary names are none of its state.
fn state(card: &Path) -> BTreeMap<PathBuf, Vec<u8>> {
    let mut found = BTreeMap::new();
    let mut folders = vec![card.to_owned()];
    while let Some(folder) = folders.pop() {
        for entry in fs::read_dir(folder).unwrap().flatten() {
            if entry.path().is_dir() {
                folders.push(entry.path());
            } else {
                found.insert(
                    entry.path().strip_prefix(card).unwrap().to_owned(),
                    fs::read(entry.path()).unwrap(),
                );
            }
        }
    }
    found
}

fn bytes(seed: u8, length: usize) -> Vec<u8> {
    (0..length).map(|n| (n as u8).wrapping_mul(31).wrapping_add(seed)).collect()
}

struct Field {
    folder: TempDir,
    card: PathBuf,
    load: Load,
}

/// A card with an old image, an old marker, the image of another turn and a photograph; and a load that replaces them.
fn field(length: usize) -> Field {
    let folder = tempfile::tempdir().unwrap();
    let card = folder.path().join("card");
    fs::create_dir_all(card.join("boot")).unwrap();
    fs::write(card.join("boot/LANNER_AIR.IMG"), bytes(1, 70_000)).unwrap();
    fs::write(card.join("boot/install.txt"), "old").unwrap();
    fs::write(card.join("boot/LANNER_GND.IMG"), bytes(2, 50_000)).unwrap();
    fs::write(card.join("hill.jpg"), bytes(3, 9_000)).unwrap();
    let master = folder.path().join("air-4.2.img");
    fs::write(&master, bytes(9, length)).unwrap();
    let digest = look_at_master(&master).unwrap().digest;
    let steps = |name: &str| vec!["boot".to_owned(), name.to_owned()];
    let load = Load {
        master,
        digest,
        path: steps("LANNER_AIR.IMG"),
        keep: vec![("install.txt".into(), "new".into())],
        away: vec![steps("LANNER_GND.IMG"), steps("LANNER_AIR.IMG")],
    };
    Field { folder, card, load }
}

fn written(field: &Field) -> BTreeMap<PathBuf, Vec<u8>> {
    let mut new = state(&field.card);
    new.remove(Path::new("boot/LANNER_GND.IMG"));
    new.insert("boot/LANNER_AIR.IMG".into(), fs::read(&field.load.master).unwrap());
    new.insert("boot/install.txt".into(), b"new".to_vec());
    new
}

#[test]
fn a_card_is_written_and_reads_back() {
    let field = field(600_000);
    let new = written(&field);
    let mut most = 0;
    let lies = put(&field.card, &field.load, &mut |deed: &Deed| {
        if let Deed::ReadBack { done, of } = deed {
            most = most.max(*done);
            assert_eq!(*of, 600_000);
        }
        Turn::GoOn
    })
    .unwrap();
    assert_eq!(most, 600_000, "all of it was read back");
    assert_eq!(state(&field.card), new);
    assert_eq!(read_back(&field.card, &lies).unwrap(), lies);
    assert_eq!(settle(&field.card).unwrap(), Settled::Nothing);
    fs::remove_file(field.card.join("boot/LANNER_AIR.IMG")).unwrap();
    assert_eq!(read_back(&field.card, &lies).unwrap().len(), 1, "what the installer took away is missed");
    drop(field.folder);
}

/// How many deeds a writing has.
fn deeds(length: usize) -> usize {
    let field = field(length);
    let mut count = 0;
    put(&field.card, &field.load, &mut |_: &Deed| {
        count += 1;
        Turn::GoOn
    })
    .unwrap();
    count
}

#[test]
fn the_power_may_go_before_any_deed() {
    let all = deeds(600_000);
    assert!(all > 12, "{all}");
    let (mut back, mut on) = (0, 0);
    for at in 0..all {
        let field = field(600_000);
        let (old, new) = (state(&field.card), written(&field));
        let mut count = 0;
        // Nothing is cleaned up on the way out of a panic, as nothing is when the power goes.
        let gone = catch_unwind(AssertUnwindSafe(|| {
            put(&field.card, &field.load, &mut |_: &Deed| {
                count += 1;
                assert!(count <= at, "the power goes");
                Turn::GoOn
            })
        }));
        assert!(gone.is_err());
        never_two_or_half(&field.card, &old, &new, at);
        // And again while it is settled: what is settled twice is settled.
        settle(&field.card).unwrap();
        settle(&field.card).unwrap();
        let now = state(&field.card);
        assert!(now == old || now == new, "before deed {at} it is neither: {:?}", now.keys());
        *(if now == old { &mut back } else { &mut on }) += 1;
        // Whatever was left, the next writing brings it about.
        put(&field.card, &field.load, &mut Unwatched).unwrap();
        assert_eq!(state(&field.card), new);
    }
    assert!(back > 6 && on > 2, "{back} back, {on} on");
}

/// Under the names an installer looks for lies a whole old image, a whole new one, or none; never two kinds at once where
/// there was one, and never half of one.
fn never_two_or_half(
    card: &Path,
    old: &BTreeMap<PathBuf, Vec<u8>>,
    new: &BTreeMap<PathBuf, Vec<u8>>,
    at: usize,
) {
    let image = PathBuf::from("boot/LANNER_AIR.IMG");
    let now = state(card);
    let found = now.get(&image);
    assert!(
        found.is_none() || found == old.get(&image) || found == new.get(&image),
        "half an image before deed {at}"
    );
    if found == new.get(&image) {
        assert!(!now.contains_key(Path::new("boot/LANNER_GND.IMG")), "two images before deed {at}");
    }
}

#[test]
fn a_fault_or_a_stop_before_the_commit_leaves_the_card_as_it_was() {
    let all = deeds(600_000);
    for at in 0..all {
        for full in [true, false] {
            let field = field(600_000);
            let (old, new) = (state(&field.card), written(&field));
            let (mut count, mut committed) = (0, false);
            let outcome = put(&field.card, &field.load, &mut |deed: &Deed| {
                count += 1;
                committed |= *deed == Deed::Commit && count <= at;
                match (count > at, full) {
                    (true, true) => Turn::Fail(io::Error::from(io::ErrorKind::StorageFull)),
                    (true, false) => Turn::Stop,
                    _ => Turn::GoOn,
                }
            });
            if committed {
                settle(&field.card).unwrap();
                assert_eq!(state(&field.card), new, "deed {at}");
                assert!(full || outcome.is_ok(), "too late to stop: {outcome:?}");
                continue;
            }
            assert_eq!(state(&field.card), old, "deed {at}");
            match full {
                true => assert!(matches!(outcome, Err(CardFault::Full { .. })), "{outcome:?}"),
                false => assert!(matches!(outcome, Err(CardFault::Stopped)), "{outcome:?}"),
            }
        }
    }
}

#[test]
fn a_card_pulled_while_it_is_written_is_told_and_nothing_is_lost() {
    let all = deeds(600_000);
    for at in 1..all {
        let field = field(600_000);
        let away = field.folder.path().join("pocket");
        let old = state(&field.card);
        let new = written(&field);
        let mut count = 0;
        let outcome = put(&field.card, &field.load, &mut |_: &Deed| {
            count += 1;
            if count == at {
                fs::rename(&field.card, &away).unwrap();
            }
            Turn::GoOn
        });
        if let Err(fault) = &outcome {
            assert!(matches!(fault, CardFault::Pulled { .. }), "deed {at}: {fault}");
        }
        settle(&away).unwrap();
        let now = state(&away);
        assert!(now == old || now == new, "deed {at}");
    }
    let field = field(10);
    fs::remove_dir_all(&field.card).unwrap();
    let gone = put(&field.card, &field.load, &mut Unwatched).unwrap_err();
    assert!(matches!(gone, CardFault::NoCard { .. }), "{gone}");
}

#[test]
fn a_copy_that_went_wrong_on_the_card_is_found_with_its_byte() {
    let field = field(600_000);
    let old = state(&field.card);
    let fault = put(&field.card, &field.load, &mut |deed: &Deed| {
        if matches!(deed, Deed::ReadBack { done: 0, .. }) {
            let half = field.card.join("boot/LANNER_AIR.IMG.creance-half");
            let mut spoiled = fs::read(&half).unwrap();
            spoiled[400_123] ^= 4;
            fs::write(&half, spoiled).unwrap();
        }
        Turn::GoOn
    })
    .unwrap_err();
    let words =
        "the copy on the card differs from the master from byte 400123: copy again, or try another card";
    assert_eq!(fault.to_string(), words);
    assert_eq!(state(&field.card), old);
}

#[test]
fn a_master_that_is_another_file_by_now_never_reaches_the_card() {
    let field = field(600_000);
    let old = state(&field.card);
    fs::write(&field.load.master, bytes(10, 600_000)).unwrap();
    let fault = put(&field.card, &field.load, &mut Unwatched).unwrap_err();
    assert!(matches!(fault, CardFault::OtherMaster { .. }), "{fault}");
    assert_eq!(state(&field.card), old);
}

#[test]
fn masters_that_are_empty_huge_missing_or_folders_are_told() {
    let folder = tempfile::tempdir().unwrap();
    let file = |name: &str| folder.path().join(name);
    fs::write(file("empty.img"), b"").unwrap();
    // A file with a hole in it: two gigabytes long, and no room taken.
    fs::File::create(file("huge.img")).unwrap().set_len(2_147_483_648).unwrap();
    assert!(matches!(look_at_master(&file("empty.img")), Err(CardFault::EmptyMaster { .. })));
    let huge = look_at_master(&file("huge.img")).unwrap_err();
    assert!(matches!(huge, CardFault::LargeMaster { bytes: 2_147_483_648, .. }), "{huge}");
    assert!(matches!(look_at_master(&file("none.img")), Err(CardFault::NoMaster { .. })));
    assert!(matches!(look_at_master(folder.path()), Err(CardFault::FolderMaster { .. })));
}

#[cfg(unix)]
#[test]
fn no_link_on_a_card_is_followed() {
    use std::os::unix::fs::symlink;
    let outside = tempfile::tempdir().unwrap();
    fs::write(outside.path().join("mine"), "mine").unwrap();
    let check = |spoil: &dyn Fn(&Path)| {
        let field = field(1000);
        spoil(&field.card);
        let fault = put(&field.card, &field.load, &mut Unwatched).unwrap_err();
        assert!(matches!(fault, CardFault::Link { .. }), "{fault}");
        assert_eq!(state(outside.path()).len(), 1);
        assert_eq!(fs::read(outside.path().join("mine")).unwrap(), b"mine");
    };
    check(&|card| {
        fs::remove_file(card.join("boot/LANNER_AIR.IMG")).unwrap();
        symlink(outside.path().join("mine"), card.join("boot/LANNER_AIR.IMG")).unwrap();
    });
    check(&|card| {
        fs::remove_dir_all(card.join("boot")).unwrap();
        symlink(outside.path(), card.join("boot")).unwrap();
    });
    check(&|card| {
        fs::remove_file(card.join("boot/install.txt")).unwrap();
        symlink(outside.path().join("mine"), card.join("boot/install.txt")).unwrap();
    });
    check(&|card| {
        fs::remove_file(card.join("boot/LANNER_GND.IMG")).unwrap();
        symlink(outside.path().join("mine"), card.join("boot/LANNER_GND.IMG")).unwrap();
    });
    check(&|card| symlink(outside.path().join("mine"), card.join("creance-record.json")).unwrap());
}

#[cfg(unix)]
#[test]
fn a_link_under_a_temporary_name_is_cleared_away_and_not_written_through() {
    let outside = tempfile::tempdir().unwrap();
    fs::write(outside.path().join("mine"), "mine").unwrap();
    let field = field(1000);
    let half = field.card.join("boot/LANNER_AIR.IMG.creance-half");
    std::os::unix::fs::symlink(outside.path().join("mine"), &half).unwrap();
    put(&field.card, &field.load, &mut Unwatched).unwrap();
    assert_eq!(fs::read(outside.path().join("mine")).unwrap(), b"mine");
}

#[test]
fn names_that_lead_out_are_refused() {
    for name in ["..", "a/b", "", "a\\b", "."] {
        let mut field = field(1000);
        field.load.path = vec!["boot".into(), name.into()];
        let fault = put(&field.card, &field.load, &mut Unwatched).unwrap_err();
        assert!(matches!(fault, CardFault::Name { .. }), "{name:?}: {fault}");
        let mut field = self::field(1000);
        field.load.keep[0].0 = name.into();
        let fault = put(&field.card, &field.load, &mut Unwatched).unwrap_err();
        assert!(matches!(fault, CardFault::Name { .. }), "{name:?}: {fault}");
    }
}

/// A card with a record of these words on it is told of once, loses nothing, and can be written again.
fn record_goes_aside(record: &str, words: &str) {
    let field = field(60_000);
    let (old, new) = (state(&field.card), written(&field));
    fs::write(field.card.join("creance-record.json"), record).unwrap();
    let fault = settle(&field.card).unwrap_err();
    assert!(matches!(fault, CardFault::BadRecord { .. }) && fault.to_string().contains(words), "{fault}");
    let mut now = state(&field.card);
    assert_eq!(now.remove(Path::new("creance-record.bad")), Some(record.as_bytes().to_vec()));
    assert_eq!(now, old, "nothing was taken away for it");
    put(&field.card, &field.load, &mut Unwatched).unwrap();
    let mut now = state(&field.card);
    now.remove(Path::new("creance-record.bad"));
    assert_eq!(now, new);
}

#[test]
fn a_record_that_cannot_be_carried_out_goes_aside() {
    record_goes_aside("{\"files\":[{\"ste", "makes no sense");
    let digest = field(10).load.digest;
    let lost = format!(
        "{{\"files\":[{{\"steps\":[\"boot\",\"LOST.IMG\"],\"digest\":\"{digest}\"}}],\"gone\":[[\"boot\",\"LANNER_GND.IMG\"]]}}"
    );
    record_goes_aside(&lost, "boot/LOST.IMG that it lists is not there");
}

#[test]
fn a_record_with_names_that_lead_out_goes_aside() {
    let digest = field(10).load.digest;
    for steps in ["[\"..\",\"A.IMG\"]", "[\"a/b\"]", "[\"\"]", "[]"] {
        let new = format!("{{\"files\":[{{\"steps\":{steps},\"digest\":\"{digest}\"}}],\"gone\":[]}}");
        record_goes_aside(&new, "cannot be carried out");
        record_goes_aside(&format!("{{\"files\":[],\"gone\":[{steps}]}}"), "cannot be carried out");
    }
}

#[test]
fn a_folder_in_the_place_of_the_record_goes_aside() {
    let field = field(60_000);
    let new = written(&field);
    for name in ["creance-record.bad", "creance-record.bad-2"] {
        fs::create_dir_all(field.card.join("creance-record.json/within")).unwrap();
        let fault = settle(&field.card).unwrap_err();
        assert!(matches!(fault, CardFault::BadRecord { .. }), "{fault}");
        assert!(field.card.join(name).is_dir(), "{name}");
    }
    put(&field.card, &field.load, &mut Unwatched).unwrap();
    for name in ["creance-record.bad", "creance-record.bad-2"] {
        fs::remove_dir_all(field.card.join(name)).unwrap();
    }
    assert_eq!(state(&field.card), new);
}
