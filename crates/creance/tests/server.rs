//! The server as pages and strangers meet it.

#![allow(clippy::unwrap_used)]

mod at_hand;

use at_hand::{Desk, TERN, low_tern, spoiled};
use serde_json::{Value, json};
use std::io::{ErrorKind, Read, Write};
use std::net::TcpStream;
use std::time::Duration;

fn findings(bench: &Value, verdict: &str) -> usize {
    bench["findings"].as_array().unwrap().iter().filter(|finding| finding["verdict"] == verdict).count()
}

#[test]
fn an_edit_is_answered_with_new_findings_and_can_be_undone() {
    let (desk, server) = served();
    server.import(low_tern()).ok();
    let low = server.get("/api/craft/tern").ok();
    assert_eq!((low["verdict"].as_str(), findings(&low, "broken")), (Some("broken"), 2));
    let lift = json!({"do": "set_row", "part": "frame", "table": "camera_mount", "row": 0, "key": "z", "text": "16 mm, measured"});
    let high = server.edit("tern", lift).ok();
    assert_eq!(findings(&high, "broken"), 0);
    assert!(high["revision"].as_u64() > low["revision"].as_u64());
    assert!(high["undo"].is_string() && high["redo"].is_null());
    let undone = server.post("/api/craft/tern/undo", json!({})).ok();
    assert_eq!((findings(&undone, "broken"), undone["redo"].is_string()), (2, true));
    let redone = server.post("/api/craft/tern/redo", json!({})).ok();
    assert_eq!(findings(&redone, "broken"), 0);
    let journal = server.get("/api/craft/tern/journal").ok();
    assert_eq!(journal.as_array().unwrap().len(), 4);
    drop((server, desk));
}

fn served() -> (Desk, at_hand::Served) {
    let desk = Desk::new();
    let server = desk.serve();
    (desk, server)
}

#[test]
fn the_bench_has_all_that_the_pages_read() {
    let (_desk, server) = served();
    server.import(low_tern()).ok();
    let size = server.get("/api/craft/tern/size").ok();
    let bench = server.get("/api/craft/tern").ok();
    assert_eq!(size["places"].as_u64(), Some(bench["places"].as_array().unwrap().len() as u64));
    assert!(size["rows"].as_u64() > Some(2));
    assert_eq!(bench["craft"]["class"], "open_3");
    assert_eq!(bench["parts"][0]["used_by"][0]["name"], "Tern");
    let width = &bench["parts"][1]["values"]["body_width"]["fact"];
    assert_eq!(
        (width["value"].as_f64(), width["minus"].as_f64(), width["stated"].as_bool()),
        (Some(14.0), Some(0.1), Some(false))
    );
    let nose: Vec<&str> =
        bench["places"][0]["features"].as_array().unwrap().iter().map(|f| f.as_str().unwrap()).collect();
    assert!(nose.contains(&"nose"), "{nose:?}");
    let worst = &bench["findings"][0];
    let witness = &worst["witness"];
    let named = |end: &str| bench["solids"][witness[end].as_u64().unwrap() as usize]["place"].clone();
    assert_eq!(json!([named("a"), named("b")]), worst["places"]);
    let figure = worst["figure"].as_str().unwrap();
    assert!(bench["figures"].as_array().unwrap().iter().any(|known| known["id"] == figure), "{figure}");
}

#[test]
fn a_craft_goes_from_a_name_to_its_sheet_and_back() {
    let (_desk, server) = served();
    let made = server.post("/api/craft", json!({"name": "First try", "class": "open_3"})).ok();
    assert_eq!(made["id"], "first-try");
    let bench = server.get("/api/craft/first-try").ok();
    assert_eq!(bench["next_step"]["action"], "add:frame");
    let bench = server.edit("first-try", json!({"do": "add_part", "kind": "frame", "name": "Frame"})).ok();
    assert_eq!(bench["next_step"]["action"], "fill:frame.plate");
    let sheet = server.get("/api/craft/first-try/sheet");
    assert!(sheet.headers["content-disposition"].to_str().unwrap().contains("first-try.toml"));
    assert!(sheet.text.contains("name = \"First try\""));
    let copy = server.post("/api/craft/first-try/duplicate", json!({"name": "Second"})).ok();
    assert_eq!(copy["id"], "second");
    server.delete("/api/craft/first-try").ok();
    assert!(server.get("/api/craft/first-try").refused(404).contains("first-try"));
    server.post("/api/craft/first-try/undo", json!({})).ok();
    let fleet = server.get("/api/fleet").ok();
    assert_eq!(fleet["craft"].as_array().unwrap().len(), 2);
    assert_eq!(fleet["workshop"], "shop.sqlite");
}

