//! Do brisk turns stay sharp?

use crate::numbers::{at_most, legible};
use crate::rule::rule;
use crate::standing::standing;
use crate::subject::{Sight, each_sight, leaning, said_or_custom};
use crate::view_limits::{BLUR as LIMIT, TURN_RATE};
use crate::working::Lines;
use crate::{Answer, Finding, Proof, Verdict};
use craft::schema::{camera, craft as craft_schema, place};
use optics::{EXPOSURE_SOURCE, MOTION_SOURCE, exposure_value, illuminance_at, turned_while};
use quantity::{DegreesPerSecond, Linear, Milliseconds, Pixels, PixelsPerDegree, Ratio, Seconds, Unit};

rule! {
    /// Do brisk turns stay sharp?
    ///
    /// ## Why
    /// While the shutter is open everything in a turn smears, just when the pilot looks for the next gap. A limit on the
    /// shutter lets gain take the dusk, not blur.
    ///
    /// ## Sound when
    /// A brisk turn at the longest shutter time smears the middle of the picture by at most 6 pixels; more than 12 is broken.
    ///
    /// ## Rests on
    /// The longest shutter time the camera is set to; the turn rate (200 ± 50 °/s unless the craft says otherwise); pixels a
    /// degree in the middle. Common practice.
    ///
    /// ## Mend
    /// Set a shorter limit on the shutter: the finding says which.
    TURNS_STAY_SHARP = "view.blur", run
}

/// The shortest that can be set, in ms.
const SHUTTER_SHORTEST: f64 = 0.01;

fn run(proof: &Proof) -> Answer {
    each_sight(proof, TURNS_STAY_SHARP.id, |sight, answer| judge(proof, sight, answer))
}

/// How far the picture moves in so many ms.
pub(crate) fn smear(rate: &Linear, ms: &Linear, fine: &Linear) -> Option<Linear> {
    leaning([rate, ms, fine], |[rate, ms, fine]| {
        let (rate, fine) = (DegreesPerSecond::new(rate), PixelsPerDegree::new(fine));
        turned_while(rate, Milliseconds::new(ms), fine).ok().map(Pixels::get)
    })
}

fn judge(proof: &Proof, sight: &Sight, answer: &mut Answer) {
    let (Some(camera), subject) = (sight.camera(), sight.looking.subject.clone()) else { return };
    let rate = said_or_custom(proof, &craft_schema::TURN_RATE, &TURN_RATE);
    let Some(fine) = sight.fine() else {
        let missing = camera.part.item().missing(&camera::PIXELS_ACROSS.def);
        answer
            .findings
            .push(Finding::unknown(TURNS_STAY_SHARP.id, subject, vec![missing]).at(sight.places()));
        return;
    };
    skew(proof, sight, (&rate, &fine), answer);
    let shutter = match camera.place.item().read(&place::SHUTTER_LIMIT) {
        Ok(shutter) => proof.lean(&shutter),
        Err(missing) => {
            answer
                .findings
                .push(Finding::unknown(TURNS_STAY_SHARP.id, subject, vec![missing]).at(sight.places()));
            return;
        }
    };
    let Some(blur) = smear(&rate, &shutter, &fine) else { return };
    let judged = standing(proof, &blur, &LIMIT);
    let verdict = judged.verdict;
    let message = format!(
        "A turn of {} °/s smears the middle of the picture by {} pixels at a shutter of {} ms",
        legible(rate.value, 0),
        legible(blur.value, 1),
        legible(shutter.value, 2)
    );
    let mut finding = judged.finding(TURNS_STAY_SHARP.id, subject, message).at(sight.places());
    if verdict != Verdict::Sound {
        // Rounded down: a little shorter still serves.
        let wanted = at_most(shutter.value * LIMIT.tight / blur.value, 1);
        finding.mends.push(if wanted < SHUTTER_SHORTEST {
            "Take a shorter lens, or turn more gently: no shutter time is short enough.".to_owned()
        } else {
            format!(
                "Set the longest shutter time to {} ms, 1/{} s; dusk then asks for {} stops more gain.",
                legible(wanted, 1),
                legible(1000.0 / wanted, 0),
                legible((shutter.value / wanted).log2(), 1)
            )
        });
    }
    let figure = Lines::of(proof)
        .facts(&rate)
        .given("longest shutter time", shutter.value, Unit::Milliseconds, "as the camera is set")
        .facts(&fine)
        .result("pixels a degree in the middle", &fine, Unit::PixelsPerDegree, "figure view.detail_middle")
        .figure(
            sight.id("blur"),
            format!("smear of a brisk turn, {}", sight.looking.subject),
            (&blur, Unit::Pixels),
            "pixels = turn rate · shutter time · pixels a degree",
            MOTION_SOURCE,
        );
    finding.figure = Some(figure.id.clone());
    answer.figures.push(figure);
    let f_number = sight.lens().and_then(|lens| lens.part.item().read(&camera::F_NUMBER).ok());
    if let Some(f_number) = f_number.map(|f_number| proof.lean(&f_number)) {
        let least = leaning([&f_number, &shutter], |[n, ms]| {
            let value = exposure_value(Ratio::new(n), Seconds::new(ms / 1000.0)).ok()?;
            illuminance_at(value).ok().map(|lux| lux.get())
        });
        if let Some(least) = least {
            answer.figures.push(
                Lines::of(proof)
                    .facts(&f_number)
                    .given("longest shutter time", shutter.value, Unit::Milliseconds, "as the camera is set")
                    .figure(
                        sight.id("light_without_gain"),
                        format!("light on the scene below which gain must help, {}", sight.looking.subject),
                        (&least, Unit::Lux),
                        "E = 2.5 · 2^EV at ISO 100, EV = log2(N² / t)",
                        EXPOSURE_SOURCE,
                    ),
            );
        }
    }
    answer.findings.push(finding);
}

