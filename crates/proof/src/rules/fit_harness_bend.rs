//! Can each lead lie without a bend too sharp for it?

use crate::limits::LEAD_BEND;
use crate::numbers::{mm, rounded};
use crate::rule::rule;
use crate::subject::{Lead, LeadTip, LeadWay};
use crate::working::Lines;
use crate::{Answer, Finding, Proof, Verdict};
use fit::{
    Bend, BodyVector, LeadKind, PartVector, Shape, TWIST_MOST, TWIST_OVER, TWIST_OVER_LEAST, TWIST_SOURCE,
    Twist, sharpest_twist,
};
use quantity::{Figure, FigureId, Linear, Unit};

rule! {
    /// Can each lead lie without a bend too sharp for it?
    ///
    /// ## Why
    /// A camera harness is a bundle of coaxial strands thinner than a hair, and thin coax crushes its insulation: bent
    /// too sharply, strands break one by one, and the picture flickers before it goes.
    ///
    /// ## Sound when
    /// On the shortest way round everything no bend is sharper than the lead may take: 5 mm for a harness unless its
    /// maker says otherwise, five diameters for coax. Sharper is tight, under six tenths of it broken. A harness is flat and
    /// bends about its wide side only: where two bends, or a bend and a plug, ask it to twist by more than 90°
    /// in 30 mm, the finding says where its slack is to be left.
    ///
    /// ## Rests on
    /// Where the plugs are and which way leads leave them, the lead's thickness, and all that stands between. Common
    /// practice. A route is drawn with bends as wide as there is room for; a few per cent count as kept.
    ///
    /// ## Mend
    /// Turn the board or the plug so that the lead leaves toward free air; make room where it must turn. Against a twist: slack
    /// between the two bends, or one of the plugs turned by a quarter.
    HARNESS_BEND = "fit.harness_bend", run
}

/// The share of a radius that counts as kept: the route is a chain of short straight pieces.
const KEPT: f64 = 0.93;
/// A bend this near an end, over the least radius, is forced by how the lead leaves its plug.
const AT_PLUG: f64 = 2.5;
/// A plug so many times as wide as high has a wide side.
const FLAT: f64 = 1.2;
/// What the lead leans on this near to its bend is what it turns round, in mm.
const TURNS_ROUND: f64 = 8.0;

fn run(proof: &Proof) -> Answer {
    let mut answer = Answer::default();
    for lead in proof.leads() {
        // Without a way there is no bend: that is told of the length.
        let Ok(way) = &lead.way else { continue };
        let finding = judge(proof, lead, way, &mut answer);
        answer.findings.push(finding.at(lead.places(proof)));
    }
    answer
}

fn judge(proof: &Proof, lead: &Lead, way: &LeadWay, answer: &mut Answer) -> Finding {
    let twisted = Twisted::of(proof, lead, way);
    answer.figures.extend(twisted.as_ref().map(|twisted| twisted.figure(proof)));
    let finding = bent(proof, lead, way, answer);
    match twisted.filter(|twisted| twisted.twist.rate() > TWIST_MOST) {
        Some(twisted) => twisted.told_with(finding),
        None => finding,
    }
}

/// How a flat bundle is twisted on its way.
struct Twisted {
    id: String,
    twist: Twist,
    /// Where it begins, in words.
    place: String,
}

impl Twisted {
    /// `None` for coax, which has no wide side, and where nothing asks for a twist.
    fn of(proof: &Proof, lead: &Lead, way: &LeadWay) -> Option<Self> {
        if lead.kind != LeadKind::CameraHarness {
            return None;
        }
        let wide = [&lead.tips[0], &lead.tips[1]].map(|tip| wide_side(proof, tip.as_ref()?));
        let twist = sharpest_twist(&way.route.points, wide)?;
        let plug = lead.tips[0].as_ref().map_or("its end", |tip| tip.called.as_str());
        let id = format!("fit.harness_twist[{}]", proof.craft.places[lead.place].id);
        let from = twist.from.get();
        let place =
            if from < 0.5 { format!("right at {plug}") } else { format!("{} after {plug}", mm(from)) };
        Some(Self { id, twist, place })
    }

