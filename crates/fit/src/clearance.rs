//! How far each relevant pair of solids is apart, where, and which facts decide it.
//!
//! Coarse: solids are sorted along x and swept; a pair is looked at only if their boxes are nearer than
//! what the pair needs plus an allowance for doubt. Exact: nearest places, or the least way out where they
//! overlap. With n the unit from the place on a to the place on b, the distance follows a fact x by
//! ∂d/∂x = n·(v_b − v_a), v being how fast the two places move with x (see [`crate::DriftField`]).
//!
//! Left out: second order, and the jump to another nearest place when two are nearly as near. Where that
//! matters, sample (JCGM 101). Of outlines with inner corners that lie deep in each other one slope in twenty is not
//! that of the shortest way out; close to touching all are (`tests/distance_slopes.rs`).

use crate::frame::{BodyPoint, BodyVector};
use crate::pairing::{Depth, boxes_apart_by, do_overlap, nearest_unless_deep, signed_nearest};
use crate::role::{Requirement, reach, required_clearance};
use crate::scene::{Scene, SolidFault, faults_of};
use crate::solid::{Solid, SolidIndex};
use quantity::{Linear, Millimetres};
use std::collections::HashSet;
use thiserror::Error;

/// Which pairs are asked for.
#[derive(Clone, Copy, Debug)]
pub struct ClearanceQuestion<'a> {
    /// Pairs that are meant to touch, in either order: a board and its spacer, a motor and its arm.
    pub touching: &'a [(SolidIndex, SolidIndex)],
    /// How much further than its need a pair is still reported.
    pub allowance: Millimetres,
    /// How many pairs are measured at most.
    pub pairs_max: usize,
}

impl Default for ClearanceQuestion<'_> {
    fn default() -> Self {
        Self { touching: &[], allowance: Millimetres::new(5.0), pairs_max: 200_000 }
    }
}

/// How far two solids are apart, and where.
#[derive(Clone, Debug, PartialEq)]
pub struct Gap {
    /// The distance; where they overlap, the least slide that frees them, negative.
    pub distance: Millimetres,
    /// The place on the first solid.
    pub on_a: BodyPoint,
    /// The place on the second solid.
    pub on_b: BodyPoint,
    /// The unit along which the distance is counted, from the first to the second: moving the second
    /// along it makes room.
    pub direction: BodyVector,
    /// The distance in mm and how it follows each fact.
    pub linear: Linear,
}

/// A pair, its gap and its need.
#[derive(Clone, Debug, PartialEq)]
pub struct Clearance {
    /// The first solid; its number is the lower one.
    pub a: SolidIndex,
    /// The second solid.
    pub b: SolidIndex,
    /// How far they are apart.
    pub gap: Gap,
    /// How far they should be.
    pub needs: Requirement,
}

impl Clearance {
    /// Actual less required distance: negative where the pair is too near.
    pub fn margin(&self) -> Millimetres {
        self.gap.distance - self.needs.distance
    }
}

/// A craft with more near pairs than are measured.
#[derive(Clone, Debug, PartialEq, Error)]
#[error(
    "more than {limit} pairs of solids are near each other; a craft this dense is drawn wrongly, or should be split"
)]
pub struct TooManyPairs {
    /// The limit.
    pub limit: usize,
}

/// All pairs that come nearer than they need, allowance included, in the order of their numbers.
pub fn clearances(scene: &Scene, question: &ClearanceQuestion) -> Result<Vec<Clearance>, TooManyPairs> {
    measured(scene, near_pairs(scene, question, |_| true)?)
}

/// The same as [`clearances`], when the answer before is known and only some solids changed since: only
/// pairs with one of these are measured anew.
pub fn clearances_after(
    scene: &Scene,
    question: &ClearanceQuestion,
    before: &[Clearance],
    changed: &[SolidIndex],
) -> Result<Vec<Clearance>, TooManyPairs> {
    let changed: HashSet<SolidIndex> = changed.iter().copied().collect();
    let touched = |pair: (SolidIndex, SolidIndex)| changed.contains(&pair.0) || changed.contains(&pair.1);
    let mut all = measured(scene, near_pairs(scene, question, touched)?)?;
    all.extend(before.iter().filter(|known| !touched((known.a, known.b))).cloned());
    all.sort_by_key(|clearance| (clearance.a, clearance.b));
    Ok(all)
}

/// How far two solids are apart, however far that is.
pub fn distance_between(a: &Solid, b: &Solid) -> Result<Gap, Vec<SolidFault>> {
    let faults: Vec<SolidFault> = [a, b].into_iter().flat_map(faults_of).collect();
    if !faults.is_empty() {
        return Err(faults);
    }
    Ok(gap(a, b, f64::MAX).unwrap_or_else(|| unreachable_gap(a, b)))
}

/// How far two solids are apart if that is less than `limit`; `None` where they are further apart. For
/// asking by the thousand: the solids are taken to be sound, and no fact is followed.
pub fn nearer_than(a: &Solid, b: &Solid, limit: Millimetres) -> Option<Millimetres> {
    let b_in_a = (a.pose.inverse() * b.pose).raw;
    let found = signed_nearest(&a.shape, &b.shape, b_in_a, limit.get())?;
    (found.distance < limit.get()).then(|| Millimetres::new(found.distance))
}

/// How near two solids are, as far as it matters.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Nearness {
    /// So far apart; where they overlap, the least slide that frees them, negative.
    Exactly(Millimetres),
    /// They overlap, and the least slide that frees them is this or longer.
    DeeperThan(Millimetres),
}

