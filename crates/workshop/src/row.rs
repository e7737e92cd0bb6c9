//! Rows: how parts, craft, places and sheets lie in the file.
//!
//! Each row is a key, the thing as JSON text, and a checksum. The checksum is FNV-1a with 64 bits
//! (offset basis 0xcbf29ce484222325, prime 0x100000001b3) over the key and the text; because each of its
//! steps is one to one, it notices every change of a single byte for certain and others all but for
//! certain. The store keeps no checksum of its own, and a flipped digit in a length must not pass as a length.
//!
//! Undo compares and restores whole rows, so the journal needs only the rows an edit touched.
//! Rows are never trusted: what is written is read back before it is kept, what is read is summed first.

use crate::fault::{Trouble, WorkshopFault};
use crate::keeping::{Drawer, KeptRow};
use craft::{Craft, CraftClass, CraftId, Part, PartId, Place, PlaceId, Row, Values};
use rusqlite::{Connection, OptionalExtension, params_from_iter};
use serde::de::DeserializeOwned;
use serde::{Deserialize, Serialize};
use serde_json::Value;
use std::collections::BTreeMap;
use std::fmt;

/// Which row.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub(crate) enum Key {
    // The order matters: what others refer to is written first.
    Part(PartId),
    Craft(CraftId),
    Place(CraftId, PlaceId),
    Uses(CraftId, PartId),
    Sheet(CraftId),
    Kept(Drawer, String),
}

/// A part as stored.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub(crate) struct PartRow {
    pub part: Part,
    pub demo: bool,
    /// The journal line that brought it in.
    pub since: i64,
}

/// A craft as stored, without its places and parts.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub(crate) struct CraftRow {
    pub name: String,
    pub class: Option<CraftClass>,
    pub values: Values,
    /// The craft's own rows; what was stored before there were any has none.
    #[serde(default, skip_serializing_if = "BTreeMap::is_empty")]
    pub tables: BTreeMap<String, Vec<Row>>,
    pub demo: bool,
    pub position: i64,
    /// The journal line that brought it in.
    pub since: i64,
}

/// A place as stored.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub(crate) struct PlaceRow {
    pub place: Place,
    pub position: i64,
}

/// That a craft uses a part.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub(crate) struct UsesRow {
    pub position: i64,
}

/// A craft as it lies in the file.
#[derive(Clone, Debug)]
pub(crate) struct Stored {
    pub id: CraftId,
    pub row: CraftRow,
    pub places: Vec<PlaceRow>,
    pub parts: Vec<(UsesRow, PartRow)>,
}

impl Stored {
    pub(crate) fn craft(&self) -> Craft {
        Craft {
            id: self.id.clone(),
            name: self.row.name.clone(),
            class: self.row.class,
            values: self.row.values.clone(),
            tables: self.row.tables.clone(),
            parts: self.parts.iter().map(|(_, row)| row.part.clone()).collect(),
            places: self.places.iter().map(|row| row.place.clone()).collect(),
        }
    }
}

impl fmt::Display for Key {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Key::Part(part) => write!(f, "part {:?}", part.as_str()),
            Key::Craft(craft) => write!(f, "craft {:?}", craft.as_str()),
            Key::Place(craft, place) => {
                write!(f, "place {:?} of craft {:?}", place.as_str(), craft.as_str())
            }
            Key::Uses(craft, part) => {
                write!(f, "use of part {:?} in craft {:?}", part.as_str(), craft.as_str())
            }
            Key::Sheet(craft) => write!(f, "sheet of craft {:?}", craft.as_str()),
            Key::Kept(drawer, id) => write!(f, "{} {id:?}", drawer.table().replace('_', " ")),
        }
    }
}

impl Key {
    fn table(&self) -> (&'static str, &'static [&'static str]) {
        match self {
            Key::Part(_) => ("part", &["id"]),
            Key::Craft(_) => ("craft", &["id"]),
            Key::Place(..) => ("place", &["craft", "id"]),
            Key::Uses(..) => ("craft_part", &["craft", "part"]),
            Key::Sheet(_) => ("sheet", &["craft"]),
            Key::Kept(drawer, _) => (drawer.table(), &["id"]),
        }
    }

    fn words(&self) -> Vec<&str> {
        match self {
            Key::Part(part) => vec![part.as_str()],
            Key::Craft(craft) | Key::Sheet(craft) => vec![craft.as_str()],
            Key::Place(craft, place) => vec![craft.as_str(), place.as_str()],
            Key::Uses(craft, part) => vec![craft.as_str(), part.as_str()],
            Key::Kept(_, id) => vec![id.as_str()],
        }
    }

    fn condition(&self) -> String {
        let columns = self.table().1;
        let terms: Vec<String> =
            columns.iter().enumerate().map(|(n, c)| format!("{c} = ?{}", n + 1)).collect();
        terms.join(" AND ")
    }

    fn sum(&self, json: &str) -> i64 {
        let (table, _) = self.table();
        checksum(std::iter::once(table).chain(self.words()).chain(std::iter::once(json)))
    }
}

/// The checksum of texts in order, each closed by a byte that no text holds.
pub(crate) fn checksum<'a>(texts: impl Iterator<Item = &'a str>) -> i64 {
    let mut sum: u64 = 0xcbf2_9ce4_8422_2325;
    for text in texts {
        for byte in text.bytes().chain(std::iter::once(0xff)) {
            sum = (sum ^ u64::from(byte)).wrapping_mul(0x0000_0100_0000_01b3);
        }
    }
    sum.cast_signed()
}

