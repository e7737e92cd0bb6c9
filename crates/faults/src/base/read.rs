//! From a text of fault knowledge to [`Base`], every fault told.

use super::fault::BaseFaultKind;
use super::reader::{
    CHANCE, Entry, FACTOR, LEAK, Limits, MINUTES, PARTS, Reader, WEIGHT, WORKS, key_at, start,
};
use super::rows::{circle, rows};
use super::trial;
use super::{
    BASE_FORMAT, Base, BaseFault, Basis, Cause, Caution, Complaint, FLEETS, Fact, Raise, Repair, Side, Sign,
    Spare,
};
use toml_edit::{Document, Item, TableLike};

/// The largest text that is read.
const BYTES_MOST: usize = 4 << 20;
/// Sorts of tables by id, in the order in which they are read.
const SORTS: [&str; 9] =
    ["caution", "fact", "sign", "cause", "test", "repair", "complaint", "spare", "event"];
const TOP: [&str; 12] = [
    "creance_faults",
    "sound_divides",
    "minutes_per_part",
    "hand_over_minutes",
    "complaint_leak",
    "perhaps",
    "lore_visits",
    "lore_looks",
    "fluke",
    "settle_minutes",
    "basis",
    "tools",
];
const ROWS: [&str; 3] = ["clash", "alike", "never"];

/// The names of everything, before any of it is read in full.
#[derive(Default)]
pub(super) struct Names {
    pub cautions: Vec<String>,
    pub facts: Vec<String>,
    pub signs: Vec<String>,
    pub causes: Vec<String>,
    pub tests: Vec<String>,
    pub repairs: Vec<String>,
}

pub(super) fn read(text: &str, under: Option<&Base>) -> (Base, Vec<BaseFault>) {
    let mut reader = Reader::of(text);
    let mut base = under.cloned().unwrap_or_default();
    if text.len() > BYTES_MOST {
        let what = BaseFaultKind::TooLarge { bytes: text.len(), most: BYTES_MOST };
        reader.tell(0, "", what);
        return (base, reader.faults);
    }
    let document = match Document::parse(text) {
        Ok(document) => document,
        Err(error) => {
            let at = error.span().map_or(0, |span| span.start);
            reader.tell(at, "", BaseFaultKind::Syntax { message: error.message().to_owned() });
            return (base, reader.faults);
        }
    };
    let root = Entry { called: String::new(), table: document.as_table(), at: 0 };
    match root.table.get("creance_faults") {
        None => reader.tell(0, "", BaseFaultKind::Format { given: None }),
        Some(item) if item.as_integer() == Some(BASE_FORMAT) => {}
        Some(item) => {
            let given = item.to_string().trim().to_owned();
            reader.tell(start(item).unwrap_or(0), "", BaseFaultKind::Format { given: Some(given) });
            return (base, reader.faults);
        }
    }
    let known: Vec<&str> = TOP.iter().chain(&SORTS).chain(&ROWS).chain(&["rule"]).copied().collect();
    reader.only(&root, &known);
    head(&mut reader, &root, &mut base, under);
    let names = names(&mut reader, &root, &base);

    for (id, entry) in entries(&mut reader, &root, "caution") {
        reader.only(&entry, &["says"]);
        let says = reader.words(&entry, "says", true);
        put(&mut base.cautions, Caution { id, says }, |caution| &caution.id);
    }
    for (id, entry) in entries(&mut reader, &root, "fact") {
        reader.only(&entry, &["is", "usually", "from"]);
        let fact = Fact {
            id,
            is: reader.words(&entry, "is", true),
            usually: reader.yes(&entry, "usually"),
            from: reader.words(&entry, "from", true),
        };
        put(&mut base.facts, fact, |fact| &fact.id);
    }
    for sort in ["event", "rule"] {
        for (id, entry) in entries(&mut reader, &root, sort) {
            let raise = raise(&mut reader, &entry, id, sort, &names);
            let list = if sort == "event" { &mut base.events } else { &mut base.rules };
            put(list, raise, |raise| &raise.id);
        }
    }
    for (id, entry) in entries(&mut reader, &root, "sign") {
        reader.only(&entry, &["is", "leak", "minutes", "basis", "source"]);
        let sign = Sign {
            id,
            is: reader.words(&entry, "is", true),
            leak: reader.number(&entry, "leak", LEAK, None),
            minutes: reader.number(&entry, "minutes", MINUTES, None),
            basis: basis(&mut reader, &entry),
        };
        put(&mut base.signs, sign, |sign| &sign.id);
    }
    for (id, entry) in entries(&mut reader, &root, "cause") {
        reader.only(&entry, &["is", "side", "weight", "needs", "signs", "basis", "source"]);
        let words: Vec<&str> = Side::ALL.iter().map(|side| side.word()).collect();
        let cause = Cause {
            id,
            is: reader.words(&entry, "is", true),
            side: Side::ALL[reader.one_of(&entry, "side", &words, None)],
            weight: reader.number(&entry, "weight", WEIGHT, None),
            needs: reader.places(&entry, "needs", "fact", &names.facts),
            signs: reader.numbers(&entry, "signs", "sign", &names.signs, CHANCE),
            basis: basis(&mut reader, &entry),
        };
        put(&mut base.causes, cause, |cause| &cause.id);
    }
    for (id, entry) in entries(&mut reader, &root, "test") {
        if let Some(test) = trial::test(&mut reader, &entry, id, &names, &base.tools) {
            put(&mut base.tests, test, |test| &test.id);
        }
    }
    for (id, entry) in entries(&mut reader, &root, "repair") {
        let keys = ["do", "mends", "minutes", "parts", "works", "first", "prove", "basis", "source"];
        reader.only(&entry, &keys);
        let repair = Repair {
            id,
            does: reader.words(&entry, "do", true),
            mends: reader.places(&entry, "mends", "cause", &names.causes),
            minutes: reader.number(&entry, "minutes", MINUTES, None),
            parts: reader.number(&entry, "parts", PARTS, Some(0.0)),
            works: reader.number(&entry, "works", WORKS, None),
            first: reader.places(&entry, "first", "caution", &names.cautions),
            prove: reader.words(&entry, "prove", false),
            basis: basis(&mut reader, &entry),
        };
        if repair.mends.is_empty() {
            reader.tell(entry.at, &entry.called, BaseFaultKind::MustSay { key: "mends" });
        }
        put(&mut base.repairs, repair, |repair| &repair.id);
    }
    for (id, entry) in entries(&mut reader, &root, "complaint") {
        reader.only(&entry, &["words", "sign", "also", "usually", "wrongly", "first"]);
        let sign = reader.words(&entry, "sign", true);
        let at = entry.table.get("sign").and_then(start).unwrap_or(entry.at);
        let complaint = Complaint {
            id,
            words: reader.words(&entry, "words", true),
            sign: reader.place(&entry.called, at, "sign", &sign, &names.signs).unwrap_or(0),
            also: reader.places(&entry, "also", "sign", &names.signs),
            usually: reader.words(&entry, "usually", false),
            wrongly: reader.words(&entry, "wrongly", false),
            first: reader.words(&entry, "first", false),
        };
        put(&mut base.complaints, complaint, |complaint| &complaint.id);
    }
    for (id, entry) in entries(&mut reader, &root, "spare") {
        let spare = spare(&mut reader, &entry, id, &names);
        put(&mut base.spares, spare, |spare| &spare.id);
    }
    rows(&mut reader, &root, &mut base, &names);
    circle(&mut reader, &root, &base);
    (base, reader.faults)
}

