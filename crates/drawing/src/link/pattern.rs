//! What each antenna sends round about, with the craft turned as asked.

use super::words::decibels;
use super::{EXPOSURE_NOTE, LinkFault, LinkShown, radio};
use crate::chart::{Caption, Chart, Cut, PolarChart, PolarMark, Turning, Zero};
use proof::link::{PatternPoint, Plane, Side};
use quantity::{Dbi, Degrees};

/// Directions round a cut.
const STEPS: usize = 120;
/// The gain at the middle.
const LEAST: Dbi = Dbi::new(-25.0);

/// A chart for each antenna: of the craft from above and from the side, of the station from above.
pub fn patterns(shown: &LinkShown) -> Result<Vec<Chart>, LinkFault> {
    let mut charts = Vec::new();
    for n in 0..shown.link.senders.len() {
        charts.push(cut(shown, (Side::Craft, n), Plane::Level)?);
        charts.push(cut(shown, (Side::Craft, n), Plane::Along)?);
    }
    for n in 0..shown.link.grounds.len() {
        charts.push(cut(shown, (Side::Ground, n), Plane::Level)?);
    }
    Ok(charts)
}

fn cut(shown: &LinkShown, (side, n): (Side, usize), plane: Plane) -> Result<Chart, LinkFault> {
    let asked = shown.asked;
    let points = shown.link.pattern_cut((side, n), plane, asked.attitude(), STEPS).map_err(radio)?;
    let name = match side {
        Side::Craft => shown.model.sender_called(n),
        Side::Ground => shown.model.ground_called(n),
    };
    let (from, quarters, zero) = match plane {
        Plane::Along => ("from the side", ["away", "up", "to the pilot", "down"], Zero::Right),
        _ => ("from above", ["away", "left", "to the pilot", "right"], Zero::Top),
    };
    let [distance, height] = [asked.distance.get(), asked.height.get()];
    let place = |n: usize| shown.link.grounds.get(n).map_or([0.0; 3], |ground| ground.place);
    let (other, angle) = match (side, plane) {
        (Side::Craft, Plane::Along) => {
            ("to the station", (place(0)[2] - height).atan2(place(0)[0] - distance))
        }
        (Side::Craft, _) => ("to the station", place(0)[1].atan2(place(0)[0] - distance)),
        (Side::Ground, _) => ("to the craft", (-place(n)[1]).atan2(distance - place(n)[0])),
    };
    let angle = Degrees::new(angle.to_degrees().rem_euclid(360.0));
    let near = |point: &&PatternPoint| {
        let off = (point.angle.get() - angle.get()).abs();
        (off.min(360.0 - off) * 1e6) as u64
    };
    let shaded = |point: &PatternPoint| Dbi::new(point.gain.get() - point.shadow.get());
    let there = points.iter().min_by_key(near).map(shaded);
    let best = points.iter().map(|point| shaded(point).get()).fold(f64::NEG_INFINITY, f64::max);
    let message = match there {
        Some(gain) => format!(
            "{}: {} dBi {other}, {} under the best of this cut.",
            name,
            format_args!("{}{:.1}", if gain.get() < 0.0 { "−" } else { "" }, gain.get().abs()),
            decibels(best - gain.get())
        ),
        None => name.clone(),
    };
    let caption = Caption::new(format!("{}: {name}, {from}", shown.craft), message).noting(EXPOSURE_NOTE);
    let mut cuts = vec![Cut {
        name: "what the antenna sends".to_owned(),
        points: points.iter().map(|point| (point.angle, point.gain)).collect(),
    }];
    if points.iter().any(|point| point.shadow.get().abs() > 0.05) {
        let points = points.iter().map(|point| (point.angle, shaded(point))).collect();
        cuts.push(Cut { name: "less what the craft takes".to_owned(), points });
    }
    Ok(PolarChart {
        caption,
        cuts,
        marks: vec![PolarMark {
            angle,
            words: other.to_owned(),
            gain: there.filter(|gain| gain.get().is_finite()),
        }],
        least: LEAST,
        zero,
        turning: Turning::Anticlockwise,
        quarters: quarters.map(str::to_owned),
    }
    .into())
}
