//! The solids of each kind of part, in its own frame, from its facts.
//!
//! Boards are made in `board_bodies`, plates and what frames are of in `frame_bodies`, spacers, mounts and
//! screws in `fixing_bodies`. Leads have no body here: they follow a route, which is not a fact of the part.

use super::Piece;
use super::builder::{Axis, Builder, Label, exact};
use super::frame_bodies::{self, plates};
use super::{board_bodies, camera_bodies, fixing_bodies};
use craft::schema::{PartKind, air, drive, fixing, shape};
use craft::{Item, Missing, Part};
use fit::Role;
use quantity::Linear;

/// What a solid is made of, for drawing.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Material {
    /// Carbon fibre plate.
    Carbon,
    /// Metal.
    Metal,
    /// Moulded or printed plastic, glass fibre.
    Plastic,
    /// A circuit board and what stands on it.
    Board,
    /// Glass.
    Glass,
    /// Foam, rubber, wire, cells.
    Soft,
    /// A disc swept by blades.
    Sweep,
    /// Space that must stay free.
    Space,
}

impl Material {
    /// The word the page knows it by.
    pub const fn word(self) -> &'static str {
        match self {
            Material::Carbon => "carbon",
            Material::Metal => "metal",
            Material::Plastic => "plastic",
            Material::Board => "board",
            Material::Glass => "glass",
            Material::Soft => "soft",
            Material::Sweep => "sweep",
            Material::Space => "space",
        }
    }
}

/// How far the hot face stops short of the transmitter's edges, so that a neighbour beside it is judged
/// by the transmitter's body and not by the face.
const HOT_FACE_INSET: f64 = 2.0;
/// How thick the hot face is drawn.
const HOT_FACE_SKIN: f64 = 0.1;

pub(super) fn label(name: impl Into<String>, role: Role, material: Material, piece: Piece) -> Label {
    Label { name: name.into(), role, material, piece }
}

/// Makes every solid of the part.
pub(super) fn bodies(b: &mut Builder) {
    let part = b.part;
    match part.kind {
        PartKind::Frame => frame_bodies::frame(b),
        PartKind::Camera => camera_bodies::camera(b),
        PartKind::Lens => camera_bodies::lens(b),
        PartKind::VideoTransmitter => transmitter(b),
        PartKind::Antenna => antenna(b),
        PartKind::FlightController | PartKind::SpeedController | PartKind::IntegratedBoard => {
            board_bodies::board(b)
        }
        PartKind::Motor => motor(b),
        PartKind::Blades => blades(b),
        PartKind::Pack => block(b, Role::Pack, Material::Soft),
        PartKind::Capacitor => capacitor(b),
        PartKind::ControlReceiver => block(b, Role::ControlReceiver, Material::Board),
        PartKind::Gnss => block(b, Role::GnssModule, Material::Board),
        PartKind::Adapter => frame_bodies::adapter(b),
        PartKind::Spacer => fixing_bodies::pillars(b, &fixing::SPACER_HEIGHT, Role::Spacer, Material::Metal),
        PartKind::SoftMount => {
            fixing_bodies::pillars(b, &fixing::LOADED_HEIGHT, Role::SoftMount, Material::Soft)
        }
        PartKind::PrintedPart => frame_bodies::printed(b),
        PartKind::Relief => block(b, Role::Relief, Material::Plastic),
        PartKind::Screw => fixing_bodies::screw_heads(b),
        PartKind::CameraHarness
        | PartKind::Pigtail
        | PartKind::GroundReceiver
        | PartKind::Display
        | PartKind::Station => {}
    }
    plugs(b);
    pads(b);
    further_bodies(b);
}

fn outer_size(b: &Builder) -> Result<[Linear; 3], Vec<Missing>> {
    let item = b.part.item();
    let sizes = [&air::LENGTH, &air::WIDTH, &air::HEIGHT].map(|field| b.length(&item, field));
    match sizes {
        [Ok(length), Ok(width), Ok(height)] => Ok([length, width, height]),
        sizes => Err(sizes.into_iter().filter_map(Result::err).collect()),
    }
}

/// A plain block standing on its origin.
fn block(b: &mut Builder, role: Role, material: Material) {
    match outer_size(b) {
        Ok(size) => {
            let label = label(b.part.name.clone(), role, material, Piece::Whole);
            b.cuboid(label, [exact(0.0), exact(0.0), size[2].clone() * 0.5], size);
        }
        Err(missing) => b.lacks(b.part.name.clone(), missing),
    }
}

