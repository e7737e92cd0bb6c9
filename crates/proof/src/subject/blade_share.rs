//! How much of the picture the blades fill, with the facts it follows, and what movement of the camera clears it.
//!
//! The share follows the focal length and the size of the sensor, the facts that move the eye (how far the lens stands
//! out, where the mount is) and those that turn the camera. Each slope is a difference over a small step; a share
//! that is nought has none, for a small step leaves it at nought. Left out: the doubt of where the discs are, which
//! are known about as well as the camera and farther away.

use crate::limits::{BLADES_IN_PICTURE, CAMERA_FORWARD_MAX, CAMERA_LIFT_MAX, CAMERA_TILT_MAX};
use crate::{LensView, Proof};
use fit::{BodyVector, Drift, DriftField, Role};
use optics::{Clearing, Direction, Movement, Shares, Wanted, least_shift, least_turn};
use quantity::{Degrees, FactIndex, Linear, Millimetres, Percent};

/// By how much of itself a size is changed to see what follows.
const GROWTH: f64 = 0.02;
/// How far the eye is moved.
const STEP: Millimetres = Millimetres::new(0.5);
/// How far the camera is turned.
const TURN: Degrees = Degrees::new(0.5);

/// How much of the picture blades fill.
pub(crate) struct BladeShare {
    /// The share in per cent, with the facts it follows.
    pub share: Linear,
    /// What each solid of the scene fills.
    pub shares: Shares,
}

/// How much of the picture blades fill.
pub(crate) fn blade_share(proof: &Proof, view: &LensView) -> BladeShare {
    let shares = view.shares_kept(proof);
    let value = shares.of_all(|n| view.is_blades[n]).get();
    let mut slopes: Vec<(FactIndex, f64)> = Vec::new();
    if value > 0.0 {
        for grown in view.grown(proof, GROWTH) {
            let then = view.blades_in(proof, &grown.view, &view.scene).get();
            slopes.push((grown.fact, (then - value) / grown.by));
        }
        moved(proof, view, value, &mut slopes);
    }
    // Each fact once: several may move the camera at once.
    BladeShare { share: Linear::chained(value, &[(1.0, &Linear { value, slopes })]), shares }
}

/// The slopes on the facts that move or turn the camera.
fn moved(proof: &Proof, view: &LensView, value: f64, slopes: &mut Vec<(FactIndex, f64)>) {
    let Some(lens) = proof.inputs().solids_of(view.lens).find(|(_, s)| s.solid.role == Role::Lens) else {
        return;
    };
    let after =
        |movement: Movement| view.blades_in(proof, &view.view, &view.scene.after(movement)).get() - value;
    let mut gradient: [Option<f64>; 3] = [None; 3];
    for Drift { fact, field } in &lens.1.solid.drifts {
        match field {
            DriftField::Turn { about, axis, radians } => {
                let Some(axis) = view.toward(*axis) else { continue };
                let change = after(Movement::Turn { about: view.at(*about), axis, by: TURN });
                slopes.push((*fact, change / TURN.get().to_radians() * radians));
            }
            _ => {
                let moves = field.displacement(view.eye()).coordinates();
                let mut slope = 0.0;
                for (axis, part) in moves.into_iter().enumerate().filter(|(_, part)| part.abs() > 1e-9) {
                    let along = || {
                        let unit = [BodyVector::X, BodyVector::Y, BodyVector::Z][axis];
                        let along = view.toward(unit)?;
                        Some(after(Movement::Shift { along, by: STEP }) / STEP.get())
                    };
                    let known = *gradient[axis].get_or_insert_with(|| along().unwrap_or(0.0));
                    slope += part * known;
                }
                slopes.push((*fact, slope));
            }
        }
    }
}

/// What movement of the camera, alone, brings the blades under the limit.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(crate) struct Clears {
    /// Forward.
    pub forward: Option<Millimetres>,
    /// Up.
    pub lift: Option<Millimetres>,
    /// Nose further up.
    pub tilt: Option<Degrees>,
}

/// What movement of the camera, alone, brings the blades under the limit.
pub(crate) fn clears(view: &LensView) -> Clears {
    let wanted = Wanted { counted: &view.is_blades, at_most: Percent::new(BLADES_IN_PICTURE.tight) };
    let shift = |along: BodyVector, up_to: Millimetres| {
        let along: Direction = view.toward(along)?;
        match least_shift(&view.view, &view.scene, wanted, along, up_to) {
            Clearing::By(by) => Some(by),
            _ => None,
        }
    };
    let tilt = match least_turn(&view.view, &view.scene, wanted, view.tilt_axis(), CAMERA_TILT_MAX) {
        Clearing::By(by) => Some(by),
        _ => None,
    };
    Clears {
        forward: shift(BodyVector::X, CAMERA_FORWARD_MAX),
        lift: shift(BodyVector::Z, CAMERA_LIFT_MAX),
        tilt,
    }
}
