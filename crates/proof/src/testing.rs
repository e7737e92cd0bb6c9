//! A small sound craft for the tests of the rules, and ways to spoil it.
//!
//! All names and figures are invented. Facts are written as on a sheet: `14 mm, measured`. A path such as
//! `cam.body_width`, `vtx.plug[0].type`, `place cam.pitch` or `craft.use` says which fact is meant.

#![allow(clippy::unwrap_used, clippy::panic)]

use crate::{Finding, Proof, Rule, Verdict};
use craft::schema::{FieldDef, PartKind, ValueKind, craft as craft_schema, place as place_schema};
use craft::{Anchor, Craft, CraftClass, CraftId, Part, PartId, Place, PlaceId, Row, Value};
use quantity::read_fact;

fn value_of(def: &FieldDef, text: &str) -> Value {
    match def.kind {
        ValueKind::Quantity { unit, .. } => Value::Fact(read_fact(text, unit).unwrap()),
        ValueKind::Count => Value::Count(text.parse().unwrap()),
        ValueKind::Flag => Value::Flag(text == "yes"),
        ValueKind::Choice(words) => {
            assert!(words.contains(&text), "{text:?} is none of {words:?}");
            Value::Text(text.to_owned())
        }
        ValueKind::Points => Value::Points(
            text.split(';')
                .map(|point| {
                    let (x, y) = point.split_once(',').unwrap();
                    [x.trim().parse().unwrap(), y.trim().parse().unwrap()]
                })
                .collect(),
        ),
        _ => Value::Text(text.to_owned()),
    }
}

fn def_in<'a>(fields: &'a [FieldDef], key: &str) -> &'a FieldDef {
    fields.iter().find(|def| def.key == key).unwrap_or_else(|| panic!("no field {key:?}"))
}

/// Gives a fact a value, or takes it away where the text is empty.
pub(crate) fn set(craft: &mut Craft, path: &str, text: &str) {
    let (stem, key) = path.rsplit_once('.').unwrap();
    let (values, fields) = if stem == "craft" {
        (&mut craft.values, craft_schema::FIELDS)
    } else if let Some(id) = stem.strip_prefix("place ") {
        let place = craft.places.iter_mut().find(|place| place.id.as_str() == id).unwrap();
        (&mut place.values, place_schema::FIELDS)
    } else {
        let (id, row) = stem.split_once('.').map_or((stem, None), |(id, row)| (id, Some(row)));
        let part = part_mut(craft, id);
        match row {
            None => (&mut part.values, part.kind.def().fields),
            Some(row) => {
                let (table, number) = row.trim_end_matches(']').split_once('[').unwrap();
                let def = part.kind.def().tables.iter().find(|def| def.key == table).unwrap();
                let row =
                    part.tables.get_mut(table).unwrap().get_mut(number.parse::<usize>().unwrap()).unwrap();
                (&mut row.0, def.fields)
            }
        }
    };
    let def = def_in(fields, key);
    if text.is_empty() {
        values.remove(key);
    } else {
        values.insert(key.to_owned(), value_of(def, text));
    }
}

/// The same craft with one quantity moved by a little, its doubt kept.
pub(crate) fn nudge(craft: &Craft, path: &str, by: f64) -> Craft {
    let mut craft = craft.clone();
    let (stem, key) = path.rsplit_once('.').unwrap();
    // One coordinate of a hole of a list: `fc.pattern[0].holes[2].y`.
    let listed = stem.rsplit_once('.').filter(|(_, list)| list.starts_with("holes["));
    let stem = listed.map_or(stem, |(row, _)| row);
    let values = if let Some(id) = stem.strip_prefix("place ") {
        &mut craft.places.iter_mut().find(|place| place.id.as_str() == id).unwrap().values
    } else if let Some((id, row)) = stem.split_once('.') {
        let (table, number) = row.trim_end_matches(']').split_once('[').unwrap();
        let rows = part_mut(&mut craft, id).tables.get_mut(table).unwrap();
        &mut rows[number.parse::<usize>().unwrap()].0
    } else {
        &mut part_mut(&mut craft, stem).values
    };
    if let Some((_, list)) = listed {
        let Some(Value::Points(points)) = values.get_mut("holes") else { panic!("no holes at {path:?}") };
        let number = list.trim_start_matches("holes[").trim_end_matches(']').parse::<usize>().unwrap();
        points[number][usize::from(key == "y")] += by;
        return craft;
    }
    let Some(Value::Fact(fact)) = values.get_mut(key) else { panic!("no quantity at {path:?}") };
    fact.quantity.value += by;
    craft
}

