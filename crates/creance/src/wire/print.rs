//! Prints: what a page asks of one, and what it is told before it takes it.

use crate::refusal::{Cause, Refusal};
use craft::{Anchor, Craft, PlaceId};
use drawing::print::{Finish, HeadSeat, PrintKind, PrintRefusal, Printed, Wanted, WedgeBase};
use quantity::{Degrees, Millimetres};
use serde::{Deserialize, Serialize};
use ts_rs::TS;

/// What shall be other than the craft suggests; all of it may be left out.
#[derive(Clone, Debug, Default, Deserialize, TS)]
#[serde(deny_unknown_fields, default)]
pub struct PrintAsked {
    /// The board, camera or antenna it is for.
    #[ts(optional)]
    pub place: Option<String>,
    /// Adapter: the hole pattern it goes on, as place/pattern.
    #[ts(optional)]
    pub onto: Option<String>,
    /// Thickness of plate, floor or base.
    #[ts(optional)]
    pub thickness_mm: Option<f64>,
    /// Adapter: how far the board is turned.
    #[ts(optional)]
    pub turn_degrees: Option<f64>,
    /// Wedge: its slope. Holder: its lean.
    #[ts(optional)]
    pub angle_degrees: Option<f64>,
    /// The screws that hold it, such as M3.
    #[ts(optional)]
    pub screw: Option<String>,
    /// Adapter: where the heads lie.
    #[ts(optional)]
    pub heads: Option<Heads>,
    /// Wedge: whether it has flanges.
    pub flanges: bool,
    /// Cheeks without rims, a holder without a slit.
    pub plain: bool,
}

/// Where the heads of screws lie.
#[derive(Clone, Copy, Debug, Deserialize, TS, clap::ValueEnum)]
#[serde(rename_all = "snake_case")]
pub enum Heads {
    /// On the faces
    Face,
    /// Sunk in cones
    Cone,
    /// Sunk in pockets
    Pocket,
}

/// A print as a page shows it.
#[derive(Serialize, TS)]
pub struct PrintView {
    /// The word of its kind.
    pub kind: &'static str,
    /// What the part is called.
    pub name: String,
    /// The board, camera or antenna it is for.
    pub for_place: String,
    /// The place it gets when it is taken.
    pub place: String,
    /// What was chosen and why, what to print it from, what to mind.
    pub says: Vec<String>,
    /// What it weighs, printed solid.
    pub mass_g: f64,
    /// How large it is along x, y and z, as it lies in the printer.
    pub size_mm: [f64; 3],
    /// How many triangles its surface has.
    pub triangles: u32,
    /// The names of its files, each with its end.
    pub files: [String; 2],
}

impl PrintAsked {
    /// What is wanted, with its words read.
    pub fn read(&self) -> Result<Wanted, Refusal> {
        let misread = |words: String| Refusal::new(Cause::Misread, words);
        let said = |text: &Option<String>| text.clone().filter(|text| !text.trim().is_empty());
        let place = said(&self.place).map(PlaceId::new).transpose();
        let onto = said(&self.onto).map(|text| Anchor::read(&text)).transpose();
        Ok(Wanted {
            place: place.map_err(|fault| misread(format!("place: {fault}")))?,
            onto: onto.map_err(|fault| misread(format!("pattern to go on: {fault}")))?,
            thickness: self.thickness_mm.map(Millimetres::new),
            turn: self.turn_degrees.map(Degrees::new),
            angle: self.angle_degrees.map(Degrees::new),
            screw: said(&self.screw),
            heads: self.heads.map(|heads| match heads {
                Heads::Face => HeadSeat::OnFace,
                Heads::Cone => HeadSeat::Cone,
                Heads::Pocket => HeadSeat::Pocket,
            }),
            base: self.flanges.then_some(WedgeBase::Flanges),
            finish: if self.plain { Finish::Plain } else { Finish::Usual },
        })
    }
}

/// The print of a word such as `adapter`.
pub fn kind_of(word: &str) -> Result<PrintKind, Refusal> {
    PrintKind::from_word(word).ok_or_else(|| {
        let refusal = Refusal::new(Cause::NoSuch, format!("there is no print {word:?}"));
        let words = PrintKind::ALL.map(PrintKind::word);
        match quantity::near_name(word, words) {
            Some(near) => refusal.hint(format!("Did you mean {near:?}?")),
            None => refusal.hint(format!("There are {}.", words.join(", "))),
        }
    })
}

impl From<PrintRefusal> for Refusal {
    fn from(told: PrintRefusal) -> Self {
        let cause = match &told {
            PrintRefusal::NoPlace { .. } => Cause::NoSuch,
            _ => Cause::Unfit,
        };
        Refusal::new(cause, told.to_string())
    }
}

impl PrintView {
    /// As it is for this craft.
    pub fn new(craft: &Craft, printed: &Printed) -> Self {
        let high = printed.mesh.bounds().1.coordinates();
        let stem = printed.file_stem(craft);
        Self {
            kind: printed.kind.word(),
            name: printed.part.name.clone(),
            for_place: printed.for_place.to_string(),
            place: printed.place.to_string(),
            says: printed.says.clone(),
            mass_g: printed.mass().get(),
            size_mm: high,
            triangles: u32::try_from(printed.mesh.triangles().len()).unwrap_or(u32::MAX),
            files: [format!("{stem}.stl"), format!("{stem}.3mf")],
        }
    }
}
