//! A unit with all that its ways to stand have in common: its solids, its heights, its own decks, its plugs.

use super::body::{Body, Seated, Way, ways_of};
use super::deck::{Deck, Holds, clamped_faces, decks, thread};
use super::stand::{Here, Lie, Stand};
use super::stock::{STOCK_WITHIN, stock_heights};
use super::unit::{Sort, Unit, angle, flipped, height, length};
use crate::Proof;
use crate::inputs::{CraftSolid, Seat as PlaceSeat, SoftlyMounted, solids_as_tried};
use craft::schema::{PartKind, fixing, place as place_schema, shape};
use craft::{Anchor, Part, PartId, Value};
use fit::{Pose, Thread, meet};
use quantity::{Basis, Fact, Millimetres, Quantity, Unit as UnitOfMeasure};
use std::cell::RefCell;
use std::collections::HashMap;

/// A unit with what its ways to stand have in common.
pub(crate) struct Mover {
    pub unit: Unit,
    pub now: Now,
    /// The lower and the upper face of what is screwed, over the unit's origin.
    pub faces: (f64, f64),
    /// Heights of its spacers or soft mounts; the first is the one in use.
    pub heights: Vec<Height>,
    /// What it stands off beyond that.
    pub beyond: f64,
    pub stand_off_beyond: f64,
    /// What shares its seat, and from which face it counts.
    pub fixings: Vec<(usize, Side)>,
    /// How far every screw set that closes a stack lies over the face it lies on.
    pub caps_beyond: HashMap<usize, f64>,
    /// How far from the middle the side screws of its camera mount lie.
    pub screws_at: Option<f64>,
    /// What can be seated on it.
    pub decks: Vec<Deck>,
    soft: bool,
    riding: Vec<(Seated, Vec<CraftSolid>)>,
    ways: Vec<Way>,
    made: RefCell<HashMap<(usize, Anchor, usize), Vec<CraftSolid>>>,
}

/// How a unit stands as the craft has it.
#[derive(Clone, Debug)]
pub(crate) struct Now {
    pub at: [f64; 3],
    pub yaw: f64,
    pub flipped: bool,
    pub pose: Pose,
}

/// From which face a screw counts.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Side {
    /// From the far face of the seat.
    Below(f64),
    /// From the upper face of what is screwed.
    Above(f64),
}

/// A height of spacers or soft mounts.
#[derive(Clone, Debug)]
pub(crate) struct Height {
    pub mm: f64,
    pub from: HeightFrom,
    /// The part as it would be; `None` where the part stays.
    pub part: Option<Part>,
}

/// Where a height comes from.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum HeightFrom {
    /// The one in use, or none.
    InUse,
    /// A part of the craft.
    AtHand(PartId),
    /// To be had.
    Stock,
}

impl Mover {
    /// Looks at a unit as the craft has it; `seat` is what it stands on.
    pub fn of(proof: &Proof, unit: Unit, seat: &Here) -> Option<Self> {
        let number = unit.place;
        let part = proof.part_of(number)?;
        let faces = match unit.sort {
            Sort::Board => clamped_faces(part, part.rows(&shape::pattern::TABLE).next().as_ref())?,
            _ => (0.0, 0.0),
        };
        let now = Now {
            at: [&place_schema::X, &place_schema::Y, &place_schema::Z]
                .map(|field| length(proof, number, field)),
            yaw: angle(proof, number, &place_schema::YAW),
            flipped: flipped(proof, number),
            pose: proof.inputs().seat(number)?.pose,
        };
        let heights = heights(proof, &unit);
        let (foot, head) = faces;
        let rise = now.at[2] - seat.near - if now.flipped { head } else { -foot };
        let top = now.at[2] + if now.flipped { -foot } else { head };
        let side = |place: &usize| {
            let z = height(proof, *place);
            let side = if z < seat.near - 0.05 || (seat.near == seat.far && flipped(proof, *place)) {
                Side::Below(z - seat.far)
            } else {
                Side::Above(z - top)
            };
            (*place, side)
        };
        let soft = SoftlyMounted::of(proof);
        let riding = [number].into_iter().chain(unit.riders.iter().copied());
        let riding = riding
            .map(|rider| {
                let on = &proof.craft.places[rider].on;
                let under = on.as_ref().and_then(Anchor::place).and_then(|id| proof.number_of(id));
                let seated = Seated { place: rider, on: on.clone(), under, soft: soft.carries(rider) };
                (seated, proof.inputs().solids_of(rider).map(|(_, solid)| solid.clone()).collect())
            })
            .collect();
        let ways = [number].into_iter().chain(unit.riders.iter().copied());
        let on_soft =
            |place: &usize| proof.part_of(*place).is_some_and(|part| part.kind == PartKind::SoftMount);
        Some(Self {
            beyond: rise - heights[0].mm,
            stand_off_beyond: unit.stand_off.map_or(0.0, |place| height(proof, place) - seat.near),
            fixings: unit.fixings.iter().map(side).collect(),
            caps_beyond: HashMap::new(),
            screws_at: match &seat.holds {
                Holds::Camera { screws_at } => Some(*screws_at),
                _ => None,
            },
            decks: if unit.sort == Sort::Board { decks(proof, part) } else { Vec::new() },
            soft: unit.stand_off.iter().chain(&unit.fixings).any(on_soft),
            riding,
            ways: ways.flat_map(|rider| ways_of(proof, rider)).collect(),
            made: RefCell::default(),
            unit,
            now,
            faces,
            heights,
        })
    }

