//! What the motors take, as numbers: hover, climb and cruise from disc theory, full throttle from a stand or the motor's sheet.
//!
//! Points of a stand with current replace the merit of the class. All currents of a stand are thought to be off by one share, that of the
//! point at the highest throttle. Full throttle takes in flight what custom leaves of the stand's current, and goes with the square of the
//! voltage.

use super::custom::{CURRENT_IN_FLIGHT, DRIVE_EFFICIENCY, DRIVE_MERITS, MERIT_SOURCE, MERIT_SPREAD};
use super::slots::{Slot, Slots};
use crate::link::Lack;
use crate::subject::{BEND, all_up_mass, by_custom, drives, level_flight, pack_voltage, stand_air};
use crate::{Placed, Proof};
use craft::schema::{PartKind, craft as craft_schema, drive};
use craft::{Missing, Reading};
use power::{Air, Discs, Draw, PowerFault, Propulsion, StandPoint};
use quantity::{
    Amperes, Basis, Doubt, DoubtKind, FactPath, Grams, GramsForce, Millimetres, Percent, Ratio, Volts, Watts,
};

/// A point of a stand that carries everything: throttle %, thrust gf, current A, voltage V.
type StandRow = [f64; 4];

/// The drive as its facts tell it.
#[derive(Clone, Debug, PartialEq)]
pub struct DriveFacts {
    /// How many motors with blades.
    pub count: u32,
    /// mm.
    pub diameter: Slot,
    /// g, with everything that flies.
    pub mass: Slot,
    /// m².
    pub drag_area: Slot,
    /// Figure of merit times efficiency, where no stand says it.
    pub merit: Option<Slot>,
    /// The stand, rising in throttle; empty where there is none.
    pub stand: Vec<StandRow>,
    /// A of one motor at full throttle: the point of the stand at the highest throttle, or the motor's sheet.
    pub full: Slot,
    /// V at which that holds.
    pub full_at: f64,
    /// Current in flight over that of the stand.
    pub in_flight: Slot,
    /// gf of all motors at full throttle, if known.
    pub thrust: Option<f64>,
}

impl DriveFacts {
    /// Read from the craft.
    pub(super) fn of(proof: &Proof, slots: &mut Slots) -> Result<Self, Lack> {
        let drives = drives(proof);
        let mut lack = Lack::default();
        let mut told = |missing: Missing| lack.add(&Lack::missing(missing));
        let Some(first) = drives.first() else {
            let path = FactPath("craft.motor".to_owned());
            return Err(Lack::missing(Missing { path, label: format!("motors of {:?}", proof.craft.name) }));
        };
        let blades = first.blades.ok_or_else(|| {
            let path = FactPath(format!("place {}.blades", first.motor.place.id));
            Lack::missing(Missing { path, label: format!("blades of {:?}", first.motor.part.name) })
        })?;
        let diameter = blades.part.item().read(&drive::DIAMETER).map_err(&mut told).ok();
        let flight = level_flight(proof).map_err(|missing| missing.into_iter().for_each(&mut told)).ok();
        let nominal = proof.places_of(PartKind::Pack).next().and_then(|pack| pack_voltage(pack).ok());
        let stand = stand(first.motor, nominal);
        if let Some(wrong) = contradicts(first.motor, &stand, nominal) {
            return Err(Lack::wrong(wrong));
        }
        let full = full_current(first.motor, &stand).map_err(&mut told).ok();
        let (Some(diameter), Some(flight), Some(full)) = (diameter, flight, full) else { return Err(lack) };
        let Some(full_at) = top_row(&stand).map(|row| row[3]).or(nominal.map(Volts::get)) else {
            let path = FactPath("craft.pack".to_owned());
            return Err(Lack::missing(Missing {
                path,
                label: "voltage at which the motor's current holds".to_owned(),
            }));
        };
        let merit = if stand.len() >= 2 { None } else { Some(slots.fact(&merit(proof)?)) };
        let thrust = first.motor.part.item().read(&drive::THRUST_FULL).ok().map(|full| full.value.get());
        let thrust = thrust.or(stand.last().map(|row| row[1])).map(|one| one * drives.len() as f64);
        let mass = all_up_mass(proof).whole().map_err(|missing| Lack { missing, wrong: Vec::new() })?;
        let facts = Self {
            count: u32::try_from(drives.len()).unwrap_or(u32::MAX),
            diameter: slots.fact(&diameter),
            mass: slots.sum(proof, &mass),
            drag_area: slots.sum(proof, &flight.drag_area),
            merit,
            stand,
            full: slots.fact(&full),
            full_at,
            in_flight: slots.fact(&by_custom(
                "craft.current_in_flight".to_owned(),
                "current of the motors in flight over that of a stand",
                &CURRENT_IN_FLIGHT,
            )),
            thrust,
        };
        facts.propulsion(slots.values()).map_err(|fault| {
            let (wrong, mend) = crate::subject::fault_and_mend(&fault);
            let id = &first.motor.part.id;
            let mend = mend.unwrap_or_else(|| "write throttle, thrust and current as read".to_owned());
            Lack::wrong(format!(
                "{}: {wrong}; in the rows [[part.{id}.thrust]]: {mend}",
                first.motor.part.name
            ))
        })?;
        Ok(facts)
    }

