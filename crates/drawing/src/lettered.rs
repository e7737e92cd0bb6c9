//! A page's SVG made ready for PDF and PNG: read, with letters from the fonts the program carries.
//!
//! Fonts, all under the SIL Open Font License 1.1, whose texts lie beside them in `fonts/`; cut down to the letters named,
//! hints left out, outlines untouched:
//! - `sans.ttf`, `sans-strong.ttf`, `serif-strong.ttf`: Latin with its extensions, punctuation, signs (the pages' own);
//! - `sans-greek-cyrillic.ttf`: Greek and Cyrillic, for names in those letters.
//!
//! Fonts of the machine are never looked at: the same page gives the same bytes everywhere. Left out: other scripts,
//! which show as empty boxes in PDF and PNG; the SVG shows them where the reader's machine has letters for them.

use resvg::usvg::fontdb::Database;
use resvg::usvg::{Options, Tree};
use std::sync::{Arc, OnceLock};
use thiserror::Error;

/// A page that could not be made into another format.
#[derive(Clone, Debug, PartialEq, Error)]
pub enum PageFault {
    /// Our own SVG does not read.
    #[error("page {page} does not read as SVG: {cause}")]
    Unreadable {
        /// Which page, counted from one.
        page: usize,
        /// What the reader says.
        cause: String,
    },
    /// A picture with more dots than are handled.
    #[error("{dots_per_inch} dots per inch: must be from {DOTS_MIN} to {DOTS_MAX}")]
    Dots {
        /// What was asked for.
        dots_per_inch: u32,
    },
    /// The writer of the format gave up.
    #[error("{format} could not be written: {cause}")]
    Unwritten {
        /// Which format.
        format: &'static str,
        /// What the writer says.
        cause: String,
    },
}

/// The least and the most dots per inch: under the least letters cannot be read, beyond the most a sheet takes hundreds
/// of megabytes.
pub const DOTS_MIN: u32 = 36;
/// The most dots per inch.
pub const DOTS_MAX: u32 = 600;

const FONTS: [&[u8]; 4] = [
    include_bytes!("../fonts/sans.ttf"),
    include_bytes!("../fonts/sans-strong.ttf"),
    include_bytes!("../fonts/serif-strong.ttf"),
    include_bytes!("../fonts/sans-greek-cyrillic.ttf"),
];

fn fonts() -> Arc<Database> {
    static READ: OnceLock<Arc<Database>> = OnceLock::new();
    let read = || {
        let mut fonts = Database::new();
        for font in FONTS {
            fonts.load_font_data(font.to_vec());
        }
        fonts.set_sans_serif_family("Barlow");
        fonts.set_serif_family("Spectral");
        Arc::new(fonts)
    };
    Arc::clone(READ.get_or_init(read))
}

/// A page as a tree of shapes and laid-out letters. `page` is its number, for the fault.
pub(crate) fn lettered(svg: &str, page: usize) -> Result<Tree, PageFault> {
    let options = Options { fontdb: fonts(), font_family: "Barlow".to_owned(), ..Options::default() };
    Tree::from_str(svg, &options).map_err(|cause| PageFault::Unreadable { page, cause: cause.to_string() })
}
