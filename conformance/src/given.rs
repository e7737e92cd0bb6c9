//! What does a row of a vector file give?
//!
//! Reads numbers, words and lists out of the given values, and says by name what is missing or of another kind. A whole number
//! is read where a number is asked for, as vector files write `60` for `60.0`.

use std::collections::BTreeMap;

use toml_edit::{Array, Table, TableLike, Value};

/// An adapter's answer: values by name.
pub(crate) type Answer = BTreeMap<String, f64>;

/// The answer of these values.
pub(crate) fn named<const N: usize>(values: [(&str, f64); N]) -> Answer {
    values.into_iter().map(|(key, value)| (key.to_owned(), value)).collect()
}

/// A fault in words.
pub(crate) fn told<E: std::fmt::Display>(fault: E) -> String {
    fault.to_string()
}

/// Several faults in words.
pub(crate) fn all_told<E: std::fmt::Display>(faults: Vec<E>) -> String {
    faults.iter().map(E::to_string).collect::<Vec<_>>().join("; ")
}

/// The given values of a row, or of a table in it.
pub(crate) struct Given<'a>(pub(crate) &'a dyn TableLike);

impl<'a> Given<'a> {
    pub(crate) fn of(table: &'a Table) -> Self {
        Self(table)
    }
    pub(crate) fn has(&self, key: &str) -> bool {
        self.0.get(key).is_some()
    }
    pub(crate) fn number(&self, key: &str) -> Result<f64, String> {
        let item = self.0.get(key).ok_or(format!("`{key}` is not given"))?;
        item.as_value().and_then(number).ok_or(format!("`{key}` is no number"))
    }
    pub(crate) fn count(&self, key: &str) -> Result<u32, String> {
        let item = self.0.get(key).and_then(|item| item.as_integer()).and_then(|n| u32::try_from(n).ok());
        item.ok_or(format!("`{key}` must be a count"))
    }
    pub(crate) fn word(&self, key: &str) -> Result<&'a str, String> {
        self.0.get(key).and_then(|item| item.as_str()).ok_or(format!("`{key}` must be a word"))
    }
    pub(crate) fn array(&self, key: &str) -> Result<&'a Array, String> {
        self.0.get(key).and_then(|item| item.as_array()).ok_or(format!("`{key}` must be a list"))
    }
    pub(crate) fn numbers(&self, key: &str) -> Result<Vec<f64>, String> {
        numbers(self.array(key)?).ok_or(format!("`{key}` holds something that is no number"))
    }
    /// A list of numbers; empty if it is not given.
    pub(crate) fn list(&self, key: &str) -> Result<Vec<f64>, String> {
        if self.has(key) { self.numbers(key) } else { Ok(Vec::new()) }
    }
    pub(crate) fn fixed<const N: usize>(&self, key: &str) -> Result<[f64; N], String> {
        self.numbers(key)?.try_into().map_err(|_| format!("`{key}` must be {N} numbers"))
    }
    /// A list of lists of `N` numbers; none if it is not given.
    pub(crate) fn rows<const N: usize>(&self, key: &str) -> Result<Vec<[f64; N]>, String> {
        if !self.has(key) {
            return Ok(Vec::new());
        }
        rows(self.array(key)?).ok_or(format!("`{key}` must be lists of {N} numbers"))
    }
    /// A table in this one: a solid.
    pub(crate) fn within(&self, key: &str) -> Result<Given<'a>, String> {
        let table = self.0.get(key).and_then(|item| item.as_table_like());
        table.map(Given).ok_or(format!("`{key}` must be a solid"))
    }
}

/// A number, whole or not.
pub(crate) fn number(value: &Value) -> Option<f64> {
    value.as_float().or(value.as_integer().map(|n| n as f64))
}

fn numbers(list: &Array) -> Option<Vec<f64>> {
    list.iter().map(number).collect()
}

/// Lists of `N` numbers.
pub(crate) fn rows<const N: usize>(list: &Array) -> Option<Vec<[f64; N]>> {
    list.iter().map(|row| numbers(row.as_array()?)?.try_into().ok()).collect()
}