fn head(reader: &mut Reader<'_>, root: &Entry<'_>, base: &mut Base, under: Option<&Base>) {
    let was = |read: fn(&Base) -> f64| under.map(read);
    base.sound_divides = reader.number(
        root,
        "sound_divides",
        Limits(1.0, 100.0, "a divisor from 1 to 100"),
        was(|b| b.sound_divides),
    );
    base.minutes_per_part = reader.number(
        root,
        "minutes_per_part",
        Limits(0.0, 1e4, "minutes from 0 to 10000"),
        was(|b| b.minutes_per_part),
    );
    base.hand_over_minutes = reader.number(
        root,
        "hand_over_minutes",
        Limits(1.0, 1e5, "minutes from 1 to 100000"),
        was(|b| b.hand_over_minutes),
    );
    base.complaint_leak = reader.number(root, "complaint_leak", CHANCE, was(|b| b.complaint_leak));
    base.perhaps =
        reader.number(root, "perhaps", Limits(0.5, 1.0, "a chance from 0.5 to 1"), was(|b| b.perhaps));
    let visits = Limits(0.0, 1e6, "a count from 0 to 1000000");
    base.lore_visits = reader.number(root, "lore_visits", visits, was(|b| b.lore_visits));
    base.lore_looks = reader.number(root, "lore_looks", visits, was(|b| b.lore_looks));
    let minutes = Limits(0.0, 1440.0, "minutes from 0 to 1440");
    base.settle_minutes = reader.number(root, "settle_minutes", minutes, was(|b| b.settle_minutes));
    base.fluke = reader.number(root, "fluke", LEAK, was(|b| b.fluke));
    for (tool, _) in reader.list(root, "tools") {
        if !base.tools.contains(&tool) {
            base.tools.push(tool);
        }
    }
    if root.table.contains_key("basis") {
        reader.one_of(root, "basis", &["expert estimate"], None);
    }
}

/// The tables of one sort; those that are no tables are told of.
fn entries<'d>(reader: &mut Reader<'_>, root: &Entry<'d>, sort: &'static str) -> Vec<(String, Entry<'d>)> {
    let Some(item) = root.table.get(sort) else { return Vec::new() };
    let Some(tables) = item.as_table_like() else {
        let what = BaseFaultKind::Value {
            key: sort.to_owned(),
            given: "a single value".to_owned(),
            wanted: format!("tables by id such as [{sort}.ID]"),
        };
        reader.tell(start(item).unwrap_or(0), "", what);
        return Vec::new();
    };
    let mut found = Vec::new();
    for (id, item) in tables.iter() {
        let at = key_at(tables, id).or(start(item)).unwrap_or(0);
        let called = format!("{sort} \"{id}\"");
        match item.as_table_like() {
            Some(table) => found.push((id.to_owned(), Entry { called, table, at })),
            None => {
                let what = BaseFaultKind::Value {
                    key: id.to_owned(),
                    given: item.to_string().trim().chars().take(40).collect(),
                    wanted: format!("a table with the heading [{sort}.{id}]"),
                };
                reader.tell(at, &called, what);
            }
        }
    }
    found
}

