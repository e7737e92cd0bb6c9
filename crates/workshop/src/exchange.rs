//! Exchange: craft come in from sheets and go out as sheets.
//!
//! A craft comes in whole or not at all. Ids that clash with something else get the next free one, parts
//! equal to stored ones are shared, and the very same craft is not taken in twice. The text of the sheet is
//! kept, so that its comments are still there when the craft goes out again. Going out changes nothing and leaves
//! no journal line, so that it also works for a reader; who wants a line leaves a note.

use crate::adopt::{Sharing, adopt};
use crate::fault::WorkshopFault;
use crate::fleet::{draft_of_new, free_craft_id, need, standing_of_new};
use crate::journal::{self, Entry};
use crate::row::{self, Key};
use crate::{JournalKind, Moment, Workshop};
use craft::{Craft, CraftId, PartId, limits, rewrite_sheet, write_sheet};
use std::collections::BTreeMap;

/// What taking a craft in did.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Imported {
    /// The id of the craft in the workshop.
    pub craft: CraftId,
    /// The id on the sheet, if it was taken.
    pub craft_was: Option<CraftId>,
    /// Parts that got another id: as on the sheet, as in the workshop.
    pub renamed: BTreeMap<PartId, PartId>,
    /// Parts that were in the workshop already.
    pub reused: Vec<PartId>,
    /// Whether the very same craft was there already; then nothing was changed.
    pub already_there: bool,
}

impl Workshop {
    /// Takes a craft in, with the text of the sheet it came from.
    pub fn import(&mut self, craft: &Craft, sheet: &str, at: Moment) -> Result<Imported, WorkshopFault> {
        self.write(|conn| {
            if sheet.len() > limits::SHEET_BYTES_MAX {
                let (bytes, most) = (sheet.len(), limits::SHEET_BYTES_MAX);
                let what =
                    format!("the sheet of {:?} has {bytes} bytes and may have {most}; split it", craft.name);
                return Err(WorkshopFault::Unsound { what }.into());
            }
            if let Some(same) =
                row::stored(conn, &craft.id)?.filter(|stored| !stored.row.demo && &stored.craft() == craft)
            {
                let (renamed, reused) =
                    (BTreeMap::new(), craft.parts.iter().map(|part| part.id.clone()).collect());
                return Ok(Imported {
                    craft: same.id,
                    craft_was: None,
                    renamed,
                    reused,
                    already_there: true,
                });
            }
            let id = free_craft_id(conn, &craft.id)?;
            let craft_was = (id != craft.id).then(|| craft.id.clone());
            let adopted = adopt(conn, None, Craft { id, ..craft.clone() }, false, Sharing::EqualParts)?;
            let mut draft = draft_of_new(&adopted, standing_of_new(conn, false)?)?;
            let sheet = Some(sheet.to_owned()).filter(|sheet| !sheet.is_empty());
            draft.set(Key::Sheet(adopted.craft.id.clone()), None, sheet.as_ref())?;
            let what = format!("Import craft {:?} from a sheet", adopted.craft.name);
            let entry = Entry::of_craft(at, JournalKind::Imported, &adopted.craft.id, what);
            journal::enter(conn, entry, &draft)?;
            let (renamed, reused) = (adopted.renamed, adopted.reused);
            Ok(Imported { craft: adopted.craft.id, craft_was, renamed, reused, already_there: false })
        })
    }

    /// A craft as a sheet: the sheet it came from, changed where the craft has changed, or a new one.
    pub fn export(&self, id: &CraftId) -> Result<String, WorkshopFault> {
        let (craft, sheet) = self.craft_and_sheet(id)?;
        Ok(sheet.map_or_else(|| write_sheet(&craft), |sheet| rewrite_sheet(&sheet, &craft)))
    }

    /// A craft and the text of the sheet it came from, if it came from one.
    pub fn craft_and_sheet(&self, id: &CraftId) -> Result<(Craft, Option<String>), WorkshopFault> {
        self.read(|conn| Ok((need(conn, id)?.craft(), row::get(conn, &Key::Sheet(id.clone()))?)))
    }
}

#[cfg(test)]
#[path = "exchange_tests.rs"]
mod tests;
