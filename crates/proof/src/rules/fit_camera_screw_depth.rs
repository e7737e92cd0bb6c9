//! Do the camera's side screws stop short of its sensor board?

use crate::limits::CAMERA_SCREW_USED;
use crate::numbers::mm;
use crate::rule::rule;
use crate::standing::{standing, standing_of};
use crate::subject::beside_camera;
use crate::working::Lines;
use crate::{Answer, Finding, Placed, Proof, Verdict};
use craft::schema::{PartKind, camera, fixing, frame, place as place_schema};
use craft::{Anchor, Item, PartId, PlaceId};
use fit::STOCK_LENGTHS_MM;
use quantity::{FigureId, Linear, Unit};
use std::collections::HashMap;

rule! {
    /// Do the camera's side screws stop short of its sensor board?
    ///
    /// ## Why
    /// The thread in a camera's side is one to three millimetres deep. Behind it is the sensor board; a screw one size
    /// too long crushes it or bends it, and one side of the picture is soft for ever.
    ///
    /// ## Sound when
    /// The screw goes in by at most 80 % of the thread's depth, and by at least 1 mm where the thread is that deep. Beyond
    /// 80 % it is tight; beyond the depth, or less than 1 mm, broken: side screws go one to three millimetres into the body.
    ///
    /// ## Rests on
    /// Screw length, cheek, washer, depth of the side thread, each with its doubt; what fills the room beside the camera,
    /// and that room itself where it is too wide for the plates to be drawn onto the body. The 1 mm and the 80 % are common practice.
    ///
    /// ## Mend
    /// Take the shorter screw that is named, or put a washer under the head.
    CAMERA_SCREW_DEPTH = "fit.camera_screw_depth", run
}

/// A side screw that goes in less holds by two turns of its thread and pulls out: the least, in mm. Common practice.
const LEAST_IN: f64 = 1.0;

fn run(proof: &Proof) -> Answer {
    let mut answer = Answer::default();
    // Left and right alike are one finding.
    let mut alike: HashMap<(&PartId, &PlaceId, String), usize> = HashMap::new();
    for screw in proof.places_of(PartKind::Screw) {
        let Some(on @ Anchor::Feature(under, mount)) = &screw.place.on else { continue };
        let Some(holder) = proof.placed_at(under) else { continue };
        let Some(row) = holder.part.row_named(&frame::camera_mount::TABLE, mount) else { continue };
        let Some(held) = proof.seated_on(on).find(|placed| placed.part.kind == PartKind::Camera) else {
            continue;
        };
        let (finding, figure) = judge(proof, screw, held, &row);
        let key = (&screw.part.id, &held.place.id, finding.message.clone());
        match alike.get(&key) {
            Some(&number) => answer.findings[number].places.push(screw.place.id.clone()),
            None => {
                alike.insert(key, answer.findings.len());
                answer.findings.push(finding.at([held.place.id.clone(), screw.place.id.clone()]));
                answer.figures.extend(figure);
            }
        }
    }
    answer
}

