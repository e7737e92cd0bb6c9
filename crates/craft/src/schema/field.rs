//! Definitions of fields and tables, built as constants.

use quantity::{DoubtKind, Measure, Unit};
use std::marker::PhantomData;

/// What a field holds.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum ValueKind {
    /// A quantity in a unit, with the row of the default doubts it falls under.
    Quantity {
        /// The unit its values are kept in.
        unit: Unit,
        /// Its row in the table of default doubts.
        doubt: DoubtKind,
    },
    /// How many.
    Count,
    /// Yes or no.
    Flag,
    /// One of these words.
    Choice(&'static [&'static str]),
    /// One line in the builder's own words: a name, a plug type, a system.
    Line,
    /// Text of several lines.
    Note,
    /// Points in mm.
    Points,
    /// A plug of a part in this craft, written `place/plug`.
    PlugOfPlace,
}

/// How much a field matters to the proof.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Need {
    /// The form asks for it first; rules go unknown without it.
    Core,
    /// Useful, for some rules or for later work.
    More,
}

/// The definition of one field.
#[derive(Clone, Copy, Debug)]
pub struct FieldDef {
    /// The key on a sheet.
    pub key: &'static str,
    /// What it is called, lower case, in the middle of a sentence.
    pub label: &'static str,
    /// What it holds.
    pub kind: ValueKind,
    /// How much it matters.
    pub need: Need,
    /// The least value a quantity or count may have.
    pub min: f64,
    /// The greatest value a quantity or count may have.
    pub max: f64,
    /// What it is when left out, where leaving it out means something definite.
    pub default: Option<f64>,
    /// What it means, how to measure it, the trap to mind. One or two sentences.
    pub help: &'static str,
}

/// A field with the type it reads as.
#[derive(Debug)]
pub struct Field<T: ?Sized> {
    /// Its definition.
    pub def: FieldDef,
    reads_as: PhantomData<fn() -> Box<T>>,
}

impl<T: ?Sized> Field<T> {
    const fn of(key: &'static str, label: &'static str, kind: ValueKind, min: f64, max: f64) -> Self {
        let def = FieldDef { key, label, kind, need: Need::More, min, max, default: None, help: "" };
        Self { def, reads_as: PhantomData }
    }
    /// The same field, asked for first.
    pub const fn core(mut self) -> Self {
        self.def.need = Need::Core;
        self
    }
    /// The same field with what it means.
    pub const fn help(mut self, help: &'static str) -> Self {
        self.def.help = help;
        self
    }
    /// The same field with what leaving it out means.
    pub const fn or(mut self, default: f64) -> Self {
        self.def.default = Some(default);
        self
    }
}

impl<M: Measure> Field<M> {
    /// A quantity between two limits, both allowed.
    pub const fn quantity(
        key: &'static str,
        label: &'static str,
        doubt: DoubtKind,
        min: f64,
        max: f64,
    ) -> Self {
        Self::of(key, label, ValueKind::Quantity { unit: M::UNIT, doubt }, min, max)
    }
}
impl Field<u32> {
    /// A count between two limits, both allowed.
    pub const fn how_many(key: &'static str, label: &'static str, min: u32, max: u32) -> Self {
        Self::of(key, label, ValueKind::Count, min as f64, max as f64)
    }
}
impl Field<bool> {
    /// Yes or no.
    pub const fn flag(key: &'static str, label: &'static str) -> Self {
        Self::of(key, label, ValueKind::Flag, 0.0, 1.0)
    }
}
impl Field<str> {
    /// One of some words.
    pub const fn choice(key: &'static str, label: &'static str, words: &'static [&'static str]) -> Self {
        Self::of(key, label, ValueKind::Choice(words), 0.0, 0.0)
    }
    /// One line in the builder's own words.
    pub const fn line(key: &'static str, label: &'static str) -> Self {
        Self::of(key, label, ValueKind::Line, 0.0, 0.0)
    }
    /// Several lines.
    pub const fn note(key: &'static str, label: &'static str) -> Self {
        Self::of(key, label, ValueKind::Note, 0.0, 0.0)
    }
    /// A plug of a part in the craft.
    pub const fn plug_of_place(key: &'static str, label: &'static str) -> Self {
        Self::of(key, label, ValueKind::PlugOfPlace, 0.0, 0.0)
    }
}
impl Field<[[f64; 2]]> {
    /// Points in mm.
    pub const fn points(key: &'static str, label: &'static str) -> Self {
        Self::of(key, label, ValueKind::Points, 0.0, 0.0)
    }
}

/// The definition of one table: rows of like things on a part.
#[derive(Clone, Copy, Debug)]
pub struct TableDef {
    /// The key on a sheet.
    pub key: &'static str,
    /// One row, in words: `plug`.
    pub one: &'static str,
    /// All rows, in words: `plugs`.
    pub many: &'static str,
    /// The fields of a row.
    pub fields: &'static [FieldDef],
    /// What a row is for.
    pub help: &'static str,
}
