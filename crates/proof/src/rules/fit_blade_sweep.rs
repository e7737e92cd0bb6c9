//! Do blades keep off everything soft?

use super::fit_pair_clearance::witness;
use crate::inputs::{CraftSolid, NearPair};
use crate::limits::{BLADE_TO_ANTENNA, BLADE_TO_SOFT, Limit};
use crate::numbers::mm;
use crate::rule::rule;
use crate::standing::standing;
use crate::subject::plain_direction;
use crate::working::Lines;
use crate::{Answer, Finding, Proof, Verdict};
use fit::{BodyVector, OwnerIndex, Pose, Role, Shape, Solid, distance_between};
use quantity::{Degrees, FigureId, Millimetres, Unit};
use std::collections::BTreeMap;

rule! {
    /// Do blades keep off everything soft: pack, coax, antennas, straps?
    ///
    /// ## Why
    /// Arms flex about three degrees in a hard turn. What is soft swings, and what a blade reaches it cuts.
    ///
    /// ## Sound when
    /// Every soft part keeps 8 mm from every swept disc, every antenna 10 mm. Nearer it is tight, under 3 mm broken. The
    /// wall of a duct between the two is a barrier: then it is sound. Leads that follow no drawn route are not seen: tie
    /// them down.
    ///
    /// ## Rests on
    /// Blade diameter and height, where motors and soft parts sit, each with its doubt. Limits are common practice.
    ///
    /// ## Mend
    /// Tie the part down, shorten it, or move it away from the disc.
    BLADE_SWEEP = "fit.blade_sweep", run
}

/// What a blade cuts.
pub(crate) const SOFT: &[Role] =
    &[Role::Harness, Role::Coax, Role::Pack, Role::Strap, Role::AntennaElement, Role::ControlAntenna];

fn run(proof: &Proof) -> Answer {
    let mut answer = Answer::default();
    let Ok(near) = proof.near_pairs() else { return answer };
    let solids = &proof.inputs().solids;
    let is = |s: &CraftSolid, roles: &[Role]| roles.contains(&s.solid.role);
    // Of several pieces of one part the nearest speaks for it.
    let mut nearest: BTreeMap<[usize; 2], (&NearPair, f64)> = BTreeMap::new();
    for pair in near {
        let of = [pair.clearance.a, pair.clearance.b].map(|index| &solids[index.0 as usize]);
        let is_pair = of.iter().any(|s| is(s, &[Role::BladeSweep])) && of.iter().any(|s| is(s, SOFT));
        let spare = pair.margin.value;
        if is_pair && nearest.get(&pair.places).is_none_or(|(_, known)| spare < *known) {
            nearest.insert(pair.places, (pair, spare));
        }
    }
    if nearest.is_empty() {
        let (discs, soft) = (
            solids.iter().filter(|s| is(s, &[Role::BladeSweep])).count(),
            solids.iter().filter(|s| is(s, SOFT)).count(),
        );
        if discs > 0 && soft > 0 {
            let message = "No pack, coax or antenna comes near a swept disc";
            answer.findings.push(Finding::new(
                BLADE_SWEEP.id,
                Verdict::Sound,
                "soft parts and blades",
                message,
            ));
        }
    }
    for (pair, _) in nearest.into_values() {
        judge(proof, pair, &mut answer);
    }
    answer
}

fn limit_of(soft: &CraftSolid) -> &'static Limit {
    match soft.solid.role {
        Role::AntennaElement | Role::ControlAntenna => &BLADE_TO_ANTENNA,
        _ => &BLADE_TO_SOFT,
    }
}

