//! Is there a warning before the picture goes?

use crate::limits::CLIFF_BAND;
use crate::link::{Lack, Link, LinkModel};
use crate::rule::rule;
use crate::standing::{Standing, standing_of};
use crate::subject::{LinkPlan, db, lacking, metres, stationed, wrong};
use crate::working::Lines;
use crate::{Answer, Proof, Verdict};
use quantity::{FigureId, Unit};
use radio::{CLIFF_SOURCE, Cliff, Picture};

rule! {
    /// Is there a warning before the picture goes?
    ///
    /// ## Why
    /// Digital video is clean until little is in hand, then breaks into blocks and freezes within a few decibels. Who flies
    /// where it still looks clean and nothing is in hand gets no warning: the first block and the last are one moment apart.
    ///
    /// ## Sound when
    /// At the farthest planned point 99 of 100 moments, headings and fades together, leave so much that the picture comes without blocks: 3 dB, or what
    /// the receiver's sheet states for the mode. Less is tight; under 0 dB it holds less of the time than that and breaks: broken. Where less than
    /// those 3 dB are left 99 % of the time elsewhere on the way, out, home and turning as banked as planned, short breaks apart, it is tight as well.
    ///
    /// ## Rests on
    /// The same link as the margin at the farthest planned point and as the least level, with its doubt. Lost below the threshold, blocks to 3 dB above it,
    /// clean from 6 dB: common practice. Where the receiver's sheet states from which margin on a mode is whole or clean, that wins.
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
    let wanted = plan.wanted(link, proof.kept()).map_err(wrong)?;
    // What is left on the way, where that is less than at its end.
    let on_way = wanted.flown.map(|_| plan.level.at_socket - wanted.level);
    let low = on_way.filter(|left| *left < cliff.whole_from());
    let at_end = judged.verdict;
    let verdict = if low.is_some() { at_end.min(Verdict::Tight) } else { at_end };
    let width = cliff.clean_from();
    let own =
        if cliff == Cliff::TYPICAL { CLIFF_SOURCE.place } else { "the receiver's sheet, for this mode" };
    // By the square of the distance alone: so much of the way takes the picture from clean to nothing.
    let last = plan.fly_to * (1.0 - 10f64.powf(-width.get() / 20.0));
    let edge =
        format!("from clean to nothing in {}, as in the last {} of the way", db(width.get()), metres(last));
    let (worst, far) = (plan.in_hundred.get(), metres(plan.fly_to));
    // At that point the words are those that all panes have for it.
    let message = match cliff.picture(plan.in_hundred, plan.in_hundred) {
        Picture::Clean if at_end == Verdict::Sound => {
            format!("The worst moment in a hundred leaves {} at {far}: it stays clean", db(worst))
        }
        Picture::Thin if at_end == Verdict::Sound => {
            format!("The worst moment in a hundred leaves {} at {far}: thin, and without blocks", db(worst))
        }
        Picture::Clean | Picture::Thin => {
            format!("Little warning at {far}: the worst moment in a hundred leaves {}; {edge}", db(worst))
        }
        Picture::Breaking | Picture::Lost => {
            format!(
                "No warning at {far}: the picture breaks, the worst moment in a hundred lacks {}; {edge}",
                db(-worst)
            )
        }
    } + &low.map_or(String::new(), |left| match left.get() {
        lacks if lacks < 0.0 => format!(
            "; on the way it breaks, with no warning {}: the worst moment in a hundred lacks {}",
            wanted.because(),
            db(-lacks)
        ),
        few => format!(
            "; on the way there is little warning {}: the worst moment in a hundred leaves {}",
            wanted.because(),
            db(few)
        ),
    }) + &plan.held_words();
    let id = "link.margin_in_99";
    let mut lines = Lines::of(proof)
        .given("in hand in the worst tenth", plan.in_ten.get(), Unit::Db, "link.margin_at_plan")
        .given("whole from", cliff.whole_from().get(), Unit::Db, own)
        .given("from clean to lost", width.get(), Unit::Db, own);
    if let Some(left) = on_way {
        lines = lines.given("less is left on the way", left.get(), Unit::Db, wanted.because());
    }
    let figure = lines.facts(&margin).figure(
        id,
        "in hand at the farthest planned point in the worst hundredth of headings and fades",
        (&margin, Unit::Db),
        "x with mean over headings of P(margin - x + fade < 0) = 0.01",
        CLIFF_SOURCE,
    );
    let mut finding =
        Standing { verdict, ..judged }.finding(WARNS_IN_TIME.id, "edge of the picture", message);
    if verdict != Verdict::Sound {
        finding =
            finding.mend("Turn home at the first block, not at the freeze; climb, level out, face the omni.");
        // The other rule tells what gives more; it is told there once.
        if at_end != Verdict::Sound && plan.in_ten.get() >= crate::limits::MARGIN_AT_PLAN.tight {
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
                  Little warning at 3000 m: the worst moment in a hundred leaves 1.1 dB; from clean to nothing in 6 dB, as in the last 1496 m of the way; on the way it breaks, with no warning at 1514 m, turning home to the left, banked 30°: the worst moment in a hundred lacks 25.3 dB
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
                  No warning at 300 m: the picture breaks, the worst moment in a hundred lacks 1.3 dB; from clean to nothing in 6 dB, as in the last 150 m of the way; on the way it breaks, with no warning at 300 m, turning away to the right, banked 30°: the worst moment in a hundred lacks 2.9 dB
                  > Turn home at the first block, not at the freeze; climb, level out, face the omni.
                  ? level at the socket of level 1 of "Lanner small air unit"
            "#]],
        );
    }
}
