//! The share of the time that the picture holds, against distance, with where it is clean, thin, breaking and lost.

use super::words::{decibels, metres};
use super::{EXPOSURE_NOTE, LinkFault, LinkShown, MODEL_NOTE, radio};
use crate::chart::{Across, Axis, Caption, Chart, CurveChart, Mark, Sample, Tone, Zone};
use proof::link::{Farthest, LOOKED, Link, Seen, held_percent, held_words};
use quantity::{Db, Metres, Unit};

/// How many distances are looked at.
const PLACES: usize = 160;
/// The least stretch that gets a name, as a share of the chart, whose distances go by tens: shorter ones join a neighbour, as holes in it if they are worse.
const STRETCH: f64 = 0.02;

/// How far a chart over distance goes: half as far again as asked, and on until the link is lost.
pub(super) fn farthest(shown: &LinkShown) -> Result<f64, LinkFault> {
    let asked = shown.asked;
    let mut far = (asked.distance.get() * 1.5).max(20.0);
    while far < LOOKED[1].get() / 1.5 {
        let place = Link::on_line(Metres::new(far), asked.height).map_err(radio)?;
        let margin = shown.link.margin(place, asked.attitude(), asked.level.at_socket).map_err(radio)?;
        if margin.get() < -3.0 {
            break;
        }
        far *= 1.5;
    }
    Ok(far.min(LOOKED[1].get()))
}

/// Share of time held against distance.
pub fn held(shown: &LinkShown) -> Result<Chart, LinkFault> {
    let asked = shown.asked;
    let (near, far) = (LOOKED[0].get(), farthest(shown)?);
    let samples = samples(shown, [near, far])?;
    let distances = worst_places(&samples, [near, far]);
    let points = shown
        .link
        .margin_over(&distances, asked.height, asked.attitude(), asked.level.at_socket)
        .map_err(radio)?;
    let zones = zones(&samples, (far / near).ln() * STRETCH);
    let told: Vec<String> = zones
        .iter()
        .map(|zone| format!("{} to {}{}", zone.words, metres(zone.span[1]), dead(&samples, zone.span)))
        .collect();
    let here = shown
        .link
        .at(asked.place().map_err(radio)?, asked.attitude(), asked.level.at_socket)
        .map_err(radio)?;
    let (share, words) = (held_percent(here.held), held_words(here.held));
    let message = format!(
        "{} up at {}: {}. {} At {} the picture holds {words} of the time.",
        metres(asked.height.get()),
        asked.level.out,
        told.join(", then "),
        as_range(shown)?,
        metres(asked.distance.get()),
    );
    let cliff = shown.link.threshold.cliff;
    let caption = Caption::new(format!("{}: where the picture holds", shown.craft), message)
        .noting(format!(
            "Clean where {} and more are left 99 % of the time ({}), thin where it holds 99 % of the time with less left, breaking where it holds less than that, lost where not even the mean has anything in hand. A stretch with holes is worse in some places, most often where the ground's ray takes from the straight one. The share counts what reflections take for moments. Of each stretch of the way the worst place is shown, for nulls of the ground are a metre or three wide.",
            decibels(cliff.clean_from().get()),
            if cliff.is_usual() { "common practice" } else { "as the receiver's sheet states it" }
        ))
        .noting(MODEL_NOTE)
        .noting(EXPOSURE_NOTE);
    let curve =
        points.iter().map(|point| Sample::sure(point.distance.get(), held_percent(point.held))).collect();
    let mut chart = CurveChart::new(
        caption,
        Axis::tens("distance", Unit::Metres).between(near, far),
        Axis::even("share of the time held", Unit::Percent).between(0.0, 100.0),
    )
    .with("held", curve);
    chart.zones = zones;
    chart
        .marks
        .push(Mark { at: [asked.distance.get().clamp(near, far), share], words: format!("asked: {words}") });
    Ok(chart.into())
}

