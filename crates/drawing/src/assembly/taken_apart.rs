//! A craft taken apart in thought: by custom, save where what is on already closes the way of what comes off.
//!
//! What custom puts on last comes off first, if it can: all that is seated on it is off, no screw holds it, no plug of it is held, and
//! its straight way outward is free of what is still on (`ways.rs`). If not, what is in its way comes off just before it: so a screw whose
//! head lies under a board goes in before the board. Where that leads round in a circle (a screw from below through a plate that lies on
//! the frame), a part is lifted with all that stands on it: that much is made up in the hand, and set on its seat as one.
//!
//! A craft of more than 400 pieces is left to custom alone.

use super::custom::{Batch, Mover, Pieces, is_lead, is_screw};
use super::ways::{Way, Ways};
use craft::schema::{PartKind, frame as frame_schema, place as place_schema};
use craft::{Anchor, PlaceId};
use fit::BodyVector;
use proof::{Proof, Proved};

/// More than this is put together by custom alone: a craft on the bench has under a hundred.
const MOVERS_MAX: usize = 400;
/// A gap as wide as a thin tip that holds a head, in mm. Common practice.
const TIP: f64 = 1.0;
/// How many trials one part may take to come off.
const TRIALS_MAX: usize = 4_000;

/// One thing that happens while a craft is taken apart.
#[derive(Clone, Debug)]
pub(super) enum Event {
    /// One mover comes off, past what closes its way.
    Off(usize, Vec<usize>),
    /// A mover is lifted with what stands on it and the screws that hang through it.
    Lift { root: usize, hung: Vec<usize>, with: Vec<usize> },
}

/// What is still on, and what was lifted together.
#[derive(Clone)]
struct State {
    left: Vec<bool>,
    lifted: Vec<Vec<bool>>,
    events: Vec<Event>,
}

impl State {
    /// Whether two movers do not stand on one thing any more.
    fn apart(&self, one: usize, other: usize) -> bool {
        self.lifted.iter().any(|group| group[one] != group[other])
    }
}

/// What the base of the frame, which comes first in any order, is to a way that it closes.
#[derive(Clone, Copy, PartialEq)]
enum Frame {
    Closes,
    /// Where it closes every way of a part, the part comes past it somehow, and that is told.
    IsPassed,
}

/// One trial to take something off.
struct Trial {
    frame: Frame,
    /// What is to come off further up.
    busy: Vec<usize>,
    /// How many more may be looked at.
    left: usize,
}

impl Trial {
    fn new(frame: Frame) -> Self {
        Self { frame, busy: Vec::new(), left: TRIALS_MAX }
    }
}

/// All that is put on, each with its rank by custom.
pub(super) struct On<'a> {
    pub movers: Vec<&'a Mover>,
    pub rank: Vec<usize>,
    is_screw: Vec<bool>,
    ways: Ways<'a>,
    /// What is seated on each.
    children: Vec<Vec<usize>>,
    /// The screws whose shanks pass each.
    holders: Vec<Vec<usize>>,
    /// What is plugged into each, and what holds its plugs.
    plugged: Vec<Vec<usize>>,
    /// Of a cage plate, all plates of its cage and what is held between them.
    cage: Vec<Vec<usize>>,
}

