//! Sheets of A4: how large, how a page begins, and a page as it is handed out.
//!
//! ISO 216: A4 is 210 by 297 mm. One unit of a page's SVG is one mm, y down from the upper left corner.

use crate::svg::{INK, PAPER, escaped, number};
use std::fmt::Write;

/// What made a page, as PDF and PNG carry it.
pub(crate) const MAKER: &str = "creance";

/// Whether a file's bytes are a page made here: its SVG, or a PDF or PNG that names its maker.
pub fn is_page(bytes: &[u8]) -> bool {
    let holds = |words: &[u8]| bytes.windows(words.len()).any(|window| window == words);
    if bytes.starts_with(b"%PDF-") {
        return holds(format!("({MAKER})").as_bytes());
    }
    if bytes.starts_with(b"\x89PNG\r\n") {
        return holds([b"Software\0", MAKER.as_bytes()].concat().as_slice());
    }
    bytes.starts_with(b"<svg ") && holds(br#"aria-labelledby="sheet-title"#)
}

/// A sheet's size in mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Paper {
    pub width: f64,
    pub height: f64,
    /// Whether a frame is drawn round it and the ground is toned, as on a drawing; plain for what is filled in.
    pub framed: bool,
}

impl Paper {
    /// A4 across, framed.
    pub const ACROSS: Paper = Paper { width: 297.0, height: 210.0, framed: true };
    /// A4 upright, plain.
    pub const UPRIGHT: Paper = Paper { width: 210.0, height: 297.0, framed: false };
}

/// A page of a drawing.
#[derive(Clone, Debug, PartialEq)]
pub struct Page {
    /// The page as SVG.
    pub svg: String,
    /// Its width, in mm.
    pub width_mm: f64,
    /// Its height, in mm.
    pub height_mm: f64,
}

impl Page {
    pub(crate) fn new(paper: Paper, svg: String) -> Self {
        Self { svg, width_mm: paper.width, height_mm: paper.height }
    }
}

/// The beginning of a page: its size, its title and words for those who cannot see it, its ground.
pub(crate) fn opened(paper: Paper, title: &str, words: &str) -> String {
    let (width, height) = (number(paper.width), number(paper.height));
    let mut out = format!(
        concat!(
            r#"<svg xmlns="http://www.w3.org/2000/svg" width="{width}mm" height="{height}mm" viewBox="0 0 {width} {height}" role="img" aria-labelledby="sheet-title sheet-words">"#,
            "\n<title id=\"sheet-title\">{title}</title>\n<desc id=\"sheet-words\">{words}</desc>\n"
        ),
        width = width,
        height = height,
        title = escaped(title),
        words = escaped(words),
    );
    let ground = if paper.framed { PAPER } else { "#ffffff" };
    let _ = writeln!(out, r#"<rect width="{width}" height="{height}" fill="{ground}"/>"#);
    if paper.framed {
        let (w, h) = (number(paper.width - 14.0), number(paper.height - 14.0));
        let _ = writeln!(
            out,
            r#"<rect x="7" y="7" width="{w}" height="{h}" fill="none" stroke="{INK}" stroke-width="0.5"/>"#
        );
    }
    out
}
