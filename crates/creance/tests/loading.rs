//! Loading and the journal over the command line, and phones over the local network.
#![allow(clippy::unwrap_used)]

mod at_hand;

use at_hand::Desk;
use std::io::{BufRead, BufReader};
use std::process::{Child, Stdio};

const RECIPE: &str = "creance_recipe = 1\nkind = \"small air unit\"\nsystem = \"Lanner\"\nend = \"air\"\nfile_name = \"AIR.IMG\"\nminutes = 8\nwatts = 9\n";

fn shop(words: &[&str]) -> Vec<String> {
    words.iter().copied().chain(["--workshop", "shop.sqlite"]).map(str::to_owned).collect()
}

fn run(desk: &Desk, words: &[&str]) -> at_hand::Ran {
    let words = shop(words);
    desk.run(&words.iter().map(String::as_str).collect::<Vec<_>>())
}

#[test]
fn a_unit_is_loaded_from_the_command_line_and_the_journal_has_it() {
    let desk = Desk::new();
    desk.put("air.toml", RECIPE);
    desk.put("air-4.2.img", vec![7_u8; 400_000]);
    std::fs::create_dir(desk.path("card")).unwrap();
    assert_eq!(run(&desk, &["load", "recipe", "air.toml"]).status, 0);
    assert_eq!(
        run(
            &desk,
            &["load", "unit", "A1", "--kind", "small air unit", "--revision", "B", "--reports", "4.1"]
        )
        .status,
        0
    );
    assert_eq!(
        run(&desk, &["load", "image", "air-4.2.img", "--image-version", "4.2", "--for", "small air unit:B"])
            .status,
        0
    );
    let listed = run(&desk, &["load", "--json"]);
    let view: serde_json::Value = serde_json::from_str(&listed.out).unwrap();
    let digest = view["images"][0]["digest"].as_str().unwrap().to_owned();
    let unit = format!("A1={}", &digest[..10]);
    let refused = run(&desk, &["load", "plan", &unit, "--card", "card"]);
    assert_eq!(refused.status, 1);
    assert!(refused.out.contains("it is a folder of this machine, not a card"), "{}", refused.out);
    let begun = run(&desk, &["load", "plan", &unit, "--card", "card", "--yes", "card", "--begin", "--json"]);
    assert_eq!(begun.status, 0, "{}{}", begun.out, begun.err);
    let batch: serde_json::Value = serde_json::from_str(&begun.out).unwrap();
    let id = batch["id"].as_str().unwrap();
    assert_eq!(
        run(&desk, &["load", "report", id, "4.2"]).status,
        2,
        "before its card is written it is not its turn"
    );
    assert_eq!(run(&desk, &["load", "write", id]).status, 0);
    assert_eq!(std::fs::read(desk.path("card/AIR.IMG")).unwrap(), vec![7_u8; 400_000]);
    std::fs::remove_file(desk.path("card/AIR.IMG")).unwrap();
    let looked = run(&desk, &["load", "look", id]);
    assert_eq!(looked.status, 1, "what the installer took is told");
    assert!(looked.out.contains("Gone from the card: AIR.IMG"), "{}", looked.out);
    assert!(looked.out.contains("Next: write the card for A1"), "{}", looked.out);
    assert_eq!(run(&desk, &["load", "report", id, "4.2"]).status, 2, "nothing is known of what it was given");
    assert_eq!(run(&desk, &["load", "write", id]).status, 0);
    desk.put("card/AIR.IMG", b"something else");
    let odd = run(&desk, &["load", "report", id, "4.2"]);
    assert!(odd.status == 2 && odd.err.contains("the card holds another file as AIR.IMG"), "{}", odd.err);
    let looked = run(&desk, &["load", "look", id]);
    assert!(looked.out.contains("Changed on the card: AIR.IMG"), "{}", looked.out);
    assert_eq!(run(&desk, &["load", "write", id]).status, 0);
    let done = run(&desk, &["load", "report", id, "4.2"]);
    assert_eq!(done.status, 0, "{}", done.err);
    let journal = run(&desk, &["journal", "--kinds", "loaded", "--json"]);
    let view: serde_json::Value = serde_json::from_str(&journal.out).unwrap();
    assert_eq!(view["total"], 1);
    assert!(view["entries"][0]["words"].as_str().unwrap().contains(&digest), "the digest is on record");
}

