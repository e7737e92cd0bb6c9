//! Does everything between the plates go under the top plate?

use crate::limits::STACK_SPARE;
use crate::names::called;
use crate::numbers::mm;
use crate::rule::rule;
use crate::standing::standing_of;
use crate::working::Lines;
use crate::{Answer, CraftSolid, Finding, Piece, Placed, Proof, Verdict, Witness};
use craft::Missing;
use craft::schema::{PartKind, fixing, frame, shape};
use fit::{
    BodyVector, Extent, Footprint, PartPoint, PartVector, Scene, Solid, SolidIndex, highest_under,
    straight_sweep_free,
};
use quantity::{FigureId, Linear, Millimetres, Unit};

rule! {
    /// Does everything between the plates go under the top plate?
    ///
    /// ## Why
    /// A stack that is a millimetre too high bows the top plate, presses plugs onto boards and cuts off the air over
    /// the transmitter.
    ///
    /// ## Sound when
    /// The highest board, component, plug or screw head under the top plate leaves at least 2 mm of air. Under 2 mm it is
    /// tight, under nought broken; on soft mounts it is broken as soon as their play takes it to the plate. What lies
    /// under a window of the plate, or beside it in plan, is not under it.
    ///
    /// ## Rests on
    /// Heights of boards and components, what they stand on, the standoffs or the clear height of the frame, each with
    /// its doubt. The 2 mm are common practice; 4 mm are better over a transmitter. Where soft mounts do not state
    /// their play, half a millimetre.
    ///
    /// ## Mend
    /// Take longer standoffs, a lower spacer, or seat the transmitter elsewhere.
    STACK_HEIGHT = "fit.stack_height", run
}

/// How far a board moves on soft mounts that do not state it, in mm. Common practice.
const USUAL_PLAY: f64 = 0.5;

fn run(proof: &Proof) -> Answer {
    let mut answer = Answer::default();
    let boards = stacked(proof);
    if boards.is_empty() {
        return answer;
    }
    if let Err(too_many) = proof.near_pairs() {
        let finding =
            Finding::new(STACK_HEIGHT.id, Verdict::Unknown, "the whole craft", too_many.to_string());
        return Answer::of(finding.mend("Split the craft, or draw fewer small solids."));
    }
    let frames = frames_under(proof);
    for frame in proof.places_of(PartKind::Frame) {
        // A frame that leans in the craft has no plate above anything.
        let seat = proof.number_of(&frame.place.id).and_then(|number| proof.inputs().seat(number));
        let upright = seat.is_some_and(|seat| seat.pose.vector(PartVector::Z).z() > 0.999);
        if !upright {
            continue;
        }
        match ceilings(proof, frame) {
            Ok(ceilings) => {
                for ceiling in ceilings {
                    judge(proof, frame, &ceiling, &boards, &frames, &mut answer);
                }
            }
            Err(missing) => {
                let finding =
                    Finding::unknown(STACK_HEIGHT.id, format!("stack in {}", frame.part.name), missing);
                answer.findings.push(finding.at([frame.place.id.clone()]));
            }
        }
    }
    answer
}

/// The solids of everything that is stacked: boards, transmitters, receivers with their plugs, and the heads
/// of the screws that hold them.
fn stacked(proof: &Proof) -> Vec<SolidIndex> {
    let is_stacked = |place: usize| match proof.part_of(place).map(|part| part.kind) {
        Some(
            PartKind::FlightController
            | PartKind::SpeedController
            | PartKind::IntegratedBoard
            | PartKind::VideoTransmitter
            | PartKind::ControlReceiver
            | PartKind::Capacitor,
        ) => true,
        Some(PartKind::Screw) => on_pattern(proof, place),
        _ => false,
    };
    let solids = proof.inputs().solids.iter().enumerate();
    // A hot face is only the skin of its transmitter.
    let counts = |s: &CraftSolid| !s.ghost && s.piece != Piece::HotFace && is_stacked(s.place);
    solids.filter(|(_, s)| counts(s)).map(|(n, _)| SolidIndex(n as u32)).collect()
}

fn on_pattern(proof: &Proof, place: usize) -> bool {
    let on = proof.craft.places[place].on.as_ref();
    let Some(craft::Anchor::Feature(under, feature)) = on else { return false };
    let holder = proof.placed_at(under);
    holder.is_some_and(|holder| holder.part.row_named(&shape::pattern::TABLE, feature).is_some())
}

/// A lower face that bounds the stack.
struct Ceiling {
    name: String,
    height: Linear,
    /// The plate's solid; none where only a clear height is known.
    plate: Option<SolidIndex>,
    floor: f64,
}

