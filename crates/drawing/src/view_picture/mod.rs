//! What each lens sees of the craft, as a picture: a page for each lens, and the bare picture for a screen.
//!
//! A4 across. Left the picture in its own shape, over a course of gates and trees at the speed that is asked, and beneath
//! it the craft alone at other tilts; right what the rule says of it,
//! what clears it, how much each kind fills, and the lens, sensor and tilt it was made from. Shares are those of the lit
//! picture, worked out by `proof`; the outlines are good to a fraction of a pixel of a picture 1280 wide.

mod beside;
mod beyond;
mod course;
mod fault;
mod horizon;
mod picture;
mod words;

pub use beside::{Beside, beside_picture};
pub use fault::ViewPictureFault;
pub use horizon::horizon_chart;

use crate::paper::{Page, Paper, opened};
use crate::scale::Area;
use crate::svg::{HAIRLINE, INK, Lettering, RUST, line, number, text};
use crate::title_block::{hue, mark, title_block};
use crate::wrap::{on_one_line, wrapped};
use course::{over_course, set_course};
use craft::Craft;
use craft::schema::PartKind;
use picture::{DARK, Detail, fill, fitted, hatches, inside, picture};
use proof::limits::BLADES_IN_PICTURE;
use proof::{
    CourseAsked, CourseSeen, Fills, Finding, LensView, OverCourse, Proved, SeenAs, Unseen, course_seen,
};
use quantity::{Degrees, decimal};
use std::fmt::Write;
use std::sync::Arc;
use words::described;
pub use words::{lens_in_the_way, picture_facts, share_words};

const PICTURE: Area = Area { left: 13.0, top: 21.0, width: 184.0, height: 126.0 };
const WORDS: Area = Area { left: 207.0, top: 11.0, width: 81.0, height: 147.0 };
const BLOCK: Area = Area { left: 203.0, top: 161.0, width: 87.0, height: 42.0 };
/// Other tilts, from the set one, that are shown small: in one row, and where two rows have room.
const ONE_ROW: [f64; 4] = [-10.0, 10.0, 20.0, 30.0];
const TWO_ROWS: [f64; 8] = [-15.0, -10.0, -5.0, 5.0, 10.0, 15.0, 20.0, 30.0];
/// How many stand in a row.
const A_ROW: usize = 4;

/// What each lens of a craft sees of it: a page for each. Where the craft is over the course, and how fast it is, is asked.
pub fn view_picture(
    craft: &Craft,
    proved: &Proved,
    asked: &CourseAsked,
) -> Result<Vec<Page>, ViewPictureFault> {
    if proved.views.is_empty() {
        return Err(no_lens(craft));
    }
    let flown = course_seen(craft, &Arc::default(), asked);
    let page = |view: &Result<LensView, Unseen>| {
        let svg = match view {
            Ok(view) => seen(craft, proved, view, &flown),
            Err(unseen) => not_seen(craft, proved, unseen),
        };
        Page::new(Paper::ACROSS, svg)
    };
    Ok(proved.views.iter().map(page).collect())
}

/// Why a craft without a lens on a camera has no picture.
pub fn no_lens(craft: &Craft) -> ViewPictureFault {
    let has =
        |kind| craft.places.iter().any(|place| craft.part_at(place).is_some_and(|part| part.kind == kind));
    let mend = match (has(PartKind::Camera), has(PartKind::Lens)) {
        (false, _) => "put a camera with its lens on it first",
        (true, false) => "put a lens on its camera first",
        (true, true) => "seat the lens on the camera first",
    };
    ViewPictureFault::NoLens { craft: craft.name.clone(), mend }
}

