//! What the screws of a place go into: a motor, a post, a spacer, a case or a nut, and what lies between.
//!
//! On a motor mount a screw goes into the motor, on a standoff into the post, through every plate that lies at its end; else into what
//! its column ends in (`screw_column.rs`). The screws of one place may pass different things: alike ones are told together. A camera's side
//! screws have a rule of their own.

use super::{Column, Into, Layers, printed_under_head};
use crate::{Placed, Proof, Verdict};
use craft::schema::{PartKind, drive, fixing, frame, place as place_schema, shape};
use craft::{Anchor, Item, Missing};
use fit::{BodyPoint, ScrewJoint, Thread, ThreadMaterial, in_ring};
use quantity::{FactPath, Linear};

/// A screw and what it goes into.
pub(crate) struct Joint {
    pub joint: ScrewJoint,
    pub material: ThreadMaterial,
    pub behind: Behind,
}

/// What lies where the tip must not come.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(crate) enum Behind {
    Windings,
    MiddleOfPost,
    EndOfThread,
    /// Nothing: it comes through, into a nut.
    Nut,
}

/// What is told of a screw instead of its length.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Told {
    pub verdict: Verdict,
    pub message: String,
    pub mend: String,
}

/// Why a screw is not judged by its length.
pub(crate) enum Unjudged {
    Missing(Vec<Missing>),
    Other(Told),
}

impl From<Missing> for Unjudged {
    fn from(missing: Missing) -> Self {
        Unjudged::Missing(vec![missing])
    }
}

/// What the screws of a place go into, with how many of them go into the same; the most first. None for a camera's side screws, which
/// have a rule of their own, and for screws that stand nowhere. A length may be tried instead of its own.
pub(crate) fn joints(
    proof: &Proof,
    screw: Placed,
    tried: Option<f64>,
    layers: &mut Option<Layers>,
) -> Vec<(Alike, Result<Joint, Unjudged>)> {
    let all = screw.place.item().count(&place_schema::COUNT).unwrap_or(1) as usize;
    if let Some(Anchor::Feature(under, feature)) = &screw.place.on {
        let Some(placed) = proof.placed_at(under) else { return Vec::new() };
        let part = placed.part;
        if part.row_named(&frame::camera_mount::TABLE, feature).is_some() {
            return Vec::new();
        }
        if let Some(mount) = part.row_named(&frame::motor_mount::TABLE, feature) {
            return vec![(Alike::all(all), into_motor(proof, (screw, tried), &mount))];
        }
        if let Some(standoff) = part.row_named(&frame::standoff::TABLE, feature) {
            return vec![(Alike::all(all), into_standoff(proof, (screw, tried), part, &standoff))];
        }
    }
    let number = proof.number_of(&screw.place.id).filter(|number| proof.inputs().seat(*number).is_some());
    let Some(number) = number else { return Vec::new() };
    into_columns(proof, (screw, tried), number, layers.get_or_insert_with(|| Layers::of(proof)))
}

/// Thread, length and washer of a screw.
fn of_screw(
    proof: &Proof,
    (screw, tried): (Placed, Option<f64>),
) -> Result<(Thread, Linear, Linear), Unjudged> {
    let item = screw.part.item();
    let thread = item.text(&fixing::THREAD).ok().and_then(Thread::named);
    let length = match tried {
        Some(tried) => Ok(Linear::exact(tried)),
        None => item.read(&fixing::SCREW_LENGTH).map(|length| proof.lean(&length)),
    };
    let washer = screw.place.item().read(&place_schema::WASHER);
    match (thread, length, washer) {
        (Some(thread), Ok(length), Ok(washer)) => Ok((thread, length, proof.lean(&washer))),
        (thread, length, washer) => {
            let unknown = thread.is_none().then(|| item.missing(&fixing::THREAD.def));
            Err(Unjudged::Missing(unknown.into_iter().chain(length.err()).chain(washer.err()).collect()))
        }
    }
}

