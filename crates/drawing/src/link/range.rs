//! How far a link holds at each level that the transmitter offers.

use super::words::{decibels, metres};
use super::{EXPOSURE_NOTE, LinkFault, LinkShown, MODEL_NOTE, POWER_NOTE, lacks, radio};
use crate::chart::{Across, Axis, Caption, Chart, CurveChart, Limit, Mark, Sample};
use proof::link::{Farthest, Gone, LOOKED, Outward, RadioLevel, TIMES, ends_together};
use quantity::{Db, Dbm, Figure, Metres, Unit};

/// Powers looked at between two levels.
const BETWEEN: u32 = 24;

/// How far it holds at one level.
#[derive(Clone, Debug, PartialEq)]
pub struct RangeAt {
    /// The level.
    pub level: RadioLevel,
    /// As far as it holds, with its ends of doubt; nought where it does not hold near by.
    pub holds: [f64; 3],
    /// As far as it is clean.
    pub clean: f64,
    /// The same with its working.
    pub figure: Figure,
}

/// How far it holds at every level.
#[derive(Clone, Debug, PartialEq)]
pub struct Ranges {
    /// Each level, least first.
    pub at: Vec<RangeAt>,
    /// From the least level to the greatest, close together: power in mW, how far it holds with its ends of doubt, how far
    /// it is clean.
    pub between: Vec<(f64, [f64; 3], f64)>,
}

/// How far the link holds at every level, turned and as high as asked: the ranges are those of the figures, and between two levels they are
/// searched out in the same way.
pub fn ranges(shown: &LinkShown) -> Result<Ranges, LinkFault> {
    ranges_on(shown, &mut shown.link.outward_as_asked(shown.asked).map_err(radio)?)
}

/// The same on a way out as asked, which is looked at once for all of it.
fn ranges_on(shown: &LinkShown, out: &mut Outward<'_>) -> Result<Ranges, LinkFault> {
    let asked = shown.asked;
    let told = shown.model.range_figures(asked, &shown.proved.ledger, out);
    let told = told.ok_or_else(|| lacks(shown))?.map_err(radio)?;
    let levels = &shown.model.levels;
    // Between two levels the power at the socket goes from one to the other as what is offered does, both in decibels.
    let mut powers: Vec<(f64, f64)> = Vec::new();
    for pair in levels.windows(2) {
        let [from, to] = [0, 1].map(|n| (pair[n].out.get(), pair[n].at_socket.get()));
        for n in 0..BETWEEN {
            let share = f64::from(n) / f64::from(BETWEEN);
            powers.push((from.0 * (to.0 / from.0).powf(share), from.1 + (to.1 - from.1) * share));
        }
    }
    powers.extend(levels.last().map(|last| (last.out.get(), last.at_socket.get())));
    // At each level the band is that of its figure: between two levels the doubt of the margin, and what else may stand about as shares of the range,
    // go from one to the other.
    let doubts: Vec<Doubts> = levels
        .iter()
        .zip(&told)
        .filter(|(_, told)| told.range.distance().get() > 0.0)
        .map(|(level, told)| {
            let shares = told.by_scenery.map(|end| end / told.range.distance());
            Doubts { power: level.out.get().ln(), each: [told.doubt.get(), shares[0], shares[1]] }
        })
        .collect();
    let searched = searched(shown, &powers, &doubts, out)?;
    let mut at = Vec::new();
    for (level, told) in levels.iter().zip(told) {
        let near = |(power, ..): &&(f64, [f64; 3], f64)| (power - level.out.get()).abs() < 1e-9 * power;
        let Some((.., clean)) = searched.iter().find(near) else { continue };
        let usual = told.range.distance().get();
        let holds = [told.ends[0].get(), usual, told.ends[1].get()];
        at.push(RangeAt { level: level.clone(), holds, clean: clean.min(usual), figure: told.figure });
    }
    let between = match &at[..] {
        // One level alone is drawn as a short line about it.
        [only] => [0.98, 1.02].map(|by| (only.level.out.get() * by, only.holds, only.clean)).to_vec(),
        _ => searched,
    };
    Ok(Ranges { at, between })
}

/// What the ends of a range are made of at a power.
struct Doubts {
    /// Its logarithm.
    power: f64,
    /// The standard uncertainty of the margin in decibels, and the ends by what else may stand about as shares of the range.
    each: [f64; 3],
}

