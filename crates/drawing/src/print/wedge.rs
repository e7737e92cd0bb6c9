//! A wedge under a camera: an inclined seat on a base with a hole on each side.
//!
//! ```text
//!            __--|        seat length L along the slope, angle α
//!        __--    |        run c = L·cos α, rise s = L·sin α
//!      |         |        low edge h above the base plane
//!  ____|         |____    flanges of thickness t left and right, a hole through each
//! ```
//!
//! Part frame: x forward and up the slope, y left, z up; the origin lies in the middle of the underside. A tunnel for
//! a small tie may go through the wedge from side to side: the tie then holds the camera on its seat. Volume less
//! holes and tunnel: V = w·c·(h + s/2) + 2·f·c·t with flanges f wide.

use super::bore::{HeadFace, HeadSeat, ScrewHole, ScrewInPrint, drill};
use super::custom::{BESIDE_HEAD, ROUND_HOLE, TIE_LENGTH, TIE_WIDTH, WALL};
use super::fault::{PrintFault, angle_within, within};
use fit::{Faces, Mesh, PartPoint, PlanePoint, PointRing, Thread};
use quantity::{Degrees, Millimetres};

/// The least and the steepest slope of a seat, in degrees.
pub const SLOPES: (f64, f64) = (0.0, 60.0);

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
    /// How thick the flanges are.
    pub flange: Millimetres,
    /// The screws that hold it.
    pub screw: Thread,
    /// What holds the camera on the seat.
    pub hold: SeatHold,
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
    hole_y: f64,
    tunnel: Option<[f64; 4]>,
}

impl Wedge {
    /// Works out a wedge, or says all that is wrong with it.
    pub fn new(asked: &WedgeAsked) -> Result<Self, Vec<PrintFault>> {
        let mut faults = Vec::new();
        let mut keep =
            |checked: Result<f64, PrintFault>| checked.map_err(|fault| faults.push(fault)).unwrap_or(0.0);
        let angle = keep(angle_within("slope of the seat", asked.angle, SLOPES.0, SLOPES.1));
        let length = keep(within("length of the seat", asked.seat_length, 4.0, 120.0));
        let width = keep(within("width of the seat", asked.seat_width, 4.0, 120.0));
        let flange = keep(wall("a flange", asked.flange, "make it thicker"));
        keep(within("flange", asked.flange, 0.0, 20.0));
        let low = keep(within("low edge of the seat", asked.low, f64::NEG_INFINITY, 80.0));
        if !faults.is_empty() {
            return Err(faults);
        }
        // The wedge must stand out of its flanges, or its seat would have no edge to lean on.
        let over = low - flange;
        if over < OVER_FLANGE {
            let least = Millimetres::new(flange + OVER_FLANGE);
            return Err(vec![PrintFault::SizeBeyond {
                what: "low edge of the seat over the base",
                size: asked.low,
                least,
                most: Millimetres::new(80.0),
            }]);
        }
        let (run, rise) = (length * angle.cos(), length * angle.sin());
        let screw = ScrewInPrint {
            thread: asked.screw,
            hole: ScrewHole::Clear,
            seat: HeadSeat::OnFace,
            face: HeadFace::Upper,
        };
        let hole_y = width / 2.0 + screw.head_diameter().get() / 2.0 + BESIDE_HEAD.length.get();
        let flange_width = hole_y - width / 2.0 + screw.reach();
        let beside = run / 2.0 - screw.hole_diameter().get() / 2.0;
        if beside < ROUND_HOLE.length.get() {
            return Err(vec![PrintFault::TooNear {
                what: format!("the hole of the {} screw and the edge of its flange", screw.thread.name),
                left: Millimetres::new(beside),
                mend: "make the seat longer, or take a smaller screw".to_owned(),
            }]);
        }
        let mut made = Self { asked: *asked, screw, run, rise, flange_width, hole_y, tunnel: None };
        if asked.hold == SeatHold::Tie {
            made.tunnel = Some(made.tunnel_at(flange).map_err(|fault| vec![fault])?);
        }
        Ok(made)
    }