impl<'a> On<'a> {
    pub fn of(proof: &Proof, proved: &'a Proved, batches: &'a [Batch]) -> Self {
        let ranked: Vec<(usize, &Mover)> = batches
            .iter()
            .enumerate()
            .flat_map(|(rank, batch)| batch.movers.iter().map(move |mover| (rank, mover)))
            .collect();
        let movers: Vec<&Mover> = ranked.iter().map(|(_, mover)| *mover).collect();
        let rank = ranked.iter().map(|(rank, _)| *rank).collect();
        let ways = Ways::of(proof, proved, &movers);
        let count = movers.len();
        let places = &proof.craft.places;
        let kind = |mover: usize| proof.part_of(movers[mover].place).map(|part| part.kind);
        let standing_at = |place: usize| {
            let base =
                |mover: &&Mover| mover.place == place && matches!(mover.pieces, Pieces::All | Pieces::Base);
            movers.iter().position(base)
        };
        let of_id = |id: &PlaceId| proof.number_of(id).and_then(standing_at);
        let (mut children, mut plugged) = (vec![Vec::new(); count], vec![Vec::new(); count]);
        for mover in 0..count {
            let place = &places[movers[mover].place];
            let below = place.on.as_ref().and_then(Anchor::place).and_then(of_id);
            let is_lead = kind(mover).is_some_and(is_lead);
            match below {
                _ if is_lead => {}
                Some(below) if below != mover => children[below].push(mover),
                _ => {}
            }
            if matches!(movers[mover].pieces, Pieces::TopPlates | Pieces::CagePlate | Pieces::Duct)
                && let Some(base) = standing_at(movers[mover].place)
            {
                children[base].push(mover);
            }
            let item = place.item();
            for end in [&place_schema::FROM, &place_schema::TO] {
                let at = item.text(end).ok().and_then(|text| text.split_once('/'));
                let at = at.and_then(|(id, _)| PlaceId::new(id).ok()).and_then(|id| of_id(&id));
                let Some(at) = at.filter(|at| *at != mover) else { continue };
                plugged[at].push(mover);
                // What holds a plug comes when the plug is in.
                let holds = |other: &usize| {
                    let on = places[movers[*other].place].on.as_ref().and_then(Anchor::place);
                    kind(*other) == Some(PartKind::Relief) && on.and_then(of_id) == Some(at)
                };
                plugged[mover].extend((0..count).filter(holds));
            }
        }
        let is_screw: Vec<bool> = movers.iter().map(|mover| is_screw(proof, mover.place)).collect();
        let screws: Vec<usize> = (0..count).filter(|mover| is_screw[*mover]).collect();
        let held = |mover: usize| {
            if count > MOVERS_MAX {
                return Vec::new();
            }
            let by = |screw: &usize| *screw != mover && ways.holds(*screw, mover);
            match is_screw[mover] {
                true => Vec::new(),
                false => screws.iter().copied().filter(by).collect(),
            }
        };
        let holders = (0..count).map(held).collect();
        let in_cage = |plate: usize| {
            let frame = movers[plate].place;
            let caged = |other: &usize| {
                let place = &places[movers[*other].place];
                match &place.on {
                    _ if movers[*other].place == frame => movers[*other].pieces == Pieces::CagePlate,
                    Some(Anchor::Feature(id, mount)) => proof.placed_at(id).is_some_and(|at| {
                        proof.number_of(id) == Some(frame)
                            && at.part.row_named(&frame_schema::camera_mount::TABLE, mount).is_some()
                    }),
                    _ => false,
                }
            };
            match movers[plate].pieces {
                Pieces::CagePlate => (0..count).filter(caged).collect(),
                _ => Vec::new(),
            }
        };
        let cage = (0..count).map(in_cage).collect();
        Self { movers, rank, is_screw, ways, children, holders, plugged, cage }
    }

    /// Whether what covers the heads of one of these screws leaves no gap to get a tip in.
    pub fn are_shut_in(&self, screws: &[usize]) -> bool {
        let others: Vec<usize> = (0..self.movers.len()).filter(|mover| !self.is_screw[*mover]).collect();
        screws.iter().any(|screw| self.ways.room_over(*screw, &others).is_some_and(|room| room < TIP))
    }

    /// Whether a mover can come only once another is on: it is seated on it, holds it or is plugged into it.
    pub fn comes_after(&self, mover: usize, other: usize) -> bool {
        [&self.children, &self.holders, &self.plugged].iter().any(|of| of[other].contains(&mover))
    }

    /// The solids of these that a mover meets on the way that the fewest of them close, by number.
    pub fn met_on_the_way(&self, mover: usize, past: &[usize]) -> Vec<usize> {
        let met = |way: &Way| -> Vec<usize> {
            past.iter().flat_map(|other| self.ways.met(mover, way.along, *other)).collect()
        };
        let closed = self.ways.off(mover).iter().map(met).filter(|met| !met.is_empty());
        closed.min_by_key(Vec::len).unwrap_or_default()
    }

    /// What is left, what custom puts on last first.
    fn last_first(&self, state: &State) -> Vec<usize> {
        let mut left: Vec<usize> = (0..self.movers.len()).filter(|mover| state.left[*mover]).collect();
        // Screws that hang go in right after what they hang through.
        let key = |mover: usize| {
            let hangs = |event: &Event| match event {
                Event::Lift { root, hung, .. } if hung.contains(&mover) => Some((self.rank[*root], *root)),
                _ => None,
            };
            let (rank, after) = state.events.iter().find_map(hangs).unwrap_or((self.rank[mover], mover));
            (rank, after, mover)
        };
        left.sort_by_key(|mover| std::cmp::Reverse(key(*mover)));
        left
    }

