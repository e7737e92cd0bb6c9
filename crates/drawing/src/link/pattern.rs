//! What each antenna sends round about, with the craft turned as asked: a chart, and the same direction by direction with hand and
//! axial ratio.

use super::words::decibels;
use super::{EXPOSURE_NOTE, LinkFault, LinkShown, radio};
use crate::chart::{Caption, Chart, Cut, PolarChart, PolarMark, Turning, Zero};
use proof::link::{PatternPoint, Plane, Side, hand_word};
use quantity::{Basis, Dbi, Degrees, Figure, FigureId, Quantity, Source, Term, Unit, Working};

/// Directions round a cut.
const STEPS: usize = 360;
/// Every so many of them stand in the table.
const TOLD: usize = 15;
/// The gain at the middle.
const LEAST: Dbi = Dbi::new(-25.0);
/// From this axial ratio on a wave is called linear: its hands differ by less than a tenth of a decibel.
const LINEAR: f64 = 40.0;

/// One antenna in one plane.
#[derive(Clone, Debug, PartialEq)]
pub struct PatternShown {
    /// The chart.
    pub chart: Chart,
    /// The same in words and numbers, direction by direction.
    pub rows: Vec<PatternRow>,
    /// What goes to the other end of the link, with its working.
    pub figures: Vec<Figure>,
}

/// What is sent in one direction, in words, each number with its unit.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PatternRow {
    /// Which way: degrees, and a word for each quarter.
    pub direction: String,
    /// What the antenna sends.
    pub gain: String,
    /// What is left once the craft has taken its part.
    pub left: String,
    /// Which way the wave turns, or that it is linear.
    pub hand: String,
    /// How far from round it is.
    pub axial_ratio: String,
    /// How far its long axis is tilted from the level.
    pub tilt: String,
}

