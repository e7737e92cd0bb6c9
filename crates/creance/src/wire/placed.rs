//! Placements as JSON: what `place --json` prints, and what the bench's pane of placements is told.

use super::finding::{Counts, VerdictWord};
use super::told::CraftTold;
use craft::{Craft, Edit};
use proof::placement::{self, Doing, Mended, Placements, Standing, Swap, Unmatched};
use serde::{Deserialize, Serialize};
use ts_rs::TS;

/// What a page asks to be placed; all of it may be left out.
#[derive(Clone, Debug, Default, Deserialize, TS)]
#[serde(deny_unknown_fields, default)]
pub struct PlaceAsked {
    /// Only these places; those that findings concern when left out.
    pub only: Vec<String>,
    /// How many placements are wanted; 0 for as many as usual.
    pub best: u32,
}

/// Which placement a page takes.
#[derive(Clone, Debug, Deserialize, TS)]
#[serde(deny_unknown_fields)]
pub struct PlacementTaken {
    /// The search it was found by.
    pub search: u32,
    /// Its number, from 1; null to leave everything where it stands and only put the screws right.
    pub number: Option<u32>,
    /// Whether screws are put right as well, where a part of the craft serves.
    pub swap: bool,
    /// Whether everything is put right that one exact change mends, screws too.
    #[serde(default)]
    pub mend: bool,
}

/// A search for placements as a page shows it, under way or done.
#[derive(Serialize, TS)]
pub struct SearchView {
    /// Its number.
    pub search: u32,
    /// The share done, from 0 to 1.
    pub share: f64,
    /// What it does.
    pub doing: DoingWord,
    /// What came of it, once it is done.
    pub found: Option<PlacedTold>,
    /// A small top view of the craft as it was searched, as SVG, what was searched drawn darker; empty until then.
    pub picture_now: String,
    /// The same of each placement found, what moves drawn darker.
    pub pictures: Vec<String>,
}

/// What a search is doing.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, TS)]
#[serde(rename_all = "snake_case")]
pub enum DoingWord {
    /// Trying placements.
    Searching,
    /// Proving the best by every rule.
    Proving,
    /// Nothing any more.
    Done,
}

impl From<Doing> for DoingWord {
    fn from(doing: Doing) -> Self {
        match doing {
            Doing::Searching => Self::Searching,
            Doing::Proving => Self::Proving,
        }
    }
}

/// What `place --json` prints.
#[derive(Serialize, TS)]
pub struct PlacedTold {
    /// The craft.
    pub craft: CraftTold,
    /// The places of the units that were searched.
    pub searched: Vec<String>,
    /// The places of all units that can be searched.
    pub movable: Vec<String>,
    /// Whether everything that can move was searched because those concerned alone gave nothing sound.
    pub widened: bool,
    /// The craft as it stands.
    pub now: StandingTold,
    /// The best placements, best first.
    pub best: Vec<PlacementTold>,
    /// What the proof rests on.
    pub bound: BoundTold,
    /// Two things that cannot both be had.
    pub conflict: Option<ConflictTold>,
    /// Single parts at hand that mend what a rule names.
    pub swaps: Vec<SwapTold>,
    /// What is left to do where everything stays and these parts are put in.
    pub mended: MendedTold,
    /// Boards whose holes no pattern of the craft takes.
    pub unmatched: Vec<UnmatchedTold>,
    /// What would serve where neither a placement nor an adapter does: holes to drill.
    pub instead: Option<String>,
}

/// What is left to do once the screws are put right.
#[derive(Serialize, TS)]
pub struct MendedTold {
    /// What one exact change mends, screws aside.
    pub mends: Vec<SwapTold>,
    /// The craft as a whole once these are made too.
    pub then: WholeTold,
    /// What then is not sound, worst first.
    pub left: Vec<LeftTold>,
    /// Every lead as it then lies.
    pub leads: Vec<LeadTold>,
}

