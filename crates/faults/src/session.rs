//! A mending session as it is kept: by ids and moments, so that it outlives changes of the knowledge and the closing of a page.
//!
//! Nothing is struck from a session: what is taken back stays in it with the moment it was taken back. Moments are texts the caller gives.

use crate::advice::Means;
use crate::base::Base;
use crate::evidence::{Evidence, Observation, Said};
use crate::facts::Facts;
use crate::posterior::clash;
use serde::{Deserialize, Serialize};
use std::collections::{BTreeMap, BTreeSet};
use std::fmt;

/// What was answered.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(tag = "kind", rename_all = "snake_case")]
pub enum Answer {
    /// A sign was looked for.
    Sign {
        /// Its id.
        id: String,
        /// How likely the pilot says so when it is there: 1 seen, 0 not seen, between: perhaps.
        seen: f64,
    },
    /// A test was made.
    Test {
        /// Its id.
        id: String,
        /// The word of its outcome.
        outcome: String,
        /// How sure of it; 1 is certain.
        sure: f64,
    },
    /// A repair was made.
    Repair {
        /// Its id.
        id: String,
        /// Whether the complaint is gone.
        gone: bool,
    },
}

/// One answer with its moments.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Entry {
    /// When it was given.
    pub at: String,
    /// What it was.
    pub answer: Answer,
    /// When it was taken back, if it was.
    pub taken_back: Option<String>,
}

/// How it ended.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Verdict {
    /// When.
    pub at: String,
    /// The causes that were found; none if nobody knows.
    pub causes: Vec<String>,
    /// The repair that was made, if one.
    pub repair: Option<String>,
    /// What to add.
    pub words: String,
}

/// A session.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, Default)]
pub struct Session {
    /// The sign that brought the craft to the bench.
    pub complaint: String,
    /// When it began.
    pub begun: String,
    /// What it is about, in words, where more is known than the complaint.
    #[serde(default)]
    pub about: String,
    /// Facts that were said, by id.
    pub facts: BTreeMap<String, bool>,
    /// Those of them that were said of the session before and not yet here, by id.
    #[serde(default)]
    pub carried: BTreeSet<String>,
    /// Tools that are not at hand, by name.
    pub lacking: Vec<String>,
    /// Tests that were struck out, by id.
    pub struck: Vec<String>,
    /// Whether minutes weigh double.
    pub at_the_field: bool,
    /// The answers.
    pub entries: Vec<Entry>,
    /// The end.
    pub verdict: Option<Verdict>,
}

/// What is wrong with what was said in a session.
#[derive(Clone, Debug, PartialEq)]
pub enum SessionFault {
    /// An id that the knowledge does not have.
    NoSuch {
        /// `sign`, `test`, …
        sort: &'static str,
        /// The id.
        id: String,
        /// What was probably meant.
        did_you_mean: Option<String>,
    },
    /// A test has no such outcome.
    NoOutcome {
        /// The test.
        test: String,
        /// The word.
        word: String,
        /// Those it has.
        has: Vec<String>,
    },
    /// A likelihood that is none.
    Likelihood {
        /// What was given.
        given: f64,
    },
    /// No answer of that number.
    NoEntry {
        /// The number, from 1.
        number: usize,
        /// How many there are.
        count: usize,
    },
    /// The session has ended.
    Ended,
    /// More answers than a session may hold.
    TooLong,
}

/// Where facts come from that say what lies on the bench.
const AT_HAND: &str = "at hand";
/// The most answers of one session.
const ENTRIES_MOST: usize = 500;

impl fmt::Display for SessionFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            SessionFault::NoSuch { sort, id, did_you_mean } => {
                let mend = did_you_mean.as_ref().map_or("the manual lists them all".to_owned(), |near| {
                    format!("did you mean \"{near}\"?")
                });
                write!(f, "there is no {sort} \"{id}\"; {mend}")
            }
            SessionFault::NoOutcome { test, word, has } => {
                write!(f, "test \"{test}\" has no outcome \"{word}\"; say one of {}", has.join(", "))
            }
            SessionFault::Likelihood { given } => {
                write!(f, "a likelihood of {given} must be from 0 to 1, such as 0.7 for perhaps")
            }
            SessionFault::NoEntry { number, count } => {
                write!(f, "there is no answer number {number}; the session has {count}")
            }
            SessionFault::Ended => write!(f, "this session has ended; begin a new one"),
            SessionFault::TooLong => {
                write!(f, "a session holds at most {ENTRIES_MOST} answers; end it and begin a new one")
            }
        }
    }
}

