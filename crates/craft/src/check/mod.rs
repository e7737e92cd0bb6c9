//! What is wrong with a craft as a whole: everything no single value can tell.
//!
//! Every reference is followed: place to part, seat to place and feature, plug to place and plug, hole to
//! plate, pin to plug. Seats may not go in a round. Names must be unlike within a table, ids within the
//! craft. Each value is held to its field once more, since a craft may come from elsewhere than text.
//! A missing fact is no fault: that is for the rules to say. Cost grows linearly with the craft; guesses
//! at what was meant stop after a fixed number of comparisons.

mod contradictions;
mod fault;
mod names;
mod seats;

pub(crate) use fault::or_mend;
pub use fault::{CraftFault, CraftFaultKind, Owner, Spot};
pub use names::{feature_names, pad_names, plug_names, port_names};

use crate::limits::{PARTS_MAX, PLACES_MAX, POINTS_TOTAL_MAX, ROWS_MAX};
use crate::schema::{self, FieldDef, ValueKind};
use crate::{Anchor, Craft, Part, PartId, Place, PlaceId, PlugRef, Value, Values, check_value};
pub(crate) use names::Guesses;
use names::PartNames;
use std::collections::{HashMap, HashSet};

/// Everything wrong with a craft, in the order of its parts and places.
pub fn faults(craft: &Craft) -> Vec<CraftFault> {
    let mut check = Check { craft, guesses: Guesses::new(), names: HashMap::new(), found: Vec::new() };
    check.whole();
    for part in &craft.parts {
        check.part(part);
        check.part_alone(part);
    }
    let parts: HashMap<&PartId, &Part> = craft.parts.iter().map(|part| (&part.id, part)).collect();
    let places: HashMap<&PlaceId, &Place> = craft.places.iter().map(|place| (&place.id, place)).collect();
    for place in &craft.places {
        check.place(place, &parts, &places);
    }
    check.rows(&parts, &places);
    check.temperatures();
    check.plan();
    check.wires();
    for (place, what) in seats::seating_faults(craft, &places) {
        let at = Spot::of(Owner::Place(place.id.clone())).at_key("on");
        check.found.push(CraftFault { at, called: place.item().called, what });
    }
    check.found
}

struct Check<'a> {
    craft: &'a Craft,
    guesses: Guesses,
    names: HashMap<&'a PartId, PartNames>,
    found: Vec<CraftFault>,
}

impl<'a> Check<'a> {
    fn tell(&mut self, at: Spot, called: &str, what: CraftFaultKind) {
        self.found.push(CraftFault { at, called: called.to_owned(), what });
    }

    fn whole(&mut self) {
        let craft = self.craft;
        let at = || Spot::of(Owner::Craft);
        let called = format!("craft {:?}", craft.name);
        let tables = || craft.parts.iter().flat_map(|part| part.tables.values());
        let rows = || tables().chain(craft.tables.values()).flatten();
        let points = rows().flat_map(|row| row.0.values()).map(|value| match value {
            Value::Points(points) => points.len(),
            _ => 0,
        });
        for (what, count, limit) in [
            ("parts", craft.parts.len(), PARTS_MAX),
            ("places", craft.places.len(), PLACES_MAX),
            ("rows of parts", rows().count(), ROWS_MAX),
            ("points of outlines", points.sum(), POINTS_TOTAL_MAX),
        ] {
            if count > limit {
                self.tell(at(), &called, CraftFaultKind::TooMany { what, count, limit });
            }
        }
        self.name(at(), &called, &craft.name);
        self.values(&at(), &called, schema::craft::FIELDS, &craft.values);
        let mut seen = HashSet::new();
        for part in &craft.parts {
            if !seen.insert(&part.id) {
                let at = Spot::of(Owner::Part(part.id.clone()));
                self.tell(at, &format!("part \"{}\"", part.id), CraftFaultKind::DuplicateId);
            }
        }
        let mut seen = HashSet::new();
        for place in &craft.places {
            if !seen.insert(&place.id) {
                let at = Spot::of(Owner::Place(place.id.clone()));
                self.tell(at, &place.item().called, CraftFaultKind::DuplicateId);
            }
        }
    }

