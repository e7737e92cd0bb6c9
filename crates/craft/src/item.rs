//! Reading a part's, a row's or a place's values by typed field.
//!
//! A field that is not there gives [`Missing`], which names the fact to find or measure; a rule turns
//! that into *unknown*. Nothing here guesses: only a field whose definition states a default reads as
//! that default.

use crate::schema::{Field, FieldDef, ValueKind};
use crate::{Value, Values};
use quantity::{
    Basis, Doubt, DoubtKind, Fact, FactIndex, FactLedger, FactPath, LedgerEntry, Measure, Quantity,
};

/// Something that carries values: a part, a row of a part's table, a place, a craft.
#[derive(Clone, Debug)]
pub struct Item<'a> {
    /// The id of the part or place it belongs to.
    pub owner: &'a str,
    /// The way to it, the stem of its facts' paths: `cam.plug[0]`.
    pub path: String,
    /// What a person calls it: `plug "harness" of "nano camera"`.
    pub called: String,
    /// Its values.
    pub values: &'a Values,
}

/// A fact that is not known.
#[derive(Clone, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Missing {
    /// Where it would stand.
    pub path: FactPath,
    /// What a person calls it: `body width of "nano camera"`.
    pub label: String,
}

/// A quantity as read: the typed value with all that is known of it.
#[derive(Clone, Debug, PartialEq)]
pub struct Reading<M> {
    /// The value.
    pub value: M,
    /// How far it may be off.
    pub doubt: Doubt,
    /// Which row of the default doubts it falls under.
    pub kind: DoubtKind,
    /// What it rests on.
    pub basis: Basis,
    /// Where it stands.
    pub path: FactPath,
    /// What a person calls it.
    pub label: String,
}

impl<M: Measure> Reading<M> {
    /// Enters the fact in a ledger and gives its number there.
    pub fn enter(&self, ledger: &mut FactLedger) -> FactIndex {
        ledger.enter(LedgerEntry {
            path: self.path.clone(),
            label: self.label.clone(),
            value: self.value.raw(),
            unit: M::UNIT,
            doubt: self.doubt,
            kind: self.kind,
            basis: self.basis,
        })
    }
}

impl<'a> Item<'a> {
    /// Its name, where it has one.
    pub fn name(&self) -> Option<&'a str> {
        match self.values.get("name") {
            Some(Value::Text(name)) => Some(name),
            _ => None,
        }
    }

    /// The path of one of its facts.
    pub fn path_of(&self, def: &FieldDef) -> FactPath {
        FactPath(format!("{}.{}", self.path, def.key))
    }

    fn label_of(&self, def: &FieldDef) -> String {
        format!("{} of {}", def.label, self.called)
    }

    /// What to say when a field is not there.
    pub fn missing(&self, def: &FieldDef) -> Missing {
        Missing { path: self.path_of(def), label: self.label_of(def) }
    }

    /// Whether a value is given (a default does not count).
    pub fn has(&self, def: &FieldDef) -> bool {
        self.values.contains_key(def.key)
    }

    /// A quantity.
    pub fn read<M: Measure>(&self, field: &Field<M>) -> Result<Reading<M>, Missing> {
        let def = &field.def;
        let kind = match def.kind {
            ValueKind::Quantity { doubt, .. } => doubt,
            _ => DoubtKind::Exact,
        };
        let fact = match (self.values.get(def.key), def.default) {
            (Some(Value::Fact(fact)), _) => *fact,
            // A stated default is exact: it is how the sheet is meant, not a guess at the world.
            (_, Some(default)) => Fact {
                quantity: Quantity { value: default, unit: M::UNIT },
                stated: Some(Doubt::NONE),
                basis: Basis::Measured,
            },
            _ => return Err(self.missing(def)),
        };
        let value = fact.quantity.to::<M>().ok_or_else(|| self.missing(def))?;
        Ok(Reading {
            value,
            doubt: fact.doubt(kind),
            kind,
            basis: fact.basis,
            path: self.path_of(def),
            label: self.label_of(def),
        })
    }

    /// A word or a line of text.
    pub fn text(&self, field: &Field<str>) -> Result<&'a str, Missing> {
        match self.values.get(field.def.key) {
            Some(Value::Text(text)) => Ok(text),
            _ => Err(self.missing(&field.def)),
        }
    }

    /// A count.
    pub fn count(&self, field: &Field<u32>) -> Result<u32, Missing> {
        match (self.values.get(field.def.key), field.def.default) {
            (Some(Value::Count(count)), _) => Ok(*count),
            (_, Some(default)) => Ok(default as u32),
            _ => Err(self.missing(&field.def)),
        }
    }

    /// Yes or no; left out means that nobody said.
    pub fn flag(&self, field: &Field<bool>) -> Result<bool, Missing> {
        match (self.values.get(field.def.key), field.def.default) {
            (Some(Value::Flag(flag)), _) => Ok(*flag),
            (_, Some(default)) => Ok(default != 0.0),
            _ => Err(self.missing(&field.def)),
        }
    }

    /// The points of an outline or pattern, in mm.
    pub fn points(&self, field: &Field<[[f64; 2]]>) -> Result<&'a [[f64; 2]], Missing> {
        match self.values.get(field.def.key) {
            Some(Value::Points(points)) => Ok(points),
            _ => Err(self.missing(&field.def)),
        }
    }
}
