//! A sound craft drawn from a seed: any kinds, fields, tables and references the schema allows.
#![allow(dead_code, clippy::unwrap_used)]

use craft::schema::{self, FieldDef, PartKind, ValueKind};
use craft::{
    Anchor, Craft, CraftClass, CraftFaultKind, CraftId, Owner, Part, PartId, Place, PlaceId, Row, Value,
    Values, feature_names, pad_names, plug_names, port_names,
};
use quantity::{Basis, Doubt, Fact, Quantity, Shape};

/// A small generator of our own (splitmix64), so that a seed gives the same craft everywhere.
pub struct Draw(pub u64);

impl Draw {
    pub fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }
    /// A number from 0 to `end`, without `end`.
    pub fn below(&mut self, end: usize) -> usize {
        (self.next() % end.max(1) as u64) as usize
    }
    pub fn chance(&mut self, percent: usize) -> bool {
        self.below(100) < percent
    }
    pub fn pick<'a, T>(&mut self, from: &'a [T]) -> &'a T {
        &from[self.below(from.len())]
    }
    fn between(&mut self, min: f64, max: f64) -> f64 {
        let share = (self.next() >> 11) as f64 / (1u64 << 53) as f64;
        let value = min + (max - min) * share;
        // Mostly what a person would write, sometimes every digit.
        let rounded = if self.chance(80) { (value * 100.0).round() / 100.0 } else { value };
        rounded.clamp(min, max)
    }
    fn word(&mut self) -> String {
        let words = [
            "rear",
            "Ö",
            "日本",
            "\"quoted\"",
            "back\\slash",
            "it's",
            "#5",
            "a/b",
            "x = 1",
            "[y]",
            "'''",
            "é\u{301}",
        ];
        let count = 1 + self.below(3);
        (0..count).map(|_| *self.pick(&words)).collect::<Vec<_>>().join(" ")
    }
    fn note(&mut self) -> String {
        let lines = 1 + self.below(3);
        (0..lines).map(|_| self.word()).collect::<Vec<_>>().join(if self.chance(50) { "\n" } else { "\n\t " })
    }
    fn value(&mut self, def: &FieldDef) -> Option<Value> {
        Some(match def.kind {
            ValueKind::Quantity { unit, .. } => {
                let width = (def.max - def.min).min(10.0);
                let stated = match self.below(4) {
                    0 => Some(Doubt::even(self.between(0.0, width))),
                    1 => {
                        let shape = if self.chance(50) { Shape::Normal } else { Shape::Rectangular };
                        Some(Doubt { minus: self.between(0.0, width), plus: self.between(0.0, width), shape })
                    }
                    _ => None,
                };
                let quantity = Quantity { value: self.between(def.min, def.max), unit };
                Value::Fact(Fact { quantity, stated, basis: *self.pick(&Basis::ALL) })
            }
            ValueKind::Count => {
                Value::Count(def.min as u32 + self.below((def.max - def.min) as usize + 1) as u32)
            }
            ValueKind::Flag => Value::Flag(self.chance(50)),
            ValueKind::Choice(words) => Value::Text((*self.pick(words)).to_owned()),
            ValueKind::Line => Value::Text(self.word()),
            ValueKind::Note => Value::Text(self.note()),
            ValueKind::Points => {
                let count = 3 + self.below(40);
                let point = |draw: &mut Self| [draw.between(-2000.0, 2000.0), draw.between(-20.0, 20.0)];
                Value::Points((0..count).map(|_| point(self)).collect())
            }
            ValueKind::PlugOfPlace => return None,
        })
    }
    fn values(&mut self, fields: &[FieldDef], percent: usize) -> Values {
        let mut values = Values::new();
        for def in fields {
            if self.chance(percent)
                && let Some(value) = self.value(def)
            {
                values.insert(def.key.to_owned(), value);
            }
        }
        values
    }
    pub fn part(&mut self, number: usize) -> Part {
        let kind = *self.pick(PartKind::ALL);
        let mut part = Part::new(PartId::new(format!("p{number}")).unwrap(), kind, self.word());
        part.values = self.values(kind.def().fields, 30);
        for table in kind.def().tables {
            let count = if self.chance(60) { 0 } else { 1 + self.below(3) };
            let mut rows = Vec::new();
            for row in 0..count {
                let mut values = self.values(table.fields, 30);
                if let Some(Value::Text(name)) = values.get_mut("name") {
                    // Unlike within the part, so that seats on features stay plain.
                    *name = format!("{name} {} {row}", table.key);
                }
                rows.push(Row(values));
            }
            if !rows.is_empty() {
                part.tables.insert(table.key.to_owned(), rows);
            }
        }
        self.mend_references(&mut part);
        part
    }
    /// Plates and plugs that rows name must be there.
    fn mend_references(&mut self, part: &mut Part) {
        let names = |part: &Part, table: &str| -> Vec<String> {
            let rows = part.tables.get(table).into_iter().flatten();
            rows.filter_map(|row| row.0.get("name").map(craft::write_value)).collect()
        };
        let (plates, plugs) = (names(part, "plate"), plug_names(part));
        for row in part.tables.values_mut().flatten() {
            for (key, known) in [("plate", &plates), ("plug", &plugs)] {
                if row.0.contains_key(key) {
                    row.0.remove(key);
                    if !known.is_empty() {
                        row.0.insert(key.to_owned(), Value::Text(self.pick(known).clone()));
                    }
                }
            }
        }
    }
    pub fn craft(&mut self) -> Craft {
        let name = self.word();
        let id = if self.chance(50) { CraftId::from_name(&name) } else { CraftId::new("other").unwrap() };
        let mut craft = Craft::new(id, name);
        craft.class = self.chance(50).then(|| *self.pick(&CraftClass::ALL));
        craft.values = self.values(schema::craft::FIELDS, 30);
        let parts = self.below(6);
        craft.parts = (0..parts).map(|number| self.part(number)).collect();
        let places = if parts == 0 { 0 } else { self.below(8) };
        for number in 0..places {
            let place = self.place(&craft, number);
            craft.places.push(place);
        }
        for table in schema::wiring::TABLES {
            let count = if self.chance(50) { 0 } else { 1 + self.below(3) };
            let rows: Vec<Row> = (0..count).map(|_| self.craft_row(&craft, table)).collect();
            if !rows.is_empty() {
                craft.tables.insert(table.key.to_owned(), rows);
            }
        }
        reconciled(craft)
    }
    /// A row of the craft, with pads and ports that are there.
    fn craft_row(&mut self, craft: &Craft, table: &schema::TableDef) -> Row {
        let mut values = self.values(table.fields, 40);
        for def in table.fields.iter().filter(|def| def.kind == ValueKind::PlugOfPlace) {
            if craft.places.is_empty() {
                continue;
            }
            let place = self.pick(&craft.places).clone();
            let part = craft.part_at(&place).unwrap();
            let names = if table.key == "wire" { pad_names(part) } else { port_names(part) };
            if !names.is_empty() {
                values.insert(def.key.to_owned(), Value::Text(format!("{}/{}", place.id, self.pick(&names))));
            }
        }
        Row(values)
    }
    fn place(&mut self, craft: &Craft, number: usize) -> Place {
        let part = self.pick(&craft.parts).id.clone();
        let mut place = Place::new(PlaceId::new(format!("at-{number}")).unwrap(), part, Anchor::Body);
        place.values = self.values(schema::place::FIELDS, 30);
        if self.chance(10) {
            place.on = None;
        }
        if craft.places.is_empty() {
            return place;
        }
        if self.chance(60) {
            let seat = self.pick(&craft.places).clone();
            let features = feature_names(craft.part_at(&seat).unwrap());
            place.on = Some(match features.is_empty() {
                true => Anchor::Place(seat.id),
                false => Anchor::Feature(seat.id, self.pick(&features).clone()),
            });
        }
        for key in ["from", "to"] {
            let other = self.pick(&craft.places).clone();
            let plugs = plug_names(craft.part_at(&other).unwrap());
            if !plugs.is_empty() && self.chance(50) {
                let plug = format!("{}/{}", other.id, self.pick(&plugs));
                place.values.insert(key.to_owned(), Value::Text(plug));
            }
        }
        place
    }
}

