//! Are the corners of the picture free of the image circle's edge and of the cage?

use crate::numbers::legible;
use crate::rule::rule;
use crate::standing::standing;
use crate::subject::{Sight, each_sight};
use crate::view_limits::DARK as LIMIT;
use crate::working::Lines;
use crate::{Answer, Finding, Proof, SeenAs, Verdict};
use craft::schema::camera;
use optics::whereabouts;
use quantity::{FactIndex, Linear, Measure, Unit};

rule! {
    /// Are the corners of the picture free of the image circle's edge and of the cage?
    ///
    /// ## Why
    /// A corner that the lens does not light, or that the cage fills, is lost where the ground comes up first in a turn. Bits
    /// are spent on its edge, and exposure follows it.
    ///
    /// ## Sound when
    /// At most 0.5 % of the picture is dark or shows the cage; over 2 % is broken.
    ///
    /// ## Rests on
    /// The image circle of the lens; focal length, projection, sensor and picture mode; where lens and cage stand. The hood of
    /// a lens is part of its own body and is not judged. Common practice.
    ///
    /// ## Mend
    /// Move the camera forward, or cut the cage back; a lens of larger image circle, or a mode that reads less of the sensor.
    DARK_CORNERS = "view.dark_corners", run
}

/// Less of the picture than this is not told, in per cent.
const LEAST_TOLD: f64 = 0.05;
/// By how much of itself a size is changed to see what follows.
const GROWTH: f64 = 0.01;

fn run(proof: &Proof) -> Answer {
    each_sight(proof, DARK_CORNERS.id, |sight, answer| judge(proof, sight, answer))
}

