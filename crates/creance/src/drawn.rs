//! Which drawings there are, in which formats, and what they are called: for command line and server alike.

use crate::bench::now;
use crate::course_tried::{CourseTried, beside_page};
use crate::link_asked::{LinkWish, link_pages};
use crate::refusal::{Cause, Refusal};
use crate::supply_asked::{SupplyWish, heat_pages, supply_pages};
use crate::wire::flying::flying_page;
use clap::ValueEnum;
use craft::{Craft, Part};
use drawing::{Page, PageFault, TemplateFault, View, ViewPictureFault};
use proof::Proved;

/// What is drawn of a craft.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum Subject {
    /// From above, with sizes and the least clearances
    Top,
    /// From its right side
    Side,
    /// From ahead
    Front,
    /// Parts moved apart, with the order of assembly, screws and torques
    Exploded,
    /// At 1 : 1, to drill by: holes to be drilled, adapters, every pattern in use; --of chooses
    Template,
    /// What each lens sees: blades, arms, cage and antennas in the picture over a course; --beside holds another lens against it
    View,
    /// Flying through it: horizon, obstacle, widths, smear, way flown blind and way a dodge needs, as curves; --speed marks one
    Flying,
    /// The link budget: signed terms from the transmitter to the receiver; --distance and the like choose where
    Budget,
    /// Range against power; --height and the like choose how
    Range,
    /// What each antenna sends which way, with the craft turned as asked; --heading, --nose-down and --bank choose how
    Pattern,
    /// The margin over distance and height: the lobes that the ground makes
    Lobes,
    /// The share of the time that the picture holds, by distance: clean, thin, breaking, lost
    Held,
    /// Which pad joins which, faults in place; then what to solder, what to set, the first power-up
    Wiring,
    /// The supply: over a flight, at a punch by charge, how long the pack lasts; --temperature and the like choose how
    Supply,
    /// The transmitter: warming up on the bench at each level, and by air speed
    Heat,
    /// Two pages for the bench: parts, mass, placement, findings, what to measure, cautions
    Card,
}

/// What is chosen of a drawing.
#[derive(Clone, Debug, Default)]
pub struct Chosen {
    /// What a template shows.
    pub of: Option<String>,
    /// Where the craft is over the course, and what other picture stands beside its own.
    pub course: CourseTried,
    /// Lenses that lie ready beside those of the craft.
    pub drawer: Vec<Part>,
    /// The camera that is looked through; the first that carries a lens when left out.
    pub camera: Option<String>,
    /// What is asked of the radio link.
    pub link: LinkWish,
    /// What is asked of the supply.
    pub supply: SupplyWish,
}

/// How a drawing is written down.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Format {
    /// SVG, a file for each page.
    Svg,
    /// PDF, all pages in one file.
    Pdf,
    /// PNG, a file for each page.
    Png,
}

/// Dots per inch of a PNG when nobody says.
pub const DOTS_USUAL: u32 = 200;