#[test]
fn parts_are_made_edited_copied_and_removed() {
    let (_desk, server) = served();
    let part = server.post("/api/parts", json!({"kind": "camera", "name": "Small eye"})).ok();
    assert_eq!((part["id"].as_str(), part["kind"].as_str()), (Some("small-eye"), Some("camera")));
    let edit =
        |text: &str| json!({"edit": {"do": "set_part", "part": "small-eye", "key": "mass", "text": text}});
    let part = server.post("/api/parts/small-eye/edit", edit("2.1 g, measured")).ok();
    assert_eq!(part["values"]["mass"]["fact"]["value"], 2.1);
    assert!(server.post("/api/parts/small-eye/edit", edit("-2 g")).refused(422).contains("-2 g"));
    let part = server.post("/api/parts/small-eye/undo", json!({})).ok();
    assert!(part["values"]["mass"].is_null());
    server.post("/api/parts/small-eye/duplicate", json!({"name": "Other eye"})).ok();
    assert_eq!(server.get("/api/parts").ok().as_array().unwrap().len(), 2);
    server.delete("/api/parts/other-eye").ok();
    server.get("/api/parts/other-eye").refused(404);
    assert!(server.post("/api/parts", json!({"kind": "camra", "name": "x"})).text.contains("camera"));
    server.import(TERN).ok();
    assert!(server.delete("/api/parts/cam").refused(409).contains("is used by"));
}

#[test]
fn a_part_of_the_store_comes_into_a_craft_when_it_is_put_somewhere() {
    let (_desk, server) = served();
    server.import(TERN).ok();
    server.post("/api/craft", json!({"name": "Second"})).ok();
    let bench = server.edit("second", json!({"do": "add_place", "part": "frame", "on": "body"})).ok();
    assert_eq!(
        (bench["parts"][0]["id"].as_str(), bench["places"][0]["on"].as_str()),
        (Some("frame"), Some("body"))
    );
    assert_eq!(bench["parts"][0]["used_by"].as_array().unwrap().len(), 2);
    server
        .edit("second", json!({"do": "add_place", "part": "cam", "on": "frame/no such mount"}))
        .refused(422);
    let bench = server.get("/api/craft/second").ok();
    assert_eq!(bench["parts"].as_array().unwrap().len(), 1, "the camera went back");
    server.edit("second", json!({"do": "add_place", "part": "nobody", "on": "body"})).refused(422);
}

#[test]
fn a_refused_edit_changes_nothing() {
    let (_desk, server) = served();
    server.import(TERN).ok();
    let before = server.get("/api/craft/tern").ok();
    for edit in [
        json!({"do": "set_part", "part": "cam", "key": "body_width", "text": "-3 mm"}),
        json!({"do": "set_part", "part": "cam", "key": "body_width", "text": "3 kg"}),
        json!({"do": "set_part", "part": "nobody", "key": "body_width", "text": "3 mm"}),
        json!({"do": "set_place", "place": "cam", "key": "on", "text": "lens"}),
        json!({"do": "remove_part", "part": "frame"}),
        json!({"do": "remove_row", "part": "frame", "table": "plate", "row": 7}),
    ] {
        assert!(!server.edit("tern", edit).refused(422).is_empty());
    }
    for edit in [json!({"do": "explode"}), json!({}), json!({"do": "set_part"}), json!("x")] {
        server.edit("tern", edit).refused(400);
    }
    let after = server.get("/api/craft/tern").ok();
    assert_eq!(
        (before["revision"].clone(), before["parts"].clone()),
        (after["revision"].clone(), after["parts"].clone())
    );
}

