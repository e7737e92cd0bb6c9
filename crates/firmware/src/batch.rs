//! How far is a batch, and what comes next?
//!
//! A batch is its plan and one state a step. It can be left and taken up again: everything needed is in it. One unit that
//! reports another version than it was given stops the batch, until somebody has looked and says to go on.

use crate::{Cards, OnCard, Plan, Step, Supply, Version};
use serde::{Deserialize, Serialize};

/// How far one step is.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case", tag = "state")]
pub enum StepState {
    /// Nothing was done yet.
    Waiting,
    /// The card for it was written and read back.
    Written,
    /// The unit took it and reports the version it was given.
    Loaded,
    /// The unit reports something else, or did not come back.
    Odd {
        /// What it reports; `None` if it did not come back.
        reported: Option<Version>,
    },
    /// It was odd, somebody looked, and the batch goes on without it.
    LeftOut,
}

/// A batch on its way.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Batch {
    /// What the owner calls it.
    pub name: String,
    /// When it was begun, in seconds of universal time.
    pub begun: i64,
    /// Its plan.
    pub plan: Plan,
    /// The cards.
    pub cards: Cards,
    /// The supply.
    pub supply: Supply,
    /// One state for each step.
    pub states: Vec<StepState>,
    /// What lies on each card, as last read back.
    #[serde(default)]
    pub on_card: Vec<Vec<OnCard>>,
    /// Files that the last look at a card missed and that were not put back yet.
    #[serde(default)]
    pub gone: Vec<String>,
    /// Files of the last writing that hold something else now, as the last look found.
    #[serde(default)]
    pub changed: Vec<String>,
    /// Files beside the image that the unit may take for its own, as the last look found.
    #[serde(default)]
    pub stray: Vec<String>,
    /// Steps that are tried again although nothing came back from their units.
    #[serde(default)]
    pub again: Vec<usize>,
    /// Steps whose card was written and whose unit has not reported since; a batch kept in an older form does not say.
    #[serde(default)]
    handed_out: Vec<usize>,
}

/// What comes next.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Next<'a> {
    /// Write the card for this step.
    Write(usize, &'a Step),
    /// Put the card into this unit, wait, and say what it then reports.
    Load(usize, &'a Step),
    /// A unit is odd: look at it before anything else is loaded.
    Look(usize, &'a Step),
    /// All is done.
    Done,
}

impl Batch {
    /// A batch that was just planned.
    pub fn new(name: &str, begun: i64, plan: Plan, cards: Cards, supply: Supply) -> Self {
        let states = vec![StepState::Waiting; plan.steps.len()];
        let on_card = vec![Vec::new(); cards.seen.len().max(1)];
        Self {
            name: name.to_owned(),
            begun,
            plan,
            cards,
            supply,
            states,
            on_card,
            gone: Vec::new(),
            changed: Vec::new(),
            stray: Vec::new(),
            again: Vec::new(),
            handed_out: Vec::new(),
        }
    }

    /// What comes next.
    pub fn next(&self) -> Next<'_> {
        for (number, step) in self.plan.steps.iter().enumerate() {
            match self.states.get(number) {
                Some(StepState::Odd { .. }) => return Next::Look(number, step),
                Some(StepState::Written) => return Next::Load(number, step),
                Some(StepState::Loaded | StepState::LeftOut) => {}
                // A card that holds the image already is not written again, but never on trust alone: the writer reads it back.
                _ => return Next::Write(number, step),
            }
        }
        Next::Done
    }

    /// Whether every unit has had its turn.
    pub fn is_done(&self) -> bool {
        self.next() == Next::Done
    }

    /// What was written to the card of a step, as it was read back; `None` if that is not the step's turn.
    pub fn written(&mut self, number: usize, lies: Vec<OnCard>) -> bool {
        if !matches!(self.next(), Next::Write(turn, _) if turn == number) {
            return false;
        }
        let card = self.plan.steps[number].card;
        if self.on_card.len() <= card {
            self.on_card.resize(card + 1, Vec::new());
        }
        self.on_card[card] = lies;
        self.gone.clear();
        self.changed.clear();
        self.stray.clear();
        self.states[number] = StepState::Written;
        if !self.handed_out.contains(&number) {
            self.handed_out.push(number);
        }
        true
    }

    /// What a unit reports after its turn; `None` if it did not come back. Says whether it was this step's turn.
    pub fn reported(&mut self, number: usize, version: Option<Version>) -> bool {
        if !matches!(self.next(), Next::Load(turn, _) if turn == number) {
            return false;
        }
        self.handed_out.retain(|step| *step != number);
        let as_given = version.as_ref() == Some(&self.plan.steps[number].to);
        self.states[number] = if as_given { StepState::Loaded } else { StepState::Odd { reported: version } };
        true
    }

    /// Goes on after an odd unit: it is tried again, or left out.
    pub fn go_on(&mut self, number: usize, again: bool) -> bool {
        if !matches!(self.next(), Next::Look(turn, _) if turn == number) {
            return false;
        }
        self.again.retain(|step| *step != number);
        if again && matches!(self.states.get(number), Some(StepState::Odd { reported: None })) {
            self.again.push(number);
        }
        self.states[number] = if again { StepState::Waiting } else { StepState::LeftOut };
        true
    }

    /// Files of the last writing that the card no longer holds.
    pub fn missing<'a>(&'a self, card: usize, lies: &[OnCard]) -> Vec<&'a str> {
        self.unlike(card, |one| !lies.iter().any(|other| other.file == one.file))
    }

    /// Files of the last writing that hold something else now.
    pub fn altered<'a>(&'a self, card: usize, lies: &[OnCard]) -> Vec<&'a str> {
        self.unlike(card, |one| lies.iter().any(|other| other.file == one.file && other.digest != one.digest))
    }

    fn unlike(&self, card: usize, odd: impl Fn(&OnCard) -> bool) -> Vec<&str> {
        let was = self.on_card.get(card).map(Vec::as_slice).unwrap_or_default();
        was.iter().filter(|one| odd(one)).map(|one| one.file.as_str()).collect()
    }

    /// Keeps what a look at the card found. A card that is not as it was written is written anew before its unit gets it.
    pub fn looked(&mut self, card: usize, lies: &[OnCard], stray: Vec<String>) {
        let owned = |files: Vec<&str>| files.into_iter().map(str::to_owned).collect();
        (self.gone, self.changed) = (owned(self.missing(card, lies)), owned(self.altered(card, lies)));
        self.stray = stray;
        if self.is_unlike_written()
            && let Next::Load(number, _) = self.next()
        {
            self.states[number] = StepState::Waiting;
        }
    }

    /// Whether the last look found a card that is not as it was written.
    pub fn is_unlike_written(&self) -> bool {
        !(self.gone.is_empty() && self.changed.is_empty() && self.stray.is_empty())
    }

    /// The units whose turn is still to come, or that are being looked at.
    pub fn units_waiting(&self) -> impl Iterator<Item = &str> {
        let waits = |state: &StepState| !matches!(state, StepState::Loaded | StepState::LeftOut);
        let steps = self.plan.steps.iter().zip(&self.states);
        steps.filter(move |(_, state)| waits(state)).map(|(step, _)| step.unit.as_str())
    }

    /// Units that may have taken what was written for them, and have not said what they report since.
    pub fn units_unheard(&self) -> impl Iterator<Item = &str> {
        let in_hand = |number: usize| matches!(self.next(), Next::Load(turn, _) if turn == number);
        let unheard = move |number: &usize| self.handed_out.contains(number) || in_hand(*number);
        (0..self.plan.steps.len()).filter(unheard).map(|number| self.plan.steps[number].unit.as_str())
    }

    /// Whether a card of this batch waits in hand for its unit.
    pub fn holds_card(&self) -> bool {
        matches!(self.next(), Next::Load(..))
    }
}

