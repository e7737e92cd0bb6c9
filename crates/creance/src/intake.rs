//! Sheets coming in and going out: all that is wrong with one becomes a refusal, line by line.

use crate::refusal::{Cause, Refusal};
use crate::wire::refused::SheetFaultView;
use craft::sheet::Severity;
use craft::{Craft, SheetFault, SheetReading, rewrite_sheet, write_sheet};

/// The craft of a sheet that may be taken in, or all that is wrong with it.
pub fn whole(reading: SheetReading, called: &str) -> Result<Craft, Refusal> {
    if !reading.is_refused() {
        return Ok(reading.craft);
    }
    let faults: Vec<SheetFaultView> = reading.faults.iter().map(fault_view).collect();
    let grave = reading.faults.iter().filter(|fault| fault.severity == Severity::Refused).count();
    let words = match grave {
        1 => format!("{called} has a fault that must be mended first"),
        more => format!("{called} has {more} faults that must be mended first"),
    };
    Err(Refusal::new(Cause::Unfit, words).faults(faults))
}

/// What is worth a look on a sheet that is taken in nevertheless, a line each.
pub fn remarks(reading: &SheetReading) -> Vec<String> {
    let line =
        |fault: &SheetFault| format!("line {}, column {}: {}", fault.line, fault.column, fault.message());
    reading.faults.iter().map(line).collect()
}

fn fault_view(fault: &SheetFault) -> SheetFaultView {
    SheetFaultView {
        line: u32::try_from(fault.line).unwrap_or(u32::MAX),
        column: u32::try_from(fault.column).unwrap_or(u32::MAX),
        message: fault.message(),
        hint: None,
    }
}

/// A craft as a sheet: the old text changed where the craft changed, so that comments stay.
pub fn sheet_of(craft: &Craft, old: Option<&str>) -> String {
    old.map_or_else(|| write_sheet(craft), |old| rewrite_sheet(old, craft))
}