/// The part of an id, to be changed.
pub(crate) fn part_mut<'a>(craft: &'a mut Craft, id: &str) -> &'a mut Part {
    craft.parts.iter_mut().find(|part| part.id.as_str() == id).unwrap_or_else(|| panic!("no part {id:?}"))
}

/// Adds a part: its kind, id, name, and facts by key.
pub(crate) fn part(craft: &mut Craft, kind: PartKind, id: &str, name: &str, facts: &[(&str, &str)]) {
    craft.parts.push(Part::new(PartId::new(id).unwrap(), kind, name));
    for (key, text) in facts {
        set(craft, &format!("{id}.{key}"), text);
    }
}

/// Adds a row to a table of a part.
pub(crate) fn row(craft: &mut Craft, id: &str, table: &str, facts: &[(&str, &str)]) {
    let part = part_mut(craft, id);
    let def = part.kind.def().tables.iter().find(|def| def.key == table).unwrap();
    let row = facts
        .iter()
        .map(|(key, text)| ((*key).to_owned(), value_of(def_in(def.fields, key), text)))
        .collect();
    part.tables.entry(table.to_owned()).or_default().push(Row(row));
}

/// Adds a place: its id, part, anchor, and what is said of it by key.
pub(crate) fn place(craft: &mut Craft, id: &str, part: &str, on: &str, facts: &[(&str, &str)]) {
    let (place, part) = (PlaceId::new(id).unwrap(), PartId::new(part).unwrap());
    craft.places.push(Place::new(place, part, Anchor::read(on).unwrap()));
    for (key, text) in facts {
        set(craft, &format!("place {id}.{key}"), text);
    }
}

/// Takes a place away.
pub(crate) fn remove_place(craft: &mut Craft, id: &str) {
    craft.places.retain(|place| place.id.as_str() != id);
}

/// An open 3-inch craft that every rule of matching and of the whole craft calls sound.
pub(crate) fn sound_craft() -> Craft {
    let mut sound = Craft::new(CraftId::new("wheatear").unwrap(), "Wheatear");
    sound.class = Some(CraftClass::Open3);
    let craft = &mut sound;
    frame(craft);
    video(craft);
    drive(craft);
    sound
}

fn frame(craft: &mut Craft) {
    part(craft, PartKind::Frame, "frame", "Wheatear frame", &[("mass", "42 g, measured")]);
    let cage = [("name", "cage"), ("x", "45 mm"), ("z", "12 mm"), ("clear_width", "14.6 mm, measured")];
    row(craft, "frame", "camera_mount", &cage);
    for (name, x, y) in [
        ("front left", "50 mm", "50 mm"),
        ("front right", "50 mm", "-50 mm"),
        ("rear left", "-50 mm", "50 mm"),
        ("rear right", "-50 mm", "-50 mm"),
    ] {
        let (x, y) = (&format!("{x}, measured"), &format!("{y}, measured"));
        row(craft, "frame", "motor_mount", &[("name", name), ("x", x), ("y", y), ("z", "4 mm")]);
    }
    place(craft, "frame", "frame", "body", &[]);
}

