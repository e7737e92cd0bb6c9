//! Do pack, foam and prints keep away from the hot face, and stand its heat?

use crate::inputs::NearPair;
use crate::numbers::{mm, rounded};
use crate::rule::rule;
use crate::standing::standing;
use crate::supply::{HeatFacts, Supply, Where, rail_figure};
use crate::supply_limits::HOT_NEIGHBOUR;
use crate::working::Lines;
use crate::{Answer, Finding, Placed, Proof, Verdict};
use craft::schema::fixing;
use fit::Role;
use quantity::{FigureId, Linear, Unit};
use std::collections::BTreeMap;

rule! {
    /// Do pack, foam and prints keep away from the hot face, and stand its heat?
    ///
    /// ## Why
    /// Heat swells packs and softens foam; common prints give way between 60 and 80 °C. And what lies near the hot face keeps the air from it.
    ///
    /// ## Sound when
    /// 5 mm of air or more lie between, and nothing that near softens below what the face reaches. Under 3 mm is broken; between, or where a
    /// print would soften, it is tight.
    ///
    /// ## Rests on
    /// Distances from the dry fit; the temperature in flight and after the time on the bench, at most the limit, where it shuts down; the
    /// softening temperatures of prints and mounts.
    ///
    /// ## Mend
    /// Turn the hot face to open air, move it away, or print in something that stands more.
    HOT_FACE_IS_FREE = "heat.neighbours", run
}

fn run(proof: &Proof) -> Answer {
    let Some(supply) = proof.supply() else { return Answer::default() };
    let (Ok(heat), Ok(near)) = (&supply.model().heat, proof.near_pairs()) else { return Answer::default() };
    let solids = &proof.inputs().solids;
    let mut nearest: BTreeMap<usize, (&NearPair, Linear)> = BTreeMap::new();
    for pair in near {
        let role = |index: fit::SolidIndex| solids[index.0 as usize].solid.role;
        let roles = [role(pair.clearance.a), role(pair.clearance.b)];
        let other = match roles {
            [Role::TransmitterHotFace, other] if soft(other) => 1,
            [other, Role::TransmitterHotFace] if soft(other) => 0,
            _ => continue,
        };
        let index = [pair.clearance.a, pair.clearance.b][other];
        let distance = &pair.margin + pair.clearance.needs.distance.get();
        let place = solids[index.0 as usize].place;
        match nearest.get(&place) {
            Some((_, known)) if known.value <= distance.value => {}
            _ => drop(nearest.insert(place, (pair, distance))),
        }
    }
    let reaches = reaches(supply, heat);
    let mut answer = Answer::default();
    for (place, (pair, distance)) in nearest {
        let Some(placed) = proof.placed_number(place) else { continue };
        let (finding, figure) = judge(proof, heat, placed, pair, &distance, reaches);
        answer.findings.push(finding);
        answer.figures.push(figure);
    }
    answer
}

fn soft(role: Role) -> bool {
    matches!(role, Role::Pack | Role::SoftMount | Role::PrintedPart)
}

/// What the face reaches: in flight, or on the bench, at most its limit.
fn reaches(supply: &Supply, heat: &HeatFacts) -> Option<f64> {
    let values = supply.model().slots.values();
    let flown = supply.model().drive.as_ref().ok().and_then(|drive| heat.in_flight(values, drive, heat.set));
    let at = if heat.fan { Where::Fan } else { Where::Bench };
    let bench = heat.bench.as_ref().ok().and_then(|time| heat.after(values, at, heat.before_arming(), *time));
    let hottest = flown.into_iter().chain(bench).fold(f64::NEG_INFINITY, f64::max);
    hottest.is_finite().then(|| hottest.min(supply.model().slots.of(heat.limit)))
}

