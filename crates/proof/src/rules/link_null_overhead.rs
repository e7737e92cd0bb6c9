//! Does the picture hold straight above the station, and in a steep turn?

use crate::limits::NULL_OVERHEAD;
use crate::link::{Attitude, Lack, Link, LinkAt, LinkModel};
use crate::numbers::rounded;
use crate::rule::rule;
use crate::standing::standing;
use crate::subject::{LinkPlan, db, lacking, metres, stationed, wrong};
use crate::working::Lines;
use crate::{Answer, Finding, Proof, Verdict};
use quantity::{Degrees, FigureId, Metres, Unit};
use radio::{DIPOLE_SOURCE, Part, Place, RadioFault, Turn};

rule! {
    /// Does the picture hold straight above the station, and in a steep turn?
    ///
    /// ## Why
    /// A mast radiates all round and hardly along itself. Straight above the pilot that blind spot points at him; in a steep
    /// turn the mast lies over, and on some heading the blind spot sweeps the station. It is as a cut in the cable, and
    /// gone a moment later: faults nobody can find on the bench.
    ///
    /// ## Sound when
    /// Passing the station overhead at the planned height, nose down as in cruise, and banked as planned at the farthest
    /// point, the worst heading leaves 3 dB or more, fades not counted. Less is tight, under 0 dB broken.
    ///
    /// ## Rests on
    /// The antennas with their lean, as they turn with the craft, and the rest of the link, with its doubt. Overhead on eight
    /// headings half a metre aside of the station, if it is flown 2 m and more over its antennas; banked to either side on eight, at the farthest planned point.
    /// The mast is judged in the open; what is left there with what stands about is told beside it, and judged by `link.wall_plan` and
    /// `link.margin_at_plan`, or one barn would be three faults. Half-wave dipole after Balanis; the level along a circular mast is common practice.
    ///
    /// ## Mend
    /// Lean the mast back, so that it stands upright with the nose down; fly past aside instead of overhead. The lean
    /// that is named was computed.
    NO_BLIND_SPOT = "link.null_overhead", run
}

/// Headings overhead.
const OVERHEAD: u32 = 8;
/// Headings in turns.
const TURNS: u32 = 8;
/// Never quite overhead: there the way to the station has no direction of its own.
const ASIDE: Metres = Metres::new(0.5);
/// Least height in metres over the station's antennas that counts as passing overhead.
const OVER: f64 = 2.0;

fn run(proof: &Proof) -> Answer {
    let Some(model) = stationed(proof) else { return Answer::default() };
    let bank = model.plan.bank.clone();
    let judged = match (model.link(), proof.link_plan(), bank) {
        (Ok(link), Some(Ok(plan)), Ok(bank)) => judge(proof, model, link, plan, bank),
        (_, Some(plan), bank) => {
            let mut lack = plan.err().cloned().unwrap_or_default();
            bank.err().into_iter().for_each(|missing| lack.add(&Lack::missing(missing)));
            Err(lack)
        }
        _ => return Answer::default(),
    };
    let answer =
        judged.unwrap_or_else(|lack| Answer::of(lacking(NO_BLIND_SPOT.id, "blind spot of the mast", &lack)));
    let places: Vec<_> = model.senders.iter().map(|sender| sender.place.clone()).collect();
    let at = |finding: Finding| finding.at(places.clone());
    Answer { findings: answer.findings.into_iter().map(at).collect(), ..answer }
}

/// The worst that turns up, and where.
#[derive(Clone, Copy)]
struct Worst {
    margin: f64,
    there: Place,
    attitude: Attitude,
    overhead: bool,
}

fn worst(link: &Link, plan: &LinkPlan, bank: Degrees) -> Result<Worst, RadioFault> {
    let highest = link.grounds.iter().map(|ground| ground.place[2]).fold(0.0, f64::max);
    let first = &link.grounds[0].place;
    let over = Place::new(Metres::new(first[0]) + ASIDE, Metres::new(first[1]), plan.height)?;
    // Who flies lower than that does not pass overhead.
    let passes = if plan.height.get() >= highest + OVER { OVERHEAD } else { 0 };
    let far = plan.there()?;
    let round = |n: u32, of: u32| Degrees::new(360.0 * f64::from(n) / f64::from(of));
    let overhead = (0..passes).map(|n| (over, Attitude::cruising(round(n, OVERHEAD), plan.tilt), true));
    let turns = (0..TURNS).flat_map(|n| {
        let flown = Attitude::cruising(round(n, TURNS), plan.tilt);
        [flown.banked(bank), flown.banked(-bank)].map(|attitude| (far, attitude, false))
    });
    let mut found: Option<Worst> = None;
    for (there, attitude, overhead) in overhead.chain(turns) {
        let margin = link.margin(there, attitude, plan.level.at_socket)?.get();
        if found.is_none_or(|worst| margin < worst.margin) {
            found = Some(Worst { margin, there, attitude, overhead });
        }
    }
    found.ok_or(RadioFault::Count { what: "headings", most: 1 })
}

