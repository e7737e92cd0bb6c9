//! Prints as parts: what the sheet says of them, and that it may be said.

use super::*;
use crate::print::testing::{adapter, cheeks, holder, wedge};
use craft::{Anchor, Craft, CraftId, Edit, Place, PlaceId, apply, faults, write_value};

fn id() -> PartId {
    PartId::new("print").unwrap()
}

fn parts() -> Vec<Part> {
    vec![
        adapter().as_part(id(), "adapter", Filament::StiffHeatProof),
        wedge().as_part(id(), "wedge", Filament::Flexible),
        cheeks().as_part(id(), "cheeks", Filament::Flexible),
        holder().as_part(id(), "holder", Filament::Flexible),
    ]
}

#[test]
fn every_print_may_stand_in_a_craft_and_makes_its_solids() {
    for part in parts() {
        let empty = Craft::new(CraftId::new("wren").unwrap(), "Wren");
        let mut craft = apply(&empty, &Edit::AddPartWhole { part: part.clone() }).unwrap();
        craft.places.push(Place::new(PlaceId::new("here").unwrap(), id(), Anchor::Body));
        assert_eq!(faults(&craft), [], "{}", part.name);
        let proof = proof::Proof::new(&craft);
        assert_eq!(proof.inputs().unbuilt, [], "{}", part.name);
        let plates = part.tables[frame::plate::TABLE.key].len();
        assert_eq!(proof.inputs().solids.len(), plates, "{}", part.name);
    }
}

#[test]
fn the_solids_of_a_sheet_fill_as_much_as_the_print_or_a_little_more() {
    let volumes = [adapter().mesh(), wedge().mesh(), cheeks().mesh(), holder().mesh()];
    for (part, mesh) in parts().into_iter().zip(volumes) {
        let mut craft = Craft::new(CraftId::new("wren").unwrap(), "Wren");
        craft.places.push(Place::new(PlaceId::new("here").unwrap(), id(), Anchor::Body));
        let name = part.name.clone();
        craft.parts.push(part);
        let proof = proof::Proof::new(&craft);
        let sheet: f64 = proof.inputs().solids.iter().map(|solid| solid.solid.shape.volume_mm3()).sum();
        let print = mesh.unwrap().volume_mm3();
        // Cones count as pockets; bores of tubes and tunnels are not said.
        let (least, most) = match name.as_str() {
            "adapter" => (0.9, 1.0),
            "wedge" => (1.0, 1.1),
            "cheeks" => (0.999, 1.001),
            _ => (1.0, 1.35),
        };
        assert!((least..=most).contains(&(sheet / print)), "{name}: {sheet} of {print}");
    }
}

#[test]
fn a_square_is_written_as_a_square_wherever_it_is_turned() {
    let at = PlanePoint::new;
    let square = |turn: f64, x: f64, y: f64| {
        let (sin, cos) = turn.to_radians().sin_cos();
        [(x, y), (-x, y), (-x, -y), (x, -y)].map(|(x, y)| at(3.0 + x * cos - y * sin, x * sin + y * cos))
    };
    let near = |found: Option<(f64, f64, f64)>, wanted: (f64, f64, f64)| {
        let (pitch, across, turned) = found.unwrap();
        assert!((pitch - wanted.0).abs() < 1e-9 && (across - wanted.1).abs() < 1e-9, "{pitch} {across}");
        assert!((turned - wanted.2).abs() < 1e-9, "{turned}");
    };
    let middle = at(3.0, 0.0);
    near(oblong(&square(0.0, 10.0, 10.0), middle), (20.0, 20.0, 0.0));
    near(oblong(&square(30.0, 10.0, 10.0), middle), (20.0, 20.0, 30.0));
    near(oblong(&square(100.0, 10.0, 10.0), middle), (20.0, 20.0, 10.0));
    near(oblong(&square(-20.0, 10.0, 6.0), middle), (20.0, 12.0, -20.0));
    let mut kite = square(0.0, 10.0, 10.0);
    kite[0] = at(12.0, 11.0);
    assert_eq!(oblong(&kite, middle), None);
    assert_eq!(oblong(&kite[..3], middle), None);
}

#[test]
fn an_adapter_says_its_two_patterns() {
    let part = adapter().as_part(id(), "adapter", Filament::StiffHeatProof);
    let rows = &part.tables[shape::pattern::TABLE.key];
    let said = |row: usize, key: &str| rows[row].0.get(key).map(write_value).unwrap_or_default();
    assert_eq!(said(0, "pitch"), "30.5 mm, data sheet");
    assert_eq!((said(0, "hole"), said(0, "screw")), ("3.3 mm, data sheet".into(), "M3".into()));
    assert_eq!(said(1, "pitch"), "20 mm, data sheet");
    // 4 mm with a cone of 1.35 from above and a pocket of 1.6 from below: three layers.
    assert_eq!(part.tables[frame::plate::TABLE.key].len(), 3);
    assert_eq!(
        (said(0, "plate"), said(1, "plate")),
        ("floor over the pockets".into(), "pockets above".into())
    );
}
