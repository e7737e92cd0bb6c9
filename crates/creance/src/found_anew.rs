//! What proving a craft with a change finds that was not found without it: told before the change is taken, and refused by nothing.
//!
//! A finding is new where no finding of the same rule on the same subject was as bad before. Only what is broken or tight is told.

use craft::{Craft, Edit};
use proof::{Finding, Verdict, prove};

/// What a step makes broken or tight, worst first; nothing where the step cannot be taken, which taking it tells.
pub fn found_anew(craft: &Craft, before: &[Finding], step: &Edit) -> Vec<Finding> {
    let Ok(after) = craft::apply(craft, step) else { return Vec::new() };
    let mut new: Vec<Finding> =
        prove(&after).findings.into_iter().filter(|finding| is_new(finding, before)).collect();
    new.sort_by_key(|finding| finding.verdict);
    new
}

fn is_new(finding: &Finding, before: &[Finding]) -> bool {
    let as_bad = |known: &Finding| {
        known.rule == finding.rule && known.subject == finding.subject && known.verdict <= finding.verdict
    };
    matches!(finding.verdict, Verdict::Broken | Verdict::Tight) && !before.iter().any(as_bad)
}

/// The heading over what was found.
pub fn heading(new: &[Finding]) -> Option<String> {
    let broken = new.iter().filter(|finding| finding.verdict == Verdict::Broken).count();
    let tight = new.len() - broken;
    let words = match (broken, tight) {
        (0, 0) => return None,
        (broken, 0) => format!("{broken} broken"),
        (0, tight) => format!("{tight} tight"),
        (broken, tight) => format!("{broken} broken, {tight} tight"),
    };
    Some(format!("With it in the craft the rules find anew: {words}."))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn finding(rule: &'static str, verdict: Verdict, subject: &str) -> Finding {
        Finding::new(rule, verdict, subject, "so it is")
    }

    #[test]
    fn what_was_as_bad_before_is_not_new() {
        let before = [
            finding("fit.a", Verdict::Tight, "lens"),
            finding("fit.b", Verdict::Sound, "lens"),
            finding("fit.c", Verdict::Broken, "lens"),
        ];
        let new = |rule, verdict, subject| is_new(&finding(rule, verdict, subject), &before);
        assert!(!new("fit.a", Verdict::Tight, "lens") && new("fit.a", Verdict::Broken, "lens"));
        assert!(new("fit.a", Verdict::Tight, "camera") && new("fit.b", Verdict::Tight, "lens"));
        assert!(!new("fit.c", Verdict::Tight, "lens") && !new("fit.d", Verdict::Sound, "lens"));
    }
}
