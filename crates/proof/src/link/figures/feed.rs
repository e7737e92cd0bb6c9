//! What is lost between a radio and its antenna, as a figure.

use crate::link::LinkAntenna;
use crate::link::radiator::Nudged;
use crate::working::Lines;
use quantity::{Db, FactLedger, Figure, Linear, Unit};
use radio::JOINT_SOURCE;

/// What is lost between a radio and its antenna.
pub(crate) fn feed_figure(facts: &FactLedger, antenna: &LinkAntenna) -> Option<Figure> {
    let mounted = antenna.built.as_ref().ok()?;
    let total = mounted.feed_loss();
    let slope = |nudged: &Nudged| {
        let slope = (nudged.loss - total.usual).get() / nudged.step;
        (slope != 0.0).then_some((nudged.fact, slope))
    };
    let loss = Linear { value: total.usual.get(), slopes: mounted.nudged.iter().filter_map(slope).collect() };
    let part = |label: &str, loss: Db, origin: &str| (label.to_owned(), loss.get(), origin.to_owned());
    let lines = [
        part("in coax and stated leads", mounted.loss.leads, "length and kind of coax, or as stated"),
        part("in joints, usually", mounted.loss.joints.usual, "0.15 dB a sound joint, 1 to 6 dB a worn one"),
        part(
            "by mismatch, usually",
            mounted.loss.mismatch.usual,
            "standing wave ratios of both ends, any phase",
        ),
        part("all together at least", total.least, "every joint and phase at its best"),
        part("all together at most", total.most, "every joint and phase at its worst"),
    ];
    let lines = lines.into_iter().fold(Lines::over(facts), |lines, (label, value, origin)| {
        lines.given(&label, value, Unit::Db, origin)
    });
    Some(lines.facts(&loss).figure(
        format!("link.feed[{}]", antenna.called),
        format!("lost between radio and antenna, {}", antenna.called),
        (&loss, Unit::Db),
        "coax + joints + mismatch",
        JOINT_SOURCE,
    ))
}