fn transmitter(b: &mut Builder) {
    block(b, Role::Transmitter, Material::Board);
    let (Ok(size), Ok(face)) = (outer_size(b), b.part.item().text(&air::HOT_FACE)) else { return };
    let [length, width, height] = size;
    let half = |size: &Linear| size.clone() * 0.5;
    let inset = |size: &Linear| Linear {
        value: (size.value - 2.0 * HOT_FACE_INSET).max(size.value * 0.5),
        slopes: Vec::new(),
    };
    let skin = exact(HOT_FACE_SKIN);
    let middle = half(&height);
    let (centre, size) = match face {
        "up" => ([exact(0.0), exact(0.0), height.clone()], [inset(&length), inset(&width), skin]),
        "down" => ([exact(0.0), exact(0.0), exact(0.0)], [inset(&length), inset(&width), skin]),
        "forward" => ([half(&length), exact(0.0), middle], [skin, inset(&width), inset(&height)]),
        "back" => ([half(&length) * -1.0, exact(0.0), middle], [skin, inset(&width), inset(&height)]),
        "left" => ([exact(0.0), half(&width), middle], [inset(&length), skin, inset(&height)]),
        _ => ([exact(0.0), half(&width) * -1.0, middle], [inset(&length), skin, inset(&height)]),
    };
    let label = label(
        format!("hot face of {}", b.part.name),
        Role::TransmitterHotFace,
        Material::Metal,
        Piece::HotFace,
    );
    b.cuboid(label, centre, size);
}

fn antenna(b: &mut Builder) {
    let item = b.part.item();
    let (length, stem) = (b.length(&item, &air::ELEMENT_LENGTH), b.length(&item, &air::STEM_DIAMETER));
    let name = b.part.name.clone();
    let (Ok(length), Ok(stem)) = (&length, &stem) else {
        return b.lacks(name, length.err().into_iter().chain(stem.err()));
    };
    let (length, stem) = (length.clone(), stem.clone());
    // Where nobody said what radiates, the whole of it counts.
    let active = b.length_or(&item, &air::ACTIVE_LENGTH, length.value);
    let active = if active.value > length.value { length.clone() } else { active };
    let cap = item
        .read(&air::CAP_DIAMETER)
        .map_or_else(|_| stem.clone(), |_| b.length_or(&item, &air::CAP_DIAMETER, 0.0));
    let bare = length.clone() - active.clone();
    if bare.value > 0.05 {
        let at = [exact(0.0), exact(0.0), bare.clone() * 0.5];
        b.cylinder(
            label(format!("stem of {name}"), Role::Coax, Material::Soft, Piece::Whole),
            at,
            Axis::Z,
            &stem,
            &bare,
        );
    }
    let at = [exact(0.0), exact(0.0), length - active.clone() * 0.5];
    let control = b.proof.control_antennas().contains_key(&b.number);
    let role = if control { Role::ControlAntenna } else { Role::AntennaElement };
    b.cylinder(
        label(format!("element of {name}"), role, Material::Metal, Piece::Element),
        at,
        Axis::Z,
        &cap,
        &active,
    );
}

fn motor(b: &mut Builder) {
    let item = b.part.item();
    match (b.length(&item, &drive::BELL_DIAMETER), b.length(&item, &drive::MOTOR_HEIGHT)) {
        (Ok(bell), Ok(height)) => {
            let label = label(b.part.name.clone(), Role::Motor, Material::Metal, Piece::Whole);
            b.cylinder(label, [exact(0.0), exact(0.0), height.clone() * 0.5], Axis::Z, &bell, &height);
        }
        (bell, height) => b.lacks(b.part.name.clone(), bell.err().into_iter().chain(height.err())),
    }
}

fn blades(b: &mut Builder) {
    let item = b.part.item();
    match (b.length(&item, &drive::DIAMETER), b.length(&item, &drive::SWEEP_HEIGHT)) {
        (Ok(diameter), Ok(height)) => {
            let label =
                label(format!("disc of {}", b.part.name), Role::BladeSweep, Material::Sweep, Piece::Whole);
            b.cylinder(label, [exact(0.0), exact(0.0), height.clone() * 0.5], Axis::Z, &diameter, &height);
        }
        (diameter, height) => b.lacks(b.part.name.clone(), diameter.err().into_iter().chain(height.err())),
    }
}

fn capacitor(b: &mut Builder) {
    let item = b.part.item();
    match (b.length(&item, &drive::CAN_DIAMETER), b.length(&item, &drive::CAN_LENGTH)) {
        (Ok(diameter), Ok(length)) => {
            let label = label(b.part.name.clone(), Role::Capacitor, Material::Metal, Piece::Whole);
            b.cylinder(label, [exact(0.0), exact(0.0), diameter.clone() * 0.5], Axis::X, &diameter, &length);
        }
        (diameter, length) => b.lacks(b.part.name.clone(), diameter.err().into_iter().chain(length.err())),
    }
}

