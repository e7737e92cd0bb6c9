//! Do the antennas stand clear of carbon, pack and wires?

use crate::inputs::CraftSolid;
use crate::limits::ANTENNA_CLEAR;
use crate::numbers::{mm, rounded};
use crate::rule::rule;
use crate::standing::{Standing, standing};
use crate::subject::{aerials, make_room};
use crate::working::Lines;
use crate::{Answer, Finding, Proof, Verdict, Witness};
use craft::PlaceId;
use craft::schema::{air, camera};
use fit::{
    BodyPoint, BodyVector, Gap, LeadKind, OwnerIndex, Pose, Role, Shape, Solid, distance_between,
    nearer_than, required_clearance,
};
use quantity::{FigureId, Millimetres, Unit};
use std::collections::BTreeMap;

rule! {
    /// Do the antennas stand clear of carbon, pack and wires?
    ///
    /// ## Why
    /// What conducts and comes near the part that radiates becomes a part of the antenna: its pattern grows holes
    /// where nobody looks for them, and what it no longer takes goes back into the transmitter as heat.
    ///
    /// ## Sound when
    /// The part that radiates keeps 15 mm from every carbon plate, from the pack and from wires: other antennas' stems,
    /// and harnesses and coax along their shortest way. Nearer it is tight, under 8 mm broken. Twice as much is better
    /// still.
    ///
    /// ## Rests on
    /// Length, diameter and active part of the antenna, how it is seated and leant, and what stands about it, each
    /// with its doubt. Where nobody said which part radiates, the whole antenna counts. The antenna's own
    /// coax is left out: it was made with it. Common practice.
    ///
    /// ## Mend
    /// Raise it on a longer stem or a higher holder, or move it to where nothing stands. A place that is named was tried: there
    /// the element keeps what it needs from every other part.
    ANTENNA_CLEAR_OF_CARBON = "link.antenna_clear", run
}

/// What conducts and is long or wide enough to spoil an antenna.
const SPOILS: &[Role] = &[Role::CarbonPlate, Role::Pack, Role::Harness, Role::Coax, Role::Strap];
/// What radiates.
pub(super) const ELEMENTS: &[Role] = &[Role::AntennaElement, Role::ControlAntenna];

/// Whether a pair of roles is this rule's to judge.
pub(super) fn is_antennas(roles: [Role; 2]) -> bool {
    let one = |a: Role, b: Role| ELEMENTS.contains(&a) && SPOILS.contains(&b);
    one(roles[0], roles[1]) || one(roles[1], roles[0])
}

fn run(proof: &Proof) -> Answer {
    let mut answer = Answer::default();
    for aerial in aerials(proof, true) {
        if let Err(missing) = aerial.element {
            let finding = Finding::unknown(ANTENNA_CLEAR_OF_CARBON.id, aerial.called, missing);
            answer.findings.push(finding.at([aerial.placed.place.id.clone()]));
        }
    }
    // Too many pairs: that is told of the whole craft.
    let Ok(near) = proof.near_pairs() else { return answer };
    let solids = &proof.inputs().solids;
    let elements = solids.iter().enumerate().filter(|(_, solid)| ELEMENTS.contains(&solid.solid.role));
    for (number, element) in elements {
        let mut nearest: BTreeMap<usize, Near> = BTreeMap::new();
        let mut put = |place: usize, near: Near| {
            if nearest.get(&place).is_none_or(|known| near.gap.linear.value < known.gap.linear.value) {
                nearest.insert(place, near);
            }
        };
        for pair in near {
            let [a, b] = [pair.clearance.a, pair.clearance.b].map(|index| index.0 as usize);
            let other = match number {
                n if n == a => b,
                n if n == b => a,
                _ => continue,
            };
            if SPOILS.contains(&solids[other].solid.role) {
                let (called, role) = (solids[other].solid.name.clone(), solids[other].solid.role);
                let gap = pair.clearance.gap.clone();
                put(solids[other].place, Near { called, role, gap, solid: Some(other), first: number == a });
            }
        }
        for (place, near) in leads_near(proof, element) {
            put(place, near);
        }
        if nearest.is_empty() {
            let words = format!("No carbon, pack or wire comes within 15 mm of {}", element.solid.name);
            let id = ANTENNA_CLEAR_OF_CARBON.id;
            let finding = Finding::new(id, Verdict::Sound, element.solid.name.clone(), words);
            answer.findings.push(finding.at([place_of(proof, element.place)]));
        }
        for (place, near) in nearest {
            judge(proof, (number, element), place, &near, &mut answer);
        }
    }
    answer
}

/// Something that conducts near an element.
struct Near {
    called: String,
    role: Role,
    gap: Gap,
    /// Its number in the scene, if it is a solid.
    solid: Option<usize>,
    /// Whether the gap leads from the element to it.
    first: bool,
}

fn place_of(proof: &Proof, place: usize) -> PlaceId {
    proof.craft.places[place].id.clone()
}

