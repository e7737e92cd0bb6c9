//! Which wedge a camera needs: its slope is the camera's tilt, its seat lies under the camera's body.
//!
//! In the frame of what holds the camera, with the camera's tilt θ, its underside runs from its rear edge
//! - x = x₀ + (a − d)·cos θ + (h/2)·sin θ,   z = z₀ + (a − d)·sin θ − (h/2)·cos θ
//!
//! up the slope, where x₀, z₀ is the axis of the side screws, a how far the face lies ahead of it, d and h depth and height of
//! the body. The wedge stands on the highest flat plate below, with a strip of foam or tape on its seat. Between the plates of
//! a mount its screws go through the seat; the plate must be drilled for them.

use super::as_part::BASE;
use super::cheeks_for_camera::{CAMERAS, mount};
use super::custom::{Custom, Filament, SEAT_PAD, SEAT_SIDE};
use super::fault::PrintFault;
use super::own_screws::{NewScrews, OwnScrews};
use super::printed::{
    At, Draft, Printed, cannot, fresh_ids, length, mm, named, of_place, places_of, set_place,
};
use super::refusal::PrintRefusal;
use super::wanted::{PrintKind, Wanted};
use super::wedge::{SeatHold, Wedge, WedgeAsked, WedgeBase};
use craft::schema::{camera, frame, place as place_schema, shape};
use craft::{Anchor, Craft, Part};
use fit::{Thread, in_ring};
use quantity::{Degrees, Millimetres};

/// The shortest seat that still holds a camera, and the steps by which one is shortened.
const SEAT_LEAST: Millimetres = Millimetres::new(7.0);
const STEP: f64 = 0.25;
/// Material under the heads of its screws.
const FLOOR: Millimetres = Millimetres::new(1.5);

pub(super) fn wedge_for_camera(craft: &Craft, wanted: &Wanted) -> Result<Printed, PrintRefusal> {
    let camera = camera_of(craft, wanted)?;
    let mount = mount(craft, camera)?;
    let item = camera.part.item();
    let depth = item.read(&camera::BODY_DEPTH)?.value.get();
    let ahead = item.read(&camera::FACE_AHEAD)?.value.get();
    let (height, width) =
        (item.read(&camera::BODY_HEIGHT)?.value.get(), item.read(&camera::BODY_WIDTH)?.value.get());
    let tilt = of_place(camera.place, &place_schema::PITCH);
    let slope = wanted.angle.map_or(tilt, Degrees::get);
    let (sin, cos) = slope.to_radians().sin_cos();
    let at = |row: &craft::schema::Field<Millimetres>, own: &craft::schema::Field<Millimetres>| {
        Ok::<f64, PrintRefusal>(mount.read(row)?.value.get() + of_place(camera.place, own))
    };
    let x = at(&shape::X, &place_schema::X)? + (ahead - depth) * cos + height / 2.0 * sin;
    let y = at(&shape::Y, &place_schema::Y)?;
    let z = at(&shape::Z, &place_schema::Z)? + (ahead - depth) * sin - height / 2.0 * cos;
    let run = depth * cos;
    let Some(holder) = camera.place.on.as_ref().and_then(Anchor::place) else {
        return Err(PrintRefusal::NothingThere { what: "the camera is seated on nothing".to_owned() });
    };
    let part = craft.place(holder).and_then(|place| craft.part_at(place));
    let base = part.and_then(|part| plate_under(part, [x + run / 2.0, y], z));
    let Some(base) = base else {
        let what = format!(
            "no flat plate lies under {:?} at place \"{}\": a wedge would have nothing to stand on",
            camera.part.name, camera.place.id
        );
        return Err(PrintRefusal::NothingThere { what });
    };
    let slot = mount.read(&frame::camera_mount::CLEAR_WIDTH)?.value.get();
    let side = |custom: Custom| custom.length.get();
    let thread = match wanted.thread()? {
        Some(thread) => thread,
        None => Thread::named("M2").ok_or_else(|| PrintRefusal::NoThread { text: "M2".to_owned() })?,
    };
    let asked = WedgeAsked {
        angle: Degrees::new(slope),
        seat_length: Millimetres::new(depth),
        seat_width: Millimetres::new(width.min(slot - 2.0 * side(SEAT_SIDE))),
        low: Millimetres::new(z - base - side(SEAT_PAD)),
        floor: wanted.thickness.unwrap_or(FLOOR),
        screw: thread,
        base: wanted.base.unwrap_or(WedgeBase::ThroughSeat),
        hold: SeatHold::Leaning,
    };
    let name = format!("wedge of {}° for {}", (slope * 10.0).round() / 10.0, camera.part.name);
    let (wedge, left_out) = longest(&asked).map_err(cannot(&name))?;
    // The middle of its base: the seat may begin further up the slope than the camera does.
    let at = [x + (left_out + depth) / 2.0 * cos, y];
    let mesh = wedge.mesh().map_err(|fault| cannot(&name)(vec![fault]))?;
    let (part, place) = fresh_ids(craft, &format!("wedge {}", camera.place.id));
    let filament = Filament::Flexible;
    let screws = OwnScrews {
        new: vec![NewScrews {
            word: format!("{place} screws"),
            on: Anchor::Feature(place.clone(), BASE.to_owned()).to_string(),
            says: vec![(place_schema::Z.def.key, length(asked.floor.get()))],
            thread,
            head: "button",
            count: wedge.holes().len(),
            why: "hold it to the plate, with nuts from below".to_owned(),
            heads: None,
        }],
        there: Vec::new(),
    };
    let edits = [(&place_schema::X, at[0]), (&place_schema::Y, y), (&place_schema::Z, base)]
        .into_iter()
        .filter(|(_, value)| *value != 0.0)
        .map(|(field, value)| set_place(&place, field.def.key, length(value)))
        .collect();
    Ok(Draft {
        kind: PrintKind::Wedge,
        for_place: &camera.place.id,
        part: wedge.as_part(part, &name, filament),
        mesh,
        filament,
        what: format!("Print {name} and put it under it"),
        on: Anchor::Place(holder.clone()).to_string(),
        edits,
        place,
        says: says(camera, &wedge, tilt, at, left_out),
        screws,
    }
    .done(craft))
}

