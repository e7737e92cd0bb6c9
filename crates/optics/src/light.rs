//! How much light does one lens on one sensor give against another, how much noise follows, and how fine can the picture be?
//!
//! With f-number N, transmission T, area A, in stops (doublings) over a reference, at the same scene and shutter:
//! - aperture 2·log2(N_ref/N); transmission log2(T/T_ref); these two light a place on the sensor;
//! - area log2(A/A_ref), of the whole picture or of one of its pixels: these gather it.
//!
//! Counted light is as uncertain as the root of its count, so a doubling of light betters signal over noise by √2, or
//! 10·log10(2) = 3.01 dB. Exposure value EV = log2(N²/t), t in s; at sensitivity ISO 100 it suits 2.5·2^EV lx.
//!
//! Diffraction: first dark ring of the image of a point 2.44·λ·N across; patterns finer than 1/(λ·N) are lost in the
//! lens, finer than 1/(2·pitch) on the sensor.
//!
//! Left out: light lost toward the corners, noise of the read-out, colour filters, more pixels read than sent.

use crate::fault::within;
use crate::{OpticsFault, SensorArea};
use quantity::{Db, Grade, LinePairsPerMillimetre, Lux, Micrometres, Percent, Ratio, Seconds, Source, Stops};

/// Where exposure comes from.
pub const EXPOSURE_SOURCE: Source = Source {
    title: "ISO 2720, exposure meters; Ray, Applied Photographic Optics",
    place: "exposure value, incident light with the constant 250",
    grade: Grade::Memory,
};
/// Where diffraction comes from.
pub const DIFFRACTION_SOURCE: Source = Source {
    title: "Hecht, Optics",
    place: "diffraction at a circular opening: the Airy disc",
    grade: Grade::Memory,
};

/// The wavelength that eyes and sensors see best: green.
pub const GREEN: Micrometres = Micrometres::new(0.55);

/// Incident-light constant over the sensitivity of ISO 100, in lx.
const LUX_AT_EV_0: f64 = 2.5;
const F_NUMBERS: (f64, f64) = (0.5, 64.0);

/// A lens on a sensor, as light sees it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LightPair {
    f_number: f64,
    transmission: f64,
    picture_mm2: f64,
    pixel_mm2: f64,
}

impl LightPair {
    /// A lens of an f-number that lets so much light through, over what is read of a sensor, for a picture of so many
    /// pixels.
    pub fn new(
        f_number: Ratio,
        transmission: Percent,
        area: SensorArea,
        pixels: (u32, u32),
    ) -> Result<Self, OpticsFault> {
        crate::view::checked_pixels(pixels.0, pixels.1)?;
        let picture_mm2 = area.width().get() * area.height().get();
        Ok(Self {
            f_number: within("f-number", f_number, F_NUMBERS)?,
            transmission: within("transmission", transmission, (0.1, 100.0))?,
            picture_mm2,
            pixel_mm2: picture_mm2 / (f64::from(pixels.0) * f64::from(pixels.1)),
        })
    }
}

/// How many stops more light one pair gives than another, by cause; negative is less.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LightStops {
    /// By the opening of the lens.
    pub aperture: Stops,
    /// By what its glass lets through.
    pub transmission: Stops,
    /// By the area of the whole picture on the sensor.
    pub picture_area: Stops,
    /// By the area of one pixel of the picture.
    pub pixel_area: Stops,
}

impl LightStops {
    /// At a place on the sensor.
    pub fn at_a_place(self) -> Stops {
        self.aperture + self.transmission
    }
    /// In the whole picture.
    pub fn in_the_picture(self) -> Stops {
        self.at_a_place() + self.picture_area
    }
    /// In one pixel of the picture.
    pub fn in_a_pixel(self) -> Stops {
        self.at_a_place() + self.pixel_area
    }
}

/// How much more light a pair gives than a reference, at the same scene and shutter.
pub fn stops_over(pair: &LightPair, reference: &LightPair) -> LightStops {
    let more = |ratio: f64| Stops::new(ratio.log2());
    LightStops {
        aperture: more((reference.f_number / pair.f_number).powi(2)),
        transmission: more(pair.transmission / reference.transmission),
        picture_area: more(pair.picture_mm2 / reference.picture_mm2),
        pixel_area: more(pair.pixel_mm2 / reference.pixel_mm2),
    }
}

/// How much better signal stands over noise with so much more light, where the noise is that of counted light.
pub fn noise_of(more: Stops) -> Db {
    Db::new(10.0 * 2f64.log10() * more.get())
}

/// The exposure value of an f-number and a shutter time.
pub fn exposure_value(f_number: Ratio, shutter: Seconds) -> Result<Ratio, OpticsFault> {
    let n = within("f-number", f_number, F_NUMBERS)?;
    let t = within("shutter time", shutter, (1e-7, 3_600.0))?;
    Ok(Ratio::new((n * n / t).log2()))
}

