//! Reading a vector file: all that is wrong with it in one pass.
//!
//! Reads one file into checks (the layout is in the crate's head) and reports every fault with its line. A row
//! with a fault is not run: a check that cannot be trusted is not counted as one. Left out on purpose: whether
//! the values agree, which is the runner's business.

use crate::fault::{Fault, FaultKind};
use crate::row::{Check, Expected, MadeBy, RowSource, Vectors};
use quantity::Grade;
use toml_edit::{Document, Item, Table};

/// Reads one file: the checks that are whole, and everything that is wrong.
pub(crate) fn read_vectors(file: &str, text: &str) -> (Vectors, Vec<Fault>) {
    let mut reader = Reader { file, text, faults: Vec::new() };
    let vectors = reader.vectors();
    (vectors, reader.faults)
}

const FILE_KEYS: &[&str] = &["source", "made_by", "check"];
const SOURCE_KEYS: &[&str] = &["title", "place", "grade"];
const CHECK_KEYS: &[&str] = &["kind", "asks", "given", "expect", "within", "source", "skip"];

struct Reader<'a> {
    file: &'a str,
    text: &'a str,
    faults: Vec<Fault>,
}

impl Reader<'_> {
    fn vectors(&mut self) -> Vectors {
        let document = match Document::parse(self.text.to_owned()) {
            Ok(document) => document,
            Err(error) => {
                let line = self.line_at(error.span().map(|span| span.start));
                self.fault(line, FaultKind::Toml(error.message().replace('\n', "; ")));
                return Vectors::default();
            }
        };
        let root = document.as_table();
        self.only_known(root, "the file", FILE_KEYS);
        let made_by = self.made_by(root);
        let rows: Vec<&Table> = root
            .get("check")
            .and_then(Item::as_array_of_tables)
            .into_iter()
            .flat_map(|rows| rows.iter())
            .collect();
        if rows.is_empty() {
            self.fault(0, FaultKind::NoRows);
        }
        let shared = root.get("source").and_then(Item::as_table);
        if let Some(shared) = shared {
            self.only_known(shared, "source", SOURCE_KEYS);
        }

        let mut checks: Vec<Check> = Vec::new();
        for row in rows {
            let before = self.faults.len();
            let check = self.check(row, shared);
            if let Some(check) = check.filter(|_| self.faults.len() == before) {
                if checks.iter().any(|other| other.asks == check.asks) {
                    self.fault(check.line, FaultKind::AskedTwice(check.asks.clone()));
                } else {
                    checks.push(check);
                }
            }
        }
        Vectors { made_by, checks }
    }

    fn made_by(&mut self, root: &Table) -> Option<MadeBy> {
        let item = root.get("made_by")?;
        let line = self.line_of(item);
        let table = item.clone().into_table().unwrap_or_default();
        self.only_known(&table, "made_by", &["script", "versions"]);
        let script = self.words(&table, line, "made_by", "script", "the file that makes these vectors");
        let versions = table.get("versions").map(listed).filter(|versions| !versions.is_empty());
        if versions.is_none() {
            self.fault(
                line,
                FaultKind::Missing("made_by", "versions", "what the script called, with versions"),
            );
        }
        Some(MadeBy { script: script?, versions: versions? })
    }

    fn check(&mut self, row: &Table, shared: Option<&Table>) -> Option<Check> {
        let line = self.line_at(row.span().map(|span| span.start));
        self.only_known(row, "check", CHECK_KEYS);
        let kind = self.words(row, line, "check", "kind", "what the adapter is asked for");
        let asks = self.words(row, line, "check", "asks", "the question in words");
        let source = self.source(row, line, shared);
        let given = self.table(row, line, "given");
        let expect = self.table(row, line, "expect");
        let within = self.table(row, line, "within");
        let because = within
            .as_ref()
            .and_then(|within| self.words(within, line, "within", "because", "why that much may differ"));
        let skip = match row.get("skip") {
            None => None,
            Some(_) => {
                Some(self.words(row, line, "check", "skip", "a skip without a reason is a lost check")?)
            }
        };
        let expected = self.expected(line, &expect?, &within?);
        Some(Check {
            line,
            kind: kind?,
            asks: asks?,
            given: given?,
            expected,
            because: because?,
            source: source?,
            skip,
        })
    }

    fn source(&mut self, row: &Table, line: usize, shared: Option<&Table>) -> Option<RowSource> {
        let own = row.get("source").map(|item| item.clone().into_table().unwrap_or_default());
        if let Some(own) = &own {
            self.only_known(own, "source", SOURCE_KEYS);
        }
        let mut merged = shared.cloned().unwrap_or_default();
        for (key, item) in own.iter().flat_map(|own| own.iter()) {
            merged.insert(key, item.clone());
        }
        let title = self.words(&merged, line, "source", "title", "the document with its edition");
        let place = self.words(&merged, line, "source", "place", "table, equation, clause or call");
        let grade = self.words(&merged, line, "source", "grade", "how far the source goes")?;
        let known = Grade::ALL.into_iter().find(|known| known.words() == grade);
        if known.is_none() {
            let words: Vec<_> = Grade::ALL.iter().map(|grade| grade.words()).collect();
            self.fault(line, FaultKind::UnknownGrade(grade, words.join(", ")));
        }
        Some(RowSource { title: title?, place: place?, grade: known? })
    }

    fn expected(&mut self, line: usize, expect: &Table, within: &Table) -> Vec<Expected> {
        if expect.is_empty() {
            self.fault(line, FaultKind::MissingTable("expect"));
        }
        for (key, _) in within.iter().filter(|(key, _)| *key != "because" && !expect.contains_key(key)) {
            self.fault(line, FaultKind::NotExpected(key.to_owned()));
        }
        let mut expected = Vec::new();
        for (key, item) in expect.iter() {
            let value = self.number(line, key, item, "expect");
            let Some(item) = within.get(key) else {
                self.fault(line, FaultKind::NoTolerance(key.to_owned()));
                continue;
            };
            let allowed = self.number(line, key, item, "within");
            if allowed.is_some_and(|allowed| !allowed.is_finite() || allowed < 0.0) {
                self.fault(line, FaultKind::BadTolerance(key.to_owned()));
            }
            if let (Some(value), Some(allowed)) = (value, allowed) {
                expected.push(Expected { key: key.to_owned(), value, allowed });
            }
        }
        expected
    }

    fn number(&mut self, line: usize, key: &str, item: &Item, of: &'static str) -> Option<f64> {
        let number = item.as_float().or_else(|| item.as_integer().map(|whole| whole as f64));
        if number.is_none_or(f64::is_nan) {
            self.fault(line, FaultKind::NoNumber(key.to_owned(), of));
            return None;
        }
        number
    }

    fn words(
        &mut self,
        table: &Table,
        line: usize,
        of: &'static str,
        key: &'static str,
        meaning: &'static str,
    ) -> Option<String> {
        let words = table.get(key).and_then(Item::as_str).map(str::trim).filter(|words| !words.is_empty());
        if words.is_none() {
            self.fault(line, FaultKind::Missing(of, key, meaning));
        }
        words.map(str::to_owned)
    }

    fn table(&mut self, row: &Table, line: usize, key: &'static str) -> Option<Table> {
        let table = row.get(key).and_then(|item| item.clone().into_table().ok());
        if table.is_none() {
            self.fault(line, FaultKind::MissingTable(key));
        }
        table
    }

    fn only_known(&mut self, table: &Table, of: &'static str, known: &[&str]) {
        for (key, item) in table.iter().filter(|(key, _)| !known.contains(key)) {
            let line = table
                .key(key)
                .and_then(|key| key.span())
                .map_or_else(|| self.line_of(item), |span| self.line_at(Some(span.start)));
            self.fault(line, FaultKind::UnknownKey(key.to_owned(), of, known.join(", ")));
        }
    }

    fn line_of(&self, item: &Item) -> usize {
        self.line_at(item.span().map(|span| span.start))
    }

    fn line_at(&self, offset: Option<usize>) -> usize {
        offset.map_or(0, |offset| self.text[..offset.min(self.text.len())].matches('\n').count() + 1)
    }

    fn fault(&mut self, line: usize, kind: FaultKind) {
        self.faults.push(Fault { file: self.file.to_owned(), line, kind });
    }
}

/// A text, a list of texts or a table of texts, as one line.
fn listed(item: &Item) -> String {
    if let Some(text) = item.as_str() {
        return text.trim().to_owned();
    }
    if let Some(list) = item.as_array() {
        return list.iter().filter_map(|value| value.as_str()).collect::<Vec<_>>().join(", ");
    }
    let table = item.clone().into_table().unwrap_or_default();
    let pairs = table.iter().filter_map(|(name, version)| Some(format!("{name} {}", version.as_str()?)));
    pairs.collect::<Vec<_>>().join(", ")
}

#[cfg(test)]
#[path = "read_tests.rs"]
mod tests;
