//! Placements as JSON: what `place --json` prints.

use super::finding::{Counts, VerdictWord};
use super::told::CraftTold;
use craft::{Craft, Edit};
use proof::placement::{Placements, Standing};
use serde::Serialize;

/// What `place --json` prints.
#[derive(Serialize)]
pub struct PlacedTold {
    /// The craft.
    pub craft: CraftTold,
    /// The places of the units that were searched.
    pub searched: Vec<String>,
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
}

/// How a craft stands.
#[derive(Serialize)]
pub struct StandingTold {
    /// The worst margin of what was searched; 2 stands for that and more.
    pub margin_mm: Option<f64>,
    /// The two that stand worst.
    pub between: Option<[String; 2]>,
    /// What the rules of the dry fit say of what was searched.
    pub verdict: VerdictWord,
    /// The least certainty among them.
    pub certainty: Option<f64>,
    /// All findings by verdict.
    pub counts: Counts,
}

/// One placement.
#[derive(Serialize)]
pub struct PlacementTold {
    /// What to do and what comes of it.
    pub reason: String,
    /// What to do, a line each.
    pub steps: Vec<String>,
    /// What to mind.
    pub notes: Vec<String>,
    /// The edits that make it, in order.
    pub edits: Vec<Edit>,
    /// How many things it changes.
    pub changes: u32,
    /// Whether it is better than the craft as it stands.
    pub is_better: bool,
    /// How the craft then stands.
    pub then: StandingTold,
}

/// What the proof rests on.
#[derive(Serialize)]
pub struct BoundTold {
    /// Partial placements looked at.
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
#[derive(Serialize)]
pub struct ConflictTold {
    /// The one.
    pub one: String,
    /// The other.
    pub other: String,
    /// Why.
    pub why: String,
}

/// A part at hand that mends a finding.
#[derive(Serialize)]
pub struct SwapTold {
    /// What to do.
    pub step: String,
    /// The finding it mends.
    pub mends: String,
    /// The edits that make it.
    pub edits: Vec<Edit>,
}

impl PlacedTold {
    /// What a search of a craft found.
    pub fn new(craft: &Craft, found: &Placements) -> Self {
        let bound = &found.bound;
        let best = found.best.iter().map(|one| PlacementTold {
            reason: one.reason.clone(),
            steps: one.steps.clone(),
            notes: one.notes.clone(),
            edits: one.edits.clone(),
            changes: one.changes,
            is_better: one.is_better,
            then: (&one.then).into(),
        });
        let swaps = found.swaps.iter().map(|swap| SwapTold {
            step: swap.step.clone(),
            mends: swap.mends.clone(),
            edits: swap.edits.clone(),
        });
        Self {
            craft: craft.into(),
            searched: found.searched.iter().map(ToString::to_string).collect(),
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
            swaps: swaps.collect(),
        }
    }
}

impl From<&Standing> for StandingTold {
    fn from(standing: &Standing) -> Self {
        let counts = standing.counts;
        let count = |number: usize| u32::try_from(number).unwrap_or(u32::MAX);
        Self {
            margin_mm: standing.margin.map(|margin| margin.get()),
            between: standing.between.clone(),
            verdict: standing.verdict.into(),
            certainty: standing.certainty.map(|certainty| certainty.get()),
            counts: Counts {
                broken: count(counts.broken),
                tight: count(counts.tight),
                unknown: count(counts.unknown),
                sound: count(counts.sound),
            },
        }
    }
}
