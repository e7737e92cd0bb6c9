//! The choices of a craft, ready to be searched: its units, its seats, and what each pair of choices leaves.
//!
//! Everything is worked out when first asked for and kept: the solids of a way to stand, its margin toward all that
//! stays, the margin of each pair of ways to stand.

use super::arrange::{Arrangement, Position, Stacking};
use super::body::{Body, Needs};
use super::deck::{Deck, Holds, decks};
use super::measured::Known;
use super::mover::{Mover, Side};
use super::same_stand::{StandKey, key, turn_between};
use super::search::{Choices, Found, Step};
use super::stand::{Closing, Here, Lie, Seat, Stand};
use super::stays::{Slot, seat_now, slots, stays};
use super::unit::{Sort, gather};
use crate::Proof;
use craft::schema::PartKind;
use std::cell::RefCell;
use std::collections::{BTreeSet, HashMap};
use std::rc::Rc;

/// The choices of a craft.
pub(crate) struct Puzzle<'p, 'a> {
    pub proof: &'p Proof<'a>,
    pub movers: Vec<Mover>,
    pub slots: Vec<Slot>,
    pub(super) arrangements: Vec<Arrangement>,
    /// Which seat each unit has now.
    pub(super) now: Vec<Seat>,
    pub(super) needs: Needs<'p, 'a>,
    pub(super) stays: Body,
    lies: RefCell<HashMap<(usize, Seat), Lies>>,
    stands: RefCell<Vec<Vec<Rc<Stand>>>>,
    known: RefCell<HashMap<StandKey, u32>>,
    bodies: RefCell<HashMap<(usize, u32), Rc<Body>>>,
    /// The choices of steps, by all they go by: arrangements have most of them in common.
    pub(super) listed: RefCell<HashMap<Asked, Vec<u32>>>,
    pub(super) own: RefCell<HashMap<(usize, u32), Known>>,
    pub(super) between: RefCell<HashMap<[(usize, u32); 2], Known>>,
}

/// The ways in which the holes of a unit meet those of a seat.
type Lies = Rc<[Lie]>;

/// All that the choices of a step go by.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub(super) struct Asked {
    unit: usize,
    seats: Vec<Seat>,
    closing: Rc<Closing>,
    /// Whether another stands on it.
    carries: bool,
    /// What it stands on, and how that stands.
    below: Option<(usize, u32)>,
}

/// Why there is nothing to search.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum NoPuzzle {
    /// More arrangements than are handled.
    TooMany,
}

impl<'p, 'a> Puzzle<'p, 'a> {
    /// Sets up the choices of these places.
    pub fn of(proof: &'p Proof<'a>, chosen: &[usize]) -> Result<Self, NoPuzzle> {
        let units = gather(proof, chosen);
        let moving: Vec<Option<usize>> = {
            let mut moving = vec![None; proof.craft.places.len()];
            for (number, unit) in units.iter().enumerate() {
                unit.places().for_each(|place| moving[place] = Some(number));
            }
            moving
        };
        let slots = slots(proof, &moving);
        let decks_of: Vec<Vec<Deck>> = units
            .iter()
            .map(|unit| proof.part_of(unit.place).map_or(Vec::new(), |part| decks(proof, part)))
            .collect();
        let mut movers = Vec::new();
        let mut now = Vec::new();
        for unit in units.iter().cloned() {
            let Some((seat, here)) = seat_now(proof, &units, &decks_of, &slots, unit.place) else { continue };
            if let Some(mover) = Mover::of(proof, unit, &here) {
                movers.push(mover);
                now.push(seat);
            }
        }
        if movers.len() < units.len() {
            // What cannot be moved after all stays: set up again without it.
            let left: Vec<usize> = movers.iter().map(|mover| mover.unit.place).collect();
            if left.is_empty() {
                return Ok(Self::empty(proof));
            }
            return Self::of(proof, &left);
        }
        let caps: HashMap<usize, f64> = movers.iter().flat_map(|mover| mover.caps_now(proof)).collect();
        movers.iter_mut().for_each(|mover| mover.caps_beyond = caps.clone());
        let mut puzzle = Self { movers, slots, now, ..Self::empty(proof) };
        puzzle.stays = stays(proof, &moving);
        puzzle.arrangements = puzzle.arranged().ok_or(NoPuzzle::TooMany)?;
        puzzle.stands = RefCell::new(vec![Vec::new(); puzzle.movers.len()]);
        // What has no choice stays: its margins are no matter of the placement.
        let free: Vec<usize> = (0..puzzle.movers.len())
            .filter(|unit| puzzle.has_choice(*unit))
            .map(|unit| puzzle.movers[unit].unit.place)
            .collect();
        match free.len() {
            0 => Ok(Self::empty(proof)),
            count if count == puzzle.movers.len() => Ok(puzzle),
            _ => Self::of(proof, &free),
        }
    }

