//! The limits on what a craft and its sheet may hold, in one place, so that every message names the same.
//!
//! They are far beyond any real craft; they keep a slip or a hostile file from filling memory. All are
//! choices of this house, not facts of the trade.

/// Letters in one line of text: a name, a plug type.
pub const LINE_LETTERS_MAX: usize = 200;
/// Letters in a note.
pub const NOTE_LETTERS_MAX: usize = 4000;
/// Points in one outline or hole pattern.
pub const POINTS_MAX: usize = 2000;
/// How far a point may lie from its origin along either axis, in mm.
pub const POINT_MM_MAX: f64 = 2000.0;
/// Points in all outlines of a craft together.
pub const POINTS_TOTAL_MAX: usize = 200_000;
/// Parts in a craft.
pub const PARTS_MAX: usize = 10_000;
/// Places in a craft.
pub const PLACES_MAX: usize = 10_000;
/// Rows in all tables of all parts of a craft together.
pub const ROWS_MAX: usize = 10_000;
/// How many seats may rest one on another.
pub const SEATS_DEEP_MAX: usize = 100;
/// The size of a sheet, in bytes: 16 MiB, hundreds of times what a real craft needs.
pub const SHEET_BYTES_MAX: usize = 16 << 20;
/// Faults told of one sheet.
pub const SHEET_FAULTS_MAX: usize = 1000;
/// Headings on a sheet: one for each part, place and row, and one for the craft.
pub const SHEET_HEADINGS_MAX: usize = PARTS_MAX + PLACES_MAX + ROWS_MAX + 1;
/// Values and list entries on a sheet, counted by the signs `=`, `,`, `[` and `{`: each costs some 400 bytes to parse.
pub const SHEET_ENTRIES_MAX: usize = 1_500_000;
