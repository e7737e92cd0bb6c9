//! A craft: one build, self-contained with all the parts it uses.

use crate::item::Item;
use crate::schema::TableDef;
use crate::{CraftId, Part, PartId, Place, PlaceId, Row, Values};
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;

/// Classes of craft, by blade diameter in inches and whether the blades run in ducts. Common practice.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum CraftClass {
    /// 31 mm blades in ducts, one cell.
    Ducted65,
    /// 40 mm blades in ducts, one cell.
    Ducted75,
    /// 51 mm blades in ducts.
    Ducted85,
    /// 2.5-inch blades in ducts.
    Ducted25,
    /// 3-inch blades in ducts.
    Ducted3,
    /// 3.5-inch blades in ducts.
    Ducted35,
    /// Open 3-inch blades.
    Open3,
    /// Open 3.5-inch blades.
    Open35,
    /// Open 4-inch blades.
    Open4,
    /// Open 5-inch blades.
    Open5,
    /// Open 7-inch blades.
    Open7,
}

impl CraftClass {
    /// Every class, smallest first.
    pub const ALL: [CraftClass; 11] = [
        CraftClass::Ducted65,
        CraftClass::Ducted75,
        CraftClass::Ducted85,
        CraftClass::Ducted25,
        CraftClass::Ducted3,
        CraftClass::Ducted35,
        CraftClass::Open3,
        CraftClass::Open35,
        CraftClass::Open4,
        CraftClass::Open5,
        CraftClass::Open7,
    ];

    /// The word on a sheet.
    pub const fn word(self) -> &'static str {
        match self {
            CraftClass::Ducted65 => "ducted_65",
            CraftClass::Ducted75 => "ducted_75",
            CraftClass::Ducted85 => "ducted_85",
            CraftClass::Ducted25 => "ducted_25",
            CraftClass::Ducted3 => "ducted_3",
            CraftClass::Ducted35 => "ducted_35",
            CraftClass::Open3 => "open_3",
            CraftClass::Open35 => "open_35",
            CraftClass::Open4 => "open_4",
            CraftClass::Open5 => "open_5",
            CraftClass::Open7 => "open_7",
        }
    }

    /// The class in plain words.
    pub const fn plain(self) -> &'static str {
        match self {
            CraftClass::Ducted65 => "65 mm, ducted",
            CraftClass::Ducted75 => "75 mm, ducted",
            CraftClass::Ducted85 => "85 mm, ducted",
            CraftClass::Ducted25 => "2.5-inch, ducted",
            CraftClass::Ducted3 => "3-inch, ducted",
            CraftClass::Ducted35 => "3.5-inch, ducted",
            CraftClass::Open3 => "3-inch, open",
            CraftClass::Open35 => "3.5-inch, open",
            CraftClass::Open4 => "4-inch, open",
            CraftClass::Open5 => "5-inch, open",
            CraftClass::Open7 => "7-inch, open",
        }
    }

    /// Whether the blades run in ducts.
    pub const fn ducted(self) -> bool {
        (self as u8) <= (CraftClass::Ducted35 as u8)
    }

    /// The class of a word on a sheet.
    pub fn from_word(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|class| class.word() == word)
    }
}

/// One build.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Craft {
    /// Its id in the workshop.
    pub id: CraftId,
    /// What the builder calls it.
    pub name: String,
    /// Its class, if said.
    pub class: Option<CraftClass>,
    /// How it is meant to be flown and what else is said of the whole, by key of [`schema::craft`](crate::schema::craft).
    pub values: Values,
    /// Its own tables, by key of [`schema::wiring`](crate::schema::wiring): its wires, and what its ports are set to.
    #[serde(default, skip_serializing_if = "BTreeMap::is_empty")]
    pub tables: BTreeMap<String, Vec<Row>>,
    /// The parts its places use, each once, in the order of the sheet.
    pub parts: Vec<Part>,
    /// Its places, in the order of the sheet.
    pub places: Vec<Place>,
}

impl Craft {
    /// A craft with nothing in it yet.
    pub fn new(id: CraftId, name: impl Into<String>) -> Self {
        Self {
            id,
            name: name.into(),
            class: None,
            values: Values::new(),
            tables: BTreeMap::new(),
            parts: Vec::new(),
            places: Vec::new(),
        }
    }

    /// The craft's own values, ready to be read by typed field.
    pub fn item(&self) -> Item<'_> {
        Item {
            owner: self.id.as_str(),
            path: "craft".to_owned(),
            called: format!("{:?}", self.name),
            values: &self.values,
        }
    }

    /// The rows of one of its own tables, ready to be read by typed field.
    pub fn rows<'a>(&'a self, table: &'static TableDef) -> impl Iterator<Item = Item<'a>> + 'a {
        self.tables.get(table.key).into_iter().flatten().enumerate().map(move |(number, row)| Item {
            owner: self.id.as_str(),
            path: format!("craft.{}[{number}]", table.key),
            called: format!("{} {}", table.one, number + 1),
            values: &row.0,
        })
    }

    /// The part of an id.
    pub fn part(&self, id: &PartId) -> Option<&Part> {
        self.parts.iter().find(|part| &part.id == id)
    }

    /// The place of an id.
    pub fn place(&self, id: &PlaceId) -> Option<&Place> {
        self.places.iter().find(|place| &place.id == id)
    }

    /// The part that stands at a place.
    pub fn part_at(&self, place: &Place) -> Option<&Part> {
        self.part(&place.part)
    }
}