/// How bright a scene is that an exposure value suits, at a sensitivity of ISO 100.
pub fn illuminance_at(exposure_value: Ratio) -> Result<Lux, OpticsFault> {
    let value = within("exposure value", exposure_value, (-30.0, 40.0))?;
    Ok(Lux::new(LUX_AT_EV_0 * 2f64.powf(value)))
}

fn opening(f_number: Ratio, wavelength: Micrometres) -> Result<(f64, f64), OpticsFault> {
    let n = within("f-number", f_number, F_NUMBERS)?;
    Ok((n, within("wavelength", wavelength, (0.2, 2.0))?))
}

/// How wide diffraction draws a point, to the first dark ring.
pub fn airy_diameter(f_number: Ratio, wavelength: Micrometres) -> Result<Micrometres, OpticsFault> {
    let (n, wave) = opening(f_number, wavelength)?;
    Ok(Micrometres::new(2.44 * wave * n))
}

/// The finest pattern that passes the opening of a lens.
pub fn diffraction_cut_off(
    f_number: Ratio,
    wavelength: Micrometres,
) -> Result<LinePairsPerMillimetre, OpticsFault> {
    let (n, wave) = opening(f_number, wavelength)?;
    Ok(LinePairsPerMillimetre::new(1000.0 / (wave * n)))
}

/// The finest pattern that pixels can hold: two of them for a pair of lines.
pub fn sensor_cut_off(pitch: Micrometres) -> Result<LinePairsPerMillimetre, OpticsFault> {
    Ok(LinePairsPerMillimetre::new(1000.0 / (2.0 * within("pixel pitch", pitch, (0.1, 100.0))?)))
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use proptest::prelude::*;
    use quantity::Millimetres;

    fn pair(n: f64, transmission: f64, width: f64, pixels: (u32, u32)) -> LightPair {
        let area = SensorArea::of_sides(Millimetres::new(width), Millimetres::new(0.75 * width)).unwrap();
        LightPair::new(Ratio::new(n), Percent::new(transmission), area, pixels).unwrap()
    }

    fn any_pair() -> impl Strategy<Value = LightPair> {
        let drawn = (0.8..8.0f64, 20.0..100.0f64, 1.0..20.0f64, 200..4000u32, 200..3000u32);
        drawn.prop_map(|(n, transmission, width, across, down)| pair(n, transmission, width, (across, down)))
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(128))]

        #[test]
        fn what_one_pair_gains_the_other_loses(a in any_pair(), b in any_pair(), c in any_pair()) {
            let (there, back) = (stops_over(&a, &b), stops_over(&b, &a));
            prop_assert!((there.in_the_picture() + back.in_the_picture()).abs().get() < 1e-9);
            let by_way = stops_over(&a, &c).in_a_pixel() + stops_over(&c, &b).in_a_pixel();
            prop_assert!((there.in_a_pixel() - by_way).abs().get() < 1e-9);
        }

        #[test]
        fn a_wider_opening_never_darkens_and_never_blurs_by_diffraction(n in 0.6..20.0f64, less in 0.8..0.99f64) {
            let (wide, narrow) = (pair(n * less, 90.0, 4.8, (640, 480)), pair(n, 90.0, 4.8, (640, 480)));
            prop_assert!(stops_over(&wide, &narrow).at_a_place().get() > 0.0);
            let disc = |n: f64| airy_diameter(Ratio::new(n), GREEN).unwrap();
            prop_assert!(disc(n * less) < disc(n));
            let lines = diffraction_cut_off(Ratio::new(n), GREEN).unwrap().get();
            // A disc of 2.44 periods of the cut-off.
            prop_assert!((disc(n).get() / 1000.0 * lines / 2.44 - 1.0).abs() < 1e-12);
        }

        #[test]
        fn halving_the_shutter_asks_for_twice_the_light(n in 1.0..10.0f64, t in 1e-5..1.0f64) {
            let lux = |t: f64| illuminance_at(exposure_value(Ratio::new(n), Seconds::new(t)).unwrap()).unwrap();
            prop_assert!((lux(t / 2.0) / lux(t) - 2.0).abs() < 1e-9);
        }
    }

    #[test]
    fn what_cannot_be_is_said_with_its_range() {
        let told = airy_diameter(Ratio::new(0.1), GREEN).unwrap_err().to_string();
        assert_eq!(told, "f-number 0.1 must lie between 0.5 and 64; check the sign and the unit");
        let told = exposure_value(Ratio::new(2.0), Seconds::new(f64::NAN)).unwrap_err().to_string();
        assert_eq!(
            told,
            "shutter time NaN s must lie between 0.0000001 s and 3600 s; check the sign and the unit"
        );
        assert!(sensor_cut_off(Micrometres::new(-2.0)).is_err());
        assert!(illuminance_at(Ratio::new(f64::INFINITY)).is_err());
    }
}
