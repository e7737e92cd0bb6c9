//! What may be asked of the picture over the course: for the pages and the command line alike, with the same limits.

use crate::other_picture::{OtherPicture, Seated};
use crate::refusal::{Cause, Refusal};
use craft::schema::craft::CRUISE;
use craft::{Craft, Part};
use drawing::{Beside, Page, beside_picture};
use proof::{CourseAsked, CourseSeen, LensView, OutlineStore, Proved, Unseen, course_seen};
use quantity::{Degrees, Metres, MetresPerSecond};
use serde::Deserialize;
use std::sync::Arc;

/// The least and greatest speed, in m/s: those that may be entered for cruise.
pub const SPEEDS: [f64; 2] = [CRUISE.def.min, CRUISE.def.max];
/// From how far before the gate to how near it one may look, in m.
pub const BEFORE_GATE: [f64; 2] = [1.0, 40.0];
/// How far the nose may be turned, in degrees to the left.
pub const TURNS: [f64; 2] = [-180.0, 180.0];

/// What is asked of the course; what is left out is as the craft has it.
#[derive(Clone, Debug, Default, Deserialize)]
pub struct CourseTried {
    /// The speed in m/s; the craft's cruise speed when left out, or else hover.
    pub speed: Option<f64>,
    /// How far before the first gate, in m.
    pub before: Option<f64>,
    /// How far the nose is turned to the left, in degrees.
    pub left: Option<f64>,
    /// The other picture: the id of a lens, `4:3` or `16:9`.
    pub beside: Option<String>,
}

impl CourseTried {
    /// The same as the proof takes it.
    pub fn asked(&self) -> Result<CourseAsked, Refusal> {
        let usual = CourseAsked::default();
        let speed = within("speed", self.speed, SPEEDS, "m/s", "0 is hover; enter for example 12.")?;
        let near = "Nearer the gate is all round, farther it is a speck; enter for example 15.";
        let before = within("distance before the gate", self.before, BEFORE_GATE, "m", near)?;
        let turned = "Over nought to the left, under nought to the right; enter for example 30 or -30.";
        let left = within("turn to the left", self.left, TURNS, "°", turned)?;
        Ok(CourseAsked {
            speed: speed.map(MetresPerSecond::new).or(usual.speed),
            before_gate: before.map_or(usual.before_gate, Metres::new),
            left: left.map_or(usual.left, Degrees::new),
        })
    }
}

fn within(
    what: &str,
    value: Option<f64>,
    [least, most]: [f64; 2],
    unit: &str,
    mend: &str,
) -> Result<Option<f64>, Refusal> {
    match value {
        Some(value) if !(least..=most).contains(&value) => {
            let words = format!("{what} {value} {unit} must lie between {least} and {most} {unit}");
            Err(Refusal::new(Cause::Misread, words.replace(" °", "°")).hint(mend))
        }
        value => Ok(value),
    }
}

/// What one picture was made from.
pub struct Shown {
    /// What the lenses of its craft show.
    pub seen: CourseSeen,
    /// What a person calls it.
    pub called: String,
    /// The lens on its camera.
    pub seated: Seated,
}

impl Shown {
    /// What the lens sees, or why nobody can say; nothing if no lens is seated on a camera.
    pub fn view(&self) -> Option<&Result<LensView, Unseen>> {
        // Lenses on cameras come in the order of the sheet.
        self.seen.views.iter().find(|view| match view {
            Ok(view) => view.places[0] == self.seated.lens,
            Err(unseen) => unseen.places[0] == self.seated.lens,
        })
    }
}

/// The picture of a craft over the course, and the other one where that is asked.
pub fn shown(
    craft: &Craft,
    seated: &Seated,
    drawer: &[Part],
    tried: &CourseTried,
    outlines: &Arc<OutlineStore>,
) -> Result<(Shown, Option<Shown>), Refusal> {
    let asked = tried.asked()?;
    let one = Shown {
        seen: course_seen(craft, outlines, &asked),
        called: "as built".to_owned(),
        seated: seated.clone(),
    };
    let other = tried.beside.as_deref().filter(|word| !word.is_empty()).map(|word| {
        let other = OtherPicture::of_word(craft, seated, drawer, word)?;
        let changed = other.craft(craft, seated, drawer)?;
        Ok::<_, Refusal>(Shown {
            seen: course_seen(&changed, outlines, &asked),
            called: other.called(craft, drawer),
            seated: seated.clone(),
        })
    });
    Ok((one, other.transpose()?))
}

/// A page with two pictures side by side.
pub fn beside_page(
    craft: &Craft,
    proved: &Proved,
    tried: &CourseTried,
    drawer: &[Part],
    camera: Option<&str>,
) -> Result<Page, Refusal> {
    let unfit = |words: String| Refusal::new(Cause::Unfit, words);
    let seated = Seated::of(craft, camera).ok_or_else(|| unfit(drawing::no_lens(craft).to_string()))?;
    let (one, other) = shown(craft, &seated, drawer, tried, &Arc::default())?;
    let other = other.ok_or_else(|| {
        unfit("no other picture is asked for".to_owned())
            .hint("Name another lens, or a shape of picture: 4:3 or 16:9.")
    })?;
    let ready = |shown: &Shown| match shown.view() {
        Some(Ok(view)) => Ok(view.clone()),
        Some(Err(unseen)) => Err(unfit(format!("{}: {}", shown.called, unseen.words()))),
        None => Err(unfit(drawing::no_lens(craft).to_string())),
    };
    let views = [ready(&one)?, ready(&other)?];
    let lens = seated.lens.to_string();
    let pair = [
        Beside { seen: &one.seen, view: &views[0], lens: &lens, called: &one.called },
        Beside { seen: &other.seen, view: &views[1], lens: &lens, called: &other.called },
    ];
    Ok(beside_picture(craft, proved, pair))
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    #[test]
    fn what_lies_beyond_its_limits_is_refused_with_them() {
        let told = |tried: CourseTried| tried.asked().unwrap_err().to_string();
        assert_eq!(
            told(CourseTried { speed: Some(400.0), ..CourseTried::default() }),
            "speed 400 m/s must lie between 0 and 50 m/s\n0 is hover; enter for example 12."
        );
        assert_eq!(
            told(CourseTried { left: Some(f64::NAN), ..CourseTried::default() }),
            "turn to the left NaN° must lie between -180 and 180°\nOver nought to the left, under nought to the right; enter for example 30 or -30."
        );
        assert!(CourseTried::default().asked().is_ok_and(|asked| asked == CourseAsked::default()));
    }
}
