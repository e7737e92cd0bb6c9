//! Drawings of a craft as SVG: top, side and front, each on one sheet, and a small top view for lists.
//!
//! A sheet is A4 across, drawn to a scale of ISO 5455: the craft at the left, the worst clearances in
//! words at the right, the title block below them. The same SVG serves page, print and command line, so
//! it carries no style sheet, no script and no link; only presentation attributes.
//!
//! Left out: perspective, true hidden-line removal. Solids are painted from the far one to the near one
//! over each other, and every edge is drawn once more as a thin dashed line, which shows what is hidden.

mod callout;
mod dimension;
mod layers;
pub mod print;
mod projection;
mod scale;
mod sheet;
mod silhouette;
mod svg;
mod thumbnail;
mod title_block;
mod wrap;

pub use projection::View;
pub use sheet::draw;
pub use thumbnail::thumbnail;
