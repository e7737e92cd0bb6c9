//! How far a value may be off, and what is assumed when nobody said.
//!
//! A doubt is an interval round the value, `minus` below and `plus` above, with the shape of the
//! belief inside it. Its standard uncertainty follows JCGM 100:2008:
//! - rectangular: u = (plus + minus) / √12 (4.3.7 for the even interval, 4.3.8 for the uneven one);
//! - normal: the half-width is taken as two standard uncertainties, u = (plus + minus) / 4 (4.3.4, k = 2).
//!
//! The default doubts by kind of fact and by basis are custom of the trade, one table, below. A part's
//! stated tolerance always wins over the table.

use crate::{Basis, Source};
use serde::{Deserialize, Serialize};

/// The shape of belief inside the interval.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Default, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Shape {
    /// Anywhere inside is as likely, outside is impossible.
    #[default]
    Rectangular,
    /// Bell-shaped, the interval being two standard uncertainties each side.
    Normal,
}

/// How far a value may be off, in the value's own unit.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Doubt {
    /// How far the truth may lie below the value; never negative.
    pub minus: f64,
    /// How far the truth may lie above the value; never negative.
    pub plus: f64,
    /// The shape of belief.
    pub shape: Shape,
}

impl Doubt {
    /// No doubt at all: an exact or assumed value.
    pub const NONE: Doubt = Doubt { minus: 0.0, plus: 0.0, shape: Shape::Rectangular };

    /// An even rectangular doubt of the given half-width.
    pub const fn even(half_width: f64) -> Self {
        Self { minus: half_width, plus: half_width, shape: Shape::Rectangular }
    }

    /// The standard uncertainty, JCGM 100:2008 4.3.4, 4.3.7 and 4.3.8.
    pub fn standard_uncertainty(&self) -> f64 {
        let width = self.plus + self.minus;
        match self.shape {
            Shape::Rectangular => width / 12f64.sqrt(),
            Shape::Normal => width / 4.0,
        }
    }

    /// The middle of the interval, as an offset from the value: not nought for uneven doubts.
    pub fn centre_offset(&self) -> f64 {
        (self.plus - self.minus) / 2.0
    }
}

/// Which row of the default table a fact falls under.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum DoubtKind {
    /// Outer size of a board, camera or motor.
    OuterSize,
    /// Position of a hole.
    HolePosition,
    /// Diameter of a hole or screw.
    HoleDiameter,
    /// Height over components.
    ComponentHeight,
    /// Thickness of a carbon plate.
    PlateThickness,
    /// Size of a printed part.
    PrintedSize,
    /// Height of a soft mount under load.
    SoftMount,
    /// Where a part sits as built.
    PlacePosition,
    /// Mass.
    Mass,
    /// Harness or pigtail, plug tip to plug tip.
    LeadLength,
    /// Radio level at the connector.
    RadioLevel,
    /// Antenna gain or axial ratio.
    AntennaGain,
    /// Receiver threshold.
    ReceiverThreshold,
    /// Cell resistance.
    CellResistance,
    /// Direct-current draw of a video unit.
    VideoDraw,
    /// Motor current or thrust at full throttle.
    MotorFull,
    /// Voltage of a pack at one of two loads, read twice on one meter: what its scale is off stands in both and goes out of their difference.
    PackReading,
    /// View angle of a lens.
    ViewAngle,
    /// Any other quantity.
    Other,
    /// Counts and nominal sizes: taken as exact.
    Exact,
}

/// One cell of the default table: how far off, absolutely or as a share of the value.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Spread {
    /// This far either side, in the fact's unit.
    Within(f64),
    /// This share of the value either side.
    Share(f64),
    /// Between these multiples of the value.
    Between(f64, f64),
}

/// One row of the default table.
#[derive(Clone, Copy, Debug)]
pub struct DoubtRow {
    /// The kind of fact.
    pub kind: DoubtKind,
    /// The kind in words.
    pub words: &'static str,
    /// When measured.
    pub measured: Spread,
    /// When read from a data sheet.
    pub data_sheet: Spread,
    /// When only typical.
    pub typical: Spread,
}

