//! A place: one part put somewhere in a craft.
//!
//! A place is seated on an anchor, moved by x, y, z along the anchor's axes and turned: yaw about z
//! (left positive), then pitch about the new y (nose up positive), then roll about the new x
//! (right side down positive). A flipped part is first turned over about its own x axis.
//!
//! Anchors: `body` is the craft's own frame; `frame/rear stack` is the feature "rear stack" of the
//! part at place `frame`; `esc` alone is the part frame of place `esc`. A feature's frame has its
//! origin at the feature's point and z away from the face it is on.

use crate::item::Item;
use crate::schema::Field;
use crate::{PartId, PlaceId, Value, Values};
use quantity::Measure;
use serde::{Deserialize, Serialize};
use std::fmt;

/// What a place is seated on.
#[derive(Clone, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Anchor {
    /// The craft's own frame: x forward, y left, z up.
    Body,
    /// The part frame of another place.
    Place(PlaceId),
    /// A named feature of the part at another place: a pattern, a camera mount, a motor mount.
    Feature(PlaceId, String),
}

/// A named plug of the part at a place, as leads refer to it: `vtx/coax 1`.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub struct PlugRef {
    /// The place.
    pub place: PlaceId,
    /// The name of the plug there.
    pub plug: String,
}

/// One part put somewhere in a craft.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Place {
    /// Its id, unlike every other place's in the craft.
    pub id: PlaceId,
    /// Which part is put there.
    pub part: PartId,
    /// What it is seated on; `None` when nobody said yet.
    pub on: Option<Anchor>,
    /// Offsets, turns and what else is said of the part in this place, by key of [`schema::place`](crate::schema::place).
    pub values: Values,
}

impl Place {
    /// A part put on an anchor with no offset and no turn.
    pub fn new(id: PlaceId, part: PartId, on: Anchor) -> Self {
        Self { id, part, on: Some(on), values: Values::new() }
    }

    /// The place's own values, ready to be read by typed field. Paths start with `place `.
    pub fn item(&self) -> Item<'_> {
        Item {
            owner: self.id.as_str(),
            path: format!("place {}", self.id),
            called: format!("place {:?}", self.id.as_str()),
            values: &self.values,
        }
    }

    /// A value of its own or the one it has by default, without its doubt and all that is said of it: for asking by the
    /// thousand.
    pub fn value<M: Measure>(&self, field: &Field<M>) -> Option<M> {
        match self.values.get(field.def.key) {
            Some(Value::Fact(fact)) => fact.quantity.to(),
            _ => field.def.default.map(M::of),
        }
    }

    /// Whether a mark is set, by its own word or by default.
    pub fn is_marked(&self, field: &Field<bool>) -> bool {
        match self.values.get(field.def.key) {
            Some(Value::Flag(flag)) => *flag,
            _ => field.def.default.is_some_and(|default| default != 0.0),
        }
    }
}

impl Anchor {
    /// Reads `body`, `esc` or `frame/rear stack`.
    pub fn read(text: &str) -> Result<Self, crate::IdFault> {
        let text = text.trim();
        if text == "body" {
            return Ok(Anchor::Body);
        }
        Ok(match text.split_once('/') {
            None => Anchor::Place(PlaceId::new(text)?),
            Some((place, feature)) => Anchor::Feature(PlaceId::new(place.trim())?, feature.trim().to_owned()),
        })
    }

    /// The place it names, if it names one.
    pub fn place(&self) -> Option<&PlaceId> {
        match self {
            Anchor::Body => None,
            Anchor::Place(place) | Anchor::Feature(place, _) => Some(place),
        }
    }
}

impl fmt::Display for Anchor {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Anchor::Body => f.write_str("body"),
            Anchor::Place(place) => place.fmt(f),
            Anchor::Feature(place, feature) => write!(f, "{place}/{feature}"),
        }
    }
}

impl PlugRef {
    /// Reads `vtx/coax 1`.
    pub fn read(text: &str) -> Option<Self> {
        let (place, plug) = text.split_once('/')?;
        Some(Self { place: PlaceId::new(place.trim()).ok()?, plug: plug.trim().to_owned() })
    }
}
