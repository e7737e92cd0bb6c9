//! Is the craft what its class usually is?

use crate::classes::{BLADE_SHARE, ClassRow, class_row};
use crate::numbers::{cells_word, grams, listed, mm, rounded};
use crate::rule::rule;
use crate::subject::{Drive, all_up_mass, drives, of_each_part};
use crate::{Answer, Finding, Placed, Proof, Verdict};
use craft::schema::{PartKind, drive};
use quantity::Grams;

rule! {
    /// Is the craft what its class usually is?
    ///
    /// ## Why
    /// Advice for a class (thrust, tilt, flight time, what video it carries) rests on what craft of it usually
    /// are. Far outside, it does not fit; often a mass or a size was mistyped.
    ///
    /// ## Sound when
    /// Mass with pack, blade diameter (within 6 %) and cells lie in the usual range of the class that is named.
    /// Outside it is tight: nothing forbids it.
    ///
    /// ## Rests on
    /// The class of the craft, the mass of every part that flies, blade diameter and cells. Common practice.
    ///
    /// ## Mend
    /// Look the facts over, or name the class that fits.
    SUITS_CLASS = "craft.suits_class", run
}

fn run(proof: &Proof) -> Answer {
    let Some(row) = proof.craft.class.and_then(class_row) else { return Answer::default() };
    let packs = of_each_part(proof.places_of(PartKind::Pack));
    let findings = [class_mass(proof, row), class_blades(&drives(proof), row), class_cells(&packs, row)];
    Answer { findings: findings.into_iter().flatten().collect(), figures: Vec::new() }
}

/// A finding about the class: sound inside its range, tight outside.
fn of_class(inside: bool, row: &ClassRow, what: &str, is: String, usual: String) -> Finding {
    let subject = what.to_owned();
    let class = row.class.plain();
    if inside {
        return Finding::new(
            SUITS_CLASS.id,
            Verdict::Sound,
            subject,
            format!("{is}, as is usual for {class}"),
        );
    }
    let message = format!(
        "{is}, but craft of its class ({class}) usually have {usual}: advice for the class may not fit it"
    );
    Finding::new(SUITS_CLASS.id, Verdict::Tight, subject, message)
        .mend("Look the facts over, or name the class that fits.")
}

/// The mass against the class, once every mass is known; until then the rules that need it ask for them.
fn class_mass(proof: &Proof, row: &ClassRow) -> Option<Finding> {
    if proof.places_of(PartKind::Pack).next().is_none() || proof.places_of(PartKind::Motor).next().is_none() {
        return None; // Half a craft weighs what it weighs.
    }
    let mass = Grams::new(all_up_mass(proof).whole().ok()?.value);
    let (least, most) = row.mass;
    let inside = (least..=most).contains(&mass);
    let usual = format!("{} to {}", rounded(least.get(), 0), grams(most.get()));
    let finding =
        of_class(inside, row, "mass", format!("It weighs {} with its pack", grams(mass.get())), usual);
    Some(if mass > most {
        finding.mend(format!("Or take {} off.", grams((mass - most).get().ceil())))
    } else {
        finding
    })
}

fn class_blades(drives: &[Drive], row: &ClassRow) -> Option<Finding> {
    let mut sizes: Vec<f64> = drives
        .iter()
        .filter_map(|drive| drive.blades?.part.item().read(&drive::DIAMETER).ok())
        .map(|diameter| diameter.value.get())
        .collect();
    sizes.sort_by(f64::total_cmp);
    sizes.dedup();
    let usual = row.blades.get();
    let odd = sizes.iter().copied().find(|size| (size / usual - 1.0).abs() > BLADE_SHARE);
    let told: Vec<String> = sizes.iter().map(|size| mm(*size)).collect();
    (!sizes.is_empty()).then(|| {
        of_class(odd.is_none(), row, "blades", format!("Its blades are {} across", listed(&told)), mm(usual))
    })
}

fn class_cells(packs: &[Placed], row: &ClassRow) -> Option<Finding> {
    let cells: Vec<u32> =
        packs.iter().filter_map(|pack| pack.part.item().count(&drive::CELLS).ok()).collect();
    let (least, most) = row.cells;
    let inside = cells.iter().all(|count| (least..=most).contains(count));
    let told: Vec<String> = cells.iter().map(|count| format!("{count} {}", cells_word(*count))).collect();
    let usual = if least == most {
        format!("{most} {}", cells_word(most))
    } else {
        format!("{least} to {most} cells")
    };
    (!cells.is_empty())
        .then(|| of_class(inside, row, "cells", format!("Its pack has {}", listed(&told)), usual))
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use crate::testing::{is_sound, remove_place, set, told};
    use craft::{Craft, CraftClass};
    use expect_test::{Expect, expect};

    fn check(spoil: impl FnOnce(&mut Craft), expected: Expect) {
        expected.assert_eq(&told(&SUITS_CLASS, spoil));
    }

    #[test]
    fn a_usual_craft_of_its_class_is_sound() {
        is_sound(&SUITS_CLASS);
    }

    #[test]
    fn a_craft_of_another_class_is_tight() {
        check(
            |craft| craft.class = Some(CraftClass::Open5),
            expect![[r#"
            tight · mass
              It weighs 174 g with its pack, but craft of its class (5-inch, open) usually have 520 to 760 g: advice for the class may not fit it
              > Look the facts over, or name the class that fits.
            tight · blades
              Its blades are 76.2 mm across, but craft of its class (5-inch, open) usually have 127 mm: advice for the class may not fit it
              > Look the facts over, or name the class that fits.
            sound · cells
              Its pack has 4 cells, as is usual for 5-inch, open
        "#]],
        );
    }

    #[test]
    fn a_heavy_craft_is_told_how_much_to_lose() {
        check(
            |craft| set(craft, "frame.mass", "80 g, measured"),
            expect![[r#"
            tight · mass
              It weighs 212 g with its pack, but craft of its class (3-inch, open) usually have 110 to 190 g: advice for the class may not fit it
              > Look the facts over, or name the class that fits.
              > Or take 22 g off.
            sound · blades
              Its blades are 76.2 mm across, as is usual for 3-inch, open
            sound · cells
              Its pack has 4 cells, as is usual for 3-inch, open
        "#]],
        );
    }

    #[test]
    fn odd_cells_and_blades_are_told() {
        check(
            |craft| {
                set(craft, "pack.cells", "1");
                set(craft, "cw.diameter", "89 mm");
            },
            expect![[r#"
                tight · blades
                  Its blades are 76.2 mm and 89 mm across, but craft of its class (3-inch, open) usually have 76.2 mm: advice for the class may not fit it
                  > Look the facts over, or name the class that fits.
                tight · cells
                  Its pack has 1 cell, but craft of its class (3-inch, open) usually have 3 to 4 cells: advice for the class may not fit it
                  > Look the facts over, or name the class that fits.
                sound · mass
                  It weighs 174 g with its pack, as is usual for 3-inch, open
            "#]],
        );
    }

    #[test]
    fn half_a_craft_is_not_weighed() {
        check(
            |craft| remove_place(craft, "pack"),
            expect![[r#"
            sound · blades
              Its blades are 76.2 mm across, as is usual for 3-inch, open
        "#]],
        );
    }

    #[test]
    fn without_a_class_nothing_is_said() {
        check(|craft| craft.class = None, expect![[r#""#]]);
    }
}
