//! A printed solid as a part of the sheet, so that it can be put into a craft, drawn and proved with it.
//!
//! A sheet knows plates of even thickness with holes across them. So an adapter with sunk heads is a pile of plates, one for
//! each depth at which a hole changes; a wedge and the tube of a holder are upright plates of their side view; a cheek is an
//! upright plate with its rims beside it. Where a sheet cannot say a shape, the part is the larger of the
//! two: the tube counts as square, a cone as a pocket. Pockets in an inclined seat are left out.
//!
//! Sizes rest on the file the part is printed from, which is its data sheet: a print is some 0.2 mm off.

use super::adapter_plate::AdapterPlate;
use super::bore::{HeadFace, ScrewInPrint};
use super::cheek::{Cheeks, Rims};
use super::custom::{Filament, TIE_WIDTH};
use super::holder::{FixedBy, Holder};
use super::ring::{coarse, distance};
use super::wedge::{Wedge, WedgeBase};
use craft::schema::{Field, PartKind, air, fixing, frame, shape};
use craft::{Part, PartId, Row, Value, Values};
use fit::PlanePoint;
use quantity::{Basis, Degrees, Fact, Measure, Millimetres};

/// An outline on a sheet may leave the print's by this much at each corner that is left out, in mm. A tenth of what a print is off: what
/// corners beside each other lose adds up, and must not make a web read as thinner than it is printed.
const OUTLINE_OFF: f64 = 0.02;

fn put<T: ?Sized>(values: &mut Values, field: &Field<T>, value: Value) {
    values.insert(field.def.key.to_owned(), value);
}

fn fact<M: Measure>(value: M) -> Value {
    Value::Fact(Fact::new(value, Basis::DataSheet))
}

/// A hundredth of a millimetre is finer than any print.
fn rounded(value: f64) -> f64 {
    (value * 100.0).round() / 100.0 + 0.0
}

fn mm(value: f64) -> Value {
    fact(Millimetres::new(rounded(value)))
}

fn word(text: &str) -> Value {
    Value::Text(text.to_owned())
}

fn points(ring: impl IntoIterator<Item = [f64; 2]>) -> Value {
    Value::Points(ring.into_iter().map(|[x, y]| [rounded(x), rounded(y)]).collect())
}

fn outline(ring: &[PlanePoint]) -> Value {
    points(coarse(ring, OUTLINE_OFF).iter().map(|p| [p.x, p.y]))
}

/// How a plate stands.
#[derive(Clone, Copy)]
enum Stands {
    Flat,
    Along,
}

/// A part under way.
struct Draft {
    part: Part,
    material: &'static str,
}

impl Draft {
    fn new(id: PartId, kind: PartKind, name: &str, filament: Filament) -> Self {
        let row = filament.row();
        let mut part = Part::new(id, kind, name);
        if kind == PartKind::Adapter {
            put(&mut part.values, &frame::plate::MATERIAL, word(row.material));
        } else {
            put(&mut part.values, &fixing::MATERIAL, word(row.material));
            put(&mut part.values, &fixing::SOFTENS, fact(row.softens));
        }
        Self { part, material: row.material }
    }

    fn row(&mut self, table: &str, values: Values) {
        self.part.tables.entry(table.to_owned()).or_default().push(Row(values));
    }

    /// A plate; its thickness grows up from z where it is flat, left from y where it stands along.
    fn plate(&mut self, name: &str, stands: Stands, from: f64, thickness: f64, outline: Value) {
        let mut row = Values::new();
        put(&mut row, &shape::NAME, word(name));
        put(&mut row, &frame::plate::ROLE, word("other"));
        put(&mut row, &frame::plate::MATERIAL, word(self.material));
        put(&mut row, &frame::plate::THICKNESS, mm(thickness));
        let axis = match stands {
            Stands::Flat => &shape::Z,
            Stands::Along => {
                put(&mut row, &frame::plate::STANDS, word("along"));
                &shape::Y
            }
        };
        if rounded(from) != 0.0 {
            put(&mut row, axis, mm(from));
        }
        put(&mut row, &frame::plate::OUTLINE, outline);
        self.row(frame::plate::TABLE.key, row);
    }

