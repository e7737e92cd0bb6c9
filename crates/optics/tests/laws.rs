//! Laws of lenses, rays, masks and shares, over projections and scenes drawn at random.
#![allow(clippy::unwrap_used)]

mod scenes;

use optics::{
    Clearing, Direction, Lens, Mask, Movement, Occluder, PicturePoint, Pixel, Placement, Point, Projection,
    SHARE_ERROR, Scene, Wanted, least_shift, least_turn, mask, share_of, shares,
};
use proptest::prelude::*;
use quantity::{Degrees, Millimetres, Percent};
use scenes::*;

/// How much of the lit picture the solids fill, in per cent, by counting the pixels of a mask.
struct Counts {
    solids: Vec<f64>,
    all: f64,
}

impl Counts {
    fn of(mask: &Mask, scene: &Scene) -> Self {
        let (mut solids, mut lit) = (vec![0.0; scene.len()], 0.0);
        for pixel in mask.iter() {
            lit += f64::from(u8::from(pixel != Pixel::Dark));
            if let Pixel::Solid(n) = pixel {
                solids[n] += 1.0;
            }
        }
        solids.iter_mut().for_each(|count| *count *= 100.0 / lit);
        Self { all: solids.iter().sum(), solids }
    }
}

/// What a search aims under the limit, and as much again for its rough shares.
const ROUGHLY: f64 = 2.0 * SHARE_ERROR.get();

