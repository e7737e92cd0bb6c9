//! What gets over an edge, or over two?
//!
//! One edge: exactly, by Fresnel's integral (`fresnel`). Two edges h1 and h2 above the line of sight, a, b and c metres apart:
//! the Kirchhoff double integral over both openings is a quadrant of a normal distribution with complex spread,
//! E/E0 = P(ν1)·P(ν2) + 1/(2π)·∫0^arcsin ρ e^(−jπ(ν1² + ν2² − 2ν1ν2·sin t)/(2cos² t)) dt, P as for one edge,
//! ν1 with a and b+c, ν2 with a+b and c, ρ = √(ac/((a+b)(b+c))): exact, and one smooth integral. Two edges that both graze
//! leave 1/3, as they must. More than two: the two that together pass least.
//!
//! The construction of one stand-in edge (Bullington; ITU-R P.526, section 4.5.1) adds a term of 10 dB meant for rolling
//! terrain. Where one of two edges rules it is 8 to 11 dB too pessimistic at the ranges of yards and barns; it is here to show
//! the spread ([`terrain_loss`]). The earth bulges between by d1·d2/(2·8500 km): 15 mm on a kilometre.

use crate::fresnel::passed;
use crate::quadrature::integral;
use crate::{Carrier, Complex, RadioFault, loss_of};
use quantity::{Db, Grade, Metres, Source};
use std::f64::consts::{PI, TAU};

/// Where the formulas come from.
pub const EDGE_SOURCE: Source = Source {
    title: "Recommendation ITU-R P.526",
    place: "section 4.1, single edge; two edges by the double integral of Millington, Hewitt & Immirzi (1962); section 4.5.1, stand-in edge",
    grade: Grade::Memory,
};

/// Effective radius of the earth (ITU-R P.526: 4/3 of the real one), in metres.
const EARTH: f64 = 8.5e6;
/// How often the phase of the integral may turn; past that one edge stands 100 Fresnel radii off the line.
const TURNS_MAX: f64 = 8000.0;
const EDGES_MAX: usize = 24;
const LENGTH_MAX: Metres = Metres::new(1e6);
const HEIGHT_MAX: Metres = Metres::new(1e5);
/// Nearer than this an edge stands in the antenna.
const NEAR: f64 = 1e-3;

/// An edge across a path.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Edge {
    /// How far it stands from the sender, along the ground.
    pub along: Metres,
    /// Its height, counted as those of the ends.
    pub height: Metres,
}

/// A path between two heights.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Path {
    sender: f64,
    receiver: f64,
    length: f64,
    lambda: f64,
}

impl Path {
    /// Of the heights of the two ends and the distance between them along the ground.
    pub fn new(
        sender: Metres,
        receiver: Metres,
        length: Metres,
        carrier: Carrier,
    ) -> Result<Self, RadioFault> {
        let near = Metres::new(0.01);
        RadioFault::within("length of the path", length, near, LENGTH_MAX, "move the two ends apart")?;
        for height in [sender, receiver] {
            RadioFault::within("height of an end", height, -HEIGHT_MAX, HEIGHT_MAX, "check the unit")?;
        }
        let (sender, receiver, length) = (sender.get(), receiver.get(), length.get());
        Ok(Self { sender, receiver, length, lambda: carrier.lambda() })
    }

