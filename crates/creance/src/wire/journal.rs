//! The journal, counters and check lists as JSON; and the journal as a page that can be sent.

use super::finding::VerdictWord;
use super::told::CraftTold;
use crate::judged::Judged;
use crate::manual::CAUTIONS;
use crate::record::date;
use care::{CheckItem, CounterKind, Due, Entry, EntryKind, ListKind, Reading, Standing};
use proof::Verdict;
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

/// A check list as it was gone through.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub struct TickedSent {
    /// The word of the list.
    pub list: String,
    /// Ids of what was found in order.
    pub ticked: Vec<String>,
    /// What there is to say.
    #[serde(default)]
    pub words: String,
}

/// A counter to set.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub struct CounterSent {
    /// Its id, if it is there.
    #[serde(default)]
    pub id: Option<String>,
    /// What it counts on.
    pub thing: String,
    /// The word of what it counts.
    pub kind: String,
    /// The count as of now.
    pub count: f64,
    /// The life its maker states.
    #[serde(default)]
    pub life: Option<f64>,
}

/// How a craft is cared for.
#[derive(Serialize, TS)]
pub struct CareView {
    /// The craft.
    pub craft: CraftTold,
    /// What care, loading and safety ask for, worst first.
    pub due: Vec<DueView>,
    /// How many findings of care are sound.
    pub sound: u32,
    /// Its counters, the most worn first.
    pub counters: Vec<CounterView>,
    /// Its check lists.
    pub lists: Vec<CheckListView>,
    /// What can be counted.
    pub counter_kinds: Vec<WordView>,
    /// The usual cautions.
    pub cautions: Vec<&'static str>,
}

/// One thing that care asks for.
#[derive(Serialize, TS)]
pub struct DueView {
    /// The rule.
    pub rule: &'static str,
    /// How it stands.
    pub verdict: VerdictWord,
    /// What it is about.
    pub subject: String,
    /// What is the matter.
    pub message: String,
    /// What to do.
    pub mends: Vec<String>,
}

/// A counter with what it says.
#[derive(Serialize, TS)]
pub struct CounterView {
    /// Its id.
    pub id: String,
    /// What it counts on.
    pub thing: String,
    /// The word of what it counts.
    pub kind: &'static str,
    /// The same for a person.
    pub kind_plain: &'static str,
    /// The count.
    pub count: f64,
    /// The life it is held against.
    pub life: f64,
    /// Where the life comes from.
    pub source: String,
    /// How it stands, in a word: over, near, fine.
    pub standing: &'static str,
}

/// A check list.
#[derive(Serialize, TS)]
pub struct CheckListView {
    /// The word of the list.
    pub list: &'static str,
    /// The same for a person.
    pub plain: &'static str,
    /// What is on it, in the order of the hands.
    pub items: Vec<CheckItemView>,
    /// When and how it was last gone through, in words.
    pub last: Option<String>,
}

/// One thing on a check list.
#[derive(Serialize, TS)]
pub struct CheckItemView {
    /// Its id.
    pub id: String,
    /// What to look at.
    pub words: String,
    /// Why.
    pub why: String,
    /// Whether somebody can be hurt if it is left out.
    pub hurts: bool,
}

