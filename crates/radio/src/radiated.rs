//! How much is radiated, against which limit, and how near may one stand?
//!
//! - e.i.r.p. = level − feed + gain; from a field strength E at a distance d it is (E·d)²/30.
//! - Power density S = P/(4π·d²) falls under a reference level beyond d = √(P/(4π·S)); 10 W/m² is that for the public above
//!   2 GHz. Within a few wavelengths of the antenna this is an order, not a measure.
//!
//! The limits are starting points for a limit that the user states. [`LIMIT_CAUTION`] goes with every one of them.

use crate::RadioFault;
use quantity::{Db, Dbi, Dbm, Grade, Megahertz, Metres, Milliwatts, Source};
use std::f64::consts::PI;

/// Goes wherever a limit is shown.
pub const LIMIT_CAUTION: &str = "check the rules where you fly; this is not advice";

/// The reference level for the public, in W/m².
pub const EXPOSURE_LEVEL_W_PER_M2: f64 = 10.0;
/// Where that comes from.
pub const EXPOSURE_SOURCE: Source = Source {
    title: "ICNIRP, Guidelines for limiting exposure to electromagnetic fields (2020)",
    place: "reference levels for the general public above 2 GHz, whole body",
    grade: Grade::Memory,
};

/// A published limit, as a starting point.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct EmissionLimit {
    /// For what.
    pub words: &'static str,
    /// From here.
    pub from: Megahertz,
    /// To here.
    pub to: Megahertz,
    /// Effective radiated power over isotropic.
    pub eirp: Dbm,
    /// Where it comes from.
    pub source: Source,
}

/// Limits to start from; each only with [`LIMIT_CAUTION`].
pub const EMISSION_LIMITS: [EmissionLimit; 3] = [
    EmissionLimit {
        words: "Europe, short-range devices",
        from: Megahertz::new(5725.0),
        to: Megahertz::new(5875.0),
        eirp: Dbm::new(13.979_400_086_720_377),
        source: Source {
            title: "Decision 2006/771/EC as amended by (EU) 2019/1345 and 2022/180, quoted second-hand",
            place: "band 61: 25 mW e.i.r.p.",
            grade: Grade::Memory,
        },
    },
    EmissionLimit {
        words: "United States, without a licence, field strength",
        from: Megahertz::new(5725.0),
        to: Megahertz::new(5875.0),
        eirp: Dbm::new(-1.249_387_366_083),
        source: Source {
            title: "CFR title 47",
            place: "§15.249: 50 mV/m at 3 m, as e.i.r.p.",
            grade: Grade::PublishedValue,
        },
    },
    EmissionLimit {
        words: "United States, without a licence, digital modulation",
        from: Megahertz::new(5725.0),
        to: Megahertz::new(5850.0),
        eirp: Dbm::new(36.0),
        source: Source {
            title: "CFR title 47, quoted second-hand",
            place: "§15.247(b)(3) and (4): 1 W into an antenna of 6 dBi",
            grade: Grade::Memory,
        },
    },
];

/// The effective radiated power over isotropic.
pub fn radiated(level: Dbm, feed: Db, gain: Dbi) -> Dbm {
    level - feed + gain
}

/// The same from a field strength in volts a metre at a distance.
pub fn radiated_from_field(volts_a_metre: f64, distance: Metres) -> Option<Dbm> {
    let watts = (volts_a_metre * distance.get()).powi(2) / 30.0;
    Dbm::from_power(Milliwatts::new(watts * 1e3))
}

/// The field strength in volts a metre at a distance in free space.
pub fn field_at(eirp: Dbm, distance: Metres) -> Result<f64, RadioFault> {
    let (least, most) = (Metres::new(0.001), Metres::new(1e6));
    RadioFault::within("distance", distance, least, most, "move away from the antenna")?;
    Ok((30.0 * eirp.power().get() * 1e-3).sqrt() / distance.get())
}

/// The distance beyond which the power density is under a level in W/m².
pub fn exposure_distance(eirp: Dbm, level_w_per_m2: f64) -> Option<Metres> {
    let square = eirp.power().get() * 1e-3 / (4.0 * PI * level_w_per_m2);
    (square.is_finite() && level_w_per_m2 > 0.0).then(|| Metres::new(square.sqrt()))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn heads_keep_away_from_a_watt_by_a_hand() {
        let away = |mw: f64, gain: f64| {
            let eirp = Dbm::from_power(Milliwatts::new(mw))
                .map(|level| radiated(level, Db::new(0.0), Dbi::new(gain)));
            eirp.and_then(|eirp| exposure_distance(eirp, EXPOSURE_LEVEL_W_PER_M2))
                .map_or(f64::NAN, Metres::get)
        };
        assert!((away(25.0, 1.5) - 0.017).abs() < 0.0005);
        assert!((away(1000.0, 8.0) - 0.224).abs() < 0.0005);
        assert_eq!(exposure_distance(Dbm::new(20.0), 0.0), None);
    }

    #[test]
    fn a_limit_of_field_strength_is_its_radiated_power() {
        let limit = &EMISSION_LIMITS[1];
        let from_field = radiated_from_field(0.05, Metres::new(3.0));
        assert!(from_field.is_some_and(|eirp| (eirp - limit.eirp).get().abs() < 1e-9));
        assert_eq!(radiated_from_field(0.0, Metres::new(3.0)), None);
        let back = field_at(limit.eirp, Metres::new(3.0));
        assert!(back.is_ok_and(|field| (field - 0.05).abs() < 1e-12));
    }
}
