//! Searches for placements under way: a thread each, which says how far it is and ends when told.
//!
//! A search works on the craft as it stood when it was asked for, and holds no lock of the bench meanwhile. A new one for
//! the same craft ends the one before; one that nobody asks for any more ends by itself.

use crate::placing::{Also, step};
use crate::refusal::{Cause, Refusal};
use crate::wire::placed::{DoingWord, PlacedTold, SearchView};
use craft::{Craft, CraftId, Edit, PlaceId, apply};
use drawing::thumbnail_marking;
use proof::placement::{PlacementFault, PlacementQuestion, Placements, placements, refused};
use proof::{OutlineStore, prove_again};
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::{Arc, Mutex, PoisonError};
use std::time::{Duration, Instant};
use tokio::sync::watch;

/// Searches under way at most.
const RUNNING_MAX: usize = 4;
/// Searches kept for taking a placement of them.
const KEPT_MAX: usize = 16;
/// How long a search goes on that nobody asks for.
const ASKED_WITHIN: Duration = Duration::from_secs(60);
/// How long an answer waits for a search to be done.
const ANSWERED_WITHIN: Duration = Duration::from_millis(400);
/// How long stopping waits for a search to end.
const STOPPED_WITHIN: Duration = Duration::from_secs(5);

/// Every search that is under way or kept.
#[derive(Default)]
pub struct Searches(Mutex<Kept>);

#[derive(Default)]
struct Kept {
    last: u32,
    all: Vec<Arc<Search>>,
}

/// One search.
pub struct Search {
    number: u32,
    /// The craft as it was searched.
    pub craft: Craft,
    stopped: AtomicBool,
    asked: Mutex<Instant>,
    stands: watch::Sender<Stands>,
}

/// How far a search is.
#[derive(Clone)]
enum Stands {
    Under { share: f64, doing: DoingWord },
    Done(Arc<Outcome>),
}

enum Outcome {
    Found(Box<Pictured>),
    Fault(PlacementFault),
    Stumbled,
}

/// What was found, with a small top view of the craft as it was searched and of each placement.
struct Pictured {
    found: Placements,
    now: String,
    pictures: Vec<String>,
}

impl Searches {
    /// Begins a search. What cannot be searched at all is refused here and now, however long a search would take.
    pub fn begin(
        &self,
        craft: Craft,
        question: PlacementQuestion,
        outlines: Arc<OutlineStore>,
    ) -> Result<Arc<Search>, Refusal> {
        refused(&craft, &question, &outlines)?;
        let mut kept = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        let running = |search: &&Arc<Search>| !search.is_done();
        kept.all.iter().filter(running).filter(|one| one.craft.id == craft.id).for_each(|one| one.stop());
        let others = kept.all.iter().filter(running).filter(|one| one.craft.id != craft.id).count();
        if others >= RUNNING_MAX {
            return Err(Refusal::new(Cause::Clash, format!("{others} searches are under way already"))
                .hint("Stop one of them, or wait until it is done."));
        }
        kept.last += 1;
        let stands = watch::Sender::new(Stands::Under { share: 0.0, doing: DoingWord::Searching });
        let (stopped, asked) = (AtomicBool::new(false), Mutex::new(Instant::now()));
        let search = Arc::new(Search { number: kept.last, craft, stopped, asked, stands });
        let mine = Arc::clone(&search);
        std::thread::Builder::new()
            .name("placement".to_owned())
            .spawn(move || mine.run(&question, &outlines))
            .map_err(|cause| Refusal::new(Cause::Ours, format!("no thread for the search: {cause}")))?;
        kept.all.push(Arc::clone(&search));
        if kept.all.len() > KEPT_MAX {
            kept.all.remove(0).stop();
        }
        Ok(search)
    }

    /// The search of a number, of this craft.
    pub fn of(&self, craft: &CraftId, number: u32) -> Result<Arc<Search>, Refusal> {
        let kept = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        let found = kept.all.iter().find(|one| one.number == number && one.craft.id == *craft);
        found.cloned().ok_or_else(|| {
            Refusal::new(Cause::NoSuch, format!("search {number} of this craft is not known any more"))
                .hint("Search again.")
        })
    }
}

impl Search {
    /// How it stands, once it is done or a moment has passed.
    pub async fn view(&self) -> Result<SearchView, Refusal> {
        self.viewed_within(ANSWERED_WITHIN).await
    }

    /// Ends it; what it found so far counts.
    pub async fn stopped(&self) -> Result<SearchView, Refusal> {
        self.stop();
        self.viewed_within(STOPPED_WITHIN).await
    }