/// Begins a batch of one unit; gives how it ran and the id.
fn begin(desk: &Desk, unit: &str, card: &str) -> (at_hand::Ran, String) {
    let begun = run(desk, &["load", "plan", unit, "--card", card, "--yes", card, "--begin", "--json"]);
    let batch: serde_json::Value = serde_json::from_str(&begun.out).unwrap_or_default();
    let id = batch["id"].as_str().unwrap_or_default().to_owned();
    (begun, id)
}

#[test]
fn one_card_serves_one_batch_and_carries_one_image() {
    let desk = Desk::new();
    desk.put("air.toml", RECIPE);
    std::fs::create_dir(desk.path("card")).unwrap();
    std::fs::create_dir(desk.path("other")).unwrap();
    assert_eq!(run(&desk, &["load", "recipe", "air.toml"]).status, 0);
    for (seed, revision) in [(1_u8, "B"), (2, "C")] {
        let (image, label) = (format!("{revision}.img"), format!("U{revision}"));
        desk.put(&image, vec![seed; 9_000]);
        let fits = format!("small air unit:{revision}");
        assert_eq!(
            run(&desk, &["load", "image", &image, "--image-version", "2.0", "--for", &fits]).status,
            0
        );
        let unit =
            ["load", "unit", &label, "--kind", "small air unit", "--revision", revision, "--reports", "1.0"];
        assert_eq!(run(&desk, &unit).status, 0);
    }
    let view: serde_json::Value = serde_json::from_str(&run(&desk, &["load", "--json"]).out).unwrap();
    let chosen = |revision: &str| {
        let file = format!("{revision}.img");
        let images = view["images"].as_array().unwrap();
        let image = images.iter().find(|image| image["file"] == file.as_str()).unwrap();
        format!("U{revision}={}", image["digest"].as_str().unwrap())
    };
    let (begun, first) = begin(&desk, &chosen("B"), "card");
    assert_eq!(begun.status, 0, "{}{}", begun.out, begun.err);
    let (second, _) = begin(&desk, &chosen("C"), "card");
    assert_eq!(second.status, 1);
    assert!(second.out.contains("is in use by batch"), "{}", second.out);

    // Another card lies there now than was looked at for the plan.
    desk.put("card/OLD_UNIT.IMG", b"old");
    let swapped = run(&desk, &["load", "write", &first]);
    assert!(swapped.status == 2 && swapped.err.contains("OLD_UNIT.IMG"), "{}", swapped.err);
    assert!(!desk.path("card/AIR.IMG").exists(), "nothing was written");
    std::fs::remove_file(desk.path("card/OLD_UNIT.IMG")).unwrap();
    assert_eq!(run(&desk, &["load", "write", &first]).status, 0);
    desk.put("card/OLD_UNIT.IMG", b"old");
    let report = run(&desk, &["load", "report", &first, "2.0"]);
    assert!(report.status == 2 && report.err.contains("beside AIR.IMG"), "{}", report.err);
    let looked = run(&desk, &["load", "look", &first]);
    assert!(looked.out.contains("Beside the image on the card: OLD_UNIT.IMG"), "{}", looked.out);

    // Given up, its card is free.
    std::fs::remove_file(desk.path("card/OLD_UNIT.IMG")).unwrap();
    assert_eq!(run(&desk, &["load", "give-up", &first]).status, 0);
    let (begun, second) = begin(&desk, &chosen("C"), "card");
    assert_eq!(begun.status, 0, "{}{}", begun.out, begun.err);
    assert_eq!(run(&desk, &["load", "write", &second]).status, 0);
    std::fs::rename(desk.path("card"), desk.path("away")).unwrap();
    assert_eq!(run(&desk, &["load", "report", &second, "2.0"]).status, 0);
    let journal = run(&desk, &["journal", "--kinds", "loaded"]).out;
    let journal = journal.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(journal.contains("the card was not there to be read back"), "{journal}");
}

