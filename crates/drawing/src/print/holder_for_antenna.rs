//! Which holder an antenna needs: a clamp for its stem behind the frame, on the rearmost standoffs.
//!
//! The base lies on the top plate, or on the standoffs where there is none, and is held by the screws that go into them. The tie
//! lies clear behind the plate's edge, so that it can be closed; that says how far back the antenna stands. The lean is
//! that of the mount the antenna stands in, or 30° where it stands in none. An antenna with a threaded connector is held by the socket it
//! is screwed to, with a nut, and not by its stem.

use super::as_part::SOCKET;
use super::custom::{CLEAR, Filament, SOCKET_WALL, TIE_FAR, TIE_LENGTH, TIE_NEAR, ThreadedSocket};
use super::holder::{FixedBy, Fixing, Grip, Holder, HolderAsked};
use super::own_screws::{NewScrews, OwnScrews};
use super::printed::{
    At, Draft, Printed, cannot, fresh_ids, length, mm, named, of_place, places_of, set_place,
};
use super::refusal::PrintRefusal;
use super::wanted::{Finish, PrintKind, Wanted};
use craft::schema::{Field, PartKind, air, frame, place as place_schema, shape};
use craft::{Anchor, Craft, Edit, Item, Part, PlaceId, PlugRef};
use fit::{PlanePoint, Thread};
use quantity::{Degrees, Millimetres};

pub(super) const ANTENNAS: &[PartKind] = &[PartKind::Antenna];
/// The lean where nothing says one.
const LEAN: f64 = 30.0;
/// Thickness of the base, and length of the tube.
const BASE: Millimetres = Millimetres::new(2.0);
const TUBE: Millimetres = Millimetres::new(8.0);
/// Air between the plate's edge and the tie.
const BEHIND_EDGE: f64 = 1.0;
/// Standoffs this near in x are one behind no other.
const ABREAST: f64 = 1.0;

/// Where a holder is fixed, in the frame's coordinates.
struct Posts {
    /// The middle of the two, or the one.
    at: [f64; 2],
    /// How far each is to the side.
    aside: f64,
    /// The face the base lies on.
    z: f64,
    /// Where the posts end.
    top: f64,
    /// The rearmost edge of the plate there.
    edge: f64,
    thread: Thread,
    /// Their names.
    names: Vec<String>,
}

