//! The straight way out of a plug, slot or button: the space its body takes on its way, and what is passed over.
//!
//! The way begins at the face that leads and is as long as the plug must travel. Of a button it is the way
//! of a stick 2 mm thick. A pack comes off before anything is pulled, leads and straps are pushed aside, and
//! what is plugged into the plug goes with it: none of these is in the way. Nor is what the plug sits in.

use crate::inputs::{CraftSolid, Material, Piece, plug_row};
use crate::limits::pull_space;
use crate::{Placed, Proof};
use craft::schema::{place as place_schema, shape};
use craft::{Item, Missing};
use fit::{
    BodyPoint, BodyVector, Drift, DriftField, Extent, PartVector, Role, Scene, Shape, Solid, SolidIndex,
    keeps_from,
};
use quantity::Millimetres;
use std::collections::HashMap;

/// How thick the stick is that presses a button. Common practice.
pub(crate) const STICK: Millimetres = Millimetres::new(2.0);
/// Nearer than this, in mm, a plug sits in a solid of its own part.
const SITS_IN: f64 = 0.05;

/// A plug with its way out.
pub(crate) struct PullWay<'p, 'a> {
    pub placed: Placed<'a>,
    /// Its number among the plugs of its part.
    pub row: usize,
    /// What it is for.
    pub used: &'a str,
    pub index: SolidIndex,
    pub plug: &'p CraftSolid,
    /// Which way it goes.
    pub way: BodyVector,
    /// How far it must travel.
    pub travel: Millimetres,
    /// Where that length comes from.
    pub origin: String,
    /// The space it takes on its way.
    pub space: Solid,
}

/// Every plug of a place with its way, and what is missing of the others.
pub(crate) fn pull_ways<'p, 'a>(
    proof: &'p Proof<'a>,
    number: usize,
    wanted: impl Fn(&str) -> bool,
) -> (Vec<PullWay<'p, 'a>>, Vec<Missing>) {
    let (mut ways, mut missing) = (Vec::new(), Vec::new());
    let Some(placed) = proof.placed_number(number) else { return (ways, missing) };
    if proof.inputs().seat(number).is_none() {
        return (ways, missing);
    }
    for (row_number, row) in placed.part.rows(&shape::plug::TABLE).enumerate() {
        let used = row.text(&shape::plug::USE).unwrap_or("other");
        if !wanted(used) {
            continue;
        }
        let sizes = [&shape::LENGTH, &shape::WIDTH, &shape::HEIGHT].map(|field| row.read(field).err());
        let lacks: Vec<Missing> =
            sizes.into_iter().flatten().chain(row.text(&shape::plug::PULL).err()).collect();
        if lacks.is_empty() {
            ways.extend(pull_way(proof, placed, number, row_number, &row, used));
        } else {
            missing.extend(lacks);
        }
    }
    (ways, missing)
}

fn pull_way<'p, 'a>(
    proof: &'p Proof<'a>,
    placed: Placed<'a>,
    number: usize,
    row_number: usize,
    row: &Item<'a>,
    used: &'a str,
) -> Option<PullWay<'p, 'a>> {
    let piece = Piece::Row(shape::plug::TABLE.key, row_number);
    let (index, plug) = proof.inputs().solids_of(number).find(|(_, s)| s.piece == piece)?;
    let way = proof.inputs().seat(number)?.pose.vector(direction(row.text(&shape::plug::PULL).ok()?));
    let (travel, origin) = match row.read(&shape::plug::PULL_SPACE) {
        Ok(stated) => (stated.value, stated.basis.words().to_owned()),
        Err(_) => (pull_space(used).travel, pull_space(used).source.line()),
    };
    let space = way_of(&plug.solid, way, travel, used == "button")?;
    Some(PullWay { placed, row: row_number, used, index, plug, way, travel, origin, space })
}

/// The space from the leading face of a plug's box as far as it travels. It moves with that face; across the
/// way it is as wide as the box, or a stick's width.
fn way_of(plug: &Solid, way: BodyVector, travel: Millimetres, stick: bool) -> Option<Solid> {
    let Shape::Cuboid(body) = &plug.shape else { return None };
    let local = plug.pose.inverse().vector(way);
    let along = [local.x().abs(), local.y().abs(), local.z().abs()];
    let size = body.size();
    let half: f64 = along.iter().zip(&size).map(|(share, side)| share * side.get() / 2.0).sum();
    let side = |axis: usize| match along[axis] > 0.5 {
        true => travel,
        false if stick => STICK,
        false => size[axis],
    };
    let shape = Shape::cuboid(side(0), side(1), side(2)).ok()?;
    let middle = plug.pose.origin();
    let drifts =
        plug.drifts.iter().filter_map(|drift| follow(drift, middle + way * half, way, stick)).collect();
    let pose = plug.pose.shifted(way * (half + travel.get() / 2.0));
    Some(Solid { shape, pose, drifts, role: Role::PlugPullSpace, ..plug.clone() })
}

/// How the way moves with a fact of the plug: the plug's own length moves its leading face only.
fn follow(drift: &Drift, face: BodyPoint, way: BodyVector, stick: bool) -> Option<Drift> {
    let field = match drift.field {
        DriftField::Stretch { axis, .. } if axis.dot(way).abs() > 0.5 => {
            DriftField::Shift(drift.field.displacement(face))
        }
        DriftField::Stretch { .. } | DriftField::Swell { .. } if stick => return None,
        field => field,
    };
    Some(Drift { fact: drift.fact, field })
}

