//! Do camera, air unit and ground units speak the same video system?

use crate::names::{called, same_words};
use crate::rule::rule;
use crate::subject::of_each_part;
use crate::{Answer, Finding, Placed, Proof, Verdict};
use craft::schema::{PartKind, camera};

rule! {
    /// Do camera, air unit and ground units speak the same video system?
    ///
    /// ## Why
    /// A digital video system is closed: a camera of one and an air unit of another fit the same plug and
    /// give no picture. Within a system, makers list which parts pair.
    ///
    /// ## Sound when
    /// Both ends of every pair (camera and air unit, air unit and ground receiver, air unit and display) name
    /// the same system, and where one of them lists its pairings, one names the other. A pair that
    /// is on no list is tight. A camera with its own analogue output serves an analogue air unit too. A
    /// display without a system is fed by cable from a ground receiver.
    ///
    /// ## Rests on
    /// The system of each part, and the listed pairings where given. Common practice.
    ///
    /// ## Mend
    /// Choose both parts from one system; ask the maker about a pair that is on no list.
    ONE_SYSTEM = "match.one_system", run
}

/// Pairs told at most: a sheet with hundreds of cameras is no craft.
const PAIRS_MAX: usize = 400;

fn run(proof: &Proof) -> Answer {
    let of = |kind| of_each_part(proof.places_of(kind));
    let (cameras, air) = (of(PartKind::Camera), of(PartKind::VideoTransmitter));
    let mut ground = of(PartKind::GroundReceiver);
    let by_cable = !ground.is_empty();
    // A display that names no system takes what a ground receiver hands it.
    ground.extend(
        proof
            .places_of(PartKind::Display)
            .filter(|display| !by_cable || display.part.item().has(&camera::SYSTEM.def)),
    );
    let pairs = cameras
        .iter()
        .flat_map(|camera| air.iter().map(move |unit| (*camera, *unit)))
        .chain(air.iter().flat_map(|unit| ground.iter().map(move |below| (*unit, *below))));
    let mut findings: Vec<Finding> = pairs.take(PAIRS_MAX).map(|(a, b)| pair(proof, a, b)).collect();
    if findings.len() == PAIRS_MAX {
        let message = format!("The first {PAIRS_MAX} pairs are judged, the others are not");
        let finding = Finding::new(ONE_SYSTEM.id, Verdict::Unknown, "further pairs", message);
        findings.push(finding.mend("Leave on the craft the camera and the units it flies with."));
    }
    Answer { findings, figures: Vec::new() }
}

fn pair(proof: &Proof, a: Placed, b: Placed) -> Finding {
    let subject = format!("{} and {}", called(proof, a), called(proof, b));
    let places = [a.place.id.clone(), b.place.id.clone()];
    let (ours, theirs) = match (a.part.item().text(&camera::SYSTEM), b.part.item().text(&camera::SYSTEM)) {
        (Ok(ours), Ok(theirs)) => (ours.trim(), theirs.trim()),
        (ours, theirs) => {
            let missing = ours.err().into_iter().chain(theirs.err()).collect();
            return Finding::unknown(ONE_SYSTEM.id, subject, missing).at(places);
        }
    };
    let found = |verdict, message: String| Finding::new(ONE_SYSTEM.id, verdict, subject.clone(), message);
    let finding = if !same_words(ours, theirs) {
        if a.part.item().flag(&camera::ANALOGUE_OUT) == Ok(true) && same_words(theirs, "analogue") {
            found(Verdict::Sound, format!("{} serves the analogue link by its own output", a.part.name))
        } else {
            let kind = |placed: Placed| placed.part.kind.def().plain;
            found(
                Verdict::Broken,
                format!(
                    "{} speaks {ours}, {} speaks {theirs}: there will be no picture",
                    a.part.name, b.part.name
                ),
            )
            .mend(format!("Choose a {} of {ours}, or a {} of {theirs}.", kind(b), kind(a)))
        }
    } else {
        match listed(a, b) {
            Some(false) => found(
                Verdict::Tight,
                format!(
                    "Both speak {ours}, but neither is on the other's list of pairings: it may not start"
                ),
            )
            .mend("Ask the maker whether the two pair, or try them on the bench with an antenna on.")
            .mend("Add the pairing to the list of one of them once you have seen it work."),
            Some(true) => found(Verdict::Sound, format!("Both speak {ours} and are listed as a pair")),
            None => found(Verdict::Sound, format!("Both speak {ours}")),
        }
    };
    finding.at(places)
}

