//! Where everything is placed: seat, offsets along it, turn.

use super::{HEADING, left_out};
use crate::scale::Area;
use crate::svg::{HAIRLINE, Lettering, RUST, line, text};
use crate::wrap::{on_one_line, width_of};
use craft::schema::{Field, place as schema};
use craft::{Anchor, Place};
use proof::Proof;
use quantity::{Degrees, Millimetres, decimal};

const ROW: f64 = 3.3;
const SIZE: f64 = 2.6;
/// How small a long name is set.
const LEAST: f64 = 2.0;
const COLUMN: f64 = 91.0;
const BETWEEN: f64 = 4.0;

/// Draws the table in two columns and tells where it ends.
pub(super) fn places(out: &mut String, proof: &Proof, area: Area) -> f64 {
    text(out, [area.left, area.top + 1.0], HEADING, "Placement, in mm");
    let flies = |place: &&Place| {
        let part = proof.craft.part_at(place);
        !part.is_some_and(|part| part.kind.stays_on_the_ground())
    };
    let all: Vec<&Place> = proof.craft.places.iter().filter(flies).collect();
    if all.is_empty() {
        text(out, [area.left, area.top + 6.5], Lettering::plain(3.0), "Nothing is placed yet.");
        return area.top + 9.0;
    }
    let top = area.top + 9.0;
    let rows_max = ((area.height - 9.0) / ROW) as usize;
    let shown = all.len().min(2 * rows_max);
    let rows = shown.div_ceil(2);
    for column in 0..2usize.min(shown) {
        let x = area.left + column as f64 * (COLUMN + BETWEEN);
        heads(out, [x, top - 3.2]);
        for (n, place) in all.iter().skip(column * rows).take(rows.min(shown - column * rows)).enumerate() {
            row(out, place, [x, top + ROW * n as f64 + 0.8]);
        }
    }
    let mut end = top + ROW * rows as f64;
    if shown < all.len() {
        let words = left_out(all.len() - shown, "place", "not shown here");
        text(out, [area.left, end + 0.8], Lettering::plain(SIZE).ink(RUST), &words);
        end += ROW;
    }
    end
}

fn heads(out: &mut String, [x, y]: [f64; 2]) {
    let letters = Lettering::plain(SIZE).ink(HAIRLINE);
    for (start, words) in [(0.0, "place"), (19.0, "seat"), (78.0, "turn")] {
        text(out, [x + start, y], letters, words);
    }
    for (end, words) in [(57.5, "x"), (67.0, "y"), (76.5, "z")] {
        text(out, [x + end, y], letters.ending(), words);
    }
    line(out, [x, y + 1.0], [x + COLUMN, y + 1.0], HAIRLINE, 0.15);
}

fn row(out: &mut String, place: &Place, [x, y]: [f64; 2]) {
    let letters = Lettering::plain(SIZE);
    // A long name is set smaller before it is cut.
    let mut short = |at: f64, words: &str, width: f64, letters: Lettering| {
        let size = (SIZE * width / width_of(words, SIZE).max(1e-9)).clamp(LEAST, SIZE) - 1e-3;
        text(out, [x + at, y], Lettering { size, ..letters }, &on_one_line(words, width, size));
    };
    short(0.0, place.id.as_str(), 18.0, letters.bold());
    let seat = place.on.as_ref().map_or("no seat yet".to_owned(), Anchor::to_string);
    short(19.0, &seat, 31.0, letters);
    let item = place.item();
    let along =
        |field: &Field<Millimetres>| item.read(field).map_or(String::new(), |v| length(v.value.get()));
    for (end, field) in [(57.5, &schema::X), (67.0, &schema::Y), (76.5, &schema::Z)] {
        text(out, [x + end, y], letters.ending(), &along(field));
    }
    text(out, [x + 78.0, y], letters, &turns(place));
}

/// A length to a tenth; a point where it is nought, which is the usual thing.
fn length(value: f64) -> String {
    if value.abs() < 0.005 { "·".to_owned() } else { decimal(value, 1) }
}

fn turns(place: &Place) -> String {
    let item = place.item();
    let angle = |field: &Field<Degrees>| item.read(field).map_or(0.0, |angle| angle.value.get());
    let mut words = Vec::new();
    let named = [("", &schema::YAW), ("tilt ", &schema::PITCH), ("roll ", &schema::ROLL)];
    for (name, field) in named {
        let angle = angle(field);
        if angle != 0.0 {
            words.push(format!("{name}{angle}°"));
        }
    }
    if item.flag(&schema::FLIPPED).unwrap_or(false) {
        words.push("flipped".to_owned());
    }
    words.join(" ")
}
