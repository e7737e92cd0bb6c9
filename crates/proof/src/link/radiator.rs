//! An antenna with its feed, from the facts on its sheet, and what it would be if one of them were a little off.

use super::reading::{Known, Reader};
use super::shadow::Shadows;
use craft::schema::{air, station};
use craft::{Item, Missing, Reading};
use quantity::{Count, Db, Dbi, Degrees, FactIndex, Linear, Measure, Megahertz, Metres, Millimetres, Ratio};
use radio::{
    Antenna, Beam, Carrier, Coax, Direction, Feed, FeedLoss, FeedPart, Hand, Helix, JointState, LossRange,
    Match, MeasuredPattern, MeasuredRow, Polarisation, RadioFault, Turn,
};

/// An antenna in its place, with what lies between it and the radio.
#[derive(Clone, Debug, PartialEq)]
pub struct Mounted {
    /// The antenna, in its own frame.
    pub antenna: Antenna,
    /// What lies between radio and antenna.
    pub feed: Feed,
    /// What that loses.
    pub loss: FeedLoss,
    /// The word for its element.
    pub element: String,
    /// Its hand; `None` if it is linear.
    pub hand: Option<Hand>,
    /// Whether its own axis is a mast; otherwise it is aimed.
    pub on_mast: bool,
    /// How it is turned: in the craft's frame, or in that of the station.
    pub turn: Turn,
    /// Where its middle is, in metres: in the craft's frame, or in that of the station.
    pub place: [f64; 3],
    /// What on the craft shadows it.
    pub shadows: Shadows,
    /// How it would be with one fact a little off: the fact, by how much, antenna and loss of the feed.
    pub(super) nudged: Vec<Nudged>,
}

/// An antenna with one fact a little off.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Nudged {
    pub fact: FactIndex,
    pub step: f64,
    pub antenna: Antenna,
    pub loss: Db,
}

impl Mounted {
    /// Which way it looks, or its mast stands: in the craft's frame, or in that of the station.
    pub fn looks(&self) -> [f64; 3] {
        let axis = if self.on_mast { Direction::UP } else { Direction::FORWARD };
        self.turn.outward(axis).coordinates()
    }
    /// Winds it the other way, if it has a hand.
    pub(super) fn turn_hand(&mut self) -> bool {
        let Some(other) = self.antenna.other_handed() else { return false };
        self.antenna = other;
        self.hand = self.hand.map(Hand::other);
        for nudged in &mut self.nudged {
            if let Some(other) = nudged.antenna.other_handed() {
                nudged.antenna = other;
            }
        }
        true
    }
    /// Puts something more between it and the radio.
    pub(super) fn put_before(&mut self, part: FeedPart, carrier: Carrier) -> Result<(), RadioFault> {
        let before = self.loss.total().usual;
        self.feed.parts.push(part);
        self.loss = self.feed.loss(carrier)?;
        let more = self.loss.total().usual - before;
        self.nudged.iter_mut().for_each(|nudged| nudged.loss = nudged.loss + more);
        Ok(())
    }
    /// The same with every joint of its feed sound; `None` if all are.
    pub(super) fn with_sound_joints(&self, carrier: Carrier) -> Option<Self> {
        let worn = |part: &FeedPart| matches!(part, FeedPart::Joint(state) if *state != JointState::Sound);
        self.feed.parts.iter().any(worn).then_some(())?;
        let mut sound = self.clone();
        let before = self.loss.total().usual;
        sound
            .feed
            .parts
            .iter_mut()
            .filter(|part| worn(part))
            .for_each(|part| *part = FeedPart::Joint(JointState::Sound));
        sound.loss = sound.feed.loss(carrier).ok()?;
        let less = before - sound.loss.total().usual;
        sound.nudged.iter_mut().for_each(|nudged| nudged.loss = nudged.loss - less);
        Some(sound)
    }
    /// Puts another antenna in its place, of which no fact is in doubt.
    pub(super) fn put_antenna(&mut self, antenna: Antenna, hand: Option<Hand>) {
        self.nudged.iter_mut().for_each(|nudged| nudged.antenna = antenna.clone());
        (self.antenna, self.hand) = (antenna, hand);
    }
    /// What its feed usually loses.
    pub fn feed_loss(&self) -> LossRange {
        self.loss.total()
    }
    /// A number that follows from the antenna and from what its feed usually loses, with its slope on each of their facts.
    pub fn with_doubt(&self, of: impl Fn(&Antenna, Db) -> f64) -> Linear {
        let value = of(&self.antenna, self.loss.total().usual);
        let slopes = self
            .nudged
            .iter()
            .map(|nudged| (nudged.fact, (of(&nudged.antenna, nudged.loss) - value) / nudged.step));
        Linear { value, slopes: slopes.filter(|(_, slope)| *slope != 0.0 && slope.is_finite()).collect() }
    }
}

