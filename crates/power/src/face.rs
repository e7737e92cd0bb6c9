//! How much heat does a face give off to the air about it?
//!
//! Still air by Churchill and Chu (upright plates) or the flat-plate rules of McAdams (level ones), moving air by the laminar
//! flat plate, both together as the cube root of the sum of their cubes; and radiation εσ(T⁴ − T_a⁴). Film properties at the mean of face and
//! air.

use crate::measures::FREEZING;
use crate::{Air, PowerFault, SquareCentimetres, WattsPerSquareMetreKelvin};
use quantity::STANDARD_GRAVITY as GRAVITY;
use quantity::{Celsius, Grade, Measure, MetresPerSecond, Millimetres, Ratio, STEFAN_BOLTZMANN, Source};

/// Where the heat transfer in still air comes from.
pub const STILL_AIR_SOURCE: Source = Source {
    title: "Churchill and Chu, Int. J. Heat Mass Transfer 18 (1975); McAdams, Heat Transmission",
    place: "vertical plate, all Rayleigh numbers; horizontal plates 0.54·Ra^¼, 0.15·Ra^⅓, 0.27·Ra^¼",
    grade: Grade::Memory,
};
/// Where the heat transfer in moving air comes from.
pub const MOVING_AIR_SOURCE: Source = Source {
    title: "Bergman, Lavine, Incropera, DeWitt, Fundamentals of Heat and Mass Transfer, 7th edition",
    place: "section 7.2, laminar flat plate: Nu = 0.664·Re^½·Pr^⅓; section 7.4, cylinder after Churchill and Bernstein 1977",
    grade: Grade::Memory,
};
/// Where the two together come from.
pub const MIXED_AIR_SOURCE: Source = Source {
    title: "Churchill, AIChE Journal 23 (1977); Bergman, Lavine, Incropera, DeWitt, 7th edition",
    place: "section 9.9, combined free and forced convection: Nu³ = Nu_forced³ + Nu_free³, stream across or along the rise",
    grade: Grade::Memory,
};
/// How a face lies in still air.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Attitude {
    /// On edge: both faces upright.
    Upright,
    /// Level, hot face up.
    FaceUp,
    /// Level, hot face down.
    FaceDown,
}

/// What moves past.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Surroundings {
    /// The air.
    pub air: Air,
    /// How fast it moves along the face.
    pub speed: MetresPerSecond,
}

/// A surface that gives off heat.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Face {
    area: f64,
    length: f64,
    perimeter_length: f64,
    attitude: Attitude,
    emissivity: f64,
}

impl Face {
    /// Of a width across the stream and a length along it (upright: its height), with its area times `fold` where fins fold it.
    pub fn new(
        [width, length]: [Millimetres; 2],
        attitude: Attitude,
        emissivity: Ratio,
        fold: Ratio,
    ) -> Result<Self, PowerFault> {
        let [least, most] = [1.0, 500.0].map(Millimetres::new);
        let w = PowerFault::within("width of a face", width, least, most, "measure it")?.get() * 1e-3;
        let l = PowerFault::within("length of a face", length, least, most, "measure it")?.get() * 1e-3;
        let [none, black] = [0.0, 1.0].map(Ratio::of);
        let mend = "0.9 for boards and black metal, 0.1 for bare aluminium";
        let emissivity = PowerFault::within("emissivity", emissivity, none, black, mend)?.get();
        let [one, most] = [0.1, 20.0].map(Ratio::of);
        let fold =
            PowerFault::within("area over outline", fold, one, most, "1 for a flat face, 2 for both sides")?
                .get();
        Ok(Self {
            area: w * l * fold,
            length: l,
            perimeter_length: w * l / (2.0 * (w + l)),
            attitude,
            emissivity,
        })
    }

    /// Its area, folds counted.
    pub fn area(self) -> SquareCentimetres {
        SquareCentimetres::new(self.area * 1e4)
    }

    /// What convection carries off, a square metre and a kelvin.
    pub fn convection(self, face: Celsius, about: Surroundings) -> WattsPerSquareMetreKelvin {
        WattsPerSquareMetreKelvin::new(self.carried(face.get() + FREEZING, &about))
    }

    /// What radiation carries off, a square metre and a kelvin.
    pub fn radiation(self, face: Celsius, about: Surroundings) -> WattsPerSquareMetreKelvin {
        WattsPerSquareMetreKelvin::new(self.radiated(face.get() + FREEZING, about.air.kelvin()))
    }

    fn carried(self, face: f64, about: &Surroundings) -> f64 {
        let film = about.air.at_kelvin(0.5 * (face + about.air.kelvin()));
        let [k, v, prandtl] = film.film();
        let over = (face - about.air.kelvin()).max(0.0);
        let rayleigh = |length: f64| GRAVITY * over * length.powi(3) * prandtl / (film.kelvin() * v * v);
        let still = match self.attitude {
            Attitude::Upright => k / self.length * upright_plate(rayleigh(self.length), prandtl),
            Attitude::FaceUp => {
                k / self.perimeter_length * level_plate(rayleigh(self.perimeter_length), true)
            }
            Attitude::FaceDown => {
                k / self.perimeter_length * level_plate(rayleigh(self.perimeter_length), false)
            }
        };
        let speed = about.speed.get();
        if speed == 0.0 {
            return still;
        }
        mixed(still, k / self.length * flat_plate(speed * self.length / v, prandtl))
    }

    fn radiated(self, face: f64, air: f64) -> f64 {
        self.emissivity * STEFAN_BOLTZMANN * (face * face + air * air) * (face + air)
    }

    pub(crate) fn watts(self, face: f64, about: &Surroundings) -> f64 {
        let air = about.air.kelvin();
        self.area * (self.carried(face, about) + self.radiated(face, air)) * (face - air)
    }
}

/// Free and forced convection together: no kink where one takes over from the other.
pub fn mixed(still: f64, moving: f64) -> f64 {
    (still.powi(3) + moving.powi(3)).cbrt()
}

/// Nusselt number of an upright plate in still air, all Rayleigh numbers.
pub fn upright_plate(rayleigh: f64, prandtl: f64) -> f64 {
    let spread = (1.0 + (0.492 / prandtl).powf(9.0 / 16.0)).powf(8.0 / 27.0);
    (0.825 + 0.387 * rayleigh.powf(1.0 / 6.0) / spread).powi(2)
}

/// Nusselt number of a level plate in still air over area by perimeter, hot face up or down. Small boards lie below the
/// stated 10⁴: there it stays the best that is known.
pub fn level_plate(rayleigh: f64, up: bool) -> f64 {
    if !up {
        0.27 * rayleigh.sqrt().sqrt()
    } else if rayleigh < 1e7 {
        0.54 * rayleigh.sqrt().sqrt()
    } else {
        0.15 * rayleigh.cbrt()
    }
}

/// Nusselt number of a flat plate along a laminar stream.
pub fn flat_plate(reynolds: f64, prandtl: f64) -> f64 {
    0.664 * reynolds.sqrt() * prandtl.cbrt()
}

/// Nusselt number of a cylinder across a stream, such as a capacitor or a wire.
pub fn cylinder(reynolds: f64, prandtl: f64) -> f64 {
    let laminar =
        0.62 * reynolds.sqrt() * prandtl.cbrt() / (1.0 + (0.4 / prandtl).powf(2.0 / 3.0)).powf(0.25);
    0.3 + laminar * (1.0 + (reynolds / 282_000.0).powf(0.625)).powf(0.8)
}
