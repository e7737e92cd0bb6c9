//! Reading the headings of a sheet one by one into a craft, telling what is wrong on the way.

use super::fault::{SheetFault, SheetFaultKind};
use super::form::{given, point_offset, value_on_sheet};
use super::headings::offset_of;
use super::lines::Lines;
use super::read::SheetReading;
use super::{SHEET_FORMAT, Severity};
use crate::check::Guesses;
use crate::schema::{self, FieldDef, PartKind, TableDef};
use crate::{
    Anchor, Craft, CraftClass, CraftFaultKind, CraftId, Owner, Part, PartId, Place, PlaceId, Row, Value,
    Values, faults,
};
use std::collections::HashSet;
use toml_edit::{Document, Item, TableLike};

/// A sheet being read.
pub(super) struct Reader<'a> {
    pub(super) lines: &'a Lines<'a>,
    /// Whether nothing of the sheet is missing from what is read.
    pub(super) whole: bool,
    pub(super) guesses: Guesses,
    pub(super) faults: Vec<SheetFault>,
    /// Parts and places that stand on the sheet but could not be read: nothing that names them dangles.
    pub(super) lost: HashSet<String>,
    pub(super) craft: Craft,
}

impl Reader<'_> {
    pub(super) fn tell(&mut self, offset: Option<usize>, called: &str, what: SheetFaultKind) {
        let (line, column) = self.lines.place(offset.unwrap_or(0));
        let severity = what.severity();
        self.faults.push(SheetFault { line, column, severity, called: called.to_owned(), what });
    }

    /// Tells of a key that must stand, unless it may have stood on a line that could not be read.
    fn must_say(&mut self, at: Option<usize>, called: &str, example: String) {
        if self.whole {
            self.tell(at, called, SheetFaultKind::MustSay { example });
        }
    }

    /// Tells of a key nothing knows, at the key; a field meant by its label is offered by its key.
    pub(super) fn unknown<'k>(
        &mut self,
        table: &dyn TableLike,
        key: &str,
        called: &str,
        fields: &[FieldDef],
        also: impl IntoIterator<Item = &'k str>,
    ) {
        let known = fields.iter().map(|def| def.key).chain(also);
        let did_you_mean = self.guesses.near(key, known).or_else(|| {
            let label = self.guesses.near(&key.replace('_', " "), fields.iter().map(|def| def.label))?;
            fields.iter().find(|def| def.label == label).map(|def| def.key.to_owned())
        });
        let at = table.key(key).and_then(|key| key.span()).map(|span| span.start);
        self.tell(at, called, SheetFaultKind::Unknown { key: key.to_owned(), did_you_mean });
    }

    /// The format; a reading that says so when it is newer than this program.
    pub(super) fn format(&mut self, root: &toml_edit::Table) -> Option<SheetReading> {
        let Some(item) = root.get("creance_sheet") else {
            if self.whole {
                self.tell(None, "", SheetFaultKind::NoFormat);
            }
            return None;
        };
        let at = start(item);
        match item.as_integer() {
            Some(format) if format > i64::from(SHEET_FORMAT) => {
                let (line, column) = self.lines.place(at.unwrap_or(0));
                Some(SheetReading::only(SheetFaultKind::NewerFormat { format }, line, column))
            }
            Some(1..) => None,
            _ => {
                let given = given(item, self.lines.text);
                self.tell(at, "", SheetFaultKind::BadFormat { given });
                None
            }
        }
    }

    pub(super) fn whole(&mut self, item: &Item) {
        let Some(table) = self.table(item, "[craft]") else { return };
        let called = "craft";
        for (key, item) in table.iter() {
            match key {
                "name" => {
                    if let Some(name) = self.text(called, &schema::shape::NAME.def, item) {
                        self.craft.name = name;
                    }
                }
                "class" => {
                    let Some(word) = self.text(called, &CLASS, item) else { continue };
                    self.craft.class = CraftClass::from_word(&word);
                    if self.craft.class.is_none() {
                        let words: Vec<_> = CraftClass::ALL.iter().map(|class| class.word()).collect();
                        self.unknown_word(start(item), called, "class", word, words);
                    }
                }
                "id" => {}
                _ if schema::wiring::TABLES.iter().any(|table| table.key == key) => {
                    let Some(def) = schema::wiring::TABLES.iter().find(|table| table.key == key) else {
                        continue;
                    };
                    let rows = self.rows("craft", "craft", "craft", def, item);
                    if !rows.is_empty() {
                        self.craft.tables.insert(key.to_owned(), rows);
                    }
                }
                _ => match schema::craft::FIELDS.iter().find(|def| def.key == key) {
                    Some(def) => {
                        let value = self.value(called, def, item);
                        self.craft.values.extend(value.map(|value| (key.to_owned(), value)));
                    }
                    None => {
                        let tables = schema::wiring::TABLES.iter().map(|table| table.key);
                        let also = tables.chain(["name", "class", "id"]);
                        self.unknown(table, key, called, schema::craft::FIELDS, also);
                    }
                },
            }
        }
        self.craft.id = CraftId::from_name(&self.craft.name);
        if let Some(item) = table.get("id")
            && let Some(text) = self.text(called, &ID, item)
        {
            match CraftId::new(text) {
                Ok(id) => self.craft.id = id,
                Err(fault) => self.tell(start(item), called, SheetFaultKind::Id(fault)),
            }
        }
    }

    /// Reads each part or place.
    pub(super) fn each(
        &mut self,
        item: &Item,
        sort: &str,
        read: fn(&mut Self, &str, &dyn TableLike, Option<usize>),
    ) {
        let Some(tables) = self.table(item, &format!("[{sort}.ID]")) else { return };
        for (id, item) in tables.iter() {
            match item.as_table_like() {
                Some(table) => read(self, id, table, start(item)),
                None => {
                    let at = tables.key(id).and_then(|key| key.span()).map(|span| span.start);
                    let (given, heading) = (given(item, self.lines.text), format!("[{sort}.ID]"));
                    self.tell(at, &format!("{sort} \"{id}\""), SheetFaultKind::NotATable { given, heading });
                    self.lost.insert(format!("{sort} {id}"));
                }
            }
        }
    }

    pub(super) fn part(&mut self, id: &str, table: &dyn TableLike, at: Option<usize>) {
        let called = format!("part \"{id}\"");
        let part_id = PartId::new(id).unwrap_or_else(|fault| {
            // The part is read under the id that would do, so that the rest of it is told too.
            self.tell(at, "part", SheetFaultKind::Id(fault));
            PartId::from_name(id)
        });
        let Some(kind) = self.kind(&called, table, at) else {
            self.lost.insert(format!("part {id}"));
            return;
        };
        let id = part_id;
        let mut part = Part::new(id.clone(), kind, id.as_str());
        let def = kind.def();
        if let Some(item) = table.get("name") {
            let name = self.text(&called, &schema::shape::NAME.def, item);
            part.name = name.unwrap_or(part.name);
        }
        let called = format!("{} {:?}", def.plain, part.name);
        for (key, item) in table.iter() {
            if matches!(key, "kind" | "name") {
                continue;
            }
            if let Some(field) = def.fields.iter().find(|field| field.key == key) {
                let value = self.value(&called, field, item);
                part.values.extend(value.map(|value| (key.to_owned(), value)));
            } else if let Some(rows) = def.tables.iter().find(|rows| rows.key == key) {
                let (under, whose) = (format!("part.{}", part.id), format!("{:?}", part.name));
                let rows = self.rows(&under, &called, &whose, rows, item);
                if !rows.is_empty() {
                    part.tables.insert(key.to_owned(), rows);
                }
            } else {
                let tables = def.tables.iter().map(|rows| rows.key);
                self.unknown(table, key, &called, def.fields, tables.chain(["kind", "name"]));
            }
        }
        self.craft.parts.push(part);
    }

    fn kind(&mut self, called: &str, table: &dyn TableLike, at: Option<usize>) -> Option<PartKind> {
        let Some(item) = table.get("kind") else {
            let example = "what it is: kind = \"camera\" or another kind".to_owned();
            self.must_say(at, called, example);
            return None;
        };
        let word = self.text(called, &KIND, item)?;
        let words = || PartKind::ALL.iter().map(|kind| kind.def().word);
        PartKind::from_word(&word).or_else(|| {
            // The part is read as the kind that was probably meant, so that the rest of it is told too.
            let meant = self.guesses.near(&word, words());
            self.unknown_word(start(item), called, "kind", word, words().collect());
            PartKind::from_word(&meant?)
        })
    }

    fn rows(
        &mut self,
        under: &str,
        called: &str,
        whose: &str,
        def: &'static TableDef,
        item: &Item,
    ) -> Vec<Row> {
        let tables: Vec<&dyn TableLike> = match item {
            Item::ArrayOfTables(tables) => tables.iter().map(|table| table as &dyn TableLike).collect(),
            Item::Value(toml_edit::Value::Array(array)) if array.iter().all(|row| row.is_inline_table()) => {
                array
                    .iter()
                    .filter_map(|row| row.as_inline_table())
                    .map(|row| row as &dyn TableLike)
                    .collect()
            }
            _ => {
                let heading = format!("[[{under}.{}]]", def.key);
                let what = SheetFaultKind::NotRows { heading, one: def.one };
                self.tell(start(item), called, what);
                item.as_table_like().into_iter().collect()
            }
        };
        let read_row = |(number, table): (usize, &dyn TableLike)| {
            let called = match table.get("name").and_then(Item::as_str) {
                Some(name) => format!("{} {:?} of {whose}", def.one, name.trim()),
                None => format!("{} {} of {whose}", def.one, number + 1),
            };
            let mut row = Row::default();
            self.values(&called, table, def.fields, &[], &mut row.0);
            row
        };
        tables.into_iter().enumerate().map(read_row).collect()
    }

    pub(super) fn place(&mut self, id: &str, table: &dyn TableLike, at: Option<usize>) {
        let called = format!("place \"{id}\"");
        let place_id = match PlaceId::new(id) {
            Ok(place_id) => Some(place_id),
            Err(fault) => {
                self.tell(at, "place", SheetFaultKind::Id(fault));
                None
            }
        };
        let mut values = Values::new();
        self.values(&called, table, schema::place::FIELDS, &["part", "on"], &mut values);
        let part = match table.get("part") {
            None => {
                let example = "which part stands there: part = \"ID\"".to_owned();
                self.must_say(at, &called, example);
                None
            }
            Some(item) => self.text(&called, &PART, item).and_then(|text| {
                PartId::new(text)
                    .map_err(|fault| self.tell(start(item), &called, SheetFaultKind::Id(fault)))
                    .ok()
            }),
        };
        let on = table.get("on").and_then(|item| {
            let text = self.text(&called, &ON, item)?;
            Anchor::read(&text)
                .map_err(|fault| self.tell(start(item), &called, SheetFaultKind::Id(fault)))
                .ok()
        });
        match (place_id, part) {
            (Some(id), Some(part)) => self.craft.places.push(Place { id, part, on, values }),
            _ => {
                self.lost.insert(format!("place {id}"));
            }
        }
    }

    fn values(
        &mut self,
        called: &str,
        table: &dyn TableLike,
        fields: &'static [FieldDef],
        also: &[&'static str],
        values: &mut Values,
    ) {
        for (key, item) in table.iter() {
            match fields.iter().find(|def| def.key == key) {
                Some(def) => {
                    let value = self.value(called, def, item);
                    values.extend(value.map(|value| (key.to_owned(), value)));
                }
                None if also.contains(&key) => {}
                None => {
                    self.unknown(table, key, called, fields, also.iter().copied());
                }
            }
        }
    }

    fn value(&mut self, called: &str, def: &FieldDef, item: &Item) -> Option<Value> {
        let fault = match value_on_sheet(def, item, self.lines.text) {
            Ok(value) => return Some(value),
            Err(fault) => fault,
        };
        let at = point_offset(item, &fault).or(start(item));
        self.tell(at, called, SheetFaultKind::Value(fault));
        None
    }

    fn text(&mut self, called: &str, def: &FieldDef, item: &Item) -> Option<String> {
        match self.value(called, def, item) {
            Some(Value::Text(text)) => Some(text),
            _ => None,
        }
    }

    fn unknown_word(
        &mut self,
        at: Option<usize>,
        called: &str,
        key: &'static str,
        text: String,
        words: Vec<&'static str>,
    ) {
        let did_you_mean = self.guesses.near(&text, words.iter().copied());
        self.tell(at, called, SheetFaultKind::UnknownWord { key, text, did_you_mean, words });
    }

    fn table<'i>(&mut self, item: &'i Item, heading: &str) -> Option<&'i dyn TableLike> {
        let table = item.as_table_like();
        if table.is_none() {
            let what = SheetFaultKind::NotATable {
                given: given(item, self.lines.text),
                heading: heading.to_owned(),
            };
            self.tell(start(item), "", what);
        }
        table
    }

    /// What is wrong with the craft as a whole, told where it stands on the sheet.
    pub(super) fn check(&mut self, document: &Document<&str>) {
        for fault in faults(&self.craft) {
            let lost = match &fault.what {
                CraftFaultKind::UnknownPart { part, .. } => self.lost.contains(&format!("part {part}")),
                CraftFaultKind::UnknownPlace { place, .. } => self.lost.contains(&format!("place {place}")),
                _ => false,
            };
            if !lost {
                self.tell(offset_of(document, &fault.at), &fault.called, SheetFaultKind::Craft(fault.what));
            }
        }
        if self.faults.iter().any(|fault| fault.severity == Severity::Refused) {
            return;
        }
        let used: HashSet<PartId> = self.craft.places.iter().map(|place| place.part.clone()).collect();
        let unused = || self.craft.parts.iter().filter(|part| !used.contains(&part.id));
        // A lens beside the one that is on lies ready to be put on instead.
        let lens_is_on =
            self.craft.parts.iter().any(|part| part.kind == PartKind::Lens && used.contains(&part.id));
        let unused: Vec<_> = unused().filter(|part| !(lens_is_on && part.kind == PartKind::Lens)).collect();
        let told: Vec<_> = unused
            .into_iter()
            .map(|part| {
                let at = crate::Spot::of(Owner::Part(part.id.clone()));
                (offset_of(document, &at), format!("{} {:?}", part.kind.def().plain, part.name))
            })
            .collect();
        for (at, called) in told {
            self.tell(at, &called, SheetFaultKind::Unused);
        }
    }
}

/// Texts beside the schema that stand on a sheet.
const KIND: FieldDef = schema::Field::line("kind", "kind").def;
const CLASS: FieldDef = schema::Field::line("class", "class").def;
const ID: FieldDef = schema::Field::line("id", "id").def;
const PART: FieldDef = schema::Field::line("part", "part").def;
const ON: FieldDef = schema::Field::line("on", "on").def;

pub(super) fn start(item: &Item) -> Option<usize> {
    item.span().map(|span| span.start)
}
