//! How heavy, where it balances, how hard it is to turn.
//!
//! A part's mass is spread evenly over its volume. Everything is summed as second moments
//! S = ∫ r·rᵀ dm about the centre of mass, in g·mm²:
//! - cuboid a, b, c: S = m/12·diag(a², b², c²); cylinder: S = m·diag(r²/4, r²/4, l²/12); prism: area moments
//!   of the polygon by Green's theorem, of round holes and slots in closed form, times the thickness;
//! - turned by R: R·S·Rᵀ; about another point at d: S + m·d·dᵀ (the parallel-axis theorem);
//! - inertia tensor I = tr(S)·1 − S, products with negative sign off the diagonal; principal moments are
//!   its eigenvalues.
//!
//! The balance point Σmᵢcᵢ/M follows a mass by (cᵢ − c)/M and a movement of part i by mᵢ/M times it.
//! Source: textbook mechanics of rigid bodies. Left out: uneven filling of a part; give such a part as two.

use crate::frame::{BodyPoint, BodyVector, Pose};
use crate::outline::{Hole, Outline};
use crate::shape::Shape;
use crate::solid::{Solid, add_slope};
use parry3d_f64::glamx::{DMat3, DVec2, DVec3};
use quantity::{GramSquareMillimetres, Grams, Linear, Millimetres};
use std::f64::consts::PI;

/// Mass, balance point and resistance to turning of something on the craft.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MassProperties {
    /// How heavy.
    pub mass: Grams,
    /// Where it balances.
    pub centre: BodyPoint,
    /// Second moments about the centre, body axes, g·mm².
    second: DMat3,
}

impl MassProperties {
    /// Nothing.
    pub const NONE: Self = Self { mass: Grams::new(0.0), centre: BodyPoint::ORIGIN, second: DMat3::ZERO };

    /// A mass in one place.
    pub const fn point(mass: Grams, at: BodyPoint) -> Self {
        Self { mass, centre: at, second: DMat3::ZERO }
    }

    /// A shape evenly filled with a mass.
    pub fn filled(shape: &Shape, pose: Pose, mass: Grams) -> Self {
        let (centre, second) = shape_moments(shape);
        let turn = DMat3::from_quat(pose.raw.rotation);
        Self {
            mass,
            centre: BodyPoint::of(turn * centre + pose.raw.translation),
            second: turn * second * turn.transpose() * mass.get(),
        }
    }

    /// A part of several solids with one mass, spread evenly over their volume.
    pub fn part<'a>(solids: impl IntoIterator<Item = &'a Solid> + Clone, mass: Grams) -> Self {
        let volume: f64 = solids.clone().into_iter().map(|s| s.shape.volume_mm3()).sum();
        Self::together(
            solids
                .into_iter()
                .map(|s| Self::filled(&s.shape, s.pose, mass * (s.shape.volume_mm3() / volume))),
        )
    }

    /// Several things as one.
    pub fn together(parts: impl IntoIterator<Item = Self>) -> Self {
        parts.into_iter().fold(Self::NONE, |sum, part| {
            let (m, n) = (sum.mass.get(), part.mass.get());
            if m + n == 0.0 {
                return sum;
            }
            let between = part.centre.0 - sum.centre.0;
            Self {
                mass: sum.mass + part.mass,
                centre: BodyPoint::of(sum.centre.0 + between * (n / (m + n))),
                second: sum.second + part.second + outer(between) * (m * n / (m + n)),
            }
        })
    }

    /// The inertia tensor about the balance point, body axes, rows and columns x, y, z.
    pub fn inertia(&self) -> [[GramSquareMillimetres; 3]; 3] {
        let tensor = inertia_of(self.second);
        [tensor.row(0), tensor.row(1), tensor.row(2)]
            .map(|row| row.to_array().map(GramSquareMillimetres::new))
    }

    /// The inertia tensor about another place.
    pub fn inertia_about(&self, place: BodyPoint) -> [[GramSquareMillimetres; 3]; 3] {
        let moved = Self { second: self.second + outer(self.centre.0 - place.0) * self.mass.get(), ..*self };
        moved.inertia()
    }

    /// The principal moments, least first, each with the direction of its axis.
    pub fn principal(&self) -> [(GramSquareMillimetres, BodyVector); 3] {
        let (values, axes) = eigen_of(inertia_of(self.second));
        let mut order = [0, 1, 2];
        order.sort_by(|a, b| values[*a].total_cmp(&values[*b]));
        order.map(|i| (GramSquareMillimetres::new(values[i]), BodyVector::of(axes.col(i))))
    }
}

/// A part with its mass as it follows the facts.
#[derive(Clone, Debug)]
pub struct WeighedPart<'a> {
    /// The solids it is made of, as placed; at least one.
    pub solids: Vec<&'a Solid>,
    /// Its mass in g.
    pub mass: Linear,
}

