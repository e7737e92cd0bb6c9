//! How much of its charge does a cold cell give?
//!
//! In the cold the slow ways inside a cell clog: it runs dry with charge left in it, which comes back when it is warm again. A charge is told
//! as a share of what is to be had: a cell of which so much has been taken as a cold one gives stands at nothing, at the voltage of an empty
//! one. Warming up under its own current it gives more again. Straight between the rows, all of it from 25 °C on.

use crate::PowerFault;
use crate::cell::{interpolated, warm};
use crate::measures::FREEZING;
use quantity::{Celsius, Percent, Source};

/// Where the shares come from.
pub const COLD_SOURCE: Source = Source::common_practice(
    "lithium cells at flying currents give 95 % at 10 °C, 88 % at 0 °C, 77 % at -10 °C and 63 % at -20 °C of what they give at 25 °C; cells made for energy give less",
);

/// Degrees Celsius, and the share of the charge at 25 °C that is to be had.
const TO_BE_HAD: [[f64; 2]; 5] = [[-20.0, 0.63], [-10.0, 0.77], [0.0, 0.88], [10.0, 0.95], [25.0, 1.0]];

/// Which share of its charge a cell gives at a temperature.
pub fn charge_to_be_had(temperature: Celsius) -> Result<Percent, PowerFault> {
    Ok(Percent::new(1e2 * share_to_be_had(warm(temperature)?)))
}

/// The same in bare numbers.
pub(crate) fn share_to_be_had(kelvin: f64) -> f64 {
    let celsius = kelvin - FREEZING;
    if celsius >= TO_BE_HAD[TO_BE_HAD.len() - 1][0] { 1.0 } else { interpolated(&TO_BE_HAD, celsius) }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_cold_cell_gives_less_and_a_warm_one_all() {
        let shares = [-20.0, -15.0, 0.0, 24.0, 25.0, 60.0].map(|celsius| share_to_be_had(celsius + FREEZING));
        assert!(shares.windows(2).all(|pair| pair[0] <= pair[1]) && shares[5] == 1.0, "{shares:?}");
        assert!((shares[1] - 0.70).abs() < 1e-9, "{shares:?}");
    }

    #[test]
    fn where_cells_give_nothing_safely_it_is_told() {
        assert!(charge_to_be_had(Celsius::new(-21.0)).is_err());
    }
}
