//! A writing that is killed from outside, and one on a disk that takes no more: with real processes.
#![cfg(unix)]
#![allow(clippy::unwrap_used)]

use cards::{CardFault, Deed, Load, Turn, look_at_master, put, settle};
use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use std::time::Duration;

const CARD: &str = "CREANCE_TEST_CARD";
const LENGTH: usize = 3 << 20;

fn bytes(seed: u32, length: usize) -> Vec<u8> {
    (0..length as u32).map(|n| (n.wrapping_mul(2_654_435_761).wrapping_add(seed) >> 24) as u8).collect()
}

fn load(folder: &Path) -> Load {
    let master = folder.join("master.img");
    let digest = look_at_master(&master).unwrap().digest;
    let keep = vec![("install.txt".to_owned(), String::new())];
    let away = vec![vec!["OTHER.IMG".to_owned()]];
    Load { master, digest, path: vec!["LANNER.IMG".into()], keep, away }
}

fn set_up() -> (tempfile::TempDir, PathBuf) {
    let folder = tempfile::tempdir().unwrap();
    let card = folder.path().join("card");
    fs::create_dir(&card).unwrap();
    fs::write(card.join("LANNER.IMG"), bytes(1, 500_000)).unwrap();
    fs::write(card.join("OTHER.IMG"), bytes(2, 300_000)).unwrap();
    fs::write(folder.path().join("master.img"), bytes(3, LENGTH)).unwrap();
    (folder, card)
}

fn is_old(card: &Path) -> bool {
    let (image, other) = (fs::read(card.join("LANNER.IMG")), fs::read(card.join("OTHER.IMG")));
    image.is_ok_and(|found| found == bytes(1, 500_000)) && other.is_ok() && !card.join("install.txt").exists()
}

fn is_new(card: &Path) -> bool {
    let image = fs::read(card.join("LANNER.IMG"));
    image.is_ok_and(|found| found == bytes(3, LENGTH))
        && !card.join("OTHER.IMG").exists()
        && card.join("install.txt").exists()
        && fs::read_dir(card).unwrap().count() == 2
}

/// What the killed processes do: this program again, as another process.
#[test]
#[ignore = "run by the tests below, as a process of its own"]
fn write_the_card() {
    let Some(card) = std::env::var_os(CARD).map(PathBuf::from) else { return };
    let outcome = put(&card, &load(card.parent().unwrap()), &mut |_: &Deed| {
        // Long enough for the knife to fall anywhere.
        std::thread::sleep(Duration::from_millis(1));
        Turn::GoOn
    });
    match outcome {
        Ok(_) => std::process::exit(0),
        Err(CardFault::Full { .. }) => std::process::exit(7),
        Err(fault) => {
            eprintln!("{fault}");
            std::process::exit(8);
        }
    }
}

fn child(card: &Path) -> Command {
    let mut command = Command::new(std::env::current_exe().unwrap());
    command.args(["--exact", "write_the_card", "--ignored", "--nocapture"]).env(CARD, card);
    command.stdout(Stdio::null());
    command
}

#[test]
fn killed_at_random_points_a_card_is_old_or_new() {
    let (mut seed, mut old, mut new) = (0x2545_f491_u32, 0, 0);
    for _ in 0..24 {
        let (_folder, card) = set_up();
        seed ^= seed << 13;
        seed ^= seed >> 17;
        seed ^= seed << 5;
        let mut running = child(&card).spawn().unwrap();
        std::thread::sleep(Duration::from_micros(u64::from(seed % 60_000)));
        running.kill().unwrap();
        running.wait().unwrap();
        settle(&card).unwrap();
        assert!(is_old(&card) || is_new(&card), "neither");
        *(if is_old(&card) { &mut old } else { &mut new }) += 1;
        put(&card, &load(card.parent().unwrap()), &mut cards::Unwatched).unwrap();
        assert!(is_new(&card), "the next writing brings it about");
    }
    println!("{old} old, {new} new");
}

#[test]
fn on_a_disk_that_takes_no_more_the_old_card_stays() {
    let (_folder, card) = set_up();
    let program = std::env::current_exe().unwrap();
    // The system itself refuses to let a file grow past 512 KiB: a write fails in the middle, as on a full disk.
    let line =
        r#"trap "" XFSZ; ulimit -f 512 || exit 9; exec "$0" --exact write_the_card --ignored --nocapture"#;
    let ended = Command::new("bash")
        .args(["-c", line])
        .arg(program)
        .env(CARD, &card)
        .stdout(Stdio::null())
        .status()
        .unwrap();
    assert_eq!(ended.code(), Some(7), "told as full");
    assert!(is_old(&card));
    assert_eq!(fs::read_dir(&card).unwrap().count(), 2, "nothing half-written stays");
}