/// How far upright things lean in a brisk turn while the sensor is read.
fn skew(proof: &Proof, sight: &Sight, (rate, fine): (&Linear, &Linear), answer: &mut Answer) {
    let Some(camera) = sight.camera() else { return };
    let item = camera.part.item();
    if item.text(&camera::SHUTTER).is_ok_and(|shutter| shutter == "global") {
        return;
    }
    let Ok(read_out) = item.read(&camera::READ_OUT) else { return };
    let read_out = proof.lean(&read_out);
    let Some(skew) = smear(rate, &read_out, fine) else { return };
    answer.figures.push(
        Lines::of(proof)
            .facts(rate)
            .facts(&read_out)
            .facts(fine)
            .result("pixels a degree in the middle", fine, Unit::PixelsPerDegree, "figure view.detail_middle")
            .figure(
                sight.id("skew"),
                format!(
                    "lean of upright things from top to bottom in a brisk turn, {}",
                    sight.looking.subject
                ),
                (&skew, Unit::Pixels),
                "pixels = turn rate · read-out time · pixels a degree",
                MOTION_SOURCE,
            ),
    );
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use crate::testing::set;
    use crate::testing_view::{view_is_sound, view_told};
    use craft::Craft;
    use expect_test::{Expect, expect};

    fn check(spoil: impl FnOnce(&mut Craft), expected: Expect) {
        expected.assert_eq(&view_told(&TURNS_STAY_SHARP, spoil));
    }

    #[test]
    fn a_short_shutter_is_sound() {
        view_is_sound(&TURNS_STAY_SHARP);
    }

    #[test]
    fn a_long_shutter_smears_and_the_limit_that_serves_is_told() {
        check(
            |craft| set(craft, "place cam.shutter_limit", "5 ms"),
            expect![[r#"
            tight · lens on nano camera · 3.273 px · 100 %
              A turn of 200 °/s smears the middle of the picture by 8.7 pixels at a shutter of 5 ms
              > Set the longest shutter time to 3.4 ms, 1/294 s; dusk then asks for 0.6 stops more gain.
        "#]],
        );
        check(
            |craft| set(craft, "place cam.shutter_limit", "10 ms"),
            expect![[r#"
            broken · lens on nano camera · -5.453 px · under 1 %
              A turn of 200 °/s smears the middle of the picture by 17.5 pixels at a shutter of 10 ms
              > Set the longest shutter time to 3.4 ms, 1/294 s; dusk then asks for 1.6 stops more gain.
        "#]],
        );
        check(
            |craft| set(craft, "craft.turn_rate", "600 °/s"),
            expect![[r#"
            tight · lens on nano camera · 1.528 px · 100 %
              A turn of 600 °/s smears the middle of the picture by 10.5 pixels at a shutter of 2 ms
              > Set the longest shutter time to 1.1 ms, 1/909 s; dusk then asks for 0.9 stops more gain.
        "#]],
        );
    }

    #[test]
    fn the_setting_must_be_known() {
        check(
            |craft| set(craft, "place cam.shutter_limit", ""),
            expect![[r#"
            unknown · lens on nano camera
              Nobody can say yet: the longest shutter time of place "cam" is not known
              > Measure or look up the longest shutter time of place "cam".
        "#]],
        );
    }
}
