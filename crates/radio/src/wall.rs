//! What comes through, over and round a wall, and through a wood?
//!
//! A wall is an upright rectangle. Where the way between two ends crosses its plane, the share B of the wavefront that it
//! stands before is (P(left) − P(right))·(P(bottom) − P(top)), P as for one edge (`fresnel`), each edge measured from
//! the crossing, drawn together by the slant. What arrives is (1 − B) past it plus T·B through it, as amplitudes, T for each polarisation by the
//! slab and its angle (Babinet). Adding powers instead would miss by 3 dB and more behind a trunk or a shed.
//!
//! A wall that stands on the ground goes on below: nothing passes under it, and a ground ray meets its mirror image too. A wood is
//! an upright cylinder; each metre of the way inside it counts. Left out: several walls close behind each other (they
//! multiply here; for a roof with two eaves see `edge`), and what walls reflect.

use crate::direction::Triple;
use crate::fresnel::passed;
use crate::{Carrier, Complex, Direction, Jones, Place, RadioFault, Slab};
use quantity::Metres;

const HEIGHT_MAX: Metres = Metres::new(1_000.0);
const WIDTH_MAX: f64 = 10_000.0;

/// An upright rectangular wall.
#[derive(Clone, Debug, PartialEq)]
pub struct Wall {
    /// The bottom of one end.
    start: Triple,
    /// Along it, level, of length one; and square to it.
    along: Triple,
    normal: Triple,
    width: f64,
    top: f64,
    slab: Slab,
}

impl Wall {
    /// Between two places, from the lower of their heights up to a height above the ground.
    pub fn new(from: Place, to: Place, top: Metres, slab: Slab) -> Result<Self, RadioFault> {
        let bottom = from.z().min(to.z());
        let most = Metres::new(WIDTH_MAX);
        let level = Triple::new(to.0.x - from.0.x, to.0.y - from.0.y, 0.0);
        let width = RadioFault::within(
            "width of a wall",
            Metres::new(level.length()),
            Metres::new(0.01),
            most,
            "its two ends must lie apart",
        )?;
        RadioFault::within("top of a wall", top, bottom, HEIGHT_MAX, "it must lie above its bottom")?;
        let along = level * (1.0 / width.get());
        let start = Triple::new(from.0.x, from.0.y, bottom.get());
        Ok(Self { start, along, normal: Triple::Z.cross(along), width: width.get(), top: top.get(), slab })
    }

    /// What it does to a wave that comes from one place along a way to another.
    pub fn after(&self, wave: Jones, from: Place, to: Place, carrier: Carrier) -> Result<Jones, RadioFault> {
        self.after_way(wave, from.0, to.0, false, carrier)
    }

    /// The height at which a way crosses its plane, if it does.
    pub(crate) fn crossing_height(&self, from: Triple, to: Triple) -> Option<f64> {
        let (before, behind) = ((from - self.start).dot(self.normal), (to - self.start).dot(self.normal));
        (before * behind < 0.0).then(|| from.z + (to.z - from.z) * before / (before - behind))
    }

