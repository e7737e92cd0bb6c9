//! Whether a movement of the camera that clears the picture breaks something else: tried, not guessed.
//!
//! The camera is moved with all that hangs in its mount, or tilted, by as much as is told, and the craft is asked anew
//! by every rule of fit: a movement that leaves something broken that was not, or breaks it further, is not proposed. A
//! tilt must lie in a range that is free to the camera, too. What asks how leads lie is asked last, as it takes longest.

use crate::names::called;
use crate::numbers::{legible, mm, rounded};
use crate::rules::{ASK_LEADS, RULES};
use crate::subject::Clears;
use crate::{Finding, LensView, Proof, TiltStopper, Verdict};
use craft::schema::place as place_schema;
use craft::{Craft, Place, Value};
use fit::BodyVector;
use quantity::{Basis, Doubt, Fact, Quantity, Unit};

/// By how much a margin that was broken before may shrink without being called worse.
const NO_WORSE: f64 = 0.05;

/// A movement of the camera.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum CameraMove {
    /// Forward, in mm.
    Forward(f64),
    /// Up, in mm.
    Lift(f64),
    /// Nose further up, in degrees.
    Tilt(f64),
}

/// What a movement runs into, in words, and whether that is the cage being too short.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Hindrance {
    /// The words: `1.5 mm forward, the lens stands 0.88 mm proud of the cage`.
    pub words: String,
    /// Whether a longer cage mends it.
    pub short_cage: bool,
}

impl Clears {
    /// Each movement as it is told, rounded up: a little more still serves.
    pub fn moves(&self) -> Vec<CameraMove> {
        let up = |value: f64, to: f64| (value / to).ceil() * to;
        let ways = [
            self.forward.map(|by| CameraMove::Forward(up(by.get(), 0.5))),
            self.lift.map(|by| CameraMove::Lift(up(by.get(), 0.5))),
            self.tilt.map(|by| CameraMove::Tilt(up(by.get(), 1.0))),
        ];
        ways.into_iter().flatten().collect()
    }
}

/// What each movement runs into; nothing where it is free.
pub(crate) fn hindrances(proof: &Proof, view: &LensView, moves: &[CameraMove]) -> Vec<Option<Hindrance>> {
    // The craft as it is, asked as a trial is: no mend is looked for.
    let now = proof.trial(proof.craft);
    let mut known = [None, None];
    moves.iter().map(|by| hindrance(proof, view, *by, &now, &mut known)).collect()
}

fn hindrance(
    proof: &Proof,
    view: &LensView,
    by: CameraMove,
    now: &Proof,
    known: &mut [Option<Vec<Finding>>; 2],
) -> Option<Hindrance> {
    if let CameraMove::Tilt(by) = by
        && let Some(words) = stopped(proof, view.camera, by)
    {
        return Some(Hindrance { words, short_cage: false });
    }
    let changed = moved(proof, view.camera, by)?;
    let trial = proof.trial(&changed);
    for (n, known) in known.iter_mut().enumerate() {
        let broken = broken(&trial, n == 1);
        if broken.is_empty() {
            continue;
        }
        let before = known.get_or_insert_with(|| self::broken(now, n == 1));
        // What concerns the camera itself says most.
        let places = &view.places;
        let mut fresh: Vec<&Finding> = broken.iter().filter(|finding| is_new(finding, before)).collect();
        fresh.sort_by_key(|finding| !finding.places.iter().any(|place| places.contains(place)));
        if let Some(first) = fresh.first() {
            return Some(told(by, first));
        }
    }
    None
}

/// What the rules of fit call broken: those that ask how leads lie, or the others.
fn broken(trial: &Proof, of_leads: bool) -> Vec<Finding> {
    let rules = RULES.iter().filter(|rule| rule.id.starts_with("fit."));
    let rules = rules.filter(|rule| ASK_LEADS.contains(&rule.id) == of_leads);
    let findings = rules.flat_map(|rule| (rule.run)(trial).findings);
    findings.filter(|finding| finding.verdict == Verdict::Broken).collect()
}

/// Whether nothing of the kind was broken before, or less so.
fn is_new(finding: &Finding, before: &[Finding]) -> bool {
    let same = |other: &&Finding| {
        other.rule == finding.rule && other.subject == finding.subject && other.places == finding.places
    };
    let margin = |finding: &Finding| finding.margin.as_ref().map(|margin| margin.quantity.value);
    match before.iter().find(same) {
        None => true,
        Some(other) => {
            margin(finding).zip(margin(other)).is_some_and(|(after, before)| after < before - NO_WORSE)
        }
    }
}