/// An adapter is two joints.
const ADAPTER_JOINTS: u32 = 2;

/// One part of a feed, as facts.
#[derive(Clone, Debug)]
pub(super) enum FeedFact {
    /// A length, and how many metres its unit has.
    Lead(Coax, Known, f64),
    Joint(JointState),
    Stated(Known),
}

/// What the sheet says of an antenna and its feed.
#[derive(Clone, Debug)]
pub(super) struct RadiatorFacts {
    element: String,
    hand: Option<Hand>,
    gain: Option<Known>,
    axial_ratio: Option<Known>,
    ratio: Known,
    width: Option<Known>,
    front_to_back: Option<Known>,
    coil: Option<(u32, Known, Known)>,
    /// Of its measured pattern.
    rows: Vec<MeasuredRow>,
    /// How far all of these gains may be off together: the fact of the row with most doubt.
    rows_off: Option<Known>,
    /// How far too high they may be, all of them.
    rows_high: Db,
    /// The same of their axial ratios.
    ratios_off: Option<Known>,
    measured_on_mast: bool,
    /// In order from the radio.
    pub feed: Vec<FeedFact>,
    /// How well the radio's own socket is matched.
    pub socket: f64,
}

impl RadiatorFacts {
    /// Reads the antenna's own facts; rows of a measured pattern come from a table beside them.
    pub fn read(reader: &mut Reader, item: &Item<'_>, rows: &[Item<'_>], socket: f64) -> Option<Self> {
        let element = reader.noted(item.text(&air::ELEMENT));
        let ratio = reader.need(item, &air::VSWR);
        let element = element?;
        let linear = matches!(element, "whip" | "dipole");
        let hand = if linear {
            None
        } else {
            match reader.noted(item.text(&air::HAND))? {
                "right" => Some(Hand::Right),
                "left" => Some(Hand::Left),
                _ if element == "circular omni" => {
                    reader
                        .lack
                        .wrong
                        .push(format!("{}: a circular antenna has a hand, right or left", item.called));
                    return None;
                }
                _ => None,
            }
        };
        let coiled = element == "helix" && item.has(&air::TURNS.def);
        let coil = if coiled {
            let turns = reader.noted(item.count(&air::TURNS));
            let diameter = reader.need(item, &air::COIL_DIAMETER);
            let pitch = reader.need(item, &air::COIL_PITCH);
            Some((turns?, diameter?, pitch?))
        } else {
            None
        };
        let beamed = matches!(element, "patch" | "helix") && !coiled;
        let gain =
            if beamed || element == "circular omni" { Some(reader.need(item, &air::GAIN)) } else { None };
        let width = beamed.then(|| reader.need(item, &air::BEAM_WIDTH));
        let front_to_back = if beamed { reader.maybe(item, &air::FRONT_TO_BACK) } else { None };
        let measured = element == "measured";
        // Where each direction has its own, nobody needs one for all.
        let tabled = measured && rows.iter().any(|row| row.has(&air::cut::AXIAL_RATIO.def));
        let axial = hand.is_some() && !coiled && !tabled;
        let axial_ratio = axial.then(|| reader.need(item, &air::AXIAL_RATIO));
        let about = if measured { reader.noted(item.text(&air::MEASURED_ABOUT))? } else { "mast" };
        let mut gains = Vec::new();
        let (mut most_off, mut most_ratio) = (None, None);
        if measured {
            if rows.is_empty() {
                reader.lack.missing.push(Missing {
                    path: quantity::FactPath(format!("{}.{}", item.path, air::cut::TABLE.key)),
                    label: format!("measured pattern of {}", item.called),
                });
                return None;
            }
            for row in rows {
                let off = reader.noted(row.read(&air::cut::OFF));
                let round = reader.noted(row.read(&air::cut::ROUND));
                let gain = reader.noted(row.read(&air::cut::GAIN));
                keep_most(&mut most_off, gain.as_ref());
                let plain = MeasuredRow::new(off?.value, round?.value, gain?.value);
                let ratio = row.read(&air::cut::AXIAL_RATIO).ok();
                keep_most(&mut most_ratio, ratio.as_ref());
                let ratio = ratio.map(|ratio| ratio.value);
                let turns = match row.text(&air::cut::HAND) {
                    Ok("right") => Some(Hand::Right),
                    Ok(_) => Some(Hand::Left),
                    Err(_) => hand,
                };
                let lone = ratio.is_none() && row.has(&air::cut::HAND.def);
                gains.push(match (turns, ratio) {
                    (Some(hand), Some(ratio)) => plain.sending(hand, ratio),
                    (None, None) => plain,
                    (Some(_), None) if !lone => plain,
                    _ => {
                        let words =
                            "a hand and an axial ratio stand together in a row of a pattern, or neither does";
                        reader.lack.wrong.push(format!("{}: {words}", item.called));
                        return None;
                    }
                });
            }
        }
        let (gain, width, axial_ratio) = (flat(gain)?, flat(width)?, flat(axial_ratio)?);
        let rows_high = most_off.as_ref().map_or(Db::new(0.0), |most| Db::new(most.doubt.minus));
        let rows_off = most_off.map(|most| Known::of(reader.proof, &most));
        let ratios_off = most_ratio.map(|most| Known::of(reader.proof, &most));
        Some(Self {
            element: element.to_owned(),
            hand,
            gain,
            axial_ratio,
            ratio: ratio?,
            width,
            front_to_back,
            coil,
            rows: gains,
            rows_off,
            rows_high,
            ratios_off,
            measured_on_mast: about == "mast",
            feed: Vec::new(),
            socket,
        })
    }

    fn on_mast(&self) -> bool {
        match self.element.as_str() {
            "patch" | "helix" => false,
            "measured" => self.measured_on_mast,
            _ => true,
        }
    }

    fn polarisation(&self) -> Result<Polarisation, RadioFault> {
        match (self.hand, self.axial_ratio) {
            (Some(hand), Some(ratio)) => {
                Polarisation::elliptical(hand, Db::new(ratio.value), Degrees::new(90.0))
            }
            _ => Ok(Polarisation::UPRIGHT),
        }
    }

    /// The antenna, its measured gains off by so much, and its measured axial ratios.
    fn antenna(&self, carrier: Carrier, [off, rounder]: [f64; 2]) -> Result<Antenna, RadioFault> {
        let number = |known: Option<Known>| known.map_or(0.0, |known| known.value);
        match self.element.as_str() {
            "whip" | "dipole" => Ok(Antenna::half_wave_dipole()),
            "circular omni" => {
                let ratio = Db::new(number(self.axial_ratio));
                Antenna::circular_omni(self.hand.unwrap_or(Hand::Right), Dbi::new(number(self.gain)), ratio)
            }
            "measured" => {
                let moved = |row: &MeasuredRow| {
                    let moved = MeasuredRow { gain: Dbi::new(row.gain.get() + off), ..*row };
                    // What counts as linear is not moved past that.
                    let [round, linear] = MeasuredRow::AXIAL_RATIO.map(Db::get);
                    row.sent.map_or(moved, |(hand, ratio)| {
                        moved.sending(hand, Db::new((ratio.get() + rounder).clamp(round, linear)))
                    })
                };
                let rows: Vec<MeasuredRow> = self.rows.iter().map(moved).collect();
                let pattern = MeasuredPattern::new(&rows, self.rows_high)?;
                let polarisation = self.polarisation()?;
                Ok(if self.measured_on_mast {
                    Antenna::measured_on_mast(pattern, polarisation)
                } else {
                    Antenna::measured_aimed(pattern, polarisation)
                })
            }
            _ => {
                if let Some((turns, diameter, pitch)) = self.coil {
                    let (turns, diameter) = (Count::new(f64::from(turns)), Millimetres::new(diameter.value));
                    let helix = Helix::new(turns, diameter, Degrees::new(pitch.value), carrier)?;
                    return Antenna::helix(helix, self.hand.unwrap_or(Hand::Right));
                }
                let back = self.front_to_back.map(|known| Db::new(known.value));
                let beam = Beam::new(Dbi::new(number(self.gain)), Degrees::new(number(self.width)), back)?;
                Ok(Antenna::aimed(beam, self.polarisation()?))
            }
        }
    }

    fn feed(&self) -> Result<Feed, RadioFault> {
        let parts = self.feed.iter().map(|part| match part {
            FeedFact::Lead(coax, length, unit) => FeedPart::Lead(*coax, Metres::new(length.value * unit)),
            FeedFact::Joint(state) => FeedPart::Joint(*state),
            FeedFact::Stated(loss) => FeedPart::Stated(Db::new(loss.value)),
        });
        Ok(Feed {
            parts: parts.collect(),
            radio: Match::of_standing_wave_ratio(Ratio::new(self.socket))?,
            antenna: Match::of_standing_wave_ratio(Ratio::new(self.ratio.value))?,
        })
    }

    /// Every fact that may be off, to be moved.
    fn doubted(&mut self) -> Vec<&mut Known> {
        let coil = self.coil.as_mut().map(|(_, diameter, pitch)| [diameter, pitch]);
        let feed = self.feed.iter_mut().filter_map(|part| match part {
            FeedFact::Lead(_, known, _) | FeedFact::Stated(known) => Some(known),
            FeedFact::Joint(_) => None,
        });
        let own = [&mut self.gain, &mut self.axial_ratio, &mut self.width, &mut self.front_to_back];
        let all = own.into_iter().filter_map(Option::as_mut).chain([&mut self.ratio]);
        all.chain(coil.into_iter().flatten()).chain(feed).filter(|known| known.doubted).collect()
    }

    /// The antenna in its place.
    pub fn mounted(
        &self,
        carrier: Carrier,
        (turn, place): (Turn, [f64; 3]),
        shadows: Shadows,
    ) -> Result<Mounted, RadioFault> {
        let antenna = self.antenna(carrier, [0.0; 2])?;
        let feed = self.feed()?;
        let loss = feed.loss(carrier)?;
        let mut nudged: Vec<Nudged> = Vec::new();
        let mut moved = self.clone();
        let facts: Vec<FactIndex> = moved.doubted().into_iter().map(|known| known.fact).collect();
        for (n, fact) in facts.iter().enumerate() {
            if facts[..n].contains(fact) {
                continue;
            }
            // One way or, at the end of what can be, the other.
            let made = [1.0, -1.0].into_iter().find_map(|way| {
                let mut moved = self.clone();
                let mut step = 0.0;
                for known in moved.doubted().into_iter().filter(|known| known.fact == *fact) {
                    step = way * 1e-3 * known.value.abs().max(1.0);
                    known.value += step;
                }
                let antenna = moved.antenna(carrier, [0.0; 2]).ok()?;
                let loss = moved.feed().and_then(|feed| feed.loss(carrier)).ok()?.total().usual;
                Some(Nudged { fact: *fact, step, antenna, loss })
            });
            nudged.extend(made);
        }
        // Gains go down, for up they may come to more than is believed; ratios go up, for down they end at round.
        for (off, step, by) in [(self.rows_off, -0.01, [-0.01, 0.0]), (self.ratios_off, 0.01, [0.0, 0.01])] {
            if let Some(off) = off.filter(|off| off.doubted)
                && let Ok(antenna) = self.antenna(carrier, by)
            {
                nudged.push(Nudged { fact: off.fact, step, antenna, loss: loss.total().usual });
            }
        }
        let (element, hand, on_mast) = (self.element.clone(), self.hand, self.on_mast());
        Ok(Mounted { antenna, feed, loss, element, hand, on_mast, turn, place, shadows, nudged })
    }

    /// Own axes of such an antenna on a craft, in the frame of its part, whose z runs along the element: forward and left.
    pub fn part_axes(&self) -> [fit::PartVector; 2] {
        use fit::PartVector;
        if self.on_mast() { [PartVector::X, PartVector::Y] } else { [PartVector::Z, PartVector::Y] }
    }
}