#[test]
fn a_version_that_may_not_be_crossed_is_asked_for_again_when_the_card_is_written() {
    let desk = Desk::new();
    desk.put("air.toml", RECIPE);
    std::fs::create_dir_all(desk.path("card/within")).unwrap();
    assert_eq!(run(&desk, &["load", "recipe", "air.toml"]).status, 0);
    desk.put("old.img", vec![1; 9_000]);
    let image = ["load", "image", "old.img", "--image-version", "2.0", "--for", "small air unit:B"];
    assert_eq!(run(&desk, &image).status, 0);
    for label in ["U1", "U2"] {
        let unit = ["load", "unit", label, "--kind", "small air unit", "--revision", "B", "--reports", "3.0"];
        assert_eq!(run(&desk, &unit).status, 0);
    }
    let view: serde_json::Value = serde_json::from_str(&run(&desk, &["load", "--json"]).out).unwrap();
    let digest = view["images"][0]["digest"].as_str().unwrap().to_owned();
    let (begun, id) = begin(&desk, &format!("U1={digest}"), "card");
    assert_eq!(begun.status, 0, "{}{}", begun.out, begun.err);
    let (within, _) = begin(&desk, &format!("U2={digest}"), "card/within");
    assert!(within.status == 1 && within.out.contains("is in use by batch"), "{}", within.out);
    // Meanwhile an image comes in below which there is no way back.
    assert_eq!(run(&desk, &[&image[..], &["--step", "2.5"]].concat()).status, 0);
    let written = run(&desk, &["load", "write", &id]);
    assert!(written.status == 2 && written.err.contains("2.5"), "{}", written.err);
    assert!(!desk.path("card/AIR.IMG").exists(), "nothing was written");
}

#[test]
fn one_unit_waits_in_one_batch_at_a_time() {
    let desk = Desk::new();
    desk.put("air.toml", RECIPE);
    for folder in ["card", "other"] {
        std::fs::create_dir(desk.path(folder)).unwrap();
    }
    assert_eq!(run(&desk, &["load", "recipe", "air.toml"]).status, 0);
    desk.put("new.img", vec![1; 9_000]);
    let image = ["load", "image", "new.img", "--image-version", "2.0", "--for", "small air unit:B"];
    assert_eq!(run(&desk, &image).status, 0);
    let unit = ["load", "unit", "U1", "--kind", "small air unit", "--revision", "B", "--reports", "1.0"];
    assert_eq!(run(&desk, &unit).status, 0);
    let view: serde_json::Value = serde_json::from_str(&run(&desk, &["load", "--json"]).out).unwrap();
    let chosen = format!("U1={}", view["images"][0]["digest"].as_str().unwrap());
    let (begun, first) = begin(&desk, &chosen, "card");
    assert_eq!(begun.status, 0, "{}{}", begun.out, begun.err);
    let (second, _) = begin(&desk, &chosen, "other");
    let told = second.out.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(second.status == 1 && told.contains("waits in batch"), "{told}");

    // A report without the card to be read back is taken, and says what is not known.
    assert_eq!(run(&desk, &["load", "write", &first]).status, 0);
    std::fs::rename(desk.path("card"), desk.path("away")).unwrap();
    let report = run(&desk, &["load", "report", &first, "2.0"]);
    assert!(
        report.status == 0
            && report.err.split_whitespace().collect::<Vec<_>>().join(" ").contains("from the writing alone"),
        "{}",
        report.err
    );
    let (after, _) = begin(&desk, &chosen, "other");
    assert_eq!(after.status, 0, "its turn is over: {}{}", after.out, after.err);
}

