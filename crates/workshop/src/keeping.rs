//! What is kept beside parts and craft: units, images, matching sets, recipes, batches, counters, and entries of the journal.
//!
//! The *journal* of the pages is what happened to a craft, in its owner's words: those are entries, kept here like any other
//! thing. The *trail* is the store's own record of every change, from which undo works (see `journal.rs`, whose table
//! keeps its first name). Putting an entry in is a line of the trail like any other.
//!
//! What belongs together is kept together: [`Workshop::keep`] takes several things, is one transaction and one line, and
//! [`Workshop::take_back`] takes that line back as a whole.

use crate::draft::Draft;
use crate::fault::{Trouble, WorkshopFault};
use crate::history::taken_back;
use crate::journal::{self, Entry as Line};
use crate::row::{self, Key};
use crate::{JournalKind, Moment, Workshop};
use care::{Counter, Entry};
use craft::CraftId;
use firmware::{Batch, Image, MatchingSet, Recipe, Unit};
use rusqlite::Connection;
use serde::de::DeserializeOwned;
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;

/// Where a thing lies.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Drawer {
    /// Units, by label.
    Unit,
    /// Images, by digest.
    Image,
    /// Matching sets.
    MatchingSet,
    /// Recipes, by kind of unit.
    Recipe,
    /// Batches.
    Batch,
    /// Counters.
    Counter,
    /// Entries of the journal.
    Entry,
}

impl Drawer {
    /// Every drawer.
    pub const ALL: [Drawer; 7] = [
        Drawer::Unit,
        Drawer::Image,
        Drawer::MatchingSet,
        Drawer::Recipe,
        Drawer::Batch,
        Drawer::Counter,
        Drawer::Entry,
    ];

    pub(crate) const fn table(self) -> &'static str {
        match self {
            Drawer::Unit => "unit",
            Drawer::Image => "image",
            Drawer::MatchingSet => "matching_set",
            Drawer::Recipe => "recipe",
            Drawer::Batch => "batch",
            Drawer::Counter => "counter",
            Drawer::Entry => "entry",
        }
    }

    const fn word(self) -> &'static str {
        match self {
            Drawer::MatchingSet => "matching set",
            other => other.table(),
        }
    }
}

/// A thing as it lies in the file.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub(crate) struct KeptRow<T> {
    pub thing: T,
    #[serde(default)]
    pub demo: bool,
}

/// A thing with its id.
#[derive(Clone, Debug, PartialEq)]
pub struct Kept<T> {
    /// Its id within its drawer.
    pub id: String,
    /// The thing.
    pub thing: T,
    /// Whether it belongs to the demo.
    pub demo: bool,
}

/// What can be kept.
pub trait Keepable: Serialize + DeserializeOwned + PartialEq + Clone {
    /// Where it lies.
    const DRAWER: Drawer;
}

macro_rules! keepable {
    ($($thing:ty = $drawer:ident;)*) => {
        $(impl Keepable for $thing { const DRAWER: Drawer = Drawer::$drawer; })*
    };
}

keepable! {
    Unit = Unit;
    Image = Image;
    MatchingSet = MatchingSet;
    Recipe = Recipe;
    Batch = Batch;
    Counter = Counter;
    Entry = Entry;
}

/// One thing that is kept, changed, or taken out.
#[derive(Clone, Debug, PartialEq)]
#[allow(clippy::large_enum_variant)] // Made one at a time and written at once.
pub enum Keep {
    /// A unit, under its label.
    Unit(Unit),
    /// An image, under its digest.
    Image(Image),
    /// Versions that go together.
    MatchingSet(MatchingSet),
    /// A recipe, under its kind of unit.
    Recipe(Recipe),
    /// A batch: a new one without an id, or as it now stands.
    Batch(Option<String>, Batch),
    /// A counter: a new one without an id, or as it now stands.
    Counter(Option<String>, Counter),
    /// An entry of the journal: a new one without an id, or put right.
    Entry(Option<String>, Entry),
    /// Something goes.
    Without(Drawer, String),
}

/// What came of keeping.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct KeptLine {
    /// The line of the trail, by which it can be taken back; `None` if nothing changed.
    pub line: Option<i64>,
    /// The ids, in the order of what was kept.
    pub ids: Vec<String>,
}

impl Workshop {
    /// Everything in a drawer, by id.
    pub fn kept<T: Keepable>(&self) -> Result<Vec<Kept<T>>, WorkshopFault> {
        self.read(all)
    }

    /// Keeps, changes and takes out several things as one step; `what` says in words what was done.
    pub fn keep(&mut self, what: &str, changes: &[Keep], at: Moment) -> Result<KeptLine, WorkshopFault> {
        self.keep_as(what, changes, at, false)
    }

