//! What can be wrong with what the crate is given, one variant a circumstance.

use quantity::{Degrees, Measure, Micrometres, Millimetres, Quantity, Ratio};
use thiserror::Error;

/// What is wrong, with the value, the limit and the mend.
#[derive(Clone, Copy, Debug, PartialEq, Error)]
pub enum OpticsFault {
    /// A focal length that cannot be.
    #[error("focal length {value} must be above 0 and at most {limit}; check the sign and the unit")]
    FocalLength {
        /// As given.
        value: Millimetres,
        /// The longest allowed.
        limit: Millimetres,
    },
    /// An image circle that cannot be.
    #[error("image circle {value} must be above 0; check the sign")]
    ImageCircle {
        /// As given.
        value: Millimetres,
    },
    /// An angle the projection has no place for.
    #[error(
        "an angle of {angle} off the axis lies beyond the {limit} that the {projection} projection shows"
    )]
    BeyondProjection {
        /// Of the projection.
        projection: &'static str,
        /// As asked.
        angle: Degrees,
        /// The widest.
        limit: Degrees,
    },
    /// A place on the sensor that no light reaches.
    #[error("{radius} from the middle lies beyond the image, which ends at {limit}")]
    BeyondImage {
        /// As asked.
        radius: Millimetres,
        /// Where the image ends.
        limit: Millimetres,
    },
    /// Too few points for a measured map.
    #[error("a measured map needs 1 point off the axis at least and {limit} at most; it has {count}")]
    MapSize {
        /// How many there are.
        count: usize,
        /// How many there may be.
        limit: usize,
    },
    /// A measured map that turns back.
    #[error(
        "map point {number} ({angle} at {radius}) must lie farther out than the point before it, in angle and in radius; sort the points or measure it again"
    )]
    MapOrder {
        /// Which one, counted from one.
        number: usize,
        /// Its angle.
        angle: Degrees,
        /// Its radius.
        radius: Millimetres,
    },
    /// A pixel pitch that cannot be.
    #[error("pixel pitch {value} must be above 0; check the sign")]
    PixelPitch {
        /// As given.
        value: Micrometres,
    },
    /// A number of pixels that cannot be.
    #[error("{across} × {down} pixels: both must lie between 1 and {limit}")]
    Pixels {
        /// Across.
        across: u32,
        /// Down.
        down: u32,
        /// The most in either direction.
        limit: u32,
    },
    /// A sensor size that cannot be.
    #[error("sensor size {value} must be above 0; check the sign")]
    SensorSize {
        /// As given.
        value: Millimetres,
    },
    /// A crop that cannot be.
    #[error("share of the width used {value} must be above 0 and at most 1")]
    Crop {
        /// As given.
        value: Ratio,
    },
    /// A size of a solid that cannot be.
    #[error("{what} {value} must be above 0; check the sign")]
    Size {
        /// Which size.
        what: &'static str,
        /// As given.
        value: Millimetres,
    },
    /// A ring of an outline with too few corners.
    #[error("ring {ring} of the outline has {count} corners; it needs 3 at least")]
    Ring {
        /// Which ring, counted from one.
        ring: usize,
        /// Its corners.
        count: usize,
    },
    /// A corner of an outline that is no place.
    #[error("corner {corner} of ring {ring} of the outline is no place: {x}, {y}")]
    Corner {
        /// Which ring, counted from one.
        ring: usize,
        /// Which corner, counted from one.
        corner: usize,
        /// Along x, in mm.
        x: f64,
        /// Along y, in mm.
        y: f64,
    },
    /// No direction.
    #[error("{x}, {y}, {z} has no direction; at least one of them must differ from 0")]
    NoDirection {
        /// Forward.
        x: f64,
        /// Left.
        y: f64,
        /// Up.
        z: f64,
    },
    /// Axes that are no frame.
    #[error("the axes of a solid must stand square on each other")]
    Axes,
    /// A value out of the range in which its formula means something.
    #[error("{what} {value} must lie between {low} and {high}; check the sign and the unit")]
    OutOfRange {
        /// Which value.
        what: &'static str,
        /// As given.
        value: Quantity,
        /// The least allowed.
        low: Quantity,
        /// The greatest allowed.
        high: Quantity,
    },
    /// A lens that cannot be focused so near.
    #[error("{distance} lies within the focal length of {focal_length}: nothing is sharp so near")]
    WithinFocalLength {
        /// As asked.
        distance: Millimetres,
        /// Of the lens.
        focal_length: Millimetres,
    },
}

/// The number of a value that lies within its range, both ends allowed.
pub(crate) fn within<M: Measure>(
    what: &'static str,
    value: M,
    (low, high): (f64, f64),
) -> Result<f64, OpticsFault> {
    let (number, quantity) = (value.raw(), |value| Quantity { value, unit: M::UNIT });
    let fault =
        OpticsFault::OutOfRange { what, value: quantity(number), low: quantity(low), high: quantity(high) };
    (low..=high).contains(&number).then_some(number).ok_or(fault)
}
