//! An adapter plate: the holes of a frame and the holes of a board in one printed plate.
//!
//! The frame's screws come from above, the board's from below, or either may cut into the plate. The board's
//! holes are turned about their own middle against the frame's so far that no two screw heads meet; if they
//! do not meet as they lie, they stay. The outline is the convex line round all holes with
//! [`ROUND_HOLE`](super::custom::ROUND_HOLE) of material, and enough for each head to lie on.
//!
//! The plate's frame has its origin in the middle of the frame's holes, at the lower face. Left out: windows to save
//! mass, and slots: a slot counts as a hole at its middle.

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
        } else if let Err(fault) = within("thickness", asked.thickness, WALL.length.get(), 20.0) {
            faults.push(fault);
        }
        for side in [&asked.frame, &asked.board] {
            faults.extend(side.screw.check_floor(asked.thickness).err());
        }
        let holes = |side: &AdapterSide, whose: &str, faults: &mut Vec<PrintFault>| {
            let points: Vec<PlanePoint> = side.holes.holes.iter().map(middle).collect();
            faults.extend(holes_fault(&points, whose));
            centred(points)
        };
        let frame = holes(&asked.frame, "frame", &mut faults);
        let board = holes(&asked.board, "board", &mut faults);
        if !faults.is_empty() {
            return Err(faults);
        }
        let (turn, head_gap) = turn_of(asked, &frame, &board).map_err(|fault| vec![fault])?;
        let rotor = turn.get().to_radians().sin_cos();
        let board: Vec<PlanePoint> = board
            .iter()
            .map(|p| PlanePoint::new(p.x * rotor.1 - p.y * rotor.0, p.x * rotor.0 + p.y * rotor.1))
            .collect();
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
    /// The holes over the frame's, about their own middle.
    pub fn frame_holes(&self) -> &[PlanePoint] {
        &self.frame
    }
    /// The holes under the board's, as turned.
    pub fn board_holes(&self) -> &[PlanePoint] {
        &self.board
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

/// The points about their own middle.
fn centred(points: Vec<PlanePoint>) -> Vec<PlanePoint> {
    let count = points.len().max(1) as f64;
    let (x, y) = points.iter().fold((0.0, 0.0), |(x, y), p| (x + p.x / count, y + p.y / count));
    points.into_iter().map(|p| PlanePoint::new(p.x - x, p.y - y)).collect()
}

fn holes_fault(points: &[PlanePoint], whose: &str) -> Option<PrintFault> {
    let usable = |p: &PlanePoint| p.x.abs() <= REACH_MAX && p.y.abs() <= REACH_MAX;
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
) -> Result<(Degrees, Millimetres), PrintFault> {
    let pattern = |points: &[PlanePoint], side: &AdapterSide| {
        let diameter = side.screw.hole_diameter();
        HolePattern {
            holes: points.iter().map(|at| MountHole { at: *at, slot_to: None, diameter }).collect(),
        }
    };
    let (first, second) = (pattern(board, &asked.board), pattern(frame, &asked.frame));
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
mod tests {
    use super::*;
    use crate::print::bore::{HeadFace, ScrewHole};
    use fit::Thread;
    use proptest::prelude::*;

    fn mm(value: f64) -> Millimetres {
        Millimetres::new(value)
    }

    fn side(pitch: f64, thread: &str, face: HeadFace, seat: HeadSeat) -> AdapterSide {
        let screw = ScrewInPrint { seat, ..ScrewInPrint::plain(Thread::named(thread).unwrap(), face) };
        let holes = HolePattern::square(PlanePoint::default(), mm(pitch), mm(1.0), Degrees::new(0.0));
        AdapterSide { holes, screw }
    }

    fn asked(frame: (f64, &str), board: (f64, &str)) -> AdapterAsked {
        AdapterAsked {
            frame: side(frame.0, frame.1, HeadFace::Upper, HeadSeat::OnFace),
            board: side(board.0, board.1, HeadFace::Lower, HeadSeat::OnFace),
            thickness: mm(3.0),
            turn: None,
        }
    }

    fn told(asked: &AdapterAsked) -> Vec<String> {
        AdapterPlate::new(asked).unwrap_err().iter().map(ToString::to_string).collect()
    }

    #[test]
    fn patterns_whose_heads_clear_are_not_turned() {
        let plate = AdapterPlate::new(&asked((30.5, "M3"), (20.0, "M2"))).unwrap();
        assert_eq!(plate.turn(), Degrees::new(0.0));
        // (30.5 - 20)/2·√2 less both radii of 5.7 and 3.8 mm heads.
        assert!((plate.head_gap().get() - (5.25 * 2f64.sqrt() - 4.75)).abs() < 1e-9);
        let mesh = plate.mesh().unwrap();
        assert_eq!((mesh.handles(), mesh.pieces()), (8, 1));
        // Equal reaches would give a square hull; the inner holes lie inside it. Reach 3.15 round 30.5.
        let (rho, p) = (3.15, 30.5);
        let area = p * p + 4.0 * p * rho + std::f64::consts::PI * rho * rho;
        let holes = 4.0 * std::f64::consts::PI * (1.65f64.powi(2) + 1.15f64.powi(2));
        let expected = (area - holes) * 3.0;
        assert!((mesh.volume_mm3() - expected).abs() < 3e-4 * expected, "{} {expected}", mesh.volume_mm3());
    }

    #[test]
    fn patterns_whose_heads_meet_are_turned_until_they_clear() {
        let plate = AdapterPlate::new(&asked((25.5, "M2"), (20.0, "M2"))).unwrap();
        assert_eq!(plate.turn(), Degrees::new(45.0));
        assert_eq!(plate.mesh().unwrap().handles(), 8);
        let coincide = AdapterPlate::new(&asked((20.0, "M2"), (20.0, "M2"))).unwrap();
        assert_eq!(coincide.turn(), Degrees::new(45.0));
    }

    #[test]
    fn a_turn_that_was_asked_for_is_kept_or_refused() {
        let kept = AdapterAsked { turn: Some(Degrees::new(30.0)), ..asked((30.5, "M3"), (20.0, "M2")) };
        assert_eq!(AdapterPlate::new(&kept).unwrap().turn(), Degrees::new(30.0));
        let meets = AdapterAsked { turn: Some(Degrees::new(0.0)), ..asked((25.5, "M2"), (20.0, "M2")) };
        assert_eq!(
            told(&meets),
            [
                "the nearest screw heads are 0.09 mm apart turned by 0° as asked, must be 0.5 mm apart; leave the turn to the program, or sink the heads"
            ]
        );
    }

    #[test]
    fn sunk_heads_take_out_a_cone_or_a_pocket() {
        for seat in [HeadSeat::Cone, HeadSeat::Pocket] {
            let mut wanted = asked((30.5, "M3"), (20.0, "M2"));
            wanted.thickness = mm(4.0);
            wanted.board.screw.seat = seat;
            let plate = AdapterPlate::new(&wanted).unwrap();
            let plain =
                AdapterPlate::new(&AdapterAsked { thickness: mm(4.0), ..asked((30.5, "M3"), (20.0, "M2")) })
                    .unwrap();
            let (bore, wide, head) = (1.15f64, 2.05f64, 1.3);
            let taken = match seat {
                HeadSeat::Pocket => head * (wide * wide - bore * bore),
                _ => (wide - bore) * ((wide * wide + wide * bore + bore * bore) / 3.0 - bore * bore),
            } * std::f64::consts::PI
                * 4.0;
            let (sunk, whole) = (plate.mesh().unwrap(), plain.mesh().unwrap());
            assert_eq!(sunk.handles(), 8);
            let lost = whole.volume_mm3() - sunk.volume_mm3();
            assert!((lost - taken).abs() < 2e-3 * taken, "{lost} {taken}");
        }
        let mut thin = asked((30.5, "M3"), (20.0, "M2"));
        thin.thickness = mm(2.0);
        thin.board.screw.seat = HeadSeat::Pocket;
        assert_eq!(
            told(&thin),
            [
                "the floor under the sunk head of the M2 screws is 0.7 mm, a printed wall must be at least 1.2 mm; make the plate 2.5 mm thick, or leave the heads on its face"
            ]
        );
    }

    #[test]
    fn what_cannot_be_printed_is_told_at_once() {
        let mut bad = asked((30.5, "M3"), (20.0, "M2"));
        bad.thickness = mm(0.8);
        bad.board.holes = HolePattern::default();
        assert_eq!(
            told(&bad),
            [
                "the plate is 0.8 mm, a printed wall must be at least 1.2 mm; make it thicker",
                "the board has 0 holes: an adapter needs at least two to hold it",
            ]
        );
        let mut wild = asked((30.5, "M3"), (20.0, "M2"));
        wild.board.holes.holes[0].at = PlanePoint::new(f64::NAN, 0.0);
        assert_eq!(told(&wild), ["a hole of the board lies more than 200 mm away; check the numbers"]);
        assert_eq!(told(&asked((8.0, "M3"), (6.0, "M3"))).len(), 1);
    }

    #[test]
    fn a_self_cut_hole_is_narrower_than_its_screw() {
        let mut wanted = asked((30.5, "M3"), (20.0, "M2"));
        wanted.board.screw.hole = ScrewHole::SelfCut;
        let plate = AdapterPlate::new(&wanted).unwrap();
        assert!((plate.screws()[1].hole_diameter().get() - 1.8).abs() < 1e-12);
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(96))]
        #[test]
        fn every_plate_is_closed_with_a_hole_for_each_screw(
            outer in 14.0f64..60.0, inner in 0.2f64..0.98, thick in 1.2f64..8.0, big in prop::bool::ANY,
            turn in prop::option::of(-180.0f64..180.0), seats in 0usize..9, count in 2usize..7,
        ) {
            let seat = |n: usize| [HeadSeat::OnFace, HeadSeat::Cone, HeadSeat::Pocket][n % 3];
            let thread = if big { "M3" } else { "M2" };
            let mut wanted = AdapterAsked {
                frame: side(outer, thread, HeadFace::Upper, seat(seats)),
                board: side(outer * inner, "M2", HeadFace::Lower, seat(seats / 3)),
                thickness: mm(thick),
                turn: turn.map(Degrees::new),
            };
            // A ring of any count of holes, off its middle.
            wanted.board.holes.holes = (0..count).map(|k| {
                let angle = k as f64 * std::f64::consts::TAU / count as f64;
                let at = PlanePoint::new(7.0 + outer * inner / 2.0 * angle.cos(), outer * inner / 2.0 * angle.sin());
                MountHole { at, slot_to: None, diameter: mm(2.0) }
            }).collect();
            if let Ok(plate) = AdapterPlate::new(&wanted) {
                let mesh = plate.mesh().unwrap();
                prop_assert_eq!(mesh.handles(), 4 + count as i64);
                let hull: f64 = plate.outline().iter().zip(plate.outline().iter().cycle().skip(1))
                    .map(|(a, b)| a.x * b.y - a.y * b.x).sum::<f64>() / 2.0;
                let hollow = 4.0 * plate.screws()[0].hollow_mm3(mm(thick)) + count as f64 * plate.screws()[1].hollow_mm3(mm(thick));
                let expected = hull * thick - hollow;
                prop_assert!((mesh.volume_mm3() - expected).abs() < 3e-3 * hollow, "{} {}", mesh.volume_mm3(), expected);
                prop_assert!(plate.head_gap() >= HEAD_SPARE);
            }
        }
    }
}
