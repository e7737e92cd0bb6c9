//! A wedge under a camera: an inclined seat on a base with two holes.
//!
//! ```text
//!            __--|        seat length L along the slope, angle α
//!        __--    |        run c = L·cos α, rise s = L·sin α
//!      |         |        low edge h above the base plane
//!  ____|         |____    flanges of thickness t left and right, a hole through each;
//!                         or no flanges, and the heads sunk in the seat above a floor of thickness t
//! ```
//!
//! Part frame: x forward and up the slope, y left, z up; the origin lies in the middle of the underside. A tunnel for
//! a small tie may go through the wedge from side to side: the tie then holds the camera on its seat. Volume less
//! holes and tunnel: V = w·c·(h + s/2) + 2·f·c·t with flanges f wide.

use super::bore::{HeadFace, ScrewInPrint, drill};
use super::custom::{BESIDE_HEAD, CLEAR, ROUND_HOLE, TIE_LENGTH, TIE_WIDTH, WALL};
use super::fault::{PrintFault, angle_within, within};
use super::ring::circle;
use fit::{Faces, Mesh, PartPoint, PlanePoint, PointRing, Thread};
use quantity::{Degrees, Millimetres};

/// The least and the steepest slope of a seat, in degrees.
pub const SLOPES: (f64, f64) = (0.0, 60.0);
/// How thick the floor under the heads may be, in mm.
pub const FLOORS: (f64, f64) = (WALL.length.get(), 20.0);

/// What a wedge is asked to be.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct WedgeAsked {
    /// How steep the seat is: the tilt of the camera.
    pub angle: Degrees,
    /// Length of the seat along its slope.
    pub seat_length: Millimetres,
    /// Width of the seat.
    pub seat_width: Millimetres,
    /// How high the low edge of the seat stands above the base plane.
    pub low: Millimetres,
    /// How thick the material under the screw heads is.
    pub floor: Millimetres,
    /// The screws that hold it.
    pub screw: Thread,
    /// Where its two holes are.
    pub base: WedgeBase,
    /// What holds the camera on the seat.
    pub hold: SeatHold,
}

/// Where the holes of a wedge are.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum WedgeBase {
    /// In a flange on each side.
    Flanges,
    /// Through the seat, the heads sunk below it: for a wedge between the plates of a cage.
    ThroughSeat,
}

/// What holds a camera on its seat.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SeatHold {
    /// Nothing of the wedge: it only keeps the camera from turning.
    Leaning,
    /// A small tie through a tunnel under the seat.
    Tie,
}

/// A wedge that can be printed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Wedge {
    asked: WedgeAsked,
    screw: ScrewInPrint,
    run: f64,
    rise: f64,
    flange_width: f64,
    holes: [PlanePoint; 2],
    tunnel: Option<[f64; 4]>,
}

/// How far the low edge of a seat, or the floor of a tunnel, stands above the flanges.
const OVER_FLANGE: f64 = 0.3;
/// The highest low edge.
const LOW_MAX: f64 = 80.0;

impl Wedge {
    /// Works out a wedge, or says all that is wrong with it.
    pub fn new(asked: &WedgeAsked) -> Result<Self, Vec<PrintFault>> {
        let mut faults = Vec::new();
        let mut keep =
            |checked: Result<f64, PrintFault>| checked.map_err(|fault| faults.push(fault)).unwrap_or(0.0);
        let angle = keep(angle_within("slope of the seat", asked.angle, SLOPES.0, SLOPES.1));
        let length = keep(within("length of the seat", asked.seat_length, 4.0, 120.0));
        let width = keep(within("width of the seat", asked.seat_width, 4.0, 120.0));
        keep(wall("the floor under the screw heads", asked.floor));
        keep(within("floor under the screw heads", asked.floor, 0.0, FLOORS.1));
        keep(within("low edge of the seat over the base", asked.low, -LOW_MAX, LOW_MAX));
        if !faults.is_empty() {
            return Err(faults);
        }
        let (run, rise) = (length * angle.cos(), length * angle.sin());
        let screw = ScrewInPrint::plain(asked.screw, HeadFace::Upper);
        let mut made = Self {
            asked: *asked,
            screw,
            run,
            rise,
            flange_width: 0.0,
            holes: [PlanePoint::default(); 2],
            tunnel: None,
        };
        let placed = match asked.base {
            WedgeBase::Flanges => made.place_in_flanges(width),
            WedgeBase::ThroughSeat => made.place_in_seat(width),
        };
        placed.map_err(|fault| vec![fault])?;
        if asked.hold == SeatHold::Tie {
            made.tunnel = Some(made.tunnel_at().map_err(|fault| vec![fault])?);
        }
        Ok(made)
    }

