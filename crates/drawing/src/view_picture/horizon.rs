//! Where the lens looks against the horizon, over the speed of level flight: the tilt of the camera less how far the nose is down.

use crate::chart::{Across, Axis, Caption, Chart, CurveChart, Mark, Sample, Tone, Zone};
use proof::{CourseSeen, LensView};
use quantity::Unit;

/// Where the lens looks against the horizon, with one standard uncertainty to either side; nothing where nobody can say how
/// far the nose is down.
pub fn horizon_chart(view: &LensView, seen: &CourseSeen) -> Option<Chart> {
    let tilt = view.tilt.get();
    let point = |[speed, down, doubt]: &[f64; 3]| {
        Sample::doubted(*speed, tilt - down, tilt - down - doubt, tilt - down + doubt)
    };
    let points: Vec<Sample> = seen.leaning.iter().map(point).collect();
    let last = points.last()?.at;
    let level = points.windows(2).find(|pair| pair[0].value > 0.0 && pair[1].value <= 0.0);
    let level = level.map(|pair| {
        let share = pair[0].value / (pair[0].value - pair[1].value);
        pair[0].at + share * (pair[1].at - pair[0].at)
    });
    let message = match level {
        Some(speed) => format!(
            "At {speed:.0} m/s the lens looks level; slower it looks over the horizon, faster under it."
        ),
        None if tilt <= 0.0 => "The lens looks under the horizon at every speed.".to_owned(),
        None => format!("Up to {last:.0} m/s the lens looks over the horizon."),
    };
    let caption = Caption::new(format!("{}: where it looks", view.subject), message);
    let up = Axis::even("lens over the horizon", Unit::Degrees);
    let mut chart = CurveChart::new(caption, Axis::even("speed, level", Unit::MetresPerSecond), up)
        .with("lens axis", points);
    if let [_, Some(upright), _] = view.angles() {
        let half = upright.get() / 2.0;
        let halves =
            [([0.0, half], "horizon in the lower half"), ([-half, 0.0], "horizon in the upper half")];
        chart.zones.extend(halves.map(|(span, words)| Zone {
            lies: Across::Level,
            span,
            words: words.to_owned(),
            tone: Tone::Light,
        }));
    }
    if let Ok(down) = &seen.nose_down {
        let words = "now".to_owned();
        chart.marks.push(Mark { at: [seen.speed.get().min(last), tilt - down.quantity.value], words });
    }
    Some(Chart::Curves(chart))
}
