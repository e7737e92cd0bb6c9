//! How far a link holds at each level that the transmitter offers.

use super::words::{decibels, metres};
use super::{EXPOSURE_NOTE, LinkFault, LinkShown, MODEL_NOTE, POWER_NOTE, radio};
use crate::chart::{Across, Axis, Caption, Chart, CurveChart, Limit, Mark, Sample};
use proof::link::{LOOKED, RadioLevel, TIMES, ends_together};
use quantity::{Db, Dbm, Figure, Metres, Unit};

/// Powers looked at between two levels.
const BETWEEN: u32 = 24;

/// How far it holds at one level.
#[derive(Clone, Debug, PartialEq)]
pub struct RangeAt {
    /// The level.
    pub level: RadioLevel,
    /// As far as it holds all the way, with its ends of doubt; nought where it does not hold near by.
    pub holds: [f64; 3],
    /// As far as it is clean all the way.
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
    let asked = shown.asked;
    let lacks = || LinkFault::Lacks { craft: shown.craft.to_owned(), lacks: "a part".to_owned() };
    let told = shown.model.range_figures(asked, &shown.proved.ledger).ok_or_else(lacks)?.map_err(radio)?;
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
    let searched = searched(shown, &powers, &doubts)?;
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
) -> Result<Vec<(f64, [f64; 3], f64)>, LinkFault> {
    let asked = shown.asked;
    let clean = shown.link.threshold.cliff.clean_from().get();
    let doubts: Vec<[f64; 3]> = powers.iter().map(|(power, _)| doubts_at(doubts, power.ln())).collect();
    let mut wanted: Vec<(usize, f64)> = Vec::new();
    for (n, ((_, level), [doubt, ..])) in powers.iter().zip(&doubts).enumerate() {
        let offsets = [0.0, -clean, -TIMES * doubt, TIMES * doubt];
        wanted.extend(offsets.iter().enumerate().map(|(m, offset)| (offsets.len() * n + m, level + offset)));
    }
    wanted.sort_by(|a, b| a.1.total_cmp(&b.1));
    let levels: Vec<Dbm> = wanted.iter().map(|(_, level)| Dbm::new(*level)).collect();
    let found = shown.link.farthest(asked.height, asked.attitude(), &levels, Db::new(0.0)).map_err(radio)?;
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
    let found = ranges(shown)?;
    let (better, brings) = super::costs::better(shown)?;
    let chart = chart(shown, &found, better)?;
    Ok((chart, found.at.into_iter().map(|at| at.figure).chain([brings]).collect()))
}

fn chart(shown: &LinkShown, found: &Ranges, better: String) -> Result<Chart, LinkFault> {
    let asked = shown.asked;
    let beyond_it = Beyond::of(shown, found)?;
    let set = found.at.iter().find(|at| at.level.out == asked.level.out);
    let beyond = |far: f64| if far >= LOOKED[1].get() { "beyond ".to_owned() } else { String::new() };
    let message = match set {
        Some(at) if at.holds[1] > 0.0 => {
            let [low, usual, high] = at.holds;
            format!(
                "At {} it holds all the way to {}{}, 99 % of the time (between {} and {} with twice the standard uncertainty), clean to {}.{}",
                at.level.out,
                beyond(usual),
                metres(usual),
                metres(low),
                metres(high),
                metres(at.clean),
                beyond_it.words(shown)
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
            "{} up, turned as asked; all the way means without a gap from {} on, as far out as it flies high or 3 m. {MODEL_NOTE}",
            metres(asked.height.get()),
            metres(LOOKED[0].get().max(asked.height.get()))
        ))
        .noting(format!(
            "A range is as far as the picture holds 99 % of the time on all antennas of the station, as the receiver chooses or adds them; clean, as far as {} and more are left 99 % of the time.",
            decibels(shown.link.threshold.cliff.clean_from().get())
        ))
        .noting(format!("{POWER_NOTE} {EXPOSURE_NOTE}"));
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
    .with("holds 99 % of the time", holds.collect())
    .with("clean 99 % of the time", clean.collect());
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

/// What comes beyond the range at the asked level.
struct Beyond {
    /// Where it first breaks, and from where on it holds again for as long as a pilot would call holding.
    hole: Option<[f64; 2]>,
    /// As far as it holds at all.
    last: f64,
}

/// Less than this of holding again, in metres, ends no hole.
const AGAIN: f64 = 2.0;

impl Beyond {
    fn of(shown: &LinkShown, found: &Ranges) -> Result<Self, LinkFault> {
        let asked = shown.asked;
        let range = found.at.iter().find(|at| at.level.out == asked.level.out).map_or(0.0, |at| at.holds[1]);
        let far = super::held::farthest(shown)?.max(range * 1.2).min(LOOKED[1].get());
        let from = LOOKED[0].get().max(asked.height.get()).min(far);
        let ends = [from, far].map(Metres::new);
        let level = asked.level.at_socket;
        let reach = shown.link.reach(ends, asked.height, asked.attitude(), level).map_err(radio)?;
        let held = reach.held(Db::new(0.0));
        let again = held.iter().find(|held| held.from.get() > range && (held.to - held.from).get() >= AGAIN);
        let hole = again.map(|again| [range, again.from.get()]).filter(|[from, to]| to > from);
        Ok(Self { hole, last: held.last().map_or(0.0, |last| last.to.get()) })
    }

    /// The same as sentences.
    fn words(&self, shown: &LinkShown) -> String {
        let Some([from, to]) = self.hole else { return String::new() };
        let long = to - from;
        let cruise = shown.model.plan.cruise.as_ref().filter(|cruise| cruise.get() > 0.0);
        let time =
            cruise.map_or(String::new(), |cruise| format!(", {:.1} s at {cruise}", long / cruise.get()));
        let last = if self.last >= 0.999 * LOOKED[1].get() {
            "as far as was looked".to_owned()
        } else {
            format!("to {}, and nowhere beyond", metres(self.last))
        };
        format!(" There it breaks for {}{time}; after that it holds in stretches {last}.", metres(long))
    }
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
