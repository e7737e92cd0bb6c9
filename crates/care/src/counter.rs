//! How often, how long, and how much of a rated life is that?
//!
//! A counter begins with what was counted before and goes on by itself from the journal: a flight with a pack is a cycle
//! of the pack, its minutes are hours on the motors, a plug that was pulled is a mating. Lives are customs of the trade
//! and stand in one table; what a maker states goes before them.

use crate::entry::words;
use crate::since::flights_of;
use crate::{Entry, EntryKind, ListKind};
use quantity::Source;
use serde::{Deserialize, Serialize};

words! {
    /// What is counted.
    CounterKind {
        /// Matings of a coax plug that pushes on.
        CoaxMatings = "coax_matings", "matings of a push-on coax plug";
        /// Matings of a camera harness.
        HarnessMatings = "harness_matings", "matings of a camera harness";
        /// Matings of a threaded antenna socket.
        ThreadedMatings = "threaded_matings", "matings of a threaded socket";
        /// Matings of the connector of the pack.
        PackPlugMatings = "pack_plug_matings", "matings of a pack connector";
        /// Hours on the motors.
        MotorHours = "motor_hours", "hours on the motors";
        /// Cycles of a pack.
        PackCycles = "pack_cycles", "cycles of a pack";
        /// Flights since the craft was last looked over.
        SinceInspection = "since_inspection", "flights since it was looked over";
    }
}

/// A rated life.
struct Life {
    kind: CounterKind,
    life: f64,
    source: Source,
}

const fn custom(kind: CounterKind, life: f64, of: &'static str) -> Life {
    Life { kind, life, source: Source::common_practice(of) }
}

/// The lives, each once.
const LIVES: [Life; 7] = [
    custom(CounterKind::CoaxMatings, 30.0, "a push-on coax plug bears some 30 matings"),
    custom(CounterKind::HarnessMatings, 20.0, "a camera harness bears 20 to 30 matings"),
    custom(CounterKind::ThreadedMatings, 500.0, "a threaded antenna socket bears some 500 matings"),
    custom(CounterKind::PackPlugMatings, 200.0, "a pack connector bears 200 to 500 matings"),
    custom(CounterKind::MotorHours, 20.0, "the bearings of a motor run 20 to 50 hours"),
    custom(CounterKind::PackCycles, 100.0, "a pack in hard use bears 100 to 200 cycles"),
    custom(
        CounterKind::SinceInspection,
        10.0,
        "screws, ties and soft mounts are looked over each 10 flights",
    ),
];

impl CounterKind {
    fn row(self) -> &'static Life {
        LIVES.iter().find(|life| life.kind == self).unwrap_or(&LIVES[0])
    }

    /// The life by custom.
    pub fn life(self) -> f64 {
        self.row().life
    }

    /// Where that comes from.
    pub fn source(self) -> Source {
        self.row().source
    }

    /// Whether it counts matings of a plug.
    pub const fn is_matings(self) -> bool {
        matches!(
            self,
            Self::CoaxMatings | Self::HarnessMatings | Self::ThreadedMatings | Self::PackPlugMatings
        )
    }
}

/// A counter.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Counter {
    /// The craft it is on, by id; `None` for a pack, which goes from craft to craft.
    #[serde(default)]
    pub craft: Option<String>,
    /// What is counted on: a plug, a set of motors, a pack.
    pub thing: String,
    /// What is counted.
    pub kind: CounterKind,
    /// How much had been counted at `since`.
    #[serde(default)]
    pub base: f64,
    /// From when on the journal is counted, in seconds of universal time.
    pub since: i64,
    /// The life its maker states; the custom of the trade when left out.
    #[serde(default)]
    pub life: Option<f64>,
}

/// How a count stands toward a life.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Standing {
    /// Past it.
    Over,
    /// More than 70 % of it is gone.
    Near,
    /// Much is left.
    Fine,
}

/// The share of a life from which on it is told (common practice).
const NEAR_FROM: f64 = 0.7;