    fn place_in_flanges(&mut self, width: f64) -> Result<(), PrintFault> {
        // The wedge must stand out of its flanges, or its seat would have no edge to lean on.
        self.at_least_low(self.asked.floor.get() + OVER_FLANGE)?;
        let y = width / 2.0 + self.screw.head_diameter().get() / 2.0 + BESIDE_HEAD.length.get();
        self.flange_width = y - width / 2.0 + self.screw.reach();
        self.holes = [PlanePoint::new(0.0, y), PlanePoint::new(0.0, -y)];
        let beside = (self.run - self.screw.hole_diameter().get()) / 2.0;
        if beside < ROUND_HOLE.length.get() {
            return Err(PrintFault::TooNear {
                what: format!("the hole of the {} screw and the edge of its flange", self.screw.thread.name),
                left: Millimetres::new(beside),
                mend: "make the seat longer, or take a smaller screw".to_owned(),
            });
        }
        Ok(())
    }

    fn place_in_seat(&mut self, width: f64) -> Result<(), PrintFault> {
        let (wide, wall) = (self.pocket(), WALL.length.get());
        let aside = |size: f64| (size - wide) / 2.0 - wall;
        // Side by side where that leaves a wall between the heads, else one behind the other.
        let room = |size: f64, other: f64| (2.0 * aside(size) - wide).min(aside(other) + wall);
        let (across, along) = (room(width, self.run), room(self.run, width));
        let (x, y) = if across >= along { (0.0, aside(width)) } else { (aside(self.run), 0.0) };
        if across.max(along) < wall {
            return Err(PrintFault::WallTooThin {
                what: "the wall beside a head sunk in the seat".to_owned(),
                wall: Millimetres::new(across.max(along)),
                mend: "make the seat larger, take smaller screws, or flanges".to_owned(),
            });
        }
        self.holes = [PlanePoint::new(x, y), PlanePoint::new(-x, -y)];
        // The seat must pass over the heads at their lower side.
        let up_the_slope = (0.5 - (x + wide / 2.0) / self.run) * self.rise;
        let over_heads = self.asked.floor.get() + self.screw.head_height().get() - up_the_slope;
        self.at_least_low(over_heads.max(wall))
    }

    fn at_least_low(&self, least: f64) -> Result<(), PrintFault> {
        if self.asked.low.get() >= least {
            return Ok(());
        }
        Err(PrintFault::SizeBeyond {
            what: "low edge of the seat over the base",
            size: self.asked.low,
            least: Millimetres::new(least),
            most: Millimetres::new(LOW_MAX),
        })
    }

    /// Diameter of a pocket for a head in the seat.
    fn pocket(&self) -> f64 {
        (self.screw.head_diameter() + CLEAR.length).get()
    }

    /// Where the tunnel goes: as far up the slope as leaves a wall in front, low over the flange.
    fn tunnel_at(&self) -> Result<[f64; 4], PrintFault> {
        let (long, high, wall) = (TIE_LENGTH.length.get(), TIE_WIDTH.length.get(), WALL.length.get());
        let to = self.run / 2.0 - wall - long * 0.5;
        let from = to - long;
        let floor = self.asked.floor.get() + OVER_FLANGE;
        let roof = self.seat_height(from) - (floor + high);
        // Nothing behind it but the end of the wedge, or the pockets in the seat.
        let behind = match self.asked.base {
            WedgeBase::Flanges => from + self.run / 2.0,
            WedgeBase::ThroughSeat => from - self.holes[0].x - self.pocket() / 2.0,
        };
        if behind < wall || roof < wall {
            return Err(PrintFault::WallTooThin {
                what: "the thinnest wall round the tunnel for a tie".to_owned(),
                wall: Millimetres::new(roof.min(behind)),
                mend: "make the seat longer, steeper or higher, or leave the tunnel out".to_owned(),
            });
        }
        Ok([from, to, floor, floor + high])
    }

    fn seat_height(&self, x: f64) -> f64 {
        self.asked.low.get() + (x / self.run + 0.5) * self.rise
    }

    /// What it was asked to be.
    pub fn asked(&self) -> &WedgeAsked {
        &self.asked
    }
    /// The screws of its base.
    pub fn screw(&self) -> &ScrewInPrint {
        &self.screw
    }
    /// Length of the base along x.
    pub fn run(&self) -> Millimetres {
        Millimetres::new(self.run)
    }
    /// Width of the base, with flanges if it has any.
    pub fn base_width(&self) -> Millimetres {
        self.asked.seat_width + Millimetres::new(2.0 * self.flange_width)
    }
    /// The middles of its two holes.
    pub fn holes(&self) -> &[PlanePoint; 2] {
        &self.holes
    }
    /// The side of the wedge without flanges: x and z of its corners, counter-clockwise seen from the right.
    pub fn side(&self) -> [[f64; 2]; 4] {
        let half = self.run / 2.0;
        [[-half, 0.0], [half, 0.0], [half, self.seat_height(half)], [-half, self.seat_height(-half)]]
    }

