//! Adapter plates: turned where they must be, closed, of the right volume.

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
        board_middle: None,
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
            "the nearest screw heads are 0.09 mm apart turned by 0° as asked, must be 0.5 mm apart; leave the turn to the program"
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
        let (bore, wide, head) = (1.15f64, 2.05f64, 1.8);
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
            "the floor under the sunk head of the M2 screws is 0.2 mm, a printed wall must be at least 1.2 mm; make the plate 3 mm thick, or leave the heads on its face"
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
            board_middle: None,
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
