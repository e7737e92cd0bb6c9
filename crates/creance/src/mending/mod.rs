//! Fault finding for one craft: facts from its parts and proof, the session kept in the workshop, the advice of the moment.

mod facts;
mod odd;
mod view;

use crate::bench::{Bench, now};
use crate::refusal::{Cause, Refusal};
use crate::wire::mend::{MendPast, MendSaid, MendView};
use care::EntryKind;
use craft::CraftId;
use faults::{Answer, Base, Counts, Session, Verdict};
use std::collections::BTreeSet;
use std::sync::OnceLock;
use view::{cause_words, does_of, past, sign_words};
use workshop::{Ended, MendingRow, Workshop};

pub use facts::{fleet_of, fleet_of_class};
pub use view::{page, session_view};

/// The setting that says after which session the fleet's counts begin.
const COUNTS_SINCE: &str = "mend.counts_since";

/// The knowledge that comes with the program.
pub fn base() -> &'static Base {
    static BASE: OnceLock<Base> = OnceLock::new();
    BASE.get_or_init(|| Base::embedded().0)
}

/// The knowledge of a workshop: the program's, with the owner's own laid over it.
pub fn base_of(shop: &Workshop) -> Result<Base, Refusal> {
    match shop.knowledge()? {
        None => Ok(base().clone()),
        Some(text) => laid_over(&text, "the fault knowledge of this workshop").map_err(|refusal| {
            refusal.hint("Take it in anew with `creance lore FILE`, or out with `creance lore --forget`.")
        }),
    }
}

/// What of a knowledge is not the program's, in words; empty for nothing.
pub fn own_words(laid: &Base) -> String {
    let own = base();
    let fresh = [
        ("cause", laid.causes.iter().filter(|one| !own.causes.contains(one)).count()),
        ("sign", laid.signs.iter().filter(|one| !own.signs.contains(one)).count()),
        ("test", laid.tests.iter().filter(|one| !own.tests.iter().any(|two| two.id == one.id)).count()),
        ("repair", laid.repairs.iter().filter(|one| !own.repairs.iter().any(|two| two.id == one.id)).count()),
    ];
    let told: Vec<String> = fresh
        .iter()
        .filter(|(_, count)| *count > 0)
        .map(|(word, count)| format!("{count} {word}{}", if *count == 1 { "" } else { "s" }))
        .collect();
    if told.is_empty() { String::new() } else { format!("{} of your own", told.join(", ")) }
}

/// The program's knowledge with a text laid over it, or all that is wrong with the text.
pub fn laid_over(text: &str, called: &str) -> Result<Base, Refusal> {
    let (laid, faults) = base().with(text);
    if faults.is_empty() {
        return Ok(laid);
    }
    let told: Vec<String> = faults.iter().map(|fault| format!("  {fault}")).collect();
    Err(Refusal::new(Cause::Unfit, format!("{called} cannot be taken:\n{}", told.join("\n"))))
}

impl From<faults::SessionFault> for Refusal {
    fn from(fault: faults::SessionFault) -> Self {
        use faults::SessionFault::*;
        let cause = match fault {
            NoSuch { .. } | NoEntry { .. } => Cause::NoSuch,
            Ended => Cause::Clash,
            NoOutcome { .. } | Likelihood { .. } | TooLong => Cause::Unfit,
        };
        Refusal::new(cause, fault.to_string())
    }
}

/// What the fleet's ended sessions taught. Sessions of the demo teach the demo alone, and one's own one's own.
pub fn counts_of(base: &Base, shop: &Workshop, demo: bool) -> Result<Counts, Refusal> {
    let since: i64 = shop.setting(COUNTS_SINCE)?.and_then(|text| text.parse().ok()).unwrap_or(0);
    let alike = alike(shop, demo)?;
    let mut counts = Counts::default();
    // What was taken back in the journal was not so: it teaches nothing.
    let taken_back: BTreeSet<i64> = shop
        .kept::<care::Entry>()?
        .into_iter()
        .filter(|kept| !kept.thing.stands())
        .filter_map(|kept| kept.thing.search)
        .collect();
    let counting = |row: &&MendingRow| {
        row.ended && row.number > since && !taken_back.contains(&row.number) && alike(row)
    };
    for row in shop.mendings(None)?.iter().rev().filter(counting) {
        if let Some((causes, signs, outcomes)) = session_of(row)?.lesson(base) {
            counts.learn(base, &causes, &signs, &outcomes);
        }
    }
    Ok(counts)
}