fn judge(proof: &Proof, screw: Placed, held: Placed, row: &Item<'_>) -> (Finding, Option<quantity::Figure>) {
    let subject = format!("{} in {}", screw.part.name, held.part.name);
    let (thread, takes) =
        (screw.part.item().text(&fixing::THREAD).ok(), held.part.item().text(&camera::SIDE_SCREW).ok());
    if let (Some(thread), Some(takes)) = (thread, takes)
        && thread != takes
    {
        let message = format!("The side screw is {thread}, the camera takes {takes}");
        let finding = Finding::new(CAMERA_SCREW_DEPTH.id, Verdict::Broken, subject, message);
        return (finding.mend(format!("Take {takes} screws.")), None);
    }
    let facts = (
        screw.part.item().read(&fixing::SCREW_LENGTH),
        row.read(&frame::camera_mount::CHEEK),
        held.part.item().read(&camera::SIDE_DEPTH),
        screw.place.item().read(&place_schema::WASHER),
    );
    let (Ok(length), Ok(cheek), Ok(depth), Ok(washer)) = &facts else {
        let missing = [facts.0.err(), facts.1.err(), facts.2.err(), facts.3.err()];
        let missing = missing.into_iter().flatten().collect();
        return (Finding::unknown(CAMERA_SCREW_DEPTH.id, subject, missing), None);
    };
    let bridged = match beside_camera(proof, held, row) {
        Ok(beside) => beside.bridged(),
        Err(missing) => return (Finding::unknown(CAMERA_SCREW_DEPTH.id, subject, missing), None),
    };
    let (depth, clamped) = (proof.lean(depth), &proof.lean(cheek) + &proof.lean(washer) + bridged.clone());
    let goes_in = &proof.lean(length) - &clamped;
    let share = Linear::chained(
        100.0 * goes_in.value / depth.value,
        &[(100.0 / depth.value, &goes_in), (-100.0 * goes_in.value / (depth.value * depth.value), &depth)],
    );
    let least = LEAST_IN.min(depth.value * CAMERA_SCREW_USED.tight / 100.0);
    let holds = goes_in.value > 0.0;
    let hardly = holds && goes_in.value < least - 1e-9;
    let judged = if hardly || !holds {
        standing_of(proof, &(&goes_in - least), 0.0, Unit::Millimetres)
    } else {
        standing(proof, &share, &CAMERA_SCREW_USED)
    };
    let verdict = judged.verdict;
    let (inside, deep) = (mm(goes_in.value), mm(depth.value));
    let message = match verdict {
        _ if !holds && bridged.value > 0.0 => format!(
            "The side screw is {} too short to reach the camera over the {} beside it",
            mm(-goes_in.value),
            mm(bridged.value)
        ),
        _ if !holds => format!("The side screw is {} too short to reach the camera", mm(-goes_in.value)),
        _ if hardly => format!(
            "The side screw goes in only {inside} of {deep}, at least {} is wanted: it holds by a turn or two and pulls out",
            mm(least)
        ),
        Verdict::Broken => {
            format!("The side screw goes in {inside} where {deep} are safe: it reaches the sensor board")
        }
        _ => format!("The side screw goes in {inside} of {deep}"),
    };
    let id = format!("fit.camera_screw_used[{}]", screw.place.id);
    let figure = Lines::of(proof)
        .result(
            "goes in",
            &goes_in,
            Unit::Millimetres,
            "screw length - cheek - washer - what is bridged beside the camera",
        )
        .facts(&share)
        .figure(
            id.clone(),
            "share of a camera's side thread that a screw uses",
            (&share, Unit::Percent),
            "100 · (length - cheek - washer - bridged) / thread depth",
            CAMERA_SCREW_USED.source,
        );
    let mut finding = judged.finding(CAMERA_SCREW_DEPTH.id, subject, message);
    if verdict != Verdict::Sound {
        if let Some(advice) = &finding.measure_next {
            let measure = format!("Measure the {} first: it decides.", advice.label);
            finding = finding.mend(measure);
        }
        let most = clamped.value + depth.value * CAMERA_SCREW_USED.tight / 100.0;
        let fewest = clamped.value + least;
        let serves = |length: &&f64| **length <= most + 1e-9 && **length >= fewest - 1e-9;
        finding = finding.mend(match STOCK_LENGTHS_MM.iter().rev().find(serves) {
            Some(length) => format!("Take a {length} mm screw."),
            None => {
                format!("Take a screw of {} to {}, or set washers under a longer one.", mm(fewest), mm(most))
            }
        });
    }
    finding.figure = Some(FigureId(id.into()));
    (finding, Some(figure))
}

/// The stock lengths, in mm, that serve a side screw of a camera where it stands, the longest first, which is the one that the rule names:
/// of what is safe it holds best. None where that is not known.
pub(crate) fn serving(proof: &Proof, screw: Placed) -> Vec<f64> {
    let lengths = || {
        let on @ Anchor::Feature(under, mount) = screw.place.on.as_ref()? else { return None };
        let holder = proof.placed_at(under)?;
        let row = holder.part.row_named(&frame::camera_mount::TABLE, mount)?;
        let held = proof.seated_on(on).find(|placed| placed.part.kind == PartKind::Camera)?;
        let cheek = row.read(&frame::camera_mount::CHEEK).ok()?.value.get();
        let depth = held.part.item().read(&camera::SIDE_DEPTH).ok()?.value.get();
        let washer = screw.place.item().read(&place_schema::WASHER).map_or(0.0, |washer| washer.value.get());
        let clamped = cheek + washer + beside_camera(proof, held, &row).ok()?.bridged().value;
        let most = depth * CAMERA_SCREW_USED.tight / 100.0;
        let (fewest, most) = (clamped + LEAST_IN.min(most), clamped + most);
        let serves = move |length: &f64| *length <= most + 1e-9 && *length >= fewest - 1e-9;
        Some(STOCK_LENGTHS_MM.iter().rev().copied().filter(serves).collect())
    };
    lengths().unwrap_or_default()
}