#[test]
fn an_answer_waits_for_the_whole_request_and_the_connection_lives_on() {
    let (_desk, server) = served();
    server.import(TERN).ok();
    let mut line = TcpStream::connect(("127.0.0.1", server.port().parse().unwrap())).unwrap();
    let head = |path: &str| {
        let port = server.port();
        format!(
            "POST {path} HTTP/1.1\r\nhost: 127.0.0.1:{port}\r\ncontent-type: application/json\r\ncontent-length: 2\r\n\r\n"
        )
    };
    // No handler of these asks for what comes with the request; the second is refused before any is asked.
    for (path, status) in
        [("/api/craft/tern/undo", "409"), ("/api/nowhere", "404"), ("/api/craft/tern/redo", "409")]
    {
        line.write_all(head(path).as_bytes()).unwrap();
        line.set_read_timeout(Some(Duration::from_millis(100))).unwrap();
        let early = line.read(&mut [0]).map_err(|cause| cause.kind());
        assert!(matches!(early, Err(ErrorKind::WouldBlock | ErrorKind::TimedOut)), "{path}: {early:?}");
        line.set_read_timeout(None).unwrap();
        line.write_all(b"{}").unwrap();
        assert!(answer_on(&mut line).starts_with(&format!("HTTP/1.1 {status} ")), "{path}");
    }
}

/// One answer, head and body, on a connection that stays open.
fn answer_on(line: &mut TcpStream) -> String {
    let mut read = Vec::new();
    loop {
        let text = String::from_utf8_lossy(&read).to_lowercase();
        if let Some((head, body)) = text.split_once("\r\n\r\n") {
            let (_, length) = head.split_once("content-length: ").unwrap();
            let length: usize = length.lines().next().unwrap().parse().unwrap();
            if body.len() >= length {
                return String::from_utf8(read).unwrap();
            }
        }
        let mut byte = [0];
        line.read_exact(&mut byte).unwrap();
        read.push(byte[0]);
    }
}

#[test]
fn strangers_are_kept_out() {
    let (_desk, server) = served();
    let json = ("content-type", "application/json");
    let body = Some(&b"{\"name\":\"x\"}"[..]);
    let host = |name: &str| server.ask("GET", "/api/fleet", &[("host", name)], None);
    assert!(host("evil.example").refused(403).contains("evil.example"));
    host(&format!("evil.example:{}", server.port())).refused(403);
    assert_eq!(host(&format!("localhost:{}", server.port())).status, 200);
    let post = |headers: &[(&str, &str)]| server.ask("POST", "/api/craft", headers, body);
    post(&[json, ("origin", "https://evil.example")]).refused(403);
    post(&[json, ("origin", "null")]).refused(403);
    post(&[json, ("origin", "http://127.0.0.1:1")]).refused(403);
    post(&[("content-type", "application/x-www-form-urlencoded")]).refused(415);
    post(&[("content-type", "text/plain")]).refused(415);
    server.ask("DELETE", "/api/demo", &[("origin", "https://evil.example")], None).refused(403);
    assert_eq!(post(&[json, ("origin", &server.url)]).status, 200);
    assert_eq!(server.get("/api/fleet").ok()["craft"].as_array().unwrap().len(), 1);
    let answer = server.get("/api/fleet");
    assert_eq!(answer.headers["cache-control"], "no-store");
    assert!(answer.headers["content-security-policy"].to_str().unwrap().starts_with("default-src 'self'"));
    assert!(!answer.headers.contains_key("access-control-allow-origin"));
}

#[test]
fn bodies_beyond_the_limit_are_told_the_limit() {
    let (_desk, server) = served();
    let big = format!("{{\"name\":\"{}\"}}", "x".repeat(2 << 20));
    let json = [("content-type", "application/json")];
    assert!(server.ask("POST", "/api/craft", &json, Some(big.as_bytes())).refused(413).contains("1 MiB"));
    let sheet = "# words and words and words again and again\n".repeat(1_200_000);
    assert!(server.import(&sheet).refused(422).contains("fault"));
    assert!(server.import([sheet.as_bytes(), sheet.as_bytes()].concat()).refused(413).contains("64 MiB"));
}

#[test]
fn a_sheet_with_faults_is_refused_line_by_line() {
    let (_desk, server) = served();
    let answer = server.import(spoiled("mass = \"31 g, measured\"", "mass = \"-31 g\""));
    answer.refused(422);
    let fault = &answer.json()["faults"][0];
    assert_eq!(fault["line"], 11);
    assert!(fault["message"].as_str().unwrap().contains("-31"));
    assert!(server.import([0x66, 0xff]).refused(422).contains("UTF-8"));
    assert_eq!(server.get("/api/fleet").ok()["craft"], json!([]));
}

