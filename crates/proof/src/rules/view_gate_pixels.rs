//! Is the thinnest obstacle wide enough in the picture while there is time?

use crate::numbers::{at_most, legible};
use crate::rule::rule;
use crate::rules::no_faster;
use crate::standing::standing;
use crate::subject::{Sight, drives, each_sight, leaning};
use crate::view_limits::{LOOK_AHEAD, OBSTACLE_PIXELS as LIMIT};
use crate::working::Lines;
use crate::{Answer, Finding, Proof, Verdict};
use craft::schema::craft as craft_schema;
use optics::{TARGET_SOURCE, Task, seen_from, width_in_picture};
use quantity::{Metres, Millimetres, Pixels, PixelsPerDegree, Unit};

rule! {
    /// Is the thinnest obstacle wide enough in the picture while there is time?
    ///
    /// ## Why
    /// A twig that is under two pixels wide is a shimmer between pixels at best: it appears when it is too near to dodge. A
    /// wide lens makes everything small, and a picture of few pixels more so.
    ///
    /// ## Sound when
    /// A second ahead at cruise speed the thinnest obstacle is at least 4 pixels wide; under 2 is broken.
    ///
    /// ## Rests on
    /// The thinnest obstacle and the cruise speed, which are said of the craft; pixels of the camera's first picture mode,
    /// focal length and projection of the lens, size of the sensor. Seen in the middle of a still, sharp picture.
    /// Common practice; two pixels for even odds after Johnson.
    ///
    /// ## Mend
    /// Fly slower, take a longer lens, or set a mode of more pixels.
    GATE_PIXELS = "view.gate_pixels", run
}

fn run(proof: &Proof) -> Answer {
    // What does not fly dodges nothing.
    if drives(proof).is_empty() {
        return Answer::default();
    }
    each_sight(proof, GATE_PIXELS.id, |sight, answer| judge(proof, sight, answer))
}

