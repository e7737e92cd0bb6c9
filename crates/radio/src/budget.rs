//! What margin does a link have, as a sum of signed terms?
//!
//! Received = level − feed + gain − spreading − gas − rain − polarisation − shadows − walls − leaves ± ground + gain − feed (Friis 1946);
//! margin = received − threshold. Each term is signed as it changes the level, in the order in which the wave meets it, so
//! that a running total can be drawn. A term that is only known between two ends stands at its usual value and brings its
//! range along; all ranges together give the band of doubt that comes from phase and state, not from data sheets.

use crate::{
    Carrier, End, Feed, FeedLoss, LossRange, RadioFault, Reception, Scenery, gas_loss, noise_floor,
    rain_loss, reception,
};
use quantity::{Db, Dbm, Degrees, Grade, Megahertz, Source};

/// Where the sum comes from.
pub const BUDGET_SOURCE: Source = Source {
    title: "Friis, A note on a simple transmission formula, Proc. IRE 34 (1946)",
    place: "equation 1, in decibels with the usual losses beside it",
    grade: Grade::Memory,
};

/// The most screens on a craft.
const SHADOW_LIMIT: Db = Db::new(100.0);

/// One part of a budget.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Part {
    /// Coax, joints and mismatch of the sender.
    SenderFeed,
    /// The sending antenna, toward the receiver.
    SenderGain,
    /// What the sender's own craft takes of the ray.
    SenderShadow,
    /// Spreading in free space.
    Spreading,
    /// Dry air and vapour.
    Gas,
    /// Rain.
    Rain,
    /// Hand, axial ratio and tilt.
    Polarisation,
    /// Through, over and round walls.
    Walls,
    /// Leaves.
    Leaves,
    /// What the ground adds or takes.
    Ground,
    /// What stands about the receiving antenna.
    ReceiverShadow,
    /// The receiving antenna, toward the sender.
    ReceiverGain,
    /// Coax, joints and mismatch of the receiver.
    ReceiverFeed,
}

impl Part {
    /// The part in words.
    pub const fn words(self) -> &'static str {
        match self {
            Part::SenderFeed => "feed of the sender",
            Part::SenderGain => "antenna of the sender",
            Part::SenderShadow => "shadow at the sender",
            Part::Spreading => "spreading in free space",
            Part::Gas => "air",
            Part::Rain => "rain",
            Part::Polarisation => "polarisation",
            Part::Walls => "walls",
            Part::Leaves => "leaves",
            Part::Ground => "ground",
            Part::ReceiverShadow => "shadow at the receiver",
            Part::ReceiverGain => "antenna of the receiver",
            Part::ReceiverFeed => "feed of the receiver",
        }
    }
}

/// A signed term: above nought it helps.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BudgetTerm {
    /// Of what.
    pub part: Part,
    /// How it changes the level.
    pub change: Db,
    /// How much worse it may be.
    pub worse: Db,
    /// How much better it may be.
    pub better: Db,
}

impl BudgetTerm {
    fn known(part: Part, change: Db) -> Self {
        Self { part, change, worse: Db::new(0.0), better: Db::new(0.0) }
    }
    fn loss(part: Part, range: LossRange) -> Self {
        Self {
            part,
            change: -range.usual,
            worse: range.most - range.usual,
            better: range.usual - range.least,
        }
    }
}

/// One end with its radio.
#[derive(Clone, Debug, PartialEq)]
pub struct Station {
    /// Antenna, turn and place.
    pub end: End,
    /// What lies between radio and antenna.
    pub feed: Feed,
    /// What its own craft, or a body, takes of the ray: see `Screen`.
    pub shadow: Db,
}

/// What the receiver needs at its socket.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Threshold {
    /// Measured on the unit, or from its sheet.
    Stated(Dbm),
    /// From noise bandwidth, figure, and the ratio that the mode needs.
    OverNoise {
        /// Noise bandwidth.
        bandwidth: Megahertz,
        /// Noise figure.
        figure: Db,
        /// Needed over the floor.
        ratio: Db,
    },
}

impl Threshold {
    /// The level.
    pub fn level(self) -> Result<Dbm, RadioFault> {
        match self {
            Threshold::Stated(level) => {
                RadioFault::within("threshold", level, Dbm::new(-150.0), Dbm::new(0.0), "check the sign")
            }
            Threshold::OverNoise { bandwidth, figure, ratio } => {
                RadioFault::within(
                    "ratio over noise",
                    ratio,
                    Db::new(-30.0),
                    Db::new(60.0),
                    "check the mode",
                )?;
                Ok(noise_floor(bandwidth, figure)? + ratio)
            }
        }
    }
}