/// The leads whose shortest way comes within the limit of an element, but not the one that feeds it.
fn leads_near(proof: &Proof, element: &CraftSolid) -> Vec<(usize, Near)> {
    let inward = element.solid.pose.inverse();
    let near = proof.leads().iter().filter_map(|lead| {
        let way = lead.way.as_ref().ok()?;
        if lead.tips.iter().flatten().any(|tip| tip.place == element.place) {
            return None;
        }
        let away = |at: &BodyPoint| from_middle(&element.solid.shape, inward.point(*at).coordinates());
        let nearest = way.route.points.iter().min_by(|a, b| away(a).total_cmp(&away(b)))?;
        if away(nearest) > 2.0 * ANTENNA_CLEAR.tight {
            return None;
        }
        let (field, role) = match lead.kind {
            LeadKind::CameraHarness => (&camera::BUNDLE_THICKNESS, Role::Harness),
            LeadKind::Coax => (&air::COAX_DIAMETER, Role::Coax),
        };
        let half = proof.part_of(lead.place)?.item().read(field).ok()?.value.get() / 2.0;
        let mut gap = distance_between(&element.solid, &point(*nearest)?).ok()?;
        gap.linear.value -= half;
        let called = lead.called(proof);
        (gap.linear.value < ANTENNA_CLEAR.tight)
            .then_some((lead.place, Near { called, role, gap, solid: None, first: true }))
    });
    near.collect()
}

/// How far a place is outside a shape, both in the shape's own frame.
fn from_middle(shape: &Shape, [x, y, z]: [f64; 3]) -> f64 {
    match shape {
        Shape::Cylinder(c) => {
            let out = (x.hypot(y) - c.radius().get()).max(0.0);
            out.hypot((z.abs() - c.length().get() / 2.0).max(0.0))
        }
        Shape::Cuboid(c) => {
            let out = |at: f64, size: Millimetres| (at.abs() - size.get() / 2.0).max(0.0);
            let [a, b, c] = c.size();
            out(x, a).hypot(out(y, b)).hypot(out(z, c))
        }
        Shape::Prism(_) => x.hypot(y).hypot(z),
    }
}

/// A place as a solid that measures nothing.
fn point(at: BodyPoint) -> Option<Solid> {
    const SIZE: Millimetres = Millimetres::new(1e-6);
    let shape = Shape::cuboid(SIZE, SIZE, SIZE).ok()?;
    let (name, owner, role) = (String::new(), OwnerIndex(u32::MAX), Role::Other);
    Some(Solid { name, owner, role, shape, pose: Pose::at(at), drifts: Vec::new() })
}

fn judge(
    proof: &Proof,
    (number, element): (usize, &CraftSolid),
    place: usize,
    near: &Near,
    answer: &mut Answer,
) {
    let name = &element.solid.name;
    let judged: Standing = standing(proof, &near.gap.linear, &ANTENNA_CLEAR);
    let (verdict, distance) = (judged.verdict, near.gap.linear.value);
    let what = match near.role {
        Role::CarbonPlate => "carbon",
        Role::Pack => "a pack",
        _ => "a wire",
    };
    let message = match verdict {
        Verdict::Sound => format!("{name} keeps {} from {}", mm(distance), near.called),
        Verdict::Broken => format!(
            "{name} is {} from {}: so near, {what} spoils its pattern and its match",
            mm(distance.max(0.0)),
            near.called
        ),
        _ => format!("{name} is {} from {}: {what} there bends its pattern", mm(distance), near.called),
    };
    let id = format!("link.antenna_gap[{name}|{}]", near.called);
    answer.figures.push(Lines::of(proof).facts(&near.gap.linear).figure(
        id.clone(),
        "air between what radiates and what conducts",
        (&near.gap.linear, Unit::Millimetres),
        "nearest distance of the active part of the antenna; of a lead: to its middle line, less half its thickness",
        ANTENNA_CLEAR.source,
    ));
    let mut finding =
        judged.finding(ANTENNA_CLEAR_OF_CARBON.id, format!("{name} and {}", near.called), message);
    if verdict != Verdict::Sound {
        finding = finding.measured_first();
        finding.mends.extend(mend(proof, element, near));
    }
    finding.figure = Some(FigureId(id.into()));
    finding.witness = near.solid.map(|other| {
        let (a, b) = if near.first { (number, other) } else { (other, number) };
        let (on_a, on_b) = (near.gap.on_a.coordinates(), near.gap.on_b.coordinates());
        Witness { solid_a: a, solid_b: b, on_a, on_b }
    });
    answer.findings.push(finding.at([element.place, place].map(|place| place_of(proof, place))));
}

