//! Parts and places with their values.

use super::schema::BasisWord;
use super::solid::PoseView;
use craft::schema::{FieldDef, TableDef, ValueKind, place};
use craft::{Craft, Part, Place, Value, Values, feature_names, plug_names};
use quantity::{DoubtKind, Fact, Shape, write_fact};
use serde::Serialize;
use std::collections::BTreeMap;
use ts_rs::TS;

/// One value, tagged by what it is.
#[derive(Serialize, TS)]
#[serde(rename_all = "snake_case")]
pub enum ValueView {
    /// A quantity with its doubt and basis.
    Fact(FactView),
    /// How many.
    Count(u32),
    /// Yes or no.
    Flag(bool),
    /// A word or text.
    Text(String),
    /// Points in mm.
    Points(Vec<[f64; 2]>),
}

/// A fact with the doubt that applies to it.
#[derive(Serialize, TS)]
pub struct FactView {
    /// As a sheet writes it.
    pub text: String,
    /// The number, in `unit`.
    pub value: f64,
    /// The symbol of the unit; empty for plain numbers.
    pub unit: &'static str,
    /// How far below it may be.
    pub minus: f64,
    /// How far above it may be.
    pub plus: f64,
    /// Whether somebody stated the tolerance; else it is the default of its kind.
    pub stated: bool,
    /// Whether the doubt is a standard deviation rather than limits.
    pub normal: bool,
    /// What it rests on.
    pub basis: BasisWord,
}

/// Values by key.
pub type ValueViews = BTreeMap<String, ValueView>;

/// A part.
#[derive(Serialize, TS)]
pub struct PartView {
    /// Its id.
    pub id: String,
    /// The word of its kind.
    pub kind: &'static str,
    /// What the builder calls it.
    pub name: String,
    /// Its facts.
    pub values: ValueViews,
    /// Its tables.
    pub tables: BTreeMap<String, Vec<ValueViews>>,
    /// The craft it stands in.
    pub used_by: Vec<UsedBy>,
    /// Whether it belongs to the demo.
    pub demo: bool,
}

/// A craft that uses a part.
#[derive(Clone, Serialize, TS)]
pub struct UsedBy {
    /// Its id.
    pub id: String,
    /// Its name.
    pub name: String,
}

/// A part in its place.
#[derive(Serialize, TS)]
pub struct PlaceView {
    /// Its id.
    pub id: String,
    /// The id of the part that stands there.
    pub part: String,
    /// That part's name.
    pub part_name: String,
    /// The word of that part's kind; empty when the part is not on the sheet.
    pub kind: &'static str,
    /// What it is seated on: `body`, `frame`, `frame/rear stack`.
    pub on: Option<String>,
    /// Where that seat stands in the craft's frame: its axes are those of the offsets. Left open until it is known.
    pub anchor: Option<PoseView>,
    /// Offsets, turns and the like.
    pub values: ValueViews,
    /// Names of what others can be seated on here.
    pub features: Vec<String>,
    /// Names of its plugs.
    pub plugs: Vec<String>,
}

impl PartView {
    /// A part as the pages read it.
    pub fn new(part: &Part, used_by: Vec<UsedBy>, demo: bool) -> Self {
        let def = part.kind.def();
        let rows = |table: &'static TableDef| part.tables.get(table.key).map(|rows| (table, rows));
        let tables = def.tables.iter().filter_map(rows).map(|(table, rows)| {
            (table.key.to_owned(), rows.iter().map(|row| value_views(&row.0, table.fields)).collect())
        });
        Self {
            id: part.id.to_string(),
            kind: def.word,
            name: part.name.clone(),
            values: value_views(&part.values, def.fields),
            tables: tables.collect(),
            used_by,
            demo,
        }
    }
}

impl PlaceView {
    /// A place as the pages read it.
    pub fn new(craft: &Craft, place: &Place, anchor: Option<&fit::Pose>) -> Self {
        let part = craft.part_at(place);
        Self {
            id: place.id.to_string(),
            part: place.part.to_string(),
            part_name: part.map_or_else(|| place.part.to_string(), |part| part.name.clone()),
            kind: part.map_or("", |part| part.kind.def().word),
            on: place.on.as_ref().map(ToString::to_string),
            anchor: anchor.map(PoseView::from),
            values: value_views(&place.values, place::FIELDS),
            features: part.map(feature_names).unwrap_or_default(),
            plugs: part.map(plug_names).unwrap_or_default(),
        }
    }
}

/// Values as the pages read them; the fields say which default doubt applies.
pub fn value_views(values: &Values, fields: &[FieldDef]) -> ValueViews {
    let view = |(key, value): (&String, &Value)| {
        let doubt = fields.iter().find(|def| def.key == key).map_or(DoubtKind::Other, doubt_of);
        (key.clone(), value_view(value, doubt))
    };
    values.iter().map(view).collect()
}

fn doubt_of(def: &FieldDef) -> DoubtKind {
    match def.kind {
        ValueKind::Quantity { doubt, .. } => doubt,
        _ => DoubtKind::Exact,
    }
}

fn value_view(value: &Value, doubt: DoubtKind) -> ValueView {
    match value {
        Value::Fact(fact) => ValueView::Fact(fact_view(fact, doubt)),
        Value::Count(count) => ValueView::Count(*count),
        Value::Flag(flag) => ValueView::Flag(*flag),
        Value::Text(text) => ValueView::Text(text.clone()),
        Value::Points(points) => ValueView::Points(points.clone()),
    }
}

fn fact_view(fact: &Fact, kind: DoubtKind) -> FactView {
    let doubt = fact.doubt(kind);
    FactView {
        text: write_fact(fact),
        value: fact.quantity.value,
        unit: fact.quantity.unit.symbol(),
        minus: doubt.minus,
        plus: doubt.plus,
        stated: fact.stated.is_some(),
        normal: doubt.shape == Shape::Normal,
        basis: fact.basis.into(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use craft::PartId;
    use craft::schema::{PartKind, camera};
    use quantity::{Basis, Millimetres};

    #[test]
    fn a_fact_shows_the_doubt_that_applies() {
        let mut part = Part::new(PartId::from_name("cam"), PartKind::Camera, "nano camera");
        let fact = Fact::new(Millimetres::new(14.0), Basis::DataSheet);
        part.values.insert(camera::BODY_WIDTH.def.key.to_owned(), Value::Fact(fact));
        let view = PartView::new(&part, vec![], false);
        let Some(ValueView::Fact(fact)) = view.values.get("body_width") else { panic!("no fact") };
        assert_eq!((fact.minus, fact.plus, fact.stated, fact.unit), (0.3, 0.3, false, "mm"));
        assert_eq!(fact.text, "14 mm, data sheet");
    }
}
