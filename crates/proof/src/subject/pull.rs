//! The straight way out of a plug, socket, slot or button: how far it is free, and what stands in it.
//!
//! The body of the plug is swept along its pull direction. Against each solid near that way two numbers
//! are taken: how far the plug travels before it meets it, and how deep the whole swept space and the solid
//! share a place, with the facts that lean on it: that gives the certainty.

use crate::inputs::{CraftSolid, Piece};
use crate::limits::{PULL_BEYOND, pull_space};
use crate::numbers::mm;
use crate::standing::standing_of;
use crate::working::Lines;
use crate::{Answer, Finding, Placed, Proof, Verdict, Witness};
use craft::Item;
use craft::schema::{PartKind, shape};
use fit::{
    BodyVector, Gap, PartVector, Role, Shape, Solid, SolidIndex, distance_between, straight_sweep_free,
};
use quantity::{FigureId, Millimetres, Unit};

/// What differs between a plug that is pulled and a slot that is reached.
pub(crate) struct PullCase {
    pub(crate) rule: &'static str,
    pub(crate) uses: &'static [&'static str],
    pub(crate) does: &'static str,
    pub(crate) mend: &'static str,
}

pub(crate) fn answer(proof: &Proof, case: &PullCase) -> Answer {
    let mut answer = Answer::default();
    for (number, place) in proof.craft.places.iter().enumerate() {
        let Some(part) = proof.craft.part_at(place) else { continue };
        for (row_number, row) in part.rows(&shape::plug::TABLE).enumerate() {
            let used = row.text(&shape::plug::USE).unwrap_or("other");
            if !case.uses.contains(&used) {
                continue;
            }
            let piece = Piece::Row(shape::plug::TABLE.key, row_number);
            let Some((index, solid)) = proof.inputs().solids_of(number).find(|(_, s)| s.piece == piece)
            else {
                continue;
            };
            one(proof, case, Placed { place, part }, &row, used, index, solid, &mut answer);
        }
    }
    answer
}

#[allow(clippy::too_many_arguments)]
fn one(
    proof: &Proof,
    case: &PullCase,
    placed: Placed,
    row: &Item<'_>,
    used: &str,
    index: SolidIndex,
    plug: &CraftSolid,
    answer: &mut Answer,
) {
    let name = plug.solid.name.clone();
    let way = match row.text(&shape::plug::PULL) {
        Ok(word) => direction(word),
        Err(missing) => {
            answer
                .findings
                .push(Finding::unknown(case.rule, name, vec![missing]).at([placed.place.id.clone()]));
            return;
        }
    };
    let Some(seat) = proof.inputs().seat(plug.place) else { return };
    let way = seat.pose.vector(way);
    let stated = row.read(&shape::plug::PULL_SPACE).ok();
    let (travel, origin) = match &stated {
        Some(stated) => (stated.value, stated.basis.words().to_owned()),
        None => (pull_space(used).travel, pull_space(used).source.line()),
    };
    // Air is no obstacle, and what holds the plug's own board does not move on it.
    let passing: Vec<SolidIndex> = proof
        .inputs()
        .solids
        .iter()
        .enumerate()
        .filter(|(_, s)| s.ghost || matches!(s.solid.role, Role::Harness | Role::Strap))
        .map(|(n, _)| SolidIndex(n as u32))
        .collect();
    let Some(pull) = straight_sweep_free(&proof.inputs().scene, index, way, travel + PULL_BEYOND, &passing)
    else {
        return;
    };
    let (free, beyond) = (pull.free.get(), PULL_BEYOND.get());
    let Some(stop) = pull.stopped_by else {
        let message = format!("{name} {} straight, {} and more are free", case.does, mm(travel.get()));
        answer.findings.push(
            Finding::new(case.rule, Verdict::Sound, name, message)
                .at([placed.place.id.clone()])
                .margin(Millimetres::new(beyond), None),
        );
        return;
    };
    let obstacle = &proof.inputs().solids[stop.solid.0 as usize];
    let in_way =
        swept(&plug.solid, way, travel).and_then(|space| distance_between(&space, &obstacle.solid).ok());
    let mut finding = match in_way {
        Some(gap) => judged(proof, case, plug, obstacle, &gap, free, travel.get(), origin, answer),
        None => Finding::new(
            case.rule,
            if free < travel.get() { Verdict::Broken } else { Verdict::Tight },
            name.clone(),
            String::new(),
        ),
    };
    finding.message = if free < travel.get() {
        format!(
            "{name} {} only {} of {}: {} is in the way",
            case.does,
            mm(free),
            mm(travel.get()),
            obstacle.solid.name
        )
    } else {
        format!(
            "{name} {}, but {} stands {} beyond its way",
            case.does,
            obstacle.solid.name,
            mm(free - travel.get())
        )
    };
    if finding.verdict != Verdict::Sound {
        finding = finding.mend(case.mend);
        // What belongs to the frame stays where it is.
        let held = proof.craft.part_at(&proof.craft.places[obstacle.place]);
        if held.is_some_and(|part| part.kind != PartKind::Frame) {
            finding = finding.mend(format!("Or move {} out of its way.", obstacle.solid.name));
        }
    }
    finding.witness.get_or_insert(Witness {
        solid_a: index.0 as usize,
        solid_b: stop.solid.0 as usize,
        on_a: stop.at.coordinates(),
        on_b: stop.at.coordinates(),
    });
    if let Some(witness) = &mut finding.witness {
        (witness.solid_a, witness.solid_b) = (index.0 as usize, stop.solid.0 as usize);
    }
    answer
        .findings
        .push(finding.at([placed.place.id.clone(), proof.craft.places[obstacle.place].id.clone()]));
}

