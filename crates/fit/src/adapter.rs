//! Do the screw heads of two patterns on one adapter plate keep clear of each other.
//!
//! Two squares of pitch p₁ < p₂ on one middle, aligned, have their holes (p₂ − p₁)/2·√2 apart; turned by 45°
//! against each other they are √(p₁² + p₂² − √2·p₁·p₂)/√2 apart. In general the least distance of any two
//! holes counts, less both head radii. Wanted is [`HEAD_SPARE`]. Common practice.

use crate::pattern::{HolePattern, MountHole};
use parry3d_f64::glamx::DVec2;
use quantity::{Degrees, Millimetres, Source};

/// Air wanted between two screw heads.
pub const HEAD_SPARE: Millimetres = Millimetres::new(0.5);
/// Where it comes from.
pub const HEAD_SPARE_SOURCE: Source = Source::common_practice("air between screw heads on an adapter plate");

/// Two heads that come nearest.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct HeadGap {
    /// How far the first pattern is turned about its own middle.
    pub turn: Degrees,
    /// The air between the rims of the heads; negative where they overlap.
    pub gap: Millimetres,
    /// The hole of the first pattern.
    pub first: usize,
    /// The hole of the second.
    pub second: usize,
}

/// The least air between the heads of two patterns, the first turned about its own middle. `None` if one has
/// no holes. Slots count at the end nearest to the other head.
pub fn head_gap(
    first: &HolePattern,
    second: &HolePattern,
    head_first: Millimetres,
    head_second: Millimetres,
    turn: Degrees,
) -> Option<HeadGap> {
    let ends = |pattern: &HolePattern| -> Vec<(usize, DVec2)> {
        let both = |(n, hole): (usize, &MountHole)| {
            [Some(hole.at), hole.slot_to].into_iter().flatten().map(move |p| (n, p.raw())).collect::<Vec<_>>()
        };
        pattern.holes.iter().enumerate().flat_map(both).collect()
    };
    let (turned, still) = (ends(first), ends(second));
    let middle = turned.iter().map(|(_, p)| *p).sum::<DVec2>() / turned.len().max(1) as f64;
    let rotor = DVec2::from_angle(turn.get().to_radians());
    let radii = (head_first + head_second) / 2.0;
    let mut best: Option<HeadGap> = None;
    for (i, p) in &turned {
        let p = middle + rotor.rotate(*p - middle);
        for (k, q) in &still {
            let gap = Millimetres::new((p - *q).length()) - radii;
            if best.is_none_or(|best| gap < best.gap) {
                best = Some(HeadGap { turn, gap, first: *i, second: *k });
            }
        }
    }
    best
}

/// The turn of the first pattern that leaves most air, to a hundredth of a degree, the least such turn if
/// several are as good.
pub fn best_head_turn(
    first: &HolePattern,
    second: &HolePattern,
    head_first: Millimetres,
    head_second: Millimetres,
) -> Option<HeadGap> {
    let at = |degrees: f64| head_gap(first, second, head_first, head_second, Degrees::new(degrees));
    let mut best = at(0.0)?;
    let mut look = |from: f64, step: f64, count: usize| {
        for n in 0..=count {
            if let Some(found) = at(from + step * n as f64)
                && found.gap.get() > best.gap.get() + 1e-9
            {
                best = found;
            }
        }
        best.turn.get()
    };
    let coarse = look(0.0, 0.5, 719);
    look(coarse - 0.5, 0.01, 100);
    Some(best)
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use crate::outline::PlanePoint;

    fn square(pitch: f64) -> HolePattern {
        HolePattern::square(
            PlanePoint::default(),
            Millimetres::new(pitch),
            Millimetres::new(2.2),
            Degrees::new(0.0),
        )
    }
    fn aligned(p1: f64, p2: f64, head: f64) -> f64 {
        let head = Millimetres::new(head);
        head_gap(&square(p1), &square(p2), head, head, Degrees::new(0.0)).unwrap().gap.get()
    }

    #[test]
    fn aligned_squares_follow_the_rule_of_the_trade() {
        // 20 in 25.5: corners 3.889 mm apart, two heads of 3.8: 0.089 mm of air, too little.
        assert!((aligned(20.0, 25.5, 3.8) - (5.5 / 2.0 * 2f64.sqrt() - 3.8)).abs() < 1e-12);
        assert!(aligned(20.0, 25.5, 3.8) < HEAD_SPARE.get());
        // 20 in 30.5: 7.425 mm apart.
        assert!(aligned(20.0, 30.5, 3.8) > HEAD_SPARE.get());
    }

    #[test]
    fn turned_by_half_a_quarter_the_heads_are_furthest_apart() {
        let head = Millimetres::new(3.8);
        let best = best_head_turn(&square(20.0), &square(25.5), head, head).unwrap();
        assert!((best.turn.get() - 45.0).abs() < 0.02, "{}", best.turn);
        let (p1, p2) = (20.0f64, 25.5f64);
        let apart = (p1 * p1 + p2 * p2 - 2f64.sqrt() * p1 * p2).sqrt() / 2f64.sqrt();
        assert!((best.gap.get() - (apart - 3.8)).abs() < 1e-4);
    }
}
