//! Is the level no higher than the flight needs?

use crate::limits::{LEVEL_SPARE_STEPS, TIGHT_UNDER};
use crate::link::{Lack, Link, LinkModel, RadioLevel, held_words};
use crate::rule::rule;
use crate::standing::standing_of;
use crate::subject::{LinkPlan, SURELY, Wanted, db, lacking, metres, stationed, within_limit, wrong};
use crate::working::Lines;
use crate::{Answer, Finding, Proof, Verdict};
use quantity::{Db, Dbm, Figure, FigureId, Linear, Unit, chance_at_least, standard_uncertainty};
use radio::{FADING_SOURCE, RadioFault, lowest_step};
use std::f64::consts::LN_10;

rule! {
    /// Is the level no higher than the flight needs?
    ///
    /// ## Why
    /// Every step that the flight does not need heats the transmitter, empties the pack and takes the channel from others
    /// on the field. In a hall it bounces about and makes the picture worse.
    ///
    /// ## Sound when
    /// The level that is set is at most one step above the least that holds the flight, and is 95 % likely to hold it with all doubt: every distance up to the
    /// farthest planned one 99 % of the time, short breaks apart, flying away, coming home and turning to either side as far banked as planned; and 99 of 100
    /// headings and fades together at that point; on all antennas of the station together. Two steps and more above it is tight, and so is a level that is
    /// less likely to hold it. Where no level is enough, nothing is said here: the margin is told of.
    ///
    /// ## Rests on
    /// The levels on the transmitter's sheet, what is left 99 % of the time on the way, every lobe of the ground looked into, and the margin of the worst hundredth of headings and fades at the farthest planned point. A level is enough exactly where its range
    /// reaches that far: both are asked of all antennas together.
    ///
    /// ## Mend
    /// Set the level that is named, lower or, within the limit you stated, higher. Full power is for the day when something is in the way.
    LEVEL_IS_LEAST = "link.level_least", run
}

fn run(proof: &Proof) -> Answer {
    let Some(model) = stationed(proof) else { return Answer::default() };
    let judged = match (model.link(), proof.link_plan()) {
        (Ok(link), Some(Ok(plan))) => judge(proof, model, link, plan),
        (_, Some(Err(lack))) => Err(lack.clone()),
        _ => return Answer::default(),
    };
    let answer = judged.unwrap_or_else(|lack| Answer::of(lacking(LEVEL_IS_LEAST.id, "level", &lack)));
    let at = |finding: Finding| finding.at([model.unit.clone()]);
    Answer { findings: answer.findings.into_iter().map(at).collect(), ..answer }
}

/// Which of the levels is enough.
fn enough(model: &LinkModel, wanted: Dbm) -> Option<(usize, &RadioLevel)> {
    let steps: Vec<Dbm> = model.levels.iter().map(|level| level.at_socket).collect();
    let least = lowest_step(&steps, wanted)?;
    model.levels.iter().enumerate().find(|(_, level)| level.at_socket == least)
}

