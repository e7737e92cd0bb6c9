//! Plates with their holes, standoffs, ducts; adapters and printed parts.
//!
//! A flat plate's outline is x, y and its thickness goes up; along: outline x, z, thickness to the left;
//! across: outline y, z, thickness forward. Holes come from the plate's own rows, its cut-outs and the
//! hole patterns drilled in it. Outlines are taken as drawn: they carry no doubt of their own, since a
//! plate is cut by machine; its thickness and its place do.

use super::Piece;
use super::bodies::{Material, label, row_name};
use super::builder::{Axis, Builder, Label, exact};
use super::holes::pattern_holes;
use super::meeting_holes::{self, NamedHole};
use craft::schema::{Field, air, fixing, frame, shape};
use craft::{Item, Part};
use fit::{Hole, InPart, PartPoint, PartVector, PlanePoint, Role};
use quantity::{Degrees, Linear, Millimetres};

/// Corners of the polygon that stands for the outside of a duct.
const DUCT_CORNERS: u32 = 72;

pub(super) fn frame(b: &mut Builder) {
    plates(b);
    let part = b.part;
    for (number, row) in part.rows(&frame::standoff::TABLE).enumerate() {
        let name = row_name(&row, "standoff", number, part);
        let read = |field| b.length(&row, field);
        let facts = [&shape::X, &shape::Y, &shape::Z, &shape::HEIGHT, &frame::standoff::DIAMETER].map(read);
        match facts {
            [Ok(x), Ok(y), Ok(z), Ok(height), Ok(diameter)] => {
                let label = label(
                    name,
                    Role::Standoff,
                    Material::Metal,
                    Piece::Row(frame::standoff::TABLE.key, number),
                );
                b.cylinder(label, [x, y, z + height.clone() * 0.5], Axis::Z, &diameter, &height);
            }
            facts => b.lacks(name, facts.into_iter().filter_map(Result::err)),
        }
    }
    for (number, row) in part.rows(&frame::duct::TABLE).enumerate() {
        duct(b, &row, number);
    }
}

fn duct(b: &mut Builder, row: &Item<'_>, number: usize) {
    let name = row_name(row, "duct", number, b.part);
    let read = |field| b.length(row, field);
    let facts =
        [&shape::X, &shape::Y, &shape::Z, &shape::HEIGHT, &frame::duct::BORE, &frame::duct::WALL].map(read);
    match facts {
        [Ok(x), Ok(y), Ok(z), Ok(height), Ok(bore), Ok(wall)] => {
            let radius = bore.value / 2.0 + wall.value;
            let outer = (0..DUCT_CORNERS)
                .map(|corner| {
                    let angle = f64::from(corner) * std::f64::consts::TAU / f64::from(DUCT_CORNERS);
                    PlanePoint::new(radius * angle.cos(), radius * angle.sin())
                })
                .collect();
            let hole =
                Hole::Round { centre: PlanePoint::new(0.0, 0.0), diameter: Millimetres::new(bore.value) };
            let outline = b.proof.outline(outer, vec![hole]);
            let frame = InPart::at(PartPoint::new(x.value, y.value, z.value));
            let label =
                label(name, Role::MouldedDuct, Material::Plastic, Piece::Row(frame::duct::TABLE.key, number));
            b.plate(label, outline, [x, y, z], frame, &height);
        }
        facts => b.lacks(name, facts.into_iter().filter_map(Result::err)),
    }
}

/// Every plate of a part.
pub(super) fn plates(b: &mut Builder) {
    let part = b.part;
    for (number, row) in part.rows(&frame::plate::TABLE).enumerate() {
        plate(b, &row, number);
    }
}

fn plate(b: &mut Builder, row: &Item<'_>, number: usize) {
    let name = row_name(row, "plate", number, b.part);
    let read = |field| b.length(row, field);
    let facts = [&shape::X, &shape::Y, &shape::Z, &frame::plate::THICKNESS].map(read);
    let points = match row.points(&frame::plate::OUTLINE) {
        Ok(points) => points,
        Err(missing) => return b.lacks(name, [missing]),
    };
    let [Ok(x), Ok(y), Ok(z), Ok(thickness)] = facts else {
        return b.lacks(name, facts.into_iter().filter_map(Result::err));
    };
    let holes = row.name().map(|name| holes_in(b.part, name)).unwrap_or_default();
    let cut = holes.iter().map(|named| named.hole.clone()).collect();
    let outline = b.proof.outline(plane(points), cut);
    let outline = outline.map_err(|fault| meeting_holes::told(plane(points), &holes, &name).unwrap_or(fault));
    let material = row.text(&frame::plate::MATERIAL);
    if let Err(missing) = &material {
        b.lacks(name.clone(), [missing.clone()]);
    }
    let right = Degrees::new(90.0);
    // An upright side plate's thickness goes left, but its prism must rise to the right to keep hands alike:
    // it starts at the left face.
    let (at, frame) = match row.text(&frame::plate::STANDS) {
        Ok("along") => {
            let left = y + thickness.clone();
            let at = PartPoint::new(x.value, left.value, z.value);
            ([x, left, z], InPart::turned_about(at, PartVector::X, right))
        }
        Ok("across") => {
            let at = PartPoint::new(x.value, y.value, z.value);
            let frame = InPart::turned_about(at, PartVector::new(1.0, 1.0, 1.0), Degrees::new(120.0));
            ([x, y, z], frame)
        }
        _ => {
            let at = PartPoint::new(x.value, y.value, z.value);
            ([x, y, z], InPart::at(at))
        }
    };
    b.plate(
        plate_label(name, material.ok(), Piece::Row(frame::plate::TABLE.key, number)),
        outline,
        at,
        frame,
        &thickness,
    );
}

