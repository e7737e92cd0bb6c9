//! The exploded view on one sheet, with the steps of the assembly beside it; steps that find no room go on further sheets.

use super::balloons::balloons;
use super::boxed::{Boxed, boxed};
use super::faces::{Face, Shade, faces};
use super::order::{Step, steps};
use super::painter::painted_order;
use super::spread::{GAPS, is_shown, spread};
use super::told::{Told, told};
use crate::cautions::ASSEMBLY;
use crate::flow::{Head, Row, fill};
use crate::layers::{hatching, tone};
use crate::paper::{Page, Paper, opened};
use crate::projection::Eye;
use crate::scale::{Area, Bounds, Scale};
use crate::silhouette::PaperPoint;
use crate::svg::{HAIRLINE, INK, Lettering, RUST, escaped, line, path, text};
use crate::title_block::title_block;
use crate::wrap::{on_one_line, wrapped};
use craft::Craft;
use fit::{BodyVector, Role, Solid, in_rings};
use proof::{CraftSolid, Material, Proof, Proved};
use std::fmt::Write;

/// Solids drawn at most, the largest.
const SHOWN_MAX: usize = 1_200;
/// Where the eye stands: ahead to the right and above, so that stacks part upward on the sheet.
const AZIMUTH: f64 = -52.0;
const ELEVATION: f64 = 28.0;

const PICTURE: Area = Area { left: 23.0, top: 14.0, width: 162.0, height: 174.0 };
const LIST: Area = Area { left: 206.0, top: 11.0, width: 81.0, height: 146.0 };
const BLOCK: Area = Area { left: 203.0, top: 161.0, width: 87.0, height: 42.0 };
/// The columns of a further sheet.
const COLUMNS: [Area; 3] = [
    Area { left: 12.0, top: 20.0, width: 86.0, height: 178.0 },
    Area { left: 105.0, top: 20.0, width: 86.0, height: 178.0 },
    Area { left: 198.0, top: 20.0, width: 86.0, height: 178.0 },
];
/// Said of a step that has no balloon: leads, and what has no size or place yet.
const NOT_SHOWN: &str = "not in the picture, so without a balloon";
const TITLE: Lettering = Lettering::plain(3.3);
const DETAIL: Lettering = Lettering::plain(2.9);

/// The exploded view of a craft with the order of its assembly.
pub fn exploded(craft: &Craft, proved: &Proved) -> Vec<Page> {
    let proof = Proof::new(craft);
    let steps = steps(&proof, proved);
    let nuts = proof::nuts(&proof);
    let mut told: Vec<Told> = steps.iter().map(|step| told(&proof, &nuts, step)).collect();
    for (step, told) in steps.iter().zip(&mut told) {
        if !step.movers.iter().any(|mover| mover.solids.iter().any(|solid| is_shown(proved, *solid))) {
            told.details.push(NOT_SHOWN.to_owned());
        }
    }
    let mut rows = rows(&told);
    rows.reverse();
    let mut out = opened(Paper::ACROSS, &format!("{} taken apart", craft.name), &described(craft, &told));
    hatching(&mut out);
    line(&mut out, [203.0, 7.0], [203.0, 203.0], HAIRLINE, 0.15);
    picture(&mut out, &proof, proved, &steps);
    fill(&mut out, &mut rows, LIST);
    title_block(&mut out, craft, &proved.findings, "order of assembly", "Not to scale", BLOCK);
    out.push_str("</svg>\n");
    let mut pages = vec![Page::new(Paper::ACROSS, out)];
    while !rows.is_empty() {
        let number = pages.len() + 1;
        let title = format!("{}: order of assembly, sheet {number}", craft.name);
        let mut out = opened(Paper::ACROSS, &title, "The steps go on.");
        let heading = on_one_line(&title, 260.0, 4.6);
        text(&mut out, [12.0, 14.5], Lettering::plain(4.6).heading().bold(), &heading);
        for column in COLUMNS {
            fill(&mut out, &mut rows, column);
        }
        out.push_str("</svg>\n");
        pages.push(Page::new(Paper::ACROSS, out));
    }
    pages
}

