//! Prints: what a page asks of one, and what it is told before it takes it.

use super::finding::VerdictWord;
use super::solid::SolidView;
use crate::found_anew::{found_anew, heading};
use crate::judged::Judged;
use crate::refusal::{Cause, Refusal};
use craft::{Anchor, Craft, PlaceId};
use drawing::print::{
    Choice, Finish, HeadSeat, PrintKind, PrintRefusal, Printed, Wanted, WedgeBase, Wish, choices,
    patterns_to_go_on, places_for, screws,
};
use proof::{CraftSolid, Finding, Proof};
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
    /// What the rules find anew with it in the craft, in a line; nothing where they find no more than before.
    pub found: Option<String>,
    /// What that is, worst first.
    pub findings: Vec<FoundAnew>,
    /// Its solids where they would stand on the craft if it were taken, numbered after those of the craft.
    pub solids: Vec<SolidView>,
    /// What it weighs, printed solid.
    pub mass_g: f64,
    /// How large it is along x, y and z, as it lies in the printer.
    pub size_mm: [f64; 3],
    /// How many triangles its surface has.
    pub triangles: u32,
    /// The names of its files, each with its end.
    pub files: [String; 2],
}

/// What a rule finds that it did not find before.
#[derive(Serialize, TS)]
pub struct FoundAnew {
    /// Broken or tight.
    pub verdict: VerdictWord,
    /// The rule's id.
    pub rule: &'static str,
    /// What is the matter.
    pub message: String,
    /// What to do, cheapest first.
    pub mends: Vec<String>,
}

/// A kind of print, with what may be set of it for a craft.
#[derive(Serialize, TS)]
pub struct PrintForm {
    /// The word of its kind.
    pub kind: &'static str,
    /// What it is, in a line.
    pub says: &'static str,
    /// What may be set; all of it may be left out.
    pub choices: Vec<PrintChoice>,
}

/// One thing that may be set of a print.
#[derive(Serialize, TS)]
pub struct PrintChoice {
    /// What it is called in what is asked.
    pub key: &'static str,
    /// What it is called on a form.
    pub label: &'static str,
    /// What is entered.
    pub entered: Entered,
    /// What it does, and what happens when it is left out.
    pub help: &'static str,
}

/// What is entered.
#[derive(Serialize, TS)]
#[serde(rename_all = "snake_case")]
pub enum Entered {
    /// A number between two limits.
    Number {
        /// Its unit.
        unit: &'static str,
        /// The least.
        least: Option<f64>,
        /// The most.
        most: Option<f64>,
    },
    /// One of some words, each with how it is told.
    OneOf(Vec<[String; 2]>),
    /// Yes or no.
    Flag,
}

impl PrintForm {
    /// Every kind for a craft.
    pub fn all(craft: &Craft) -> Vec<Self> {
        let form = |kind: PrintKind| Self {
            kind: kind.word(),
            says: kind.says(),
            choices: choices(kind).iter().map(|choice| PrintChoice::new(craft, kind, choice)).collect(),
        };
        PrintKind::ALL.map(form).into()
    }
}

impl PrintChoice {
    fn new(craft: &Craft, kind: PrintKind, choice: &Choice) -> Self {
        let same = |word: String| [word.clone(), word];
        let number = |unit: &'static str| {
            let (least, most) = choice.between.unzip();
            Entered::Number { unit, least, most }
        };
        let (key, entered) = match choice.wish {
            Wish::Place => {
                let told = |id: PlaceId| {
                    let part = craft.place(&id).and_then(|place| craft.part_at(place));
                    let name = part.map_or(String::new(), |part| format!(": {}", part.name));
                    [id.to_string(), format!("{id}{name}")]
                };
                ("place", Entered::OneOf(places_for(craft, kind).into_iter().map(told).collect()))
            }
            Wish::Onto => {
                let anchors = patterns_to_go_on(craft);
                ("onto", Entered::OneOf(anchors.iter().map(|anchor| same(anchor.to_string())).collect()))
            }
            Wish::Screw => {
                let words = screws().into_iter().map(|word| same(word.to_owned()));
                ("screw", Entered::OneOf(words.collect()))
            }
            Wish::Heads => {
                let words =
                    [("face", "on the faces"), ("cone", "sunk in cones"), ("pocket", "sunk in pockets")];
                ("heads", Entered::OneOf(words.map(|(word, told)| [word.to_owned(), told.to_owned()]).into()))
            }
            Wish::Thickness => ("thickness_mm", number("mm")),
            Wish::Turn => ("turn_degrees", number("°")),
            Wish::Angle => ("angle_degrees", number("°")),
            Wish::Base => ("flanges", Entered::Flag),
            Wish::Finish => ("plain", Entered::Flag),
        };
        Self { key, label: choice.label, entered, help: choice.help }
    }
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

impl From<Finding> for FoundAnew {
    fn from(finding: Finding) -> Self {
        let Finding { verdict, rule, message, mends, .. } = finding;
        Self { verdict: verdict.into(), rule, message, mends }
    }
}

impl PrintView {
    /// As it is for this craft.
    pub fn new(judged: &Judged, printed: &Printed) -> Self {
        let craft = &judged.craft;
        let new = found_anew(craft, &judged.proved.findings, &printed.step);
        let high = printed.mesh.bounds().1.coordinates();
        let stem = printed.file_stem(craft);
        Self {
            kind: printed.kind.word(),
            name: printed.part.name.clone(),
            for_place: printed.for_place.to_string(),
            place: printed.place.to_string(),
            says: printed.says.clone(),
            found: heading(&new),
            findings: new.into_iter().map(FoundAnew::from).collect(),
            solids: proposed(craft, judged.proved.solids.len(), printed),
            mass_g: printed.mass().get(),
            size_mm: high,
            triangles: u32::try_from(printed.mesh.triangles().len()).unwrap_or(u32::MAX),
            files: [format!("{stem}.stl"), format!("{stem}.3mf")],
        }
    }
}

/// The solids a print would have on the craft, as outlines: none where it cannot be put there.
fn proposed(craft: &Craft, count: usize, printed: &Printed) -> Vec<SolidView> {
    let Ok(taken) = craft::apply(craft, &printed.step) else { return Vec::new() };
    let proof = Proof::new(&taken);
    let Some(place) = proof.number_of(&printed.place) else { return Vec::new() };
    let solids = proof.inputs().solids_of(place).enumerate();
    let outlined = |(number, (_, solid)): (usize, (_, &CraftSolid))| {
        let index = u32::try_from(count + number).unwrap_or(u32::MAX);
        SolidView { ghost: true, ..SolidView::new(index, printed.place.as_str(), solid) }
    };
    solids.map(outlined).collect()
}
