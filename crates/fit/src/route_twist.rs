//! How sharply must a flat bundle be twisted along its way?
//!
//! A flat bundle bends about its wide side only, so at each bend its wide side lies along the axis of that bend, t × κ
//! (κ the curvature, t the tangent), whichever way up. From one bend to the next it turns from the one axis to the
//! other: by the angle between them, the first carried along without twist, at most 90° since both ways up serve. It does so at
//! best evenly, over the length between the middles of the two bends. At a plug the wide side is that of the plug.
//!
//! Bends wider than [`FREE_BEND`] are left to the bundle's give. A bend is told in pieces that turn by some
//! [`PIECE`], which is what a lead on a screw line is told by; what turns by less than [`LEAST_TURN`] is no bend.
//! A screw line of radius a and rise h a turn twists by its torsion, τ = c/(a² + c²) with c = h/2π.

use crate::frame::{BodyPoint, BodyVector};
use parry3d_f64::glamx::DVec3;
use quantity::{Degrees, Millimetres, Source};

/// A bend wider than this is taken whichever way the bundle lies: some six times the least radius of a harness.
pub const FREE_BEND: Millimetres = Millimetres::new(30.0);
/// The most a flat bundle is twisted over [`TWIST_OVER`].
pub const TWIST_MOST: Degrees = Degrees::new(90.0);
/// The length that [`TWIST_MOST`] is counted over.
pub const TWIST_OVER: Millimetres = Millimetres::new(30.0);
/// Where [`TWIST_MOST`] comes from.
pub const TWIST_SOURCE: Source =
    Source::common_practice("a flat bundle of strands is never twisted by more than 90° in 30 mm");
/// A bend is told in pieces that turn by so much, in radians.
const PIECE: f64 = 0.6;
/// What turns by less is no bend, in radians.
const LEAST_TURN: f64 = 0.2;
/// Two bends nearer than this count as so far apart: a bundle's own width blurs them.
pub const TWIST_OVER_LEAST: Millimetres = Millimetres::new(3.0);

/// Where a flat bundle is twisted most.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Twist {
    /// By how much it turns about itself.
    pub angle: Degrees,
    /// Over what length.
    pub over: Millimetres,
    /// How far along the way that begins.
    pub from: Millimetres,
}

impl Twist {
    /// As much as it would be over [`TWIST_OVER`].
    pub fn rate(&self) -> Degrees {
        Degrees::new(self.angle.get() * TWIST_OVER.get() / self.over.get())
    }
}

/// What the wide side must lie along, as an angle about the lead, and where.
struct Mark {
    along: f64,
    angle: f64,
}

/// Where a flat bundle is twisted most on a way through points some millimetre apart; `wide` are the wide sides of the plugs at
/// both ends, as far as they are known. `None` where nothing asks for a twist: fewer than two bends and plugs.
pub fn sharpest_twist(points: &[BodyPoint], wide: [Option<BodyVector>; 2]) -> Option<Twist> {
    let marks = marks(&points.iter().map(|p| p.0).collect::<Vec<_>>(), wide.map(|side| Some(side?.0)));
    let twists = marks.windows(2).map(|pair| {
        let turn = (pair[1].angle - pair[0].angle).rem_euclid(std::f64::consts::PI);
        Twist {
            angle: Degrees::new(turn.min(std::f64::consts::PI - turn).to_degrees()),
            over: Millimetres::new((pair[1].along - pair[0].along).max(TWIST_OVER_LEAST.get())),
            from: Millimetres::new(pair[0].along),
        }
    });
    twists.max_by(|a, b| a.rate().get().total_cmp(&b.rate().get()))
}

fn marks(points: &[DVec3], wide: [Option<DVec3>; 2]) -> Vec<Mark> {
    let steps: Vec<DVec3> = points.windows(2).map(|w| w[1] - w[0]).filter(|s| s.length() > 1e-9).collect();
    let [Some(first), Some(last)] = [steps.first(), steps.last()] else { return Vec::new() };
    // A side square to the lead, carried along without twist.
    let mut carried = first.normalize().any_orthonormal_vector();
    let angle_of = |axis: DVec3, way: DVec3, carried: DVec3| -> Option<f64> {
        let across = axis - way * axis.dot(way);
        (across.length() > 0.3 * axis.length())
            .then(|| across.dot(way.cross(carried)).atan2(across.dot(carried)))
    };
    let mut marks = Vec::new();
    if let Some(angle) = wide[0].and_then(|axis| angle_of(axis, first.normalize(), carried)) {
        marks.push(Mark { along: 0.0, angle });
    }
    let mut along = 0.0;
    let mut piece = Piece::default();
    for pair in steps.windows(2) {
        let (a, b) = (pair[0].normalize(), pair[1].normalize());
        along += pair[0].length();
        let axis = a.cross(b);
        let turned = axis.length().atan2(a.dot(b));
        let long = (pair[0].length() + pair[1].length()) / 2.0;
        if turned * FREE_BEND.get() < long {
            marks.extend(std::mem::take(&mut piece).mark());
        } else if let Some(angle) = angle_of(axis, (a + b).normalize_or_zero(), carried) {
            piece.add(along, angle, turned);
            if piece.turned >= PIECE {
                marks.extend(std::mem::take(&mut piece).mark());
            }
        }
        carried = (carried - b * carried.dot(b)).normalize_or(b.any_orthonormal_vector());
    }
    marks.extend(piece.mark());
    let whole = along + last.length();
    if let Some(angle) = wide[1].and_then(|axis| angle_of(axis, last.normalize(), carried)) {
        marks.push(Mark { along: whole, angle });
    }
    marks
}

