//! A history of a sound craft for the tests of the rules, and ways to spoil it. All invented.
#![allow(clippy::unwrap_used)]

use crate::history::{DAY, History};
use crate::{Proof, Rule, Verdict};
use care::{Counter, CounterKind, Entry, EntryKind, Measured, Reading};
use craft::{Craft, CraftId};
use expect_test::Expect;
use firmware::{
    Batch, CardSeen, Cards, End, Fits, Image, OnCard, Plan, Recipe, Step, StepState, Supply, Unit, Version,
    digest_of,
};
use std::fmt::Write;
use std::sync::Arc;

pub(crate) const NOW: i64 = 1_900_000_000;
pub(crate) const AIR: &str = "Lanner small air unit";
pub(crate) const GROUND: &str = "Lanner ground unit";

pub(crate) fn version(text: &str) -> Version {
    Version::read(text).unwrap()
}

/// An entry of the craft, so many days ago.
pub(crate) fn entry(days: i64, kind: EntryKind) -> Entry {
    Entry::new(NOW - days * DAY, kind, "x").of("wheatear")
}

/// A reading, so many days ago.
pub(crate) fn read(days: i64, reading: Reading, value: f64) -> Entry {
    Entry { measured: vec![Measured { reading, value }], ..entry(days, EntryKind::Tested) }
}

fn recipe(kind: &str, end: End, file_name: &str) -> Recipe {
    Recipe {
        kind: kind.into(),
        system: "Lanner".into(),
        end,
        file_name: file_name.into(),
        folder: String::new(),
        keep: Vec::new(),
        file_systems: vec!["fat32".into()],
        largest_card: Some(32_000_000_000),
        eats_image: false,
        minutes: Some(8.0),
        watts: Some(9.0),
        done_when: String::new(),
    }
}

/// One step of a batch that is about to be loaded from a good card.
pub(crate) fn batch() -> Batch {
    let digest = digest_of(b"air 4.2");
    let step = Step {
        unit: "A1".into(),
        kind: AIR.into(),
        digest,
        file: "air-4.2.img".into(),
        size: 1_000,
        from: Some(version("4.1")),
        to: version("4.2"),
        card: 0,
        writes: true,
        path: vec!["LANNER_AIR.IMG".into()],
        keep: Vec::new(),
        minutes: Some(8.0),
        done_when: String::new(),
    };
    let card = CardSeen {
        path: "/media/card".into(),
        removable: Some(true),
        is_mount: true,
        file_system: Some("vfat".into()),
        size: Some(16_000_000_000),
        free: Some(15_000_000_000),
        files: Vec::new(),
    };
    let cards = Cards { seen: vec![card], yes: Vec::new(), in_turn: true };
    let plan = Plan { steps: vec![step], mind: Vec::new() };
    let mut batch = Batch::new("spring", NOW - DAY, plan, cards, Supply::Bench);
    batch.states = vec![StepState::Written];
    batch.on_card = vec![vec![OnCard { file: "LANNER_AIR.IMG".into(), digest }]];
    batch
}

/// Everything in order.
pub(crate) fn sound() -> History {
    let image = Image {
        file: "air-4.2.img".into(),
        master: "/masters/air-4.2.img".into(),
        digest: digest_of(b"air 4.2"),
        size: 1_000,
        version: version("4.2"),
        fits: vec![Fits { kind: AIR.into(), revisions: vec!["B".into()] }],
        notes: String::new(),
        step: None,
        first: None,
    };
    let air = Unit {
        revision: Some("B".into()),
        version: Some(version("4.2")),
        digest: Some(image.digest),
        craft: Some("wheatear".into()),
        settings_before: [("level".to_owned(), "25 mW".to_owned())].into(),
        settings_after: Some([("level".to_owned(), "25 mW".to_owned())].into()),
        ..Unit::new("A1", AIR)
    };
    let ground = Unit { version: Some(version("4.2")), ..Unit::new("G1", GROUND) };
    let counter = Counter {
        craft: Some("wheatear".into()),
        thing: "pigtail".into(),
        kind: CounterKind::CoaxMatings,
        base: 4.0,
        since: NOW - 90 * DAY,
        life: None,
    };
    let mut charged = Entry { packs: vec!["P1".into()], ..read(1, Reading::CellVolts, 3.82) };
    charged.kind = EntryKind::Charged;
    charged.craft = None;
    let readings = [
        (Reading::LevelAt5m, -48.0, -48.5),
        (Reading::HoverCurrent, 6.0, 6.2),
        (Reading::BenchMinutes, 5.0, 4.9),
        (Reading::GyroNoise, 20.0, 22.0),
    ];
    let both = |(reading, new, now): (Reading, f64, f64)| [read(60, reading, new), read(2, reading, now)];
    let ticked =
        care::Ticked { list: care::ListKind::AfterCrash, ticked: vec!["all".into()], left: Vec::new() };
    let mut crash = entry(30, EntryKind::Crashed);
    crash.packs = vec!["P1".into()];
    crash.pack_hit = true;
    let mut entries = vec![entry(61, EntryKind::Built), crash];
    entries.push(Entry { ticked: Some(ticked), ..entry(29, EntryKind::Checked) });
    entries.push(Entry { packs: vec!["P1".into()], ..entry(5, EntryKind::Flown) });
    entries.push(charged);
    entries.extend(readings.into_iter().flat_map(both));
    History {
        now: NOW,
        entries,
        counters: vec![counter],
        units: vec![air, ground],
        images: vec![image],
        sets: Vec::new(),
        recipes: vec![recipe(AIR, End::Air, "LANNER_AIR.IMG"), recipe(GROUND, End::Ground, "LANNER_GND.IMG")],
        batches: vec![batch()],
    }
}

fn craft() -> Craft {
    Craft::new(CraftId::new("wheatear").unwrap(), "Wheatear")
}

/// What a rule says of the craft with this history.
pub(crate) fn answer(rule: &Rule, history: History) -> Vec<crate::Finding> {
    let craft = craft();
    (rule.run)(&Proof::new(&craft).with_history(Arc::new(history))).findings
}

/// The rule finds the sound history sound, and has nothing to say of a sheet or of an empty workshop.
pub(crate) fn is_sound_history(rule: &Rule) {
    let found = answer(rule, sound());
    assert!(!found.is_empty() && found.iter().all(|finding| finding.verdict == Verdict::Sound), "{found:?}");
    assert!(answer(rule, History { now: NOW, ..History::default() }).is_empty());
    let craft = craft();
    assert!((rule.run)(&Proof::new(&craft)).findings.is_empty(), "a sheet has no history");
}

/// What the rule says when the history is spoiled in one way.
pub(crate) fn check_history(rule: &Rule, spoil: impl FnOnce(&mut History), expected: Expect) {
    let mut history = sound();
    spoil(&mut history);
    let mut told = String::new();
    for finding in answer(rule, history).iter().filter(|finding| finding.verdict != Verdict::Sound) {
        let _ = writeln!(told, "{} · {} · {}", finding.verdict.word(), finding.subject, finding.message);
        for mend in &finding.mends {
            let _ = writeln!(told, "  > {mend}");
        }
    }
    expected.assert_eq(&told);
}
