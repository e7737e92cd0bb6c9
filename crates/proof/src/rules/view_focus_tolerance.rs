//! Does the lens stay in focus?

use crate::numbers::legible;
use crate::rule::rule;
use crate::standing::standing;
use crate::subject::{Sight, each_sight, leaning};
use crate::view_limits::{DEFOCUS as LIMIT, THREAD_DIVISION};
use crate::working::Lines;
use crate::{Answer, Finding, Proof, Verdict};
use craft::Item;
use craft::schema::{camera, place};
use optics::{FOCUS_SOURCE, Objective};
use quantity::{Linear, Micrometres, Millimetres, Ratio, Source, Unit};

rule! {
    /// Does the lens stay in focus?
    ///
    /// ## Why
    /// So short a lens is sharp from half a metre to far away, yet a few degrees of its thread are visible: vibration turns
    /// a lens that nothing locks, and the picture goes soft flight by flight.
    ///
    /// ## Sound when
    /// The lens has a lock, and as it is focused far points are drawn at most one pixel of the picture wide; over two pixels
    /// is broken, and so is a lens without a lock.
    ///
    /// ## Rests on
    /// Whether there is a lock; the distance it is focused at, which its place says; focal length and f-number of the lens;
    /// size of the sensor and pixels across. Thin lens; common practice.
    ///
    /// ## Mend
    /// A lock ring, or a drop of removable thread glue at the edge of the barrel, never solvent glue: it fogs the glass.
    /// Focus on something 3 m away or more, and look again at 20 m.
    FOCUS_TOLERANCE = "view.focus_tolerance", run
}

fn run(proof: &Proof) -> Answer {
    each_sight(proof, FOCUS_TOLERANCE.id, |sight, answer| judge(proof, sight, answer))
}

/// The pitch of a thread such as `M8x0.5`, in mm.
fn thread_pitch(item: &Item) -> Option<Millimetres> {
    let (_, pitch) = item.text(&camera::THREAD).ok()?.split_once('x')?;
    pitch.parse().ok().map(Millimetres::new)
}

fn objective(focal: f64, f_number: f64) -> Option<Objective> {
    Objective::new(Millimetres::new(focal), Ratio::new(f_number)).ok()
}

