//! The journal, counters and check lists: what the pages and the commands ask of the store.

use crate::bench::{Bench, now};
use crate::refusal::{Cause, Refusal};
use crate::wire::care::{CareView, CheckListView, CounterSent, CounterView, TickedSent};
use crate::wire::journal::{CraftName, EntrySent, EntryView, JournalAsked, JournalView, KeptView};
use crate::wire::journal_page::PageText;
use care::{
    Counter, CounterKind, Entry, EntryKind, ListKind, Measured, Reading, Search, Ticked, check_list, due,
};
use craft::CraftId;
use proof::check_facts;
use quantity::near_name;
use std::collections::BTreeMap;
use workshop::{Drawer, Keep, Kept, KeptLine, Moment};

/// Entries a page gets at most; the table and the page to send hold them all.
const ENTRIES_SHOWN: usize = 300;

/// Noon, in seconds of the day: a day alone is entered so.
const HALF_A_DAY: i64 = 43_200;
/// How far local time runs ahead of UTC at most, in seconds (14 h).
const EARLIEST_ZONE: i64 = 50_400;
/// How far two clocks may differ, in seconds.
const CLOCKS_APART: i64 = 600;

/// What a search finds, newest first, with how many there are in all.
fn found(bench: &Bench, asked: &JournalAsked) -> Result<Vec<Kept<Entry>>, Refusal> {
    let kinds = asked.kinds.split(',').map(str::trim).filter(|word| !word.is_empty());
    let kinds = kinds.map(kind_of).collect::<Result<Vec<_>, _>>()?;
    let craft = Some(asked.craft.trim()).filter(|craft| !craft.is_empty()).map(str::to_owned);
    let search = Search { craft, kinds, words: asked.words.clone(), from: None, to: None };
    let mut entries = bench.kept::<Entry>()?;
    entries.retain(|kept| search.finds(&kept.thing));
    entries.sort_by(|a, b| (b.thing.at, &b.id).cmp(&(a.thing.at, &a.id)));
    Ok(entries)
}

fn kind_of(word: &str) -> Result<EntryKind, Refusal> {
    let words = || EntryKind::ALL.iter().map(|kind| kind.word());
    EntryKind::from_word(word).ok_or_else(|| unknown("kind of entry", word, words()))
}

fn unknown(what: &str, word: &str, known: impl Iterator<Item = &'static str> + Clone) -> Refusal {
    let refusal = Refusal::new(Cause::Misread, format!("no {what} {word:?}"));
    match near_name(word, known.clone()) {
        Some(near) => refusal.hint(format!("Did you mean {near:?}?")),
        None => refusal.hint(format!("There are {}.", known.collect::<Vec<_>>().join(", "))),
    }
}

/// A moment as an entry carries it; now when it is left out.
pub fn moment_of(text: Option<&str>) -> Result<i64, Refusal> {
    let Some(text) = text.map(str::trim).filter(|text| !text.is_empty()) else {
        return Ok(now().unix_seconds());
    };
    // A day alone, and a minute as a page gives it, are whole moments too.
    let spelled = match text.len() {
        10 => format!("{text}T12:00:00Z"),
        16 => format!("{text}:00Z"),
        _ => text.to_owned(),
    };
    let at = Moment::read(&spelled).map(Moment::unix_seconds).ok_or_else(|| {
        Refusal::new(
            Cause::Misread,
            format!(
                "{text:?} is no moment from 1970 on; write it such as 2024-05-04 or 2024-05-04T09:30:00Z"
            ),
        )
    })?;
    let (now, day) = (now().unix_seconds(), text.len() == 10);
    // A day alone begins up to 14 h earlier where the sun rises first; a moment has only the clocks between it and now.
    let ahead = if day { at - HALF_A_DAY - EARLIEST_ZONE } else { at - CLOCKS_APART };
    if ahead > now {
        return Err(Refusal::new(Cause::Unfit, format!("{text:?} lies in the future")).hint(
            "The journal holds what has happened; give the moment it happened at, in UTC, or the day.",
        ));
    }
    Ok(at.min(now))
}

/// A second as a date.
pub fn date(at: i64) -> String {
    Moment::from_unix_seconds(at).to_string()
}