/// Where the default doubts come from.
pub const DEFAULT_DOUBT_SOURCE: Source =
    Source::common_practice("default doubt by kind of fact and by basis");

use Spread::{Between, Share, Within};

/// Default doubts, half-width, rectangular. Common practice; a stated tolerance always wins.
pub const DEFAULT_DOUBTS: &[DoubtRow] = &[
    row(DoubtKind::OuterSize, "outer size of board, camera, motor", Within(0.1), Within(0.3), Within(1.0)),
    row(DoubtKind::HolePosition, "hole position", Within(0.1), Within(0.15), Within(0.3)),
    row(DoubtKind::HoleDiameter, "hole or screw diameter", Within(0.05), Within(0.1), Within(0.2)),
    row(DoubtKind::ComponentHeight, "height over components", Within(0.2), Within(0.5), Within(1.5)),
    row(DoubtKind::PlateThickness, "carbon plate thickness", Within(0.05), Within(0.1), Within(0.2)),
    row(DoubtKind::PrintedSize, "printed part", Within(0.1), Within(0.2), Within(0.4)),
    row(DoubtKind::SoftMount, "soft mount under load", Within(0.3), Within(0.5), Within(1.0)),
    row(DoubtKind::PlacePosition, "place of a part as built", Within(0.2), Within(0.5), Within(1.0)),
    row(DoubtKind::Mass, "mass", Within(0.1), Share(0.05), Share(0.15)),
    row(
        DoubtKind::LeadLength,
        "harness or pigtail length, plug tip to plug tip",
        Within(1.0),
        Within(5.0),
        Within(10.0),
    ),
    row(DoubtKind::RadioLevel, "radio level at the connector", Within(0.5), Within(2.0), Within(3.0)),
    row(DoubtKind::AntennaGain, "antenna gain or axial ratio", Within(0.5), Within(1.0), Within(1.5)),
    row(DoubtKind::ReceiverThreshold, "receiver threshold", Within(1.0), Within(2.0), Within(4.0)),
    row(DoubtKind::CellResistance, "cell resistance", Share(0.1), Between(1.0, 2.0), Between(0.6, 2.0)),
    row(DoubtKind::VideoDraw, "direct-current draw of a video unit", Share(0.03), Share(0.15), Share(0.3)),
    row(
        DoubtKind::MotorFull,
        "motor current or thrust at full throttle",
        Share(0.05),
        Share(0.1),
        Share(0.25),
    ),
    row(
        DoubtKind::PackReading,
        "voltage of a pack under load, to tell a drop",
        Within(0.01),
        Within(0.02),
        Within(0.05),
    ),
    row(DoubtKind::ViewAngle, "lens view angle", Within(2.0), Within(10.0), Within(15.0)),
    row(DoubtKind::Other, "any other quantity", Share(0.02), Share(0.05), Share(0.15)),
    row(DoubtKind::Exact, "counts and nominal sizes", Within(0.0), Within(0.0), Within(0.0)),
];

const fn row(
    kind: DoubtKind,
    words: &'static str,
    measured: Spread,
    data_sheet: Spread,
    typical: Spread,
) -> DoubtRow {
    DoubtRow { kind, words, measured, data_sheet, typical }
}

impl DoubtKind {
    /// The doubt assumed for a value of this kind when none is stated.
    pub fn default_doubt(self, basis: Basis, value: f64) -> Doubt {
        let spread =
            DEFAULT_DOUBTS.iter().find(|row| row.kind == self).map_or(Within(0.0), |row| match basis {
                Basis::Measured => row.measured,
                Basis::DataSheet => row.data_sheet,
                Basis::Typical => row.typical,
            });
        match spread {
            Within(half) => Doubt::even(half),
            Share(share) => Doubt::even((share * value).abs()),
            Between(low, high) => Doubt {
                minus: ((1.0 - low) * value).max(0.0),
                plus: ((high - 1.0) * value).max(0.0),
                shape: Shape::Rectangular,
            },
        }
    }
}