fn judge(proof: &Proof, sight: &Sight, answer: &mut Answer) {
    let (Some(lens), subject) = (sight.lens(), sight.looking.subject.clone()) else { return };
    let item = lens.part.item();
    let lock = item.flag(&camera::LOCK);
    let f_number = item.read(&camera::F_NUMBER);
    let focused = lens.place.item().read(&place::FOCUSED_AT);
    let focal = sight.focal_length();
    let pixel = sight.pixel_um();
    if let (Ok(f_number), Some(pixel)) = (&f_number, &pixel) {
        let f_number = proof.lean(f_number);
        let focused = focused.as_ref().ok().map(|focused| proof.lean(focused));
        figures(proof, sight, [&focal, &f_number, pixel], focused.as_ref(), thread_pitch(&item), answer);
    }
    if lock == Ok(false) {
        let message = "The lens has no lock: vibration unscrews it, and the picture goes soft";
        let finding = Finding::new(FOCUS_TOLERANCE.id, Verdict::Broken, subject, message);
        answer.findings.push(finding.at(sight.places()).mend(
            "Fit a lock ring, or put a drop of removable thread glue at the edge of the barrel, never solvent glue: it \
             fogs the glass.",
        ));
        return;
    }
    let (f_number, focused, pixel) = match (lock, f_number, focused, pixel) {
        (Ok(_), Ok(f_number), Ok(focused), Some(pixel)) => {
            (proof.lean(&f_number), proof.lean(&focused), pixel)
        }
        (lock, f_number, focused, pixel) => {
            let mut missing: Vec<_> =
                lock.err().into_iter().chain(f_number.err()).chain(focused.err()).collect();
            if let (None, Some(camera)) = (pixel, sight.camera()) {
                missing.push(camera.part.item().missing(&camera::PIXELS_ACROSS.def));
            }
            answer.findings.push(Finding::unknown(FOCUS_TOLERANCE.id, subject, missing).at(sight.places()));
            return;
        }
    };
    let far = leaning([&focal, &f_number, &focused, &pixel], |[f, n, s, pixel]| {
        let blur = objective(f, n)?.blur(Millimetres::new(1000.0 * s), None).ok()?;
        Some(blur.get() / pixel)
    });
    let Some(far) = far else {
        let message = "Nobody can say yet: it is focused nearer than its focal length";
        let finding = Finding::new(FOCUS_TOLERANCE.id, Verdict::Unknown, subject, message);
        answer.findings.push(finding.at(sight.places()).mend("Correct the distance it is focused at."));
        return;
    };
    let judged = standing(proof, &far, &LIMIT);
    let verdict = judged.verdict;
    let at = legible(focused.value, 1);
    let wide = if far.value < 0.05 { "under 0.05".to_owned() } else { legible(far.value, 1) };
    let mut message = format!("Focused at {at} m, it draws far points {wide} pixels wide");
    if let Some(near) = near_limit(&focal, &f_number, &focused, &pixel) {
        message += &format!("; it is sharp from {} m on", legible(near, 1));
    }
    if let Some(turn) = turn_of_a_pixel(&item, &f_number, &pixel) {
        message += &format!("; {}° of its thread blur by a pixel", legible(turn, 0));
    }
    let mut finding = judged.finding(FOCUS_TOLERANCE.id, subject, message).at(sight.places());
    if verdict != Verdict::Sound {
        let wanted = focal.value + (focused.value * 1000.0 - focal.value) * far.value / LIMIT.tight;
        finding.mends.push(format!(
            "Focus it on something {} m away or more, and look again at 20 m.",
            legible((wanted / 100.0).ceil() / 10.0, 1)
        ));
    }
    finding.figure = Some(quantity::FigureId(sight.id("far_blur").into()));
    answer.figures.push(
        Lines::of(proof)
            .facts(&focal)
            .facts(&f_number)
            .facts(&focused)
            .result("one pixel of the picture", &pixel, Unit::Micrometres, "width in use / pixels across")
            .figure(
                sight.id("far_blur"),
                format!("width at which far points are drawn, {}", sight.looking.subject),
                (&far, Unit::Pixels),
                "b = f² / (N · (s − f)), over one pixel",
                FOCUS_SOURCE,
            ),
    );
    answer.findings.push(finding);
}

/// From where on it is sharp to a pixel, in m.
fn near_limit(focal: &Linear, f_number: &Linear, focused: &Linear, pixel: &Linear) -> Option<f64> {
    let circle = Micrometres::new(pixel.value);
    let set_to = Millimetres::new(1000.0 * focused.value);
    let range = objective(focal.value, f_number.value)?.sharp_range(set_to, circle).ok()?;
    Some(range.near.get() / 1000.0)
}

/// The turn that draws a point one pixel wide.
fn turn_of_a_pixel(item: &Item, f_number: &Linear, pixel: &Linear) -> Option<f64> {
    let pitch = thread_pitch(item)?;
    Some(360.0 * pixel.value / 1000.0 * f_number.value / pitch.get())
}

