//! What do leaves cost, and how far do the models differ?
//!
//! Depth d in metres of leaves on the way:
//! - exponential with a limit, one end in the wood: A = A_m·(1 − e^(−d·γ/A_m)) (ITU-R P.833, section 2.1), with γ = 1.16 dB/m
//!   and A_m = 52 dB at 5.8 GHz, both drawn out from measured pairs below 2.2 GHz and therefore weak;
//! - Weissberger: 0.45·f^0.284·d to 14 m, 1.33·f^0.284·d^0.588 beyond, f in GHz, 0.23 to 95 GHz;
//! - early ITU form: 0.2·f^0.3·d^0.6, f in MHz, under 400 m.
//!
//! All three are of woods, whose metres are leaves and the gaps between, and of six metres they make 4 to 8 dB. One crown in leaf that both ends stand
//! clear of has no gaps: it takes 8 to 15 dB at 5.8 GHz, and each further metre of leaves 0.5 to 2 dB more (common practice; about 6 m of leaves to a
//! crown). So the first six metres count [`CROWN_COUNTS`] times, as the middle of that; what comes after counts once, which is 1.16 dB/m and the
//! middle of that too. Usual: the first form of the depth so counted. Least and most: of the three forms as they stand and of common
//! practice. No single number is honest. Wet leaves cost 3 to 5 dB more (common practice).

use crate::{Carrier, LossRange, RadioFault};
use quantity::{Grade, Megahertz, Metres, Source};

/// Where the usual value comes from.
pub const WOODLAND_SOURCE: Source = Source {
    title: "Recommendation ITU-R P.833, its first metres as those of one crown by common practice; Weissberger (1982), the early ITU form and common practice beside it",
    place: "section 2.1, woodland; constants drawn out beyond their measured range; one crown 8 to 15 dB, each further metre 0.5 to 2 dB",
    grade: Grade::Memory,
};

const DEPTH_MAX: Metres = Metres::new(400.0);
/// Figure 2 of P.833, vertical polarisation: 0.2 dB/m at 1 GHz, 6 dB/m at 30 GHz, straight in logarithms between.
const LOSS_AT: [(f64, f64); 2] = [(1.0, 0.2), (30.0, 6.0)];
/// A_m = A1·f^α with f in MHz, mixed wood, 105.9 to 2200 MHz.
const LIMIT: (f64, f64) = (1.37, 0.42);

/// Metres of leaves in one crown.
const CROWN: f64 = 6.0;
/// So much more than a wood's these take: 11.5 dB at 5.8 GHz, the middle of common practice, where [`LOSS_AT`] and [`LIMIT`] make 6.5 of six metres.
const CROWN_COUNTS: f64 = 1.84;
/// What practice gives a crown at 5.8 GHz, least and most in decibels, and each metre beyond.
const PRACTICE: [(f64, f64); 2] = [(8.0, 0.5), (15.0, 2.0)];
/// The frequency that practice is told for, in GHz; elsewhere it goes with the loss a metre.
const PRACTICE_AT: f64 = 5.8;

/// Metres of leaves as metres of a wood that take as much.
fn counted(metres: f64) -> f64 {
    metres + (CROWN_COUNTS - 1.0) * metres.min(CROWN)
}

/// The loss a metre in a wood, in decibels, by the frequency in GHz.
fn a_metre_at(ghz: f64) -> f64 {
    let [(f0, g0), (f1, g1)] = LOSS_AT;
    g0 * (ghz / f0).powf((g1 / g0).ln() / (f1 / f0).ln())
}

/// What practice gives so many metres of leaves, least and most.
fn practice(depth: Metres, carrier: Carrier) -> [f64; 2] {
    let scale = a_metre_at(carrier.ghz()) / a_metre_at(PRACTICE_AT);
    let (within, beyond) = (depth.get().min(CROWN) / CROWN, (depth.get() - CROWN).max(0.0));
    PRACTICE.map(|(crown, a_metre)| scale * (crown * within + a_metre * beyond))
}

/// The exponential with a limit, in decibels, of a loss a metre and the greatest loss.
pub fn woodland_exponential(depth: Metres, decibels_a_metre: f64, decibels_most: f64) -> f64 {
    decibels_most * (1.0 - (-depth.get() * decibels_a_metre / decibels_most).exp())
}

/// Weissberger's form, in decibels.
pub fn woodland_weissberger(depth: Metres, carrier: Carrier) -> f64 {
    let (d, f) = (depth.get(), carrier.ghz().powf(0.284));
    if d <= 14.0 { 0.45 * f * d } else { 1.33 * f * d.powf(0.588) }
}

