//! Does the model of a link say what radio says, and name what it lacks?

#![allow(clippy::unwrap_used)]

use super::*;
use crate::Proof;
use crate::testing::set;
use craft::Craft;
use quantity::{Db, Dbm, Degrees, Metres, standard_uncertainty};
use radio::Part;

pub(super) const SHEETS: [&str; 4] = [
    include_str!("../../../../demo/dunnock.toml"),
    include_str!("../../../../demo/fieldfare.toml"),
    include_str!("../../../../demo/brambling.toml"),
    include_str!("../../../../demo/whinchat.toml"),
];

pub(super) fn demo(number: usize) -> Craft {
    craft::read_sheet(SHEETS[number]).craft
}
pub(super) fn linked(craft: &Craft) -> Link {
    Proof::new(craft).link().unwrap().link().unwrap().clone()
}
fn lacks(craft: &Craft) -> Lack {
    Proof::new(craft).link().unwrap().link().unwrap_err().clone()
}
pub(super) fn line(distance: f64, height: f64) -> radio::Place {
    Link::on_line(Metres::new(distance), Metres::new(height)).unwrap()
}
pub(super) fn heading(heading: f64) -> Attitude {
    Attitude::cruising(Degrees::new(heading), Degrees::new(15.0))
}
const LEVEL: Dbm = Dbm::new(14.0);

#[test]
fn every_demo_craft_has_a_link_and_its_quick_margin_is_the_full_one() {
    for number in 0..SHEETS.len() {
        let link = linked(&demo(number));
        for (distance, height, attitude) in
            [(5.0, 2.0, heading(0.0)), (90.0, 6.0, heading(135.0).banked(Degrees::new(60.0)))]
        {
            let at = link.at(line(distance, height), attitude, LEVEL).unwrap();
            let quick = link.margin(line(distance, height), attitude, LEVEL).unwrap();
            assert!((at.margin - quick).get().abs() < 1e-9, "{number}: {} {quick}", at.margin);
            assert!(at.between.0 <= at.margin && at.margin <= at.between.1);
            assert!(at.carrying().is_some());
        }
    }
}

#[test]
fn behind_the_barn_the_picture_breaks_and_before_it_holds() {
    let link = linked(&demo(2));
    let before = link.at(line(25.0, 5.0), heading(0.0), LEVEL).unwrap();
    let worst = link
        .behind(
            &link.stretches_behind(Metres::new(110.0), Metres::new(3.0), heading(180.0), LEVEL).unwrap(),
            Metres::new(3.0),
            heading(180.0),
            LEVEL,
        )
        .unwrap()
        .unwrap();
    let behind = link.at(line(worst.at.get(), 3.0), heading(180.0), LEVEL).unwrap();
    assert!(before.margin > Db::new(20.0) && worst.margin < Db::new(6.0), "{} {worst:?}", before.margin);
    let walls = |at: &LinkAt| {
        let pair = at.carrying().unwrap();
        pair.budget.terms.iter().find(|term| term.part == Part::Walls).unwrap().change
    };
    assert!(walls(&before).get().abs() < 1.0 && walls(&behind) < Db::new(-12.0));
}

#[test]
fn the_other_hand_costs_a_dozen_decibels() {
    let (right, mut craft) = (linked(&demo(1)), demo(1));
    set(&mut craft, "omni.hand", "left");
    let wrong = linked(&craft);
    let margin = |link: &Link| link.margin(line(200.0, 20.0), heading(0.0), LEVEL).unwrap();
    let lost = margin(&right) - margin(&wrong);
    assert!((10.0..25.0).contains(&lost.get()), "{lost}");
}

#[test]
fn a_worn_plug_costs_three_decibels_and_widens_the_range() {
    let (sound, mut craft) = (linked(&demo(0)), demo(0));
    let whip = craft.places.iter_mut().find(|place| place.id.as_str() == "whip").unwrap();
    whip.values.insert("joint".to_owned(), craft::Value::Text("worn".to_owned()));
    let worn = linked(&craft);
    let at = |link: &Link| link.at(line(20.0, 2.0), heading(0.0), LEVEL).unwrap();
    let (sound, worn) = (at(&sound), at(&worn));
    assert!(((sound.margin - worn.margin).get() - 2.85).abs() < 0.1);
    assert!((worn.between.1 - worn.between.0) > (sound.between.1 - sound.between.0));
}