fn judge(proof: &Proof, sight: &Sight, answer: &mut Answer) {
    let looking = sight.looking;
    let subject = looking.subject.clone();
    let circle = sight.lens().map(|lens| lens.part.item().read(&camera::IMAGE_CIRCLE));
    let circle = match circle {
        Some(Ok(circle)) => circle,
        Some(Err(missing)) => {
            answer
                .findings
                .push(Finding::unknown(DARK_CORNERS.id, subject, vec![missing]).at(sight.places()));
            return;
        }
        None => return,
    };
    let is_cage: Vec<bool> = looking.seen_as.iter().map(|seen| *seen == SeenAs::Cage).collect();
    let shares = looking.shares_kept(proof);
    let lit = shares.lit().get();
    let (dark, cage) = (100.0 - lit, shares.of_all(|n| is_cage[n]).get() * lit / 100.0);
    let value = dark + cage;
    let mut slopes: Vec<(FactIndex, f64)> = Vec::new();
    // What is nought stays nought for a small step.
    if value > 0.0 {
        let lost = |view: &optics::View| {
            let then = proof.kept().shares(view, &looking.scene, None);
            let lit = then.lit().get();
            100.0 - lit + then.of_all(|n| is_cage[n]).get() * lit / 100.0
        };
        for grown in looking.grown(proof, GROWTH) {
            slopes.push((grown.fact, (lost(&grown.view) - value) / grown.by));
        }
        let by = GROWTH * circle.value.raw();
        let wider = looking.view.lens().clone().with_image_circle(circle.value * (1.0 + GROWTH));
        let (across, down) = looking.view.pixels();
        let wider = wider.and_then(|lens| optics::View::new(lens, looking.view.area(), across, down));
        if let Ok(wider) = wider {
            slopes.push((proof.enter(&circle), (lost(&wider) - value) / by));
        }
    }
    let share = Linear::chained(value, &[(1.0, &Linear { value, slopes })]);
    let judged = standing(proof, &share, &LIMIT);
    let verdict = judged.verdict;
    let told = |percent: f64| legible(percent, 1);
    let place = whereabouts(&shares.by_ninth(|n| is_cage[n]));
    let mut parts = Vec::new();
    if dark >= LEAST_TOLD {
        parts.push(format!("the image circle leaves {} % of the picture dark in its corners", told(dark)));
    }
    if cage >= LEAST_TOLD {
        let place = place.map_or(String::new(), |place| format!(", {place}"));
        let of = if dark >= LEAST_TOLD { "it" } else { "the picture" };
        parts.push(format!("the cage fills {} % of {of}{place}", told(cage)));
    }
    let message = if parts.is_empty() {
        "The picture is light to its corners, and no cage stands in it".to_owned()
    } else {
        let mut message = parts.join("; ");
        if let Some(first) = message.get(..1).map(str::to_uppercase) {
            message.replace_range(..1, &first);
        }
        message
    };
    let mut finding = judged.finding(DARK_CORNERS.id, subject, message).at(sight.places());
    if verdict != Verdict::Sound {
        if dark >= cage {
            let wanted = looking.view.area().diagonal().get();
            finding.mends.push(format!(
                "Take a lens for an image circle of at least {} mm, or a mode that reads less of the sensor.",
                legible((wanted * 100.0).ceil() / 100.0, 2)
            ));
        }
        if cage > 0.0 {
            finding.mends.push(
                "Move the camera forward, or cut the cage back where it stands in the picture.".to_owned(),
            );
        }
    }
    let figure = Lines::of(proof)
        .fact(proof.enter(&circle))
        .given("diagonal in use", looking.view.area().diagonal().get(), Unit::Millimetres, "sensor and picture mode")
        .given("dark", dark, Unit::Percent, "beyond the image circle")
        .given("cage", cage, Unit::Percent, "rays that meet it first")
        .facts(&share)
        .figure(
            sight.id("dark_corners"),
            format!("share of the picture that is dark or shows the cage, {}", looking.subject),
            (&share, Unit::Percent),
            "share = area beyond the image circle + area whose rays meet the cage first, over the whole picture",
            LIMIT.source,
        );
    finding.figure = Some(figure.id.clone());
    answer.figures.push(figure);
    answer.findings.push(finding);
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use crate::testing::set;
    use crate::testing_view::view_told;
    use craft::Craft;
    use expect_test::{Expect, expect};

    fn check(spoil: impl FnOnce(&mut Craft), expected: Expect) {
        expected.assert_eq(&view_told(&DARK_CORNERS, spoil));
    }

    #[test]
    fn a_wide_lens_sees_the_cage_and_a_longer_one_does_not() {
        check(
            |_| {},
            expect![[r#"
                broken · lens on nano camera · -0.633 % · 41 %
                  The cage fills 2.6 % of the picture, all four corners
                  > Move the camera forward, or cut the cage back where it stands in the picture.
                  ? pixel pitch of "nano camera"
            "#]],
        );
        check(
            |craft| set(craft, "lens.focal_length", "2.5 mm, measured"),
            expect![[r#"
            sound · lens on nano camera · 2 % · 100 %
              The picture is light to its corners, and no cage stands in it
        "#]],
        );
    }

    #[test]
    fn a_small_circle_leaves_the_corners_dark() {
        check(
            |craft| {
                set(craft, "lens.focal_length", "2.5 mm, measured");
                set(craft, "lens.image_circle", "4.2 mm, measured");
            },
            expect![[r#"
                tight · lens on nano camera · 1.375 % · 95 %
                  The image circle leaves 0.6 % of the picture dark in its corners
                  > Take a lens for an image circle of at least 4.41 mm, or a mode that reads less of the sensor.
                  ? No single measurement would change this verdict, nor would two: it is 95 % certain now, and would be 95 % certain with every fact measured.
            "#]],
        );
        check(
            |craft| {
                set(craft, "lens.focal_length", "2.5 mm, measured");
                set(craft, "lens.image_circle", "3.8 mm, measured");
            },
            expect![[r#"
                broken · lens on nano camera · -4.664 % · 8 %
                  The image circle leaves 6.7 % of the picture dark in its corners
                  > Take a lens for an image circle of at least 4.41 mm, or a mode that reads less of the sensor.
                  ? No single measurement would change this verdict, nor would two: it is 92 % certain now, and would be 92 % certain with every fact measured.
            "#]],
        );
    }

    #[test]
    fn without_an_image_circle_nobody_can_say() {
        check(
            |craft| set(craft, "lens.image_circle", ""),
            expect![[r#"
            unknown · lens on nano camera
              Nobody can say yet: the image circle of "lens" is not known
              > Measure or look up the image circle of "lens".
        "#]],
        );
    }
}
