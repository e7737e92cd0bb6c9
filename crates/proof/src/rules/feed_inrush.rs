//! Does the video's rail carry its start?

use crate::numbers::{legible, rounded};
use crate::rule::rule;
use crate::standing::standing;
use crate::supply::{
    NetFacts, RailFacts, Supply, SupplyModel, VIDEO, first_that_holds, minutes, of_unit, spoilt, warm_board,
};
use crate::supply_limits::{CHARGES_IN, INRUSH, PLUG_SPARK};
use crate::working::Lines;
use crate::{Answer, Finding, Proof, Verdict};
use craft::schema::{PartKind, air};
use power::{CONVERTER_SOURCE, Capacitor, FILTER_SOURCE, PACK, Usage};
use quantity::{Amperes, Celsius, Figure, FigureId, Milliohms, Unit, Volts};

rule! {
    /// Does the video's rail carry its start, and does the plug stand what the capacitors take?
    ///
    /// ## Why
    /// A video unit takes 1.3 to 1.8 times its usual current while encoder, camera and card start. A rail at its limit hiccups: it
    /// starts, falls, starts again, and never comes up. A capacitor across a rail keeps it at its limit until it is full. Capacitors on the pack
    /// fill through the plug in the moment it meets: it sparks, and its contacts pit.
    ///
    /// ## Sound when
    /// The start-up peak with everything else on the rail is 85 % or less of what the converter gives; over 100 % is broken. On the pack
    /// itself nothing limits it. A rail fills what stands at the video's pins within 20 ms, and no more than 1 J is stored through the plug.
    ///
    /// ## Rests on
    /// The start-up peak on the unit's sheet, the other loads of its rail, the converter at its temperature; the capacitors on the pack and at the
    /// video's pins, the full pack, the resistance of cells, plug, leads and capacitors.
    ///
    /// ## Mend
    /// A rail that gives more, the pack itself, or a converter of its own. The first two are named only if no other rule of the supply calls the craft
    /// worse with them. For the plug, a resistor for the first touch.
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
    let mut answer = match video.on == PACK {
        true => Answer::default(),
        false if video.start.is_none() => {
            let part =
                proof.placed_at(&video.place).map(|placed| placed.part.item().missing(&air::START_PEAK.def));
            let missing = part.into_iter().collect();
            Answer::of(of_unit(proof, Finding::unknown(START_IS_CARRIED.id, SUBJECT, missing)))
        }
        false => judge(proof, model, net).unwrap_or_default(),
    };
    if let Some((finding, figure)) = plug(proof, supply) {
        answer.findings.push(finding);
        answer.figures.push(figure);
    }
    answer.findings.extend(fills(proof, model, net));
    answer
}

/// What goes through the plug as it meets.
fn plug(proof: &Proof, supply: &Supply) -> Option<(Finding, Figure)> {
    let (model, slots) = (supply.model(), &supply.model().slots);
    let (pack, full) = (model.pack.as_ref().ok()?, model.cells.as_ref().ok()?.full);
    let across = model.capacitors_across(PACK);
    across.first()?;
    let made = |values: &[f64]| -> Option<Vec<Capacitor>> {
        across.iter().map(|cap| cap.capacitor(values)).collect()
    };
    let energy = |values: &[f64]| Some(made(values)?.iter().map(|cap| cap.stored(full).get()).sum::<f64>());
    let found = slots.linear(proof, &slots.sloped(energy)?);
    let judged = standing(proof, &found, &PLUG_SPARK);
    let verdict = judged.verdict;
    let now = slots.values();
    let between = Milliohms::new(pack.ohmic(now).ok()? + pack.joints(now).ok()?.get());
    let [_, first] = supply.through_the_plug()?;
    let energy = legible(found.value, 2);
    let message = match verdict {
        Verdict::Sound => format!("{energy} J are stored through the plug as it meets: a small spark"),
        _ => format!(
            "{energy} J are stored through the plug as it meets, up to {} A at first: it sparks, and its contacts pit",
            rounded(first, 0)
        ),
    };
    let mut finding = judged
        .finding(START_IS_CARRIED.id, "spark at the plug", message)
        .at(std::iter::once(pack.place.clone()).chain(across.iter().map(|cap| cap.place.clone())));
    if verdict != Verdict::Sound {
        finding = finding
            .mend("Touch plus to plus through 10 Ω of 2 W for a second first, then push the plug home.")
            .mend("Or take less capacitance, if the ripple at the video allows it; renew contacts that are pitted.");
    }
    finding.figure = Some(FigureId("feed.plug_spark".into()));
    let mut lines = Lines::of(proof)
        .given("pack when full", full.get(), Unit::Volts, "its cells")
        .given("cells, plug and leads", between.get(), Unit::Milliohms, "out and back")
        .given(
            "current in the first moment, at most",
            first,
            Unit::Amperes,
            "U / (R + ESR); the lead's coil slows it",
        )
        .facts(&found);
    // How long those carry the video alone, from the charge at landing down to its least.
    if let (Ok(chain), Some(worst)) = (supply.chain(), supply.worst())
        && let Some(watts) = chain.net(now).map(|net| {
            let bus = pack.at(now).map_or(full, |pack| pack.rest(chain.plan.land));
            power::Rails::power(&net, bus, Usage::Peak)
        })
        && let Ok(rest) = pack.at(now).map(|pack| pack.rest(chain.plan.land))
        && worst.least_bus.is_finite()
    {
        let holds = made(now)?.into_iter().filter_map(|cap| {
            let least = Volts::new(worst.least_bus).min(rest);
            cap.holds_up(rest, least, watts).ok().map(|time| time.get())
        });
        lines = lines.given(
            "they carry the rails alone for",
            holds.sum(),
            Unit::Seconds,
            "from the charge at landing down to where the video fails",
        );
    }
    let figure = lines.figure(
        "feed.plug_spark",
        "energy through the plug as it meets",
        (&found, Unit::Joules),
        "½ · C · U², of every capacitor on the pack",
        FILTER_SOURCE,
    );
    Some((finding, figure))
}

