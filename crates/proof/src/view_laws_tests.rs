//! Laws of the rules and figures of the picture: no fact within its limits, and none taken away, makes a number that is none.

#![allow(clippy::unwrap_used)]

use crate::testing::set;
use crate::testing_view::sighted;
use crate::{Proof, Verdict, flying_curves, prove};
use craft::Craft;
use proptest::prelude::*;

/// A fact of the picture, with the ends of what its field allows, and its unit.
const FACTS: &[(&str, f64, f64, &str)] = &[
    ("lens.focal_length", 0.3, 100.0, "mm"),
    ("lens.f_number", 0.7, 22.0, ""),
    ("lens.transmission", 1.0, 100.0, "%"),
    ("lens.image_circle", 1.0, 100.0, "mm"),
    ("cam.pixel_pitch", 0.5, 20.0, "µm"),
    ("cam.read_out", 0.0, 100.0, "ms"),
    ("cam.latency", 0.0, 1000.0, "ms"),
    ("vtx.latency", 0.0, 1000.0, "ms"),
    ("place cam.shutter_limit", 0.01, 1000.0, "ms"),
    ("place cam.sharpness", 0.0, 100.0, "%"),
    ("place cam.pitch", -180.0, 180.0, "°"),
    ("place lens.focused_at", 0.05, 1000.0, "m"),
    ("craft.cruise", 0.0, 120.0, "m/s"),
    ("craft.obstacle", 1.0, 10_000.0, "mm"),
    ("craft.turn_rate", 1.0, 5000.0, "°/s"),
    ("craft.bank_rate", 10.0, 5000.0, "°/s"),
    ("craft.reaction", 50.0, 3000.0, "ms"),
    ("craft.drag_area", 0.0001, 1.0, "m²"),
    ("motor.thrust_full", 1.0, 50_000.0, "gf"),
    ("pack.mass", 0.01, 20_000.0, "g"),
];

fn put(craft: &mut Craft, number: usize, share: f64) {
    let (path, least, most, unit) = FACTS[number % FACTS.len()];
    // The ends themselves come up too; between them evenly in the ratio where the least is above nought.
    let value = match share {
        share if share < 0.1 => least,
        share if share > 0.9 => most,
        share if least > 0.0 => least * (most / least).powf(share),
        share => least + share * (most - least),
    };
    set(craft, path, format!("{value:.6} {unit}").trim_end());
}

/// Everything numeric that is told of the picture must be a number.
fn all_numbers(craft: &Craft) -> Result<(), String> {
    let proved = prove(craft);
    for figure in proved.figures.iter().filter(|figure| figure.id.0.starts_with("view.")) {
        let terms =
            figure.working.terms.iter().flat_map(|term| [Some(term.quantity.value), term.uncertainty]);
        let own = [Some(figure.quantity.value), figure.uncertainty];
        if terms.chain(own).flatten().any(|number| !number.is_finite()) {
            return Err(format!("{figure:?}"));
        }
    }
    for finding in proved.findings.iter().filter(|finding| finding.rule.starts_with("view.")) {
        let margin = finding.margin.map(|margin| margin.quantity.value);
        let words = [&finding.message].into_iter().chain(&finding.mends);
        let odd = |text: &String| ["NaN", "inf", "-0 "].iter().any(|bad| text.contains(bad));
        if margin.is_some_and(|margin| !margin.is_finite()) || words.clone().any(odd) {
            return Err(format!("{finding:?}"));
        }
        if finding.verdict == Verdict::Unknown && finding.mends.is_empty() && finding.missing.is_empty() {
            return Err(format!("unknown and nothing to do: {finding:?}"));
        }
    }
    for curve in flying_curves(&Proof::new(craft)).into_iter().flat_map(|curves| curves.curves) {
        for point in curve.lines.iter().flat_map(|line| &line.points) {
            if ![Some(point.at), Some(point.value), point.uncertainty]
                .into_iter()
                .flatten()
                .all(f64::is_finite)
            {
                return Err(format!("{}: {point:?}", curve.id));
            }
        }
    }
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    #[test]
    fn no_fact_within_its_limits_makes_a_number_that_is_none(facts in prop::collection::vec((0..FACTS.len(), 0.0..1.0f64), 1..6)) {
        let mut craft = sighted();
        for (number, share) in facts {
            put(&mut craft, number, share);
        }
        prop_assert_eq!(all_numbers(&craft), Ok(()));
    }
}

