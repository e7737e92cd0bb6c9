//! How long does a pack last, when should one land, when does the picture fail, and what does more mass cost?
//!
//! A flight repeats a round of legs until it is time to land: a resting voltage a cell, or a voltage under load. What its facts' doubts make of it
//! is asked by flying it again with other facts (`endurance_within`). The charge at which something fails is looked for downward from full, since a punch that holds at one
//! charge holds at every greater one but near the ends of a table. Mass costs the difference of two flights.

use crate::discharge::{Discharge, STEP_ERROR, Stretch};
use crate::measures::FREEZING;
use crate::{Fold, Leg, Pack, PackState, PowerFault, Rails, Usage};
use quantity::{Celsius, Grams, Percent, Seconds, Volts};

/// When to land.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Landing {
    /// The pack's cells would rest at this voltage.
    AtRest(Volts),
    /// The weakest cell shows this voltage under load.
    UnderLoad(Volts),
    /// This much charge is left.
    Left(Percent),
    /// This much charge is left, or the weakest cell shows this voltage while no punch is on, whichever comes first. A pilot forgives a punch
    /// its sag, but lands when a cell stays low in steady flight, as a cold one does.
    LeftOrLow(Percent, Volts),
}

/// Why a flight was over.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Over {
    /// It was time to land.
    Landed,
    /// A cell showed too little in steady flight before.
    Low,
    /// A cell was empty before.
    Empty,
    /// The loads wanted more than the pack can give.
    Folded(Fold),
    /// It went on for longer than a day's flying: the loads are too small to tell.
    Endless,
}

/// How long a pack lasted.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Endurance {
    /// In the air.
    pub time: Seconds,
    /// Why not longer.
    pub over: Over,
    /// The charge left.
    pub charge: Percent,
    /// How warm the pack was then, by what it warmed itself and the air took.
    pub warmth: Celsius,
}

/// The longest flight that is followed.
const LONGEST: f64 = 4.0 * 3600.0;
/// The most rounds that are followed, so that rounds of milliseconds end too.
const ROUNDS_MOST: usize = 20_000;

/// Flies a round of legs again and again until it is time to land. Where within a round a charge is reached is chance, and a punch takes in a
/// second what a hover takes in ten: the time to land by charge is told as if the last round took its charge evenly, so that it follows mass,
/// power and capacity without stairs.
pub fn endurance(
    pack: &Pack,
    start: &PackState,
    air: Celsius,
    round: &[Leg],
    landing: Landing,
    rails: &impl Rails,
) -> Result<Endurance, PowerFault> {
    endurance_within(pack, start, air, round, landing, rails, STEP_ERROR)
}

