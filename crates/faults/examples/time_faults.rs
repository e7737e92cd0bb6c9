//! Times the chances of all causes and the advice, over the whole knowledge, and writes them with their scenes.
//!
//! `cargo run --release -p faults --example time_faults -- FILE`. The file is
//! `{ "scenes": [ { "name", "about", "facts": [ … ], "seen": [ "SIGN 1", … ], "tried": [ "TEST OUTCOME 1", … ], "chances": { … } } ],
//! "timings": [ { "scene", "what", "seconds" } ] }`; each time is the least of several rounds.

use faults::{Answer, Base, Counts, Depth, Facts, Means, Session, advise, posterior, priors};
use std::time::Instant;

/// A scene: its name, the complaint, facts that hold, signs with how they were seen, tests with outcomes.
type Scene =
    (&'static str, &'static str, &'static [&'static str], &'static [&'static str], &'static [&'static str]);

const SCENES: [Scene; 3] = [
    (
        "no picture after a crash",
        "no_picture",
        &["recent_crash"],
        &["camera_light_off 1", "air_dark 0", "link_no_lock 0"],
        &["reseat_harness same 1"],
    ),
    (
        "half the range since a crash",
        "range_short",
        &["recent_crash"],
        &["breakup_close 0", "stuck_lowest 0"],
        &["look_antenna clean 1", "level_at_5m down_10_dB 1"],
    ),
    (
        "breaks at a punch",
        "breakup_on_punch",
        &["pack_tired"],
        &["drop_and_return 1"],
        &["log_min_volts dips 1"],
    ),
];

const ROUNDS: usize = 7;

fn main() -> Result<(), String> {
    let file = std::env::args().nth(1).ok_or("name the file to write")?;
    let (base, _) = Base::embedded();
    let (mut scenes, mut timings) = (Vec::new(), Vec::new());
    for (name, about, holds, seen, tried) in SCENES {
        let mut facts = Facts::usual(&base);
        for fact in holds {
            facts.say(&base, fact, true);
        }
        let mut session = Session::begin(&base, about, "").map_err(|fault| fault.to_string())?;
        for word in seen {
            let (id, sure) = word.split_once(' ').ok_or("a sign and how sure")?;
            let answer = Answer::Sign { id: id.to_owned(), seen: sure.parse().map_err(|_| "no number")? };
            session.answer(&base, answer, "").map_err(|fault| fault.to_string())?;
        }
        for word in tried {
            let mut parts = word.split(' ').map(str::to_owned);
            let (id, outcome) = (parts.next().unwrap_or_default(), parts.next().unwrap_or_default());
            session
                .answer(&base, Answer::Test { id, outcome, sure: 1.0 }, "")
                .map_err(|fault| fault.to_string())?;
        }
        let (evidence, _) = session.evidence(&base);
        let priors = priors(&base, &facts, &Counts::default());
        let least = |work: &dyn Fn() -> bool| {
            let round = || {
                let begun = Instant::now();
                let worked = work();
                (worked, begun.elapsed().as_secs_f64())
            };
            (0..ROUNDS)
                .map(|_| round())
                .filter(|(worked, _)| *worked)
                .map(|(_, seconds)| seconds)
                .fold(f64::INFINITY, f64::min)
        };
        let chances = least(&|| posterior(&base, &priors, &evidence).is_ok());
        let advice =
            least(&|| advise(&base, &facts, &priors, &evidence, &Means::default(), Depth::default()).is_ok());
        let found = posterior(&base, &priors, &evidence).map_err(|fault| fault.to_string())?;
        let list =
            |words: &[&str]| words.iter().map(|word| format!("{word:?}")).collect::<Vec<_>>().join(", ");
        let by_cause: Vec<String> = base
            .causes
            .iter()
            .zip(&found.chances)
            .map(|(cause, chance)| format!("{:?}: {chance:e}", cause.id))
            .collect();
        scenes.push(format!(
            "{{\"name\": {name:?}, \"about\": {about:?}, \"facts\": [{}], \"seen\": [{}], \"tried\": [{}], \"chances\": {{{}}}}}",
            list(holds),
            list(seen),
            list(tried),
            by_cause.join(", ")
        ));
        for (what, seconds) in
            [("chances of all causes", chances), ("chances and advice, two steps ahead", advice)]
        {
            timings.push(format!("{{\"scene\": {name:?}, \"what\": {what:?}, \"seconds\": {seconds:e}}}"));
        }
    }
    let text = format!("{{\"scenes\": [{}],\n\"timings\": [{}]}}\n", scenes.join(",\n"), timings.join(",\n"));
    std::fs::write(&file, text).map_err(|cause| format!("{file}: {cause}"))
}
