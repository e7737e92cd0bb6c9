//! How far a link holds at each level that the transmitter offers.

use super::words::metres;
use super::{EXPOSURE_NOTE, LinkFault, LinkShown, MODEL_NOTE, POWER_NOTE, radio};
use crate::chart::{Across, Axis, Caption, Chart, CurveChart, Limit, Mark, Sample};
use proof::link::{LOOKED, Link, RadioLevel};
use quantity::{
    Basis, Db, Figure, FigureId, Metres, Quantity, Source, Term, Unit, Working, standard_uncertainty,
};

/// What is held in hand for a clean picture (common practice: clean from 6 dB on).
const CLEAN: Db = Db::new(6.0);

/// Powers looked at between two levels.
const BETWEEN: u32 = 24;

/// How far it holds at one level.
#[derive(Clone, Debug, PartialEq)]
pub struct RangeAt {
    /// The level.
    pub level: RadioLevel,
    /// As far as it holds all the way from near by, with its ends of doubt; nought where it does not hold near by.
    pub holds: [f64; 3],
    /// As far as it is clean all the way.
    pub clean: f64,
}

/// How far it holds at every level.
#[derive(Clone, Debug, PartialEq)]
pub struct Ranges {
    /// Each level, least first.
    pub at: Vec<RangeAt>,
    /// From the least level to the greatest, close together: power in mW, how far it holds with its ends of doubt, how far
    /// it is clean.
    pub between: Vec<(f64, [f64; 3], f64)>,
    /// The standard uncertainty of the margin, which the ends of doubt are made of.
    pub doubt: f64,
}

/// How far the link holds at every level, turned and as high as asked.
pub fn ranges(shown: &LinkShown) -> Result<Ranges, LinkFault> {
    let asked = shown.asked;
    let level = asked.level.at_socket;
    let reach = shown.link.reach(LOOKED, asked.height, asked.attitude(), level).map_err(radio)?;
    let place = asked.place().map_err(radio)?;
    let margin = shown.link.margin_with_doubt(place, asked.attitude(), &asked.level).map_err(radio)?;
    let doubt = standard_uncertainty(&margin, &shown.proved.ledger);
    let none = Db::new(0.0);
    let held = |more: f64| {
        let far = |more: f64, reserve: Db| {
            Link::range(&reach, Db::new(more), reserve).all_the_way.map_or(0.0, Metres::get)
        };
        let holds = [more - 2.0 * doubt, more, more + 2.0 * doubt].map(|more| far(more, none));
        (holds, far(more, CLEAN))
    };
    let levels = &shown.model.levels;
    let at: Vec<RangeAt> = levels
        .iter()
        .map(|other| {
            let (holds, clean) = held((other.at_socket - level).get());
            RangeAt { level: other.clone(), holds, clean }
        })
        .collect();
    // Between two levels the power at the socket goes from one to the other as what is offered does, both in decibels.
    let mut between = Vec::new();
    for pair in levels.windows(2) {
        let [from, to] = [0, 1].map(|n| (pair[n].out.get(), (pair[n].at_socket - level).get()));
        for n in 0..BETWEEN {
            let share = f64::from(n) / f64::from(BETWEEN);
            let (holds, clean) = held(from.1 + (to.1 - from.1) * share);
            between.push((from.0 * (to.0 / from.0).powf(share), holds, clean));
        }
    }
    match &at[..] {
        // One level alone is drawn as a short line about it.
        [only] => {
            between = [0.98, 1.02].map(|by| (only.level.out.get() * by, only.holds, only.clean)).to_vec()
        }
        all => between.extend(all.last().map(|last| (last.level.out.get(), last.holds, last.clean))),
    }
    Ok(Ranges { at, between, doubt })
}

/// Range against power, with a figure for each level.
pub fn range(shown: &LinkShown) -> Result<(Chart, Vec<Figure>), LinkFault> {
    let found = ranges(shown)?;
    let figures = found.at.iter().map(|at| figure(shown, at, found.doubt)).collect();
    Ok((chart(shown, &found)?, figures))
}

