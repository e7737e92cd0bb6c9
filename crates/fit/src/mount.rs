//! Which way round a board's holes meet a frame's, and with how much float.
//!
//! A screw of diameter d floats by (D − d)/2 in a hole of diameter D. Through board and frame it allows the two
//! holes of a pair to be (D_board − d)/2 + (D_frame − d)/2 apart (floating fastener; the fit formulas of
//! ASME Y14.5 say the same of sizes, H = F + T). A board meets a frame at a turn θ, on its face or flipped, if a
//! shift s exists with |R(θ)·b_k + s − f_k| within that for every matched pair.
//!
//! All turns are found: any two holes of the board laid on any two of the frame at like distance give a
//! candidate. Holes within [`CAPTURE`] of each other are then matched, the turn is trimmed by least squares
//! and by golden section, and the best shift is solved exactly (see `settle.rs` and `enclosing.rs`). Near misses are
//! listed too, with negative float: by that much the holes do not meet.
//!
//! A slot allows its whole length: the hole of a pair is then where along the slot suits best.
//! Left out: bending the board. Flipped means turned over about the board's x axis: (x, y) → (x, −y).

use crate::outline::PlanePoint;
use crate::pattern::{HolePattern, PatternFault};
use crate::settle::{PairShift, Slotted, float, golden, least_squares, settled};
use parry3d_f64::glamx::DVec2;
use quantity::{Degrees, Millimetres};

/// Holes further from each other than their float and this much are no pair, in mm.
pub const CAPTURE: Millimetres = Millimetres::new(1.0);

/// One way to lay a board on a frame.
#[derive(Clone, Debug, PartialEq)]
pub struct Meeting {
    /// How far the board is turned, counter-clockwise, from −180° to 180°, after flipping.
    pub turn: Degrees,
    /// Whether it lies on its face.
    pub flipped: bool,
    /// Where the board's origin comes to lie, in the frame's plane.
    pub shift: PlanePoint,
    /// Pairs of hole numbers: board, frame.
    pub matched: Vec<(usize, usize)>,
    /// Which of the pairs is worst off.
    pub worst: usize,
    /// How far the holes of the worst pair are apart.
    pub misfit: Millimetres,
    /// How far the screw lets them be apart there.
    pub float: Millimetres,
    /// What is left of the float at the worst pair; negative where the screw does not go through.
    pub float_left: Millimetres,
}

impl Meeting {
    /// The share of the float used at the worst pair; above one where the screw does not go through.
    pub fn float_used(&self) -> f64 {
        let (misfit, float) = (self.misfit.get(), self.float.get());
        if float > 0.0 {
            misfit / float
        } else if misfit < 1e-9 && float >= 0.0 {
            1.0
        } else {
            f64::INFINITY
        }
    }
    /// Whether every matched screw goes through.
    pub fn fits(&self) -> bool {
        self.float_left.get() >= -1e-9
    }
    /// How many of the board's holes have no counterpart.
    pub fn holes_unmatched(&self, board: &HolePattern) -> usize {
        board.holes.len() - self.matched.len()
    }
}

/// All ways to lay a board on a frame, best first: those that fit, then more matched holes, then more float
/// left. A way needs three matched holes, or all of the smaller pattern if that has only two; ways with
/// fewer holes than the best that fits are left out. Near misses come last.
pub fn meet(
    board: &HolePattern,
    frame: &HolePattern,
    screw: Millimetres,
) -> Result<Vec<Meeting>, PatternFault> {
    board.check()?;
    frame.check()?;
    if !(screw.get() > 0.0 && screw.get().is_finite()) {
        return Err(PatternFault::NotAScrew { diameter: screw });
    }
    let pairs_least = board.holes.len().min(frame.holes.len()).clamp(2, 3);
    let mut found: Vec<Meeting> = Vec::new();
    for flipped in [false, true] {
        let laid: Vec<Slotted> = board.holes.iter().map(|hole| Slotted::of(hole, flipped)).collect();
        let onto: Vec<Slotted> = frame.holes.iter().map(|hole| Slotted::of(hole, false)).collect();
        for (turn, shift) in candidates(&laid, &onto, pairs_least, screw.get()) {
            let (turn, matched) = matched_again(&laid, &onto, turn, shift, screw.get());
            if matched.len() < pairs_least || found.iter().any(|m| same(m, flipped, turn, &matched)) {
                continue;
            }
            let mut meeting = trimmed(&laid, &onto, &matched, turn, flipped, screw.get());
            if found.iter().any(|m| same(m, flipped, meeting.turn.get().to_radians(), &meeting.matched)) {
                continue;
            }
            found.push(meeting.clone());
            // If not all screws go through, perhaps all but one do, or all but two.
            while !meeting.fits() && meeting.matched.len() > pairs_least.max(3) {
                let start = meeting.turn.get().to_radians();
                let without = |n: usize| {
                    let mut fewer = meeting.matched.clone();
                    fewer.remove(n);
                    trimmed(&laid, &onto, &fewer, start, flipped, screw.get())
                };
                let best = (0..meeting.matched.len())
                    .map(without)
                    .max_by(|a, b| a.float_left.get().total_cmp(&b.float_left.get()));
                let Some(best) = best else { break };
                meeting = best;
                if meeting.fits() && !found.iter().any(|m| same(m, flipped, start, &meeting.matched)) {
                    found.push(meeting.clone());
                }
            }
        }
    }
    let most = found.iter().filter(|m| m.fits()).map(|m| m.matched.len()).max().unwrap_or(0);
    found.retain(|m| m.matched.len() >= most);
    found.sort_by(|a, b| {
        let rank = |m: &Meeting| (m.fits(), m.matched.len());
        rank(b)
            .cmp(&rank(a))
            .then(rounded(b.float_left).total_cmp(&rounded(a.float_left)))
            .then(a.flipped.cmp(&b.flipped))
            .then(a.turn.get().abs().total_cmp(&b.turn.get().abs()))
            .then(b.turn.get().total_cmp(&a.turn.get()))
    });
    Ok(found)
}

