//! The manual, made from the code.

use super::figure::SourceView;
use serde::Serialize;
use ts_rs::TS;

/// All the manual shows.
#[derive(Serialize, TS)]
pub struct ManualView {
    /// The rules, in the order a builder meets them.
    pub rules: Vec<RuleView>,
    /// The figures, one entry for each family.
    pub figures: Vec<FigureDoc>,
    /// Every source, each once.
    pub sources: Vec<SourceView>,
    /// The sheet format.
    pub sheet: Vec<SheetDoc>,
    /// The checks against the outside.
    pub checks: ChecksView,
    /// The words.
    pub glossary: Vec<GlossaryEntry>,
    /// How much air pairs of things need.
    pub clearances: Vec<ClearanceRow>,
    /// How far off facts may be by default.
    pub doubts: Vec<DoubtsRow>,
    /// What the panes of the dry fit answer.
    pub answers: Vec<AnswerDoc>,
    /// How the link and the view are read.
    pub link_and_view: Vec<SheetDoc>,
    /// How faults are found, and what is known of them.
    pub fault_finding: Vec<SheetDoc>,
    /// The drawings there are.
    pub drawings: Vec<DrawingDoc>,
    /// The prints there are, and what each keeps.
    pub prints: PrintsDoc,
    /// How units are loaded, and lives that counters are held against.
    pub keeping: KeepingDoc,
    /// The program's commands with their help.
    pub commands: Vec<CommandDoc>,
    /// The usual cautions.
    pub cautions: Vec<String>,
}

/// How units are loaded, how craft are cared for, how a phone is paired.
#[derive(Serialize, TS)]
pub struct KeepingDoc {
    /// A recipe as it is written, with what each line means.
    pub recipe: &'static str,
    /// How a card is written, in order.
    pub writing: Vec<&'static str>,
    /// What to do with a unit that did not come back.
    pub not_come_back: Vec<&'static str>,
    /// Rated lives.
    pub lives: Vec<LifeRow>,
    /// What pairing a phone keeps, and what it leaves out.
    pub pairing: Vec<&'static str>,
}

/// A rated life.
#[derive(Serialize, TS)]
pub struct LifeRow {
    /// What is counted.
    pub words: &'static str,
    /// The life.
    pub life: f64,
    /// Where it comes from.
    pub source: String,
}

/// What a pane of the dry fit answers.
#[derive(Serialize, TS)]
pub struct AnswerDoc {
    /// The pane's title.
    pub title: &'static str,
    /// What it answers, and where else that is asked.
    pub answers: String,
    /// How exact that is.
    pub exact: String,
    /// What to mind before one acts on it.
    pub mind: Vec<String>,
}

/// One rule.
#[derive(Serialize, TS)]
pub struct RuleView {
    /// Its id.
    pub id: &'static str,
    /// The question it asks.
    pub asks: String,
    /// Its sections.
    pub sections: Vec<Section>,
}

/// A heading and the text below it.
#[derive(Serialize, TS)]
pub struct Section {
    /// The heading.
    pub heading: String,
    /// The text.
    pub text: String,
}

/// One family of figures.
#[derive(Serialize, TS)]
pub struct FigureDoc {
    /// The id, without a place's name.
    pub id: String,
    /// What it is.
    pub label: String,
    /// The symbol of its unit.
    pub unit: &'static str,
    /// The formula in plain text.
    pub formula: String,
    /// Where the formula comes from.
    pub source: SourceView,
}

/// One part of the sheet format.
#[derive(Serialize, TS)]
pub struct SheetDoc {
    /// What it is about.
    pub title: String,
    /// How it is written.
    pub text: String,
    /// An example.
    pub example: String,
}

/// The checks of this build.
#[derive(Serialize, TS)]
pub struct ChecksView {
    /// The checks, by file.
    pub rows: Vec<CheckRow>,
    /// The passed checks by grade.
    pub counts: Vec<GradeRow>,
    /// How many passed.
    pub passed: u32,
    /// How many checks there are.
    pub total: u32,
}

/// One check.
#[derive(Serialize, TS)]
pub struct CheckRow {
    /// The vector file.
    pub file: String,
    /// The question.
    pub asks: String,
    /// What was compared.
    pub values: Vec<CheckValue>,
    /// Why that much may differ.
    pub because: String,
    /// Where the expected values come from.
    pub source: SourceView,
    /// `passed`, `failed` or `skipped`.
    pub outcome: &'static str,
    /// Why it failed or was skipped.
    pub reason: String,
}

/// One value held against the outside.
#[derive(Serialize, TS)]
pub struct CheckValue {
    /// What it is called, its unit last.
    pub key: String,
    /// What the source says.
    pub expected: f64,
    /// What this program says.
    pub ours: f64,
    /// Ours less expected.
    pub difference: f64,
    /// How large the difference may be.
    pub allowed: f64,
}

/// How many checks of one grade passed.
#[derive(Serialize, TS)]
pub struct GradeRow {
    /// The grade.
    pub grade: &'static str,
    /// How many.
    pub passed: u32,
}

/// A word and what it means.
#[derive(Serialize, TS)]
pub struct GlossaryEntry {
    /// The word.
    pub word: &'static str,
    /// What it means.
    pub meaning: &'static str,
}

/// How much air a pair of roles needs.
#[derive(Serialize, TS)]
pub struct ClearanceRow {
    /// The one side.
    pub a: Vec<&'static str>,
    /// The other side.
    pub b: Vec<&'static str>,
    /// The least distance, in mm.
    pub required: f64,
    /// Why.
    pub why: &'static str,
    /// Where the number comes from.
    pub source: String,
}

/// How far off one kind of fact may be.
#[derive(Serialize, TS)]
pub struct DoubtsRow {
    /// The kind of fact.
    pub words: &'static str,
    /// When measured.
    pub measured: String,
    /// When read from a data sheet.
    pub data_sheet: String,
    /// When only typical.
    pub typical: String,
}

/// One drawing.
#[derive(Serialize, TS)]
pub struct DrawingDoc {
    /// Its word.
    pub word: &'static str,
    /// What it shows.
    pub says: String,
}

/// All about prints.
#[derive(Serialize, TS)]
pub struct PrintsDoc {
    /// The kinds, with what may be set of each.
    pub kinds: Vec<PrintDoc>,
    /// The lengths they keep.
    pub customs: Vec<CustomRow>,
    /// What they are printed from.
    pub filaments: Vec<FilamentDoc>,
}

/// One kind of print.
#[derive(Serialize, TS)]
pub struct PrintDoc {
    /// Its word.
    pub word: &'static str,
    /// What it is.
    pub says: &'static str,
    /// What may be set: its label with its limits, and what it does.
    pub choices: Vec<[String; 2]>,
}

/// A length that printed parts keep.
#[derive(Serialize, TS)]
pub struct CustomRow {
    /// What it is.
    pub of: &'static str,
    /// The length, in mm.
    pub length: f64,
    /// Where it comes from.
    pub grade: &'static str,
}

/// One filament.
#[derive(Serialize, TS)]
pub struct FilamentDoc {
    /// The word for the material on a sheet.
    pub material: &'static str,
    /// The temperature it must stand, in °C.
    pub softens: f64,
    /// The mass of a cubic centimetre, in g.
    pub gram_each_cm3: f64,
    /// What to load.
    pub advice: &'static str,
    /// Where this comes from.
    pub source: String,
}

/// One command of the program.
#[derive(Serialize, TS)]
pub struct CommandDoc {
    /// Its name.
    pub name: String,
    /// What it does.
    pub about: String,
    /// The whole help.
    pub help: String,
}
