//! What the reader takes and what it tells.

use super::{Base, KNOWLEDGE};
use crate::Reads;

#[test]
fn the_embedded_knowledge_reads_without_a_fault() {
    let (base, faults) = Base::embedded();
    assert_eq!(faults.iter().map(ToString::to_string).collect::<Vec<_>>(), Vec::<String>::new());
    let counts = [
        base.causes.len(),
        base.signs.len(),
        base.tests.len(),
        base.repairs.len(),
        base.complaints.len(),
        base.clashes.len(),
        base.alike.len(),
        base.nevers.len(),
        base.spares.len(),
        base.events.len(),
    ];
    assert_eq!(counts, [70, 42, 59, 43, 21, 10, 4, 4, 13, 14]);
}

#[test]
fn every_cause_of_the_embedded_knowledge_has_a_repair_and_a_sign() {
    let (base, _) = Base::embedded();
    for (place, cause) in base.causes.iter().enumerate() {
        assert!(base.repairs.iter().any(|repair| repair.mends.contains(&place)), "{}", cause.id);
        assert!(!cause.signs.is_empty(), "{}", cause.id);
    }
    for test in base.tests.iter().filter(|test| test.reads == Reads::Cure) {
        let (cause, _) = test.shown[0].given[0];
        assert!(!base.causes[cause].signs.is_empty(), "{}", test.id);
    }
}

/// The message after one text of the embedded knowledge is replaced by another.
fn told(sound: &str, spoilt: &str) -> String {
    assert!(KNOWLEDGE.contains(sound), "{sound:?} does not stand in the knowledge");
    let (_, faults) = Base::read(&KNOWLEDGE.replacen(sound, spoilt, 1));
    let told: Vec<String> = faults.iter().map(ToString::to_string).collect();
    assert!(!told.is_empty(), "nothing was told of {spoilt:?}");
    let line = KNOWLEDGE[..KNOWLEDGE.find(sound).unwrap_or(0)].matches('\n').count() + 1;
    let near = faults.iter().any(|fault| fault.line.abs_diff(line) <= 12);
    assert!(near, "line {line}: {told:?}");
    told.join("\n")
}

#[track_caller]
fn check(sound: &str, spoilt: &str, words: &str) {
    let told = told(sound, spoilt);
    assert!(told.contains(words), "{told}");
}

#[test]
fn an_unknown_key_is_told_with_what_was_probably_meant() {
    check(
        "[test.reseat_harness]\ndo = \"unplug",
        "[test.reseat_harness]\ndoo = \"x\"\ndo = \"unplug",
        "test \"reseat_harness\": \"doo\" is not known here; did you mean \"do\"?",
    );
    check("outcomes = [\"returns\"", "outcome = [\"returns\"", "did you mean \"outcomes\"?");
}

#[test]
fn an_unknown_id_is_told_with_what_was_probably_meant() {
    check(
        "signs = { no_picture = 0.75",
        "signs = { no_pictur = 0.75",
        "there is no sign \"no_pictur\"; did you mean \"no_picture\"?",
    );
    check(
        "mends = [\"harness_loose\"]",
        "mends = [\"harness_lose\"]",
        "there is no cause \"harness_lose\"; did you mean \"harness_loose\"?",
    );
    check(
        "tools = [\"tweezers\"]",
        "tools = [\"tweezer\"]",
        "there is no tool \"tweezer\"; did you mean \"tweezers\"?",
    );
    check(
        "needs = [\"camera_dual_mode\"]",
        "needs = [\"camera_duo_mode\"]",
        "did you mean \"camera_dual_mode\"?",
    );
    check(
        "[event.recent_crash]",
        "[event.recent_crush]",
        "there is no fact \"recent_crush\"; did you mean \"recent_crash\"?",
    );
    check(
        "\"air_dark seen\"",
        "\"air_dark sen\"",
        "both is \"air_dark sen\" and must be a sign with seen or not_seen",
    );
}