    /// Whether a unit can stand in more than one way.
    fn has_choice(&self, unit: usize) -> bool {
        let sort = self.movers[unit].unit.sort;
        let seats: BTreeSet<Seat> = self
            .arrangements
            .iter()
            .flat_map(|made| made.steps.iter().zip(&made.positions))
            .filter(|(step, _)| step.unit == unit)
            .flat_map(|(_, position)| position.seats.iter().copied())
            .filter(|seat| sort == Sort::Board || !self.is_a_twins(unit, *seat))
            .collect();
        let lies = seats.iter().map(|seat| self.lies(unit, *seat).len()).sum::<usize>();
        seats.len() > 1 || (sort == Sort::Board && (lies > 1 || self.movers[unit].heights.len() > 1))
    }

    /// Whether a seat is the one that another unit with the same part has now: to exchange the two is no change.
    pub(super) fn is_a_twins(&self, unit: usize, seat: Seat) -> bool {
        let part = |unit: usize| &self.proof.craft.places[self.movers[unit].unit.place].part;
        (0..self.movers.len())
            .any(|other| other != unit && part(other) == part(unit) && self.now[other] == seat)
    }

    fn empty(proof: &'p Proof<'a>) -> Self {
        Self {
            proof,
            movers: Vec::new(),
            slots: Vec::new(),
            arrangements: Vec::new(),
            now: Vec::new(),
            needs: Needs::of(proof),
            stays: Body::default(),
            lies: RefCell::default(),
            stands: RefCell::default(),
            known: RefCell::default(),
            bodies: RefCell::default(),
            listed: RefCell::default(),
            own: RefCell::default(),
            between: RefCell::default(),
        }
    }

    fn arranged(&self) -> Option<Vec<Arrangement>> {
        let of_sort = |sort| {
            let all = self.movers.iter().enumerate();
            all.filter(move |(_, mover)| mover.unit.sort == sort).map(|(unit, _)| unit)
        };
        let slots_for = |wanted: fn(&Holds) -> bool| -> Vec<usize> {
            let all = self.slots.iter().enumerate();
            all.filter(|(_, slot)| wanted(&slot.here.holds)).map(|(number, _)| number).collect()
        };
        let cameras = slots_for(|holds| matches!(holds, Holds::Camera { .. }));
        let antennas = slots_for(|holds| matches!(holds, Holds::Antenna));
        let others = of_sort(Sort::Camera).map(|unit| (unit, cameras.clone()));
        let others = others.chain(of_sort(Sort::Antenna).map(|unit| (unit, antennas.clone()))).collect();
        let is_screw =
            |place: &usize| self.proof.part_of(*place).is_some_and(|part| part.kind == PartKind::Screw);
        let screws = |unit: usize| {
            let screws = self.movers[unit].fixings.iter().filter(|(place, _)| is_screw(place));
            let (below, beside): (Vec<_>, Vec<_>) =
                screws.partition(|(_, side)| matches!(side, Side::Below(_)));
            let places = |set: Vec<&(usize, Side)>| set.into_iter().map(|(place, _)| *place).collect();
            (places(below), places(beside))
        };
        let caps = |unit: usize| self.movers[unit].unit.caps.clone();
        let held = |unit: usize| self.is_held_now(unit, &screws, &caps);
        let stacking = Stacking {
            boards: of_sort(Sort::Board).collect(),
            slots: slots_for(|holds| matches!(holds, Holds::Boards(..))),
            others,
            decks: &|lower, upper| self.decks_for(lower, upper),
            fits: &|unit, slot| {
                self.now[unit] == Seat::Slot(slot) || !self.lies(unit, Seat::Slot(slot)).is_empty()
            },
            caps: &caps,
            screws: &screws,
            held: &held,
        };
        stacking.all()
    }