fn word(word: &'static str, plain: &'static str, unit: &'static str) -> WordView {
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
            listed("packs", &self.packs),
            listed("parts", &self.parts),
            listed("units", &self.units),
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
fn plain_date(at: i64) -> String {
    let date = date(at);
    let (day, time) = date.split_once('T').unwrap_or((&date, ""));
    format!("{day} {} UTC", time.get(..5).unwrap_or(time))
}

fn ticked_words(ticked: &care::Ticked) -> String {
    let all = ticked.ticked.len() + ticked.left.len();
    match ticked.left.len() {
        0 => format!("list {}: all {all} ticked", ticked.list.plain()),
        left => format!("list {}: {} of {all} ticked, {left} left", ticked.list.plain(), ticked.ticked.len()),
    }
}

impl CounterView {
    /// A counter with what it says.
    pub fn new(id: &str, due: &Due) -> Self {
        let kind = due.counter.kind;
        let source = match due.counter.life {
            Some(_) => "as entered".to_owned(),
            None => kind.source().line(),
        };
        Self {
            id: id.to_owned(),
            thing: due.counter.thing.clone(),
            kind: kind.word(),
            kind_plain: kind.plain(),
            count: due.count,
            life: due.life,
            source,
            standing: match due.standing {
                Standing::Over => "over",
                Standing::Near => "near",
                Standing::Fine => "fine",
            },
        }
    }
}

impl CheckListView {
    /// A list, with when it was last gone through.
    pub fn new(list: ListKind, items: Vec<CheckItem>, last: Option<&Entry>) -> Self {
        let item = |item: CheckItem| CheckItemView {
            id: item.id,
            words: item.words,
            why: item.why,
            hurts: item.hurts,
        };
        let last = last.and_then(|entry| {
            Some(format!("{}: {}", plain_date(entry.at), ticked_words(entry.ticked.as_ref()?)))
        });
        Self { list: list.word(), plain: list.plain(), items: items.into_iter().map(item).collect(), last }
    }
}

/// The prefixes of rules that the page of care shows, and the one rule of safety that the journal answers.
pub fn is_care(rule: &str) -> bool {
    rule.starts_with("care.") || rule.starts_with("load.") || rule == "safe.pack_after_crash"
}

/// What care asks for, worst first.
pub fn due_of(judged: &Judged) -> Vec<DueView> {
    let told = judged
        .proved
        .findings
        .iter()
        .filter(|finding| is_care(finding.rule) && finding.verdict != Verdict::Sound);
    told.map(|finding| DueView {
        rule: finding.rule,
        verdict: finding.verdict.into(),
        subject: finding.subject.clone(),
        message: finding.message.clone(),
        mends: finding.mends.clone(),
    })
    .collect()
}

impl CareView {
    /// How a craft is cared for.
    pub fn new(judged: &Judged, counters: Vec<CounterView>, lists: Vec<CheckListView>) -> Self {
        let sound = judged
            .proved
            .findings
            .iter()
            .filter(|finding| is_care(finding.rule) && finding.verdict == Verdict::Sound);
        Self {
            craft: (&judged.craft).into(),
            due: due_of(judged),
            sound: sound.count() as u32,
            counters,
            lists,
            counter_kinds: CounterKind::ALL.iter().map(|kind| word(kind.word(), kind.plain(), "")).collect(),
            cautions: CAUTIONS.to_vec(),
        }
    }
}

/// The journal as one page that can be sent: nothing in it is loaded from anywhere, and nothing in it runs.
pub struct PageText<'a> {
    /// The entries, newest first.
    pub entries: &'a [EntryView],
    /// When it was made.
    pub made: &'a str,
}

const STYLE: &str = "body{font:16px/1.5 Georgia,serif;max-width:46rem;margin:2rem auto;padding:0 1rem;color:#1f2a33;\
background:#f7f4ec}li{border-top:1px solid #cfc8b8;padding:.6rem 0;list-style:none}ol{padding:0}time,small{color:#4a535b}\
p{margin:.2rem 0;white-space:pre-wrap}.back strong,.back p:first-of-type{text-decoration:line-through}";

impl PageText<'_> {
    /// The page.
    pub fn html(&self) -> String {
        let mut page = format!(
            "<!doctype html>\n<html lang=\"en\"><head><meta charset=\"utf-8\">\
             <meta name=\"viewport\" content=\"width=device-width\"><title>Journal</title><style>{STYLE}</style></head>\n\
             <body><h1>Journal</h1><p><small>{} entries, as of {}.</small></p>\n<ol>\n",
            self.entries.len(),
            escaped(self.made)
        );
        for entry in self.entries {
            let craft =
                entry.craft_name.as_deref().map(|name| format!("{} ", escaped(name))).unwrap_or_default();
            let details = entry.details().iter().map(|one| escaped(one)).collect::<Vec<_>>().join(" · ");
            page.push_str(&format!(
                "<li{}><time>{}</time> <strong>{craft}{}</strong>{}{}</li>\n",
                if entry.taken_back.is_some() { " class=\"back\"" } else { "" },
                escaped(&entry.at),
                entry.kind_plain,
                if entry.words.is_empty() {
                    String::new()
                } else {
                    format!("<p>{}</p>", escaped(&entry.words))
                },
                if details.is_empty() { String::new() } else { format!("<p><small>{details}</small></p>") },
            ));
        }
        page.push_str("</ol></body></html>\n");
        page
    }
}

fn escaped(text: &str) -> String {
    text.replace('&', "&amp;").replace('<', "&lt;").replace('>', "&gt;").replace('"', "&quot;")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_moment_reads_plainly() {
        assert_eq!(plain_date(1_778_929_500), "2026-05-16 11:05 UTC");
    }

    #[test]
    fn words_on_a_page_that_is_sent_start_nothing() {
        let entry = Entry::new(0, EntryKind::Crashed, "<script>alert(1)</script> & \"gate\"").of("merlin");
        let kept = Kept { id: "1".into(), thing: entry, demo: false };
        let names = [("merlin", "Mer<lin")].into();
        let page = PageText { entries: &[EntryView::new(&kept, &names)], made: "now" }.html();
        assert!(page.contains("&lt;script&gt;alert(1)&lt;/script&gt; &amp; &quot;gate&quot;"));
        assert!(page.contains("Mer&lt;lin crashed") && !page.contains("<script"));
    }
}
