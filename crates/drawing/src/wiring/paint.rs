//! The diagram drawn: blocks, lugs with the shape of what they do, wires with gauge and colour in words, faults in place.
//!
//! What a pad does is a shape: an arrow out where the part talks, an arrow in where it listens, three bars for ground, a full
//! square where it feeds, an open one where it is fed. A wire is drawn in the colour of its insulation within an ink casing, with
//! the word beside it. A wire that is at fault is dashed and carries the shape of the verdict and a letter.

use super::Marked;
use super::layout::{At, BLOCK_WIDTH, Block, HEAD, LUG, Layout, Spot, Way};
use crate::svg::{HAIRLINE, INK, Lettering, PAPER, number, text};
use crate::title_block::{hue, mark};
use crate::wrap::{on_one_line, width_of, wrapped};
use proof::Verdict;
use proof::wiring::WiringModel;
use std::fmt::Write;

/// What a pad may do, as the shape drawn and the words of the legend.
pub(super) const LEGEND: [(&str, &str); 7] = [
    ("supply out", "feeds"),
    ("supply in", "is fed"),
    ("ground", "ground"),
    ("send", "talks"),
    ("receive", "listens"),
    ("two ways", "both ways, bus, one wire"),
    ("none", "carries nothing"),
];

/// Height of a pad's name.
const NAME: f64 = 2.9;

/// Insulation on the paper, by the words of the schema.
fn insulation(colour: Option<&str>) -> &'static str {
    match colour {
        Some("red") => "#c0392b",
        Some("black") => "#1f2a33",
        Some("yellow") => "#e3b735",
        Some("white") => "#ffffff",
        Some("green") => "#3c8a4e",
        Some("blue") => "#3a6ea8",
        Some("orange") => "#d9822b",
        Some("brown") => "#7a5230",
        Some("purple") => "#7d539c",
        Some("grey") => "#9aa0a6",
        _ => "#e9e4d6",
    }
}

/// Draws everything at an offset.
pub(super) fn paint(out: &mut String, model: &WiringModel, layout: &Layout, marked: &[Marked]) {
    for way in &layout.ways {
        let fault = marked.iter().find(|fault| fault.rows.contains(&way.row)).map(|fault| fault.verdict);
        wire(out, model, way, fault);
    }
    for block in &layout.blocks {
        the_block(out, model, block);
    }
    for spot in &layout.spots {
        lug(out, model, spot);
    }
    let mut spoken: Vec<At> = Vec::new();
    for way in &layout.ways {
        words_of(out, model, way, layout, &mut spoken);
    }
    let mut used: Vec<At> = Vec::new();
    for fault in marked {
        let mut told: Vec<At> = Vec::new();
        for way in layout.ways.iter().filter(|way| fault.rows.contains(&way.row)) {
            let at = middle(way);
            // Wires of one fault that lie side by side are dashed both, and share its letter.
            if told.iter().all(|other| (other[0] - at[0]).hypot(other[1] - at[1]) > SHARED) {
                fault_at(out, fault, at, &mut used);
                told.push(at);
            }
        }
        if fault.rows.is_empty() {
            // Not all that a fault is about has pads: a motor or a harness is not drawn.
            let drawn = |unit: &usize| layout.blocks.iter().find(|block| block.unit == *unit);
            if let Some(block) = fault.units.iter().find_map(drawn) {
                fault_at(out, fault, [block.left + block.width - 3.0, block.top - 0.2], &mut used);
            }
        }
    }
}

/// Marks of one fault that would stand nearer than this are one, mm.
const SHARED: f64 = 14.0;

/// The mark of a fault with its letter, moved along where another stands already.
fn fault_at(out: &mut String, fault: &Marked, at: At, used: &mut Vec<At>) {
    let mut at = at;
    while used.iter().any(|other| (other[0] - at[0]).abs() < 6.0 && (other[1] - at[1]).abs() < 4.0) {
        at[1] += 4.2;
    }
    used.push(at);
    let (x, y) = (at[0], at[1]);
    let _ = writeln!(
        out,
        r#"<rect x="{}" y="{}" width="7.6" height="4.4" rx="0.8" fill="{PAPER}" stroke="{}" stroke-width="0.25"/>"#,
        number(x - 2.4),
        number(y - 2.2),
        hue(fault.verdict),
    );
    mark(out, fault.verdict, [x - 0.2, y]);
    text(
        out,
        [x + 3.2, y + 1.1],
        Lettering::plain(3.2).bold().centred().ink(hue(fault.verdict)),
        &fault.letter,
    );
}

