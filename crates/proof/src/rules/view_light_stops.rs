//! Does the pair of lens and sensor gather enough light?

use crate::numbers::{at_most, legible};
use crate::rule::rule;
use crate::standing::standing;
use crate::subject::{Sight, by_custom, each_sight, leaning};
use crate::view_limits::{DUSK_A_STOP_MINUTES, LIGHT as LIMIT, REFERENCE_PAIR, TRANSMISSION};
use crate::working::Lines;
use crate::{Answer, Finding, Proof, Verdict};
use craft::schema::camera;
use optics::{
    DIFFRACTION_SOURCE, EXPOSURE_SOURCE, GREEN, LightPair, LightStops, OpticsFault, SensorArea,
    airy_diameter, noise_of, stops_over,
};
use quantity::{Linear, Millimetres, Percent, Ratio, Unit};

rule! {
    /// Does the pair of lens and sensor gather enough light?
    ///
    /// ## Why
    /// In dusk and under trees a dark pair needs gain, and gain shows noise. Noise changes from picture to picture, so the
    /// encoder spends its bits on it: blocks appear that look like radio. A small sensor loses as much as a slow lens.
    ///
    /// ## Sound when
    /// The picture gathers at most one stop less light than the reference pair, a third of an inch read 16:9 at f/2; two
    /// stops less are broken.
    ///
    /// ## Rests on
    /// The f-number and the transmission of the lens (90 ± 5 % where none is stated) and what is read of the sensor, for
    /// pictures of as many pixels. Common practice.
    ///
    /// ## Mend
    /// A lens of smaller f-number; a camera with a larger sensor, or a mode that reads more of it.
    LIGHT_STOPS = "view.light_stops", run
}

fn run(proof: &Proof) -> Answer {
    each_sight(proof, LIGHT_STOPS.id, |sight, answer| judge(proof, sight, answer))
}

/// Stops over the reference pair, for pictures of as many pixels: what the whole picture gathers.
fn over_reference(
    f_number: f64,
    transmission: f64,
    [width, height]: [f64; 2],
) -> Result<LightStops, OpticsFault> {
    let pair = |f_number, transmission, width, height| {
        LightPair::new(f_number, transmission, SensorArea::of_sides(width, height)?, (1280, 720))
    };
    let mm = Millimetres::new;
    let ours = pair(Ratio::new(f_number), Percent::new(transmission), mm(width), mm(height))?;
    let reference = REFERENCE_PAIR;
    let theirs = pair(reference.f_number, reference.transmission, reference.width, reference.height)?;
    Ok(stops_over(&ours, &theirs))
}

