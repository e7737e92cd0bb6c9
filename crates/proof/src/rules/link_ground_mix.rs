//! Do the antennas of the station together look over the whole course?

use crate::limits::{COURSE_HALF, COURSE_SOURCE, GROUND_MIX, LOOKS_WITHIN};
use crate::link::{Lack, Link, LinkAntenna, LinkModel, Mounted};
use crate::numbers::{listed, rounded};
use crate::rule::rule;
use crate::standing::standing;
use crate::subject::{LinkPlan, lacking, stationed, wrong};
use crate::working::Lines;
use crate::{Answer, Finding, Proof, Verdict};
use craft::schema::station;
use quantity::{Degrees, FigureId, Linear, Unit};
use radio::{Direction, RadioFault, Turn};

rule! {
    /// Do the antennas of the station together look over the whole course?
    ///
    /// ## Why
    /// Aimed antennas reach far and see little: what flies beside their beam loses 10 dB and more. An omni fills in overhead
    /// and behind. Two aimed ones that look the same way leave the same gap twice.
    ///
    /// ## Sound when
    /// Over the course, 60° to either side of the flying line, no gap of more than 10° is looked into by no antenna. More
    /// is tight, over 30° broken. An antenna looks where it has at least half of its greatest power; an omni, standing upright,
    /// looks all round.
    ///
    /// ## Rests on
    /// Aim, elevation and pattern of each antenna of the station, at the angle above the ground that the farthest planned
    /// point has. Ends of gaps are exact to a hundredth of a degree. Without a map of the course 60° to either
    /// side are common practice.
    ///
    /// ## Mend
    /// Turn an aimed antenna, or add an omni of the same hand. The aim that is named was computed.
    COURSE_IS_LOOKED_AT = "link.ground_mix", run
}

/// Steps over the course; a gap narrower than one is not seen.
const STEPS: u32 = 60;

fn run(proof: &Proof) -> Answer {
    let Some(model) = stationed(proof) else { return Answer::default() };
    let judged = match (model.link(), proof.link_plan()) {
        (Ok(link), Some(Ok(plan))) => judge(proof, model, link, plan),
        (_, Some(Err(lack))) => Err(lack.clone()),
        _ => return Answer::default(),
    };
    let answer = judged.unwrap_or_else(|lack| Answer::of(lacking(COURSE_IS_LOOKED_AT.id, "course", &lack)));
    let at = |finding: Finding| finding.at(model.station.clone());
    Answer { findings: answer.findings.into_iter().map(at).collect(), ..answer }
}

/// The widest gap, in degrees from the flying line, left positive.
fn widest_gap(grounds: &[Mounted], up: Degrees) -> Result<[f64; 2], RadioFault> {
    let looks = |round: f64| -> Result<bool, RadioFault> {
        let way = Direction::of_angles(Degrees::new(round), up)?;
        Ok(grounds.iter().any(|ground| {
            let gain = ground.antenna.gain(ground.turn.inward(way));
            (ground.antenna.greatest_gain().get() - gain.get()) <= LOOKS_WITHIN.get() + 1e-9
        }))
    };
    // Where it changes between two steps, halved down to a hundredth of a degree.
    let edge = |mut from: f64, mut to: f64, at_from: bool| -> Result<f64, RadioFault> {
        while to - from > 0.01 {
            let middle = 0.5 * (from + to);
            if looks(middle)? == at_from { from = middle } else { to = middle }
        }
        Ok(0.5 * (from + to))
    };
    let (half, step) = (COURSE_HALF.get(), 2.0 * COURSE_HALF.get() / f64::from(STEPS));
    let (mut widest, mut open) = ([0.0, 0.0], None);
    let mut before: Option<bool> = None;
    for n in 0..=STEPS {
        let at = -half + step * f64::from(n);
        let now = looks(at)?;
        match (before, now) {
            (None, false) => open = Some(at),
            (Some(true), false) => open = Some(edge(at - step, at, true)?),
            (Some(false), true) => {
                let end = edge(at - step, at, false)?;
                if let Some(from) = open.take().filter(|from| end - from > widest[1] - widest[0]) {
                    widest = [from, end];
                }
            }
            _ => {}
        }
        before = Some(now);
    }
    Ok(match open {
        Some(from) if half - from > widest[1] - widest[0] => [from, half],
        _ => widest,
    })
}

/// How high the farthest planned point stands over the station's antennas.
fn elevation(link: &Link, plan: &LinkPlan) -> Degrees {
    let height =
        link.grounds.iter().map(|ground| ground.place[2]).sum::<f64>() / link.grounds.len().max(1) as f64;
    Degrees::new((plan.height.get() - height).atan2(plan.fly_to.get()).to_degrees())
}

