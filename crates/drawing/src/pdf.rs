//! Pages as one PDF, true to scale, with text that can be searched and copied.
//!
//! A point is 1/72 inch, an inch 25.4 mm: A4 is 595.28 by 841.89 points. A page is placed whole on a sheet of its own size,
//! so 1 mm of the page is 1 mm of the print at 100 %. The tone of the screen's paper is left to the real paper.
//! The file carries no date of its own: the same pages give the same bytes.

use crate::lettered::{PageFault, lettered};
use crate::paper::{MAKER, Page};
use crate::svg::PAPER;
use krilla::Document;
use krilla::geom::Size;
use krilla::metadata::Metadata;
use krilla::page::PageSettings;
use krilla_svg::{SurfaceExt, SvgSettings};

const POINTS_A_MM: f64 = 72.0 / 25.4;

/// Pages as one PDF.
pub fn pdf(pages: &[Page], title: &str) -> Result<Vec<u8>, PageFault> {
    let mut document = Document::new();
    document.set_metadata(
        Metadata::new().title(title.to_owned()).creator(MAKER.to_owned()).language("en-GB".to_owned()),
    );
    for (number, page) in pages.iter().enumerate() {
        let tree = lettered(&on_white(&page.svg), number + 1)?;
        let [width, height] = [page.width_mm, page.height_mm].map(|mm| (mm * POINTS_A_MM) as f32);
        let unfit = || PageFault::Unwritten { format: "PDF", cause: "a page has no size".to_owned() };
        let settings = PageSettings::from_wh(width, height).ok_or_else(unfit)?;
        let size = Size::from_wh(width, height).ok_or_else(unfit)?;
        let mut sheet = document.start_page_with(settings);
        let mut surface = sheet.surface();
        let drawn = surface.draw_svg(&tree, size, SvgSettings::default());
        surface.finish();
        sheet.finish();
        drawn.ok_or_else(|| PageFault::Unwritten {
            format: "PDF",
            cause: format!("page {} was not drawn", number + 1),
        })?;
    }
    document.finish().map_err(|cause| PageFault::Unwritten { format: "PDF", cause: format!("{cause:?}") })
}

/// The page on white: what is toned like the screen's paper leaves the sheet bare.
fn on_white(svg: &str) -> String {
    svg.replace(&format!(r#"fill="{PAPER}""#), r##"fill="#ffffff""##)
}
