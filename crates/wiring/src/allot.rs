//! Which peripheral gets which port? Exactly, or the smallest set of wants that cannot be met together.
//!
//! A port brings out a line to send and a line to receive; a want takes one or both. Two wants may share a port where they
//! take different lines, at one rate and one idle level: a sensor that only talks may sit on the spare line of a port that
//! only talks itself. Levels, inverters and rates must suit. Among all allotments the one of least cost is given: full ports
//! are kept from half jobs (2 each), ports with an inverter from those who need none (1 each); of equal ones the first in
//! order. The search tries ports want by want, the want with fewest ports first, and leaves a branch whose cost plus the
//! least cost of what is open is no better than the best found. If there is none, subsets are tried by size, so that the
//! first that fails is a smallest one. Held against a constraint solver in `conformance/wiring`.

use crate::WiringFault;
use crate::serial::V_IH;
use quantity::{Baud, Volts};

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
        /// A largest set of wants that can, each with its port.
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
    let most = (0..wants.len())
        .rev()
        .find_map(|size| {
            of_size(size).find_map(|set| best(ports, wants, &set).map(|(found, _)| (set, found)))
        })
        .map(|(set, found)| set.into_iter().zip(found).collect())
        .unwrap_or_default();
    Ok(Allotment::Short { core, most })
}

/// The cheapest allotment of some wants: the port of each, in their order.
fn best(ports: &[Port], wants: &[Want], of: &[usize]) -> Option<(Vec<usize>, u32)> {
    let suited: Vec<Vec<(u32, usize)>> = of
        .iter()
        .map(|want| {
            let mut list: Vec<(u32, usize)> = (0..ports.len())
                .filter(|port| suits(&ports[*port], &wants[*want]).is_ok())
                .map(|port| (cost_of(&ports[port], &wants[*want]), port))
                .collect();
            list.sort_unstable();
            list
        })
        .collect();
    for takes in [|lines: Lines| lines.send, |lines: Lines| lines.receive] {
        let on_line: Vec<&[(u32, usize)]> = of
            .iter()
            .zip(&suited)
            .filter(|(want, _)| takes(wants[**want].lines))
            .map(|(_, list)| &list[..])
            .collect();
        if !lines_suffice(&on_line, ports.len()) {
            return None;
        }
    }
    let mut order: Vec<usize> = (0..of.len()).collect();
    order.sort_by_key(|at| (suited[*at].len(), *at));
    // The least that the wants from each step on can cost.
    let mut open = vec![0; of.len() + 1];
    for step in (0..of.len()).rev() {
        open[step] = open[step + 1] + suited[order[step]].first()?.0;
    }
    let mut search = Search {
        ports,
        wants,
        of,
        suited: &suited,
        order: &order,
        open: &open,
        on: vec![Vec::new(); ports.len()],
        given: vec![0; of.len()],
        best: None,
    };
    search.step(0, 0);
    search.best
}

/// Whether each want can have a line of its own of one sort: a matching by augmenting paths. No allotment without it, and
/// it ends at once the long search where there are simply too few ports.
fn lines_suffice(suited: &[&[(u32, usize)]], ports: usize) -> bool {
    fn give(want: usize, suited: &[&[(u32, usize)]], has: &mut [Option<usize>], seen: &mut [bool]) -> bool {
        suited[want].iter().any(|(_, port)| {
            if std::mem::replace(&mut seen[*port], true) {
                return false;
            }
            let free = has[*port].is_none_or(|other| give(other, suited, has, seen));
            if free {
                has[*port] = Some(want);
            }
            free
        })
    }
    let mut has = vec![None; ports];
    (0..suited.len()).all(|want| give(want, suited, &mut has, &mut vec![false; ports]))
}

struct Search<'a> {
    ports: &'a [Port],
    wants: &'a [Want],
    of: &'a [usize],
    suited: &'a [Vec<(u32, usize)>],
    order: &'a [usize],
    open: &'a [u32],
    on: Vec<Vec<usize>>,
    given: Vec<usize>,
    best: Option<(Vec<usize>, u32)>,
}