    fn checked(&self, edges: &[Edge]) -> Result<Vec<(f64, f64)>, RadioFault> {
        if edges.len() > EDGES_MAX {
            return Err(RadioFault::Count { what: "edges across a path", most: EDGES_MAX });
        }
        for edge in edges {
            let most = Metres::new(self.length - NEAR);
            RadioFault::within(
                "distance of an edge",
                edge.along,
                Metres::new(NEAR),
                most,
                "it must stand between the two ends",
            )?;
            RadioFault::within("height of an edge", edge.height, -HEIGHT_MAX, HEIGHT_MAX, "check the unit")?;
        }
        let mut stand: Vec<_> = edges.iter().map(|edge| (edge.along.get(), edge.height.get())).collect();
        stand.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.total_cmp(&b.1)));
        Ok(stand)
    }

    /// Height above the line of sight, with the bulge of the earth.
    fn above(&self, (along, height): (f64, f64)) -> f64 {
        let bulge = along * (self.length - along) / (2.0 * EARTH);
        height + bulge - self.sender - (self.receiver - self.sender) * along / self.length
    }

    fn nu(&self, edge: (f64, f64)) -> f64 {
        self.above(edge) * (2.0 / self.lambda * self.length / (edge.0 * (self.length - edge.0))).sqrt()
    }

    /// Fresnel's parameter of an edge: above nought it stands in the line of sight.
    pub fn parameter(&self, edge: Edge) -> Result<f64, RadioFault> {
        Ok(self.nu(self.checked(&[edge])?[0]))
    }

    /// The amplitude that gets over the edges, against a path without them.
    pub fn over(&self, edges: &[Edge]) -> Result<Complex, RadioFault> {
        let edges = self.checked(edges)?;
        let Some((first, rest)) = edges.split_first() else { return Ok(Complex::ONE) };
        if rest.is_empty() {
            return Ok(passed(self.nu(*first)));
        }
        let pairs =
            edges.iter().enumerate().flat_map(|(n, one)| edges[n + 1..].iter().map(move |two| (*one, *two)));
        let least =
            pairs.map(|(one, two)| self.over_two(one, two)).min_by(|a, b| a.size().total_cmp(&b.size()));
        Ok(least.unwrap_or(Complex::ONE))
    }

    fn over_two(&self, one: (f64, f64), two: (f64, f64)) -> Complex {
        let (a, b, c) = (one.0, two.0 - one.0, self.length - two.0);
        if b < NEAR {
            return passed(self.nu(one).max(self.nu(two)));
        }
        both_passed(self.nu(one), self.nu(two), (a * c / ((a + b) * (b + c))).sqrt())
    }

    /// The loss over the edges.
    pub fn edge_loss(&self, edges: &[Edge]) -> Result<Db, RadioFault> {
        self.over(edges).map(|amplitude| loss_of(amplitude.power()))
    }

    /// What the construction of one stand-in edge makes of it, with its term for rolling terrain: for comparison.
    pub fn terrain_loss(&self, edges: &[Edge]) -> Result<Db, RadioFault> {
        let edges = self.checked(edges)?;
        let d = self.length;
        let bulged = |(x, h): (f64, f64)| (x, h + x * (d - x) / (2.0 * EARTH));
        let greatest =
            |of: &dyn Fn((f64, f64)) -> f64| edges.iter().copied().map(of).fold(f64::NEG_INFINITY, f64::max);
        let straight = (self.receiver - self.sender) / d;
        let rising = greatest(&|edge| (bulged(edge).1 - self.sender) / edge.0);
        let single = if edges.is_empty() {
            Db::new(0.0)
        } else if rising < straight {
            quick_edge_loss(greatest(&|edge| self.nu(edge)))
        } else {
            let falling = greatest(&|edge| (bulged(edge).1 - self.receiver) / (d - edge.0));
            let along = (self.receiver - self.sender + falling * d) / (rising + falling);
            // The stand-in stands where the two horizon lines cross: its height has the bulge in it already.
            let height = self.sender + rising * along - along * (d - along) / (2.0 * EARTH);
            quick_edge_loss(self.nu((along, height)))
        };
        let more = (1.0 - (-single.get() / 6.0).exp()) * (10.0 + 0.02 * d * 1e-3);
        Ok(Db::new(single.get() + more))
    }
}

/// The loss behind one edge of Fresnel's parameter ν, exactly.
pub fn edge_loss(nu: f64) -> Db {
    loss_of(passed(nu).power())
}

/// The printed approximation of that, good to 0.13 dB above −0.7 and nought below −0.78 (ITU-R P.526, equation 31).
pub fn quick_edge_loss(nu: f64) -> Db {
    let over = nu - 0.1;
    Db::new(if nu > -0.78 { 6.9 + 20.0 * ((over * over + 1.0).sqrt() + over).log10() } else { 0.0 })
}

/// The radius of the first Fresnel zone, d1 and d2 from the two ends.
pub fn first_zone(d1: Metres, d2: Metres, carrier: Carrier) -> Result<Metres, RadioFault> {
    for d in [d1, d2] {
        RadioFault::within("distance to an end", d, Metres::new(0.0), LENGTH_MAX, "check the sign")?;
    }
    let (a, b) = (d1.get(), d2.get());
    let whole = (a + b).max(f64::MIN_POSITIVE);
    Ok(Metres::new((carrier.lambda() * a * b / whole).sqrt()))
}

