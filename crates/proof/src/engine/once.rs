//! One thing that is wrong keeps many rules from judging: it is told once, and the others say where.
//!
//! A level that the transmitter does not offer leaves link, supply and heat unknown alike. The first finding that names such a cause keeps
//! its words and its mend and names who waits for it; of the others each says what it waits for. Facts that are merely missing are named
//! by each rule, for one may be entered at each.

use crate::{Finding, Verdict};
use std::collections::HashMap;

/// So many of those that wait are named.
const NAMED: usize = 3;

/// Tells each shared cause once. Findings of one rule about several things may share a cause too.
pub(super) fn told_once(findings: &mut [Finding]) {
    let mut causes: HashMap<(String, Vec<String>), Vec<usize>> = HashMap::new();
    for (k, finding) in findings.iter().enumerate() {
        let is_cause = finding.verdict == Verdict::Unknown && finding.missing.is_empty();
        if is_cause && !finding.mends.is_empty() {
            causes.entry((finding.message.clone(), finding.mends.clone())).or_default().push(k);
        }
    }
    for waiting in causes.into_values().filter(|waiting| waiting.len() > 1) {
        let [first, rest @ ..] = waiting.as_slice() else { continue };
        let (rule, subject) = (findings[*first].rule, findings[*first].subject.clone());
        let mut others: Vec<&str> = rest.iter().map(|k| findings[*k].rule).collect();
        others.dedup();
        let more = others.len().saturating_sub(NAMED);
        let mut named = others[..others.len().min(NAMED)].join(", ");
        if more > 0 {
            named += &format!(" and {more} more");
        }
        findings[*first].message += &format!(". For this wait {named}");
        for k in rest {
            findings[*k].message = format!("Nobody can say before what {rule} names is mended ({subject})");
            findings[*k].mends = vec![format!("Mend what {rule} names first; then this is judged.")];
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn unknown(rule: &'static str, message: &str) -> Finding {
        Finding::new(rule, Verdict::Unknown, "level", message).mend("Write it otherwise.")
    }

    #[test]
    fn a_shared_cause_is_told_once_and_the_others_say_where() {
        let rules = ["link.a", "feed.b", "feed.c", "heat.d", "heat.e"];
        let mut findings: Vec<Finding> =
            rules.map(|rule| unknown(rule, "Nobody can say yet: no such level")).into();
        findings.push(unknown("heat.f", "Nobody can say yet: no plug"));
        told_once(&mut findings);
        let words: Vec<&str> = findings.iter().map(|finding| finding.message.as_str()).collect();
        assert_eq!(
            words[0],
            "Nobody can say yet: no such level. For this wait feed.b, feed.c, heat.d and 1 more"
        );
        assert_eq!(words[1], "Nobody can say before what link.a names is mended (level)");
        assert_eq!(findings[4].mends, ["Mend what link.a names first; then this is judged."]);
        assert_eq!((words[5], findings[0].mends.len()), ("Nobody can say yet: no plug", 1));
    }

    #[test]
    fn missing_facts_stay_with_each_rule() {
        let missing = |rule| Finding::unknown(rule, "plug", Vec::new());
        let mut findings = vec![missing("feed.a"), missing("feed.b")];
        let before = findings.clone();
        told_once(&mut findings);
        assert_eq!(findings, before);
    }
}
