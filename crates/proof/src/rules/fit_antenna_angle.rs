//! Does every control antenna stand square to the video antennas?

use crate::limits::ANTENNA_ANGLE;
use crate::numbers::{listed, rounded};
use crate::rule::rule;
use crate::standing::standing;
use crate::subject::{AntennaAxis, axes_of_control, axes_of_video};
use crate::working::Lines;
use crate::{Answer, Finding, Proof, Verdict};
use fit::{BodyVector, angle_of_axes};
use quantity::{FigureId, Linear, Unit};

rule! {
    /// Does every control antenna stand square to the video antennas?
    ///
    /// ## Why
    /// The transmitter is some 100 dB stronger than what the control receiver listens for. An antenna takes in most
    /// from another that lies parallel to it, least from one at right angles: what the receiver does not take in
    /// cannot block the control link.
    ///
    /// ## Sound when
    /// The axes of the two stand at 60° or more to each other. Less is tight; under 30° they are as good as parallel
    /// and it is broken. Of several antennas on one receiver the best placed counts, for the receiver takes the
    /// better. How far apart they must stand is asked with all other distances.
    ///
    /// ## Rests on
    /// How both are seated, turned and leant, with the doubt of these angles. An antenna of its own lies along the z
    /// of its place; one that is a body of its receiver along the axis of that body. Whips count as straight. Custom
    /// says at right angles; what an angle is worth follows its cosine.
    ///
    /// ## Mend
    /// Tie the whip of the control receiver across the craft where the video antenna stands upright.
    ANTENNAS_SQUARE = "fit.antenna_angle", run
}

fn run(proof: &Proof) -> Answer {
    let mut answer = Answer::default();
    let video = axes_of_video(proof);
    for control in axes_of_control(proof) {
        let Some(first) = control.first().filter(|_| !video.is_empty()) else { continue };
        if !first.entered {
            let missing = first.axis.as_ref().err().cloned().unwrap_or_default();
            let finding = Finding::unknown(ANTENNAS_SQUARE.id, first.called.clone(), missing).mend(
                "Enter it as a body of its receiver with the role antenna element, or as an antenna that starts \
                 at the receiver's plug.",
            );
            answer.findings.push(finding.at([first.placed.place.id.clone()]));
            continue;
        }
        for antenna in &video {
            judge(proof, &control, antenna, &video, &mut answer);
        }
    }
    answer
}

/// One receiver against one video antenna.
fn judge(
    proof: &Proof,
    control: &[AntennaAxis],
    video: &AntennaAxis,
    all_video: &[AntennaAxis],
    answer: &mut Answer,
) {
    let known = control.iter().filter_map(|one| Some((one, angle(proof, one, video)?)));
    let best = known.max_by(|a, b| a.1.value.total_cmp(&b.1.value));
    let found = best.map(|(one, angle)| (one, standing(proof, &angle, &ANTENNA_ANGLE), angle));
    let wanting = || control.iter().chain([video]).filter(|one| one.axis.is_err());
    let (one, judged, angle) = match found {
        // What is not known yet may stand better than what is.
        Some(found) if found.1.verdict == Verdict::Sound || wanting().next().is_none() => found,
        _ => {
            let missing = wanting().filter_map(|one| one.axis.as_ref().err()).flatten().cloned().collect();
            let names: Vec<&str> = control.iter().map(|one| one.called.as_str()).collect();
            let subject = format!("{} and {}", listed(&names), video.called);
            let places = control.iter().chain([video]).map(|one| one.placed.place.id.clone());
            answer.findings.push(Finding::unknown(ANTENNAS_SQUARE.id, subject, missing).at(places));
            return;
        }
    };
    let (name, other) = (&one.called, &video.called);
    let degrees = rounded(angle.value, 0);
    let verdict = judged.verdict;
    let message = match verdict {
        Verdict::Sound => format!("{name} stands at {degrees}° to {other}"),
        Verdict::Broken => {
            format!(
                "{name} stands at {degrees}° to {other}, as good as parallel: it takes in all it can of its power"
            )
        }
        _ => format!(
            "{name} stands at {degrees}° to {other}: nearer to a right angle it takes in less of its power"
        ),
    };
    let id = format!("fit.antenna_angle[{name}|{other}]");
    answer.figures.push(Lines::of(proof).facts(&angle).figure(
        id.clone(),
        "angle between a control antenna and a video antenna",
        (&angle, Unit::Degrees),
        "α = arccos |u·v|, u and v the directions of the two",
        ANTENNA_ANGLE.source,
    ));
    let mut finding = judged.finding(ANTENNAS_SQUARE.id, format!("{name} and {other}"), message);
    if verdict != Verdict::Sound {
        if let Some(advice) = &finding.measure_next {
            let measure = format!("Measure the {} first: it decides.", advice.label);
            finding = finding.mend(measure);
        }
        finding = finding.mend(better(name, angle.value, all_video));
    }
    finding.figure = Some(FigureId(id.into()));
    answer.findings.push(finding.at([one, video].map(|one| one.placed.place.id.clone())));
}

