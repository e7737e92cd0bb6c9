//! Where the spare length of a lead can be folded, and how much room the folds take.
//!
//! A fold lays the lead back and forth: two half turns at its least bend radius r, with two passes of length a between them. `n`
//! folds take up `2n·(a + π·r)` of its length and fill a box of `a + 2r + t` along the lead, `4n·r + t` across and its width w, with t
//! its thickness. A wave shallower than a half turn stays within the same box. The box hangs on the way by one of its sides, turned round
//! the way as it suits, keeps from everything what a lead of its kind must keep, and stays within the hull: the box round the
//! plates of the frame but its arms.
//!
//! Left out: folds laid round a corner, and loops wound round a post.

use super::{Lead, LeadWay};
use crate::Proof;
use crate::inputs::{CraftSolid, Piece, read_linear};
use craft::schema::{PartKind, camera, frame::plate};
use fit::{
    BodyPoint, BodyVector, LeadKind, PartPoint, PartVector, Pose, Shape, Solid, SolidIndex, keeps_from,
    required_clearance,
};
use quantity::{Degrees, Millimetres};
use std::f64::consts::PI;

/// Every how many points of a route, about a millimetre apart, folds are tried.
const EVERY: usize = 4;
/// At how many places, the roomiest first.
const PLACES: usize = 12;
/// How many folds are tried at most.
const FOLDS: u32 = 4;
/// Into how many parts a turn round the lead is divided.
const TURNS: u32 = 8;
/// How long a bundle may be at most, along the lead and across it, in mm: a longer one is no fold any more.
const LONGEST: f64 = 60.0;
/// How far a bundle may stand out of the hull, in mm: as exact as sheets are.
const STANDS_OUT: f64 = 0.5;
/// Shares of the spare that are tried where the whole finds no room.
const SHARES: [f64; 4] = [0.75, 0.5, 0.25, 0.125];

/// Spare length laid in folds, and where.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Fold {
    /// How much of the lead is folded, in mm.
    pub spare: f64,
    /// How many folds.
    pub folds: u32,
    /// What they fill: along the lead, across it, and as wide as it is, in mm.
    pub size: [f64; 3],
    /// How far along its way from its first end, in mm.
    pub along: f64,
    /// What its first end is called.
    pub from: String,
    /// What it lies beside.
    pub beside: String,
}

/// Where the spare length finds room.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum FoldPlace {
    /// All of it.
    Whole(Fold),
    /// So much of it and no more.
    Part(Fold),
    /// None that is worth a fold.
    Nowhere,
}

/// A place along the way with what is near it.
struct Place<'a> {
    at: BodyPoint,
    ahead: BodyVector,
    along: f64,
    /// The solids: what is to spare beyond what they need, what they need, and which; the nearest first.
    near: Vec<(f64, f64, &'a CraftSolid)>,
}

/// What bounds the folds of a lead.
struct Room {
    /// Its thickness and width, in mm.
    section: [f64; 2],
    /// The least and the greatest coordinates of the hull, in mm; nothing where the craft has no frame.
    hull: Option<[[f64; 3]; 2]>,
}

/// The box round the plates of the frame that are no arms; round all of the frame where it has no such plate.
fn hull(proof: &Proof) -> Option<[[f64; 3]; 2]> {
    let inputs = proof.inputs();
    let of_frame = |solid: &CraftSolid| {
        let placed = proof.placed_number(solid.place).filter(|placed| placed.part.kind == PartKind::Frame)?;
        let Piece::Row(table, row) = solid.piece else { return Some(false) };
        let row = (table == plate::TABLE.key).then(|| placed.part.rows(&plate::TABLE).nth(row)).flatten();
        Some(row.is_some_and(|row| row.text(&plate::ROLE).ok() != Some("arm")))
    };
    let marked: Vec<(SolidIndex, bool)> = inputs
        .solids
        .iter()
        .enumerate()
        .filter_map(|(number, solid)| Some((SolidIndex(number as u32), of_frame(solid)?)))
        .collect();
    let any = marked.iter().any(|(_, plate)| *plate);
    let boxes = marked.iter().filter(|(_, plate)| *plate || !any);
    boxes
        .filter_map(|(index, _)| inputs.scene.extent(*index))
        .map(|e| [e.low.coordinates(), e.high.coordinates()])
        .reduce(|[low, high], [l, h]| {
            [
                std::array::from_fn(|k| f64::min(low[k], l[k])),
                std::array::from_fn(|k| f64::max(high[k], h[k])),
            ]
        })
}