#[test]
fn missing_facts_are_named() {
    let mut craft = demo(1);
    set(&mut craft, "omni.vswr", "");
    craft.values.remove("channel");
    let labels: Vec<String> = lacks(&craft).missing.into_iter().map(|missing| missing.label).collect();
    assert_eq!(labels, ["standing wave ratio of \"right-hand omni\"", "channel of \"Fieldfare\""]);
    let mut craft = demo(1);
    craft.places.retain(|place| place.id.as_str() != "station");
    let labels: Vec<String> = lacks(&craft).missing.into_iter().map(|missing| missing.label).collect();
    assert_eq!(labels, ["ground station of \"Fieldfare\""]);
}

#[test]
fn a_mode_the_receiver_does_not_know_is_wrong_and_says_which_it_knows() {
    let mut craft = demo(1);
    craft.values.insert("video_mode".to_owned(), craft::Value::Text("grand".to_owned()));
    assert_eq!(
        lacks(&craft).wrong,
        [
            "video mode \"grand\": \"Tansy club receiver\" has thresholds for smooth; add that mode there or name one of these"
        ]
    );
}

#[test]
fn doubt_of_level_gain_and_threshold_is_carried() {
    let craft = demo(1);
    let proof = Proof::new(&craft);
    let model = proof.link().unwrap();
    let level = model.plan.level.clone().unwrap();
    let margin = model.link().unwrap().margin_with_doubt(line(200.0, 20.0), heading(0.0), &level).unwrap();
    let slope = |path: &str| {
        let fact = proof.ledger().find(&quantity::FactPath(path.to_owned())).unwrap();
        margin.slope_on(fact)
    };
    assert!((slope("omni.gain") - 1.0).abs() < 1e-6);
    assert!((slope("ground.threshold[0].level") + 1.0).abs() < 1e-9);
    assert!((slope("vtx.level[1].at_socket") - 1.0).abs() < 1e-9);
    let doubt = standard_uncertainty(&margin, &proof.ledger());
    assert!((1.5..4.0).contains(&doubt), "{doubt}");
}

#[test]
fn antennas_in_one_point_or_in_each_other_are_told_apart_first() {
    let mut craft = demo(1);
    let two = craft
        .parts
        .iter()
        .find(|part| part.tables.get("antenna").is_some_and(|rows| rows.len() > 1))
        .unwrap();
    let id = two.id.clone();
    for n in 0..2 {
        for (key, text) in [("ahead", "0 m"), ("aside", "0.3 m"), ("height", "2.5 m")] {
            set(&mut craft, &format!("{id}.antenna[{n}].{key}"), text);
        }
    }
    let mend = "in each other: their middles need 26 mm, half a wave; say how far ahead and aside and how high each stands";
    assert_eq!(lacks(&craft).wrong, [format!("upright omni and patch stand 0 mm apart, {mend}")]);
    set(&mut craft, &format!("{id}.antenna[1].aside"), "0.31 m");
    assert_eq!(lacks(&craft).wrong, [format!("upright omni and patch stand 10 mm apart, {mend}")]);
    set(&mut craft, &format!("{id}.antenna[1].aside"), "0.33 m");
    assert!(Proof::new(&craft).link().unwrap().link().is_ok());
}

#[test]
fn an_antenna_in_a_wall_or_under_a_roof_is_told_and_so_is_a_pattern_that_nothing_reads() {
    let station = |craft: &Craft| {
        craft.parts.iter().find(|part| part.tables.contains_key("obstacle")).unwrap().id.clone()
    };
    let mut craft = demo(2);
    let id = station(&craft);
    for (key, text) in [("ahead", "0 m"), ("aside", "9.5 m")] {
        set(&mut craft, &format!("{id}.obstacle[0].{key}"), text);
    }
    let wrong = lacks(&craft).wrong;
    assert_eq!(
        wrong[0],
        "upright omni stands inside barn, and nobody could say what arrives there; say where each stands, ahead and aside"
    );
    set(&mut craft, &format!("{id}.obstacle[0].form"), "wall");
    let wrong = lacks(&craft).wrong;
    assert!(wrong[0].starts_with("upright omni stands in a wall of barn"), "{wrong:?}");
    let mut craft = demo(2);
    let id = station(&craft);
    let cut = [("antenna", "uprigt omni"), ("off", "0°"), ("gain", "1 dBi, measured")];
    crate::testing::row(&mut craft, id.as_str(), "cut", &cut);
    let cut = [("antenna", "upright omni"), ("off", "0°"), ("gain", "1 dBi, measured")];
    crate::testing::row(&mut craft, id.as_str(), "cut", &cut);
    let wrong = lacks(&craft).wrong;
    assert!(wrong[0].contains("row 1 of") && wrong[0].contains("name one of upright omni"), "{wrong:?}");
    assert!(wrong[1].contains("row 2 of") && wrong[1].contains("set it to measured"), "{wrong:?}");
}

