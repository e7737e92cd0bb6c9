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
use craft::{Craft, Part, PartId};
use rusqlite::Connection;
use std::collections::BTreeMap;

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
    let linked =
        |id: &PartId| before.is_some_and(|stored| stored.parts.iter().any(|(_, row)| &row.part.id == id));
    let (mut new_parts, mut renamed, mut reused) = (Vec::new(), BTreeMap::new(), Vec::new());
    // Only read when an id clashes, which is rare.
    let mut all: Option<Vec<PartRow>> = None;
    for at in 0..craft.parts.len() {
        let part = craft.parts[at].clone();
        if linked(&part.id) {
            continue;
        }
        let Some(known) = row::get::<PartRow>(conn, &Key::Part(part.id.clone()))? else {
            new_parts.push(part);
            continue;
        };
        if sharing == Sharing::EqualParts && known.demo == demo && known.part == part {
            reused.push(part.id);
            continue;
        }
        let all = match &mut all {
            Some(all) => all,
            none => none.insert(row::parts(conn)?),
        };
        let free = |id: &PartId| craft.part(id).is_none() && !renamed.values().any(|taken| taken == id);
        let twin = all.iter().filter(|_| sharing == Sharing::EqualParts).find(|row| {
            row.demo == demo
                && free(&row.part.id)
                && row.part == Part { id: row.part.id.clone(), ..part.clone() }
        });
        let id = match twin {
            Some(twin) => {
                reused.push(twin.part.id.clone());
                twin.part.id.clone()
            }
            None => part.id.unlike(|id| !free(id) || all.iter().any(|row| &row.part.id == id)),
        };
        if twin.is_none() {
            new_parts.push(Part { id: id.clone(), ..part.clone() });
        }
        craft.parts[at].id = id.clone();
        renamed.insert(part.id, id);
    }
    for place in &mut craft.places {
        if let Some(id) = renamed.get(&place.part) {
            place.part = id.clone();
        }
    }
    Ok(Adopted { craft, new_parts, renamed, reused })
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
