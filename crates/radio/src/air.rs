//! What do distance, gas and rain cost?
//!
//! - Free space: L = 20·log10(4π·d/λ) (ITU-R P.525, exact form; the printed 32.4 + … is 0.05 dB less).
//! - Gas: dry air and vapour at 1013.25 hPa, 288.15 K and 7.5 g/m³, straight between the rows of a table that was computed line by
//!   line (ITU-R P.676 Annex 1). Under 0.05 dB on 5 km: it never decides anything here.
//! - Rain: γ = k·R^α dB/km, k and α by the regression of ITU-R P.838-3, for a level path and a polarisation tilt; 45° stands for
//!   circular. A cloudburst costs under 1 dB a km at 5.8 GHz.

use crate::{Carrier, RadioFault, loss_of};
use quantity::{Db, Degrees, Grade, Megahertz, Metres, Source};

/// Where the free-space loss comes from.
pub const FREE_SPACE_SOURCE: Source = Source {
    title: "Recommendation ITU-R P.525",
    place: "annex 1, basic transmission loss in free space",
    grade: Grade::Memory,
};
/// Where the gas table comes from.
pub const GAS_SOURCE: Source = Source {
    title: "Recommendation ITU-R P.676, computed with the open program of a public research centre",
    place: "annex 1, specific attenuation, line by line",
    grade: Grade::ReferenceProgram,
};
/// Where the rain formula comes from.
pub const RAIN_SOURCE: Source = Source {
    title: "Recommendation ITU-R P.838-3, as transcribed in two open programs",
    place: "equations 1 to 5, tables 1 to 4",
    grade: Grade::ReferenceProgram,
};

/// GHz, then dB/km in dry air and in vapour.
const GAS: [[f64; 3]; 3] =
    [[5.0, 0.007_400, 0.001_313], [5.8, 0.007_509, 0.001_789], [6.0, 0.007_537, 0.001_922]];

const FAR: Metres = Metres::new(1e6);

fn length(distance: Metres) -> Result<f64, RadioFault> {
    // Nearer than a centimetre two antennas lie inside each other, and no far field is there.
    let near = Metres::new(0.01);
    RadioFault::within("distance", distance, near, FAR, "move the two antennas apart").map(Metres::get)
}

/// What spreading costs over a distance.
pub fn free_space_loss(distance: Metres, carrier: Carrier) -> Result<Db, RadioFault> {
    Ok(spreading(length(distance)?, carrier))
}

pub(crate) fn spreading(metres: f64, carrier: Carrier) -> Db {
    loss_of((carrier.lambda() / (4.0 * std::f64::consts::PI * metres)).powi(2))
}

/// What dry air and vapour cost over a distance, 5 to 6 GHz.
pub fn gas_loss(distance: Metres, carrier: Carrier) -> Result<Db, RadioFault> {
    let (km, f) = (length(distance)? * 1e-3, carrier.ghz());
    let off = || {
        let [least, most] = [GAS[0][0], GAS[GAS.len() - 1][0]].map(|ghz| Megahertz::new(ghz * 1e3));
        RadioFault::OffTable { what: "gas", frequency: carrier.frequency(), least, most }
    };
    let pair = GAS.windows(2).find(|pair| (pair[0][0]..=pair[1][0]).contains(&f)).ok_or_else(off)?;
    let part = (f - pair[0][0]) / (pair[1][0] - pair[0][0]);
    let at = |column: usize| pair[0][column] + (pair[1][column] - pair[0][column]) * part;
    Ok(Db::new((at(1) + at(2)) * km))
}

/// A sum of bells over log10 f, with a slope and a constant: how k and α run.
struct Regression {
    bells: &'static [[f64; 3]],
    slope: f64,
    constant: f64,
}

impl Regression {
    fn at(&self, log: f64) -> f64 {
        let bell = |[a, b, c]: &[f64; 3]| a * (-((log - b) / c).powi(2)).exp();
        self.bells.iter().map(bell).sum::<f64>() + self.slope * log + self.constant
    }
}

const K_LEVEL: Regression = Regression {
    bells: &[
        [-5.33980, -0.10008, 1.13098],
        [-0.35351, 1.26970, 0.45400],
        [-0.23789, 0.86036, 0.15354],
        [-0.94158, 0.64552, 0.16817],
    ],
    slope: -0.18961,
    constant: 0.71147,
};
const K_UPRIGHT: Regression = Regression {
    bells: &[
        [-3.80595, 0.56934, 0.81061],
        [-3.44965, -0.22911, 0.51059],
        [-0.39902, 0.73042, 0.11899],
        [0.50167, 1.07319, 0.27195],
    ],
    slope: -0.16398,
    constant: 0.63297,
};
const ALPHA_LEVEL: Regression = Regression {
    bells: &[
        [-0.14318, 1.82442, -0.55187],
        [0.29591, 0.77564, 0.19822],
        [0.32177, 0.63773, 0.13164],
        [-5.37610, -0.96230, 1.47828],
        [16.1721, -3.29980, 3.43990],
    ],
    slope: 0.67849,
    constant: -1.95537,
};
const ALPHA_UPRIGHT: Regression = Regression {
    bells: &[
        [-0.07771, 2.33840, -0.76284],
        [0.56727, 0.95545, 0.54039],
        [-0.20238, 1.14520, 0.26809],
        [-48.2991, 0.791669, 0.116226],
        [48.5833, 0.791459, 0.116479],
    ],
    slope: -0.053739,
    constant: 0.83433,
};

