//! Cases: a sound craft spoiled one way each.
#![allow(clippy::unwrap_used)]

use super::*;
use crate::schema::PartKind;
use crate::{CraftId, Row, read_value};

fn text(text: &str) -> Value {
    Value::Text(text.to_owned())
}

fn part(id: &str, kind: PartKind) -> Part {
    Part::new(PartId::new(id).unwrap(), kind, format!("the {id}"))
}

fn place(id: &str, part: &str, on: &str) -> Place {
    Place::new(PlaceId::new(id).unwrap(), PartId::new(part).unwrap(), Anchor::read(on).unwrap())
}

fn row(values: &[(&str, Value)]) -> Row {
    Row(values.iter().map(|(key, value)| ((*key).to_owned(), value.clone())).collect())
}

/// A frame with a camera and its lens, a transmitter with an antenna on a pigtail.
fn sound() -> Craft {
    let mut craft = Craft::new(CraftId::new("wren").unwrap(), "Wren");
    let mut frame = part("frame", PartKind::Frame);
    frame.tables.insert("plate".into(), vec![row(&[("name", text("bottom"))])]);
    frame.tables.insert("hole".into(), vec![row(&[("plate", text("bottom"))])]);
    frame
        .tables
        .insert("pattern".into(), vec![row(&[("name", text("rear stack")), ("plate", text("bottom"))])]);
    frame.tables.insert("camera_mount".into(), vec![row(&[("name", text("nose"))])]);
    let mut vtx = part("vtx", PartKind::VideoTransmitter);
    vtx.tables.insert("plug".into(), vec![row(&[("name", text("coax 1"))])]);
    craft.parts = vec![frame, part("cam", PartKind::Camera), part("lens", PartKind::Lens), vtx];
    craft.parts.extend([part("pigtail", PartKind::Pigtail), part("whip", PartKind::Antenna)]);
    craft.places = vec![
        place("frame", "frame", "body"),
        place("cam", "cam", "frame/nose"),
        place("lens", "lens", "cam/lens mount"),
        place("vtx", "vtx", "frame/rear stack"),
        place("pigtail", "pigtail", "vtx"),
        place("whip", "whip", "body"),
    ];
    craft.places[4].values.insert("from".into(), text("vtx/coax 1"));
    craft.places[5].values.insert("from".into(), text("pigtail/second end"));
    craft
}

fn check(spoil: impl FnOnce(&mut Craft), expected: &[&str]) {
    let mut craft = sound();
    spoil(&mut craft);
    let told: Vec<String> = faults(&craft).iter().map(CraftFault::to_string).collect();
    assert_eq!(told, expected);
}

#[test]
fn a_sound_craft_has_no_faults() {
    check(|_| {}, &[]);
}

#[test]
fn references_to_nothing_are_told_with_what_was_meant() {
    check(
        |craft| craft.places[1].part = PartId::new("eye").unwrap(),
        &["place \"cam\": no part \"eye\" in this craft; add the part first"],
    );
    check(
        |craft| craft.places[4].part = PartId::new("pigtial").unwrap(),
        &["place \"pigtail\": no part \"pigtial\" in this craft; did you mean \"pigtail\"?"],
    );
    check(
        |craft| craft.places[1].on = Some(Anchor::read("fraem/nose").unwrap()),
        &["place \"cam\": no place \"fraem\" in this craft; did you mean \"frame\"?"],
    );
    check(
        |craft| craft.places[3].on = Some(Anchor::read("frame/front stack").unwrap()),
        &["place \"vtx\": no feature \"front stack\" on \"the frame\"; it has \"rear stack\" and \"nose\""],
    );
    check(
        |craft| craft.places[3].on = Some(Anchor::read("lens/shaft").unwrap()),
        &["place \"vtx\": no feature \"shaft\" on \"the lens\"; it has none at all"],
    );
    check(
        |craft| {
            craft.places[4].values.insert("from".into(), text("vtx/coax 2"));
            craft.places[5].values.insert("from".into(), text("pigtale/second end"));
        },
        &[
            "place \"pigtail\": no plug \"coax 2\" on \"the vtx\"; did you mean \"coax 1\"?",
            "place \"whip\": no place \"pigtale\" in this craft; did you mean \"pigtail\"?",
        ],
    );
    check(
        |craft| craft.parts[0].tables.get_mut("hole").unwrap()[0] = row(&[("plate", text("botom"))]),
        &["hole 1 of \"the frame\": no plate \"botom\" on \"the frame\"; did you mean \"bottom\"?"],
    );
}

#[test]
fn seats_in_a_round_are_named_in_full_and_once() {
    check(
        |craft| craft.places[0].on = Some(Anchor::read("frame").unwrap()),
        &["place \"frame\": \"frame\" is seated on itself; seat it on body"],
    );
    check(
        |craft| craft.places[0].on = Some(Anchor::read("lens").unwrap()),
        &[
            "place \"frame\": \"frame\" on \"lens\" on \"cam\" on \"frame\" is a round that rests on nothing; \
           seat one of them on body",
        ],
    );
}

#[test]
fn names_and_ids_must_be_unlike() {
    check(
        |craft| {
            let plates = craft.parts[0].tables.get_mut("plate").unwrap();
            plates.push(plates[0].clone());
        },
        &[
            "plate \"bottom\" of \"the frame\": another plate is called \"bottom\" already; give it a name of its own",
        ],
    );
    check(
        |craft| {
            craft.parts[0].tables.get_mut("pattern").unwrap()[0].0.insert("name".into(), text("nose")).map_or(
                (),
                |_| {
                    craft.places[3].on = Some(Anchor::Body);
                },
            )
        },
        &["place \"cam\": \"nose\" stands for two features of \"the frame\"; give one another name"],
    );
    check(
        |craft| craft.places.push(place("whip", "whip", "body")),
        &["place \"whip\": another one has this id already; give it an id of its own"],
    );
}

