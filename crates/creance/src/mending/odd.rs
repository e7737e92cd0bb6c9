//! A unit that is odd after a load: the search for its fault begins with what is known of it already.
//!
//! A unit that did not come back is dead after a load. One that reports another version than it was given lives, so it is neither
//! dead nor dark; the load passed it by. What was loaded since the last good picture is true in both cases. The card was read back
//! and compared with its master before the unit had it; that is told in the words, not counted as a test: the card may have changed
//! hands since.

use super::base_of;
use crate::bench::{Bench, now};
use crate::refusal::{Cause, Refusal};
use craft::CraftId;
use faults::Answer;
use firmware::{Batch, Next, StepState};

/// The sign of a unit that did not come back, and of one that took no notice.
const DEAD: &str = "dead_after_load";
const IGNORED: &str = "load_ignored";

impl Bench {
    /// Begins a mending session about the odd unit of a batch, with what is known entered; gives the craft it is kept under: the
    /// unit's own, or the one that was named for a unit in no craft.
    pub fn mend_odd(&mut self, batch: &str, craft: Option<&str>) -> Result<CraftId, Refusal> {
        let kept = self.kept::<Batch>()?.into_iter().find(|kept| kept.id == batch);
        let kept =
            kept.ok_or_else(|| Refusal::new(Cause::NoSuch, format!("there is no batch {batch:?}")))?.thing;
        let Next::Look(number, step) = kept.next() else {
            return Err(Refusal::new(Cause::Clash, format!("no unit of batch {batch} is odd"))
                .hint("Say first what the unit reports after its turn."));
        };
        let unit = self.kept::<firmware::Unit>()?.into_iter().find(|kept| kept.id == step.unit);
        let home = unit.and_then(|kept| kept.thing.craft);
        let Some(home) = home.as_deref().or(craft).filter(|id| !id.is_empty()) else {
            return Err(Refusal::new(
                Cause::Misread,
                format!("unit {} is in no craft, and a search is kept under one", step.unit),
            )
            .hint("Name the craft that it is tried with."));
        };
        let id = CraftId::new(home).map_err(|fault| Refusal::new(Cause::NoSuch, fault.to_string()))?;
        self.craft_of(&id)?;
        if self.shop().mendings(Some(&id))?.iter().any(|row| !row.ended) {
            return Err(Refusal::new(Cause::Clash, format!("a mending session of {id} is open already"))
                .hint("Go on with it, or end it first; what was answered stays on record."));
        }
        let stamp = now().to_string();
        let reported = match kept.states.get(number) {
            Some(StepState::Odd { reported }) => reported.clone(),
            _ => None,
        };
        let complaint = if reported.is_some() { IGNORED } else { DEAD };
        let base = &base_of(self.shop())?;
        let mut session = self.begun(base, &id, complaint, &stamp)?;
        session.say(base, "recent_load", true)?;
        let what = match &reported {
            None => format!("Mending begun: unit {} was given {} and did not come back", step.unit, step.to),
            Some(reads) => {
                for sign in [DEAD, "air_dark"] {
                    session.answer(base, Answer::Sign { id: sign.to_owned(), seen: 0.0 }, &stamp)?;
                }
                format!("Mending begun: unit {} was given {} and reports {reads}", step.unit, step.to)
            }
        };
        session.about = what.trim_start_matches("Mending begun: ").to_owned();
        self.keep_session(base, &id, None, &session, what)?;
        Ok(id)
    }
}
