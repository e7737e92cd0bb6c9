//! Holes that the sheet knows without listing them: those of motors, standoffs and camera mounts, in every plate they go
//! through, and of screws on their way through a plate in whose drawing no hole is for them.
//!
//! Rules and templates read this one list, so that what is judged is what is drawn.
//!
//! They are found from where the thing stands on its frame, carried into the plane of each plate that lies there: a screw
//! into a standoff or a motor passes every plate that lies against its end, one under the other. Their width is the
//! clearance hole of the screw, medium series of ISO 273. A hole whose width nobody said is marked by its middle alone; one
//! whose place nobody said, or that meets no plate, is told in words. Nothing is left out in silence.
//!
//! How many screws a motor has is read from the screws set at its mount; left out, they are four, as is common practice. Where
//! on their circle they lie is free, since a motor may be turned on its mount: they are drawn where they leave the arm
//! the widest web.

mod lying;

use crate::inputs::{CraftSolid, Piece, pattern_holes};
use crate::numbers::capital;
use crate::subject::Layers;
use crate::{Placed, Proof};
use craft::schema::{Field, PartKind, camera, drive, fixing, frame, place, shape};
use craft::{Anchor, Craft, Item, Part, Place};
use fit::{Shape, Thread, clearance_hole};
use lying::{Plate, freest, stacked};
use quantity::Millimetres;

/// How far a cheek may stand off where the camera mount says its inner face is, in mm.
const CHEEK_OFF: f64 = 1.0;
/// How far a hole that is listed may lie off one that is known from the thing it is for, and still be it, in mm.
pub(crate) const SAME: f64 = 0.3;
/// Screws of a motor where nobody said how many. Common practice.
const MOTOR_SCREWS: u32 = 4;

/// A part at a place.
struct Holder<'a> {
    number: usize,
    place: &'a Place,
    part: &'a Part,
}

/// A hole through one plate.
#[derive(Clone, Debug, PartialEq)]
pub struct ThroughHole {
    /// The number of the plate among the solids.
    pub solid: usize,
    /// Its middle in the outline's own coordinates, in mm.
    pub at: [f64; 2],
    /// Its width in mm; `None` where nobody said which screw goes in.
    pub diameter: Option<f64>,
    /// What goes through it, such as `mid left standoff, M3`.
    pub what: String,
    /// Whether a screw passes the plate there and its drawing has no hole.
    pub undrawn: bool,
}

/// What is known of holes beside those that are listed.
#[derive(Clone, Debug, Default)]
pub struct KnownHoles {
    /// The holes.
    pub through: Vec<ThroughHole>,
    /// By the number of a plate's solid: what stands at its drawing.
    pub notes: Vec<(usize, String)>,
    /// By the number of a plate's solid: what it may be measured from, a middle in its outline's coordinates in mm and what lies there.
    pub middles: Vec<(usize, [f64; 2], String)>,
    /// By place: what is wanted and cannot be drawn.
    pub open: Vec<(usize, String)>,
}

/// The row of the table of plates that a solid is, if it is one.
pub fn plate_row<'a>(craft: &'a Craft, solid: &CraftSolid) -> Option<Item<'a>> {
    let Piece::Row(table, row) = solid.piece else { return None };
    let part = craft.part_at(craft.places.get(solid.place)?)?;
    (table == frame::plate::TABLE.key).then(|| part.rows(&frame::plate::TABLE).nth(row)).flatten()
}

/// The holes that a craft's plates have or want beside those that are listed.
pub fn known_holes(proof: &Proof) -> KnownHoles {
    let mut known = KnownHoles::default();
    for (at, placed) in proof.craft.places.iter().enumerate() {
        let Some(part) = proof.part_of(at) else { continue };
        let holder = Holder { number: at, place: placed, part };
        let Some(seat) = proof.inputs().seat(at) else { continue };
        let plates = proof.inputs().solids_of(at).filter_map(|(number, solid)| {
            let Shape::Prism(prism) = &solid.solid.shape else { return None };
            let row = plate_row(proof.craft, solid)?;
            let stands = row.text(&frame::plate::STANDS).is_ok_and(|stands| stands != "flat");
            let into = solid.solid.pose.inverse() * seat.pose;
            Some(Plate { number: number.0 as usize, prism, stands, into })
        });
        let plates: Vec<Plate> = plates.collect();
        known.listed(&holder);
        known.standoffs(&holder, &plates);
        known.motors(proof, &holder, &plates);
        known.cameras(proof, &holder, &plates);
    }
    known.screws(proof);
    known
}

impl KnownHoles {
    /// Whether a screw that goes through one plate goes through another too, and so holds the two together.
    pub fn joins(&self, plate: usize) -> bool {
        let own = self.through.iter().filter(|through| through.solid == plate);
        own.into_iter()
            .any(|one| self.through.iter().any(|other| other.solid != plate && other.what == one.what))
    }

