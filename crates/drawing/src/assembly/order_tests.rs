//! The order of assembly, held against the solids of every demo craft by sweeping them once more, in another way.

#![allow(clippy::unwrap_used)]

use super::super::boxed::boxed;
use super::super::custom::{Pieces, is_lead, is_screw};
use super::super::ways::KEY;
use super::*;
use crate::print::{PrintKind, Wanted, print_for};
use craft::schema::PartKind;
use craft::{Anchor, PlaceId};
use fit::{BodyVector, InPart, PartPoint, PartVector, Role, Shape, Solid, overlap};
use quantity::Millimetres;
use std::collections::HashMap;

/// In which step each place goes in.
fn step_of(sheet: &str) -> (craft::Craft, HashMap<usize, usize>) {
    let craft = craft::read_sheet(sheet).craft;
    let (proof, proved) = (Proof::new(&craft), proof::prove(&craft));
    let mut at = HashMap::new();
    for (number, step) in steps(&proof, &proved).iter().enumerate() {
        for mover in &step.movers {
            at.entry(mover.place).or_insert(number);
        }
    }
    (craft, at)
}

fn taken(sheet: &str, kind: PrintKind, wanted: &Wanted) -> String {
    let before = craft::read_sheet(sheet).craft;
    let Ok(printed) = print_for(&before, kind, wanted) else { return String::new() };
    craft::apply(&before, &printed.step).map_or(String::new(), |craft| craft::write_sheet(&craft))
}

#[test]
fn an_adapter_is_made_up_before_its_board_covers_its_screws() {
    let turned = Wanted {
        place: craft::PlaceId::new("vtx").ok(),
        turn: Some(quantity::Degrees::new(45.0)),
        ..Wanted::default()
    };
    let sheet = taken(include_str!("../../../../demo/fieldfare.toml"), PrintKind::Adapter, &turned);
    let (craft, at) = step_of(&sheet);
    let step = |place: &str| at[&craft.places.iter().position(|p| p.id.as_str() == place).unwrap()];
    let order = ["adapter-vtx", "adapter-vtx-frame-screws", "vtx-posts", "vtx", "vtx-screws"].map(step);
    assert!(order.is_sorted() && order[0] < order[1] && order[3] < order[4], "{order:?}");
}

#[test]
fn ducts_on_posts_come_after_the_boards_they_would_keep_out() {
    let turned = include_str!("../../../../demo/brambling.toml").replacen("yaw = \"0°\"", "yaw = \"90°\"", 1);
    for sheet in [
        turned.as_str(),
        include_str!("../../../../demo/linnet.toml"),
        include_str!("../../../../demo/siskin.toml"),
    ] {
        let craft = craft::read_sheet(sheet).craft;
        let (proof, proved) = (Proof::new(&craft), proof::prove(&craft));
        let steps = steps(&proof, &proved);
        let step =
            |is_it: &dyn Fn(&Mover) -> bool| steps.iter().position(|step| step.movers.iter().any(is_it));
        let unit = proof.number_of(&PlaceId::new("vtx").unwrap()).unwrap();
        let ducts = step(&|mover| mover.pieces == Pieces::Duct);
        assert!(ducts.is_some() && step(&|mover| mover.place == unit) < ducts, "{}", craft.name);
        let past: Vec<&Step> = steps.iter().filter(|step| !step.past.is_empty()).collect();
        assert!(past.is_empty(), "{}: {past:?}", craft.name);
    }
}

#[test]
fn what_is_no_piece_of_the_hand_comes_before_it() {
    for sheet in
        [include_str!("../../../../demo/dunnock.toml"), include_str!("../../../../demo/redpoll.toml")]
    {
        let craft = craft::read_sheet(sheet).craft;
        let (proof, proved) = (Proof::new(&craft), proof::prove(&craft));
        let steps = steps(&proof, &proved);
        let at = |is_it: &dyn Fn(&Mover) -> bool| steps.iter().position(|step| step.movers.iter().any(is_it));
        let of = |id: &str| at(&|mover| craft.places[mover.place].id.as_str() == id);
        let canopy = of("canopy");
        assert!(steps[canopy.unwrap()].is_made_up, "{}", craft.name);
        assert!(of("cap") < canopy && at(&|mover| mover.pieces == Pieces::Duct) < canopy, "{}", craft.name);
        assert!(canopy < of("cam") && of("cam") < of("bar-vtx"), "{}", craft.name);
    }
}

