//! The journal as JSON.

use crate::record::date;
use care::{Entry, EntryKind, Reading};
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;
use ts_rs::TS;
use workshop::Kept;

/// What is looked for in the journal.
#[derive(Deserialize, Default)]
#[serde(deny_unknown_fields)]
pub struct JournalAsked {
    /// Only of this craft, by id; all when empty.
    #[serde(default)]
    pub craft: String,
    /// Kinds, with commas between; all when empty.
    #[serde(default)]
    pub kinds: String,
    /// All of these words.
    #[serde(default)]
    pub words: String,
}

/// A craft by name.
#[derive(Serialize, TS)]
pub struct CraftName {
    /// Its id.
    pub id: String,
    /// Its name.
    pub name: String,
}

/// A word with what a person reads.
#[derive(Serialize, TS)]
pub struct WordView {
    /// The word on the wire.
    pub word: &'static str,
    /// The same for a person.
    pub plain: &'static str,
    /// The unit of what it names; empty for none.
    pub unit: &'static str,
}

/// The journal.
#[derive(Serialize, TS)]
pub struct JournalView {
    /// What was found, newest first.
    pub entries: Vec<EntryView>,
    /// How many were found; the latest are shown.
    pub total: u32,
    /// Every craft.
    pub craft: Vec<CraftName>,
    /// Every kind of entry.
    pub kinds: Vec<WordView>,
    /// Everything that can be read off a craft or pack.
    pub readings: Vec<WordView>,
    /// Plugs whose matings are counted.
    pub plugs: Vec<String>,
    /// The same by craft.
    pub plugs_of: BTreeMap<String, Vec<String>>,
}

/// One entry.
#[derive(Serialize, TS)]
pub struct EntryView {
    /// Its id.
    pub id: String,
    /// When, as ISO 8601 in UTC.
    pub at: String,
    /// The word of its kind.
    pub kind: &'static str,
    /// The kind for a person.
    pub kind_plain: &'static str,
    /// The craft, by id.
    pub craft: Option<String>,
    /// What the craft is called; its id when it is gone.
    pub craft_name: Option<String>,
    /// What happened.
    pub words: String,
    /// Parts concerned.
    pub parts: Vec<String>,
    /// Units concerned.
    pub units: Vec<String>,
    /// Packs concerned.
    pub packs: Vec<String>,
    /// Plugs pulled and put back.
    pub plugged: Vec<String>,
    /// Minutes flown or spent.
    pub minutes: Option<f64>,
    /// What was read, in words with the unit.
    pub measured: Vec<String>,
    /// Whether the readings are the new measure of health.
    pub as_new: bool,
    /// Whether the pack was hit.
    pub pack_hit: bool,
    /// What became of a check list, in words.
    pub ticked: Option<String>,
    /// When it was taken back, as ISO 8601 in UTC; none while it stands.
    pub taken_back: Option<String>,
    /// Whether it belongs to the demo.
    pub demo: bool,
}

/// An entry to put in.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub struct EntrySent {
    /// Its id, if it is put right.
    #[serde(default)]
    pub id: Option<String>,
    /// When; now when left out.
    #[serde(default)]
    pub at: Option<String>,
    /// The word of its kind.
    pub kind: String,
    /// The craft, by id.
    #[serde(default)]
    pub craft: Option<String>,
    /// What happened.
    #[serde(default)]
    pub words: String,
    /// Parts concerned.
    #[serde(default)]
    pub parts: Vec<String>,
    /// Units concerned.
    #[serde(default)]
    pub units: Vec<String>,
    /// Packs concerned.
    #[serde(default)]
    pub packs: Vec<String>,
    /// Plugs pulled and put back.
    #[serde(default)]
    pub plugged: Vec<String>,
    /// Minutes flown or spent.
    #[serde(default)]
    pub minutes: Option<f64>,
    /// What was read.
    #[serde(default)]
    pub measured: Vec<MeasuredSent>,
    /// Whether the readings are the new measure of health.
    #[serde(default)]
    pub as_new: bool,
    /// Whether the pack was hit.
    #[serde(default)]
    pub pack_hit: bool,
}

/// A value that was read.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub struct MeasuredSent {
    /// The word of what.
    pub reading: String,
    /// How much, in its unit.
    pub value: f64,
}