/// The coefficients k and α of rain for a level path: how much a rate in mm/h costs a kilometre.
pub fn rain_coefficients(tilt: Degrees, carrier: Carrier) -> Result<(f64, f64), RadioFault> {
    let (least, most) = (Megahertz::new(1_000.0), Megahertz::new(100_000.0));
    let f = carrier.frequency();
    if f < least || f > most {
        return Err(RadioFault::OffTable { what: "rain", frequency: f, least, most });
    }
    let turn = Degrees::new(360.0);
    RadioFault::within("tilt of the polarisation", tilt, -turn, turn, "45° stands for circular")?;
    let log = carrier.ghz().log10();
    let (kh, kv) = (10f64.powf(K_LEVEL.at(log)), 10f64.powf(K_UPRIGHT.at(log)));
    let (ah, av) = (ALPHA_LEVEL.at(log), ALPHA_UPRIGHT.at(log));
    let tilted = (2.0 * tilt.get().to_radians()).cos();
    let k = 0.5 * (kh + kv + (kh - kv) * tilted);
    Ok((k, 0.5 * (kh * ah + kv * av + (kh * ah - kv * av) * tilted) / k))
}

/// What rain costs over a distance; the rate in millimetres an hour, the tilt of the polarisation above the level.
pub fn rain_loss(
    distance: Metres,
    millimetres_an_hour: f64,
    tilt: Degrees,
    carrier: Carrier,
) -> Result<Db, RadioFault> {
    use quantity::{Measure, Ratio};
    let rate = Ratio::of(millimetres_an_hour);
    let rate = RadioFault::within(
        "rain in mm/h",
        rate,
        Ratio::of(0.0),
        Ratio::of(300.0),
        "the heaviest cloudbursts bring 200",
    )?;
    let (k, alpha) = rain_coefficients(tilt, carrier)?;
    Ok(Db::new(k * rate.get().powf(alpha) * length(distance)? * 1e-3))
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn at(mhz: f64) -> Carrier {
        Carrier::new(Megahertz::new(mhz)).unwrap_or_else(|f| unreachable!("{f}"))
    }

    #[test]
    fn gas_and_a_cloudburst_hardly_matter() {
        let km = Metres::new(1000.0);
        assert!(gas_loss(km, at(5800.0)).is_ok_and(|loss| loss.get() < 0.01));
        let burst = rain_loss(km, 100.0, Degrees::new(45.0), at(5800.0));
        assert!(burst.is_ok_and(|loss| loss.get() < 0.8));
    }

    #[test]
    fn what_lies_beyond_is_told() {
        let told = gas_loss(Metres::new(100.0), at(2400.0)).map_err(|fault| fault.to_string());
        assert_eq!(
            told,
            Err("gas: its constants hold from 5000 MHz to 6000 MHz, and the channel is 2400 MHz; enter a channel within these"
                .to_owned())
        );
        let told = free_space_loss(Metres::new(0.0), at(5800.0)).map_err(|fault| fault.to_string());
        assert_eq!(
            told,
            Err("distance 0 m must lie between 0.01 m and 1000000 m; move the two antennas apart".to_owned())
        );
        assert!(rain_loss(Metres::new(1.0), f64::NAN, Degrees::new(0.0), at(5800.0)).is_err());
    }

    proptest! {
        #[test]
        fn twice_the_distance_is_six_decibels(d in 1.0..1e5f64, mhz in 1000.0..10_000.0f64) {
            let loss = |k: f64| free_space_loss(Metres::new(d * k), at(mhz)).map_or(f64::NAN, Db::get);
            prop_assert!((loss(2.0) - loss(1.0) - 6.020_599_913).abs() < 1e-8);
        }

        #[test]
        fn rain_costs_more_the_harder_it_falls(rate in 1.0..150.0f64, tilt in 0.0..90.0f64, mhz in 1000.0..30_000.0f64) {
            let loss = |rate: f64| rain_loss(Metres::new(1000.0), rate, Degrees::new(tilt), at(mhz)).map_or(f64::NAN, Db::get);
            prop_assert!(loss(rate * 1.1) > loss(rate));
        }
    }
}
