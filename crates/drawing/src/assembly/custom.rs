//! In which order a craft goes together by custom: seat by seat from the frame outward, screws last on each seat.
//!
//! The custom of the bench: frame without its top, motors, stacks from the bottom up, ducts that stand on posts, camera with its cage plates,
//! leads and what holds them, top plate, what stands on it, blades, pack. Within a stage a place comes after what it is seated on, and
//! on one seat by height, the screws that hold them last. Like parts of one stage on like seats are one step.
//!
//! Left out: whether a hand reaches in, which `order.rs` asks of the solids. A seat that leads back to itself comes at the
//! end of its stage.

use super::ways::is_solid;
use crate::level_plates::level_plates;
use craft::schema::{PartKind, frame, place as place_schema, shape};
use craft::{Anchor, Item, Part};
use fit::{Hole, Role, Shape};
use proof::{CraftSolid, Piece, Proof, Proved, plate_row};
use quantity::Millimetres;
use std::collections::{HashMap, HashSet};

/// The stages of a build, in order.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Stage {
    Frame,
    Motors,
    Stacks,
    /// Ducts that stand on posts: once they are on, a board with wide plugs does not come past them.
    Ducts,
    Camera,
    Leads,
    Top,
    OnTop,
    Blades,
    Pack,
}

/// Which pieces of a place are meant: a frame goes together in three steps.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Pieces {
    All,
    /// A frame without its top and cage plates, and without ducts that stand on posts.
    Base,
    /// A duct that stands on a post.
    Duct,
    CagePlate,
    TopPlates,
}

/// One thing that is put on as one.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Mover {
    /// The number of its place.
    pub place: usize,
    pub pieces: Pieces,
    /// Its solids, by number.
    pub solids: Vec<usize>,
}

/// Like parts on like seats, which custom puts on one after another.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Batch {
    pub stage: Stage,
    pub movers: Vec<Mover>,
}

/// What is put on, in the order of custom.
pub(crate) fn by_custom(proof: &Proof, proved: &Proved) -> Vec<Batch> {
    let craft = proof.craft;
    let solids = solids_by_place(craft.places.len(), proved);
    let ceiling = level_plates(craft, proved, "top").first().map(|[under, _]| *under);
    let mut entries: Vec<(Stage, Mover)> = Vec::new();
    let mut stage_at: HashMap<usize, Stage> = HashMap::new();
    for place in by_seat(proof) {
        let Some(part) = proof.part_of(place) else { continue };
        match part.kind {
            kind if kind.stays_on_the_ground() => {}
            PartKind::Frame => entries.extend(frame_pieces(proof, proved, place, &solids[place])),
            _ => {
                let own = stage_of(proof, proved, place, part, &solids[place], ceiling);
                let stage = own.max(seat_stage(proof, place, part, &stage_at));
                stage_at.insert(place, stage);
                let mover = Mover { place, pieces: Pieces::All, solids: solids[place].clone() };
                entries.push((stage, mover));
            }
        }
    }
    entries.sort_by_key(|(stage, _)| *stage);
    grouped(proof, entries)
}

fn solids_by_place(places: usize, proved: &Proved) -> Vec<Vec<usize>> {
    let mut all = vec![Vec::new(); places];
    for (number, solid) in proved.solids.iter().enumerate() {
        if let Some(list) = all.get_mut(solid.place) {
            list.push(number);
        }
    }
    all
}

/// Every place after what it is seated on; on one seat by height, screws last.
fn by_seat(proof: &Proof) -> Vec<usize> {
    let places = &proof.craft.places;
    let mut children: Vec<Vec<usize>> = vec![Vec::new(); places.len()];
    let mut waiting: Vec<usize> = Vec::new();
    for (place, placed) in places.iter().enumerate() {
        match placed.on.as_ref().and_then(Anchor::place).and_then(|id| proof.number_of(id)) {
            Some(below) => children[below].push(place),
            None => waiting.push(place),
        }
    }
    waiting.reverse();
    let mut order = Vec::with_capacity(places.len());
    let mut seen = HashSet::new();
    while let Some(place) = waiting.pop() {
        if seen.insert(place) {
            order.push(place);
            waiting.extend(in_order(proof, &children[place]).into_iter().rev());
        }
    }
    order.extend((0..places.len()).filter(|place| !seen.contains(place)));
    order
}

