//! Does each plate keep enough material round its holes?

use crate::inputs::{NamedHole, Piece, holes_in};
use crate::limits::{CUT_WEB, Limit, PRINTED_WEB};
use crate::numbers::{capital, mm};
use crate::plate_holes::{KnownHoles, SAME, known_holes};
use crate::rule::rule;
use crate::{Answer, Finding, Placed, Proof, Verdict};
use craft::Item;
use craft::schema::{PartKind, frame};
use fit::{Drilled, Hole, PlanePoint, from_line, web_between, web_to_ring};
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
    /// doubt. Holes that follow from what is screwed there count too: those of standoffs, motors and the axis of a camera, and those of
    /// screws that pass a plate in whose drawing no hole is for them. The template draws the same. Common practice.
    ///
    /// ## Mend
    /// Move the hole, take a wider plate or a narrower hole, or an adapter.
    PLATE_WEBS = "fit.plate_webs", run
}

/// Webs this much thinner than asked still read as what is asked, in mm: sheets write hundredths.
const ROUNDED: f64 = 0.05;

fn run(proof: &Proof) -> Answer {
    let mut answer = Answer::default();
    let known = known_holes(proof);
    for placed in proof.placed() {
        if !matches!(placed.part.kind, PartKind::Frame | PartKind::Adapter) {
            continue;
        }
        let rows = placed.part.rows(&frame::plate::TABLE).enumerate();
        let plates =
            rows.filter_map(|(number, row)| plate(placed, &row, &through(proof, &known, placed, number)));
        let plates: Vec<(Finding, f64)> = plates.collect();
        let least = plates.iter().map(|(_, spare)| *spare).reduce(f64::min);
        let (sound, short): (Vec<_>, Vec<_>) =
            plates.into_iter().partition(|(finding, _)| finding.verdict == Verdict::Sound);
        // Of many sound plates the one with the thinnest web is told.
        let thinnest = sound.into_iter().min_by(|(_, a), (_, b)| a.total_cmp(b));
        let thinnest = thinnest.filter(|_| least.is_some_and(|least| least >= -ROUNDED));
        for (finding, _) in short.into_iter().chain(thinnest) {
            // The same part in several places has the same webs.
            let same = |known: &&mut Finding| {
                (&known.subject, &known.message) == (&finding.subject, &finding.message)
            };
            match answer.findings.iter_mut().find(same) {
                Some(known) => known.places.push(placed.place.id.clone()),
                None => answer.findings.push(finding.at([placed.place.id.clone()])),
            }
        }
    }
    answer
}

/// The holes that a plate of a place has or wants beside those that are listed, by what goes through.
fn through(proof: &Proof, known: &KnownHoles, placed: Placed, row: usize) -> Vec<NamedHole> {
    let piece = Piece::Row(frame::plate::TABLE.key, row);
    let number = proof.number_of(&placed.place.id);
    let solids = number.into_iter().flat_map(|number| proof.inputs().solids_of(number));
    let solid = solids.filter(|(_, solid)| solid.piece == piece).map(|(index, _)| index.0 as usize).next();
    let here = known.through.iter().filter(|hole| Some(hole.solid) == solid);
    let named = here.filter_map(|hole| {
        let centre = PlanePoint::new(hole.at[0], hole.at[1]);
        let hole_there = Hole::Round { centre, diameter: Millimetres::new(hole.diameter?) };
        Some(NamedHole { name: hole.what.clone(), hole: hole_there })
    });
    named.collect()
}

