//! Does every line go from one that talks to one that listens?

use super::wire_common_ground::RIGHT_FIRST;
use crate::rule::rule;
use crate::wiring::{SerialLink, WiringModel};
use crate::{Answer, Finding, Proof, Verdict};
use craft::schema::PartKind;
use wiring::{NetFault, Role};

rule! {
    /// Does every line go from one that talks to one that listens?
    ///
    /// ## Why
    /// Send goes to receive and receive comes from send. Where send meets send both talk and nobody listens: the video
    /// transmitter then never hears that the motors are armed, so it is stuck at its lowest level, and the text over the picture is missing.
    /// A line that is not there at all, or split over two ports, shows the same two signs. They look like a radio that is too weak.
    ///
    /// ## Sound when
    /// Each serial port of a peripheral is on one port of the flight controller, each line from send to receive, and no other
    /// net has two that talk, only listeners, or a supply or ground on a signal.
    ///
    /// ## Rests on
    /// What each pad does, on the sheets of the parts, and the wires of the craft. Common practice.
    ///
    /// ## Mend
    /// Swap the two wires at one end. Look at the setting of the port first: it costs a minute and no solder.
    CROSSING = "wire.crossing", run
}

/// What a transmitter that is not spoken to does.
pub(super) const SIGNS: &str =
    "stuck at its lowest level, shows no overlay text and takes neither channel nor level from the sticks";

fn run(proof: &Proof) -> Answer {
    let Some(model) = proof.wiring() else { return Answer::default() };
    if !model.is_wired() {
        return Answer { findings: nothing_entered(model).into_iter().collect(), figures: Vec::new() };
    }
    let mut findings = Vec::new();
    let mut told: Vec<usize> = Vec::new();
    for port in model.peripheral_ports() {
        let link = model.link(port);
        told.extend((0..model.pads.len()).filter(|pad| model.pads[*pad].port == Some(port)));
        findings.extend(of_link(model, &link).map(|mut finding| {
            let miswired = model.is_miswired(model.ports[port].unit);
            if finding.verdict != Verdict::Sound && miswired {
                finding.mends = vec![RIGHT_FIRST.to_owned()];
            }
            finding
        }));
    }
    for net in model.nets.nets() {
        for fault in model.nets.faults_in(net) {
            findings.extend(of_net(model, fault, &told));
        }
    }
    Answer { findings, figures: Vec::new() }
}

/// One quiet line where parts have pads and nobody has said what joins them.
fn nothing_entered(model: &WiringModel) -> Option<Finding> {
    if model.pads.is_empty() {
        return None;
    }
    let message = "Whether every wire goes where it should nobody can say: no wire is entered";
    let finding = Finding::new(CROSSING.id, Verdict::Unknown, "wires", message)
        .mend("Enter the wires on the wiring diagram: choose a pad, then the one it is joined to.");
    Some(finding)
}