fn judge(
    proof: &Proof,
    heat: &HeatFacts,
    placed: Placed,
    pair: &NearPair,
    distance: &Linear,
    reaches: Option<f64>,
) -> (Finding, quantity::Figure) {
    let name = &placed.part.name;
    let mut judged = standing(proof, distance, &HOT_NEIGHBOUR);
    let softens = placed.part.item().read(&fixing::SOFTENS).ok().map(|at| at.value.get());
    let gives_way = reaches.zip(softens).filter(|(reaches, softens)| softens <= reaches);
    if gives_way.is_some() && judged.verdict == Verdict::Sound {
        judged.verdict = Verdict::Tight;
    }
    let apart = mm(distance.value.max(0.0));
    let verdict = judged.verdict;
    let message = match (gives_way, verdict) {
        (Some((reaches, softens)), _) => format!(
            "{name} lies {apart} from the hot face and softens at {} °C; the face reaches {} °C",
            rounded(softens, 0),
            rounded(reaches, 0)
        ),
        (None, Verdict::Sound) => format!("{name} lies {apart} from the hot face"),
        (None, _) => format!("{name} lies {apart} from the hot face, which wants 5 mm of air"),
    };
    let subject = format!("{name} before the hot face");
    let mut finding = judged.finding(HOT_FACE_IS_FREE.id, subject, message);
    finding.places = vec![heat.place.clone(), placed.place.id.clone()];
    if verdict != Verdict::Sound {
        let more = HOT_NEIGHBOUR.tight - distance.value;
        if more > 0.0 {
            finding = finding.mend(format!("Move it {} away, or turn the hot face to open air.", mm(more)));
        }
        if gives_way.is_some() {
            finding = finding.mend("Print it in something that stands more, or hold the level lower.");
        }
    }
    let id = rail_figure("heat.neighbours", placed.place.id.as_str());
    finding.figure = Some(FigureId(id.clone().into()));
    let lines = Lines::of(proof).given(
        "needs for the dry fit",
        pair.clearance.needs.distance.get(),
        Unit::Millimetres,
        "by pair of roles",
    );
    let lines = match reaches {
        Some(reaches) => lines.given(
            "what the face reaches",
            reaches,
            Unit::Celsius,
            "flight and bench, at most its limit",
        ),
        None => lines,
    };
    let figure = lines.facts(distance).figure(
        id,
        format!("air between the hot face and {name}"),
        (distance, Unit::Millimetres),
        "nearest distance of the two",
        HOT_NEIGHBOUR.source,
    );
    (finding, figure)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::testing::{part, place, row, told_of};
    use crate::testing_supply::{set, sound_supply};
    use craft::Craft;
    use craft::schema::PartKind;
    use expect_test::{Expect, expect};

    /// The craft with a printed tongue so far above the hot face, which is 11 mm up.
    fn check(gap: f64, spoil: impl FnOnce(&mut Craft), expected: Expect) {
        let mut craft = sound_supply();
        let facts = [("mass", "1 g, measured"), ("material", "printed, flexible"), ("softens", "85 °C")];
        part(&mut craft, PartKind::PrintedPart, "print", "printed tongue", &facts);
        let tongue = [
            ("name", "tongue"),
            ("role", "other"),
            ("material", "printed, flexible"),
            ("thickness", "2 mm, measured"),
            ("outline", "-6,-6; 6,-6; 6,6; -6,6"),
        ];
        row(&mut craft, "print", "plate", &tongue);
        let up = format!("{:.1} mm, measured", 11.0 + gap);
        place(&mut craft, "print", "print", "frame", &[("x", "-30 mm, measured"), ("z", &up)]);
        spoil(&mut craft);
        expected.assert_eq(&told_of(&HOT_FACE_IS_FREE, &craft, |_| true));
    }

    #[test]
    fn a_print_with_air_before_it_is_sound() {
        check(
            6.0,
            |_| {},
            expect![[r#"
            sound · printed tongue before the hot face · 2.95 mm · 100 %
              printed tongue lies 6 mm from the hot face
        "#]],
        );
    }

    #[test]
    fn little_air_is_tight_and_so_is_a_print_that_softens_before_the_face_is_at_its_hottest() {
        check(
            4.0,
            |_| {},
            expect![[r#"
            tight · printed tongue before the hot face · 0.95 mm · 95 %
              printed tongue lies 4 mm from the hot face, which wants 5 mm of air
              > Move it 1.1 mm away, or turn the hot face to open air.
        "#]],
        );
        check(
            6.0,
            |craft| {
                set(craft, "craft.standby", "no");
                set(craft, "craft.bench_fan", "no");
                set(craft, "craft.level", "200 mW");
            },
            expect![[r#"
                tight · printed tongue before the hot face · 2.95 mm · 100 %
                  printed tongue lies 6 mm from the hot face and softens at 85 °C; the face reaches 90 °C
                  > Print it in something that stands more, or hold the level lower.
            "#]],
        );
    }

    #[test]
    fn a_print_close_before_the_hot_face_is_broken() {
        check(
            1.5,
            |_| {},
            expect![[r#"
            broken · printed tongue before the hot face · -1.55 mm · 0 %
              printed tongue lies 1.5 mm from the hot face, which wants 5 mm of air
              > Move it 3.6 mm away, or turn the hot face to open air.
        "#]],
        );
    }

    #[test]
    fn what_lacks_of_the_warmth_is_told_of_the_bench() {
        check(1.5, |craft| set(craft, "vtx.limit_temperature", ""), expect![[r#""#]]);
    }
}
