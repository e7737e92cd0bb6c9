//! What a template shows of one plate or hole pattern: rings, holes with their names, and which way it lies.
//!
//! Geometry is that of the proved solids, so that what is drilled is what was judged. Level plates are seen from above
//! with the nose up the sheet, upright ones from the side their outline is drawn on. A pattern is laid about its own
//! middle. Holes that are still to be drilled come with their plate: see `pending`.

use crate::print::custom::{CUT_WEB, ROUND_HOLE};
use craft::schema::{frame, shape};
use craft::{Item, Part};
use fit::{Hole, Prism, Shape};
use proof::{CraftSolid, pattern_holes, plate_row};
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
    /// In mm; `None` where nobody said it.
    pub diameter: Option<f64>,
    /// What it is for.
    pub what: String,
    /// Whether it is not there yet.
    pub new: bool,
    /// A sink over it, which does not go through.
    pub sink: Option<Sink>,
}

/// A wider part of a hole, from one face and not through.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Sink {
    /// In mm.
    pub diameter: f64,
    /// In mm.
    pub depth: f64,
    /// Whether it begins at the lower face.
    pub from_below: bool,
}

impl Bore {
    /// Half its width; nought where nobody said it, so that its middle alone is marked.
    pub fn radius(&self) -> f64 {
        self.diameter.unwrap_or(0.0) / 2.0
    }

    /// Half its width where it is widest.
    pub fn widest(&self) -> f64 {
        self.radius().max(self.sink.map_or(0.0, |sink| sink.diameter / 2.0))
    }
}

/// What a hole is called that nobody named.
pub(super) const UNNAMED: &str = "hole";

/// What positions on a stencil are measured from.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Datum {
    /// In the outline's own coordinates.
    pub at: [f64; 2],
    /// What lies there, in words.
    pub what: String,
    /// Whether it is where two edges would meet, which nothing marks on the plate: a rule is laid to the edges.
    pub edges: bool,
}

impl Datum {
    /// Where the outline is drawn from.
    fn origin() -> Self {
        Self { at: [0.0; 2], what: "the origin of its outline".to_owned(), edges: false }
    }

    /// The edges of an outline at which its coordinates are least.
    fn edges(outer: &[[f64; 2]], lie: Lie, axes: [&str; 2]) -> Self {
        let least = |k: usize| outer.iter().map(|p| p[k]).fold(f64::INFINITY, f64::min);
        let edge = |axis: &str| match (lie, axis) {
            (_, "x") => "rear",
            (_, "z") => "lower",
            (Lie::Level, _) => "right",
            // Seen from ahead, the right of the craft is on the left.
            (Lie::Upright, _) => "left",
        };
        let [u, v] = axes;
        let what = format!("its {} edge ({u}) and its {} edge ({v})", edge(u), edge(v));
        Self { at: [least(0), least(1)], what, edges: true }
    }
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
    /// What positions are measured from.
    pub datum: Datum,
    /// What to mind before drilling.
    pub warnings: Vec<String>,
    /// The least web between a hole and another or the edge.
    pub web: Web,
}

/// The least material that stays round a hole.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Web {
    /// In mm.
    pub least: f64,
    /// What wants it.
    pub of: &'static str,
}

impl Web {
    /// Of a plate: of prints as much as stays round a hole.
    fn of(material: Option<&str>) -> Self {
        match material {
            Some(printed) if printed.starts_with("printed") => {
                Self { least: ROUND_HOLE.length.get(), of: "a print" }
            }
            Some("carbon") => Self { least: CUT_WEB.length.get(), of: "carbon" },
            _ => Self { least: CUT_WEB.length.get(), of: "a plate" },
        }
    }
}

/// A hole so near the middle of its set lies in the middle, in mm.
const MIDDLE: f64 = 0.3;

impl Stencil {
    /// Where a place of the outline lies on the paper.
    pub fn spot(&self, at: [f64; 2]) -> Spot {
        match self.lie {
            Lie::Level => [-at[1], at[0]],
            Lie::Upright => at,
        }
    }

    /// Whether two holes belong together: to a pattern, a motor.
    pub fn one_set(&self, a: &Bore, b: &Bore) -> bool {
        a.what == b.what && a.what != UNNAMED
    }

