//! What holds for a craft, for fault finding: from its parts, its wiring, its settings, its proof and its journal; each with what
//! says so. What nobody can tell from there is left as is usual, and is ticked by hand.

use crate::judged::Judged;
use crate::refusal::{Cause, Refusal};
use care::{CounterKind, Entry, EntryKind, Reading, Standing, counters_of, due, lately, pack_drift};
use craft::schema::{PartKind, air, craft as craft_schema, drive, ground, place};
use craft::{Craft, CraftClass, Part, Value};
use faults::{Base, Facts, Ruling};
use proof::supply_limits::PACK_AGE;
use proof::wiring::{Role, WiringModel};
use proof::{Finding, History, Verdict as Found};
use std::collections::BTreeMap;

/// A sound rule speaks against its causes from this certainty on.
const SURELY: f64 = 0.95;
/// Above this full current of all motors together the noise of the drive matters, in A (the fact says so).
const LARGE_CURRENT: f64 = 30.0;
/// A pack of more cycles than this is tired (the fact says so).
const TIRED_CYCLES: f64 = 150.0;

/// What holds, and by fact what says so.
pub struct Known {
    /// What holds.
    pub facts: Facts,
    /// What says so, in words; a fact without is as usual.
    pub because: BTreeMap<String, String>,
}

impl Known {
    /// Says that a fact holds or not, and why.
    pub fn say(&mut self, base: &Base, fact: &str, holds: bool, because: impl Into<String>) {
        if self.facts.say(base, fact, holds) {
            self.because.insert(fact.to_owned(), because.into());
        }
    }
}

/// What holds for a craft, from its parts, wires and settings, from what the rules found, and from what it has been through.
pub fn known_of(base: &Base, judged: &Judged, history: Option<&History>) -> Known {
    let mut known = Known { facts: Facts::usual(base), because: BTreeMap::new() };
    from_parts(base, &judged.craft, &mut known);
    if let Some(model) = judged.proved.wiring.as_deref().filter(|model| model.is_wired()) {
        from_wiring(base, model, &mut known);
    }
    if let Ok(standby) = judged.craft.item().flag(&craft_schema::STANDBY) {
        let words = if standby { "it is set so" } else { "it is set otherwise" };
        known.say(base, "standby_enabled", standby, words);
    }
    if let Some(history) = history {
        from_history(base, &judged.craft, history, &mut known);
    }
    known.facts.rulings = rulings(base, &judged.proved.findings);
    known
}

fn from_parts(base: &Base, craft: &Craft, known: &mut Known) {
    if craft.parts.is_empty() {
        return;
    }
    let of = |kind: PartKind| craft.parts.iter().find(|part| part.kind == kind);
    let mut has = |fact: &str, kind: PartKind, what: &str| {
        let words = of(kind).map_or(format!("no {what} among its parts"), |part| part.name.clone());
        known.say(base, fact, of(kind).is_some(), words);
    };
    has("has_pigtail", PartKind::Pigtail, "pigtail");
    let own_video = of(PartKind::VideoTransmitter);
    let (whole, words) = match (of(PartKind::IntegratedBoard), own_video) {
        (Some(board), None) => (true, board.name.clone()),
        (_, Some(video)) => (false, format!("{} is a board of its own", video.name)),
        (None, None) => (false, "no board that does all among its parts".to_owned()),
    };
    known.say(base, "integrated_board", whole, words);
    known.say(base, "one_cell", is_one_cell(craft), pack_words(craft));
    let flag = |kind: PartKind, key: &str| {
        craft.parts.iter().filter(|part| part.kind == kind).find_map(|part| match part.values.get(key) {
            Some(Value::Flag(flag)) => Some((*flag, part.name.clone())),
            _ => None,
        })
    };
    if let Some((dual, name)) = flag(PartKind::Camera, "analogue_out") {
        known.say(base, "camera_dual_mode", dual, name);
    }
    if let Some((card, name)) = flag(PartKind::VideoTransmitter, "card") {
        known.say(base, "air_records", card, name);
    }
    if let Some(part) = of(PartKind::Lens).filter(|part| part.values.contains_key("thread")) {
        known.say(base, "lens_adjustable", true, format!("{} has a thread", part.name));
    }
    if let Some(part) = of(PartKind::GroundReceiver) {
        if let Ok(inputs) = part.item().count(&ground::INPUTS) {
            let words = format!("{} has {inputs}", part.name);
            known.say(base, "several_ground_inputs", inputs > 1, words);
        }
        // A receiver with a screen of its own hands nothing on.
        let screen = part.item().flag(&ground::SCREEN).ok();
        if let Some(display) = of(PartKind::Display).filter(|_| screen != Some(true)) {
            let words = format!("{} and {} are two parts", part.name, display.name);
            known.say(base, "receiver_behind_display_cable", true, words);
        } else if screen == Some(true) {
            known.say(base, "receiver_behind_display_cable", false, format!("{} shows it itself", part.name));
        }
    }
    if let Some((threaded, words)) = threaded_joint(craft) {
        known.say(base, "has_threaded_antenna", threaded, words);
    }
    if let Some(current) = full_current(craft) {
        let words = format!("its motors take up to {current:.0} A");
        known.say(base, "large_motor_current", current > LARGE_CURRENT, words);
    }
    if let Some((holds, words)) = craft.places.iter().find_map(|place| fed_from(craft, place)) {
        known.say(base, "video_on_rail", holds, words);
    }
}

