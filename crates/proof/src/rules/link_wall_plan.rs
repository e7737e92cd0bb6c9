//! Does the picture hold behind what stands in the way?

use crate::limits::WALL_PLAN;
use crate::link::{Attitude, Lack, Link, LinkModel, LinkObstacle, MarginPoint};
use crate::numbers::rounded;
use crate::rule::rule;
use crate::standing::standing;
use crate::subject::{LinkPlan, NEAREST, db, in_the_open, lacking, metres, stationed, wrong};
use crate::working::Lines;
use crate::{Answer, Finding, Proof, Verdict};
use quantity::{Degrees, FigureId, Linear, Metres, Unit};
use radio::{EDGE_SOURCE, RadioFault};

rule! {
    /// Does the picture hold behind what stands in the way?
    ///
    /// ## Why
    /// A barn or a row of trees takes 10 to 30 dB, and the picture goes within a metre or two of flying behind it, at a
    /// distance that holds a dozen times over in the open.
    ///
    /// ## Sound when
    /// Along the flying line, at the planned height, 6 dB or more are in hand wherever an obstacle takes a decibel or more,
    /// flying away, fades not counted. Less is tight, under 0 dB broken.
    ///
    /// ## Rests on
    /// What is entered of each obstacle, the station's antennas, and the rest of the link, with its doubt. What passes
    /// through and what goes over and round are both computed and the greater counts for most; leaves by their depth. Looked
    /// at on 24 places evenly along the line. ITU-R P.526 and P.2040.
    ///
    /// ## Mend
    /// Stand where the line is clear: the place that is named was computed, the flight unchanged. Or fly over it, not behind.
    SEEN_BEHIND_WALLS = "link.wall_plan", run
}

/// Places along the line.
const PLACES: u32 = 24;
/// What an obstacle takes before the craft counts as behind it.
const BEHIND: f64 = 1.0;

fn run(proof: &Proof) -> Answer {
    let Some(model) = stationed(proof).filter(|model| !model.obstacles.is_empty()) else {
        return Answer::default();
    };
    let judged = match (model.link(), proof.link_plan()) {
        (Ok(link), Some(Ok(plan))) => judge(proof, model, link, plan),
        (_, Some(Err(lack))) => Err(lack.clone()),
        _ => return Answer::default(),
    };
    let answer = judged.unwrap_or_else(|lack| Answer::of(lacking(SEEN_BEHIND_WALLS.id, "obstacles", &lack)));
    let at = |finding: Finding| finding.at(model.station.clone());
    Answer { findings: answer.findings.into_iter().map(at).collect(), ..answer }
}

/// Places evenly along the line up to the farthest planned point.
fn places(plan: &LinkPlan) -> Vec<Metres> {
    let (near, far) = (NEAREST.get().min(plan.fly_to.get()), plan.fly_to.get());
    (1..=PLACES).map(|n| Metres::new(near + (far - near) * f64::from(n) / f64::from(PLACES))).collect()
}

fn along(
    link: &Link,
    plan: &LinkPlan,
    places: &[Metres],
    height: Metres,
) -> Result<Vec<MarginPoint>, RadioFault> {
    let flown = Attitude::cruising(Degrees::new(0.0), plan.tilt);
    link.margin_over(places, height, flown, plan.level.at_socket)
}

fn judge(proof: &Proof, model: &LinkModel, link: &Link, plan: &LinkPlan) -> Result<Answer, Lack> {
    let places = places(plan);
    let with = along(link, plan, &places, plan.height).map_err(wrong)?;
    let without = along(&in_the_open(link), plan, &places, plan.height).map_err(wrong)?;
    let taken = |n: usize| (without[n].margin - with[n].margin).get();
    let behind: Vec<usize> = (0..with.len()).filter(|n| taken(*n) > BEHIND).collect();
    let Some(worst) =
        behind.iter().copied().min_by(|a, b| with[*a].margin.get().total_cmp(&with[*b].margin.get()))
    else {
        let message =
            format!("Nothing stands between the station and the flying line up to {}", metres(plan.fly_to));
        return Ok(Answer::of(Finding::new(SEEN_BEHIND_WALLS.id, Verdict::Sound, "obstacles", message)));
    };
    let value = with[worst].margin.get();
    let margin = Linear { value, slopes: proof.link_margin(plan.in_ten)?.slopes };
    let judged = standing(proof, &margin, &WALL_PLAN);
    let verdict = judged.verdict;
    let name = crossed(model, link, with[worst].distance).map_or("what stands about", |o| o.name.as_str());
    let step = plan.fly_to.get() / f64::from(PLACES);
    let lost = behind.iter().filter(|n| with[**n].margin.get() < 0.0).count() as f64 * step;
    let message = match verdict {
        Verdict::Sound => {
            format!("Behind {name} {} are in hand at worst; it takes {}", db(value), db(taken(worst)))
        }
        Verdict::Broken => format!(
            "Behind {name} the picture breaks for some {}: {} too little, for it takes {}",
            metres(Metres::new(lost)),
            db(-value),
            db(taken(worst).min(99.0))
        ),
        _ => format!("Behind {name} only {} are in hand; it takes {}", db(value), db(taken(worst))),
    };
    let id = "link.margin_behind";
    let figure = Lines::of(proof)
        .given(
            "in hand there with nothing in the way",
            without[worst].margin.get(),
            Unit::Db,
            "same place and attitude",
        )
        .given(
            "taken by what stands about",
            -taken(worst),
            Unit::Db,
            "through, over and round; leaves by depth",
        )
        .given("distance", with[worst].distance.get(), Unit::Metres, "the worst of 24 places along the line")
        .facts(&margin)
        .figure(
            id,
            "in hand at the worst place behind an obstacle",
            (&margin, Unit::Db),
            "least margin over the places where obstacles take more than 1 dB",
            EDGE_SOURCE,
        );
    let mut finding = judged.finding(SEEN_BEHIND_WALLS.id, "obstacles", message);
    if verdict != Verdict::Sound {
        let there: Vec<Metres> = behind.iter().map(|n| with[*n].distance).collect();
        finding.mends.extend(elsewhere(proof, (link, plan), &there, value));
        finding.mends.extend(over(proof, (link, plan), &there));
    }
    finding.figure = Some(FigureId(id.into()));
    Ok(Answer { findings: vec![finding], figures: vec![figure] })
}

