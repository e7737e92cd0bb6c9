//! `creance check`: what the rules say of a craft.

use super::Outcome;
use super::subject::SubjectArgs;
use crate::output::{folded, say};
use crate::refusal::Refusal;
use crate::wire::told::{CheckTold, as_json};
use clap::Args;
use craft::Craft;
use proof::{Finding, Margin, Proved, Verdict, three_figures};
use std::fmt::Write;

/// What to check.
#[derive(Args)]
#[command(after_long_help = JSON)]
pub struct CheckArgs {
    #[command(flatten)]
    subject: SubjectArgs,
    /// Print JSON instead of text
    #[arg(long)]
    json: bool,
    /// Print what is sound in full too: ranges, distances, and what to mind
    #[arg(long)]
    full: bool,
}

const JSON: &str = "\
With --json it prints one object:
  {\"craft\": {\"id\", \"name\", \"class\"}, \"verdict\", \"counts\": {\"broken\", \"tight\", \"unknown\", \"sound\"},
   \"findings\": [{\"rule\", \"verdict\", \"margin\", \"unit\", \"certainty\", \"message\", \"mend\"}, …]}
  verdict    broken, tight, unknown or sound; that of the craft is the worst of its findings
  margin     what is in hand, negative what is short, in unit; null where nothing was measured
  certainty  how likely the requirement holds, 0 to 1; null where no doubt enters
  mend       what to do, cheapest first; null where nothing is to be done
Findings come worst first. Keys are never renamed or dropped; new ones may be added.

Exit status: 0 nothing is broken, 1 something is, 2 bad input or usage.";

/// Checks a craft.
pub fn check(args: &CheckArgs) -> Result<Outcome, Refusal> {
    let subject = args.subject.find()?;
    let proved = subject.proved();
    let craft = subject.craft;
    say(&if args.json {
        as_json(&CheckTold::new(&craft, &proved))
    } else {
        text(&craft, &proved, args.full)
    })?;
    Ok(Outcome::of(&proved))
}

fn text(craft: &Craft, proved: &Proved, sound_in_full: bool) -> String {
    let class = craft.class.map_or("class not said", |class| class.plain());
    let mut out = format!("{} ({class}): {}\n", craft.name, proved.verdict().word());
    if proved.findings.is_empty() {
        out.push_str("\nNo rule has anything to say yet: put parts in their places first.\n");
    }
    for verdict in Verdict::ALL {
        let group: Vec<&Finding> =
            proved.findings.iter().filter(|finding| finding.verdict == verdict).collect();
        if group.is_empty() {
            continue;
        }
        let _ = writeln!(out, "\n{} ({})", capital(verdict.word()), group.len());
        for finding in group {
            match verdict {
                Verdict::Sound if !sound_in_full => brief(&mut out, finding),
                _ => full(&mut out, finding),
            }
        }
    }
    out
}

fn capital(word: &str) -> String {
    let mut letters = word.chars();
    letters.next().map_or(String::new(), |first| first.to_uppercase().collect::<String>() + letters.as_str())
}

fn brief(out: &mut String, finding: &Finding) {
    let margin = finding.margin.map_or(String::new(), |margin| format!(", {}", in_hand(&margin)));
    let _ = writeln!(out, "  {}: {}{margin}", finding.rule, finding.subject);
}

fn full(out: &mut String, finding: &Finding) {
    let _ = writeln!(out, "  {}: {}", finding.rule, finding.subject);
    let _ = writeln!(out, "{}", folded(&finding.message, "    "));
    let margin = finding.margin.as_ref().map(in_hand);
    let certainty = finding.certainty.map(|certainty| format!("{certainty} likely to hold"));
    let known: Vec<String> = margin.into_iter().chain(certainty).collect();
    if !known.is_empty() {
        let _ = writeln!(out, "    {}", known.join("; "));
    }
    if let Some(advice) = &finding.measure_next {
        let words = format!(
            "Measure first: {}; that takes the certainty of the verdict from {} to {}.",
            advice.label, advice.certainty_now, advice.certainty_after
        );
        let _ = writeln!(out, "{}", folded(&words, "    "));
    }
    if let Some(none) = &finding.no_single_fact {
        let _ = writeln!(out, "{}", folded(&none.words(), "    "));
    }
    for mend in &finding.mends {
        let _ = writeln!(out, "{}", folded(&format!("> {mend}"), "    "));
    }
}

/// `0.4 ± 0.3 mm in hand`, `0.6 mm short`.
fn in_hand(margin: &Margin) -> String {
    let unit = margin.quantity.unit.symbol();
    let value = three_figures(margin.quantity.value.abs());
    let doubt = margin.uncertainty.map_or(String::new(), |u| format!(" ± {}", three_figures(u)));
    let how = if margin.quantity.value < 0.0 { "short" } else { "in hand" };
    let space = if unit.is_empty() { "" } else { " " };
    format!("{value}{doubt}{space}{unit} {how}")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_minus_stands_before_nought() {
        assert_eq!(
            [three_figures(-0.000_01), three_figures(-0.0), three_figures(-0.5), three_figures(140.2)],
            ["0", "0", "-0.5", "140"]
        );
    }

    #[test]
    fn what_is_there_does_not_read_as_nought() {
        assert_eq!([0.0042, -0.001, 0.000_6].map(three_figures), ["0.0042", "-0.001", "0.0006"]);
    }

    use craft::CraftId;
    use expect_test::expect;
    use proof::{MeasureAdvice, NoSingleFact};
    use quantity::{FactPath, Millimetres, Probability};

    #[test]
    fn the_worst_comes_first_with_margin_doubt_certainty_and_mend() {
        let mut foul = Finding::new(
            "fit.pair_clearance",
            Verdict::Broken,
            "plug and post",
            "The plug and the post overlap by 0.6 mm",
        )
        .margin(Millimetres::new(-0.6), Some(0.21))
        .mend("Turn the board a quarter.");
        foul.certainty = Some(Probability::new(0.004));
        let sound = Finding::new("match.lens_thread", Verdict::Sound, "lens in camera", "Both M8")
            .margin(Millimetres::new(1.0), None);
        let proved = Proved { findings: vec![foul, sound], ..Proved::default() };
        let told = text(&Craft::new(CraftId::from_name("wren"), "Wren"), &proved, false);
        expect![[r#"
            Wren (class not said): broken

            Broken (1)
              fit.pair_clearance: plug and post
                The plug and the post overlap by 0.6 mm
                0.6 ± 0.21 mm short; under 1 % likely to hold
                > Turn the board a quarter.

            Sound (1)
              match.lens_thread: lens in camera, 1 mm in hand
        "#]]
        .assert_eq(&told);
        let told = text(&Craft::new(CraftId::from_name("wren"), "Wren"), &proved, true);
        assert!(told.ends_with("lens in camera\n    Both M8\n    1 mm in hand\n"), "{told}");
    }

    #[test]
    fn where_no_single_fact_would_change_a_verdict_that_is_said() {
        let mut near =
            Finding::new("fit.pair_clearance", Verdict::Tight, "plug and post", "They are 0.6 mm apart");
        let advice = |label: &str| MeasureAdvice {
            path: FactPath("vtx.length".to_owned()),
            label: label.to_owned(),
            certainty_now: Probability::new(0.9),
            certainty_after: Probability::new(0.97),
        };
        near.no_single_fact = Some(NoSingleFact {
            certainty_now: Probability::new(0.9),
            certainty_all: Probability::new(0.98),
            measurable: true,
            pair: Some([advice("length of \"air unit\""), advice("x of place \"vtx\"")]),
        });
        let proved = Proved { findings: vec![near], ..Proved::default() };
        let told = text(&Craft::new(CraftId::from_name("wren"), "Wren"), &proved, false);
        expect![[r#"
            Wren (class not said): tight

            Tight (1)
              fit.pair_clearance: plug and post
                They are 0.6 mm apart
                No single measurement would change this verdict; two would: length of "air unit" and x of
                place "vtx". They take its certainty from 90 % to 97 %.
        "#]]
        .assert_eq(&told);
    }

    #[test]
    fn numbers_keep_three_figures() {
        assert_eq!(
            [1234.4, 38.25, 0.401, 100.0, 0.0].map(three_figures),
            ["1234", "38.3", "0.4", "100", "0"]
        );
    }
}
