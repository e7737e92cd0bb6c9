//! Care as JSON: what is due, counters against their lives, check lists.

use super::finding::VerdictWord;
use super::journal::{WordView, plain_date, ticked_words, word};
use super::told::CraftTold;
use crate::judged::Judged;
use crate::manual::CAUTIONS;
use care::{CheckItem, CounterKind, Due, Entry, ListKind, Standing};
use proof::Verdict;
use serde::{Deserialize, Serialize};
use ts_rs::TS;

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
            let ticked = entry.ticked.as_ref()?;
            let was = |item: &&CheckItem| ticked.ticked.iter().chain(&ticked.left).any(|id| *id == item.id);
            let since = match items.len() - items.iter().filter(was).count() {
                0 => String::new(),
                1 => "; 1 line is new since".to_owned(),
                new => format!("; {new} lines are new since"),
            };
            Some(format!("{}: {}{since}", plain_date(entry.at), ticked_words(ticked)))
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
