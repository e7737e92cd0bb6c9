//! Do motors, blades, pack and controllers go together?

use crate::limits::{NOMINAL_CELL_SOURCE, TIP_SPEED};
use crate::numbers::{cells_word, rounded};
use crate::rule::rule;
use crate::standing::standing;
use crate::subject::{Drive, drives, of_each_part, pack_voltage};
use crate::working::Lines;
use crate::{Answer, Finding, Placed, Proof, Verdict};
use craft::schema::{Field, PartKind, board, drive};
use craft::{Item, Missing, PlaceId};
use quantity::{Linear, Unit};
use std::f64::consts::PI;

rule! {
    /// Do motors, blades, pack and controllers go together?
    ///
    /// ## Why
    /// Motors wound for fewer cells spin the blades into wasted current and heat; a controller burns at the
    /// first plug-in of a pack with too many cells.
    ///
    /// ## Sound when
    /// The blade tips stay under 215 m/s (over 240 m/s is broken), and every pack has as many cells as motors
    /// and controllers are made for.
    ///
    /// ## Rests on
    /// Tip speed = π · diameter · kv · nominal voltage · 0.75 / 60: three quarters of the unloaded speed. The cells of
    /// packs, motors and controllers. Common practice.
    ///
    /// ## Mend
    /// Motors of a lower speed constant, a pack of fewer cells, or smaller blades.
    CLASS_MIX = "craft.class_mix", run
}

/// Share of the unloaded speed that blades reach at full throttle.
const LOADED_SHARE: f64 = 0.75;

/// Packs judged at most: a craft flies with one or two.
const PACKS_MAX: usize = 20;
/// Kinds of motor or controller judged with each pack at most: as many again as a craft has motors.
const KINDS_MAX: usize = 20;

fn run(proof: &Proof) -> Answer {
    let mut answer = Answer::default();
    let drives = drives(proof);
    let mut packs = of_each_part(proof.places_of(PartKind::Pack));
    if packs.len() > PACKS_MAX {
        let message = format!("Of {} packs the first {PACKS_MAX} are judged", packs.len());
        let finding = Finding::new(CLASS_MIX.id, Verdict::Unknown, "packs", message);
        answer.findings.push(finding.mend("Leave on the craft the packs it flies with."));
        packs.truncate(PACKS_MAX);
    }
    for pack in &packs {
        if let Err(missing) = pack.part.item().count(&drive::CELLS) {
            let finding = Finding::unknown(CLASS_MIX.id, pack.part.name.clone(), vec![missing]);
            answer.findings.push(finding.at([pack.place.id.clone()]));
            continue;
        }
        for (drive, places) in combinations(&drives).into_iter().take(KINDS_MAX) {
            tip_speed(proof, drive, *pack, &places, &mut answer);
        }
        let takers = [PartKind::Motor, PartKind::SpeedController, PartKind::IntegratedBoard];
        for taker in of_each_part(takers.into_iter().flat_map(|kind| proof.places_of(kind)))
            .into_iter()
            .take(KINDS_MAX)
        {
            answer.findings.extend(cells(taker, *pack));
        }
    }
    answer
}

/// Each motor with blades of one diameter, once, with all places where it is so.
fn combinations<'a>(drives: &[Drive<'a>]) -> Vec<(Drive<'a>, Vec<PlaceId>)> {
    let mut seen: Vec<(Drive, Vec<PlaceId>)> = Vec::new();
    for drive in drives {
        let Some(blades) = drive.blades else { continue };
        let size =
            |blades: Placed| blades.part.item().read(&drive::DIAMETER).map(|diameter| diameter.value).ok();
        let same = |known: &Drive| {
            known.motor.part.id == drive.motor.part.id
                && known.blades.is_some_and(|other| {
                    other.part.id == blades.part.id || (size(other).is_some() && size(other) == size(blades))
                })
        };
        match seen.iter_mut().find(|(known, _)| same(known)) {
            Some((_, places)) => places.push(drive.motor.place.id.clone()),
            None => seen.push((*drive, vec![drive.motor.place.id.clone()])),
        }
    }
    seen
}

