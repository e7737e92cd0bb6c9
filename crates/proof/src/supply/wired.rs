//! What feeds a part by its wires, and by what its place says.
//!
//! Where a wire joins a supply pad of a part to a pad that gives, that wire owns the truth: feed, gauge and length are read from it, and what
//! the place says of them counts only where no wire tells. Where both are said and differ, [`disagreement`] finds it for a rule
//! to tell. A part with several supply pads counts by the first one that is fed.

use super::feeds::said_feed;
use crate::wiring::{Role, WiringModel};
use crate::{Placed, Proof};
use craft::schema::{PartKind, place, wiring::wire};
use craft::{Item, Missing, PlaceId, Reading};
use power::PACK;
use quantity::Millimetres;

/// A part's feed as it is wired.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct WiredFeed {
    /// The pack, or a rail as place/rail.
    pub on: String,
    /// The pad that is fed, by number.
    pub fed: usize,
    /// The pad that feeds it, by number.
    pub source: usize,
    /// The row of the wire at the fed pad.
    pub wire: Option<usize>,
}

/// What a pad that gives brings: the pack's voltage, or a rail.
pub(crate) fn given_by(model: &WiringModel, source: usize) -> Option<String> {
    let pad = &model.pads[source];
    let unit = &model.units[pad.unit];
    match pad.rail.as_deref() {
        // What a board hands on of a pack that it gets from itself alone is no pack.
        Some(PACK) if self_fed(model, pad.unit).is_some() => Some(format!("{}/{PACK}", unit.place)),
        Some(PACK) => Some(PACK.to_owned()),
        Some(rail) => Some(format!("{}/{rail}", unit.place)),
        None => (unit.kind == PartKind::Pack).then(|| PACK.to_owned()),
    }
}

/// The pad that gives a supply pad its voltage: of another part, else one of its own that is wired to it, which never starts.
pub(crate) fn giver_of(model: &WiringModel, fed: usize) -> Option<usize> {
    let own = || {
        let net = &model.nets.nets()[model.nets.net_of(fed)?];
        net.pads.iter().copied().find(|pad| model.pads[*pad].role == Some(Role::SupplyOut))
    };
    model.source_of(fed).or_else(own)
}

/// The pads of a part by which it feeds itself and nothing else does: the fed one and the giving one.
fn self_fed(model: &WiringModel, unit: usize) -> Option<[usize; 2]> {
    let inputs = || model.pads_of(unit).filter(|pad| model.pads[*pad].role == Some(Role::SupplyIn));
    if inputs().any(|fed| model.source_of(fed).is_some()) {
        return None;
    }
    inputs().find_map(|fed| Some([fed, giver_of(model, fed)?]))
}

/// Parts that hand the pack on to themselves, each as place/pack with why nothing comes of it.
pub(super) fn packs_of_their_own(proof: &Proof) -> Vec<(String, String)> {
    let Some(model) = proof.wiring() else { return Vec::new() };
    let of = |unit: usize| {
        let [fed, giver] = self_fed(model, unit)?;
        let name = given_by(model, giver)?;
        let [fed, giver] = [fed, giver].map(|pad| model.pad_name(pad));
        let words = format!(
            "{} feeds itself: {fed} from {giver}; take the wire of {fed} from {giver} to a pad that the pack feeds",
            model.units[unit].called
        );
        name.ends_with(&format!("/{PACK}")).then_some((name, words))
    };
    (0..model.units.len()).filter_map(of).collect()
}

/// What the wires of a part say of its feed; none where no wire brings it a supply.
pub(crate) fn wired_feed(proof: &Proof, placed: Placed) -> Option<WiredFeed> {
    let model = proof.wiring()?;
    let unit = model.unit_at(&placed.place.id)?;
    let inputs = || model.pads_of(unit).filter(|pad| model.pads[*pad].role == Some(Role::SupplyIn));
    let feed = |fed: usize, source: usize| {
        let on = given_by(model, source)?;
        let wire = model.wires_at(fed).next().map(|wire| wire.row);
        Some(WiredFeed { on, fed, source, wire })
    };
    // Another part first: what feeds itself beside that is another rule's matter.
    let by_other = inputs().find_map(|fed| feed(fed, model.source_of(fed)?));
    by_other.or_else(|| inputs().find_map(|fed| feed(fed, giver_of(model, fed)?)))
}