#[test]
fn motors_come_before_the_stacks() {
    for sheet in DEMO {
        let (craft, at) = step_of(sheet);
        let step = |is_it: &dyn Fn(&craft::Place) -> bool| {
            let all = craft.places.iter().enumerate().filter(|(_, place)| is_it(place));
            all.filter_map(|(number, _)| at.get(&number)).copied().collect::<Vec<_>>()
        };
        let kind = |place: &craft::Place| craft.part(&place.part).map(|part| part.kind);
        let motors = step(&|place| kind(place) == Some(PartKind::Motor));
        let boards = step(&|place| kind(place) == Some(PartKind::FlightController));
        let (last, first) = (motors.iter().max(), boards.iter().min());
        assert!(last < first || boards.is_empty(), "{}: {last:?}, {first:?}", craft.name);
    }
}

#[test]
fn a_holder_lies_on_its_plate_before_the_screws_that_go_through_it() {
    let sheet = taken(include_str!("../../../../demo/fieldfare.toml"), PrintKind::Holder, &Wanted::default());
    let (craft, at) = step_of(&sheet);
    let step = |place: &str| at[&craft.places.iter().position(|p| p.id.as_str() == place).unwrap()];
    assert!(step("holder-omni") < step("top-screw-1"));
    assert!(step("holder-omni") < step("omni"));
}

#[test]
fn what_lies_on_the_top_plate_comes_after_it_wherever_its_whip_hangs() {
    for sheet in DEMO {
        let craft = craft::read_sheet(sheet).craft;
        let (proof, proved) = (Proof::new(&craft), proof::prove(&craft));
        let made = steps(&proof, &proved);
        let tops = |step: &Step| step.movers.iter().any(|mover| mover.pieces == Pieces::TopPlates);
        let Some(top) = made.iter().position(tops) else { continue };
        let low = |solids: &[usize]| {
            let stiff = solids.iter().map(|number| &proved.solids[*number]).filter(|solid| {
                !solid.ghost && !matches!(solid.solid.role, Role::ControlAntenna | Role::BladeSweep)
            });
            stiff.map(|solid| boxed(&solid.solid).low[2]).reduce(f64::min)
        };
        let upper = made[top].movers.iter().filter_map(|mover| low(&mover.solids)).reduce(f64::max).unwrap();
        for (at, step) in made.iter().enumerate() {
            for mover in &step.movers {
                let is_receiver =
                    proof.part_of(mover.place).is_some_and(|part| part.kind == PartKind::ControlReceiver);
                if is_receiver && low(&mover.solids).is_some_and(|low| low > upper + 1.0) {
                    assert!(
                        at > top,
                        "{}: {} comes before its plate",
                        craft.name,
                        craft.places[mover.place].id
                    );
                }
            }
        }
    }
}

#[test]
fn nothing_is_put_on_what_is_not_there_yet_and_a_plug_is_held_when_it_is_in() {
    for sheet in [
        include_str!("../../../../demo/fieldfare.toml"),
        include_str!("../../../../demo/whinchat.toml"),
        include_str!("../../../../demo/redpoll.toml"),
    ] {
        let (craft, at) = step_of(sheet);
        let proof = Proof::new(&craft);
        let kind = |place: usize| proof.part_of(place).map(|part| part.kind);
        let last_lead =
            at.iter().filter(|(place, _)| kind(**place).is_some_and(is_lead)).map(|(_, step)| *step).max();
        for (place, step) in &at {
            let called = &craft.places[*place].id;
            let on = craft.places[*place].on.as_ref().and_then(Anchor::place);
            if let Some(under) = on.and_then(|id| proof.number_of(id)).and_then(|on| at.get(&on))
                && !kind(*place).is_some_and(is_lead)
            {
                assert!(under <= step, "{}: {called} comes before its seat", craft.name);
            }
            if kind(*place) == Some(PartKind::Relief) {
                assert!(Some(*step) > last_lead, "{}: {called} holds a plug that is not in", craft.name);
            }
        }
    }
}

const DEMO: [&str; 7] = [
    include_str!("../../../../demo/brambling.toml"),
    include_str!("../../../../demo/dunnock.toml"),
    include_str!("../../../../demo/fieldfare.toml"),
    include_str!("../../../../demo/linnet.toml"),
    include_str!("../../../../demo/redpoll.toml"),
    include_str!("../../../../demo/siskin.toml"),
    include_str!("../../../../demo/whinchat.toml"),
];