#[test]
fn what_a_unit_has_is_never_taken_for_granted() {
    let desk = Desk::new();
    desk.put("air.toml", RECIPE);
    for folder in ["card", "other"] {
        std::fs::create_dir(desk.path(folder)).unwrap();
    }
    assert_eq!(run(&desk, &["load", "recipe", "air.toml"]).status, 0);
    let mut chosen = Vec::new();
    for (version, step) in [("4.2", "3.5"), ("5.0", "5.0")] {
        let file = format!("{version}.img");
        desk.put(&file, version.repeat(900));
        let image =
            ["load", "image", &file, "--image-version", version, "--for", "small air unit:B", "--step", step];
        assert_eq!(run(&desk, &image).status, 0);
    }
    let view: serde_json::Value = serde_json::from_str(&run(&desk, &["load", "--json"]).out).unwrap();
    for file in ["4.2.img", "5.0.img"] {
        let image = view["images"].as_array().unwrap().iter().find(|image| image["file"] == file).unwrap();
        chosen.push(format!("U1={}", image["digest"].as_str().unwrap()));
    }
    let unit = ["load", "unit", "U1", "--kind", "small air unit"];
    assert_eq!(run(&desk, &[&unit[..], &["--revision", "B", "--reports", "4.2"]].concat()).status, 0);
    // What is not said again stays.
    assert_eq!(run(&desk, &[&unit[..], &["--after", "level=25"]].concat()).status, 0);
    assert!(run(&desk, &["load"]).out.contains("revision B, 4.2"), "it kept what was known");
    let twin = run(&desk, &["load", "unit", "u1", "--kind", "small air unit"]);
    assert!(twin.status == 2 && twin.err.contains("in letter case alone"), "{}", twin.err);

    // Given up with the card in hand: it may have been used.
    let (begun, id) = begin(&desk, &chosen[1], "card");
    assert_eq!(begun.status, 0, "{}{}", begun.out, begun.err);
    assert_eq!(run(&desk, &["load", "write", &id]).status, 0);
    let given_up = run(&desk, &["load", "give-up", &id]);
    let told = given_up.err.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(told.contains("its version counts as unread"), "{told}");
    let (back, _) = begin(&desk, &chosen[0], "other");
    assert!(back.status == 1 && back.out.contains("was never asked what it has"), "{}", back.out);

    // So too when the installer took the image off the card, and the look at it sent the batch back to writing.
    assert_eq!(run(&desk, &[&unit[..], &["--reports", "4.2"]].concat()).status, 0);
    let (begun, id) = begin(&desk, &chosen[1], "card");
    assert_eq!(begun.status, 0, "{}{}", begun.out, begun.err);
    assert_eq!(run(&desk, &["load", "write", &id]).status, 0);
    std::fs::remove_file(desk.path("card/AIR.IMG")).unwrap();
    assert_eq!(run(&desk, &["load", "look", &id]).status, 1);
    assert_eq!(run(&desk, &["load", "give-up", &id]).status, 0);
    assert!(run(&desk, &["load"]).out.contains("version unread"), "it may have been loaded");

    // Odd, but it came back; then marked unread: what it has is not known, and nothing is written.
    assert_eq!(run(&desk, &[&unit[..], &["--reports", "4.2"]].concat()).status, 0);
    let (_, id) = begin(&desk, &chosen[1], "card");
    assert_eq!(run(&desk, &["load", "write", &id]).status, 0);
    assert_eq!(run(&desk, &["load", "report", &id, "4.2"]).status, 1);
    assert_eq!(run(&desk, &["load", "go-on", &id, "--again"]).status, 0);
    assert_eq!(run(&desk, &[&unit[..], &["--reports", ""]].concat()).status, 0);
    let written = run(&desk, &["load", "write", &id]);
    assert!(written.status == 2 && written.err.contains("described otherwise"), "{}", written.err);
    assert_eq!(run(&desk, &["load", "give-up", &id]).status, 0);

    // Of another kind it is another unit.
    assert_eq!(run(&desk, &["load", "unit", "U1", "--kind", "large air unit"]).status, 0);
    assert!(run(&desk, &["load"]).out.contains("large air unit, revision unknown, version unread"));
    assert_eq!(run(&desk, &[&unit[..], &["--revision", "B"]].concat()).status, 0);

    // Marked unread after it was planned: nothing is written.
    assert_eq!(run(&desk, &[&unit[..], &["--reports", "4.2"]].concat()).status, 0);
    let (begun, id) = begin(&desk, &chosen[1], "card");
    assert_eq!(begun.status, 0, "{}{}", begun.out, begun.err);
    assert_eq!(run(&desk, &[&unit[..], &["--reports", ""]].concat()).status, 0);
    let written = run(&desk, &["load", "write", &id]);
    assert!(written.status == 2 && written.err.contains("described otherwise"), "{}", written.err);

    for energy in ["nan", "inf", "0", "-5"] {
        let energy = format!("--pack-energy={energy}");
        let ran = run(&desk, &["load", "plan", &chosen[1], "--card", "other", &energy]);
        assert!(ran.status == 2 && ran.err.contains("must hold 0.1 to 1000 Wh"), "{energy}: {}", ran.err);
    }
    let twice = run(&desk, &["load", "plan", &chosen[1], "--card", "other", "--card", "./other/"]);
    assert!(twice.status == 2 && twice.err.contains("is named twice"), "{}", twice.err);
    std::fs::create_dir(desk.path("other/inner")).unwrap();
    for pair in [["other", "other/inner"], ["other/inner", "other"]] {
        let nested = run(&desk, &["load", "plan", &chosen[1], "--card", pair[0], "--card", pair[1]]);
        assert!(nested.status == 2 && nested.err.contains("lies in another card"), "{}", nested.err);
    }
}