/// What to do with a unit that did not come back, in the order of the hands (common practice).
pub const NOT_COME_BACK: [&str; 6] = [
    "Leave it alone for ten minutes: some finish long after their light says nothing.",
    "Take the power off and on again, with the fan on and the antenna on.",
    "Try its recovery start: a button held at power, or the card with the name its maker gives for that.",
    "Try another card, another reader, another lead.",
    "Load the version before, which is known to be good.",
    "Only then write it off; most come back with the right image on a fresh card.",
];

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use crate::digest_of;

    fn batch() -> Batch {
        let step = |unit: &str| Step {
            unit: unit.into(),
            kind: "air".into(),
            digest: digest_of(b"image"),
            file: "air.img".into(),
            size: 5,
            from: None,
            to: Version::read("4.2").unwrap(),
            card: 0,
            writes: true,
            path: vec!["AIR.IMG".into()],
            keep: Vec::new(),
            minutes: None,
            done_when: String::new(),
        };
        let plan = Plan { steps: vec![step("A1"), step("A2")], mind: Vec::new() };
        Batch::new("spring", 0, plan, Cards::default(), Supply::Bench)
    }

    #[test]
    fn a_card_that_is_not_as_written_is_written_anew() {
        let lies = |text: &[u8]| vec![OnCard { file: "AIR.IMG".into(), digest: digest_of(text) }];
        for (now, stray) in [
            (Vec::new(), Vec::new()),
            (lies(b"other"), Vec::new()),
            (lies(b"image"), vec!["OLD.IMG".to_owned()]),
        ] {
            let mut batch = batch();
            assert!(batch.written(0, lies(b"image")));
            batch.looked(0, &lies(b"image"), Vec::new());
            assert!(batch.holds_card(), "as it was written");
            batch.looked(0, &now, stray);
            assert!(matches!(batch.next(), Next::Write(0, _)), "{now:?}");
            assert!(!batch.reported(0, Some(Version::read("4.2").unwrap())), "{now:?}");
            assert!(batch.written(0, lies(b"image")) && !batch.is_unlike_written());
        }
        let mut batch = batch();
        batch.written(0, lies(b"image"));
        assert_eq!(batch.altered(0, &lies(b"other")), ["AIR.IMG"]);
        assert!(batch.missing(0, &lies(b"other")).is_empty(), "changed is not gone");
    }

    #[test]
    fn each_step_is_written_loaded_and_confirmed_in_turn() {
        let mut batch = batch();
        let version = |text: &str| Some(Version::read(text).unwrap());
        assert!(matches!(batch.next(), Next::Write(0, _)));
        assert!(!batch.written(1, Vec::new()) && !batch.reported(0, version("4.2")), "out of turn");
        let lies = vec![OnCard { file: "AIR.IMG".into(), digest: digest_of(b"image") }];
        assert!(batch.written(0, lies.clone()));
        assert_eq!(batch.missing(0, &lies), Vec::<&str>::new());
        assert_eq!(batch.missing(0, &[]), ["AIR.IMG"]);
        assert!(batch.reported(0, version("4.2")));
        assert!(batch.written(1, lies) && batch.reported(1, version("4.1")));
        assert!(matches!(batch.next(), Next::Look(1, _)), "one odd one stops the batch");
        assert!(!batch.is_done());
        assert!(batch.go_on(1, true));
        assert!(matches!(batch.next(), Next::Write(1, _)));
        batch.written(1, Vec::new());
        assert!(batch.reported(1, None), "it did not come back");
        assert!(batch.go_on(1, false) && batch.is_done());
    }
}
