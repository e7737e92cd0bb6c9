//! What flying does to the picture, as curves: the points that charts draw and tables print.
//!
//! For each lens of a craft whose picture is known: where the horizon lies, how wide the thinnest obstacle is, how far things
//! smear and lean, what is flown blind and what a dodge needs, against speed; and the width of things against distance. Each
//! point carries the doubt of its facts. A curve that wants a fact nobody has stated is not drawn and names the fact. At any one
//! speed each line gives a figure with its working, made of the very function that its points are made of.

mod making;

use crate::Proof;
use crate::subject::{Sight, drives};
use craft::{Missing, PlaceId};
use making::Maker;
use quantity::{Figure, MetresPerSecond, Unit};

/// What is laid along one axis.
#[derive(Clone, Debug, PartialEq)]
pub struct CurveAxis {
    /// What it is.
    pub label: &'static str,
    /// In which unit.
    pub unit: Unit,
}

/// One point, with the standard uncertainty of its value where its facts are in doubt.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CurvePoint {
    /// Along.
    pub at: f64,
    /// Up.
    pub value: f64,
    /// Of the value, in its unit.
    pub uncertainty: Option<f64>,
}

/// A line to hold a curve against.
#[derive(Clone, Debug, PartialEq)]
pub enum CurveLine {
    /// Upright, at a place along.
    At(f64, String),
    /// Level, at a value.
    Value(f64, String),
}

/// One line of points, by name.
#[derive(Clone, Debug, PartialEq)]
pub struct FlyingLine {
    /// What it is of.
    pub name: String,
    /// Its points, from the least place along to the greatest. Where a thing cannot be, no point is.
    pub points: Vec<CurvePoint>,
}

/// One chart's worth of lines.
#[derive(Clone, Debug, PartialEq)]
pub struct FlyingCurve {
    /// Its id, as a figure has one: `view.horizon_over_speed[lens]`.
    pub id: String,
    /// What it shows, as a title.
    pub title: String,
    /// What it says, in a sentence.
    pub message: String,
    /// Along.
    pub across: CurveAxis,
    /// Up.
    pub up: CurveAxis,
    /// The lines; none where facts are missing.
    pub lines: Vec<FlyingLine>,
    /// What to hold them against: cruise speed, edges of the picture, pixels that show.
    pub held_against: Vec<CurveLine>,
    /// Facts for want of which it cannot be drawn.
    pub missing: Vec<Missing>,
}

/// The curves of one lens.
#[derive(Clone, Debug, PartialEq)]
pub struct FlyingCurves {
    /// What a person calls the lens on its camera.
    pub subject: String,
    /// The place of the lens.
    pub lens: PlaceId,
    /// The curves, always the same ones in the same order.
    pub curves: Vec<FlyingCurve>,
}

/// What one line says at a place along, with its working.
#[derive(Clone, Debug, PartialEq)]
pub struct FlyingMark {
    /// The id of its curve.
    pub curve: String,
    /// The name of its line.
    pub line: String,
    /// The place along: the speed, or how far is flown in a second.
    pub at: f64,
    /// The value there.
    pub figure: Figure,
}

/// The curves of every lens whose picture is known. None for a craft without motors: it does not fly.
pub fn flying_curves(proof: &Proof) -> Vec<FlyingCurves> {
    if drives(proof).is_empty() {
        return Vec::new();
    }
    Sight::all(proof).map(|sight| of_lens(proof, sight)).collect()
}

fn of_lens<'a>(proof: &Proof<'a>, sight: Sight<'_, 'a>) -> FlyingCurves {
    let looking = sight.looking;
    let curves = Maker::new(proof, sight, None).curves().into_iter().map(|made| made.curve).collect();
    let lens = proof.craft.places[looking.lens].id.clone();
    FlyingCurves { subject: looking.subject.clone(), lens, curves }
}

