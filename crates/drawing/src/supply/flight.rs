//! The supply over a flight, at a punch by charge, and how long the pack lasts.

use super::{PACK_NOTE, SupplyFault, SupplyShown, time_axis};
use crate::chart::{Across, Axis, Caption, Chart, CurveChart, Limit, Mark, Sample};
use proof::supply::{Lasts, POCKET, VIDEO, sure};
use quantity::Unit;

/// Points of a flight that are drawn at most: the deepest are kept.
const DRAWN_MAX: usize = 1200;

fn volts(value: f64) -> String {
    format!("{value:.2} V")
}

fn minutes(seconds: f64) -> String {
    format!("{:.1} min", seconds / 60.0)
}

/// Pack, rails and the video's pins over a flight as planned.
pub fn over_flight(shown: &SupplyShown) -> Result<Chart, SupplyFault> {
    let chain = shown.supply.chain().map_err(|lack| shown.lacks(&lack))?;
    let slots = &shown.supply.model().slots;
    let points = shown.supply.course();
    let step = points.len().div_ceil(DRAWN_MAX).max(1);
    let lowest = points.iter().min_by(|a, b| a.video.total_cmp(&b.video));
    let video = &chain.net.loads[VIDEO];
    let needs = video.least.map(|least| slots.of(least));
    let message = match (lowest, needs) {
        (Some(_), _) if shown.supply.worst().is_some_and(|worst| worst.overloaded()) => {
            "A rail on the way to the video gives less than it takes at its peak: drawn is what its pins would see if it gave that.".to_owned()
        }
        (Some(lowest), Some(needs))
            if lowest.video >= needs && shown.supply.fail_charge().is_some_and(|f| f.value > chain.plan.land.get()) =>
        {
            format!(
                "As planned the video's pins see {} at the least, {:.0} % left; it needs {}. A punch takes the picture below {:.0} %: do not fly on.",
                volts(lowest.video),
                lowest.charge,
                volts(needs),
                shown.supply.fail_charge().map_or(0.0, |fails| fails.value.ceil())
            )
        }
        (Some(lowest), Some(needs)) if lowest.video >= needs => format!(
            "The video's pins see {} at the least, after {} with {:.0} % left; it needs {}.",
            volts(lowest.video),
            minutes(lowest.at),
            lowest.charge,
            volts(needs)
        ),
        (Some(lowest), Some(needs)) => format!(
            "The video goes dark after {} with {:.0} % left: its pins see {}, it needs {}.",
            minutes(lowest.at),
            lowest.charge,
            volts(lowest.video),
            volts(needs)
        ),
        _ => "The flight cannot be flown through at these facts.".to_owned(),
    };
    let caption = Caption::new(format!("{}: supply over a flight", shown.craft), message)
        .noting("Hover, cruise and climb as planned, a punch now and then; the pack as cold as at take-off.")
        .noting("After a punch the bus comes back at once by what wires and cells resist, and over half a minute by the cells' slow voltages.")
        .noting(match shown.supply.worst().map_or(0.0, |worst| worst.trough) {
            trough if trough >= 5e-3 => {
                format!("At a punch the video's pins are drawn at the trough of their ripple, {:.0} mV under its mean.", 1e3 * trough)
            }
            _ => "Of the motors' ripple next to nothing reaches the video's pins.".to_owned(),
        })
        .noting(plugged(shown))
        .noting(PACK_NOTE);
    let (across, scale) = time_axis("time", points.last().map_or(0.0, |point| point.at));
    let mut chart = CurveChart::new(caption, across, Axis::even("voltage", Unit::Volts));
    let along = |value: &dyn Fn(&proof::supply::SupplyPoint) -> f64| -> Vec<Sample> {
        let kept = points.iter().enumerate().filter(|(n, point)| {
            n % step == 0 || lowest.is_some_and(|lowest| (lowest.at - point.at).abs() < 1e-9)
        });
        kept.map(|(_, point)| Sample::sure(scale * point.at, value(point))).collect()
    };
    chart = chart.with("pack, behind plug and leads", along(&|point| point.bus));
    for (k, rail) in chain.net.rails.iter().enumerate().take(4) {
        let carries = chain.net.loads.iter().any(|load| load.on == rail.name);
        if carries {
            chart = chart.with(rail.called.clone(), along(&|point| point.rails[k]));
        }
    }
    chart = chart.with("video's pins", along(&|point| point.video));
    if let Some(needs) = needs {
        chart.limits.push(Limit {
            lies: Across::Level,
            at: needs,
            words: format!("video needs {}", volts(needs)),
        });
    }
    if let Some(lowest) = lowest {
        chart.marks.push(Mark { at: [scale * lowest.at, lowest.video], words: volts(lowest.video) });
    }
    Ok(chart.into())
}

