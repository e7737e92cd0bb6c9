//! The sheet format as the manual shows it: the grammar of values, then each kind of part from the schema.

use crate::wire::manual::SheetDoc;
use craft::schema::{self, FieldDef, PartKind, ValueKind};
use std::fmt::Write;

/// Every part of the sheet format.
pub fn sheet_format() -> Vec<SheetDoc> {
    let kinds = PartKind::ALL.iter().map(|kind| kind_doc(*kind));
    let whole = [
        doc("the craft as a whole", "What may be said of the craft.", field_lines(schema::craft::FIELDS)),
        doc("a place", "What may be said of a part in its place.", field_lines(schema::place::FIELDS)),
    ];
    whole.into_iter().chain(kinds).collect()
}

fn doc(title: &str, text: &str, example: String) -> SheetDoc {
    SheetDoc { title: title.to_owned(), text: text.to_owned(), example }
}

fn kind_doc(kind: PartKind) -> SheetDoc {
    let def = kind.def();
    let mut lines = field_lines(def.fields);
    for table in def.tables {
        let _ = write!(lines, "\n{}: {}\n{}", table.many, table.help, field_lines(table.fields));
    }
    doc(def.plain, def.help, lines)
}

fn field_lines(fields: &[FieldDef]) -> String {
    let mut out = String::new();
    for def in fields {
        let _ = writeln!(out, "{} = {}", def.key, holds(def));
    }
    out
}

fn holds(def: &FieldDef) -> String {
    match def.kind {
        ValueKind::Quantity { unit, .. } => {
            format!("{}, {} to {} {}", def.label, def.min, def.max, unit.symbol()).trim_end().to_owned()
        }
        ValueKind::Count => format!("{}, a whole number from {} to {}", def.label, def.min, def.max),
        ValueKind::Flag => format!("{}, yes or no", def.label),
        ValueKind::Choice(words) => words.join(" | "),
        ValueKind::Line => format!("{}, one line", def.label),
        ValueKind::Note => format!("{}, text", def.label),
        ValueKind::Points => format!("{}, points in mm", def.label),
        ValueKind::PlugOfPlace => format!("{}, as place/plug", def.label),
    }
}
