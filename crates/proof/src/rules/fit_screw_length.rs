//! Does every screw bite far enough, and stop short of what lies behind?

use crate::limits::{SCREW_BITE, SCREW_TIP};
use crate::numbers::{listed, mm};
use crate::rule::rule;
use crate::standing::{Standing, standing_of};
use crate::subject::{Alike, Behind, Joint, Layers, Unjudged, joints};
use crate::working::Lines;
use crate::{Answer, Finding, Placed, Proof, Verdict};
use craft::schema::PartKind;
use craft::{Anchor, PartId};
use fit::{ENGAGEMENT_SOURCE, STOCK_LENGTHS_MM, ScrewFit, lengths_that_serve, screw_fit};
use quantity::{FigureId, Linear, Unit};
use std::collections::HashMap;

rule! {
    /// Does every screw bite far enough, and stop short of what lies behind?
    ///
    /// ## Why
    /// A motor screw a millimetre too long touches the windings and burns the motor at the first throttle. One that
    /// bites a turn less than it should lets go in the first crash.
    ///
    /// ## Sound when
    /// The thread bites at least 1.5 diameters in aluminium, 1 in steel or a nut, 2.5 in plastic, and the tip stays
    /// 0.5 mm from the windings, from the middle of a post or from the end of a blind thread. Broken under 1, 0.8 and 2
    /// diameters, or when the tip comes within 0.3 mm.
    ///
    /// ## Rests on
    /// Screw length, washer, and what the screw passes: boards, spacers and soft mounts whose holes lie on its axis, and every
    /// plate and arm in its way, hole drawn or not; `fit.screw_holes` asks for the holes. The screws of one place may pass different
    /// things, and are then told apart. On a motor mount it goes into the motor, on a standoff into the post, on a hole pattern into a spacer
    /// with a bore less than its own diameter, into a unit whose pattern states its thread depth, else into a nut.
    /// Engagement is common practice; a plain nut is 0.8 diameters high.
    ///
    /// ## Mend
    /// Take the stock length that is named.
    SCREW_LENGTH = "fit.screw_length", run
}

fn run(proof: &Proof) -> Answer {
    let mut answer = Answer::default();
    let mut layers = None;
    let mut alike: HashMap<(&PartId, Verdict, String), usize> = HashMap::new();
    let mut seats: Vec<Vec<String>> = Vec::new();
    for screw in proof.places_of(PartKind::Screw) {
        let joints = joints(proof, screw, None, &mut layers);
        let all: usize = joints.iter().map(|(alike, _)| alike.count).sum();
        for (number, (these, joint)) in joints.into_iter().enumerate() {
            let (finding, figure) = match joint {
                Ok(joint) => judge(proof, (screw, number), &joint),
                Err(Unjudged::Missing(missing)) => (Finding::unknown(SCREW_LENGTH.id, "", missing), None),
                Err(Unjudged::Other(told)) => {
                    let finding = Finding::new(SCREW_LENGTH.id, told.verdict, "", told.message);
                    (finding.mend(told.mend), None)
                }
            };
            let seat = match &screw.place.on {
                Some(Anchor::Feature(_, feature)) => feature.as_str(),
                _ => screw.place.id.as_str(),
            };
            // Screws of one place that pass different things are told apart.
            let seat = match these.count < all {
                true => format!("{seat}, {}", these.told(all)),
                false => seat.to_owned(),
            };
            let holder = screw.place.on.as_ref().and_then(Anchor::place).cloned();
            let places = [screw.place.id.clone()].into_iter().chain(holder);
            // Four motors with like screws are one finding.
            match alike.get(&(&screw.part.id, finding.verdict, finding.message.clone())) {
                Some(&number) => {
                    let known = &mut answer.findings[number].places;
                    places.for_each(|place| {
                        if !known.contains(&place) {
                            known.push(place)
                        }
                    });
                    seats[number].push(seat);
                }
                None => {
                    let key = (&screw.part.id, finding.verdict, finding.message.clone());
                    alike.insert(key, answer.findings.len());
                    let finding = Finding { subject: screw.part.name.clone(), ..finding };
                    answer.findings.push(finding.at(places));
                    seats.push(vec![seat]);
                    answer.figures.extend(figure);
                }
            }
        }
    }
    for (finding, seats) in answer.findings.iter_mut().zip(&seats) {
        let seats: Vec<&str> = seats.iter().map(String::as_str).collect();
        finding.subject = format!("{} at {}", finding.subject, some(&seats));
    }
    answer
}

/// The first few of many names.
fn some(names: &[&str]) -> String {
    match names {
        [first, second, third, _, rest @ ..] if !rest.is_empty() => {
            format!("{first}, {second}, {third} and {} more", rest.len() + 1)
        }
        few => listed(few),
    }
}

/// The stock lengths, in mm, that serve every screw of a place, the shortest first; none where nobody can say what they hold.
pub(crate) fn serving(proof: &Proof, screw: Placed) -> Vec<f64> {
    let mut layers = None;
    let mut serves = |length: &f64| {
        let joints = joints(proof, screw, Some(*length), &mut layers);
        let serve = |joint: &Joint| {
            lengths_that_serve(&joint.joint, joint.material).iter().any(|one| one.get() == *length)
        };
        !joints.is_empty() && joints.iter().all(|(_, joint)| joint.as_ref().is_ok_and(serve))
    };
    STOCK_LENGTHS_MM.iter().copied().filter(|length| serves(length)).collect()
}

/// How many screws of a place come through what they hold and take a nut there.
pub(crate) fn nuts_on(proof: &Proof, screw: Placed, layers: &mut Option<Layers>) -> u32 {
    let joints = joints(proof, screw, None, layers);
    let takes = |(_, joint): &&(Alike, Result<Joint, Unjudged>)| matches!(joint, Ok(joint) if joint.behind == Behind::Nut && joint.joint.thread_depth.is_none());
    joints.iter().filter(takes).map(|(alike, _)| alike.count as u32).sum()
}

