//! Laws of sheets: reading takes back what writing gave, rewriting touches what changed and no more.
#![allow(clippy::unwrap_used)]

mod random_craft;

use craft::sheet::{Severity, read_sheet_bytes};
use craft::{Craft, Edit, apply, faults, read_sheet, rewrite_sheet, write_sheet};
use proptest::prelude::*;
use random_craft::{Draw, random_craft, with_remarks};

/// An edit that this craft allows, if one is found soon.
fn some_edit(craft: &Craft, draw: &mut Draw) -> Option<(Edit, Craft)> {
    let texts = ["1 mm", "30 g, measured", "4", "yes", "left", "a new line", "0,0; 10,0; 0,10", "12 V"];
    for _ in 0..40 {
        let text = draw.chance(70).then(|| (*draw.pick(&texts)).to_owned());
        let part = (!craft.parts.is_empty()).then(|| draw.pick(&craft.parts).clone());
        let place = (!craft.places.is_empty()).then(|| draw.pick(&craft.places).clone());
        let edit = match (draw.below(10), part, place) {
            (0, _, _) => {
                let key = draw.pick(craft::schema::craft::FIELDS).key.to_owned();
                Edit::SetCraft { key, text }
            }
            (1, Some(part), _) => {
                let key = draw.pick(part.kind.def().fields).key.to_owned();
                Edit::SetPart { part: part.id, key, text }
            }
            (2, Some(part), _) if !part.kind.def().tables.is_empty() => {
                let table = draw.pick(part.kind.def().tables);
                let key = draw.pick(table.fields).key.to_owned();
                Edit::SetRow { part: part.id, table: table.key.to_owned(), row: draw.below(3), key, text }
            }
            (3, Some(part), _) if !part.kind.def().tables.is_empty() => {
                let table = draw.pick(part.kind.def().tables).key.to_owned();
                Edit::AddRow { part: part.id, table, values: Default::default() }
            }
            (4, Some(part), _) if !part.kind.def().tables.is_empty() => {
                let table = draw.pick(part.kind.def().tables).key.to_owned();
                Edit::RemoveRow { part: part.id, table, row: draw.below(3) }
            }
            (5, Some(part), _) => Edit::DuplicatePart { part: part.id, name: "A copy".to_owned() },
            (6, Some(part), _) => Edit::AddPlace { id: None, part: part.id, on: Some("body".to_owned()) },
            (7, _, Some(place)) => Edit::RemovePlace { place: place.id },
            (8, _, Some(place)) => {
                let key = draw.pick(craft::schema::place::FIELDS).key.to_owned();
                Edit::SetPlace { place: place.id, key, text }
            }
            (9, Some(part), _) => Edit::RemovePart { part: part.id },
            _ => continue,
        };
        match apply(craft, &edit) {
            Ok(after) if after != *craft => return Some((edit, after)),
            _ => {}
        }
    }
    None
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 128, failure_persistence: None, ..Default::default() })]

    #[test]
    fn what_is_written_reads_back_as_the_same_craft(seed: u64) {
        let craft = random_craft(seed);
        prop_assert_eq!(faults(&craft), []);
        let text = write_sheet(&craft);
        let reading = read_sheet(&text);
        prop_assert!(reading.faults.iter().all(|fault| fault.severity == Severity::Noticed), "{:?}", reading.faults);
        prop_assert_eq!(&reading.craft, &craft);
        prop_assert_eq!(write_sheet(&reading.craft), text);
    }

    #[test]
    fn rewriting_without_a_change_gives_the_same_bytes(seed: u64, returns: bool) {
        let craft = random_craft(seed);
        let text = with_remarks(&write_sheet(&craft), &mut Draw(seed));
        let text = if returns { text.replace('\n', "\r\n") } else { text };
        prop_assert_eq!(&read_sheet(&text).craft, &craft);
        prop_assert_eq!(rewrite_sheet(&text, &craft), text);
    }

    #[test]
    fn rewriting_after_an_edit_keeps_the_rest(seed: u64, returns: bool) {
        let craft = random_craft(seed);
        let mut draw = Draw(seed ^ 1);
        let Some((edit, after)) = some_edit(&craft, &mut draw) else { return Ok(()) };
        prop_assert_eq!(faults(&after), []);
        prop_assert!(!edit.describe(&craft).is_empty());
        let old = with_remarks(&write_sheet(&craft), &mut draw);
        let old = if returns { old.replace('\n', "\r\n") } else { old };
        let new = rewrite_sheet(&old, &after);
        prop_assert_eq!(&read_sheet(&new).craft, &after);
        prop_assert!(new.contains("# the end"), "{:?}\n{}", edit, new);
        prop_assert_eq!(new.contains("\r\n"), returns);
        // Whatever was there before and is there no more belongs to what the edit took out.
        let lost = old.lines().filter(|line| line.starts_with("# remark") && !new.lines().any(|other| other == *line));
        let removes = matches!(edit, Edit::RemoveRow { .. } | Edit::RemovePlace { .. } | Edit::RemovePart { .. });
        prop_assert!(removes || lost.count() == 0, "{:?}\n{}", edit, new);
        // And going back gives the old craft again.
        prop_assert_eq!(read_sheet(&rewrite_sheet(&new, &craft)).craft, craft);
    }

    #[test]
    fn no_text_makes_the_reader_panic(text in any::<String>(), bytes in any::<Vec<u8>>()) {
        prop_assert!(!read_sheet(&text).faults.is_empty());
        prop_assert!(!read_sheet_bytes(&bytes).faults.is_empty());
    }

    #[test]
    fn no_spoiled_sheet_makes_the_reader_panic_and_rewriting_always_holds(seed: u64, spoils in 1usize..6) {
        let craft = random_craft(seed);
        let mut draw = Draw(seed ^ 2);
        let mut text = write_sheet(&craft);
        for _ in 0..spoils {
            text = spoiled(&text, &mut draw);
        }
        let reading = read_sheet(&text);
        let lines = text.lines().count().max(1) + 1;
        for fault in &reading.faults {
            prop_assert!(fault.line <= lines && fault.line > 0 && fault.column > 0);
            prop_assert!(!fault.to_string().is_empty());
        }
        prop_assert_eq!(read_sheet(&rewrite_sheet(&text, &craft)).craft, craft);
    }
}

/// A sheet with one thing done to it that a slip, a merge or a bad disk might do.
fn spoiled(text: &str, draw: &mut Draw) -> String {
    let mut lines: Vec<String> = text.split('\n').map(str::to_owned).collect();
    let at = draw.below(lines.len());
    match draw.below(6) {
        0 => {
            lines.remove(at);
        }
        1 => lines.insert(at, lines[at].clone()),
        2 => {
            let other = draw.below(lines.len());
            lines.swap(at, other);
        }
        3 => {
            let letters: Vec<char> = lines[at].chars().collect();
            let from = draw.below(letters.len() + 1);
            lines[at] = letters.iter().take(from).collect();
        }
        4 => {
            let signs =
                ['"', '[', ']', '{', '}', '=', '#', '\'', '\\', '\n', ',', '.', '\0', 'é', '9', '-', '\r'];
            let mut letters: Vec<char> = lines[at].chars().collect();
            letters.insert(draw.below(letters.len() + 1), *draw.pick(&signs));
            lines[at] = letters.into_iter().collect();
        }
        _ => {
            let mut letters: Vec<char> = lines[at].chars().collect();
            if !letters.is_empty() {
                letters.remove(draw.below(letters.len()));
            }
            lines[at] = letters.into_iter().collect();
        }
    }
    lines.join("\n")
}