pub(super) fn holder_for_antenna(craft: &Craft, wanted: &Wanted) -> Result<Printed, PrintRefusal> {
    let antenna = match &wanted.place {
        Some(id) => named(craft, id, ANTENNAS, "an antenna")?,
        None => places_of(craft, ANTENNAS).next().ok_or_else(|| PrintRefusal::NotNeeded {
            why: "there is no antenna in this craft to hold; place one first".to_owned(),
        })?,
    };
    let Some(frame) = places_of(craft, &[PartKind::Frame]).next() else {
        let what = "there is no frame in this craft to fix a holder to; place one first".to_owned();
        return Err(PrintRefusal::NothingThere { what });
    };
    let posts = posts(frame, wanted.thread()?)?;
    let connector = antenna.part.item().text(&air::CONNECTOR).ok();
    let socket = connector.and_then(ThreadedSocket::of_connector);
    let stem = match socket {
        Some(socket) => socket.thread,
        None => antenna.part.item().read(&air::STEM_DIAMETER)?.value,
    };
    let grip = match (socket, wanted.finish) {
        (Some(socket), _) => Grip::Socket { flats: socket.flats },
        (None, Finish::Plain) => Grip::Tube,
        (None, Finish::Usual) => Grip::Clamp,
    };
    let lean = wanted.angle.unwrap_or(Degrees::new(lean_of(craft, antenna).unwrap_or(LEAN)));
    let behind = (TIE_NEAR.length + TIE_FAR.length) / 2.0;
    let tie = Holder::mouth_to_tie(stem, lean, grip, behind);
    let mouth = posts.edge - BEHIND_EDGE - TIE_LENGTH.length.get() / 2.0 - tie;
    let fixing =
        |y: f64| Fixing { at: PlanePoint::new(posts.at[0] - mouth, y), by: FixedBy::Screw(posts.thread) };
    let asked = HolderAsked {
        stem,
        lean,
        tube_length: TUBE,
        base: wanted.thickness.unwrap_or(BASE),
        lead: lead_of(craft, antenna).unwrap_or(Ok(stem))?,
        tie_behind: behind,
        grip,
        fixings: match posts.aside > 0.0 {
            true => vec![fixing(posts.aside), fixing(-posts.aside)],
            false => vec![fixing(0.0)],
        },
    };
    let name = format!("holder for {}", antenna.part.name);
    let holder = Holder::new(&asked).map_err(cannot(&name))?;
    let mesh = holder.mesh().map_err(|fault| cannot(&name)(vec![fault]))?;
    let (part, place) = fresh_ids(craft, &format!("holder {}", antenna.place.id));
    let mut edits: Vec<Edit> =
        [(&place_schema::X, mouth), (&place_schema::Y, posts.at[1]), (&place_schema::Z, posts.z)]
            .into_iter()
            .filter(|(_, value)| value.abs() > 0.005)
            .map(|(field, value)| set_place(&place, field.def.key, length(value)))
            .collect();
    let mut says = says(antenna, &holder, &posts);
    edits.extend(raised(craft, frame, &posts, &holder));
    edits.extend(reseated(craft, antenna, &place, &mut says));
    let screws = own_screws(craft, frame, &posts, &holder);
    let filament = Filament::Flexible;
    Ok(Draft {
        kind: PrintKind::Holder,
        for_place: &antenna.place.id,
        part: holder.as_part(part, &name, filament),
        mesh,
        filament,
        what: format!("Print {name} and put it in"),
        on: Anchor::Place(frame.place.id.clone()).to_string(),
        edits,
        place,
        says,
        screws,
    }
    .done(craft))
}

fn read(row: &Item, field: &Field<Millimetres>) -> Option<f64> {
    row.read(field).ok().map(|reading| reading.value.get())
}

/// The rearmost standoffs that reach highest.
fn posts(frame: At, thread: Option<Thread>) -> Result<Posts, PrintRefusal> {
    let none = || PrintRefusal::NothingThere {
        what: format!("{:?} has no standoff with a thread to fix a holder to; enter one", frame.part.name),
    };
    let tops: Vec<(f64, f64, f64, Thread, String)> = frame
        .part
        .rows(&frame::standoff::TABLE)
        .filter_map(|row| {
            let own = row.text(&frame::standoff::THREAD).ok().and_then(Thread::named);
            let top = read(&row, &shape::Z)? + read(&row, &shape::HEIGHT)?;
            let name = row.name().unwrap_or_default().to_owned();
            Some((read(&row, &shape::X)?, read(&row, &shape::Y)?, top, thread.or(own)?, name))
        })
        .collect();
    let highest = tops.iter().map(|post| post.2).reduce(f64::max).ok_or_else(none)?;
    let reach = |top: f64| highest - top < 0.5;
    let rear =
        tops.iter().filter(|post| reach(post.2)).map(|post| post.0).reduce(f64::min).ok_or_else(none)?;
    let abreast: Vec<_> = tops.iter().filter(|post| reach(post.2) && post.0 - rear < ABREAST).collect();
    let (left, right) = (
        abreast.iter().map(|post| post.1).fold(f64::NEG_INFINITY, f64::max),
        abreast.iter().map(|post| post.1).fold(f64::INFINITY, f64::min),
    );
    let x = abreast.iter().map(|post| post.0).sum::<f64>() / abreast.len() as f64;
    let Some(thread) = abreast.first().map(|post| post.3) else { return Err(none()) };
    let own = |name: &str| {
        let row = frame.part.row_named(&frame::standoff::TABLE, name)?;
        row.text(&frame::standoff::THREAD).ok().and_then(Thread::named)
    };
    let other = abreast.iter().filter_map(|post| own(&post.4)).find(|own| own.name != thread.name);
    if let Some(own) = other {
        let what = format!(
            "the rearmost standoffs take {} screws, not {}: ask for those, or for none in particular",
            own.name, thread.name
        );
        return Err(PrintRefusal::NothingThere { what });
    }
    let (z, edge) = top_plate(frame.part, highest).unwrap_or((highest, rear));
    let names = abreast.iter().map(|post| post.4.clone()).collect();
    let (at, aside) = ([x, (left + right) / 2.0], (left - right) / 2.0);
    Ok(Posts { at, aside, z, top: highest, edge, thread, names })
}

