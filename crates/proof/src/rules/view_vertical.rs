//! Does the picture show enough from bottom to top?

use crate::numbers::legible;
use crate::rule::rule;
use crate::standing::standing;
use crate::subject::{Sight, each_sight, other_lens};
use crate::view_limits::VERTICAL_VIEW as LIMIT;
use crate::working::Lines;
use crate::{Answer, Finding, Proof, Verdict};
use craft::schema::camera;
use optics::{Aspect, PROJECTION_SOURCE, focal_length_for};
use quantity::{Degrees, Linear, Unit};

rule! {
    /// Does the picture show enough from bottom to top?
    ///
    /// ## Why
    /// Pilots feel the view from bottom to top more than the claimed view from corner to corner: it holds the ground in a
    /// landing, the gap overhead, and the horizon when the craft leans into speed. A picture of 16:9 shows a quarter less of
    /// it than one of 4:3 as wide, behind the same lens. *As wide* is a sensor of 4:3 that is as many millimetres across: more sensor above and
    /// below. A mode of 4:3 that cuts the sides off a 16:9 sensor is none: it keeps the height and loses width.
    ///
    /// ## Sound when
    /// The picture as sent shows at least 75°; under 60° is broken.
    ///
    /// ## Rests on
    /// Focal length and projection of the lens, pixel pitch and pixels of the sensor or its diagonal, and the camera's first
    /// picture mode. Common practice.
    ///
    /// ## Mend
    /// Put a shorter lens on: the finding names one that lies on the sheet without a place, lies in the workshop or is on another
    /// craft of it, says what it costs, and which focal length would do. Or set a mode of 4:3, where the camera has one.
    VERTICAL = "view.vertical", run
}

fn run(proof: &Proof) -> Answer {
    each_sight(proof, VERTICAL.id, |sight, answer| judge(proof, sight, answer))
}

fn judge(proof: &Proof, sight: &Sight, answer: &mut Answer) {
    let subject = sight.looking.subject.clone();
    let Some(upright) = sight.upright() else {
        let why =
            "Nobody can say yet: the image of the lens ends before the top and bottom of the picture do";
        let finding = Finding::new(VERTICAL.id, Verdict::Unknown, subject, why);
        let mend = "Correct the image circle or the measured map, or take a lens that lights the sensor.";
        answer.findings.push(finding.mend(mend).at(sight.places()));
        return;
    };
    let judged = standing(proof, &upright, &LIMIT);
    let verdict = judged.verdict;
    let shown = legible(upright.value, 0);
    let tall = as_tall(sight);
    let four_three = tall.as_ref().map(|tall| legible(tall.value, 0));
    let mut message = format!("It shows {shown}° from bottom to top");
    if verdict != Verdict::Sound {
        message += ", and pilots who fly close to things want 75°";
    }
    if let Some(tall) = &four_three {
        message += &format!("; 4:3 as wide would show {tall}° ({AS_WIDE})");
    }
    let mut finding = judged.finding(VERTICAL.id, subject, message).at(sight.places());
    if verdict != Verdict::Sound && !proof.is_trial() {
        finding.mends = mends(proof, sight);
    }
    let area = sight.looking.view.area();
    let read = "sensor and picture mode";
    let mut lines = Lines::of(proof)
        .facts(&upright)
        .given("width in use", area.width().get(), Unit::Millimetres, read)
        .given("height in use", area.height().get(), Unit::Millimetres, read);
    let formula = sight.looking.projection().1.unwrap_or("r by the measured map");
    if let Some(tall) = &tall {
        let figure = Lines::of(proof)
            .facts(tall)
            .result("view from bottom to top, as sent", &upright, Unit::Degrees, "figure view.upright")
            .result("view of 4:3 as wide", tall, Unit::Degrees, "the same lens over ¾ of the width")
            .figure(
                sight.id("lost_to_wide"),
                format!(
                    "what 4:3 as wide would show more from bottom to top ({AS_WIDE}), {}",
                    sight.looking.subject
                ),
                (&(tall - &upright), Unit::Degrees),
                format!("2 θ at half of ¾ the width, less 2 θ at half the height, {formula}"),
                PROJECTION_SOURCE,
            );
        answer.figures.push(figure);
        lines = lines.result("4:3 as wide shows", tall, Unit::Degrees, "the same lens over ¾ of the width");
    }
    let figure = lines.figure(
        sight.id("vertical"),
        format!("view of the picture as sent, from bottom to top, {}", sight.looking.subject),
        (&upright, Unit::Degrees),
        format!("view = 2 θ at half the height, {formula}"),
        PROJECTION_SOURCE,
    );
    finding.figure = Some(figure.id.clone());
    answer.figures.push(figure);
    answer.findings.push(finding);
}

