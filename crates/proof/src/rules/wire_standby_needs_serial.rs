//! Will the level rise when the motors are armed?

use super::wire_port_setting::is_set;
use crate::rule::rule;
use crate::wiring::{SerialLink, WiringModel};
use crate::{Answer, Finding, Proof, Verdict};
use craft::PlaceId;
use craft::schema::{PartKind, craft as craft_schema, place};

rule! {
    /// Will the level rise when the motors are armed?
    ///
    /// ## Why
    /// With *standby until armed* a transmitter stays at its lowest level until the flight controller says that the motors
    /// are armed. It spares heat and other pilots' pictures. If the serial link is dead it never hears that word, and flies at the lowest
    /// level for good; after a crash it falls back just when you search.
    ///
    /// ## Sound when
    /// Standby is on, the flight controller's send reaches the unit's receive, the port is set to video, and the level was seen
    /// to rise at arming. Not seen yet is tight.
    ///
    /// ## Rests on
    /// The wires, the settings of the ports, and what you have seen. Common practice.
    ///
    /// ## Mend
    /// Mend the serial link or switch standby off; then mind the others in the pits.
    LEVEL_RISES = "wire.standby_needs_serial", run
}

fn run(proof: &Proof) -> Answer {
    let Some(model) = proof.wiring().filter(|model| model.is_wired()) else { return Answer::default() };
    if proof.craft.item().flag(&craft_schema::STANDBY) != Ok(true) {
        return Answer::default();
    }
    let ports = model.peripheral_ports().into_iter();
    let video = ports.filter(|port| model.unit_of_port(*port).kind == PartKind::VideoTransmitter);
    let findings = video.map(|port| {
        let (link, unit) = (model.link(port), model.unit_of_port(port));
        let found = |verdict, message: String| {
            Finding::new(LEVEL_RISES.id, verdict, unit.called.clone(), message).at([unit.place.clone()])
        };
        let mend_off = "Or switch standby off, and then mind the others in the pits.";
        if let Some(why) = untold(model, &link) {
            let message = format!("It will stay at its lowest level forever: standby is on, and {why}");
            return found(Verdict::Broken, message).mend("Mend the serial link.").mend(mend_off);
        }
        let seen = proof.craft.place(&unit.place).and_then(|at| at.item().flag(&place::RISES).ok());
        match seen {
            Some(true) => found(Verdict::Sound, "Its level was seen to rise when armed".to_owned()),
            _ => found(
                Verdict::Tight,
                "Standby is on, and nobody has seen its level rise when armed".to_owned(),
            )
            .mend("Blades off, antenna on, arm, and look at the level it shows; then enter it at its place."),
        }
    });
    Answer { findings: findings.collect(), figures: Vec::new() }
}

/// Why a unit is never told that the motors are armed; `None` where nothing speaks against it.
fn untold(model: &WiringModel, link: &SerialLink) -> Option<&'static str> {
    if link.is_crossed() {
        Some("its serial wires are crossed")
    } else if !link.is_told() {
        Some("no send line of the flight controller reaches it")
    } else if is_set(model, link) == Some(false) {
        Some("the port it is on is not set to it")
    } else {
        None
    }
}

/// Why the unit at a place stays at its lowest level whatever is set; `None` where nothing holds it there.
pub(crate) fn held_low(proof: &Proof, unit: &PlaceId) -> Option<&'static str> {
    let model = proof.wiring().filter(|model| model.is_wired())?;
    if proof.craft.item().flag(&craft_schema::STANDBY) != Ok(true) {
        return None;
    }
    let ports = model.peripheral_ports().into_iter();
    let own = ports.filter(|port| model.unit_of_port(*port).place == *unit);
    let mut links = own.map(|port| model.link(port));
    links.find_map(|link| untold(model, &link))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::testing_wiring::{check, is_sound, port_set, rewire, set};
    use expect_test::expect;

    #[test]
    fn a_level_that_was_seen_to_rise_is_sound() {
        is_sound(&LEVEL_RISES);
    }

    #[test]
    fn a_crossed_pair_keeps_it_low_forever() {
        check(
            &LEVEL_RISES,
            |craft| {
                rewire(craft, "fc/T2", "vtx/TX");
                rewire(craft, "fc/R2", "vtx/RX");
            },
            expect![[r#"
                broken · Lanner small air unit
                  It will stay at its lowest level forever: standby is on, and its serial wires are crossed
                  > Mend the serial link.
                  > Or switch standby off, and then mind the others in the pits.
            "#]],
        );
    }

    #[test]
    fn a_port_set_to_something_else_keeps_it_low_too() {
        check(
            &LEVEL_RISES,
            |craft| port_set(craft, "fc/serial 2", Some("nothing"), None),
            expect![[r#"
            broken · Lanner small air unit
              It will stay at its lowest level forever: standby is on, and the port it is on is not set to it
              > Mend the serial link.
              > Or switch standby off, and then mind the others in the pits.
        "#]],
        );
    }

    #[test]
    fn not_seen_yet_is_tight_and_without_standby_it_is_not_asked() {
        check(
            &LEVEL_RISES,
            |craft| set(craft, "place vtx.rises", ""),
            expect![[r#"
            tight · Lanner small air unit
              Standby is on, and nobody has seen its level rise when armed
              > Blades off, antenna on, arm, and look at the level it shows; then enter it at its place.
        "#]],
        );
        check(&LEVEL_RISES, |craft| set(craft, "craft.standby", "no"), expect![[r#""#]]);
    }
}
