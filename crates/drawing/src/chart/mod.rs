//! Charts: curves over an axis, signed terms as steps, a cut through an antenna's pattern, a field with contour lines.
//!
//! A chart takes plain data with units and knows nothing of a craft. It is laid out for the room it is given: on a sheet
//! of A4 with title, message and notes ([`Chart::page`], for print and command line), or bare in a picture of a stated
//! width, with letters that stay the same size ([`Chart::picture`], for a screen, where the page sets the words). Lines
//! differ by their strokes and bands by their hatching, so that a print in black and white says the same. What cannot be
//! drawn, such as a value that is no number, is a [`ChartFault`]; nothing is left out in silence.
//!
//! Lengths on paper in mm, y down. Left out: more than one scale on an axis, dates, moving pictures.

mod axis;
mod clip;
mod contour;
mod curve_picture;
mod curves;
mod fault;
mod field;
mod ground;
mod hatch;
mod labels;
mod lettering;
mod polar;
mod room;
mod shade;
mod step_rows;
mod steps;
mod ticks;

pub use axis::{Axis, Spacing};
pub use contour::{Contour, contours};
pub use curves::{Across, Curve, CurveChart, Limit, Mark, Sample, Tone, Zone};
pub use fault::ChartFault;
pub use field::FieldChart;
pub use ground::Ground;
pub(crate) use ground::on as on_ground;
pub use polar::{Cut, PolarChart, PolarMark, Turning, Zero};
pub use room::{Caption, WIDTH_LEAST, WIDTH_MOST};
pub use shade::SHADE_SOURCE;
pub use steps::{Level, Step, StepChart};

use crate::paper::Page;
use crate::scale::Area;

/// A chart of some kind.
#[derive(Clone, Debug, PartialEq)]
pub enum Chart {
    /// Curves over an axis.
    Curves(CurveChart),
    /// Signed terms, with their running total.
    Steps(StepChart),
    /// A cut through a pattern of gain.
    Polar(PolarChart),
    /// A field over two axes.
    Field(FieldChart),
}

impl Chart {
    /// The chart on a framed sheet of A4 across, with its title, message and notes.
    pub fn page(&self) -> Result<Page, ChartFault> {
        room::page(self)
    }

    /// The chart alone, as SVG so many mm wide and as high as it needs to be. Title and message are in it for those who
    /// cannot see it, and are not drawn.
    pub fn picture(&self, width_mm: f64, ground: Ground) -> Result<String, ChartFault> {
        room::picture(self, width_mm, ground)
    }

    /// All that the chart shows, in words.
    pub fn told(&self) -> Result<String, ChartFault> {
        match self {
            Chart::Curves(chart) => chart.told(),
            Chart::Steps(chart) => chart.told(),
            Chart::Polar(chart) => chart.told(),
            Chart::Field(chart) => chart.told(),
        }
    }

    /// What stands about it.
    pub const fn caption(&self) -> &Caption {
        match self {
            Chart::Curves(chart) => &chart.caption,
            Chart::Steps(chart) => &chart.caption,
            Chart::Polar(chart) => &chart.caption,
            Chart::Field(chart) => &chart.caption,
        }
    }

    /// How high it likes to be in a width.
    fn height(&self, width: f64) -> f64 {
        match self {
            Chart::Curves(chart) => chart.height(width),
            Chart::Steps(chart) => chart.height(width),
            Chart::Polar(chart) => chart.height(width),
            Chart::Field(chart) => chart.height(width),
        }
    }

    fn draw(&self, out: &mut String, area: Area) -> Result<(), ChartFault> {
        match self {
            Chart::Curves(chart) => chart.draw(out, area),
            Chart::Steps(chart) => chart.draw(out, area),
            Chart::Polar(chart) => chart.draw(out, area),
            Chart::Field(chart) => chart.draw(out, area),
        }
    }
}

impl From<CurveChart> for Chart {
    fn from(chart: CurveChart) -> Self {
        Chart::Curves(chart)
    }
}
impl From<StepChart> for Chart {
    fn from(chart: StepChart) -> Self {
        Chart::Steps(chart)
    }
}
impl From<PolarChart> for Chart {
    fn from(chart: PolarChart) -> Self {
        Chart::Polar(chart)
    }
}
impl From<FieldChart> for Chart {
    fn from(chart: FieldChart) -> Self {
        Chart::Field(chart)
    }
}
