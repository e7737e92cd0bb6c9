//! What a screw passes on its way: the plates, boards, spacers and units that lie on its axis, in order.
//!
//! From the face its head lies on, the screw looks along its own -z. A layer counts if it is square to the
//! screw and one of its holes lies within 1.5 mm of the axis. A plate of a frame, an adapter or a print counts wherever the shank meets it,
//! hole drawn or not: what is in the way is clamped, and the hole has to be drilled; only a window, or a hole in it twice as
//! wide as the screw, lets the screw through beside it. A spacer whose bore is less than the screw is
//! threaded for it; a unit's case is where its pattern states the depth of its threads; soft mounts never are.
//! A gap of up to 1 mm between two layers is closed when the screw is drawn tight; a wider one is filled by
//! something nobody drew, and counts as passed if the screw reaches beyond it. What comes through at the end
//! takes a nut. A print that is screwed to a plate (a pattern of its own, drilled in none of its plates) says how thick it is
//! there, and the plate below it counts as drilled for it.

use super::screw_sheets::{Sheet, sheets};
use crate::inputs::{CraftSolid, Piece, pattern_holes};
use crate::{Placed, Proof};
use craft::schema::{PartKind, board, fixing, frame, place as place_schema, shape};
use craft::{Anchor, Item, Missing, Reading};
use fit::{BodyPoint, BodyVector, PartPoint, PartVector, SolidIndex, Thread, ThreadMaterial, in_ring};
use quantity::{Linear, Millimetres};
use std::collections::HashMap;

/// How far a hole may lie beside the axis, in mm.
pub(super) const BESIDE: f64 = 1.5;
/// A gap up to this closes when the screw is drawn tight, in mm.
const CLOSES: f64 = 1.0;
/// Two near faces of one part that differ by less are one, in mm.
const SAME_FACE: f64 = 0.3;
/// A screw this much short of a face still reaches it, in mm: sizes are written with tenths.
const FLUSH: f64 = 0.1;
/// Side of the cells by which upright holes are found, in mm.
const CELL: f64 = 2.0;

/// One layer a screw may pass, at one of its holes.
#[derive(Clone, Debug)]
pub(super) struct Layer {
    /// The number of its place.
    pub place: usize,
    /// Where the plate has no hole for the screw: the plate's solid, and the spot in its outline's coordinates.
    pub undrawn: Option<(usize, [f64; 2])>,
    /// The hole's middle on the layer's lower face.
    pub at: BodyPoint,
    /// From the lower to the upper face.
    pub up: BodyVector,
    pub made: Made,
}

/// What a layer is to a screw.
#[derive(Clone, Debug)]
pub(super) enum Made {
    /// Plain holes through so much.
    Plain(Linear),
    /// A spacer: threaded if its bore is less than the screw.
    Post { height: Linear, bore: Result<f64, Missing>, material: Result<ThreadMaterial, Missing> },
    /// A case with threads so deep.
    Case(Linear),
    /// Nobody knows how thick.
    Unknown(Missing),
}

/// Every layer of a craft.
pub(crate) struct Layers {
    upright: HashMap<(i64, i64), Vec<Layer>>,
    other: Vec<Layer>,
    sheets: Vec<Sheet>,
}

/// A spot where a screw passes a plate in whose drawing no hole is for it.
pub(crate) struct Undrawn<'a> {
    /// The screw.
    pub screw: Placed<'a>,
    /// The number of the plate's solid.
    pub solid: usize,
    /// In the outline's own coordinates, in mm.
    pub at: [f64; 2],
}

/// What a screw passes and where it ends.
pub(crate) struct Column {
    /// What lies between head and thread.
    pub clamped: Vec<Linear>,
    /// What the screw goes into; an error names what nobody knows.
    pub into: Result<Into, Missing>,
    /// The plates it passes in whose drawing no hole is for it: solid and spot.
    undrawn: Vec<(usize, [f64; 2])>,
}

