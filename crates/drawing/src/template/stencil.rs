//! What a template shows of one plate or hole pattern: rings, holes with their names, and which way it lies.
//!
//! Geometry is that of the proved solids, so that what is drilled is what was judged. Level plates are seen from above
//! with the nose up the sheet, upright ones from the side their outline is drawn on. A pattern is laid about its own
//! middle. Holes that are still to be drilled come with their plate: see `pending`.

use crate::level_plates::plate_row;
use craft::schema::{frame, shape};
use craft::{Item, Part};
use fit::{Hole, Prism, Shape};
use proof::{CraftSolid, pattern_holes};
use quantity::Millimetres;

/// A place in a stencil's own plane: right, up, in mm.
pub(crate) type Spot = [f64; 2];

/// How a stencil lies on the paper.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Lie {
    /// x up the sheet, y to the left: from above.
    Level,
    /// The outline's first axis right, its second up.
    Upright,
}

/// A round hole or slot of a stencil.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Bore {
    /// Its middle, or that of one end, in the outline's own coordinates.
    pub at: [f64; 2],
    /// The middle of the other end of a slot.
    pub to: Option<[f64; 2]>,
    pub diameter: f64,
    /// What it is for.
    pub what: String,
    /// Whether it is not there yet.
    pub new: bool,
}

/// One plate or pattern, to be drawn true to size.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Stencil {
    pub title: String,
    pub note: String,
    pub lie: Lie,
    /// The names of the outline's axes.
    pub axes: [&'static str; 2],
    /// The outer ring, empty for a bare pattern, in the outline's own coordinates.
    pub outer: Vec<[f64; 2]>,
    /// Windows.
    pub windows: Vec<Vec<[f64; 2]>>,
    pub bores: Vec<Bore>,
    /// What to mind before drilling.
    pub warnings: Vec<String>,
}

impl Stencil {
    /// Where a place of the outline lies on the paper.
    pub fn spot(&self, at: [f64; 2]) -> Spot {
        match self.lie {
            Lie::Level => [-at[1], at[0]],
            Lie::Upright => at,
        }
    }
}

/// The stencil of a plate that is built.
pub(crate) fn of_plate(part: &Part, place: &str, prism: &Prism, row: Option<&Item>) -> Stencil {
    let name = row.and_then(Item::name);
    let stands = row.and_then(|row| row.text(&frame::plate::STANDS).ok());
    let (lie, axes, seen) = match stands {
        Some("along") => (Lie::Upright, ["x", "z"], "seen from the right, nose to the right"),
        Some("across") => (Lie::Upright, ["y", "z"], "seen from ahead"),
        _ => (Lie::Level, ["x", "y"], "seen from above, nose up the sheet"),
    };
    let material = row.and_then(|row| row.text(&frame::plate::MATERIAL).ok());
    let material = material.or_else(|| part.item().text(&frame::plate::MATERIAL).ok());
    let thickness = prism.thickness().get();
    let outline = prism.outline();
    let mut windows = Vec::new();
    let mut bores = Vec::new();
    for hole in outline.holes() {
        let named = |at: [f64; 2]| named(part, name, at);
        match hole {
            Hole::Round { centre, diameter } => {
                let at = [centre.x, centre.y];
                bores.push(Bore { at, to: None, diameter: diameter.get(), what: named(at), new: false });
            }
            Hole::Slot { from, to, width } => {
                let at = [from.x, from.y];
                let to = Some([to.x, to.y]);
                bores.push(Bore { at, to, diameter: width.get(), what: named(at), new: false });
            }
            Hole::Polygon(points) => windows.push(points.iter().map(|p| [p.x, p.y]).collect()),
        }
    }
    let title = match name {
        Some(name) if name.to_lowercase().contains("plate") => format!("{name} of {} ({place})", part.name),
        Some(name) => format!("plate {name} of {} ({place})", part.name),
        None => format!("{} ({place})", part.name),
    };
    let material = material.map_or(String::new(), |material| format!("{material}, "));
    Stencil {
        title,
        note: format!("{material}{thickness} mm; {seen}"),
        lie,
        axes,
        outer: outline.outer().iter().map(|p| [p.x, p.y]).collect(),
        windows,
        bores,
        warnings: blanks(prism),
    }
}

/// What an outline leaves open.
fn blanks(prism: &Prism) -> Vec<String> {
    match prism.outline().holes() {
        [] => vec!["No holes are entered for it.".to_owned()],
        _ => Vec::new(),
    }
}

/// What a hole of a plate is, by the pattern or row that cuts it.
fn named(part: &Part, plate: Option<&str>, at: [f64; 2]) -> String {
    let here = |x: f64, y: f64| (x - at[0]).abs() < 1e-6 && (y - at[1]).abs() < 1e-6;
    for row in part.rows(&shape::pattern::TABLE) {
        let on = row.text(&shape::pattern::PLATE).ok();
        if plate.is_some() && on != plate {
            continue;
        }
        let middle = |field| row.read::<Millimetres>(field).map_or(0.0, |v| v.value.get());
        let (x, y) = if on.is_some() { (middle(&shape::X), middle(&shape::Y)) } else { (0.0, 0.0) };
        if pattern_holes(&row).unwrap_or_default().iter().any(|[u, v]| here(x + u, y + v)) {
            return pattern_words(&row);
        }
    }
    let length =
        |row: &Item, field| row.read::<Millimetres>(field).map(|v| v.value.get()).unwrap_or(f64::NAN);
    for row in part.rows(&frame::hole::TABLE) {
        if row.text(&frame::hole::PLATE).ok() == plate
            && here(length(&row, &frame::hole::U), length(&row, &frame::hole::V))
        {
            return row.name().unwrap_or("hole").to_owned();
        }
    }
    "hole".to_owned()
}

/// A pattern by its name and screw: `stack 20, M2`.
fn pattern_words(row: &Item) -> String {
    let name = row.name().unwrap_or("pattern");
    match row.text(&shape::pattern::SCREW) {
        Ok(screw) => format!("{name}, {screw}"),
        Err(_) => name.to_owned(),
    }
}

/// The stencil of a hole pattern about its own middle; `None` where the pattern says too little.
pub(crate) fn of_pattern(part: &Part, place: &str, row: &Item) -> Option<Stencil> {
    let diameter = row.read(&shape::pattern::HOLE).ok()?.value.get();
    let holes = pattern_holes(row)?;
    let what = pattern_words(row);
    let bore = |at: [f64; 2]| Bore { at, to: None, diameter, what: what.clone(), new: false };
    Some(Stencil {
        title: format!("Pattern {} of {} ({place})", row.name().unwrap_or("without a name"), part.name),
        note: "about its own middle; seen from above, nose up the sheet".to_owned(),
        lie: Lie::Level,
        axes: ["x", "y"],
        outer: Vec::new(),
        windows: Vec::new(),
        bores: holes.into_iter().map(bore).collect(),
        warnings: Vec::new(),
    })
}

/// The plate or block a solid is cut from, if it is one that can be drilled by a template.
pub(crate) fn plate_of<'a>(
    proof: &proof::Proof<'a>,
    solid: &'a CraftSolid,
) -> Option<(Option<Item<'a>>, &'a Prism)> {
    let Shape::Prism(prism) = &solid.solid.shape else { return None };
    let row = plate_row(proof.craft, solid);
    let whole = solid.piece == proof::Piece::Whole;
    (row.is_some() || whole).then_some((row, prism))
}
