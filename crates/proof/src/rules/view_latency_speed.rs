//! Can what the picture shows still be dodged at cruise speed?

use crate::numbers::{at_most, legible};
use crate::rule::rule;
use crate::standing::standing_of;
use crate::subject::{Flying, Late, Sight, drives, each_sight, late};
use crate::view_limits::{DODGE_AIR, DODGE_LIMIT_SOURCE, DODGE_RESERVE};
use crate::working::Lines;
use crate::{Answer, Finding, Proof, Verdict};
use craft::schema::craft as craft_schema;
use optics::{DODGE_SOURCE, LATENCY_SOURCE, TARGET_SOURCE, Task};
use quantity::{Linear, MetresPerSecond, Unit};

rule! {
    /// Can what the picture shows still be dodged at cruise speed?
    ///
    /// ## Why
    /// A picture is late, a pilot takes a quarter of a second, and a craft needs time to bank and move aside: all that time it
    /// flies on toward what it has just seen. A unit that takes 20 ms more costs as much speed as a lens that is a little
    /// shorter.
    ///
    /// ## Sound when
    /// The thinnest obstacle can still be dodged at a tenth over the cruise speed; if not at the cruise speed itself, it is
    /// broken.
    ///
    /// ## Rests on
    /// The thinnest obstacle and the cruise speed; from how far it is two pixels wide; latency of camera, transmitter, ground
    /// receiver and display, and half a period of each rate; reaction (250 ± 50 ms) and bank rate (400 ± 100 °/s) unless the
    /// craft says otherwise; thrust at full throttle less what flight takes (to 78 ± 7 %), mass and drag area. The dodge
    /// keeps height and speed and leaves 100 mm of air.
    ///
    /// ## Mend
    /// Fly slower where such things stand; a longer lens or more pixels show them sooner; a faster mode is less late.
    LATENCY_SPEED = "view.latency_speed", run
}

fn run(proof: &Proof) -> Answer {
    // What does not fly dodges nothing.
    if drives(proof).is_empty() {
        return Answer::default();
    }
    each_sight(proof, LATENCY_SPEED.id, |sight, answer| judge(proof, sight, answer))
}

fn judge(proof: &Proof, sight: &Sight, answer: &mut Answer) {
    let subject = sight.looking.subject.clone();
    let cruise = proof.craft.item().read(&craft_schema::CRUISE);
    if let Ok(late) = late(proof, sight) {
        late_figures(proof, sight, &late, cruise.as_ref().ok().map(|cruise| cruise.value), answer);
    }
    let (cruise, flying) = match (cruise, Flying::of(proof, sight)) {
        (Ok(cruise), Ok(flying)) => (cruise.value, flying),
        (cruise, flying) => {
            let missing = cruise.err().into_iter().chain(flying.err().into_iter().flatten()).collect();
            answer.findings.push(Finding::unknown(LATENCY_SPEED.id, subject, missing).at(sight.places()));
            return;
        }
    };
    let Some(fastest) = flying.fastest() else { return };
    let margin = &fastest - cruise.get();
    let judged = standing_of(proof, &margin, DODGE_RESERVE * cruise.get(), Unit::MetresPerSecond);
    let verdict = judged.verdict;
    let speed = legible(cruise.get(), 1);
    let far = legible(flying.seen_from.value, 1);
    let thing = legible(flying.obstacle, 0);
    let up_to = legible(fastest.value, 1);
    let needs = flying.needs(cruise);
    let mut message = format!("A thing of {thing} mm is seen {far} m away");
    message += &match &needs {
        Some(needs) => format!("; at {speed} m/s a dodge needs {} m of that", legible(needs.value, 1)),
        None => format!("; at {speed} m/s thrust cannot hold height and drag, let alone dodge"),
    };
    message += &match fastest.value {
        none if none < SLOWEST => ", and at no speed can it be dodged".to_owned(),
        _ => format!(", and up to {up_to} m/s it can be dodged"),
    };
    let mut finding = judged.finding(LATENCY_SPEED.id, subject, message).at(sight.places());
    if verdict != Verdict::Sound {
        // Rounded down: a little slower still serves.
        finding.mends.push(no_faster(at_most(fastest.value / (1.0 + DODGE_RESERVE), 1)));
        if let Some(needs) = needs.as_ref().filter(|needs| needs.value > 0.0) {
            let longer = sight.looking.focal_length_mm() * (1.0 + DODGE_RESERVE) * needs.value
                / flying.seen_from.value.max(1e-6);
            if longer < 4.0 * sight.looking.focal_length_mm() {
                let longer = legible((longer * 10.0).ceil() / 10.0, 1);
                finding.mends.push(format!("Or take a lens of {longer} mm: it shows them sooner."));
            }
        }
        finding.mends.push(format!(
            "Or set units to modes that are less late: each 10 ms is {} m at {speed} m/s.",
            legible(cruise.get() / 100.0, 2)
        ));
    }
    let figure = dodge_lines(Lines::of(proof), &flying)
        .figure(
            sight.id("dodge_fastest"),
            format!("fastest speed at which the thinnest obstacle is still dodged, {}", sight.looking.subject),
            (&fastest, Unit::MetresPerSecond),
            "v with v · (late + reaction + time aside at v) = distance seen; pull aside = √(T² − (m g)² − D²) / m",
            DODGE_SOURCE,
        );
    finding.figure = Some(figure.id.clone());
    answer.figures.push(figure);
    if let Some(needs) = &needs {
        let figure = dodge_lines(Lines::of(proof), &flying)
            .given("cruise speed", cruise.get(), Unit::MetresPerSecond, "said of the craft")
            .given("limit", DODGE_RESERVE * 100.0, Unit::Percent, DODGE_LIMIT_SOURCE.line())
            .figure(
                sight.id("dodge_needs"),
                format!("way flown at cruise until it has dodged, {}", sight.looking.subject),
                (needs, Unit::Metres),
                "v · (late + reaction + time aside)",
                DODGE_SOURCE,
            );
        answer.figures.push(figure);
    }
    answer.findings.push(finding);
}

