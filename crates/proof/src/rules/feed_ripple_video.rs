//! Does little of the motors' switching reach the video?

use crate::numbers::rounded;
use crate::rule::rule;
use crate::standing::standing;
use crate::supply::custom::COMMUTATION_SOURCE;
use crate::supply::{CapacitorFacts, Chain, Ripple, Slot, Supply, Takes, of_unit, spoilt};
use crate::supply_limits::{FILTER_SETTLES, RIPPLE};
use crate::working::Lines;
use crate::{Answer, Finding, Proof, Verdict};
use craft::Missing;
use craft::schema::drive;
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
    /// Peak to peak 100 mV or less at the video's pins, of the motors' switching and of their commutation at the worst rate from 5 to 25 kHz; over
    /// 300 mV is broken. What the video takes at its peak is less than a filter before it lets a converter take before the two swing.
    ///
    /// ## Rests on
    /// The motors at half throttle and the rate at which they are switched, the dips of their six steps at full throttle; pack, lead and capacitor
    /// side by side, the converter before the video if there is one, the coil and wires before it and the capacitors at its pins. A square wave
    /// whose parts all add: more than you will see.
    ///
    /// ## Mend
    /// A capacitor of low resistance on the pack lead; the video on a rail; a coil with a damped or larger capacitor. What is named with a number
    /// was tried.
    RIPPLE_IS_SMALL = "feed.ripple_video", run
}

const SUBJECT: &str = "ripple at the video";

fn run(proof: &Proof) -> Answer {
    let Some(supply) = proof.supply() else { return Answer::default() };
    if let Err(lack) = supply.chain() {
        return spoilt(proof, RIPPLE_IS_SMALL.id, SUBJECT, &lack);
    }
    let lacks = lacks(proof, supply);
    if !lacks.is_empty() {
        return Answer::of(of_unit(proof, Finding::unknown(RIPPLE_IS_SMALL.id, SUBJECT, lacks)));
    }
    judge(proof, supply).unwrap_or_default()
}

fn lacks(proof: &Proof, supply: &Supply) -> Vec<Missing> {
    let model = supply.model();
    let caps = model.capacitors.iter().filter_map(|cap| cap.across.as_ref().err());
    let known = model.switching.as_ref().err().into_iter().chain(caps).cloned();
    // One of unknown size is no capacitor that can be left out.
    let sizes = [PACK, model.unit.as_str()].into_iter().flat_map(|what| model.capacitors_across(what));
    let sizes = sizes.flat_map(|cap| {
        let item = proof.placed_at(&cap.place).map(|placed| placed.part.item());
        let wanted = [
            cap.capacitance.is_none().then_some(&drive::CAPACITANCE.def),
            cap.esr.is_none().then_some(&drive::ESR.def),
        ];
        wanted.into_iter().flatten().filter_map(|def| Some(item.as_ref()?.missing(def))).collect::<Vec<_>>()
    });
    known.chain(sizes).collect()
}

fn judge(proof: &Proof, supply: &Supply) -> Option<Answer> {
    let (model, chain) = (supply.model(), supply.chain().ok()?);
    let slots = &model.slots;
    let found = chain.ripple(model, slots.values())?;
    let video = slots.linear(proof, &slots.sloped(|values| Some(chain.ripple(model, values)?.video))?);
    let judged = standing(proof, &video, &RIPPLE);
    let verdict = judged.verdict;
    let [at_video, on_bus, switched] =
        [found.video, found.bus, found.switched].map(|volts| rounded(1e3 * volts, 0));
    let worst_at = rounded(found.worst_at * 1e-3, 1);
    let mut message = match found.commutated > found.switched {
        true => format!(
            "{at_video} mV peak to peak reach the video as the motors turn, most at {worst_at} kHz, and {switched} mV by their switching, of {on_bus} mV on the bus"
        ),
        false => format!("{at_video} mV peak to peak reach the video, of {on_bus} mV on the bus"),
    };
    if let (Some(corner), Some(_)) = (found.corner, found.damping) {
        message = format!("{message}; its filter rings at {} kHz", rounded(corner * 1e-3, 1));
    }
    let mut finding = of_unit(proof, judged.finding(RIPPLE_IS_SMALL.id, SUBJECT, message));
    if verdict != Verdict::Sound && !proof.is_trial() {
        finding = mends(supply, &chain, &found).into_iter().fold(finding, |finding, mend| finding.mend(mend));
    }
    finding.figure = Some(FigureId("feed.ripple_video".into()));
    let mut lines = Lines::of(proof)
        .given("current chopped", found.chopped, Unit::Amperes, "half throttle, four motors out of step")
        .given("switching rate", *model.switching.as_ref().ok()?, Unit::Hertz, "speed controller")
        .given("on the bus", found.bus, Unit::Volts, "peak to peak, pack and capacitors side by side")
        .given("by switching", found.switched, Unit::Volts, "at the video's pins")
        .given("by commutation", found.commutated, Unit::Volts, COMMUTATION_SOURCE.place)
        .given(
            "that most at",
            found.worst_at,
            Unit::Hertz,
            "of 5 to 25 kHz, or the corner of the filter in there",
        );
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
    let findings = [Some(finding), swings(proof, supply)].into_iter().flatten().collect();
    Some(Answer { findings, figures })
}

