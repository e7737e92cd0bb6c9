//! The sound craft of `testing` with its wiring, for the tests of the rules that ask about it. All figures are invented.
//!
//! A flight controller with three ports, turned a quarter to the left, stands on the speed controller. The control receiver is
//! on port 1, the video transmitter on port 2, each with send, receive, supply and ground.

#![allow(clippy::unwrap_used, clippy::panic)]

pub(crate) use crate::testing::set;
use crate::testing::{part, place, row, sound_craft, told_of};
use crate::{Rule, Verdict};
use craft::schema::PartKind;
use craft::{Craft, Row, Value, apply};
use expect_test::Expect;

/// A craft of which every rule of wiring and settings is sound.
pub(crate) fn sound_wiring() -> Craft {
    let mut sound = sound_craft();
    let craft = &mut sound;
    board(craft);
    units(craft);
    for [from, to, gauge, colour] in [
        ["fc/5V", "rx/5V", "28", "red"],
        ["fc/G1", "rx/G", "28", "black"],
        ["fc/T1", "rx/RX", "30", "yellow"],
        ["fc/R1", "rx/TX", "30", "white"],
        ["fc/9V", "vtx/VCC", "26", "red"],
        ["fc/G2", "vtx/G", "26", "black"],
        ["fc/T2", "vtx/RX", "30", "green"],
        ["fc/R2", "vtx/TX", "30", "blue"],
    ] {
        craft_row(craft, "wire", &[("from", from), ("to", to), ("gauge", gauge), ("colour", colour)]);
    }
    port_set(craft, "fc/serial 1", Some("control receiver"), Some("420000 Bd"));
    port_set(craft, "fc/serial 2", Some("video"), Some("115200 Bd"));
    for (path, text) in [
        ("craft.standby", "yes"),
        ("craft.channel", "5800 MHz"),
        ("place vtx.channel_set", "5800 MHz"),
        ("place ground.channel_set", "5800 MHz"),
        ("place vtx.grid_set", "53 x 20"),
        ("place fc.grid_set", "53×20"),
        ("place vtx.rises", "yes"),
        ("place fc.turn_set", "90°"),
        ("place fc.failsafe", "drop"),
        ("place fc.failsafe_tried", "this month"),
    ] {
        set(craft, path, text);
    }
    sound
}

fn board(craft: &mut Craft) {
    let facts = [
        ("length", "27 mm"),
        ("width", "27 mm"),
        ("board", "1.2 mm"),
        ("above", "2.5 mm"),
        ("below", "1.3 mm"),
        ("arrow", "forward"),
    ];
    part(craft, PartKind::FlightController, "fc", "flight controller", &facts);
    for port in ["serial 1", "serial 2", "serial 3"] {
        let facts = [
            ("name", port),
            ("lines", "both"),
            ("level", "3.3 V, data sheet"),
            ("stands", "3.6 V, data sheet"),
            ("inverter", "no"),
        ];
        row(craft, "fc", "port", &facts);
    }
    for (rail, out) in [("5 V", "5 V, data sheet"), ("9 V", "9 V, data sheet")] {
        row(craft, "fc", "rail", &[("name", rail), ("out", out), ("current", "2 A")]);
    }
    for (number, (name, role, more)) in [
        ("T1", "send", Some(("port", "serial 1"))),
        ("R1", "receive", Some(("port", "serial 1"))),
        ("5V", "supply out", Some(("rail", "5 V"))),
        ("G1", "ground", None),
        ("9V", "supply out", Some(("rail", "9 V"))),
        ("G2", "ground", None),
        ("T2", "send", Some(("port", "serial 2"))),
        ("R2", "receive", Some(("port", "serial 2"))),
        ("T3", "send", Some(("port", "serial 3"))),
        ("R3", "receive", Some(("port", "serial 3"))),
    ]
    .into_iter()
    .enumerate()
    {
        let number = (number + 1).to_string();
        let mut facts = vec![("name", name), ("role", role), ("number", number.as_str())];
        facts.extend(more);
        row(craft, "fc", "pin", &facts);
    }
    place(craft, "fc", "fc", "frame", &[("z", "14 mm"), ("yaw", "90°")]);
}

fn units(craft: &mut Craft) {
    let link = |rate: &'static str| {
        [
            ("name", "link"),
            ("lines", "both"),
            ("level", "3.3 V, data sheet"),
            ("stands", "3.6 V, data sheet"),
            ("rate", rate),
        ]
    };
    row(craft, "vtx", "port", &link("115200 Bd"));
    for (key, text) in [("supply_min", "6 V"), ("supply_max", "26 V")] {
        set(craft, &format!("vtx.{key}"), text);
    }
    row(craft, "vtx", "level", &[("out", "25 mW"), ("draw", "4.5 W, data sheet")]);
    for (name, role, number) in [("VCC", "supply in", "1"), ("G", "ground", "2")] {
        row(craft, "vtx", "pin", &[("name", name), ("role", role), ("number", number)]);
    }
    for (name, role, number) in [("RX", "receive", "3"), ("TX", "send", "4")] {
        row(craft, "vtx", "pin", &[("name", name), ("role", role), ("number", number), ("port", "link")]);
    }
    part(craft, PartKind::ControlReceiver, "rx", "control receiver", &[("current", "0.1 A")]);
    row(craft, "rx", "port", &link("420000 Bd"));
    row(
        craft,
        "rx",
        "pin",
        &[("name", "5V"), ("role", "supply in"), ("least", "4.5 V"), ("greatest", "5.5 V")],
    );
    row(craft, "rx", "pin", &[("name", "G"), ("role", "ground")]);
    row(craft, "rx", "pin", &[("name", "RX"), ("role", "receive"), ("port", "link")]);
    row(craft, "rx", "pin", &[("name", "TX"), ("role", "send"), ("port", "link")]);
    place(craft, "rx", "rx", "frame", &[("x", "-14 mm"), ("z", "14 mm")]);
}

