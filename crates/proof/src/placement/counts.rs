//! Findings by verdict.

use crate::{Finding, Verdict};

/// How many findings of each verdict.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Counts {
    /// Broken.
    pub broken: usize,
    /// Tight.
    pub tight: usize,
    /// Unknown.
    pub unknown: usize,
    /// Sound.
    pub sound: usize,
}

impl Counts {
    /// Counts findings by verdict.
    pub fn of(findings: &[Finding]) -> Self {
        let count = |verdict| findings.iter().filter(|finding| finding.verdict == verdict).count();
        Self {
            broken: count(Verdict::Broken),
            tight: count(Verdict::Tight),
            unknown: count(Verdict::Unknown),
            sound: count(Verdict::Sound),
        }
    }

    /// The worst verdict among them.
    pub fn verdict(&self) -> Verdict {
        let counts = [self.broken, self.tight, self.unknown];
        let worst = Verdict::ALL.into_iter().zip(counts).find(|(_, count)| *count > 0);
        worst.map_or(Verdict::Sound, |(verdict, _)| verdict)
    }
}
