//! What one antenna takes of what another sends, term by term?
//!
//! Two rays: the straight one and the one off the ground, each with the gain and polarisation that both antennas have in
//! its direction, through walls and leaves on its way. The amplitude over that of isotropic antennas is
//! λ/(4π)·Σ e^(−jkr)/r·(taken). Its decibels are told apart in the order of a budget: spreading, the gains of both ends along the
//! straight ray, polarisation, walls, leaves, and what the ground adds or takes. The last is what is left over, so the terms add up
//! to the whole exactly.
//!
//! Left out: rays off walls and over roofs with the ground together, and everything that moves (see `fading`).

use crate::air::spreading;
use crate::complex::Complex;
use crate::direction::Triple;
use crate::polarisation::taken;
use crate::{
    Antenna, Carrier, DEEPEST, Direction, Ground, Jones, LossRange, Place, RadioFault, Turn, Wall, Wood,
    loss_of, woodland_loss,
};
use quantity::{Db, Dbi, Degrees, Metres};

/// The most walls and the most woods that a link is computed with.
const OBSTACLES_MAX: usize = 256;
/// No antenna is nearer to another than this.
const NEAR: Metres = Metres::new(0.01);
const FAR: Metres = Metres::new(1e6);

/// An antenna in its place, turned as it stands or flies.
#[derive(Clone, Debug, PartialEq)]
pub struct End {
    /// The antenna.
    pub antenna: Antenna,
    /// How it is turned.
    pub turn: Turn,
    /// Where it is; z above the ground.
    pub place: Place,
}

/// What stands about.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Scenery {
    /// The ground; `None` far above it.
    pub ground: Option<Ground>,
    /// Walls.
    pub walls: Vec<Wall>,
    /// Woods, hedges and trees.
    pub woods: Vec<Wood>,
}

/// The ray off the ground.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bounce {
    /// How steeply it meets the ground.
    pub grazing: Degrees,
    /// How much longer its way is.
    pub longer: Metres,
    /// How far it lies below the straight ray.
    pub below: Db,
}

/// What arrives, term by term. Losses are above nought.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Reception {
    /// The straight way.
    pub distance: Metres,
    /// Loss by spreading.
    pub spreading: Db,
    /// Gain of the sender toward the receiver.
    pub sender: Dbi,
    /// Gain of the receiver toward the sender.
    pub receiver: Dbi,
    /// Loss because the two do not fit in polarisation.
    pub polarisation: Db,
    /// Loss by walls, through, over and round.
    pub walls: Db,
    /// Loss by leaves.
    pub leaves: LossRange,
    /// What the ground adds, or takes if below nought.
    pub ground: Db,
    /// The ray off the ground, where there is one.
    pub bounce: Option<Bounce>,
    /// All together: what arrives over what is sent, below nought.
    pub total: Db,
}

/// What one end takes of what the other sends.
pub fn reception(from: &End, to: &End, scenery: &Scenery, carrier: Carrier) -> Result<Reception, RadioFault> {
    for (what, count) in [("walls", scenery.walls.len()), ("woods", scenery.woods.len())] {
        if count > OBSTACLES_MAX {
            return Err(RadioFault::Count { what, most: OBSTACLES_MAX });
        }
    }
    let distance = from.place.distance_to(to.place);
    RadioFault::within("distance", distance, NEAR, FAR, "move the two antennas apart")?;
    let (a, b) = (from.place.0, to.place.0);

    let straight = Direction(unit(b - a)?);
    let sent = from.antenna.wave(from.turn, straight);
    let fitting = to.antenna.wave(to.turn, straight.opposite());
    for (end, wave) in [("the sender", sent), ("the receiver", fitting)] {
        if !wave.power().is_finite() {
            return Err(RadioFault::NoTurn { end });
        }
    }
    let plain = taken(sent, fitting);
    let walled = taken(through_walls(sent, &scenery.walls, (a, b), false, carrier)?, fitting);
    let leaves = leaves(scenery, &[(a, b)], carrier)?;
    let direct = walled * amplitude(leaves.usual);

    let (bounced, bounce) = match &scenery.ground {
        Some(ground) => {
            let (relative, bounce) = bounced(from, to, ground, scenery, carrier)?;
            let below = Db::new(loss_of(relative.power()).get() - loss_of(direct.power()).get());
            (relative, Some(Bounce { below, ..bounce }))
        }
        None => (Complex::ZERO, None),
    };

    let spreading = spreading(distance.get(), carrier);
    let [sender, receiver] = [sent, fitting].map(|wave| Dbi::new(-loss_of(wave.power()).get()));
    let both = sent.power() * fitting.power();
    let polarisation = if both > 0.0 { loss_of(plain.power() / both) } else { Db::new(0.0) };
    let walls = if plain.power() > 0.0 { loss_of(walled.power() / plain.power()) } else { Db::new(0.0) };
    let arrived = spreading.get() + loss_of((direct + bounced).power()).get();
    let total = Db::new(-arrived.min(DEEPEST.get()));
    let before = sender.get() + receiver.get()
        - spreading.get()
        - polarisation.get()
        - walls.get()
        - leaves.usual.get();
    let ground = Db::new(total.get() - before);
    Ok(Reception {
        distance,
        spreading,
        sender,
        receiver,
        polarisation,
        walls,
        leaves,
        ground,
        bounce,
        total,
    })
}

