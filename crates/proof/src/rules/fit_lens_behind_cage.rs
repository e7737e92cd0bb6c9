//! Does the cage take the hit before the lens?

use crate::limits::BEHIND_CAGE;
use crate::numbers::mm;
use crate::rule::rule;
use crate::standing::standing;
use crate::working::Lines;
use crate::{Answer, Finding, Placed, Proof, Verdict};
use craft::Anchor;
use craft::schema::{PartKind, frame, place as place_schema};
use fit::{BodyPoint, OwnerIndex, PartPoint, Pose, Role, Shape, Solid, distance_between};
use quantity::{FigureId, Linear, Millimetres, Unit};

rule! {
    /// Does the cage take the hit before the lens, at the tilt that is set?
    ///
    /// ## Why
    /// A lens that stands proud of the cage is scratched or knocked out of focus by the first crash.
    ///
    /// ## Sound when
    /// The front of the lens lies at least 1 mm behind the foremost edge of the cage at the set tilt. Under 1 mm it is
    /// tight; proud of the cage it is broken. Race builds want 2 to 4 mm.
    ///
    /// ## Rests on
    /// How far the lens stands ahead of the camera's face, the face ahead of the side screws, where the mount is, the
    /// tilt, and where the cage ends. Limits are common practice.
    ///
    /// ## Mend
    /// Move the camera back, take a shorter lens, or fit a longer cage.
    LENS_BEHIND_CAGE = "fit.lens_behind_cage", run
}

/// A wall far ahead of the craft: the distance to it tells how far forward a solid reaches, and why.
const WALL_AHEAD: f64 = 4_000.0;

fn run(proof: &Proof) -> Answer {
    let mut answer = Answer::default();
    for lens in proof.places_of(PartKind::Lens) {
        let Some(camera) = proof.part_under(lens.place, PartKind::Camera) else { continue };
        let Some(Anchor::Feature(under, mount)) = &camera.place.on else { continue };
        let Some(holder) = proof.placed().find(|placed| &placed.place.id == under) else { continue };
        let Some(row) = holder.part.row_named(&frame::camera_mount::TABLE, mount) else { continue };
        let subject = format!("{} in {}", lens.part.name, holder.part.name);
        let places = [lens.place.id.clone(), camera.place.id.clone(), holder.place.id.clone()];
        let front = match row.read(&frame::camera_mount::FRONT) {
            Ok(front) => front,
            Err(missing) => {
                answer
                    .findings
                    .push(Finding::unknown(LENS_BEHIND_CAGE.id, subject, vec![missing]).at(places));
                continue;
            }
        };
        let Some(ahead) = front_of(proof, lens) else { continue };
        let Some(number) = proof.craft.places.iter().position(|place| place.id == holder.place.id) else {
            continue;
        };
        let Some(seat) = proof.inputs().seat(number) else { continue };
        let plane = seat.pose.point(PartPoint::new(front.value.get(), 0.0, 0.0));
        let cage = Linear { value: plane.x(), slopes: vec![(proof.enter(&front), 1.0)] };
        let behind = &cage - &ahead;
        let judged = standing(proof, &behind, &BEHIND_CAGE);
        let (verdict, value) = (judged.verdict, behind.value);
        let tilt = camera.place.item().read(&place_schema::PITCH).map_or(0.0, |tilt| tilt.value.get());
        let message = if value < 0.0 {
            format!(
                "At {tilt}° the lens stands {} proud of the cage: the first crash scratches it",
                mm(-value)
            )
        } else {
            format!("At {tilt}° the lens lies {} behind the cage's front", mm(value))
        };
        let id = format!("fit.lens_behind_cage[{}]", lens.place.id);
        answer.figures.push(
            Lines::of(proof)
                .result(
                    "front of the cage, forward of the craft's origin",
                    &cage,
                    Unit::Millimetres,
                    "camera mount of the frame",
                )
                .result(
                    "front of the lens, forward of the craft's origin",
                    &ahead,
                    Unit::Millimetres,
                    format!("lens as placed, tilted {tilt}°"),
                )
                .facts(&ahead)
                .figure(
                    id.clone(),
                    "how far the lens lies behind the cage",
                    (&behind, Unit::Millimetres),
                    "front of cage - front of lens",
                    BEHIND_CAGE.source,
                ),
        );
        let mut finding = judged.finding(LENS_BEHIND_CAGE.id, subject, message);
        if verdict != Verdict::Sound {
            let by = (BEHIND_CAGE.tight - value).max(0.3);
            finding = finding.mend(format!(
                "Move the camera {} back, take a lens that much shorter, or fit a longer cage.",
                mm(by)
            ));
        }
        finding.figure = Some(FigureId(id.into()));
        answer.findings.push(finding.at(places));
    }
    answer
}

/// How far forward the solids of a lens reach, with the facts that say so.
fn front_of(proof: &Proof, lens: Placed) -> Option<Linear> {
    let number = proof.craft.places.iter().position(|place| place.id == lens.place.id)?;
    let thick = Millimetres::new(1.0);
    let wide = Millimetres::new(WALL_AHEAD);
    let wall = Solid {
        name: "wall ahead".to_owned(),
        owner: OwnerIndex(u32::MAX),
        role: Role::KeepOut,
        shape: Shape::cuboid(thick, wide, wide).ok()?,
        pose: Pose::at(BodyPoint::new(WALL_AHEAD + 0.5, 0.0, 0.0)),
        drifts: Vec::new(),
    };
    let gap = proof
        .inputs()
        .solids_of(number)
        .filter(|(_, s)| s.solid.role == Role::Lens)
        .filter_map(|(_, s)| distance_between(&s.solid, &wall).ok())
        .min_by(|a, b| a.distance.get().total_cmp(&b.distance.get()))?;
    Some(&Linear::exact(WALL_AHEAD) - &gap.linear)
}
