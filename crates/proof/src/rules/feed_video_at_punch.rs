//! Does the video stay up at a punch with little charge left?

use crate::numbers::{lower, rounded};
use crate::rule::rule;
use crate::standing::{advice, standing_as};
use crate::subject::lacking;
use crate::supply::custom::RESTART;
use crate::supply::{Chain, Sloped, Slots, Supply, Tried, VIDEO, Worst, first_that_holds};
use crate::supply_limits::STAYS_UP;
use crate::working::Lines;
use crate::{Answer, Finding, Proof, Verdict};
use craft::schema::air;
use power::{CELL_SOURCE, PACK};
use quantity::{FigureId, Probability, Unit};

rule! {
    /// Does the video stay up at a punch with little charge left?
    ///
    /// ## Why
    /// At a punch the motors pull the pack down within milliseconds. If the voltage at the video's pins falls below its least, the
    /// unit restarts and the picture is gone for seconds, low and fast. It looks like a radio fault, and is none. Craft of one cell
    /// suffer most: plug and lead are as much in the way as the cell, and a converter that steps up takes more current as the cell sags.
    ///
    /// ## Sound when
    /// The picture stays up with a chance of 99 % or more at full throttle, at the charge you land with, in the coldest air; between
    /// 90 and 99 % is tight, less is broken.
    ///
    /// ## Rests on
    /// The pack: its curve, its resistance and what charge transfer and diffusion add at that current and temperature; plug, leads and
    /// supply wires; the motors' current at full throttle, less what flight takes of a stand's; what the rails take at their peak; half of the ripple
    /// at its pins (feed.ripple_video), which the mean does not show. Two minutes of flight at the mean load go before the punch. The chance is counted over trials in which every fact is drawn from its doubt; the video is up
    /// where it has its voltage and its rails carry the peak, both in the same trial.
    ///
    /// ## Mend
    /// Each change is tried through the whole chain and told with what it costs, cheapest first: a better plug, landing with more charge, a limit
    /// of the throttle, a warm pack. A part counts as much as an eighth of the flight time or of the thrust.
    VIDEO_AT_PUNCH = "feed.video_at_punch", run
}

const SUBJECT: &str = "video at a punch";
/// What helps less is not told.
const HELPS: f64 = 0.1;

fn run(proof: &Proof) -> Answer {
    let Some(supply) = proof.supply() else { return Answer::default() };
    let unit = supply.model().unit.clone();
    let at = |finding: Finding| Answer::of(finding.at([unit.clone()]));
    let chain = match supply.chain() {
        Ok(chain) => chain,
        Err(lack) => return at(lacking(VIDEO_AT_PUNCH.id, SUBJECT, &lack)),
    };
    let Some(worst) = supply.worst() else {
        let words = "Nobody can say yet: the supply cannot be worked out at these facts";
        let mend = "Check the pack's temperature, its charge and the currents of the motors.";
        return at(Finding::new(VIDEO_AT_PUNCH.id, Verdict::Unknown, SUBJECT, words).mend(mend));
    };
    judged(proof, supply, &chain, worst)
}