#[test]
fn a_pack_that_stands_nowhere_yet_is_told() {
    let desk = Desk::new();
    let enter = |pack: &str, at: &str| {
        run(&desk, &["journal", "--enter", "charged", "--words", "full", "--pack", pack, "--at", at])
    };
    let first = enter("P1-2024", "2024-05-04");
    assert!(first.status == 0 && first.err.contains("for the first time"), "{}", first.err);
    assert_eq!(enter("P1-2024", "2024-05-05").err, "", "known by now");
    let slip = enter("P1-2025", "2024-05-06");
    assert!(slip.err.contains("If it is P1-2024, put the entry right"), "{}", slip.err);
}

#[test]
fn wrong_files_and_names_are_refused_with_the_mend() {
    let desk = Desk::new();
    desk.put("empty.img", b"");
    std::fs::File::create(desk.path("huge.img")).unwrap().set_len(2_147_483_648).unwrap();
    desk.put("bad.toml", RECIPE.replace("AIR.IMG", "a/b"));
    let image = |file: &str| {
        run(&desk, &["load", "image", file, "--image-version", "4.2", "--for", "small air unit"])
    };
    for (ran, words) in [
        (image("empty.img"), "is empty; fetch it anew"),
        (image("huge.img"), "holds 2147483648 bytes, more than the 1073741824"),
        (image("none.img"), "is not there"),
        (run(&desk, &["load", "recipe", "bad.toml"]), "line 5: file_name: \"a/b\" holds a slash"),
        (run(&desk, &["load", "write", "000009"]), "there is no batch \"000009\""),
        (run(&desk, &["journal", "--enter", "flwon"]), "Did you mean \"flown\"?"),
        (run(&desk, &["journal", "--enter", "flown", "--minutes", "5"]), "only a craft is flown; say which"),
        (run(&desk, &["journal", "--enter", "tested", "--read", "level=five"]), "is no reading"),
        (run(&desk, &["journal", "--enter", "tested", "--at", "9999-01-01"]), "lies in the future"),
        (run(&desk, &["journal", "--enter", "tested", "--unit", "nope"]), "there is no unit \"nope\""),
        (
            run(&desk, &["journal", "--enter", "tested", "--words", "x", "--plug", "nope"]),
            "no counter counts the matings of a plug \"nope\"",
        ),
        (run(&desk, &["journal", "--enter", "tested", "--minutes", "-5"]), "-5 min must be above 0"),
    ] {
        assert_eq!(ran.status, 2, "{words}");
        assert!(ran.err.contains(words), "{words}: {}", ran.err);
    }
}