/// A finding that stays.
#[derive(Serialize, TS)]
pub struct LeftTold {
    /// The rule.
    pub rule: &'static str,
    /// How it stands.
    pub verdict: VerdictWord,
    /// What it is about.
    pub subject: String,
    /// What is the matter.
    pub message: String,
    /// What to do, the cheapest; null where nothing is to be done.
    pub mend: Option<String>,
}

/// What to have for a lead.
#[derive(Serialize, TS)]
#[ts(rename = "LeadToldOfPlacement")]
pub struct LeadTold {
    /// Its place.
    pub place: String,
    /// Whether the one that lies there serves.
    pub serves: bool,
    /// What it leaves over and what to order.
    pub words: String,
}

/// A board whose holes no pattern takes.
#[derive(Serialize, TS)]
pub struct UnmatchedTold {
    /// Its place.
    pub place: String,
    /// What a person calls it.
    pub called: String,
    /// Its holes.
    pub holes: String,
    /// What it is seated on.
    pub seat: String,
    /// The holes there.
    pub seat_holes: String,
    /// The same in a sentence.
    pub words: String,
}

/// How a craft stands.
#[derive(Serialize, TS)]
pub struct StandingTold {
    /// The worst margin of what was searched; 2 stands for that and more.
    pub margin_mm: Option<f64>,
    /// The same in words.
    pub margin_words: Option<String>,
    /// The two that stand worst.
    pub between: Option<[String; 2]>,
    /// What the rules of the dry fit say of what was searched.
    pub verdict: VerdictWord,
    /// The least certainty among them.
    pub certainty: Option<f64>,
    /// All findings by verdict.
    pub counts: Counts,
    /// Plates the frame is without: what they would be too near to nobody can say.
    pub lacks: Vec<String>,
}

/// One placement.
#[derive(Serialize, TS)]
pub struct PlacementTold {
    /// What to do and what comes of it.
    pub reason: String,
    /// What comes of it.
    pub why: String,
    /// What to do, a line each.
    pub steps: Vec<String>,
    /// What to mind.
    pub notes: Vec<String>,
    /// The edits that make it, in order.
    #[ts(type = "unknown[]")]
    pub edits: Vec<Edit>,
    /// How many things it changes.
    pub changes: u32,
    /// Whether it is better than the craft as it stands.
    pub is_better: bool,
    /// How the craft then stands.
    pub then: StandingTold,
    /// Single parts at hand that mend what a rule still names then.
    pub swaps: Vec<SwapTold>,
    /// The craft as a whole once these parts are exchanged as well.
    pub then_swapped: WholeTold,
    /// What is left to do once these are exchanged as well.
    pub mended: MendedTold,
}

/// A craft as a whole.
#[derive(Serialize, TS)]
pub struct WholeTold {
    /// The worst verdict.
    pub verdict: VerdictWord,
    /// All findings by verdict.
    pub counts: Counts,
}

/// What the proof rests on.
#[derive(Serialize, TS)]
pub struct BoundTold {
    /// Partial placements looked at.
    #[ts(type = "number")]
    pub nodes: u64,
    /// Placements there are in all.
    pub choices: f64,
    /// The best worst margin, in mm.
    pub best_mm: Option<f64>,
    /// What no placement could exceed, in mm.
    pub at_most_mm: Option<f64>,
    /// The most that anything not tried one by one could have, in mm.
    pub left_out_mm: Option<f64>,
    /// Whether the search came to its end.
    pub whole: bool,
    /// The same in words.
    pub words: String,
}

/// Two things that cannot both be had.
#[derive(Serialize, TS)]
pub struct ConflictTold {
    /// The one.
    pub one: String,
    /// The other.
    pub other: String,
    /// Why.
    pub why: String,
}

/// A part at hand that mends a finding.
#[derive(Serialize, TS)]
pub struct SwapTold {
    /// What to do.
    pub step: String,
    /// The finding it mends.
    pub mends: String,
    /// The edits that make it.
    #[ts(type = "unknown[]")]
    pub edits: Vec<Edit>,
}

