//! Does the camera's body go between the faces that hold it?

use crate::limits::{CAMERA_LOOSE, CAMERA_SPARE, CHEEKS_FROM};
use crate::names::called;
use crate::numbers::mm;
use crate::rule::rule;
use crate::standing::standing;
use crate::subject::beside_camera;
use crate::{Answer, Finding, Placed, Proof, Verdict};
use craft::schema::{Field, PartKind, camera, frame::camera_mount};
use craft::{Anchor, Item, Missing};
use quantity::Millimetres;

rule! {
    /// Does the camera's body go between the faces that hold it?
    ///
    /// ## Why
    /// Size names tell the width of a camera and nothing else: a 16 mm high body fouls a 14 mm window. A
    /// body forced between plates bends its sensor board, and one side of the picture goes soft.
    ///
    /// ## Sound when
    /// The mount is wider than the body, and higher where a window bounds it, with 0.2 mm to spare in all. A
    /// body more than a millimetre narrower than its mount wants cheeks; where nothing fills more than 1.5 mm it is
    /// tight, and over 3 mm broken: the side screws then hold nothing, or bend what should hold.
    ///
    /// ## Rests on
    /// The body's width and height, the mount's clear width and, where there is one, clear height; the upright plates
    /// of what is seated on the camera right beside it. Common practice.
    ///
    /// ## Mend
    /// Take a narrower camera or a wider mount; fill a wide mount with cheeks of half the difference each side.
    CAMERA_WIDTH = "match.camera_width", run
}

fn run(proof: &Proof) -> Answer {
    let mut answer = Answer::default();
    for camera in proof.places_of(PartKind::Camera) {
        let Some((holder, mount)) = mount(proof, camera) else { continue };
        let places = [camera.place.id.clone(), holder.place.id.clone()];
        let across = loose(proof, camera, &mount).unwrap_or_else(|| {
            side(proof, camera, &mount, ("width", "wide"), &camera::BODY_WIDTH, &camera_mount::CLEAR_WIDTH)
        });
        let window = mount.has(&camera_mount::CLEAR_HEIGHT.def).then(|| {
            side(proof, camera, &mount, ("height", "high"), &camera::BODY_HEIGHT, &camera_mount::CLEAR_HEIGHT)
        });
        answer
            .findings
            .extend([Some(across), window].into_iter().flatten().map(|finding| finding.at(places.clone())));
    }
    answer
}

/// The mount a camera hangs in: the one it is seated on, or the only one of the part it is seated on.
fn mount<'a>(proof: &Proof<'a>, camera: Placed<'a>) -> Option<(Placed<'a>, Item<'a>)> {
    let on = camera.place.on.as_ref()?;
    let holder = proof.placed().find(|placed| Some(&placed.place.id) == on.place())?;
    let mut mounts = holder.part.rows(&camera_mount::TABLE);
    let mount = match on {
        Anchor::Feature(_, name) => mounts.find(|mount| mount.name() == Some(name))?,
        _ => match (mounts.next(), mounts.next()) {
            (Some(only), None) => only,
            _ => return None,
        },
    };
    Some((holder, mount))
}

/// A camera with more room beside it than its mount can close.
fn loose(proof: &Proof, camera: Placed, mount: &Item) -> Option<Finding> {
    let beside = beside_camera(proof, camera, mount).ok()?;
    let standing = standing(proof, &beside.left(), &CAMERA_LOOSE);
    if standing.verdict == Verdict::Sound {
        return None;
    }
    let (room, filled, left) = (beside.room.value, beside.filled.value, beside.left().value);
    let of = if filled > 0.0 { format!(", of which {} is filled", mm(filled)) } else { String::new() };
    let message = format!(
        "The mount is {} wider than the body{of}: nothing holds the camera, and its side screws bend what should",
        mm(room)
    );
    let clear = mount.read(&camera_mount::CLEAR_WIDTH).ok()?;
    let subject = format!("width of {} in {}", called(proof, camera), mount.called);
    let each = mm(room / 2.0);
    let more = if filled > 0.0 { format!("{} more", mm(left / 2.0)) } else { each.clone() };
    Some(standing.finding(CAMERA_WIDTH.id, subject, message).mend(format!(
        "Fill {more} on each side: print cheeks and put them beside it, with side screws {each} longer than without; or take a camera {} wide.",
        mm(clear.value.get() - CAMERA_SPARE.tight)
    )))
}

