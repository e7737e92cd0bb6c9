//! A part: one kind of thing, with facts from a data sheet or calipers.
//!
//! Part frame: x forward, y left, z up, in mm. The origin is the point by which the part is seated:
//! - boards, packs, receivers, modules, capacitors lying down: middle of the footprint, at the underside;
//! - frame: wherever the builder measures from, usually the middle of the bottom plate's upper face;
//! - camera: on the axis of its side screws, midway between its sides; x is the way it looks;
//! - lens: middle of the face where it enters the camera; x is the way it looks;
//! - motor: middle of its base; z along its shaft, away from the arm;
//! - blades: middle of the hub; z along the shaft;
//! - antenna: where it leaves its holder or socket; z along the element.

use crate::item::Item;
use crate::schema::{PartKind, TableDef};
use crate::{PartId, Value, Values};
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;

/// One row of a part's table: one plug, one plate, one hole.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(transparent)]
pub struct Row(pub Values);

/// One kind of thing, with its facts.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Part {
    /// Its id, unlike every other part's.
    pub id: PartId,
    /// What it is; says which facts it may carry.
    pub kind: PartKind,
    /// What the builder calls it.
    pub name: String,
    /// Its facts, by key of the schema.
    pub values: Values,
    /// Its tables, by key of the schema: plugs, plates, patterns and the like.
    pub tables: BTreeMap<String, Vec<Row>>,
}

impl Part {
    /// A part with nothing known about it yet.
    pub fn new(id: PartId, kind: PartKind, name: impl Into<String>) -> Self {
        Self { id, kind, name: name.into(), values: Values::new(), tables: BTreeMap::new() }
    }

    /// The part's own values, ready to be read by typed field.
    pub fn item(&self) -> Item<'_> {
        Item {
            owner: self.id.as_str(),
            path: self.id.to_string(),
            called: format!("{:?}", self.name),
            values: &self.values,
        }
    }

    /// The rows of one of its tables, ready to be read by typed field.
    pub fn rows<'a>(&'a self, table: &'static TableDef) -> impl Iterator<Item = Item<'a>> + 'a {
        self.tables.get(table.key).into_iter().flatten().enumerate().map(move |(number, row)| Item {
            owner: self.id.as_str(),
            path: format!("{}.{}[{number}]", self.id, table.key),
            called: match row.0.get("name") {
                Some(Value::Text(name)) => format!("{} {name:?} of {:?}", table.one, self.name),
                _ => format!("{} {} of {:?}", table.one, number + 1, self.name),
            },
            values: &row.0,
        })
    }

    /// The row of a table that carries this name.
    pub fn row_named<'a>(&'a self, table: &'static TableDef, name: &str) -> Option<Item<'a>> {
        self.rows(table).find(|row| row.name() == Some(name))
    }
}
