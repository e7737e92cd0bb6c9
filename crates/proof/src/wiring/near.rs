//! How near signals run to the wires of the motors, and for how long.
//!
//! Phase wires are taken straight from the middle of the speed controller's underside edge to the base of each motor; they
//! begin 15 mm out, where they leave the board. Signal wires are straight between their pads, harnesses lie as their way was
//! found. A stretch counts as along where it lies within the distance and within 45 degrees of the phase's direction.

use super::WiringModel;
use crate::Proof;
use crate::names::called;
use craft::schema::{PartKind, place};
use craft::{PlaceId, PlugRef};
use wiring::Role;

/// A signal beside the wires of a motor.
#[derive(Clone, Debug, PartialEq)]
pub struct Near {
    /// What runs there.
    pub what: String,
    /// The motor.
    pub motor: String,
    /// The least distance, mm.
    pub distance: f64,
    /// How far it runs along within the distance asked for, mm.
    pub along: f64,
    /// The places concerned.
    pub places: Vec<PlaceId>,
    /// Whether it was taken straight from pad to pad, for want of a way that anybody laid.
    pub straight: bool,
}

/// Where phase wires leave the board, off its middle, mm.
const LEAVES: f64 = 15.0;

type Way = (String, Vec<[f64; 3]>, Vec<PlaceId>, bool);

/// Every signal with the motor it comes nearest to.
pub fn near_phases(proof: &Proof, model: &WiringModel, within: f64) -> Vec<Near> {
    let controller = proof.places_of(PartKind::SpeedController).next();
    let Some(controller) = controller.or_else(|| proof.places_of(PartKind::IntegratedBoard).next()) else {
        return Vec::new();
    };
    let seat_of = |place: &PlaceId| {
        let seat = proof.inputs().seat(proof.number_of(place)?)?;
        let at = seat.pose.origin();
        Some([at.x(), at.y(), at.z()])
    };
    let Some(from) = seat_of(&controller.place.id) else { return Vec::new() };
    let phases: Vec<(String, PlaceId, [[f64; 3]; 2])> = proof
        .places_of(PartKind::Motor)
        .filter_map(|motor| {
            let to = seat_of(&motor.place.id)?;
            let reach = distance(from, to);
            let start = if reach > 2.0 * LEAVES { mix(from, to, LEAVES / reach) } else { from };
            Some((called(proof, motor), motor.place.id.clone(), [start, to]))
        })
        .collect();
    let mut ways: Vec<Way> = Vec::new();
    for wire in &model.wires {
        for [a, b] in &wire.joins {
            let signal = [*a, *b].into_iter().any(|pad| model.pads[pad].role.is_some_and(Role::is_signal));
            if let (true, Some(one), Some(other)) = (signal, model.pads[*a].at, model.pads[*b].at) {
                let name = format!("the wire from {} to {}", model.pad_name(*a), model.pad_name(*b));
                let places = [*a, *b].map(|pad| model.units[model.pads[pad].unit].place.clone()).to_vec();
                ways.push((name, vec![one, other], places, true));
            }
        }
    }
    for lead in proof.leads() {
        let (Ok(way), Some(placed)) = (&lead.way, proof.placed_number(lead.place)) else { continue };
        if placed.part.kind == PartKind::CameraHarness {
            let points = way.route.points.iter().map(|point| point.coordinates()).collect();
            // What it is plugged into has pads of its own, on which a diagram can mark it.
            let item = placed.place.item();
            let ends = [&place::FROM, &place::TO].map(|end| item.text(end).ok().and_then(PlugRef::read));
            let ends = ends.into_iter().flatten().map(|plug| plug.place);
            let places = [placed.place.id.clone()].into_iter().chain(ends).collect();
            ways.push((called(proof, placed), points, places, false));
        }
    }
    let mut found = Vec::new();
    for (what, points, places, straight) in ways {
        let nearest = phases.iter().map(|(motor, place, line)| {
            let (distance, along) = beside(&points, *line, within);
            (motor, place, distance, along)
        });
        let rank = |x: &(&String, &PlaceId, f64, f64)| (-x.3, x.2);
        let nearest = nearest.min_by(|a, b| {
            let ((a, c), (b, d)) = (rank(a), rank(b));
            a.total_cmp(&b).then(c.total_cmp(&d))
        });
        if let Some((motor, place, distance, along)) = nearest {
            let places = places.into_iter().chain([place.clone()]).collect();
            found.push(Near { what, motor: motor.clone(), distance, along, places, straight });
        }
    }
    found
}

/// The least distance of a way from a straight line, and how far it runs along it within a distance.
fn beside(points: &[[f64; 3]], line: [[f64; 3]; 2], within: f64) -> (f64, f64) {
    let (mut least, mut along) = (f64::INFINITY, 0.0);
    let ahead = unit(line[0], line[1]);
    for pair in points.windows(2) {
        let [a, b] = [pair[0], pair[1]];
        let length = distance(a, b);
        let steps = length.ceil().max(1.0) as usize;
        let turned: f64 = unit(a, b).iter().zip(ahead).map(|(x, y)| x * y).sum();
        for step in 0..steps {
            let at = mix(a, b, (step as f64 + 0.5) / steps as f64);
            let apart = from_line(at, line);
            least = least.min(apart);
            if apart < within && turned.abs() > std::f64::consts::FRAC_1_SQRT_2 {
                along += length / steps as f64;
            }
        }
    }
    (least, along)
}

fn distance(a: [f64; 3], b: [f64; 3]) -> f64 {
    a.iter().zip(b).map(|(x, y)| (x - y).powi(2)).sum::<f64>().sqrt()
}

fn mix(a: [f64; 3], b: [f64; 3], t: f64) -> [f64; 3] {
    [0, 1, 2].map(|n| a[n] + t * (b[n] - a[n]))
}

fn unit(a: [f64; 3], b: [f64; 3]) -> [f64; 3] {
    let length = distance(a, b).max(1e-9);
    [0, 1, 2].map(|n| (b[n] - a[n]) / length)
}

fn from_line(at: [f64; 3], [a, b]: [[f64; 3]; 2]) -> f64 {
    let length = distance(a, b);
    let along: f64 = unit(a, b).iter().zip([0, 1, 2]).map(|(u, n)| u * (at[n] - a[n])).sum();
    distance(at, mix(a, b, if length > 0.0 { (along / length).clamp(0.0, 1.0) } else { 0.0 }))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_runs_along_counts_and_what_crosses_does_not() {
        let phase = [[0.0; 3], [100.0, 0.0, 0.0]];
        let (near, along) = beside(&[[10.0, 4.0, 0.0], [60.0, 4.0, 0.0]], phase, 10.0);
        assert!((near - 4.0).abs() < 1e-9 && (along - 50.0).abs() < 1e-9);
        let (near, along) = beside(&[[50.0, -30.0, 3.0], [50.0, 30.0, 3.0]], phase, 10.0);
        assert!((3.0..3.2).contains(&near) && along == 0.0);
    }
}
