//! Is the level no higher than the flight needs?

use crate::limits::LEVEL_SPARE_STEPS;
use crate::link::{LinkModel, RadioLevel};
use crate::rule::rule;
use crate::subject::{LinkPlan, db, lacking, stationed};
use crate::working::Lines;
use crate::{Answer, Finding, Proof, Verdict};
use quantity::{Dbm, FigureId, Linear, Source, Unit};
use radio::lowest_step;

rule! {
    /// Is the level no higher than the flight needs?
    ///
    /// ## Why
    /// Every step that the flight does not need heats the transmitter, empties the pack and takes the channel from others
    /// on the field. In a hall it bounces about and makes the picture worse.
    ///
    /// ## Sound when
    /// The level that is set is at most one step above the least that holds the farthest planned point 99 times in 100. Two
    /// steps and more above it is tight. Where no level is enough, nothing is said here: the margin is told of.
    ///
    /// ## Rests on
    /// The levels on the transmitter's sheet and the margin of the worst hundredth of headings and fades at the farthest
    /// planned point.
    ///
    /// ## Mend
    /// Set the lower level. Full power is for the day when something is in the way.
    LEVEL_IS_LEAST = "link.level_least", run
}

fn run(proof: &Proof) -> Answer {
    let Some(model) = stationed(proof) else { return Answer::default() };
    let answer = match proof.link_plan() {
        Some(Ok(plan)) => judge(proof, model, plan),
        Some(Err(lack)) => Answer::of(lacking(LEVEL_IS_LEAST.id, "level", lack)),
        None => return Answer::default(),
    };
    let at = |finding: Finding| finding.at([model.unit.clone()]);
    Answer { findings: answer.findings.into_iter().map(at).collect(), ..answer }
}

/// Which of the levels is enough.
fn enough<'m>(model: &'m LinkModel, plan: &LinkPlan) -> Option<(usize, &'m RadioLevel)> {
    let steps: Vec<Dbm> = model.levels.iter().map(|level| level.at_socket).collect();
    let least = lowest_step(&steps, plan.level.at_socket - plan.in_hundred)?;
    model.levels.iter().enumerate().find(|(_, level)| level.at_socket == least)
}

fn judge(proof: &Proof, model: &LinkModel, plan: &LinkPlan) -> Answer {
    let Some((least, level)) = enough(model, plan) else { return Answer::default() };
    let set = model.levels.iter().position(|other| other.out == plan.level.out).unwrap_or(least);
    let above = set.saturating_sub(least) as u32;
    let after = plan.in_hundred.get() + (level.at_socket - plan.level.at_socket).get();
    let (verdict, message) = match above {
        _ if set < least => (
            Verdict::Sound,
            format!(
                "{} is no more than the flight needs; {} would hold it 99 times in 100",
                plan.level.out, level.out
            ),
        ),
        0 => (Verdict::Sound, format!("{} is the least level that holds the flight", plan.level.out)),
        above if above < LEVEL_SPARE_STEPS => (
            Verdict::Sound,
            format!(
                "{} is one step above {}, which would hold the flight as well",
                plan.level.out, level.out
            ),
        ),
        _ => (
            Verdict::Tight,
            format!("{} is enough here; {} only heats and disturbs others", level.out, plan.level.out),
        ),
    };
    let id = "link.level_least";
    let wanted = plan.level.at_socket - plan.in_hundred;
    let figure = Lines::of(proof)
        .given("level set", plan.level.at_socket.get(), Unit::Dbm, plan.level.out.to_string())
        .given("in hand in the worst hundredth", plan.in_hundred.get(), Unit::Db, "link.margin_in_99")
        .given("least step that is enough", level.at_socket.get(), Unit::Dbm, level.out.to_string())
        .figure(
            id,
            "level that holds the farthest planned point 99 times in 100",
            (&Linear::exact(wanted.get()), Unit::Dbm),
            "level set - in hand in the worst hundredth",
            Source::common_practice("no more power than the flight needs"),
        );
    let mut finding = Finding::new(LEVEL_IS_LEAST.id, verdict, "level", message);
    if verdict == Verdict::Tight {
        finding = finding.mend(format!(
            "Set {}: the worst moment in a hundred still leaves {}.",
            level.out,
            db(after)
        ));
    }
    finding.figure = Some(FigureId(id.into()));
    Answer { findings: vec![finding], figures: vec![figure] }
}

#[cfg(test)]
mod tests {
    use super::LEVEL_IS_LEAST;
    use crate::testing::set;
    use crate::testing_link::{link_is_sound, link_names_missing, link_told};
    use craft::Craft;
    use expect_test::{Expect, expect};

    fn check(spoil: impl FnOnce(&mut Craft), expected: Expect) {
        expected.assert_eq(&link_told(&LEVEL_IS_LEAST, spoil));
    }

    #[test]
    fn the_least_level_is_sound() {
        link_is_sound(&LEVEL_IS_LEAST);
    }

    #[test]
    fn two_steps_more_is_tight() {
        check(
            |craft| {
                set(craft, "craft.level", "400 mW");
            },
            expect![[r#"
                tight · level
                  25 mW is enough here; 400 mW only heats and disturbs others
                  > Set 25 mW: the worst moment in a hundred still leaves 26 dB.
            "#]],
        );
    }

    #[test]
    fn the_level_is_needed() {
        link_names_missing(&LEVEL_IS_LEAST, "craft.level", r#"level set of "Wheatear""#);
    }
}
