//! Can every plug be pulled without taking anything else out?

use crate::rule::rule;
use crate::subject::pull::{self, PullCase};
use crate::{Answer, Proof};

rule! {
    /// Can every plug be pulled without taking anything else out?
    ///
    /// ## Why
    /// If a standoff stands in the way of one plug, the stack must come apart for a new antenna lead, in the field, in
    /// the wind.
    ///
    /// ## Sound when
    /// The plug's own body, moved straight along its pull direction by its pull space, meets nothing, with 95 % certainty.
    /// Tight when less than 2 mm of travel are left beyond it, broken when something stands in the way.
    ///
    /// ## Rests on
    /// The plug's place and size, its pull direction, and every solid near its way. Where the part does not state the
    /// pull space, custom: 6 mm for miniature coax, 5 for a camera harness, 10 for motor plugs, 8 otherwise.
    ///
    /// ## Mend
    /// Turn the board a quarter or flip it, move it, or take a plug that leaves another way.
    PLUG_PULL = "fit.plug_pull", run
}

fn run(proof: &Proof) -> Answer {
    pull::answer(
        proof,
        &PullCase {
            rule: PLUG_PULL.id,
            uses: &["power", "camera", "coax", "serial", "motor", "balance", "stack", "other"],
            does: "can be pulled",
            mend: "Turn the board a quarter or flip it; then pull again.",
        },
    )
}