/// The order in words, for those who cannot see the picture.
fn described(craft: &Craft, told: &[Told]) -> String {
    let mut words = format!("{}: parts moved apart along their seats, in the order of assembly.", craft.name);
    for (number, step) in told.iter().enumerate() {
        let _ = write!(words, " {}: {}.", number + 1, step.title);
    }
    words
}

fn picture(out: &mut String, proof: &Proof, proved: &Proved, steps: &[Step]) {
    let eye = Eye::askew(AZIMUTH, ELEVATION);
    let Some(moved) = widest(proof, proved, steps, &eye) else {
        let middle = [PICTURE.left + PICTURE.width / 2.0, PICTURE.top + PICTURE.height / 2.0];
        text(out, middle, Lettering::plain(4.0).centred(), "Nothing has a size and a place yet.");
        return;
    };
    let mut shown = shown(proved, steps, &moved);
    let whole = shown.len();
    let size = |solid: usize| {
        let around = boxed(&proved.solids[solid].solid);
        (0..3).map(|k| around.high[k] - around.low[k]).fold(0.0, f64::max)
    };
    if whole > SHOWN_MAX {
        shown.sort_by(|(a, _), (b, _)| size(*b).total_cmp(&size(*a)));
        shown.truncate(SHOWN_MAX);
    }
    let solids: Vec<Solid> = shown.iter().map(|(s, by)| shifted(&proved.solids[*s].solid, *by)).collect();
    let painted: Vec<Vec<Face>> = solids.iter().map(|solid| faces(solid, &eye)).collect();
    let seen: Vec<Bounds> = painted
        .iter()
        .map(|faces| {
            let points = faces.iter().flat_map(|face| face.rings.iter().flatten());
            Bounds::of(points).unwrap_or(Bounds { low: [0.0; 2], high: [0.0; 2] })
        })
        .collect();
    let Some(all) = seen.iter().copied().reduce(Bounds::with) else { return };
    let scale = Scale::filling(all, PICTURE);
    guides(out, proved, steps, &moved, &eye, &scale);
    let boxes: Vec<Boxed> = solids.iter().map(boxed).collect();
    out.push_str("<g stroke-linejoin=\"round\">\n");
    let order = painted_order(&boxes, &seen, &eye);
    for &number in &order {
        paint(out, &proved.solids[shown[number].0], &painted[number], &scale);
    }
    out.push_str("</g>\n");
    let on_top = |at: PaperPoint| {
        let covers = |number: &&usize| {
            painted[**number].iter().any(|face| in_rings(at, &on_paper(&face.rings, &scale)))
        };
        order.iter().rev().find(covers).map(|number| shown[*number].0)
    };
    balloons(out, &named(proved, steps, &moved, &|at, by| land(&eye, &scale, at, by), &on_top), PICTURE);
    let words = "Chain lines lead back to the seats. Carbon hatched, blades as the disc they sweep.";
    text(out, [12.0, 200.0], Lettering::plain(3.0), words);
    if whole > SHOWN_MAX {
        let left_out = whole - SHOWN_MAX;
        let words = format!("Simplified: the {left_out} smallest of {whole} solids are not drawn.");
        text(out, [12.0, 195.6], Lettering::plain(3.0).ink(RUST), &words);
    }
}

/// The solids that are drawn, each with how far it is moved.
fn shown(proved: &Proved, steps: &[Step], moved: &[Vec<[f64; 3]>]) -> Vec<(usize, [f64; 3])> {
    let mut shown = Vec::new();
    for (step, shifts) in steps.iter().zip(moved) {
        for (mover, shift) in step.movers.iter().zip(shifts) {
            shown.extend(mover.solids.iter().filter(|s| is_shown(proved, **s)).map(|s| (*s, *shift)));
        }
    }
    shown
}

/// How much smaller than with the narrowest gaps the parts may be drawn for the sake of wider ones.
const SMALLER: f64 = 0.75;

