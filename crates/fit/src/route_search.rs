//! A first way for a lead: through a grid of places, but straight from turn to turn.
//!
//! A* on a grid of [`STEP`] mm, with each place led back not to its neighbour but to the farthest place it
//! can be reached from in a straight line (lazily looked at: Theta*). Straight lines are walked in steps as
//! long as the room at hand, so that none passes through a solid however thin. Places may have a little less
//! room than needed, for the grid does not know the best places; what comes of that is judged after it is
//! pulled tight.

use crate::route_air::{ByCell, Cell, Surroundings};
use crate::route_known::Searched;
use crate::solid::SolidIndex;
use parry3d_f64::glamx::DVec3;
use std::cmp::Ordering;
use std::collections::BinaryHeap;

/// The grids tried, in mm, and after how many places each gives up: a wider one where the first does not
/// reach far enough, a finer one where there is no way in either.
const GRIDS: [(f64, usize); 3] = [(2.0, 15_000), (4.0, 40_000), (1.0, 60_000)];
/// How near two places count as one, in mm.
const SAME: f64 = 1e-6;

/// The turns of a way from the one end to the other; the solid that leaves least room where the search
/// came nearest to its goal, if there is none.
pub(crate) fn find_way(around: &Surroundings) -> Result<Vec<DVec3>, SolidIndex> {
    let [from, to] = around.ends;
    let stubs = stubs(around);
    let (start, goal) = (*stubs[0].last().unwrap_or(&from), *stubs[1].last().unwrap_or(&to));
    let mut failed = None;
    let mut closed = false;
    for (step, places_max) in GRIDS {
        // Where a finer grid is closed all round, a wider one is too.
        if closed && step > 2.0 {
            continue;
        }
        match Grid::new(around, step, start, goal).search(places_max) {
            Ok(middle) => {
                let mut way = stubs[0].clone();
                way.extend(middle);
                way.extend(stubs[1].iter().rev());
                way.dedup_by(|a, b| (*a - *b).length() < SAME);
                return Ok(way);
            }
            Err((nearest, all)) => {
                failed = Some(nearest);
                closed |= all;
            }
        }
    }
    let blocked = failed.and_then(|at| around.tightest(at)).map(|found| found.0);
    Err(blocked.or(around.obstacles.first().map(|o| o.solid)).unwrap_or(SolidIndex(0)))
}

/// The first bits of a lead at both ends: straight out of the plug by its bend radius if there is room,
/// and then, if it must turn back, aside.
fn stubs(around: &Surroundings) -> [Vec<DVec3>; 2] {
    [0, 1].map(|n| {
        let (end, other) = (around.ends[n], around.ends[1 - n]);
        let mut stub = vec![end];
        let Some(out) = around.leaving[n] else { return stub };
        let reach = around.bend_radius.min((other - end).length() / 2.0).max(0.5);
        let Some(first) = [1.0, 0.6, 0.3, 0.1]
            .map(|share| end + out * (reach * share))
            .into_iter()
            .find(|p| clear(around, end, *p, 1.0))
        else {
            return stub;
        };
        stub.push(first);
        let onward = other - first;
        if onward.dot(out) < -0.5 * onward.length() {
            let aside = (onward - out * onward.dot(out)).try_normalize();
            let (u, v) = (aside.unwrap_or(out.any_orthonormal_vector()), out);
            let w = v.cross(u);
            let ways = [u, (u + w).normalize(), (u - w).normalize(), w, -w, -u];
            let beside = ways.map(|way| first + way * (first - end).length());
            stub.extend(beside.into_iter().find(|p| clear(around, first, *p, 1.0)));
        }
        stub
    })
}

/// Whether a straight line has room all along, by walking as far as is certain each time.
fn clear(around: &Surroundings, a: DVec3, b: DVec3, step: f64) -> bool {
    let length = (b - a).length();
    let give = give(step);
    let mut done = 0.0;
    while done < length {
        let p = a + (b - a) * (done / length);
        let room = around.room(p, &give);
        if room < 0.0 {
            return false;
        }
        // Near the ends the need itself grows along the way.
        let near_end = around.ends.iter().any(|end| (p - *end).length() < 20.0);
        done += (if near_end { room / 3.0 } else { room }).max(0.15);
    }
    around.room(b, &give) >= 0.0
}

/// What must be kept on a grid of this step of what is needed: a little less, but not nothing.
fn give(step: f64) -> impl Fn(f64) -> f64 {
    move |keep| (keep - step / 2.0).max(keep / 4.0)
}

struct Grid<'a, 'b> {
    around: &'a Surroundings<'b>,
    step: f64,
    start: DVec3,
    goal: DVec3,
    low: Cell,
    high: Cell,
}

struct Place {
    at: DVec3,
    length: f64,
    back: u32,
    settled: bool,
}

struct Open {
    least: f64,
    place: u32,
}

impl PartialEq for Open {
    fn eq(&self, other: &Self) -> bool {
        self.cmp(other).is_eq()
    }
}
impl Eq for Open {}
impl PartialOrd for Open {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}
impl Ord for Open {
    /// The least first; of equals the first found.
    fn cmp(&self, other: &Self) -> Ordering {
        other.least.total_cmp(&self.least).then(other.place.cmp(&self.place))
    }
}

