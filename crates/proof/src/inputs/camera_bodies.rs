//! Cameras and lenses, and the room a camera needs behind it.
//!
//! Where the sheet describes the plug of the harness, the harness leaves there: past the plug's face it needs the least
//! radius it may be bent to ([`fit::LeadKind::CameraHarness`]), as wide and high as the plug. Where no plug is
//! described, nobody knows where on the back it is: the whole back wants room for one ([`fit::PLUG_ROOM`]). This
//! room is a solid of its own, so that beside and below a camera needs no more than not to touch.

use super::Piece;
use super::bodies::{Material, box_of, label, row_name};
use super::builder::{Axis, Builder, exact};
use craft::schema::{camera, shape};
use fit::{LeadKind, PLUG_ROOM, Role};
use quantity::{Linear, Millimetres};

pub(super) fn camera(b: &mut Builder) {
    let item = b.part.item();
    let read = |field| b.length(&item, field);
    match (
        read(&camera::BODY_DEPTH),
        read(&camera::BODY_WIDTH),
        read(&camera::BODY_HEIGHT),
        read(&camera::FACE_AHEAD),
    ) {
        (Ok(depth), Ok(width), Ok(height), Ok(ahead)) => {
            let x = ahead.clone() - depth.clone() * 0.5;
            let body = label(b.part.name.clone(), Role::CameraBody, Material::Plastic, Piece::Whole);
            b.cuboid(body, [x, exact(0.0), exact(0.0)], [depth.clone(), width.clone(), height.clone()]);
            if !bend_rooms(b) {
                let room = exact(PLUG_ROOM.distance.get());
                let x = ahead - depth - room.clone() * 0.5;
                let name = format!("room for the plug of {}", b.part.name);
                let behind = label(name, Role::RearRoom, Material::Space, Piece::RearRoom(0));
                b.cuboid(behind, [x, exact(0.0), exact(0.0)], [room, width, height]);
            }
        }
        (depth, width, height, ahead) => {
            let missing = [depth, width, height, ahead].into_iter().filter_map(Result::err);
            b.lacks(b.part.name.clone(), missing);
        }
    }
}

/// The room in which a harness bends past each plug; whether the camera has any plug for one.
fn bend_rooms(b: &mut Builder) -> bool {
    let part = b.part;
    let mut any = false;
    for (number, row) in part.rows(&shape::plug::TABLE).enumerate() {
        if row.text(&shape::plug::USE) != Ok("camera") {
            continue;
        }
        // A plug that lacks its size or place is told as such where plugs are made.
        any = true;
        let (Ok((mut centre, mut size)), Ok(pull)) = (box_of(b, &row), row.text(&shape::plug::PULL)) else {
            continue;
        };
        let (axis, side) = match pull {
            "forward" => (0, 1.0),
            "back" => (0, -1.0),
            "left" => (1, 1.0),
            "right" => (1, -1.0),
            "down" => (2, -1.0),
            _ => (2, 1.0),
        };
        // A harness bends no sharper however thin it is.
        let bend: Linear = exact(LeadKind::CameraHarness.least_bend(Millimetres::new(0.0)).get());
        let out = (size[axis].clone() + bend.clone()) * (0.5 * side);
        centre[axis] = centre[axis].clone() + out;
        size[axis] = bend;
        let name = format!("bend of the harness at {}", row_name(&row, "plug", number, part));
        b.cuboid(label(name, Role::RearRoom, Material::Space, Piece::RearRoom(number)), centre, size);
    }
    any
}

pub(super) fn lens(b: &mut Builder) {
    let item = b.part.item();
    match (b.length(&item, &camera::PROUD), b.length(&item, &camera::HEAD_DIAMETER)) {
        (Ok(proud), Ok(head)) => {
            let label = label(b.part.name.clone(), Role::Lens, Material::Glass, Piece::Whole);
            b.cylinder(label, [proud.clone() * 0.5, exact(0.0), exact(0.0)], Axis::X, &head, &proud);
        }
        (proud, head) => b.lacks(b.part.name.clone(), proud.err().into_iter().chain(head.err())),
    }
}
