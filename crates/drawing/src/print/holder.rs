//! An antenna holder: a leaning tube for the stem on a base, with slots for a tie behind the plug.
//!
//! ```text
//!        \ \  tube: bore for the stem, walls round it, a slit down its front that a tie closes
//!         \ \
//!   _______\ \_________________________
//!  |________\ \____|tie|________|fixing|   base; the lead leaves at the mouth and runs forward
//!            mouth  5 to 8 mm behind the plug
//! ```
//!
//! Part frame: the origin is the mouth, where the axis of the tube meets the underside; x forward, z up. The tube leans
//! back by λ: its axis is a = (−sin λ, 0, cos λ). Cut by a level plane it is an ellipse with half axes r/cos λ
//! along x and r along y. The slots for the tie lie either side of the lead, in front of the mouth; the fixing holes take
//! screws or go over standoffs.
//!
//! A threaded socket goes through a wall at the upper end of the tube instead: its nut lies on top, its flange in a hexagon below, so
//! that it does not turn when the antenna is screwed on.
//!
//! Left out: leaning forward or sideways; turn the holder.

use super::custom::{CLEAR, ROUND_HOLE, SLIT, SOCKET_WALL, TIE_FAR, TIE_LENGTH, TIE_NEAR, TIE_WIDTH, WALL};
use super::fault::{PrintFault, angle_within, within};
use super::ring::{at_height, circle, distance, hull, slot};
use fit::{Faces, Mesh, PartPoint, PartVector, PlanePoint, PointRing, Thread};
use quantity::{Degrees, Millimetres};
use std::f64::consts::{PI, TAU};

/// The least and the greatest lean, in degrees.
pub const LEANS: (f64, f64) = (0.0, 60.0);
/// How thick the base may be, in mm.
pub const BASES: (f64, f64) = (WALL.length.get(), 10.0);

/// What holds the base, and where.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Fixing {
    /// The middle of its hole.
    pub at: PlanePoint,
    /// What goes through.
    pub by: FixedBy,
}

/// What goes through a fixing hole.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum FixedBy {
    /// A screw.
    Screw(Thread),
    /// A standoff of this diameter, over which the base is slid.
    Standoff(Millimetres),
}

/// How the tube holds the stem.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Grip {
    /// A plain tube: glue or a nut holds the stem.
    Tube,
    /// A tube with a slit; a tie round it closes it on the stem.
    Clamp,
    /// A wall with a hole for a threaded socket, held by its nut; the stem is its thread.
    Socket {
        /// Its flange across flats.
        flats: Millimetres,
    },
}

/// What a holder is asked to be.
#[derive(Clone, Debug, PartialEq)]
pub struct HolderAsked {
    /// Diameter of the stem.
    pub stem: Millimetres,
    /// How far it leans back.
    pub lean: Degrees,
    /// How long the tube is above the base, at its shorter side.
    pub tube_length: Millimetres,
    /// How thick the base is.
    pub base: Millimetres,
    /// Diameter of the lead below the plug.
    pub lead: Millimetres,
    /// How far behind the plug the tie lies: to the middle of its slots.
    pub tie_behind: Millimetres,
    /// How the tube holds the stem.
    pub grip: Grip,
    /// What holds the base.
    pub fixings: Vec<Fixing>,
}

/// A holder that can be printed.
#[derive(Clone, Debug, PartialEq)]
pub struct Holder {
    asked: HolderAsked,
    lean: f64,
    bore: f64,
    outer: f64,
    /// From the mouth to the middle of the tube's upper end, along the axis.
    axis_length: f64,
    slots: [[PlanePoint; 2]; 2],
    outline: Vec<PlanePoint>,
}

/// Points round the tube where it has no slit.
const ROUND: usize = 64;
/// The same where a hexagon is inside: its corners are among them.
const ROUND_HEXAGON: usize = 72;
/// The edge of the base beyond the foot of the tube.
const FOOT: f64 = 1.0;

