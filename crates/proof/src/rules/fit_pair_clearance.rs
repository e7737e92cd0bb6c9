//! Does every part keep the distance it needs from every other?

use crate::inputs::{CraftSolid, NearPair};
use crate::limits::{BROKEN_UNDER, TIGHT_UNDER};
use crate::numbers::{mm, told_apart};
use crate::rule::rule;
use crate::standing::{Standing, advice, standing_of};
use crate::subject::{better_turn, make_room, seat_right, unbuilt};
use crate::working::Lines;
use crate::{Answer, Finding, Proof, Verdict, Witness};
use craft::schema::PartKind;
use fit::{Role, Shape, SolidIndex};
use quantity::{
    Grade, Linear, Probability, Source, USUAL_SEED, USUAL_TRIALS, Unit, chance_all_at_least, chance_at_least,
};
use std::collections::BTreeMap;

rule! {
    /// Does every part keep the distance it needs from every other?
    ///
    /// ## Why
    /// Parts that touch short, chafe, cook or jam. A craft that is drawn with nothing to spare is built with a
    /// file and flown with luck.
    ///
    /// ## Sound when
    /// The nearest distance between two parts is, with 95 % certainty, at least what such a pair needs. Tight
    /// when that certainty lies between 50 and 95 %, broken below. Parts that are meant to touch must only not
    /// sink into each other.
    ///
    /// ## Rests on
    /// The sizes of both parts, where they sit, and all plates and spacers between: each with its doubt, carried
    /// along the line between the two nearest points (JCGM 100:2008, 5.1.2). Where two parts come near
    /// each other in several places, by sampling these together (JCGM 101:2008). The needs by pair are common practice.
    ///
    /// ## Mend
    /// Measure the fact that decides first. If it still fails, move or raise one of the two, or take a smaller part.
    PAIR_CLEARANCE = "fit.pair_clearance", run
}

/// How far a part may sink into what holds it before it is called wrong: soft mounts and straps give a little.
pub(crate) const SINKS: f64 = 0.2;
/// Nearer than this, in mm, two parts are said to touch.
const TOUCH: f64 = 0.005;
/// How many pairs of parts are told one by one; the rest are counted. No real craft has as many.
const TOLD_MAX: usize = 200;
const GEOMETRY: Source = Source::common_practice(
    "required clearance by pair of roles; distance and doubt as JCGM 100:2008, 5.1.2",
);

fn run(proof: &Proof) -> Answer {
    let mut answer = Answer::default();
    answer.findings.extend(unbuilt(proof, PAIR_CLEARANCE.id));
    let near = match proof.near_pairs() {
        Ok(near) => near,
        Err(too_many) => {
            let finding =
                Finding::new(PAIR_CLEARANCE.id, Verdict::Unknown, "the whole craft", too_many.to_string())
                    .mend("Split the craft, or draw fewer small solids.");
            answer.findings.push(finding);
            return answer;
        }
    };
    let mut groups = grouped(proof, near);
    let (pairs, margins) = (groups.len(), groups.iter().map(|group| group.pairs.len()).sum::<usize>());
    if pairs > 0 {
        answer.figures.push(all_clear(proof, &groups, pairs, margins));
    }
    let rest = groups.split_off(groups.len().min(TOLD_MAX));
    for group in groups {
        judge(proof, group, &mut answer);
    }
    answer.findings.extend(further(&rest));
    answer
}

/// The pairs of solids in which two parts come near each other.
struct Group<'p> {
    pairs: Vec<&'p NearPair>,
    /// Which of them holds with the least chance, and that chance.
    worst: &'p NearPair,
    chance: Probability,
}

/// Pairs by the two places concerned, the worst first. A frame is many things, and a duct too near is no
/// news of a standoff in the way: each of its pieces counts apart.
fn grouped<'p>(proof: &Proof, near: &'p [NearPair]) -> Vec<Group<'p>> {
    let frame_piece = |pair: &NearPair| {
        [pair.clearance.a, pair.clearance.b].into_iter().find(|index| {
            let place = proof.inputs().solids[index.0 as usize].place;
            proof.part_of(place).is_some_and(|part| part.kind == PartKind::Frame)
        })
    };
    let mut groups: BTreeMap<([usize; 2], Option<SolidIndex>), Group> = BTreeMap::new();
    for pair in near.iter().filter(|pair| is_ours(proof, pair)) {
        let chance = chance_at_least(&slack(pair), &proof.ledger(), 0.0);
        if pair.touching && chance.get() >= BROKEN_UNDER {
            continue;
        }
        let group = groups.entry((pair.places, frame_piece(pair))).or_insert_with(|| Group {
            pairs: Vec::new(),
            worst: pair,
            chance,
        });
        group.pairs.push(pair);
        let worse = chance.get().total_cmp(&group.chance.get());
        if worse.then(slack(pair).value.total_cmp(&slack(group.worst).value)).is_lt() {
            (group.worst, group.chance) = (pair, chance);
        }
    }
    let mut groups: Vec<Group> = groups.into_values().collect();
    if groups.len() > TOLD_MAX {
        groups.sort_by(|a, b| a.chance.get().total_cmp(&b.chance.get()));
    }
    groups
}

