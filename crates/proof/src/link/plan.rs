//! What the craft is planned to do, as far as its link is asked about.

use super::Lack;
use super::model::RadioLevel;
use crate::Proof;
use crate::rules::held_low as held_low_by;
use crate::subject::{CruiseNose, cruise_nose};
use craft::schema::craft as plan;
use craft::{Missing, PlaceId};
use quantity::{Degrees, Metres, MetresPerSecond, Milliwatts};

/// What keeps a unit at its lowest level.
#[derive(Clone, Debug, PartialEq)]
pub struct HeldLow {
    /// The level that is set.
    pub set: RadioLevel,
    /// Why it is not reached.
    pub why: &'static str,
}

/// What is planned. Whatever is not on the sheet says so.
#[derive(Clone, Debug, PartialEq)]
pub struct FlightPlan {
    /// The farthest it is meant to fly.
    pub fly_to: Result<Metres, Missing>,
    /// How high above the ground.
    pub height: Result<Metres, Missing>,
    /// How far the nose is down in cruise, and why: as the view has it.
    pub cruise_nose: Result<CruiseNose, Missing>,
    /// How fast it cruises.
    pub cruise: Option<MetresPerSecond>,
    /// How far it banks in turns.
    pub bank: Result<Degrees, Missing>,
    /// The level it flies at: that which is set, or the lowest where something holds it there.
    pub level: Result<RadioLevel, Lack>,
    /// The level that is set.
    pub set: Result<RadioLevel, Lack>,
    /// What holds it at its lowest level, where a higher one is set.
    pub held_low: Option<HeldLow>,
    /// What the pilot stated as the limit on radiated power.
    pub radiated_limit: Result<Milliwatts, Missing>,
    /// Whether it stays at standby until armed.
    pub standby: Result<bool, Missing>,
    /// The nearest that people come to the antennas.
    pub people_at: Result<Metres, Missing>,
}

impl FlightPlan {
    /// How far the nose is down in cruise.
    pub fn cruise_tilt(&self) -> Result<Degrees, Missing> {
        self.cruise_nose.as_ref().map(|nose| nose.down).map_err(Clone::clone)
    }

    /// Why it is so far down, in words.
    pub fn nose_because(&self) -> &'static str {
        self.cruise_nose.as_ref().map_or("nobody says", |nose| nose.because())
    }

    pub(super) fn of(proof: &Proof, unit: &PlaceId, levels: &[RadioLevel]) -> Self {
        let item = proof.craft.item();
        let set = match item.read(&plan::LEVEL) {
            Err(missing) => Err(Lack::missing(missing)),
            Ok(set) => {
                let near =
                    |level: &&RadioLevel| (level.out.get() - set.value.get()).abs() <= 0.01 * level.out.get();
                levels.iter().find(near).cloned().ok_or_else(|| {
                    let offered: Vec<String> = levels.iter().map(|level| level.out.to_string()).collect();
                    let offered = crate::numbers::listed(&offered);
                    Lack::wrong(format!(
                        "{} is {}, but the transmitter's sheet has {}; enter that level there or set one of these",
                        set.label,
                        set.value,
                        if offered.is_empty() { "no levels".to_owned() } else { offered }
                    ))
                })
            }
        };
        let least = levels.first();
        let held_low = set.as_ref().ok().zip(least).filter(|(set, least)| least.at_socket < set.at_socket);
        let held_low =
            held_low.and_then(|(set, _)| Some(HeldLow { set: set.clone(), why: held_low_by(proof, unit)? }));
        let level = match (&held_low, least) {
            (Some(_), Some(least)) => Ok(least.clone()),
            _ => set.clone(),
        };
        Self {
            fly_to: item.read(&plan::FLY_TO).map(|reading| reading.value),
            height: item.read(&plan::FLY_HEIGHT).map(|reading| reading.value),
            cruise_nose: cruise_nose(proof),
            cruise: item.read(&plan::CRUISE).map(|reading| reading.value).ok(),
            bank: item.read(&plan::BANK).map(|reading| reading.value),
            level,
            set,
            held_low,
            radiated_limit: item.read(&plan::RADIATED_LIMIT).map(|reading| reading.value),
            standby: item.flag(&plan::STANDBY),
            people_at: item.read(&plan::PEOPLE_AT).map(|reading| reading.value),
        }
    }
}
