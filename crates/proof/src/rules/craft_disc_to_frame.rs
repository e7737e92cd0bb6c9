//! Do the blade tips pass each other and their ducts?

use crate::limits::{DISC_GAP, DUCT_GAP, DUCT_GAP_MOULDED_SHARE};
use crate::numbers::mm;
use crate::rule::rule;
use crate::standing::{Standing, standing_of_all};
use crate::subject::{Stand, apart, drives, motor_layout};
use crate::working::Lines;
use crate::{Answer, Finding, Proof, Verdict};
use craft::schema::{PartKind, drive, frame, shape};
use craft::{Anchor, CraftClass, Item, Missing};
use quantity::{Linear, Source, Unit};

rule! {
    /// Do the blade tips pass each other and their ducts?
    ///
    /// ## Why
    /// Arms flex and blades stretch as they turn. Tips that meet at 100 m/s take the arm along.
    ///
    /// ## Sound when
    /// The discs of neighbouring motors pass at least 2 mm apart, and every tip passes 2 mm from its duct; under
    /// 1 mm it is broken. A moulded duct, which is round and stiff, may come as near as 0.8 % of the blade
    /// diameter; nearer is tight, touching is broken. Motors one above the other are left out.
    ///
    /// ## Rests on
    /// Where the motors stand, the diameter of their blades, and the bore of the ducts. Common practice.
    ///
    /// ## Mend
    /// Smaller blades, or longer arms.
    DISCS_PASS = "craft.disc_to_frame", run
}

/// A gap between two things, as it follows the facts.
struct Passing {
    subject: String,
    gap: Linear,
    stands: Vec<usize>,
    /// Who passes whom, in words.
    words: String,
}

fn run(proof: &Proof) -> Answer {
    let mut answer = Answer::default();
    let with_blades = || drives(proof).into_iter().filter(|drive| drive.blades.is_some());
    let missing: Vec<Missing> = {
        let mut missing: Vec<Missing> = with_blades()
            .filter_map(|drive| drive.blades?.part.item().read(&drive::DIAMETER).err())
            .collect();
        missing.sort();
        missing.dedup();
        missing
    };
    let places = with_blades().map(|drive| drive.motor.place.id.clone());
    if !missing.is_empty() {
        return Answer::of(Finding::unknown(DISCS_PASS.id, "blade tips", missing).at(places));
    }
    let Some(layout) = motor_layout(proof) else {
        if with_blades().next().is_none() {
            return answer;
        }
        let finding = Finding::new(
            DISCS_PASS.id,
            Verdict::Unknown,
            "blade tips",
            "Nobody can say yet: a motor stands nowhere",
        )
        .mend("Seat every motor on a motor mount of the frame.");
        return Answer::of(finding.at(places));
    };
    let neighbours = neighbours(proof, &layout);
    judge(proof, &layout, &neighbours, (DISC_GAP.tight, DISC_GAP.broken), "craft.disc_gap", &mut answer);
    let ducts = ducts(proof, &layout);
    let least_diameter = layout
        .iter()
        .filter_map(|stand| diameter(proof, stand))
        .map(|d| d.value)
        .fold(f64::INFINITY, f64::min);
    let limit = if moulded(proof) {
        (DUCT_GAP_MOULDED_SHARE / 100.0 * least_diameter, 0.0)
    } else {
        (DUCT_GAP.tight, DUCT_GAP.broken)
    };
    judge(proof, &layout, &ducts, limit, "craft.duct_gap", &mut answer);
    answer
}

fn diameter(proof: &Proof, stand: &Stand) -> Option<Linear> {
    let blades = stand.drive.blades?;
    blades.part.item().read(&drive::DIAMETER).ok().map(|diameter| proof.lean(&diameter))
}

