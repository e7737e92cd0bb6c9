//! What can be wrong with what the crate is given, one variant a circumstance.

use crate::{Stated, Told};
use std::fmt;
use thiserror::Error;

/// What is wrong, with the value, the limit and the mend.
#[derive(Clone, Debug, PartialEq, Error)]
pub enum PowerFault {
    /// A number beyond what it may be.
    #[error("{what} {value} must lie between {least} and {most}; {mend}")]
    Beyond {
        /// Which number.
        what: String,
        /// As given.
        value: Stated,
        /// The least.
        least: Stated,
        /// The most.
        most: Stated,
        /// What to do.
        mend: &'static str,
    },
    /// A gauge that no table knows.
    #[error("{what} {size} is not in the table ({known}); {mend}")]
    NoSuchSize {
        /// Which kind of size.
        what: &'static str,
        /// As given.
        size: Stated,
        /// What is known.
        known: String,
        /// What to do.
        mend: &'static str,
    },
    /// A table with too few points, or that does not reach far enough.
    #[error("{what} has {has} points; it needs {needs}")]
    Short {
        /// Which table.
        what: &'static str,
        /// How many points it has.
        has: usize,
        /// What it needs.
        needs: &'static str,
    },
    /// Two statements that cannot both be true.
    #[error("{what}: {one} and {other} contradict each other; {mend}")]
    Contradictory {
        /// Of what.
        what: &'static str,
        /// One of them.
        one: String,
        /// The other.
        other: String,
        /// What to do.
        mend: &'static str,
    },
    /// Two rails of one name.
    #[error("rail `{name}` is there twice, or bears the name of the pack; give each a name of its own")]
    NamedTwice {
        /// The name.
        name: String,
    },
    /// A feed that is not there.
    #[error("`{of}` is fed from `{name}`, which is not there; known are: {known}")]
    NoSuchRail {
        /// What was named.
        name: String,
        /// What would be fed.
        of: String,
        /// What is there.
        known: String,
    },
    /// Rails that feed each other in a circle.
    #[error("rails feed themselves: {}; feed one of them from the pack", circle.join(" from "))]
    FeedsItself {
        /// Each fed from the next; the last is the first.
        circle: Vec<String>,
    },
}

impl PowerFault {
    /// A number, if it lies within its limits; what is no number does not. What it is called is put into words only where it does not.
    pub(crate) fn within<T: Told>(
        what: impl fmt::Display,
        value: T,
        least: T,
        most: T,
        mend: &'static str,
    ) -> Result<T, PowerFault> {
        if least <= value && value <= most {
            return Ok(value);
        }
        let [value, least, most] = [value, least, most].map(Told::stated);
        Err(PowerFault::Beyond { what: what.to_string(), value, least, most, mend })
    }
}
