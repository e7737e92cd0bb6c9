//! What flying does to the picture, as charts: horizon, obstacle, widths, smear, way flown blind and way a dodge needs.
//!
//! Points come from `proof::flying_curves`, with their doubt; here they become charts with a mark at one speed, the plan's or one
//! that is tried: what they say there comes from `proof::flying_marks`, with its working. A curve without its facts has no chart and names them. What goes over
//! distance is marked a second ahead at that speed.

use crate::chart::{Across, Axis, Caption, Chart, ChartFault, CurveChart, Limit, Mark, Sample};
use crate::paper::Page;
use proof::{CurveLine, CurvePoint, FlyingCurve, FlyingCurves, FlyingMark};
use quantity::{MetresPerSecond, Unit};
use thiserror::Error;

/// What stands under every one of them.
const FLYING_NOTE: &str = "Level flight in still air; hatched: one standard uncertainty to either side. Computed, not flown: keep away from people, and fly to what you see, not to a curve.";

/// Why nothing is drawn.
#[derive(Clone, Debug, PartialEq, Error)]
pub enum FlyingFault {
    /// No lens whose picture is known, or no motors.
    #[error(
        "{craft:?} has no picture in flight to draw: that wants motors, and a camera with a lens whose view is known"
    )]
    NoPicture {
        /// The craft.
        craft: String,
    },
    /// Facts are missing for every curve.
    #[error("the curves of {craft:?} want {facts}; enter that first")]
    Lacks {
        /// The craft.
        craft: String,
        /// What is missing.
        facts: String,
    },
    /// A chart that cannot be drawn.
    #[error(transparent)]
    Chart(#[from] ChartFault),
}

/// One of the curves of a lens.
#[derive(Clone, Debug, PartialEq)]
pub struct FlyingChart {
    /// The id of the curve.
    pub id: String,
    /// What it shows.
    pub title: String,
    /// What it says.
    pub message: String,
    /// The chart; none where facts are missing.
    pub chart: Option<Chart>,
    /// Facts that it wants, or that a line of it wants.
    pub missing: Vec<String>,
    /// What its lines say at the marked speed.
    pub marks: Vec<FlyingMark>,
}

/// The speeds that the curves of a lens go over, from the least to the greatest; `None` if none of them is drawn.
pub fn flying_speeds(curves: &FlyingCurves) -> Option<[MetresPerSecond; 2]> {
    let over_speed = curves.curves.iter().filter(|curve| curve.across.unit == Unit::MetresPerSecond);
    let all = over_speed.flat_map(|curve| &curve.lines).flat_map(|line| &line.points);
    let [low, high] =
        all.fold([f64::INFINITY, f64::NEG_INFINITY], |[low, high], at| [low.min(at.at), high.max(at.at)]);
    (low < high).then_some([low, high].map(MetresPerSecond::new))
}

/// The curves of a lens as charts, with what its lines say at the marked speed.
pub fn flying_charts(curves: &FlyingCurves, marks: &[FlyingMark]) -> Vec<FlyingChart> {
    let of = |curve: &FlyingCurve| marks.iter().filter(|mark| mark.curve == curve.id).cloned().collect();
    curves.curves.iter().map(|curve| chart(&curves.subject, curve, of(curve))).collect()
}

/// All that are known, a page each.
pub fn flying_pages(
    craft: &str,
    curves: &[FlyingCurves],
    marks: &[FlyingMark],
) -> Result<Vec<Page>, FlyingFault> {
    if curves.is_empty() {
        return Err(FlyingFault::NoPicture { craft: craft.to_owned() });
    }
    let charts: Vec<FlyingChart> = curves.iter().flat_map(|lens| flying_charts(lens, marks)).collect();
    let mut wanted: Vec<&str> = Vec::new();
    for fact in charts.iter().flat_map(|chart| &chart.missing) {
        if !wanted.contains(&fact.as_str()) {
            wanted.push(fact);
        }
    }
    let mut pages = Vec::new();
    for chart in charts.iter().filter_map(|chart| chart.chart.as_ref()) {
        pages.push(chart.page()?);
    }
    if pages.is_empty() {
        return Err(FlyingFault::Lacks { craft: craft.to_owned(), facts: wanted.join(", ") });
    }
    Ok(pages)
}

