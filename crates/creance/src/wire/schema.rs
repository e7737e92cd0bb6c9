//! The schema as the pages read it: what every part, place and craft may carry.

use craft::CraftClass;
use craft::schema::{self, FieldDef, Need, PartKind, TableDef, ValueKind};
use quantity::{Basis, DEFAULT_DOUBTS, DoubtKind, Spread, Unit};
use serde::Serialize;
use ts_rs::TS;

/// All that may be entered, in the order of the forms.
#[derive(Serialize, TS)]
pub struct SchemaView {
    /// The kinds of part.
    pub kinds: Vec<KindView>,
    /// What may be said of a part in its place.
    pub place: Vec<FieldView>,
    /// What may be said of a craft as a whole.
    pub craft: Vec<FieldView>,
    /// The classes of craft, smallest first.
    pub classes: Vec<ClassView>,
}

/// One class of craft.
#[derive(Serialize, TS)]
pub struct ClassView {
    /// The word on a sheet.
    pub word: &'static str,
    /// In plain words.
    pub plain: &'static str,
    /// Whether the blades run in ducts.
    pub ducted: bool,
}

/// One kind of part.
#[derive(Serialize, TS)]
pub struct KindView {
    /// The word on a sheet.
    pub word: &'static str,
    /// In plain words.
    pub plain: &'static str,
    /// What it is and the trap to mind.
    pub help: &'static str,
    /// Its fields.
    pub fields: Vec<FieldView>,
    /// Its tables.
    pub tables: Vec<TableView>,
}

/// One table of a part: rows of like things.
#[derive(Serialize, TS)]
pub struct TableView {
    /// The key on a sheet.
    pub key: &'static str,
    /// One row, in words.
    pub one: &'static str,
    /// All rows, in words.
    pub many: &'static str,
    /// What a row is for.
    pub help: &'static str,
    /// The fields of a row.
    pub fields: Vec<FieldView>,
}

/// What a field holds.
#[derive(Serialize, TS)]
#[serde(rename_all = "snake_case")]
pub enum FieldKind {
    /// A quantity with unit, tolerance and basis.
    Quantity,
    /// How many.
    Count,
    /// Yes or no.
    Flag,
    /// One of some words.
    Choice,
    /// One line of text.
    Line,
    /// Several lines of text.
    Note,
    /// Points in mm.
    Points,
    /// A plug of a part in the craft, `place/plug`.
    Plug,
}

/// One field.
#[derive(Serialize, TS)]
pub struct FieldView {
    /// The key on a sheet.
    pub key: &'static str,
    /// What it is called, in the middle of a sentence.
    pub label: &'static str,
    /// What it holds.
    pub kind: FieldKind,
    /// The unit its values are kept in; empty where there is none.
    pub unit: &'static str,
    /// Whether the form asks for it first.
    pub core: bool,
    /// The least value.
    pub min: Option<f64>,
    /// The greatest value.
    pub max: Option<f64>,
    /// What leaving it out means, where it means something definite.
    pub default: Option<f64>,
    /// The words to choose from.
    pub choices: &'static [&'static str],
    /// What it means, how to measure it, the trap to mind.
    pub help: &'static str,
    /// How far off it may be by default, in words; `null` for what carries no doubt.
    pub doubts: Option<DoubtWords>,
}

/// The default doubt of a kind of fact by its basis, in words.
#[derive(Serialize, TS)]
pub struct DoubtWords {
    /// When measured.
    pub measured: String,
    /// When read from a data sheet.
    pub data_sheet: String,
    /// When only typical.
    pub typical: String,
}

/// The whole schema.
pub fn schema() -> SchemaView {
    let class =
        |class: CraftClass| ClassView { word: class.word(), plain: class.plain(), ducted: class.ducted() };
    SchemaView {
        kinds: PartKind::ALL.iter().map(|kind| kind_view(*kind)).collect(),
        place: fields(schema::place::FIELDS),
        craft: fields(schema::craft::FIELDS),
        classes: CraftClass::ALL.into_iter().map(class).collect(),
    }
}

