//! What gets through a wall, by its layers and the angle?
//!
//! Each layer has η and a thickness t; at the angle θ from the normal its normal index is n = √(η − sin²θ) and it turns the
//! phase by q = 2π·t/λ·n. From the far side inwards, with r between neighbours (across: (n1−n2)/(n1+n2); in the plane of
//! incidence: (η2·n1−η1·n2)/(η2·n1+η1·n2)): R = (r + R'·e^(−2jq))/(1 + r·R'·e^(−2jq)), T = (1+r)·T'·e^(−jq)/(1 + r·R'·e^(−2jq)).
//! One layer gives the slab of ITU-R P.2040, section 2.2.2.2. No exponent grows, so that metal gives nought and not a
//! fault. Left out: wires, holes, rough faces, and the edges of the slab (see `wall`).

use crate::material::Surface;
use crate::{Carrier, Complex, Material, RadioFault};
use quantity::{Grade, Measure, Millimetres, Ratio, Source};

/// Where the formulas come from.
pub const SLAB_SOURCE: Source = Source {
    title: "Recommendation ITU-R P.2040-3 (2023), as transcribed in an open program",
    place: "section 2.2.2, single and layered slab, equations 37, 43 and 44",
    grade: Grade::ReferenceProgram,
};

const LAYERS_MAX: usize = 16;
const THICKNESS_MAX: Millimetres = Millimetres::new(5_000.0);

/// What a layer is made of.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Filling {
    /// A material of the table.
    Of(Material),
    /// A gap of air.
    Air,
}

/// A flat wall of layers.
#[derive(Clone, Debug, PartialEq)]
pub struct Slab {
    layers: Vec<(Filling, Millimetres)>,
}

/// A slab on one carrier: what it lets through, asked by the thousand.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct SlabAt {
    inside: Inside,
    /// The phase across its whole thickness in air, square on, in quarters of a turn.
    air: f64,
}

#[derive(Clone, Debug, PartialEq)]
enum Inside {
    /// Nothing gets through at any angle.
    Opaque,
    /// One layer: its permittivity, and its thickness times the wave number.
    One(Complex, f64),
    /// Several, by the recursion.
    Many(Slab, Carrier),
}

/// e^(−40): what is weaker than this is nothing.
const NOTHING: f64 = 40.0;

impl SlabAt {
    /// What a wave becomes from face to face, over what it would be in air, by the cosine of its angle from the normal.
    pub(crate) fn through(&self, cosine: f64) -> Result<Surface, RadioFault> {
        match &self.inside {
            Inside::Opaque => Ok(Surface { across: Complex::ZERO, within: Complex::ZERO }),
            Inside::One(permittivity, thick) => Ok(self.one_layer(*permittivity, *thick, cosine.max(1e-6))),
            Inside::Many(slab, carrier) => {
                let through = slab.waves(cosine, *carrier)?.through;
                let back = Complex::quarters(self.air * cosine);
                Ok(Surface { across: through.across * back, within: through.within * back })
            }
        }
    }

    /// 4·a·n·E/((a+n)² − (a−n)²·E²), E = e^(−jq), a the cosine, and η times it in the plane of incidence: the formula of the head.
    fn one_layer(&self, permittivity: Complex, thick: f64, cosine: f64) -> Surface {
        let inside = (permittivity - Complex::real(1.0 - cosine * cosine)).root();
        let left = (thick * inside.im).exp();
        let once = Complex::quarters(-thick * inside.re * std::f64::consts::FRAC_2_PI) * left;
        let (passing, twice) = (once * Complex::quarters(self.air * cosine), once * once);
        let part = |a: Complex| {
            let (sum, difference) = (a + inside, a - inside);
            let below = sum * sum - difference * difference * twice;
            a * inside * passing * below.conj() * (4.0 / below.power())
        };
        Surface { across: part(Complex::real(cosine)), within: part(permittivity * cosine) }
    }
}

/// What a slab does to a wave: amplitudes through it and back from it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SlabWaves {
    /// Through it, from face to face.
    pub through: Surface,
    /// Back from its first face.
    pub back: Surface,
}

