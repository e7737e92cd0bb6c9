//! Is a converter that steps up far from pulling its pack down?

use crate::numbers::rounded;
use crate::rule::rule;
use crate::standing::standing;
use crate::supply::{Chain, Kind, NetFacts, Supply, spoilt, warm_board};
use crate::supply_limits::BOOST_FOLD;
use crate::working::Lines;
use crate::{Answer, Proof, Verdict};
use power::{PACK, Usage};
use quantity::{FigureId, Source, Unit};

rule! {
    /// Is a converter that steps up far from pulling its pack down?
    ///
    /// ## Why
    /// A converter that steps up takes the same power at any voltage: when the cell sags it draws more, and the cell sags further.
    /// Behind a resistance there is a power beyond which no voltage is stable, and everything falls over at once.
    ///
    /// ## Sound when
    /// The square of the voltage left for it, over four times resistance and power, is 1.5 or more. Under 1 no voltage is stable: broken.
    ///
    /// ## Rests on
    /// The pack at the charge of landing in the cold with the motors at full throttle: the voltage that they leave, how much it falls for each further
    /// ampere, and what the converter takes at its peak.
    ///
    /// ## Mend
    /// Less resistance: a better plug, a thicker lead, a pack of fewer milliohms. Or less power: a lower level.
    STEP_UP_STANDS = "feed.boost_fold", run
}

const SUBJECT: &str = "converter that steps up";
const SOURCE: Source =
    Source::common_practice("a load of constant power behind a resistance stands where V² ≥ 4·R·P");

fn run(proof: &Proof) -> Answer {
    let Some(supply) = proof.supply() else { return Answer::default() };
    let chain = match supply.chain() {
        Ok(chain) => chain,
        Err(lack) => {
            let steps_up = |net: &NetFacts| net.rails.iter().any(|rail| rail.conversion == Kind::StepUp);
            return match supply.model().net.as_ref().is_ok_and(steps_up) {
                true => spoilt(proof, STEP_UP_STANDS.id, SUBJECT, &lack),
                false => Answer::default(),
            };
        }
    };
    let carries = |name: &str| chain.net.loads.iter().any(|load| load.on == name);
    let boosts: Vec<usize> = (0..chain.net.rails.len())
        .filter(|k| {
            let rail = &chain.net.rails[*k];
            rail.conversion == Kind::StepUp && rail.from == PACK && carries(&rail.name)
        })
        .collect();
    boosts.into_iter().filter_map(|k| judge(proof, supply, &chain, k)).fold(
        Answer::default(),
        |mut all, one| {
            all.findings.extend(one.findings);
            all.figures.extend(one.figures);
            all
        },
    )
}