/// A budget, term by term.
#[derive(Clone, Debug, PartialEq)]
pub struct Budget {
    /// At the sender's socket.
    pub level: Dbm,
    /// In the order in which the wave meets them.
    pub terms: Vec<BudgetTerm>,
    /// What the receiver needs.
    pub threshold: Dbm,
    /// What the path is made of.
    pub reception: Reception,
    /// The sender's feed, apart.
    pub sender_feed: FeedLoss,
    /// The receiver's feed, apart.
    pub receiver_feed: FeedLoss,
}

impl Budget {
    /// What arrives at the receiver's socket.
    pub fn received(&self) -> Dbm {
        self.terms.iter().fold(self.level, |level, term| level + term.change)
    }
    /// The level after each term.
    pub fn running(&self) -> impl Iterator<Item = (Part, Dbm)> {
        self.terms.iter().scan(self.level, |level, term| {
            *level = *level + term.change;
            Some((term.part, *level))
        })
    }
    /// What arrives beyond what is needed.
    pub fn margin(&self) -> Db {
        self.received() - self.threshold
    }
    /// The margin with every range at its worst and at its best.
    pub fn margin_range(&self) -> (Db, Db) {
        let sum =
            |of: fn(&BudgetTerm) -> Db| self.terms.iter().map(of).fold(Db::new(0.0), |sum, more| sum + more);
        (self.margin() - sum(|term| term.worse), self.margin() + sum(|term| term.better))
    }
}

/// The air between.
#[derive(Clone, Copy, Debug, PartialEq, Default)]
pub struct Weather {
    /// Rain in millimetres an hour; a shower brings 10, a cloudburst 100.
    pub rain_mm_per_hour: f64,
}

/// The budget of a link.
pub fn budget(
    level: Dbm,
    [sender, receiver]: [&Station; 2],
    threshold: Threshold,
    scenery: &Scenery,
    weather: Weather,
    carrier: Carrier,
) -> Result<Budget, RadioFault> {
    RadioFault::within("level of the sender", level, Dbm::new(-60.0), Dbm::new(60.0), "check the unit")?;
    for station in [sender, receiver] {
        RadioFault::within(
            "shadow",
            station.shadow,
            Db::new(-6.0),
            SHADOW_LIMIT,
            "count a loss above nought",
        )?;
    }
    let threshold = threshold.level()?;
    let path = reception(&sender.end, &receiver.end, scenery, carrier)?;
    let (sender_feed, receiver_feed) = (sender.feed.loss(carrier)?, receiver.feed.loss(carrier)?);
    let in_table = (5000.0..=6000.0).contains(&carrier.frequency().get());
    // Beyond the table air costs less than a hundredth of a decibel a kilometre below it, and no such unit flies above it.
    let gas = if in_table { gas_loss(path.distance, carrier)? } else { Db::new(0.0) };
    let rain = if weather.rain_mm_per_hour == 0.0 {
        Db::new(0.0)
    } else {
        rain_loss(path.distance, weather.rain_mm_per_hour, Degrees::new(45.0), carrier)?
    };
    let known = BudgetTerm::known;
    let terms = vec![
        BudgetTerm::loss(Part::SenderFeed, sender_feed.total()),
        known(Part::SenderGain, Db::new(path.sender.get())),
        known(Part::SenderShadow, -sender.shadow),
        known(Part::Spreading, -path.spreading),
        known(Part::Gas, -gas),
        known(Part::Rain, -rain),
        BudgetTerm::loss(Part::Polarisation, path.polarisation),
        known(Part::Walls, -path.walls),
        BudgetTerm::loss(Part::Leaves, path.leaves),
        known(Part::Ground, path.ground),
        known(Part::ReceiverShadow, -receiver.shadow),
        known(Part::ReceiverGain, Db::new(path.receiver.get())),
        BudgetTerm::loss(Part::ReceiverFeed, receiver_feed.total()),
    ];
    Ok(Budget { level, terms, threshold, reception: path, sender_feed, receiver_feed })
}

/// Which of several antennas carries the link: the one with the greatest margin.
pub fn carrying(margins: &[Db]) -> Option<usize> {
    let all = margins.iter().enumerate().filter(|(_, margin)| !margin.get().is_nan());
    all.max_by(|a, b| a.1.get().total_cmp(&b.1.get()).then(b.0.cmp(&a.0))).map(|(which, _)| which)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_best_antenna_carries_and_the_first_of_two_alike() {
        let of = |margins: &[f64]| carrying(&margins.iter().map(|m| Db::new(*m)).collect::<Vec<_>>());
        assert_eq!(of(&[1.0, 4.0, 4.0, f64::NAN]), Some(1));
        assert_eq!(of(&[]), None);
    }

    #[test]
    fn a_threshold_over_noise_and_a_stated_one_are_levels() {
        let bandwidth = Megahertz::new(20.0);
        let over = Threshold::OverNoise { bandwidth, figure: Db::new(6.0), ratio: Db::new(9.0) }.level();
        assert!(over.is_ok_and(|level| (level.get() + 85.965).abs() < 0.001));
        assert!(Threshold::Stated(Dbm::new(12.0)).level().is_err());
    }
}