/// On the track of the wire, where none of its words stand.
fn middle(way: &Way) -> At {
    let upright = way.points.windows(2).find(|w| (w[0][0] - w[1][0]).abs() < 1e-9);
    upright.map_or([0.0, 0.0], |w| [w[0][0], 0.5 * (w[0][1] + w[1][1])])
}

fn line_of(points: &[At]) -> String {
    let mut path = String::new();
    for (n, [x, y]) in points.iter().enumerate() {
        let _ = write!(path, "{}{} {}", if n == 0 { 'M' } else { 'L' }, number(*x), number(*y));
    }
    path
}

fn wire(out: &mut String, model: &WiringModel, way: &Way, fault: Option<Verdict>) {
    let row = model.wires.iter().find(|wire| wire.row == way.row);
    let colour = insulation(row.and_then(|row| row.colour.as_deref()));
    let path = line_of(&way.points);
    let casing = fault.map_or(INK, hue);
    let (dash, width) = if fault.is_some() { (r#" stroke-dasharray="2.4 1""#, 1.3) } else { ("", 0.95) };
    let _ = writeln!(
        out,
        r#"<path d="{path}" fill="none" stroke="{casing}" stroke-width="{width}"{dash} stroke-linejoin="round"/>"#
    );
    let _ = writeln!(
        out,
        r#"<path d="{path}" fill="none" stroke="{colour}" stroke-width="0.55"{dash} stroke-linejoin="round"/>"#
    );
}

/// Gauge and colour, on the level piece at the end that lies right; at the other end where another wire's words stand there already.
fn words_of(out: &mut String, model: &WiringModel, way: &Way, layout: &Layout, spoken: &mut Vec<At>) {
    let Some(row) = model.wires.iter().find(|wire| wire.row == way.row) else { return };
    let mut words: Vec<String> = row.gauge.iter().map(u32::to_string).collect();
    if row.lead.is_some() {
        words.push("lead".to_owned());
    }
    words.extend(row.colour.clone());
    let words = words.join(" ");
    if words.is_empty() {
        return;
    }
    let (first, last) = (way.points.first(), way.points.last());
    let (Some(first), Some(last)) = (first, last) else { return };
    let ends = if first[0] > last[0] { [first, last] } else { [last, first] };
    let end = ends.into_iter().find(|end| !spoken.contains(end)).unwrap_or(ends[0]);
    spoken.push(*end);
    let looks_right =
        layout.spots.iter().any(|spot| way.join.contains(&spot.pad) && spot.at == *end && spot.right);
    let size = 2.5;
    let room = width_of(&words, size);
    // On the paper beside the lug, so that the line is broken by its own words.
    let x = if looks_right { end[0] + LUG + 0.8 } else { end[0] - LUG - 0.8 - room };
    let _ = writeln!(
        out,
        r#"<rect x="{}" y="{}" width="{}" height="2.6" fill="{PAPER}"/>"#,
        number(x - 0.3),
        number(end[1] - 1.3),
        number(room + 0.4)
    );
    text(out, [x, end[1] + 0.9], Lettering::plain(size), &words);
}

fn the_block(out: &mut String, model: &WiringModel, block: &Block) {
    let Block { left, top, width, height, unit } = *block;
    let _ = writeln!(
        out,
        r#"<rect x="{}" y="{}" width="{}" height="{}" fill="{PAPER}" stroke="{INK}" stroke-width="0.4"/>"#,
        number(left),
        number(top),
        number(width),
        number(height)
    );
    let unit = &model.units[unit];
    let rows = wrapped(&unit.called, width - 4.0, 3.1, 2);
    for (number, row) in rows.iter().enumerate() {
        text(out, [left + 2.0, top + 4.4 + 3.7 * number as f64], Lettering::plain(3.1).heading().bold(), row);
    }
    let place = format!("at {}", unit.place);
    let below = top + 4.6 + 3.7 * rows.len() as f64;
    text(out, [left + 2.0, below], Lettering::plain(2.8), &on_one_line(&place, width - 4.0, 2.8));
    let y = number(top + HEAD - 1.4);
    let _ = writeln!(
        out,
        r#"<path d="M{} {y}H{}" stroke="{HAIRLINE}" stroke-width="0.2"/>"#,
        number(left),
        number(left + width)
    );
}

fn lug(out: &mut String, model: &WiringModel, spot: &Spot) {
    let pad = &model.pads[spot.pad];
    let away = if spot.right { 1.0 } else { -1.0 };
    let [x, y] = spot.at;
    // The lug's middle, out of the block.
    shape(out, pad.role.map(role_word), [x + away * 0.5 * LUG, y], away);
    let letters = Lettering::plain(NAME);
    let room = 0.5 * BLOCK_WIDTH - 1.5;
    let name = on_one_line(&pad.name, room, NAME);
    let letters = if spot.right { letters.ending() } else { letters };
    text(out, [x - away * 1.4, y + 1.0], letters, &name);
}

/// The word of the legend for what a pad does.
fn role_word(role: proof::wiring::Role) -> &'static str {
    use proof::wiring::Role;
    match role {
        Role::SupplyOut => "supply out",
        Role::SupplyIn => "supply in",
        Role::Ground => "ground",
        Role::Send | Role::AnalogueOut => "send",
        Role::Receive | Role::AnalogueIn => "receive",
        Role::HalfDuplex | Role::OneWire | Role::Bus | Role::CameraLane | Role::MotorPhase => "two ways",
        Role::Nothing => "none",
    }
}

/// The shape of what a pad does, about a point; `away` is 1 where out is to the right.
pub(super) fn shape(out: &mut String, word: Option<&str>, at: At, away: f64) {
    let [x, y] = at;
    let n = number;
    let (tail, tip) = (x - away * 1.3, x + away * 1.3);
    let path = match word {
        Some("supply out") => format!("M{} {}h2.6v2.6h-2.6z", n(x - 1.3), n(y - 1.3)),
        Some("supply in") => format!(
            "M{} {}h2.6v2.6h-2.6zM{} {}h1.4M{} {}v1.4",
            n(x - 1.3),
            n(y - 1.3),
            n(x - 0.7),
            n(y),
            n(x),
            n(y - 0.7)
        ),
        Some("ground") => format!(
            "M{a} {}V{}M{b} {}V{}M{c} {}V{}",
            n(y - 1.5),
            n(y + 1.5),
            n(y - 1.0),
            n(y + 1.0),
            n(y - 0.5),
            n(y + 0.5),
            a = n(tail),
            b = n(x - away * 0.2),
            c = n(x + away * 0.9)
        ),
        Some("send") => {
            format!("M{} {}L{} {}L{} {}z", n(tail), n(y - 1.4), n(tip), n(y), n(tail), n(y + 1.4))
        }
        Some("receive") => {
            format!("M{} {}L{} {}L{} {}z", n(tip), n(y - 1.4), n(tail), n(y), n(tip), n(y + 1.4))
        }
        Some("two ways") => format!(
            "M{} {}L{} {}L{} {}L{} {}z",
            n(x - 1.4),
            n(y),
            n(x),
            n(y - 1.4),
            n(x + 1.4),
            n(y),
            n(x),
            n(y + 1.4)
        ),
        Some(_) => format!("M{} {}l2 2M{} {}l-2 2", n(x - 1.0), n(y - 1.0), n(x + 1.0), n(y - 1.0)),
        None => {
            let _ = writeln!(
                out,
                r#"<circle cx="{}" cy="{}" r="1.4" fill="{PAPER}" stroke="{INK}" stroke-width="0.3" stroke-dasharray="0.5 0.5"/>"#,
                n(x),
                n(y)
            );
            return;
        }
    };
    let full = matches!(word, Some("supply out" | "send"));
    let fill = if full { INK } else { PAPER };
    let _ = writeln!(
        out,
        r#"<path d="{path}" fill="{fill}" stroke="{INK}" stroke-width="0.35" stroke-linejoin="round"/>"#
    );
}
