//! The exploded view: the order of assembly, parts moved apart along their seats, balloons, and a list of steps.

mod balloons;
pub(crate) mod boxed;
mod custom;
mod exploded;
mod faces;
mod order;
mod painter;
mod spread;
mod taken_apart;
mod told;
mod ways;

pub use exploded::exploded;
