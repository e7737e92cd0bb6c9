//! Does the cage take the hit before the lens?

use crate::limits::BEHIND_CAGE;
use crate::names::called;
use crate::numbers::{mm, rounded};
use crate::rule::rule;
use crate::standing::standing;
use crate::working::Lines;
use crate::{Answer, Finding, Placed, Proof, Seat, Verdict};
use craft::schema::{PartKind, camera as schema, frame, place as place_schema};
use craft::{Anchor, Item, Missing};
use fit::{InPart, OwnerIndex, PartPoint, Role, Shape, Solid, distance_between};
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
const WALL_AHEAD: f64 = 1_000.0;

fn run(proof: &Proof) -> Answer {
    let mut answer = Answer::default();
    for lens in proof.places_of(PartKind::Lens) {
        let Some(camera) = proof.part_under(lens.place, PartKind::Camera) else { continue };
        let mut places = vec![lens.place.id.clone(), camera.place.id.clone()];
        let finding = match in_mount(proof, lens, camera) {
            Ok((holder, row)) => {
                places.push(holder.place.id.clone());
                judge(proof, lens, camera, holder, &row, &mut answer)
            }
            Err(finding) => Some(*finding),
        };
        answer.findings.extend(finding.map(|finding| finding.at(places)));
    }
    answer
}

/// What holds the camera, and where; a finding if the lens does not sit as it must for this to be asked.
fn in_mount<'a>(
    proof: &Proof<'a>,
    lens: Placed<'a>,
    camera: Placed<'a>,
) -> Result<(Placed<'a>, Item<'a>), Box<Finding>> {
    let subject = format!("{} on {}", lens.part.name, called(proof, camera));
    if !matches!(&lens.place.on, Some(Anchor::Feature(..))) {
        let message =
            format!("Nobody can say yet: {} is seated on the camera, not on its lens mount", lens.part.name);
        let finding = Finding::new(LENS_BEHIND_CAGE.id, Verdict::Unknown, subject, message);
        return Err(Box::new(finding.mend(format!("Seat it on {}/lens mount.", camera.place.id))));
    }
    let mount = match &camera.place.on {
        Some(Anchor::Feature(under, mount)) => proof.placed_at(under).zip(Some(mount)),
        _ => None,
    };
    let found = mount.and_then(|(holder, mount)| {
        Some((holder, holder.part.row_named(&frame::camera_mount::TABLE, mount)?))
    });
    found.ok_or_else(|| {
        let message = format!("Nobody can say yet: {} hangs in no camera mount", called(proof, camera));
        let finding = Finding::new(LENS_BEHIND_CAGE.id, Verdict::Unknown, subject, message);
        Box::new(
            finding
                .mend("Seat the camera in a camera mount of the frame, and say where the cage's front is."),
        )
    })
}