/// The widest spread that does not make the parts too small; `None` where nothing is to be drawn.
fn widest(proof: &Proof, proved: &Proved, steps: &[Step], eye: &Eye) -> Option<Vec<Vec<[f64; 3]>>> {
    let scaled = |share: f64| {
        let moved = spread(proof, proved, steps, share);
        let mut corners = Vec::new();
        for (solid, by) in shown(proved, steps, &moved) {
            corners.extend(boxed(&proved.solids[solid].solid).moved(by).corners().map(|p| {
                let seen = eye.see(p);
                [seen.u, seen.v]
            }));
        }
        Some((Scale::filling(Bounds::of(&corners)?, PICTURE).times, moved))
    };
    let (scale, narrowest) = scaled(GAPS[0])?;
    // With very many parts the steps between are too small to see, and each try costs as much as the last.
    let tries = if proved.solids.len() > SHOWN_MAX { 0 } else { GAPS.len() - 1 };
    let wider = GAPS
        .iter()
        .rev()
        .take(tries)
        .filter_map(|share| scaled(*share))
        .find(|(times, _)| *times >= SMALLER * scale);
    Some(wider.map_or(narrowest, |(_, moved)| moved))
}

fn shifted(solid: &Solid, by: [f64; 3]) -> Solid {
    let pose = solid.pose.shifted(BodyVector::new(by[0], by[1], by[2]));
    Solid { pose, drifts: Vec::new(), ..solid.clone() }
}

/// The solid of a mover with the most material: the middle of a duct is air.
fn largest(proved: &Proved, solids: &[usize]) -> Option<usize> {
    let size = |s: &usize| proved.solids[*s].solid.shape.volume_mm3();
    let shown = solids.iter().filter(|s| is_shown(proved, **s));
    shown.max_by(|a, b| size(a).total_cmp(&size(b))).copied()
}

/// The middle of a mover at rest, of its largest solid, so that the point lies on something.
fn heart(proved: &Proved, solids: &[usize]) -> Option<[f64; 3]> {
    Some(boxed(&proved.solids[largest(proved, solids)?].solid).middle().coordinates())
}

fn land(eye: &Eye, scale: &Scale, at: [f64; 3], by: [f64; 3]) -> PaperPoint {
    let seen = eye.see(fit::BodyPoint::new(at[0] + by[0], at[1] + by[1], at[2] + by[2]));
    scale.at([seen.u, seen.v])
}

