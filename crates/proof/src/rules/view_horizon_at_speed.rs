//! Does the horizon stay in the picture at cruise speed?

use crate::numbers::legible;
use crate::rule::rule;
use crate::standing::standing_of;
use crate::subject::{LevelFlight, Sight, drives, each_sight, level_flight};
use crate::view_limits::{HORIZON_EDGE_SHARE, HORIZON_SOURCE};
use crate::working::Lines;
use crate::{Answer, Finding, Proof, Verdict};
use craft::schema::craft as craft_schema;
use quantity::{Degrees, Linear, MetresPerSecond, Unit};

rule! {
    /// Does the horizon stay in the picture at cruise speed?
    ///
    /// ## Why
    /// A craft leans into its speed, and the camera leans with it: tilted too little it looks at the ground ahead, too much at
    /// the sky. Without a horizon in the picture nobody can tell climb from sink, or bank from level.
    ///
    /// ## Sound when
    /// At cruise speed the horizon lies in the picture, at least a tenth of its height from the edge; out of the picture is
    /// broken.
    ///
    /// ## Rests on
    /// How the lens stands on the craft; how far the nose is down in level flight, from mass, drag area and cruise speed; the
    /// view from bottom to top. Level flight in still air. Common practice.
    ///
    /// ## Mend
    /// Tilt the camera: the finding says how far. A lens that shows more from bottom to top serves too.
    HORIZON_AT_SPEED = "view.horizon_at_speed", run
}

fn run(proof: &Proof) -> Answer {
    // What does not fly has no horizon to keep.
    if drives(proof).is_empty() {
        return Answer::default();
    }
    let mut answer = each_sight(proof, HORIZON_AT_SPEED.id, |sight, answer| judge(proof, sight, answer));
    let cruise = proof.craft.item().read(&craft_schema::CRUISE);
    // One for the craft, whatever looks out of it.
    if let (false, Ok(cruise), Ok(flight)) = (answer.figures.is_empty(), cruise, level_flight(proof)) {
        answer.figures.extend(flight.figure(proof, cruise.value));
    }
    answer
}

fn judge(proof: &Proof, sight: &Sight, answer: &mut Answer) {
    let subject = sight.looking.subject.clone();
    let Some(upright) = sight.upright() else { return };
    let cruise = proof.craft.item().read(&craft_schema::CRUISE);
    let (cruise, flight) = match (cruise, level_flight(proof)) {
        (Ok(cruise), Ok(flight)) => (cruise.value, flight),
        (cruise, flight) => {
            let missing = cruise.err().into_iter().chain(flight.err().into_iter().flatten()).collect();
            answer.findings.push(Finding::unknown(HORIZON_AT_SPEED.id, subject, missing).at(sight.places()));
            return;
        }
    };
    let Some((up, nose)) = looking_up(sight, &flight, cruise) else { return };
    let off = if up.value < 0.0 { -&up } else { up.clone() };
    let margin = &(&upright * 0.5) - &off;
    let ample = HORIZON_EDGE_SHARE * upright.value;
    let judged = standing_of(proof, &margin, ample, Unit::Degrees);
    let verdict = judged.verdict;
    let speed = legible(cruise.get(), 1);
    let down = legible(nose.value, 0);
    let angle = legible(off.value, 0);
    let looks = match (off.value < 0.5, up.value > 0.0) {
        (true, _) => "and the lens looks level".to_owned(),
        (_, true) => format!("and the lens looks {angle}° above the horizon"),
        (_, false) => format!("and the lens looks {angle}° below the horizon"),
    };
    let (what, where_to) = if up.value > 0.0 { ("sky", "bottom") } else { ("ground", "top") };
    let message = match verdict {
        Verdict::Sound => format!("At {speed} m/s the nose is {down}° down, {looks}"),
        _ if margin.value < 0.0 => {
            format!("At {speed} m/s the nose is {down}° down, {looks}: all you see is {what}")
        }
        _ => format!(
            "At {speed} m/s the nose is {down}° down, {looks}: the horizon is near the {where_to} of the picture"
        ),
    };
    let mut finding = judged.finding(HORIZON_AT_SPEED.id, subject, message).at(sight.places());
    if verdict != Verdict::Sound {
        // As far as the middle, where neither gusts nor braking lose it.
        let wanted = legible(nose.value, 0);
        finding.mends.push(format!(
            "Tilt the camera to {wanted}°: the horizon then lies in the middle at {speed} m/s."
        ));
    }
    let place = horizon_place(sight, &up);
    let mut lines = Lines::of(proof)
        .given("tilt of the lens axis", sight.looking.tilt.get(), Unit::Degrees, "where the camera stands")
        .given("cruise speed", cruise.get(), Unit::MetresPerSecond, "said of the craft")
        .result("nose down", &nose, Unit::Degrees, "tan θ = ½ ρ · C_dA · v² / (m g)")
        .result("view from bottom to top", &upright, Unit::Degrees, "figure view.vertical")
        .facts(&margin);
    if let Some(place) = &place {
        let words = "per cent of half the height, above the middle";
        lines = lines.result("horizon", place, Unit::Percent, words);
    }
    let figure = lines.figure(
        sight.id("horizon_margin"),
        format!("horizon at cruise to the edge of the picture, {}", sight.looking.subject),
        (&margin, Unit::Degrees),
        "half the view from bottom to top − |tilt − nose down|",
        HORIZON_SOURCE,
    );
    finding.figure = Some(figure.id.clone());
    answer.figures.push(figure);
    answer.findings.push(finding);
}