/// The places of what is plugged into each plug: an antenna, a lead.
pub(crate) struct PluggedIn(HashMap<(usize, usize), Vec<usize>>);

impl PluggedIn {
    /// Looks every end up once.
    pub fn of(proof: &Proof) -> Self {
        let mut into: HashMap<(usize, usize), Vec<usize>> = HashMap::new();
        for (number, place) in proof.craft.places.iter().enumerate() {
            let item = place.item();
            for end in [&place_schema::FROM, &place_schema::TO] {
                if let Some(plug) = item.text(end).ok().and_then(|named| plug_row(proof, named)) {
                    into.entry(plug).or_default().push(number);
                }
            }
        }
        Self(into)
    }

    /// The places of what is plugged into one plug: its place, and its number among the plugs there.
    pub fn joined(&self, place: usize, row: usize) -> &[usize] {
        self.0.get(&(place, row)).map_or(&[][..], Vec::as_slice)
    }
}

/// What is taken off or pushed aside before anything is pulled.
pub(crate) const PUSHED_ASIDE: &[Role] = &[Role::Harness, Role::Coax, Role::Strap, Role::Pack, Role::Relief];

/// What of some solids the plug passes over on its way: air, what is pushed aside, what is plugged into it,
/// what it sits in.
pub(crate) fn passing(
    proof: &Proof,
    plugged: &PluggedIn,
    pull: &PullWay,
    solids: &[SolidIndex],
) -> Vec<SolidIndex> {
    let joined = plugged.joined(pull.plug.place, pull.row);
    let passes = |solid: &CraftSolid| {
        let aside = PUSHED_ASIDE.contains(&solid.solid.role);
        let own = solid.place == pull.plug.place;
        let bed = matches!(solid.piece, Piece::Laminate | Piece::HotFace | Piece::Row("pad", _));
        solid.ghost
            || aside
            || joined.contains(&solid.place)
            || (own && (bed || sits_in(&pull.plug.solid, &solid.solid)))
    };
    let all = &proof.inputs().solids;
    solids.iter().copied().filter(|index| passes(&all[index.0 as usize])).collect()
}

/// Solids by where they begin along x, to find those near a plug without asking all.
pub(crate) struct ByX {
    begins: Vec<(f64, SolidIndex)>,
    widest: f64,
}

impl ByX {
    /// Sorts the scene once.
    pub fn of(scene: &Scene) -> Self {
        let extents = scene.indices().filter_map(|index| Some((index, scene.extent(index)?)));
        let mut begins: Vec<(f64, SolidIndex)> = Vec::new();
        let mut widest: f64 = 0.0;
        for (index, extent) in extents {
            begins.push((extent.low.x(), index));
            widest = widest.max(extent.high.x() - extent.low.x());
        }
        begins.sort_by(|a, b| a.0.total_cmp(&b.0));
        Self { begins, widest }
    }

    /// The solids whose boxes come within `air` of some boxes, in the order of the scene.
    pub fn near(&self, scene: &Scene, around: &[Extent], air: Millimetres) -> Vec<SolidIndex> {
        let air = air.get();
        let low = around.iter().map(|extent| extent.low.x()).fold(f64::INFINITY, f64::min) - air;
        let high = around.iter().map(|extent| extent.high.x()).fold(f64::NEG_INFINITY, f64::max) + air;
        let first = self.begins.partition_point(|(x, _)| *x < low - self.widest);
        let meets = |extent: &Extent| {
            let (from, to) = (extent.low.coordinates(), extent.high.coordinates());
            around.iter().any(|other| {
                let (low, high) = (other.low.coordinates(), other.high.coordinates());
                (0..3).all(|axis| from[axis] - high[axis] < air && low[axis] - to[axis] < air)
            })
        };
        let mut near: Vec<SolidIndex> = self.begins[first..]
            .iter()
            .take_while(|(x, _)| *x <= high)
            .filter(|(_, index)| scene.extent(*index).is_some_and(|extent| meets(&extent)))
            .map(|(_, index)| *index)
            .collect();
        near.sort_unstable();
        near
    }
}

fn sits_in(plug: &Solid, solid: &Solid) -> bool {
    !keeps_from(plug, solid, Millimetres::new(SITS_IN))
}

pub(super) fn direction(word: &str) -> PartVector {
    match word {
        "forward" => PartVector::X,
        "back" => -PartVector::X,
        "left" => PartVector::Y,
        "right" => -PartVector::Y,
        "down" => -PartVector::Z,
        _ => PartVector::Z,
    }
}

/// The space every plug needs to come out, for drawing; it takes no part in any distance.
pub(crate) fn pull_spaces(proof: &Proof) -> Vec<CraftSolid> {
    let places = 0..proof.craft.places.len();
    let ways = places.flat_map(|number| pull_ways(proof, number, |_| true).0);
    ways.map(|pull| {
        let name = format!("way out of {}", pull.plug.solid.name);
        CraftSolid {
            solid: Solid { name, ..pull.space },
            place: pull.plug.place,
            material: Material::Space,
            ghost: true,
            piece: Piece::WayOut(pull.row),
        }
    })
    .collect()
}
