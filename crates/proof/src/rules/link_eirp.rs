//! Is what is radiated within the limit you stated?

use crate::limits::EIRP;
use crate::link::{Lack, LinkModel};
use crate::rule::rule;
use crate::standing::standing;
use crate::subject::{Radiating, db, lacking, milliwatts, radiating};
use crate::working::Lines;
use crate::{Answer, Proof, Verdict};
use quantity::{Dbm, FigureId, Linear, Unit};
use radio::{FREE_SPACE_SOURCE, LIMIT_CAUTION};

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
    // Without a plan nobody asked; the farthest planned point is told of what lacks.
    let nothing_planned = model.station.is_none() && model.plan.radiated_limit.is_err();
    if nothing_planned {
        return Answer::default();
    }
    let at = |answer: Answer| {
        let at = |finding: crate::Finding| finding.at([model.unit.clone()]);
        Answer { findings: answer.findings.into_iter().map(at).collect(), ..answer }
    };
    let (limit, found) = match (&model.plan.radiated_limit, radiating(model)) {
        (Ok(limit), Ok(found)) => (*limit, found),
        (limit, found) => {
            let mut lack = found.err().unwrap_or_default();
            if let Err(missing) = limit {
                lack.add(&Lack::missing(missing.clone()));
            }
            return at(Answer::of(lacking(WITHIN_STATED_LIMIT.id, "radiated power", &lack)));
        }
    };
    let Some(limit) = Dbm::from_power(limit) else { return Answer::default() };
    at(judge(proof, model, &found, limit))
}

fn judge(proof: &Proof, model: &LinkModel, found: &Radiating, limit: Dbm) -> Answer {
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
    let id = "link.radiated";
    let figure = Lines::of(proof)
        .given("level at the socket", found.level.get(), Unit::Dbm, "all sockets together")
        .given("feed", -found.feed.get(), Unit::Db, "usual loss")
        .given("greatest gain of the antenna", found.gain.get(), Unit::Dbi, "whatever the direction")
        .given("limit you entered", limit.get(), Unit::Dbm, LIMIT_CAUTION)
        .facts(&found.eirp)
        .figure(
            id,
            "equivalent isotropic radiated power",
            (&found.eirp, Unit::Dbm),
            "level - feed + greatest gain",
            FREE_SPACE_SOURCE,
        );
    let mut finding = judged.finding(WITHIN_STATED_LIMIT.id, "radiated power", message);
    if verdict != Verdict::Sound {
        if let Some(advice) = &finding.measure_next {
            let measure = format!("Measure the {} first: it decides.", advice.label);
            finding = finding.mend(measure);
        }
        let lower =
            model.levels.iter().rev().filter(|level| level.at_socket < found.level).find(|level| {
                eirp + (level.at_socket - found.level) <= limit - quantity::Db::new(EIRP.tight)
            });
        finding = finding.mend(match lower {
            Some(level) => {
                format!("Set {}: {} e.i.r.p.", level.out, milliwatts(eirp + (level.at_socket - found.level)))
            }
            None => {
                let too_much = (eirp - limit).get() + EIRP.tight;
                format!("Take an antenna of {} less gain, for no level is low enough.", db(too_much.max(0.1)))
            }
        });
        finding = finding.mend("Check your local rules: nobody else can state the limit.");
    }
    finding.figure = Some(FigureId(id.into()));
    Answer { findings: vec![finding], figures: vec![figure] }
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
                  > Take an antenna of 0.1 dB less gain, for no level is low enough.
                  > Check your local rules: nobody else can state the limit.
                  ? level at the socket of level 1 of "Lanner small air unit"
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
