//! `creance stand`: the readings of a thrust stand, checked, as rows of a sheet.

use super::Outcome;
use super::subject::table_of;
use crate::output::{note, say};
use crate::refusal::{Cause, Refusal};
use clap::Args;
use craft::PartId;
use proof::supply::{read_stand, stand_on_sheet};
use std::path::PathBuf;

/// Which table, and of which motor.
#[derive(Args)]
pub struct StandArgs {
    /// The table: its first line names the columns throttle (%), thrust (gf, kgf, N, ozf, lbf), current (A, mA) and, where they were read, voltage (V, mV) and speed (rpm); with no unit in brackets the first of each counts
    #[arg(value_name = "TABLE")]
    table: PathBuf,
    /// The id of the motor on the sheet
    #[arg(long, value_name = "PART")]
    part: String,
}

/// Checks a table and writes its rows as a sheet has them.
pub fn stand(args: &StandArgs) -> Result<Outcome, Refusal> {
    let part = PartId::new(&args.part)
        .map_err(|fault| Refusal::new(Cause::Misread, format!("--part {:?}: {fault}", args.part)))?;
    let rows = table_of(&args.table, read_stand)?;
    let most = rows.last().map_or([0.0; 2], |row| [1, 2].map(|n: usize| row.values[n].unwrap_or(0.0)));
    note(&format!(
        "{} points, at the highest throttle {} gf and {} A. Paste the rows under [part.{part}], in the place of those it has: they \
         then stand in the place of disc theory.",
        rows.len(),
        most[0],
        most[1],
    ));
    say(&stand_on_sheet(&rows, &format!("part.{part}.thrust")))?;
    Ok(Outcome::NothingBroken)
}
