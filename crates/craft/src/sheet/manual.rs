//! The sheet format as data for the manual: every kind, table and field, from the schema.

use super::write::write_sheet;
use crate::schema::{self, FieldDef, Need, PartKind, TableDef, ValueKind};
use crate::text::wanted_form;
use crate::{
    Anchor, Craft, CraftClass, CraftId, Part, PartId, Place, PlaceId, Row, Values, limits, read_value,
};
use quantity::{Basis, DEFAULT_DOUBTS, DoubtKind, Spread, accepted_spellings};
use serde::Serialize;

/// The sheet format, ready to be set as pages.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SheetManual {
    /// What a sheet is, rule by rule: title and text.
    pub rules: Vec<(String, String)>,
    /// A short sheet that reads without fault.
    pub example: String,
    /// What may be said of a craft.
    pub craft: Vec<ManualField>,
    /// The tables of a craft: its wires, the settings of its ports.
    pub craft_tables: Vec<ManualTable>,
    /// What may be said of a place.
    pub place: Vec<ManualField>,
    /// The kinds of part.
    pub kinds: Vec<ManualKind>,
    /// The classes of craft: word and plain words.
    pub classes: Vec<(&'static str, &'static str)>,
}

/// One kind of part.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ManualKind {
    /// The word on a sheet.
    pub word: &'static str,
    /// In plain words.
    pub plain: &'static str,
    /// What it is and the trap to mind.
    pub help: &'static str,
    /// Its fields.
    pub fields: Vec<ManualField>,
    /// Its tables.
    pub tables: Vec<ManualTable>,
}

/// One table of a kind.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ManualTable {
    /// The key on a sheet.
    pub key: &'static str,
    /// All rows, in words.
    pub many: &'static str,
    /// What a row is for.
    pub help: &'static str,
    /// The fields of a row.
    pub fields: Vec<ManualField>,
}

/// One field.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ManualField {
    /// The key on a sheet.
    pub key: &'static str,
    /// What it is called.
    pub label: &'static str,
    /// What it takes, in words.
    pub takes: String,
    /// The units it takes, its own first.
    pub units: Vec<&'static str>,
    /// The words it takes, where it takes only those.
    pub words: Vec<&'static str>,
    /// Its limits in words, such as `5 to 80 mm`; empty where there are none.
    pub limits: String,
    /// What is assumed of its doubt when none is stated, by basis; `None` for what has no doubt.
    pub doubt: Option<DoubtTexts>,
    /// What it is when left out, where that means something.
    pub when_left_out: Option<String>,
    /// Whether the form asks for it first.
    pub core: bool,
    /// What it means, how to measure it, the trap to mind.
    pub help: &'static str,
}

/// Default doubts in words.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct DoubtTexts {
    /// The row of the table of default doubts.
    pub row: &'static str,
    /// When measured.
    pub measured: String,
    /// When read from a data sheet.
    pub data_sheet: String,
    /// When only typical.
    pub typical: String,
}

/// The sheet format as data.
pub fn manual() -> SheetManual {
    SheetManual {
        rules: rules(),
        example: write_sheet(&example()),
        craft: schema::craft::FIELDS.iter().map(field).collect(),
        craft_tables: schema::wiring::TABLES.iter().map(manual_table).collect(),
        place: schema::place::FIELDS.iter().map(field).collect(),
        kinds: PartKind::ALL.iter().map(|kind| manual_kind(*kind)).collect(),
        classes: CraftClass::ALL.iter().map(|class| (class.word(), class.plain())).collect(),
    }
}