/// A piece of a bend: sums over its turns.
#[derive(Default)]
struct Piece {
    turned: f64,
    along: f64,
    /// Of twice the angle, for both ways up are one.
    twice: [f64; 2],
}

impl Piece {
    fn add(&mut self, along: f64, angle: f64, turned: f64) {
        self.turned += turned;
        self.along += along * turned;
        self.twice[0] += turned * (2.0 * angle).cos();
        self.twice[1] += turned * (2.0 * angle).sin();
    }

    fn mark(self) -> Option<Mark> {
        let angle = self.twice[1].atan2(self.twice[0]) / 2.0;
        (self.turned >= LEAST_TURN).then(|| Mark { along: self.along / self.turned, angle })
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use std::f64::consts::{FRAC_PI_2, PI, TAU};

    fn twist(points: &[[f64; 3]], wide: [Option<BodyVector>; 2]) -> Option<Twist> {
        let points: Vec<BodyPoint> = points.iter().map(|[x, y, z]| BodyPoint::new(*x, *y, *z)).collect();
        sharpest_twist(&points, wide)
    }

    /// Straight along x, a quarter of radius 6 up, straight up for so far, a quarter that leaves it at an angle about z.
    fn two_quarters(between: f64, about: f64) -> Vec<[f64; 3]> {
        let quarter = |n: u32| f64::from(n) * FRAC_PI_2 / 12.0;
        let mut points: Vec<[f64; 3]> = (0..20).map(|n| [f64::from(n) - 20.0, 0.0, 0.0]).collect();
        points.extend((0..=12).map(|n| [6.0 * quarter(n).sin(), 0.0, 6.0 - 6.0 * quarter(n).cos()]));
        let steps = between.round() as u32;
        points.extend((1..steps).map(|n| [6.0, 0.0, 6.0 + between * f64::from(n) / f64::from(steps)]));
        let (s, c) = about.sin_cos();
        let end = |out: f64, up: f64| [6.0 + out * c, out * s, 6.0 + between + up];
        points.extend((0..=12).map(|n| end(6.0 - 6.0 * quarter(n).cos(), 6.0 * quarter(n).sin())));
        points.extend((1..20).map(|n| end(6.0 + f64::from(n), 6.0)));
        points
    }

    #[test]
    fn two_bends_in_one_plane_ask_for_no_twist() {
        for about in [0.0, PI] {
            let found = twist(&two_quarters(14.0, about), [None, None]).unwrap();
            assert!(found.angle.get() < 1.0, "{found:?}");
        }
    }

    #[test]
    fn two_bends_square_to_each_other_twist_by_a_quarter_over_what_lies_between() {
        for (between, about, degrees) in [(14.0, FRAC_PI_2, 90.0), (40.0, FRAC_PI_2, 90.0), (20.0, 2.0, 65.4)]
        {
            let found = twist(&two_quarters(between, about), [None, None]).unwrap();
            assert!((found.angle.get() - degrees).abs() < 1.0, "{found:?}");
            // Between the last piece of one bend and the first of the next.
            let ends = found.over.get() - between;
            assert!((0.0..=6.0 * FRAC_PI_2).contains(&ends), "{found:?}");
        }
    }

    #[test]
    fn a_screw_line_twists_by_its_torsion() {
        let (a, c) = (8.0, 5.0f64);
        let points: Vec<[f64; 3]> =
            (0..300).map(|n| f64::from(n) * TAU / 90.0).map(|t| [a * t.cos(), a * t.sin(), c * t]).collect();
        let found = twist(&points, [None, None]).unwrap();
        let torsion = (c / (a * a + c * c)).to_degrees() * TWIST_OVER.get();
        assert!((found.rate().get() / torsion - 1.0).abs() < 0.05, "{found:?} {torsion}");
    }

    #[test]
    fn a_straight_lead_between_plugs_turned_by_an_angle_twists_by_it() {
        let points: Vec<[f64; 3]> = (0..=25).map(|n| [f64::from(n), 0.0, 0.0]).collect();
        for degrees in [0.0f64, 35.0, 90.0, 150.0] {
            let (s, c) = degrees.to_radians().sin_cos();
            let wide = [BodyVector::Y, BodyVector::new(0.0, c, s)].map(Some);
            let found = twist(&points, wide).unwrap();
            let least = degrees.min(180.0 - degrees);
            assert!((found.angle.get() - least).abs() < 1e-9 && found.over.get() == 25.0, "{found:?}");
            assert!((found.rate().get() - least * 1.2).abs() < 1e-9);
        }
        assert_eq!(twist(&points, [Some(BodyVector::Y), None]), None);
        assert_eq!(twist(&[], [Some(BodyVector::Y), None]), None);
    }
}
