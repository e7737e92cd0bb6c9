//! Tracks of the wires in the channel between two columns.
//!
//! Each wire comes in at one height from the left, from the right or from above, runs along its own upright track and goes
//! out likewise. Two wires cross where a level piece of one meets the upright of the other, which depends on which track is farther left.
//! Tracks are put in order by moving one at a time as long as that saves crossings; for the drawing that is kept, the best order of all is
//! found by building orders up from the left, set of wires by set of wires, while there are at most 14 (Held and Karp, 1962).

/// Where a wire leaves the channel: to a pad on its left or right at a height, or up to a lane above all.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum End {
    Left(f64),
    Right(f64),
    Up(f64),
}

/// The wires in one channel.
#[derive(Clone, Debug, Default)]
pub(super) struct Channel {
    wires: Vec<[End; 2]>,
    /// The pads each of them joins: wires of one pad may cross, they are one piece of copper.
    joins: Vec<[usize; 2]>,
}

/// From track to track.
const STEP: f64 = 2.3;
/// Room at the left for lugs and a bend.
const BEFORE: f64 = 6.0;
/// Room at the right for the words on a wire.
const AFTER: f64 = 17.0;
/// Two level lines nearer than this would lie on each other.
const SAME: f64 = 0.7;

impl Channel {
    /// Adds a wire and gives its number.
    pub fn add(&mut self, from: End, to: End, join: [usize; 2]) -> usize {
        self.joins.push(join);
        self.wires.push([from, to]);
        self.wires.len() - 1
    }
    pub fn is_empty(&self) -> bool {
        self.wires.is_empty()
    }
    pub fn width(&self) -> f64 {
        BEFORE + self.wires.len().saturating_sub(1) as f64 * STEP + AFTER
    }
}

const fn height(end: End) -> f64 {
    match end {
        End::Left(y) | End::Right(y) | End::Up(y) => y,
    }
}

/// How often two wires cross with `a` on a track left of `b`.
fn crossed(a: &[End; 2], b: &[End; 2]) -> u32 {
    let spans = |wire: &[End; 2], y: f64| {
        let (p, q) = (height(wire[0]), height(wire[1]));
        y > p.min(q) + 1e-9 && y < p.max(q) - 1e-9
    };
    // A level piece of `a` that goes right passes the track of `b`; one of `b` that goes left passes that of `a`.
    let mut count = 0;
    for end in a {
        if let End::Right(y) = end {
            count += u32::from(spans(b, *y));
        }
    }
    for end in b {
        if let End::Left(y) = end {
            count += u32::from(spans(a, *y));
        }
    }
    count
}

/// Level pieces at one height must not lie on each other: the one from the right keeps right.
fn overlaps(a: &[End; 2], b: &[End; 2]) -> u32 {
    let mut count = 0;
    for one in a {
        for other in b {
            if let (End::Right(y), End::Left(z)) = (one, other) {
                count += 4 * u32::from((y - z).abs() < SAME);
            }
        }
    }
    count
}

/// How many crossings no order of the tracks can spare: each two wires stand one way round or the other, whatever the others do.
pub(super) fn bound(channel: &Channel) -> usize {
    let mut least = 0;
    for (n, a) in channel.wires.iter().enumerate() {
        for (m, b) in channel.wires.iter().enumerate().skip(n + 1) {
            if !channel.joins[n].iter().any(|pad| channel.joins[m].contains(pad)) {
                least += crossed(a, b).min(crossed(b, a));
            }
        }
    }
    least as usize
}

/// So many wires are put in the best order of all.
const EXACT_MOST: usize = 14;

/// The order of least cost, from the left; none where there are too many to know.
fn best_order(count: usize, cost: impl Fn(usize, usize) -> u32) -> Option<(Vec<usize>, u32)> {
    if count > EXACT_MOST {
        return None;
    }
    let pairs: Vec<Vec<u32>> = (0..count).map(|a| (0..count).map(|b| cost(a, b)).collect()).collect();
    // For each set of wires on the leftmost tracks: the least cost among them, and which of them stands last.
    let mut least = vec![(u32::MAX, 0); 1 << count];
    least[0].0 = 0;
    for set in 1usize..1 << count {
        for last in (0..count).filter(|last| set >> last & 1 == 1) {
            let before = set & !(1 << last);
            let more: u32 = (0..count).filter(|n| before >> n & 1 == 1).map(|n| pairs[n][last]).sum();
            let total = least[before].0 + more;
            if total < least[set].0 {
                least[set] = (total, last);
            }
        }
    }
    let (mut set, mut order) = ((1usize << count) - 1, Vec::new());
    let total = least[set].0;
    while set != 0 {
        order.push(least[set].1);
        set &= !(1 << least[set].1);
    }
    order.reverse();
    Some((order, total))
}

impl Channel {
    /// What it costs to have one wire on a track left of another; wires of one pad may cross.
    fn cost(&self, a: usize, b: usize) -> u32 {
        let one_net = self.joins[a].iter().any(|pad| self.joins[b].contains(pad));
        let overlaps = overlaps(&self.wires[a], &self.wires[b]);
        overlaps + if one_net { 0 } else { crossed(&self.wires[a], &self.wires[b]) }
    }
}

