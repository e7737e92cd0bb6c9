//! Templates at 1 : 1, to lay on a plate and drill by.

mod bars;
mod choice;
mod draw;
mod known;
mod layers;
mod layout;
mod pending;
mod sizes;
mod stencil;
mod webs;

pub use bars::CHECK_LINE;
pub use choice::TemplateFault;
pub use layout::{template, too_large};
