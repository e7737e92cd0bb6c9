//! How much air a question wants between solids: what their roles ask for, or none but contact.

use crate::role::{APART, Requirement, Role, required_clearance};
use quantity::Millimetres;

/// How much air is kept between solids.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub enum Air {
    /// What the two roles ask for: see [`crate::REQUIREMENTS`].
    #[default]
    ByRole,
    /// None: they stop each other where they touch.
    Contact,
}

impl Air {
    /// What two solids of these roles need; `None` where they may overlap.
    pub fn between(self, a: Role, b: Role) -> Option<Requirement> {
        let needs = required_clearance(a, b)?;
        Some(match self {
            Air::ByRole => needs,
            Air::Contact => Requirement { distance: Millimetres::new(0.0), ..APART },
        })
    }
}