/// The float left by the same pairing of holes when sizes and places have moved a little: what sampling
/// the doubt of a match asks for. The turn is trimmed anew.
pub fn float_left_as_met(
    board: &HolePattern,
    frame: &HolePattern,
    screw: Millimetres,
    met: &Meeting,
) -> Millimetres {
    let laid: Vec<Slotted> = board.holes.iter().map(|hole| Slotted::of(hole, met.flipped)).collect();
    let onto: Vec<Slotted> = frame.holes.iter().map(|hole| Slotted::of(hole, false)).collect();
    let known = |(b, f): &(usize, usize)| *b < laid.len() && *f < onto.len();
    if met.matched.is_empty() || !met.matched.iter().all(known) {
        return Millimetres::new(f64::NEG_INFINITY);
    }
    trimmed(&laid, &onto, &met.matched, met.turn.get().to_radians(), met.flipped, screw.get()).float_left
}

fn rounded(mm: Millimetres) -> f64 {
    (mm.get() * 1e6).round()
}

fn same(m: &Meeting, flipped: bool, turn: f64, matched: &[(usize, usize)]) -> bool {
    let apart = (m.turn.get().to_radians() - turn + std::f64::consts::PI).rem_euclid(std::f64::consts::TAU)
        - std::f64::consts::PI;
    m.flipped == flipped && m.matched == matched && apart.abs() < 0.05
}

/// Turns and shifts that lay two holes of the board on two of the frame. Of a board's n holes at least
/// `pairs_least` are to be matched, so among any n + 2 − `pairs_least` of them two are: the outermost are
/// taken, since two holes far apart tell the turn best.
fn candidates(board: &[Slotted], frame: &[Slotted], pairs_least: usize, screw: f64) -> Vec<(f64, DVec2)> {
    let mut list: Vec<(f64, DVec2)> = Vec::new();
    let middle = board.iter().map(Slotted::middle).sum::<DVec2>() / board.len().max(1) as f64;
    let mut some: Vec<&Slotted> = board.iter().collect();
    some.sort_by(|a, b| (b.middle() - middle).length().total_cmp(&(a.middle() - middle).length()));
    some.truncate(board.len() + 2 - pairs_least);
    for (i, b0) in some.iter().enumerate() {
        for b1 in &some[i + 1..] {
            let on_board = b1.middle() - b0.middle();
            if on_board.length() < 1e-6 {
                continue;
            }
            for (k, f0) in frame.iter().enumerate() {
                for (l, f1) in frame.iter().enumerate() {
                    let on_frame = f1.middle() - f0.middle();
                    if k == l || on_frame.length() < 1e-6 {
                        continue;
                    }
                    let play = float(b0, f0, screw).max(0.0)
                        + float(b1, f1, screw).max(0.0)
                        + [b0, b1, f0, f1].iter().map(|h| h.length() / 2.0).sum::<f64>();
                    if (on_board.length() - on_frame.length()).abs() > play + 2.0 * CAPTURE.get() {
                        continue;
                    }
                    let turn = on_board.angle_to(on_frame);
                    let middle = DVec2::from_angle(turn).rotate((b0.middle() + b1.middle()) / 2.0);
                    let shift = (f0.middle() + f1.middle()) / 2.0 - middle;
                    let known = |(t, s): &(f64, DVec2)| {
                        let apart = (t - turn).abs();
                        apart.min(std::f64::consts::TAU - apart) < 1e-4 && (*s - shift).length() < 1e-2
                    };
                    if !list.iter().any(known) {
                        list.push((turn, shift));
                    }
                }
            }
        }
    }
    list
}