    fn figure(&self, proof: &Proof) -> Figure {
        let rate = self.twist.rate().get();
        Lines::of(proof)
            .given("it twists by", self.twist.angle.get(), Unit::Degrees, self.place.clone())
            .given(
                "over",
                self.twist.over.get(),
                Unit::Millimetres,
                format!(
                    "between the middles of two bends; nearer ones count as {} apart, for a bundle is that wide",
                    mm(TWIST_OVER_LEAST.get())
                ),
            )
            .figure(
                self.id.clone(),
                "sharpest twist of a flat bundle on the shortest way, in 30 mm",
                (&Linear::exact(rate), Unit::Degrees),
                "angle between the axes of two bends, at most 90° since it lies alike either way up / how far they are apart · 30 mm",
                TWIST_SOURCE,
            )
    }

    /// A finding of its bends, with the twist told. It passes no verdict: a lead is longer than the shortest way, and where its
    /// slack is left it turns as gently as it likes.
    fn told_with(&self, mut finding: Finding) -> Finding {
        let over = match self.twist.over.get() <= TWIST_OVER_LEAST.get() {
            true => format!("at one spot, within {}", mm(TWIST_OVER_LEAST.get())),
            false => format!("within {}", mm(self.twist.over.get())),
        };
        finding.message += &format!(
            "; it is flat, and pulled tight it would twist by {}° {over}, {}, where {}° in {} is the most: leave its slack \
             there, so that it twists gently",
            rounded(self.twist.angle.get(), 0),
            self.place,
            rounded(TWIST_MOST.get(), 0),
            mm(TWIST_OVER.get())
        );
        finding
    }
}

/// The wide side of a plug, across the way its lead leaves; `None` for one that is as wide as high.
fn wide_side(proof: &Proof, tip: &LeadTip) -> Option<BodyVector> {
    let plug = &proof.inputs().solids.get(tip.plug?.0 as usize)?.solid;
    let Shape::Cuboid(body) = &plug.shape else { return None };
    let leaves = tip.end().leaving?;
    let axes = [PartVector::X, PartVector::Y, PartVector::Z].map(|axis| plug.pose.vector(axis));
    let across = axes.into_iter().zip(body.size()).filter(|(axis, _)| axis.dot(leaves).abs() < 0.5);
    let mut across: Vec<(BodyVector, f64)> = across.map(|(axis, size)| (axis, size.get())).collect();
    across.sort_by(|a, b| b.1.total_cmp(&a.1));
    let [(wide, size), (_, other)] = across[..] else { return None };
    (size > FLAT * other).then_some(wide)
}

/// What its bends say of a lead.
fn bent(proof: &Proof, lead: &Lead, way: &LeadWay, answer: &mut Answer) -> Finding {
    let subject = lead.called(proof);
    let Some(bend) = way.route.sharpest else {
        return Finding::new(HARNESS_BEND.id, Verdict::Sound, subject, "It runs straight");
    };
    let least = way.least_bend.get();
    let share = bend.radius.get() / least;
    let share = if share >= KEPT { share.max(1.0) } else { share };
    let verdict = match share {
        s if s < LEAD_BEND.broken => Verdict::Broken,
        s if s < LEAD_BEND.tight => Verdict::Tight,
        _ => Verdict::Sound,
    };
    let place = place_of(proof, lead, way, &bend);
    let radius = mm(bend.radius.get().max(if share >= 1.0 { least } else { 0.0 }));
    let id = format!("fit.harness_bend[{}]", proof.craft.places[lead.place].id);
    answer.figures.push(
        Lines::of(proof)
            .given("sharpest bend on the shortest way", bend.radius.get(), Unit::Millimetres, place.clone())
            .given("least radius of the lead", least, Unit::Millimetres, least_from(lead.kind, way))
            .figure(
                id.clone(),
                "sharpest bend of a lead over the least it may take",
                (&Linear::exact(share), Unit::Ratio),
                format!(
                    "sharpest bend / least radius; {} per cent and more count as kept",
                    rounded(KEPT * 100.0, 0)
                ),
                LEAD_BEND.source,
            ),
    );
    let message = match verdict {
        Verdict::Sound => format!("Its sharpest bend is {radius}, {place}; it may be bent to {}", mm(least)),
        _ => format!(
            "It must bend to a radius of {radius}, {place}, and may be bent to {}: strands break",
            mm(least)
        ),
    };
    let mut finding = Finding::new(HARNESS_BEND.id, verdict, subject, message);
    finding.figure = Some(FigureId(id.into()));
    if verdict == Verdict::Sound {
        return finding;
    }
    let round = turns_round(proof, way, &bend).map_or(String::new(), |name| format!(" past {name}"));
    match plug_at(lead, way, &bend) {
        Some(tip) => {
            let unit = &proof.craft.places[tip].id;
            let name = proof.part_of(tip).map_or(unit.as_str(), |part| part.name.as_str());
            finding
                .mend(format!("Turn {name}, so that the lead leaves its plug toward free air."))
                .mend(format!("Take a plug whose lead leaves another way{round}."))
        }
        None => finding.mend(format!("Make room where it turns{round}, or lead it another way.")),
    }
}

