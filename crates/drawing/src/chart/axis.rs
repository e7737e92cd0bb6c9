//! An axis: what is measured along it, how it is spaced, where it ends; and how it lies on the paper.

use super::ChartFault;
use super::fault::sound;
use super::ground::GRID;
use super::lettering::{decimals, fixed, short, with_unit};
use super::ticks::{by_tens, even, step_of, widened, widened_by_tens};
use crate::scale::Area;
use crate::svg::{INK, Lettering, line, number, text};
use quantity::Unit;
use std::fmt::Write;

/// Height of the letters on a chart, in mm.
pub(super) const LETTER: f64 = 3.4;
/// Room that one mark takes along the axis, in mm.
const ACROSS: f64 = 15.0;
const UP: f64 = 11.0;

/// How an axis is spaced.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Spacing {
    /// Like differences take like room.
    Even,
    /// Like ratios take like room: for what spans powers of ten.
    Tens,
}

/// An axis.
#[derive(Clone, Debug, PartialEq)]
pub struct Axis {
    /// What is measured along it.
    pub label: String,
    /// In which unit the values are.
    pub unit: Unit,
    /// How it is spaced.
    pub spacing: Spacing,
    /// Where it starts and ends; as the data asks when left out.
    pub ends: Option<[f64; 2]>,
}

impl Axis {
    /// An evenly spaced axis.
    pub fn even(label: impl Into<String>, unit: Unit) -> Self {
        Self { label: label.into(), unit, spacing: Spacing::Even, ends: None }
    }

    /// An axis by tens.
    pub fn tens(label: impl Into<String>, unit: Unit) -> Self {
        Self { spacing: Spacing::Tens, ..Self::even(label, unit) }
    }

    /// The same, from one value to another, whatever the data is. What lies beyond is cut off.
    #[must_use]
    pub fn between(mut self, from: f64, to: f64) -> Self {
        self.ends = Some([from, to]);
        self
    }

    /// A value that this axis can show.
    pub(super) fn value(&self, value: f64, what: &str) -> Result<f64, ChartFault> {
        let what = format!("{} of {what}", self.label);
        let value = sound(value, &what)?;
        if self.spacing == Spacing::Tens && value <= 0.0 {
            return Err(ChartFault::NotAboveNought { what, value });
        }
        Ok(value)
    }

    /// A value with its unit, as it is told.
    pub(super) fn told(&self, value: f64) -> String {
        with_unit(&short(value), self.unit)
    }

    /// Label and unit.
    pub(super) fn words(&self) -> String {
        match self.unit.symbol() {
            "" => self.label.clone(),
            symbol => format!("{}, {symbol}", self.label),
        }
    }

    /// The axis with its ends and marks, for checked values, along so many mm.
    pub(super) fn laid(
        &self,
        values: impl IntoIterator<Item = f64>,
        length: f64,
        upright: bool,
    ) -> Result<Laid, ChartFault> {
        let data = values
            .into_iter()
            .fold([f64::INFINITY, f64::NEG_INFINITY], |[low, high], v| [low.min(v), high.max(v)]);
        let most = ((length / if upright { UP } else { ACROSS }) as usize).clamp(2, 12);
        let ends = match self.ends {
            Some([from, to]) => {
                let what = format!("start of the axis {:?}", self.label);
                let (from, to) = (self.value(from, &what)?, self.value(to, &what)?);
                if to - from <= from.abs().max(to.abs()) * 1e-9 {
                    return Err(ChartFault::Backwards {
                        what: format!("the axis {:?}", self.label),
                        from,
                        to,
                    });
                }
                [from, to]
            }
            None if data[0] > data[1] => {
                return Err(ChartFault::TooFew {
                    what: format!("the axis {:?}", self.label),
                    found: 0,
                    least: 1,
                });
            }
            None => match self.spacing {
                Spacing::Tens => widened_by_tens(apart(data, self.spacing)),
                Spacing::Even => widened(apart(data, self.spacing), step_of(apart(data, self.spacing), most)),
            },
        };
        let (marks, step) = match self.spacing {
            Spacing::Even => {
                // Ends made from the data stand on marks of the data's own step; a step of the wider range might pass over one.
                let step = step_of(if self.ends.is_some() { ends } else { apart(data, self.spacing) }, most);
                (even(ends, step), step)
            }
            Spacing::Tens => (by_tens(ends, most), 0.0),
        };
        let words = |value: &f64| match self.spacing {
            Spacing::Even => fixed(*value, decimals(step)),
            Spacing::Tens => short(*value),
        };
        let marks = marks.iter().map(|value| (*value, words(value))).collect();
        Ok(Laid { ends, marks, spacing: self.spacing })
    }
}

/// A range that has some width.
fn apart([low, high]: [f64; 2], spacing: Spacing) -> [f64; 2] {
    if spacing == Spacing::Tens {
        return if high / low > 1.0 + 1e-9 { [low, high] } else { [low / 2.0, high * 2.0] };
    }
    let size = low.abs().max(high.abs());
    if high - low > size * 1e-9 {
        return [low, high];
    }
    let half = if size == 0.0 { 1.0 } else { size * 0.1 };
    [low - half, high + half]
}

/// An axis with its ends and marks.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Laid {
    pub ends: [f64; 2],
    /// Values that are marked, each with its words.
    pub marks: Vec<(f64, String)>,
    spacing: Spacing,
}