/// Pairs holes as the candidate lays them, then as all pairs found lay them best, while that finds more. A
/// candidate from two near holes may be turned too far for distant ones.
fn matched_again(
    board: &[Slotted],
    frame: &[Slotted],
    mut turn: f64,
    shift: DVec2,
    screw: f64,
) -> (f64, Vec<(usize, usize)>) {
    let mut matched = matching(board, frame, turn, shift, screw);
    while matched.len() >= 2 && matched.len() < board.len() {
        let (again, shift) = least_squares(board, frame, &matched);
        let more = matching(board, frame, again, shift, screw);
        if more.len() <= matched.len() {
            break;
        }
        (turn, matched) = (again, more);
    }
    (turn, matched)
}

/// Pairs each hole of the board with the nearest hole of the frame that is near enough; each at most once.
fn matching(
    board: &[Slotted],
    frame: &[Slotted],
    turn: f64,
    shift: DVec2,
    screw: f64,
) -> Vec<(usize, usize)> {
    let rotor = DVec2::from_angle(turn);
    let mut near: Vec<(f64, usize, usize)> = Vec::new();
    for (i, b) in board.iter().enumerate() {
        for (k, f) in frame.iter().enumerate() {
            let between = PairShift::of(b, f, rotor).nearest(shift) - shift;
            let off = between.length() - float(b, f, screw).max(0.0);
            if off <= CAPTURE.get() {
                near.push((off, i, k));
            }
        }
    }
    near.sort_by(|a, b| a.0.total_cmp(&b.0).then((a.1, a.2).cmp(&(b.1, b.2))));
    let mut pairs: Vec<(usize, usize)> = Vec::new();
    for (_, i, k) in near {
        if pairs.iter().all(|(a, b)| *a != i && *b != k) {
            pairs.push((i, k));
        }
    }
    pairs.sort_unstable();
    pairs
}

/// A matching at its best turn and shift.
fn trimmed(
    board: &[Slotted],
    frame: &[Slotted],
    pairs: &[(usize, usize)],
    turn: f64,
    flipped: bool,
    screw: f64,
) -> Meeting {
    let left = |turn: f64| settled(board, frame, pairs, turn, screw).1;
    let golden_near = |turn: f64| golden(turn - 0.03, turn + 0.03, left);
    let better = |best: (f64, f64), turn: f64, at_least: f64| {
        let found = (turn, left(turn));
        if found.1 > best.1 + at_least { found } else { best }
    };
    let (squares, _) = least_squares(board, frame, pairs);
    let mut best = better((turn, left(turn)), squares, 1e-7);
    // Where all of the least float is left there is nothing to trim.
    let floats = pairs.iter().map(|(i, k)| float(&board[*i], &frame[*k], screw));
    if best.1 < floats.fold(f64::INFINITY, f64::min) - 1e-9 {
        best = better(best, golden_near(best.0).0, 1e-7);
    }
    // An even turn is preferred where it is as good.
    let eighth = std::f64::consts::FRAC_PI_4;
    let turn = better(best, (best.0 / eighth).round() * eighth, -1e-7).0;
    let (shift, float_left) = settled(board, frame, pairs, turn, screw);
    let rotor = DVec2::from_angle(turn);
    let (mut worst, mut least) = (0, f64::INFINITY);
    let (mut misfit, mut allowed) = (0.0, 0.0);
    for (n, (i, k)) in pairs.iter().enumerate() {
        let off = (PairShift::of(&board[*i], &frame[*k], rotor).nearest(shift) - shift).length();
        let float = float(&board[*i], &frame[*k], screw);
        if float - off < least {
            (worst, least, misfit, allowed) = (n, float - off, off, float);
        }
    }
    let degrees = turn.to_degrees();
    let degrees = degrees - 360.0 * ((degrees - 180.0) / 360.0).ceil();
    Meeting {
        turn: Degrees::new(degrees),
        flipped,
        shift: PlanePoint::new(shift.x, shift.y),
        matched: pairs.to_vec(),
        worst,
        misfit: Millimetres::new(misfit),
        float: Millimetres::new(allowed),
        float_left: Millimetres::new(float_left),
    }
}
