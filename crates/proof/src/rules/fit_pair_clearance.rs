//! Does every part keep the distance it needs from every other?

use crate::inputs::{CraftSolid, NearPair, Unbuilt};
use crate::numbers::mm;
use crate::rule::rule;
use crate::standing::{Standing, advice, standing_of};
use crate::working::Lines;
use crate::{Answer, Finding, Proof, Verdict, Witness};
use craft::Anchor;
use craft::schema::{PartKind, shape};
use fit::{BodyVector, Role, SolidIndex, distance_between};
use quantity::{Linear, Source, Unit, chance_all_at_least};
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
const SINKS: f64 = 0.2;
/// How many drawn trials the chance of a whole craft rests on.
const TRIALS: usize = 4_000;
const GEOMETRY: Source = Source::common_practice(
    "required clearance by pair of roles; distance and doubt as JCGM 100:2008, 5.1.2",
);

fn run(proof: &Proof) -> Answer {
    let mut answer = Answer::default();
    answer.findings.extend(proof.inputs().unbuilt.iter().map(|unbuilt| not_built(proof, unbuilt)));
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
    // A frame is many things: a duct too near is no news of a standoff in the way. Each of its pieces is told of.
    let piece_of_frame = |pair: &NearPair| {
        [pair.clearance.a, pair.clearance.b].into_iter().find(|index| {
            let place = proof.inputs().solids[index.0 as usize].place;
            proof.craft.part_at(&proof.craft.places[place]).is_some_and(|part| part.kind == PartKind::Frame)
        })
    };
    let mut by_places: BTreeMap<([usize; 2], Option<SolidIndex>), Vec<&NearPair>> = BTreeMap::new();
    for pair in near.iter().filter(|pair| is_ours(proof, pair)) {
        by_places.entry((pair.places, piece_of_frame(pair))).or_default().push(pair);
    }
    let mut margins = Vec::new();
    for pairs in by_places.values() {
        margins.extend(pairs.iter().map(|pair| pair.margin.clone()));
        judge(proof, pairs, &mut answer);
    }
    sunken(proof, &mut answer);
    if !margins.is_empty() {
        let chance = chance_all_at_least(&margins, &proof.ledger(), 0.0, TRIALS, quantity::USUAL_SEED);
        let value = Linear::exact(chance.get() * 100.0);
        let figure = Lines::of(proof)
            .given("pairs of parts near each other", by_places.len() as f64, Unit::Count, "counted")
            .given("pairs of solids among them", margins.len() as f64, Unit::Count, "counted")
            .given("trials", TRIALS as f64, Unit::Count, "JCGM 101:2008, 7")
            .figure(
                "fit.chance_all_clear",
                "chance that every pair keeps its distance",
                (&value, Unit::Percent),
                "share of trials in which the least of all margins is at least 0; each trial draws every fact once",
                Source { title: "JCGM 101:2008", place: "clause 7", grade: quantity::Grade::WorkedFromTheStandard },
            );
        answer.figures.push(figure);
    }
    answer
}

/// Pairs that other rules speak of are theirs: bare pads to carbon, blades to soft parts and to each other.
fn is_ours(proof: &Proof, pair: &NearPair) -> bool {
    let roles =
        [pair.clearance.a, pair.clearance.b].map(|index| proof.inputs().solids[index.0 as usize].solid.role);
    let both = |a: &[Role], b: &[Role]| {
        (a.contains(&roles[0]) && b.contains(&roles[1])) || (a.contains(&roles[1]) && b.contains(&roles[0]))
    };
    const SOFT: &[Role] =
        &[Role::Harness, Role::Coax, Role::Pack, Role::Strap, Role::AntennaElement, Role::ControlAntenna];
    !(both(&[Role::PlugPullSpace], Role::ALL)
        || both(&[Role::BareConductor], &[Role::CarbonPlate])
        || both(&[Role::BladeSweep], SOFT)
        || both(&[Role::BladeSweep], &[Role::BladeSweep, Role::MouldedDuct]))
}

fn not_built(proof: &Proof, unbuilt: &Unbuilt) -> Finding {
    let place = proof.craft.places[unbuilt.place].id.clone();
    let finding = match &unbuilt.wrong {
        Some(wrong) => Finding::new(
            PAIR_CLEARANCE.id,
            Verdict::Unknown,
            unbuilt.what.clone(),
            format!("Cannot be placed: {wrong}"),
        )
        .mend(format!("Correct the facts of {}.", unbuilt.what)),
        None => Finding::unknown(PAIR_CLEARANCE.id, unbuilt.what.clone(), unbuilt.missing.clone()),
    };
    finding.at([place])
}