/// How many crossings no order of the tracks whatever spares; a bound from below where there are too many wires to know.
pub(super) fn unspared(channel: &Channel) -> usize {
    let crossings =
        |a: usize, b: usize| match channel.joins[a].iter().any(|pad| channel.joins[b].contains(pad)) {
            true => 0,
            false => crossed(&channel.wires[a], &channel.wires[b]),
        };
    best_order(channel.wires.len(), crossings).map_or_else(|| bound(channel), |(_, least)| least as usize)
}

/// The track of each wire, in mm from the left edge of the channel; in the best order of all where that is asked for.
pub(super) fn tracks(channel: &Channel, exact: bool) -> Vec<f64> {
    let count = channel.wires.len();
    let mut order = descended(channel);
    let pairs = || (0..count).flat_map(|a| (a + 1..count).map(move |b| (a, b)));
    let least: u32 = pairs().map(|(a, b)| channel.cost(a, b).min(channel.cost(b, a))).sum();
    let found: u32 = pairs().map(|(n, m)| channel.cost(order[n], order[m])).sum();
    if exact
        && found > least
        && let Some((best, _)) = best_order(count, |a, b| channel.cost(a, b))
    {
        order = best;
    }
    let mut tracks = vec![0.0; count];
    for (track, wire) in order.iter().enumerate() {
        tracks[*wire] = BEFORE + track as f64 * STEP;
    }
    tracks
}

/// An order that no move of one wire improves.
fn descended(channel: &Channel) -> Vec<usize> {
    let wires = &channel.wires;
    let mut order: Vec<usize> = (0..wires.len()).collect();
    // A good start: those that go down from the left come last first, those that go up first first.
    order.sort_by(|a, b| {
        let key = |n: &usize| {
            let (p, q) = (height(wires[*n][0]), height(wires[*n][1]));
            if q >= p { -p } else { p - 1e4 }
        };
        key(a).total_cmp(&key(b))
    });
    let total = |order: &[usize]| -> u32 {
        order
            .iter()
            .enumerate()
            .map(|(n, a)| order[n + 1..].iter().map(|b| channel.cost(*a, *b)).sum::<u32>())
            .sum()
    };
    let mut least = total(&order);
    let mut improved = least > 0;
    while improved {
        improved = false;
        for from in 0..order.len() {
            for to in 0..order.len() {
                let mut tried = order.clone();
                let wire = tried.remove(from);
                tried.insert(to, wire);
                let cost = total(&tried);
                if cost < least {
                    (order, least, improved) = (tried, cost, true);
                }
            }
        }
    }
    order
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn wires_that_keep_their_order_never_cross() {
        let mut channel = Channel::default();
        for n in 0..8u32 {
            let y = 5.0 * f64::from(n);
            channel.add(End::Left(y), End::Right(1.5 * y + 3.1), [2 * n as usize, 2 * n as usize + 1]);
        }
        for exact in [false, true] {
            let tracks = tracks(&channel, exact);
            for a in 0..channel.wires.len() {
                for b in 0..channel.wires.len() {
                    if tracks[a] < tracks[b] {
                        assert_eq!(channel.cost(a, b), 0, "{a} left of {b}");
                    }
                }
            }
        }
    }

    #[test]
    fn a_swapped_pair_crosses_once() {
        let (a, b) = ([End::Left(0.0), End::Right(11.0)], [End::Left(5.0), End::Right(6.0)]);
        assert_eq!(crossed(&a, &b).min(crossed(&b, &a)), 1);
        let mut channel = Channel::default();
        channel.add(a[0], a[1], [0, 1]);
        channel.add(b[0], b[1], [2, 3]);
        assert_eq!([bound(&channel), unspared(&channel)], [1, 1]);
        // Two wires of one pad may cross.
        channel.joins[1] = [0, 3];
        assert_eq!([bound(&channel), unspared(&channel)], [0, 0]);
    }

    proptest! {
        /// The best order is held against every order there is, and the descent never beats it.
        #[test]
        fn no_order_of_tracks_is_better_than_the_best(ends in prop::collection::vec((0u8..3, 0u8..3, 0.0..60.0f64, 0.0..60.0f64), 1..6)) {
            let end = |side: u8, y: f64| match side { 0 => End::Left(y), 1 => End::Right(y), _ => End::Up(-y) };
            let mut channel = Channel::default();
            for (n, (a, b, y, z)) in ends.iter().enumerate() {
                channel.add(end(*a, *y), end(*b, *z), [2 * n, 2 * n + 1]);
            }
            let count = channel.wires.len();
            let total = |order: &[usize]| -> u32 {
                (0..count).flat_map(|n| (n + 1..count).map(move |m| (n, m))).map(|(n, m)| channel.cost(order[n], order[m])).sum()
            };
            let (order, least) = best_order(count, |a, b| channel.cost(a, b)).unwrap();
            prop_assert_eq!(total(&order), least);
            prop_assert!(total(&descended(&channel)) >= least);
            let every = super::super::orders::orders(count);
            prop_assert_eq!(every.iter().map(|order| total(order)).min().unwrap(), least);
            prop_assert!(bound(&channel) <= unspared(&channel));
        }
    }
}