/// The angle of two antennas that both have an axis.
fn angle(proof: &Proof, one: &AntennaAxis, other: &AntennaAxis) -> Option<Linear> {
    let drifts = [one, other].map(|antenna| proof.inputs().seat(antenna.number).map(|seat| &seat.drifts));
    let [Some(a), Some(b)] = drifts else { return None };
    angle_of_axes((*one.axis.as_ref().ok()?, a), (*other.axis.as_ref().ok()?, b))
}

/// Where the control antenna would stand squarest to every video antenna.
fn better(name: &str, angle: f64, video: &[AntennaAxis]) -> String {
    let least = |way: BodyVector| {
        let axes = video.iter().filter_map(|antenna| antenna.axis.as_ref().ok());
        let angles = axes.filter_map(|axis| angle_of_axes((way, &[]), (*axis, &[])));
        angles.map(|angle| angle.value).fold(90.0, f64::min)
    };
    let ways =
        [("across the craft", BodyVector::Y), ("along the craft", BodyVector::X), ("upright", BodyVector::Z)];
    // The first of those that serve alike.
    let best = ways
        .map(|(words, way)| (words, least(way)))
        .into_iter()
        .reduce(|best, next| if next.1 > best.1 + 0.5 { next } else { best });
    match best {
        Some((words, there)) if there >= ANTENNA_ANGLE.tight => {
            let to = if video.len() == 1 { "to it" } else { "or more to each video antenna" };
            format!("Tie {name} {words}: there it stands at {}° {to}.", rounded(there, 0))
        }
        _ => format!("Turn {name} away by {}° at least.", rounded((ANTENNA_ANGLE.tight - angle).max(1.0), 0)),
    }
}

#[cfg(test)]
mod tests {
    use super::ANTENNAS_SQUARE;
    use crate::testing::{part, part_mut, place, remove_place, row, set};
    use crate::testing_stack::{bay_is_sound, bay_told_of};
    use craft::Craft;
    use craft::schema::PartKind;
    use expect_test::{Expect, expect};

    fn check(spoil: impl FnOnce(&mut Craft), expected: Expect) {
        expected.assert_eq(&bay_told_of(&ANTENNAS_SQUARE, "", spoil));
    }

