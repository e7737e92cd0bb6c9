//! Creance: one model of a craft, and everything computed from it.
//!
//! Without an argument the program serves the bench on this machine and opens the browser. The other
//! commands work without a server, on a craft of the workshop or on a sheet. Exit status: 0 nothing is
//! broken, 1 something is, 2 bad input or usage.

mod at_hand;
mod bench;
mod card_now;
mod commands;
mod course_tried;
mod demo;
mod demo_records;
mod drawn;
mod found_anew;
mod intake;
mod judged;
mod link_asked;
mod loading;
mod manual;
mod mending;
mod next_step;
mod other_picture;
mod output;
mod pairing;
mod part_drawer;
mod place;
mod placing;
mod plain_number;
mod record;
mod refusal;
mod searches;
mod server;
mod spares;
mod staging;
mod supply_asked;
mod tilt_tried;
mod wire;
mod writing;
mod written;

use std::process::ExitCode;

fn main() -> ExitCode {
    commands::run()
}
