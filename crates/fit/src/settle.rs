//! Where a board comes to rest on a frame at a given turn, so that the worst hole has most to spare.
//!
//! For round holes the exact answer of `enclosing.rs`. With slots the shifts that suit a pair exactly
//! are a segment or a parallelogram; what is to spare is then still a concave function of the shift, and its
//! top is found by golden section to 10⁻¹⁰ mm.

use crate::enclosing::best_shift;
use crate::outline::PlanePoint;
use crate::pattern::MountHole;
use parry3d_f64::glamx::DVec2;

/// A hole as the segment its middle may lie on, with its width.
#[derive(Clone, Copy)]
pub(crate) struct Slotted {
    pub from: DVec2,
    pub to: DVec2,
    pub diameter: f64,
}

impl Slotted {
    pub(crate) fn of(hole: &MountHole, flipped: bool) -> Self {
        let lay = |p: PlanePoint| if flipped { DVec2::new(p.x, -p.y) } else { p.raw() };
        let from = lay(hole.at);
        Self { from, to: hole.slot_to.map_or(from, lay), diameter: hole.diameter.get() }
    }
    pub(crate) fn middle(&self) -> DVec2 {
        (self.from + self.to) / 2.0
    }
    pub(crate) fn length(&self) -> f64 {
        (self.to - self.from).length()
    }
}

pub(crate) fn float(a: &Slotted, b: &Slotted, screw: f64) -> f64 {
    (a.diameter - screw) / 2.0 + (b.diameter - screw) / 2.0
}

/// The shifts that lay a pair of holes exactly on each other: a point, a segment, or for two slots a
/// parallelogram.
pub(crate) struct PairShift {
    start: DVec2,
    sides: [DVec2; 2],
}

impl PairShift {
    pub(crate) fn of(board: &Slotted, frame: &Slotted, rotor: DVec2) -> Self {
        let (from, to) = (rotor.rotate(board.from), rotor.rotate(board.to));
        Self { start: frame.from - from, sides: [frame.to - frame.from, from - to] }
    }
    pub(crate) fn is_point(&self) -> bool {
        self.sides[0] == DVec2::ZERO && self.sides[1] == DVec2::ZERO
    }
    /// The exact shift nearest to a shift.
    pub(crate) fn nearest(&self, s: DVec2) -> DVec2 {
        if self.is_point() {
            return self.start;
        }
        let [u, v] = self.sides;
        let on_segment = |from: DVec2, side: DVec2| {
            let along = if side == DVec2::ZERO { 0.0 } else { (s - from).dot(side) / side.length_squared() };
            from + side * along.clamp(0.0, 1.0)
        };
        let turn = u.perp_dot(v);
        if turn.abs() > 1e-12 {
            let r = s - self.start;
            let (a, b) = (r.perp_dot(v) / turn, u.perp_dot(r) / turn);
            if (0.0..=1.0).contains(&a) && (0.0..=1.0).contains(&b) {
                return s;
            }
        }
        [(self.start, u), (self.start, v), (self.start + u, v), (self.start + v, u)]
            .map(|(from, side)| on_segment(from, side))
            .into_iter()
            .min_by(|a, b| (*a - s).length().total_cmp(&(*b - s).length()))
            .unwrap_or(self.start)
    }
}

/// The best shift at a turn and what it leaves at the worst pair.
pub(crate) fn settled(
    board: &[Slotted],
    frame: &[Slotted],
    pairs: &[(usize, usize)],
    turn: f64,
    screw: f64,
) -> (DVec2, f64) {
    let rotor = DVec2::from_angle(turn);
    let shifts: Vec<PairShift> =
        pairs.iter().map(|(i, k)| PairShift::of(&board[*i], &frame[*k], rotor)).collect();
    let allowed: Vec<f64> = pairs.iter().map(|(i, k)| float(&board[*i], &frame[*k], screw)).collect();
    if shifts.iter().all(PairShift::is_point) {
        let places: Vec<DVec2> = shifts.iter().map(|s| s.start).collect();
        return best_shift(&places, &allowed);
    }
    let spare = |s: DVec2| {
        let left = |(shift, w): (&PairShift, &f64)| w - (shift.nearest(s) - s).length();
        shifts.iter().zip(&allowed).map(left).fold(f64::INFINITY, f64::min)
    };
    // The spare is concave in the shift, so golden section within golden section finds the best.
    let (low, high) = shifts.iter().fold((DVec2::INFINITY, DVec2::NEG_INFINITY), |(l, h), s| {
        let ends = [s.start, s.start + s.sides[0], s.start + s.sides[1], s.start + s.sides[0] + s.sides[1]];
        ends.iter().fold((l, h), |(l, h), p| (l.min(*p), h.max(*p)))
    });
    let at_x = |x: f64| golden(low.y, high.y, |y| spare(DVec2::new(x, y)));
    let (x, _) = golden(low.x, high.x, |x| at_x(x).1);
    let (y, left) = at_x(x);
    (DVec2::new(x, y), left)
}

/// Where a one-humped function is greatest, and its value there.
pub(crate) fn golden(mut low: f64, mut high: f64, f: impl Fn(f64) -> f64) -> (f64, f64) {
    let share = (5f64.sqrt() - 1.0) / 2.0;
    let (mut a, mut b) = (high - share * (high - low), low + share * (high - low));
    let (mut fa, mut fb) = (f(a), f(b));
    for _ in 0..60 {
        if high - low < 1e-10 {
            break;
        }
        if fa < fb {
            (low, a, fa) = (a, b, fb);
            b = low + share * (high - low);
            fb = f(b);
        } else {
            (high, b, fb) = (b, a, fa);
            a = high - share * (high - low);
            fa = f(a);
        }
    }
    if fa > fb { (a, fa) } else { (b, fb) }
}

/// The turn and the shift that lay the middles of the pairs on each other with the least sum of squares:
/// tan θ = Σ b×f / Σ b·f about the centroids, and the shift lays one centroid on the other.
pub(crate) fn least_squares(board: &[Slotted], frame: &[Slotted], pairs: &[(usize, usize)]) -> (f64, DVec2) {
    let n = pairs.len() as f64;
    let (mut mb, mut mf) = (DVec2::ZERO, DVec2::ZERO);
    for (i, k) in pairs {
        mb += board[*i].middle() / n;
        mf += frame[*k].middle() / n;
    }
    let (mut sine, mut cosine) = (0.0, 0.0);
    for (i, k) in pairs {
        let (b, f) = (board[*i].middle() - mb, frame[*k].middle() - mf);
        sine += b.perp_dot(f);
        cosine += b.dot(f);
    }
    let turn = sine.atan2(cosine);
    (turn, mf - DVec2::from_angle(turn).rotate(mb))
}
