//! How fast are we, and how does that compare with a general-purpose library on the same scenes?
//!
//! Runs the crates' own benches. Then, for each of [`COMPARISONS`], an example of a crate writes its scenes with our
//! timings, a script times the reference on those scenes, and both are printed side by side from this one run. The
//! files below `target/bench/` hold the raw numbers:
//!
//! ```text
//! scenes.json       { "scenes": [ { "name", "solids": [ … ], "pairs": [[0, 1], …], "distances_mm": [ … ] } ],
//!                     "timings": [ { "scene", "what", "seconds" } ] }
//! reference.json    { "library", "timings": [ … as above … ], "differences": [ { "scene", "greatest_mm" } ] }
//! picture.json      { "scenes": [ { "name", "what", "view": { … }, "solids": [ … ], "pixels": [ … ] } ], "timings": … }
//! placements.json   { "timings": …, "trying_all": { "timings": … } }, by `crates/proof/examples/time_placement.rs`
//! edits.json        { "timings": …, "from_nothing": { "timings": … } }, by `crates/proof/examples/time_edits.rs`
//! picture_reference.json  as reference.json, with "greatest_percent" of the picture in its differences
//! tilts.json        { "scenes": [ { "name", "solids", "turning": [ … ], "left_out": [[0, 9], …], "about", "axis", "stands_at", "from",
//!                     "to", "free": [[-8.1, 34.2], …] } ], "timings": … }, by `crates/proof/examples/time_tilt.rs`; angles in degrees
//! links.json        { "scenes": [ { "name", "walls", "woods", "station", "craft", "points", "totals_db", … } ], "timings": … }, by
//!                     `crates/radio/examples/time_links.rs`; links_reference.json has "greatest_db" in its differences
//! tilts_reference.json    as reference.json, with "greatest_degrees" in its differences
//! faults.json       { "scenes": [ { "name", "about", "facts", "seen", "tried", "chances" } ], "timings": … }, by
//!                     `crates/faults/examples/time_faults.rs`; faults_reference.json has "greatest" in its differences
//! routes.json       { "scenes": [ { "name", "ends", "solids": [ … each with "keep" … ], "length_mm" } ], "timings": … }, by
//!                     `crates/proof/examples/time_leads.rs`
//! routes_reference.json   as reference.json, with "greatest_percent" of the route in its differences
//! time_panes.json   { "timings": … } of the demo craft, by `crates/drawing/examples/time_panes.rs`; printed in the table of the links
//! time_supply.json  { "timings": … } of the demo craft, by `crates/proof/examples/time_supply.rs`; printed in the table of the flights
//! ```
//!
//! A solid is `{ "shape": "box", "size": [x, y, z] }` or `{ "shape": "cylinder", "radius", "length" }` along its
//! z, or, in pictures, `{ "shape": "plate", "rings", "thickness" }` from z = 0 up and `{ "shape": "convex", "corners", "planes" }` of the course in the camera frame itself, each other with the centre `"at": [x, y, z]` and `"turn"`, three rows of three; all in mm. A distance is null
//! where the pair overlaps. Rows of the same scene and `what` are compared. Left out on purpose: the time from key
//! press to new findings, which the browser tests measure.

use std::fs;
use std::path::Path;
use std::process::ExitCode;

use serde_json::Value;

use crate::place::Place;
use crate::step::Trouble;
use crate::{reference, tool};

/// What a timing must reach.
enum Goal {
    /// Ours in seconds, at most.
    Seconds(f64),
    /// The reference's time over ours, at least.
    Ratio(f64),
}