/// The gap between the discs of motors that stand next to each other.
fn neighbours(proof: &Proof, layout: &[Stand]) -> Vec<Passing> {
    let count = layout.len();
    let pairs = if count == 2 { 1 } else { count };
    (0..pairs)
        .filter_map(|i| {
            let (a, b) = (layout.get(i)?, layout.get((i + 1) % count)?);
            let (ours, theirs) = (diameter(proof, a)?, diameter(proof, b)?);
            let apart = apart(a, b);
            let gap = &apart - &((&ours + &theirs) * 0.5);
            let (a, b) = (&a.motor().place.id, &b.motor().place.id);
            (count > 1 && apart.value > 1.0).then(|| Passing {
                subject: "blade tips of neighbouring motors".to_owned(),
                gap,
                stands: vec![i, (i + 1) % count],
                words: format!("Blade tips of {a} and {b}"),
            })
        })
        .collect()
}

/// The gap between each motor's blades and the duct round them, where there is one.
fn ducts(proof: &Proof, layout: &[Stand]) -> Vec<Passing> {
    layout
        .iter()
        .enumerate()
        .filter_map(|(i, stand)| {
            let gap = (duct_room(proof, stand)? - diameter(proof, stand)?) * 0.5;
            let motor = &stand.motor().place.id;
            Some(Passing {
                subject: "blade tips in their ducts".to_owned(),
                gap,
                stands: vec![i],
                words: format!("The blade tips of {motor} and its duct"),
            })
        })
        .collect()
}

/// The width free for blades in the duct round a motor: its bore, less twice what it is off centre.
fn duct_room(proof: &Proof, stand: &Stand) -> Option<Linear> {
    let Some(Anchor::Feature(holder, name)) = &stand.motor().place.on else { return None };
    let part = proof.craft.part_at(proof.craft.place(holder)?)?;
    let mount = part.row_named(&frame::motor_mount::TABLE, name)?;
    if let Ok(bore) = mount.read(&frame::motor_mount::DUCT_BORE) {
        return Some(proof.lean(&bore));
    }
    let at = |row: &Item, field| row.read(field).map(|reading| proof.lean(&reading)).ok();
    let (x, y) = (at(&mount, &shape::X)?, at(&mount, &shape::Y)?);
    part.rows(&frame::duct::TABLE)
        .filter_map(|duct| {
            let bore = proof.lean(&duct.read(&frame::duct::BORE).ok()?);
            let (dx, dy) = (at(&duct, &shape::X)? - x.clone(), at(&duct, &shape::Y)? - y.clone());
            let off = dx.value.hypot(dy.value);
            if off > bore.value / 2.0 {
                return None; // Another motor's duct.
            }
            let off = if off > 0.0 {
                Linear::chained(off, &[(dx.value / off, &dx), (dy.value / off, &dy)])
            } else {
                Linear::exact(0.0)
            };
            Some(bore - off * 2.0)
        })
        .min_by(|a, b| a.value.total_cmp(&b.value))
}

/// Whether the frame is moulded: it says so, or it is of a class that always is.
fn moulded(proof: &Proof) -> bool {
    let says = |item: Item| item.text(&frame::plate::MATERIAL) == Ok("moulded plastic");
    matches!(proof.craft.class, Some(CraftClass::Ducted65 | CraftClass::Ducted75 | CraftClass::Ducted85))
        || proof.places_of(PartKind::Frame).any(|frame| frame.part.rows(&frame::plate::TABLE).any(says))
}

