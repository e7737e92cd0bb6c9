//! What the lens of the bay sees, spoiled in single ways, and that what is told serves.

#![allow(clippy::unwrap_used)]

use super::*;
use crate::SeenAs;
use crate::testing::{part_mut, remove_place, row, set};
use crate::testing_stack::{bay_is_sound, bay_told, bay_told_of, sound_bay};
use craft::Craft;
use expect_test::{Expect, expect};
use quantity::Degrees;

fn check(spoil: impl FnOnce(&mut Craft), expected: Expect) {
    expected.assert_eq(&bay_told(&BLADES_IN_PICTURE, spoil));
}

/// A fisheye lens on the camera of the bay.
fn fisheye(craft: &mut Craft) {
    set(craft, "lens.projection", "equidistant");
    set(craft, "lens.focal_length", "1.5 mm, data sheet");
}

/// The share of the picture that blades fill, with the facts it follows.
fn share(spoil: impl FnOnce(&mut Craft)) -> (Linear, Vec<String>) {
    let mut craft = sound_bay();
    spoil(&mut craft);
    let proof = Proof::new(&craft);
    let view = proof.lens_views()[0].clone().unwrap();
    let share = blade_share(&proof, &view).share;
    let named =
        share.slopes.iter().map(|(fact, _)| proof.ledger().get(*fact).unwrap().label.clone()).collect();
    (share, named)
}

#[test]
fn a_narrow_view_past_the_discs_is_sound() {
    bay_is_sound(&BLADES_IN_PICTURE);
}

