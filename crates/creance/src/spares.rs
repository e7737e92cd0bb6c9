//! How many of each part to carry: the journal's flights and repairs, put to the reckoning of `faults`.
//!
//! A failure is a part named in a repair: what a crash broke is named again when it is replaced, and would count twice. Flights and
//! repairs of all craft of one class count together; those of the demo count for the demo alone.

use crate::bench::Bench;
use crate::mending::{base_of, fleet_of, fleet_of_class};
use crate::refusal::{Cause, Refusal};
use crate::wire::journal::CraftName;
use crate::wire::spares::{SpareLine, SparesAsked, SparesRecord, SparesView};
use care::{Entry, EntryKind};
use craft::{Craft, CraftId};
use faults::{Base, GammaRate, Plan, SparesList};
use std::collections::BTreeMap;
use workshop::Workshop;

/// What was flown and what failed.
#[derive(Debug, Default, PartialEq)]
pub struct OwnRecord {
    /// Flights.
    pub flights: f64,
    /// Minutes of them.
    pub minutes: f64,
    /// Craft by name.
    pub craft: Vec<String>,
    /// Failures by id of spare part.
    pub failures: BTreeMap<String, u32>,
    /// Names of parts that lead to none worth carrying.
    pub unknown: Vec<String>,
}

impl OwnRecord {
    /// What a workshop's journal says of all craft of a class.
    pub fn of(base: &Base, shop: &Workshop, fleet: usize, demo: bool) -> Result<Self, Refusal> {
        let mut record = Self::default();
        let mut of_class = Vec::new();
        for card in shop.list_craft()?.into_iter().filter(|card| card.demo == demo) {
            if shop.craft(&card.id)?.class.map(fleet_of_class) == Some(fleet) {
                record.craft.push(card.name);
                of_class.push(card.id.to_string());
            }
        }
        let mine = |entry: &Entry| {
            entry.craft.as_ref().is_some_and(|craft| of_class.contains(craft)) && entry.stands()
        };
        for entry in shop.kept::<Entry>()?.into_iter().map(|kept| kept.thing).filter(mine) {
            record.count(base, &entry);
        }
        Ok(record)
    }

    fn count(&mut self, base: &Base, entry: &Entry) {
        if entry.kind == EntryKind::Flown {
            self.flights += f64::from(care::flights([entry]));
            self.minutes += entry.minutes.unwrap_or(0.0);
        }
        if entry.kind != EntryKind::Repaired {
            return;
        }
        for name in &entry.parts {
            match base.spare_called(name) {
                Some(spare) => *self.failures.entry(base.spares[spare].id.clone()).or_default() += 1,
                None if !self.unknown.contains(name) => self.unknown.push(name.clone()),
                None => {}
            }
        }
    }
}

/// What to carry for a craft, by a record.
pub fn told(
    base: &Base,
    craft: &Craft,
    record: &OwnRecord,
    (flights, sure): (f64, f64),
) -> Result<SparesView, Refusal> {
    let fleet = fleet_of(craft)?;
    let failures = record.failures.iter().map(|(id, times)| (id.clone(), *times)).collect();
    let plan = Plan { fleet, flights, confidence: sure / 100.0, flown: record.flights, failures };
    let list: SparesList =
        faults::spares(base, &plan).map_err(|fault| Refusal::new(Cause::Unfit, fault.to_string()))?;
    let line = |line: &faults::Carried| {
        let spare = &base.spares[line.spare];
        SpareLine {
            id: spare.id.clone(),
            is: spare.is.clone(),
            number: line.number,
            expected: line.expected,
            expected_by_lore: GammaRate::of(spare, fleet).mean() * flights,
            suffices: line.suffices,
            grams: line.grams,
            blade_sets: line.parts,
            own: line.own,
        }
    };
    Ok(SparesView {
        craft: craft.name.clone(),
        id: craft.id.to_string(),
        choices: Vec::new(),
        flights,
        sure,
        lines: list.lines.iter().map(line).collect(),
        all_suffice: list.all_suffice,
        grams: list.grams,
        blade_sets: list.parts,
        record: SparesRecord {
            flights: record.flights,
            hours: record.minutes / 60.0,
            craft: record.craft.clone(),
            replaced: record.failures.values().sum(),
        },
        unknown: record.unknown.clone(),
    })
}

impl Bench {
    /// What to carry; an empty list where no craft has a class yet.
    pub fn spares_view(&self, asked: &SparesAsked) -> Result<SparesView, Refusal> {
        let mut choices = Vec::new();
        let mut chosen: Option<(Craft, bool)> = None;
        for card in self.cards()? {
            let craft = self.craft_of(&card.id)?;
            if craft.class.is_none() {
                continue;
            }
            choices.push(CraftName { id: card.id.to_string(), name: card.name.clone() });
            if chosen.is_none() || asked.craft == card.id.as_str() {
                chosen = Some((craft, card.demo));
            }
        }
        if !asked.craft.is_empty() && !choices.iter().any(|one| one.id == asked.craft) {
            let id = CraftId::new(&asked.craft)
                .map_err(|fault| Refusal::new(Cause::NoSuch, format!("no craft: {fault}")))?;
            // Tells whether the craft lacks, or its class.
            fleet_of(&self.craft_of(&id)?)?;
        }
        let Some((craft, demo)) = chosen else {
            let (flights, sure) = (asked.flights, asked.sure);
            let record = SparesRecord { flights: 0.0, hours: 0.0, craft: Vec::new(), replaced: 0 };
            return Ok(SparesView {
                craft: String::new(),
                id: String::new(),
                choices,
                flights,
                sure,
                lines: Vec::new(),
                all_suffice: 1.0,
                grams: 0.0,
                blade_sets: 0.0,
                record,
                unknown: Vec::new(),
            });
        };
        let base = &base_of(self.shop())?;
        let record = OwnRecord::of(base, self.shop(), fleet_of(&craft)?, demo)?;
        Ok(SparesView { choices, ..told(base, &craft, &record, (asked.flights, asked.sure))? })
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use crate::mending::base;

    #[test]
    fn flights_and_replaced_parts_are_counted_and_what_a_crash_broke_is_not_counted_twice() {
        let mut record = OwnRecord::default();
        let entry = |kind, parts: &[&str], minutes, packs: &[&str]| Entry {
            parts: parts.iter().map(|part| (*part).to_owned()).collect(),
            packs: packs.iter().map(|pack| (*pack).to_owned()).collect(),
            minutes,
            ..Entry::new(1, kind, "x").of("merlin")
        };
        for entry in [
            entry(EntryKind::Flown, &[], Some(9.0), &["P1", "P2"]),
            entry(EntryKind::Flown, &[], None, &[]),
            entry(EntryKind::Crashed, &["right-hand omni"], None, &[]),
            entry(EntryKind::Repaired, &["right-hand omni", "front left motor", "sticker"], Some(20.0), &[]),
        ] {
            record.count(base(), &entry);
        }
        assert_eq!((record.flights, record.minutes), (3.0, 9.0));
        assert_eq!(
            record.failures,
            [("air_antenna".to_owned(), 1), ("motor".to_owned(), 1)].into_iter().collect()
        );
        assert_eq!(record.unknown, ["sticker"]);
    }
}
