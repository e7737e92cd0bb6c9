//! What is known about faults: causes, the signs they give, tests that tell them apart, repairs that mend them.
//!
//! The knowledge stands in a text of its own (`knowledge.toml`, embedded; the user may lay a second text over it). Everything names
//! everything else by id; once read, ids have become places in the lists here, so that nothing can dangle.
//!
//! How the numbers combine when several faults act together:
//! - causes are independent of one another, given the facts of the craft: `P(cause) = 1 − exp(−weight × factors / 100)`, where the
//!   weight is the number of such faults in a hundred visits to the bench;
//! - a sign, and an outcome that shows a fault, come by noisy-OR with a leak (Pearl 1988, §4.3): each cause that acts may bring it by
//!   itself; of several outcomes the first in the list wins (noisy-MAX);
//! - an outcome that says *gone* after something was swapped needs every acting cause of that sign to be mended by the swap.

mod fault;
mod read;
mod reader;
mod rows;
mod spare;
mod trial;

#[cfg(test)]
mod tests;

pub use fault::{BaseFault, BaseFaultKind};
pub use spare::{FLEETS, Spare};

/// The knowledge that comes with the program.
pub const KNOWLEDGE: &str = include_str!("knowledge.toml");

/// The newest layout of the text that this program reads.
pub const BASE_FORMAT: i64 = 1;

/// Where the numbers of an entry come from.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Basis {
    /// Judged by somebody who knows such craft; no source outside.
    ExpertEstimate,
    /// From a source, which is named.
    Sourced(String),
}

impl Basis {
    /// In words.
    pub fn words(&self) -> String {
        match self {
            Basis::ExpertEstimate => "expert estimate".to_owned(),
            Basis::Sourced(source) => format!("sourced: {source}"),
        }
    }
}

/// Something about the craft, the day or the bench that is so or not.
#[derive(Clone, Debug, PartialEq)]
pub struct Fact {
    /// Its id.
    pub id: String,
    /// What it means.
    pub is: String,
    /// Whether it holds where nothing is said.
    pub usually: bool,
    /// Where it is read from: parts, wiring, settings, journal, session, at hand.
    pub from: String,
}

/// What makes causes more likely: a fact that holds, or a rule that a craft breaks.
#[derive(Clone, Debug, PartialEq)]
pub struct Raise {
    /// The fact or the rule.
    pub id: String,
    /// Causes by place in the list, each with what its weight is multiplied with.
    pub factors: Vec<(usize, f64)>,
    /// Whether the square root of the factor counts where the rule says *tight*.
    pub tight: bool,
    /// Whence the numbers.
    pub basis: Basis,
}

/// What a person can see.
#[derive(Clone, Debug, PartialEq)]
pub struct Sign {
    /// Its id.
    pub id: String,
    /// What is seen.
    pub is: String,
    /// How often it is seen though no cause of it acts.
    pub leak: f64,
    /// How long looking takes.
    pub minutes: f64,
    /// Whence the numbers.
    pub basis: Basis,
}

/// On which side of the link a cause lies.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Side {
    /// On the craft.
    Air,
    /// At the pilot's end.
    Ground,
    /// In settings and images.
    Settings,
    /// Round about: other pilots, walls, light.
    Surroundings,
}

impl Side {
    /// Every side.
    pub const ALL: [Side; 4] = [Side::Air, Side::Ground, Side::Settings, Side::Surroundings];

    /// The word of the side.
    pub const fn word(self) -> &'static str {
        match self {
            Side::Air => "air",
            Side::Ground => "ground",
            Side::Settings => "settings",
            Side::Surroundings => "surroundings",
        }
    }
}

/// A fault that may act.
#[derive(Clone, Debug, PartialEq)]
pub struct Cause {
    /// Its id.
    pub id: String,
    /// What it is.
    pub is: String,
    /// How many of a hundred visits to the bench it brings, before facts.
    pub weight: f64,
    /// Where it lies.
    pub side: Side,
    /// Facts without which it cannot be, by place in the list.
    pub needs: Vec<usize>,
    /// Signs by place in the list, each with the chance that this cause alone brings it.
    pub signs: Vec<(usize, f64)>,
    /// Whence the numbers.
    pub basis: Basis,
}