/// The ray off the ground, over an isotropic pair at the straight distance.
fn bounced(
    from: &End,
    to: &End,
    ground: &Ground,
    scenery: &Scenery,
    carrier: Carrier,
) -> Result<(Complex, Bounce), RadioFault> {
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
    let sent = from.antenna.wave(from.turn, Direction(down));
    // Each wall on the side of the bounce where it stands: turned polarisations and the ground do not commute.
    let first = |wall: &&Wall| wall.crossing_height(a, image).is_some_and(|height| height >= 0.0);
    let (near, far): (Vec<&Wall>, Vec<&Wall>) = scenery.walls.iter().partition(first);
    let falling = through_walls(sent, near, (a, image), true, carrier)?;
    let rising = falling.reflected(surface.across, surface.within);
    let arriving = through_walls(rising, far, (Triple::new(a.x, a.y, -a.z), b), true, carrier)?;
    let share = if a.z + b.z > 0.0 { a.z / (a.z + b.z) } else { 0.5 };
    let foot = a + (image - a) * share;
    let foot = Triple::new(foot.x, foot.y, 0.0);
    let lost = leaves(scenery, &[(a, foot), (foot, b)], carrier)?;
    // The difference of two long ways, without losing its digits.
    let longer = 4.0 * a.z * b.z / (length + direct);
    let late = Complex::phase(-carrier.wave_number() * longer) * (direct / length);
    let relative = to.antenna.takes(to.turn, arriving, up) * late * amplitude(lost.usual);
    let grazing = Degrees::new(sine.clamp(0.0, 1.0).asin().to_degrees());
    Ok((relative, Bounce { grazing, longer: Metres::new(longer), below: Db::new(0.0) }))
}

fn unit(way: Triple) -> Result<Triple, RadioFault> {
    Direction::new(way.x, way.y, way.z).map(|direction| direction.0)
}

fn amplitude(loss: Db) -> f64 {
    10f64.powf(-loss.get() / 20.0)
}

fn through_walls<'a>(
    wave: Jones,
    walls: impl IntoIterator<Item = &'a Wall>,
    (from, to): (Triple, Triple),
    mirrored: bool,
    carrier: Carrier,
) -> Result<Jones, RadioFault> {
    walls.into_iter().try_fold(wave, |wave, wall| wall.after_way(wave, from, to, mirrored, carrier))
}

fn leaves(scenery: &Scenery, ways: &[(Triple, Triple)], carrier: Carrier) -> Result<LossRange, RadioFault> {
    let depth: f64 =
        scenery.woods.iter().flat_map(|wood| ways.iter().map(|(from, to)| wood.depth_of(*from, *to))).sum();
    if depth == 0.0 {
        return Ok(LossRange::default());
    }
    // Past 400 m of leaves no model reaches, and nothing arrives.
    woodland_loss(Metres::new(depth.min(400.0)), carrier)
}
