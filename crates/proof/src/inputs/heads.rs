//! The head of a screw where its part does not say: custom of the trade, one table.

use quantity::{Millimetres, Source};

/// The head of a screw where the part does not say.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct HeadSize {
    /// Thread.
    pub thread: &'static str,
    /// Across the head.
    pub diameter: Millimetres,
    /// Its height.
    pub height: Millimetres,
}

/// Where the head sizes come from.
pub(crate) const HEAD_SOURCE: Source = Source::common_practice("heads of small button screws, largest usual");

const fn head(thread: &'static str, diameter: f64, height: f64) -> HeadSize {
    HeadSize { thread, diameter: Millimetres::new(diameter), height: Millimetres::new(height) }
}

/// Button heads by thread: M2 and M3 as measured in the trade, the rest in proportion.
pub(crate) const HEADS: &[HeadSize] = &[
    head("M1.4", 2.6, 0.9),
    head("M1.6", 3.0, 1.0),
    head("M2", 3.8, 1.3),
    head("M2.5", 4.7, 1.5),
    head("M3", 5.7, 1.65),
    head("M4", 7.6, 2.2),
    head("M5", 9.5, 2.75),
];

/// The head of a thread: a countersunk or flat one lies level with its plate.
pub(crate) fn head_of(thread: &str, kind: Option<&str>) -> Option<HeadSize> {
    let head = HEADS.iter().find(|head| head.thread == thread).copied()?;
    Some(match kind {
        Some("countersunk" | "flat") => HeadSize { height: Millimetres::new(0.2), ..head },
        Some("cap") => HeadSize { height: Millimetres::new(head.height.get() * 1.6), ..head },
        _ => head,
    })
}
