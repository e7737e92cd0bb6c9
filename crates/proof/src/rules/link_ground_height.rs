//! Would a higher receiver give more?

use super::link_margin_at_plan::raised;
use crate::limits::{GROUND_HEIGHT_GAIN, RECEIVER_HIGH};
use crate::link::{Lack, Link, LinkModel};
use crate::numbers::rounded;
use crate::rule::rule;
use crate::subject::{LinkPlan, db, lacking, reaches, stationed, wrong};
use crate::working::Lines;
use crate::{Answer, Finding, Proof, Verdict};
use quantity::{Db, FigureId, Linear, Metres, Unit};
use radio::{GROUND_SOURCE, RadioFault};

rule! {
    /// Would a higher receiver give more?
    ///
    /// ## Why
    /// Off the ground comes a second ray that takes from the first, the more the lower both ends are. A receiver in the lap
    /// gives away what no level buys back; a tripod costs nothing, heats nothing, disturbs nobody.
    ///
    /// ## Sound when
    /// Raising the station's antennas to 2.5 m gives less than 4 dB over the last part of the way. More is tight: it is there
    /// for the taking. So are antennas under 0.7 m: there grass, people and cars stand before them, and the first null of the ground ends the range early,
    /// whatever the mean says. Nothing here is ever broken.
    ///
    /// ## Rests on
    /// Heights of both ends, the ground, the antennas and the channel: the mean over eight distances in the last third of the
    /// planned way, flying away, so that no single lobe of the ground decides; what stands about is left out. Two rays over real ground, ITU-R P.527.
    ///
    /// ## Mend
    /// A tripod or a pole. Mind the coax: take the receiver up, not the antenna alone.
    RECEIVER_IS_HIGH = "link.ground_height", run
}

/// Lower than this antennas stand among what walks and grows there. Common practice: a receiver in the lap or on the ground, 2 to 3 m on a pole.
const LEAST_HEIGHT: Metres = Metres::new(0.7);
/// Distances in the last third of the way.
const DISTANCES: u32 = 8;

fn run(proof: &Proof) -> Answer {
    let Some(model) = stationed(proof) else { return Answer::default() };
    let judged = match (model.link(), proof.link_plan()) {
        (Ok(link), Some(Ok(plan))) => judge(proof, link, plan).map_err(wrong),
        (_, Some(Err(lack))) => Err(lack.clone()),
        _ => return Answer::default(),
    };
    let lacks = |lack: Lack| Answer::of(lacking(RECEIVER_IS_HIGH.id, "height of the receiver", &lack));
    let answer = judged.unwrap_or_else(lacks);
    let at = |finding: Finding| finding.at(place(model));
    Answer { findings: answer.findings.into_iter().map(at).collect(), ..answer }
}

fn place(model: &LinkModel) -> Option<craft::PlaceId> {
    model.station.clone()
}

/// The mean margin over the last third of the way.
fn mean(link: &Link, plan: &LinkPlan) -> Result<f64, RadioFault> {
    let share = |n: u32| 2.0 / 3.0 + f64::from(n) / (3.0 * f64::from(DISTANCES - 1));
    let distances: Vec<Metres> = (0..DISTANCES).map(|n| plan.fly_to * share(n)).collect();
    let flown = crate::link::Attitude::cruising(quantity::Degrees::new(0.0), plan.tilt);
    let over = link.margin_over(&distances, plan.height, flown, plan.level.at_socket)?;
    Ok(over.iter().map(|point| point.margin.get()).sum::<f64>() / over.len().max(1) as f64)
}

