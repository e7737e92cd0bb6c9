//! The words beside a picture: what it rests on, and what it shows for those who cannot see it.

use proof::{Fills, Finding, LensView, Proved, SeenAs, Verdict};
use quantity::decimal;
use std::fmt::Write;

/// A share as a person reads it.
pub fn share_words(share: f64) -> String {
    let tenths = decimal(share, 1);
    let short = tenths.strip_suffix(".0").unwrap_or(&tenths);
    if share > 0.0 && short == "0" { "under 0.1 %".to_owned() } else { format!("{short} %") }
}

fn degrees(angle: Option<quantity::Degrees>) -> String {
    angle.map_or("dark before the edge".to_owned(), |angle| format!("{}°", decimal(angle.get(), 0)))
}

/// What the picture was made from, line by line.
pub fn picture_facts(view: &LensView) -> Vec<(&'static str, String)> {
    let (word, formula) = view.projection();
    let [width, height] = view.sensor_mm();
    let [across, upright, corner] = view.angles();
    let projection = formula.map_or(word.to_owned(), |formula| format!("{word}, {formula}"));
    let mut facts = vec![
        ("projection", projection),
        ("focal length", format!("{} mm", decimal(view.focal_length_mm(), 2))),
        ("sensor in use", format!("{} × {} mm", decimal(width, 2), decimal(height, 2))),
    ];
    if let Some(mode) = &view.mode {
        facts.push(("picture mode", mode.clone()));
    }
    facts.extend([
        ("view across", degrees(across)),
        ("bottom to top", degrees(upright)),
        ("corner to corner", degrees(corner)),
    ]);
    if !view.circle_known {
        facts.push(("image circle", "not known: all counts as lit".to_owned()));
    }
    facts
}

/// What the check finds broken about where the lens stands: a lens inside a plate, or against it. What it would see then is no
/// picture of a craft that can be built.
pub fn lens_in_the_way<'p>(proved: &'p Proved, view: &LensView) -> Vec<&'p Finding> {
    let is_of_it = |finding: &&Finding| {
        finding.rule == "fit.pair_clearance"
            && finding.verdict == Verdict::Broken
            && finding.places.contains(&view.places[0])
    };
    proved.findings.iter().filter(is_of_it).collect()
}

/// What the picture shows, for those who cannot see it. `broken` is what the check finds broken about where the lens stands.
pub(super) fn described(
    view: &LensView,
    fills: &Fills,
    finding: Option<&Finding>,
    broken: &[&Finding],
) -> String {
    let mut words = format!(
        "{} sees a {} picture, tilted {:.1} degrees up.",
        view.subject,
        view.aspect_words(),
        view.tilt.get()
    );
    for (kind, share) in fills.by_kind {
        if share.get() > 0.0 || kind == SeenAs::Blades {
            let _ = write!(words, " {}: {}.", kind.words(), share_words(share.get()));
        }
    }
    for finding in broken.iter().copied().chain(finding) {
        let _ = write!(words, " {}: {}.", finding.verdict.word(), finding.message);
        for mend in &finding.mends {
            let _ = write!(words, " {mend}");
        }
    }
    words
}