#[test]
fn what_is_not_there_is_told() {
    let (_desk, server) = served();
    server.import(TERN).ok();
    assert!(server.get("/api/craft/tren").refused(404).contains("did you mean \"tern\""));
    server.get("/api/craft/Not%20an%20id").refused(404);
    server.get("/api/craft/tern/draw/below.svg").refused(404);
    server.get("/api/nothing").refused(404);
    server.get("/api/craft/tern/edit").refused(404);
    server.get("/api/craft/nobody/journal").refused(404);
    server.post("/api/craft/nobody/undo", json!({})).refused(409);
    server.post("/api/craft/tern/undo", json!({})).refused(409);
    server.post("/api/craft", json!({"name": "  "})).refused(422);
    server.post("/api/craft", json!({"name": "x", "class": "open_9"})).refused(422);
    server.post("/api/craft", json!({"name": "x".repeat(500)})).refused(422);
    server.post("/api/craft", json!({"nmae": "x"})).refused(400);
}

#[test]
fn what_the_lens_sees_is_served_as_set_and_at_a_tilt_that_is_tried() {
    let (_desk, server) = served();
    server.import(include_str!("../../../demo/fieldfare.toml")).ok();
    let seen = |asked: &str| server.get(&format!("/api/craft/fieldfare/view{asked}")).ok();
    let (set, tried) = (seen(""), seen("?tilt=30&camera=cam"));
    let lens = |view: &serde_json::Value| view["lenses"][0].clone();
    assert_eq!(
        (lens(&set)["tilt_degrees"].as_f64(), lens(&tried)["tilt_degrees"].as_f64()),
        (Some(15.0), Some(30.0))
    );
    let blades = |view| lens(view)["picture"]["fills"][0]["percent"].as_f64().unwrap();
    assert!(blades(&set) > 2.2 && blades(&tried) < 1.6, "{} and {}", blades(&set), blades(&tried));
    assert_eq!(lens(&set)["picture"]["verdict"], "tight");
    // So far up the camera no longer fits: that is said before what the blades fill.
    assert_eq!(lens(&tried)["picture"]["verdict"], "broken");
    assert!(lens(&set)["picture"]["svg"].as_str().unwrap().starts_with("<svg "));
    // Trying changes nothing.
    assert_eq!(server.get("/api/craft/fieldfare").ok()["undo"], json!(null));
    assert_eq!(seen(""), set);
    let sheet = server.get("/api/craft/fieldfare/draw/view.svg?tilt=30");
    assert!(sheet.text.contains("camera tilted 30°"), "{}", sheet.text);
    let inside = lens(&seen("?tilt=45"));
    assert!(
        inside["picture"].is_null() && inside["unseen"].as_str().unwrap().contains("lies inside top plate")
    );
    assert!(server.get("/api/craft/fieldfare/view?tilt=400").refused(422).contains("400°"));
    server.get("/api/craft/fieldfare/view?tilt=much").refused(400);
    server.get("/api/craft/fieldfare/view?tilt=NaN").refused(422);
    assert!(
        server
            .get("/api/craft/fieldfare/view?tilt=3&camera=vtx")
            .refused(404)
            .contains("no camera stands at")
    );
    server.import(TERN).ok();
    let unseen = lens(&server.get("/api/craft/tern/view").ok());
    assert!(
        unseen["unseen"].as_str().unwrap().starts_with("Nobody can say yet: the projection of"),
        "{unseen}"
    );
    server.post("/api/craft", json!({"name": "Bare"})).ok();
    let none = server.get("/api/craft/bare/view").ok();
    assert!(none["lenses"] == json!([]) && none["none_because"].as_str().unwrap().contains("put a camera"));
    server.get("/api/craft/bare/draw/view.svg").refused(422);
    server.get("/api/craft/bare/view?tilt=3").refused(404);
}

