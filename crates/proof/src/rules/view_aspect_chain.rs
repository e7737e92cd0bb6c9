//! Do circles stay round from the sensor to the screen, and is all of the sensor shown?

use crate::numbers::legible;
use crate::rule::rule;
use crate::standing::standing;
use crate::subject::{Sight, each_sight};
use crate::view_limits::{CROP_TIGHT, STRETCH as LIMIT};
use crate::working::Lines;
use crate::{Answer, Finding, Proof, Verdict};
use craft::schema::{Field, PartKind, camera, ground};
use craft::{Item, Missing};
use quantity::{Linear, Source, Unit};

rule! {
    /// Do circles stay round from the sensor to the screen, and is all of the sensor shown?
    ///
    /// ## Why
    /// Screens are 16:9. A picture of 4:3 that is stretched to fill one lies by a third from side to side: gaps look wider
    /// than they are, and a turn feels wrong. Where the edges are cut instead, ground and gaps overhead are lost.
    ///
    /// ## Sound when
    /// The picture is stretched by no more than 3 % on its way; more is broken. More than 15 % of the sensor's width or height
    /// that is not shown is tight.
    ///
    /// ## Rests on
    /// Pixels of the sensor, the camera's first picture mode and its share of the width, the first mode of the transmitter
    /// where it has one, the pixels of the display, and how each fits pictures of another shape. Pixels count as square.
    /// Common practice.
    ///
    /// ## Mend
    /// Set the unit that changes the shape to one that keeps it, with bars beside the picture.
    ASPECT_CHAIN = "view.aspect_chain", run
}

/// How far two shapes may differ and still be one: a few odd pixels.
const SAME_SHAPE: f64 = 0.005;

/// One unit that hands the picture on.
struct Step<'a> {
    called: String,
    item: Item<'a>,
    fill: Result<&'a str, Missing>,
    shape: Result<(f64, [u32; 2]), Vec<Missing>>,
}

impl<'a> Step<'a> {
    fn of(called: String, item: Item<'a>, [across, down]: [&Field<u32>; 2], fill: &Field<str>) -> Self {
        let shape = match (item.count(across), item.count(down)) {
            (Ok(across), Ok(down)) => Ok((f64::from(across) / f64::from(down), [across, down])),
            (across, down) => Err(across.err().into_iter().chain(down.err()).collect()),
        };
        Self { called, fill: item.text(fill), item, shape }
    }
}

fn run(proof: &Proof) -> Answer {
    each_sight(proof, ASPECT_CHAIN.id, |sight, answer| judge(proof, sight, answer))
}

fn judge(proof: &Proof, sight: &Sight, answer: &mut Answer) {
    let area = sight.looking.view.area();
    let mut shape = area.width() / area.height();
    let mut kept = sight.looking.read_of_sensor(proof).unwrap_or([1.0, 1.0]);
    let mut stretch = 1.0;
    let mut to_blame: Option<String> = None;
    let mut lines =
        Lines::of(proof).given("width over height, as read", shape, Unit::Ratio, "sensor and picture mode");
    let mut missing = Vec::new();
    for step in steps(proof) {
        let next = match &step.shape {
            Ok((next, _)) => *next,
            Err(lack) => {
                missing.extend(lack.iter().cloned());
                continue;
            }
        };
        let change = next / shape;
        if (change - 1.0).abs() > SAME_SHAPE {
            match &step.fill {
                Ok("stretched") => {
                    stretch *= change;
                    to_blame = Some(step.called.clone());
                    shape = next;
                }
                Ok("cut") => {
                    let [width, height] = &mut kept;
                    if change > 1.0 {
                        *height /= change
                    } else {
                        *width *= change
                    }
                    to_blame.get_or_insert(step.called.clone());
                    shape = next;
                }
                // Bars keep the picture's own shape.
                Ok(_) => {}
                Err(lack) => missing.push(lack.clone()),
            }
        } else {
            shape = next;
        }
        let origin = match &step.fill {
            Ok(fill) => format!("{}, other shapes {fill}", step.item.called),
            Err(_) => step.item.called.clone(),
        };
        lines = lines.given(&format!("width over height of {}", step.called), next, Unit::Ratio, origin);
    }
    let subject = sight.looking.subject.clone();
    if !missing.is_empty() {
        answer.findings.push(Finding::unknown(ASPECT_CHAIN.id, subject, missing).at(sight.places()));
        return;
    }
    let off = Linear::exact(100.0 * (stretch - 1.0).abs());
    let judged = standing(proof, &off, &LIMIT);
    let lost = kept.map(|kept| (100.0 * (1.0 - kept)).max(0.0));
    let (side, lost) = if lost[1] >= lost[0] { ("height", lost[1]) } else { ("width", lost[0]) };
    let broken = judged.verdict == Verdict::Broken;
    let tight = !broken && lost > CROP_TIGHT.get() + 1e-9;
    let percent = legible(off.value, 0);
    let message = if broken {
        let way = if stretch > 1.0 { "wide" } else { "tall" };
        format!("Circles become ellipses, {percent} % too {way}")
    } else if tight {
        format!("Circles stay round, but {} % of the sensor's {side} is not shown", legible(lost, 0))
    } else if lost >= 0.5 {
        format!("Circles stay round; {} % of the sensor's {side} is not shown", legible(lost, 0))
    } else {
        "Circles stay round, and the whole sensor is shown".to_owned()
    };
    let mut finding = judged.finding(ASPECT_CHAIN.id, subject, message).at(sight.places());
    if tight {
        finding.verdict = Verdict::Tight;
    }
    match (&to_blame, broken || tight) {
        (Some(blame), true) => {
            finding.mends.push(format!("Set {blame} to keep the shape, with bars beside the picture."));
        }
        (None, true) => finding.mends.push(
            "Set the camera to a mode that reads more of the sensor, if the link has room for it.".to_owned(),
        ),
        _ => {}
    }
    let figure = lines
        .given("not shown of the sensor", lost, Unit::Percent, format!("of its {side}"))
        .figure(
            sight.id("stretch"),
            format!("stretch of the picture from sensor to screen, {}", sight.looking.subject),
            (&off, Unit::Percent),
            "stretch = product of (shape of the unit / shape it is handed) over the units that stretch, off from 1",
            Source::common_practice("pixels are square; a unit cuts, stretches or puts bars beside other shapes"),
        );
    finding.figure = Some(figure.id.clone());
    answer.figures.push(figure);
    answer.findings.push(finding);
}