/// Places on one part, seat by seat as the sheet first names them; on a seat by height, screws last.
fn in_order(proof: &Proof, places: &[usize]) -> Vec<usize> {
    let mut seats: HashMap<&Anchor, usize> = HashMap::new();
    for place in places {
        if let Some(on) = &proof.craft.places[*place].on {
            let next = seats.len();
            seats.entry(on).or_insert(next);
        }
    }
    let key = |place: usize| {
        let placed = &proof.craft.places[place];
        let seat = placed.on.as_ref().and_then(|on| seats.get(on)).copied().unwrap_or(usize::MAX);
        let screw = is_screw(proof, place);
        let height = placed.item().read(&place_schema::Z).map_or(0.0, |z| z.value.get());
        ((seat, screw), height)
    };
    let mut sorted: Vec<_> = places.iter().map(|p| (key(*p), *p)).collect();
    sorted.sort_by(|((a, x), _), ((b, y), _)| a.cmp(b).then(x.total_cmp(y)));
    sorted.into_iter().map(|(_, place)| place).collect()
}

pub(super) fn is_screw(proof: &Proof, place: usize) -> bool {
    proof.part_of(place).is_some_and(|part| part.kind == PartKind::Screw)
}

fn frame_pieces(proof: &Proof, proved: &Proved, place: usize, solids: &[usize]) -> Vec<(Stage, Mover)> {
    let role = |solid: &usize| {
        let row = plate_row(proof.craft, &proved.solids[*solid])?;
        row.text(&frame::plate::ROLE).ok()
    };
    let of = |wanted: &str| solids.iter().copied().filter(|s| role(s) == Some(wanted)).collect::<Vec<_>>();
    let (top, cage) = (of("top"), of("cage"));
    let ducts: Vec<usize> =
        solids.iter().copied().filter(|solid| is_on_a_post(proof, &proved.solids[*solid])).collect();
    let is_base = |solid: &usize| ![&top, &cage, &ducts].iter().any(|others| others.contains(solid));
    let base = solids.iter().copied().filter(is_base).collect();
    let mover = |pieces, solids| Mover { place, pieces, solids };
    let mut pieces = vec![(Stage::Frame, mover(Pieces::Base, base))];
    pieces.extend(ducts.into_iter().map(|duct| (Stage::Ducts, mover(Pieces::Duct, vec![duct]))));
    pieces.extend(cage.into_iter().map(|plate| (Stage::Camera, mover(Pieces::CagePlate, vec![plate]))));
    if !top.is_empty() {
        pieces.push((Stage::Top, mover(Pieces::TopPlates, top)));
    }
    pieces
}

/// How far beside the wall of a duct a post may stand and still carry it, in mm.
const BESIDE_WALL: f64 = 1.5;

/// Whether a solid is a duct that stands on a post of its frame, and so is put on as a part of its own.
fn is_on_a_post(proof: &Proof, solid: &CraftSolid) -> bool {
    let Piece::Row(table, row) = solid.piece else { return false };
    let Some(part) = proof.part_of(solid.place).filter(|_| table == frame::duct::TABLE.key) else {
        return false;
    };
    let Some(duct) = part.rows(&frame::duct::TABLE).nth(row) else { return false };
    let length = |row: &Item, field| row.read::<Millimetres>(field).ok().map(|at| at.value.get());
    let of_post = |post: &Item| {
        let [x, y] = [&shape::X, &shape::Y].map(|field| Some(length(post, field)? - length(&duct, field)?));
        let head = length(post, &shape::Z)? + length(post, &shape::HEIGHT)?;
        let inner = length(&duct, &frame::duct::BORE)? / 2.0;
        let outer = inner + length(&duct, &frame::duct::WALL)?;
        let away = x?.hypot(y?);
        let at_foot = (head - length(&duct, &shape::Z)?).abs() <= BESIDE_WALL;
        Some(at_foot && away >= inner - BESIDE_WALL && away <= outer + BESIDE_WALL)
    };
    part.rows(&frame::standoff::TABLE).any(|post| of_post(&post) == Some(true))
}

/// How far below the top plate's underside something may begin and still count as standing on the plate.
const ON_TOP_SLACK: f64 = 0.6;