impl Bench {
    /// The journal: what a search finds, newest first.
    pub fn journal_view(&self, asked: &JournalAsked) -> Result<JournalView, Refusal> {
        let craft = self.craft_names()?;
        let entries = found(self, asked)?;
        let names: BTreeMap<&str, &str> =
            craft.iter().map(|one| (one.id.as_str(), one.name.as_str())).collect();
        let shown = entries.iter().take(ENTRIES_SHOWN).map(|kept| EntryView::new(kept, &names)).collect();
        let mut plugs = Vec::new();
        let mut plugs_of: BTreeMap<String, Vec<String>> = BTreeMap::new();
        for kept in self.kept::<Counter>()?.into_iter().filter(|kept| kept.thing.kind.is_matings()) {
            plugs.push(kept.thing.thing.clone());
            if let Some(craft) = kept.thing.craft {
                plugs_of.entry(craft).or_default().push(kept.thing.thing);
            }
        }
        for plugs in plugs_of.values_mut().chain([&mut plugs]) {
            plugs.sort();
            plugs.dedup();
        }
        let total = entries.len() as u32;
        Ok(JournalView { total, entries: shown, plugs, plugs_of, ..JournalView::of(craft) })
    }

    /// The same as a table for a spreadsheet.
    pub fn journal_table(&self, asked: &JournalAsked) -> Result<String, Refusal> {
        let entries = found(self, asked)?;
        Ok(care::as_csv(entries.iter().map(|kept| &kept.thing), date))
    }

    /// The same as one page that can be sent.
    pub fn journal_page(&self, asked: &JournalAsked) -> Result<String, Refusal> {
        let craft = self.craft_names()?;
        let names: BTreeMap<&str, &str> =
            craft.iter().map(|one| (one.id.as_str(), one.name.as_str())).collect();
        let entries: Vec<EntryView> =
            found(self, asked)?.iter().map(|kept| EntryView::new(kept, &names)).collect();
        Ok(PageText { entries: &entries, made: &now().to_string() }.html())
    }

    fn craft_names(&self) -> Result<Vec<CraftName>, Refusal> {
        Ok(self
            .cards()?
            .into_iter()
            .map(|card| CraftName { id: card.id.to_string(), name: card.name })
            .collect())
    }

    /// Puts an entry in, or puts one right.
    pub fn enter(&mut self, sent: EntrySent) -> Result<KeptView, Refusal> {
        let kind = kind_of(&sent.kind)?;
        let reading = |measured: &crate::wire::journal::MeasuredSent| {
            let words = Reading::ALL.iter().map(|reading| reading.word());
            let reading = Reading::from_word(&measured.reading)
                .ok_or_else(|| unknown("reading", &measured.reading, words))?;
            Ok(Measured { reading, value: measured.value })
        };
        let craft = sent.craft.as_deref().map(str::trim).filter(|craft| !craft.is_empty()).map(str::to_owned);
        if let Some(craft) = &craft {
            self.known(craft)?;
        }
        self.units_known(&sent.units)?;
        self.plugs_known(craft.as_deref(), &sent.plugged)?;
        let mind = self.new_packs(&sent.packs)?;
        let entry = Entry {
            craft,
            parts: sent.parts,
            units: sent.units,
            packs: sent.packs,
            plugged: sent.plugged,
            minutes: sent.minutes,
            measured: sent.measured.iter().map(reading).collect::<Result<_, Refusal>>()?,
            as_new: sent.as_new,
            pack_hit: sent.pack_hit,
            ..Entry::new(moment_of(sent.at.as_deref())?, kind, sent.words.trim())
        };
        let what = match &entry.craft {
            Some(craft) => format!("Enter in the journal: {craft} {}", kind.plain()),
            None => format!("Enter in the journal: {}", kind.plain()),
        };
        Ok(KeptView { mind, ..self.keep(&what, &[Keep::Entry(sent.id, entry)])?.into() })
    }

