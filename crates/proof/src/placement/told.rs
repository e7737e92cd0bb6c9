//! A placement in words: what to do, what comes of it, what to mind.

use super::body::{MOST, Pair};
use super::mover::{HeightFrom, Mover};
use super::puzzle::Puzzle;
use super::search::{Found, Margin};
use super::stand::{Seat, Stand};
use super::unit::Sort;
use crate::names::called;
use crate::numbers::{listed, mm, rounded};
use craft::Anchor;
use craft::schema::PartKind;

/// What to do, in an imperative each.
pub(crate) fn steps(puzzle: &Puzzle, found: &Found) -> Vec<String> {
    let fixed = puzzle.fixed(found);
    let moved = fixed.iter().filter(|(unit, choice)| !puzzle.is_now(*unit, *choice));
    let mut told: Vec<String> =
        moved.map(|(unit, choice)| step(puzzle, *unit, &puzzle.stand(*unit, *choice))).collect();
    for (unit, choice) in &fixed {
        for place in &puzzle.stand(*unit, *choice).closing.dropped {
            let called = puzzle.proof.placed_number(*place).map(|placed| called(puzzle.proof, placed));
            told.push(format!("leave out {}", called.unwrap_or_default()));
        }
    }
    told
}

fn step(puzzle: &Puzzle, unit: usize, stand: &Stand) -> String {
    let mover = &puzzle.movers[unit];
    let name = name(puzzle, unit);
    let turned = puzzle.turned(unit, stand);
    let mut told = Vec::new();
    if stand.seat != puzzle.seat_now(unit) {
        told.push(format!("seat {name} {}", seat_words(puzzle, stand)));
    }
    if turned.abs() > 1.0 {
        told.push(format!("turn {} {}", if told.is_empty() { &name } else { "it" }, turn_words(turned)));
    }
    if stand.flipped != mover.now.flipped {
        told.push(format!("turn {} over", if told.is_empty() { &name } else { "it" }));
    }
    if let Some(height) = height_words(puzzle, mover, stand) {
        told.push(format!("put {} on {height}", if told.is_empty() { &name } else { "it" }));
    }
    listed(&told)
}

/// What a unit is called.
pub(crate) fn name(puzzle: &Puzzle, unit: usize) -> String {
    let placed = puzzle.proof.placed_number(puzzle.movers[unit].unit.place);
    placed.map_or(String::new(), |placed| called(puzzle.proof, placed))
}

fn turn_words(turned: f64) -> String {
    let side = if turned > 0.0 { "left" } else { "right" };
    match turned.abs() {
        size if (size - 90.0).abs() < 1.0 => format!("a quarter {side}"),
        size if (size - 180.0).abs() < 1.0 => "half round".to_owned(),
        size => format!("{}° {side}", rounded(size, 0)),
    }
}

/// `on rear 20 of the frame`, `in the mount "low" of …`.
pub(crate) fn seat_words(puzzle: &Puzzle, stand: &Stand) -> String {
    let (under, feature) = match stand.seat {
        Seat::Slot(slot) => {
            let here = &puzzle.slots[slot].here;
            let feature = match &here.anchor {
                Anchor::Feature(_, feature) => feature.clone(),
                other => other.to_string(),
            };
            (here.under, feature)
        }
        Seat::Unit { unit, deck } => {
            let mover = &puzzle.movers[unit];
            (mover.unit.place, mover.decks.get(deck).map_or(String::new(), |deck| deck.name.clone()))
        }
    };
    let under = puzzle.proof.placed_number(under);
    let on_board = under.is_some_and(|placed| {
        !matches!(placed.part.kind, PartKind::Frame | PartKind::PrintedPart | PartKind::Adapter)
    });
    let holder = under.map_or(String::new(), |placed| called(puzzle.proof, placed));
    if on_board { format!("on {holder}") } else { format!("on {feature} of {holder}") }
}

fn height_words(puzzle: &Puzzle, mover: &Mover, stand: &Stand) -> Option<String> {
    let height = &mover.heights[stand.height];
    match &height.from {
        HeightFrom::InUse => None,
        HeightFrom::AtHand(part) => puzzle.proof.craft.part(part).map(|part| part.name.clone()),
        HeightFrom::Stock => Some(format!("spacers of {}", mm(height.mm))),
    }
}

