//! Reading a test with its outcomes and their chances.

use super::fault::BaseFaultKind;
use super::read::{Names, basis};
use super::reader::{CHANCE, Entry, Limits, MINUTES, PARTS, Reader, key_at, start};
use super::{Hindrance, Outcome, Reads, Test};
use toml_edit::Item;

/// How far a sum of chances may be from 1: they are written with a few digits.
const SUM_SLACK: f64 = 1e-9;

pub(super) fn test(
    reader: &mut Reader<'_>,
    entry: &Entry<'_>,
    id: String,
    names: &Names,
    tools: &[String],
) -> Option<Test> {
    let keys = [
        "do",
        "minutes",
        "parts",
        "risk",
        "tools",
        "needs",
        "first",
        "never_while",
        "after",
        "stands_for",
        "reads",
        "outcomes",
        "chance",
        "basis",
        "source",
    ];
    reader.only(entry, &keys);
    let does = reader.words(entry, "do", true);
    let minutes = reader.number(entry, "minutes", MINUTES, None);
    let parts = reader.number(entry, "parts", PARTS, Some(0.0));
    let risk = reader.number(entry, "risk", Limits(0.0, 3.0, "a risk of 0, 1, 2 or 3"), None);
    let reads = [Reads::Fault, Reads::Cure][reader.one_of(entry, "reads", &["fault", "cure"], None)];
    let needs = reader.places(entry, "needs", "fact", &names.facts);
    let first = reader.places(entry, "first", "caution", &names.cautions);
    let after = reader.places(entry, "after", "test", &names.tests);
    let tools = reader.places(entry, "tools", "tool", tools);
    let mut never_while = Vec::new();
    for (id, at) in reader.list(entry, "never_while") {
        if let Some(sign) = names.signs.iter().position(|name| *name == id) {
            never_while.push(Hindrance::Sign(sign));
        } else {
            let place = reader.place(&entry.called, at, "sign or fact", &id, &names.facts);
            never_while.extend(place.map(Hindrance::Fact));
        }
    }
    let stands_for = reader.place_of(entry, "stands_for", "repair", &names.repairs);
    let mut words = reader.list(entry, "outcomes").into_iter().map(|(word, _)| word).collect::<Vec<_>>();
    if !(2..=3).contains(&words.len()) || words.iter().any(|word| !is_id_loose(word)) {
        let what = BaseFaultKind::Value {
            key: "outcomes".to_owned(),
            given: format!("a list of {}", words.len()),
            wanted: "two or three words of letters, digits and _".to_owned(),
        };
        reader.tell(entry.table.get("outcomes").and_then(start).unwrap_or(entry.at), &entry.called, what);
        return None;
    }
    if reads == Reads::Cure && words.len() != 2 {
        let what = BaseFaultKind::Value {
            key: "outcomes".to_owned(),
            given: "a list of 3".to_owned(),
            wanted: "two words where the test reads \"cure\": gone or not".to_owned(),
        };
        reader.tell(entry.at, &entry.called, what);
        return None;
    }
    let shown = outcomes(reader, entry, names, &words)?;
    let last = words.pop().unwrap_or_default();
    let basis = basis(reader, entry);
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // Within 0 to 3 by its limits.
    let risk = risk as u8;
    Some(Test {
        id,
        does,
        minutes,
        parts,
        risk,
        tools,
        needs,
        first,
        never_while,
        after,
        reads,
        stands_for,
        shown,
        last,
        basis,
    })
}

/// An outcome may hold capitals and numbers too, such as `down_10_dB`.
fn is_id_loose(text: &str) -> bool {
    !text.is_empty()
        && text.len() <= 40
        && text.chars().all(|sign| sign.is_ascii_alphanumeric() || sign == '_')
}

/// The chances of every outcome but the last; the last may be given too, and then all must sum to 1.
fn outcomes(
    reader: &mut Reader<'_>,
    entry: &Entry<'_>,
    names: &Names,
    words: &[String],
) -> Option<Vec<Outcome>> {
    let Some(table) = entry.table.get("chance").and_then(Item::as_table_like) else {
        reader.tell(entry.at, &entry.called, BaseFaultKind::MustSay { key: "chance" });
        return None;
    };
    let chance = Entry { called: entry.called.clone(), table, at: entry.at };
    let known: Vec<&str> = words.iter().map(String::as_str).collect();
    reader.only(&chance, &known);
    let mut given = Vec::new();
    for word in words {
        let Some(item) = table.get(word) else {
            given.push(None);
            continue;
        };
        let Some(rows) = item.as_table_like() else {
            let what = BaseFaultKind::Value {
                key: word.clone(),
                given: "a single value".to_owned(),
                wanted: "a table with \"other\" and \"given\"".to_owned(),
            };
            reader.tell(start(item).unwrap_or(entry.at), &entry.called, what);
            return None;
        };
        let at = key_at(table, word).unwrap_or(entry.at);
        let rows = Entry { called: format!("{}, outcome \"{word}\"", entry.called), table: rows, at };
        reader.only(&rows, &["other", "given"]);
        given.push(Some(Outcome {
            word: word.clone(),
            other: reader.number(&rows, "other", CHANCE, None),
            given: reader.numbers(&rows, "given", "cause", &names.causes, CHANCE),
        }));
    }
    let last = given.pop().flatten();
    let Some(shown) = given.into_iter().collect::<Option<Vec<Outcome>>>() else {
        reader.tell(
            entry.at,
            &entry.called,
            BaseFaultKind::MustSay { key: "chance of every outcome but the last" },
        );
        return None;
    };
    let at = entry.table.get("chance").and_then(start).unwrap_or(entry.at);
    sums(reader, entry, at, names, &shown, last.as_ref());
    Some(shown)
}

fn sums(
    reader: &mut Reader<'_>,
    entry: &Entry<'_>,
    at: usize,
    names: &Names,
    shown: &[Outcome],
    last: Option<&Outcome>,
) {
    let mut tell = |of: &str, sum: f64| {
        let wrong = if last.is_some() { (sum - 1.0).abs() > 1e-6 } else { sum > 1.0 + SUM_SLACK };
        if wrong {
            let what = BaseFaultKind::Sum { of: of.to_owned(), sum, whole: last.is_some() };
            reader.tell(at, &entry.called, what);
        }
    };
    tell("other", shown.iter().chain(last).map(|outcome| outcome.other).sum());
    for (place, name) in names.causes.iter().enumerate() {
        let chance =
            |outcome: &Outcome| outcome.given.iter().find(|(cause, _)| *cause == place).map(|(_, p)| *p);
        if shown.iter().chain(last).any(|outcome| chance(outcome).is_some()) {
            let sum = shown.iter().chain(last).map(|outcome| chance(outcome).unwrap_or(outcome.other)).sum();
            // A listed cause that leaves an outcome out takes that outcome's "other", here as in the reckoning below it.
            tell(name, sum);
        }
    }
}
