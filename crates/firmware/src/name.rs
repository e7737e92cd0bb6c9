//! May this stand as a name on a card, and does it stay inside it?
//!
//! Cards are read by small installers on file systems that know neither letter case nor many signs: a name that another
//! system reads in another way, or that leads out of the folder, is refused here, before any file is touched.

/// The longest name on a card, in bytes (255 in the file system; some room is kept for the temporary ending).
const NAME_BYTES_MAX: usize = 200;
/// Folders below each other on a card.
const DEPTH_MAX: usize = 8;

/// Why a name cannot stand on a card.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[allow(missing_docs)] // The words of each variant say what its fields are.
pub enum NameFault {
    #[error("a name is missing; write the exact name the installer looks for")]
    Empty,
    #[error("{name:?} leads out of the folder; name what lies in it")]
    Outside { name: String },
    #[error("{name:?} holds a slash; a name is one step, and the folder is said beside it")]
    Slash { name: String },
    #[error("{name:?} holds {sign:?}, which no name on a card may; take it out")]
    Sign { name: String, sign: char },
    #[error("{name:?} ends in a dot or a blank, which the card would drop; take it away")]
    End { name: String },
    #[error("{name:?} is a name that some systems keep for themselves; choose another")]
    Reserved { name: String },
    #[error("{name:?} is a name that this program keeps for a writing under way; choose another")]
    Ours { name: String },
    #[error("a name of {bytes} bytes is longer than {NAME_BYTES_MAX}; shorten it")]
    Long { bytes: usize },
    #[error("{depth} folders below each other are more than {DEPTH_MAX}")]
    Deep { depth: usize },
}

/// The name, if it may stand on a card as one step.
pub fn card_name(name: &str) -> Result<&str, NameFault> {
    let owned = || name.chars().take(60).collect::<String>();
    if name.is_empty() {
        return Err(NameFault::Empty);
    }
    if name == "." || name == ".." {
        return Err(NameFault::Outside { name: owned() });
    }
    if name.contains(['/', '\\']) {
        return Err(NameFault::Slash { name: owned() });
    }
    if let Some(sign) = name.chars().find(|c| c.is_control() || "\"*:<>?|".contains(*c)) {
        return Err(NameFault::Sign { name: owned(), sign });
    }
    let folded = name.to_lowercase();
    if folded.ends_with(".creance-half") || folded.starts_with("creance-record.") {
        return Err(NameFault::Ours { name: owned() });
    }
    if name.len() > NAME_BYTES_MAX {
        return Err(NameFault::Long { bytes: name.len() });
    }
    if name.ends_with(['.', ' ']) || name.starts_with(' ') {
        return Err(NameFault::End { name: owned() });
    }
    let stem = name.split('.').next().unwrap_or_default().to_ascii_lowercase();
    let numbered = |word: &str| {
        stem.strip_prefix(word).is_some_and(|n| n.len() == 1 && n.chars().all(|c| c.is_ascii_digit()))
    };
    if ["con", "prn", "aux", "nul"].contains(&stem.as_str()) || numbered("com") || numbered("lpt") {
        return Err(NameFault::Reserved { name: owned() });
    }
    Ok(name)
}

/// The steps of a folder on a card, from its top; empty for the top itself.
pub fn card_folder(folder: &str) -> Result<Vec<&str>, NameFault> {
    if folder.is_empty() {
        return Ok(Vec::new());
    }
    if folder.starts_with(['/', '\\']) {
        return Err(NameFault::Outside { name: folder.chars().take(60).collect() });
    }
    let steps: Vec<&str> =
        folder.trim_end_matches('/').split('/').map(card_name).collect::<Result<_, _>>()?;
    if steps.len() > DEPTH_MAX {
        return Err(NameFault::Deep { depth: steps.len() });
    }
    Ok(steps)
}

/// Whether a card takes two names for the same one.
pub fn same_on_card(a: &str, b: &str) -> bool {
    a.to_lowercase() == b.to_lowercase()
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn what_leads_out_or_reads_otherwise_is_refused() {
        for name in [
            "",
            ".",
            "..",
            "a/b",
            "/etc",
            "a\\b",
            "..\\x",
            "a:b",
            "a\0b",
            "a\n",
            "load.",
            "load ",
            " load",
            "NUL",
            "com1.bin",
            "X.creance-half",
            "Creance-Record.json",
        ] {
            assert!(card_name(name).is_err(), "{name:?}");
        }
        for folder in ["/", "/boot", "..", "a/../b", "a//b", "./a", "a\\b", "a/b/c/d/e/f/g/h/i"] {
            assert!(card_folder(folder).is_err(), "{folder:?}");
        }
        assert_eq!(card_folder("boot/air").unwrap(), ["boot", "air"]);
        assert_eq!(card_folder("").unwrap(), Vec::<&str>::new());
        assert_eq!(card_name("AIR_LOAD.BIN").unwrap(), "AIR_LOAD.BIN");
    }

    proptest! {
        #[test]
        fn no_name_that_passes_has_a_step_in_it(name in ".{0,40}") {
            if let Ok(name) = card_name(&name) {
                let steps: Vec<_> = std::path::Path::new(name).components().collect();
                prop_assert!(matches!(steps[..], [std::path::Component::Normal(_)]), "{:?}", name);
            }
        }
    }
}
