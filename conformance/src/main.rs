//! Prints the table of checks; exit status 1 when one disagrees or a vector file is at fault.

use std::process::ExitCode;

fn main() -> ExitCode {
    let report = conformance::run_all();
    print!("{}", report.table());
    if report.is_sound() { ExitCode::SUCCESS } else { ExitCode::FAILURE }
}