#[cfg(test)]
mod tests {
    use super::CAMERA_SCREW_DEPTH;
    use crate::testing::set;
    use crate::testing_stack::{bay_is_sound, bay_told, bay_told_of};
    use craft::Craft;
    use expect_test::{Expect, expect};

    fn check(spoil: impl FnOnce(&mut Craft), expected: Expect) {
        expected.assert_eq(&bay_told(&CAMERA_SCREW_DEPTH, spoil));
    }

    #[test]
    fn side_screws_that_stop_short_are_sound_and_told_once() {
        bay_is_sound(&CAMERA_SCREW_DEPTH);
        // 4 mm less a cheek of 2 mm: 2 of 3 mm, 66.7 % of the thread, 33.3 % short of all of it.
        expect![[r#"
            sound · M2×4 in nano camera · 33.333 % · 100 %
              The side screw goes in 2 mm of 3 mm
        "#]]
        .assert_eq(&bay_told_of(&CAMERA_SCREW_DEPTH, "", |_| {}));
    }

    #[test]
    fn a_screw_that_reaches_the_sensor_board_is_broken() {
        check(
            |craft| set(craft, "cam.side_depth", "1.5 mm, measured"),
            expect![[r#"
            broken · M2×4 in nano camera · -33.333 % · 0 %
              The side screw goes in 2 mm where 1.5 mm are safe: it reaches the sensor board
              > Take a 3 mm screw.
        "#]],
        );
    }

    #[test]
    fn a_screw_that_uses_nearly_all_is_tight() {
        // 2 of 2.2 mm: 91 %. A stock screw of 3 mm goes in 1 mm.
        check(
            |craft| set(craft, "cam.side_depth", "2.2 mm, measured"),
            expect![[r#"
            tight · M2×4 in nano camera · 9.091 % · 100 %
              The side screw goes in 2 mm of 2.2 mm
              > Take a 3 mm screw.
        "#]],
        );
    }

    #[test]
    fn a_screw_that_hardly_holds_or_does_not_reach_is_told() {
        check(
            |craft| set(craft, "frame.camera_mount[0].cheek", "3.4 mm, measured"),
            expect![[r#"
                broken · M2×4 in nano camera · -0.4 mm · 0 %
                  The side screw goes in only 0.6 mm of 3 mm, at least 1 mm is wanted: it holds by a turn or two and pulls out
                  > Take a 5 mm screw.
            "#]],
        );
        check(
            |craft| set(craft, "place c-l.washer", "2.5 mm, measured"),
            expect![[r#"
                broken · M2×4 in nano camera · -1.5 mm · 0 %
                  The side screw is 0.5 mm too short to reach the camera
                  > Take a 6 mm screw.
            "#]],
        );
    }

    #[test]
    fn a_camera_with_room_beside_it_is_not_reached() {
        // 15 mm less 9: 3 mm on each side to be bridged, by a screw of 4 mm through a cheek of 2 mm.
        check(
            |craft| set(craft, "cam.body_width", "9 mm, measured"),
            expect![[r#"
                broken · M2×4 in nano camera · -2 mm · 0 %
                  The side screw is 1 mm too short to reach the camera over the 3 mm beside it
                  > Take a 7 mm screw.
            "#]],
        );
    }

    #[test]
    fn a_screw_of_another_thread_is_broken() {
        check(
            |craft| set(craft, "cam.side_screw", "M1.6"),
            expect![[r#"
            broken · M2×4 in nano camera
              The side screw is M2, the camera takes M1.6
              > Take M1.6 screws.
        "#]],
        );
    }

    #[test]
    fn what_is_missing_is_named() {
        check(
            |craft| {
                set(craft, "cam.side_depth", "");
                set(craft, "frame.camera_mount[0].cheek", "");
            },
            expect![[r#"
                unknown · M2×4 in nano camera
                  Nobody can say yet: the cheek thickness of camera mount "nose" of "bay frame" and the side thread depth of "nano camera" are not known
                  > Measure or look up the cheek thickness of camera mount "nose" of "bay frame".
                  > Measure or look up the side thread depth of "nano camera".
            "#]],
        );
    }
}
