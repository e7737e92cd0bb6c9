//! How to make room between two solids that stand too near: which of the two moves, how far and which way.
//!
//! What is screwed to the frame cannot slide. A board on a hole pattern goes up and down only, by its spacers;
//! a lens goes where its camera goes; motors, blades and whatever sits on a standoff stay where the frame has
//! them. Packs, receivers and whatever is strapped or taped move freely. Of two that can move, the one that
//! can move freely does, then the one that is raised, then the one the sheet names later.

use crate::inputs::CraftSolid;
use crate::names::called;
use crate::numbers::{mm, rounded};
use crate::{Placed, Proof};
use craft::Anchor;
use craft::schema::{PartKind, frame, shape};
use fit::{BodyVector, PartVector, Solid, overlap};

/// How far a way is looked along, in mm.
const WAY_MAX: f64 = 60.0;

/// How a part may be moved.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
enum Freedom {
    /// Any way: strapped, taped, tied.
    Free,
    /// Up and down its screws.
    OnPosts,
    /// A camera in its mount, or a lens on it.
    Tilting,
    /// In the holder of an antenna.
    Held,
    /// A screw head.
    Screw,
    /// Where the frame has it.
    Fixed,
}

/// One of the two solids, as something to be moved.
struct Mover<'a> {
    placed: Placed<'a>,
    freedom: Freedom,
    /// Which way it would go.
    away: BodyVector,
    /// Whether that is along its screws, where it has some.
    along_posts: bool,
    number: usize,
}

/// What to do so that `short` more mm are clear between two solids, `direction` leading from the first to
/// the second.
pub(crate) fn make_room(
    proof: &Proof,
    solids: [&CraftSolid; 2],
    direction: BodyVector,
    short: f64,
) -> String {
    let movers = [mover(proof, solids[0], -direction), mover(proof, solids[1], direction)];
    let mut movers: Vec<Mover> = movers.into_iter().flatten().collect();
    movers.sort_by_key(|mover| (rank(mover), std::cmp::Reverse(mover.number)));
    if let Some(fixing) = fixing_of_the_other(&movers) {
        let (_, by, name) = words(proof, fixing, short);
        return match fixing.freedom {
            Freedom::Screw => format!("Take smaller heads for {name}: {by} are wanting."),
            _ => format!("Take narrower ones for {name}: {by} are wanting."),
        };
    }
    let Some(mover) = movers.first() else { return "Move one of the two.".to_owned() };
    let (way, by, name) = words(proof, mover, short);
    if mover.freedom == Freedom::Free
        && !proof.is_trial()
        && let Some(other) = in_the_way(proof, mover, steps(mover, short))
    {
        return format!("Place {name} elsewhere: {by} more are wanting, and {way} it meets {other}.");
    }
    match (mover.freedom, way) {
        (Freedom::Free, "up") => format!("Raise {name} by {by}."),
        (Freedom::Free, "down") => format!("Lower {name} by {by}."),
        (Freedom::Free, way) => format!("Move {name} {by} {way}."),
        (Freedom::OnPosts, "up") if mover.along_posts => format!("Raise {name} by {by}, with a spacer."),
        (Freedom::OnPosts, "down") if mover.along_posts => {
            format!("Lower {name} by {by}: take lower spacers.")
        }
        (Freedom::OnPosts, way) if mover.along_posts => {
            format!("Take spacers that hold {name} {by} further {way}.")
        }
        (Freedom::OnPosts, way) => format!("Seat {name} on another hole pattern, at least {by} {way}."),
        (Freedom::Tilting, _) => tilting(proof, mover.placed, &by),
        (Freedom::Held, way) => format!("Lean {name} away, or hold it {by} further {way}."),
        (Freedom::Screw, _) => format!("Take flat or smaller heads for {name}: {by} are wanting."),
        (Freedom::Fixed, _) => format!("{name} cannot be moved here: take a smaller one, by {by}."),
    }
}

/// What to do about a camera in its mount, or a lens on it: another tilt only where one is free.
fn tilting(proof: &Proof, placed: Placed, by: &str) -> String {
    let name = called(proof, placed);
    let camera = match placed.part.kind {
        PartKind::Lens => proof.part_under(placed.place, PartKind::Camera),
        _ => Some(placed),
    };
    let number = camera.and_then(|camera| proof.number_of(&camera.place.id));
    // What is only tried is asked for no mends.
    let tilts = if proof.is_trial() { &[] } else { proof.camera_tilts() };
    let tilt = tilts.iter().find(|tilt| Some(tilt.place) == number);
    let other =
        tilt.and_then(|tilt| tilt.nearest_ample().filter(|other| (other - tilt.wanted.value).abs() > 0.25));
    match (other, camera) {
        (Some(other), Some(camera)) => format!(
            "Tilt {} to {}°: there all of it is clear. Or take a smaller one, or a mount that gives {by} more.",
            called(proof, camera),
            rounded(other, 1)
        ),
        _ if tilt.is_some() => format!(
            "Take one smaller than {name}, or a mount that gives {by} more: no tilt near the one that is set is clear."
        ),
        _ => format!("Take one smaller than {name}, or a mount that gives {by} more."),
    }
}

/// The screw or spacer of two that share their holes and stand too near sideways: wherever the one goes, the other
/// goes with it.
fn fixing_of_the_other<'m, 'a>(movers: &'m [Mover<'a>]) -> Option<&'m Mover<'a>> {
    let [one, other] = movers else { return None };
    if one.along_posts || one.placed.place.on != other.placed.place.on || other.freedom == Freedom::Free {
        return None;
    }
    let fixing = |mover: &&Mover| {
        matches!(mover.placed.part.kind, PartKind::Screw | PartKind::Spacer | PartKind::SoftMount)
    };
    movers.iter().find(fixing)
}

