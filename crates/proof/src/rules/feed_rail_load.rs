//! Does each rail carry what hangs on it?

use crate::numbers::rounded;
use crate::rule::rule;
use crate::standing::standing_of;
use crate::subject::wrong_and_mend;
use crate::supply::{NetFacts, RailFacts, SupplyModel, first_that_holds, rail_figure, warm_board};
use crate::supply_limits::{RAIL_PEAK, RAIL_TYPICAL};
use crate::working::Lines;
use crate::{Answer, Finding, Proof, Verdict};
use power::{CONVERTER_SOURCE, PACK, Usage};
use quantity::{Celsius, FigureId, Linear, Unit, Volts};

rule! {
    /// Does each rail carry what hangs on it?
    ///
    /// ## Why
    /// A converter that is asked for more than it gives folds its voltage back: the video restarts, and so does what else hangs on it, the
    /// control receiver first of all. Printed currents hold for a cool board with wind; between other boards less is left.
    ///
    /// ## Sound when
    /// The sum of the usual loads is at most 60 % of what the converter gives at its temperature, the sum of the peaks at most 85 %. Peaks over
    /// 100 % are broken.
    ///
    /// ## Rests on
    /// What each part takes that says what feeds it, the video at its level with its swing, efficiencies of converters that feed others, the rated
    /// current, and less of it from the temperature on that its sheet names. About the converters it is 20 K warmer than the hottest air.
    ///
    /// ## Mend
    /// Move a load to a rail that has room, or give it a converter of its own. A feed is named only if no other rule of the supply calls the craft
    /// worse with it.
    RAIL_CARRIES = "feed.rail_load", run
}

fn run(proof: &Proof) -> Answer {
    let Some(supply) = proof.supply() else { return Answer::default() };
    let model = supply.model();
    // What lacks of the video's own feed is told of the video at a punch.
    let Some(net) = model.net.as_ref().ok().or(model.rest.as_ref()) else { return Answer::default() };
    let Ok(cells) = &model.cells else { return Answer::default() };
    let (full, hottest) = (cells.full, hottest(model));
    let mut answer = Answer::default();
    for (k, rail) in net.rails.iter().enumerate() {
        if loads_on(net, rail).is_empty() && !net.rails.iter().any(|other| other.from == rail.name) {
            continue;
        }
        if let Some((finding, figure)) = judge(proof, model, net, (k, rail), full, hottest) {
            answer.findings.push(finding.at([rail.place.clone()]));
            answer.figures.push(figure);
        }
    }
    if !net.uncounted.missing.is_empty() {
        let missing = net.uncounted.missing.clone();
        answer.findings.push(Finding::unknown(RAIL_CARRIES.id, "loads that say no feed", missing));
    }
    if !net.uncounted.wrong.is_empty() {
        let apart: Vec<_> = net.uncounted.wrong.iter().map(|words| wrong_and_mend(words)).collect();
        let words: Vec<&str> = apart.iter().map(|(wrong, _)| *wrong).collect();
        let words = format!("Nobody can say yet: {}", words.join("; "));
        let finding = Finding::new(RAIL_CARRIES.id, Verdict::Unknown, "loads off the pack", words);
        // Each mend once: what hangs on a circle is mended with it.
        let mut mends: Vec<String> = apart.into_iter().map(|(_, mend)| mend).collect();
        mends.dedup();
        answer.findings.push(mends.into_iter().fold(finding, Finding::mend));
    }
    answer
}

fn hottest(model: &SupplyModel) -> Celsius {
    model
        .heat
        .as_ref()
        .map(|heat| heat.hottest)
        .or(model.plan.as_ref().map(|plan| plan.hottest))
        .unwrap_or(Celsius::new(30.0))
}

fn loads_on<'n>(net: &'n NetFacts, rail: &RailFacts) -> Vec<&'n str> {
    net.loads.iter().filter(|load| load.on == rail.name).map(|load| load.called.as_str()).collect()
}

