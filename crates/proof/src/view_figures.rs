//! How wide each lens sees, how fine its picture is, and from how far a twig shows, as figures. No rule asks for them yet:
//! they are told for every lens whose view is known.
//!
//! Views are twice the lens's angle at half a side of what is read of the sensor. Pixels a degree are those of the picture
//! mode, in the middle and at the side. A twig of 10 mm shows where it is two pixels wide: less is lost between pixels. The
//! slopes on focal length and pixel pitch are differences over a small step.

use crate::inputs::{Grown, gate_pixels};
use crate::working::Lines;
use crate::{LensView, Proof};
use optics::course::GATE_OPENING;
use optics::{Detail, PROJECTION_SOURCE, View, detail_at, focal_length_for, seen_from};
use quantity::{Degrees, Figure, Linear, Metres, Millimetres, Source, Unit};

/// By how much of itself a size is changed to see what follows.
const GROWTH: f64 = 1e-4;
/// How thick a twig is, and how many pixels wide it must be to show. Common practice.
const TWIG: Millimetres = Millimetres::new(10.0);
const TWIG_PIXELS: f64 = 2.0;
/// The view from bottom to top that pilots who fly close to things want. Common practice.
const WANTED_UPRIGHT: Degrees = Degrees::new(75.0);

/// The figures of every lens.
pub(crate) fn view_figures(proof: &Proof) -> Vec<Figure> {
    proof.lens_views().iter().flatten().flat_map(|view| of_lens(proof, view)).collect()
}

fn of_lens(proof: &Proof, looking: &LensView) -> Vec<Figure> {
    let mut figures = Vec::new();
    let grown = looking.grown(proof, GROWTH);
    let lens = &proof.craft.places[looking.lens].id;
    let called = &looking.subject;
    let formula = looking.projection().1.unwrap_or("r by the measured map");
    let mut put = |key: &str,
                   label: String,
                   unit: Unit,
                   formula: String,
                   source: Source,
                   of: &dyn Fn(&View) -> Option<f64>| {
        let Some(result) = followed(looking, &grown, of) else { return };
        let [width, height] = looking.sensor_mm();
        let mut lines = Lines::of(proof)
            .given("width in use", width, Unit::Millimetres, "sensor and picture mode")
            .given("height in use", height, Unit::Millimetres, "sensor and picture mode");
        if let Some((across, down)) = looking.pixels {
            lines = lines
                .given("pixels across", f64::from(across), Unit::Count, "picture mode or sensor")
                .given("pixels down", f64::from(down), Unit::Count, "picture mode or sensor");
        }
        let figure = lines.facts(&result).figure(
            format!("view.{key}[{lens}]"),
            label,
            (&result, unit),
            formula,
            source,
        );
        figures.push(figure);
    };
    for (n, (key, from)) in [
        ("across", "from side to side"),
        ("upright", "from bottom to top"),
        ("corner", "from corner to corner"),
    ]
    .into_iter()
    .enumerate()
    {
        let angle = move |view: &View| {
            let angles = view.angles();
            let angle = [angles.horizontal, angles.vertical, angles.diagonal].into_iter().nth(n)?;
            angle.ok().map(Degrees::get)
        };
        let formula = format!("view = 2 θ at half of it, {formula}");
        put(key, format!("view {from}, {called}"), Unit::Degrees, formula, PROJECTION_SOURCE, &angle);
    }
    if looking.pixels.is_some() {
        let middle = |view: &View| detail(looking, view, 0.0).map(|detail| detail.along);
        let side = |view: &View| {
            let half = view.angles().horizontal.ok()?.get() / 2.0;
            detail(looking, view, half).map(Detail::least)
        };
        let fine = "pixels over mm of the sensor · dr/dθ · π/180";
        let unit = Unit::PixelsPerDegree;
        put(
            "detail_middle",
            format!("pixels a degree in the middle, {called}"),
            unit,
            fine.to_owned(),
            PROJECTION_SOURCE,
            &middle,
        );
        let least = format!("{fine}, or r/sin θ for dr/dθ where that is less");
        put(
            "detail_side",
            format!("pixels a degree at the side, {called}"),
            unit,
            least,
            PROJECTION_SOURCE,
            &side,
        );
        let twig = |view: &View| Some(seen_from(TWIG, TWIG_PIXELS, middle(view)?).get() / 1000.0);
        let source = Source::common_practice("two pixels across a thing show it as a line");
        let words = format!("a twig of {} mm shows from, {called}", TWIG.get());
        let formula = format!("distance = {} mm / (2 tan(half of {TWIG_PIXELS} pixels))", TWIG.get());
        put("twig_shows_from", words, Unit::Metres, formula, source, &twig);
    }
    if let Some(projection) = looking.view.lens().projection() {
        let wanted = |view: &View| {
            focal_length_for(projection, view.area().height(), WANTED_UPRIGHT).ok().map(Millimetres::get)
        };
        let words = format!("focal length for {}° from bottom to top, {called}", WANTED_UPRIGHT.get());
        let source = Source::common_practice("what pilots who fly close to things want from bottom to top");
        let formula =
            format!("half the height / r at {}° of a lens of 1 mm, {formula}", WANTED_UPRIGHT.get() / 2.0);
        put("focal_length_upright", words, Unit::Millimetres, formula, source, &wanted);
    }
    figures
}

