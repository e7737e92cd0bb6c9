//! How the craft is flown: phases of a flight, air, warmth, waiting. Plans carry no doubt of their own.
//!
//! A flight repeats a round as long as a punch is apart from the next: hover, cruise, climb, then the punch. Hover and climb take their
//! share of the whole flight; what is left is cruise, with the power of level flight times what turns and braking cost.

use super::drive::{DriveFacts, held};
use super::pack::{PackFacts, land_charge};
use crate::Proof;
use crate::link::Lack;
use craft::schema::craft as field;
use craft::{Missing, Reading};
use power::{Air, Leg, PowerFault, Usage};
use quantity::{Celsius, Measure, Metres, MetresPerSecond, Percent, Seconds};

/// The plan of a craft.
#[derive(Clone, Debug, PartialEq)]
pub struct PlanFacts {
    /// Planned time in the air, if said.
    pub planned: Result<Seconds, Missing>,
    /// Charge at take-off.
    pub start: Percent,
    /// Charge at landing.
    pub land: Percent,
    /// Coldest and hottest air.
    pub coldest: Celsius,
    /// Hottest air.
    pub hottest: Celsius,
    /// The pack at take-off.
    pub pack_at: Celsius,
    /// Height above the sea.
    pub altitude: Metres,
    /// Shares of the time in hover and in climb.
    pub shares: [f64; 2],
    /// Rate of climb.
    pub climb: MetresPerSecond,
    /// Speed in cruise.
    pub cruise: MetresPerSecond,
    /// Power in cruise over that of level flight.
    pub manoeuvre: f64,
    /// How long a punch is held, and how far apart punches are, s.
    pub punch: [f64; 2],
    /// Highest throttle, %.
    pub throttle: f64,
}

impl PlanFacts {
    /// Read from the craft.
    pub(super) fn of(proof: &Proof, pack: Option<&PackFacts>) -> Result<Self, Lack> {
        let item = proof.craft.item();
        let mut lack = Lack::default();
        let mut told = |missing: Missing| lack.add(&Lack::missing(missing));
        let coldest = item.read(&field::COLDEST).map_err(&mut told).ok();
        let hottest = item.read(&field::HOTTEST).map_err(&mut told).ok();
        let cruise = item.read(&field::CRUISE).map_err(&mut told).ok();
        let land = pack.map(|pack| land_charge(proof, pack));
        if let Some(Err(other)) = &land {
            lack.add(other);
        }
        let (Some(coldest), Some(hottest), Some(cruise), Some(Ok(land))) = (coldest, hottest, cruise, land)
        else {
            return Err(lack);
        };
        fn raw<M: Measure>(reading: Result<Reading<M>, Missing>) -> Result<f64, Lack> {
            reading.map(|reading| reading.value.raw()).map_err(Lack::missing)
        }
        let share = |text: f64| text * 1e-2;
        let shares =
            [share(raw(item.read(&field::HOVER_SHARE))?), share(raw(item.read(&field::CLIMB_SHARE))?)];
        let punch = [raw(item.read(&field::PUNCH))?, raw(item.read(&field::PUNCH_EVERY))?];
        if punch[0] > punch[1] || shares[0] + shares[1] > 1.0 {
            return Err(Lack::wrong(
                "the phases of the flight take more than all of its time; under [craft] lower hover_share or climb_share, or write a shorter punch"
                    .to_owned(),
            ));
        }
        let pack_at = item.read(&field::PACK_TEMPERATURE).map_or(coldest.value, |said| said.value);
        let [least, most] = power::CELL_SPAN;
        if pack_at < least || pack_at > most {
            let mend = if pack_at < least { "keep it warm" } else { "let it cool before it is used" };
            return Err(Lack::wrong(format!(
                "the pack at take-off, {pack_at}, must lie between {least} and {most}, where cells are known; {mend}, and under [craft] write how warm it is: pack_temperature = \"20 °C\""
            )));
        }
        Ok(Self {
            planned: item.read(&field::PLANNED_FLIGHT).map(|planned| planned.value),
            start: Percent::new(raw(item.read(&field::START_CHARGE))?),
            land,
            coldest: coldest.value,
            hottest: hottest.value,
            pack_at,
            altitude: Metres::new(raw(item.read(&field::ALTITUDE))?),
            shares,
            climb: MetresPerSecond::new(raw(item.read(&field::CLIMB_RATE))?),
            cruise: cruise.value,
            manoeuvre: raw(item.read(&field::MANOEUVRE))?,
            punch,
            throttle: raw(item.read(&field::THROTTLE_LIMIT))?,
        })
    }

    /// The air at a temperature.
    pub fn air(&self, temperature: Celsius) -> Result<Air, PowerFault> {
        Air::at(self.altitude, temperature)
    }

    /// The legs of a round on a drive in the coldest air.
    pub fn round(&self, drive: &DriveFacts, values: &[f64]) -> Result<Vec<Leg>, PowerFault> {
        self.round_in(drive, values, self.coldest)
    }
    /// The same in air of another temperature.
    pub(crate) fn round_in(
        &self,
        drive: &DriveFacts,
        values: &[f64],
        air: Celsius,
    ) -> Result<Vec<Leg>, PowerFault> {
        let (air, mass) = (self.air(air)?, drive.mass(values));
        let propulsion = drive.propulsion(values)?;
        let [punch, every] = self.punch;
        let [hover, climb] = self.shares;
        let cruise = (1.0 - hover - climb - punch / every).max(0.0);
        let level =
            propulsion.level(mass, self.cruise, drive.drag_area.at(values), air)?.power * self.manoeuvre;
        let leg = |share: f64, draw| Leg { lasts: Seconds::new(share * every), draw, usage: Usage::Typical };
        let legs = [
            leg(hover, held(propulsion.hover(mass, air)?)),
            leg(cruise, held(level)),
            leg(climb, held(propulsion.climb(mass, self.climb, air)?)),
            Leg { usage: Usage::Peak, ..leg(punch / every, drive.at_throttle(values, self.throttle)) },
        ];
        Ok(legs.into_iter().filter(|leg| leg.lasts > Seconds::new(0.0)).collect())
    }

    /// The legs of a whole flight of a length.
    pub fn flight(
        &self,
        drive: &DriveFacts,
        values: &[f64],
        length: Seconds,
    ) -> Result<Vec<Leg>, PowerFault> {
        let round = self.round(drive, values)?;
        let (mut legs, mut left) = (Vec::new(), length.get());
        while left > 1e-9 {
            for leg in &round {
                let lasts = leg.lasts.get().min(left);
                if lasts > 0.0 {
                    legs.push(Leg { lasts: Seconds::new(lasts), ..*leg });
                    left -= lasts;
                }
            }
        }
        Ok(legs)
    }

    /// The mean power of the motors over a round with its punches left out, in W.
    pub fn mean_power(&self, drive: &DriveFacts, values: &[f64]) -> Result<f64, PowerFault> {
        let round = self.round(drive, values)?;
        let work: f64 = round.iter().map(|leg| leg.lasts.get() * leg.draw.power.get()).sum();
        Ok(work / self.punch[1])
    }
}