/// One finding for two places: the pair of solids that stands worst, and the chance that all of them hold.
fn judge(proof: &Proof, pairs: &[&NearPair], answer: &mut Answer) {
    let Some((worst, standing)) = pairs
        .iter()
        .map(|pair| (*pair, standing_of(proof, &pair.margin, 0.0, Unit::Millimetres)))
        .min_by(|(a, x), (b, y)| {
            x.certainty.get().total_cmp(&y.certainty.get()).then(a.margin.value.total_cmp(&b.margin.value))
        })
    else {
        return;
    };
    let margins: Vec<Linear> = pairs.iter().map(|pair| pair.margin.clone()).collect();
    let certainty = if margins.len() == 1 {
        standing.certainty
    } else {
        chance_all_at_least(&margins, &proof.ledger(), 0.0, TRIALS, quantity::USUAL_SEED)
    };
    let verdict = match certainty.get() {
        _ if standing.verdict == Verdict::Broken => Verdict::Broken,
        p if p < crate::limits::BROKEN_UNDER => Verdict::Broken,
        p if p < crate::limits::TIGHT_UNDER => Verdict::Tight,
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
    let gap = pair.clearance.gap.distance.get();
    let need = pair.clearance.needs.distance.get();
    let why = pair.clearance.needs.why;
    let (verdict, sure) = (standing.verdict, standing.certainty);
    let message = if gap < 0.0 {
        format!("{a} and {b} overlap by {}: {why}", mm(-gap))
    } else if need == 0.0 {
        format!("{a} and {b} are {} apart; they must not meet ({sure} sure)", mm(gap))
    } else {
        format!("{a} and {b} are {} apart and need {}: {why} ({sure} sure)", mm(gap), mm(need))
    };
    let advice = standing.advice.clone();
    let mut finding = standing.finding(PAIR_CLEARANCE.id, format!("{a} and {b}"), message);
    if verdict != Verdict::Sound {
        if let Some(advice) = &advice {
            finding = finding.mend(format!("Measure the {} first: it decides.", advice.label));
        }
        if let Some(board) = turning_board(proof, solids) {
            finding = finding.mend(format!("Turn {board} a quarter or flip it, if its holes allow."));
        }
        finding = finding.mend(room(proof, pair, solids));
    }
    finding.figure = Some(figure_id(solids));
    finding.witness = Some(witness(pair));
    finding.at(solids.map(|solid| proof.craft.places[solid.place].id.clone()))
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

/// The board whose plug is in the way, where it sits on a hole pattern and may be turned.
fn turning_board<'a>(proof: &Proof<'a>, solids: [&CraftSolid; 2]) -> Option<&'a str> {
    let plug = solids.into_iter().find(|solid| solid.solid.role == Role::Plug)?;
    let place = &proof.craft.places[plug.place];
    let Some(Anchor::Feature(under, feature)) = &place.on else { return None };
    let holder = proof.craft.part_at(proof.craft.place(under)?)?;
    holder.row_named(&shape::pattern::TABLE, feature)?;
    Some(proof.craft.part_at(place)?.name.as_str())
}

/// How to make room: which of the two to move, how far and which way.
pub(super) fn room(proof: &Proof, pair: &NearPair, solids: [&CraftSolid; 2]) -> String {
    make_room(proof, solids, pair.clearance.gap.direction, -pair.margin.value)
}

/// The same, where `short` mm are wanting along the direction from the first to the second.
fn make_room(proof: &Proof, solids: [&CraftSolid; 2], direction: BodyVector, short: f64) -> String {
    let kind =
        |solid: &CraftSolid| proof.craft.part_at(&proof.craft.places[solid.place]).map(|part| part.kind);
    // The frame stays; of two others the one seated later moves.
    let move_first = kind(solids[1]) == Some(PartKind::Frame)
        || (kind(solids[0]) != Some(PartKind::Frame) && solids[0].place > solids[1].place);
    let (moved, away) = if move_first { (solids[0], -direction) } else { (solids[1], direction) };
    let short = short.max(0.0);
    let (way, share) = plain_direction(away);
    // Rounded up to a tenth, and a little more than nought where only certainty is wanting.
    let by = ((short / share.max(0.3)) * 10.0).ceil().max(3.0) / 10.0;
    let name =
        proof.craft.part_at(&proof.craft.places[moved.place]).map_or("the part", |part| part.name.as_str());
    match way {
        "up" => format!("Raise {name} by {}, with a spacer or a taller mount.", mm(by)),
        "down" => format!("Lower {name} by {}.", mm(by)),
        way => format!("Move {name} {} {way}.", mm(by)),
    }
}

/// The axis word nearest to a direction, and how much of the direction lies along it.
pub(super) fn plain_direction(direction: BodyVector) -> (&'static str, f64) {
    let words = [
        ("forward", direction.x()),
        ("back", -direction.x()),
        ("left", direction.y()),
        ("right", -direction.y()),
        ("up", direction.z()),
        ("down", -direction.z()),
    ];
    words.into_iter().max_by(|a, b| a.1.total_cmp(&b.1)).unwrap_or(("up", 1.0))
}

