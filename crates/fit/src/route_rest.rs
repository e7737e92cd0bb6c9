//! What a chain pulled tight tells: its length, its sharpest bend, what it leans on and how its ends pull.
//!
//! Between two points the chain is an arc: with the turns φ at both, a chord is shorter than its arc by
//! φ²/24. The radius at a point is that of the circle through it and its neighbours, the turn taken as the
//! mean of three.
//!
//! The multiplier of a bound is at rest the force of a contact. Where the lead lies free and straight, the
//! force along it is its pull T; in a bend the force along it and twice (bend force · |e|)/ℓ add up to the
//! same T everywhere. All forces are told over T, so that they are what the length gains by a move.

use crate::route_air::Surroundings;
use crate::route_pull::Chain;
use crate::solid::SolidIndex;
use parry3d_f64::glamx::DVec3;

/// Wider bends than this count as straight, in mm.
const STRAIGHT: f64 = 500.0;

/// A place where the chain leans on a solid.
#[derive(Clone, Debug)]
pub(crate) struct Contact {
    pub solid: SolidIndex,
    pub at: DVec3,
    /// Leads away from the solid.
    pub out: DVec3,
    pub apart: f64,
    /// Over the pull in the lead.
    pub press: f64,
    /// The end whose nearness to the solid sets the distance kept here, if not the need itself.
    pub eased_by: Option<usize>,
}

/// A chain at rest.
#[derive(Clone, Debug)]
pub(crate) struct Pulled {
    pub points: Vec<DVec3>,
    pub length: f64,
    pub sharpest: Option<(f64, DVec3)>,
    pub contacts: Vec<Contact>,
    /// For each end the places held there and what the length gains when they are moved along.
    pub end_forces: [[(DVec3, DVec3); 2]; 2],
}

impl Pulled {
    /// The same with solids by the numbers they have now.
    pub(crate) fn renumbered(&self, numbers: &[(SolidIndex, SolidIndex)]) -> Self {
        let mut same = self.clone();
        for contact in &mut same.contacts {
            if let Some((_, now)) = numbers.iter().find(|(was, _)| *was == contact.solid) {
                contact.solid = *now;
            }
        }
        same
    }
}

impl Chain {
    /// What the chain tells as it lies.
    pub(crate) fn told(self, around: &Surroundings) -> Pulled {
        let (last, step) = (self.last(), self.step().max(1e-9));
        let angle = |k: usize| {
            let k = k as isize;
            let (Some(a), Some(b), Some(c)) = (self.at(k - 1, step), self.at(k, step), self.at(k + 1, step))
            else {
                return 0.0;
            };
            let turn = (b.1 - a.1).angle_between(c.1 - b.1).min(1.0);
            // At an end the step into the plug is no chord: the turn there is half that of an arc.
            if k == 0 || k as usize == last { 2.0 * turn } else { turn }
        };
        let angles: Vec<f64> = (0..=last).map(angle).collect();
        // A chord of an arc through the angle φ is shorter than the arc by φ²/24.
        let arc = |k: usize, w: &[DVec3]| {
            (w[1] - w[0]).length() * (1.0 + (angles[k].powi(2) + angles[k + 1].powi(2)) / 48.0)
        };
        let length: f64 = self.points.windows(2).enumerate().map(|(k, w)| arc(k, w)).sum();
        let bend_at = |k: usize| {
            let of = &angles[k.saturating_sub(1)..=(k + 1).min(last)];
            let turn = of.iter().sum::<f64>() / of.len() as f64;
            (step / (2.0 * (turn / 2.0).sin().max(1e-12)), self.points[k])
        };
        let sharpest = (0..=last).map(bend_at).min_by(|a, b| a.0.total_cmp(&b.0));
        let scale = 1.0 / self.pull(step);
        let mut contacts = Vec::new();
        for n in 1..2 * last {
            let at = self.place(n).1;
            let along = self.along_at(n, step);
            self.each_bound(around, n, at, step, |solid, (number, apart), out, force| {
                let eased_by = around.obstacles[number as usize].eased_by(along, around.ramp());
                contacts.push(Contact { solid, at, out, apart, press: force * scale, eased_by });
            });
        }
        let ends = [self.end_forces(0, step, scale), self.end_forces(last, step, scale)];
        Pulled {
            length,
            sharpest: sharpest.filter(|(radius, _)| *radius < STRAIGHT),
            contacts,
            end_forces: ends,
            points: self.points,
        }
    }

    /// The pull in the lead: as its free and straight steps tell it, else as the mean of all steps does.
    fn pull(&self, step: f64) -> f64 {
        let bend = |k: usize| self.bends[k] * self.second(k, step).length() / step;
        let along = |k: usize| {
            let long = (self.points[k + 1] - self.points[k]).length();
            long / step + self.uneven(long, step)
        };
        let mean = |of: &mut dyn Iterator<Item = f64>| {
            let (count, sum) = of.fold((0, 0.0), |(count, sum), x| (count + 1, sum + x));
            (count > 0).then(|| sum / f64::from(count))
        };
        let steps = 0..self.last();
        let mut straight = steps.clone().filter(|k| bend(*k) == 0.0 && bend(k + 1) == 0.0).map(along);
        let mut all = steps.map(|k| along(k) + bend(k) + bend(k + 1));
        mean(&mut straight).or_else(|| mean(&mut all)).filter(|pull| *pull > 0.1).unwrap_or(1.0)
    }

    /// The second difference at a point; nought at an end that is free to turn.
    pub(crate) fn second(&self, k: usize, step: f64) -> DVec3 {
        let k = k as isize;
        match (self.at(k - 1, step), self.at(k, step), self.at(k + 1, step)) {
            (Some(a), Some(b), Some(c)) => a.1 - b.1 * 2.0 + c.1,
            _ => DVec3::ZERO,
        }
    }

    /// What the length gains when an end, or the step behind it, is moved along a way.
    fn end_forces(&self, k: usize, step: f64, scale: f64) -> [(DVec3, DVec3); 2] {
        let (beside, behind) = if k == 0 { (1, -1) } else { (k - 1, k as isize + 1) };
        let end = self.points[k];
        let bend = |k: usize| self.second(k, step).normalize_or_zero() * self.bends[k];
        let chord = end - self.points[beside];
        // What keeps the steps even passes on what pushes back along the lead.
        let pull = chord / step + chord.normalize_or_zero() * self.uneven(chord.length(), step);
        let on_end = pull - bend(k) * 2.0 + bend(beside);
        let behind = self.at(behind, step).map_or(end, |found| found.1);
        [(end, on_end * scale), (behind, bend(k) * scale)]
    }
}
