//! Do blades keep off everything soft?

use super::fit_pair_clearance::witness;
use crate::inputs::{CraftSolid, NearPair};
use crate::limits::{BLADE_TO_ANTENNA, BLADE_TO_SOFT, Limit};
use crate::numbers::mm;
use crate::rule::rule;
use crate::standing::standing;
use crate::subject::{BladeNear, Lead, LeadWay, Unlaid, blades_near, duct_between, plain_direction, tie_at};
use crate::working::Lines;
use crate::{Answer, Finding, Proof, Verdict, Witness};
use fit::{BodyVector, Role};
use quantity::{FigureId, Unit};
use std::collections::BTreeMap;

rule! {
    /// Do blades keep off everything soft: leads, pack, antennas, straps?
    ///
    /// ## Why
    /// Arms flex about three degrees in a hard turn. What is soft swings, and what a blade reaches it cuts.
    ///
    /// ## Sound when
    /// Every soft part keeps 8 mm from every swept disc, every antenna 10 mm. Nearer it is tight, under 3 mm broken. The
    /// wall of a duct between the two is a barrier: then it is sound. A harness or pigtail counts where its shortest way
    /// lies, with its thickness. Where that way goes round a disc only a tie keeps it there, and where its spare length
    /// lets it swing to within 3 mm it can be cut though it is laid well: both are tight.
    ///
    /// ## Rests on
    /// Blade diameter and height, where motors, soft parts and plugs sit, the thickness of leads, each with its doubt; for
    /// the swing the length of the lead and the strain reliefs it passes. Limits are common practice.
    ///
    /// ## Mend
    /// Tie the part down where it is named, shorten it, or move it away from the disc.
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
    let discs = solids.iter().any(|s| is(s, &[Role::BladeSweep]));
    let leads = if discs { proof.leads() } else { &[] };
    for lead in leads {
        lead_and_blades(proof, lead, &mut answer);
    }
    let all_laid = leads.iter().all(|lead| lead.way.is_ok());
    if nearest.is_empty() && answer.findings.is_empty() && all_laid {
        let soft = !leads.is_empty() || solids.iter().any(|s| is(s, SOFT));
        if discs && soft {
            let message = "No pack, lead or antenna comes near a swept disc";
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
    let gap = &pair.clearance.gap;
    if let Some(duct) = duct_between(proof, gap.on_a, gap.on_b) {
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

/// How each disc that a lead comes near stands toward it.
fn lead_and_blades(proof: &Proof, lead: &Lead, answer: &mut Answer) {
    let way = match &lead.way {
        Ok(way) => way,
        // Why there is no way is told of the length.
        Err(Unlaid::Missing(missing)) => {
            let subject = format!("{} and blades", lead.called(proof));
            let finding = Finding::unknown(BLADE_SWEEP.id, subject, missing.clone());
            return answer.findings.push(finding.at(lead.places(proof)));
        }
        Err(_) => return,
    };
    for near in blades_near(proof, lead, way) {
        let disc = &proof.inputs().solids[near.disc.0 as usize];
        let finding = judge_lead(proof, lead, way, &near, disc, answer);
        let mut places = lead.places(proof);
        places.insert(1, proof.craft.places[disc.place].id.clone());
        answer.findings.push(finding.at(places));
    }
}

fn judge_lead(
    proof: &Proof,
    lead: &Lead,
    way: &LeadWay,
    near: &BladeNear,
    disc: &CraftSolid,
    answer: &mut Answer,
) -> Finding {
    let (name, blades) = (lead.called(proof), &disc.solid.name);
    let subject = format!("{name} and {blades}");
    let (gap, distance) = (&near.gap, near.gap.distance.value);
    let place = along_from(lead, way, gap.along.get());
    let seen = Some(Witness {
        solid_a: near.disc.0 as usize,
        solid_b: near.disc.0 as usize,
        on_a: gap.on_solid.coordinates(),
        on_b: gap.on_lead.coordinates(),
    });
    if let Some(duct) = &near.duct {
        let message = format!("{name} is {} from the {blades}, with the {duct} between", mm(distance));
        return Finding { witness: seen, ..Finding::new(BLADE_SWEEP.id, Verdict::Sound, subject, message) };
    }
    let judged = standing(proof, &gap.distance, &BLADE_TO_SOFT);
    let id = format!("fit.blade_gap[{}|{blades}]", proof.craft.places[lead.place].id);
    answer.figures.push(
        Lines::of(proof)
            .result(
                "half the thickness of the lead",
                &way.asked.half_thickness,
                Unit::Millimetres,
                "its part",
            )
            .facts(&gap.distance)
            .figure(
                id.clone(),
                "air between a lead on its shortest way and a swept disc",
                (&gap.distance, Unit::Millimetres),
                "nearest distance of its middle line to the swept disc - half its thickness",
                BLADE_TO_SOFT.source,
            ),
    );
    let held = near.held_by.and_then(|index| proof.inputs().solids.get(index.0 as usize));
    let round = gap.drawn_round && distance > BLADE_TO_SOFT.tight - DRAWN;
    let kept = round && held.is_none();
    let verdict = match judged.verdict {
        Verdict::Broken => Verdict::Broken,
        // What is asked for is kept but for the last hundredths of the way's own accuracy.
        _ if round && !kept && near.swing.is_none() => Verdict::Sound,
        Verdict::Sound if kept || near.swing.is_some() => Verdict::Tight,
        verdict => verdict,
    };
    let message = match (&near.swing, verdict) {
        (_, Verdict::Sound) if round => format!(
            "The way of {name} goes round the {blades}, {place}, {} from it, and {} holds it there",
            mm(distance),
            held.map_or("a relief", |relief| relief.solid.name.as_str())
        ),
        (_, Verdict::Sound) => format!("{name} keeps {} from the {blades}, nearest {place}", mm(distance)),
        _ if distance < 0.0 => format!("{name} runs {} inside the {blades}, {place}", mm(-distance)),
        _ if kept => format!(
            "The way of {name} goes round the {blades}, {place}, {} from it: pulled tight or left loose it runs into the \
             blades, only a tie keeps it away",
            mm(distance)
        ),
        (Some(swing), _) if distance >= BLADE_TO_SOFT.tight => format!(
            "{name} can be laid {} from the {blades}, but left loose the {} it has over what it needs let it swing {}",
            mm(distance),
            mm(swing.over),
            if swing.gap < 0.0 { "into them".to_owned() } else { format!("to within {}", mm(swing.gap)) }
        ),
        _ => format!(
            "{name} is {} from the {blades}, {place}: a blade can reach it in a hard turn",
            mm(distance)
        ),
    };
    let mut finding = judged.finding(BLADE_SWEEP.id, subject, message);
    finding.verdict = verdict;
    finding.figure = Some(FigureId(id.into()));
    finding.witness = seen;
    if verdict == Verdict::Sound {
        return finding;
    }
    if let Some(advice) = finding.measure_next.as_ref().filter(|_| !kept && near.swing.is_none()) {
        let measure = format!("Measure the {} first: it decides.", advice.label);
        finding = finding.mend(measure);
    }
    let at = near.swing.as_ref().map_or(gap.on_lead, |swing| swing.at);
    let tie = tie_at(proof, lead, at);
    if let Some(swing) = &near.swing {
        finding = finding.mend(match tie {
            Some(tie) => format!("Tie it to {tie}, and enter the tie as a strain relief."),
            None => "Tie it where it can swing.".to_owned(),
        });
        return finding.mend(format!("Or take one that is {} shorter.", mm(swing.shorten_by)));
    }
    let whole = way.route.length.value;
    let ends = [gap.along.get(), whole - gap.along.get()];
    let by_plug = (0..2).find(|n| ends[*n] < BY_THE_PLUG).and_then(|n| lead.tips[n].as_ref());
    let away = (gap.on_lead - gap.on_solid).direction().unwrap_or(BodyVector::Z);
    let (direction, share) = plain_direction(if distance < 0.0 { -away } else { away });
    let by = mm(((BLADE_TO_SOFT.tight - distance) / share.max(0.3) * 10.0 - 1e-6).ceil().max(3.0) / 10.0);
    match (by_plug, tie) {
        (Some(tip), _) if !kept => {
            let unit = proof.part_of(tip.place).map_or(tip.called.as_str(), |part| part.name.as_str());
            finding.mend(format!(
                "Turn {unit}, or move it {by} {direction}, so that the lead leaves farther from the blades."
            ))
        }
        (_, Some(tie)) if kept => {
            finding.mend(format!("Tie it to {tie}, and enter the tie as a strain relief."))
        }
        (_, Some(tie)) => finding.mend(format!("Tie it to {tie}, {by} farther {direction}.")),
        (_, None) => finding.mend(format!("Lead it {by} farther {direction}.")),
    }
}

/// A lead drawn round a disc keeps what it was asked to within this, in mm.
const DRAWN: f64 = 0.1;
/// A place this near a plug along the lead goes by where the plug is, in mm.
const BY_THE_PLUG: f64 = 10.0;

/// Where a place along a lead is, in words.
fn along_from(lead: &Lead, way: &LeadWay, along: f64) -> String {
    let whole = way.route.length.value;
    let near = usize::from(along > whole / 2.0);
    let away = if near == 0 { along } else { (whole - along).max(0.0) };
    let tip = lead.tips[near].as_ref().map_or("its end", |tip| tip.called.as_str());
    match away {
        away if away < 0.5 => format!("at {tip}"),
        away => format!("{} after {tip}", mm(away)),
    }
}

#[cfg(test)]
#[path = "fit_blade_sweep_tests.rs"]
mod tests;
