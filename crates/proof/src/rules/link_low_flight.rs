//! Does the ground leave the picture at the height that is flown?

use crate::limits::LOW_FLIGHT;
use crate::link::{Attitude, Lack, Link};
use crate::numbers::rounded;
use crate::rule::rule;
use crate::standing::standing;
use crate::subject::{LinkPlan, db, lacking, metres, stationed, wrong};
use crate::working::Lines;
use crate::{Answer, Finding, Proof, Verdict};
use quantity::{Degrees, FigureId, Linear, Metres, Unit};
use radio::{GROUND_SOURCE, break_distance};

rule! {
    /// Does the ground leave the picture at the height that is flown?
    ///
    /// ## Why
    /// Beyond a certain distance the ray off the ground cancels the straight one more and more: twice as far then costs
    /// 12 dB instead of 6. Low and far out is where pictures go that held all the way there higher up.
    ///
    /// ## Sound when
    /// The farthest planned point lies nearer than the break distance, 4·h₁·h₂/λ, or the link has 3 dB or more in hand all
    /// over the last fifth of the way, flying away at that height, fades not counted. Less is tight, under 0 dB broken.
    ///
    /// ## Rests on
    /// The height flown at, that of the station's antennas, the channel, the ground and the rest of the link, with its
    /// doubt. The ground is judged in the open; what is left with what stands about is told beside it and judged by `link.wall_plan` and
    /// `link.margin_at_plan`, or one barn would be three faults. Looked at as closely as the lobes of the ground lie. Two rays over real ground, ITU-R P.527.
    ///
    /// ## Mend
    /// Fly higher out there, or raise the receiver. The height that is named was computed.
    GROUND_LEAVES_IT = "link.low_flight", run
}

/// Where the last fifth of the way begins.
const LAST: f64 = 0.8;

fn run(proof: &Proof) -> Answer {
    let Some(model) = stationed(proof) else { return Answer::default() };
    let judged = match (model.link(), proof.link_plan()) {
        (Ok(link), Some(Ok(plan))) => judge(proof, link, plan),
        (_, Some(Err(lack))) => Err(lack.clone()),
        _ => return Answer::default(),
    };
    let lacks = |lack: Lack| Answer::of(lacking(GROUND_LEAVES_IT.id, "low flight", &lack));
    let answer = judged.unwrap_or_else(lacks);
    let at = |finding: Finding| finding.at([model.unit.clone()]);
    Answer { findings: answer.findings.into_iter().map(at).collect(), ..answer }
}

/// Flying away.
fn flown(plan: &LinkPlan) -> Attitude {
    Attitude::cruising(Degrees::new(0.0), plan.tilt)
}

/// The least margin over the last fifth of the way at a height, flying away, and where.
fn least(link: &Link, plan: &LinkPlan, height: Metres) -> Result<(Metres, f64), radio::RadioFault> {
    let stretch = [plan.fly_to * LAST, plan.fly_to];
    let (at, [margin, _]) = link.least_between(stretch, height, flown(plan), plan.level.at_socket)?;
    Ok((at, margin.get()))
}

