//! Does the speed controller carry the motors' current?

use crate::numbers::rounded;
use crate::rule::rule;
use crate::standing::standing;
use crate::supply_limits::CONTROLLER_LOAD;
use crate::working::Lines;
use crate::{Answer, Finding, Placed, Proof, Verdict};
use craft::schema::{PartKind, board};
use quantity::{Amperes, Figure, Linear, Unit};

rule! {
    /// Does the speed controller carry the motors' current?
    ///
    /// ## Why
    /// A controller over its rating gets hot within seconds, and one switch that burns out stops a motor: the craft falls. It happens at full
    /// throttle in thick air, or when a blade is caught in grass.
    ///
    /// ## Sound when
    /// A motor at full throttle takes 85 % or less of the burst current of its channel, and over the flight 85 % or less of its continuous
    /// current; over all of either is broken. Without a burst current the continuous one must do.
    ///
    /// ## Rests on
    /// The motor's current as on a stand, at full throttle or the limit of the throttle, with the square of the full pack's voltage over the stand's where that is less: what holds a blade back takes as much; the root mean square of the whole craft's
    /// current over the planned flight, shared by the motors, which is a little too much. A burst is ten seconds, by custom; a punch that is planned longer counts as
    /// continuous. 85 % is common practice.
    ///
    /// ## Mend
    /// A controller of more amperes, or blades and motors that take less.
    CONTROLLER_CARRIES = "craft.controller_load", run
}

/// How long a burst is, s: common practice, as sheets say it.
const BURST_LASTS: f64 = 10.0;

fn run(proof: &Proof) -> Answer {
    let boards = [PartKind::SpeedController, PartKind::IntegratedBoard];
    let mut answer = Answer::default();
    // What lacks of the supply itself is told by the rules that judge it.
    if proof.supply().is_none_or(|supply| supply.chain().is_err()) {
        return answer;
    }
    for placed in proof.placed().filter(|placed| boards.contains(&placed.part.kind)) {
        let (finding, figure) = judge(proof, placed);
        answer.findings.extend(finding.map(|finding| finding.at([placed.place.id.clone()])));
        answer.figures.extend(figure);
    }
    answer
}

fn subject(placed: Placed) -> String {
    format!("current of {}", placed.part.name)
}

