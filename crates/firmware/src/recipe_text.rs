//! Recipes as text: TOML that the owner writes from the maker's instructions.
//!
//! ```toml
//! creance_recipe = 1
//! kind = "Lanner small air unit"
//! system = "Lanner"
//! end = "air"                      # air, ground or other
//! file_name = "LANNER_AIR.IMG"     # the exact name the installer looks for
//! folder = ""                      # the folder on the card; left out: its top
//! file_systems = ["fat32"]
//! largest_card = "32 GB"           # decimal, as printed on cards
//! eats_image = true                # the installer takes the image away
//! minutes = 8                      # the longest it takes
//! watts = 9                        # what the unit draws meanwhile
//! done_when = "the light is steady green"
//!
//! [[keep]]                         # a file that must stay on the card
//! name = "install.txt"
//! text = ""
//! ```
//!
//! It is read as strictly as a sheet: what is unknown, missing or out of bounds is a fault with its line, all told at once.

use crate::name::{card_folder, card_name, same_on_card};
use crate::{End, Kept, Recipe};
use std::ops::Range;
use toml_edit::{Document, Item, Table, Value};

/// A recipe as its owner writes it, with what each line means.
pub const RECIPE_EXAMPLE: &str = r#"creance_recipe = 1
kind = "Lanner small air unit"   # the kind of unit, as you call it
system = "Lanner"                # the video system, which both ends share
end = "air"                      # air, ground or other
file_name = "LANNER_AIR.IMG"     # the exact name the installer looks for
folder = ""                      # the folder on the card; left out: its top
file_systems = ["fat32"]         # what the installer reads; left out: any
largest_card = "32 GB"           # decimal, as printed on cards
eats_image = false               # whether the installer takes the image away
minutes = 8                      # the longest it takes
watts = 9                        # what the unit draws meanwhile
done_when = "the light is steady"

[[keep]]                         # a file that must stay on the card; any number of them
name = "install.txt"
text = ""
"#;

/// The longest text of a recipe, in bytes.
const TEXT_BYTES_MAX: usize = 64 * 1024;
/// The longest word in it, in letters.
const WORD_LETTERS_MAX: usize = 200;
/// The largest card that can be meant, in bytes.
const CARD_BYTES_MAX: f64 = 4e12;

/// One thing wrong with a recipe.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("line {line}: {what}")]
pub struct RecipeFault {
    /// The line, from 1.
    pub line: usize,
    /// What is wrong, and the mend.
    pub what: String,
}

struct Reading<'a> {
    text: &'a str,
    faults: Vec<RecipeFault>,
}

const KEYS: [&str; 13] = [
    "creance_recipe",
    "kind",
    "system",
    "end",
    "file_name",
    "folder",
    "keep",
    "file_systems",
    "largest_card",
    "eats_image",
    "minutes",
    "watts",
    "done_when",
];

/// Reads a recipe, or says all that is wrong with it.
pub fn read_recipe(text: &str) -> Result<Recipe, Vec<RecipeFault>> {
    let fault = |line, what: String| vec![RecipeFault { line, what }];
    if text.len() > TEXT_BYTES_MAX {
        return Err(fault(
            1,
            format!("{} bytes are more than the {TEXT_BYTES_MAX} a recipe may have", text.len()),
        ));
    }
    let document = Document::parse(text).map_err(|error| {
        let at = error.span().map_or(1, |span| line_of(text, span.start));
        fault(at, error.message().to_owned())
    })?;
    let mut reading = Reading { text, faults: Vec::new() };
    let recipe = reading.recipe(document.as_table());
    reading.faults.sort_by_key(|fault| fault.line);
    if reading.faults.is_empty() { Ok(recipe) } else { Err(reading.faults) }
}

fn line_of(text: &str, at: usize) -> usize {
    1 + text.bytes().take(at).filter(|byte| *byte == b'\n').count()
}