impl Slab {
    /// Of layers from face to face.
    pub fn new(layers: &[(Filling, Millimetres)]) -> Result<Self, RadioFault> {
        if layers.is_empty() || layers.len() > LAYERS_MAX {
            return Err(RadioFault::Count { what: "layers of a wall", most: LAYERS_MAX });
        }
        for (_, thickness) in layers {
            RadioFault::within(
                "thickness of a layer",
                *thickness,
                Millimetres::new(0.0),
                THICKNESS_MAX,
                "check the unit",
            )?;
        }
        Ok(Self { layers: layers.to_vec() })
    }

    /// Of one material.
    pub fn of(material: Material, thickness: Millimetres) -> Result<Self, RadioFault> {
        Self::new(&[(Filling::Of(material), thickness)])
    }

    /// What else it may be: of the constants of an earlier edition; a tenth thinner and a tenth thicker, for what its two faces
    /// send back adds or takes by the phase between them, which no sheet states so closely (common practice). Always three.
    pub fn others(&self) -> [Slab; 3] {
        let of = |times: f64, earlier: bool| {
            let layer = |(filling, thickness): &(Filling, Millimetres)| {
                let other = match filling {
                    Filling::Of(material) if earlier => material.others().first().copied(),
                    _ => None,
                };
                let thickness = Millimetres::new((thickness.get() * times).min(THICKNESS_MAX.get()));
                (other.map_or(*filling, Filling::Of), thickness)
            };
            Slab { layers: self.layers.iter().map(layer).collect() }
        };
        [of(1.0, true), of(0.9, false), of(1.1, false)]
    }

    /// Made ready for a carrier.
    pub(crate) fn at(&self, carrier: Carrier) -> Result<SlabAt, RadioFault> {
        let k = carrier.wave_number();
        let mut decay = 0.0;
        let mut only = None;
        for (filling, thickness) in &self.layers {
            let thick = thickness.get() * 1e-3 * k;
            let permittivity = match filling {
                Filling::Of(material) => material.permittivity(carrier)?,
                Filling::Air => Complex::ONE,
            };
            // At a slant the way inside is longer and the loss a metre no less.
            decay += -permittivity.sqrt().im * thick;
            only = Some((permittivity, thick));
        }
        let inside = match only {
            _ if decay > NOTHING => Inside::Opaque,
            Some((permittivity, thick)) if self.layers.len() == 1 => Inside::One(permittivity, thick),
            _ => Inside::Many(self.clone(), carrier),
        };
        Ok(SlabAt { inside, air: k * self.thickness() * std::f64::consts::FRAC_2_PI })
    }

    /// How thick it is, in metres.
    pub(crate) fn thickness(&self) -> f64 {
        self.layers.iter().map(|layer| layer.1.get() * 1e-3).sum()
    }

    /// What it does to a wave that meets it, by the cosine of the angle from its normal.
    pub fn waves(&self, cosine: f64, carrier: Carrier) -> Result<SlabWaves, RadioFault> {
        let mend = "count the angle from the normal";
        let cosine = RadioFault::within(
            "cosine of the angle",
            Ratio::of(cosine),
            Ratio::of(0.0),
            Ratio::of(1.0),
            mend,
        )?;
        // Along the face itself nothing goes in; just off it the same comes out without a division by nought.
        let cosine = cosine.get().max(1e-6);
        let sine_squared = 1.0 - cosine * cosine;
        // Medium before, each layer, medium behind: permittivity and normal index.
        let air = (Complex::ONE, Complex::real(cosine));
        let mut media = [air; LAYERS_MAX + 2];
        for ((filling, _), medium) in self.layers.iter().zip(&mut media[1..]) {
            if let Filling::Of(material) = filling {
                let permittivity = material.permittivity(carrier)?;
                *medium = (permittivity, (permittivity - Complex::real(sine_squared)).sqrt());
            }
        }
        let across = |(_, n1): (Complex, Complex), (_, n2): (Complex, Complex)| (n1 - n2) / (n1 + n2);
        let within = |(e1, n1): (Complex, Complex), (e2, n2): (Complex, Complex)| {
            (e2 * n1 - e1 * n2) / (e2 * n1 + e1 * n2)
        };
        let (across, within) = (self.stacked(&media, carrier, across), self.stacked(&media, carrier, within));
        Ok(SlabWaves {
            through: Surface { across: across.0, within: within.0 },
            back: Surface { across: across.1, within: within.1 },
        })
    }

