//! Wedges that hold: the slope asked, closed, of the right volume.

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
        floor: mm(2.0),
        screw: Thread::named("M2").unwrap(),
        base: WedgeBase::Flanges,
        hold: SeatHold::Leaning,
    }
}

/// The volume by the closed form of the head.
fn closed_form(wedge: &Wedge) -> f64 {
    let asked = wedge.asked();
    let body = asked.seat_width.get() * wedge.run * (asked.low.get() + wedge.rise / 2.0);
    let flanges = 2.0 * wedge.flange_width * wedge.run * asked.floor.get();
    let tunnel = if asked.hold == SeatHold::Tie { 3.0 * 1.6 * asked.seat_width.get() } else { 0.0 };
    body + flanges - 2.0 * wedge.screw.hollow_mm3(asked.floor) - tunnel
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
    assert!(
        flat[0].to_string().starts_with("the thinnest wall round the tunnel for a tie is "),
        "{}",
        flat[0]
    );
}

#[test]
fn angles_walls_and_sizes_out_of_bounds_are_told() {
    let told = |asked: WedgeAsked| {
        Wedge::new(&asked).unwrap_err().iter().map(ToString::to_string).collect::<Vec<_>>()
    };
    assert_eq!(
        told(WedgeAsked { floor: mm(0.5), ..asked(75.0) }),
        [
            "slope of the seat 75° must lie between 0° and 60°; check the sign and the number",
            "the floor under the screw heads is 0.5 mm, a printed wall must be at least 1.2 mm; make it thicker",
        ]
    );
    assert_eq!(told(asked(f64::NAN)).len(), 1);
    assert_eq!(
        told(WedgeAsked { low: mm(1.0), ..asked(20.0) }),
        ["low edge of the seat over the base 1 mm must lie between 2.3 mm and 80 mm"]
    );
    assert!(told(WedgeAsked { seat_length: mm(4.5), ..asked(20.0) })[0].contains("hole of the M2 screw"));
}

#[test]
fn heads_sunk_in_the_seat_need_no_flanges() {
    let sunk = WedgeAsked { base: WedgeBase::ThroughSeat, low: mm(3.0), floor: mm(1.5), ..asked(20.0) };
    let wedge = Wedge::new(&sunk).unwrap();
    assert_eq!(wedge.base_width(), mm(14.0));
    let mesh = wedge.mesh().unwrap();
    assert_eq!((mesh.handles(), mesh.pieces()), (2, 1));
    // The pockets stand under the middle of the seat, where it is as high as on average.
    let height = 3.0 + wedge.rise / 2.0;
    let pocket = std::f64::consts::PI * (2.05f64.powi(2) * (height - 1.5) + 1.15f64.powi(2) * 1.5);
    let expected = 14.0 * wedge.run * height - 2.0 * pocket;
    assert!((mesh.volume_mm3() - expected).abs() < 0.1, "{} {expected}", mesh.volume_mm3());
    let low = Wedge::new(&WedgeAsked { low: mm(0.5), ..sunk }).unwrap_err();
    assert!(
        low[0].to_string().starts_with("low edge of the seat over the base 0.5 mm must lie"),
        "{}",
        low[0]
    );
    let narrow = Wedge::new(&WedgeAsked { seat_width: mm(5.0), seat_length: mm(8.0), ..sunk }).unwrap_err();
    assert!(narrow[0].to_string().starts_with("the wall beside a head sunk"), "{}", narrow[0]);
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
            floor: mm(flange), base: WedgeBase::Flanges, screw: Thread::named(if big { "M3" } else { "M2" }).unwrap(),
            hold: if tie { SeatHold::Tie } else { SeatHold::Leaning },
        };
        if let Ok(wedge) = Wedge::new(&asked) {
            let mesh = wedge.mesh().unwrap();
            prop_assert_eq!(mesh.handles(), if tie { 3 } else { 2 });
            let expected = closed_form(&wedge);
            // The polygon of a hole lacks some 0.0005 of the circle.
            let off = 2e-3 * wedge.screw.hollow_mm3(asked.floor);
            prop_assert!((mesh.volume_mm3() - expected).abs() < off, "{} {}", mesh.volume_mm3(), expected);
        }
    }

    #[test]
    fn every_wedge_with_sunk_heads_is_closed(
        angle in 0.0f64..60.0, length in 8.0f64..60.0, width in 6.0f64..50.0, floor in 1.2f64..5.0,
        low in 1.2f64..12.0, tie in prop::bool::ANY,
    ) {
        let asked = WedgeAsked {
            angle: Degrees::new(angle), seat_length: mm(length), seat_width: mm(width), low: mm(low), floor: mm(floor),
            screw: Thread::named("M2").unwrap(), base: WedgeBase::ThroughSeat,
            hold: if tie { SeatHold::Tie } else { SeatHold::Leaning },
        };
        if let Ok(wedge) = Wedge::new(&asked) {
            prop_assert_eq!(wedge.mesh().unwrap().handles(), if tie { 3 } else { 2 });
        }
    }
}
