//! Side cheeks: what fills the room beside a camera that is narrower than its slot.
//!
//! Each cheek is half the difference thick, t = (w − c)/2, with a hole for the side screw. With rims it takes the
//! camera's upper and lower edge between them and cannot turn on it. Seen along the view a cheek is then a channel:
//!
//! ```text
//!   ______          web: t thick, against the slot
//!  |  ____|         rims: reach over the camera's edges, its height and a little air apart
//!  | |   camera
//!  | |____
//!  |______|
//! ```
//!
//! Frame: that of the camera: the origin on the axis of the side screws, midway between its sides, x the way it looks.
//! The cheeks reach from `behind` to `ahead` of the screw. The file holds both, left and right mirrored, lying on
//! their outer faces.

use super::bore::{HeadFace, ScrewInPrint};
use super::custom::{RIM_PLAY, ROUND_HOLE, WALL};
use super::fault::{PrintFault, within};
use super::ring::{circle, hull};
use fit::{Faces, InPart, Mesh, PartPoint, PartVector, PlanePoint, PointRing, Thread};
use quantity::{Degrees, Millimetres};

/// What a pair of cheeks is asked to be.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CheeksAsked {
    /// How wide the camera is.
    pub camera_width: Millimetres,
    /// How wide the slot is.
    pub slot_width: Millimetres,
    /// How high the camera is.
    pub camera_height: Millimetres,
    /// How far they reach behind the axis of the screws.
    pub behind: Millimetres,
    /// How far they reach ahead of it.
    pub ahead: Millimetres,
    /// The side screw.
    pub screw: Thread,
    /// Whether they hold the camera by its edges.
    pub rims: Rims,
}

/// Whether a cheek holds the camera by its edges.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Rims {
    /// No: a plain plate.
    None,
    /// Yes, reaching this far over the camera's sides.
    Over(Millimetres),
}

/// A pair of cheeks that can be printed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Cheeks {
    asked: CheeksAsked,
    thickness: f64,
    screw: ScrewInPrint,
}

/// How far apart the two lie in the file.
const APART: f64 = 4.0;
/// The furthest a rim may reach over the camera: less than half the narrowest one.
const REACH_MAX: f64 = 2.0;
/// Rounding of the corners of a plain cheek.
const CORNER: f64 = 1.5;

impl Cheeks {
    /// Works out a pair, or says all that is wrong with it.
    pub fn new(asked: &CheeksAsked) -> Result<Self, Vec<PrintFault>> {
        let mut faults = Vec::new();
        let mut keep =
            |checked: Result<f64, PrintFault>| checked.map_err(|fault| faults.push(fault)).unwrap_or(0.0);
        let camera = keep(within("width of the camera", asked.camera_width, 5.0, 80.0));
        let slot = keep(within("width of the slot", asked.slot_width, 5.0, 100.0));
        let height = keep(within("height of the camera", asked.camera_height, 5.0, 80.0));
        let behind = keep(within("reach behind the screw", asked.behind, 0.0, 60.0));
        let ahead = keep(within("reach ahead of the screw", asked.ahead, 0.0, 60.0));
        if let Rims::Over(reach) = asked.rims {
            keep(within("reach of the rims over the camera", reach, 0.5, REACH_MAX));
        }
        let screw = ScrewInPrint::plain(asked.screw, HeadFace::Upper);
        if faults.is_empty() {
            let wall = Millimetres::new((slot - camera) / 2.0);
            let what = format!("half of what the slot is wider ({slot} mm less {camera} mm)");
            if wall.get() <= 0.0 {
                let what = "the camera fills its slot: there is no room for cheeks to fill".to_owned();
                faults.push(PrintFault::NothingToHold { what });
            } else if wall < WALL.length {
                let mend = "fill it with washers instead".to_owned();
                faults.push(PrintFault::WallTooThin { what, wall, mend });
            }
            let round = screw.hole_diameter().get() / 2.0;
            let beside = behind.min(ahead).min(height / 2.0) - round;
            if beside < ROUND_HOLE.length.get() {
                faults.push(PrintFault::TooNear {
                    what: "the hole of the side screw and the edge of the cheek".to_owned(),
                    left: Millimetres::new(beside),
                    mend: "let the cheek reach further".to_owned(),
                });
            }
        }
        match faults.is_empty() {
            true => Ok(Self { asked: *asked, thickness: (slot - camera) / 2.0, screw }),
            false => Err(faults),
        }
    }

