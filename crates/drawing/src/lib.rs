//! Drawings of a craft, on sheets of A4: top, side and front with their sizes; the exploded view with the order of
//! assembly; templates at 1 : 1 to drill by; the bench card; what each lens sees of the craft; and a small top view for lists.
//!
//! Every page is SVG, written here: it serves page, print and command line, so it carries no style sheet, no script and
//! no link; only presentation attributes. [`pdf`] and [`png`] make the same pages into PDF and PNG with letters that the
//! program carries. [`print`] makes solids to be printed.
//!
//! Left out: perspective, true hidden-line removal. In the three views solids are painted from the far one to the near
//! one over each other, and every edge is drawn once more as a thin dashed line, which shows what is hidden.

mod assembly;
mod callout;
mod card;
mod cautions;
pub mod chart;
mod dimension;
mod flow;
mod flying;
mod key_sizes;
mod layers;
mod left_out;
mod lettered;
mod level_plates;
pub mod link;
mod paper;
mod pdf;
mod png;
pub mod print;
mod projection;
mod scale;
mod sheet;
mod silhouette;
pub mod supply;
mod svg;
mod template;
mod thumbnail;
mod title_block;
mod view_picture;
mod wiring;
mod wrap;

pub use assembly::exploded;
pub use card::card;
pub use flying::{FlyingChart, FlyingFault, flying_charts, flying_pages, flying_speeds};
pub use left_out::{left_out, left_out_of_template};
pub use lettered::{DOTS_MAX, DOTS_MIN, PageFault};
pub use paper::{Page, is_page};
pub use pdf::pdf;
pub use png::png;
pub use projection::View;
pub use sheet::{draw, page};
pub use template::{CHECK_LINE, TemplateFault, template, too_large};
pub use thumbnail::{thumbnail, thumbnail_marking};
pub use view_picture::{
    Beside, ViewPictureFault, bare_picture, beside_picture, course_picture, horizon_chart, lens_in_the_way,
    no_lens, picture_facts, share_words, swatch, view_picture,
};
pub use wiring::{Diagram, DiagramPad, Marked, marked, wiring, wiring_diagram};
