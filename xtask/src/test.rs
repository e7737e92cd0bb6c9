//! Runs every check of the project, each under its headline, and says at the end how each one fared.
//!
//! A failed step does not stop the others, so that one run shows all that is wrong. What the runners print
//! is printed. `--list` names the steps, `--only` and `--skip` choose among them.

use std::process::ExitCode;
use std::time::Instant;

use crate::place::Place;
use crate::step::{self, Outcome, Tried, Trouble};
use crate::{browser, reference, tidy, tool, web};

struct Step {
    name: &'static str,
    answers: &'static str,
    run: fn(&Place) -> Outcome,
}

const STEPS: &[Step] = &[
    Step {
        name: "format",
        answers: "is the Rust code laid out by the formatter?",
        run: |place| tool::run(&mut place.cargo(["fmt", "--all", "--check"])),
    },
    Step {
        name: "clippy",
        answers: "is the Rust code free of warnings?",
        run: |place| {
            tool::run(&mut place.cargo([
                "clippy",
                "--workspace",
                "--all-targets",
                "--",
                "--deny",
                "warnings",
            ]))
        },
    },
    Step {
        name: "rust",
        answers: "do the tests of every crate pass?",
        run: |place| tool::run(&mut place.cargo(["test", "--workspace", "--no-fail-fast"])),
    },
    Step { name: "tidy", answers: "is the house kept?", run: tidy::check },
    Step { name: "conformance", answers: "do the computations agree with the outside?", run: conformance },
    Step { name: "web-install", answers: "can the packages of the pages be installed?", run: web::install },
    Step {
        name: "web-lint",
        answers: "are the pages' sources clean?",
        run: |place| web::script(place, "lint"),
    },
    Step {
        name: "web-check",
        answers: "do the pages' types hold?",
        run: |place| web::script(place, "check"),
    },
    Step {
        name: "web-unit",
        answers: "do the pages' own tests pass?",
        run: |place| web::script(place, "unit"),
    },
    Step { name: "web-build", answers: "do the pages build?", run: web::build },
    Step {
        name: "browser",
        answers: "do the pages work in a browser, on the real program?",
        run: browser::test,
    },
    Step {
        name: "reference",
        answers: "do the vectors still come out of their programs?",
        run: reference::check,
    },
];

/// The table of checks against the outside.
pub fn conformance(place: &Place) -> Outcome {
    tool::run(&mut place.cargo(["run", "--quiet", "--package", "conformance"]))
}

/// Runs the steps chosen on the command line.
pub fn test(place: &Place, arguments: &[String]) -> Result<ExitCode, Trouble> {
    if arguments.iter().any(|argument| argument == "--list") {
        for step in STEPS {
            println!("{:<12} {}", step.name, step.answers);
        }
        return Ok(ExitCode::SUCCESS);
    }
    let strict = step::strict();
    let mut tried = Vec::new();
    for step in chosen(arguments)? {
        println!("\n==== {}: {}", step.name, step.answers);
        let start = Instant::now();
        let outcome = (step.run)(place);
        let took = start.elapsed();
        match &outcome {
            Ok(()) => println!("---- {}: ok, {:.1} s", step.name, took.as_secs_f64()),
            Err(trouble) => println!("---- {}: {trouble}", step.name),
        }
        tried.push(Tried { name: step.name, outcome, took });
    }
    let (lines, well) = step::summary(&tried, strict);
    print!("\n==== what was checked\n{lines}");
    Ok(if well { ExitCode::SUCCESS } else { ExitCode::FAILURE })
}

/// The steps that the options leave, in order.
fn chosen(arguments: &[String]) -> Result<Vec<&'static Step>, Trouble> {
    let mut only: Vec<&str> = Vec::new();
    let mut skip: Vec<&str> = Vec::new();
    let mut rest = arguments.iter();
    while let Some(argument) = rest.next() {
        let (option, attached) = match argument.split_once('=') {
            Some((option, value)) => (option, Some(value)),
            None => (argument.as_str(), None),
        };
        let list = match option {
            "--only" => &mut only,
            "--skip" => &mut skip,
            other => {
                return Err(Trouble::Usage(format!(
                    "test has no option `{other}`; it has --list, --only, --skip"
                )));
            }
        };
        let value = attached
            .or_else(|| rest.next().map(String::as_str))
            .ok_or_else(|| Trouble::Usage(format!("`{option}` needs a name; `--list` prints them")))?;
        list.extend(value.split(',').filter(|name| !name.is_empty()));
    }
    if let Some(unknown) = only.iter().chain(&skip).find(|name| STEPS.iter().all(|step| step.name != **name))
    {
        let names: Vec<&str> = STEPS.iter().map(|step| step.name).collect();
        return Err(Trouble::Usage(format!("no step `{unknown}`; there are {}", names.join(", "))));
    }
    let wanted = |step: &&Step| (only.is_empty() || only.contains(&step.name)) && !skip.contains(&step.name);
    Ok(STEPS.iter().filter(wanted).collect())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn check(options: &str, expected: Result<&[&str], &str>) {
        let arguments: Vec<String> = options.split_whitespace().map(str::to_owned).collect();
        let names = chosen(&arguments).map(|steps| steps.iter().map(|step| step.name).collect::<Vec<_>>());
        assert_eq!(
            names.map_err(|trouble| trouble.to_string()),
            expected.map(<[_]>::to_vec).map_err(str::to_owned)
        );
    }

    #[test]
    fn without_options_every_step_is_run() {
        assert_eq!(chosen(&[]).map(|steps| steps.len()), Ok(STEPS.len()));
    }

    #[test]
    fn only_names_those_to_run_in_their_own_order() {
        check("--only tidy,format", Ok(&["format", "tidy"]));
        check("--only=tidy --only format", Ok(&["format", "tidy"]));
    }

    #[test]
    fn skip_leaves_out() {
        check("--only tidy,format --skip format", Ok(&["tidy"]));
    }

    #[test]
    fn a_step_that_does_not_exist_is_refused_with_the_list() {
        check(
            "--only everything",
            Err(
                "no step `everything`; there are format, clippy, rust, tidy, conformance, web-install, web-lint, \
                 web-check, web-unit, web-build, browser, reference",
            ),
        );
        check("--skip", Err("`--skip` needs a name; `--list` prints them"));
        check("--fast", Err("test has no option `--fast`; it has --list, --only, --skip"));
    }
}