#[test]
fn chances_that_do_not_sum_are_told() {
    check(
        "[test.bench_draw.chance.high]\nother = 0.01\ngiven = { air_unit_dead = 0.35",
        "[test.bench_draw.chance.high]\nother = 0.01\ngiven = { air_unit_dead = 0.75",
        "test \"bench_draw\": the chances of the outcomes for \"air_unit_dead\" sum to 1.2000; they must sum to no more than 1",
    );
    check(
        "[test.press_camera.chance.moves]",
        "[test.press_camera.chance.firm]\nother = 0.9\ngiven = { camera_loose = 0.2, lens_focus_shifted = 0.97 }\n[test.press_camera.chance.moves]",
        "the chances of the outcomes for \"camera_loose\" sum to 1.1000; they must sum to 1",
    );
}

#[test]
fn a_chance_beyond_1_and_a_number_that_is_none_are_told() {
    check("works = 0.93", "works = 1.93", "works is 1.93 and must be a chance from 0 to 1");
    check("works = 0.93", "works = nan", "works is nan and must be a chance from 0 to 1");
    check("works = 0.93", "works = \"often\"", "works is \"often\" and must be a chance from 0 to 1");
    check("weight = 7.0", "weight = -7.0", "weight is -7.0 and must be visits of a hundred");
}

#[test]
fn a_circle_is_named_step_by_step() {
    let spoilt = KNOWLEDGE.replacen(
        "[test.supply_at_pin]\n",
        "[test.supply_at_pin]\nafter = [\"reload_right_image\"]\n",
        1,
    );
    let told: Vec<String> = Base::read(&spoilt).1.iter().map(ToString::to_string).collect();
    assert_eq!(told.len(), 1, "{told:?}");
    assert!(
        told[0].contains(
            "these want one another first, in a circle: supply_at_pin → reload_right_image → supply_at_pin; take one \"after\" out"
        ),
        "{told:?}"
    );
}

#[test]
fn what_is_missing_is_told() {
    check("leak = 0.005\n", "", "sign \"air_dark\": \"leak\" must be said");
    check("creance_faults = 1\n", "", "no line says which layout this is");
    check("creance_faults = 1\n", "creance_faults = 7\n", "layout 7 is not known");
    check(
        "prove = \"wiggle, hover\"\nbasis = \"expert estimate\"",
        "prove = \"wiggle, hover\"",
        "\"basis\" must be said",
    );
    check(
        "prove = \"wiggle, hover\"\nbasis = \"expert estimate\"",
        "prove = \"wiggle, hover\"\nbasis = \"sourced\"",
        "\"source\" must be said",
    );
}

#[test]
fn text_that_is_no_toml_or_too_large_is_told() {
    assert!(Base::read("creance_faults = ").1[0].to_string().contains("line 1, column 18: this is no TOML"));
    assert!(Base::read("[cause").1[0].to_string().contains("no TOML"));
    let large = "#".repeat(5 << 20);
    assert!(Base::read(&large).1[0].to_string().contains("must have at most 4194304"));
    assert!(Base::read("").1[0].to_string().contains("write creance_faults = 1"));
}

#[test]
fn a_second_text_replaces_and_adds() {
    let (base, _) = Base::embedded();
    let (more, faults) = base.with(
        "creance_faults = 1\n[cause.camera_dead]\nis = \"gone\"\nside = \"air\"\nweight = 9\nsigns = { no_picture = 0.5 }\nbasis = \"sourced\"\nsource = \"own log, 2026\"\n\
         [cause.gremlin]\nis = \"a gremlin\"\nside = \"air\"\nweight = 1\nsigns = { no_picture = 0.5 }\nbasis = \"expert estimate\"\n\
         [repair.exorcise]\ndo = \"exorcise\"\nmends = [\"gremlin\"]\nminutes = 5\nworks = 0.5\nbasis = \"expert estimate\"\n",
    );
    assert_eq!(faults, []);
    assert_eq!(more.causes.len(), base.causes.len() + 1);
    let dead = &more.causes[base.cause("camera_dead").unwrap_or_default()];
    assert_eq!((dead.weight, dead.basis.words()), (9.0, "sourced: own log, 2026".to_owned()));
    assert_eq!(more.repairs.last().map(|repair| repair.mends.clone()), Some(vec![base.causes.len()]));
}
