//! A link made ready for one attitude, to be asked at thousands of places.
//!
//! What does not hang on the place is worked out once: how the antennas are turned, what their feeds take, what ground and walls do on this
//! carrier, what air takes a metre.

use super::Link;
use super::at::Attitude;
use quantity::{Db, Dbm, Degrees, Metres};
use radio::{DEEPEST, Direction, End, Place, RadioFault, Site, gas_loss, rain_loss};

/// Less of the power than this is told apart from nothing nowhere: [`radio::DEEPEST`] as a ratio.
const NOTHING: f64 = 1e-30;
/// What gas is tabled for, in MHz.
const GAS: std::ops::RangeInclusive<f64> = 5000.0..=6000.0;
/// Rain falls on circular waves as on slanting ones.
const RAIN_TILT: Degrees = Degrees::new(45.0);

/// One antenna of the craft.
struct Sender {
    end: End,
    /// Where it lies from the craft's origin, in metres, turned as the craft is.
    off: [f64; 3],
    /// What its feed takes.
    lost: Db,
}

/// A link made ready.
pub(super) struct Ready<'l> {
    link: &'l Link,
    senders: Vec<Sender>,
    /// The station's antennas, and what their feeds take.
    grounds: Vec<(End, Db)>,
    site: Site,
    /// What air takes, a metre.
    air: f64,
}

/// What is in hand at one antenna of the station.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct InHand {
    /// As it is.
    pub margin: Db,
    /// At the bottom of the lobes of the ground.
    pub bottom: Db,
}

impl<'l> Ready<'l> {
    pub fn new(link: &'l Link, attitude: Attitude) -> Result<Self, RadioFault> {
        let turn = attitude.turn();
        let axes =
            [Direction::FORWARD, Direction::LEFT, Direction::UP].map(|axis| turn.outward(axis).coordinates());
        let ground = Place::new(Metres::new(0.0), Metres::new(0.0), Metres::new(0.0))?;
        let senders = link.senders.iter().map(|mounted| {
            let [x, y, z] = mounted.place;
            let end = End { antenna: mounted.antenna.clone(), turn: turn.after(mounted.turn), place: ground };
            let off = std::array::from_fn(|n| axes[0][n] * x + axes[1][n] * y + axes[2][n] * z);
            Sender { end, off, lost: mounted.feed_loss().usual }
        });
        let grounds = link.grounds.iter().map(|antenna| {
            let [x, y, z] = antenna.place.map(Metres::new);
            let end =
                End { antenna: antenna.antenna.clone(), turn: antenna.turn, place: Place::new(x, y, z)? };
            Ok((end, antenna.feed_loss().usual))
        });
        let (senders, grounds) = (senders.collect(), grounds.collect::<Result<_, RadioFault>>()?);
        let site = Site::new(&link.scenery, link.carrier)?;
        Ok(Self { link, senders, grounds, site, air: air_a_metre(link)? })
    }

    /// For each antenna of the station what is in hand with the craft at a place, its level and what it shadows given.
    pub fn in_hand(&mut self, craft: Place, level: Dbm, shadows: &[Db]) -> Result<Vec<InHand>, RadioFault> {
        if let Some(between) = self.link.between {
            between.put(&mut self.site, self.link.half_way(craft)?)?;
        }
        let [x, y, z] = [craft.x(), craft.y(), craft.z()].map(Metres::get);
        for sender in &mut self.senders {
            let [a, b, c] = sender.off;
            sender.end.place = Place::new(Metres::new(x + a), Metres::new(y + b), Metres::new(z + c))?;
        }
        let share = self.link.shared(level);
        let needed = self.link.threshold.level;
        let mut found = Vec::with_capacity(self.grounds.len());
        for (end, lost_there) in &self.grounds {
            let (mut power, mut bottom) = (0.0, 0.0);
            for (sender, shadow) in self.senders.iter().zip(shadows) {
                let path = self.site.arrived(&sender.end, end)?;
                let lost = sender.lost + *lost_there + *shadow + Db::new(self.air * path.distance.get());
                let sent = (share - lost).power().get();
                power += sent * path.share.max(NOTHING);
                bottom += sent * path.bottom.max(NOTHING);
            }
            let margin = |power: f64| Dbm::new(10.0 * power.max(f64::MIN_POSITIVE).log10()) - needed;
            found.push(InHand { margin: margin(power), bottom: margin(bottom) });
        }
        Ok(found)
    }
}

