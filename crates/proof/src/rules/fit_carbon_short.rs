//! Do bare conductors keep off carbon?

use super::fit_pair_clearance::{room, witness};
use crate::limits::PAD_TO_CARBON;
use crate::numbers::mm;
use crate::rule::rule;
use crate::standing::standing;
use crate::working::Lines;
use crate::{Answer, Finding, Proof, Verdict};
use craft::schema::place as place_schema;
use fit::Role;
use quantity::{FigureId, Unit};

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
    for pair in near {
        let of = [pair.clearance.a, pair.clearance.b].map(|index| &solids[index.0 as usize]);
        let (pad, plate) = match (of[0].solid.role, of[1].solid.role) {
            (Role::BareConductor, Role::CarbonPlate) => (of[0], of[1]),
            (Role::CarbonPlate, Role::BareConductor) => (of[1], of[0]),
            _ => continue,
        };
        let places = [pad, plate].map(|s| proof.craft.places[s.place].id.clone());
        let subject = format!("{} and {}", pad.solid.name, plate.solid.name);
        let distance = pair.clearance.gap.distance.get();
        if proof.craft.places[pad.place].item().flag(&place_schema::INSULATED) == Ok(true) && distance >= 0.0
        {
            let message =
                format!("An insulating sheet lies between {} and {}", pad.solid.name, plate.solid.name);
            answer.findings.push(Finding::new(CARBON_SHORT.id, Verdict::Sound, subject, message).at(places));
            continue;
        }
        let judged = standing(proof, &pair.clearance.gap.linear, &PAD_TO_CARBON);
        let verdict = judged.verdict;
        let message = match verdict {
            Verdict::Sound => format!("{} keeps {} from {}", pad.solid.name, mm(distance), plate.solid.name),
            _ if distance <= 0.0 => {
                format!("{} touches {}, which conducts", pad.solid.name, plate.solid.name)
            }
            _ => format!(
                "{} is {} from {}: it may touch carbon, which conducts",
                pad.solid.name,
                mm(distance),
                plate.solid.name
            ),
        };
        let id = format!("fit.pad_gap[{}|{}]", pad.solid.name, plate.solid.name);
        answer.figures.push(Lines::of(proof).facts(&pair.clearance.gap.linear).figure(
            id.clone(),
            "air between a bare conductor and carbon",
            (&pair.clearance.gap.linear, Unit::Millimetres),
            "nearest distance of the bare conductor to the carbon plate",
            PAD_TO_CARBON.source,
        ));
        let mut finding = judged.finding(CARBON_SHORT.id, subject, message);
        if verdict != Verdict::Sound {
            finding = finding
                .mend("Lay an insulating sheet between, and say so at the place.")
                .mend(room(proof, pair, of));
        }
        finding.figure = Some(FigureId(id.into()));
        finding.witness = Some(witness(pair));
        answer.findings.push(finding.at(places));
    }
    answer
}