#[test]
fn values_that_came_another_way_are_held_to_the_schema() {
    check(
        |craft| {
            craft.parts[1].values.insert("body_widht".into(), Value::Count(3));
            craft.parts[1].values.insert("body_width".into(), Value::Count(3));
            craft.parts[1].values.insert("mass".into(), read_value(&schema::place::YAW.def, "3°").unwrap());
            craft.parts[1].tables.insert("plugs".into(), vec![]);
        },
        &[
            "camera \"the cam\": nothing called \"body_widht\" may stand here; did you mean \"body_width\"?",
            "camera \"the cam\": body width: a count stands where a fact such as \"20 mm, measured\" must stand",
            "camera \"the cam\": mass: a value in ° stands where a fact such as \"20 g, measured\" must stand",
            "camera \"the cam\": no table called \"plugs\" here; did you mean \"plug\"?",
        ],
    );
    check(
        |craft| {
            let outline = Value::Points(vec![[0.0, 0.0], [1.0, 0.0]]);
            craft.parts[0].tables.get_mut("plate").unwrap()[0].0.insert("outline".into(), outline);
        },
        &["plate \"bottom\" of \"the frame\": outline has 2 points and must have at least 3; add corners"],
    );
}

#[test]
fn more_than_the_limit_is_refused_and_the_limit_itself_is_not() {
    let many = |count: usize, deep: bool| {
        let mut craft = sound();
        craft.places = (0..count)
            .map(|n| {
                let on = if deep && n > 0 { format!("p{}", n - 1) } else { "body".to_owned() };
                place(&format!("p{n}"), "lens", &on)
            })
            .collect();
        faults(&craft).iter().map(CraftFault::to_string).collect::<Vec<_>>()
    };
    assert!(many(PLACES_MAX, false).is_empty());
    assert_eq!(
        many(PLACES_MAX + 1, false),
        ["craft \"Wren\": 10001 places must be at most 10000; leave out what does not touch the proof"]
    );
    assert!(many(crate::limits::SEATS_DEEP_MAX + 1, true).is_empty());
    assert_eq!(
        many(PLACES_MAX, true),
        ["place \"p101\": rests on more than 100 seats one on another; seat it lower down"]
    );
}

fn fact(key: &str, kind: PartKind, text: &str) -> Value {
    let def = kind.def().fields.iter().find(|def| def.key == key).unwrap();
    read_value(def, text).unwrap()
}

#[test]
fn the_coldest_air_is_not_warmer_than_the_hottest() {
    let air = |craft: &mut Craft, key: &str, text: &str| {
        let def = schema::craft::FIELDS.iter().find(|def| def.key == key).unwrap();
        craft.values.insert(key.to_owned(), read_value(def, text).unwrap());
    };
    check(
        |craft| {
            air(craft, "coldest", "35 °C");
            air(craft, "hottest", "30 °C");
        },
        &[
            "craft \"Wren\": coldest air 35 °C lies above the hottest, 30 °C; swap them, or correct the one that is wrong",
        ],
    );
    check(
        |craft| {
            air(craft, "coldest", "30 °C");
            air(craft, "hottest", "30 °C");
        },
        &[],
    );
}

#[test]
fn a_transmitter_takes_less_at_standby_than_at_any_level_and_never_nothing() {
    let table = PartKind::VideoTransmitter.def().tables.iter().find(|table| table.key == "level").unwrap();
    let of = |key: &str, text: &str| {
        let def = table.fields.iter().find(|def| def.key == key).unwrap();
        read_value(def, text)
    };
    let spoil = |standby: &'static str| {
        let row = row(&[("out", of("out", "25 mW").unwrap()), ("draw", of("draw", "5 W").unwrap())]);
        move |craft: &mut Craft| {
            craft.parts[3].tables.insert("level".into(), vec![row.clone()]);
            craft.parts[3]
                .values
                .insert("standby_draw".into(), fact("standby_draw", PartKind::VideoTransmitter, standby));
        }
    };
    check(spoil("5 W"), &[]);
    check(
        spoil("9 W"),
        &[
            "video transmitter \"the vtx\": supply power at standby 9 W is more than the 5 W at 25 mW; at standby the radio hardly runs: look at the sheet again",
        ],
    );
    assert!(of("draw", "0 W").is_err(), "nothing that works takes no power");
}

#[test]
fn a_wire_is_entered_once_and_joins_two_pads() {
    let pins = |craft: &mut Craft, wires: &[[&str; 2]]| {
        let pin = |name: &str| row(&[("name", text(name))]);
        craft.parts[3].tables.insert("pin".into(), vec![pin("TX"), pin("RX"), pin("G")]);
        let wires = wires.iter().map(|[from, to]| row(&[("from", text(from)), ("to", text(to))]));
        craft.tables.insert("wire".into(), wires.collect());
    };
    check(|craft| pins(craft, &[["vtx/TX", "vtx/RX"], ["vtx/TX", "vtx/G"]]), &[]);
    check(
        |craft| pins(craft, &[["vtx/TX", "vtx/RX"], ["vtx/G", "vtx/TX"], ["vtx/RX", "vtx/TX"]]),
        &["wire 3: wire 1 joins \"vtx/RX\" and \"vtx/TX\" already; take one of them out"],
    );
    check(
        |craft| pins(craft, &[["vtx/TX", "vtx/TX"]]),
        &["wire 1: it starts and ends at \"vtx/TX\"; take one end to the pad it is to be joined to"],
    );
}
