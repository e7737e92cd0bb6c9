//! The parts of a craft with what they weigh, and what it weighs and where it balances as a whole.

use super::{HEADING, left_out};
use crate::scale::Area;
use crate::svg::{HAIRLINE, Lettering, RUST, line, text};
use crate::wrap::{on_one_line, width_of};
use craft::schema::{PartKind, frame, place as place_schema};
use craft::{Part, PartId};
use proof::Proof;
use quantity::{decimal, standard_uncertainty};
use std::collections::HashMap;

/// One line of the list: a part with how many of it are on the craft.
struct Listed<'a> {
    part: &'a Part,
    count: u32,
}

/// Rows that the sheet has room for, at their usual and their least height.
const ROW: f64 = 4.0;
const ROW_MIN: f64 = 3.1;
/// The room of a name, and the least letters it is set in before it is cut, in mm.
const NAME_WIDTH: f64 = 65.0;
const NAME_SIZE_MIN: f64 = 2.2;

fn listed<'a>(proof: &Proof<'a>) -> Vec<Listed<'a>> {
    let mut numbers: HashMap<&PartId, usize> = HashMap::new();
    let mut all: Vec<Listed> = Vec::new();
    for placed in proof.placed() {
        if placed.part.kind.stays_on_the_ground() {
            continue;
        }
        let count = match placed.part.kind {
            PartKind::Screw => placed.place.item().count(&place_schema::COUNT).unwrap_or(1),
            _ => 1,
        };
        let at = *numbers.entry(&placed.part.id).or_insert_with(|| {
            all.push(Listed { part: placed.part, count: 0 });
            all.len() - 1
        });
        all[at].count += count;
    }
    all
}

/// What the craft weighs and where it balances, in words.
pub(super) fn mass_rows(proof: &Proof) -> Vec<String> {
    let weights = proof.weights();
    let mut rows = Vec::new();
    match &weights.balance {
        None => rows.push("Mass: no part with a mass has a place yet.".to_owned()),
        Some(balance) => {
            let doubt = |linear| standard_uncertainty(linear, &proof.ledger());
            let at_least = if weights.missing.is_empty() { "" } else { "at least " };
            let mass = &balance.mass;
            rows.push(format!(
                "Mass as it flies: {at_least}{} ± {} g",
                decimal(mass.value, 0),
                decimal(doubt(mass).max(0.5), 0)
            ));
            let side = |k: usize, plus: &str, minus: &str| {
                let along = &balance.centre[k];
                let word = if along.value < 0.0 { minus } else { plus };
                format!("{} ± {} mm {word}", decimal(along.value.abs(), 1), decimal(doubt(along), 1))
            };
            rows.push(format!(
                "Balance point, from the craft's origin: {}, {}, {}",
                side(0, "forward", "back"),
                side(1, "left", "right"),
                side(2, "up", "down")
            ));
        }
    }
    if !weights.missing.is_empty() {
        rows.push(match weights.missing.len() {
            1 => "One mass is not known yet.".to_owned(),
            count => format!("{count} masses are not known yet."),
        });
    }
    rows
}

/// The list of parts.
pub(super) fn parts(out: &mut String, proof: &Proof, area: Area) {
    let listed = listed(proof);
    text(out, [area.left, area.top], HEADING, "Parts");
    let heads = area.top + 5.0;
    let small = Lettering::plain(2.9);
    let ends = [area.left + 8.0, area.left + 130.0, area.left + 150.0];
    for (end, words) in ends.into_iter().zip(["×", "g each", "g in all"]) {
        text(out, [end, heads], small.ending().ink(HAIRLINE), words);
    }
    for (start, words) in [(11.0, "part"), (78.0, "kind"), (154.0, "mass rests on")] {
        text(out, [area.left + start, heads], small.ink(HAIRLINE), words);
    }
    line(out, [area.left, heads + 1.2], [area.left + area.width, heads + 1.2], HAIRLINE, 0.15);
    let nuts = nut_row(proof);
    let room = area.height - 9.0 - if nuts.is_some() { ROW } else { 0.0 };
    let row = (room / (listed.len().max(1) + 1) as f64).clamp(ROW_MIN, ROW);
    let fits = (room / row) as usize - 1;
    let shown = if listed.len() > fits { fits - 1 } else { listed.len() };
    let size = if row < 3.6 { 2.6 } else { 3.0 };
    let letters = Lettering::plain(size);
    let mut y = heads + 1.2 + row;
    let (mut sum, mut unknown) = (0.0, 0);
    for (n, Listed { part, count }) in listed.iter().enumerate() {
        let mass = part.item().read(&frame::MASS);
        match &mass {
            Ok(mass) => sum += mass.value.get() * f64::from(*count),
            Err(_) => unknown += 1,
        }
        if n >= shown {
            continue;
        }
        text(out, [ends[0], y], letters.ending(), &count.to_string());
        // A long name is lettered smaller before it is cut.
        let wide = width_of(&part.name, size);
        let own = if wide > NAME_WIDTH { (size * NAME_WIDTH / wide).max(NAME_SIZE_MIN) } else { size };
        let name = on_one_line(&part.name, NAME_WIDTH, own);
        text(out, [area.left + 11.0, y], Lettering::plain(own), &name);
        text(out, [area.left + 78.0, y], letters, part.kind.def().plain);
        match mass {
            Ok(mass) => {
                let each = mass.value.get();
                text(out, [ends[1], y], letters.ending(), &grams(each));
                text(out, [ends[2], y], letters.ending(), &grams(each * f64::from(*count)));
                text(out, [area.left + 154.0, y], letters, mass.basis.words());
            }
            Err(_) => text(out, [area.left + 154.0, y], letters.ink(RUST), "not known: weigh it"),
        }
        y += row;
    }
    if shown < listed.len() {
        let words = left_out(listed.len() - shown, "part", "counted in the sum");
        text(out, [area.left + 11.0, y], letters.ink(RUST), &words);
        y += row;
    }
    line(out, [area.left, y - row + 1.2], [area.left + area.width, y - row + 1.2], HAIRLINE, 0.15);
    let words = match unknown {
        0 => "sum".to_owned(),
        1 => "sum of what is known; 1 part is not".to_owned(),
        n => format!("sum of what is known; {n} parts are not"),
    };
    text(out, [area.left + 11.0, y], letters.bold(), &words);
    text(out, [ends[2], y], letters.bold().ending(), &grams(sum));
    if let Some(nuts) = nuts {
        text(out, [area.left + 11.0, y + row], letters, &nuts);
    }
}

/// The nuts the screws take, by thread.
fn nut_row(proof: &Proof) -> Option<String> {
    let mut by_thread: Vec<(String, u32)> = Vec::new();
    for nuts in proof::nuts(proof) {
        match by_thread.iter_mut().find(|(thread, _)| *thread == nuts.thread) {
            Some((_, count)) => *count += nuts.count,
            None => by_thread.push((nuts.thread, nuts.count)),
        }
    }
    by_thread.sort();
    let list: Vec<String> = by_thread.iter().map(|(thread, count)| format!("{count} × {thread}")).collect();
    (!list.is_empty()).then(|| format!("and nuts, which are not weighed in: {}", list.join(", ")))
}

/// A mass as a kitchen scale shows it: to a hundredth under ten grams, else to a tenth.
fn grams(value: f64) -> String {
    decimal(value, if value.abs() < 9.995 { 2 } else { 1 })
}
