//! Reading single values out of a table, telling with line and column what does not read.

use super::fault::{BaseFault, BaseFaultKind};
use quantity::near_name;
use toml_edit::{Item, TableLike};

/// A table being read, and what it is called in messages.
pub(super) struct Entry<'d> {
    pub called: String,
    pub table: &'d dyn TableLike,
    pub at: usize,
}

/// The limits of a number, and the words for them.
#[derive(Clone, Copy)]
pub(super) struct Limits(pub f64, pub f64, pub &'static str);

pub(super) const CHANCE: Limits = Limits(0.0, 1.0, "a chance from 0 to 1");
pub(super) const WORKS: Limits = Limits(0.001, 1.0, "a chance from 0 to 1, and more than 0");
pub(super) const LEAK: Limits = Limits(0.0, 0.5, "a chance from 0 to 0.5");
pub(super) const MINUTES: Limits = Limits(0.05, 1440.0, "minutes from 0.05 to 1440");
pub(super) const PARTS: Limits = Limits(0.0, 1000.0, "sets of blades from 0 to 1000");
pub(super) const FACTOR: Limits = Limits(0.001, 1000.0, "a factor from 0.001 to 1000");
pub(super) const WEIGHT: Limits = Limits(0.0001, 200.0, "visits of a hundred, from 0.0001 to 200");

/// Keeps the text and gathers the faults.
pub(super) struct Reader<'t> {
    text: &'t str,
    pub faults: Vec<BaseFault>,
}

impl<'t> Reader<'t> {
    pub(super) fn of(text: &'t str) -> Self {
        Self { text, faults: Vec::new() }
    }

    pub(super) fn tell(&mut self, at: usize, called: &str, what: BaseFaultKind) {
        let before = self.text.get(..at).unwrap_or(self.text);
        let line = before.matches('\n').count() + 1;
        let column = before.rsplit('\n').next().unwrap_or("").chars().count() + 1;
        self.faults.push(BaseFault { line, column, called: called.to_owned(), what });
    }

    /// Tells of every key that may not stand in a table.
    pub(super) fn only(&mut self, entry: &Entry<'_>, known: &[&str]) {
        for (key, item) in entry.table.iter() {
            if !known.contains(&key) {
                let did_you_mean = near_name(key, known.iter().copied()).map(str::to_owned);
                let at = key_at(entry.table, key).or(start(item)).unwrap_or(entry.at);
                self.tell(at, &entry.called, BaseFaultKind::Unknown { key: key.to_owned(), did_you_mean });
            }
        }
    }

    fn wrong(&mut self, entry: &Entry<'_>, key: &str, item: &Item, wanted: &str) {
        let given = given(item, self.text);
        let at = start(item).unwrap_or(entry.at);
        let what = BaseFaultKind::Value { key: key.to_owned(), given, wanted: wanted.to_owned() };
        self.tell(at, &entry.called, what);
    }

    /// A text; empty where it is missing, which is told if it must stand.
    pub(super) fn words(&mut self, entry: &Entry<'_>, key: &'static str, must: bool) -> String {
        match entry.table.get(key) {
            None => {
                if must {
                    self.tell(entry.at, &entry.called, BaseFaultKind::MustSay { key });
                }
                String::new()
            }
            Some(item) => match item.as_str() {
                Some(text) if !text.trim().is_empty() && text.chars().count() <= 400 => text.to_owned(),
                _ => {
                    self.wrong(entry, key, item, "a text of 1 to 400 letters in quotes");
                    String::new()
                }
            },
        }
    }

    /// A word out of a few.
    pub(super) fn one_of(
        &mut self,
        entry: &Entry<'_>,
        key: &'static str,
        words: &[&str],
        otherwise: Option<usize>,
    ) -> usize {
        let Some(item) = entry.table.get(key) else {
            if otherwise.is_none() {
                self.tell(entry.at, &entry.called, BaseFaultKind::MustSay { key });
            }
            return otherwise.unwrap_or(0);
        };
        match item.as_str().and_then(|text| words.iter().position(|word| *word == text)) {
            Some(place) => place,
            None => {
                let quoted: Vec<String> = words.iter().map(|word| format!("\"{word}\"")).collect();
                self.wrong(entry, key, item, &format!("one of {}", quoted.join(", ")));
                otherwise.unwrap_or(0)
            }
        }
    }

    pub(super) fn yes(&mut self, entry: &Entry<'_>, key: &'static str) -> bool {
        match entry.table.get(key) {
            None => {
                self.tell(entry.at, &entry.called, BaseFaultKind::MustSay { key });
                false
            }
            Some(item) => item.as_bool().unwrap_or_else(|| {
                self.wrong(entry, key, item, "true or false");
                false
            }),
        }
    }