/// The early ITU form, in decibels.
pub fn woodland_early(depth: Metres, carrier: Carrier) -> f64 {
    0.2 * carrier.frequency().get().powf(0.3) * depth.get().powf(0.6)
}

/// The loss a metre and the greatest loss of a wood on one carrier, in decibels.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct WoodAt {
    a_metre: f64,
    most: f64,
}

impl WoodAt {
    /// Made ready for a carrier.
    pub(crate) fn new(carrier: Carrier) -> Result<Self, RadioFault> {
        let (least, most) = (Megahertz::new(1_000.0), Megahertz::new(30_000.0));
        let frequency = carrier.frequency();
        if frequency < least || frequency > most {
            return Err(RadioFault::OffTable { what: "woodland", frequency, least, most });
        }
        Ok(Self { a_metre: a_metre_at(carrier.ghz()), most: LIMIT.0 * frequency.get().powf(LIMIT.1) })
    }

    /// What is usually lost, in decibels.
    fn lost(&self, depth: Metres) -> f64 {
        woodland_exponential(Metres::new(counted(depth.get())), self.a_metre, self.most)
    }

    /// What is left of the amplitude behind so many metres of leaves. Past 400 m no model reaches, and nothing arrives.
    pub(crate) fn amplitude(&self, metres: f64) -> f64 {
        let lost = self.lost(Metres::new(metres.min(DEPTH_MAX.get())));
        (-lost * std::f64::consts::LN_10 / 20.0).exp()
    }
}

/// What a depth of leaves costs, and how far the models differ; 1 to 30 GHz.
pub fn woodland_loss(depth: Metres, carrier: Carrier) -> Result<LossRange, RadioFault> {
    RadioFault::within("depth of woodland", depth, Metres::new(0.0), DEPTH_MAX, "no link gets through more")?;
    let wood = WoodAt::new(carrier)?;
    let usual = wood.lost(depth);
    let as_a_wood = woodland_exponential(depth, wood.a_metre, wood.most);
    let [low, high] = practice(depth, carrier);
    let others = [as_a_wood, woodland_weissberger(depth, carrier), woodland_early(depth, carrier), low, high];
    let [least, most] = [f64::min, f64::max].map(|pick| others.into_iter().fold(usual, pick));
    Ok(LossRange::new(least, usual, most))
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;
    use quantity::Db;

    fn carrier() -> Carrier {
        Carrier::new(Megahertz::new(5800.0)).unwrap_or_else(|f| unreachable!("{f}"))
    }

    #[test]
    fn one_crown_costs_what_practice_gives_it_and_the_models_are_its_doubt() {
        let range = woodland_loss(Metres::new(6.0), carrier()).unwrap_or_default();
        assert!((11.0..12.0).contains(&range.usual.get()), "{range:?}");
        assert!(
            (range.most.get() - 15.0).abs() < 1e-9 && (range.least.get() - 4.449).abs() < 0.01,
            "{range:?}"
        );
        let further = woodland_loss(Metres::new(7.0), carrier()).unwrap_or_default();
        let a_metre = further.usual.get() - range.usual.get();
        assert!((0.5..2.0).contains(&a_metre) && a_metre > 0.8, "{a_metre}");
    }

    #[test]
    fn ten_metres_of_leaves_cost_7_to_23_decibels() {
        let range = woodland_loss(Metres::new(10.0), carrier()).unwrap_or_default();
        assert!(
            (range.least.get() - 7.414).abs() < 0.001 && (range.most.get() - 23.0).abs() < 1e-9,
            "{range:?}"
        );
        assert!((14.0..16.0).contains(&range.usual.get()), "{range:?}");
        assert!(woodland_loss(Metres::new(-1.0), carrier()).is_err());
        assert_eq!(woodland_loss(Metres::new(0.0), carrier()).map(|range| range.usual), Ok(Db::new(0.0)));
    }

    proptest! {
        #[test]
        fn more_leaves_cost_more_up_to_the_limit(depth in 0.1..399.0f64, a_metre in 0.05..2.0f64, limit in 5.0..60.0f64) {
            let at = |d: f64| woodland_exponential(Metres::new(d), a_metre, limit);
            prop_assert!(at(depth) <= limit && at(depth) <= a_metre * depth + 1e-12 && at(depth + 1.0) >= at(depth));
        }
    }
}