fn judge(proof: &Proof, placed: Placed) -> (Option<Finding>, Option<Figure>) {
    let item = placed.part.item();
    let continuous = match item.read(&board::CONTINUOUS) {
        Ok(continuous) => continuous,
        Err(missing) => {
            let finding = Finding::unknown(CONTROLLER_CARRIES.id, subject(placed), vec![missing]);
            return (Some(finding), None);
        }
    };
    let found = || {
        let supply = proof.supply()?;
        let chain = supply.chain().ok()?;
        let slots = &supply.model().slots;
        // As the plan lets it, and with the full pack, which drives most through it.
        let volts = chain.pack.full().ok()?.get() / chain.drive.full_at;
        let share = chain.drive.current_share(chain.plan.throttle) * volts.max(1.0).powi(2);
        let full = slots.linear(proof, &slots.sloped(|values| Some(share * chain.drive.full.at(values)))?);
        let steady = &slots.linear(proof, &supply.bus_current()?.rms) * (1.0 / f64::from(chain.drive.count));
        let burst = item.read(&board::BURST).ok().filter(|_| chain.plan.punch[0] <= BURST_LASTS);
        Some((full, steady, burst))
    };
    let Some((full, steady, burst)) = found() else { return (None, None) };
    let for_long = proof.lean(&continuous);
    let bursts = burst.as_ref().map(|burst| proof.lean(burst));
    let share = |flows: &Linear, carries: &Linear| {
        let percent = 100.0 * flows.value / carries.value;
        Linear::chained(percent, &[(100.0 / carries.value, flows), (-percent / carries.value, carries)])
    };
    let at_full = share(&full, bursts.as_ref().unwrap_or(&for_long));
    let over_flight = share(&steady, &for_long);
    let worse = if at_full.value >= over_flight.value { &at_full } else { &over_flight };
    let judged = standing(proof, worse, &CONTROLLER_LOAD);
    let told = |amperes: f64| rounded(amperes, 1);
    let carries = match &burst {
        Some(burst) => format!("{} A in a burst", told(burst.value.get())),
        None => format!("{} A for long", told(continuous.value.get())),
    };
    let throttle =
        proof.supply().and_then(|supply| supply.chain().ok()).map_or(100.0, |chain| chain.plan.throttle);
    let at = match throttle {
        full if full >= 100.0 => "full throttle".to_owned(),
        limited => format!("{} % of throttle", rounded(limited, 0)),
    };
    let message = format!(
        "At {at} on the full pack a motor takes {} A of the {carries} that each channel stands, over the flight {} A of {} A for long",
        told(full.value),
        told(steady.value),
        told(continuous.value.get())
    );
    let sound = judged.verdict == Verdict::Sound;
    let mut finding = judged.finding(CONTROLLER_CARRIES.id, subject(placed), message);
    if !sound {
        let wanted = |amperes: f64| (100.0 * amperes / CONTROLLER_LOAD.tight).ceil();
        let [most, long] = [wanted(full.value), wanted(steady.value)].map(|amperes| rounded(amperes, 0));
        finding = finding
            .mend(format!(
                "Take a controller of {most} A or more in a burst and {long} A for long, or blades and motors that take less."
            ))
            .mend(format!(
                "Or limit the throttle until a motor takes {} A or less.",
                told(1e-2 * CONTROLLER_LOAD.tight * burst.as_ref().unwrap_or(&continuous).value.get())
            ));
    }
    let id = format!("craft.controller_load[{}]", placed.place.id);
    finding.figure = Some(quantity::FigureId(id.clone().into()));
    let figure = Lines::of(proof)
        .result(
            "a motor at most",
            &full,
            Unit::Amperes,
            "stand or sheet, at the limit of the throttle and the full pack's voltage",
        )
        .result("over the flight, for each motor", &steady, Unit::Amperes, "root mean square, rails and all")
        .result("a channel carries for long", &for_long, Unit::Amperes, "its sheet")
        .given(
            "in a burst",
            burst.map_or(continuous.value, |burst| burst.value).max(Amperes::new(0.0)).get(),
            Unit::Amperes,
            "its sheet, ten seconds; the continuous one where none is stated",
        )
        .result("load at full throttle", &at_full, Unit::Percent, "over the burst current")
        .result("load over the flight", &over_flight, Unit::Percent, "over the continuous current")
        .facts(worse)
        .figure(
            id,
            format!("load of {}", placed.part.name),
            (worse, Unit::Percent),
            "the greater of full throttle over burst and flight over continuous",
            CONTROLLER_LOAD.source,
        );
    (Some(finding), Some(figure))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::testing_supply::{check, is_sound, set};
    use expect_test::expect;

    #[test]
    fn a_controller_with_room_is_sound() {
        is_sound(&CONTROLLER_CARRIES);
    }

    #[test]
    fn a_controller_near_its_burst_is_tight() {
        check(
            &CONTROLLER_CARRIES,
            |craft| {
                set(craft, "esc.continuous", "7 A, data sheet");
                set(craft, "esc.burst", "12.5 A, data sheet");
            },
            expect![[r#"
                tight · current of four-way controller · 7.226 % · 98 %
                  At full throttle on the full pack a motor takes 11.6 A of the 12.5 A in a burst that each channel stands, over the flight 1.9 A of 7 A for long
                  > Take a controller of 14 A or more in a burst and 3 A for long, or blades and motors that take less.
                  > Or limit the throttle until a motor takes 10.6 A or less.
            "#]],
        );
    }

    #[test]
    fn without_a_burst_the_continuous_current_must_do_and_a_long_punch_is_none() {
        check(
            &CONTROLLER_CARRIES,
            |craft| {
                set(craft, "esc.continuous", "7 A, data sheet");
                set(craft, "esc.burst", "");
            },
            expect![[r#"
                broken · current of four-way controller · -65.668 % · 0 %
                  At full throttle on the full pack a motor takes 11.6 A of the 7 A for long that each channel stands, over the flight 1.9 A of 7 A for long
                  > Take a controller of 14 A or more in a burst and 3 A for long, or blades and motors that take less.
                  > Or limit the throttle until a motor takes 6 A or less.
            "#]],
        );
        check(
            &CONTROLLER_CARRIES,
            |craft| {
                set(craft, "esc.continuous", "7 A, data sheet");
                set(craft, "esc.burst", "20 A, data sheet");
                set(craft, "craft.punch", "12 s");
            },
            expect![[r#"
                broken · current of four-way controller · -65.668 % · 0 %
                  At full throttle on the full pack a motor takes 11.6 A of the 7 A for long that each channel stands, over the flight 4.6 A of 7 A for long
                  > Take a controller of 14 A or more in a burst and 6 A for long, or blades and motors that take less.
                  > Or limit the throttle until a motor takes 6 A or less.
            "#]],
        );
    }

    /// What is told to be done is done: a limit of the throttle takes the current down.
    #[test]
    fn a_limit_of_the_throttle_takes_the_load_off() {
        let limited = |limit: &'static str| {
            move |craft: &mut craft::Craft| {
                set(craft, "esc.continuous", "7 A, data sheet");
                set(craft, "esc.burst", "9 A, data sheet");
                set(craft, "craft.throttle_limit", limit);
            }
        };
        check(
            &CONTROLLER_CARRIES,
            limited("100 %"),
            expect![[r#"
                broken · current of four-way controller · -28.853 % · 0 %
                  At full throttle on the full pack a motor takes 11.6 A of the 9 A in a burst that each channel stands, over the flight 1.9 A of 7 A for long
                  > Take a controller of 14 A or more in a burst and 3 A for long, or blades and motors that take less.
                  > Or limit the throttle until a motor takes 7.7 A or less.
            "#]],
        );
        check(&CONTROLLER_CARRIES, limited("60 %"), expect![[""]]);
    }

    #[test]
    fn without_its_current_it_is_unknown() {
        check(
            &CONTROLLER_CARRIES,
            |craft| set(craft, "esc.continuous", ""),
            expect![[r#"
            unknown · current of four-way controller
              Nobody can say yet: the continuous current of "four-way controller" is not known
              > Measure or look up the continuous current of "four-way controller".
        "#]],
        );
    }
}
