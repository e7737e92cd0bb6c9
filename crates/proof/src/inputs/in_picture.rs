//! The picture of one lens as plain numbers: what is where in it, how much each fills, how wide it sees.
//!
//! Places are shares of the picture's width and height from its top left corner, so that whoever draws it needs to know
//! neither pixels nor sensor.

use super::{LensView, SeenAs};
use optics::{PIXELS_MAX, PROJECTION_SOURCE, contours, mask};
use quantity::{Basis, Degrees, Figure, FigureId, Percent, Quantity, Term, Unit, Working};

/// The most solids that one working names.
const TOLD: usize = 12;

/// What is seen of one solid.
#[derive(Clone, Debug, PartialEq)]
pub struct Outlined {
    /// The solid's number in [`Inputs::solids`](super::Inputs::solids).
    pub solid: usize,
    /// As what it counts.
    pub seen_as: SeenAs,
    /// Closed rings; a ring within another is a hole in it (even-odd).
    pub rings: Vec<Vec<[f64; 2]>>,
}

/// How much of the lit picture is filled, by what fills it.
#[derive(Clone, Debug, PartialEq)]
pub struct Fills {
    /// Each kind with its share, in the order of [`SeenAs::ALL`].
    pub by_kind: [(SeenAs, Percent); 5],
    /// What is left free.
    pub free: Percent,
    /// How much of the whole picture is lit.
    pub lit: Percent,
}

impl Fills {
    /// What one kind fills.
    pub fn of(&self, kind: SeenAs) -> Percent {
        self.by_kind.iter().find(|(of, _)| *of == kind).map_or(Percent::new(0.0), |(_, share)| *share)
    }
}

impl LensView {
    /// The outlines of all that stands in the picture, good to a fraction of a pixel of a picture so wide.
    pub fn outlines(&self, pixels_across: u32) -> Vec<Outlined> {
        let across = pixels_across.clamp(16, PIXELS_MAX / 4);
        let down = (f64::from(across) / self.aspect()).round().clamp(1.0, f64::from(PIXELS_MAX)) as u32;
        let Ok(view) = self.view.clone().with_pixels(across, down) else { return Vec::new() };
        let share =
            |point: &optics::PicturePoint| [point.across / f64::from(across), point.down / f64::from(down)];
        let outlined = |contour: optics::Contour| {
            let rings = contour.rings.iter().map(|ring| ring.iter().map(share).collect()).collect();
            Outlined { solid: self.solids[contour.solid], seen_as: self.seen_as[contour.solid], rings }
        };
        contours(&view, &self.scene, &mask(&view, &self.scene)).into_iter().map(outlined).collect()
    }

    /// How much of the picture is filled, and by what.
    pub fn fills(&self) -> Fills {
        let shares = self.shares();
        let of = |kind: SeenAs| (kind, shares.of_all(|n| self.seen_as[n] == kind));
        let all = shares.of_all(|_| true).get();
        Fills { by_kind: SeenAs::ALL.map(of), free: Percent::new((100.0 - all).max(0.0)), lit: shares.lit() }
    }

