//! What stands about, made ready for one carrier: where many links are asked for.
//!
//! The model is that of `reception`. What depends on wall, ground or wood and the carrier alone is worked out once; where both rays
//! run over the same line, once for both. Nothing is left out and nothing is tabled by angle or place: [`Site::arrived`] and the total of
//! [`crate::reception`] are one and the same, and both are those of the plainest form of the model to 1e−9 dB where less than 100 dB
//! is taken (tested against that form).

use crate::complex::Complex;
use crate::ground::GroundAt;
use crate::polarisation::{if_it_fitted, taken_as_built};
use crate::wall::{Crossing, WallAt};
use crate::way::{Ray, Way};
use crate::woodland::WoodAt;
use crate::{Carrier, DEEPEST, End, Jones, Place, RadioFault, Scenery, Wood};
use quantity::{Db, Metres};
use std::f64::consts::{FRAC_2_PI, PI};

/// The most walls and the most woods that a link is computed with.
const OBSTACLES_MAX: usize = 256;
/// No antenna is nearer to another than this.
const NEAR: Metres = Metres::new(0.01);
const FAR: Metres = Metres::new(1e6);
/// Crowns with more room between them than this stand apart, in metres: less is a gap in one crown.
pub(crate) const CROWNS_APART: f64 = 1.0;

/// What stands about, made ready for one carrier.
#[derive(Clone, Debug)]
pub struct Site {
    carrier: Carrier,
    ground: Option<GroundAt>,
    walls: Vec<WallAt>,
    woods: Vec<Wood>,
    leaves: Result<WoodAt, RadioFault>,
}

/// What arrives, in short.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Arrived {
    /// The straight way.
    pub distance: Metres,
    /// What arrives over what is sent, as a plain ratio of power.
    pub share: f64,
    /// The same at the bottom of the lobes: with the ray off the ground against the straight one; as it is where there is no such ray, or
    /// where it runs less than half a wave farther.
    pub bottom: f64,
}

impl Arrived {
    /// What arrives over what is sent, below nought; nothing is the deepest loss.
    pub fn total(&self) -> Db {
        Db::new((10.0 * self.share.log10()).max(-DEEPEST.get()))
    }
}

/// Both rays, as amplitudes over isotropic antennas at the straight distance.
pub(crate) struct Rays {
    pub distance: f64,
    pub sent: Jones,
    pub fitting: Jones,
    /// Along the straight ray, without walls; with walls; with leaves too.
    pub plain: Complex,
    pub walled: Complex,
    pub straight: Complex,
    /// Metres of leaves along it, crown by crown.
    pub straight_leaves: Vec<f64>,
    pub bounced: Option<Bounced>,
}

/// The ray off the ground.
pub(crate) struct Bounced {
    /// The sine of its grazing angle.
    pub sine: f64,
    /// How much longer its way is, in metres.
    pub longer: f64,
    /// What is taken of it.
    pub taken: Complex,
}

impl Rays {
    /// Both together.
    pub fn all(&self) -> Complex {
        self.bounced.as_ref().map_or(self.straight, |bounced| self.straight + bounced.taken)
    }
}

impl Site {
    /// Of what stands about, on a carrier. Ground of a material that the table does not hold at this frequency is refused.
    pub fn new(scenery: &Scenery, carrier: Carrier) -> Result<Self, RadioFault> {
        for (what, count) in [("walls", scenery.walls.len()), ("woods", scenery.woods.len())] {
            if count > OBSTACLES_MAX {
                return Err(RadioFault::Count { what, most: OBSTACLES_MAX });
            }
        }
        Ok(Self {
            carrier,
            ground: scenery.ground.map(|ground| ground.at(carrier)).transpose()?,
            walls: scenery.walls.iter().map(|wall| wall.at(carrier)).collect(),
            woods: scenery.woods.clone(),
            leaves: WoodAt::new(carrier),
        })
    }

