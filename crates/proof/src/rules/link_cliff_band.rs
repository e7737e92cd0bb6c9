//! Is there a warning before the picture goes?

use crate::limits::CLIFF_BAND;
use crate::link::{Lack, Link, LinkModel};
use crate::rule::rule;
use crate::standing::standing_of;
use crate::subject::{LinkPlan, db, lacking, metres, stationed};
use crate::working::Lines;
use crate::{Answer, Proof, Verdict};
use quantity::{FigureId, Unit};
use radio::{CLIFF_SOURCE, Cliff};

rule! {
    /// Is there a warning before the picture goes?
    ///
    /// ## Why
    /// Digital video is clean until little is in hand, then breaks into blocks and freezes within a few decibels. Who flies
    /// where it still looks clean and nothing is in hand gets no warning: the first block and the last are one moment apart.
    ///
    /// ## Sound when
    /// At the farthest planned point 99 of 100 moments, headings and fades together, leave so much that the picture is whole: 3 dB, or what
    /// the receiver's sheet states for the mode. Less is tight, for it is breaking; under 0 dB it holds less than that:
    /// broken.
    ///
    /// ## Rests on
    /// The same link as the margin at the farthest planned point, with its doubt. Lost below the threshold, breaking to 3 dB,
    /// thin to 6, clean above: common practice. Where the receiver's sheet states from which margin on a mode is whole or clean, that wins.
    ///
    /// ## Mend
    /// Turn home at the first block, not at the freeze; climb, level out, face the omni. What mends the margin mends this too.
    WARNS_IN_TIME = "link.cliff_band", run
}

fn run(proof: &Proof) -> Answer {
    let Some(model) = stationed(proof) else { return Answer::default() };
    let judged = match (model.link(), proof.link_plan()) {
        (Ok(link), Some(Ok(plan))) => judge(proof, model, link, plan),
        (_, Some(Err(lack))) => Err(lack.clone()),
        _ => return Answer::default(),
    };
    let answer =
        judged.unwrap_or_else(|lack| Answer::of(lacking(WARNS_IN_TIME.id, "edge of the picture", &lack)));
    let at = |finding: crate::Finding| finding.at([model.unit.clone()]);
    Answer { findings: answer.findings.into_iter().map(at).collect(), ..answer }
}

fn judge(proof: &Proof, model: &LinkModel, link: &Link, plan: &LinkPlan) -> Result<Answer, Lack> {
    let margin = proof.link_margin(plan.in_hundred)?;
    let cliff = link.threshold.cliff;
    let judged =
        standing_of(proof, &(&margin - CLIFF_BAND.broken), cliff.whole_from().get(), CLIFF_BAND.unit);
    let verdict = judged.verdict;
    let width = cliff.clean_from();
    let own =
        if cliff == Cliff::TYPICAL { CLIFF_SOURCE.place } else { "the receiver's sheet, for this mode" };
    // By the square of the distance alone: so much of the way takes the picture from clean to nothing.
    let last = plan.fly_to * (1.0 - 10f64.powf(-width.get() / 20.0));
    let edge =
        format!("from clean to nothing in {}, as in the last {} of the way", db(width.get()), metres(last));
    let (worst, far) = (plan.in_hundred.get(), metres(plan.fly_to));
    let message = match verdict {
        Verdict::Sound if worst >= width.get() => {
            format!("The worst moment in a hundred leaves {} at {far}: it stays clean", db(worst))
        }
        Verdict::Sound => {
            format!("The worst moment in a hundred leaves {} at {far}: thin, but whole", db(worst))
        }
        _ if worst < 0.0 => {
            format!("No warning at {far}: the worst moment in a hundred lacks {}; {edge}", db(-worst))
        }
        _ => format!("Little warning at {far}: the worst moment in a hundred leaves {}; {edge}", db(worst)),
    } + &plan.held_words();
    let id = "link.margin_in_99";
    let figure = Lines::of(proof)
        .given("in hand in the worst tenth", plan.in_ten.get(), Unit::Db, "link.margin_at_plan")
        .given("whole from", cliff.whole_from().get(), Unit::Db, own)
        .given("from clean to lost", width.get(), Unit::Db, own)
        .facts(&margin)
        .figure(
            id,
            "in hand at the farthest planned point in the worst hundredth of headings and fades",
            (&margin, Unit::Db),
            "x with mean over headings of P(margin - x + fade < 0) = 0.01",
            CLIFF_SOURCE,
        );
    let mut finding = judged.finding(WARNS_IN_TIME.id, "edge of the picture", message);
    if verdict != Verdict::Sound {
        finding =
            finding.mend("Turn home at the first block, not at the freeze; climb, level out, face the omni.");
        // The other rule tells what gives more; it is told there once.
        if plan.in_ten.get() >= crate::limits::MARGIN_AT_PLAN.tight {
            finding.mends.extend(super::link_margin_at_plan::mends(proof, model, link, plan));
        }
    }
    finding.figure = Some(FigureId(id.into()));
    Ok(Answer { findings: vec![finding], figures: vec![figure] })
}

#[cfg(test)]
mod tests {
    use super::WARNS_IN_TIME;
    use crate::testing::set;
    use crate::testing_link::{link_is_sound, link_told};
    use craft::Craft;
    use expect_test::{Expect, expect};

    fn check(spoil: impl FnOnce(&mut Craft), expected: Expect) {
        expected.assert_eq(&link_told(&WARNS_IN_TIME, spoil));
    }

    #[test]
    fn a_short_flight_is_sound() {
        link_is_sound(&WARNS_IN_TIME);
    }

    #[test]
    fn very_far_out_doubt_decides() {
        check(
            |craft| {
                set(craft, "craft.fly_to", "3 km");
            },
            expect![[r#"
                tight · edge of the picture · 1.086 dB · 68 %
                  Little warning at 3000 m: the worst moment in a hundred leaves 1.1 dB; from clean to nothing in 6 dB, as in the last 1496 m of the way
                  > Turn home at the first block, not at the freeze; climb, level out, face the omni.
                  ? level at the socket of level 1 of "Lanner small air unit"
            "#]],
        );
    }

    #[test]
    fn the_receivers_own_cliff_wins_over_the_usual_one() {
        let verdict = |whole: &str, clean: &str| {
            let told = link_told(&WARNS_IN_TIME, |craft| {
                set(craft, "ground.threshold[0].whole", whole);
                set(craft, "ground.threshold[0].clean", clean);
            });
            told.split(' ').next().map(str::to_owned)
        };
        assert_eq!(verdict("", "").as_deref(), Some("sound"));
        assert_eq!(verdict("3 dB", "6 dB").as_deref(), Some("sound"));
        assert_eq!(verdict("28 dB", "30 dB").as_deref(), Some("tight"));
        // A cliff that ends before it begins is told of.
        assert_eq!(verdict("8 dB", "4 dB").as_deref(), Some("unknown"));
    }

    #[test]
    fn a_hall_takes_the_warning_away() {
        check(
            |craft| {
                set(craft, "field.surroundings", "hall");
                set(craft, "craft.fly_to", "300 m");
            },
            expect![[r#"
                broken · edge of the picture · -1.345 dB · 28 %
                  No warning at 300 m: the worst moment in a hundred lacks 1.3 dB; from clean to nothing in 6 dB, as in the last 150 m of the way
                  > Turn home at the first block, not at the freeze; climb, level out, face the omni.
                  ? level at the socket of level 1 of "Lanner small air unit"
            "#]],
        );
    }
}
