//! Can the camera be tilted as it is set, with room to both stops?

use crate::limits::TILT_TO_STOP;
use crate::names::called;
use crate::numbers::{mm, rounded};
use crate::rule::rule;
use crate::standing::standing;
use crate::subject::{TiltSlot, Turned, WantingPlate, wanting_plates};
use crate::working::Lines;
use crate::{Answer, CameraTilt, Finding, Placed, Proof, Verdict};
use craft::schema::{PartKind, camera};
use craft::{Anchor, Missing};
use fit::{BodyVector, FreeTilt};
use quantity::{FigureId, Linear, Unit};

rule! {
    /// Can the camera be tilted as it is set, with room to both stops?
    ///
    /// ## Why
    /// A tilt that only just goes rubs, jams or pinches the harness as soon as something shifts; one that does not go
    /// at all is found out when everything is soldered.
    ///
    /// ## Sound when
    /// The set tilt lies in a free range with 3° and more to the nearest stop, surely enough. Nearer it is tight,
    /// outside it is broken. A tilt is free where body, lens, plug and all that is seated on the camera keep the air
    /// they need from everything that stands still. Where a plate of the frame has no body or is not entered, it may stop the
    /// camera: what is free without it is unknown. A wedge under the camera holds the tilt and is no stop, as long as the set tilt
    /// is the one it is made for. Beside it stands how the camera would do in the other mounts of the craft.
    ///
    /// ## Rests on
    /// The sizes of camera and lens, where the side screws are, the mount, cage, plates and boards round it, each with
    /// its doubt. The ends of the range are worked out, not sampled. Limits are common practice.
    ///
    /// ## Mend
    /// Set another tilt, hang the camera in another mount, move it away from what stops it, or turn the harness plug.
    TILT_RANGE = "fit.tilt_range", run
}

/// How far a camera is moved at most to gain its tilt, in mm: as much as slotted mounts and wedges give.
const MOVE_MOST: f64 = 8.0;

fn run(proof: &Proof) -> Answer {
    let mut answer = Answer::default();
    let (tilts, wanting) = (proof.camera_tilts(), wanting_plates(proof));
    for camera in proof.places_of(PartKind::Camera) {
        let Some(number) = proof.number_of(&camera.place.id) else { continue };
        let finding = match tilts.iter().find(|tilt| tilt.place == number) {
            Some(tilt) => {
                let finding = held(judge(proof, camera, tilt, &mut answer), tilt);
                compared(as_far_as_known(finding, tilt, &wanting, &mut answer), tilt)
            }
            // Stands nowhere: that is told of its seat.
            None if proof.inputs().seat(number).is_none() => continue,
            None => lacking(camera, called(proof, camera)),
        };
        let holder = camera.place.on.as_ref().and_then(Anchor::place).cloned();
        let places = [camera.place.id.clone()].into_iter().chain(holder);
        answer.findings.push(finding.at(places));
    }
    answer
}

fn lacking(placed: Placed, subject: String) -> Finding {
    let sizes = [&camera::BODY_DEPTH, &camera::BODY_WIDTH, &camera::BODY_HEIGHT, &camera::FACE_AHEAD];
    let missing: Vec<Missing> =
        sizes.into_iter().filter_map(|size| placed.part.item().read(size).err()).collect();
    Finding::unknown(TILT_RANGE.id, subject, missing)
}

/// `20°`, to a tenth.
fn degrees(value: f64) -> String {
    format!("{}°", rounded(value, 1))
}

/// `from -8° to 34°`, one after the other.
fn ranges(free: &[FreeTilt]) -> String {
    let one =
        |free: &FreeTilt| format!("{} to {}", degrees(free.low.angle.value), degrees(free.high.angle.value));
    free.iter().map(one).collect::<Vec<_>>().join(" and ")
}

