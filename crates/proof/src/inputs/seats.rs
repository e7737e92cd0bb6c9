//! Where every place stands in the craft's frame, and which facts move it.
//!
//! pose = pose of the anchor's part · frame of the feature · shift by x, y, z · yaw, pitch, roll · flip.
//! Each fact on the way (the feature's coordinates, a plate's thickness, the place's own offsets) leaves
//! a drift, so that clearances know they lean on it. A seat that leads back to itself has no pose.

use super::Unbuilt;
use crate::engine::Proof;
use craft::limits::SEATS_DEEP_MAX;
use craft::schema::{PartKind, camera, drive, frame, place as place_schema, shape};
use craft::{Anchor, Item, Missing, Part, Place, Reading};
use fit::{BodyPoint, BodyVector, Drift, DriftField, InPart, PartPoint, PartVector, Pose};
use quantity::{Degrees, Linear, Measure, Millimetres};
use std::collections::HashSet;

/// Where a place stands.
#[derive(Clone, Debug)]
pub struct Seat {
    /// From the part's frame to the craft's.
    pub pose: Pose,
    /// How the whole part moves with the facts on the way.
    pub drifts: Vec<Drift>,
    /// From the anchor's frame to the craft's: where the part would stand with no offset and no turn.
    pub anchor: Pose,
    /// How many seats lie beneath.
    deep: usize,
}

impl Seat {
    /// A seat that somebody tries: its pose, and no fact that moves it.
    pub(crate) fn tried(pose: Pose, anchor: Pose) -> Self {
        Self { pose, drifts: Vec::new(), anchor, deep: 0 }
    }
}

/// A feature's frame in its part, with the facts that place it.
pub struct FeatureFrame {
    /// From the feature's frame to the part's.
    pub frame: InPart,
    /// The origin of the frame along the part's x, y and z, with the facts it rests on.
    pub at: [Linear; 3],
    /// The angles that turn it, each with its axis in the part's frame; the axes pass its origin.
    pub turns: Vec<(Reading<Degrees>, PartVector)>,
}

/// The seat of every place of the craft.
pub(crate) fn seats_of(proof: &Proof) -> Vec<Result<Seat, Unbuilt>> {
    let mut known: Vec<Option<Result<Seat, Unbuilt>>> = vec![None; proof.craft.places.len()];
    for number in 0..proof.craft.places.len() {
        settle(proof, number, &mut known);
    }
    known.into_iter().flatten().collect()
}

/// Settles one place after those it is seated on, without recursion.
fn settle(proof: &Proof, number: usize, known: &mut [Option<Result<Seat, Unbuilt>>]) {
    let mut chain = vec![number];
    let mut walked = HashSet::from([number]);
    while let Some(&at) = chain.last() {
        if known[at].is_some() {
            chain.pop();
            continue;
        }
        let place = &proof.craft.places[at];
        let under = match place.on.as_ref().and_then(Anchor::place) {
            None => None,
            Some(id) => match proof.number_of(id) {
                None => {
                    let what = format!(
                        "it is seated on {:?}, which is no place of this craft; choose another seat",
                        id.as_str()
                    );
                    known[at] = Some(Err(wrong(at, place, what)));
                    continue;
                }
                Some(under) if known[under].is_none() && !walked.insert(under) => {
                    let from = chain.iter().position(|n| *n == under).unwrap_or(0);
                    let names: Vec<&str> =
                        chain[from..].iter().map(|n| proof.craft.places[*n].id.as_str()).collect();
                    let what = format!(
                        "its seat leads back to itself ({}); seat one of them on the frame",
                        names.join(" on ")
                    );
                    known[at] = Some(Err(wrong(at, place, what)));
                    continue;
                }
                Some(under) if known[under].is_none() => {
                    chain.push(under);
                    continue;
                }
                Some(under) => Some(under),
            },
        };
        known[at] = Some(seat(proof, at, place, under.map(|under| (under, &known[under]))));
    }
}

fn wrong(place: usize, placed: &Place, what: String) -> Unbuilt {
    Unbuilt {
        place,
        what: format!("place {:?}", placed.id.as_str()),
        missing: Vec::new(),
        wrong: Some(what),
        because: None,
    }
}

