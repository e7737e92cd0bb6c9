//! Leads that hang on one another: a pigtail on a coax, an extension on a harness. In a row they lie as one lead does.
//!
//! Two ends are joined where one of them names the other lead (`tail/second end`). A word that names no end means the end
//! that names this lead in turn, else one that nobody said anything of. An end is joined once; a ring has no outer ends
//! and stays what is written of it. Leads of different kinds are never joined.

use super::{End, end, named_end};
use crate::{Placed, Proof};
use craft::schema::{Field, PartKind, place as place_schema};
use std::collections::HashMap;

/// Leads in a row, from one outer end to the other.
#[derive(Clone, Debug)]
pub(crate) struct JoinedLeads<'a> {
    /// The leads, each joined to the next.
    pub leads: Vec<Placed<'a>>,
    /// Which field tells where the outer end of the first and that of the last goes.
    pub outer: [&'static Field<str>; 2],
}

const ENDS: [&Field<str>; 2] = [&place_schema::FROM, &place_schema::TO];

/// Every row of leads, in the order of the sheet; most are of one lead.
pub(crate) fn joined_leads<'a>(proof: &Proof<'a>) -> Vec<JoinedLeads<'a>> {
    let is_lead = |placed: &Placed| matches!(placed.part.kind, PartKind::CameraHarness | PartKind::Pigtail);
    let leads: Vec<Placed<'a>> = proof.placed().filter(is_lead).collect();
    let joints = joints(proof, &leads);
    let mut passed = vec![false; leads.len()];
    let mut rows = Vec::new();
    for first in 0..leads.len() {
        let Some(free) = (0..2).find(|end| !joints.contains_key(&(first, *end))) else { continue };
        if passed[first] {
            continue;
        }
        let (mut row, mut at, mut leaving) = (vec![leads[first]], first, 1 - free);
        passed[first] = true;
        while let Some((next, entered)) = joints.get(&(at, leaving)).copied() {
            row.push(leads[next]);
            passed[next] = true;
            (at, leaving) = (next, 1 - entered);
        }
        rows.push((first, JoinedLeads { leads: row, outer: [ENDS[free], ENDS[leaving]] }));
    }
    let rings = (0..leads.len()).filter(|lead| !passed[*lead]);
    rows.extend(rings.map(|lead| (lead, JoinedLeads { leads: vec![leads[lead]], outer: ENDS })));
    rows.sort_by_key(|(first, _)| *first);
    rows.into_iter().map(|(_, row)| row).collect()
}

/// By the number of the place of a lead that of the first in its row.
pub(crate) fn firsts_of_rows(proof: &Proof) -> HashMap<usize, usize> {
    let number = |placed: &Placed| proof.number_of(&placed.place.id);
    let of_row = |row: JoinedLeads| {
        let first = row.leads.first().and_then(number);
        row.leads.iter().filter_map(|lead| Some((number(lead)?, first?))).collect::<Vec<_>>()
    };
    joined_leads(proof).into_iter().flat_map(of_row).collect()
}

/// A lead by its number among all, and which of its ends.
type LeadEnd = (usize, usize);

fn joints(proof: &Proof, leads: &[Placed]) -> HashMap<LeadEnd, LeadEnd> {
    let goes = |lead: usize, of: usize| end(proof, leads[lead].place, ENDS[of]);
    let names = |lead: usize, of: usize, other: usize| matches!(goes(lead, of), End::Lead(there, _) if there.place.id == leads[other].place.id);
    let mut joints: HashMap<LeadEnd, LeadEnd> = HashMap::new();
    for (number, lead) in leads.iter().enumerate() {
        for of in 0..2 {
            let End::Lead(there, word) = goes(number, of) else { continue };
            let alike =
                |other: &Placed| other.place.id == there.place.id && other.part.kind == lead.part.kind;
            let Some(other) = leads.iter().position(alike).filter(|other| *other != number) else { continue };
            let entered = named_end(&word)
                .or_else(|| (0..2).find(|of| names(other, *of, number)))
                .or_else(|| (0..2).find(|of| matches!(goes(other, *of), End::Unsaid(_))));
            let Some(entered) = entered else { continue };
            if !joints.contains_key(&(number, of)) && !joints.contains_key(&(other, entered)) {
                joints.insert((number, of), (other, entered));
                joints.insert((other, entered), (number, of));
            }
        }
    }
    joints
}

#[cfg(test)]
#[path = "joined_tests.rs"]
mod tests;
