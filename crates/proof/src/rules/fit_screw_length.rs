//! Does every screw bite far enough, and stop short of what lies behind?

use crate::limits::{SCREW_BITE, SCREW_TIP};
use crate::numbers::mm;
use crate::rule::rule;
use crate::standing::{Standing, standing_of};
use crate::working::Lines;
use crate::{Answer, Finding, Placed, Proof, Verdict};
use craft::schema::{PartKind, drive, fixing, frame, place as place_schema, shape};
use craft::{Anchor, Item, Missing, Reading};
use fit::{ENGAGEMENT_SOURCE, ScrewFit, ScrewJoint, Thread, ThreadMaterial, lengths_that_serve, screw_fit};
use quantity::{FigureId, Linear, Millimetres, Unit};

rule! {
    /// Does every screw bite far enough, and stop short of what lies behind?
    ///
    /// ## Why
    /// A motor screw a millimetre too long touches the windings and burns the motor at the first throttle. One that
    /// bites a turn less than it should lets go in the first crash.
    ///
    /// ## Sound when
    /// The thread bites at least 1.5 diameters in aluminium, 1 in steel, 2.5 in plastic, and the tip stays 0.5 mm from the
    /// windings. Broken under 1 diameter (aluminium), 0.8 (steel), 2 (plastic), or with less than 0.3 mm at the tip.
    ///
    /// ## Rests on
    /// Screw length, what it clamps (arm, plate, washer), the thread it goes into and its depth. Screws on a motor mount
    /// go into the motor, screws on a standoff into the standoff. Engagement is common practice.
    ///
    /// ## Mend
    /// Take the stock length that is named.
    SCREW_LENGTH = "fit.screw_length", run
}

fn run(proof: &Proof) -> Answer {
    let mut answer = Answer::default();
    for screw in proof.places_of(PartKind::Screw) {
        let Some(Anchor::Feature(under, feature)) = &screw.place.on else { continue };
        let Some(holder) = proof.placed().find(|placed| &placed.place.id == under) else { continue };
        let joint = if let Some(mount) = holder.part.row_named(&frame::motor_mount::TABLE, feature) {
            into_motor(proof, screw, &mount)
        } else if let Some(standoff) = holder.part.row_named(&frame::standoff::TABLE, feature) {
            into_standoff(proof, screw, holder, &standoff)
        } else {
            continue;
        };
        let subject = format!("{} at {feature}", screw.part.name);
        let places = [screw.place.id.clone(), holder.place.id.clone()];
        match joint {
            Ok((joint, material, behind)) => {
                judge(proof, screw, subject, joint, material, behind, &mut answer)
            }
            Err(missing) => answer.findings.push(Finding::unknown(SCREW_LENGTH.id, subject, missing)),
        }
        if let Some(finding) = answer.findings.last_mut() {
            finding.places.extend(places);
        }
    }
    answer
}

