//! What comes through, over and round a wall, and through a wood?
//!
//! A wall is an upright rectangle. Where the way between two ends crosses its plane, the share B of the wavefront that it
//! stands before is (P(left) − P(right))·(P(bottom) − P(top)), P as for one edge (`fresnel`), each edge measured from
//! the crossing, drawn together by the slant. What arrives is (1 − B) past it plus T·B through it, as amplitudes, T for each polarisation by the
//! slab and its angle (Babinet). Adding powers instead would miss by 3 dB and more behind a trunk or a shed.
//!
//! A wall that stands on the ground goes on below: nothing passes under it, and a ground ray meets its mirror image too. A wood is
//! an upright cylinder; each metre of the way inside it counts. Several walls multiply here; how far that is off where two
//! stand in the way is told by `two_walls`. Left out: what walls reflect.

use crate::direction::Triple;
use crate::fresnel::passed;
use crate::slab::SlabAt;
use crate::way::{Ray, Way};
use crate::{Carrier, Complex, Jones, Place, RadioFault, Slab};
use quantity::Metres;

const HEIGHT_MAX: Metres = Metres::new(1_000.0);
const WIDTH_MAX: f64 = 10_000.0;

/// An upright rectangular wall.
#[derive(Clone, Debug, PartialEq)]
pub struct Wall {
    /// The bottom of one end.
    pub(crate) start: Triple,
    /// Along it, level, of length one.
    pub(crate) along: Triple,
    pub(crate) width: f64,
    pub(crate) top: f64,
    pub(crate) slab: Slab,
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
        Ok(Self { start, along, width: width.get(), top: top.get(), slab })
    }

    /// Its two ends seen from above.
    pub fn ends(&self) -> [[Metres; 2]; 2] {
        let (from, along) = (self.start, self.along * self.width);
        [[from.x, from.y], [from.x + along.x, from.y + along.y]].map(|end| end.map(Metres::new))
    }

    /// The same wall from one place to another, standing on the ground.
    pub fn between(&self, from: Place, to: Place) -> Result<Self, RadioFault> {
        Self::new(from, to, Metres::new(self.top), self.slab.clone())
    }

    /// The same wall of another slab.
    pub fn of_slab(&self, slab: Slab) -> Self {
        Self { slab, ..self.clone() }
    }

    /// What it is made of.
    pub const fn slab(&self) -> &Slab {
        &self.slab
    }

    /// What it does to a wave that comes from one place along a way to another.
    pub fn after(&self, wave: Jones, from: Place, to: Place, carrier: Carrier) -> Result<Jones, RadioFault> {
        let (wall, way) = (self.at(carrier), Way::new(from.0, to.0));
        let Some(crossing) = wall.crossing(&way) else { return Ok(wave) };
        let after = wall.after(wave, &crossing, &way, &way.ray(to.0.z - from.0.z), from.0.z, false)?;
        Ok(after.0)
    }

    /// Made ready for a carrier.
    pub(crate) fn at(&self, carrier: Carrier) -> WallAt {
        WallAt {
            start: self.start,
            along: self.along,
            width: self.width,
            top: self.top,
            twice: 2.0 / carrier.lambda(),
            near: carrier.lambda() / 10.0,
            slab: self.slab.at(carrier),
        }
    }
}

/// A wall on one carrier, asked by the thousand.
#[derive(Clone, Debug)]
pub(crate) struct WallAt {
    start: Triple,
    along: Triple,
    width: f64,
    top: f64,
    /// 2/λ and λ/10.
    twice: f64,
    near: f64,
    /// What its stuff is beyond the table only matters to a way that crosses it.
    slab: Result<SlabAt, RadioFault>,
}

/// Where a way crosses a wall, seen from above.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Crossing {
    /// The part of the way that lies before it.
    pub part: f64,
    /// How far along the wall.
    at: f64,
    /// How far the way goes square to the wall, and beside it.
    square: f64,
    beside: f64,
}