    /// Screws on their way through a plate in whose drawing no hole is for them.
    fn screws(&mut self, proof: &Proof) {
        for undrawn in Layers::of(proof).undrawn(proof) {
            let Placed { place, part } = undrawn.screw;
            let thread = part.item().text(&fixing::THREAD).ok();
            // Where a standoff or a motor has its own hole, the screw goes through that.
            let there = |known: &ThroughHole| {
                known.solid == undrawn.solid
                    && (known.at[0] - undrawn.at[0]).hypot(known.at[1] - undrawn.at[1]) < SAME
            };
            if !self.through.iter().any(there) {
                self.through.push(ThroughHole {
                    solid: undrawn.solid,
                    at: undrawn.at,
                    diameter: width(thread),
                    what: with_screw(place.id.as_str(), thread),
                    undrawn: true,
                });
            }
        }
    }

    fn open(&mut self, holder: &Holder, words: String) {
        self.open.push((holder.number, words));
    }

    /// Rows of holes and patterns that say too little to be cut.
    fn listed(&mut self, holder: &Holder) {
        for (number, row) in holder.part.rows(&frame::hole::TABLE).enumerate() {
            let fields = [&frame::hole::U, &frame::hole::V, &frame::hole::DIAMETER];
            if fields.iter().any(|field| length(&row, field).is_none()) {
                let plate = row.text(&frame::hole::PLATE).unwrap_or("a plate that is not named");
                let name = called(&row, "hole", number);
                self.open(
                    holder,
                    format!(
                        "{name} in {plate}: its place or its diameter is not entered, so it is not drawn"
                    ),
                );
            }
        }
        for (number, row) in holder.part.rows(&shape::pattern::TABLE).enumerate() {
            let Ok(plate) = row.text(&shape::pattern::PLATE) else { continue };
            let name = called(&row, "pattern", number);
            if length(&row, &shape::pattern::HOLE).is_none() {
                self.open(
                    holder,
                    format!(
                        "{name} in {plate}: the diameter of its holes is not entered, so they are not drawn"
                    ),
                );
            } else if pattern_holes(&row).is_none() {
                self.open(
                    holder,
                    format!("{name} in {plate}: its pitch is not entered, so its holes are not drawn"),
                );
            }
        }
    }

    fn standoffs(&mut self, holder: &Holder, plates: &[Plate]) {
        for (number, row) in holder.part.rows(&frame::standoff::TABLE).enumerate() {
            let name = called(&row, "standoff", number);
            let Some([x, y, z]) = spot(&row) else {
                self.open(holder, format!("{name}: nobody said where it stands, so its holes are not drawn"));
                continue;
            };
            let thread = row.text(&frame::standoff::THREAD).ok();
            let height = length(&row, &shape::HEIGHT);
            let foot = stacked(plates, [x, y], z, -1.0);
            let head = height.map_or(Vec::new(), |height| stacked(plates, [x, y], z + height, 1.0));
            if foot.is_empty() && head.is_empty() {
                self.open(holder, format!("{name}: no plate lies against either of its ends"));
            }
            if height.is_none() {
                self.open(
                    holder,
                    format!("{name}: its height is not entered, so its upper hole is not drawn"),
                );
            }
            for plate in foot.into_iter().chain(head) {
                let what = with_screw(&name, thread);
                self.push(plate, [x, y, z], width(thread), what);
            }
        }
    }

    fn motors(&mut self, proof: &Proof, holder: &Holder, plates: &[Plate]) {
        for (number, row) in holder.part.rows(&frame::motor_mount::TABLE).enumerate() {
            let name = called(&row, "motor", number);
            let Some([x, y, z]) = spot(&row) else {
                self.open(holder, format!("{name}: nobody said where it sits, so its holes are not drawn"));
                continue;
            };
            let anchor = Anchor::Feature(holder.place.id.clone(), row.name().unwrap_or_default().to_owned());
            let motor = proof.seated_on(&anchor).find(|placed| placed.part.kind == PartKind::Motor);
            let of_motor = |field| motor.as_ref().and_then(|motor| length(&motor.part.item(), field));
            let circle = length(&row, &frame::motor_mount::BOLT_CIRCLE).or(of_motor(&drive::BOLT_CIRCLE));
            let way = if row.text(&frame::motor_mount::FACES) == Ok("down") { 1.0 } else { -1.0 };
            let below = stacked(plates, [x, y], z, way);
            let Some(circle) = circle else {
                self.open(
                    holder,
                    format!(
                        "{name}: neither mount nor motor says its bolt circle, so its holes are not drawn"
                    ),
                );
                continue;
            };
            if below.is_empty() {
                self.open(
                    holder,
                    format!("{name}: no plate lies under it, so its {circle} mm circle is not drawn"),
                );
                continue;
            }
            let entered = screws_at(proof, &anchor);
            let count = entered.unwrap_or(MOTOR_SCREWS);
            let thread = motor.as_ref().and_then(|motor| motor.part.item().text(&drive::SCREW).ok());
            let turn = freest(below.iter().copied(), [x, y, z], circle / 2.0, count);
            for plate in below {
                let middle = plate.at([x, y, z]);
                let on_circle = plate.on_circle(middle, circle / 2.0);
                self.middles.push((plate.number, middle, format!("the middle of {name}")));
                if on_circle.len() > 1 {
                    for at in on_circle {
                        self.put(plate.number, at, width(thread), with_screw(&name, thread));
                    }
                    continue;
                }
                for n in 0..count {
                    let angle = turn + f64::from(n) * std::f64::consts::TAU / f64::from(count);
                    let at = [x + circle / 2.0 * angle.cos(), y + circle / 2.0 * angle.sin(), z];
                    let what = with_screw(&name, thread);
                    self.push(plate, at, width(thread), what);
                }
                let how_many = match entered {
                    Some(count) => format!("{count} screws are set at it"),
                    None => "how many screws it takes is not entered, 4 are drawn".to_owned(),
                };
                // The shaft's end stands out under many motors and wants a hole in the middle of the circle.
                let shaft = match plate.on_circle(middle, 0.0).is_empty() {
                    true => " No hole for the shaft's end is entered: lay the motor on first.",
                    false => "",
                };
                self.notes.push((
                    plate.number,
                    format!(
                        "{}: {circle} mm circle; {how_many}. The turn is free, drawn for the widest web.{shaft}",
                        capital(&name),
                    ),
                ));
            }
        }
    }