impl Subject {
    /// The word.
    pub const fn word(self) -> &'static str {
        match self {
            Subject::Top => "top",
            Subject::Side => "side",
            Subject::Front => "front",
            Subject::Exploded => "exploded",
            Subject::Template => "template",
            Subject::View => "view",
            Subject::Flying => "flying",
            Subject::Budget => "budget",
            Subject::Range => "range",
            Subject::Pattern => "pattern",
            Subject::Lobes => "lobes",
            Subject::Held => "held",
            Subject::Wiring => "wiring",
            Subject::Supply => "supply",
            Subject::Heat => "heat",
            Subject::Card => "card",
        }
    }

    /// Whether it asks the radio link.
    pub const fn is_of_link(self) -> bool {
        matches!(self, Self::Budget | Self::Range | Self::Pattern | Self::Lobes | Self::Held)
    }

    /// The subject of a word.
    pub fn from_word(word: &str) -> Option<Self> {
        Self::value_variants().iter().copied().find(|subject| subject.word() == word)
    }

    /// What it leaves out, since facts are missing or wrong, each with what mends it.
    pub fn left_out(self, craft: &Craft, proved: &Proved, chosen: &Chosen) -> Vec<String> {
        match self {
            Subject::Top | Subject::Side | Subject::Front | Subject::Exploded => drawing::left_out(craft),
            Subject::Template => {
                let of = chosen.of.as_deref();
                let mut left_out = drawing::left_out_of_template(craft, of);
                left_out.extend(drawing::too_large(craft, proved, of));
                left_out
            }
            _ => Vec::new(),
        }
    }

    /// Its pages.
    pub fn pages(self, craft: &Craft, proved: &Proved, chosen: &Chosen) -> Result<Vec<Page>, Refusal> {
        let view = |view| Ok(vec![drawing::page(craft, proved, view)]);
        match self {
            Subject::Top => view(View::Top),
            Subject::Side => view(View::Side),
            Subject::Front => view(View::Front),
            Subject::Exploded => Ok(drawing::exploded(craft, proved)),
            Subject::Template => {
                drawing::template(craft, proved, chosen.of.as_deref()).map_err(Refusal::from)
            }
            Subject::View if chosen.course.beside.is_some() => {
                let camera = chosen.camera.as_deref();
                Ok(vec![beside_page(craft, proved, &chosen.course, &chosen.drawer, camera)?])
            }
            Subject::View => Ok(drawing::view_picture(craft, proved, &chosen.course.asked()?)?),
            Subject::Flying => flying_page(craft, chosen.course.speed),
            Subject::Budget | Subject::Range | Subject::Pattern | Subject::Lobes | Subject::Held => {
                link_pages(self, &craft.name, proved, &chosen.link)
            }
            Subject::Wiring => Ok(drawing::wiring(craft, proved)),
            Subject::Supply => supply_pages(&craft.name, proved, &chosen.supply),
            Subject::Heat => heat_pages(&craft.name, proved, &chosen.supply),
            Subject::Card => {
                // The day in universal time, as the journal counts it.
                let moment = now().to_string();
                Ok(drawing::card(craft, proved, moment.get(..10)))
            }
        }
    }
}

impl Format {
    /// The format that the end of a file's name asks for.
    pub fn from_word(word: &str) -> Option<Self> {
        match word.to_ascii_lowercase().as_str() {
            "svg" => Some(Format::Svg),
            "pdf" => Some(Format::Pdf),
            "png" => Some(Format::Png),
            _ => None,
        }
    }

    /// The end of a file's name.
    pub const fn word(self) -> &'static str {
        match self {
            Format::Svg => "svg",
            Format::Pdf => "pdf",
            Format::Png => "png",
        }
    }

    /// What the server says it is.
    pub const fn content_type(self) -> &'static str {
        match self {
            Format::Svg => "image/svg+xml",
            Format::Pdf => "application/pdf",
            Format::Png => "image/png",
        }
    }
}

/// The files of some pages: one for a PDF, one a page otherwise.
pub fn files(
    pages: &[Page],
    format: Format,
    title: &str,
    dots_per_inch: u32,
) -> Result<Vec<Vec<u8>>, Refusal> {
    let png = |(number, page)| drawing::png(page, number + 1, dots_per_inch);
    match format {
        Format::Svg => Ok(pages.iter().map(|page| page.svg.clone().into_bytes()).collect()),
        Format::Pdf => Ok(vec![drawing::pdf(pages, title)?]),
        Format::Png => Ok(pages.iter().enumerate().map(png).collect::<Result<_, _>>()?),
    }
}

impl From<TemplateFault> for Refusal {
    fn from(fault: TemplateFault) -> Self {
        let cause = match &fault {
            TemplateFault::NoPlace { .. } | TemplateFault::NoSuch { .. } => Cause::NoSuch,
            _ => Cause::Unfit,
        };
        Refusal::new(cause, fault.to_string())
    }
}

impl From<ViewPictureFault> for Refusal {
    fn from(fault: ViewPictureFault) -> Self {
        Refusal::new(Cause::Unfit, fault.to_string())
    }
}

impl From<PageFault> for Refusal {
    fn from(fault: PageFault) -> Self {
        let cause = match &fault {
            PageFault::Dots { .. } => Cause::Unfit,
            PageFault::Unreadable { .. } | PageFault::Unwritten { .. } => Cause::Ours,
        };
        Refusal::new(cause, fault.to_string())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_command_line_and_the_server_call_every_drawing_the_same() {
        for subject in Subject::value_variants() {
            let said = subject.to_possible_value().map(|value| value.get_name().to_owned());
            assert_eq!(said.as_deref(), Some(subject.word()));
            assert_eq!(Subject::from_word(subject.word()), Some(*subject));
        }
        for format in [Format::Svg, Format::Pdf, Format::Png] {
            assert_eq!(Format::from_word(&format.word().to_uppercase()), Some(format));
        }
    }
}
