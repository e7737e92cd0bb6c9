//! What a craft can still dodge: how late its picture is, how far it sees the thinnest obstacle, what pull its thrust leaves.
//!
//! Late: what camera, transmitter, ground receiver and screen take, and half a period of waiting for each rate. A ground
//! receiver with a screen of its own needs no display. The way aside is half the obstacle, half the craft from motor to
//! motor with its blades, and the air a pilot leaves. Thrust is that of a stand, less what flight takes of it.

use crate::subject::{
    LevelFlight, Sight, air_density, drives, full_thrust, leaning, level_flight, said_or_custom,
};
use crate::view_limits::{BANK_RATE, DODGE_AIR, REACTION, THRUST_IN_FLIGHT};
use crate::{Proof, subject::by_custom};
use craft::schema::{Field, PartKind, air, camera, craft as craft_schema, drive, ground};
use craft::{Item, Missing};
use optics::{Dodge, Latency, Task, latency, seen_from, spare_acceleration, thrust_at_speed};
use quantity::{
    DegreesPerSecond, FactPath, Grams, Hertz, Linear, Measure, Metres, MetresPerSecond,
    MetresPerSecondSquared, Millimetres, Milliseconds, Newtons, Seconds, SquareMetres,
};

/// The fastest a craft is thought to fly, in m/s.
const FASTEST: f64 = 100.0;
/// Newtons of one gram-force.
const NEWTONS: f64 = quantity::STANDARD_GRAVITY / 1000.0;

/// How late the picture is.
pub(crate) struct Late {
    /// What each unit takes, in ms, by what it is called.
    pub units: Vec<(String, Linear)>,
    /// The rates that things wait for.
    pub rates: Vec<(String, Hertz)>,
    /// The whole on the mean, in ms.
    pub mean: Linear,
    /// The same with the longest wait, in ms.
    pub worst: f64,
}

/// How late the picture is, or what is missing to say.
pub(crate) fn late(proof: &Proof, sight: &Sight) -> Result<Late, Vec<Missing>> {
    let (mut units, mut rates, mut missing) = (Vec::new(), Vec::new(), Vec::new());
    let mut take = |item: Item, called: &str, field: &Field<Milliseconds>| match item.read(field) {
        Ok(time) => units.push((called.to_owned(), proof.lean(&time))),
        Err(lack) => missing.push(lack),
    };
    let nobody = |key: &str, what: &str| Missing {
        path: FactPath(format!("craft.{key}")),
        label: format!("{what} of {:?}", proof.craft.name),
    };
    let mut absent = Vec::new();
    if let Some(camera) = sight.camera() {
        take(camera.part.item(), "camera", &camera::LATENCY);
        if let Some(mode) = camera.part.rows(&camera::mode::TABLE).next()
            && let Ok(rate) = mode.read(&camera::mode::RATE)
        {
            rates.push(("frame rate of the camera".to_owned(), rate.value));
        }
    }
    match proof.places_of(PartKind::VideoTransmitter).next() {
        Some(unit) => take(unit.part.item(), "transmitter", &air::LATENCY),
        None => absent.push(nobody("video_transmitter", "video transmitter")),
    }
    let receiver = proof.places_of(PartKind::GroundReceiver).next();
    match receiver {
        Some(unit) => take(unit.part.item(), "ground receiver", &air::LATENCY),
        None => absent.push(nobody("ground_receiver", "ground receiver")),
    }
    let shows_itself = receiver.is_some_and(|unit| unit.part.item().flag(&ground::SCREEN) == Ok(true));
    match proof.places_of(PartKind::Display).next() {
        Some(unit) => {
            take(unit.part.item(), "display", &ground::LATENCY);
            if let Ok(rate) = unit.part.item().read(&ground::RATE) {
                rates.push(("rate of the display".to_owned(), rate.value));
            }
        }
        None if shows_itself => {}
        None => absent.push(nobody("display", "display")),
    }
    missing.extend(absent);
    if !missing.is_empty() {
        return Err(missing);
    }
    let times: Vec<Milliseconds> = units.iter().map(|(_, time)| Milliseconds::new(time.value)).collect();
    let plain: Vec<Hertz> = rates.iter().map(|(_, rate)| *rate).collect();
    let Ok(Latency { mean, worst, .. }) = latency(&times, &plain) else { return Err(Vec::new()) };
    let parts: Vec<(f64, &Linear)> = units.iter().map(|(_, time)| (1.0, time)).collect();
    let mean = Linear::chained(mean.get(), &parts);
    Ok(Late { units, rates, mean, worst: worst.get() })
}