/// Whether the video's place says what feeds it: the pack, or a rail.
fn fed_from(craft: &Craft, placed: &craft::Place) -> Option<(bool, String)> {
    craft.part_at(placed).filter(|part| part.kind == PartKind::VideoTransmitter)?;
    let fed = placed.item().text(&place::FED_FROM).ok()?.trim().to_owned();
    Some((fed != "pack", format!("fed from {fed}")))
}

/// Whether any joint of its antennas is threaded; nothing is said of the ground, whose sockets are not on the sheet.
fn threaded_joint(craft: &Craft) -> Option<(bool, String)> {
    let on_air = craft.parts.iter().filter(|part| matches!(part.kind, PartKind::Antenna | PartKind::Pigtail));
    let joints = on_air.flat_map(|part| {
        [&air::CONNECTOR, &air::END_A, &air::END_B]
            .into_iter()
            .filter_map(move |field| Some((part, part.item().text(field).ok()?)))
    });
    let threaded: Option<(&Part, &str)> =
        joints.into_iter().find(|(_, word)| !word.to_lowercase().contains("push-on"));
    // A ground antenna is as a rule screwed on: without a threaded joint in the air the usual stays.
    threaded.map(|(part, word)| (true, format!("{}: {word}", part.name)))
}

/// What all motors take at full throttle, in A, where their sheet says it.
fn full_current(craft: &Craft) -> Option<f64> {
    let motors = craft.places.iter().filter_map(|placed| craft.part_at(placed));
    let mut sum = None;
    for motor in motors.filter(|part| part.kind == PartKind::Motor) {
        let stand = motor
            .rows(&drive::thrust::TABLE)
            .filter_map(|row| row.read(&drive::thrust::CURRENT).ok().map(|current| current.value.get()));
        let stated = motor.item().read(&drive::CURRENT_FULL).ok().map(|current| current.value.get());
        let most = stand.chain(stated).fold(f64::NAN, f64::max);
        if most.is_nan() {
            return None;
        }
        sum = Some(sum.unwrap_or(0.0) + most);
    }
    sum
}

fn from_wiring(base: &Base, model: &WiringModel, known: &mut Known) {
    let Some(unit) = model.units.iter().position(|unit| unit.kind == PartKind::VideoTransmitter) else {
        return;
    };
    let port = model.peripheral_ports().into_iter().find(|port| model.ports[*port].unit == unit);
    if let Some(port) = port {
        let link = model.link(port);
        let words = match link.touches.first() {
            Some(touch) => format!("{} is wired to {}", model.port_name(port), model.port_name(touch.port)),
            None => format!("no wire leads from {} to a controller", model.port_name(port)),
        };
        known.say(base, "has_serial_control", !link.touches.is_empty(), words);
    }
    if known.because.contains_key("video_on_rail") {
        return;
    }
    let mut supply = model.pads_of(unit).filter(|pad| model.pads[*pad].role == Some(Role::SupplyIn));
    if let Some(net) = supply.find_map(|pad| model.nets.net_of(pad)) {
        let feeds = (0..model.pads.len()).filter(|pad| model.nets.net_of(*pad) == Some(net));
        let on_rail = |pad: &usize| {
            let pad = &model.pads[*pad];
            pad.role == Some(Role::SupplyOut) && pad.rail.is_some()
        };
        let on_pack = |pad: &usize| model.units[model.pads[*pad].unit].kind == PartKind::Pack;
        let feeds: Vec<usize> = feeds.collect();
        if let Some(pad) = feeds.iter().copied().find(on_rail) {
            known.say(base, "video_on_rail", true, format!("wired to {}", model.pad_name(pad)));
        } else if let Some(pad) = feeds.iter().copied().find(on_pack) {
            known.say(base, "video_on_rail", false, format!("wired to {}", model.pad_name(pad)));
        }
    }
}

fn from_history(base: &Base, craft: &Craft, history: &History, known: &mut Known) {
    let id = craft.id.as_str();
    let found = lately(&history.entries, id);
    let told = |entry: &Entry| {
        let day: String = crate::record::date(entry.at).chars().take(10).collect();
        let words = if entry.words.is_empty() { String::new() } else { format!(": {}", entry.words) };
        format!("{} {day}{words}", entry.kind.plain())
    };
    for (fact, entry) in [
        ("recent_crash", found.crashed),
        ("recent_load", found.loaded),
        ("recent_rewire", found.unplugged),
        ("new_build", found.built),
        ("new_lens", found.new_lens),
    ] {
        if let Some(entry) = entry {
            known.say(base, fact, true, told(entry));
        }
    }
    let counters = counters_of(&history.counters, &history.entries, id);
    for one in due(&counters, &history.entries) {
        let words = format!("{}: {:.0} of {:.0}", one.counter.thing, one.count, one.life);
        if one.counter.kind == CounterKind::PackCycles && one.count > TIRED_CYCLES {
            known.say(base, "pack_tired", true, words);
        } else if one.counter.kind.is_matings() && one.standing != Standing::Fine {
            known.say(base, "plug_worn", true, words);
        }
    }
    if let Some(words) = worn_pack(&history.entries, id) {
        known.say(base, "pack_tired", true, words);
    }
}