fn chart(shown: &LinkShown, found: &Ranges) -> Result<Chart, LinkFault> {
    let asked = shown.asked;
    let set = found.at.iter().find(|at| at.level.out == asked.level.out);
    let beyond = |far: f64| if far >= LOOKED[1].get() { "beyond ".to_owned() } else { String::new() };
    let message = match set {
        Some(at) if at.holds[1] > 0.0 => {
            let [low, usual, high] = at.holds;
            format!(
                "At {} it holds all the way to {}{} (between {} and {} with twice the standard uncertainty), clean to {}.",
                at.level.out,
                beyond(usual),
                metres(usual),
                metres(low),
                metres(high),
                metres(at.clean)
            )
        }
        _ => format!("At {} it does not hold near by, {} up.", asked.level.out, metres(asked.height.get())),
    };
    let caption = Caption::new(format!("{}: range against power", shown.craft), message)
        .noting(format!(
            "{} up, turned as asked; all the way means without a gap from {} on. {MODEL_NOTE}",
            metres(asked.height.get()),
            metres(LOOKED[0].get())
        ))
        .noting(NOTHING_KEPT.to_owned())
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
    .with("holds all the way", holds.collect())
    .with("clean all the way, 6 dB in hand", clean.collect());
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

/// The figures of the range keep a reserve, the curves none: said, or one would be taken for the other.
const NOTHING_KEPT: &str = "Nothing is kept in hand here: at the end of each way the mean is just what is needed, and where reflections come and go the picture holds about half of the moments. The figures link.range keep what 99 moments in 100 need, and are shorter.";

/// The power of the transmitter at which the antenna that radiates most reaches a limit on effective radiated power.
fn power_at_limit(shown: &LinkShown, limit_mw: f64) -> Option<f64> {
    let shared = 10.0 * (shown.link.senders.len().max(1) as f64).log10();
    let gain =
        |sender: &proof::link::Mounted| sender.antenna.greatest_gain().get() - sender.feed_loss().usual.get();
    let most = shown.link.senders.iter().map(gain).fold(f64::NEG_INFINITY, f64::max) - shared;
    let level = &shown.asked.level;
    let more = 10.0 * limit_mw.log10() - most - level.at_socket.get();
    let power = level.out.get() * 10f64.powf(more / 10.0);
    (power.is_finite() && power > 0.0).then_some(power)
}

fn figure(shown: &LinkShown, at: &RangeAt, doubt: f64) -> Figure {
    let line = |label: &str, value: f64, unit: Unit, origin: &str| Term {
        label: label.to_owned(),
        quantity: Quantity { value, unit },
        uncertainty: None,
        origin: origin.to_owned(),
    };
    let asked = shown.asked;
    let terms = vec![
        line("level at the socket", at.level.at_socket.get(), Unit::Dbm, "the transmitter's sheet"),
        line("height", asked.height.get(), Unit::Metres, "as asked"),
        line("what is needed", shown.link.threshold.level.get(), Unit::Dbm, "the receiver's sheet"),
        line("standard uncertainty of the margin", doubt, Unit::Db, "facts of both ends, propagated"),
        line("holds to, margin less twice that", at.holds[0], Unit::Metres, "the same search"),
        line("holds to, margin more by twice that", at.holds[2], Unit::Metres, "the same search"),
        line("clean to, with 6 dB in hand", at.clean, Unit::Metres, "the same search"),
    ];
    Figure {
        id: FigureId(format!("link.asked.range_{}", at.level.out.get()).into()),
        label: format!("holds all the way at {}", at.level.out),
        quantity: Quantity { value: at.holds[1], unit: Unit::Metres },
        uncertainty: None,
        basis: Basis::DataSheet,
        working: Working {
            formula:
                "the first distance at which the margin, sampled along the flying line, falls under 0 dB"
                    .to_owned(),
            terms,
            source: Source::common_practice(
                "sampled finely enough for every lobe of the ground; straight between samples",
            ),
        },
    }
}