fn chart(subject: &str, curve: &FlyingCurve, marks: Vec<FlyingMark>) -> FlyingChart {
    let over_distance = curve.across.unit == Unit::Metres;
    let missing: Vec<String> = curve.missing.iter().map(|missing| missing.label.clone()).collect();
    let drawn = || curve.lines.iter().filter(|line| line.points.len() > 1);
    let mut caption = Caption::new(format!("{subject}: {}", lower(&curve.title)), curve.message.clone());
    if !missing.is_empty() {
        caption = caption.noting(format!("Not drawn for want of {}.", missing.join(", ")));
    }
    let tens = |up: bool| over_distance || (up && curve.up.unit == Unit::Pixels && falls(curve));
    let axis = |up: bool| if tens(up) { Axis::tens } else { Axis::even };
    let mut made = CurveChart::new(
        caption.noting(FLYING_NOTE),
        axis(false)(curve.across.label, curve.across.unit),
        axis(true)(curve.up.label, curve.up.unit),
    );
    for line in drawn() {
        let sample = |point: &CurvePoint| {
            let doubt = point.uncertainty.unwrap_or(0.0);
            // Tens have no nought: a band ends at a tenth of its value there.
            let least = if tens(true) { point.value * 0.1 } else { f64::NEG_INFINITY };
            Sample::doubted(point.at, point.value, (point.value - doubt).max(least), point.value + doubt)
        };
        made = made.with(line.name.clone(), line.points.iter().map(sample).collect());
    }
    let ends = drawn().flat_map(|line| [line.points.first(), line.points.last()]).flatten();
    let last = ends.map(|point| point.at).fold(f64::NEG_INFINITY, f64::max);
    let within = |line: &&CurveLine| match line {
        // What lies beyond the curves is said in words; it would draw the axis out over nothing.
        CurveLine::At(at, _) => *at <= last,
        CurveLine::Value(..) => true,
    };
    for line in curve.held_against.iter().filter(within) {
        let (lies, at, words) = match line {
            CurveLine::At(at, words) => (Across::Upright, *at, words),
            CurveLine::Value(value, words) => (Across::Level, *value, words),
        };
        made.limits.push(Limit { lies, at, words: words.clone() });
    }
    // Words along the highest line must not meet those at the top of an upright one.
    let high = |line: &CurveLine| if let CurveLine::Value(value, _) = line { *value } else { 0.0 };
    let highest = curve.held_against.iter().map(high).fold(0.0, f64::max);
    let drawn_high = drawn().flat_map(|line| &line.points).map(|point| point.value).fold(0.0, f64::max);
    if !tens(true) && highest > drawn_high && drawn_high > 0.0 {
        let low = drawn().flat_map(|line| &line.points).map(|point| point.value).fold(0.0, f64::min);
        let lows = curve.held_against.iter().map(high).fold(low, f64::min);
        made.up = made.up.between(lows, highest * 1.25);
    }
    for FlyingMark { at, figure, .. } in &marks {
        let quantity = figure.quantity;
        made.marks.push(Mark { at: [*at, quantity.value], words: told(quantity.value, quantity.unit) });
    }
    FlyingChart {
        id: curve.id.clone(),
        title: curve.title.clone(),
        message: curve.message.clone(),
        chart: (drawn().next().is_some()).then_some(Chart::Curves(made)),
        missing,
        marks,
    }
}

/// Whether it falls steeply, so that all of it can only be read in tens.
fn falls(curve: &FlyingCurve) -> bool {
    let ends =
        curve.lines.iter().filter_map(|line| Some((line.points.first()?.value, line.points.last()?.value)));
    let (first, last) = ends.fold((0.0, 0.0), |(a, b), (first, last)| (first.max(a), last.max(b)));
    last > 0.0 && first > 8.0 * last
}

/// Two or three digits, with the unit.
fn told(value: f64, unit: Unit) -> String {
    // What is there does not read as nought; what only rounding left does.
    let digits = match value.abs() {
        size if size < 1e-9 => 0,
        size => (1.0 - size.log10().floor()).clamp(0.0, 6.0) as usize,
    };
    format!("{} {}", quantity::decimal(value, digits), unit.symbol()).replace('-', "−")
}

