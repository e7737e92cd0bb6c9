//! Do bare conductors keep off carbon?

use super::fit_pair_clearance::{room, witness};
use crate::inputs::NearPair;
use crate::limits::PAD_TO_CARBON;
use crate::numbers::mm;
use crate::rule::rule;
use crate::standing::standing;
use crate::working::Lines;
use crate::{Answer, Finding, Proof, Verdict};
use craft::schema::place as place_schema;
use fit::{Role, SolidIndex};
use quantity::{FigureId, Unit};
use std::collections::BTreeMap;

rule! {
    /// Do bare conductors keep off carbon?
    ///
    /// ## Why
    /// Carbon conducts. A pad that touches it puts the pack's voltage on the whole frame: a short, stray supply, a
    /// dead video unit.
    ///
    /// ## Sound when
    /// Every bare pad keeps 1.5 mm from every carbon plate, or an insulating sheet is said to lie between. Under
    /// 1.5 mm it is tight, under 0.5 mm broken.
    ///
    /// ## Rests on
    /// Where the pads are and how far the board stands off, each with its doubt. Limits are common practice.
    ///
    /// ## Mend
    /// Lay an insulating sheet between and say so at the place, or put a 1 mm washer under the board.
    CARBON_SHORT = "fit.carbon_short", run
}

fn run(proof: &Proof) -> Answer {
    let mut answer = Answer::default();
    let Ok(near) = proof.near_pairs() else { return answer };
    let solids = &proof.inputs().solids;
    // Of several pads of one part over one plate the nearest speaks for all.
    let mut nearest: BTreeMap<(usize, SolidIndex), (&NearPair, usize)> = BTreeMap::new();
    for pair in near {
        let roles = [pair.clearance.a, pair.clearance.b].map(|index| solids[index.0 as usize].solid.role);
        let (pad, plate) = match roles {
            [Role::BareConductor, Role::CarbonPlate] => (pair.clearance.a, pair.clearance.b),
            [Role::CarbonPlate, Role::BareConductor] => (pair.clearance.b, pair.clearance.a),
            _ => continue,
        };
        let key = (solids[pad.0 as usize].place, plate);
        let (known, count) = nearest.get(&key).copied().unwrap_or((pair, 0));
        let nearer = pair.clearance.gap.distance < known.clearance.gap.distance;
        nearest.insert(key, (if nearer { pair } else { known }, count + 1));
    }
    let has = |role| solids.iter().any(|s| s.solid.role == role);
    if nearest.is_empty() && has(Role::BareConductor) && has(Role::CarbonPlate) {
        let message = "No bare conductor comes near carbon";
        answer.findings.push(Finding::new(
            CARBON_SHORT.id,
            Verdict::Sound,
            "bare conductors and carbon",
            message,
        ));
    }
    for (pair, count) in nearest.into_values() {
        judge(proof, pair, count, &mut answer);
    }
    answer
}

fn judge(proof: &Proof, pair: &NearPair, count: usize, answer: &mut Answer) {
    let of = [pair.clearance.a, pair.clearance.b].map(|index| &proof.inputs().solids[index.0 as usize]);
    let (pad, plate) = if of[0].solid.role == Role::BareConductor { (of[0], of[1]) } else { (of[1], of[0]) };
    let places = [pad, plate].map(|s| proof.craft.places[s.place].id.clone());
    let (name, carbon) = (&pad.solid.name, &plate.solid.name);
    let subject = format!("{name} and {carbon}");
    let distance = pair.clearance.gap.distance.get();
    let insulated = proof.craft.places[pad.place].item().flag(&place_schema::INSULATED) == Ok(true);
    if insulated && distance >= 0.0 {
        let message = format!("An insulating sheet lies between {name} and {carbon}");
        let finding = Finding {
            witness: Some(witness(pair)),
            ..Finding::new(CARBON_SHORT.id, Verdict::Sound, subject, message)
        };
        answer.findings.push(finding.at(places));
        return;
    }
    let judged = standing(proof, &pair.clearance.gap.linear, &PAD_TO_CARBON);
    let verdict = judged.verdict;
    let others = match count {
        1 => String::new(),
        2 => ", and another pad of the same part is near it".to_owned(),
        more => format!(", and {} more pads of the same part are near it", more - 1),
    };
    let message = match verdict {
        Verdict::Sound => format!("{name} keeps {} from {carbon}", mm(distance)),
        _ if distance < -0.005 => {
            format!("{name} stands {} inside {carbon}, which conducts{others}", mm(-distance))
        }
        _ if distance <= 0.005 => format!("{name} touches {carbon}, which conducts{others}"),
        _ => format!("{name} is {} from {carbon}: it may touch carbon, which conducts{others}", mm(distance)),
    };
    let id = format!("fit.pad_gap[{name}|{carbon}]");
    answer.figures.push(Lines::of(proof).facts(&pair.clearance.gap.linear).figure(
        id.clone(),
        "air between a bare conductor and carbon",
        (&pair.clearance.gap.linear, Unit::Millimetres),
        "nearest distance of the bare conductor to the carbon plate",
        PAD_TO_CARBON.source,
    ));
    let mut finding = judged.finding(CARBON_SHORT.id, subject, message);
    if verdict != Verdict::Sound {
        if let Some(advice) = &finding.measure_next {
            let measure = format!("Measure the {} first: it decides.", advice.label);
            finding = finding.mend(measure);
        }
        if !insulated {
            finding = finding.mend("Lay an insulating sheet between, and say so at the place.");
        }
        finding = finding.mend(room(proof, pair, of));
    }
    finding.figure = Some(FigureId(id.into()));
    finding.witness = Some(witness(pair));
    answer.findings.push(finding.at(places));
}

