//! Answers the checks of the receiver's side in `conformance/radio/`: noise, fading, several antennas, limits.
//!
//! Kinds and their answers:
//! - `noise`, `chain`, `coded_ratio`: floor, figure of a chain, ratio over noise by place in the ladder;
//! - `fading`: share of the time lost at a margin, and the margin that an outage allows (`factor_db` left out: Rayleigh);
//! - `diversity`: share lost with several antennas; `selection_gain`;
//! - `level`, `exposure`, `limit`: power, nearness, what a field strength is as radiated power.

use quantity::{Db, Dbi, Dbm, Measure, Megahertz, Metres, Milliwatts, Probability, Ratio};
use radio::{Combining, Fading};

use crate::given::{Answer, Given, named, told};

/// Our answer to a check.
pub(crate) fn answer(kind: &str, given: &Given) -> Result<Answer, String> {
    match kind {
        "noise" => noise(given),
        "chain" => chain(given),
        "coded_ratio" => coded_ratio(given),
        "fading" => fading(given),
        "diversity" => diversity(given),
        "selection_gain" => {
            let gain = radio::selection_gain(given.number("antennas")? as usize);
            Ok(named([("gain_db", gain.get())]))
        }
        "level" => level(given),
        "exposure" => exposure(given),
        "limit" => limit(given),
        _ => Err(format!("unknown kind `{kind}`")),
    }
}

fn noise(given: &Given) -> Result<Answer, String> {
    let bandwidth = Megahertz::new(given.number("bandwidth_mhz")?);
    let floor = radio::noise_floor(bandwidth, given.db("figure_db")?).map_err(told)?;
    Ok(named([("floor_dbm", floor.get())]))
}

/// `stages`: pairs of gain and figure.
fn chain(given: &Given) -> Result<Answer, String> {
    let stages: Vec<_> =
        given.rows::<2>("stages")?.into_iter().map(|pair| pair.map(Db::new).into()).collect();
    Ok(named([("figure_db", radio::chain_figure(&stages).map_err(told)?.get())]))
}

fn coded_ratio(given: &Given) -> Result<Answer, String> {
    let word = given.word("coding")?;
    let found =
        radio::coded_ratios().find(|(name, _)| *name == word).ok_or(format!("unknown coding `{word}`"))?;
    Ok(named([("ratio_db", found.1.get())]))
}

fn made_fading(given: &Given) -> Result<Fading, String> {
    if given.has("factor_db") {
        Fading::rician(given.db("factor_db")?).map_err(told)
    } else {
        Ok(Fading::RAYLEIGH)
    }
}

fn fading(given: &Given) -> Result<Answer, String> {
    let fading = made_fading(given)?;
    let mut answer = Answer::new();
    if given.has("margin_db") {
        answer.insert("lost".to_owned(), fading.share_lost(given.db("margin_db")?).get());
    }
    if given.has("lost") {
        let held = Probability::new(1.0 - given.number("lost")?);
        let margin = fading.allowance(held).ok_or("no margin holds that long")?;
        answer.insert("margin_db".to_owned(), margin.get());
    }
    Ok(answer)
}

fn diversity(given: &Given) -> Result<Answer, String> {
    let margins: Vec<Db> = given.numbers("margins_db")?.into_iter().map(Db::new).collect();
    let alike = Ratio::of(given.number("correlation")?);
    let lost = |combining| {
        let held = radio::share_held(&margins, made_fading(given)?, alike, combining).map_err(told)?;
        Ok::<_, String>(held.opposite().get())
    };
    Ok(named([("selection", lost(Combining::Selection)?), ("sum", lost(Combining::Sum)?)]))
}

fn level(given: &Given) -> Result<Answer, String> {
    let level = Dbm::from_power(Milliwatts::new(given.number("milliwatts")?)).ok_or("no power")?;
    Ok(named([("dbm", level.get())]))
}

fn exposure(given: &Given) -> Result<Answer, String> {
    let level = Dbm::from_power(Milliwatts::new(given.number("milliwatts")?)).ok_or("no power")?;
    let eirp = radio::radiated(level, Db::new(0.0), Dbi::new(given.number("gain_dbi")?));
    let away = radio::exposure_distance(eirp, radio::EXPOSURE_LEVEL_W_PER_M2).ok_or("no distance")?;
    Ok(named([("distance_mm", away.get() * 1e3)]))
}

fn limit(given: &Given) -> Result<Answer, String> {
    let eirp =
        radio::radiated_from_field(given.number("volts_a_metre")?, Metres::new(given.number("distance_m")?));
    let eirp = eirp.ok_or("no field")?;
    Ok(named([("eirp_dbm", eirp.get()), ("eirp_mw", eirp.power().get())]))
}