/// What the plug sees when it meets.
fn plugged(shown: &SupplyShown) -> String {
    let legible = |[joules, amperes]: [f64; 2]| {
        // A hundredth of a joule is no spark, and nought is none.
        let joules = if joules < 0.01 { "under 0.01".to_owned() } else { format!("{joules:.2}") };
        (joules, amperes)
    };
    match shown.supply.through_the_plug().map(legible) {
        Some((joules, amperes)) => format!(
            "Plugged in full, the capacitors on the pack take {joules} J through the plug, up to {amperes:.0} A in the first moment."
        ),
        None => {
            "No capacitor of known size stands on the pack: nothing sparks at the plug but the boards' own."
                .to_owned()
        }
    }
}

/// What the bus has in hand at a punch, by charge.
pub fn punch_by_charge(shown: &SupplyShown) -> Result<Chart, SupplyFault> {
    let chain = shown.supply.chain().map_err(|lack| shown.lacks(&lack))?;
    let land = chain.plan.land.get();
    let punches = shown.supply.punches();
    let fails = shown.supply.fail_charge().map(|fails| fails.value);
    let worst = shown.supply.worst();
    let up = sure(worst.map_or(0.0, |worst| worst.stays_up));
    // The curve is of the pack alone: a rail that gives too little fails at every charge.
    let carried = worst.map_or(1.0, |worst| worst.carried);
    let message = match fails {
        _ if worst.is_some_and(|worst| worst.least_bus.is_infinite() || worst.overloaded()) => format!(
            "The video's rail gives less than it takes at its peak: it is {up} sure to stay up, whatever the charge."
        ),
        Some(fails) if fails <= 0.0 && carried < 0.99 => format!(
            "The pack holds at every punch, but that its rail carries the video's peak is {} sure only.",
            sure(carried)
        ),
        Some(fails) if fails >= 100.0 => "A punch takes the picture even with a full pack.".to_owned(),
        Some(fails) if fails <= 0.0 => {
            format!("No punch takes the picture; at {land:.0} % it stays up, {up} sure.")
        }
        Some(fails) => format!(
            "A punch takes the picture below {:.0} %; at {land:.0} % it stays up with a chance of {up}.",
            fails.ceil()
        ),
        None => "The punch cannot be worked out at these facts.".to_owned(),
    };
    let caption = Caption::new(format!("{}: a punch, by charge", shown.craft), message)
        .noting(format!(
            "Full throttle for {} s after two minutes of flight, the pack at {}. The band is twice the standard uncertainty.",
            chain.plan.punch[0], chain.plan.pack_at
        ))
        .noting(PACK_NOTE);
    let (across, hand) =
        (Axis::even("charge", Unit::Percent).between(0.0, 100.0), Axis::even("volts in hand", Unit::Volts));
    let samples =
        punches.iter().map(|at| Sample::doubted(at.charge, at.margin[1], at.margin[0], at.margin[2]));
    let mut chart = CurveChart::new(caption, across, hand).with("bus in hand at a punch", samples.collect());
    chart.limits.push(Limit { lies: Across::Level, at: 0.0, words: "below, the picture fails".to_owned() });
    chart.limits.push(Limit { lies: Across::Upright, at: land, words: format!("landing at {land:.0} %") });
    Ok(chart.into())
}

