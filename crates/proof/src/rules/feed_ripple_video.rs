//! Does little of the motors' switching reach the video?

use crate::numbers::rounded;
use crate::rule::rule;
use crate::standing::standing;
use crate::supply::{Supply, of_unit, spoilt};
use crate::supply_limits::RIPPLE;
use crate::working::Lines;
use crate::{Answer, Finding, Proof, Verdict};
use craft::Missing;
use power::{FILTER_SOURCE, PACK};
use quantity::{Figure, FigureId, Unit};

rule! {
    /// Does little of the motors' switching reach the video?
    ///
    /// ## Why
    /// The motors chop the supply; what is left of that at the video's pins shows as lines, shifts colours, or takes the last tenths of a
    /// volt at a punch. A coil without enough resistance beside its capacitor rings and makes it worse.
    ///
    /// ## Sound when
    /// Peak to peak 100 mV or less at the video's pins; over 300 mV is broken.
    ///
    /// ## Rests on
    /// The motors at half throttle, the rate at which they are switched, pack, lead and capacitor side by side, the converter before the
    /// video if there is one, the coil before it and the capacitor at its pins. A square wave whose parts all add: more than you will see.
    ///
    /// ## Mend
    /// A capacitor of low resistance on the pack lead; the video on a rail; a coil with a damped capacitor.
    RIPPLE_IS_SMALL = "feed.ripple_video", run
}

const SUBJECT: &str = "ripple at the video";

fn run(proof: &Proof) -> Answer {
    let Some(supply) = proof.supply() else { return Answer::default() };
    if let Err(lack) = supply.chain() {
        return spoilt(proof, RIPPLE_IS_SMALL.id, SUBJECT, &lack);
    }
    let lacks = lacks(supply);
    if !lacks.is_empty() {
        return Answer::of(of_unit(proof, Finding::unknown(RIPPLE_IS_SMALL.id, SUBJECT, lacks)));
    }
    judge(proof, supply).unwrap_or_default()
}

fn lacks(supply: &Supply) -> Vec<Missing> {
    let model = supply.model();
    let caps = model.capacitors.iter().filter_map(|cap| cap.across.as_ref().err());
    model.switching.as_ref().err().into_iter().chain(caps).cloned().collect()
}

fn judge(proof: &Proof, supply: &Supply) -> Option<Answer> {
    let (model, chain) = (supply.model(), supply.chain().ok()?);
    let slots = &model.slots;
    let found = chain.ripple(model, slots.values())?;
    let video = slots.linear(proof, &slots.sloped(|values| Some(chain.ripple(model, values)?.video))?);
    let judged = standing(proof, &video, &RIPPLE);
    let verdict = judged.verdict;
    let [at_video, on_bus] = [found.video, found.bus].map(|volts| rounded(1e3 * volts, 0));
    let direct = chain.net.video().on == PACK;
    let mut message = format!("{at_video} mV peak to peak reach the video, of {on_bus} mV on the bus");
    if let (Some(corner), Some(_)) = (found.corner, found.damping) {
        message = format!("{message}; its filter rings at {} kHz", rounded(corner * 1e-3, 1));
    }
    let mut finding = of_unit(proof, judged.finding(RIPPLE_IS_SMALL.id, SUBJECT, message));
    if verdict != Verdict::Sound {
        let none = !model.capacitors.iter().any(|cap| cap.across.as_deref() == Ok(PACK));
        if none {
            finding =
                finding.mend("Solder a capacitor of low resistance to the pack lead, legs under 10 mm.");
        }
        if let Some(damping) = found.damping {
            finding = finding.mend(format!(
                "Damp the filter: {} Ω in series with its capacitor.",
                rounded(damping * 1e-3, 2)
            ));
        } else if direct && found.corner.is_none() {
            finding = finding
                .mend("Put 10 µH into its plus wire and 470 µF across its pins, or feed it from a rail.");
        } else {
            finding = finding.mend("Take a second capacitor of low resistance for the pack lead.");
        }
    }
    finding.figure = Some(FigureId("feed.ripple_video".into()));
    let mut lines = Lines::of(proof)
        .given("current chopped", found.chopped, Unit::Amperes, "half throttle, four motors out of step")
        .given("switching rate", *model.switching.as_ref().ok()?, Unit::Hertz, "speed controller")
        .given("on the bus", found.bus, Unit::Volts, "peak to peak, pack and capacitors side by side");
    if let Some(corner) = found.corner {
        lines = lines.given("corner of the filter", corner, Unit::Hertz, "1 / (2π·√(L·C))");
    }
    let figure = lines.facts(&video).figure(
        "feed.ripple_video",
        "ripple at the video's pins, peak to peak",
        (&video, Unit::Volts),
        "I · |Z of the pack beside the capacitor|, less what converter and filter keep out",
        FILTER_SOURCE,
    );
    let figures = [Some(figure), resonance(proof, supply)].into_iter().flatten().collect();
    Some(Answer { findings: vec![finding], figures })
}