fn judge(proof: &Proof, placed: Placed, tilt: &CameraTilt, answer: &mut Answer) -> Finding {
    let subject = format!("{} in {}", called(proof, placed), tilt.here.called);
    let wanted = degrees(tilt.wanted.value);
    if tilt.here.free.is_empty() {
        let message =
            format!("At no tilt has {} the air it needs in {}", called(proof, placed), tilt.here.called);
        let finding = Finding::new(TILT_RANGE.id, Verdict::Broken, subject, message);
        return hung_elsewhere(finding, tilt)
            .mend("Mend what is told of its clearances first, or take a smaller camera.");
    }
    let (Some(room), Some((end, stop))) = (&tilt.here.room, tilt.here.nearest_stop(&tilt.wanted)) else {
        let message = format!("Set to {wanted}; nothing stops it from {}", ranges(&tilt.here.free));
        return Finding::new(TILT_RANGE.id, Verdict::Sound, subject, message);
    };
    let judged = standing(proof, room, &TILT_TO_STOP);
    let (verdict, value) = (judged.verdict, room.value);
    let stops_at = degrees(end.angle.value);
    let what = if stop.turning == placed.part.name {
        stop.against.clone()
    } else {
        format!("{} (met by {})", stop.against, stop.turning)
    };
    let message = if value < 0.0 {
        format!("Wanted {wanted}, but it stops at {stops_at} against {what}")
    } else {
        format!(
            "Set to {wanted} and free from {}; {} before {what} stops it",
            ranges(&tilt.here.free),
            degrees(value)
        )
    };
    let id = format!("fit.tilt_room[{}]", placed.place.id);
    let mut lines =
        Lines::of(proof).result("tilt that is set", &tilt.wanted, Unit::Degrees, "place of the camera");
    for (free, stops) in tilt.here.free.iter().zip(&tilt.here.stops) {
        for ((label, end), stop) in
            [("lower end of a free range", &free.low), ("upper end of a free range", &free.high)]
                .into_iter()
                .zip(stops)
        {
            let against = stop.as_ref().map_or("as far as is looked".to_owned(), |stop| {
                format!("{} meets {}", stop.turning, stop.against)
            });
            lines = lines.result(label, &end.angle, Unit::Degrees, against);
        }
    }
    // By value alone: the facts of a craft with the camera hung otherwise are counted in a ledger of their own.
    for slot in &tilt.others {
        for (free, stops) in slot.free.iter().zip(&slot.stops) {
            for (label, end, stop) in [("lower", &free.low, &stops[0]), ("upper", &free.high, &stops[1])] {
                let label = format!("{label} end of a free range in {}", slot.called);
                let against = stop.as_ref().map_or("as far as is looked".to_owned(), |stop| {
                    format!("{} meets {}", stop.turning, stop.against)
                });
                lines = lines.result(&label, &Linear::exact(end.angle.value), Unit::Degrees, against);
            }
        }
    }
    answer.figures.push(lines.facts(room).figure(
        id.clone(),
        "room between the set tilt and the nearest stop",
        (room, Unit::Degrees),
        "nearest end of the free range - tilt that is set, counted inward",
        TILT_TO_STOP.source,
    ));
    let mut finding = judged.finding(TILT_RANGE.id, subject, message);
    finding.figure = Some(FigureId(id.into()));
    if verdict == Verdict::Sound {
        return finding;
    }
    if let Some(advice) = &finding.measure_next {
        let measure = format!("Measure the {} first: it decides.", advice.label);
        finding = finding.mend(measure);
    }
    if let Some(within) = tilt.nearest_ample() {
        finding = finding.mend(format!("Set it to {}.", degrees(within)));
    }
    finding = hung_elsewhere(finding, tilt);
    match moved(proof, placed) {
        Some((by, way)) => {
            finding.mend(format!("Move the camera {} {way}, or turn the harness plug.", mm(by)))
        }
        None => finding.mend("Turn the harness plug, or take what stops it away."),
    }
}

/// A print that lets the camera turn by no more than this to one side holds it, in degrees: foam and tape take that up.
const HELD_WITHIN: f64 = 3.0;