/// The same without what cannot be said together, and without wires that are there twice.
fn reconciled(mut craft: Craft) -> Craft {
    // What is taken out may bring two others beside each other.
    while let Some(at) = contradiction(&craft) {
        let values = match (&at.owner, &at.row) {
            (Owner::Part(id), row) => {
                let part = craft.parts.iter_mut().find(|part| &part.id == id).unwrap();
                match row {
                    Some((table, row)) => &mut part.tables.get_mut(table).unwrap()[*row].0,
                    None => &mut part.values,
                }
            }
            _ => &mut craft.values,
        };
        values.remove(at.key.as_deref().unwrap()).unwrap();
    }
    let found = craft::faults(&craft);
    let wires = found.iter().rev().filter(|fault| {
        matches!(fault.what, CraftFaultKind::WireTwice { .. } | CraftFaultKind::WireToItself { .. })
    });
    for (table, row) in wires.filter_map(|fault| fault.at.row.clone()) {
        craft.tables.get_mut(&table).unwrap().remove(row);
    }
    craft.tables.retain(|_, rows| !rows.is_empty());
    craft
}

fn contradiction(craft: &Craft) -> Option<craft::Spot> {
    let found = craft::faults(craft).into_iter();
    found
        .filter(|fault| matches!(fault.what, CraftFaultKind::Contradiction { .. }))
        .map(|fault| fault.at)
        .next()
}

/// The craft of a seed.
pub fn random_craft(seed: u64) -> Craft {
    Draw(seed).craft()
}

/// A sheet with remarks wherever a person might put them.
pub fn with_remarks(sheet: &str, draw: &mut Draw) -> String {
    let mut text = String::new();
    let mut inside = false;
    for line in sheet.lines() {
        let heading = line.starts_with("[part.")
            || line.starts_with("[[craft.")
            || line.starts_with("[[part.")
            || line.starts_with("[place.");
        // Inside a text of several lines a remark would be part of the text.
        let opens = line.matches("\"\"\"").count() % 2 == 1;
        if !inside && (heading || line.contains(" = ")) && draw.chance(30) {
            text.push_str(&format!("# remark {}\n", draw.below(1000)));
        }
        inside ^= opens;
        text.push_str(line);
        if !inside && !opens && line.contains(" = ") && !line.ends_with('[') && draw.chance(20) {
            text.push_str("   # behind");
        }
        text.push('\n');
    }
    text + "# the end"
}