/// The range at each of some powers at the socket with its ends of doubt, and as far as it is clean.
fn searched(
    shown: &LinkShown,
    powers: &[(f64, f64)],
    doubts: &[Doubts],
    out: &mut Outward<'_>,
) -> Result<Vec<(f64, [f64; 3], f64)>, LinkFault> {
    let clean = shown.link.threshold.cliff.clean_from().get();
    let doubts: Vec<[f64; 3]> = powers.iter().map(|(power, _)| doubts_at(doubts, power.ln())).collect();
    let mut wanted: Vec<(usize, f64)> = Vec::new();
    for (n, ((_, level), [doubt, ..])) in powers.iter().zip(&doubts).enumerate() {
        let offsets = [0.0, -clean, -TIMES * doubt, TIMES * doubt];
        wanted.extend(offsets.iter().enumerate().map(|(m, offset)| (offsets.len() * n + m, level + offset)));
    }
    wanted.sort_by(|a, b| a.1.total_cmp(&b.1));
    let levels: Vec<Dbm> = wanted.iter().map(|(_, level)| Dbm::new(*level)).collect();
    let found = out.ranges(&levels, Db::new(0.0)).map_err(radio)?;
    let mut far = vec![Metres::new(0.0); wanted.len()];
    for ((n, _), range) in wanted.iter().zip(found) {
        far[*n] = range.distance();
    }
    let each = powers.iter().zip(&doubts).zip(far.chunks(4)).map(|(((power, _), [_, low, high]), far)| {
        let usual = far[0];
        let [least, most] = ends_together(usual, &[[far[2], far[3]], [usual * *low, usual * *high]]);
        (*power, [least.get(), usual.get(), most.get()], far[1].get())
    });
    Ok(each.collect())
}

/// What doubt there is at the logarithm of a power, straight between those that are known.
fn doubts_at(known: &[Doubts], at: f64) -> [f64; 3] {
    let after = known.partition_point(|doubts| doubts.power < at);
    match (after.checked_sub(1).and_then(|n| known.get(n)), known.get(after)) {
        (Some(from), Some(to)) => {
            let share = (at - from.power) / (to.power - from.power);
            std::array::from_fn(|n| from.each[n] + (to.each[n] - from.each[n]) * share)
        }
        (Some(only), None) | (None, Some(only)) => only.each,
        (None, None) => [0.0, 1.0, 1.0],
    }
}

/// Range against power, with a figure for each level and one for what a better pair of antennas brings.
pub fn range(shown: &LinkShown) -> Result<(Chart, Vec<Figure>), LinkFault> {
    let mut out = shown.link.outward_as_asked(shown.asked).map_err(radio)?;
    // What better antennas bring hangs on nothing that is searched out here, and is searched out beside it.
    let (found, better) = std::thread::scope(|all| {
        let better = all.spawn(|| super::costs::better(shown));
        let found = ranges_on(shown, &mut out);
        (found, better.join().unwrap_or_else(|cause| std::panic::resume_unwind(cause)))
    });
    let (found, (better, brings)) = (found?, better?);
    let chart = chart(shown, &found, better, &mut out)?;
    Ok((chart, found.at.into_iter().map(|at| at.figure).chain(brings).collect()))
}

fn chart(
    shown: &LinkShown,
    found: &Ranges,
    better: String,
    out: &mut Outward<'_>,
) -> Result<Chart, LinkFault> {
    let asked = shown.asked;
    let set = found.at.iter().find(|at| at.level.out == asked.level.out);
    let beyond = |far: f64| if far >= LOOKED[1].get() { "beyond ".to_owned() } else { String::new() };
    let message = match set {
        Some(at) if at.holds[1] > 0.0 => {
            let [low, usual, high] = at.holds;
            format!(
                "At {} it holds to {}{}, 99 % of the time, short breaks apart (between {} and {} with twice the standard uncertainty), clean to {}.{}{}",
                at.level.out,
                beyond(usual),
                metres(usual),
                metres(low),
                metres(high),
                metres(at.clean),
                breaks(shown, usual, out)?,
                on_way(shown, out)?
            )
        }
        _ => format!(
            "At {} it does not hold 99 % of the time near by, {} up.",
            asked.level.out,
            metres(asked.height.get())
        ),
    };
    let caption = Caption::new(format!("{}: range against power", shown.craft), message)
        .noting(better)
        .noting(format!(
            "{} up, turned as asked, and looked at from {} on, as far out as it flies high or 3 m. {MODEL_NOTE}",
            metres(asked.height.get()),
            metres(LOOKED[0].get().max(asked.height.get()))
        ))
        .noting(format!(
            "A range is as far as the picture holds 99 % of the time on all antennas of the station, as the receiver chooses or adds them, short breaks apart: {}. Clean, as far as {} and more are left in the same way.",
            shown.link.blink.words(),
            decibels(shown.link.threshold.cliff.clean_from().get())
        ))
        .noting(format!("{POWER_NOTE} {EXPOSURE_NOTE}"));
    let reaches = set.map_or(asked.distance, |at| Metres::new(at.holds[1]));
    let caption = match shown.model.runs_through(reaches, asked.height) {
        Some(through) => caption.noting(format!(
            "The line runs through {}, where no craft is: what is told beyond it counts for nothing. Enter a line that passes it.",
            through.name
        )),
        None => caption,
    };
    let holds = found.between.iter().map(|(power, [low, usual, high], _)| {
        Sample::doubted(*power, *usual, low.min(*usual), high.max(*usual))
    });
    let clean = found.between.iter().map(|(power, _, clean)| Sample::sure(*power, *clean));
    let plan = &shown.model.plan;
    let planned = plan.fly_to.as_ref().map_or(0.0, |fly_to| fly_to.get());
    let highest = found.between.iter().map(|(_, holds, _)| holds[2]).fold(planned.max(10.0), f64::max);
    let mut chart = CurveChart::new(
        caption,
        Axis::tens("power of the transmitter", Unit::Milliwatts),
        Axis::even("range", Unit::Metres).between(0.0, highest * 1.06),
    )
    .with("holds 99 % of the time, short breaks apart", holds.collect())
    .with("clean 99 % of the time, short breaks apart", clean.collect());
    if let Ok(fly_to) = &plan.fly_to {
        chart.limits.push(Limit {
            lies: Across::Level,
            at: fly_to.get(),
            words: format!("planned: {}", metres(fly_to.get())),
        });
    }
    if let Ok(limit) = &plan.radiated_limit
        && let Some(power) = power_at_limit(shown, limit.get())
        && let [first, .., last] = &found.between[..]
    {
        let words = format!("{limit} radiated, the stated limit");
        if (first.0..=last.0).contains(&power) {
            chart.limits.push(Limit { lies: Across::Upright, at: power, words });
        } else {
            let side = if power < first.0 { "under the least" } else { "over the greatest" };
            let words =
                format!("{words}, is reached at {power:.0} mW, {side} level: check your local rules.");
            chart.caption.notes.push(words);
        }
    }
    for at in found.at.iter().filter(|at| at.level.out != asked.level.out) {
        chart.marks.push(Mark { at: [at.level.out.get(), at.holds[1]], words: at.level.out.to_string() });
    }
    if let Some(at) = set {
        let words = format!("set: {}", at.level.out);
        chart.marks.push(Mark { at: [at.level.out.get(), at.holds[1]], words });
    }
    Ok(chart.into())
}

