//! Answers the checks of `conformance/power/` that ask a pack.
//!
//! Loads stand as `steps`: pairs of amperes and seconds, from rest at a `charge` in percent. Kinds and their answers:
//! - `sag`: the deepest voltage and the one at the end, for a cell of the typical shape with `capacity_mah` and `ohmic_mohm`;
//! - `curve`: volts at rest at `charge` on a `curve` of percent and volts;
//! - `loaded`: `series` cells stated part by part, a moment under `watts`, `current_a` and `full_a` at `full_v`; 1 in `folds` if nothing holds;
//! - `flight`: the same cells over `legs` of watts, amperes at full throttle and seconds; `arrhenius`: resistance by temperature;
//! - `fitted_sag`: the deepest voltage from each of `charges`, for a cell fitted on `readings`: train, seconds, volts.

use ::power::{Branch, Cell, Draw, Ending, Leg, NoRails, OpenCircuit, Pack, Train, Usage, fit_cell, fly};
use quantity::{
    Amperes, Celsius, Measure, MilliampereHours, Milliohms, Percent, Ratio, Seconds, Volts, Watts,
};

use crate::given::{Answer, Given, named, told};

/// Our answer to a check: what is asked, and the values given.
pub(crate) fn answer(kind: &str, given: &Given) -> Result<Answer, String> {
    match kind {
        "sag" => sag(given),
        "fitted_sag" => fitted_sag(given),
        "curve" => {
            let found = curve(given)?.at(Percent::new(given.number("charge")?));
            Ok(named([("volts", found.get())]))
        }
        "loaded" => loaded(given),
        "flight" => flight(given),
        "arrhenius" => {
            let kilojoules = Ratio::of(given.number("kj_mol")?);
            let cell =
                Cell::of_resistance(MilliampereHours::new(1000.0), Milliohms::new(5.0)).map_err(told)?;
            let cell = cell.with_activation(kilojoules).map_err(told)?;
            let at = cell.resistance_factor(Celsius::new(given.number("temperature_c")?)).map_err(told)?;
            Ok(named([("factor", at)]))
        }
        other => crate::supply::answer(other, given),
    }
}

fn capacity(given: &Given) -> Result<MilliampereHours, String> {
    given.number("capacity_mah").map(MilliampereHours::new)
}

/// The deepest voltage of one cell and the one at the end.
fn deepest(cell: &Cell, charge: f64, celsius: f64, steps: &[[f64; 2]]) -> Result<[f64; 2], String> {
    let pack = Pack::new(1, 1, cell.clone(), Milliohms::new(0.0)).map_err(told)?;
    let start = pack.rested(Percent::new(charge), Celsius::new(celsius)).map_err(told)?;
    let leg = |[amperes, seconds]: &[f64; 2]| {
        let draw = Draw { current: Amperes::new(*amperes), ..Draw::default() };
        Leg { lasts: Seconds::new(*seconds), draw, usage: Usage::Typical }
    };
    let legs: Vec<Leg> = steps.iter().map(leg).collect();
    let flight = fly(&pack, &start, Celsius::new(celsius), &legs, &NoRails).map_err(told)?;
    let (deepest, last) = (flight.deepest().ok_or("no leg")?, flight.legs.last().ok_or("no leg")?);
    Ok([deepest.deepest.bus.get(), last.last.bus.get()])
}

fn sag(given: &Given) -> Result<Answer, String> {
    let cell =
        Cell::of_resistance(capacity(given)?, Milliohms::new(given.number("ohmic_mohm")?)).map_err(told)?;
    let celsius = if given.has("temperature_c") { given.number("temperature_c")? } else { 25.0 };
    let [deepest, end] = deepest(&cell, given.number("charge")?, celsius, &given.rows::<2>("steps")?)?;
    Ok(named([("deepest_v", deepest), ("end_v", end)]))
}