fn no_such<'a>(sort: &'static str, id: &str, names: impl Iterator<Item = &'a str>) -> SessionFault {
    SessionFault::NoSuch {
        sort,
        id: id.to_owned(),
        did_you_mean: quantity::near_name(id, names).map(str::to_owned),
    }
}

impl Answer {
    /// The answer as an observation of this knowledge.
    pub fn observation(&self, base: &Base) -> Result<Observation, SessionFault> {
        let likelihood = |given: f64| {
            if (0.0..=1.0).contains(&given) { Ok(given) } else { Err(SessionFault::Likelihood { given }) }
        };
        match self {
            Answer::Sign { id, seen } => {
                let sign = base
                    .sign(id)
                    .ok_or_else(|| no_such("sign", id, base.signs.iter().map(|sign| sign.id.as_str())))?;
                let seen = likelihood(*seen)?;
                let said = if seen >= 1.0 {
                    Said::Yes
                } else if seen <= 0.0 {
                    Said::No
                } else {
                    Said::Perhaps(seen)
                };
                Ok(Observation::Sign { sign, said })
            }
            Answer::Test { id, outcome, sure } => {
                let test = base
                    .test(id)
                    .ok_or_else(|| no_such("test", id, base.tests.iter().map(|test| test.id.as_str())))?;
                let plain = outcome.replace(' ', "_");
                let place = base.tests[test].outcomes().position(|word| word == plain);
                let outcome = place.ok_or_else(|| SessionFault::NoOutcome {
                    test: id.clone(),
                    word: outcome.clone(),
                    has: base.tests[test].outcomes().map(str::to_owned).collect(),
                })?;
                Ok(Observation::Test { test, outcome, sure: likelihood(*sure)? })
            }
            Answer::Repair { id, gone } => {
                let repair = base.repair(id).ok_or_else(|| {
                    no_such("repair", id, base.repairs.iter().map(|repair| repair.id.as_str()))
                })?;
                Ok(Observation::Repair { repair, gone: *gone })
            }
        }
    }
}

impl Session {
    /// A session about a sign or a complaint, by its id.
    pub fn begin(base: &Base, complaint: &str, at: &str) -> Result<Self, SessionFault> {
        let by_words = base.complaints.iter().find(|one| one.id == complaint);
        let (sign, also) = match by_words {
            Some(one) => (base.signs[one.sign].id.clone(), one.also.clone()),
            None => {
                base.sign(complaint).ok_or_else(|| {
                    let signs = base.signs.iter().map(|sign| sign.id.as_str());
                    let names = signs.chain(base.complaints.iter().map(|one| one.id.as_str()));
                    no_such("sign or complaint", complaint, names)
                })?;
                (complaint.to_owned(), Vec::new())
            }
        };
        let mut session = Self { complaint: sign, begun: at.to_owned(), ..Self::default() };
        for sign in also {
            session.answer(base, Answer::Sign { id: base.signs[sign].id.clone(), seen: 1.0 }, at)?;
        }
        Ok(session)
    }

    /// Takes over what was at hand in the session before, tools and spares alike, so that nobody says it twice. A spare that stayed on
    /// the craft, since the repair it stands for was made, is at hand no more.
    pub fn carry(&mut self, base: &Base, before: &Session) {
        self.lacking.clone_from(&before.lacking);
        let made = before
            .verdict
            .as_ref()
            .and_then(|verdict| verdict.repair.as_deref())
            .and_then(|id| base.repair(id));
        let used = |fact: usize| {
            made.is_some()
                && base.tests.iter().any(|test| test.stands_for == made && test.needs.contains(&fact))
        };
        for (id, holds) in &before.facts {
            if let Some(fact) = base.fact(id).filter(|fact| base.facts[*fact].from == AT_HAND && !used(*fact))
            {
                self.facts.insert(base.facts[fact].id.clone(), *holds);
                self.carried.insert(id.clone());
            }
        }
    }

    /// Adds an answer.
    pub fn answer(&mut self, base: &Base, answer: Answer, at: &str) -> Result<(), SessionFault> {
        if self.verdict.is_some() {
            return Err(SessionFault::Ended);
        }
        if self.entries.len() >= ENTRIES_MOST {
            return Err(SessionFault::TooLong);
        }
        answer.observation(base)?;
        self.entries.push(Entry { at: at.to_owned(), answer, taken_back: None });
        Ok(())
    }

    /// Takes an answer back, by its number from 1.
    pub fn take_back(&mut self, number: usize, at: &str) -> Result<(), SessionFault> {
        if self.verdict.is_some() {
            return Err(SessionFault::Ended);
        }
        let count = self.entries.len();
        match number.checked_sub(1).and_then(|place| self.entries.get_mut(place)) {
            Some(entry) => {
                entry.taken_back.get_or_insert_with(|| at.to_owned());
                Ok(())
            }
            None => Err(SessionFault::NoEntry { number, count }),
        }
    }