    fn hole(
        &mut self,
        plate: &str,
        name: Option<&str>,
        at: PlanePoint,
        to: Option<PlanePoint>,
        diameter: f64,
    ) {
        let mut row = Values::new();
        if let Some(name) = name {
            put(&mut row, &shape::NAME, word(name));
        }
        put(&mut row, &frame::hole::PLATE, word(plate));
        put(&mut row, &frame::hole::U, mm(at.x));
        put(&mut row, &frame::hole::V, mm(at.y));
        put(&mut row, &frame::hole::DIAMETER, mm(diameter));
        if let Some(to) = to {
            put(&mut row, &frame::hole::TO_U, mm(to.x));
            put(&mut row, &frame::hole::TO_V, mm(to.y));
        }
        self.row(frame::hole::TABLE.key, row);
    }

    fn pattern(
        &mut self,
        name: &str,
        plate: Option<&str>,
        holes: &[PlanePoint],
        middle: PlanePoint,
        screw: &ScrewInPrint,
    ) {
        let mut row = Values::new();
        put(&mut row, &shape::NAME, word(name));
        if let Some(plate) = plate {
            put(&mut row, &shape::pattern::PLATE, word(plate));
        }
        for (field, value) in [(&shape::X, middle.x), (&shape::Y, middle.y)] {
            if rounded(value) != 0.0 {
                put(&mut row, field, mm(value));
            }
        }
        match oblong(holes, middle) {
            Some((pitch, across, turned)) => {
                put(&mut row, &shape::pattern::PITCH, mm(pitch));
                if rounded(pitch) != rounded(across) {
                    put(&mut row, &shape::pattern::PITCH_ACROSS, mm(across));
                }
                if rounded(turned) != 0.0 {
                    put(&mut row, &shape::pattern::TURNED, fact(Degrees::new(rounded(turned))));
                }
            }
            None => {
                let about = holes.iter().map(|p| [p.x - middle.x, p.y - middle.y]);
                put(&mut row, &shape::pattern::HOLES, points(about));
            }
        }
        put(&mut row, &shape::pattern::HOLE, mm(screw.hole_diameter().get()));
        put(&mut row, &shape::pattern::SCREW, word(screw.thread.name));
        self.row(shape::pattern::TABLE.key, row);
    }
}

/// Four holes on the corners of an oblong about a middle: its sides and its turn.
fn oblong(holes: &[PlanePoint], middle: PlanePoint) -> Option<(f64, f64, f64)> {
    let mut round = holes.to_vec();
    let angle = |p: &PlanePoint| (p.y - middle.y).atan2(p.x - middle.x);
    round.sort_by(|a, b| angle(a).total_cmp(&angle(b)));
    let [a, b, c, d] = round[..] else { return None };
    let half = distance(a, middle);
    let even = round.iter().all(|p| (distance(*p, middle) - half).abs() < 1e-6)
        && (distance(a, b) - distance(c, d)).abs() < 1e-6;
    if !even {
        return None;
    }
    // Of the two sides, the one that lies nearer to x is the pitch.
    let turn = |p: PlanePoint, q: PlanePoint| {
        let degrees = (q.y - p.y).atan2(q.x - p.x).to_degrees();
        let half_turn = degrees.rem_euclid(180.0);
        if half_turn > 90.0 { half_turn - 180.0 } else { half_turn }
    };
    let (first, second) = (turn(a, b), turn(b, c));
    match first.abs() <= second.abs() {
        true => Some((distance(a, b), distance(b, c), first)),
        false => Some((distance(b, c), distance(a, b), second)),
    }
}

/// The name of the pattern that meets the frame.
pub(super) const FRAME_SIDE: &str = "frame side";
/// The name of the pattern that meets the board.
pub(super) const BOARD_SIDE: &str = "board side";
/// The name of the pattern by which a print is screwed to the plate it stands on: that plate is to be drilled for it.
pub(crate) const BASE: &str = "base";
/// The name of the mount in which an antenna stands.
pub(super) const SOCKET: &str = "socket";