/// Where the filter before the video resonates, beside the rate at which the motors are switched; none without a filter.
fn resonance(proof: &Proof, supply: &Supply) -> Option<Figure> {
    let (model, chain) = (supply.model(), supply.chain().ok()?);
    let slots = &model.slots;
    let found = chain.ripple(model, slots.values())?;
    let corner = slots.linear(proof, &slots.sloped(|values| chain.ripple(model, values)?.corner)?);
    let rate = *model.switching.as_ref().ok()?;
    let [peak, passes] = found.leaves?;
    let mut lines = Lines::of(proof)
        .facts(&corner)
        .given("motors are switched at", rate, Unit::Hertz, "speed controller")
        .given(
            "that over the resonance",
            rate / found.corner?,
            Unit::Ratio,
            "the more, the less comes through",
        )
        .given(
            "leaves it at the resonance",
            peak,
            Unit::Ratio,
            "times what comes in: above 1 it makes ripple worse",
        )
        .given("leaves it at the switching", passes, Unit::Ratio, "times what comes in");
    if let Some(damping) = found.damping {
        let words = "in series with its capacitor: half of √(L/C)";
        lines = lines.given("resistance that would damp it", damping, Unit::Milliohms, words);
    }
    Some(lines.figure(
        "feed.filter_resonance",
        "resonance of the filter before the video",
        (&corner, Unit::Hertz),
        "1 / (2π·√(L·C))",
        FILTER_SOURCE,
    ))
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]

    use super::*;
    use crate::testing::row;
    use crate::testing_supply::{check, is_sound, on_the_pack, set};
    use expect_test::expect;

    #[test]
    fn a_rail_keeps_the_ripple_out() {
        is_sound(&RIPPLE_IS_SMALL);
    }

    #[test]
    fn more_than_a_tenth_of_a_volt_is_tight() {
        check(
            &RIPPLE_IS_SMALL,
            |craft| {
                on_the_pack(craft);
                set(craft, "cap.esr", "12 mΩ, measured");
            },
            expect![[r#"
                tight · ripple at the video · 0.137 V · 100 %
                  163 mV peak to peak reach the video, of 163 mV on the bus
                  > Put 10 µH into its plus wire and 470 µF across its pins, or feed it from a rail.
            "#]],
        );
    }

    #[test]
    fn more_than_three_tenths_is_broken() {
        check(
            &RIPPLE_IS_SMALL,
            |craft| {
                on_the_pack(craft);
                set(craft, "cap.esr", "60 mΩ, measured");
            },
            expect![[r#"
                broken · ripple at the video · -0.051 V · under 1 %
                  351 mV peak to peak reach the video, of 351 mV on the bus
                  > Put 10 µH into its plus wire and 470 µF across its pins, or feed it from a rail.
            "#]],
        );
    }

    /// 10 µH and 470 µF resonate at 1 / (2π·√(10e-6 · 470e-6)) = 2321.5 Hz; with 30 mΩ in all of the 73 mΩ that damp it, it rings.
    #[test]
    fn the_filter_tells_where_it_resonates_against_the_switching() {
        let mut craft = crate::testing_supply::sound_supply();
        set(&mut craft, "place cap.fed_from", "vtx");
        set(&mut craft, "place vtx.coil", "10 µH, measured");
        set(&mut craft, "cap.esr", "30 mΩ, measured");
        let figures = (RIPPLE_IS_SMALL.run)(&Proof::new(&craft)).figures;
        let found = figures.iter().find(|figure| figure.id.0 == "feed.filter_resonance");
        let value = found.map_or(f64::NAN, |figure| figure.quantity.value);
        assert!((value - 2321.5).abs() < 0.1, "{value} {found:?}");
    }

    #[test]
    fn without_the_switching_rate_it_is_unknown() {
        check(
            &RIPPLE_IS_SMALL,
            |craft| set(craft, "esc.switching", ""),
            expect![[r#"
            unknown · ripple at the video
              Nobody can say yet: the switching rate of "four-way controller" is not known
              > Measure or look up the switching rate of "four-way controller".
        "#]],
        );
    }

    /// The same pack told by its milliohms and by a test of two loads leaves much the same ripple.
    #[test]
    fn a_pack_known_by_a_load_test_has_cells_in_the_way_too() {
        let ripple = |tested: bool| {
            let mut craft = crate::testing_supply::sound_supply();
            on_the_pack(&mut craft);
            craft.places.retain(|place| place.id.as_str() != "cap");
            if tested {
                set(&mut craft, "pack.cell_resistance", "");
                let loads = [["2 A, measured", "15.2 V, measured"], ["20 A, measured", "14.3 V, measured"]];
                for [current, voltage] in loads {
                    row(&mut craft, "pack", "load_test", &[("current", current), ("voltage", voltage)]);
                }
            }
            let proof = Proof::new(&craft);
            let supply = proof.supply().unwrap();
            let (model, chain) = (supply.model(), supply.chain().unwrap());
            chain.ripple(model, model.slots.values()).unwrap().bus
        };
        // 50 mΩ of the test are 28 mΩ of ohms and what is slower; 7 mΩ a cell stated are as many.
        let [stated, tested] = [false, true].map(ripple);
        assert!(tested > 0.8 * stated && tested < 2.0 * stated, "{stated} {tested}");
    }
}
