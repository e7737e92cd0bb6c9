//! Is what is radiated within the limit you stated?

use crate::limits::EIRP;
use crate::link::{Lack, LinkModel, RadioLevel};
use crate::rule::rule;
use crate::standing::standing;
use crate::subject::{Radiating, db, lacking, milliwatts, radiating};
use crate::working::Lines;
use crate::{Answer, Finding, Proof, Verdict};
use quantity::{Dbm, Figure, FigureId, Linear, Unit};
use radio::{BUDGET_SOURCE, EMISSION_LIMITS, LIMIT_CAUTION};
use std::f64::consts::LN_10;

rule! {
    /// Is what is radiated within the limit you stated?
    ///
    /// ## Why
    /// Limits hold for what is radiated, antenna and all: an antenna of 8 dBi makes 160 mW of 25. Who radiates more than he
    /// may risks his licence and other people's receivers.
    ///
    /// ## Sound when
    /// Level less feed plus the greatest gain of the antenna lie 1 dB or more under the limit that you entered. Nearer is tight,
    /// above it broken. This program knows no law: check the rules where you fly. Sound here is no permission.
    ///
    /// ## Rests on
    /// The level set, as measured at the socket or else as offered, with its doubt; feed and gain with theirs; your limit.
    /// Several antennas on one unit share its level, but in some direction their fields may add: they count as one.
    ///
    /// ## Mend
    /// The next lower level, or an antenna of less gain.
    WITHIN_STATED_LIMIT = "link.eirp", run
}

fn run(proof: &Proof) -> Answer {
    let Some(model) = proof.link() else { return Answer::default() };
    let figures: Vec<Figure> =
        radiating(model).ok().map(|found| figure(proof, model, &found)).into_iter().collect();
    // Without a plan nobody asked; the farthest planned point is told of what lacks.
    let nothing_planned = model.station.is_none() && model.plan.radiated_limit.is_err();
    if nothing_planned {
        return Answer { findings: Vec::new(), figures };
    }
    let at = |answer: Answer| {
        let at = |finding: Finding| finding.at([model.unit.clone()]);
        Answer { findings: answer.findings.into_iter().map(at).collect(), ..answer }
    };
    let (limit, found) = match (&model.plan.radiated_limit, radiating(model)) {
        (Ok(limit), Ok(found)) => (*limit, found),
        (limit, found) => {
            let mut lack = found.err().unwrap_or_default();
            if let Err(missing) = limit {
                lack.add(&Lack::missing(missing.clone()));
            }
            let finding = lacking(WITHIN_STATED_LIMIT.id, "radiated power", &lack);
            return at(Answer { findings: vec![finding], figures });
        }
    };
    let Some(limit) = Dbm::from_power(limit) else { return Answer::default() };
    at(Answer { findings: vec![judge(proof, model, &found, limit)], figures })
}

const ID: &str = "link.radiated";

/// What is radiated, with whatever limits are known: those of the pilot, and published ones of the band.
fn figure(proof: &Proof, model: &LinkModel, found: &Radiating) -> Figure {
    let power = Dbm::new(found.eirp.value).power().get();
    let result = Linear::chained(power, &[(power * LN_10 / 10.0, &found.eirp)]);
    let mut lines = Lines::of(proof)
        .given("level at the socket", found.level.get(), Unit::Dbm, "all sockets together")
        .given("feed", -found.feed.get(), Unit::Db, "usual loss; see its own figure")
        .given("greatest gain of the antenna", found.gain.get(), Unit::Dbi, "whatever the direction");
    if model.senders.len() > 1 {
        let words =
            "the one that radiates most, with the whole level: in some direction their fields may add";
        lines = lines.given("antennas that share the level", model.senders.len() as f64, Unit::Count, words);
    }
    lines = lines.given("together", found.eirp.value, Unit::Dbm, "sum of the above");
    if let Ok(limit) = &model.plan.radiated_limit {
        lines = lines.given("limit you entered", limit.get(), Unit::Milliwatts, LIMIT_CAUTION);
    }
    let frequency = model.carrier.as_ref().ok().map(|carrier| carrier.frequency());
    let of_band = |limit: &&radio::EmissionLimit| frequency.is_some_and(|f| limit.from <= f && f <= limit.to);
    for limit in EMISSION_LIMITS.iter().filter(of_band) {
        let origin = format!("{}, {}; {LIMIT_CAUTION}", limit.source.title, limit.source.place);
        let label = format!("published: {}", limit.words);
        lines = lines.given(&label, limit.eirp.power().get(), Unit::Milliwatts, origin);
    }
    let at = model.plan.set.as_ref().map_or(String::new(), |level| format!(" at {}", level.out));
    lines.facts(&result).figure(
        ID,
        format!("radiated{at}, as if it went all ways (e.i.r.p.; check your local rules)"),
        (&result, Unit::Milliwatts),
        "level − feed + greatest gain, as power",
        BUDGET_SOURCE,
    )
}