fn judge(
    proof: &Proof,
    (screw, number): (Placed, usize),
    joint: &Joint,
) -> (Finding, Option<quantity::Figure>) {
    let ScrewFit { engagement, tip_gap, .. } = screw_fit(&joint.joint);
    let row = joint.material.engagement();
    let d = joint.joint.thread.diameter.get();
    let (least, wanted) = (row.least_diameters * d, row.wanted_diameters * d);
    let bite = standing_of(proof, &(&engagement - least), wanted - least, Unit::Millimetres);
    let tip = tip_gap.as_ref().map(|gap| {
        standing_of(proof, &(gap - SCREW_TIP.broken), SCREW_TIP.tight - SCREW_TIP.broken, Unit::Millimetres)
    });
    let tip_is_worse = tip.as_ref().is_some_and(|tip| {
        (tip.verdict, tip.margin.quantity.value) < (bite.verdict, bite.margin.quantity.value)
    });
    let chosen: Standing = match tip {
        Some(tip) if tip_is_worse => tip,
        _ => bite,
    };
    let verdict = chosen.verdict;
    let gap = tip_gap.as_ref().map(|gap| gap.value);
    let short_of_bite = verdict != Verdict::Sound && !tip_is_worse;
    let said = words(joint, engagement.value, gap, short_of_bite.then_some(wanted));
    let figure = figure(proof, (screw, number), joint, &engagement, gap, (least, wanted));
    let mut finding = chosen.finding(SCREW_LENGTH.id, "", said);
    finding.figure = Some(figure.id.clone());
    if verdict == Verdict::Sound {
        return (finding, Some(figure));
    }
    if let Some(advice) = &finding.measure_next {
        let measure = format!("Measure the {} first: it decides.", advice.label);
        finding = finding.mend(measure);
    }
    let finding = match lengths_that_serve(&joint.joint, joint.material).first() {
        Some(length) if length.get() != joint.joint.length.value => {
            finding.mend(format!("Take {}×{}.", joint.joint.thread.name, length.get()))
        }
        Some(_) => finding,
        None => finding
            .mend("No stock length does both: change the washer or the plate, or cut a screw to length."),
    };
    (finding, Some(figure))
}

/// What the screw does, in words.
fn words(joint: &Joint, bite: f64, gap: Option<f64>, wanted: Option<f64>) -> String {
    let name = format!("{}×{}", joint.joint.thread.name, joint.joint.length.value);
    let passes: f64 = joint.joint.clamped.iter().map(|layer| layer.value).sum();
    let is_nut = joint.behind == Behind::Nut && joint.joint.thread_depth.is_none();
    if is_nut && bite.abs() < 0.05 {
        return format!(
            "{name} ends flush with the {} it passes: nothing comes through for the nut",
            mm(passes)
        );
    }
    if bite <= 0.0 {
        let target = if is_nut { "come through" } else { "reach the thread" };
        return format!("{name} does not {target}: it passes {}, {} are wanting", mm(passes), mm(-bite));
    }
    if is_nut {
        let nut = wanted.map_or(String::new(), |wanted| format!(", it wants {}", mm(wanted)));
        return format!("{name} passes {}, {} come through for the nut{nut}", mm(passes), mm(bite));
    }
    let bites = match wanted {
        Some(wanted) => format!("{name} bites {}, {} are wanted", mm(bite), mm(wanted)),
        None => format!("{name} bites {}", mm(bite)),
    };
    let (from, past) = match joint.behind {
        Behind::Windings => ("the windings", "past the safe depth: it touches the windings"),
        Behind::MiddleOfPost => {
            ("the middle of the post", "past the middle of the post, where the other screw comes")
        }
        Behind::EndOfThread => {
            ("the end of the thread", "past the end of the thread: it stops before it clamps")
        }
        Behind::Nut => return bites,
    };
    match gap {
        Some(gap) if gap.abs() < 0.05 => format!("{bites}, its tip reaches {from}"),
        Some(gap) if gap < 0.0 => format!("{bites}, its tip goes {} {past}", mm(-gap)),
        Some(gap) => format!("{bites}, its tip stays {} from {from}", mm(gap)),
        None => bites,
    }
}

fn figure(
    proof: &Proof,
    (screw, number): (Placed, usize),
    joint: &Joint,
    engagement: &Linear,
    gap: Option<f64>,
    (least, wanted): (f64, f64),
) -> quantity::Figure {
    let d = joint.joint.thread.diameter.get();
    let mut lines = Lines::of(proof)
        .given("thread diameter d", d, Unit::Millimetres, fit::THREAD_SOURCE.line())
        .given("least engagement", least, Unit::Millimetres, ENGAGEMENT_SOURCE.line())
        .given("wanted engagement", wanted, Unit::Millimetres, ENGAGEMENT_SOURCE.line());
    if let Some(gap) = gap {
        lines = lines.given("air at the tip", gap, Unit::Millimetres, SCREW_TIP.source.line());
    }
    // Screws of one place that pass less or more than the most of them.
    let of = match number {
        0 => screw.place.id.to_string(),
        number => format!("{}, {}", screw.place.id, number + 1),
    };
    lines.facts(engagement).figure(
        FigureId(format!("fit.screw_bite[{of}]").into()).0,
        "thread engagement of a screw",
        (engagement, Unit::Millimetres),
        "length - clamped stack, but no more than the thread is deep",
        SCREW_BITE,
    )
}

#[cfg(test)]
#[path = "fit_screw_length_tests.rs"]
mod tests;
