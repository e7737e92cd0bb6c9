//! What is lost at least, usually and at most, where only two ends are known?
//!
//! Ranges add end by end: all losses at their least, all at their most. That is wider than chance would have it,
//! and meant to be: the ends are what nobody can rule out.

use quantity::Db;
use std::iter::Sum;
use std::ops::Add;

/// A loss between two ends.
#[derive(Clone, Copy, Debug, PartialEq, Default)]
pub struct LossRange {
    /// The least it can be; a gain is negative.
    pub least: Db,
    /// What to reckon with.
    pub usual: Db,
    /// The most it can be.
    pub most: Db,
}

impl LossRange {
    /// Of three losses in decibels.
    pub const fn new(least: f64, usual: f64, most: f64) -> Self {
        Self { least: Db::new(least), usual: Db::new(usual), most: Db::new(most) }
    }
    /// A loss that is known.
    pub const fn known(loss: Db) -> Self {
        Self { least: loss, usual: loss, most: loss }
    }
}

impl Add for LossRange {
    type Output = Self;
    fn add(self, o: Self) -> Self {
        Self { least: self.least + o.least, usual: self.usual + o.usual, most: self.most + o.most }
    }
}
impl Sum for LossRange {
    fn sum<I: Iterator<Item = Self>>(ranges: I) -> Self {
        ranges.fold(Self::default(), Add::add)
    }
}