fn judge(proof: &Proof, model: &LinkModel, link: &Link, plan: &LinkPlan) -> Result<Answer, Lack> {
    let wanted = plan.wanted(link, proof.kept()).map_err(wrong)?;
    let found = enough(model, wanted.level);
    let figure = figure(proof, (link, plan), &wanted, found.map(|(_, level)| level)).map_err(wrong)?;
    // What is set is not what it flies at: other rules say so, and this one has nothing to advise.
    let found = found.filter(|_| plan.held_low.is_none());
    let Some((least, level)) = found else {
        return Ok(Answer { findings: Vec::new(), figures: vec![figure] });
    };
    let set = model.levels.iter().position(|other| other.out == plan.level.out).unwrap_or(least);
    let because = wanted.because();
    let mut finding = if set < least {
        let message = under((model, link), plan, &wanted, level).map_err(wrong)?;
        let mut finding = Finding::new(LEVEL_IS_LEAST.id, Verdict::Tight, "level", message);
        let spare = plan.spare(link, &wanted, level).map_err(wrong)?;
        finding.mends.extend(higher((model, link), plan, level, &likely(proof, &spare)));
        finding
    } else {
        // Enough is what is enough with all doubt: its requirement is 95 % likely to hold.
        let mut surely = None;
        for (n, level) in model.levels.iter().enumerate().skip(least) {
            let spare = plan.spare(link, &wanted, level).map_err(wrong)?;
            if chance_at_least(&spare, &proof.ledger(), 0.0).get() >= TIGHT_UNDER {
                surely = Some((n, level, likely(proof, &spare)));
                break;
            }
        }
        let spare = plan.spare(link, &wanted, &plan.level).map_err(wrong)?;
        match surely {
            Some((first, ..)) if set == first => Finding::new(
                LEVEL_IS_LEAST.id,
                Verdict::Sound,
                "level",
                format!(
                    "{} is the least level that surely holds the flight: most is needed {because}, and it is {} likely to be enough with the doubt of its facts",
                    plan.level.out,
                    likely(proof, &spare)
                ),
            ),
            Some((first, level, chance)) if set > first && ((set - first) as u32) < LEVEL_SPARE_STEPS => {
                Finding::new(
                    LEVEL_IS_LEAST.id,
                    Verdict::Sound,
                    "level",
                    format!(
                        "{} is one step above {}, which would hold to {} as well, {chance} likely",
                        plan.level.out,
                        level.out,
                        metres(plan.fly_to)
                    ),
                )
            }
            Some((first, level, chance)) if set > first => {
                let words = format!(
                    "{} is enough here; {} only heats and disturbs others",
                    level.out, plan.level.out
                );
                let spare = db((level.at_socket - wanted.level).get());
                Finding::new(LEVEL_IS_LEAST.id, Verdict::Tight, "level", words).mend(format!(
                    "Set {}: it holds the way to {} with {spare} to spare, {chance} likely; most is needed {because}.",
                    level.out,
                    metres(plan.fly_to)
                ))
            }
            surely => {
                let message = format!(
                    "{} holds the flight, but with the doubt of its facts that is only {} likely: most is needed {because}, and {} are to spare there",
                    plan.level.out,
                    likely(proof, &spare),
                    db(spare.value)
                );
                let standing = standing_of(proof, &spare, 0.0, Unit::Db);
                let mut finding = standing.finding(LEVEL_IS_LEAST.id, "level", message);
                let reserve = Db::new(SURELY * standard_uncertainty(&spare, &proof.ledger()));
                if let Some((_, level, chance)) = &surely
                    && within_limit(model, level)
                {
                    finding = finding.mend(format!("Set {}: {chance} likely.", level.out));
                }
                if !proof.is_trial() {
                    finding.mends.extend(nearer(link, plan, reserve, finding.mends.is_empty()));
                }
                finding
            }
        }
    };
    finding.figure = Some(FigureId(ID.into()));
    Ok(Answer { findings: vec![finding], figures: vec![figure] })
}

/// How likely so much over nought is to hold.
fn likely(proof: &Proof, spare: &Linear) -> String {
    let chance = chance_at_least(spare, &proof.ledger(), 0.0).get();
    format!("{} %", crate::numbers::rounded((100.0 * chance).min(99.0), 0))
}

/// What is said of a level under the least one: how long all antennas together hold the flight with it where it holds least.
fn under(
    (model, link): (&LinkModel, &Link),
    plan: &LinkPlan,
    wanted: &Wanted,
    least: &RadioLevel,
) -> Result<String, RadioFault> {
    let level = plan.level.at_socket;
    let held = match wanted.flown {
        Some(flown) => link.held_about((wanted.at, level - wanted.level), plan.height, flown, level)?,
        None => plan.held,
    };
    let holds = if within_limit(model, least) {
        format!("{} holds all of it", least.out)
    } else {
        format!(
            "{} would hold all of it, and radiates more than the limit you stated: it is forbidden",
            least.out
        )
    };
    let (set, share, because) = (plan.level.out, held_words(held), wanted.because());
    Ok(format!("{set} is less than the flight needs: it holds {share} of the time {because}; {holds}"))
}