fn lower(title: &str) -> String {
    let mut letters = title.chars();
    letters.next().map_or_else(String::new, |first| first.to_lowercase().chain(letters).collect())
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use crate::chart::Ground;
    use craft::read_sheet;
    use proof::{Proof, flying_curves, flying_marks};

    const DEMO: [&str; 4] = [
        include_str!("../../../demo/dunnock.toml"),
        include_str!("../../../demo/fieldfare.toml"),
        include_str!("../../../demo/brambling.toml"),
        include_str!("../../../demo/whinchat.toml"),
    ];

    fn curves(sheet: &str) -> Vec<FlyingCurves> {
        flying_curves(&Proof::new(&read_sheet(sheet).craft))
    }

    fn marked(sheet: &str, curves: &FlyingCurves, speed: MetresPerSecond) -> Vec<FlyingMark> {
        flying_marks(&Proof::new(&read_sheet(sheet).craft), &curves.lens, speed)
    }

    #[test]
    fn every_demo_craft_has_its_curves_on_pages_and_screens() {
        for sheet in DEMO {
            let curves = curves(sheet);
            let speeds = flying_speeds(&curves[0]).unwrap();
            for speed in [0.0, 0.37, 1.0]
                .map(|part| MetresPerSecond::new(speeds[0].get() + part * (speeds[1] - speeds[0]).get()))
            {
                let marks = marked(sheet, &curves[0], speed);
                let pages = flying_pages("demo", &curves, &marks).unwrap();
                assert!(pages.len() >= 5, "{}", pages.len());
                for chart in flying_charts(&curves[0], &marks).into_iter().filter_map(|chart| chart.chart) {
                    assert!(chart.picture(80.0, Ground::Slate).unwrap().contains("<svg"));
                    assert!(chart.told().unwrap().contains(" m/s") || chart.told().unwrap().contains(" m"));
                }
            }
        }
    }

    #[test]
    fn a_mark_at_nought_has_no_sign() {
        let words = [-0.0, -1e-14, 0.0, -7.84, 0.182].map(|value| told(value, Unit::Percent));
        assert_eq!(words, ["0 %", "0 %", "0 %", "−7.8 %", "0.18 %"]);
    }

    #[test]
    fn the_mark_stands_on_the_curve_and_says_its_value() {
        let curves = curves(DEMO[1]);
        let marks = marked(DEMO[1], &curves[0], MetresPerSecond::new(9.5));
        let charts = flying_charts(&curves[0], &marks);
        let blind = charts.iter().find(|chart| chart.id.contains("blind")).unwrap();
        let points = &curves[0].curves.iter().find(|curve| curve.id == blind.id).unwrap().lines[0].points;
        // Straight through nought: so much for each m/s.
        let slope = points[40].value / points[40].at;
        assert!((blind.marks[0].figure.quantity.value - 9.5 * slope).abs() < 1e-9);
        let Some(Chart::Curves(drawn)) = &blind.chart else { panic!() };
        assert_eq!(drawn.marks[0].at, [9.5, blind.marks[0].figure.quantity.value]);
    }

    #[test]
    fn what_lacks_its_facts_is_said_instead_of_drawn() {
        let craft = craft::Craft::new(craft::CraftId::from_name("bare"), "bare");
        let none = flying_pages("bare", &flying_curves(&Proof::new(&craft)), &[]);
        assert!(none.unwrap_err().to_string().starts_with("\"bare\" has no picture in flight to draw"));
        let mut curves = curves(DEMO[0]);
        let label = "thinnest obstacle".to_owned();
        for curve in &mut curves[0].curves {
            curve.lines.clear();
            curve.missing = vec![craft::Missing {
                path: quantity::FactPath("craft.obstacle".into()),
                label: label.clone(),
            }];
        }
        let told = flying_pages("x", &curves, &[]).unwrap_err().to_string();
        assert_eq!(told, "the curves of \"x\" want thinnest obstacle; enter that first");
    }
}