fn judge(
    proof: &Proof,
    model: &SupplyModel,
    net: &NetFacts,
    (k, rail): (usize, &RailFacts),
    full: Volts,
    hottest: Celsius,
) -> Option<(Finding, quantity::Figure)> {
    let slots = &model.slots;
    let about = warm_board(hottest);
    // The share of its limit that is drawn; at nearly full charge, where every rail stands.
    let share = |values: &[f64], usage: Usage| -> Option<f64> {
        let report = net.at(values, about).ok()?.at(full * 0.95, usage);
        let limit = report.rails[k].limit?.get();
        // A converter that is too weak for its own board's heat gives nothing: everything is too much.
        Some(100.0 * report.rails[k].amperes.get() / limit.max(1e-3))
    };
    let amperes = |usage: Usage| Some(net.at(slots.values(), about).ok()?.at(full * 0.95, usage).rails[k]);
    let peak: Linear = slots.linear(proof, &slots.sloped(|values| share(values, Usage::Peak))?);
    let typical: Linear = slots.linear(proof, &slots.sloped(|values| share(values, Usage::Typical))?);
    let (now, most) = (amperes(Usage::Typical)?, amperes(Usage::Peak)?);
    let mut standing =
        standing_of(proof, &(&-&peak + RAIL_PEAK.broken), RAIL_PEAK.broken - RAIL_PEAK.tight, Unit::Percent);
    if typical.value > RAIL_TYPICAL.tight && standing.verdict == Verdict::Sound {
        standing.verdict = Verdict::Tight;
    }
    let verdict = standing.verdict;
    let limit = rounded(most.limit.map_or(0.0, |limit| limit.get()), 2);
    let [usual, highest] = [now.amperes.get(), most.amperes.get()].map(|amperes| rounded(amperes, 2));
    let message = match verdict {
        Verdict::Broken => format!("{} carries {highest} A at its peak, and gives {limit} A", rail.called),
        Verdict::Tight => format!("{} carries {usual} A, {highest} A at its peak, of {limit} A", rail.called),
        _ => format!("{} carries {usual} A, {highest} A at its peak, of {limit} A", rail.called),
    };
    let mut finding = standing.finding(RAIL_CARRIES.id, rail.called.clone(), message);
    if verdict != Verdict::Sound {
        finding = finding.mend(mend(proof, model, net, rail, about, full));
    }
    let id = rail_figure("feed.rail_load", &rail.name);
    finding.figure = Some(FigureId(id.clone().into()));
    let figure = Lines::of(proof)
        .given("usual current", now.amperes.get(), Unit::Amperes, "sum of what hangs on it")
        .given("peak current", most.amperes.get(), Unit::Amperes, "sum of the peaks")
        .given(
            "what it gives",
            most.limit.map_or(0.0, |limit| limit.get()),
            Unit::Amperes,
            format!("at {about} about it"),
        )
        .given("usual share", typical.value, Unit::Percent, "of what it gives")
        .facts(&peak)
        .figure(
            id,
            format!("peak load of {}", rail.called),
            (&peak, Unit::Percent),
            "100 % · sum of the peaks / what the converter gives at its temperature",
            CONVERTER_SOURCE,
        );
    Some((finding, figure))
}