/// `None` where the lens stands nowhere: that is told of its seat.
fn judge(
    proof: &Proof,
    lens: Placed,
    camera: Placed,
    holder: Placed,
    row: &Item<'_>,
    answer: &mut Answer,
) -> Option<Finding> {
    let subject = format!("{} in {}", lens.part.name, holder.part.name);
    let front = match row.read(&frame::camera_mount::FRONT) {
        Ok(front) => front,
        Err(missing) => return Some(Finding::unknown(LENS_BEHIND_CAGE.id, subject, vec![missing])),
    };
    let number = proof.number_of(&lens.place.id)?;
    let seat = proof.inputs().seat(proof.number_of(&holder.place.id)?)?;
    proof.inputs().seat(number)?;
    let sizes = [&schema::PROUD, &schema::HEAD_DIAMETER].map(|field| lens.part.item().read(field).err());
    let missing: Vec<Missing> = sizes.into_iter().flatten().collect();
    if !missing.is_empty() {
        return Some(Finding::unknown(LENS_BEHIND_CAGE.id, subject, missing));
    }
    let ahead = front_of(proof, number, seat)?;
    let cage = proof.lean(&front);
    let behind = &cage - &ahead;
    let judged = standing(proof, &behind, &BEHIND_CAGE);
    let (verdict, value) = (judged.verdict, behind.value);
    let tilt = camera.place.item().read(&place_schema::PITCH).map_or(0.0, |tilt| tilt.value.get());
    let tilt = rounded(tilt, 1);
    let message = if value < 0.0 {
        format!("At {tilt}° the lens stands {} proud of the cage: the first crash scratches it", mm(-value))
    } else {
        format!("At {tilt}° the lens lies {} behind the cage's front", mm(value))
    };
    let id = format!("fit.lens_behind_cage[{}]", lens.place.id);
    answer.figures.push(
        Lines::of(proof)
            .result(
                "front of the cage, in the frame's x",
                &cage,
                Unit::Millimetres,
                "camera mount of the frame",
            )
            .result(
                "front of the lens, in the frame's x",
                &ahead,
                Unit::Millimetres,
                format!("lens as placed, tilted {tilt}°"),
            )
            .facts(&ahead)
            .figure(
                id.clone(),
                "how far a lens lies behind its cage",
                (&behind, Unit::Millimetres),
                "front of cage - front of lens",
                BEHIND_CAGE.source,
            ),
    );
    let mut finding = judged.finding(LENS_BEHIND_CAGE.id, subject, message);
    if verdict != Verdict::Sound {
        if let Some(advice) = &finding.measure_next {
            let measure = format!("Measure the {} first: it decides.", advice.label);
            finding = finding.mend(measure);
        }
        let by = mm(((BEHIND_CAGE.tight - value) * 10.0 - 1e-6).ceil().max(3.0) / 10.0);
        finding = finding
            .mend(format!("Move the camera {by} back, take a lens that much shorter, or fit a longer cage."));
    }
    finding.figure = Some(FigureId(id.into()));
    Some(finding)
}

/// How far forward in the holder's own frame the solids of a lens reach, with the facts that say so. The wall
/// moves with the holder, so that what moves both is no doubt.
fn front_of(proof: &Proof, lens: usize, holder: &Seat) -> Option<Linear> {
    let (thick, wide) = (Millimetres::new(1.0), Millimetres::new(2.0 * WALL_AHEAD));
    let wall = Solid {
        name: "wall ahead".to_owned(),
        owner: OwnerIndex(u32::MAX),
        role: Role::KeepOut,
        shape: Shape::cuboid(thick, wide, wide).ok()?,
        pose: holder.pose * InPart::at(PartPoint::new(WALL_AHEAD + 0.5, 0.0, 0.0)),
        drifts: holder.drifts.clone(),
    };
    let gap = proof
        .inputs()
        .solids_of(lens)
        .filter(|(_, s)| s.solid.role == Role::Lens)
        .filter_map(|(_, s)| distance_between(&s.solid, &wall).ok())
        .min_by(|a, b| a.distance.get().total_cmp(&b.distance.get()))?;
    Some(&Linear::exact(WALL_AHEAD) - &gap.linear)
}

#[cfg(test)]
mod tests {
    use super::LENS_BEHIND_CAGE;
    use crate::testing::set;
    use crate::testing_stack::{bay_is_sound, bay_told, bay_told_of};
    use craft::{Anchor, Craft};
    use expect_test::{Expect, expect};

    fn check(spoil: impl FnOnce(&mut Craft), expected: Expect) {
        expected.assert_eq(&bay_told(&LENS_BEHIND_CAGE, spoil));
    }

    fn seat(craft: &mut Craft, id: &str, on: &str) {
        let place = craft.places.iter_mut().find(|place| place.id.as_str() == id);
        place.into_iter().for_each(|place| place.on = Anchor::read(on).ok());
    }

