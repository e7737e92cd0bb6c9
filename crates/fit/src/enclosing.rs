//! The place that serves all holes best, solved exactly.
//!
//! Each matched hole k allows a shift within w_k of e_k. Sought is the shift s that leaves most to spare at
//! the worst hole: max over s of min over k of (w_k − |s − e_k|). With equal w this is the smallest disc
//! that holds all e_k. The optimum rests on one, two or three holes (Helly), so it is found by trying each
//! such set: one hole, its own place; two, the point between them where both spare the same; three, the
//! circle of Apollonius. With at most 40 holes that is at most 10,660 sets.

use parry3d_f64::glamx::DVec2;

/// The best shift and what it leaves to spare at the worst hole (negative: that much too little); the
/// holes must not be none.
pub(crate) fn best_shift(places: &[DVec2], allowed: &[f64]) -> (DVec2, f64) {
    let spare = |s: DVec2| {
        places.iter().zip(allowed).map(|(e, w)| w - (s - *e).length()).fold(f64::INFINITY, f64::min)
    };
    let mut best = (places[0], spare(places[0]));
    let mut offer = |s: DVec2| {
        let left = spare(s);
        if left > best.1 {
            best = (s, left);
        }
    };
    let n = places.len();
    for i in 0..n {
        offer(places[i]);
        for j in i + 1..n {
            let between = places[j] - places[i];
            let d = between.length();
            let along = (d + allowed[i] - allowed[j]) / 2.0;
            if d > 0.0 && (0.0..=d).contains(&along) {
                offer(places[i] + between * (along / d));
            }
        }
    }
    // With four or more holes, and still less than what every pair allows by itself, three decide.
    for i in 0..n {
        for j in i + 1..n {
            for k in j + 1..n {
                let pick = |v: &[DVec2]| [v[i], v[j], v[k]];
                for s in apollonius(pick(places), [allowed[i], allowed[j], allowed[k]]).into_iter().flatten()
                {
                    offer(s);
                }
            }
        }
    }
    best
}

/// The points whose distance to each of three places is that place's allowance less one common spare v:
/// |s − e_k| = w_k − v. Differences of the squares are linear in s; put into the first they give a
/// quadratic for v.
fn apollonius(e: [DVec2; 3], w: [f64; 3]) -> [Option<DVec2>; 2] {
    let (p, q) = (e[1] - e[0], e[2] - e[0]);
    let turn = p.perp_dot(q);
    if turn.abs() < 1e-12 {
        return [None, None];
    }
    // With r = s − e₀ and u = w₀ − v: 2 p·r = |p|² − (u + δ₁)² + u² = |p|² − δ₁² − 2δ₁u, δ₁ = w₁ − w₀.
    let (d1, d2) = (w[1] - w[0], w[2] - w[0]);
    let solve = |a: f64, b: f64| DVec2::new(a * q.y - b * p.y, b * p.x - a * q.x) / turn;
    let base = solve((p.length_squared() - d1 * d1) / 2.0, (q.length_squared() - d2 * d2) / 2.0);
    let lean = solve(-d1, -d2);
    // |base + lean·u|² = u².
    let (a, b, c) = (lean.length_squared() - 1.0, 2.0 * base.dot(lean), base.length_squared());
    let roots = if a.abs() < 1e-12 {
        [(b.abs() > 1e-12).then(|| -c / b), None]
    } else {
        let under = b * b - 4.0 * a * c;
        if under < 0.0 {
            return [None, None];
        }
        let root = under.sqrt();
        [Some((-b + root) / (2.0 * a)), Some((-b - root) / (2.0 * a))]
    };
    roots.map(|u| u.filter(|u| *u >= 0.0 && u.is_finite()).map(|u| e[0] + base + lean * u))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn equal_allowances_give_the_smallest_disc() {
        // A right-angled triangle: the disc stands on its long side, radius 5.
        let places = [DVec2::new(0.0, 0.0), DVec2::new(6.0, 0.0), DVec2::new(0.0, 8.0)];
        let (s, spare) = best_shift(&places, &[0.0; 3]);
        assert!((s - DVec2::new(3.0, 4.0)).length() < 1e-9 && (spare + 5.0).abs() < 1e-9);
        // An even triangle of side 1: radius 1/√3, and all three decide.
        let places = [DVec2::new(0.0, 0.0), DVec2::new(1.0, 0.0), DVec2::new(0.5, 0.75f64.sqrt())];
        let (_, spare) = best_shift(&places, &[0.2; 3]);
        assert!((spare - (0.2 - 1.0 / 3f64.sqrt())).abs() < 1e-9);
    }

    #[test]
    fn no_shift_on_a_fine_grid_is_better() {
        let places =
            [DVec2::new(0.1, 0.0), DVec2::new(-0.2, 0.15), DVec2::new(0.05, -0.25), DVec2::new(0.2, 0.1)];
        let allowed = [0.3, 0.1, 0.25, 0.15];
        let (_, best) = best_shift(&places, &allowed);
        for x in -50..=50 {
            for y in -50..=50 {
                let s = DVec2::new(x as f64 / 100.0, y as f64 / 100.0);
                let spare = places
                    .iter()
                    .zip(allowed)
                    .map(|(e, w)| w - (s - *e).length())
                    .fold(f64::INFINITY, f64::min);
                assert!(spare <= best + 1e-9);
            }
        }
    }
}
