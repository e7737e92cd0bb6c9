//! What a vector file says, and all that is wrong with it.
//!
//! Reads one file into checks (the layout is in the crate's head) and reports every fault in one pass, with
//! its line. A row with a fault is not run: a check that cannot be trusted is not counted as one.
//! Left out on purpose: whether the values agree, which is the runner's business.

use quantity::Grade;
use serde::Serialize;
use toml_edit::{Document, Item, Table};

use crate::fault::{Fault, FaultKind};

/// Where an expected value comes from.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct RowSource {
    /// The document with its edition, or the program with its version.
    pub title: String,
    /// Table, equation, clause or call.
    pub place: String,
    /// How far it goes.
    pub grade: Grade,
}

/// The script that made a file of vectors.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct MadeBy {
    /// Its name, beside the vectors.
    pub script: String,
    /// The versions of what it called.
    pub versions: String,
}

/// One value that is expected, and how far ours may differ from it.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Expected {
    pub key: String,
    pub value: f64,
    pub allowed: f64,
}

/// One row, fit to be run.
#[derive(Clone, Debug)]
pub(crate) struct Check {
    pub line: usize,
    pub kind: String,
    pub asks: String,
    pub given: Table,
    pub expected: Vec<Expected>,
    pub because: String,
    pub source: RowSource,
    pub skip: Option<String>,
}

/// One file of vectors.
#[derive(Clone, Debug, Default)]
pub(crate) struct Vectors {
    pub made_by: Option<MadeBy>,
    pub checks: Vec<Check>,
}

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
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    const SOUND: &str = r#"
[source]
title = "a handbook, 3rd edition"
place = "table 2"
grade = "published value"

[made_by]
script = "make.py"
versions = { numpy = "2.4.6" }