impl Reading<'_> {
    fn say(&mut self, span: Option<Range<usize>>, what: impl Into<String>) {
        let line = span.map_or(1, |span| line_of(self.text, span.start));
        self.faults.push(RecipeFault { line, what: what.into() });
    }

    fn recipe(&mut self, table: &Table) -> Recipe {
        self.known(table, &KEYS, "a recipe");
        if table.get("creance_recipe").and_then(Item::as_integer) != Some(1) {
            self.say(None, "the first line must say creance_recipe = 1");
        }
        let end = self.word(table, "end").unwrap_or_default();
        let found = End::from_word(&end);
        if found.is_none() && !end.is_empty() {
            self.say(
                table.get("end").and_then(Item::span),
                format!("end {end:?} is not known; it is air, ground or other"),
            );
        }
        let recipe = Recipe {
            kind: self.word(table, "kind").unwrap_or_default(),
            system: self.word(table, "system").unwrap_or_default(),
            end: found.unwrap_or(End::Other),
            file_name: self.word(table, "file_name").unwrap_or_default(),
            folder: self.text_of(table, "folder").unwrap_or_default(),
            keep: self.keep(table),
            file_systems: self.words(table, "file_systems"),
            largest_card: self.card_size(table),
            eats_image: self.flag(table, "eats_image"),
            minutes: self.number(table, "minutes", 240.0),
            watts: self.number(table, "watts", 200.0),
            done_when: self.text_of(table, "done_when").unwrap_or_default(),
        };
        self.names(table, &recipe);
        recipe
    }

    fn names(&mut self, table: &Table, recipe: &Recipe) {
        let span = |key: &str| table.get(key).and_then(Item::span);
        if !recipe.file_name.is_empty()
            && let Err(why) = card_name(&recipe.file_name)
        {
            self.say(span("file_name"), format!("file_name: {why}"));
        }
        if let Err(why) = card_folder(&recipe.folder) {
            self.say(span("folder"), format!("folder: {why}"));
        }
        for (number, kept) in recipe.keep.iter().enumerate() {
            if let Err(why) = card_name(&kept.name) {
                self.say(span("keep"), format!("keep, number {}: {why}", number + 1));
            }
            let earlier = recipe.keep.iter().take(number).any(|other| same_on_card(&other.name, &kept.name));
            if earlier || same_on_card(&kept.name, &recipe.file_name) {
                self.say(span("keep"), format!("{:?} would lie on the card twice; keep one", kept.name));
            }
        }
    }

    fn known(&mut self, table: &Table, keys: &[&str], of: &str) {
        let unknown: Vec<_> = table.iter().filter(|(key, _)| !keys.contains(key)).collect();
        for (key, item) in unknown {
            self.say(item.span(), format!("{of} knows no {key:?}; it knows {}", keys.join(", ")));
        }
    }

    fn word(&mut self, table: &Table, key: &str) -> Option<String> {
        let found = self.text_of(table, key).filter(|word| !word.trim().is_empty());
        if found.is_none() && !self.faults.iter().any(|fault| fault.what.starts_with(key)) {
            self.say(
                table.get(key).and_then(Item::span),
                format!("{key} is missing; write it from the maker's instructions"),
            );
        }
        found.map(|word| word.trim().to_owned())
    }

    fn text_of(&mut self, table: &Table, key: &str) -> Option<String> {
        let item = table.get(key)?;
        let Some(text) = item.as_str() else {
            self.say(item.span(), format!("{key} must be a text in quotes"));
            return None;
        };
        if text.chars().count() > WORD_LETTERS_MAX {
            self.say(item.span(), format!("{key} is longer than {WORD_LETTERS_MAX} letters; shorten it"));
            return None;
        }
        Some(text.to_owned())
    }

    fn words(&mut self, table: &Table, key: &str) -> Vec<String> {
        let Some(item) = table.get(key) else { return Vec::new() };
        let words: Option<Vec<String>> = item
            .as_array()
            .map(|array| array.iter().map(|value| value.as_str().map(str::to_owned)).collect())
            .unwrap_or(None);
        if words.is_none() {
            self.say(item.span(), format!("{key} must be a list of texts, such as [\"fat32\"]"));
        }
        words.unwrap_or_default()
    }

    fn flag(&mut self, table: &Table, key: &str) -> bool {
        let Some(item) = table.get(key) else { return false };
        item.as_bool().unwrap_or_else(|| {
            self.say(item.span(), format!("{key} must be true or false"));
            false
        })
    }

    fn number(&mut self, table: &Table, key: &str, most: f64) -> Option<f64> {
        let item = table.get(key)?;
        let found = item.as_float().or_else(|| item.as_integer().map(|n| n as f64));
        let found = found.filter(|n| n.is_finite() && *n > 0.0 && *n <= most);
        if found.is_none() {
            self.say(item.span(), format!("{key} must be a number above 0, at most {most}"));
        }
        found
    }

    fn card_size(&mut self, table: &Table) -> Option<u64> {
        let item = table.get("largest_card")?;
        let read = |text: &str| {
            let (number, unit) = text.trim().split_once(' ')?;
            let each = match unit.trim() {
                "MB" => 1e6,
                "GB" => 1e9,
                _ => return None,
            };
            number.parse::<f64>().ok().map(|n| n * each).filter(|n| *n > 0.0 && *n <= CARD_BYTES_MAX)
        };
        let found = item.as_str().and_then(read);
        if found.is_none() {
            self.say(item.span(), "largest_card must be a size with its unit, such as \"32 GB\"");
        }
        found.map(|bytes| bytes as u64)
    }

    fn keep(&mut self, table: &Table) -> Vec<Kept> {
        let Some(item) = table.get("keep") else { return Vec::new() };
        let Some(rows) = item.as_array_of_tables() else {
            self.say(item.span(), "each file to keep is a table of its own: [[keep]]");
            return Vec::new();
        };
        let mut kept = Vec::new();
        for row in rows {
            self.known(row, &["name", "text"], "a file to keep");
            let name = row.get("name").and_then(Item::as_str).unwrap_or_default().to_owned();
            let text = self.text_of(row, "text").unwrap_or_default();
            kept.push(Kept { name, text });
        }
        kept
    }
}