fn of_link(model: &WiringModel, link: &SerialLink) -> Option<Finding> {
    let unit = model.unit_of_port(link.port);
    let video = unit.kind == PartKind::VideoTransmitter;
    let name = model.port_name(link.port);
    let finding = |verdict, message: String| {
        let places = link.touches.iter().map(|touch| model.unit_of_port(touch.port).place.clone());
        let mut places: Vec<_> = std::iter::once(unit.place.clone()).chain(places).collect();
        places.dedup();
        Finding::new(CROSSING.id, verdict, unit.called.clone(), message).at(places)
    };
    let signs = if video { format!(" That is why it is {SIGNS}.") } else { String::new() };
    if link.is_crossed() {
        let touch = link.touches.iter().find(|touch| touch.link.senders_meet || touch.link.receivers_meet)?;
        let other = model.port_name(touch.port);
        let lines = |role: Role| {
            let pads = [model.line(link.port, role)?, model.line(touch.port, role)?];
            Some(pads.map(|pad| model.pad_name(pad)))
        };
        let (sends, receives) = (lines(Role::Send), lines(Role::Receive));
        let mut message = match (touch.link.senders_meet, touch.link.receivers_meet, sends, receives) {
            (true, true, Some([a, b]), Some([c, d])) => {
                format!("The pair is crossed: {a} meets {b}, and {c} meets {d}. Both talk, nobody listens.")
            }
            (true, _, Some([a, b]), _) => format!("Pad {a} meets {b}: both talk, nobody listens."),
            (_, _, _, Some([c, d])) => format!("Pad {c} meets {d}: both listen, nobody talks."),
            _ => format!("Ports {name} and {other} are crossed."),
        };
        message.push_str(&signs);
        return Some(
            finding(Verdict::Broken, message.trim_end_matches('.').to_owned())
                .mend(format!("Swap the two wires at {}: send goes to receive.", model.unit_of_port(touch.port).place))
                .mend("Where a soldering iron is far: some boards can swap the two lines of a port by a setting."),
        );
    }
    if link.touches.len() > 1 {
        let ports: Vec<String> = link.touches.iter().map(|touch| model.port_name(touch.port)).collect();
        let message = format!(
            "The lines of {name} go to different ports, {}: a port answers only on its own lines.{signs}",
            crate::numbers::listed(&ports)
        );
        return Some(
            finding(Verdict::Broken, message.trim_end_matches('.').to_owned())
                .mend("Take both lines to the same port."),
        );
    }
    let lines = model.ports[link.port].lines;
    let (told, tells) = (link.is_told() || !lines.receive, link.tells() || !lines.send);
    Some(match (told, tells) {
        (true, true) => {
            let way = if lines == wiring::Lines::BOTH { " both ways" } else { "" };
            let on =
                link.on().map_or_else(String::new, |touch| format!(" on {}", model.port_name(touch.port)));
            finding(Verdict::Sound, format!("Send goes to receive{way}{on}"))
        }
        (false, tells) if video => {
            let what = match tells {
                true => "talks, but nothing talks to it".to_owned(),
                false => "has no wire of the flight controller on it".to_owned(),
            };
            let pads = model.line(link.port, Role::Receive).map_or(name.clone(), |pad| model.pad_name(pad));
            finding(Verdict::Broken, format!("Port {name} {what}. Until then it is {SIGNS}"))
                .mend(format!("Join {pads} to the send pad of a free port of the flight controller."))
        }
        (true, false) if video => {
            let message = format!(
                "Port {name} hears the flight controller, which does not hear it: text shows, its temperature and table of levels cannot be read"
            );
            finding(Verdict::Tight, message).mend("Join its send pad to the receive pad of the same port.")
        }
        (_, false) => {
            let message = format!("Port {name} sends to nobody: the flight controller never hears it");
            finding(Verdict::Broken, message)
                .mend("Join its send pad to the receive pad of a free port of the flight controller.")
        }
        (false, true) => {
            let message = format!(
                "Port {name} is heard and never spoken to: it cannot be set, nor sends back what it is asked"
            );
            finding(Verdict::Tight, message).mend("Join its receive pad to the send pad of the same port.")
        }
    })
}

