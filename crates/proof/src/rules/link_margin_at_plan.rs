//! Does the picture hold at the farthest planned point?

use crate::limits::{MARGIN_AT_PLAN, RECEIVER_HIGH};
use crate::link::{Farthest, Lack, Link, LinkModel, Mounted, held_words, spread_lines};
use crate::numbers::rounded;
use crate::rule::rule;
use crate::standing::standing;
use crate::subject::{LinkPlan, db, lacking, metres, milliwatts, plan_tried, within_limit};
use crate::working::Lines;
use crate::{Answer, Proof, Verdict};
use craft::Value;
use craft::schema::air;
use quantity::{FigureId, Metres, Unit};
use radio::{BUDGET_SOURCE, Hand};

rule! {
    /// Does the picture hold at the farthest planned point?
    ///
    /// ## Why
    /// A range that somebody quotes is one with nothing in hand, flown straight away. In a turn the antenna looks
    /// elsewhere, the craft's own carbon stands between, and reflections come and go: what is not in hand then is missing.
    ///
    /// ## Sound when
    /// At the farthest planned point, at the height and level that are set, nine tenths of all headings and fades
    /// together leave at least 6 dB over what the receiver needs. Less is tight, under 0 dB broken.
    ///
    /// ## Rests on
    /// The whole link: levels, feeds, antennas as they stand and lean, what shadows them, the ground, what stands about, and
    /// the receiver's threshold, each with its doubt. Twelve headings evenly round, nose down as in cruise; fading by the
    /// surroundings, of all antennas of the station as the receiver chooses or adds them. Friis; Goldsmith on fading.
    ///
    /// ## Mend
    /// First what costs nothing: raise the receiver, bring all antennas to one hand. Then the next level within the limit you
    /// stated, or a nearer farthest point. Each was computed. A link that is planned to hold 90 times in 100 fails 10 times.
    HOLDS_AT_PLAN = "link.margin_at_plan", run
}

fn run(proof: &Proof) -> Answer {
    let Some(model) = proof.link() else { return Answer::default() };
    let unit = || [model.unit.clone()];
    let plan = match proof.link_plan() {
        Some(Ok(plan)) => plan,
        Some(Err(lack)) => {
            return Answer::of(lacking(HOLDS_AT_PLAN.id, "farthest planned point", lack).at(unit()));
        }
        None => return Answer::default(),
    };
    let judged = model.link().map_err(Clone::clone).and_then(|link| judge(proof, model, link, plan));
    let answer =
        judged.unwrap_or_else(|lack| Answer::of(lacking(HOLDS_AT_PLAN.id, "farthest planned point", &lack)));
    Answer { findings: answer.findings.into_iter().map(|finding| finding.at(unit())).collect(), ..answer }
}