fn judge(proof: &Proof, link: &Link, plan: &LinkPlan) -> Result<Answer, Lack> {
    let station = link.grounds.iter().map(|ground| ground.place[2]).fold(0.0, f64::max);
    let breaks = break_distance([Metres::new(station), plan.height], link.carrier).map_err(wrong)?;
    let about = link;
    let link = &link.in_the_open();
    let (at, value) = least(link, plan, plan.height).map_err(wrong)?;
    let (_, behind) = least(about, plan, plan.height).map_err(wrong)?;
    let there = Link::on_line(at, plan.height).map_err(wrong)?;
    let slopes = link.margin_with_doubt(there, flown(plan), &plan.level).map_err(wrong)?.slopes;
    let margin = Linear { value, slopes };
    let (near, height) = (breaks >= plan.fly_to, rounded(plan.height.get(), 1));
    let judged = standing(proof, &margin, &LOW_FLIGHT);
    let judged_verdict = judged.verdict;
    let verdict = if near { Verdict::Sound } else { judged_verdict };
    let message = match verdict {
        Verdict::Sound if near => format!(
            "Flown {height} m high the ground takes over only beyond {}; planned are {}",
            metres(breaks),
            metres(plan.fly_to)
        ),
        Verdict::Sound => format!(
            "Flown {height} m high the ground takes over beyond {}, and {} are left at the end, in the open{}",
            metres(breaks),
            db(value),
            if value - behind < 1.0 {
                String::new()
            } else {
                format!("; with what stands about {} less, of which other rules judge", db(value - behind))
            }
        ),
        _ => format!(
            "Below {height} m behind {} the ground takes the picture: {} {}",
            metres(breaks),
            db(value.abs()),
            if value < 0.0 { "too little" } else { "in hand" }
        ),
    } + &plan.held_words();
    let id = "link.low_flight";
    let figure = Lines::of(proof)
        .given("height of the highest antenna of the station", station, Unit::Metres, "as it stands")
        .given("height flown at", plan.height.get(), Unit::Metres, "planned")
        .given("break distance", breaks.get(), Unit::Metres, "4·h₁·h₂/λ")
        .given("least is in hand at", at.get(), Unit::Metres, "flying away")
        .given(
            "least in hand with what stands about",
            behind,
            Unit::Db,
            "judged by link.wall_plan and link.margin_at_plan",
        )
        .facts(&margin)
        .figure(
            id,
            "in hand over the last fifth of the way at the height flown, in the open",
            (&margin, Unit::Db),
            "least margin over that stretch, the ray off the ground added in phase, sixteen places to a lobe",
            GROUND_SOURCE,
        );
    let mut finding = judged.finding(GROUND_LEAVES_IT.id, "low flight", message);
    finding.verdict = verdict;
    if near && judged_verdict != Verdict::Sound {
        // What is short so near is not the ground's doing: it is told of the farthest planned point.
        (finding.margin, finding.certainty) = (None, None);
        (finding.measure_next, finding.no_single_fact) = (None, None);
    }
    if verdict != Verdict::Sound {
        finding.mends.extend(plan.let_go(value, LOW_FLIGHT.tight));
        finding.mends.extend(higher(proof, link, plan));
    }
    finding.figure = Some(FigureId(id.into()));
    Ok(Answer { findings: vec![finding], figures: vec![figure] })
}

/// The least height, of some, at which enough is in hand.
fn higher(proof: &Proof, link: &Link, plan: &LinkPlan) -> Option<String> {
    if proof.is_trial() {
        return None;
    }
    let heights = [2.0, 3.0, 5.0, 8.0, 12.0, 20.0, 30.0, 50.0].into_iter().filter(|h| *h > plan.height.get());
    let enough =
        |h: &f64| least(link, plan, Metres::new(*h)).is_ok_and(|(_, least)| least >= LOW_FLIGHT.tight);
    let found = heights.into_iter().find(enough);
    Some(match found {
        Some(height) => format!("Fly {height} m high at least out there: then 3 dB and more are in hand."),
        None => "Height alone does not give it back: come nearer, or see the margin at the farthest planned point.".to_owned(),
    })
}

#[cfg(test)]
mod tests {
    use super::GROUND_LEAVES_IT;
    use crate::testing::set;
    use crate::testing_link::{link_is_sound, link_told};
    use craft::Craft;
    use expect_test::{Expect, expect};

    fn check(spoil: impl FnOnce(&mut Craft), expected: Expect) {
        expected.assert_eq(&link_told(&GROUND_LEAVES_IT, spoil));
    }

    #[test]
    fn high_and_near_is_sound() {
        link_is_sound(&GROUND_LEAVES_IT);
    }

    #[test]
    fn what_is_short_nearer_than_the_ground_takes_over_is_not_told_here() {
        check(
            |craft| set(craft, "craft.fly_height", "400 m"),
            expect![[r#"
                sound · low flight
                  Flown 400 m high the ground takes over only beyond 80482 m; planned are 120 m
            "#]],
        );
    }

    #[test]
    fn low_and_far_is_broken_and_a_height_is_told() {
        check(
            |craft| {
                set(craft, "craft.fly_height", "0.4 m");
                set(craft, "craft.fly_to", "1500 m");
            },
            expect![[r#"
                broken · low flight · -8.312 dB · 0 %
                  Below 0.4 m behind 80 m the ground takes the picture: 8.3 dB too little
                  > Fly 2 m high at least out there: then 3 dB and more are in hand.
            "#]],
        );
    }
}