/// Adds a row to a table of the craft.
fn craft_row(craft: &mut Craft, table: &str, facts: &[(&str, &str)]) {
    let values = facts.iter().map(|(key, text)| ((*key).to_owned(), (*text).to_owned())).collect();
    let edit = craft::Edit::AddCraftRow { table: table.to_owned(), values };
    *craft = apply(craft, &edit).unwrap_or_else(|fault| panic!("{fault}"));
}

fn end(row: &Row, key: &str) -> String {
    row.0.get(key).map(craft::write_value).unwrap_or_default()
}

fn wires(craft: &mut Craft) -> &mut Vec<Row> {
    craft.tables.entry("wire".to_owned()).or_default()
}

/// Takes the other end of the wire at a pad to another pad.
pub(crate) fn rewire(craft: &mut Craft, from: &str, to: &str) {
    let wire = wires(craft).iter_mut().find(|row| end(row, "from") == from).unwrap();
    wire.0.insert("to".to_owned(), Value::Text(to.to_owned()));
}

/// Takes the start of the wire that ends at a pad to another pad.
pub(crate) fn rewire_source(craft: &mut Craft, to: &str, from: &str) {
    let wire = wires(craft).iter_mut().find(|row| end(row, "to") == to).unwrap();
    wire.0.insert("from".to_owned(), Value::Text(from.to_owned()));
}

/// Adds a wire.
pub(crate) fn join(craft: &mut Craft, from: &str, to: &str) {
    craft_row(craft, "wire", &[("from", from), ("to", to), ("gauge", "30")]);
}

/// Takes the transmitter's ground to a second ground pad of the receiver, so that it comes back round by that.
pub(crate) fn ground_by_receiver(craft: &mut Craft) {
    row(craft, "rx", "pin", &[("name", "G2"), ("role", "ground")]);
    unwire(craft, "vtx/G");
    join(craft, "rx/G2", "vtx/G");
}

/// Takes the wires at a pad away.
pub(crate) fn unwire(craft: &mut Craft, pad: &str) {
    wires(craft).retain(|row| end(row, "from") != pad && end(row, "to") != pad);
}

/// Takes every wire away.
pub(crate) fn without_wires(craft: &mut Craft) {
    craft.tables.remove("wire");
}

/// Gives the wire that ends at a pad a gauge, or takes it away.
pub(crate) fn gauge(craft: &mut Craft, to: &str, gauge: Option<&str>) {
    let wire = wires(craft).iter_mut().find(|row| end(row, "to") == to).unwrap();
    match gauge {
        Some(gauge) => wire.0.insert("gauge".to_owned(), Value::Count(gauge.parse().unwrap())),
        None => wire.0.remove("gauge"),
    };
}

/// Says how long the wire that ends at a pad is cut.
pub(crate) fn cut(craft: &mut Craft, to: &str, length: &str) {
    let wire = wires(craft).iter_mut().find(|row| end(row, "to") == to).unwrap();
    let length = quantity::read_fact(length, quantity::Unit::Millimetres).unwrap();
    wire.0.insert("length".to_owned(), Value::Fact(length));
}

/// Sets a port to a function and a rate, or takes its setting away.
pub(crate) fn port_set(craft: &mut Craft, port: &str, function: Option<&str>, rate: Option<&str>) {
    craft.tables.entry("port_set".to_owned()).or_default().retain(|row| end(row, "port") != port);
    let Some(function) = function else { return };
    let mut facts = vec![("port", port), ("function", function)];
    facts.extend(rate.map(|rate| ("rate", rate)));
    craft_row(craft, "port_set", &facts);
}

/// Puts a ready-made lead in the place of the transmitter's four wires; its plug there has this order.
pub(crate) fn lead(craft: &mut Craft, order: &[&str]) {
    for pad in ["vtx/VCC", "vtx/G", "vtx/RX", "vtx/TX"] {
        unwire(craft, pad);
    }
    let mut plug = |id: &str, names: &[&str]| {
        row(craft, id, "plug", &[("name", "lead"), ("use", "serial"), ("type", "four-way")]);
        for (number, name) in names.iter().enumerate() {
            let part = crate::testing::part_mut(craft, id);
            let pins = part.tables.get_mut("pin").unwrap();
            let pin = pins.iter_mut().find(|row| end(row, "name") == *name).unwrap();
            pin.0.insert("plug".to_owned(), Value::Text("lead".to_owned()));
            pin.0.insert("number".to_owned(), Value::Count(number as u32 + 1));
        }
    };
    plug("fc", &["9V", "G2", "T2", "R2"]);
    plug("vtx", order);
    craft_row(craft, "wire", &[("from", "fc/lead"), ("to", "vtx/lead")]);
}

/// Holds what a rule says of the craft once it is spoiled.
#[track_caller]
pub(crate) fn check(rule: &Rule, spoil: impl FnOnce(&mut Craft), expected: Expect) {
    let mut craft = sound_wiring();
    spoil(&mut craft);
    expected.assert_eq(&told_of(rule, &craft, |finding| finding.verdict != Verdict::Sound));
}

/// Holds a rule to calling that craft sound in everything it says, and to saying something.
#[track_caller]
pub(crate) fn is_sound(rule: &Rule) {
    let craft = sound_wiring();
    assert_eq!(told_of(rule, &craft, |finding| finding.verdict != Verdict::Sound), "");
    assert!(!told_of(rule, &craft, |_| true).is_empty(), "{} says nothing", rule.id);
}
