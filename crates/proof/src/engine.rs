//! The proof of one craft: inputs made once, every rule asked, the answers in order.

use crate::rules::RULES;
use crate::{Answer, Finding, Verdict};
use craft::schema::PartKind;
use craft::{Craft, Part, Place, Reading};
use quantity::{FactIndex, FactLedger, Figure, Measure};
use std::cell::RefCell;

/// A craft being proved: what the rules may look at.
pub struct Proof<'a> {
    /// The craft.
    pub craft: &'a Craft,
    ledger: RefCell<FactLedger>,
}

/// A place with the part that stands there.
#[derive(Clone, Copy, Debug)]
pub struct Placed<'a> {
    /// The place.
    pub place: &'a Place,
    /// The part.
    pub part: &'a Part,
}

/// What came of it.
#[derive(Clone, Debug, Default)]
pub struct Proved {
    /// Findings, worst first, in the rules' order within a verdict.
    pub findings: Vec<Finding>,
    /// Figures, in the rules' order.
    pub figures: Vec<Figure>,
    /// The facts everything rests on.
    pub ledger: FactLedger,
}

impl<'a> Proof<'a> {
    /// Makes the inputs of all disciplines.
    pub fn new(craft: &'a Craft) -> Self {
        Self { craft, ledger: RefCell::default() }
    }

    /// Every place whose part is known, in the order of the sheet.
    pub fn placed(&self) -> impl Iterator<Item = Placed<'a>> {
        let craft = self.craft;
        craft.places.iter().filter_map(move |place| Some(Placed { place, part: craft.part_at(place)? }))
    }

    /// The places of one kind of part.
    pub fn places_of(&self, kind: PartKind) -> impl Iterator<Item = Placed<'a>> {
        self.placed().filter(move |placed| placed.part.kind == kind)
    }

    /// The part a place is seated on, if it is of this kind.
    pub fn part_under(&self, place: &Place, kind: PartKind) -> Option<Placed<'a>> {
        let under = place.on.as_ref()?.place()?;
        self.placed().find(|placed| &placed.place.id == under && placed.part.kind == kind)
    }

    /// Enters a fact in the ledger.
    pub fn enter<M: Measure>(&self, reading: &Reading<M>) -> FactIndex {
        reading.enter(&mut self.ledger.borrow_mut())
    }
}

impl Proved {
    /// The worst verdict, *unknown* counting less than *tight*.
    pub fn verdict(&self) -> Verdict {
        self.findings.iter().map(|finding| finding.verdict).min().unwrap_or(Verdict::Unknown)
    }
}

/// Judges a craft by every rule.
pub fn prove(craft: &Craft) -> Proved {
    let proof = Proof::new(craft);
    let mut proved = Proved::default();
    for rule in RULES {
        let Answer { findings, figures } = (rule.run)(&proof);
        proved.findings.extend(findings);
        proved.figures.extend(figures);
    }
    proved.findings.sort_by_key(|finding| finding.verdict);
    proved.ledger = proof.ledger.into_inner();
    proved
}
