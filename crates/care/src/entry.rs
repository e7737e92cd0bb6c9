//! One entry of the journal: what happened, when, to which craft, with which parts, units and packs.

use serde::{Deserialize, Serialize};
use std::fmt;

/// The longest text of an entry, in letters.
pub const WORDS_MAX: usize = 2000;
/// Names of one sort in an entry at most.
const NAMES_MAX: usize = 40;
/// The longest name, in letters.
const NAME_LETTERS_MAX: usize = 120;
/// The last second that is taken: the end of the year 9999.
const AT_MAX: i64 = 253_402_300_799;

macro_rules! words {
    ($(#[$doc:meta])* $name:ident { $($(#[$each:meta])* $variant:ident = $word:literal, $plain:literal;)* }) => {
        $(#[$doc])*
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
        #[serde(rename_all = "snake_case")]
        pub enum $name { $($(#[$each])* $variant,)* }

        impl $name {
            /// All of them, in the order a page lists them.
            pub const ALL: &'static [$name] = &[$($name::$variant,)*];

            /// The word in the file and on the wire.
            pub const fn word(self) -> &'static str {
                match self { $($name::$variant => $word,)* }
            }

            /// The same for a person.
            pub const fn plain(self) -> &'static str {
                match self { $($name::$variant => $plain,)* }
            }

            /// The one of a word.
            pub fn from_word(word: &str) -> Option<Self> {
                Self::ALL.iter().copied().find(|one| one.word() == word)
            }
        }
    };
}
pub(crate) use words;

words! {
    /// What kind of thing happened.
    EntryKind {
        /// It was built, or rebuilt so that what was measured before no longer counts.
        Built = "built", "built";
        /// Something on it was changed.
        Changed = "changed", "changed";
        /// An image was loaded into a unit.
        Loaded = "loaded", "loaded";
        /// It was flown.
        Flown = "flown", "flown";
        /// It crashed.
        Crashed = "crashed", "crashed";
        /// Something was measured or tried.
        Tested = "tested", "tested";
        /// Something was mended.
        Repaired = "repaired", "repaired";
        /// A check list was gone through.
        Checked = "checked", "checked";
        /// A pack was charged, stored or measured.
        Charged = "charged", "charged";
    }
}

words! {
    /// What was read off something.
    Reading {
        /// Level at 5 m and least power, in dBm.
        LevelAt5m = "level_at_5m", "level at 5 m, least power";
        /// Current in hover, in A.
        HoverCurrent = "hover_current", "current in hover";
        /// Minutes on the bench without moving air until the transmitter warns.
        BenchMinutes = "bench_minutes", "minutes on the bench until it warns of heat";
        /// Peak of the gyro's noise, in whatever the flight controller tells; only its change counts.
        GyroNoise = "gyro_noise", "peak of the gyro's noise";
        /// Volts a cell of a pack.
        CellVolts = "cell_volts", "volts a cell";
        /// Resistance of the worst cell of a pack, in mΩ, full and warm.
        CellResistance = "cell_resistance", "resistance of the worst cell, full and warm";
        /// Mass as it flies, in g.
        FlyingMass = "flying_mass", "mass as it flies";
    }
}

impl Reading {
    /// The symbol of its unit; empty where there is none.
    pub const fn unit(self) -> &'static str {
        match self {
            Reading::LevelAt5m => "dBm",
            Reading::HoverCurrent => "A",
            Reading::BenchMinutes => "min",
            Reading::GyroNoise => "",
            Reading::CellVolts => "V",
            Reading::CellResistance => "mΩ",
            Reading::FlyingMass => "g",
        }
    }

    /// The least and the greatest that is taken.
    pub const fn span(self) -> (f64, f64) {
        match self {
            Reading::LevelAt5m => (-130.0, 30.0),
            Reading::HoverCurrent => (0.01, 300.0),
            Reading::BenchMinutes => (0.05, 600.0),
            Reading::GyroNoise => (1e-6, 1e6),
            Reading::CellVolts => (0.5, 5.0),
            Reading::CellResistance => (0.2, 1000.0),
            Reading::FlyingMass => (1.0, 50_000.0),
        }
    }
}

/// A value that was read.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Measured {
    /// What.
    pub reading: Reading,
    /// How much, in the reading's unit.
    pub value: f64,
}

/// A check list as it was gone through.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Ticked {
    /// Which list.
    pub list: crate::ListKind,
    /// Ids of what was found in order.
    pub ticked: Vec<String>,
    /// Ids of what was not ticked.
    pub left: Vec<String>,
}