fn judge(proof: &Proof, model: &LinkModel, link: &Link, plan: &LinkPlan) -> Result<Answer, Lack> {
    let margin = proof.link_margin(plan.in_ten)?;
    let judged = standing(proof, &margin, &MARGIN_AT_PLAN);
    let verdict = judged.verdict;
    let message = format!(
        "At {} it holds {} of the time, all headings together; the worst tenth {} {}",
        metres(plan.fly_to),
        held_words(plan.held),
        if plan.in_ten.get() < 0.0 { "lacks" } else { "has" },
        match plan.in_ten.get() {
            short if short < 0.0 => format!("{} and more", db(-short)),
            more => format!("{} or less in hand", db(more)),
        }
    ) + &plan.held_words();
    let id = "link.margin_at_plan";
    let mut lines = Lines::of(proof);
    let at = link.at(plan.there().map_err(crate::subject::wrong)?, plan.decides(), plan.level.at_socket);
    let at = at.map_err(crate::subject::wrong)?;
    let heading = plan.decides().heading.get();
    if let Some(pair) = at.carrying() {
        lines = lines.given(
            "share of the level at each socket",
            pair.budget.level.get(),
            Unit::Dbm,
            milliwatts(pair.budget.level),
        );
        for term in pair.budget.terms.iter().filter(|term| term.change.get() != 0.0) {
            lines = lines.given(
                term.part.words(),
                term.change.get(),
                Unit::Db,
                format!("heading {heading:.0}°, the one with least in hand"),
            );
        }
        lines = spread_lines(lines, &pair.budget);
        lines = lines.given(
            "needed by the receiver",
            pair.budget.threshold.get(),
            Unit::Dbm,
            link.threshold.mode.clone(),
        );
    }
    let figure = lines
        .given("in hand on that heading, all inputs", at.margin.get(), Unit::Db, "received less needed")
        .given("what fades and other headings make of it", plan.in_ten.get() - at.margin.get(), Unit::Db, "worst tenth of 12 headings and their fades")
        .facts(&margin)
        .figure(
            id,
            "in hand at the farthest planned point in the worst tenth of headings and fades",
            (&margin, Unit::Db),
            "x with mean over headings of P(margin - x + fade < 0) = 0.1; margin = level - feed + gain - spreading - shadows - polarisation ± ground + gain - feed - needed",
            BUDGET_SOURCE,
        );
    let mut finding = judged.finding(HOLDS_AT_PLAN.id, "farthest planned point", message);
    if verdict != Verdict::Sound {
        finding = finding.measured_first();
        let more = mends(proof, model, link, plan);
        // What is not plugged in right comes before all measuring.
        let plug = more.iter().position(|mend| mend.starts_with(PLUG));
        finding.mends.extend(more);
        if let Some(plug) = plug {
            let at = finding.mends.iter().position(|mend| mend.starts_with(PLUG)).unwrap_or(plug);
            let words = finding.mends.remove(at);
            finding.mends.insert(0, words);
        }
    }
    finding.figure = Some(FigureId(id.into()));
    Ok(Answer { findings: vec![finding], figures: vec![figure] })
}

/// How a mend begins that sets a plug right.
const PLUG: &str = "Renew the plug";

/// The same link with every antenna of the station so high at least; `None` if all are.
pub(super) fn raised(link: &Link, to: Metres) -> Option<Link> {
    let low = |ground: &Mounted| ground.place[2] < to.get();
    link.grounds.iter().any(low).then(|| {
        let mut raised = link.clone();
        raised.grounds.iter_mut().for_each(|ground| ground.place[2] = ground.place[2].max(to.get()));
        raised
    })
}

/// The one hand that all circular antennas of the craft have.
fn one_hand(model: &LinkModel) -> Option<Hand> {
    let mut hands =
        model.senders.iter().filter_map(|sender| sender.built.as_ref().ok()).map(|built| built.hand);
    let first = hands.next()??;
    hands.all(|hand| hand == Some(first)).then_some(first)
}