    /// The drive at some numbers.
    pub fn propulsion(&self, values: &[f64]) -> Result<Propulsion, PowerFault> {
        let discs = Discs::new(self.count, Millimetres::new(self.diameter.at(values)))?;
        let drive = Ratio::new(DRIVE_EFFICIENCY);
        let merit = self.merit.map_or(0.25, |slot| slot.at(values)) / DRIVE_EFFICIENCY;
        let plain = Propulsion::new(discs, self.count, Ratio::new(merit.min(1.0)), drive)?;
        if self.stand.len() < 2 {
            return Ok(plain);
        }
        // The sheet's current says nothing of a stand that ends below full throttle.
        let scale = top_row(&self.stand).map_or(1.0, |row| self.full.at(values) / row[2]);
        let points: Vec<StandPoint> = self
            .stand
            .iter()
            .map(|[throttle, thrust, current, voltage]| StandPoint {
                throttle: Percent::new(*throttle),
                thrust: GramsForce::new(*thrust),
                current: Amperes::new(current * scale),
                voltage: Volts::new(*voltage),
            })
            .collect();
        plain.measured(&points, stand_air()?)
    }

    /// All motors at a throttle in per cent, as a pack feels them in flight.
    pub fn at_throttle(&self, values: &[f64], throttle: f64) -> Draw {
        self.draw(self.full_throttle(values), throttle)
    }
    /// A of all motors at full throttle in flight.
    pub(super) fn full_throttle(&self, values: &[f64]) -> f64 {
        f64::from(self.count) * self.full.at(values) * self.in_flight.at(values)
    }
    /// All motors at a throttle in per cent, from what they take at full throttle.
    pub(super) fn draw(&self, amperes: f64, throttle: f64) -> Draw {
        let current = Amperes::new((amperes * self.current_share(throttle)).max(0.0));
        Draw { throttle: Some((current, Volts::new(self.full_at))), ..Draw::default() }
    }

    /// Current at a throttle over that at full throttle: by the stand, else in proportion, which is too much rather than too little.
    pub fn current_share(&self, throttle: f64) -> f64 {
        self.share_by_stand(throttle, 2).unwrap_or(throttle * 1e-2)
    }
    /// Thrust at a throttle over that at full throttle: by the stand, else with a power of it.
    pub fn thrust_share(&self, throttle: f64) -> f64 {
        self.share_by_stand(throttle, 1).unwrap_or_else(|| (throttle * 1e-2).powf(BEND.value.get()))
    }
    /// A column of the stand at a throttle over what it is at the top; none without a stand up to full throttle.
    fn share_by_stand(&self, throttle: f64, column: usize) -> Option<f64> {
        let top = top_row(&self.stand)?;
        Some(interpolated(&self.stand, column, throttle) / top[column])
    }

    /// g.
    pub fn mass(&self, values: &[f64]) -> Grams {
        Grams::new(self.mass.at(values))
    }
    /// Speed of the air through the discs in hover.
    pub fn induced(&self, values: &[f64], air: Air) -> Result<f64, PowerFault> {
        let discs = Discs::new(self.count, Millimetres::new(self.diameter.at(values)))?;
        Ok(discs.hover(power::weight(self.mass(values)), air)?.induced.get())
    }
}