/// What is sharp, and what a division of the thread does.
fn figures(
    proof: &Proof,
    sight: &Sight,
    [focal, f_number, pixel]: [&Linear; 3],
    focused: Option<&Linear>,
    pitch: Option<Millimetres>,
    answer: &mut Answer,
) {
    let subject = &sight.looking.subject;
    let lines = || {
        Lines::of(proof).facts(focal).facts(f_number).result(
            "one pixel of the picture",
            pixel,
            Unit::Micrometres,
            "circle of confusion: width in use / pixels across",
        )
    };
    let hyperfocal = leaning([focal, f_number, pixel], |[f, n, c]| {
        Some(objective(f, n)?.hyperfocal(Micrometres::new(c)).ok()?.get() / 1000.0)
    });
    if let Some(hyperfocal) = hyperfocal {
        answer.figures.push(lines().figure(
            sight.id("hyperfocal"),
            format!("focus it here, and all from half of this on is sharp, {subject}"),
            (&hyperfocal, Unit::Metres),
            "H = f² / (N · c) + f",
            FOCUS_SOURCE,
        ));
    }
    if let Some(focused) = focused {
        let near = leaning([focal, f_number, pixel, focused], |[f, n, c, s]| {
            let range =
                objective(f, n)?.sharp_range(Millimetres::new(1000.0 * s), Micrometres::new(c)).ok()?;
            Some(range.near.get() / 1000.0)
        });
        if let Some(near) = near {
            answer.figures.push(lines().facts(focused).figure(
                sight.id("sharp_from"),
                format!("nearest thing that is sharp as it is focused, {subject}"),
                (&near, Unit::Metres),
                "near = s (H − f) / (H + s − 2 f)",
                FOCUS_SOURCE,
            ));
        }
    }
    if let Some(pitch) = pitch {
        let division = leaning([f_number, pixel], |[n, c]| {
            let blur = objective(focal.value, n)?.blur_of_turn(THREAD_DIVISION, pitch).ok()?;
            Some(blur.get() / c)
        });
        if let Some(division) = division {
            answer.figures.push(
                lines()
                    .given("pitch of the thread", pitch.get(), Unit::Millimetres, "data sheet of the lens")
                    .given("one division", THREAD_DIVISION.get(), Unit::Degrees, "told by custom")
                    .figure(
                        sight.id("division_blur"),
                        format!("blur of one division of the thread, {subject}"),
                        (&division, Unit::Pixels),
                        "pixels = pitch · turn / 360° / N, over one pixel",
                        Source { place: "a cone of light one wide for N long", ..FOCUS_SOURCE },
                    ),
            );
        }
    }
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
        expected.assert_eq(&view_told(&FOCUS_TOLERANCE, spoil));
    }

    #[test]
    fn a_locked_lens_focused_far_enough_is_sound() {
        view_is_sound(&FOCUS_TOLERANCE);
        check(
            |_| {},
            expect![[r#"
            sound · lens on nano camera · 1.875 px · 100 %
              Focused at 3 m, it draws far points 0.1 pixels wide; it is sharp from 0.3 m on; 4° of its thread blur by a pixel
        "#]],
        );
    }

    #[test]
    fn a_lens_without_a_lock_unscrews() {
        check(
            |craft| set(craft, "lens.lock", "no"),
            expect![[r#"
            broken · lens on nano camera
              The lens has no lock: vibration unscrews it, and the picture goes soft
              > Fit a lock ring, or put a drop of removable thread glue at the edge of the barrel, never solvent glue: it fogs the glass.
        "#]],
        );
    }

    #[test]
    fn focused_too_near_far_things_are_soft() {
        check(
            |craft| {
                set(craft, "lens.focal_length", "2.5 mm, measured");
                set(craft, "place lens.focused_at", "0.8 m, measured");
            },
            expect![[r#"
                tight · lens on nano camera · 0.694 px · 100 %
                  Focused at 0.8 m, it draws far points 1.3 pixels wide; it is sharp from 0.5 m on; 4° of its thread blur by a pixel
                  > Focus it on something 1.1 m away or more, and look again at 20 m.
            "#]],
        );
        check(
            |craft| {
                set(craft, "lens.focal_length", "2.5 mm, measured");
                set(craft, "place lens.focused_at", "0.2 m, measured");
            },
            expect![[r#"
                broken · lens on nano camera · -3.274 px · 0 %
                  Focused at 0.2 m, it draws far points 5.3 pixels wide; it is sharp from 0.2 m on; 4° of its thread blur by a pixel
                  > Focus it on something 1.1 m away or more, and look again at 20 m.
            "#]],
        );
    }

    #[test]
    fn what_is_missing_is_named() {
        check(
            |craft| set(craft, "place lens.focused_at", ""),
            expect![[r#"
            unknown · lens on nano camera
              Nobody can say yet: the distance it is focused at of place "lens" is not known
              > Measure or look up the distance it is focused at of place "lens".
        "#]],
        );
        check(
            |craft| {
                set(craft, "lens.lock", "");
                set(craft, "lens.f_number", "");
            },
            expect![[r#"
                unknown · lens on nano camera
                  Nobody can say yet: the lock ring of "lens" and the f-number of "lens" are not known
                  > Measure or look up the lock ring of "lens".
                  > Measure or look up the f-number of "lens".
            "#]],
        );
    }
}