/// The face and the rearmost edge of the flat plate that lies on the standoffs.
fn top_plate(part: &Part, on: f64) -> Option<(f64, f64)> {
    let mut rows = part.rows(&frame::plate::TABLE);
    rows.find_map(|row| {
        let flat = matches!(row.text(&frame::plate::STANDS), Ok("flat") | Err(_));
        let z = read(&row, &shape::Z)?;
        let outline = row.points(&frame::plate::OUTLINE).ok()?;
        let edge = outline.iter().map(|[x, _]| *x).reduce(f64::min)? + read(&row, &shape::X)?;
        (flat && (z - on).abs() < 0.5).then_some((z + read(&row, &frame::plate::THICKNESS)?, edge))
    })
}

/// The screws that are in these standoffs, from above.
fn in_posts<'a>(craft: &'a Craft, frame: At, posts: &Posts) -> Vec<At<'a>> {
    let on_posts = |at: &At| match &at.place.on {
        Some(Anchor::Feature(under, name)) => under == &frame.place.id && posts.names.contains(name),
        _ => false,
    };
    let from_above = |at: &At| !at.place.item().flag(&place_schema::FLIPPED).unwrap_or(false);
    places_of(craft, &[PartKind::Screw]).filter(on_posts).filter(from_above).collect()
}

/// The screws in the standoffs go through the base too; where there is none in one, it gets one.
fn own_screws(craft: &Craft, frame: At, posts: &Posts, holder: &Holder) -> OwnScrews {
    let there = in_posts(craft, frame, posts);
    let seat = |name: &String| Anchor::Feature(frame.place.id.clone(), name.clone());
    let empty = posts.names.iter().filter(|name| there.iter().all(|at| at.place.on != Some(seat(name))));
    let up = posts.z - posts.top + holder.asked().base.get();
    let new = empty.map(|name| NewScrews {
        word: format!("{name} screw"),
        on: seat(name).to_string(),
        says: vec![(place_schema::Z.def.key, length(up))],
        thread: posts.thread,
        head: "button",
        count: 1,
        why: format!("holds it into the {name}"),
        heads: None,
    });
    OwnScrews { new: new.collect(), there: there.iter().map(|at| (at.place.id.clone(), None)).collect() }
}

/// The screws in these standoffs lie on the base now.
fn raised(craft: &Craft, frame: At, posts: &Posts, holder: &Holder) -> Vec<Edit> {
    let base = holder.asked().base.get();
    in_posts(craft, frame, posts)
        .into_iter()
        .map(|at| {
            let z = of_place(at.place, &place_schema::Z) + base;
            set_place(&at.place.id, place_schema::Z.def.key, length(z))
        })
        .collect()
}

/// The lean of the mount an antenna stands in.
fn lean_of(craft: &Craft, antenna: At) -> Option<f64> {
    let Some(Anchor::Feature(under, feature)) = &antenna.place.on else { return None };
    let part = craft.place(under).and_then(|place| craft.part_at(place))?;
    let row = part.row_named(&frame::antenna_mount::TABLE, feature)?;
    row.read(&frame::antenna_mount::LEAN).ok().map(|lean| lean.value.get())
}