/// How far two solids are apart as [`nearer_than`] tells it, but of two that certainly overlap deeper than `deep` only
/// that: the way out is what takes long, and is not sought then. With `deep` below nought it is enough that they overlap.
pub fn nearer_unless_deep(a: &Solid, b: &Solid, limit: Millimetres, deep: Millimetres) -> Option<Nearness> {
    let b_in_a = (a.pose.inverse() * b.pose).raw;
    match nearest_unless_deep(&a.shape, &b.shape, b_in_a, limit.get(), deep.get())? {
        Depth::Known(far) => (far < limit.get()).then(|| Nearness::Exactly(Millimetres::new(far))),
        Depth::AtLeast(depth) => Some(Nearness::DeeperThan(Millimetres::new(depth))),
    }
}

/// Whether two solids are as far apart as they must be, with a need of nought or more. How deep they overlap is no matter then, and would
/// take a hundred times as long to find out. The solids are taken to be sound.
pub fn keeps_from(a: &Solid, b: &Solid, needs: Millimetres) -> bool {
    nearer_unless_deep(a, b, needs, Millimetres::new(-1.0)).is_none()
}

/// A distance that two solids certainly have, from the boxes round them: at most how far they are apart, and where they
/// overlap at most as high as the least slide that frees them, negative.
pub fn apart_at_least(a: &Solid, b: &Solid) -> Millimetres {
    Millimetres::new(boxes_apart_by(&a.shape, &b.shape, (a.pose.inverse() * b.pose).raw))
}

/// Whether two solids overlap: for asking by the thousand, the solids are taken to be sound. How deep they do costs a
/// search for the way out, a hundred times as much.
pub fn overlap(a: &Solid, b: &Solid) -> bool {
    do_overlap(&a.shape, &b.shape, (a.pose.inverse() * b.pose).raw)
}

/// The gap between two origins: only for the case, never seen, that no pair of pieces gave an answer.
fn unreachable_gap(a: &Solid, b: &Solid) -> Gap {
    let (on_a, on_b) = (a.pose.origin(), b.pose.origin());
    let direction = (on_b - on_a).direction().unwrap_or(BodyVector::Z);
    let distance = on_a.distance_to(on_b);
    Gap { distance, on_a, on_b, direction, linear: Linear { value: distance.get(), slopes: Vec::new() } }
}

fn gap(a: &Solid, b: &Solid, limit: f64) -> Option<Gap> {
    let b_in_a = (a.pose.inverse() * b.pose).raw;
    let found = signed_nearest(&a.shape, &b.shape, b_in_a, limit)?;
    let place = |p| BodyPoint::of(a.pose.raw.rotation * p + a.pose.raw.translation);
    let direction = BodyVector::of(a.pose.raw.rotation * found.direction);
    let (on_a, on_b) = (place(found.on_a), place(found.on_b));
    let mut linear = Linear { value: found.distance, slopes: Vec::new() };
    a.add_slopes(on_a, direction, -1.0, &mut linear);
    b.add_slopes(on_b, direction, 1.0, &mut linear);
    Some(Gap { distance: Millimetres::new(found.distance), on_a, on_b, direction, linear })
}

type NearPair = (SolidIndex, SolidIndex, Requirement, f64);

fn measured(scene: &Scene, mut pairs: Vec<NearPair>) -> Result<Vec<Clearance>, TooManyPairs> {
    pairs.sort_by_key(|(a, b, ..)| (*a, *b));
    let solids = scene.solids();
    Ok(pairs
        .into_iter()
        .filter_map(|(a, b, needs, horizon)| {
            let gap = gap(&solids[a.0 as usize], &solids[b.0 as usize], horizon)?;
            Some(Clearance { a, b, gap, needs })
        })
        .collect())
}

/// Pairs whose boxes come nearer than their need and the allowance.
fn near_pairs(
    scene: &Scene,
    question: &ClearanceQuestion,
    wanted: impl Fn((SolidIndex, SolidIndex)) -> bool,
) -> Result<Vec<NearPair>, TooManyPairs> {
    let touching: HashSet<(SolidIndex, SolidIndex)> =
        question.touching.iter().map(|(a, b)| (*a.min(b), *a.max(b))).collect();
    let (solids, extents) = (scene.solids(), scene.extents());
    let allowance = question.allowance.get().max(0.0);
    let mut order: Vec<u32> = (0..solids.len() as u32).collect();
    order.sort_by(|i, j| extents[*i as usize].low.x().total_cmp(&extents[*j as usize].low.x()));
    let mut pairs = Vec::new();
    for (rank, &i) in order.iter().enumerate() {
        let (one, box_of_one) = (&solids[i as usize], &extents[i as usize]);
        let last = box_of_one.high.x() + reach(one.role) + allowance;
        for &j in &order[rank + 1..] {
            let (other, box_of_other) = (&solids[j as usize], &extents[j as usize]);
            if box_of_other.low.x() > last {
                break;
            }
            if one.owner == other.owner {
                continue;
            }
            let Some(needs) = required_clearance(one.role, other.role) else { continue };
            let horizon = needs.distance.get() + allowance;
            if box_of_one.gap(box_of_other) > horizon {
                continue;
            }
            let pair = (SolidIndex(i.min(j)), SolidIndex(i.max(j)));
            if touching.contains(&pair) || !wanted(pair) {
                continue;
            }
            if pairs.len() == question.pairs_max {
                return Err(TooManyPairs { limit: question.pairs_max });
            }
            pairs.push((pair.0, pair.1, needs, horizon));
        }
    }
    Ok(pairs)
}
