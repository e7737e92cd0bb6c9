//! Does each camera harness fit at both ends, the right way round?

use crate::names::{called, same_words};
use crate::rule::rule;
use crate::subject::{End, end};
use crate::{Answer, Finding, Placed, Proof, Verdict};
use craft::schema::{PartKind, camera, place, shape::plug};
use craft::{Item, Missing};

rule! {
    /// Does each camera harness fit at both ends, the right way round?
    ///
    /// ## Why
    /// A harness with its contacts on the wrong faces is mirrored: it fits mechanically, and kills or mutes
    /// the camera. Another plug type bends contacts that are finer than a hair.
    ///
    /// ## Sound when
    /// The plug types at its two ends are those of the two sockets, either way round, and its contact faces
    /// (same or opposite) are what the sockets want. Where nobody said the faces it is tight.
    ///
    /// ## Rests on
    /// The plug types and contact faces of the harness and of the two sockets it is placed between. Common
    /// practice.
    ///
    /// ## Mend
    /// Take a harness with the right ends and faces. Compare the marks of pin 1 before the first power.
    HARNESS_ENDS = "match.harness_ends", run
}

fn run(proof: &Proof) -> Answer {
    let findings = proof.places_of(PartKind::CameraHarness).map(|harness| judge(proof, harness)).collect();
    Answer { findings, figures: Vec::new() }
}

fn judge(proof: &Proof, harness: Placed) -> Finding {
    let subject = called(proof, harness);
    let ends = (end(proof, harness.place, &place::FROM), end(proof, harness.place, &place::TO));
    let places = [harness.place.id.clone()];
    let (from, to) = match ends {
        (End::Plug(from, from_row), End::Plug(to, to_row)) => ((from, from_row), (to, to_row)),
        (from, to) => return loose(subject, &[from, to]).at(places),
    };
    let places = [harness.place.id.clone(), from.0.place.id.clone(), to.0.place.id.clone()];
    let sockets = [from.1, to.1];
    let finding = types(harness, &subject, &sockets).unwrap_or_else(|| faces(harness, &subject, &sockets));
    finding.at(places)
}

/// A harness whose two sockets are not known.
fn loose(subject: String, ends: &[End]) -> Finding {
    let nowhere = ends.iter().find_map(|end| match end {
        End::Nowhere(text) => Some((*text).to_owned()),
        End::Lead(placed, word) => Some(format!("{}/{word}", placed.place.id)),
        _ => None,
    });
    match nowhere {
        Some(text) => Finding::new(
            HARNESS_ENDS.id,
            Verdict::Unknown,
            subject,
            format!("It is said to go to \"{text}\", and there is no such plug"),
        )
        .mend("Name the place and the plug as they are called, as place/plug."),
        None => {
            let missing = ends.iter().filter_map(|end| match end {
                End::Unsaid(missing) => Some(missing.clone()),
                _ => None,
            });
            Finding::unknown(HARNESS_ENDS.id, subject, missing.collect())
        }
    }
}

/// What is wrong with the plug types, if anything is.
fn types(harness: Placed, subject: &str, sockets: &[Item; 2]) -> Option<Finding> {
    let item = harness.part.item();
    let known = (
        item.text(&camera::END_A),
        item.text(&camera::END_B),
        sockets[0].text(&plug::TYPE),
        sockets[1].text(&plug::TYPE),
    );
    let (a, b, from, to) = match known {
        (Ok(a), Ok(b), Ok(from), Ok(to)) => (a, b, from, to),
        (a, b, from, to) => {
            let missing = [a.err(), b.err(), from.err(), to.err()].into_iter().flatten().collect();
            return Some(Finding::unknown(HARNESS_ENDS.id, subject, missing));
        }
    };
    let fits = |a, b| same_words(a, from) && same_words(b, to);
    if fits(a, b) || fits(b, a) {
        return None;
    }
    let ends =
        if same_words(a, b) { format!("both ends are {a}") } else { format!("its ends are {a} and {b}") };
    Some(
        Finding::new(
            HARNESS_ENDS.id,
            Verdict::Broken,
            subject,
            format!(
                "It does not fit: {ends}, the {} is {from} and the {} is {to}",
                sockets[0].called, sockets[1].called
            ),
        )
        .mend(format!("Take a harness from {from} to {to}.")),
    )
}