/// A counter with what it says now.
#[derive(Clone, Debug, PartialEq)]
pub struct Due<'a> {
    /// The counter.
    pub counter: &'a Counter,
    /// The count.
    pub count: f64,
    /// The life it is held against.
    pub life: f64,
    /// How it stands.
    pub standing: Standing,
}

/// How a count stands toward a life.
pub fn standing(count: f64, life: f64) -> Standing {
    match () {
        () if count > life => Standing::Over,
        () if count > NEAR_FROM * life => Standing::Near,
        () => Standing::Fine,
    }
}

fn same(a: &str, b: &str) -> bool {
    a.trim().to_lowercase() == b.trim().to_lowercase()
}

/// What a counter says, given the journal.
pub fn count(counter: &Counter, entries: &[Entry]) -> f64 {
    let later = || entries.iter().filter(|entry| entry.at > counter.since);
    let mine = |entry: &&Entry| entry.craft == counter.craft;
    let flown = |entry: &&Entry| entry.kind == EntryKind::Flown;
    let plugged =
        |entry: &Entry| entry.plugged.iter().filter(|plug| same(plug, &counter.thing)).count() as f64;
    let more: f64 = match counter.kind {
        CounterKind::CoaxMatings | CounterKind::HarnessMatings | CounterKind::ThreadedMatings => {
            later().filter(mine).map(plugged).sum()
        }
        CounterKind::PackPlugMatings => {
            later().filter(mine).map(|entry| plugged(entry) + flights_of(entry)).sum()
        }
        CounterKind::MotorHours => {
            later().filter(mine).filter(flown).filter_map(|entry| entry.minutes).sum::<f64>() / 60.0
        }
        CounterKind::PackCycles => {
            let with = |entry: &&Entry| entry.packs.iter().any(|pack| same(pack, &counter.thing));
            later().filter(flown).filter(with).count() as f64
        }
        CounterKind::SinceInspection => {
            // The list after a crash goes over the whole craft; so does building it. Within a second the order of entering decides.
            let looked = |entry: &Entry| {
                let whole = |ticked: &crate::Ticked| ticked.list == ListKind::AfterCrash && ticked.is_whole();
                entry.kind == EntryKind::Built || entry.ticked.as_ref().is_some_and(whole)
            };
            let placed = || later().filter(mine).enumerate().map(|(place, entry)| ((entry.at, place), entry));
            let last = placed().filter(|(_, entry)| looked(entry)).map(|(when, _)| when).max();
            let base = if last.is_some() { -counter.base } else { 0.0 };
            base + placed()
                .filter(|(when, _)| last.is_none_or(|last| *when > last))
                .map(|(_, entry)| flights_of(entry))
                .sum::<f64>()
        }
    };
    counter.base + more
}

/// The counters that concern a craft: its own, and those of packs that it was flown with.
pub fn counters_of(counters: &[Counter], entries: &[Entry], craft: &str) -> Vec<Counter> {
    let flown_with = |pack: &str| {
        entries.iter().any(|entry| {
            entry.craft.as_deref() == Some(craft)
                && entry.kind == EntryKind::Flown
                && entry.packs.iter().any(|known| same(known, pack))
        })
    };
    let concerns = |counter: &&Counter| match &counter.craft {
        Some(of) => of == craft,
        None => counter.kind == CounterKind::PackCycles && flown_with(&counter.thing),
    };
    counters.iter().filter(concerns).cloned().collect()
}