/// How far above the horizon the lens looks at a speed, and how far the nose is down, in degrees.
pub(crate) fn looking_up(
    sight: &Sight,
    flight: &LevelFlight,
    speed: MetresPerSecond,
) -> Option<(Linear, Linear)> {
    let nose = flight.nose_down(speed)?;
    Some((&-&nose + sight.looking.tilt.get(), nose))
}

/// Where the horizon lies in the picture, in per cent of half its height above the middle; it may lie beyond the edge.
pub(crate) fn horizon_place(sight: &Sight, up: &Linear) -> Option<Linear> {
    let at = |view: &optics::View, up: f64| {
        let radius = view.lens().radius(Degrees::new(up.abs())).ok()?.get();
        Some(-up.signum() * 200.0 * radius / view.area().height().get())
    };
    let of_view = sight.follow(&|view| at(view, up.value))?;
    let step = 1e-4;
    let slope = match (at(&sight.looking.view, up.value + step), at(&sight.looking.view, up.value - step)) {
        (Some(above), Some(below)) => (above - below) / (2.0 * step),
        _ => 0.0,
    };
    Some(Linear::chained(of_view.value, &[(1.0, &of_view), (slope, up)]))
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use crate::testing::set;
    use crate::testing_view::{sighted, view_is_sound, view_told};
    use craft::Craft;
    use expect_test::{Expect, expect};
    use quantity::standard_uncertainty;

    fn check(spoil: impl FnOnce(&mut Craft), expected: Expect) {
        expected.assert_eq(&view_told(&HORIZON_AT_SPEED, spoil));
    }

    #[test]
    fn a_slow_craft_keeps_its_horizon() {
        view_is_sound(&HORIZON_AT_SPEED);
    }

    #[test]
    fn a_fast_craft_with_a_level_camera_looks_at_the_ground() {
        check(
            |craft| set(craft, "craft.cruise", "14 m/s"),
            expect![[r#"
            sound · lens on nano camera · 8.482 ° · 100 %
              At 14 m/s the nose is 33° down, and the lens looks 33° below the horizon
        "#]],
        );
        check(
            |craft| set(craft, "craft.cruise", "20 m/s"),
            expect![[r#"
            broken · lens on nano camera · -11.469 ° · 0 %
              At 20 m/s the nose is 53° down, and the lens looks 53° below the horizon: all you see is ground
              > Tilt the camera to 53°: the horizon then lies in the middle at 20 m/s.
        "#]],
        );
    }

    #[test]
    fn a_camera_tilted_too_far_looks_at_the_sky() {
        check(
            |craft| set(craft, "place cam.pitch", "60°"),
            expect![[r#"
            broken · lens on nano camera · -12.004 ° · 0 %
              At 6 m/s the nose is 7° down, and the lens looks 53° above the horizon: all you see is sky
              > Tilt the camera to 7°: the horizon then lies in the middle at 6 m/s.
        "#]],
        );
    }

    #[test]
    fn what_is_missing_is_named() {
        check(
            |craft| {
                set(craft, "craft.cruise", "");
                set(craft, "pack.mass", "");
            },
            expect![[r#"
                unknown · lens on nano camera
                  Nobody can say yet: the cruise speed of "Bay" and the mass of "pack" are not known
                  > Measure or look up the cruise speed of "Bay".
                  > Measure or look up the mass of "pack".
            "#]],
        );
        check(
            |craft| craft.class = None,
            expect![[r#"
            unknown · lens on nano camera
              Nobody can say yet: the class of "Bay" is not known
              > Measure or look up the class of "Bay".
        "#]],
        );
    }

    #[test]
    fn the_drag_area_that_is_said_goes_before_that_of_the_class() {
        check(
            |craft| set(craft, "craft.drag_area", "0.05 m²"),
            expect![[r#"
            sound · lens on nano camera · 15.026 ° · 100 %
              At 6 m/s the nose is 26° down, and the lens looks 26° below the horizon
        "#]],
        );
    }

    #[test]
    fn the_horizon_is_drawn_where_the_picture_shows_it() {
        let craft = sighted();
        let proof = Proof::new(&craft);
        let sight = Sight::all(&proof).next().unwrap();
        let looking = sight.looking;
        let flight = level_flight(&proof).unwrap();
        let (up, nose) = looking_up(&sight, &flight, MetresPerSecond::new(9.0)).unwrap();
        let place = horizon_place(&sight, &up).unwrap();
        // The same by casting the level directions into the picture: shares of the height from the top.
        let drawn = looking.horizon(Degrees::new(-nose.value));
        let middle = drawn.iter().min_by(|a, b| (a[0] - 0.5).abs().total_cmp(&(b[0] - 0.5).abs())).unwrap();
        assert!((100.0 - 200.0 * middle[1] - place.value).abs() < 1e-6, "{middle:?} against {}", place.value);
        assert!(standard_uncertainty(&place, &proof.ledger()) > 0.1);
    }
}
