//! Why a part cannot be printed as asked, in the numbers it was asked in, and what would do.

use super::custom::{ROUND_HOLE, WALL};
use fit::{HEAD_SPARE, MeshFault};
use quantity::{Degrees, Millimetres, decimal};
use std::fmt;

/// Why a part cannot be printed as asked.
#[derive(Clone, Debug, PartialEq)]
pub enum PrintFault {
    /// A wall thinner than prints hold.
    WallTooThin {
        /// Which wall.
        what: String,
        /// How thick it would be.
        wall: Millimetres,
        /// What to do.
        mend: String,
    },
    /// Too little material between two holes, or between a hole and something else.
    TooNear {
        /// Between what.
        what: String,
        /// How much would be left.
        left: Millimetres,
        /// What to do.
        mend: String,
    },
    /// Screw heads that meet.
    HeadsMeet {
        /// The turn of the board's holes against the frame's.
        turn: Degrees,
        /// The air between the nearest two heads.
        gap: Millimetres,
        /// Whether that turn was asked for, or is the best there is.
        asked: bool,
    },
    /// An angle that a print cannot have.
    AngleBeyond {
        /// Which angle.
        what: &'static str,
        /// What was asked.
        angle: Degrees,
        /// The least.
        least: Degrees,
        /// The greatest.
        most: Degrees,
    },
    /// A size that makes no part.
    SizeBeyond {
        /// Which size.
        what: &'static str,
        /// What was asked.
        size: Millimetres,
        /// The least.
        least: Millimetres,
        /// The greatest.
        most: Millimetres,
    },
    /// There is nothing it would hold.
    NothingToHold {
        /// What is lacking and what to do.
        what: String,
    },
    /// The surface would not close; a fault of this program.
    NotClosed(MeshFault),
    /// The package of the file could not be made; a fault of this program.
    NotPacked(String),
}

fn mm(length: Millimetres) -> String {
    let text = decimal(length.get(), 2);
    let text = text.trim_end_matches('0').trim_end_matches('.');
    format!("{} mm", if text == "-0" { "0" } else { text })
}

fn degrees(angle: Degrees) -> String {
    format!("{}°", decimal(angle.get(), 1).trim_end_matches(".0"))
}

impl fmt::Display for PrintFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::WallTooThin { what, wall, mend } => {
                write!(
                    f,
                    "{what} is {}, a printed wall must be at least {}; {mend}",
                    mm(*wall),
                    mm(WALL.length)
                )
            }
            Self::TooNear { what, left, mend } => write!(
                f,
                "{what}: {} would be left between, must be at least {}; {mend}",
                mm(*left),
                mm(ROUND_HOLE.length)
            ),
            Self::HeadsMeet { turn, gap, asked } => {
                let turn = degrees(*turn);
                let (turned, mend) = if *asked {
                    (format!("turned by {turn} as asked"), "leave the turn to the program")
                } else {
                    (format!("at the best turn, {turn}"), "take smaller screws")
                };
                let between = match gap.get() < 0.0 {
                    true => format!("overlap by {}", mm(-*gap)),
                    false => format!("are {} apart", mm(*gap)),
                };
                write!(
                    f,
                    "the nearest screw heads {between} {turned}, must be {} apart; {mend}",
                    mm(HEAD_SPARE)
                )
            }
            Self::AngleBeyond { what, angle, least, most } => write!(
                f,
                "{what} {} must lie between {} and {}; check the sign and the number",
                degrees(*angle),
                degrees(*least),
                degrees(*most)
            ),
            Self::SizeBeyond { what, size, least, most } => {
                write!(f, "{what} {} must lie between {} and {}", mm(*size), mm(*least), mm(*most))
            }
            Self::NothingToHold { what } => f.write_str(what),
            Self::NotPacked(cause) => write!(f, "the file could not be packed: {cause}"),
            Self::NotClosed(fault) => {
                write!(
                    f,
                    "the surface of this part does not close, which is a fault of this program: {fault}"
                )
            }
        }
    }
}

impl std::error::Error for PrintFault {}

impl From<MeshFault> for PrintFault {
    fn from(fault: MeshFault) -> Self {
        Self::NotClosed(fault)
    }
}

/// Whether a size lies where it makes a part.
pub(super) fn within(
    what: &'static str,
    size: Millimetres,
    least: f64,
    most: f64,
) -> Result<f64, PrintFault> {
    let (least, most) = (Millimetres::new(least), Millimetres::new(most));
    match size >= least && size <= most {
        true => Ok(size.get()),
        false => Err(PrintFault::SizeBeyond { what, size, least, most }),
    }
}

/// Whether an angle lies between two.
pub(super) fn angle_within(
    what: &'static str,
    angle: Degrees,
    least: f64,
    most: f64,
) -> Result<f64, PrintFault> {
    let (least, most) = (Degrees::new(least), Degrees::new(most));
    match angle >= least && angle <= most {
        true => Ok(angle.get().to_radians()),
        false => Err(PrintFault::AngleBeyond { what, angle, least, most }),
    }
}
