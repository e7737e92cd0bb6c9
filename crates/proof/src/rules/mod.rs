//! The rules: one file each, one line each here, in the order a builder meets them.

use crate::Rule;

mod match_lens_thread;

/// Every rule.
pub const RULES: &[Rule] = &[match_lens_thread::LENS_THREAD];

/// The rule of an id.
pub fn rule_of(id: &str) -> Option<&'static Rule> {
    RULES.iter().find(|rule| rule.id == id)
}
