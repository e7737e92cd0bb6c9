//! Set-up, tests, benches and house-keeping, as `cargo xtask COMMAND`.
//!
//! The same on Linux, macOS and Windows: every step is a program that Rust starts, none needs a shell.
//! Exit status: that of the program for `run`; else 0 when all is well, 1 when a step failed, 2 for usage.

mod bench;
mod browser;
mod place;
mod reference;
mod run;
mod step;
mod test;
mod tidy;
mod tool;
mod web;

use std::process::ExitCode;

use place::Place;
use step::Trouble;

const USAGE: &str = "\
usage: cargo xtask COMMAND

  run [ARGUMENTS]    build everything and start the program; arguments pass through to it,
                     for example: --no-open --port 8971 --workshop FILE
                     (without --workshop it starts on the demo workshop)
  test [OPTIONS]     run every check; --list names them, --only NAME[,NAME] and --skip NAME[,NAME] choose
  tidy [--write]     keep the house: arrows, module heads, rule documentation, sources, licences;
                     --write brings the picture of arrows in ARCHITECTURE.md up to date
  bench [OPTIONS]    measure, and print our figures beside those of the reference library; --only NAME[,NAME] chooses
  conformance        print the table of checks against the outside";

fn main() -> ExitCode {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    let Some((command, rest)) = arguments.split_first() else {
        eprintln!("{USAGE}");
        return ExitCode::from(2);
    };
    let place = match Place::find() {
        Ok(place) => place,
        Err(words) => {
            eprintln!("xtask: {words}");
            return ExitCode::FAILURE;
        }
    };
    let ended = match command.as_str() {
        "run" => run::run(&place, rest),
        "test" => test::test(&place, rest),
        "tidy" => tidy::tidy(&place, rest),
        "bench" => bench::bench(&place, rest),
        "conformance" => test::conformance(&place).map(|()| ExitCode::SUCCESS),
        "help" | "--help" | "-h" => {
            println!("{USAGE}");
            Ok(ExitCode::SUCCESS)
        }
        other => Err(Trouble::Usage(format!("no command `{other}`\n\n{USAGE}"))),
    };
    ended.unwrap_or_else(|trouble| {
        eprintln!("xtask: {trouble}");
        ExitCode::from(if matches!(trouble, Trouble::Usage(_)) { 2 } else { 1 })
    })
}
