//! Curves over an axis, each with its name at its end and its band of doubt, with limits, zones and marks.

use super::hatch::LOOKS;
use super::{Axis, Caption, ChartFault};
use std::fmt::Write;

/// One point of a curve.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Sample {
    /// Where along the axis across.
    pub at: f64,
    /// The value.
    pub value: f64,
    /// Its band of doubt, low end first; the value itself where there is none.
    pub band: [f64; 2],
}

impl Sample {
    /// A point without doubt.
    pub const fn sure(at: f64, value: f64) -> Self {
        Self { at, value, band: [value, value] }
    }
    /// A point with a band of doubt.
    pub const fn doubted(at: f64, value: f64, low: f64, high: f64) -> Self {
        Self { at, value, band: [low, high] }
    }
}

/// A curve.
#[derive(Clone, Debug, PartialEq)]
pub struct Curve {
    /// Its name, which stands at its end.
    pub name: String,
    /// Its points, in the order in which they are joined.
    pub points: Vec<Sample>,
}

/// Which axis a limit or zone goes across.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Across {
    /// It stands upright, at values of the axis across.
    Upright,
    /// It lies level, at values of the upright axis.
    Level,
}

/// A line that is not to be crossed, with words.
#[derive(Clone, Debug, PartialEq)]
pub struct Limit {
    /// How it lies.
    pub lies: Across,
    /// At which value.
    pub at: f64,
    /// What it is.
    pub words: String,
}

/// How a zone is filled.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Tone {
    /// Left bare.
    Bare,
    /// Lightly hatched.
    Light,
    /// Densely hatched.
    Dense,
}

/// A part of the plot with a name.
#[derive(Clone, Debug, PartialEq)]
pub struct Zone {
    /// How it lies.
    pub lies: Across,
    /// Where it starts and ends.
    pub span: [f64; 2],
    /// What it is.
    pub words: String,
    /// How it is filled.
    pub tone: Tone,
}

/// A point with words.
#[derive(Clone, Debug, PartialEq)]
pub struct Mark {
    /// Where, along both axes.
    pub at: [f64; 2],
    /// What it is.
    pub words: String,
}

/// Curves over an axis.
#[derive(Clone, Debug, PartialEq)]
pub struct CurveChart {
    /// What stands about it.
    pub caption: Caption,
    /// The axis across.
    pub across: Axis,
    /// The upright axis.
    pub up: Axis,
    /// The curves.
    pub curves: Vec<Curve>,
    /// Parts of the plot with a name.
    pub zones: Vec<Zone>,
    /// Lines with words.
    pub limits: Vec<Limit>,
    /// Points with words.
    pub marks: Vec<Mark>,
}

/// The most limits, zones and marks, each.
const MOST: usize = 40;

impl CurveChart {
    /// A chart without curves yet.
    pub fn new(caption: Caption, across: Axis, up: Axis) -> Self {
        Self { caption, across, up, curves: vec![], zones: vec![], limits: vec![], marks: vec![] }
    }

    /// The same with a curve more.
    #[must_use]
    pub fn with(mut self, name: impl Into<String>, points: Vec<Sample>) -> Self {
        self.curves.push(Curve { name: name.into(), points });
        self
    }

    pub(super) fn check(&self) -> Result<(), ChartFault> {
        let title = format!("curves of {:?}", self.caption.title);
        if self.curves.is_empty() && self.zones.is_empty() {
            return Err(ChartFault::TooFew { what: title, found: 0, least: 1 });
        }
        if self.curves.len() > LOOKS.len() {
            return Err(ChartFault::TooMany { what: title, found: self.curves.len(), most: LOOKS.len() });
        }
        let most = self.limits.len().max(self.zones.len()).max(self.marks.len());
        if most > MOST {
            let what = format!("limits, zones or marks of {:?}", self.caption.title);
            return Err(ChartFault::TooMany { what, found: most, most: MOST });
        }
        for curve in &self.curves {
            let what = format!("the curve {:?}", curve.name);
            if curve.points.len() < 2 {
                return Err(ChartFault::TooFew { what, found: curve.points.len(), least: 2 });
            }
            for point in &curve.points {
                self.across.value(point.at, &what)?;
                self.up.value(point.value, &what)?;
                let [low, high] = point.band;
                self.up.value(low, &format!("the band of {what}"))?;
                self.up.value(high, &format!("the band of {what}"))?;
                if !(low..=high).contains(&point.value) {
                    return Err(ChartFault::BandAside { what, low, value: point.value, high });
                }
            }
        }
        for limit in &self.limits {
            self.axis(limit.lies).value(limit.at, &format!("the limit {:?}", limit.words))?;
        }
        for zone in &self.zones {
            let what = format!("the zone {:?}", zone.words);
            let [from, to] = zone.span;
            self.axis(zone.lies).value(from, &what)?;
            self.axis(zone.lies).value(to, &what)?;
            if to <= from {
                return Err(ChartFault::Backwards { what, from, to });
            }
        }
        for mark in &self.marks {
            let what = format!("the mark {:?}", mark.words);
            self.across.value(mark.at[0], &what)?;
            self.up.value(mark.at[1], &what)?;
        }
        Ok(())
    }

    pub(super) const fn axis(&self, lies: Across) -> &Axis {
        match lies {
            Across::Upright => &self.across,
            Across::Level => &self.up,
        }
    }

    /// All values that the axes must hold.
    pub(super) fn values(&self) -> [Vec<f64>; 2] {
        let mut values = [Vec::new(), Vec::new()];
        for point in self.curves.iter().flat_map(|curve| &curve.points) {
            values[0].push(point.at);
            values[1].extend([point.value, point.band[0], point.band[1]]);
        }
        let side = |lies| usize::from(lies == Across::Level);
        for limit in &self.limits {
            values[side(limit.lies)].push(limit.at);
        }
        for zone in &self.zones {
            values[side(zone.lies)].extend(zone.span);
        }
        for mark in &self.marks {
            values[0].push(mark.at[0]);
            values[1].push(mark.at[1]);
        }
        values
    }

    pub(super) fn told(&self) -> Result<String, ChartFault> {
        self.check()?;
        let mut words = format!("{} against {}.", self.up.label, self.across.label);
        for curve in &self.curves {
            let (first, last) = (&curve.points[0], &curve.points[curve.points.len() - 1]);
            let told = |point: &Sample| {
                let band = if point.band[0] < point.band[1] {
                    format!(" (between {} and {})", self.up.told(point.band[0]), self.up.told(point.band[1]))
                } else {
                    String::new()
                };
                format!("{}{band} at {}", self.up.told(point.value), self.across.told(point.at))
            };
            let _ = write!(words, " {}: from {} to {}.", curve.name, told(first), told(last));
        }
        for zone in &self.zones {
            let axis = self.axis(zone.lies);
            let [from, to] = zone.span.map(|end| axis.told(end));
            let _ = write!(words, " {}: {} from {from} to {to}.", zone.words, axis.label);
        }
        for limit in &self.limits {
            let axis = self.axis(limit.lies);
            let _ = write!(words, " {}: {} {}.", limit.words, axis.label, axis.told(limit.at));
        }
        for mark in &self.marks {
            let [x, y] = [self.across.told(mark.at[0]), self.up.told(mark.at[1])];
            let _ = write!(words, " {}: {y} at {x}.", mark.words);
        }
        Ok(words)
    }
}
