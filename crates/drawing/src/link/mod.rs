//! The radio link of a craft as charts: its budget, its range, where it holds, what its antennas send, which antenna carries.
//!
//! Numbers come from `proof::link`, for a pose that is asked; here they become charts with their words. Every chart that shows a power
//! carries [`POWER_NOTE`], every one that shows an antenna at power [`EXPOSURE_NOTE`].

mod budget;
mod costs;
mod held;
mod lobes;
mod pattern;
mod plan_view;
mod range;
mod words;

pub use budget::budget;
pub use costs::costs;
pub use held::held;
pub use lobes::lobes;
pub use pattern::{PatternRow, PatternShown, patterns};
pub use plan_view::{PlanView, plan_view};
pub use range::{Ranges, range, ranges};
pub use words::{asked_words, lack_words};

use crate::chart::ChartFault;
use proof::Proved;
use proof::link::{Link, LinkAsked, LinkModel};
use thiserror::Error;

/// Stands wherever a power or a limit is shown.
pub const POWER_NOTE: &str =
    "Power, band and where you may use them: check your local rules before you transmit; this is not advice.";
/// Stands wherever an antenna at power is shown.
pub const EXPOSURE_NOTE: &str = "Antenna on before power. At power keep off the antenna and keep people away from it, most of all before an aimed one.";
/// What a link rests on.
pub(crate) const MODEL_NOTE: &str = "Computed from sheets and a plan, not measured: walk or fly nearer first, and turn back while the picture is whole.";

/// Why a link is not drawn.
#[derive(Clone, Debug, PartialEq, Error)]
pub enum LinkFault {
    /// No transmitter.
    #[error("{craft:?} carries no video transmitter, so there is no link to draw; put one on it first")]
    NoTransmitter {
        /// The craft.
        craft: String,
    },
    /// Something lacks.
    #[error("the link of {craft:?} lacks {lacks}; enter that first")]
    Lacks {
        /// The craft.
        craft: String,
        /// What, in words.
        lacks: String,
    },
    /// The transmitter offers no such level.
    #[error("{craft:?} has no level of {wanted}; its transmitter offers {offered}")]
    NoLevel {
        /// The craft.
        craft: String,
        /// What was asked for.
        wanted: String,
        /// What there is.
        offered: String,
    },
    /// A pose that the radio does not take.
    #[error("{0}")]
    Radio(String),
    /// A chart that cannot be drawn.
    #[error(transparent)]
    Chart(#[from] ChartFault),
}

/// A link with everything known, and what is asked of it.
#[derive(Clone, Copy)]
pub struct LinkShown<'a> {
    /// The craft's name.
    pub craft: &'a str,
    /// Its proof.
    pub proved: &'a Proved,
    /// What its sheet says of the link.
    pub model: &'a LinkModel,
    /// The link.
    pub link: &'a Link,
    /// What is asked.
    pub asked: &'a LinkAsked,
}

impl<'a> LinkShown<'a> {
    /// The link of a proved craft, as asked.
    pub fn new(craft: &'a str, proved: &'a Proved, asked: &'a LinkAsked) -> Result<Self, LinkFault> {
        let none = || LinkFault::NoTransmitter { craft: craft.to_owned() };
        let model = proved.link.as_deref().ok_or_else(none)?;
        let link = model.link().map_err(|lack| LinkFault::Lacks {
            craft: craft.to_owned(),
            lacks: lack_words(lack).join("; "),
        })?;
        Ok(Self { craft, proved, model, link, asked })
    }
}

/// Said where a link that is there after all is asked for in vain.
pub(crate) fn lacks(shown: &LinkShown) -> LinkFault {
    LinkFault::Lacks { craft: shown.craft.to_owned(), lacks: "a part".to_owned() }
}

/// A fault of the radio, in its own words.
pub(crate) fn radio(fault: impl std::fmt::Display) -> LinkFault {
    LinkFault::Radio(fault.to_string())
}
