//! Whether a plug comes out, or a slot, socket or button can be reached: what stands in its straight way.
//!
//! Every solid near the way is measured against the space the plug takes on it (see `pull_way`), with the
//! facts the distance leans on: that gives the certainty. The body of the plug, moved along, gives how far it
//! comes and what stops it. Beyond its way 2 mm more had better be free; beside the way of what fingers must
//! reach, 2 mm on some two opposite sides.

use super::better_turn::better_turn;
use super::pull_way::{ByX, PluggedIn, PullWay, passing, pull_ways};
use crate::inputs::CraftSolid;
use crate::limits::{BESIDE_WAY, PULL_BEYOND, pull_space};
use crate::names::called;
use crate::numbers::mm;
use crate::standing::{Standing, standing_of};
use crate::working::Lines;
use crate::{Answer, Finding, Proof, Verdict, Witness};
use craft::Anchor;
use craft::schema::{PartKind, shape};
use fit::{
    Extent, Gap, Scene, Shape, Solid, SolidIndex, Stop, distance_between, keeps_from, straight_sweep_free,
};
use quantity::{FigureId, Linear, Millimetres, Unit, chance_at_least};

/// What differs between a plug that is pulled and a slot that is reached.
pub(crate) struct PullCase {
    pub(crate) rule: &'static str,
    pub(crate) uses: &'static [&'static str],
    pub(crate) does: &'static str,
    pub(crate) does_not: &'static str,
    /// Whether fingers must get there.
    pub(crate) by_hand: bool,
}

pub(crate) fn answer(proof: &Proof, case: &PullCase) -> Answer {
    let mut answer = Answer::default();
    // What is tried is no larger than what was measured, and asks for few pairs itself.
    if !proof.is_trial()
        && let Err(too_many) = proof.near_pairs()
    {
        let finding = Finding::new(case.rule, Verdict::Unknown, "the whole craft", too_many.to_string());
        return Answer::of(finding.mend("Split the craft, or draw fewer small solids."));
    }
    let known = Surroundings { plugged: PluggedIn::of(proof), by_x: ByX::of(&proof.inputs().scene) };
    for number in 0..proof.craft.places.len() {
        let (ways, missing) = pull_ways(proof, number, |used| case.uses.contains(&used));
        for way in ways {
            one(proof, case, &known, &way, &mut answer);
        }
        if let Some(placed) = proof.placed_number(number).filter(|_| !missing.is_empty()) {
            let subject = format!("plugs of {}", called(proof, placed));
            answer.findings.push(Finding::unknown(case.rule, subject, missing).at([placed.place.id.clone()]));
        }
    }
    answer
}

/// A solid near the way.
struct Beside<'p> {
    index: SolidIndex,
    solid: &'p CraftSolid,
    gap: Gap,
}

/// What every plug asks about, looked up once.
struct Surroundings {
    plugged: PluggedIn,
    by_x: ByX,
}

fn one(proof: &Proof, case: &PullCase, known: &Surroundings, pull: &PullWay, answer: &mut Answer) {
    let scene = &proof.inputs().scene;
    let way = Scene::new(vec![pull.space.clone()]).ok().and_then(|scene| scene.extent(SolidIndex(0)));
    let boxes: Vec<Extent> = way.into_iter().chain(scene.extent(pull.index)).collect();
    // Nothing further off than this can stop the plug or stand beside its way.
    let near = known.by_x.near(scene, &boxes, PULL_BEYOND.max(BESIDE_WAY) + PULL_BEYOND);
    let passing = passing(proof, &known.plugged, pull, &near);
    let reach = pull.travel + PULL_BEYOND;
    let Some(cast) = straight_sweep_free(&proof.inputs().scene, pull.index, pull.way, reach, &passing) else {
        return;
    };
    // A stick is thinner than the button it presses: what only the button would meet is not in its way.
    let stick = pull.used == "button";
    let beside = beside(proof, pull, &near, &passing);
    let needs_tool = case.by_hand && !stick && !fingers_fit(pull, &beside);
    let worst = beside.into_iter().min_by(|a, b| {
        let chance = |beside: &Beside| chance_at_least(&beside.gap.linear, &proof.ledger(), 0.0).get();
        chance(a).total_cmp(&chance(b)).then(a.gap.distance.get().total_cmp(&b.gap.distance.get()))
    });
    let (free, travel) = (cast.free.get(), pull.travel.get());
    let stop = cast.stopped_by.filter(|_| !stick);
    let finding = match (worst, stop) {
        (Some(worst), stop) => judged(proof, case, pull, &worst, stop, free, needs_tool, answer),
        (None, Some(stop)) => beyond(proof, case, pull, stop, free - travel),
        (None, None) => {
            let message =
                format!("{} {} straight, {} and more are free", pull.plug.solid.name, case.does, mm(travel));
            Finding::new(case.rule, Verdict::Sound, pull.plug.solid.name.clone(), message)
                .margin(PULL_BEYOND, None)
        }
    };
    let own = pull.placed.place.id.clone();
    let mut places = vec![own.clone()];
    places.extend(finding.places.iter().filter(|place| **place != own).cloned());
    answer.findings.push(Finding { places, ..finding });
}

