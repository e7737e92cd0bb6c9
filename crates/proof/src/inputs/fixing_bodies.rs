//! Spacers, soft mounts and the heads of screws: one at each hole of what they are seated on.

use super::Piece;
use super::bodies::{Material, label};
use super::builder::{Axis, Builder, exact};
use super::frame_bodies;
use crate::Placed;
use craft::schema::{Field, fixing, frame, shape};
use craft::{Anchor, Item};
use fit::Role;
use quantity::Millimetres;

/// The holes of the pattern this place is seated on, or of the bolt circle of a motor mount, in the place's
/// own frame; one at the origin where it sits on something else.
fn holes_under(b: &Builder) -> Vec<[f64; 2]> {
    let Some(Anchor::Feature(under, feature)) = &b.place.on else { return vec![[0.0, 0.0]] };
    let holes = b.proof.placed_at(under).and_then(|Placed { part, .. }| {
        if let Some(mount) = part.row_named(&frame::motor_mount::TABLE, feature) {
            return bolt_circle(&mount);
        }
        let row = part.row_named(&shape::pattern::TABLE, feature)?;
        frame_bodies::pattern_holes(&row)
    });
    holes.unwrap_or_else(|| vec![[0.0, 0.0]])
}

/// Four holes on the bolt circle of a motor mount, on the diagonals: how the motor is turned nobody says.
fn bolt_circle(mount: &Item<'_>) -> Option<Vec<[f64; 2]>> {
    let circle = mount.read(&frame::motor_mount::BOLT_CIRCLE).ok()?.value.get();
    let side = circle / 2.0 * std::f64::consts::FRAC_1_SQRT_2;
    Some(vec![[side, side], [-side, side], [-side, -side], [side, -side]])
}

pub(super) fn pillars(b: &mut Builder, height: &Field<Millimetres>, role: Role, material: Material) {
    let item = b.part.item();
    match (b.length(&item, height), b.length(&item, &fixing::OUTER)) {
        (Ok(height), Ok(outer)) => {
            let holes = holes_under(b);
            let count = item.count(&fixing::COUNT).map_or(holes.len(), |count| count as usize);
            for (number, [x, y]) in holes.into_iter().take(count).enumerate() {
                let label =
                    label(format!("{} {}", b.part.name, number + 1), role, material, Piece::OneOf(number));
                b.cylinder(label, [exact(x), exact(y), height.clone() * 0.5], Axis::Z, &outer, &height);
            }
        }
        (height, outer) => b.lacks(b.part.name.clone(), height.err().into_iter().chain(outer.err())),
    }
}

pub(super) fn screw_heads(b: &mut Builder) {
    let item = b.part.item();
    let Some(custom) = item
        .text(&fixing::THREAD)
        .ok()
        .and_then(|thread| super::heads::head_of(thread, item.text(&fixing::HEAD).ok()))
    else {
        return b.lacks(format!("head of {}", b.part.name), item.text(&fixing::THREAD).err());
    };
    let diameter = b.length_or(&item, &fixing::HEAD_DIAMETER, custom.diameter.get());
    let height = b.length_or(&item, &fixing::HEAD_HEIGHT, custom.height.get());
    let washer = b.length_or(&b.place.item(), &craft::schema::place::WASHER, 0.0);
    let count = b.place.item().count(&craft::schema::place::COUNT).unwrap_or(1) as usize;
    for (number, [x, y]) in holes_under(b).into_iter().take(count).enumerate() {
        let label = label(
            format!("head of {} {}", b.part.name, number + 1),
            Role::ScrewHead,
            Material::Metal,
            Piece::OneOf(number),
        );
        b.cylinder(
            label,
            [exact(x), exact(y), washer.clone() + height.clone() * 0.5],
            Axis::Z,
            &diameter,
            &height,
        );
    }
}
