//! Is every push-on plug held against a tug?

use crate::limits::RELIEF_AWAY;
use crate::numbers::mm;
use crate::rule::rule;
use crate::standing::standing;
use crate::subject::firsts_of_rows;
use crate::working::Lines;
use crate::{Answer, Finding, PlugHold, Proof, Verdict};
use fit::{RELIEF_WITHIN, Relief};
use quantity::{FigureId, Unit};

rule! {
    /// Is every push-on plug held against a tug?
    ///
    /// ## Why
    /// Miniature plugs of camera harness and coax hold by friction. A tug in a crash pulls them off in the air, and a
    /// transmitter without antenna burns its output in seconds.
    ///
    /// ## Sound when
    /// A strain relief lies within 10 mm of every such plug. Farther away it is tight; with none on the lead at all it
    /// is broken. A tie across the edge of the board carries the jerk, one round the plug does not.
    ///
    /// ## Rests on
    /// Where plugs and strain reliefs are; holes of a printed part that are named for one, as those of an antenna holder, count for
    /// the tie through them. Common practice. Threaded plugs are held by their nut and the frame.
    ///
    /// ## Mend
    /// A maker's clamp bar, a tie through two holes 5 to 8 mm behind the plug, a dab of flexible glue (no hot glue on
    /// hot boards), a printed keeper. Leave a loop of 3 to 5 mm before it.
    RELIEF_PRESENT = "fit.relief_present", run
}

fn run(proof: &Proof) -> Answer {
    let mut answer = Answer::default();
    let plugs = proof.push_on_plugs();
    // What is joined hangs as one lead.
    let firsts = firsts_of_rows(proof);
    let row = |plug: &PlugHold| firsts.get(&plug.lead).copied().unwrap_or(plug.lead);
    for plug in plugs {
        let holds =
            |plug: &&PlugHold| plug.relief.as_ref().is_some_and(|r| r.distance.value <= RELIEF_WITHIN.get());
        let others = plugs.iter().filter(|other| row(other) == row(plug));
        let finding = match &plug.relief {
            Some(relief) if holds(&plug) || others.clone().any(|other| holds(&other)) => {
                judge(proof, plug, relief, &mut answer)
            }
            _ => unheld(plug),
        };
        answer.findings.push(finding.at(plug.places(proof)));
    }
    answer
}

fn unheld(plug: &PlugHold) -> Finding {
    let message = format!("Nothing holds {}: a tug in a crash unplugs it in the air", plug.called);
    let finding = Finding::new(RELIEF_PRESENT.id, Verdict::Broken, plug.called.clone(), message);
    finding.mend(format!(
        "Tie the lead to the board's edge or through two holes 5 to 8 mm behind the plug, or fit a clamp bar, within {}; \
         enter it as a strain relief.",
        mm(RELIEF_WITHIN.get())
    ))
}

fn judge(proof: &Proof, plug: &PlugHold, relief: &Relief, answer: &mut Answer) -> Finding {
    let name = &proof.inputs().solids[relief.solid.0 as usize].solid.name;
    let judged = standing(proof, &relief.distance, &RELIEF_AWAY);
    let (verdict, away) = (judged.verdict, mm(relief.distance.value));
    let id = format!("fit.relief_distance[{}]", plug.called);
    answer.figures.push(Lines::of(proof).facts(&relief.distance).figure(
        id.clone(),
        "push-on plug to its strain relief",
        (&relief.distance, Unit::Millimetres),
        "nearest distance of plug and strain relief",
        RELIEF_AWAY.source,
    ));
    let message = match verdict {
        Verdict::Sound => format!("{name} holds {}, {away} from it", plug.called),
        _ => {
            format!("{name} is {away} from {}: it holds within {} only", plug.called, mm(RELIEF_WITHIN.get()))
        }
    };
    // Beyond reach it still holds the lead at its other end: that is little in hand, not broken.
    let verdict = verdict.max(Verdict::Tight);
    let mut finding = judged.finding(RELIEF_PRESENT.id, plug.called.clone(), message);
    finding.verdict = verdict;
    finding.figure = Some(FigureId(id.into()));
    match verdict {
        Verdict::Sound => finding,
        _ => finding.mend(format!(
            "Put a strain relief within {} of {}.",
            mm(RELIEF_WITHIN.get()),
            plug.called
        )),
    }
}

