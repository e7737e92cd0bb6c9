//! Spacers, soft mounts and the heads of screws: one at each hole of what they are seated on.

use super::Piece;
use super::bodies::{Material, label};
use super::builder::{Axis, Builder, exact};
use super::holes::leaning_holes;
use crate::Placed;
use craft::schema::{Field, fixing, frame, shape};
use craft::{Anchor, Item};
use fit::{PartVector, Role};
use quantity::{Linear, Millimetres};

/// The holes of the pattern this place is seated on, or of the bolt circle of a motor mount, in the place's
/// own frame; one at the origin where it sits on something else. The holes stay where they are drilled, however the
/// place is turned or flipped: what goes into them does not carry them along.
fn holes_under(b: &Builder) -> Vec<[Linear; 2]> {
    let middle = || vec![[exact(0.0), exact(0.0)]];
    let Some(Anchor::Feature(under, feature)) = &b.place.on else { return middle() };
    let holes = b.proof.placed_at(under).and_then(|Placed { part, .. }| {
        if let Some(mount) = part.row_named(&frame::motor_mount::TABLE, feature) {
            return bolt_circle(b, &mount);
        }
        let row = part.row_named(&shape::pattern::TABLE, feature)?;
        leaning_holes(b.proof, &row)
    });
    holes.map_or_else(middle, |holes| as_the_place_lies(b, holes))
}

/// Holes in the frame of the seat as the place sees them, which may be turned and flipped on it.
fn as_the_place_lies(b: &Builder, holes: Vec<[Linear; 2]>) -> Vec<[Linear; 2]> {
    let own = b.seat.pose.inverse();
    let [along, left] = [PartVector::X, PartVector::Y].map(|axis| own.vector(b.seat.anchor.vector(axis)));
    if along == PartVector::X && left == PartVector::Y {
        return holes;
    }
    let seen =
        |[x, y]: [Linear; 2]| [x.clone() * along.x() + y.clone() * left.x(), x * along.y() + y * left.y()];
    holes.into_iter().map(seen).collect()
}

/// Four holes on the bolt circle of a motor mount, on the diagonals: how the motor is turned nobody says.
fn bolt_circle(b: &Builder, mount: &Item<'_>) -> Option<Vec<[Linear; 2]>> {
    let circle = b.length(mount, &frame::motor_mount::BOLT_CIRCLE).ok()?;
    let side = circle * (std::f64::consts::FRAC_1_SQRT_2 / 2.0);
    let back = side.clone() * -1.0;
    let at = |x: &Linear, y: &Linear| [x.clone(), y.clone()];
    Some(vec![at(&side, &side), at(&back, &side), at(&back, &back), at(&side, &back)])
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
                b.cylinder(label, [x, y, height.clone() * 0.5], Axis::Z, &outer, &height);
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
        b.cylinder(label, [x, y, washer.clone() + height.clone() * 0.5], Axis::Z, &diameter, &height);
    }
}
