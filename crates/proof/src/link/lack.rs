//! What keeps a link, or a part of it, from being known.

use craft::Missing;

/// What keeps a part of the model from being there.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Lack {
    /// Facts nobody entered.
    pub missing: Vec<Missing>,
    /// What is there and cannot be, in words, with the mend.
    pub wrong: Vec<String>,
}

impl Lack {
    /// One fact that is missing.
    pub fn missing(missing: Missing) -> Self {
        Self { missing: vec![missing], wrong: Vec::new() }
    }
    /// One thing that is wrong.
    pub fn wrong(words: String) -> Self {
        Self { missing: Vec::new(), wrong: vec![words] }
    }
    /// Whether nothing lacks.
    pub fn is_empty(&self) -> bool {
        self.missing.is_empty() && self.wrong.is_empty()
    }
    /// Takes another's in.
    pub fn add(&mut self, other: &Lack) {
        for missing in &other.missing {
            if !self.missing.contains(missing) {
                self.missing.push(missing.clone());
            }
        }
        for words in &other.wrong {
            if !self.wrong.contains(words) {
                self.wrong.push(words.clone());
            }
        }
    }
}
