//! Which scale a craft is drawn to, and where it lands on the sheet.
//!
//! Scales: ISO 5455:1979, table 1: 1:1, 1:2, 1:5 and their tenfolds, 2:1, 5:1 and their tenfolds.

use crate::silhouette::PaperPoint;

/// Paper mm for each mm of the craft, the largest first, as the sheet names them.
const SCALES: [(f64, &str); 12] = [
    (10.0, "10 : 1"),
    (5.0, "5 : 1"),
    (2.0, "2 : 1"),
    (1.0, "1 : 1"),
    (0.5, "1 : 2"),
    (0.2, "1 : 5"),
    (0.1, "1 : 10"),
    (0.05, "1 : 20"),
    (0.02, "1 : 50"),
    (0.01, "1 : 100"),
    (0.005, "1 : 200"),
    (0.002, "1 : 500"),
];

/// The least and greatest coordinates of what is drawn.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Bounds {
    pub low: PaperPoint,
    pub high: PaperPoint,
}

impl Bounds {
    /// The bounds of some points; `None` without any.
    pub fn of<'a>(points: impl IntoIterator<Item = &'a PaperPoint>) -> Option<Self> {
        let mut all: Option<Bounds> = None;
        for &p in points {
            let known = all.get_or_insert(Bounds { low: p, high: p });
            known.low = [known.low[0].min(p[0]), known.low[1].min(p[1])];
            known.high = [known.high[0].max(p[0]), known.high[1].max(p[1])];
        }
        all
    }

    /// The bounds of both.
    pub fn with(self, other: Bounds) -> Bounds {
        Bounds {
            low: [self.low[0].min(other.low[0]), self.low[1].min(other.low[1])],
            high: [self.high[0].max(other.high[0]), self.high[1].max(other.high[1])],
        }
    }

    pub fn size(&self) -> [f64; 2] {
        [self.high[0] - self.low[0], self.high[1] - self.low[1]]
    }

    pub fn middle(&self) -> PaperPoint {
        [(self.high[0] + self.low[0]) / 2.0, (self.high[1] + self.low[1]) / 2.0]
    }
}

/// A part of the sheet, in paper mm, y down.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Area {
    pub left: f64,
    pub top: f64,
    pub width: f64,
    pub height: f64,
}

/// How mm of the craft become mm of the paper.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Scale {
    /// Paper mm for each mm of the craft.
    pub times: f64,
    /// As the sheet names it.
    pub words: &'static str,
    middle: PaperPoint,
    centre: PaperPoint,
}

impl Scale {
    /// The largest scale that fits the area, with the craft in its middle.
    pub fn fitting(bounds: Bounds, area: Area) -> Self {
        let [width, height] = bounds.size();
        let fits = |times: f64| width * times <= area.width && height * times <= area.height;
        let (times, words) =
            SCALES.into_iter().find(|(times, _)| fits(*times)).unwrap_or(SCALES[SCALES.len() - 1]);
        let centre = [area.left + area.width / 2.0, area.top + area.height / 2.0];
        Self { times, words, middle: bounds.middle(), centre }
    }

    /// The scale that fills the area, whatever it is: for pictures nobody measures.
    pub fn filling(bounds: Bounds, area: Area) -> Self {
        let [width, height] = bounds.size().map(|size| size.max(1e-6));
        let times = (area.width / width).min(area.height / height).min(SCALES[0].0);
        Self { times, words: "not to scale", ..Self::fitting(bounds, area) }
    }

    /// Where a point of the view lands on the paper.
    pub fn at(&self, p: PaperPoint) -> PaperPoint {
        [
            self.centre[0] + (p[0] - self.middle[0]) * self.times,
            self.centre[1] - (p[1] - self.middle[1]) * self.times,
        ]
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_largest_standard_scale_that_fits_is_taken() {
        let area = Area { left: 0.0, top: 0.0, width: 180.0, height: 150.0 };
        let words =
            |width, height| Scale::fitting(Bounds { low: [0.0, 0.0], high: [width, height] }, area).words;
        assert_eq!(words(180.0, 100.0), "1 : 1");
        assert_eq!(words(180.1, 100.0), "1 : 2");
        assert_eq!(words(10.0, 76.0), "1 : 1");
        assert_eq!(words(10.0, 75.0), "2 : 1");
        assert_eq!(words(20_000.0, 20_000.0), "1 : 200");
    }
}
