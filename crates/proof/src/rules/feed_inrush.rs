//! Does the video's rail carry its start?

use crate::numbers::rounded;
use crate::rule::rule;
use crate::standing::standing;
use crate::supply::{
    NetFacts, RailFacts, SupplyModel, VIDEO, first_that_holds, minutes, of_unit, spoilt, warm_board,
    wire_to_move,
};
use crate::supply_limits::INRUSH;
use crate::working::Lines;
use crate::{Answer, Finding, Proof, Verdict};
use craft::schema::{PartKind, air};
use power::{CONVERTER_SOURCE, PACK, Usage};
use quantity::{FigureId, Unit};

rule! {
    /// Does the video's rail carry its start?
    ///
    /// ## Why
    /// A video unit takes 1.3 to 1.8 times its usual current while encoder, camera and card start. A rail at its limit hiccups: it
    /// starts, falls, starts again, and never comes up.
    ///
    /// ## Sound when
    /// The start-up peak with everything else on the rail is 85 % or less of what the converter gives; over 100 % is broken. On the pack
    /// itself nothing limits it.
    ///
    /// ## Rests on
    /// The start-up peak on the unit's sheet, the other loads of its rail, the converter at its temperature.
    ///
    /// ## Mend
    /// A rail that gives more, the pack itself, or a converter of its own. The first two are named only if no other rule of the supply calls the craft
    /// worse with them.
    START_IS_CARRIED = "feed.inrush", run
}

const SUBJECT: &str = "start of the video";

fn run(proof: &Proof) -> Answer {
    let Some(supply) = proof.supply() else { return Answer::default() };
    let model = supply.model();
    let net = match &model.net {
        Ok(net) => net,
        Err(lack) => return spoilt(proof, START_IS_CARRIED.id, SUBJECT, lack),
    };
    let video = net.video();
    if video.on == PACK {
        return Answer::default();
    }
    if video.start.is_none() {
        let part =
            proof.placed_at(&video.place).map(|placed| placed.part.item().missing(&air::START_PEAK.def));
        let missing = part.into_iter().collect();
        return Answer::of(of_unit(proof, Finding::unknown(START_IS_CARRIED.id, SUBJECT, missing)));
    }
    judge(proof, model, net).unwrap_or_default()
}

