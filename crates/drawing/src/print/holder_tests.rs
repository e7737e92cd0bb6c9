//! Holders that hold: closed, of the right volume, with a hole for each thing that goes through.

use super::*;
use proptest::prelude::*;

fn mm(value: f64) -> Millimetres {
    Millimetres::new(value)
}

fn screws(x: f64, y: f64) -> Vec<Fixing> {
    let by = FixedBy::Screw(Thread::named("M3").unwrap());
    [y, -y].map(|y| Fixing { at: PlanePoint::new(x, y), by }).into()
}

fn asked(lean: f64, grip: Grip) -> HolderAsked {
    HolderAsked {
        stem: mm(4.0),
        lean: Degrees::new(lean),
        tube_length: mm(6.0),
        base: mm(2.0),
        lead: mm(1.2),
        tie_behind: mm(6.5),
        grip,
        fixings: screws(16.0, 10.0),
    }
}

/// Base less holes, plus the tube above it: its section times its length along the axis, less the slit.
fn closed_form(holder: &Holder) -> f64 {
    let outline = holder.outline();
    let area: f64 =
        outline.iter().zip(outline.iter().cycle().skip(1)).map(|(a, b)| a.x * b.y - a.y * b.x).sum::<f64>()
            / 2.0;
    let (base, cos) = (holder.asked.base.get(), holder.lean.cos());
    let slot = 1.6 * 1.4 + PI * 0.8 * 0.8;
    let fixings: f64 = holder.asked.fixings.iter().map(|f| PI * (f.by.hole() / 2.0).powi(2)).sum();
    let mouth = PI * holder.bore.powi(2) / cos;
    let above = holder.axis_length - base / cos;
    let ring = PI * (holder.outer.powi(2) - holder.bore.powi(2));
    // The slit: between two chords of half width h, from bore to outer.
    let part = |r: f64| {
        let h: f64 = holder.half_slit();
        h * (r * r - h * h).sqrt() + r * r * (h / r).asin()
    };
    let slit = part(holder.outer) - part(holder.bore);
    // The foot of the tube is level and its end at right angles, so in front, where the slit is, it is longer
    // by x·tan λ; the sum of x over the slit is h·(R² − r²).
    let longer = holder.lean.tan() * holder.half_slit() * (holder.outer.powi(2) - holder.bore.powi(2));
    let cut = if holder.asked.grip == Grip::Clamp { slit * above + longer } else { 0.0 };
    base * (area - 2.0 * slot - fixings - mouth) + ring * above - cut
}

#[test]
fn a_plain_tube_has_its_bore_two_slots_and_two_holes() {
    for lean in [0.0, 30.0, 60.0] {
        let holder = Holder::new(&asked(lean, Grip::Tube)).unwrap();
        let mesh = holder.mesh().unwrap();
        assert_eq!((mesh.handles(), mesh.pieces()), (5, 1));
        let expected = closed_form(&holder);
        assert!((mesh.volume_mm3() - expected).abs() < 3e-3 * expected, "{} {expected}", mesh.volume_mm3());
    }
}

#[test]
fn a_clamp_is_slit_down_its_front_and_whole_below() {
    for lean in [0.0, 30.0, 55.0] {
        let holder = Holder::new(&asked(lean, Grip::Clamp)).unwrap();
        let mesh = holder.mesh().unwrap();
        assert_eq!((mesh.handles(), mesh.pieces()), (5, 1));
        let expected = closed_form(&holder);
        assert!((mesh.volume_mm3() - expected).abs() < 3e-3 * expected, "{} {expected}", mesh.volume_mm3());
        let whole = Holder::new(&asked(lean, Grip::Tube)).unwrap().mesh().unwrap();
        assert!(mesh.volume_mm3() < whole.volume_mm3());
    }
}