/// Why a camera cannot be tilted so much further, in words; `None` where it can.
fn stopped(proof: &Proof, camera: usize, by: f64) -> Option<String> {
    let tilt = proof.camera_tilts().iter().find(|tilt| tilt.place == camera)?;
    let (wanted, free) = (tilt.wanted.value, &tilt.here.free);
    let holds = |angle: f64| {
        free.iter().position(|free| (free.low.angle.value..=free.high.angle.value).contains(&angle))
    };
    if holds(wanted + by).is_some() {
        return None;
    }
    let Some(here) = holds(wanted) else {
        return Some(format!("no tilt of {}° is free", rounded(wanted + by, 1)));
    };
    let name = proof.placed_number(camera).map(|placed| called(proof, placed));
    let stop = tilt.here.stops.get(here).and_then(|ends| ends[1].as_ref());
    let why = stop.map_or(String::new(), |TiltStopper { turning, against }| {
        if name.as_ref() == Some(turning) {
            format!(", where {against} stops it")
        } else {
            format!(", where {turning} meets {against}")
        }
    });
    Some(format!("no tilt beyond {}° is free{why}", rounded(free[here].high.angle.value, 1)))
}

/// The same craft with the camera, and whatever hangs in the same mount, moved; `None` where the camera stands nowhere.
fn moved(proof: &Proof, camera: usize, by: CameraMove) -> Option<Craft> {
    let mut craft = proof.craft.clone();
    let shift = match by {
        CameraMove::Tilt(by) => {
            let place = craft.places.get_mut(camera)?;
            add(place, place_schema::PITCH.def.key, by, Unit::Degrees);
            return Some(craft);
        }
        CameraMove::Forward(by) => BodyVector::X * by,
        CameraMove::Lift(by) => BodyVector::Z * by,
    };
    let own = proof.inputs().seat(camera)?.anchor.inverse().vector(shift);
    let on = craft.places.get(camera)?.on.clone();
    let id = craft.places[camera].id.clone();
    let with_it = |place: &&mut Place| {
        place.id == id || (place.on == on && matches!(place.on, Some(craft::Anchor::Feature(..))))
    };
    for place in craft.places.iter_mut().filter(with_it) {
        for (field, by) in
            [(&place_schema::X, own.x()), (&place_schema::Y, own.y()), (&place_schema::Z, own.z())]
        {
            if by.abs() > 1e-9 {
                add(place, field.def.key, by, Unit::Millimetres);
            }
        }
    }
    Some(craft)
}

/// Adds to what a place says of itself, keeping its doubt.
fn add(place: &mut Place, key: &str, by: f64, unit: Unit) {
    if let Some(Value::Fact(fact)) = place.values.get_mut(key)
        && fact.quantity.unit == unit
    {
        fact.quantity.value += by;
        return;
    }
    let quantity = Quantity { value: by, unit };
    let fact = Fact { quantity, stated: Some(Doubt::NONE), basis: Basis::Measured };
    place.values.insert(key.to_owned(), Value::Fact(fact));
}

/// What a movement breaks, in words.
fn told(by: CameraMove, finding: &Finding) -> Hindrance {
    let way = match by {
        CameraMove::Forward(by) => format!("{} mm forward", legible(by, 1)),
        CameraMove::Lift(by) => format!("{} mm higher", legible(by, 1)),
        CameraMove::Tilt(by) => format!("tilted {}° more", legible(by, 1)),
    };
    let short_cage = finding.rule == "fit.lens_behind_cage";
    let what = match (finding.rule, &finding.margin) {
        ("fit.lens_behind_cage", Some(margin)) => {
            format!("the lens stands {} proud of the cage", mm(-margin.quantity.value))
        }
        ("fit.tilt_range", _) => "its tilt is not free".to_owned(),
        // The reason why two things must keep apart is told elsewhere.
        ("fit.pair_clearance", _) => finding.message.split(": ").next().unwrap_or_default().to_owned(),
        _ => format!("{} is at fault: {}", finding.subject, finding.message),
    };
    Hindrance { words: format!("{way}, {what}"), short_cage }
}
