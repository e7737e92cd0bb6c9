//! The model of `reception` in its plainest form, to hold the quick one (`site`) against: each ray by its places in space, every field as
//! three components, Fresnel's integral by its exact forms, every slab by the recursion.

use crate::antenna::Pattern;
use crate::complex::Complex;
use crate::direction::Triple;
use crate::fresnel::passed_exactly as passed;
use crate::polarisation::{PUREST, if_it_fitted, taken_as_built};
use crate::site::CROWNS_APART;
use crate::{
    Antenna, Carrier, Direction, End, Ground, Jones, Polarisation, RadioFault, Scenery, Turn, Wall, Wood,
    woodland_loss,
};
use quantity::{Db, Degrees, Metres};

/// Both rays together, over isotropic antennas at the straight distance; and whether what is taken of a ray is what leaks across, whose
/// phase hangs on the last digits.
pub(crate) fn amplitude(
    from: &End,
    to: &End,
    scenery: &Scenery,
    carrier: Carrier,
) -> Result<(Complex, bool), RadioFault> {
    let (a, b) = (from.place.0, to.place.0);
    let straight = Direction(unit(b - a)?);
    let sent = wave(&from.antenna, from.turn, straight);
    let fitting = wave(&to.antenna, to.turn, straight.opposite());
    let (behind, mean) = through_walls(sent, &scenery.walls, (a, b), false, carrier)?;
    let whole = if_it_fitted(sent, fitting) * mean;
    let walled = taken_as_built(behind, fitting, whole);
    let leaks = walled.size() < LEAKS * whole;
    let direct = walled * amplitude_of(leaves(scenery, &[(a, b)], carrier)?);
    Ok(match &scenery.ground {
        Some(ground) => {
            let (bounced, too) = bounced(from, to, ground, scenery, carrier)?;
            (direct + bounced, leaks || too)
        }
        None => (direct, leaks),
    })
}

/// Under so much of what would be taken it is what leaks.
const LEAKS: f64 = 1.000_001 * PUREST;

/// The ray off the ground, over an isotropic pair at the straight distance.
fn bounced(
    from: &End,
    to: &End,
    ground: &Ground,
    scenery: &Scenery,
    carrier: Carrier,
) -> Result<(Complex, bool), RadioFault> {
    let (a, b) = (from.place.0, to.place.0);
    for end in [from, to] {
        let most = Metres::new(1e4);
        RadioFault::within(
            "height above the ground",
            end.place.z(),
            Metres::new(0.0),
            most,
            "it must stand above the ground",
        )?;
    }
    let image = Triple::new(b.x, b.y, -b.z);
    let (direct, length) = ((b - a).length(), (image - a).length());
    let down = unit(image - a)?;
    let up = Direction(Triple::new(down.x, down.y, -down.z));
    let sine = (a.z + b.z) / length;
    let surface = ground.at_sine(sine, carrier)?;
    let sent = wave(&from.antenna, from.turn, Direction(down));
    // Each wall on the side of the bounce where it stands: turned polarisations and the ground do not commute.
    let first = |wall: &&Wall| crossing_height(wall, a, image).is_some_and(|height| height >= 0.0);
    let (near, far): (Vec<&Wall>, Vec<&Wall>) = scenery.walls.iter().partition(first);
    let (falling, before) = through_walls(sent, near, (a, image), true, carrier)?;
    let rising = falling.reflected(surface.across, surface.within);
    let (arriving, behind) = through_walls(rising, far, (Triple::new(a.x, a.y, -a.z), b), true, carrier)?;
    let mean = before * behind * (surface.across.power() * surface.within.power()).powf(0.25);
    let share = if a.z + b.z > 0.0 { a.z / (a.z + b.z) } else { 0.5 };
    let foot = a + (image - a) * share;
    let foot = Triple::new(foot.x, foot.y, 0.0);
    let lost = leaves(scenery, &[(a, foot), (foot, b)], carrier)?;
    // The difference of two long ways, without losing its digits.
    let longer = 4.0 * a.z * b.z / (length + direct);
    let late = Complex::phase(-carrier.wave_number() * longer) * (direct / length);
    let fitting = wave(&to.antenna, to.turn, up.opposite());
    let whole = if_it_fitted(sent, fitting) * mean;
    let taken = taken_as_built(arriving, fitting, whole);
    Ok((taken * late * amplitude_of(lost), taken.size() < LEAKS * whole))
}