/// What would help, computed: what costs nothing first. Those that bring the margin to the limit say so.
pub(super) fn mends(proof: &Proof, model: &LinkModel, link: &Link, plan: &LinkPlan) -> Vec<String> {
    if proof.is_trial() {
        return Vec::new();
    }
    let now = plan.in_ten.get();
    let mut told: Vec<String> = plan.let_go(now, MARGIN_AT_PLAN.tight).into_iter().collect();
    let mut put = |words: String, after: Option<f64>| {
        if let Some(after) = after.filter(|after| *after > now + 1.0) {
            let enough = if after >= MARGIN_AT_PLAN.tight { ", enough" } else { "" };
            told.push(format!("{words}: {} more{enough}.", db(after - now)));
        }
    };
    if let Some((sound, renewed)) = link.with_sound_joints() {
        let words = format!("{PLUG} of {}, or push it home", model.called(&renewed));
        let place = (plan.fly_to, plan.height, plan.tilt);
        put(words, LinkPlan::at(&sound, place, plan.level.clone()).ok().map(|plan| plan.in_ten.get()));
    }
    // Higher, the lobes of the ground lie elsewhere: what stands in the way may then take more than is left.
    let behind = |link: &Link| super::link_wall_plan::in_hand_behind(link, plan).unwrap_or(f64::NEG_INFINITY);
    let still_seen = |high: &Link| behind(high) >= behind(link).min(0.0);
    let high = raised(link, RECEIVER_HIGH).filter(still_seen).and_then(|link| {
        let place = (plan.fly_to, plan.height, plan.tilt);
        Some(LinkPlan::at(&link, place, plan.level.clone()).ok()?.in_ten.get())
    });
    let words = format!("Raise the receiver's antennas to {} m", rounded(RECEIVER_HIGH.get(), 1));
    put(words, high);
    if let Some(hand) = one_hand(model) {
        let word = if hand == Hand::Right { "right" } else { "left" };
        let all_one = plan_tried(proof, |craft| {
            let mut any = None;
            for ground in &model.grounds {
                let odd = ground
                    .built
                    .as_ref()
                    .ok()
                    .and_then(|built| built.hand)
                    .is_some_and(|other| other != hand);
                if odd {
                    let row = super::link_hand_match::station_row(craft, ground)?;
                    row.insert(air::HAND.def.key.to_owned(), Value::Text(word.to_owned()));
                    any = Some(());
                }
            }
            any
        });
        put(
            format!("Take {word}-hand antennas at the station throughout"),
            all_one.map(|plan| plan.in_ten.get()),
        );
    }
    let step = plan
        .higher(model)
        .filter(|level| within_limit(model, level))
        .find(|level| now + (level.at_socket - plan.level.at_socket).get() >= MARGIN_AT_PLAN.tight);
    if let Some(step) = step {
        let after = now + (step.at_socket - plan.level.at_socket).get();
        put(format!("Set {}", step.out), Some(after));
    }
    let range = plan.leaves_to(link, quantity::Db::new(MARGIN_AT_PLAN.tight));
    told.push(match range.map(Farthest::distance) {
        Ok(range) if range < plan.fly_to && range.get() > 0.0 => {
            format!(
                "Fly no farther than {}: up to there 6 dB and more stay in hand, short breaks apart.",
                metres(range)
            )
        }
        _ => "Choose a nearer farthest point, or aimed antennas at the station.".to_owned(),
    });
    told
}

#[cfg(test)]
mod tests {
    use super::HOLDS_AT_PLAN;
    use crate::testing::set;
    use crate::testing_link::{link_is_sound, link_names_missing, link_told};
    use craft::Craft;
    use expect_test::{Expect, expect};

    #[test]
    fn a_half_unplugged_plug_is_named_first() {
        let told = link_told(&HOLDS_AT_PLAN, |craft| {
            set(craft, "craft.fly_to", "600 m");
            set(craft, "place stub.joint", "half unplugged");
        });
        let mend = told.lines().find(|line| line.trim_start().starts_with('>')).unwrap_or_default();
        assert!(mend.contains("Renew the plug of stub antenna, or push it home: 26.9 dB more"), "{told}");
    }

    fn check(spoil: impl FnOnce(&mut Craft), expected: Expect) {
        expected.assert_eq(&link_told(&HOLDS_AT_PLAN, spoil));
    }

    #[test]
    fn a_short_flight_is_sound() {
        link_is_sound(&HOLDS_AT_PLAN);
    }

    #[test]
    fn a_far_one_is_broken_and_what_would_help_is_told() {
        check(
            |craft| {
                set(craft, "craft.fly_to", "2500 m");
                set(craft, "field.antenna[1].hand", "left");
            },
            expect![[r#"
                broken · farthest planned point · -1.84 dB · 20 %
                  At 2500 m it holds 59 % of the time, all headings together; the worst tenth lacks 1.8 dB and more
                  > Take right-hand antennas at the station throughout: 6.5 dB more.
                  > Fly no farther than 298 m: up to there 6 dB and more stay in hand, short breaks apart.
                  ? level at the socket of level 1 of "Lanner small air unit"
            "#]],
        );
    }

    #[test]
    fn a_little_farther_is_tight() {
        check(
            |craft| {
                set(craft, "craft.fly_to", "1300 m");
            },
            expect![[r#"
                tight · farthest planned point · 4.443 dB · over 99 %
                  At 1300 m it holds over 99.9 % of the time, all headings together; the worst tenth has 4.4 dB or less in hand
                  > Fly no farther than 374 m: up to there 6 dB and more stay in hand, short breaks apart.
            "#]],
        );
    }

    #[test]
    fn the_distance_is_needed() {
        link_names_missing(&HOLDS_AT_PLAN, "craft.fly_to", r#"farthest planned of "Wheatear""#);
    }
}