fn rules() -> Vec<(String, String)> {
    let rule = |title: &str, text: String| (title.to_owned(), text);
    vec![
        rule(
            "What a sheet is",
            "A craft with all its parts as one text file in TOML, for sharing and for version control. It names \
             nothing outside itself. A fact that is missing is no fault: the sheet opens and the proof says what to \
             measure."
                .to_owned(),
        ),
        rule(
            "Headings",
            "[craft] for the whole, [[craft.wire]] and [[craft.port_set]] for each wire and each setting of a port; [part.ID] for each part, with its kind; [[part.ID.TABLE]] for each row of a \
             part's table; [place.ID] for each place, with the part that stands there and what it is on. An id is 1 \
             to 40 lower-case letters, digits or hyphens and starts with a letter."
                .to_owned(),
        ),
        rule(
            "Facts",
            "A text in quotes: value, unit, tolerance, basis, such as \"29.2 mm ± 0.1, measured\". The tolerance may \
             be uneven (\"29.2 mm +0.2/-0.1, data sheet\") or a share (\"7.4 g ± 5 %\"). The basis is measured, data \
             sheet or typical; without one it is typical. Without a tolerance the default of its kind applies."
                .to_owned(),
        ),
        rule(
            "Other values",
            "Counts are whole numbers, yes and no are true and false, points are lists such as [[0, 0], [20, 0]] in \
             mm, everything else is text in quotes."
                .to_owned(),
        ),
        rule(
            "Seats",
            "A place is on body, on another place (\"esc\"), or on a feature of the part there (\"frame/rear \
             stack\"): a hole pattern, camera mount, motor mount, antenna mount or standoff by its name, the lens \
             mount of a camera, the shaft of a motor. Leads and antennas plug in by place and plug (\"vtx/coax 1\"); \
             pigtails and harnesses have a first end and a second end."
                .to_owned(),
        ),
        rule(
            "Limits",
            format!(
                "{} MiB, {} parts, {} places, {} rows, {} points in one outline and {} in all, {} seats one on \
                 another.",
                limits::SHEET_BYTES_MAX >> 20,
                limits::PARTS_MAX,
                limits::PLACES_MAX,
                limits::ROWS_MAX,
                limits::POINTS_MAX,
                limits::POINTS_TOTAL_MAX,
                limits::SEATS_DEEP_MAX
            ),
        ),
        rule(
            "Rewriting",
            "When the program changes a sheet it touches only what changed: your comments, order and spacing stay."
                .to_owned(),
        ),
    ]
}

fn manual_table(table: &TableDef) -> ManualTable {
    ManualTable {
        key: table.key,
        many: table.many,
        help: table.help,
        fields: table.fields.iter().map(field).collect(),
    }
}

fn manual_kind(kind: PartKind) -> ManualKind {
    let def = kind.def();
    ManualKind {
        word: def.word,
        plain: def.plain,
        help: def.help,
        fields: def.fields.iter().map(field).collect(),
        tables: def.tables.iter().map(manual_table).collect(),
    }
}

fn field(def: &FieldDef) -> ManualField {
    let with_unit = |text: String, symbol: &str| match symbol {
        "" => text,
        "°" => text + "°",
        symbol => format!("{text} {symbol}"),
    };
    let (units, limits, doubt) = match def.kind {
        ValueKind::Quantity { unit, doubt } => (
            accepted_spellings(unit),
            with_unit(format!("{} to {}", def.min, def.max), unit.symbol()),
            doubt_texts(doubt, unit.symbol()),
        ),
        ValueKind::Count => (Vec::new(), format!("{} to {}", def.min, def.max), None),
        ValueKind::Points => (vec!["mm"], format!("at most {} points", limits::POINTS_MAX), None),
        ValueKind::Line | ValueKind::PlugOfPlace => {
            (Vec::new(), format!("at most {} letters", limits::LINE_LETTERS_MAX), None)
        }
        ValueKind::Note => (Vec::new(), format!("at most {} letters", limits::NOTE_LETTERS_MAX), None),
        ValueKind::Flag | ValueKind::Choice(_) => (Vec::new(), String::new(), None),
    };
    let words = if let ValueKind::Choice(words) = def.kind { words.to_vec() } else { Vec::new() };
    let when_left_out = def.default.map(|default| match def.kind {
        ValueKind::Flag => if default == 0.0 { "no" } else { "yes" }.to_owned(),
        ValueKind::Quantity { unit, .. } => with_unit(default.to_string(), unit.symbol()),
        _ => default.to_string(),
    });
    ManualField {
        key: def.key,
        label: def.label,
        takes: wanted_form(def),
        units,
        words,
        limits,
        doubt,
        when_left_out,
        core: def.need == Need::Core,
        help: def.help,
    }
}

