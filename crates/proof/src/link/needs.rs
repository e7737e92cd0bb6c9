//! What a transmitter offers and what a receiver needs: the levels, the threshold of the mode, and how wide its cliff is.

use super::model::{LinkThreshold, RadioLevel};
use super::reading::{Known, Reader};
use crate::names::same_words;
use crate::{Placed, Proof};
use craft::schema::{air, craft as plan, ground};
use craft::{Item, Missing};
use quantity::{Basis, Db, Dbm, DoubtKind, Fact, FactPath, LedgerEntry, Quantity, Unit};
use radio::{Cliff, noise_floor};

/// The levels of a transmitter, least first.
pub(super) fn levels(proof: &Proof, unit: Placed) -> Vec<RadioLevel> {
    let rows = unit.part.rows(&air::level::TABLE);
    let mut levels: Vec<RadioLevel> = rows
        .filter_map(|row| {
            let out = row.read(&air::level::OUT).ok()?;
            let offered = Dbm::from_power(out.value)?;
            let (at_socket, fact) = match row.read(&air::level::AT_SOCKET) {
                Ok(measured) => (measured.value, proof.enter(&measured)),
                Err(missing) => {
                    // What is offered, with the doubt that such a number has.
                    let fact = Fact {
                        quantity: Quantity::of(offered),
                        stated: None,
                        basis: out.basis.max(Basis::DataSheet),
                    };
                    let entry = LedgerEntry {
                        path: missing.path,
                        label: missing.label,
                        value: offered.get(),
                        unit: Unit::Dbm,
                        doubt: fact.doubt(DoubtKind::RadioLevel),
                        basis: fact.basis,
                        kind: DoubtKind::RadioLevel,
                    };
                    (offered, proof.enter_entry(entry))
                }
            };
            Some(RadioLevel { out: out.value, at_socket, fact })
        })
        .collect();
    levels.sort_by(|a, b| a.out.get().total_cmp(&b.out.get()));
    levels
}

/// What the receiver needs in the mode that is planned; where it has one mode only, in that.
pub(super) fn threshold(reader: &mut Reader, receiver: Option<Placed>) -> Option<LinkThreshold> {
    let receiver = receiver?;
    let (part, item) = (receiver.part, receiver.part.item());
    let rows: Vec<Item> = part.rows(&ground::threshold::TABLE).collect();
    let plan = reader.proof.craft.item();
    let row = match (plan.text(&plan::VIDEO_MODE), rows.as_slice()) {
        (_, []) => {
            let path = FactPath(format!("{}.{}", item.path, ground::threshold::TABLE.key));
            reader.lack.missing.push(Missing { path, label: format!("threshold of {}", item.called) });
            return None;
        }
        (Ok(mode), rows) => {
            match rows.iter().find(|row| row.name().is_some_and(|name| same_words(name, mode))) {
                Some(row) => row,
                None => {
                    let names: Vec<&str> = rows.iter().filter_map(Item::name).collect();
                    reader.lack.wrong.push(format!(
                    "video mode {mode:?}: {} has thresholds for {}; add that mode there or name one of these",
                    item.called,
                    crate::numbers::listed(&names)
                ));
                    return None;
                }
            }
        }
        (Err(_), [row]) => row,
        (Err(missing), _) => {
            reader.lack.missing.push(missing);
            return None;
        }
    };
    let mode = row.name().unwrap_or("picture").to_owned();
    let cliff = cliff(reader, row)?;
    if let Some(level) = reader.maybe(row, &ground::threshold::LEVEL) {
        let leans = vec![(level.fact, 1.0)];
        return Some(LinkThreshold { mode, level: Dbm::new(level.value), cliff, leans });
    }
    if !row.has(&ground::threshold::RATIO.def) {
        reader.lack.missing.push(row.missing(&ground::threshold::LEVEL.def));
        return None;
    }
    let width = reader.noted(row.read(&ground::threshold::WIDTH));
    let figure: Option<Known> = reader.need(&item, &ground::NOISE_FIGURE);
    let ratio: Option<Known> = reader.need(row, &ground::threshold::RATIO);
    let (width, figure, ratio) = (width?, figure?, ratio?);
    let floor = reader.right(&row.called, noise_floor(width.value, Db::new(figure.value)))?;
    let leans = vec![(figure.fact, 1.0), (ratio.fact, 1.0)];
    Some(LinkThreshold { mode, level: floor + Db::new(ratio.value), cliff, leans })
}

/// How wide the cliff of a mode is: as its row states it. Where only one of both ends is stated, the other lies as far from it as usual;
/// where none is, both are as usual.
fn cliff(reader: &mut Reader, row: &Item<'_>) -> Option<Cliff> {
    let usual = [Cliff::TYPICAL.whole_from(), Cliff::TYPICAL.clean_from()];
    let stated = |field| row.read(field).ok().map(|reading: craft::Reading<Db>| reading.value);
    let (whole, clean) = match (stated(&ground::threshold::WHOLE), stated(&ground::threshold::CLEAN)) {
        (Some(whole), Some(clean)) => (whole, clean),
        (Some(whole), None) => (whole, whole + (usual[1] - usual[0])),
        (None, Some(clean)) => (if clean < usual[0] { clean } else { usual[0] }, clean),
        (None, None) => return Some(Cliff::TYPICAL),
    };
    reader.right(&row.called, Cliff::new(whole, clean))
}
