//! Does each plate keep enough material round its holes?

use crate::inputs::holes_in;
use crate::limits::{CUT_WEB, Limit, PRINTED_WEB};
use crate::numbers::capital;
use crate::numbers::mm;
use crate::rule::rule;
use crate::{Answer, Finding, Placed, Proof, Verdict};
use craft::Item;
use craft::schema::{PartKind, frame};
use fit::{Hole, PlanePoint, in_ring};
use quantity::Millimetres;

rule! {
    /// Does each plate keep enough material round its holes?
    ///
    /// ## Why
    /// Between two holes, or between a hole and the edge, a thin web of carbon splits when the screw is drawn tight, and breaks out in
    /// the first crash. A pattern of another width is easily drilled too near the edge.
    ///
    /// ## Sound when
    /// At least 1 mm stays in a plate that is cut, 1.5 mm in one that is printed. Below that it is tight, below 0.3 mm (0.6 mm printed)
    /// broken.
    ///
    /// ## Rests on
    /// The outlines of the plates of frames and adapters, their cut-outs, holes and hole patterns as they are entered: outlines carry no
    /// doubt. Holes nobody listed, such as those of standoffs, are on the template and not counted here. Common practice.
    ///
    /// ## Mend
    /// Move the hole, take a wider plate or a narrower hole, or an adapter.
    PLATE_WEBS = "fit.plate_webs", run
}

/// Webs this much thinner than asked still read as what is asked, in mm: sheets write hundredths.
const ROUNDED: f64 = 0.05;

fn run(proof: &Proof) -> Answer {
    let mut answer = Answer::default();
    let mut judged = Vec::new();
    for placed in proof.placed() {
        if !matches!(placed.part.kind, PartKind::Frame | PartKind::Adapter)
            || judged.contains(&&placed.part.id)
        {
            continue;
        }
        judged.push(&placed.part.id);
        let rows = placed.part.rows(&frame::plate::TABLE);
        let plates: Vec<(Finding, f64)> = rows.filter_map(|row| plate(placed, &row)).collect();
        let least = plates.iter().map(|(_, spare)| *spare).reduce(f64::min);
        let (sound, short): (Vec<_>, Vec<_>) =
            plates.into_iter().partition(|(finding, _)| finding.verdict == Verdict::Sound);
        answer.findings.extend(short.into_iter().map(|(finding, _)| finding.at([placed.place.id.clone()])));
        // Of many sound plates the one with the thinnest web is told.
        let thinnest = sound.into_iter().min_by(|(_, a), (_, b)| a.total_cmp(b));
        if let Some((finding, _)) = thinnest.filter(|_| least.is_some_and(|least| least >= -ROUNDED)) {
            answer.findings.push(finding.at([placed.place.id.clone()]));
        }
    }
    answer
}

/// The thinnest web of a plate, with how much it has over what is asked; `None` where it has no hole or no outline.
fn plate(placed: Placed, row: &Item) -> Option<(Finding, f64)> {
    let name = row.name()?;
    let outer = row.points(&frame::plate::OUTLINE).ok()?;
    let material = row.text(&frame::plate::MATERIAL);
    let printed = material.is_ok_and(|material| material.starts_with("printed"));
    let limit: &Limit = if printed { &PRINTED_WEB } else { &CUT_WEB };
    let mut holes = holes_in(placed.part, name);
    holes.iter_mut().filter(|hole| hole.name == "a hole without a name").for_each(|hole| hole.name.clear());
    let mut thinnest: Option<(f64, String, bool)> = None;
    let mut add = |web: f64, words: &dyn Fn() -> String, is_off: bool| {
        if thinnest.as_ref().is_none_or(|(known, ..)| web < *known) {
            thinnest = Some((web, words(), is_off));
        }
    };
    for (number, hole) in holes.iter().enumerate() {
        // Windows are cut by whoever made the plate; only what is drilled is asked about.
        let Some(own) = way(&hole.hole) else { continue };
        let to_edge = ring_air(own, outer, true);
        match to_edge <= -2.0 * own.1 {
            true => add(to_edge, &|| format!("{} lies off the plate", one(&hole.name)), true),
            false => add(to_edge, &|| format!("{} and the edge", one(&hole.name)), false),
        }
        for other in &holes[number + 1..] {
            let web = match (way(&other.hole), &other.hole) {
                (Some(other), _) => apart(own, other),
                (None, Hole::Polygon(points)) => {
                    let ring: Vec<[f64; 2]> = points.iter().map(|p| [p.x, p.y]).collect();
                    ring_air(own, &ring, false)
                }
                _ => continue,
            };
            let words = || match hole.name == other.name {
                true if hole.name.is_empty() => "two holes".to_owned(),
                true => format!("two holes of {}", hole.name),
                false => format!("{} and {}", one(&hole.name), one(&other.name)),
            };
            add(web, &words, false);
        }
    }
    let (web, between, is_off) = thinnest?;
    let verdict = match web {
        web if web < limit.broken => Verdict::Broken,
        web if web < limit.tight - ROUNDED => Verdict::Tight,
        _ => Verdict::Sound,
    };
    let called = if name.contains("plate") { name.to_owned() } else { format!("plate {name}") };
    let subject = format!("{called} of {}", placed.part.name);
    let message = match (verdict, web <= 0.0) {
        (_, true) if is_off => format!("{}: nothing is left to hold by", capital(&between)),
        (Verdict::Sound, _) => format!("At its thinnest {} stays, between {between}", mm(web)),
        (_, true) => format!("Nothing stays between {between}: they overlap by {}", mm(-web)),
        _ => format!(
            "Only {} stays between {between}, at least {} is wanted: it breaks out there",
            mm(web),
            mm(limit.tight)
        ),
    };
    // What counts as enough has nothing wanting.
    let spare = web - limit.tight;
    let spare = Millimetres::new(if verdict == Verdict::Sound { spare.max(0.0) } else { spare });
    let mut finding = Finding::new(PLATE_WEBS.id, verdict, subject, message).margin(spare, None);
    if verdict != Verdict::Sound {
        finding = finding.mend(format!(
            "Measure both again; then move the hole by {} or take a wider plate, a narrower hole or an adapter.",
            mm((limit.tight - web).max(0.05))
        ));
    }
    Some((finding, spare.get()))
}

