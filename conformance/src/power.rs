//! Answers the checks of `conformance/power/`: air, discs, wires, packs.
//!
//! Kinds and their answers:
//! - `air`: the air at `height_m`, on a day of `temperature_c` where that is given;
//! - `disc`: ideal power of `count` propellers of `diameter_mm` at `thrust_n`, `speed_m_s` and `tilt_deg`, and of the shafts and the
//!   pack where `merit` and `drive` are given; `propeller`: two coefficients at `rpm`;
//! - `gauge`, `metric`, `copper`, `drop`, `fuse`: wires.
//!
//! Packs are in `pack.rs`, rails and filters in `supply.rs`, heat in `heat.rs`.

use ::power::{Air, Discs, Lay, PropellerCoefficients, SquareMillimetres, Wire};
use quantity::{
    Amperes, Celsius, Degrees, Measure, Metres, MetresPerSecond, Millimetres, Newtons, Ratio, Rpm, Seconds,
};
use toml_edit::Table;

use crate::given::{Answer, Given, named, told};

/// Our answer to a check: what is asked, and the values given.
pub(crate) fn answer(kind: &str, given: &Table) -> Result<Answer, String> {
    let given = Given::of(given);
    match kind {
        "air" => {
            let air = given.air()?;
            Ok(named([
                ("temperature_k", air.temperature().get() + 273.15),
                ("pressure_pa", air.pressure().get()),
                ("density", air.density().get()),
                ("viscosity", air.viscosity().get()),
                ("conductivity", air.conductivity().get()),
            ]))
        }
        "disc" => disc(&given),
        "propeller" => propeller(&given),
        "gauge" => gauge(&given),
        "metric" => {
            let wire = Wire::metric(SquareMillimetres::new(given.number("area_mm2")?)).map_err(told)?;
            Ok(named([("ohm_km", wire.per_metre().get())]))
        }
        "copper" => {
            Ok(named([("factor", ::power::copper_factor(Celsius::new(given.number("temperature_c")?)))]))
        }
        "drop" => {
            let (volts, watts) = given
                .wire()?
                .drop(
                    Metres::new(given.number("run_m")?),
                    Amperes::new(given.number("current_a")?),
                    Celsius::new(given.number("temperature_c")?),
                )
                .map_err(told)?;
            Ok(named([("volts", volts.get()), ("watts", watts.get())]))
        }
        "fuse" => {
            let wire = given.wire()?;
            let soon = wire.fuses_within(
                Seconds::new(given.number("time_s")?),
                Celsius::new(given.number("temperature_c")?),
            );
            Ok(named([("at_length_a", wire.fuses_at().get()), ("soon_a", soon.map_err(told)?.get())]))
        }
        other => crate::pack::answer(other, &given),
    }
}

impl Given<'_> {
    /// `height_m`, 0 if it is not given, and `temperature_c`.
    pub(crate) fn air(&self) -> Result<Air, String> {
        let height = Metres::new(if self.has("height_m") { self.number("height_m")? } else { 0.0 });
        if self.has("temperature_c") {
            Air::at(height, Celsius::new(self.number("temperature_c")?)).map_err(told)
        } else {
            Air::standard(height).map_err(told)
        }
    }

    /// Solid wire of `gauge`.
    fn wire(&self) -> Result<Wire, String> {
        let gauge = i32::try_from(self.count("gauge")?).map_err(told)?;
        Wire::gauge(gauge, Lay::Solid).map_err(told)
    }
}

fn disc(given: &Given) -> Result<Answer, String> {
    let discs =
        Discs::new(given.count("count")?, Millimetres::new(given.number("diameter_mm")?)).map_err(told)?;
    let thrust = given.number("thrust_n")?;
    let (speed, tilt) = if given.has("speed_m_s") {
        (given.number("speed_m_s")?, given.number("tilt_deg")?)
    } else {
        (0.0, 0.0)
    };
    let ideal = discs
        .forward(Newtons::new(thrust), MetresPerSecond::new(speed), Degrees::new(tilt), given.air()?)
        .map_err(told)?;
    Ok(named([
        ("induced_m_s", ideal.induced.get()),
        ("power_w", ideal.power.get()),
        ("loading_n_m2", thrust / (discs.area().get() * 1e-4)),
    ]))
}

fn propeller(given: &Given) -> Result<Answer, String> {
    let coefficient = |key: &str| given.number(key).map(Ratio::of);
    let found = PropellerCoefficients::new(coefficient("thrust")?, coefficient("power")?).map_err(told)?;
    let diameter = Millimetres::new(given.number("diameter_mm")?);
    let (thrust, power) = found.at(Rpm::new(given.number("rpm")?), diameter, given.air()?);
    Ok(named([("merit", found.figure_of_merit()), ("thrust_n", thrust.get()), ("power_w", power.get())]))
}

fn gauge(given: &Given) -> Result<Answer, String> {
    let gauge = i32::try_from(given.count("gauge")?).map_err(told)?;
    let wire = given.wire()?;
    Ok(named([
        ("diameter_mm", ::power::gauge_diameter(gauge).get()),
        ("area_mm2", wire.area().get()),
        ("ohm_km", wire.per_metre().get()),
    ]))
}