fn judge(
    proof: &Proof,
    model: &LinkModel,
    link: &Link,
    plan: &LinkPlan,
    bank: Degrees,
) -> Result<Answer, Lack> {
    let about = link;
    let link = &link.in_the_open();
    let found = worst(link, plan, bank).map_err(wrong)?;
    let behind = about.margin(found.there, found.attitude, plan.level.at_socket).map_err(wrong)?.get();
    let margin = link.margin_with_doubt(found.there, found.attitude, &plan.level).map_err(wrong)?;
    let judged = standing(proof, &margin, &NULL_OVERHEAD);
    // What is short by distance alone is told of the farthest planned point: here it counts what the antenna gives less than at its best.
    let at = link.at(found.there, found.attitude, plan.level.at_socket).map_err(wrong)?;
    let by_mast = given_up(link, &at);
    let distance = !found.overhead && judged.verdict != Verdict::Sound && by_mast < NULL_OVERHEAD.tight;
    let verdict = if distance { Verdict::Sound } else { judged.verdict };
    let value = found.margin;
    let in_hand =
        if value < 0.0 { format!("{} too little", db(-value)) } else { format!("{} in hand", db(value)) };
    let off = off_axis(link, &found).map_err(wrong)?;
    let points = format!("the mast points {}° off the way to the station", rounded(off, 0));
    let message = match (found.overhead, verdict) {
        (true, Verdict::Sound) => format!("Straight above the station at worst {in_hand}"),
        (true, _) => {
            format!("Straight above the station the antenna's blind spot points at it: {in_hand}, {points}")
        }
        (false, Verdict::Sound) if distance => format!(
            "Banked {}° at {} the blind spot stays away: the antenna gives {} less than at its best, and what is short there is the distance's doing",
            rounded(bank.get(), 0),
            metres(plan.fly_to),
            db(by_mast)
        ),
        (false, Verdict::Sound) => {
            format!(
                "Banked {}° at {} at worst {in_hand}, in the open",
                rounded(bank.get(), 0),
                metres(plan.fly_to)
            )
        }
        (false, _) => format!(
            "Banked {}° at {} the blind spot sweeps the station: {in_hand} on the worst heading, {points}",
            rounded(bank.get(), 0),
            metres(plan.fly_to)
        ),
    } + &with_what_stands_about(found.margin - behind, behind)
        + &plan.held_words();
    let id = "link.margin_overhead";
    let figure = Lines::of(proof)
        .given("mast off the way to the station", off, Unit::Degrees, "on the worst heading")
        .given("bank", bank.get(), Unit::Degrees, "planned")
        .given("in hand there with what stands about", behind, Unit::Db, "judged by link.wall_plan and link.margin_at_plan")
        .given("nose down", plan.tilt.get(), Unit::Degrees, model.plan.nose_because())
        .facts(&margin)
        .figure(
            id,
            "in hand overhead and in turns on the worst heading, in the open",
            (&margin, Unit::Db),
            "least margin over 8 headings straight above the station and 16 banked ones at the farthest planned point",
            DIPOLE_SOURCE,
        );
    let mut finding = judged.finding(NO_BLIND_SPOT.id, "blind spot of the mast", message);
    if distance {
        finding.verdict = verdict;
        (finding.margin, finding.certainty) = (None, None);
        (finding.measure_next, finding.no_single_fact) = (None, None);
    }
    if verdict != Verdict::Sound {
        finding = finding.measured_first();
        finding.mends.extend(plan.let_go(value, NULL_OVERHEAD.tight));
        finding.mends.extend(lean(proof, model, (link, plan), bank, value));
        finding = finding.mend(if found.overhead {
            "Fly past the station aside, not over it.".to_owned()
        } else {
            format!("Fly wider turns out there: bank less than {}°.", rounded(bank.get(), 0))
        });
    }
    finding.figure = Some(FigureId(id.into()));
    Ok(Answer { findings: vec![finding], figures: vec![figure] })
}

/// What obstacles leave at the same place, in words, where they take enough to matter: what the mast does is judged without them, so that a barn is not
/// laid to its charge and neither is missed.
fn with_what_stands_about(taken: f64, left: f64) -> String {
    if taken < 1.0 {
        return String::new();
    }
    let left =
        if left < 0.0 { format!("{} are lacking", db(-left)) } else { format!("{} are left", db(left)) };
    format!("; with what stands about {left} there, of which other rules judge")
}

