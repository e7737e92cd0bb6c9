//! What stands nowhere or has no body for want of facts, told once for each cause.
//!
//! A fact may be wanting at many places: a motor's height at four mounts, a seat under ten boards. What a
//! part lacks is told once for the part, a seat that leads nowhere once for all that rest on it. Fixings
//! that lie in the drawer, and what stays on the ground, need no place.

use crate::inputs::Unbuilt;
use crate::names::called;
use crate::numbers::listed;
use crate::subject::stays_on_the_ground;
use crate::{Finding, Proof, Verdict};
use craft::schema::PartKind;
use craft::{Missing, PartId, PlaceId};
use std::collections::{BTreeMap, HashSet};

/// What one cause keeps from being judged.
#[derive(Default)]
struct Cause<'a> {
    /// The place whose seat is wanting, or the first place of the part whose facts are.
    subject: String,
    missing: Vec<Missing>,
    wrong: Vec<&'a str>,
    what: Vec<&'a str>,
    places: Vec<PlaceId>,
    /// How many others rest on it.
    others: usize,
    /// What to call it, where nobody said what it is seated on.
    unseated: Option<String>,
}

/// Causes in the order in which the sheet names the first place of each.
#[derive(PartialEq, Eq, PartialOrd, Ord)]
enum Key<'a> {
    Seat(usize),
    Part(usize, &'a PartId),
}

/// *Unknown* for everything that cannot be judged, by cause; then for parts that are put nowhere.
pub(crate) fn unbuilt(proof: &Proof, rule: &'static str) -> Vec<Finding> {
    let mut first_place: BTreeMap<&PartId, usize> = BTreeMap::new();
    let mut causes: BTreeMap<Key, Cause> = BTreeMap::new();
    for unbuilt in &proof.inputs().unbuilt {
        let place = &proof.craft.places[unbuilt.place];
        let stands = proof.inputs().seat(unbuilt.place).is_some();
        let key = if stands {
            Key::Part(*first_place.entry(&place.part).or_insert(unbuilt.place), &place.part)
        } else {
            Key::Seat(unbuilt.because.unwrap_or(unbuilt.place))
        };
        causes.entry(key).or_default().add(proof, unbuilt, stands);
    }
    causes.into_values().flat_map(|cause| cause.told(rule)).chain(in_no_place(proof, rule)).collect()
}

impl<'a> Cause<'a> {
    fn add(&mut self, proof: &Proof, unbuilt: &'a Unbuilt, stands: bool) {
        let place = &proof.craft.places[unbuilt.place];
        if unbuilt.because.is_some() {
            self.others += 1;
            return;
        }
        if self.subject.is_empty() {
            let name = proof.placed_number(unbuilt.place).map(|placed| called(proof, placed));
            self.unseated = name.clone().filter(|_| place.on.is_none());
            self.subject = match name {
                Some(_) if stands => proof.part_of(unbuilt.place).map_or(String::new(), |p| p.name.clone()),
                Some(name) => format!("seat of {name}"),
                None => unbuilt.what.clone(),
            };
        }
        self.missing.extend(unbuilt.missing.iter().cloned());
        self.wrong.extend(unbuilt.wrong.as_deref());
        self.what.push(&unbuilt.what);
        self.places.push(place.id.clone());
    }

    fn told(mut self, rule: &'static str) -> Vec<Finding> {
        let mut known = HashSet::new();
        self.missing.retain(|missing| known.insert(missing.path.clone()));
        self.places.dedup();
        let mut told = Vec::new();
        if !self.missing.is_empty() {
            let mut finding = Finding::unknown(rule, self.subject.clone(), self.missing);
            if let Some(name) = self.unseated {
                finding.message = format!("Nobody can say yet: {name} is seated on nothing");
                finding.mends = vec![format!("Say what {name} is seated on.")];
            }
            told.push(finding);
        }
        let mut said = HashSet::new();
        for (wrong, what) in self.wrong.iter().zip(&self.what).filter(|(wrong, _)| said.insert(**wrong)) {
            let message = format!("{what} cannot be placed: {wrong}");
            told.push(
                Finding::new(rule, Verdict::Unknown, self.subject.clone(), message)
                    .mend(format!("Correct the facts of {what}.")),
            );
        }
        if let Some(first) = told.first_mut()
            && self.others > 0
        {
            let rest =
                if self.others == 1 { "one place rests" } else { &format!("{} places rest", self.others) };
            first.message += &format!("; {rest} on it and can be judged no more than it");
        }
        told.into_iter().map(|finding| finding.at(self.places.clone())).collect()
    }
}

/// What may lie ready without a place.
const IN_THE_DRAWER: &[PartKind] =
    &[PartKind::Screw, PartKind::Spacer, PartKind::SoftMount, PartKind::Adapter];

/// Parts that are on the sheet and put nowhere.
fn in_no_place(proof: &Proof, rule: &'static str) -> Option<Finding> {
    let loose: Vec<&str> = proof
        .craft
        .parts
        .iter()
        .filter(|part| proof.stands_at(&part.id) == 0 && !stays_on_the_ground(part.kind))
        .filter(|part| !IN_THE_DRAWER.contains(&part.kind))
        // A lens beside the one that is on lies ready to be put on instead.
        .filter(|part| part.kind != PartKind::Lens || proof.places_of(PartKind::Lens).next().is_none())
        .map(|part| part.name.as_str())
        .collect();
    let (is, names) = match loose.as_slice() {
        [] => return None,
        [_] => ("is", listed(&loose)),
        [_, _] | [_, _, _] => ("are", listed(&loose)),
        [first, second, rest @ ..] => ("are", format!("{first}, {second} and {} more", rest.len())),
    };
    let message =
        format!("{names} {is} on the sheet but in no place: nobody can say yet whether it all fits");
    let mend = if loose.len() == 1 {
        "Put it somewhere, or take it off the sheet."
    } else {
        "Put each somewhere, or take it off the sheet."
    };
    Some(Finding::new(rule, Verdict::Unknown, "parts without a place", message).mend(mend))
}