/// What a pair has in hand: actual less required; for parts that are meant to touch, how much less than
/// allowed the one sinks into the other.
fn slack(pair: &NearPair) -> Linear {
    if pair.touching { &pair.clearance.gap.linear + SINKS } else { pair.margin.clone() }
}

/// Pairs that other rules speak of are theirs: bare pads to carbon, blades to soft parts and to each other, antennas to
/// what spoils them.
fn is_ours(proof: &Proof, pair: &NearPair) -> bool {
    let roles =
        [pair.clearance.a, pair.clearance.b].map(|index| proof.inputs().solids[index.0 as usize].solid.role);
    let both = |a: &[Role], b: &[Role]| {
        (a.contains(&roles[0]) && b.contains(&roles[1])) || (a.contains(&roles[1]) && b.contains(&roles[0]))
    };
    !(both(&[Role::PlugPullSpace], Role::ALL)
        || super::link_antenna_clear::is_antennas(roles)
        || both(&[Role::BareConductor], &[Role::CarbonPlate])
        || both(&[Role::BladeSweep], super::fit_blade_sweep::SOFT)
        || both(&[Role::BladeSweep], &[Role::BladeSweep, Role::MouldedDuct]))
}

/// One finding for two parts: the pair of solids that stands worst, and the chance that all of them hold.
fn judge(proof: &Proof, group: Group, answer: &mut Answer) {
    let Group { pairs, worst, .. } = group;
    let standing = standing_of(proof, &slack(worst), 0.0, Unit::Millimetres);
    let margins: Vec<Linear> = pairs.iter().map(|pair| slack(pair)).collect();
    let certainty = if margins.len() == 1 {
        standing.certainty
    } else {
        chance_all_at_least(&margins, &proof.ledger(), 0.0, USUAL_TRIALS, USUAL_SEED)
    };
    let verdict = match certainty.get() {
        _ if standing.verdict == Verdict::Broken => Verdict::Broken,
        p if p < BROKEN_UNDER => Verdict::Broken,
        p if p < TIGHT_UNDER => Verdict::Tight,
        _ => standing.verdict,
    };
    let solids = [worst.clearance.a, worst.clearance.b].map(|index| &proof.inputs().solids[index.0 as usize]);
    let standing = Standing { verdict, certainty, ..standing };
    let standing = if verdict != Verdict::Sound && margins.len() > 1 {
        Standing { advice: advice(proof, &margins), ..standing }
    } else {
        standing
    };
    answer.findings.push(told(proof, worst, solids, standing));
    answer.figures.push(figure(proof, worst, solids));
}

fn told(proof: &Proof, pair: &NearPair, solids: [&CraftSolid; 2], standing: Standing) -> Finding {
    let [a, b] = solids.map(|solid| solid.solid.name.as_str());
    let (verdict, advice) = (standing.verdict, standing.advice.clone());
    let inside = inside(proof, pair, solids);
    let message = match inside {
        Some([inner, outer]) => wholly(pair, inner, outer),
        None if pair.touching => sunken(proof, pair, solids),
        None => apart(pair, solids, standing.certainty),
    };
    let mut finding = standing.finding(PAIR_CLEARANCE.id, format!("{a} and {b}"), message);
    if verdict != Verdict::Sound {
        if let Some([inner, outer]) = inside {
            finding = finding.mend(moved_out(proof, inner, outer));
        } else if let Some(advice) = &advice.next {
            finding = finding.mend(format!("Measure the {} first: it decides.", advice.label));
        }
        let turns = solids.into_iter().filter_map(|solid| better_turn(proof, solid.place));
        if let (false, Some(turn)) = (pair.touching, turns.take(1).next()) {
            finding = finding.mend(turn);
        }
        finding = finding.mend(room(proof, pair, solids));
    }
    finding.figure = Some(figure_id(solids));
    finding.witness = Some(witness(pair));
    finding.at(solids.map(|solid| proof.craft.places[solid.place].id.clone()))
}

