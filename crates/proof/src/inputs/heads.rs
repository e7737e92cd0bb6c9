//! The head of a screw where its part does not say: the largest usual one of `fit`'s table of heads.
//!
//! A cap head is 1.6 times as high as a button head of its thread; a countersunk or flat one lies level
//! with its plate and is drawn 0.2 mm thick. Both are common practice.

use fit::{HEADS, HeadForm};
use quantity::Millimetres;

/// The head of a screw where the part does not say.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct HeadSize {
    /// Across the head.
    pub diameter: Millimetres,
    /// Its height.
    pub height: Millimetres,
}

const CAP_OVER_BUTTON: f64 = 1.6;
const LEVEL: Millimetres = Millimetres::new(0.2);

/// The head of a thread, by the kind of head that is named; a button head where none is.
pub(crate) fn head_of(thread: &str, kind: Option<&str>) -> Option<HeadSize> {
    let button = HEADS.iter().find(|head| head.thread == thread && head.form == HeadForm::Button)?;
    let height = match kind {
        Some("countersunk" | "flat") => LEVEL,
        Some("cap") => button.height * CAP_OVER_BUTTON,
        _ => button.height,
    };
    Some(HeadSize { diameter: button.diameter_max, height })
}