    /// How much one kind fills, or what is left free, with its working: what each solid takes, by its name. Without doubt; the blades, which
    /// are judged, have a figure with theirs.
    pub fn fill_figure(&self, kind: Option<SeenAs>, called: impl Fn(usize) -> String) -> Figure {
        let shares = self.shares();
        let of = |n: usize| shares.of_all(|other| other == n).get();
        let counted = (0..self.seen_as.len()).filter(|n| kind.is_none_or(|kind| self.seen_as[*n] == kind));
        let mut taken: Vec<(usize, f64)> =
            counted.map(|n| (n, of(n))).filter(|(_, share)| *share > 0.0).collect();
        taken.sort_by(|a, b| b.1.total_cmp(&a.1));
        let sum: f64 = taken.iter().map(|(_, share)| share).sum();
        let term = |label: String, value: f64, unit: Unit, origin: &str| Term {
            label,
            quantity: Quantity { value, unit },
            uncertainty: None,
            origin: origin.to_owned(),
        };
        let lit =
            if self.circle_known { "within the image circle" } else { "image circle not known: all counts" };
        let mut terms = vec![
            term("lit, of the whole picture".to_owned(), shares.lit().get(), Unit::Percent, lit),
            term("focal length".to_owned(), self.focal_length_mm(), Unit::Millimetres, self.projection().0),
            term(
                "tilt of the lens axis".to_owned(),
                self.tilt.get(),
                Unit::Degrees,
                "where the camera stands",
            ),
        ];
        let sign = if kind.is_some() { 1.0 } else { -1.0 };
        let rest: f64 = taken.iter().skip(TOLD).map(|(_, share)| share).sum();
        let told = taken.iter().take(TOLD);
        let origin = "area whose rays meet it before anything else, of what is lit";
        terms.extend(
            told.map(|(n, share)| term(called(self.solids[*n]), sign * share, Unit::Percent, origin)),
        );
        if rest > 0.0 {
            let label = format!("{} more, each less than these", taken.len() - TOLD);
            terms.push(term(label, sign * rest, Unit::Percent, origin));
        }
        let place = &self.places[0];
        let (id, label, value, formula) = match kind {
            Some(kind) => (
                format!("view.fills[{}|{place}]", kind.words()),
                format!("how much of the picture is {}", kind.words()),
                sum,
                "sum over the solids of (area on the sensor whose rays meet it before anything else) / area that is lit",
            ),
            None => (
                format!("view.free[{place}]"),
                "how much of the picture is free".to_owned(),
                (100.0 - sum).max(0.0),
                "100 % less what each solid of the craft takes of the area that is lit",
            ),
        };
        Figure {
            id: FigureId(id.into()),
            label,
            quantity: Quantity { value, unit: Unit::Percent },
            uncertainty: None,
            basis: Basis::DataSheet,
            working: Working { formula: formula.to_owned(), terms, source: PROJECTION_SOURCE },
        }
    }

    /// Width over height of the picture.
    pub fn aspect(&self) -> f64 {
        self.view.area().width() / self.view.area().height()
    }

    /// The shape of the picture as the trade says it: `16 : 9`.
    pub fn aspect_words(&self) -> String {
        let usual = [(16.0, 9.0), (4.0, 3.0), (1.0, 1.0), (3.0, 2.0), (5.0, 4.0), (16.0, 10.0)];
        // Pixels are whole, so sides are off by less than this.
        let near = usual.into_iter().find(|(a, b)| (self.aspect() * b / a - 1.0).abs() < 0.004);
        near.map_or_else(|| format!("{:.2} : 1", self.aspect()), |(a, b)| format!("{a} : {b}"))
    }

    /// How the lens draws angles: the word of its projection and, where it has one, the formula.
    pub fn projection(&self) -> (&'static str, Option<&'static str>) {
        let word = self.view.lens().projection_word();
        (word, optics::Projection::of_word(word).map(optics::Projection::formula))
    }

    /// The focal length in mm: for a measured lens, the slope of its map on the axis.
    pub fn focal_length_mm(&self) -> f64 {
        self.view.lens().focal_length().get()
    }

    /// Width and height in mm of what is read of the sensor.
    pub fn sensor_mm(&self) -> [f64; 2] {
        [self.view.area().width().get(), self.view.area().height().get()]
    }

    /// How wide the picture sees across, from bottom to top and from corner to corner; `None` where the image ends
    /// before the picture does.
    pub fn angles(&self) -> [Option<Degrees>; 3] {
        let angles = self.view.angles();
        [angles.horizontal, angles.vertical, angles.diagonal].map(Result::ok)
    }

    /// Where light ends: half the axes of an ellipse about the middle, as shares of width and height; `None` where the
    /// whole picture is lit.
    pub fn lit_within(&self) -> Option<[f64; 2]> {
        let end = self.view.lens().image_end()?.get();
        let [width, height] = self.sensor_mm();
        (end < width.hypot(height) / 2.0).then(|| [end / width, end / height])
    }
}