/// The rail with the most room whose voltage the heaviest load of this one stands, or a converter of its own.
fn mend(
    proof: &Proof,
    model: &SupplyModel,
    net: &NetFacts,
    rail: &RailFacts,
    about: Celsius,
    full: Volts,
) -> String {
    let values = model.slots.values();
    let Ok(now) = net.at(values, about) else { return "Give a load a converter of its own.".to_owned() };
    let report = now.at(full * 0.95, Usage::Peak);
    let heaviest = net
        .loads
        .iter()
        .zip(&report.loads)
        .filter(|(load, _)| load.on == rail.name)
        .max_by(|a, b| a.1.amperes.get().total_cmp(&b.1.amperes.get()));
    let Some((load, at)) = heaviest else { return "Give a load a converter of its own.".to_owned() };
    let watts = (at.volts.get() * at.amperes.get()).max(0.0);
    let suits = |other: &RailFacts| {
        let out = other.out.at(values);
        let least = load.least.map_or(0.9 * rail.out.at(values), |least| least.at(values));
        let most = load.most.map_or(1.1 * rail.out.at(values), |most| most.at(values));
        (least..=most).contains(&out)
    };
    let with_room = net.rails.iter().zip(&report.rails).filter(|(other, state)| {
        let more = state.amperes.get() + watts / other.out.at(values).max(0.1);
        let limit = state.limit.map_or(0.0, |limit| limit.get());
        other.name != rail.name && suits(other) && more < RAIL_PEAK.tight * 1e-2 * limit
    });
    let direct = load.most.is_some_and(|most| most.at(values) > 1.25 * full.get()).then_some(PACK);
    let feeds = with_room.map(|(other, _)| other.name.as_str()).chain(direct);
    let fits = first_that_holds(proof, &load.place, feeds, (RAIL_CARRIES.id, &rail.called));
    let how = fits.as_ref().map_or_else(String::new, |fits| fits.words(proof, &load.place));
    match fits.map(|fits| net.rail(fits.feed)) {
        Some(Some(other)) => format!("Move {} to {}, which has room{how}.", load.called, other.called),
        Some(None) => format!("Feed {} from the pack itself{how}.", load.called),
        None => format!(
            "Give {} a converter of its own, of {} W or more.",
            load.called,
            rounded((1.4 * watts).ceil(), 0)
        ),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::testing_supply::{check, is_sound, set, unwire};
    use expect_test::expect;

    #[test]
    fn rails_with_room_are_sound() {
        is_sound(&RAIL_CARRIES);
    }

    #[test]
    fn a_rail_loaded_beyond_what_is_usual_is_tight() {
        check(
            &RAIL_CARRIES,
            |craft| set(craft, "fc.rail[1].current", "0.8 A, data sheet"),
            expect![[r#"
                tight · 9 V of flight controller · 24.911 % · 100 %
                  9 V of flight controller carries 0.5 A, 0.6 A at its peak, of 0.8 A
                  > Feed Lanner small air unit from the pack itself, with a coil of 10 µH that saturates above 1 A in its plus wire and 470 µF, 25 V, of 25 mΩ or less across its pins.
            "#]],
        );
    }

    #[test]
    fn a_rail_that_gives_less_than_the_peak_is_broken_and_the_wire_to_move_is_named() {
        check(
            &RAIL_CARRIES,
            |craft| set(craft, "fc.rail[1].current", "0.5 A, data sheet"),
            expect![[r#"
                broken · 9 V of flight controller · -20.142 % · 5 %
                  9 V of flight controller carries 0.6 A at its peak, and gives 0.5 A
                  > Feed Lanner small air unit from the pack itself, with a coil of 10 µH that saturates above 1 A in its plus wire and 470 µF, 25 V, of 25 mΩ or less across its pins.
            "#]],
        );
        check(
            &RAIL_CARRIES,
            |craft| {
                set(craft, "fc.rail[1].current", "0.5 A, data sheet");
                set(craft, "vtx.supply_max", "12 V");
                set(craft, "vtx.supply_min", "4.5 V");
            },
            expect![[r#"
                broken · 9 V of flight controller · -20.142 % · 5 %
                  9 V of flight controller carries 0.6 A at its peak, and gives 0.5 A
                  > Move Lanner small air unit to 5 V of flight controller, which has room: take the wire of vtx/VCC from fc/9V to fc/5V.
            "#]],
        );
    }

    #[test]
    fn a_load_that_says_no_feed_is_unknown_and_named() {
        check(
            &RAIL_CARRIES,
            |craft| unwire(craft, "rx/5V"),
            expect![[r#"
                unknown · loads off the pack
                  Nobody can say yet: no wire brings control receiver a supply at rx/5V
                  > Join it to a pad that gives what it needs, or under [place.rx] write what feeds it as fed_from.
            "#]],
        );
    }

    #[test]
    fn a_circle_of_rails_takes_the_answer_from_its_own_loads_only() {
        // The receiver's rail is fed from one that is fed from it; the video's own is not.
        check(
            &RAIL_CARRIES,
            |craft| {
                crate::testing::row(
                    craft,
                    "fc",
                    "rail",
                    &[("name", "3 V"), ("out", "3.3 V"), ("current", "1 A"), ("from", "5 V")],
                );
                set(craft, "fc.rail[0].from", "3 V");
            },
            expect![[r#"
                unknown · loads off the pack
                  Nobody can say yet: rails feed themselves: fc/5 V from fc/3 V from fc/5 V; control receiver hangs on "fc/5 V": rails feed themselves: fc/5 V from fc/3 V from fc/5 V
                  > In the row "5 V" of [[part.fc.rail]] take from = "3 V" out, and it hangs on what feeds the board.
            "#]],
        );
        // The video's rail goes in a circle; the receiver's is still judged.
        let mut craft = crate::testing_supply::sound_supply();
        crate::testing::row(
            &mut craft,
            "fc",
            "rail",
            &[("name", "12 V"), ("out", "12 V"), ("current", "1 A"), ("from", "9 V")],
        );
        set(&mut craft, "fc.rail[1].from", "12 V");
        expect![[r#"
            unknown · loads off the pack
              Nobody can say yet: rails feed themselves: fc/9 V from fc/12 V from fc/9 V
              > In the row "9 V" of [[part.fc.rail]] take from = "12 V" out, and it hangs on what feeds the board.
            sound · 5 V of flight controller · 95 % · 100 %
              5 V of flight controller carries 0.1 A, 0.1 A at its peak, of 2 A
        "#]].assert_eq(&crate::testing::told_of(&RAIL_CARRIES, &craft, |_| true));
        expect![[r#"
            unknown · video at a punch
              Nobody can say yet: Lanner small air unit hangs on "fc/9 V": rails feed themselves: fc/9 V from fc/12 V from fc/9 V
              > In the row "9 V" of [[part.fc.rail]] take from = "12 V" out, and it hangs on what feeds the board.
        "#]].assert_eq(&crate::testing::told_of(
            &crate::rules::feed_video_at_punch::VIDEO_AT_PUNCH,
            &craft,
            |_| true,
        ));
    }
}
