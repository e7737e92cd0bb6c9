//! Do the settings know how camera and board lie?

use crate::names::called;
use crate::numbers::rounded;
use crate::rule::rule;
use crate::{Answer, Finding, Proof, Verdict};
use craft::schema::{PartKind, board, place};
use fit::PartVector;
use quantity::{Degrees, Measure};

rule! {
    /// Do the settings know how camera and board lie?
    ///
    /// ## Why
    /// A board turned by a quarter thinks that forward is left: the craft flips the moment it lifts. A camera that hangs upside
    /// down shows the ground above.
    ///
    /// ## Sound when
    /// The turn that is set is the one by which the board's arrow stands off the nose, upside down is set if it lies on its
    /// face, and the picture is turned over if and only if the camera is.
    ///
    /// ## Rests on
    /// Where board and camera are placed, the arrow on the board's sheet, and the settings as read back. Common practice.
    ///
    /// ## Mend
    /// Set the turn, save, and tilt the craft by hand: the horizon shown must tilt the same way. Blades off.
    LIES_AS_SET = "set.orientation", run
}

/// Beyond this a turn is another one, in degrees.
const SAME_TURN: f64 = 5.0;

fn run(proof: &Proof) -> Answer {
    let mut findings = Vec::new();
    for kind in [PartKind::FlightController, PartKind::IntegratedBoard] {
        for placed in proof.places_of(kind) {
            findings.extend(of_board(proof, placed));
        }
    }
    for placed in proof.places_of(PartKind::Camera) {
        findings.extend(of_camera(proof, placed));
    }
    Answer { findings, figures: Vec::new() }
}

fn of_board(proof: &Proof, placed: crate::Placed) -> Option<Finding> {
    let item = placed.place.item();
    let said = item.has(&place::TURN_SET.def) || item.has(&place::OVER_SET.def);
    let wired = proof.wiring().is_some_and(crate::wiring::WiringModel::is_wired);
    if !said && !wired {
        return None;
    }
    let seat = proof.inputs().seat(proof.number_of(&placed.place.id)?)?;
    let arrow = match placed.part.item().text(&board::ARROW).unwrap_or("forward") {
        "back" => [-1.0, 0.0, 0.0],
        "left" => [0.0, 1.0, 0.0],
        "right" => [0.0, -1.0, 0.0],
        _ => [1.0, 0.0, 0.0],
    };
    let ahead = seat.pose.vector(PartVector::new(arrow[0], arrow[1], arrow[2]));
    let up = seat.pose.vector(PartVector::new(0.0, 0.0, 1.0));
    let (stands, over) = (ahead.y().atan2(ahead.x()).to_degrees(), up.z() < 0.0);
    let name = called(proof, placed);
    let found = |verdict, message: String| {
        Finding::new(LIES_AS_SET.id, verdict, name.clone(), message).at([placed.place.id.clone()])
    };
    let set = match item.read(&place::TURN_SET) {
        Ok(set) => set.value.raw(),
        Err(missing) if stands.abs() > SAME_TURN => {
            let finding = Finding::unknown(LIES_AS_SET.id, name.clone(), vec![missing]);
            return Some(finding.at([placed.place.id.clone()]));
        }
        Err(_) => return None,
    };
    let over_set = item.flag(&place::OVER_SET).unwrap_or(false);
    // The shorter way round.
    let off = (stands - set + 180.0).rem_euclid(360.0) - 180.0;
    let degrees = |angle: f64| format!("{}°", rounded(angle, 0));
    let lies = |over: bool| if over { "on its face" } else { "face up" };
    Some(if over != over_set {
        found(
            Verdict::Broken,
            format!("It lies {}, set is {}: the craft flips on take-off", lies(over), lies(over_set)),
        )
        .mend(format!(
            "Set it as lying {}, and tilt the craft by hand, blades off: the horizon must follow.",
            lies(over)
        ))
    } else if off.abs() > SAME_TURN {
        let message = format!(
            "Its arrow stands {} off the nose, set are {}: the craft flips on take-off",
            degrees(stands),
            degrees(set)
        );
        found(Verdict::Broken, message).margin(Degrees::new(SAME_TURN - off.abs()), None).mend(format!(
            "Set the turn to {}, and tilt the craft by hand, blades off: the horizon must follow.",
            degrees(stands)
        ))
    } else {
        found(Verdict::Sound, format!("Its arrow stands {} off the nose, as is set", degrees(stands)))
    })
}

fn of_camera(proof: &Proof, placed: crate::Placed) -> Option<Finding> {
    let seat = proof.inputs().seat(proof.number_of(&placed.place.id)?)?;
    let over = seat.pose.vector(PartVector::new(0.0, 0.0, 1.0)).z() < 0.0;
    let name = called(proof, placed);
    let found = |verdict, message: &str| {
        Finding::new(LIES_AS_SET.id, verdict, name.clone(), message).at([placed.place.id.clone()])
    };
    match (placed.place.item().flag(&place::PICTURE_TURNED), over) {
        (Ok(turned), over) if turned == over => Some(found(
            Verdict::Sound,
            if over {
                "It hangs upside down, and the picture is turned over"
            } else {
                "It stands upright, and so does the picture"
            },
        )),
        (Ok(_), true) => Some(
            found(
                Verdict::Broken,
                "It hangs upside down and the picture is not turned over: the ground is above",
            )
            .mend("Turn the picture over in the camera's settings, or turn the camera."),
        ),
        (Ok(_), false) => Some(
            found(Verdict::Broken, "It stands upright and the picture is turned over: the ground is above")
                .mend("Turn the picture back in the camera's settings."),
        ),
        (Err(missing), true) => {
            let finding = Finding::unknown(LIES_AS_SET.id, name.clone(), vec![missing]);
            Some(finding.at([placed.place.id.clone()]))
        }
        (Err(_), false) => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::testing_wiring::{check, is_sound, set};
    use expect_test::expect;

    #[test]
    fn settings_that_know_how_things_lie_are_sound() {
        is_sound(&LIES_AS_SET);
    }

    #[test]
    fn a_turned_board_that_is_not_set_is_broken() {
        check(
            &LIES_AS_SET,
            |craft| set(craft, "place fc.turn_set", "0°"),
            expect![[r#"
            broken · flight controller · -85 °
              Its arrow stands 90° off the nose, set are 0°: the craft flips on take-off
              > Set the turn to 90°, and tilt the craft by hand, blades off: the horizon must follow.
        "#]],
        );
        check(
            &LIES_AS_SET,
            |craft| set(craft, "place fc.flipped", "yes"),
            expect![[r#"
            broken · flight controller
              It lies on its face, set is face up: the craft flips on take-off
              > Set it as lying on its face, and tilt the craft by hand, blades off: the horizon must follow.
        "#]],
        );
        check(
            &LIES_AS_SET,
            |craft| set(craft, "place fc.turn_set", ""),
            expect![[r#"
            unknown · flight controller
              Nobody can say yet: the board turn as set of place "fc" is not known
              > Measure or look up the board turn as set of place "fc".
        "#]],
        );
    }

    #[test]
    fn a_camera_upside_down_wants_its_picture_turned() {
        check(
            &LIES_AS_SET,
            |craft| set(craft, "place cam.roll", "180°"),
            expect![[r#"
            unknown · Siskin nano camera
              Nobody can say yet: the picture turned over as set of place "cam" is not known
              > Measure or look up the picture turned over as set of place "cam".
        "#]],
        );
    }
}