fn unit(way: Triple) -> Result<Triple, RadioFault> {
    Direction::new(way.x, way.y, way.z).map(|direction| direction.0)
}

fn amplitude_of(loss: Db) -> f64 {
    10f64.powf(-loss.get() / 20.0)
}

fn through_walls<'a>(
    wave: Jones,
    walls: impl IntoIterator<Item = &'a Wall>,
    (from, to): (Triple, Triple),
    mirrored: bool,
    carrier: Carrier,
) -> Result<(Jones, f64), RadioFault> {
    walls.into_iter().try_fold((wave, 1.0), |(wave, mean), wall| {
        let (wave, left) = after_way(wall, wave, from, to, mirrored, carrier)?;
        Ok((wave, mean * left))
    })
}

/// What crowns along some ways, one after the other, take: by the places where one comes into leaves and out of them, in order.
fn leaves(scenery: &Scenery, ways: &[(Triple, Triple)], carrier: Carrier) -> Result<Db, RadioFault> {
    let mut begun = 0.0;
    let mut borders: Vec<(f64, i32)> = Vec::new();
    for (from, to) in ways {
        for wood in &scenery.woods {
            if let Some([enter, leave]) = within(wood, *from, *to) {
                borders.extend([(begun + enter, 1), (begun + leave + CROWNS_APART, -1)]);
            }
        }
        begun += (*to - *from).length();
    }
    borders.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
    let (mut inside, mut since, mut lost) = (0, 0.0, Db::new(0.0));
    for (at, change) in borders {
        if inside == 0 {
            since = at;
        }
        inside += change;
        if inside == 0 {
            // Past 400 m of leaves no model reaches, and nothing arrives.
            let depth = (at - CROWNS_APART - since).clamp(0.0, 400.0);
            lost = lost + woodland_loss(Metres::new(depth), carrier)?.usual;
        }
    }
    Ok(lost)
}

/// The height at which a way crosses its plane, if it does.
fn crossing_height(wall: &Wall, from: Triple, to: Triple) -> Option<f64> {
    let (before, behind) = ((from - wall.start).dot(normal(wall)), (to - wall.start).dot(normal(wall)));
    (before * behind < 0.0).then(|| from.z + (to.z - from.z) * before / (before - behind))
}

/// The same; a mirrored way runs on below the ground instead of bouncing off it.
fn after_way(
    wall: &Wall,
    wave: Jones,
    from: Triple,
    to: Triple,
    mirrored: bool,
    carrier: Carrier,
) -> Result<(Jones, f64), RadioFault> {
    let (before, behind) = ((from - wall.start).dot(normal(wall)), (to - wall.start).dot(normal(wall)));
    if before * behind >= 0.0 {
        return Ok((wave, 1.0));
    }
    let way = to - from;
    let Some(unit) = way.unit() else { return Ok((wave, 1.0)) };
    let part = before / (before - behind);
    let crossing = from + way * part;
    let near = carrier.lambda() / 10.0;
    let (d1, d2) = ((way.length() * part).max(near), (way.length() * (1.0 - part)).max(near));
    let scale = (2.0 / carrier.lambda() * (1.0 / d1 + 1.0 / d2)).sqrt();
    let slanted = |axis: Triple| scale * (1.0 - unit.dot(axis).powi(2)).max(0.0).sqrt();
    let (level, upright) = (slanted(wall.along), slanted(Triple::Z));
    let at = (crossing - wall.start).dot(wall.along);
    let sideways = passed(-at * level) - passed((wall.width - at) * level);
    let height = crossing.z;
    let (bottom, top) = match (wall.start.z > 0.0, mirrored) {
        // A mirrored way meets what hangs free at its own height.
        (true, _) => (wall.start.z, wall.top),
        (false, true) => (-wall.top, wall.top),
        (false, false) => (f64::NEG_INFINITY, wall.top),
    };
    let height = if wall.start.z > 0.0 { height.abs() } else { height };
    let upward = passed((bottom - height) * upright) - passed((top - height) * upright);
    let blocked = sideways * upward;
    let open = Complex::ONE - blocked;

    let cosine = unit.dot(normal(wall)).abs().min(1.0);
    let waves = wall.slab.waves(cosine, carrier)?;
    // From face to face; the way without the wall would have turned the phase by this much there.
    let back = Complex::phase(carrier.wave_number() * wall.slab.thickness() * cosine) * blocked;
    let (first, second) = Direction(unit).basis();
    let square = unit.cross(normal(wall)).unit().unwrap_or(first);
    let (c, s) = (square.dot(first), square.dot(second));
    let passing = [open + waves.through.across * back, open + waves.through.within * back];
    let across = (wave.across * c + wave.up * s) * passing[0];
    let within = (wave.up * c - wave.across * s) * passing[1];
    let mean = passing.iter().map(|part| part.power()).product::<f64>().powf(0.25);
    Ok((Jones { across: across * c - within * s, up: across * s + within * c }, mean))
}