    fn cameras(&mut self, proof: &Proof, holder: &Holder, plates: &[Plate]) {
        for (number, row) in holder.part.rows(&frame::camera_mount::TABLE).enumerate() {
            let name = called(&row, "camera mount", number);
            let (Some([x, y, z]), Some(clear)) =
                (spot(&row), length(&row, &frame::camera_mount::CLEAR_WIDTH))
            else {
                self.open(
                    holder,
                    format!("{name}: its place or its clear width is not entered, so the holes of its axis are not drawn"),
                );
                continue;
            };
            let anchor = Anchor::Feature(holder.place.id.clone(), row.name().unwrap_or_default().to_owned());
            let camera = proof.seated_on(&anchor).find(|placed| placed.part.kind == PartKind::Camera);
            let thread = camera
                .as_ref()
                .and_then(|camera| camera.part.item().text(&camera::SIDE_SCREW).ok())
                .or_else(|| screw_at(proof, &anchor));
            let cheek = length(&row, &frame::camera_mount::CHEEK).unwrap_or(0.0);
            for (side, sign) in [("left", 1.0), ("right", -1.0)] {
                let at = [x, y + sign * (clear + cheek) / 2.0, z];
                let meets = |plate: &&Plate| {
                    let beside = plate.height(at);
                    let reach = CHEEK_OFF + cheek / 2.0;
                    plate.stands
                        && beside > -reach
                        && beside < plate.prism.thickness().get() + reach
                        && plate.holds(at)
                };
                let met: Vec<&Plate> = plates.iter().filter(meets).collect();
                if met.is_empty() {
                    self.open(
                        holder,
                        format!("{name}: no upright plate stands where its {side} screw passes"),
                    );
                }
                for plate in met {
                    let what = with_screw(&format!("{name}, axis"), thread);
                    self.push(plate, at, width(thread), what);
                }
            }
        }
    }

    fn push(&mut self, plate: &Plate, at: [f64; 3], diameter: Option<f64>, what: String) {
        self.put(plate.number, plate.at(at), diameter, what);
    }

    fn put(&mut self, solid: usize, at: [f64; 2], diameter: Option<f64>, what: String) {
        self.through.push(ThroughHole { solid, at, diameter, what, undrawn: false });
    }
}

/// How many screws are set on a feature; `None` where none is.
fn screws_at(proof: &Proof, anchor: &Anchor) -> Option<u32> {
    let screws = proof.seated_on(anchor).filter(|placed| placed.part.kind == PartKind::Screw);
    let count = screws.map(|placed| placed.place.item().count(&place::COUNT).unwrap_or(1)).sum();
    (count > 1).then_some(count)
}

/// The thread of a screw set on a feature.
fn screw_at<'a>(proof: &'a Proof, anchor: &Anchor) -> Option<&'a str> {
    let screw = proof.seated_on(anchor).find(|placed| placed.part.kind == PartKind::Screw)?;
    screw.part.item().text(&fixing::THREAD).ok()
}

/// The clearance hole of a thread, medium series.
fn width(thread: Option<&str>) -> Option<f64> {
    Some(clearance_hole(&Thread::named(thread?)?)?.medium.get())
}

fn length(row: &Item, field: &Field<Millimetres>) -> Option<f64> {
    row.read(field).ok().map(|reading| reading.value.get())
}

/// Where a row stands in its part's frame; coordinates left out are 0.
fn spot(row: &Item) -> Option<[f64; 3]> {
    let [x, y, z] = [&shape::X, &shape::Y, &shape::Z].map(|field| length(row, field));
    Some([x?, y?, z?])
}

/// What a row is called: `front left motor`, `motor 2`.
fn called(row: &Item, one: &str, number: usize) -> String {
    match row.name() {
        Some(name) if name.to_lowercase().contains(one) => name.to_owned(),
        Some(name) => format!("{name} {one}"),
        None => format!("{one} {}", number + 1),
    }
}

fn with_screw(name: &str, thread: Option<&str>) -> String {
    thread.map_or(name.to_owned(), |thread| format!("{name}, {thread}"))
}