    fn name(&mut self, at: Spot, called: &str, name: &str) {
        if let Err(fault) = check_value(&schema::shape::NAME.def, &Value::Text(name.to_owned())) {
            self.tell(at.at_key("name"), called, CraftFaultKind::Value(fault));
        }
    }

    fn values(&mut self, at: &Spot, called: &str, fields: &[FieldDef], values: &Values) {
        for (key, value) in values {
            let what = match fields.iter().find(|def| def.key == key) {
                None => {
                    let did_you_mean = self.guesses.near(key, fields.iter().map(|def| def.key));
                    CraftFaultKind::UnknownKey { key: key.clone(), did_you_mean }
                }
                Some(def) => match (check_value(def, value), value) {
                    (Err(fault), _) => CraftFaultKind::Value(fault),
                    (Ok(()), Value::Points(points)) if def.key == "outline" && points.len() < 3 => {
                        CraftFaultKind::FewPoints { label: def.label, count: points.len() }
                    }
                    (Ok(()), _) => continue,
                },
            };
            self.tell(at.clone().at_key(key), called, what);
        }
    }

    fn part(&mut self, part: &'a Part) {
        let kind = part.kind.def();
        let at = Spot::of(Owner::Part(part.id.clone()));
        let called = format!("{} {:?}", kind.plain, part.name);
        self.name(at.clone(), &called, &part.name);
        self.values(&at, &called, kind.fields, &part.values);
        for table in part.tables.keys() {
            if !kind.tables.iter().any(|known| known.key == table) {
                let did_you_mean = self.guesses.near(table, kind.tables.iter().map(|known| known.key));
                let what = CraftFaultKind::UnknownTable { table: table.clone(), did_you_mean };
                self.tell(at.clone().at_key(table), &called, what);
            }
        }
        let names = PartNames::of(part);
        for table in kind.tables {
            let mut seen = HashSet::new();
            for (number, row) in part.rows(table).enumerate() {
                let at = at.clone().at_row(table.key, number);
                self.values(&at, &row.called, table.fields, row.values);
                if let Some(name) = row.name()
                    && !seen.insert(name)
                {
                    let what = CraftFaultKind::DuplicateName { one: table.one, name: name.to_owned() };
                    self.tell(at.clone().at_key("name"), &row.called, what);
                }
                for (key, sort, known) in [("plate", "plate", &names.plates), ("plug", "plug", &names.plugs)]
                {
                    let reference =
                        table.fields.iter().any(|def| def.key == key && def.kind == ValueKind::Line);
                    if let (true, Some(Value::Text(name))) = (reference, row.values.get(key))
                        && !known.has(name)
                    {
                        let what = self.unknown_name(sort, name, part, known);
                        self.tell(at.clone().at_key(key), &row.called, what);
                    }
                }
            }
        }
        self.names.insert(&part.id, names);
    }

    /// The craft's own rows: their values, and the pads and ports they name.
    fn rows(&mut self, parts: &HashMap<&PartId, &'a Part>, places: &HashMap<&PlaceId, &Place>) {
        let craft = self.craft;
        let known = schema::wiring::TABLES;
        for key in craft.tables.keys().filter(|key| !known.iter().any(|table| &table.key == key)) {
            let did_you_mean = self.guesses.near(key, known.iter().map(|table| table.key));
            let what = CraftFaultKind::UnknownTable { table: key.clone(), did_you_mean };
            self.tell(Spot::of(Owner::Craft).at_key(key), &format!("craft {:?}", craft.name), what);
        }
        for table in known {
            for (number, row) in craft.rows(table).enumerate() {
                let at = Spot::of(Owner::Craft).at_row(table.key, number);
                self.values(&at, &row.called, table.fields, row.values);
                for def in table.fields.iter().filter(|def| def.kind == ValueKind::PlugOfPlace) {
                    let Some(Value::Text(text)) = row.values.get(def.key) else { continue };
                    let Some(pad) = PlugRef::read(text) else { continue };
                    let at = at.clone().at_key(def.key);
                    let Some(place) = places.get(&pad.place) else {
                        let what = self.unknown_place(&pad.place);
                        self.tell(at, &row.called, what);
                        continue;
                    };
                    let Some(part) = parts.get(&place.part) else { continue };
                    let (sort, names) = match table.key {
                        "port_set" => ("port", names::port_names(part)),
                        _ => ("pad", names::pad_names(part)),
                    };
                    let names = names::Names::of(names);
                    if !names.has(&pad.plug) {
                        let what = self.unknown_name(sort, &pad.plug, part, &names);
                        self.tell(at, &row.called, what);
                    }
                }
            }
        }
    }