impl Ticked {
    /// Whether everything on it was found in order.
    pub fn is_whole(&self) -> bool {
        self.left.is_empty() && !self.ticked.is_empty()
    }
}

/// One entry.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Entry {
    /// When it happened, in seconds of universal time.
    pub at: i64,
    /// What kind of thing.
    pub kind: EntryKind,
    /// The craft, by id; `None` for what concerns none, such as a pack on the charger.
    #[serde(default)]
    pub craft: Option<String>,
    /// What happened, in the owner's words.
    #[serde(default)]
    pub words: String,
    /// Parts concerned.
    #[serde(default)]
    pub parts: Vec<String>,
    /// Units concerned, by label.
    #[serde(default)]
    pub units: Vec<String>,
    /// Packs concerned, by label.
    #[serde(default)]
    pub packs: Vec<String>,
    /// Plugs that were pulled and put back, by the names of their counters.
    #[serde(default)]
    pub plugged: Vec<String>,
    /// Minutes: flown, or spent on it.
    #[serde(default)]
    pub minutes: Option<f64>,
    /// What was read.
    #[serde(default)]
    pub measured: Vec<Measured>,
    /// Whether these readings are the new measure of health: when new, or after a rebuild.
    #[serde(default)]
    pub as_new: bool,
    /// Whether the pack was hit in the crash.
    #[serde(default)]
    pub pack_hit: bool,
    /// The check list gone through.
    #[serde(default)]
    pub ticked: Option<Ticked>,
    /// The number of the search for a fault that ended with it, if one did.
    #[serde(default)]
    pub search: Option<i64>,
    /// When it was taken back, in seconds of universal time. It stays on record and counts for nothing.
    #[serde(default)]
    pub taken_back: Option<i64>,
}

/// Why an entry is not taken.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[allow(missing_docs)] // The words of each variant say what its fields are.
pub enum EntryFault {
    #[error("an entry says nothing; write what happened, or how long was flown")]
    Empty,
    #[error("{letters} letters are more than the {WORDS_MAX} an entry may have; shorten it or make two")]
    Long { letters: usize },
    #[error("the time of the entry lies outside the years 1970 to 9999")]
    Time,
    #[error("{minutes} min must be above 0 and at most {most}")]
    Minutes { minutes: f64, most: f64 },
    #[error("{what}: {value} must lie between {least} and {most}{unit}")]
    Reading { what: &'static str, value: f64, least: f64, most: f64, unit: &'static str },
    #[error("{names} names are more than the {NAMES_MAX} an entry may list of one sort")]
    Names { names: usize },
    #[error("a name of {letters} letters is longer than {NAME_LETTERS_MAX}, or empty; shorten it")]
    Name { letters: usize },
    #[error("the name \"{name}\" is not one line of letters to be seen; write it on one line")]
    Lines { name: String },
    #[error("only a craft is {kind}; say which")]
    NoCraft { kind: &'static str },
}

/// Minutes in one entry at most: a day.
const MINUTES_MAX: f64 = 1440.0;

impl Entry {
    /// An entry with words and nothing else yet.
    pub fn new(at: i64, kind: EntryKind, words: impl Into<String>) -> Self {
        Self {
            at,
            kind,
            craft: None,
            words: words.into(),
            parts: Vec::new(),
            units: Vec::new(),
            packs: Vec::new(),
            plugged: Vec::new(),
            minutes: None,
            measured: Vec::new(),
            as_new: false,
            pack_hit: false,
            ticked: None,
            search: None,
            taken_back: None,
        }
    }

    /// Whether it still counts.
    pub fn stands(&self) -> bool {
        self.taken_back.is_none()
    }

    /// The same about a craft.
    pub fn of(mut self, craft: impl Into<String>) -> Self {
        self.craft = Some(craft.into());
        self
    }