#[test]
fn taking_a_fact_of_the_picture_away_makes_no_number_that_is_none_and_breaks_nothing() {
    let breaks = |craft: &Craft| {
        let findings = prove(craft).findings.into_iter();
        findings
            .filter(|f| f.rule.starts_with("view.") && f.verdict == Verdict::Broken)
            .map(|f| f.rule)
            .collect::<Vec<_>>()
    };
    let before = breaks(&sighted());
    for (path, ..) in FACTS {
        let mut craft = sighted();
        set(&mut craft, path, "");
        assert_eq!(all_numbers(&craft), Ok(()), "without {path}");
        let after = breaks(&craft);
        assert!(after.iter().all(|rule| before.contains(rule)), "without {path}: {after:?}");
    }
}

/// Where words say nought of something that has a unit, or have a minus before nought.
fn nought(words: &str) -> Option<&str> {
    const UNITS: [&str; 12] =
        ["ms", "m", "mm", "s", "px", "pixels", "pixel", "m/s", "stops", "%", "µm", "minutes"];
    let mut pieces = words.split([' ', '(', ')']).peekable();
    while let Some(piece) = pieces.next() {
        let number = piece.trim_start_matches("f/");
        let is_nought = |text: &str| text.parse::<f64>().is_ok_and(|value| value == 0.0);
        let unit = pieces.peek().map_or("", |next| next.trim_end_matches([',', ';', '.', ':']));
        if number.starts_with("-0") && is_nought(number)
            || is_nought(number) && UNITS.contains(&unit)
            || number.strip_suffix('°').is_some_and(is_nought)
        {
            return Some(words);
        }
    }
    None
}

#[test]
fn what_is_there_is_never_told_as_nought() {
    const DEMO: [&str; 5] = [
        include_str!("../../../demo/dunnock.toml"),
        include_str!("../../../demo/fieldfare.toml"),
        include_str!("../../../demo/brambling.toml"),
        include_str!("../../../demo/whinchat.toml"),
        include_str!("../../../demo/siskin.toml"),
    ];
    assert!(
        nought("Set it to 0 ms; then").is_some() && nought("at -0.0").is_some() && nought("by 0°").is_some()
    );
    assert!(nought("10 ms of 0.04 m at 30 m/s, f/2.0").is_none());
    let mut crafts: Vec<(String, Craft)> = DEMO
        .iter()
        .map(|sheet| craft::read_sheet(sheet).craft)
        .map(|craft| (craft.name.clone(), craft))
        .collect();
    for (path, least, most, unit) in FACTS {
        // What is nought itself may be told so.
        for value in [*least, *most].into_iter().filter(|value| *value > 0.0) {
            let mut craft = sighted();
            let text = format!("{value} {unit}");
            set(&mut craft, path, text.trim_end());
            crafts.push((format!("{path} = {text}"), craft));
        }
    }
    for (what, text) in
        [("lens.focal_length", "99 mm"), ("craft.cruise", "0.4 m/s"), ("craft.turn_rate", "4000 °/s")]
    {
        let mut craft = sighted();
        set(&mut craft, what, text);
        crafts.push((format!("{what} = {text}"), craft));
    }
    let mut odd = Vec::new();
    for (what, craft) in &crafts {
        let proved = prove(craft);
        let findings = proved.findings.iter().filter(|finding| finding.rule.starts_with("view."));
        let mut words: Vec<String> = findings
            .flat_map(|finding| [finding.message.clone()].into_iter().chain(finding.mends.iter().cloned()))
            .collect();
        let figures = proved.figures.iter().filter(|figure| figure.id.0.starts_with("view."));
        words.extend(figures.flat_map(|figure| {
            let terms =
                figure.working.terms.iter().flat_map(|term| [term.label.clone(), term.origin.clone()]);
            [figure.label.clone(), figure.working.formula.clone()]
                .into_iter()
                .chain(terms)
                .collect::<Vec<_>>()
        }));
        let curves = flying_curves(&Proof::new(craft)).into_iter().flat_map(|curves| curves.curves);
        words.extend(curves.map(|curve| curve.message));
        odd.extend(words.iter().filter_map(|words| nought(words)).map(|words| format!("{what}: {words}")));
    }
    odd.sort();
    odd.dedup();
    assert!(odd.is_empty(), "{}", odd.join("\n"));
}
