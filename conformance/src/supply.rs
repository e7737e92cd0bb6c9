//! Answers the checks of `conformance/power/` that ask capacitors, filters and pins.
//!
//! Kinds and their answers:
//! - `filter`: `coil_uh` of `coil_mohm`, `capacitor_uf` of `esr_mohm`: what passes at `hz`, how a step stands after `s`, what would
//!   damp it, and which power behind it still settles at `volts`;
//! - `bus`: how a pack of `pack_mohm` behind `pack_nh`, with capacitors `across` it, swings with `current_a` chopped at `hz` for `duty` %, and how
//!   the pins swing behind a filter and a converter that `keeps_out` so many times; `impedance`: the same for an ampere at `hz`; `motors`: how
//!   several motors swing out of step, over one of them;
//! - `capacitor`: ripple, energy, inrush and hold-up of one, and how long a limit of `limit_a` charges it;
//! - `pin`: a load of `watts` or `amperes` behind `lead_mohm` on a pack of `volts`.

use ::power::{
    Bus, Capacitor, Chopping, Demand, Filter, Load, Microhenries, PACK, SupplyNet, Tap, Usage, out_of_step,
};
use quantity::{
    Amperes, Celsius, Hertz, Measure, Microfarads, Milliohms, Percent, Ratio, Seconds, Volts, Watts,
};

use crate::given::{Answer, Given, all_told, named, told};

/// Our answer to a check: what is asked, and the values given.
pub(crate) fn answer(kind: &str, given: &Given) -> Result<Answer, String> {
    match kind {
        "filter" => filter(given),
        "bus" => bus_swings(given),
        "impedance" => impedance(given),
        "motors" => {
            let count = given.count("motors")?;
            Ok(named([("times", out_of_step(Volts::new(1.0), count).get())]))
        }
        "capacitor" => capacitor(given),
        "pin" => pin(given),
        other => crate::heat::answer(other, given),
    }
}

fn made(given: &Given) -> Result<Capacitor, String> {
    let capacitance = Microfarads::new(given.number("capacitor_uf")?);
    Capacitor::new(capacitance, Milliohms::new(given.number("esr_mohm")?)).map_err(told)
}

fn coil(given: &Given) -> Result<Filter, String> {
    let coil = Microhenries::new(given.number("coil_uh")?);
    Filter::new(coil, Milliohms::new(given.number("coil_mohm")?), made(given)?).map_err(told)
}

fn chopping(given: &Given) -> Result<Chopping, String> {
    Ok(Chopping {
        current: Amperes::new(given.number("current_a")?),
        duty: Percent::new(given.number("duty")?),
        rate: Hertz::new(given.number("hz")?),
    })
}

fn bus(given: &Given) -> Result<(Bus, Tap), String> {
    let across = given.rows::<2>("across")?.into_iter();
    let across = across.map(|[uf, mohm]| Capacitor::new(Microfarads::new(uf), Milliohms::new(mohm)));
    let across = across.collect::<Result<Vec<_>, _>>().map_err(told)?;
    let [resistance, nano] = [given.number("pack_mohm")?, given.number("pack_nh")?];
    let bus = Bus::new(Milliohms::new(resistance), Microhenries::new(1e-3 * nano), across).map_err(told)?;
    let filter = given.has("coil_uh").then(|| coil(given)).transpose()?;
    let kept_out = given.has("keeps_out").then(|| given.number("keeps_out").map(Ratio::of)).transpose()?;
    Ok((bus, Tap { kept_out, filter }))
}

fn bus_swings(given: &Given) -> Result<Answer, String> {
    let (bus, tap) = bus(given)?;
    let found = bus.swings(&chopping(given)?, &tap).map_err(told)?;
    Ok(named([("bus_v", found.bus.get()), ("pins_v", found.pins.get())]))
}

fn impedance(given: &Given) -> Result<Answer, String> {
    let (bus, tap) = bus(given)?;
    let found = bus.impedances(Hertz::new(given.number("hz")?), &tap).map_err(told)?;
    Ok(named([("bus_mohm", found.bus.get()), ("pins_mohm", found.pins.get())]))
}

fn filter(given: &Given) -> Result<Answer, String> {
    let filter = coil(given)?;
    let mut answer = named([
        ("corner_hz", filter.corner().get()),
        ("damping_mohm", filter.damping_wanted().get()),
        ("larger_uf", filter.capacitance_wanted().get()),
    ]);
    if given.has("volts") {
        let watts = filter.settles_up_to(Volts::new(given.number("volts")?)).map_err(told)?;
        answer.insert("settles_w".to_owned(), watts.get());
    }
    if given.has("hz") {
        let passes = filter.transfer(Hertz::new(given.number("hz")?), None).map_err(told)?;
        answer.insert("passes".to_owned(), passes.raw());
    }
    if given.has("s") {
        let step = filter.step(Seconds::new(given.number("s")?)).map_err(told)?;
        answer.insert("step".to_owned(), step.raw());
    }
    Ok(answer)
}

fn capacitor(given: &Given) -> Result<Answer, String> {
    let (one, volts) = (made(given)?, Volts::new(given.number("volts")?));
    // Behind an inductance that lets no ripple through, all of it flows in the capacitor.
    let bus = Bus::new(Milliohms::new(10.0), Microhenries::new(1e5), vec![one]).map_err(told)?;
    let ripple = bus.swings(&chopping(given)?, &Tap::default()).map_err(told)?;
    let inrush = one.inrush(volts, Milliohms::new(given.number("between_mohm")?)).map_err(told)?;
    let down_to = Volts::new(given.number("down_to_v")?);
    let holds = one.holds_up(volts, down_to, Watts::new(given.number("watts")?)).map_err(told)?;
    let mut answer = named([
        ("ripple_v", ripple.bus.get()),
        ("stored_j", one.stored(volts).get()),
        ("inrush_a", inrush.get()),
        ("holds_up_s", holds.get()),
    ]);
    if given.has("limit_a") {
        let [limit, load] = [given.number("limit_a")?, given.number("load_a")?].map(Amperes::new);
        let time = one.charges_in(volts, limit, load).ok_or("it never charges")?;
        answer.insert("charges_in_s".to_owned(), time.get());
    }
    Ok(answer)
}

fn pin(given: &Given) -> Result<Answer, String> {
    let demand = if given.has("amperes") {
        let current = Amperes::new(given.number("amperes")?);
        Demand::Current { typical: current, peak: current }
    } else {
        let power = Watts::new(given.number("watts")?);
        Demand::Power { typical: power, peak: power, waiting: None }
    };
    let lead = Milliohms::new(given.number("lead_mohm")?);
    let needs = [0.0, 100.0].map(Volts::new);
    let load = Load { name: "load".to_owned(), on: PACK.to_owned(), lead, demand, needs };
    let net = SupplyNet::new(Vec::new(), vec![load], Celsius::new(25.0)).map_err(all_told)?;
    let found = net.at(Volts::new(given.number("volts")?), Usage::Typical);
    let load = found.loads.first().ok_or("no load")?;
    Ok(named([("pin_v", load.volts.get()), ("current_a", load.amperes.get())]))
}
