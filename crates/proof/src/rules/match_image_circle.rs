//! Does the lens light the whole sensor in use?

use crate::limits::IMAGE_CIRCLE;
use crate::names::called;
use crate::numbers::{fine_mm, rounded};
use crate::rule::rule;
use crate::standing::standing_of;
use crate::working::Lines;
use crate::{Answer, Finding, Placed, Proof, Verdict};
use craft::Missing;
use craft::schema::{PartKind, camera};
use quantity::{Linear, Source, Unit};

rule! {
    /// Does the lens light the whole sensor in use?
    ///
    /// ## Why
    /// A lens made for a smaller sensor leaves the corners of the picture dark, where the ground comes up
    /// first in a turn.
    ///
    /// ## Sound when
    /// Its image circle is at least 1.02 times the diagonal of the sensor in use; under 0.95 times it is
    /// broken.
    ///
    /// ## Rests on
    /// The image circle of the lens; the diagonal in use of the sensor, or its pixel pitch times
    /// √(pixels across² + pixels down²). Common practice.
    ///
    /// ## Mend
    /// Take a lens with a larger image circle, or read less of the sensor.
    IMAGE_CIRCLE_COVERS = "match.image_circle", run
}

fn run(proof: &Proof) -> Answer {
    let mut answer = Answer::default();
    for lens in proof.places_of(PartKind::Lens) {
        let Some(camera) = proof.part_under(lens.place, PartKind::Camera) else { continue };
        judge(proof, lens, camera, &mut answer);
    }
    answer
}

fn judge(proof: &Proof, lens: Placed, camera: Placed, answer: &mut Answer) {
    let subject = format!("{} on {}", called(proof, lens), called(proof, camera));
    let places = [lens.place.id.clone(), camera.place.id.clone()];
    let circle = lens.part.item().read(&camera::IMAGE_CIRCLE).map(|circle| proof.lean(&circle));
    let (circle, diagonal) = match (circle, diagonal(proof, camera)) {
        (Ok(circle), Ok(diagonal)) => (circle, diagonal),
        (circle, diagonal) => {
            let missing = circle.err().into_iter().chain(diagonal.err().into_iter().flatten()).collect();
            answer.findings.push(Finding::unknown(IMAGE_CIRCLE_COVERS.id, subject, missing).at(places));
            return;
        }
    };
    let margin = &circle - &(&diagonal * IMAGE_CIRCLE.broken);
    let ample = (IMAGE_CIRCLE.tight - IMAGE_CIRCLE.broken) * diagonal.value;
    let standing = standing_of(proof, &margin, ample, Unit::Millimetres);
    let share = circle.value / diagonal.value;
    let wanted = fine_mm(IMAGE_CIRCLE.tight * diagonal.value);
    let sizes = format!("the circle is {}, the diagonal {}", fine_mm(circle.value), fine_mm(diagonal.value));
    let message = if share < 1.0 {
        format!("Corners go dark beyond {} % of the way from the middle: {sizes}", rounded(100.0 * share, 0))
    } else if standing.verdict == Verdict::Sound {
        format!("The lens lights the whole picture: {sizes}")
    } else {
        format!("The circle hardly reaches the corners: {sizes}")
    };
    let sound = standing.verdict == Verdict::Sound;
    let mut finding = standing.finding(IMAGE_CIRCLE_COVERS.id, subject, message).at(places);
    if !sound {
        finding = finding.mend(format!("Take a lens for an image circle of at least {wanted}."));
    }
    let figure = Lines::of(proof)
        .facts(&circle)
        .facts(&diagonal)
        .result("diagonal", &diagonal, Unit::Millimetres, "worked out above, or as given")
        .figure(
            format!("match.image_circle[{}]", lens.place.id),
            "image circle over sensor diagonal",
            (
                &Linear::chained(
                    share,
                    &[(1.0 / diagonal.value, &circle), (-share / diagonal.value, &diagonal)],
                ),
                Unit::Ratio,
            ),
            "ratio = image circle / diagonal; diagonal = pixel pitch · √(pixels across² + pixels down²) where it is \
             not given",
            Source::common_practice("a lens should light the sensor in use to its corners"),
        );
    finding.figure = Some(figure.id.clone());
    answer.findings.push(finding);
    answer.figures.push(figure);
}