/// Short names for one sentence: what belongs to the only unit that changes is *its*, what belongs to the frame
/// needs no owner.
pub(crate) struct Words {
    own: Option<String>,
    frame: Option<String>,
}

impl Words {
    /// For a combination.
    pub fn of(puzzle: &Puzzle, found: &Found) -> Self {
        let fixed = puzzle.fixed(found);
        let moved: Vec<usize> = fixed
            .iter()
            .filter(|(unit, choice)| !puzzle.is_now(*unit, *choice))
            .map(|(unit, _)| *unit)
            .collect();
        let mut frames = puzzle.proof.places_of(PartKind::Frame);
        let frame = frames.next().map(|placed| format!(" of {}", placed.part.name));
        Self {
            own: match moved.as_slice() {
                [one] => Some(format!(" of {}", name(puzzle, *one))),
                _ => None,
            },
            frame: frame.filter(|_| frames.next().is_none()),
        }
    }

    fn short(&self, name: &str) -> String {
        let cut = |end: &Option<String>| name.strip_suffix(end.as_ref()?.as_str()).map(str::to_owned);
        cut(&self.own)
            .map(|name| format!("its {name}"))
            .or_else(|| cut(&self.frame))
            .unwrap_or(name.to_owned())
    }

    /// What comes of it: how the pair that decides now then stands, and what decides then.
    pub fn why(
        &self,
        (now, now_pair): (Margin, Option<&Pair>),
        then_of_it: Margin,
        (then, then_pair): (Margin, Option<&Pair>),
    ) -> String {
        let nearest = match then_pair {
            Some(pair) if then < MOST => {
                let [c, d] = pair.names.each_ref().map(|name| self.short(name));
                format!("nearest of all are then {c} and {d}, with {}", spare(then))
            }
            _ => format!("everything then has {}", spare(then)),
        };
        let Some(pair) = now_pair.filter(|_| now < MOST) else { return nearest };
        let [a, b] = pair.names.each_ref().map(|name| self.short(name));
        match then_of_it {
            clear if clear >= MOST => format!("{a} then stands clear of {b}; {nearest}"),
            clear if clear != now => format!("{a} and {b} then have {}; {nearest}", spare(clear)),
            _ => format!("{a} and {b} stay as they are, with {}", spare(now)),
        }
    }
}

/// A margin: `0.6 mm to spare`, `1.4 mm too little`, `2 mm and more to spare`.
pub(crate) fn spare(margin: Margin) -> String {
    let size = f64::from(margin) / 1000.0;
    match margin {
        margin if margin >= MOST => format!("{} and more to spare", mm(size)),
        margin if margin < 0 => format!("{} too little", mm(-size)),
        _ => format!("{} to spare", mm(size)),
    }
}

pub(crate) use crate::numbers::lower;

/// What to mind once it stands so.
pub(crate) fn notes(puzzle: &Puzzle, found: &Found) -> Vec<String> {
    let mut notes = Vec::new();
    for (unit, choice) in puzzle.fixed(found) {
        let (stand, mover) = (puzzle.stand(unit, choice), &puzzle.movers[unit]);
        let Some(placed) = puzzle.proof.placed_number(mover.unit.place) else { continue };
        let flies = matches!(placed.part.kind, PartKind::FlightController | PartKind::IntegratedBoard);
        let turned = puzzle.turned(unit, &stand);
        let name = name(puzzle, unit);
        if flies && (turned.abs() > 1.0 || stand.flipped != mover.now.flipped) {
            notes.push(format!(
                "The arrow of {name} then points another way: the setting must say so before it flies."
            ));
        }
        if mover.heights[stand.height].from == HeightFrom::Stock {
            notes.push(format!(
                "The spacers of {} are not among the parts of the craft: they are a stock height, to be had and measured.",
                mm(mover.heights[stand.height].mm)
            ));
        }
        if mover.unit.sort == Sort::Board && stand.seat != puzzle.seat_now(unit) {
            notes.push(format!("See that the leads of {name} reach its new seat."));
        }
    }
    notes
}
