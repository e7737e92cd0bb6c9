//! Is this version older than that one?
//!
//! A version is numbers with dots and, after them, an optional word: `4.2.10`, `4.2-rc1`. Numbers are compared one by one,
//! missing ones as nought. Of two with the same numbers, one with a word comes before the one without (it is on its way
//! there), words among themselves by letter. The text is kept as it was typed. Left out: dates as versions, which compare
//! rightly only while they are written year first.

use serde::{Deserialize, Serialize};
use std::cmp::Ordering;
use std::fmt;

/// The longest version, in letters.
const LETTERS_MAX: usize = 40;

/// A version of an image.
#[derive(Clone, Debug, Serialize, Deserialize)]
#[serde(try_from = "String", into = "String")]
pub struct Version {
    text: String,
    numbers: Vec<u32>,
    word: String,
}

/// Why a text is no version.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("version {0:?} is not numbers with dots, such as 4.2 or 4.2-rc1; write it as the unit reports it")]
pub struct NoVersion(pub String);

impl Version {
    /// Reads a version; a leading `v` is left out.
    pub fn read(text: &str) -> Result<Self, NoVersion> {
        let no = || NoVersion(text.chars().take(LETTERS_MAX).collect());
        let trimmed = text.trim();
        if trimmed.is_empty() || trimmed.chars().count() > LETTERS_MAX {
            return Err(no());
        }
        let plain = trimmed.strip_prefix(['v', 'V']).unwrap_or(trimmed);
        let end = plain.find(|c: char| !c.is_ascii_digit() && c != '.').unwrap_or(plain.len());
        let (digits, word) = plain.split_at(end);
        let dots = digits.trim_end_matches('.');
        let numbers: Result<Vec<u32>, _> = dots.split('.').map(str::parse).collect();
        let fits = |c: char| c.is_ascii_alphanumeric() || "-+_.".contains(c);
        let numbers = numbers.ok().filter(|_| word.chars().all(fits) && (dots == digits || !word.is_empty()));
        let word = word.trim_start_matches(['-', '+', '_', '.']).to_ascii_lowercase();
        Ok(Self { text: plain.to_owned(), numbers: numbers.ok_or_else(no)?, word })
    }

    /// The first number.
    pub fn major(&self) -> u32 {
        self.numbers.first().copied().unwrap_or(0)
    }

    fn number(&self, at: usize) -> u32 {
        self.numbers.get(at).copied().unwrap_or(0)
    }
}

impl Ord for Version {
    fn cmp(&self, other: &Self) -> Ordering {
        let most = self.numbers.len().max(other.numbers.len());
        let by_number = (0..most).map(|at| self.number(at).cmp(&other.number(at)));
        by_number.fold(Ordering::Equal, Ordering::then).then_with(|| {
            match (self.word.is_empty(), other.word.is_empty()) {
                (true, false) => Ordering::Greater,
                (false, true) => Ordering::Less,
                _ => self.word.cmp(&other.word),
            }
        })
    }
}

impl PartialOrd for Version {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl PartialEq for Version {
    fn eq(&self, other: &Self) -> bool {
        self.cmp(other) == Ordering::Equal
    }
}

impl Eq for Version {}

impl fmt::Display for Version {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.text)
    }
}

impl TryFrom<String> for Version {
    type Error = NoVersion;
    fn try_from(text: String) -> Result<Self, NoVersion> {
        Self::read(&text)
    }
}

impl From<Version> for String {
    fn from(version: Version) -> Self {
        version.text
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn read(text: &str) -> Version {
        Version::read(text).unwrap()
    }

    #[test]
    fn numbers_are_compared_as_numbers() {
        for (older, newer) in
            [("4.9", "4.10"), ("4", "4.0.1"), ("4.2-rc1", "4.2"), ("4.2-rc1", "4.2-rc2"), ("3.9.9", "4")]
        {
            assert!(read(older) < read(newer), "{older} < {newer}");
        }
        assert_eq!(read("4.2"), read("v4.2.0"));
    }

    #[test]
    fn what_is_no_version_is_refused() {
        for text in ["", "four", "4..2", "4.2 beta", "4.2/..", "99999999999", "-1"] {
            assert!(Version::read(text).is_err(), "{text:?}");
        }
    }

    proptest! {
        #[test]
        fn any_text_is_read_or_refused_and_reads_back(text in ".{0,50}") {
            if let Ok(version) = Version::read(&text) {
                prop_assert_eq!(&Version::read(&version.to_string()).unwrap(), &version);
            }
        }

        #[test]
        fn the_order_is_one_order(a in "[0-9]{1,3}(\\.[0-9]{1,3}){0,3}(-[a-z]{1,3})?", b in "[0-9]{1,3}(\\.[0-9]{1,3}){0,3}(-[a-z]{1,3})?") {
            let (a, b) = (read(&a), read(&b));
            prop_assert_eq!(a.cmp(&b), b.cmp(&a).reverse());
        }
    }
}