/// The finding with what a print that holds the tilt makes of it.
fn held(finding: Finding, tilt: &CameraTilt) -> Finding {
    let (Some(held), wanted) = (&tilt.held, tilt.wanted.value) else { return finding };
    let spoilt = |message: String| {
        let verdict = finding.verdict.min(Verdict::Broken);
        Finding { verdict, message, ..Finding::new(TILT_RANGE.id, verdict, finding.subject.clone(), "") }
            .mend(format!(
                "Print a wedge of {}, or set the camera to the tilt this one is made for.",
                degrees(wanted)
            ))
    };
    match held.between {
        Some((low, high)) if (low..=high).contains(&wanted) => {
            let mut finding = finding;
            finding.message += &match (wanted - low).min(high - wanted) <= HELD_WITHIN {
                true => format!("; {} holds it there", held.by),
                false => format!(
                    "; {} does not hold it: it comes near at {} and {}",
                    held.by,
                    degrees(low),
                    degrees(high)
                ),
            };
            finding
        }
        Some((low, high)) => spoilt(format!(
            "Wanted {}, but {} lets it be from {} to {}",
            degrees(wanted),
            held.by,
            degrees(low),
            degrees(high)
        )),
        None => spoilt(format!("{} leaves the camera room at no tilt", held.by)),
    }
}

/// What is free without a plate of the frame is not free for sure: that plate may stop it. Then no room is told.
fn as_far_as_known(
    finding: Finding,
    tilt: &CameraTilt,
    wanting: &[WantingPlate],
    answer: &mut Answer,
) -> Finding {
    let holder = holder_of(tilt);
    let Some(plate) = wanting.iter().find(|plate| Some(plate.place.as_str()) == holder) else {
        return finding;
    };
    if finding.verdict == Verdict::Broken {
        return finding;
    }
    answer.figures.retain(|figure| finding.figure.as_ref() != Some(&figure.id));
    let message = format!(
        "Nobody can say yet: {} may stop it, and {}; without it the camera is free from {}",
        plate.what,
        plate.why,
        ranges(&tilt.here.free)
    );
    Finding::new(TILT_RANGE.id, Verdict::Unknown, finding.subject, message).mend(plate.mend.clone())
}

/// The place of what the camera hangs in.
fn holder_of(tilt: &CameraTilt) -> Option<&str> {
    tilt.here.seat.split('/').next()
}

/// How many other mounts are told of in a finding; page and figure have them all.
const MOUNTS_TOLD: usize = 3;

/// The finding with how the camera would do in the other mounts of the craft.
fn compared(mut finding: Finding, tilt: &CameraTilt) -> Finding {
    for slot in tilt.others.iter().take(MOUNTS_TOLD) {
        let free = if slot.free.is_empty() {
            "at no tilt".to_owned()
        } else {
            format!("from {}", ranges(&slot.free))
        };
        finding.message.push_str(&format!("; in {} it would be free {free}", slot.called));
    }
    finding
}

/// Another mount in which the set tilt has ample room.
fn hung_elsewhere(finding: Finding, tilt: &CameraTilt) -> Finding {
    let ample = |slot: &&TiltSlot| {
        let inside = slot
            .free
            .iter()
            .any(|free| (free.low.angle.value..=free.high.angle.value).contains(&tilt.wanted.value));
        let roomy = slot.room.as_ref().is_none_or(|room| room.value >= TILT_TO_STOP.tight);
        inside && roomy && slot.behind_mm.is_none_or(|behind| behind >= 0.0)
    };
    match tilt.others.iter().find(ample) {
        Some(slot) => {
            finding.mend(format!("Hang it in {}: there it is free from {}.", slot.called, ranges(&slot.free)))
        }
        None => finding,
    }
}