    /// The last of its walls put from one place to another; what it is made of and how high it is stay. Nothing without a wall.
    pub fn put_last_wall(&mut self, from: Place, to: Place) -> Result<(), RadioFault> {
        match self.walls.last_mut() {
            Some(wall) => wall.put(from, to),
            None => Ok(()),
        }
    }

    /// The last of its woods put about a place. Nothing without a wood.
    pub fn put_last_wood(&mut self, middle: Place) {
        if let Some(wood) = self.woods.last_mut() {
            *wood = wood.about(middle);
        }
    }

    /// What one end takes of what the other sends: as [`crate::reception`] has it, and nothing told apart.
    pub fn arrived(&self, from: &End, to: &End) -> Result<Arrived, RadioFault> {
        let rays = self.rays(from, to)?;
        let alone = (self.carrier.lambda() / (4.0 * PI * rays.distance)).powi(2);
        let share = alone * rays.all().power();
        let half_wave = 0.5 * self.carrier.lambda();
        let bottom = match &rays.bounced {
            Some(bounced) if bounced.longer >= half_wave => {
                let left = rays.straight.power().sqrt() - bounced.taken.power().sqrt();
                alone * left * left
            }
            _ => share,
        };
        Ok(Arrived { distance: Metres::new(rays.distance), share, bottom })
    }

    pub(crate) fn rays(&self, from: &End, to: &End) -> Result<Rays, RadioFault> {
        let way = Way::new(from.place.0, to.place.0);
        let (a, b) = (way.from.z, way.to.z);
        let ray = way.ray(b - a);
        RadioFault::within("distance", Metres::new(ray.length), NEAR, FAR, "move the two antennas apart")?;
        let sent = from.antenna.wave_on(from.turn, ray.along, way.level, ray.up);
        let fitting = to.antenna.wave_on(to.turn, -ray.along, -way.level, ray.up);
        for (end, wave) in [("the sender", sent), ("the receiver", fitting)] {
            if !wave.power().is_finite() {
                return Err(RadioFault::NoTurn { end });
            }
        }
        let whole = if_it_fitted(sent, fitting);
        let (mut behind, mut left) = (sent, whole);
        for (wall, crossing) in self.crossings(&way) {
            let (after, mean) = wall.after(behind, &crossing, &way, &ray, a, false)?;
            (behind, left) = (after, left * mean);
        }
        let walled = taken_as_built(behind, fitting, left);
        let straight_leaves = self.crowns(&way, &ray, a, false);
        let straight = walled * self.left_by_leaves(&straight_leaves)?;
        let bounced = match &self.ground {
            Some(ground) => Some(self.bounced(ground, [from, to], &way, &ray)?),
            None => None,
        };
        let (distance, plain) = (ray.length, taken_as_built(sent, fitting, whole));
        Ok(Rays { distance, sent, fitting, plain, walled, straight, straight_leaves, bounced })
    }

    /// The ray off the ground.
    fn bounced(
        &self,
        ground: &GroundAt,
        [from, to]: [&End; 2],
        way: &Way,
        straight: &Ray,
    ) -> Result<Bounced, RadioFault> {
        let (a, b) = (way.from.z, way.to.z);
        for height in [a, b] {
            RadioFault::within(
                "height above the ground",
                Metres::new(height),
                Metres::new(0.0),
                Metres::new(1e4),
                "it must stand above the ground",
            )?;
        }
        let (falling, rising) = (way.ray(-(a + b)), way.ray(a + b));
        let sent = from.antenna.wave_on(from.turn, falling.along, way.level, falling.up);
        let (mut wave, mut kept) = (sent, 1.0);
        // Each wall on the side of the bounce where it stands: turned polarisations and the ground do not commute.
        let far = |crossing: &Crossing| a - (a + b) * crossing.part < 0.0;
        let mut beyond = false;
        for (wall, crossing) in self.crossings(way) {
            if far(&crossing) {
                beyond = true;
            } else {
                let (after, mean) = wall.after(wave, &crossing, way, &falling, a, true)?;
                (wave, kept) = (after, kept * mean);
            }
        }
        let sine = (a + b) / falling.length;
        let surface = ground.reflection(sine);
        wave = wave.reflected(surface.across, surface.within);
        kept *= (surface.across.power() * surface.within.power()).sqrt().sqrt();
        if beyond {
            for (wall, crossing) in self.crossings(way).filter(|(_, crossing)| far(crossing)) {
                let (after, mean) = wall.after(wave, &crossing, way, &rising, -a, true)?;
                (wave, kept) = (after, kept * mean);
            }
        }
        let left = self.left_by_leaves(&self.crowns(way, &falling, a, true))?;
        // The difference of two long ways, without losing its digits.
        let longer = 4.0 * a * b / (falling.length + straight.length);
        let late = Complex::quarters(-self.carrier.wave_number() * FRAC_2_PI * longer);
        let fitting = to.antenna.wave_on(to.turn, -rising.along, -way.level, rising.up);
        let taken = taken_as_built(wave, fitting, if_it_fitted(sent, fitting) * kept);
        let taken = taken * late * (straight.length / falling.length * left);
        Ok(Bounced { sine, longer, taken })
    }

