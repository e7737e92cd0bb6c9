//! `creance draw`: a craft as drawings on A4, as SVG, PDF or PNG by the end of the file's name.

use super::Outcome;
use super::subject::SubjectArgs;
use crate::course_tried::CourseTried;
use crate::drawn::{Chosen, DOTS_USUAL, Format, Subject, files};
use crate::link_asked::LinkWish;
use crate::output::{note, say};
use crate::plain_number::plain_number;
use crate::refusal::{Cause, Refusal};
use crate::supply_asked::SupplyWish;
use crate::tilt_tried::TiltTried;
use crate::written;
use clap::Args;
use std::fs::File;
use std::io::Read;
use std::path::{Path, PathBuf};

/// What to draw.
#[derive(Args)]
#[command(after_long_help = FILES)]
pub struct DrawArgs {
    #[command(flatten)]
    subject: SubjectArgs,
    /// What is drawn
    what: Subject,
    /// The file to write: .svg, .pdf or .png; - for SVG on standard output
    #[arg(long, value_name = "FILE")]
    out: PathBuf,
    /// What a template shows: all plates and patterns of a place, or one of them
    #[arg(long, value_name = "PLACE[/NAME]")]
    of: Option<String>,
    /// For a view: the camera tilted so many degrees up, to try it; as built when left out
    #[arg(long, value_name = "DEGREES", allow_negative_numbers = true, value_parser = plain_number)]
    tilt: Option<f64>,
    /// For a view or the curves of flying: how fast the craft flies, in m/s; at its cruise speed when left out
    #[arg(long, value_name = "M/S", allow_negative_numbers = true, value_parser = plain_number)]
    speed: Option<f64>,
    /// For a view: how far before the first gate, in m; 8 when left out
    #[arg(long, value_name = "M", allow_negative_numbers = true, value_parser = plain_number)]
    before: Option<f64>,
    /// For a view: how far the nose is turned to the left, in degrees
    #[arg(long, value_name = "DEGREES", allow_negative_numbers = true, value_parser = plain_number)]
    left: Option<f64>,
    /// For a view: another lens of the craft by id or name, or a shape of picture, 4:3 or 16:9, to hold beside it
    #[arg(long, value_name = "LENS|SHAPE")]
    beside: Option<String>,
    #[command(flatten)]
    link: LinkWish,
    /// For the supply: the charge at which it lands, in per cent; as planned when left out
    #[arg(long, value_name = "PERCENT", allow_negative_numbers = true, value_parser = plain_number)]
    charge: Option<f64>,
    /// For the supply: pack and air, in °C; as planned when left out
    #[arg(long, value_name = "DEGREES C", allow_negative_numbers = true, value_parser = plain_number)]
    temperature: Option<f64>,
    /// How fine a PNG is; 200 when left out
    #[arg(long, value_name = "N")]
    dots_per_inch: Option<u32>,
}

const FILES: &str = "\
A PDF holds all pages. SVG and PNG hold one each: where there are several, the files are named FILE-1, FILE-2 and so on.
A file that is there and is no drawing of this program is not written over.

The wiring with a FILE that ends in .csv is the solder list as rows of text.

Print a template at 100 % and check both its bars before you drill.

Budget, range, pattern, lobes and held ask the radio link, supply and heat the supply; what you leave out is as the sheet plans it. Power and where you may use it: check your local rules.";

