//! Does no rail that burns the difference get too hot?

use crate::numbers::rounded;
use crate::rule::rule;
use crate::standing::standing;
use crate::subject::by_custom;
use crate::supply::custom::{LINEAR_OWN, LINEAR_WARMS, SWITCHED_GIVES};
use crate::supply::{Kind, NetFacts, RailFacts, SupplyModel, rail_figure, volts, warm_board};
use crate::supply_limits::LINEAR_HOT;
use crate::working::Lines;
use crate::{Answer, Finding, Proof, Verdict};
use power::{CONVERTER_SOURCE, PACK, RailReport, Usage};
use quantity::{Figure, FigureId, Linear, Percent, Unit, Volts};

rule! {
    /// Does no rail that burns the difference get too hot?
    ///
    /// ## Why
    /// A linear converter turns every volt between its input and its output to heat, times all of its current: 9 V from four cells at 0.8 A are
    /// 5 W on a chip that sheds one. It shuts down, and the picture with it; and it warms the board that it stands on.
    ///
    /// ## Sound when
    /// In cruise, in the hottest air, its inside stays at 100 °C or less; over 125 °C is broken.
    ///
    /// ## Rests on
    /// The usual loads of the rail, the pack half way between take-off and landing or the rail before it, what the converter takes itself; 40 to
    /// 80 K for each watt over a board 20 K warmer than the hottest air.
    ///
    /// ## Mend
    /// A converter that switches, a lower input, or less on the rail.
    BURNS_LITTLE = "heat.linear_rail", run
}

/// Such a chip switches itself off by itself at 150 to 175 °C, by custom: above, no temperature is told.
const SHUTS_DOWN: f64 = 165.0;

fn run(proof: &Proof) -> Answer {
    let Some(supply) = proof.supply() else { return Answer::default() };
    let model = supply.model();
    let Some(net) = model.net.as_ref().ok().or(model.rest.as_ref()) else { return Answer::default() };
    let mut answer = Answer::default();
    for (k, rail) in net.rails.iter().enumerate().filter(|(_, rail)| rail.conversion == Kind::Linear) {
        if let Some((finding, figure)) = judge(proof, model, net, (k, rail)) {
            answer.findings.push(finding.at([rail.place.clone()]));
            answer.figures.push(figure);
        }
    }
    answer
}

