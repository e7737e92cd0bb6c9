//! Writing SVG: escaped text, short numbers, and the few inks a sheet uses.

use crate::silhouette::PaperPoint;
use std::fmt::Write;

/// The sheet's paper.
pub(crate) const PAPER: &str = "#f7f4ec";
/// Lines and letters.
pub(crate) const INK: &str = "#1f2a33";
/// Hairlines of the sheet.
pub(crate) const HAIRLINE: &str = "#8a8473";
/// Dimension lines.
pub(crate) const RUST: &str = "#9c4424";

/// The letters of text: the pages' own, which the program carries for PDF and PNG; elsewhere what is there.
pub(crate) const SANS: &str = "Barlow, sans-serif";
/// The letters of headings.
pub(crate) const SERIF: &str = "Spectral, serif";

/// Text as XML holds it; what XML cannot hold becomes a space.
pub(crate) fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            '\'' => out.push_str("&#39;"),
            c if c < ' ' || matches!(c, '\u{7f}'..='\u{9f}' | '\u{fffe}' | '\u{ffff}') => out.push(' '),
            c => out.push(c),
        }
    }
    out
}

/// A number with at most two decimals and none that is nought.
pub(crate) fn number(value: f64) -> String {
    let fixed = format!("{value:.2}");
    let short = fixed.trim_end_matches('0').trim_end_matches('.');
    if short == "-0" { "0".to_owned() } else { short.to_owned() }
}

/// The path of some closed rings.
pub(crate) fn path(rings: &[Vec<PaperPoint>]) -> String {
    let mut out = String::new();
    for ring in rings {
        for (n, [x, y]) in ring.iter().enumerate() {
            let _ = write!(out, "{}{} {}", if n == 0 { 'M' } else { 'L' }, number(*x), number(*y));
        }
        if !ring.is_empty() {
            out.push('Z');
        }
    }
    out
}

/// A straight line.
pub(crate) fn line(out: &mut String, from: PaperPoint, to: PaperPoint, ink: &str, width: f64) {
    let _ = writeln!(
        out,
        r#"<line x1="{}" y1="{}" x2="{}" y2="{}" stroke="{ink}" stroke-width="{width}"/>"#,
        number(from[0]),
        number(from[1]),
        number(to[0]),
        number(to[1]),
    );
}

/// How a line of text is set.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Lettering {
    /// Its height, in mm.
    pub size: f64,
    /// Which end of it stands at the point: `start`, `middle` or `end`.
    pub anchor: &'static str,
    /// Its ink.
    pub ink: &'static str,
    /// Whether it is bold.
    pub bold: bool,
    /// Serif for headings, sans for the rest.
    pub family: &'static str,
}

impl Lettering {
    /// Plain text of a size.
    pub const fn plain(size: f64) -> Self {
        Self { size, anchor: "start", ink: INK, bold: false, family: SANS }
    }
    /// The same, centred.
    pub const fn centred(mut self) -> Self {
        self.anchor = "middle";
        self
    }
    /// The same, ending at the point.
    pub const fn ending(mut self) -> Self {
        self.anchor = "end";
        self
    }
    /// The same, bold.
    pub const fn bold(mut self) -> Self {
        self.bold = true;
        self
    }
    /// The same in another ink.
    pub const fn ink(mut self, ink: &'static str) -> Self {
        self.ink = ink;
        self
    }
    /// The same as a heading.
    pub const fn heading(mut self) -> Self {
        self.family = SERIF;
        self
    }
}

/// A line of text.
pub(crate) fn text(out: &mut String, at: PaperPoint, letters: Lettering, words: &str) {
    let weight = if letters.bold { r#" font-weight="bold""# } else { "" };
    let _ = writeln!(
        out,
        r#"<text x="{}" y="{}" font-family="{}" font-size="{}" text-anchor="{}" fill="{}"{weight}>{}</text>"#,
        number(at[0]),
        number(at[1]),
        letters.family,
        letters.size,
        letters.anchor,
        letters.ink,
        escaped(words),
    );
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn text_cannot_leave_its_element() {
        assert_eq!(escaped("<a & \"b\">\u{0}\u{b}"), "&lt;a &amp; &quot;b&quot;&gt;  ");
    }

    #[test]
    fn numbers_are_short() {
        assert_eq!([1.0, -0.001, 2.5, 1.0 / 3.0].map(number), ["1", "0", "2.5", "0.33"]);
    }
}