/// What the antenna that carries the link gives less there than at its best, shadows too, in dB.
fn given_up(link: &Link, at: &LinkAt) -> f64 {
    let Some(pair) = at.carrying() else { return f64::INFINITY };
    let greatest = link.senders.get(pair.sender).map_or(0.0, |sender| sender.antenna.greatest_gain().get());
    let own = |part: &Part| matches!(part, Part::SenderGain | Part::SenderShadow);
    let terms = pair.budget.terms.iter().filter(|term| own(&term.part));
    (greatest - terms.map(|term| term.change.get()).sum::<f64>()).max(0.0)
}

/// How far the mast that serves best there points off the way to the station: 0 to 90 degrees.
fn off_axis(link: &Link, found: &Worst) -> Result<f64, RadioFault> {
    let at = link.grounds[0].place.map(Metres::new);
    let way = found.there.toward(Place::new(at[0], at[1], at[2])?)?;
    let Attitude { heading, pitch, bank } = found.attitude;
    let flown = Turn::new(heading, pitch, bank);
    let off = link.senders.iter().map(|sender| {
        let mast = flown.outward(sender.turn.outward(radio::Direction::UP));
        let angle = mast.angle_to(way).get();
        angle.min(180.0 - angle)
    });
    Ok(off.fold(0.0, f64::max))
}

/// The lean of the craft's one antenna that leaves most, computed in steps of twenty degrees.
fn lean(
    proof: &Proof,
    model: &LinkModel,
    (link, plan): (&Link, &LinkPlan),
    bank: Degrees,
    now: f64,
) -> Option<String> {
    let [sender] = model.senders.as_slice() else { return None };
    if proof.is_trial() {
        return None;
    }
    let leant = |by: f64| {
        let mut leant = link.clone();
        let none = Degrees::new(0.0);
        // Nose up: the mast goes back.
        leant.senders[0].turn = Turn::new(none, Degrees::new(by), none).after(leant.senders[0].turn);
        Some((by, worst(&leant, plan, bank).ok()?.margin))
    };
    let tried = [-40.0, -20.0, 20.0, 40.0].map(leant);
    let (by, margin) = tried.into_iter().flatten().max_by(|a, b| a.1.total_cmp(&b.1))?;
    let way = if by > 0.0 { "back" } else { "forward" };
    (margin > now + 1.0).then(|| {
        format!("Lean the mast of {} {}° further {way}: {} more.", sender.called, by.abs(), db(margin - now))
    })
}

#[cfg(test)]
mod tests {
    use super::NO_BLIND_SPOT;
    use crate::testing::set;
    use crate::testing_link::{link_is_sound, link_names_missing, link_told};
    use craft::Craft;
    use expect_test::{Expect, expect};

    fn check(spoil: impl FnOnce(&mut Craft), expected: Expect) {
        expected.assert_eq(&link_told(&NO_BLIND_SPOT, spoil));
    }

    #[test]
    fn a_mast_that_leans_little_is_sound() {
        link_is_sound(&NO_BLIND_SPOT);
    }

    #[test]
    fn a_mast_laid_back_is_told_to_stand_up() {
        check(
            |craft| {
                set(craft, "place stub.pitch", "80°");
                set(craft, "craft.fly_to", "300 m");
            },
            expect![[r#"
                tight · blind spot of the mast · 2.448 dB · 89 %
                  Banked 30° at 300 m the blind spot sweeps the station: 2.4 dB in hand on the worst heading, the mast points 22° off the way to the station
                  > Lean the mast of stub antenna 40° further forward: 5.8 dB more.
                  > Fly wider turns out there: bank less than 30°.
                  ? level at the socket of level 1 of "Lanner small air unit"
            "#]],
        );
    }

    #[test]
    fn a_steep_bank_far_out_sweeps_the_station() {
        check(
            |craft| {
                set(craft, "craft.bank", "80°");
                set(craft, "craft.fly_to", "900 m");
            },
            expect![[r#"
                tight · blind spot of the mast · 1.201 dB · 70 %
                  Banked 80° at 900 m the blind spot sweeps the station: 1.2 dB in hand on the worst heading, the mast points 9° off the way to the station
                  > Measure the level at the socket of level 1 of "Lanner small air unit" first: it decides.
                  > Lean the mast of stub antenna 20° further forward: 4.7 dB more.
                  > Fly wider turns out there: bank less than 80°.
                  ? level at the socket of level 1 of "Lanner small air unit"
            "#]],
        );
    }

    #[test]
    fn the_bank_is_needed() {
        link_names_missing(&NO_BLIND_SPOT, "craft.bank", r#"bank in turns of "Wheatear""#);
    }
}
