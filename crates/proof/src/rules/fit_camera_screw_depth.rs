//! Do the camera's side screws stop short of its sensor board?

use crate::limits::CAMERA_SCREW_USED;
use crate::numbers::mm;
use crate::rule::rule;
use crate::standing::standing;
use crate::working::Lines;
use crate::{Answer, Finding, Proof, Verdict};
use craft::schema::{PartKind, camera, fixing, frame, place as place_schema};
use craft::{Anchor, Reading};
use fit::STOCK_LENGTHS_MM;
use quantity::{FigureId, Linear, Millimetres, Unit};

rule! {
    /// Do the camera's side screws stop short of its sensor board?
    ///
    /// ## Why
    /// The thread in a camera's side is one to three millimetres deep. Behind it is the sensor board; a screw one size
    /// too long crushes it or bends it, and one side of the picture is soft for ever.
    ///
    /// ## Sound when
    /// The screw goes in by at most 80 % of the thread's depth. Beyond 80 % it is tight, beyond the depth broken.
    ///
    /// ## Rests on
    /// Screw length, cheek, washer, depth of the side thread, each with its doubt. The 80 % are common practice.
    ///
    /// ## Mend
    /// Take the shorter screw that is named, or put a washer under the head.
    CAMERA_SCREW_DEPTH = "fit.camera_screw_depth", run
}

fn run(proof: &Proof) -> Answer {
    let mut answer = Answer::default();
    for screw in proof.places_of(PartKind::Screw) {
        let Some(Anchor::Feature(under, mount)) = &screw.place.on else { continue };
        let Some(holder) = proof.placed().find(|placed| &placed.place.id == under) else { continue };
        let Some(row) = holder.part.row_named(&frame::camera_mount::TABLE, mount) else { continue };
        let Some(held) = proof.places_of(PartKind::Camera).find(|camera| camera.place.on == screw.place.on)
        else {
            continue;
        };
        let subject = format!("{} in {}", screw.part.name, held.part.name);
        let places = [screw.place.id.clone(), held.place.id.clone()];
        let facts = (
            screw.part.item().read(&fixing::SCREW_LENGTH),
            row.read(&frame::camera_mount::CHEEK),
            held.part.item().read(&camera::SIDE_DEPTH),
            screw.place.item().read(&place_schema::WASHER),
        );
        let (Ok(length), Ok(cheek), Ok(depth), Ok(washer)) = &facts else {
            let missing =
                [facts.0.err(), facts.1.err(), facts.2.err(), facts.3.err()].into_iter().flatten().collect();
            answer.findings.push(Finding::unknown(CAMERA_SCREW_DEPTH.id, subject, missing).at(places));
            continue;
        };
        let lean = |reading: &Reading<Millimetres>| Linear {
            value: reading.value.get(),
            slopes: vec![(proof.enter(reading), 1.0)],
        };
        let (depth, clamped) = (lean(depth), &lean(cheek) + &lean(washer));
        let goes_in = &lean(length) - &clamped;
        let share = Linear::chained(
            100.0 * goes_in.value / depth.value,
            &[
                (100.0 / depth.value, &goes_in),
                (-100.0 * goes_in.value / (depth.value * depth.value), &depth),
            ],
        );
        let judged = standing(proof, &share, &CAMERA_SCREW_USED);
        let verdict = judged.verdict;
        let message = match verdict {
            Verdict::Broken => format!(
                "The side screw goes in {} where {} are safe: it reaches the sensor board",
                mm(goes_in.value),
                mm(depth.value)
            ),
            _ if goes_in.value <= 0.0 => {
                format!("The side screw is {} too short to reach the camera", mm(-goes_in.value))
            }
            _ => format!("The side screw goes in {} of {}", mm(goes_in.value), mm(depth.value)),
        };
        let id = format!("fit.camera_screw_used[{}]", screw.place.id);
        answer.figures.push(
            Lines::of(proof)
                .result("goes in", &goes_in, Unit::Millimetres, "screw length - cheek - washer")
                .facts(&share)
                .figure(
                    id.clone(),
                    "share of the side thread in use",
                    (&share, Unit::Percent),
                    "100 · (length - cheek - washer) / thread depth",
                    CAMERA_SCREW_USED.source,
                ),
        );
        let mut finding = judged.finding(CAMERA_SCREW_DEPTH.id, subject, message);
        if goes_in.value <= 0.0 {
            finding.verdict = Verdict::Broken;
        }
        if finding.verdict != Verdict::Sound {
            let most = clamped.value + depth.value * CAMERA_SCREW_USED.tight / 100.0;
            let least = clamped.value + 0.5;
            match STOCK_LENGTHS_MM.iter().rev().find(|length| **length <= most && **length >= least) {
                Some(length) => finding = finding.mend(format!("Take a {length} mm screw.")),
                None => {
                    finding = finding
                        .mend(format!("Take a screw of at most {}, or set washers under the head.", mm(most)))
                }
            }
        }
        finding.figure = Some(FigureId(id.into()));
        answer.findings.push(finding.at(places));
    }
    answer
}