fn stage_of(
    proof: &Proof,
    proved: &Proved,
    place: usize,
    part: &Part,
    solids: &[usize],
    ceiling: Option<f64>,
) -> Stage {
    match part.kind {
        PartKind::Motor => return Stage::Motors,
        PartKind::Blades => return Stage::Blades,
        PartKind::Pack => return Stage::Pack,
        PartKind::Camera | PartKind::Lens => return Stage::Camera,
        kind if is_lead(kind) => return Stage::Leads,
        PartKind::Antenna => return Stage::OnTop,
        _ => {}
    }
    let above = ceiling.is_some_and(|ceiling| {
        // A whip that hangs over the edge of the plate does not take its receiver below it.
        let stiff = solids.iter().map(|s| &proved.solids[*s]).filter(|solid| is_solid(solid));
        let lowest = stiff.map(lowest).reduce(f64::min);
        lowest.is_some_and(|z| z >= ceiling - ON_TOP_SLACK)
    });
    // What holds a plug comes when the plug is in.
    if part.kind == PartKind::Relief {
        return if above { Stage::OnTop } else { Stage::Leads };
    }
    if part.kind == PartKind::PrintedPart && lies_under_post_screws(proof, proved, solids) {
        return Stage::Top;
    }
    if part.kind != PartKind::Screw {
        return if above { Stage::OnTop } else { Stage::Stacks };
    }
    let seat = proof.craft.places[place].on.as_ref();
    let holder = seat.and_then(Anchor::place).and_then(|id| proof.placed_at(id)).map(|placed| placed.part);
    let (Some(Anchor::Feature(_, feature)), Some(holder)) = (seat, holder) else {
        return if above { Stage::OnTop } else { Stage::Stacks };
    };
    if holder.row_named(&frame::motor_mount::TABLE, feature).is_some() {
        Stage::Motors
    } else if holder.row_named(&frame::camera_mount::TABLE, feature).is_some() {
        Stage::Camera
    } else if holder.row_named(&frame::standoff::TABLE, feature).is_some() {
        if above { Stage::Top } else { Stage::Frame }
    } else if above {
        Stage::OnTop
    } else {
        Stage::Stacks
    }
}

/// Whether the head of a screw in a post lies on one of these solids, over a hole of it.
fn lies_under_post_screws(proof: &Proof, proved: &Proved, solids: &[usize]) -> bool {
    let in_post = |solid: &CraftSolid| {
        let Some(Anchor::Feature(under, post)) = &proof.craft.places[solid.place].on else { return false };
        is_screw(proof, solid.place)
            && solid.solid.role == Role::ScrewHead
            && proof
                .placed_at(under)
                .is_some_and(|under| under.part.row_named(&frame::standoff::TABLE, post).is_some())
    };
    let mut heads = proved.solids.iter().filter(|solid| in_post(solid));
    heads.any(|head| {
        solids.iter().any(|print| {
            let print = &proved.solids[*print].solid;
            let Shape::Prism(prism) = &print.shape else { return false };
            let at = print.pose.inverse().point(head.solid.pose.origin());
            prism.outline().holes().iter().any(|hole| match hole {
                Hole::Round { centre, diameter } => {
                    (at.x() - centre.x).hypot(at.y() - centre.y) <= diameter.get() / 2.0
                }
                _ => false,
            })
        })
    })
}

/// The stage in which what a place is seated on goes in: nothing is put on what is not there yet. A lead is plugged in
/// before the top closes, though its far end may wait for what carries it.
fn seat_stage(proof: &Proof, place: usize, part: &Part, known: &HashMap<usize, Stage>) -> Stage {
    if is_lead(part.kind) {
        return Stage::Frame;
    }
    let seat = proof.craft.places[place].on.as_ref().and_then(Anchor::place);
    seat.and_then(|id| proof.number_of(id)).and_then(|on| known.get(&on).copied()).unwrap_or(Stage::Frame)
}

pub(super) fn is_lead(kind: PartKind) -> bool {
    matches!(kind, PartKind::CameraHarness | PartKind::Pigtail)
}

fn lowest(solid: &CraftSolid) -> f64 {
    crate::assembly::boxed::boxed(&solid.solid).low[2]
}

/// Like parts of a stage become one step: anywhere in the stages where seats are alike, in a row elsewhere.
fn grouped(proof: &Proof, entries: Vec<(Stage, Mover)>) -> Vec<Batch> {
    let mut steps: Vec<Batch> = Vec::new();
    for (stage, mover) in entries {
        let places = &proof.craft.places;
        let part = &places[mover.place].part;
        let like = |step: &Batch| {
            let first = &step.movers[0];
            step.stage == stage
                && first.pieces == mover.pieces
                && mover.pieces != Pieces::Base
                && &places[first.place].part == part
        };
        let far = matches!(stage, Stage::Motors | Stage::Blades | Stage::Top | Stage::Camera | Stage::Frame);
        let known = match far {
            true => steps.iter_mut().rev().take_while(|step| step.stage == stage).find(|step| like(step)),
            false => steps.last_mut().filter(|step| like(step)),
        };
        match known {
            Some(step) => step.movers.push(mover),
            None => steps.push(Batch { stage, movers: vec![mover] }),
        }
    }
    // Screws and what holds plugs close a stage, save in the stacks, where each seat is closed by its own screws.
    let closes = |step: &Batch| {
        let kind = proof.part_of(step.movers[0].place).map(|part| part.kind);
        step.stage != Stage::Stacks && matches!(kind, Some(PartKind::Screw | PartKind::Relief))
    };
    steps.sort_by_key(|step| (step.stage, closes(step)));
    steps
}