fn least_from(kind: LeadKind, way: &LeadWay) -> String {
    match kind {
        _ if way.least_bend_stated => "stated for the lead".to_owned(),
        _ => kind.practice().source.line(),
    }
}

/// Where a bend is, in words.
fn place_of(proof: &Proof, lead: &Lead, way: &LeadWay, bend: &Bend) -> String {
    let along = along(way, bend);
    let whole = way.route.length.value;
    let near = usize::from(along > whole / 2.0);
    let away = if near == 0 { along } else { whole - along };
    let plug = lead.tips[near].as_ref().map_or("its end", |tip| tip.called.as_str());
    match turns_round(proof, way, bend) {
        Some(name) => format!("{} after {plug}, past {name}", mm(away.max(0.1))),
        None => format!("{} after {plug}", mm(away.max(0.1))),
    }
}

/// How far along the route a bend is, in mm.
fn along(way: &LeadWay, bend: &Bend) -> f64 {
    let points = &way.route.points;
    let nearest = (0..points.len()).min_by(|a, b| {
        let far = |n: usize| points[n].distance_to(bend.at).get();
        far(*a).total_cmp(&far(*b))
    });
    points[..=nearest.unwrap_or(0)].windows(2).map(|w| w[0].distance_to(w[1]).get()).sum()
}

/// The place of the plug that forces a bend, if it is at one.
fn plug_at(lead: &Lead, way: &LeadWay, bend: &Bend) -> Option<usize> {
    let along = along(way, bend);
    let near = AT_PLUG * way.least_bend.get();
    let ends = [along, way.route.length.value - along];
    let tip = (0..2).filter(|n| ends[*n] < near).min_by(|a, b| ends[*a].total_cmp(&ends[*b]))?;
    lead.tips[tip].as_ref().map(|tip| tip.place)
}

/// What the lead turns round where it bends most.
fn turns_round<'p>(proof: &'p Proof, way: &LeadWay, bend: &Bend) -> Option<&'p str> {
    let near = way.route.leans.iter().find(|lean| lean.at.distance_to(bend.at).get() < TURNS_ROUND)?;
    Some(proof.inputs().solids.get(near.solid.0 as usize)?.solid.name.as_str())
}

#[cfg(test)]
mod tests {
    use super::HARNESS_BEND;
    use crate::testing::set;
    use crate::testing_stack::led_told;
    use craft::Craft;
    use expect_test::{Expect, expect};

    fn check(spoil: impl FnOnce(&mut Craft), expected: Expect) {
        expected.assert_eq(&led_told(&HARNESS_BEND, spoil));
    }

    #[test]
    fn bends_as_wide_as_the_lead_asks_are_sound() {
        check(
            |_| {},
            expect![[r#"
                sound · flat harness
                  Its sharpest bend is 5 mm, 6.5 mm after plug camera of video transmitter; it may be bent to 5 mm
                sound · pigtail
                  Its sharpest bend is 5.7 mm, 1.8 mm after plug coax of video transmitter, past video transmitter; it may be bent to 5.7 mm
            "#]],
        );
    }

    #[test]
    fn a_lead_that_leaves_its_plug_into_a_wall_is_told() {
        check(
            |craft| set(craft, "vtx.plug[2].leaves", "forward"),
            expect![[r#"
                broken · flat harness
                  It must bend to a radius of 1 mm, 0.1 mm after plug camera of video transmitter, past components on flight controller, and may be bent to 5 mm: strands break
                  > Turn video transmitter, so that the lead leaves its plug toward free air.
                  > Take a plug whose lead leaves another way past components on flight controller.
                sound · pigtail
                  Its sharpest bend is 5.7 mm, 1.8 mm after plug coax of video transmitter, past video transmitter; it may be bent to 5.7 mm
            "#]],
        );
    }
}