    /// The same for things of the demo, which go with it.
    pub fn keep_demo(&mut self, what: &str, changes: &[Keep], at: Moment) -> Result<KeptLine, WorkshopFault> {
        self.keep_as(what, changes, at, true)
    }

    fn keep_as(
        &mut self,
        what: &str,
        changes: &[Keep],
        at: Moment,
        demo: bool,
    ) -> Result<KeptLine, WorkshopFault> {
        self.write(|conn| {
            let mut draft = Draft::default();
            let mut ids = Vec::new();
            for change in changes {
                let id = enter(conn, &mut draft, change, demo)?;
                ids.push(id);
                // Written one by one, so that the next new one gets the next number.
                draft.write(conn)?;
            }
            let entry = Line::of_workshop(at, JournalKind::Kept, what.to_owned());
            let line = (!draft.is_empty()).then(|| journal::enter(conn, entry, &draft)).transpose()?;
            Ok(KeptLine { line, ids })
        })
    }

    /// Takes back what one line of the trail kept, if nothing of it was changed since.
    pub fn take_back(&mut self, line: i64, at: Moment) -> Result<(), WorkshopFault> {
        self.write(|conn| taken_back(conn, line, at))
    }
}

/// Everything in a drawer; a file of an older form has none.
fn all<T: Keepable>(conn: &Connection) -> Result<Vec<Kept<T>>, Trouble> {
    let rows: Vec<(String, KeptRow<T>)> = row::kept(conn, T::DRAWER)?;
    Ok(rows.into_iter().map(|(id, row)| Kept { id, thing: row.thing, demo: row.demo }).collect())
}

/// Reads every kept row once.
pub(crate) fn examine(conn: &Connection) -> Result<(), Trouble> {
    all::<Unit>(conn)?;
    all::<Image>(conn)?;
    all::<MatchingSet>(conn)?;
    all::<Recipe>(conn)?;
    all::<Batch>(conn)?;
    all::<Counter>(conn)?;
    all::<Entry>(conn)?;
    Ok(())
}

/// Takes everything of the demo out.
pub(crate) fn without_demo(conn: &Connection, draft: &mut Draft) -> Result<(), Trouble> {
    fn one<T: Keepable>(conn: &Connection, draft: &mut Draft) -> Result<(), Trouble> {
        for kept in all::<T>(conn)?.into_iter().filter(|kept| kept.demo) {
            let row = KeptRow { thing: kept.thing, demo: true };
            draft.set(Key::Kept(T::DRAWER, kept.id), Some(&row), None)?;
        }
        Ok(())
    }
    one::<Unit>(conn, draft)?;
    one::<Image>(conn, draft)?;
    one::<MatchingSet>(conn, draft)?;
    one::<Recipe>(conn, draft)?;
    one::<Batch>(conn, draft)?;
    one::<Counter>(conn, draft)?;
    one::<Entry>(conn, draft)
}

/// Puts in what belongs to the demo beside its craft: what speaks of a craft goes under the id that it came in by, and is
/// left out if it did not come in; what lies there already stays.
pub(crate) fn beside_demo(
    conn: &Connection,
    beside: &[Keep],
    came_as: &BTreeMap<String, String>,
) -> Result<Draft, Trouble> {
    let mut whole = Draft::default();
    for keep in beside {
        let mut keep = keep.clone();
        let of_craft = match &mut keep {
            Keep::Unit(unit) => unit.craft.as_mut(),
            Keep::Counter(_, counter) => counter.craft.as_mut(),
            Keep::Entry(_, entry) => entry.craft.as_mut(),
            _ => None,
        };
        if let Some(craft) = of_craft {
            let Some(id) = came_as.get(craft) else { continue };
            craft.clone_from(id);
        }
        let named = match &keep {
            Keep::Unit(unit) => Some((Drawer::Unit, unit.label.clone())),
            Keep::Image(image) => Some((Drawer::Image, image.digest.to_string())),
            Keep::MatchingSet(set) => Some((Drawer::MatchingSet, set_id(set))),
            Keep::Recipe(recipe) => Some((Drawer::Recipe, recipe.kind.to_lowercase())),
            _ => None,
        };
        if let Some((drawer, id)) = named
            && row::get::<serde_json::Value>(conn, &Key::Kept(drawer, id))?.is_some()
        {
            continue;
        }
        let mut draft = Draft::default();
        enter(conn, &mut draft, &keep, true)?;
        // Written one by one, so that the next new one gets the next number.
        draft.write(conn)?;
        whole.absorb(draft);
    }
    Ok(whole)
}