/// The range and how far it is clean, as charts and figures of the range tell them: with the first break that is more than a short one they end, whatever
/// comes after.
fn as_range(shown: &LinkShown) -> Result<String, LinkFault> {
    let (level, clean) = (shown.asked.level.at_socket, shown.link.threshold.cliff.clean_from());
    let mut out = shown.link.outward_as_asked(shown.asked).map_err(radio)?;
    let found = out.ranges(&[level - clean, level], Db::new(0.0)).map_err(radio)?;
    let far = |n: usize| found.get(n).copied().unwrap_or(Farthest::Nowhere);
    Ok(match far(1) {
        Farthest::Nowhere => "As a range, short breaks apart, it holds nowhere.".to_owned(),
        holds => format!(
            "As a range, short breaks apart, it holds {}, clean {}.",
            super::costs::reaches(holds),
            super::costs::reaches(far(0))
        ),
    })
}

/// How the picture is along the way, as closely as the nulls of the ground want.
fn samples(shown: &LinkShown, ends: [f64; 2]) -> Result<Vec<Seen>, LinkFault> {
    let (asked, ends) = (shown.asked, ends.map(Metres::new));
    shown.link.seen(ends, asked.height, asked.attitude(), asked.level.at_socket).map_err(radio)
}

/// The longest place within a stretch where the picture is lost, in words, if it is elsewhere too; empty where it is lost nowhere or all over.
fn dead(samples: &[Seen], [from, to]: [f64; 2]) -> String {
    let lost = |seen: &Seen| seen.picture as usize == 0;
    let within: Vec<&Seen> =
        samples.iter().filter(|seen| (from..=to).contains(&seen.distance.get())).collect();
    let runs = within.chunk_by(|a, b| lost(a) == lost(b)).filter(|run| lost(run[0]));
    let ends = |run: &[&Seen]| [run[0], run[run.len() - 1]].map(|seen| seen.distance.get());
    let longest = runs.map(ends).max_by(|a, b| (a[1] - a[0]).total_cmp(&(b[1] - b[0])));
    match longest {
        Some([start, end]) if end - start < 0.9 * (to - from) => {
            format!(" (lost at {} for {})", metres(start), metres((end - start).max(0.1)))
        }
        _ => String::new(),
    }
}

/// Of each of some even stretches the place with least in hand: between two even places a null may lie.
fn worst_places(samples: &[Seen], [near, far]: [f64; 2]) -> Vec<Metres> {
    let mut worst: Vec<Option<Seen>> = vec![None; PLACES];
    for seen in samples {
        let place = ((seen.distance.get() / near).ln() / (far / near).ln() * PLACES as f64) as usize;
        let known = &mut worst[place.min(PLACES - 1)];
        if known.is_none_or(|known| seen.margin < known.margin) {
            *known = Some(*seen);
        }
    }
    // A stretch that no sample fell into is shown by its middle.
    let step = (far / near).ln() / PLACES as f64;
    let middle = |n: usize| near * (step * (n as f64 + 0.5)).exp();
    let inner =
        worst.iter().enumerate().map(|(n, known)| known.map_or(middle(n), |seen| seen.distance.get()));
    let mut places: Vec<f64> = [near].into_iter().chain(inner).chain([far]).collect();
    places.dedup();
    places.into_iter().map(Metres::new).collect()
}

/// A stretch of the way: how much of it is lost, breaking, thin, clean, and its ends.
#[derive(Clone, Copy)]
struct Stretch {
    parts: [f64; 4],
    from: f64,
    to: f64,
}

impl Stretch {
    fn with(self, next: Self) -> Self {
        Self { parts: std::array::from_fn(|rank| self.parts[rank] + next.parts[rank]), to: next.to, ..self }
    }

    fn length(&self) -> f64 {
        self.to - self.from
    }

    /// What most of it is, the worse of equals.
    fn rank(&self) -> usize {
        (0..4).fold(0, |most, rank| if self.parts[rank] > self.parts[most] { rank } else { most })
    }

    /// Whether any of it is worse than that.
    fn has_holes(&self) -> bool {
        self.parts[..self.rank()].iter().any(|part| *part > 0.0)
    }
}

