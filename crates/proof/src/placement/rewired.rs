//! Wires whose mend is one exact change: the two lines of a serial pair that is crossed, exchanged at the controller.
//!
//! A pair is crossed where send meets send and receive meets receive by a wire each. Exchanged are the ends of the two wires at
//! the controller, as the rule says. Left out: ready-made leads, whose pins are not moved so easily, and a lone wire that
//! goes wrong: for that there is more than one mend.

use super::swap::{Swap, verdict_with};
use crate::wiring::{SerialLink, WireRow, WiringModel};
use crate::{OutlineStore, Proof, Verdict};
use craft::schema::wiring::wire;
use craft::{Craft, Edit};
use std::sync::Arc;
use wiring::Role;

const RULE: &str = "wire.crossing";

/// The serial pairs of a craft that are crossed, each with the exchange of its two wires.
pub(crate) fn rewired(craft: &Craft, outlines: &Arc<OutlineStore>) -> Vec<Swap> {
    let proof = Proof::with_outlines(craft, Arc::clone(outlines));
    let Some(model) = proof.wiring() else { return Vec::new() };
    let ports = model.peripheral_ports();
    ports.into_iter().filter_map(|port| exchanged(craft, model, &model.link(port), outlines)).collect()
}

fn exchanged(
    craft: &Craft,
    model: &WiringModel,
    link: &SerialLink,
    outlines: &Arc<OutlineStore>,
) -> Option<Swap> {
    let touch = link.on().filter(|touch| touch.link.senders_meet && touch.link.receivers_meet)?;
    let line = |role: Role| {
        let pads = [model.line(link.port, role)?, model.line(touch.port, role)?];
        let wire = model.wires.iter().find(|wire| joins(wire, pads))?;
        Some((wire, pads))
    };
    let ((one, sends), (other, receives)) = (line(Role::Send)?, line(Role::Receive)?);
    let edits = vec![moved(model, one, sends[1], receives[1])?, moved(model, other, receives[1], sends[1])?];
    let (unit, board) = (model.unit_of_port(link.port), model.unit_of_port(touch.port));
    let places = [&unit.place];
    let verdict = verdict_with(RULE, craft, &edits, &places, outlines)?;
    let pad = |pad: usize| model.pad_name(pad);
    (verdict == Verdict::Sound).then(|| Swap {
        edits,
        step: format!(
            "Swap the two serial wires at {}: {} goes to {}, {} to {}",
            board.place,
            pad(sends[1]),
            pad(receives[0]),
            pad(receives[1]),
            pad(sends[0])
        ),
        mends: format!("{} and {} are crossed with {}", pad(sends[0]), pad(receives[0]), board.called),
    })
}

/// Whether a wire, and no ready-made lead, joins just these two pads.
fn joins(wire: &WireRow, [a, b]: [usize; 2]) -> bool {
    wire.lead.is_none() && (wire.joins == [[a, b]] || wire.joins == [[b, a]])
}

/// The end of a wire at one pad taken to another.
fn moved(model: &WiringModel, row: &WireRow, from: usize, to: usize) -> Option<Edit> {
    let [join] = row.joins.as_slice() else { return None };
    let key = if join[0] == from { wire::FROM.def.key } else { wire::TO.def.key };
    Some(Edit::SetCraftRow {
        table: wire::TABLE.key.to_owned(),
        row: row.row,
        key: key.to_owned(),
        text: Some(model.pad_name(to)),
    })
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use crate::placement::judged::made;
    use crate::testing_wiring::{join, rewire, sound_wiring};

    fn crossed() -> Craft {
        let mut craft = sound_wiring();
        rewire(&mut craft, "fc/T2", "vtx/TX");
        rewire(&mut craft, "fc/R2", "vtx/RX");
        craft
    }

    #[test]
    fn a_crossed_pair_is_put_right_by_one_exchange_and_nothing_else_moves() {
        let found = rewired(&crossed(), &Arc::default());
        let [one] = found.as_slice() else { panic!("{found:?}") };
        assert_eq!(one.step, "Swap the two serial wires at fc: fc/T2 goes to vtx/RX, fc/R2 to vtx/TX");
        // The ends at the controller change places: wires keep their rows, so that colours stay true.
        let mended = made(&crossed(), &one.edits).unwrap();
        let ends = |craft: &Craft| {
            let wires = craft.tables["wire"].iter();
            let mut ends: Vec<String> =
                wires.map(|row| format!("{:?} {:?}", row.0["from"], row.0["to"])).collect();
            ends.sort();
            ends
        };
        assert_eq!(ends(&mended), ends(&sound_wiring()));
        assert_eq!(rewired(&sound_wiring(), &Arc::default()), []);
    }

    #[test]
    fn what_has_more_than_one_mend_is_left_to_the_builder() {
        // A third wire on the line: which of them is wrong nobody can say.
        let mut craft = crossed();
        join(&mut craft, "rx/TX", "vtx/TX");
        assert_eq!(rewired(&craft, &Arc::default()), []);
        let mut half = sound_wiring();
        rewire(&mut half, "fc/T2", "vtx/TX");
        assert_eq!(rewired(&half, &Arc::default()), []);
    }
}
