//! Has every screw a hole of its own?

use crate::rule::rule;
use crate::subject::meetings;
use crate::{Answer, Finding, Placed, Proof, Verdict};
use craft::schema::fixing;

rule! {
    /// Has every screw a hole of its own?
    ///
    /// ## Why
    /// An adapter is drilled over holes that the long screws of a stack pass already, or a second set is placed where the first
    /// still stands. On paper all holds; on the bench one of the two screws does not go in, and what it was to hold lies loose.
    ///
    /// ## Sound when
    /// No two shafts are in one place: neither in one hole nor across each other. Where they are it is broken. Two screws that come
    /// into one post from its two ends are judged by `fit.screw_length`, heads by `fit.adapter_heads` and `fit.pair_clearance`.
    ///
    /// ## Rests on
    /// Where screws are placed, which way they look, their threads and lengths. Shafts that graze by a tenth of a millimetre are let pass.
    ///
    /// ## Mend
    /// Take away the screws that the others make needless, or move one set to other holes.
    SCREWS_APART = "fit.screws_apart", run
}

fn run(proof: &Proof) -> Answer {
    let (met, count) = meetings(proof);
    let mut answer = Answer::default();
    for meeting in &met {
        let (one, other) = (&meeting.one.part.name, &meeting.other.part.name);
        let ids = [meeting.one, meeting.other].map(|placed| placed.place.id.clone());
        let where_at = match meeting.count {
            1 => "in one hole".to_owned(),
            count => format!("in the same {count} holes"),
        };
        let message = match meeting.in_one_hole {
            true => format!(
                "{one} at place \"{}\" and {other} at place \"{}\" are {where_at}: only one screw goes into a hole",
                ids[0], ids[1]
            ),
            false => format!(
                "{one} at place \"{}\" and {other} at place \"{}\" cross each other inside the craft",
                ids[0], ids[1]
            ),
        };
        let needless = if length(meeting.one) <= length(meeting.other) { &ids[0] } else { &ids[1] };
        let mend = match meeting.in_one_hole {
            true => format!(
                "Take the screws at place \"{needless}\" away if the others hold what they should, or move one of the two to other holes."
            ),
            false => "Take a shorter screw for one of them, or move one of the two.".to_owned(),
        };
        let subject = format!("{one} and {other}");
        let finding = Finding::new(SCREWS_APART.id, Verdict::Broken, subject, message).mend(mend);
        answer.findings.push(finding.at(ids));
    }
    if met.is_empty() && count > 1 {
        let message = format!("Each of {count} screws has a hole of its own");
        answer.findings.push(Finding::new(SCREWS_APART.id, Verdict::Sound, "screws", message));
    }
    answer
}

fn length(placed: Placed) -> f64 {
    placed.part.item().read(&fixing::SCREW_LENGTH).map_or(0.0, |length| length.value.get())
}

#[cfg(test)]
mod tests {
    use super::SCREWS_APART;
    use crate::testing::{part, place, set};
    use crate::testing_stack::{bay_is_sound, bay_told};
    use craft::Craft;
    use craft::schema::PartKind;
    use expect_test::{Expect, expect};

    fn check(spoil: impl FnOnce(&mut Craft), expected: Expect) {
        expected.assert_eq(&bay_told(&SCREWS_APART, spoil));
    }

    fn screws(craft: &mut Craft, on: &str, says: &[(&str, &str)]) {
        let facts = [("thread", "M3"), ("length", "6 mm"), ("head", "button")];
        part(craft, PartKind::Screw, "own", "M3×6 button", &facts);
        place(craft, "own", "own", on, says);
    }

    #[test]
    fn screws_in_holes_of_their_own_are_sound() {
        bay_is_sound(&SCREWS_APART);
    }

    #[test]
    fn a_second_set_in_holes_that_others_pass_is_broken() {
        check(
            |craft| screws(craft, "frame/front stack", &[("z", "0 mm, measured"), ("count", "4")]),
            expect![[r#"
                broken · M2×10 and M3×6 button
                  M2×10 at place "fc-screws" and M3×6 button at place "own" are in the same 4 holes: only one screw goes into a hole
                  > Take the screws at place "own" away if the others hold what they should, or move one of the two to other holes.
            "#]],
        );
    }

    #[test]
    fn a_screw_across_another_is_broken() {
        check(
            |craft| {
                screws(craft, "frame/rear stack", &[("roll", "90°"), ("count", "1")]);
                set(craft, "own.length", "40 mm");
            },
            expect![[r#"
                broken · M2×10 and M3×6 button
                  M2×10 at place "vtx-screws" and M3×6 button at place "own" cross each other inside the craft
                  > Take a shorter screw for one of them, or move one of the two.
            "#]],
        );
    }
}