    /// Says of a fact whether it holds.
    pub fn say(&mut self, base: &Base, fact: &str, holds: bool) -> Result<(), SessionFault> {
        if base.fact(fact).is_none() {
            return Err(no_such("fact", fact, base.facts.iter().map(|fact| fact.id.as_str())));
        }
        self.facts.insert(fact.to_owned(), holds);
        self.carried.remove(fact);
        Ok(())
    }

    /// Says whether a tool is at hand.
    pub fn tool(&mut self, base: &Base, tool: &str, at_hand: bool) -> Result<(), SessionFault> {
        if !base.tools.iter().any(|name| name == tool) {
            return Err(no_such("tool", tool, base.tools.iter().map(String::as_str)));
        }
        self.lacking.retain(|name| name != tool);
        if !at_hand {
            self.lacking.push(tool.to_owned());
        }
        Ok(())
    }

    /// Strikes a test out, or lets it stand again.
    pub fn strike(&mut self, base: &Base, test: &str, out: bool) -> Result<(), SessionFault> {
        if base.test(test).is_none() {
            return Err(no_such("test", test, base.tests.iter().map(|test| test.id.as_str())));
        }
        self.struck.retain(|name| name != test);
        if out {
            self.struck.push(test.to_owned());
        }
        Ok(())
    }

    /// Ends it.
    pub fn end(&mut self, base: &Base, mut verdict: Verdict) -> Result<(), SessionFault> {
        if self.verdict.is_some() {
            return Err(SessionFault::Ended);
        }
        if let Some(id) = verdict.causes.iter().find(|id| base.cause(id).is_none()) {
            return Err(no_such("cause", id, base.causes.iter().map(|cause| cause.id.as_str())));
        }
        if let Some(id) = verdict.repair.as_ref().filter(|id| base.repair(id).is_none()) {
            return Err(no_such("repair", id, base.repairs.iter().map(|repair| repair.id.as_str())));
        }
        let mut known = BTreeSet::new();
        verdict.causes.retain(|id| known.insert(id.clone()));
        self.verdict = Some(verdict);
        Ok(())
    }

    /// The evidence, and the numbers of answers that this knowledge no longer understands.
    pub fn evidence(&self, base: &Base) -> (Evidence, Vec<usize>) {
        let mut evidence = Evidence { complaint: base.sign(&self.complaint), seen: Vec::new() };
        let mut lost = Vec::new();
        for (place, entry) in self.entries.iter().enumerate().filter(|(_, entry)| entry.taken_back.is_none())
        {
            match entry.answer.observation(base) {
                Ok(observation) => evidence.seen.push(observation),
                Err(_) => lost.push(place + 1),
            }
        }
        (evidence, lost)
    }

    /// The facts of the craft with what was said in the session laid over them.
    pub fn facts(&self, base: &Base, craft: &Facts) -> Facts {
        let mut facts = craft.clone();
        for (id, holds) in &self.facts {
            facts.say(base, id, *holds);
        }
        facts
    }

    /// The means at hand.
    pub fn means(&self, base: &Base) -> Means {
        let tool = |name: &String| base.tools.iter().position(|tool| tool == name);
        Means {
            lacking: self.lacking.iter().filter_map(tool).collect(),
            struck: self.struck.iter().filter_map(|id| base.test(id)).collect(),
            at_the_field: self.at_the_field,
        }
    }

    /// What the fleet learns from it, once it has ended: causes, signs looked for, outcomes; only what was certain.
    #[allow(clippy::type_complexity)] // Three lists that go to one function.
    pub fn lesson(&self, base: &Base) -> Option<(Vec<usize>, Vec<(usize, bool)>, Vec<(usize, usize)>)> {
        let verdict = self.verdict.as_ref()?;
        let causes: Vec<usize> = verdict.causes.iter().filter_map(|id| base.cause(id)).collect();
        // Signs that cannot be together were not all so, and nobody knows which.
        if causes.is_empty() || clash(base, &self.evidence(base).0).is_some() {
            return None;
        }
        let (mut signs, mut outcomes) = (Vec::new(), Vec::new());
        for (_, one) in self.evidence(base).0.counting() {
            match one {
                Observation::Sign { sign, said: Said::Yes } => signs.push((sign, true)),
                Observation::Sign { sign, said: Said::No } => signs.push((sign, false)),
                Observation::Test { test, outcome, sure } if sure >= 1.0 => outcomes.push((test, outcome)),
                _ => {}
            }
        }
        Some((causes, signs, outcomes))
    }
}

#[cfg(test)]
#[path = "session_tests.rs"]
mod tests;
