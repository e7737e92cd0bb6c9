//! The plates of a part as things lie against them: which one a screw passes, one under the other, and how far from its edge.

use super::SAME;
use fit::{Hole, InPart, PartPoint, Prism, inside_edge};

/// How far a plate may lie off what is screwed to it and still be the one it is screwed to, in mm: doubt of two sizes.
const AGAINST: f64 = 0.4;

/// A plate of the part whose holes are sought.
pub(super) struct Plate<'a> {
    pub number: usize,
    pub prism: &'a Prism,
    pub stands: bool,
    /// From the part's frame into the plate's own.
    pub into: InPart,
}

impl Plate<'_> {
    pub fn at(&self, [x, y, z]: [f64; 3]) -> [f64; 2] {
        let at = self.into.point(PartPoint::new(x, y, z));
        [at.x(), at.y()]
    }

    /// How far a place lies over the face the thickness grows from.
    pub fn height(&self, [x, y, z]: [f64; 3]) -> f64 {
        self.into.point(PartPoint::new(x, y, z)).z()
    }

    /// Middles of the round holes that are listed on a circle.
    pub fn on_circle(&self, [u, v]: [f64; 2], radius: f64) -> Vec<[f64; 2]> {
        let round = |hole: &Hole| match hole {
            Hole::Round { centre, .. } => Some([centre.x, centre.y]),
            _ => None,
        };
        let on = |at: &[f64; 2]| ((at[0] - u).hypot(at[1] - v) - radius).abs() < SAME;
        self.prism.outline().holes().iter().filter_map(round).filter(on).collect()
    }

    /// Whether a place lies within its outline.
    pub fn holds(&self, at: [f64; 3]) -> bool {
        self.edge(at) > 0.0
    }

    /// How far inside its outer edge a place lies.
    pub fn edge(&self, at: [f64; 3]) -> f64 {
        let ring: Vec<[f64; 2]> = self.prism.outline().outer().iter().map(|p| [p.x, p.y]).collect();
        inside_edge(self.at(at), &ring)
    }
}

/// The level plates that lie one against the other from a height on, upward (1) or downward (-1), at a place.
pub(super) fn stacked<'p, 'a>(
    plates: &'p [Plate<'a>],
    [x, y]: [f64; 2],
    from: f64,
    way: f64,
) -> Vec<&'p Plate<'a>> {
    let mut found: Vec<&Plate> = Vec::new();
    let mut face = from;
    loop {
        let next = plates.iter().filter(|plate| !plate.stands && plate.holds([x, y, face])).find(|plate| {
            let foot = face - plate.height([x, y, face]);
            let near = if way < 0.0 { foot + plate.prism.thickness().get() } else { foot };
            (near - face).abs() < AGAINST && found.iter().all(|there| there.number != plate.number)
        });
        let Some(plate) = next else { return found };
        face += way * plate.prism.thickness().get();
        found.push(plate);
    }
}

/// The turn of a circle of screws that leaves the widest web to the edges, in radians; of equals, the one nearest the
/// eighth of a turn, which is square to the craft's axes.
pub(super) fn freest<'p, 'a: 'p>(
    plates: impl Iterator<Item = &'p Plate<'a>> + Clone,
    [x, y, z]: [f64; 3],
    radius: f64,
    count: u32,
) -> f64 {
    let step = std::f64::consts::TAU / f64::from(count.max(1));
    let turns = (0..90).map(|n| step * f64::from(n) / 90.0);
    let web = |turn: f64| {
        let holes = (0..count).map(move |n| turn + f64::from(n) * step);
        let edges = holes.flat_map(|angle| {
            plates
                .clone()
                .map(move |plate| plate.edge([x + radius * angle.cos(), y + radius * angle.sin(), z]))
        });
        let least = edges.fold(f64::INFINITY, f64::min);
        ((least * 100.0).round() as i64, -((turn - step / 2.0).abs() * 1e6) as i64)
    };
    turns.max_by_key(|turn| web(*turn)).unwrap_or(0.0)
}
