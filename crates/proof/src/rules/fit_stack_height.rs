//! Does everything between the plates go under the top plate?

use crate::limits::STACK_SPARE;
use crate::numbers::mm;
use crate::rule::rule;
use crate::standing::standing;
use crate::working::Lines;
use crate::{Answer, Finding, Placed, Proof, Verdict, Witness};
use craft::Missing;
use craft::schema::{PartKind, frame, shape};
use fit::{Footprint, PartPoint, SolidIndex, highest_under};
use quantity::{FigureId, Linear, Unit};

rule! {
    /// Does everything between the plates go under the top plate?
    ///
    /// ## Why
    /// A stack that is a millimetre too high bows the top plate, presses plugs onto boards and cuts off the air over
    /// the transmitter.
    ///
    /// ## Sound when
    /// The highest board, component or plug under the top plate leaves at least 2 mm of air. Under 2 mm it is tight, under
    /// nought broken.
    ///
    /// ## Rests on
    /// Heights of boards and components, what they stand on, the standoffs or the clear height of the frame, each with
    /// its doubt. The 2 mm are common practice; 4 mm are better over a transmitter.
    ///
    /// ## Mend
    /// Take longer standoffs, a lower spacer, or seat the transmitter elsewhere.
    STACK_HEIGHT = "fit.stack_height", run
}

fn run(proof: &Proof) -> Answer {
    let mut answer = Answer::default();
    for frame in proof.places_of(PartKind::Frame) {
        let boards = stacked(proof);
        if boards.is_empty() {
            continue;
        }
        match ceiling(proof, frame) {
            Ok(ceilings) => {
                for (name, height, footprint) in ceilings {
                    judge(proof, frame, &name, &height, footprint, &boards, &mut answer);
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

/// The solids of everything that is stacked: boards, transmitters, receivers, with their plugs.
fn stacked(proof: &Proof) -> Vec<SolidIndex> {
    let inputs = proof.inputs();
    let is_stacked = |place: usize| {
        proof.craft.part_at(&proof.craft.places[place]).is_some_and(|part| {
            matches!(
                part.kind,
                PartKind::FlightController
                    | PartKind::SpeedController
                    | PartKind::IntegratedBoard
                    | PartKind::VideoTransmitter
                    | PartKind::ControlReceiver
            )
        })
    };
    let solids = inputs.solids.iter().enumerate();
    solids.filter(|(_, s)| !s.ghost && is_stacked(s.place)).map(|(n, _)| SolidIndex(n as u32)).collect()
}

type Ceiling = (String, Linear, Footprint);

/// Each lower face that bounds the stack: of every flat top plate, else the clear height over the frame's origin.
fn ceiling(proof: &Proof, placed: Placed) -> Result<Vec<Ceiling>, Vec<Missing>> {
    let inputs = proof.inputs();
    let Some(number) = proof.craft.places.iter().position(|place| place.id == placed.place.id) else {
        return Ok(Vec::new());
    };
    let Some(seat) = inputs.seat(number) else { return Ok(Vec::new()) };
    let mut found = Vec::new();
    for (row_number, row) in placed.part.rows(&frame::plate::TABLE).enumerate() {
        if row.text(&frame::plate::ROLE) != Ok("top") {
            continue;
        }
        let Ok(z) = row.read(&shape::Z) else { continue };
        let plate = inputs
            .solids_of(number)
            .find(|(_, s)| s.piece == crate::Piece::Row(frame::plate::TABLE.key, row_number));
        let Some(extent) = plate.and_then(|(index, _)| inputs.scene.extent(index)) else { continue };
        let height = seat.pose.point(PartPoint::new(0.0, 0.0, z.value.get())).z();
        let height = Linear { value: height, slopes: vec![(proof.enter(&z), 1.0)] };
        let footprint =
            Footprint { x: [extent.low.x(), extent.high.x()], y: [extent.low.y(), extent.high.y()] };
        found.push((row.name().unwrap_or("top plate").to_owned(), height, footprint));
    }
    if !found.is_empty() {
        return Ok(found);
    }
    let clear = placed.part.item().read(&frame::CLEAR_HEIGHT).map_err(|missing| vec![missing])?;
    let floor = seat.pose.origin().z();
    let height = Linear { value: floor + clear.value.get(), slopes: vec![(proof.enter(&clear), 1.0)] };
    const EVERYWHERE: [f64; 2] = [-10_000.0, 10_000.0];
    Ok(vec![("clear height".to_owned(), height, Footprint { x: EVERYWHERE, y: EVERYWHERE })])
}

fn judge(
    proof: &Proof,
    frame: Placed,
    name: &str,
    ceiling: &Linear,
    footprint: Footprint,
    boards: &[SolidIndex],
    answer: &mut Answer,
) {
    let inputs = proof.inputs();
    // What stands on the far side of the plate is not under it.
    let under = boards
        .iter()
        .copied()
        .filter(|index| inputs.scene.extent(*index).is_some_and(|extent| extent.low.z() < ceiling.value));
    let Some((highest, top)) = highest_under(&inputs.scene, under, footprint) else { return };
    let spare = ceiling - &top;
    let judged = standing(proof, &spare, &STACK_SPARE);
    let verdict = judged.verdict;
    let solid = &inputs.solids[highest.0 as usize];
    let message = if spare.value < 0.0 {
        format!("{} stands {} too high for the {name}", solid.solid.name, mm(-spare.value))
    } else {
        format!("{} leaves {} of air under the {name}", solid.solid.name, mm(spare.value))
    };
    let id = format!("fit.stack_spare[{name}]");
    answer.figures.push(
        Lines::of(proof)
            .result("room up to", ceiling, Unit::Millimetres, format!("{name} of {}", frame.part.name))
            .result("highest point under it", &top, Unit::Millimetres, solid.solid.name.clone())
            .facts(&top)
            .figure(
                id.clone(),
                "air over the stack",
                (&spare, Unit::Millimetres),
                "room - highest point",
                STACK_SPARE.source,
            ),
    );
    let mut finding = judged.finding(STACK_HEIGHT.id, format!("stack under the {name}"), message);
    if verdict != Verdict::Sound {
        let by = mm(STACK_SPARE.tight - spare.value);
        finding = finding
            .mend(format!("Take standoffs {by} longer, or seat {} that much lower.", solid.solid.name));
    }
    if let Some(extent) = inputs.scene.extent(highest) {
        let middle = [(extent.low.x() + extent.high.x()) / 2.0, (extent.low.y() + extent.high.y()) / 2.0];
        let frame_number = proof.craft.places.iter().position(|place| place.id == frame.place.id);
        let plate = inputs.solids.iter().position(|s| {
            Some(s.place) == frame_number
                && matches!(s.piece, crate::Piece::Row("plate", _))
                && s.solid.name.contains(name)
        });
        if let Some(plate) = plate {
            finding.witness = Some(Witness {
                solid_a: highest.0 as usize,
                solid_b: plate,
                on_a: [middle[0], middle[1], top.value],
                on_b: [middle[0], middle[1], ceiling.value],
            });
        }
    }
    finding.figure = Some(FigureId(id.into()));
    answer.findings.push(finding.at([frame.place.id.clone(), proof.craft.places[solid.place].id.clone()]));
}
