//! What flying does to the picture, as curves: the points that charts draw and tables print.
//!
//! For each lens of a craft whose picture is known: where the horizon lies, how wide the thinnest obstacle is, how far things
//! smear and lean, what is flown blind and what a dodge needs, against speed; and the width of things against distance. Each
//! point carries the doubt of its facts. A curve that wants a fact nobody has stated is not drawn and names the fact.

use crate::Proof;
use crate::rules::{horizon_place, looking_up};
use crate::subject::{Flying, Sight, drives, late, leaning, level_flight};
use crate::view_limits::OBSTACLE_PIXELS;
use craft::schema::{camera, craft as craft_schema, place};
use craft::{Missing, PlaceId};
use optics::{Task, passed_while, width_in_picture};
use quantity::{
    FactLedger, Linear, Metres, MetresPerSecond, Milliseconds, Pixels, PixelsPerDegree, Unit,
    standard_uncertainty,
};

/// Points of each curve.
const POINTS: usize = 41;
/// How far away what is passed stands, in m.
const PASSED_AT: f64 = 5.0;
/// The twig and the gate that widths are told of beside the craft's own obstacle, in m.
const TWIG: f64 = 0.01;
const GATE: f64 = 1.5;

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

const SPEED: CurveAxis = CurveAxis { label: "speed", unit: Unit::MetresPerSecond };

/// The curves of every lens whose picture is known. None for a craft without motors: it does not fly.
pub fn flying_curves(proof: &Proof) -> Vec<FlyingCurves> {
    if drives(proof).is_empty() {
        return Vec::new();
    }
    Sight::all(proof).map(|sight| of_lens(proof, sight)).collect()
}

fn of_lens<'a>(proof: &Proof<'a>, sight: Sight<'_, 'a>) -> FlyingCurves {
    let looking = sight.looking;
    let maker = Maker { proof, cruise: cruise(proof), sight };
    let curves =
        vec![maker.horizon(), maker.obstacle(), maker.widths(), maker.smear(), maker.blind(), maker.dodge()];
    let lens = proof.craft.places[looking.lens].id.clone();
    FlyingCurves { subject: looking.subject.clone(), lens, curves }
}

fn cruise(proof: &Proof) -> Result<f64, Missing> {
    proof.craft.item().read(&craft_schema::CRUISE).map(|cruise| cruise.value.get())
}

struct Maker<'p, 'a> {
    proof: &'p Proof<'a>,
    cruise: Result<f64, Missing>,
    sight: Sight<'p, 'a>,
}

impl Maker<'_, '_> {
    /// Speeds from nought to twice the cruise speed, or to 20 m/s where none is stated.
    fn speeds(&self) -> impl Iterator<Item = f64> + use<> {
        let most = self.cruise.as_ref().map_or(20.0, |cruise| (2.0 * cruise).clamp(2.0, 100.0));
        even(0.0, most)
    }

    fn curve(&self, key: &str, title: &str, across: CurveAxis, up: CurveAxis) -> FlyingCurve {
        let mut held_against = Vec::new();
        if let (Ok(cruise), "speed") = (&self.cruise, across.label) {
            held_against.push(CurveLine::At(*cruise, "cruise".to_owned()));
        }
        FlyingCurve {
            id: self.sight.id(key),
            title: title.to_owned(),
            message: String::new(),
            across,
            up,
            lines: Vec::new(),
            held_against,
            missing: Vec::new(),
        }
    }

    fn line(
        &self,
        name: &str,
        at: impl Iterator<Item = f64>,
        of: impl Fn(f64) -> Option<Linear>,
    ) -> FlyingLine {
        let results: Vec<(f64, Linear)> = at.filter_map(|at| Some((at, of(at)?))).collect();
        let ledger = self.proof.ledger();
        let points = results.iter().filter_map(|(at, result)| point(*at, result, &ledger)).collect();
        FlyingLine { name: name.to_owned(), points }
    }

    fn lacking_pixels(&self) -> Vec<Missing> {
        let camera = self.sight.camera();
        camera.map(|camera| camera.part.item().missing(&camera::PIXELS_ACROSS.def)).into_iter().collect()
    }