    /// Where a hole lies among those it belongs with: `front left`; nothing for one that stands alone.
    pub fn where_in_set(&self, bore: &Bore) -> String {
        let set: Vec<&Bore> = self.bores.iter().filter(|other| self.one_set(bore, other)).collect();
        if set.len() < 2 {
            return String::new();
        }
        let words = match (self.lie, self.axes) {
            (Lie::Level, _) => [["front", "rear"], ["left", "right"]],
            (Lie::Upright, ["y", _]) => [["left", "right"], ["upper", "lower"]],
            (Lie::Upright, _) => [["front", "rear"], ["upper", "lower"]],
        };
        let middle = |k: usize| set.iter().map(|other| other.at[k]).sum::<f64>() / set.len() as f64;
        let told = |k: usize| {
            let off = bore.at[k] - middle(k);
            (off.abs() > MIDDLE).then(|| words[k][usize::from(off < 0.0)])
        };
        // Height first where a plate stands.
        let order = if self.lie == Lie::Upright { [1, 0] } else { [0, 1] };
        order.into_iter().filter_map(told).collect::<Vec<_>>().join(" ")
    }

    /// A stencil of words alone: what is not drawn and why.
    pub fn of_words(title: String, warnings: Vec<String>) -> Self {
        Self {
            title,
            note: String::new(),
            lie: Lie::Level,
            axes: ["x", "y"],
            outer: Vec::new(),
            windows: Vec::new(),
            bores: Vec::new(),
            datum: Datum::origin(),
            warnings,
            web: Web::of(None),
        }
    }

    /// Whether there is nothing to draw of it.
    pub fn is_words(&self) -> bool {
        self.outer.is_empty() && self.bores.is_empty()
    }

    /// Chooses what positions are measured from: something that can be found on the plate, as the origin of an outline is not. A
    /// middle that is given where the outline does not reach over its origin, as of an arm; else the edges.
    pub fn measure_from(&mut self, middle: Option<Datum>) {
        let within = |k: usize| {
            let low = self.outer.iter().map(|p| p[k]).fold(f64::INFINITY, f64::min);
            let high = self.outer.iter().map(|p| p[k]).fold(f64::NEG_INFINITY, f64::max);
            low <= 0.0 && high >= 0.0
        };
        if self.outer.is_empty() {
            return;
        }
        let is_off = !(within(0) && within(1));
        self.datum =
            middle.filter(|_| is_off).unwrap_or_else(|| Datum::edges(&self.outer, self.lie, self.axes));
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
                let what = named(at);
                bores.push(Bore {
                    at,
                    to: None,
                    diameter: Some(diameter.get()),
                    what,
                    new: false,
                    sink: None,
                });
            }
            Hole::Slot { from, to, width } => {
                let at = [from.x, from.y];
                let to = Some([to.x, to.y]);
                let diameter = Some(width.get());
                bores.push(Bore { at, to, diameter, what: named(at), new: false, sink: None });
            }
            Hole::Polygon(points) => windows.push(points.iter().map(|p| [p.x, p.y]).collect()),
        }
    }
    let title = match name {
        Some(name) if name.to_lowercase().contains("plate") => format!("{name} of {} ({place})", part.name),
        Some(name) => format!("plate {name} of {} ({place})", part.name),
        None => format!("{} ({place})", part.name),
    };
    let web = Web::of(material);
    let material = material.map_or(String::new(), |material| format!("{material}, "));
    Stencil {
        title,
        note: format!("{material}{thickness} mm; {seen}"),
        lie,
        axes,
        outer: outline.outer().iter().map(|p| [p.x, p.y]).collect(),
        windows,
        bores,
        datum: Datum::origin(),
        warnings: Vec::new(),
        web,
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
    UNNAMED.to_owned()
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
    let bore = |at: [f64; 2]| Bore {
        at,
        to: None,
        diameter: Some(diameter),
        what: what.clone(),
        new: false,
        sink: None,
    };
    Some(Stencil {
        title: format!("Pattern {} of {} ({place})", row.name().unwrap_or("without a name"), part.name),
        note: "about its own middle; seen from above, nose up the sheet".to_owned(),
        lie: Lie::Level,
        axes: ["x", "y"],
        outer: Vec::new(),
        windows: Vec::new(),
        bores: holes.into_iter().map(bore).collect(),
        datum: Datum { at: [0.0; 2], what: "its middle".to_owned(), edges: false },
        warnings: Vec::new(),
        web: Web::of(None),
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