/// A hole by the pattern or row that cuts it.
fn one(name: &str) -> String {
    if name.is_empty() { "a hole".to_owned() } else { format!("a hole of {name}") }
}

/// A hole that is drilled: the way its middle goes, and half its width.
type Way = ([[f64; 2]; 2], f64);

fn way(hole: &Hole) -> Option<Way> {
    let at = |p: &PlanePoint| [p.x, p.y];
    match hole {
        Hole::Round { centre, diameter } => Some(([at(centre), at(centre)], diameter.get() / 2.0)),
        Hole::Slot { from, to, width } => Some(([at(from), at(to)], width.get() / 2.0)),
        Hole::Polygon(_) => None,
    }
}

fn from_line(a: [f64; 2], b: [f64; 2], p: [f64; 2]) -> f64 {
    let (d, e) = ([b[0] - a[0], b[1] - a[1]], [p[0] - a[0], p[1] - a[1]]);
    let along = ((d[0] * e[0] + d[1] * e[1]) / (d[0] * d[0] + d[1] * d[1]).max(1e-12)).clamp(0.0, 1.0);
    (e[0] - along * d[0]).hypot(e[1] - along * d[1])
}

/// The air between two ways: at an end of one of them, since holes that cross are refused before.
fn apart((one, half): Way, (other, its): Way) -> f64 {
    let ends = one.map(|end| from_line(other[0], other[1], end));
    let back = other.map(|end| from_line(one[0], one[1], end));
    ends.into_iter().chain(back).fold(f64::INFINITY, f64::min) - half - its
}

/// The material between a hole and a ring of points on whose one side it must lie; negative where its middle lies on the other.
fn ring_air((way, half): Way, ring: &[[f64; 2]], inside: bool) -> f64 {
    let edges = || ring.iter().zip(ring.iter().cycle().skip(1));
    let least = edges().map(|(a, b)| {
        let ends = way.map(|end| from_line(*a, *b, end));
        let back = [*a, *b].map(|corner| from_line(way[0], way[1], corner));
        ends.into_iter().chain(back).fold(f64::INFINITY, f64::min)
    });
    let least = least.fold(f64::INFINITY, f64::min);
    let lies_right = way.iter().all(|end| in_ring(*end, ring) == inside);
    if lies_right { least - half } else { -least - half }
}

#[cfg(test)]
mod tests {
    use super::PLATE_WEBS;
    use crate::testing::set;
    use crate::testing_stack::{bay_is_sound, bay_told};
    use craft::Craft;
    use expect_test::{Expect, expect};

    fn check(spoil: impl FnOnce(&mut Craft), expected: Expect) {
        expected.assert_eq(&bay_told(&PLATE_WEBS, spoil));
    }

    #[test]
    fn plates_with_wide_webs_are_sound() {
        bay_is_sound(&PLATE_WEBS);
    }

    #[test]
    fn a_hole_too_near_the_edge_is_told() {
        check(
            |craft| set(craft, "frame.pattern[0].pitch", "36.4 mm, measured"),
            expect![[r#"
            tight · plate bottom of bay frame · -0.4 mm
              Only 0.6 mm stays between a hole of rear stack and the edge, at least 1 mm is wanted: it breaks out there
              > Measure both again; then move the hole by 0.4 mm or take a wider plate, a narrower hole or an adapter.
        "#]],
        );
        check(
            |craft| set(craft, "frame.pattern[0].pitch", "37.6 mm, measured"),
            expect![[r#"
            broken · plate bottom of bay frame · -1 mm
              Nothing stays between a hole of rear stack and the edge: they overlap by under 0.01 mm
              > Measure both again; then move the hole by 1 mm or take a wider plate, a narrower hole or an adapter.
        "#]],
        );
    }
}