    /// What they were asked to be.
    pub fn asked(&self) -> &CheeksAsked {
        &self.asked
    }
    /// How thick each is against the slot.
    pub fn thickness(&self) -> Millimetres {
        Millimetres::new(self.thickness)
    }
    /// The screw through each.
    pub fn screw(&self) -> &ScrewInPrint {
        &self.screw
    }
    /// Half the height of a cheek, and of the room between its rims.
    pub fn half_heights(&self) -> (f64, f64) {
        let camera = self.asked.camera_height.get() / 2.0;
        match self.asked.rims {
            Rims::None => (camera, camera),
            Rims::Over(_) => {
                let room = camera + RIM_PLAY.length.get();
                (room + WALL.length.get(), room)
            }
        }
    }
    /// The side of a cheek: x and z of its corners, as a builder would draw them.
    pub fn side(&self) -> Vec<PlanePoint> {
        let (behind, ahead) = (self.asked.behind.get(), self.asked.ahead.get());
        let high = self.half_heights().0;
        let p = PlanePoint::new;
        match self.asked.rims {
            Rims::Over(_) => vec![p(-behind, -high), p(ahead, -high), p(ahead, high), p(-behind, high)],
            Rims::None => {
                let r = CORNER.min((behind + ahead) / 4.0).min(high / 2.0);
                let (x, z) = ([-behind + r, ahead - r], [-high + r, high - r]);
                hull(x.into_iter().flat_map(|x| z.into_iter().flat_map(move |z| circle(p(x, z), r))))
            }
        }
    }

    /// The left cheek in the camera's frame, its web outside.
    fn left(&self) -> Result<Mesh, PrintFault> {
        let inner = self.asked.camera_width.get() / 2.0;
        let outer = inner + self.thickness;
        let hole = circle(PlanePoint::default(), self.screw.hole_diameter().get() / 2.0);
        let mut faces = Faces::default();
        // A ring of x and z at a y; counter-clockwise in x and z is clockwise seen from the left.
        fn put(faces: &mut Faces, ring: &[PlanePoint], y: f64) -> PointRing {
            faces.ring(ring.iter().map(|p| PartPoint::new(p.x, y, p.y)))
        }
        let (near, far) = (put(&mut faces, &hole, inner), put(&mut faces, &hole, outer));
        faces.wall(&near, &far);
        match self.asked.rims {
            Rims::None => {
                let side = self.side();
                let (low, high) = (put(&mut faces, &side, inner), put(&mut faces, &side, outer));
                faces.wall(&high, &low);
                faces.face(&low, &[&near]);
                faces.face(&high.reversed(), &[&far]);
            }
            Rims::Over(reach) => {
                let (high, room) = self.half_heights();
                let tip = inner - reach.get();
                // The channel seen from ahead, counter-clockwise: y to the right, z up.
                let channel = [
                    [outer, -high],
                    [outer, high],
                    [tip, high],
                    [tip, room],
                    [inner, room],
                    [inner, -room],
                    [tip, -room],
                    [tip, -high],
                ];
                let mut at = |x: f64| faces.ring(channel.map(|[y, z]| PartPoint::new(x, y, z)));
                let (back, front) = (at(-self.asked.behind.get()), at(self.asked.ahead.get()));
                faces.face(&front, &[]);
                faces.face(&back.reversed(), &[]);
                for edge in 0..8 {
                    let next = (edge + 1) % 8;
                    let (b, f) = (back.points(), front.points());
                    let along = PointRing::of([b[edge], b[next], f[next], f[edge]]);
                    let holes: &[&PointRing] = match edge {
                        0 => &[&far],
                        4 => &[&near],
                        _ => &[],
                    };
                    faces.face(&along, holes);
                }
            }
        }
        Ok(faces.mesh()?)
    }