    /// The same; a mirrored way runs on below the ground instead of bouncing off it.
    pub(crate) fn after_way(
        &self,
        wave: Jones,
        from: Triple,
        to: Triple,
        mirrored: bool,
        carrier: Carrier,
    ) -> Result<Jones, RadioFault> {
        let (before, behind) = ((from - self.start).dot(self.normal), (to - self.start).dot(self.normal));
        if before * behind >= 0.0 {
            return Ok(wave);
        }
        let way = to - from;
        let Some(unit) = way.unit() else { return Ok(wave) };
        let part = before / (before - behind);
        let crossing = from + way * part;
        let near = carrier.lambda() / 10.0;
        let (d1, d2) = ((way.length() * part).max(near), (way.length() * (1.0 - part)).max(near));
        let scale = (2.0 / carrier.lambda() * (1.0 / d1 + 1.0 / d2)).sqrt();
        let slanted = |axis: Triple| scale * (1.0 - unit.dot(axis).powi(2)).max(0.0).sqrt();
        let (level, upright) = (slanted(self.along), slanted(Triple::Z));
        let at = (crossing - self.start).dot(self.along);
        let sideways = passed(-at * level) - passed((self.width - at) * level);
        let height = crossing.z;
        let (bottom, top) = match (self.start.z > 0.0, mirrored) {
            // A mirrored way meets what hangs free at its own height.
            (true, _) => (self.start.z, self.top),
            (false, true) => (-self.top, self.top),
            (false, false) => (f64::NEG_INFINITY, self.top),
        };
        let height = if self.start.z > 0.0 { height.abs() } else { height };
        let upward = passed((bottom - height) * upright) - passed((top - height) * upright);
        let blocked = sideways * upward;
        let open = Complex::ONE - blocked;

        let cosine = unit.dot(self.normal).abs().min(1.0);
        let waves = self.slab.waves(cosine, carrier)?;
        // From face to face; the way without the wall would have turned the phase by this much there.
        let back = Complex::phase(carrier.wave_number() * self.slab.thickness() * cosine) * blocked;
        let (first, second) = Direction(unit).basis();
        let square = unit.cross(self.normal).unit().unwrap_or(first);
        let (c, s) = (square.dot(first), square.dot(second));
        let across = (wave.across * c + wave.up * s) * (open + waves.through.across * back);
        let within = (wave.up * c - wave.across * s) * (open + waves.through.within * back);
        Ok(Jones { across: across * c - within * s, up: across * s + within * c })
    }
}

/// A wood, hedge or tree: an upright cylinder of leaves from the ground up.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Wood {
    middle: Triple,
    radius: f64,
    top: f64,
}

impl Wood {
    /// About a place, by its radius and its height above the ground.
    pub fn new(middle: Place, radius: Metres, top: Metres) -> Result<Self, RadioFault> {
        let most = Metres::new(WIDTH_MAX);
        RadioFault::within("radius of a wood", radius, Metres::new(0.01), most, "check the unit")?;
        RadioFault::within("height of a wood", top, Metres::new(0.0), HEIGHT_MAX, "check the unit")?;
        Ok(Self { middle: middle.0, radius: radius.get(), top: top.get() })
    }

    /// How many metres of a way lie in it.
    pub fn depth(&self, from: Place, to: Place) -> Metres {
        Metres::new(self.depth_of(from.0, to.0))
    }

