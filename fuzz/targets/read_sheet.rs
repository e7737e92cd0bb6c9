//! The sheet reader against arbitrary bytes.
#![no_main]

#[path = "../body/read_sheet.rs"]
mod body;

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| body::read_sheet_holds(bytes));
