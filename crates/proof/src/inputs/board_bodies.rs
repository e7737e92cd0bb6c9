//! Boards: a bare laminate with a slab of components above and below.
//!
//! The slabs leave the corners with the mounting holes free, so that a screw head on the board is held
//! against the components beside it and not against the board it clamps.

use super::Piece;
use super::bodies::{Material, label};
use super::builder::{Builder, exact};
use super::frame_bodies;
use craft::schema::{air, board, shape};
use fit::{InPart, Outline, PartPoint, PlanePoint, Role};

/// Margin between the edge of a mounting hole and the components round it, common practice for boards
/// that are meant to take a screw head there.
const HOLE_MARGIN: f64 = 1.2;
/// Margin between the usual head of the screw that a board's pattern names and the components round it: a
/// little more than the 0.8 mm a head needs, common practice for the same boards.
const HEAD_MARGIN: f64 = 1.0;

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
    let footprint = component_outline(b, length.value, width.value);
    let slab = |name: String| label(name, Role::Board, Material::Board, Piece::Components);
    if below.value > 0.0 {
        let at = [exact(0.0), exact(0.0), exact(0.0)];
        b.plate(slab(format!("components under {name}")), footprint.clone(), at, InPart::IDENTITY, &below);
    }
    match above {
        Ok(above) if above.value > 0.0 => {
            let frame = InPart::at(PartPoint::new(0.0, 0.0, deck.value));
            b.plate(
                slab(format!("components on {name}")),
                footprint,
                [exact(0.0), exact(0.0), deck],
                frame,
                &above,
            );
        }
        Ok(_) => {}
        Err(missing) => b.lacks(format!("components on {name}"), [missing]),
    }
}

/// The outline components may cover: the board less its corners where the mounting holes are.
fn component_outline(b: &Builder, length: f64, width: f64) -> Result<Outline, String> {
    let (x, y) = (length / 2.0, width / 2.0);
    let mut cut = (0.0f64, 0.0f64);
    for row in b.part.rows(&shape::pattern::TABLE) {
        let Ok(hole) = row.read(&shape::pattern::HOLE) else { continue };
        let head =
            row.text(&shape::pattern::SCREW).ok().and_then(|thread| super::heads::head_of(thread, None));
        let head = head.map_or(0.0, |head| head.diameter.get() / 2.0 + HEAD_MARGIN);
        for [hx, hy] in frame_bodies::pattern_holes(&row).unwrap_or_default() {
            let keep = (hole.value.get() / 2.0 + HOLE_MARGIN).max(head);
            let (dx, dy) = (x - (hx.abs() - keep), y - (hy.abs() - keep));
            // Only holes near a corner cut it off.
            if dx < x * 0.8 && dy < y * 0.8 {
                cut = (cut.0.max(dx), cut.1.max(dy));
            }
        }
    }
    let p = PlanePoint::new;
    let (u, v) = (x - cut.0, y - cut.1);
    let points = if cut.0 > 0.0 && cut.1 > 0.0 {
        vec![
            p(-u, -y),
            p(u, -y),
            p(u, -v),
            p(x, -v),
            p(x, v),
            p(u, v),
            p(u, y),
            p(-u, y),
            p(-u, v),
            p(-x, v),
            p(-x, -v),
            p(-u, -v),
        ]
    } else {
        vec![p(-x, -y), p(x, -y), p(x, y), p(-x, y)]
    };
    b.proof.outline(points, Vec::new())
}
