//! Figures built where they are computed: the lines of their working, in the order a teacher would write them.

use crate::Proof;
use quantity::{
    Basis, FactIndex, FactLedger, Figure, FigureId, Linear, Quantity, Source, Term, Unit, Working,
    standard_uncertainty,
};

/// The lines of a working, being written.
pub(crate) struct Lines<'p, 'a> {
    facts: Facts<'p, 'a>,
    terms: Vec<Term>,
}

/// Where the facts are: of a proof under way, whose ledger still grows, or of one that is done.
enum Facts<'p, 'a> {
    Growing(&'p Proof<'a>),
    Whole(&'p FactLedger),
}

impl Facts<'_, '_> {
    fn read<R>(&self, read: impl FnOnce(&FactLedger) -> R) -> R {
        match self {
            Self::Growing(proof) => read(&proof.ledger()),
            Self::Whole(ledger) => read(ledger),
        }
    }
}

impl<'p, 'a> Lines<'p, 'a> {
    /// No line yet.
    pub fn of(proof: &'p Proof<'a>) -> Self {
        Self { facts: Facts::Growing(proof), terms: Vec::new() }
    }

    /// The same over the facts of a proof that is done.
    pub fn over(ledger: &'p FactLedger) -> Self {
        Self { facts: Facts::Whole(ledger), terms: Vec::new() }
    }

    /// A fact: its value, its doubt and what it rests on.
    pub fn fact(mut self, fact: FactIndex) -> Self {
        let term = self.facts.read(|ledger| {
            let entry = ledger.get(fact)?;
            let uncertainty = entry.doubt.standard_uncertainty();
            Some(Term {
                label: entry.label.clone(),
                quantity: Quantity { value: entry.value, unit: entry.unit },
                uncertainty: (uncertainty > 0.0).then_some(uncertainty),
                origin: entry.basis.words().to_owned(),
            })
        });
        self.terms.extend(term);
        self
    }

    /// Every fact a result leans on.
    pub fn facts(self, result: &Linear) -> Self {
        result.slopes.iter().fold(self, |lines, (fact, _)| lines.fact(*fact))
    }

    /// A fact of a part that is there several times.
    pub fn counted(self, fact: FactIndex, count: u32) -> Self {
        let before = self.terms.len();
        let mut lines = self.fact(fact);
        if count > 1 {
            lines.terms[before..]
                .iter_mut()
                .for_each(|term| term.label = format!("{count} · {}", term.label));
        }
        lines
    }

    /// A number that is no fact of a part: a count, a constant.
    pub fn given(mut self, label: &str, value: f64, unit: Unit, origin: impl Into<String>) -> Self {
        self.terms.push(Term {
            label: label.to_owned(),
            quantity: Quantity { value, unit },
            uncertainty: None,
            origin: origin.into(),
        });
        self
    }

    /// A result worked out on the way.
    pub fn result(mut self, label: &str, result: &Linear, unit: Unit, origin: impl Into<String>) -> Self {
        let uncertainty = self.facts.read(|ledger| standard_uncertainty(result, ledger));
        self.terms.push(Term {
            label: label.to_owned(),
            quantity: Quantity { value: result.value, unit },
            uncertainty: (uncertainty > 0.0).then_some(uncertainty),
            origin: origin.into(),
        });
        self
    }

    /// The figure with these lines as its working.
    pub fn figure(
        self,
        id: impl Into<std::borrow::Cow<'static, str>>,
        label: impl Into<String>,
        (result, unit): (&Linear, Unit),
        formula: impl Into<String>,
        source: Source,
    ) -> Figure {
        let (uncertainty, basis) = self.facts.read(|ledger| {
            let entries = result.slopes.iter().filter_map(|(fact, _)| ledger.get(*fact));
            let basis = entries.map(|entry| entry.basis).fold(Basis::Measured, Basis::weaker);
            (standard_uncertainty(result, ledger), basis)
        });
        Figure {
            id: FigureId(id.into()),
            label: label.into(),
            quantity: Quantity { value: result.value, unit },
            uncertainty: (uncertainty > 0.0).then_some(uncertainty),
            basis,
            working: Working { formula: formula.into(), terms: self.terms, source },
        }
    }
}