    /// Whether screws hold a unit as the craft has it: its own, or those that close the stack over it.
    fn is_held_now(
        &self,
        unit: usize,
        screws: &dyn Fn(usize) -> (Vec<usize>, Vec<usize>),
        caps: &dyn Fn(usize) -> Vec<usize>,
    ) -> bool {
        let (below, beside) = screws(unit);
        let over =
            self.now.iter().position(|seat| matches!(seat, Seat::Unit { unit: under, .. } if *under == unit));
        !below.is_empty()
            || !beside.is_empty()
            || !caps(unit).is_empty()
            || over.is_some_and(|over| self.is_held_now(over, screws, caps))
    }

    /// The decks of one unit on which another may stand: one for each set of holes that meets, unless something
    /// that rides along is seated there.
    fn decks_for(&self, lower: usize, upper: usize) -> Vec<usize> {
        let mover = &self.movers[lower];
        let taken = |deck: &Deck| {
            let anchor = mover.anchor_of(self.proof, deck);
            let on = |place: &usize| self.proof.craft.places[*place].on.as_ref() == Some(&anchor);
            mover.unit.riders.iter().any(on)
        };
        let all = mover.decks.iter().enumerate().filter(|(_, deck)| !taken(deck));
        all.map(|(deck, _)| deck)
            .filter(|deck| {
                let seat = Seat::Unit { unit: lower, deck: *deck };
                self.now[upper] == seat || !self.lies(upper, seat).is_empty()
            })
            .collect()
    }

    fn lies(&self, unit: usize, seat: Seat) -> Lies {
        if let Some(known) = self.lies.borrow().get(&(unit, seat)) {
            return Rc::clone(known);
        }
        let holds = match seat {
            Seat::Slot(slot) => &self.slots[slot].here.holds,
            Seat::Unit { unit, deck } => &self.movers[unit].decks[deck].holds,
        };
        let lies: Lies = self.movers[unit].lies(self.proof, holds).into();
        self.lies.borrow_mut().insert((unit, seat), Rc::clone(&lies));
        lies
    }

    fn here(&self, seat: Seat, below: Option<&Stand>) -> Option<Here> {
        match (seat, below) {
            (Seat::Slot(slot), _) => Some(self.slots[slot].here.clone()),
            (Seat::Unit { unit, deck }, Some(below)) => {
                let (mover, number) = (&self.movers[unit], deck);
                let deck = mover.decks.get(number)?;
                Some(Here {
                    seat,
                    anchor: mover.anchor_of(self.proof, deck),
                    under: mover.unit.place,
                    base: below.pose * deck.frame,
                    near: deck.near,
                    far: deck.far,
                    holds: deck.holds.clone(),
                })
            }
            _ => None,
        }
    }

    /// The ways of a board to stand on a seat. What carries something is not turned over.
    fn boards(&self, unit: usize, here: &Here, closing: &Rc<Closing>, carries: bool) -> Vec<Stand> {
        let mover = &self.movers[unit];
        let is_now = here.seat == self.now[unit];
        let lies = self.lies(unit, here.seat);
        let as_now =
            |lie: &Lie| lie.flipped == mover.now.flipped && turn_between(lie.turn, mover.now.yaw) < 3.0;
        let mut stands = Vec::new();
        if is_now {
            let met = mover.decks.is_empty() || lies.iter().any(as_now);
            stands.push(Stand::of_board(self.proof, mover, here, (None, 0, met), closing));
        }
        for lie in lies.iter().filter(|lie| !carries || lie.flipped == mover.now.flipped) {
            for height in 0..mover.heights.len() {
                if !(is_now && height == 0 && as_now(lie)) {
                    stands.push(Stand::of_board(
                        self.proof,
                        mover,
                        here,
                        (Some(*lie), height, true),
                        closing,
                    ));
                }
            }
        }
        stands
    }