    /// Refuses plugs that no counter of this craft counts: the mating would be counted nowhere.
    fn plugs_known(&self, craft: Option<&str>, plugs: &[String]) -> Result<(), Refusal> {
        let counters = self.kept::<Counter>()?;
        let known: Vec<&str> = counters
            .iter()
            .map(|kept| &kept.thing)
            .filter(|counter| {
                counter.kind.is_matings() && (craft.is_none() || counter.craft.as_deref() == craft)
            })
            .map(|counter| counter.thing.as_str())
            .collect();
        let Some(odd) = plugs.iter().find(|plug| !known.contains(&plug.trim())) else { return Ok(()) };
        let refusal = Refusal::new(Cause::NoSuch, format!("no counter counts the matings of a plug {odd:?}"));
        Err(match near_name(odd, known.iter().copied()) {
            Some(near) => refusal.hint(format!("Did you mean {near:?}?")),
            None => refusal.hint("Set its counter under Care first, or leave it out."),
        })
    }

    /// Says of packs that stand nowhere yet that they do: a slip of the pen would begin a pack of its own.
    fn new_packs(&self, packs: &[String]) -> Result<Vec<String>, Refusal> {
        let (entries, counters) = (self.kept::<Entry>()?, self.kept::<Counter>()?);
        let counted = counters.iter().map(|kept| &kept.thing);
        let counted = counted.filter(|counter| counter.kind == CounterKind::PackCycles);
        let known: Vec<&str> = entries
            .iter()
            .filter(|kept| kept.thing.stands())
            .flat_map(|kept| kept.thing.packs.iter().map(String::as_str))
            .chain(counted.map(|counter| counter.thing.as_str()))
            .collect();
        let new = packs.iter().filter(|pack| !known.contains(&pack.trim()));
        Ok(new
            .map(|pack| {
                let near = near_name(pack, known.iter().copied());
                let near =
                    near.map(|near| format!(" If it is {near}, put the entry right.")).unwrap_or_default();
                format!("Pack {pack} stands in the journal for the first time.{near}")
            })
            .collect())
    }

    /// Refuses labels that no unit bears.
    fn units_known(&self, labels: &[String]) -> Result<(), Refusal> {
        let units = self.kept::<firmware::Unit>()?;
        let Some(odd) = labels.iter().find(|label| !units.iter().any(|unit| unit.id == label.trim())) else {
            return Ok(());
        };
        let refusal = Refusal::new(Cause::NoSuch, format!("there is no unit {odd:?}"));
        Err(match near_name(odd, units.iter().map(|unit| unit.id.as_str())) {
            Some(near) => refusal.hint(format!("Did you mean {near:?}?")),
            None => refusal.hint("Describe it under Load first, or leave it out."),
        })
    }

    pub(crate) fn known(&self, craft: &str) -> Result<CraftId, Refusal> {
        let id =
            CraftId::new(craft).map_err(|fault| Refusal::new(Cause::NoSuch, format!("no craft: {fault}")))?;
        self.craft_of(&id)?;
        Ok(id)
    }

    /// Takes an entry back, or lets it stand again. It stays on record either way.
    pub fn let_stand(&mut self, id: &str, stands: bool) -> Result<KeptView, Refusal> {
        let found = self.kept::<Entry>()?.into_iter().find(|kept| kept.id == id);
        let mut entry = found
            .ok_or_else(|| Refusal::new(Cause::NoSuch, format!("there is no entry {id:?} in the journal")))?
            .thing;
        let was = entry.taken_back;
        entry.taken_back = if stands { None } else { was.or(Some(now().unix_seconds())) };
        let craft = entry.craft.as_deref().map(|craft| format!("{craft} ")).unwrap_or_default();
        let verb = if stands { "Let an entry stand again" } else { "Take an entry back" };
        let what = format!("{verb}: {craft}{} of {}", entry.kind.plain(), date(entry.at));
        Ok(self.keep(&what, &[Keep::Entry(Some(id.to_owned()), entry)])?.into())
    }

    /// Takes something out of a drawer.
    pub fn take_out(&mut self, drawer: Drawer, id: &str) -> Result<KeptView, Refusal> {
        if drawer == Drawer::Batch {
            return self.give_up(id);
        }
        Ok(self.keep(&format!("Take out {id}"), &[Keep::Without(drawer, id.to_owned())])?.into())
    }