/// The share of flights that are still in the air.
pub fn endurance(shown: &SupplyShown) -> Result<Chart, SupplyFault> {
    let chain = shown.supply.chain().map_err(|lack| shown.lacks(&lack))?;
    let planned = chain.plan.planned.as_ref().ok().map(|planned| planned.get());
    let found = shown.supply.flights();
    let message = match &found {
        Some(Lasts { times, .. }) => format!(
            "Half of all flights last {} or longer, nine in ten {}{}.",
            minutes(times.quantile(0.5)),
            minutes(times.quantile(0.1)),
            planned.map_or(String::new(), |planned| format!("; {} are planned", minutes(planned)))
        ),
        None => "How long the pack lasts cannot be worked out at these facts.".to_owned(),
    };
    let caption = Caption::new(format!("{}: how long the pack lasts", shown.craft), message)
        .noting(format!(
            "{} flights, each with all facts drawn from their doubts{}, down to {:.0} % of the charge to be had, the pack at {} in air of {}.",
            found.map_or(0, |found| found.times.sorted().len()),
            if found.is_some_and(|found| found.are_flown) { " and flown" } else { ", by first order" },
            chain.plan.land.get(),
            chain.plan.pack_at,
            chain.plan.coldest
        ))
        .noting(PACK_NOTE);
    let longest = found.map_or(0.0, |found| found.times.quantile(1.0));
    let (across, scale) = time_axis("time", longest.max(planned.unwrap_or(0.0)));
    let mut chart =
        CurveChart::new(caption, across, Axis::even("still in the air", Unit::Percent).between(0.0, 100.0));
    if let Some(Lasts { times, .. }) = found {
        let sorted = times.sorted();
        let count = sorted.len() as f64;
        let steps = sorted.iter().enumerate().step_by((sorted.len() / 60).max(1));
        let line = steps.map(|(n, time)| Sample::sure(scale * *time, 100.0 * (1.0 - n as f64 / count)));
        // All are in the air before the first lands, and none after the last.
        let ends = sorted.last().map(|time| Sample::sure(scale * *time, 0.0));
        chart = chart.with("flights", line.chain(ends).collect());
        chart.marks.push(Mark { at: [scale * times.quantile(0.1), 90.0], words: "nine in ten".to_owned() });
    }
    if let Some(planned) = planned {
        chart.limits.push(Limit {
            lies: Across::Upright,
            at: scale * planned,
            words: format!("planned {}", minutes(planned)),
        });
    }
    Ok(chart.into())
}

/// How long the pack lasts by the air it flies in: as cold as the air at take-off, and kept warm.
pub fn by_warmth(shown: &SupplyShown) -> Result<Chart, SupplyFault> {
    let chain = shown.supply.chain().map_err(|lack| shown.lacks(&lack))?;
    let found = shown.supply.by_warmth();
    let planned = chain.plan.planned.as_ref().ok().map(|planned| planned.get());
    let [pack_at, air] = [chain.plan.pack_at, chain.plan.coldest];
    let lasts = shown.supply.lasts().map(|lasts| lasts.value);
    let coldest = found.first();
    let message = match (lasts, coldest) {
        (Some(lasts), Some(cold)) => format!(
            "As planned, the pack at {pack_at} in air of {air}, it lasts {} on the mean; at {:.0} °C it lasts {}, kept warm until take-off {}{}.",
            minutes(lasts),
            cold.air,
            minutes(cold.times[0]),
            minutes(cold.times[1]),
            // Full throttle on less voltage takes less current: that is no gain.
            if cold.times[0] > cold.times[1] {
                ": a cold pack lasts longer only because its punches are weaker"
            } else {
                ""
            }
        ),
        _ => "How long the pack lasts cannot be worked out at these facts.".to_owned(),
    };
    let caption = Caption::new(format!("{}: how long it lasts, by temperature", shown.craft), message)
        .noting("A cold pack gives less of its charge and sags more; flying warms it, the air cools it. Cold air carries more, which takes less power.")
        .noting(PACK_NOTE);
    let across = Axis::even("air", Unit::Celsius);
    let longest = found.iter().map(|lasts| lasts.times[1]).fold(planned.unwrap_or(0.0), f64::max);
    let (up, scale) = time_axis("lasts on the mean", longest);
    let mut chart = CurveChart::new(caption, across, up);
    let names = ["pack as cold as the air at take-off".to_owned(), format!("pack at {POCKET} at take-off")];
    for (k, name) in names.into_iter().enumerate() {
        let line = found.iter().map(|at| Sample::sure(at.air, scale * at.times[k]));
        chart = chart.with(name, line.collect());
    }
    if let Some(planned) = planned {
        let words = format!("planned {}", minutes(planned));
        chart.limits.push(Limit { lies: Across::Level, at: scale * planned, words });
    }
    if let Some(lasts) = lasts {
        chart.marks.push(Mark { at: [air.get(), scale * lasts], words: "as planned".to_owned() });
    }
    Ok(chart.into())
}