fn seat(
    proof: &Proof,
    number: usize,
    place: &Place,
    under: Option<(usize, &Option<Result<Seat, Unbuilt>>)>,
) -> Result<Seat, Unbuilt> {
    let unknown = |missing: Vec<Missing>| Unbuilt {
        place: number,
        what: format!("place {:?}", place.id.as_str()),
        missing,
        wrong: None,
        because: None,
    };
    let Some(anchor) = &place.on else {
        let path = quantity::FactPath(format!("place {}.on", place.id));
        return Err(unknown(vec![Missing { path, label: format!("seat of place {:?}", place.id.as_str()) }]));
    };
    let (base, mut drifts) = match (anchor, under) {
        (Anchor::Body, _) => (Pose::IDENTITY, Vec::new()),
        (_, Some((_, Some(Err(why))))) => {
            let what = format!("what it is seated on stands nowhere: {}", why.what);
            let because = why.because.or(Some(why.place));
            return Err(Unbuilt { wrong: Some(what), because, ..unknown(why.missing.clone()) });
        }
        (_, Some((_, Some(Ok(seat))))) if seat.deep >= SEATS_DEEP_MAX => {
            let what =
                format!("more than {SEATS_DEEP_MAX} seats lie beneath it; seat some of them on the frame");
            return Err(wrong(number, place, what));
        }
        (anchor, Some((under, Some(Ok(seat))))) => {
            let below = &proof.craft.places[under];
            match anchor {
                Anchor::Feature(_, feature) => {
                    let Some(part) = proof.part_of(under) else {
                        return Err(wrong(
                            number,
                            place,
                            format!("place {:?} has no part; choose one", below.id.as_str()),
                        ));
                    };
                    let found =
                        feature_frame(proof, part, feature).map_err(|missing| unknown(vec![missing]))?;
                    let Some(found) = found else {
                        let what = format!("{:?} has no feature {feature:?}; seat it on another", part.name);
                        return Err(wrong(number, place, what));
                    };
                    let mut drifts = seat.drifts.clone();
                    for (axis, along) in AXES.into_iter().zip(&found.at) {
                        shift(&mut drifts, seat.pose.vector(axis), along);
                    }
                    let about = seat.pose.point(found.frame.origin());
                    for (angle, axis) in &found.turns {
                        turn(proof, &mut drifts, angle, about, seat.pose.vector(*axis));
                    }
                    (seat.pose * found.frame, drifts)
                }
                _ => (seat.pose, seat.drifts.clone()),
            }
        }
        _ => return Err(wrong(number, place, "what it is seated on is not known; choose a seat".to_owned())),
    };
    let item = place.item();
    let offsets =
        [&place_schema::X, &place_schema::Y, &place_schema::Z].map(|field| read_linear(proof, &item, field));
    let mut at = [0.0; 3];
    for ((slot, offset), axis) in at.iter_mut().zip(offsets).zip(AXES) {
        let offset = offset.map_err(|missing| unknown(vec![missing]))?;
        *slot = offset.value;
        shift(&mut drifts, base.vector(axis), &offset);
    }
    let angle = |field| item.read::<Degrees>(field).map_err(|missing| unknown(vec![missing]));
    let (yaw, pitch, roll) =
        (angle(&place_schema::YAW)?, angle(&place_schema::PITCH)?, angle(&place_schema::ROLL)?);
    let turned = InPart::turned(PartPoint::new(at[0], at[1], at[2]), yaw.value, pitch.value, roll.value);
    let pose = base * turned;
    turn(proof, &mut drifts, &yaw, pose.origin(), base.vector(PartVector::Z));
    // Pitch is nose up, a left-handed turn about the y that yaw has already turned.
    let flat = base * InPart::turned(PartPoint::ORIGIN, yaw.value, Degrees::new(0.0), Degrees::new(0.0));
    turn(proof, &mut drifts, &pitch, pose.origin(), -flat.vector(PartVector::Y));
    turn(proof, &mut drifts, &roll, pose.origin(), pose.vector(PartVector::X));
    let flipped = item.flag(&place_schema::FLIPPED).unwrap_or(false);
    let over = InPart::turned(PartPoint::ORIGIN, Degrees::new(0.0), Degrees::new(0.0), Degrees::new(180.0));
    let pose = if flipped { pose * over } else { pose };
    let deep = match under {
        Some((_, Some(Ok(seat)))) => seat.deep + 1,
        _ => 0,
    };
    Ok(Seat { pose, drifts, anchor: base, deep })
}

const AXES: [PartVector; 3] = [PartVector::X, PartVector::Y, PartVector::Z];

fn shift(drifts: &mut Vec<Drift>, axis: BodyVector, along: &Linear) {
    for (fact, slope) in &along.slopes {
        drifts.push(Drift { fact: *fact, field: DriftField::Shift(axis * *slope) });
    }
}

fn turn(
    proof: &Proof,
    drifts: &mut Vec<Drift>,
    angle: &Reading<Degrees>,
    about: BodyPoint,
    axis: BodyVector,
) {
    if angle.doubt.plus > 0.0 || angle.doubt.minus > 0.0 {
        let field = DriftField::Turn { about, axis, radians: 1f64.to_radians() };
        drifts.push(Drift { fact: proof.enter(angle), field });
    }
}

/// A length as a value that leans on its fact; an exact one leans on nothing.
pub(crate) fn linear(proof: &Proof, reading: &Reading<Millimetres>) -> Linear {
    if reading.doubt.plus == 0.0 && reading.doubt.minus == 0.0 {
        return Linear { value: reading.value.raw(), slopes: Vec::new() };
    }
    Linear { value: reading.value.raw(), slopes: vec![(proof.enter(reading), 1.0)] }
}