fn judge(proof: &Proof, model: &LinkModel, found: &Radiating, limit: Dbm) -> Finding {
    let margin: Linear = &-&found.eirp + limit.get();
    let judged = standing(proof, &margin, &EIRP);
    let verdict = judged.verdict;
    let eirp = Dbm::new(found.eirp.value);
    let how = match verdict {
        Verdict::Broken => "more than",
        Verdict::Tight => "close to",
        _ => "within",
    };
    let message = format!(
        "Radiates {} e.i.r.p., {how} the {} you entered; {LIMIT_CAUTION}",
        milliwatts(eirp),
        milliwatts(limit)
    );
    let mut finding = judged.finding(WITHIN_STATED_LIMIT.id, "radiated power", message);
    if verdict != Verdict::Sound {
        if let Some(advice) = &finding.measure_next {
            let measure = format!("Measure the {} first: it decides.", advice.label);
            finding = finding.mend(measure);
        }
        let at = |level: &RadioLevel| eirp + (level.at_socket - found.level);
        let under = |room: f64| {
            let lower = model.levels.iter().filter(|level| level.at_socket < found.level);
            let enough = lower.filter(|level| at(level) <= limit - quantity::Db::new(room));
            enough.max_by(|a, b| a.at_socket.get().total_cmp(&b.at_socket.get()))
        };
        finding = finding.mend(match (under(EIRP.tight), under(0.0)) {
            (Some(level), _) => format!("Set {}: {} e.i.r.p.", level.out, milliwatts(at(level))),
            (None, Some(level)) => format!(
                "Set {}: {} e.i.r.p., close to the limit; with an antenna of {} less gain it has {} in hand.",
                level.out,
                milliwatts(at(level)),
                db((at(level) - limit).get() + EIRP.tight),
                db(EIRP.tight)
            ),
            (None, None) => {
                let least = model.levels.iter().min_by(|a, b| a.at_socket.get().total_cmp(&b.at_socket.get()));
                let least = least.filter(|level| level.at_socket < found.level);
                let left = least.map_or(eirp, at);
                let too_much = db(((left - limit).get() + EIRP.tight).max(0.1));
                match least {
                    Some(level) => format!(
                        "Set {} and take an antenna of {too_much} less gain: no level alone is low enough, {} still radiates {}.",
                        level.out,
                        level.out,
                        milliwatts(left)
                    ),
                    None => format!("Take an antenna of {too_much} less gain: no lower level is offered."),
                }
            }
        });
        finding = finding.mend("Check your local rules: nobody else can state the limit.");
    }
    finding.figure = Some(FigureId(ID.into()));
    finding
}

#[cfg(test)]
mod tests {
    use super::WITHIN_STATED_LIMIT;
    use crate::testing::set;
    use crate::testing_link::{link_is_sound, link_names_missing, link_told};
    use craft::Craft;
    use expect_test::{Expect, expect};

    fn check(spoil: impl FnOnce(&mut Craft), expected: Expect) {
        expected.assert_eq(&link_told(&WITHIN_STATED_LIMIT, spoil));
    }

    #[test]
    fn a_level_under_the_limit_is_sound() {
        link_is_sound(&WITHIN_STATED_LIMIT);
    }

    #[test]
    fn one_over_it_is_broken_and_a_lower_one_is_told() {
        check(
            |craft| {
                set(craft, "craft.level", "400 mW");
            },
            expect![[r#"
                broken · radiated power · -6.707 dB · 0 %
                  Radiates 468 mW e.i.r.p., more than the 100 mW you entered; check the rules where you fly; this is not advice
                  > Set 25 mW: 29 mW e.i.r.p.
                  > Check your local rules: nobody else can state the limit.
            "#]],
        );
    }

    #[test]
    fn one_just_under_it_is_tight() {
        check(
            |craft| {
                set(craft, "craft.radiated_limit", "36 mW");
            },
            expect![[r#"
                tight · radiated power · 0.898 dB · 65 %
                  Radiates 29 mW e.i.r.p., close to the 36 mW you entered; check the rules where you fly; this is not advice
                  > Measure the level at the socket of level 1 of "Lanner small air unit" first: it decides.
                  > Take an antenna of 0.1 dB less gain: no lower level is offered.
                  > Check your local rules: nobody else can state the limit.
                  ? level at the socket of level 1 of "Lanner small air unit"
            "#]],
        );
    }

    #[test]
    fn the_lowest_level_is_told_even_where_it_is_close_or_not_enough() {
        let at = |craft: &mut Craft, limit: &str| {
            set(craft, "craft.level", "400 mW");
            set(craft, "craft.radiated_limit", limit);
        };
        check(
            |craft| at(craft, "32 mW"),
            expect![[r#"
            broken · radiated power · -11.655 dB · 0 %
              Radiates 468 mW e.i.r.p., more than the 32 mW you entered; check the rules where you fly; this is not advice
              > Set 25 mW: 29 mW e.i.r.p., close to the limit; with an antenna of 0.6 dB less gain it has 1 dB in hand.
              > Check your local rules: nobody else can state the limit.
        "#]],
        );
        check(
            |craft| at(craft, "25 mW"),
            expect![[r#"
            broken · radiated power · -12.727 dB · 0 %
              Radiates 468 mW e.i.r.p., more than the 25 mW you entered; check the rules where you fly; this is not advice
              > Set 25 mW and take an antenna of 1.7 dB less gain: no level alone is low enough, 25 mW still radiates 29 mW.
              > Check your local rules: nobody else can state the limit.
        "#]],
        );
    }

    #[test]
    fn the_limit_is_the_users_own_to_state() {
        link_names_missing(
            &WITHIN_STATED_LIMIT,
            "craft.radiated_limit",
            r#"limit on radiated power of "Wheatear""#,
        );
    }
}