/// Whether a session is about a craft of the demo, or about one's own.
fn alike(shop: &Workshop, demo: bool) -> Result<impl Fn(&MendingRow) -> bool, Refusal> {
    let of_demo: BTreeSet<String> =
        shop.list_craft()?.into_iter().filter(|card| card.demo).map(|card| card.id.to_string()).collect();
    Ok(move |row: &MendingRow| of_demo.contains(&row.craft) == demo)
}

fn session_of(row: &MendingRow) -> Result<Session, Refusal> {
    serde_json::from_str(&row.text).map_err(|error| {
        Refusal::new(Cause::Ours, format!("mending session {} cannot be read: {error}", row.number))
    })
}

impl Bench {
    /// The page of a craft.
    pub fn mend(&mut self, id: &CraftId) -> Result<MendView, Refusal> {
        let judged = self.judged(id)?;
        let rows = self.shop().mendings(Some(id))?;
        let base = &base_of(self.shop())?;
        let counts = counts_of(base, self.shop(), self.shop().is_demo(id)?)?;
        let history = self.history()?;
        let open = rows
            .iter()
            .find(|row| !row.ended)
            .map(|row| Ok::<_, Refusal>((row.number, session_of(row)?)))
            .transpose()?;
        let past =
            rows.iter().filter(|row| row.ended).map(|row| Ok(past(base, row.number, &session_of(row)?)));
        let past = past.collect::<Result<Vec<MendPast>, Refusal>>()?;
        let session = open
            .map(|(number, session)| session_view(base, number, &session, &judged, &counts, Some(&history)));
        Ok(page(base, &judged.craft, session, past, &counts))
    }

    /// Says something in the session of a craft.
    pub fn mend_say(&mut self, id: &CraftId, said: MendSaid) -> Result<MendView, Refusal> {
        let base = &base_of(self.shop())?;
        let stamp = now().to_string();
        let rows = self.shop().mendings(Some(id))?;
        if matches!(said, MendSaid::Forget {}) {
            let last = self.shop().mendings(None)?.first().map_or(0, |row| row.number);
            self.shop_mut().set_setting(COUNTS_SINCE, Some(&last.to_string()))?;
            return self.mend(id);
        }
        self.shop().craft(id)?;
        let open = rows.iter().find(|row| !row.ended);
        let (number, mut session) = match (open, &said) {
            (Some(_), MendSaid::Begin { .. }) => {
                let words = "a mending session of this craft is still open";
                return Err(Refusal::new(Cause::Clash, words)
                    .hint("End it first; what was answered stays on record."));
            }
            (None, MendSaid::Begin { complaint }) => (None, self.begun(base, id, complaint, &stamp)?),
            (Some(row), _) => (Some(row.number), session_of(row)?),
            (None, _) => {
                let words = "no mending session of this craft is open";
                return Err(Refusal::new(Cause::NoSuch, words).hint("Begin one with what is seen."));
            }
        };
        let what = say(base, &mut session, said, &stamp)?;
        self.keep_session(base, id, number, &session, what)?;
        self.mend(id)
    }

    /// A new session, with what was at hand in the latest one of the fleet; the demo's and one's own do not mix.
    fn begun(&self, base: &Base, id: &CraftId, complaint: &str, stamp: &str) -> Result<Session, Refusal> {
        let mut session = Session::begin(base, complaint, stamp)?;
        let alike = alike(self.shop(), self.shop().is_demo(id)?)?;
        if let Some(row) = self.shop().mendings(None)?.iter().find(|row| alike(row)) {
            session.carry(base, &session_of(row)?);
        }
        Ok(session)
    }