    /// What was read of one sort.
    pub fn read(&self, reading: Reading) -> Option<f64> {
        self.measured.iter().find(|measured| measured.reading == reading).map(|measured| measured.value)
    }

    /// All that is wrong with it.
    pub fn faults(&self) -> Vec<EntryFault> {
        let mut found = Vec::new();
        // That it crashed or was built says enough; so does a part that went in.
        let by_kind = matches!(self.kind, EntryKind::Crashed | EntryKind::Built);
        let says = self.words.trim().len()
            + usize::from(by_kind)
            + self.parts.len()
            + self.units.len()
            + self.plugged.len()
            + self.measured.len()
            + self.packs.len()
            + usize::from(self.minutes.is_some())
            + usize::from(self.ticked.is_some());
        if says == 0 {
            found.push(EntryFault::Empty);
        }
        let letters = self.words.chars().count();
        if letters > WORDS_MAX {
            found.push(EntryFault::Long { letters });
        }
        if !(0..=AT_MAX).contains(&self.at) {
            found.push(EntryFault::Time);
        }
        if let Some(minutes) = self.minutes.filter(|minutes| !(*minutes > 0.0 && *minutes <= MINUTES_MAX)) {
            found.push(EntryFault::Minutes { minutes, most: MINUTES_MAX });
        }
        for Measured { reading, value } in &self.measured {
            let (least, most) = reading.span();
            if !(*value >= least && *value <= most) {
                let (what, value) = (reading.plain(), *value);
                found.push(EntryFault::Reading { what, value, least, most, unit: spaced(reading.unit()) });
            }
        }
        for names in [&self.parts, &self.units, &self.packs, &self.plugged] {
            if names.len() > NAMES_MAX {
                found.push(EntryFault::Names { names: names.len() });
            }
            let lines = names.iter().filter(|name| name.chars().any(char::is_control));
            found.extend(lines.map(|name| EntryFault::Lines { name: name.escape_debug().to_string() }));
            let letters = names.iter().map(|name| name.trim().chars().count());
            found.extend(
                letters
                    .filter(|n| *n == 0 || *n > NAME_LETTERS_MAX)
                    .map(|letters| EntryFault::Name { letters }),
            );
        }
        let needs_craft = matches!(self.kind, EntryKind::Flown | EntryKind::Crashed | EntryKind::Checked);
        if needs_craft && self.craft.is_none() {
            found.push(EntryFault::NoCraft { kind: self.kind.plain() });
        }
        found
    }
}

/// A unit with the blank before it, where there is one.
const fn spaced(unit: &'static str) -> &'static str {
    match unit.as_bytes() {
        b"dBm" => " dBm",
        b"A" => " A",
        b"min" => " min",
        b"V" => " V",
        b"m\xCE\xA9" => " mΩ",
        b"g" => " g",
        _ => "",
    }
}

impl fmt::Display for EntryKind {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.plain())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_cannot_be_is_told_all_at_once() {
        let mut entry = Entry::new(-5, EntryKind::Flown, " ");
        entry.minutes = Some(f64::NAN);
        entry.measured.push(Measured { reading: Reading::CellVolts, value: 42.0 });
        entry.packs = vec![String::new()];
        let told: Vec<String> = entry.faults().iter().map(ToString::to_string).collect();
        assert_eq!(
            told,
            [
                "the time of the entry lies outside the years 1970 to 9999",
                "NaN min must be above 0 and at most 1440",
                "volts a cell: 42 must lie between 0.5 and 5 V",
                "a name of 0 letters is longer than 120, or empty; shorten it",
                "only a craft is flown; say which",
            ]
        );
        assert_eq!(Entry::new(5, EntryKind::Changed, "").faults(), [EntryFault::Empty]);
        assert!(Entry::new(5, EntryKind::Changed, "New blades").faults().is_empty());
    }

    #[test]
    fn words_lead_back_to_their_kind() {
        assert!(EntryKind::ALL.iter().all(|kind| EntryKind::from_word(kind.word()) == Some(*kind)));
        assert!(Reading::ALL.iter().all(|one| Reading::from_word(one.word()) == Some(*one)));
    }
}
