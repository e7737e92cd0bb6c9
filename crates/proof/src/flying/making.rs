//! How the curves of one lens are made, and what their lines say at one place.

use super::{CurveAxis, CurveLine, CurvePoint, FlyingCurve, FlyingLine, FlyingMark};
use crate::Proof;
use crate::numbers::legible;
use crate::rules::{SLOWEST, dodge_lines, horizon_place, looking_up};
use crate::subject::{Flying, Sight, late, leaning, level_flight};
use crate::view_limits::OBSTACLE_PIXELS;
use crate::working::Lines;
use craft::Missing;
use craft::schema::{camera, craft as craft_schema, place};
use optics::{
    DODGE_SOURCE, LATENCY_SOURCE, LEVEL_FLIGHT_SOURCE, MOTION_SOURCE, TARGET_SOURCE, Task, passed_while,
    width_in_picture,
};
use quantity::{
    FactLedger, Linear, Metres, MetresPerSecond, Milliseconds, Pixels, PixelsPerDegree, Source, Unit,
    standard_uncertainty,
};

/// Points of each curve.
pub(super) const POINTS: usize = 41;
/// How far away what is passed stands, in m.
const PASSED_AT: f64 = 5.0;
/// The twig and the gate that widths are told of beside the craft's own obstacle, in m.
const TWIG: f64 = 0.01;
const GATE: f64 = 1.5;

const SPEED: CurveAxis = CurveAxis { label: "speed", unit: Unit::MetresPerSecond };
const FINE: &str = "pixels a degree in the middle";
const FINE_FROM: &str = "figure view.detail_middle";

/// A curve, with what its lines say at the marked place.
pub(super) struct Made {
    pub curve: FlyingCurve,
    pub marks: Vec<FlyingMark>,
}

/// One line of a curve, before it is drawn.
struct Line<'l, 'p, 'a> {
    name: String,
    /// Places along, from the least to the greatest.
    along: Vec<f64>,
    of: &'l dyn Fn(f64) -> Option<Linear>,
    /// What the value at a place rests on, term by term.
    terms: &'l dyn Fn(Lines<'p, 'a>, f64) -> Lines<'p, 'a>,
    formula: &'static str,
    source: Source,
}

/// Makes the curves of one lens: all their points, or what they say at one marked place.
pub(super) struct Maker<'p, 'a> {
    proof: &'p Proof<'a>,
    cruise: Result<f64, Missing>,
    sight: Sight<'p, 'a>,
    marked: Option<f64>,
}

impl<'p, 'a> Maker<'p, 'a> {
    pub fn new(proof: &'p Proof<'a>, sight: Sight<'p, 'a>, marked: Option<f64>) -> Self {
        let cruise = proof.craft.item().read(&craft_schema::CRUISE).map(|cruise| cruise.value.get());
        Self { proof, cruise, sight, marked }
    }

    /// Always the same ones in the same order.
    pub fn curves(&self) -> [Made; 6] {
        [self.horizon(), self.obstacle(), self.widths(), self.smear(), self.blind(), self.dodge()]
    }

    /// Speeds from nought to twice the cruise speed, or to 20 m/s where none is stated.
    fn speeds(&self) -> Vec<f64> {
        let most = self.cruise.as_ref().map_or(20.0, |cruise| (2.0 * cruise).clamp(2.0, 100.0));
        (0..POINTS).map(|n| most * n as f64 / (POINTS - 1) as f64).collect()
    }

    fn made(&self, key: &str, title: &str, across: CurveAxis, up: CurveAxis) -> Made {
        let mut held_against = Vec::new();
        if let (Ok(cruise), "speed") = (&self.cruise, across.label) {
            held_against.push(CurveLine::At(*cruise, "cruise".to_owned()));
        }
        let curve = FlyingCurve {
            id: self.sight.id(key),
            title: title.to_owned(),
            message: String::new(),
            across,
            up,
            lines: Vec::new(),
            held_against,
            missing: Vec::new(),
        };
        Made { curve, marks: Vec::new() }
    }

