//! The heights in which spacers are sold.
//!
//! Common practice of the trade: a set of four to a screw size. Soft mounts come in the height of their grommet, and
//! only those at hand are tried.

use quantity::Source;

/// Heights of one screw size.
#[derive(Clone, Copy, Debug)]
pub struct StockHeights {
    /// The thread that passes.
    pub thread: &'static str,
    /// Heights in mm, lowest first.
    pub heights_mm: &'static [f64],
}

/// Where the heights come from.
pub const STOCK_SPACERS_SOURCE: Source = Source::common_practice("spacers as sold, by screw size");

/// Heights of spacers by screw size.
pub const STOCK_SPACERS: &[StockHeights] = &[
    StockHeights { thread: "M2", heights_mm: &[2.0, 3.0, 4.0, 5.0, 6.0, 8.0, 10.0] },
    StockHeights { thread: "M2.5", heights_mm: &[3.0, 4.0, 5.0, 6.0, 8.0, 10.0] },
    StockHeights { thread: "M3", heights_mm: &[2.0, 3.0, 4.0, 5.0, 6.0, 8.0, 10.0, 12.0, 15.0] },
];

/// How far a stock height that is tried may lie from the one in use, in mm.
pub(crate) const STOCK_WITHIN: f64 = 4.0;

/// The stock heights of a thread.
pub(crate) fn stock_heights(thread: &str) -> &'static [f64] {
    STOCK_SPACERS.iter().find(|row| row.thread == thread).map_or(&[], |row| row.heights_mm)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn heights_rise_and_threads_are_known() {
        for row in STOCK_SPACERS {
            assert!(row.heights_mm.is_sorted_by(|a, b| a < b), "{}", row.thread);
            assert!(fit::Thread::named(row.thread).is_some(), "{}", row.thread);
        }
    }
}
