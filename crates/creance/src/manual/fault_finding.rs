//! The chapter on fault finding: how it reckons, how it did in trials, how its knowledge is written, and all that it knows.

use crate::mending::base;
use crate::wire::manual::SheetDoc;
use faults::{Base, Step};

/// The chapter, section by section.
pub fn fault_finding() -> Vec<SheetDoc> {
    let base = base();
    let mut sections = vec![
        doc("What it answers", WHAT, ""),
        doc("How chances are worked out", CHANCES, ""),
        doc("How the next step is chosen", STEPS, ""),
        doc("How it did in trials", TRIALS, faults::MEAN_MINUTES.trim()),
        doc("What the fleet teaches it", LEARNING, ""),
        doc("How many spares to carry", SPARES, ""),
        doc("Writing knowledge of your own", OWN, EXAMPLE),
    ];
    sections.push(listed(
        "Signs",
        "What can be seen, with its leak and the minutes a look takes. Expert estimates.",
        base.signs
            .iter()
            .map(|sign| format!("{}: {} (leak {}, {} min)", sign.id, sign.is, sign.leak, sign.minutes)),
    ));
    sections.push(listed(
        "Causes",
        "What can be wrong, with its weight: such faults in a hundred visits to the bench. Expert estimates.",
        base.causes.iter().map(|cause| {
            format!("{}: {} (weight {}, {})", cause.id, cause.is, cause.weight, cause.side.word())
        }),
    ));
    sections.push(listed(
        "Tests",
        "What can be tried, with minutes, outcomes and risk. Expert estimates.",
        (0..base.tests.len()).map(|test| test_line(base, test)),
    ));
    sections.push(listed(
        "Repairs",
        "What mends, with minutes, cost in sets of blades and how often it works. Expert estimates.",
        base.repairs.iter().map(|repair| {
            format!(
                "{}: {} ({} min, {} sets, works {:.0} %)",
                repair.id,
                repair.does,
                repair.minutes,
                repair.parts,
                100.0 * repair.works
            )
        }),
    ));
    sections.push(listed("Never", "Guesses that hurt.", base.nevers.iter().cloned()));
    sections
}

fn test_line(base: &Base, test: usize) -> String {
    let row = &base.tests[test];
    let outcomes = Step::Try(test).outcomes(base).join(" / ");
    format!("{}: {} ({} min; {outcomes}; risk {})", row.id, row.does, row.minutes, row.risk)
}

fn doc(title: &str, text: &str, example: &str) -> SheetDoc {
    SheetDoc { title: title.to_owned(), text: text.to_owned(), example: example.to_owned() }
}

fn listed(title: &str, text: &str, lines: impl Iterator<Item = String>) -> SheetDoc {
    doc(title, text, &lines.collect::<Vec<_>>().join("\n"))
}

const WHAT: &str = "When the picture goes bad, what is it, and what should be tried next? The page Mend, and `creance mend`, take what is \
seen and what was tried, and answer with the chance of every cause, the next step with its reason, what comes first for safety, and \
when to stop. A session is kept as it goes: close the page and go on later; take an answer back, and it stays on record as taken back. \
Its verdict and repair go into the journal. Every number behind it is an expert estimate until your fleet's own verdicts move it.";

const CHANCES: &str = "Causes are independent of one another once the facts of the craft are known: P = 1 − exp(−weight × factors / 100). \
Facts switch causes on and off and multiply their weights; a rule that finds the craft broken raises its causes, and one that is surely \
sound divides them by 3. A sign comes by noisy-OR with a leak (Pearl 1988): any cause that acts may bring it by itself. A swap makes the \
sign go only if every acting cause of it was mended. Several faults may act at once, so the chances may add up to more than 100 %. They \
are exact: variable elimination over bits of what was shown, in sums of numbers that are never negative, so that nothing is lost by \
subtraction; they agree with a general-purpose library to 1e-9 (see Checks). What was not looked at says nothing; \"perhaps\" weighs as \
0.7 to 0.3, for a word that means an even chance would say nothing at all. A test made twice counts once, as last answered. Two answers \
that cannot both hold are named.";