#[test]
fn what_the_lens_shows_over_the_course_is_served_with_another_beside_it() {
    let (_desk, server) = served();
    server.import(include_str!("../../../demo/fieldfare.toml")).ok();
    let seen = |asked: &str| server.get(&format!("/api/craft/fieldfare/course{asked}")).ok();
    let (set, slow) = (seen(""), seen("?speed=0&tilt=20&left=-30&before=5"));
    assert!(set["pictures"][0]["svg"].as_str().unwrap().starts_with("<svg "));
    assert_eq!((set["pictures"].as_array().unwrap().len(), set["left"]["value"].as_f64()), (1, Some(0.0)));
    assert!(set["nose_down"]["quantity"]["value"].as_f64().unwrap() > 5.0, "{}", set["nose_down"]);
    assert_eq!(slow["nose_down"]["quantity"]["value"].as_f64(), Some(0.0));
    assert_eq!(slow["words"], "5 m before the first gate, turned 30° to the right, in hover");
    assert_eq!(slow["tilt"]["value"].as_f64(), Some(20.0));
    // Every number has its working.
    let lines = set["lines"].as_array().unwrap();
    assert!(lines.len() >= 6 && lines.iter().all(|line| line["one"]["terms"].as_array().unwrap().len() > 1));
    let pair = seen("?beside=4:3");
    assert_eq!(pair["pictures"][1]["aspect"], "4 : 3");
    assert!(pair["gives_up"].as_str().unwrap().contains("from side to side"), "{}", pair["gives_up"]);
    let shapes: Vec<&str> =
        set["choices"].as_array().unwrap().iter().map(|choice| choice["word"].as_str().unwrap()).collect();
    assert!(shapes.contains(&"4:3") && !shapes.contains(&"16:9"), "{shapes:?}");
    assert_eq!(server.get("/api/craft/fieldfare").ok()["undo"], json!(null));
    let sheet = server.get("/api/craft/fieldfare/draw/view.svg?beside=4:3&speed=6&tilt=20");
    assert!(sheet.text.contains("Second: the same lens in 4 : 3"), "{}", sheet.text);
    assert!(
        server.get("/api/craft/fieldfare/course?speed=400").refused(400).contains("between 0 and 50 m/s")
    );
    server.get("/api/craft/fieldfare/course?speed=fast").refused(400);
    assert!(
        server.get("/api/craft/fieldfare/course?beside=5:4").refused(404).contains("no shape of a picture")
    );
    server.import(TERN).ok();
    let unseen = server.get("/api/craft/tern/course").ok();
    assert!(unseen["pictures"][0]["unseen"].as_str().unwrap().starts_with("Nobody can say yet"), "{unseen}");
    server.post("/api/craft", json!({"name": "Bare"})).ok();
    let none = server.get("/api/craft/bare/course").ok();
    assert!(none["none_because"].as_str().unwrap().contains("put a camera"));
}

#[test]
fn drawings_manual_schema_and_backup_are_served() {
    let (desk, server) = served();
    server.import(TERN).ok();
    let drawing = server.get("/api/craft/tern/draw/side.svg");
    assert_eq!(drawing.headers["content-type"], "image/svg+xml");
    assert!(drawing.text.starts_with("<svg "));
    let page = server.get("/api/craft/tern/draw/card-2.svg");
    assert!(page.text.contains("Placement") && !page.text.contains("How it stands"));
    let printed = server.get("/api/craft/tern/draw/card.pdf");
    assert_eq!(printed.headers["content-type"], "application/pdf");
    assert!(printed.headers["content-disposition"].to_str().unwrap().contains("tern-card.pdf"));
    let picture = server.get("/api/craft/tern/draw/front.png?dots_per_inch=40");
    assert_eq!((picture.status, picture.headers["content-type"].to_str().unwrap()), (200, "image/png"));
    let plate = server.get("/api/craft/tern/draw/template.svg?of=frame/bottom");
    assert!(plate.text.contains("plate bottom of"), "{}", plate.text);
    server.get("/api/craft/tern/draw/template.svg?of=tail").refused(404);
    server.get("/api/craft/tern/draw/card-3.svg").refused(404);
    server.get("/api/craft/tern/draw/front.png?dots_per_inch=many").refused(400);
    server.get("/api/craft/tern/draw/front.png?dots_per_inch=9000").refused(422);
    assert!(server.get("/api/craft/tern/draw/view.svg").text.contains("Nobody can say yet: the projection"));
    assert!(server.get("/api/fleet").ok()["craft"][0]["outline_svg"].as_str().unwrap().contains("<path"));
    let manual = server.get("/api/manual").ok();
    for key in ["rules", "sources", "sheet", "glossary", "clearances", "doubts", "commands", "cautions"] {
        assert!(!manual[key].as_array().unwrap().is_empty(), "{key}");
    }
    assert_eq!(manual["checks"]["passed"], manual["checks"]["total"]);
    assert!(server.get("/api/schema").ok()["kinds"].as_array().unwrap().len() > 15);
    assert_eq!(server.get("/api/health").ok()["name"], "creance");
    let kept = server.post("/api/backup", json!({"name": "kept.backup"})).ok();
    assert!(kept["path"].as_str().unwrap().ends_with("kept.backup") && desk.path("kept.backup").is_file());
    server.post("/api/backup", json!({"name": "../kept"})).refused(422);
    let named = server.post("/api/backup", json!({})).ok();
    assert!(named["path"].as_str().unwrap().contains(".made-"), "{named}");
}