/// Keeps of two readings the one that may be off farther: what is off in a table is mostly its range, and so all rows alike.
fn keep_most<M: Measure>(known: &mut Option<Reading<M>>, read: Option<&Reading<M>>) {
    let Some(read) = read else { return };
    let off = |reading: &Reading<M>| reading.doubt.standard_uncertainty();
    if known.as_ref().is_none_or(|known| off(known) < off(read)) {
        *known = Some(read.clone());
    }
}

/// What is needed and there, or not needed at all; `None` where it is needed and missing.
fn flat(needed: Option<Option<Known>>) -> Option<Option<Known>> {
    match needed {
        Some(None) => None,
        Some(known) => Some(known),
        None => Some(None),
    }
}

/// The state of a joint in the word of a sheet; sound where nobody said otherwise.
pub(super) fn joint_state(word: Result<&str, Missing>) -> JointState {
    match word {
        Ok("worn") => JointState::Worn,
        Ok("half unplugged") => JointState::HalfUnplugged,
        _ => JointState::Sound,
    }
}

/// The feed of an antenna on the ground, from its row.
pub(super) fn ground_feed(reader: &mut Reader, row: &Item<'_>) -> Option<Vec<FeedFact>> {
    let state = joint_state(row.text(&air::JOINT));
    if let Some(loss) = reader.maybe(row, &station::antenna::LOSS) {
        let spoilt = (state != JointState::Sound).then_some(FeedFact::Joint(state));
        return Some([FeedFact::Stated(loss)].into_iter().chain(spoilt).collect());
    }
    let adapters = row.count(&station::antenna::ADAPTERS).unwrap_or(0);
    let mut feed = vec![FeedFact::Joint(state)];
    match reader.noted(row.text(&station::antenna::COAX))? {
        "none" => {}
        word => {
            let length = reader.need(row, &station::antenna::COAX_LENGTH)?;
            let Some(coax) = Coax::of_word(word) else {
                reader
                    .lack
                    .wrong
                    .push(format!("{}: nothing is known of coax {word}; state the loss", row.called));
                return None;
            };
            feed.push(FeedFact::Lead(coax, length, 1.0));
            feed.push(FeedFact::Joint(JointState::Sound));
        }
    }
    feed.extend((0..adapters * ADAPTER_JOINTS).map(|_| FeedFact::Joint(JointState::Sound)));
    Some(feed)
}

/// A direction of the craft's frame as `radio` has it.
pub(super) fn direction(v: fit::BodyVector) -> Option<Direction> {
    Direction::new(v.x(), v.y(), v.z()).ok()
}

/// The carrier of a channel.
pub(super) fn carrier(reader: &mut Reader, item: &Item<'_>) -> Option<Carrier> {
    let channel = reader.noted(item.read(&craft::schema::craft::CHANNEL))?;
    reader.right(&channel.label, Carrier::new(Megahertz::new(channel.value.get())))
}
