//! The bench card of a craft: two sheets of A4 upright that lie beside it on the bench.
//!
//! First sheet: the craft from above, mass and balance point, and its parts with what each weighs and on what that rests.
//! Second sheet: where everything is placed, what the rules find, what to measure next, cautions. Always two: what a
//! large craft has more of is counted and said to be left out. The date is the caller's: nothing here reads a clock.

mod findings;
mod parts;
mod places;

use crate::cautions::FLIGHT;
use crate::flow::{Row, fill};
use crate::layers::{corners, hatching, layers, paint};
use crate::paper::{Page, Paper, opened};
use crate::projection::View;
use crate::scale::{Area, Bounds, Scale};
use crate::svg::{HAIRLINE, INK, Lettering, RUST, line, text};
use crate::title_block::{hue, mark};
use crate::wrap::{on_one_line, wrapped};
use craft::Craft;
use proof::{Proof, Proved, Verdict};

/// Left edge and width of what is printed.
const LEFT: f64 = 12.0;
const WIDTH: f64 = 186.0;
const PICTURE: Area = Area { left: LEFT, top: 25.0, width: 92.0, height: 80.0 };
const PARTS: Area = Area { left: LEFT, top: 112.0, width: WIDTH, height: 176.0 };
const PLACES: Area = Area { left: LEFT, top: 24.0, width: WIDTH, height: 100.0 };
/// Where the cautions end, and the height of one of their rows.
const FOOT: f64 = 289.0;
const CAUTION_ROW: f64 = 3.5;
/// The heading of a part of the card.
const HEADING: Lettering = Lettering::plain(4.2).heading().bold();

/// The bench card of a craft, with a date to print on it.
pub fn card(craft: &Craft, proved: &Proved, date: Option<&str>) -> Vec<Page> {
    let proof = Proof::new(craft);
    let first = {
        let mut out = begun(craft, proved, date, 1);
        picture(&mut out, proved);
        summary(&mut out, &proof, proved);
        parts::parts(&mut out, &proof, PARTS);
        out.push_str("</svg>\n");
        Page::new(Paper::UPRIGHT, out)
    };
    let second = {
        let mut out = begun(craft, proved, date, 2);
        let end = places::places(&mut out, &proof, PLACES);
        let cautions = caution_rows();
        let foot = FOOT - CAUTION_ROW * cautions.iter().filter(|row| row.room > 0.0).count() as f64;
        let facts = findings::facts_to_measure(proved, WIDTH);
        let measure = foot - 4.0 - findings::measure_height(&facts);
        let found = Area { left: LEFT, top: end + 4.0, width: WIDTH, height: measure - end - 7.0 };
        findings::findings(&mut out, proved, found);
        findings::measure_next(&mut out, &facts, [LEFT, measure]);
        draw_cautions(&mut out, cautions, foot);
        out.push_str("</svg>\n");
        Page::new(Paper::UPRIGHT, out)
    };
    vec![first, second]
}

fn begun(craft: &Craft, proved: &Proved, date: Option<&str>, sheet: u32) -> String {
    let title = format!("{}: bench card", craft.name);
    let words = format!(
        "Sheet {sheet} of 2. {}",
        counts(proved).map(|(v, n)| format!("{n} {}", v.word())).join(", ")
    );
    let mut out = opened(Paper::UPRIGHT, &title, &words);
    let heading = on_one_line(&craft.name, 120.0, 6.0);
    text(&mut out, [LEFT, 16.0], Lettering::plain(6.0).heading().bold(), &heading);
    let right = LEFT + WIDTH;
    let class = craft.class.map_or("class not said", |class| class.plain());
    text(&mut out, [right, 12.0], Lettering::plain(3.2).ending(), &format!("bench card, sheet {sheet} of 2"));
    let date = date.map_or(String::new(), |date| format!("; {date}"));
    text(&mut out, [right, 16.6], Lettering::plain(3.2).ending(), &format!("{class}{date}"));
    line(&mut out, [LEFT, 19.5], [right, 19.5], INK, 0.35);
    out
}

/// What there is no room for: `and 1 more part, counted in the sum`.
fn left_out(count: usize, one: &str, what: &str) -> String {
    format!("and {count} more {one}{}, {what}", if count == 1 { "" } else { "s" })
}

fn counts(proved: &Proved) -> [(Verdict, usize); 4] {
    Verdict::ALL.map(|verdict| (verdict, proved.findings.iter().filter(|f| f.verdict == verdict).count()))
}

fn picture(out: &mut String, proved: &Proved) {
    hatching(out);
    let layers = layers(&proved.solids, View::Top);
    let Some(all) = Bounds::of(corners(&layers, false).chain(corners(&layers, true))) else {
        let middle = [PICTURE.left + PICTURE.width / 2.0, PICTURE.top + PICTURE.height / 2.0];
        text(out, middle, Lettering::plain(3.2).centred(), "Nothing has a size and a place yet.");
        return;
    };
    paint(out, &layers, &Scale::filling(all, PICTURE));
}

/// Mass, balance point, and how the craft stands.
fn summary(out: &mut String, proof: &Proof, proved: &Proved) {
    let x = PICTURE.left + PICTURE.width + 8.0;
    let width = LEFT + WIDTH - x;
    let mut rows = vec![Row::new(HEADING, "How it stands", 6.2)];
    rows.extend(parts::mass_rows(proof).into_iter().flat_map(|words| {
        wrapped(&words, width, 3.3, 4).into_iter().map(|words| Row::new(Lettering::plain(3.3), words, 4.3))
    }));
    rows.reverse();
    fill(out, &mut rows, Area { left: x, top: 28.0, width, height: 46.0 });
    for ((verdict, count), y) in counts(proved).into_iter().zip([80.0, 86.0, 92.0, 98.0]) {
        mark(out, verdict, [x + 2.0, y - 1.2]);
        let words = format!("{count} {}", verdict.word());
        text(out, [x + 6.5, y], Lettering::plain(3.5).bold().ink(hue(verdict)), &words);
    }
    let words = "Computed from facts entered: dry fit before you solder.";
    text(out, [x, 104.0], Lettering::plain(2.9), words);
}

fn caution_rows() -> Vec<Row> {
    let mut rows = Vec::new();
    for (word, caution) in FLIGHT {
        for (n, words) in wrapped(caution, WIDTH - 26.0, 2.9, 2).into_iter().enumerate() {
            let mut row = Row { indent: 24.0, ..Row::new(Lettering::plain(2.9), words, CAUTION_ROW) };
            if n == 0 {
                // The word stands in the margin of its caution.
                rows.push(Row {
                    room: 0.0,
                    holds: true,
                    ..Row::new(Lettering::plain(2.9).bold().ink(RUST), *word, 0.0)
                });
            }
            row.holds = n == 0;
            rows.push(row);
        }
    }
    rows
}

fn draw_cautions(out: &mut String, mut rows: Vec<Row>, top: f64) {
    line(out, [LEFT, top - 1.5], [LEFT + WIDTH, top - 1.5], RUST, 0.3);
    rows.reverse();
    fill(out, &mut rows, Area { left: LEFT, top, width: WIDTH, height: FOOT + 4.0 - top });
    text(
        out,
        [LEFT, 292.5],
        Lettering::plain(2.6).ink(HAIRLINE),
        "Margins are what is in hand beyond the need; ± is one standard uncertainty.",
    );
}
