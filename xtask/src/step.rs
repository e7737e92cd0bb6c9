//! What a step of work comes to, and the lines that say so at the end.
//!
//! A step is done, failed, or could not be run because this machine lacks something; the last is told apart
//! so that a reader without a browser or Python still sees what was checked. On a machine that checks submissions
//! (`CI` is set) nothing may be lacking, so there it counts as failed.

use std::fmt;
use std::time::Duration;

/// Why a step did not end well.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Trouble {
    /// It ran and found something, or could not be carried out.
    Failed(String),
    /// The machine lacks something; the words say what, and how to get it.
    Lacking(String),
    /// The command line asks for something that does not exist.
    Usage(String),
}

impl fmt::Display for Trouble {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Trouble::Failed(words) | Trouble::Lacking(words) | Trouble::Usage(words) => out.write_str(words),
        }
    }
}

/// How a step ended.
pub type Outcome = Result<(), Trouble>;

/// A step that was tried.
pub struct Tried {
    /// Its name, as `--only` takes it.
    pub name: &'static str,
    /// How it ended.
    pub outcome: Outcome,
    /// How long it took.
    pub took: Duration,
}

/// Whether something that is lacking counts as failed.
pub fn strict() -> bool {
    std::env::var("CI").is_ok_and(|value| !value.is_empty() && value != "false" && value != "0")
}

/// A line for each step and a closing line; and whether all is well.
pub fn summary(tried: &[Tried], strict: bool) -> (String, bool) {
    let width = tried.iter().map(|step| step.name.len()).max().unwrap_or(0);
    let mut lines = String::new();
    let mut counts = [0_usize; 3];
    for step in tried {
        let (word, index, why) = match &step.outcome {
            Ok(()) => ("ok", 0, String::new()),
            Err(Trouble::Lacking(why)) if !strict => ("not run", 2, why.clone()),
            Err(trouble) => ("failed", 1, trouble.to_string()),
        };
        counts[index] += 1;
        let seconds = step.took.as_secs_f64();
        let line = format!("{word:<8} {:<width$} {seconds:>7.1} s  {why}", step.name);
        lines.push_str(line.trim_end());
        lines.push('\n');
    }
    let [well, failed, lacking] = counts;
    let took: Duration = tried.iter().map(|step| step.took).sum();
    lines.push_str(&format!("\n{well} of {} steps ok", tried.len()));
    for (count, word) in [(failed, "failed"), (lacking, "not run for want of something on this machine")] {
        if count > 0 {
            lines.push_str(&format!(", {count} {word}"));
        }
    }
    lines.push_str(&format!(", in {:.0} s\n", took.as_secs_f64()));
    (lines, failed == 0 && well > 0)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn tried(outcomes: &[Outcome]) -> Vec<Tried> {
        let step = |outcome: &Outcome| Tried {
            name: "step",
            outcome: outcome.clone(),
            took: Duration::from_millis(1500),
        };
        outcomes.iter().map(step).collect()
    }

    #[test]
    fn every_step_has_its_line_and_the_last_line_counts() {
        let steps = tried(&[
            Ok(()),
            Err(Trouble::Failed("status 101".into())),
            Err(Trouble::Lacking("no npm".into())),
        ]);
        let (lines, well) = summary(&steps, false);
        assert_eq!(
            lines,
            "ok       step     1.5 s\n\
             failed   step     1.5 s  status 101\n\
             not run  step     1.5 s  no npm\n\n\
             1 of 3 steps ok, 1 failed, 1 not run for want of something on this machine, in 4 s\n"
        );
        assert!(!well);
    }

    #[test]
    fn what_is_lacking_fails_only_where_nothing_may_be_lacking() {
        let steps = tried(&[Ok(()), Err(Trouble::Lacking("no npm".into()))]);
        assert!(summary(&steps, false).1);
        assert!(!summary(&steps, true).1);
    }

    #[test]
    fn a_run_in_which_nothing_succeeded_is_not_well() {
        assert!(!summary(&[], false).1);
        assert!(!summary(&tried(&[Err(Trouble::Lacking("no npm".into()))]), false).1);
    }
}