/// What makes the ripple small, tried at the numbers as they stand.
fn mends(supply: &Supply, chain: &Chain, found: &Ripple) -> Vec<String> {
    let model = supply.model();
    let mut mends = Vec::new();
    if model.capacitors_across(PACK).is_empty() {
        mends.push("Solder a capacitor of low resistance to the pack lead, legs under 10 mm.".to_owned());
    }
    let at_pins = model.capacitors_across(model.unit.as_str());
    let slots = |of: fn(&CapacitorFacts) -> Option<Slot>| at_pins.first().and_then(|cap| of(cap));
    let small = |values: &[f64]| {
        chain.ripple(model, values).map(|ripple| ripple.video).filter(|video| *video <= RIPPLE.tight)
    };
    let told = |video: f64| format!("{} mV then reach it", rounded((1e3 * video).ceil(), 0));
    let now = model.slots.values();
    if let (Some(damping), Some(esr), Some(capacitance)) =
        (found.damping, slots(|cap| cap.esr), slots(|cap| cap.capacitance))
    {
        let own = esr.at(now);
        let coil = model.coil.as_ref().and_then(|coil| coil.ohm).map_or(0.0, |ohm| ohm.at(now));
        let more = (damping - own - coil).max(0.0);
        if let Some(video) = small(&model.slots.with(esr, own + more)) {
            let ohm = rounded(more * 1e-3, 2);
            mends.push(format!("Damp the filter: {ohm} Ω in series with its capacitor; {}.", told(video)));
        }
        let larger = SIZES.into_iter().filter(|size| *size > capacitance.at(now)).find_map(|size| {
            let mut values = model.slots.with(capacitance, size);
            esr.set(&mut values, |own| own.max(LOW));
            Some((size, small(&values)?))
        });
        if let Some((size, video)) = larger {
            mends.push(format!("Or {size} µF of {LOW} mΩ in the place of its capacitor; {}.", told(video)));
        }
        if mends.is_empty() {
            mends.push("Take the coil out, or feed the video from a rail.".to_owned());
        }
    } else if found.corner.is_none() && chain.net.video().on == PACK {
        mends.push(
            "Put 10 µH into its plus wire and 470 µF across its pins, or feed it from a rail.".to_owned(),
        );
    } else {
        mends.push("Take a second capacitor of low resistance for the pack lead.".to_owned());
    }
    mends
}

/// Capacitors that are sold, µF, and the resistance of one of low resistance, mΩ.
const SIZES: [f64; 5] = [47.0, 100.0, 220.0, 470.0, 1000.0];
const LOW: f64 = 25.0;

