//! The names a part offers to the rest of the craft: features to sit on, plugs to plug into, plates.
//!
//! Features are the named rows of hole patterns, camera mounts, motor mounts, antenna mounts and
//! standoffs. Two are there without a row: the `lens mount` of a camera and the `shaft` of a motor. In
//! the same way a pigtail and a camera harness have the plugs `first end` and `second end`.

use crate::Part;
use crate::schema::frame::{antenna_mount, camera_mount, motor_mount, plate, standoff};
use crate::schema::shape::{pattern, pin, plug, port};
use crate::schema::{PartKind, TableDef};
use quantity::near_name;
use std::collections::HashMap;

const FEATURE_TABLES: [&TableDef; 5] =
    [&pattern::TABLE, &camera_mount::TABLE, &motor_mount::TABLE, &antenna_mount::TABLE, &standoff::TABLE];

/// The features of a part on which another place can be seated.
pub fn feature_names(part: &Part) -> Vec<String> {
    let implicit: &[&str] = match part.kind {
        PartKind::Camera => &["lens mount"],
        PartKind::Motor => &["shaft"],
        _ => &[],
    };
    let tables = || FEATURE_TABLES.into_iter();
    implicit.iter().copied().chain(named_rows(part, tables())).map(str::to_owned).collect()
}

/// The plugs of a part into which another can be plugged.
pub fn plug_names(part: &Part) -> Vec<String> {
    let implicit: &[&str] = match part.kind {
        PartKind::Pigtail | PartKind::CameraHarness => &["first end", "second end"],
        _ => &[],
    };
    implicit.iter().copied().chain(named_rows(part, [&plug::TABLE])).map(str::to_owned).collect()
}

/// What a wire may name at a part: its pads and pins, and its plugs as a whole.
pub fn pad_names(part: &Part) -> Vec<String> {
    named_rows(part, [&pin::TABLE, &plug::TABLE]).map(str::to_owned).collect()
}

/// The serial ports of a part.
pub fn port_names(part: &Part) -> Vec<String> {
    named_rows(part, [&port::TABLE]).map(str::to_owned).collect()
}

fn named_rows<'a>(
    part: &'a Part,
    tables: impl IntoIterator<Item = &'static TableDef> + 'a,
) -> impl Iterator<Item = &'a str> + 'a {
    // A table the kind does not have is a fault of its own and offers nothing.
    let has = |table: &&TableDef| part.kind.def().tables.iter().any(|known| known.key == table.key);
    tables.into_iter().filter(has).flat_map(|table| part.rows(table)).filter_map(|row| row.name())
}

/// Names with how often each stands.
pub(super) struct Names {
    count: HashMap<String, usize>,
    order: Vec<String>,
}

impl Names {
    pub(super) fn of(order: Vec<String>) -> Self {
        let mut count = HashMap::new();
        for name in &order {
            *count.entry(name.clone()).or_insert(0) += 1;
        }
        Self { count, order }
    }
    pub(super) fn count(&self, name: &str) -> usize {
        self.count.get(name).copied().unwrap_or(0)
    }
    pub(super) fn has(&self, name: &str) -> bool {
        self.count(name) > 0
    }
    pub(super) fn iter(&self) -> impl Iterator<Item = &str> {
        self.order.iter().map(String::as_str)
    }
    pub(super) fn first_few(&self) -> Vec<String> {
        self.order.iter().take(6).cloned().collect()
    }
}

/// All names one part offers.
pub(super) struct PartNames {
    pub(super) features: Names,
    pub(super) plugs: Names,
    pub(super) plates: Names,
}

impl PartNames {
    pub(super) fn of(part: &Part) -> Self {
        Self {
            features: Names::of(feature_names(part)),
            plugs: Names::of(plug_names(part)),
            plates: Names::of(named_rows(part, [&plate::TABLE]).map(str::to_owned).collect()),
        }
    }
}

/// Guesses at what was meant, for as long as they are cheap: after so many comparisons it gives none.
pub(crate) struct Guesses {
    left: usize,
}

impl Guesses {
    pub(crate) fn new() -> Self {
        Self { left: 50_000 }
    }

    /// The nearest of some names.
    pub(crate) fn near<'a>(
        &mut self,
        word: &str,
        names: impl IntoIterator<Item = &'a str>,
    ) -> Option<String> {
        let mut left = self.left;
        let counted = names.into_iter().take_while(|_| {
            left = left.saturating_sub(1);
            left > 0
        });
        let found = near_name(word, counted).map(str::to_owned);
        self.left = left;
        found
    }
}
