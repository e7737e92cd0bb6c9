//! What something can be seated on: hole patterns, camera mounts, antenna mounts, with their frames and faces.
//!
//! A deck lies on a part, in the part's own frame. Its near face is where a spacer on it begins, its far face where
//! the head of a screw from the other side lies; both count along the deck's own z. On a plate the near face is the
//! frame's origin; of a board's own holes it is the upper face of the laminate.

use crate::Proof;
use crate::inputs::{feature_frame, pattern_holes};
use craft::schema::{Field, PartKind, air, board, frame, shape};
use craft::{Item, Part};
use fit::{HolePattern, InPart, MountHole, PlanePoint, Thread};
use quantity::Millimetres;

/// What is held there.
#[derive(Clone, Debug)]
pub(crate) enum Holds {
    /// Boards and adapters, by their holes.
    Boards(HolePattern, Option<Thread>),
    /// A camera, its side screws so far from the middle.
    Camera { screws_at: f64 },
    /// An antenna.
    Antenna,
}

/// Something to be seated on.
#[derive(Clone, Debug)]
pub(crate) struct Deck {
    pub name: String,
    /// From its frame to the part's.
    pub frame: InPart,
    pub near: f64,
    pub far: f64,
    pub holds: Holds,
    /// The middle of the pattern in the part's plane.
    pub middle: [f64; 2],
}

/// Every deck of a part whose frame is known.
pub(crate) fn decks(proof: &Proof, part: &Part) -> Vec<Deck> {
    let patterns = part.rows(&shape::pattern::TABLE).filter_map(|row| {
        let holds = Holds::Boards(holes(&row)?, thread(&row));
        let (near, far) = faces(part, &row)?;
        Some((row, holds, near, far))
    });
    let cameras = part.rows(&frame::camera_mount::TABLE).map(|row| {
        let read = |field: &Field<Millimetres>| row.read(field).map_or(0.0, |width| width.value.get());
        let screws_at = read(&frame::camera_mount::CLEAR_WIDTH) / 2.0 + read(&frame::camera_mount::CHEEK);
        (row, Holds::Camera { screws_at }, 0.0, 0.0)
    });
    let antennas = part.rows(&frame::antenna_mount::TABLE).map(|row| (row, Holds::Antenna, 0.0, 0.0));
    let all = patterns.chain(cameras).chain(antennas);
    all.filter_map(|(row, holds, near, far)| {
        let name = row.name()?.to_owned();
        let frame = feature_frame(proof, part, &name).ok()??.frame;
        let at = |field: &Field<Millimetres>| row.read(field).map_or(0.0, |at| at.value.get());
        let middle = [at(&shape::X), at(&shape::Y)];
        Some(Deck { name, frame, near, far, holds, middle })
    })
    .collect()
}

/// The underside and the upper face of what a part is screwed by, over its own origin, in mm.
pub(crate) fn clamped_faces(part: &Part, row: Option<&Item<'_>>) -> Option<(f64, f64)> {
    let item = part.item();
    let read = |field: &Field<Millimetres>| item.read(field).ok().map(|reading| reading.value.get());
    match part.kind {
        PartKind::FlightController | PartKind::SpeedController | PartKind::IntegratedBoard => {
            let below = read(&board::BELOW)?;
            Some((below, below + read(&board::BOARD)?))
        }
        PartKind::VideoTransmitter => {
            let at_holes = row.and_then(|row| row.read(&shape::pattern::THICKNESS).ok());
            Some((0.0, at_holes.map(|at| at.value.get()).or_else(|| read(&air::HEIGHT))?))
        }
        PartKind::Adapter => Some((0.0, read(&frame::plate::THICKNESS)?)),
        _ => None,
    }
}

fn faces(part: &Part, row: &Item<'_>) -> Option<(f64, f64)> {
    match part.kind {
        PartKind::FlightController
        | PartKind::SpeedController
        | PartKind::IntegratedBoard
        | PartKind::VideoTransmitter => clamped_faces(part, Some(row)).map(|(foot, head)| (head, foot)),
        _ => {
            let plate = row
                .text(&shape::pattern::PLATE)
                .ok()
                .and_then(|name| part.row_named(&frame::plate::TABLE, name));
            let thick = match &plate {
                Some(plate) => plate.read(&frame::plate::THICKNESS).ok(),
                None => part.item().read(&frame::plate::THICKNESS).ok(),
            };
            Some((0.0, -thick.map_or(0.0, |thick| thick.value.get())))
        }
    }
}

/// The holes of a pattern row about their middle.
pub(crate) fn holes(row: &Item<'_>) -> Option<HolePattern> {
    let diameter = row.read(&shape::pattern::HOLE).ok()?.value;
    let at = |[x, y]: [f64; 2]| MountHole { at: PlanePoint::new(x, y), slot_to: None, diameter };
    Some(HolePattern { holes: pattern_holes(row)?.into_iter().map(at).collect() })
}

/// The screw a pattern is meant for.
pub(crate) fn thread(row: &Item<'_>) -> Option<Thread> {
    row.text(&shape::pattern::SCREW).ok().and_then(Thread::named)
}
