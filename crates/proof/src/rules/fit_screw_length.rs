//! Does every screw bite far enough, and stop short of what lies behind?

use crate::limits::{SCREW_BITE, SCREW_TIP};
use crate::numbers::{listed, mm};
use crate::rule::rule;
use crate::standing::{Standing, standing_of};
use crate::subject::{Column, Into, Layers, printed_under_head};
use crate::working::Lines;
use crate::{Answer, Finding, Placed, Proof, Verdict};
use craft::schema::{PartKind, drive, fixing, frame, place as place_schema, shape};
use craft::{Anchor, Item, Missing, PartId};
use fit::{
    BodyPoint, ENGAGEMENT_SOURCE, STOCK_LENGTHS_MM, ScrewFit, ScrewJoint, Thread, ThreadMaterial, in_ring,
    lengths_that_serve, screw_fit,
};
use quantity::{FactPath, FigureId, Linear, Unit};
use std::collections::HashMap;

rule! {
    /// Does every screw bite far enough, and stop short of what lies behind?
    ///
    /// ## Why
    /// A motor screw a millimetre too long touches the windings and burns the motor at the first throttle. One that
    /// bites a turn less than it should lets go in the first crash.
    ///
    /// ## Sound when
    /// The thread bites at least 1.5 diameters in aluminium, 1 in steel or a nut, 2.5 in plastic, and the tip stays
    /// 0.5 mm from the windings, from the middle of a post or from the end of a blind thread. Broken under 1, 0.8 and 2
    /// diameters, or when the tip comes within 0.3 mm.
    ///
    /// ## Rests on
    /// Screw length, washer, and what the screw passes: boards, spacers and soft mounts whose holes lie on its axis, and every
    /// plate and arm in its way, hole drawn or not; `fit.screw_holes` asks for the holes. The screws of one place may pass different
    /// things, and are then told apart. On a motor mount it goes into the motor, on a standoff into the post, on a hole pattern into a spacer
    /// with a bore less than its own diameter, into a unit whose pattern states its thread depth, else into a nut.
    /// Engagement is common practice; a plain nut is 0.8 diameters high.
    ///
    /// ## Mend
    /// Take the stock length that is named.
    SCREW_LENGTH = "fit.screw_length", run
}

/// A screw and what it goes into.
struct Joint {
    joint: ScrewJoint,
    material: ThreadMaterial,
    behind: Behind,
}

/// What lies where the tip must not come.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Behind {
    Windings,
    MiddleOfPost,
    EndOfThread,
    /// Nothing: it comes through, into a nut.
    Nut,
}

fn run(proof: &Proof) -> Answer {
    let mut answer = Answer::default();
    let mut layers = None;
    let mut alike: HashMap<(&PartId, Verdict, String), usize> = HashMap::new();
    let mut seats: Vec<Vec<String>> = Vec::new();
    for screw in proof.places_of(PartKind::Screw) {
        let joints = joints(proof, screw, None, &mut layers);
        let all: usize = joints.iter().map(|(alike, _)| alike.count).sum();
        for (number, (these, joint)) in joints.into_iter().enumerate() {
            let (finding, figure) = match joint {
                Ok(joint) => judge(proof, (screw, number), &joint),
                Err(Unjudged::Missing(missing)) => (Finding::unknown(SCREW_LENGTH.id, "", missing), None),
                Err(Unjudged::Other(finding)) => (*finding, None),
            };
            let seat = match &screw.place.on {
                Some(Anchor::Feature(_, feature)) => feature.as_str(),
                _ => screw.place.id.as_str(),
            };
            // Screws of one place that pass different things are told apart.
            let seat = match these.count < all {
                true => format!("{seat}, {}", these.told(all)),
                false => seat.to_owned(),
            };
            let holder = screw.place.on.as_ref().and_then(Anchor::place).cloned();
            let places = [screw.place.id.clone()].into_iter().chain(holder);
            // Four motors with like screws are one finding.
            match alike.get(&(&screw.part.id, finding.verdict, finding.message.clone())) {
                Some(&number) => {
                    let known = &mut answer.findings[number].places;
                    places.for_each(|place| {
                        if !known.contains(&place) {
                            known.push(place)
                        }
                    });
                    seats[number].push(seat);
                }
                None => {
                    let key = (&screw.part.id, finding.verdict, finding.message.clone());
                    alike.insert(key, answer.findings.len());
                    let finding = Finding { subject: screw.part.name.clone(), ..finding };
                    answer.findings.push(finding.at(places));
                    seats.push(vec![seat]);
                    answer.figures.extend(figure);
                }
            }
        }
    }
    for (finding, seats) in answer.findings.iter_mut().zip(&seats) {
        let seats: Vec<&str> = seats.iter().map(String::as_str).collect();
        finding.subject = format!("{} at {}", finding.subject, some(&seats));
    }
    answer
}

