//! creance.
fn main() {}