/// Every solid within the air wanted beside the way.
fn beside<'p>(
    proof: &'p Proof,
    pull: &PullWay,
    near: &[SolidIndex],
    passing: &[SolidIndex],
) -> Vec<Beside<'p>> {
    near.iter()
        .copied()
        .filter(|index| *index != pull.index && passing.binary_search(index).is_err())
        .filter_map(|index| {
            let solid = proof.inputs().solids.get(index.0 as usize)?;
            let gap = distance_between(&pull.space, &solid.solid).ok()?;
            // What belongs to the same part was fitted by its maker: it counts only where it is in the way.
            let own = solid.place == pull.plug.place && gap.distance.get() >= 0.0;
            (gap.distance < BESIDE_WAY && !own).then_some(Beside { index, solid, gap })
        })
        .collect()
}

/// Whether two fingers come beside the way, from some two opposite sides.
fn fingers_fit(pull: &PullWay, beside: &[Beside]) -> bool {
    let Shape::Cuboid(body) = &pull.space.shape else { return true };
    let way = pull.space.pose.inverse().vector(pull.way).coordinates();
    let across = (0..3).filter(|axis| way[*axis].abs() < 0.5);
    across.into_iter().any(|axis| {
        let mut size = body.size();
        size[axis] = size[axis] + BESIDE_WAY * 2.0;
        let Ok(shape) = Shape::cuboid(size[0], size[1], size[2]) else { return true };
        let wider = Solid { shape, ..pull.space.clone() };
        beside.iter().all(|near| keeps_from(&wider, &near.solid.solid, Millimetres::new(0.0)))
    })
}

/// Something stands near the way: in it, or beside it.
#[allow(clippy::too_many_arguments)]
fn judged(
    proof: &Proof,
    case: &PullCase,
    pull: &PullWay,
    worst: &Beside,
    stop: Option<Stop>,
    free: f64,
    needs_tool: bool,
    answer: &mut Answer,
) -> Finding {
    let (name, obstacle) = (&pull.plug.solid.name, &worst.solid.solid.name);
    let (travel, gap) = (pull.travel.get(), worst.gap.distance.get());
    let mut standing = standing_of(proof, &worst.gap.linear, 0.0, Unit::Millimetres);
    let by_tool = standing.verdict == Verdict::Sound && needs_tool;
    if by_tool {
        standing.verdict = Verdict::Tight;
    }
    let (verdict, sure) = (standing.verdict, standing.certainty);
    let message = match verdict {
        Verdict::Broken if free < 0.005 || pull.used == "button" => {
            format!("{name} {}: {obstacle} is in the way", case.does_not)
        }
        Verdict::Broken => {
            format!("{name} comes only {} of {}: {obstacle} is in the way", mm(free), mm(travel))
        }
        Verdict::Tight if by_tool => format!(
            "{name} needs a tool: {obstacle} leaves {} beside its way, fingers want {} on two opposite sides",
            mm(gap),
            mm(BESIDE_WAY.get())
        ),
        Verdict::Tight => format!(
            "{name} {}, but {obstacle} stands only {} beside its way ({sure} likely to hold)",
            case.does,
            mm(gap.max(0.0))
        ),
        _ => format!("{name} {} straight, {} and more are free", case.does, mm(travel)),
    };
    // Free all along, yet something follows close behind.
    let behind = stop.filter(|_| verdict == Verdict::Sound && free >= travel);
    if let Some(stop) = behind {
        return beyond(proof, case, pull, stop, free - travel);
    }
    let figure = figure(proof, case, pull, worst, free);
    let mut finding = with_mends(proof, pull, worst.solid, standing, case, message);
    finding.figure = Some(figure.id.clone());
    finding.witness = Some(Witness {
        solid_a: pull.index.0 as usize,
        solid_b: worst.index.0 as usize,
        on_a: worst.gap.on_a.coordinates(),
        on_b: worst.gap.on_b.coordinates(),
    });
    answer.figures.push(figure);
    finding.at([proof.craft.places[worst.solid.place].id.clone()])
}