/// Every demo craft, and those with a print that changes what covers what.
fn all_craft() -> Vec<String> {
    let mut all: Vec<String> = DEMO.iter().map(|sheet| (*sheet).to_owned()).collect();
    for sheet in DEMO {
        for kind in [PrintKind::Adapter, PrintKind::Wedge, PrintKind::Cheeks, PrintKind::Holder] {
            all.push(taken(sheet, kind, &Wanted::default()));
        }
    }
    all.retain(|sheet| !sheet.is_empty());
    all
}

/// Calls back for each mover as it is put on, with the solids it may meet: those on the craft, or those in the hand with it; and
/// whether it is told that the frame leaves it no straight way, which is looked into here.
fn replayed(sheet: &str, mut put: impl FnMut(&Proof, &Mover, &[&Solid], &[&Solid], bool)) {
    let craft = craft::read_sheet(sheet).craft;
    let (proof, proved) = (Proof::new(&craft), proof::prove(&craft));
    let steps = steps(&proof, &proved);
    let solid = |number: &usize| {
        let solid = &proved.solids[*number];
        let bends = [Role::BladeSweep, Role::Strap, Role::ControlAntenna].contains(&solid.solid.role);
        (!solid.ghost && !bends).then_some(&solid.solid)
    };
    // In the hand: what is put on between what is made up and the step that sets it on, and stands on it.
    let stands_on = |place: usize, root: usize| {
        let mut at = Some(place);
        for _ in 0..20 {
            match at {
                Some(at) if at == root => return true,
                Some(now) => {
                    at = craft.places[now]
                        .on
                        .as_ref()
                        .and_then(Anchor::place)
                        .and_then(|id| proof.number_of(id));
                }
                None => return false,
            }
        }
        false
    };
    let mut hand: Vec<usize> = Vec::new();
    let mut on: Vec<(Option<usize>, &Mover)> = Vec::new();
    for step in &steps {
        if !step.past.is_empty() {
            let place = step.movers[0].place;
            let own: Vec<&Solid> =
                step.movers.iter().flat_map(|m| m.solids.iter().filter_map(solid)).collect();
            let closed = [BodyVector::Z, BodyVector::X, BodyVector::Y];
            let is_closed = closed.into_iter().all(|way| is_under_the_frame(&proof, &own, way));
            let called = &craft.places[place].id;
            assert!(is_closed && !is_screw(&proof, place), "{}: {called} has a way", craft.name);
        }
        if step.is_made_up {
            hand.push(step.movers[0].place);
        }
        for mover in &step.movers {
            let root = match step.is_hung {
                true => hand.last().copied(),
                false => hand.iter().copied().find(|root| stands_on(mover.place, *root)),
            };
            let there: Vec<&Solid> = on
                .iter()
                .filter(|(at, _)| *at == root)
                .flat_map(|(_, m)| m.solids.iter().filter_map(solid))
                .collect();
            let own: Vec<&Solid> = mover.solids.iter().filter_map(solid).collect();
            put(&proof, mover, &own, &there, !step.past.is_empty());
            on.push((root, mover));
        }
        for set in &step.sets_on {
            hand.retain(|root| *root != set.place);
            on.iter_mut().filter(|(at, _)| *at == Some(set.place)).for_each(|(at, _)| *at = None);
        }
    }
    assert!(hand.is_empty(), "{}: something stays in the hand", craft.name);
}

#[test]
fn no_screw_is_set_whose_way_out_is_closed_by_what_is_on_already() {
    let mut looked_at = 0;
    for sheet in all_craft() {
        replayed(&sheet, |proof, mover, own, there, _| {
            if !is_screw(proof, mover.place) {
                return;
            }
            for head in own {
                let Shape::Cylinder(drawn) = &head.shape else { continue };
                let radius = Millimetres::new(drawn.radius().get() - 0.2);
                let shape = Shape::cylinder(radius, Millimetres::new(KEY)).unwrap();
                let up = InPart::at(PartPoint::new(0.0, 0.0, KEY / 2.0));
                let way = Solid { shape, pose: head.pose * up, ..(*head).clone() };
                for other in there {
                    // What is drawn into the head itself is an overlap, which a rule tells.
                    let closes = overlap(&way, other) && !overlap(head, other);
                    let place = &proof.craft.places[mover.place].id;
                    assert!(!closes, "{}: {place} lies under {}", proof.craft.name, other.name);
                }
                looked_at += 1;
            }
        });
    }
    assert!(looked_at > 300, "{looked_at}");
}

