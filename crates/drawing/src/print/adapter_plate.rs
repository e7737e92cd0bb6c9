//! An adapter plate: the holes of a frame and the holes of a board in one printed plate.
//!
//! The frame's screws come from above, the board's from below, or either may cut into the plate. The board's
//! holes are turned about their own middle against the frame's so far that no two screw heads meet; if they
//! do not meet as they lie, they stay. The outline is the convex line round all holes with
//! [`ROUND_HOLE`](super::custom::ROUND_HOLE) of material, and enough for each head to lie on.
//!
//! The plate's frame is that of the frame's holes, at the lower face; the middle of the board's holes lies over that of the frame's
//! unless another place is asked for. Left out: windows to save mass, and slots: a slot counts as a hole at its middle.

use super::bore::{HeadSeat, ScrewInPrint, drill};
use super::custom::{ROUND_HOLE, WALL};
use super::fault::{PrintFault, within};
use super::ring::{at_height, circle, distance, hull};
use fit::{
    Faces, HEAD_SPARE, HolePattern, Mesh, MountHole, PATTERN_HOLES_MAX, PlanePoint, best_head_turn, head_gap,
};
use quantity::{Degrees, Millimetres};

/// One side of an adapter: the holes it must meet, and the screws that go through them.
#[derive(Clone, Debug, PartialEq)]
pub struct AdapterSide {
    /// Where the holes are; their diameters follow the screw.
    pub holes: HolePattern,
    /// The screw.
    pub screw: ScrewInPrint,
}

/// What an adapter is asked to be.
#[derive(Clone, Debug, PartialEq)]
pub struct AdapterAsked {
    /// The holes of the frame.
    pub frame: AdapterSide,
    /// The holes of the board.
    pub board: AdapterSide,
    /// How thick the plate is.
    pub thickness: Millimetres,
    /// How far the board's holes are turned; chosen so that heads do not meet when left out.
    pub turn: Option<Degrees>,
    /// Where the middle of the board's holes comes to lie; over that of the frame's when left out.
    pub board_middle: Option<PlanePoint>,
}

/// An adapter plate that can be printed.
#[derive(Clone, Debug, PartialEq)]
pub struct AdapterPlate {
    frame: Vec<PlanePoint>,
    board: Vec<PlanePoint>,
    screws: [ScrewInPrint; 2],
    thickness: Millimetres,
    turn: Degrees,
    head_gap: Millimetres,
    outline: Vec<PlanePoint>,
}

/// How thick a plate may be, in mm.
pub const THICKNESSES: (f64, f64) = (WALL.length.get(), 20.0);
/// Heads nearer the edge of the sheet of numbers than this are a slip: no plate is half a metre wide.
const REACH_MAX: f64 = 200.0;

