//! What stands on the course? An invented orchard: a lane between fence and trees with three gates, a barn, bales, a hedge.
//!
//! All sizes in metres, x along the lane, the first gate at x = 0 over the middle of the lane. Nothing touches or
//! holds anything else by more than a face, so there is a plane between any two solids.

use super::solid::{CourseSolid, Matter, Spot};
use crate::vector::Triple;
use quantity::Metres;

/// Width and height of the opening of a gate.
pub const GATE_OPENING: Metres = Metres::new(1.5);
/// How thick posts and bars of a gate are.
const GATE_BAR: f64 = 0.08;
/// Where the first gate's opening begins above the ground.
const FIRST_SILL: f64 = 0.9;

/// A line on the ground.
#[derive(Clone, Debug, PartialEq)]
pub struct GroundLine {
    pub(super) path: Vec<Triple>,
}

/// What stands on the course, and the lines drawn on its ground.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Course {
    /// The solids.
    pub solids: Vec<CourseSolid>,
    /// The lines on the ground.
    pub lines: Vec<GroundLine>,
}

impl GroundLine {
    /// A straight line between two places.
    pub fn between(from: super::CoursePoint, to: super::CoursePoint) -> Self {
        Self { path: vec![from.0, to.0] }
    }
}

impl Course {
    /// How high above the ground the middle of the first gate lies.
    pub const fn first_gate_height() -> Metres {
        Metres::new(FIRST_SILL + GATE_OPENING.get() / 2.0)
    }

    /// The orchard.
    pub fn orchard() -> Self {
        let mut solids = Vec::new();
        gate(&mut solids, "first gate", Spot::at(0.0, 0.0, 0.0), FIRST_SILL);
        gate(&mut solids, "second gate", Spot::at(15.0, 4.0, 0.0).turned(22.0), 0.6);
        gate(&mut solids, "third gate", Spot::at(29.0, -2.5, 0.0).turned(-18.0), 2.1);
        barn(&mut solids, Spot::at(37.0, 15.0, 0.0).turned(8.0));
        fence(&mut solids);
        for (n, (x, y)) in [(9.0, -5.2), (10.2, -5.2)].into_iter().enumerate() {
            let spot = Spot::at(x, y, 0.0).turned(if n == 0 { 0.0 } else { 3.0 });
            solids.push(CourseSolid::cuboid(Matter::Straw, "straw bale", spot, [0.9, 1.2, 0.6]));
        }
        let upper = Spot::at(9.6, -5.2, 0.62).turned(90.0);
        solids.push(CourseSolid::cuboid(Matter::Straw, "straw bale", upper, [1.0, 1.3, 0.6]));
        for (x, y, height) in [
            (8.0, 8.5, 5.2),
            (16.5, 11.5, 6.0),
            (24.0, 8.5, 5.0),
            (22.0, 16.0, 6.4),
            (48.0, 2.0, 7.5),
            (60.0, -6.0, 9.0),
            (-16.0, 7.5, 5.6),
            (-22.0, -4.0, 6.2),
        ] {
            broad_tree(&mut solids, x, y, height);
        }
        for (x, y, height) in [
            (6.0, -14.0, 9.0),
            (19.0, -16.0, 11.0),
            (33.0, -13.5, 8.5),
            (45.0, -17.0, 12.0),
            (-9.0, 14.0, 8.0),
        ] {
            slim_tree(&mut solids, x, y, height);
        }
        let hedge = |x: f64, y: f64, left: f64| {
            CourseSolid::cuboid(Matter::Leaves, "hedge", Spot::at(x, y, 0.0).turned(left), [1.1, 14.0, 1.5])
        };
        solids.extend([hedge(-28.0, 9.0, 0.0), hedge(-28.0, -8.0, 0.0), hedge(58.0, 14.0, -10.0)]);
        Self { solids, lines: grid() }
    }

    /// The same course turned to the left about the upright through the origin and shifted along the ground.
    pub fn moved(&self, left: quantity::Degrees, along: Metres, leftward: Metres) -> Self {
        let by = |p: Triple| {
            p.turned(Triple::Z, left.get().to_radians()) + Triple::new(along.get(), leftward.get(), 0.0)
        };
        Self {
            solids: self.solids.iter().map(|solid| solid.moved(&by)).collect(),
            lines: self
                .lines
                .iter()
                .map(|line| GroundLine { path: line.path.iter().map(|p| by(*p)).collect() })
                .collect(),
        }
    }
}

/// Two posts from the ground, a sill and a top bar between them.
fn gate(solids: &mut Vec<CourseSolid>, name: &'static str, spot: Spot, sill: f64) {
    let (open, bar) = (GATE_OPENING.get(), GATE_BAR);
    let part = |y: f64, z: f64, size: [f64; 3]| {
        let aside = Triple::new(0.0, y, 0.0).turned(Triple::Z, spot.left_degrees.to_radians());
        let at = Spot { at: [spot.at[0] + aside.x, spot.at[1] + aside.y, z], ..spot };
        CourseSolid::cuboid(Matter::Gate, name, at, size)
    };
    let post = open / 2.0 + bar / 2.0;
    let height = sill + open + bar;
    solids.push(part(post, 0.0, [bar, bar, height]));
    solids.push(part(-post, 0.0, [bar, bar, height]));
    solids.push(part(0.0, sill - bar, [bar, open, bar]));
    solids.push(part(0.0, sill + open, [bar, open, bar]));
}

