//! Do the blades on each motor turn the way the motor is set to turn?

use crate::numbers::listed;
use crate::rule::rule;
use crate::subject::{Drive, drives, motor_layout};
use crate::{Answer, Finding, Proof, Verdict};
use craft::schema::{drive, place};

rule! {
    /// Do the blades on each motor turn the way the motor is set to turn?
    ///
    /// ## Why
    /// Blades of the other hand push the craft into the ground on that corner: it flips at the first touch of
    /// throttle. The same happens when neighbouring motors turn alike, for nothing then holds the nose.
    ///
    /// ## Sound when
    /// On every motor that carries blades their direction is the motor's set direction; with four motors,
    /// those across the diagonal turn alike and neighbours turn opposite.
    ///
    /// ## Rests on
    /// The direction each motor is set to and the direction its blades must turn, both seen from above; where the
    /// motors stand. Common practice.
    ///
    /// ## Mend
    /// Swap the blades, or set the motor's direction. Blades off before pack or USB is plugged in to change it.
    PROP_HAND = "match.prop_hand", run
}

const CAUTION: &str = "Take all blades off before you plug anything in to change or test a direction.";

fn run(proof: &Proof) -> Answer {
    let drives = drives(proof);
    let mut findings: Vec<Finding> = drives.iter().filter_map(hand).collect();
    findings.extend(directions(proof, &drives));
    Answer { findings, figures: Vec::new() }
}

fn hand(drive: &Drive) -> Option<Finding> {
    let blades = drive.blades?;
    let motor = &drive.motor.place.id;
    let subject = format!("{} on {motor}", blades.part.name);
    let places = [motor.clone(), blades.place.id.clone()];
    let finding = match (drive.motor.place.item().text(&place::SPIN), blades.part.item().text(&drive::HAND)) {
        (Ok(spin), Ok(hand)) if spin == hand => {
            Finding::new(PROP_HAND.id, Verdict::Sound, subject, format!("Motor and blades turn {spin}"))
        }
        (Ok(spin), Ok(hand)) => Finding::new(
            PROP_HAND.id,
            Verdict::Broken,
            subject,
            format!("Motor {motor} is set to turn {spin}, its blades pull when they turn {hand}: it would push down"),
        )
        .mend(format!("Put {spin} blades on {motor}, or set it to turn {hand}."))
        .mend(CAUTION),
        (spin, hand) => {
            let missing = spin.err().into_iter().chain(hand.err()).collect();
            Finding::unknown(PROP_HAND.id, subject, missing)
        }
    };
    Some(finding.at(places))
}

/// With four motors whose directions and places are known: neighbours must turn opposite.
fn directions(proof: &Proof, drives: &[Drive]) -> Option<Finding> {
    let layout = motor_layout(proof)?;
    if layout.len() != 4 || drives.len() != 4 {
        return None;
    }
    let spins: Vec<(&str, &str)> = layout
        .iter()
        .map(|stand| {
            Some((stand.motor().place.id.as_str(), stand.motor().place.item().text(&place::SPIN).ok()?))
        })
        .collect::<Option<_>>()?;
    let alike: Vec<String> = (0..4)
        .map(|i| (spins[i], spins[(i + 1) % 4]))
        .filter(|(a, b)| a.1 == b.1)
        .map(|(a, b)| format!("{} and {} both turn {}", a.0, b.0, a.1))
        .collect();
    let places = layout.iter().map(|stand| stand.motor().place.id.clone());
    let subject = "directions of the four motors";
    let finding = if alike.is_empty() {
        Finding::new(PROP_HAND.id, Verdict::Sound, subject, "Diagonal pairs turn alike, neighbours opposite")
    } else {
        Finding::new(
            PROP_HAND.id,
            Verdict::Broken,
            subject,
            format!("Neighbours must turn opposite, but {}: nothing holds the nose", listed(&alike)),
        )
        .mend(format!(
            "Set {} and {} to turn one way, {} and {} the other, and put blades on to match.",
            spins[0].0, spins[2].0, spins[1].0, spins[3].0
        ))
        .mend(CAUTION)
    };
    Some(finding.at(places))
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use crate::testing::{is_sound, remove_place, set, told};
    use craft::{Craft, PartId};
    use expect_test::{Expect, expect};

    fn check(spoil: impl FnOnce(&mut Craft), expected: Expect) {
        expected.assert_eq(&told(&PROP_HAND, spoil));
    }

    #[test]
    fn blades_of_each_motors_own_hand_are_sound() {
        is_sound(&PROP_HAND);
    }

    #[test]
    fn blades_of_the_other_hand_push_down() {
        check(
            |craft| {
                let blades = craft.places.iter_mut().find(|place| place.id.as_str() == "b-fl").unwrap();
                blades.part = PartId::new("ccw").unwrap();
            },
            expect![[r#"
                broken · 3-inch blades, anticlockwise on m-fl
                  Motor m-fl is set to turn clockwise, its blades pull when they turn anticlockwise: it would push down
                  > Put clockwise blades on m-fl, or set it to turn anticlockwise.
                  > Take all blades off before you plug anything in to change or test a direction.
                sound · 3-inch blades, anticlockwise on m-fr
                  Motor and blades turn anticlockwise
                sound · 3-inch blades, anticlockwise on m-rl
                  Motor and blades turn anticlockwise
                sound · 3-inch blades, clockwise on m-rr
                  Motor and blades turn clockwise
                sound · directions of the four motors
                  Diagonal pairs turn alike, neighbours opposite
            "#]],
        );
    }

    #[test]
    fn neighbours_that_turn_alike_are_broken() {
        check(
            |craft| {
                for blades in ["b-fl", "b-fr", "b-rl", "b-rr"] {
                    remove_place(craft, blades);
                }
                set(craft, "place m-fr.spin", "clockwise");
            },
            expect![[r#"
                broken · directions of the four motors
                  Neighbours must turn opposite, but m-rr and m-fr both turn clockwise and m-fr and m-fl both turn clockwise: nothing holds the nose
                  > Set m-rr and m-fl to turn one way, m-fr and m-rl the other, and put blades on to match.
                  > Take all blades off before you plug anything in to change or test a direction.
            "#]],
        );
    }

    #[test]
    fn an_unknown_direction_is_named() {
        check(
            |craft| set(craft, "place m-rr.spin", ""),
            expect![[r#"
                unknown · 3-inch blades, clockwise on m-rr
                  Nobody can say yet: the direction it is set to of place "m-rr" is not known
                  > Measure or look up the direction it is set to of place "m-rr".
                sound · 3-inch blades, clockwise on m-fl
                  Motor and blades turn clockwise
                sound · 3-inch blades, anticlockwise on m-fr
                  Motor and blades turn anticlockwise
                sound · 3-inch blades, anticlockwise on m-rl
                  Motor and blades turn anticlockwise
            "#]],
        );
    }

    #[test]
    fn motors_without_blades_are_not_judged_for_hand() {
        check(
            |craft| {
                for blades in ["b-fl", "b-fr", "b-rl", "b-rr"] {
                    remove_place(craft, blades);
                }
            },
            expect![[r#"
                sound · directions of the four motors
                  Diagonal pairs turn alike, neighbours opposite
            "#]],
        );
    }
}