impl Search<'_> {
    fn step(&mut self, step: usize, cost: u32) {
        // Beaten already: of equal ones the first found stays, so that the answer is the same every time.
        if self.best.as_ref().is_some_and(|(_, least)| cost + self.open[step] >= *least) {
            return;
        }
        let Some(at) = self.order.get(step).copied() else {
            self.best = Some((self.given.clone(), cost));
            return;
        };
        let want = self.of[at];
        let suited = self.suited;
        for (number, (more, port)) in suited[at].iter().enumerate() {
            let alone = self.on[*port].is_empty();
            let shares = |other: &usize| may_share(&self.wants[*other], &self.wants[want]);
            if !self.on[*port].iter().all(shares) {
                continue;
            }
            // Two empty ports that are alike lead to like answers: the first will do.
            let like =
                |other: usize| alone && self.on[other].is_empty() && self.ports[other] == self.ports[*port];
            if suited[at][..number].iter().any(|(_, other)| like(*other)) {
                continue;
            }
            self.on[*port].push(want);
            self.given[at] = *port;
            self.step(step + 1, cost + more);
            self.on[*port].pop();
        }
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    const FULL: Port = Port { lines: Lines::BOTH, inverts: false, level: None, stands: None, rate_max: None };
    const TALKS: Want = Want {
        lines: Lines { send: false, receive: true },
        inverted: false,
        level: None,
        stands: None,
        rate: None,
    };
    const BOTH: Want = Want { lines: Lines::BOTH, ..TALKS };

    #[test]
    fn a_half_job_goes_to_a_half_port() {
        let half = Port { lines: Lines { send: false, receive: true }, ..FULL };
        let found = allot(&[FULL, half], &[TALKS]).unwrap();
        assert_eq!(found, Allotment::All { ports: vec![1], spare: vec![0], cost: 0 });
    }

    #[test]
    fn the_inverter_is_kept_for_who_needs_it() {
        let inverter = Port { inverts: true, ..FULL };
        let low = Want { inverted: true, ..BOTH };
        let found = allot(&[inverter, FULL], &[BOTH, low]).unwrap();
        assert_eq!(found, Allotment::All { ports: vec![1, 0], spare: vec![], cost: 0 });
    }

    #[test]
    fn three_on_two_ports_name_themselves() {
        let found = allot(&[FULL, FULL], &[BOTH, BOTH, BOTH]).unwrap();
        assert_eq!(found, Allotment::Short { core: vec![0, 1, 2], most: vec![(0, 0), (1, 1)] });
    }

    #[test]
    fn the_core_leaves_out_who_is_not_to_blame() {
        let low = Want { inverted: true, ..BOTH };
        let found = allot(&[FULL, FULL], &[BOTH, low]).unwrap();
        assert!(matches!(found, Allotment::Short { core, .. } if core == [1]));
    }

    #[test]
    fn two_half_jobs_of_one_rate_share_a_port() {
        let rate = Some(Baud::new(115_200.0));
        let listens = Want { lines: Lines { send: true, receive: false }, rate, ..TALKS };
        let talks = Want { rate, ..TALKS };
        assert!(matches!(allot(&[FULL], &[listens, talks]).unwrap(), Allotment::All { .. }));
        let other = Want { rate: Some(Baud::new(9600.0)), ..TALKS };
        assert!(matches!(allot(&[FULL], &[listens, other]).unwrap(), Allotment::Short { .. }));
    }

    #[test]
    fn more_than_the_search_takes_is_told() {
        let told = allot(&[FULL], &[BOTH; 13]).unwrap_err().to_string();
        assert_eq!(told, "13 peripherals must be at most 12; leave out those that are not wanted");
    }

    #[test]
    fn twelve_on_eleven_unlike_ports_are_told_at_once() {
        let ports: Vec<Port> =
            (0..11).map(|n| Port { rate_max: Some(Baud::new(1e6 + f64::from(n))), ..FULL }).collect();
        assert!(
            matches!(allot(&ports, &[BOTH; 12]).unwrap(), Allotment::Short { core, .. } if core.len() == 12)
        );
    }

    fn ports() -> impl Strategy<Value = Vec<Port>> {
        let port = (0u8..3, any::<bool>(), prop::bool::ANY).prop_map(|(lines, inverts, five)| Port {
            lines: Lines { send: lines != 1, receive: lines != 0 },
            inverts,
            level: Some(Volts::new(3.3)),
            stands: Some(Volts::new(if five { 5.5 } else { 3.6 })),
            rate_max: Some(Baud::new(500_000.0)),
        });
        prop::collection::vec(port, 0..5)
    }
    fn wants() -> impl Strategy<Value = Vec<Want>> {
        let want = (0u8..3, prop::bool::weighted(0.2), prop::bool::weighted(0.2), 0usize..3).prop_map(
            |(lines, inverted, five, rate)| Want {
                lines: Lines { send: lines != 1, receive: lines != 0 },
                inverted,
                level: Some(Volts::new(if five { 5.0 } else { 3.3 })),
                stands: Some(Volts::new(5.5)),
                rate: Some(Baud::new([9600.0, 115_200.0, 420_000.0][rate])),
            },
        );
        prop::collection::vec(want, 0..6)
    }

    /// Every way there is, tried one after the other.
    fn slow(ports: &[Port], wants: &[Want], of: &[usize]) -> Option<u32> {
        fn go(ports: &[Port], wants: &[Want], of: &[usize], given: &mut Vec<usize>) -> Option<u32> {
            let Some(want) = of.get(given.len()).map(|want| &wants[*want]) else { return Some(0) };
            let mut least = None;
            for port in 0..ports.len() {
                let sharing = given
                    .iter()
                    .zip(of)
                    .all(|(taken, other)| *taken != port || may_share(&wants[*other], want));
                if suits(&ports[port], want).is_ok() && sharing {
                    given.push(port);
                    let rest = go(ports, wants, of, given).map(|rest| rest + cost_of(&ports[port], want));
                    given.pop();
                    least = [least, rest].into_iter().flatten().min();
                }
            }
            least
        }
        go(ports, wants, of, &mut Vec::new())
    }

    proptest! {
        #[test]
        fn nothing_cheaper_exists_and_no_smaller_core(ports in ports(), wants in wants()) {
            let all: Vec<usize> = (0..wants.len()).collect();
            match allot(&ports, &wants).unwrap() {
                Allotment::All { ports: given, cost, .. } => {
                    prop_assert_eq!(slow(&ports, &wants, &all), Some(cost));
                    let told: u32 = given.iter().zip(&wants).map(|(port, want)| cost_of(&ports[*port], want)).sum();
                    prop_assert_eq!(told, cost);
                }
                Allotment::Short { core, most } => {
                    prop_assert_eq!(slow(&ports, &wants, &all), None);
                    prop_assert_eq!(slow(&ports, &wants, &core), None);
                    for leave in 0..core.len() {
                        let mut less = core.clone();
                        less.remove(leave);
                        prop_assert!(slow(&ports, &wants, &less).is_some());
                    }
                    prop_assert!(most.len() < wants.len());
                }
            }
        }
    }
}