#[test]
fn walls_leaves_and_ground_are_in_doubt_in_the_budget_and_in_the_certainty() {
    let craft = demo(2);
    let proof = Proof::new(&craft);
    let model = proof.link().unwrap();
    let (link, level) = (model.link().unwrap(), model.plan.level.clone().unwrap());
    let behind = line(90.0, 3.0);
    let at = link.at(behind, heading(0.0), level.at_socket).unwrap();
    let term =
        |part: Part| *at.carrying().unwrap().budget.terms.iter().find(|term| term.part == part).unwrap();
    for part in [Part::Walls, Part::Ground] {
        let term = term(part);
        assert!(term.worse.get() > 0.1 && term.better.get() >= 0.0, "{term:?}");
        assert!(term.worse.get() < 25.0 && term.better.get() < 25.0, "{term:?}");
    }
    let margin = link.margin_with_doubt(behind, heading(0.0), &level).unwrap();
    let with = standard_uncertainty(&margin, &proof.ledger());
    let mut sure = link.clone();
    sure.spreads = Default::default();
    let without = sure.margin_with_doubt(behind, heading(0.0), &level).unwrap();
    let without = standard_uncertainty(&without, &proof.ledger());
    assert!(with > without + 0.2, "{with} {without}");
    // In the open and off the ground nothing of it is left.
    let mut clear = link.clone();
    clear.scenery = radio::Scenery::default();
    let margin = clear.margin_with_doubt(behind, heading(0.0), &level).unwrap();
    assert!((standard_uncertainty(&margin, &proof.ledger()) - without).abs() < 0.3);
}

#[test]
fn a_measured_pattern_stands_in_for_a_kind_of_element() {
    let mut craft = demo(1);
    set(&mut craft, "omni.element", "measured");
    set(&mut craft, "omni.measured_about", "mast");
    let labels: Vec<String> = lacks(&craft).missing.into_iter().map(|missing| missing.label).collect();
    assert_eq!(labels, ["measured pattern of \"right-hand omni\""]);
    for (off, gain) in
        [("0°", "-12 dBi, measured"), ("90°", "1.2 dBi, measured"), ("180°", "-14 dBi, measured")]
    {
        crate::testing::row(&mut craft, "omni", "cut", &[("off", off), ("gain", gain)]);
    }
    let link = linked(&craft);
    let own = link.senders[0].antenna.gain(radio::Direction::FORWARD);
    assert!((own.get() - 1.2).abs() < 1e-9);
    craft
        .parts
        .iter_mut()
        .find(|part| part.id.as_str() == "omni")
        .unwrap()
        .tables
        .get_mut("cut")
        .unwrap()
        .pop();
    assert_eq!(
        lacks(&craft).wrong,
        ["\"right-hand omni\": the pattern has 2 angles off the axis; it needs 3 at least and 720 at most"]
    );
}

/// The circular antenna of a demo craft, measured: rows of off, round, gain, hand and axial ratio.
fn measured(rows: &[[&str; 5]]) -> Craft {
    let mut craft = demo(1);
    set(&mut craft, "omni.element", "measured");
    set(&mut craft, "omni.measured_about", "mast");
    for row in rows {
        let fields = ["off", "round", "gain", "hand", "axial_ratio"].into_iter().zip(*row);
        let given: Vec<(&str, &str)> = fields.filter(|(_, text)| !text.is_empty()).collect();
        crate::testing::row(&mut craft, "omni", "cut", &given);
    }
    craft
}

