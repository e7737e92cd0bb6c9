//! Does the model of a link say what radio says, and name what it lacks?

#![allow(clippy::unwrap_used)]

use super::*;
use crate::Proof;
use crate::testing::set;
use craft::Craft;
use quantity::{Db, Dbm, Degrees, Metres, standard_uncertainty};
use radio::Part;

const SHEETS: [&str; 4] = [
    include_str!("../../../../demo/dunnock.toml"),
    include_str!("../../../../demo/fieldfare.toml"),
    include_str!("../../../../demo/brambling.toml"),
    include_str!("../../../../demo/whinchat.toml"),
];

fn demo(number: usize) -> Craft {
    craft::read_sheet(SHEETS[number]).craft
}
fn linked(craft: &Craft) -> Link {
    Proof::new(craft).link().unwrap().link().unwrap().clone()
}
fn lacks(craft: &Craft) -> Lack {
    Proof::new(craft).link().unwrap().link().unwrap_err().clone()
}
fn line(distance: f64, height: f64) -> radio::Place {
    Link::on_line(Metres::new(distance), Metres::new(height)).unwrap()
}
fn heading(heading: f64) -> Attitude {
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
    let before = link.at(line(40.0, 5.0), heading(0.0), LEVEL).unwrap();
    let behind = link.at(line(68.0, 3.0), heading(0.0), LEVEL).unwrap();
    assert!(
        before.margin > Db::new(20.0) && behind.margin < Db::new(6.0),
        "{} {}",
        before.margin,
        behind.margin
    );
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
