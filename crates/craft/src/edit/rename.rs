//! A name changes: everything that refers to it goes along.
//!
//! Plates are meant by holes, cut-outs and patterns of the same part; plugs by pins of the same part and
//! by leads of the craft; rails by other rails of the same part and by what they feed; features by
//! what is seated on them.

use crate::schema;
use crate::schema::place::{FED_FROM, FROM, TO};
use crate::{Anchor, Craft, PartId, PlaceId, PlugRef, Value};
use std::collections::HashSet;

/// Rewrites every reference to the row of `table` that was called `old`.
pub(super) fn carry_along(craft: &mut Craft, part: &PartId, table: &str, old: &str, new: &str) {
    let at: HashSet<PlaceId> =
        craft.places.iter().filter(|place| &place.part == part).map(|place| place.id.clone()).collect();
    match table {
        "plate" => within_part(craft, part, "plate", old, new),
        "plug" => {
            within_part(craft, part, "plug", old, new);
            in_craft_rows(craft, &at, schema::wiring::wire::TABLE.key, old, new);
            within_places(craft, &at, &[FROM.def.key, TO.def.key], old, new);
        }
        "rail" => {
            within_part(craft, part, "from", old, new);
            within_part(craft, part, "rail", old, new);
            within_places(craft, &at, &[FED_FROM.def.key], old, new);
        }
        "pin" => in_craft_rows(craft, &at, schema::wiring::wire::TABLE.key, old, new),
        "port" => {
            within_part(craft, part, "port", old, new);
            in_craft_rows(craft, &at, schema::wiring::port_set::TABLE.key, old, new);
        }
        _ => {
            for place in &mut craft.places {
                if let Some(Anchor::Feature(seat, feature)) = &mut place.on
                    && at.contains(seat)
                    && feature == old
                {
                    new.clone_into(feature);
                }
            }
        }
    }
}

/// Rewrites what places say of a plug or rail at one of these places.
fn within_places(craft: &mut Craft, at: &HashSet<PlaceId>, keys: &[&str], old: &str, new: &str) {
    for place in &mut craft.places {
        for key in keys {
            let Some(Value::Text(text)) = place.values.get_mut(*key) else { continue };
            if PlugRef::read(text).is_some_and(|plug| at.contains(&plug.place) && plug.plug == old) {
                let place = text.split('/').next().unwrap_or_default().trim();
                *text = format!("{place}/{new}");
            }
        }
    }
}

/// Puts the new name wherever a row of the craft means it at one of these places.
fn in_craft_rows(craft: &mut Craft, at: &HashSet<PlaceId>, table: &str, old: &str, new: &str) {
    for row in craft.tables.get_mut(table).into_iter().flatten() {
        for value in row.0.values_mut() {
            if let Value::Text(text) = value
                && PlugRef::read(text).is_some_and(|pad| at.contains(&pad.place) && pad.plug == old)
            {
                let place = text.split('/').next().unwrap_or_default().trim();
                *text = format!("{place}/{new}");
            }
        }
    }
}

fn within_part(craft: &mut Craft, part: &PartId, key: &str, old: &str, new: &str) {
    let Some(part) = craft.parts.iter_mut().find(|other| &other.id == part) else { return };
    for row in part.tables.values_mut().flatten() {
        if let Some(Value::Text(name)) = row.0.get_mut(key)
            && name == old
        {
            new.clone_into(name);
        }
    }
}