/// The craft as one body.
#[derive(Clone, Debug, PartialEq)]
pub struct Balance {
    /// All of it.
    pub whole: MassProperties,
    /// Its mass in g.
    pub mass: Linear,
    /// The balance point along x, y and z in mm.
    pub centre: [Linear; 3],
}

/// Where the craft balances, and how that follows the facts. Parts without a solid or with no mass are
/// passed over.
pub fn balance(parts: &[WeighedPart]) -> Balance {
    let weighed: Vec<(&WeighedPart, MassProperties)> = parts
        .iter()
        .filter(|part| !part.solids.is_empty() && part.mass.value > 0.0)
        .map(|part| {
            let mass = Grams::new(part.mass.value);
            (part, MassProperties::part(part.solids.iter().copied(), mass))
        })
        .collect();
    let whole = MassProperties::together(weighed.iter().map(|(_, m)| *m));
    let total = whole.mass.get();
    let mut mass = Linear { value: total, slopes: Vec::new() };
    let mut centre = whole.centre.coordinates().map(|value| Linear { value, slopes: Vec::new() });
    for (part, own) in &weighed {
        let lever = own.centre - whole.centre;
        for (fact, slope) in &part.mass.slopes {
            add_slope(&mut mass, *fact, *slope);
            for (axis, along) in lever.coordinates().into_iter().enumerate() {
                add_slope(&mut centre[axis], *fact, slope * along / total);
            }
        }
        let volume: f64 = part.solids.iter().map(|s| s.shape.volume_mm3()).sum();
        for solid in &part.solids {
            let share = own.mass.get() / total * solid.shape.volume_mm3() / volume;
            let middle = MassProperties::filled(&solid.shape, solid.pose, own.mass).centre;
            for drift in &solid.drifts {
                // A drift field is affine, so the middle of an even mass moves as the field says there.
                for (axis, along) in drift.field.displacement(middle).coordinates().into_iter().enumerate() {
                    if along != 0.0 {
                        add_slope(&mut centre[axis], drift.fact, share * along);
                    }
                }
            }
        }
    }
    Balance { whole, mass, centre }
}

impl Balance {
    /// How far the balance point lies beside the thrust centre, seen from above, in mm: √(x² + y²).
    pub fn offset_from(&self, thrust: BodyPoint) -> Linear {
        let (x, y) = (self.centre[0].value - thrust.x(), self.centre[1].value - thrust.y());
        let value = x.hypot(y);
        let mut offset = Linear { value, slopes: Vec::new() };
        if value > 0.0 {
            for (axis, along) in [x, y].into_iter().enumerate() {
                for (fact, slope) in &self.centre[axis].slopes {
                    add_slope(&mut offset, *fact, slope * along / value);
                }
            }
        }
        offset
    }
}

/// The middle of the motors' thrust when all pull alike; `None` without motors.
pub fn thrust_centre(motors: &[BodyPoint]) -> Option<BodyPoint> {
    let sum = motors.iter().fold(DVec3::ZERO, |sum, at| sum + at.0);
    (!motors.is_empty()).then(|| BodyPoint::of(sum / motors.len() as f64))
}

/// How far a part of mass `moved` must slide to shift the balance of a craft of mass `whole` by `offset`.
pub fn slide_to_balance(offset: Millimetres, whole: Grams, moved: Grams) -> Option<Millimetres> {
    (moved.get() > 0.0).then(|| offset * (whole / moved))
}

fn outer(v: DVec3) -> DMat3 {
    DMat3::from_cols(v * v.x, v * v.y, v * v.z)
}

fn inertia_of(second: DMat3) -> DMat3 {
    let trace = second.x_axis.x + second.y_axis.y + second.z_axis.z;
    DMat3::from_diagonal(DVec3::splat(trace)) - second
}

/// Eigenvalues and eigenvectors (columns) of a symmetric matrix, by Jacobi's turns: each clears one entry off
/// the diagonal, the angle being θ with tan 2θ = 2·m_pq / (m_qq − m_pp).
fn eigen_of(mut m: DMat3) -> ([f64; 3], DMat3) {
    let mut axes = DMat3::IDENTITY;
    for _ in 0..32 {
        for (p, q) in [(0, 1), (0, 2), (1, 2)] {
            let off = m.col(q)[p];
            if off == 0.0 {
                continue;
            }
            let (s, c) = (0.5 * (2.0 * off).atan2(m.col(q)[q] - m.col(p)[p])).sin_cos();
            let mut turn = DMat3::IDENTITY;
            turn.col_mut(p)[p] = c;
            turn.col_mut(q)[q] = c;
            turn.col_mut(q)[p] = s;
            turn.col_mut(p)[q] = -s;
            m = turn.transpose() * m * turn;
            axes *= turn;
        }
    }
    ([m.x_axis.x, m.y_axis.y, m.z_axis.z], axes)
}