/// The first few of many names.
fn some(names: &[&str]) -> String {
    match names {
        [first, second, third, _, rest @ ..] if !rest.is_empty() => {
            format!("{first}, {second}, {third} and {} more", rest.len() + 1)
        }
        few => listed(few),
    }
}

/// Why a screw is not judged by its length.
enum Unjudged {
    Missing(Vec<Missing>),
    Other(Box<Finding>),
}

impl From<Missing> for Unjudged {
    fn from(missing: Missing) -> Self {
        Unjudged::Missing(vec![missing])
    }
}

/// What the screws of a place go into, with how many of them go into the same; the most first. None for a camera's side screws, which
/// have a rule of their own, and for screws that stand nowhere. A length may be tried instead of its own.
fn joints(
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
            let finding = Finding::new(SCREW_LENGTH.id, Verdict::Broken, screw.part.name.clone(), message)
                .mend(format!("Take {wanted} screws."));
            Err(Unjudged::Other(Box::new(finding)))
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

/// The stock lengths, in mm, that serve every screw of a place, the shortest first; none where nobody can say what they hold.
pub(crate) fn serving(proof: &Proof, screw: Placed) -> Vec<f64> {
    let mut layers = None;
    let mut serves = |length: &f64| {
        let joints = joints(proof, screw, Some(*length), &mut layers);
        let serve = |joint: &Joint| {
            lengths_that_serve(&joint.joint, joint.material).iter().any(|one| one.get() == *length)
        };
        !joints.is_empty() && joints.iter().all(|(_, joint)| joint.as_ref().is_ok_and(serve))
    };
    STOCK_LENGTHS_MM.iter().copied().filter(|length| serves(length)).collect()
}

/// How many screws of a place come through what they hold and take a nut there.
pub(crate) fn nuts_on(proof: &Proof, screw: Placed, layers: &mut Option<Layers>) -> u32 {
    let joints = joints(proof, screw, None, layers);
    let takes = |(_, joint): &&(Alike, Result<Joint, Unjudged>)| matches!(joint, Ok(joint) if joint.behind == Behind::Nut && joint.joint.thread_depth.is_none());
    joints.iter().filter(takes).map(|(alike, _)| alike.count as u32).sum()
}

/// Screws come from both ends of a post: each has half of it.
fn half_post(thread: Thread, length: Linear, clamped: Vec<Linear>, height: &Linear) -> ScrewJoint {
    let depth = height * 0.5;
    ScrewJoint { thread, length, clamped, thread_depth: Some(depth.clone()), room: Some(depth) }
}

/// Screws of one place that pass the same and go into the same.
struct Alike {
    count: usize,
    /// Where they lie among the screws of the place, such as `front`; nothing where they are all, or lie all round.
    which: String,
}

impl Alike {
    fn all(count: usize) -> Self {
        Self { count, which: String::new() }
    }

    /// `front 2 of 4`.
    fn told(&self, all: usize) -> String {
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
            (Err(Unjudged::Other(known)), Err(Unjudged::Other(finding))) => known.message == finding.message,
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
        let finding = Finding::new(SCREW_LENGTH.id, Verdict::Unknown, screw.part.name.clone(), message)
            .mend("Seat it on the hole pattern, motor mount or standoff it is meant for, and say how high its head lies.");
        return Err(Unjudged::Other(Box::new(finding)));
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

fn judge(
    proof: &Proof,
    (screw, number): (Placed, usize),
    joint: &Joint,
) -> (Finding, Option<quantity::Figure>) {
    let ScrewFit { engagement, tip_gap, .. } = screw_fit(&joint.joint);
    let row = joint.material.engagement();
    let d = joint.joint.thread.diameter.get();
    let (least, wanted) = (row.least_diameters * d, row.wanted_diameters * d);
    let bite = standing_of(proof, &(&engagement - least), wanted - least, Unit::Millimetres);
    let tip = tip_gap.as_ref().map(|gap| {
        standing_of(proof, &(gap - SCREW_TIP.broken), SCREW_TIP.tight - SCREW_TIP.broken, Unit::Millimetres)
    });
    let tip_is_worse = tip.as_ref().is_some_and(|tip| {
        (tip.verdict, tip.margin.quantity.value) < (bite.verdict, bite.margin.quantity.value)
    });
    let chosen: Standing = match tip {
        Some(tip) if tip_is_worse => tip,
        _ => bite,
    };
    let verdict = chosen.verdict;
    let gap = tip_gap.as_ref().map(|gap| gap.value);
    let short_of_bite = verdict != Verdict::Sound && !tip_is_worse;
    let said = words(joint, engagement.value, gap, short_of_bite.then_some(wanted));
    let figure = figure(proof, (screw, number), joint, &engagement, gap, (least, wanted));
    let mut finding = chosen.finding(SCREW_LENGTH.id, "", said);
    finding.figure = Some(figure.id.clone());
    if verdict == Verdict::Sound {
        return (finding, Some(figure));
    }
    if let Some(advice) = &finding.measure_next {
        let measure = format!("Measure the {} first: it decides.", advice.label);
        finding = finding.mend(measure);
    }
    let finding = match lengths_that_serve(&joint.joint, joint.material).first() {
        Some(length) if length.get() != joint.joint.length.value => {
            finding.mend(format!("Take {}×{}.", joint.joint.thread.name, length.get()))
        }
        Some(_) => finding,
        None => finding
            .mend("No stock length does both: change the washer or the plate, or cut a screw to length."),
    };
    (finding, Some(figure))
}

/// What the screw does, in words.
fn words(joint: &Joint, bite: f64, gap: Option<f64>, wanted: Option<f64>) -> String {
    let name = format!("{}×{}", joint.joint.thread.name, joint.joint.length.value);
    let passes: f64 = joint.joint.clamped.iter().map(|layer| layer.value).sum();
    let is_nut = joint.behind == Behind::Nut && joint.joint.thread_depth.is_none();
    if is_nut && bite.abs() < 0.05 {
        return format!(
            "{name} ends flush with the {} it passes: nothing comes through for the nut",
            mm(passes)
        );
    }
    if bite <= 0.0 {
        let target = if is_nut { "come through" } else { "reach the thread" };
        return format!("{name} does not {target}: it passes {}, {} are wanting", mm(passes), mm(-bite));
    }
    if is_nut {
        let nut = wanted.map_or(String::new(), |wanted| format!(", it wants {}", mm(wanted)));
        return format!("{name} passes {}, {} come through for the nut{nut}", mm(passes), mm(bite));
    }
    let bites = match wanted {
        Some(wanted) => format!("{name} bites {}, {} are wanted", mm(bite), mm(wanted)),
        None => format!("{name} bites {}", mm(bite)),
    };
    let (from, past) = match joint.behind {
        Behind::Windings => ("the windings", "past the safe depth: it touches the windings"),
        Behind::MiddleOfPost => {
            ("the middle of the post", "past the middle of the post, where the other screw comes")
        }
        Behind::EndOfThread => {
            ("the end of the thread", "past the end of the thread: it stops before it clamps")
        }
        Behind::Nut => return bites,
    };
    match gap {
        Some(gap) if gap.abs() < 0.05 => format!("{bites}, its tip reaches {from}"),
        Some(gap) if gap < 0.0 => format!("{bites}, its tip goes {} {past}", mm(-gap)),
        Some(gap) => format!("{bites}, its tip stays {} from {from}", mm(gap)),
        None => bites,
    }
}

fn figure(
    proof: &Proof,
    (screw, number): (Placed, usize),
    joint: &Joint,
    engagement: &Linear,
    gap: Option<f64>,
    (least, wanted): (f64, f64),
) -> quantity::Figure {
    let d = joint.joint.thread.diameter.get();
    let mut lines = Lines::of(proof)
        .given("thread diameter d", d, Unit::Millimetres, fit::THREAD_SOURCE.line())
        .given("least engagement", least, Unit::Millimetres, ENGAGEMENT_SOURCE.line())
        .given("wanted engagement", wanted, Unit::Millimetres, ENGAGEMENT_SOURCE.line());
    if let Some(gap) = gap {
        lines = lines.given("air at the tip", gap, Unit::Millimetres, SCREW_TIP.source.line());
    }
    // Screws of one place that pass less or more than the most of them.
    let of = match number {
        0 => screw.place.id.to_string(),
        number => format!("{}, {}", screw.place.id, number + 1),
    };
    lines.facts(engagement).figure(
        FigureId(format!("fit.screw_bite[{of}]").into()).0,
        "thread engagement of a screw",
        (engagement, Unit::Millimetres),
        "length - clamped stack, but no more than the thread is deep",
        SCREW_BITE,
    )
}

#[cfg(test)]
#[path = "fit_screw_length_tests.rs"]
mod tests;