/// The same, read from an item.
pub(crate) fn read_linear(
    proof: &Proof,
    item: &Item<'_>,
    field: &craft::schema::Field<Millimetres>,
) -> Result<Linear, Missing> {
    item.read(field).map(|reading| linear(proof, &reading))
}

/// The frame of a named feature of a part: `Ok(None)` when the part has no such feature.
pub fn feature_frame(proof: &Proof, part: &Part, name: &str) -> Result<Option<FeatureFrame>, Missing> {
    let exact = |value: f64| Linear { value, slopes: Vec::new() };
    match (part.kind, name) {
        (PartKind::Camera, "lens mount") => {
            let ahead = read_linear(proof, &part.item(), &camera::FACE_AHEAD)?;
            return Ok(Some(upright([ahead, exact(0.0), exact(0.0)])));
        }
        (PartKind::Motor, "shaft") => {
            let height = read_linear(proof, &part.item(), &drive::MOTOR_HEIGHT)?;
            return Ok(Some(upright([exact(0.0), exact(0.0), height])));
        }
        _ => {}
    }
    let at = |row: &Item<'_>| -> Result<[Linear; 3], Missing> {
        Ok([
            read_linear(proof, row, &shape::X)?,
            read_linear(proof, row, &shape::Y)?,
            read_linear(proof, row, &shape::Z)?,
        ])
    };
    if let Some(row) = part.row_named(&shape::pattern::TABLE, name) {
        return pattern_frame(proof, part, &row).map(Some);
    }
    if let Some(row) = part.row_named(&frame::camera_mount::TABLE, name) {
        return Ok(Some(upright(at(&row)?)));
    }
    if let Some(row) = part.row_named(&frame::motor_mount::TABLE, name) {
        let mut found = upright(at(&row)?);
        if row.text(&frame::motor_mount::FACES) == Ok("down") {
            found.frame = found.frame
                * InPart::turned(
                    PartPoint::ORIGIN,
                    Degrees::new(0.0),
                    Degrees::new(0.0),
                    Degrees::new(180.0),
                );
        }
        return Ok(Some(found));
    }
    if let Some(row) = part.row_named(&frame::antenna_mount::TABLE, name) {
        let lean = row.read(&frame::antenna_mount::LEAN)?;
        let toward = row.read(&frame::antenna_mount::TOWARD)?;
        let mut found = upright(at(&row)?);
        let (level, none) = (PartPoint::ORIGIN, Degrees::new(0.0));
        found.frame = found.frame * InPart::turned(level, toward.value, lean.value, none);
        // A lean is a nose-up turn, left-handed about the y that the turn toward has already turned.
        let flat = InPart::turned(level, toward.value, none, none);
        found.turns = vec![(toward, PartVector::Z), (lean, -flat.vector(PartVector::Y))];
        return Ok(Some(found));
    }
    if let Some(row) = part.row_named(&frame::standoff::TABLE, name) {
        let [x, y, z] = at(&row)?;
        let top = z + read_linear(proof, &row, &shape::HEIGHT)?;
        return Ok(Some(upright([x, y, top])));
    }
    Ok(None)
}

fn upright(at: [Linear; 3]) -> FeatureFrame {
    let frame = InPart::at(PartPoint::new(at[0].value, at[1].value, at[2].value));
    FeatureFrame { frame, at, turns: Vec::new() }
}

/// The frame of a hole pattern: on the face of its plate, or in the part frame where it names none.
fn pattern_frame(proof: &Proof, part: &Part, row: &Item<'_>) -> Result<FeatureFrame, Missing> {
    let (u, v) = (read_linear(proof, row, &shape::X)?, read_linear(proof, row, &shape::Y)?);
    let lower = row.text(&shape::pattern::FACE) == Ok("lower");
    let flat = Linear { value: 0.0, slopes: Vec::new() };
    let plate =
        row.text(&shape::pattern::PLATE).ok().and_then(|name| part.row_named(&frame::plate::TABLE, name));
    let at = match plate {
        // Upright plates carry no stacks; their patterns are read in the part frame.
        Some(plate) if matches!(plate.text(&frame::plate::STANDS), Ok("flat") | Err(_)) => {
            let [x, y, z] = [&shape::X, &shape::Y, &shape::Z].map(|field| read_linear(proof, &plate, field));
            let face = if lower { z? } else { z? + read_linear(proof, &plate, &frame::plate::THICKNESS)? };
            [x? + u, y? + v, face]
        }
        // An adapter of one plate is that plate, from its underside up.
        None if part.kind == PartKind::Adapter && !lower => {
            [u, v, read_linear(proof, &part.item(), &frame::plate::THICKNESS)?]
        }
        _ => [u, v, flat],
    };
    let mut found = upright(at);
    // The frame itself keeps the part's axes: a pattern's turn says where its holes are, not how boards sit.
    if lower {
        found.frame = found.frame
            * InPart::turned(PartPoint::ORIGIN, Degrees::new(0.0), Degrees::new(0.0), Degrees::new(180.0));
    }
    Ok(found)
}

#[cfg(test)]
#[path = "seats_tests.rs"]
mod tests;