/// A house of boards with a gable, its door and a hatch towards the lane.
fn barn(solids: &mut Vec<CourseSolid>, spot: Spot) {
    let (long, half, eaves, ridge) = (6.0, 4.0, 3.6, 6.4);
    let gable =
        |x: f64| vec![[x, -half, 0.0], [x, half, 0.0], [x, half, eaves], [x, 0.0, ridge], [x, -half, eaves]];
    let rectangle = |x: f64, y: f64, z: f64, wide: f64, high: f64| {
        let (a, b) = (y - wide / 2.0, y + wide / 2.0);
        [[x, a, z], [x, a, z + high], [x, b, z + high], [x, b, z], [x, a, z]]
    };
    let door: Vec<[f64; 3]> =
        [[-1.5, -half, 0.0], [-1.5, -half, 2.8], [1.5, -half, 2.8], [1.5, -half, 0.0]].to_vec();
    let barn = CourseSolid::of_rings(Matter::Building, "barn", spot, &[gable(-long), gable(long)])
        .marked(spot, [-1.0, 0.0, 0.0], &rectangle(-long, 0.0, 0.02, 2.4, 2.6))
        .marked(spot, [-1.0, 0.0, 0.0], &rectangle(-long, 0.0, 3.8, 0.9, 0.9))
        .marked(spot, [0.0, -1.0, 0.0], &door)
        .marked(spot, [0.0, -1.0, 0.0], &[[0.0, -half, 0.0], [0.0, -half, 2.8]]);
    solids.push(barn);
}

/// Posts every three metres with two rails between them.
fn fence(solids: &mut Vec<CourseSolid>) {
    let (y, post, bay) = (-8.0, 0.1, 3.0);
    let bays = 15;
    for n in 0..=bays {
        let x = -12.0 + bay * f64::from(n);
        solids.push(CourseSolid::cuboid(Matter::Fence, "fence post", Spot::at(x, y, 0.0), [post, post, 1.2]));
        if n < bays {
            for z in [0.45, 0.95] {
                let spot = Spot::at(x + bay / 2.0, y, z);
                solids.push(CourseSolid::cuboid(Matter::Fence, "fence rail", spot, [bay - post, 0.04, 0.1]));
            }
        }
    }
}

fn broad_tree(solids: &mut Vec<CourseSolid>, x: f64, y: f64, height: f64) {
    let (stem, spread) = (0.3 * height, 0.36 * height);
    let spot = Spot::at(x, y, 0.0).turned(11.0 * x);
    solids.push(CourseSolid::round(
        Matter::Stem,
        "tree",
        spot,
        &[[0.0, 0.03 * height], [stem, 0.022 * height]],
    ));
    let crown = height - stem;
    let rings = [(0.0, 0.45), (0.18, 0.85), (0.42, 1.0), (0.7, 0.82), (0.9, 0.45), (1.0, 0.12)]
        .map(|(up, out)| [stem + up * crown, out * spread]);
    solids.push(CourseSolid::round(Matter::Leaves, "tree", spot, &rings));
}

fn slim_tree(solids: &mut Vec<CourseSolid>, x: f64, y: f64, height: f64) {
    let spot = Spot::at(x, y, 0.0).turned(7.0 * x);
    let (stem, spread) = (0.12 * height, 0.16 * height);
    solids.push(CourseSolid::round(
        Matter::Stem,
        "tree",
        spot,
        &[[0.0, 0.02 * height], [stem, 0.018 * height]],
    ));
    let rings = [[stem, spread], [height, 0.02]];
    solids.push(CourseSolid::round(Matter::Leaves, "tree", spot, &rings));
}

/// A grid of five metres on the ground.
fn grid() -> Vec<GroundLine> {
    let line = |from: [f64; 2], to: [f64; 2]| GroundLine {
        path: [from, to].map(|[x, y]| Triple::new(x, y, 0.0)).to_vec(),
    };
    let (behind, ahead, aside) = (-60.0, 90.0, 60.0);
    let steps = |from: f64, to: f64| {
        let count = ((to - from) / 5.0) as i32;
        (0..=count).map(move |n| from + 5.0 * f64::from(n))
    };
    let along = steps(-aside, aside).map(|y| line([behind, y], [ahead, y]));
    let across = steps(behind, ahead).map(|x| line([x, -aside], [x, aside]));
    along.chain(across).collect()
}

#[cfg(test)]
mod tests {
    use super::super::order::{Before, before};
    use super::*;

    #[test]
    fn there_is_a_plane_between_any_two_solids() {
        let course = Course::orchard();
        let eye = Triple::new(-12.0, 0.3, 1.65);
        for (n, a) in course.solids.iter().enumerate() {
            for b in &course.solids[n + 1..] {
                assert_ne!(
                    before(a, b, eye),
                    Before::Unsaid,
                    "{} and {}: {:?}",
                    a.name,
                    b.name,
                    b.corners[0]
                );
            }
        }
    }

    #[test]
    fn everything_stands_on_or_over_the_ground() {
        let course = Course::orchard();
        assert!(course.solids.iter().all(|solid| solid.corners.iter().all(|corner| corner.z >= 0.0)));
        assert_eq!(course.solids.iter().filter(|solid| solid.matter == Matter::Gate).count(), 12);
    }
}