/// How many pixels of the picture a gate is wide, seen along the axis from so far away.
pub(crate) fn gate_figure(proof: &Proof, looking: &LensView, gate_at: Metres) -> Option<Figure> {
    let (across, _) = looking.pixels?;
    let of = |view: &View| gate_pixels(view, across, gate_at);
    let result = followed(looking, &looking.grown(proof, GROWTH), &of)?;
    let [width, _] = looking.sensor_mm();
    let formula = looking.projection().1.unwrap_or("r by the measured map");
    let lines = Lines::of(proof)
        .given("width of the gate", GATE_OPENING.get(), Unit::Metres, "the course")
        .given("distance", gate_at.get(), Unit::Metres, "asked")
        .given("width in use", width, Unit::Millimetres, "sensor and picture mode")
        .given("pixels across", f64::from(across), Unit::Count, "picture mode or sensor");
    let lens = &proof.craft.places[looking.lens].id;
    Some(lines.facts(&result).figure(
        format!("view.gate_across[{lens}]"),
        format!("width of a gate of {} m at {} m, {}", GATE_OPENING.get(), gate_at.get(), looking.subject),
        (&result, Unit::Pixels),
        format!("2 r · pixels across / width in use, tan θ = half the gate / distance, {formula}"),
        PROJECTION_SOURCE,
    ))
}

/// Pixels a degree at an angle, with the pixels of the picture that is sent.
pub(crate) fn detail(looking: &LensView, view: &View, angle: f64) -> Option<Detail> {
    let (across, down) = looking.pixels?;
    let view = view.clone().with_pixels(across, down).ok()?;
    detail_at(&view, Degrees::new(angle)).ok()
}

/// A number of a view, with the facts that the view follows.
pub(crate) fn followed(
    looking: &LensView,
    grown: &[Grown],
    of: &dyn Fn(&View) -> Option<f64>,
) -> Option<Linear> {
    let value = of(&looking.view)?;
    let slope = |grown: &Grown| Some((grown.fact, (of(&grown.view)? - value) / grown.by));
    let slopes = grown.iter().filter_map(slope);
    Some(Linear { value, slopes: slopes.filter(|(_, slope)| *slope != 0.0).collect() })
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::view_figures;
    use crate::Proof;
    use crate::testing::set;
    use crate::testing_stack::sound_bay;
    use craft::Craft;
    use quantity::Figure;

    /// The figures of the lens of the bay with an equidistant lens of 1.5 mm over 1920 × 1080 pixels of 2 µm.
    fn told(spoil: impl FnOnce(&mut Craft)) -> Vec<Figure> {
        let mut craft = sound_bay();
        set(&mut craft, "lens.projection", "equidistant");
        set(&mut craft, "lens.focal_length", "1.5 mm, data sheet");
        spoil(&mut craft);
        view_figures(&Proof::new(&craft))
    }

    fn value(figures: &[Figure], key: &str) -> f64 {
        let id = format!("view.{key}[lens]");
        figures.iter().find(|figure| figure.id.0 == id).unwrap_or_else(|| panic!("{id}")).quantity.value
    }

    #[test]
    fn a_lens_tells_how_wide_and_how_fine_it_sees() {
        let figures = told(|_| {});
        let near = |key: &str, expected: f64| {
            let found = value(&figures, key);
            assert!((found / expected - 1.0).abs() < 1e-6, "{key}: {found} against {expected}");
        };
        near("across", (3.84f64 / 1.5).to_degrees());
        near("upright", (2.16f64 / 1.5).to_degrees());
        near("corner", (3.84f64.hypot(2.16) / 1.5).to_degrees());
        let middle = 500.0 * 1.5 * std::f64::consts::PI / 180.0;
        near("detail_middle", middle);
        near("detail_side", middle);
        near("twig_shows_from", 0.005 / (1.0 / middle).to_radians().tan());
        near("focal_length_upright", 1.08 / 37.5f64.to_radians());
        assert!(
            figures.iter().all(|figure| figure.uncertainty.is_some() && !figure.working.terms.is_empty())
        );
    }

    #[test]
    fn the_doubt_of_a_view_is_that_of_focal_length_and_pitch() {
        let doubt = |spoil: &dyn Fn(&mut Craft)| {
            let figures = told(|craft| spoil(craft));
            figures.iter().find(|figure| figure.id.0 == "view.upright[lens]").unwrap().uncertainty.unwrap()
        };
        let vague = doubt(&|craft| set(craft, "lens.focal_length", "1.5 mm ± 0.2, data sheet"));
        let sure = doubt(&|craft| set(craft, "lens.focal_length", "1.5 mm ± 0.01, data sheet"));
        // What the pitch adds is in both. 0.2 mm spread evenly: 82.5° · 0.2 / 1.5 / √3.
        let of_focal_length = (vague * vague - sure * sure).sqrt();
        let expected = 82.51 * 0.2 / 1.5 / 3f64.sqrt();
        assert!((of_focal_length - expected).abs() < 0.1 && sure > 1.0, "{vague} and {sure}");
    }

    #[test]
    fn without_focal_length_nothing_is_told_and_dark_corners_have_no_view() {
        assert!(told(|craft| set(craft, "lens.focal_length", "")).is_empty());
        let dark = told(|craft| set(craft, "lens.image_circle", "4 mm, measured"));
        assert!(dark.iter().all(|figure| figure.id.0 != "view.corner[lens]"));
        assert!(value(&dark, "across") > 100.0);
    }
}