/// What a craft can still dodge.
pub(crate) struct Flying {
    /// How late the picture is.
    pub late: Late,
    /// The pilot's reaction, in ms.
    pub reaction: Linear,
    /// How fast it banks, in °/s.
    pub bank_rate: Linear,
    /// Thrust of all motors on a stand, less what flight takes, in N.
    pub thrust: Linear,
    /// What the blades sweep, in m².
    pub discs: f64,
    /// What level flight rests on.
    pub flight: LevelFlight,
    /// The thinnest obstacle, in mm.
    pub obstacle: f64,
    /// How far it must move aside, in m.
    pub aside: f64,
    /// Half its width from motor to motor, blades included, in m.
    pub half_width: f64,
    /// From how far the obstacle is seen, in m.
    pub seen_from: Linear,
}

impl Flying {
    /// What a craft can still dodge of what one lens shows, or what is missing to say.
    pub fn of(proof: &Proof, sight: &Sight) -> Result<Flying, Vec<Missing>> {
        let mut missing = Vec::new();
        let mut lacks = |found: Vec<Missing>| missing.extend(found);
        let obstacle = proof.craft.item().read(&craft_schema::OBSTACLE);
        let late = late(proof, sight).map_err(&mut lacks).ok();
        let thrust = thrust(proof).map_err(&mut lacks).ok();
        let flight = level_flight(proof).map_err(&mut lacks).ok();
        let width = width_and_discs(proof).map_err(&mut lacks).ok();
        let fine = sight.fine();
        let (Ok(obstacle), Some(late), Some(thrust), Some(flight), Some((half_width, discs)), Some(fine)) =
            (&obstacle, late, thrust, flight, width, fine)
        else {
            missing.splice(0..0, obstacle.err());
            if let (true, Some(camera)) = (missing.is_empty(), sight.camera()) {
                missing.push(camera.part.item().missing(&camera::PIXELS_ACROSS.def));
            }
            return Err(missing);
        };
        let obstacle = obstacle.value.get();
        let seen_from = leaning([&fine], |[fine]| {
            Some(seen_from(Millimetres::new(obstacle), Task::Detect.pixels().get(), fine).get() / 1000.0)
        });
        Ok(Flying {
            late,
            reaction: said_or_custom(proof, &craft_schema::REACTION, &REACTION),
            bank_rate: said_or_custom(proof, &craft_schema::BANK_RATE, &BANK_RATE),
            thrust,
            discs,
            flight,
            obstacle,
            aside: obstacle / 2000.0 + half_width + DODGE_AIR.get(),
            half_width,
            seen_from: seen_from.ok_or_else(Vec::new)?,
        })
    }

    fn inputs(&self) -> [&Linear; 7] {
        let (mass, area) = (&self.flight.mass, &self.flight.drag_area);
        [&self.late.mean, &self.reaction, &self.bank_rate, &self.thrust, mass, area, &self.seen_from]
    }

    fn dodge(&self, [late, reaction, bank_rate, _, _, _, seen_from]: [f64; 7]) -> Dodge {
        Dodge {
            seen_from: Metres::new(seen_from),
            delay: Seconds::new((late + reaction) / 1000.0),
            aside: Metres::new(self.aside),
            bank_rate: DegreesPerSecond::new(bank_rate),
        }
    }