impl AdapterPlate {
    /// The plate as a part of the sheet. A board is seated on its pattern "board side", itself on the frame's.
    pub fn as_part(&self, id: PartId, name: &str, filament: Filament) -> Part {
        let mut draft = Draft::new(id, PartKind::Adapter, name, filament);
        let thickness = self.thickness().get();
        let [of_frame, of_board] = self.screws();
        // Depths at which holes change, from below.
        let mut levels = vec![0.0, thickness];
        for screw in [of_frame, of_board] {
            let depth = screw.depth().get();
            levels.push(if screw.face == HeadFace::Lower { depth } else { thickness - depth });
        }
        levels.sort_by(f64::total_cmp);
        levels.dedup_by(|a, b| *a - *b < 0.01);
        let layers: Vec<(f64, f64)> = levels.windows(2).map(|pair| (pair[0], pair[1])).collect();
        // Each by what can be measured of it: how deep the pockets are, how thick the floor between them.
        let called = |layer: usize| {
            let (low, high) = layers[layer];
            let sunk = |screw: &ScrewInPrint| match screw.face {
                HeadFace::Lower => high <= screw.depth().get() + 0.01,
                HeadFace::Upper => low >= thickness - screw.depth().get() - 0.01,
            };
            let of = |face| [of_frame, of_board].into_iter().any(|screw| screw.face == face && sunk(screw));
            match (of(HeadFace::Lower), of(HeadFace::Upper)) {
                _ if layers.len() == 1 => "plate",
                (true, false) => "pockets below",
                (false, true) => "pockets above",
                (true, true) => "between the pockets",
                (false, false) => "floor over the pockets",
            }
        };
        let edge = outline(self.outline());
        for (layer, (low, high)) in layers.iter().enumerate() {
            draft.plate(called(layer), Stands::Flat, *low, high - low, edge.clone());
        }
        let sides = [
            (FRAME_SIDE, self.frame_holes(), self.frame_middle(), of_frame),
            (BOARD_SIDE, self.board_holes(), self.board_middle(), of_board),
        ];
        for (side, holes, middle, screw) in sides {
            let depth = screw.depth().get();
            let sunk = |(low, high): (f64, f64)| match screw.face {
                HeadFace::Lower => high <= depth + 0.01,
                HeadFace::Upper => low >= thickness - depth - 0.01,
            };
            // The pattern is drilled in the highest layer that is not sunk: there its screws or its board are seated.
            let plain = (0..layers.len()).rev().find(|layer| !sunk(layers[*layer])).unwrap_or(0);
            draft.pattern(side, Some(called(plain)), holes, middle, screw);
            for layer in (0..layers.len()).filter(|layer| *layer != plain) {
                let wide = if sunk(layers[layer]) { screw.widest() } else { screw.hole_diameter() };
                for at in holes {
                    draft.hole(called(layer), None, *at, None, wide.get());
                }
            }
        }
        let xs = || self.outline().iter().map(|p| p.x);
        let ys = || self.outline().iter().map(|p| p.y);
        put(&mut draft.part.values, &air::LENGTH, mm(span(xs())));
        put(&mut draft.part.values, &air::WIDTH, mm(span(ys())));
        put(&mut draft.part.values, &frame::plate::THICKNESS, mm(thickness));
        draft.part
    }
}

fn span(values: impl Iterator<Item = f64>) -> f64 {
    let (low, high) =
        values.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), v| (low.min(v), high.max(v)));
    high - low
}

impl Wedge {
    /// The wedge as a part of the sheet.
    pub fn as_part(&self, id: PartId, name: &str, filament: Filament) -> Part {
        let mut draft = Draft::new(id, PartKind::PrintedPart, name, filament);
        let width = self.asked().seat_width.get();
        draft.plate("wedge", Stands::Along, -width / 2.0, width, points(self.side()));
        if self.asked().base == WedgeBase::Flanges {
            let (x, outer) = (self.run().get() / 2.0, self.base_width().get() / 2.0);
            for (name, from, to, hole) in [
                ("left flange", width / 2.0, outer, self.holes()[0]),
                ("right flange", -outer, -width / 2.0, self.holes()[1]),
            ] {
                let corners = [[-x, from], [x, from], [x, to], [-x, to]];
                draft.plate(name, Stands::Flat, 0.0, self.asked().floor.get(), points(corners));
                draft.hole(name, None, hole, None, self.screw().hole_diameter().get());
            }
        }
        // In no plate of its own: it tells where its screws go, and the template of the plate below shows them.
        draft.pattern(BASE, None, self.holes(), PlanePoint::default(), self.screw());
        if let Some(row) =
            draft.part.tables.get_mut(shape::pattern::TABLE.key).and_then(|rows| rows.last_mut())
        {
            put(&mut row.0, &shape::pattern::THICKNESS, mm(self.asked().floor.get()));
        }
        put(&mut draft.part.values, &fixing::HOLDS, word(fixing::HOLDS_TILT));
        sized(draft, [self.run().get(), self.base_width().get(), self.side()[2][1]])
    }
}

