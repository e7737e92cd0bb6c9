//! Finding entries: by craft, by kind, by words.

use crate::{Entry, EntryKind};

/// What is looked for; everything when all is left out.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Search {
    /// Only of this craft.
    pub craft: Option<String>,
    /// Only of these kinds; all when empty.
    pub kinds: Vec<EntryKind>,
    /// All of these words, in whatever is written.
    pub words: String,
    /// Not before this second.
    pub from: Option<i64>,
    /// Not after this second.
    pub to: Option<i64>,
}

impl Search {
    /// Whether an entry is looked for; letter case and order of words make no difference.
    pub fn finds(&self, entry: &Entry) -> bool {
        let craft = self.craft.as_ref().is_none_or(|craft| entry.craft.as_ref() == Some(craft));
        let kind = self.kinds.is_empty() || self.kinds.contains(&entry.kind);
        let time = self.from.is_none_or(|from| entry.at >= from) && self.to.is_none_or(|to| entry.at <= to);
        craft && kind && time && self.has_words(entry)
    }

    fn has_words(&self, entry: &Entry) -> bool {
        let wanted = self.words.to_lowercase();
        let mut wanted = wanted.split_whitespace().peekable();
        if wanted.peek().is_none() {
            return true;
        }
        let names = [&entry.parts, &entry.units, &entry.packs, &entry.plugged]
            .into_iter()
            .flatten()
            .map(String::as_str);
        let texts = [entry.words.as_str(), entry.kind.plain(), entry.craft.as_deref().unwrap_or_default()];
        let text = texts.into_iter().chain(names).collect::<Vec<_>>().join("\n").to_lowercase();
        wanted.all(|word| text.contains(word))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_are_found_wherever_they_stand() {
        let mut entry = Entry::new(50, EntryKind::Repaired, "New harness after the gate").of("merlin");
        entry.units.push("A3".into());
        let finds = |words: &str| Search { words: words.into(), ..Search::default() }.finds(&entry);
        assert!(finds("") && finds("HARNESS a3") && finds("repaired merlin"));
        assert!(!finds("harness kestrel"));
        let search = Search { kinds: vec![EntryKind::Flown], ..Search::default() };
        assert!(!search.finds(&entry));
        let search = Search { from: Some(51), ..Search::default() };
        assert!(!search.finds(&entry));
    }
}
