//! Routes of leads that are laid while something else is done.
//!
//! Laying a route asks for the scene alone, and takes as long as half of all rules together. So a thread lays one after
//! the other while the rules run that need none; who comes to their end first helps with the rest. Which thread finds a
//! route, and when, makes no difference to any: they are told in the order they were asked for.

use fit::{AskedRoute, KnownRoute, Scene, route_again};
use std::sync::atomic::{AtomicUsize, Ordering};
use std::sync::{Arc, Mutex, PoisonError};

/// Routes to be laid.
#[derive(Debug, Default)]
pub(crate) struct Laying {
    asked: Vec<AskedRoute>,
    next: AtomicUsize,
    found: Mutex<Vec<(usize, Arc<KnownRoute>)>>,
}

impl Laying {
    /// Nothing laid yet.
    pub fn of(asked: Vec<AskedRoute>) -> Self {
        Self { asked, ..Self::default() }
    }

    /// Does something while the routes are laid, and comes back when both are done.
    pub fn meanwhile<R>(&self, scene: &Scene, other: impl FnOnce() -> R) -> R {
        if self.asked.is_empty() {
            return other();
        }
        std::thread::scope(|threads| {
            let helper = threads.spawn(|| self.lay(scene));
            let done = other();
            self.lay(scene);
            // A thread that failed has found nothing: its route is then found when it is asked for.
            helper.join().ok();
            done
        })
    }

    /// Lays the next until none is left.
    fn lay(&self, scene: &Scene) {
        while let Some(asked) = {
            let number = self.next.fetch_add(1, Ordering::Relaxed);
            self.asked.get(number).map(|asked| (number, asked))
        } {
            let (number, asked) = asked;
            if let Some(known) = route_again(scene, &asked.question(), &[]).1 {
                self.found.lock().unwrap_or_else(PoisonError::into_inner).push((number, known));
            }
        }
    }

    /// What was found, in the order it was asked for.
    pub fn found(self) -> Vec<Arc<KnownRoute>> {
        let mut found = self.found.into_inner().unwrap_or_else(PoisonError::into_inner);
        found.sort_by_key(|(number, _)| *number);
        found.into_iter().map(|(_, known)| known).collect()
    }
}