/// The longest wedge under a camera, and how much of the camera's rear it leaves out: where the camera comes near
/// the plate, the seat begins further up the slope. With a tie where there is room for one.
fn longest(asked: &WedgeAsked) -> Result<(Wedge, f64), Vec<PrintFault>> {
    let sin = asked.angle.get().to_radians().sin();
    let without = |rear: f64| {
        let shorter = WedgeAsked {
            seat_length: asked.seat_length - Millimetres::new(rear),
            low: asked.low + Millimetres::new(rear * sin),
            ..*asked
        };
        // A tie is a gain where there is room for it; a wedge without one is a wedge all the same.
        Wedge::new(&WedgeAsked { hold: SeatHold::Tie, ..shorter }).or_else(|_| Wedge::new(&shorter))
    };
    let whole = without(0.0);
    let steps = ((asked.seat_length - SEAT_LEAST).get() / STEP).floor().clamp(0.0, 200.0) as u32;
    let shorter =
        || (1..=steps).map(|n| f64::from(n) * STEP).find_map(|rear| Some((without(rear).ok()?, rear)));
    whole.map(|wedge| (wedge, 0.0)).or_else(|faults| shorter().ok_or(faults))
}

fn camera_of<'a>(craft: &'a Craft, wanted: &Wanted) -> Result<At<'a>, PrintRefusal> {
    match &wanted.place {
        Some(id) => named(craft, id, CAMERAS, "a camera"),
        None => places_of(craft, CAMERAS).next().ok_or_else(|| PrintRefusal::NotNeeded {
            why: "there is no camera in this craft to put a wedge under; place one first".to_owned(),
        }),
    }
}

/// The height of the highest flat plate of a part under a place.
fn plate_under(part: &Part, at: [f64; 2], below: f64) -> Option<f64> {
    let rows = part.rows(&frame::plate::TABLE);
    let flat = rows.filter(|row| matches!(row.text(&frame::plate::STANDS), Ok("flat") | Err(_)));
    let top = |row: craft::Item| {
        let read =
            |field| row.read(field).ok().map(|reading: craft::Reading<Millimetres>| reading.value.get());
        let (x, y, z) = (read(&shape::X)?, read(&shape::Y)?, read(&shape::Z)?);
        let outline = row.points(&frame::plate::OUTLINE).ok()?;
        let top = z + read(&frame::plate::THICKNESS)?;
        (top < below && in_ring([at[0] - x, at[1] - y], outline)).then_some(top)
    };
    flat.filter_map(top).reduce(f64::max)
}

/// A wedge and a camera that differ by less, in degrees, lie on one another: foam takes it up.
const TILT_ALIKE: f64 = 1.0;

fn tenth(angle: f64) -> f64 {
    (angle * 10.0).round() / 10.0
}

fn says(camera: At, wedge: &Wedge, tilt: f64, at: [f64; 2], left_out: f64) -> Vec<String> {
    let asked = wedge.asked();
    let mut says = vec![format!(
        "For {:?} at place \"{}\", tilted {}°: the seat slopes {}° and leaves {} for foam or tape.",
        camera.part.name,
        camera.place.id,
        tenth(tilt),
        tenth(asked.angle.get()),
        mm(SEAT_PAD.length.get())
    )];
    if (asked.angle.get() - tilt).abs() > TILT_ALIKE {
        says.push(format!(
            "Mind: it slopes {}° and the camera is tilted {}°: set the camera to {}° too, or it stands on an edge of the wedge and is not held.",
            tenth(asked.angle.get()),
            tenth(tilt),
            tenth(asked.angle.get())
        ));
    }
    let holes: Vec<String> =
        wedge.holes().iter().map(|p| format!("x {}, y {}", mm(at[0] + p.x), mm(at[1] + p.y))).collect();
    says.push(format!(
        "The plate below needs holes of {} at {}, which the template of the plate shows once the wedge is on the craft; drill carbon wet, with a mask: its dust is bad for the lungs and shorts boards.",
        mm(wedge.screw().hole_diameter().get()),
        holes.join(" and ")
    ));
    if left_out > 0.0 {
        says.push(format!(
            "The seat begins {} ahead of the camera's rear edge: behind that, the camera comes too near the plate for a wall.",
            mm(left_out)
        ));
    }
    if asked.hold == SeatHold::Tie {
        says.push("A small tie goes through the tunnel and round the camera.".to_owned());
    }
    says
}