fn judge(proof: &Proof, model: &SupplyModel, net: &NetFacts) -> Option<Answer> {
    let slots = &model.slots;
    let video = net.video();
    let k = net.rails.iter().position(|rail| rail.name == video.on)?;
    let bus = model.cells.as_ref().ok()?.full * 0.95;
    let about = warm_board(quantity::Celsius::new(30.0));
    let at = |values: &[f64]| -> Option<[f64; 2]> {
        let report = net.at(values, about).ok()?.at(bus, Usage::Typical);
        let others = report.rails[k].amperes.get() - report.loads[VIDEO].amperes.get();
        Some([video.start?.at(values) + others.max(0.0), report.rails[k].limit?.get()])
    };
    let share = slots.sloped(|values| at(values).map(|[peak, limit]| 100.0 * peak / limit.max(1e-3)))?;
    let share = slots.linear(proof, &share);
    let [peak, limit] = at(slots.values())?;
    let judged = standing(proof, &share, &INRUSH);
    let verdict = judged.verdict;
    let rail = &net.rails[k];
    let units = proof.places_of(PartKind::VideoTransmitter);
    let lasts = units.filter_map(|unit| unit.part.item().read(&air::START_TIME).ok()).next();
    let lasts = lasts.map_or_else(|| "up to 3 s".to_owned(), |time| minutes(time.value.get()));
    let [amperes, most] = [peak, limit].map(|amperes| rounded(amperes, 2));
    let message = match verdict {
        Verdict::Broken => format!(
            "The start takes {amperes} A for {lasts}, and {} gives {most} A: it may never come up",
            rail.called
        ),
        _ => format!("The start takes {amperes} A for {lasts} of the {most} A that {} gives", rail.called),
    };
    let mut finding = of_unit(proof, judged.finding(START_IS_CARRIED.id, SUBJECT, message));
    if verdict != Verdict::Sound {
        let with_room = |other: &&RailFacts| {
            let fits = |least: f64, most: f64| (least..=most).contains(&other.out.at(slots.values()));
            let suits = video
                .least
                .zip(video.most)
                .is_some_and(|(least, most)| fits(slots.of(least), slots.of(most)));
            let watts = peak * rail.out.at(slots.values());
            other.name != rail.name
                && suits
                && watts / other.out.at(slots.values()) < 0.85 * other.current.at(slots.values())
        };
        let full = bus.get() / 0.95;
        let direct = video.most.is_some_and(|most| slots.of(most) > 1.25 * full).then_some(PACK);
        let feeds = net.rails.iter().filter(with_room).map(|other| other.name.as_str()).chain(direct);
        let fits = first_that_holds(proof, &video.place, feeds, (START_IS_CARRIED.id, SUBJECT));
        let wire = fits.map_or_else(String::new, |feed| wire_to_move(proof, &video.place, feed));
        finding = finding.mend(match fits.map(|feed| (feed, net.rail(feed))) {
            Some((_, Some(other))) => format!("Power it from {}{wire}.", other.called),
            Some((_, None)) => {
                format!("Power it from the pack itself, with a capacitor at its pins{wire}.")
            }
            None => format!(
                "Give it a converter of its own, of {} A or more.",
                rounded((1.2 * peak * 10.0).ceil() / 10.0, 1)
            ),
        });
    }
    finding.figure = Some(FigureId("feed.inrush".into()));
    let figure = Lines::of(proof)
        .given("start and all else on the rail", peak, Unit::Amperes, "start-up peak and the usual loads")
        .given("what the rail gives", limit, Unit::Amperes, format!("at {about} about it"))
        .facts(&share)
        .figure(
            "feed.inrush",
            "start-up peak over what the rail gives",
            (&share, Unit::Percent),
            "100 % · (start-up peak + other loads) / what the converter gives",
            CONVERTER_SOURCE,
        );
    Some(Answer { findings: vec![finding], figures: vec![figure] })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::testing_supply::{check, is_sound, on_the_pack, set};
    use expect_test::expect;

    #[test]
    fn a_start_well_within_the_rail_is_sound() {
        is_sound(&START_IS_CARRIED);
    }

    #[test]
    fn a_start_near_the_limit_is_tight() {
        check(
            &START_IS_CARRIED,
            |craft| set(craft, "vtx.start_peak", "1.8 A, measured"),
            expect![[r#"
                tight · start of the video · 10 % · 89 %
                  The start takes 1.8 A for up to 3 s of the 2 A that 9 V of flight controller gives
                  > Give it a converter of its own, of 2.2 A or more.
                  ? rated current of rail "9 V" of "flight controller"
            "#]],
        );
    }

    #[test]
    fn a_start_beyond_the_limit_is_broken() {
        check(
            &START_IS_CARRIED,
            |craft| set(craft, "vtx.start_peak", "2.6 A, measured"),
            expect![[r#"
                broken · start of the video · -30 % · 0 %
                  The start takes 2.6 A for up to 3 s, and 9 V of flight controller gives 2 A: it may never come up
                  > Power it from the pack itself, with a capacitor at its pins.
            "#]],
        );
    }

    #[test]
    fn a_start_of_which_nothing_is_said_is_unknown_and_on_the_pack_it_is_not_asked() {
        check(
            &START_IS_CARRIED,
            |craft| set(craft, "vtx.start_peak", ""),
            expect![[r#"
            unknown · start of the video
              Nobody can say yet: the start-up peak of "Lanner small air unit" is not known
              > Measure or look up the start-up peak of "Lanner small air unit".
        "#]],
        );
        check(&START_IS_CARRIED, on_the_pack, expect![[r#""#]]);
    }

    /// With 13 V wanted a punch blacks it out on the pack, which its rail of 14 V does not.
    #[test]
    fn the_pack_is_not_named_where_the_video_would_go_black_on_it() {
        let spoil = |craft: &mut craft::Craft, least: &str| {
            on_the_pack(craft);
            crate::testing_wiring::rewire_source(craft, "vtx/VCC", "fc/9V");
            for (path, text) in [
                ("vtx.start_peak", "2.6 A, measured"),
                ("vtx.supply_min", least),
                ("fc.rail[1].out", "14 V, data sheet"),
                ("fc.rail[1].conversion", "step-up"),
                ("fc.rail[1].input_max", "60 V, data sheet"),
            ] {
                set(craft, path, text);
            }
        };
        check(
            &START_IS_CARRIED,
            |craft| spoil(craft, "6 V, measured"),
            expect![[r#"
            broken · start of the video · -30 % · 0 %
              The start takes 2.6 A for up to 3 s, and 9 V of flight controller gives 2 A: it may never come up
              > Power it from the pack itself, with a capacitor at its pins: take the wire of vtx/VCC from fc/9V to esc/BAT, with a ground wire from esc beside it.
        "#]],
        );
        check(
            &START_IS_CARRIED,
            |craft| spoil(craft, "13 V, measured"),
            expect![[r#"
            broken · start of the video · -30 % · 0 %
              The start takes 2.6 A for up to 3 s, and 9 V of flight controller gives 2 A: it may never come up
              > Give it a converter of its own, of 3.2 A or more.
        "#]],
        );
    }
}