    pub(crate) fn depth_of(&self, from: Triple, to: Triple) -> f64 {
        let (way, off) = (to - from, from - self.middle);
        // Inside the circle: |off + t·way| ≤ radius in the level; below the top: z ≤ top.
        let (a, b) = (way.x * way.x + way.y * way.y, off.x * way.x + off.y * way.y);
        let c = off.x * off.x + off.y * off.y - self.radius * self.radius;
        let (mut enter, mut leave) = (0.0f64, 1.0f64);
        if a > 0.0 {
            let root = b * b - a * c;
            if root <= 0.0 {
                return 0.0;
            }
            (enter, leave) = (enter.max((-b - root.sqrt()) / a), leave.min((-b + root.sqrt()) / a));
        } else if c > 0.0 {
            return 0.0;
        }
        if way.z != 0.0 {
            let meets = (self.top - from.z) / way.z;
            if way.z > 0.0 { leave = leave.min(meets) } else { enter = enter.max(meets) }
        } else if from.z > self.top {
            return 0.0;
        }
        (leave - enter).max(0.0) * way.length()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{Material, Polarisation, edge_loss, loss_of};
    use proptest::prelude::*;
    use quantity::{Megahertz, Millimetres};

    fn carrier() -> Carrier {
        Carrier::new(Megahertz::new(5800.0)).unwrap_or_else(|f| unreachable!("{f}"))
    }
    fn place(x: f64, y: f64, z: f64) -> Place {
        Place(Triple::new(x, y, z))
    }
    fn wall(half: f64, top: f64, material: usize, mm: f64) -> Wall {
        let slab =
            Slab::of(Material::ALL[material], Millimetres::new(mm)).unwrap_or_else(|f| unreachable!("{f}"));
        Wall::new(place(25.0, -half, 0.0), place(25.0, half, 0.0), Metres::new(top), slab)
            .unwrap_or_else(|f| unreachable!("{f}"))
    }
    fn loss(wall: &Wall, from: Place, to: Place) -> f64 {
        let wave = wall
            .after(Polarisation::UPRIGHT.jones(), from, to, carrier())
            .unwrap_or_else(|f| unreachable!("{f}"));
        loss_of(wave.power()).get()
    }
    const METAL: usize = 9;

    #[test]
    fn a_trunk_of_half_a_metre_costs_some_decibels_and_not_all() {
        let trunk = wall(0.25, 12.0, METAL, 5.0);
        let lost = loss(&trunk, place(0.0, 0.0, 2.0), place(50.0, 0.0, 2.0));
        assert!((2.0..8.0).contains(&lost), "{lost}");
    }

    #[test]
    fn a_long_metal_wall_is_one_edge() {
        let fence = wall(5000.0, 4.0, METAL, 5.0);
        let lost = loss(&fence, place(0.0, 0.0, 2.0), place(50.0, 0.0, 2.0));
        let nu = 2.0 * (2.0 / carrier().lambda() * (2.0 / 25.0f64)).sqrt();
        assert!((lost - edge_loss(nu).get()).abs() < 0.05, "{lost}");
    }

    #[test]
    fn a_timber_shed_lets_most_through_and_concrete_makes_it_go_round() {
        let (from, to) = (place(0.0, 0.0, 1.5), place(50.0, 0.0, 1.5));
        let timber = loss(&wall(100.0, 30.0, 3, 20.0), from, to);
        assert!((timber - 0.81).abs() < 0.5, "{timber}");
        let concrete = loss(&wall(3.0, 3.0, 0, 200.0), from, to);
        assert!((8.0..25.0).contains(&concrete), "{concrete}");
    }

    #[test]
    fn a_wall_off_the_way_changes_nothing() {
        let wall = wall(1.0, 3.0, METAL, 5.0);
        assert_eq!(loss(&wall, place(0.0, 0.0, 1.5), place(20.0, 0.0, 1.5)), 0.0);
        assert!(loss(&wall, place(0.0, 80.0, 1.5), place(50.0, 80.0, 1.5)).abs() < 0.1);
        assert!(
            Wall::new(place(0.0, 0.0, 0.0), place(0.0, 0.0, 0.0), Metres::new(2.0), wall.slab.clone())
                .is_err()
        );
    }

    #[test]
    fn a_way_over_a_tree_meets_no_leaves() {
        let tree = Wood::new(place(20.0, 0.0, 0.0), Metres::new(3.0), Metres::new(8.0))
            .unwrap_or_else(|f| unreachable!("{f}"));
        let depth = |from, to| tree.depth(from, to).get();
        assert!((depth(place(0.0, 0.0, 2.0), place(50.0, 0.0, 2.0)) - 6.0).abs() < 1e-9);
        assert_eq!(depth(place(0.0, 0.0, 9.0), place(50.0, 0.0, 9.0)), 0.0);
        assert_eq!(depth(place(0.0, 5.0, 2.0), place(50.0, 5.0, 2.0)), 0.0);
        assert!((depth(place(20.0, 0.0, 0.0), place(20.0, 0.0, 30.0)) - 8.0).abs() < 1e-9);
    }

    proptest! {
        #[test]
        fn a_wall_is_the_same_both_ways(y in -6.0..6.0f64, z in 0.5..6.0f64, far in 40.0..200.0f64, material in 0..10usize) {
            let wall = wall(3.0, 3.0, material, 60.0);
            let (one, two) = (place(0.0, y, z), place(far, -y / 2.0, 2.0));
            let level = Polarisation::linear(quantity::Degrees::new(0.0)).jones();
            for wave in [level, Polarisation::UPRIGHT.jones()] {
                let there = wall.after(wave, one, two, carrier()).map_or(f64::NAN, Jones::power);
                let back = wall.after(wave, two, one, carrier()).map_or(f64::NAN, Jones::power);
                prop_assert!((there - back).abs() < 1e-6, "{there} {back}");
            }
        }
    }
}
