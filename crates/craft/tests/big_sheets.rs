//! Big sheets: read in reasonable time, refused where they pass a limit. Times are printed, not asserted.
#![allow(clippy::unwrap_used)]

use craft::limits::{PLACES_MAX, ROWS_MAX, SHEET_BYTES_MAX};
use craft::schema::PartKind;
use craft::{Craft, CraftId, Part, PartId, Row, Value, read_sheet, rewrite_sheet, write_sheet};
use std::fmt::Write as _;
use std::time::Instant;

fn timed<T>(what: &str, run: impl FnOnce() -> T) -> T {
    let start = Instant::now();
    let result = run();
    println!("{what}: {:?}", start.elapsed());
    result
}

fn frame_of(rows: usize) -> Craft {
    let mut craft = Craft::new(CraftId::new("big").unwrap(), "Big");
    let mut frame = Part::new(PartId::new("frame").unwrap(), PartKind::Frame, "frame");
    let row = |n: usize| {
        let fact = |key: &str, text: &str| {
            let fields = craft::schema::frame::standoff::TABLE.fields;
            let def = fields.iter().find(|def| def.key == key).unwrap();
            (key.to_owned(), craft::read_value(def, text).unwrap())
        };
        let values = [
            ("name".to_owned(), Value::Text(format!("post {n}"))),
            fact("x", &format!("{} mm ± 0.1, measured", n % 200)),
            fact("y", &format!("{} mm, data sheet", n / 200)),
            fact("diameter", "5 mm"),
            fact("height", "20 mm, measured"),
        ];
        Row(values.into_iter().collect())
    };
    frame.tables.insert("standoff".into(), (0..rows).map(row).collect());
    craft.parts.push(frame);
    craft
}

#[test]
fn ten_thousand_solids_are_read_and_rewritten() {
    let craft = frame_of(ROWS_MAX);
    let text = timed("write", || write_sheet(&craft));
    println!("{} bytes", text.len());
    let reading = timed("read", || read_sheet(&text));
    assert!(!reading.is_refused());
    assert_eq!(reading.craft, craft);
    let mut after = craft.clone();
    after.parts[0].tables.get_mut("standoff").unwrap().remove(5000);
    let new = timed("rewrite", || rewrite_sheet(&text, &after));
    assert!(text.len() - new.len() < 300);
}

#[test]
fn one_more_than_ten_thousand_is_refused_by_name() {
    let told = read_sheet(&write_sheet(&frame_of(ROWS_MAX + 1))).faults;
    assert_eq!(told.len(), 1);
    assert!(told[0].to_string().contains("10001 rows of parts must be at most 10000"), "{}", told[0]);
}

#[test]
fn ten_thousand_dangling_places_are_told_in_time() {
    let mut text = "creance_sheet = 1\n[craft]\nname = \"Big\"\n".to_owned();
    for n in 0..PLACES_MAX {
        writeln!(text, "[place.p{n}]\npart = \"part-{n}\"\non = \"place-{n}/feature\"\nwinds = 3").unwrap();
    }
    let reading = timed("dangling", || read_sheet(&text));
    assert_eq!(reading.faults.len(), craft::limits::SHEET_FAULTS_MAX + 1);
    assert_eq!(reading.faults.last().unwrap().message(), "29000 more are wrong; mend these first");
}

#[test]
fn five_megabytes_of_remarks_and_points_are_read() {
    let mut text = "creance_sheet = 1\n[craft]\nname = \"Big\"\n[part.f]\nkind = \"frame\"\n".to_owned();
    for plate in 0..90 {
        writeln!(text, "[[part.f.plate]]\nname = \"plate {plate}\"\noutline = [").unwrap();
        for n in 0..1000 {
            writeln!(text, "  [{}.25, {}.5], # {n}", n % 1000, plate).unwrap();
        }
        text.push_str("]\n");
    }
    text.push_str(&"# a remark that fills the sheet\n".repeat(70_000));
    println!("{} bytes", text.len());
    let reading = timed("5 MB", || read_sheet(&text));
    assert!(!reading.is_refused());
}

#[test]
fn a_sheet_past_the_limit_is_refused_before_it_is_parsed() {
    for (text, told) in [
        ("#".repeat(SHEET_BYTES_MAX + 1), "the sheet is 17 MiB and must be at most 16 MiB"),
        ("[a]\n".repeat(50_000_000 / 4), "the sheet is 48 MiB and must be at most 16 MiB"),
        ("[a]\n".repeat(1_000_000), "1000000 parts, places and rows must be at most 30001"),
        ("[".repeat(2_000_000), "about 2000000 values and list entries must be at most 1500000"),
    ] {
        let reading = timed(told, || read_sheet(&text));
        assert_eq!(reading.faults.len(), 1);
        assert!(reading.faults[0].to_string().contains(told), "{}", reading.faults[0]);
    }
}

#[test]
fn hostile_texts_end_in_time() {
    for (what, text) in [
        ("brackets", "[".repeat(100_000)),
        ("open list", format!("a = {}", "[".repeat(100_000))),
        ("braces", "a = {b = ".repeat(10_000)),
        ("dots", format!("[{}a]", "a.".repeat(30_000))),
        ("slips", "a = \n".repeat(30_000)),
        ("equals", "=\n".repeat(30_000)),
        ("quotes", "\"".repeat(100_000)),
        ("one long line", format!("a = \"{}", "x".repeat(2_000_000))),
    ] {
        let reading = timed(what, || read_sheet(&text));
        assert!(reading.is_refused());
    }
}