fn kind_view(kind: PartKind) -> KindView {
    let def = kind.def();
    let tables = def.tables.iter().map(table_view).collect();
    KindView { word: def.word, plain: def.plain, help: def.help, fields: fields(def.fields), tables }
}

fn table_view(table: &TableDef) -> TableView {
    TableView {
        key: table.key,
        one: table.one,
        many: table.many,
        help: table.help,
        fields: fields(table.fields),
    }
}

fn fields(defs: &[FieldDef]) -> Vec<FieldView> {
    defs.iter().map(field_view).collect()
}

fn field_view(def: &FieldDef) -> FieldView {
    let limited = matches!(def.kind, ValueKind::Quantity { .. } | ValueKind::Count);
    let mut view = FieldView {
        key: def.key,
        label: def.label,
        kind: FieldKind::Line,
        unit: "",
        core: def.need == Need::Core,
        min: limited.then_some(def.min),
        max: limited.then_some(def.max),
        default: def.default,
        choices: &[],
        help: def.help,
        doubts: None,
    };
    view.kind = match def.kind {
        ValueKind::Quantity { unit, doubt } => {
            view.unit = unit.symbol();
            view.doubts = doubt_words(doubt, unit);
            FieldKind::Quantity
        }
        ValueKind::Choice(words) => {
            view.choices = words;
            FieldKind::Choice
        }
        ValueKind::Count => FieldKind::Count,
        ValueKind::Flag => FieldKind::Flag,
        ValueKind::Line => FieldKind::Line,
        ValueKind::Note => FieldKind::Note,
        ValueKind::Points => FieldKind::Points,
        ValueKind::PlugOfPlace => FieldKind::Plug,
    };
    view
}

fn doubt_words(kind: DoubtKind, unit: Unit) -> Option<DoubtWords> {
    let row = DEFAULT_DOUBTS.iter().find(|row| row.kind == kind)?;
    let words = |spread| spread_words(spread, unit.symbol());
    Some(DoubtWords {
        measured: words(row.measured),
        data_sheet: words(row.data_sheet),
        typical: words(row.typical),
    })
}

/// A spread in words: `± 0.3 mm`, `± 5 %`, `0.6 to 2 times`.
pub fn spread_words(spread: Spread, unit: &str) -> String {
    match spread {
        Spread::Within(0.0) => "exact".to_owned(),
        Spread::Within(half) => format!("± {half} {unit}").trim_end().to_owned(),
        Spread::Share(share) => format!("± {} %", (share * 1e4).round() / 100.0),
        Spread::Between(low, high) => format!("{low} to {high} times"),
    }
}

/// The basis of a fact, as JSON writes it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, TS)]
#[serde(rename_all = "snake_case")]
#[ts(rename = "Basis")]
pub enum BasisWord {
    /// Calipers, scale or meter, on this very part.
    Measured,
    /// The maker's data sheet.
    DataSheet,
    /// What such parts usually are.
    Typical,
}

impl From<Basis> for BasisWord {
    fn from(basis: Basis) -> Self {
        match basis {
            Basis::Measured => Self::Measured,
            Basis::DataSheet => Self::DataSheet,
            Basis::Typical => Self::Typical,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_kind_has_a_mass_with_its_doubts() {
        for kind in schema().kinds {
            let mass = kind.fields.iter().find(|field| field.key == "mass");
            let doubts = mass.and_then(|mass| mass.doubts.as_ref());
            assert_eq!(doubts.map(|d| d.data_sheet.as_str()), Some("± 5 %"), "{}", kind.word);
        }
    }

    #[test]
    fn choices_are_there_where_the_kind_is_choice() {
        for field in schema().place {
            assert_eq!(matches!(field.kind, FieldKind::Choice), !field.choices.is_empty(), "{}", field.key);
        }
    }
}