    /// The walls that a way crosses, and where.
    fn crossings<'s>(&'s self, way: &'s Way) -> impl Iterator<Item = (&'s WallAt, Crossing)> {
        self.walls.iter().filter_map(|wall| Some((wall, wall.crossing(way)?)))
    }

    /// Metres of leaves along a ray that begins so high, crown by crown.
    fn crowns(&self, way: &Way, ray: &Ray, from: f64, mirrored: bool) -> Vec<f64> {
        let inside = |wood: &Wood| wood.span_on(wood.inside(way)?, from, ray, mirrored);
        let spans = self.woods.iter().filter_map(inside).map(|span| span.map(|part| part * ray.length));
        crowns(spans.collect())
    }

    /// What leaves leave of an amplitude: each crown takes its own.
    fn left_by_leaves(&self, crowns: &[f64]) -> Result<f64, RadioFault> {
        let mut left = 1.0;
        for metres in crowns {
            left *= self.leaves.as_ref().map_err(Clone::clone)?.amplitude(*metres);
        }
        Ok(left)
    }
}

/// Stretches of leaves on a ray, in metres from its beginning, as the depths of crowns: what overlaps, or all but touches, is one crown, and no metre of it
/// counts twice; what stands apart is a crown of its own, which takes as much as if it stood alone.
fn crowns(mut spans: Vec<[f64; 2]>) -> Vec<f64> {
    spans.sort_by(|a, b| a[0].total_cmp(&b[0]));
    let mut merged: Vec<[f64; 2]> = Vec::with_capacity(spans.len());
    for [enter, leave] in spans {
        match merged.last_mut().filter(|last| enter - last[1] < CROWNS_APART) {
            Some(last) => last[1] = last[1].max(leave),
            None => merged.push([enter, leave]),
        }
    }
    merged.into_iter().map(|[enter, leave]| leave - enter).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plain;
    use crate::*;
    use proptest::prelude::*;
    use quantity::{Dbi, Degrees, Megahertz, Millimetres};

    fn carrier() -> Carrier {
        Carrier::new(Megahertz::new(5800.0)).unwrap_or_else(|f| unreachable!("{f}"))
    }
    fn place(at: [f64; 3]) -> Place {
        let [x, y, z] = at.map(Metres::new);
        Place::new(x, y, z).unwrap_or_else(|f| unreachable!("{f}"))
    }
    fn antennas() -> Vec<Antenna> {
        let built = || -> Result<Vec<Antenna>, RadioFault> {
            let beam = Beam::new(Dbi::new(8.0), Degrees::new(70.0), Some(Db::new(15.0)))?;
            let tilted = Polarisation::elliptical(Hand::Left, Db::new(2.0), Degrees::new(30.0))?;
            let flat = Polarisation::linear(Degrees::new(10.0));
            let row =
                |off: f64, gain: f64| MeasuredRow::new(Degrees::new(off), Degrees::new(0.0), Dbi::new(gain));
            let measured =
                MeasuredPattern::new(&[row(0.0, -12.0), row(90.0, 1.0), row(180.0, -14.0)], Db::new(0.5))?;
            Ok(vec![
                Antenna::circular_omni(Hand::Left, Dbi::new(1.2), Db::new(1.5))?,
                Antenna::circular_omni(Hand::Right, Dbi::new(3.0), Db::new(0.0))?,
                Antenna::half_wave_dipole(),
                Antenna::aimed(beam, tilted),
                Antenna::aimed(beam, flat),
                Antenna::measured_on_mast(measured.clone(), tilted),
                Antenna::measured_aimed(measured, flat),
            ])
        };
        built().unwrap_or_else(|f| unreachable!("{f}"))
    }
    /// Four walls of a hut, a bridge that hangs free, a layered wall, a metal fence, a wood and a tree.
    fn scenery() -> Scenery {
        let built = || -> Result<Scenery, RadioFault> {
            let of = |which: usize, mm: f64| Slab::of(Material::ALL[which], Millimetres::new(mm));
            let glass = (Filling::Of(Material::ALL[4]), Millimetres::new(4.0));
            let panes = Slab::new(&[glass, (Filling::Air, Millimetres::new(16.0)), glass])?;
            let wall = |[x, y, z, u, v, top]: [f64; 6], slab: Slab| {
                Wall::new(place([x, y, z]), place([u, v, z]), Metres::new(top), slab)
            };
            Ok(Scenery {
                ground: Some(Ground::new(Material::ALL[11], Metres::new(0.01))?),
                walls: vec![
                    wall([30.0, -8.0, 0.0, 30.0, 6.0, 4.0], of(3, 20.0)?)?,
                    wall([30.0, 6.0, 0.0, 38.0, 7.0, 4.0], of(1, 240.0)?)?,
                    wall([38.0, -8.0, 0.0, 38.0, 6.0, 5.0], of(0, 120.0)?)?,
                    wall([12.0, -9.0, 1.2, 14.0, 9.0, 2.5], of(7, 18.0)?)?,
                    wall([45.0, -3.0, 0.0, 52.0, 12.0, 3.0], panes)?,
                    wall([20.0, -20.0, 0.0, 22.0, -1.0, 2.0], of(9, 2.0)?)?,
                ],
                woods: vec![
                    Wood::new(place([55.0, 3.0, 0.0]), Metres::new(4.0), Metres::new(6.0))?,
                    Wood::new(place([8.0, -2.0, 0.0]), Metres::new(1.5), Metres::new(3.0))?,
                ],
            })
        };
        built().unwrap_or_else(|f| unreachable!("{f}"))
    }

    fn coordinate() -> impl Strategy<Value = f64> {
        prop_oneof![Just(0.0), -20.0..80.0f64]
    }

    #[test]
    fn a_second_tree_takes_as_much_as_the_first_and_an_overlap_counts_once() {
        let end = |x: f64| End {
            antenna: Antenna::half_wave_dipole(),
            turn: Turn::NONE,
            place: place([x, 0.0, 2.0]),
        };
        let lost = |middles: &[f64]| {
            let wood = |x: &f64| Wood::new(place([*x, 0.0, 0.0]), Metres::new(3.0), Metres::new(8.0));
            let woods = middles.iter().map(wood).collect::<Result<Vec<_>, _>>().unwrap_or_default();
            let scenery = Scenery { woods, ..Scenery::default() };
            let told = reception(&end(0.0), &end(80.0), &scenery, carrier());
            told.map_or(f64::NAN, |told| told.leaves.usual.get())
        };
        let one = lost(&[20.0]);
        assert!((11.0..12.0).contains(&one), "{one}");
        assert!((lost(&[20.0, 50.0]) - 2.0 * one).abs() < 1e-9, "{}", lost(&[20.0, 50.0]));
        assert!((lost(&[20.0, 20.0]) - one).abs() < 1e-9);
        // Nine metres of one crown lie between six and two times six.
        let wide = lost(&[20.0, 23.0]);
        assert!(one < wide && wide < 1.5 * one, "{wide}");
    }

    #[test]
    fn what_crossed_antennas_leak_passes_walls_and_ground_as_a_wave_does() {
        // An upright dipole and one that lies square to the way: nothing fits, on either ray, and a wall beside the line changes that by little.
        let end = |roll: f64, at: [f64; 3]| End {
            antenna: Antenna::half_wave_dipole(),
            turn: Turn::new(Degrees::new(0.0), Degrees::new(0.0), Degrees::new(roll)),
            place: place(at),
        };
        let ground = Ground::new(Material::ALL[11], Metres::new(0.01)).ok();
        let slab = Slab::of(Material::ALL[3], Millimetres::new(20.0)).unwrap_or_else(|f| unreachable!("{f}"));
        let beside = Wall::new(place([10.0, 5.0, 0.0]), place([10.0, 12.0, 0.0]), Metres::new(3.0), slab);
        let share = |roll: f64, walls: Vec<Wall>| {
            let scenery = Scenery { ground, walls, woods: Vec::new() };
            let site = Site::new(&scenery, carrier()).unwrap_or_else(|f| unreachable!("{f}"));
            let arrived = site.arrived(&end(0.0, [0.0, 0.0, 2.0]), &end(roll, [25.0, 0.0, 3.0]));
            arrived.unwrap_or_else(|f| unreachable!("{f}")).share
        };
        let wall = || vec![beside.clone().unwrap_or_else(|f| unreachable!("{f}"))];
        let along = 10.0 * share(0.0, Vec::new()).log10();
        for walls in [Vec::new(), wall()] {
            let crossed = 10.0 * share(90.0, walls).log10();
            assert!((25.0..40.0).contains(&(along - crossed)), "{along} {crossed}");
        }
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(2000))]

        #[test]
        fn quick_and_plain_are_one(
            (x, y, z) in (coordinate(), -25.0..25.0f64, 0.0..12.0f64),
            (u, v, w) in (coordinate(), -15.0..15.0f64, prop_oneof![Just(0.0), 0.1..4.0f64]),
            (yaw, pitch, roll) in (-180.0..180.0f64, -90.0..90.0f64, -90.0..90.0f64),
            (one, two) in (0..7usize, 0..7usize), open in any::<bool>(),
        ) {
            let antennas = antennas();
            let turn = Turn::new(Degrees::new(yaw), Degrees::new(pitch), Degrees::new(roll));
            let craft = End { antenna: antennas[one].clone(), turn, place: place([x, y, z]) };
            let pilot = End { antenna: antennas[two].clone(), turn: Turn::NONE, place: place([u, v, w]) };
            prop_assume!(craft.place.distance_to(pilot.place).get() > 0.05);
            let mut scenery = scenery();
            if open {
                scenery.ground = None;
            }
            let (plain, leaks) = plain::amplitude(&craft, &pilot, &scenery, carrier()).unwrap_or_else(|f| unreachable!("{f}"));
            let site = Site::new(&scenery, carrier()).unwrap_or_else(|f| unreachable!("{f}"));
            let rays = site.rays(&craft, &pilot).unwrap_or_else(|f| unreachable!("{f}"));
            // An amplitude of 1e-5, which is 100 dB, is then true to 1e-9 dB. Of what leaks the phase is ill-conditioned.
            let close = 1e-15 + 1e-15f64.max(1e-10 * plain.size());
            prop_assert!(leaks || (rays.all() - plain).size() < close, "{:?} {:?}", rays.all(), plain);
            let arrived = site.arrived(&craft, &pilot).map_or(f64::NAN, |arrived| arrived.total().get());
            let told = reception(&craft, &pilot, &scenery, carrier()).map_or(f64::NAN, |told| told.total.get());
            prop_assert!((arrived - told).abs() < 1e-9, "{arrived} {told}");
        }
    }
}
