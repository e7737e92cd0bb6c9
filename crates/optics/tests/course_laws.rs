//! Laws of the picture of a course: straight lines, bends, hidden parts, and what does not change it.
#![allow(clippy::unwrap_used)]

mod scenes;

use optics::course::{Attitude, Course, CoursePoint, EyeStand, GroundLine, Sight, sight};
use optics::{Direction, PicturePoint, View};
use proptest::prelude::*;
use quantity::{Degrees, Metres};
use scenes::{area, lens};

const ACROSS: u32 = 1280;
const DOWN: u32 = 720;

fn view(which: usize, focal_length: f64) -> View {
    View::new(lens(which, focal_length), area(3.84, 2.16), ACROSS, DOWN).unwrap()
}

fn point([x, y, z]: [f64; 3]) -> CoursePoint {
    CoursePoint::new(Metres::new(x), Metres::new(y), Metres::new(z))
}

fn stand(place: [f64; 3], turn: [f64; 3]) -> EyeStand {
    let [left, nose_up, left_side_up] = turn.map(Degrees::new);
    EyeStand::turned(point(place), Attitude { left, nose_up, left_side_up })
}

/// The straight line between two places, as the lens shows it.
fn line(view: &View, stand: &EyeStand, from: [f64; 3], to: [f64; 3]) -> Vec<Vec<PicturePoint>> {
    let course = Course { lines: vec![GroundLine::between(point(from), point(to))], ..Course::default() };
    sight(view, &course, stand).lines
}

fn off_path(at: PicturePoint, path: &[PicturePoint]) -> f64 {
    let off = |ends: &[PicturePoint]| {
        let (dx, dy) = (ends[1].across - ends[0].across, ends[1].down - ends[0].down);
        let (x, y) = (at.across - ends[0].across, at.down - ends[0].down);
        let square = dx * dx + dy * dy;
        let t = if square > 0.0 { ((x * dx + y * dy) / square).clamp(0.0, 1.0) } else { 0.0 };
        (x - t * dx).hypot(y - t * dy)
    };
    path.windows(2).map(off).fold(f64::INFINITY, f64::min)
}

fn in_picture(at: PicturePoint) -> bool {
    (0.0..=f64::from(ACROSS)).contains(&at.across) && (0.0..=f64::from(DOWN)).contains(&at.down)
}

/// Whether a place lies within rings filled by even and odd.
fn is_within(rings: &[Vec<PicturePoint>], at: PicturePoint) -> bool {
    let mut odd = false;
    for ring in rings {
        for (a, b) in ring.iter().zip(ring.iter().cycle().skip(1)) {
            if (a.down > at.down) != (b.down > at.down)
                && at.across < a.across + (at.down - a.down) / (b.down - a.down) * (b.across - a.across)
            {
                odd = !odd;
            }
        }
    }
    odd
}

/// How far a place lies from the nearest border of anything in the picture.
fn off_borders(sight: &Sight, at: PicturePoint) -> f64 {
    let closed = |ring: &Vec<PicturePoint>| {
        let mut path = ring.clone();
        path.extend(ring.first().copied());
        off_path(at, &path)
    };
    let outlines = sight.solids.iter().flat_map(|solid| &solid.outline).chain(&sight.ground);
    outlines.map(closed).fold(f64::INFINITY, f64::min)
}