fn video(craft: &mut Craft) {
    part(
        craft,
        PartKind::Camera,
        "cam",
        "Siskin nano camera",
        &[
            ("mass", "2.1 g, measured"),
            ("system", "Lanner"),
            ("body_width", "14 mm, measured"),
            ("body_height", "14 mm, measured"),
            ("body_depth", "16 mm, measured"),
            ("lens_thread", "M8x0.5"),
            ("holder_depth", "6 mm, measured"),
            ("lens_window", "12 mm, measured"),
            ("sensor_diagonal", "5.6 mm, data sheet"),
        ],
    );
    row(
        craft,
        "cam",
        "plug",
        &[("name", "harness"), ("use", "camera"), ("type", "flat 20"), ("face", "opposite")],
    );
    part(
        craft,
        PartKind::Lens,
        "lens",
        "Siskin wide lens",
        &[
            ("mass", "1.2 g, measured"),
            ("thread", "M8x0.5"),
            ("barrel", "5 mm, measured"),
            ("head_diameter", "10 mm, measured"),
            ("image_circle", "6.6 mm, data sheet"),
        ],
    );
    part(
        craft,
        PartKind::CameraHarness,
        "flat",
        "flat harness 80",
        &[
            ("mass", "0.9 g, measured"),
            ("length", "80 mm, measured"),
            ("end_a", "flat 20"),
            ("end_b", "flat 20"),
            ("faces", "opposite"),
        ],
    );
    part(
        craft,
        PartKind::VideoTransmitter,
        "vtx",
        "Lanner small air unit",
        &[
            ("mass", "5.8 g, measured"),
            ("system", "Lanner"),
            ("band_low", "5650 MHz"),
            ("band_high", "5950 MHz"),
        ],
    );
    row(
        craft,
        "vtx",
        "plug",
        &[("name", "camera"), ("use", "camera"), ("type", "flat 20"), ("face", "opposite")],
    );
    row(
        craft,
        "vtx",
        "plug",
        &[("name", "coax 1"), ("use", "coax"), ("type", "snap 1"), ("gender", "socket")],
    );
    part(
        craft,
        PartKind::Pigtail,
        "tail",
        "pigtail 60",
        &[
            ("mass", "0.8 g, measured"),
            ("end_a", "snap 1"),
            ("gender_a", "pin"),
            ("end_b", "SMA"),
            ("gender_b", "socket"),
        ],
    );
    part(
        craft,
        PartKind::Antenna,
        "stub",
        "stub antenna",
        &[
            ("mass", "3.4 g, measured"),
            ("band_low", "5600 MHz"),
            ("band_high", "6000 MHz"),
            ("vswr", "1.4, data sheet"),
            ("connector", "SMA"),
            ("gender", "pin"),
        ],
    );
    part(craft, PartKind::GroundReceiver, "ground", "Lanner ground unit", &[("system", "Lanner")]);
    place(craft, "cam", "cam", "frame/cage", &[("pitch", "25°")]);
    place(craft, "lens", "lens", "cam", &[]);
    place(craft, "vtx", "vtx", "frame", &[("x", "-30 mm"), ("z", "4 mm")]);
    place(craft, "flat", "flat", "frame", &[("from", "cam/harness"), ("to", "vtx/camera")]);
    place(craft, "tail", "tail", "frame", &[("from", "vtx/coax 1")]);
    place(craft, "stub", "stub", "frame", &[("x", "-50 mm"), ("z", "20 mm"), ("from", "tail/second end")]);
    place(craft, "ground", "ground", "body", &[]);
}

fn drive(craft: &mut Craft) {
    part(
        craft,
        PartKind::Motor,
        "motor",
        "1404 motor",
        &[
            ("mass", "8.6 g, measured"),
            ("kv", "3800 rpm/V, data sheet"),
            ("cells_min", "3"),
            ("cells_max", "4"),
            ("thrust_full", "330 gf, measured"),
        ],
    );
    for (throttle, thrust) in
        [("10 %", "18 gf"), ("25 %", "60 gf"), ("50 %", "150 gf"), ("75 %", "245 gf"), ("100 %", "330 gf")]
    {
        let thrust = format!("{thrust}, measured");
        row(craft, "motor", "thrust", &[("throttle", throttle), ("thrust", &thrust)]);
    }
    for (id, hand) in [("cw", "clockwise"), ("ccw", "anticlockwise")] {
        let name = format!("3-inch blades, {hand}");
        let facts = [("mass", "1 g, measured"), ("diameter", "76.2 mm, measured"), ("hand", hand)];
        part(craft, PartKind::Blades, id, &name, &facts);
    }
    part(
        craft,
        PartKind::SpeedController,
        "esc",
        "four-way controller",
        &[("mass", "7.4 g, measured"), ("cells_min", "2"), ("cells_max", "6")],
    );
    part(
        craft,
        PartKind::Pack,
        "pack",
        "650 pack",
        &[
            ("mass", "72 g, measured"),
            ("chemistry", "lithium polymer"),
            ("cells", "4"),
            ("length", "57 mm"),
            ("width", "30 mm"),
            ("height", "24 mm"),
        ],
    );
    for (id, mount, spin, blades) in [
        ("m-fl", "front left", "clockwise", "cw"),
        ("m-fr", "front right", "anticlockwise", "ccw"),
        ("m-rl", "rear left", "anticlockwise", "ccw"),
        ("m-rr", "rear right", "clockwise", "cw"),
    ] {
        place(craft, id, "motor", &format!("frame/{mount}"), &[("spin", spin)]);
        place(craft, &id.replace("m-", "b-"), blades, id, &[]);
    }
    place(craft, "esc", "esc", "frame", &[("z", "4 mm")]);
    place(craft, "pack", "pack", "frame", &[("z", "26 mm")]);
}