    /// All events until nothing is left.
    pub fn taken_apart(&self) -> Vec<Event> {
        let count = self.movers.len();
        let mut state = State { left: vec![true; count], lifted: Vec::new(), events: Vec::new() };
        if count > MOVERS_MAX {
            return self.last_first(&state).into_iter().map(|mover| Event::Off(mover, Vec::new())).collect();
        }
        while state.left.contains(&true) {
            let order = self.last_first(&state);
            let next = order.iter().find_map(|mover| self.freed(*mover, &state));
            state = next.unwrap_or_else(|| self.forced(order[0], state));
        }
        state.events
    }

    /// The state in which a mover is off, with all that had to go before it; `None` where that leads nowhere.
    fn freed(&self, mover: usize, state: &State) -> Option<State> {
        let off = |state: &State, frame: Frame| {
            let mut after = state.clone();
            self.take(mover, &mut after, &mut Trial::new(frame)).then_some(after)
        };
        if let Some(after) = off(state, Frame::Closes) {
            return Some(after);
        }
        let is_root = |root: &usize| {
            let stands = |child: &usize| state.left[*child];
            state.left[*root]
                && match self.movers[*root].pieces {
                    Pieces::All => self.children[*root].iter().any(stands),
                    Pieces::CagePlate => self.cage[*root].first() == Some(root),
                    Pieces::Base | Pieces::TopPlates | Pieces::Duct => false,
                }
        };
        let mut groups: Vec<(usize, Vec<bool>)> = (0..self.movers.len())
            .filter(is_root)
            .map(|root| (root, self.standing_on(root, state)))
            .filter(|(_, group)| !state.lifted.contains(group))
            .collect();
        groups.sort_by_key(|(root, group)| {
            (group.iter().filter(|is_in| **is_in).count(), std::cmp::Reverse(self.rank[*root]))
        });
        // What it is lifted for comes off in its turn.
        let lifted = groups.into_iter().find_map(|(root, group)| {
            let lifted = self.lifted(root, group, state)?;
            off(&lifted, Frame::Closes).map(|_| lifted)
        });
        lifted.or_else(|| off(state, Frame::IsPassed))
    }

    /// Takes one mover off, and before it all that is in its way. The state is of no use if that fails.
    fn take(&self, mover: usize, state: &mut State, trial: &mut Trial) -> bool {
        if !state.left[mover] {
            return true;
        }
        if trial.busy.contains(&mover) || trial.left == 0 {
            return false;
        }
        trial.left -= 1;
        trial.busy.push(mover);
        let before = self.before(mover, state);
        let done = self.take_all(before, state, trial) && self.leaves(mover, state, trial);
        trial.busy.pop();
        done
    }

    fn take_all(&self, mut movers: Vec<usize>, state: &mut State, trial: &mut Trial) -> bool {
        movers.sort_by_key(|mover| std::cmp::Reverse((self.rank[*mover], *mover)));
        movers.into_iter().all(|mover| self.take(mover, state, trial))
    }

    /// Takes a mover off and with it its like, if they all can go: four motors are one step.
    fn take_with_like(&self, mover: usize, state: &mut State, trial: &mut Trial) -> bool {
        let is_like = |other: &usize| self.rank[*other] == self.rank[mover] && state.left[*other];
        let like: Vec<usize> = (0..self.movers.len()).filter(is_like).collect();
        if like.len() > 1 && !trial.busy.iter().any(|other| like.contains(other)) {
            let mut after = state.clone();
            let hold = |mover: &usize| self.before(*mover, state);
            let before: Vec<usize> = like.iter().flat_map(hold).collect();
            if self.take_all(before, &mut after, trial) && self.take_all(like, &mut after, trial) {
                *state = after;
                return true;
            }
        }
        self.take(mover, state, trial)
    }

    /// What must be off before a mover can go: what is seated on it, holds it or is plugged into it.
    fn before(&self, mover: usize, state: &State) -> Vec<usize> {
        let on_one = |other: &&usize| !state.apart(mover, **other);
        let on_it = self.children[mover].iter().chain(&self.holders[mover]).filter(on_one);
        on_it.chain(&self.plugged[mover]).copied().collect()
    }