/// Half the width of the hexagon for a flange, over its corners.
fn bore_round(flats: Millimetres) -> f64 {
    (flats + CLEAR.length).get() / 2.0 / (PI / 6.0).cos()
}

impl Holder {
    /// Works out a holder, or says all that is wrong with it.
    pub fn new(asked: &HolderAsked) -> Result<Self, Vec<PrintFault>> {
        let mut faults = Vec::new();
        let mut keep =
            |checked: Result<f64, PrintFault>| checked.map_err(|fault| faults.push(fault)).unwrap_or(0.0);
        let stem = keep(within("diameter of the stem", asked.stem, 1.0, 20.0));
        let lean = keep(angle_within("lean", asked.lean, LEANS.0, LEANS.1));
        let tube = keep(within("length of the tube", asked.tube_length, 3.0, 60.0));
        let base = keep(within("thickness of the base", asked.base, BASES.0, BASES.1));
        let lead = keep(within("diameter of the lead", asked.lead, 0.5, 8.0));
        let (near, far) = (TIE_NEAR.length.get(), TIE_FAR.length.get());
        let behind = keep(within("tie behind the plug", asked.tie_behind, near, far));
        if asked.fixings.is_empty() {
            let what = "the holder has no fixing hole: name a standoff or a screw that holds it".to_owned();
            faults.push(PrintFault::NothingToHold { what });
        }
        if !faults.is_empty() {
            return Err(faults);
        }
        let hole = (stem + CLEAR.length.get()) / 2.0;
        let bore = match asked.grip {
            Grip::Socket { flats } => bore_round(flats),
            Grip::Tube | Grip::Clamp => hole,
        };
        let outer = bore + ROUND_HOLE.length.get();
        let axis_length = (base + tube * lean.cos() + outer * lean.sin()) / lean.cos();
        // The plug ends at the rim of the mouth.
        let tie_x = bore / lean.cos() + behind;
        let half_run = (TIE_LENGTH.length.get() - TIE_WIDTH.length.get()) / 2.0;
        let beside =
            ((lead + TIE_WIDTH.length.get()) / 2.0).max((ROUND_HOLE.length + TIE_WIDTH.length).get() / 2.0);
        let slots =
            [beside, -beside].map(|y| [tie_x - half_run, tie_x + half_run].map(|x| PlanePoint::new(x, y)));
        let mut made =
            Self { asked: asked.clone(), lean, bore, outer, axis_length, slots, outline: Vec::new() };
        let faults = made.crowded();
        if !faults.is_empty() {
            return Err(faults);
        }
        made.outline = made.outline_round();
        Ok(made)
    }

    /// From the mouth to the middle of the tie where a stem or a threaded socket is held so: where the holder has to stand is worked out
    /// from it.
    pub fn mouth_to_tie(stem: Millimetres, lean: Degrees, grip: Grip, tie_behind: Millimetres) -> f64 {
        let bore = match grip {
            Grip::Socket { flats } => bore_round(flats),
            Grip::Tube | Grip::Clamp => (stem + CLEAR.length).get() / 2.0,
        };
        bore / lean.get().to_radians().cos() + tie_behind.get()
    }

    /// Fixing holes that come too near the tie, the tube or each other.
    fn crowded(&self) -> Vec<PrintFault> {
        let mut faults = Vec::new();
        let mut told = |what: &str, left: f64, mend: &str| {
            if left < ROUND_HOLE.length.get() - 1e-9 || left.is_nan() {
                let left = Millimetres::new(left);
                faults.push(PrintFault::TooNear { what: what.to_owned(), left, mend: mend.to_owned() });
            }
        };
        let holes: Vec<(PlanePoint, f64)> =
            self.asked.fixings.iter().map(|fixing| (fixing.at, fixing.by.hole() / 2.0)).collect();
        for (n, (at, radius)) in holes.iter().enumerate() {
            for [from, to] in self.slots {
                let along = PlanePoint::new(at.x.clamp(from.x, to.x), from.y);
                let left = distance(*at, along) - radius - TIE_WIDTH.length.get() / 2.0;
                told(
                    "a fixing hole and a slot for the tie",
                    left,
                    "move the fixing holes further forward or apart",
                );
            }
            let foot = [self.section(self.outer, self.asked.base.get()), self.section(self.bore, 0.0)];
            let left =
                foot.iter().flatten().map(|p| distance(*at, *p)).fold(f64::INFINITY, f64::min) - radius;
            told("a fixing hole and the tube", left, "move the fixing holes further forward or apart");
            for (other, its) in &holes[..n] {
                told("two fixing holes", distance(*at, *other) - radius - its, "move them apart");
            }
        }
        faults
    }