fn doubt_texts(kind: DoubtKind, symbol: &str) -> Option<DoubtTexts> {
    let row = DEFAULT_DOUBTS.iter().find(|row| row.kind == kind)?;
    let told = |basis: Basis| {
        let spread = match basis {
            Basis::Measured => row.measured,
            Basis::DataSheet => row.data_sheet,
            Basis::Typical => row.typical,
        };
        match spread {
            Spread::Within(0.0) => "exact".to_owned(),
            Spread::Within(half) => format!("± {half} {symbol}").trim_end().to_owned(),
            Spread::Share(share) => format!("± {} %", (share * 1000.0).round() / 10.0),
            Spread::Between(low, high) => format!("{low} to {high} times the value"),
        }
    };
    Some(DoubtTexts {
        row: row.words,
        measured: told(Basis::Measured),
        data_sheet: told(Basis::DataSheet),
        typical: told(Basis::Typical),
    })
}

/// A small invented craft: a frame, a transmitter on it, an antenna plugged into that.
fn example() -> Craft {
    let values = |fields: &[FieldDef], texts: &[(&str, &str)]| -> Values {
        let value = |(key, text): &(&str, &str)| {
            let def = fields.iter().find(|def| def.key == *key)?;
            Some(((*key).to_owned(), read_value(def, text).ok()?))
        };
        texts.iter().filter_map(value).collect()
    };
    let part = |id: &str, kind: PartKind, name: &str, texts: &[(&str, &str)]| {
        let mut part = Part::new(PartId::from_name(id), kind, name);
        part.values = values(kind.def().fields, texts);
        part
    };
    let row = |part: &mut Part, key: &str, texts: &[(&str, &str)]| {
        let table = part.kind.def().tables.iter().find(|table| table.key == key);
        let row = Row(values(table.map_or(&[], |table| table.fields), texts));
        part.tables.entry(key.to_owned()).or_default().push(row);
    };
    let mut frame = part("frame", PartKind::Frame, "Heron plates", &[("mass", "31 g, measured")]);
    let plate = [
        ("name", "bottom"),
        ("role", "bottom"),
        ("material", "carbon"),
        ("thickness", "2.5 mm, measured"),
        ("outline", "-40,-20; 40,-20; 40,20; -40,20"),
    ];
    row(&mut frame, "plate", &plate);
    let pattern = [
        ("name", "rear stack"),
        ("plate", "bottom"),
        ("x", "-15 mm"),
        ("pitch", "20 mm, data sheet"),
        ("hole", "2.2 mm"),
    ];
    row(&mut frame, "pattern", &pattern);
    let size = [("length", "29.2 mm ± 0.1, measured"), ("width", "29 mm, data sheet"), ("height", "9 mm")];
    let mut vtx = part("vtx", PartKind::VideoTransmitter, "Heron transmitter", &size);
    row(&mut vtx, "plug", &[("name", "coax 1"), ("use", "coax"), ("x", "-12 mm, measured"), ("pull", "up")]);
    let whip =
        part("whip", PartKind::Antenna, "Heron whip", &[("element", "whip"), ("length", "95 mm, measured")]);
    let place = |id: &str, on: &str, texts: &[(&str, &str)]| {
        let anchor = Anchor::read(on).unwrap_or(Anchor::Body);
        let mut place = Place::new(PlaceId::from_name(id), PartId::from_name(id), anchor);
        place.values = values(schema::place::FIELDS, texts);
        place
    };
    let mut craft = Craft::new(CraftId::from_name("Heron"), "Heron");
    craft.class = Some(CraftClass::Ducted3);
    craft.values = values(schema::craft::FIELDS, &[("planned_flight", "4 min")]);
    craft.parts = vec![frame, vtx, whip];
    craft.places = vec![
        place("frame", "body", &[]),
        place("vtx", "frame/rear stack", &[("z", "4 mm, measured")]),
        place("whip", "body", &[("x", "-45 mm"), ("from", "vtx/coax 1")]),
    ];
    craft
}