#[cfg(test)]
mod tests {
    use super::CARBON_SHORT;
    use crate::testing::{row, set};
    use crate::testing_stack::{bay_is_sound, bay_told, bay_told_of};
    use craft::Craft;
    use expect_test::{Expect, expect};

    fn check(spoil: impl FnOnce(&mut Craft), expected: Expect) {
        expected.assert_eq(&bay_told(&CARBON_SHORT, spoil));
    }

    #[test]
    fn pads_that_keep_off_carbon_are_sound() {
        bay_is_sound(&CARBON_SHORT);
        // The pad hangs 0.5 mm under a board seated 3 mm up: 2.5 mm.
        expect![[r#"
            sound · pad supply of flight controller and plate bottom of bay frame · 2 mm · 100 %
              pad supply of flight controller keeps 2.5 mm from plate bottom of bay frame
        "#]]
        .assert_eq(&bay_told_of(&CARBON_SHORT, "", |_| {}));
    }

    #[test]
    fn a_pad_near_carbon_is_tight_and_then_broken() {
        // 1 mm of air, then 0.2 mm, then 0.5 mm deep in the plate.
        check(
            |craft| set(craft, "place fc.z", "1.5 mm, measured"),
            expect![[r#"
            tight · pad supply of flight controller and plate bottom of bay frame · 0.5 mm · 100 %
              pad supply of flight controller is 1 mm from plate bottom of bay frame: it may touch carbon, which conducts
              > Lay an insulating sheet between, and say so at the place.
              > Raise flight controller by 0.5 mm, with a spacer.
        "#]],
        );
        check(
            |craft| set(craft, "place fc.z", "0.7 mm, measured"),
            expect![[r#"
            broken · pad supply of flight controller and plate bottom of bay frame · -0.3 mm · 1 %
              pad supply of flight controller is 0.2 mm from plate bottom of bay frame: it may touch carbon, which conducts
              > Lay an insulating sheet between, and say so at the place.
              > Raise flight controller by 1.3 mm, with a spacer.
        "#]],
        );
        check(
            |craft| set(craft, "place fc.z", "0 mm, measured"),
            expect![[r#"
            broken · pad supply of flight controller and plate bottom of bay frame · -1 mm · 0 %
              pad supply of flight controller stands 0.5 mm inside plate bottom of bay frame, which conducts
              > Lay an insulating sheet between, and say so at the place.
              > Raise flight controller by 2 mm, with a spacer.
        "#]],
        );
    }

    #[test]
    fn a_sheet_between_makes_it_sound_unless_the_pad_stands_in_the_plate() {
        let told = bay_told_of(&CARBON_SHORT, "supply", |craft| {
            set(craft, "place fc.z", "0.7 mm, measured");
            set(craft, "place fc.insulated", "yes");
        });
        expect![[r#"
            sound · pad supply of flight controller and plate bottom of bay frame
              An insulating sheet lies between pad supply of flight controller and plate bottom of bay frame
        "#]]
        .assert_eq(&told);
        check(
            |craft| {
                set(craft, "place fc.z", "0 mm, measured");
                set(craft, "place fc.insulated", "yes");
            },
            expect![[r#"
                broken · pad supply of flight controller and plate bottom of bay frame · -1 mm · 0 %
                  pad supply of flight controller stands 0.5 mm inside plate bottom of bay frame, which conducts
                  > Raise flight controller by 1.5 mm, with a spacer.
            "#]],
        );
    }

    #[test]
    fn several_pads_over_one_plate_are_one_finding() {
        check(
            |craft| {
                set(craft, "place fc.z", "1.5 mm, measured");
                for y in ["0 mm, measured", "6 mm, measured"] {
                    let pad = [
                        ("y", y),
                        ("z", "-0.15 mm, measured"),
                        ("length", "2 mm, measured"),
                        ("width", "2 mm, measured"),
                        ("height", "0.3 mm, measured"),
                    ];
                    row(craft, "fc", "pad", &pad);
                }
            },
            expect![[r#"
                tight · pad supply of flight controller and plate bottom of bay frame · 0.5 mm · 100 %
                  pad supply of flight controller is 1 mm from plate bottom of bay frame: it may touch carbon, which conducts, and 2 more pads of the same part are near it
                  > Lay an insulating sheet between, and say so at the place.
                  > Raise flight controller by 0.5 mm, with a spacer.
            "#]],
        );
    }

    #[test]
    fn glass_fibre_does_not_conduct() {
        let told = bay_told_of(&CARBON_SHORT, "", |craft| {
            set(craft, "frame.plate[0].material", "glass fibre");
            set(craft, "place fc.z", "0.7 mm, measured");
        });
        expect![[r#"
            sound · bare conductors and carbon
              No bare conductor comes near carbon
        "#]]
        .assert_eq(&told);
    }
}