#[test]
fn a_fisheye_between_the_discs_is_broken() {
    check(
        fisheye,
        expect![[r#"
            broken · lens on nano camera · -0.906 % · 0 %
              Blades fill 6.9 % of the picture, upper corners and both sides; the rest of the craft fills 2.6 %
              > Take a lens of longer focal length, smaller blades, a longer cage, or a frame whose front arms are swept back: moving the camera alone does not serve (15 mm forward, the lens stands 13 mm proud of the cage).
        "#]],
    );
}

#[test]
fn what_is_told_serves() {
    let told = |spoil: &dyn Fn(&mut Craft)| {
        share(|craft| {
            fisheye(craft);
            spoil(craft);
        })
        .0
        .value
    };
    let mut craft = sound_bay();
    fisheye(&mut craft);
    let proof = Proof::new(&craft);
    let clears = clears(&proof.lens_views()[0].clone().unwrap());
    let place = |key: &str, by: f64| {
        let unit = if key == "pitch" { "°" } else { " mm" };
        let (key, text) = (format!("place cam.{key}"), format!("{by}{unit}"));
        told(&|craft: &mut Craft| set(craft, &key, &text))
    };
    let ways = [
        ("x", clears.forward.map(|by| by.get())),
        ("z", clears.lift.map(|by| by.get())),
        ("pitch", clears.tilt.map(|by| by.get())),
    ];
    assert!(ways.iter().any(|(_, by)| by.is_some()), "{clears:?}");
    for (key, by) in ways {
        if let Some(by) = by {
            let (enough, short) = (place(key, by), place(key, by - 0.3));
            assert!(enough <= LIMIT.tight && short > LIMIT.tight - 0.15, "{key} {by}: {enough}, {short}");
        }
    }
}

/// What the finding tells to do with a fisheye on and the bay changed further.
fn mended(spoil: impl FnOnce(&mut Craft)) -> String {
    let told = bay_told_of(&BLADES_IN_PICTURE, "lens", |craft| {
        fisheye(craft);
        spoil(craft);
    });
    told.lines().find_map(|line| line.trim().strip_prefix("> ")).map(str::to_owned).unwrap_or_default()
}

#[test]
fn a_movement_that_breaks_something_else_is_not_told() {
    // 15 mm forward clears the picture, and leaves the lens 13 mm ahead of the cage, which ends at 62 mm.
    let short = mended(|_| {});
    assert!(short.contains("15 mm forward, the lens stands 13 mm proud of the cage"), "{short}");
    assert!(short.contains("a longer cage"), "{short}");
    assert!(!short.contains("Move the camera"), "{short}");
    // Behind a cage that reaches so far, it is.
    let long = mended(|craft| set(craft, "frame.camera_mount[0].front", "80 mm, measured"));
    assert_eq!(long, "Move the camera 15 mm forward: that alone brings the blades under 2 %.");
}

#[test]
fn what_was_broken_before_does_not_speak_against_a_movement() {
    let told = mended(|craft| {
        set(craft, "frame.camera_mount[0].front", "80 mm, measured");
        set(craft, "place fc.z", "-3 mm");
        let fit = crate::rules::rule_of("fit.pair_clearance").unwrap();
        let broken = (fit.run)(&Proof::new(craft)).findings;
        assert!(broken.iter().any(|finding| finding.verdict == Verdict::Broken));
    });
    assert!(told.starts_with("Move the camera 15 mm forward"), "{told}");
}

#[test]
fn a_movement_is_asked_by_the_rules_of_fit() {
    let craft = sound_bay();
    let proof = Proof::new(&craft);
    let view = proof.lens_views()[0].clone().unwrap();
    let ask = |by: CameraMove| hindrances(&proof, &view, &[by]).remove(0).map(|hindrance| hindrance.words);
    assert_eq!(ask(CameraMove::Forward(1.0)), None);
    assert_eq!(ask(CameraMove::Tilt(5.0)), None);
    // Into the top plate, and not yet through it.
    let high = (1..=20).find_map(|by| ask(CameraMove::Lift(f64::from(by)))).unwrap_or_default();
    assert!(high.contains(" mm higher, plate top of bay frame and "), "{high}");
    // The camera stops, and the words say where.
    let mut craft = sound_bay();
    set(&mut craft, "cam.body_depth", "26 mm, measured");
    set(&mut craft, "place cam.pitch", "-14°");
    let proof = Proof::new(&craft);
    let view = proof.lens_views()[0].clone().unwrap();
    let steep =
        hindrances(&proof, &view, &[CameraMove::Tilt(13.0)]).remove(0).map(|hindrance| hindrance.words);
    let steep = steep.unwrap_or_default();
    assert!(steep.starts_with("no tilt beyond -12.5° is free, where "), "{steep}");
}

#[test]
fn the_share_follows_its_facts() {
    let (before, named) = share(fisheye);
    for (path, text, fact, by) in [
        ("lens.focal_length", "1.53 mm, data sheet", "focal length", 0.03),
        ("cam.pixel_pitch", "2.04 µm, data sheet", "pixel pitch", 0.04),
        ("lens.proud", "2.5 mm, measured", "length ahead of the face", 0.5),
        ("cam.face_ahead", "8.5 mm, measured", "face ahead of the screws", 0.5),
    ] {
        let after = share(|craft| {
            fisheye(craft);
            set(craft, path, text);
        });
        let n = named.iter().position(|name| name.starts_with(fact)).unwrap_or_else(|| panic!("{named:?}"));
        let (slope, found) = (before.slopes[n].1, (after.0.value - before.value) / by);
        assert!((slope - found).abs() <= 0.15 * found.abs() + 0.02, "{fact}: {slope} against {found}");
    }
}

#[test]
fn a_camera_upside_down_sees_the_same() {
    let (upright, _) = share(fisheye);
    let (over, _) = share(|craft| {
        fisheye(craft);
        set(craft, "place cam.roll", "180°");
    });
    assert!((upright.value - over.value).abs() < 0.02, "{} against {}", upright.value, over.value);
}

#[test]
fn what_is_missing_is_named() {
    check(
        |craft| {
            set(craft, "lens.focal_length", "");
            set(craft, "cam.pixel_pitch", "");
        },
        expect![[r#"
            unknown · lens on nano camera
              Nobody can say yet: the focal length of "lens" and the pixel pitch of "nano camera" are not known
              > Measure or look up the focal length of "lens".
              > Measure or look up the pixel pitch of "nano camera".
        "#]],
    );
    check(
        |craft| set(craft, "lens.projection", ""),
        expect![[r#"
        unknown · lens on nano camera
          Nobody can say yet: the projection of "lens" is not known
          > Measure or look up the projection of "lens".
    "#]],
    );
    check(
        |craft| set(craft, "lens.projection", "measured"),
        expect![[r#"
        unknown · lens on nano camera
          Nobody can say yet: the measured map of "lens" is not known
          > Measure or look up the measured map of "lens".
    "#]],
    );
    check(
        |craft| set(craft, "blades.diameter", ""),
        expect![[r#"
        unknown · lens on nano camera
          Nobody can say yet: the diameter of "blades" is not known
          > Measure or look up the diameter of "blades".
    "#]],
    );
    check(
        |craft| set(craft, "lens.proud", ""),
        expect![[r#"
        unknown · lens on nano camera
          Nobody can say yet: the length ahead of the face of "lens" is not known
          > Measure or look up the length ahead of the face of "lens".
    "#]],
    );
}

#[test]
fn a_lens_inside_a_plate_sees_nothing() {
    check(|craft| set(craft, "place cam.y", "11.2 mm"), expect![[r#""#]]);
}

#[test]
fn a_tilt_that_brings_the_lens_into_something_names_it() {
    let mut craft = sound_bay();
    set(&mut craft, "place cam.x", "-15 mm");
    set(&mut craft, "place cam.z", "-3 mm");
    let proof = Proof::new(&craft);
    let view = proof.lens_views()[0].clone().unwrap();
    let within = (-90..=90).filter_map(|by| view.tilted(Degrees::new(f64::from(by))).err());
    let named: std::collections::BTreeSet<&str> =
        within.map(|n| proof.inputs().solids[n].solid.name.as_str()).collect();
    assert!(named.iter().any(|name| name.contains("bottom")), "{named:?}");
}

#[test]
fn a_view_tilted_is_the_view_of_the_camera_tilted() {
    let fill = |craft: &Craft, by: f64| {
        let proof = Proof::new(craft);
        let view = proof.lens_views()[0].clone().unwrap().tilted(Degrees::new(by)).unwrap();
        let shares = view.shares();
        let by_kind = SeenAs::ALL.map(|kind| shares.of_all(|n| view.seen_as[n] == kind).get());
        (view.tilt.get(), by_kind, view.horizon(Degrees::new(0.0)))
    };
    let mut craft = sound_bay();
    fisheye(&mut craft);
    let turned = fill(&craft, 12.0);
    let before: f64 = craft.places.iter().find(|place| place.id.as_str() == "cam").map_or(0.0, |place| {
        place.item().read(&craft::schema::place::PITCH).map_or(0.0, |pitch| pitch.value.get())
    });
    set(&mut craft, "place cam.pitch", &format!("{}°", before + 12.0));
    let placed = fill(&craft, 0.0);
    assert!((turned.0 - placed.0).abs() < 1e-9);
    for (one, other) in turned.1.iter().zip(placed.1) {
        assert!((one - other).abs() < 0.01, "{turned:?} against {placed:?}");
    }
    assert!(turned.1[0] > 1.0, "blades are in this picture: {turned:?}");
    assert!(turned.2.iter().zip(&placed.2).all(|(a, b)| (a[1] - b[1]).abs() < 1e-6));
}

#[test]
fn a_diagonal_serves_for_pitch_and_pixels() {
    let told = bay_told_of(&BLADES_IN_PICTURE, "lens", |craft| {
        fisheye(craft);
        set(craft, "cam.pixel_pitch", "");
        // 1920 × 1080 pixels of 2 µm.
        set(craft, "cam.sensor_diagonal", "4.4058 mm, data sheet");
    });
    let plain = bay_told_of(&BLADES_IN_PICTURE, "lens", fisheye);
    let first = |told: &str| told.lines().nth(1).map(str::to_owned);
    assert_eq!(first(&told), first(&plain));
}

#[test]
fn a_mode_cuts_the_sensor() {
    let mode = |across: &str, crop: &str| {
        let (across, crop) = (across.to_owned(), crop.to_owned());
        share(move |craft| {
            fisheye(craft);
            row(
                craft,
                "cam",
                "mode",
                &[("across", &across), ("down", "720"), ("rate", "60 Hz"), ("crop", &crop)],
            );
        })
        .0
        .value
    };
    let whole = share(fisheye).0.value;
    assert!((mode("1280", "1") - whole).abs() < 1e-9);
    assert!(mode("1280", "0.7") < whole && mode("960", "1") < whole);
}

#[test]
fn a_measured_map_that_turns_back_is_told() {
    check(
        |craft| {
            set(craft, "lens.projection", "measured");
            row(craft, "lens", "map", &[("angle", "30°"), ("radius", "1 mm")]);
            row(craft, "lens", "map", &[("angle", "60°"), ("radius", "0.9 mm")]);
        },
        expect![[r#"
            unknown · lens on nano camera
              Nobody can say yet what the lens sees: map point 2 (60° at 0.9 mm) must lie farther out than the point before it, in angle and in radius; sort the points or measure it again
        "#]],
    );
}

#[test]
fn a_measured_map_serves_for_projection_and_focal_length() {
    let measured = share(|craft| {
        set(craft, "lens.projection", "measured");
        part_mut(craft, "lens").values.remove("focal_length");
        for degrees in [20.0f64, 40.0, 60.0, 80.0, 100.0] {
            let radius = format!("{} mm", 1.5 * degrees.to_radians());
            row(craft, "lens", "map", &[("angle", &format!("{degrees}°")), ("radius", &radius)]);
        }
    });
    assert!((measured.0.value - share(fisheye).0.value).abs() < 0.02);
}

#[test]
fn without_blades_or_lens_nothing_is_said() {
    for gone in [&["b-fl", "b-fr", "b-rl", "b-rr"][..], &["lens"][..]] {
        let told = bay_told_of(&BLADES_IN_PICTURE, "", |craft| {
            gone.iter().for_each(|id| remove_place(craft, id));
        });
        assert_eq!(told, "");
    }
}