impl PlacedTold {
    /// What a search of a craft found.
    pub fn new(craft: &Craft, found: &Placements) -> Self {
        let bound = &found.bound;
        let best = found.best.iter().map(|one| PlacementTold {
            reason: one.reason.clone(),
            why: one.why.clone(),
            steps: one.steps.clone(),
            notes: one.notes.clone(),
            edits: one.edits.clone(),
            changes: one.changes,
            is_better: one.is_better,
            then: (&one.then).into(),
            swaps: one.swaps.iter().map(SwapTold::from).collect(),
            then_swapped: (&one.then_swapped).into(),
            mended: (&one.mended).into(),
        });
        Self {
            craft: craft.into(),
            searched: found.searched.iter().map(ToString::to_string).collect(),
            movable: found.movable.iter().map(ToString::to_string).collect(),
            widened: found.widened,
            now: (&found.now).into(),
            best: best.collect(),
            bound: BoundTold {
                nodes: bound.nodes,
                choices: bound.choices,
                best_mm: bound.best.map(|margin| margin.get()),
                at_most_mm: bound.at_most.map(|margin| margin.get()),
                left_out_mm: bound.left_out.map(|margin| margin.get()),
                whole: bound.whole,
                words: bound.to_string(),
            },
            conflict: found.conflict.as_ref().map(|conflict| ConflictTold {
                one: conflict.one.clone(),
                other: conflict.other.clone(),
                why: conflict.why.clone(),
            }),
            swaps: found.swaps.iter().map(SwapTold::from).collect(),
            mended: (&found.mended).into(),
            unmatched: found.unmatched.iter().map(UnmatchedTold::from).collect(),
            instead: found.instead.clone(),
        }
    }
}

impl From<&Mended> for MendedTold {
    fn from(mended: &Mended) -> Self {
        let left = mended.left.iter().map(|finding| LeftTold {
            rule: finding.rule,
            verdict: finding.verdict.into(),
            subject: finding.subject.clone(),
            message: finding.message.clone(),
            mend: finding.mends.first().cloned(),
        });
        let leads = mended.leads.iter().map(|lead| LeadTold {
            place: lead.place.to_string(),
            serves: lead.serves,
            words: lead.words.clone(),
        });
        Self {
            mends: mended.mends.iter().map(SwapTold::from).collect(),
            then: (&mended.counts).into(),
            left: left.collect(),
            leads: leads.collect(),
        }
    }
}

impl From<&Unmatched> for UnmatchedTold {
    fn from(one: &Unmatched) -> Self {
        Self {
            place: one.place.to_string(),
            called: one.called.clone(),
            holes: one.holes.clone(),
            seat: one.seat.clone(),
            seat_holes: one.seat_holes.clone(),
            words: one.words.clone(),
        }
    }
}

impl From<&Swap> for SwapTold {
    fn from(swap: &Swap) -> Self {
        Self { step: swap.step.clone(), mends: swap.mends.clone(), edits: swap.edits.clone() }
    }
}

impl From<&placement::Counts> for WholeTold {
    fn from(counts: &placement::Counts) -> Self {
        Self { verdict: counts.verdict().into(), counts: counts.into() }
    }
}

impl From<&placement::Counts> for Counts {
    fn from(counts: &placement::Counts) -> Self {
        let count = |number: usize| u32::try_from(number).unwrap_or(u32::MAX);
        Self {
            broken: count(counts.broken),
            tight: count(counts.tight),
            unknown: count(counts.unknown),
            sound: count(counts.sound),
        }
    }
}

impl From<&Standing> for StandingTold {
    fn from(standing: &Standing) -> Self {
        Self {
            margin_mm: standing.margin.map(|margin| margin.get()),
            margin_words: standing.margin_words(),
            between: standing.between.clone(),
            verdict: standing.verdict.into(),
            certainty: standing.certainty.map(|certainty| certainty.get()),
            counts: (&standing.counts).into(),
            lacks: standing.lacks.clone(),
        }
    }
}