/// To fly so slow, in m/s, where that is a speed at all.
pub(crate) fn no_faster(speed: f64) -> String {
    if speed < SLOWEST {
        return "Keep away from where such things stand: no speed is slow enough.".to_owned();
    }
    format!("Fly no faster than {} m/s where such things stand.", legible(speed, 1))
}

/// Slower than this nobody flies on purpose, in m/s. Common practice.
pub(crate) const SLOWEST: f64 = 0.1;

/// What a dodge rests on, term by term.
pub(crate) fn dodge_lines<'p, 'a>(lines: Lines<'p, 'a>, flying: &Flying) -> Lines<'p, 'a> {
    lines
        .given("thinnest obstacle", flying.obstacle, Unit::Millimetres, "said of the craft")
        .given(
            "pixels to be seen at even odds",
            Task::Detect.pixels().get(),
            Unit::Pixels,
            TARGET_SOURCE.line(),
        )
        .result("seen from", &flying.seen_from, Unit::Metres, "figure view.obstacle_from")
        .result("late", &flying.late.mean, Unit::Milliseconds, "figure view.latency")
        .facts(&flying.reaction)
        .given("half the craft's width", flying.half_width, Unit::Metres, "outermost motor and blade radius")
        .given("air beside the obstacle", DODGE_AIR.get(), Unit::Metres, "common practice")
        .given("way aside", flying.aside, Unit::Metres, "half the obstacle + half the craft + air")
        .facts(&flying.bank_rate)
        .result(
            "thrust in flight",
            &flying.thrust,
            Unit::Newtons,
            "all motors at full throttle on a stand, less what flight takes; the faster it flies the less, for drag takes of the power",
        )
        .given("swept by the blades", flying.discs, Unit::SquareMetres, "their diameters")
        .result("mass", &flying.flight.mass, Unit::Grams, "figure craft.mass")
        .result("drag area", &flying.flight.drag_area, Unit::SquareMetres, "as level flight takes it")
}