#[test]
fn without_pages_the_address_says_how_to_build_them() {
    let (_desk, server) = served();
    let answer = server.get("/");
    match answer.status {
        200 => assert!(answer.text.contains("<html")),
        status => {
            assert_eq!(status, 404);
            assert!(answer.text.contains("cargo xtask run"));
        }
    }
}

#[test]
fn the_demo_has_a_craft_of_every_verdict_and_is_loaded_once() {
    let desk = Desk::new();
    let words = ["serve", "--no-open", "--demo"];
    let count = |server: &at_hand::Served| {
        let fleet = server.get("/api/fleet").ok();
        assert_eq!(
            (fleet["demo_loaded"].as_bool(), fleet["workshop"].as_str()),
            (Some(true), Some("demo.sqlite"))
        );
        let mut verdicts: Vec<String> =
            fleet["craft"].as_array().unwrap().iter().map(|c| c["verdict"].to_string()).collect();
        verdicts.sort();
        verdicts
    };
    let server = desk.serve_with(&words);
    let once = count(&server);
    assert_eq!(
        once,
        ["broken", "broken", "broken", "sound", "tight", "tight", "unknown"].map(|word| format!("{word:?}"))
    );
    drop(server);
    assert_eq!(count(&desk.serve_with(&words)), once);
    // The demo's workshop is not the user's own.
    desk.run(&["check", "tern"]).ends(2).says("no workshop of your own yet");
}

#[test]
fn the_demo_comes_and_goes_and_leaves_the_own_alone() {
    let (_desk, server) = served();
    server.import(TERN).ok();
    let fleet = server.post("/api/demo", json!({})).ok();
    let demo = fleet["craft"].as_array().unwrap().iter().filter(|craft| craft["demo"] == true).count();
    assert_eq!((fleet["demo_loaded"].as_bool(), demo), (Some(true), 7));
    let own = &fleet["craft"][0];
    assert_eq!((own["id"].as_str(), own["demo"].as_bool()), (Some("tern"), Some(false)));
    let fleet = server.delete("/api/demo").ok();
    assert_eq!((fleet["demo_loaded"].as_bool(), fleet["craft"].as_array().unwrap().len()), (Some(false), 1));
}

#[cfg(unix)]
#[test]
fn an_interrupt_ends_it_cleanly() {
    let (desk, server) = served();
    server.import(TERN).ok();
    let process = server.process().to_string();
    assert!(std::process::Command::new("kill").args(["-INT", &process]).status().unwrap().success());
    assert_eq!(server.ends(), Some(0));
    assert!(!desk.path("shop.sqlite-wal").exists());
    desk.run(&["check", "tern", "--workshop", "shop.sqlite"]).ends(0);
}

#[test]
fn what_was_acknowledged_survives_a_kill() {
    let desk = Desk::new();
    let server = desk.serve();
    server.import(low_tern()).ok();
    let lift = json!({"do": "set_row", "part": "frame", "table": "camera_mount", "row": 0, "key": "z", "text": "16 mm, measured"});
    server.edit("tern", lift).ok();
    drop(server);
    let again = desk.serve();
    assert_eq!(findings(&again.get("/api/craft/tern").ok(), "broken"), 0);
}
