//! What a builder takes to the bench: what to solder, what to set, and in which order to give power.

use super::{BENCH_SUPPLY, Beside, WireRow, WiringModel, first_limits, function_of};
use crate::Proof;
use crate::numbers::{listed, rounded};
use craft::schema::{PartKind, board, craft as craft_schema, place, shape::rail};
use quantity::Measure;
use wiring::Role;

/// One line of the solder list.
#[derive(Clone, Debug, PartialEq)]
pub struct SolderRow {
    /// The row of the wire in the craft, from 0.
    pub row: usize,
    /// Where it starts: place and pad.
    pub from: String,
    /// Where it ends.
    pub to: String,
    /// Gauge, if said.
    pub gauge: Option<u32>,
    /// Colour, if said.
    pub colour: Option<String>,
    /// Length to cut, mm, and whether somebody said it.
    pub length: Option<(f64, bool)>,
    /// For a ready-made lead: how many pins it joins.
    pub pins: Option<usize>,
}

impl WiringModel {
    /// What is to be soldered and plugged, in the order of the craft.
    pub fn solder_list(&self) -> Vec<SolderRow> {
        let row = |wire: &WireRow| SolderRow {
            row: wire.row,
            from: wire.ends[0].clone(),
            to: wire.ends[1].clone(),
            gauge: wire.gauge,
            colour: wire.colour.clone(),
            length: self.length_of(wire),
            pins: wire.lead.as_ref().map(|_| wire.joins.len()),
        };
        self.wires.iter().map(row).collect()
    }
}

/// The solder list as rows of text separated by commas, with a line of headings: RFC 4180. Joints beside the wires stand last; what must not be wrong
/// about them stands with where they lead.
pub fn solder_csv(rows: &[SolderRow], beside: &[Beside]) -> String {
    let quoted = |text: &str| match text.contains(['"', ',', '\r', '\n']) {
        true => format!("\"{}\"", text.replace('"', "\"\"")),
        false => text.to_owned(),
    };
    let mut out = "from,to,gauge (AWG),colour,length (mm),length is,pins\r\n".to_owned();
    for row in rows {
        let (length, is) = match row.length {
            Some((length, true)) => (rounded(length, 0), "as entered"),
            Some((length, false)) => (rounded(length, 0), "worked out"),
            None => (String::new(), "not known"),
        };
        let gauge = row.gauge.map_or_else(String::new, |gauge| gauge.to_string());
        let pins = row.pins.map_or_else(String::new, |pins| pins.to_string());
        let colour = row.colour.as_deref().unwrap_or_default();
        let cells = [&quoted(&row.from), &quoted(&row.to), &gauge, colour, &length, is, &pins]
            .map(|cell| cell.to_owned());
        out.push_str(&cells.join(","));
        out.push_str("\r\n");
    }
    for joint in beside {
        let to = quoted(&format!("{} ({})", joint.to, joint.mind));
        let joints = if joint.joints > 0 { joint.joints.to_string() } else { String::new() };
        out.push_str(&format!("{},{to},,,,not a wire of the craft,{joints}\r\n", quoted(&joint.from)));
    }
    out
}

