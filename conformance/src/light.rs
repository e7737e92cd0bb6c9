//! Answers the checks of `conformance/optics/` on light and sharpness.
//!
//! Kinds and their answers:
//! - `stops`: a `pair` and a `reference`, each with `f_number`, `transmission_percent`, sides and `pixels`; stops by cause;
//! - `exposure`: `f_number`, `shutter_s`; exposure value and the illuminance it suits;
//! - `diffraction`: `f_number`, `wavelength_um`; Airy disc and cut-off;
//! - `sensor_cut_off`: `pitch_um`;
//! - `focus`: `focal_length_mm`, `f_number`, `set_to_mm`, `circle_um`; hyperfocal distance, near and far limit, extension;
//! - `blur`: the same lens `set_to_mm`, a point `at_mm` or far away; how wide it is drawn;
//! - `thread`: the same lens turned by `turn_deg` in a thread of `thread_mm`; where it is sharp then, and the turn from far
//!   away to where it was set.

use optics::{FocusedAt, GREEN, LightPair, Objective, SensorArea, stops_over};
use quantity::{Degrees, Micrometres, Millimetres, Percent, Ratio, Seconds};

use crate::given::{Answer, Given, named, told};

/// Our answer, where the kind is one of these.
pub(crate) fn answer(kind: &str, given: &Given) -> Option<Result<Answer, String>> {
    Some(match kind {
        "stops" => stops(given),
        "exposure" => exposure(given),
        "diffraction" => diffraction(given),
        "sensor_cut_off" => sensor_cut_off(given),
        "focus" => focus(given),
        "blur" => blur(given),
        "thread" => thread(given),
        _ => return None,
    })
}

impl Given<'_> {
    fn mm(&self, key: &str) -> Result<Millimetres, String> {
        self.number(key).map(Millimetres::new)
    }
    fn f_number(&self) -> Result<Ratio, String> {
        self.number("f_number").map(Ratio::new)
    }
    fn objective(&self) -> Result<Objective, String> {
        Objective::new(self.mm("focal_length_mm")?, self.f_number()?).map_err(told)
    }
    fn pair(&self) -> Result<LightPair, String> {
        let area = SensorArea::of_sides(self.mm("width_mm")?, self.mm("height_mm")?).map_err(told)?;
        let transmission = Percent::new(self.number("transmission_percent")?);
        let pixels = (self.count("across")?, self.count("down")?);
        LightPair::new(self.f_number()?, transmission, area, pixels).map_err(told)
    }
}

fn stops(given: &Given) -> Result<Answer, String> {
    let more = stops_over(&given.within("pair")?.pair()?, &given.within("reference")?.pair()?);
    Ok(named([
        ("aperture", more.aperture.get()),
        ("transmission", more.transmission.get()),
        ("picture", more.in_the_picture().get()),
        ("pixel", more.in_a_pixel().get()),
        ("noise_db", optics::noise_of(more.in_a_pixel()).get()),
    ]))
}

fn exposure(given: &Given) -> Result<Answer, String> {
    let shutter = Seconds::new(given.number("shutter_s")?);
    let value = optics::exposure_value(given.f_number()?, shutter).map_err(told)?;
    let lux = optics::illuminance_at(value).map_err(told)?;
    Ok(named([("exposure_value", value.get()), ("lux", lux.get())]))
}

fn diffraction(given: &Given) -> Result<Answer, String> {
    let wavelength =
        if given.has("wavelength_um") { Micrometres::new(given.number("wavelength_um")?) } else { GREEN };
    let disc = optics::airy_diameter(given.f_number()?, wavelength).map_err(told)?;
    let cut_off = optics::diffraction_cut_off(given.f_number()?, wavelength).map_err(told)?;
    Ok(named([("disc_um", disc.get()), ("cut_off_lp_mm", cut_off.get())]))
}

fn sensor_cut_off(given: &Given) -> Result<Answer, String> {
    let found = optics::sensor_cut_off(Micrometres::new(given.number("pitch_um")?)).map_err(told)?;
    Ok(named([("cut_off_lp_mm", found.get())]))
}

fn focus(given: &Given) -> Result<Answer, String> {
    let (lens, circle) = (given.objective()?, Micrometres::new(given.number("circle_um")?));
    let set_to = given.mm("set_to_mm")?;
    let range = lens.sharp_range(set_to, circle).map_err(told)?;
    Ok(named([
        ("hyperfocal_mm", lens.hyperfocal(circle).map_err(told)?.get()),
        ("near_mm", range.near.get()),
        ("far_mm", range.far.map_or(f64::INFINITY, Millimetres::get)),
        ("extension_um", 1000.0 * lens.extension(set_to).map_err(told)?.get()),
    ]))
}

fn blur(given: &Given) -> Result<Answer, String> {
    let at = if given.has("at_mm") { Some(given.mm("at_mm")?) } else { None };
    let blur = given.objective()?.blur(given.mm("set_to_mm")?, at).map_err(told)?;
    Ok(named([("blur_um", blur.get())]))
}

fn thread(given: &Given) -> Result<Answer, String> {
    let (lens, set_to, pitch) = (given.objective()?, given.mm("set_to_mm")?, given.mm("thread_mm")?);
    let turn = Degrees::new(given.number("turn_deg")?);
    let after = match lens.after_turn(set_to, turn, pitch).map_err(told)? {
        FocusedAt::Distance(distance) => distance.get(),
        FocusedAt::Infinity => f64::INFINITY,
        FocusedAt::BeyondInfinity => -1.0,
    };
    Ok(named([
        ("after_mm", after),
        ("blur_um", lens.blur_of_turn(turn, pitch).map_err(told)?.get()),
        ("from_far_deg", lens.turn_to(set_to, pitch).map_err(told)?.get()),
    ]))
}
