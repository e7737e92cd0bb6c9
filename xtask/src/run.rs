//! Builds everything and starts the program on the demo workshop.
//!
//! The pages first, since the program carries them inside; then the release build; then the program with
//! the arguments as they came. Without a command it is told to `serve`, without a workshop to show the demo.
//! Where the system can, the program takes our place, so that Ctrl-C and the exit status are its own.

use std::process::{Command, ExitCode};

use crate::place::Place;
use crate::step::Trouble;
use crate::{tool, web};

/// Builds, starts, and ends as the program ends.
pub fn run(place: &Place, arguments: &[String]) -> Result<ExitCode, Trouble> {
    web::build(place)?;
    tool::run(&mut place.cargo(["build", "--release", "--package", "creance"]))?;
    let mut program = Command::new(place.program());
    program.args(passed_on(arguments));
    start(program)
}

/// The arguments as the program gets them.
fn passed_on(arguments: &[String]) -> Vec<String> {
    let names_command = arguments.first().is_some_and(|first| !first.starts_with('-'));
    if names_command && arguments[0] != "serve" {
        return arguments.to_vec();
    }
    let options = &arguments[usize::from(names_command)..];
    let named = |option: &str| {
        options.iter().any(|given| {
            given == option || given.strip_prefix(option).is_some_and(|rest| rest.starts_with('='))
        })
    };
    let mut passed = vec!["serve".to_owned()];
    if !named("--workshop") && !named("--demo") {
        passed.push("--demo".to_owned());
    }
    passed.extend_from_slice(options);
    passed
}

#[cfg(unix)]
fn start(mut program: Command) -> Result<ExitCode, Trouble> {
    use std::os::unix::process::CommandExt;
    // Only a program that did not start comes back from here.
    let cause = program.exec();
    Err(Trouble::Failed(format!("{} did not start: {cause}", program.get_program().to_string_lossy())))
}

#[cfg(not(unix))]
fn start(mut program: Command) -> Result<ExitCode, Trouble> {
    let status = program.status().map_err(|cause| {
        Trouble::Failed(format!("{} did not start: {cause}", program.get_program().to_string_lossy()))
    })?;
    let code = status.code().and_then(|code| u8::try_from(code).ok()).unwrap_or(1);
    Ok(ExitCode::from(code))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn check(given: &str, expected: &str) {
        let words: Vec<String> = given.split_whitespace().map(str::to_owned).collect();
        assert_eq!(passed_on(&words).join(" "), expected);
    }

    #[test]
    fn without_arguments_the_demo_is_served() {
        check("", "serve --demo");
    }

    #[test]
    fn a_named_workshop_is_served_without_the_demo() {
        check(
            "--no-open --port 8971 --workshop mine.creance",
            "serve --no-open --port 8971 --workshop mine.creance",
        );
        check("--workshop=mine.creance", "serve --workshop=mine.creance");
    }

    #[test]
    fn options_pass_untouched() {
        check("--no-open --port 8971", "serve --demo --no-open --port 8971");
        check("serve --no-open", "serve --demo --no-open");
        check("--demo", "serve --demo");
    }

    #[test]
    fn another_command_passes_as_it_came() {
        check("check demo/racer.toml --json", "check demo/racer.toml --json");
    }
}
