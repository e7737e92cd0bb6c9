//! How far off is it that two walls in the way just multiply?
//!
//! `wall` takes each wall by itself: with B the share of the wavefront that it stands before and T what it lets through, F = 1 − B·(1 − T) is
//! left, and two walls leave F1·F2. What bends over the first eaves meets the second from there, not from the sender. Taken together
//! (Kirchhoff's double integral over both openings, which splits into one along the walls and one upward), the two leave
//! 1 − B1·(1 − T1) − B2·(1 − T2) + B12·(1 − T1)·(1 − T2), B12 = S12·Q12, each of these from the amplitude past two edges (`edge`).
//!
//! That integral is too slow to be asked by the thousand; what it changes is told here, in decibels, and carried as doubt. More than
//! two walls: the pair that changes most. Left out: walls that hang free, waves that lie (T is that of an upright one).

use crate::edge::both_passed;
use crate::fresnel::passed;
use crate::way::Way;
use crate::{Carrier, Complex, DEEPEST, Place, RadioFault, Scenery, loss_of};
use quantity::Db;

/// What takes less of the amplitude than this stands in nobody's way.
const TAKES: f64 = 0.03;
/// So far off the line, in Fresnel's parameter, that nothing is left of an edge.
const ENDLESS: f64 = 40.0;

/// A wall in the way.
struct Standing {
    part: f64,
    /// Fresnel's parameters of both ends and of the top.
    edges: [f64; 3],
    /// 1 − T.
    stops: Complex,
    left: Complex,
}

/// What the straight ray loses more, if above nought, because two walls in its way do not just multiply; `None` where fewer stand there.
pub fn two_walls(
    scenery: &Scenery,
    from: Place,
    to: Place,
    carrier: Carrier,
) -> Result<Option<Db>, RadioFault> {
    let way = Way::new(from.0, to.0);
    let ray = way.ray(to.0.z - from.0.z);
    let mut standing = Vec::new();
    for wall in &scenery.walls {
        let wall = wall.at(carrier);
        let Some(crossing) = wall.crossing(&way) else { continue };
        let Some((edges, through)) = wall.stands(&crossing, &way, &ray, from.0.z)? else { continue };
        let [left, right, top] = edges;
        let stops = Complex::ONE - through;
        let blocked = (passed(left) - passed(right)) * (Complex::ONE - passed(top));
        let taken = blocked * stops;
        if taken.size() >= TAKES {
            standing.push(Standing { part: crossing.part, edges, stops, left: Complex::ONE - taken });
        }
    }
    let product = standing.iter().fold(Complex::ONE, |product, wall| product * wall.left);
    let mut most: Option<Complex> = None;
    for (n, one) in standing.iter().enumerate() {
        for (m, two) in standing.iter().enumerate().skip(n + 1) {
            let (one, two) = if one.part <= two.part { (one, two) } else { (two, one) };
            let others = standing.iter().enumerate().filter(|(k, _)| *k != n && *k != m);
            let others = others.fold(Complex::ONE, |product, (_, wall)| product * wall.left);
            let change = together(one, two) * others;
            if most.is_none_or(|known| change.size() > known.size()) {
                most = Some(change);
            }
        }
    }
    Ok(most.map(|change| {
        let (apart, both) = (loss_of(product.power()), loss_of((product + change).power()));
        Db::new((both - apart).get().clamp(-DEEPEST.get(), DEEPEST.get()))
    }))
}

/// What both leave together less what they leave one by one.
fn together(one: &Standing, two: &Standing) -> Complex {
    let (a, b, c) = (one.part, two.part - one.part, 1.0 - two.part);
    let near = (a * c / ((a + b) * (b + c))).sqrt();
    let near = if near.is_finite() { near.min(1.0 - 1e-9) } else { return Complex::ZERO };
    let past = |n: f64, m: f64| match (n, m) {
        (n, m) if n < -ENDLESS => passed(m),
        (n, m) if m < -ENDLESS => passed(n),
        (n, m) if n > ENDLESS || m > ENDLESS => passed(n) * passed(m),
        (n, m) => both_passed(n, m, near),
    };
    let ([l1, r1, t1], [l2, r2, t2]) = (one.edges, two.edges);
    let along = past(l1, l2) - past(l1, r2) - past(r1, l2) + past(r1, r2);
    let upward = Complex::ONE - passed(t1) - passed(t2) + past(t1, t2);
    let alone = |l: f64, r: f64, t: f64| (passed(l) - passed(r)) * (Complex::ONE - passed(t));
    one.stops * two.stops * (along * upward - alone(l1, r1, t1) * alone(l2, r2, t2))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{Edge, Material, Path, Slab, Wall};
    use quantity::{Megahertz, Metres, Millimetres};

    fn carrier() -> Carrier {
        Carrier::new(Megahertz::new(5800.0)).unwrap_or_else(|f| unreachable!("{f}"))
    }
    fn place(x: f64, y: f64, z: f64) -> Place {
        Place::new(Metres::new(x), Metres::new(y), Metres::new(z)).unwrap_or_else(|f| unreachable!("{f}"))
    }
    /// Metal fences across the line, by how far they stand, how wide and how high they are.
    fn fences(of: &[[f64; 3]]) -> Scenery {
        let metal = Material::of_word("metal").map(|metal| Slab::of(metal, Millimetres::new(2.0)));
        let Some(Ok(metal)) = metal else { unreachable!() };
        let wall = |[x, half, top]: &[f64; 3]| {
            Wall::new(place(*x, -half, 0.0), place(*x, *half, 0.0), Metres::new(*top), metal.clone())
        };
        let walls = of.iter().map(wall).collect::<Result<_, _>>().unwrap_or_else(|f| unreachable!("{f}"));
        Scenery { walls, ..Scenery::default() }
    }

    #[test]
    fn long_fences_together_leave_what_the_integral_over_two_edges_leaves() {
        let (from, to) = (place(0.0, 0.0, 1.7), place(110.0, 0.0, 3.0));
        for (one, two) in [([50.0, 4.0], [60.0, 4.0]), ([50.0, 7.0], [60.0, 7.0]), ([30.0, 2.5], [80.0, 3.5])]
        {
            let scenery = fences(&[[one[0], 2000.0, one[1]], [two[0], 2000.0, two[1]]]);
            let changed = two_walls(&scenery, from, to, carrier()).ok().flatten().map_or(f64::NAN, Db::get);
            let path = Path::new(Metres::new(1.7), Metres::new(3.0), Metres::new(110.0), carrier());
            let edge =
                |[along, height]: [f64; 2]| Edge { along: Metres::new(along), height: Metres::new(height) };
            let loss = |edges: &[Edge]| {
                path.clone().and_then(|path| path.edge_loss(edges)).map_or(f64::NAN, Db::get)
            };
            let apart = loss(&[edge(one)]) + loss(&[edge(two)]);
            let exact = loss(&[edge(one), edge(two)]) - apart;
            // The bulge of the earth, a tenth of a millimetre here, and the ends of the fences are all that differs.
            assert!((changed - exact).abs() < 0.1, "{one:?} {two:?}: {changed} {exact}");
        }
    }

    #[test]
    fn one_wall_or_walls_aside_change_nothing() {
        let (from, to) = (place(0.0, 0.0, 1.7), place(110.0, 0.0, 3.0));
        for of in [&[][..], &[[50.0, 20.0, 4.0]], &[[50.0, 20.0, 4.0], [160.0, 20.0, 4.0]]] {
            assert_eq!(two_walls(&fences(of), from, to, carrier()), Ok(None), "{of:?}");
        }
    }
}