#[test]
fn a_threaded_socket_goes_through_a_wall_over_a_hexagon() {
    for lean in [0.0, 30.0, 55.0] {
        let asked = HolderAsked { stem: mm(6.35), ..asked(lean, Grip::Socket { flats: mm(7.94) }) };
        let holder = Holder::new(&asked).unwrap();
        let mesh = holder.mesh().unwrap();
        assert_eq!((mesh.handles(), mesh.pieces()), (5, 1));
        // Solid, then the hexagon of 8.24 mm across flats below the wall of 2.5 mm, and the hole of 6.65 mm through that.
        let hexagon = 2.0 * 3f64.sqrt() * 4.12 * 4.12;
        let hollow = hexagon * (holder.axis_length - 2.5) + PI * 3.325 * 3.325 * 2.5;
        let ring = PI * (holder.outer.powi(2) - holder.bore.powi(2));
        let above = holder.axis_length - 2.0 / holder.lean.cos();
        let solid = closed_form(&holder)
            + 2.0 * PI * holder.bore.powi(2) / holder.lean.cos()
            + (PI * holder.outer.powi(2) - ring) * above;
        let expected = solid - hollow;
        assert!((mesh.volume_mm3() - expected).abs() < 4e-3 * expected, "{} {expected}", mesh.volume_mm3());
    }
}

#[test]
fn the_tie_lies_behind_the_plug_as_custom_asks() {
    let holder = Holder::new(&asked(30.0, Grip::Clamp)).unwrap();
    let rim = 2.15 / 30f64.to_radians().cos();
    for [from, to] in holder.tie_slots() {
        let middle = (from.x + to.x) / 2.0 - rim;
        assert!((5.0..=8.0).contains(&middle), "{middle}");
    }
    let top = holder.stem_leaves_at();
    // The tube leaves the base at the lean that was asked for.
    assert!(((-top.x()).atan2(top.z()).to_degrees() - 30.0).abs() < 1e-9);
}

#[test]
fn what_cannot_hold_is_told() {
    let told = |asked: HolderAsked| {
        Holder::new(&asked).unwrap_err().iter().map(ToString::to_string).collect::<Vec<_>>()
    };
    assert_eq!(
        told(HolderAsked { tie_behind: mm(3.0), fixings: Vec::new(), ..asked(70.0, Grip::Clamp) }),
        [
            "lean 70° must lie between 0° and 60°; check the sign and the number",
            "tie behind the plug 3 mm must lie between 5 mm and 8 mm",
            "the holder has no fixing hole: name a standoff or a screw that holds it",
        ]
    );
    let crowded = told(HolderAsked { fixings: screws(9.0, 3.0), ..asked(30.0, Grip::Clamp) });
    assert!(crowded[0].starts_with("a fixing hole and a slot for the tie: "), "{crowded:?}");
    let astray = told(HolderAsked { fixings: screws(f64::NAN, 3.0), ..asked(30.0, Grip::Clamp) });
    assert!(!astray.is_empty());
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(96))]
    #[test]
    fn every_holder_is_closed_with_a_hole_for_each_thing_through_it(
        stem in 1.2f64..12.0, lean in 0.0f64..60.0, tube in 3.0f64..30.0, base in 1.2f64..6.0, lead in 0.5f64..4.0,
        behind in 5.0f64..8.0, clamp in prop::bool::ANY, x in 10.0f64..40.0, y in 4.0f64..20.0, post in prop::option::of(3.0f64..8.0),
    ) {
        let mut asked = HolderAsked {
            stem: mm(stem), lean: Degrees::new(lean), tube_length: mm(tube), base: mm(base), lead: mm(lead), tie_behind: mm(behind),
            grip: if clamp { Grip::Clamp } else { Grip::Tube }, fixings: screws(x, y),
        };
        if let Some(post) = post {
            asked.fixings = vec![Fixing { at: PlanePoint::new(x, 0.0), by: FixedBy::Standoff(mm(post)) }];
        }
        if let Ok(holder) = Holder::new(&asked) {
            let mesh = holder.mesh().unwrap();
            prop_assert_eq!(mesh.handles(), 3 + asked.fixings.len() as i64);
            let expected = closed_form(&holder);
            prop_assert!((mesh.volume_mm3() - expected).abs() < 3e-3 * expected, "{} {}", mesh.volume_mm3(), expected);
        }
    }
}
