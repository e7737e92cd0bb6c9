//! Ids: one type for each kind of thing, so that a part's id cannot stand where a place's belongs.
//!
//! An id is what a person types on a sheet: lower-case letters, digits and hyphens, starting with a
//! letter, at most 40 long.

use serde::{Deserialize, Serialize};
use std::fmt;

/// Why a text is no id.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error(
    "id {text:?} must be 1 to 40 lower-case letters, digits or hyphens, starting with a letter; try {proposal:?}"
)]
pub struct IdFault {
    /// What was given.
    pub text: String,
    /// What would do.
    pub proposal: String,
}

/// The longest id, in letters.
pub const ID_LETTERS_MAX: usize = 40;

fn is_id(text: &str) -> bool {
    text.len() <= ID_LETTERS_MAX
        && text.chars().next().is_some_and(|c| c.is_ascii_lowercase())
        && text.chars().all(|c| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '-')
}

/// The nearest id to a name: `"Upper plate 2"` gives `upper-plate-2`.
fn id_from_name(name: &str) -> String {
    let mut id = String::new();
    for c in name.chars() {
        let c = c.to_ascii_lowercase();
        if c.is_ascii_alphanumeric() {
            id.push(c);
        } else if !id.is_empty() && !id.ends_with('-') {
            id.push('-');
        }
        if id.len() >= ID_LETTERS_MAX {
            break;
        }
    }
    let id = id.trim_end_matches('-').to_owned();
    match id.chars().next() {
        Some(c) if c.is_ascii_lowercase() => id,
        Some(_) => format!("x-{id}")
            .chars()
            .take(ID_LETTERS_MAX)
            .collect::<String>()
            .trim_end_matches('-')
            .to_owned(),
        None => "unnamed".to_owned(),
    }
}

macro_rules! ids {
    ($($(#[$doc:meta])* $name:ident;)*) => {$(
        $(#[$doc])*
        #[derive(Clone, Debug, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
        #[serde(try_from = "String", into = "String")]
        pub struct $name(String);

        impl $name {
            /// The id of a text, if it is one.
            pub fn new(text: impl Into<String>) -> Result<Self, IdFault> {
                let text = text.into();
                if is_id(&text) { Ok(Self(text)) } else { Err(IdFault { proposal: id_from_name(&text), text }) }
            }
            /// An id made from a name; always succeeds.
            pub fn from_name(name: &str) -> Self { Self(id_from_name(name)) }
            /// This id, or this id with the least number behind it that `taken` does not know.
            pub fn unlike(&self, taken: impl Fn(&Self) -> bool) -> Self {
                if !taken(self) { return self.clone(); }
                let stem: String = self.0.chars().take(ID_LETTERS_MAX - 5).collect();
                (2u32..).map(|n| Self(format!("{stem}-{n}"))).find(|id| !taken(id)).unwrap_or_else(|| self.clone())
            }
            /// The text of the id.
            pub fn as_str(&self) -> &str { &self.0 }
        }
        impl TryFrom<String> for $name {
            type Error = IdFault;
            fn try_from(text: String) -> Result<Self, IdFault> { Self::new(text) }
        }
        impl From<$name> for String { fn from(id: $name) -> String { id.0 } }
        impl fmt::Display for $name {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result { f.write_str(&self.0) }
        }
    )*};
}

ids! {
    /// A craft in a workshop.
    CraftId;
    /// A part in a workshop or on a sheet.
    PartId;
    /// A place in one craft.
    PlaceId;
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_become_ids() {
        for (name, id) in [
            ("Upper plate 2", "upper-plate-2"),
            ("14 mm camera", "x-14-mm-camera"),
            ("Ö", "unnamed"),
            ("", "unnamed"),
        ] {
            assert_eq!(PartId::from_name(name).as_str(), id);
        }
        assert!(PartId::new("Upper plate").is_err());
    }

    #[test]
    fn a_taken_id_gets_a_number() {
        let cam = PartId::from_name("cam");
        assert_eq!(cam.unlike(|id| id.as_str() == "cam" || id.as_str() == "cam-2").as_str(), "cam-3");
    }
}