/// Whether a cuboid stays within the hull.
fn stays_within(pose: &Pose, size: [f64; 3], hull: [[f64; 3]; 2]) -> bool {
    let [low, high] = hull;
    (0..8_u8).all(|corner| {
        let at = |axis: usize| if corner >> axis & 1 == 0 { -size[axis] / 2.0 } else { size[axis] / 2.0 };
        let corner = pose.point(PartPoint::new(at(0), at(1), at(2))).coordinates();
        (0..3).all(|k| corner[k] >= low[k] - STANDS_OUT && corner[k] <= high[k] + STANDS_OUT)
    })
}

/// Where `spare` mm of a lead can be folded.
pub(crate) fn fold_place(proof: &Proof, lead: &Lead, way: &LeadWay, spare: f64) -> FoldPlace {
    let places = places(proof, lead, way);
    let room = Room { section: section(proof, lead, way), hull: hull(proof) };
    let whole = folded(lead, way, &places, &room, spare);
    if let Some(fold) = whole {
        return FoldPlace::Whole(fold);
    }
    let part = SHARES.iter().find_map(|share| folded(lead, way, &places, &room, share * spare));
    part.map_or(FoldPlace::Nowhere, FoldPlace::Part)
}

/// Thickness and width of a lead, in mm; one whose width nobody said is as wide as thick.
fn section(proof: &Proof, lead: &Lead, way: &LeadWay) -> [f64; 2] {
    let thickness = 2.0 * way.asked.half_thickness.value;
    let wide = |number: usize| {
        let placed = proof.placed_number(number)?;
        Some(read_linear(proof, &placed.part.item(), &camera::BUNDLE_WIDTH).ok()?.value)
    };
    let width = match lead.kind {
        LeadKind::CameraHarness => lead.leads().filter_map(wide).fold(thickness, f64::max),
        LeadKind::Coax => thickness,
    };
    [thickness, width]
}

/// What so many folds fill; `None` where that is too long for a fold.
fn size(spare: f64, folds: u32, bend: f64, [thickness, width]: [f64; 2]) -> Option<[f64; 3]> {
    let pass = (spare / f64::from(2 * folds) - PI * bend).max(0.0);
    let long = pass + 2.0 * bend + thickness;
    let across = f64::from(4 * folds) * bend + thickness;
    (long <= LONGEST && across <= LONGEST).then_some([long, across, width])
}

/// The fewest folds that find room, at the roomiest place.
fn folded(lead: &Lead, way: &LeadWay, places: &[Place], room: &Room, spare: f64) -> Option<Fold> {
    let from = &lead.tips[0].as_ref()?.called;
    (1..=FOLDS).find_map(|folds| {
        let size = size(spare, folds, way.least_bend.get(), room.section)?;
        let [long, across, wide] = size.map(Millimetres::new);
        let shape = Shape::cuboid(long, across, wide).ok()?;
        let place = places.iter().find(|place| fits(place, &shape, size, room))?;
        // What one can tie it to, not what it must keep from.
        let beside = place.near.iter().find(|(_, _, solid)| !solid.ghost)?.2;
        let (from, beside) = (from.clone(), beside.solid.name.clone());
        Some(Fold { spare, folds, size, along: place.along, from, beside })
    })
}

fn fits(place: &Place, shape: &Shape, size: [f64; 3], room: &Room) -> bool {
    let reach = size.iter().map(|side| side * side).sum::<f64>().sqrt();
    let near: Vec<_> = place.near.iter().take_while(|(gap, _, _)| *gap < reach).collect();
    let level = along(place.at, place.ahead);
    (0..TURNS).any(|turn| {
        let angle = Degrees::new(f64::from(turn) * 360.0 / f64::from(TURNS));
        let pose = level.turned_further(place.at, place.ahead, angle);
        // The way itself is the first pass or the one in the middle.
        [(size[1] - room.section[0]) / 2.0, 0.0].into_iter().any(|aside| {
            let pose = pose.shifted(pose.vector(PartVector::Y) * aside);
            room.hull.is_none_or(|hull| stays_within(&pose, size, hull))
                && near.iter().all(|(_, needs, s)| {
                    let bundle = Solid { shape: shape.clone(), pose, drifts: Vec::new(), ..s.solid.clone() };
                    keeps_from(&bundle, &s.solid, Millimetres::new(*needs))
                })
        })
    })
}

/// A pose whose first axis looks along the way.
fn along(at: BodyPoint, ahead: BodyVector) -> Pose {
    let across = BodyVector::X.cross(ahead);
    let angle = Degrees::new(BodyVector::X.dot(ahead).clamp(-1.0, 1.0).acos().to_degrees());
    match across.direction() {
        Some(axis) => Pose::turned_about(at, axis, angle),
        None => Pose::at(at),
    }
}

fn apart(at: BodyPoint, solid: &CraftSolid) -> f64 {
    solid.solid.nearest_to(at).0.get()
}