/// What the first outcome of a test says.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Reads {
    /// That something is wrong: any of its causes may bring it.
    Fault,
    /// That the sign is gone: every acting cause of the sign was mended by what was done.
    Cure,
}

/// What can be said about one outcome.
#[derive(Clone, Debug, PartialEq)]
pub struct Outcome {
    /// The word for it.
    pub word: String,
    /// Its chance when a cause acts that is not listed, or none.
    pub other: f64,
    /// Its chance when that cause alone acts, by place in the list of causes.
    pub given: Vec<(usize, f64)>,
}

/// Something that can be tried to learn what is wrong.
#[derive(Clone, Debug, PartialEq)]
pub struct Test {
    /// Its id.
    pub id: String,
    /// What to do.
    pub does: String,
    /// How long it takes on the bench, covers off included.
    pub minutes: f64,
    /// What it uses up, in sets of blades.
    pub parts: f64,
    /// 0 none, 1 may disturb settings or wear a plug, 2 may hurt a part, 3 may hurt a person.
    pub risk: u8,
    /// Tools by place in [`Base::tools`].
    pub tools: Vec<usize>,
    /// Facts that must hold, by place.
    pub needs: Vec<usize>,
    /// Cautions that come first, by place.
    pub first: Vec<usize>,
    /// Signs or facts while which it must not be tried.
    pub never_while: Vec<Hindrance>,
    /// Tests that must have come first, by place.
    pub after: Vec<usize>,
    /// How several causes combine in it.
    pub reads: Reads,
    /// The repair that is as good as done when the first outcome of a cure comes, by place.
    pub stands_for: Option<usize>,
    /// Every outcome but the last, which takes the rest.
    pub shown: Vec<Outcome>,
    /// The word for the last outcome.
    pub last: String,
    /// Whence the numbers.
    pub basis: Basis,
}

impl Test {
    /// Every outcome by its word, in order.
    pub fn outcomes(&self) -> impl Iterator<Item = &str> {
        self.shown.iter().map(|outcome| outcome.word.as_str()).chain([self.last.as_str()])
    }

    /// How many outcomes there are.
    pub fn outcome_count(&self) -> usize {
        self.shown.len() + 1
    }
}

/// What forbids a test for now.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Hindrance {
    /// A sign that was seen.
    Sign(usize),
    /// A fact that holds.
    Fact(usize),
}

/// Something that mends causes.
#[derive(Clone, Debug, PartialEq)]
pub struct Repair {
    /// Its id.
    pub id: String,
    /// What to do.
    pub does: String,
    /// The causes it mends, by place.
    pub mends: Vec<usize>,
    /// How long it takes.
    pub minutes: f64,
    /// What it uses up, in sets of blades.
    pub parts: f64,
    /// How often it succeeds where one of its causes acts.
    pub works: f64,
    /// Cautions that come first, by place.
    pub first: Vec<usize>,
    /// How it is proved.
    pub prove: String,
    /// Whence the numbers.
    pub basis: Basis,
}

/// A sentence of caution.
#[derive(Clone, Debug, PartialEq)]
pub struct Caution {
    /// Its id.
    pub id: String,
    /// The sentence.
    pub says: String,
}

/// What brings a pilot to the bench, in the pilot's words.
#[derive(Clone, Debug, PartialEq)]
pub struct Complaint {
    /// Its id.
    pub id: String,
    /// The pilot's words.
    pub words: String,
    /// The sign it comes down to, by place.
    pub sign: usize,
    /// Signs that are seen with it, by place.
    pub also: Vec<usize>,
    /// What it usually is.
    pub usually: String,
    /// What people do wrongly.
    pub wrongly: String,
    /// What comes first.
    pub first: String,
}

/// Half of a pair of observations that cannot both hold.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Half {
    /// A sign that was seen, or looked for and not seen.
    Sign(usize, bool),
    /// An outcome of a test, by places of test and outcome.
    Test(usize, usize),
}

