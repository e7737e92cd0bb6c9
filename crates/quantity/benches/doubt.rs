//! How long doubt takes: the size of a craft's proof, from few open margins to all.
//!
//! 600 margins lean on ten of 200 facts each. `spread_mm` sets how far the margins lie from nought: at 30 mm
//! almost all hold for certain, as on a real craft; at 0.3 mm every one is open, which no craft is.

use divan::{Bencher, black_box};
use quantity::{
    Basis, Doubt, DoubtKind, FactIndex, FactLedger, FactPath, LedgerEntry, Linear, USUAL_SEED, USUAL_TRIALS,
    Unit,
};

fn main() {
    divan::main();
}

const SPREADS_MM: [f64; 3] = [0.3, 3.0, 30.0];

/// Numbers from 0 to 1 that look random and are always the same.
fn scattered(state: &mut u64) -> f64 {
    *state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
    (*state >> 33) as f64 / (1u64 << 31) as f64
}

fn craft(spread_mm: f64) -> (FactLedger, Vec<Linear>) {
    let mut state = 12_345;
    let mut ledger = FactLedger::default();
    for i in 0..200 {
        ledger.enter(LedgerEntry {
            path: FactPath(format!("fact[{i}]")),
            label: format!("fact {i}"),
            value: 1.0,
            unit: Unit::Millimetres,
            doubt: Doubt::even(0.05 + 0.5 * scattered(&mut state)),
            basis: Basis::Typical,
            kind: DoubtKind::OuterSize,
        });
    }
    let margins = (0..600)
        .map(|_| {
            let value = spread_mm * (scattered(&mut state) + 0.1);
            let slopes = (0..10u32)
                .map(|k| {
                    let fact = FactIndex(20 * k + (20.0 * scattered(&mut state)) as u32);
                    (fact, if scattered(&mut state) < 0.5 { 1.0 } else { -0.7 })
                })
                .collect();
            Linear { value, slopes }
        })
        .collect();
    (ledger, margins)
}

#[divan::bench(args = SPREADS_MM)]
fn chance_of_each_of_600(bencher: Bencher, spread_mm: f64) {
    let (ledger, margins) = craft(spread_mm);
    bencher.bench(|| {
        margins.iter().map(|margin| quantity::chance_at_least(margin, &ledger, 0.0).get()).sum::<f64>()
    });
}

#[divan::bench(args = SPREADS_MM)]
fn chance_that_all_600_hold(bencher: Bencher, spread_mm: f64) {
    let (ledger, margins) = craft(spread_mm);
    bencher.bench(|| quantity::chance_all_at_least(&margins, &ledger, 0.0, USUAL_TRIALS, USUAL_SEED));
}

#[divan::bench(args = SPREADS_MM)]
fn least_of_600(bencher: Bencher, spread_mm: f64) {
    let (ledger, margins) = craft(spread_mm);
    bencher.bench(|| quantity::least_of(&margins, &ledger, USUAL_TRIALS, USUAL_SEED));
}

#[divan::bench(args = [1, 20])]
fn measure_next_of_open_margins(bencher: Bencher, count: usize) {
    let (ledger, margins) = craft(0.3);
    bencher.bench(|| quantity::measure_next(black_box(&margins[..count]), &ledger));
}