/// Whether the contacts lie on the faces the sockets want; the types agree.
fn faces(harness: Placed, subject: &str, sockets: &[Item; 2]) -> Finding {
    let found = |verdict, message: String| Finding::new(HARNESS_ENDS.id, verdict, subject, message);
    let faces = harness.part.item().text(&camera::FACES);
    let wanted: Vec<_> = sockets.iter().map(|socket| (socket, socket.text(&plug::FACE))).collect();
    if let Ok(faces) = faces {
        if let Some((socket, Ok(face))) =
            wanted.iter().find(|(_, face)| face.as_ref().is_ok_and(|f| *f != faces))
        {
            return found(
                Verdict::Broken,
                format!(
                    "It is mirrored for the {}: its contacts lie on {}, they must lie on {}; it fits, and kills or mutes",
                    socket.called,
                    on_faces(faces),
                    on_faces(face)
                ),
            )
            .mend(format!("Take a harness with its contacts on {}.", on_faces(face)))
            .mend("Compare the marks of pin 1 at both ends before the first power.");
        }
        if wanted.iter().any(|(_, face)| face.is_ok()) {
            return found(
                Verdict::Sound,
                format!("Both ends fit, and its contacts lie on {} as wanted", on_faces(faces)),
            );
        }
    }
    let missing: Vec<Missing> =
        faces.err().into_iter().chain(wanted.into_iter().filter_map(|(_, face)| face.err())).collect();
    let tight = found(
        Verdict::Tight,
        "Both ends fit, but nobody said on which faces its contacts must lie: a mirrored harness fits too, \
         and kills or mutes"
            .to_owned(),
    )
    .mend("Compare the marks of pin 1 at both ends before the first power, then enter the contact faces.");
    Finding { missing, ..tight }
}

fn on_faces(word: &str) -> String {
    if word == "same" { "the same face".to_owned() } else { format!("{word} faces") }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use crate::testing::{is_sound, names_missing, set, told};
    use craft::Craft;
    use expect_test::{Expect, expect};

    fn check(spoil: impl FnOnce(&mut Craft), expected: Expect) {
        expected.assert_eq(&told(&HARNESS_ENDS, spoil));
    }

    #[test]
    fn a_harness_of_the_right_ends_and_faces_is_sound() {
        is_sound(&HARNESS_ENDS);
    }

    #[test]
    fn ends_may_be_either_way_round() {
        check(
            |craft| {
                set(craft, "cam.plug[0].type", "flat 22");
                set(craft, "flat.end_b", "flat 22");
            },
            expect![[r#"
                sound · flat harness 80
                  Both ends fit, and its contacts lie on opposite faces as wanted
            "#]],
        );
    }

    #[test]
    fn another_plug_type_is_broken() {
        check(
            |craft| set(craft, "vtx.plug[0].type", "flat 30"),
            expect![[r#"
            broken · flat harness 80
              It does not fit: both ends are flat 20, the plug "harness" of "Siskin nano camera" is flat 20 and the plug "camera" of "Lanner small air unit" is flat 30
              > Take a harness from flat 20 to flat 30.
        "#]],
        );
    }

    #[test]
    fn a_mirrored_harness_is_broken() {
        check(
            |craft| set(craft, "flat.faces", "same"),
            expect![[r#"
            broken · flat harness 80
              It is mirrored for the plug "harness" of "Siskin nano camera": its contacts lie on the same face, they must lie on opposite faces; it fits, and kills or mutes
              > Take a harness with its contacts on opposite faces.
              > Compare the marks of pin 1 at both ends before the first power.
        "#]],
        );
    }

    #[test]
    fn unknown_faces_are_tight() {
        check(
            |craft| set(craft, "flat.faces", ""),
            expect![[r#"
            tight · flat harness 80
              Both ends fit, but nobody said on which faces its contacts must lie: a mirrored harness fits too, and kills or mutes
              > Compare the marks of pin 1 at both ends before the first power, then enter the contact faces.
        "#]],
        );
        check(
            |craft| {
                set(craft, "cam.plug[0].face", "");
                set(craft, "vtx.plug[0].face", "");
            },
            expect![[r#"
                tight · flat harness 80
                  Both ends fit, but nobody said on which faces its contacts must lie: a mirrored harness fits too, and kills or mutes
                  > Compare the marks of pin 1 at both ends before the first power, then enter the contact faces.
            "#]],
        );
    }

    #[test]
    fn an_unknown_plug_type_is_named() {
        names_missing(
            &HARNESS_ENDS,
            "cam.plug[0].type",
            "flat harness 80",
            r#"plug type of plug "harness" of "Siskin nano camera""#,
        );
    }

    #[test]
    fn an_end_that_goes_nowhere_is_named() {
        names_missing(
            &HARNESS_ENDS,
            "place flat.to",
            "flat harness 80",
            r#"plug it ends at of place "flat""#,
        );
        check(
            |craft| set(craft, "place flat.to", "vtx/camra"),
            expect![[r#"
            unknown · flat harness 80
              It is said to go to "vtx/camra", and there is no such plug
              > Name the place and the plug as they are called, as place/plug.
        "#]],
        );
    }
}
