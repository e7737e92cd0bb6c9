//! What two lenses, or one lens in two shapes of picture, show over the course: their views, the figures behind them, and
//! what one has that the other lacks.
//!
//! Nothing here is a verdict: it answers a question that a builder asks by trying. A craft is read as far as its lenses need it;
//! no rule is asked.

use crate::engine::Proof;
use crate::kept::OutlineStore;
use crate::numbers::legible;
use crate::rules::rule_of;
use crate::subject::{LevelFlight, level_flight};
use crate::view_figures::{gate_figure, view_figures};
use crate::{LensView, OverCourse, Unseen};
use craft::schema::craft::CRUISE;
use craft::{Craft, Missing};
use quantity::{Degrees, Figure, Metres, MetresPerSecond, Unit, standard_uncertainty};
use std::sync::Arc;

/// What is asked of the course.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CourseAsked {
    /// How fast the craft flies, level; at its cruise speed when left out, or else it hovers.
    pub speed: Option<MetresPerSecond>,
    /// How far before the first gate the eye is.
    pub before_gate: Metres,
    /// How far the nose is to the left of the way to the gate.
    pub left: Degrees,
}

impl Default for CourseAsked {
    fn default() -> Self {
        Self { speed: None, before_gate: BEFORE_GATE_USUAL, left: Degrees::new(0.0) }
    }
}

/// Rules whose figures tell what two pairs of lens and sensor have beside their views.
const JUDGED: [&str; 2] = ["view.light_stops", "view.focus_tolerance"];

/// How far before the first gate the eye is when nobody says.
pub const BEFORE_GATE_USUAL: Metres = Metres::new(8.0);

/// The greatest speed in m/s for which it is told how far the nose is down.
const SPEED_MOST: u32 = 30;

/// What the lenses of a craft show at a speed, with the figures behind it.
#[derive(Clone, Debug)]
pub struct CourseSeen {
    /// What each lens on a camera sees, in the order of the sheet.
    pub views: Vec<Result<LensView, Unseen>>,
    /// How fast the craft flies.
    pub speed: MetresPerSecond,
    /// How far the nose is down, or what is missing to say so.
    pub nose_down: Result<Figure, Vec<Missing>>,
    /// How far the nose is down at each of some speeds: m/s, degrees, its standard uncertainty; none where nobody can say.
    pub leaning: Vec<[f64; 3]>,
    /// How wide and how fine each lens sees.
    pub figures: Vec<Figure>,
    asked: CourseAsked,
}

/// What the lenses of a craft show over the course.
pub fn course_seen(craft: &Craft, outlines: &Arc<OutlineStore>, asked: &CourseAsked) -> CourseSeen {
    let proof = Proof::with_outlines(craft, Arc::clone(outlines));
    let cruise = || craft.item().read(&CRUISE).ok().map(|cruise| cruise.value);
    let speed = asked.speed.or_else(cruise).unwrap_or(MetresPerSecond::new(0.0));
    let flight = level_flight(&proof);
    let lean = |flight: &LevelFlight, speed: u32| {
        let down = flight.nose_down(MetresPerSecond::new(f64::from(speed)))?;
        Some([f64::from(speed), down.value, standard_uncertainty(&down, &proof.ledger())])
    };
    let leaning =
        flight.iter().flat_map(|flight| (0..=SPEED_MOST).filter_map(|speed| lean(flight, speed))).collect();
    let nose_down = flight.and_then(|flight| flight.figure(&proof, speed).ok_or_else(Vec::new));
    let mut figures = view_figures(&proof);
    let gates = proof.lens_views().iter().flatten();
    figures.extend(gates.filter_map(|view| gate_figure(&proof, view, asked.before_gate)));
    // Light, noise and focus are worked out where they are judged.
    let judged = JUDGED.iter().filter_map(|id| rule_of(id));
    figures.extend(judged.flat_map(|rule| (rule.run)(&proof).figures));
    CourseSeen { views: proof.lens_views().to_vec(), speed, nose_down, leaning, figures, asked: *asked }
}

impl CourseSeen {
    /// How far the nose is down; level where nobody can say.
    pub fn nose_down_degrees(&self) -> Degrees {
        Degrees::new(self.nose_down.as_ref().map_or(0.0, |figure| figure.quantity.value))
    }

    /// Where the craft is, and how it lies in the air.
    pub fn flight(&self) -> OverCourse {
        let CourseAsked { before_gate, left, .. } = self.asked;
        OverCourse { before_gate, left, nose_down: self.nose_down_degrees() }
    }