/// Middle, and second moments about it for a unit mass, in the shape's own frame.
fn shape_moments(shape: &Shape) -> (DVec3, DMat3) {
    match shape {
        Shape::Cuboid(c) => {
            let size = DVec3::from_array(c.size().map(|s| s.get()));
            (DVec3::ZERO, DMat3::from_diagonal(size * size / 12.0))
        }
        Shape::Cylinder(c) => {
            let (r, l) = (c.radius().get(), c.length().get());
            let across = r * r / 4.0;
            (DVec3::ZERO, DMat3::from_diagonal(DVec3::new(across, across, l * l / 12.0)))
        }
        Shape::Prism(p) => {
            let (area, t) = (AreaMoments::of_outline(p.outline()), p.thickness().get());
            let middle = area.first / area.area;
            let [xx, yy, xy] = [
                area.xx / area.area - middle.x * middle.x,
                area.yy / area.area - middle.y * middle.y,
                area.xy / area.area - middle.x * middle.y,
            ];
            let second = DMat3::from_cols(
                DVec3::new(xx, xy, 0.0),
                DVec3::new(xy, yy, 0.0),
                DVec3::new(0.0, 0.0, t * t / 12.0),
            );
            (DVec3::new(middle.x, middle.y, t / 2.0), second)
        }
    }
}

/// ∫dA, ∫r dA, ∫x² dA, ∫y² dA, ∫xy dA about the origin of the plane.
#[derive(Clone, Copy, Default)]
struct AreaMoments {
    area: f64,
    first: DVec2,
    xx: f64,
    yy: f64,
    xy: f64,
}

impl AreaMoments {
    fn of_outline(outline: &Outline) -> Self {
        let ring: Vec<DVec2> = outline.outer().iter().map(|p| p.raw()).collect();
        outline.holes().iter().fold(Self::of_ring(&ring), |sum, hole| sum.less(Self::of_hole(hole)))
    }

    /// Green's theorem over the edges, with c = x₀y₁ − x₁y₀: A = Σc/2, ∫x dA = Σc(x₀+x₁)/6,
    /// ∫x² dA = Σc(x₀²+x₀x₁+x₁²)/12, ∫xy dA = Σc(x₀y₁+2x₀y₀+2x₁y₁+x₁y₀)/24.
    fn of_ring(ring: &[DVec2]) -> Self {
        let mut sum = Self::default();
        for (p, q) in ring.iter().zip(ring.iter().cycle().skip(1)) {
            let c = p.perp_dot(*q);
            sum.area += c / 2.0;
            sum.first += (*p + *q) * (c / 6.0);
            sum.xx += c * (p.x * p.x + p.x * q.x + q.x * q.x) / 12.0;
            sum.yy += c * (p.y * p.y + p.y * q.y + q.y * q.y) / 12.0;
            sum.xy += c * (p.x * q.y + 2.0 * p.x * p.y + 2.0 * q.x * q.y + q.x * p.y) / 24.0;
        }
        sum
    }

    fn of_hole(hole: &Hole) -> Self {
        match hole {
            Hole::Round { centre, diameter } => {
                Self::of_slot(centre.raw(), DVec2::X, 0.0, diameter.get() / 2.0)
            }
            Hole::Slot { from, to, width } => {
                let (from, to) = (from.raw(), to.raw());
                let along = (to - from).try_normalize().unwrap_or(DVec2::X);
                Self::of_slot((from + to) / 2.0, along, (to - from).length(), width.get() / 2.0)
            }
            Hole::Polygon(points) => {
                let mut ring: Vec<DVec2> = points.iter().map(|p| p.raw()).collect();
                if crate::outline::signed_area(&ring) < 0.0 {
                    ring.reverse();
                }
                Self::of_ring(&ring)
            }
        }
    }

    /// A straight slot about `middle`: a rectangle l × 2r and two half discs. A half disc has the area πr²/2,
    /// ∫u dA = 2r³/3 and ∫u² dA = πr⁴/8 from its flat side.
    fn of_slot(middle: DVec2, along: DVec2, l: f64, r: f64) -> Self {
        let area = 2.0 * r * l + PI * r * r;
        let h = l / 2.0;
        let uu = 2.0 * r * l.powi(3) / 12.0
            + 2.0 * (PI * r.powi(4) / 8.0 + 2.0 * h * (2.0 * r.powi(3) / 3.0) + h * h * PI * r * r / 2.0);
        let vv = l * (2.0 * r).powi(3) / 12.0 + PI * r.powi(4) / 4.0;
        let (c, s) = (along.x, along.y);
        Self {
            area,
            first: middle * area,
            xx: uu * c * c + vv * s * s + area * middle.x * middle.x,
            yy: uu * s * s + vv * c * c + area * middle.y * middle.y,
            xy: (uu - vv) * c * s + area * middle.x * middle.y,
        }
    }

    fn less(self, hole: Self) -> Self {
        Self {
            area: self.area - hole.area,
            first: self.first - hole.first,
            xx: self.xx - hole.xx,
            yy: self.yy - hole.yy,
            xy: self.xy - hole.xy,
        }
    }
}