impl<'a, 'b> Grid<'a, 'b> {
    fn new(around: &'a Surroundings<'b>, step: f64, start: DVec3, goal: DVec3) -> Self {
        let [low, high] = around.grid_bounds(start, step);
        Self { around, step, start, goal, low, high }
    }

    /// The turns of the way; else the place nearest to the goal and whether all places were looked at. Notes how far
    /// it went.
    fn search(&self, places_max: usize) -> Result<Vec<DVec3>, (DVec3, bool)> {
        let mut went = Searched {
            step: self.step,
            start: self.start,
            seen: [[0; 3]; 2],
            cut: false,
            bounds: [self.low, self.high],
        };
        let found = self.searched(places_max, &mut went);
        self.around.searched.borrow_mut().push(went);
        found
    }

    /// The turns of the way; else the place nearest to the goal and whether all places were looked at.
    fn searched(&self, places_max: usize, went: &mut Searched) -> Result<Vec<DVec3>, (DVec3, bool)> {
        let mut places = vec![Place { at: self.start, length: 0.0, back: 0, settled: false }];
        let mut known: ByCell<Option<u32>> = [([0; 3], Some(0))].into_iter().collect();
        let mut cells = vec![[0; 3]];
        let mut open = BinaryHeap::from([Open { least: (self.goal - self.start).length(), place: 0 }]);
        let mut nearest = (f64::INFINITY, self.start);
        while let Some(Open { place: now, .. }) = open.pop() {
            if places[now as usize].settled {
                continue;
            }
            self.settle(now, cells[now as usize], &mut places, &known);
            let (at, back, length) = {
                let p = &places[now as usize];
                (p.at, p.back, p.length)
            };
            if !length.is_finite() {
                continue;
            }
            let left = (self.goal - at).length();
            if left < nearest.0 {
                nearest = (left, at);
            }
            if left <= 2.0 * self.step && clear(self.around, at, self.goal, self.step) {
                return Ok(self.led_back(&places, now));
            }
            if places.len() > places_max {
                return Err((nearest.1, false));
            }
            for offset in neighbours() {
                let cell = beside(cells[now as usize], offset);
                if (0..3).any(|n| cell[n] < self.low[n] || cell[n] > self.high[n]) {
                    went.cut = true;
                    continue;
                }
                let [least, greatest] = went.seen;
                went.seen =
                    [[0, 1, 2].map(|n| least[n].min(cell[n])), [0, 1, 2].map(|n| greatest[n].max(cell[n]))];
                let number = *known.entry(cell).or_insert_with(|| {
                    let at = self.start + DVec3::from_array(cell.map(f64::from)) * self.step;
                    (self.around.room(at, give(self.step)) >= 0.0).then(|| {
                        places.push(Place { at, length: f64::INFINITY, back: 0, settled: false });
                        cells.push(cell);
                        places.len() as u32 - 1
                    })
                });
                let Some(number) = number else { continue };
                // Straight from where this place came, taken on trust until it is its turn.
                let from = &places[back as usize];
                let by = from.length + (places[number as usize].at - from.at).length();
                let place = &mut places[number as usize];
                if !place.settled && by < place.length - 1e-9 {
                    place.length = by;
                    place.back = back;
                    open.push(Open { least: by + (self.goal - place.at).length(), place: number });
                }
            }
        }
        Err((nearest.1, true))
    }

    /// Looks whether the straight line taken on trust is clear, else comes from the best settled
    /// neighbour.
    fn settle(&self, now: u32, cell: Cell, places: &mut [Place], known: &ByCell<Option<u32>>) {
        let at = places[now as usize].at;
        places[now as usize].settled = true;
        let back = places[now as usize].back;
        if now == back || clear(self.around, places[back as usize].at, at, self.step) {
            return;
        }
        let mut best = (f64::INFINITY, back);
        for offset in neighbours() {
            let Some(Some(n)) = known.get(&beside(cell, offset)) else { continue };
            let other = &places[*n as usize];
            let by = other.length + (at - other.at).length();
            if *n != now && other.settled && by < best.0 && clear(self.around, other.at, at, self.step) {
                best = (by, *n);
            }
        }
        (places[now as usize].length, places[now as usize].back) = best;
    }

    fn led_back(&self, places: &[Place], from: u32) -> Vec<DVec3> {
        let mut way = vec![self.goal];
        let mut now = from;
        loop {
            way.push(places[now as usize].at);
            if now == 0 {
                break;
            }
            now = places[now as usize].back;
        }
        way.reverse();
        way
    }
}

fn beside(cell: Cell, offset: Cell) -> Cell {
    [0, 1, 2].map(|n| cell[n] + offset[n])
}

fn neighbours() -> impl Iterator<Item = Cell> {
    (0..27).map(|n| [n / 9 - 1, n / 3 % 3 - 1, n % 3 - 1]).filter(|offset| *offset != [0; 3])
}
