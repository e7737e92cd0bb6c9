//! Parts that are carried, with how often they fail by class of craft.

use super::Basis;

/// The four rough classes of craft that failure rates are told for.
pub const FLEETS: [&str; 4] = ["ducted_small", "open_small", "open_middle", "open_long"];

/// A part worth carrying.
#[derive(Clone, Debug, PartialEq)]
pub struct Spare {
    /// Its id.
    pub id: String,
    /// What it is.
    pub is: String,
    /// What else it is called in a journal, in small letters.
    pub called: Vec<String>,
    /// Repairs that use one up, by place.
    pub repairs: Vec<usize>,
    /// Mean failures in a hundred flights, for each of [`FLEETS`].
    pub per_hundred: [f64; 4],
    /// Shape of the Gamma prior.
    pub shape: f64,
    /// What one costs, in sets of blades.
    pub parts: f64,
    /// What one weighs, on the middle class, in grams.
    pub grams: f64,
    /// Whence the numbers.
    pub basis: Basis,
}
