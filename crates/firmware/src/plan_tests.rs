//! Six units from one card, and every way in which a plan is refused.

#![allow(clippy::unwrap_used)]
use super::*;
use crate::barrier::{Crossing, barriers, crossing};
use crate::{FileSeen, Fit, Fits, Kept, digest_of};
use expect_test::{Expect, expect};
use proptest::prelude::*;

const AIR: &str = "Lanner small air unit";
const GROUND: &str = "Lanner ground unit";

fn version(text: &str) -> Version {
    Version::read(text).unwrap()
}

fn image(file: &str, at: &str, kind: &str) -> Image {
    let fits = vec![Fits { kind: kind.into(), revisions: vec!["B".into(), "C".into()] }];
    Image {
        file: file.into(),
        master: format!("/masters/{file}"),
        digest: digest_of(file.as_bytes()),
        size: 40_000_000,
        version: version(at),
        fits,
        notes: String::new(),
        step: None,
        first: None,
    }
}

fn recipe(kind: &str, end: End, file_name: &str) -> Recipe {
    Recipe {
        kind: kind.into(),
        system: "Lanner".into(),
        end,
        file_name: file_name.into(),
        folder: String::new(),
        keep: vec![Kept { name: "install.txt".into(), text: String::new() }],
        file_systems: vec!["fat32".into()],
        largest_card: Some(32_000_000_000),
        eats_image: false,
        minutes: Some(8.0),
        watts: Some(9.0),
        done_when: "the light is steady".into(),
    }
}

fn card(path: &str) -> CardSeen {
    CardSeen {
        path: path.into(),
        removable: Some(true),
        is_mount: true,
        file_system: Some("vfat".into()),
        size: Some(16_000_000_000),
        free: Some(15_000_000_000),
        files: Vec::new(),
    }
}

struct Bench {
    batch: Vec<String>,
    chosen: BTreeMap<String, Digest>,
    units: Vec<Unit>,
    images: Vec<Image>,
    sets: Vec<MatchingSet>,
    recipes: Vec<Recipe>,
    cards: Cards,
    supply: Supply,
}

/// Four craft with air units, a spare, and the ground unit: six from one card.
fn six() -> Bench {
    let images = vec![image("air-4.2.img", "4.2", AIR), image("ground-4.2.img", "4.2", GROUND)];
    let unit = |label: &str, kind: &str, craft: Option<&str>| Unit {
        revision: Some("B".into()),
        version: Some(version("4.1")),
        craft: craft.map(str::to_owned),
        ..Unit::new(label, kind)
    };
    let mut units: Vec<Unit> =
        (1..=4).map(|n| unit(&format!("A{n}"), AIR, Some(&format!("craft-{n}")))).collect();
    units.push(unit("A5 spare", AIR, None));
    units.push(unit("G1", GROUND, None));
    let batch: Vec<String> = units.iter().map(|unit| unit.label.clone()).collect();
    let of = |label: &String| if label.starts_with('G') { images[1].digest } else { images[0].digest };
    let chosen = batch.iter().map(|label| (label.clone(), of(label))).collect();
    Bench {
        batch,
        chosen,
        units,
        images,
        sets: Vec::new(),
        recipes: vec![recipe(AIR, End::Air, "LANNER_AIR.IMG"), recipe(GROUND, End::Ground, "LANNER_GND.IMG")],
        cards: Cards { seen: vec![card("/media/card")], yes: Vec::new(), in_turn: true },
        supply: Supply::Bench,
    }
}

impl Bench {
    fn plan(&self) -> Result<Plan, Vec<Refused>> {
        let Bench { batch, chosen, units, images, sets, recipes, cards, supply } = self;
        plan(&Asked { batch, chosen, units, images, sets, recipes, cards, supply })
    }
}

fn refused(spoil: impl FnOnce(&mut Bench), expected: Expect) {
    let mut bench = six();
    spoil(&mut bench);
    let told: Vec<String> = bench.plan().unwrap_err().iter().map(ToString::to_string).collect();
    expected.assert_eq(&told.join("\n"));
}

