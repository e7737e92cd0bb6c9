//! What of a line or an area lies within a frame.
//!
//! Lines by cutting each step to the range of its parameter that lies within (Liang and Barsky 1984); areas by cutting with each side in turn
//! (Sutherland and Hodgman 1974), which keeps convex and simple areas simple enough to fill.

use crate::scale::Area;
use crate::silhouette::PaperPoint;

/// The parts of a line within a frame, each a line of its own.
pub(super) fn line_within(points: &[PaperPoint], frame: Area) -> Vec<Vec<PaperPoint>> {
    let mut parts: Vec<Vec<PaperPoint>> = Vec::new();
    let mut goes_on = false;
    for pair in points.windows(2) {
        let Some([from, to]) = step_within([pair[0], pair[1]], frame) else {
            goes_on = false;
            continue;
        };
        match parts.last_mut().filter(|part| goes_on && part.last() == Some(&from)) {
            Some(part) => part.push(to),
            None => parts.push(vec![from, to]),
        }
        goes_on = to == pair[1];
    }
    parts
}

fn step_within([from, to]: [PaperPoint; 2], frame: Area) -> Option<[PaperPoint; 2]> {
    let [dx, dy] = [to[0] - from[0], to[1] - from[1]];
    let (right, bottom) = (frame.left + frame.width, frame.top + frame.height);
    let sides = [
        (-dx, from[0] - frame.left),
        (dx, right - from[0]),
        (-dy, from[1] - frame.top),
        (dy, bottom - from[1]),
    ];
    let (mut start, mut end) = (0.0f64, 1.0f64);
    for (rate, room) in sides {
        if rate == 0.0 {
            if room < 0.0 {
                return None;
            }
        } else if rate < 0.0 {
            start = start.max(room / rate);
        } else {
            end = end.min(room / rate);
        }
    }
    // The ends themselves are kept to the bit, so that a line that stays within goes on as one.
    let at = |t: f64| match t {
        0.0 => from,
        1.0 => to,
        t => [from[0] + dx * t, from[1] + dy * t],
    };
    (start <= end).then(|| [at(start), at(end)])
}

/// What of an area lies within a frame.
pub(super) fn area_within(ring: &[PaperPoint], frame: Area) -> Vec<PaperPoint> {
    let (right, bottom) = (frame.left + frame.width, frame.top + frame.height);
    let sides: [(usize, f64, f64); 4] =
        [(0, frame.left, 1.0), (0, right, -1.0), (1, frame.top, 1.0), (1, bottom, -1.0)];
    let mut ring = ring.to_vec();
    for (axis, at, inward) in sides {
        let inside = |p: &PaperPoint| (p[axis] - at) * inward >= 0.0;
        let mut kept = Vec::with_capacity(ring.len() + 4);
        for (n, p) in ring.iter().enumerate() {
            let before = ring[(n + ring.len() - 1) % ring.len()];
            if inside(p) != inside(&before) {
                let t = (at - before[axis]) / (p[axis] - before[axis]);
                let mut cut = [before[0] + (p[0] - before[0]) * t, before[1] + (p[1] - before[1]) * t];
                cut[axis] = at;
                kept.push(cut);
            }
            if inside(p) {
                kept.push(*p);
            }
        }
        ring = kept;
    }
    ring
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    const FRAME: Area = Area { left: 0.0, top: 0.0, width: 10.0, height: 10.0 };

    #[test]
    fn a_line_that_leaves_and_comes_back_is_two() {
        let parts = line_within(&[[1.0, 5.0], [1.0, 15.0], [5.0, 15.0], [5.0, 5.0]], FRAME);
        assert_eq!(parts, [vec![[1.0, 5.0], [1.0, 10.0]], vec![[5.0, 10.0], [5.0, 5.0]]]);
        assert_eq!(line_within(&[[1.0, 1.0], [2.0, 3.0], [9.0, 9.0]], FRAME).len(), 1);
    }

    #[test]
    fn an_area_is_cut_at_the_sides() {
        let cut = area_within(&[[-5.0, 2.0], [5.0, 2.0], [5.0, 4.0], [-5.0, 4.0]], FRAME);
        assert_eq!(cut, [[0.0, 2.0], [5.0, 2.0], [5.0, 4.0], [0.0, 4.0]]);
    }

    proptest! {
        #[test]
        fn nothing_leaves_the_frame(points in prop::collection::vec(prop::array::uniform2(-30.0..30.0f64), 2..30)) {
            let near = |p: &PaperPoint| p.iter().all(|v| (-1e-9..=10.0 + 1e-9).contains(v));
            prop_assert!(line_within(&points, FRAME).iter().flatten().all(near));
            prop_assert!(area_within(&points, FRAME).iter().all(near));
        }
    }
}