fn judged(proof: &Proof, supply: &Supply, chain: &Chain, worst: &Worst) -> Answer {
    let slots = &supply.model().slots;
    let margin = slots.linear(proof, &worst.margin);
    let percent = 100.0 * worst.stays_up;
    let verdict = match percent {
        _ if percent < STAYS_UP.broken => Verdict::Broken,
        _ if percent < STAYS_UP.tight => Verdict::Tight,
        _ => Verdict::Sound,
    };
    // Volts of the pack in hand say nothing where the rail gives too little: then its lack is the margin.
    let short = worst.carries.as_ref().filter(|_| worst.overloaded() && verdict != Verdict::Sound);
    let under = under(chain, slots);
    let (margin, unit) = match (&under, short) {
        (Some(under), _) => (slots.linear(proof, under), Unit::Volts),
        (None, Some(carries)) => (&slots.linear(proof, carries) * 100.0, Unit::Percent),
        (None, None) => (margin, Unit::Volts),
    };
    let mut standing = standing_as(proof, &margin, unit, (verdict, Probability::new(worst.stays_up)));
    // What no meter tells before a flight is not worth naming; what is left may still decide.
    if verdict != Verdict::Sound {
        let margins = match &under {
            Some(under) => [Some(under), None],
            None => [Some(&worst.margin), worst.carries.as_ref()],
        };
        let margins = margins.into_iter().flatten();
        let margins: Vec<_> = margins.map(|margin| chain.measurable(slots, proof, margin)).collect();
        standing.advice = advice(proof, &margins);
    }
    let message = message(proof, supply, chain, worst, verdict);
    let mut finding = standing.finding(VIDEO_AT_PUNCH.id, SUBJECT, message).at([supply.model().unit.clone()]);
    if verdict != Verdict::Sound && !proof.is_trial() {
        if worst.least_bus.is_infinite() || 100.0 * worst.carried < STAYS_UP.tight {
            finding = finding.mend(other_feed(proof, supply, chain));
        }
        let helps = |tried: &&Tried| tried.stays_up > worst.stays_up + HELPS || tried.mends();
        // Of pack and plan nothing helps where its rails carry too little: no more trials stay up than are carried.
        let may_help = worst.carried > worst.stays_up + HELPS || 100.0 * worst.carried >= STAYS_UP.tight;
        let changes = if may_help { supply.mends() } else { &[] };
        let told: Vec<&Tried> = changes.iter().filter(helps).take(4).collect();
        for (n, tried) in told.iter().enumerate() {
            // They stand in the order of what they cost.
            let words = match n == 0 && told.len() > 1 && tried.mends() {
                true => format!("Cheapest: {}", lower(&tried.words())),
                false => tried.words(),
            };
            finding = finding.mend(words);
        }
        if finding.mends.is_empty() {
            finding = finding.mend(
                "None of the changes tried keeps it up: take a pack of far less resistance, or motors and blades that take less current.",
            );
        }
    }
    let figure = figure(proof, supply, chain, worst, (&margin, unit));
    finding.figure = Some(FigureId("feed.video_at_punch".into()));
    Answer { findings: vec![finding], figures: vec![figure] }
}

fn message(proof: &Proof, supply: &Supply, chain: &Chain, worst: &Worst, verdict: Verdict) -> String {
    let slots = &supply.model().slots;
    let land = rounded(chain.plan.land.get(), 0);
    let video = chain.net.video();
    let needs = rounded(video.least.map_or(0.0, |least| slots.of(least)), 2);
    if let Some(rail) = under(chain, slots).and_then(|_| chain.net.rail(&video.on)) {
        let gives = rounded(rail.out.at(slots.values()), 2);
        return format!("Its rail gives {gives} V, and it works from {needs} V: it stays dark at any charge");
    }
    if worst.least_bus.is_infinite() && !worst.overloaded() {
        return format!(
            "Even with a full pack its pins get less than the {needs} V that it works from: it stays dark at any charge"
        );
    }
    if worst.overloaded() {
        return "Its rail gives less than the video takes at its peak: it will not stay up at any charge"
            .to_owned();
    }
    let pin = rounded(worst.pin, 2);
    let sees = match (worst.standing, worst.pin) {
        (Some(_), pin_volts) if pin_volts > 0.0 => format!("the video sees {pin} V, needs {needs} V"),
        _ => format!("the supply falls over and the video, which needs {needs} V, goes dark"),
    };
    let fails = supply.fail_charge().map_or(0.0, |fails| fails.value);
    let takes = takes(slots, chain, worst);
    match verdict {
        Verdict::Sound => format!("At a punch with {land} % of charge left {sees}"),
        Verdict::Broken | Verdict::Tight if 100.0 * worst.carried < STAYS_UP.tight => format!(
            "Whether its rail carries the video's peak is {} % sure only; at a punch with {land} % of charge left {sees}",
            rounded(100.0 * worst.carried, 0)
        ),
        _ if fails >= 100.0 => format!("At a punch {sees} even with a full pack: {}{takes}", dark(proof)),
        Verdict::Broken if fails > chain.plan.land.get() => format!(
            "At a punch below {} % of charge the picture goes black: with {land} % left {sees}; {}{takes}",
            rounded(fails.ceil(), 0),
            dark(proof)
        ),
        Verdict::Broken => format!(
            "At a punch with {land} % of charge left {sees}, and so much is in doubt that it stays up in {} % of all cases only{takes}",
            rounded(100.0 * worst.stays_up, 0)
        ),
        _ => format!("At a punch with {land} % of charge left {sees}, and little is in hand{takes}"),
    }
}

