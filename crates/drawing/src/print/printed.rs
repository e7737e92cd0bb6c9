//! A print made for a craft: the solid, the part, and the step that puts it in.
//!
//! [`print_for`] reads from the craft what the print is for and what sizes follow; the makers beside this file say how.
//! The step adds the part and its place and seats on it what it is to hold, all or nothing, so that one undo takes
//! it back. Nothing here decides for the builder: what was chosen and why stands in `says`.

use super::adapter_for_board::adapters_for_board;
use super::cheeks_for_camera::cheeks_for_camera;
use super::custom::Filament;
use super::fault::PrintFault;
use super::holder_for_antenna::holder_for_antenna;
use super::own_screws::{OwnScrews, brought};
use super::refusal::PrintRefusal;
use super::stl::stl;
use super::three_mf::three_mf;
use super::wanted::{PrintKind, Wanted};
use super::wedge_for_camera::wedge_for_camera;
use craft::schema::{PartKind, frame};
use craft::{Craft, Edit, Part, PartId, Place, PlaceId, Value, write_value};
use fit::{InPart, Mesh, PartPoint};
use quantity::{Basis, Degrees, DoubtKind, Fact, Grams, Measure, Millimetres, decimal, near_name};

/// A print made for a craft.
#[derive(Clone, Debug, PartialEq)]
pub struct Printed {
    /// What it is.
    pub kind: PrintKind,
    /// The board, camera or antenna it is for.
    pub for_place: PlaceId,
    /// The place it gets in the craft.
    pub place: PlaceId,
    /// What it is printed from.
    pub filament: Filament,
    /// The solid as it lies in the printer, its least corner at the origin.
    pub mesh: Mesh,
    /// The part, to be put into the craft.
    pub part: Part,
    /// The step that puts it in and seats on it what it holds.
    pub step: Edit,
    /// What was chosen and why, what to print it from, what to mind.
    pub says: Vec<String>,
}

/// Works out a print for a craft, or says why there is none.
pub fn print_for(craft: &Craft, kind: PrintKind, wanted: &Wanted) -> Result<Printed, PrintRefusal> {
    wanted.check(kind)?;
    match kind {
        PrintKind::Adapter => adapters_for(craft, wanted).map(|mut all| all.swap_remove(0)),
        PrintKind::Wedge => wedge_for_camera(craft, wanted),
        PrintKind::Cheeks => cheeks_for_camera(craft, wanted),
        PrintKind::Holder => holder_for_antenna(craft, wanted),
    }
}

/// The adapter plates a board may be put on, each with other holes; the first is the best with all that stands as it does.
/// There is always one.
pub fn adapters_for(craft: &Craft, wanted: &Wanted) -> Result<Vec<Printed>, PrintRefusal> {
    wanted.check(PrintKind::Adapter)?;
    adapters_for_board(craft, wanted)
}

impl Printed {
    /// The title inside a file.
    pub fn title(&self) -> &str {
        &self.part.name
    }
    /// The name of a file without its ending.
    pub fn file_stem(&self, craft: &Craft) -> String {
        format!("{}-{}-{}", craft.id, self.kind.word(), self.for_place)
    }
    /// As binary STL.
    pub fn stl(&self) -> Vec<u8> {
        stl(&self.mesh, self.title())
    }
    /// As 3MF.
    pub fn three_mf(&self) -> Result<Vec<u8>, PrintFault> {
        three_mf(&self.mesh, self.title())
    }
    /// What it weighs, printed solid.
    pub fn mass(&self) -> Grams {
        mass(&self.mesh, self.filament)
    }
}

fn mass(mesh: &Mesh, filament: Filament) -> Grams {
    filament.row().gram_each_cm3 * (mesh.volume_mm3() / 1000.0)
}

/// What a maker found, before it is put together.
pub(super) struct Draft<'a> {
    pub kind: PrintKind,
    pub for_place: &'a PlaceId,
    pub part: Part,
    pub place: PlaceId,
    pub mesh: Mesh,
    pub filament: Filament,
    /// What the step is for: a line of the journal.
    pub what: String,
    /// The changes after part and place have been added.
    pub edits: Vec<Edit>,
    /// What it is seated on.
    pub on: String,
    pub says: Vec<String>,
    /// The screws that come with it.
    pub screws: OwnScrews,
}

