//! In which order a craft goes together, step by step.
//!
//! The craft is taken apart in thought (`taken_apart.rs`), and the order turned round: what follows one another and is alike by custom is
//! one step. What is made up in the hand is marked as such, with the step after which it is set on its seat. What has no way at all is
//! left where custom has it, and the very pieces that close its way are told. While something is made up in the hand, nothing else is put on
//! the craft that could be before.

use super::custom::{Batch, Mover, Stage, by_custom};
use super::taken_apart::{Event, On};
use proof::{Proof, Proved};

/// One step of the assembly: like parts on like seats.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Step {
    pub stage: Stage,
    pub movers: Vec<Mover>,
    /// Whether what is put on here is made up in the hand first: some of what follows could not be reached once it stood.
    pub is_made_up: bool,
    /// Whether these are screws hung through what is made up in the hand, whose heads are covered before it is set on.
    pub is_hung: bool,
    /// What is made up in the hand and set on its seat after this step.
    pub sets_on: Vec<SetOn>,
    /// The solids that close the straight way of what is put on here, by number, where no other order mends it.
    pub past: Vec<usize>,
}

/// The screws that hang through what is made up in the hand.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Hung {
    None,
    /// Their heads can be got at through a gap.
    InAGap,
    /// What lies on their heads leaves no gap.
    ShutIn,
}

/// What was made up in the hand, as it is set on.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct SetOn {
    /// The place that all the rest stands on.
    pub place: usize,
    /// Whether screws hang through it, which take their nuts now.
    pub hung: Hung,
}

/// The steps of a craft, in order.
pub(crate) fn steps(proof: &Proof, proved: &Proved) -> Vec<Step> {
    let batches = by_custom(proof, proved);
    let on = On::of(proof, proved, &batches);
    in_steps(&batches, &on, on.taken_apart())
}

/// The events turned round: what follows one another and is one batch by custom is one step.
fn in_steps(batches: &[Batch], on: &On, events: Vec<Event>) -> Vec<Step> {
    let lifts = || {
        events.iter().filter_map(|event| match event {
            Event::Lift { root, hung, .. } => Some((*root, hung)),
            Event::Off(..) => None,
        })
    };
    let place = |mover: usize| on.movers[mover].place;
    let mut steps: Vec<(usize, Step)> = Vec::new();
    for event in events.iter().rev() {
        let (mover, past) = match event {
            Event::Off(mover, past) => (*mover, past),
            Event::Lift { root, hung, .. } => {
                if let Some((_, step)) = steps.last_mut() {
                    let hung = match hung.as_slice() {
                        [] => Hung::None,
                        screws if on.are_shut_in(screws) => Hung::ShutIn,
                        _ => Hung::InAGap,
                    };
                    step.sets_on.push(SetOn { place: place(*root), hung });
                }
                continue;
            }
        };
        let rank = on.rank[mover];
        let step = Step {
            stage: batches[rank].stage,
            movers: vec![on.movers[mover].clone()],
            is_made_up: lifts().any(|(root, _)| root == mover),
            is_hung: lifts().any(|(_, hung)| hung.contains(&mover)),
            sets_on: Vec::new(),
            past: on.met_on_the_way(mover, past),
        };
        match steps.last_mut() {
            Some((known, last))
                if *known == rank
                    && last.sets_on.is_empty()
                    && !step.is_made_up
                    && last.is_hung == step.is_hung =>
            {
                last.movers.extend(step.movers);
                let new =
                    step.past.into_iter().filter(|solid| !last.past.contains(solid)).collect::<Vec<_>>();
                last.past.extend(new);
            }
            _ => steps.push((rank, step)),
        }
    }
    let mut steps: Vec<Step> = steps.into_iter().map(|(_, step)| step).collect();
    for event in events.iter().rev() {
        if let Event::Lift { root, with, .. } = event {
            out_of_the_hand(on, (*root, with), &mut steps);
        }
    }
    steps
}

/// What goes onto the craft while something is made up in the hand comes before that, unless it waits for a piece of it: a plug
/// that is held when it is in.
fn out_of_the_hand(on: &On, (root, with): (usize, &[usize]), steps: &mut Vec<Step>) {
    let numbers = |step: &Step| -> Vec<usize> {
        step.movers.iter().filter_map(|mover| on.movers.iter().position(|known| *known == mover)).collect()
    };
    let begins = steps.iter().position(|step| step.is_made_up && numbers(step).contains(&root));
    let Some(mut begins) = begins else { return };
    let is_end = |step: &Step| step.sets_on.iter().any(|set| set.place == on.movers[root].place);
    let Some(end) = steps.iter().skip(begins).position(is_end).map(|after| begins + after) else { return };
    for at in begins + 1..end {
        let own = numbers(&steps[at]);
        let waits = |step: &Step| {
            let there = numbers(step);
            own.iter().any(|mover| there.iter().any(|other| on.comes_after(*mover, *other)))
        };
        let is_in_the_hand = own.iter().any(|mover| with.contains(mover));
        let is_plain = !steps[at].is_made_up && steps[at].sets_on.is_empty() && !steps[at].is_hung;
        if !is_in_the_hand && is_plain && !steps[begins..at].iter().any(waits) {
            let step = steps.remove(at);
            steps.insert(begins, step);
            begins += 1;
        }
    }
}

#[cfg(test)]
#[path = "order_tests.rs"]
mod tests;