fn is_id(text: &str) -> bool {
    text.len() <= 60
        && text.starts_with(|first: char| first.is_ascii_lowercase())
        && text.chars().all(|sign| sign.is_ascii_lowercase() || sign.is_ascii_digit() || sign == '_')
}

fn names(reader: &mut Reader<'_>, root: &Entry<'_>, base: &Base) -> Names {
    let mut gather = |sort: &'static str, mut names: Vec<String>| {
        let tables = root.table.get(sort).and_then(Item::as_table_like);
        for (id, item) in tables.into_iter().flat_map(TableLike::iter) {
            if !is_id(id) {
                let at = tables.and_then(|tables| key_at(tables, id)).or(start(item)).unwrap_or(0);
                reader.tell(at, sort, BaseFaultKind::BadId { id: id.to_owned() });
            }
            if !names.iter().any(|name| name == id) {
                names.push(id.to_owned());
            }
        }
        names
    };
    let cautions = gather("caution", base.cautions.iter().map(|caution| caution.id.clone()).collect());
    let facts = gather("fact", base.facts.iter().map(|fact| fact.id.clone()).collect());
    let signs = gather("sign", base.signs.iter().map(|sign| sign.id.clone()).collect());
    let causes = gather("cause", base.causes.iter().map(|cause| cause.id.clone()).collect());
    let tests = gather("test", base.tests.iter().map(|test| test.id.clone()).collect());
    let repairs = gather("repair", base.repairs.iter().map(|repair| repair.id.clone()).collect());
    gather("complaint", Vec::new());
    gather("spare", Vec::new());
    Names { cautions, facts, signs, causes, tests, repairs }
}

/// Puts an entry in the place of the one of its id, or at the end.
fn put<T>(list: &mut Vec<T>, entry: T, id: fn(&T) -> &String) {
    match list.iter().position(|old| id(old) == id(&entry)) {
        Some(place) => list[place] = entry,
        None => list.push(entry),
    }
}

pub(super) fn basis(reader: &mut Reader<'_>, entry: &Entry<'_>) -> Basis {
    match reader.one_of(entry, "basis", &["expert estimate", "sourced"], None) {
        1 => Basis::Sourced(reader.words(entry, "source", true)),
        _ => Basis::ExpertEstimate,
    }
}

fn raise(reader: &mut Reader<'_>, entry: &Entry<'_>, id: String, sort: &str, names: &Names) -> Raise {
    let tight = if sort == "rule" {
        reader.only(entry, &["raises", "tight", "basis", "source"]);
        reader.one_of(entry, "tight", &["nothing", "root"], Some(0)) == 1
    } else {
        reader.only(entry, &["raises", "basis", "source"]);
        reader.place(&entry.called, entry.at, "fact", &id, &names.facts);
        false
    };
    let factors = reader.numbers(entry, "raises", "cause", &names.causes, FACTOR);
    Raise { id, factors, tight, basis: basis(reader, entry) }
}

fn spare(reader: &mut Reader<'_>, entry: &Entry<'_>, id: String, names: &Names) -> Spare {
    let keys = ["is", "called", "repairs", "per_hundred", "shape", "parts", "grams", "basis", "source"];
    reader.only(entry, &keys);
    let fleets: Vec<String> = FLEETS.iter().map(|fleet| (*fleet).to_owned()).collect();
    let rates = Limits(0.0001, 1000.0, "failures in a hundred flights, from 0.0001 to 1000");
    let mut per_hundred = [f64::NAN; 4];
    for (fleet, rate) in reader.numbers(entry, "per_hundred", "class of craft", &fleets, rates) {
        per_hundred[fleet] = rate;
    }
    if per_hundred.iter().any(|rate| rate.is_nan()) {
        let what = BaseFaultKind::MustSay { key: "per_hundred = { of all four classes }" };
        reader.tell(entry.at, &entry.called, what);
        per_hundred = per_hundred.map(|rate| if rate.is_nan() { 1.0 } else { rate });
    }
    Spare {
        id,
        is: reader.words(entry, "is", true),
        called: reader.list(entry, "called").into_iter().map(|(word, _)| word.to_lowercase()).collect(),
        repairs: reader.places(entry, "repairs", "repair", &names.repairs),
        per_hundred,
        shape: reader.number(entry, "shape", Limits(0.05, 1000.0, "a shape from 0.05 to 1000"), None),
        parts: reader.number(entry, "parts", PARTS, None),
        grams: reader.number(entry, "grams", Limits(0.0, 1e5, "grams from 0 to 100000"), None),
        basis: basis(reader, entry),
    }
}