/// Writes one thing down and gives its id.
pub(crate) fn enter(
    conn: &Connection,
    draft: &mut Draft,
    change: &Keep,
    demo: bool,
) -> Result<String, Trouble> {
    match change {
        Keep::Unit(unit) => {
            let id = named("label of a unit", &unit.label)?;
            named("kind of a unit", &unit.kind)?;
            if let Some(craft) = &unit.craft {
                known_craft(craft)?;
            }
            put(conn, draft, id, unit, demo)
        }
        Keep::Image(image) => put(conn, draft, image.digest.to_string(), image, demo),
        Keep::MatchingSet(set) => put(conn, draft, set_id(set), set, demo),
        Keep::Recipe(recipe) => {
            put(conn, draft, named("kind of a recipe", &recipe.kind)?.to_lowercase(), recipe, demo)
        }
        Keep::Batch(id, batch) => {
            let id = numbered(conn, id, Drawer::Batch)?;
            put(conn, draft, id, batch, demo)
        }
        Keep::Counter(id, counter) => {
            named("thing that is counted", &counter.thing)?;
            let numbers = [Some(counter.base), counter.life];
            if numbers.into_iter().flatten().any(|number| !(0.0..=1e6).contains(&number)) {
                return unsound("a count and a life must lie between 0 and 1 000 000".to_owned());
            }
            let id = numbered(conn, id, Drawer::Counter)?;
            put(conn, draft, id, counter, demo)
        }
        Keep::Entry(id, entry) => {
            let faults: Vec<String> = entry.faults().iter().map(ToString::to_string).collect();
            if !faults.is_empty() {
                return unsound(faults.join("; "));
            }
            if let Some(craft) = &entry.craft {
                known_craft(craft)?;
            }
            let id = numbered(conn, id, Drawer::Entry)?;
            put(conn, draft, id, entry, demo)
        }
        Keep::Without(drawer, id) => {
            let key = Key::Kept(*drawer, id.clone());
            let now = row::get(conn, &key)?.ok_or_else(|| no_such(*drawer, id))?;
            draft.set_raw(key, Some(now), None);
            Ok(id.clone())
        }
    }
}

fn put<T: Keepable>(
    conn: &Connection,
    draft: &mut Draft,
    id: String,
    thing: &T,
    demo: bool,
) -> Result<String, Trouble> {
    let key = Key::Kept(T::DRAWER, id.clone());
    let before: Option<KeptRow<T>> = row::get(conn, &key)?;
    // What was of the demo stays of it, or taking the demo out would leave half of it.
    let demo = before.as_ref().map_or(demo, |before| before.demo);
    let after = KeptRow { thing: thing.clone(), demo };
    draft.set(key, before.as_ref(), Some(&after))?;
    Ok(id)
}

/// The id of a thing that has only a number, or the next number.
fn numbered(conn: &Connection, id: &Option<String>, drawer: Drawer) -> Result<String, Trouble> {
    let table = drawer.table();
    if let Some(id) = id {
        let there = row::get::<serde_json::Value>(conn, &Key::Kept(drawer, id.clone()))?.is_some();
        return if there { Ok(id.clone()) } else { Err(no_such(drawer, id)) };
    }
    // Numbers are never given twice: the trail may still bring an old one back.
    let used: i64 = conn.query_row(
        &format!(
            "SELECT max(coalesce((SELECT max(CAST(id AS INTEGER)) FROM {table}), 0), \
             (SELECT count(*) FROM journal WHERE kind = 'kept'))"
        ),
        [],
        |row| row.get(0),
    )?;
    Ok(format!("{:06}", used + 1))
}

fn named(what: &str, name: &str) -> Result<String, Trouble> {
    let trimmed = name.trim();
    let letters = trimmed.chars().count();
    if letters == 0 || letters > 120 || trimmed.chars().any(char::is_control) {
        return unsound(format!("the {what} must have 1 to 120 letters; this one has {letters}"));
    }
    Ok(trimmed.to_owned())
}

/// A craft is named by an id; that it is still there is not asked, for a journal outlives its craft.
fn known_craft(craft: &str) -> Result<(), Trouble> {
    match CraftId::new(craft) {
        Ok(_) => Ok(()),
        Err(fault) => unsound(format!("craft {craft:?}: {fault}")),
    }
}

fn set_id(set: &MatchingSet) -> String {
    format!("{} | {} | {}", set.system.trim(), set.air, set.ground).to_lowercase()
}

fn unsound<T>(what: String) -> Result<T, Trouble> {
    Err(WorkshopFault::Unsound { what }.into())
}

fn no_such(drawer: Drawer, id: &str) -> Trouble {
    WorkshopFault::NoKept { what: drawer.word(), id: id.to_owned() }.into()
}

#[cfg(test)]
#[path = "keeping_tests.rs"]
mod tests;
