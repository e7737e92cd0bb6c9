//! Does little of the motors' switching reach the video?

use crate::numbers::rounded;
use crate::rule::rule;
use crate::standing::standing;
use crate::supply::custom::COMMUTATION_SOURCE;
use crate::supply::{
    Added, BOARD_CERAMICS, CERAMICS_SOURCE, COILS, CapacitorFacts, Chain, CoilFilter, LOW, SIZES, Slot,
    Supply, Takes, first_that_holds, of_unit, spoilt,
};
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
    /// The current of the motors' windings, on for the throttle's share of each period, at the throttle that leaves most, and the rate at which they
    /// are switched; the dips of their six steps at full throttle; pack, lead and capacitors with the ceramics of the controller's board, the
    /// converter before the video if there is one, the coil and wires before it and the capacitors at its pins, followed through a settled period. Motors
    /// out of step add as roots of squares; the figure also tells what they leave in the moments when they come into step.
    ///
    /// ## Mend
    /// A capacitor of low resistance on the pack lead or at the video's pins; the video on a rail; a coil with a damped or larger capacitor. What is
    /// named with a number was tried.
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
    let found = chain.ripple(slots.values(), &Added::NONE)?;
    // The throttle that leaves most does so about as well where a number is a little off.
    let video = |values: &[f64]| Some(chain.ripple_at(values, &Added::NONE, found.throttle)?.video);
    let video = slots.linear(proof, &slots.sloped(video)?);
    let filter = chain.coil_filter(slots.values());
    let judged = standing(proof, &video, &RIPPLE);
    let verdict = judged.verdict;
    let [at_video, on_bus, switched] =
        [found.video, found.bus, found.switched].map(|volts| rounded(1e3 * volts, 0));
    let worst_at = rounded(found.worst_at * 1e-3, 1);
    let mut message = match found.commutated > found.switched {
        true => format!(
            "{at_video} mV peak to peak reach the video as the motors turn, most at {worst_at} kHz, and {switched} mV by their switching, of {on_bus} mV on the bus"
        ),
        false => format!(
            "{at_video} mV peak to peak reach the video, of {on_bus} mV on the bus at {} % of throttle",
            rounded(found.throttle, 0)
        ),
    };
    if let Some(CoilFilter { corner, damping: Some(_), .. }) = filter {
        message = format!("{message}; its filter rings at {} kHz", rounded(corner * 1e-3, 1));
    }
    let mut finding = of_unit(proof, judged.finding(RIPPLE_IS_SMALL.id, SUBJECT, message));
    if verdict != Verdict::Sound && !proof.is_trial() {
        let mends = mends(proof, supply, &chain, filter.as_ref());
        finding = mends.into_iter().fold(finding, |finding, mend| finding.mend(mend));
    }
    finding.figure = Some(FigureId("feed.ripple_video".into()));
    let [farads, ohm] = BOARD_CERAMICS;
    let ceramics = format!("{ohm} mΩ; {}", CERAMICS_SOURCE.place);
    let mut lines = Lines::of(proof)
        .given("throttle that leaves most", found.throttle, Unit::Percent, "of 30, 45, 60, 75 and 90 %")
        .given(
            "current of one motor's winding",
            found.chopped,
            Unit::Amperes,
            "its current over its share of the time",
        )
        .given("motors", f64::from(found.motors), Unit::Ratio, "out of step: as the root of their number")
        .given("switching rate", *model.switching.as_ref().ok()?, Unit::Hertz, "speed controller")
        .given("ceramics of the speed controller", farads, Unit::Microfarads, ceramics)
        .given("on the bus", found.bus, Unit::Volts, "peak to peak, pack and capacitors side by side")
        .given("by switching", found.switched, Unit::Volts, "at the video's pins")
        .given(
            "the same in step",
            found.in_step,
            Unit::Volts,
            "for moments, as their clocks drift past each other",
        )
        .given("by commutation", found.commutated, Unit::Volts, COMMUTATION_SOURCE.place)
        .given(
            "that most at",
            found.worst_at,
            Unit::Hertz,
            "of 5 to 25 kHz, or the corner of the filter in there",
        );
    if let Some(filter) = &filter {
        lines = lines.given("corner of the filter", filter.corner, Unit::Hertz, "1 / (2π·√(L·C))");
    }
    let figure = lines.facts(&video).figure(
        "feed.ripple_video",
        "ripple at the video's pins, peak to peak",
        (&video, Unit::Volts),
        "√motors · greatest less least of a settled period: winding current on for the throttle's share into pack, lead and capacitors; less what converter and filter keep out",
        FILTER_SOURCE,
    );
    let figures = [Some(figure), filter.and_then(|filter| resonance(proof, supply, filter))];
    let figures = figures.into_iter().flatten().collect();
    let findings = [Some(finding), swings(proof, supply)].into_iter().flatten().collect();
    Some(Answer { findings, figures })
}

