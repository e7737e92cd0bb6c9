//! Do blades keep off everything soft?

use super::fit_pair_clearance::witness;
use crate::limits::BLADE_TO_SOFT;
use crate::numbers::mm;
use crate::rule::rule;
use crate::standing::standing;
use crate::subject::plain_direction;
use crate::working::Lines;
use crate::{Answer, Proof, Verdict};
use fit::Role;
use quantity::{FigureId, Unit};
use std::collections::BTreeMap;

rule! {
    /// Do blades keep off everything soft: pack, coax, antennas, straps?
    ///
    /// ## Why
    /// Arms flex about three degrees in a hard turn. What is soft swings, and what a blade reaches it cuts.
    ///
    /// ## Sound when
    /// Every soft part keeps 8 mm from every swept disc. Under 8 mm it is tight, under 3 mm broken. Leads that follow
    /// no drawn route are not seen: tie them down.
    ///
    /// ## Rests on
    /// Blade diameter and height, where motors and soft parts sit, each with its doubt. Limits are common practice.
    ///
    /// ## Mend
    /// Tie the part down, shorten it, or move it away from the disc.
    BLADE_SWEEP = "fit.blade_sweep", run
}

pub(super) const SOFT: &[Role] =
    &[Role::Harness, Role::Coax, Role::Pack, Role::Strap, Role::AntennaElement, Role::ControlAntenna];

fn run(proof: &Proof) -> Answer {
    let mut answer = Answer::default();
    let Ok(near) = proof.near_pairs() else { return answer };
    let solids = &proof.inputs().solids;
    // Of several pieces of one part the nearest speaks for it.
    let mut nearest = BTreeMap::new();
    for pair in near {
        let of = [pair.clearance.a, pair.clearance.b].map(|index| &solids[index.0 as usize]);
        let is_pair = of.iter().any(|s| s.solid.role == Role::BladeSweep)
            && of.iter().any(|s| SOFT.contains(&s.solid.role));
        let distance = pair.clearance.gap.distance.get();
        if is_pair && nearest.get(&pair.places).is_none_or(|(_, known)| distance < *known) {
            nearest.insert(pair.places, (pair, distance));
        }
    }
    for (pair, distance) in nearest.into_values() {
        let of = [pair.clearance.a, pair.clearance.b].map(|index| &solids[index.0 as usize]);
        let blade_first = of[0].solid.role == Role::BladeSweep;
        let (disc, soft) = if blade_first { (of[0], of[1]) } else { (of[1], of[0]) };
        let judged = standing(proof, &pair.clearance.gap.linear, &BLADE_TO_SOFT);
        let verdict = judged.verdict;
        let subject = format!("{} and {}", soft.solid.name, disc.solid.name);
        let message = match verdict {
            Verdict::Sound => {
                format!("{} keeps {} from the {}", soft.solid.name, mm(distance), disc.solid.name)
            }
            _ if distance <= 0.0 => {
                format!("{} stands {} inside the {}", soft.solid.name, mm(-distance), disc.solid.name)
            }
            _ => format!(
                "{} is {} from the {}: a blade can reach it in a hard turn",
                soft.solid.name,
                mm(distance),
                disc.solid.name
            ),
        };
        let away = if blade_first { pair.clearance.gap.direction } else { -pair.clearance.gap.direction };
        let (way, _) = plain_direction(away);
        let id = format!("fit.blade_gap[{}|{}]", soft.solid.name, disc.solid.name);
        let figure = Lines::of(proof).facts(&pair.clearance.gap.linear).figure(
            id.clone(),
            "air between a soft part and a swept disc",
            (&pair.clearance.gap.linear, Unit::Millimetres),
            "nearest distance of the part to the swept disc",
            BLADE_TO_SOFT.source,
        );
        let mut finding = judged.finding(BLADE_SWEEP.id, subject, message);
        if verdict != Verdict::Sound {
            let short = (BLADE_TO_SOFT.tight - distance).max(0.3);
            finding = finding.mend(format!("Tie it down or shorten it, or move it {} {way}.", mm(short)));
        }
        finding.figure = Some(FigureId(id.into()));
        finding.witness = Some(witness(pair));
        answer.findings.push(finding.at([soft, disc].map(|s| proof.craft.places[s.place].id.clone())));
        answer.figures.push(figure);
    }
    answer
}
