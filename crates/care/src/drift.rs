//! Has a reading moved since the craft was new?
//!
//! The first reading of a craft counts as new, or the latest one marked so: after a rebuild the old ones no longer say
//! what is healthy.

use crate::{Entry, EntryKind, Reading};

/// A reading when new and now.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Drift<'a> {
    /// When new.
    pub new: f64,
    /// Now.
    pub now: f64,
    /// The entry of the reading when new.
    pub since: &'a Entry,
    /// The entry of the reading now.
    pub last: &'a Entry,
    /// The last crash, change or repair between the two, which may have to do with it.
    pub between: Option<&'a Entry>,
}

/// How a reading of a craft moved; `None` with fewer than two readings.
pub fn drift<'a>(entries: &'a [Entry], craft: &str, reading: Reading) -> Option<Drift<'a>> {
    moved(entries, reading, |entry| entry.craft.as_deref() == Some(craft))
}

/// How a reading of a pack moved, on whatever craft it flew; `None` with fewer than two readings.
pub fn pack_drift<'a>(entries: &'a [Entry], pack: &str, reading: Reading) -> Option<Drift<'a>> {
    // An entry that names several packs does not say which of them was read.
    moved(entries, reading, |entry| matches!(&entry.packs[..], [one] if one.trim() == pack.trim()))
}

fn moved(entries: &[Entry], reading: Reading, of: impl Fn(&Entry) -> bool) -> Option<Drift<'_>> {
    let mine = || entries.iter().filter(|entry| of(entry));
    let mut read: Vec<(&Entry, f64)> =
        mine().filter_map(|entry| Some((entry, entry.read(reading)?))).collect();
    read.sort_by_key(|(entry, _)| entry.at);
    let new = read.iter().rposition(|(entry, _)| entry.as_new).unwrap_or(0);
    let ((since, new), (last, now)) = (read.get(new).copied()?, read.last().copied()?);
    if std::ptr::eq(since, last) {
        return None;
    }
    let matters = |entry: &&Entry| {
        matches!(
            entry.kind,
            EntryKind::Crashed | EntryKind::Changed | EntryKind::Repaired | EntryKind::Loaded
        ) && (since.at..=last.at).contains(&entry.at)
            && !std::ptr::eq(*entry, last)
    };
    let between = mine().filter(matters).max_by_key(|entry| (entry.kind == EntryKind::Crashed, entry.at));
    Some(Drift { new, now, since, last, between })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::Measured;

    #[test]
    fn the_first_reading_is_new_until_another_is_said_to_be() {
        let read = |at, value, as_new| Entry {
            measured: vec![Measured { reading: Reading::LevelAt5m, value }],
            as_new,
            ..Entry::new(at, EntryKind::Tested, "").of("merlin")
        };
        let mut entries = vec![read(30, -52.0, false), read(10, -48.0, false)];
        entries.push(Entry::new(20, EntryKind::Crashed, "gate").of("merlin"));
        let found = drift(&entries, "merlin", Reading::LevelAt5m)
            .map(|drift| (drift.new, drift.now, drift.between.map(|e| e.at)));
        assert_eq!(found, Some((-48.0, -52.0, Some(20))));
        entries.push(read(40, -49.0, true));
        assert_eq!(drift(&entries, "merlin", Reading::LevelAt5m), None, "a new measure of health");
        assert_eq!(drift(&entries, "kestrel", Reading::LevelAt5m), None);
    }

    #[test]
    fn a_pack_is_followed_from_craft_to_craft_and_not_by_entries_of_several() {
        let read = |at, packs: &[&str], value| Entry {
            packs: packs.iter().map(|pack| (*pack).to_owned()).collect(),
            measured: vec![Measured { reading: Reading::CellResistance, value }],
            ..Entry::new(at, EntryKind::Charged, "")
        };
        let entries = [
            read(1, &["P1"], 6.0),
            read(2, &["P2"], 20.0),
            read(3, &["P1", "P2"], 30.0),
            read(4, &["P1"], 9.3),
        ];
        let found = pack_drift(&entries, "P1", Reading::CellResistance).map(|drift| (drift.new, drift.now));
        assert_eq!(found, Some((6.0, 9.3)));
        assert_eq!(pack_drift(&entries, "P2", Reading::CellResistance), None);
    }
}
