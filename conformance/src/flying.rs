//! Answers the checks of `conformance/optics/` on what motion does to the picture and what can still be dodged.
//!
//! Kinds and their answers:
//! - `turned`: `rate_deg_s`, `time_ms`, focal length in pixels `focal_px`; pixels moved, and the time that moves as many;
//! - `passed`: `speed_m_s` at `at_m`, `time_ms`, `focal_px`; pixels moved;
//! - `target`: `size_m` at `at_m`, `focal_px`; pixels across;
//! - `task`: a `task` and `pixels`; its odds; or `size_m`, `focal_px`: from where it is done at even odds;
//! - `latency`: `units_ms`, `rates_hz`; mean, worst, waiting;
//! - `flown`: `speed_m_s`, `time_ms`;
//! - `stop`: `speed_m_s`, `delay_s`, `deceleration`; the way, and the speed that comes back for it;
//! - `spare`: `mass_g`, `thrust_n`, `drag_n`;
//! - `aside`: `aside_m`, `bank_rate_deg_s`, `pull`; the time it takes;
//! - `dodge`: those with `seen_from_m`, `delay_s`, `mass_g`, `thrust_n`, `drag_area_m2`, `density`; the fastest speed.

use optics::{Dodge, Task};
use quantity::{
    DegreesPerSecond, Grams, Hertz, MetresPerSecond, MetresPerSecondSquared, Millimetres, Milliseconds,
    Newtons, Pixels, PixelsPerDegree, Seconds,
};

use crate::given::{Answer, Given, named, told};

/// Our answer, where the kind is one of these.
pub(crate) fn answer(kind: &str, given: &Given) -> Option<Result<Answer, String>> {
    Some(match kind {
        "turned" => turned(given),
        "passed" => passed(given),
        "target" => target(given),
        "task" => task(given),
        "latency" => latency(given),
        "flown" => flown(given),
        "stop" => stop(given),
        "spare" => spare(given),
        "aside" => aside(given),
        "dodge" => dodge(given),
        _ => return None,
    })
}

impl Given<'_> {
    /// Pixels a degree in the middle, from the focal length in pixels: that many a radian.
    fn fine(&self) -> Result<PixelsPerDegree, String> {
        self.number("focal_px").map(|focal| PixelsPerDegree::new(focal.to_radians()))
    }
    fn ms(&self, key: &str) -> Result<Milliseconds, String> {
        self.number(key).map(Milliseconds::new)
    }
    fn speed(&self) -> Result<MetresPerSecond, String> {
        self.number("speed_m_s").map(MetresPerSecond::new)
    }
}

fn turned(given: &Given) -> Result<Answer, String> {
    let (rate, fine) = (DegreesPerSecond::new(given.number("rate_deg_s")?), given.fine()?);
    let moved = optics::turned_while(rate, given.ms("time_ms")?, fine).map_err(told)?;
    let back = optics::time_to_smear(moved, rate, fine).map_err(told)?;
    Ok(named([("moved_px", moved.get()), ("back_ms", back.map_or(f64::INFINITY, Milliseconds::get))]))
}

fn passed(given: &Given) -> Result<Answer, String> {
    let moved =
        optics::passed_while(given.speed()?, given.metres("at_m")?, given.ms("time_ms")?, given.fine()?);
    Ok(named([("moved_px", moved.map_err(told)?.get())]))
}

fn target(given: &Given) -> Result<Answer, String> {
    let wide = optics::width_in_picture(given.metres("size_m")?, given.metres("at_m")?, given.fine()?);
    Ok(named([("wide_px", wide.map_err(told)?.get())]))
}

fn task(given: &Given) -> Result<Answer, String> {
    let word = given.word("task")?;
    let task = match word {
        "detect" => Task::Detect,
        "orient" => Task::Orient,
        "recognise" => Task::Recognise,
        "identify" => Task::Identify,
        _ => return Err(format!("unknown task `{word}`")),
    };
    let needs = ("needs_px", task.pixels().get());
    if given.has("size_m") {
        let size = Millimetres::new(1000.0 * given.number("size_m")?);
        let at = optics::seen_from(size, task.pixels().get(), given.fine()?.get());
        return Ok(named([needs, ("from_m", at.get() / 1000.0)]));
    }
    let odds = task.chance(Pixels::new(given.number("pixels")?)).map_err(told)?;
    Ok(named([needs, ("odds", odds.get())]))
}

fn latency(given: &Given) -> Result<Answer, String> {
    let units: Vec<_> = given.list("units_ms")?.into_iter().map(Milliseconds::new).collect();
    let rates: Vec<_> = given.list("rates_hz")?.into_iter().map(Hertz::new).collect();
    let late = optics::latency(&units, &rates).map_err(told)?;
    Ok(named([
        ("mean_ms", late.mean.get()),
        ("worst_ms", late.worst.get()),
        ("waiting_ms", late.waiting.get()),
    ]))
}

fn flown(given: &Given) -> Result<Answer, String> {
    let time = Seconds::new(given.number("time_ms")? / 1000.0);
    Ok(named([("way_m", optics::flown_in(given.speed()?, time).map_err(told)?.get())]))
}

fn stop(given: &Given) -> Result<Answer, String> {
    let delay = Seconds::new(given.number("delay_s")?);
    let deceleration = MetresPerSecondSquared::new(given.number("deceleration")?);
    let way = optics::stopping_distance(given.speed()?, delay, deceleration).map_err(told)?;
    let back = optics::fastest_stopped(way, delay, deceleration).map_err(told)?;
    Ok(named([("way_m", way.get()), ("back_m_s", back.get())]))
}

fn spare(given: &Given) -> Result<Answer, String> {
    let pull = spare_pull(given, given.number("drag_n")?)?;
    Ok(named([("pull", pull.map_or(f64::NAN, MetresPerSecondSquared::get))]))
}

fn spare_pull(given: &Given, drag: f64) -> Result<Option<MetresPerSecondSquared>, String> {
    let (mass, thrust) = (Grams::new(given.number("mass_g")?), Newtons::new(given.number("thrust_n")?));
    optics::spare_acceleration(mass, thrust, Newtons::new(drag)).map_err(told)
}

fn aside(given: &Given) -> Result<Answer, String> {
    let rate = DegreesPerSecond::new(given.number("bank_rate_deg_s")?);
    let pull = MetresPerSecondSquared::new(given.number("pull")?);
    let time = optics::time_aside(given.metres("aside_m")?, rate, pull).map_err(told)?;
    Ok(named([("time_s", time.get())]))
}

fn dodge(given: &Given) -> Result<Answer, String> {
    let dodge = Dodge {
        seen_from: given.metres("seen_from_m")?,
        delay: Seconds::new(given.number("delay_s")?),
        aside: given.metres("aside_m")?,
        bank_rate: DegreesPerSecond::new(given.number("bank_rate_deg_s")?),
    };
    let drag = 0.5 * given.number("density")? * given.number("drag_area_m2")?;
    // A drag beyond reason is no flight: the same as no pull left.
    let pull = |v: MetresPerSecond| spare_pull(given, drag * v.get() * v.get()).ok().flatten();
    let fastest = dodge.fastest(pull, MetresPerSecond::new(300.0)).map_err(told)?;
    Ok(named([("fastest_m_s", fastest.get())]))
}