    /// The same in words: `8 m before the first gate, 15 m/s, nose 22° down`.
    pub fn words(&self) -> String {
        let gate = format!("{} m before the first gate", legible(self.asked.before_gate.get(), 1));
        let turned = match self.asked.left.get().round() {
            0.0 => String::new(),
            left if left > 0.0 => format!(", turned {left}° to the left"),
            right => format!(", turned {}° to the right", -right),
        };
        let flown = match (self.speed.get(), &self.nose_down) {
            (0.0, _) => "in hover".to_owned(),
            (speed, Ok(down)) => {
                format!("at {} m/s, nose {}° down", legible(speed, 1), legible(down.quantity.value, 0))
            }
            (speed, Err(_)) => {
                format!("at {} m/s, drawn level: nobody can say how far the nose is down", legible(speed, 1))
            }
        };
        format!("{gate}{turned}, {flown}")
    }

    /// A figure of the lens at a place: `across`.
    fn of(&self, key: &str, lens: &str) -> Option<&Figure> {
        let id = format!("view.{key}[{lens}]");
        self.figures.iter().find(|figure| figure.id.0 == id)
    }
}

/// One line of what two pictures have.
#[derive(Clone, Debug, PartialEq)]
pub struct Compared {
    /// What is compared: `from side to side`.
    pub what: String,
    /// What the one picture has; nothing where its image ends before the picture does, or a fact is missing.
    pub one: Option<Figure>,
    /// What the other has.
    pub other: Option<Figure>,
    /// Of what it has more or less.
    of: &'static str,
}

/// What is compared: the key of the figure, what it is called in a table, and of what there is more or less; nothing where more is
/// no gain.
const LINES: &[(&str, &str, &str)] = &[
    ("across", "view from side to side", "from side to side"),
    ("upright", "view from bottom to top", "from bottom to top"),
    ("corner", "view from corner to corner", "from corner to corner"),
    ("detail_middle", "detail in the middle", "of the detail in the middle"),
    ("detail_side", "detail at the side", "of the detail at the side"),
    ("gate_across", "gate of 1.5 m", "of the size of a gate"),
    ("twig_shows_from", "a twig of 10 mm shows from", "of the distance at which a twig shows"),
    ("light_stops", "light in the picture, over a usual pair", "of light"),
    ("noise", "signal over noise, over a usual pair", "of signal over noise"),
    ("diffraction", "width at which diffraction draws a point", ""),
    ("sharp_from", "sharp from, as it is focused", ""),
    ("division_blur", "blur of one division of the focus thread", ""),
];

/// What a lens has over the course, beside what another has; without another, what it has alone.
pub fn compared(one: (&CourseSeen, &str), other: Option<(&CourseSeen, &str)>) -> Vec<Compared> {
    let line = |(key, what, of_what): &(&str, &str, &'static str)| {
        let of = |(seen, lens): (&CourseSeen, &str)| seen.of(key, lens).cloned();
        Compared { what: (*what).to_owned(), one: of(one), other: other.and_then(of), of: of_what }
    };
    LINES.iter().map(line).filter(|line| line.one.is_some() || line.other.is_some()).collect()
}

impl Compared {
    /// The unit both are told in.
    pub fn unit(&self) -> Unit {
        self.one.as_ref().or(self.other.as_ref()).map_or(Unit::Ratio, |figure| figure.quantity.unit)
    }

    /// By how much the other has more; nothing unless both are known.
    pub fn more(&self) -> Option<f64> {
        Some(self.other.as_ref()?.quantity.value - self.one.as_ref()?.quantity.value)
    }

    /// What the other gains or loses, in words: `14° from bottom to top`; nothing where they are alike.
    pub fn words(&self) -> Option<String> {
        let (more, one) = (self.more()?, self.one.as_ref()?.quantity.value);
        // What is counted from a reference has no share of itself.
        let counted = matches!(self.unit(), Unit::Stops | Unit::Db);
        let alike = if counted { more.abs() < 0.05 } else { more.abs() < 0.005 * one.abs() };
        if alike || self.of.is_empty() {
            return None;
        }
        let share = 100.0 * more.abs() / one.abs();
        let by = match self.unit() {
            Unit::Degrees => format!("{}°", legible(more.abs(), 0)),
            unit if counted => format!("{} {}", legible(more.abs(), 1), unit.symbol()),
            _ => format!("{} %", legible(share, 0)),
        };
        Some(format!("{by} {}", self.of))
    }
}

