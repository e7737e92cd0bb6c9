//! What has happened since something else happened: flights since a crash, a pack since it was charged.
//!
//! Entries come in the order in which they were entered. Of two in the same second the later entered one came later:
//! a flight entered right after a crash is a flight after it.

use crate::{Entry, EntryKind, ListKind, Reading};

/// Flights in one entry: one a pack, at least one.
pub(crate) fn flights_of(entry: &Entry) -> f64 {
    if entry.kind == EntryKind::Flown { entry.packs.len().max(1) as f64 } else { 0.0 }
}

/// Flights in these entries.
pub fn flights<'a>(entries: impl IntoIterator<Item = &'a Entry>) -> u32 {
    entries.into_iter().map(flights_of).sum::<f64>() as u32
}

/// The latest entry of a craft of one kind.
pub fn last_of<'a>(entries: &'a [Entry], craft: &str, kind: EntryKind) -> Option<&'a Entry> {
    let mine = |entry: &&Entry| entry.craft.as_deref() == Some(craft) && entry.kind == kind;
    entries.iter().filter(mine).max_by_key(|entry| entry.at)
}

/// Entries of a craft that came after one of them.
fn after<'a>(entries: &'a [Entry], craft: &'a str, since: &'a Entry) -> impl Iterator<Item = &'a Entry> {
    let place = entries.iter().position(|entry| std::ptr::eq(entry, since));
    entries.iter().enumerate().filter_map(move |(at, entry)| {
        let later = (entry.at, Some(at)) > (since.at, place);
        (entry.craft.as_deref() == Some(craft) && later && !std::ptr::eq(entry, since)).then_some(entry)
    })
}

/// Flights of a craft after an entry of it.
pub fn flown_since(entries: &[Entry], craft: &str, since: &Entry) -> u32 {
    flights(after(entries, craft, since))
}

/// The last crash of a craft after which nobody ticked the whole list for it, nor rebuilt it.
pub fn crash_unchecked<'a>(entries: &'a [Entry], craft: &str) -> Option<&'a Entry> {
    let crash = last_of(entries, craft, EntryKind::Crashed)?;
    let settles = |entry: &Entry| {
        let whole = |ticked: &crate::Ticked| ticked.list == ListKind::AfterCrash && ticked.is_whole();
        entry.kind == EntryKind::Built || entry.ticked.as_ref().is_some_and(whole)
    };
    (!after(entries, craft, crash).any(settles)).then_some(crash)
}

/// What happened to a craft since its picture was last good, which its last flight tells; each with the entry that says so.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Lately<'a> {
    /// It crashed, and nobody has repaired it since.
    pub crashed: Option<&'a Entry>,
    /// An image was loaded, and nobody has repaired it since.
    pub loaded: Option<&'a Entry>,
    /// Plugs were pulled.
    pub unplugged: Option<&'a Entry>,
    /// It was built.
    pub built: Option<&'a Entry>,
    /// Its lens was changed.
    pub new_lens: Option<&'a Entry>,
}

/// What happened to a craft since its last flight.
pub fn lately<'a>(entries: &'a [Entry], craft: &'a str) -> Lately<'a> {
    let last = |wanted: &dyn Fn(&Entry) -> bool| {
        let mine = |(_, entry): &(usize, &Entry)| entry.craft.as_deref() == Some(craft) && wanted(entry);
        entries.iter().enumerate().filter(mine).max_by_key(|(place, entry)| (entry.at, *place))
    };
    let key = |found: Option<(usize, &Entry)>| found.map(|(place, entry)| (entry.at, place));
    let of = |kind: EntryKind| last(&move |entry: &Entry| entry.kind == kind);
    let flown = key(of(EntryKind::Flown));
    let mended = flown.max(key(of(EntryKind::Repaired)));
    let since = |found: Option<(usize, &'a Entry)>, line: Option<(i64, usize)>| {
        found.filter(|(place, entry)| Some((entry.at, *place)) > line).map(|(_, entry)| entry)
    };
    let names_lens = |entry: &Entry| {
        matches!(entry.kind, EntryKind::Changed | EntryKind::Repaired)
            && entry.parts.iter().any(|part| part.to_lowercase().contains("lens"))
    };
    Lately {
        crashed: since(of(EntryKind::Crashed), mended),
        loaded: since(of(EntryKind::Loaded), mended),
        unplugged: since(last(&|entry: &Entry| !entry.plugged.is_empty()), flown),
        built: since(of(EntryKind::Built), flown),
        new_lens: since(last(&names_lens), flown),
    }
}

/// How a pack stood when it was last measured.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Charge {
    /// Volts a cell.
    pub volts: f64,
    /// When.
    pub at: i64,
}

/// How a pack stands, if it was measured and not flown since.
pub fn charge_of(entries: &[Entry], pack: &str) -> Option<Charge> {
    let with = |entry: &&Entry| {
        entry.packs.iter().any(|known| known.trim().to_lowercase() == pack.trim().to_lowercase())
    };
    let last = entries
        .iter()
        .filter(with)
        .filter(|entry| entry.kind == EntryKind::Flown || entry.read(Reading::CellVolts).is_some())
        .max_by_key(|entry| (entry.at, entry.kind == EntryKind::Charged))?;
    last.read(Reading::CellVolts).map(|volts| Charge { volts, at: last.at })
}

