//! What the search asks of a craft's choices: margins, changes, likeness; and what decides in a combination.

use super::body::{Body, MOST, Pair, Tightest, micrometres};
use super::mover::HeightFrom;
use super::puzzle::Puzzle;
use super::search::{Choices, Found, IMPOSSIBLE, Margin, Step};
use super::stand::{Seat, Stand};
use super::unit::Sort;
use fit::Pose;
use std::collections::HashSet;
use std::rc::Rc;

/// What a unit whose holes do not meet its seat counts as short, in mm.
pub(super) const UNMET: f64 = -1.0;

impl Puzzle<'_, '_> {
    /// The pair that decides in a combination.
    pub fn tightest(&self, found: &Found) -> Tightest {
        let fixed = self.fixed(found);
        let mut worst = Tightest { margin: MOST, pair: None };
        let mut take = |found: Tightest| {
            if found.margin < worst.margin {
                worst = found;
            }
        };
        for (number, (unit, choice)) in fixed.iter().enumerate() {
            let body = self.body(*unit, *choice);
            take(self.needs.between(&body, &self.stays));
            take(self.needs.within(&body));
            for (other, at) in &fixed[number + 1..] {
                take(self.needs.between(&body, &self.body(*other, *at)));
            }
        }
        worst
    }

    /// The pair that decides for one unit beside all that stays.
    pub fn alone(&self, unit: usize, choice: u32) -> Tightest {
        let body = self.body(unit, choice);
        let (out, inside) = (self.needs.between(&body, &self.stays), self.needs.within(&body));
        if inside.margin < out.margin { inside } else { out }
    }

    /// The craft as it stands, as a combination.
    pub fn as_it_stands(&self) -> Option<Found> {
        (0..self.arrangements.len()).find_map(|arrangement| {
            let mut chosen: Vec<u32> = Vec::new();
            for (step, Step { unit, upon }) in self.steps(arrangement).iter().enumerate() {
                let below = upon.map(|upon| chosen[upon]);
                let choices = self.choices(arrangement, step, below);
                chosen.push(choices.into_iter().find(|choice| self.is_now(*unit, *choice))?);
            }
            Some(Found::as_given(arrangement, chosen))
        })
    }

    /// What one pair has in hand in a combination.
    pub fn of_pair(&self, found: &Found, pair: &Pair) -> Margin {
        let bodies: Vec<Rc<Body>> =
            self.fixed(found).iter().map(|(unit, choice)| self.body(*unit, *choice)).collect();
        let mut all: Vec<&Body> = bodies.iter().map(Rc::as_ref).collect();
        all.push(&self.stays);
        self.needs.of_pair(&all, pair)
    }
}

/// A margin that is exact from a floor up.
#[derive(Clone, Copy, Debug)]
pub(super) struct Known {
    margin: Margin,
    floor: Margin,
}

impl Known {
    /// The margin, if it is exact from this floor up.
    fn told(&self, floor: Margin) -> Option<Margin> {
        (self.margin >= self.floor || self.margin < floor).then_some(self.margin)
    }
}

impl Choices for Puzzle<'_, '_> {
    fn arrangements(&self) -> usize {
        self.arrangements.len()
    }

    fn steps(&self, arrangement: usize) -> &[Step] {
        &self.arrangements[arrangement].steps
    }

    fn choices(&self, arrangement: usize, step: usize, below: Option<u32>) -> Vec<u32> {
        let steps = self.steps(arrangement);
        let Step { unit, upon } = steps[step];
        let below = below.and_then(|below| Some((steps[upon?].unit, below)));
        let asked = self.asked(arrangement, step, below);
        if let Some(known) = self.listed.borrow().get(&asked) {
            return known.clone();
        }
        let under = below.map(|(unit, choice)| self.stand(unit, choice));
        let stands = self.stands_of(arrangement, step, under.as_deref());
        let mut found: Vec<u32> = stands.into_iter().map(|stand| self.enter(unit, stand)).collect();
        let mut seen = HashSet::new();
        found.retain(|choice| seen.insert(*choice));
        self.listed.borrow_mut().insert(asked, found.clone());
        found
    }

