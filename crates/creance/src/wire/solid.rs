//! Solids for the 3D view.

use fit::{Outline, Shape};
use proof::{CraftSolid, Material};
use serde::Serialize;
use ts_rs::TS;

/// One solid in its place.
#[derive(Serialize, TS)]
pub struct SolidView {
    /// Its number, as witnesses name it.
    pub index: u32,
    /// The place it belongs to.
    pub place: String,
    /// What a person calls it.
    pub name: String,
    /// What it is, in words.
    pub role: &'static str,
    /// What it is drawn as.
    pub material: MaterialWord,
    /// Its shape in its own frame.
    pub shape: ShapeView,
    /// Where it stands.
    pub pose: PoseView,
    /// Swept or kept clear rather than solid.
    pub ghost: bool,
}

/// What a solid is drawn as.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, TS)]
#[serde(rename_all = "snake_case")]
#[ts(rename = "Material")]
pub enum MaterialWord {
    /// Carbon fibre.
    Carbon,
    /// Metal.
    Metal,
    /// Plastic, moulded or printed.
    Plastic,
    /// A circuit board or another electronic part.
    Board,
    /// Glass: the lens.
    Glass,
    /// Soft: mounts, straps, leads.
    Soft,
    /// What blades sweep.
    Sweep,
    /// Space to be kept free.
    Space,
}

/// A shape in its own frame, in mm.
#[derive(Serialize, TS)]
#[serde(rename_all = "snake_case")]
pub enum ShapeView {
    /// A box, centred.
    Box {
        /// Sizes along x, y and z.
        size: [f64; 3],
    },
    /// A cylinder along z, centred.
    Cylinder {
        /// Its radius.
        radius: f64,
        /// Its length.
        length: f64,
    },
    /// An outline from z = 0 up.
    Prism {
        /// The outer corners, counter-clockwise.
        outline: Vec<[f64; 2]>,
        /// The corners of each hole.
        holes: Vec<Vec<[f64; 2]>>,
        /// Its thickness along z.
        thickness: f64,
    },
}

/// Where a solid stands: turned, then shifted.
#[derive(Serialize, TS)]
pub struct PoseView {
    /// The origin, in mm, in the craft's own frame.
    pub at: [f64; 3],
    /// The turn as a unit quaternion x, y, z, w.
    pub rotation: [f64; 4],
}

impl From<&fit::Pose> for PoseView {
    fn from(pose: &fit::Pose) -> Self {
        Self { at: pose.origin().coordinates(), rotation: pose.quaternion() }
    }
}

impl SolidView {
    /// A solid as the pages read it.
    pub fn new(index: u32, place: &str, solid: &CraftSolid) -> Self {
        let CraftSolid { solid, material, ghost, .. } = solid;
        Self {
            index,
            place: place.to_owned(),
            name: solid.name.clone(),
            role: solid.role.words(),
            material: (*material).into(),
            shape: ShapeView::from(&solid.shape),
            pose: PoseView::from(&solid.pose),
            ghost: *ghost,
        }
    }
}

impl From<Material> for MaterialWord {
    fn from(material: Material) -> Self {
        match material {
            Material::Carbon => Self::Carbon,
            Material::Metal => Self::Metal,
            Material::Plastic => Self::Plastic,
            Material::Board => Self::Board,
            Material::Glass => Self::Glass,
            Material::Soft => Self::Soft,
            Material::Sweep => Self::Sweep,
            Material::Space => Self::Space,
        }
    }
}

impl From<&Shape> for ShapeView {
    fn from(shape: &Shape) -> Self {
        match shape {
            Shape::Cuboid(cuboid) => ShapeView::Box { size: cuboid.size().map(|side| side.get()) },
            Shape::Cylinder(cylinder) => {
                ShapeView::Cylinder { radius: cylinder.radius().get(), length: cylinder.length().get() }
            }
            Shape::Prism(prism) => ShapeView::Prism {
                outline: corners(prism.outline().outer()),
                holes: holes(prism.outline()),
                thickness: prism.thickness().get(),
            },
        }
    }
}

fn holes(outline: &Outline) -> Vec<Vec<[f64; 2]>> {
    outline.holes().iter().map(|hole| corners(&hole.corners())).collect()
}

fn corners(points: &[fit::PlanePoint]) -> Vec<[f64; 2]> {
    points.iter().map(|p| [p.x, p.y]).collect()
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use fit::{BodyPoint, OwnerIndex, Pose, Role, Solid};
    use proof::Piece;
    use quantity::Millimetres;

    #[test]
    fn a_box_keeps_its_sizes_and_its_place() {
        let mm = Millimetres::new;
        let solid = Solid {
            name: "board".into(),
            owner: OwnerIndex(0),
            role: Role::Board,
            shape: Shape::cuboid(mm(30.0), mm(20.0), mm(5.0)).unwrap(),
            pose: Pose::at(BodyPoint::new(1.0, 2.0, 3.0)),
            drifts: vec![],
        };
        let solid =
            CraftSolid { solid, place: 0, material: Material::Board, ghost: false, piece: Piece::Whole };
        let view = serde_json::to_value(SolidView::new(4, "fc", &solid)).unwrap();
        assert_eq!(view["material"], "board");
        assert_eq!(view["shape"]["box"]["size"], serde_json::json!([30.0, 20.0, 5.0]));
        assert_eq!(view["pose"]["at"], serde_json::json!([1.0, 2.0, 3.0]));
        assert_eq!(view["pose"]["rotation"], serde_json::json!([0.0, 0.0, 0.0, 1.0]));
    }
}
