//! The title block: what is drawn, how it is shown, how it stands, to which scale.

use crate::scale::Area;
use crate::silhouette::PaperPoint;
use crate::svg::{HAIRLINE, INK, Lettering, PAPER, line, number, text};
use crate::wrap::wrapped;
use craft::Craft;
use proof::{Finding, Verdict};
use std::fmt::Write;

/// The ink of a verdict.
pub(crate) const fn hue(verdict: Verdict) -> &'static str {
    match verdict {
        Verdict::Broken => "#8e1f1f",
        Verdict::Tight => "#7d5200",
        Verdict::Unknown => "#55595f",
        Verdict::Sound => "#1d6353",
    }
}

/// The shape of a verdict, about a point: crossed square, two close bars, dotted circle, open circle.
pub(crate) fn mark(out: &mut String, verdict: Verdict, at: PaperPoint) {
    let (x, y, ink) = (at[0], at[1], hue(verdict));
    let _ = match verdict {
        Verdict::Broken => writeln!(
            out,
            r#"<path d="M{l} {t}H{r}V{b}H{l}ZM{l} {t}L{r} {b}M{r} {t}L{l} {b}" fill="none" stroke="{ink}" stroke-width="0.4"/>"#,
            l = number(x - 1.5),
            r = number(x + 1.5),
            t = number(y - 1.5),
            b = number(y + 1.5),
        ),
        Verdict::Tight => writeln!(
            out,
            r#"<path d="M{a} {t}V{b}M{c} {t}V{b}" fill="none" stroke="{ink}" stroke-width="0.8"/>"#,
            a = number(x - 0.8),
            c = number(x + 0.8),
            t = number(y - 1.6),
            b = number(y + 1.6),
        ),
        Verdict::Unknown => writeln!(
            out,
            r#"<circle cx="{}" cy="{}" r="1.5" fill="none" stroke="{ink}" stroke-width="0.5" stroke-dasharray="0.1 1.08" stroke-linecap="round"/>"#,
            number(x),
            number(y)
        ),
        Verdict::Sound => writeln!(
            out,
            r#"<circle cx="{}" cy="{}" r="1.5" fill="none" stroke="{ink}" stroke-width="0.45"/>"#,
            number(x),
            number(y)
        ),
    };
}

/// Draws the block into its area.
pub(crate) fn title_block(
    out: &mut String,
    craft: &Craft,
    findings: &[Finding],
    what: &str,
    scale: &str,
    area: Area,
) {
    let Area { left, top, width, height } = area;
    let _ = writeln!(
        out,
        r#"<rect x="{left}" y="{top}" width="{width}" height="{height}" fill="{PAPER}" stroke="{INK}" stroke-width="0.35"/>"#
    );
    let inner = left + 3.0;
    let mut y = top + 6.5;
    for row in wrapped(&craft.name, width - 6.0, 5.2, 2) {
        text(out, [inner, y], Lettering::plain(5.2).heading().bold(), &row);
        y += 5.6;
    }
    let class = craft.class.map_or("class not said", |class| class.plain());
    text(out, [inner, y - 0.6], Lettering::plain(3.4), &format!("{class}; {what}"));
    let counts = top + height - 15.5;
    line(out, [left, counts - 4.2], [left + width, counts - 4.2], HAIRLINE, 0.15);
    count_row(out, findings, [inner + 1.5, counts], width - 6.0);
    let foot = top + height - 8.0;
    line(out, [left, foot - 4.2], [left + width, foot - 4.2], HAIRLINE, 0.15);
    text(out, [inner, foot], Lettering::plain(3.4), &format!("{scale}, A4. Sizes in mm."));
    text(
        out,
        [inner, foot + 4.6],
        Lettering::plain(3.0),
        "Computed from facts entered: dry fit before you solder.",
    );
}

fn count_row(out: &mut String, findings: &[Finding], at: PaperPoint, width: f64) {
    // The shares of the row follow the length of the words.
    for (verdict, share) in Verdict::ALL.into_iter().zip([0.0, 0.25, 0.45, 0.76]) {
        let count = findings.iter().filter(|finding| finding.verdict == verdict).count();
        let x = at[0] + width * share;
        mark(out, verdict, [x, at[1] - 1.2]);
        let letters = Lettering::plain(3.3).ink(hue(verdict));
        text(out, [x + 2.6, at[1]], letters, &format!("{count} {}", verdict.word()));
    }
}
