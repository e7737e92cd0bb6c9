//! Solids for the tests of the writers: a unit cube and one of each kind of print.
#![allow(clippy::unwrap_used)]

use super::*;
use fit::{Faces, HolePattern, Mesh, PartPoint, PlanePoint, Thread};
use quantity::{Degrees, Millimetres};

fn mm(value: f64) -> Millimetres {
    Millimetres::new(value)
}

pub(super) fn unit_cube() -> Mesh {
    let mut faces = Faces::default();
    let square = [[0.0, 0.0], [1.0, 0.0], [1.0, 1.0], [0.0, 1.0]];
    let low = faces.ring(square.map(|[x, y]| PartPoint::new(x, y, 0.0)));
    let high = faces.ring(square.map(|[x, y]| PartPoint::new(x, y, 1.0)));
    faces.wall(&low, &high);
    faces.face(&high, &[]);
    faces.face(&low.reversed(), &[]);
    faces.mesh().unwrap()
}

pub(super) fn adapter() -> AdapterPlate {
    let side = |pitch: f64, thread: &str, face, seat| AdapterSide {
        holes: HolePattern::square(PlanePoint::default(), mm(pitch), mm(2.0), Degrees::new(0.0)),
        screw: ScrewInPrint { seat, ..ScrewInPrint::plain(Thread::named(thread).unwrap(), face) },
    };
    let asked = AdapterAsked {
        frame: side(30.5, "M3", HeadFace::Upper, HeadSeat::Cone),
        board: side(20.0, "M2", HeadFace::Lower, HeadSeat::Pocket),
        thickness: mm(4.0),
        turn: None,
        board_middle: None,
    };
    AdapterPlate::new(&asked).unwrap()
}

pub(super) fn wedge() -> Wedge {
    let asked = WedgeAsked {
        angle: Degrees::new(25.0),
        seat_length: mm(18.0),
        seat_width: mm(14.0),
        low: mm(3.0),
        floor: mm(2.0),
        screw: Thread::named("M2").unwrap(),
        base: WedgeBase::Flanges,
        hold: SeatHold::Tie,
    };
    Wedge::new(&asked).unwrap()
}

pub(super) fn cheeks() -> Cheeks {
    let asked = CheeksAsked {
        camera_width: mm(14.0),
        slot_width: mm(19.0),
        camera_height: mm(14.0),
        behind: mm(7.0),
        ahead: mm(5.0),
        screw: Thread::named("M2").unwrap(),
        rims: Rims::Over(mm(1.0)),
    };
    Cheeks::new(&asked).unwrap()
}

pub(super) fn holder() -> Holder {
    let by = FixedBy::Screw(Thread::named("M3").unwrap());
    let asked = HolderAsked {
        stem: mm(4.0),
        lean: Degrees::new(30.0),
        tube_length: mm(6.0),
        base: mm(2.0),
        lead: mm(1.2),
        tie_behind: mm(6.5),
        grip: Grip::Clamp,
        fixings: [10.0, -10.0].map(|y| Fixing { at: PlanePoint::new(16.0, y), by }).into(),
    };
    Holder::new(&asked).unwrap()
}

pub(super) fn some_of_each() -> Vec<(String, Mesh)> {
    let all = [
        ("adapter", adapter().mesh()),
        ("wedge", wedge().mesh()),
        ("cheeks", cheeks().mesh()),
        ("holder", holder().mesh()),
    ];
    all.into_iter().map(|(name, mesh)| (name.to_owned(), mesh.unwrap())).collect()
}