    fn value(&mut self, entry: &Entry<'_>, key: &str, item: &Item, limits: Limits) -> Option<f64> {
        #[allow(clippy::cast_precision_loss)] // Counts beyond 2^53 are beyond every limit.
        let number = item.as_float().or(item.as_integer().map(|whole| whole as f64));
        match number {
            Some(number) if (limits.0..=limits.1).contains(&number) => Some(number),
            _ => {
                self.wrong(entry, key, item, limits.2);
                None
            }
        }
    }

    /// A number within limits; the given one where it is left out, or a fault if there is none.
    pub(super) fn number(
        &mut self,
        entry: &Entry<'_>,
        key: &'static str,
        limits: Limits,
        otherwise: Option<f64>,
    ) -> f64 {
        match (entry.table.get(key), otherwise) {
            (Some(item), _) => self.value(entry, key, item, limits).unwrap_or(limits.0),
            (None, Some(otherwise)) => otherwise,
            (None, None) => {
                self.tell(entry.at, &entry.called, BaseFaultKind::MustSay { key });
                limits.0
            }
        }
    }

    /// The place of a name among those there are.
    pub(super) fn place(
        &mut self,
        called: &str,
        at: usize,
        sort: &'static str,
        id: &str,
        names: &[String],
    ) -> Option<usize> {
        let found = names.iter().position(|name| name == id);
        if found.is_none() {
            let did_you_mean = near_name(id, names.iter().map(String::as_str)).map(str::to_owned);
            self.tell(at, called, BaseFaultKind::NoSuch { sort, id: id.to_owned(), did_you_mean });
        }
        found
    }

    /// One id as a place, where it stands.
    pub(super) fn place_of(
        &mut self,
        entry: &Entry<'_>,
        key: &'static str,
        sort: &'static str,
        names: &[String],
    ) -> Option<usize> {
        let item = entry.table.get(key)?;
        let id = self.words(entry, key, false);
        if id.is_empty() {
            return None;
        }
        self.place(&entry.called, start(item).unwrap_or(entry.at), sort, &id, names)
    }

    /// A list of texts.
    pub(super) fn list(&mut self, entry: &Entry<'_>, key: &'static str) -> Vec<(String, usize)> {
        let Some(item) = entry.table.get(key) else { return Vec::new() };
        let Some(array) = item.as_array() else {
            self.wrong(entry, key, item, "a list of texts such as [\"one\", \"two\"]");
            return Vec::new();
        };
        let at = start(item).unwrap_or(entry.at);
        let mut texts: Vec<(String, usize)> = Vec::new();
        for value in array.iter() {
            let at = value.span().map_or(at, |span| span.start);
            match value.as_str() {
                Some(text) if texts.iter().any(|(other, _)| other == text) => {
                    self.tell(at, &entry.called, BaseFaultKind::Twice { id: text.to_owned() });
                }
                Some(text) => texts.push((text.to_owned(), at)),
                None => self.wrong(entry, key, item, "a list of texts such as [\"one\", \"two\"]"),
            }
        }
        texts
    }

    /// A list of ids as places.
    pub(super) fn places(
        &mut self,
        entry: &Entry<'_>,
        key: &'static str,
        sort: &'static str,
        names: &[String],
    ) -> Vec<usize> {
        let list = self.list(entry, key);
        list.iter().filter_map(|(id, at)| self.place(&entry.called, *at, sort, id, names)).collect()
    }

    /// A table of numbers by id.
    pub(super) fn numbers(
        &mut self,
        entry: &Entry<'_>,
        key: &'static str,
        sort: &'static str,
        names: &[String],
        limits: Limits,
    ) -> Vec<(usize, f64)> {
        let Some(item) = entry.table.get(key) else {
            self.tell(entry.at, &entry.called, BaseFaultKind::MustSay { key });
            return Vec::new();
        };
        let Some(table) = item.as_table_like() else {
            self.wrong(entry, key, item, "a table of numbers by id such as { id = 0.5 }");
            return Vec::new();
        };
        let mut numbers = Vec::new();
        for (id, item) in table.iter() {
            let at = key_at(table, id).unwrap_or(entry.at);
            let place = self.place(&entry.called, at, sort, id, names);
            if let Some(number) = self.value(entry, id, item, limits) {
                numbers.extend(place.map(|place| (place, number)));
            }
        }
        numbers
    }
}

/// Where an item starts.
pub(super) fn start(item: &Item) -> Option<usize> {
    item.span().map(|span| span.start)
}

/// Where a key stands.
pub(super) fn key_at(table: &dyn TableLike, key: &str) -> Option<usize> {
    table.key(key).and_then(toml_edit::Key::span).map(|span| span.start)
}

/// What stands there, shortened.
fn given(item: &Item, text: &str) -> String {
    let shown = item.span().and_then(|span| text.get(span)).unwrap_or("something else").trim();
    let line = shown.lines().next().unwrap_or("");
    match line.char_indices().nth(40) {
        Some((cut, _)) => format!("{}…", &line[..cut]),
        None => line.to_owned(),
    }
}
