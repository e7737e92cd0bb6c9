//! The one card that is being written: a thread of its own, which says how far it is and can be told to stop.

use crate::bench::Bench;
use crate::refusal::{Cause, Refusal};
use crate::staging::write_card;
use crate::wire::load::WritingView;
use cards::{Deed, Turn};
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::{Arc, Mutex, PoisonError};

/// What is being written, if anything, and how the last writing ended.
#[derive(Default)]
pub struct Writing {
    stands: Mutex<Option<WritingView>>,
    stop: AtomicBool,
}

impl Writing {
    /// How far it is.
    pub fn view(&self) -> WritingView {
        let none = || WritingView {
            state: "none",
            doing: String::new(),
            share: 0.0,
            refused: None,
            batch: String::new(),
        };
        self.stands.lock().unwrap_or_else(PoisonError::into_inner).clone().unwrap_or_else(none)
    }

    /// Tells it to stop; the card is then as it was.
    pub fn stop(&self) {
        self.stop.store(true, Ordering::Relaxed);
    }

    fn say(&self, view: WritingView) {
        *self.stands.lock().unwrap_or_else(PoisonError::into_inner) = Some(view);
    }

    /// Begins to write the next card of a batch.
    pub fn begin(self: &Arc<Self>, bench: &Arc<Mutex<Bench>>, batch: &str) -> Result<WritingView, Refusal> {
        let (number, card, load) = bench.lock().unwrap_or_else(PoisonError::into_inner).to_write(batch)?;
        let first = WritingView {
            state: "writing",
            doing: "begins".into(),
            share: 0.0,
            refused: None,
            batch: batch.to_owned(),
        };
        {
            let mut stands = self.stands.lock().unwrap_or_else(PoisonError::into_inner);
            if stands.as_ref().is_some_and(|view| view.state == "writing") {
                return Err(Refusal::new(Cause::Clash, "a card is being written already")
                    .hint("Wait for it, or stop it."));
            }
            *stands = Some(first.clone());
        }
        self.stop.store(false, Ordering::Relaxed);
        let (writing, bench, batch) = (Arc::clone(self), Arc::clone(bench), batch.to_owned());
        std::thread::spawn(move || {
            let view = |state, doing: &str, share| WritingView {
                state,
                doing: doing.to_owned(),
                share,
                refused: None,
                batch: batch.clone(),
            };
            let mut watch = |deed: &Deed| {
                let (doing, share) = told(deed);
                writing.say(view("writing", &doing, share));
                if writing.stop.load(Ordering::Relaxed) { Turn::Stop } else { Turn::GoOn }
            };
            let outcome = write_card(&card, &load, &mut watch).and_then(|lies| {
                bench.lock().unwrap_or_else(PoisonError::into_inner).card_written(&batch, number, lies)
            });
            writing.say(match outcome {
                Ok(_) => view("done", "written and read back", 1.0),
                Err(refusal) if writing.stop.load(Ordering::Relaxed) => {
                    WritingView { refused: Some(refusal.to_string()), ..view("stopped", "stopped", 0.0) }
                }
                Err(refusal) => {
                    WritingView { refused: Some(refusal.to_string()), ..view("failed", "failed", 0.0) }
                }
            });
        });
        Ok(first)
    }
}

/// What is being done, and how much of the whole is done: half is writing, half reading back.
fn told(deed: &Deed) -> (String, f64) {
    let share = |done: u64, of: u64| if of == 0 { 0.0 } else { done as f64 / of as f64 };
    match deed {
        Deed::Begin { name } => (format!("begins {name}"), 0.0),
        Deed::Write { done, of } => ("writes".into(), 0.5 * share(*done, *of)),
        Deed::Sync => ("forces it onto the card".into(), 0.5),
        Deed::ReadBack { done, of } => ("reads it back".into(), 0.5 + 0.5 * share(*done, *of)),
        Deed::Commit | Deed::Remove { .. } | Deed::Rename { .. } | Deed::Finish => {
            ("gives it its name".into(), 1.0)
        }
    }
}