fn normal(wall: &Wall) -> Triple {
    Triple::Z.cross(wall.along)
}

/// Where along a way one comes into a wood and out of it, in metres.
fn within(wood: &Wood, from: Triple, to: Triple) -> Option<[f64; 2]> {
    let (way, off) = (to - from, from - wood.middle);
    // Inside the circle: |off + t·way| ≤ radius in the level; below the top: z ≤ top.
    let (a, b) = (way.x * way.x + way.y * way.y, off.x * way.x + off.y * way.y);
    let c = off.x * off.x + off.y * off.y - wood.radius * wood.radius;
    let (mut enter, mut leave) = (0.0f64, 1.0f64);
    if a > 0.0 {
        let root = b * b - a * c;
        if root <= 0.0 {
            return None;
        }
        (enter, leave) = (enter.max((-b - root.sqrt()) / a), leave.min((-b + root.sqrt()) / a));
    } else if c > 0.0 {
        return None;
    }
    if way.z != 0.0 {
        let meets = (wood.top - from.z) / way.z;
        if way.z > 0.0 { leave = leave.min(meets) } else { enter = enter.max(meets) }
    } else if from.z > wood.top {
        return None;
    }
    (enter < leave).then(|| [enter, leave].map(|part| part * way.length()))
}

/// The field it sends in one of its own directions; its power is the gain there.
fn field(antenna: &Antenna, own: Direction) -> Field {
    let size = antenna.power_gain(own).sqrt();
    let jones = antenna.polarisation().jones();
    let (level, up) = own.basis();
    let unit = match &antenna.pattern {
        Pattern::HalfWave | Pattern::Belt { .. } | Pattern::MeasuredMast(_) => Field::of(jones, level, up),
        Pattern::Beam(_) | Pattern::MeasuredAim(_) => {
            let currents = Field::of(jones, Triple::Y, Triple::Z);
            let sent = currents.square_to(own.0);
            // Along a linear current nothing is sent; the pattern's share there has the level polarisation.
            sent.unit()
                .unwrap_or_else(|| Field::of(Polarisation::linear(Degrees::new(0.0)).jones(), level, up))
        }
    };
    unit.times(size)
}

/// The wave it sends in a direction of the site, once turned: its power is the gain, its parts level and up.
fn wave(antenna: &Antenna, turn: Turn, toward: Direction) -> Jones {
    let field = field(antenna, turn.inward(toward)).turned(turn);
    let (level, up) = toward.basis();
    Jones { across: field.along(level), up: field.along(up) }
}

/// A complex field with three components.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Field([Complex; 3]);

impl Field {
    fn of(jones: Jones, first: Triple, second: Triple) -> Self {
        let part = |a: f64, b: f64| jones.across * a + jones.up * b;
        Self([part(first.x, second.x), part(first.y, second.y), part(first.z, second.z)])
    }
    fn along(self, axis: Triple) -> Complex {
        self.0[0] * axis.x + self.0[1] * axis.y + self.0[2] * axis.z
    }
    fn square_to(self, d: Triple) -> Self {
        let along = self.along(d);
        Self([self.0[0] - along * d.x, self.0[1] - along * d.y, self.0[2] - along * d.z])
    }
    fn times(self, k: f64) -> Self {
        Self(self.0.map(|part| part * k))
    }
    fn unit(self) -> Option<Self> {
        let size = self.0.iter().map(|part| part.power()).sum::<f64>().sqrt();
        (size > 1e-9).then(|| self.times(1.0 / size))
    }
    fn turned(self, turn: Turn) -> Self {
        let part = |pick: fn(Complex) -> f64| {
            turn.turned(Triple::new(pick(self.0[0]), pick(self.0[1]), pick(self.0[2])))
        };
        let (re, im) = (part(|c| c.re), part(|c| c.im));
        Self([Complex::new(re.x, im.x), Complex::new(re.y, im.y), Complex::new(re.z, im.z)])
    }
}