/// Whether a list of either names the other; `None` where neither has a list.
fn listed(a: Placed, b: Placed) -> Option<bool> {
    let names = |list: &str, other: Placed| {
        list.split(',')
            .any(|name| same_words(name, &other.part.name) || same_words(name, other.part.id.as_str()))
    };
    let of_a = a.part.item().text(&camera::PAIRS_WITH).ok().map(|list| names(list, b));
    let of_b = b.part.item().text(&camera::PAIRS_WITH).ok().map(|list| names(list, a));
    match (of_a, of_b) {
        (None, None) => None,
        (of_a, of_b) => Some(of_a.unwrap_or(false) || of_b.unwrap_or(false)),
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use crate::testing::{is_sound, part, place, remove_place, set, told};
    use craft::Craft;
    use expect_test::{Expect, expect};

    fn check(spoil: impl FnOnce(&mut Craft), expected: Expect) {
        expected.assert_eq(&told(&ONE_SYSTEM, spoil));
    }

    #[test]
    fn parts_of_one_system_are_sound() {
        is_sound(&ONE_SYSTEM);
    }

    #[test]
    fn another_system_on_the_ground_is_broken() {
        check(
            |craft| set(craft, "ground.system", "Merlin"),
            expect![[r#"
            broken · Lanner small air unit and Lanner ground unit
              Lanner small air unit speaks Lanner, Lanner ground unit speaks Merlin: there will be no picture
              > Choose a ground receiver of Lanner, or a video transmitter of Merlin.
            sound · Siskin nano camera and Lanner small air unit
              Both speak Lanner
        "#]],
        );
    }

    #[test]
    fn an_unknown_system_is_named_once_for_each_pair() {
        check(
            |craft| set(craft, "vtx.system", ""),
            expect![[r#"
            unknown · Siskin nano camera and Lanner small air unit
              Nobody can say yet: the video system of "Lanner small air unit" is not known
              > Measure or look up the video system of "Lanner small air unit".
            unknown · Lanner small air unit and Lanner ground unit
              Nobody can say yet: the video system of "Lanner small air unit" is not known
              > Measure or look up the video system of "Lanner small air unit".
        "#]],
        );
    }

    #[test]
    fn a_pair_on_no_list_is_tight() {
        check(
            |craft| {
                remove_place(craft, "ground");
                set(craft, "vtx.pairs_with", "Siskin micro camera, other camera");
            },
            expect![[r#"
                tight · Siskin nano camera and Lanner small air unit
                  Both speak Lanner, but neither is on the other's list of pairings: it may not start
                  > Ask the maker whether the two pair, or try them on the bench with an antenna on.
                  > Add the pairing to the list of one of them once you have seen it work.
            "#]],
        );
    }

    #[test]
    fn letter_case_and_spaces_do_not_part_a_pair() {
        check(
            |craft| {
                remove_place(craft, "ground");
                set(craft, "cam.system", " lanner");
                set(craft, "vtx.pairs_with", "siskin  nano camera");
            },
            expect![[r#"
                sound · Siskin nano camera and Lanner small air unit
                  Both speak lanner and are listed as a pair
            "#]],
        );
    }

    #[test]
    fn an_analogue_output_serves_an_analogue_unit() {
        check(
            |craft| {
                remove_place(craft, "ground");
                set(craft, "cam.analogue_out", "yes");
                set(craft, "vtx.system", "analogue");
            },
            expect![[r#"
                sound · Siskin nano camera and Lanner small air unit
                  Siskin nano camera serves the analogue link by its own output
            "#]],
        );
    }

    #[test]
    fn a_display_fed_by_cable_needs_no_system() {
        check(
            |craft| {
                part(craft, PartKind::Display, "goggle", "face display", &[]);
                place(craft, "goggle", "goggle", "body", &[]);
                remove_place(craft, "cam");
            },
            expect![[r#"
                sound · Lanner small air unit and Lanner ground unit
                  Both speak Lanner
            "#]],
        );
    }

    #[test]
    fn a_camera_alone_is_not_judged() {
        check(
            |craft| {
                remove_place(craft, "vtx");
                set(craft, "cam.system", "");
            },
            expect![[r#""#]],
        );
    }
}
