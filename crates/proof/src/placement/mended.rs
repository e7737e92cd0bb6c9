//! What is left to do once a placement is taken: what one exact change mends, and what stays for the builder.
//!
//! Exact changes are screws at hand (`swap`), serial wires exchanged (`rewired`). What they leave is proved by every rule
//! and told with its mend: no computation can look whether a level rises, or buy a lens. Every lead is told with the stock
//! length that suits its way then, whether it is the one that lies there or not.

use super::counts::Counts;
use super::judged::made;
use super::rewired::rewired;
use super::swap::Swap;
use super::told::lower;
use crate::numbers::mm;
use crate::rules::to_order;
use crate::subject::{Lead, Unlaid};
use crate::{Finding, OutlineStore, Proof, Proved, Verdict, prove_again};
use craft::{Craft, Edit, PartId, PlaceId};
use fit::Slack;
use std::sync::Arc;

/// What is left to do.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Mended {
    /// Exact changes beside those of screws, each with what it mends.
    pub mends: Vec<Swap>,
    /// All findings by verdict once these and the screws are put right.
    pub counts: Counts,
    /// What then is not sound, worst first.
    pub left: Vec<Finding>,
    /// Every lead as it then lies.
    pub leads: Vec<LeadAdvice>,
}

/// What to have for a lead.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LeadAdvice {
    /// Its place.
    pub place: PlaceId,
    /// What a person calls it.
    pub called: String,
    /// Whether the one that lies there serves.
    pub serves: bool,
    /// What it leaves over, and what to order, in words.
    pub words: String,
}

impl Mended {
    /// What is left to do in a craft as it stands.
    pub fn of(craft: &Craft) -> Self {
        let outlines = Arc::default();
        let proved = prove_again(craft, &outlines);
        Self::left_in(craft, Vec::new(), proved, &outlines)
    }

    fn left_in(craft: &Craft, mends: Vec<Swap>, proved: Proved, outlines: &Arc<OutlineStore>) -> Self {
        let proof = Proof::with_outlines(craft, Arc::clone(outlines));
        Self {
            mends,
            counts: Counts::of(&proved.findings),
            leads: proved.leads.iter().filter_map(|lead| advice(&proof, lead, &proved)).collect(),
            left: proved.findings.into_iter().filter(|finding| finding.verdict != Verdict::Sound).collect(),
        }
    }
}

/// What is left once a craft has its screws put right; `proved` is its proof where there are none of these.
pub(crate) fn mended(
    craft: &Craft,
    swaps: &[Swap],
    proved: Option<&Proved>,
    outlines: &Arc<OutlineStore>,
) -> Mended {
    let edits: Vec<Edit> = swaps.iter().flat_map(|swap| swap.edits.clone()).collect();
    let craft = made(craft, &edits).unwrap_or_else(|| craft.clone());
    let mends = rewired(&craft, outlines);
    let edits: Vec<Edit> = mends.iter().flat_map(|mend| mend.edits.clone()).collect();
    let craft = made(&craft, &edits).unwrap_or(craft);
    let known = proved.filter(|_| swaps.is_empty() && mends.is_empty()).cloned();
    let proved = known.unwrap_or_else(|| prove_again(&craft, outlines));
    Mended::left_in(&craft, mends, proved, outlines)
}

/// `None` where nobody knows how it lies, for want of facts: that is a finding of its own.
fn advice(proof: &Proof, lead: &Lead, proved: &Proved) -> Option<LeadAdvice> {
    let (place, called) = (proof.craft.places[lead.place].id.clone(), lead.called(proof));
    let way = match &lead.way {
        Ok(way) => way,
        Err(Unlaid::NoRoute(_)) => {
            let finding = proved.finding_at("fit.harness_length", &place)?;
            let mend = finding.mends.first().map_or(String::new(), |mend| format!(" {mend}"));
            let words = format!("{called} has no way. {}.{mend}", finding.message.trim_end_matches('.'));
            return Some(LeadAdvice { place, called, serves: false, words });
        }
        Err(_) => return None,
    };
    let order = to_order(proof, lead, way);
    let own = way.own.as_ref().ok();
    let serves = own.is_some_and(|own| matches!(own.suits, Slack::Right | Slack::Ample));
    let words = match own {
        // The rule of lengths calls that tight.
        Some(own) if own.suits == Slack::Scant => {
            format!("{called} reaches, with only {} of slack. {order}", mm(own.slack.value))
        }
        Some(own) if serves => {
            let (slack, order) = (mm(own.slack.value), lower(&order));
            format!("{called} serves, with {slack} of slack, and stays. If it is bought anew: {order}")
        }
        _ => format!("{called} does not serve. {order}"),
    };
    Some(LeadAdvice { place, called, serves, words })
}

/// The parts that stand nowhere any more after edits, taken out of the craft: they stay in the workshop.
pub fn left_over(before: &Craft, edits: &[Edit]) -> Vec<PartId> {
    let Some(after) = made(before, edits) else { return Vec::new() };
    let stands = |craft: &Craft, part: &PartId| craft.places.iter().any(|place| place.part == *part);
    let gone = |part: &&craft::Part| stands(before, &part.id) && !stands(&after, &part.id);
    after.parts.iter().filter(gone).map(|part| part.id.clone()).collect()
}