    /// How far its own closing screws lie over its upper face now.
    pub fn caps_now(&self, proof: &Proof) -> Vec<(usize, f64)> {
        let (foot, head) = self.faces;
        let back = self.now.pose.inverse();
        let beyond = |place: &usize| {
            let z = back.point(proof.inputs().seat(*place)?.pose.origin()).z();
            Some((*place, if self.now.flipped { foot - z } else { z - head }))
        };
        self.unit.caps.iter().filter_map(beyond).collect()
    }

    /// One of its decks as a seat is written.
    pub fn anchor_of(&self, proof: &Proof, deck: &Deck) -> Anchor {
        Anchor::Feature(proof.craft.places[self.unit.place].id.clone(), deck.name.clone())
    }

    /// Every way its holes meet those of a seat, none twice.
    pub fn lies(&self, proof: &Proof, holds: &Holds) -> Vec<Lie> {
        let Holds::Boards(under, meant_for) = holds else { return Vec::new() };
        let screws = self.unit.fixings.iter().filter_map(|place| proof.part_of(*place));
        let screw = screws
            .filter(|part| part.kind == PartKind::Screw)
            .find_map(|part| part.item().text(&fixing::THREAD).ok().and_then(Thread::named));
        let mut lies: Vec<Lie> = Vec::new();
        for (own, deck) in self.decks.iter().enumerate() {
            let Holds::Boards(holes, own_screw) = &deck.holds else { continue };
            let Some(thread) = screw.or(*own_screw).or(*meant_for) else { continue };
            let least = holes.holes.len().min(under.holes.len()).clamp(2, 4);
            for met in meet(holes, under, thread.diameter).unwrap_or_default() {
                if !met.fits() || met.matched.len() < least {
                    continue;
                }
                let turn = even(met.turn.get());
                let (sin, cos) = turn.to_radians().sin_cos();
                let [u, v] = [deck.middle[0], if met.flipped { -deck.middle[1] } else { deck.middle[1] }];
                let shift = [met.shift.x - (u * cos - v * sin), met.shift.y - (u * sin + v * cos)].map(fine);
                let lie = Lie { turn, flipped: met.flipped, shift, own };
                if lies.iter().all(|known| known.turn != turn || known.flipped != lie.flipped) {
                    lies.push(lie);
                }
            }
        }
        lies
    }

    /// All solids of a way to stand.
    pub fn body(&self, proof: &Proof, stand: &Stand) -> Body {
        let mut body = Body::default();
        let moved = stand.pose * self.now.pose.inverse();
        let unit = &stand.tried[0];
        for (seated, solids) in &self.riding {
            let mut seated = seated.clone();
            if seated.place == self.unit.place {
                seated = Seated {
                    on: Some(unit.anchor.clone()),
                    under: Some(unit.under),
                    soft: self.soft,
                    ..seated
                };
            }
            body.add(seated, solids.iter().map(|solid| at(solid, moved)));
        }
        for tried in &stand.tried[1..] {
            let soft = self.soft && tried.anchor == unit.anchor;
            let seated =
                Seated { place: tried.place, on: Some(tried.anchor.clone()), under: Some(tried.under), soft };
            let key = (tried.place, tried.anchor.clone(), tried.height.unwrap_or(0));
            let mut made = self.made.borrow_mut();
            let solids = made.entry(key).or_insert_with(|| self.made_at_origin(proof, tried));
            let moved = tried.pose * Pose::IDENTITY.inverse();
            body.add(seated, solids.iter().map(|solid| at(solid, moved)));
        }
        for way in &self.ways {
            body.add_way(way, Some(moved));
        }
        body
    }