    fn put(&self, made: &mut Made, line: Line<'_, 'p, 'a>) {
        let Made { curve, marks } = made;
        let Some(at) = self.marked else {
            let results: Vec<(f64, Linear)> =
                line.along.iter().filter_map(|at| Some((*at, (line.of)(*at)?))).collect();
            let ledger = self.proof.ledger();
            let points = results.iter().filter_map(|(at, result)| point(*at, result, &ledger)).collect();
            curve.lines.push(FlyingLine { name: line.name, points });
            return;
        };
        let (Some(first), Some(last)) = (line.along.first(), line.along.last()) else { return };
        let found = (line.of)(at).filter(|found| found.value.is_finite());
        let Some(found) = found.filter(|_| (*first..=*last).contains(&at)) else { return };
        let place = match curve.across.unit {
            Unit::MetresPerSecond => "speed",
            _ => "distance, a second ahead",
        };
        let lines = Lines::of(self.proof).given(place, at, curve.across.unit, "as marked");
        let figure = (line.terms)(lines, at).figure(
            format!("{}.{}", curve.id, marks.len() + 1),
            format!("{}, at {} {}", line.name, legible(at, 1), curve.across.unit.symbol()),
            (&found, curve.up.unit),
            line.formula,
            line.source,
        );
        marks.push(FlyingMark { curve: curve.id.clone(), line: line.name, at, figure });
    }

    fn lacking_pixels(&self) -> Vec<Missing> {
        let camera = self.sight.camera();
        camera.map(|camera| camera.part.item().missing(&camera::PIXELS_ACROSS.def)).into_iter().collect()
    }

    fn horizon(&self) -> Made {
        let up = CurveAxis { label: "horizon above the middle", unit: Unit::Percent };
        let mut made = self.made("horizon_over_speed", "Where the horizon lies in the picture", SPEED, up);
        match level_flight(self.proof) {
            Ok(flight) => {
                let looking = |speed: f64| looking_up(&self.sight, &flight, MetresPerSecond::new(speed));
                let of = |speed: f64| horizon_place(&self.sight, &looking(speed)?.0);
                let height = self.sight.looking.view.area().height().get();
                let terms = |lines: Lines<'p, 'a>, speed: f64| {
                    let lines = lines
                        .result("mass", &flight.mass, Unit::Grams, "figure craft.mass")
                        .result(
                            "drag area",
                            &flight.drag_area,
                            Unit::SquareMetres,
                            "as level flight takes it",
                        )
                        .given(
                            "tilt of the camera",
                            self.sight.looking.tilt.get(),
                            Unit::Degrees,
                            "its place",
                        );
                    let Some((up, nose)) = looking(speed) else { return lines };
                    lines
                        .result("nose down", &nose, Unit::Degrees, "figure view.nose_down, at this speed")
                        .result("lens looks up by", &up, Unit::Degrees, "tilt − nose down")
                        .given("height in use", height, Unit::Millimetres, "sensor and picture mode")
                };
                self.put(
                    &mut made,
                    Line {
                        name: "horizon".to_owned(),
                        along: self.speeds(),
                        of: &of,
                        terms: &terms,
                        formula: if flight.stated.is_some() {
                            "tan(nose down) = tan(stated for cruise) · (v / cruise)²; place = −r(tilt − nose down) / half the height"
                        } else {
                            "tan(nose down) = ½ ρ · C_dA · v² / (m g); place = −r(tilt − nose down) / half the height"
                        },
                        source: LEVEL_FLIGHT_SOURCE,
                    },
                );
                let level = flight.speed_at(self.sight.looking.tilt);
                made.curve.message = match level {
                    Some(level) if level.get() < SLOWEST => {
                        "The lens looks level in hover, and below the horizon at every speed.".to_owned()
                    }
                    Some(level) => format!("At {} m/s the lens looks level.", legible(level.get(), 0)),
                    None => "The camera is tilted down: the lens never looks level.".to_owned(),
                };
            }
            Err(missing) => made.curve.missing = missing,
        }
        made.curve.held_against.push(CurveLine::Value(100.0, "top of the picture".to_owned()));
        made.curve.held_against.push(CurveLine::Value(-100.0, "bottom of the picture".to_owned()));
        made
    }

