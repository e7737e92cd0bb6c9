//! Rows without ids (pairs that cannot be, causes alike, what must never be tried), and tests that want one another in a circle.

use super::fault::BaseFaultKind;
use super::read::Names;
use super::reader::{Entry, Reader, key_at, start};
use super::{Alike, Base, Clash, Half};
use toml_edit::Item;

pub(super) fn rows(reader: &mut Reader<'_>, root: &Entry<'_>, base: &mut Base, names: &Names) {
    for (sort, keys) in
        [("clash", &["both", "note"][..]), ("alike", &["causes", "note"]), ("never", &["says"])]
    {
        let Some(item) = root.table.get(sort) else { continue };
        let Some(tables) = item.as_array_of_tables() else {
            let what = BaseFaultKind::Value {
                key: sort.to_owned(),
                given: "something else".to_owned(),
                wanted: format!("rows with the heading [[{sort}]]"),
            };
            reader.tell(start(item).unwrap_or(0), "", what);
            continue;
        };
        for table in tables.iter() {
            let at = table.span().map_or(0, |span| span.start);
            let entry = Entry { called: sort.to_owned(), table, at };
            reader.only(&entry, keys);
            match sort {
                "clash" => {
                    let halves: Vec<Half> = reader
                        .list(&entry, "both")
                        .iter()
                        .filter_map(|(text, at)| half(reader, &entry, text, *at, base, names))
                        .collect();
                    let note = reader.words(&entry, "note", false);
                    match <[Half; 2]>::try_from(halves) {
                        Ok(both) => base.clashes.push(Clash { both, note }),
                        Err(_) => reader.tell(
                            at,
                            "clash",
                            BaseFaultKind::MustSay { key: "both = [\"ID WORD\", \"ID WORD\"]" },
                        ),
                    }
                }
                "alike" => {
                    let causes = reader.places(&entry, "causes", "cause", &names.causes);
                    let note = reader.words(&entry, "note", false);
                    base.alike.push(Alike { causes, note });
                }
                _ => base.nevers.push(reader.words(&entry, "says", true)),
            }
        }
    }
}

fn half(
    reader: &mut Reader<'_>,
    entry: &Entry<'_>,
    text: &str,
    at: usize,
    base: &Base,
    names: &Names,
) -> Option<Half> {
    let (id, word) = text.split_once(' ').unwrap_or((text, ""));
    if let Some(sign) = names.signs.iter().position(|name| name == id) {
        match word {
            "seen" => return Some(Half::Sign(sign, true)),
            "not_seen" => return Some(Half::Sign(sign, false)),
            _ => {}
        }
    } else if let Some(test) = base.test(id) {
        if let Some(outcome) = base.tests[test].outcomes().position(|outcome| outcome == word) {
            return Some(Half::Test(test, outcome));
        }
    } else {
        reader.place(&entry.called, at, "sign or test", id, &[&names.signs[..], &names.tests[..]].concat());
        return None;
    }
    let what = BaseFaultKind::Value {
        key: "both".to_owned(),
        given: format!("\"{text}\""),
        wanted: "a sign with seen or not_seen, or a test with one of its outcomes".to_owned(),
    };
    reader.tell(at, &entry.called, what);
    None
}

/// Tells of the first circle among tests that want one another first.
pub(super) fn circle(reader: &mut Reader<'_>, root: &Entry<'_>, base: &Base) {
    let mut done = vec![false; base.tests.len()];
    for start_test in 0..base.tests.len() {
        let mut path: Vec<(usize, usize)> = vec![(start_test, 0)];
        while let Some((test, next)) = path.last().copied() {
            let after = &base.tests[test].after;
            if done[test] || next >= after.len() {
                done[test] = true;
                path.pop();
                continue;
            }
            if let Some(last) = path.last_mut() {
                last.1 += 1;
            }
            let wanted = after[next];
            if wanted >= base.tests.len() {
                continue; // A test that could not be read; told already.
            }
            if let Some(from) = path.iter().position(|(on_path, _)| *on_path == wanted) {
                let mut ids: Vec<String> =
                    path[from..].iter().map(|(at, _)| base.tests[*at].id.clone()).collect();
                ids.push(base.tests[wanted].id.clone());
                let tests = root.table.get("test").and_then(Item::as_table_like);
                let at = tests.and_then(|tests| key_at(tests, &base.tests[test].id)).unwrap_or(0);
                let called = format!("test \"{}\"", base.tests[test].id);
                reader.tell(at, &called, BaseFaultKind::Circle { ids });
                return;
            }
            path.push((wanted, 0));
        }
    }
}