/// Draws a craft.
pub fn draw(args: &DrawArgs) -> Result<Outcome, Refusal> {
    if args.what == Subject::Wiring && args.out.extension().is_some_and(|end| end.eq_ignore_ascii_case("csv"))
    {
        return solder_list(args);
    }
    let format = format(args)?;
    let mut subject = args.subject.find()?;
    if let Some(tilt) = args.tilt {
        subject.craft = TiltTried { tilt: Some(tilt), camera: None }.craft(&subject.craft, tilt)?;
    }
    let course =
        CourseTried { speed: args.speed, before: args.before, left: args.left, beside: args.beside.clone() };
    let drawer = subject.at_hand.iter().map(|other| other.part.clone()).collect();
    let chosen = Chosen {
        of: args.of.clone(),
        course,
        drawer,
        link: args.link.clone(),
        supply: supply_wish(args),
        ..Chosen::default()
    };
    let proved = subject.proved();
    let craft = subject.craft;
    let pages = args.what.pages(&craft, &proved, &chosen)?;
    let left_out = args.what.left_out(&craft, &proved, &chosen);
    if to_standard_output(args) {
        let [page] = &pages[..] else {
            let words =
                format!("the {} takes {} pages, standard output holds one", args.what.word(), pages.len());
            return Err(Refusal::new(Cause::Misread, words).hint("Name a file that ends in .pdf."));
        };
        say(&page.svg)?;
        note_left_out(&left_out);
        return Ok(Outcome::NothingBroken);
    }
    let title = format!("{}: {}", craft.name, args.what.word());
    let files = files(&pages, format, &title, args.dots_per_inch.unwrap_or(DOTS_USUAL))?;
    let paths = paths(&args.out, files.len());
    for path in &paths {
        spare_others(path)?;
    }
    for (path, contents) in paths.iter().zip(files) {
        written::write(path, contents)?;
        note(&format!("{} is drawn in {}", craft.name, path.display()));
    }
    note_left_out(&left_out);
    Ok(Outcome::NothingBroken)
}

/// A drawing with something left out looks whole at a glance: it is told where nobody can miss it.
fn note_left_out(left_out: &[String]) {
    for words in left_out {
        note(&format!("creance: not drawn is {words}"));
    }
}

/// The solder list as rows of text.
fn solder_list(args: &DrawArgs) -> Result<Outcome, Refusal> {
    let craft = args.subject.find()?.craft;
    let proved = proof::prove(&craft);
    let rows = proved.wiring.as_deref().map_or_else(Vec::new, proof::wiring::WiringModel::solder_list);
    let beside = proof::wiring::beside_the_wires(&proof::Proof::new(&craft));
    let list = proof::wiring::solder_csv(&rows, &beside);
    let head = list.lines().next().unwrap_or_default().as_bytes();
    let there = std::fs::read(&args.out).unwrap_or_default();
    if !there.is_empty() && !there.starts_with(head) {
        let words = format!("{:?} is there already and is no solder list; nothing was written", args.out);
        return Err(Refusal::new(Cause::Clash, words).hint("Name another file, or remove that one first."));
    }
    written::write(&args.out, list.into_bytes())?;
    note(&format!("{}: {} wires are listed in {}", craft.name, rows.len(), args.out.display()));
    Ok(Outcome::NothingBroken)
}

fn supply_wish(args: &DrawArgs) -> SupplyWish {
    SupplyWish { charge: args.charge, temperature: args.temperature, level: args.link.level }
}

fn to_standard_output(args: &DrawArgs) -> bool {
    args.out.as_os_str() == "-"
}