/// The nearest solid that a ray from the eye meets, by cutting the ray with every half space.
fn met(course: &Course, eye: [f64; 3], ray: [f64; 3]) -> Option<usize> {
    let dot = |a: [f64; 3], b: [f64; 3]| a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
    let mut nearest: Option<(usize, f64)> = None;
    for (n, solid) in course.solids.iter().enumerate() {
        let (mut enters, mut leaves) = (0.0f64, f64::INFINITY);
        for (normal, out) in solid.half_spaces() {
            let (speed, room) = (dot(normal, ray), out - dot(normal, eye));
            match speed {
                s if s > 0.0 => leaves = leaves.min(room / s),
                s if s < 0.0 => enters = enters.max(room / s),
                _ if room < 0.0 => leaves = -1.0,
                _ => {}
            }
        }
        if enters < leaves && nearest.is_none_or(|(_, at)| enters < at) {
            nearest = Some((n, enters));
        }
    }
    nearest.map(|(n, _)| n)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(96))]

    #[test]
    fn a_straight_line_stays_straight_under_a_rectilinear_lens(f in 1.2..3.0f64, from in [2.0..60.0f64, -30.0..30.0f64, 0.0..8.0f64],
                                                               to in [-40.0..60.0f64, -30.0..30.0f64, 0.0..8.0f64], left in -40.0..40.0f64, up in -40.0..40.0f64) {
        let (view, stand) = (view(0, f), stand([-3.0, 0.2, 1.6], [left, up, 0.0]));
        for path in line(&view, &stand, from, to) {
            let ends = [path[0], path[path.len() - 1]];
            for at in &path {
                prop_assert!(off_path(*at, &ends) < 1e-6, "{at:?} off {ends:?}");
            }
        }
    }

    #[test]
    fn a_bent_line_is_the_curve_to_half_a_pixel(which in 0..5usize, f in 0.9..2.6f64, from in [-40.0..60.0f64, -30.0..30.0f64, 0.0..8.0f64],
                                                to in [-40.0..60.0f64, -30.0..30.0f64, 0.0..8.0f64], turn in [-180.0..180.0f64, -80.0..80.0f64, -60.0..60.0f64]) {
        let (view, stand) = (view(which, f), stand([-3.0, 0.2, 1.6], turn));
        let paths = line(&view, &stand, from, to);
        for n in 0..=4_000 {
            let t = f64::from(n) / 4_000.0;
            let place = [0, 1, 2].map(|k| from[k] + t * (to[k] - from[k]));
            let Ok(toward) = stand.toward(point(place)) else { continue };
            let Ok(at) = view.place_of(toward) else { continue };
            if in_picture(at) {
                let off = paths.iter().map(|path| off_path(at, path)).fold(f64::INFINITY, f64::min);
                prop_assert!(off < 0.5, "{off} px at {at:?}");
            }
        }
    }

    #[test]
    fn the_picture_stays_when_eye_and_course_move_together(which in 0..5usize, turn in [-180.0..180.0f64, -60.0..60.0f64, -30.0..30.0f64],
                                                           by in -180.0..180.0f64, along in -50.0..50.0f64, leftward in -50.0..50.0f64) {
        let course = Course::orchard();
        let (view, here) = (view(which, 1.7), stand([-9.0, 0.6, 1.9], turn));
        let (by, along, leftward) = (Degrees::new(by), Metres::new(along), Metres::new(leftward));
        let before = sight(&view, &course, &here);
        let after = sight(&view, &course.moved(by, along, leftward), &here.moved(by, along, leftward));
        prop_assert!(!before.is_cut && !after.is_cut);
        // Where two solids do not hide each other either may come first; each is where it was.
        let by_number = |sight: &Sight| {
            let mut all: Vec<_> = sight.solids.iter().map(|solid| (solid.solid, solid.outline.clone())).collect();
            all.sort_by_key(|(solid, _)| *solid);
            all
        };
        for ((solid, one), (other, two)) in by_number(&before).iter().zip(by_number(&after)) {
            prop_assert_eq!(*solid, other);
            for at in one.iter().flatten().filter(|at| in_picture(**at)) {
                let off = two.iter().map(|ring| {
                    let mut path = ring.clone();
                    path.extend(ring.first().copied());
                    off_path(*at, &path)
                }).fold(f64::INFINITY, f64::min);
                prop_assert!(off < 0.5, "{off} px");
            }
        }
        prop_assert_eq!(before.solids.len(), after.solids.len());
    }

    #[test]
    fn what_is_painted_last_is_what_the_ray_meets_first(which in 0..5usize, f in 0.9..2.4f64, place in [-20.0..40.0f64, -7.0..7.0f64, 0.3..9.0f64],
                                                        turn in [-180.0..180.0f64, -80.0..80.0f64, -60.0..60.0f64],
                                                        pixels in prop::collection::vec((0.0..1280.0f64, 0.0..720.0f64), 60)) {
        let course = Course::orchard();
        let (view, stand) = (view(which, f), stand(place, turn));
        let seen = sight(&view, &course, &stand);
        prop_assume!(seen.within.is_none());
        prop_assert!(!seen.is_cut);
        let attitude = Attitude { left: Degrees::new(turn[0]), nose_up: Degrees::new(turn[1]), left_side_up: Degrees::new(turn[2]) };
        for (across, down) in pixels {
            let at = PicturePoint { across, down };
            // Outlines are good to a fifth of a pixel, so a place nearer to one may fall on either side.
            let Some(ray) = view.ray(at).filter(|_| off_borders(&seen, at) > 0.6) else { continue };
            let ray: Direction = attitude.turned(ray);
            let painted = seen.solids.iter().rev().find(|solid| is_within(&solid.outline, at)).map(|solid| solid.solid);
            prop_assert_eq!(painted, met(&course, place, ray.coordinates()), "at {:?}", at);
            prop_assert_eq!(is_within(&seen.ground, at), ray.coordinates()[2] < 0.0, "ground at {:?}", at);
        }
    }
}

#[test]
fn the_faces_of_a_solid_fill_its_outline() {
    let course = Course::orchard();
    let (view, stand) = (view(1, 1.7), stand([-12.0, 0.0, 1.65], [0.0, 10.0, 0.0]));
    let area = |rings: &[Vec<PicturePoint>]| {
        let of_ring = |ring: &Vec<PicturePoint>| {
            let next = ring.iter().cycle().skip(1);
            ring.iter().zip(next).map(|(a, b)| a.across * b.down - b.across * a.down).sum::<f64>() / 2.0
        };
        rings.iter().map(of_ring).sum::<f64>().abs()
    };
    let seen = sight(&view, &course, &stand);
    assert!(seen.solids.len() > 60, "{}", seen.solids.len());
    for solid in &seen.solids {
        let (outline, faces) =
            (area(&solid.outline), solid.faces.iter().map(|face| area(&face.rings)).sum::<f64>());
        assert!((outline - faces).abs() < 2.0 + 0.02 * outline, "{}: {outline} and {faces}", solid.solid);
    }
}

#[test]
fn behind_the_lens_and_beyond_half_a_turn_stay_where_they_are() {
    // A lens that reaches 100 degrees off its axis in the corners, looking straight up: level all round is seen as one ring.
    let view = View::new(lens(1, 1.2), area(3.84, 3.84), 1000, 1000).unwrap();
    let seen = sight(&view, &Course::orchard(), &stand([-12.0, 0.0, 1.65], [0.0, 90.0, 0.0]));
    assert!(is_within(&seen.ground, PicturePoint { across: 5.0, down: 5.0 }));
    assert!(!is_within(&seen.ground, PicturePoint { across: 500.0, down: 500.0 }));
    let middle = |at: &PicturePoint| (at.across - 500.0).hypot(at.down - 500.0);
    let level = 1000.0 * 1.2 * std::f64::consts::FRAC_PI_2 / 3.84;
    assert!(!seen.horizon.is_empty());
    assert!(seen.horizon.iter().flatten().all(|at| (middle(at) - level).abs() < 0.01));
}