fn mirrored(occluder: &Occluder, [origin, axes]: &[Vec<[f64; 3]>; 2]) -> Occluder {
    let flip = |[x, y, z]: [f64; 3]| [x, -y, z];
    let [ox, oy, oz] = flip(origin[0]);
    // A mirrored frame is left-handed; both shapes are their own mirror image along y, so y may turn round.
    let [a, b, c] = [flip(axes[0]), flip(axes[1]).map(|v| -v), flip(axes[2])];
    let axes = [a, b, c].map(|[x, y, z]| Direction::new(x, y, z).unwrap());
    let placement = Placement::turned(Point::new(ox, oy, oz), axes).unwrap();
    Occluder { shape: occluder.shape.clone(), placement }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(128))]

    #[test]
    fn a_pixel_looks_where_it_is_seen(which in 0..5usize, f in 1.2..3.0f64, x in 0.0..1280.0f64, y in 0.0..720.0f64) {
        let view = optics::View::new(lens(which, f), area(3.84, 2.16), 1280, 720).unwrap();
        let at = PicturePoint { across: x, down: y };
        if let Some(ray) = view.ray(at) {
            let back = view.place_of(ray).unwrap();
            prop_assert!((back.across - x).hypot(back.down - y) < 1e-6, "{back:?} against {at:?}");
        }
    }

    #[test]
    fn the_radius_grows_with_the_angle_and_the_angle_comes_back(which in 0..5usize, f in 0.5..5.0f64, angle in 0.01..89.0f64,
                                                                more in 0.01..0.9f64) {
        let lens = lens(which, f);
        let (near, far) = (lens.radius(Degrees::new(angle)).unwrap(), lens.radius(Degrees::new(angle + more)).unwrap());
        prop_assert!(near < far);
        prop_assert!((lens.angle(near).unwrap().get() - angle).abs() < 1e-7);
    }

    #[test]
    fn near_the_axis_all_projections_agree(which in 0..4usize, f in 0.5..5.0f64, angle in 0.001..0.1f64) {
        let radius = lens(which, f).radius(Degrees::new(angle)).unwrap().get();
        prop_assert!((radius / (f * angle.to_radians()) - 1.0).abs() < 2e-6);
    }

    #[test]
    fn a_mask_is_what_each_pixel_finds_by_itself(which in 0..5usize, solids in prop::collection::vec(solid(), 1..8)) {
        let (view, scene) = (view(which, 160), Scene::new(solids));
        let mask = mask(&view, &scene);
        let mut differ = 0;
        for y in 0..90 {
            for x in 0..160 {
                let ray = view.ray(PicturePoint { across: f64::from(x) + 0.5, down: f64::from(y) + 0.5 });
                let slow = match ray {
                    None => Pixel::Dark,
                    Some(ray) => scene.nearest(ray).map_or(Pixel::Clear, |(n, _)| Pixel::Solid(n)),
                };
                differ += usize::from(mask.at(x, y) != Some(slow));
            }
        }
        // The tables of rays are good to 1e-7: a pixel whose middle lies on an edge may fall either way.
        prop_assert!(differ <= 2, "{differ} pixels differ");
    }

    #[test]
    fn a_larger_disc_never_fills_less(which in 0..5usize, radius in 10.0..70.0f64, more in 0.1..10.0f64, tilt in -0.2..0.6f64) {
        let share = |radius: f64| shares(&view(which, 1280), &Scene::new(vec![front_disc(radius, 75.0, tilt)])).of(0);
        prop_assert!(share(radius + more).get() >= share(radius).get() - SHARE_ERROR.get());
    }

    #[test]
    fn a_mirrored_craft_gives_a_mirrored_picture(which in 0..5usize, form in 0..2usize, yaw in -3.0..3.0f64, roll in -3.0..3.0f64,
                                                 place in [20.0..60.0f64, -50.0..50.0f64, -40.0..40.0f64]) {
        let axes = axes(yaw, roll);
        let placement = Placement::turned(Point::new(place[0], place[1], place[2]), axes).unwrap();
        let solid = if form == 0 { cuboid([30.0, 8.0, 5.0], placement) } else { cylinder(18.0, 6.0, placement) };
        let frame = [vec![place], axes.iter().map(|axis| axis.coordinates()).collect()];
        let (one, other) = (Scene::new(vec![solid.clone()]), Scene::new(vec![mirrored(&solid, &frame)]));
        let view = view(which, 160);
        let (a, b) = (mask(&view, &one), mask(&view, &other));
        let differ = (0..90).flat_map(|y| (0..160).map(move |x| (x, y)))
            .filter(|(x, y)| a.at(*x, *y) != b.at(159 - x, *y)).count();
        prop_assert!(differ <= 1, "{differ} pixels differ");
        let (a, b) = (shares(&view, &one), shares(&view, &other));
        prop_assert!((a.of(0).get() - b.of(0).get()).abs() < 0.01);
        let (a, b) = (a.by_ninth(|_| true), b.by_ninth(|_| true));
        for (n, share) in a.iter().enumerate() {
            let twin = 3 * (n / 3) + 2 - n % 3;
            prop_assert!((share.get() - b[twin].get()).abs() < 0.01);
        }
    }

    #[test]
    fn moving_there_and_back_changes_nothing(solid in solid(), by in 0.0..30.0f64, turn in -40.0..40.0f64,
                                             along in [-1.0..1.0f64, -1.0..1.0f64, 0.1..1.0f64], about in [-20.0..20.0f64, -20.0..20.0f64, -20.0..20.0f64]) {
        let scene = Scene::new(vec![solid]);
        let [x, y, z] = along;
        let along = Direction::new(x, y, z).unwrap();
        let there = Movement::Turn { about: Point::new(about[0], about[1], about[2]), axis: along, by: Degrees::new(turn) };
        let back = Movement::Turn { about: Point::new(about[0], about[1], about[2]), axis: along, by: Degrees::new(-turn) };
        let (far, home) = (Movement::Shift { along, by: mm(by) }, Movement::Shift { along: along.opposite(), by: mm(by) });
        let twice = scene.after(there).after(far).after(home).after(back);
        for ray in [Direction::FORWARD, Direction::LEFT, Direction::UP, along] {
            match (scene.nearest(ray), twice.nearest(ray)) {
                (Some((_, a)), Some((_, b))) => prop_assert!((a - b).abs().get() < 1e-6),
                (a, b) => prop_assert_eq!(a, b),
            }
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(32))]

    #[test]
    fn shares_are_what_a_dense_raster_counts(which in 0..5usize, solids in prop::collection::vec(solid(), 1..8)) {
        let (view, scene) = (view(which, 1280), Scene::new(solids));
        let (counts, shares) = (Counts::of(&mask(&view, &scene), &scene), shares(&view, &scene));
        let mut sum = 0.0;
        for n in 0..scene.len() {
            let share = shares.of(n).get();
            sum += share;
            prop_assert!((0.0..=100.0 + 1e-9).contains(&share));
            let raster = counts.solids[n];
            prop_assert!((share - raster).abs() < SHARE_ERROR.get(), "solid {n}: {share} against {raster}");
        }
        let first: Vec<bool> = (0..scene.len()).map(|n| n < 2).collect();
        prop_assert_eq!(share_of(&view, &scene, &first), shares.of_all(|n| n < 2));
        let all = shares.of_all(|_| true).get();
        prop_assert!((all - sum).abs() < 1e-9 && all <= 100.0 + SHARE_ERROR.get());
        prop_assert!((all - counts.all).abs() < SHARE_ERROR.get());
    }

    #[test]
    fn what_clears_clears_and_a_little_less_does_not(which in 0..5usize, tilt in -0.2..0.3f64, limit in 0.5..5.0f64) {
        let (view, scene) = (view(which, 1280), Scene::new(vec![front_disc(63.5, 75.0, tilt), front_disc(63.5, -75.0, tilt)]));
        let wanted = Wanted { counted: &[true, true], at_most: Percent::new(limit) };
        let share = |movement| shares(&view, &scene.after(movement)).of_all(|_| true).get();
        let pivot = Point::new(-15.0, 0.0, 0.0);
        let axis = Direction::LEFT.opposite();
        let turned = |by: f64| share(Movement::Turn { about: pivot, axis, by: Degrees::new(by) });
        match least_turn(&view, &scene, wanted, (pivot, axis), Degrees::new(40.0)) {
            Clearing::Already => prop_assert!(turned(0.0) <= limit),
            Clearing::By(by) => {
                prop_assert!(turned(by.get()) <= limit && turned(0.0) > limit);
                prop_assert!(turned((by.get() - 0.11).max(0.0)) > limit - ROUGHLY);
            }
            Clearing::Never { least } => prop_assert!(least.get() > limit - ROUGHLY && least.get() <= turned(0.0)),
        }
        let shifted = |by: f64| share(Movement::Shift { along: Direction::FORWARD, by: mm(by) });
        match least_shift(&view, &scene, wanted, Direction::FORWARD, mm(30.0)) {
            Clearing::Already => prop_assert!(shifted(0.0) <= limit),
            Clearing::By(by) => prop_assert!(shifted(by.get()) <= limit && shifted((by.get() - 0.11).max(0.0)) > limit - ROUGHLY),
            Clearing::Never { least } => prop_assert!(least.get() > limit - ROUGHLY),
        }
    }
}