fn fitted_sag(given: &Given) -> Result<Answer, String> {
    let steps = given.rows::<2>("trained_steps")?;
    let steps: Vec<_> = steps.iter().map(|[i, s]| (Amperes::new(*i), Seconds::new(*s))).collect();
    let readings = given.rows::<3>("readings")?;
    let charges = given.numbers("trained_charges")?;
    let train = |(k, charge): (usize, &f64)| {
        let own = readings.iter().filter(|row| (row[0] - k as f64).abs() < 0.5);
        let readings = own.map(|[_, time, volts]| (Seconds::new(*time), Volts::new(*volts))).collect();
        Train { charge: Percent::new(*charge), steps: steps.clone(), readings }
    };
    let trains: Vec<Train> = charges.iter().enumerate().map(train).collect();
    let fitted = fit_cell(capacity(given)?, OpenCircuit::pouch(), &trains).map_err(told)?;
    let mut answer = named([("usual_error_v", fitted.usual_error.get())]);
    for charge in given.numbers("charges")? {
        let [deepest, _] = deepest(&fitted.cell, charge, 25.0, &given.rows::<2>("steps")?)?;
        answer.insert(format!("deepest_{charge}_v"), deepest);
    }
    Ok(answer)
}

fn curve(given: &Given) -> Result<OpenCircuit, String> {
    let points = given.rows::<2>("curve")?;
    let points: Vec<_> = points.iter().map(|[p, v]| (Percent::new(*p), Volts::new(*v))).collect();
    OpenCircuit::new(&points).map_err(told)
}

/// `series` cells of `capacity_mah`, `ohmic_mohm`, `exchange_a` (1e6 for none of it), `branches` of mΩ and s, behind `joints_mohm`.
fn stated(given: &Given) -> Result<Pack, String> {
    let ohmic = [(Percent::new(50.0), Milliohms::new(given.number("ohmic_mohm")?))];
    let branch = |[ohm, time]: [f64; 2]| Branch { resistance: Milliohms::new(ohm), time: Seconds::new(time) };
    let branches: Vec<Branch> = given.rows::<2>("branches")?.into_iter().map(branch).collect();
    let exchange = Amperes::new(given.number("exchange_a")?);
    let curve = if given.has("curve") { curve(given)? } else { OpenCircuit::pouch() };
    let cell = Cell::new(capacity(given)?, curve, &ohmic, exchange, &branches).map_err(told)?;
    Pack::new(given.count("series")?, 1, cell, Milliohms::new(given.number("joints_mohm")?)).map_err(told)
}

fn full_throttle(given: &Given, amperes: f64) -> Result<Option<(Amperes, Volts)>, String> {
    let at = if given.has("full_v") { given.number("full_v")? } else { 1.0 };
    Ok((amperes > 0.0).then_some((Amperes::new(amperes), Volts::new(at))))
}

fn loaded(given: &Given) -> Result<Answer, String> {
    let pack = stated(given)?;
    let state = pack.rested(Percent::new(given.number("charge")?), Celsius::new(25.0)).map_err(told)?;
    let some = |key: &str| if given.has(key) { given.number(key) } else { Ok(0.0) };
    let draw = Draw {
        power: Watts::new(some("watts")?),
        current: Amperes::new(some("current_a")?),
        throttle: full_throttle(given, some("full_a")?)?,
    };
    match pack.standing(&state, &draw) {
        Err(_) => Ok(named([("folds", 1.0)])),
        Ok(stands) => {
            let rest = pack.rest(state.charge()).get();
            let (volts, amperes) = (stands.bus.get(), stands.current.get());
            let inside = (rest - volts) * amperes;
            Ok(named([("folds", 0.0), ("volts", volts), ("current_a", amperes), ("lost_w", inside)]))
        }
    }
}

fn flight(given: &Given) -> Result<Answer, String> {
    let pack = stated(given)?;
    let start = pack.rested(Percent::new(given.number("charge")?), Celsius::new(25.0)).map_err(told)?;
    let mut legs = Vec::new();
    for [watts, full, seconds] in given.rows::<3>("legs")? {
        let draw =
            Draw { power: Watts::new(watts), throttle: full_throttle(given, full)?, ..Draw::default() };
        legs.push(Leg { lasts: Seconds::new(seconds), draw, usage: Usage::Typical });
    }
    let flight = fly(&pack, &start, Celsius::new(25.0), &legs, &NoRails).map_err(told)?;
    let (deepest, last) = (flight.deepest().ok_or("no leg")?, flight.legs.last().ok_or("no leg")?);
    Ok(named([
        ("deepest_v", deepest.deepest.bus.get()),
        ("end_v", last.last.bus.get()),
        ("end_charge", last.charge.get()),
        ("energy_wh", flight.energy.get()),
        ("flown", f64::from(u8::from(flight.ending == Ending::Flown))),
        ("time_s", flight.time.get()),
    ]))
}