/// The same in steps that each may be off by so many volts of the pack: where many flights are drawn, a few millivolts are nothing beside what
/// their facts are off by.
pub fn endurance_within(
    pack: &Pack,
    start: &PackState,
    air: Celsius,
    round: &[Leg],
    landing: Landing,
    rails: &impl Rails,
    allowed: Volts,
) -> Result<Endurance, PowerFault> {
    let [least, most] = [1e-7, 0.1].map(Volts::new);
    PowerFault::within("volts that a step may be off by", allowed, least, most, "0.05 mV is usual")?;
    let [least, most] = crate::AIR_SPAN;
    PowerFault::within("air temperature", air, least, most, "check the unit: °C is meant")?;
    for leg in round {
        leg.draw.checked()?;
        let [none, day] = [0.0, 86_400.0].map(Seconds::new);
        PowerFault::within("length of a leg", leg.lasts, none, day, "check the unit")?;
    }
    let lasts = round.iter().fold(0.0, |sum, leg| sum + leg.lasts.get());
    let [short, long] = [0.01, 86_400.0].map(Seconds::new);
    PowerFault::within("length of a round", Seconds::new(lasts), short, long, "give it legs that last")?;
    let wanted = landing.checked(pack)?;
    let mut discharge = Discharge::new(pack, start.clone(), air.get() + FREEZING, allowed);
    let mut meter = rails.meter();
    let ended = |discharge: &Discharge, over: Over, time: f64| Endurance {
        time: Seconds::new(time),
        over,
        charge: discharge.state.charge(),
        warmth: discharge.state.temperature(),
    };
    let mut before = [0.0, start.share()];
    if let Some(share) = wanted.share
        && start.share() <= share
    {
        return Ok(ended(&discharge, Over::Landed, 0.0));
    }
    // The share that the round before took, and what a cell showed in steady flight then.
    let (mut took, mut showed): (Option<f64>, Option<f64>) = (None, None);
    for _ in 0..ROUNDS_MOST {
        let [began, full] = [discharge.time, discharge.state.share()];
        let (mut landed, mut over, mut steady): (Option<f64>, _, f64) = (None, None, f64::INFINITY);
        for leg in round {
            let mut watts = |volts: f64| meter(volts, leg.usage);
            let mut last = None;
            let stretch = discharge.run(&leg.draw, leg.lasts, &mut watts, &mut |at, moment| {
                if wanted.steady.is_some() {
                    // Before the first moment of all a cell showed what it shows then.
                    showed = showed.or_else(|| Some(at.standing(moment).weakest.get()));
                    last = Some(*moment);
                }
                if landed.is_none() {
                    match (wanted.share, wanted.shown) {
                        // Charge falls nearly straight within a step.
                        (Some(share), _) if moment.share <= share => {
                            let part = (before[1] - share) / (before[1] - moment.share).max(1e-30);
                            landed = Some(before[0] + part.clamp(0.0, 1.0) * (moment.time - before[0]));
                        }
                        (_, Some(volts)) if at.standing(moment).weakest.get() <= volts => {
                            landed = Some(moment.time)
                        }
                        _ => before = [moment.time, moment.share],
                    }
                }
            });
            over = match stretch {
                Stretch::Done => None,
                Stretch::Empty => Some(Over::Empty),
                Stretch::Folded(fold) => Some(Over::Folded(fold)),
            };
            // At the end of a leg the dip that a punch left has gone.
            if let Some(moment) = last.filter(|_| leg.usage != Usage::Peak) {
                steady = steady.min(discharge.standing(&moment).weakest.get());
            }
            let by_voltage = landed.is_some() && wanted.shown.is_some();
            if over.is_some() || by_voltage {
                break;
            }
        }
        if let (Some(time), Some(_)) = (landed, wanted.shown) {
            return Ok(ended(&discharge, Over::Landed, time));
        }
        // What is over within this round after the landing does not count: then the round before says how fast charge went.
        let by_charge = landed.zip(wanted.share).map(|(time, share)| {
            let whole = over.is_none().then(|| full - discharge.state.share());
            let evenly = |taken: f64| began + ((full - share) / taken.max(1e-30)).clamp(0.0, 1.0) * lasts;
            let charge = Percent::new(1e2 * share);
            let time = whole.or(took).map_or(time, evenly);
            Endurance { charge, ..ended(&discharge, Over::Landed, time) }
        });
        // Between this round and the one before it fell evenly.
        let low = wanted.steady.filter(|least| steady <= *least).map(|least| {
            let fell = showed.map_or(0.0, |showed| (showed - least) / (showed - steady).max(1e-30));
            ended(&discharge, Over::Low, began + fell.clamp(0.0, 1.0) * lasts)
        });
        let earliest = [by_charge, low].into_iter().flatten();
        if let Some(found) = earliest.min_by(|a, b| a.time.get().total_cmp(&b.time.get())) {
            return Ok(found);
        }
        if let Some(over) = over {
            let time = discharge.time;
            return Ok(ended(&discharge, over, time));
        }
        if discharge.time > LONGEST {
            return Ok(ended(&discharge, Over::Endless, LONGEST));
        }
        took = Some(full - discharge.state.share());
        showed = Some(steady).filter(|steady| steady.is_finite()).or(showed);
    }
    let time = discharge.time;
    Ok(ended(&discharge, Over::Endless, time))
}

/// What ends a flight: a share of charge, volts of a cell at any moment, volts of a cell in steady flight.
#[derive(Clone, Copy, Default)]
struct Wanted {
    share: Option<f64>,
    shown: Option<f64>,
    steady: Option<f64>,
}

impl Landing {
    fn checked(self, pack: &Pack) -> Result<Wanted, PowerFault> {
        let [least, most] = [2.0, 4.5].map(Volts::new);
        let mend = "state one cell, not the pack: 3.5 V at rest, 3.3 V under load";
        let cell = |volts| PowerFault::within("voltage to land at", volts, least, most, mend);
        let left = |left| -> Result<f64, PowerFault> {
            let [none, full] = [0.0, 100.0].map(Percent::new);
            Ok(PowerFault::within("charge to land with", left, none, full, "20 % is usual")?.get() * 1e-2)
        };
        let none = Wanted::default();
        Ok(match self {
            Landing::AtRest(volts) => Wanted { share: Some(pack.share_at_rest(cell(volts)?)), ..none },
            Landing::UnderLoad(volts) => Wanted { shown: Some(cell(volts)?.get()), ..none },
            Landing::Left(charge) => Wanted { share: Some(left(charge)?), ..none },
            Landing::LeftOrLow(charge, volts) => {
                Wanted { share: Some(left(charge)?), steady: Some(cell(volts)?.get()), ..none }
            }
        })
    }
}

