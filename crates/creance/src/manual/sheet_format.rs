//! The sheet format as the manual shows it: its rules, a sheet that reads without fault, then every kind.

use crate::wire::manual::SheetDoc;
use craft::sheet::{ManualField, ManualKind, ManualTable, SheetManual, manual};

/// Every part of the sheet format.
pub fn sheet_format() -> Vec<SheetDoc> {
    let SheetManual { rules, example, craft, craft_tables, place, kinds, classes } = manual();
    let words = classes.iter().map(|(word, plain)| format!("{word}: {plain}\n")).collect();
    let rules = rules.into_iter().map(|(title, text)| SheetDoc { title, text, example: String::new() });
    let whole = [
        doc("A short sheet", "It reads without fault; what it leaves out, the proof asks for.", example),
        doc("Classes of craft", "The words that `class` may be.", words),
        doc(
            "[craft]",
            "What may be said of the craft as a whole, with its wires and the settings of its ports.",
            field_lines(&craft) + &table_lines("craft", &craft_tables),
        ),
        doc("[place.ID]", "What may be said of a part in its place.", field_lines(&place)),
    ];
    rules.chain(whole).chain(kinds.iter().map(kind_doc)).collect()
}

fn doc(title: &str, text: &str, example: String) -> SheetDoc {
    SheetDoc { title: title.to_owned(), text: text.to_owned(), example }
}

fn kind_doc(kind: &ManualKind) -> SheetDoc {
    let lines = format!("[part.ID]\nkind = \"{}\"\n{}", kind.word, field_lines(&kind.fields));
    let lines = lines + &table_lines("part.ID", &kind.tables);
    doc(&format!("kind = {:?}", kind.word), &format!("{}. {}", kind.plain, kind.help), lines)
}

/// Each table under a heading, field by field.
fn table_lines(under: &str, tables: &[ManualTable]) -> String {
    let table = |ManualTable { key, many, help, fields }: &ManualTable| {
        format!("\n# {many}: {help}\n[[{under}.{key}]]\n{}", field_lines(fields))
    };
    tables.iter().map(table).collect()
}

/// `body_width = a length, 5 to 80 mm   # body width`, a line each.
fn field_lines(fields: &[ManualField]) -> String {
    let line = |field: &ManualField| {
        let takes = if field.words.is_empty() { field.takes.clone() } else { field.words.join(" | ") };
        let limits = if field.limits.is_empty() { String::new() } else { format!(", {}", field.limits) };
        let out =
            field.when_left_out.as_ref().map_or(String::new(), |value| format!("; {value} when left out"));
        format!("{} = {takes}{limits}   # {}{out}\n", field.key, field.label)
    };
    fields.iter().map(line).collect()
}