/// The least way by which moving the camera gives its tilt ample room.
fn moved(proof: &Proof, camera: Placed) -> Option<(f64, &'static str)> {
    if proof.is_trial() {
        return None;
    }
    let turned = Turned::of(proof, camera)?;
    let ways = [
        ("forward", BodyVector::X),
        ("back", -BodyVector::X),
        ("up", BodyVector::Z),
        ("down", -BodyVector::Z),
    ];
    let mut least: Option<(f64, &'static str)> = None;
    for (word, way) in ways {
        // A shorter way than the one known is the only one worth trying.
        let most = least.map_or(MOVE_MOST, |(by, _)| by - 0.5);
        if let Some(by) = turned.moved_free(way, TILT_TO_STOP.tight, most) {
            least = Some((by, word));
        }
    }
    least
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::TILT_RANGE;
    use crate::testing::set;
    use crate::testing_stack::{bay_is_sound, bay_told, bay_told_of};
    use craft::Craft;
    use expect_test::{Expect, expect};

    fn check(spoil: impl FnOnce(&mut Craft), expected: Expect) {
        expected.assert_eq(&bay_told(&TILT_RANGE, spoil));
    }

    #[test]
    fn a_camera_with_room_to_both_stops_is_sound() {
        bay_is_sound(&TILT_RANGE);
        expect![[r#"
            sound · nano camera in nose of bay frame
              Set to 0°; nothing stops it from -30° to 90°
        "#]]
        .assert_eq(&bay_told_of(&TILT_RANGE, "", |_| {}));
    }

    #[test]
    fn a_tilt_just_before_its_stop_is_tight_and_one_beyond_broken() {
        let long = |craft: &mut Craft| set(craft, "cam.body_depth", "26 mm, measured");
        check(
            |craft| {
                long(craft);
                set(craft, "place cam.pitch", "-14°");
            },
            expect![[r#"
                tight · nano camera in nose of bay frame · 1.496 ° · 99 %
                  Set to -14° and free from -16° to -12.5° and 79.6° to 90°; 1.5° before components on flight controller stops it
                  > Move the camera 6 mm forward, or turn the harness plug.
            "#]],
        );
        check(
            |craft| {
                long(craft);
                set(craft, "place cam.pitch", "40°");
            },
            expect![[r#"
                broken · nano camera in nose of bay frame · -39.569 ° · 0 %
                  Wanted 40°, but it stops at 79.6° against plate bottom of bay frame
                  > Move the camera 4 mm forward, or turn the harness plug.
            "#]],
        );
    }

    #[test]
    fn a_plate_without_a_body_or_left_out_makes_free_unknown_and_leaves_broken_broken() {
        let crossed = |craft: &mut Craft| {
            let frame = craft.parts.iter_mut().find(|part| part.id.as_str() == "frame").unwrap();
            let row = frame.tables.get_mut("plate").unwrap().iter_mut();
            let top =
                row.into_iter().find(|row| row.0.get("role") == Some(&craft::Value::Text("top".into())));
            top.unwrap().0.remove("thickness");
        };
        check(
            crossed,
            expect![[r#"
            unknown · nano camera in nose of bay frame
              Nobody can say yet: plate top of bay frame may stop it, and it has no body: thickness of plate "top" of "bay frame" is not known; without it the camera is free from -30° to 90°
              > Measure or look up the thickness of plate "top" of "bay frame".
        "#]],
        );
        check(
            |craft| {
                let frame = craft.parts.iter_mut().find(|part| part.id.as_str() == "frame").unwrap();
                let plates = frame.tables.get_mut("plate").unwrap();
                plates.retain(|row| row.0.get("role") != Some(&craft::Value::Text("top".into())));
            },
            expect![[r#"
                unknown · nano camera in nose of bay frame
                  Nobody can say yet: top plate of bay frame may stop it, and its standoffs carry none that is entered; without it the camera is free from -30° to 90°
                  > Enter the top plate of bay frame: where it lies, its outline and how thick it is.
            "#]],
        );
        let broken = bay_told(&TILT_RANGE, |craft| {
            crossed(craft);
            set(craft, "cam.body_depth", "26 mm, measured");
            set(craft, "place cam.pitch", "40°");
        });
        assert!(broken.starts_with("broken · nano camera"), "{broken}");
    }

    #[test]
    fn a_missing_size_is_named() {
        check(
            |craft| set(craft, "cam.body_depth", ""),
            expect![[r#"
            unknown · nano camera
              Nobody can say yet: the body depth of "nano camera" is not known
              > Measure or look up the body depth of "nano camera".
        "#]],
        );
    }
}