/// The obstacle that the straight way to a place on the line passes, seen from above.
fn crossed<'m>(model: &'m LinkModel, link: &Link, distance: Metres) -> Option<&'m LinkObstacle> {
    let station = link.grounds.first()?.place;
    let (a, b) = ([station[0], station[1]], [distance.get(), 0.0]);
    let side =
        |p: [f64; 2], q: [f64; 2], r: [f64; 2]| (q[0] - p[0]) * (r[1] - p[1]) - (q[1] - p[1]) * (r[0] - p[0]);
    let meets =
        |p: [f64; 2], q: [f64; 2]| side(a, b, p) * side(a, b, q) < 0.0 && side(p, q, a) * side(p, q, b) < 0.0;
    let passes = |obstacle: &&LinkObstacle| {
        let ring = &obstacle.outline;
        (0..ring.len()).any(|n| meets(ring[n], ring[(n + 1) % ring.len()]))
    };
    model.obstacles.iter().find(passes)
}

/// Where to stand instead, of some places near by.
fn elsewhere(proof: &Proof, (link, plan): (&Link, &LinkPlan), there: &[Metres], now: f64) -> Option<String> {
    if proof.is_trial() {
        return None;
    }
    let moves = [5.0, 10.0, 20.0, 40.0].into_iter().flat_map(|by| [[0.0, by], [0.0, -by], [by, 0.0]]);
    let mut best: Option<(f64, String)> = None;
    for [ahead, aside] in moves {
        let mut moved = link.clone();
        for ground in &mut moved.grounds {
            ground.place[0] += ahead;
            ground.place[1] += aside;
        }
        let Ok(points) = along(&moved, plan, there, plan.height) else { continue };
        let least = points.iter().map(|point| point.margin.get()).fold(f64::INFINITY, f64::min);
        if least < now + 2.0 || best.as_ref().is_some_and(|(known, _)| least <= *known + 0.5) {
            continue;
        }
        let by = rounded(ahead.abs().max(f64::abs(aside)), 0);
        let whither = match (ahead, aside) {
            (ahead, _) if ahead > 0.0 => "further ahead",
            (_, aside) if aside > 0.0 => "to the left",
            _ => "to the right",
        };
        best = Some((least, format!("Stand {by} m {whither}: {} better there.", db(least - now))));
        if least >= WALL_PLAN.tight {
            break;
        }
    }
    best.map(|(_, words)| words)
}

/// How high to fly there instead.
fn over(proof: &Proof, (link, plan): (&Link, &LinkPlan), there: &[Metres]) -> Option<String> {
    if proof.is_trial() {
        return None;
    }
    let heights = [5.0, 8.0, 12.0, 16.0, 20.0, 30.0].into_iter().filter(|height| *height > plan.height.get());
    let enough = |height: &f64| {
        let points = along(link, plan, there, Metres::new(*height));
        points.is_ok_and(|points| points.iter().all(|point| point.margin.get() >= WALL_PLAN.tight))
    };
    heights
        .into_iter()
        .find(enough)
        .map(|height| format!("Or fly {height} m high there: then 6 dB and more are in hand."))
}

#[cfg(test)]
mod tests {
    use super::SEEN_BEHIND_WALLS;
    use crate::testing::set;
    use crate::testing_link::{link_is_sound, link_told};
    use craft::Craft;
    use expect_test::{Expect, expect};

    fn check(spoil: impl FnOnce(&mut Craft), expected: Expect) {
        expected.assert_eq(&link_told(&SEEN_BEHIND_WALLS, spoil));
    }

    #[test]
    fn a_shed_aside_is_sound() {
        link_is_sound(&SEEN_BEHIND_WALLS);
    }

    #[test]
    fn a_shed_on_the_line_is_broken_and_a_clear_place_is_told() {
        check(
            |craft| {
                set(craft, "field.obstacle[0].aside", "0 m");
                set(craft, "craft.fly_height", "3 m");
                set(craft, "field.obstacle[0].material", "metal");
                set(craft, "field.obstacle[0].thickness", "1 mm");
                set(craft, "field.obstacle[0].width", "20 m");
            },
            expect![[r#"
                broken · obstacles · -22.439 dB · 0 %
                  Behind shed the picture breaks for some 70 m: 22.4 dB too little, for it takes 60.3 dB
                  > Stand 40 m to the left: 6.6 dB better there.
                  > Or fly 8 m high there: then 6 dB and more are in hand.
            "#]],
        );
    }
}