fn sized(mut draft: Draft, size: [f64; 3]) -> Part {
    for (field, size) in [&fixing::LENGTH, &fixing::WIDTH, &fixing::HEIGHT].into_iter().zip(size) {
        put(&mut draft.part.values, field, mm(size));
    }
    draft.part
}

impl Cheeks {
    /// Both cheeks as one part of the sheet, in the frame of the camera they are seated on.
    pub fn as_part(&self, id: PartId, name: &str, filament: Filament) -> Part {
        let mut draft = Draft::new(id, PartKind::PrintedPart, name, filament);
        let (inner, thick) = (self.asked().camera_width.get() / 2.0, self.thickness().get());
        let (behind, ahead) = (self.asked().behind.get(), self.asked().ahead.get());
        let (high, room) = self.half_heights();
        for (side, from) in [("left", inner), ("right", -inner - thick)] {
            let web = format!("{side} cheek");
            draft.plate(&web, Stands::Along, from, thick, outline(&self.side()));
            let hole = self.screw().hole_diameter().get();
            draft.hole(&web, None, PlanePoint::default(), None, hole);
            let Rims::Over(reach) = self.asked().rims else { continue };
            let reach = reach.get();
            let from = if side == "left" { inner - reach } else { -inner };
            for (edge, low, high) in [("upper", room, high), ("lower", -high, -room)] {
                let corners = [[-behind, low], [ahead, low], [ahead, high], [-behind, high]];
                draft.plate(&format!("{side} {edge} rim"), Stands::Along, from, reach, points(corners));
            }
        }
        sized(draft, [behind + ahead, 2.0 * (inner + thick), 2.0 * high])
    }
}

impl Holder {
    /// The holder as a part of the sheet. An antenna is seated on its mount "socket".
    pub fn as_part(&self, id: PartId, name: &str, filament: Filament) -> Part {
        let mut draft = Draft::new(id, PartKind::PrintedPart, name, filament);
        let base = self.asked().base.get();
        draft.plate("base", Stands::Flat, 0.0, base, outline(self.outline()));
        for (side, [from, to]) in ["left", "right"].into_iter().zip(self.tie_slots()) {
            let called = format!("strain relief {side}");
            draft.hole("base", Some(&called), *from, Some(*to), TIE_WIDTH.length.get());
        }
        for (number, fixing) in self.asked().fixings.iter().enumerate() {
            let by = match fixing.by {
                FixedBy::Screw(thread) => format!("{} screw {}", thread.name, number + 1),
                FixedBy::Standoff(_) => format!("standoff {}", number + 1),
            };
            draft.hole("base", Some(&by), fixing.at, None, fixing.by.hole());
        }
        let tube = self.tube_diameter().get();
        draft.plate("tube", Stands::Along, -tube / 2.0, tube, points(self.tube_side()));
        let mut mount = Values::new();
        let top = self.stem_leaves_at();
        put(&mut mount, &shape::NAME, word(SOCKET));
        put(&mut mount, &shape::X, mm(top.x()));
        put(&mut mount, &shape::Z, mm(top.z()));
        put(&mut mount, &frame::antenna_mount::LEAN, fact(self.asked().lean));
        draft.row(frame::antenna_mount::TABLE.key, mount);
        let xs = || self.outline().iter().map(|p| p.x).chain(self.tube_side().map(|[x, _]| x));
        let ys = || self.outline().iter().map(|p| p.y);
        let height = self.tube_side().iter().fold(base, |high, [_, z]| high.max(*z));
        sized(draft, [span(xs()), span(ys()), height])
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
#[path = "as_part_tests.rs"]
mod tests;
