//! A hole of a printed plate from face to face: plain, sunk for a cone head, or sunk for a flat head.
//!
//! Seen along z a bore is a chain of circles: (height, radius) from below to above. Two circles at one height
//! make a shelf, two at different heights a wall or a cone. A cone sink has 90°, so it is as deep as it is wider
//! than the bore on each side: t = (D − d)/2.

use super::custom::{CLEAR, OVER_HEAD, ROUND_HOLE, SELF_CUT, WALL};
use super::fault::PrintFault;
use super::ring::{at_height, circle, scaled};
use fit::{Faces, HeadForm, PlanePoint, PointRing, Thread, head_of};
use quantity::Millimetres;

/// How a screw goes through a printed hole.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ScrewHole {
    /// Freely; it is held by its head and what it is screwed into.
    Clear,
    /// It cuts its thread in the print.
    SelfCut,
}

/// Where the head of a screw lies.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum HeadSeat {
    /// On the face of the print.
    OnFace,
    /// Sunk in a cone of 90°, level with the face.
    Cone,
    /// Sunk in a round pocket a little deeper than the head is high.
    Pocket,
}

/// Which face of a plate the heads are on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum HeadFace {
    /// The upper face.
    Upper,
    /// The lower face.
    Lower,
}

/// The screw of a hole and how it lies there.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ScrewInPrint {
    /// The screw.
    pub thread: Thread,
    /// How it goes through.
    pub hole: ScrewHole,
    /// Where its head lies.
    pub seat: HeadSeat,
    /// On which face.
    pub face: HeadFace,
}

impl ScrewInPrint {
    /// A screw that goes through freely, its head on a face.
    pub const fn plain(thread: Thread, face: HeadFace) -> Self {
        Self { thread, hole: ScrewHole::Clear, seat: HeadSeat::OnFace, face }
    }

    /// The diameter of its hole.
    pub fn hole_diameter(&self) -> Millimetres {
        match self.hole {
            ScrewHole::Clear => self.thread.diameter + CLEAR.length,
            ScrewHole::SelfCut => self.thread.diameter - SELF_CUT.length,
        }
    }

    /// The diameter of its head: the largest usual one of its thread.
    pub fn head_diameter(&self) -> Millimetres {
        head_of(&self.thread, HeadForm::Button).map_or(self.thread.diameter * 1.9, |head| head.diameter_max)
    }

    /// How high its head stands out where it lies on the face.
    pub fn head_height(&self) -> Millimetres {
        head_of(&self.thread, HeadForm::Button).map_or(self.thread.diameter * 0.6, |head| head.height)
    }

    /// The diameter of the sink at the face; of the hole where it is not sunk.
    pub fn widest(&self) -> Millimetres {
        match self.seat {
            HeadSeat::OnFace => self.hole_diameter(),
            HeadSeat::Cone | HeadSeat::Pocket => self.head_diameter() + CLEAR.length,
        }
    }

    /// How deep the sink is.
    pub fn depth(&self) -> Millimetres {
        match self.seat {
            HeadSeat::OnFace => Millimetres::new(0.0),
            HeadSeat::Cone => (self.widest() - self.hole_diameter()) / 2.0,
            HeadSeat::Pocket => self.head_height() + OVER_HEAD.length,
        }
    }

    /// How far material must reach from its middle: for the wall round it, and under its head.
    pub fn reach(&self) -> f64 {
        let round = self.widest().get() / 2.0 + ROUND_HOLE.length.get();
        round.max(self.head_diameter().get() / 2.0)
    }

    /// Whether a plate of a thickness leaves a floor under a sunk head.
    pub fn check_floor(&self, thickness: Millimetres) -> Result<(), PrintFault> {
        let floor = thickness - self.depth();
        if floor >= WALL.length || self.seat == HeadSeat::OnFace {
            return Ok(());
        }
        let wanted = ((self.depth() + WALL.length).get() * 10.0).ceil() / 10.0;
        Err(PrintFault::WallTooThin {
            what: format!("the floor under the sunk head of the {} screws", self.thread.name),
            wall: floor,
            mend: format!("make the plate {wanted} mm thick, or leave the heads on its face"),
        })
    }

    /// Heights and radii from the lower face up.
    fn profile(&self, thickness: f64) -> Vec<(f64, f64)> {
        let (bore, wide) = (self.hole_diameter().get() / 2.0, self.widest().get() / 2.0);
        let depth = self.depth().get();
        let from_face = match self.seat {
            HeadSeat::OnFace => vec![(0.0, bore), (thickness, bore)],
            HeadSeat::Cone => vec![(0.0, wide), (depth, bore), (thickness, bore)],
            HeadSeat::Pocket => vec![(0.0, wide), (depth, wide), (depth, bore), (thickness, bore)],
        };
        match self.face {
            HeadFace::Lower => from_face,
            HeadFace::Upper => from_face.into_iter().rev().map(|(z, r)| (thickness - z, r)).collect(),
        }
    }

    /// What the hole takes out of a plate, in mm³.
    pub fn hollow_mm3(&self, thickness: Millimetres) -> f64 {
        let section = |pair: &[(f64, f64)]| {
            let ((z0, r0), (z1, r1)) = (pair[0], pair[1]);
            (z1 - z0) * std::f64::consts::PI * (r0 * r0 + r0 * r1 + r1 * r1) / 3.0
        };
        self.profile(thickness.get()).windows(2).map(section).sum()
    }
}

/// Drills a hole from z = 0 to the thickness; gives its rings on the lower and on the upper face.
pub(super) fn drill(
    faces: &mut Faces,
    at: PlanePoint,
    screw: &ScrewInPrint,
    thickness: f64,
) -> (PointRing, PointRing) {
    let profile = screw.profile(thickness);
    let widest = profile.iter().fold(0.0, |widest: f64, (_, radius)| widest.max(*radius));
    // All rings of a bore have the corners of its widest.
    let around = circle(at, widest);
    let rings: Vec<PointRing> = profile
        .iter()
        .rev()
        .map(|(z, radius)| faces.ring(at_height(&scaled(&around, at, radius / widest), *z)))
        .collect();
    faces.walls(&rings);
    (rings[rings.len() - 1].clone(), rings[0].clone())
}