/// What a screw goes into.
pub(crate) enum Into {
    /// A threaded spacer of this height.
    Post(Linear, ThreadMaterial),
    /// The case of a unit, threaded so deep.
    Case(Linear),
    /// Whatever is on the far side: a nut.
    Nut,
}

impl Layers {
    /// Looks at every place once.
    pub fn of(proof: &Proof) -> Self {
        let mut layers = Layers { upright: HashMap::new(), other: Vec::new(), sheets: sheets(proof) };
        for (number, _) in proof.craft.places.iter().enumerate() {
            if let Some(placed) = proof.placed_number(number) {
                layers.add(proof, number, placed);
            }
        }
        layers
    }

    fn add(&mut self, proof: &Proof, number: usize, placed: Placed) {
        let part = placed.part;
        let item = part.item();
        match part.kind {
            PartKind::FlightController | PartKind::SpeedController | PartKind::IntegratedBoard => {
                let below = item.read(&board::BELOW).map_or(0.0, |below| below.value.get());
                let made = plain(proof, item.read(&board::BOARD));
                self.holes(proof, number, placed, below, |_| made.clone());
            }
            PartKind::VideoTransmitter => {
                self.holes(proof, number, placed, 0.0, |row| match row.read(&shape::pattern::THREAD_DEPTH) {
                    Ok(depth) => Made::Case(proof.lean(&depth)),
                    Err(_) => plain(proof, row.read(&shape::pattern::THICKNESS)),
                })
            }
            PartKind::Adapter if part.rows(&frame::plate::TABLE).next().is_none() => {
                let made = plain(proof, item.read(&frame::plate::THICKNESS));
                self.holes(proof, number, placed, 0.0, |_| made.clone());
            }
            PartKind::Frame | PartKind::Adapter => self.plates(proof, number, placed),
            PartKind::PrintedPart => {
                self.plates(proof, number, placed);
                self.base(proof, number, placed);
            }
            PartKind::Spacer => {
                let bore = item.read(&fixing::BORE).map(|bore| bore.value.get());
                let material = item.text(&fixing::MATERIAL).map(|word| match word {
                    "aluminium" => ThreadMaterial::Aluminium,
                    "steel" | "titanium" => ThreadMaterial::Steel,
                    _ => ThreadMaterial::Plastic,
                });
                let made = match item.read(&fixing::SPACER_HEIGHT) {
                    Ok(height) => Made::Post { height: proof.lean(&height), bore, material },
                    Err(missing) => Made::Unknown(missing),
                };
                self.pillars(proof, number, &made);
            }
            PartKind::SoftMount => {
                let made = plain(proof, item.read(&fixing::LOADED_HEIGHT));
                self.pillars(proof, number, &made);
            }
            _ => {}
        }
    }

    /// The holes of a part that is one layer from `from` up.
    fn holes(
        &mut self,
        proof: &Proof,
        number: usize,
        placed: Placed,
        from: f64,
        made: impl Fn(&Item) -> Made,
    ) {
        for row in placed.part.rows(&shape::pattern::TABLE) {
            let (x, y) = (coordinate(&row, &shape::X), coordinate(&row, &shape::Y));
            for [u, v] in pattern_holes(&row).unwrap_or_default() {
                self.put(proof, number, PartPoint::new(x + u, y + v, from), made(&row));
            }
        }
    }

    /// The patterns drilled in flat plates.
    fn plates(&mut self, proof: &Proof, number: usize, placed: Placed) {
        for row in placed.part.rows(&shape::pattern::TABLE) {
            let plate = row.text(&shape::pattern::PLATE).ok();
            let Some(plate) = plate.and_then(|name| placed.part.row_named(&frame::plate::TABLE, name)) else {
                continue;
            };
            if matches!(plate.text(&frame::plate::STANDS), Ok("along" | "across")) {
                continue;
            }
            let made = plain(proof, plate.read(&frame::plate::THICKNESS));
            let at = [&shape::X, &shape::Y, &shape::Z].map(|field| coordinate(&plate, field));
            let (x, y) = (at[0] + coordinate(&row, &shape::X), at[1] + coordinate(&row, &shape::Y));
            for [u, v] in pattern_holes(&row).unwrap_or_default() {
                self.put(proof, number, PartPoint::new(x + u, y + v, at[2]), made.clone());
            }
        }
    }

