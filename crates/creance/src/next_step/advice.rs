//! What the guide says of each kind of part: what to enter first, where it is seated, why it matters.

use craft::schema::{PartKind, TableDef, frame, shape};

/// What a frame must say before anything can be held against it.
pub const FRAME_TABLES: [(&TableDef, &str, &str); 5] = [
    (
        &frame::plate::TABLE,
        "Enter the bottom plate",
        "Plates bound the room for everything else. The corners of the outline, the thickness and where it lies are \
         enough; add the top plate the same way.",
    ),
    (
        &frame::standoff::TABLE,
        "Enter the standoffs",
        "The posts between the plates are what plugs foul most often. Their middle, diameter and height decide.",
    ),
    (
        &shape::pattern::TABLE,
        "Enter a hole pattern",
        "A pattern is where a board is screwed down: its middle and the side of the hole square, such as 20 or 25.5 mm.",
    ),
    (
        &frame::camera_mount::TABLE,
        "Enter the camera mount",
        "Where the camera's side screws pass, and the clear width between the cheeks. The camera is seated there.",
    ),
    (
        &frame::motor_mount::TABLE,
        "Enter the motor mounts",
        "Where each motor's base sits. The blades turn above these points, so nothing else may.",
    ),
];

/// What a part must say beyond its size before its fit means anything.
pub const PART_TABLES: [(PartKind, &TableDef, &str, &str); 3] = [
    (
        PartKind::VideoTransmitter,
        &shape::plug::TABLE,
        "Enter the plugs of",
        "Coax, camera harness and supply stand out of the outline, and data sheets leave them out. Enter the mated plug's \
         body: where its middle lies, its size, and which way it is pulled.",
    ),
    (
        PartKind::Camera,
        &shape::plug::TABLE,
        "Enter the plug of",
        "Depth is quoted without the plug. Enter where it sits at the back and how far it stands out.",
    ),
    (
        PartKind::FlightController,
        &shape::pattern::TABLE,
        "Enter the hole pattern of",
        "The side of its hole square and the diameter of the holes, or of the grommets' bore: they must match the frame.",
    ),
];

/// Where such a part is seated.
pub const fn seat_advice(kind: PartKind) -> &'static str {
    match kind {
        PartKind::Frame => {
            "Seat it on the body: the frame's own coordinates become those of the craft, x forward, y left, z up."
        }
        PartKind::Camera => "Seat it on the camera mount of the frame. Its tilt is the pitch of the place.",
        PartKind::Lens => "Seat it on the camera's lens mount; it then tilts with the camera.",
        PartKind::Motor => "Seat one on each motor mount of the frame.",
        PartKind::Blades => "Seat one set on the shaft of each motor.",
        PartKind::Antenna => {
            "Seat it on an antenna mount, or on the body with its coordinates; say which plug it goes into."
        }
        PartKind::Pack => {
            "Seat it on the body, above the top plate or below the bottom plate, as you strap it."
        }
        PartKind::CameraHarness | PartKind::Pigtail => "Say from which plug to which plug it runs.",
        _ => {
            "Seat it on a hole pattern of the frame, and say how far it stands off: the height of its spacers or grommets."
        }
    }
}

/// What to know of such a part.
pub const fn part_advice(kind: PartKind) -> &'static str {
    match kind {
        PartKind::VideoTransmitter => {
            "It is the largest board with the most plugs, so it decides first what fits. Enter its plugs too: data sheets \
             leave them out of the outline. Never power it without its antenna."
        }
        PartKind::Camera => {
            "Width, height and depth of the body, and its plug. The size name tells the width only."
        }
        PartKind::IntegratedBoard => {
            "Small craft carry flight controller and speed controller in one board. Enter its hole pattern and what stands above and below it."
        }
        PartKind::FlightController => {
            "Its hole pattern must match the frame, and its plugs must come out past the standoffs."
        }
        PartKind::SpeedController => {
            "It usually lies under the flight controller; its height sets how high the stack stands."
        }
        PartKind::Antenna => "It must mate with the transmitter's plug and keep clear of carbon and blades.",
        PartKind::Motor => "Bolt circle, screw thread and depth: a screw too long ends in the windings.",
        PartKind::Blades => {
            "Their diameter and the height they sweep. Nothing soft may come near. Take them off for work at the bench."
        }
        PartKind::Pack => {
            "The heaviest part: its size and place decide the balance. Charge it attended, as its maker asks."
        }
        _ => "The proof takes in whatever you add.",
    }
}