#[test]
fn six_units_go_from_one_card_with_three_writings() {
    let plan = six().plan().unwrap();
    let line = |step: &Step| {
        format!(
            "{} {} → {} {}{}",
            step.unit,
            step.from.as_ref().unwrap(),
            step.to,
            step.path.join("/"),
            if step.writes { " written" } else { "" }
        )
    };
    expect![[r#"
        A5 spare 4.1 → 4.2 LANNER_AIR.IMG written
        G1 4.1 → 4.2 LANNER_GND.IMG written
        A1 4.1 → 4.2 LANNER_AIR.IMG written
        A2 4.1 → 4.2 LANNER_AIR.IMG
        A3 4.1 → 4.2 LANNER_AIR.IMG
        A4 4.1 → 4.2 LANNER_AIR.IMG"#]]
    .assert_eq(&plan.steps.iter().map(line).collect::<Vec<_>>().join("\n"));
}

#[test]
fn notes_that_put_the_ground_first_are_followed() {
    let mut bench = six();
    bench.images[1].first = Some(End::Ground);
    assert_eq!(bench.plan().unwrap().steps[0].unit, "G1");
}

#[test]
fn an_installer_that_eats_its_image_has_it_put_back_for_each_unit() {
    let mut bench = six();
    bench.recipes[0].eats_image = true;
    assert!(bench.plan().unwrap().steps.iter().all(|step| step.writes));
}

#[test]
fn an_image_for_another_kind_or_revision_is_refused_by_name() {
    refused(
        |bench| {
            let ground = bench.images[1].digest;
            bench.chosen.insert("A2".into(), ground);
            bench.units[2].revision = Some("A".into());
            bench.units[3].revision = None;
        },
        expect![[r#"
            image "ground-4.2.img" is for Lanner ground unit revision B or C; unit "A2" is Lanner small air unit. Refused: it could leave it dead
            image "air-4.2.img" is for Lanner small air unit revision B or C; unit "A3" has revision "A". Refused: it could leave it dead
            image "air-4.2.img" is for Lanner small air unit revision B or C, and the revision of unit "A4" is not known; read it off the board"#]],
    );
}

#[test]
fn a_barrier_is_neither_jumped_nor_recrossed_nor_guessed() {
    refused(
        |bench| {
            bench.images[0].step = Some(version("4.15"));
            bench.images[0].version = version("4.20");
            bench.images[1].version = version("4.20");
            bench.units[1].version = Some(version("4.15"));
            bench.units[2].version = None;
        },
        expect![[r#"
            unit "A1": from 4.1 go to 4.15 first; that step may not be skipped on the way to 4.20
            unit "A3" was never asked what it has, and 4.15 may not be skipped or recrossed; read its version first
            unit "A4": from 4.1 go to 4.15 first; that step may not be skipped on the way to 4.20
            unit "A5 spare": from 4.1 go to 4.15 first; that step may not be skipped on the way to 4.20"#]],
    );
    refused(
        |bench| {
            bench.images[0].step = Some(version("4.5"));
            bench.units[0].version = Some(version("4.6"));
        },
        expect![[r#"
            unit "A1": 4.2 lies below 4.5, and from 4.6 there is no way back below it; keep 4.6 or a later one"#]],
    );
}

#[test]
fn ends_that_would_not_understand_each_other_are_refused() {
    refused(
        |bench| {
            bench.batch = vec!["A1".into()];
            bench.images[0].version = version("5.0");
        },
        expect![[r#"
            5.0 on "A1" would meet 4.1 on the ground (G1): no picture. Load both ends to versions that go together, or list the pair as a set"#]],
    );
    let mut listed = six();
    listed.batch = vec!["A1".into()];
    listed.images[0].version = version("5.0");
    listed.sets.push(MatchingSet {
        system: "Lanner".into(),
        air: version("5.0"),
        ground: version("4.1"),
        notes: String::new(),
    });
    assert!(listed.plan().is_ok());
}

#[test]
fn a_card_that_will_not_do_is_refused_with_all_its_reasons() {
    refused(
        |bench| {
            let seen = &mut bench.cards.seen[0];
            seen.removable = Some(false);
            seen.size = Some(64_000_000_000);
            seen.free = Some(1_000);
            seen.file_system = Some("ntfs3".into());
            let file =
                |name: &str, is_link| FileSeen { folder: String::new(), name: name.into(), size: 5, is_link };
            seen.files =
                vec![file("old.img", false), file("lanner_air.img", true), file("holiday.jpg", false)];
            bench.batch.truncate(1);
            bench.images[0].version = version("4.1");
        },
        expect![[r#"
            card "/media/card": its drive is not a removable one. Say yes to it by name if this is really the card
            card "/media/card": 40000000 bytes are needed and 1000 are free; empty it or take a larger one
            card "/media/card" holds 64000000000 bytes; "Lanner small air unit" reads cards up to 32000000000 only; take a smaller one
            card "/media/card" is written as ntfs3; "Lanner small air unit" reads fat32; format it so on a machine you trust
            card "/media/card" holds "old.img" beside the wanted image: the unit may take the wrong one. Remove it
            card "/media/card": "lanner_air.img" on it is a link that leads elsewhere; take another card"#]],
    );
}

#[test]
fn each_recipe_is_held_against_its_own_folder() {
    refused(
        |bench| {
            bench.recipes[1].folder = "ground/now".into();
            let file = |folder: &str, name: &str, is_link| FileSeen {
                folder: folder.into(),
                name: name.into(),
                size: 5,
                is_link,
            };
            bench.cards.seen[0].files = vec![
                file("GROUND/NOW", "old.img", false),
                file("ground/now", "install.txt", true),
                file("elsewhere", "other.img", false),
                file("", "holiday.jpg", false),
            ];
        },
        expect![[r#"
            card "/media/card" holds "old.img" beside the wanted image: the unit may take the wrong one. Remove it
            card "/media/card": "install.txt" on it is a link that leads elsewhere; take another card"#]],
    );
    let mut bench = six();
    bench.recipes[1].folder = "ground".into();
    bench.cards.seen[0].files =
        vec![FileSeen { folder: "ground".into(), name: "LANNER_AIR.IMG".into(), size: 5, is_link: false }];
    assert!(
        matches!(bench.plan().unwrap_err()[..], [Refused::Stray { .. }]),
        "the image of the other folder is no turn of this one"
    );
}

#[test]
fn a_folder_of_the_machine_wants_a_yes() {
    let mut bench = six();
    bench.cards.seen[0].is_mount = false;
    assert!(matches!(bench.plan().unwrap_err()[..], [Refused::NotRemovable { .. }]));
    bench.cards.yes.push("/media/card".into());
    assert!(bench.plan().is_ok());
}

#[test]
fn an_image_of_no_bytes_or_of_two_gigabytes_is_refused() {
    refused(
        |bench| {
            bench.images[0].size = 0;
            bench.images[1].size = 2_147_483_648;
            bench.batch = vec!["A1".into(), "G1".into()];
        },
        expect![[r#"
            file "air-4.2.img" is empty; fetch it anew
            file "ground-4.2.img" holds 2147483648 bytes, more than the 1073741824 an image may have; it is something else, such as a copy of a whole card"#]],
    );
}

#[test]
fn a_recipe_that_leads_out_of_the_card_is_refused() {
    refused(
        |bench| {
            bench.recipes[0].folder = "../boot".into();
            bench.recipes[0].keep[0].name = "a/b".into();
            bench.batch = vec!["A1".into()];
            bench.images[0].version = version("4.1");
        },
        expect![[r#"
            the recipe for "Lanner small air unit": ".." leads out of the folder; name what lies in it
            the recipe for "Lanner small air unit": "a/b" holds a slash; a name is one step, and the folder is said beside it"#]],
    );
}

#[test]
fn a_pack_that_would_run_out_is_refused() {
    refused(
        |bench| bench.supply = Supply::Pack { label: "4S 650".into(), watt_hours: 5.0 },
        expect![[r#"
            supply "4S 650" lasts 33 min, and loading may take 48 min with a third in hand. Use a bench supply"#]],
    );
}

#[test]
fn one_card_for_two_images_wants_a_yes() {
    let mut bench = six();
    bench.cards.in_turn = false;
    assert_eq!(bench.plan().unwrap_err(), [Refused::TooFewCards { units: 6, images: 2 }]);
    bench.cards.seen.push(card("/media/other"));
    let plan = bench.plan().unwrap();
    assert_eq!(plan.steps.iter().filter(|step| step.writes).count(), 2, "each image has a card of its own");
}

#[test]
fn unknown_units_doubles_and_an_empty_batch_are_told() {
    refused(
        |bench| bench.batch = vec!["A1".into(), "A1".into(), "Z9".into()],
        expect![[r#"
            unit "A1" stands twice in the batch; load it once
            unit "Z9" is not known; describe it first
            4.2 on "A1" would meet 4.1 on the ground (G1): no picture. Load both ends to versions that go together, or list the pair as a set"#]],
    );
    refused(|bench| bench.batch.clear(), expect!["no unit is chosen; choose at least one"]);
}

proptest! {
    /// Whatever is asked for, no step ever puts an image on a unit it is not for.
    #[test]
    fn no_plan_has_a_wrong_image_in_it(
        picks in proptest::collection::vec((0usize..6, 0usize..4), 0..8),
        revisions in proptest::collection::vec(proptest::option::of("[A-D]"), 6),
        at in proptest::collection::vec(1u32..7, 4),
        steps in proptest::collection::vec(proptest::option::of(1u32..7), 4),
    ) {
        let mut bench = six();
        bench.images = (0..4).map(|n| {
            let mut one = image(&format!("image-{n}"), &at[n].to_string(), if n % 2 == 0 { AIR } else { GROUND });
            one.step = steps[n].map(|step| version(&step.to_string()));
            one
        }).collect();
        for (unit, revision) in bench.units.iter_mut().zip(revisions) {
            unit.revision = revision;
        }
        bench.batch = picks.iter().map(|(unit, _)| bench.units[*unit].label.clone()).collect();
        bench.chosen = picks.iter().map(|(unit, image)| (bench.units[*unit].label.clone(), bench.images[*image].digest)).collect();
        if let Ok(plan) = bench.plan() {
            for step in &plan.steps {
                let unit = bench.units.iter().find(|unit| unit.label == step.unit).unwrap();
                let image = bench.images.iter().find(|image| image.digest == step.digest).unwrap();
                prop_assert_eq!(image.fit(unit), Fit::Fits);
                prop_assert_eq!(crossing(&barriers(&bench.images, &unit.kind), unit.version.as_ref(), &image.version), Crossing::Free);
            }
            // A card holds the image of the step whenever a unit takes it.
            let mut lies = None;
            for step in &plan.steps {
                if step.writes { lies = Some(step.digest); }
                prop_assert_eq!(lies, Some(step.digest));
            }
            prop_assert_eq!(plan.steps.len(), bench.batch.len());
        }
    }
}