    /// The two solids as they are printed: side by side on their outer faces.
    pub fn mesh(&self) -> Result<Mesh, PrintFault> {
        let left = self.left()?;
        let right = left.mirrored();
        let outer = self.asked.slot_width.get() / 2.0;
        let half = self.half_heights().0 + APART / 2.0;
        // The left one rolls its outer face, y = outer, down to z = 0; the right one the other way.
        let roll = |mesh: &Mesh, degrees: f64, aside: f64| {
            let at = PartPoint::new(0.0, aside, outer);
            mesh.moved(InPart::turned_about(at, PartVector::X, Degrees::new(degrees)))
        };
        Ok(Mesh::together(&[roll(&left, -90.0, half), roll(&right, 90.0, -half)])?)
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use proptest::prelude::*;
    use std::f64::consts::PI;

    fn mm(value: f64) -> Millimetres {
        Millimetres::new(value)
    }

    fn asked(camera: f64, slot: f64) -> CheeksAsked {
        CheeksAsked {
            camera_width: mm(camera),
            slot_width: mm(slot),
            camera_height: mm(14.0),
            behind: mm(7.0),
            ahead: mm(5.0),
            screw: Thread::named("M2").unwrap(),
            rims: Rims::Over(mm(1.0)),
        }
    }

    fn told(asked: &CheeksAsked) -> Vec<String> {
        Cheeks::new(asked).unwrap_err().iter().map(ToString::to_string).collect()
    }

    #[test]
    fn cheeks_are_half_the_difference_thick_and_lie_on_their_outer_faces() {
        let cheeks = Cheeks::new(&asked(14.0, 19.0)).unwrap();
        assert_eq!(cheeks.thickness(), mm(2.5));
        let mesh = cheeks.mesh().unwrap();
        assert_eq!((mesh.pieces(), mesh.handles()), (2, 2));
        let (low, high) = mesh.bounds();
        assert!(low.z().abs() < 1e-9 && (high.z() - 3.5).abs() < 1e-9, "{low:?} {high:?}");
        // Web 2.5 thick, 12 long, 14 + 2·(0.2 + 1.2) high, rims 1.2 × 1.0, hole 2.3.
        let one = 12.0 * (2.5 * 16.8 + 2.0 * 1.2 * 1.0) - PI * 1.15 * 1.15 * 2.5;
        assert!((mesh.volume_mm3() - 2.0 * one).abs() < 0.02, "{} {}", mesh.volume_mm3(), 2.0 * one);
    }

    #[test]
    fn left_and_right_are_mirrored_about_the_hole() {
        let cheeks = Cheeks::new(&asked(14.0, 19.0)).unwrap();
        let mesh = cheeks.mesh().unwrap();
        // Both reach further behind than ahead, lying beside each other: no turn makes the one the other.
        let (low, high) = mesh.bounds();
        assert!((low.x() + 7.0).abs() < 1e-9 && (high.x() - 5.0).abs() < 1e-9);
        let ys: Vec<f64> = mesh.points().iter().map(|p| p.y()).collect();
        assert!(ys.iter().all(|y| ys.iter().any(|other| (other + y).abs() < 1e-9)));
    }

    #[test]
    fn a_plain_cheek_is_a_plate_with_round_corners() {
        let cheeks = Cheeks::new(&CheeksAsked { rims: Rims::None, ..asked(14.0, 19.0) }).unwrap();
        let mesh = cheeks.mesh().unwrap();
        assert_eq!(mesh.handles(), 2);
        let one = (12.0 * 14.0 - (4.0 - PI) * 1.5 * 1.5 - PI * 1.15 * 1.15) * 2.5;
        assert!((mesh.volume_mm3() - 2.0 * one).abs() < 0.2, "{} {}", mesh.volume_mm3(), 2.0 * one);
    }

    #[test]
    fn what_no_cheek_can_fill_is_told() {
        assert_eq!(
            told(&asked(14.0, 14.0)),
            ["the camera fills its slot: there is no room for cheeks to fill"]
        );
        assert_eq!(
            told(&asked(14.0, 14.9)),
            [
                "half of what the slot is wider (14.9 mm less 14 mm) is 0.45 mm, a printed wall must be at least 1.2 mm; fill it with washers instead"
            ]
        );
        let short = CheeksAsked { ahead: mm(1.0), ..asked(14.0, 19.0) };
        assert!(told(&short)[0].contains("the hole of the side screw"), "{:?}", told(&short));
        assert_eq!(told(&asked(f64::NAN, 19.0)).len(), 1);
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(96))]
        #[test]
        fn every_pair_is_closed_with_one_hole_each(
            camera in 8.0f64..25.0, wider in 2.4f64..20.0, height in 8.0f64..25.0,
            behind in 3.2f64..20.0, ahead in 3.2f64..20.0, reach in prop::option::of(0.5f64..2.0),
        ) {
            let asked = CheeksAsked {
                camera_width: mm(camera), slot_width: mm(camera + wider + 1e-9), camera_height: mm(height),
                behind: mm(behind), ahead: mm(ahead), screw: Thread::named("M2").unwrap(),
                rims: reach.map_or(Rims::None, |reach| Rims::Over(mm(reach))),
            };
            let mesh = Cheeks::new(&asked).unwrap().mesh().unwrap();
            prop_assert_eq!((mesh.pieces(), mesh.handles()), (2, 2));
        }
    }
}
