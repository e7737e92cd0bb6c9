//! A craft far larger than any real one is proved in bounded time and answered with findings a person can read.
#![allow(clippy::unwrap_used)]

use crate::rules::RULES;
use crate::testing::set;
use crate::testing_stack::sound_bay;
use crate::{Verdict, prove};
use craft::{Anchor, Craft, PlaceId};

/// The sound bay so many times over, on a grid with `apart` mm between.
fn bays(count: usize, apart: f64) -> Craft {
    let bay = sound_bay();
    let mut all = Craft { places: Vec::new(), ..bay.clone() };
    let side = (count as f64).sqrt().ceil() as usize;
    for number in 0..count {
        let name = |id: &PlaceId| PlaceId::new(format!("{id}-{number}")).unwrap();
        for place in &bay.places {
            let mut place = place.clone();
            place.id = name(&place.id);
            place.on = place.on.map(|on| match on {
                Anchor::Body => Anchor::Body,
                Anchor::Place(id) => Anchor::Place(name(&id)),
                Anchor::Feature(id, feature) => Anchor::Feature(name(&id), feature),
            });
            all.places.push(place);
        }
        let along = |n: usize| format!("{} mm", (n as f64 - side as f64 / 2.0) * apart);
        set(&mut all, &format!("place frame-{number}.x"), &along(number % side));
        set(&mut all, &format!("place frame-{number}.y"), &along(number / side));
    }
    all
}

fn told(craft: &Craft, rule: &str) -> Vec<(Verdict, String)> {
    let told = prove(craft).findings;
    told.into_iter().filter(|f| f.rule == rule).map(|f| (f.verdict, f.message)).collect()
}

#[test]
fn a_thousand_places_are_all_judged_and_told_in_few_words() {
    let craft = bays(31, 220.0);
    assert_eq!(craft.places.len(), 992);
    let proved = prove(&craft);
    let faults: Vec<_> = proved
        .findings
        .iter()
        .filter(|f| f.rule.starts_with("fit.") && f.verdict != Verdict::Sound)
        .collect();
    assert!(faults.is_empty(), "{faults:?}");
    for rule in RULES {
        let told = proved.findings.iter().filter(|finding| finding.rule == rule.id).count();
        assert!(told <= 251, "{}: {told}", rule.id);
    }
}

#[test]
fn of_very_many_broken_pairs_the_worst_are_told_and_the_rest_are_counted() {
    let mut craft = bays(250, 100.0);
    craft.places.retain(|place| {
        ["frame", "spacers", "vtx"].iter().any(|id| place.id.as_str().starts_with(&format!("{id}-")))
    });
    craft.places.retain(|place| !place.id.as_str().starts_with("vtx-screws"));
    set(&mut craft, "vtx.height", "26 mm, measured");
    let mut told = told(&craft, "fit.pair_clearance");
    // Each of 250 transmitters stands in its top plate: 200 are told, the rest counted.
    told.retain(|(verdict, _)| *verdict == Verdict::Broken);
    assert_eq!(told.len(), 201);
    assert!(
        told.iter().any(|(_, message)| message.contains("further pairs of parts come near each other")),
        "{told:?}"
    );
}

#[test]
fn a_craft_drawn_all_in_one_spot_is_told_so() {
    let craft = bays(40, 0.0);
    for rule in ["fit.pair_clearance", "fit.plug_pull", "fit.service_access", "fit.stack_height"] {
        let told = told(&craft, rule);
        assert_eq!(told.len(), 1, "{told:?}");
        let (verdict, message) = &told[0];
        assert_eq!(*verdict, Verdict::Unknown);
        // The first says it, the others say where it is said.
        let begins = match rule {
            "fit.pair_clearance" => "More than 100000 pairs of solids are near each other",
            _ => "Nobody can say before what fit.pair_clearance names",
        };
        assert!(message.starts_with(begins), "{message}");
    }
}