/// Crashes in which a pack of these was hit: the crash, the pack, and when it was charged within so many seconds, if it was.
pub fn pack_hit<'a>(
    entries: &'a [Entry],
    craft: &str,
    within: i64,
) -> Vec<(&'a Entry, &'a str, Option<i64>)> {
    let hit = |entry: &&'a Entry| {
        entry.craft.as_deref() == Some(craft) && entry.kind == EntryKind::Crashed && entry.pack_hit
    };
    let mut found = Vec::new();
    for crash in entries.iter().filter(hit) {
        for pack in &crash.packs {
            let charged = entries.iter().filter(|entry| {
                entry.kind == EntryKind::Charged
                    && entry
                        .packs
                        .iter()
                        .any(|known| known.trim().to_lowercase() == pack.trim().to_lowercase())
                    && (crash.at..=crash.at + within).contains(&entry.at)
            });
            found.push((crash, pack.as_str(), charged.map(|entry| entry.at).min()));
        }
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{Measured, Ticked};

    fn entry(at: i64, kind: EntryKind) -> Entry {
        Entry { packs: vec!["P1".into()], ..Entry::new(at, kind, "x").of("merlin") }
    }

    #[test]
    fn a_crash_stays_open_until_the_whole_list_is_ticked() {
        let mut entries =
            vec![entry(10, EntryKind::Crashed), entry(20, EntryKind::Flown), entry(30, EntryKind::Flown)];
        assert_eq!(crash_unchecked(&entries, "merlin").map(|crash| crash.at), Some(10));
        assert_eq!(flown_since(&entries, "merlin", &entries[0]), 2);
        assert!(crash_unchecked(&entries, "kestrel").is_none());
        let mut ticked =
            Ticked { list: ListKind::AfterCrash, ticked: vec!["a".into()], left: vec!["b".into()] };
        entries.push(Entry { ticked: Some(ticked.clone()), ..entry(40, EntryKind::Checked) });
        assert!(crash_unchecked(&entries, "merlin").is_some(), "half a list is none");
        ticked.left.clear();
        entries.push(Entry { ticked: Some(ticked), ..entry(50, EntryKind::Checked) });
        assert!(crash_unchecked(&entries, "merlin").is_none());
    }

    #[test]
    fn within_one_second_the_order_of_entering_decides() {
        let whole = Ticked { list: ListKind::AfterCrash, ticked: vec!["a".into()], left: vec![] };
        let ticked = Entry { ticked: Some(whole), ..entry(10, EntryKind::Checked) };
        let mut entries = vec![
            entry(10, EntryKind::Flown),
            ticked.clone(),
            entry(10, EntryKind::Crashed),
            entry(10, EntryKind::Flown),
        ];
        let crash = crash_unchecked(&entries, "merlin").map(|crash| flown_since(&entries, "merlin", crash));
        assert_eq!(crash, Some(1), "the list was ticked before the crash, the second flight came after it");
        assert!(lately(&entries, "merlin").crashed.is_none(), "it was flown since");
        entries.pop();
        assert!(lately(&entries, "merlin").crashed.is_some());
        entries.push(ticked);
        assert!(crash_unchecked(&entries, "merlin").is_none());
    }

    #[test]
    fn what_was_pulled_built_or_changed_counts_until_the_next_flight() {
        let pulled = Entry { plugged: vec!["pigtail".into()], ..entry(20, EntryKind::Repaired) };
        let lens = Entry { parts: vec!["Lens, 1.6 mm".into()], ..entry(21, EntryKind::Changed) };
        let mut entries = vec![entry(5, EntryKind::Built), entry(10, EntryKind::Loaded), pulled, lens];
        let found = lately(&entries, "merlin");
        assert!(found.built.is_some() && found.unplugged.is_some() && found.new_lens.is_some());
        assert!(found.loaded.is_none(), "it was repaired since");
        entries.push(entry(30, EntryKind::Flown));
        assert_eq!(lately(&entries, "merlin"), Lately::default());
        assert_eq!(lately(&entries, "kestrel"), Lately::default());
    }

    #[test]
    fn a_pack_stands_as_last_measured_until_it_is_flown() {
        let volts = |at, value| Entry {
            measured: vec![Measured { reading: Reading::CellVolts, value }],
            ..entry(at, EntryKind::Charged)
        };
        let mut entries = vec![volts(10, 4.2)];
        assert_eq!(charge_of(&entries, "p1 "), Some(Charge { volts: 4.2, at: 10 }));
        entries.push(entry(20, EntryKind::Flown));
        assert_eq!(charge_of(&entries, "P1"), None);
        entries.push(volts(30, 3.82));
        assert_eq!(charge_of(&entries, "P1").map(|charge| charge.volts), Some(3.82));
    }

    #[test]
    fn a_hit_pack_charged_within_a_day_is_found() {
        let mut crash = entry(1000, EntryKind::Crashed);
        crash.pack_hit = true;
        let day = 86_400;
        let with = |at| [crash.clone(), entry(at, EntryKind::Charged)];
        assert_eq!(pack_hit(&with(1000 + day), "merlin", day)[0].2, Some(1000 + day));
        assert_eq!(pack_hit(&with(1001 + day), "merlin", day)[0].2, None);
        assert_eq!(pack_hit(&with(999), "merlin", day)[0].2, None);
    }
}
