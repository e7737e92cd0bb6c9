//! What do two mismatched ends of a lead cost, when the phase between them is not known?
//!
//! With reflections Γ at the sender and at the antenna, |Γ| = (s−1)/(s+1) for a standing wave ratio s, and a lead
//! between them that loses L dB one way, the power that arrives over that of matched ends is
//! (1−|Γ1|²)(1−|Γ2|²) / |1 − Γ1·Γ2·e^(−2γl)|². Length and frequency turn the last phase round: the loss lies between the
//! two extremes 1 ∓ |Γ1·Γ2|·10^(−L/10). To reckon with: the mean over all phases, (1−|Γ1|²)(1−|Γ2|²)/(1 − |Γ1·Γ2|²·10^(−L/5)).

use crate::{LossRange, RadioFault, loss_of};
use quantity::{Db, Grade, Measure, Ratio, Source};

/// Where the formula comes from.
pub const MISMATCH_SOURCE: Source = Source {
    title: "Pozar, Microwave Engineering",
    place: "section 2.6, generator and load mismatches",
    grade: Grade::Memory,
};

/// A standing wave ratio, with what follows from it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Match(f64);

impl Match {
    /// A perfect match.
    pub const PERFECT: Self = Self(0.0);

    /// Of a standing wave ratio, 1 to 100.
    pub fn of_standing_wave_ratio(ratio: Ratio) -> Result<Self, RadioFault> {
        let (least, most) = (Ratio::of(1.0), Ratio::of(100.0));
        let ratio =
            RadioFault::within("standing wave ratio", ratio, least, most, "1 is a perfect match")?.get();
        Ok(Self((ratio - 1.0) / (ratio + 1.0)))
    }
    /// The share of the amplitude that is reflected.
    pub const fn reflection(self) -> f64 {
        self.0
    }
    /// How far what comes back lies below what goes in; the deepest loss at a perfect match.
    pub fn return_loss(self) -> Db {
        loss_of(self.0 * self.0)
    }
    /// What the mismatch costs by itself, against a perfect other end.
    pub fn loss(self) -> Db {
        loss_of(1.0 - self.0 * self.0)
    }
}

/// What two mismatched ends cost, with a lead between that loses so much one way; the lead's own loss is not in it.
pub fn mismatch_loss(sender: Match, antenna: Match, lead: Db) -> LossRange {
    let both = (1.0 - sender.0 * sender.0) * (1.0 - antenna.0 * antenna.0);
    let back = sender.0 * antenna.0 * 10f64.powf(-lead.get().max(0.0) / 10.0);
    let with = |round: f64| loss_of(both / round);
    LossRange {
        least: with((1.0 - back) * (1.0 - back)),
        usual: with(1.0 - back * back),
        most: with((1.0 + back) * (1.0 + back)),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::Complex;
    use proptest::prelude::*;

    fn of(ratio: f64) -> Match {
        Match::of_standing_wave_ratio(Ratio::of(ratio)).unwrap_or(Match::PERFECT)
    }

    #[test]
    fn a_perfect_end_leaves_only_the_other() {
        let range = mismatch_loss(Match::PERFECT, of(2.0), Db::new(0.3));
        assert!(
            (range.least.get() - 0.512).abs() < 0.001
                && range.most == range.least
                && range.usual == range.least
        );
        assert!(Match::of_standing_wave_ratio(Ratio::of(0.9)).is_err());
    }

    proptest! {
        #[test]
        fn every_phase_lies_within(a in 1.0..6.0f64, b in 1.0..6.0f64, lead in 0.0..3.0f64) {
            let (one, two) = (of(a), of(b));
            let range = mismatch_loss(one, two, Db::new(lead));
            let steps = 720;
            let mut sum = 0.0;
            for n in 0..steps {
                let round = Complex::phase(std::f64::consts::TAU * f64::from(n) / f64::from(steps));
                let back = round * (one.0 * two.0 * 10f64.powf(-lead / 10.0));
                let power = (1.0 - one.0 * one.0) * (1.0 - two.0 * two.0) / (Complex::ONE - back).power();
                sum += power / f64::from(steps);
                let loss = loss_of(power);
                prop_assert!(range.least.get() - 1e-9 <= loss.get() && loss.get() <= range.most.get() + 1e-9);
            }
            prop_assert!((loss_of(sum).get() - range.usual.get()).abs() < 1e-6);
        }
    }
}
