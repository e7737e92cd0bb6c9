//! What the route of drawings reads: `exploded.pdf`, `card-2.png`, with `?of=PLACE/NAME` and `?dots_per_inch=N`; with
//! `?tilt=30` of a craft whose camera is so tilted.
//!
//! A PDF holds all pages. SVG and PNG hold one: the first, or the one whose number stands before the dot.

use crate::course_tried::CourseTried;
use crate::drawn::{Chosen, DOTS_USUAL, Format, Subject, files};
use crate::judged::Judged;
use crate::link_asked::LinkWish;
use crate::refusal::{Cause, Refusal};
use crate::supply_asked::SupplyWish;
use crate::tilt_tried::TiltTried;
use craft::Part;
use serde::Deserialize;

/// What may be asked besides the name.
#[derive(Deserialize)]
pub struct DrawingAsked {
    /// What a template shows.
    of: Option<String>,
    /// How fine a PNG is.
    dots_per_inch: Option<u32>,
    /// A tilt of the camera that is tried.
    tilt: Option<f64>,
    /// The camera that is tilted.
    camera: Option<String>,
    /// Where the craft is over the course, what stands beside its picture: as the command line has them.
    speed: Option<f64>,
    before: Option<f64>,
    left: Option<f64>,
    beside: Option<String>,
    /// Of the link: how far away the craft is, in m.
    distance: Option<f64>,
    /// How high it flies, in m.
    height: Option<f64>,
    /// Where its nose points.
    heading: Option<f64>,
    /// How far its nose is down.
    nose_down: Option<f64>,
    /// How far it is banked.
    bank: Option<f64>,
    /// Which level is set, in mW.
    level: Option<f64>,
    /// Of the supply: charge at landing, in per cent.
    charge: Option<f64>,
    /// Pack and air, in °C.
    temperature: Option<f64>,
}

impl DrawingAsked {
    /// What is asked of the link.
    fn link(&self) -> LinkWish {
        let &Self { distance, height, heading, nose_down, bank, level, .. } = self;
        LinkWish { distance, height, heading, nose_down, bank, level }
    }

    /// The tilt that is tried.
    pub fn tried(&self) -> TiltTried {
        TiltTried { tilt: self.tilt, camera: self.camera.clone() }
    }

    fn chosen(&self, drawer: Vec<Part>) -> Chosen {
        let (speed, before, left) = (self.speed, self.before, self.left);
        let course = CourseTried { speed, before, left, beside: self.beside.clone() };
        let supply = SupplyWish { charge: self.charge, temperature: self.temperature, level: self.level };
        Chosen { of: self.of.clone(), course, drawer, camera: self.camera.clone(), link: self.link(), supply }
    }
}

/// A drawing by its name.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct DrawingWanted {
    subject: Subject,
    format: Format,
    /// Which page, counted from one.
    page: usize,
}

impl DrawingWanted {
    /// Reads a name.
    pub fn read(file: &str) -> Result<Self, Refusal> {
        let none = || {
            Refusal::new(Cause::NoSuch, format!("there is no drawing {file:?}")).hint(
                "There are top, side, front, exploded, template, view, budget, range, wiring, supply, heat and card, each as .svg, .pdf and .png; a page by its number: card-2.png.",
            )
        };
        let (name, end) = file.rsplit_once('.').ok_or_else(none)?;
        let format = Format::from_word(end).ok_or_else(none)?;
        let (word, page) = match name.rsplit_once('-') {
            Some((word, page)) if format != Format::Pdf => {
                (word, page.parse().ok().filter(|n| *n > 0).ok_or_else(none)?)
            }
            _ => (name, 1),
        };
        Ok(Self { subject: Subject::from_word(word).ok_or_else(none)?, format, page })
    }

    /// Draws it: format, file name, contents.
    pub fn made(
        self,
        judged: &Judged,
        asked: &DrawingAsked,
        drawer: Vec<Part>,
    ) -> Result<(Format, String, Vec<u8>), Refusal> {
        let Self { subject, format, page } = self;
        let Judged { craft, proved, .. } = judged;
        let pages = subject.pages(craft, proved, &asked.chosen(drawer))?;
        let chosen = match format {
            Format::Pdf => &pages[..],
            _ => pages.get(page - 1..page).ok_or_else(|| {
                let words =
                    format!("the {} has {} pages, there is no page {page}", subject.word(), pages.len());
                Refusal::new(Cause::NoSuch, words)
            })?,
        };
        let title = format!("{}: {}", craft.name, subject.word());
        let made = files(chosen, format, &title, asked.dots_per_inch.unwrap_or(DOTS_USUAL))?;
        let contents = made.into_iter().next().unwrap_or_default();
        let number =
            if pages.len() > 1 && format != Format::Pdf { format!("-{page}") } else { String::new() };
        Ok((format, format!("{}-{}{number}.{}", craft.id, subject.word(), format.word()), contents))
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    #[test]
    fn a_name_says_subject_format_and_page() {
        let wanted = |subject, format, page| DrawingWanted { subject, format, page };
        for (file, expected) in [
            ("top.svg", wanted(Subject::Top, Format::Svg, 1)),
            ("card-2.png", wanted(Subject::Card, Format::Png, 2)),
            ("exploded.pdf", wanted(Subject::Exploded, Format::Pdf, 1)),
        ] {
            assert_eq!(DrawingWanted::read(file).unwrap(), expected);
        }
        for file in ["below.svg", "top", "top.gif", "card-0.svg", "card-x.svg", "card-2.pdf", "-1.svg", ""] {
            assert!(DrawingWanted::read(file).is_err(), "{file}");
        }
    }
}