/// What to do about a level that is too low: the least that holds, within the limit that is stated, or a nearer farthest point.
fn higher(
    (model, link): (&LinkModel, &Link),
    plan: &LinkPlan,
    least: &RadioLevel,
    likely: &str,
) -> Vec<String> {
    let mut told = Vec::new();
    if within_limit(model, least) {
        told.push(format!(
            "Set {}: it holds the way to {}, {likely} likely.",
            least.out,
            metres(plan.fly_to)
        ));
    }
    let only = told.is_empty();
    told.extend(nearer(link, plan, Db::new(0.0), only));
    told
}

/// A nearer farthest point, up to which the level that is set leaves so much.
fn nearer(link: &Link, plan: &LinkPlan, reserve: Db, only: bool) -> Option<String> {
    let range = plan.holds_to(link, plan.level.at_socket, reserve).ok()?;
    let or = if only { "Fly" } else { "Or fly" };
    let surely = if reserve > Db::new(0.0) { " surely" } else { "" };
    (range < plan.fly_to && range.get() > 0.0).then(|| {
        format!(
            "{or} no farther than {}, as far as {}{surely} holds however it turns.",
            metres(range),
            plan.level.out
        )
    })
}

const ID: &str = "link.level_least";

fn figure(
    proof: &Proof,
    (link, plan): (&Link, &LinkPlan),
    wanted: &Wanted,
    step: Option<&RadioLevel>,
) -> Result<Figure, RadioFault> {
    let power = wanted.level.power().get();
    // More at the socket than told raises what is in hand; the level that is needed there does not move with it.
    let mut leaning = plan.spare(link, wanted, &plan.level)?;
    leaning.value = 0.0;
    leaning.slopes.retain(|(fact, _)| *fact != plan.level.fact);
    let result = Linear::chained(power, &[(-power * LN_10 / 10.0, &leaning)]);
    let words = step.map_or("more than the unit offers".to_owned(), |level| {
        format!("the next step offered is {}", level.out)
    });
    let over = (wanted.level - plan.level.at_socket).get();
    let mut lines = Lines::of(proof)
        .given("level set", plan.level.at_socket.get(), Unit::Dbm, plan.level.out.to_string())
        .given("farthest planned", plan.fly_to.get(), Unit::Metres, "as planned")
        .given("most is asked for at", wanted.at.get(), Unit::Metres, wanted.because());
    lines = match wanted.flown {
        Some(_) => lines.given(
            "left 99 % of the time on the way, short breaks apart",
            -over,
            Unit::Db,
            wanted.because(),
        ),
        None => lines.given(
            "in hand in the worst hundredth",
            -over,
            Unit::Db,
            "the worst hundredth of headings and fades at the farthest planned point",
        ),
    };
    Ok(lines.facts(&result).figure(
        ID,
        format!(
            "lowest power that holds the way to {} 99 % of the time on all antennas together, short breaks apart, out, home and turning; {words}",
            metres(plan.fly_to)
        ),
        (&result, Unit::Milliwatts),
        "the greater of level set − what is left 99 % of the time on the way, and level set − in hand in the worst hundredth, as power",
        FADING_SOURCE,
    ))
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
                  > Set 25 mW: it holds the way to 120 m with 18.8 dB to spare, 99 % likely; most is needed at 115 m, nose home.
            "#]],
        );
    }

    #[test]
    fn a_level_under_the_least_is_tight_and_the_next_step_is_told() {
        check(
            |craft| {
                set(craft, "craft.fly_to", "400 m");
            },
            expect![[r#"
                tight · level
                  25 mW is less than the flight needs: it holds 96 % of the time at 378 m, turning home to the right, banked 30°; 100 mW would hold all of it, and radiates more than the limit you stated: it is forbidden
                  > Fly no farther than 376 m, as far as 25 mW holds however it turns.
            "#]],
        );
    }

    #[test]
    fn the_level_is_needed() {
        link_names_missing(&LEVEL_IS_LEAST, "craft.level", r#"level set of "Wheatear""#);
    }
}
