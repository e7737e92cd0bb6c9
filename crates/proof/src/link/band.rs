//! How far does a link hold with its doubt: where does the range end with so much less, and with so much more, than is thought?
//!
//! A range does not move with the margin as it does in free space: behind a wall it hardly moves at all, and past one it jumps. So it is searched out
//! again with twice the standard uncertainty less and more at the socket, which is what any fact of both ends comes to; and with whatever else
//! may stand about (`spread.rs`). The ends that are told are the nearest
//! and the farthest of these: each is a range that was found.

use super::spread::others;
use super::{Attitude, Farthest, Link, Outward};
use quantity::{Db, Dbm, Metres};
use radio::{Part, RadioFault};

/// The uncertainty that is told about a range, as times the standard one: about 95 of 100.
pub const TIMES: f64 = 2.0;

/// Where about the end of a range walls are asked for their doubt, as shares of it.
const ABOUT: [f64; 4] = [0.97, 1.0, 1.02, 1.06];

/// The ends of a range, each no farther in or out than the range itself where nothing moves it.
pub(super) type Ends = [Metres; 2];

/// What another scenery makes of the ranges at some levels.
#[derive(Clone, Debug)]
pub(super) struct Moved {
    pub part: Part,
    /// For each level.
    pub ends: Vec<Ends>,
}

impl Outward<'_> {
    /// The ranges with twice a doubt less at the socket and with twice a doubt more, for each of some levels and its own doubt, a standard
    /// uncertainty of the margin.
    pub(super) fn ends_by_facts(&mut self, levels: &[(Dbm, Db)]) -> Result<Vec<Ends>, RadioFault> {
        let either_way = levels.iter().flat_map(|(level, doubt)| {
            let doubt = Db::new(TIMES * doubt.get());
            [*level - doubt, *level + doubt]
        });
        let mut asked: Vec<(usize, Dbm)> = either_way.enumerate().collect();
        asked.sort_by(|a, b| a.1.get().total_cmp(&b.1.get()));
        let rising: Vec<Dbm> = asked.iter().map(|(_, level)| *level).collect();
        let found = self.ranges(&rising, Db::new(0.0))?;
        let mut ends = vec![[Metres::new(0.0); 2]; levels.len()];
        for ((n, _), range) in asked.iter().zip(found) {
            ends[n / 2][n % 2] = range.distance();
        }
        Ok(ends)
    }
}

impl Link {
    /// What walls may take more or less about a distance, by the budget there: half of the most, since ends are asked for at [`TIMES`] of it.
    pub(super) fn doubt_by_walls(
        &self,
        distance: Metres,
        height: Metres,
        attitude: Attitude,
        level: Dbm,
    ) -> Result<Db, RadioFault> {
        if self.scenery.walls.is_empty() || distance.get() <= 0.0 {
            return Ok(Db::new(0.0));
        }
        let mut most = 0.0_f64;
        for share in ABOUT {
            let at = self.at(Self::on_line(distance * share, height)?, attitude, level)?;
            let terms = at.carrying().into_iter().flat_map(|pair| &pair.budget.terms);
            let walls = terms.filter(|term| term.part == Part::Walls);
            most = walls.map(|term| term.worse.get().max(term.better.get())).fold(most, f64::max);
        }
        Ok(Db::new(most / TIMES))
    }

    /// What else may stand about makes of the ranges at some levels, least first, which are so far as it is thought to stand: each part by itself.
    pub(super) fn ends_by_scenery(
        &self,
        height: Metres,
        attitude: Attitude,
        levels: &[Dbm],
        usual: &[Farthest],
    ) -> Result<Vec<Moved>, RadioFault> {
        let mut moved: Vec<Moved> = Vec::new();
        // None of them knows of another: each is searched out beside the others.
        let searched = std::thread::scope(|all| {
            let begun: Vec<_> = others(&self.scenery)
                .into_iter()
                .map(|(part, scenery)| {
                    let other = Link { scenery, ..self.clone() };
                    let search = move || other.farthest(height, attitude, levels, Db::new(0.0));
                    (part, all.spawn(search))
                })
                .collect();
            let ended = |(part, search): (Part, std::thread::ScopedJoinHandle<'_, _>)| {
                (part, search.join().unwrap_or_else(|cause| std::panic::resume_unwind(cause)))
            };
            begun.into_iter().map(ended).collect::<Vec<_>>()
        });
        for (part, found) in searched {
            let found: Vec<Farthest> = found?;
            let n = moved.iter().position(|known| known.part == part).unwrap_or_else(|| {
                let ends = usual.iter().map(|range| [range.distance(); 2]).collect();
                moved.push(Moved { part, ends });
                moved.len() - 1
            });
            for ([low, high], range) in moved[n].ends.iter_mut().zip(found) {
                *low = low.min(range.distance());
                *high = high.max(range.distance());
            }
        }
        Ok(moved)
    }
}

/// The ends of a range from its ends by each thing alone: the least of them and the most. Ranges jump where something breaks them, so that ways to one
/// side do not add up: each end is where a search ended.
pub fn together(usual: Metres, by: &[[Metres; 2]]) -> [Metres; 2] {
    by.iter().fold([usual; 2], |[low, high], ends| [low.min(ends[0]), high.max(ends[1])])
}

/// How a range moves with the margin, between its ends by a standard uncertainty of it.
pub(super) fn metres_a_decibel(ends: Ends, doubt: Db) -> f64 {
    if doubt.get() > 0.0 { (ends[1] - ends[0]).get() / (2.0 * TIMES * doubt.get()) } else { 0.0 }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_ends_are_the_nearest_and_the_farthest_that_were_found() {
        let ends = |low: f64, high: f64| [Metres::new(low), Metres::new(high)];
        let all = together(Metres::new(158.0), &[ends(42.0, 158.0), ends(60.0, 190.0)]);
        assert_eq!(all, ends(42.0, 190.0));
        assert_eq!(together(Metres::new(10.0), &[]), ends(10.0, 10.0));
    }
}