/// What is wrong in nets that are no serial link of a peripheral, or where copper itself is at stake.
fn of_net(model: &WiringModel, fault: NetFault, told: &[usize]) -> Option<Finding> {
    let name = |pad: usize| model.pad_name(pad);
    let known = |pads: [usize; 2]| pads.iter().any(|pad| told.contains(pad));
    let (pads, message, mend) = match fault {
        NetFault::SendersMeet { a, b } if !known([a, b]) => (
            [a, b],
            format!("Pad {} meets {}: both talk, nobody listens", name(a), name(b)),
            "Take one of them to a pad that listens.".to_owned(),
        ),
        NetFault::ReceiversMeet { a, b } if !known([a, b]) => (
            [a, b],
            format!("Pad {} meets {}: both listen, nobody talks", name(a), name(b)),
            "Take one of them to a pad that talks.".to_owned(),
        ),
        NetFault::TwoDrivers { a, b, to } => (
            [a, b],
            format!(
                "Pads {} and {} both talk on one line to {}: they garble each other",
                name(a),
                name(b),
                name(to)
            ),
            format!("Give one of them a port of its own, off {}.", name(to)),
        ),
        NetFault::SignalOnGround { signal, ground } => (
            [signal, ground],
            format!("Pad {} is on ground at {}: the line is dead", name(signal), name(ground)),
            format!("Take {} off ground.", name(signal)),
        ),
        _ => return None,
    };
    let places = pads.map(|pad| model.units[model.pads[pad].unit].place.clone());
    let subject = format!("{} and {}", name(pads[0]), name(pads[1]));
    Some(Finding::new(CROSSING.id, Verdict::Broken, subject, message).at(places).mend(mend))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::testing_wiring::{check, is_sound, join, rewire, set, unwire, without_wires};
    use expect_test::expect;

    #[test]
    fn send_to_receive_is_sound() {
        is_sound(&CROSSING);
    }

    #[test]
    fn a_line_on_a_supply_is_not_told_to_be_joined_elsewhere() {
        check(
            &CROSSING,
            |craft| {
                for pad in ["vtx/VCC", "vtx/RX"] {
                    unwire(craft, pad);
                }
                join(craft, "fc/9V", "vtx/RX");
                join(craft, "fc/T2", "vtx/VCC");
            },
            expect![[r#"
                broken · Lanner small air unit
                  Port vtx/link talks, but nothing talks to it. Until then it is stuck at its lowest level, shows no overlay text and takes neither channel nor level from the sticks
                  > Right plus and ground there first, and look again: until then any wire more may be a short.
            "#]],
        );
    }

    #[test]
    fn a_crossed_pair_is_named_as_why_the_level_stays_low() {
        check(
            &CROSSING,
            |craft| {
                rewire(craft, "fc/T2", "vtx/TX");
                rewire(craft, "fc/R2", "vtx/RX");
            },
            expect![[r#"
                broken · Lanner small air unit
                  The pair is crossed: vtx/TX meets fc/T2, and vtx/RX meets fc/R2. Both talk, nobody listens. That is why it is stuck at its lowest level, shows no overlay text and takes neither channel nor level from the sticks
                  > Swap the two wires at fc: send goes to receive.
                  > Where a soldering iron is far: some boards can swap the two lines of a port by a setting.
            "#]],
        );
    }

    #[test]
    fn a_crossed_pair_is_broken_whether_or_not_it_stands_by() {
        for standby in ["yes", "no", ""] {
            let mut craft = crate::testing_wiring::sound_wiring();
            rewire(&mut craft, "fc/T2", "vtx/TX");
            rewire(&mut craft, "fc/R2", "vtx/RX");
            set(&mut craft, "craft.standby", standby);
            let told = crate::testing::told_of(&CROSSING, &craft, |_| true);
            assert!(told.starts_with("broken · Lanner small air unit\n  The pair is crossed"), "{told}");
        }
    }

    #[test]
    fn a_transmitter_that_is_not_spoken_to_is_broken_and_one_that_is_not_heard_is_tight() {
        check(
            &CROSSING,
            |craft| unwire(craft, "fc/T2"),
            expect![[r#"
                broken · Lanner small air unit
                  Port vtx/link talks, but nothing talks to it. Until then it is stuck at its lowest level, shows no overlay text and takes neither channel nor level from the sticks
                  > Join vtx/RX to the send pad of a free port of the flight controller.
            "#]],
        );
        check(
            &CROSSING,
            |craft| unwire(craft, "fc/R2"),
            expect![[r#"
                tight · Lanner small air unit
                  Port vtx/link hears the flight controller, which does not hear it: text shows, its temperature and table of levels cannot be read
                  > Join its send pad to the receive pad of the same port.
            "#]],
        );
        check(
            &CROSSING,
            |craft| {
                unwire(craft, "fc/T2");
                unwire(craft, "fc/R2");
                set(craft, "craft.standby", "no");
            },
            expect![[r#"
                broken · Lanner small air unit
                  Port vtx/link has no wire of the flight controller on it. Until then it is stuck at its lowest level, shows no overlay text and takes neither channel nor level from the sticks
                  > Join vtx/RX to the send pad of a free port of the flight controller.
            "#]],
        );
    }

    #[test]
    fn lines_split_over_two_ports_answer_nowhere() {
        check(
            &CROSSING,
            |craft| {
                unwire(craft, "fc/R2");
                join(craft, "fc/R3", "vtx/TX");
            },
            expect![[r#"
                broken · Lanner small air unit
                  The lines of vtx/link go to different ports, fc/serial 2 and fc/serial 3: a port answers only on its own lines. That is why it is stuck at its lowest level, shows no overlay text and takes neither channel nor level from the sticks
                  > Take both lines to the same port.
            "#]],
        );
    }

    #[test]
    fn two_that_talk_on_one_line_are_broken() {
        check(
            &CROSSING,
            |craft| join(craft, "rx/TX", "vtx/TX"),
            expect![[r#"
                broken · Lanner small air unit
                  The lines of vtx/link go to different ports, fc/serial 1 and fc/serial 2: a port answers only on its own lines. That is why it is stuck at its lowest level, shows no overlay text and takes neither channel nor level from the sticks
                  > Take both lines to the same port.
                broken · control receiver
                  The lines of rx/link go to different ports, fc/serial 1 and fc/serial 2: a port answers only on its own lines
                  > Take both lines to the same port.
                broken · vtx/TX and rx/TX
                  Pads vtx/TX and rx/TX both talk on one line to fc/R1: they garble each other
                  > Give one of them a port of its own, off fc/R1.
            "#]],
        );
    }

    #[test]
    fn no_wire_at_all_is_one_quiet_line() {
        check(
            &CROSSING,
            without_wires,
            expect![[r#"
            unknown · wires
              Whether every wire goes where it should nobody can say: no wire is entered
              > Enter the wires on the wiring diagram: choose a pad, then the one it is joined to.
        "#]],
        );
    }
}