/// Two observations that cannot both hold.
#[derive(Clone, Debug, PartialEq)]
pub struct Clash {
    /// The two.
    pub both: [Half; 2],
    /// When, if not always.
    pub note: String,
}

/// Causes with the same repair: no test between them is worth a minute.
#[derive(Clone, Debug, PartialEq)]
pub struct Alike {
    /// The causes, by place.
    pub causes: Vec<usize>,
    /// What to add.
    pub note: String,
}

/// All that is known.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Base {
    /// What a certainly sound rule divides its causes by.
    pub sound_divides: f64,
    /// What one set of blades counts for, in minutes of the bench.
    pub minutes_per_part: f64,
    /// What handing the craft to somebody else counts for, in minutes.
    pub hand_over_minutes: f64,
    /// What the leak of the complaint itself is multiplied with.
    pub complaint_leak: f64,
    /// How likely "perhaps" is said when it is so.
    pub perhaps: f64,
    /// How many visits the weights count for against the fleet's own verdicts.
    pub lore_visits: f64,
    /// How many looks a chance counts for against the fleet's own.
    pub lore_looks: f64,
    /// How often a complaint goes away after a repair that mended none of its causes.
    pub fluke: f64,
    /// What it takes to make a swap that helped permanent, beside its parts.
    pub settle_minutes: f64,
    /// Every tool that a test may want.
    pub tools: Vec<String>,
    /// Cautions.
    pub cautions: Vec<Caution>,
    /// Facts.
    pub facts: Vec<Fact>,
    /// What facts raise: the id is a fact's.
    pub events: Vec<Raise>,
    /// What rules raise: the id is a rule's.
    pub rules: Vec<Raise>,
    /// Signs.
    pub signs: Vec<Sign>,
    /// Causes.
    pub causes: Vec<Cause>,
    /// Tests.
    pub tests: Vec<Test>,
    /// Repairs.
    pub repairs: Vec<Repair>,
    /// Complaints.
    pub complaints: Vec<Complaint>,
    /// Pairs that cannot both hold.
    pub clashes: Vec<Clash>,
    /// Causes not worth telling apart.
    pub alike: Vec<Alike>,
    /// What must never be tried.
    pub nevers: Vec<String>,
    /// Parts worth carrying.
    pub spares: Vec<Spare>,
}

impl Base {
    /// The knowledge that comes with the program, and what is wrong with it (nothing, as its test proves).
    pub fn embedded() -> (Base, Vec<BaseFault>) {
        Base::read(KNOWLEDGE)
    }

    /// Reads a text; everything that is wrong with it is told.
    pub fn read(text: &str) -> (Base, Vec<BaseFault>) {
        read::read(text, None)
    }

    /// Lays a second text over this knowledge: entries of the same id take the place of ours, others are added.
    pub fn with(&self, text: &str) -> (Base, Vec<BaseFault>) {
        read::read(text, Some(self))
    }

    /// The place of a sign.
    pub fn sign(&self, id: &str) -> Option<usize> {
        self.signs.iter().position(|sign| sign.id == id)
    }

    /// The place of a cause.
    pub fn cause(&self, id: &str) -> Option<usize> {
        self.causes.iter().position(|cause| cause.id == id)
    }

    /// The place of a test.
    pub fn test(&self, id: &str) -> Option<usize> {
        self.tests.iter().position(|test| test.id == id)
    }

    /// The place of a repair.
    pub fn repair(&self, id: &str) -> Option<usize> {
        self.repairs.iter().position(|repair| repair.id == id)
    }

    /// The place of a fact.
    pub fn fact(&self, id: &str) -> Option<usize> {
        self.facts.iter().position(|fact| fact.id == id)
    }

    /// The chance that a cause alone brings a sign; nought where it is not listed.
    pub fn link(&self, cause: usize, sign: usize) -> f64 {
        self.causes[cause].signs.iter().find(|(at, _)| *at == sign).map_or(0.0, |(_, chance)| *chance)
    }
}