    /// One of its placements as one step.
    pub fn step(&self, number: Option<u32>, also: Also) -> Result<Edit, Refusal> {
        let stands = self.stands.borrow().clone();
        let Stands::Done(outcome) = stands else {
            return Err(Refusal::new(Cause::Clash, "the search is still under way").hint("Wait, or stop it."));
        };
        step(&self.craft, &outcome.found()?.found, number.map(|number| number as usize), also)
    }

    fn stop(&self) {
        self.stopped.store(true, Ordering::Relaxed);
    }

    fn is_done(&self) -> bool {
        matches!(*self.stands.borrow(), Stands::Done(_))
    }

    async fn viewed_within(&self, most: Duration) -> Result<SearchView, Refusal> {
        *self.asked.lock().unwrap_or_else(PoisonError::into_inner) = Instant::now();
        let mut stands = self.stands.subscribe();
        // Whether it came to its end in time is seen from how it stands.
        let _ = tokio::time::timeout(most, stands.wait_for(|now| matches!(now, Stands::Done(_)))).await;
        let stands = self.stands.borrow().clone();
        let view = |share, doing| SearchView {
            search: self.number,
            share,
            doing,
            found: None,
            picture_now: String::new(),
            pictures: Vec::new(),
        };
        match stands {
            Stands::Under { share, doing } => Ok(view(share, doing)),
            Stands::Done(outcome) => {
                let Pictured { found, now, pictures } = outcome.found()?;
                let found = Some(PlacedTold::new(&self.craft, found));
                let (picture_now, pictures) = (now.clone(), pictures.clone());
                Ok(SearchView { found, picture_now, pictures, ..view(1.0, DoingWord::Done) })
            }
        }
    }

    fn run(&self, question: &PlacementQuestion, outlines: &Arc<OutlineStore>) {
        // A fault of ours in one search ends that search and nothing else.
        let outcome = catch_unwind(AssertUnwindSafe(|| self.searched(question, outlines)));
        self.stands.send_replace(Stands::Done(Arc::new(outcome.unwrap_or(Outcome::Stumbled))));
    }

    fn searched(&self, question: &PlacementQuestion, outlines: &Arc<OutlineStore>) -> Outcome {
        let go_on = |progress: proof::placement::Progress| {
            let doing = progress.doing.into();
            self.stands.send_replace(Stands::Under { share: progress.share, doing });
            let asked = *self.asked.lock().unwrap_or_else(PoisonError::into_inner);
            !self.stopped.load(Ordering::Relaxed) && asked.elapsed() < ASKED_WITHIN
        };
        match placements(&self.craft, question, outlines, &go_on) {
            Ok(found) => {
                let pictures = found.best.iter().map(|one| self.picture(&one.edits, outlines)).collect();
                let proved = prove_again(&self.craft, outlines);
                let now = thumbnail_marking(&self.craft, &proved, &found.searched);
                Outcome::Found(Box::new(Pictured { found, now, pictures }))
            }
            Err(fault) => Outcome::Fault(fault),
        }
    }

    /// A small top view of the craft with a placement, what moves drawn darker.
    fn picture(&self, edits: &[Edit], outlines: &Arc<OutlineStore>) -> String {
        let made = edits.iter().try_fold(self.craft.clone(), |craft, edit| apply(&craft, edit));
        let Ok(after) = made else { return String::new() };
        let moved: Vec<PlaceId> = after
            .places
            .iter()
            .filter(|place| !self.craft.places.contains(place))
            .map(|p| p.id.clone())
            .collect();
        thumbnail_marking(&after, &prove_again(&after, outlines), &moved)
    }
}

impl Outcome {
    fn found(&self) -> Result<&Pictured, Refusal> {
        match self {
            Self::Found(found) => Ok(found),
            Self::Fault(fault) => Err(fault.clone().into()),
            Self::Stumbled => {
                let words = "the search ended by a fault of this program's own; nothing was changed";
                Err(Refusal::new(Cause::Ours, words))
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::placing::question;

    #[test]
    fn a_place_that_is_not_there_is_refused_before_a_search_begins() {
        // Told by a search it would come too late for the first answer on a machine that is busy.
        let craft = crate::demo::craft().unwrap_or_default().remove(0).0;
        let searches = Searches::default();
        for (only, cause) in [("nowhere", Cause::NoSuch), ("frame", Cause::Unfit)] {
            let asked = question(&[only.to_owned()], 1).unwrap_or_default();
            let refused = searches.begin(craft.clone(), asked, Arc::default()).err();
            assert_eq!(refused.map(|refusal| refusal.cause), Some(cause), "{only}");
        }
        assert!(searches.0.lock().is_ok_and(|kept| kept.all.is_empty()));
    }
}