    /// The ellipse in which the tube's surface of a radius meets a level plane.
    fn section(&self, radius: f64, z: f64) -> Vec<PlanePoint> {
        (0..ROUND)
            .map(|k| self.at_angle(radius, TAU * k as f64 / ROUND as f64, z))
            .map(|p| PlanePoint::new(p.x(), p.y()))
            .collect()
    }

    /// The point of the tube's surface of a radius at an angle about the axis, at a height: angles count from the
    /// front, to the left.
    fn at_angle(&self, radius: f64, angle: f64, z: f64) -> PartPoint {
        // Across the axis, forward is (cos λ, 0, sin λ) and left is y; then along the axis to the height.
        let (sin, cos) = self.lean.sin_cos();
        let forward = radius * angle.cos();
        let along = (z - forward * sin) / cos;
        PartPoint::new(forward * cos - along * sin, radius * angle.sin(), z)
    }

    /// The same point where the tube ends, at right angles to its axis.
    fn at_end(&self, radius: f64, angle: f64) -> PartPoint {
        self.at_along(radius, angle, self.axis_length)
    }

    /// The same point so far along the axis from the mouth.
    fn at_along(&self, radius: f64, angle: f64, s: f64) -> PartPoint {
        let (sin, cos) = self.lean.sin_cos();
        let forward = radius * angle.cos();
        PartPoint::new(forward * cos - s * sin, radius * angle.sin(), forward * sin + s * cos)
    }

    /// Half the width of the slit; on a thin stem it is no wider than half the bore.
    fn half_slit(&self) -> f64 {
        (SLIT.length.get() / 2.0).min(self.bore / 2.0)
    }

    fn outline_round(&self) -> Vec<PlanePoint> {
        let round = ROUND_HOLE.length.get();
        let foot = self.section(self.outer, self.asked.base.get());
        let mouth = self.section(self.bore, 0.0);
        // Discs round the points of an ellipse make its parallel line.
        let about = |ring: Vec<PlanePoint>, reach: f64| {
            ring.into_iter().flat_map(move |p| {
                (0..24).map(move |k| {
                    let (sin, cos) = (TAU * f64::from(k) / 24.0).sin_cos();
                    PlanePoint::new(p.x + reach * cos, p.y + reach * sin)
                })
            })
        };
        let slots =
            self.slots.iter().flatten().flat_map(|p| circle(*p, TIE_WIDTH.length.get() / 2.0 + round));
        let fixings = self.asked.fixings.iter().flat_map(|fixing| circle(fixing.at, fixing.by.reach()));
        hull(about(foot, FOOT).chain(about(mouth, round)).chain(slots).chain(fixings))
    }