/// The greatest charge at which a manoeuvre does not hold; none if it holds down to empty. The pack begins rested; the legs are what
/// comes before and the punch; it fails if the bus falls below a voltage, or the pack folds or is empty.
pub fn fails_below(
    pack: &Pack,
    temperature: Celsius,
    legs: &[Leg],
    least_bus: Volts,
    rails: &impl Rails,
) -> Result<Option<Percent>, PowerFault> {
    let holds = |percent: f64| -> Result<bool, PowerFault> {
        let start = pack.rested(Percent::new(percent), temperature)?;
        let flight = crate::fly(pack, &start, temperature, legs, rails)?;
        let deep = flight.deepest().is_none_or(|leg| leg.deepest.bus < least_bus);
        Ok(flight.ending == crate::Ending::Flown && !deep)
    };
    let Some(fails) =
        (0..=50).rev().map(|step| f64::from(2 * step)).find_map(|percent| match holds(percent) {
            Ok(true) => None,
            Ok(false) => Some(Ok(percent)),
            Err(fault) => Some(Err(fault)),
        })
    else {
        return Ok(None);
    };
    let (mut low, mut high) = (fails?, 100.0);
    if low >= 100.0 {
        return Ok(Some(Percent::new(100.0)));
    }
    high = f64::min(high, low + 2.0);
    for _ in 0..20 {
        let middle = 0.5 * (low + high);
        if holds(middle)? { high = middle } else { low = middle }
    }
    Ok(Some(Percent::new(high)))
}

/// At which voltages to land so that so much charge is left: a cell at rest, and under the load of a hover.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LandingVoltages {
    /// A cell at rest.
    pub rest: Volts,
    /// The weakest cell in a hover that has gone on until its slow parts have come; none if the pack does not carry the hover then.
    pub loaded: Option<Volts>,
    /// The bus then.
    pub bus: Option<Volts>,
}

/// How long a hover goes on before its voltage is read, in s.
const SETTLED: f64 = 120.0;

/// The voltages that say so much charge is left.
pub fn landing_voltages(
    pack: &Pack,
    left: Percent,
    temperature: Celsius,
    hover: &Leg,
    rails: &impl Rails,
) -> Result<LandingVoltages, PowerFault> {
    let [none, full] = [0.0, 100.0].map(Percent::new);
    PowerFault::within("charge to land with", left, none, full, "20 % is usual")?;
    let legs = [Leg { lasts: Seconds::new(SETTLED), ..*hover }];
    let from = |charge: Percent| -> Result<crate::Flight, PowerFault> {
        crate::fly(pack, &pack.rested(charge, temperature)?, temperature, &legs, rails)
    };
    // What the hover uses changes little with charge: begun so much above, it ends where it should.
    let begin = left.max(Percent::new(60.0));
    let used = begin - from(begin)?.pack.charge();
    let flight = from((left + used).min(full))?;
    let stands = flight.legs.last().filter(|_| flight.ending == crate::Ending::Flown).map(|leg| leg.last);
    let rest = pack.rest(left) / pack.series();
    Ok(LandingVoltages { rest, loaded: stands.map(|s| s.weakest), bus: stands.map(|s| s.bus) })
}

/// The time that so much more mass costs; negative where it is gained. `round_of` makes the legs of a mass.
pub fn time_for_mass(
    pack: &Pack,
    start: &PackState,
    air: Celsius,
    [mass, more]: [Grams; 2],
    round_of: impl Fn(Grams) -> Result<Vec<Leg>, PowerFault>,
    landing: Landing,
    rails: &impl Rails,
) -> Result<Seconds, PowerFault> {
    let time = |mass: Grams| -> Result<Seconds, PowerFault> {
        Ok(endurance(pack, start, air, &round_of(mass)?, landing, rails)?.time)
    };
    Ok(time(mass)? - time(mass + more)?)
}