    /// Where the tunnel goes: as far up the slope as leaves a wall in front, low over the flange.
    fn tunnel_at(&self, flange: f64) -> Result<[f64; 4], PrintFault> {
        let (long, high) = (TIE_LENGTH.length.get(), TIE_WIDTH.length.get());
        let to = self.run / 2.0 - WALL.length.get() - long * 0.5;
        let from = to - long;
        let floor = flange + OVER_FLANGE;
        let roof = self.seat_height(from) - (floor + high);
        if from < -self.run / 2.0 + WALL.length.get() || roof < WALL.length.get() {
            return Err(PrintFault::WallTooThin {
                what: "the roof of the tunnel for a tie".to_owned(),
                wall: Millimetres::new(roof),
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
    /// Width of the base with both flanges.
    pub fn base_width(&self) -> Millimetres {
        self.asked.seat_width + Millimetres::new(2.0 * self.flange_width)
    }
    /// How far its two holes are apart.
    pub fn hole_pitch(&self) -> Millimetres {
        Millimetres::new(2.0 * self.hole_y)
    }
    /// The side of the wedge without its flanges: x and z of its corners, counter-clockwise seen from the right.
    pub fn side(&self) -> [[f64; 2]; 4] {
        let half = self.run / 2.0;
        [[-half, 0.0], [half, 0.0], [half, self.seat_height(half)], [-half, self.seat_height(-half)]]
    }

    /// The solid.
    pub fn mesh(&self) -> Result<Mesh, PrintFault> {
        let p = PartPoint::new;
        let half = self.run / 2.0;
        let (inner, outer) = (self.asked.seat_width.get() / 2.0, self.base_width().get() / 2.0);
        let (flange, back, front) =
            (self.asked.flange.get(), self.seat_height(-half), self.seat_height(half));
        let mut faces = Faces::default();
        // One profile across the back (x = −half) and one across the front, from the right round to the left.
        let profile = |x: f64, top: f64| {
            [
                p(x, -outer, 0.0),
                p(x, outer, 0.0),
                p(x, outer, flange),
                p(x, inner, flange),
                p(x, inner, top),
                p(x, -inner, top),
                p(x, -inner, flange),
                p(x, -outer, flange),
            ]
        };
        let rear = faces.ring(profile(-half, back));
        let fore = faces.ring(profile(half, front));
        faces.face(&fore, &[]);
        faces.face(&rear.reversed(), &[]);
        let holes: Vec<(PointRing, PointRing)> = [self.hole_y, -self.hole_y]
            .map(|y| drill(&mut faces, PlanePoint::new(0.0, y), &self.screw, flange))
            .into();
        let tunnel = self.tunnel.map(|[from, to, floor, roof]| {
            let ring = |y: f64| [p(from, y, floor), p(to, y, floor), p(to, y, roof), p(from, y, roof)];
            // Seen from the right side (y = −inner) x runs to the right and z up.
            let (right, left) = (faces.ring(ring(-inner)), faces.ring(ring(inner)));
            faces.wall(&right, &left);
            (right, left)
        });
        // The faces along the wedge, by the edge of the profile they start from.
        let along = |edge: usize| {
            let next = (edge + 1) % 8;
            let (r, f) = (rear.points(), fore.points());
            PointRing::of([r[edge], f[edge], f[next], r[next]])
        };
        let (below, above): (Vec<_>, Vec<_>) = holes.iter().map(|(low, high)| (low, high)).unzip();
        let of_tunnel = |side: usize| {
            tunnel.iter().map(|(right, left)| if side == 0 { right } else { left }).collect::<Vec<_>>()
        };
        let cut: [Vec<&PointRing>; 8] = [
            below,
            Vec::new(),
            vec![above[0]],
            of_tunnel(1),
            Vec::new(),
            of_tunnel(0),
            vec![above[1]],
            Vec::new(),
        ];
        for (edge, holes) in cut.iter().enumerate() {
            faces.face(&along(edge).reversed(), holes);
        }
        Ok(faces.mesh()?)
    }
}

/// How far the low edge of a seat, or the floor of a tunnel, stands above the flanges.
const OVER_FLANGE: f64 = 0.3;

fn wall(what: &str, wall: Millimetres, mend: &str) -> Result<f64, PrintFault> {
    match wall >= WALL.length {
        true => Ok(wall.get()),
        false => Err(PrintFault::WallTooThin { what: what.to_owned(), wall, mend: mend.to_owned() }),
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn mm(value: f64) -> Millimetres {
        Millimetres::new(value)
    }

    fn asked(angle: f64) -> WedgeAsked {
        WedgeAsked {
            angle: Degrees::new(angle),
            seat_length: mm(16.0),
            seat_width: mm(14.0),
            low: mm(2.5),
            flange: mm(2.0),
            screw: Thread::named("M2").unwrap(),
            hold: SeatHold::Leaning,
        }
    }

    /// The volume by the closed form of the head.
    fn closed_form(wedge: &Wedge) -> f64 {
        let asked = wedge.asked();
        let body = asked.seat_width.get() * wedge.run * (asked.low.get() + wedge.rise / 2.0);
        let flanges = 2.0 * wedge.flange_width * wedge.run * asked.flange.get();
        let tunnel = if asked.hold == SeatHold::Tie { 3.0 * 1.6 * asked.seat_width.get() } else { 0.0 };
        body + flanges - 2.0 * wedge.screw.hollow_mm3(asked.flange) - tunnel
    }

    #[test]
    fn a_wedge_has_the_slope_asked_and_two_holes() {
        let wedge = Wedge::new(&asked(30.0)).unwrap();
        let mesh = wedge.mesh().unwrap();
        assert_eq!((mesh.handles(), mesh.pieces()), (2, 1));
        let expected = closed_form(&wedge);
        assert!((mesh.volume_mm3() - expected).abs() < 0.01, "{} {expected}", mesh.volume_mm3());
        let high = mesh.bounds().1;
        assert!(
            (high.z() - (2.5 + 8.0)).abs() < 1e-9
                && (2.0 * high.x() - 16.0 * 30f64.to_radians().cos()).abs() < 1e-9
        );
        let [back, _, front, low] = wedge.side();
        let slope = (front[1] - low[1]).atan2(front[0] - back[0]).to_degrees();
        assert!((slope - 30.0).abs() < 1e-9);
    }

    #[test]
    fn a_tie_goes_through_where_there_is_room() {
        let wedge = Wedge::new(&WedgeAsked { hold: SeatHold::Tie, ..asked(30.0) }).unwrap();
        let mesh = wedge.mesh().unwrap();
        assert_eq!(mesh.handles(), 3);
        assert!((mesh.volume_mm3() - closed_form(&wedge)).abs() < 0.01);
        let flat = Wedge::new(&WedgeAsked { hold: SeatHold::Tie, ..asked(5.0) }).unwrap_err();
        assert!(flat[0].to_string().starts_with("the roof of the tunnel for a tie is "), "{}", flat[0]);
    }

    #[test]
    fn angles_walls_and_sizes_out_of_bounds_are_told() {
        let told = |asked: WedgeAsked| {
            Wedge::new(&asked).unwrap_err().iter().map(ToString::to_string).collect::<Vec<_>>()
        };
        assert_eq!(
            told(WedgeAsked { flange: mm(0.5), ..asked(75.0) }),
            [
                "slope of the seat 75° must lie between 0° and 60°; check the sign and the number",
                "a flange is 0.5 mm, a printed wall must be at least 1.2 mm; make it thicker",
            ]
        );
        assert_eq!(told(asked(f64::NAN)).len(), 1);
        assert_eq!(
            told(WedgeAsked { low: mm(1.0), ..asked(20.0) }),
            ["low edge of the seat over the base 1 mm must lie between 2.3 mm and 80 mm"]
        );
        assert!(told(WedgeAsked { seat_length: mm(4.5), ..asked(20.0) })[0].contains("hole of the M2 screw"));
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(96))]
        #[test]
        fn every_wedge_is_closed_and_keeps_the_closed_form(
            angle in 0.0f64..60.0, length in 8.0f64..60.0, width in 4.0f64..50.0,
            flange in 1.2f64..5.0, over in 0.3f64..20.0, tie in prop::bool::ANY, big in prop::bool::ANY,
        ) {
            let asked = WedgeAsked {
                angle: Degrees::new(angle), seat_length: mm(length), seat_width: mm(width), low: mm(flange + over + 1e-9),
                flange: mm(flange), screw: Thread::named(if big { "M3" } else { "M2" }).unwrap(),
                hold: if tie { SeatHold::Tie } else { SeatHold::Leaning },
            };
            if let Ok(wedge) = Wedge::new(&asked) {
                let mesh = wedge.mesh().unwrap();
                prop_assert_eq!(mesh.handles(), if tie { 3 } else { 2 });
                let expected = closed_form(&wedge);
                // The polygon of a hole lacks some 0.0005 of the circle.
                let off = 2e-3 * wedge.screw.hollow_mm3(asked.flange);
                prop_assert!((mesh.volume_mm3() - expected).abs() < off, "{} {}", mesh.volume_mm3(), expected);
            }
        }
    }
}