    fn unknown_name(
        &mut self,
        sort: &'static str,
        name: &str,
        part: &Part,
        known: &names::Names,
    ) -> CraftFaultKind {
        CraftFaultKind::UnknownName {
            sort,
            name: name.to_owned(),
            whose: format!("{:?}", part.name),
            known: known.first_few(),
            did_you_mean: self.guesses.near(name, known.iter()),
        }
    }

    fn place(
        &mut self,
        place: &Place,
        parts: &HashMap<&PartId, &'a Part>,
        places: &HashMap<&PlaceId, &Place>,
    ) {
        let at = Spot::of(Owner::Place(place.id.clone()));
        let called = place.item().called;
        self.values(&at, &called, schema::place::FIELDS, &place.values);
        if !parts.contains_key(&place.part) {
            let did_you_mean =
                self.guesses.near(place.part.as_str(), self.craft.parts.iter().map(|part| part.id.as_str()));
            let what = CraftFaultKind::UnknownPart { part: place.part.clone(), did_you_mean };
            self.tell(at.clone().at_key("part"), &called, what);
        }
        if let Some(seat) = place.on.as_ref().and_then(Anchor::place) {
            let at = at.clone().at_key("on");
            match (places.get(seat), &place.on) {
                (None, _) => {
                    let what = self.unknown_place(seat);
                    self.tell(at, &called, what);
                }
                (Some(seat), Some(Anchor::Feature(_, feature))) => {
                    if let Some(part) = parts.get(&seat.part) {
                        self.feature(at, &called, part, feature);
                    }
                }
                _ => {}
            }
        }
        for def in [&schema::place::FROM.def, &schema::place::TO.def] {
            let Some(Value::Text(text)) = place.values.get(def.key) else { continue };
            let Some(plug) = PlugRef::read(text) else { continue };
            let at = at.clone().at_key(def.key);
            match places.get(&plug.place) {
                None => {
                    let what = self.unknown_place(&plug.place);
                    self.tell(at, &called, what);
                }
                Some(other) => {
                    if let Some(part) = parts.get(&other.part) {
                        self.plug(at, &called, part, &plug.plug);
                    }
                }
            }
        }
    }

    fn unknown_place(&mut self, place: &PlaceId) -> CraftFaultKind {
        let ids = self.craft.places.iter().map(|place| place.id.as_str());
        CraftFaultKind::UnknownPlace {
            place: place.clone(),
            did_you_mean: self.guesses.near(place.as_str(), ids),
        }
    }

    fn feature(&mut self, at: Spot, called: &str, part: &'a Part, feature: &str) {
        let names = self.names.remove(&part.id).unwrap_or_else(|| PartNames::of(part));
        match names.features.count(feature) {
            0 => {
                let what = self.unknown_name("feature", feature, part, &names.features);
                self.tell(at, called, what);
            }
            1 => {}
            _ => {
                let whose = format!("{:?}", part.name);
                self.tell(at, called, CraftFaultKind::Ambiguous { feature: feature.to_owned(), whose });
            }
        }
        self.names.insert(&part.id, names);
    }

    fn plug(&mut self, at: Spot, called: &str, part: &'a Part, plug: &str) {
        let names = self.names.remove(&part.id).unwrap_or_else(|| PartNames::of(part));
        if !names.plugs.has(plug) {
            let what = self.unknown_name("plug", plug, part, &names.plugs);
            self.tell(at, called, what);
        }
        self.names.insert(&part.id, names);
    }
}

#[cfg(test)]
mod contradiction_tests;
#[cfg(test)]
mod tests;