/// What makes the ripple small: each is tried at the numbers as they stand, and named if the video then has it good.
fn mends(proof: &Proof, supply: &Supply, chain: &Chain, filter: Option<&CoilFilter>) -> Vec<String> {
    let model = supply.model();
    let mut mends = Vec::new();
    let at_pins = model.capacitors_across(model.unit.as_str());
    let now = model.slots.values();
    let small = |values: &[f64], added: &Added| {
        let video = chain.ripple(values, added)?.video;
        (video <= RIPPLE.tight).then(|| format!("{} mV then reach it", rounded((1e3 * video).ceil(), 0)))
    };
    let slots = |of: fn(&CapacitorFacts) -> Option<Slot>| at_pins.first().and_then(|cap| of(cap));
    let damping = filter.and_then(|filter| Some((filter.damping?, filter.source)));
    if let (Some((damping, source)), Some(esr), Some(capacitance)) =
        (damping, slots(|cap| cap.esr), slots(|cap| cap.capacitance))
    {
        let own = esr.at(now);
        let coil = model.coil.as_ref().and_then(|coil| coil.ohm).map_or(0.0, |ohm| ohm.at(now));
        let more = (damping - own - coil - source).max(0.0);
        if let Some(told) = small(&model.slots.with(esr, own + more), &Added::NONE) {
            let ohm = rounded(more * 1e-3, 2);
            mends.push(format!("Damp the filter: {ohm} Ω in series with its capacitor; {told}."));
        }
        let larger = SIZES.into_iter().filter(|size| *size > capacitance.at(now)).find_map(|size| {
            let mut values = model.slots.with(capacitance, size);
            esr.set(&mut values, |own| own.max(LOW));
            Some((size, small(&values, &Added::NONE)?))
        });
        if let Some((size, told)) = larger {
            mends.push(format!("Or {size} µF of {LOW} mΩ in the place of its capacitor; {told}."));
        }
    }
    let tried = |added: fn(f64) -> Added| {
        SIZES[1..].iter().find_map(|size| Some((*size, small(now, &added(*size))?)))
    };
    let volts = model.stands_across(&chain.net.video().on);
    let full = model.stands_across(PACK);
    if let Some((size, told)) = tried(|size| Added { across_pack: Some(size), ..Added::NONE }) {
        let second = if model.capacitors_across(PACK).is_empty() { "" } else { "a second capacitor of " };
        let bought = Added::bought(size, full);
        mends.push(format!("Solder {second}{bought} across the pack lead, legs under 10 mm; {told}."));
    }
    if let Some((size, told)) = tried(|size| Added::at_pins(size, None)).filter(|_| at_pins.is_empty()) {
        let bought = Added::bought(size, volts);
        mends.push(format!("Solder {bought} across the pins of the video; {told}."));
    }
    let coil = || {
        let sizes = || SIZES[1..].iter().copied();
        let coils = COILS.into_iter().flat_map(|coil| sizes().map(move |size| (coil, size)));
        let mut tried = coils
            .filter_map(|(coil, size)| Some((coil, size, small(now, &Added::at_pins(size, Some(coil)))?)));
        tried.next()
    };
    if mends.is_empty()
        && let Some((coil, size, told)) = coil()
    {
        let bought = Added::bought(size, volts);
        let coil = Added::bought_coil(coil, model.most_taken(&chain.net.video().on));
        mends.push(format!(
            "Put a coil of {coil} into the plus wire of the video and {bought} across its pins; {told}."
        ));
    }
    if chain.net.video().on == PACK {
        let rails = chain.net.rails.iter().map(|rail| rail.name.as_str());
        if let Some(fits) = first_that_holds(proof, &model.unit, rails, (RIPPLE_IS_SMALL.id, SUBJECT)) {
            let called = chain.net.rail(fits.feed).map_or(fits.feed, |rail| rail.called.as_str());
            mends.push(format!("Feed it from {called}{}.", fits.words(proof, &model.unit)));
        }
    }
    if mends.is_empty() {
        mends.push(
            "No capacitor and no coil that is usual brings it down: give the video a converter of its own with a filter before it."
                .to_owned(),
        );
    }
    mends
}