fn judge(
    proof: &Proof,
    model: &SupplyModel,
    net: &NetFacts,
    (k, rail): (usize, &RailFacts),
) -> Option<(Finding, Figure)> {
    let (slots, plan) = (&model.slots, model.plan.as_ref().ok()?);
    let curve = model.pack.as_ref().ok()?.curve().ok()?;
    let half = Percent::new(0.5 * (plan.start.get() + plan.land.get()));
    let bus = curve.at(half) * f64::from(model.cells.as_ref().ok()?.series);
    let about = warm_board(plan.hottest);
    let at_work = |values: &[f64]| -> Option<RailReport> {
        Some(*net.at(values, about).ok()?.at(bus, Usage::Typical).rails.get(k)?)
    };
    let now = at_work(slots.values())?;
    if now.amperes.get() <= 0.0 {
        return None;
    }
    let burnt = slots.linear(proof, &slots.sloped(|values| Some(at_work(values)?.heat.get()))?);
    let warms = by_custom(
        format!("{}.linear_warms", rail.name),
        "warming of a linear converter by a watt, in K",
        &LINEAR_WARMS,
    );
    let warms = proof.lean(&warms);
    let parts = [(warms.value, &burnt), (burnt.value, &warms)];
    let inside = Linear::chained(about.get() + burnt.value * warms.value, &parts);
    let judged = standing(proof, &inside, &LINEAR_HOT);
    let verdict = judged.verdict;
    let (out, watts) = (rail.out.at(slots.values()), rounded(burnt.value, 1));
    let from = if rail.from == PACK { bus } else { Volts::new(net.rail(&rail.from)?.out.at(slots.values())) };
    // Such chips switch themselves off long before: nobody will read that temperature.
    let reaches = match inside.value > SHUTS_DOWN {
        true => format!(
            "goes far past its limit of {} °C and switches itself off, or dies",
            rounded(LINEAR_HOT.broken, 0)
        ),
        false => format!("reaches {} °C inside", rounded(inside.value, 0)),
    };
    let message = format!(
        "{} burns {watts} W in cruise: {} are taken down to {} at {} A, and a chip of its kind then {reaches}",
        rail.called,
        volts(from.get()),
        volts(out),
        rounded(now.amperes.get(), 2)
    );
    let mut finding = judged.finding(BURNS_LITTLE.id, rail.called.clone(), message);
    if verdict != Verdict::Sound {
        let gives = out * now.amperes.get();
        let switched = rounded(gives / SWITCHED_GIVES - gives, 1);
        finding = finding
            .mend(format!("Make its {} by a converter that switches: about {switched} W.", volts(out)));
        let least = rail.converter(slots.values()).ok()?.least_input().get();
        let lower = net.rails.iter().filter(|other| other.name != rail.name && other.from != rail.name);
        let lower = lower.map(|other| (other.out.at(slots.values()), other));
        let lower = lower.filter(|(volts, _)| *volts >= least && *volts < 0.9 * from.get());
        if let Some((input, other)) = lower.min_by(|a, b| a.0.total_cmp(&b.0)) {
            let left = rounded((input - out) * now.amperes.get(), 1);
            finding = finding.mend(format!("Or feed it from {}: {left} W.", other.called));
        }
        // What the little that it takes itself burns does not go with what hangs on it.
        let cool = (LINEAR_HOT.tight - about.get()) / warms.value - from.get() * LINEAR_OWN;
        let most = (cool / (from.get() - out).max(1e-3) * 1e3).floor();
        if most >= 1.0 {
            finding = finding.mend(format!(
                "Or hang no more than {} mA on it; {} mA hang there.",
                rounded(most, 0),
                rounded(1e3 * now.amperes.get(), 0)
            ));
        }
    }
    let id = rail_figure("heat.linear_rail", &rail.name);
    finding.figure = Some(FigureId(id.clone().into()));
    let figure = Lines::of(proof)
        .given(
            "input",
            from.get(),
            Unit::Volts,
            "half way between take-off and landing, or the rail before it",
        )
        .given("output", out, Unit::Volts, "its sheet")
        .given("current in cruise", now.amperes.get(), Unit::Amperes, "the usual loads of the rail")
        .result("burnt", &burnt, Unit::Watts, "(input - output) · current + input · what it takes itself")
        .given("about it", about.get(), Unit::Celsius, "20 K over the hottest air")
        .facts(&warms)
        .figure(
            id,
            format!("temperature inside {}", rail.called),
            (&inside, Unit::Celsius),
            "about it + burnt · K for a watt",
            CONVERTER_SOURCE,
        );
    Some((finding, figure))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::testing_supply::{check, set};
    use expect_test::expect;

    #[test]
    fn rails_that_switch_are_not_asked() {
        check(&BURNS_LITTLE, |_| (), expect![""]);
    }

    #[test]
    fn nine_volts_for_the_video_burnt_down_from_four_cells_are_broken() {
        check(
            &BURNS_LITTLE,
            |craft| set(craft, "fc.rail[1].conversion", "linear"),
            expect![[r#"
                broken · 9 V of flight controller · -121.971 °C · 0 %
                  9 V of flight controller burns 3.3 W in cruise: 15.4 V are taken down to 9 V at 0.5 A, and a chip of its kind then goes far past its limit of 125 °C and switches itself off, or dies
                  > Make its 9 V by a converter that switches: about 0.5 W.
                  > Or hang no more than 118 mA on it; 500 mA hang there.
            "#]],
        );
    }

    #[test]
    fn five_volts_for_a_receiver_are_sound_from_nine_and_tight_from_the_pack() {
        let linear = |craft: &mut craft::Craft| set(craft, "fc.rail[0].conversion", "linear");
        check(
            &BURNS_LITTLE,
            linear,
            expect![[r#"
                tight · 5 V of flight controller · 7.946 °C · 68 %
                  5 V of flight controller burns 1.1 W in cruise: 15.4 V are taken down to 5 V at 0.1 A, and a chip of its kind then reaches 117 °C inside
                  > Make its 5 V by a converter that switches: about 0.1 W.
                  > Or feed it from 9 V of flight controller: 0.4 W.
                  > Or hang no more than 72 mA on it; 100 mA hang there.
                  ? warming of a linear converter by a watt, in K (by custom: a regulator soldered to a small board without a sink warms by 40 to 80 K for a watt)
            "#]],
        );
        check(
            &BURNS_LITTLE,
            |craft| {
                linear(craft);
                set(craft, "fc.rail[0].from", "9 V");
            },
            expect![""],
        );
    }
}