#[test]
fn a_table_on_a_sheet_is_refused_as_one_in_a_file_is() {
    let [top, rim, foot] =
        [["0°", "", "-12 dBi", "", ""], ["90°", "", "1.2 dBi", "", ""], ["180°", "", "-14 dBi", "", ""]];
    let said = |rows: &[[&str; 5]]| {
        let table: Vec<String> = rows
            .iter()
            .map(|[off, round, gain, ..]| {
                let round = if round.is_empty() { "0" } else { round };
                [off, round, gain]
                    .map(|cell| cell.trim_end_matches(['°', 'd', 'B', 'i', ' ']).to_owned())
                    .join(",")
            })
            .collect();
        let from_file = read_pattern(&format!("off,round,gain\n{}\n", table.join("\n")));
        let on_sheet =
            Proof::new(&measured(rows)).link().unwrap().link().err().map(|lack| lack.wrong.clone());
        (on_sheet.unwrap_or_default(), from_file.err().unwrap_or_default())
    };
    assert_eq!(said(&[top, rim, foot]), (vec![], vec![]));
    for (rows, words) in [
        (vec![top, rim, foot, rim], "the pattern has two gains at 90° off the axis and 0° round it; leave"),
        (vec![top, ["90°", "", "-30 dBi", "", ""], foot], "with these gains the antenna radiates"),
        (
            vec![top, rim, ["60°", "90°", "0 dBi", "", ""], foot],
            "the pattern has no gain at 60° off the axis and 0° round it; measure it there",
        ),
    ] {
        let (on_sheet, from_file) = said(&rows);
        assert!(on_sheet[0].starts_with(&format!("\"right-hand omni\": {words}")), "{on_sheet:?}");
        assert_eq!(from_file.len(), 1);
        if !matches!(from_file[0], PatternFault::Twice { .. }) {
            assert_eq!(on_sheet[0], format!("\"right-hand omni\": {}", from_file[0]));
        }
    }
    let ring = [["60°", "0°", "1 dBi", "", ""], ["60°", "180°", "0 dBi", "", ""]];
    let half = [top, ring[0], ["60°", "90°", "0 dBi", "", ""], foot];
    assert!(said(&half).0[0].contains("more than half a turn"), "{:?}", said(&half).0);
    assert_eq!(said(&[top, ring[0], ring[1], foot]), (vec![], vec![]), "one row on the axis is enough");
}

#[test]
fn hand_and_axial_ratio_of_a_sheets_rows_reach_the_wave() {
    let rows = |rim: [&str; 2], top: [&str; 2]| {
        measured(&[
            ["0°", "", "-12 dBi", top[0], top[1]],
            ["90°", "", "1.2 dBi", rim[0], rim[1]],
            ["180°", "", "-14 dBi", top[0], top[1]],
        ])
    };
    let craft = rows(["", "1.5 dB, measured"], ["left", "6 dB, measured"]);
    let antenna = linked(&craft).senders[0].antenna.clone();
    let told = |own: radio::Direction| {
        let sent = antenna.wave(radio::Turn::NONE, own).polarisation().unwrap();
        (sent.hand(), (sent.axial_ratio().unwrap().get() * 10.0).round() / 10.0)
    };
    // The hand that a row leaves out is the antenna's own.
    assert_eq!(told(radio::Direction::FORWARD), (Some(radio::Hand::Right), 1.5));
    assert_eq!(told(radio::Direction::UP), (Some(radio::Hand::Left), 6.0));
    let wrong = |craft: Craft| lacks(&craft).wrong.join("; ");
    assert!(wrong(rows(["", "2 dB"], ["", ""])).contains("hand and axial ratio stand in 1 of 3 rows"));
    assert!(
        wrong(rows(["left", ""], ["", ""])).contains("a hand and an axial ratio stand together in a row")
    );
}

#[test]
fn words_on_a_sheet_are_words_that_radio_knows() {
    use craft::schema::{ValueKind, station};
    let words = |field: &craft::schema::Field<str>| match field.def.kind {
        ValueKind::Choice(words) => words,
        _ => &[],
    };
    assert!(words(&station::GROUND).iter().all(|word| radio::Material::of_word(word).is_some()));
    assert!(words(&station::obstacle::MATERIAL).iter().all(|word| radio::Material::of_word(word).is_some()));
    assert!(words(&station::antenna::COAX)[1..].iter().all(|word| radio::Coax::of_word(word).is_some()));
    assert!(words(&station::SURROUNDINGS).iter().all(|word| scenery::surroundings(word).is_some()));
}

pub(super) fn figures(craft: &Craft) -> Vec<quantity::Figure> {
    // With those that stand beside the rule that judges them.
    let proved = crate::prove(craft);
    let feeds = proved
        .figures
        .iter()
        .filter(|figure| figure.id.0.starts_with("link.") || figure.id.0.starts_with("safe.exp"));
    feeds.cloned().chain(proved.link_figures()).collect()
}
pub(super) fn value(figures: &[quantity::Figure], id: &str) -> f64 {
    let found = figures.iter().find(|figure| figure.id.0 == id);
    found.unwrap_or_else(|| panic!("no {id}")).quantity.value
}