fn side(
    proof: &Proof,
    camera: Placed,
    mount: &Item,
    (side, word): (&str, &str),
    body: &Field<Millimetres>,
    clear: &Field<Millimetres>,
) -> Finding {
    let subject = format!("{side} of {} in {}", called(proof, camera), mount.called);
    let (body, clear) = match (camera.part.item().read(body), mount.read(clear)) {
        (Ok(body), Ok(clear)) => (body, clear),
        (body, clear) => {
            let missing: Vec<Missing> = body.err().into_iter().chain(clear.err()).collect();
            return Finding::unknown(CAMERA_WIDTH.id, subject, missing);
        }
    };
    let room = proof.lean(&clear) - proof.lean(&body);
    let standing = standing(proof, &room, &CAMERA_SPARE);
    let (body, clear, spare) = (body.value.get(), clear.value.get(), room.value);
    let verdict = standing.verdict;
    let message = match verdict {
        Verdict::Broken => {
            format!("The body is {} {word}, its mount {}: {} too much", mm(body), mm(clear), mm(-spare))
        }
        Verdict::Tight => format!(
            "The body is {} {word}, its mount {}: {} to spare in all, {} likely to go in",
            mm(body),
            mm(clear),
            mm(spare),
            standing.certainty
        ),
        _ => {
            format!("The body is {} {word}, its mount {}: {} to spare in all", mm(body), mm(clear), mm(spare))
        }
    };
    let finding = standing.finding(CAMERA_WIDTH.id, subject, message);
    match verdict {
        Verdict::Broken => {
            let wanted = body + CAMERA_SPARE.tight;
            finding.mend(format!(
                "Take a camera at most {} {word}, or a mount at least {} {word}.",
                mm(clear - CAMERA_SPARE.tight),
                mm(wanted)
            ))
        }
        Verdict::Tight => finding.mend(format!(
            "Offer the body up before you build; ease the mount to {} if it binds.",
            mm(body + CAMERA_SPARE.tight)
        )),
        _ if side == "width" && wants_cheeks(proof, camera, mount) => finding
            .mend(format!("Fill {} on each side: a washer on each screw, or a cheek.", mm(spare / 2.0))),
        _ => finding,
    }
}

