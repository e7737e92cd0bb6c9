//! `creance print`: a part that a craft needs, as a file for the printer.

use super::Outcome;
use super::subject::SubjectArgs;
use super::transfer::write_sheet;
use crate::found_anew::{found_anew, heading};
use crate::output::{folded, note, say};
use crate::refusal::{Cause, Refusal};
use crate::wire::print::{Heads, PrintAsked};
use crate::written;
use clap::builder::PossibleValue;
use clap::{Args, ValueEnum};
use craft::Craft;
use drawing::print::{HEAD_BYTES, PrintKind, Printed, TRIANGLE_BYTES, print_for};
use std::fs::File;
use std::io::Read;
use std::path::{Path, PathBuf};

/// What to print.
#[derive(Args)]
#[command(after_long_help = ADVICE)]
pub struct PrintArgs {
    #[command(flatten)]
    subject: SubjectArgs,
    /// What is printed
    what: PrintArg,
    /// The file to write: .stl or .3mf
    #[arg(long, value_name = "FILE")]
    out: PathBuf,
    /// The place of the board, camera or antenna it is for; the first in need when left out
    #[arg(long, value_name = "PLACE")]
    place: Option<String>,
    /// Adapter: the hole pattern it goes on; the one the board is seated on when left out
    #[arg(long, value_name = "PLACE/PATTERN")]
    onto: Option<String>,
    /// Adapter: its thickness; wedge: the floor under its screws; holder: its base
    #[arg(long, value_name = "MM", allow_negative_numbers = true, value_parser = number)]
    thickness: Option<f64>,
    /// Adapter: how far the board is turned; as far as keeps heads apart when left out
    #[arg(long, value_name = "DEGREES", allow_negative_numbers = true, value_parser = number)]
    turn: Option<f64>,
    /// Wedge: its slope; holder: its lean; those of the craft when left out
    #[arg(long, value_name = "DEGREES", allow_negative_numbers = true, value_parser = number)]
    angle: Option<f64>,
    /// The screws that hold it, such as M3
    #[arg(long, value_name = "THREAD")]
    screw: Option<String>,
    /// Adapter: where the heads of the screws lie
    #[arg(long)]
    heads: Option<Heads>,
    /// Wedge: a flange on each side instead of screws through the seat
    #[arg(long)]
    flanges: bool,
    /// Cheeks without rims, a holder without a slit
    #[arg(long)]
    plain: bool,
    /// Write the craft with the print and its screws in it to this sheet as well
    #[arg(long, value_name = "SHEET")]
    sheet: Option<PathBuf>,
}

const ADVICE: &str = "\
What is not said follows from the craft. What was chosen and why, and what to print it from, is told on standard output.
Sizes in the file are millimetres. A file that is there and is none of that kind is not written over.

The craft stays as it is: its proof with the print in it is told on standard error, where it finds anything anew. To take the print
into the craft, write a sheet of both with --sheet, or press \"Put it into the craft\" under Prints on the bench.";

/// A kind of print as a word of the command line.
#[derive(Clone, Copy)]
struct PrintArg(PrintKind);

impl ValueEnum for PrintArg {
    fn value_variants<'a>() -> &'a [Self] {
        const ALL: [PrintArg; PrintKind::ALL.len()] = {
            let [a, b, c, d] = PrintKind::ALL;
            [PrintArg(a), PrintArg(b), PrintArg(c), PrintArg(d)]
        };
        &ALL
    }

    fn to_possible_value(&self) -> Option<PossibleValue> {
        let says = self.0.says();
        // Help begins a line, what is said of a print goes on in one.
        let first = says.chars().take(1).flat_map(char::to_uppercase);
        let help: String = first.chain(says.chars().skip(1)).collect();
        Some(PossibleValue::new(self.0.word()).help(help))
    }
}

/// The files a print is written as.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PrintFile {
    /// Binary STL.
    Stl,
    /// 3MF.
    ThreeMf,
}

impl PrintFile {
    /// The one of an ending, in small or capital letters.
    pub fn of_ending(ending: &str) -> Option<Self> {
        match ending.to_ascii_lowercase().as_str() {
            "stl" => Some(Self::Stl),
            "3mf" => Some(Self::ThreeMf),
            _ => None,
        }
    }

    /// The content type of its bytes.
    pub const fn content_type(self) -> &'static str {
        match self {
            Self::Stl => "model/stl",
            Self::ThreeMf => "model/3mf",
        }
    }

    /// Its ending.
    pub const fn ending(self) -> &'static str {
        match self {
            Self::Stl => "stl",
            Self::ThreeMf => "3mf",
        }
    }

    /// The bytes of a print.
    pub fn bytes(self, printed: &Printed) -> Result<Vec<u8>, Refusal> {
        match self {
            Self::Stl => Ok(printed.stl()),
            Self::ThreeMf => printed.three_mf().map_err(|fault| Refusal::new(Cause::Ours, fault.to_string())),
        }
    }

    /// Whether bytes look like such a file: `first` are its first ones, `length` is how many it has.
    fn is_like(self, first: &[u8], length: u64) -> bool {
        match self {
            Self::ThreeMf => first.starts_with(b"PK\x03\x04"),
            Self::Stl => {
                let count = first.get(80..HEAD_BYTES).and_then(|count| count.try_into().ok());
                let binary = |count: [u8; 4]| {
                    HEAD_BYTES as u64 + TRIANGLE_BYTES as u64 * u64::from(u32::from_le_bytes(count)) == length
                };
                first.starts_with(b"solid") || count.is_some_and(binary)
            }
        }
    }
}

