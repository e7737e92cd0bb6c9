//! Two pictures of the course side by side: two lenses, or one lens in two shapes of picture, and what each has that the other
//! lacks.
//!
//! A4 across. Both pictures are as high, each in its own shape; under them a table of what they show, and in words what
//! the second gains and loses.

use super::course::set_course;
use super::picture::{fitted, hatches};
use super::{BLOCK, tilt_words};
use crate::paper::{Page, Paper, opened};
use crate::scale::Area;
use crate::svg::{HAIRLINE, Lettering, line, number, text};
use crate::title_block::title_block;
use crate::wrap::{on_one_line, wrapped};
use craft::Craft;
use proof::{Compared, CourseSeen, LensView, Proved, compared, gains_and_losses};
use quantity::Figure;

/// One of two pictures.
#[derive(Clone, Copy, Debug)]
pub struct Beside<'a> {
    /// What the lenses of its craft show.
    pub seen: &'a CourseSeen,
    /// The lens.
    pub view: &'a LensView,
    /// The place of the lens in its craft.
    pub lens: &'a str,
    /// What a person calls it: `as built`, `in 4 : 3`.
    pub called: &'a str,
}

const LEFT: f64 = 13.0;
const WIDTH: f64 = 271.0;
const GAP: f64 = 7.0;
const TOP: f64 = 26.0;
/// The tallest a picture may be.
const HEIGHT: f64 = 100.0;
/// Down to where there is paper to draw on.
const FOOT: f64 = 203.0;
/// From one row of the table to the next, and from one line of words to the next.
const ROW: f64 = 5.5;
const LINE: f64 = 4.4;
/// How much of the width the table takes.
const TABLE: f64 = 184.0;

/// Two pictures of the course side by side.
pub fn beside_picture(craft: &Craft, proved: &Proved, pair: [Beside; 2]) -> Page {
    let [one, other] = pair;
    let lines = compared((one.seen, one.lens), Some((other.seen, other.lens)));
    let [gains, losses] = gains_and_losses(&lines);
    let told: Vec<String> = [("gains", gains), ("gives up", losses)]
        .into_iter()
        .filter_map(|(does, words)| words.map(|words| format!("The second {does} {words}.")))
        .collect();
    let told = if told.is_empty() { vec!["Both show alike.".to_owned()] } else { told };
    let title = format!("{}: two pictures of the course", craft.name);
    let words = format!(
        "First {}, {}; second {}, {}. {}",
        one.view.subject,
        one.called,
        other.view.subject,
        other.called,
        told.join(" ")
    );
    let mut out = opened(Paper::ACROSS, &title, &words);
    hatches(&mut out);
    text(&mut out, [LEFT, 12.5], Lettering::plain(4.4).heading().bold(), "Over the course");
    text(&mut out, [LEFT, 18.0], Lettering::plain(3.4), &one.seen.words());
    let width = (WIDTH - GAP) / 2.0;
    let told: Vec<String> = told.iter().flat_map(|words| wrapped(words, TABLE, 3.4, 3)).collect();
    // What stands under the pictures has its room first: a picture in 4 : 3 is tall.
    let under = 4.4 + 9.0 + ROW * lines.len() as f64 + 5.5 + LINE * told.len() as f64;
    let height = (FOOT - TOP - under).min(HEIGHT);
    let mut foot: f64 = TOP;
    // As on a screen both are as high, so that a thing as many pixels high is as large in both.
    let room = Area { left: 0.0, top: TOP, width, height };
    let height = pair.iter().map(|shown| fitted(shown.view, room).height).fold(height, f64::min);
    for (n, shown) in pair.into_iter().enumerate() {
        let left = LEFT + n as f64 * (width + GAP);
        let area = fitted(shown.view, Area { left, top: TOP, width, height });
        let area = Area { left, ..area };
        let heading = format!(
            "{}: {}, {} picture, tilted {}",
            ["First", "Second"][n],
            shown.called,
            shown.view.aspect_words(),
            tilt_words(shown.view)
        );
        text(&mut out, [left, TOP - 2.0], Lettering::plain(3.4).bold(), &on_one_line(&heading, width, 3.4));
        set_course(&mut out, shown.view, &shown.seen.flight(), area, n);
        let y = area.top + area.height + 4.4;
        text(&mut out, [left, y], Lettering::plain(3.2), &on_one_line(&shown.view.subject, width, 3.2));
        foot = foot.max(y);
    }
    let y = table(&mut out, &lines, foot + 9.0);
    let mut y = y + 2.5;
    for row in told {
        text(&mut out, [LEFT, y], Lettering::plain(3.4), &row);
        y += LINE;
    }
    title_block(&mut out, craft, &proved.findings, "two pictures", "Pictures not to scale", BLOCK);
    out.push_str("</svg>\n");
    Page::new(Paper::ACROSS, out)
}

/// What both show, line by line. Answers how far down it went.
fn table(out: &mut String, lines: &[Compared], mut y: f64) -> f64 {
    let right = [LEFT + 0.62 * TABLE, LEFT + 0.82 * TABLE, LEFT + TABLE];
    let heads = ["first", "second", "second more by"];
    text(out, [LEFT, y], Lettering::plain(3.2).bold(), "What each shows");
    for (head, at) in heads.into_iter().zip(right) {
        text(out, [at, y], Lettering::plain(3.2).bold().ending(), head);
    }
    for compared in lines {
        line(out, [LEFT, y + 1.6], [LEFT + TABLE, y + 1.6], HAIRLINE, 0.15);
        y += ROW;
        text(out, [LEFT, y], Lettering::plain(3.2), &compared.what);
        let told = |figure: &Option<Figure>| {
            figure.as_ref().map_or("dark there".to_owned(), |figure| amount(figure.quantity.value, compared))
        };
        let more = compared.more().map_or("–".to_owned(), |more| {
            let amount = amount(more.abs(), compared);
            // What is nought as it is written has no sign.
            let nought = !amount.contains(|digit: char| ('1'..='9').contains(&digit));
            let sign = match (nought, more < 0.0) {
                (true, _) => "",
                (false, true) => "−",
                (false, false) => "+",
            };
            format!("{sign}{amount}")
        });
        for (words, at) in [told(&compared.one), told(&compared.other), more].iter().zip(right) {
            text(out, [at, y], Lettering::plain(3.2).ending(), words);
        }
    }
    y + 3.0
}

/// A number as the table writes it, with its unit.
fn amount(value: f64, compared: &Compared) -> String {
    let unit = compared.unit().symbol();
    let figures = if value.abs() < 100.0 { (value * 10.0).round() / 10.0 } else { value.round() };
    let sign = if figures < 0.0 { "−" } else { "" };
    let figures = format!("{sign}{}", number(figures.abs()));
    match unit {
        "°" => format!("{figures}°"),
        "" => figures,
        unit => format!("{figures} {unit}"),
    }
}