/// What *as wide* means, in a few words.
const AS_WIDE: &str = "a taller sensor, not this one with its sides cut off";

/// What 4:3 as wide would show from bottom to top, where the picture is wider than that.
fn as_tall(sight: &Sight) -> Option<Linear> {
    let area = sight.looking.view.area();
    let wide = area.width() / area.height() > Aspect::FOUR_TO_THREE.ratio() * 1.01;
    let of = |view: &optics::View| {
        let half = view.area().width() * (0.5 / Aspect::FOUR_TO_THREE.ratio());
        view.lens().angle(half).ok().map(|angle| 2.0 * angle.get())
    };
    wide.then(|| sight.follow(&of)).flatten()
}

fn mends(proof: &Proof, sight: &Sight) -> Vec<String> {
    let mut mends = Vec::new();
    let detail = |focal_share: f64| match 100.0 * (1.0 - focal_share) {
        less if less >= 0.5 => format!("with {} % less detail in the middle", legible(less, 0)),
        _ => "with as much detail in the middle".to_owned(),
    };
    if let Some(other) = other_lens(proof, sight, LIMIT.tight) {
        let (name, lies) = (&other.called, &other.lies);
        let shows = legible(other.upright, 0);
        let mut mend = if other.upright >= LIMIT.tight {
            format!(
                "Put on the lens \"{name}\" {lies}: it brings back {shows}°, {}",
                detail(other.focal_share)
            )
        } else {
            format!("Put on the lens \"{name}\" {lies}: it shows {shows}°, {}", detail(other.focal_share))
        };
        mend += &match &other.blades {
            Some(blades) => {
                // Of what that rule says, the blades alone; they begin its sentence.
                let blades = blades.split(';').next().unwrap_or_default();
                let mut letters = blades.chars();
                let first: String = letters.next().into_iter().flat_map(char::to_lowercase).collect();
                format!(". With it on, {first}{}.", letters.as_str())
            }
            None => ".".to_owned(),
        };
        mends.push(mend);
    }
    let taller = sight.camera().and_then(|camera| {
        let mut modes = camera.part.rows(&camera::mode::TABLE).skip(1);
        modes.find_map(|row| {
            let (across, down) =
                (row.count(&camera::mode::ACROSS).ok()?, row.count(&camera::mode::DOWN).ok()?);
            let ratio = f64::from(across) / f64::from(down.max(1));
            (ratio < 1.4).then(|| row.name().map(str::to_owned)).flatten()
        })
    });
    if let Some(mode) = taller {
        let set = if mends.is_empty() { "Set" } else { "Or set" };
        mends.push(format!("{set} the camera to its mode \"{mode}\", which is taller."));
    }
    let lens = sight.looking.view.lens();
    let wanted = lens.projection().and_then(|projection| {
        let height = sight.looking.view.area().height();
        focal_length_for(projection, height, Degrees::new(LIMIT.tight)).ok()
    });
    if let Some(focal) = wanted {
        // Rounded down: a little shorter still serves.
        let focal = (focal.get() * 20.0 + 1e-9).floor() / 20.0;
        let word = sight.looking.projection().0;
        let take = if mends.is_empty() { "Take" } else { "Or take" };
        mends.push(format!(
            "{take} a lens of {} mm ({word}): it shows 75°, {}.",
            legible(focal, 2),
            detail(focal / sight.looking.focal_length_mm())
        ));
    }
    mends
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use crate::PartAtHand;
    use crate::testing::{part, row, set};
    use crate::testing_view::{sighted, view_is_sound, view_told};
    use craft::Craft;
    use craft::schema::PartKind;
    use expect_test::{Expect, expect};

    fn check(spoil: impl FnOnce(&mut Craft), expected: Expect) {
        expected.assert_eq(&view_told(&VERTICAL, spoil));
    }

    fn short(craft: &mut Craft) {
        set(craft, "lens.focal_length", "1.9 mm, measured");
    }

    fn drawer(craft: &mut Craft, id: &str, focal_length: &str, thread: &str) {
        let facts = [
            ("focal_length", focal_length),
            ("projection", "equidistant"),
            ("thread", thread),
            ("proud", "2 mm, measured"),
            ("head_diameter", "10 mm, measured"),
            ("image_circle", "4.6 mm, data sheet"),
        ];
        part(craft, PartKind::Lens, id, &format!("drawer lens {id}"), &facts);
        set(craft, "cam.lens_thread", "M8x0.5");
    }

    #[test]
    fn a_view_tall_enough_is_sound() {
        view_is_sound(&VERTICAL);
    }

    #[test]
    fn a_long_lens_shows_too_little_and_the_focal_length_that_would_do_is_told() {
        check(
            short,
            expect![[r#"
                tight · lens on nano camera · 5.136 ° · 100 %
                  It shows 65° from bottom to top, and pilots who fly close to things want 75°; 4:3 as wide would show 87° (a taller sensor, not this one with its sides cut off)
                  > Take a lens of 1.65 mm (equidistant): it shows 75°, with 13 % less detail in the middle.
            "#]],
        );
        check(
            |craft| set(craft, "lens.focal_length", "2.5 mm, measured"),
            expect![[r#"
                broken · lens on nano camera · -10.496 ° · 0 %
                  It shows 50° from bottom to top, and pilots who fly close to things want 75°; 4:3 as wide would show 66° (a taller sensor, not this one with its sides cut off)
                  > Take a lens of 1.65 mm (equidistant): it shows 75°, with 34 % less detail in the middle.
            "#]],
        );
    }

    #[test]
    fn a_lens_that_lies_ready_is_named_and_one_that_does_not_fit_is_not() {
        check(
            |craft| {
                short(craft);
                drawer(craft, "one", "1.2 mm, data sheet", "M8x0.5");
                drawer(craft, "two", "1.5 mm, data sheet", "M8x0.5");
                drawer(craft, "three", "1.6 mm, data sheet", "M12x0.5");
            },
            expect![[r#"
                tight · lens on nano camera · 5.136 ° · 100 %
                  It shows 65° from bottom to top, and pilots who fly close to things want 75°; 4:3 as wide would show 87° (a taller sensor, not this one with its sides cut off)
                  > Put on the lens "drawer lens two" that lies ready: it brings back 83°, with 21 % less detail in the middle. With it on, blades fill 6.9 % of the picture, upper corners and both sides.
                  > Or take a lens of 1.65 mm (equidistant): it shows 75°, with 13 % less detail in the middle.
            "#]],
        );
    }

    #[test]
    fn a_lens_of_the_workshop_is_named_with_where_it_is_and_told_from_one_of_its_name() {
        let mut craft = sighted();
        short(&mut craft);
        let mut shelf = craft.clone();
        drawer(&mut shelf, "free", "1.45 mm, data sheet", "M8x0.5");
        drawer(&mut shelf, "far", "1.55 mm, data sheet", "M8x0.5");
        let lens = |id: &str, on: &[&str]| {
            let mut part = shelf.parts.iter().find(|part| part.id.as_str() == id).unwrap().clone();
            part.name = "short lens".to_owned();
            PartAtHand { part, on: on.iter().map(|name| (*name).to_owned()).collect() }
        };
        let told = |at_hand: &[PartAtHand]| {
            let proof = Proof::new(&craft).with_at_hand(at_hand);
            (VERTICAL.run)(&proof).findings[0].mends[0].split(": ").next().unwrap().to_owned()
        };
        let (free, far) = (lens("free", &[]), lens("far", &["Dunnock", "Wren"]));
        assert_eq!(
            told(std::slice::from_ref(&free)),
            "Put on the lens \"short lens\" that lies in the workshop"
        );
        // The longer one costs less detail.
        assert_eq!(
            told(&[free, far]),
            "Put on the lens \"short lens (1.55 mm)\" that is on \"Dunnock\" and others"
        );
    }

    #[test]
    fn a_taller_mode_is_named() {
        check(
            |craft| {
                short(craft);
                row(craft, "cam", "mode", &[("name", "wide"), ("across", "1280"), ("down", "720")]);
                row(craft, "cam", "mode", &[("name", "tall"), ("across", "960"), ("down", "720")]);
            },
            expect![[r#"
                tight · lens on nano camera · 5.136 ° · 100 %
                  It shows 65° from bottom to top, and pilots who fly close to things want 75°; 4:3 as wide would show 87° (a taller sensor, not this one with its sides cut off)
                  > Set the camera to its mode "tall", which is taller.
                  > Or take a lens of 1.65 mm (equidistant): it shows 75°, with 13 % less detail in the middle.
            "#]],
        );
    }

    #[test]
    fn without_focal_length_nobody_can_say() {
        check(
            |craft| set(craft, "lens.focal_length", ""),
            expect![[r#"
            unknown · lens on nano camera
              Nobody can say yet: the focal length of "lens" is not known
              > Measure or look up the focal length of "lens".
        "#]],
        );
        check(
            |craft| set(craft, "lens.image_circle", "1.5 mm, measured"),
            expect![[r#"
            unknown · lens on nano camera
              Nobody can say yet: the image of the lens ends before the top and bottom of the picture do
              > Correct the image circle or the measured map, or take a lens that lights the sensor.
        "#]],
        );
    }
}