#[cfg(test)]
mod tests {
    use super::RELIEF_PRESENT;
    use crate::testing::{part, place, row};
    use crate::testing::{remove_place, set};
    use crate::testing_stack::led_told;
    use craft::Craft;
    use expect_test::{Expect, expect};

    fn check(spoil: impl FnOnce(&mut Craft), expected: Expect) {
        expected.assert_eq(&led_told(&RELIEF_PRESENT, spoil));
    }

    #[test]
    fn plugs_held_close_by_are_sound() {
        check(
            |_| {},
            expect![[r#"
            sound · plug harness of nano camera · 10 mm · 100 %
              clamp bar (bar-cam) holds plug harness of nano camera, 0 mm from it
            sound · plug camera of video transmitter · 10 mm · 100 %
              clamp bar (bar-vtx) holds plug camera of video transmitter, 0 mm from it
            sound · plug coax of video transmitter · 10 mm · 100 %
              clamp bar (bar-coax) holds plug coax of video transmitter, 0 mm from it
        "#]],
        );
    }

    #[test]
    fn a_relief_too_far_away_is_tight() {
        check(
            |craft| set(craft, "place bar-vtx.y", "30 mm, measured"),
            expect![[r#"
            tight · plug camera of video transmitter · -12 mm · 0 %
              clamp bar (bar-vtx) is 22 mm from plug camera of video transmitter: it holds within 10 mm only
              > Put a strain relief within 10 mm of plug camera of video transmitter.
            sound · plug harness of nano camera · 10 mm · 100 %
              clamp bar (bar-cam) holds plug harness of nano camera, 0 mm from it
            sound · plug coax of video transmitter · 10 mm · 100 %
              clamp bar (bar-coax) holds plug coax of video transmitter, 0 mm from it
        "#]],
        );
    }

    #[test]
    fn holes_for_a_tie_in_a_printed_part_hold() {
        check(
            |craft| {
                remove_place(craft, "bar-coax");
                let facts = [("mass", "2 g, measured")];
                part(craft, craft::schema::PartKind::PrintedPart, "print", "printed keeper", &facts);
                let plate = [
                    ("name", "base"),
                    ("role", "other"),
                    ("thickness", "2 mm, measured"),
                    ("outline", "-6,-6; 6,-6; 6,6; -6,6"),
                ];
                row(craft, "print", "plate", &plate);
                for (name, u) in [("strain relief left", "4 mm, measured"), ("screw", "-4 mm, measured")] {
                    let hole = [
                        ("name", name),
                        ("plate", "base"),
                        ("u", u),
                        ("v", "0 mm"),
                        ("diameter", "3 mm, measured"),
                    ];
                    row(craft, "print", "hole", &hole);
                }
                place(craft, "print", "print", "vtx", &[("x", "-26 mm, measured"), ("z", "4 mm, measured")]);
            },
            expect![[r#"
                sound · plug harness of nano camera · 10 mm · 100 %
                  clamp bar (bar-cam) holds plug harness of nano camera, 0 mm from it
                sound · plug camera of video transmitter · 10 mm · 100 %
                  clamp bar (bar-vtx) holds plug camera of video transmitter, 0 mm from it
                sound · plug coax of video transmitter · 2.982 mm · 100 %
                  plate base of printed keeper holds plug coax of video transmitter, 7 mm from it
            "#]],
        );
    }

    #[test]
    fn a_lead_with_no_relief_at_all_is_broken() {
        check(
            |craft| remove_place(craft, "bar-coax"),
            expect![[r#"
            broken · plug coax of video transmitter
              Nothing holds plug coax of video transmitter: a tug in a crash unplugs it in the air
              > Tie the lead to the board's edge or through two holes 5 to 8 mm behind the plug, or fit a clamp bar, within 10 mm; enter it as a strain relief.
            sound · plug harness of nano camera · 10 mm · 100 %
              clamp bar (bar-cam) holds plug harness of nano camera, 0 mm from it
            sound · plug camera of video transmitter · 10 mm · 100 %
              clamp bar (bar-vtx) holds plug camera of video transmitter, 0 mm from it
        "#]],
        );
    }
}