/// The units behind the camera that hand the picture on.
fn steps<'a>(proof: &Proof<'a>) -> Vec<Step<'a>> {
    let sent = proof.places_of(PartKind::VideoTransmitter).next().and_then(|unit| {
        let row = unit.part.rows(&camera::mode::TABLE).next()?;
        let sides = [&camera::mode::ACROSS, &camera::mode::DOWN];
        Some(Step::of(format!("the mode of \"{}\"", unit.part.name), row, sides, &camera::mode::FILL))
    });
    let shown = proof.places_of(PartKind::Display).next().map(|unit| {
        Step::of(
            format!("\"{}\"", unit.part.name),
            unit.part.item(),
            [&ground::ACROSS, &ground::DOWN],
            &camera::FILL,
        )
    });
    sent.into_iter().chain(shown).collect()
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use crate::testing::{part_mut, row, set};
    use crate::testing_view::{view_is_sound, view_told};
    use craft::Craft;
    use expect_test::{Expect, expect};

    fn check(spoil: impl FnOnce(&mut Craft), expected: Expect) {
        expected.assert_eq(&view_told(&ASPECT_CHAIN, spoil));
    }

    fn tall(craft: &mut Craft, fill: &str) {
        part_mut(craft, "cam").tables.remove("mode");
        row(craft, "cam", "mode", &[("name", "tall"), ("across", "960"), ("down", "720")]);
        set(craft, "eyes.fill", fill);
    }

    #[test]
    fn one_shape_all_the_way_is_sound() {
        view_is_sound(&ASPECT_CHAIN);
    }

    #[test]
    fn a_tall_picture_stretched_over_a_wide_screen_is_broken_and_with_bars_it_is_not() {
        check(
            |craft| tall(craft, "stretched"),
            expect![[r#"
                broken · lens on nano camera · -30.333 % · 0 %
                  Circles become ellipses, 33 % too wide
                  > Set "goggle" to keep the shape, with bars beside the picture.
            "#]],
        );
        check(
            |craft| tall(craft, "cut"),
            expect![[r#"
                tight · lens on nano camera · 3 % · 100 %
                  Circles stay round, but 25 % of the sensor's height is not shown
                  > Set "goggle" to keep the shape, with bars beside the picture.
            "#]],
        );
        check(
            |craft| tall(craft, "bars"),
            expect![[r#"
            tight · lens on nano camera · 3 % · 100 %
              Circles stay round, but 25 % of the sensor's width is not shown
              > Set the camera to a mode that reads more of the sensor, if the link has room for it.
        "#]],
        );
    }

    #[test]
    fn a_transmitter_that_stretches_is_named() {
        check(
            |craft| {
                tall(craft, "bars");
                let mode = [("name", "wide"), ("across", "1280"), ("down", "720"), ("fill", "stretched")];
                row(craft, "vtx", "mode", &mode);
            },
            expect![[r#"
                broken · lens on nano camera · -30.333 % · 0 %
                  Circles become ellipses, 33 % too wide
                  > Set the mode of "video transmitter" to keep the shape, with bars beside the picture.
            "#]],
        );
    }

    #[test]
    fn how_a_screen_fits_another_shape_must_be_known() {
        check(
            |craft| tall(craft, ""),
            expect![[r#"
            unknown · lens on nano camera
              Nobody can say yet: the fitting of other shapes of "goggle" is not known
              > Measure or look up the fitting of other shapes of "goggle".
        "#]],
        );
        check(
            |craft| set(craft, "eyes.down", ""),
            expect![[r#"
            unknown · lens on nano camera
              Nobody can say yet: the pixels down of "goggle" is not known
              > Measure or look up the pixels down of "goggle".
        "#]],
        );
    }
}
