//! As what a solid of the craft counts when it stands in the picture.
//!
//! A builder asks of the picture by what can be moved, cut back or exchanged: blades, arms with their motors, the cage, the
//! antennas; all else is the rest.

use super::{CraftSolid, Piece};
use crate::engine::Proof;
use craft::schema::{PartKind, frame};
use fit::Role;

/// As what a solid counts when it stands in the picture.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum SeenAs {
    /// A disc swept by blades.
    Blades,
    /// An arm of the frame, or a motor on it.
    Arms,
    /// A plate that guards the lens.
    Cage,
    /// An antenna with its stem.
    Antennas,
    /// Anything else.
    Rest,
}

impl SeenAs {
    /// Every one, in the order they are told.
    pub const ALL: [SeenAs; 5] = [SeenAs::Blades, SeenAs::Arms, SeenAs::Cage, SeenAs::Antennas, SeenAs::Rest];

    /// What a person calls it.
    pub const fn words(self) -> &'static str {
        match self {
            SeenAs::Blades => "blades, as discs",
            SeenAs::Arms => "arms and motors",
            SeenAs::Cage => "cage",
            SeenAs::Antennas => "antennas",
            SeenAs::Rest => "rest of the craft",
        }
    }

    /// As what a solid counts.
    pub(super) fn of(proof: &Proof, solid: &CraftSolid) -> Self {
        let part = proof.part_of(solid.place);
        let plate = || {
            let Piece::Row(table, number) = solid.piece else { return None };
            let row = (table == frame::plate::TABLE.key)
                .then(|| part?.rows(&frame::plate::TABLE).nth(number))
                .flatten()?;
            row.text(&frame::plate::ROLE).ok()
        };
        match (solid.solid.role, part.map(|part| part.kind)) {
            (Role::BladeSweep, _) => SeenAs::Blades,
            (Role::Motor | Role::MotorWinding, _) => SeenAs::Arms,
            (Role::AntennaElement | Role::ControlAntenna, _) | (_, Some(PartKind::Antenna)) => {
                SeenAs::Antennas
            }
            (_, Some(PartKind::Frame | PartKind::PrintedPart)) => match plate() {
                Some("arm") => SeenAs::Arms,
                Some("cage") => SeenAs::Cage,
                _ => SeenAs::Rest,
            },
            _ => SeenAs::Rest,
        }
    }
}