/// What a rule says of the sound craft once it is spoiled: one block a finding, worst first.
pub(crate) fn told(rule: &Rule, spoil: impl FnOnce(&mut Craft)) -> String {
    let mut craft = sound_craft();
    spoil(&mut craft);
    let mut findings = (rule.run)(&Proof::new(&craft)).findings;
    findings.sort_by_key(|finding| finding.verdict);
    findings.iter().map(line).collect()
}

/// Holds a rule to saying *unknown* of a subject once this fact is taken away, and to naming the fact by its label.
#[track_caller]
pub(crate) fn names_missing(rule: &Rule, path: &str, subject: &str, label: &str) {
    let wanted = format!(
        "unknown · {subject}\n  Nobody can say yet: the {label} is not known\n  > Measure or look up the {label}.\n"
    );
    assert_eq!(told(rule, |craft| set(craft, path, "")), wanted);
}

/// What a rule says of a craft, of what is wanted: one block a finding, worst first.
pub(crate) fn told_of(rule: &Rule, craft: &Craft, wanted: impl Fn(&Finding) -> bool) -> String {
    let mut findings = (rule.run)(&Proof::new(craft)).findings;
    findings.sort_by_key(|finding| finding.verdict);
    findings.iter().filter(|finding| wanted(finding)).map(line).collect()
}

/// Holds a rule to calling the craft sound in everything it says, and to saying something.
pub(crate) fn is_sound(rule: &Rule) {
    let craft = sound_craft();
    let findings = (rule.run)(&Proof::new(&craft)).findings;
    assert!(!findings.is_empty(), "{} says nothing", rule.id);
    let faults: String =
        findings.iter().filter(|finding| finding.verdict != Verdict::Sound).map(line).collect();
    assert_eq!(faults, "");
}

/// The figures a rule computes for the sound craft, with their workings.
pub(crate) fn figures(rule: &Rule) -> String {
    let craft = sound_craft();
    let mut text = String::new();
    let with_doubt = |quantity: quantity::Quantity, doubt: Option<f64>| {
        let value = crate::numbers::rounded(quantity.value, 3);
        let doubt = doubt.map_or(String::new(), |u| format!(" ± {}", crate::numbers::rounded(u, 3)));
        format!("{value}{doubt} {}", quantity.unit).trim_end().to_owned()
    };
    for figure in (rule.run)(&Proof::new(&craft)).figures {
        let value = with_doubt(figure.quantity, figure.uncertainty);
        text += &format!("{}: {} = {value} ({})\n", figure.id.0, figure.label, figure.basis.words());
        text += &format!("  {}\n", figure.working.formula);
        for term in figure.working.terms {
            text += &format!(
                "  {} = {} · {}\n",
                term.label,
                with_doubt(term.quantity, term.uncertainty),
                term.origin
            );
        }
        text += &format!("  {}\n", figure.working.source.line());
    }
    text
}

fn line(finding: &Finding) -> String {
    let mut line = format!("{} · {}", finding.verdict.word(), finding.subject);
    if let Some(margin) = finding.margin {
        let value = crate::numbers::rounded(margin.quantity.value, 3);
        line += format!(" · {value} {}", margin.quantity.unit).trim_end();
    }
    if let Some(certainty) = finding.certainty {
        line += &format!(" · {certainty}");
    }
    line += &format!("\n  {}\n", finding.message);
    for mend in &finding.mends {
        line += &format!("  > {mend}\n");
    }
    if let Some(advice) = &finding.measure_next {
        line += &format!("  ? {}\n", advice.label);
    }
    if let Some(none) = &finding.no_single_fact {
        line += &format!("  ? {}\n", none.words());
    }
    line
}
