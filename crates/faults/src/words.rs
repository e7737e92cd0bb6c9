//! The advice in words: what a step is, why it comes next, what remains in doubt.

use crate::advice::{Advice, OrderHolds, Step, Weighed};
use crate::base::{Base, Sign};
use crate::chance;
use crate::evidence::Evidence;
use crate::facts::Facts;

/// Signs with which the first power comes through a limit, and facts with which it does.
const SUSPECT_SIGNS: [&str; 3] = ["burnt_smell", "air_dark", "dead_after_load"];
const SUSPECT_FACTS: [&str; 2] = ["wet_flight", "recent_rewire"];

/// What tells less than this, in bits a minute, is advised for what it opens, where it opens something.
const OPENS_LEAST: f64 = 0.02;

impl Step {
    /// The id of what is done.
    pub fn id(self, base: &Base) -> &str {
        match self {
            Step::Look(sign) => &base.signs[sign].id,
            Step::Try(test) => &base.tests[test].id,
            Step::Mend(repair) => &base.repairs[repair].id,
        }
    }

    /// What to do, as a sentence that begins with a capital.
    pub fn does(self, base: &Base) -> String {
        let text = match self {
            Step::Look(sign) => {
                let Sign { is, .. } = &base.signs[sign];
                format!("look: {is}?")
            }
            Step::Try(test) => base.tests[test].does.clone(),
            Step::Mend(repair) => format!("mend: {}", base.repairs[repair].does),
        };
        capital(&text)
    }

    /// The words for its outcomes, in order.
    pub fn outcomes(self, base: &Base) -> Vec<String> {
        match self {
            Step::Look(_) => vec!["seen".to_owned(), "not seen".to_owned()],
            Step::Try(test) => base.tests[test].outcomes().map(|word| word.replace('_', " ")).collect(),
            Step::Mend(_) => vec!["gone".to_owned(), "stays".to_owned()],
        }
    }

    /// The cautions that come first, in order: those of the base, and the limited supply where a burnt smell, water, a plug that
    /// may be turned about or a dead unit is in play.
    pub fn cautions(self, base: &Base, facts: &Facts, evidence: &Evidence) -> Vec<String> {
        let first = match self {
            Step::Look(_) => &[][..],
            Step::Try(test) => &base.tests[test].first,
            Step::Mend(repair) => &base.repairs[repair].first,
        };
        let mut cautions: Vec<String> = first.iter().map(|at| base.cautions[*at].says.clone()).collect();
        let seen = |id: &&str| {
            base.sign(id).is_some_and(|sign| evidence.saw(sign) || evidence.complaint == Some(sign))
        };
        let holds = |id: &&str| base.fact(id).is_some_and(|fact| facts.holds.get(fact) == Some(&true));
        let suspect = SUSPECT_SIGNS.iter().any(seen) || SUSPECT_FACTS.iter().any(holds);
        let limited = base.cautions.iter().find(|caution| caution.id == "supply_limited");
        if let (true, Some(limited), false) = (suspect, limited, first.is_empty())
            && !cautions.contains(&limited.says)
        {
            cautions.push(limited.says.clone());
        }
        cautions
    }
}

/// A text with its first letter as a capital.
pub(crate) fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

/// A text with its first letter small.
fn uncapital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| first.to_lowercase().chain(letters).collect())
}

/// A chance in words, so that it can be read without the number.
pub fn chance_words(chance: f64) -> &'static str {
    match chance {
        _ if chance >= 0.95 => "all but certain",
        _ if chance >= 0.75 => "very likely",
        _ if chance >= 0.5 => "more likely than not",
        _ if chance >= 0.25 => "quite possible",
        _ if chance >= 0.1 => "possible",
        _ if chance >= 0.03 => "unlikely",
        _ => "hardly",
    }
}

/// A chance as whole per cent; only what is certain reads 0 or 100.
pub fn percent_words(chance: f64) -> String {
    match (100.0 * chance).round() {
        whole if whole <= 0.0 && chance > 0.0 => "under 1 %".to_owned(),
        whole if whole >= 100.0 && chance < 1.0 => "over 99 %".to_owned(),
        // The sum of no chances is a negative nought.
        whole if whole <= 0.0 => "0 %".to_owned(),
        whole => format!("{whole:.0} %"),
    }
}

/// Minutes in words.
pub fn minutes_words(minutes: f64) -> String {
    match minutes {
        _ if minutes < 0.75 => format!("{:.0} seconds", (minutes * 12.0).round() * 5.0),
        _ if (minutes - 1.0).abs() < 0.26 => "one minute".to_owned(),
        _ if minutes < 10.0 && minutes.fract() > 0.2 => format!("{minutes:.1} minutes"),
        _ => format!("{minutes:.0} minutes"),
    }
}