/// The text of a row, once it is known to read back as the same row.
pub(crate) fn to_json<T: Serialize + DeserializeOwned + PartialEq>(
    key: &Key,
    row: &T,
) -> Result<Value, Trouble> {
    let unsound = |why: String| WorkshopFault::Unsound { what: format!("{key} cannot be stored: {why}") };
    let value = serde_json::to_value(row).map_err(|error| unsound(error.to_string()))?;
    let back: T = serde_json::from_value(value.clone())
        .map_err(|_| unsound("it holds a number that is not finite".to_owned()))?;
    if &back != row {
        return Err(unsound("it holds a number that is not finite".to_owned()).into());
    }
    Ok(value)
}

/// A row's text, summed and read.
fn from_json<T: DeserializeOwned>(key: &Key, json: &str, sum: i64) -> Result<T, Trouble> {
    if key.sum(json) != sum {
        return Err(Trouble::Rotten(format!("{key} is not as it was written; its checksum differs")));
    }
    serde_json::from_str(json).map_err(|error| Trouble::Rotten(format!("{key} cannot be read: {error}")))
}

/// The row of a key, if there is one.
pub(crate) fn get<T: DeserializeOwned>(conn: &Connection, key: &Key) -> Result<Option<T>, Trouble> {
    let sql = format!("SELECT json, sum FROM {} WHERE {}", key.table().0, key.condition());
    let found: Option<(String, i64)> = conn
        .prepare_cached(&sql)?
        .query_row(params_from_iter(key.words()), |row| Ok((row.get(0)?, row.get(1)?)))
        .optional()?;
    found.map(|(json, sum)| from_json(key, &json, sum)).transpose()
}

/// Writes the row of a key, or takes it out.
pub(crate) fn put(conn: &Connection, key: &Key, row: Option<&Value>) -> Result<(), Trouble> {
    let (table, columns) = key.table();
    let words = key.words();
    let Some(row) = row else {
        let sql = format!("DELETE FROM {table} WHERE {}", key.condition());
        conn.prepare_cached(&sql)?.execute(params_from_iter(words))?;
        return Ok(());
    };
    let json = row.to_string();
    let sum = key.sum(&json);
    let keys = columns.join(", ");
    let (j, s) = (words.len() + 1, words.len() + 2);
    let holes: Vec<String> = (1..=words.len()).map(|n| format!("?{n}")).collect();
    let sql = format!(
        "INSERT INTO {table} ({keys}, json, sum) VALUES ({}, ?{j}, ?{s}) \
         ON CONFLICT ({keys}) DO UPDATE SET json = excluded.json, sum = excluded.sum",
        holes.join(", ")
    );
    let mut statement = conn.prepare_cached(&sql)?;
    for (n, word) in words.iter().enumerate() {
        statement.raw_bind_parameter(n + 1, word)?;
    }
    statement.raw_bind_parameter(j, &json)?;
    statement.raw_bind_parameter(s, sum)?;
    statement.raw_execute()?;
    Ok(())
}

/// An id as it stands in a column.
pub(crate) fn id<T: TryFrom<String>>(row: &rusqlite::Row<'_>, column: usize) -> Result<T, Trouble> {
    let text: String = row.get(column)?;
    T::try_from(text.clone())
        .map_err(|_| Trouble::Rotten(format!("the file holds {text:?} where an id must stand")))
}

