//! Which peripheral gets which port? Exactly, or the smallest set of wants that cannot be met together.
//!
//! A port brings out a line to send and a line to receive; a want takes one or both. Two wants may share a port where they
//! take different lines, at one rate and one idle level: a sensor that only talks may sit on the spare line of a port that
//! only talks itself. Levels, inverters and rates must suit. Among all allotments the one of least cost is given: full ports
//! are kept from half jobs (2 each), ports with an inverter from those who need none (1 each); of equal ones the first in
//! order. The search tries ports want by want, the want with fewest ports first, and leaves a branch whose cost plus the
//! least cost of what is open is no better than the best found. If there is none, subsets are tried by size, so that the
//! first that fails is a smallest one; what is given up is the least that leaves everything that is kept at any price. Held against a constraint solver in `conformance/wiring`.

mod search;

use crate::WiringFault;
use crate::serial::V_IH;
use quantity::{Baud, Volts};
use search::best;

/// The most wants the exact search takes.
pub const WANTS_MOST: usize = 12;
/// The most ports the exact search takes.
pub const PORTS_MOST: usize = 16;

/// Lines of a port.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Lines {
    /// Toward the peripheral.
    pub send: bool,
    /// From the peripheral.
    pub receive: bool,
}

impl Lines {
    /// Both ways.
    pub const BOTH: Lines = Lines { send: true, receive: true };
    const fn half(self) -> bool {
        self.send != self.receive
    }
    const fn within(self, other: Lines) -> bool {
        self.send <= other.send && self.receive <= other.receive
    }
    const fn clear_of(self, other: Lines) -> bool {
        !(self.send && other.send || self.receive && other.receive)
    }
}

/// A port of a controller.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Port {
    /// The lines brought out.
    pub lines: Lines,
    /// Whether it can invert.
    pub inverts: bool,
    /// The level it drives.
    pub level: Option<Volts>,
    /// What its input stands.
    pub stands: Option<Volts>,
    /// The highest rate it keeps up with.
    pub rate_max: Option<Baud>,
}

/// What a peripheral wants, in the lines of the controller.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Want {
    /// The lines it takes.
    pub lines: Lines,
    /// Whether its lines idle low.
    pub inverted: bool,
    /// The level it drives.
    pub level: Option<Volts>,
    /// What its input stands.
    pub stands: Option<Volts>,
    /// Its rate.
    pub rate: Option<Baud>,
    /// Whether it is given up last, however many others that costs: a craft is not flown without it.
    pub kept: bool,
}

/// Why a port does not suit a want.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Unsuited {
    /// A line is not brought out.
    NoLine,
    /// It cannot invert.
    NoInverter,
    /// One end drives the other beyond what it stands, or too low to be seen.
    Level,
    /// It does not keep up.
    TooFast,
}

/// Who gets what.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Allotment {
    /// Everybody gets a port.
    All {
        /// The port of each want, in their order.
        ports: Vec<usize>,
        /// The ports that are left whole.
        spare: Vec<usize>,
        /// The cost: see the head of the file.
        cost: u32,
    },
    /// Not everybody can.
    Short {
        /// A smallest set of wants that cannot be met together.
        core: Vec<usize>,
        /// A largest set of wants that can, each with its port: of those that hold as many of the kept as can be had.
        most: Vec<(usize, usize)>,
    },
}

/// Whether a port suits a want.
pub fn suits(port: &Port, want: &Want) -> Result<(), Unsuited> {
    if !want.lines.within(port.lines) {
        return Err(Unsuited::NoLine);
    }
    if want.inverted && !port.inverts {
        return Err(Unsuited::NoInverter);
    }
    let driven = |level: Option<Volts>, stands: Option<Volts>| match (level, stands) {
        (Some(level), _) if level.get() < V_IH => false,
        (Some(level), Some(stands)) => level.get() <= stands.get() + 1e-9,
        _ => true,
    };
    let there = !want.lines.send || driven(port.level, want.stands);
    let back = !want.lines.receive || driven(want.level, port.stands);
    if !(there && back) {
        return Err(Unsuited::Level);
    }
    match (want.rate, port.rate_max) {
        (Some(rate), Some(most)) if rate > most => Err(Unsuited::TooFast),
        _ => Ok(()),
    }
}

/// What it costs to give a want this port.
pub fn cost_of(port: &Port, want: &Want) -> u32 {
    let wasted = u32::from(want.lines.half() && !port.lines.half());
    let inverter = u32::from(port.inverts && !want.inverted);
    2 * wasted + inverter
}

/// Whether two wants may share a port.
fn may_share(a: &Want, b: &Want) -> bool {
    a.lines.clear_of(b.lines) && a.inverted == b.inverted && a.rate.is_some() && a.rate == b.rate
}

/// Allots ports to wants.
pub fn allot(ports: &[Port], wants: &[Want]) -> Result<Allotment, WiringFault> {
    for (what, count, most) in [("peripherals", wants.len(), WANTS_MOST), ("ports", ports.len(), PORTS_MOST)]
    {
        if count > most {
            return Err(WiringFault::TooMany { what, count, most });
        }
    }
    let all: Vec<usize> = (0..wants.len()).collect();
    if let Some((found, cost)) = best(ports, wants, &all) {
        let taken = |port: &usize| !found.contains(port);
        let spare = (0..ports.len()).filter(taken).collect();
        return Ok(Allotment::All { ports: found, spare, cost });
    }
    let of_size = |size: usize| {
        (0u32..1 << wants.len())
            .filter(move |set| set.count_ones() as usize == size)
            .map(|set| (0..wants.len()).filter(|want| set >> want & 1 == 1).collect::<Vec<usize>>())
    };
    let fails = |set: &Vec<usize>| best(ports, wants, set).is_none();
    let core = (1..=wants.len()).find_map(|size| of_size(size).find(fails)).unwrap_or_default();
    let kept = |set: &[usize]| set.iter().filter(|want| wants[**want].kept).count();
    let most = (0..=kept(&all))
        .rev()
        .flat_map(|held| (0..wants.len()).rev().map(move |size| (held, size)))
        .find_map(|(held, size)| {
            let mut sets = of_size(size).filter(|set| kept(set) == held);
            sets.find_map(|set| best(ports, wants, &set).map(|(found, _)| (set, found)))
        })
        .map(|(set, found)| set.into_iter().zip(found).collect())
        .unwrap_or_default();
    Ok(Allotment::Short { core, most })
}

#[cfg(test)]
mod tests;