impl WallAt {
    /// Put from one place to another.
    pub(crate) fn put(&mut self, from: Place, to: Place) -> Result<(), RadioFault> {
        let level = Triple::new(to.0.x - from.0.x, to.0.y - from.0.y, 0.0);
        let (near, most) = (Metres::new(0.01), Metres::new(WIDTH_MAX));
        let width = Metres::new(level.length());
        let width = RadioFault::within("width of a wall", width, near, most, "its two ends must lie apart")?;
        self.start = Triple::new(from.0.x, from.0.y, from.0.z.min(to.0.z));
        (self.along, self.width) = (level * (1.0 / width.get()), width.get());
        Ok(())
    }

    /// Where a way crosses its plane, if it does.
    #[inline]
    pub(crate) fn crossing(&self, way: &Way) -> Option<Crossing> {
        let (x, y) = (way.from.x - self.start.x, way.from.y - self.start.y);
        let normal = |x: f64, y: f64| self.along.x * y - self.along.y * x;
        let before = normal(x, y);
        let behind = normal(way.to.x - self.start.x, way.to.y - self.start.y);
        if before * behind >= 0.0 {
            return None;
        }
        let part = before / (before - behind);
        let beside = self.along.x * way.x + self.along.y * way.y;
        let at = self.along.x * x + self.along.y * y + beside * part;
        Some(Crossing { part, at, square: behind - before, beside })
    }

    /// Fresnel's parameters of both its ends and its top on a straight ray that begins so high, and what it lets through of an upright
    /// wave; `None` if it hangs free.
    pub(crate) fn stands(
        &self,
        crossing: &Crossing,
        way: &Way,
        ray: &Ray,
        from: f64,
    ) -> Result<Option<([f64; 3], Complex)>, RadioFault> {
        if self.start.z > 0.0 {
            return Ok(None);
        }
        let Crossing { part, at, square, .. } = *crossing;
        let [level, upright] = self.scales(crossing, way, ray);
        let height = from + ray.rise * part;
        let slab = self.slab.as_ref().map_err(Clone::clone)?;
        let through = slab.through((square.abs() / ray.length).min(1.0))?.across;
        Ok(Some(([-at * level, (self.width - at) * level, (self.top - height) * upright], through)))
    }

    /// √(2/λ·(1/d1 + 1/d2)), drawn together by the sine of the angle from the axis along which it is measured: level and upright.
    #[inline]
    fn scales(&self, Crossing { part, beside, .. }: &Crossing, way: &Way, ray: &Ray) -> [f64; 2] {
        let length = ray.length;
        let (d1, d2) = ((length * part).max(self.near), (length * (1.0 - part)).max(self.near));
        let scale = self.twice * (d1 + d2) / (d1 * d2) / (length * length);
        let aside = length * length - beside * beside;
        [(scale * aside.max(0.0)).sqrt(), (scale * way.flat_squared).sqrt()]
    }

    /// What it does to a wave along a ray that begins so high; a mirrored ray runs on below the ground instead of bouncing off it. Beside it
    /// the mean of what it leaves of the two polarisations, the root of their product.
    pub(crate) fn after(
        &self,
        wave: Jones,
        crossing: &Crossing,
        way: &Way,
        ray: &Ray,
        from: f64,
        mirrored: bool,
    ) -> Result<(Jones, f64), RadioFault> {
        let Crossing { part, at, square, beside } = *crossing;
        let length = ray.length;
        let [level, upright] = self.scales(crossing, way, ray);
        let sideways = passed(-at * level) - passed((self.width - at) * level);
        let height = from + ray.rise * part;
        let hangs = self.start.z > 0.0;
        // A mirrored way meets what hangs free at its own height.
        let height = if hangs { height.abs() } else { height };
        let under = match (hangs, mirrored) {
            (true, _) => passed((self.start.z - height) * upright),
            (false, true) => passed((-self.top - height) * upright),
            (false, false) => Complex::ONE,
        };
        let blocked = sideways * (under - passed((self.top - height) * upright));
        let open = Complex::ONE - blocked;
        let slab = self.slab.as_ref().map_err(Clone::clone)?;
        let through = slab.through((square.abs() / length).min(1.0))?;
        let (across, within) = (open + through.across * blocked, open + through.within * blocked);
        let mean = (across.power() * within.power()).sqrt().sqrt();
        // The plane of incidence is turned against the upright one by an angle: cos² and sin², and their product.
        let (rise, long) = (ray.rise * square, beside * length);
        let both = rise * rise + long * long;
        if both <= 1e-18 * length.powi(4) {
            return Ok((Jones { across: wave.across * across, up: wave.up * within }, mean));
        }
        let (c2, s2, cs) = (rise * rise / both, long * long / both, rise * long / both);
        let mixed = (across - within) * cs;
        let after = Jones {
            across: wave.across * (across * c2 + within * s2) + wave.up * mixed,
            up: wave.up * (across * s2 + within * c2) + wave.across * mixed,
        };
        Ok((after, mean))
    }
}