impl AdapterPlate {
    /// Works out a plate, or says all that is wrong with it.
    pub fn new(asked: &AdapterAsked) -> Result<Self, Vec<PrintFault>> {
        let mut faults = Vec::new();
        if asked.thickness < WALL.length {
            faults.push(PrintFault::WallTooThin {
                what: "the plate".to_owned(),
                wall: asked.thickness,
                mend: "make it thicker".to_owned(),
            });
        } else if let Err(fault) = within("thickness", asked.thickness, THICKNESSES.0, THICKNESSES.1) {
            faults.push(fault);
        }
        for side in [&asked.frame, &asked.board] {
            faults.extend(side.screw.check_floor(asked.thickness).err());
        }
        let mut holes = |side: &AdapterSide, whose: &str| {
            let points: Vec<PlanePoint> = side.holes.holes.iter().map(middle).collect();
            faults.extend(holes_fault(&points, whose));
            points
        };
        let (frame, board) = (holes(&asked.frame, "frame"), holes(&asked.board, "board"));
        if !faults.is_empty() {
            return Err(faults);
        }
        let about = asked.board_middle.unwrap_or_else(|| centre_of(&frame));
        if !usable(&about) {
            let what = format!(
                "the board's holes lie more than {REACH_MAX} mm beside the frame's; check where the board is placed"
            );
            return Err(vec![PrintFault::NothingToHold { what }]);
        }
        let (turn, head_gap) = turn_of(asked, &frame, &board, about).map_err(|fault| vec![fault])?;
        let board = laid(&board, turn, about);
        let screws = [asked.frame.screw, asked.board.screw];
        let all = || {
            let side = |of: usize| move |p: &PlanePoint| (*p, of);
            frame.iter().map(side(0)).chain(board.iter().map(side(1)))
        };
        for (n, (p, of)) in all().enumerate() {
            for (q, other) in all().skip(n + 1) {
                let left = distance(p, q) - (screws[of].widest() + screws[other].widest()).get() / 2.0;
                if left < ROUND_HOLE.length.get() - 1e-9 && faults.is_empty() {
                    faults.push(PrintFault::TooNear {
                        what: "two holes of the adapter".to_owned(),
                        left: Millimetres::new(left),
                        mend: "take smaller screws or heads that lie on the face, or another turn".to_owned(),
                    });
                }
            }
        }
        if !faults.is_empty() {
            return Err(faults);
        }
        let outline = hull(all().flat_map(|(p, of)| circle(p, screws[of].reach())));
        Ok(Self { frame, board, screws, thickness: asked.thickness, turn, head_gap, outline })
    }

    /// How far the board's holes are turned against the frame's.
    pub fn turn(&self) -> Degrees {
        self.turn
    }
    /// The air between the two screw heads that come nearest.
    pub fn head_gap(&self) -> Millimetres {
        self.head_gap
    }
    /// How thick it is.
    pub fn thickness(&self) -> Millimetres {
        self.thickness
    }
    /// Its outer edge, counter-clockwise.
    pub fn outline(&self) -> &[PlanePoint] {
        &self.outline
    }
    /// The holes over the frame's.
    pub fn frame_holes(&self) -> &[PlanePoint] {
        &self.frame
    }
    /// The holes under the board's, as turned.
    pub fn board_holes(&self) -> &[PlanePoint] {
        &self.board
    }
    /// The middle of the holes over the frame's.
    pub fn frame_middle(&self) -> PlanePoint {
        centre_of(&self.frame)
    }
    /// The middle of the holes under the board's.
    pub fn board_middle(&self) -> PlanePoint {
        centre_of(&self.board)
    }
    /// The screws into the frame and into the board.
    pub fn screws(&self) -> &[ScrewInPrint; 2] {
        &self.screws
    }

    /// The solid.
    pub fn mesh(&self) -> Result<Mesh, PrintFault> {
        let thickness = self.thickness.get();
        let mut faces = Faces::default();
        let low = faces.ring(at_height(&self.outline, 0.0));
        let high = faces.ring(at_height(&self.outline, thickness));
        faces.wall(&low, &high);
        let (mut below, mut above) = (Vec::new(), Vec::new());
        for (points, screw) in [(&self.frame, &self.screws[0]), (&self.board, &self.screws[1])] {
            for at in points {
                let (lower, upper) = drill(&mut faces, *at, screw, thickness);
                below.push(lower);
                above.push(upper);
            }
        }
        faces.face(&low.reversed(), &below.iter().collect::<Vec<_>>());
        faces.face(&high, &above.iter().collect::<Vec<_>>());
        Ok(faces.mesh()?)
    }
}

fn middle(hole: &MountHole) -> PlanePoint {
    let to = hole.slot_to.unwrap_or(hole.at);
    PlanePoint::new((hole.at.x + to.x) / 2.0, (hole.at.y + to.y) / 2.0)
}