fn judge(proof: &Proof, sight: &Sight, answer: &mut Answer) {
    let subject = sight.looking.subject.clone();
    let item = proof.craft.item();
    let (cruise, obstacle) = (item.read(&craft_schema::CRUISE), item.read(&craft_schema::OBSTACLE));
    let (cruise, obstacle, fine) = match (cruise, obstacle, sight.fine()) {
        (Ok(cruise), Ok(obstacle), Some(fine)) => (cruise, obstacle, fine),
        (cruise, obstacle, fine) => {
            let mut missing: Vec<_> = cruise.err().into_iter().chain(obstacle.err()).collect();
            if let (None, Some(camera)) = (fine, sight.camera()) {
                missing.push(camera.part.item().missing(&craft::schema::camera::PIXELS_ACROSS.def));
            }
            answer.findings.push(Finding::unknown(GATE_PIXELS.id, subject, missing).at(sight.places()));
            return;
        }
    };
    let ahead = Metres::new(cruise.value.get() * LOOK_AHEAD.get());
    if ahead.get() < 1e-3 {
        return;
    }
    let size = Metres::new(obstacle.value.get() / 1000.0);
    let wide = leaning([&fine], |[fine]| {
        width_in_picture(size, ahead, PixelsPerDegree::new(fine)).ok().map(Pixels::get)
    });
    let Some(wide) = wide else { return };
    let from = leaning([&fine], |[fine]| {
        Some(
            seen_from(Millimetres::new(obstacle.value.get()), Task::Detect.pixels().get(), fine).get()
                / 1000.0,
        )
    });
    let judged = standing(proof, &wide, &LIMIT);
    let verdict = judged.verdict;
    let speed = legible(cruise.value.get(), 1);
    let (thing, far) = (legible(obstacle.value.get(), 0), legible(ahead.get(), 1));
    let mut message = format!(
        "A second ahead at {speed} m/s, {far} m away, a thing of {thing} mm is {} pixels wide",
        legible(wide.value, 1)
    );
    if let Some(from) = &from {
        let time = legible(from.value / cruise.value.get(), 2);
        message += &format!("; it appears {} m ahead, {time} s before it is there", legible(from.value, 1));
    }
    let mut finding = judged.finding(GATE_PIXELS.id, subject, message).at(sight.places());
    if verdict != Verdict::Sound {
        let short = wide.value / LIMIT.tight;
        // Rounded down and up: a little more still serves.
        let slower = at_most(cruise.value.get() * short, 1);
        let longer = (sight.looking.focal_length_mm() / short * 10.0).ceil() / 10.0;
        finding.mends.push(no_faster(slower));
        finding.mends.push(format!(
            "Or take a lens of {} mm, or a picture mode of {} times the pixels across.",
            legible(longer, 1),
            legible((10.0 / short).ceil() / 10.0, 1)
        ));
    }
    let speed_line = cruise.value.get();
    let lines = || {
        Lines::of(proof)
            .given("thinnest obstacle", obstacle.value.get(), Unit::Millimetres, "said of the craft")
            .given("cruise speed", speed_line, Unit::MetresPerSecond, "said of the craft")
            .facts(&fine)
            .result(
                "pixels a degree in the middle",
                &fine,
                Unit::PixelsPerDegree,
                "figure view.detail_middle",
            )
    };
    let figure = lines().given("a second ahead", ahead.get(), Unit::Metres, "cruise · 1 s").figure(
        sight.id("gate_pixels"),
        format!("width of the thinnest obstacle a second ahead, {}", sight.looking.subject),
        (&wide, Unit::Pixels),
        "pixels = 2 atan(size / 2 distance) · pixels a degree",
        LIMIT.source,
    );
    finding.figure = Some(figure.id.clone());
    answer.figures.push(figure);
    if let Some(from) = from {
        let pixels = Task::Detect.pixels().get();
        answer.figures.push(
            lines()
                .given("pixels to be seen at even odds", pixels, Unit::Pixels, TARGET_SOURCE.line())
                .figure(
                    sight.id("obstacle_from"),
                    format!("from where the thinnest obstacle is seen, {}", sight.looking.subject),
                    (&from, Unit::Metres),
                    "distance = size / (2 tan(half of its pixels / pixels a degree))",
                    TARGET_SOURCE,
                ),
        );
    }
    answer.findings.push(finding);
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
        expected.assert_eq(&view_told(&GATE_PIXELS, spoil));
    }

    #[test]
    fn a_thing_that_is_wide_in_time_is_sound() {
        view_is_sound(&GATE_PIXELS);
    }

    #[test]
    fn a_twig_at_speed_is_a_shimmer() {
        check(
            |craft| set(craft, "craft.obstacle", "20 mm"),
            expect![[r#"
            broken · lens on nano camera · -0.333 px · 0 %
              A second ahead at 6 m/s, 6 m away, a thing of 20 mm is 1.7 pixels wide; it appears 5 m ahead, 0.83 s before it is there
              > Fly no faster than 2.4 m/s where such things stand.
              > Or take a lens of 3.7 mm, or a picture mode of 2.5 times the pixels across.
        "#]],
        );
        check(
            |craft| set(craft, "craft.obstacle", "10 mm"),
            expect![[r#"
            broken · lens on nano camera · -1.167 px · 0 %
              A second ahead at 6 m/s, 6 m away, a thing of 10 mm is 0.8 pixels wide; it appears 2.5 m ahead, 0.42 s before it is there
              > Fly no faster than 1.2 m/s where such things stand.
              > Or take a lens of 7.3 mm, or a picture mode of 4.9 times the pixels across.
        "#]],
        );
    }

    #[test]
    fn what_must_be_dodged_and_how_fast_must_be_said() {
        check(
            |craft| set(craft, "craft.obstacle", ""),
            expect![[r#"
            unknown · lens on nano camera
              Nobody can say yet: the thinnest obstacle of "Bay" is not known
              > Measure or look up the thinnest obstacle of "Bay".
        "#]],
        );
        check(
            |craft| {
                set(craft, "craft.obstacle", "");
                set(craft, "craft.cruise", "");
            },
            expect![[r#"
                unknown · lens on nano camera
                  Nobody can say yet: the cruise speed of "Bay" and the thinnest obstacle of "Bay" are not known
                  > Measure or look up the cruise speed of "Bay".
                  > Measure or look up the thinnest obstacle of "Bay".
            "#]],
        );
    }
}