/// The diagonal in use, in mm: as given, else from pitch and pixels.
fn diagonal(proof: &Proof, camera: Placed) -> Result<Linear, Vec<Missing>> {
    let item = camera.part.item();
    let stated = match item.read(&camera::SENSOR_DIAGONAL) {
        Ok(diagonal) => return Ok(proof.lean(&diagonal)),
        Err(missing) => missing,
    };
    let pixels = (item.count(&camera::PIXELS_ACROSS), item.count(&camera::PIXELS_DOWN));
    match (item.read(&camera::PIXEL_PITCH), pixels) {
        (Ok(pitch), (Ok(across), Ok(down))) => {
            // Micrometres to millimetres.
            Ok(&proof.lean(&pitch) * (f64::from(across).hypot(f64::from(down)) / 1000.0))
        }
        // With nothing of the sensor known, the diagonal is the one fact to ask for.
        (Err(_), (Err(_), Err(_))) => Err(vec![stated]),
        (pitch, (across, down)) => {
            Err([pitch.err(), across.err(), down.err()].into_iter().flatten().collect())
        }
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use crate::testing::{is_sound, names_missing, set, told};
    use craft::Craft;
    use expect_test::{Expect, expect};

    fn check(spoil: impl FnOnce(&mut Craft), expected: Expect) {
        expected.assert_eq(&told(&IMAGE_CIRCLE_COVERS, spoil));
    }

    #[test]
    fn a_circle_wider_than_the_sensor_is_sound() {
        is_sound(&IMAGE_CIRCLE_COVERS);
    }

    #[test]
    fn a_circle_too_small_says_where_it_goes_dark() {
        check(
            |craft| set(craft, "lens.image_circle", "4.6 mm, measured"),
            expect![[r#"
            broken · Siskin wide lens on Siskin nano camera · -0.72 mm · 0 %
              Corners go dark beyond 82 % of the way from the middle: the circle is 4.6 mm, the diagonal 5.6 mm
              > Take a lens for an image circle of at least 5.71 mm.
        "#]],
        );
    }

    #[test]
    fn a_circle_that_just_reaches_is_tight() {
        check(
            |craft| set(craft, "lens.image_circle", "5.65 mm, measured"),
            expect![[r#"
            tight · Siskin wide lens on Siskin nano camera · 0.33 mm · over 99 %
              The circle hardly reaches the corners: the circle is 5.65 mm, the diagonal 5.6 mm
              > Take a lens for an image circle of at least 5.71 mm.
        "#]],
        );
    }

    #[test]
    fn pitch_and_pixels_serve_for_the_diagonal() {
        check(
            |craft| {
                set(craft, "cam.sensor_diagonal", "");
                set(craft, "cam.pixel_pitch", "2.9 µm, data sheet");
                set(craft, "cam.pixels_across", "1920");
                set(craft, "cam.pixels_down", "1080");
            },
            expect![[r#"
                sound · Siskin wide lens on Siskin nano camera · 0.531 mm · 99 %
                  The lens lights the whole picture: the circle is 6.6 mm, the diagonal 6.39 mm
            "#]],
        );
    }

    #[test]
    fn what_is_missing_is_named() {
        names_missing(
            &IMAGE_CIRCLE_COVERS,
            "cam.sensor_diagonal",
            "Siskin wide lens on Siskin nano camera",
            r#"sensor diagonal of "Siskin nano camera""#,
        );
        check(
            |craft| {
                set(craft, "cam.sensor_diagonal", "");
                set(craft, "cam.pixel_pitch", "2 µm");
                set(craft, "cam.pixels_across", "1920");
            },
            expect![[r#"
                unknown · Siskin wide lens on Siskin nano camera
                  Nobody can say yet: the pixels down of "Siskin nano camera" is not known
                  > Measure or look up the pixels down of "Siskin nano camera".
            "#]],
        );
    }
}
