//! What things are called, and whether two names in free text mean the same thing.
//!
//! Plug types, connectors, systems and part names are free text. Two are the same when they differ in letter
//! case and spaces only. Nothing cleverer is tried: a connector and its reversed kind must stay apart.

use crate::{Placed, Proof};

/// What to call a part in its place: its name, and the place where the same part stands at several.
pub(crate) fn called(proof: &Proof, placed: Placed) -> String {
    if proof.stands_at(&placed.part.id) > 1 {
        format!("{} at {}", placed.part.name, placed.place.id)
    } else {
        placed.part.name.clone()
    }
}

/// Whether two free texts mean the same thing.
pub(crate) fn same_words(a: &str, b: &str) -> bool {
    let plain = |text: &str| text.split_whitespace().collect::<Vec<_>>().join(" ").to_lowercase();
    plain(a) == plain(b)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn letter_case_and_spaces_do_not_tell_names_apart() {
        assert!(same_words(" Flat  20", "flat 20"));
        assert!(!same_words("SMA", "reverse SMA"));
        assert!(!same_words("flat 20", "flat20"));
    }
}
