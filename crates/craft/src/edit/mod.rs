//! Edits: the one vocabulary in which page, command line and journal change a craft.
//!
//! An edit names things by id, key and text, as a person would say them; `null` text clears. Serialised it
//! is `{"edit": "set_place", "place": "vtx", "key": "z", "text": "4 mm, measured"}`. [`apply`] gives the
//! craft as it then stands or says what is wrong, and never lets a sound craft become unsound: an edit
//! after which something dangles, clashes or goes in a round is refused.
//!
//! Names carry their references along: renaming a plug, a plate or a mount renames it wherever it is
//! meant. A drag states where something is meant to sit, not where calipers found it: the coordinates
//! that change become `typical` and lose their stated tolerance, unless the mover says what the new ones
//! rest on; those that do not change keep their fact. What is dragged is kept to 0.01 mm.
//!
//! Left out: undo (the journal keeps the craft before each edit) and edits of several crafts at once.

mod describe;
mod fault;
mod rename;
mod run;

pub use fault::EditFault;
pub use run::apply;

use crate::schema::PartKind;
use crate::{Craft, Part, PartId, PlaceId};
use quantity::Basis;
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;

/// One change to a craft.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(tag = "edit", rename_all = "snake_case")]
pub enum Edit {
    /// Says something of the whole craft: a key of [`schema::craft`](crate::schema::craft), `name` or `class`.
    SetCraft {
        /// The key.
        key: String,
        /// The value as text; `None` clears it.
        text: Option<String>,
    },
    /// Adds a part about which nothing is known yet.
    AddPart {
        /// Its id; made from the name when left out.
        #[serde(default)]
        id: Option<PartId>,
        /// What it is.
        kind: PartKind,
        /// What it is called.
        name: String,
    },
    /// Adds a part with all its facts, such as one from the store. A taken id gets a number.
    AddPartWhole {
        /// The part.
        part: Part,
    },
    /// Takes a part out that no place uses.
    RemovePart {
        /// The part.
        part: PartId,
    },
    /// Gives a part another name.
    RenamePart {
        /// The part.
        part: PartId,
        /// The new name.
        name: String,
    },
    /// Says something of a part.
    SetPart {
        /// The part.
        part: PartId,
        /// The key, of its kind's fields.
        key: String,
        /// The value as text; `None` clears it.
        text: Option<String>,
    },
    /// Adds a row to a table of a part.
    AddRow {
        /// The part.
        part: PartId,
        /// The table.
        table: String,
        /// What is said of the row, by key.
        #[serde(default)]
        values: BTreeMap<String, String>,
    },
    /// Says something of a row.
    SetRow {
        /// The part.
        part: PartId,
        /// The table.
        table: String,
        /// Which row, from 0.
        row: usize,
        /// The key.
        key: String,
        /// The value as text; `None` clears it.
        text: Option<String>,
    },
    /// Takes a row out.
    RemoveRow {
        /// The part.
        part: PartId,
        /// The table.
        table: String,
        /// Which row, from 0.
        row: usize,
    },
    /// Adds a row to a table of the craft itself: a wire, the setting of a port.
    AddCraftRow {
        /// The table.
        table: String,
        /// What is said of the row, by key.
        #[serde(default)]
        values: BTreeMap<String, String>,
    },
    /// Says something of such a row.
    SetCraftRow {
        /// The table.
        table: String,
        /// Which row, from 0.
        row: usize,
        /// The key.
        key: String,
        /// The value as text; `None` clears it.
        text: Option<String>,
    },
    /// Takes such a row out.
    RemoveCraftRow {
        /// The table.
        table: String,
        /// Which row, from 0.
        row: usize,
    },
    /// Adds a part like another one.
    DuplicatePart {
        /// The part to copy.
        part: PartId,
        /// The name of the copy; its id is made from it.
        name: String,
    },
    /// Puts a part somewhere.
    AddPlace {
        /// Its id; made from the part's id when left out.
        #[serde(default)]
        id: Option<PlaceId>,
        /// The part.
        part: PartId,
        /// What it is seated on: `body`, `esc` or `frame/rear stack`; may be left open.
        #[serde(default)]
        on: Option<String>,
    },
    /// Says something of a place: a key of [`schema::place`](crate::schema::place), `on` or `part`.
    SetPlace {
        /// The place.
        place: PlaceId,
        /// The key.
        key: String,
        /// The value as text; `None` clears it.
        text: Option<String>,
    },
    /// Takes a place out on which nothing else depends.
    RemovePlace {
        /// The place.
        place: PlaceId,
    },
    /// Moves a place along its anchor's axes.
    MovePlace {
        /// The place.
        place: PlaceId,
        /// How the numbers are meant.
        #[serde(default)]
        how: Move,
        /// Along x, in mm; left out, x stays.
        #[serde(default)]
        x: Option<f64>,
        /// Along y, in mm; left out, y stays.
        #[serde(default)]
        y: Option<f64>,
        /// Along z, in mm; left out, z stays.
        #[serde(default)]
        z: Option<f64>,
        /// What the new coordinates rest on; `typical` when left out.
        #[serde(default)]
        basis: Option<Basis>,
    },
    /// Puts one part of the craft wherever another stands.
    SwapPart {
        /// The part that goes; it stays among the parts of the craft.
        part: PartId,
        /// The part that takes its places.
        with: PartId,
    },
    /// Several changes as one step, for what takes more than one to make sense: a part that comes with its
    /// place and moves others. All of them are carried out or none. Each must concern this craft alone: what
    /// changes a part would change every craft that uses it.
    Together {
        /// What they are for, in words: the line of the journal.
        what: String,
        /// The changes, in order; no such step within another.
        edits: Vec<Edit>,
    },
}

/// The most changes one step may hold.
pub const TOGETHER_MAX: usize = 200;

/// How the numbers of a move are meant.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Move {
    /// To these coordinates.
    #[default]
    To,
    /// By this much.
    By,
}

impl Edit {
    /// The same edit with the ids that [`apply`] would choose written out: what a journal keeps.
    pub fn with_ids(mut self, craft: &Craft) -> Self {
        match &mut self {
            Edit::AddPart { id: id @ None, name, .. } => {
                *id = Some(run::part_id(craft, &PartId::from_name(name)))
            }
            Edit::AddPartWhole { part } => part.id = run::part_id(craft, &part.id),
            Edit::AddPlace { id: id @ None, part, .. } => *id = Some(run::place_id(craft, part)),
            Edit::Together { edits, .. } => {
                // Ids depend on what the changes before brought in; one that cannot be is told by `apply`.
                let mut craft = craft.clone();
                for edit in edits {
                    *edit = edit.clone().with_ids(&craft);
                    let _ = run::change(&mut craft, edit);
                }
            }
            _ => {}
        }
        self
    }

    /// Whether it concerns one craft alone, and no part that others may use as well.
    fn is_of_one_craft(&self) -> bool {
        matches!(
            self,
            Edit::SetCraft { .. }
                | Edit::AddCraftRow { .. }
                | Edit::SetCraftRow { .. }
                | Edit::RemoveCraftRow { .. }
                | Edit::AddPartWhole { .. }
                | Edit::RemovePart { .. }
                | Edit::AddPlace { .. }
                | Edit::SetPlace { .. }
                | Edit::RemovePlace { .. }
                | Edit::MovePlace { .. }
                | Edit::SwapPart { .. }
        )
    }

    /// The line of the journal: what this edit does to this craft, in words.
    pub fn describe(&self, craft: &Craft) -> String {
        describe::describe(self, craft)
    }
}

#[cfg(test)]
mod tests;
