//! Which things does one look at before power, before flight and after a crash, on this very craft?
//!
//! The order is the order of the hands: what can hurt comes first. What a craft has not, its list does not ask for; where
//! something has a name or a value, the list says it. Common practice throughout; local rules go before it.

use crate::entry::words;
use serde::{Deserialize, Serialize};

words! {
    /// Which list.
    ListKind {
        /// Before the first power of a build or a repair.
        BeforePower = "before_power", "before power";
        /// Before a flight.
        BeforeFlight = "before_flight", "before flight";
        /// After a crash.
        AfterCrash = "after_crash", "after a crash";
    }
}

/// What a list is made from.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct CraftFacts {
    /// How many motors there are.
    pub motors: usize,
    /// Whether blades turn in ducts.
    pub ducted: bool,
    /// The video transmitter, by name.
    pub transmitter: Option<String>,
    /// The camera, by name.
    pub camera: Option<String>,
    /// The lens, by name.
    pub lens: Option<String>,
    /// Antennas, by name.
    pub antennas: Vec<String>,
    /// Harnesses and pigtails, by name.
    pub leads: Vec<String>,
    /// Plugs that only push on, in words.
    pub push_on: Vec<String>,
    /// Packs, by name, each with its cells in series where known.
    pub packs: Vec<(String, Option<u32>)>,
    /// The control receiver, by name.
    pub control: Option<String>,
    /// Whether it has a satellite receiver.
    pub gnss: bool,
    /// Whether a capacitor is on the supply.
    pub capacitor: bool,
    /// The level it is planned to be flown at, in words.
    pub level: Option<String>,
    /// The level at 5 m when it was new, in dBm.
    pub level_when_new: Option<f64>,
}

/// One thing on a list.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct CheckItem {
    /// Its id within the list.
    pub id: String,
    /// What to look at, as an imperative.
    pub words: String,
    /// Why; empty where it says so itself.
    pub why: String,
    /// Whether somebody can be hurt if it is left out.
    pub hurts: bool,
}

struct Lines(Vec<CheckItem>);

impl Lines {
    fn add(&mut self, id: &str, words: impl Into<String>, why: &str) {
        self.0.push(CheckItem { id: id.to_owned(), words: words.into(), why: why.to_owned(), hurts: false });
    }

    fn careful(&mut self, id: &str, words: impl Into<String>, why: &str) {
        self.add(id, words, why);
        if let Some(item) = self.0.last_mut() {
            item.hurts = true;
        }
    }

    fn each(&mut self, id: &str, names: &[String], words: impl Fn(&str) -> String, why: &str) {
        for (number, name) in names.iter().enumerate() {
            self.add(&format!("{id}_{}", number + 1), words(name), why);
        }
    }
}

/// The list of a kind for a craft.
pub fn check_list(kind: ListKind, craft: &CraftFacts) -> Vec<CheckItem> {
    let mut lines = Lines(Vec::new());
    match kind {
        ListKind::BeforePower => before_power(&mut lines, craft),
        ListKind::BeforeFlight => before_flight(&mut lines, craft),
        ListKind::AfterCrash => after_crash(&mut lines, craft),
    }
    lines.0
}

fn before_power(lines: &mut Lines, craft: &CraftFacts) {
    if craft.motors > 0 {
        lines.careful(
            "blades_off",
            "Take the blades off",
            "A setting can start a motor; blades cut to the bone.",
        );
    }
    lines.careful(
        "meter",
        "Measure plus against minus: no short",
        "What is soldered wrongly burns in a second.",
    );
    if let Some(name) = &craft.transmitter {
        lines.careful(
            "antenna_on",
            format!("See that an antenna is on {name}"),
            "Without one it may die within seconds.",
        );
        lines.add("fan", format!("Put moving air on {name}"), "It is made to be cooled by prop wash.");
    }
    lines.each(
        "plugged",
        &craft.leads,
        |name| format!("See that {name} is seated at both ends"),
        "A plug half in is the usual cause of no picture.",
    );
    if craft.capacitor {
        lines.add("capacitor", "See that the capacitor's legs touch nothing and its stripe is on minus", "");
    }
    for (number, (name, cells)) in craft.packs.iter().enumerate() {
        let cells = cells.map(|cells| format!(", {cells} cells")).unwrap_or_default();
        lines.add(&format!("pack_{}", number + 1), format!("See that the pack is a {name}{cells}"), "");
    }
    lines.careful(
        "limited",
        "Power it from a supply with its current limited, or through a limiter",
        "The first power of a build or repair.",
    );
}

fn before_flight(lines: &mut Lines, craft: &CraftFacts) {
    if craft.motors > 0 {
        let words = match craft.ducted {
            true => "Turn each of the blades by hand: no nick, nothing in the ducts",
            false => "Look at each blade: no nick, no bend, nuts tight",
        };
        lines.careful("blades", words, "A nicked blade flies off or shakes the picture.");
        lines.add(
            "hands",
            format!("See that each of the {} motors has its blade the right way round", craft.motors),
            "",
        );
    }
    for (number, (name, cells)) in craft.packs.iter().enumerate() {
        let full =
            cells.map(|cells| format!(": {:.1} V when full", 4.2 * f64::from(cells))).unwrap_or_default();
        lines.careful(
            &format!("pack_{}", number + 1),
            format!("{name}{full}, not puffed, strapped tight"),
            "A loose pack shifts the balance and pulls its lead.",
        );
    }
    lines.each(
        "antenna",
        &craft.antennas,
        |name| format!("{name}: straight, tight, clear of carbon and blades"),
        "",
    );
    lines.each("push_on", &craft.push_on, |plug| format!("{plug}: seated and held"), "");
    if let Some(lens) = craft.lens.as_ref().or(craft.camera.as_ref()) {
        lines.add("lens", format!("{lens}: clean, focus ring tight"), "");
    }
    if let Some(name) = &craft.control {
        lines.careful(
            "failsafe",
            format!("{name}: bound; radio off stops the motors"),
            "Tested with the blades off, once a day.",
        );
    }
    if craft.gnss {
        lines.add("gnss", "Wait until it has its satellites and its home", "");
    }
    if craft.transmitter.is_some() {
        let level = craft.level.as_ref().map(|level| format!(" and {level}")).unwrap_or_default();
        lines.add(
            "channel",
            format!("Say your channel{level} aloud before power: nobody else on it"),
            "Power-up can wash out whoever is in the air.",
        );
        lines.add("picture", "Picture clear at arm's length, both ways of the craft", "");
    }
    lines.careful("area", "Area clear, spotter beside you, your local rules and limits kept", "");
}

