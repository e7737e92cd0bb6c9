//! The demo: craft and parts put in together, marked, and taken out together.
//!
//! The demo and the user's own never share a part; the file itself refuses it. So taking the demo out can
//! take nothing of the user's along. A craft copied from the demo is the user's own, with parts of its own.

use crate::adopt::{Sharing, adopt};
use crate::draft::Draft;
use crate::fault::WorkshopFault;
use crate::fleet::{draft_of_new, free_craft_id, need, standing_of_new};
use crate::journal::{self, Entry};
use crate::keeping::{self, Keep};
use crate::row::{self, Key};
use crate::{JournalKind, Moment, Workshop};
use craft::{Craft, CraftId};
use std::collections::BTreeMap;

impl Workshop {
    /// Puts the demo in: each craft with the text of its sheet, and what is kept beside them: units, images, entries of
    /// the journal. A demo craft that is there already stays as it is, and nothing is entered about it again. What is of
    /// the owner's own under the same name stays too. Gives the ids of all that came in.
    pub fn load_demo(
        &mut self,
        demo: &[(Craft, String)],
        beside: &[Keep],
        at: Moment,
    ) -> Result<Vec<CraftId>, WorkshopFault> {
        self.write(|conn| {
            let mut whole = Draft::default();
            let mut came = Vec::new();
            let mut names = BTreeMap::new();
            for (craft, sheet) in demo {
                if row::stored(conn, &craft.id)?.is_some_and(|stored| stored.row.demo) {
                    continue;
                }
                let free = Craft { id: free_craft_id(conn, &craft.id)?, ..craft.clone() };
                let adopted = adopt(conn, None, free, true, Sharing::EqualParts)?;
                let mut draft = draft_of_new(&adopted, standing_of_new(conn, true)?)?;
                draft.set(Key::Sheet(adopted.craft.id.clone()), None, Some(sheet))?;
                // Written one by one, so that the next craft finds the parts of this one.
                draft.write(conn)?;
                whole.absorb(draft);
                names.insert(craft.id.to_string(), adopted.craft.id.to_string());
                came.push(adopted.craft.id);
            }
            if !came.is_empty() {
                whole.absorb(keeping::beside_demo(conn, beside, &names)?);
                let what = format!("Load the demo: {} craft", came.len());
                journal::enter(conn, Entry::of_workshop(at, JournalKind::DemoLoaded, what), &whole)?;
            }
            Ok(came)
        })
    }

    /// Whether anything of the demo is in the workshop.
    pub fn has_demo(&self) -> Result<bool, WorkshopFault> {
        self.read(|conn| {
            let craft = row::crafts(conn)?.iter().any(|(_, row)| row.demo);
            let mut kept = Draft::default();
            keeping::without_demo(conn, &mut kept)?;
            Ok(craft || row::parts(conn)?.iter().any(|row| row.demo) || !kept.is_empty())
        })
    }

    /// Takes every craft and part of the demo out; gives how many craft went.
    pub fn remove_demo(&mut self, at: Moment) -> Result<usize, WorkshopFault> {
        self.write(|conn| {
            let mut draft = Draft::default();
            let mut gone = 0;
            for (id, _) in row::crafts(conn)?.into_iter().filter(|(_, row)| row.demo) {
                let sheet: Option<String> = row::get(conn, &Key::Sheet(id.clone()))?;
                draft.remove_craft(&need(conn, &id)?, sheet.as_ref())?;
                gone += 1;
            }
            for row in row::parts(conn)?.iter().filter(|row| row.demo) {
                draft.set(Key::Part(row.part.id.clone()), Some(row), None)?;
            }
            keeping::without_demo(conn, &mut draft)?;
            if !draft.is_empty() {
                let what = format!("Remove the demo: {gone} craft");
                journal::enter(conn, Entry::of_workshop(at, JournalKind::DemoRemoved, what), &draft)?;
            }
            Ok(gone)
        })
    }
}

#[cfg(test)]
#[path = "demo_tests.rs"]
mod tests;
