//! Adoption: which stored part a part of a craft becomes, so that nothing is overwritten by accident.
//!
//! A craft that comes with parts the workshop may know already, from a sheet or by an edit, is fitted in:
//! - a part the craft uses already stays that part, and a change of it holds for all that use it;
//! - a part equal to a stored one becomes that stored one;
//! - a part whose id stands for something else in the workshop gets the next free id, and the places
//!   follow, unless an equal part under such an id is there already;
//! - the demo and the user's own never share a part: across that border even equal parts are copied.

use crate::fault::Trouble;
use crate::row::{self, Key, PartRow, Stored};
use craft::{Craft, Part, PartId, schema::PartKind};
use rusqlite::Connection;
use std::collections::{BTreeMap, HashMap, HashSet};

/// Whether a part that comes in may become one the workshop has.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Sharing {
    /// Yes, if the two are equal.
    EqualParts,
    /// No: it is meant as a new part.
    Nothing,
}

/// A craft fitted into the workshop.
#[derive(Debug)]
pub(crate) struct Adopted {
    pub craft: Craft,
    /// Parts the workshop has to take in.
    pub new_parts: Vec<Part>,
    /// Parts that got another id: as they came, as they are kept.
    pub renamed: BTreeMap<PartId, PartId>,
    /// Parts that were there already.
    pub reused: Vec<PartId>,
}

/// Fits a craft into the workshop; `before` is the craft as it stands, if it does.
pub(crate) fn adopt(
    conn: &Connection,
    before: Option<&Stored>,
    mut craft: Craft,
    demo: bool,
    sharing: Sharing,
) -> Result<Adopted, Trouble> {
    let linked: HashSet<&PartId> =
        before.iter().flat_map(|stored| &stored.parts).map(|(_, row)| &row.part.id).collect();
    let (mut new_parts, mut renamed, mut reused) = (Vec::new(), BTreeMap::new(), Vec::new());
    let mut own: HashSet<PartId> = craft.parts.iter().map(|part| part.id.clone()).collect();
    // Only read when an id clashes, which is rare.
    let mut shelf: Option<Shelf> = None;
    for part in &mut craft.parts {
        if linked.contains(&part.id) {
            continue;
        }
        let Some(known) = row::get::<PartRow>(conn, &Key::Part(part.id.clone()))? else {
            new_parts.push(part.clone());
            continue;
        };
        if sharing == Sharing::EqualParts && known.demo == demo && &known.part == part {
            reused.push(part.id.clone());
            continue;
        }
        let shelf = match &mut shelf {
            Some(shelf) => shelf,
            none => none.insert(Shelf::read(conn)?),
        };
        let asked = part.id.clone();
        let twin = shelf.twin(part, demo, &own).filter(|_| sharing == Sharing::EqualParts);
        part.id = match twin {
            Some(twin) => twin,
            None => part.id.unlike(|id| own.contains(id) || shelf.ids.contains(id)),
        };
        own.insert(part.id.clone());
        match shelf.ids.contains(&part.id) {
            true => reused.push(part.id.clone()),
            false => new_parts.push(part.clone()),
        }
        renamed.insert(asked, part.id.clone());
    }
    for place in &mut craft.places {
        if let Some(id) = renamed.get(&place.part) {
            place.part = id.clone();
        }
    }
    Ok(Adopted { craft, new_parts, renamed, reused })
}

/// The parts of the workshop, laid out for finding.
struct Shelf {
    ids: HashSet<PartId>,
    by_name: HashMap<(PartKind, String), Vec<PartRow>>,
}

impl Shelf {
    fn read(conn: &Connection) -> Result<Self, Trouble> {
        let mut shelf = Self { ids: HashSet::new(), by_name: HashMap::new() };
        for row in row::parts(conn)? {
            shelf.ids.insert(row.part.id.clone());
            shelf.by_name.entry((row.part.kind, row.part.name.clone())).or_default().push(row);
        }
        Ok(shelf)
    }

    /// The id of a part equal to this one in all but its id, unless the craft has that id already.
    fn twin(&self, part: &Part, demo: bool, own: &HashSet<PartId>) -> Option<PartId> {
        let alike = self.by_name.get(&(part.kind, part.name.clone()))?;
        let twin = alike.iter().find(|row| {
            let same = row.part.values == part.values && row.part.tables == part.tables;
            row.demo == demo && same && !own.contains(&row.part.id)
        });
        twin.map(|row| row.part.id.clone())
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use crate::at_hand::{at, craft, moment, workshop};
    use craft::PartId;

    #[test]
    fn equal_parts_are_shared_and_clashing_ones_renamed() {
        let mut shop = workshop();
        let racer = craft("racer", 50.0);
        let first = shop.import(&racer, "", moment(1)).unwrap();
        assert!(first.reused.is_empty() && first.renamed.is_empty());

        let same = craft("twin", 50.0);
        let second = shop.import(&same, "", moment(2)).unwrap();
        assert_eq!(second.reused.len(), racer.parts.len());

        let other = craft("other", 60.0);
        let third = shop.import(&other, "", moment(3)).unwrap();
        let frame = PartId::from_name("frame");
        let new = &third.renamed[&frame];
        assert_eq!(new.as_str(), "frame-2");
        let stored = shop.craft(&third.craft).unwrap();
        assert_eq!(at(&stored, "frame").part, *new);

        let again = shop.import(&craft("fourth", 60.0), "", moment(4)).unwrap();
        assert_eq!(&again.renamed[&frame], new, "the renamed part is found again, not copied anew");
        assert_eq!(shop.parts().unwrap().len(), racer.parts.len() + 1);
    }
}