/// Space that is no body: what reaches deep into it does not stand inside a thing.
const NO_BODY: &[Role] = &[Role::KeepOut, Role::RearRoom, Role::PlugPullSpace, Role::BladeSweep];

/// The one that stands inside the other, and the other, where they overlap by all that the thinner of them measures at
/// its least: no tenth of a millimetre mends that. The frame stays where it is; else the smaller is the one inside.
fn inside<'s>(proof: &Proof, pair: &NearPair, solids: [&'s CraftSolid; 2]) -> Option<[&'s CraftSolid; 2]> {
    let deep = -pair.clearance.gap.distance.get();
    let thin = solids.map(|solid| least_size(&solid.solid.shape));
    let bodies = solids.iter().all(|solid| !NO_BODY.contains(&solid.solid.role));
    if !bodies || deep < thin[0].min(thin[1]) - TOUCH {
        return None;
    }
    let [a, b] = solids;
    let is_frame =
        |solid: &CraftSolid| proof.part_of(solid.place).is_some_and(|part| part.kind == PartKind::Frame);
    let first_is_outer = match [is_frame(a), is_frame(b)] {
        [one, other] if one != other => one,
        _ => a.solid.shape.volume_mm3() > b.solid.shape.volume_mm3(),
    };
    Some(if first_is_outer { [b, a] } else { [a, b] })
}

/// The least that a solid measures, in mm.
fn least_size(shape: &Shape) -> f64 {
    match shape {
        Shape::Cuboid(cuboid) => cuboid.size().iter().map(|size| size.get()).fold(f64::INFINITY, f64::min),
        Shape::Cylinder(cylinder) => (2.0 * cylinder.radius().get()).min(cylinder.length().get()),
        Shape::Prism(prism) => prism.thickness().get(),
    }
}

/// What is the matter with a solid that stands inside another.
fn wholly(pair: &NearPair, inner: &CraftSolid, outer: &CraftSolid) -> String {
    let (inner, outer) = (&inner.solid.name, &outer.solid.name);
    let deep = mm(-pair.clearance.gap.distance.get());
    format!("{inner} stands inside {outer}, {deep} deep: one of them is in the wrong place")
}

/// How that is mended: by a look at its place, before any size.
fn moved_out(proof: &Proof, inner: &CraftSolid, outer: &CraftSolid) -> String {
    let part = proof.part_of(inner.place).map_or(inner.solid.name.as_str(), |part| part.name.as_str());
    let outer = &outer.solid.name;
    format!("Move {part} out of {outer}: look first at what it is seated on, and at its x, y, z and turn.")
}

/// What is the matter with two parts that must keep apart.
fn apart(pair: &NearPair, solids: [&CraftSolid; 2], certainty: Probability) -> String {
    let [a, b] = solids.map(|solid| solid.solid.name.as_str());
    let (gap, need) = (pair.clearance.gap.distance.get(), pair.clearance.needs.distance.get());
    let why = pair.clearance.needs.why;
    let keep_out = solids.iter().position(|solid| solid.solid.role == Role::KeepOut);
    let stands = match keep_out {
        Some(first) if gap < -TOUCH => {
            let (free, other) = if first == 0 { (a, b) } else { (b, a) };
            return format!("{other} and {free} overlap by {}: that space must stay free", mm(-gap));
        }
        _ if gap < -TOUCH => return format!("{a} and {b} overlap by {}: {why}", mm(-gap)),
        _ if gap <= TOUCH => "touch".to_owned(),
        _ => format!("are {} apart", told_apart(gap, need)[0]),
    };
    let need_words = told_apart(gap, need)[1].clone();
    let needs = if need == 0.0 {
        "; they must not meet".to_owned()
    } else if gap <= TOUCH {
        format!(" and need {need_words} between them: {why}")
    } else {
        format!(" and need {need_words}: {why}")
    };
    let sure = match certainty {
        Probability::ONE | Probability::NOUGHT => String::new(),
        sure => format!(" ({sure} likely to hold)"),
    };
    format!("{a} and {b} {stands}{needs}{sure}")
}