    /// The solid.
    pub fn mesh(&self) -> Result<Mesh, PrintFault> {
        let mut faces = Faces::default();
        // The profile across the back and across the front, from the right side round to the left.
        let half = self.run / 2.0;
        let rear = faces.ring(self.profile(-half));
        let fore = faces.ring(self.profile(half));
        faces.face(&fore, &[]);
        faces.face(&rear.reversed(), &[]);
        let bores = self.holes.map(|at| match self.asked.base {
            WedgeBase::Flanges => drill(&mut faces, at, &self.screw, self.asked.floor.get()),
            WedgeBase::ThroughSeat => self.drill_through_seat(&mut faces, at),
        });
        let inner = self.asked.seat_width.get() / 2.0;
        let tunnel = self.tunnel.map(|[from, to, floor, roof]| {
            let ring = |y: f64| {
                [(from, floor), (to, floor), (to, roof), (from, roof)].map(|(x, z)| PartPoint::new(x, y, z))
            };
            // Seen from the right x runs to the right and z up, so the right ring is the one to start from.
            let (right, left) = (faces.ring(ring(-inner)), faces.ring(ring(inner)));
            faces.wall(&right, &left);
            (right, left)
        });
        let count = rear.points().len();
        for edge in 0..count {
            let next = (edge + 1) % count;
            let (r, f) = (rear.points(), fore.points());
            let along = PointRing::of([r[next], f[next], f[edge], r[edge]]);
            faces.face(&along, &self.holes_in(edge, &bores, &tunnel));
        }
        Ok(faces.mesh()?)
    }

    /// The corners of the profile at an x: underside, flanges, seat.
    fn profile(&self, x: f64) -> Vec<PartPoint> {
        let (inner, outer) = (self.asked.seat_width.get() / 2.0, self.base_width().get() / 2.0);
        let (flange, top) = (self.asked.floor.get(), self.seat_height(x));
        let corners: &[(f64, f64)] = match self.asked.base {
            WedgeBase::ThroughSeat => &[(-inner, 0.0), (inner, 0.0), (inner, top), (-inner, top)],
            WedgeBase::Flanges => &[
                (-outer, 0.0),
                (outer, 0.0),
                (outer, flange),
                (inner, flange),
                (inner, top),
                (-inner, top),
                (-inner, flange),
                (-outer, flange),
            ],
        };
        corners.iter().map(|(y, z)| PartPoint::new(x, *y, *z)).collect()
    }

    /// The holes in the face that starts from an edge of the profile.
    fn holes_in<'r>(
        &self,
        edge: usize,
        bores: &'r [(PointRing, PointRing); 2],
        tunnel: &'r Option<(PointRing, PointRing)>,
    ) -> Vec<&'r PointRing> {
        let [left, right] = bores;
        let of_tunnel = |(of_right, of_left): &'r (PointRing, PointRing), on_left: bool| {
            vec![if on_left { of_left } else { of_right }]
        };
        match (self.asked.base, edge) {
            (_, 0) => vec![&left.0, &right.0],
            (WedgeBase::Flanges, 2) => vec![&left.1],
            (WedgeBase::Flanges, 6) => vec![&right.1],
            (WedgeBase::ThroughSeat, 2) => vec![&left.1, &right.1],
            (WedgeBase::Flanges, 3) | (WedgeBase::ThroughSeat, 1) => {
                tunnel.as_ref().map(|rings| of_tunnel(rings, true)).unwrap_or_default()
            }
            (WedgeBase::Flanges, 5) | (WedgeBase::ThroughSeat, 3) => {
                tunnel.as_ref().map(|rings| of_tunnel(rings, false)).unwrap_or_default()
            }
            _ => Vec::new(),
        }
    }

    /// A hole with a pocket for its head that opens in the inclined seat; rings below and above.
    fn drill_through_seat(&self, faces: &mut Faces, at: PlanePoint) -> (PointRing, PointRing) {
        let floor = self.asked.floor.get();
        let wide = circle(at, self.pocket() / 2.0);
        let bore = super::ring::scaled(&wide, at, self.screw.hole_diameter().get() / self.pocket());
        let on_seat = faces.ring(wide.iter().map(|p| PartPoint::new(p.x, p.y, self.seat_height(p.x))));
        let mut level = |ring: &[PlanePoint], z: f64| faces.ring(super::ring::at_height(ring, z));
        let (shelf, rim, below) = (level(&wide, floor), level(&bore, floor), level(&bore, 0.0));
        faces.walls(&[on_seat.clone(), shelf, rim, below.clone()]);
        (below, on_seat)
    }
}

fn wall(what: &str, wall: Millimetres) -> Result<f64, PrintFault> {
    match wall >= WALL.length {
        true => Ok(wall.get()),
        false => {
            Err(PrintFault::WallTooThin { what: what.to_owned(), wall, mend: "make it thicker".to_owned() })
        }
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
#[path = "wedge_tests.rs"]
mod tests;
