//! A way of straight pieces cut into even steps, as it is pulled tight.

use parry3d_f64::glamx::DVec3;

/// Points at even steps along straight pieces.
pub(crate) fn evenly(way: &[DVec3], steps: usize) -> Vec<DVec3> {
    let total: f64 = way.windows(2).map(|w| (w[1] - w[0]).length()).sum();
    let mut points = Vec::with_capacity(steps + 1);
    let (mut piece, mut before) = (0, 0.0);
    for k in 0..=steps {
        let along = total * k as f64 / steps as f64;
        while piece + 2 < way.len() && before + (way[piece + 1] - way[piece]).length() < along {
            before += (way[piece + 1] - way[piece]).length();
            piece += 1;
        }
        let (a, b) = (way[piece], way[(piece + 1).min(way.len() - 1)]);
        let share = (along - before) / (b - a).length().max(1e-12);
        points.push(a + (b - a) * share.clamp(0.0, 1.0));
    }
    points
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn steps_are_even_round_a_corner_and_keep_both_ends() {
        let way = [DVec3::ZERO, DVec3::new(3.0, 0.0, 0.0), DVec3::new(3.0, 5.0, 0.0)];
        let points = evenly(&way, 8);
        assert_eq!((points.len(), points[0], points[8]), (9, way[0], way[2]));
        assert!(points.windows(2).all(|pair| ((pair[1] - pair[0]).length() - 1.0).abs() < 1e-12));
    }
}