/// Whether the filter before the video and the converter in it swing by themselves; none without a filter.
fn swings(proof: &Proof, supply: &Supply) -> Option<Finding> {
    let (model, chain) = (supply.model(), supply.chain().ok()?);
    let slots = &model.slots;
    let takes = |values: &[f64]| match chain.net.video().takes {
        Takes::Video { draw, swing, .. } => Some(draw.at(values) * (1.0 + 1e-2 * swing.at(values))),
        _ => None,
    };
    let over = |values: &[f64]| Some(chain.coil_filter(values)?.settles / takes(values)?.max(1e-3));
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
fn resonance(proof: &Proof, supply: &Supply, found: CoilFilter) -> Option<Figure> {
    let (model, chain) = (supply.model(), supply.chain().ok()?);
    let slots = &model.slots;
    let corner = slots.linear(proof, &slots.sloped(|values| Some(chain.coil_filter(values)?.corner))?);
    let rate = *model.switching.as_ref().ok()?;
    let [peak, passes] = found.leaves;
    let mut lines = Lines::of(proof)
        .facts(&corner)
        .given("motors are switched at", rate, Unit::Hertz, "speed controller")
        .given(
            "that over the resonance",
            rate / found.corner,
            Unit::Ratio,
            "the more, the less comes through",
        )
        .given(
            "leaves it at the resonance",
            peak,
            Unit::Ratio,
            "times what comes in: above 1 it makes ripple worse",
        )
        .given("leaves it at the switching", passes, Unit::Ratio, "times what comes in")
        .given(
            "its source resists",
            found.source,
            Unit::Milliohms,
            "at the resonance: pack beside its capacitors",
        );
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
                tight · ripple at the video · 0.079 V · over 99 %
                  221 mV peak to peak reach the video, of 221 mV on the bus at 45 % of throttle
                  > Put a coil of 10 µH that saturates above 1 A into the plus wire of the video and 220 µF, 25 V, of 25 mΩ or less across its pins; 41 mV then reach it.
                  > Feed it from 9 V of flight controller: take the wire of vtx/VCC from esc/BAT to fc/9V, with a ground wire from fc beside it.
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
                broken · ripple at the video · -0.49 V · 0 %
                  790 mV peak to peak reach the video, of 790 mV on the bus at 75 % of throttle
                  > Put a coil of 10 µH that saturates above 1 A into the plus wire of the video and 220 µF, 25 V, of 25 mΩ or less across its pins; 37 mV then reach it.
                  > Feed it from 9 V of flight controller: take the wire of vtx/VCC from esc/BAT to fc/9V, with a ground wire from fc beside it.
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
                broken · ripple at the video · -0.142 V · under 1 %
                  442 mV peak to peak reach the video as the motors turn, most at 10.7 kHz, and 9 mV by their switching, of 209 mV on the bus; its filter rings at 10.7 kHz
                  > Damp the filter: 0.29 Ω in series with its capacitor; 88 mV then reach it.
                  > Or 220 µF of 25 mΩ in the place of its capacitor; 43 mV then reach it.
                  > Feed it from 9 V of flight controller: take the wire of vtx/VCC from esc/BAT to fc/9V, with a ground wire from fc beside it.
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
            chain.ripple(model.slots.values(), &Added::NONE).unwrap().video
        };
        let [with, without] = [true, false].map(ripple);
        assert!(with < 0.6 * without, "{with} {without}");
    }

    /// What is told to be soldered in is soldered in, and holds.
    #[test]
    fn each_capacitor_that_is_named_brings_it_down_when_it_stands_there() {
        let spoilt = |craft: &mut craft::Craft| {
            on_the_pack(craft);
            set(craft, "cap.esr", "22 mΩ, measured");
        };
        let mut craft = crate::testing_supply::sound_supply();
        spoilt(&mut craft);
        let found = (RIPPLE_IS_SMALL.run)(&Proof::new(&craft)).findings;
        let mends: Vec<&String> = found.iter().flat_map(|finding| &finding.mends).collect();
        let mut tried = 0;
        for mend in &mends {
            let across = ["across the pack lead", "across the pins of the video", "across its pins"]
                .iter()
                .position(|words| mend.contains(words));
            let Some(across) = across else { continue };
            let size = SIZES.into_iter().find(|size| mend.contains(&format!("{size} µF"))).unwrap();
            let check_one = |craft: &mut craft::Craft| {
                spoilt(craft);
                let facts = [
                    ("mass", "2 g, measured".to_owned()),
                    ("capacitance", format!("{size} µF, measured")),
                    ("esr", format!("{LOW} mΩ, measured")),
                    ("rated", "25 V".to_owned()),
                ];
                let facts: Vec<(&str, &str)> =
                    facts.iter().map(|(key, text)| (*key, text.as_str())).collect();
                crate::testing::part(craft, craft::schema::PartKind::Capacitor, "new", "new", &facts);
                let feed = if across == 0 { "pack" } else { "vtx" };
                crate::testing::place(craft, "new", "new", "frame", &[("fed_from", feed)]);
                if mend.contains("coil of 10 µH") {
                    set(craft, "place vtx.coil", "10 µH, measured");
                    set(craft, "place vtx.coil_resistance", "30 mΩ, measured");
                }
            };
            check(&RIPPLE_IS_SMALL, check_one, expect![""]);
            tried += 1;
        }
        assert!(tried > 0, "{mends:?}");
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
            chain.ripple(model.slots.values(), &Added::NONE).unwrap().bus
        };
        // 50 mΩ of the test are 28 mΩ of ohms and what is slower; 7 mΩ a cell stated are as many.
        let [stated, tested] = [false, true].map(ripple);
        assert!(tested > 0.8 * stated && tested < 2.0 * stated, "{stated} {tested}");
    }
}