/// What the rail gives over what the video works from, where it is less; none on the pack.
fn under(chain: &Chain, slots: &Slots) -> Option<Sloped> {
    let video = chain.net.video();
    let (rail, least) = (chain.net.rail(&video.on)?, video.least?);
    slots.sloped(|values| Some(rail.out.at(values) - least.at(values))).filter(|under| under.value < 0.0)
}

/// Who takes the volts: `; of 3.75 V at rest 0.31 V are lost in plug, leads and wires and 0.57 V in the cells, at 9.3 A`.
fn takes(slots: &Slots, chain: &Chain, worst: &Worst) -> String {
    let values = slots.values();
    let words = || {
        let standing = worst.standing?;
        let rest = chain.pack.at(values).ok()?.rest(chain.plan.land).get();
        let current = standing.current.get();
        let joints = 1e-3 * chain.pack.joints(values).ok()?.get() * current;
        let cells = rest - standing.bus.get() - joints;
        (cells > 0.0).then(|| {
            let [rest, joints, cells] = [rest, joints, cells].map(|volts| rounded(volts, 2));
            format!(
                "; of {rest} V at rest {joints} V are lost in plug, leads and wires and {cells} V in the cells, at {} A",
                rounded(current, if current < 20.0 { 1 } else { 0 })
            )
        })
    };
    words().unwrap_or_default()
}

/// Another rail or the pack, if the video stays up on it and no rule of the supply calls the craft worse; else a converter of its own.
fn other_feed(proof: &Proof, supply: &Supply, chain: &Chain) -> String {
    let values = supply.model().slots.values();
    let video = chain.net.video();
    let within = |volts: f64| {
        video.least.is_none_or(|least| volts >= least.at(values))
            && video.most.is_none_or(|most| volts <= most.at(values))
    };
    let rails = chain.net.rails.iter().filter(|rail| rail.name != video.on && within(rail.out.at(values)));
    let on_pack = chain.pack.full().is_ok_and(|full| within(full.get()) && video.on != PACK);
    let feeds = rails.map(|rail| rail.name.as_str()).chain(on_pack.then_some(PACK));
    match first_that_holds(proof, &video.place, feeds, (VIDEO_AT_PUNCH.id, SUBJECT)) {
        Some(fits) => {
            let called = chain.net.rail(fits.feed).map_or("the pack itself", |rail| rail.called.as_str());
            format!("Feed the video from {called}{}.", fits.words(proof, &video.place))
        }
        None => "Give the video a converter of its own that gives what it takes, within what it stands."
            .to_owned(),
    }
}

/// How long it is dark.
fn dark(proof: &Proof) -> String {
    let units = proof.places_of(craft::schema::PartKind::VideoTransmitter);
    let restart = units.filter_map(|unit| unit.part.item().read(&air::RESTART).ok()).next();
    let time = restart
        .map_or_else(|| RESTART.to_owned(), |restart| format!("{} s", rounded(restart.value.get(), 0)));
    format!("it restarts, dark for {time}")
}