fn tip_speed(proof: &Proof, drive: Drive, pack: Placed, places: &[PlaceId], answer: &mut Answer) {
    let (motor, Some(blades)) = (drive.motor.part, drive.blades) else { return };
    let subject = format!("{} on {} with {}", blades.part.name, motor.name, pack.part.name);
    let kv = motor.item().read(&drive::KV);
    let diameter = blades.part.item().read(&drive::DIAMETER);
    let (kv, diameter, voltage) = match (kv, diameter, pack_voltage(pack)) {
        (Ok(kv), Ok(diameter), Ok(voltage)) => (kv, diameter, voltage),
        (kv, diameter, voltage) => {
            let missing: Vec<Missing> = kv
                .err()
                .into_iter()
                .chain(diameter.err())
                .chain(voltage.err().into_iter().flatten())
                .collect();
            answer.findings.push(Finding::unknown(CLASS_MIX.id, subject, missing).at(places.to_vec()));
            return;
        }
    };
    let turns = kv.value.get() * voltage.get() * LOADED_SHARE;
    let value = PI * diameter.value.get() / 1000.0 * turns / 60.0;
    let (kv_lean, diameter_lean) = (proof.lean(&kv), proof.lean(&diameter));
    let speed = Linear::chained(
        value,
        &[(value / kv.value.get(), &kv_lean), (value / diameter.value.get(), &diameter_lean)],
    );
    let standing = standing(proof, &speed, &TIP_SPEED);
    let cells = pack.part.item().count(&drive::CELLS).unwrap_or(0);
    let at = format!(
        "At {} rpm on {cells} {} the blade tips run at {} m/s",
        thousands(turns),
        cells_word(cells),
        rounded(value, 0)
    );
    let message = match standing.verdict {
        Verdict::Broken => format!("{at}: close to the speed of sound, hot motors, noise and wasted current"),
        Verdict::Tight => format!("{at}: hot motors and wasted current"),
        _ => at,
    };
    let sound = standing.verdict == Verdict::Sound;
    let mut finding = standing.finding(CLASS_MIX.id, subject.clone(), message).at(places.to_vec());
    if !sound {
        let down = TIP_SPEED.tight / value;
        if down < 1.0 {
            let fewer = (f64::from(cells) * down).floor();
            finding = finding.mend(format!(
                "Fit motors of at most {} rpm/V.",
                thousands((kv.value.get() * down / 50.0).floor() * 50.0)
            ));
            if fewer >= 1.0 {
                finding = finding.mend(format!(
                    "Or take a pack of at most {} {}.",
                    rounded(fewer, 0),
                    cells_word(fewer as u32)
                ));
            }
        } else {
            finding = finding.mend("Measure the speed constant; if the doubt stays, take one cell fewer.");
        }
    }
    let figure = Lines::of(proof)
        .facts(&diameter_lean)
        .facts(&kv_lean)
        .given("nominal voltage", voltage.get(), Unit::Volts, NOMINAL_CELL_SOURCE.line())
        .given("share of the unloaded speed", LOADED_SHARE, Unit::Ratio, "common practice")
        .figure(
            format!("craft.tip_speed[{}|{}|{}]", drive.motor.place.id, blades.place.id, pack.place.id),
            "speed of the blade tips",
            (&speed, Unit::MetresPerSecond),
            "v = π · diameter / 1000 · kv · voltage · share / 60",
            TIP_SPEED.source,
        );
    finding.figure = Some(figure.id.clone());
    answer.findings.push(finding);
    answer.figures.push(figure);
}

/// A number in thousands: `12 300`.
fn thousands(value: f64) -> String {
    if value < 9_950.0 {
        return rounded((value / 10.0).round() * 10.0, 0);
    }
    let hundreds = (value / 100.0).round() as u64;
    format!("{} {:03}", hundreds / 10, hundreds % 10 * 100)
}