/// How late the picture is, and what is flown meanwhile.
fn late_figures(
    proof: &Proof,
    sight: &Sight,
    late: &Late,
    cruise: Option<MetresPerSecond>,
    answer: &mut Answer,
) {
    let lines = || {
        let lines = late.units.iter().fold(Lines::of(proof), |lines, (called, time)| {
            lines.result(called, time, Unit::Milliseconds, "data sheet of the unit")
        });
        late.rates.iter().fold(lines, |lines, (called, rate)| {
            lines.given(
                called,
                rate.get(),
                Unit::Hertz,
                "half a period of waiting on the mean, a whole at worst",
            )
        })
    };
    answer.figures.push(
        lines().given("at worst", late.worst, Unit::Milliseconds, "a whole period of each rate").figure(
            sight.id("latency"),
            format!("how late the picture is, {}", sight.looking.subject),
            (&late.mean, Unit::Milliseconds),
            "Σ latency of each unit + Σ 1 / (2 rate)",
            LATENCY_SOURCE,
        ),
    );
    let Some(cruise) = cruise else { return };
    let blind: Linear = &late.mean * (cruise.get() / 1000.0);
    answer.figures.push(
        Lines::of(proof)
            .given("cruise speed", cruise.get(), Unit::MetresPerSecond, "said of the craft")
            .result("late", &late.mean, Unit::Milliseconds, "figure view.latency")
            .figure(
                sight.id("flown_blind"),
                format!(
                    "way flown at cruise before the picture shows what was there, {}",
                    sight.looking.subject
                ),
                (&blind, Unit::Metres),
                "v · late",
                LATENCY_SOURCE,
            ),
    );
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use crate::testing::{remove_place, set};
    use crate::testing_view::{view_is_sound, view_told};
    use craft::Craft;
    use expect_test::{Expect, expect};

    fn check(spoil: impl FnOnce(&mut Craft), expected: Expect) {
        expected.assert_eq(&view_told(&LATENCY_SPEED, spoil));
    }

    #[test]
    fn what_is_seen_in_time_is_dodged() {
        view_is_sound(&LATENCY_SPEED);
    }

    #[test]
    fn a_twig_is_seen_too_late() {
        check(
            |craft| set(craft, "craft.obstacle", "15 mm"),
            expect![[r#"
                sound · lens on nano camera · 1.157 m/s · over 99 %
                  A thing of 15 mm is seen 3.7 m away; at 6 m/s a dodge needs 3.1 m of that, and up to 7.2 m/s it can be dodged
            "#]],
        );
        check(
            |craft| set(craft, "craft.cruise", "26 m/s"),
            expect![[r#"
                broken · lens on nano camera · -0.281 m/s · 41 %
                  A thing of 60 mm is seen 15 m away; at 26 m/s thrust cannot hold height and drag, let alone dodge, and up to 25.7 m/s it can be dodged
                  > Fly no faster than 23.3 m/s where such things stand.
                  > Or set units to modes that are less late: each 10 ms is 0.26 m at 26 m/s.
                  ? drag area, drag area by class of craft; classes without a custom of their own lie between their neighbours
            "#]],
        );
    }

    #[test]
    fn a_late_unit_and_a_tired_pilot_cost_speed() {
        check(
            |craft| {
                set(craft, "craft.obstacle", "24 mm");
                set(craft, "vtx.latency", "60 ms, measured");
                set(craft, "craft.reaction", "400 ms");
            },
            expect![[r#"
                sound · lens on nano camera · 2.319 m/s · 100 %
                  A thing of 24 mm is seen 6 m away; at 6 m/s a dodge needs 4.3 m of that, and up to 8.3 m/s it can be dodged
            "#]],
        );
    }

    #[test]
    fn every_unit_of_the_chain_must_be_known() {
        check(
            |craft| set(craft, "vtx.latency", ""),
            expect![[r#"
            unknown · lens on nano camera
              Nobody can say yet: the latency of "video transmitter" is not known
              > Measure or look up the latency of "video transmitter".
        "#]],
        );
        check(
            |craft| remove_place(craft, "eyes"),
            expect![[r#"
            unknown · lens on nano camera
              Nobody can say yet: the display of "Bay" is not known
              > Measure or look up the display of "Bay".
        "#]],
        );
        check(
            |craft| {
                remove_place(craft, "eyes");
                set(craft, "ground.screen", "yes");
            },
            expect![[r#"
                sound · lens on nano camera · 19.763 m/s · 100 %
                  A thing of 60 mm is seen 15 m away; at 6 m/s a dodge needs 3.1 m of that, and up to 25.8 m/s it can be dodged
            "#]],
        );
        check(
            |craft| set(craft, "craft.obstacle", ""),
            expect![[r#"
            unknown · lens on nano camera
              Nobody can say yet: the thinnest obstacle of "Bay" is not known
              > Measure or look up the thinnest obstacle of "Bay".
        "#]],
        );
    }
}