/// The amplitude past two edges: see the head.
pub(crate) fn both_passed(one: f64, two: f64, together: f64) -> Complex {
    let end = together.min(1.0 - 1e-12).asin();
    let sum = one * one + two * two;
    let wave = |t: f64| {
        let (sin, cos) = t.sin_cos();
        Complex::phase(-PI * (sum - 2.0 * one * two * sin) / (2.0 * cos * cos))
    };
    // A panel for each turn of the phase at its fastest; 16 points resolve two turns to the last digits.
    let cos = end.cos();
    let turns = (sum + 2.0 * (one * two).abs()) / (4.0 * cos * cos);
    if turns > TURNS_MAX {
        // So far above or below the line that the second term is under a thousandth of the first.
        return passed(one) * passed(two);
    }
    let panels = turns.ceil().max(2.0) as usize;
    passed(one) * passed(two) + integral(0.0, end, panels, wave) * (1.0 / TAU)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;
    use quantity::Megahertz;

    fn path(sender: f64, receiver: f64, length: f64) -> Path {
        let carrier = Carrier::new(Megahertz::new(5800.0)).unwrap_or_else(|f| unreachable!("{f}"));
        let m = Metres::new;
        Path::new(m(sender), m(receiver), m(length), carrier).unwrap_or_else(|f| unreachable!("{f}"))
    }
    fn edge(along: f64, height: f64) -> Edge {
        Edge { along: Metres::new(along), height: Metres::new(height) }
    }
    fn over(path: &Path, edges: &[Edge]) -> Complex {
        path.over(edges).unwrap_or_else(|f| unreachable!("{f}"))
    }

    #[test]
    fn two_grazing_edges_leave_a_third() {
        // 20·log10(N+1) for N equal grazing edges; the bulge of the earth is taken back out of the heights.
        let grazing = |along: f64| edge(along, 2.0 - along * (300.0 - along) / (2.0 * EARTH));
        let left = over(&path(2.0, 2.0, 300.0), &[grazing(100.0), grazing(200.0)]);
        assert!((left - Complex::real(1.0 / 3.0)).size() < 1e-6, "{left:?}");
    }

    #[test]
    fn an_edge_outside_the_path_is_refused() {
        let told = path(2.0, 2.0, 100.0).over(&[edge(150.0, 3.0)]).map_err(|fault| fault.to_string());
        assert_eq!(told, Err("distance of an edge 150 m must lie between 0.001 m and 99.999 m; it must stand between the two ends".to_owned()));
        assert!(path(2.0, 2.0, 100.0).over(&[edge(50.0, f64::NAN)]).is_err());
        assert_eq!(path(2.0, 2.0, 100.0).terrain_loss(&[]), Ok(Db::new(0.0)));
    }

    #[test]
    fn the_stand_in_edge_is_far_too_pessimistic_where_one_edge_rules() {
        let yard = path(2.0, 2.0, 150.0);
        let edges = [edge(40.0, 6.0), edge(110.0, 2.5)];
        let (exact, terrain) = (yard.edge_loss(&edges), yard.terrain_loss(&edges));
        let spread = terrain.and_then(|t| exact.map(|e| (t - e).get())).unwrap_or(f64::NAN);
        assert!((6.0..13.0).contains(&spread), "{spread}");
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(64))]

        #[test]
        fn a_second_edge_far_below_changes_nothing(along in 20.0..180.0f64, height in 0.0..12.0f64, other in 10.0..190.0f64) {
            prop_assume!((along - other).abs() > 1.0);
            let path = path(2.0, 3.0, 200.0);
            let single = over(&path, &[edge(along, height)]);
            let both = over(&path, &[edge(along, height), edge(other, -1500.0)]);
            prop_assert!((single - both).size() < 1e-3 * (1.0 + single.size()), "{single:?} {both:?}");
        }

        #[test]
        fn a_path_is_the_same_both_ways(a in 10.0..90.0f64, b in 100.0..190.0f64, h in 0.0..10.0f64, k in 0.0..10.0f64) {
            let (there, back) = (path(2.0, 5.0, 200.0), path(5.0, 2.0, 200.0));
            let one = over(&there, &[edge(a, h), edge(b, k)]);
            let two = over(&back, &[edge(200.0 - a, h), edge(200.0 - b, k)]);
            prop_assert!((one - two).size() < 1e-9);
        }

        #[test]
        fn a_higher_edge_costs_more_in_the_shadow(nu in 0.0..20.0f64, more in 0.01..1.0f64) {
            prop_assert!(edge_loss(nu + more) > edge_loss(nu));
            prop_assert!((edge_loss(nu) - quick_edge_loss(nu)).get().abs() < 0.15);
        }
    }
}