/// Whether ducts or arms of the frame, which come first in any order, lie over these solids and under them.
fn is_under_the_frame(proof: &Proof, own: &[&Solid], up: BodyVector) -> bool {
    let frame = proof.placed().position(|placed| placed.part.kind == PartKind::Frame).unwrap();
    let base = proof.inputs().solids_of(frame).filter(|(_, solid)| !solid.solid.name.contains("top plate"));
    let base: Vec<&Solid> = base.map(|(_, solid)| &solid.solid).collect();
    let closes = |way: BodyVector| {
        (1..=50).any(|by| {
            let shift = way * f64::from(by);
            own.iter().any(|solid| {
                let moved = Solid { pose: solid.pose.shifted(shift), ..(*solid).clone() };
                base.iter().any(|other| !overlap(solid, other) && overlap(&moved, other))
            })
        })
    };
    closes(up) && closes(-up)
}

#[test]
fn no_board_is_set_whose_seat_is_closed_by_what_is_on_already() {
    let mut looked_at = 0;
    for sheet in all_craft() {
        replayed(&sheet, |proof, mover, own, there, is_told| {
            let kind = proof.part_of(mover.place).map(|part| part.kind);
            let boards = [
                PartKind::FlightController,
                PartKind::SpeedController,
                PartKind::IntegratedBoard,
                PartKind::VideoTransmitter,
                PartKind::Spacer,
                PartKind::Relief,
            ];
            if is_told || !kind.is_some_and(|kind| boards.contains(&kind)) {
                return;
            }
            let up = proof.inputs().seat(mover.place).unwrap().anchor.vector(PartVector::Z);
            let is_free = |way: BodyVector| {
                (1..=50).all(|by| {
                    let shift = way * f64::from(by);
                    own.iter().all(|solid| {
                        let moved = Solid { pose: solid.pose.shifted(shift), ..(*solid).clone() };
                        let at = boxed(&moved);
                        there.iter().all(|other| {
                            let its = boxed(other);
                            let near = (0..3).all(|k| at.low[k] <= its.high[k] && its.low[k] <= at.high[k]);
                            !near || overlap(solid, other) || !overlap(&moved, other)
                        })
                    })
                })
            };
            let place = &proof.craft.places[mover.place].id;
            // Where the frame itself hangs over its seat it comes from beside it.
            let beside = [BodyVector::X, -BodyVector::X, BodyVector::Y, -BodyVector::Y];
            let is_closed_for_good = is_under_the_frame(proof, own, up) && beside.into_iter().any(is_free);
            assert!(
                is_free(up) || is_free(-up) || is_closed_for_good,
                "{}: the seat of {place} is closed",
                proof.craft.name
            );
            looked_at += 1;
        });
    }
    assert!(looked_at > 100, "{looked_at}");
}

#[test]
fn screws_whose_heads_lie_under_a_unit_are_hung_in_before_it() {
    let (craft, at) = step_of(include_str!("../../../../demo/whinchat.toml"));
    let step = |place: &str| at[&craft.places.iter().position(|p| p.id.as_str() == place).unwrap()];
    assert!(step("adapter-screws") < step("vtx"));
    assert!(step("vtx") < step("vtx-screws"));
    assert!(step("adapter-posts") < step("adapter"));
}

#[test]
fn a_canopy_comes_when_what_is_under_it_is_done() {
    for sheet in
        [include_str!("../../../../demo/dunnock.toml"), include_str!("../../../../demo/redpoll.toml")]
    {
        let craft = craft::read_sheet(sheet).craft;
        let (proof, proved) = (Proof::new(&craft), proof::prove(&craft));
        let canopy = proof.number_of(&PlaceId::new("canopy").unwrap()).unwrap();
        let steps = steps(&proof, &proved);
        let is = |step: &Step, id: &str| step.movers.iter().any(|m| craft.places[m.place].id.as_str() == id);
        let begins = steps.iter().position(|step| is(step, "canopy")).unwrap();
        let set = steps
            .iter()
            .position(|step| step.sets_on.iter().any(|set| set.place == canopy))
            .unwrap_or(begins);
        for under in ["aio", "vtx", "stack-screws", "flat", "bar-vtx", "dab-coax", "cap"] {
            let at = steps.iter().position(|step| is(step, under)).unwrap();
            assert!(at <= set, "{}: {under} comes after the canopy", craft.name);
        }
    }
}