fn judge(proof: &Proof, pair: &NearPair, answer: &mut Answer) {
    let of = [pair.clearance.a, pair.clearance.b].map(|index| &proof.inputs().solids[index.0 as usize]);
    let blade_first = of[0].solid.role == Role::BladeSweep;
    let (disc, soft) = if blade_first { (of[0], of[1]) } else { (of[1], of[0]) };
    let (name, blades) = (&soft.solid.name, &disc.solid.name);
    let subject = format!("{name} and {blades}");
    let places = [soft, disc].map(|s| proof.craft.places[s.place].id.clone());
    let distance = pair.clearance.gap.distance.get();
    if let Some(duct) = duct_between(proof, pair) {
        let message = format!("{name} is {} from the {blades}, with the {duct} between", mm(distance));
        let finding = Finding {
            witness: Some(witness(pair)),
            ..Finding::new(BLADE_SWEEP.id, Verdict::Sound, subject, message)
        };
        answer.findings.push(finding.at(places));
        return;
    }
    let limit = limit_of(soft);
    let judged = standing(proof, &pair.clearance.gap.linear, limit);
    let verdict = judged.verdict;
    let message = match verdict {
        Verdict::Sound => format!("{name} keeps {} from the {blades}", mm(distance)),
        _ if distance < 0.0 => format!("{name} stands {} inside the {blades}", mm(-distance)),
        _ => format!("{name} is {} from the {blades}: a blade can reach it in a hard turn", mm(distance)),
    };
    let id = format!("fit.blade_gap[{name}|{blades}]");
    answer.figures.push(Lines::of(proof).facts(&pair.clearance.gap.linear).figure(
        id.clone(),
        "air between a soft part and a swept disc",
        (&pair.clearance.gap.linear, Unit::Millimetres),
        "nearest distance of the part to the swept disc",
        limit.source,
    ));
    let mut finding = judged.finding(BLADE_SWEEP.id, subject, message);
    if verdict != Verdict::Sound {
        if let Some(advice) = &finding.measure_next {
            let measure = format!("Measure the {} first: it decides.", advice.label);
            finding = finding.mend(measure);
        }
        let away = if blade_first { pair.clearance.gap.direction } else { -pair.clearance.gap.direction };
        let (way, share) = plain_direction(away);
        let by = mm(((limit.tight - distance) / share.max(0.3) * 10.0 - 1e-6).ceil().max(3.0) / 10.0);
        finding = finding.mend(match soft.solid.role {
            Role::Pack => format!("Move it {by} {way}, and cut the tail of its strap."),
            _ => format!("Tie it down or shorten it, or move it {by} {way}."),
        });
    }
    finding.figure = Some(FigureId(id.into()));
    finding.witness = Some(witness(pair));
    answer.findings.push(finding.at(places));
}

/// The duct whose wall the line between the two nearest places passes.
fn duct_between<'p>(proof: &'p Proof, pair: &NearPair) -> Option<&'p str> {
    let (from, to) = (pair.clearance.gap.on_a, pair.clearance.gap.on_b);
    let length = (to - from).length();
    let way = (to - from).direction()?;
    let shape = Shape::cylinder(Millimetres::new(0.005), length).ok()?;
    // A thread from the one place to the other: the shape's z laid along the way.
    let axis = BodyVector::Z.cross(way).direction().unwrap_or(BodyVector::X);
    let angle = Degrees::new(BodyVector::Z.dot(way).clamp(-1.0, 1.0).acos().to_degrees());
    let middle = from + (to - from) * 0.5;
    let pose = Pose::at(middle).turned_further(middle, axis, angle);
    let thread = Solid {
        name: String::new(),
        owner: OwnerIndex(u32::MAX),
        role: Role::Other,
        shape,
        pose,
        drifts: Vec::new(),
    };
    let ducts = proof.inputs().solids.iter().filter(|s| s.solid.role == Role::MouldedDuct);
    let mut crossed =
        ducts.filter(|duct| distance_between(&thread, &duct.solid).is_ok_and(|gap| gap.distance.get() < 0.0));
    crossed.next().map(|duct| duct.solid.name.as_str())
}

#[cfg(test)]
mod tests {
    use super::BLADE_SWEEP;
    use crate::testing::{remove_place, row, set};
    use crate::testing_stack::{bay_is_sound, bay_told, bay_told_of};
    use craft::Craft;
    use expect_test::{Expect, expect};

