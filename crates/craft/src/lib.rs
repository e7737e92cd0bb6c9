//! craft.
