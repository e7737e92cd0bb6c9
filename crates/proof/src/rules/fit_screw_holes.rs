//! Has every plate that a screw passes a hole for it?

use crate::names::called;
use crate::numbers::{listed, mm};
use crate::plate_holes::plate_row;
use crate::rule::rule;
use crate::subject::{Layers, Undrawn};
use crate::{Answer, Finding, Proof, Verdict};
use craft::schema::{PartKind, fixing};
use fit::{Thread, clearance_hole};
use quantity::decimal;

rule! {
    /// Has every plate that a screw passes a hole for it?
    ///
    /// ## Why
    /// A screw that is long enough for the plate in the drawing does not come through the arm under it, and an arm without a hole is
    /// noticed when the stack is half built.
    ///
    /// ## Sound when
    /// Each plate of a frame, an adapter or a print that a screw meets on its way has a hole within 1.5 mm of its axis. Where the drawing has none
    /// it is unknown: the plate may have a hole that nobody entered, or it is still to be drilled. Its grip counts in either case, and
    /// `fit.plate_webs` says whether there is room for the hole.
    ///
    /// ## Rests on
    /// Where screws stand, how long they are, and the outlines and holes of plates as they are entered. Screws in motors, standoffs and
    /// the sides of a camera are not asked about: their holes follow from those, and the template draws them. Nor is a plate that a print is
    /// screwed to, which is to be drilled with the print.
    ///
    /// ## Mend
    /// Enter the hole if the plate has it; else drill it by the template.
    SCREW_HOLES = "fit.screw_holes", run
}

fn run(proof: &Proof) -> Answer {
    let mut answer = Answer::default();
    let undrawn = Layers::of(proof).undrawn(proof);
    let screws: Vec<_> = proof.places_of(PartKind::Screw).collect();
    for screw in &screws {
        let spots: Vec<&Undrawn> =
            undrawn.iter().filter(|one| one.screw.place.id == screw.place.id).collect();
        if spots.is_empty() {
            continue;
        }
        let mut plates: Vec<String> = Vec::new();
        let mut holes: Vec<String> = Vec::new();
        let mut places = vec![screw.place.id.clone()];
        for spot in &spots {
            let solid = &proof.inputs().solids[spot.solid];
            let row = plate_row(proof.craft, solid);
            let name = row.as_ref().and_then(|row| row.name()).unwrap_or(&solid.solid.name).to_owned();
            let [x, y] = spot.at.map(|at| decimal(at, 1));
            holes.push(format!("{name} ({x}, {y})"));
            if !plates.contains(&name) {
                plates.push(name);
            }
            let place = &proof.craft.places[solid.place].id;
            if !places.contains(place) {
                places.push(place.clone());
            }
        }
        let of_plates: Vec<&str> = plates.iter().map(String::as_str).collect();
        let message =
            format!("{} passes {}, where no hole for it is drawn", screw.part.name, listed(&of_plates));
        let thread = screw.part.item().text(&fixing::THREAD).ok().and_then(Thread::named);
        let wide = thread.and_then(|thread| clearance_hole(&thread));
        let wide = wide.map_or(String::new(), |hole| format!(" of {}", mm(hole.medium.get())));
        let these: Vec<&str> = holes.iter().map(String::as_str).collect();
        let mend = format!(
            "Enter the holes{wide} if the plates have them, else drill them by the template. Their middles in the outlines, in mm: {}.",
            listed(&these)
        );
        let finding =
            Finding::new(SCREW_HOLES.id, Verdict::Unknown, called(proof, *screw), message).mend(mend);
        answer.findings.push(finding.at(places));
    }
    if answer.findings.is_empty() && !screws.is_empty() {
        let message = "Every plate that a screw passes has a hole for it";
        answer.findings.push(Finding::new(
            SCREW_HOLES.id,
            Verdict::Sound,
            "plates that screws pass",
            message,
        ));
    }
    answer
}

#[cfg(test)]
mod tests {
    use super::SCREW_HOLES;
    use crate::testing::row;
    use crate::testing_stack::{arm, bay_is_sound, bay_told};
    use craft::Craft;
    use expect_test::{Expect, expect};

    fn check(spoil: impl FnOnce(&mut Craft), expected: Expect) {
        expected.assert_eq(&bay_told(&SCREW_HOLES, spoil));
    }

    #[test]
    fn a_craft_whose_plates_have_their_holes_is_sound() {
        bay_is_sound(&SCREW_HOLES);
    }

    #[test]
    fn an_arm_without_holes_under_two_screws_of_a_stack_is_told_once() {
        check(
            |craft| arm(craft, "16,-16; 34,-16; 34,16; 16,16"),
            expect![[r#"
            unknown · M2×10 at fc-screws
              M2×10 passes arm, where no hole for it is drawn
              > Enter the holes of 2.4 mm if the plates have them, else drill them by the template. Their middles in the outlines, in mm: arm (30.0, 10.0) and arm (30.0, -10.0).
        "#]],
        );
    }

    #[test]
    fn an_arm_with_its_holes_is_sound() {
        check(
            |craft| {
                arm(craft, "16,-16; 34,-16; 34,16; 16,16");
                for v in ["10 mm, measured", "-10 mm, measured"] {
                    let hole = [
                        ("plate", "arm"),
                        ("u", "30 mm, measured"),
                        ("v", v),
                        ("diameter", "2.4 mm, measured"),
                    ];
                    row(craft, "frame", "hole", &hole);
                }
            },
            expect![[r#""#]],
        );
    }
}