type Joint = (ScrewJoint, ThreadMaterial, &'static str);

fn lean(proof: &Proof, reading: &Reading<Millimetres>) -> Linear {
    Linear { value: reading.value.get(), slopes: vec![(proof.enter(reading), 1.0)] }
}

fn thread_and_length(proof: &Proof, screw: Placed) -> Result<(Thread, Linear, Linear), Vec<Missing>> {
    let item = screw.part.item();
    let thread = item.text(&fixing::THREAD).ok().and_then(Thread::named);
    let length = item.read(&fixing::SCREW_LENGTH);
    let washer = screw.place.item().read(&place_schema::WASHER);
    match (thread, length, washer) {
        (Some(thread), Ok(length), Ok(washer)) => Ok((thread, lean(proof, &length), lean(proof, &washer))),
        (thread, length, washer) => {
            let unknown = thread.is_none().then(|| item.missing(&fixing::THREAD.def));
            Err(unknown.into_iter().chain(length.err()).chain(washer.err()).collect())
        }
    }
}

fn into_motor(proof: &Proof, screw: Placed, mount: &Item<'_>) -> Result<Joint, Vec<Missing>> {
    let (thread, length, washer) = thread_and_length(proof, screw)?;
    let motor = proof.places_of(PartKind::Motor).find(|motor| motor.place.on == screw.place.on);
    let Some(motor) = motor else {
        let path = quantity::FactPath(format!("place {}.on", screw.place.id));
        return Err(vec![Missing { path, label: "motor at this mount".to_owned() }]);
    };
    match (mount.read(&frame::motor_mount::PLATE_THICKNESS), motor.part.item().read(&drive::SCREW_DEPTH)) {
        (Ok(plate), Ok(depth)) => {
            let room = lean(proof, &depth);
            let joint = ScrewJoint {
                thread,
                length,
                clamped: vec![lean(proof, &plate), washer],
                thread_depth: None,
                room: Some(room),
            };
            Ok((joint, ThreadMaterial::Aluminium, "windings"))
        }
        (plate, depth) => Err(plate.err().into_iter().chain(depth.err()).collect()),
    }
}

/// How near a plate's face must lie to a standoff's end to be clamped there, in mm.
const AT_END: f64 = 0.6;

fn into_standoff(
    proof: &Proof,
    screw: Placed,
    holder: Placed,
    standoff: &Item<'_>,
) -> Result<Joint, Vec<Missing>> {
    let (thread, length, washer) = thread_and_length(proof, screw)?;
    let (z, height) = match (standoff.read(&shape::Z), standoff.read(&shape::HEIGHT)) {
        (Ok(z), Ok(height)) => (z, height),
        (z, height) => return Err(z.err().into_iter().chain(height.err()).collect()),
    };
    let top = z.value.get() + height.value.get();
    let mut clamped = vec![washer];
    for plate in holder.part.rows(&frame::plate::TABLE) {
        let flat = !matches!(plate.text(&frame::plate::STANDS), Ok("along" | "across"));
        let over = plate.read(&shape::Z).is_ok_and(|at| (at.value.get() - top).abs() <= AT_END);
        if flat && over {
            clamped
                .push(lean(proof, &plate.read(&frame::plate::THICKNESS).map_err(|missing| vec![missing])?));
        }
    }
    let material = match standoff.text(&frame::standoff::MATERIAL) {
        Ok("steel" | "titanium") => ThreadMaterial::Steel,
        Ok("plastic") => ThreadMaterial::Plastic,
        Ok(_) => ThreadMaterial::Aluminium,
        Err(missing) => return Err(vec![missing]),
    };
    // Screws come from both ends: each has half the post.
    let depth = &lean(proof, &height) * 0.5;
    let joint = ScrewJoint { thread, length, clamped, thread_depth: Some(depth.clone()), room: Some(depth) };
    Ok((joint, material, "the screw from the other end"))
}

fn judge(
    proof: &Proof,
    screw: Placed,
    subject: String,
    joint: ScrewJoint,
    material: ThreadMaterial,
    behind: &str,
    answer: &mut Answer,
) {
    let ScrewFit { engagement, tip_gap, .. } = screw_fit(&joint);
    // How deep it reaches, thread or not: the bite is judged by the reach, the tip by what lies behind.
    let row = material.engagement();
    let d = joint.thread.diameter.get();
    let bite = standing_of(
        proof,
        &(&engagement - row.least_diameters * d),
        (row.wanted_diameters - row.least_diameters) * d,
        Unit::Millimetres,
    );
    let tip = tip_gap.as_ref().map(|gap| {
        standing_of(proof, &(gap - SCREW_TIP.broken), SCREW_TIP.tight - SCREW_TIP.broken, Unit::Millimetres)
    });
    let tip_is_worse = tip.as_ref().is_some_and(|tip| {
        (tip.verdict, tip.margin.quantity.value) < (bite.verdict, bite.margin.quantity.value)
    });
    let gap = tip_gap.as_ref().map_or(0.0, |gap| gap.value);
    let length = joint.length.value;
    let name = joint.thread.name;
    let said = match &tip_gap {
        Some(gap) if gap.value < 0.0 => format!(
            "{name}×{length}: bites {}, its tip goes {} past {behind}",
            mm(engagement.value),
            mm(-gap.value)
        ),
        Some(gap) => format!(
            "{name}×{length}: bites {}, its tip stays {} from {behind}",
            mm(engagement.value),
            mm(gap.value)
        ),
        None => format!("{name}×{length}: bites {}", mm(engagement.value)),
    };
    let said = if engagement.value <= 0.0 {
        format!("{name}×{length}: does not reach the thread, {} short", mm(-engagement.value))
    } else {
        said
    };
    let chosen: Standing = match tip {
        Some(tip) if tip_is_worse => tip,
        _ => bite,
    };
    let verdict = chosen.verdict;
    let id = format!("fit.screw_bite[{}]", screw.place.id);
    answer.figures.push(
        Lines::of(proof)
            .given("thread diameter d", d, Unit::Millimetres, fit::THREAD_SOURCE.line())
            .given("least engagement", row.least_diameters * d, Unit::Millimetres, ENGAGEMENT_SOURCE.line())
            .given("wanted engagement", row.wanted_diameters * d, Unit::Millimetres, ENGAGEMENT_SOURCE.line())
            .given(
                "air at the tip",
                gap,
                Unit::Millimetres,
                format!("to {behind}; {}", SCREW_TIP.source.line()),
            )
            .facts(&engagement)
            .figure(
                id.clone(),
                "thread engagement",
                (&engagement, Unit::Millimetres),
                "length - clamped stack",
                SCREW_BITE,
            ),
    );
    let mut finding = chosen.finding(SCREW_LENGTH.id, subject, said);
    if verdict != Verdict::Sound {
        let serve = lengths_that_serve(&joint, material);
        finding = match serve.first() {
            Some(length) => finding.mend(format!("Take {name}×{}.", length.get())),
            None => finding.mend(
                "No stock length does both: change the washer or the plate, or take a screw cut to length.",
            ),
        };
    }
    finding.figure = Some(FigureId(id.into()));
    answer.findings.push(finding);
}
