//! How far each part is moved out along its seating direction, so that nothing hides its neighbour.
//!
//! A part leaves its seat along the seat's upright (a screw along its own axis, a camera and its lens forward, cage
//! plates sideways), at least as far as what it is seated on has moved, and then far enough that its box clears, by
//! a gap, every box put on before it that lies in its way: one whose shadow along that direction it meets. Sideways
//! only what moved the same way counts, and nothing moves farther than [`SIDEWAYS_MAX`]: a cage plate must not fly
//! past the arm.

use super::boxed::{Boxed, boxed};
use super::custom::{Mover, Pieces, Stage};
use super::order::Step;
use craft::Anchor;
use craft::schema::PartKind;
use fit::{BodyPoint, BodyVector, PartVector, Role, Shape, Solid};
use proof::{Proof, Proved};
use std::collections::HashMap;

/// The most a part is moved level, in mm.
const SIDEWAYS_MAX: f64 = 60.0;
/// The gaps between two parts that are tried, as shares of the craft's size, and the least gap in mm.
pub(crate) const GAPS: [f64; 6] = [0.03, 0.045, 0.06, 0.08, 0.1, 0.12];
const GAP_MIN: f64 = 4.0;
/// How far something may reach over the origin of its seat and still hang under it, in mm.
const UNDER_SLACK: f64 = 0.5;
/// How many movers are moved apart at most; the rest keep their seats.
const MOVED_MAX: usize = 400;

/// A solid already put on: where it is drawn, which way it was moved.
struct Put {
    at: Boxed,
    moved: [f64; 3],
    stage: Stage,
}

/// What may stand in the way of a stage: blades need only leave their motors and ducts, not the mast between them.
fn in_the_way(stage: Stage, before: &[Put]) -> impl Iterator<Item = &Put> {
    before.iter().filter(move |put| stage != Stage::Blades || put.stage <= Stage::Motors)
}

/// How each mover of each step is moved, in the craft's frame, with a gap of this share of the craft's size.
pub(crate) fn spread(proof: &Proof, proved: &Proved, steps: &[Step], share: f64) -> Vec<Vec<[f64; 3]>> {
    let boxes: Vec<Boxed> = proved.solids.iter().map(|solid| core(&solid.solid)).collect();
    let all = boxes.iter().copied().reduce(Boxed::with);
    let size = all.map_or(0.0, |all| (0..3).map(|k| all.high[k] - all.low[k]).fold(0.0, f64::max));
    let gap = (share * size).max(GAP_MIN);
    let mut out: Vec<Put> = Vec::new();
    let mut by_place: HashMap<usize, [f64; 3]> = HashMap::new();
    let mut moved = 0;
    let mut by = Vec::with_capacity(steps.len());
    for step in steps {
        let mut of_step = Vec::with_capacity(step.movers.len());
        // Like parts of one step do not push one another: motors on four arms move alike.
        let before = out.len();
        for mover in &step.movers {
            let carried =
                carrier(proof, mover).and_then(|place| by_place.get(&place)).copied().unwrap_or_default();
            let direction = direction(proof, proved, &boxes, mover);
            let shift = match (direction, unit(&boxes, mover)) {
                (Some(direction), Some(own)) if moved < MOVED_MAX => {
                    moved += 1;
                    let far =
                        push(own.moved(carried), direction, gap, in_the_way(step.stage, &out[..before]));
                    [0, 1, 2].map(|k| carried[k] + direction[k] * far)
                }
                _ => carried,
            };
            out.extend(mover.solids.iter().map(|s| Put {
                at: boxes[*s].moved(shift),
                moved: direction.unwrap_or_default(),
                stage: step.stage,
            }));
            if matches!(mover.pieces, Pieces::All | Pieces::Base) {
                by_place.insert(mover.place, shift);
            }
            of_step.push(shift);
        }
        by.push(of_step);
    }
    by
}

fn unit(boxes: &[Boxed], mover: &Mover) -> Option<Boxed> {
    mover.solids.iter().map(|s| boxes[*s]).reduce(Boxed::with)
}

/// The place that a mover is seated on.
fn carrier(proof: &Proof, mover: &Mover) -> Option<usize> {
    proof.number_of(proof.craft.places.get(mover.place)?.on.as_ref()?.place()?)
}