const STEPS: &str = "Each step is weighed by the information it is expected to bring for each minute it costs, and by the expected cost to a \
working picture with two steps of look-ahead: the step, the best second step, then repairs by chance over cost, up to where handing the \
craft over costs less. Cost is minutes plus parts, one set of blades counting as 6 minutes; at the field minutes weigh double. These are \
reckoned over the likeliest explanations, and the share of the chance that they cover is told. Chance over cost is proved to cost least \
where one fault acts, each repair mends causes of its own and a check follows each (Kadane & Simon 1977; Heckerman, Breese & Rommelse \
1995); where that does not hold the page says so. Steps that want a tool you lack, that would be dangerous while something smells burnt, \
or that must wait for another, are not advised, and the page says why. Asking ends where no test saves a minute.";

const TRIALS: &str = "Craft with faults were drawn from the knowledge itself, on plain days, after crashes, on new builds and after soldering, and each way \
of mending worked on the very same craft. Minutes with parts count a set of blades as 6 minutes; ± is half of the 95 % interval. The second table \
draws the truth with every weight, link and likelihood off by a factor of 2, up or down, while the advice believes the old numbers. \
In minutes alone the advice is no quicker than repairs by \
probability or by chance over cost, within the interval; what it saves is parts that were not broken, and it hands a few more craft over. \
Trials with the program's own model of faults say what the method gains, not what your craft will do.";

const LEARNING: &str = "Weights are a Dirichlet distribution that counts as 20 visits of lore; each verdict adds one to the cause it names. Chances of signs \
and outcomes are Beta and Dirichlet distributions worth 10 looks; only sessions with a single cause teach them. The page says how much \
is lore and how much your own, and can begin afresh: sessions stay on record. A step that your own verdicts brought forward says so: the \
same evidence is weighed once more by the lore alone, and the two places are told.";

const SPARES: &str = "`creance spares CRAFT --flights 30 --sure 90` says how many of each part to carry. Failures are a Poisson process whose rate is a \
Gamma distribution by class of craft; what was flown and lost moves it; the number in the flights to come is negative binomial, and the \
number to carry is the least that suffices with the confidence. Flights come from the journal, and so do failures: a part that a repair \
names is one, by the words of its name (`called` in a `[spare.ID]`); a verdict of Mend names the parts its repair uses up (`repairs` \
there). All craft of one class count together. The page Spares and the command read the same figures.";

const OWN: &str = "Knowledge is a text (TOML) that is read as strictly as a sheet: unknown keys and ids, chances that do not sum, tests that want one \
another first in a circle are told with line and column. `creance lore FILE` keeps a text in the workshop, laid over the program's own (`creance mend --knowledge FILE` for once): entries of the \
same id take its place, others are added. Every entry says `basis = \"expert estimate\"`, or `basis = \"sourced\"` with a source. A test \
reads \"fault\" (its first outcomes show that something is wrong) or \"cure\" (the sign is gone after it); the last outcome takes the rest. \
Tests in `after` must have ended in their last outcome, surely, before this one or the repair it stands for is advised.";

const EXAMPLE: &str = r#"creance_faults = 1

[cause.harness_frayed]
is = "shield of the harness frayed at the cage"
side = "air"
weight = 2.0
needs = []
signs = { no_picture = 0.5, returns_on_touch = 0.6 }
basis = "expert estimate"

[test.bend_harness]
do = "bend the harness at the cage"
minutes = 1
risk = 0
tools = ["stick"]
reads = "fault"
outcomes = ["flickers", "steady"]
basis = "expert estimate"
[test.bend_harness.chance.flickers]
other = 0.02
given = { harness_frayed = 0.8, harness_damaged = 0.5 }

[repair.sleeve_harness]
do = "new harness with a sleeve at the cage"
mends = ["harness_frayed"]
minutes = 9
parts = 3.2
works = 0.97
basis = "expert estimate""#;

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_example_of_own_knowledge_reads_without_a_fault() {
        let (laid, faults) = base().with(EXAMPLE);
        assert_eq!(faults, []);
        assert_eq!(laid.causes.len(), base().causes.len() + 1);
    }
}
