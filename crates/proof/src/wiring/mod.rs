//! The wiring of a craft: its pads, ports and wires as the discipline wants them, with the names a builder knows.
//!
//! A pad is a row of the table of pins of a part in its place; a wire is a row of the craft. A wire that names a plug at both
//! ends joins pin n to pin n. Where a pad stands is where its plug stands, or the bare pad of the same name, else the middle
//! of its part. Everything here is owned, so that it can be drawn after the proof. Left out: what the board joins inside,
//! save its ground.

mod beside;
mod first_limits;
mod ground_ways;
mod links;
mod lists;
mod near;
mod read;
mod span;

pub use beside::{Beside, beside_the_wires};
pub use first_limits::{BENCH_SUPPLY, FirstLimits, IDLE_SOURCE, LimitStep, first_limits};
pub use ground_ways::GroundWire;
pub use links::{SerialLink, Touch};
pub use lists::{PowerStep, SolderRow, power_up_steps, settings_list, solder_csv, wires_concerned};
pub use near::{Near, near_phases};
pub use span::{LENGTH_SOURCE, SLACK_LEAST, cut_length};

use crate::Proof;
use craft::PlaceId;
use craft::schema::PartKind;
pub use wiring::Role;
use wiring::{Lines, NetFault, Wiring};

/// All that is known of a craft's wiring.
#[derive(Clone, Debug, PartialEq)]
pub struct WiringModel {
    /// Parts with pads or ports, in the order of the places.
    pub units: Vec<WiredUnit>,
    /// Every pad, unit by unit, in their order on plug and edge.
    pub pads: Vec<WiredPad>,
    /// Every serial port, unit by unit.
    pub ports: Vec<WiredPort>,
    /// Every wire, in the order of the craft.
    pub wires: Vec<WireRow>,
    /// Pads and wires as nets; pads by their number in `pads`.
    pub nets: Wiring,
}

/// A part in its place, as wiring sees it.
#[derive(Clone, Debug, PartialEq)]
pub struct WiredUnit {
    /// Its place.
    pub place: PlaceId,
    /// The number of the place in the craft.
    pub number: usize,
    /// What a person calls it.
    pub called: String,
    /// What it is.
    pub kind: PartKind,
}

/// One pad.
#[derive(Clone, Debug, PartialEq)]
pub struct WiredPad {
    /// The unit it is on.
    pub unit: usize,
    /// As printed beside it.
    pub name: String,
    /// The plug it belongs to; none for a pad to be soldered.
    pub plug: Option<String>,
    /// Counted from the mark, or along the edge.
    pub number: Option<u32>,
    /// What it does, if anybody said so.
    pub role: Option<Role>,
    /// What it carries, in the maker's words.
    pub carries: Option<String>,
    /// Its serial port, by number in `ports`.
    pub port: Option<usize>,
    /// The rail it gives.
    pub rail: Option<String>,
    /// For supply in: least and greatest voltage, if known.
    pub needs: [Option<f64>; 2],
    /// For supply out: least and most that it gives, if known: at the deepest sag, at full charge.
    pub gives: Option<[f64; 2]>,
    /// Where it is on the craft, mm; none where the part's seat is not known.
    pub at: Option<[f64; 3]>,
}

/// One serial port.
#[derive(Clone, Debug, PartialEq)]
pub struct WiredPort {
    /// The unit it is on.
    pub unit: usize,
    /// Its name.
    pub name: String,
    /// The lines it brings out, seen from its own part; both where nobody said.
    pub lines: Lines,
    /// As a port of a controller.
    pub port: wiring::Port,
    /// The rate it speaks at, if it has one only.
    pub rate: Option<f64>,
    /// Whether its lines idle low.
    pub inverted: bool,
    /// What the board itself keeps it for.
    pub kept_for: Option<String>,
    /// What it is set to: function and rate.
    pub set: Option<(String, Option<f64>)>,
}

/// One wire, or one ready-made lead.
#[derive(Clone, Debug, PartialEq)]
pub struct WireRow {
    /// Its row in the craft, from 0.
    pub row: usize,
    /// Its ends as written: place and pad.
    pub ends: [String; 2],
    /// The pads it joins, by number: one pair, or one for each pin of a ready-made lead.
    pub joins: Vec<[usize; 2]>,
    /// The two plugs of a ready-made lead: unit and plug.
    pub lead: Option<[(usize, String); 2]>,
    /// Gauge.
    pub gauge: Option<u32>,
    /// Colour.
    pub colour: Option<String>,
    /// Length as cut, if said, mm.
    pub length: Option<f64>,
    /// A remark.
    pub note: Option<String>,
}

