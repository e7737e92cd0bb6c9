//! Which numbers a result was worked out from: noted while it is, so that nothing is asked again of numbers it never looked at.
//!
//! What no look was given cannot have changed the result: with that number moved, the same way is gone from the first step to the last.
//! So a slope on it is nought without asking, exactly, and no trial need draw it. Notes of one thread do not meet those of another, and a
//! result that is worked out within another is noted for both.

use std::cell::{Cell, RefCell};

thread_local! {
    static NOTING: Cell<bool> = const { Cell::new(false) };
    static NOTED: RefCell<Reads> = const { RefCell::new(Reads(Vec::new())) };
}

/// Numbers that were looked at, by their places.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct Reads(Vec<bool>);

impl Reads {
    /// Whether this number was looked at.
    pub(super) fn has(&self, k: usize) -> bool {
        self.0.get(k).copied().unwrap_or(false)
    }
    fn put(&mut self, k: usize) {
        if self.0.len() <= k {
            self.0.resize(k + 1, false);
        }
        self.0[k] = true;
    }
    /// Those of another as well.
    pub(super) fn join(&mut self, other: &Self) {
        other.0.iter().enumerate().filter(|(_, read)| **read).for_each(|(k, _)| self.put(k));
    }
}

/// A number is looked at.
pub(super) fn look(k: usize) {
    if NOTING.get() {
        NOTED.with_borrow_mut(|noted| noted.put(k));
    }
}

/// A result, and the numbers it was worked out from.
pub(super) fn noted<T>(work: impl FnOnce() -> T) -> (T, Reads) {
    // What a result left behind that did not come to its end is nobody's.
    let before = NOTED.take();
    let outside = NOTING.replace(true).then_some(before);
    let found = work();
    let reads = NOTED.take();
    NOTING.set(outside.is_some());
    if let Some(mut all) = outside {
        all.join(&reads);
        NOTED.set(all);
    }
    (found, reads)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_looked_at_within_is_noted_for_both() {
        let ((inner, _), outer) = noted(|| {
            look(1);
            let (_, inner) = noted(|| look(3));
            look(5);
            (inner, ())
        });
        assert_eq!([1, 3, 5].map(|k| inner.has(k)), [false, true, false]);
        assert_eq!([1, 2, 3, 5].map(|k| outer.has(k)), [true, false, true, true]);
        look(2);
        assert_eq!(noted(|| ()).1, Reads::default());
    }
}