    pub(super) fn enter(&self, unit: usize, stand: Stand) -> u32 {
        let key = key(unit, &stand);
        let mut stands = self.stands.borrow_mut();
        *self.known.borrow_mut().entry(key).or_insert_with(|| {
            stands[unit].push(Rc::new(stand));
            stands[unit].len() as u32 - 1
        })
    }

    /// One way to stand.
    pub fn stand(&self, unit: usize, choice: u32) -> Rc<Stand> {
        Rc::clone(&self.stands.borrow()[unit][choice as usize])
    }

    /// The solids of one way to stand.
    pub fn body(&self, unit: usize, choice: u32) -> Rc<Body> {
        if let Some(known) = self.bodies.borrow().get(&(unit, choice)) {
            return Rc::clone(known);
        }
        let body = Rc::new(self.movers[unit].body(self.proof, &self.stand(unit, choice)));
        self.bodies.borrow_mut().insert((unit, choice), Rc::clone(&body));
        body
    }

    /// The units of a combination, each as it stands on what lies under it there. The same way to stand in the craft's
    /// frame may be another against its seat, where that is turned too.
    pub fn as_seated(&self, found: &Found) -> Vec<(usize, Rc<Stand>)> {
        let mut seated: Vec<(usize, Rc<Stand>)> = Vec::new();
        for (step, choice) in found.chosen.iter().enumerate() {
            let Step { unit, upon } = self.steps(found.arrangement)[step];
            let below = upon.map(|upon| Rc::clone(&seated[upon].1));
            let known = self.stand(unit, *choice);
            let wanted = key(unit, &known);
            let mut here = self.stands_of(found.arrangement, step, below.as_deref()).into_iter();
            seated.push((unit, here.find(|stand| key(unit, stand) == wanted).map_or(known, Rc::new)));
        }
        seated
    }

    /// What the choices of a step go by.
    pub(super) fn asked(&self, arrangement: usize, step: usize, below: Option<(usize, u32)>) -> Asked {
        let made = &self.arrangements[arrangement];
        let Position { seats, closing } = made.positions[step].clone();
        Asked { unit: made.steps[step].unit, seats, closing, carries: made.carries(step), below }
    }

    pub(super) fn stands_of(&self, arrangement: usize, step: usize, below: Option<&Stand>) -> Vec<Stand> {
        let made = &self.arrangements[arrangement];
        let (unit, position) = (made.steps[step].unit, &made.positions[step]);
        let carries = made.carries(step);
        let mut found = Vec::new();
        for seat in &position.seats {
            let Some(here) = self.here(*seat, below) else { continue };
            match self.movers[unit].unit.sort {
                Sort::Board => found.extend(self.boards(unit, &here, &position.closing, carries)),
                _ if self.is_a_twins(unit, *seat) => {}
                _ => found.push(Stand::of_other(self.proof, &self.movers[unit], &here, &position.closing)),
            }
        }
        found
    }

    /// The units of a combination with their choices.
    pub fn fixed(&self, found: &Found) -> Vec<(usize, u32)> {
        let steps = &self.arrangements[found.arrangement].steps;
        steps.iter().zip(&found.chosen).map(|(step, choice)| (step.unit, *choice)).collect()
    }

    /// Whether a way to stand is the one the craft has.
    pub fn is_now(&self, unit: usize, choice: u32) -> bool {
        self.changes(unit, choice) == 0
    }

    /// The seat a unit has now.
    pub fn seat_now(&self, unit: usize) -> Seat {
        self.now[unit]
    }
}