/// A number as typed, or what is wrong with it in words.
fn number(text: &str) -> Result<f64, String> {
    let number = text.trim().parse::<f64>().ok().filter(|number| number.is_finite());
    number.ok_or_else(|| "it is no number; write digits, such as 20 or 2.5".to_owned())
}

/// Prints a part of a craft.
pub fn print(args: &PrintArgs) -> Result<Outcome, Refusal> {
    let ending = args.out.extension().unwrap_or_default().to_string_lossy();
    let file = PrintFile::of_ending(&ending).ok_or_else(|| {
        let words = format!("{:?} is no file a print is written in", args.out);
        Refusal::new(Cause::Misread, words).hint("Name a file that ends in .stl or .3mf.")
    })?;
    let asked = PrintAsked {
        place: args.place.clone(),
        onto: args.onto.clone(),
        thickness_mm: args.thickness,
        turn_degrees: args.turn,
        angle_degrees: args.angle,
        screw: args.screw.clone(),
        heads: args.heads,
        flanges: args.flanges,
        plain: args.plain,
    };
    let wanted = asked.read()?;
    let subject = args.subject.find()?;
    let craft = &subject.craft;
    let printed = print_for(craft, args.what.0, &wanted)?;
    let bytes = file.bytes(&printed)?;
    spare_others(&args.out, file)?;
    let with_it = args.sheet.as_ref().map(|sheet| with_it(craft, &printed, sheet)).transpose()?;
    written::write(&args.out, &bytes)?;
    let lines: Vec<String> = printed.says.iter().map(|line| folded(line, "  ")).collect();
    say(&format!("{}\n{}\n", printed.part.name, lines.join("\n")))?;
    let is = if printed.kind == PrintKind::Cheeks { "are" } else { "is" };
    note(&format!("The {} {is} written in {}", printed.kind.word(), args.out.display()));
    let new = found_anew(craft, &subject.proved().findings, &printed.step);
    if let Some(heading) = heading(&new) {
        note(&heading);
        for finding in &new {
            let mend = finding.mends.first().map_or(String::new(), |mend| format!(" {mend}"));
            let words = format!("{}: {}.{mend}", finding.verdict.word(), finding.message);
            note(&folded(&words, "  "));
        }
    }
    if let (Some(after), Some(sheet)) = (with_it, &args.sheet) {
        write_sheet(sheet, &after, subject.sheet.clone())?;
        note(&format!("{} with it is written to {}", after.name, sheet.display()));
    }
    Ok(Outcome::NothingBroken)
}

/// The craft with the print in it, for a sheet that is not there yet.
fn with_it(craft: &Craft, printed: &Printed, sheet: &Path) -> Result<Craft, Refusal> {
    if sheet.exists() {
        let words = format!("{sheet:?} is there already; nothing was written");
        return Err(Refusal::new(Cause::Clash, words).hint("Name another file, or remove that one first."));
    }
    craft::apply(craft, &printed.step).map_err(|fault| {
        let words = format!("the {} cannot be put into the craft: {fault}", printed.kind.word());
        Refusal::new(Cause::Unfit, words).hint("Leave --sheet out to write the print alone.")
    })
}

/// A file of another kind is not written over: a slip must not cost a sheet or a drawing.
pub(super) fn spare_others(path: &Path, file: PrintFile) -> Result<(), Refusal> {
    let mut first = Vec::new();
    let length = path.metadata().map_or(0, |about| about.len());
    let read = |first: &mut Vec<u8>| {
        File::open(path).and_then(|opened| opened.take(HEAD_BYTES as u64).read_to_end(first))
    };
    if path.is_file() && read(&mut first).is_ok() && !first.is_empty() && !file.is_like(&first, length) {
        let words =
            format!("{path:?} is there already and is no .{} file; nothing was written", file.ending());
        return Err(Refusal::new(Cause::Clash, words).hint("Name another file, or remove that one first."));
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn files_are_known_by_their_ends_and_by_their_bytes() {
        assert_eq!(PrintFile::of_ending("STL"), Some(PrintFile::Stl));
        assert_eq!(PrintFile::of_ending("svg"), None);
        let mut head = vec![b' '; 80];
        head.extend_from_slice(&12u32.to_le_bytes());
        assert!(PrintFile::Stl.is_like(&head, 684) && !PrintFile::Stl.is_like(&head, 685));
        assert!(
            PrintFile::Stl.is_like(b"solid cube\n", 11) && !PrintFile::Stl.is_like(b"creance_sheet = 1", 17)
        );
        assert!(
            PrintFile::ThreeMf.is_like(b"PK\x03\x04\x14", 900) && !PrintFile::ThreeMf.is_like(b"<svg", 4)
        );
    }
}
