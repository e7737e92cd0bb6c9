//! Can card, USB socket and buttons be reached on the finished craft?

use crate::rule::rule;
use crate::subject::pull::{self, PullCase};
use crate::{Answer, Proof};

rule! {
    /// Can card slots, USB sockets and buttons be reached on the finished craft?
    ///
    /// ## Why
    /// A card slot that faces a standoff means taking the craft apart for every firmware load.
    ///
    /// ## Sound when
    /// A straight way of 15 mm out of a card slot or USB socket, and of 8 mm over a button, is free, with 95 % certainty.
    /// Tight when less than 2 mm are left beyond it, broken when something stands in the way.
    ///
    /// ## Rests on
    /// Where the socket or button is, which way it opens, and every solid near that way. The travel is common practice
    /// where the part does not state it.
    ///
    /// ## Mend
    /// Turn the board so that it opens to a free side.
    SERVICE_ACCESS = "fit.service_access", run
}

fn run(proof: &Proof) -> Answer {
    pull::answer(
        proof,
        &PullCase {
            rule: SERVICE_ACCESS.id,
            uses: &["usb", "card", "button"],
            does: "can be reached",
            mend: "Turn the board so that it opens to a free side.",
        },
    )
}
