//! The share of the time that the picture holds, against distance, with where it is clean, thin, breaking and lost.

use super::words::{decibels, metres};
use super::{EXPOSURE_NOTE, LinkFault, LinkShown, MODEL_NOTE, radio};
use crate::chart::{Across, Axis, Caption, Chart, CurveChart, Mark, Sample, Tone, Zone};
use proof::link::{LOOKED, Link, MarginPoint, held_percent, held_words};
use quantity::{Metres, Unit};

/// How many distances are looked at.
const PLACES: usize = 160;
/// The least stretch that gets a name, as a share of the chart: shorter ones count as the worse of their neighbours.
const STRETCH: f64 = 0.03;

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
    let distances = worst_places(shown, [near, far])?;
    let points = shown
        .link
        .margin_over(&distances, asked.height, asked.attitude(), asked.level.at_socket)
        .map_err(radio)?;
    let zones = zones(shown.link, &points, (far - near) * STRETCH);
    let told: Vec<String> =
        zones.iter().map(|zone| format!("{} to {}", zone.words, metres(zone.span[1]))).collect();
    let here = shown
        .link
        .at(asked.place().map_err(radio)?, asked.attitude(), asked.level.at_socket)
        .map_err(radio)?;
    let (share, words) = (held_percent(here.held), held_words(here.held));
    let message = format!(
        "{} up at {}: {}. At {} the picture holds {words} of the time.",
        metres(asked.height.get()),
        asked.level.out,
        told.join(", then "),
        metres(asked.distance.get()),
    );
    let cliff = shown.link.threshold.cliff;
    let caption = Caption::new(format!("{}: where the picture holds", shown.craft), message)
        .noting(format!(
            "Clean from {} in hand, thin from {}, breaking from 0, lost below ({}). The share counts what reflections take for moments. Of each stretch of the way the worst place is shown, for nulls of the ground are a metre or three wide.",
            decibels(cliff.clean_from().get()),
            decibels(cliff.whole_from().get()),
            if cliff.is_usual() { "common practice" } else { "as the receiver's sheet states it" }
        ))
        .noting(MODEL_NOTE)
        .noting(EXPOSURE_NOTE);
    let curve =
        points.iter().map(|point| Sample::sure(point.distance.get(), held_percent(point.held))).collect();
    let mut chart = CurveChart::new(
        caption,
        Axis::even("distance", Unit::Metres).between(near, far),
        Axis::even("share of the time held", Unit::Percent).between(0.0, 100.0),
    )
    .with("held", curve);
    chart.zones = zones;
    chart
        .marks
        .push(Mark { at: [asked.distance.get().clamp(near, far), share], words: format!("asked: {words}") });
    Ok(chart.into())
}

/// Of each of some even stretches the place with least in hand: between two even places a null may lie.
fn worst_places(shown: &LinkShown, [near, far]: [f64; 2]) -> Result<Vec<Metres>, LinkFault> {
    let asked = shown.asked;
    let ends = [near, far].map(Metres::new);
    let reach =
        shown.link.reach(ends, asked.height, asked.attitude(), asked.level.at_socket).map_err(radio)?;
    let mut worst: Vec<Option<(f64, f64)>> = vec![None; PLACES];
    for (distance, margin) in reach.samples() {
        let (distance, margin) = (distance.get(), margin.get());
        let place = ((distance - near) / (far - near) * PLACES as f64) as usize;
        let known = &mut worst[place.min(PLACES - 1)];
        if known.is_none_or(|(_, least)| margin < least) {
            *known = Some((distance, margin));
        }
    }
    // A stretch that no sample fell into is shown by its middle.
    let step = (far - near) / PLACES as f64;
    let middle = |n: usize| near + step * (n as f64 + 0.5);
    let inner = worst.iter().enumerate().map(|(n, known)| known.map_or(middle(n), |(distance, _)| distance));
    let mut places: Vec<f64> = [near].into_iter().chain(inner).chain([far]).collect();
    places.dedup();
    Ok(places.into_iter().map(Metres::new).collect())
}

fn zones(link: &Link, points: &[MarginPoint], least: f64) -> Vec<Zone> {
    let mut runs: Vec<(usize, f64, f64)> = Vec::new();
    for pair in points.windows(2) {
        // The worse of both ends counts for the stretch between.
        let rank = link.picture_at(pair[0].margin).0.min(link.picture_at(pair[1].margin).0);
        let (from, to) = (pair[0].distance.get(), pair[1].distance.get());
        match runs.last_mut() {
            Some(last) if last.0 == rank => last.2 = to,
            _ => runs.push((rank, from, to)),
        }
    }
    // Short stretches join a neighbour, and the worse word stands for both.
    while let Some(n) = (0..runs.len()).find(|n| runs.len() > 1 && runs[*n].2 - runs[*n].1 < least) {
        let length = |n: usize| runs[n].2 - runs[n].1;
        // The shorter of both neighbours: a long clean stretch is not called broken for a moment beside it.
        let other = match n {
            0 => 1,
            n if n + 1 == runs.len() || length(n - 1) <= length(n + 1) => n - 1,
            n => n + 1,
        };
        let (low, high) = (n.min(other), n.max(other));
        let joined = (runs[low].0.min(runs[high].0), runs[low].1, runs[high].2);
        runs.splice(low..=high, [joined]);
        while let Some(n) = (1..runs.len()).find(|n| runs[*n].0 == runs[n - 1].0) {
            let joined = (runs[n].0, runs[n - 1].1, runs[n].2);
            runs.splice(n - 1..=n, [joined]);
        }
    }
    let names = ["lost", "breaking", "thin", "clean"];
    let tones = [Tone::Dense, Tone::Light, Tone::Bare, Tone::Bare];
    runs.into_iter()
        .map(|(rank, from, to)| Zone {
            lies: Across::Upright,
            span: [from, to],
            words: names[rank.min(3)].to_owned(),
            tone: tones[rank.min(3)],
        })
        .collect()
}