/// Each lower face that bounds the stack: of every flat top plate, else the clear height over the frame's origin.
fn ceilings(proof: &Proof, placed: Placed) -> Result<Vec<Ceiling>, Vec<Missing>> {
    let inputs = proof.inputs();
    let Some(number) = proof.number_of(&placed.place.id) else { return Ok(Vec::new()) };
    let Some(seat) = inputs.seat(number) else { return Ok(Vec::new()) };
    let floor = seat.pose.origin().z();
    let mut found = Vec::new();
    for (row_number, row) in placed.part.rows(&frame::plate::TABLE).enumerate() {
        if row.text(&frame::plate::ROLE) != Ok("top") {
            continue;
        }
        let Ok(z) = row.read(&shape::Z) else { continue };
        let piece = Piece::Row(frame::plate::TABLE.key, row_number);
        let Some((plate, _)) = inputs.solids_of(number).find(|(_, s)| s.piece == piece) else { continue };
        let height = seat.pose.point(PartPoint::new(0.0, 0.0, z.value.get())).z();
        let height = Linear { value: height, slopes: vec![(proof.enter(&z), 1.0)] };
        let name = row.name().unwrap_or("top plate");
        let name = if name.contains("plate") { name.to_owned() } else { format!("{name} plate") };
        found.push(Ceiling { name, height, plate: Some(plate), floor });
    }
    if !found.is_empty() {
        return Ok(found);
    }
    let clear = placed.part.item().read(&frame::CLEAR_HEIGHT).map_err(|missing| vec![missing])?;
    let height = Linear { value: floor + clear.value.get(), slopes: vec![(proof.enter(&clear), 1.0)] };
    Ok(vec![Ceiling { name: "clear height".to_owned(), height, plate: None, floor }])
}

fn meet_in_plan(a: &Extent, b: &Extent) -> bool {
    a.low.x() < b.high.x() && b.low.x() < a.high.x() && a.low.y() < b.high.y() && b.low.y() < a.high.y()
}

/// The frame each place rests on in the end, by the place's number.
fn frames_under(proof: &Proof) -> Vec<Option<usize>> {
    let places = &proof.craft.places;
    let rests = |number: usize| places[number].on.as_ref().and_then(|on| proof.number_of(on.place()?));
    let is_frame = |number: usize| proof.part_of(number).is_some_and(|part| part.kind == PartKind::Frame);
    let root = |number: usize| {
        let chain = std::iter::successors(Some(number), |number| rests(*number));
        chain.take(craft::limits::SEATS_DEEP_MAX + 1).find(|number| is_frame(*number))
    };
    (0..places.len()).map(root).collect()
}

const EVERYWHERE: Footprint = Footprint { x: [-1e5, 1e5], y: [-1e5, 1e5] };
/// How far a solid is lowered to see whether it would meet the plate on its way up, in mm.
const LOWERED: f64 = 1_000.0;

/// Whether a solid lies under a plate in plan: moved straight up from far below it would meet it.
fn lies_under(proof: &Proof, solid: SolidIndex, plate: SolidIndex) -> bool {
    let scene = &proof.inputs().scene;
    let (Some(below), Some(plate)) = (scene.solid(solid), scene.solid(plate)) else { return false };
    let lowered = Solid { pose: below.pose.shifted(BodyVector::Z * -LOWERED), ..below.clone() };
    let both = Scene::new(vec![lowered, plate.clone()]).ok();
    let travel = Millimetres::new(2.0 * LOWERED);
    both.and_then(|both| straight_sweep_free(&both, SolidIndex(0), BodyVector::Z, travel, &[]))
        .is_some_and(|pull| pull.stopped_by.is_some())
}