/// Every counter with what it says now, the most worn first.
pub fn due<'a>(counters: &'a [Counter], entries: &[Entry]) -> Vec<Due<'a>> {
    let one = |counter: &'a Counter| {
        let life = counter.life.filter(|life| life.is_finite() && *life > 0.0).unwrap_or(counter.kind.life());
        let count = count(counter, entries);
        Due { counter, count, life, standing: standing(count, life) }
    };
    let mut all: Vec<Due> = counters.iter().map(one).collect();
    all.sort_by(|a, b| {
        (b.count / b.life).total_cmp(&(a.count / a.life)).then_with(|| a.counter.thing.cmp(&b.counter.thing))
    });
    all
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::Ticked;

    fn flown(at: i64, minutes: f64, packs: &[&str]) -> Entry {
        let packs = packs.iter().map(|pack| (*pack).to_owned()).collect();
        Entry { minutes: Some(minutes), packs, ..Entry::new(at, EntryKind::Flown, "").of("merlin") }
    }

    fn counter(kind: CounterKind, thing: &str, base: f64) -> Counter {
        let craft = (kind != CounterKind::PackCycles).then(|| "merlin".to_owned());
        Counter { craft, thing: thing.into(), kind, base, since: 100, life: None }
    }

    #[test]
    fn the_journal_moves_the_counters() {
        let mut entries = vec![
            flown(90, 60.0, &["P1"]),
            flown(110, 6.0, &["P1", "p2"]),
            flown(120, 3.0, &["P2"]),
            Entry {
                plugged: vec!["Pigtail".into()],
                ..Entry::new(130, EntryKind::Repaired, "new lens").of("merlin")
            },
            Entry {
                plugged: vec!["pigtail".into()],
                ..Entry::new(140, EntryKind::Changed, "other craft").of("kestrel")
            },
        ];
        let said = |kind, thing: &str, entries: &[Entry]| count(&counter(kind, thing, 2.0), entries);
        assert_eq!(said(CounterKind::PackCycles, "P1", &entries), 3.0);
        assert_eq!(said(CounterKind::PackCycles, "P2", &entries), 4.0);
        assert_eq!(said(CounterKind::CoaxMatings, "pigtail ", &entries), 3.0);
        assert_eq!(said(CounterKind::PackPlugMatings, "main", &entries), 5.0);
        assert!((said(CounterKind::MotorHours, "motors", &entries) - 2.15).abs() < 1e-12);
        assert_eq!(said(CounterKind::SinceInspection, "craft", &entries), 5.0);
        let ticked = Ticked { list: ListKind::AfterCrash, ticked: vec!["blades".into()], left: vec![] };
        entries.push(Entry { ticked: Some(ticked), ..Entry::new(125, EntryKind::Checked, "").of("merlin") });
        entries.push(flown(150, 4.0, &[]));
        assert_eq!(said(CounterKind::SinceInspection, "craft", &entries), 1.0);
    }

    #[test]
    fn a_life_is_told_from_seventy_per_cent_on() {
        assert_eq!(
            [standing(21.0, 30.0), standing(22.0, 30.0), standing(30.0, 30.0), standing(31.0, 30.0)],
            [Standing::Fine, Standing::Near, Standing::Near, Standing::Over]
        );
        let counters = [
            counter(CounterKind::ThreadedMatings, "mast", 50.0),
            counter(CounterKind::CoaxMatings, "pigtail", 29.0),
        ];
        let all = due(&counters, &[]);
        assert_eq!((all[0].counter.thing.as_str(), all[0].standing), ("pigtail", Standing::Near));
    }

    #[test]
    fn a_pack_concerns_the_craft_it_was_flown_with() {
        let counters =
            [counter(CounterKind::PackCycles, "P1", 3.0), counter(CounterKind::CoaxMatings, "pigtail", 1.0)];
        let things = |craft: &str, entries: &[Entry]| -> Vec<String> {
            counters_of(&counters, entries, craft).into_iter().map(|counter| counter.thing).collect()
        };
        assert_eq!(things("merlin", &[]), ["pigtail"]);
        assert_eq!(things("merlin", &[flown(5, 3.0, &["p1"])]), ["P1", "pigtail"]);
        assert!(things("kestrel", &[flown(5, 3.0, &["P1"])]).is_empty());
    }

    #[test]
    fn every_kind_has_a_life_with_a_source() {
        for kind in CounterKind::ALL {
            assert_eq!(LIVES.iter().filter(|life| life.kind == *kind).count(), 1);
            assert!(kind.life() > 0.0 && !kind.source().place.is_empty());
        }
    }
}