/// What every line of a lens's curves says at a speed; what goes over distance, a second ahead at that speed. A line that does not
/// reach so far says nothing.
pub fn flying_marks(proof: &Proof, lens: &PlaceId, speed: MetresPerSecond) -> Vec<FlyingMark> {
    if drives(proof).is_empty() {
        return Vec::new();
    }
    let mut sights = Sight::all(proof).filter(|sight| proof.craft.places[sight.looking.lens].id == *lens);
    let Some(sight) = sights.next() else { return Vec::new() };
    Maker::new(proof, sight, Some(speed.get())).curves().into_iter().flat_map(|made| made.marks).collect()
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::making::POINTS;
    use super::*;
    use crate::testing::set;
    use crate::testing_view::sighted;
    use craft::Craft;

    fn of(spoil: impl FnOnce(&mut Craft)) -> Vec<FlyingCurve> {
        let mut craft = sighted();
        spoil(&mut craft);
        flying_curves(&Proof::new(&craft)).remove(0).curves
    }

    fn values<'c>(curves: &'c [FlyingCurve], key: &str, line: usize) -> &'c [CurvePoint] {
        let curve = curves.iter().find(|curve| curve.id == format!("view.{key}[lens]")).unwrap();
        &curve.lines[line].points
    }

    #[test]
    fn every_curve_is_drawn_and_goes_the_way_it_must() {
        let curves = of(|_| {});
        assert!(curves.iter().all(|curve| curve.missing.is_empty() && !curve.message.is_empty()));
        let rising = |key: &str, line: usize| {
            values(&curves, key, line).windows(2).all(|pair| pair[1].value > pair[0].value)
        };
        assert!(
            rising("horizon_over_speed", 0) && rising("smear_over_speed", 1) && rising("blind_over_speed", 0)
        );
        assert!(rising("dodge_over_speed", 0) && values(&curves, "dodge_over_speed", 0).len() > 20);
        let falling =
            values(&curves, "width_over_distance", 2).windows(2).all(|pair| pair[1].value < pair[0].value);
        assert!(falling && values(&curves, "obstacle_over_speed", 0)[0].uncertainty.unwrap() > 0.0);
    }

    #[test]
    fn a_curve_says_what_its_figures_say() {
        let craft = sighted();
        let figures = crate::prove(&craft).figures;
        let figure = |key: &str| {
            let id = format!("view.{key}[lens]");
            figures.iter().find(|figure| figure.id.0 == id).unwrap_or_else(|| panic!("{id}")).quantity.value
        };
        let curves = of(|_| {});
        // The middle of the speeds is the cruise speed.
        let at_cruise = |key: &str| values(&curves, key, 0)[POINTS / 2].value;
        assert!((at_cruise("blind_over_speed") - figure("flown_blind")).abs() < 1e-9);
        assert!((at_cruise("dodge_over_speed") - figure("dodge_needs")).abs() < 1e-6);
    }

    #[test]
    fn every_line_opens_its_working_at_any_speed_and_says_what_its_points_say() {
        let craft = sighted();
        let proof = Proof::new(&craft);
        let curves = flying_curves(&proof).remove(0);
        for n in [10, 20, 33] {
            let speed = curves.curves[0].lines[0].points[n].at;
            let marks = flying_marks(&proof, &curves.lens, MetresPerSecond::new(speed));
            let ids: std::collections::BTreeSet<&str> = marks.iter().map(|mark| &*mark.figure.id.0).collect();
            assert_eq!(ids.len(), marks.len());
            let mut told = 0;
            for curve in &curves.curves {
                for line in &curve.lines {
                    let of = |mark: &&FlyingMark| mark.curve == curve.id && mark.line == line.name;
                    let mark = marks.iter().find(of).unwrap_or_else(|| panic!("{} {}", curve.id, line.name));
                    told += 1;
                    let figure = &mark.figure;
                    assert!(
                        figure.working.terms.len() >= 2 && !figure.working.formula.is_empty(),
                        "{figure:?}"
                    );
                    assert_eq!(figure.working.terms[0].quantity.value, speed);
                    if let Some(point) = line.points.iter().find(|point| (point.at - mark.at).abs() < 1e-12) {
                        assert_eq!(
                            (figure.quantity.value, figure.uncertainty),
                            (point.value, point.uncertainty)
                        );
                    }
                }
            }
            assert_eq!(told, marks.len());
        }
        assert!(flying_marks(&proof, &curves.lens, MetresPerSecond::new(1e6)).is_empty());
    }

    #[test]
    fn a_curve_without_its_facts_names_them() {
        let curves = of(|craft| {
            set(craft, "craft.obstacle", "");
            set(craft, "place cam.shutter_limit", "");
        });
        let missing = |key: &str| {
            let curve = curves.iter().find(|curve| curve.id == format!("view.{key}[lens]")).unwrap();
            curve.missing.iter().map(|missing| missing.label.clone()).collect::<Vec<_>>()
        };
        assert_eq!(missing("obstacle_over_speed"), ["thinnest obstacle of \"Bay\""]);
        assert_eq!(missing("smear_over_speed"), ["longest shutter time of place \"cam\""]);
        assert!(missing("horizon_over_speed").is_empty());
    }
}
