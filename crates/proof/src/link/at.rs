//! What arrives when the craft is at a place in an attitude?

use super::Link;
use super::radiator::Mounted;
use super::ready::Ready;
use quantity::{Db, Dbm, Degrees, Measure, Metres, Probability};
use radio::{
    Budget, Combining, Direction, End, Picture, Place, RadioFault, Scenery, Station, Threshold, Turn, budget,
    carrying, share_held,
};

/// How the craft is turned.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Attitude {
    /// Where its nose points: nought away along the flying line, left positive.
    pub heading: Degrees,
    /// Nose up positive; a craft that flies forward has it below nought.
    pub pitch: Degrees,
    /// Right side down positive.
    pub bank: Degrees,
}

impl Attitude {
    /// Level, nose away from the pilot.
    pub const LEVEL: Self =
        Self { heading: Degrees::new(0.0), pitch: Degrees::new(0.0), bank: Degrees::new(0.0) };

    /// With the nose down by so much on a heading, not banked.
    pub fn cruising(heading: Degrees, nose_down: Degrees) -> Self {
        Self { heading, pitch: -nose_down, bank: Degrees::new(0.0) }
    }
    /// The same, banked.
    pub const fn banked(self, bank: Degrees) -> Self {
        Self { bank, ..self }
    }
    pub(super) fn turn(self) -> Turn {
        Turn::new(self.heading, self.pitch, self.bank)
    }
}

/// What one antenna of the station gets from one of the craft.
#[derive(Clone, Debug, PartialEq)]
pub struct PairAt {
    /// The number of the craft's antenna.
    pub sender: usize,
    /// The number of the station's antenna.
    pub ground: usize,
    /// Term by term, of the sender's share of the level.
    pub budget: Budget,
}

/// What one antenna of the station gets.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct InputAt {
    /// From all of the craft's antennas.
    pub received: Dbm,
    /// Beyond what is needed.
    pub margin: Db,
    /// The craft's antenna that gives it most.
    pub from: usize,
}

/// The link at one place.
#[derive(Clone, Debug, PartialEq)]
pub struct LinkAt {
    /// Every pair, the craft's first antenna with each of the station's, then the next.
    pub pairs: Vec<PairAt>,
    /// Each antenna of the station.
    pub inputs: Vec<InputAt>,
    /// The station's antenna that carries the link.
    pub carries: usize,
    /// What is in hand: of the best input, or of all together where the receiver combines them.
    pub margin: Db,
    /// The same with the unknown phases and states of the carrying pair, and what is published of walls, leaves and ground, at their
    /// worst and at their best.
    pub between: (Db, Db),
    /// The share of the time that the picture holds.
    pub held: Probability,
    /// What is left 99 % of the time on all antennas together; under nought it holds less.
    pub lasting: Db,
    /// How the picture is with that left, by the receiver's own cliff where its sheet states one.
    pub picture: Picture,
}

impl LinkAt {
    /// The pair that carries the link.
    pub fn carrying(&self) -> Option<&PairAt> {
        let from = self.inputs.get(self.carries)?.from;
        self.pairs.iter().find(|pair| pair.sender == from && pair.ground == self.carries)
    }
}

impl Link {
    /// A place on the flying line, so far ahead of the pilot and so high above the ground.
    pub fn on_line(distance: Metres, height: Metres) -> Result<Place, RadioFault> {
        Place::new(distance, Metres::new(0.0), height)
    }