    fn made_at_origin(&self, proof: &Proof, tried: &super::stand::Tried) -> Vec<CraftSolid> {
        let mut place = proof.craft.places[tried.place].clone();
        place.on = Some(tried.anchor.clone());
        let other = tried.height.and_then(|height| self.heights[height].part.as_ref());
        let Some(part) = other.or(proof.part_of(tried.place)) else { return Vec::new() };
        let seat = PlaceSeat::tried(Pose::IDENTITY, Pose::IDENTITY);
        solids_as_tried(proof, (tried.place, &place), part, &seat)
    }
}

fn at(solid: &CraftSolid, moved: fit::Placement<fit::Body, fit::Body>) -> CraftSolid {
    let mut solid = solid.clone();
    solid.solid.pose = moved * solid.solid.pose;
    solid
}

/// A turn a hair beside a whole degree is that degree.
fn even(turn: f64) -> f64 {
    if (turn - turn.round()).abs() < 0.05 { turn.round() } else { (turn * 100.0).round() / 100.0 }
}

fn fine(mm: f64) -> f64 {
    let fine = (mm * 1e3).round() / 1e3;
    if fine == 0.0 { 0.0 } else { fine }
}

/// The heights to be tried under a unit: what is in use, what is at hand, what is sold.
fn heights(proof: &Proof, unit: &Unit) -> Vec<Height> {
    let in_use = |mm| Height { mm, from: HeightFrom::InUse, part: None };
    let Some(part) = unit.stand_off.and_then(|place| proof.part_of(place)) else { return vec![in_use(0.0)] };
    let field =
        if part.kind == PartKind::SoftMount { &fixing::LOADED_HEIGHT } else { &fixing::SPACER_HEIGHT };
    let read =
        |part: &Part, field| part.item().read::<Millimetres>(field).ok().map(|reading| reading.value.get());
    let Some(mm) = read(part, field) else { return vec![in_use(0.0)] };
    let mut heights = vec![in_use(mm)];
    let new = |heights: &[Height], mm: f64| heights.iter().all(|known| (known.mm - mm).abs() > 0.05);
    let bore = read(part, &fixing::BORE);
    for other in proof.craft.parts.iter().filter(|other| other.kind == part.kind) {
        let passes = match (bore, read(other, &fixing::BORE)) {
            (Some(a), Some(b)) => (a - b).abs() <= 0.7,
            _ => true,
        };
        if let Some(mm) = read(other, field).filter(|mm| passes && new(&heights, *mm)) {
            let from = HeightFrom::AtHand(other.id.clone());
            heights.push(Height { mm, from, part: Some(other.clone()) });
        }
    }
    if part.kind != PartKind::Spacer {
        return heights;
    }
    let seats = [Some(unit.place), unit.stand_off].into_iter().flatten();
    let screw = seats.filter_map(|number| proof.part_of(number)).find_map(|part| {
        part.rows(&shape::pattern::TABLE).find_map(|row| thread(&row)).or_else(|| {
            let bore = part.item().read(&fixing::BORE).ok()?.value.get();
            fit::THREADS.iter().rev().find(|thread| thread.diameter.get() <= bore + 0.05).copied()
        })
    });
    for &stock in screw.map_or(&[][..], |thread| stock_heights(thread.name)) {
        if (stock - mm).abs() <= STOCK_WITHIN && new(&heights, stock) {
            heights.push(Height { mm: stock, from: HeightFrom::Stock, part: Some(as_high(part, stock)) });
        }
    }
    heights
}

/// The same spacers in another height.
fn as_high(part: &Part, mm: f64) -> Part {
    let mut part = part.clone();
    let fact = Fact {
        quantity: Quantity { value: mm, unit: UnitOfMeasure::Millimetres },
        stated: None,
        basis: Basis::DataSheet,
    };
    part.values.insert(fixing::SPACER_HEIGHT.def.key.to_owned(), Value::Fact(fact));
    part
}