/// Where the picture is clean, thin, breaking and lost. A stretch is called what most of it is; what is worse within is told as
/// holes in it.
fn zones(samples: &[Seen], least: f64) -> Vec<Zone> {
    let ranked: Vec<(f64, usize)> =
        samples.iter().map(|seen| (seen.distance.get().ln(), seen.picture as usize)).collect();
    let names = ["lost", "breaking", "thin", "clean"];
    let tones = [Tone::Dense, Tone::Light, Tone::Bare, Tone::Bare];
    stretches(&ranked, least)
        .into_iter()
        .map(|run| Zone {
            lies: Across::Upright,
            span: [run.from, run.to].map(f64::exp),
            words: format!("{}{}", names[run.rank()], if run.has_holes() { " with holes" } else { "" }),
            tone: tones[run.rank()],
        })
        .collect()
}

/// The stretches of a way of which places and ranks are known, none shorter than the least unless it is alone.
fn stretches(ranked: &[(f64, usize)], least: f64) -> Vec<Stretch> {
    let mut runs: Vec<Stretch> = Vec::new();
    for pair in ranked.windows(2) {
        // The worse of both ends counts for the stretch between.
        let rank = pair[0].1.min(pair[1].1);
        let mut parts = [0.0; 4];
        parts[rank] = pair[1].0 - pair[0].0;
        runs.push(Stretch { parts, from: pair[0].0, to: pair[1].0 });
    }
    let alike = |a: &Stretch, b: &Stretch| a.rank() == b.rank();
    let join = |runs: &mut Vec<Stretch>, at: usize| {
        let joined = runs[at].with(runs[at + 1]);
        runs.splice(at..=at + 1, [joined]);
    };
    let join_alike = |runs: &mut Vec<Stretch>| {
        let mut kept: Vec<Stretch> = Vec::new();
        for run in runs.drain(..) {
            match kept.last_mut().filter(|last| alike(last, &run)) {
                Some(last) => *last = last.with(run),
                None => kept.push(run),
            }
        }
        *runs = kept;
    };
    join_alike(&mut runs);
    // The shortest of those too short for a name joins its shorter neighbour.
    while runs.len() > 1 {
        let shortest = (0..runs.len()).min_by(|a, b| runs[*a].length().total_cmp(&runs[*b].length()));
        let Some(n) = shortest.filter(|n| runs[*n].length() < least) else { break };
        let before = n > 0 && (n + 1 == runs.len() || runs[n - 1].length() <= runs[n + 1].length());
        join(&mut runs, if before { n - 1 } else { n });
        join_alike(&mut runs);
    }
    runs
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    const CLEAN: usize = 3;

    #[test]
    fn a_null_is_a_hole_in_what_is_clean_and_a_long_loss_has_its_own_name() {
        let rank = |at: f64| match at {
            at if (20.0..22.0).contains(&at) => 0,
            at if at >= 60.0 => 0,
            _ => CLEAN,
        };
        let ranked: Vec<(f64, usize)> = (0..=100).map(f64::from).map(|at| (at, rank(at))).collect();
        let told = stretches(&ranked, 5.0);
        let told: Vec<(usize, bool, f64)> =
            told.iter().map(|run| (run.rank(), run.has_holes(), run.to)).collect();
        assert_eq!(told, [(CLEAN, true, 59.0), (0, false, 100.0)]);
    }

    proptest! {
        /// Stretches cover the way without gaps, and what they are made of is what was there.
        #[test]
        fn nothing_of_the_way_is_lost(ranks in prop::collection::vec(0_usize..4, 2..60), least in 0.0..20.0_f64) {
            let ranked: Vec<(f64, usize)> = ranks.iter().enumerate().map(|(n, rank)| (n as f64, *rank)).collect();
            let runs = stretches(&ranked, least);
            prop_assert_eq!(runs[0].from, 0.0);
            prop_assert_eq!(runs[runs.len() - 1].to, (ranks.len() - 1) as f64);
            prop_assert!(runs.windows(2).all(|pair| pair[0].to == pair[1].from && pair[0].rank() != pair[1].rank()));
            prop_assert!(runs.len() == 1 || runs.iter().all(|run| run.length() >= least));
            for rank in 0..4 {
                let had = ranked.windows(2).filter(|pair| pair[0].1.min(pair[1].1) == rank).count() as f64;
                prop_assert!((runs.iter().map(|run| run.parts[rank]).sum::<f64>() - had).abs() < 1e-9);
            }
        }
    }
}