    /// Puts a check list in the journal as it was ticked.
    pub fn ticked(&mut self, craft: &CraftId, sent: &TickedSent) -> Result<KeptView, Refusal> {
        let words = ListKind::ALL.iter().map(|list| list.word());
        let list = ListKind::from_word(&sent.list).ok_or_else(|| unknown("check list", &sent.list, words))?;
        let judged = self.judged(craft)?;
        let history = self.history()?;
        let items = check_list(list, &check_facts(&judged.craft, &judged.proved, Some(&history)));
        if let Some(odd) = sent.ticked.iter().find(|id| !items.iter().any(|item| item.id == **id)) {
            let words = format!(
                "the list {} of {craft} has no line {odd:?}; the craft may have changed",
                list.plain()
            );
            return Err(Refusal::new(Cause::Clash, words)
                .hint("Load the page again and go through the list once more."));
        }
        let (ticked, left): (Vec<_>, Vec<_>) =
            items.iter().map(|item| item.id.clone()).partition(|id| sent.ticked.contains(id));
        let at = now().unix_seconds();
        let ticked = Some(Ticked { list, ticked, left });
        let entry =
            Entry { ticked, ..Entry::new(at, EntryKind::Checked, sent.words.trim()).of(craft.as_str()) };
        let what = format!("Enter in the journal: {craft} checked, {}", list.plain());
        Ok(self.keep(&what, &[Keep::Entry(None, entry)])?.into())
    }

    /// Sets a counter.
    pub fn set_counter(&mut self, craft: &CraftId, sent: CounterSent) -> Result<KeptView, Refusal> {
        let words = CounterKind::ALL.iter().map(|kind| kind.word());
        let kind = CounterKind::from_word(&sent.kind).ok_or_else(|| unknown("counter", &sent.kind, words))?;
        let thing = sent.thing.trim().to_owned();
        // A pack goes from craft to craft.
        let counter = Counter {
            craft: (kind != CounterKind::PackCycles).then(|| craft.to_string()),
            thing,
            kind,
            base: sent.count,
            since: now().unix_seconds(),
            life: sent.life,
        };
        let what = format!("Set a counter of {craft}: {}", counter.thing);
        // What is counted on a craft of the demo goes with the demo.
        let demo = self.shop().is_demo(craft)?;
        let change = [Keep::Counter(sent.id, counter)];
        Ok(if demo { self.shop_mut().keep_demo(&what, &change, now())? } else { self.keep(&what, &change)? }
            .into())
    }

    /// Takes back what a line of the trail kept.
    pub fn take_back(&mut self, line: u32) -> Result<(), Refusal> {
        self.taken_back(i64::from(line))
    }

    /// Counters, findings of care and check lists of a craft.
    pub fn care_view(&mut self, craft: &CraftId) -> Result<CareView, Refusal> {
        let judged = self.judged(craft)?;
        let history = self.history()?;
        let counters = self.kept::<Counter>()?;
        // Its own, and those of packs, which go from craft to craft; the demo's packs stay with the demo.
        let demo = self.shop().is_demo(craft)?;
        let of_craft = |kept: &&Kept<Counter>| match &kept.thing.craft {
            Some(of) => of == craft.as_str(),
            None => kept.demo == demo,
        };
        let mine: Vec<&Kept<Counter>> = counters.iter().filter(of_craft).collect();
        let things: Vec<Counter> = mine.iter().map(|kept| kept.thing.clone()).collect();
        let told = due(&things, &history.entries);
        let counters = told.iter().filter_map(|due| {
            let number = things.iter().position(|counter| std::ptr::eq(counter, due.counter))?;
            Some(CounterView::new(&mine[number].id, due))
        });
        let facts = check_facts(&judged.craft, &judged.proved, Some(&history));
        let last = |list: ListKind| {
            let of_list = |entry: &&Entry| {
                entry.craft.as_deref() == Some(craft.as_str())
                    && entry.ticked.as_ref().is_some_and(|ticked| ticked.list == list)
            };
            history.entries.iter().filter(of_list).max_by_key(|entry| entry.at)
        };
        let list = |list: &ListKind| CheckListView::new(*list, check_list(*list, &facts), last(*list));
        let lists = ListKind::ALL.iter().map(list).collect();
        Ok(CareView::new(&judged, counters.collect(), lists))
    }
}

impl From<KeptLine> for KeptView {
    fn from(kept: KeptLine) -> Self {
        let line = kept.line.map(|line| u32::try_from(line).unwrap_or(u32::MAX));
        Self { line, ids: kept.ids, mind: Vec::new() }
    }
}