fn judge(proof: &Proof, supply: &Supply, chain: &Chain, k: usize) -> Option<Answer> {
    let slots = &supply.model().slots;
    let rail = &chain.net.rails[k];
    let full = chain.pack.full().ok()?;
    let power = |values: &[f64]| -> Option<f64> {
        let net = chain.net.at(values, warm_board(chain.plan.hottest)).ok()?;
        let report = net.at(full * 0.9, Usage::Peak).rails[k];
        Some(report.volts.get() * report.amperes.get() + report.heat.get())
    };
    // Without the rail, with one ampere more, and how much lower the bus stands for it.
    let left = supply.left_without_rails(0.0)?;
    let lower = supply.left_without_rails(1.0)?;
    let (volts, ohm, watts) = (left, (left - lower).max(1e-4), slots.sloped(power)?);
    if watts.value <= 0.0 {
        return None;
    }
    let by_power = slots.linear(proof, &watts);
    let value = volts * volts / (4.0 * ohm * watts.value);
    let ratio = quantity::Linear::chained(value, &[(-value / watts.value, &by_power)]);
    let judged = standing(proof, &ratio, &BOOST_FOLD);
    let verdict = judged.verdict;
    let [times, at] = [rounded(value, 1), rounded(chain.plan.land.get(), 0)];
    let message = match verdict {
        Verdict::Broken => {
            format!("{} falls over at a punch at {at} %: it pulls more as the cell sags", rail.called)
        }
        Verdict::Tight => format!(
            "{} is near to falling over at a punch at {at} %: {times} times what it takes could be drawn",
            rail.called
        ),
        _ => format!("At a punch at {at} % {times} times what {} takes could be drawn", rail.called),
    };
    let mut finding = judged.finding(STEP_UP_STANDS.id, SUBJECT, message).at([rail.place.clone()]);
    if verdict != Verdict::Sound {
        finding = finding
            .mend("Take resistance out of the way: a better plug first, then a thicker and shorter lead.");
        finding = finding.mend("Or lower the level, or limit the throttle.");
    }
    let id = crate::supply::rail_figure("feed.boost_fold", &rail.name);
    finding.figure = Some(FigureId(id.clone().into()));
    let figure = Lines::of(proof)
        .given("bus that the motors leave", volts, Unit::Volts, "full throttle at the charge of landing")
        .given("fall for each further ampere", 1e3 * ohm, Unit::Milliohms, "of the pack under that load")
        .result("power of the converter", &by_power, Unit::Watts, "at its peak, its own heat with it")
        .figure(
            id,
            format!("what {} could draw over what it does", rail.called),
            (&ratio, Unit::Ratio),
            "V² / (4 · R · P)",
            SOURCE,
        );
    Some(Answer { findings: vec![finding], figures: vec![figure] })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::testing_supply::{check, one_cell, set, sound_supply};
    use expect_test::expect;

    #[test]
    fn a_converter_far_from_folding_is_sound() {
        let mut craft = sound_supply();
        one_cell(&mut craft);
        expect![[r#"
            sound · converter that steps up · 134.214 · 100 %
              At a punch at 25 % 135.2 times what 5 V of flight controller takes could be drawn
            sound · converter that steps up · 13.615 · 100 %
              At a punch at 25 % 14.6 times what 9 V of flight controller takes could be drawn
        "#]]
        .assert_eq(&crate::testing::told_of(&STEP_UP_STANDS, &craft, |_| true));
    }

    #[test]
    fn a_plug_in_the_way_is_tight() {
        check(
            &STEP_UP_STANDS,
            |craft| {
                one_cell(craft);
                set(craft, "pack.connector_resistance", "70 mΩ, measured");
                set(craft, "pack.cell_resistance", "90 mΩ, measured");
            },
            expect![[r#""#]],
        );
    }

    #[test]
    fn more_power_than_the_cell_can_give_is_broken() {
        check(
            &STEP_UP_STANDS,
            |craft| {
                one_cell(craft);
                set(craft, "pack.connector_resistance", "70 mΩ, measured");
                set(craft, "pack.cell_resistance", "80 mΩ, measured");
                set(craft, "vtx.level[0].draw", "8 W, measured");
            },
            expect![[r#"
                broken · converter that steps up · -0.124 · 6 %
                  9 V of flight controller falls over at a punch at 25 %: it pulls more as the cell sags
                  > Take resistance out of the way: a better plug first, then a thicker and shorter lead.
                  > Or lower the level, or limit the throttle.
                  ? No single measurement would change this verdict; two would: efficiency of rail "9 V" of "flight controller" and swing of the video's draw (by custom: keying in bursts of a fifth about the mean). They take its certainty from 94 % to 98 %.
            "#]],
        );
    }

    #[test]
    fn a_converter_that_steps_down_is_not_asked_and_what_lacks_is_told_of_the_video() {
        check(&STEP_UP_STANDS, |_| {}, expect![[r#""#]]);
        check(
            &STEP_UP_STANDS,
            |craft| {
                one_cell(craft);
                set(craft, "pack.lead", "");
            },
            expect![[r#""#]],
        );
    }
}
