//! Can each lead lie without a bend too sharp for it?

use crate::limits::LEAD_BEND;
use crate::numbers::{mm, rounded};
use crate::rule::rule;
use crate::subject::{Lead, LeadWay};
use crate::working::Lines;
use crate::{Answer, Finding, Proof, Verdict};
use fit::{Bend, LeadKind};
use quantity::{FigureId, Linear, Unit};

rule! {
    /// Can each lead lie without a bend too sharp for it?
    ///
    /// ## Why
    /// A camera harness is a bundle of coaxial strands thinner than a hair, and thin coax crushes its insulation: bent
    /// too sharply, strands break one by one, and the picture flickers before it goes.
    ///
    /// ## Sound when
    /// On the shortest way round everything no bend is sharper than the lead may take: 5 mm for a harness unless its
    /// maker says otherwise, five diameters for coax. Sharper is tight, under six tenths of it broken.
    ///
    /// ## Rests on
    /// Where the plugs are and which way leads leave them, the lead's thickness, and all that stands between. Common
    /// practice. A route is drawn with bends as wide as there is room for; a few per cent count as kept.
    ///
    /// ## Mend
    /// Turn the board or the plug so that the lead leaves toward free air; make room where it must turn.
    HARNESS_BEND = "fit.harness_bend", run
}

/// The share of a radius that counts as kept: the route is a chain of short straight pieces.
const KEPT: f64 = 0.93;
/// A bend this near an end, over the least radius, is forced by how the lead leaves its plug.
const AT_PLUG: f64 = 2.5;
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
                  Its sharpest bend is 5.6 mm, 1.8 mm after plug coax of video transmitter, past video transmitter; it may be bent to 5.6 mm
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
                  Its sharpest bend is 5.6 mm, 1.8 mm after plug coax of video transmitter, past video transmitter; it may be bent to 5.6 mm
            "#]],
        );
    }
}
