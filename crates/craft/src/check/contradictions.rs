//! Values and wires that cannot be as they are said together.

use super::{Check, CraftFaultKind, Owner, Spot};
use crate::schema::{self, PartKind, air};
use crate::{Part, PlugRef, Value};
use quantity::{Celsius, Watts};
use std::collections::HashMap;

impl Check<'_> {
    /// The coldest air is not warmer than the hottest.
    pub(super) fn temperatures(&mut self) {
        let item = self.craft.item();
        let read = |field: &schema::Field<Celsius>| item.read(field).ok().map(|reading| reading.value);
        let (Some(coldest), Some(hottest)) = (read(&schema::craft::COLDEST), read(&schema::craft::HOTTEST))
        else {
            return;
        };
        if coldest > hottest {
            let what = CraftFaultKind::Contradiction {
                one: format!("coldest air {coldest}"),
                other: format!("lies above the hottest, {hottest}"),
                mend: "swap them, or correct the one that is wrong",
            };
            let called = format!("craft {:?}", self.craft.name);
            self.tell(Spot::of(Owner::Craft).at_key("coldest"), &called, what);
        }
    }

    /// A transmitter takes no more at standby than at its least level.
    pub(super) fn draws(&mut self, part: &Part) {
        if part.kind != PartKind::VideoTransmitter {
            return;
        }
        let Some(standby) = part.item().read(&air::STANDBY_DRAW).ok().map(|draw| draw.value) else { return };
        let least = part
            .rows(&air::level::TABLE)
            .filter_map(|row| {
                let draw: Watts = row.read(&air::level::DRAW).ok()?.value;
                Some((draw, row.read(&air::level::OUT).ok()?.value))
            })
            .min_by(|a, b| a.0.get().total_cmp(&b.0.get()));
        if let Some((draw, out)) = least.filter(|(draw, _)| standby > *draw) {
            let what = CraftFaultKind::Contradiction {
                one: format!("supply power at standby {standby}"),
                other: format!("is more than the {draw} at {out}"),
                mend: "at standby the radio hardly runs: look at the sheet again",
            };
            let called = format!("{} {:?}", part.kind.def().plain, part.name);
            self.tell(Spot::of(Owner::Part(part.id.clone())).at_key("standby_draw"), &called, what);
        }
    }

    /// No wire goes from a pad to itself, and none is there twice, whichever way round.
    pub(super) fn wires(&mut self) {
        let craft = self.craft;
        let mut seen: HashMap<[String; 2], usize> = HashMap::new();
        for (number, row) in craft.rows(&schema::wiring::wire::TABLE).enumerate() {
            let end = |key: &str| match row.values.get(key) {
                Some(Value::Text(text)) => {
                    PlugRef::read(text).map(|pad| format!("{}/{}", pad.place, pad.plug))
                }
                _ => None,
            };
            let (Some(from), Some(to)) = (end("from"), end("to")) else { continue };
            let at = Spot::of(Owner::Craft).at_row(schema::wiring::wire::TABLE.key, number).at_key("to");
            if from == to {
                self.tell(at, &row.called, CraftFaultKind::WireToItself { pad: from });
                continue;
            }
            let mut ends = [from, to];
            let said = ends.clone();
            ends.sort();
            match seen.get(&ends) {
                Some(first) => {
                    let what = CraftFaultKind::WireTwice { ends: said, first: first + 1 };
                    self.tell(at, &row.called, what);
                }
                None => {
                    seen.insert(ends, number);
                }
            }
        }
    }
}