/// Places along the way, the roomiest first.
fn places<'a>(proof: &'a Proof, lead: &Lead, way: &LeadWay) -> Vec<Place<'a>> {
    let solids: Vec<(f64, &CraftSolid)> = proof
        .inputs()
        .solids
        .iter()
        .enumerate()
        .filter_map(|(number, solid)| {
            let index = SolidIndex(number as u32);
            let needs = required_clearance(lead.role(), solid.solid.role)?.distance.get();
            // A disc behind the wall of its duct is kept from by the wall.
            let needs = if way.asked.behind.contains(&index) { 0.0 } else { needs };
            (!way.asked.passing.contains(&index)).then_some((needs, solid))
        })
        .collect();
    let points = &way.route.points;
    let mut walked = 0.0;
    let mut places: Vec<(f64, Place)> = Vec::new();
    for (number, pair) in points.windows(2).enumerate() {
        let (at, step) = (pair[0], pair[1] - pair[0]);
        if number % EVERY == 0
            && let Some(ahead) = step.direction()
        {
            let mut near: Vec<(f64, f64, &CraftSolid)> =
                solids.iter().map(|(needs, s)| (apart(at, s) - needs, *needs, *s)).collect();
            near.sort_by(|a, b| a.0.total_cmp(&b.0));
            let room = near.first().map_or(f64::INFINITY, |first| first.0);
            places.push((room, Place { at, ahead, along: walked, near }));
        }
        walked += step.length().get();
    }
    places.sort_by(|a, b| b.0.total_cmp(&a.0));
    places.into_iter().take(PLACES).map(|(_, place)| place).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::testing_stack::sound_bay;
    use fit::distance_between;
    use proptest::prelude::*;

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(48))]

        /// A bundle anywhere about a craft fits exactly where its whole distance from everything says so.
        #[test]
        fn whether_a_bundle_keeps_from_what_is_there_is_what_its_distance_says(
            at in prop::array::uniform3(-40.0..40.0f64),
            turns in prop::array::uniform2(0.0..360.0f64),
            size in prop::array::uniform3(1.0..30.0f64),
        ) {
            let craft = sound_bay();
            let proof = Proof::new(&craft);
            let at = BodyPoint::new(at[0], at[1], at[2]);
            let pose = Pose::turned_about(at, BodyVector::Z, Degrees::new(turns[0]));
            let pose = pose.turned_further(at, BodyVector::Y, Degrees::new(turns[1]));
            let [long, across, wide] = size.map(Millimetres::new);
            let Ok(shape) = Shape::cuboid(long, across, wide) else { return Ok(()) };
            for solid in &proof.inputs().solids {
                let bundle = Solid { shape: shape.clone(), pose, ..solid.solid.clone() };
                let far = distance_between(&bundle, &solid.solid).map_or(f64::NAN, |gap| gap.distance.get());
                for needs in [0.0, 0.5, 3.0] {
                    let near = (far - needs).abs() < 1e-9;
                    prop_assert!(near || keeps_from(&bundle, &solid.solid, Millimetres::new(needs)) == (far >= needs), "{far} {needs} {}", solid.solid.name);
                }
            }
        }
    }

    #[test]
    fn a_bundle_stays_within_the_plates() {
        let craft = sound_bay();
        let hull = hull(&Proof::new(&craft));
        // Plates of 80 × 40 mm from z = -2 to 26, a cage that reaches on to x = 62.
        assert_eq!(hull, Some([[-40.0, -20.0, -2.0], [62.0, 20.0, 26.0]]));
        let pose = Pose::at(BodyPoint::new(0.0, 0.0, 12.0));
        let within = |size| stays_within(&pose, size, hull.unwrap_or_default());
        assert!(within([12.0, 40.0, 5.0]) && !within([12.0, 82.0, 5.0]));
    }

    #[test]
    fn folds_take_up_the_spare_and_grow_with_it() {
        for spare in [20.0, 40.0, 80.0, 160.0, 320.0] {
            for folds in 1..=FOLDS {
                let Some([long, across, _]) = size(spare, folds, 5.0, [1.2, 8.0]) else { continue };
                assert!(across <= LONGEST);
                let pass = long - 2.0 * 5.0 - 1.2;
                let taken = f64::from(2 * folds) * (pass + PI * 5.0);
                assert!(taken >= spare - 1e-9, "{folds} folds of {spare} mm take up {taken}");
                assert!((across - (f64::from(folds) * 20.0 + 1.2)).abs() < 1e-9);
                let more = size(spare + 10.0, folds, 5.0, [1.2, 8.0]);
                assert!(more.is_none_or(|more| more[0] >= long), "more spare fills no less");
            }
        }
        assert_eq!(size(400.0, 1, 5.0, [1.2, 8.0]), None, "one pass of 180 mm is no fold");
    }
}
