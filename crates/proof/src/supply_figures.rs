//! Figures of supply and heat that no rule judges: what a pilot flies by.

use crate::Proof;
use crate::supply::{Chain, Does, Supply, Where};
use crate::working::Lines;
use power::{CELL_SOURCE, COOLING_SOURCE, DISC_SOURCE, Leg, landing_voltages, time_for_mass};
use quantity::{Figure, Grams, Linear, Unit};

/// By how much the craft is made heavier to see what mass costs.
const MORE: Grams = Grams::new(10.0);

/// At which voltages to land, and what ten grams cost.
pub(crate) fn flight_figures(proof: &Proof, supply: &Supply, chain: &Chain) -> Vec<Figure> {
    if proof.is_trial() {
        return Vec::new();
    }
    [land_at(proof, supply, chain), mass_costs(proof, supply, chain), hover(proof, supply, chain)]
        .into_iter()
        .flatten()
        .collect()
}

fn land_at(proof: &Proof, supply: &Supply, chain: &Chain) -> Option<Figure> {
    let values = supply.model().slots.values();
    let pack = chain.pack.at(values).ok()?;
    let net = chain.net(values)?;
    let round = chain.plan.round(chain.drive, values).ok()?;
    let hover = round.first()?;
    // A warm cell stands higher at the same charge: who waited for the volts of a cold one would have emptied it.
    let warmth = chain.lands_at(values).map_or(chain.plan.pack_at, |landing| landing.max(chain.plan.pack_at));
    let found = landing_voltages(&pack, chain.plan.land, warmth, hover, &net).ok()?;
    let loaded = found.loaded.unwrap_or(found.rest);
    let lines = Lines::of(proof)
        .given("charge at landing", chain.plan.land.get(), Unit::Percent, "plan")
        .given(
            "pack at landing",
            warmth.get(),
            Unit::Celsius,
            "warmed by the planned flight, or as at take-off where that is warmer",
        )
        .given("a cell at rest", found.rest.get(), Unit::Volts, "its curve at that charge")
        .given("bus in hover", found.bus.map_or(0.0, |bus| bus.get()), Unit::Volts, "behind plug and leads");
    let result = Linear::exact(loaded.get());
    let formula = "voltage of the weakest cell after two minutes of hover that end at the charge of landing";
    Some(lines.figure(
        "feed.land_at",
        "cell voltage to land at, in hover",
        (&result, Unit::Volts),
        formula,
        CELL_SOURCE,
    ))
}

fn mass_costs(proof: &Proof, supply: &Supply, chain: &Chain) -> Option<Figure> {
    let slots = &supply.model().slots;
    let values = slots.values();
    let pack = chain.pack.at(values).ok()?;
    let start = pack.rested(chain.plan.start, chain.plan.pack_at).ok()?;
    let net = chain.net(values)?;
    let mass = chain.drive.mass(values);
    let round_of = |mass: Grams| -> Result<Vec<Leg>, power::PowerFault> {
        chain.plan.round(chain.drive, &slots.with(chain.drive.mass, mass.get()))
    };
    let landing = chain.landing(0.0);
    let cost =
        time_for_mass(&pack, &start, chain.plan.coldest, [mass, MORE], round_of, landing, &net).ok()?;
    let lines = Lines::of(proof).given("mass", mass.get(), Unit::Grams, "figure craft.mass").given(
        "more",
        MORE.get(),
        Unit::Grams,
        "asked",
    );
    let result = Linear::exact(cost.get());
    let formula = "time at this mass - time at this mass and 10 g more";
    Some(lines.figure(
        "feed.mass_costs",
        "flight time that 10 g more cost",
        (&result, Unit::Seconds),
        formula,
        DISC_SOURCE,
    ))
}

fn hover(proof: &Proof, supply: &Supply, chain: &Chain) -> Option<Figure> {
    let slots = &supply.model().slots;
    let air = chain.plan.air(chain.plan.coldest).ok()?;
    let power = |values: &[f64]| {
        let watts = chain.drive.propulsion(values).ok()?.hover(chain.drive.mass(values), air).ok()?;
        Some(watts.get())
    };
    let watts = slots.linear(proof, &slots.sloped(power)?);
    let volts = chain.pack.at(slots.values()).ok()?.rest(quantity::Percent::new(60.0)).get();
    let lines = Lines::of(proof)
        .given(
            "density of air",
            air.density().get(),
            Unit::KilogramsPerCubicMetre,
            "coldest air at the height flown",
        )
        .given("current at 60 % of charge", watts.value / volts, Unit::Amperes, "without the rails")
        .facts(&watts);
    let formula = "T·√(T/(2·ρ·A)) / (figure of merit · efficiency), or what the stand measured";
    Some(lines.figure(
        "feed.hover_power",
        "power of the motors in hover",
        (&watts, Unit::Watts),
        formula,
        DISC_SOURCE,
    ))
}

/// The air that each level needs along the transmitter, and how long each lasts on the bench.
pub(crate) fn heat_figures(proof: &Proof, supply: &Supply) -> Vec<Figure> {
    let Ok(heat) = &supply.model().heat else { return Vec::new() };
    if proof.is_trial() {
        return Vec::new();
    }
    let slots = &supply.model().slots;
    let values = slots.values();
    let limit = slots.of(heat.limit);
    let mut lines = Lines::of(proof).given("limit", limit, Unit::Celsius, "its sheet");
    for (k, level) in heat.levels.iter().enumerate() {
        if let Some(time) = heat.time_to(values, limit, Where::Bench, Does::Sends(k)) {
            let label = format!("at {} in still air", level.out);
            // A level that never heats it to its limit has no time to tell.
            if time < crate::supply::FOR_EVER {
                lines = lines.given(&label, time, Unit::Seconds, "to its limit");
            }
        }
    }
    let Some(speed) = heat.needed_speed(values, heat.set) else { return Vec::new() };
    let result = Linear::exact(speed);
    let formula = "least air speed along its faces at which it stays at its limit, hottest air";
    let label = format!("air that {} needs at its level", heat.called);
    vec![lines.figure("heat.needed_air", label, (&result, Unit::MetresPerSecond), formula, COOLING_SOURCE)]
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    fn lands_at(take_off: &str) -> f64 {
        let sheet = include_str!("../../../demo/linnet.toml");
        let line = "coldest = \"5 °C\"";
        assert!(sheet.contains(line));
        let cold = sheet.replacen(line, &format!("{line}\npack_temperature = \"{take_off}\""), 1);
        let craft = craft::read_sheet(&cold).craft;
        let found = crate::prove(&craft);
        found.figures.iter().find(|figure| figure.id.0 == "feed.land_at").unwrap().quantity.value
    }

    /// A pack that takes off cold is warm when it lands: its voltage then is that of a warm one, within what a minute of air takes.
    #[test]
    fn the_voltage_to_land_at_is_that_of_the_pack_as_it_lands() {
        let [cold, warm] = ["5 °C", "25 °C"].map(lands_at);
        assert!((cold - warm).abs() < 0.04, "{cold} V, taken off warm {warm} V");
    }
}
