//! How a transmitter warms up on the bench, and how much air it needs.

use super::{HOT_NOTE, SupplyFault, SupplyShown, time_axis};
use crate::chart::{Across, Axis, Caption, Chart, CurveChart, Limit, Mark, Sample};
use proof::supply::{FOR_EVER, HeatFacts, WarmLine};
use quantity::Unit;

/// How long the bench is shown when nothing gets hot, in s.
const SHOWN: f64 = 600.0;
/// Air speeds that are shown, m/s.
const FASTEST: f64 = 15.0;
/// Hotter than this nothing is drawn, °C: the unit is off long before.
const HOTTEST: f64 = 160.0;

fn facts<'s>(shown: &'s SupplyShown) -> Result<&'s HeatFacts, SupplyFault> {
    shown.supply.model().heat.as_ref().map_err(|lack| shown.lacks(lack))
}

fn told(time: f64) -> String {
    if time >= FOR_EVER {
        "never reaches it".to_owned()
    } else {
        format!("reaches it in {:.1} min", time / 60.0)
    }
}

/// Temperature over time on the bench, in still air, by level.
pub fn warming_up(shown: &SupplyShown) -> Result<Chart, SupplyFault> {
    let heat = facts(shown)?;
    let limit = shown.supply.model().slots.of(heat.limit);
    let times = shown.supply.bench_times();
    let words: Vec<String> =
        times.iter().map(|(called, [still, _])| format!("{called} {}", told(*still))).collect();
    let fan: Vec<String> =
        times.iter().map(|(called, [_, fan])| format!("{called} {}", told(*fan))).collect();
    let message = format!("Its limit is {limit:.0} °C. On the bench in still air: {}.", words.join(", "));
    let longest =
        times.iter().map(|(_, [still, _])| *still).filter(|time| *time < FOR_EVER).fold(0.0, f64::max);
    let span = if longest > 0.0 { (1.3 * longest).clamp(120.0, 1_800.0) } else { SHOWN };
    let caption = Caption::new(format!("{}: warming up on the bench", shown.craft), message)
        .noting(format!("Before a small fan: {}. Air of {}.", fan.join(", "), heat.hottest))
        .noting(HOT_NOTE);
    let (across, scale) = time_axis("time", span);
    let mut chart = CurveChart::new(caption, across, Axis::even("temperature", Unit::Celsius));
    let mut warming = shown.supply.warming_up(span);
    warming.iter_mut().flat_map(|line| &mut line.points).for_each(|point| point[0] *= scale);
    chart = lines(chart, warming);
    chart.limits.push(Limit { lies: Across::Level, at: limit, words: format!("limit {limit:.0} °C") });
    Ok(chart.into())
}

/// Steady temperature by the air speed along it, by level.
pub fn by_air_speed(shown: &SupplyShown) -> Result<Chart, SupplyFault> {
    let heat = facts(shown)?;
    let slots = &shown.supply.model().slots;
    let limit = slots.of(heat.limit);
    let set = heat.levels[heat.set].out;
    let needed = heat.needed_speed(slots.values(), heat.set);
    let message = match needed {
        Some(speed) if speed <= 0.0 => format!("At {set} it stays below {limit:.0} °C without any wind."),
        Some(speed) => format!("At {set} it wants {speed:.1} m/s along it to stay below {limit:.0} °C."),
        None if heat.hottest.get() >= limit => {
            format!("The air alone is at {}, and its limit is {limit:.0} °C: no wind helps.", heat.hottest)
        }
        None => format!("At {set} no wind keeps it below {limit:.0} °C in air of {}.", heat.hottest),
    };
    let caption = Caption::new(format!("{}: temperature by air speed", shown.craft), message)
        .noting(format!(
            "As hot as it gets in the end, in air of {}; what its chips have over its board is left out.",
            heat.hottest
        ))
        .noting(HOT_NOTE);
    let across = Axis::even("air speed along it", Unit::MetresPerSecond);
    let mut chart = CurveChart::new(caption, across, Axis::even("temperature", Unit::Celsius));
    chart = lines(chart, shown.supply.by_air_speed(FASTEST));
    chart.limits.push(Limit { lies: Across::Level, at: limit, words: format!("limit {limit:.0} °C") });
    if let Ok(drive) = &shown.supply.model().drive
        && let Some(hot) = heat.steady(
            slots.values(),
            Some(drive),
            proof::supply::Where::Hover,
            proof::supply::Does::Sends(heat.set),
        )
        && let Ok(about) = heat.about(slots.values(), Some(drive), proof::supply::Where::Hover)
        && hot < HOTTEST
        && about.speed.get() <= FASTEST
    {
        chart.marks.push(Mark { at: [about.speed.get(), hot], words: format!("hover at {set}") });
    }
    Ok(chart.into())
}

fn lines(chart: CurveChart, lines: Vec<WarmLine>) -> CurveChart {
    lines.into_iter().fold(chart, |chart, line| {
        let below = line.points.into_iter().filter(|[_, up]| *up < HOTTEST);
        chart.with(line.called, below.map(|[at, up]| Sample::sure(at, up)).collect())
    })
}
