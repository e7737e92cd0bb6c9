//! Which cheeks a camera needs: half of what its mount is wider, on each side.
//!
//! They reach over the side of the camera, a little less in front, and sit in its frame, so that they tilt with it. With rims they hold
//! the camera by its edges, unless the mount has a window too low for them.

use super::cheek::{Cheeks, CheeksAsked, Rims};
use super::custom::{BEHIND_FACE, Filament, WALL};
use super::own_screws::{NewScrews, OwnScrews};
use super::printed::{At, Draft, Printed, angle, cannot, fresh_ids, length, mm, named, places_of};
use super::refusal::PrintRefusal;
use super::wanted::{Finish, PrintKind, Wanted};
use craft::schema::{PartKind, camera, frame::camera_mount, place as place_schema};
use craft::{Anchor, Craft, Item};
use fit::Thread;
use quantity::Millimetres;

pub(super) const CAMERAS: &[PartKind] = &[PartKind::Camera];
/// How far the rims reach over the sides of the camera.
const REACH: Millimetres = Millimetres::new(1.0);

pub(super) fn cheeks_for_camera(craft: &Craft, wanted: &Wanted) -> Result<Printed, PrintRefusal> {
    let camera = match &wanted.place {
        Some(id) => named(craft, id, CAMERAS, "a camera")?,
        None => loose_camera(craft)?,
    };
    let (item, mount) = (camera.part.item(), mount(craft, camera)?);
    let depth = item.read(&camera::BODY_DEPTH)?.value;
    let ahead = item.read(&camera::FACE_AHEAD)?.value;
    let height = item.read(&camera::BODY_HEIGHT)?.value;
    let thread = item.text(&camera::SIDE_SCREW)?;
    let screw = Thread::named(thread).ok_or_else(|| PrintRefusal::NoThread { text: thread.to_owned() })?;
    let mut asked = CheeksAsked {
        camera_width: item.read(&camera::BODY_WIDTH)?.value,
        slot_width: mount.read(&camera_mount::CLEAR_WIDTH)?.value,
        camera_height: height,
        behind: depth - ahead,
        ahead: ahead - BEHIND_FACE.length,
        screw,
        rims: if wanted.finish == Finish::Plain { Rims::None } else { Rims::Over(REACH) },
    };
    let name = format!("cheeks for {}", camera.part.name);
    let mut cheeks = Cheeks::new(&asked).map_err(cannot(&name))?;
    let window = mount.read(&camera_mount::CLEAR_HEIGHT).ok().map(|window| window.value.get());
    let too_low = window.filter(|window| *window < 2.0 * cheeks.half_heights().0 && asked.rims != Rims::None);
    if too_low.is_some() {
        asked.rims = Rims::None;
        cheeks = Cheeks::new(&asked).map_err(cannot(&name))?;
    }
    let mesh = cheeks.mesh().map_err(|fault| cannot(&name)(vec![fault]))?;
    let (part, place) = fresh_ids(craft, &format!("cheeks {}", camera.place.id));
    let filament = Filament::Flexible;
    Ok(Draft {
        kind: PrintKind::Cheeks,
        for_place: &camera.place.id,
        part: cheeks.as_part(part, &name, filament),
        mesh,
        filament,
        what: format!("Print {name} and put them beside it"),
        on: Anchor::Place(camera.place.id.clone()).to_string(),
        edits: Vec::new(),
        place,
        says: says(&cheeks, &mount, too_low),
        screws: side_screws(craft, camera, &mount, screw),
    }
    .done(craft))
}

/// The side screws of the camera, which go through the cheeks: those in its mount, or one from each side.
fn side_screws(craft: &Craft, camera: At, mount: &Item, thread: Thread) -> OwnScrews {
    let there: Vec<_> = places_of(craft, &[PartKind::Screw])
        .filter(|at| at.place.on == camera.place.on)
        .map(|at| (at.place.id.clone(), None))
        .collect();
    let (Some(on), Ok(slot)) = (&camera.place.on, mount.read(&camera_mount::CLEAR_WIDTH)) else {
        return OwnScrews::default();
    };
    if !there.is_empty() {
        return OwnScrews { new: Vec::new(), there };
    }
    let cheek = mount.read(&camera_mount::CHEEK).map_or(0.0, |cheek| cheek.value.get());
    let out = slot.value.get() / 2.0 + cheek;
    let side = |(word, y, roll): (&str, f64, f64)| NewScrews {
        word: format!("{} screw {word}", camera.place.id),
        on: on.to_string(),
        says: vec![(place_schema::Y.def.key, length(y)), (place_schema::ROLL.def.key, angle(roll))],
        thread,
        head: "button",
        count: 1,
        why: format!("goes into the camera from the {word}"),
        heads: None,
    };
    OwnScrews { new: [("left", out, -90.0), ("right", -out, 90.0)].map(side).to_vec(), there }
}

fn says(cheeks: &Cheeks, mount: &Item, too_low: Option<f64>) -> Vec<String> {
    let asked = cheeks.asked();
    let thick = mm(cheeks.thickness().get());
    let mut says = vec![
        format!(
            "{} is {} wide, the camera {}: each cheek fills {thick}. Left and right are mirrored.",
            mount.called,
            mm(asked.slot_width.get()),
            mm(asked.camera_width.get())
        ),
        format!("The side screws go through the cheeks too: they are {thick} longer than without."),
    ];
    match (asked.rims, too_low) {
        (Rims::Over(reach), _) => says.push(format!(
            "Rims reach {} over the upper and lower edge, so that the cheeks cannot turn on the camera.",
            mm(reach.get())
        )),
        (Rims::None, Some(window)) => says.push(format!(
            "They have no rims: the window is only {} high. Glue them, or they may turn on the camera.",
            mm(window)
        )),
        _ => {}
    }
    says
}

/// The first camera that leaves enough room beside it.
fn loose_camera(craft: &Craft) -> Result<At<'_>, PrintRefusal> {
    let mut lacking = None;
    for camera in places_of(craft, CAMERAS) {
        let sizes = mount(craft, camera).and_then(|mount| {
            let slot = mount.read(&camera_mount::CLEAR_WIDTH)?.value;
            Ok((slot - camera.part.item().read(&camera::BODY_WIDTH)?.value).get())
        });
        match sizes {
            Ok(room) if room >= 2.0 * WALL.length.get() => return Ok(camera),
            Ok(_) => {}
            Err(refusal) => lacking = lacking.or(Some(refusal)),
        }
    }
    Err(lacking.unwrap_or_else(|| PrintRefusal::NotNeeded {
        why: format!(
            "no camera of this craft leaves {} beside it on each side, the least a cheek can fill; washers fill less",
            mm(WALL.length.get())
        ),
    }))
}

/// The mount a camera hangs in.
pub(super) fn mount<'a>(craft: &'a Craft, camera: At<'a>) -> Result<Item<'a>, PrintRefusal> {
    let part = camera.place.on.as_ref().and_then(Anchor::place).and_then(|id| craft.place(id));
    let part = part.and_then(|place| craft.part_at(place));
    let mut mounts = part.into_iter().flat_map(|part| part.rows(&camera_mount::TABLE));
    let found = match &camera.place.on {
        Some(Anchor::Feature(_, name)) => mounts.find(|mount| mount.name() == Some(name)),
        _ => mounts.next(),
    };
    found.ok_or_else(|| PrintRefusal::NothingThere {
        what: format!(
            "{:?} at place \"{}\" is seated on no camera mount; seat it on one, such as frame/nose",
            camera.part.name, camera.place.id
        ),
    })
}