    #[test]
    fn a_lens_behind_its_cage_is_sound() {
        bay_is_sound(&LENS_BEHIND_CAGE);
        // Screws at 50, face 8 ahead, lens 2 ahead of that: 60 mm, the cage ends at 62 mm.
        expect![[r#"
            sound · lens in bay frame · 2 mm · 100 %
              At 0° the lens lies 2 mm behind the cage's front
        "#]]
        .assert_eq(&bay_told_of(&LENS_BEHIND_CAGE, "", |_| {}));
    }

    #[test]
    fn a_lens_that_stands_proud_is_broken() {
        check(
            |craft| set(craft, "lens.proud", "5 mm, measured"),
            expect![[r#"
            broken · lens in bay frame · -1 mm · 0 %
              At 0° the lens stands 1 mm proud of the cage: the first crash scratches it
              > Move the camera 2 mm back, take a lens that much shorter, or fit a longer cage.
        "#]],
        );
    }

    #[test]
    fn a_lens_nearly_level_is_tight() {
        check(
            |craft| set(craft, "lens.proud", "3.5 mm, measured"),
            expect![[r#"
            tight · lens in bay frame · 0.5 mm · 100 %
              At 0° the lens lies 0.5 mm behind the cage's front
              > Move the camera 0.5 mm back, take a lens that much shorter, or fit a longer cage.
        "#]],
        );
    }

    #[test]
    fn tilting_brings_the_rim_of_the_lens_forward_and_the_whole_back() {
        // At 30° the front's middle lies 10·cos 30° = 8.660 mm ahead of the screws, its rim 5·sin 30° = 2.5 mm more:
        // 50 + 11.160 = 61.160 mm, 0.840 mm behind the cage.
        check(
            |craft| set(craft, "place cam.pitch", "30°"),
            expect![[r#"
            tight · lens in bay frame · 0.84 mm · 100 %
              At 30° the lens lies 0.84 mm behind the cage's front
              > Move the camera 0.3 mm back, take a lens that much shorter, or fit a longer cage.
        "#]],
        );
        // So it is turned sideways.
        check(
            |craft| set(craft, "place cam.yaw", "-30°"),
            expect![[r#"
            tight · lens in bay frame · 0.84 mm · 100 %
              At 0° the lens lies 0.84 mm behind the cage's front
              > Move the camera 0.3 mm back, take a lens that much shorter, or fit a longer cage.
        "#]],
        );
    }

    #[test]
    fn a_frame_turned_in_the_craft_changes_nothing() {
        let told = |yaw: &str| {
            bay_told_of(&LENS_BEHIND_CAGE, "", |craft| {
                set(craft, "place cam.pitch", "30°");
                set(craft, "place frame.yaw", yaw);
                set(craft, "place frame.x", "7 mm, typical");
            })
        };
        assert_eq!(told("0°"), told("70°"));
        assert!(told("70°").contains("0.84 mm"), "{}", told("70°"));
    }

    #[test]
    fn what_keeps_it_from_being_judged_is_said() {
        check(
            |craft| set(craft, "frame.camera_mount[0].front", ""),
            expect![[r#"
            unknown · lens in bay frame
              Nobody can say yet: the cage front of camera mount "nose" of "bay frame" is not known
              > Measure or look up the cage front of camera mount "nose" of "bay frame".
        "#]],
        );
        check(
            |craft| set(craft, "lens.proud", ""),
            expect![[r#"
            unknown · lens in bay frame
              Nobody can say yet: the length ahead of the face of "lens" is not known
              > Measure or look up the length ahead of the face of "lens".
        "#]],
        );
        check(
            |craft| seat(craft, "lens", "cam"),
            expect![[r#"
            unknown · lens on nano camera
              Nobody can say yet: lens is seated on the camera, not on its lens mount
              > Seat it on cam/lens mount.
        "#]],
        );
        check(
            |craft| seat(craft, "cam", "frame"),
            expect![[r#"
            unknown · lens on nano camera
              Nobody can say yet: nano camera hangs in no camera mount
              > Seat the camera in a camera mount of the frame, and say where the cage's front is.
        "#]],
        );
    }
}