    /// Keeps a session as it now stands; one that has ended leaves its repair in the journal, with the parts it used up.
    fn keep_session(
        &mut self,
        base: &Base,
        id: &CraftId,
        number: Option<i64>,
        session: &Session,
        what: String,
    ) -> Result<(), Refusal> {
        let at = now();
        let text =
            serde_json::to_string(session).map_err(|error| Refusal::new(Cause::Ours, error.to_string()))?;
        let ended = session.verdict.as_ref().map_or(Ended::No, |verdict| {
            let words = what.trim_start_matches("Mended: ");
            let mut entry = care::Entry::new(at.unix_seconds(), EntryKind::Repaired, words);
            entry.craft = Some(id.to_string());
            let repair = verdict.repair.as_ref().and_then(|id| base.repair(id));
            entry.parts = repair.map(|repair| base.parts_of_repair(repair)).unwrap_or_default();
            Ended::WithEntry(Box::new(entry))
        });
        self.shop_mut().keep_mending(number, id, &text, ended, what, at)?;
        Ok(())
    }
}

/// Carries out what was said; gives it in words for the record.
fn say(base: &Base, session: &mut Session, said: MendSaid, at: &str) -> Result<String, Refusal> {
    let told = |answer: &Answer| {
        answer.observation(base).map(|one| {
            let words = one.words(base);
            let (id, outcome) = words.split_once(": ").unwrap_or((&words, ""));
            format!("Mending: {}: {}", does_of(base, id), outcome.replace('_', " "))
        })
    };
    let mut answer = |answer: Answer| -> Result<String, Refusal> {
        let words = told(&answer)?;
        session.answer(base, answer, at)?;
        Ok(words)
    };
    Ok(match said {
        MendSaid::Begin { .. } | MendSaid::Forget {} => {
            format!("Mending begun: {}", sign_words(base, &session.complaint))
        }
        MendSaid::Sign { id, seen } => answer(Answer::Sign { id, seen })?,
        MendSaid::Test { id, outcome, sure } => answer(Answer::Test { id, outcome, sure })?,
        MendSaid::Repair { id, gone } => answer(Answer::Repair { id, gone })?,
        MendSaid::TakeBack { number } => {
            session.take_back(number as usize, at)?;
            format!("Mending: answer {number} taken back")
        }
        MendSaid::Fact { id, holds } => {
            session.say(base, &id, holds)?;
            format!("Mending: {} {}", id.replace('_', " "), if holds { "holds" } else { "does not hold" })
        }
        MendSaid::Tool { name, at_hand } => {
            session.tool(base, &name, at_hand)?;
            format!("Mending: {name} {}", if at_hand { "at hand" } else { "not at hand" })
        }
        MendSaid::Strike { id, out } => {
            session.strike(base, &id, out)?;
            format!("Mending: {} {}", does_of(base, &id), if out { "struck out" } else { "stands again" })
        }
        MendSaid::Field { at_the_field } => {
            session.at_the_field = at_the_field;
            format!("Mending: at the {}", if at_the_field { "field" } else { "bench" })
        }
        MendSaid::End { causes, repair, words } => {
            let found: Vec<String> = causes.iter().map(|id| cause_words(base, id)).collect();
            let found = if found.is_empty() { "nothing found".to_owned() } else { found.join(" and ") };
            let repaired = repair.as_ref().map(|id| format!("; {}", does_of(base, id))).unwrap_or_default();
            let more = if words.trim().is_empty() { String::new() } else { format!(" ({})", words.trim()) };
            let complaint = sign_words(base, &session.complaint);
            if words.chars().count() > 2000 {
                return Err(Refusal::new(Cause::Unfit, "the words of a verdict are at most 2000 letters"));
            }
            session
                .end(base, Verdict { at: at.to_owned(), causes, repair, words: words.trim().to_owned() })?;
            format!("Mended: {complaint}: {found}{repaired}{more}")
        }
    })
}