/// A screw whose thread is not the one it is screwed into.
fn mismatch(screw: Placed, thread: Thread, wanted: Option<&str>, into: &str) -> Result<(), Unjudged> {
    match wanted {
        Some(wanted) if wanted != thread.name => {
            let message = format!("{} is {}, {into} takes {wanted}", screw.part.name, thread.name);
            let mend = format!("Take {wanted} screws.");
            Err(Unjudged::Other(Told { verdict: Verdict::Broken, message, mend }))
        }
        _ => Ok(()),
    }
}

fn into_motor(
    proof: &Proof,
    (screw, tried): (Placed, Option<f64>),
    mount: &Item<'_>,
) -> Result<Joint, Unjudged> {
    let (thread, length, washer) = of_screw(proof, (screw, tried))?;
    let on = screw.place.on.as_ref();
    let motor = on.and_then(|on| proof.seated_on(on).find(|placed| placed.part.kind == PartKind::Motor));
    let Some(motor) = motor else {
        let path = FactPath(format!("place {}.on", screw.place.id));
        return Err(Missing { path, label: "motor at this mount".to_owned() }.into());
    };
    let item = motor.part.item();
    mismatch(screw, thread, item.text(&drive::SCREW).ok(), &motor.part.name)?;
    match (mount.read(&frame::motor_mount::PLATE_THICKNESS), item.read(&drive::SCREW_DEPTH)) {
        (Ok(plate), Ok(depth)) => {
            let clamped = vec![proof.lean(&plate), washer];
            let room = Some(proof.lean(&depth));
            let joint = ScrewJoint { thread, length, clamped, thread_depth: None, room };
            Ok(Joint { joint, material: ThreadMaterial::Aluminium, behind: Behind::Windings })
        }
        (plate, depth) => Err(Unjudged::Missing(plate.err().into_iter().chain(depth.err()).collect())),
    }
}

/// How near a plate's face must lie to a standoff's end, or to the plate before, to be clamped there, in mm.
const AT_END: f64 = 0.6;

/// Whether a level plate lies over a place of its part; one without an outline may.
fn is_over(plate: &Item<'_>, at: [f64; 2]) -> bool {
    let corner = [&shape::X, &shape::Y].map(|field| plate.read(field).map_or(0.0, |at| at.value.get()));
    let flat = !matches!(plate.text(&frame::plate::STANDS), Ok("along" | "across"));
    let ring = plate.points(&frame::plate::OUTLINE);
    flat && ring.map_or(true, |ring| in_ring([at[0] - corner[0], at[1] - corner[1]], ring))
}

/// The heights of a plate's near and far face, in mm, from a post below it or above.
fn face_at(plate: &Item<'_>, from_below: bool) -> Option<[f64; 2]> {
    let (z, thickness) = (plate.read(&shape::Z).ok()?, plate.read(&frame::plate::THICKNESS).ok()?);
    let (low, high) = (z.value.get(), z.value.get() + thickness.value.get());
    Some(if from_below { [high, low] } else { [low, high] })
}

