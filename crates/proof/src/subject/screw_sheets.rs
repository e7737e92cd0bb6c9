//! The plates that a screw meets anywhere on their faces, whether a hole is drawn there or not.
//!
//! A plate counts where the shank meets it. A window, or a hole twice as wide as the screw, lets it through beside the plate:
//! nothing is clamped there. A hole within 1.5 mm of the axis is the one it goes through; without any, one has to be drilled.
//! Left out: how a plate bends, and plates that are not built for want of a fact.

use super::screw_column::{BESIDE, Layer, Made, plain};
use crate::Proof;
use crate::plate_holes::plate_row;
use craft::schema::{PartKind, frame};
use fit::{BodyPoint, BodyVector, Hole, PartPoint, PartVector, Pose, Shape, from_line, inside_edge};

/// A plate as a screw meets it anywhere on its face.
pub(super) struct Sheet {
    place: usize,
    /// The number of its solid.
    solid: usize,
    pose: Pose,
    thickness: f64,
    made: Made,
    ring: Vec<[f64; 2]>,
    holes: Vec<Hole>,
}

impl Sheet {
    /// What a screw of a diameter meets of it: the layer, and how far its near face lies ahead.
    pub fn met(&self, from: BodyPoint, way: BodyVector, diameter: f64) -> Option<(f64, Layer)> {
        let up = self.pose.vector(PartVector::Z);
        let square = up.dot(way);
        if square.abs() < 0.99 {
            return None;
        }
        let own = self.pose.inverse().point(from);
        let near = if square > 0.0 { -own.z() } else { own.z() - self.thickness };
        let spot = [own.x(), own.y()];
        if inside_edge(spot, &self.ring) <= -diameter / 2.0 {
            return None;
        }
        let mut drawn = false;
        for hole in &self.holes {
            match hole {
                Hole::Polygon(points) => {
                    let ring: Vec<[f64; 2]> = points.iter().map(|p| [p.x, p.y]).collect();
                    if inside_edge(spot, &ring) > 0.0 {
                        return None;
                    }
                }
                Hole::Round { centre, diameter: wide } => {
                    let beside = (centre.x - spot[0]).hypot(centre.y - spot[1]);
                    if beside < wide.get() / 2.0 && wide.get() >= 2.0 * diameter {
                        return None;
                    }
                    drawn |= beside <= BESIDE;
                }
                Hole::Slot { from, to, width } => {
                    let beside = from_line([from.x, from.y], [to.x, to.y], spot);
                    if beside < width.get() / 2.0 && width.get() >= 2.0 * diameter {
                        return None;
                    }
                    drawn |= beside <= BESIDE;
                }
            }
        }
        let undrawn = (!drawn).then_some((self.solid, spot));
        let at = self.pose.point(PartPoint::new(own.x(), own.y(), 0.0));
        Some((near, Layer { place: self.place, undrawn, at, up, made: self.made.clone() }))
    }
}

/// Every plate of frames, adapters and prints.
pub(super) fn sheets(proof: &Proof) -> Vec<Sheet> {
    let mut sheets = Vec::new();
    for (number, solid) in proof.inputs().solids.iter().enumerate() {
        let kind = proof.part_of(solid.place).map(|part| part.kind);
        if !matches!(kind, Some(PartKind::Frame | PartKind::Adapter | PartKind::PrintedPart)) {
            continue;
        }
        let (Shape::Prism(prism), Some(row)) = (&solid.solid.shape, plate_row(proof.craft, solid)) else {
            continue;
        };
        sheets.push(Sheet {
            place: solid.place,
            solid: number,
            pose: solid.solid.pose,
            thickness: prism.thickness().get(),
            made: plain(proof, row.read(&frame::plate::THICKNESS)),
            ring: prism.outline().outer().iter().map(|p| [p.x, p.y]).collect(),
            holes: prism.outline().holes().to_vec(),
        });
    }
    sheets
}