/// Gas and rain, in decibels a metre: both grow with the distance alone.
fn air_a_metre(link: &Link) -> Result<f64, RadioFault> {
    let (km, rain) = (Metres::new(1000.0), link.weather.rain_mm_per_hour);
    let gas = if GAS.contains(&link.carrier.frequency().get()) {
        gas_loss(km, link.carrier)?
    } else {
        Db::new(0.0)
    };
    let rain = if rain == 0.0 { Db::new(0.0) } else { rain_loss(km, rain, RAIN_TILT, link.carrier)? };
    Ok((gas + rain).get().min(DEEPEST.get()) * 1e-3)
}

/// Something that always stands half way between the craft and the station: the last of what stands about.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Between {
    /// A tree.
    Tree,
    /// A wall of a width, square to the way.
    Wall(Metres),
}

/// The middle of the way on the ground, and along it, level.
pub(super) struct HalfWay {
    pub middle: Place,
    along: [f64; 2],
}

impl HalfWay {
    /// The ends of what is so wide and stands square to the way.
    pub fn square(&self, width: Metres) -> Result<[Place; 2], RadioFault> {
        let half = width.get() / 2.0;
        let [x, y] = [self.middle.x().get(), self.middle.y().get()];
        let end = |side: f64| {
            let (x, y) = (x - side * self.along[1] * half, y + side * self.along[0] * half);
            Place::new(Metres::new(x), Metres::new(y), Metres::new(0.0))
        };
        Ok([end(-1.0)?, end(1.0)?])
    }
}

impl Between {
    fn put(self, site: &mut Site, half_way: HalfWay) -> Result<(), RadioFault> {
        match self {
            Between::Tree => site.put_last_wood(half_way.middle),
            Between::Wall(width) => {
                let [from, to] = half_way.square(width)?;
                site.put_last_wall(from, to)?;
            }
        }
        Ok(())
    }
}

impl Link {
    /// The middle of the way from where the station's antennas stand, as a mean, to a craft.
    pub(super) fn half_way(&self, craft: Place) -> Result<HalfWay, RadioFault> {
        let count = self.grounds.len().max(1) as f64;
        let mean = |axis: usize| self.grounds.iter().map(|ground| ground.place[axis]).sum::<f64>() / count;
        let (x, y) = (craft.x().get() - mean(0), craft.y().get() - mean(1));
        let long = x.hypot(y);
        let along = if long > 1e-6 { [x / long, y / long] } else { [1.0, 0.0] };
        let middle =
            Place::new(Metres::new(mean(0) + 0.5 * x), Metres::new(mean(1) + 0.5 * y), Metres::new(0.0))?;
        Ok(HalfWay { middle, along })
    }

    /// What stands about with the craft at a place.
    pub(super) fn scenery_with(
        &self,
        craft: Place,
    ) -> Result<std::borrow::Cow<'_, radio::Scenery>, RadioFault> {
        let Some(between) = self.between else { return Ok(std::borrow::Cow::Borrowed(&self.scenery)) };
        let (mut scenery, half_way) = (self.scenery.clone(), self.half_way(craft)?);
        match between {
            Between::Tree => {
                if let Some(wood) = scenery.woods.last_mut() {
                    *wood = wood.about(half_way.middle);
                }
            }
            Between::Wall(width) => {
                if let Some(wall) = scenery.walls.last_mut() {
                    let [from, to] = half_way.square(width)?;
                    *wall = wall.between(from, to)?;
                }
            }
        }
        Ok(std::borrow::Cow::Owned(scenery))
    }

    /// The walls and woods that stand where they stand.
    pub(super) fn that_stand_still(&self) -> (&[radio::Wall], &[radio::Wood]) {
        let (walls, woods) = (&self.scenery.walls[..], &self.scenery.woods[..]);
        match self.between {
            None => (walls, woods),
            Some(Between::Tree) => (walls, &woods[..woods.len().saturating_sub(1)]),
            Some(Between::Wall(_)) => (&walls[..walls.len().saturating_sub(1)], woods),
        }
    }
}