/// Whether a motor or controller is made for a pack's cells; says nothing of a motor without stated cells.
fn cells(taker: Placed, pack: Placed) -> Option<Finding> {
    let (least, most): (&Field<u32>, &Field<u32>) = match taker.part.kind {
        PartKind::Motor => (&drive::CELLS_MIN, &drive::CELLS_MAX),
        _ => (&board::CELLS_MIN, &board::CELLS_MAX),
    };
    let item: Item = taker.part.item();
    let (least, most) = (item.count(least), item.count(most));
    if taker.part.kind == PartKind::Motor && most.is_err() {
        return None;
    }
    let subject = format!("{} on {}", taker.part.name, pack.part.name);
    let places = [taker.place.id.clone(), pack.place.id.clone()];
    let (cells, most) = match (pack.part.item().count(&drive::CELLS), most) {
        (Ok(cells), Ok(most)) => (cells, most),
        (cells, most) => {
            let missing = cells.err().into_iter().chain(most.err()).collect();
            return Some(Finding::unknown(CLASS_MIX.id, subject, missing).at(places));
        }
    };
    let least = least.unwrap_or(1);
    let range = if least == most { most.to_string() } else { format!("{least} to {most}") };
    let has = format!("The pack has {cells} {}, {} is made for {range}", cells_word(cells), taker.part.name);
    let finding = if cells > most {
        Finding::new(
            CLASS_MIX.id,
            Verdict::Broken,
            subject,
            format!("{has}: it may burn at the first plug-in"),
        )
        .mend(format!("Take a pack of at most {most} {}.", cells_word(most)))
        .mend("Until then do not plug this pack in.")
    } else if cells < least {
        Finding::new(CLASS_MIX.id, Verdict::Broken, subject, format!("{has}: it will not run as it should"))
            .mend(format!("Take a pack of at least {least} {}.", cells_word(least)))
    } else {
        Finding::new(CLASS_MIX.id, Verdict::Sound, subject, has)
    };
    Some(finding.at(places))
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use crate::testing::{figures, is_sound, set, told};
    use craft::Craft;
    use expect_test::{Expect, expect};

    /// Only what is not sound: the rule says half a dozen things of a whole craft.
    fn check(spoil: impl FnOnce(&mut Craft), expected: Expect) {
        let told = told(&CLASS_MIX, spoil);
        let faults = told.split_once("sound ·").map_or(told.as_str(), |(faults, _)| faults);
        expected.assert_eq(faults);
    }

    #[test]
    fn parts_made_for_each_other_are_sound() {
        is_sound(&CLASS_MIX);
    }

    #[test]
    fn everything_is_told_that_is_sound() {
        expect![[r#"
            sound · 3-inch blades, clockwise on 1404 motor with 650 pack · 71.709 m/s · 100 %
              At 42 200 rpm on 4 cells the blade tips run at 168 m/s
            sound · 1404 motor on 650 pack
              The pack has 4 cells, 1404 motor is made for 3 to 4
            sound · four-way controller on 650 pack
              The pack has 4 cells, four-way controller is made for 2 to 6
        "#]]
        .assert_eq(&told(&CLASS_MIX, |_| ()));
    }

    #[test]
    fn motors_wound_for_fewer_cells_are_broken() {
        check(
            |craft| set(craft, "motor.kv", "6000 rpm/V, measured"),
            expect![[r#"
            broken · 3-inch blades, clockwise on 1404 motor with 650 pack · -25.722 m/s · 0 %
              At 66 600 rpm on 4 cells the blade tips run at 266 m/s: close to the speed of sound, hot motors, noise and wasted current
              > Fit motors of at most 4850 rpm/V.
              > Or take a pack of at most 3 cells.
        "#]],
        );
    }

    #[test]
    fn tips_a_little_fast_are_tight() {
        check(
            |craft| set(craft, "motor.kv", "5000 rpm/V, measured"),
            expect![[r#"
            tight · 3-inch blades, clockwise on 1404 motor with 650 pack · 18.565 m/s · 100 %
              At 55 500 rpm on 4 cells the blade tips run at 221 m/s: hot motors and wasted current
              > Fit motors of at most 4850 rpm/V.
              > Or take a pack of at most 3 cells.
        "#]],
        );
    }

    #[test]
    fn a_doubtful_speed_constant_is_measured_first() {
        check(
            |craft| set(craft, "motor.kv", "5250 rpm/V, typical"),
            expect![[r#"
            tight · 3-inch blades, clockwise on 1404 motor with 650 pack · 7.493 m/s · 61 %
              At 58 300 rpm on 4 cells the blade tips run at 233 m/s: hot motors and wasted current
              > Fit motors of at most 4850 rpm/V.
              > Or take a pack of at most 3 cells.
              ? speed constant of "1404 motor"
        "#]],
        );
    }

    #[test]
    fn a_pack_of_too_many_cells_burns_the_controller() {
        check(
            |craft| {
                set(craft, "esc.cells_max", "3");
                set(craft, "motor.cells_max", "");
            },
            expect![[r#"
                broken · four-way controller on 650 pack
                  The pack has 4 cells, four-way controller is made for 2 to 3: it may burn at the first plug-in
                  > Take a pack of at most 3 cells.
                  > Until then do not plug this pack in.
            "#]],
        );
    }

    #[test]
    fn a_pack_of_too_few_cells_is_broken() {
        check(
            |craft| {
                set(craft, "motor.cells_min", "5");
                set(craft, "motor.cells_max", "6");
            },
            expect![[r#"
                broken · 1404 motor on 650 pack
                  The pack has 4 cells, 1404 motor is made for 5 to 6: it will not run as it should
                  > Take a pack of at least 5 cells.
            "#]],
        );
    }

    #[test]
    fn missing_facts_are_named() {
        check(
            |craft| set(craft, "pack.cells", ""),
            expect![[r#"
            unknown · 650 pack
              Nobody can say yet: the cells in series of "650 pack" is not known
              > Measure or look up the cells in series of "650 pack".
        "#]],
        );
        check(
            |craft| set(craft, "esc.cells_max", ""),
            expect![[r#"
            unknown · four-way controller on 650 pack
              Nobody can say yet: the most cells of "four-way controller" is not known
              > Measure or look up the most cells of "four-way controller".
        "#]],
        );
    }

    #[test]
    fn blades_of_two_sizes_are_judged_apart() {
        check(
            |craft| set(craft, "ccw.diameter", "102 mm, measured"),
            expect![[r#"
                tight · 3-inch blades, anticlockwise on 1404 motor with 650 pack · 14.729 m/s · 100 %
                  At 42 200 rpm on 4 cells the blade tips run at 225 m/s: hot motors and wasted current
                  > Fit motors of at most 3600 rpm/V.
                  > Or take a pack of at most 3 cells.
            "#]],
        );
    }

    #[test]
    fn the_working_shows_the_voltage() {
        expect![[r#"
            craft.tip_speed[m-fl|b-fl|pack]: speed of the blade tips = 168.291 ± 4.86 m/s (data sheet)
              v = π · diameter / 1000 · kv · voltage · share / 60
              diameter of "3-inch blades, clockwise" = 76.2 ± 0.058 mm · measured
              speed constant of "1404 motor" = 3800 ± 109.697 rpm/V · data sheet
              nominal voltage = 14.8 V · common practice: nominal voltage of a cell by chemistry, as packs print it
              share of the unloaded speed = 0.75 · common practice
              common practice: speed of the blade tips at three quarters of the unloaded speed
        "#]].assert_eq(&figures(&CLASS_MIX));
    }
}