/// A recipe as text that reads back the same.
pub fn write_recipe(recipe: &Recipe) -> String {
    let mut document = toml_edit::DocumentMut::new();
    let mut put = |key: &str, value: Value| {
        document.insert(key, Item::Value(value));
    };
    put("creance_recipe", 1.into());
    put("kind", recipe.kind.as_str().into());
    put("system", recipe.system.as_str().into());
    put("end", recipe.end.word().into());
    put("file_name", recipe.file_name.as_str().into());
    put("folder", recipe.folder.as_str().into());
    put("file_systems", Value::Array(recipe.file_systems.iter().map(String::as_str).collect()));
    if let Some(bytes) = recipe.largest_card {
        put("largest_card", format!("{} MB", bytes as f64 / 1e6).into());
    }
    put("eats_image", recipe.eats_image.into());
    if let Some(minutes) = recipe.minutes {
        put("minutes", minutes.into());
    }
    if let Some(watts) = recipe.watts {
        put("watts", watts.into());
    }
    put("done_when", recipe.done_when.as_str().into());
    if !recipe.keep.is_empty() {
        let mut rows = toml_edit::ArrayOfTables::new();
        for kept in &recipe.keep {
            let mut row = Table::new();
            row.insert("name", Item::Value(kept.name.as_str().into()));
            row.insert("text", Item::Value(kept.text.as_str().into()));
            rows.push(row);
        }
        document.insert("keep", Item::ArrayOfTables(rows));
    }
    document.to_string()
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use expect_test::expect;
    use proptest::prelude::*;

    const GOOD: &str = r#"creance_recipe = 1
kind = "Lanner small air unit"
system = "Lanner"
end = "air"
file_name = "LANNER_AIR.IMG"
file_systems = ["fat32"]
largest_card = "32 GB"
eats_image = true
minutes = 8

[[keep]]
name = "install.txt"
"#;

    #[test]
    fn a_recipe_reads_and_reads_back() {
        let recipe = read_recipe(GOOD).unwrap();
        assert_eq!(recipe.largest_card, Some(32_000_000_000));
        assert_eq!(recipe.keep, [Kept { name: "install.txt".into(), text: String::new() }]);
        assert_eq!(read_recipe(&write_recipe(&recipe)).unwrap(), recipe);
    }

    #[test]
    fn all_faults_are_told_with_their_lines() {
        let bad = GOOD
            .replace("end = \"air\"", "end = \"sky\"")
            .replace("LANNER_AIR.IMG", "../LANNER.IMG")
            .replace("32 GB", "much")
            .replace("minutes = 8", "minutes = nan\nhours = 2")
            .replace("install.txt", "a/b");
        let faults: Vec<String> = read_recipe(&bad).unwrap_err().iter().map(ToString::to_string).collect();
        expect![[r#"
            line 4: end "sky" is not known; it is air, ground or other
            line 5: file_name: "../LANNER.IMG" holds a slash; a name is one step, and the folder is said beside it
            line 7: largest_card must be a size with its unit, such as "32 GB"
            line 9: minutes must be a number above 0, at most 240
            line 10: a recipe knows no "hours"; it knows creance_recipe, kind, system, end, file_name, folder, keep, file_systems, largest_card, eats_image, minutes, watts, done_when
            line 12: keep, number 1: "a/b" holds a slash; a name is one step, and the folder is said beside it"#]]
        .assert_eq(&faults.join("\n"));
    }

    #[test]
    fn what_is_missing_is_named() {
        let faults = read_recipe("creance_recipe = 1\n").unwrap_err();
        let told: Vec<&str> = faults.iter().map(|fault| fault.what.split(' ').next().unwrap()).collect();
        assert_eq!(told, ["end", "kind", "system", "file_name"]);
    }

    proptest! {
        #[test]
        fn no_text_is_too_odd_to_answer(text in ".{0,200}", at in 0usize..200) {
            let _ = read_recipe(&text);
            let mut spoiled = GOOD.to_owned();
            let at = (0..=at.min(spoiled.len())).rev().find(|at| spoiled.is_char_boundary(*at)).unwrap_or(0);
            spoiled.insert_str(at, &text);
            let _ = read_recipe(&spoiled);
        }
    }
}