fn figure_id(solids: [&CraftSolid; 2]) -> quantity::FigureId {
    let [a, b] = solids.map(|solid| solid.solid.name.as_str());
    quantity::FigureId(format!("fit.clearance[{a}|{b}]").into())
}

fn figure(proof: &Proof, pair: &NearPair, solids: [&CraftSolid; 2]) -> quantity::Figure {
    let clearance = &pair.clearance;
    Lines::of(proof)
        .result("nearest distance d (negative: how deep they overlap)", &clearance.gap.linear, Unit::Millimetres, "nearest places of the two solids")
        .given("required r", clearance.needs.distance.get(), Unit::Millimetres, clearance.needs.source.line())
        .facts(&clearance.gap.linear)
        .figure(
            figure_id(solids).0,
            "room between two parts beyond what they need",
            (&pair.margin, Unit::Millimetres),
            "margin = d - r; u(d)² = Σ (n·(v_b - v_a)·u(x))² over the facts x, n from the one place to the other, v how fast each place moves with x",
            GEOMETRY,
        )
}

/// Parts that are meant to touch, and stand inside each other instead.
fn sunken(proof: &Proof, answer: &mut Answer) {
    let inputs = proof.inputs();
    let mut told: Vec<[usize; 2]> = Vec::new();
    for (a, b) in &inputs.touching {
        let solids = [a, b].map(|index| &inputs.solids[index.0 as usize]);
        let places = solids.map(|solid| solid.place);
        let apart = match (inputs.scene.extent(*a), inputs.scene.extent(*b)) {
            (Some(x), Some(y)) => (0..3).any(|axis| {
                x.low.coordinates()[axis] > y.high.coordinates()[axis] - SINKS
                    || y.low.coordinates()[axis] > x.high.coordinates()[axis] - SINKS
            }),
            _ => true,
        };
        if apart || told.contains(&places) {
            continue;
        }
        let Ok(gap) = distance_between(&solids[0].solid, &solids[1].solid) else { continue };
        let margin = &gap.linear + SINKS;
        let standing = standing_of(proof, &margin, 0.0, Unit::Millimetres);
        if standing.verdict != Verdict::Broken {
            continue;
        }
        told.push(places);
        // The frame stays where it is: the other sinks into it.
        let frame_first = proof
            .craft
            .part_at(&proof.craft.places[solids[0].place])
            .is_some_and(|part| part.kind == PartKind::Frame);
        let [mut name_a, mut name_b] = solids.map(|solid| solid.solid.name.as_str());
        if frame_first {
            std::mem::swap(&mut name_a, &mut name_b);
        }
        let message = format!(
            "{name_a} sinks {} into {name_b}: they are meant to touch, not to share a place",
            mm(-gap.distance.get())
        );
        let mut finding = standing.finding(PAIR_CLEARANCE.id, format!("{name_a} and {name_b}"), message);
        finding.witness = Some(Witness {
            solid_a: a.0 as usize,
            solid_b: b.0 as usize,
            on_a: gap.on_a.coordinates(),
            on_b: gap.on_b.coordinates(),
        });
        finding = finding
            .mend(make_room(proof, solids, gap.direction, -gap.distance.get()))
            .at(solids.map(|solid| proof.craft.places[solid.place].id.clone()));
        answer.findings.push(finding);
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::PAIR_CLEARANCE;
    use crate::testing::set;
    use crate::testing_stack::sound_bay;
    use crate::{Proof, Verdict};

    #[test]
    fn parts_with_room_are_sound() {
        let craft = sound_bay();
        let answer = (PAIR_CLEARANCE.run)(&Proof::new(&craft));
        assert!(
            answer.findings.iter().all(|finding| finding.verdict == Verdict::Sound),
            "{:?}",
            answer.findings
        );
    }

    #[test]
    fn a_plug_inside_a_standoff_is_broken() {
        let mut craft = sound_bay();
        set(&mut craft, "vtx.plug[0].x", "-23.0 mm, data sheet");
        set(&mut craft, "vtx.plug[0].y", "14.0 mm, data sheet");
        let answer = (PAIR_CLEARANCE.run)(&Proof::new(&craft));
        let worst = answer.findings.iter().find(|finding| finding.verdict == Verdict::Broken).unwrap();
        assert_eq!(
            worst.message,
            "standoff rear left of bay frame and plug coax of video transmitter overlap by 0.92 mm: two solids cannot share a place"
        );
        // The corner of the plug at (-31.5, 15.5) lies 1.58 mm from the standoff's axis, whose radius is 2.5 mm: 0.92 mm deep.
        assert!((worst.margin.unwrap().quantity.value + 0.919).abs() < 1e-3);
    }
}
