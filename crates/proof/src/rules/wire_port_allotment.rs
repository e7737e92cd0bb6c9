//! Is there a serial port for everything that wants one?

use crate::numbers::listed;
use crate::rule::rule;
use crate::wiring::WiringModel;
use crate::{Answer, Finding, Proof, Verdict};
use craft::schema::PartKind;
use quantity::{Baud, Quantity, Unit};
use wiring::{Allotment, Lines, Port, Unsuited, Want, allot, suits};

rule! {
    /// Is there a serial port for everything that wants one?
    ///
    /// ## Why
    /// A flight controller has two to eight serial ports, and not all are alike: some bring out one line only, few can invert,
    /// some are used by the board itself. Whoever comes last finds none left, after everything is soldered.
    ///
    /// ## Sound when
    /// Every peripheral can have a port that suits its lines, levels, idle state and rate, and one port is left over. None left
    /// over is tight. Two that use different lines at one rate may share a port. The allotment is exact: what is wired stays where it
    /// is if the rest can be served so; if there is none, the smallest set of peripherals that cannot be had together is named, and
    /// the fewest to give up, of which the control receiver is the last.
    ///
    /// ## Rests on
    /// The ports on the sheets of the boards and of the peripherals. Common practice for what suits.
    ///
    /// ## Mend
    /// Give up one of those named, take a peripheral that needs one line only, or a board with more ports.
    PORT_FOR_EACH = "wire.port_allotment", run
}

fn run(proof: &Proof) -> Answer {
    let Some(model) = proof.wiring() else { return Answer::default() };
    let (ports, wants) = (model.controller_ports(), model.peripheral_ports());
    if ports.is_empty() || wants.is_empty() {
        return Answer::default();
    }
    Answer::of(judge(model, &ports, &wants))
}

/// What a peripheral's port wants of a controller's.
pub(crate) fn want_of(model: &WiringModel, port: usize) -> Want {
    let kept = model.unit_of_port(port).kind == PartKind::ControlReceiver;
    let port = &model.ports[port];
    // The controller listens where the peripheral talks.
    let lines = Lines { send: port.lines.receive, receive: port.lines.send };
    Want {
        lines,
        inverted: port.inverted,
        level: port.port.level,
        stands: port.port.stands,
        rate: port.rate.map(Baud::new),
        kept,
    }
}

fn count_words(ports: usize) -> String {
    if ports == 1 { "the one port there is".to_owned() } else { format!("the {ports} ports there are") }
}

/// Why a port does not suit a want, with the levels where levels are why.
fn said(why: Unsuited, port: &Port, want: &Want) -> String {
    let volts =
        |level: Option<quantity::Volts>| level.map_or("an unknown level".to_owned(), |v| v.to_string());
    match why {
        Unsuited::NoLine => "does not bring out the lines it needs".to_owned(),
        Unsuited::NoInverter => "cannot invert".to_owned(),
        Unsuited::Level => {
            // The way that fails: toward the peripheral, else back from it.
            let back = Want { lines: Lines { send: false, ..want.lines }, ..*want };
            let (level, stands, whose) = match suits(port, &back) {
                Ok(()) => (port.level, want.stands, "drives it at"),
                Err(_) => (want.level, port.stands, "would be driven at"),
            };
            let over = level.zip(stands).is_some_and(|(level, stands)| level > stands);
            match over {
                true => format!("{whose} {}, where {} are stood", volts(level), volts(stands)),
                false => format!("{whose} {}, too low to be seen", volts(level)),
            }
        }
        Unsuited::TooFast => "does not keep up with its rate".to_owned(),
    }
}

/// A peripheral that is wired to a port that does not suit it: which want, which port, why.
fn unsuited(model: &WiringModel, ports: &[usize], wants: &[usize]) -> Option<(usize, usize, Unsuited)> {
    wants.iter().enumerate().find_map(|(want, port)| {
        let on = model.link(*port).on()?.port;
        let at = ports.iter().position(|port| *port == on)?;
        let why = suits(&model.ports[on].port, &want_of(model, *port)).err()?;
        // Levels are told wire by wire by a rule of their own.
        (why != Unsuited::Level).then_some((want, at, why))
    })
}