    /// What it was asked to be.
    pub fn asked(&self) -> &HolderAsked {
        &self.asked
    }
    /// The outer edge of its base, counter-clockwise.
    pub fn outline(&self) -> &[PlanePoint] {
        &self.outline
    }
    /// The ends of the two slots for the tie: middles of their round ends.
    pub fn tie_slots(&self) -> &[[PlanePoint; 2]; 2] {
        &self.slots
    }
    /// Outer diameter of the tube.
    pub fn tube_diameter(&self) -> Millimetres {
        Millimetres::new(2.0 * self.outer)
    }
    /// Where the stem leaves the tube.
    pub fn stem_leaves_at(&self) -> PartPoint {
        self.at_end(0.0, 0.0)
    }
    /// The tube seen from the side, above the base: x and z of its corners, counter-clockwise.
    pub fn tube_side(&self) -> [[f64; 2]; 4] {
        let base = self.asked.base.get();
        let corner = |p: PartPoint| [p.x(), p.z()];
        [
            corner(self.at_angle(self.outer, PI, base)),
            corner(self.at_angle(self.outer, 0.0, base)),
            corner(self.at_end(self.outer, 0.0)),
            corner(self.at_end(self.outer, PI)),
        ]
    }
    /// Which way the stem looks.
    pub fn axis(&self) -> PartVector {
        PartVector::new(-self.lean.sin(), 0.0, self.lean.cos())
    }

    /// The solid.
    pub fn mesh(&self) -> Result<Mesh, PrintFault> {
        let base = self.asked.base.get();
        let mut faces = Faces::default();
        let low = faces.ring(at_height(&self.outline, 0.0));
        let high = faces.ring(at_height(&self.outline, base));
        faces.wall(&low, &high);
        let (mut below, mut above) = (Vec::new(), Vec::new());
        let slots = self.slots.iter().map(|[from, to]| slot(*from, *to, TIE_WIDTH.length.get()));
        let holes = self.asked.fixings.iter().map(|fixing| circle(fixing.at, fixing.by.hole() / 2.0));
        for ring in slots.chain(holes) {
            let (lower, upper) = (faces.ring(at_height(&ring, 0.0)), faces.ring(at_height(&ring, base)));
            faces.wall(&upper, &lower);
            below.push(lower);
            above.push(upper);
        }
        let (mouth, foot) = match self.asked.grip {
            Grip::Tube => self.tube(&mut faces),
            Grip::Clamp => self.clamp(&mut faces),
            Grip::Socket { flats } => self.socket(&mut faces, flats),
        };
        below.push(mouth);
        above.push(foot);
        faces.face(&low.reversed(), &below.iter().collect::<Vec<_>>());
        faces.face(&high, &above.iter().collect::<Vec<_>>());
        Ok(faces.mesh()?)
    }

    /// A plain tube; gives the rings it leaves in the underside and in the upper face of the base.
    fn tube(&self, faces: &mut Faces) -> (PointRing, PointRing) {
        let angles: Vec<f64> = (0..ROUND).map(|k| TAU * k as f64 / ROUND as f64).collect();
        let base = self.asked.base.get();
        let foot = faces.ring(angles.iter().map(|angle| self.at_angle(self.outer, *angle, base)));
        let top = faces.ring(angles.iter().map(|angle| self.at_end(self.outer, *angle)));
        let rim = faces.ring(angles.iter().map(|angle| self.at_end(self.bore, *angle)));
        let mouth = faces.ring(angles.iter().map(|angle| self.at_angle(self.bore, *angle, 0.0)));
        faces.walls(&[foot.clone(), top, rim, mouth.clone()]);
        (mouth, foot)
    }

    /// A tube with a hexagon inside, closed above by a wall with a hole; gives the same rings.
    fn socket(&self, faces: &mut Faces, flats: Millimetres) -> (PointRing, PointRing) {
        let base = self.asked.base.get();
        let angles: Vec<f64> = (0..ROUND_HEXAGON).map(|k| TAU * k as f64 / ROUND_HEXAGON as f64).collect();
        let hole = (self.asked.stem + CLEAR.length).get() / 2.0;
        let half = (flats + CLEAR.length).get() / 2.0;
        let hexagon = |angle: f64| {
            let beside = (angle + PI / 6.0).rem_euclid(PI / 3.0) - PI / 6.0;
            half / beside.cos()
        };
        let under = self.axis_length - SOCKET_WALL.length.get();
        let foot = faces.ring(angles.iter().map(|angle| self.at_angle(self.outer, *angle, base)));
        let top = faces.ring(angles.iter().map(|angle| self.at_end(self.outer, *angle)));
        let rim = faces.ring(angles.iter().map(|angle| self.at_end(hole, *angle)));
        let below = faces.ring(angles.iter().map(|angle| self.at_along(hole, *angle, under)));
        let shelf = faces.ring(angles.iter().map(|angle| self.at_along(hexagon(*angle), *angle, under)));
        let mouth = faces.ring(angles.iter().map(|angle| self.at_angle(hexagon(*angle), *angle, 0.0)));
        faces.walls(&[foot.clone(), top, rim, below, shelf, mouth.clone()]);
        (mouth, foot)
    }