fn judge(
    proof: &Proof,
    layout: &[Stand],
    passing: &[Passing],
    (tight, broken): (f64, f64),
    figure: &'static str,
    answer: &mut Answer,
) {
    let Some(nearest) = passing.iter().min_by(|a, b| a.gap.value.total_cmp(&b.gap.value)) else { return };
    let margins: Vec<Linear> = passing.iter().map(|one| &one.gap - broken).collect();
    let Some(standing) = standing_of_all(proof, &margins, tight - broken, Unit::Millimetres) else { return };
    let finding = words(nearest, standing, (tight, broken));
    let figure = Lines::of(proof).facts(&nearest.gap).figure(
        figure,
        if figure == "craft.disc_gap" {
            "least gap between blade tips"
        } else {
            "least gap between a blade tip and its duct"
        },
        (&nearest.gap, Unit::Millimetres),
        if figure == "craft.disc_gap" {
            "gap = √(Δx² + Δy²) between the motors − (blade diameter + blade diameter)/2"
        } else {
            "gap = (bore of the duct − blade diameter)/2 − how far the duct is off the motor's axis"
        },
        Source::common_practice("blade tips keep clear of each other and of their ducts"),
    );
    let places = nearest
        .stands
        .iter()
        .filter_map(|stand| layout.get(*stand))
        .map(|stand| stand.motor().place.id.clone());
    let mut finding = finding.at(places);
    finding.figure = Some(figure.id.clone());
    answer.findings.push(finding);
    answer.figures.push(figure);
}

