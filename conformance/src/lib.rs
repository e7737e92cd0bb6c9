//! Checks of the computations against the outside.
