//! Single exact changes that mend what a rule names: here a screw of another length that is at hand.

use super::judged::made;
use crate::rules::rule_of;
use crate::{Finding, OutlineStore, Proof, Verdict};
use craft::schema::{PartKind, fixing};
use craft::{Craft, Edit, PlaceId};
use std::collections::BTreeSet;
use std::sync::Arc;

/// One exact change that mends a finding: a part of the craft that takes the place of another, two wires exchanged.
#[derive(Clone, Debug, PartialEq)]
pub struct Swap {
    /// The edits that make it.
    pub edits: Vec<Edit>,
    /// What to do.
    pub step: String,
    /// What it mends, in words.
    pub mends: String,
}

const SCREW_RULE: &str = "fit.screw_length";

/// Screws at hand that mend what the rule of screw lengths says of these findings.
pub(crate) fn swaps(craft: &Craft, findings: &[Finding], outlines: &Arc<OutlineStore>) -> Vec<Swap> {
    let screws = findings.iter().filter(|finding| finding.rule == SCREW_RULE);
    screws
        .filter(|finding| matches!(finding.verdict, Verdict::Broken | Verdict::Tight))
        .filter_map(|finding| swap(craft, finding, outlines))
        .collect()
}

fn swap(craft: &Craft, finding: &Finding, outlines: &Arc<OutlineStore>) -> Option<Swap> {
    let is_screw = |place: &&PlaceId| {
        craft
            .place(place)
            .and_then(|place| craft.part_at(place))
            .is_some_and(|part| part.kind == PartKind::Screw)
    };
    let places: Vec<&PlaceId> = finding.places.iter().filter(is_screw).collect();
    let used = craft.part_at(craft.place(places.first()?)?)?;
    let thread = used.item().text(&fixing::THREAD).ok()?;
    let length = used.item().read(&fixing::SCREW_LENGTH).ok()?.value.get();
    let mut others: Vec<(f64, &craft::Part)> = craft
        .parts
        .iter()
        .filter(|part| part.kind == PartKind::Screw && part.id != used.id)
        .filter(|part| part.item().text(&fixing::THREAD) == Ok(thread))
        .filter_map(|part| Some((part.item().read(&fixing::SCREW_LENGTH).ok()?.value.get(), part)))
        .collect();
    others.sort_by(|a, b| (a.0 - length).abs().total_cmp(&(b.0 - length).abs()));
    let tried = others.into_iter().filter_map(|(_, part)| {
        let set = |place: &&PlaceId| Edit::SetPlace {
            place: (*place).clone(),
            key: "part".to_owned(),
            text: Some(part.id.to_string()),
        };
        let edits: Vec<Edit> = places.iter().map(set).collect();
        let verdict = verdict_with(SCREW_RULE, craft, &edits, &places, outlines)?;
        (verdict > finding.verdict).then_some((verdict, edits, part))
    });
    let (_, edits, part) = tried.max_by(|a, b| a.0.cmp(&b.0).then(std::cmp::Ordering::Greater))?;
    let at = places.iter().map(|place| place.as_str()).collect::<BTreeSet<_>>();
    let at: Vec<&str> = at.into_iter().collect();
    let step = format!("Put {} at {}", part.name, at.join(", "));
    Some(Swap { edits, step, mends: finding.message.clone() })
}

/// The worst that a rule says of these places after edits; `None` if one of them is refused.
pub(crate) fn verdict_with(
    rule: &str,
    craft: &Craft,
    edits: &[Edit],
    places: &[&PlaceId],
    outlines: &Arc<OutlineStore>,
) -> Option<Verdict> {
    let craft = made(craft, edits)?;
    let proof = Proof::with_outlines(&craft, Arc::clone(outlines));
    let findings = (rule_of(rule)?.run)(&proof).findings;
    let mine = findings.iter().filter(|finding| finding.places.iter().any(|place| places.contains(&place)));
    Some(mine.map(|finding| finding.verdict).min().unwrap_or(Verdict::Unknown))
}
