//! What gain and beamwidth does an axial-mode helix have?
//!
//! With N turns, circumference C and spacing S, both over the wavelength, p = S/C = tan(pitch):
//! - gain G = 8.3·C^(√(N+2)−1)·(N·S)^0.8·(tan 12.5°/p)^(√N/2);
//! - beamwidth 61.5°·(2N/(N+5))^0.6 / (C^(√N/4)·(N·S)^0.7)·(p/tan 12.5°)^(√N/4)
//!   (King & Wong 1980, fitted to measured helices);
//! - axial ratio (2N+1)/(2N) on the axis (Kraus).
//!
//! The older rule G = 15·C²·N·S with 52°/(C·√(N·S)) promises 2 to 4 dB more and a beam a fifth narrower. A method of
//! moments on a wide mirror agrees with the gains used here within 0.7 dB and finds beams 3 to 12 % wider, for 4 to 10 turns
//! (`conformance/radio/moments.toml`); [`Helix::older_gain`] shows the spread. Holds for 3 to 20 turns, C 0.8 to 1.2 and a
//! pitch of 11° to 15°.

use crate::{Beam, Carrier, RadioFault};
use quantity::{Count, Db, Dbi, Degrees, Grade, Measure, Millimetres, Ratio, Source};

/// Where the formulas come from.
pub const HELIX_SOURCE: Source = Source {
    title: "King & Wong, Characteristics of 1 to 8 wavelength uniform helical antennas, IEEE Trans. AP-28 (1980)",
    place: "peak gain and half-power beamwidth, the two fitted formulas",
    grade: Grade::Memory,
};

/// The pitch the formulas are centred on, in degrees.
const PITCH_CENTRE: f64 = 12.5;

/// A helix that radiates along its axis.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Helix {
    turns: f64,
    /// Over the wavelength.
    around: f64,
    /// Tangent of the pitch.
    slope: f64,
}

impl Helix {
    /// Of turns, the diameter of a turn from wire middle to wire middle, and pitch, on a carrier.
    pub fn new(
        turns: Count,
        diameter: Millimetres,
        pitch: Degrees,
        carrier: Carrier,
    ) -> Result<Self, RadioFault> {
        let around = std::f64::consts::PI * diameter.get() * 1e-3 / carrier.lambda();
        RadioFault::within(
            "turns of a helix",
            turns,
            Count::of(3.0),
            Count::of(20.0),
            "the formulas hold for these only",
        )?;
        let mend = "another diameter goes with this frequency";
        RadioFault::within(
            "circumference over wavelength",
            Ratio::new(around),
            Ratio::new(0.8),
            Ratio::new(1.2),
            mend,
        )?;
        RadioFault::within(
            "pitch",
            pitch,
            Degrees::new(11.0),
            Degrees::new(15.0),
            "the formulas hold for these only",
        )?;
        Ok(Self { turns: turns.get(), around, slope: pitch.get().to_radians().tan() })
    }

    /// The length of the winding over the wavelength.
    fn length(&self) -> f64 {
        self.turns * self.around * self.slope
    }
    fn steepness(&self) -> f64 {
        self.slope / PITCH_CENTRE.to_radians().tan()
    }

    /// The gain on the axis.
    pub fn gain(&self) -> Dbi {
        let root = self.turns.sqrt();
        let gain = 8.3
            * self.around.powf((self.turns + 2.0).sqrt() - 1.0)
            * self.length().powf(0.8)
            * self.steepness().powf(-0.5 * root);
        Dbi::new(10.0 * gain.log10())
    }
    /// The width at half power.
    pub fn width(&self) -> Degrees {
        let root = self.turns.sqrt();
        let shape = (2.0 * self.turns / (self.turns + 5.0)).powf(0.6) * self.steepness().powf(0.25 * root);
        Degrees::new(61.5 * shape / (self.around.powf(0.25 * root) * self.length().powf(0.7)))
    }
    /// The axial ratio on the axis.
    pub fn axial_ratio(&self) -> Db {
        Db::new(20.0 * ((2.0 * self.turns + 1.0) / (2.0 * self.turns)).log10())
    }
    /// The gain that the older rule promises, for comparison.
    pub fn older_gain(&self) -> Dbi {
        Dbi::new(10.0 * (15.0 * self.around * self.around * self.length()).log10())
    }
    /// The width that the older rule promises, for comparison.
    pub fn older_width(&self) -> Degrees {
        Degrees::new(52.0 / (self.around * self.length().sqrt()))
    }
    /// Its pattern, gain and width tied by energy.
    pub fn beam(&self) -> Result<Beam, RadioFault> {
        Beam::new(self.gain(), self.width(), None)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;
    use quantity::Megahertz;

    fn helix(turns: f64, around: f64, pitch: f64) -> Helix {
        let carrier = Carrier::new(Megahertz::new(5800.0)).unwrap_or_else(|f| unreachable!("{f}"));
        let diameter = Millimetres::new(around * carrier.lambda() * 1e3 / std::f64::consts::PI);
        Helix::new(Count::of(turns), diameter, Degrees::new(pitch), carrier)
            .unwrap_or_else(|f| unreachable!("{f}"))
    }

    #[test]
    fn two_turns_are_no_helix() {
        let carrier = Carrier::new(Megahertz::new(5800.0)).unwrap_or_else(|f| unreachable!("{f}"));
        let told = Helix::new(Count::of(2.0), Millimetres::new(16.45), Degrees::new(13.0), carrier);
        let words = "turns of a helix 2 must lie between 3 and 20; the formulas hold for these only";
        assert_eq!(told.map_err(|fault| fault.to_string()), Err(words.to_owned()));
    }

    proptest! {
        #[test]
        fn gain_and_width_go_together_for_every_helix(turns in 3..20u32, around in 0.9..1.15f64, pitch in 11.5..14.5f64) {
            let helix = helix(f64::from(turns), around, pitch);
            let beam = helix.beam();
            prop_assert!(beam.is_ok(), "{beam:?}");
            prop_assert!(helix.older_gain() > helix.gain() && helix.older_width() < helix.width());
        }
    }
}
