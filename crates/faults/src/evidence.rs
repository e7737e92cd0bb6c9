//! What was seen, tried and mended, and how sure of it one is.

use crate::base::{Base, Half};

/// What is said of something that is so or not.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Said {
    /// It is so.
    Yes,
    /// It is not so.
    No,
    /// Perhaps: the likelihood of saying so when it is so; when it is not, the rest. From 0 to 1; a half says nothing.
    Perhaps(f64),
}

impl Said {
    /// The likelihoods of saying this: when it is so, and when not.
    pub fn likelihoods(self) -> (f64, f64) {
        match self {
            Said::Yes => (1.0, 0.0),
            Said::No => (0.0, 1.0),
            Said::Perhaps(sure) => (sure, 1.0 - sure),
        }
    }
}

/// One thing observed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Observation {
    /// A sign was looked for.
    Sign {
        /// Which, by place.
        sign: usize,
        /// What was seen.
        said: Said,
    },
    /// A test was made.
    Test {
        /// Which, by place.
        test: usize,
        /// Its outcome, by place.
        outcome: usize,
        /// The likelihood of reporting this outcome when it is the true one; the others share the rest.
        sure: f64,
    },
    /// A repair was made, and the complaint is gone or stays.
    Repair {
        /// Which, by place.
        repair: usize,
        /// Whether the complaint is gone.
        gone: bool,
    },
}

impl Observation {
    /// The half of a pair it stands for, if it is certain.
    pub(crate) fn half(&self) -> Option<Half> {
        match *self {
            Observation::Sign { sign, said: Said::Yes } => Some(Half::Sign(sign, true)),
            Observation::Sign { sign, said: Said::No } => Some(Half::Sign(sign, false)),
            Observation::Test { test, outcome, sure } if sure >= 1.0 => Some(Half::Test(test, outcome)),
            _ => None,
        }
    }

    /// Whether two speak of the same thing, so that the later takes the place of the earlier: a repeated test is no new evidence.
    pub fn same_question(&self, other: &Observation) -> bool {
        match (self, other) {
            (Observation::Sign { sign: a, .. }, Observation::Sign { sign: b, .. }) => a == b,
            (Observation::Test { test: a, .. }, Observation::Test { test: b, .. }) => a == b,
            (Observation::Repair { repair: a, .. }, Observation::Repair { repair: b, .. }) => a == b,
            _ => false,
        }
    }

    /// In words, such as `reseat_harness: same`.
    pub fn words(&self, base: &Base) -> String {
        match *self {
            Observation::Sign { sign, said } => {
                let id = &base.signs[sign].id;
                match said {
                    Said::Yes => format!("{id}: seen"),
                    Said::No => format!("{id}: not seen"),
                    Said::Perhaps(sure) => format!("{id}: perhaps ({:.0} %)", 100.0 * sure),
                }
            }
            Observation::Test { test, outcome, sure } => {
                let word = base.tests[test].outcomes().nth(outcome).unwrap_or("?");
                let doubt =
                    if sure < 1.0 { format!(", perhaps ({:.0} %)", 100.0 * sure) } else { String::new() };
                format!("{}: {word}{doubt}", base.tests[test].id)
            }
            Observation::Repair { repair, gone } => {
                format!("{}: {}", base.repairs[repair].id, if gone { "gone" } else { "stays" })
            }
        }
    }

    /// The same in words that need no list of ids, with the id behind them.
    pub fn plain(&self, base: &Base) -> String {
        let is = match *self {
            Observation::Sign { sign, .. } => &base.signs[sign].is,
            Observation::Test { test, .. } => &base.tests[test].does,
            Observation::Repair { repair, .. } => &base.repairs[repair].does,
        };
        let words = self.words(base);
        let (id, said) = words.split_once(": ").unwrap_or((&words, ""));
        format!("{is} ({id}): {}", said.replace('_', " "))
    }
}

/// Everything observed, and the complaint it is about.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Evidence {
    /// The sign that brought the craft to the bench; it counts as seen.
    pub complaint: Option<usize>,
    /// What was observed, in order; of two about the same question the later counts.
    pub seen: Vec<Observation>,
}

impl Evidence {
    /// What counts, with places in `seen`; the complaint is not among them.
    pub fn counting(&self) -> Vec<(usize, Observation)> {
        let last = |place: usize, one: &Observation| {
            !self.seen[place + 1..].iter().any(|later| later.same_question(one)) && !self.is_complaint(one)
        };
        self.seen
            .iter()
            .enumerate()
            .filter(|(place, one)| last(*place, one))
            .map(|(place, one)| (place, *one))
            .collect()
    }

    fn is_complaint(&self, one: &Observation) -> bool {
        matches!(one, Observation::Sign { sign, .. } if Some(*sign) == self.complaint)
    }

    /// Whether a sign was last said not to be seen, for certain.
    pub(crate) fn denies(&self, sign: usize) -> bool {
        let last = self.seen.iter().rev().find_map(|one| match one {
            Observation::Sign { sign: at, said } if *at == sign => Some(*said),
            _ => None,
        });
        last == Some(Said::No)
    }

    /// Whether a sign was looked for, or is the complaint.
    pub fn looked_for(&self, sign: usize) -> bool {
        self.complaint == Some(sign)
            || self.seen.iter().any(|one| matches!(one, Observation::Sign { sign: at, .. } if *at == sign))
    }

    /// Whether a test was made.
    pub fn tried(&self, test: usize) -> bool {
        self.seen.iter().any(|one| matches!(one, Observation::Test { test: at, .. } if *at == test))
    }

    /// Whether a test was made, with certainty, and ended in its last outcome, which is the one where nothing is amiss. The latest answer counts.
    pub fn proved(&self, base: &Base, test: usize) -> bool {
        let last = self.seen.iter().rev().find_map(|one| match one {
            Observation::Test { test: at, outcome, sure } if *at == test => Some((*outcome, *sure)),
            _ => None,
        });
        last.is_some_and(|(outcome, sure)| sure >= 1.0 && outcome + 1 == base.tests[test].outcome_count())
    }

    /// Whether a sign was certainly seen.
    pub fn saw(&self, sign: usize) -> bool {
        self.complaint == Some(sign)
            || self
                .counting()
                .iter()
                .any(|(_, one)| matches!(one, Observation::Sign { sign: at, said: Said::Yes } if *at == sign))
    }

    /// The repairs made that left the complaint as it was.
    pub fn repaired(&self) -> Vec<usize> {
        self.counting()
            .iter()
            .filter_map(|(_, one)| match one {
                Observation::Repair { repair, .. } => Some(*repair),
                _ => None,
            })
            .collect()
    }
}