impl Draft<'_> {
    /// Adds mass, the part and its place, its screws, and what is said of every print.
    pub fn done(mut self, craft: &Craft) -> Printed {
        let weight = mass(&self.mesh, self.filament);
        let grams = Grams::new(((weight.get() * 100.0).round() / 100.0).max(0.01));
        self.part
            .values
            .insert(frame::MASS.def.key.to_owned(), Value::Fact(Fact::new(grams, Basis::Typical)));
        let mut edits = vec![
            Edit::AddPartWhole { part: self.part.clone() },
            Edit::AddPlace { id: Some(self.place.clone()), part: self.part.id.clone(), on: Some(self.on) },
        ];
        edits.append(&mut self.edits);
        let (screws, of_screws) = brought(craft, &self.screws, &edits);
        edits.extend(screws);
        self.says.extend(of_screws);
        let (low, high) = self.mesh.bounds();
        let size = [high.x() - low.x(), high.y() - low.y(), high.z() - low.z()].map(|size| short(size, 1));
        self.says.push(format!(
            "It is {} × {} × {} mm and weighs about {} g printed solid, which is how to print it.",
            size[0],
            size[1],
            size[2],
            short(weight.get(), 1)
        ));
        self.says.push(self.filament.row().advice.to_owned());
        self.says.push(
            "Measure the print before you fit it: holes come out small and walls thick by 0.1 to 0.2 mm."
                .to_owned(),
        );
        let to_corner = InPart::at(PartPoint::new(-low.x(), -low.y(), -low.z()));
        Printed {
            kind: self.kind,
            for_place: self.for_place.clone(),
            place: self.place,
            filament: self.filament,
            mesh: self.mesh.moved(to_corner),
            part: self.part,
            step: Edit::Together { what: self.what, edits },
            says: self.says,
        }
    }
}

/// A place with its part.
#[derive(Clone, Copy)]
pub(super) struct At<'a> {
    pub place: &'a Place,
    pub part: &'a Part,
}

/// Every place of some kinds, in the order of the sheet.
pub(super) fn places_of<'a>(craft: &'a Craft, kinds: &'a [PartKind]) -> impl Iterator<Item = At<'a>> {
    let at = |place: &'a Place| craft.part_at(place).map(|part| At { place, part });
    craft.places.iter().filter_map(at).filter(|at| kinds.contains(&at.part.kind))
}

/// The place that was named, if it holds one of these kinds.
pub(super) fn named<'a>(
    craft: &'a Craft,
    id: &PlaceId,
    kinds: &[PartKind],
    wanted: &'static str,
) -> Result<At<'a>, PrintRefusal> {
    let Some(place) = craft.place(id) else {
        let known = craft.places.iter().map(|place| place.id.as_str());
        let did_you_mean = near_name(id.as_str(), known).map(str::to_owned);
        return Err(PrintRefusal::NoPlace { place: id.clone(), did_you_mean });
    };
    match craft.part_at(place) {
        Some(part) if kinds.contains(&part.kind) => Ok(At { place, part }),
        part => Err(PrintRefusal::WrongPlace {
            place: id.clone(),
            is: part.map_or("part that is not known", |part| part.kind.def().plain),
            wanted,
        }),
    }
}

/// Ids for the new part and its place that nothing in the craft has.
pub(super) fn fresh_ids(craft: &Craft, word: &str) -> (PartId, PlaceId) {
    let part = PartId::from_name(word).unlike(|id| craft.part(id).is_some());
    let place = PlaceId::from_name(word).unlike(|id| craft.place(id).is_some());
    (part, place)
}

/// A change of one value of a place.
pub(super) fn set_place(place: &PlaceId, key: &str, text: String) -> Edit {
    Edit::SetPlace { place: place.clone(), key: key.to_owned(), text: Some(text) }
}

/// A length as a place says it: it rests on the print's own file and is as far off as a print is.
pub(super) fn length(value: f64) -> String {
    let value = (value * 100.0).round() / 100.0 + 0.0;
    let off = DoubtKind::PrintedSize.default_doubt(Basis::DataSheet, value).plus;
    write_value(&Value::Fact(Fact::new(Millimetres::new(value), Basis::DataSheet).within(off)))
}

/// An angle as a place says it, from −180° to 180°.
pub(super) fn angle(value: f64) -> String {
    let turned = (value + 180.0).rem_euclid(360.0) - 180.0;
    let value = (turned * 100.0).round() / 100.0 + 0.0;
    write_value(&Value::Fact(Fact::new(Degrees::new(value), Basis::Measured)))
}

/// A value of a place, or what leaving it out means.
pub(super) fn of_place<M: Measure>(place: &Place, field: &craft::schema::Field<M>) -> f64 {
    place.item().read(field).map_or(0.0, |reading| reading.value.raw())
}

/// A length in words: `1.3 mm`.
pub(super) fn mm(value: f64) -> String {
    format!("{} mm", short(value, 2))
}

/// A number with so many decimals at most.
pub(super) fn short(value: f64, decimals: usize) -> String {
    let text = decimal(value, decimals);
    if text.contains('.') { text.trim_end_matches('0').trim_end_matches('.').to_owned() } else { text }
}

/// Says what cannot be printed.
pub(super) fn cannot(what: impl Into<String>) -> impl FnOnce(Vec<PrintFault>) -> PrintRefusal {
    let what = what.into();
    move |faults| PrintRefusal::Faults { what, faults }
}