    fn stacked(
        &self,
        media: &[(Complex, Complex)],
        carrier: Carrier,
        between: impl Fn((Complex, Complex), (Complex, Complex)) -> Complex,
    ) -> (Complex, Complex) {
        let last = self.layers.len();
        let mut back = between(media[last], media[last + 1]);
        let mut through = Complex::ONE + back;
        for layer in (0..last).rev() {
            let q = media[layer + 1].1 * (carrier.wave_number() * self.layers[layer].1.get() * 1e-3);
            let once = (-(Complex::J * q)).exp();
            let face = between(media[layer], media[layer + 1]);
            let returned = back * once * once;
            let below = Complex::ONE + face * returned;
            through = (Complex::ONE + face) * through * once / below;
            back = (face + returned) / below;
        }
        (through, back)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{DEEPEST, loss_of};
    use proptest::prelude::*;
    use quantity::Megahertz;

    fn carrier() -> Carrier {
        Carrier::new(Megahertz::new(5800.0)).unwrap_or_else(|f| unreachable!("{f}"))
    }
    fn slab(which: usize, mm: f64) -> Slab {
        Slab::of(Material::ALL[which], Millimetres::new(mm)).unwrap_or_else(|f| unreachable!("{f}"))
    }
    fn waves(slab: &Slab, cosine: f64) -> SlabWaves {
        slab.waves(cosine, carrier()).unwrap_or_else(|f| unreachable!("{f}"))
    }

    #[test]
    fn air_is_no_wall_and_metal_is_all_of_one() {
        let air =
            Slab::new(&[(Filling::Air, Millimetres::new(80.0))]).unwrap_or_else(|f| unreachable!("{f}"));
        let through = waves(&air, 0.8).through;
        assert!((through.across.size() - 1.0).abs() < 1e-12 && (through.within.size() - 1.0).abs() < 1e-12);
        let metal = waves(&slab(9, 2.0), 1.0);
        assert_eq!(loss_of(metal.through.across.power()), DEEPEST);
        assert!(metal.back.across.size() > 0.999);
    }

    #[test]
    fn two_panes_with_no_gap_are_one_thick_pane() {
        let glass = Filling::Of(Material::ALL[4]);
        let two = Slab::new(&[(glass, Millimetres::new(4.0)), (glass, Millimetres::new(6.0))])
            .unwrap_or_else(|f| unreachable!("{f}"));
        let (one, two) = (waves(&slab(4, 10.0), 0.7), waves(&two, 0.7));
        assert!((one.through.within - two.through.within).size() < 1e-12);
        assert!((one.back.across - two.back.across).size() < 1e-12);
    }

    #[test]
    fn a_wall_of_nothing_is_refused() {
        assert_eq!(
            Slab::new(&[]).map_err(|f| f.to_string()),
            Err("layers of a wall: there is none; give one at least and 16 at most".to_owned())
        );
        assert!(Slab::of(Material::ALL[0], Millimetres::new(-1.0)).is_err());
    }

    proptest! {
        #[test]
        fn a_slab_made_ready_lets_through_what_the_recursion_says(which in 0..13usize, mm in 0.0..400.0f64, cosine in 0.0..=1.0f64) {
            let slab = slab(which, mm);
            let ready = slab.at(carrier()).and_then(|slab| slab.through(cosine)).unwrap_or_else(|f| unreachable!("{f}"));
            let back = Complex::phase(carrier().wave_number() * mm * 1e-3 * cosine);
            let plain = waves(&slab, cosine).through;
            prop_assert!((ready.across - plain.across * back).size() < 1e-12, "{:?} {:?}", ready, plain);
            prop_assert!((ready.within - plain.within * back).size() < 1e-12);
        }

        #[test]
        fn what_goes_through_and_back_is_at_most_what_arrives(which in 0..13usize, mm in 0.0..400.0f64, cosine in 0.02..=1.0f64) {
            let waves = waves(&slab(which, mm), cosine);
            for (through, back) in [(waves.through.across, waves.back.across), (waves.through.within, waves.back.within)] {
                prop_assert!(through.power() + back.power() <= 1.0 + 1e-9);
            }
        }
    }
}
