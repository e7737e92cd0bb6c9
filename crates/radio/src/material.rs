//! How does a material meet a wave: ground, brick, wood, glass?
//!
//! ε' = a·fᵇ, σ = c·fᵈ S/m with f in GHz; η = ε' − j·σ/(2π·f·ε0) (ITU-R P.2040, section 3). The constants changed between
//! editions: these are those of P.2040-3 and -4. Brick and hollow block in the field are usually worse than the table's even slabs.
//! Reflection from a half space, θ from the normal: across the plane of incidence
//! (cos θ − √(η − sin²θ))/(cos θ + √(η − sin²θ)), in it (η·cos θ − √…)/(η·cos θ + √…); at θ = 0 the two are opposite.

use crate::{Carrier, Complex, RadioFault};
use quantity::{Db, Grade, Megahertz, Source};

/// Where the constants come from.
pub const MATERIAL_SOURCE: Source = Source {
    title: "Recommendation ITU-R P.2040-3 (2023), as transcribed in two open programs",
    place: "section 3, table 3; the ten rows that are no ground are the same in P.2040-4",
    grade: Grade::ReferenceProgram,
};

/// The electric constant in F/m.
const ELECTRIC: f64 = 8.854_187_812_8e-12;

/// A material of the table.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Material {
    /// The word it goes by.
    pub word: &'static str,
    /// a, b, c, d.
    constants: [f64; 4],
    /// From and to, in GHz.
    reach: [f64; 2],
}

const fn row(word: &'static str, constants: [f64; 4], reach: [f64; 2]) -> Material {
    Material { word, constants, reach }
}

/// What the first edition of P.2040 (2015) had for the same rows: how far published constants differ. Ground has none.
const EARLIER: [Material; 4] = [
    row("concrete", [5.31, 0.0, 0.0326, 0.8095], [1.0, 100.0]),
    row("brick", [3.75, 0.0, 0.038, 0.0], [1.0, 40.0]),
    row("plasterboard", [2.94, 0.0, 0.0116, 0.7076], [1.0, 100.0]),
    row("glass", [6.27, 0.0, 0.0043, 1.1925], [0.1, 100.0]),
];

/// Where these come from.
pub const EARLIER_SOURCE: Source = Source {
    title: "Recommendation ITU-R P.2040-1 (2015), as quoted beside a later edition and in a function reference",
    place: "section 3, table 3; brick and plasterboard agree with values quoted at 9 GHz",
    grade: Grade::Memory,
};

impl Material {
    /// What else it may be: of a wall's stuff the constants of an earlier edition, of soil the next drier and the next wetter row. How
    /// moist a field is today nobody measures.
    pub fn others(&self) -> Vec<Material> {
        let soil = &Self::ALL[10..];
        if let Some(n) = soil.iter().position(|row| row.word == self.word) {
            return [n.wrapping_sub(1), n + 1].into_iter().filter_map(|n| soil.get(n).copied()).collect();
        }
        EARLIER.into_iter().filter(|row| row.word == self.word).collect()
    }

    /// Every material, walls first, then ground.
    pub const ALL: [Material; 13] = [
        row("concrete", [5.24, 0.0, 0.0462, 0.7822], [1.0, 100.0]),
        row("brick", [3.91, 0.0, 0.0238, 0.16], [1.0, 40.0]),
        row("plasterboard", [2.73, 0.0, 0.0085, 0.9395], [1.0, 100.0]),
        row("wood", [1.99, 0.0, 0.0047, 1.0718], [0.1, 100.0]),
        row("glass", [6.31, 0.0, 0.0036, 1.3394], [0.1, 100.0]),
        row("ceiling board", [1.48, 0.0, 0.0011, 1.0750], [1.0, 100.0]),
        row("chipboard", [2.58, 0.0, 0.0217, 0.7800], [1.0, 100.0]),
        row("plywood", [2.71, 0.0, 0.33, 0.0], [1.0, 40.0]),
        row("marble", [7.074, 0.0, 0.0055, 0.9262], [1.0, 60.0]),
        row("metal", [1.0, 0.0, 1e7, 0.0], [1.0, 100.0]),
        row("very dry ground", [3.0, 0.0, 0.00015, 2.52], [1.0, 10.0]),
        row("medium dry ground", [15.0, -0.1, 0.035, 1.63], [1.0, 10.0]),
        row("wet ground", [30.0, -0.4, 0.15, 1.30], [1.0, 10.0]),
    ];

