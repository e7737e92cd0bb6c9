//! From a craft to what its check lists are made from.

use crate::{History, Proved};
use care::{CraftFacts, Reading, drift};
use craft::schema::PartKind;
use craft::{Craft, Part, Value};

/// The facts of a craft that its check lists ask about.
pub fn check_facts(craft: &Craft, proved: &Proved, history: Option<&History>) -> CraftFacts {
    let part_at = |number: usize| craft.places.get(number).and_then(|place| craft.part(&place.part));
    let named = |number: usize| {
        let place = craft.places.get(number)?;
        let name = &craft.part(&place.part)?.name;
        let twice = craft.places.iter().filter(|other| other.part == place.part).count() > 1;
        Some(if twice { format!("{name} at {}", place.id) } else { name.clone() })
    };
    let of = |kinds: &[PartKind]| -> Vec<usize> {
        (0..craft.places.len())
            .filter(|n| part_at(*n).is_some_and(|part| kinds.contains(&part.kind)))
            .collect()
    };
    let names = |kinds: &[PartKind]| -> Vec<String> { of(kinds).into_iter().filter_map(named).collect() };
    let first = |kind: PartKind| names(&[kind]).into_iter().next();
    let cells = |part: &Part| match part.values.get("cells") {
        Some(Value::Count(cells)) => Some(*cells),
        _ => None,
    };
    let packs =
        of(&[PartKind::Pack]).into_iter().filter_map(|n| Some((named(n)?, part_at(n).and_then(cells))));
    let ducted =
        craft.parts.iter().any(|part| part.tables.get("duct").is_some_and(|ducts| !ducts.is_empty()));
    let level = proved
        .link
        .as_ref()
        .and_then(|link| link.plan.set.as_ref().map_or(None, |level| Some(level.out.to_string())));
    let level_when_new = history.and_then(|history| {
        let readings = drift(&history.entries, craft.id.as_str(), Reading::LevelAt5m).map(|drift| drift.new);
        let mine = |entry: &&care::Entry| entry.craft.as_deref() == Some(craft.id.as_str());
        readings
            .or_else(|| history.entries.iter().filter(mine).find_map(|entry| entry.read(Reading::LevelAt5m)))
    });
    CraftFacts {
        motors: of(&[PartKind::Motor]).len(),
        ducted,
        transmitter: first(PartKind::VideoTransmitter),
        camera: first(PartKind::Camera),
        lens: first(PartKind::Lens),
        antennas: names(&[PartKind::Antenna]),
        leads: names(&[PartKind::CameraHarness, PartKind::Pigtail]),
        push_on: proved.held.iter().map(|held| held.called.clone()).collect(),
        packs: packs.collect(),
        control: first(PartKind::ControlReceiver),
        gnss: first(PartKind::Gnss).is_some(),
        capacitor: first(PartKind::Capacitor).is_some(),
        level,
        level_when_new,
    }
}