fn judge(
    proof: &Proof,
    frame: Placed,
    ceiling: &Ceiling,
    boards: &[SolidIndex],
    frames: &[Option<usize>],
    answer: &mut Answer,
) {
    let inputs = proof.inputs();
    let own = proof.number_of(&frame.place.id);
    let over = ceiling.plate.and_then(|plate| inputs.scene.extent(plate));
    // What stands on the far side of the plate is not under it, nor is what hangs below the floor.
    let between = |index: &SolidIndex| {
        let root = frames[inputs.solids[index.0 as usize].place];
        inputs.scene.extent(*index).is_some_and(|extent| {
            extent.low.z() < ceiling.height.value - 1e-6
                && extent.high.z() > ceiling.floor
                && over.map_or(root.is_none() || root == own, |plate| meet_in_plan(&extent, &plate))
        })
    };
    let mut spares: Vec<(SolidIndex, Linear, f64)> = boards
        .iter()
        .copied()
        .filter(between)
        .filter_map(|index| {
            let (_, top) = highest_under(&inputs.scene, [index], EVERYWHERE)?;
            let play = play(proof, inputs.solids[index.0 as usize].place);
            Some((index, top, play))
        })
        .collect();
    let spare = |(_, top, play): &(SolidIndex, Linear, f64)| ceiling.height.value - top.value - play;
    spares.sort_by(|a, b| spare(a).total_cmp(&spare(b)));
    // The highest that lies under the plate: most often the first that is looked at.
    let highest = spares
        .into_iter()
        .find(|(index, ..)| ceiling.plate.is_none_or(|plate| lies_under(proof, *index, plate)));
    let Some((highest, top, play)) = highest else { return };
    let spare = &(&ceiling.height - &top) - play;
    // What is on soft mounts may use its play up, but must then still be clear.
    let ample = (STACK_SPARE.tight - play).max(0.0);
    let judged = standing_of(proof, &spare, ample, Unit::Millimetres);
    let (verdict, name) = (judged.verdict, &ceiling.name);
    let solid = &inputs.solids[highest.0 as usize];
    let soft = if play > 0.0 { format!("; its soft mounts let it move {}", mm(play)) } else { String::new() };
    let air = spare.value + play;
    let message = match ceiling.plate {
        _ if air < 0.0 => format!("{} stands {} too high for the {name}", solid.solid.name, mm(-air)),
        Some(_) => format!("{} leaves {} of air under the {name}{soft}", solid.solid.name, mm(air)),
        None => format!("{} leaves {} of the {name}{soft}", solid.solid.name, mm(air)),
    };
    let id = format!("fit.stack_spare[{name}]");
    answer.figures.push(
        Lines::of(proof)
            .result(
                "room up to",
                &ceiling.height,
                Unit::Millimetres,
                format!("{name} of {}", frame.part.name),
            )
            .result("highest point under it", &top, Unit::Millimetres, solid.solid.name.clone())
            .given("play of its soft mounts", play, Unit::Millimetres, "soft mounts, or common practice")
            .facts(&top)
            .figure(
                id.clone(),
                "air over the stack",
                (&spare, Unit::Millimetres),
                "room - highest point - play",
                STACK_SPARE.source,
            ),
    );
    let mut finding = judged.finding(STACK_HEIGHT.id, format!("stack under the {name}"), message);
    if verdict != Verdict::Sound {
        if let Some(advice) = &finding.measure_next {
            let measure = format!("Measure the {} first: it decides.", advice.label);
            finding = finding.mend(measure);
        }
        let by = mm(((STACK_SPARE.tight - air) * 10.0 - 1e-6).ceil().max(1.0) / 10.0);
        let what = proof.placed_number(solid.place).map_or("it".to_owned(), |placed| called(proof, placed));
        finding = finding.mend(match ceiling.plate {
            Some(_) => format!("Take standoffs {by} longer, or seat {what} that much lower."),
            None => format!("Raise the canopy by {by}, or seat {what} that much lower."),
        });
    }
    if let (Some(plate), Some(extent)) = (ceiling.plate, inputs.scene.extent(highest)) {
        let middle = [(extent.low.x() + extent.high.x()) / 2.0, (extent.low.y() + extent.high.y()) / 2.0];
        finding.witness = Some(Witness {
            solid_a: highest.0 as usize,
            solid_b: plate.0 as usize,
            on_a: [middle[0], middle[1], top.value],
            on_b: [middle[0], middle[1], ceiling.height.value],
        });
    }
    finding.figure = Some(FigureId(id.into()));
    answer.findings.push(finding.at([frame.place.id.clone(), proof.craft.places[solid.place].id.clone()]));
}

/// How far a board may move on the soft mounts it stands on, or that what it stands on stands on.
fn play(proof: &Proof, place: usize) -> f64 {
    let mut at = place;
    for _ in 0..craft::limits::SEATS_DEEP_MAX {
        let Some(on) = proof.craft.places[at].on.as_ref() else { return 0.0 };
        let under = on.place().and_then(|id| proof.number_of(id));
        let beneath = under.and_then(|number| proof.placed_number(number));
        let beside = proof.seated_on(on).filter(|_| under.is_some());
        let mount = beside.chain(beneath).find(|placed| placed.part.kind == PartKind::SoftMount);
        if let Some(mount) = mount {
            return mount.part.item().read(&fixing::PLAY).map_or(USUAL_PLAY, |play| play.value.get());
        }
        let Some(under) = under else { return 0.0 };
        at = under;
    }
    0.0
}

#[cfg(test)]
#[path = "fit_stack_height_tests.rs"]
mod tests;