/// A peripheral that is wired to a port which the board keeps for itself: which want, which port, what for.
fn on_a_kept<'a>(model: &'a WiringModel, wants: &[usize]) -> Option<(usize, usize, &'a str)> {
    wants.iter().enumerate().find_map(|(want, port)| {
        let on = model.link(*port).on()?.port;
        model.ports[on].kept_for.as_deref().map(|what| (want, on, what))
    })
}

/// The port each peripheral is wired to, where it is wired to one that may be given.
fn wired(model: &WiringModel, ports: &[usize], wants: &[usize]) -> Vec<Option<usize>> {
    let on = |port: &usize| {
        let on = model.link(*port).on()?.port;
        ports.iter().position(|port| *port == on)
    };
    wants.iter().map(on).collect()
}

/// The allotment that leaves what is wired where it is: the port of each, and those left.
fn as_wired(wired: &[Option<usize>], offered: &[Port], asked: &[Want]) -> Option<(Vec<usize>, Vec<usize>)> {
    let open: Vec<usize> = (0..asked.len()).filter(|want| wired[*want].is_none()).collect();
    let free: Vec<usize> = (0..offered.len()).filter(|port| !wired.contains(&Some(*port))).collect();
    let offered: Vec<Port> = free.iter().map(|port| offered[*port]).collect();
    let asked: Vec<Want> = open.iter().map(|want| asked[*want]).collect();
    let Ok(Allotment::All { ports: given, spare, .. }) = allot(&offered, &asked) else { return None };
    let mut all = wired.to_vec();
    for (want, port) in open.into_iter().zip(given) {
        all[want] = Some(free[port]);
    }
    Some((
        all.into_iter().collect::<Option<Vec<usize>>>()?,
        spare.into_iter().map(|port| free[port]).collect(),
    ))
}

/// Where the allotment gives what is wired another port than it is on, which are to be moved, and to where.
fn moved(wired: &[Option<usize>], given: &[usize]) -> Vec<usize> {
    (0..given.len()).filter(|want| wired[*want].is_some_and(|port| port != given[*want])).collect()
}