proptest::proptest! {
    #![proptest_config(proptest::test_runner::Config::with_cases(200))]

    #[test]
    fn whatever_is_asked_no_answer_is_no_number(
        number in 0..4usize,
        place in proptest::array::uniform3(proptest::num::f64::ANY),
        near in proptest::array::uniform3(-80.0..120.0f64),
        turn in proptest::array::uniform3(proptest::num::f64::ANY),
        level in proptest::num::f64::ANY,
    ) {
        static LINKS: std::sync::OnceLock<Vec<Link>> = std::sync::OnceLock::new();
        let link = &LINKS.get_or_init(|| (0..4).map(|number| linked(&demo(number))).collect())[number];
        let [x, y, z] = place.map(Metres::new);
        let [heading, pitch, bank] = turn.map(Degrees::new);
        let wild = Attitude { heading, pitch, bank };
        let [a, b, c] = near.map(Metres::new);
        let places = [radio::Place::new(x, y, z), radio::Place::new(a, b, c)];
        for place in places.into_iter().flatten() {
            for (attitude, level) in [(wild, LEVEL), (self::heading(40.0), LEVEL), (Attitude::LEVEL, Dbm::new(level))] {
                if let Ok(at) = link.at(place, attitude, level) {
                    proptest::prop_assert!(at.margin.get().is_finite() && at.held.get().is_finite());
                    proptest::prop_assert!(at.between.0.get().is_finite() && at.between.1.get().is_finite());
                }
                if let Ok(margin) = link.margin(place, attitude, level) {
                    proptest::prop_assert!(!margin.get().is_nan(), "{place:?} {attitude:?} {level}");
                }
            }
        }
    }

}

proptest::proptest! {
    #![proptest_config(proptest::test_runner::Config::with_cases(30))]

    #[test]
    fn absurd_facts_give_faults_in_words_and_no_figure_that_is_no_number(
        field in proptest::sample::select(vec![
            "omni.gain", "omni.axial_ratio", "omni.vswr", "omni.length", "omni.active", "tail.length", "tail.loss",
        ]),
        text in proptest::sample::select(vec![
            "0 mm", "-20 dBi", "40 dBi", "40 dB", "50", "1", "1000 mm", "0.1 mm", "60 dB", "0 dB", "1 mm", "",
        ]),
        channel in proptest::sample::select(vec!["100 MHz", "5806 MHz", "9000 MHz", "100000 MHz"]),
        far in proptest::sample::select(vec!["1 m", "450 m", "50000 m"]),
        height in proptest::sample::select(vec!["0.1 m", "25 m", "5000 m"]),
        level in proptest::sample::select(vec!["25 mW", "0 mW", "200 mW", "10000 mW"]),
    ) {
        let mut craft = demo(1);
        // What the sheet itself refuses never gets here.
        let fits = |craft: &mut Craft, id: &str, text: &str| {
            let (id, key) = id.split_once('.').unwrap();
            let part = craft.parts.iter_mut().find(|part| part.id.as_str() == id).unwrap();
            let def = part.kind.def().fields.iter().find(|def| def.key == key).unwrap();
            match craft::read_value(def, text) {
                Ok(value) => { part.values.insert(key.to_owned(), value); }
                Err(_) => { part.values.remove(key); }
            }
        };
        fits(&mut craft, field, text);
        for (key, text) in [("channel", channel), ("fly_to", far), ("fly_height", height), ("level", level)] {
            let def = craft::schema::craft::FIELDS.iter().find(|def| def.key == key).unwrap();
            if let Ok(value) = craft::read_value(def, text) {
                craft.values.insert(key.to_owned(), value);
            }
        }
        for figure in figures(&craft) {
            proptest::prop_assert!(figure.quantity.value.is_finite(), "{}", figure.id.0);
            proptest::prop_assert!(figure.working.terms.iter().all(|term| term.quantity.value.is_finite()), "{}", figure.id.0);
            proptest::prop_assert!(figure.uncertainty.is_none_or(f64::is_finite), "{}", figure.id.0);
        }
        let proof = Proof::new(&craft);
        if let Some(Err(lack)) = proof.link().map(LinkModel::link) {
            proptest::prop_assert!(!lack.is_empty());
        }
    }
}

#[test]
fn figures_asked_of_a_craft_proved_again_are_those_of_a_fresh_one() {
    let store = std::sync::Arc::default();
    let mut craft = demo(2);
    for edit in [None, Some(("omni.gain", "1.6 dBi ± 0.2, measured")), Some(("omni.hand", "left"))] {
        if let Some((path, text)) = edit {
            set(&mut craft, path, text);
        }
        let again = crate::prove_again(&craft, &store);
        let link = again.link_figures();
        assert!(!link.is_empty() && link == crate::prove(&craft).link_figures());
        assert_eq!(again.all_figures().len(), again.figures.len() + link.len());
    }
}