fn words(nearest: &Passing, standing: Standing, (tight, broken): (f64, f64)) -> Finding {
    let gap = nearest.gap.value;
    let verdict = standing.verdict;
    let message = if gap < 0.0 {
        format!("{} meet: they overlap by {}", nearest.words, mm(-gap))
    } else if verdict == Verdict::Sound {
        format!("{} pass {} apart, nearest of all", nearest.words, mm(gap))
    } else {
        let sure = if standing.certainty.get() < 1.0 && gap >= broken {
            format!(", and {} is {} likely", mm(broken), standing.certainty)
        } else {
            String::new()
        };
        format!("{} pass {} apart; {} is wanted{sure}", nearest.words, mm(gap), mm(tight))
    };
    let finding = standing.finding(DISCS_PASS.id, nearest.subject.clone(), message);
    if verdict == Verdict::Sound {
        return finding;
    }
    // Two discs share the gap: each may shrink by what is short; in a duct both sides of one disc gain.
    let short = (tight - gap).max(0.0);
    let smaller = if nearest.stands.len() == 2 { short } else { 2.0 * short };
    if smaller > 0.0 {
        finding.mend(format!(
            "Fit blades {} smaller in diameter, or a frame with that much more room.",
            mm(smaller)
        ))
    } else {
        finding.mend("Measure before you fly; if the doubt stays, fit smaller blades.")
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use crate::testing::{figures, is_sound, names_missing, set, told};
    use craft::Craft;
    use expect_test::{Expect, expect};

    fn check(spoil: impl FnOnce(&mut Craft), expected: Expect) {
        expected.assert_eq(&told(&DISCS_PASS, spoil));
    }

    fn blades(craft: &mut Craft, diameter: &str) {
        set(craft, "cw.diameter", diameter);
        set(craft, "ccw.diameter", diameter);
    }

    fn duct_bores(craft: &mut Craft, bore: &str) {
        for mount in 0..4 {
            set(craft, &format!("frame.motor_mount[{mount}].duct_bore"), bore);
        }
    }

    #[test]
    fn small_blades_on_long_arms_are_sound() {
        is_sound(&DISCS_PASS);
    }

    #[test]
    fn blades_that_meet_are_broken() {
        check(
            |craft| blades(craft, "102 mm, measured"),
            expect![[r#"
            broken · blade tips of neighbouring motors · -3 mm · 0 %
              Blade tips of m-rr and m-fr meet: they overlap by 2 mm
              > Fit blades 4 mm smaller in diameter, or a frame with that much more room.
        "#]],
        );
    }

    #[test]
    fn blades_that_pass_closely_are_tight() {
        check(
            |craft| blades(craft, "98.5 mm, measured"),
            expect![[r#"
            tight · blade tips of neighbouring motors · 0.5 mm · 100 %
              Blade tips of m-rr and m-fr pass 1.5 mm apart; 2 mm is wanted
              > Fit blades 0.5 mm smaller in diameter, or a frame with that much more room.
        "#]],
        );
    }

    #[test]
    fn a_duct_wants_room_too() {
        check(
            |craft| duct_bores(craft, "77 mm, measured"),
            expect![[r#"
            broken · blade tips in their ducts · -0.6 mm · 0 %
              The blade tips of m-rr and its duct pass 0.4 mm apart; 2 mm is wanted
              > Fit blades 3.2 mm smaller in diameter, or a frame with that much more room.
            sound · blade tips of neighbouring motors · 22.8 mm · 100 %
              Blade tips of m-rr and m-fr pass 23.8 mm apart, nearest of all
        "#]],
        );
    }

    #[test]
    fn a_moulded_duct_may_come_nearer() {
        let moulded = |bore: &'static str| {
            move |craft: &mut Craft| {
                craft.class = Some(CraftClass::Ducted75);
                blades(craft, "40 mm ± 0.05, measured");
                duct_bores(craft, bore);
            }
        };
        check(
            moulded("41 mm ± 0.1, measured"),
            expect![[r#"
            sound · blade tips of neighbouring motors · 59 mm · 100 %
              Blade tips of m-rr and m-fr pass 60 mm apart, nearest of all
            sound · blade tips in their ducts · 0.5 mm · 100 %
              The blade tips of m-rr and its duct pass 0.5 mm apart, nearest of all
        "#]],
        );
        check(
            moulded("40.4 mm ± 0.1, measured"),
            expect![[r#"
            tight · blade tips in their ducts · 0.2 mm · 100 %
              The blade tips of m-rr and its duct pass 0.2 mm apart; 0.32 mm is wanted
              > Fit blades 0.24 mm smaller in diameter, or a frame with that much more room.
            sound · blade tips of neighbouring motors · 59 mm · 100 %
              Blade tips of m-rr and m-fr pass 60 mm apart, nearest of all
        "#]],
        );
        check(
            moulded("39.8 mm ± 0.1, measured"),
            expect![[r#"
            broken · blade tips in their ducts · -0.1 mm · 0 %
              The blade tips of m-rr and its duct meet: they overlap by 0.1 mm
              > Fit blades 0.84 mm smaller in diameter, or a frame with that much more room.
            sound · blade tips of neighbouring motors · 59 mm · 100 %
              Blade tips of m-rr and m-fr pass 60 mm apart, nearest of all
        "#]],
        );
    }

    #[test]
    fn unknown_diameters_are_named() {
        names_missing(&DISCS_PASS, "cw.diameter", "blade tips", r#"diameter of "3-inch blades, clockwise""#);
    }

    #[test]
    fn a_motor_that_stands_nowhere_leaves_it_unknown() {
        check(
            |craft| {
                craft
                    .places
                    .iter_mut()
                    .filter(|place| place.id.as_str() == "m-fl")
                    .for_each(|place| place.on = None)
            },
            expect![[r#"
                unknown · blade tips
                  Nobody can say yet: a motor stands nowhere
                  > Seat every motor on a motor mount of the frame.
            "#]],
        );
    }

    #[test]
    fn the_working_names_the_nearest_pair() {
        expect![[r#"
            craft.disc_gap: least gap between blade tips = 23.8 ± 0.091 mm (measured)
              gap = √(Δx² + Δy²) between the motors − (blade diameter + blade diameter)/2
              x of motor mount "front right" of "Wheatear frame" = 50 ± 0.058 mm · measured
              x of motor mount "rear right" of "Wheatear frame" = -50 ± 0.058 mm · measured
              diameter of "3-inch blades, clockwise" = 76.2 ± 0.058 mm · measured
              diameter of "3-inch blades, anticlockwise" = 76.2 ± 0.058 mm · measured
              common practice: blade tips keep clear of each other and of their ducts
        "#]]
        .assert_eq(&figures(&DISCS_PASS));
    }
}