#[test]
fn a_whole_craft_is_shared_out_as_a_dense_raster_counts_it() {
    for which in 0..5 {
        for tilt in [0.3] {
            let (view, scene) = (view(which, 1280), craft(tilt));
            let (counts, shares) = (Counts::of(&mask(&view, &scene), &scene), shares(&view, &scene));
            for n in 0..scene.len() {
                let (share, raster) = (shares.of(n).get(), counts.solids[n]);
                assert!(
                    (share - raster).abs() < SHARE_ERROR.get(),
                    "lens {which}, tilt {tilt}, solid {n}: {share} against {raster}"
                );
            }
            let (all, raster) = (shares.of_all(|_| true).get(), counts.all);
            assert!((all - raster).abs() < SHARE_ERROR.get(), "lens {which}: {all} against {raster}");
        }
    }
}

#[test]
fn an_eye_inside_a_solid_sees_nothing_else() {
    let scene = Scene::new(vec![
        cuboid([10.0, 10.0, 10.0], at(0.0, 0.0, 0.0)),
        cylinder(3.0, 2.0, at(2.0, 0.0, 0.0)),
    ]);
    let shares = shares(&view(1, 320), &scene);
    assert!((shares.of_all(|_| true).get() - 100.0).abs() < 1e-9);
}

#[test]
fn beyond_the_image_circle_it_is_dark() {
    let lens = Lens::new(Projection::Equidistant, mm(2.1)).unwrap().with_image_circle(mm(3.0)).unwrap();
    let view = optics::View::new(lens, area(3.84, 2.16), 1280, 720).unwrap();
    let corner = view.ray(PicturePoint { across: 5.0, down: 5.0 });
    assert_eq!(corner, None);
    let none = Scene::default();
    // A circle of diameter 3 cut off at ±1.08: its area less two caps.
    let (r, h) = (1.5f64, 1.08f64);
    let cap = r * r * (h / r).acos() - h * (r * r - h * h).sqrt();
    let lit = 100.0 * (std::f64::consts::PI * r * r - 2.0 * cap) / (3.84 * 2.16);
    assert!((shares(&view, &none).lit().get() - lit).abs() < 1e-9);
    let dark = mask(&view, &none).iter().filter(|pixel| *pixel == Pixel::Dark).count();
    assert!((100.0 - 100.0 * dark as f64 / (1280.0 * 720.0) - lit).abs() < 0.02);
    // A wall ahead fills all that is lit.
    let wall = Scene::new(vec![cuboid([1.0, 5000.0, 5000.0], at(10.0, 0.0, 0.0))]);
    assert!((shares(&view, &wall).of(0).get() - 100.0).abs() < SHARE_ERROR.get());
}

#[test]
fn what_cannot_be_is_said_with_its_limit() {
    let told = |fault: optics::OpticsFault| fault.to_string();
    assert_eq!(
        told(Lens::new(Projection::Equisolid, mm(-1.7)).unwrap_err()),
        "focal length -1.7 mm must be above 0 and at most 1000 mm; check the sign and the unit"
    );
    let flat = Lens::new(Projection::Rectilinear, mm(2.0)).unwrap();
    assert_eq!(
        told(flat.radius(Degrees::new(95.0)).unwrap_err()),
        "an angle of 95° off the axis lies beyond the 90° that the rectilinear projection shows"
    );
    assert!(flat.radius(Degrees::new(90.0)).is_err() && flat.radius(Degrees::new(f64::NAN)).is_err());
    let whole = Lens::new(Projection::Equisolid, mm(1.0)).unwrap();
    assert_eq!(
        told(whole.angle(Millimetres::new(2.5)).unwrap_err()),
        "2.5 mm from the middle lies beyond the image, which ends at 2 mm"
    );
    assert!(optics::Shape::cylinder(mm(0.0), mm(1.0)).is_err());
}