    fn check(spoil: impl FnOnce(&mut Craft), expected: Expect) {
        expected.assert_eq(&bay_told(&BLADE_SWEEP, spoil));
    }

    #[test]
    fn soft_parts_that_keep_off_are_sound() {
        bay_is_sound(&BLADE_SWEEP);
        // The stem of 3 mm at (-50, 10) and the disc of 38 mm about (-60, 60): √(10² + 50²) - 38 - 1.5 = 11.49 mm: more
        // than the 10 mm after which it is no longer told.
        expect![[r#"
            sound · soft parts and blades
              No pack, coax or antenna comes near a swept disc
        "#]]
        .assert_eq(&bay_told_of(&BLADE_SWEEP, "", |_| {}));
    }

    #[test]
    fn coax_wants_eight_millimetres_and_an_antenna_ten() {
        // At (-50, 14): √(10² + 46²) - 39.5 = 7.57 mm.
        check(
            |craft| set(craft, "frame.antenna_mount[0].y", "14 mm, measured"),
            expect![[r#"
            tight · stem of antenna and disc of blades (b-rl) · 4.574 mm · 100 %
              stem of antenna is 7.6 mm from the disc of blades (b-rl): a blade can reach it in a hard turn
              > Tie it down or shorten it, or move it 0.5 mm right.
        "#]],
        );
        // At (-50, 11.5): √(10² + 48.5²) - 39.5 = 10.02 mm: enough for coax, and just for an antenna that radiates there.
        check(|craft| set(craft, "frame.antenna_mount[0].y", "11.5 mm, measured"), expect![[""]]);
        check(
            |craft| {
                set(craft, "frame.antenna_mount[0].y", "12.5 mm, measured");
                set(craft, "antenna.active", "60 mm, measured");
            },
            expect![[r#"
                tight · element of antenna and disc of blades (b-rl) · 6.041 mm · 100 %
                  element of antenna is 9 mm from the disc of blades (b-rl): a blade can reach it in a hard turn
                  > Tie it down or shorten it, or move it 1 mm right.
            "#]],
        );
    }

    #[test]
    fn a_pack_inside_a_disc_is_broken() {
        // The pack's corner at (-45, 35) is √(15² + 25²) = 29.15 mm from the disc's axis at (-60, 60): 8.85 mm inside.
        check(
            |craft| {
                set(craft, "place pack.x", "-15 mm, measured");
                set(craft, "place pack.y", "20 mm, measured");
                set(craft, "place pack.z", "4 mm, measured");
            },
            expect![[r#"
                broken · pack and disc of blades (b-rl) · -11.845 mm · 0 %
                  pack stands 8.8 mm inside the disc of blades (b-rl)
                  > Move it 19.7 mm right, and cut the tail of its strap.
            "#]],
        );
    }

    #[test]
    fn the_wall_of_a_duct_is_a_barrier() {
        let told = bay_told_of(&BLADE_SWEEP, "rl", |craft| {
            set(craft, "frame.antenna_mount[0].y", "16 mm, measured");
            let duct = [
                ("name", "rear left"),
                ("x", "-60 mm"),
                ("y", "60 mm"),
                ("z", "10 mm"),
                ("height", "14 mm"),
                ("bore", "80 mm"),
                ("wall", "1 mm"),
            ];
            row(craft, "frame", "duct", &duct);
        });
        expect![[r#"
            sound · stem of antenna and disc of blades (b-rl)
              stem of antenna is 5.6 mm from the disc of blades (b-rl), with the duct rear left of bay frame between
        "#]].assert_eq(&told);
    }

    #[test]
    fn without_blades_or_soft_parts_nothing_is_said() {
        check(
            |craft| {
                ["b-rl", "b-rr", "b-fl", "b-fr"].iter().for_each(|id| remove_place(craft, id));
            },
            expect![[""]],
        );
    }
}
