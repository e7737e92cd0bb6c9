//! What do leaves cost, and how far do the models differ?
//!
//! Depth d in metres of leaves on the way:
//! - exponential with a limit, one end in the wood: A = A_m·(1 − e^(−d·γ/A_m)) (ITU-R P.833, section 2.1), with γ = 1.16 dB/m
//!   and A_m = 52 dB at 5.8 GHz, both drawn out from measured pairs below 2.2 GHz and therefore weak;
//! - Weissberger: 0.45·f^0.284·d to 14 m, 1.33·f^0.284·d^0.588 beyond, f in GHz, 0.23 to 95 GHz;
//! - early ITU form: 0.2·f^0.3·d^0.6, f in MHz, under 400 m.
//!
//! At ten metres they give 7 to 11 dB: no single number is honest. Usual: the first; least and most: of all three. Wet leaves
//! cost 3 to 5 dB more (common practice).

use crate::{Carrier, LossRange, RadioFault};
use quantity::{Grade, Megahertz, Metres, Source};

/// Where the usual value comes from.
pub const WOODLAND_SOURCE: Source = Source {
    title: "Recommendation ITU-R P.833, with the models of Weissberger (1982) and of the early ITU form beside it",
    place: "section 2.1, woodland; constants drawn out beyond their measured range",
    grade: Grade::Memory,
};

const DEPTH_MAX: Metres = Metres::new(400.0);
/// Figure 2 of P.833, vertical polarisation: 0.2 dB/m at 1 GHz, 6 dB/m at 30 GHz, straight in logarithms between.
const LOSS_AT: [(f64, f64); 2] = [(1.0, 0.2), (30.0, 6.0)];
/// A_m = A1·f^α with f in MHz, mixed wood, 105.9 to 2200 MHz.
const LIMIT: (f64, f64) = (1.37, 0.42);

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
        let [(f0, g0), (f1, g1)] = LOSS_AT;
        let a_metre = g0 * (carrier.ghz() / f0).powf((g1 / g0).ln() / (f1 / f0).ln());
        Ok(Self { a_metre, most: LIMIT.0 * frequency.get().powf(LIMIT.1) })
    }

    /// What is left of the amplitude behind so many metres of leaves. Past 400 m no model reaches, and nothing arrives.
    pub(crate) fn amplitude(&self, metres: f64) -> f64 {
        let lost = woodland_exponential(Metres::new(metres.min(DEPTH_MAX.get())), self.a_metre, self.most);
        (-lost * std::f64::consts::LN_10 / 20.0).exp()
    }
}

/// What a depth of leaves costs, and how far the models differ; 1 to 30 GHz.
pub fn woodland_loss(depth: Metres, carrier: Carrier) -> Result<LossRange, RadioFault> {
    RadioFault::within("depth of woodland", depth, Metres::new(0.0), DEPTH_MAX, "no link gets through more")?;
    let WoodAt { a_metre, most } = WoodAt::new(carrier)?;
    let usual = woodland_exponential(depth, a_metre, most);
    let others = [woodland_weissberger(depth, carrier), woodland_early(depth, carrier)];
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
    fn ten_metres_of_leaves_cost_7_to_11_decibels() {
        let range = woodland_loss(Metres::new(10.0), carrier()).unwrap_or_default();
        assert!(
            (range.least.get() - 7.414).abs() < 0.001 && (range.most.get() - 10.717).abs() < 0.001,
            "{range:?}"
        );
        assert!((range.usual.get() - 10.4).abs() < 0.1);
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