#[allow(clippy::too_many_arguments)]
fn judged(
    proof: &Proof,
    case: &PullCase,
    plug: &CraftSolid,
    obstacle: &CraftSolid,
    gap: &Gap,
    free: f64,
    travel: f64,
    origin: String,
    answer: &mut Answer,
) -> Finding {
    let standing = standing_of(proof, &gap.linear, 0.0, Unit::Millimetres);
    let verdict = match standing.verdict {
        Verdict::Sound if free < travel + PULL_BEYOND.get() => Verdict::Tight,
        verdict => verdict,
    };
    let id = format!("{}[{}|{}]", case.rule, plug.solid.name, obstacle.solid.name);
    answer.figures.push(
        Lines::of(proof)
            .given("straight travel until free", travel, Unit::Millimetres, origin)
            .given("travel until it meets something", free, Unit::Millimetres, obstacle.solid.name.clone())
            .facts(&gap.linear)
            .figure(
                id.clone(),
                "room between a plug's way out and what is nearest to it",
                (&gap.linear, Unit::Millimetres),
                "nearest distance between the space the plug sweeps and the solid; negative: how deep they share a place",
                pull_space("other").source,
            ),
    );
    let advice = standing.advice.clone();
    let standing = crate::standing::Standing { verdict, ..standing };
    let mut finding = standing.finding(case.rule, plug.solid.name.clone(), String::new());
    if let Some(advice) = advice {
        finding = finding.mend(format!("Measure the {} first: it decides.", advice.label));
    }
    finding.figure = Some(FigureId(id.into()));
    finding.witness =
        Some(Witness { solid_a: 0, solid_b: 0, on_a: gap.on_a.coordinates(), on_b: gap.on_b.coordinates() });
    finding
}

/// The space a plug's box takes on its way; its own box is part of it.
fn swept(plug: &Solid, way: BodyVector, travel: Millimetres) -> Option<Solid> {
    let Shape::Cuboid(body) = &plug.shape else { return None };
    let local = plug.pose.inverse().vector(way);
    let along = [local.x().abs(), local.y().abs(), local.z().abs()];
    let [x, y, z] = body.size();
    let grown = |side: Millimetres, share: f64| side + travel * share;
    let shape = Shape::cuboid(grown(x, along[0]), grown(y, along[1]), grown(z, along[2])).ok()?;
    Some(Solid { shape, pose: plug.pose.shifted(way * (travel.get() / 2.0)), ..plug.clone() })
}

fn direction(word: &str) -> PartVector {
    match word {
        "forward" => PartVector::X,
        "back" => -PartVector::X,
        "left" => PartVector::Y,
        "right" => -PartVector::Y,
        "down" => -PartVector::Z,
        _ => PartVector::Z,
    }
}