/// The box round a solid; for a cylinder the one within its round, since round things pass by corners.
fn core(solid: &Solid) -> Boxed {
    let Shape::Cylinder(cylinder) = &solid.shape else { return boxed(solid) };
    let radius = cylinder.radius() * std::f64::consts::FRAC_1_SQRT_2;
    match Shape::cylinder(radius, cylinder.length()) {
        Ok(shape) => boxed(&Solid { shape, drifts: Vec::new(), ..solid.clone() }),
        Err(_) => boxed(solid),
    }
}

/// Along what a mover leaves its seat; `None` for the base of a frame and for what stands nowhere.
fn direction(proof: &Proof, proved: &Proved, boxes: &[Boxed], mover: &Mover) -> Option<[f64; 3]> {
    let middle = unit(boxes, mover)?.middle();
    let kind = proof.part_of(mover.place)?.kind;
    match mover.pieces {
        Pieces::Base => return None,
        Pieces::TopPlates | Pieces::Duct => return Some([0.0, 0.0, 1.0]),
        Pieces::CagePlate => return Some(sideways(proved, *mover.solids.first()?, middle)),
        Pieces::All => {}
    }
    if kind == PartKind::Screw {
        let first = proved.solids.get(*mover.solids.first()?)?;
        return unit_length(first.solid.pose.vector(PartVector::Z));
    }
    let anchor = proved.anchors.get(mover.place)?.as_ref()?;
    if matches!(kind, PartKind::Camera | PartKind::Lens) {
        return unit_length(anchor.vector(PartVector::X));
    }
    let up = unit_length(anchor.vector(PartVector::Z))?;
    let plain = !matches!(proof.craft.places[mover.place].on, Some(Anchor::Feature(..)));
    // Without a face to say it, what lies wholly under the origin of its seat leaves downward.
    let seat = anchor.origin().coordinates();
    let level: f64 = (0..3).map(|k| seat[k] * up[k]).sum();
    let under = plain && unit(boxes, mover)?.along(up)[1] <= level + UNDER_SLACK;
    if under { Some(up.map(|c| -c)) } else { Some(up) }
}

fn unit_length(vector: BodyVector) -> Option<[f64; 3]> {
    vector.direction().map(BodyVector::coordinates)
}

/// How far a box must go along a direction to clear what lies in its way.
fn push<'a>(own: Boxed, direction: [f64; 3], gap: f64, before: impl Iterator<Item = &'a Put>) -> f64 {
    let level = direction[2].abs() < 0.5;
    let back = own.along(direction)[0];
    let mut far = gap;
    for put in before {
        let same = (0..3).map(|k| put.moved[k] * direction[k]).sum::<f64>() > 0.9;
        if (level && !same) || !shadows_meet(own, put.at, direction) {
            continue;
        }
        far = far.max(put.at.along(direction)[1] - back + gap);
    }
    if level { far.min(SIDEWAYS_MAX) } else { far }
}

/// Whether two boxes overlap as seen along a direction, by the axes that lie most across it.
fn shadows_meet(a: Boxed, b: Boxed, direction: [f64; 3]) -> bool {
    let main = (0..3).max_by(|i, k| direction[*i].abs().total_cmp(&direction[*k].abs())).unwrap_or(2);
    (0..3).filter(|k| *k != main).all(|k| a.low[k] < b.high[k] && b.low[k] < a.high[k])
}

/// Whether a solid is shown: bodies, and blades as the disc they sweep.
pub(crate) fn is_shown(proved: &Proved, solid: usize) -> bool {
    let solid = &proved.solids[solid];
    !solid.ghost || solid.solid.role == Role::BladeSweep
}

/// To its own side for a plate along the craft, forward for one across it.
fn sideways(proved: &Proved, solid: usize, middle: BodyPoint) -> [f64; 3] {
    let normal = proved.solids[solid].solid.pose.vector(PartVector::Z);
    if normal.y().abs() < normal.x().abs() {
        return [1.0, 0.0, 0.0];
    }
    [0.0, if middle.y() < 0.0 { -1.0 } else { 1.0 }, 0.0]
}