/// What the settings must be for this wiring, in plain words, in the order a builder goes through them.
pub fn settings_list(proof: &Proof) -> Vec<String> {
    let mut list = Vec::new();
    let Some(model) = proof.wiring() else { return list };
    for port in model.peripheral_ports() {
        let unit = model.unit_of_port(port);
        let function = function_of(unit.kind);
        let rate =
            model.ports[port].rate.map_or_else(String::new, |rate| format!(" at {} Bd", rounded(rate, 0)));
        let link = model.link(port);
        let Some(touch) = link.on() else {
            if model.is_wired() {
                list.push(format!("{}: on no port yet; it wants {function}{rate}.", unit.called));
            }
            continue;
        };
        let on = &model.ports[touch.port];
        let inverted = if model.ports[port].inverted { ", inverted" } else { "" };
        let board = &model.unit_of_port(touch.port).called;
        let read = match &on.set {
            None => "not read back yet".to_owned(),
            Some((set, rate)) => {
                let rate = rate.map_or_else(String::new, |rate| format!(" at {} Bd", rounded(rate, 0)));
                format!("read back: {set}{rate}")
            }
        };
        list.push(format!(
            "{} of {board}: {function}{rate}{inverted}, for {} ({read}).",
            on.name, unit.called
        ));
    }
    let craft = proof.craft.item();
    if let Ok(channel) = craft.read(&craft_schema::CHANNEL) {
        list.push(format!("Air and ground units: channel {}.", channel.value));
    }
    if let Ok(level) = craft.read(&craft_schema::LEVEL) {
        let standby = match craft.flag(&craft_schema::STANDBY) {
            Ok(true) => ", standby until armed on",
            Ok(false) => ", standby until armed off: mind the others in the pits",
            Err(_) => "",
        };
        list.push(format!("Air unit: level {}{standby}.", level.value));
    }
    for kind in [PartKind::FlightController, PartKind::IntegratedBoard] {
        for placed in proof.places_of(kind) {
            let item = placed.place.item();
            let said = |words: &mut Vec<String>, what: &str, value: Option<String>| {
                words.extend(value.map(|value| format!("{what} {value}")));
            };
            let mut words = Vec::new();
            said(&mut words, "overlay grid", item.text(&place::GRID_SET).ok().map(str::to_owned));
            said(
                &mut words,
                "board turn",
                item.read(&place::TURN_SET).ok().map(|turn| turn.value.to_string()),
            );
            said(&mut words, "failsafe", item.text(&place::FAILSAFE).ok().map(str::to_owned));
            let scale = placed.part.item().read(&board::CURRENT_SCALE);
            // Custom states it in tenths of a millivolt for each ampere.
            let scale = scale.ok().map(|scale| {
                let [tenths, whole] =
                    [scale.value.raw(), 0.1 * scale.value.raw()].map(|value| rounded(value, 1));
                format!("{tenths} (in 0.1 mV/A: {whole} mV/A)")
            });
            said(&mut words, "current scale", scale);
            if !words.is_empty() {
                list.push(format!("{}: {}.", placed.part.name, listed(&words)));
            }
        }
    }
    let spins: Vec<String> = proof
        .places_of(PartKind::Motor)
        .filter_map(|motor| {
            Some(format!("{} {}", motor.place.id, motor.place.item().text(&place::SPIN).ok()?))
        })
        .collect();
    if !spins.is_empty() {
        list.push(format!("Motor directions: {}.", listed(&spins)));
    }
    list
}

/// One step of the first power-up.
#[derive(Clone, Debug, PartialEq)]
pub struct PowerStep {
    /// What to do, as an imperative.
    pub does: String,
    /// Why, or what is seen if it is right.
    pub why: String,
}

/// The first power-up after wiring, in the safe order. The usual caution; it defers to local rules and licensed practice.
pub fn power_up_steps(proof: &Proof) -> Vec<PowerStep> {
    let mut steps = Vec::new();
    let mut step = |does: String, why: &str| steps.push(PowerStep { does, why: why.to_owned() });
    let plain = str::to_owned;
    let miswired = |model: &WiringModel| (0..model.units.len()).any(|unit| model.is_miswired(unit));
    if proof.wiring().is_some_and(miswired) {
        step(
            plain(
                "Connect nothing yet: a supply stands on ground, on a signal or on another supply. Mend what is broken in the wiring first.",
            ),
            "What is swapped burns in the first second, with a limit too.",
        );
    }
    step(
        plain("Take all blades off. Look, and say so aloud."),
        "Motors may start by themselves on a first power-up.",
    );
    step(
        plain(
            "Look over every joint with a glass: bridges, whiskers, plus on minus, strands on carbon; where a capacitor has a stripe, that leg on minus.",
        ),
        "What is found now costs a minute.",
    );
    step(
        plain("Meter from plus to minus of the pack lead, nothing connected."),
        "It must not beep; the reading climbs as capacitors fill. Ohms near nought are a short: stop.",
    );
    step(
        plain("Put the antenna on every socket, and turn a fan on the air unit."),
        "Without an antenna it is damaged in seconds, without air in minutes.",
    );
    let limits = first_limits(proof);
    let volts = limits
        .volts
        .map_or_else(|| "the pack's voltage".to_owned(), |volts| format!("{} V", rounded(volts, 1)));
    let amps = rounded(limits.boards, 1);
    step(
        format!("Set a current-limited supply to {volts} and {amps} A, video unplugged, and connect it."),
        "The limit holds a slip to a warm wire. If it limits at once: off, and look for the short.",
    );
    for rail in rails(proof) {
        step(format!("Measure {rail}."), "A wrong rail is found before anything hangs on it.");
    }
    if let Some(model) = proof.wiring() {
        for pad in 0..model.pads.len() {
            let it = &model.pads[pad];
            if it.role == Some(Role::SupplyIn) && model.units[it.unit].kind == PartKind::VideoTransmitter {
                let range = match it.needs {
                    [Some(least), Some(most)] => format!(", {} to {} V", rounded(least, 1), rounded(most, 1)),
                    _ => String::new(),
                };
                step(
                    format!(
                        "Measure at the lead that goes to {}{range}, plus on the right pin.",
                        model.pad_name(pad)
                    ),
                    "Pins of ready-made leads are not of one order.",
                );
            }
        }
    }
    let craft = proof.craft.item();
    let level = match (craft.flag(&craft_schema::STANDBY), craft.read(&craft_schema::LEVEL)) {
        (Ok(true), _) => "it waits at standby level".to_owned(),
        (_, Ok(level)) => {
            format!("it sends at {} at once, for standby is not on: antenna first, and short", level.value)
        }
        _ => "it may send at full level at once, for standby is not on: antenna first, and short".to_owned(),
    };
    let raised = limits.video.map_or_else(
        || format!("Off. Plug the video in; {level}. On again."),
        |video| {
            format!(
                "Off. Raise the limit to {} A, for the start takes up to {} A; plug the video in; {level}. On again.",
                rounded(video.limit, 1),
                rounded(video.takes, 2)
            )
        },
    );
    step(
        raised,
        "A picture within its start-up time, the current back to a steady value. If it still limits: off, and look for the cause; raise it no further.",
    );
    step(
        plain("Read the settings back, port by port."),
        "A wrong setting looks like a crossed pair and costs no solder.",
    );
    if let Some(motor) = limits.motor {
        let before = limits.video.map_or(limits.boards, |video| video.limit);
        let from = supplied(motor.limit, before);
        let (idle, by_stand) = limits.idle;
        let of = if by_stand { "as its stand has it" } else { "by custom" };
        step(
            format!(
                "{from} Blades off: turn each motor by itself, slowly; the right one turns, the right way."
            ),
            &format!(
                "One idles at about {} A, {of}. One that turns the wrong way: swap any two of its three wires, or set it.",
                rounded(idle, 1)
            ),
        );
    }
    let before = limits.motor.map_or(limits.boards, |motor| motor.limit);
    let from = limits.armed.map_or_else(String::new, |armed| format!("{} ", supplied(armed.limit, before)));
    let by_pack = limits.armed.is_some_and(|armed| armed.limit > BENCH_SUPPLY);
    match proof.craft.item().flag(&craft_schema::STANDBY) {
        Ok(true) => step(
            format!(
                "{from}Arm with the blades off, throttle at idle: the level must rise, all motors turn slowly."
            ),
            "It proves the serial link.",
        ),
        _ => step(
            format!(
                "{from}Arm with the blades off, throttle at idle: the text over the picture must show it, all motors turn slowly."
            ),
            "The text proves the serial link: with standby off no level rises.",
        ),
    }
    step(
        plain("Switch the control transmitter off: the motors must stop within a second or two."),
        "The failsafe, tried and not believed.",
    );
    step(
        plain(match by_pack {
            true => "Only then the pack without its limiter; blades on outdoors, last of all.",
            false => "Only then the pack, through a limiter the first time; blades on outdoors, last of all.",
        }),
        "Defer to your local rules and to licensed practice.",
    );
    steps
}

