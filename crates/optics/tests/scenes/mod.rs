//! Views and scenes for the tests: drawn at random by law, or built by hand.
#![allow(clippy::unwrap_used, dead_code)]

use optics::{
    Direction, Lens, MeasuredMap, Occluder, Outline, Placement, Point, Projection, Scene, SensorArea, Shape,
    View,
};
use proptest::prelude::*;
use quantity::{Degrees, Millimetres};

pub fn mm(length: f64) -> Millimetres {
    Millimetres::new(length)
}

/// One of the four formulas, or a map measured on an equidistant lens with barrel distortion.
pub fn lens(which: usize, focal_length: f64) -> Lens {
    if let Some(projection) = Projection::ALL.get(which) {
        return Lens::new(*projection, mm(focal_length)).unwrap();
    }
    let point = |degrees: f64| {
        let angle = degrees.to_radians();
        (Degrees::new(degrees), mm(focal_length * (angle - 0.05 * angle.powi(3))))
    };
    Lens::measured(MeasuredMap::new(&[15.0, 30.0, 45.0, 60.0, 75.0, 90.0].map(point)).unwrap())
}

pub fn area(width: f64, height: f64) -> SensorArea {
    SensorArea::of_sides(mm(width), mm(height)).unwrap()
}

/// A view as small craft carry it: 16 to 9, 150° from corner to corner and less.
pub fn view(which: usize, across: u32) -> View {
    View::new(lens(which, 2.1), area(3.84, 2.16), across, across * 9 / 16).unwrap()
}

/// Axes turned about z, then about the new x.
pub fn axes(yaw: f64, roll: f64) -> [Direction; 3] {
    let ((sy, cy), (sr, cr)) = (yaw.sin_cos(), roll.sin_cos());
    [[cy, sy, 0.0], [-sy * cr, cy * cr, sr], [sy * sr, -cy * sr, cr]]
        .map(|[x, y, z]| Direction::new(x, y, z).unwrap())
}

pub fn at(x: f64, y: f64, z: f64) -> Placement {
    Placement::at(Point::new(x, y, z))
}

pub fn cylinder(radius: f64, length: f64, placement: Placement) -> Occluder {
    Occluder { shape: Shape::cylinder(mm(radius), mm(length)).unwrap(), placement }
}

pub fn cuboid(sides: [f64; 3], placement: Placement) -> Occluder {
    let [x, y, z] = sides.map(mm);
    Occluder { shape: Shape::cuboid(x, y, z).unwrap(), placement }
}

pub fn rectangle(x: f64, y: f64) -> Vec<[f64; 2]> {
    vec![[-x / 2.0, -y / 2.0], [x / 2.0, -y / 2.0], [x / 2.0, y / 2.0], [-x / 2.0, y / 2.0]]
}

pub fn circle(x: f64, y: f64, radius: f64, corners: u32) -> Vec<[f64; 2]> {
    let angle = |n: u32| f64::from(n) / f64::from(corners) * std::f64::consts::TAU;
    (0..corners).map(|n| [x + radius * angle(n).cos(), y + radius * angle(n).sin()]).collect()
}

pub fn plate(rings: &[Vec<[f64; 2]>], thickness: f64, placement: Placement) -> Occluder {
    Occluder { shape: Shape::prism(Outline::new(rings).unwrap(), mm(thickness)).unwrap(), placement }
}

/// A front disc of an open craft, below and beside the camera that is tilted by some radians.
pub fn front_disc(radius: f64, side: f64, tilt: f64) -> Occluder {
    let (sin, cos) = tilt.sin_cos();
    // Forward 10, left `side`, down 12 of the lens, in a camera frame whose nose is up by the tilt.
    let (x, z) = (10.0, -12.0);
    let origin = Point::new(x * cos + z * sin, side, z * cos - x * sin);
    let axes = [[cos, 0.0, -sin], [0.0, 1.0, 0.0], [sin, 0.0, cos]];
    let axes = axes.map(|[x, y, z]| Direction::new(x, y, z).unwrap());
    cylinder(radius, 7.0, Placement::turned(origin, axes).unwrap())
}

/// A craft with two front discs, a cage of plates and rods, an arm and a body of boxes: 42 solids.
pub fn craft(tilt: f64) -> Scene {
    let mut solids = vec![front_disc(63.5, 75.0, tilt), front_disc(63.5, -75.0, tilt)];
    let drilled = |x: f64, y: f64| {
        let mut rings = vec![circle(0.0, 0.0, 1.0, 3)];
        rings[0] = circle(0.0, 0.0, x.min(y) / 2.0, 120).iter().map(|[a, b]| [a * x / y, *b]).collect();
        rings.extend((0..8).map(|n| circle(f64::from(n) * x / 10.0 - x / 3.0, 0.0, 1.6, 80)));
        rings
    };
    for (z, thickness) in [(14.0, 2.0), (-16.0, 4.0)] {
        solids.push(plate(&drilled(120.0, 40.0), thickness, at(-40.0, 0.0, z)));
    }
    for side in [1.0, -1.0] {
        let [_, up, _] = axes(0.0, std::f64::consts::FRAC_PI_2);
        let cheek = [Direction::FORWARD, up, Direction::LEFT.opposite()];
        let placement = Placement::turned(Point::new(6.0, side * 12.0, 0.0), cheek).unwrap();
        solids.push(plate(&drilled(40.0, 26.0), 2.0, placement));
        solids.push(cuboid([90.0, 14.0, 5.0], {
            let origin = Point::new(20.0, side * 45.0, -18.0);
            Placement::turned(origin, axes(side * 0.8, 0.0)).unwrap()
        }));
        for n in 0..8 {
            solids.push(cylinder(2.5, 28.0, at(8.0 - 12.0 * f64::from(n), side * 16.0, -1.0)));
            solids.push(cuboid([9.0, 7.0, 4.0], at(f64::from(n) * 6.0 - 30.0, side * 30.0, -12.0)));
        }
    }
    solids.push(cylinder(1.5, 70.0, at(20.0, 3.0, 30.0)));
    solids.push(cuboid([30.0, 20.0, 20.0], at(-40.0, 0.0, 30.0)));
    Scene::new(solids)
}

prop_compose! {
    /// A solid somewhere about the camera, not round it.
    pub fn solid()(form in 0..3usize, x in -20.0..90.0f64, y in -80.0..80.0f64, z in -60.0..60.0f64,
                   sizes in [2.0..40.0f64, 2.0..40.0f64, 2.0..20.0f64], yaw in -3.0..3.0f64, roll in -3.0..3.0f64)
                  -> Occluder {
        let far = [x, y, z].map(|c| c * c).iter().sum::<f64>().sqrt();
        let away = if far < 50.0 { 50.0 / far.max(1.0) } else { 1.0 };
        let placement = Placement::turned(Point::new(x * away, y * away, z * away), axes(yaw, roll)).unwrap();
        match form {
            0 => cuboid(sizes, placement),
            1 => cylinder(sizes[0] / 2.0, sizes[2], placement),
            _ => {
                let hole = circle(sizes[0] / 5.0, 0.0, sizes[0].min(sizes[1]) / 8.0, 24);
                plate(&[rectangle(sizes[0], sizes[1]), hole], sizes[2] / 5.0, placement)
            }
        }
    }
}