    /// Where a print is screwed to the plate it stands on: the print, and the plate where it has no hole yet.
    fn base(&mut self, proof: &Proof, number: usize, placed: Placed) {
        let below = placed.place.on.as_ref().and_then(Anchor::place).and_then(|id| proof.number_of(id));
        for row in placed.part.rows(&shape::pattern::TABLE) {
            if row.text(&shape::pattern::PLATE).is_ok() || row.read(&shape::pattern::THICKNESS).is_err() {
                continue;
            }
            let made = plain(proof, row.read(&shape::pattern::THICKNESS));
            let (x, y) = (coordinate(&row, &shape::X), coordinate(&row, &shape::Y));
            for [u, v] in pattern_holes(&row).unwrap_or_default() {
                let at = PartPoint::new(x + u, y + v, 0.0);
                self.put(proof, number, at, made.clone());
                let drilled = below.and_then(|below| to_be_drilled(proof, (number, at), below));
                if let (Some(below), Some((at, made))) = (below, drilled) {
                    self.put(proof, below, at, made);
                }
            }
        }
    }

    /// Spacers and soft mounts: where their solids stand.
    fn pillars(&mut self, proof: &Proof, number: usize, made: &Made) {
        let Some(seat) = proof.inputs().seat(number) else { return };
        let lower = -made.thickness().map_or(0.0, |thickness| thickness.value) / 2.0;
        for (_, solid) in proof.inputs().solids_of(number) {
            let up = seat.pose.vector(PartVector::Z);
            let at = solid.solid.pose.origin() + up * lower;
            self.keep(Layer { place: number, undrawn: None, at, up, made: made.clone() });
        }
    }

    fn put(&mut self, proof: &Proof, number: usize, at: PartPoint, made: Made) {
        if let Some(seat) = proof.inputs().seat(number) {
            let (at, up) = (seat.pose.point(at), seat.pose.vector(PartVector::Z));
            self.keep(Layer { place: number, undrawn: None, at, up, made });
        }
    }

    fn keep(&mut self, layer: Layer) {
        if layer.up.z().abs() > 0.999 {
            self.upright.entry(cell(layer.at)).or_default().push(layer);
        } else {
            self.other.push(layer);
        }
    }

    /// What the screws of a place pass, one after the other, from the middle of the face under each head. `None` of one that reaches nothing.
    pub fn columns(
        &self,
        proof: &Proof,
        screw: usize,
        diameter: Millimetres,
        (length, washer): (&Linear, &Linear),
    ) -> Vec<(BodyPoint, Option<Column>)> {
        let head = proof.part_of(screw).and_then(|part| part.item().text(&fixing::HEAD).ok());
        let is_sunk = head == Some("countersunk");
        let all = axes(proof, screw).into_iter();
        all.map(|axis| (axis.0, self.column(axis, diameter, (length, washer), is_sunk))).collect()
    }

