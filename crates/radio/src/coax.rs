//! How much does a length of coaxial cable lose?
//!
//! Per metre: conductor α_c = 8.686·R_s/(2·Z0)·(1/(π·d) + 1/(π·D)) with R_s = √(π·f·μ0·ρ), dielectric
//! α_d = 8.686·π·f·√ε·tan δ/c. That is the floor of smooth copper; real cable has braid and plating. The planning
//! figure at 5.8 GHz stands for that: the part above α_d is carried to other frequencies by √f, α_d itself by f.
//! Z0 = 50 Ω. Left out: kinks, heat, water.

use crate::carrier::LIGHT;
use crate::{Carrier, RadioFault};
use quantity::{Db, Grade, Megahertz, Metres, Millimetres, Source};
use std::f64::consts::PI;

/// Where the formulas come from.
pub const COAX_SOURCE: Source = Source {
    title: "Pozar, Microwave Engineering",
    place: "section 2.7, attenuation of a coaxial line; sizes and planning figures of the table are common practice",
    grade: Grade::Memory,
};

/// The frequency of the planning figures.
const PLANNED_AT: Megahertz = Megahertz::new(5800.0);
/// Decibels a neper.
const DB_PER_NEPER: f64 = 8.685_889_638_065_037;
const IMPEDANCE: f64 = 50.0;
/// Resistivity of copper in Ω·m and the magnetic constant in H/m.
const COPPER: f64 = 1.724e-8;
const MAGNETIC: f64 = 4e-7 * PI;
const LENGTH_MAX: Metres = Metres::new(100.0);

/// What is between the conductors.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Dielectric {
    permittivity: f64,
    loss_tangent: f64,
}
const FEP: Dielectric = Dielectric { permittivity: 2.1, loss_tangent: 7e-4 };
const PTFE: Dielectric = Dielectric { permittivity: 2.05, loss_tangent: 2.5e-4 };

/// A kind of cable.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Coax {
    /// The word it goes by: its outer diameter.
    pub word: &'static str,
    /// Outer diameter.
    pub diameter: Millimetres,
    /// Diameter of the inner conductor.
    inner: f64,
    /// Inner diameter of the outer conductor.
    outer: f64,
    dielectric: Dielectric,
    /// Loss a metre to reckon with at 5.8 GHz.
    planning: f64,
    /// The tightest bend it may keep.
    pub bend_radius: Millimetres,
}

const fn kind(
    word: &'static str,
    [diameter, inner, outer]: [f64; 3],
    dielectric: Dielectric,
    planning: f64,
    bend: f64,
) -> Coax {
    let (diameter, bend_radius) = (Millimetres::new(diameter), Millimetres::new(bend));
    Coax { word, diameter, inner, outer, dielectric, planning, bend_radius }
}

impl Coax {
    /// Every kind, thinnest first.
    pub const ALL: [Coax; 6] = [
        kind("0.81 mm", [0.81, 0.15, 0.40], FEP, 8.5, 4.0),
        kind("1.13 mm", [1.13, 0.24, 0.68], FEP, 5.3, 6.0),
        kind("1.37 mm", [1.37, 0.30, 0.90], FEP, 4.3, 7.0),
        kind("1.8 mm", [1.8, 0.305, 0.84], PTFE, 3.9, 10.0),
        kind("2.2 mm semi-rigid", [2.2, 0.511, 1.676], PTFE, 1.6, 6.0),
        kind("2.5 mm", [2.5, 0.51, 1.52], PTFE, 2.4, 15.0),
    ];

    /// The kind of a word.
    pub fn of_word(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|coax| coax.word == word)
    }

    /// What a metre of it loses, to reckon with.
    pub fn loss_per_metre(&self, carrier: Carrier) -> Db {
        let (f, planned) = (carrier.frequency().get(), PLANNED_AT.get());
        let lost_in_conductors = (self.planning - self.in_dielectric(planned)) * (f / planned).sqrt();
        Db::new(lost_in_conductors + self.in_dielectric(f))
    }

    /// What a metre of it would lose at least: smooth copper.
    pub fn floor_per_metre(&self, carrier: Carrier) -> Db {
        let f = carrier.frequency().get();
        let surface = (PI * f * 1e6 * MAGNETIC * COPPER).sqrt();
        let around = 1.0 / (PI * self.inner * 1e-3) + 1.0 / (PI * self.outer * 1e-3);
        Db::new(DB_PER_NEPER * surface / (2.0 * IMPEDANCE) * around + self.in_dielectric(f))
    }

    /// What a length of it loses.
    pub fn loss(&self, length: Metres, carrier: Carrier) -> Result<Db, RadioFault> {
        RadioFault::within("length of coax", length, Metres::new(0.0), LENGTH_MAX, "check the unit")?;
        Ok(Db::new(self.loss_per_metre(carrier).get() * length.get()))
    }

    fn in_dielectric(&self, mhz: f64) -> f64 {
        let Dielectric { permittivity, loss_tangent } = self.dielectric;
        DB_PER_NEPER * PI * mhz * 1e6 * permittivity.sqrt() * loss_tangent / LIGHT
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn at(mhz: f64) -> Carrier {
        Carrier::new(Megahertz::new(mhz)).unwrap_or_else(|f| unreachable!("{f}"))
    }

    #[test]
    fn no_cable_is_better_than_smooth_copper() {
        for coax in Coax::ALL {
            for mhz in [1000.0, 2400.0, 5800.0] {
                let carrier = at(mhz);
                assert!(
                    coax.loss_per_metre(carrier) >= coax.floor_per_metre(carrier) - Db::new(0.02),
                    "{}",
                    coax.word
                );
            }
        }
    }

    #[test]
    fn loss_grows_between_the_root_and_the_frequency() {
        for coax in Coax::ALL {
            let ratio = coax.loss_per_metre(at(5800.0)).get() / coax.loss_per_metre(at(1450.0)).get();
            assert!((2.0..4.0).contains(&ratio), "{}: {ratio}", coax.word);
        }
    }

    #[test]
    fn a_pigtail_of_100_mm_costs_half_a_decibel() {
        let thin = Coax::of_word("1.13 mm").unwrap_or(Coax::ALL[0]);
        let loss = thin.loss(Metres::new(0.1), at(5800.0)).map(Db::get);
        assert!((loss.unwrap_or(f64::NAN) - 0.53).abs() < 0.01);
        assert!(thin.loss(Metres::new(-0.1), at(5800.0)).is_err());
        assert_eq!(Coax::of_word("3 mm"), None);
    }
}
