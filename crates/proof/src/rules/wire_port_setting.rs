//! Is each port set to what is wired to it?

use crate::numbers::rounded;
use crate::rule::rule;
use crate::wiring::{SerialLink, WiringModel, function_of};
use crate::{Answer, Finding, Proof, Verdict};
use craft::Missing;
use quantity::{Baud, FactPath, Percent};
use wiring::{RATE_BROKEN, RATE_TIGHT, rate_off};

rule! {
    /// Is each port set to what is wired to it?
    ///
    /// ## Why
    /// A port that is set to something else, or to another rate, looks just like a crossed pair: no text over the picture, level stuck at
    /// the lowest. Looking at the setting costs a minute and no solder.
    ///
    /// ## Sound when
    /// The port that a peripheral is wired to is set to serve it, at its rate within 2 %. Beyond 4.5 % a receiver loses the
    /// frame.
    ///
    /// ## Rests on
    /// The wires, and the settings of the ports as read back. Error tables of makers of microcontrollers for the rates.
    ///
    /// ## Mend
    /// Set the port, save, and read it back.
    PORT_SET = "wire.port_setting", run
}

fn run(proof: &Proof) -> Answer {
    let Some(model) = proof.wiring().filter(|model| model.is_wired()) else { return Answer::default() };
    let links = model.peripheral_ports().into_iter().map(|port| model.link(port));
    Answer { findings: links.filter_map(|link| judge(model, &link)).collect(), figures: Vec::new() }
}

/// Whether the port that a peripheral is on is set to serve it; `None` where it is on none or nobody has read it.
pub(super) fn is_set(model: &WiringModel, link: &SerialLink) -> Option<bool> {
    let port = &model.ports[link.on()?.port];
    let (function, rate) = port.set.as_ref()?;
    let own = model.ports[link.port].rate;
    let off = rate.zip(own).and_then(|(set, own)| rate_off(Baud::new(set), Baud::new(own)));
    let fits = function == function_of(model.unit_of_port(link.port).kind);
    Some(fits && off.is_none_or(|off| off.abs() <= RATE_BROKEN))
}

fn judge(model: &WiringModel, link: &SerialLink) -> Option<Finding> {
    let touch = link.on()?;
    let unit = model.unit_of_port(link.port);
    let (port, name) = (&model.ports[touch.port], model.port_name(touch.port));
    let wanted = function_of(unit.kind);
    let places = [unit.place.clone(), model.unit_of_port(touch.port).place.clone()];
    let found = |verdict, message: String| Finding::new(PORT_SET.id, verdict, unit.called.clone(), message);
    let Some((function, rate)) = &port.set else {
        let missing = Missing {
            path: FactPath(format!("craft.port_set {name}")),
            label: format!("setting of {name} for {}", unit.called),
        };
        return Some(Finding::unknown(PORT_SET.id, unit.called.clone(), vec![missing]).at(places));
    };
    if function != wanted {
        let elsewhere = model.ports.iter().enumerate().find(|(other, port)| {
            *other != touch.port && port.set.as_ref().is_some_and(|(function, _)| function == wanted)
        });
        let set_on = elsewhere.map_or_else(String::new, |(other, _)| {
            format!(", and {wanted} is set on {}", model.port_name(other))
        });
        let message =
            format!("Wired to {name}, which is set to {function}{set_on}: it looks like a crossed pair");
        let rate = model.ports[link.port]
            .rate
            .map_or_else(String::new, |rate| format!(" at {} Bd", rounded(rate, 0)));
        let finding = found(Verdict::Broken, message).at(places);
        // One setting cannot serve two: what the other part on the port wants would be undone.
        let shares = model.peripheral_ports().into_iter().find_map(|other| {
            let on = model.link(other).on()?;
            let other = model.unit_of_port(other);
            let is_served = on.port == touch.port && other.place != unit.place;
            (is_served && function_of(other.kind) == function).then_some(other)
        });
        if let Some(other) = shares {
            return Some(finding.mend(format!(
                "Wire {} to a port of its own and set that to {wanted}{rate}: {name} serves {}.",
                unit.called, other.called
            )));
        }
        return Some(finding.mend(format!("Set {name} to {wanted}{rate}, save, and read it back.")));
    }
    let own = model.ports[link.port].rate;
    let off = rate.zip(own).and_then(|(set, own)| rate_off(Baud::new(set), Baud::new(own)));
    let (Some(off), Some(set), Some(own)) = (off, *rate, own) else {
        return Some(found(Verdict::Sound, format!("Port {name} is set to {function}")).at(places));
    };
    let verdict = if off.abs() > RATE_BROKEN {
        Verdict::Broken
    } else if off.abs() > RATE_TIGHT {
        Verdict::Tight
    } else {
        Verdict::Sound
    };
    let (set, own) = (rounded(set, 0), rounded(own, 0));
    let finding = match verdict {
        Verdict::Sound => found(verdict, format!("Port {name} is set to {function} at {set} Bd")),
        _ => found(
            verdict,
            format!("Port {name} is set to {set} Bd, {} speaks {own} Bd: garbage or nothing", unit.called),
        )
        .mend(format!("Set {name} to {own} Bd, save, and read it back.")),
    };
    Some(finding.margin(Percent::new(100.0 * (RATE_BROKEN - off.abs())), None).at(places))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::testing_wiring::{check, is_sound, port_set};
    use expect_test::expect;

    #[test]
    fn ports_set_to_what_hangs_on_them_are_sound() {
        is_sound(&PORT_SET);
    }

    #[test]
    fn a_port_set_to_something_else_is_broken() {
        check(
            &PORT_SET,
            |craft| {
                port_set(craft, "fc/serial 2", Some("nothing"), None);
                port_set(craft, "fc/serial 3", Some("video"), None);
            },
            expect![[r#"
                broken · Lanner small air unit
                  Wired to fc/serial 2, which is set to nothing, and video is set on fc/serial 3: it looks like a crossed pair
                  > Set fc/serial 2 to video at 115200 Bd, save, and read it back.
            "#]],
        );
    }

    #[test]
    fn another_rate_is_broken() {
        check(
            &PORT_SET,
            |craft| port_set(craft, "fc/serial 2", Some("video"), Some("9600 Bd")),
            expect![[r#"
                broken · Lanner small air unit · -87.127 %
                  Port fc/serial 2 is set to 9600 Bd, Lanner small air unit speaks 115200 Bd: garbage or nothing
                  > Set fc/serial 2 to 115200 Bd, save, and read it back.
            "#]],
        );
    }

    #[test]
    fn a_port_nobody_has_read_is_unknown() {
        check(
            &PORT_SET,
            |craft| port_set(craft, "fc/serial 2", None, None),
            expect![[r#"
                unknown · Lanner small air unit
                  Nobody can say yet: the setting of fc/serial 2 for Lanner small air unit is not known
                  > Measure or look up the setting of fc/serial 2 for Lanner small air unit.
            "#]],
        );
    }
}