    fn column(
        &self,
        (from, way): (BodyPoint, BodyVector),
        diameter: Millimetres,
        (length, washer): (&Linear, &Linear),
        is_sunk: bool,
    ) -> Option<Column> {
        let mut ahead = self.ahead(from, way, diameter.get());
        ahead.sort_by(|a, b| a.0.total_cmp(&b.0));
        let (mut clamped, mut undrawn) = (vec![washer.clone()], Vec::new());
        let (mut reached, mut passed) = (0.0, 0);
        for (near, layer) in ahead {
            let gap = near - reached;
            // A countersunk head lies level with the face over it: what is below that face is its own length.
            if gap > CLOSES || (is_sunk && reached == 0.0 && gap > 0.0) {
                let left = length.value - clamped.iter().map(|layer| layer.value).sum::<f64>();
                if left <= gap {
                    break;
                }
                clamped.push(Linear::exact(gap));
            }
            reached = near + layer.made.thickness().map_or(0.0, |thickness| thickness.value);
            undrawn.extend(layer.undrawn);
            passed += 1;
            let into = match layer.made {
                Made::Plain(thickness) => {
                    clamped.push(thickness);
                    continue;
                }
                Made::Unknown(missing) => Err(missing),
                Made::Case(depth) => Ok(Into::Case(depth)),
                Made::Post { height, bore, material } => match (bore, material) {
                    (Err(missing), _) => Err(missing),
                    (Ok(bore), _) if bore >= diameter.get() => {
                        clamped.push(height);
                        continue;
                    }
                    (_, Err(missing)) => Err(missing),
                    (_, Ok(material)) => Ok(Into::Post(height, material)),
                },
            };
            return Some(Column { clamped, into, undrawn });
        }
        (passed > 0).then_some(Column { clamped, into: Ok(Into::Nut), undrawn })
    }

    /// The places that a screw holds together, from the face under its head: those it passes to their far face and the one whose
    /// thread it reaches. None where it reaches through one thing alone: that it does not hold to anything.
    pub fn holds(
        &self,
        (from, way): (BodyPoint, BodyVector),
        (diameter, length, washer): (f64, f64, f64),
        is_sunk: bool,
    ) -> Vec<usize> {
        let mut ahead = self.ahead(from, way, diameter);
        ahead.sort_by(|a, b| a.0.total_cmp(&b.0));
        let (mut used, mut reached) = (washer, 0.0);
        let mut held: Vec<usize> = Vec::new();
        for (near, layer) in ahead {
            let gap = near - reached;
            if gap > CLOSES || (is_sunk && reached == 0.0 && gap > 0.0) {
                if length - used <= gap {
                    break;
                }
                used += gap;
            }
            let thickness = layer.made.thickness().map_or(0.0, |thickness| thickness.value);
            reached = near + thickness;
            let is_thread = match &layer.made {
                Made::Case(_) => true,
                Made::Post { bore, .. } => bore.as_ref().is_ok_and(|bore| *bore < diameter),
                Made::Plain(_) | Made::Unknown(_) => false,
            };
            let holds = if is_thread { used < length } else { used + thickness <= length + FLUSH };
            used += thickness;
            if holds {
                held.push(layer.place);
            }
            if is_thread {
                break;
            }
        }
        if held.iter().all(|place| held.first() == Some(place)) { Vec::new() } else { held }
    }

    /// Where screws pass plates in whose drawing no hole is for them. Screws that stand on a motor mount, a standoff or a camera
    /// mount have their holes from those.
    pub fn undrawn<'a>(&self, proof: &Proof<'a>) -> Vec<Undrawn<'a>> {
        let of = |screw: Placed<'a>| {
            let number = proof.number_of(&screw.place.id).filter(|_| !has_own_holes(proof, screw))?;
            let item = screw.part.item();
            let thread = item.text(&fixing::THREAD).ok().and_then(Thread::named)?;
            let length = Linear::exact(item.read(&fixing::SCREW_LENGTH).ok()?.value.get());
            let washer = screw.place.item().read(&place_schema::WASHER);
            let washer = Linear::exact(washer.map_or(0.0, |washer| washer.value.get()));
            let columns = self.columns(proof, number, thread.diameter, (&length, &washer)).into_iter();
            let spots = columns.filter_map(|(_, column)| column).flat_map(|column| column.undrawn);
            Some(spots.map(move |(solid, at)| Undrawn { screw, solid, at }).collect::<Vec<_>>())
        };
        proof.places_of(PartKind::Screw).filter_map(of).flatten().collect()
    }

    /// The layers ahead of a head, each once, with how far its near face lies.
    fn ahead(&self, from: BodyPoint, way: BodyVector, diameter: f64) -> Vec<(f64, Layer)> {
        let (i, k) = cell(from);
        let around = (-1..=1).flat_map(|a| (-1..=1).map(move |b| (i + a, k + b)));
        let upright = around.filter_map(|cell| self.upright.get(&cell)).flatten();
        let mut found: Vec<(f64, Layer)> = upright
            .chain(&self.other)
            .filter_map(|layer| {
                let (near, beside) = layer.from(from, way)?;
                (beside <= BESIDE && near > -0.5).then(|| (near, layer.clone()))
            })
            .collect();
        let listed = found.len();
        for sheet in &self.sheets {
            let Some((near, layer)) = sheet.met(from, way, diameter).filter(|(near, _)| *near > -0.5) else {
                continue;
            };
            // Where a hole of the same part is listed on the axis, the screw goes through that.
            let same = |(there, known): &(f64, Layer)| {
                known.place == layer.place && (there - near).abs() < SAME_FACE
            };
            if !found[..listed].iter().any(same) {
                found.push((near, layer));
            }
        }
        found
    }
}