fn into_standoff(
    proof: &Proof,
    (screw, tried): (Placed, Option<f64>),
    holder: &craft::Part,
    standoff: &Item<'_>,
) -> Result<Joint, Unjudged> {
    let (thread, length, washer) = of_screw(proof, (screw, tried))?;
    let called = standoff.name().map_or("the standoff".to_owned(), |name| format!("standoff {name}"));
    mismatch(screw, thread, standoff.text(&frame::standoff::THREAD).ok(), &called)?;
    let (z, height) = (standoff.read(&shape::Z)?, standoff.read(&shape::HEIGHT)?);
    // A flipped screw comes from below.
    let from_below = screw.place.item().flag(&place_schema::FLIPPED).unwrap_or(false);
    let mut end = if from_below { z.value.get() } else { z.value.get() + height.value.get() };
    let mut clamped = vec![washer];
    let lies_at = [&shape::X, &shape::Y].map(|field| standoff.read(field).map_or(0.0, |at| at.value.get()));
    // Plates that lie one against the other at the post's end, from there outward.
    let mut plates: Vec<Item> =
        holder.rows(&frame::plate::TABLE).filter(|plate| is_over(plate, lies_at)).collect();
    while let Some(next) = plates
        .iter()
        .position(|plate| face_at(plate, from_below).is_some_and(|[near, _]| (near - end).abs() <= AT_END))
    {
        let plate = plates.swap_remove(next);
        end = face_at(&plate, from_below).map_or(end, |[_, far]| far);
        clamped.push(proof.lean(&plate.read(&frame::plate::THICKNESS)?));
    }
    let under_head = proof.number_of(&screw.place.id).map(|number| printed_under_head(proof, number));
    clamped.extend(under_head.unwrap_or_default());
    if clamped.len() == 1 {
        let path = FactPath(format!("{}.plate", holder.id));
        return Err(Missing { path, label: format!("plate on {called}") }.into());
    }
    let material = match standoff.text(&frame::standoff::MATERIAL)? {
        "steel" | "titanium" => ThreadMaterial::Steel,
        "plastic" => ThreadMaterial::Plastic,
        _ => ThreadMaterial::Aluminium,
    };
    Ok(Joint {
        joint: half_post(thread, length, clamped, &proof.lean(&height)),
        material,
        behind: Behind::MiddleOfPost,
    })
}

/// Screws come from both ends of a post: each has half of it.
fn half_post(thread: Thread, length: Linear, clamped: Vec<Linear>, height: &Linear) -> ScrewJoint {
    let depth = height * 0.5;
    ScrewJoint { thread, length, clamped, thread_depth: Some(depth.clone()), room: Some(depth) }
}

/// Screws of one place that pass the same and go into the same.
pub(crate) struct Alike {
    pub count: usize,
    /// Where they lie among the screws of the place, such as `front`; nothing where they are all, or lie all round.
    which: String,
}

impl Alike {
    fn all(count: usize) -> Self {
        Self { count, which: String::new() }
    }

    /// `front 2 of 4`.
    pub fn told(&self, all: usize) -> String {
        let space = if self.which.is_empty() { "" } else { " " };
        format!("{}{space}{} of {all}", self.which, self.count)
    }
}

/// How far off the middle of all screws of a place some of them must lie to be called after it, in mm.
const OFF_MIDDLE: f64 = 1.0;