    /// How wide a thing of some size is, at places from where it stands so far away.
    fn width(&self, made: &mut Made, fine: &Linear, (name, size): (String, f64), along: Vec<f64>) {
        let of = |at: f64| {
            leaning([fine], |[fine]| {
                let wide = width_in_picture(Metres::new(size), Metres::new(at), PixelsPerDegree::new(fine));
                wide.ok().map(Pixels::get)
            })
        };
        let over_speed = made.curve.across.unit == Unit::MetresPerSecond;
        let terms = |lines: Lines<'p, 'a>, at: f64| {
            let lines = if over_speed {
                lines.given("distance, a second ahead", at, Unit::Metres, "speed · 1 s")
            } else {
                lines
            };
            lines
                .given("width of the thing", size, Unit::Metres, "said of the craft, or common practice")
                .facts(fine)
                .result(FINE, fine, Unit::PixelsPerDegree, FINE_FROM)
        };
        let formula = "pixels = 2 atan(size / 2 distance) · pixels a degree";
        self.put(made, Line { name, along, of: &of, terms: &terms, formula, source: TARGET_SOURCE });
    }

    fn obstacle(&self) -> Made {
        let up = CurveAxis { label: "width in the picture a second ahead", unit: Unit::Pixels };
        let title = "How wide the thinnest obstacle is, a second ahead";
        let mut made = self.made("obstacle_over_speed", title, SPEED, up);
        let obstacle = self.proof.craft.item().read(&craft_schema::OBSTACLE);
        match (obstacle, self.sight.fine()) {
            (Ok(obstacle), Some(fine)) => {
                let (mm, size) = (obstacle.value.get(), obstacle.value.get() / 1000.0);
                let speeds = self.speeds().into_iter().filter(|speed| *speed >= 1.0).collect();
                self.width(&mut made, &fine, (format!("{mm} mm"), size), speeds);
                made.curve.message = "A thing shows from two pixels on, and is plain at four.".to_owned();
            }
            (obstacle, fine) => {
                made.curve.missing = obstacle.err().into_iter().collect();
                if fine.is_none() {
                    made.curve.missing.extend(self.lacking_pixels());
                }
            }
        }
        made.curve.held_against.push(CurveLine::Value(OBSTACLE_PIXELS.broken, "shows".to_owned()));
        made.curve.held_against.push(CurveLine::Value(OBSTACLE_PIXELS.tight, "plain".to_owned()));
        made
    }

    fn widths(&self) -> Made {
        let across = CurveAxis { label: "distance", unit: Unit::Metres };
        let up = CurveAxis { label: "width in the picture", unit: Unit::Pixels };
        let title = "How wide a gate, the thinnest obstacle and a twig are";
        let mut made = self.made("width_over_distance", title, across, up);
        let Some(fine) = self.sight.fine() else {
            made.curve.missing = self.lacking_pixels();
            return made;
        };
        let mut things = vec![("gate of 1.5 m".to_owned(), GATE)];
        if let Ok(obstacle) = self.proof.craft.item().read(&craft_schema::OBSTACLE) {
            let mm = obstacle.value.get();
            things.push((format!("thinnest obstacle, {mm} mm"), mm / 1000.0));
        }
        things.push(("twig of 10 mm".to_owned(), TWIG));
        for thing in things {
            // Even steps of a ratio, from 1 m to 100: a chart lays both axes out in tens.
            let far = (0..POINTS).map(|n| 100f64.powf(n as f64 / (POINTS - 1) as f64)).collect();
            self.width(&mut made, &fine, thing, far);
        }
        for task in [Task::Detect, Task::Recognise] {
            made.curve.held_against.push(CurveLine::Value(task.pixels().get(), task.words().to_owned()));
        }
        made.curve.message = "Twice as far is half as wide.".to_owned();
        made
    }