/// What is the matter with two parts that are meant to touch, and stand inside each other instead.
fn sunken(proof: &Proof, pair: &NearPair, solids: [&CraftSolid; 2]) -> String {
    let [mut a, mut b] = solids.map(|solid| solid.solid.name.as_str());
    // The frame stays where it is: the other sinks into it.
    if proof.part_of(solids[0].place).is_some_and(|part| part.kind == PartKind::Frame) {
        std::mem::swap(&mut a, &mut b);
    }
    let deep = mm(-pair.clearance.gap.distance.get());
    format!("{a} sinks {deep} into {b}: they are meant to touch, not to share a place")
}

/// One finding that counts the pairs not told one by one.
fn further(rest: &[Group]) -> Option<Finding> {
    let first = rest.first()?;
    let count = |holds: fn(f64) -> bool| rest.iter().filter(|group| holds(group.chance.get())).count();
    let broken = count(|p| p < BROKEN_UNDER);
    let tight = count(|p| (BROKEN_UNDER..TIGHT_UNDER).contains(&p));
    let verdict = match first.chance.get() {
        p if p < BROKEN_UNDER => Verdict::Broken,
        p if p < TIGHT_UNDER => Verdict::Tight,
        _ => Verdict::Sound,
    };
    let message = format!(
        "{} further pairs of parts come near each other: {broken} broken, {tight} tight, {} sound",
        rest.len(),
        rest.len() - broken - tight
    );
    let finding = Finding::new(PAIR_CLEARANCE.id, verdict, "further pairs", message);
    Some(match verdict {
        Verdict::Sound => finding,
        _ => finding.mend("Mend the pairs that are told one by one; then the next are told."),
    })
}

pub(super) fn witness(pair: &NearPair) -> Witness {
    let clearance = &pair.clearance;
    Witness {
        solid_a: clearance.a.0 as usize,
        solid_b: clearance.b.0 as usize,
        on_a: clearance.gap.on_a.coordinates(),
        on_b: clearance.gap.on_b.coordinates(),
    }
}

/// How to make room for a near pair.
pub(super) fn room(proof: &Proof, pair: &NearPair, solids: [&CraftSolid; 2]) -> String {
    let direction = pair.clearance.gap.direction;
    if pair.touching {
        return seat_right(proof, solids, direction, -pair.clearance.gap.distance.get());
    }
    make_room(proof, solids, direction, -pair.margin.value)
}

fn figure_id(solids: [&CraftSolid; 2]) -> quantity::FigureId {
    let [a, b] = solids.map(|solid| solid.solid.name.as_str());
    quantity::FigureId(format!("fit.clearance[{a}|{b}]").into())
}

fn figure(proof: &Proof, pair: &NearPair, solids: [&CraftSolid; 2]) -> quantity::Figure {
    let clearance = &pair.clearance;
    let required = if pair.touching { -SINKS } else { clearance.needs.distance.get() };
    Lines::of(proof)
        .result("nearest distance d (negative: how deep they overlap)", &clearance.gap.linear, Unit::Millimetres, "nearest places of the two solids")
        .given("required r (negative: how far one may sink into the other)", required, Unit::Millimetres, clearance.needs.source.line())
        .facts(&clearance.gap.linear)
        .figure(
            figure_id(solids).0,
            "room between two parts beyond what they need",
            (&slack(pair), Unit::Millimetres),
            "margin = d - r; u(d)² = Σ (n·(v_b - v_a)·u(x))² over the facts x, n from the one place to the other, v how fast each place moves with x",
            GEOMETRY,
        )
}

/// The chance that every pair keeps its distance: the certainty of the craft as a whole.
fn all_clear(proof: &Proof, groups: &[Group], pairs: usize, margins: usize) -> quantity::Figure {
    let slacks: Vec<Linear> = groups.iter().flat_map(|group| &group.pairs).map(|pair| slack(pair)).collect();
    let chance = chance_all_at_least(&slacks, &proof.ledger(), 0.0, USUAL_TRIALS, USUAL_SEED);
    Lines::of(proof)
        .given("pairs of parts near each other", pairs as f64, Unit::Count, "counted")
        .given("pairs of solids among them", margins as f64, Unit::Count, "counted")
        .given("trials", USUAL_TRIALS as f64, Unit::Count, "JCGM 101:2008, 7")
        .figure(
            "fit.chance_all_clear",
            "chance that every pair keeps its distance",
            (&Linear::exact(chance.get() * 100.0), Unit::Percent),
            "share of trials in which the least of all margins is at least 0; each trial draws every fact once",
            Source { title: "JCGM 101:2008", place: "clause 7", grade: Grade::WorkedFromTheStandard },
        )
}

#[cfg(test)]
#[path = "fit_pair_clearance_tests.rs"]
mod tests;