fn judge(proof: &Proof, link: &Link, plan: &LinkPlan) -> Result<Answer, RadioFault> {
    let stands = link.grounds.iter().map(|ground| ground.place[2]).fold(f64::INFINITY, f64::min);
    let high = format!("{} m", rounded(RECEIVER_HIGH.get(), 1));
    let link = &link.in_the_open();
    let now = mean(link, plan)?;
    let Some(higher) = raised(link, RECEIVER_HIGH) else {
        let message = format!("The receiver's antennas stand {} m high and more", rounded(stands, 1));
        let finding = Finding::new(RECEIVER_IS_HIGH.id, Verdict::Sound, "height of the receiver", message);
        return Ok(Answer::of(finding));
    };
    let gain = mean(&higher, plan)? - now;
    let much = gain >= GROUND_HEIGHT_GAIN.get();
    let low = stands < LEAST_HEIGHT.get();
    let tight = much || low;
    let message = if low && !much {
        let [now, then] = [link, &higher].map(|link| plan.range(link));
        format!(
            "The receiver's antennas stand {} m high, where grass, people and cars are in the way: it holds {}, and from {high} it would {}",
            rounded(stands, 1),
            reaches(now?),
            reaches(then?)
        )
    } else if tight {
        format!(
            "Raising the receiver from {} to {high} gives {}, as good as {} × the power, lawfully",
            rounded(stands, 1),
            db(gain),
            rounded(Db::new(gain).ratio(), 1)
        )
    } else if gain > 0.5 {
        format!("At {} m the receiver does well: {high} would give {} more", rounded(stands, 1), db(gain))
    } else {
        format!("At {} m the receiver does well: raising it to {high} would give nothing", rounded(stands, 1))
    };
    let id = "link.gain_by_height";
    let figure = Lines::of(proof)
        .given("lowest antenna of the station", stands, Unit::Metres, "as it stands")
        .given("raised to", RECEIVER_HIGH.get(), Unit::Metres, "common practice")
        .given("mean in hand as it stands", now, Unit::Db, "over the last third of the way, flying away")
        .figure(
            id,
            format!("what raising the receiver from {} m to {high} gives", rounded(stands, 1)),
            (&Linear::exact(gain), Unit::Db),
            "mean margin over eight distances from two thirds of the way on, raised less as it stands",
            GROUND_SOURCE,
        );
    let verdict = if tight { Verdict::Tight } else { Verdict::Sound };
    let mut finding = Finding::new(RECEIVER_IS_HIGH.id, verdict, "height of the receiver", message);
    if !low {
        finding = finding.margin(GROUND_HEIGHT_GAIN - Db::new(gain), None);
    }
    if tight {
        finding = finding.mend(format!("Put the receiver on a tripod or pole, its antennas at {high}."));
    }
    finding.figure = Some(FigureId(id.into()));
    Ok(Answer { findings: vec![finding], figures: vec![figure] })
}

#[cfg(test)]
mod tests {
    use super::RECEIVER_IS_HIGH;
    use crate::testing::set;
    use crate::testing_link::{link_is_sound, link_told};
    use craft::Craft;
    use expect_test::{Expect, expect};

    fn check(spoil: impl FnOnce(&mut Craft), expected: Expect) {
        expected.assert_eq(&link_told(&RECEIVER_IS_HIGH, spoil));
    }

    #[test]
    fn a_receiver_on_a_pole_is_sound() {
        link_is_sound(&RECEIVER_IS_HIGH);
    }

    #[test]
    fn one_on_the_ground_is_tight_whatever_the_mean_says() {
        let told = link_told(&RECEIVER_IS_HIGH, |craft| {
            for n in 0..2 {
                set(craft, &format!("field.antenna[{n}].height"), "0.2 m");
            }
            set(craft, "craft.fly_height", "25 m");
            set(craft, "craft.fly_to", "60 m");
        });
        assert!(told.starts_with("tight") && told.contains("grass, people and cars"), "{told}");
    }

    #[test]
    fn one_in_the_lap_is_tight() {
        check(
            |craft| {
                for n in 0..2 {
                    set(craft, &format!("field.antenna[{n}].height"), "0.8 m");
                }
                set(craft, "craft.fly_height", "2 m");
                set(craft, "craft.fly_to", "500 m");
            },
            expect![[r#"
                tight · height of the receiver · -2.291 dB
                  Raising the receiver from 0.8 to 2.5 m gives 6.3 dB, as good as 4.3 × the power, lawfully
                  > Put the receiver on a tripod or pole, its antennas at 2.5 m.
            "#]],
        );
    }
}
