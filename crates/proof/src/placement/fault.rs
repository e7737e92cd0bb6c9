//! Why nothing can be searched.

use super::arrange::ARRANGEMENTS_MAX;
use std::fmt;

/// Why nothing can be searched.
#[derive(Clone, Debug, PartialEq)]
pub enum PlacementFault {
    /// No such place.
    NoPlace {
        /// The place.
        place: String,
        /// What was probably meant.
        did_you_mean: Option<String>,
    },
    /// A place that is no choice.
    Stays {
        /// The place.
        place: String,
        /// What can be searched.
        movable: Vec<String>,
    },
    /// Nothing in the craft can be seated elsewhere.
    NothingMoves,
    /// More ways to stack than are handled.
    TooMany {
        /// How many units there are.
        units: usize,
    },
}

impl fmt::Display for PlacementFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NoPlace { place, did_you_mean: Some(near) } => {
                write!(f, "no place {place:?} in this craft; did you mean {near:?}?")
            }
            Self::NoPlace { place, did_you_mean: None } => {
                write!(f, "no place {place:?} in this craft; name one of its places")
            }
            Self::Stays { place, movable } => write!(
                f,
                "place {place:?} is no board on a hole pattern, camera in a mount or antenna in a holder; these can be \
                 placed: {}",
                movable.join(", ")
            ),
            Self::NothingMoves => f.write_str(
                "nothing in this craft can be placed otherwise; seat a board on a hole pattern, a camera in a mount or an \
                 antenna in a holder first",
            ),
            Self::TooMany { units } => write!(
                f,
                "{units} units can be stacked in more than {} ways; name the ones that may move",
                ARRANGEMENTS_MAX
            ),
        }
    }
}

impl std::error::Error for PlacementFault {}