impl WiringModel {
    /// A pad as the sheet writes it: `fc/T2`.
    pub fn pad_name(&self, pad: usize) -> String {
        let pad = &self.pads[pad];
        format!("{}/{}", self.units[pad.unit].place, pad.name)
    }
    /// A port as the sheet writes it.
    pub fn port_name(&self, port: usize) -> String {
        let port = &self.ports[port];
        format!("{}/{}", self.units[port.unit].place, port.name)
    }
    /// The pads of a unit, by number.
    pub fn pads_of(&self, unit: usize) -> impl Iterator<Item = usize> + '_ {
        (0..self.pads.len()).filter(move |pad| self.pads[*pad].unit == unit)
    }
    /// The unit at a place.
    pub fn unit_at(&self, place: &PlaceId) -> Option<usize> {
        self.units.iter().position(|unit| &unit.place == place)
    }
    /// The unit of a port.
    pub fn unit_of_port(&self, port: usize) -> &WiredUnit {
        &self.units[self.ports[port].unit]
    }
    /// Whether any wire is entered.
    pub fn is_wired(&self) -> bool {
        !self.wires.is_empty()
    }
    /// Ports that others hang on: those of flight controllers and boards that are both.
    pub fn is_controller(&self, unit: usize) -> bool {
        matches!(self.units[unit].kind, PartKind::FlightController | PartKind::IntegratedBoard)
    }
    /// The pads at which a supply meets a signal, ground or another supply.
    fn miswired_pads(&self) -> impl Iterator<Item = usize> {
        self.nets.nets().iter().flat_map(|net| self.nets.faults_in(net)).flat_map(|fault| match fault {
            NetFault::SupplyOnSignal { supply: a, signal: b }
            | NetFault::SupplyOnGround { supply: a, ground: b }
            | NetFault::SuppliesMeet { a, b } => vec![a, b],
            _ => Vec::new(),
        })
    }
    /// Whether a supply meets a signal, ground or another supply at one of the pads of a unit.
    pub fn is_miswired(&self, unit: usize) -> bool {
        self.miswired_pads().any(|pad| self.pads[pad].unit == unit)
    }
    /// The first part, from one up to the pack, whose own supply pad meets ground, a signal or another supply: nothing behind it lives.
    pub fn miswired_feed(&self, unit: usize) -> Option<usize> {
        let wrong: Vec<usize> = self.miswired_pads().collect();
        let (mut at, mut passed) = (unit, Vec::new());
        while !passed.contains(&at) {
            let inputs = || self.pads_of(at).filter(|pad| self.pads[*pad].role == Some(Role::SupplyIn));
            if inputs().any(|pad| wrong.contains(&pad)) {
                return Some(at);
            }
            passed.push(at);
            at = self.pads[inputs().find_map(|fed| self.source_of(fed))?].unit;
        }
        None
    }
    /// The pad that gives a supply pad its voltage: one of another part in its net.
    pub fn source_of(&self, fed: usize) -> Option<usize> {
        let net = &self.nets.nets()[self.nets.net_of(fed)?];
        let gives = |pad: &usize| {
            self.pads[*pad].role == Some(Role::SupplyOut) && self.pads[*pad].unit != self.pads[fed].unit
        };
        net.pads.iter().copied().find(gives)
    }
    /// The wires that join two pads, or any two pads of their nets.
    pub fn wires_at(&self, pad: usize) -> impl Iterator<Item = &WireRow> {
        self.wires.iter().filter(move |wire| wire.joins.iter().any(|join| join.contains(&pad)))
    }
}

/// What a port of a controller is set to for a kind of part.
pub fn function_of(kind: PartKind) -> &'static str {
    match kind {
        PartKind::VideoTransmitter => "video",
        PartKind::ControlReceiver => "control receiver",
        PartKind::Gnss => "satellite receiver",
        PartKind::SpeedController => "speed telemetry",
        _ => "other",
    }
}