fn judge(proof: &Proof, model: &LinkModel, link: &Link, plan: &LinkPlan) -> Result<Answer, Lack> {
    let up = elevation(link, plan);
    let [from, to] = widest_gap(&link.grounds, up).map_err(wrong)?;
    let gap = Linear::exact(to - from);
    let judged = standing(proof, &gap, &GROUND_MIX);
    let verdict = judged.verdict;
    let names: Vec<&str> = model.grounds.iter().map(|ground| ground.called.as_str()).collect();
    let message = match verdict {
        Verdict::Sound if gap.value == 0.0 => {
            format!(
                "{} look over the whole course, {}° to either side",
                listed(&names),
                rounded(COURSE_HALF.get(), 0)
            )
        }
        _ => format!("Between {} and {} no antenna looks", side(from), side(to)),
    };
    let id = "link.course_gap";
    let figure = Lines::of(proof)
        .given("course to either side of the flying line", COURSE_HALF.get(), Unit::Degrees, COURSE_SOURCE.place)
        .given("looked at from there", up.get(), Unit::Degrees, "angle of the farthest planned point over the ground")
        .given("looks where its gain is within", LOOKS_WITHIN.get(), Unit::Db, "half of its greatest power")
        .figure(
            id,
            "widest part of the course that no antenna of the station looks at",
            (&gap, Unit::Degrees),
            "longest stretch of bearings where the gain of every antenna is more than 3 dB under its greatest",
            GROUND_MIX.source,
        );
    let mut finding = judged.finding(COURSE_IS_LOOKED_AT.id, "course", message);
    if verdict != Verdict::Sound {
        finding.mends.extend(turn(proof, model, link, up, to - from));
        let or = if finding.mends.is_empty() { "Add" } else { "Or add" };
        finding = finding.mend(format!("{or} an upright omni of the same hand: it looks all round."));
    }
    finding.figure = Some(FigureId(id.into()));
    Ok(Answer { findings: vec![finding], figures: vec![figure] })
}

/// A bearing in words.
fn side(at: f64) -> String {
    let degrees = rounded(at.abs(), 0);
    match at {
        at if at.abs() < 0.5 => "the flying line".to_owned(),
        at if at > 0.0 => format!("{degrees}° left"),
        _ => format!("{degrees}° right"),
    }
}

/// The aim of one antenna that closes most of the gap, computed in steps of five degrees.
fn turn(proof: &Proof, model: &LinkModel, link: &Link, up: Degrees, now: f64) -> Option<String> {
    if proof.is_trial() {
        return None;
    }
    let mut best: Option<(f64, String)> = None;
    for (number, ground) in model.grounds.iter().enumerate().filter(|(n, _)| !link.grounds[*n].on_mast) {
        let Some(was) = aim(proof, ground) else { continue };
        for n in -12i32..=12 {
            let aim = f64::from(n) * 5.0;
            let mut grounds = link.grounds.clone();
            let none = Degrees::new(0.0);
            grounds[number].turn = Turn::new(Degrees::new(aim - was), none, none).after(grounds[number].turn);
            let gap = widest_gap(&grounds, up).map(|[from, to]| to - from).ok();
            let less = |gap: &f64| *gap < best.as_ref().map_or(now - 1.0, |(least, _)| *least - 0.01);
            if let Some(gap) = gap.filter(less) {
                let to =
                    if n == 0 { "along the flying line".to_owned() } else { format!("to {}", side(aim)) };
                let words = match gap {
                    gap if gap <= GROUND_MIX.tight => "then no gap is wider than 10°".to_owned(),
                    gap => format!("then {}° are left", rounded(gap, 0)),
                };
                best = Some((gap, format!("Turn {} {to}: {words}.", ground.called)));
            }
        }
    }
    best.map(|(_, words)| words)
}

/// The aim of an antenna of the station, in degrees.
fn aim(proof: &Proof, ground: &LinkAntenna) -> Option<f64> {
    let part = proof.placed_at(&ground.place)?.part;
    let row = part.rows(&station::antenna::TABLE).nth(ground.row?)?;
    Some(row.read(&station::antenna::AIM).ok()?.value.get())
}

#[cfg(test)]
mod tests {
    use super::COURSE_IS_LOOKED_AT;
    use crate::testing::set;
    use crate::testing_link::{link_is_sound, link_told};
    use craft::Craft;
    use expect_test::{Expect, expect};

    fn check(spoil: impl FnOnce(&mut Craft), expected: Expect) {
        expected.assert_eq(&link_told(&COURSE_IS_LOOKED_AT, spoil));
    }

    #[test]
    fn an_omni_beside_a_patch_is_sound() {
        link_is_sound(&COURSE_IS_LOOKED_AT);
    }

    #[test]
    fn a_patch_alone_turned_away_is_broken() {
        check(
            |craft| {
                set(craft, "field.antenna[0].element", "patch");
                set(craft, "field.antenna[0].gain", "8 dBi");
                set(craft, "field.antenna[0].beam_width", "68°");
                set(craft, "field.antenna[0].aim", "40°");
                set(craft, "field.antenna[1].aim", "40°");
            },
            expect![[r#"
                broken · course · -35.91 ° · 0 %
                  Between 60° right and 6° left no antenna looks
                  > Turn patch to 25° right: then no gap is wider than 10°.
                  > Or add an upright omni of the same hand: it looks all round.
            "#]],
        );
    }
}