    fn own(&self, unit: usize, choice: u32) -> Margin {
        self.own_from(unit, choice, IMPOSSIBLE)
    }

    fn own_from(&self, unit: usize, choice: u32, floor: Margin) -> Margin {
        if let Some(known) = self.own.borrow().get(&(unit, choice)).and_then(|known| known.told(floor)) {
            return known;
        }
        let met = if self.stand(unit, choice).met { self.most() } else { micrometres(UNMET) };
        let mut margin = met;
        if margin >= floor {
            let body = self.body(unit, choice);
            margin = margin.min(self.needs.margin_within(&body, floor));
            if margin >= floor {
                margin = margin.min(self.needs.margin_between(&body, &self.stays, floor));
            }
        }
        self.own.borrow_mut().insert((unit, choice), Known { margin, floor });
        margin
    }

    fn between(&self, one: (usize, u32), other: (usize, u32)) -> Margin {
        self.between_from(one, other, IMPOSSIBLE)
    }

    fn between_from(&self, one: (usize, u32), other: (usize, u32), floor: Margin) -> Margin {
        let pair = if one.0 < other.0 { [one, other] } else { [other, one] };
        if let Some(known) = self.between.borrow().get(&pair).and_then(|known| known.told(floor)) {
            return known;
        }
        let [a, b] = pair.map(|(unit, choice)| self.stand(unit, choice));
        let known = if a.seat == b.seat {
            Known { margin: IMPOSSIBLE, floor: IMPOSSIBLE }
        } else {
            let [a, b] = pair.map(|(unit, choice)| self.body(unit, choice));
            Known { margin: self.needs.margin_between(&a, &b, floor), floor }
        };
        self.between.borrow_mut().insert(pair, known);
        known.margin
    }

    fn changes(&self, unit: usize, choice: u32) -> u32 {
        let (stand, mover) = (self.stand(unit, choice), &self.movers[unit]);
        let height = match &mover.heights[stand.height].from {
            HeightFrom::InUse => 0,
            HeightFrom::AtHand(_) => 1,
            HeightFrom::Stock => 2,
        };
        let turned = self.turned(unit, &stand);
        u32::from(stand.seat != self.now[unit])
            + u32::from(turned.abs() > 1.0)
            // Turned over, plugs change sides and settings follow.
            + 2 * u32::from(stand.flipped != mover.now.flipped)
            + height
            + stand.closing.dropped.len() as u32
    }

    fn likeness(&self, unit: usize, choice: u32) -> u64 {
        let stand = self.stand(unit, choice);
        let seat = match stand.seat {
            Seat::Slot(slot) => slot as u64,
            Seat::Unit { unit, deck } => 1_000 + 100 * unit as u64 + deck as u64,
        };
        let turn = (self.turned(unit, &stand) / 5.0).round().rem_euclid(72.0) as u64;
        // Spacers that must be bought are another thing than some at hand.
        let bought = self.movers[unit].heights[stand.height].from == HeightFrom::Stock;
        ((seat * 2 + u64::from(stand.flipped)) * 2 + u64::from(bought)) * 72 + turn
    }

    fn most(&self) -> Margin {
        MOST
    }
}

impl Puzzle<'_, '_> {
    /// How far a unit is turned against now, seen from above the seat, in degrees from -180 to 180; a camera or an
    /// antenna keeps its turn.
    pub fn turned(&self, unit: usize, stand: &Stand) -> f64 {
        let mover = &self.movers[unit];
        if mover.unit.sort != Sort::Board {
            return 0.0;
        }
        let x = |pose: &Pose| pose.vector(fit::PartVector::X);
        let (was, is) = (x(&mover.now.pose), x(&stand.pose));
        let turn = (is.y().atan2(is.x()) - was.y().atan2(was.x())).to_degrees();
        let turn = turn - 360.0 * ((turn - 180.0) / 360.0).ceil();
        if turn.abs() < 1e-6 { 0.0 } else { turn }
    }
}