/// The middle of some points.
pub(super) fn centre_of(points: &[PlanePoint]) -> PlanePoint {
    let count = points.len().max(1) as f64;
    let (x, y) = points.iter().fold((0.0, 0.0), |(x, y), p| (x + p.x / count, y + p.y / count));
    PlanePoint::new(x, y)
}

/// Points turned about their own middle and put about another.
fn laid(points: &[PlanePoint], turn: Degrees, about: PlanePoint) -> Vec<PlanePoint> {
    let own = centre_of(points);
    let (sin, cos) = turn.get().to_radians().sin_cos();
    let put = |p: &PlanePoint| {
        let (x, y) = (p.x - own.x, p.y - own.y);
        PlanePoint::new(about.x + x * cos - y * sin, about.y + x * sin + y * cos)
    };
    points.iter().map(put).collect()
}

fn usable(p: &PlanePoint) -> bool {
    p.x.abs() <= REACH_MAX && p.y.abs() <= REACH_MAX
}

fn holes_fault(points: &[PlanePoint], whose: &str) -> Option<PrintFault> {
    let what = match points.len() {
        0 | 1 => format!(
            "the {whose} has {} hole{}: an adapter needs at least two to hold it",
            points.len(),
            if points.len() == 1 { "" } else { "s" }
        ),
        count if count > PATTERN_HOLES_MAX => {
            format!("the {whose} has {count} holes: at most {PATTERN_HOLES_MAX} are handled")
        }
        _ if !points.iter().all(usable) => {
            format!("a hole of the {whose} lies more than {REACH_MAX} mm away; check the numbers")
        }
        _ => return None,
    };
    Some(PrintFault::NothingToHold { what })
}

/// The turn of the board's holes, and the air it leaves between heads.
fn turn_of(
    asked: &AdapterAsked,
    frame: &[PlanePoint],
    board: &[PlanePoint],
    about: PlanePoint,
) -> Result<(Degrees, Millimetres), PrintFault> {
    let pattern = |points: &[PlanePoint], side: &AdapterSide| {
        let diameter = side.screw.hole_diameter();
        HolePattern {
            holes: points.iter().map(|at| MountHole { at: *at, slot_to: None, diameter }).collect(),
        }
    };
    let board = laid(board, Degrees::new(0.0), about);
    let (first, second) = (pattern(&board, &asked.board), pattern(frame, &asked.frame));
    // A sunk head takes as much room as its sink.
    let head = |side: &AdapterSide| match side.screw.seat {
        HeadSeat::OnFace => side.screw.head_diameter(),
        HeadSeat::Cone | HeadSeat::Pocket => side.screw.widest(),
    };
    let (of_board, of_frame) = (head(&asked.board), head(&asked.frame));
    let at = |turn: Degrees| head_gap(&first, &second, of_board, of_frame, turn);
    let as_it_lies = at(asked.turn.unwrap_or(Degrees::new(0.0)));
    let best = match (as_it_lies, asked.turn) {
        (Some(gap), Some(_)) => Some(gap),
        (Some(gap), None) if gap.gap >= HEAD_SPARE => Some(gap),
        _ => best_head_turn(&first, &second, of_board, of_frame),
    };
    match best {
        Some(best) if best.gap >= HEAD_SPARE => Ok((rounded(best.turn, at), best.gap)),
        Some(best) => {
            Err(PrintFault::HeadsMeet { turn: best.turn, gap: best.gap, asked: asked.turn.is_some() })
        }
        None => Err(PrintFault::NothingToHold { what: "the patterns have no holes".to_owned() }),
    }
}

/// A turn to whole degrees where that keeps the heads apart too: a board is not set to a hundredth.
fn rounded(turn: Degrees, at: impl Fn(Degrees) -> Option<fit::HeadGap>) -> Degrees {
    let whole = Degrees::new(turn.get().round());
    if at(whole).is_some_and(|gap| gap.gap >= HEAD_SPARE) { whole } else { turn }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
#[path = "adapter_plate_tests.rs"]
mod tests;