/// The way is free, but what follows it is not.
fn beyond(proof: &Proof, case: &PullCase, pull: &PullWay, stop: Stop, left: f64) -> Finding {
    let obstacle = &proof.inputs().solids[stop.solid.0 as usize];
    let message = format!(
        "{} {}, but {} stands {} beyond its way",
        pull.plug.solid.name,
        case.does,
        obstacle.solid.name,
        mm(left.max(0.0))
    );
    let standing = standing_of(proof, &Linear::exact(left.max(0.0)), PULL_BEYOND.get(), Unit::Millimetres);
    let mut finding = with_mends(proof, pull, obstacle, standing, case, message);
    finding.witness = Some(Witness {
        solid_a: pull.index.0 as usize,
        solid_b: stop.solid.0 as usize,
        on_a: stop.at.coordinates(),
        on_b: stop.at.coordinates(),
    });
    finding.at([proof.craft.places[obstacle.place].id.clone()])
}

fn with_mends(
    proof: &Proof,
    pull: &PullWay,
    obstacle: &CraftSolid,
    standing: Standing,
    case: &PullCase,
    message: String,
) -> Finding {
    let (verdict, advice) = (standing.verdict, standing.advice.clone());
    let mut finding = standing.finding(case.rule, pull.plug.solid.name.clone(), message);
    if verdict == Verdict::Sound {
        return finding;
    }
    if let Some(advice) = advice.next {
        finding = finding.mend(format!("Measure the {} first: it decides.", advice.label));
    }
    finding = finding.mend(turn(proof, pull));
    // What belongs to the frame stays where it is.
    match proof.placed_number(obstacle.place) {
        Some(other) if other.part.kind != PartKind::Frame && obstacle.place != pull.plug.place => {
            finding.mend(format!("Or move {} out of its way.", called(proof, other)))
        }
        _ => finding,
    }
}

/// How the plug may come to look another way.
fn turn(proof: &Proof, pull: &PullWay) -> String {
    let name = called(proof, pull.placed);
    if pull.placed.part.kind == PartKind::Camera {
        return format!("Take a harness whose plug leaves {name} another way.");
    }
    let on_holes = match &pull.placed.place.on {
        Some(Anchor::Feature(under, feature)) => proof
            .placed_at(under)
            .is_some_and(|holder| holder.part.row_named(&shape::pattern::TABLE, feature).is_some()),
        _ => false,
    };
    match better_turn(proof, pull.plug.place) {
        Some(turn) => turn,
        None if on_holes => {
            format!("Seat {name} on another hole pattern or flip it over, so that it opens to a free side.")
        }
        None => format!("Turn {name} so that it opens to a free side."),
    }
}

fn figure(proof: &Proof, case: &PullCase, pull: &PullWay, worst: &Beside, free: f64) -> quantity::Figure {
    let (plug, obstacle) = (&pull.plug.solid.name, &worst.solid.solid.name);
    Lines::of(proof)
        .given("straight travel until free", pull.travel.get(), Unit::Millimetres, pull.origin.clone())
        .given("travel until it meets something", free.min((pull.travel + PULL_BEYOND).get()), Unit::Millimetres, obstacle.clone())
        .facts(&worst.gap.linear)
        .figure(
            FigureId(format!("{}[{plug}|{obstacle}]", case.rule).into()).0,
            "room beside a plug's way out toward what is nearest to it",
            (&worst.gap.linear, Unit::Millimetres),
            "nearest distance between the space the plug takes on its way and the solid; negative: how deep they share a place",
            pull_space("other").source,
        )
}