/// Rows of `SELECT key columns…, json, sum`.
fn list<T: DeserializeOwned>(
    conn: &Connection,
    sql: &str,
    of: &[&str],
    key: impl Fn(&rusqlite::Row<'_>) -> Result<Key, Trouble>,
) -> Result<Vec<(Key, T)>, Trouble> {
    let mut statement = conn.prepare_cached(sql)?;
    let mut rows = statement.query(params_from_iter(of))?;
    let mut found = Vec::new();
    while let Some(row) = rows.next()? {
        let key = key(row)?;
        let json = row.get_ref("json")?.as_str().map_err(|_| Trouble::Rotten(format!("{key} is no text")))?;
        let thing = from_json(&key, json, row.get("sum")?)?;
        found.push((key, thing));
    }
    Ok(found)
}

/// Every part, by id.
pub(crate) fn parts(conn: &Connection) -> Result<Vec<PartRow>, Trouble> {
    let rows =
        list(conn, "SELECT id, json, sum FROM part ORDER BY id", &[], |row| Ok(Key::Part(id(row, 0)?)))?;
    Ok(rows.into_iter().map(|(_, row)| row).collect())
}

/// Every craft without its places, in the order of the fleet.
pub(crate) fn crafts(conn: &Connection) -> Result<Vec<(CraftId, CraftRow)>, Trouble> {
    let sql = "SELECT id, json, sum FROM craft ORDER BY id";
    let rows = list::<CraftRow>(conn, sql, &[], |row| Ok(Key::Craft(id(row, 0)?)))?;
    let mut found: Vec<(CraftId, CraftRow)> = rows
        .into_iter()
        .filter_map(|(key, row)| match key {
            Key::Craft(id) => Some((id, row)),
            _ => None,
        })
        .collect();
    found.sort_by_key(|(_, row)| row.position);
    Ok(found)
}

/// Who uses what, over all craft.
pub(crate) fn uses(conn: &Connection) -> Result<Vec<(CraftId, PartId)>, Trouble> {
    let mut statement = conn.prepare_cached("SELECT craft, part FROM craft_part ORDER BY craft, part")?;
    let mut rows = statement.query([])?;
    let mut found = Vec::new();
    while let Some(row) = rows.next()? {
        found.push((id(row, 0)?, id(row, 1)?));
    }
    Ok(found)
}

/// The places of a craft, in order.
pub(crate) fn places(conn: &Connection, craft: &CraftId) -> Result<Vec<PlaceRow>, Trouble> {
    let sql = "SELECT id, json, sum FROM place WHERE craft = ?1";
    let rows = list(conn, sql, &[craft.as_str()], |row| Ok(Key::Place(craft.clone(), id(row, 0)?)))?;
    let mut found: Vec<PlaceRow> = rows.into_iter().map(|(_, row)| row).collect();
    found.sort_by_key(|row| row.position);
    Ok(found)
}

/// The parts of a craft, in order.
pub(crate) fn parts_of(conn: &Connection, craft: &CraftId) -> Result<Vec<(UsesRow, PartRow)>, Trouble> {
    let sql = "SELECT part, json, sum FROM craft_part WHERE craft = ?1";
    let rows =
        list::<UsesRow>(conn, sql, &[craft.as_str()], |row| Ok(Key::Uses(craft.clone(), id(row, 0)?)))?;
    let mut found = Vec::new();
    for (key, uses) in rows {
        let Key::Uses(_, part) = key else { continue };
        let key = Key::Part(part);
        let row = get(conn, &key)?.ok_or_else(|| Trouble::Rotten(format!("{key} is gone but in use")))?;
        found.push((uses, row));
    }
    found.sort_by_key(|(uses, _)| uses.position);
    Ok(found)
}

/// Everything in a drawer, by id; nothing if the file is of a form before there was one.
pub(crate) fn kept<T: DeserializeOwned>(
    conn: &Connection,
    drawer: Drawer,
) -> Result<Vec<(String, KeptRow<T>)>, Trouble> {
    let table = drawer.table();
    let there = "SELECT count(*) FROM sqlite_schema WHERE type = 'table' AND name = ?1";
    if conn.query_row(there, [table], |row| row.get::<_, i64>(0))? == 0 {
        return Ok(Vec::new());
    }
    let sql = format!("SELECT id, json, sum FROM {table} ORDER BY id");
    let rows = list(conn, &sql, &[], |row| Ok(Key::Kept(drawer, row.get(0)?)))?;
    let id = |(key, row)| match key {
        Key::Kept(_, id) => Some((id, row)),
        _ => None,
    };
    Ok(rows.into_iter().filter_map(id).collect())
}

/// A craft with all that belongs to it; `None` if there is no such craft.
pub(crate) fn stored(conn: &Connection, craft: &CraftId) -> Result<Option<Stored>, Trouble> {
    let Some(row) = get(conn, &Key::Craft(craft.clone()))? else { return Ok(None) };
    let (places, parts) = (places(conn, craft)?, parts_of(conn, craft)?);
    Ok(Some(Stored { id: craft.clone(), row, places, parts }))
}

/// Reads every row once, so that one which is not as it was written shows.
pub(crate) fn examine(conn: &Connection) -> Result<(), Trouble> {
    parts(conn)?;
    for (craft, _) in crafts(conn)? {
        places(conn, &craft)?;
        parts_of(conn, &craft)?;
        get::<String>(conn, &Key::Sheet(craft))?;
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    // Origin: the test vectors published with the definition of FNV, 64 bits, variant 1a: "" and "a"; from memory.
    // The closing byte is left out here by feeding nothing, and worked into the second by hand.
    #[test]
    fn the_checksum_is_the_published_one() {
        assert_eq!(checksum(std::iter::empty()).cast_unsigned(), 0xcbf2_9ce4_8422_2325);
        let a: u64 = 0xaf63_dc4c_8601_ec8c;
        let closed = (a ^ 0xff).wrapping_mul(0x0000_0100_0000_01b3);
        assert_eq!(checksum(std::iter::once("a")).cast_unsigned(), closed);
    }

    #[test]
    fn texts_do_not_run_into_each_other() {
        assert_ne!(checksum(["ab", "c"].into_iter()), checksum(["a", "bc"].into_iter()));
    }
}
