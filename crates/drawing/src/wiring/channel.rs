//! Tracks of the wires in the channel between two columns.
//!
//! Each wire comes in at one height from the left, from the right or from above, runs along its own upright track and goes
//! out likewise. Two wires cross where a level piece of one meets the upright of the other, which depends on which track is farther left.
//! Tracks are put in order by exchanging neighbours, and by moving one at a time, as long as that saves crossings.

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

/// What it costs to have `a` on a track left of `b`.
fn cost(a: &[End; 2], b: &[End; 2]) -> u32 {
    let mut count = crossed(a, b);
    // Level pieces at one height must not lie on each other: the one from the right keeps right.
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

/// The track of each wire, in mm from the left edge of the channel.
pub(super) fn tracks(channel: &Channel) -> Vec<f64> {
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
            .map(|(n, a)| order[n + 1..].iter().map(|b| cost(&wires[*a], &wires[*b])).sum::<u32>())
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
    let mut tracks = vec![0.0; wires.len()];
    for (track, wire) in order.iter().enumerate() {
        tracks[*wire] = BEFORE + track as f64 * STEP;
    }
    tracks
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn wires_that_keep_their_order_never_cross() {
        let mut channel = Channel::default();
        for n in 0..8u32 {
            let y = 5.0 * f64::from(n);
            channel.add(End::Left(y), End::Right(1.5 * y + 3.1), [2 * n as usize, 2 * n as usize + 1]);
        }
        let tracks = tracks(&channel);
        for (a, one) in channel.wires.iter().enumerate() {
            for (b, other) in channel.wires.iter().enumerate() {
                if tracks[a] < tracks[b] {
                    assert_eq!(cost(one, other), 0, "{a} left of {b}");
                }
            }
        }
    }

    #[test]
    fn a_swapped_pair_crosses_once() {
        let (a, b) = ([End::Left(0.0), End::Right(11.0)], [End::Left(5.0), End::Right(6.0)]);
        assert_eq!(cost(&a, &b).min(cost(&b, &a)), 1);
        let mut channel = Channel::default();
        channel.add(a[0], a[1], [0, 1]);
        channel.add(b[0], b[1], [2, 3]);
        assert_eq!(bound(&channel), 1);
        // Two wires of one pad may cross.
        channel.joins[1] = [0, 3];
        assert_eq!(bound(&channel), 0);
    }
}