/// Whether a pad of another part gives a supply.
fn gives_to(model: &WiringModel, pad: usize, input: usize) -> bool {
    model.pads[pad].role == Some(Role::SupplyOut) && model.pads[pad].unit != model.pads[input].unit
}

/// Whether what a pad gives lies within what an input needs.
fn suits(model: &WiringModel, pad: usize, input: usize) -> bool {
    let [least, most] = model.pads[input].needs;
    model.pads[pad].gives.is_some_and(|[low, high]| {
        least.is_none_or(|least| low >= least) && most.is_none_or(|most| high <= most)
    })
}

/// A pad of another part that gives what an input needs: the feed that is named, or any that suits.
pub(crate) fn feeder(model: &WiringModel, input: usize, named: Option<&str>) -> Option<usize> {
    (0..model.pads.len()).find(|pad| {
        let is_named = |named| given_by(model, *pad).as_deref() == Some(named);
        gives_to(model, *pad, input) && named.map_or_else(|| suits(model, *pad, input), is_named)
    })
}

/// What to do where a supply pad gets more or less than it needs: the pad that gives what suits, on the part that feeds it now if it has one; on the
/// pack the number of cells; else a converter of its own.
pub(crate) fn feed_that_suits(model: &WiringModel, fed: usize, source: usize, cell: Option<f64>) -> String {
    let [least, most] = model.pads[fed].needs;
    let of = |unit: usize| model.pads[unit].unit;
    let pads = || {
        (0..model.pads.len()).filter(|pad| {
            gives_to(model, *pad, fed) && !fed_through(model, of(*pad), of(fed)) && suits(model, *pad, fed)
        })
    };
    let found = pads().find(|pad| of(*pad) == of(source)).or_else(|| pads().next());
    let [to, from] = [fed, source].map(|pad| model.pad_name(pad));
    if let Some(pad) = found {
        let ground = match of(pad) == of(source) {
            true => String::new(),
            false => format!(", with a ground wire from {} beside it", model.units[of(pad)].place),
        };
        return format!("Take the wire of {to} from {from} to {}{ground}.", model.pad_name(pad));
    }
    let cells = cell.filter(|_| given_by(model, source).as_deref() == Some(PACK)).zip(most);
    let cells = cells.map(|(cell, most)| (most / cell + 1e-9).floor()).filter(|cells| *cells >= 1.0);
    // A part that works from more than it stands is told by its sheet; here what it stands counts.
    let least = least.filter(|least| most.is_none_or(|most| *least <= most));
    let range = match [least, most].map(|volts| volts.map(|volts| crate::numbers::rounded(volts, 1))) {
        [Some(least), Some(most)] => format!("{least} to {most} V"),
        [Some(least), None] => format!("{least} V or more"),
        [None, Some(most)] => format!("{most} V or less"),
        [None, None] => "what it needs".to_owned(),
    };
    match cells {
        Some(cells) => {
            format!("Take a pack of {cells} cells at most, or feed it from a converter of {range}.")
        }
        None => format!("No pad of this craft gives it {range}: give it a converter of its own."),
    }
}

/// Whether a part gets its supply through another one, or is that one.
pub(crate) fn fed_through(model: &WiringModel, part: usize, through: usize) -> bool {
    let (mut at, mut passed) = (part, Vec::new());
    loop {
        if at == through {
            return true;
        }
        passed.push(at);
        let inputs = model.pads_of(at).filter(|pad| model.pads[*pad].role == Some(Role::SupplyIn));
        match inputs.filter_map(|fed| model.source_of(fed)).map(|source| model.pads[source].unit).next() {
            Some(next) if !passed.contains(&next) => at = next,
            _ => return false,
        }
    }
}

