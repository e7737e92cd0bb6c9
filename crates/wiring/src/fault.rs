//! What cannot be worked out, and why.

use thiserror::Error;

/// Why there is no answer.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
pub enum WiringFault {
    /// More than the exact search takes.
    #[error("{count} {what} must be at most {most}; leave out those that are not wanted")]
    TooMany {
        /// What there are too many of.
        what: &'static str,
        /// How many.
        count: usize,
        /// The most.
        most: usize,
    },
    /// A join to a pad that is not there.
    #[error("wire {wire} ends at pad {pad}, and there are {pads}; join it to a pad that is there")]
    NoPad {
        /// The number of the join, from 0.
        wire: usize,
        /// The pad it names, from 0.
        pad: usize,
        /// How many there are.
        pads: usize,
    },
}