    /// A tube with a slit down its front. The slit ends at the base, so that the bore is whole below.
    fn clamp(&self, faces: &mut Faces) -> (PointRing, PointRing) {
        let base = self.asked.base.get();
        let half_slit = self.half_slit();
        let (at_bore, at_outer) = ((half_slit / self.bore).asin(), (half_slit / self.outer).asin());
        let spread = |from: f64, to: f64, steps: usize| {
            (0..=steps).map(move |k| from + (to - from) * k as f64 / steps as f64).collect::<Vec<f64>>()
        };
        let round = spread(at_outer, TAU - at_outer, ROUND);
        // Backwards, so that outer and inner arc make one ring.
        let back = spread(TAU - at_bore, at_bore, ROUND);
        let gap = spread(-at_bore, at_bore, 8);
        let outer_low: Vec<u32> =
            round.iter().map(|a| faces.point(self.at_angle(self.outer, *a, base))).collect();
        let inner_low: Vec<u32> =
            back.iter().map(|a| faces.point(self.at_angle(self.bore, *a, base))).collect();
        let gap_low: Vec<u32> =
            gap[1..8].iter().map(|a| faces.point(self.at_angle(self.bore, *a, base))).collect();
        let (first, last) = (inner_low[0], inner_low[inner_low.len() - 1]);
        // The tube above the base: a ring like the letter C.
        let c_low = PointRing::of(outer_low.iter().chain(&inner_low).copied());
        let end = |radius: f64, a: &f64| self.at_end(radius, *a);
        let c_top = faces
            .ring(round.iter().map(|a| end(self.outer, a)).chain(back.iter().map(|a| end(self.bore, a))));
        faces.wall(&c_low, &c_top);
        faces.face(&c_top, &[]);
        // The bore through the base, counter-clockwise from the right side of the slit: −a, gap, a, and round.
        let upper = PointRing::of(
            [first].into_iter().chain(gap_low.iter().copied()).chain(inner_low[1..].iter().rev().copied()),
        );
        let angles: Vec<f64> = gap[..8].iter().copied().chain(back[1..].iter().rev().copied()).collect();
        let mouth = faces.ring(angles.iter().map(|a| self.at_angle(self.bore, *a, 0.0)));
        faces.wall(&upper, &mouth);
        // What the upper face of the base leaves free: outer arc, in along the slit, the gap of the bore, out.
        let foot = PointRing::of(
            outer_low.iter().copied().chain([first]).chain(gap_low.iter().copied()).chain([last]),
        );
        (mouth, foot)
    }
}

impl FixedBy {
    /// The diameter of the hole for it.
    pub fn hole(&self) -> f64 {
        let through = match self {
            FixedBy::Screw(thread) => thread.diameter,
            FixedBy::Standoff(diameter) => *diameter,
        };
        (through + CLEAR.length).get()
    }

    /// How far material must reach from the middle of its hole.
    fn reach(&self) -> f64 {
        let round = self.hole() / 2.0 + ROUND_HOLE.length.get();
        match self {
            FixedBy::Screw(thread) => {
                let screw = super::bore::ScrewInPrint::plain(*thread, super::bore::HeadFace::Upper);
                round.max(screw.head_diameter().get() / 2.0)
            }
            FixedBy::Standoff(_) => round,
        }
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
#[path = "holder_tests.rs"]
mod tests;
