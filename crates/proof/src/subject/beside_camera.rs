//! How much room is beside a camera in its mount, and what fills it?
//!
//! Plates that hold a camera by its sides are drawn onto it by the side screws if they stand a little wide; further off they
//! bend or hold nothing, and the room wants filling. What fills it is seated on the camera: plates that stand along, such as
//! printed cheeks, right beside the body.

use crate::limits::CAMERA_LOOSE;
use crate::{Placed, Proof};
use craft::schema::{camera, frame, frame::camera_mount, shape};
use craft::{Anchor, Item, Missing, Part};
use quantity::Linear;

/// A plate counts as standing right beside the body up to this far off, in mm: as exact as sheets are.
const BESIDE: f64 = 0.1;

/// The room beside a camera, both sides together, in mm.
pub(crate) struct BesideCamera {
    /// Between the body and its mount; below nought the body is too wide.
    pub room: Linear,
    /// Of that, what is filled.
    pub filled: Linear,
}

impl BesideCamera {
    /// The room that nothing fills.
    pub(crate) fn left(&self) -> Linear {
        &self.room - &self.filled
    }

    /// What a side screw has to bridge between the mount and the body, on one side: what fills the room, and the room
    /// itself where it is too wide for the plates to be drawn onto the camera.
    pub(crate) fn bridged(&self) -> Linear {
        let left = self.left();
        let wide = left.value > CAMERA_LOOSE.tight;
        (if wide { self.room.clone() } else { self.filled.clone() }) * 0.5
    }
}

/// The room beside a camera in a mount, or what is not known.
pub(crate) fn beside_camera(proof: &Proof, held: Placed, mount: &Item) -> Result<BesideCamera, Vec<Missing>> {
    let (body, clear) = (held.part.item().read(&camera::BODY_WIDTH), mount.read(&camera_mount::CLEAR_WIDTH));
    let (body, clear) = match (body, clear) {
        (Ok(body), Ok(clear)) => (body, clear),
        (body, clear) => return Err(body.err().into_iter().chain(clear.err()).collect()),
    };
    let half = body.value.get() / 2.0;
    let seat = Anchor::Place(held.place.id.clone());
    let mut filled = Linear::exact(0.0);
    for side in [1.0, -1.0] {
        let thickest = proof
            .seated_on(&seat)
            .filter_map(|on| plate_beside(proof, on.part, side * half))
            .max_by(|a, b| a.value.total_cmp(&b.value));
        filled = filled + thickest.unwrap_or(Linear::exact(0.0));
    }
    Ok(BesideCamera { room: proof.lean(&clear) - proof.lean(&body), filled })
}

/// How thick a plate of a part is that stands along, right beside the face of a body at `face`, in mm left of its middle.
fn plate_beside(proof: &Proof, part: &Part, face: f64) -> Option<Linear> {
    part.rows(&frame::plate::TABLE)
        .filter(|row| row.text(&frame::plate::STANDS).ok() == Some("along"))
        .filter_map(|row| {
            let thickness = row.read(&frame::plate::THICKNESS).ok()?;
            let from = row.read(&shape::Y).map_or(0.0, |y| y.value.get());
            let near = if face > 0.0 { from } else { from + thickness.value.get() };
            ((near - face).abs() <= BESIDE).then(|| proof.lean(&thickness))
        })
        .max_by(|a, b| a.value.total_cmp(&b.value))
}