/// What came of keeping something.
#[derive(Serialize, TS)]
pub struct KeptView {
    /// The line by which it can be taken back.
    pub line: Option<u32>,
    /// The ids, in the order of what was kept.
    pub ids: Vec<String>,
    /// What is to be borne in mind about it.
    pub mind: Vec<String>,
}

/// A line to be taken back.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub struct LineSent {
    /// Its number.
    pub line: u32,
}

/// Whether an entry stands.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub struct StandSent {
    /// False: it is taken back. It stays on record and counts for nothing.
    pub stands: bool,
}

pub(super) fn word(word: &'static str, plain: &'static str, unit: &'static str) -> WordView {
    WordView { word, plain, unit }
}

impl JournalView {
    /// An empty journal with all that can be chosen.
    pub fn of(craft: Vec<CraftName>) -> Self {
        Self {
            entries: Vec::new(),
            total: 0,
            craft,
            kinds: EntryKind::ALL.iter().map(|kind| word(kind.word(), kind.plain(), "")).collect(),
            readings: Reading::ALL.iter().map(|one| word(one.word(), one.plain(), one.unit())).collect(),
            plugs: Vec::new(),
            plugs_of: BTreeMap::new(),
        }
    }
}

impl EntryView {
    /// An entry with the names of all craft.
    pub fn new(kept: &Kept<Entry>, names: &BTreeMap<&str, &str>) -> Self {
        let entry = &kept.thing;
        let measured = |one: &care::Measured| {
            format!("{} {} {}", one.reading.plain(), one.value, one.reading.unit()).trim_end().to_owned()
        };
        Self {
            id: kept.id.clone(),
            at: date(entry.at),
            kind: entry.kind.word(),
            kind_plain: entry.kind.plain(),
            craft: entry.craft.clone(),
            craft_name: entry
                .craft
                .as_ref()
                .map(|id| names.get(id.as_str()).map_or_else(|| id.clone(), |name| (*name).to_owned())),
            words: entry.words.clone(),
            parts: entry.parts.clone(),
            units: entry.units.clone(),
            packs: entry.packs.clone(),
            plugged: entry.plugged.clone(),
            minutes: entry.minutes,
            measured: entry.measured.iter().map(measured).collect(),
            as_new: entry.as_new,
            pack_hit: entry.pack_hit,
            ticked: entry.ticked.as_ref().map(ticked_words),
            taken_back: entry.taken_back.map(date),
            demo: kept.demo,
        }
    }

    /// What is said of it beside its words, piece by piece.
    pub fn details(&self) -> Vec<String> {
        let listed = |label: &str, names: &[String]| {
            (!names.is_empty()).then(|| format!("{label} {}", names.join(", ")))
        };
        [
            self.minutes.map(|minutes| format!("{minutes} min")),
            listed(if self.packs.len() == 1 { "pack" } else { "packs" }, &self.packs),
            listed(if self.parts.len() == 1 { "part" } else { "parts" }, &self.parts),
            listed(if self.units.len() == 1 { "unit" } else { "units" }, &self.units),
            listed("plugs pulled:", &self.plugged),
            self.pack_hit.then(|| "the pack was hit".to_owned()),
            (!self.measured.is_empty()).then(|| self.measured.join(", ")),
            self.as_new.then(|| "as new from here on".to_owned()),
            self.ticked.clone(),
            self.taken_back.as_ref().map(|at| format!("taken back {at}: it counts for nothing")),
        ]
        .into_iter()
        .flatten()
        .collect()
    }
}

/// A moment as a person reads it: `2031-05-04 09:30 UTC`.
pub(super) fn plain_date(at: i64) -> String {
    let date = date(at);
    let (day, time) = date.split_once('T').unwrap_or((&date, ""));
    format!("{day} {} UTC", time.get(..5).unwrap_or(time))
}

pub(super) fn ticked_words(ticked: &care::Ticked) -> String {
    let all = ticked.ticked.len() + ticked.left.len();
    match ticked.left.len() {
        0 => format!("list {}: all {all} ticked", ticked.list.plain()),
        left => format!("list {}: {} of {all} ticked, {left} left", ticked.list.plain(), ticked.ticked.len()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_moment_reads_plainly() {
        assert_eq!(plain_date(1_778_929_500), "2026-05-16 11:05 UTC");
    }
}