/// What the other picture gains and what it loses against the one, each as a list in words.
pub fn gains_and_losses(lines: &[Compared]) -> [Option<String>; 2] {
    let told = |sign: f64| {
        let words: Vec<String> = lines
            .iter()
            .filter(|line| line.more().is_some_and(|more| more * sign > 0.0))
            .filter_map(Compared::words)
            .collect();
        (!words.is_empty()).then(|| words.join(", "))
    };
    [told(1.0), told(-1.0)]
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use crate::testing::set;
    use crate::testing_stack::sound_bay;
    use craft::CraftClass;

    fn bay(focal_length: &str) -> Craft {
        let mut craft = Craft { class: Some(CraftClass::Open3), ..sound_bay() };
        set(&mut craft, "lens.projection", "equidistant");
        set(&mut craft, "lens.focal_length", focal_length);
        craft
    }

    fn seen(craft: &Craft) -> CourseSeen {
        let asked = CourseAsked { speed: Some(MetresPerSecond::new(15.0)), ..CourseAsked::default() };
        course_seen(craft, &Arc::default(), &asked)
    }

    #[test]
    fn a_longer_lens_gains_detail_and_loses_view() {
        let (wide, long) = (seen(&bay("1.5 mm, data sheet")), seen(&bay("1.8 mm, data sheet")));
        let lines = compared((&wide, "lens"), Some((&long, "lens")));
        // The bay says nothing of f-number and focus.
        assert_eq!(lines.len(), LINES.len() - 5);
        let [gains, losses] = gains_and_losses(&lines);
        assert_eq!(
            gains.as_deref(),
            Some(
                "20 % of the detail in the middle, 20 % of the detail at the side, 20 % of the size of a gate, 20 % of the distance at which a twig shows"
            )
        );
        assert_eq!(
            losses.as_deref(),
            Some("24° from side to side, 14° from bottom to top, 28° from corner to corner")
        );
    }

    #[test]
    fn two_pairs_are_told_apart_by_light_noise_and_focus() {
        let pair = |f_number: &str| {
            let mut craft = bay("1.5 mm, data sheet");
            for (path, text) in
                [("lens.f_number", f_number), ("place lens.focused_at", "3 m"), ("lens.thread", "M8x0.5")]
            {
                set(&mut craft, path, text);
            }
            seen(&craft)
        };
        let (slow, fast) = (pair("2.8"), pair("2"));
        let lines = compared((&slow, "lens"), Some((&fast, "lens")));
        assert_eq!(lines.len(), LINES.len());
        let more =
            |what: &str| lines.iter().find(|line| line.what.starts_with(what)).unwrap().more().unwrap();
        let stops = 2.0 * (2.8f64 / 2.0).log2();
        assert!((more("light") - stops).abs() < 1e-9 && (more("signal") - 3.0103 * stops).abs() < 1e-3);
        assert!(
            more("width at which diffraction") < 0.0 && more("sharp from") > 0.0 && more("blur of one") > 0.0
        );
        let [gains, losses] = gains_and_losses(&lines);
        assert_eq!((gains.as_deref(), losses), (Some("1 stops of light, 2.9 dB of signal over noise"), None));
    }

    #[test]
    fn the_same_lens_gains_and_loses_nothing_and_alone_it_is_told_alone() {
        let one = seen(&bay("1.5 mm, data sheet"));
        let lines = compared((&one, "lens"), Some((&one, "lens")));
        assert_eq!(gains_and_losses(&lines), [None, None]);
        let alone = compared((&one, "lens"), None);
        assert!(alone.iter().all(|line| line.one.is_some() && line.other.is_none() && line.more().is_none()));
    }

    #[test]
    fn every_figure_has_doubt_and_working() {
        let one = seen(&bay("1.5 mm, data sheet"));
        for line in compared((&one, "lens"), None) {
            let figure = line.one.unwrap();
            assert!(figure.uncertainty.is_some() && !figure.working.terms.is_empty(), "{}", figure.id.0);
        }
    }

    #[test]
    fn without_a_class_the_nose_stays_level_and_says_what_is_missing() {
        let craft = Craft { class: None, ..bay("1.5 mm, data sheet") };
        let seen = seen(&craft);
        assert_eq!(seen.nose_down_degrees(), Degrees::new(0.0));
        assert!(seen.nose_down.unwrap_err().iter().any(|missing| missing.label.contains("class")));
    }
}
