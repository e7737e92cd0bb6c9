//! What crosses the wire: the JSON of the server and of the commands, and nothing else knows JSON.
//!
//! Names are snake_case. Every type here that a page reads is generated as TypeScript into
//! `web/src/lib/api/types/`; a test fails when those files lag. To bring them up to date:
//! `UPDATE_TYPES=1 cargo test -p creance types`.
//!
//! Left out: whole numbers above 32 bits. JSON readers take every number for a double.

pub mod asked;
pub mod bench;
pub mod care;
pub mod course;
pub mod edit;
pub mod figure;
pub mod finding;
pub mod fleet;
pub mod flying;
pub mod in_picture;
pub mod journal;
pub mod journal_page;
pub mod lead;
pub mod link;
pub mod load;
pub mod load_sent;
pub mod manual;
pub mod mend;
pub mod part;
pub mod placed;
pub mod print;
pub mod refused;
pub mod schema;
pub mod solid;
pub mod spares;
pub mod supply;
pub mod target;
pub mod tilt;
pub mod told;
#[cfg(test)]
mod types;
pub mod wiring;