/// What a lens sees, without the page around it and without letters, as SVG of the picture's own shape. `solids` are those of the proof.
pub fn bare_picture(view: &LensView, solids: &[proof::CraftSolid]) -> String {
    let size = Detail::Screen.size(view);
    let words = format!("What {} sees of the craft", view.subject);
    let mut out = format!(
        r#"<svg xmlns="http://www.w3.org/2000/svg" width="{w}" height="{h}" viewBox="0 0 {w} {h}" role="img" aria-label="{}">"#,
        crate::svg::escaped(&words),
        w = number(size[0]),
        h = number(size[1]),
    );
    hatches(&mut out);
    inside(&mut out, view, solids, size, Detail::Screen);
    out.push_str("</svg>\n");
    out
}

/// What a lens sees over the course, with the craft before it, without the page around it and without letters, as SVG of the
/// picture's own shape.
pub fn course_picture(view: &LensView, flight: &OverCourse) -> String {
    let [w, h] = Detail::Course.size(view);
    let mut out = format!(
        r#"<svg xmlns="http://www.w3.org/2000/svg" width="{w}" height="{h}" viewBox="0 0 {w} {h}">"#,
        w = number(w),
        h = number(h),
    );
    hatches(&mut out);
    over_course(&mut out, view, flight, Detail::Course, 0);
    out.push_str("</svg>\n");
    out
}