    fn horizon(&self) -> FlyingCurve {
        let up = CurveAxis { label: "horizon above the middle, of half the height", unit: Unit::Percent };
        let mut curve = self.curve("horizon_over_speed", "Where the horizon lies in the picture", SPEED, up);
        match level_flight(self.proof) {
            Ok(flight) => {
                let of = |speed: f64| {
                    let (up, _) = looking_up(&self.sight, &flight, MetresPerSecond::new(speed))?;
                    horizon_place(&self.sight, &up)
                };
                curve.lines.push(self.line("horizon", self.speeds(), of));
                let level = leaning([&flight.mass, &flight.drag_area], |[mass, area]| {
                    let slope = self.sight.looking.tilt.get().to_radians().tan();
                    let weight = mass / 1000.0 * optics::GRAVITY;
                    Some((2.0 * slope * weight / (optics::AIR_DENSITY.get() * area)).sqrt())
                });
                curve.message = match level {
                    Some(level) => format!("At {:.0} m/s the lens looks level.", level.value),
                    None => "The camera is tilted down: the lens never looks level.".to_owned(),
                };
            }
            Err(missing) => curve.missing = missing,
        }
        curve.held_against.push(CurveLine::Value(100.0, "top of the picture".to_owned()));
        curve.held_against.push(CurveLine::Value(-100.0, "bottom of the picture".to_owned()));
        curve
    }

    fn width(&self, fine: &Linear, size: f64, at: f64) -> Option<Linear> {
        leaning([fine], |[fine]| {
            let wide = width_in_picture(Metres::new(size), Metres::new(at), PixelsPerDegree::new(fine));
            wide.ok().map(Pixels::get)
        })
    }

    fn obstacle(&self) -> FlyingCurve {
        let up = CurveAxis { label: "width in the picture a second ahead", unit: Unit::Pixels };
        let title = "How wide the thinnest obstacle is, a second ahead";
        let mut curve = self.curve("obstacle_over_speed", title, SPEED, up);
        let obstacle = self.proof.craft.item().read(&craft_schema::OBSTACLE);
        match (obstacle, self.sight.fine()) {
            (Ok(obstacle), Some(fine)) => {
                let size = obstacle.value.get() / 1000.0;
                let speeds = self.speeds().filter(|speed| *speed >= 1.0);
                let name = format!("{} mm", obstacle.value.get());
                curve.lines.push(self.line(&name, speeds, |speed| self.width(&fine, size, speed)));
                curve.message = "A thing shows from two pixels on, and is plain at four.".to_owned();
            }
            (obstacle, fine) => {
                curve.missing = obstacle.err().into_iter().collect();
                if fine.is_none() {
                    curve.missing.extend(self.lacking_pixels());
                }
            }
        }
        curve.held_against.push(CurveLine::Value(OBSTACLE_PIXELS.broken, "shows".to_owned()));
        curve.held_against.push(CurveLine::Value(OBSTACLE_PIXELS.tight, "plain".to_owned()));
        curve
    }

    fn widths(&self) -> FlyingCurve {
        let across = CurveAxis { label: "distance", unit: Unit::Metres };
        let up = CurveAxis { label: "width in the picture", unit: Unit::Pixels };
        let title = "How wide a gate, the thinnest obstacle and a twig are";
        let mut curve = self.curve("width_over_distance", title, across, up);
        let Some(fine) = self.sight.fine() else {
            curve.missing = self.lacking_pixels();
            return curve;
        };
        let mut things = vec![("gate of 1.5 m".to_owned(), GATE)];
        if let Ok(obstacle) = self.proof.craft.item().read(&craft_schema::OBSTACLE) {
            things.push((
                format!("thinnest obstacle, {} mm", obstacle.value.get()),
                obstacle.value.get() / 1000.0,
            ));
        }
        things.push(("twig of 10 mm".to_owned(), TWIG));
        // Even steps of a ratio: a chart lays both axes out in tens.
        let far = || (0..POINTS).map(|n| 100f64.powf(n as f64 / (POINTS - 1) as f64));
        for (name, size) in things {
            curve.lines.push(self.line(&name, far(), |at| self.width(&fine, size, at)));
        }
        for task in [Task::Detect, Task::Recognise] {
            curve.held_against.push(CurveLine::Value(task.pixels().get(), task.words().to_owned()));
        }
        curve.message = "Twice as far is half as wide.".to_owned();
        curve
    }