impl Laid {
    /// How far along the axis a value lies: 0 at its start, 1 at its end.
    pub fn share(&self, value: f64) -> f64 {
        let [from, to] = self.ends;
        match self.spacing {
            Spacing::Even => (value - from) / (to - from),
            Spacing::Tens => (value / from).ln() / (to / from).ln(),
        }
    }

    /// Whether a value lies on the axis.
    pub fn holds(&self, value: f64) -> bool {
        (-1e-9..=1.0 + 1e-9).contains(&self.share(value))
    }
}

/// Two axes about a plot.
#[derive(Clone, Debug)]
pub(super) struct Plot {
    pub area: Area,
    pub across: Laid,
    pub up: Laid,
    /// How far over the plot the name of the upright axis stands.
    pub name_over: f64,
}

impl Plot {
    /// Where two values lie on the paper.
    pub fn at(&self, [x, y]: [f64; 2]) -> [f64; 2] {
        let Area { left, top, width, height } = self.area;
        [left + width * self.across.share(x), top + height * (1.0 - self.up.share(y))]
    }

    /// Grid, marks, numbers, labels. `names` are those of the axes.
    pub fn draw_axes(&self, out: &mut String, [across, up]: [&Axis; 2], grid: bool) {
        let Area { left, top, width, height } = self.area;
        let (right, bottom) = (left + width, top + height);
        for (value, words) in &self.across.marks {
            let x = left + width * self.across.share(*value);
            if grid {
                line(out, [x, top], [x, bottom], GRID, 0.18);
            }
            line(out, [x, bottom], [x, bottom + 1.4], INK, 0.25);
            text(out, [x, bottom + 5.4], Lettering::plain(LETTER).centred(), words);
        }
        for (value, words) in &self.up.marks {
            let y = top + height * (1.0 - self.up.share(*value));
            if grid {
                line(out, [left, y], [right, y], GRID, 0.18);
            }
            line(out, [left - 1.4, y], [left, y], INK, 0.25);
            text(out, [left - 2.4, y + 1.2], Lettering::plain(LETTER).ending(), words);
        }
        let middle = [left + width / 2.0, bottom + 10.6];
        text(out, middle, Lettering::plain(LETTER).centred().bold(), &across.words());
        // The name of the upright axis lies level over its head: nobody turns a screen to read it.
        text(out, [left, top - self.name_over], Lettering::plain(LETTER).bold(), &up.words());
    }

    /// A group of lines or areas within the plot.
    pub fn polyline(out: &mut String, points: &[[f64; 2]], ink: &str, width: f64, dashes: &str) {
        let mut list = String::new();
        for (n, [x, y]) in points.iter().enumerate() {
            let _ = write!(list, "{}{},{}", if n == 0 { "" } else { " " }, number(*x), number(*y));
        }
        let dashes =
            if dashes.is_empty() { String::new() } else { format!(r#" stroke-dasharray="{dashes}""#) };
        let _ = writeln!(
            out,
            r#"<polyline points="{list}" fill="none" stroke="{ink}" stroke-width="{width}" stroke-linejoin="round"{dashes}/>"#
        );
    }
}

/// Room left of a plot for the numbers of its upright axis.
pub(super) fn room_for(up: &Laid) -> f64 {
    let widest = up.marks.iter().map(|(_, words)| crate::wrap::width_of(words, LETTER)).fold(0.0, f64::max);
    widest + 4.0
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn every_value_lies_on_the_axis_and_marks_too(
            values in prop::collection::vec(-1e5..1e5f64, 1..20), length in 30.0..250.0f64, upright: bool,
        ) {
            let axis = Axis::even("distance", Unit::Metres);
            let laid = axis.laid(values.iter().copied(), length, upright).unwrap();
            prop_assert!(values.iter().all(|value| laid.holds(*value)));
            prop_assert!(laid.marks.iter().all(|(value, _)| laid.holds(*value)) && laid.marks.len() >= 2);
            let words: std::collections::BTreeSet<_> = laid.marks.iter().map(|(_, words)| words).collect();
            prop_assert_eq!(words.len(), laid.marks.len(), "no two marks read alike: {:?}", laid.marks);
        }

        #[test]
        fn by_tens_every_value_lies_on_the_axis(values in prop::collection::vec(1e-3..1e6f64, 1..20)) {
            let laid = Axis::tens("power", Unit::Milliwatts).laid(values.iter().copied(), 120.0, false).unwrap();
            prop_assert!(values.iter().all(|value| laid.holds(*value)));
            prop_assert!(!laid.marks.is_empty() && laid.marks.iter().all(|(value, _)| laid.holds(*value)));
        }
    }

    #[test]
    fn an_axis_that_cannot_be_says_why() {
        let axis = Axis::even("distance", Unit::Metres);
        let told = |axis: &Axis| axis.laid([1.0], 100.0, false).unwrap_err().to_string();
        assert_eq!(
            told(&axis.clone().between(5.0, 5.0)),
            "the axis \"distance\" runs from 5 to 5; its end must lie above its start"
        );
        let tens = Axis::tens("power", Unit::Milliwatts);
        assert_eq!(
            tens.value(0.0, "the curve \"a\"").unwrap_err().to_string(),
            "power of the curve \"a\" is 0; an axis by tens shows what is above 0; space it evenly, or leave that point out"
        );
        assert!(axis.value(f64::NAN, "a").is_err() && axis.value(1e10, "a").is_err());
    }
}