/// A wood, hedge or tree: an upright cylinder of leaves from the ground up.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Wood {
    pub(crate) middle: Triple,
    pub(crate) radius: f64,
    pub(crate) top: f64,
}

impl Wood {
    /// About a place, by its radius and its height above the ground.
    pub fn new(middle: Place, radius: Metres, top: Metres) -> Result<Self, RadioFault> {
        let most = Metres::new(WIDTH_MAX);
        RadioFault::within("radius of a wood", radius, Metres::new(0.01), most, "check the unit")?;
        RadioFault::within("height of a wood", top, Metres::new(0.0), HEIGHT_MAX, "check the unit")?;
        Ok(Self { middle: middle.0, radius: radius.get(), top: top.get() })
    }

    /// The same wood about another place.
    pub fn about(&self, middle: Place) -> Self {
        Self { middle: middle.0, ..*self }
    }

    /// Its middle seen from above.
    pub fn middle(&self) -> [Metres; 2] {
        [self.middle.x, self.middle.y].map(Metres::new)
    }

    /// How far it reaches round its middle.
    pub const fn radius(&self) -> Metres {
        Metres::new(self.radius)
    }

    /// How many metres of a way lie in it.
    pub fn depth(&self, from: Place, to: Place) -> Metres {
        let way = Way::new(from.0, to.0);
        let ray = way.ray(to.0.z - from.0.z);
        let span = self.inside(&way).and_then(|parts| self.span_on(parts, from.0.z, &ray, false));
        Metres::new(span.map_or(0.0, |[enter, leave]| (leave - enter) * ray.length))
    }

    /// The parts of a way between which it lies inside the circle, seen from above.
    #[inline]
    pub(crate) fn inside(&self, way: &Way) -> Option<[f64; 2]> {
        // |off + t·way| ≤ radius.
        let (x, y) = (way.from.x - self.middle.x, way.from.y - self.middle.y);
        let b = x * way.x + y * way.y;
        let c = x * x + y * y - self.radius * self.radius;
        // All of the way lies outside if it begins there and goes away.
        if c > 0.0 && b >= 0.0 {
            return None;
        }
        if way.flat_squared == 0.0 {
            return Some([0.0, 1.0]);
        }
        let root = b * b - way.flat_squared * c;
        if root <= 0.0 {
            return None;
        }
        let (root, over) = (root.sqrt(), 1.0 / way.flat_squared);
        let (enter, leave) = (((-b - root) * over).max(0.0), ((-b + root) * over).min(1.0));
        (enter < leave).then_some([enter, leave])
    }

    /// The parts of the way between which a ray that begins so high lies in it, of those where it lies inside the circle; `None` where it nowhere does.
    pub(crate) fn span_on(
        &self,
        [mut enter, mut leave]: [f64; 2],
        from: f64,
        ray: &Ray,
        mirrored: bool,
    ) -> Option<[f64; 2]> {
        // Below the top, and above its mirror image.
        let heights = [self.top, if mirrored { -self.top } else { f64::NEG_INFINITY }];
        if ray.rise == 0.0 {
            if from > self.top {
                return None;
            }
        } else {
            let [top, bottom] = heights.map(|height| (height - from) / ray.rise);
            (enter, leave) = (enter.max(top.min(bottom)), leave.min(top.max(bottom)));
        }
        (enter < leave).then_some([enter, leave])
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