/// What the journal says, by the limit of the rule of a pack's age, of the resistance of the packs of its last flight, if it rose so far that one is tired.
fn worn_pack(entries: &[Entry], craft: &str) -> Option<String> {
    let mine = |entry: &&Entry| entry.stands() && entry.craft.as_deref() == Some(craft);
    let flown = entries.iter().filter(mine).filter(|entry| entry.kind == EntryKind::Flown);
    let last = flown.max_by_key(|entry| entry.at)?;
    last.packs.iter().find_map(|pack| {
        let moved = pack_drift(entries, pack, Reading::CellResistance)?;
        let [new, now] = [moved.new, moved.now].map(|value| format!("{value:.1}"));
        (moved.now > PACK_AGE.tight * moved.new)
            .then(|| format!("the worst cell of {pack} went from {new} to {now} mΩ"))
    })
}

/// The class for failure rates that a craft belongs to.
pub fn fleet_of(craft: &Craft) -> Result<usize, Refusal> {
    let missing = || {
        Refusal::new(Cause::Unfit, format!("craft {:?} has no class, and failures go by class", craft.name))
            .hint("Set its class first.")
    };
    craft.class.map(fleet_of_class).ok_or_else(missing)
}

/// The class for failure rates of a class of craft.
pub fn fleet_of_class(class: CraftClass) -> usize {
    use CraftClass::*;
    match class {
        Ducted65 | Ducted75 | Ducted85 => 0,
        Ducted25 | Ducted3 | Ducted35 | Open3 | Open35 | Open4 => 1,
        Open5 => 2,
        Open7 => 3,
    }
}

fn cells(craft: &Craft) -> Option<u32> {
    let packs = craft.parts.iter().filter(|part| part.kind == PartKind::Pack);
    let cells = packs.filter_map(|part| match part.values.get("cells") {
        Some(Value::Count(cells)) => Some(*cells),
        _ => None,
    });
    cells.min()
}

fn is_one_cell(craft: &Craft) -> bool {
    match cells(craft) {
        Some(cells) => cells == 1,
        None => matches!(craft.class, Some(CraftClass::Ducted65 | CraftClass::Ducted75)),
    }
}

fn pack_words(craft: &Craft) -> String {
    match cells(craft) {
        Some(1) => "its pack has one cell".to_owned(),
        Some(cells) => format!("its pack has {cells} cells"),
        None => "by its class".to_owned(),
    }
}

/// What the rules that concern causes said: the worst finding of each counts.
fn rulings(base: &Base, findings: &[Finding]) -> Vec<(String, Ruling)> {
    let ruling = |id: &String| {
        let of_rule: Vec<&Finding> = findings.iter().filter(|finding| finding.rule == id).collect();
        let any = |verdict: Found| of_rule.iter().any(|finding| finding.verdict == verdict);
        let sure = |finding: &&Finding| {
            finding.verdict == Found::Sound
                && finding.certainty.is_some_and(|certainty| certainty.get() > SURELY)
        };
        if any(Found::Broken) {
            Some(Ruling::Broken)
        } else if any(Found::Tight) {
            Some(Ruling::Tight)
        } else if !of_rule.is_empty() && of_rule.iter().all(sure) {
            Some(Ruling::SurelySound)
        } else {
            None
        }
    };
    base.rules.iter().filter_map(|rule| Some((rule.id.clone(), ruling(&rule.id)?))).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use care::Measured;

    #[test]
    fn a_pack_whose_resistance_rose_by_more_than_half_is_tired() {
        let read = |at, value| Entry {
            packs: vec!["P1".into()],
            measured: vec![Measured { reading: Reading::CellResistance, value }],
            ..Entry::new(at, EntryKind::Charged, "")
        };
        let flown = |at, pack: &str| Entry {
            packs: vec![pack.into()],
            ..Entry::new(at, EntryKind::Flown, "").of("merlin")
        };
        let mut entries = vec![read(1, 6.0), flown(2, "P1"), read(3, 8.9)];
        assert_eq!(worn_pack(&entries, "merlin"), None, "it rose by less than half");
        entries.push(read(4, 9.1));
        assert_eq!(
            worn_pack(&entries, "merlin"),
            Some("the worst cell of P1 went from 6.0 to 9.1 mΩ".into())
        );
        assert_eq!(worn_pack(&entries, "kestrel"), None, "it never flew with it");
        entries.push(flown(5, "P2"));
        assert_eq!(worn_pack(&entries, "merlin"), None, "another pack is on it now");
    }
}