/// What to correct where a part is seated `deep` mm inside what holds it.
pub(crate) fn seat_right(
    proof: &Proof,
    solids: [&CraftSolid; 2],
    direction: BodyVector,
    deep: f64,
) -> String {
    let movers = [mover(proof, solids[0], -direction), mover(proof, solids[1], direction)];
    let Some(mover) = movers.into_iter().flatten().max_by_key(|mover| mover.number) else {
        return "Correct where the two are seated.".to_owned();
    };
    let (way, by, name) = words(proof, &mover, deep);
    // What its screws hold cannot slide: sideways it is too wide, however right its seat is.
    if mover.freedom == Freedom::OnPosts && !mover.along_posts {
        return match mover.placed.part.kind {
            PartKind::Adapter => format!(
                "Make {name} narrower there, by {by}: its holes keep it from going {way}. Or seat it on another hole pattern."
            ),
            _ => format!("Take a narrower part than {name}, by {by}, or seat it on another hole pattern."),
        };
    }
    format!("Correct the seat of {name}: it belongs {by} further {way}.")
}

/// Which way, how far and what: rounded up to a tenth, and a little more than nought where only certainty is
/// wanting.
fn words(proof: &Proof, mover: &Mover, short: f64) -> (&'static str, String, String) {
    let (way, _) = plain_direction(mover.away);
    (way, mm(steps(mover, short)), called(proof, mover.placed))
}

/// How far along its plain direction something is moved so that `short` more mm are clear.
fn steps(mover: &Mover, short: f64) -> f64 {
    let (_, share) = plain_direction(mover.away);
    ((short.max(0.0) / share.max(0.3)) * 10.0 - 1e-6).ceil().max(3.0) / 10.0
}

/// What a part runs into that it does not meet where it is, on its way along its plain direction.
fn in_the_way(proof: &Proof, mover: &Mover, by: f64) -> Option<String> {
    let solids = &proof.inputs().solids;
    let away = mover.away;
    let axes = [(BodyVector::X, away.x()), (BodyVector::Y, away.y()), (BodyVector::Z, away.z())];
    let (axis, along) = axes.into_iter().max_by(|a, b| a.1.abs().total_cmp(&b.1.abs()))?;
    let ahead = axis * along.signum();
    let own = || solids.iter().filter(|solid| solid.place == mover.number && !solid.ghost);
    let others = || solids.iter().filter(|solid| solid.place != mover.number && !solid.ghost);
    // A millimetre at a time: no plate is passed over.
    let count = by.ceil().clamp(1.0, WAY_MAX);
    (1..=count as u32).map(|step| by * f64::from(step) / count).find_map(|far| {
        own().find_map(|solid| {
            let moved = Solid {
                pose: solid.solid.pose.shifted(ahead * far),
                drifts: Vec::new(),
                ..solid.solid.clone()
            };
            let meets =
                |other: &&CraftSolid| overlap(&moved, &other.solid) && !overlap(&solid.solid, &other.solid);
            others().find(meets).map(|other| other.solid.name.clone())
        })
    })
}

/// The order in which parts are moved.
fn rank(mover: &Mover) -> u8 {
    match mover.freedom {
        Freedom::Free => 0,
        Freedom::OnPosts if mover.along_posts && mover.away.z() > 0.0 => 1,
        Freedom::OnPosts if mover.along_posts => 2,
        Freedom::Held => 3,
        Freedom::Tilting => 4,
        Freedom::OnPosts => 5,
        Freedom::Screw => 6,
        Freedom::Fixed => 7,
    }
}

/// `None` for the frame itself, which stays.
fn mover<'a>(proof: &Proof<'a>, solid: &CraftSolid, away: BodyVector) -> Option<Mover<'a>> {
    let placed = proof.placed_number(solid.place)?;
    if placed.part.kind == PartKind::Frame {
        return None;
    }
    let seat = proof.inputs().seat(solid.place)?;
    let along_posts = seat.anchor.vector(PartVector::Z).dot(away).abs() >= std::f64::consts::FRAC_1_SQRT_2;
    Some(Mover { placed, freedom: freedom(proof, placed), away, along_posts, number: solid.place })
}

fn freedom(proof: &Proof, placed: Placed) -> Freedom {
    match placed.part.kind {
        PartKind::Camera | PartKind::Lens => return Freedom::Tilting,
        PartKind::Motor | PartKind::Blades => return Freedom::Fixed,
        PartKind::Screw => return Freedom::Screw,
        _ => {}
    }
    let Some(Anchor::Feature(under, feature)) = &placed.place.on else { return Freedom::Free };
    let Some(holder) = proof.placed_at(under) else { return Freedom::Free };
    if holder.part.row_named(&shape::pattern::TABLE, feature).is_some() {
        Freedom::OnPosts
    } else if holder.part.row_named(&frame::antenna_mount::TABLE, feature).is_some() {
        Freedom::Held
    } else {
        Freedom::Fixed
    }
}

/// The axis word nearest to a direction, and how much of the direction lies along it.
pub(crate) fn plain_direction(direction: BodyVector) -> (&'static str, f64) {
    let words = [
        ("forward", direction.x()),
        ("back", -direction.x()),
        ("left", direction.y()),
        ("right", -direction.y()),
        ("up", direction.z()),
        ("down", -direction.z()),
    ];
    words.into_iter().max_by(|a, b| a.1.total_cmp(&b.1)).unwrap_or(("up", 1.0))
}
