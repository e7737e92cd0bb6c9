//! What a screw passes on its way: the plates, boards, spacers and units whose holes lie on its axis, in order.
//!
//! From the face its head lies on, the screw looks along its own -z. A layer counts if it is square to the
//! screw and one of its holes lies within 1.5 mm of the axis. A spacer whose bore is less than the screw is
//! threaded for it; a unit's case is where its pattern states the depth of its threads; soft mounts never are.
//! A gap of up to 1 mm between two layers is closed when the screw is drawn tight; a wider one is filled by
//! something nobody drew, and counts as passed if the screw reaches beyond it. What comes through at the end
//! takes a nut.

use crate::inputs::{CraftSolid, Piece, pattern_holes};
use crate::{Placed, Proof};
use craft::schema::{PartKind, board, fixing, frame, shape};
use craft::{Item, Missing, Reading};
use fit::{BodyPoint, BodyVector, PartPoint, PartVector, SolidIndex, ThreadMaterial};
use quantity::{Linear, Millimetres};
use std::collections::HashMap;

/// How far a hole may lie beside the axis, in mm.
const BESIDE: f64 = 1.5;
/// A gap up to this closes when the screw is drawn tight, in mm.
const CLOSES: f64 = 1.0;
/// Side of the cells by which upright holes are found, in mm.
const CELL: f64 = 2.0;

/// One layer a screw may pass, at one of its holes.
#[derive(Clone, Debug)]
struct Layer {
    /// The hole's middle on the layer's lower face.
    at: BodyPoint,
    /// From the lower to the upper face.
    up: BodyVector,
    made: Made,
}

/// What a layer is to a screw.
#[derive(Clone, Debug)]
enum Made {
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
}

/// What a screw passes and where it ends.
pub(crate) struct Column {
    /// What lies between head and thread.
    pub clamped: Vec<Linear>,
    /// What the screw goes into.
    pub into: Into,
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
        let mut layers = Layers { upright: HashMap::new(), other: Vec::new() };
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
            PartKind::Frame | PartKind::Adapter | PartKind::PrintedPart => self.plates(proof, number, placed),
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

    /// Spacers and soft mounts: where their solids stand.
    fn pillars(&mut self, proof: &Proof, number: usize, made: &Made) {
        let Some(seat) = proof.inputs().seat(number) else { return };
        let lower = -made.thickness().map_or(0.0, |thickness| thickness.value) / 2.0;
        for (_, solid) in proof.inputs().solids_of(number) {
            let up = seat.pose.vector(PartVector::Z);
            self.keep(Layer { at: solid.solid.pose.origin() + up * lower, up, made: made.clone() });
        }
    }

    fn put(&mut self, proof: &Proof, number: usize, at: PartPoint, made: Made) {
        if let Some(seat) = proof.inputs().seat(number) {
            self.keep(Layer { at: seat.pose.point(at), up: seat.pose.vector(PartVector::Z), made });
        }
    }

    fn keep(&mut self, layer: Layer) {
        if layer.up.z().abs() > 0.999 {
            self.upright.entry(cell(layer.at)).or_default().push(layer);
        } else {
            self.other.push(layer);
        }
    }

    /// What a screw of this diameter and length passes, from the face under its head; an error names what
    /// nobody knows. `None` if nothing lies on its axis.
    pub fn column(
        &self,
        proof: &Proof,
        screw: usize,
        diameter: Millimetres,
        (length, washer): (&Linear, &Linear),
    ) -> Option<Result<Column, Missing>> {
        let (from, way) = axis(proof, screw)?;
        let mut ahead = self.ahead(from, way);
        ahead.sort_by(|a, b| a.0.total_cmp(&b.0));
        if ahead.is_empty() {
            return None;
        }
        let mut clamped = vec![washer.clone()];
        let mut reached = 0.0;
        for (near, layer) in ahead {
            let gap = near - reached;
            if gap > CLOSES {
                let left = length.value - clamped.iter().map(|layer| layer.value).sum::<f64>();
                if left <= gap {
                    break;
                }
                clamped.push(Linear::exact(gap));
            }
            reached = near + layer.made.thickness().map_or(0.0, |thickness| thickness.value);
            match &layer.made {
                Made::Plain(thickness) => clamped.push(thickness.clone()),
                Made::Unknown(missing) => return Some(Err(missing.clone())),
                Made::Case(depth) => return Some(Ok(Column { clamped, into: Into::Case(depth.clone()) })),
                Made::Post { height, bore, material } => match (bore, material) {
                    (Err(missing), _) => return Some(Err(missing.clone())),
                    (Ok(bore), _) if *bore >= diameter.get() => clamped.push(height.clone()),
                    (_, Err(missing)) => return Some(Err(missing.clone())),
                    (_, Ok(material)) => {
                        return Some(Ok(Column { clamped, into: Into::Post(height.clone(), *material) }));
                    }
                },
            }
        }
        Some(Ok(Column { clamped, into: Into::Nut }))
    }

    /// The layers ahead of a head, each once, with how far its near face lies.
    fn ahead(&self, from: BodyPoint, way: BodyVector) -> Vec<(f64, &Layer)> {
        let (i, k) = cell(from);
        let around = (-1..=1).flat_map(|a| (-1..=1).map(move |b| (i + a, k + b)));
        let upright = around.filter_map(|cell| self.upright.get(&cell)).flatten();
        upright
            .chain(&self.other)
            .filter_map(|layer| {
                if layer.up.dot(way).abs() < 0.99 {
                    return None;
                }
                let to = layer.at - from;
                let along = to.dot(way);
                let thickness = layer.made.thickness().map_or(0.0, |thickness| thickness.value);
                let near = if layer.up.dot(way) > 0.0 { along } else { along - thickness };
                let beside = (to - way * along).length().get();
                (beside <= BESIDE && near > -0.5).then_some((near, layer))
            })
            .collect()
    }
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

/// Where a screw's axis leaves the face under its head, and which way it looks.
fn axis(proof: &Proof, screw: usize) -> Option<(BodyPoint, BodyVector)> {
    let seat = proof.inputs().seat(screw)?;
    let head = |(_, solid): &(SolidIndex, &CraftSolid)| solid.piece == Piece::OneOf(0);
    let (_, head) = proof.inputs().solids_of(screw).find(head)?;
    let way = -seat.pose.vector(PartVector::Z);
    let middle = head.solid.pose.origin();
    Some((middle + way * (seat.pose.origin() - middle).dot(way), way))
}

fn plain(proof: &Proof, thickness: Result<Reading<Millimetres>, Missing>) -> Made {
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
