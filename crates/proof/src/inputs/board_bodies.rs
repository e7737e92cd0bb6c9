//! Boards: a bare laminate with a slab of components above and below.
//!
//! The slabs leave the corners with the mounting holes free. How far, the sheet may say (`clear` of a hole
//! pattern). Where it does not, a board is taken to leave what custom asks: the head of the screw its pattern names and
//! the air a head needs ([`fit::REQUIREMENTS`]), or [`HOLE_MARGIN`] round the hole if that is more. Nobody measured that
//! edge, so it has the doubt of a typical outer size; and a screw head or spacer that fits into that room is not
//! judged against the components at all (see `touching`): its margin would be this file's own, told back
//! as if somebody knew it. A head that is too wide for it is told, and how sure that is follows from the doubt.

use super::Piece;
use super::bodies::{Material, label};
use super::builder::{Axis, Builder, Edges, exact};
use super::holes::leaning_holes;
use super::seats::linear;
use crate::engine::Proof;
use craft::schema::{PartKind, air, board, shape};
use craft::{Item, Part, Reading};
use fit::{InPart, Outline, PartPoint, PlanePoint, Role, required_clearance};
use quantity::{Basis, DoubtKind, Linear, Millimetres};

/// Margin between the edge of a mounting hole and the components round it, common practice for boards
/// that are meant to take a screw head there.
const HOLE_MARGIN: f64 = 1.2;
/// Holes whose free circle ends further from a corner than this share of the half side do not cut it off.
const CORNER: f64 = 0.8;

pub(super) fn board(b: &mut Builder) {
    let item = b.part.item();
    let read = |field| b.length(&item, field);
    let (length, width) = (read(&air::LENGTH), read(&air::WIDTH));
    let (laminate, above, below) = (read(&board::BOARD), read(&board::ABOVE), read(&board::BELOW));
    let name = b.part.name.clone();
    let (Ok(length), Ok(width), Ok(laminate), Ok(below)) = (&length, &width, &laminate, &below) else {
        let missing = [length, width, laminate, below, above].into_iter().filter_map(Result::err);
        return b.lacks(name, missing);
    };
    let (length, width, laminate, below) = (length.clone(), width.clone(), laminate.clone(), below.clone());
    let deck = below.clone() + laminate.clone();
    let middle = below.clone() + laminate.clone() * 0.5;
    b.cuboid(
        label(format!("board of {name}"), Role::Board, Material::Board, Piece::Laminate),
        [exact(0.0), exact(0.0), middle],
        [length.clone(), width.clone(), laminate],
    );
    let Footprint { outline, edges } = footprint(b, &length, &width);
    let slab = |name: String| label(name, Role::Board, Material::Board, Piece::Components);
    if below.value > 0.0 {
        let at = [exact(0.0), exact(0.0), exact(0.0)];
        let under = slab(format!("components under {name}"));
        b.stepped(under, outline.clone(), &edges, at, InPart::IDENTITY, &below);
    }
    match above {
        Ok(above) if above.value > 0.0 => {
            let frame = InPart::at(PartPoint::new(0.0, 0.0, deck.value));
            let on = slab(format!("components on {name}"));
            b.stepped(on, outline, &edges, [exact(0.0), exact(0.0), deck], frame, &above);
        }
        Ok(_) => {}
        Err(missing) => b.lacks(format!("components on {name}"), [missing]),
    }
}

/// The outline components may cover, and how its edges move with the facts.
struct Footprint {
    outline: Result<Outline, String>,
    edges: [Edges; 2],
}