fn plate_label(name: String, material: Option<&str>, piece: Piece) -> Label {
    let (role, drawn) = match material {
        Some("carbon") => (Role::CarbonPlate, Material::Carbon),
        Some("glass fibre") => (Role::InsulatingPlate, Material::Plastic),
        Some("moulded plastic") => (Role::MouldedDuct, Material::Plastic),
        Some(printed) if printed.starts_with("printed") => (Role::PrintedPart, Material::Plastic),
        Some(_) => (Role::Other, Material::Metal),
        // Nobody said: the stricter is assumed, and the missing material is its own finding.
        None => (Role::CarbonPlate, Material::Carbon),
    };
    label(name, role, drawn, piece)
}

fn plane(points: &[[f64; 2]]) -> Vec<PlanePoint> {
    points.iter().map(|[x, y]| PlanePoint::new(*x, *y)).collect()
}

/// Every hole in the plate of a name: rows, cut-outs, patterns.
pub(crate) fn holes_in(part: &Part, plate: &str) -> Vec<NamedHole> {
    let mut holes = Vec::new();
    for row in part.rows(&frame::hole::TABLE).filter(|row| row.text(&frame::hole::PLATE) == Ok(plate)) {
        let read = |field: &Field<Millimetres>| row.read(field).map(|reading| reading.value.get());
        let (Ok(u), Ok(v), Ok(diameter)) =
            (read(&frame::hole::U), read(&frame::hole::V), read(&frame::hole::DIAMETER))
        else {
            continue;
        };
        let centre = PlanePoint::new(u, v);
        let diameter = Millimetres::new(diameter);
        let hole = match (read(&frame::hole::TO_U), read(&frame::hole::TO_V)) {
            (Err(_), Err(_)) => Hole::Round { centre, diameter },
            (to_u, to_v) => Hole::Slot {
                from: centre,
                to: PlanePoint::new(to_u.unwrap_or(u), to_v.unwrap_or(v)),
                width: diameter,
            },
        };
        holes.push(NamedHole { name: row.name().unwrap_or("a hole without a name").to_owned(), hole });
    }
    for row in part.rows(&frame::cutout::TABLE).filter(|row| row.text(&frame::hole::PLATE) == Ok(plate)) {
        if let Ok(points) = row.points(&frame::plate::OUTLINE) {
            let name = row.name().unwrap_or("a cut-out").to_owned();
            holes.push(NamedHole { name, hole: Hole::Polygon(plane(points)) });
        }
    }
    for row in part.rows(&shape::pattern::TABLE).filter(|row| row.text(&shape::pattern::PLATE) == Ok(plate)) {
        let read = |field: &Field<Millimetres>| row.read(field).map(|reading| reading.value.get());
        let (Ok(x), Ok(y), Ok(diameter)) = (read(&shape::X), read(&shape::Y), read(&shape::pattern::HOLE))
        else {
            continue;
        };
        for [u, v] in pattern_holes(&row).unwrap_or_default() {
            let centre = PlanePoint::new(x + u, y + v);
            let hole = Hole::Round { centre, diameter: Millimetres::new(diameter) };
            let name = row.name().unwrap_or("a pattern without a name").to_owned();
            holes.push(NamedHole { name, hole });
        }
    }
    holes
}

pub(super) fn adapter(b: &mut Builder) {
    let item = b.part.item();
    if b.part.rows(&frame::plate::TABLE).next().is_some() {
        return plates(b);
    }
    let read = |field| b.length(&item, field);
    let facts = [&air::LENGTH, &air::WIDTH, &frame::plate::THICKNESS].map(read);
    match facts {
        [Ok(length), Ok(width), Ok(thickness)] => {
            let (x, y) = (length.value / 2.0, width.value / 2.0);
            let corners = [[-x, -y], [x, -y], [x, y], [-x, y]];
            let mut holes = Vec::new();
            for row in b.part.rows(&shape::pattern::TABLE) {
                let Ok(hole) = row.read(&shape::pattern::HOLE) else { continue };
                holes.extend(
                    pattern_holes(&row)
                        .unwrap_or_default()
                        .into_iter()
                        .map(|[u, v]| Hole::Round { centre: PlanePoint::new(u, v), diameter: hole.value }),
                );
            }
            let outline = b.proof.outline(plane(&corners), holes);
            let material = item.text(&frame::plate::MATERIAL);
            if let Err(missing) = &material {
                b.lacks(b.part.name.clone(), [missing.clone()]);
            }
            let label = plate_label(b.part.name.clone(), material.ok(), Piece::Whole);
            b.plate(label, outline, [exact(0.0), exact(0.0), exact(0.0)], InPart::IDENTITY, &thickness);
        }
        facts => b.lacks(b.part.name.clone(), facts.into_iter().filter_map(Result::err)),
    }
}

pub(super) fn printed(b: &mut Builder) {
    let item = b.part.item();
    if b.part.rows(&frame::plate::TABLE).next().is_some() {
        return plates(b);
    }
    // A printed part made of bodies has no outer block of its own.
    if b.part.rows(&shape::body::TABLE).next().is_some() {
        return;
    }
    let read = |field| b.length(&item, field);
    let facts: [Result<Linear, _>; 3] = [&fixing::LENGTH, &fixing::WIDTH, &fixing::HEIGHT].map(read);
    match facts {
        [Ok(length), Ok(width), Ok(height)] => {
            let label = label(b.part.name.clone(), Role::PrintedPart, Material::Plastic, Piece::Whole);
            b.cuboid(label, [exact(0.0), exact(0.0), height.clone() * 0.5], [length, width, height]);
        }
        facts => b.lacks(b.part.name.clone(), facts.into_iter().filter_map(Result::err)),
    }
}