    fn smear(&self) -> Made {
        let up = CurveAxis { label: "smear of what is passed 5 m away", unit: Unit::Pixels };
        let title = "How far things smear and lean that are passed 5 m away";
        let mut made = self.made("smear_over_speed", title, SPEED, up);
        let (Some(camera), Some(fine)) = (self.sight.camera(), self.sight.fine()) else {
            made.curve.missing = self.lacking_pixels();
            return made;
        };
        let mut put = |name: &str, which: &str, time: Result<Linear, Missing>| match time {
            Ok(time) => {
                let of = |speed: f64| {
                    leaning([&time, &fine], |[time, fine]| {
                        let (speed, at) = (MetresPerSecond::new(speed), Metres::new(PASSED_AT));
                        passed_while(speed, at, Milliseconds::new(time), PixelsPerDegree::new(fine))
                            .ok()
                            .map(Pixels::get)
                    })
                };
                let terms = |lines: Lines<'p, 'a>, _: f64| {
                    lines
                        .given("passed at", PASSED_AT, Unit::Metres, "chosen for this curve")
                        .result(which, &time, Unit::Milliseconds, "data sheet, or as the camera is set")
                        .result(FINE, &fine, Unit::PixelsPerDegree, FINE_FROM)
                };
                self.put(
                    &mut made,
                    Line {
                        name: name.to_owned(),
                        along: self.speeds(),
                        of: &of,
                        terms: &terms,
                        formula: "pixels = v / distance · 180/π · time · pixels a degree",
                        source: MOTION_SOURCE,
                    },
                );
            }
            Err(lack) => made.curve.missing.push(lack),
        };
        let lean = |time: craft::Reading<Milliseconds>| self.proof.lean(&time);
        let shutter = camera.place.item().read(&place::SHUTTER_LIMIT);
        put("blur while the shutter is open", "longest shutter time", shutter.map(lean));
        let global = camera.part.item().text(&camera::SHUTTER).is_ok_and(|word| word == "global");
        if !global {
            let read_out = camera.part.item().read(&camera::READ_OUT);
            put("lean while the sensor is read", "read-out time", read_out.map(lean));
        }
        made.curve.message = "Both grow with speed, and halve at twice the distance.".to_owned();
        made
    }

    fn blind(&self) -> Made {
        let up = CurveAxis { label: "way flown blind", unit: Unit::Metres };
        let mut made = self.made("blind_over_speed", "What is flown before the picture shows it", SPEED, up);
        match late(self.proof, &self.sight) {
            Ok(late) => {
                let worst = Linear::exact(late.worst);
                for (name, time, from) in [
                    ("on the mean", &late.mean, "figure view.latency"),
                    ("at worst", &worst, "each unit, and a whole period of each rate"),
                ] {
                    let of = |speed: f64| Some(time * (speed / 1000.0));
                    let terms = |lines: Lines<'p, 'a>, _: f64| {
                        let lines = late.units.iter().fold(lines, |lines, (called, time)| {
                            lines.result(called, time, Unit::Milliseconds, "data sheet of the unit")
                        });
                        lines.result("late", time, Unit::Milliseconds, from)
                    };
                    self.put(
                        &mut made,
                        Line {
                            name: name.to_owned(),
                            along: self.speeds(),
                            of: &of,
                            terms: &terms,
                            formula: "v · late",
                            source: LATENCY_SOURCE,
                        },
                    );
                }
                made.curve.message = format!(
                    "The picture is {} ms late on the mean, {} ms at worst.",
                    legible(late.mean.value, 0),
                    legible(late.worst, 0)
                );
            }
            Err(missing) => made.curve.missing = missing,
        }
        made
    }

    fn dodge(&self) -> Made {
        let up = CurveAxis { label: "way flown until it has dodged", unit: Unit::Metres };
        let mut made = self.made("dodge_over_speed", "What a dodge needs", SPEED, up);
        match Flying::of(self.proof, &self.sight) {
            Ok(flying) => {
                let top = flying.top_speed();
                let of = |speed: f64| flying.needs(MetresPerSecond::new(speed));
                let terms = |lines: Lines<'p, 'a>, _: f64| dodge_lines(lines, &flying);
                self.put(
                    &mut made,
                    Line {
                        name: "needed".to_owned(),
                        along: self.speeds().into_iter().filter(|speed| *speed < top).collect(),
                        of: &of,
                        terms: &terms,
                        formula: "v · (late + reaction + time aside at v); pull aside = √(T² − (m g)² − D²) / m",
                        source: DODGE_SOURCE,
                    },
                );
                let words = format!("a thing of {} mm is seen from here", flying.obstacle);
                made.curve.held_against.push(CurveLine::Value(flying.seen_from.value, words));
                // The fastest speed is found by trying many: only where it is drawn.
                let fastest = if self.marked.is_none() { flying.fastest() } else { None };
                if let Some(fastest) = fastest {
                    let held_against = &mut made.curve.held_against;
                    held_against.push(CurveLine::At(fastest.value, "fastest that dodges".to_owned()));
                    made.curve.message = match fastest.value {
                        none if none < SLOWEST => "At no speed can it be dodged.".to_owned(),
                        fastest => format!("Up to {} m/s it can be dodged.", legible(fastest, 1)),
                    };
                }
            }
            Err(missing) => made.curve.missing = missing,
        }
        made
    }
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
