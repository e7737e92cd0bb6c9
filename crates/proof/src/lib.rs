//! proof.