/// A small piece of the hatch of a kind, as SVG, for a key beside a bare picture.
pub fn swatch(kind: SeenAs) -> String {
    let mut out =
        format!(r#"<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {} {}">"#, SWATCH[0], SWATCH[1]);
    hatches(&mut out);
    swatch_of(&mut out, fill(kind));
    out.push_str("</svg>\n");
    out
}

/// How large a piece of a hatch is, in the units of a picture.
const SWATCH: [f64; 2] = [63.0, 32.0];

fn swatch_of(out: &mut String, fill: &str) {
    let [width, height] = SWATCH;
    let _ = writeln!(
        out,
        r#"<rect width="{width}" height="{height}" fill="{fill}" stroke="{INK}" stroke-width="3"/>"#
    );
}

fn seen(craft: &Craft, proved: &Proved, view: &LensView, flown: &CourseSeen) -> String {
    let fills = view.fills();
    let place = craft.places.get(view.lens);
    let finding = place.and_then(|place| proved.finding_at(BLADES_IN_PICTURE.rule, &place.id));
    let broken = lens_in_the_way(proved, view);
    let title = format!("{}: what {} sees", craft.name, view.subject);
    let words = described(view, &fills, finding, &broken);
    let mut out = head(&title, &format!("{words} {}.", flown.words()));
    let area = fitted(view, PICTURE);
    let heading = format!("{} picture, camera tilted {}", view.aspect_words(), tilt_words(view));
    text(&mut out, [PICTURE.left, 12.5], Lettering::plain(4.4).heading().bold(), &heading);
    text(&mut out, [PICTURE.left, 18.0], Lettering::plain(3.4), &flown.words());
    set_course(&mut out, view, &flown.flight(), area, 0);
    other_tilts(&mut out, view, proved, area.top + area.height + 7.0);
    let y = told(&mut out, view, finding, &broken);
    let y = shares(&mut out, &fills, y);
    rested_on(&mut out, view, y);
    title_block(&mut out, craft, &proved.findings, "what the lens sees", "Picture not to scale", BLOCK);
    out.push_str("</svg>\n");
    out
}

/// How far the camera is tilted.
fn tilt_words(view: &LensView) -> String {
    let tilt = decimal(view.tilt.get(), 1);
    format!("{}°", tilt.strip_suffix(".0").unwrap_or(&tilt))
}

/// A page that says why there is no picture.
fn not_seen(craft: &Craft, proved: &Proved, unseen: &Unseen) -> String {
    let words = format!("{}.", unseen.words());
    let title = format!("{}: what {} sees", craft.name, unseen.subject);
    let mut out = head(&title, &words);
    let mut y = PICTURE.top + 50.0;
    text(&mut out, [PICTURE.left, 16.5], Lettering::plain(4.4).heading().bold(), &unseen.subject);
    for row in wrapped(&words, PICTURE.width - 40.0, 4.0, 6) {
        text(&mut out, [PICTURE.left + PICTURE.width / 2.0, y], Lettering::plain(4.0).centred(), &row);
        y += 5.4;
    }
    title_block(&mut out, craft, &proved.findings, "what the lens sees", "No picture yet", BLOCK);
    out.push_str("</svg>\n");
    out
}

fn head(title: &str, words: &str) -> String {
    let mut out = opened(Paper::ACROSS, title, words);
    line(&mut out, [203.0, 7.0], [203.0, 203.0], HAIRLINE, 0.15);
    hatches(&mut out);
    out
}

/// The same lens at other tilts, small, each with what blades fill.
fn other_tilts(out: &mut String, view: &LensView, proved: &Proved, top: f64) {
    let gap = 5.0;
    let cell = (PICTURE.width - gap * (A_ROW as f64 - 1.0)) / A_ROW as f64;
    let stops = |by: f64| beyond::beyond(view, proved, by);
    // What stops it has lines of its own.
    let caption = if TWO_ROWS.iter().any(|by| stops(*by).is_some()) { 14.5 } else { 7.5 };
    let foot = 201.0;
    let room = (foot - top - 2.5 - caption).max(1.0);
    let high = (cell / view.aspect()).min(room);
    let tilts = if 2.0 * high + caption <= room { &TWO_ROWS[..] } else { &ONE_ROW[..] };
    text(
        out,
        [PICTURE.left, top],
        Lettering::plain(3.3).bold(),
        "The craft alone at other tilts, in level hover",
    );
    for (n, by) in tilts.iter().enumerate() {
        let left = PICTURE.left + (n % A_ROW) as f64 * (cell + gap);
        let top = top + 2.5 + (n / A_ROW) as f64 * (high + caption);
        let area = fitted(view, Area { left, top, width: cell, height: high });
        let angle = decimal(view.tilt.get() + by, 1);
        let angle = angle.strip_suffix(".0").unwrap_or(&angle);
        let tilted = view.tilted(Degrees::new(*by));
        let is_seen = tilted.is_ok();
        let words = match tilted {
            Ok(tilted) => {
                picture(out, &tilted, &proved.solids, area, Detail::Small);
                format!("{angle}°: blades {}", share_words(tilted.fills().of(SeenAs::Blades).get()))
            }
            Err(within) => {
                blocked(out, area, proved.solids.get(within).map_or("something", |s| &s.solid.name));
                format!("{angle}°: no picture")
            }
        };
        let at = [area.left + area.width / 2.0, area.top + area.height + 4.2];
        text(out, at, Lettering::plain(3.2).centred(), &words);
        if let Some(stops) = stops(*by) {
            beyond::strike(out, area, is_seen);
            let letters = Lettering::plain(2.6).centred().bold().ink(RUST);
            for (n, row) in wrapped(&format!("cannot be set: {stops}"), cell + gap, 2.6, 3).iter().enumerate()
            {
                text(out, [at[0], at[1] + 3.4 * (n + 1) as f64], letters, row);
            }
        }
    }
}

/// An empty frame that says what the lens would be in.
fn blocked(out: &mut String, area: Area, within: &str) {
    let Area { left, top, width, height } = area;
    let _ = writeln!(
        out,
        r#"<rect x="{}" y="{}" width="{}" height="{}" fill="none" stroke="{INK}" stroke-width="0.3" stroke-dasharray="1 1"/>"#,
        number(left),
        number(top),
        number(width),
        number(height)
    );
    for (n, row) in wrapped(&format!("lens inside {within}"), width - 4.0, 3.0, 3).iter().enumerate() {
        let at = [left + width / 2.0, top + height / 2.0 - 2.0 + 4.0 * n as f64];
        text(out, at, Lettering::plain(3.0).centred(), row);
    }
}

/// What the rule says, and what clears the picture. Answers how far down it went.
fn told(out: &mut String, view: &LensView, finding: Option<&Finding>, broken: &[&Finding]) -> f64 {
    let mut y = WORDS.top + 4.0;
    for row in wrapped(&view.subject, WORDS.width, 4.4, 2) {
        text(out, [WORDS.left, y], Lettering::plain(4.4).heading().bold(), &row);
        y += 5.2;
    }
    y += 1.6;
    // The worst alone: the check tells the rest.
    if let Some(worst) = broken.first() {
        mark(out, worst.verdict, [WORDS.left + 1.8, y - 1.2]);
        let letters = Lettering::plain(3.4).bold().ink(hue(worst.verdict));
        text(out, [WORDS.left + 5.0, y], letters, worst.verdict.word());
        y += 4.8;
        for row in wrapped(&worst.message, WORDS.width, 3.4, 4) {
            text(out, [WORDS.left, y], Lettering::plain(3.4), &row);
            y += 4.4;
        }
        y += 2.0;
    }
    let Some(finding) = finding else {
        text(out, [WORDS.left, y], Lettering::plain(3.4), "No blades on the craft: nothing to judge.");
        return y + 5.0;
    };
    mark(out, finding.verdict, [WORDS.left + 1.8, y - 1.2]);
    let letters = Lettering::plain(3.4).bold().ink(hue(finding.verdict));
    text(out, [WORDS.left + 5.0, y], letters, finding.verdict.word());
    y += 4.8;
    let limit = format!(
        "Sound up to {} of the picture, broken over {}.",
        share_words(BLADES_IN_PICTURE.tight),
        share_words(BLADES_IN_PICTURE.broken)
    );
    let words = std::iter::once(&finding.message).chain(&finding.mends).chain([&limit]);
    for words in words {
        for row in wrapped(words, WORDS.width, 3.4, 6) {
            text(out, [WORDS.left, y], Lettering::plain(3.4), &row);
            y += 4.4;
        }
        y += 1.2;
    }
    y + 1.0
}

/// The key: hatch, what it stands for, how much it fills.
fn shares(out: &mut String, fills: &Fills, mut y: f64) -> f64 {
    let right = WORDS.left + WORDS.width;
    text(out, [WORDS.left, y], Lettering::plain(3.4).bold(), "In the picture");
    text(out, [right, y], Lettering::plain(3.4).bold().ending(), "share");
    y += 2.0;
    line(out, [WORDS.left, y], [right, y], HAIRLINE, 0.15);
    let kinds = fills.by_kind.iter().map(|(kind, share)| (fill(*kind), kind.words(), share.get()));
    let dark = 100.0 - fills.lit.get();
    let rest = [("#eef2f3", "free", fills.free.get()), (DARK, "dark, of the whole frame", dark)];
    for (fill, words, share) in kinds.chain(rest) {
        if share <= 0.0 && words != SeenAs::Blades.words() {
            continue;
        }
        y += 6.0;
        let _ = writeln!(
            out,
            r#"<svg x="{}" y="{}" width="9" height="4.6" viewBox="0 0 {} {}">"#,
            number(WORDS.left),
            number(y - 3.8),
            SWATCH[0],
            SWATCH[1]
        );
        swatch_of(out, fill);
        out.push_str("</svg>\n");
        text(out, [WORDS.left + 12.0, y], Lettering::plain(3.4), words);
        text(out, [right, y], Lettering::plain(3.4).ending(), &share_words(share));
    }
    y + 7.0
}

/// What the picture was made from.
fn rested_on(out: &mut String, view: &LensView, mut y: f64) {
    let right = WORDS.left + WORDS.width;
    line(out, [WORDS.left, y - 3.8], [right, y - 3.8], HAIRLINE, 0.15);
    for (label, value) in picture_facts(view) {
        if y > WORDS.top + WORDS.height {
            break;
        }
        text(out, [WORDS.left, y], Lettering::plain(3.2), label);
        let value = on_one_line(&value, WORDS.width - 26.0, 3.2);
        text(out, [right, y], Lettering::plain(3.2).ending(), &value);
        y += 4.2;
    }
}