    #[test]
    fn a_whip_square_to_the_video_antenna_is_sound() {
        bay_is_sound(&ANTENNAS_SQUARE);
        check(
            |_| {},
            expect![[r#"
            sound · whip of receiver and antenna · 60 ° · 100 %
              whip of receiver stands at 90° to antenna
        "#]],
        );
        // Leaning back in its holder the antenna stays square to what lies across.
        check(
            |craft| set(craft, "frame.antenna_mount[0].lean", "30°"),
            expect![[r#"
            sound · whip of receiver and antenna · 60 ° · 100 %
              whip of receiver stands at 90° to antenna
        "#]],
        );
    }

    #[test]
    fn a_whip_beside_the_video_antenna_is_broken() {
        check(
            |craft| set(craft, "rx.body[0].axis", "z"),
            expect![[r#"
                broken · whip of receiver and antenna · -30 ° · 0 %
                  whip of receiver stands at 0° to antenna, as good as parallel: it takes in all it can of its power
                  > Tie whip of receiver across the craft: there it stands at 90° to it.
            "#]],
        );
    }

    #[test]
    fn one_that_leans_toward_it_is_tight() {
        check(
            |craft| set(craft, "place rx.roll", "45°"),
            expect![[r#"
                tight · whip of receiver and antenna · 15 ° · 100 %
                  whip of receiver stands at 45° to antenna: nearer to a right angle it takes in less of its power
                  > Tie whip of receiver across the craft: there it stands at 90° to it.
            "#]],
        );
    }

    #[test]
    fn the_doubt_of_the_angles_counts() {
        check(
            |craft| {
                set(craft, "rx.body[0].axis", "x");
                set(craft, "frame.antenna_mount[0].lean", "55 ± 12°, typical");
            },
            expect![[r#"
                tight · whip of receiver and antenna · 5 ° · 71 %
                  whip of receiver stands at 35° to antenna: nearer to a right angle it takes in less of its power
                  > Measure the lean back of antenna mount "tail" of "bay frame" first: it decides.
                  > Tie whip of receiver across the craft: there it stands at 90° to it.
                  ? lean back of antenna mount "tail" of "bay frame"
            "#]],
        );
    }

    #[test]
    fn of_two_on_one_receiver_the_better_counts() {
        check(
            |craft| {
                set(craft, "rx.body[0].axis", "z");
                let second = [
                    ("name", "second whip"),
                    ("role", "antenna element"),
                    ("shape", "cylinder"),
                    ("axis", "x"),
                    ("diameter", "1.2 mm, measured"),
                    ("length", "30 mm, measured"),
                    ("z", "20 mm, measured"),
                ];
                row(craft, "rx", "body", &second);
            },
            expect![[r#"
                sound · second whip of receiver and antenna · 60 ° · 100 %
                  second whip of receiver stands at 90° to antenna
            "#]],
        );
    }

    #[test]
    fn a_control_antenna_of_its_own_is_known_by_its_plug() {
        check(
            |craft| {
                craft.parts.retain(|part| part.id.as_str() != "rx");
                part(craft, PartKind::ControlReceiver, "rx", "receiver", &[]);
                row(craft, "rx", "plug", &[("name", "coax"), ("use", "coax")]);
                let sizes = [("length", "60 mm, measured"), ("diameter", "2 mm, measured")];
                part(craft, PartKind::Antenna, "tee", "tee", &sizes);
                place(craft, "tee", "tee", "frame", &[("x", "30 mm"), ("z", "70 mm"), ("from", "rx/coax")]);
            },
            expect![[r#"
                broken · tee and antenna · -30 ° · 0 %
                  tee stands at 0° to antenna, as good as parallel: it takes in all it can of its power
                  > Tie tee across the craft: there it stands at 90° to it.
            "#]],
        );
    }

    #[test]
    fn what_keeps_it_from_being_judged_is_said() {
        check(
            |craft| {
                part_mut(craft, "rx").tables.remove("body");
            },
            expect![[r#"
                unknown · antenna of receiver
                  Nobody can say yet: the direction of the antenna of "receiver" is not known
                  > Measure or look up the direction of the antenna of "receiver".
                  > Enter it as a body of its receiver with the role antenna element, or as an antenna that starts at the receiver's plug.
            "#]],
        );
        check(
            |craft| {
                set(craft, "rx.body[0].shape", "box");
                set(craft, "rx.body[0].axis", "");
                set(craft, "rx.body[0].width", "20 mm, measured");
                set(craft, "rx.body[0].height", "1 mm, measured");
            },
            expect![[r#"
                unknown · whip of receiver and antenna
                  Nobody can say yet: the axis of body "whip" of "receiver" is not known
                  > Measure or look up the axis of body "whip" of "receiver".
            "#]],
        );
        check(
            |craft| seat_nowhere(craft, "antenna"),
            expect![[r#"
            unknown · whip of receiver and antenna
              Nobody can say yet: the seat of place "antenna" is not known
              > Measure or look up the seat of place "antenna".
        "#]],
        );
    }

    fn seat_nowhere(craft: &mut Craft, id: &str) {
        craft.places.iter_mut().filter(|place| place.id.as_str() == id).for_each(|place| place.on = None);
    }

    #[test]
    fn a_patch_and_a_craft_without_receiver_are_not_asked() {
        check(|craft| set(craft, "antenna.element", "patch"), expect![[""]]);
        check(|craft| remove_place(craft, "rx"), expect![[""]]);
    }
}
