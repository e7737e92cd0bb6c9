//! Labels: in a column beside what they name, moved apart where they would lie over each other; and within a plot, each in the
//! first of its places that is free.

use super::axis::LETTER;
use crate::scale::Area;

/// What is taken of a plot, so that no words lie over others.
pub(super) struct Taken {
    within: Area,
    boxes: Vec<Area>,
    /// Lines that words had better not cross, as points close together.
    lines: Vec<[f64; 2]>,
}

/// How far apart points of a line are looked at, in mm.
const ALONG: f64 = 1.0;
/// What a mm² of other words, or of room outside, counts; a point of a line; a place further down the list.
const COSTS: [f64; 3] = [10.0, 0.6, 0.05];

impl Taken {
    /// Nothing yet.
    pub fn of(within: Area) -> Self {
        Self { within, boxes: Vec::new(), lines: Vec::new() }
    }

    /// Room that is taken, whatever lies there.
    pub fn take(&mut self, room: Area) {
        self.boxes.push(room);
    }

    /// A line that is drawn.
    pub fn crossed_by(&mut self, line: &[[f64; 2]]) {
        for pair in line.windows(2) {
            let [[x, y], [u, v]] = [pair[0], pair[1]];
            let steps = ((u - x).hypot(v - y) / ALONG).ceil().clamp(1.0, 400.0);
            self.lines.extend((0..steps as u32).map(|n| {
                let share = f64::from(n) / steps;
                [x + (u - x) * share, y + (v - y) * share]
            }));
        }
    }

    /// The best of several places by the room each wants, in order of liking; it is taken then.
    pub fn choose<P: Copy>(&mut self, places: &[(Area, P)]) -> Option<P> {
        let costs = places.iter().enumerate().map(|(n, (room, _))| self.cost(room) + COSTS[2] * n as f64);
        let (best, _) = costs.enumerate().min_by(|a, b| a.1.total_cmp(&b.1))?;
        let (room, place) = places[best];
        self.boxes.push(room);
        Some(place)
    }

    fn cost(&self, room: &Area) -> f64 {
        let words: f64 = self.boxes.iter().map(|taken| common(taken, room)).sum();
        let outside = room.width * room.height - common(&self.within, room);
        let inside = |at: &&[f64; 2]| {
            (room.left..=room.left + room.width).contains(&at[0])
                && (room.top..=room.top + room.height).contains(&at[1])
        };
        COSTS[0] * (words + outside) + COSTS[1] * self.lines.iter().filter(inside).count() as f64
    }
}

/// How much two areas share, in mm².
fn common(a: &Area, b: &Area) -> f64 {
    let along = |a: [f64; 2], b: [f64; 2]| (a[1].min(b[1]) - a[0].max(b[0])).max(0.0);
    along([a.left, a.left + a.width], [b.left, b.left + b.width])
        * along([a.top, a.top + a.height], [b.top, b.top + b.height])
}

/// Letters as they are set may run so much wider than they are counted, at either end, in mm.
const SPARE: f64 = 0.6;

/// The room of rows of words, the first with its foot at a height, and what letters may run over.
pub(super) fn room_of(left: f64, foot: f64, width: f64, rows: usize) -> Area {
    let height = 1.15 * LETTER + 4.0 * (rows.max(1) - 1) as f64;
    Area { left: left - SPARE, top: foot - 0.85 * LETTER, width: width + 2.0 * SPARE, height }
}

/// Where labels of some heights stand, each as near to where it wants to be as the others and the column allow. In order of what they want;
/// answers in the order given. Where the column is too short for all, they run over its foot.
pub(super) fn spread(wanted: &[(f64, f64)], top: f64, bottom: f64) -> Vec<f64> {
    let mut order: Vec<usize> = (0..wanted.len()).collect();
    order.sort_by(|a, b| wanted[*a].0.total_cmp(&wanted[*b].0).then(a.cmp(b)));
    // Blocks of labels that touch: sum of what they want, less how far each lies below the head; their count; their height.
    let mut blocks: Vec<(f64, usize, f64)> = Vec::new();
    let head = |&(sum, count, height): &(f64, usize, f64)| (sum / count as f64).min(bottom - height).max(top);
    for n in &order {
        let (middle, height) = wanted[*n];
        blocks.push((middle - height / 2.0, 1, height));
        while let [.., above, below] = &blocks[..] {
            if head(above) + above.2 <= head(below) + 1e-9 {
                break;
            }
            let joined = (above.0 + below.0 - below.1 as f64 * above.2, above.1 + below.1, above.2 + below.2);
            blocks.truncate(blocks.len() - 2);
            blocks.push(joined);
        }
    }
    let mut placed = vec![0.0; wanted.len()];
    let mut next = order.into_iter();
    for block in &blocks {
        let mut y = head(block);
        for n in next.by_ref().take(block.1) {
            placed[n] = y + wanted[n].1 / 2.0;
            y += wanted[n].1;
        }
    }
    placed
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn labels_that_want_the_same_place_stand_about_it() {
        assert_eq!(spread(&[(10.0, 4.0), (10.0, 4.0)], 0.0, 40.0), [8.0, 12.0]);
        assert_eq!(spread(&[(1.0, 4.0), (30.0, 4.0)], 0.0, 40.0), [2.0, 30.0]);
        assert_eq!(spread(&[(39.0, 4.0), (39.5, 4.0)], 0.0, 40.0), [34.0, 38.0]);
    }

    #[test]
    fn words_keep_off_words_and_rather_off_lines() {
        let mut taken = Taken::of(Area { left: 0.0, top: 0.0, width: 50.0, height: 30.0 });
        let at = |left: f64, top: f64| Area { left, top, width: 10.0, height: 4.0 };
        assert_eq!(taken.choose(&[(at(5.0, 5.0), 'a'), (at(5.0, 15.0), 'b')]), Some('a'));
        // The same room again is not free, and half of the third place lies outside.
        let places = [(at(8.0, 6.0), 'a'), (at(45.0, 5.0), 'b'), (at(5.0, 15.0), 'c')];
        assert_eq!(taken.choose(&places), Some('c'));
        taken.crossed_by(&[[0.0, 25.0], [50.0, 25.0]]);
        assert_eq!(taken.choose(&[(at(20.0, 23.0), 'a'), (at(20.0, 18.0), 'b')]), Some('b'));
        // Where nothing is free the least bad is taken.
        assert_eq!(taken.choose(&[(at(20.0, 18.0), 'a'), (at(26.0, 18.0), 'b')]), Some('b'));
        assert_eq!(taken.choose::<char>(&[]), None);
    }

    proptest! {
        #[test]
        fn no_label_lies_over_another(wanted in prop::collection::vec((0.0..100.0f64, 3.0..9.0f64), 1..9)) {
            let at = spread(&wanted, 0.0, 100.0);
            let mut spans: Vec<(f64, f64)> =
                at.iter().zip(&wanted).map(|(y, (_, h))| (y - h / 2.0, y + h / 2.0)).collect();
            spans.sort_by(|a, b| a.0.total_cmp(&b.0));
            prop_assert!(spans.windows(2).all(|pair| pair[0].1 <= pair[1].0 + 1e-6));
            prop_assert!(spans.iter().all(|(low, high)| *low >= -1e-6 && *high <= 100.0 + 1e-6));
        }
    }
}