/// The goals by what is timed.
const GOALS: &[(&str, Goal)] = &[
    ("proof again after one edit", Goal::Seconds(0.020)),
    ("distance of one pair", Goal::Ratio(1.0)),
    ("every pair of the craft", Goal::Ratio(5.0)),
    ("best placements proved", Goal::Seconds(2.0)),
    ("picture of 1280 × 720 pixels", Goal::Seconds(0.050)),
    ("outlines of the picture", Goal::Seconds(0.050)),
    ("one route", Goal::Seconds(0.020)),
    ("free tilt, beside halving", Goal::Ratio(2.0)),
    ("free tilt, plates and air", Goal::Seconds(0.010)),
    ("flight, pack alone", Goal::Ratio(20.0)),
    ("flight with rails, judged", Goal::Seconds(0.020)),
    ("flown and judged by its rules", Goal::Seconds(0.020)),
    ("picture over the course, 1280 × 720", Goal::Seconds(0.050)),
    ("a full link evaluation", Goal::Ratio(10.0)),
    ("a picture of the link", Goal::Seconds(0.100)),
    ("chances of all causes", Goal::Ratio(10.0)),
    ("chances and advice, two steps ahead", Goal::Seconds(0.050)),
];

/// Ours against a reference on the same scenes.
struct Comparison {
    /// What `--only` calls it.
    name: &'static str,
    /// The crate and its example that writes scenes and timings.
    example: [&'static str; 2],
    /// Another example whose timings stand in the same table; the reference knows nothing of its scenes.
    beside: Option<[&'static str; 2]>,
    /// The script that times the reference.
    script: &'static str,
    /// The names of their files.
    files: [&'static str; 2],
    /// What the differences are counted in, and how large they may be before the comparison means nothing.
    apart: (&'static str, &'static str, f64),
}

const COMPARISONS: &[Comparison] = &[
    Comparison {
        name: "pairs",
        example: ["proof", "dump_scene"],
        beside: None,
        script: "conformance/geometry/bench_pairs.py",
        files: ["scenes.json", "reference.json"],
        apart: ("greatest_mm", "mm", 1e-3),
    },
    Comparison {
        name: "pictures",
        example: ["proof", "dump_picture"],
        beside: None,
        script: "conformance/optics/bench_pictures.py",
        files: ["picture.json", "picture_reference.json"],
        // A hundred pixels of the picture along all the edges of one solid.
        apart: ("greatest_percent", "% of the picture", 0.011),
    },
    Comparison {
        name: "tilts",
        example: ["proof", "time_tilt"],
        beside: None,
        script: "conformance/geometry/bench_tilts.py",
        files: ["tilts.json", "tilts_reference.json"],
        apart: ("greatest_degrees", "degrees", 1e-3),
    },
    Comparison {
        name: "leads",
        example: ["proof", "time_leads"],
        beside: None,
        script: "conformance/geometry/bench_routes.py",
        files: ["routes.json", "routes_reference.json"],
        // A grid's way is longer by its steps, and shorter where it cuts a corner by a part of one.
        apart: ("greatest_percent", "% of the route", 5.0),
    },
    Comparison {
        name: "flights",
        example: ["power", "time_flight"],
        beside: Some(["proof", "time_supply"]),
        script: "conformance/power/bench_flights.py",
        files: ["flights.json", "flights_reference.json"],
        apart: ("greatest_mv", "mV", 1.0),
    },
    Comparison {
        name: "links",
        example: ["radio", "time_links"],
        beside: Some(["drawing", "time_panes"]),
        script: "conformance/radio/bench_links.py",
        files: ["links.json", "links_reference.json"],
        apart: ("greatest_db", "dB", 1e-6),
    },
    Comparison {
        name: "faults",
        example: ["faults", "time_faults"],
        beside: None,
        script: "conformance/faults/bench_faults.py",
        files: ["faults.json", "faults_reference.json"],
        apart: ("greatest", "of a chance", 1e-9),
    },
];

/// One thing timed, on one scene.
#[derive(Debug, PartialEq)]
struct Timing {
    scene: String,
    what: String,
    seconds: f64,
}

/// Ours against a plainer way of our own, by one example.
struct Plainer {
    /// What `--only` calls it.
    name: &'static str,
    /// The example of `proof` that writes both timings.
    example: &'static str,
    /// Under which key of its file the plainer way's timings stand.
    under: &'static str,
    /// The plainer way in words.
    words: &'static str,
}

const PLAINER: [Plainer; 2] = [
    Plainer {
        name: "placements",
        example: "time_placement",
        under: "trying_all",
        words: "brute force: every placement tried one by one",
    },
    Plainer {
        name: "edits",
        example: "time_edits",
        under: "from_nothing",
        words: "whole proof: nothing kept from the one before the edit",
    },
];

/// What `--only` calls the crates' own benches.
const CRATES: &str = "crates";

/// Runs the benches asked for and prints their tables.
pub fn bench(place: &Place, arguments: &[String]) -> Result<ExitCode, Trouble> {
    let only = chosen(arguments)?;
    let wanted = |name: &str| only.is_empty() || only.iter().any(|chosen| chosen == name);
    for package in ["fit", "optics", "proof"].into_iter().filter(|_| wanted(CRATES)) {
        if place.root.join("crates").join(package).join("benches").is_dir() {
            tool::run(&mut place.cargo(["bench", "--package", package, "--benches"]))?;
        }
    }
    let folder = place.target.join("bench");
    fs::create_dir_all(&folder).map_err(|cause| Trouble::Failed(format!("{}: {cause}", folder.display())))?;
    let mut reached = true;
    for comparison in COMPARISONS.iter().filter(|comparison| wanted(comparison.name)) {
        reached &= compared(place, &folder, comparison)?;
    }
    for plainer in PLAINER.iter().filter(|plainer| wanted(plainer.name)) {
        reached &= beside_plainer(place, &folder, plainer)?;
    }
    Ok(if reached { ExitCode::SUCCESS } else { ExitCode::FAILURE })
}

/// The benches that `--only` names; none if it is left out, which means all.
fn chosen(arguments: &[String]) -> Result<Vec<String>, Trouble> {
    let compared = COMPARISONS.iter().map(|comparison| comparison.name);
    let known: Vec<&str> =
        compared.chain(PLAINER.iter().map(|plainer| plainer.name)).chain([CRATES]).collect();
    let names = match arguments {
        [] => return Ok(Vec::new()),
        [only, names] if only == "--only" => Some(names.as_str()),
        [one] => one.strip_prefix("--only="),
        _ => None,
    };
    let Some(names) = names else {
        return Err(Trouble::Usage("bench has one option: --only NAME[,NAME]".into()));
    };
    let names: Vec<String> = names.split(',').map(str::to_owned).collect();
    match names.iter().find(|name| !known.contains(&name.as_str())) {
        Some(name) => Err(Trouble::Usage(format!("no bench `{name}`; there are {}", known.join(", ")))),
        None => Ok(names),
    }
}

/// Ours beside a plainer way of our own, in a table of its own; whether every goal is reached.
fn beside_plainer(place: &Place, folder: &Path, plainer: &Plainer) -> Result<bool, Trouble> {
    let file = folder.join(plainer.name).with_extension("json");
    let example = ["run", "--release", "--package", "proof", "--example", plainer.example, "--"];
    tool::run(place.cargo(example).arg(&file))?;
    let told = read(&file)?;
    let plain = timings(&told[plainer.under])?;
    let (table, reached) = table(&timings(&told)?, &plain, plainer.words);
    println!("\n{table}");
    Ok(reached)
}

/// Runs one comparison and prints its table; whether every goal is reached.
fn compared(place: &Place, folder: &Path, comparison: &Comparison) -> Result<bool, Trouble> {
    let [scenes, answers] = comparison.files.map(|file| folder.join(file));
    let [package, example] = comparison.example;
    let example = ["run", "--release", "--package", package, "--example", example, "--"];
    tool::run(place.cargo(example).arg(&scenes))?;
    let python = reference::environment(place)?;
    let script = place.root.join(comparison.script);
    tool::run(reference::script_command(place, &python, &script).arg(&scenes).arg(&answers))?;

    let (ours, theirs) = (read(&scenes)?, read(&answers)?);
    let mut ours = timings(&ours)?;
    if let Some([package, example]) = comparison.beside {
        let file = folder.join(format!("{example}.json"));
        let example = ["run", "--release", "--package", package, "--example", example, "--"];
        tool::run(place.cargo(example).arg(&file))?;
        ours.extend(timings(&read(&file)?)?);
    }
    let library = theirs["library"].as_str().unwrap_or("reference");
    let (table, reached) = table(&ours, &timings(&theirs)?, library);
    println!("\n{table}");
    let (key, unit, most) = comparison.apart;
    let apart = differences(&theirs, key);
    for (scene, by) in &apart {
        println!("{scene}: the two differ by at most {by:.1e} {unit}");
    }
    match apart.iter().find(|(_, by)| by.abs() > most) {
        Some((scene, by)) => Err(Trouble::Failed(format!(
            "{scene}: the two differ by {by} {unit}, {most} {unit} at most may lie between them"
        ))),
        None => Ok(reached),
    }
}

fn read(file: &Path) -> Result<Value, Trouble> {
    let trouble = |cause: String| Trouble::Failed(format!("{}: {cause}", file.display()));
    let text = fs::read_to_string(file).map_err(|cause| trouble(cause.to_string()))?;
    serde_json::from_str(&text).map_err(|cause| trouble(cause.to_string()))
}

fn timings(from: &Value) -> Result<Vec<Timing>, Trouble> {
    let rows = from["timings"].as_array().map(Vec::as_slice).unwrap_or_default();
    let timing = |row: &Value| {
        let seconds = row["seconds"].as_f64().filter(|seconds| seconds.is_finite() && *seconds > 0.0);
        Some(Timing {
            scene: row["scene"].as_str()?.to_owned(),
            what: row["what"].as_str()?.to_owned(),
            seconds: seconds?,
        })
    };
    let read: Option<Vec<Timing>> = rows.iter().map(timing).collect();
    read.filter(|read| !read.is_empty())
        .ok_or_else(|| Trouble::Failed("no timings, or one without scene, what and seconds above 0".into()))
}

fn differences(from: &Value, key: &str) -> Vec<(String, f64)> {
    let rows = from["differences"].as_array().map(Vec::as_slice).unwrap_or_default();
    rows.iter().filter_map(|row| Some((row["scene"].as_str()?.to_owned(), row[key].as_f64()?))).collect()
}

/// Ours beside the reference's, a line each, and whether every goal is reached.
fn table(ours: &[Timing], theirs: &[Timing], library: &str) -> (String, bool) {
    let mut lines = format!(
        "{:<28} {:<28} {:>10} {:>10} {:>7}  goal\n",
        "scene",
        "what",
        "ours",
        library.split_whitespace().next().unwrap_or("reference"),
        "ratio"
    );
    let mut all_reached = true;
    for Timing { scene, what, seconds } in ours {
        let reference = theirs.iter().find(|other| other.scene == *scene && other.what == *what);
        let ratio = reference.map(|reference| reference.seconds / seconds);
        let goal = GOALS.iter().find(|(name, _)| name == what).map(|(_, goal)| goal);
        let (words, reached) = match (goal, ratio) {
            (None, _) => (String::new(), true),
            (Some(Goal::Seconds(most)), _) => (format!("at most {}", time(*most)), seconds <= most),
            (Some(Goal::Ratio(least)), Some(ratio)) => {
                (format!("at least {least:.0} times"), ratio >= *least)
            }
            (Some(Goal::Ratio(_)), None) => ("the reference has no such row".to_owned(), false),
        };
        all_reached &= reached;
        let line = format!(
            "{scene:<28} {what:<28} {:>10} {:>10} {:>7}  {words}{}",
            time(*seconds),
            reference.map_or(String::new(), |reference| time(reference.seconds)),
            ratio.map_or(String::new(), |ratio| format!("{ratio:.1}")),
            if reached { "" } else { ": MISSED" },
        );
        lines.push_str(line.trim_end());
        lines.push('\n');
    }
    lines.push_str(&format!("\nreference: {library}; ratio: its time over ours\n"));
    (lines, all_reached)
}

/// A time in the unit that leaves one to three digits before the point.
fn time(seconds: f64) -> String {
    let (size, unit) = match seconds {
        seconds if seconds >= 1.0 => (1.0, "s"),
        seconds if seconds >= 1e-3 => (1e3, "ms"),
        seconds if seconds >= 1e-6 => (1e6, "µs"),
        _ => (1e9, "ns"),
    };
    format!("{:.1} {unit}", seconds * size)
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    fn timing(what: &str, seconds: f64) -> Timing {
        Timing { scene: "racer".into(), what: what.into(), seconds }
    }

    #[test]
    fn rows_of_the_same_name_are_compared_and_goals_judged() {
        let ours = [
            timing("proof again after one edit", 0.004),
            timing("distance of one pair", 1.5e-6),
            timing("every pair of the craft", 1e-3),
        ];
        let theirs = [timing("every pair of the craft", 9e-3), timing("distance of one pair", 6e-6)];
        let (table, reached) = table(&ours, &theirs, "lib 1.0");
        assert!(reached);
        let line = |word: &str| {
            table
                .lines()
                .find(|line| line.contains(word))
                .unwrap()
                .split_whitespace()
                .collect::<Vec<_>>()
                .join(" ")
        };
        assert_eq!(line("one edit"), "racer proof again after one edit 4.0 ms at most 20.0 ms");
        assert_eq!(line("one pair"), "racer distance of one pair 1.5 µs 6.0 µs 4.0 at least 1 times");
        assert_eq!(line("every pair"), "racer every pair of the craft 1.0 ms 9.0 ms 9.0 at least 5 times");
    }

    #[test]
    fn a_missed_goal_is_told() {
        let (slow, reached) = table(&[timing("proof again after one edit", 0.021)], &[], "lib 1.0");
        assert!(!reached && slow.contains("at most 20.0 ms: MISSED"), "{slow}");
        let theirs = [timing("every pair of the craft", 4e-3)];
        let (close, reached) = table(&[timing("every pair of the craft", 1e-3)], &theirs, "lib 1.0");
        assert!(!reached && close.contains("at least 5 times: MISSED"), "{close}");
    }

    #[test]
    fn a_comparison_without_reference_reaches_nothing() {
        let (table, reached) = table(&[timing("distance of one pair", 1e-6)], &[], "lib 1.0");
        assert!(!reached && table.contains("the reference has no such row: MISSED"), "{table}");
    }

    #[test]
    fn timings_are_read_whole_or_refused() {
        let sound = serde_json::json!({"timings": [{"scene": "racer", "what": "x", "seconds": 0.5}]});
        assert_eq!(timings(&sound), Ok(vec![timing("x", 0.5)]));
        for spoilt in [
            serde_json::json!({}),
            serde_json::json!({"timings": []}),
            serde_json::json!({"timings": [{"scene": "racer", "what": "x", "seconds": 0}]}),
            serde_json::json!({"timings": [{"scene": "racer", "seconds": 0.5}]}),
        ] {
            assert!(timings(&spoilt).is_err(), "{spoilt}");
        }
    }

    #[test]
    fn only_names_benches_there_are() {
        let ask = |text: &str| chosen(&text.split_whitespace().map(str::to_owned).collect::<Vec<_>>());
        assert_eq!(ask(""), Ok(vec![]));
        assert_eq!(ask("--only tilts,crates"), Ok(vec!["tilts".to_owned(), "crates".to_owned()]));
        assert_eq!(ask("--only edits"), Ok(vec!["edits".to_owned()]));
        assert_eq!(ask("--only=pairs"), Ok(vec!["pairs".to_owned()]));
        for wrong in ["--only zzz", "tilts", "--only", "--only tilts pairs"] {
            assert!(matches!(ask(wrong), Err(Trouble::Usage(_))), "{wrong}");
        }
    }

    #[test]
    fn times_are_shown_in_a_unit_that_fits() {
        assert_eq!([2.0, 0.0204, 3.21e-6, 4e-9].map(time), ["2.0 s", "20.4 ms", "3.2 µs", "4.0 ns"]);
    }
}