fn after_crash(lines: &mut Lines, craft: &CraftFacts) {
    lines.careful("disarm", "Disarm; leave the radio on until the pack is off", "");
    lines.careful(
        "pack",
        "Pack off: dented, puffed or hot ones go outdoors, away from everything",
        "A hurt pack can burn half an hour later.",
    );
    if craft.motors > 0 {
        lines.careful("blades_off", "Take the blades off", "");
        lines.add("arms", "Tap arms and plates: a dull sound is a split", "");
        lines.add(
            "motors",
            format!("Turn each of the {} motors by thumb: grit, wobble, bell gap", craft.motors),
            "",
        );
    }
    if let Some(name) = craft.lens.as_ref().or(craft.camera.as_ref()) {
        lines.add("lens", format!("{name}: no chip, cheeks tight"), "");
    }
    lines.each("lead", &craft.leads, |name| format!("{name}: seated at both ends, not cut"), "");
    lines.each(
        "antenna",
        &craft.antennas,
        |name| format!("{name}: not kinked, cap tight, plug seated at a gentle tug"),
        "",
    );
    lines.each("push_on", &craft.push_on, |plug| format!("{plug}: seated, its tie whole"), "");
    if craft.capacitor {
        lines.add("capacitor", "Capacitor: legs whole, nothing bulges", "");
    }
    lines.add("screws", "Screws of the stack: tight; no smell", "");
    lines.careful("bench_power", "Bench power with the current limited, fan on, antenna on: standby", "");
    if craft.transmitter.is_some() {
        lines.add("picture", "Picture", "");
    }
    if craft.motors > 0 {
        lines.careful("arm", "Arm without blades; then hover", "");
    }
    if craft.transmitter.is_some() {
        let new =
            craft.level_when_new.map(|level| format!(" against {level:.0} dBm when new")).unwrap_or_default();
        lines.add(
            "level",
            format!("Level at 5 m, least power{new}"),
            "A hurt antenna or pigtail shows here first.",
        );
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use expect_test::expect;
    use std::collections::BTreeSet;

    fn whole() -> CraftFacts {
        CraftFacts {
            motors: 4,
            ducted: false,
            transmitter: Some("Lanner small air unit".into()),
            camera: Some("Merlin camera".into()),
            lens: Some("Merlin lens 1.7".into()),
            antennas: vec!["rear antenna".into(), "front antenna".into()],
            leads: vec!["camera harness".into()],
            push_on: vec!["pigtail on the air unit".into()],
            packs: vec![("4S 650".into(), Some(4))],
            control: Some("control receiver".into()),
            gnss: true,
            capacitor: true,
            level: Some("25 mW".into()),
            level_when_new: Some(-48.0),
        }
    }

    #[test]
    fn a_list_names_the_crafts_own_things() {
        let words: Vec<String> =
            check_list(ListKind::BeforeFlight, &whole()).into_iter().map(|item| item.words).collect();
        expect![[r#"
            Look at each blade: no nick, no bend, nuts tight
            See that each of the 4 motors has its blade the right way round
            4S 650: 16.8 V when full, not puffed, strapped tight
            rear antenna: straight, tight, clear of carbon and blades
            front antenna: straight, tight, clear of carbon and blades
            pigtail on the air unit: seated and held
            Merlin lens 1.7: clean, focus ring tight
            control receiver: bound; radio off stops the motors
            Wait until it has its satellites and its home
            Say your channel and 25 mW aloud before power: nobody else on it
            Picture clear at arm's length, both ways of the craft
            Area clear, spotter beside you, your local rules and limits kept"#]]
        .assert_eq(&words.join("\n"));
    }

    #[test]
    fn blades_come_off_before_power_and_ids_stand_once() {
        for kind in ListKind::ALL {
            for craft in [whole(), CraftFacts::default()] {
                let list = check_list(*kind, &craft);
                let ids: BTreeSet<&str> = list.iter().map(|item| item.id.as_str()).collect();
                assert_eq!(ids.len(), list.len());
                assert!(list.iter().any(|item| item.hurts));
            }
        }
        assert_eq!(check_list(ListKind::BeforePower, &whole())[0].id, "blades_off");
        assert!(check_list(ListKind::AfterCrash, &whole()).iter().any(|item| item.words.contains("-48 dBm")));
    }

    #[test]
    fn what_a_craft_has_not_is_not_asked_for() {
        let bare = check_list(ListKind::BeforeFlight, &CraftFacts::default());
        assert_eq!(bare.iter().map(|item| item.id.as_str()).collect::<Vec<_>>(), ["area"]);
    }
}
