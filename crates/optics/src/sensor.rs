//! How much of the sensor is read?
//!
//! Width = pixel pitch × pixels across, height = pixel pitch × pixels down. From a diagonal d and an aspect
//! a : b, width = d·a/√(a²+b²) and height = d·b/√(a²+b²). Names of formats such as 1/2 inch are not used:
//! real parts differ from them by several per cent.
//!
//! A picture mode reads the largest rectangle of its own aspect, in the middle, that is no wider than the
//! stated share of the sensor's width. Left out: pixels that are not square on the sensor.

use crate::OpticsFault;
use quantity::{Micrometres, Millimetres, Ratio};

/// The shape of a picture: width to height.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Aspect {
    across: u32,
    down: u32,
}

impl Aspect {
    /// Four to three.
    pub const FOUR_TO_THREE: Self = Self { across: 4, down: 3 };
    /// Sixteen to nine.
    pub const SIXTEEN_TO_NINE: Self = Self { across: 16, down: 9 };

    /// The shape of a picture of so many square pixels.
    pub fn of_pixels(across: u32, down: u32) -> Result<Self, OpticsFault> {
        crate::view::checked_pixels(across, down)?;
        Ok(Self { across, down })
    }

    /// Width over height.
    pub fn ratio(self) -> f64 {
        f64::from(self.across) / f64::from(self.down)
    }
}

/// The part of a sensor that is read.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SensorArea {
    width: f64,
    height: f64,
}

impl SensorArea {
    /// From pixel pitch and pixels.
    pub fn of_pixels(pitch: Micrometres, across: u32, down: u32) -> Result<Self, OpticsFault> {
        crate::view::checked_pixels(across, down)?;
        if !(pitch.get() > 0.0 && pitch.get().is_finite()) {
            return Err(OpticsFault::PixelPitch { value: pitch });
        }
        let side = pitch.get() / 1000.0;
        Ok(Self { width: f64::from(across) * side, height: f64::from(down) * side })
    }

    /// From the diagonal and the shape.
    pub fn of_diagonal(diagonal: Millimetres, aspect: Aspect) -> Result<Self, OpticsFault> {
        let d = checked(diagonal)?;
        let (a, b) = (f64::from(aspect.across), f64::from(aspect.down));
        Ok(Self { width: d * a / a.hypot(b), height: d * b / a.hypot(b) })
    }

    /// From width and height.
    pub fn of_sides(width: Millimetres, height: Millimetres) -> Result<Self, OpticsFault> {
        Ok(Self { width: checked(width)?, height: checked(height)? })
    }

    /// What a picture mode reads of it: its aspect, in the middle, no wider than this share of the width.
    pub fn in_mode(self, share_of_width: Ratio, aspect: Aspect) -> Result<Self, OpticsFault> {
        let share = share_of_width.get();
        if !(share > 0.0 && share <= 1.0) {
            return Err(OpticsFault::Crop { value: share_of_width });
        }
        let width = (self.width * share).min(self.height * aspect.ratio());
        Ok(Self { width, height: width / aspect.ratio() })
    }

    /// Across.
    pub fn width(self) -> Millimetres {
        Millimetres::new(self.width)
    }
    /// Down.
    pub fn height(self) -> Millimetres {
        Millimetres::new(self.height)
    }
    /// From corner to corner.
    pub fn diagonal(self) -> Millimetres {
        Millimetres::new(self.width.hypot(self.height))
    }
}

fn checked(size: Millimetres) -> Result<f64, OpticsFault> {
    let sound = size.get() > 0.0 && size.get().is_finite();
    sound.then_some(size.get()).ok_or(OpticsFault::SensorSize { value: size })
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    #[test]
    fn a_mode_reads_the_middle_in_its_own_shape() {
        let whole = SensorArea::of_sides(Millimetres::new(4.8), Millimetres::new(3.6)).unwrap();
        let sides = |share: f64, aspect| {
            let area = whole.in_mode(Ratio::new(share), aspect).unwrap();
            [area.width().get(), area.height().get()].map(|side| (side * 1e6).round() / 1e6)
        };
        assert_eq!(sides(1.0, Aspect::FOUR_TO_THREE), [4.8, 3.6]);
        assert_eq!(sides(1.0, Aspect::SIXTEEN_TO_NINE), [4.8, 2.7]);
        assert_eq!(sides(0.5, Aspect::SIXTEEN_TO_NINE), [2.4, 1.35]);
        let square = Aspect::of_pixels(720, 720).unwrap();
        assert_eq!(sides(1.0, square), [3.6, 3.6]);
    }

    #[test]
    fn what_cannot_be_is_refused() {
        let told = |made: Result<SensorArea, OpticsFault>| made.unwrap_err().to_string();
        assert_eq!(
            told(SensorArea::of_pixels(Micrometres::new(-2.0), 1920, 1080)),
            "pixel pitch -2 µm must be above 0; check the sign"
        );
        assert_eq!(
            told(SensorArea::of_pixels(Micrometres::new(2.0), 0, 1080)),
            "0 × 1080 pixels: both must lie between 1 and 20000"
        );
        assert!(SensorArea::of_diagonal(Millimetres::new(f64::NAN), Aspect::FOUR_TO_THREE).is_err());
    }
}