fn judge(proof: &Proof, sight: &Sight, answer: &mut Answer) {
    let subject = sight.looking.subject.clone();
    let Some(lens) = sight.lens() else { return };
    let item = lens.part.item();
    let f_number = match item.read(&camera::F_NUMBER) {
        Ok(f_number) => proof.lean(&f_number),
        Err(missing) => {
            answer.findings.push(Finding::unknown(LIGHT_STOPS.id, subject, vec![missing]).at(sight.places()));
            return;
        }
    };
    let transmission = item
        .read(&camera::TRANSMISSION)
        .unwrap_or_else(|missing| by_custom(missing.path.0, &missing.label, &TRANSMISSION));
    let transmission = proof.lean(&transmission);
    let sides = [
        sight.follow(&|view| Some(view.area().width().get())),
        sight.follow(&|view| Some(view.area().height().get())),
    ];
    let [Some(width), Some(height)] = sides else { return };
    let by = |of: fn(LightStops) -> f64| {
        leaning([&f_number, &transmission, &width, &height], move |[n, t, w, h]| {
            over_reference(n, t, [w, h]).ok().map(of)
        })
    };
    let whole = by(|stops| stops.in_the_picture().get());
    let (Some(stops), Some(place)) = (whole, by(|stops| stops.at_a_place().get())) else { return };
    let judged = standing(proof, &stops, &LIMIT);
    let verdict = judged.verdict;
    let much = legible(stops.value.abs(), 1);
    let message = if stops.value < -0.05 {
        let minutes = legible(-stops.value * DUSK_A_STOP_MINUTES, 0);
        format!(
            "The picture gathers {much} stops less light than a usual pair: dusk ends about {minutes} minutes earlier"
        )
    } else if stops.value > 0.05 {
        format!("The picture gathers {much} stops more light than a usual pair")
    } else {
        "The picture gathers as much light as a usual pair".to_owned()
    };
    let mut finding = judged.finding(LIGHT_STOPS.id, subject, message).at(sight.places());
    if verdict != Verdict::Sound {
        let wanted = f_number.value * 2f64.powf(0.5 * (stops.value - LIMIT.tight));
        if wanted < f_number.value && wanted >= 1.0 {
            finding.mends.push(format!("Take a lens of f/{} or less.", legible(at_most(wanted, 1), 1)));
        }
        finding
            .mends
            .push("Or take a camera with a larger sensor, or a mode that reads more of it.".to_owned());
    }
    let reference = REFERENCE_PAIR;
    let source = reference.source.line();
    let lines = || {
        Lines::of(proof)
            .facts(&f_number)
            .facts(&transmission)
            .facts(&width)
            .given("width in use", width.value, Unit::Millimetres, "sensor and picture mode")
            .given("height in use", height.value, Unit::Millimetres, "sensor and picture mode")
            .given("f-number of the reference", reference.f_number.get(), Unit::Ratio, source.clone())
            .given(
                "transmission of the reference",
                reference.transmission.get(),
                Unit::Percent,
                source.clone(),
            )
    };
    let figure = lines()
        .given("width of the reference", reference.width.get(), Unit::Millimetres, source.clone())
        .given("height of the reference", reference.height.get(), Unit::Millimetres, source.clone())
        .result("of this by lens and glass", &place, Unit::Stops, "2 log2(N_ref / N) + log2(T / T_ref)")
        .figure(
            sight.id("light_stops"),
            format!("light in the picture over the reference pair, {}", sight.looking.subject),
            (&stops, Unit::Stops),
            "stops = 2 log2(N_ref / N) + log2(T / T_ref) + log2(area / area_ref)",
            EXPOSURE_SOURCE,
        );
    finding.figure = Some(figure.id.clone());
    answer.figures.push(figure);
    let noise = leaning([&stops], |[stops]| Some(noise_of(quantity::Stops::new(stops)).get()));
    if let Some(noise) = noise {
        answer.figures.push(
            lines()
                .result("light over the reference", &stops, Unit::Stops, "figure view.light_stops")
                .figure(
                    sight.id("noise"),
                    format!("signal over noise beside the reference pair, {}", sight.looking.subject),
                    (&noise, Unit::Db),
                    "10 log10(2) = 3.01 dB a stop: counted light is as uncertain as the root of its count",
                    EXPOSURE_SOURCE,
                ),
        );
    }
    let disc = leaning([&f_number], |[n]| airy_diameter(Ratio::new(n), GREEN).ok().map(|disc| disc.get()));
    if let (Some(disc), Some(pixel)) = (disc, sight.pixel_um()) {
        let over = leaning([&disc, &pixel], |[disc, pixel]| Some(disc / pixel)).unwrap_or(Linear::exact(0.0));
        answer.figures.push(
            Lines::of(proof)
                .facts(&f_number)
                .given("wavelength", GREEN.get(), Unit::Micrometres, "green, which eyes and sensors see best")
                .result("one pixel of the picture", &pixel, Unit::Micrometres, "width in use / pixels across")
                .result("disc over that pixel", &over, Unit::Ratio, "under 2 the pixels limit, not the lens")
                .figure(
                    sight.id("diffraction"),
                    format!("how wide diffraction draws a point, {}", sight.looking.subject),
                    (&disc, Unit::Micrometres),
                    "2.44 λ N",
                    DIFFRACTION_SOURCE,
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
        expected.assert_eq(&view_told(&LIGHT_STOPS, spoil));
    }

    #[test]
    fn a_pair_little_darker_than_usual_is_sound() {
        view_is_sound(&LIGHT_STOPS);
    }

    #[test]
    fn a_slow_lens_ends_dusk_earlier() {
        check(
            |craft| set(craft, "lens.f_number", "2.5, data sheet"),
            expect![[r#"
            tight · lens on nano camera · 0.712 stops · 100 %
              The picture gathers 1.3 stops less light than a usual pair: dusk ends about 6 minutes earlier
              > Take a lens of f/2.2 or less.
              > Or take a camera with a larger sensor, or a mode that reads more of it.
        "#]],
        );
        check(
            |craft| set(craft, "lens.f_number", "4, data sheet"),
            expect![[r#"
            broken · lens on nano camera · -0.644 stops · 0 %
              The picture gathers 2.6 stops less light than a usual pair: dusk ends about 13 minutes earlier
              > Take a lens of f/2.2 or less.
              > Or take a camera with a larger sensor, or a mode that reads more of it.
        "#]],
        );
    }

    #[test]
    fn transmission_is_taken_by_custom_and_the_f_number_must_be_known() {
        check(
            |craft| set(craft, "lens.transmission", ""),
            expect![[r#"
            sound · lens on nano camera · 1.356 stops · 100 %
              The picture gathers 0.6 stops less light than a usual pair: dusk ends about 3 minutes earlier
        "#]],
        );
        check(
            |craft| set(craft, "lens.f_number", ""),
            expect![[r#"
            unknown · lens on nano camera
              Nobody can say yet: the f-number of "lens" is not known
              > Measure or look up the f-number of "lens".
        "#]],
        );
    }

    #[test]
    fn stops_are_those_of_the_formula() {
        let same = over_reference(2.0, 90.0, [4.8, 2.7]).unwrap();
        assert!(same.in_the_picture().abs().get() < 1e-12);
        let less = over_reference(2.8, 45.0, [2.4, 1.35]).unwrap();
        assert!((less.in_the_picture().get() + 0.9709 + 1.0 + 2.0).abs() < 1e-3);
    }
}
