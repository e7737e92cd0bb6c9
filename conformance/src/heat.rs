//! Answers the checks of `conformance/power/` that ask heat.
//!
//! Kinds and their answers:
//! - `upright`, `level`, `flat`, `cylinder`: Nusselt numbers;
//! - `level_cylinder`: a Nusselt number; `shed`: watts a metre of bare wire; `wire_current`: what warms a gauge to a temperature;
//! - `face`: what an upright face of `size_mm` gives off at `face_c`; `radiated`: a black body;
//! - `warming`: a `board` and perhaps a `sink` (mm, mm, area over outline, J/K) after `s`, from the air's temperature;
//! - `touch`: two limits.

use ::power::{
    Attitude, Body, Contact, Face, JoulesPerKelvin, Skin, Surroundings, Unit, Warmth, WattsPerKelvin,
};
use quantity::{Celsius, Measure, MetresPerSecond, Millimetres, Ratio, Seconds, Watts};

use crate::given::{Answer, Given, named, told};

/// Our answer to a check: what is asked, and the values given.
pub(crate) fn answer(kind: &str, given: &Given) -> Result<Answer, String> {
    let nusselt = |value: f64| Ok(named([("nusselt", value)]));
    match kind {
        "upright" => nusselt(::power::upright_plate(given.number("rayleigh")?, given.number("prandtl")?)),
        "level" => nusselt(::power::level_plate(given.number("rayleigh")?, given.number("up")? > 0.5)),
        "flat" => nusselt(::power::flat_plate(given.number("reynolds")?, given.number("prandtl")?)),
        "cylinder" => nusselt(::power::cylinder(given.number("reynolds")?, given.number("prandtl")?)),
        "level_cylinder" => {
            nusselt(::power::level_cylinder(given.number("rayleigh")?, given.number("prandtl")?))
        }
        "shed" => {
            let wire = Celsius::new(given.number("wire_c")?);
            let about = wire_about(given, given.number("speed_m_s")?)?;
            let shed = ::power::shed_per_metre(Millimetres::new(given.number("mm")?), wire, about);
            Ok(named([("w_m", shed.ok_or("the wire is no warmer than the air")?)]))
        }
        "wire_current" => {
            let gauge = i32::try_from(given.count("gauge")?).map_err(told)?;
            let wire = ::power::Wire::gauge(gauge, ::power::Lay::Stranded).map_err(told)?;
            let at = Celsius::new(given.number("wire_c")?);
            let current = wire.steady_current(at, wire_about(given, 0.0)?);
            Ok(named([("a", current.ok_or("the wire is no warmer than the air")?.get())]))
        }
        "face" => one_face(given),
        "radiated" => {
            // A black face beside another of the same temperature exchanges 4·σ·T³ a kelvin.
            let kelvin = given.number("kelvin")?;
            let air =
                ::power::Air::at(quantity::Metres::new(0.0), Celsius::new(kelvin - 273.15)).map_err(told)?;
            let face = face([30.0, 30.0, 1.0], 1.0)?;
            let about = Surroundings { air, speed: MetresPerSecond::new(0.0) };
            let each = face.radiation(Celsius::new(kelvin - 273.15), about).get();
            Ok(named([("w_m2", each * kelvin / 4.0)]))
        }
        "warming" => warming(given),
        "touch" => Ok(named([
            ("metal_held_c", ::power::touch_limit(Skin::Metal, Contact::Held).get()),
            ("plastic_gripped_c", ::power::touch_limit(Skin::Plastic, Contact::Gripped).get()),
        ])),
        other => Err(format!("unknown kind `{other}`")),
    }
}

fn face([width, length, fold]: [f64; 3], emissivity: f64) -> Result<Face, String> {
    let size = [width, length].map(Millimetres::new);
    Face::new(size, Attitude::Upright, Ratio::of(emissivity), Ratio::of(fold)).map_err(told)
}

fn wire_about(given: &Given, speed: f64) -> Result<Surroundings, String> {
    let air = ::power::Air::at(quantity::Metres::new(0.0), Celsius::new(given.number("air_c")?));
    Ok(Surroundings { air: air.map_err(told)?, speed: MetresPerSecond::new(speed) })
}

fn about(given: &Given) -> Result<Surroundings, String> {
    Ok(Surroundings { air: given.air()?, speed: MetresPerSecond::new(given.number("speed_m_s")?) })
}

fn one_face(given: &Given) -> Result<Answer, String> {
    let [width, length] = given.fixed::<2>("size_mm")?;
    let (face, about) = (face([width, length, given.number("fold")?], 0.9)?, about(given)?);
    let at = Celsius::new(given.number("face_c")?);
    let (convection, radiation) = (face.convection(at, about).get(), face.radiation(at, about).get());
    let over = at.get() - about.air.temperature().get();
    let watts = (convection + radiation) * face.area().get() * 1e-4 * over;
    Ok(named([("convection", convection), ("radiation", radiation), ("watts", watts)]))
}

fn body(given: &Given, key: &str) -> Result<Body, String> {
    let [width, length, fold, capacity] = given.fixed::<4>(key)?;
    Ok(Body { capacity: JoulesPerKelvin::new(capacity), faces: vec![face([width, length, fold], 0.9)?] })
}

fn warming(given: &Given) -> Result<Answer, String> {
    let sink = if given.has("sink") {
        Some((body(given, "sink")?, WattsPerKelvin::new(given.number("pad_w_k")?)))
    } else {
        None
    };
    let unit = Unit::new(body(given, "board")?, sink).map_err(told)?;
    let (about, heat) = (about(given)?, Watts::new(given.number("watts")?));
    let cold = Warmth { board: about.air.temperature(), sink: about.air.temperature() };
    let then = unit.after(cold, heat, about, Seconds::new(given.number("s")?)).map_err(told)?;
    let steady = unit.steady(heat, about).map_err(told)?;
    Ok(named([("board_c", then.board.get()), ("sink_c", then.sink.get()), ("steady_c", steady.board.get())]))
}