    /// Everything about the link when the craft is there, so turned, at a level at the transmitter's socket.
    pub fn at(&self, craft: Place, attitude: Attitude, level: Dbm) -> Result<LinkAt, RadioFault> {
        let share = self.shared(level);
        let mut pairs = Vec::with_capacity(self.senders.len() * self.grounds.len());
        let shadows = self.shadows(craft, attitude)?;
        let about = self.scenery_with(craft)?;
        let sends = |sender: usize| -> Result<Station, RadioFault> {
            let mounted = &self.senders[sender];
            let end = self.craft_end(mounted, craft, attitude)?;
            Ok(Station { end, feed: mounted.feed.clone(), shadow: shadows[sender] })
        };
        let receives = |ground: usize| -> Result<Station, RadioFault> {
            let antenna = &self.grounds[ground];
            Ok(Station { end: self.ground_end(antenna)?, feed: antenna.feed.clone(), shadow: Db::new(0.0) })
        };
        let drawn_up = |stations: [&Station; 2], scenery: &Scenery| {
            let threshold = Threshold::Stated(self.threshold.level);
            budget(share, stations, threshold, scenery, self.weather, self.carrier)
        };
        for sender in 0..self.senders.len() {
            let sending = sends(sender)?;
            for ground in 0..self.grounds.len() {
                let budget = drawn_up([&sending, &receives(ground)?], &about)?;
                pairs.push(PairAt { sender, ground, budget });
            }
        }
        let inputs: Vec<InputAt> = (0..self.grounds.len())
            .filter_map(|ground| {
                let of: Vec<&PairAt> = pairs.iter().filter(|pair| pair.ground == ground).collect();
                let levels: Vec<Dbm> = of.iter().map(|pair| pair.budget.received()).collect();
                let best = of.iter().zip(&levels).max_by(|a, b| a.1.get().total_cmp(&b.1.get()))?;
                let received = together(&levels);
                Some(InputAt { received, margin: received - self.threshold.level, from: best.0.sender })
            })
            .collect();
        let margins: Vec<Db> = inputs.iter().map(|input| input.margin).collect();
        let carries = carrying(&margins).unwrap_or(0);
        let margin = self.of_all(&margins);
        let held = share_held(&margins, self.fading, self.correlation, self.combining)?;
        let mut at = LinkAt {
            pairs,
            inputs,
            carries,
            margin,
            between: (margin, margin),
            held,
            lasting: self.lasting(&margins),
            picture: self.picture(&margins),
        };
        let from = at.inputs.get(carries).map(|input| input.from);
        if let Some(pair) =
            at.pairs.iter_mut().find(|pair| Some(pair.sender) == from && pair.ground == carries)
        {
            let stations = [sends(pair.sender)?, receives(pair.ground)?];
            let places = [stations[0].end.place, stations[1].end.place];
            self.spread(&mut pair.budget, &about, places, |scenery| {
                drawn_up([&stations[0], &stations[1]], scenery)
            })?;
        }
        let between = at.carrying().map(|pair| {
            let (low, high) = pair.budget.margin_range();
            let own = pair.budget.margin();
            (margin + (low - own), margin + (high - own))
        });
        Ok(LinkAt { between: between.unwrap_or((margin, margin)), ..at })
    }

    /// What is in hand there, and nothing else: the same as [`Link::at`] gives, and faster.
    pub fn margin(&self, craft: Place, attitude: Attitude, level: Dbm) -> Result<Db, RadioFault> {
        let margins = self.margins(craft, attitude, level)?;
        Ok(self.of_all(&margins))
    }

    /// What is in hand at each antenna of the station.
    pub fn margins(&self, craft: Place, attitude: Attitude, level: Dbm) -> Result<Vec<Db>, RadioFault> {
        let shadows = self.shadows(craft, attitude)?;
        self.margins_shadowed(craft, attitude, level, &shadows)
    }

    /// The same where what shadows each of the craft's antennas is known already.
    pub(super) fn margins_shadowed(
        &self,
        craft: Place,
        attitude: Attitude,
        level: Dbm,
        shadows: &[Db],
    ) -> Result<Vec<Db>, RadioFault> {
        let found = Ready::new(self, attitude)?.in_hand(craft, level, shadows)?;
        Ok(found.into_iter().map(|found| found.margin).collect())
    }