    fn smear(&self) -> FlyingCurve {
        let up = CurveAxis { label: "smear of what is passed 5 m away", unit: Unit::Pixels };
        let title = "How far things smear and lean that are passed 5 m away";
        let mut curve = self.curve("smear_over_speed", title, SPEED, up);
        let (Some(camera), Some(fine)) = (self.sight.camera(), self.sight.fine()) else {
            curve.missing = self.lacking_pixels();
            return curve;
        };
        let of = |time: &Linear, speed: f64| {
            leaning([time, &fine], |[time, fine]| {
                let (speed, at) = (MetresPerSecond::new(speed), Metres::new(PASSED_AT));
                passed_while(speed, at, Milliseconds::new(time), PixelsPerDegree::new(fine))
                    .ok()
                    .map(Pixels::get)
            })
        };
        let global = camera.part.item().text(&camera::SHUTTER).is_ok_and(|word| word == "global");
        let mut put = |name: &str, time: Result<Linear, Missing>| match time {
            Ok(time) => curve.lines.push(self.line(name, self.speeds(), |speed| of(&time, speed))),
            Err(lack) => curve.missing.push(lack),
        };
        let shutter = camera.place.item().read(&place::SHUTTER_LIMIT);
        put("blur while the shutter is open", shutter.map(|time| self.proof.lean(&time)));
        if !global {
            let read_out = camera.part.item().read(&camera::READ_OUT);
            put("lean while the sensor is read", read_out.map(|time| self.proof.lean(&time)));
        }
        curve.message = "Both grow with speed, and halve at twice the distance.".to_owned();
        curve
    }

    fn blind(&self) -> FlyingCurve {
        let up = CurveAxis { label: "way flown blind", unit: Unit::Metres };
        let mut curve =
            self.curve("blind_over_speed", "What is flown before the picture shows it", SPEED, up);
        match late(self.proof, &self.sight) {
            Ok(late) => {
                let worst = Linear::exact(late.worst);
                let of = |late: &Linear, speed: f64| Some(late * (speed / 1000.0));
                curve.lines.push(self.line("on the mean", self.speeds(), |speed| of(&late.mean, speed)));
                curve.lines.push(self.line("at worst", self.speeds(), |speed| of(&worst, speed)));
                curve.message = format!(
                    "The picture is {:.0} ms late on the mean, {:.0} ms at worst.",
                    late.mean.value, late.worst
                );
            }
            Err(missing) => curve.missing = missing,
        }
        curve
    }

    fn dodge(&self) -> FlyingCurve {
        let up = CurveAxis { label: "way flown until it has dodged", unit: Unit::Metres };
        let mut curve = self.curve("dodge_over_speed", "What a dodge needs", SPEED, up);
        match Flying::of(self.proof, &self.sight) {
            Ok(flying) => {
                let top = flying.top_speed();
                let speeds = self.speeds().filter(move |speed| *speed < top);
                let of = |speed: f64| flying.needs(MetresPerSecond::new(speed));
                curve.lines.push(self.line("needed", speeds, of));
                let words = format!("a thing of {} mm is seen from here", flying.obstacle);
                curve.held_against.push(CurveLine::Value(flying.seen_from.value, words));
                if let Some(fastest) = flying.fastest() {
                    curve.held_against.push(CurveLine::At(fastest.value, "fastest that dodges".to_owned()));
                    curve.message = format!("Up to {:.1} m/s it can be dodged.", fastest.value);
                }
            }
            Err(missing) => curve.missing = missing,
        }
        curve
    }
}

/// Even steps from one number to another.
fn even(from: f64, to: f64) -> impl Iterator<Item = f64> {
    (0..POINTS).map(move |n| from + (to - from) * n as f64 / (POINTS - 1) as f64)
}

/// A point, if its value is a number.
fn point(at: f64, result: &Linear, ledger: &FactLedger) -> Option<CurvePoint> {
    let uncertainty = standard_uncertainty(result, ledger);
    let sound = result.value.is_finite() && uncertainty.is_finite();
    sound.then_some(CurvePoint {
        at,
        value: result.value,
        uncertainty: (uncertainty > 0.0).then_some(uncertainty),
    })
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
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