/// What a step is done from: the supply with its limit raised, or the pack behind a limiter where a small supply does not give as much.
fn supplied(limit: f64, before: f64) -> String {
    match limit <= BENCH_SUPPLY {
        true if limit <= before => format!("Leave the limit at {} A.", rounded(limit, 1)),
        true => format!("Raise the limit to {} A.", rounded(limit, 1)),
        false => format!(
            "From a pack, through a limiter that trips at {} A or a fuse of the next size up, eyes and hands away: smoke means off at once.",
            rounded(limit, 1)
        ),
    }
}

/// `the 5 V rail of flight controller, 20`, each once.
fn rails(proof: &Proof) -> Vec<String> {
    let mut found = Vec::new();
    for placed in proof.placed() {
        if !placed.part.kind.def().tables.iter().any(|table| table.key == rail::TABLE.key) {
            continue;
        }
        for row in placed.part.rows(&rail::TABLE) {
            if let (Some(name), Ok(out)) = (row.name(), row.read(&rail::OUT)) {
                let shows =
                    if name == out.value.to_string() { String::new() } else { format!(": {}", out.value) };
                found.push(format!("the {name} rail of {}{shows}", placed.part.name));
            }
        }
    }
    found
}

/// The wires a finding is about: those of which both ends are named in its words, by row of the craft.
pub fn wires_concerned(model: &WiringModel, subject: &str, message: &str) -> Vec<usize> {
    let words = format!("{subject} {message}");
    let names = |name: &str| {
        words.match_indices(name).any(|(at, _)| {
            let next = words[at + name.len()..].chars().next();
            !next.is_some_and(|c| c.is_alphanumeric())
        })
    };
    let concerned = |wire: &&WireRow| {
        let pairs = wire.joins.iter().any(|join| join.iter().all(|pad| names(&model.pad_name(*pad))));
        pairs || wire.ends.iter().all(|end| names(end))
    };
    model.wires.iter().filter(concerned).map(|wire| wire.row).collect()
}

#[cfg(test)]
#[path = "lists_tests.rs"]
mod tests;