/// The margin as the finding judges it: volts of the bus, those of the rail over what the video works from, or what is left of the rail's limit.
fn figure(
    proof: &Proof,
    supply: &Supply,
    chain: &Chain,
    worst: &Worst,
    (margin, unit): (&quantity::Linear, Unit),
) -> quantity::Figure {
    let slots = &supply.model().slots;
    let values = slots.values();
    let rest = chain.pack.at(values).map_or(0.0, |pack| pack.rest(chain.plan.land).get());
    let joints = chain.pack.joints(values).map_or(0.0, |ohm| ohm.get());
    let (bus, current) = worst.standing.map_or((0.0, 0.0), |s| (s.bus.get(), s.current.get()));
    let video = &chain.net.loads[VIDEO];
    let mut lines = Lines::of(proof)
        .given("charge at landing", chain.plan.land.get(), Unit::Percent, "plan")
        .given("pack at take-off", chain.plan.pack_at.get(), Unit::Celsius, "plan, or the coldest air")
        .given("pack at rest", rest, Unit::Volts, "its curve at that charge")
        .given("plug, lead and wires", joints, Unit::Milliohms, "out and back, copper at 40 °C")
        .given("current at the punch", current, Unit::Amperes, "motors and rails together")
        .given("bus at the punch", bus, Unit::Volts, "behind plug and leads")
        .given("half of the ripple", worst.trough, Unit::Volts, "peak to peak at the pins, feed.ripple_video")
        .given(
            "video's pins",
            worst.pin,
            Unit::Volts,
            "behind its rail and wires, at the trough of the ripple",
        );
    if let Some(least) = video.least {
        lines = lines.given("least supply of the video", slots.of(least), Unit::Volts, "its sheet");
    }
    let least = if worst.least_bus.is_finite() { worst.least_bus } else { 0.0 };
    if let Some(carries) = &worst.carries {
        let left = 100.0 * carries.value;
        lines = lines.given(
            "left of its rails' limit at the peak",
            left,
            Unit::Percent,
            format!("{} % of the trials leave something", rounded(100.0 * worst.carried, 0)),
        );
    }
    let (label, formula) = match unit {
        Unit::Percent => ("left of the rail's limit at a punch", "1 - peak of the rail / its limit"),
        _ if under(chain, slots).is_some() => (
            "volts of the rail over what the video works from",
            "volts of the rail - least supply of the video",
        ),
        _ => (
            "volts of the bus in hand at a punch",
            "U(charge) - I·R(charge, T) - 2·R·T/F·asinh(I / 2I₀) - slow voltages - half of the ripple - least volts of the bus",
        ),
    };
    lines
        .given("least volts of the bus", least, Unit::Volts, "at which rails and wires still feed it")
        .given(
            "chance to stay up",
            100.0 * worst.stays_up,
            Unit::Percent,
            "400 trials, every fact drawn from its doubt",
        )
        .facts(margin)
        .figure("feed.video_at_punch", label, (margin, unit), formula, CELL_SOURCE)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::testing_supply::{check, is_sound, on_the_pack, set};
    use crate::testing_wiring::{rewire, rewire_source, unwire};
    use expect_test::expect;

    #[test]
    fn a_video_far_above_its_least_is_sound() {
        is_sound(&VIDEO_AT_PUNCH);
    }

    #[test]
    fn a_video_near_its_least_is_tight() {
        check(
            &VIDEO_AT_PUNCH,
            |craft| {
                on_the_pack(craft);
                set(craft, "vtx.supply_min", "12.6 V, measured");
            },
            expect![[r#"
                tight · video at a punch · 0.294 V · 92 %
                  At a punch with 25 % of charge left the video sees 12.9 V, needs 12.6 V, and little is in hand; of 14.86 V at rest 0.08 V are lost in plug, leads and wires and 1.85 V in the cells, at 22 A
                  > Cheapest: land at 37 % instead of 25 %: the video then stays up (99 % sure). It costs 16 % of the flight time.
                  > Take a pack of 4.2 mΩ a cell instead of 7: larger or of a better make: the video then stays up (over 99 % sure). It costs a pack.
                  ? No single measurement would change this verdict, nor would two: it is 95 % certain now, and would be 95 % certain with every fact measured.
            "#]],
        );
    }

    #[test]
    fn a_video_that_sees_less_than_it_needs_is_broken() {
        check(
            &VIDEO_AT_PUNCH,
            |craft| {
                on_the_pack(craft);
                set(craft, "vtx.supply_min", "13 V, measured");
            },
            expect![[r#"
                broken · video at a punch · -0.105 V · 31 %
                  At a punch below 31 % of charge the picture goes black: with 25 % left the video sees 12.9 V, needs 13 V; it restarts, dark for 9 s; of 14.86 V at rest 0.08 V are lost in plug, leads and wires and 1.85 V in the cells, at 22 A
                  > Cheapest: land at 67 % instead of 25 %: the video then stays up (99 % sure). It costs 56 % of the flight time.
                  > Keep the pack warm until take-off: 25 °C instead of 20 °C: helps, yet only 57 % sure. It costs a pocket, and care before each flight.
                  > Take a pack of 4.2 mΩ a cell instead of 7: larger or of a better make: helps, yet only 98 % sure. It costs a pack.
                  ? No single measurement would change this verdict; two would: slow part of its cells' resistance, which a load test tells (by custom: cells of one resistance on the meter differ by a quarter in what is slow) and current of the motors in flight over that of a stand (by custom: in flight 15 to 30 % less than on a stand with a fresh supply). They take its certainty from 69 % to 72 %.
            "#]],
        );
    }

    #[test]
    fn what_lacks_of_pack_or_unit_is_named() {
        check(
            &VIDEO_AT_PUNCH,
            |craft| set(craft, "vtx.supply_min", ""),
            expect![[r#"
            unknown · video at a punch
              Nobody can say yet: the least supply of "Lanner small air unit" is not known
              > Measure or look up the least supply of "Lanner small air unit".
        "#]],
        );
        check(
            &VIDEO_AT_PUNCH,
            |craft| set(craft, "pack.connector_resistance", ""),
            expect![[r#"
            unknown · video at a punch
              Nobody can say yet: the connector resistance of "650 pack" is not known
              > Measure or look up the connector resistance of "650 pack".
        "#]],
        );
        check(
            &VIDEO_AT_PUNCH,
            |craft| set(craft, "craft.pack_temperature", "-30 °C"),
            expect![[r#"
                unknown · video at a punch
                  Nobody can say yet: the pack at take-off, -30 °C, must lie between -20 °C and 60 °C, where cells are known
                  > Keep it warm, and under [craft] write how warm it is: pack_temperature = "20 °C".
            "#]],
        );
    }

    #[test]
    fn on_a_rail_below_what_it_works_from_the_rail_is_what_is_short() {
        check(
            &VIDEO_AT_PUNCH,
            |craft| rewire_source(craft, "vtx/VCC", "fc/5V"),
            expect![[r#"
            broken · video at a punch · -1 V · 0 %
              Its rail gives 5 V, and it works from 6 V: it stays dark at any charge
              > Feed the video from 9 V of flight controller: take the wire of vtx/VCC from fc/5V to fc/9V.
        "#]],
        );
    }

    #[test]
    fn wires_at_each_others_pads_and_no_wire_at_all_are_told_as_such() {
        check(
            &VIDEO_AT_PUNCH,
            |craft| {
                rewire(craft, "fc/9V", "vtx/G");
                rewire(craft, "fc/G2", "vtx/VCC");
            },
            expect![[r#"
                unknown · video at a punch
                  Nobody can say yet: the wires at Lanner small air unit bring it no supply at vtx/VCC: plus, minus or a signal are at each other's pads
                  > Put those wires right first.
            "#]],
        );
        check(
            &VIDEO_AT_PUNCH,
            |craft| ["vtx/VCC", "vtx/G", "vtx/RX", "vtx/TX"].iter().for_each(|pad| unwire(craft, pad)),
            expect![[r#"
                unknown · video at a punch
                  Nobody can say yet: no wire brings Lanner small air unit a supply at vtx/VCC
                  > Join it to a pad that gives what it needs, or under [place.vtx] write what feeds it as fed_from.
            "#]],
        );
    }

    /// Ohms in the plus wire are ohms, whether of copper drawn out or wound up.
    #[test]
    fn a_coil_that_resists_takes_its_volts_from_the_pins() {
        let pin = |coil: Option<&str>| {
            let mut craft = crate::testing_supply::sound_supply();
            on_the_pack(&mut craft);
            if let Some(ohm) = coil {
                set(&mut craft, "place vtx.coil", "10 µH, measured");
                set(&mut craft, "place vtx.coil_resistance", ohm);
            }
            let proof = Proof::new(&craft);
            proof.supply().and_then(|supply| supply.worst()).map_or(f64::NAN, |worst| worst.pin)
        };
        let [without, with] = [pin(None), pin(Some("2 Ω, measured"))];
        assert!(with < without - 0.5, "{with} {without}");
    }

    /// The mean does not show what the motors chop: half of it goes off what is in hand, and a capacitor that takes the ripple gives it back.
    #[test]
    fn half_of_the_ripple_goes_off_what_is_in_hand() {
        let found = |cap: bool| {
            let mut craft = crate::testing_supply::sound_supply();
            on_the_pack(&mut craft);
            if !cap {
                craft.places.retain(|place| place.id.as_str() != "cap");
            }
            let proof = Proof::new(&craft);
            let worst = proof.supply().and_then(|supply| supply.worst().cloned());
            worst.map_or([f64::NAN; 3], |worst| [worst.margin.value, worst.trough, worst.pin])
        };
        let [with, without] = [true, false].map(found);
        assert!(with[1] > 0.005 && without[1] > 3.0 * with[1], "{with:?} {without:?}");
        let given_back = without[1] - with[1];
        assert!((with[0] - without[0] - given_back).abs() < 5e-3, "{with:?} {without:?}");
        assert!((with[2] - without[2] - given_back).abs() < 5e-3, "{with:?} {without:?}");
    }

    /// Sheet and stand of one motor that tell two currents: nobody can say which.
    #[test]
    fn a_stand_whose_current_contradicts_the_sheet_is_told() {
        let stand = |top: &'static str, before: &'static str| {
            move |craft: &mut craft::Craft| {
                let motor = craft.parts.iter_mut().find(|part| part.id.as_str() == "motor");
                motor.into_iter().for_each(|motor| motor.tables.clear());
                for (throttle, thrust, current) in
                    [("50 %", "120 gf", "3 A"), ("80 %", "230 gf", before), ("100 %", "330 gf", top)]
                {
                    let row = [("throttle", throttle), ("thrust", thrust), ("current", current)];
                    crate::testing::row(craft, "motor", "thrust", &row);
                }
            }
        };
        check(&VIDEO_AT_PUNCH, stand("9 A, measured", "6 A"), expect![[""]]);
        check(
            &VIDEO_AT_PUNCH,
            stand("6.5 A, measured", "6 A"),
            expect![[r#"
            unknown · video at a punch
              Nobody can say yet: 1404 motor: 9 A at full throttle on its sheet and 6.5 A in the last row of its stand contradict each other
              > Measure it again, and correct current_full or the last row [[part.motor.thrust]].
        "#]],
        );
        check(
            &VIDEO_AT_PUNCH,
            stand("4 A, measured", "6 A"),
            expect![[r#"
            unknown · video at a punch
              Nobody can say yet: 1404 motor: 9 A at full throttle on its sheet and 4 A in the last row of its stand contradict each other
              > Measure it again, and correct current_full or the last row [[part.motor.thrust]].
        "#]],
        );
    }

    /// A stand that ends below full throttle tells its rows as they were read: the sheet's current at full throttle moves none of them.
    #[test]
    fn a_stand_without_its_top_row_hovers_as_it_did() {
        let hover = |rows: &[(&str, &str, &str)]| {
            let mut craft = crate::testing_supply::sound_supply();
            let motor = craft.parts.iter_mut().find(|part| part.id.as_str() == "motor");
            motor.into_iter().for_each(|motor| motor.tables.clear());
            for (throttle, thrust, current) in rows {
                let row = [("throttle", *throttle), ("thrust", *thrust), ("current", *current)];
                crate::testing::row(&mut craft, "motor", "thrust", &row);
            }
            let proof = Proof::new(&craft);
            let chain = proof.supply().and_then(|supply| supply.chain().ok());
            let watts = chain.and_then(|chain| {
                let values = chain.model.slots.values();
                let air = chain.plan.air(chain.plan.coldest).ok()?;
                chain.drive.propulsion(values).ok()?.hover(chain.drive.mass(values), air).ok()
            });
            watts.map_or(f64::NAN, |watts| watts.get())
        };
        let rows = [
            ("20 %", "40 gf", "0.6 A"),
            ("50 %", "120 gf", "3 A"),
            ("80 %", "230 gf", "6 A"),
            ("100 %", "330 gf", "9 A"),
        ];
        let [whole, cut] = [&rows[..], &rows[..3]].map(hover);
        assert!((whole - cut).abs() < 1e-9, "{whole} {cut}");
    }

    /// A limit that is known to a few per cent is no cliff: neighbours differ little, and more limit never makes it worse.
    #[test]
    fn the_chance_rises_without_a_jump_with_the_limit_of_the_rail() {
        let chance = |limit: f64| {
            let mut craft = crate::testing_supply::sound_supply();
            set(&mut craft, "vtx.level[0].draw", "6.8 W, data sheet");
            set(&mut craft, "fc.rail[1].current", &format!("{limit:.3} A, data sheet"));
            let proof = Proof::new(&craft);
            let worst = proof.supply().and_then(|supply| supply.worst().cloned());
            100.0 * worst.map_or(f64::NAN, |worst| worst.stays_up)
        };
        let chances: Vec<f64> = (0..=100).map(|step| chance(0.7 + 0.005 * f64::from(step))).collect();
        let jumps: Vec<f64> = chances.windows(2).map(|pair| pair[1] - pair[0]).collect();
        assert!(jumps.iter().all(|jump| (0.0..10.0).contains(jump)), "{chances:?}");
        assert!(chances[0] < 5.0 && chances[100] > 95.0, "{chances:?}");
    }
}