fn wants_cheeks(proof: &Proof, camera: Placed, mount: &Item) -> bool {
    beside_camera(proof, camera, mount).is_ok_and(|beside| beside.left().value >= CHEEKS_FROM)
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use crate::testing::{is_sound, names_missing, part, place, row, set, told};
    use craft::{Craft, PlaceId};
    use expect_test::{Expect, expect};

    fn check(spoil: impl FnOnce(&mut Craft), expected: Expect) {
        expected.assert_eq(&told(&CAMERA_WIDTH, spoil));
    }

    #[test]
    fn a_body_with_room_on_each_side_is_sound() {
        is_sound(&CAMERA_WIDTH);
    }

    #[test]
    fn a_body_wider_than_its_mount_is_broken() {
        check(
            |craft| set(craft, "cam.body_width", "15.1 mm, measured"),
            expect![[r#"
            broken · width of Siskin nano camera in camera mount "cage" of "Wheatear frame" · -0.5 mm · 0 %
              The body is 15.1 mm wide, its mount 14.6 mm: 0.5 mm too much
              > Take a camera at most 14.4 mm wide, or a mount at least 15.3 mm wide.
        "#]],
        );
    }

    #[test]
    fn a_body_as_wide_as_its_mount_is_tight_and_says_what_to_measure() {
        check(
            |craft| set(craft, "cam.body_width", "14.4 mm, data sheet"),
            expect![[r#"
                tight · width of Siskin nano camera in camera mount "cage" of "Wheatear frame" · 0.2 mm · 83 %
                  The body is 14.4 mm wide, its mount 14.6 mm: 0.2 mm to spare in all, 83 % likely to go in
                  > Offer the body up before you build; ease the mount to 14.6 mm if it binds.
                  ? No single measurement would change this verdict, nor would two: it is 83 % certain now, and would be 83 % certain with every fact measured.
            "#]],
        );
    }

    #[test]
    fn a_window_bounds_the_height() {
        check(
            |craft| {
                set(craft, "frame.camera_mount[0].clear_height", "14 mm, measured");
                set(craft, "cam.body_height", "16 mm, measured");
            },
            expect![[r#"
                broken · height of Siskin nano camera in camera mount "cage" of "Wheatear frame" · -2 mm · 0 %
                  The body is 16 mm high, its mount 14 mm: 2 mm too much
                  > Take a camera at most 13.8 mm high, or a mount at least 16.2 mm high.
                sound · width of Siskin nano camera in camera mount "cage" of "Wheatear frame" · 0.6 mm · 100 %
                  The body is 14 mm wide, its mount 14.6 mm: 0.6 mm to spare in all
            "#]],
        );
    }

    #[test]
    fn a_narrow_body_wants_cheeks() {
        check(
            |craft| set(craft, "frame.camera_mount[0].clear_width", "19 mm, measured"),
            expect![[r#"
                broken · width of Siskin nano camera in camera mount "cage" of "Wheatear frame" · -2 mm · 0 %
                  The mount is 5 mm wider than the body: nothing holds the camera, and its side screws bend what should
                  > Fill 2.5 mm on each side: print cheeks and put them beside it, with side screws 2.5 mm longer than without; or take a camera 18.8 mm wide.
            "#]],
        );
        check(
            |craft| set(craft, "frame.camera_mount[0].clear_width", "15.2 mm, measured"),
            expect![[r#"
                sound · width of Siskin nano camera in camera mount "cage" of "Wheatear frame" · 1.2 mm · 100 %
                  The body is 14 mm wide, its mount 15.2 mm: 1.2 mm to spare in all
                  > Fill 0.6 mm on each side: a washer on each screw, or a cheek.
            "#]],
        );
    }

    #[test]
    fn cheeks_beside_the_body_fill_the_room() {
        let cheeks = |craft: &mut Craft| {
            set(craft, "frame.camera_mount[0].clear_width", "19 mm, measured");
            part(craft, PartKind::PrintedPart, "cheeks", "cheeks", &[("mass", "1 g, measured")]);
            for (name, y) in [("left", "7 mm, measured"), ("right", "-9.4 mm, measured")] {
                let facts = [
                    ("name", name),
                    ("role", "other"),
                    ("stands", "along"),
                    ("thickness", "2.4 mm, measured"),
                    ("y", y),
                    ("outline", "-5,-5; 5,-5; 5,5; -5,5"),
                ];
                row(craft, "cheeks", "plate", &facts);
            }
            place(craft, "cheeks", "cheeks", "cam", &[]);
        };
        check(
            cheeks,
            expect![[r#"
            sound · width of Siskin nano camera in camera mount "cage" of "Wheatear frame" · 5 mm · 100 %
              The body is 14 mm wide, its mount 19 mm: 5 mm to spare in all
        "#]],
        );
    }

    #[test]
    fn the_only_mount_serves_where_none_is_named() {
        let on_frame = |craft: &mut Craft| {
            let cam = craft.places.iter_mut().find(|place| place.id.as_str() == "cam").unwrap();
            cam.on = Some(Anchor::Place(PlaceId::new("frame").unwrap()));
        };
        check(
            on_frame,
            expect![[r#"
            sound · width of Siskin nano camera in camera mount "cage" of "Wheatear frame" · 0.6 mm · 100 %
              The body is 14 mm wide, its mount 14.6 mm: 0.6 mm to spare in all
        "#]],
        );
    }

    #[test]
    fn an_unknown_width_is_named() {
        names_missing(
            &CAMERA_WIDTH,
            "cam.body_width",
            r#"width of Siskin nano camera in camera mount "cage" of "Wheatear frame""#,
            r#"body width of "Siskin nano camera""#,
        );
    }
}