[[check]]
kind = "sum"
asks = "one and two"
given = { a = 1, b = 2.0 }
expect = { sum = 3 }
within = { sum = 0.001, because = "printed to three places" }
"#;

    /// The faults after one text in the sound file is replaced by another.
    fn check(sound: &str, spoilt: &str, expected: &[&str]) {
        assert!(SOUND.contains(sound), "the sound file has no {sound:?}");
        let (_, faults) = read_vectors("folder/file.toml", &SOUND.replace(sound, spoilt));
        let words: Vec<String> = faults.iter().map(ToString::to_string).collect();
        assert_eq!(words, expected);
    }

    #[test]
    fn the_sound_file_is_read_whole() {
        let (vectors, faults) = read_vectors("folder/file.toml", SOUND);
        assert_eq!(faults, []);
        assert_eq!(
            vectors.made_by,
            Some(MadeBy { script: "make.py".into(), versions: "numpy 2.4.6".into() })
        );
        let [check] = &vectors.checks[..] else { panic!("one row, not {}", vectors.checks.len()) };
        assert_eq!((check.line, check.kind.as_str(), check.skip.as_deref()), (11, "sum", None));
        assert_eq!(check.expected, [Expected { key: "sum".into(), value: 3.0, allowed: 0.001 }]);
        assert_eq!(check.source.grade, Grade::PublishedValue);
        assert_eq!(check.given.get("b").and_then(Item::as_float), Some(2.0));
    }

    #[test]
    fn a_check_overrides_the_source_line_by_line() {
        let text = SOUND.replace(
            "kind = \"sum\"",
            "kind = \"sum\"\nsource = { place = \"table 7\", grade = \"memory\" }",
        );
        let (vectors, faults) = read_vectors("folder/file.toml", &text);
        assert_eq!(faults, []);
        let source = &vectors.checks[0].source;
        assert_eq!((source.title.as_str(), source.place.as_str()), ("a handbook, 3rd edition", "table 7"));
        assert_eq!(source.grade, Grade::Memory);
    }

    #[test]
    fn broken_toml_names_file_and_line() {
        let (_, faults) = read_vectors("folder/file.toml", "[source]\ntitle = \"open\nplace = 1\n");
        assert_eq!(faults.len(), 1);
        assert!(faults[0].to_string().starts_with("folder/file.toml:2: "), "{}", faults[0]);
    }

    #[test]
    fn a_file_without_rows_is_a_fault() {
        let head = SOUND.split("[[check]]").next().unwrap();
        let (_, faults) = read_vectors("folder/file.toml", head);
        assert_eq!(faults.iter().map(|fault| &fault.kind).collect::<Vec<_>>(), [&FaultKind::NoRows]);
        let (_, faults) = read_vectors("folder/file.toml", "");
        assert_eq!(faults.len(), 1);
    }

    #[test]
    fn a_row_without_source_is_a_fault() {
        check(
            "title = \"a handbook, 3rd edition\"\nplace = \"table 2\"\n",
            "",
            &[
                "folder/file.toml:9: source needs `title = \"…\"`: the document with its edition",
                "folder/file.toml:9: source needs `place = \"…\"`: table, equation, clause or call",
            ],
        );
        check(
            "place = \"table 2\"",
            "place = \" \"",
            &["folder/file.toml:11: source needs `place = \"…\"`: table, equation, clause or call"],
        );
    }

    #[test]
    fn an_unknown_grade_is_a_fault() {
        check(
            "published value",
            "hearsay",
            &[
                "folder/file.toml:11: grade `hearsay` is unknown; take one of: published value, reference program, \
             worked from the standard, common practice, memory",
            ],
        );
    }

    #[test]
    fn a_tolerance_without_reason_is_a_fault() {
        check(
            ", because = \"printed to three places\"",
            "",
            &["folder/file.toml:11: within needs `because = \"…\"`: why that much may differ"],
        );
    }

    #[test]
    fn a_row_without_tolerance_is_a_fault() {
        check(
            "sum = 0.001, ",
            "",
            &["folder/file.toml:11: `sum` is expected but `within` says no tolerance for it"],
        );
        check(
            "within = { sum = 0.001, because = \"printed to three places\" }",
            "",
            &["folder/file.toml:11: check needs `within = { … }`"],
        );
        check(
            "sum = 0.001",
            "sum = inf",
            &["folder/file.toml:11: tolerance of `sum` must be a finite number of 0 or more"],
        );
        check(
            "sum = 0.001",
            "sum = -1",
            &["folder/file.toml:11: tolerance of `sum` must be a finite number of 0 or more"],
        );
    }

    #[test]
    fn a_tolerance_for_nothing_is_a_fault() {
        check(
            "sum = 0.001",
            "sum = 0.001, total = 1",
            &["folder/file.toml:11: `total` has a tolerance but is not expected"],
        );
    }

    #[test]
    fn a_row_that_expects_nothing_is_a_fault() {
        check(
            "expect = { sum = 3 }",
            "expect = {}",
            &[
                "folder/file.toml:11: check needs `expect = { … }`",
                "folder/file.toml:11: `sum` has a tolerance but is not expected",
            ],
        );
        check("sum = 3", "sum = \"3\"", &["folder/file.toml:11: `sum` of expect must be a number"]);
        check("sum = 3", "sum = nan", &["folder/file.toml:11: `sum` of expect must be a number"]);
    }

    #[test]
    fn a_skip_without_reason_is_a_fault() {
        for skip in ["skip = \"\"", "skip = true"] {
            check(
                "kind = \"sum\"",
                &format!("kind = \"sum\"\n{skip}"),
                &["folder/file.toml:11: check needs `skip = \"…\"`: a skip without a reason is a lost check"],
            );
        }
    }

    #[test]
    fn a_key_that_nobody_reads_is_a_fault() {
        check(
            "kind = \"sum\"",
            "kind = \"sum\"\nexpects = { sum = 3 }",
            &[
                "folder/file.toml:13: `expects` is no key of check; known are kind, asks, given, expect, within, source, skip",
            ],
        );
    }

    #[test]
    fn the_same_question_twice_is_a_fault() {
        let row = &SOUND[SOUND.find("[[check]]").unwrap()..];
        let (vectors, faults) = read_vectors("folder/file.toml", &format!("{SOUND}{row}"));
        assert_eq!(vectors.checks.len(), 1);
        assert_eq!(faults[0].kind, FaultKind::AskedTwice("one and two".into()));
    }

    #[test]
    fn vectors_made_by_a_script_note_its_versions() {
        check(
            "versions = { numpy = \"2.4.6\" }",
            "",
            &["folder/file.toml:7: made_by needs `versions = \"…\"`: what the script called, with versions"],
        );
    }
}