#[test]
fn the_journal_goes_out_as_a_table_and_as_a_page() {
    let desk = Desk::new();
    assert_eq!(run(&desk, &["import", "tern.toml"]).status, 0);
    for words in [
        &[
            "journal",
            "--enter",
            "crashed",
            "--craft",
            "tern",
            "--words",
            "=gate, twice",
            "--at",
            "2024-05-04",
        ][..],
        &[
            "journal",
            "--enter",
            "flown",
            "--craft",
            "tern",
            "--minutes",
            "5",
            "--pack",
            "P1",
            "--at",
            "2024-05-05",
        ][..],
    ] {
        assert_eq!(run(&desk, words).status, 0, "{words:?}");
    }
    assert_eq!(run(&desk, &["journal", "--csv", "j.csv", "--page", "j.html"]).status, 0);
    assert!(desk.text("j.csv").contains("crashed,tern,\"'=gate, twice\""), "{}", desk.text("j.csv"));
    assert!(desk.text("j.html").contains("=gate, twice"));
    let checked = run(&desk, &["check", "tern"]);
    assert!(checked.out.contains("care.after_crash"), "{}", checked.out);
    assert!(!desk.run(&["check", "tern.toml"]).out.contains("care."), "a sheet has no journal");
}

/// A server that listens for phones, at an address of this machine that stands for one in a local network.
struct Lan {
    child: Child,
    here: String,
    there: String,
    code: String,
}