impl Layer {
    /// How far its near face lies ahead of a head, and how far beside the axis its hole; `None` where it is not square to the screw.
    fn from(&self, from: BodyPoint, way: BodyVector) -> Option<(f64, f64)> {
        if self.up.dot(way).abs() < 0.99 {
            return None;
        }
        let to = self.at - from;
        let along = to.dot(way);
        let thickness = self.made.thickness().map_or(0.0, |thickness| thickness.value);
        let near = if self.up.dot(way) > 0.0 { along } else { along - thickness };
        Some((near, (to - way * along).length().get()))
    }
}

/// Whether a screw stands on a mount or standoff, which says where its holes are.
fn has_own_holes(proof: &Proof, screw: Placed) -> bool {
    let Some(Anchor::Feature(under, feature)) = &screw.place.on else { return false };
    let tables = [&frame::motor_mount::TABLE, &frame::standoff::TABLE, &frame::camera_mount::TABLE];
    proof
        .placed_at(under)
        .is_some_and(|holder| tables.into_iter().any(|table| holder.part.row_named(table, feature).is_some()))
}

impl Made {
    fn thickness(&self) -> Option<&Linear> {
        match self {
            Made::Plain(thickness) | Made::Case(thickness) => Some(thickness),
            Made::Post { height, .. } => Some(height),
            Made::Unknown(_) => None,
        }
    }
}

/// The plate of what a print stands on that its screw goes through, at the spot on its lower face; `None` where it has a
/// hole there already, or none lies there.
fn to_be_drilled(proof: &Proof, (print, at): (usize, PartPoint), below: usize) -> Option<(PartPoint, Made)> {
    let (seat, under) = (proof.inputs().seat(print)?, proof.inputs().seat(below)?);
    let spot = under.pose.inverse().point(seat.pose.point(at));
    let part = proof.part_of(below)?;
    part.rows(&frame::plate::TABLE).find_map(|plate| {
        if matches!(plate.text(&frame::plate::STANDS), Ok("along" | "across")) {
            return None;
        }
        let thickness = plate.read(&frame::plate::THICKNESS);
        let [x, y, z] = [&shape::X, &shape::Y, &shape::Z].map(|field| coordinate(&plate, field));
        let top = z + thickness.as_ref().map_or(0.0, |thickness| thickness.value.get());
        let lies = (spot.z() - top).abs() <= CLOSES
            && in_ring([spot.x() - x, spot.y() - y], plate.points(&frame::plate::OUTLINE).ok()?);
        let is_there = part.rows(&shape::pattern::TABLE).any(|row| {
            let (x, y) = (coordinate(&row, &shape::X), coordinate(&row, &shape::Y));
            let near = |[u, v]: &[f64; 2]| (x + u - spot.x()).hypot(y + v - spot.y()) <= BESIDE;
            row.text(&shape::pattern::PLATE).ok() == plate.name()
                && pattern_holes(&row).unwrap_or_default().iter().any(near)
        });
        (lies && !is_there).then(|| (PartPoint::new(spot.x(), spot.y(), z), plain(proof, thickness)))
    })
}