    /// The fastest speed at which it still dodges, in m/s.
    pub fn fastest(&self) -> Option<Linear> {
        leaning(self.inputs(), |values| {
            let pull = |speed| pull(values, self.discs, speed);
            self.dodge(values).fastest(pull, MetresPerSecond::new(FASTEST)).ok().map(Measure::raw)
        })
    }

    /// How far it flies at a speed until it has dodged, in m; `None` where thrust cannot keep height at that speed.
    pub fn needs(&self, speed: MetresPerSecond) -> Option<Linear> {
        leaning(self.inputs(), |values| {
            self.dodge(values).needs(speed, pull(values, self.discs, speed)?).ok().map(Measure::raw)
        })
    }

    /// The speed at which thrust just holds weight and drag, in m/s.
    pub fn top_speed(&self) -> f64 {
        let (thrust, mass) = (self.thrust.value, self.flight.mass.value);
        let values = [0.0, 0.0, 0.0, thrust, mass, self.flight.drag_area.value, 0.0];
        let holds = |speed: f64| pull(values, self.discs, MetresPerSecond::new(speed)).is_some();
        let (mut low, mut high) = (0.0, FASTEST);
        if holds(high) {
            return high;
        }
        for _ in 0..40 {
            let middle = 0.5 * (low + high);
            if holds(middle) { low = middle } else { high = middle }
        }
        low
    }
}

/// The pull aside that thrust leaves at a speed: less the faster it flies, for drag takes of the power too.
fn pull(
    [_, _, _, thrust, mass, area, _]: [f64; 7],
    discs: f64,
    speed: MetresPerSecond,
) -> Option<MetresPerSecondSquared> {
    let drag = 0.5 * air_density().get() * SquareMetres::new(area).get() * speed.get() * speed.get();
    let (drag, discs) = (Newtons::new(drag), SquareMetres::new(discs));
    let thrust = thrust_at_speed(Newtons::new(thrust), drag, speed, discs, air_density());
    spare_acceleration(Grams::new(mass), thrust, drag).ok().flatten()
}

/// Thrust of all motors in flight, in N.
fn thrust(proof: &Proof) -> Result<Linear, Vec<Missing>> {
    let drives = drives(proof);
    let mut sum = Linear::exact(0.0);
    let mut missing: Vec<Missing> = Vec::new();
    for drive in &drives {
        match full_thrust(proof, drive.motor) {
            Ok(thrust) => sum = &sum + &(&thrust * NEWTONS),
            Err(lack) => missing.push(lack),
        }
    }
    missing.sort();
    missing.dedup();
    if !missing.is_empty() {
        return Err(missing);
    }
    let left = by_custom(
        "craft.thrust_in_flight".to_owned(),
        "thrust in flight over that of a stand",
        &THRUST_IN_FLIGHT,
    );
    leaning([&sum, &proof.lean(&left)], |[sum, left]| Some(sum * left)).ok_or_else(Vec::new)
}

/// Half the width of the craft, blades included, in m, and what its blades sweep, in m².
fn width_and_discs(proof: &Proof) -> Result<(f64, f64), Vec<Missing>> {
    let (mut widest, mut discs): (f64, f64) = (0.0, 0.0);
    let mut missing = Vec::new();
    for drive in drives(proof) {
        let seat = proof.number_of(&drive.motor.place.id).and_then(|number| proof.inputs().seat(number));
        let Some(seat) = seat else { continue };
        let [_, y, _] = seat.pose.origin().coordinates();
        let radius = match drive.blades.map(|blades| blades.part.item().read(&drive::DIAMETER)) {
            Some(Ok(diameter)) => diameter.value.get() / 2.0,
            Some(Err(lack)) => {
                missing.push(lack);
                continue;
            }
            None => 0.0,
        };
        widest = widest.max(y.abs() + radius);
        discs += std::f64::consts::PI * (radius * 1e-3).powi(2);
    }
    if missing.is_empty() { Ok((widest / 1000.0, discs)) } else { Err(missing) }
}
