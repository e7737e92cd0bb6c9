//! The chapters on drawings and prints: what there is, what may be set, what printed parts keep and why.

use crate::drawn::Subject;
use crate::wire::manual::{CustomRow, DrawingDoc, FilamentDoc, PrintDoc, PrintsDoc};
use clap::ValueEnum;
use drawing::print::custom::{CUSTOMS, FILAMENTS};
use drawing::print::{Choice, PrintKind, Wish, choices};

/// Every drawing, as the command line tells of it.
pub fn drawings() -> Vec<DrawingDoc> {
    let doc = |subject: &Subject| {
        let help = subject.to_possible_value().and_then(|value| Some(value.get_help()?.to_string()));
        DrawingDoc { word: subject.word(), says: help.unwrap_or_default() }
    };
    Subject::value_variants().iter().map(doc).collect()
}

/// Every print, with the lengths and filaments that all of them share.
pub fn prints() -> PrintsDoc {
    let kind = |kind: PrintKind| PrintDoc {
        word: kind.word(),
        says: kind.says(),
        choices: choices(kind).iter().map(|choice| [labelled(choice), choice.help.to_owned()]).collect(),
    };
    let custom = |row: &drawing::print::custom::Custom| CustomRow {
        of: row.of,
        length: row.length.get(),
        grade: row.source.grade.words(),
    };
    let filament = |row: &drawing::print::custom::FilamentRow| FilamentDoc {
        material: row.material,
        softens: row.softens.get(),
        gram_each_cm3: row.gram_each_cm3.get(),
        advice: row.advice,
        source: row.source.line(),
    };
    PrintsDoc {
        kinds: PrintKind::ALL.map(kind).into(),
        customs: CUSTOMS.iter().map(custom).collect(),
        filaments: FILAMENTS.iter().map(filament).collect(),
    }
}

fn labelled(choice: &Choice) -> String {
    let unit = if choice.wish == Wish::Thickness { " mm" } else { "°" };
    match choice.between {
        Some((least, most)) => format!("{}, {least} to {most}{unit}", choice.label),
        None => choice.label.to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_drawing_and_every_print_says_what_it_is() {
        assert!(drawings().iter().all(|drawing| !drawing.says.is_empty()));
        let prints = prints();
        assert!(prints.kinds.iter().all(|kind| kind.choices.len() > 1 && !kind.says.is_empty()));
        assert!(prints.kinds[0].choices.iter().any(|[label, _]| label == "thickness, 1.2 to 20 mm"));
        assert_eq!(prints.customs.len(), CUSTOMS.len());
    }
}