impl Drop for Lan {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

fn lan(desk: &Desk) -> Lan {
    let words = ["serve", "--no-open", "--workshop", "shop.sqlite", "--lan", "--lan-at", "127.0.0.1"];
    let mut child = desk.command(&words).stdout(Stdio::piped()).spawn().unwrap();
    let mut lines = BufReader::new(child.stdout.take().unwrap()).lines().map(Result::unwrap);
    let address = |line: &str| {
        let word = line.split_whitespace().find(|word| word.starts_with("http://")).unwrap().to_owned();
        word.trim_end_matches("/pair").trim_end_matches('/').to_owned()
    };
    let here = address(&lines.next().unwrap());
    let line = lines.next().unwrap();
    let there = address(&line);
    let code = line.split("type ").nth(1).unwrap().split(',').next().unwrap().to_owned();
    // Read on, so that the program never waits for a reader.
    std::thread::spawn(move || lines.for_each(drop));
    Lan { child, here, there, code }
}

fn agent() -> ureq::Agent {
    ureq::Agent::config_builder().http_status_as_error(false).max_redirects(0).build().into()
}

fn status(answer: Result<ureq::http::Response<ureq::Body>, ureq::Error>) -> u16 {
    answer.unwrap().status().as_u16()
}

fn try_code(lan: &Lan, code: &str, origin: &str) -> ureq::http::Response<ureq::Body> {
    let form = "application/x-www-form-urlencoded";
    let asked =
        agent().post(format!("{}/pair", lan.there)).header("origin", origin).header("content-type", form);
    asked.send(format!("code={code}")).unwrap()
}

#[test]
fn a_phone_comes_in_by_its_code_only() {
    let desk = Desk::new();
    let lan = lan(&desk);
    assert_eq!(
        status(agent().get(format!("{}/api/fleet", lan.there)).call()),
        403,
        "nothing before the code"
    );
    assert_eq!(status(agent().get(&lan.there).call()), 303, "only the page for it");
    let page = agent()
        .get(format!("{}/pair?code={}", lan.there, lan.code))
        .call()
        .unwrap()
        .body_mut()
        .read_to_string()
        .unwrap();
    assert!(page.contains("Pair this phone") && page.contains(&lan.code.replace('-', "")), "{page}");
    let odd = agent()
        .get(format!("{}/pair?code=%22%3E%3Cscript%3E", lan.there))
        .call()
        .unwrap()
        .body_mut()
        .read_to_string()
        .unwrap();
    assert!(!odd.contains("<script"));

    let paired = try_code(&lan, &lan.code, &lan.there);
    assert_eq!(paired.status().as_u16(), 303);
    let cookie = paired.headers()["set-cookie"].to_str().unwrap().to_owned();
    assert!(cookie.contains("HttpOnly") && cookie.contains("SameSite=Strict"), "{cookie}");
    let cookie = cookie.split(';').next().unwrap().to_owned();
    let fleet = || agent().get(format!("{}/api/fleet", lan.there)).header("cookie", &cookie);
    assert_eq!(status(fleet().call()), 200);
    assert_eq!(status(fleet().header("host", "creance.example").call()), 403, "a name that was rebound");

    std::thread::sleep(std::time::Duration::from_millis(1100));
    assert_eq!(try_code(&lan, &lan.code, &lan.there).status().as_u16(), 403, "a code is good once");

    let enter = |origin: Option<&str>| {
        let asked = agent()
            .post(format!("{}/api/entries", lan.there))
            .header("cookie", &cookie)
            .content_type("application/json");
        let asked = match origin {
            Some(origin) => asked.header("origin", origin),
            None => asked,
        };
        status(asked.send("{\"kind\":\"tested\",\"words\":\"from the phone\"}"))
    };
    assert_eq!(enter(Some("http://evil.example")), 403, "another site");
    assert_eq!(enter(Some(&lan.here)), 403, "another port of this machine");
    assert_eq!(enter(None), 403, "no browser at all");
    assert_eq!(enter(Some(&lan.there)), 200);
    for path in [
        "/api/backup",
        "/api/pairing",
        "/api/load/image",
        "/api/load/batch",
        "/api/load/batch/1/write",
        "/api/demo",
    ] {
        let asked = agent()
            .post(format!("{}{path}", lan.there))
            .header("cookie", &cookie)
            .header("origin", &lan.there);
        assert_eq!(
            status(asked.content_type("application/json").send("{}")),
            403,
            "{path} is done at the machine"
        );
    }
    assert_eq!(
        status(agent().get(format!("{}/api/pairing", lan.there)).header("cookie", &cookie).call()),
        403
    );
}

#[test]
fn guessing_voids_the_code() {
    let desk = Desk::new();
    let lan = lan(&desk);
    assert_eq!(
        try_code(&lan, &lan.code, "http://evil.example").status().as_u16(),
        403,
        "from another site not even the right one"
    );
    let mut answer = try_code(&lan, "AAAAAAAA", &lan.there);
    assert!(answer.body_mut().read_to_string().unwrap().contains("that is not the code; 4 more tries"));
    let mut hurried = try_code(&lan, &lan.code, &lan.there);
    assert!(hurried.body_mut().read_to_string().unwrap().contains("one a second"));
    for _ in 0..4 {
        std::thread::sleep(std::time::Duration::from_millis(1050));
        assert_eq!(try_code(&lan, "AAAAAAAA", &lan.there).status().as_u16(), 403);
    }
    std::thread::sleep(std::time::Duration::from_millis(1050));
    assert_eq!(try_code(&lan, &lan.code, &lan.there).status().as_u16(), 403, "it is void now");
    // A new one is made at the machine only, where no other site can ask for it.
    let offered = agent()
        .post(format!("{}/api/pairing", lan.here))
        .content_type("application/json")
        .send("{}")
        .unwrap()
        .body_mut()
        .read_to_string()
        .unwrap();
    let view: serde_json::Value = serde_json::from_str(&offered).unwrap();
    assert!(view["picture"].as_str().unwrap().starts_with("<svg"));
    std::thread::sleep(std::time::Duration::from_millis(1050));
    assert_eq!(try_code(&lan, view["code"].as_str().unwrap(), &lan.there).status().as_u16(), 303);
}

#[test]
fn without_being_asked_it_listens_on_this_machine_only() {
    let desk = Desk::new();
    let server = desk.serve();
    let view = agent()
        .get(format!("{}/api/pairing", server.url))
        .call()
        .unwrap()
        .body_mut()
        .read_to_string()
        .unwrap();
    assert!(view.contains("\"open\":false"), "{view}");
    let offered =
        agent().post(format!("{}/api/pairing", server.url)).content_type("application/json").send("{}");
    assert_eq!(status(offered), 409);
}