fn judge(model: &WiringModel, ports: &[usize], wants: &[usize]) -> Finding {
    let mut units: Vec<usize> = ports.iter().map(|port| model.ports[*port].unit).collect();
    units.dedup();
    let boards: Vec<&str> = units.iter().map(|unit| model.units[*unit].called.as_str()).collect();
    let subject = format!("ports of {}", listed(&boards));
    let called = |want: usize| model.unit_of_port(wants[want]).called.clone();
    let asked: Vec<Want> = wants.iter().map(|want| want_of(model, *want)).collect();
    let offered: Vec<Port> = ports.iter().map(|port| model.ports[*port].port).collect();
    let spare_margin = |spare: f64| Quantity { value: spare, unit: Unit::Count };
    let found = |verdict, message: String| Finding::new(PORT_FOR_EACH.id, verdict, subject.clone(), message);
    if let Some((want, port, why)) = unsuited(model, ports, wants) {
        let (unit, on) = (model.unit_of_port(wants[want]), &model.ports[ports[port]].name);
        let message = format!(
            "{} is wired to {on}, which {}",
            unit.called,
            said(why, &model.ports[ports[port]].port, &want_of(model, wants[want]))
        );
        let mend = match allot(&offered, &asked) {
            Ok(Allotment::All { ports: given, .. }) => {
                format!("Wire it to {} instead.", model.ports[ports[given[want]]].name)
            }
            _ => "Take a board with a port that suits it.".to_owned(),
        };
        let places = [unit.place.clone(), model.unit_of_port(ports[port]).place.clone()];
        return found(Verdict::Broken, message).mend(mend).at(places);
    }
    let wired = wired(model, ports, wants);
    if let Some((want, port, what)) = on_a_kept(model, wants) {
        let (unit, port) = (model.unit_of_port(wants[want]), &model.ports[port]);
        let message =
            format!("{} is wired to {}, which the board keeps for its {what}", unit.called, port.name);
        let given = as_wired(&wired, &offered, &asked).map(|(given, _)| given[want]);
        let mend = match given {
            Some(given) => format!("Wire it to {} instead.", model.ports[ports[given]].name),
            None => "Take a board with a port that is free for it.".to_owned(),
        };
        let places = [unit.place.clone(), model.units[port.unit].place.clone()];
        return found(Verdict::Broken, message).mend(mend).at(places);
    }
    let finding = match allot(&offered, &asked) {
        Err(fault) => found(Verdict::Unknown, format!("Nobody can say: {fault}")),
        Ok(Allotment::All { ports: given, spare, .. }) => {
            let (given, spare) = as_wired(&wired, &offered, &asked).unwrap_or((given, spare));
            let moves: Vec<String> = moved(&wired, &given)
                .into_iter()
                .map(|want| format!("{} to {}", called(want), model.ports[ports[given[want]]].name))
                .collect();
            let pairs: Vec<String> = given
                .iter()
                .enumerate()
                .map(|(want, port)| format!("{} on {}", called(want), model.ports[ports[*port]].name))
                .collect();
            let left: Vec<&str> = spare.iter().map(|port| model.ports[ports[*port]].name.as_str()).collect();
            let finding = match left.as_slice() {
                [] => found(
                    Verdict::Tight,
                    format!("Everything has a port, and none is left: {}", listed(&pairs)),
                )
                .mend("Whatever is added next needs a board with more ports."),
                left => {
                    let are = if left.len() == 1 { "is" } else { "are" };
                    // What must be moved is soldered already.
                    let verdict = if moves.is_empty() { Verdict::Sound } else { Verdict::Tight };
                    found(verdict, format!("{}; {} {are} left", listed(&pairs), listed(left)))
                }
            };
            let finding = match moves.as_slice() {
                [] => finding,
                moves => finding.mend(format!("Move {}: else not everything finds a port.", listed(moves))),
            };
            finding.margin(spare_margin(spare.len() as f64), None)
        }
        Ok(Allotment::Short { core, most }) => {
            let names: Vec<String> = core.iter().map(|want| called(*want)).collect();
            let reason = match core.as_slice() {
                [one] => {
                    let want = asked[*one];
                    let whys: Vec<String> = offered
                        .iter()
                        .map(|port| said(suits(port, &want).err().unwrap_or(Unsuited::NoLine), port, &want))
                        .collect();
                    let alike = whys.iter().all(|why| why == &whys[0]);
                    let why = match whys.as_slice() {
                        [only] => format!("it {only}"),
                        [first, ..] if alike => format!("each of them {first}"),
                        whys => {
                            let names = ports.iter().map(|port| model.ports[*port].name.as_str());
                            let each: Vec<String> =
                                names.zip(whys).map(|(name, why)| format!("{name} {why}")).collect();
                            listed(&each)
                        }
                    };
                    format!("Cannot have {} on {}: {why}", names[0], count_words(ports.len()))
                }
                _ => {
                    format!("Cannot have {} together on {}", listed(&names), count_words(ports.len()))
                }
            };
            let served: Vec<usize> = most.iter().map(|(want, _)| *want).collect();
            let out: Vec<String> =
                (0..wants.len()).filter(|want| !served.contains(want)).map(called).collect();
            let short = wants.len() as f64 - most.len() as f64;
            let flown = (0..wants.len()).all(|want| !asked[want].kept || served.contains(&want));
            let give_up = match flown {
                true => format!("The fewest to give up: {}.", listed(&out)),
                // A craft without its receiver is no way out.
                false => "Take a control receiver that suits one of the ports.".to_owned(),
            };
            found(Verdict::Broken, reason)
                .margin(spare_margin(-short), None)
                .mend(give_up)
                .mend("Or take a board with more ports, or one with the receiver built in.")
        }
    };
    let places = units.into_iter().chain(wants.iter().map(|want| model.ports[*want].unit));
    finding.at(places.map(|unit| model.units[unit].place.clone()))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::testing_wiring::{check, is_sound, set};
    use expect_test::expect;

    /// Takes the serial wires of the control receiver away.
    fn without_receiver(craft: &mut craft::Craft) {
        for pad in ["rx/RX", "rx/TX"] {
            crate::testing_wiring::unwire(craft, pad);
        }
    }

    #[test]
    fn a_port_for_each_and_one_left_is_sound() {
        is_sound(&PORT_FOR_EACH);
    }

    #[test]
    fn none_left_is_tight() {
        check(
            &PORT_FOR_EACH,
            |craft| set(craft, "fc.port[2].kept_for", "flash chip"),
            expect![[r#"
                tight · ports of flight controller · 0
                  Everything has a port, and none is left: Lanner small air unit on serial 2 and control receiver on serial 1
                  > Whatever is added next needs a board with more ports.
            "#]],
        );
    }

    #[test]
    fn too_few_ports_name_the_smallest_set() {
        check(
            &PORT_FOR_EACH,
            |craft| {
                set(craft, "fc.port[2].kept_for", "flash chip");
                set(craft, "fc.port[0].kept_for", "receiver built in");
                without_receiver(craft);
            },
            expect![[r#"
                broken · ports of flight controller · -1
                  Cannot have Lanner small air unit and control receiver together on the one port there is
                  > The fewest to give up: Lanner small air unit.
                  > Or take a board with more ports, or one with the receiver built in.
            "#]],
        );
    }

    #[test]
    fn what_stands_on_a_port_that_the_board_keeps_is_not_called_free() {
        check(
            &PORT_FOR_EACH,
            |craft| set(craft, "fc.port[0].kept_for", "flash chip"),
            expect![[r#"
            broken · ports of flight controller
              control receiver is wired to serial 1, which the board keeps for its flash chip
              > Wire it to serial 3 instead.
        "#]],
        );
    }

    #[test]
    fn what_is_wired_stays_and_the_rest_is_given_what_is_left() {
        check(
            &PORT_FOR_EACH,
            |craft| {
                set(craft, "fc.port[2].kept_for", "flash chip");
                without_receiver(craft);
            },
            expect![[r#"
                tight · ports of flight controller · 0
                  Everything has a port, and none is left: Lanner small air unit on serial 2 and control receiver on serial 1
                  > Whatever is added next needs a board with more ports.
            "#]],
        );
    }

    #[test]
    fn what_must_move_so_that_the_rest_finds_a_port_is_told() {
        check(
            &PORT_FOR_EACH,
            |craft| {
                without_receiver(craft);
                set(craft, "rx.port[0].inverted", "yes");
                set(craft, "fc.port[0].inverter", "no");
                set(craft, "fc.port[1].inverter", "yes");
                set(craft, "fc.port[2].inverter", "no");
            },
            expect![[r#"
                tight · ports of flight controller · 1
                  Lanner small air unit on serial 1 and control receiver on serial 2; serial 3 is left
                  > Move Lanner small air unit to serial 1: else not everything finds a port.
            "#]],
        );
    }

    #[test]
    fn a_receiver_that_idles_low_wants_an_inverter() {
        check(
            &PORT_FOR_EACH,
            |craft| {
                set(craft, "rx.port[0].inverted", "yes");
                for port in 0..3 {
                    set(craft, &format!("fc.port[{port}].inverter"), "no");
                }
            },
            expect![[r#"
                broken · ports of flight controller
                  control receiver is wired to serial 1, which cannot invert
                  > Take a board with a port that suits it.
            "#]],
        );
    }
    #[test]
    fn a_level_that_no_port_stands_is_told_by_port_and_level() {
        check(
            &PORT_FOR_EACH,
            |craft| {
                without_receiver(craft);
                set(craft, "rx.port[0].level", "5 V, data sheet");
                set(craft, "fc.port[1].stands", "4 V, data sheet");
                set(craft, "fc.port[2].lines", "send only");
            },
            expect![[r#"
                broken · ports of flight controller · -1
                  Cannot have control receiver on the 3 ports there are: serial 1 would be driven at 5 V, where 3.6 V are stood, serial 2 would be driven at 5 V, where 4 V are stood and serial 3 does not bring out the lines it needs
                  > Take a control receiver that suits one of the ports.
                  > Or take a board with more ports, or one with the receiver built in.
            "#]],
        );
    }
}