    /// Takes a mover off that nothing holds, along the way that is most nearly free.
    fn leaves(&self, mover: usize, state: &mut State, trial: &mut Trial) -> bool {
        let ways = self.ways.off(mover);
        let all = |ways: &mut dyn Iterator<Item = &Way>| {
            ways.map(|way| self.closing(&[mover], way.along, state)).collect::<Vec<_>>()
        };
        let is_base = |other: &usize| self.movers[*other].pieces == Pieces::Base;
        let by_base = |closed: &[Vec<usize>]| {
            !closed.is_empty() && closed.iter().all(|closing| closing.iter().any(is_base))
        };
        let mut closed = all(&mut ways.iter().filter(|way| way.choice == 0));
        if by_base(&closed) {
            closed.extend(all(&mut ways.iter().filter(|way| way.choice > 0)));
        }
        let mut past = Vec::new();
        if trial.frame == Frame::IsPassed && by_base(&closed) {
            past.extend(closed[0].iter().copied().filter(is_base));
            closed.iter_mut().for_each(|closing| closing.retain(|other| !is_base(other)));
        }
        closed.sort_by_key(Vec::len);
        if closed.is_empty() {
            closed.push(Vec::new());
        }
        for closing in closed {
            let mut after = state.clone();
            if closing.iter().all(|other| self.take_with_like(*other, &mut after, trial)) {
                after.left[mover] = false;
                after.events.push(Event::Off(mover, past));
                *state = after;
                return true;
            }
        }
        false
    }

    /// What is still on and closes the way of these movers as one.
    fn closing(&self, movers: &[usize], way: BodyVector, state: &State) -> Vec<usize> {
        let closes = |other: &usize| {
            state.left[*other]
                && !movers.contains(other)
                && movers.iter().any(|m| !state.apart(*m, *other) && self.ways.meets(*m, way, *other))
        };
        (0..self.movers.len()).filter(closes).collect()
    }

    /// A mover and all that stands on it.
    fn standing_on(&self, root: usize, state: &State) -> Vec<bool> {
        let mut group = vec![false; self.movers.len()];
        let mut waiting = vec![root];
        while let Some(mover) = waiting.pop() {
            if state.left[mover] && !group[mover] {
                group[mover] = true;
                waiting.extend(self.children[mover].iter().chain(&self.cage[mover]));
            }
        }
        group
    }

    /// The state in which a mover is lifted off its seat with what stands on it.
    fn lifted(&self, root: usize, mut group: Vec<bool>, state: &State) -> Option<State> {
        let mut state = state.clone();
        let mut trial = Trial::new(Frame::Closes);
        let members = |group: &[bool]| (0..group.len()).filter(|mover| group[*mover]).collect::<Vec<_>>();
        // Screws that hold it from outside the group come off first; those that lie under it hang in it.
        let is_covered = |screw: usize, group: &[bool]| {
            let mut ways = self.ways.off(screw).iter();
            ways.all(|way| (0..group.len()).any(|m| group[m] && self.ways.meets(screw, way.along, m)))
        };
        let holders: Vec<usize> =
            members(&group).iter().flat_map(|member| self.holders[*member].iter().copied()).collect();
        for screw in holders {
            if group[screw] || !state.left[screw] || state.apart(root, screw) {
                continue;
            }
            if is_covered(screw, &group) {
                group[screw] = true;
                continue;
            }
            trial.busy = members(&group);
            if !self.take(screw, &mut state, &mut trial) {
                return None;
            }
        }
        let hung =
            members(&group).into_iter().filter(|m| self.is_screw[*m] && is_covered(*m, &group)).collect();
        let all = members(&group);
        let ways = self.ways.off(root).to_vec();
        let mut closed: Vec<Vec<usize>> =
            ways.iter().map(|way| self.closing(&all, way.along, &state)).collect();
        closed.sort_by_key(Vec::len);
        for closing in closed {
            let mut after = state.clone();
            trial.busy.clone_from(&all);
            if self.take_all(closing, &mut after, &mut trial) {
                let with = members(&group);
                after.lifted.push(group);
                after.events.push(Event::Lift { root, hung, with });
                return Some(after);
            }
        }
        None
    }

    /// What has no way is taken off all the same, and what closes its best way is noted.
    fn forced(&self, mover: usize, mut state: State) -> State {
        let ways = self.ways.off(mover).iter();
        let past = ways.map(|way| self.closing(&[mover], way.along, &state)).min_by_key(Vec::len);
        state.left[mover] = false;
        state.events.push(Event::Off(mover, past.unwrap_or_default()));
        state
    }
}
