//! A route found before, and whether it is still the one that would be found.
//!
//! Finding a route looks at solids by cells only (`route_air.rs`): what it finds depends on the two ends, on the frame it
//! works in, on the least distance that anything asks for, on how far the search may go, and on the solids told to the
//! cells it looked into. A route is kept with all that. It holds again where no solid that differs, as it was or as it is,
//! would be told to one of these cells: then finding it anew would take the very same steps. A kept route is
//! therefore the route found anew, bit for bit; only its slopes are worked out afresh, for facts may have other numbers.
//!
//! Solids count in their order. Some that came or went are found by what stays the same before and after them.

use crate::route::{NoRoute, Route, RouteQuestion, found_in, told_in, usable};
use crate::route_air::{Cell, Obstacle, Surroundings};
use crate::route_rest::Pulled;
use crate::scene::Scene;
use crate::shape::Shape;
use crate::solid::SolidIndex;
use parry3d_f64::glamx::{DMat3, DQuat, DVec3};
use std::sync::Arc;

/// How far one search through a grid may go and went.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Searched {
    pub step: f64,
    pub start: DVec3,
    /// The least and greatest cells it looked at.
    pub seen: [Cell; 2],
    /// Whether it met its bounds.
    pub cut: bool,
    pub bounds: [Cell; 2],
}

/// A solid as it was when the route was found.
#[derive(Debug)]
struct Stood {
    solid: SolidIndex,
    shape: Shape,
    turn: DMat3,
    shift: DVec3,
    low: DVec3,
    high: DVec3,
    keep: f64,
    ends: [f64; 2],
    nearing: [[f64; 2]; 2],
}

impl Stood {
    fn of(o: &Obstacle) -> Self {
        Self {
            solid: o.solid,
            shape: o.shape.clone(),
            turn: o.turn,
            shift: o.shift,
            low: o.low,
            high: o.high,
            keep: o.keep,
            ends: o.ends,
            nearing: o.nearing,
        }
    }

    /// Whether a solid is the same to a lead, by whatever number.
    fn is(&self, o: &Obstacle) -> bool {
        self.shift == o.shift
            && self.turn == o.turn
            && self.keep == o.keep
            && self.ends == o.ends
            && self.nearing == o.nearing
            && [self.low, self.high] == [o.low, o.high]
            && self.shape == *o.shape
    }
}

/// A route found, with all it was found from.
#[derive(Debug)]
pub struct KnownRoute {
    ends: [DVec3; 2],
    leaving: [Option<DVec3>; 2],
    bend_radius: f64,
    frame: (DQuat, DVec3, bool),
    least_keep: f64,
    stood: Vec<Stood>,
    cells: Vec<Cell>,
    searched: Vec<Searched>,
    found: Result<Pulled, NoRoute>,
}

/// The shortest route, or why there is none: kept where one of the known ones holds, else found. What was found is given to
/// be known from then on.
pub fn route_again(
    scene: &Scene,
    question: &RouteQuestion,
    known: &[Arc<KnownRoute>],
) -> (Result<Route, NoRoute>, Option<Arc<KnownRoute>>) {
    let mut around = match usable(question).and_then(|()| Surroundings::new(scene, question)) {
        Ok(around) => around,
        Err(none) => return (Err(none), None),
    };
    if let Some(kept) = kept(scene, question, &around, known) {
        return (kept, None);
    }
    let found = found_in(scene, question, &mut around);
    let route = found.as_ref().map(|pulled| told_in(scene, question, &around, pulled)).map_err(Clone::clone);
    (route, Some(Arc::new(KnownRoute::of(&around, found))))
}

/// The route, if one of the known ones holds.
pub fn route_kept(
    scene: &Scene,
    question: &RouteQuestion,
    known: &[Arc<KnownRoute>],
) -> Option<Result<Route, NoRoute>> {
    let around = usable(question).and_then(|()| Surroundings::new(scene, question));
    match around {
        Ok(around) => kept(scene, question, &around, known),
        Err(none) => Some(Err(none)),
    }
}

fn kept(
    scene: &Scene,
    question: &RouteQuestion,
    around: &Surroundings,
    known: &[Arc<KnownRoute>],
) -> Option<Result<Route, NoRoute>> {
    // The latest is the likeliest.
    known.iter().rev().find_map(|known| {
        let numbers = known.holds(around)?;
        Some(match &known.found {
            Ok(pulled) => Ok(told_in(scene, question, around, &pulled.renumbered(&numbers))),
            Err(none) => Err(none.clone()),
        })
    })
}

impl KnownRoute {
    fn of(around: &Surroundings, found: Result<Pulled, NoRoute>) -> Self {
        Self {
            ends: around.ends,
            leaving: around.leaving,
            bend_radius: around.bend_radius,
            frame: around.frame(),
            least_keep: around.least_keep(),
            stood: around.obstacles.iter().map(Stood::of).collect(),
            cells: around.looked_into(),
            searched: around.searched.borrow().clone(),
            found,
        }
    }

    /// Whether it would be found again; the numbers that its solids have now.
    fn holds(&self, around: &Surroundings) -> Option<Vec<(SolidIndex, SolidIndex)>> {
        let same_question = self.ends == around.ends
            && self.leaving == around.leaving
            && self.bend_radius == around.bend_radius
            && self.frame == around.frame()
            && self.least_keep == around.least_keep();
        if !same_question {
            return None;
        }
        let now = &around.obstacles;
        let (begin, end) = self.unmoved(now);
        let (was, is) = (self.stood.len() - end, now.len() - end);
        // Within the same number of solids one stands for the other.
        let paired = was == is;
        let mut numbers = Vec::with_capacity(now.len());
        let mut differing: Vec<(DVec3, DVec3, f64)> = Vec::new();
        for (n, stood) in self.stood.iter().enumerate() {
            let other = match n {
                n if n < begin => now.get(n),
                n if n >= was => now.get(n - was + is),
                n if paired && stood.is(&now[n]) => now.get(n),
                _ => None,
            };
            match other {
                Some(other) => numbers.push((stood.solid, other.solid)),
                None => differing.push((stood.low, stood.high, stood.keep)),
            }
        }
        for (n, o) in now.iter().enumerate().take(is).skip(begin) {
            if !(paired && self.stood[n].is(o)) {
                differing.push((o.low, o.high, o.keep));
            }
        }
        if self.found.is_err() && (!differing.is_empty() || numbers.iter().any(|(was, is)| was != is)) {
            return None;
        }
        let free = |(low, high, keep): &(DVec3, DVec3, f64)| {
            !self.cells.iter().any(|cell| Surroundings::is_told(*cell, *low, *high, *keep))
        };
        let reaches = |searched: &Searched| {
            let bounds = around.grid_bounds(searched.start, searched.step);
            let [low, high] = searched.seen;
            let within = (0..3).all(|n| bounds[0][n] <= low[n] && high[n] <= bounds[1][n]);
            if searched.cut { bounds == searched.bounds } else { within }
        };
        (differing.iter().all(free) && self.searched.iter().all(reaches)).then_some(numbers)
    }

    /// How many solids at the begin and at the end are what they were.
    fn unmoved(&self, now: &[Obstacle]) -> (usize, usize) {
        let most = self.stood.len().min(now.len());
        let begin = self.stood.iter().zip(now).take_while(|(stood, o)| stood.is(o)).count();
        let from_end = self.stood.iter().rev().zip(now.iter().rev()).take(most - begin);
        (begin, from_end.take_while(|(stood, o)| stood.is(o)).count())
    }
}