fn guides(
    out: &mut String,
    proved: &Proved,
    steps: &[Step],
    moved: &[Vec<[f64; 3]>],
    eye: &Eye,
    scale: &Scale,
) {
    let _ = writeln!(out, r#"<g stroke="{HAIRLINE}" stroke-width="0.16" stroke-dasharray="3 0.8 0.6 0.8">"#);
    for (step, shifts) in steps.iter().zip(moved) {
        for (mover, shift) in step.movers.iter().zip(shifts) {
            let Some(heart) = heart(proved, &mover.solids).filter(|_| *shift != [0.0; 3]) else { continue };
            let (from, to) = (land(eye, scale, heart, [0.0; 3]), land(eye, scale, heart, *shift));
            let points = [from, to].map(|p| p.map(crate::svg::number));
            let _ = writeln!(
                out,
                r#"<line x1="{}" y1="{}" x2="{}" y2="{}"/>"#,
                points[0][0], points[0][1], points[1][0], points[1][1]
            );
        }
    }
    out.push_str("</g>\n");
}

/// How far what belongs to a step must lie from its balloon's point to get a balloon of its own, in mm of paper.
const ASIDE: f64 = 12.0;

/// How much of what a balloon leads to must be seen round its point, in mm of paper.
const CLEAR: f64 = 1.2;
/// Solids of a mover that are looked at for such a point, the largest, where there are no more solids in all than this.
const LOOKED_AT: usize = 8;
const CROWD: usize = 600;
/// Where a solid is looked at for such a point, as shares of its size from its middle.
const SPOTS: [[f64; 2]; 5] = [[0.0, 0.0], [0.25, 0.0], [-0.25, 0.0], [0.0, 0.25], [0.0, -0.25]];

/// The number of each step with the points that its balloons lead to: a point that is seen, of movers alike the one farthest out. A rod
/// of it that stands apart, as the whip of a receiver does, has the number too. `land` puts a point of the craft, moved, on the
/// paper, `on_top` says which solid is seen there.
fn named(
    proved: &Proved,
    steps: &[Step],
    moved: &[Vec<[f64; 3]>],
    land: &dyn Fn([f64; 3], [f64; 3]) -> PaperPoint,
    on_top: &dyn Fn(PaperPoint) -> Option<usize>,
) -> Vec<(usize, PaperPoint)> {
    let middle = PICTURE.left + PICTURE.width / 2.0;
    let out = |p: &PaperPoint| (p[0] - middle).abs();
    let mut named = Vec::new();
    for (number, (step, shifts)) in steps.iter().zip(moved).enumerate() {
        let mut at_heart: Vec<PaperPoint> = Vec::new();
        let mut in_sight: Vec<PaperPoint> = Vec::new();
        let mut rods: Vec<PaperPoint> = Vec::new();
        for (mover, shift) in step.movers.iter().zip(shifts) {
            let point =
                |solid: usize| land(boxed(&proved.solids[solid].solid).middle().coordinates(), *shift);
            let Some(largest) = largest(proved, &mover.solids) else { continue };
            at_heart.push(point(largest));
            let mut shown: Vec<usize> =
                mover.solids.iter().copied().filter(|solid| is_shown(proved, *solid)).collect();
            let size = |solid: &usize| proved.solids[*solid].solid.shape.volume_mm3();
            // A duct is mostly air, and other parts are seen through it.
            let is_duct = |solid: &usize| proved.solids[*solid].solid.role == Role::MouldedDuct;
            shown.sort_by(|a, b| is_duct(a).cmp(&is_duct(b)).then(size(b).total_cmp(&size(a))));
            let is_seen =
                |solid: &usize| on_top(point(*solid)).is_some_and(|top| mover.solids.contains(&top));
            // A spot with nothing else close by says best what is meant.
            let is_mine = |at: &PaperPoint| on_top(*at).is_some_and(|top| mover.solids.contains(&top));
            let is_clear = |at: &PaperPoint| {
                is_mine(at)
                    && [[CLEAR, 0.0], [-CLEAR, 0.0], [0.0, CLEAR], [0.0, -CLEAR]]
                        .iter()
                        .all(|[x, y]| is_mine(&[at[0] + x, at[1] + y]))
            };
            let spots = |solid: usize| {
                let around = boxed(&proved.solids[solid].solid);
                let middle = around.middle().coordinates();
                SPOTS.map(|share| {
                    let off = |k: usize| share[k] * (around.high[k] - around.low[k]);
                    land([middle[0] + off(0), middle[1] + off(1), middle[2]], *shift)
                })
            };
            // In a crowd each look costs as much as the picture.
            let looked_at = if proved.solids.len() > CROWD { 0 } else { LOOKED_AT };
            let clear = shown.iter().take(looked_at).flat_map(|solid| spots(*solid)).find(is_clear);
            in_sight.extend(clear.or_else(|| shown.iter().copied().find(is_seen).map(point)));
            let is_rod = |solid: &usize| proved.solids[*solid].solid.role == Role::AntennaElement;
            rods.extend(shown.into_iter().filter(is_rod).map(point));
        }
        let farthest =
            |points: &[PaperPoint]| points.iter().copied().max_by(|a, b| out(a).total_cmp(&out(b)));
        let Some(point) = farthest(&in_sight).or_else(|| farthest(&at_heart)) else { continue };
        named.push((number + 1, point));
        let mut shown = at_heart;
        shown.extend(in_sight);
        let is_apart =
            |rod: &PaperPoint| shown.iter().all(|other| (rod[0] - other[0]).hypot(rod[1] - other[1]) > ASIDE);
        named.extend(rods.into_iter().filter(is_apart).map(|rod| (number + 1, rod)));
    }
    named
}

fn paint(out: &mut String, solid: &CraftSolid, faces: &[Face], scale: &Scale) {
    let name = escaped(&solid.solid.name);
    let _ = writeln!(out, "<g><title>{name}</title>");
    let (last, walls) = match faces.split_last() {
        Some((last, walls)) => (last, walls),
        None => return out.push_str("</g>\n"),
    };
    for wall in walls {
        let fill = shaded(solid.material, wall.shade);
        let d = path(&on_paper(&wall.rings, scale));
        // Walls are edged in their own tone: their seams must not show, their ends do by the shade beside.
        let _ = writeln!(out, r#"<path d="{d}" fill="{fill}" stroke="{fill}" stroke-width="0.1"/>"#);
    }
    let d = path(&on_paper(&last.rings, scale));
    let fill = shaded(solid.material, last.shade);
    let edge = if solid.ghost { r#" stroke-dasharray="0.3 0.9" stroke-linecap="round""# } else { "" };
    let _ = writeln!(
        out,
        r#"<path d="{d}" fill="{fill}" fill-rule="evenodd" stroke="{INK}" stroke-width="0.2"{edge}/>"#
    );
    out.push_str("</g>\n");
}

/// The tone of a material on a face: level faces lightest, those to the left darkest.
fn shaded(material: Material, shade: Shade) -> String {
    let base = match (material, shade) {
        (Material::Carbon, Shade::Flat) => return tone(material).to_owned(),
        (Material::Carbon, _) => "#cdc8ba",
        _ => tone(material),
    };
    let times = match shade {
        Shade::Flat => 1.0,
        Shade::Right => 0.9,
        Shade::Left => 0.8,
    };
    let channel = |from: usize| {
        let value = base.get(from..from + 2).and_then(|two| u8::from_str_radix(two, 16).ok());
        value.map(|value| (f64::from(value) * times).round() as u8)
    };
    match (channel(1), channel(3), channel(5)) {
        (Some(r), Some(g), Some(b)) => format!("#{r:02x}{g:02x}{b:02x}"),
        _ => base.to_owned(),
    }
}

fn on_paper(rings: &[Vec<PaperPoint>], scale: &Scale) -> Vec<Vec<PaperPoint>> {
    rings.iter().map(|ring| ring.iter().map(|p| scale.at(*p)).collect()).collect()
}

/// The list: cautions first, then the steps.
fn rows(told: &[Told]) -> Vec<Row> {
    let width = LIST.width;
    let mut rows = vec![Row::new(Lettering::plain(4.4).heading().bold(), "Order of assembly", 5.6)];
    for caution in ASSEMBLY {
        for words in wrapped(caution, width - 1.0, DETAIL.size, 4) {
            rows.push(Row::new(DETAIL.ink(RUST), words, 3.5));
        }
        rows.push(Row::new(DETAIL, "", 0.7));
    }
    rows.push(Row::new(DETAIL, "", 1.0));
    for (number, step) in told.iter().enumerate() {
        let titles = wrapped(&step.title, width - 8.0, TITLE.size, 3);
        let details = step.details.iter().flat_map(|detail| wrapped(detail, width - 8.0, DETAIL.size, 4));
        let lines: Vec<(Lettering, String, f64)> = titles
            .into_iter()
            .map(|words| (TITLE.bold(), words, 3.8))
            .chain(details.map(|words| (DETAIL, words, 3.5)))
            .collect();
        let last = lines.len() - 1;
        for (n, (letters, words, room)) in lines.into_iter().enumerate() {
            let room = if n == last { room + 1.6 } else { room };
            let head = (n == 0).then(|| Head::Label((number + 1).to_string()));
            rows.push(Row { head, indent: 8.0, letters, words, room, holds: n < last });
        }
    }
    rows
}
