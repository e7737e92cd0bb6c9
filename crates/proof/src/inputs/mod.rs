//! The craft turned into the disciplines' own inputs.