/// The thinnest web of a plate, with how much it has over what is asked; `None` where it has no hole or no outline.
fn plate(placed: Placed, row: &Item, through: &[NamedHole]) -> Option<(Finding, f64)> {
    let name = row.name()?;
    let outer = row.points(&frame::plate::OUTLINE).ok()?;
    let material = row.text(&frame::plate::MATERIAL);
    let printed = material.is_ok_and(|material| material.starts_with("printed"));
    let limit: &Limit = if printed { &PRINTED_WEB } else { &CUT_WEB };
    let mut holes = holes_in(placed.part, name);
    holes.iter_mut().filter(|hole| hole.name == "a hole without a name").for_each(|hole| hole.name.clear());
    let listed: Vec<Drilled> = holes.iter().filter_map(|hole| way(&hole.hole)).collect();
    // A hole that is listed may be the one that is known from what goes through.
    let is_new = |hole: &&NamedHole| {
        way(&hole.hole).is_some_and(|own| {
            listed.iter().all(|there| from_line(there.ends[0], there.ends[1], own.ends[0]) >= SAME)
        })
    };
    holes.extend(through.iter().filter(is_new).cloned());
    let mut thinnest: Option<(f64, String, bool)> = None;
    let mut add = |web: f64, words: &dyn Fn() -> String, is_off: bool| {
        if thinnest.as_ref().is_none_or(|(known, ..)| web < *known) {
            thinnest = Some((web, words(), is_off));
        }
    };
    for (number, hole) in holes.iter().enumerate() {
        // Windows are cut by whoever made the plate; only what is drilled is asked about.
        let Some(own) = way(&hole.hole) else { continue };
        let to_edge = web_to_ring(&own, outer, true);
        match to_edge <= -2.0 * own.half {
            true => add(to_edge, &|| format!("{} lies off the plate", one(&hole.name)), true),
            false => add(to_edge, &|| format!("{} and the edge", one(&hole.name)), false),
        }
        for (at, other) in holes.iter().enumerate() {
            let web = match (way(&other.hole), &other.hole) {
                (Some(other), _) if at > number => web_between(&own, &other),
                (None, Hole::Polygon(points)) => {
                    let ring: Vec<[f64; 2]> = points.iter().map(|p| [p.x, p.y]).collect();
                    web_to_ring(&own, &ring, false)
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

/// A hole that is drilled or milled; `None` for a window.
fn way(hole: &Hole) -> Option<Drilled> {
    let at = |p: &PlanePoint| [p.x, p.y];
    match hole {
        Hole::Round { centre, diameter } => Some(Drilled::round(at(centre), diameter.get())),
        Hole::Slot { from, to, width } => Some(Drilled { ends: [at(from), at(to)], half: width.get() / 2.0 }),
        Hole::Polygon(_) => None,
    }
}

#[cfg(test)]
mod tests {
    use super::PLATE_WEBS;
    use crate::testing::set;
    use crate::testing_stack::{arm, bay_is_sound, bay_told};
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

    #[test]
    fn the_hole_of_a_screw_that_cuts_through_the_edge_of_an_arm_is_told() {
        // The axis at x = 30, the arm's edge at 30.5, the hole 2.4 mm wide: 0.5 - 1.2.
        check(
            |craft| arm(craft, "16,-16; 30.5,-16; 30.5,16; 16,16"),
            expect![[r#"
                broken · plate arm of bay frame · -1.7 mm
                  Nothing stays between a hole of fc-screws, M2 and the edge: they overlap by 0.7 mm
                  > Measure both again; then move the hole by 1.7 mm or take a wider plate, a narrower hole or an adapter.
            "#]],
        );
    }

    #[test]
    fn the_hole_of_a_standoff_counts_though_nobody_lists_it() {
        check(
            |craft| set(craft, "frame.standoff[0].x", "-38 mm, measured"),
            expect![[r#"
            tight · plate bottom of bay frame · -0.7 mm
              Only 0.3 mm stays between a hole of rear left standoff, M3 and the edge, at least 1 mm is wanted: it breaks out there
              > Measure both again; then move the hole by 0.7 mm or take a wider plate, a narrower hole or an adapter.
            tight · plate top of bay frame · -0.7 mm
              Only 0.3 mm stays between a hole of rear left standoff, M3 and the edge, at least 1 mm is wanted: it breaks out there
              > Measure both again; then move the hole by 0.7 mm or take a wider plate, a narrower hole or an adapter.
        "#]],
        );
    }
}