/// Each antenna: of the craft from above and from the side, of the station from above.
pub fn patterns(shown: &LinkShown) -> Result<Vec<PatternShown>, LinkFault> {
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

fn cut(shown: &LinkShown, (side, n): (Side, usize), plane: Plane) -> Result<PatternShown, LinkFault> {
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
    let turned = angle.to_degrees().rem_euclid(360.0);
    // A hair under a whole turn would be told as 360°.
    let angle = Degrees::new(if turned < 359.5 { turned } else { 0.0 });
    let near = |point: &&PatternPoint| {
        let off = (point.angle.get() - angle.get()).abs();
        (off.min(360.0 - off) * 1e6) as u64
    };
    let there = points.iter().min_by_key(near);
    let best = points.iter().map(|point| shaded(point).get()).fold(f64::NEG_INFINITY, f64::max);
    let message = match there.filter(|point| shaded(point).get().is_finite()) {
        Some(point) => {
            let (gain, [hand, ratio]) = (shaded(point), sent(point));
            format!(
                "{name}: {} {other}, {} under the best of this cut; sent there: {hand}, axial ratio {ratio}.",
                gain_words(gain),
                decibels(best - gain.get())
            )
        }
        None => format!("{name}: nothing goes {other} in this cut."),
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
    let figures = there.map(|point| {
        let key = format!("{}_{}", ["level", "along"][usize::from(plane == Plane::Along)], n + 1);
        let of = if side == Side::Craft { "craft" } else { "ground" };
        figure(format!("link.asked.sends_{of}_{key}"), format!("{name} {other}, {from}"), point)
    });
    let rows = points.iter().step_by(TOLD).map(|point| row(point, quarters)).collect();
    let chart = PolarChart {
        caption,
        cuts,
        marks: vec![PolarMark {
            angle,
            words: other.to_owned(),
            gain: there.map(shaded).filter(|gain| gain.get().is_finite()),
        }],
        least: LEAST,
        zero,
        turning: Turning::Anticlockwise,
        quarters: quarters.map(str::to_owned),
    };
    Ok(PatternShown { chart: chart.into(), rows, figures: figures.into_iter().flatten().collect() })
}

fn shaded(point: &PatternPoint) -> Dbi {
    Dbi::new(point.gain.get() - point.shadow.get())
}

fn row(point: &PatternPoint, quarters: [&str; 4]) -> PatternRow {
    let quarter = point.angle.get() / 90.0;
    let word = if quarter.fract() == 0.0 { quarters.get(quarter as usize) } else { None };
    let [hand, axial_ratio] = sent(point);
    PatternRow {
        direction: format!(
            "{:.0}°{}",
            point.angle.get(),
            word.map_or(String::new(), |word| format!(", {word}"))
        ),
        gain: gain_words(point.gain),
        left: gain_words(shaded(point)),
        hand,
        axial_ratio,
        tilt: tilt_words(point),
    }
}

/// The tilt of what is sent in words: seen by one who looks along the wave, to the left over the level above nought.
fn tilt_words(point: &PatternPoint) -> String {
    let Some(sent) = point.polarisation else { return "none".to_owned() };
    match sent.tilt().map(|tilt| tilt.get().round()) {
        None => "round".to_owned(),
        Some(upright) if upright.abs() >= 90.0 => "90°, upright".to_owned(),
        // What rounds to nought has no sign.
        Some(0.0) => "0°, level".to_owned(),
        Some(tilt) => format!("{}{:.0}°", if tilt < 0.0 { "−" } else { "" }, tilt.abs()),
    }
}

fn gain_words(gain: Dbi) -> String {
    let gain = gain.get();
    if !gain.is_finite() {
        return "nothing".to_owned();
    }
    // What rounds to nought has no sign.
    let size = (gain.abs() * 10.0).round() / 10.0;
    format!("{}{size:.1} dBi", if gain < 0.0 && size > 0.0 { "−" } else { "" })
}

/// Hand and axial ratio in words.
fn sent(point: &PatternPoint) -> [String; 2] {
    let Some(polarisation) = point.polarisation else { return ["nothing sent", "none"].map(str::to_owned) };
    match (polarisation.hand(), polarisation.axial_ratio()) {
        (Some(hand), Some(ratio)) if ratio.get() < LINEAR => {
            [format!("{}-hand", hand_word(hand)), format!("{:.1} dB", ratio.get())]
        }
        _ => ["linear".to_owned(), format!("over {LINEAR:.0} dB")],
    }
}

/// What goes one way, with what the craft takes of it.
fn figure(id: String, label: String, point: &PatternPoint) -> Option<Figure> {
    let line = |label: &str, value: f64, unit: Unit, origin: &str| Term {
        label: label.to_owned(),
        quantity: Quantity { value, unit },
        uncertainty: None,
        origin: origin.to_owned(),
    };
    let left = shaded(point);
    let mut terms = vec![
        line("direction in the cut", point.angle.get(), Unit::Degrees, "the nearest of 360 round about"),
        line("gain of the antenna there", point.gain.get(), Unit::Dbi, "its pattern, turned with the craft"),
        line("taken by the craft", point.shadow.get(), Unit::Db, "parts that stand in the way"),
    ];
    let ratio = point.polarisation.and_then(|sent| sent.axial_ratio()).map(|ratio| ratio.get());
    if let Some(ratio) = ratio {
        let words = sent(point).join(", axial ratio ");
        terms.push(line("axial ratio of what is sent there", ratio, Unit::Db, &words));
    }
    if let Some(tilt) = point.polarisation.and_then(|sent| sent.tilt()) {
        let origin = "long axis above the level, turned with the craft";
        terms.push(line("tilt of what is sent there", tilt.get(), Unit::Degrees, origin));
    }
    left.get().is_finite().then(|| Figure {
        id: FigureId(id.into()),
        label,
        quantity: Quantity { value: left.get(), unit: Unit::Dbi },
        uncertainty: None,
        basis: Basis::DataSheet,
        working: Working {
            formula: "gain there − what the craft takes".to_owned(),
            terms,
            source: Source::common_practice(
                "the antenna's pattern in the direction, less shadows of edges in the way",
            ),
        },
    })
}