/// The breaks that are flown through before a range ends, and the one that ends it, as sentences.
fn breaks(shown: &LinkShown, range: f64, out: &mut Outward<'_>) -> Result<String, LinkFault> {
    let level = shown.asked.level.at_socket;
    let before = out.flown_through(Farthest::To(Metres::new(range)), level).map_err(radio)?.breaks;
    let mut words = match Gone::longest(&before) {
        None => String::new(),
        Some([from, to]) if before.len() == 1 => {
            format!(
                " One break before is flown through: {} at {}.",
                metres((to - from).get()),
                metres(from.get())
            )
        }
        Some([from, to]) => format!(
            " {} breaks before are flown through, {} together, the longest {} at {}.",
            before.len(),
            metres(Gone::length(&before).get()),
            metres((to - from).get()),
            metres(from.get())
        ),
    };
    if range >= LOOKED[1].get() {
        return Ok(words);
    }
    // Where it comes back for longer than breaks count together, if it does.
    let far = super::held::farthest(shown)?.max(range * 1.2).min(LOOKED[1].get());
    let gone = out.gone(Metres::new(far), level).map_err(radio)?;
    let from = gone.breaks.iter().position(|[_, to]| to.get() > range + 1e-6);
    let after = from.map_or(&[][..], |from| &gone.breaks[from..]);
    let again = |n: usize| after.get(n + 1).map_or(far, |next| next[0].get()) - after[n][1].get();
    let least = shown.link.blink.within().get();
    let Some(ends) = (0..after.len()).find(|n| again(*n) >= least && after[*n][1].get() < far) else {
        words += &format!(
            " From there to {} it breaks, or comes back for less than {}.",
            metres(far),
            metres(least)
        );
        return Ok(words);
    };
    let long = after[ends][1].get() - after[0][0].get();
    let cruise = shown.link.blink.cruise.filter(|cruise| cruise.get() > 0.0);
    let time = cruise.map_or(String::new(), |cruise| format!(", {:.1} s at {cruise}", long / cruise.get()));
    words += &format!(" There it breaks for {}{time}; after that it holds in stretches ", metres(long));
    let last = after.last().filter(|last| last[1].get() >= far).map_or(far, |last| last[0].get());
    words += &match last {
        last if last >= 0.999 * far => format!("past {}.", metres(far)),
        last => format!("to {}, and breaks from there on.", metres(last)),
    };
    Ok(words)
}

/// How much of the way that is asked about holds, as a sentence.
fn on_way(shown: &LinkShown, out: &mut Outward<'_>) -> Result<String, LinkFault> {
    let asked = shown.asked;
    let gone = out.gone(asked.distance, asked.level.at_socket).map_err(radio)?;
    Ok(format!(" Of the way to {} {}.", metres(asked.distance.get()), super::costs::way_words(&gone)))
}

/// The power of the transmitter at which the antenna that radiates most reaches a limit on effective radiated power.
fn power_at_limit(shown: &LinkShown, limit_mw: f64) -> Option<f64> {
    let gain =
        |sender: &proof::link::Mounted| sender.antenna.greatest_gain().get() - sender.feed_loss().usual.get();
    // The level is that of all sockets together, and so is what is radiated.
    let most = shown.link.senders.iter().map(gain).fold(f64::NEG_INFINITY, f64::max);
    let level = &shown.asked.level;
    let more = 10.0 * limit_mw.log10() - most - level.at_socket.get();
    let power = level.out.get() * 10f64.powf(more / 10.0);
    (power.is_finite() && power > 0.0).then_some(power)
}