/// Where the antenna would stand clear of everything, tried; where no such place is near, what makes room.
fn mend(proof: &Proof, element: &CraftSolid, near: &Near) -> Option<String> {
    if proof.is_trial() {
        return None;
    }
    if near.solid.is_none() {
        return Some(format!("Lead {} another way, or tie it down.", near.called));
    }
    let aerial = aerials(proof, true).into_iter().find(|aerial| aerial.number == element.place);
    let tried = aerial.iter().flat_map(|aerial| aerial.elsewhere(proof));
    let found = tried.into_iter().find_map(|instead| {
        let least = least_kept(proof, &instead.element)?;
        let keeps = rounded(least.floor(), 0);
        Some(format!("{}: there nothing that conducts comes within {keeps} mm of it.", instead.words))
    });
    found.or_else(|| {
        let other = &proof.inputs().solids[near.solid?];
        let direction: BodyVector = if near.first { near.gap.direction } else { -near.gap.direction };
        Some(make_room(proof, [element, other], direction, ANTENNA_CLEAR.tight - near.gap.linear.value))
    })
}

/// How near the nearest thing that conducts comes to an element as tried, up to twice the limit; `None` where anything at all is
/// nearer than it may be.
pub(super) fn least_kept(proof: &Proof, element: &CraftSolid) -> Option<f64> {
    let far = 2.0 * ANTENNA_CLEAR.tight;
    let others = || proof.inputs().solids.iter().filter(|other| other.place != element.place);
    let mut least = far;
    for other in others().filter(|other| SPOILS.contains(&other.solid.role)) {
        if let Some(gap) = nearer_than(&element.solid, &other.solid, Millimetres::new(least)) {
            least = gap.get();
        }
        if least < ANTENNA_CLEAR.tight {
            return None;
        }
    }
    let free = others().filter(|other| !SPOILS.contains(&other.solid.role)).all(|other| {
        let need =
            required_clearance(element.solid.role, other.solid.role).map_or(0.0, |need| need.distance.get());
        nearer_than(&element.solid, &other.solid, Millimetres::new(need.max(1.0))).is_none()
    });
    free.then_some(least)
}

#[cfg(test)]
mod tests {
    use super::ANTENNA_CLEAR_OF_CARBON;
    use crate::testing::{set, told_of};
    use crate::testing_stack::{bay_is_sound, bay_told, bay_told_of, led_bay};
    use craft::Craft;
    use expect_test::{Expect, expect};

    fn check(spoil: impl FnOnce(&mut Craft), expected: Expect) {
        expected.assert_eq(&bay_told(&ANTENNA_CLEAR_OF_CARBON, spoil));
    }

    #[test]
    fn an_antenna_that_stands_clear_is_sound() {
        bay_is_sound(&ANTENNA_CLEAR_OF_CARBON);
        expect![[r#"
            sound · element of antenna
              No carbon, pack or wire comes within 15 mm of element of antenna
            sound · body whip of receiver
              No carbon, pack or wire comes within 15 mm of body whip of receiver
        "#]]
        .assert_eq(&bay_told_of(&ANTENNA_CLEAR_OF_CARBON, "", |_| {}));
    }

    #[test]
    fn one_beside_the_top_plate_is_broken() {
        check(
            |craft| {
                set(craft, "frame.antenna_mount[0].x", "-46 mm, measured");
                set(craft, "antenna.active", "50 mm, measured");
            },
            expect![[r#"
                broken · element of antenna and plate top of bay frame · -3.5 mm · 0 %
                  element of antenna is 4.5 mm from plate top of bay frame: so near, carbon spoils its pattern and its match
                  > Move antenna by 15 mm back: there nothing that conducts comes within 19 mm of it.
            "#]],
        );
    }

    #[test]
    fn one_ten_millimetres_behind_it_is_tight() {
        check(
            |craft| set(craft, "antenna.active", "50 mm, measured"),
            expect![[r#"
                tight · element of antenna and plate top of bay frame · 0.5 mm · 100 %
                  element of antenna is 8.5 mm from plate top of bay frame: carbon there bends its pattern
                  > Move antenna by 10 mm back: there nothing that conducts comes within 18 mm of it.
            "#]],
        );
    }

    #[test]
    fn a_lead_that_passes_counts_as_a_wire_but_not_the_antennas_own() {
        let mut craft = led_bay();
        // The whip 8 mm over the camera's plug, where the harness begins: elsewhere a lead keeps off by itself.
        set(&mut craft, "rx.body[0].x", "48 mm, measured");
        set(&mut craft, "rx.body[0].y", "0 mm, measured");
        set(&mut craft, "rx.body[0].z", "-7.5 mm, measured");
        expect![[r#"
            broken · body whip of receiver and flat harness · -1.138 mm · under 1 %
              body whip of receiver is 6.9 mm from flat harness: so near, a wire spoils its pattern and its match
              > Lead flat harness another way, or tie it down.
        "#]].assert_eq(&told_of(&ANTENNA_CLEAR_OF_CARBON, &craft, |finding| {
            finding.subject.contains("harness") || finding.subject.contains("pigtail")
        }));
    }

    #[test]
    fn an_antenna_without_size_is_unknown() {
        check(
            |craft| set(craft, "antenna.length", ""),
            expect![[r#"
            unknown · antenna
              Nobody can say yet: the length of "antenna" is not known
              > Measure or look up the length of "antenna".
        "#]],
        );
    }
}
