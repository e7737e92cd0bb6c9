//! Ledgers for tests: facts of given doubts, numbered in order.

use crate::*;

/// A ledger of facts with value 0 and these doubts, and of any kind.
pub fn ledger_of(doubts: &[Doubt]) -> FactLedger {
    let mut ledger = FactLedger::default();
    for (i, &doubt) in doubts.iter().enumerate() {
        ledger.enter(LedgerEntry {
            path: FactPath(format!("fact[{i}]")),
            label: format!("fact {i}"),
            value: 0.0,
            unit: Unit::Millimetres,
            doubt,
            basis: Basis::DataSheet,
            kind: DoubtKind::OuterSize,
        });
    }
    ledger
}

/// A result leaning on facts 0, 1, 2 … with these slopes.
pub fn linear(value: f64, slopes: &[f64]) -> Linear {
    let slopes = slopes.iter().enumerate().map(|(i, &c)| (FactIndex(i as u32), c)).collect();
    Linear { value, slopes }
}

/// A normal doubt of this standard uncertainty.
pub fn normal(u: f64) -> Doubt {
    Doubt { minus: 2.0 * u, plus: 2.0 * u, shape: Shape::Normal }
}
