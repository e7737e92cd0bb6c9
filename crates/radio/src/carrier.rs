//! What wavelength goes with a frequency?
//!
//! λ = c/f with c = 299 792 458 m/s, exact by the definition of the metre.

use crate::RadioFault;
use quantity::{Megahertz, Metres};

/// The speed of light in a vacuum, in m/s (definition of the metre, SI brochure).
pub(crate) const LIGHT: f64 = 299_792_458.0;

/// The frequency a link works on.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Carrier {
    frequency: Megahertz,
}

impl Carrier {
    /// Of a frequency from 100 MHz to 100 GHz.
    pub fn new(frequency: Megahertz) -> Result<Self, RadioFault> {
        let (least, most) = (Megahertz::new(100.0), Megahertz::new(100_000.0));
        RadioFault::within("frequency", frequency, least, most, "check the unit")?;
        Ok(Self { frequency })
    }
    /// The frequency.
    pub const fn frequency(self) -> Megahertz {
        self.frequency
    }
    /// The wavelength in free space.
    pub fn wavelength(self) -> Metres {
        Metres::new(self.lambda())
    }
    /// The wavelength in metres.
    pub(crate) fn lambda(self) -> f64 {
        LIGHT / (self.frequency.get() * 1e6)
    }
    /// The frequency in GHz.
    pub(crate) fn ghz(self) -> f64 {
        self.frequency.get() * 1e-3
    }
    /// The phase a wave turns by on a metre, in radians.
    pub(crate) fn wave_number(self) -> f64 {
        std::f64::consts::TAU / self.lambda()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_wave_at_5800_mhz_is_51_688_mm_long() {
        let carrier = Carrier::new(Megahertz::new(5800.0)).map(|c| c.wavelength().get());
        assert!((carrier.unwrap_or(f64::NAN) - 0.051_688).abs() < 5e-7);
        assert!(
            Carrier::new(Megahertz::new(5.8)).is_err() && Carrier::new(Megahertz::new(f64::NAN)).is_err()
        );
    }
}