/// Where some screws lie among all of their place.
fn which(some: &[BodyPoint], all: &[BodyPoint]) -> String {
    let middle =
        |of: &[BodyPoint], axis: fn(&BodyPoint) -> f64| of.iter().map(axis).sum::<f64>() / of.len() as f64;
    let off = |axis: fn(&BodyPoint) -> f64| middle(some, axis) - middle(all, axis);
    let word =
        |off: f64, words: [&'static str; 2]| (off.abs() > OFF_MIDDLE).then(|| words[usize::from(off < 0.0)]);
    let words = [word(off(|p| p.x()), ["front", "rear"]), word(off(|p| p.y()), ["left", "right"])];
    words.into_iter().flatten().collect::<Vec<_>>().join(" ")
}

/// The screws of a place that go through what lies on their axes, alike ones together.
fn into_columns(
    proof: &Proof,
    (screw, tried): (Placed, Option<f64>),
    number: usize,
    layers: &Layers,
) -> Vec<(Alike, Result<Joint, Unjudged>)> {
    let (thread, length, washer) = match of_screw(proof, (screw, tried)) {
        Ok(of_screw) => of_screw,
        Err(unjudged) => return vec![(Alike::all(1), Err(unjudged))],
    };
    let columns = layers.columns(proof, number, thread.diameter, (&length, &washer));
    let all: Vec<BodyPoint> = columns.iter().map(|(at, _)| *at).collect();
    let mut joints: Vec<(Vec<BodyPoint>, Result<Joint, Unjudged>)> = Vec::new();
    for (at, column) in columns {
        let joint = into_column(proof, screw, (thread, length.clone()), column);
        let same = |(_, known): &&mut (Vec<BodyPoint>, Result<Joint, Unjudged>)| match (known, &joint) {
            (Ok(known), Ok(joint)) => known.is_like(joint),
            (Err(Unjudged::Missing(known)), Err(Unjudged::Missing(missing))) => known == missing,
            (Err(Unjudged::Other(known)), Err(Unjudged::Other(told))) => known == told,
            _ => false,
        };
        match joints.iter_mut().find(same) {
            Some((these, _)) => these.push(at),
            None => joints.push((vec![at], joint)),
        }
    }
    joints.sort_by_key(|(these, _)| std::cmp::Reverse(these.len()));
    let alike = |(number, (these, joint)): (usize, (Vec<BodyPoint>, Result<Joint, Unjudged>))| {
        // Some that lie all round, as two across do, are told from the rest by their number.
        let which = match which(&these, &all) {
            none if none.is_empty() && number > 0 => "other".to_owned(),
            which => which,
        };
        (Alike { count: these.len(), which }, joint)
    };
    joints.into_iter().enumerate().map(alike).collect()
}

impl Joint {
    /// Whether two screws of a place pass as much and go into the same.
    fn is_like(&self, other: &Joint) -> bool {
        let passes = |joint: &Joint| joint.joint.clamped.iter().map(|layer| layer.value).sum::<f64>();
        let depth = |joint: &Joint| joint.joint.thread_depth.as_ref().map(|depth| depth.value);
        (passes(self) - passes(other)).abs() < 0.01
            && self.behind == other.behind
            && self.material == other.material
            && depth(self) == depth(other)
    }
}

fn into_column(
    proof: &Proof,
    screw: Placed,
    (thread, length): (Thread, Linear),
    column: Option<Column>,
) -> Result<Joint, Unjudged> {
    let Some(column) = column else {
        let message = format!(
            "Nobody can say yet what {} holds: nothing with holes lies under its head",
            screw.part.name
        );
        let mend = "Seat it on the hole pattern, motor mount or standoff it is meant for, and say how high its head lies.".to_owned();
        return Err(Unjudged::Other(Told { verdict: Verdict::Unknown, message, mend }));
    };
    let clamped = column.clamped;
    Ok(match column.into? {
        Into::Post(height, material) if comes_from_both_ends(proof, screw) => Joint {
            joint: half_post(thread, length, clamped, &height),
            material,
            behind: Behind::MiddleOfPost,
        },
        Into::Post(height, material) => {
            let joint = ScrewJoint { thread, length, clamped, thread_depth: Some(height), room: None };
            Joint { joint, material, behind: Behind::Nut }
        }
        Into::Case(depth) => {
            let (thread_depth, room) = (Some(depth.clone()), Some(depth));
            let joint = ScrewJoint { thread, length, clamped, thread_depth, room };
            Joint { joint, material: ThreadMaterial::Aluminium, behind: Behind::EndOfThread }
        }
        Into::Nut => {
            let joint = ScrewJoint { thread, length, clamped, thread_depth: None, room: None };
            Joint { joint, material: ThreadMaterial::Steel, behind: Behind::Nut }
        }
    })
}

/// Whether another set of screws on the same seat looks the other way.
fn comes_from_both_ends(proof: &Proof, screw: Placed) -> bool {
    let flipped = |placed: Placed| placed.place.item().flag(&place_schema::FLIPPED).unwrap_or(false);
    let Some(on) = &screw.place.on else { return false };
    proof.seated_on(on).any(|other| other.part.kind == PartKind::Screw && flipped(other) != flipped(screw))
}