/// Whether the video's rail fills what stands at its pins before it hiccups; none where nothing does, and on the pack.
fn fills(proof: &Proof, model: &SupplyModel, net: &NetFacts) -> Option<Finding> {
    let slots = &model.slots;
    let video = net.video();
    let k = net.rails.iter().position(|rail| rail.name == video.on)?;
    let across = model.capacitors_across(model.unit.as_str());
    across.first()?;
    let bus = model.cells.as_ref().ok()?.full * 0.95;
    let about = warm_board(Celsius::new(30.0));
    let time = |values: &[f64]| -> Option<f64> {
        let report = net.at(values, about).ok()?.at(bus, Usage::Typical);
        let limit = report.rails[k].limit?;
        // While it fills, the video is still dark.
        let others = (report.rails[k].amperes.get() - report.loads[VIDEO].amperes.get()).max(0.0);
        let out = Volts::new(net.rails[k].out.at(values));
        let each = across.iter().map(|cap| {
            let time = cap.capacitor(values)?.charges_in(out, limit, Amperes::new(others));
            Some(time.map_or(NEVER_FULL, |time| time.get()))
        });
        each.sum()
    };
    let found = slots.linear(proof, &slots.sloped(time)?);
    let judged = standing(proof, &found, &CHARGES_IN);
    let verdict = judged.verdict;
    let rail = &net.rails[k].called;
    let message = match found.value {
        time if time >= NEVER_FULL => {
            format!("{rail} has nothing left to fill what stands at the video's pins")
        }
        time => format!(
            "{rail} stands at its limit for {} ms while it fills what stands at the video's pins",
            rounded((1e3 * time).ceil(), 0)
        ),
    };
    let finding =
        of_unit(proof, judged.finding(START_IS_CARRIED.id, "capacitor on the video's rail", message));
    Some(match verdict {
        Verdict::Sound => finding,
        _ => finding.mend("Take less capacitance at its pins, or a rail that gives more: it may hiccup."),
    })
}

/// A time that stands for never, s.
const NEVER_FULL: f64 = 1e3;

fn judge(proof: &Proof, model: &SupplyModel, net: &NetFacts) -> Option<Answer> {
    let slots = &model.slots;
    let video = net.video();
    let k = net.rails.iter().position(|rail| rail.name == video.on)?;
    let bus = model.cells.as_ref().ok()?.full * 0.95;
    let about = warm_board(Celsius::new(30.0));
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
        let how = fits.as_ref().map_or_else(String::new, |fits| fits.words(proof, &video.place));
        finding = finding.mend(match fits.map(|fits| net.rail(fits.feed)) {
            Some(Some(other)) => format!("Power it from {}{how}.", other.called),
            Some(None) => format!("Power it from the pack itself{how}."),
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
                  > Power it from the pack itself, with a coil of 10 µH that saturates above 1 A in its plus wire and 470 µF, 25 V, of 25 mΩ or less across its pins.
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
                  > Power it from the pack itself, with a coil of 10 µH that saturates above 1 A in its plus wire and 470 µF, 25 V, of 25 mΩ or less across its pins.
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
                  > Power it from the pack itself, with a coil of 10 µH that saturates above 1 A in its plus wire and 470 µF, 25 V, of 25 mΩ or less across its pins: take the wire of vtx/VCC from fc/9V to esc/BAT, with a ground wire from esc beside it.
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
