//! A newcomer with a data sheet and calipers follows the guide, and nothing but the guide, from an empty
//! workshop to the finding that the transmitter's plug fouls a standoff.
//!
//! How: a table says what the newcomer would answer to each step; the test asks the server for the next
//! step, sends the edits a page would send for it, and stops at the first broken finding.

#![allow(clippy::unwrap_used)]

mod at_hand;

use at_hand::{Desk, Served};
use serde_json::{Value, json};

/// What is entered at a table of a part: rows of `key = value`.
fn rows(path: &str) -> Vec<Value> {
    let post = |name: &str, y: f64| {
        json!({"name": name, "x": "-30 mm, measured", "y": format!("{y} mm, measured"), "z": "2.5 mm, measured",
               "diameter": "5 mm, measured", "height": "22 mm, measured"})
    };
    let mount = |name: &str, x: f64, y: f64| json!({"name": name, "x": format!("{x} mm"), "y": format!("{y} mm"), "z": "2.5 mm", "plate_thickness": "4 mm, measured"});
    match path {
        "frame.plate" => vec![json!({"name": "bottom", "role": "bottom", "material": "carbon",
            "thickness": "2.5 mm, measured", "outline": "-48,-20; 48,-20; 48,20; -48,20"})],
        "frame.standoff" => vec![post("rear left", 17.0), post("rear right", -17.0)],
        "frame.pattern" => vec![
            json!({"name": "rear", "plate": "bottom", "x": "-20 mm", "pitch": "20 mm, measured", "hole": "2.2 mm, measured"}),
        ],
        "frame.camera_mount" => vec![
            json!({"name": "nose", "x": "40 mm, measured", "z": "14 mm, measured", "clear_width": "14.5 mm, measured"}),
        ],
        "frame.motor_mount" => vec![
            mount("front left", 60.0, 60.0),
            mount("front right", 60.0, -60.0),
            mount("rear left", -60.0, 60.0),
            mount("rear right", -60.0, -60.0),
        ],
        "transmitter.pattern" => {
            vec![json!({"name": "mount", "pitch": "20 mm, measured", "hole": "2.4 mm, measured"})]
        }
        // The coax plug stands out at the rear left, just where the post is.
        "transmitter.plug" => vec![
            json!({"name": "coax", "use": "coax", "x": "-10 mm, measured", "y": "14 mm, measured", "z": "5 mm, measured",
            "length": "3 mm, measured", "width": "3 mm, measured", "height": "3 mm, measured", "pull": "up"}),
        ],
        other => panic!("nobody can answer {other}"),
    }
}

/// What is entered as a fact, by its key.
fn fact(path: &str) -> &'static str {
    match path.rsplit('.').next().unwrap() {
        "mass" => "9 g, measured",
        "length" | "width" => "27 mm, data sheet",
        "height" => "7 mm, data sheet",
        "system" => "bench link",
        other => panic!("nobody can answer {path} ({other})"),
    }
}

fn edits(action: &str) -> Vec<Value> {
    let (what, rest) = action.split_once(':').unwrap_or((action, ""));
    match (what, rest) {
        ("class", _) => vec![json!({"do": "set_craft", "key": "class", "text": "open_3"})],
        ("add", "frame") => vec![json!({"do": "add_part", "kind": "frame", "name": "Frame"})],
        ("add", "video_transmitter") => {
            vec![json!({"do": "add_part", "kind": "video_transmitter", "name": "Transmitter"})]
        }
        ("place", "frame") => vec![json!({"do": "add_place", "part": "frame", "on": "body"})],
        ("place", "transmitter") => vec![
            json!({"do": "add_place", "part": "transmitter", "on": "frame/rear"}),
            json!({"do": "set_place", "place": "transmitter", "key": "z", "text": "4 mm, measured"}),
        ],
        ("fill", path) if path.matches('.').count() == 1 && is_table(path) => {
            let (part, table) = path.split_once('.').unwrap();
            let row = |values| json!({"do": "add_row", "part": part, "table": table, "values": values});
            rows(path).into_iter().map(row).collect()
        }
        ("fill", path) => {
            let (part, key) = path.split_once('.').unwrap();
            vec![json!({"do": "set_part", "part": part, "key": key, "text": fact(path)})]
        }
        _ => panic!("nobody can answer {action}"),
    }
}

fn is_table(path: &str) -> bool {
    ["plate", "standoff", "pattern", "camera_mount", "motor_mount", "plug"]
        .iter()
        .any(|table| path.ends_with(&format!(".{table}")))
}

fn follow(server: &Served, craft: &str) -> (Vec<String>, Value) {
    let mut steps: Vec<String> = Vec::new();
    let mut bench = server.get(&format!("/api/craft/{craft}")).ok();
    while bench["counts"]["broken"] == 0 {
        let action = bench["next_step"]["action"].as_str().unwrap().to_owned();
        assert!(!steps.contains(&action), "{action} is asked twice: {steps:?}");
        for edit in edits(&action) {
            bench = server.edit(craft, edit).ok();
        }
        steps.push(action);
    }
    (steps, bench)
}

#[test]
fn the_guide_leads_from_nothing_to_the_plug_that_fouls_a_standoff() {
    let desk = Desk::new();
    let server = desk.serve();
    let made = server.post("/api/craft", json!({"name": "First"})).ok();
    let (steps, bench) = follow(&server, made["id"].as_str().unwrap());
    assert_eq!(steps.first().map(String::as_str), Some("class"));
    assert!(steps.len() < 20, "{steps:?}");
    let worst = &bench["findings"][0];
    let message = worst["message"].as_str().unwrap();
    assert!(message.contains("coax") && message.contains("rear left"), "{message}");
    assert!(
        worst["margin"]["value"].as_f64().unwrap() < 0.0
            && worst["margin"]["uncertainty"].as_f64().unwrap() > 0.0
    );
    assert!(worst["certainty_words"].is_string() && !worst["mends"].as_array().unwrap().is_empty());
}
