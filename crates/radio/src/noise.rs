//! How much signal does a receiver need?
//!
//! Noise floor N = 10·log10(k·290 K·B) + F: −113.975 dBm a megahertz and the figure F (Friis 1944; k is exact by the SI).
//! A chain of stages: F = F1 + (F2−1)/G1 + (F3−1)/(G1·G2) + …, as ratios. Threshold = floor + the ratio that the mode needs; a
//! threshold measured on the unit wins over that.
//!
//! Ratios by mode are custom. The ladder of a coded multi-carrier signal comes from the printed sensitivities of a wireless
//! network standard less its floor, 10 dB of figure and 5 dB of implementation.

use crate::RadioFault;
use quantity::{Db, Dbm, Grade, Megahertz, Source};

/// Where floor and cascade come from.
pub const NOISE_SOURCE: Source = Source {
    title: "Friis, Noise figures of radio receivers, Proc. IRE 32 (1944)",
    place: "noise of a source at 290 K; equation of cascaded networks",
    grade: Grade::Memory,
};
/// Where the ratios by mode come from.
pub const MODE_SOURCE: Source =
    Source::common_practice("6 to 12 dB over noise by mode; a threshold measured on the unit wins");
/// Where the ladder comes from.
pub const LADDER_SOURCE: Source = Source {
    title: "IEEE Std 802.11, receiver minimum input sensitivity, 20 MHz",
    place: "sensitivities as quoted in a national radio rule; figure of 10 dB and margin of 5 dB from memory",
    grade: Grade::Memory,
};

/// Boltzmann's constant in J/K (SI, exact), times 290 K, in mW for each MHz.
const NOISE_A_MHZ: f64 = 1.380_649e-23 * 290.0 * 1e3 * 1e6;

/// What a receiver needs, by how hard the picture is compressed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum VideoMode {
    /// Little detail, much protection.
    Robust,
    /// The usual compromise.
    Standard,
    /// All the detail there is.
    Detail,
}

impl VideoMode {
    /// Every mode.
    pub const ALL: [VideoMode; 3] = [VideoMode::Robust, VideoMode::Standard, VideoMode::Detail];

    /// The ratio over noise at which the picture is just about to break.
    pub const fn ratio(self) -> Db {
        match self {
            VideoMode::Robust => Db::new(6.0),
            VideoMode::Standard => Db::new(9.0),
            VideoMode::Detail => Db::new(12.0),
        }
    }
}

/// Modulation and code rate, and the sensitivity printed for it in dBm at 20 MHz.
const LADDER: [(&str, f64); 11] = [
    ("2 states, 1/2", -82.0),
    ("4 states, 1/2", -79.0),
    ("4 states, 3/4", -77.0),
    ("16 states, 1/2", -74.0),
    ("16 states, 3/4", -70.0),
    ("64 states, 2/3", -66.0),
    ("64 states, 3/4", -65.0),
    ("64 states, 5/6", -64.0),
    ("256 states, 3/4", -59.0),
    ("256 states, 5/6", -57.0),
    ("1024 states, 3/4", -54.0),
];

/// The ratio over noise that a coded multi-carrier signal needs, by modulation and code rate.
pub fn coded_ratios() -> impl Iterator<Item = (&'static str, Db)> {
    let floor = 10.0 * (NOISE_A_MHZ * 20.0).log10();
    LADDER.into_iter().map(move |(word, sensitivity)| (word, Db::new(sensitivity - floor - 10.0 - 5.0)))
}

/// The noise floor of a bandwidth and a figure.
pub fn noise_floor(bandwidth: Megahertz, figure: Db) -> Result<Dbm, RadioFault> {
    let (least, most) = (Megahertz::new(1e-6), Megahertz::new(1_000.0));
    RadioFault::within("noise bandwidth", bandwidth, least, most, "check the unit")?;
    RadioFault::within("noise figure", figure, Db::new(0.0), Db::new(60.0), "check the sign")?;
    Ok(Dbm::new(10.0 * (NOISE_A_MHZ * bandwidth.get()).log10()) + figure)
}

/// The figure of a chain of stages, each with its gain and its own figure, first the one at the antenna.
pub fn chain_figure(stages: &[(Db, Db)]) -> Result<Db, RadioFault> {
    if stages.is_empty() || stages.len() > 32 {
        return Err(RadioFault::Count { what: "stages of a receiver", most: 32 });
    }
    let (mut factor, mut gain) = (1.0, 1.0);
    for (own_gain, figure) in stages {
        RadioFault::within("gain of a stage", *own_gain, Db::new(-100.0), Db::new(100.0), "check the sign")?;
        RadioFault::within(
            "noise figure of a stage",
            *figure,
            Db::new(0.0),
            Db::new(60.0),
            "check the sign",
        )?;
        factor += (figure.ratio() - 1.0) / gain;
        gain *= own_gain.ratio();
    }
    Ok(Db::new(10.0 * factor.log10()))
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn twenty_megahertz_and_six_decibels_are_95_below() {
        let floor = noise_floor(Megahertz::new(20.0), Db::new(6.0)).map(Dbm::get);
        assert!((floor.unwrap_or(f64::NAN) + 94.965).abs() < 0.001);
        let told = noise_floor(Megahertz::new(0.0), Db::new(6.0)).map_err(|fault| fault.to_string());
        assert!(told.is_err_and(|words| words.starts_with("noise bandwidth 0 MHz must lie")));
    }

    #[test]
    fn the_modes_lie_within_the_ladder() {
        let ratios: Vec<f64> = coded_ratios().map(|(_, ratio)| ratio.get()).collect();
        assert!(ratios.windows(2).all(|pair| pair[0] < pair[1]));
        assert!(
            VideoMode::ALL
                .iter()
                .all(|mode| ratios[0] < mode.ratio().get() && mode.ratio().get() < ratios[4])
        );
    }

    proptest! {
        #[test]
        fn a_pad_ahead_adds_its_decibels(pad in 0.0..20.0f64, figure in 0.0..15.0f64, gain in 0.0..40.0f64) {
            let bare = chain_figure(&[(Db::new(gain), Db::new(figure))]).map_or(f64::NAN, Db::get);
            let padded = chain_figure(&[(Db::new(-pad), Db::new(pad)), (Db::new(gain), Db::new(figure))]);
            prop_assert!((padded.map_or(f64::NAN, Db::get) - bare - pad).abs() < 1e-9);
        }
    }
}