/// Why a step is advised.
pub fn reason(base: &Base, evidence: &Evidence, advice: &Advice, step: &Weighed) -> String {
    let time = minutes_words(step.minutes);
    match step.step {
        Step::Mend(repair) => {
            let mends = &base.repairs[repair].mends;
            let covers: f64 = advice
                .explanations
                .iter()
                .filter(|one| one.causes.iter().any(|cause| mends.contains(cause)))
                .map(|one| one.chance)
                .sum();
            let parts = base.repairs[repair].parts;
            let cost = if parts > 0.0 {
                format!(" and {parts} sets of blades' worth of parts")
            } else {
                String::new()
            };
            let why = if advice.stop_asking { "; no test would save a minute before it" } else { "" };
            format!(
                "It mends what is behind this with a chance of {}, for {time}{cost}{why}.",
                percent_words(covers)
            )
        }
        Step::Try(_) if step.bits_a_minute < OPENS_LEAST && step.opens.is_some() => {
            let then = step.opens.map(|then| then.does(base)).unwrap_or_default();
            format!("It takes {time} and must be right before this is tried: {}.", uncapital(&then))
        }
        Step::Look(_) | Step::Try(_) => match parted(base, evidence, advice, step.step) {
            _ if step.bits_a_minute < 0.005 => {
                format!("It takes {time} and tells next to nothing; what would tell more is not at hand.")
            }
            Some((one, two, ranks)) => {
                let which = if ranks { "the two likeliest causes, " } else { "" };
                format!(
                    "It tells {which}\"{}\" from \"{}\", in {time}: {:.2} bit for each minute it costs.",
                    base.causes[one].is, base.causes[two].is, step.bits_a_minute
                )
            }
            None => format!("It takes {time} and brings {:.2} bit.", step.bits),
        },
    }
}

/// The two causes that a step tells apart best, and whether they are the two likeliest.
fn parted(base: &Base, evidence: &Evidence, advice: &Advice, step: Step) -> Option<(usize, usize, bool)> {
    let top: Vec<usize> = advice
        .posterior
        .ranked_still()
        .into_iter()
        .filter(|cause| evidence.complaint.is_none_or(|sign| base.link(*cause, sign) > 0.0))
        .take(6)
        .collect();
    let first = |cause: usize| match step {
        Step::Look(sign) => chance::seen(base, sign, false, &[cause], &[])[0],
        Step::Try(test) => chance::outcomes(base, test, evidence.complaint, &[cause], &[])[0],
        Step::Mend(repair) => chance::repaired(base, repair, evidence.complaint, &[cause]),
    };
    let mut best: Option<(f64, usize, usize)> = None;
    for (place, one) in top.iter().enumerate() {
        for (further, two) in top.iter().enumerate().skip(place + 1) {
            let weight = advice.posterior.still[*one].min(advice.posterior.still[*two]);
            let worth = weight * (first(*one) - first(*two)).abs();
            if best.is_none_or(|(most, _, _)| worth > most) && worth > 0.0 {
                best = Some((worth, place, further));
            }
        }
    }
    let (_, one, two) = best?;
    // The cause that the first outcome speaks for stands first.
    let (a, b) = if first(top[one]) >= first(top[two]) { (top[one], top[two]) } else { (top[two], top[one]) };
    Some((a, b, one == 0 && two == 1))
}

/// What remains in doubt when the advice is followed as far as its first repair.
pub fn in_doubt(base: &Base, evidence: &Evidence, advice: &Advice) -> Vec<String> {
    let mends: &[usize] = advice.repairs.first().map_or(&[], |repair| &base.repairs[*repair].mends);
    let mut told = Vec::new();
    for cause in advice.posterior.ranked_still() {
        let chance = advice.posterior.still[cause];
        let brings = evidence.complaint.is_none_or(|sign| base.link(cause, sign) > 0.0);
        if chance >= 0.05 && brings && !mends.contains(&cause) {
            told.push(format!("{} ({})", base.causes[cause].is, percent_words(chance)));
        }
    }
    for alike in &base.alike {
        let live: Vec<&str> = alike
            .causes
            .iter()
            .filter(|cause| advice.posterior.still[**cause] >= 0.05)
            .map(|cause| base.causes[*cause].is.as_str())
            .collect();
        if live.len() > 1 {
            let note = if alike.note.is_empty() { String::new() } else { format!(", {}", alike.note) };
            told.push(format!(
                "{}: one repair for all, so no test between them is worth a minute{note}",
                live.join(" or ")
            ));
        }
    }
    told
}

/// Whether the order of repairs is proved best, in words.
pub fn order_words(advice: &Advice) -> String {
    if advice.nothing_left {
        return "No repair that is known and at hand is left to try. If one of them was made badly it may still be the cause: take that answer back, or hand the craft over.".to_owned();
    }
    match &advice.order_holds {
        OrderHolds::Yes => "Repairs stand by chance over cost, which is proved to cost least here: one fault, one repair for each cause, a check after each.".to_owned(),
        OrderHolds::RuleOfThumb(why) => format!("Repairs stand by chance over cost; here that is a rule of thumb, since {why}."),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_what_is_certain_reads_0_or_100() {
        let told = [-0.0, 0.0, 0.001, 0.126, 0.996, 1.0].map(percent_words);
        assert_eq!(told, ["0 %", "0 %", "under 1 %", "13 %", "over 99 %", "100 %"]);
    }
}