/// Whether the filter before the video and the converter in it swing by themselves; none without a filter.
fn swings(proof: &Proof, supply: &Supply) -> Option<Finding> {
    let (model, chain) = (supply.model(), supply.chain().ok()?);
    let slots = &model.slots;
    let takes = |values: &[f64]| match chain.net.video().takes {
        Takes::Video { draw, swing, .. } => Some(draw.at(values) * (1.0 + 1e-2 * swing.at(values))),
        _ => None,
    };
    let over = |values: &[f64]| Some(chain.ripple(model, values)?.settles? / takes(values)?.max(1e-3));
    let found = slots.sloped(over)?;
    let judged = standing(proof, &slots.linear(proof, &found), &FILTER_SETTLES);
    let verdict = judged.verdict;
    let watts = takes(slots.values())?;
    let [settles, watts] = [found.value * watts, watts].map(|watts| rounded(watts, 1));
    let message = match verdict {
        Verdict::Sound => format!("Its filter stands a converter of {settles} W; the video takes {watts} W"),
        _ => format!(
            "Its filter and the converter in the video begin to swing by themselves at {settles} W, and it takes {watts} W"
        ),
    };
    let finding = of_unit(proof, judged.finding(RIPPLE_IS_SMALL.id, "filter before the video", message));
    Some(match verdict {
        Verdict::Sound => finding,
        _ => finding.mend("Take a larger capacitor behind the coil, or a smaller coil."),
    })
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

    /// 10 µH and the 48 nH of 60 mm of wire resonate with 470 µF at 1 / (2π·√(10.048e-6 · 470e-6)) = 2316.0 Hz; with 30 mΩ in all of the 73 mΩ
    /// that damp it, it rings.
    #[test]
    fn the_filter_tells_where_it_resonates_against_the_switching() {
        let mut craft = crate::testing_supply::sound_supply();
        set(&mut craft, "place cap.fed_from", "vtx");
        set(&mut craft, "place vtx.coil", "10 µH, measured");
        set(&mut craft, "cap.esr", "30 mΩ, measured");
        let figures = (RIPPLE_IS_SMALL.run)(&Proof::new(&craft)).figures;
        let found = figures.iter().find(|figure| figure.id.0 == "feed.filter_resonance");
        let value = found.map_or(f64::NAN, |figure| figure.quantity.value);
        assert!((value - 2316.0).abs() < 0.1, "{value} {found:?}");
    }

    /// 10 µH and 22 µF of 5 mΩ ring at 10.7 kHz, where motors commutate; what is told to be done is done, and holds.
    #[test]
    fn a_filter_that_rings_where_motors_commutate_is_broken_and_its_mends_hold() {
        let ringing = |esr: &'static str, size: &'static str| {
            move |craft: &mut craft::Craft| {
                on_the_pack(craft);
                crate::testing::part(
                    craft,
                    craft::schema::PartKind::Capacitor,
                    "pins",
                    "22 µF",
                    &[("mass", "1 g, measured"), ("capacitance", size), ("esr", esr), ("rated", "35 V")],
                );
                crate::testing::place(craft, "pins", "pins", "frame", &[("fed_from", "vtx")]);
                set(craft, "place vtx.coil", "10 µH, measured");
                set(craft, "place vtx.coil_resistance", "20 mΩ, measured");
            }
        };
        check(
            &RIPPLE_IS_SMALL,
            ringing("5 mΩ, measured", "22 µF, measured"),
            expect![[r#"
            broken · ripple at the video · -0.346 V · 0 %
              646 mV peak to peak reach the video as the motors turn, most at 10.7 kHz, and 10 mV by their switching, of 143 mV on the bus; its filter rings at 10.7 kHz
              > Damp the filter: 0.31 Ω in series with its capacitor; 91 mV then reach it.
              > Or 220 µF of 25 mΩ in the place of its capacitor; 43 mV then reach it.
        "#]],
        );
        check(&RIPPLE_IS_SMALL, ringing("25 mΩ, measured", "470 µF, measured"), expect![""]);
        check(&RIPPLE_IS_SMALL, ringing("317 mΩ, measured", "22 µF, measured"), expect![""]);
    }

    /// A capacitor at its pins takes some of it even where the wires are all the coil there is.
    #[test]
    fn a_capacitor_at_the_pins_of_the_video_takes_some_of_the_ripple() {
        let ripple = |at_pins: bool| {
            let mut craft = crate::testing_supply::sound_supply();
            on_the_pack(&mut craft);
            if at_pins {
                set(&mut craft, "place cap.fed_from", "vtx");
            } else {
                craft.places.retain(|place| place.id.as_str() != "cap");
            }
            set(&mut craft, "place vtx.supply_length", "80 mm, measured");
            set(&mut craft, "place vtx.supply_gauge", "26");
            let proof = Proof::new(&craft);
            let supply = proof.supply().unwrap();
            let (model, chain) = (supply.model(), supply.chain().unwrap());
            chain.ripple(model, model.slots.values()).unwrap().video
        };
        let [with, without] = [true, false].map(ripple);
        assert!(with < 0.6 * without, "{with} {without}");
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