/// The format that the file's name asks for; options that do not go with it are refused.
fn format(args: &DrawArgs) -> Result<Format, Refusal> {
    let end = args.out.extension().map(|end| end.to_string_lossy().into_owned());
    let format = match &end {
        // Standard output and devices have no ending; a file without one would be of a kind that nobody named.
        None if to_standard_output(args) || is_device(&args.out) => Format::Svg,
        None => {
            let words = format!("{:?} does not say what kind of file the drawing is to be", args.out);
            let hint = "Name a file that ends in .svg, .pdf or .png, or - for SVG on standard output.";
            return Err(Refusal::new(Cause::Misread, words).hint(hint));
        }
        Some(end) => Format::from_word(end).ok_or_else(|| {
            let words = format!("{:?} is no kind of file a drawing is written in", format!(".{end}"));
            Refusal::new(Cause::Misread, words).hint("Name a file that ends in .svg, .pdf or .png.")
        })?,
    };
    if args.of.is_some() && args.what != Subject::Template {
        let words = format!("--of chooses what a template shows; {} has no such choice", args.what.word());
        return Err(Refusal::new(Cause::Misread, words).hint("Leave it out, or draw `template`."));
    }
    let of_a_view = [
        ("--tilt", args.tilt.is_some()),
        ("--speed", args.speed.is_some()),
        ("--before", args.before.is_some()),
        ("--left", args.left.is_some()),
        ("--beside", args.beside.is_some()),
    ];
    let goes =
        |option: &str| args.what == Subject::View || option == "--speed" && args.what == Subject::Flying;
    if let Some((option, _)) = of_a_view.iter().find(|(option, given)| *given && !goes(option)) {
        let words = format!("{option} is for a view; {} has no such choice", args.what.word());
        return Err(Refusal::new(Cause::Misread, words).hint("Leave it out, or draw `view`."));
    }
    let of_supply = matches!(args.what, Subject::Supply | Subject::Heat);
    if (args.charge.is_some() || args.temperature.is_some()) && !of_supply {
        let words = format!("charge and temperature are asked of the supply; {} has none", args.what.word());
        return Err(Refusal::new(Cause::Misread, words).hint("Leave them out, or draw `supply` or `heat`."));
    }
    // The level belongs to both.
    let only_level = LinkWish { level: args.link.level, ..LinkWish::default() } == args.link;
    let asked = !(args.link.is_empty() || of_supply && only_level);
    if asked && !args.what.is_of_link() {
        let words = format!(
            "distance, height, heading, nose down, bank and level are asked of the link; {} has none",
            args.what.word()
        );
        return Err(Refusal::new(Cause::Misread, words)
            .hint("Leave them out, or draw `budget`, `range`, `pattern`, `lobes` or `held`."));
    }
    if args.dots_per_inch.is_some() && format != Format::Png {
        let words = format!("--dots-per-inch is for PNG; a {} has no dots", format.word().to_uppercase());
        return Err(
            Refusal::new(Cause::Misread, words).hint("Leave it out, or name a file that ends in .png.")
        );
    }
    Ok(format)
}

/// Something that is there and no file: a device or pipe. A folder is one too, and is refused where it is written to.
fn is_device(path: &Path) -> bool {
    path.exists() && !path.is_file()
}

/// The path itself, or one for each of several files: `card.png` becomes `card-1.png`, `card-2.png`.
fn paths(out: &Path, count: usize) -> Vec<PathBuf> {
    if count == 1 {
        return vec![out.to_owned()];
    }
    let stem = out.file_stem().unwrap_or_default().to_string_lossy();
    let numbered = |number: usize| match out.extension() {
        Some(end) => out.with_file_name(format!("{stem}-{number}.{}", end.to_string_lossy())),
        None => out.with_file_name(format!("{stem}-{number}")),
    };
    (1..=count).map(numbered).collect()
}

/// The most of a file that is looked at, in bytes: no drawing is larger.
const LOOKED_AT_MAX: u64 = 64 << 20;

/// A file that is no drawing of ours is not written over: a slip must not cost a sheet.
pub(super) fn spare_others(path: &Path) -> Result<(), Refusal> {
    let mut bytes = Vec::new();
    let read =
        |bytes: &mut Vec<u8>| File::open(path).and_then(|file| file.take(LOOKED_AT_MAX).read_to_end(bytes));
    if path.is_file() && read(&mut bytes).is_ok() && !bytes.is_empty() && !drawing::is_page(&bytes) {
        let words =
            format!("{path:?} is there already and is no drawing of this program; nothing was written");
        return Err(Refusal::new(Cause::Clash, words).hint("Name another file, or remove that one first."));
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn several_pages_get_a_number_each_before_the_end_of_the_name() {
        let named = |out: &str, count| {
            paths(Path::new(out), count).iter().map(|p| p.display().to_string()).collect::<Vec<_>>()
        };
        assert_eq!(named("a/card.png", 2), ["a/card-1.png", "a/card-2.png"]);
        assert_eq!(named("a/card.png", 1), ["a/card.png"]);
        assert_eq!(named("card", 2), ["card-1", "card-2"]);
    }
}