    /// What is in hand of all inputs together.
    pub(crate) fn of_all(&self, margins: &[Db]) -> Db {
        match self.combining {
            Combining::Selection => {
                margins.iter().copied().fold(Db::new(f64::NEG_INFINITY), |a, b| if b > a { b } else { a })
            }
            Combining::Sum => {
                let sum: f64 = margins.iter().map(|margin| margin.ratio()).sum();
                Db::new(10.0 * sum.max(f64::MIN_POSITIVE).log10())
            }
        }
    }

    /// What is left of these margins of the inputs 99 % of the time ([`super::KEPT_FOR`]): over nought the picture holds, under nought it holds less.
    pub fn lasting(&self, margins: &[Db]) -> Db {
        self.lasting.left(margins)
    }

    /// What is left 99 % of the time with the craft at a place.
    pub fn lasting_at(&self, craft: Place, attitude: Attitude, level: Dbm) -> Result<Db, RadioFault> {
        Ok(self.lasting(&self.margins(craft, attitude, level)?))
    }

    /// How the picture is with these margins of the inputs.
    pub fn picture(&self, margins: &[Db]) -> Picture {
        let (cliff, least) = (self.threshold.cliff, self.lasting.at_least(margins));
        let left = if least >= cliff.clean_from() { least } else { self.lasting(margins) };
        cliff.picture(left, self.of_all(margins))
    }

    /// The share of the time that the picture holds with these margins of the inputs.
    pub fn held(&self, margins: &[Db]) -> Result<Probability, RadioFault> {
        share_held(margins, self.fading, self.correlation, self.combining)
    }

    /// The chance that with these margins all inputs are lost together, quickly.
    pub(crate) fn lost(&self, margins: &[Db]) -> f64 {
        self.lasting.lost(margins)
    }

    /// Each sender's share of the level.
    pub(super) fn shared(&self, level: Dbm) -> Dbm {
        let count = self.senders.len().max(1) as f64;
        level - Db::new(10.0 * count.log10())
    }

    pub(super) fn craft_end(
        &self,
        mounted: &Mounted,
        craft: Place,
        attitude: Attitude,
    ) -> Result<End, RadioFault> {
        let turn = attitude.turn();
        let [x, y, z] = mounted.place;
        // Where the antenna comes to lie when the craft turns about its origin.
        let axes =
            [Direction::FORWARD, Direction::LEFT, Direction::UP].map(|axis| turn.outward(axis).coordinates());
        let moved: [f64; 3] = std::array::from_fn(|n| axes[0][n] * x + axes[1][n] * y + axes[2][n] * z);
        let place = Place::new(
            craft.x() + Metres::new(moved[0]),
            craft.y() + Metres::new(moved[1]),
            craft.z() + Metres::new(moved[2]),
        )?;
        Ok(End { antenna: mounted.antenna.clone(), turn: turn.after(mounted.turn), place })
    }

    pub(super) fn ground_end(&self, mounted: &Mounted) -> Result<End, RadioFault> {
        let [x, y, z] = mounted.place.map(Metres::new);
        Ok(End { antenna: mounted.antenna.clone(), turn: mounted.turn, place: Place::new(x, y, z)? })
    }

    /// The way from the craft to where the station's first antenna stands: its antennas stand close together.
    pub(super) fn toward_station(&self, craft: Place) -> Result<Direction, RadioFault> {
        let [x, y, z] = self.grounds.first().map_or([0.0; 3], |ground| ground.place).map(Metres::new);
        craft.toward(Place::new(x, y, z)?)
    }

    /// What the craft takes of the ray to the station from each of its antennas.
    pub fn shadows(&self, craft: Place, attitude: Attitude) -> Result<Vec<Db>, RadioFault> {
        let own = attitude.turn().inward(self.toward_station(craft)?);
        Ok(self.senders.iter().map(|sender| sender.shadows.loss(own, self.carrier)).collect())
    }
}

/// Several levels as one: their powers add.
fn together(levels: &[Dbm]) -> Dbm {
    let sum: f64 = levels.iter().map(|level| level.power().get()).sum();
    Dbm::of(10.0 * sum.max(f64::MIN_POSITIVE).log10())
}