/// The flat plates of prints that lie right under the head of a screw and have a round hole for it, such as the base of a holder
/// on a standoff.
pub(crate) fn printed_under_head(proof: &Proof, screw: usize) -> Vec<Linear> {
    let Some((from, way)) = axis(proof, screw) else { return Vec::new() };
    let prints = (0..proof.craft.places.len()).filter_map(|number| {
        let part = proof.part_of(number).filter(|part| part.kind == PartKind::PrintedPart)?;
        Some((part, proof.inputs().seat(number)?))
    });
    let under = |(part, seat): (&craft::Part, &crate::Seat)| {
        let plates = part.rows(&frame::plate::TABLE);
        let flat =
            plates.filter(|plate| !matches!(plate.text(&frame::plate::STANDS), Ok("along" | "across")));
        let is_under = |plate: &Item| {
            let thickness = plate.read(&frame::plate::THICKNESS).map_or(0.0, |t| t.value.get());
            let origin = [&shape::X, &shape::Y, &shape::Z].map(|field| coordinate(plate, field));
            let up = seat.pose.vector(PartVector::Z);
            let face = if up.dot(way) < 0.0 { origin[2] + thickness } else { origin[2] };
            let mut holes = part.rows(&frame::hole::TABLE);
            up.dot(way).abs() > 0.99
                && holes.any(|hole| {
                    let (u, v) = (coordinate(&hole, &frame::hole::U), coordinate(&hole, &frame::hole::V));
                    let at = seat.pose.point(PartPoint::new(origin[0] + u, origin[1] + v, face));
                    let along = (at - from).dot(way);
                    hole.text(&frame::hole::PLATE).ok() == plate.name()
                        && along.abs() <= CLOSES / 2.0
                        && ((at - from) - way * along).length().get() <= BESIDE
                })
        };
        flat.filter(is_under)
            .filter_map(|plate| plate.read(&frame::plate::THICKNESS).ok())
            .map(|thickness| proof.lean(&thickness))
            .collect::<Vec<_>>()
    };
    prints.flat_map(under).collect()
}

/// Where the first axis of a place of screws leaves the face under its head, and which way it looks.
fn axis(proof: &Proof, screw: usize) -> Option<(BodyPoint, BodyVector)> {
    axes(proof, screw).into_iter().next()
}

/// Where the axes of a place of screws leave the face under their heads, and which way they look.
pub(crate) fn axes(proof: &Proof, screw: usize) -> Vec<(BodyPoint, BodyVector)> {
    let Some(seat) = proof.inputs().seat(screw) else { return Vec::new() };
    let way = -seat.pose.vector(PartVector::Z);
    let heads = proof.inputs().solids_of(screw).filter(|(_, solid)| matches!(solid.piece, Piece::OneOf(_)));
    let face = |(_, head): (SolidIndex, &CraftSolid)| {
        let middle = head.solid.pose.origin();
        (middle + way * (seat.pose.origin() - middle).dot(way), way)
    };
    heads.map(face).collect()
}

pub(super) fn plain(proof: &Proof, thickness: Result<Reading<Millimetres>, Missing>) -> Made {
    match thickness {
        Ok(thickness) => Made::Plain(proof.lean(&thickness)),
        Err(missing) => Made::Unknown(missing),
    }
}

fn coordinate(row: &Item, field: &craft::schema::Field<Millimetres>) -> f64 {
    row.read(field).map_or(0.0, |reading| reading.value.get())
}

fn cell(at: BodyPoint) -> (i64, i64) {
    ((at.x() / CELL).round() as i64, (at.y() / CELL).round() as i64)
}