/// Why a part hangs on nothing though the craft is wired, in words with the mend behind a semicolon; none where nothing says so.
pub(super) fn unfed_words(proof: &Proof, placed: Placed) -> Option<String> {
    let model = proof.wiring().filter(|model| model.is_wired())?;
    let unit = model.unit_at(&placed.place.id)?;
    let inputs: Vec<usize> =
        model.pads_of(unit).filter(|pad| model.pads[*pad].role == Some(Role::SupplyIn)).collect();
    if inputs.is_empty() {
        return None;
    }
    let names: Vec<String> = inputs.iter().map(|pad| model.pad_name(*pad)).collect();
    let (called, names) = (&model.units[unit].called, crate::numbers::listed(&names));
    Some(match model.is_miswired(unit) {
        true => format!(
            "the wires at {called} bring it no supply at {names}: plus, minus or a signal are at each other's pads; put those wires right first"
        ),
        false => format!(
            "no wire brings {called} a supply at {names}; join it to a pad that gives what it needs, or under [place.{}] write what feeds it as fed_from",
            placed.place.id
        ),
    })
}

/// Which wire to move so that a part hangs on another feed, to be put behind what is advised; nothing where no wire feeds it.
pub(crate) fn wire_to_move(proof: &Proof, part: &PlaceId, to: &str) -> String {
    let words = || {
        let model = proof.wiring()?;
        let wired = wired_feed(proof, proof.placed_at(part)?)?;
        let pad = feeder(model, wired.fed, Some(to))?;
        let [fed, from, to] = [wired.fed, wired.source, pad].map(|pad| model.pad_name(pad));
        let other = model.pads[pad].unit != model.pads[wired.source].unit;
        let ground = match other {
            true => {
                format!(", with a ground wire from {} beside it", model.units[model.pads[pad].unit].place)
            }
            false => String::new(),
        };
        Some(format!(": take the wire of {fed} from {from} to {to}{ground}"))
    };
    words().unwrap_or_default()
}

/// Gauge and length of the wire that feeds a part: what the wire says, then what the place says.
pub(crate) struct SupplyWire {
    pub gauge: Result<u32, Missing>,
    pub length: Result<Reading<Millimetres>, Missing>,
}

pub(crate) fn supply_wire(proof: &Proof, placed: Placed) -> SupplyWire {
    let item = placed.place.item();
    let row: Option<Item> =
        wired_feed(proof, placed).and_then(|feed| proof.craft.rows(&wire::TABLE).nth(feed.wire?));
    let gauge = row.as_ref().and_then(|row| row.count(&wire::GAUGE).ok());
    let length = row.as_ref().and_then(|row| row.read(&wire::LENGTH).ok());
    SupplyWire {
        gauge: gauge.map_or_else(|| item.count(&place::SUPPLY_GAUGE), Ok),
        length: length.map_or_else(|| item.read(&place::SUPPLY_LENGTH), Ok),
    }
}

/// Where place and wires of a part say different things of its supply.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum Disagreement {
    /// What feeds it: as the place says, and by the wires.
    Feed(String, WiredFeed),
    /// The gauge of the wire: as the place says, and the wire.
    Gauge(u32, u32, WiredFeed),
}

/// All of it.
pub(crate) fn disagreement(proof: &Proof, placed: Placed) -> Vec<Disagreement> {
    let Some(wired) = wired_feed(proof, placed) else { return Vec::new() };
    let mut found = Vec::new();
    let item = placed.place.item();
    if let Ok(said) = item.text(&place::FED_FROM) {
        // What cannot be read is told where the feed is asked for.
        if let Ok(Some(feed)) = said_feed(proof, placed)
            && feed != wired.on
        {
            found.push(Disagreement::Feed(said.trim().to_owned(), wired.clone()));
        }
    }
    let row: Option<Item> = wired.wire.and_then(|row| proof.craft.rows(&wire::TABLE).nth(row));
    let of_wire = row.and_then(|row| row.count(&wire::GAUGE).ok());
    if let (Some(wire), Ok(said)) = (of_wire, item.count(&place::SUPPLY_GAUGE))
        && wire != said
    {
        found.push(Disagreement::Gauge(said, wire, wired));
    }
    found
}