/// The board less its corners where the mounting holes are: a cross that reaches every edge.
fn footprint(b: &Builder, length: &Linear, width: &Linear) -> Footprint {
    let half = [length.clone() * 0.5, width.clone() * 0.5];
    let [x, y] = half.each_ref().map(|side| side.value);
    // Where the free circles of the holes begin, the innermost along each axis.
    let mut inner: [Option<Linear>; 2] = [None, None];
    for row in b.part.rows(&shape::pattern::TABLE) {
        let Some(clear) = clear_circle(b.proof, &row) else { continue };
        let middle = [&shape::X, &shape::Y].map(|field| b.length_or(&row, field, 0.0));
        for hole in leaning_holes(b.proof, &row).unwrap_or_default() {
            let begins = [0, 1].map(|axis| {
                let at = hole[axis].clone() + middle[axis].clone();
                let out = if at.value < 0.0 { at * -1.0 } else { at };
                out - clear.clone() * 0.5
            });
            if x - begins[0].value >= x * CORNER || y - begins[1].value >= y * CORNER {
                continue;
            }
            for (known, begins) in inner.iter_mut().zip(begins) {
                if known.as_ref().is_none_or(|known| begins.value < known.value) {
                    *known = Some(begins);
                }
            }
        }
    }
    let p = PlanePoint::new;
    let edges = |[along, across]: [Linear; 2]| {
        let [outer_x, outer_y] = half.clone();
        [
            Edges { axis: Axis::X, inner: along, outer: outer_x },
            Edges { axis: Axis::Y, inner: across, outer: outer_y },
        ]
    };
    let (points, edges) = match inner {
        [Some(along), Some(across)] if along.value < x && across.value < y => {
            let (u, v) = (along.value, across.value);
            let cross = [
                (-u, -y),
                (u, -y),
                (u, -v),
                (x, -v),
                (x, v),
                (u, v),
                (u, y),
                (-u, y),
                (-u, v),
                (-x, v),
                (-x, -v),
                (-u, -v),
            ];
            (cross.map(|(x, y)| p(x, y)).to_vec(), edges([along, across]))
        }
        _ => (vec![p(-x, -y), p(x, -y), p(x, y), p(-x, y)], edges([exact(-x), exact(-y)])),
    };
    Footprint { outline: b.proof.outline(points, Vec::new()), edges }
}

/// The circle free of components round each hole of a pattern: as stated, else as custom has it, with the doubt
/// of a typical outer size.
fn clear_circle(proof: &Proof, row: &Item<'_>) -> Option<Linear> {
    if let Ok(stated) = row.read(&shape::pattern::CLEAR) {
        return Some(linear(proof, &stated));
    }
    let (value, kind, basis) =
        (Millimetres::new(customary_circle(row)?), DoubtKind::OuterSize, Basis::Typical);
    let doubt = kind.default_doubt(basis, value.get());
    let unsaid = row.missing(&shape::pattern::CLEAR.def);
    let (path, label) = (unsaid.path, unsaid.label);
    Some(linear(proof, &Reading { value, doubt, kind, basis, path, label }))
}

/// What custom leaves free round each hole of a pattern, in mm across; `None` where the holes have no size.
fn customary_circle(row: &Item<'_>) -> Option<f64> {
    let hole = row.read(&shape::pattern::HOLE).ok()?.value.get();
    let head = row.text(&shape::pattern::SCREW).ok().and_then(|thread| super::heads::head_of(thread, None));
    let head = head.map_or(0.0, |head| head.diameter.get() + 2.0 * air_beside(Role::ScrewHead));
    Some((hole + 2.0 * HOLE_MARGIN).max(head))
}

/// What a solid needs beside the components of a board, in mm.
pub(super) fn air_beside(role: Role) -> f64 {
    required_clearance(role, Role::Board).map_or(0.0, |needs| needs.distance.get())
}

/// The widest circle round its holes that a board leaves free by custom alone; `None` where its sheet says how
/// far components stay away, or it has no holes.
pub(super) fn customary_room(board: &Part) -> Option<f64> {
    let boards = [PartKind::FlightController, PartKind::SpeedController, PartKind::IntegratedBoard];
    let rows = || board.rows(&shape::pattern::TABLE);
    if !boards.contains(&board.kind) || rows().any(|row| row.has(&shape::pattern::CLEAR.def)) {
        return None;
    }
    rows().filter_map(|row| customary_circle(&row)).max_by(f64::total_cmp)
}