/// The diameter of the lead an antenna is plugged into; `None` where its own stem is the lead.
fn lead_of(craft: &Craft, antenna: At) -> Option<Result<Millimetres, PrintRefusal>> {
    let from = antenna.place.item().text(&place_schema::FROM).ok().and_then(PlugRef::read)?;
    let part = craft.place(&from.place).and_then(|place| craft.part_at(place))?;
    let lead = || part.item().read(&air::COAX_DIAMETER).map(|lead| lead.value).map_err(PrintRefusal::from);
    (part.kind == PartKind::Pigtail).then(lead)
}

/// The antenna and the lead that ends with it stand in the holder; what held them before goes if it holds nothing more.
fn reseated(craft: &Craft, antenna: At, place: &PlaceId, says: &mut Vec<String>) -> Vec<Edit> {
    let onto = Anchor::Feature(place.clone(), SOCKET.to_owned()).to_string();
    let moves = |at: &At| {
        at.place.id == antenna.place.id || (at.place.on == antenna.place.on && at.place.on.is_some())
    };
    let moved: Vec<&PlaceId> = places_of(craft, &[PartKind::Antenna, PartKind::Pigtail])
        .filter(moves)
        .map(|at| &at.place.id)
        .collect();
    let mut edits: Vec<Edit> = moved.iter().map(|id| set_place(id, "on", onto.clone())).collect();
    let old = antenna.place.on.as_ref().and_then(Anchor::place).and_then(|id| craft.place(id));
    let Some(old) =
        old.filter(|old| craft.part_at(old).is_some_and(|part| part.kind == PartKind::PrintedPart))
    else {
        return edits;
    };
    let others: Vec<&str> = craft
        .places
        .iter()
        .filter(|other| {
            other.on.as_ref().and_then(Anchor::place) == Some(&old.id) && !moved.contains(&&other.id)
        })
        .map(|other| other.id.as_str())
        .collect();
    match others.is_empty() {
        true => {
            edits.push(Edit::RemovePlace { place: old.id.clone() });
            // A part in no place would leave the craft unknown.
            if !craft.places.iter().any(|other| other.id != old.id && other.part == old.part) {
                edits.push(Edit::RemovePart { part: old.part.clone() });
            }
            let name = craft.part_at(old).map_or("", |part| part.name.as_str());
            says.push(format!("Left over, and out of the craft: {name}, which held it until now."));
        }
        false => says.push(format!(
            "What held it, \"{}\", still holds {}: it stays, and the two must not meet.",
            old.id,
            others.join(", ")
        )),
    }
    edits
}

fn says(antenna: At, holder: &Holder, posts: &Posts) -> Vec<String> {
    let asked = holder.asked();
    let count = asked.fixings.len();
    let lean = (asked.lean.get() * 10.0).round() / 10.0;
    let takes = match asked.grip {
        Grip::Socket { flats } => format!(
            "the threaded socket at the end of its lead goes through the upper wall, {} thick, by a hole of {}, and leans back {lean}°. From below its flange sits in a hexagon of {} across flats, so that it does not turn; washer and nut on top hold it. Take a pigtail whose socket has a nut.",
            mm(SOCKET_WALL.length.get()),
            mm((asked.stem + CLEAR.length).get()),
            mm((flats + CLEAR.length).get())
        ),
        Grip::Tube | Grip::Clamp => {
            format!("the tube takes a stem of {} and leans back {lean}°.", mm(asked.stem.get()))
        }
    };
    let behind = if matches!(asked.grip, Grip::Socket { .. }) { "mouth of the tube" } else { "plug" };
    vec![
        format!("For {:?} at place \"{}\": {takes}", antenna.part.name, antenna.place.id),
        format!(
            "It is held by {} {} screw{} into the rearmost standoff{}, through its base of {}.",
            count,
            posts.thread.name,
            if count == 1 { "" } else { "s" },
            if count == 1 { "" } else { "s" },
            mm(asked.base.get())
        ),
        format!(
            "Close a small tie through the two slots, {} behind the {behind}, with a loop of 3 to 5 mm before it: it carries the jerk, not the plug.",
            mm(asked.tie_behind.get())
        ),
    ]
}