/// What a person calls a row of a part: `standoff rear left of frame`; a name that says what it is needs no
/// second word.
pub(super) fn row_name(row: &Item<'_>, one: &str, number: usize, part: &Part) -> String {
    match row.name() {
        Some(name) if name.to_lowercase().contains(one) => format!("{name} of {}", part.name),
        Some(name) => format!("{one} {name} of {}", part.name),
        None => format!("{one} {} of {}", number + 1, part.name),
    }
}

/// Centre and size of a row that is a box.
pub(super) fn box_of(b: &Builder, row: &Item<'_>) -> Result<([Linear; 3], [Linear; 3]), Vec<Missing>> {
    let read = |field| b.length(row, field);
    let all = [&shape::X, &shape::Y, &shape::Z, &shape::LENGTH, &shape::WIDTH, &shape::HEIGHT].map(read);
    match all {
        [Ok(x), Ok(y), Ok(z), Ok(length), Ok(width), Ok(height)] => Ok(([x, y, z], [length, width, height])),
        all => Err(all.into_iter().filter_map(Result::err).collect()),
    }
}

fn plugs(b: &mut Builder) {
    let part = b.part;
    for (number, row) in part.rows(&shape::plug::TABLE).enumerate() {
        let one = match row.text(&shape::plug::USE) {
            Ok("usb") => "socket",
            Ok("card") => "slot",
            Ok("button") => "button",
            _ => "plug",
        };
        let name = row_name(&row, one, number, part);
        let piece = Piece::Row(shape::plug::TABLE.key, number);
        match box_of(b, &row) {
            Ok((centre, size)) => b.cuboid(label(name, Role::Plug, Material::Plastic, piece), centre, size),
            Err(missing) => b.lacks(name, missing),
        }
    }
}

fn pads(b: &mut Builder) {
    let part = b.part;
    for (number, row) in part.rows(&shape::pad::TABLE).enumerate() {
        let name = row_name(&row, "pad", number, part);
        match box_of(b, &row) {
            Ok((centre, size)) => {
                let piece = Piece::Row(shape::pad::TABLE.key, number);
                b.cuboid(label(name, Role::BareConductor, Material::Metal, piece), centre, size);
            }
            Err(missing) => b.lacks(name, missing),
        }
    }
}

fn further_bodies(b: &mut Builder) {
    let part = b.part;
    for (number, row) in part.rows(&shape::body::TABLE).enumerate() {
        let name = row_name(&row, "body", number, part);
        let (role, material) = match row.text(&shape::body::ROLE) {
            Ok("hot face") => (Role::TransmitterHotFace, Material::Metal),
            Ok("bare conductor") => (Role::BareConductor, Material::Metal),
            Ok("keep clear") => (Role::KeepOut, Material::Space),
            Ok("antenna element") => (Role::ControlAntenna, Material::Metal),
            Ok("insulator") => (Role::Other, Material::Plastic),
            Ok("soft") => (Role::SoftMount, Material::Soft),
            _ if part.kind == PartKind::VideoTransmitter => (Role::Transmitter, Material::Metal),
            _ => (Role::Board, Material::Board),
        };
        let label = label(name.clone(), role, material, Piece::Row(shape::body::TABLE.key, number));
        if row.text(&shape::body::SHAPE) == Ok("cylinder") {
            let at = [&shape::X, &shape::Y, &shape::Z].map(|field| b.length(&row, field));
            match (at, b.length(&row, &shape::body::DIAMETER), b.length(&row, &shape::LENGTH)) {
                ([Ok(x), Ok(y), Ok(z)], Ok(diameter), Ok(length)) => {
                    let axis = match row.text(&shape::body::AXIS) {
                        Ok("x") => Axis::X,
                        Ok("y") => Axis::Y,
                        _ => Axis::Z,
                    };
                    b.cylinder(label, [x, y, z], axis, &diameter, &length);
                }
                (_, diameter, length) => b.lacks(name, diameter.err().into_iter().chain(length.err())),
            }
        } else {
            match box_of(b, &row) {
                Ok((centre, size)) => b.cuboid(label, centre, size),
                Err(missing) => b.lacks(name, missing),
            }
        }
    }
    if part.kind != PartKind::Frame && part.kind != PartKind::PrintedPart && part.kind != PartKind::Adapter {
        plates(b);
    }
}

#[cfg(test)]
#[path = "bodies_tests.rs"]
mod tests;