/// The stand's points that carry throttle, thrust and current, rising in throttle.
fn stand(motor: Placed, nominal: Option<Volts>) -> Vec<StandRow> {
    use drive::thrust::{CURRENT, TABLE, THROTTLE, THRUST, VOLTAGE};
    let rows = motor.part.rows(&TABLE).filter_map(|row| {
        let voltage = row.read(&VOLTAGE).ok().map(|volts| volts.value).or(nominal)?;
        let (throttle, thrust, current) =
            (row.read(&THROTTLE).ok()?, row.read(&THRUST).ok()?, row.read(&CURRENT).ok()?);
        let point = [throttle.value.get(), thrust.value.get(), current.value.get(), voltage.get()];
        (point[1] > 0.0 && point[2] > 0.0).then_some(point)
    });
    let mut rows: Vec<StandRow> = rows.collect();
    rows.sort_by(|a, b| a[0].total_cmp(&b[0]));
    rows
}

/// The row of a stand at full throttle; none of a stand that ends below it, or is a single row.
fn top_row(stand: &[StandRow]) -> Option<&StandRow> {
    stand.last().filter(|row| stand.len() >= 2 && row[0] >= 99.0)
}

/// The current of one motor at full throttle: the stand's highest point, else the motor's sheet.
fn full_current(motor: Placed, stand: &[StandRow]) -> Result<Reading<Amperes>, Missing> {
    let stated = motor.part.item().read(&drive::CURRENT_FULL);
    let Some(top) = top_row(stand) else { return stated };
    let row = motor.part.rows(&drive::thrust::TABLE).find(|row| {
        row.read(&drive::thrust::THROTTLE).is_ok_and(|throttle| (throttle.value.get() - top[0]).abs() < 1e-9)
    });
    row.map_or(stated, |row| row.read(&drive::thrust::CURRENT))
}

/// How far the sheet's current at full throttle and the stand's may lie apart beside their doubts, as a share: another pack, another day.
const APART: f64 = 0.1;

/// What is wrong where the motor's sheet and the top row of its stand tell two currents at full throttle.
fn contradicts(motor: Placed, stand: &[StandRow], nominal: Option<Volts>) -> Option<String> {
    let stated = motor.part.item().read(&drive::CURRENT_FULL).ok()?;
    let [_, _, _, volts] = *top_row(stand)?;
    let read = full_current(motor, stand).ok()?;
    // The sheet's holds at the pack's voltage, and current goes with its square.
    let scale = nominal.map_or(1.0, |nominal| (nominal.get() / volts).powi(2));
    let off = |reading: &Reading<Amperes>| reading.doubt.plus.max(reading.doubt.minus);
    let apart = (stated.value.get() - scale * read.value.get()).abs();
    let allowed = off(&stated) + scale * off(&read) + APART * stated.value.get();
    (apart > allowed).then(|| {
        let id = &motor.part.id;
        format!(
            "{}: {} at full throttle on its sheet and {} in the last row of its stand contradict each other; measure it again, and correct current_full or the last row [[part.{id}.thrust]]",
            motor.part.name, stated.value, read.value
        )
    })
}

/// The merit of the drive: as said of the craft, or that of its class.
fn merit(proof: &Proof) -> Result<Reading<Ratio>, Lack> {
    let said = proof.craft.item().read(&craft_schema::DRIVE_MERIT);
    let missing = match said {
        Ok(said) => return Ok(said),
        Err(missing) => missing,
    };
    let of_class = |class| DRIVE_MERITS.iter().find(|(known, _)| *known == class).map(|(_, merit)| *merit);
    let value = proof.craft.class.and_then(of_class).ok_or_else(|| Lack::missing(missing.clone()))?;
    Ok(Reading {
        value: Ratio::new(value),
        doubt: Doubt::even(MERIT_SPREAD * value),
        kind: DoubtKind::Other,
        basis: Basis::Typical,
        path: missing.path,
        label: format!("merit of the drive, {}", MERIT_SOURCE.place),
    })
}

/// Straight between rows; below the first in proportion, above the last as it is there.
fn interpolated(rows: &[StandRow], column: usize, x: f64) -> f64 {
    let at = |row: &StandRow| [row[0], row[column]];
    let Some(after) = rows.iter().position(|row| row[0] >= x) else {
        return rows.last().map_or(0.0, |row| row[column]);
    };
    let [x1, y1] = at(&rows[after]);
    let [x0, y0] = after.checked_sub(1).map_or([0.0, 0.0], |before| at(&rows[before]));
    if x1 - x0 < 1e-12 { y1 } else { y0 + (y1 - y0) * (x - x0) / (x1 - x0) }
}

/// A power for a share of a flight, which no draw below nought can be.
pub(super) fn held(power: Watts) -> Draw {
    Draw { power: power.max(Watts::new(0.0)), ..Draw::default() }
}