    /// The material of a word.
    pub fn of_word(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|material| material.word == word)
    }

    /// Its complex relative permittivity.
    pub fn permittivity(&self, carrier: Carrier) -> Result<Complex, RadioFault> {
        let f = carrier.ghz();
        let [least, most] = self.reach;
        if !(least..=most).contains(&f) {
            let [least, most] = self.reach.map(|ghz| Megahertz::new(ghz * 1e3));
            return Err(RadioFault::OffTable {
                what: self.word,
                frequency: carrier.frequency(),
                least,
                most,
            });
        }
        let [a, b, c, d] = self.constants;
        let conductivity = c * f.powf(d);
        Ok(Complex::new(a * f.powf(b), -conductivity / (std::f64::consts::TAU * f * 1e9 * ELECTRIC)))
    }

    /// Its conductivity in siemens a metre, by the table's formula.
    pub fn conductivity(&self, carrier: Carrier) -> f64 {
        self.constants[2] * carrier.ghz().powf(self.constants[3])
    }

    /// What a metre of it takes of a wave inside it.
    pub fn loss_per_metre(&self, carrier: Carrier) -> Result<Db, RadioFault> {
        let decay = -self.permittivity(carrier)?.sqrt().im * carrier.wave_number();
        Ok(Db::new(decay * 20.0 * std::f64::consts::LOG10_E))
    }
}

/// The two coefficients of a surface: amplitudes across the plane of incidence and in it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Surface {
    /// Field square to the plane of incidence: level over ground.
    pub across: Complex,
    /// Field in the plane of incidence: upright over ground.
    pub within: Complex,
}

/// What a half space of this permittivity reflects, by the cosine of the angle from its normal.
pub fn half_space(permittivity: Complex, cosine: f64) -> Surface {
    let cos = Complex::real(cosine);
    let inside = (permittivity - Complex::real(1.0 - cosine * cosine)).root();
    let by = |a: Complex, b: Complex| if (a + b).power() > 0.0 { (a - b) / (a + b) } else { -Complex::ONE };
    Surface { across: by(cos, inside), within: by(permittivity * cos, inside) }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn at(mhz: f64) -> Carrier {
        Carrier::new(Megahertz::new(mhz)).unwrap_or_else(|f| unreachable!("{f}"))
    }

    #[test]
    fn ground_beyond_10_ghz_is_not_known() {
        let ground = Material::of_word("wet ground").map(|m| m.permittivity(at(24_000.0)));
        let told = ground.and_then(Result::err).map(|fault| fault.to_string());
        let words = "wet ground: its constants hold from 1000 MHz to 10000 MHz, and the channel is 24000 MHz; enter a channel within these";
        assert_eq!(told.as_deref(), Some(words));
        assert_eq!(Material::of_word("cheese"), None);
    }

    #[test]
    fn the_earlier_edition_is_the_one_quoted_at_9_ghz() {
        // ε' and σ of P.2040-1 at 9 GHz, as a function reference quotes them.
        let quoted = [
            ("concrete", 5.31, 0.19305),
            ("brick", 3.75, 0.038),
            ("plasterboard", 2.94, 0.054914),
            ("glass", 6.27, 0.059075),
        ];
        for (word, real, conductivity) in quoted {
            let other = Material::of_word(word).map(|row| row.others()).unwrap_or_default();
            let [row] = other[..] else { panic!("{word}: {other:?}") };
            assert!((row.conductivity(at(9000.0)) / conductivity - 1.0).abs() < 2e-3, "{word}");
            assert!(row.permittivity(at(9000.0)).is_ok_and(|eta| (eta.re - real).abs() < 1e-9), "{word}");
        }
        let others = |word: &str| -> Vec<&str> {
            Material::of_word(word)
                .map(|row| row.others())
                .unwrap_or_default()
                .iter()
                .map(|row| row.word)
                .collect()
        };
        assert_eq!(others("medium dry ground"), ["very dry ground", "wet ground"]);
        assert_eq!(others("wet ground"), ["medium dry ground"]);
        assert!(others("metal").is_empty());
    }

    #[test]
    fn metal_is_a_mirror_and_grazing_reverses_both() {
        let metal = Complex::new(1.0, -3e10);
        let square = half_space(metal, 1.0);
        assert!((square.across + Complex::ONE).size() < 1e-4 && (square.within - Complex::ONE).size() < 1e-4);
        let grazing = half_space(Complex::new(15.0, -1.0), 0.0);
        assert!(
            (grazing.across + Complex::ONE).size() < 1e-12 && (grazing.within + Complex::ONE).size() < 1e-12
        );
    }

    proptest! {
        #[test]
        fn nothing_reflects_more_than_arrives(which in 0..13usize, cosine in 0.0..=1.0f64, mhz in 1000.0..10_000.0f64) {
            let permittivity = Material::ALL[which].permittivity(at(mhz));
            let surface = half_space(permittivity.unwrap_or(Complex::ONE), cosine);
            prop_assert!(surface.across.size() <= 1.0 + 1e-12 && surface.within.size() <= 1.0 + 1e-12);
        }

        #[test]
        fn the_upright_part_vanishes_at_brewsters_angle(eps in 2.0..30.0f64) {
            let cosine = eps.sqrt().atan().cos();
            prop_assert!(half_space(Complex::real(eps), cosine).within.size() < 1e-12);
        }
    }
}
