//! Nets: which pads one piece of copper joins, and what is wrong in each.
//!
//! A net is a set of pads connected by wires; pads inside a part are not joined here (ground is: see `ground.rs`). In a net
//! of signals exactly one pad may drive and at least one must listen; two that drive fight, two that listen hear nothing. A
//! supply may meet no signal and no ground, and two supplies may not meet. A receiver must stand the level it is driven at,
//! and must see it as high. Common practice of the trade and elementary logic; levels: see [`LEVEL_SOURCE`](crate::LEVEL_SOURCE).

use crate::serial::V_IH;
use crate::{Pad, Role, WiringFault};
use quantity::Volts;

/// A wire from pad to pad, by number.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Join {
    /// One end.
    pub from: usize,
    /// The other end.
    pub to: usize,
}

/// Pads in one piece of copper, by number and in order.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Net {
    /// Its pads, at least two.
    pub pads: Vec<usize>,
}

/// All pads with the wires between them.
#[derive(Clone, Debug, PartialEq)]
pub struct Wiring {
    pads: Vec<Pad>,
    joins: Vec<Join>,
    nets: Vec<Net>,
    of_pad: Vec<Option<usize>>,
}

/// What is wrong in a net. Pads by number.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum NetFault {
    /// Two that talk are joined, and nobody listens.
    SendersMeet {
        /// One.
        a: usize,
        /// The other.
        b: usize,
    },
    /// Two that listen are joined, and nobody talks.
    ReceiversMeet {
        /// One.
        a: usize,
        /// The other.
        b: usize,
    },
    /// Two that talk fight over one that listens.
    TwoDrivers {
        /// One.
        a: usize,
        /// The other.
        b: usize,
        /// Who listens.
        to: usize,
    },
    /// A supply on a signal.
    SupplyOnSignal {
        /// The supply.
        supply: usize,
        /// The signal.
        signal: usize,
    },
    /// A supply on ground.
    SupplyOnGround {
        /// The supply.
        supply: usize,
        /// The ground.
        ground: usize,
    },
    /// Two supplies feed each other.
    SuppliesMeet {
        /// One.
        a: usize,
        /// The other.
        b: usize,
    },
    /// A signal on ground.
    SignalOnGround {
        /// The signal.
        signal: usize,
        /// The ground.
        ground: usize,
    },
    /// A level above what the input stands.
    LevelTooHigh {
        /// Who drives.
        driver: usize,
        /// Who listens.
        receiver: usize,
        /// The level.
        level: Volts,
        /// What the input stands.
        stands: Volts,
    },
    /// A level too low to be seen as high.
    LevelTooLow {
        /// Who drives.
        driver: usize,
        /// Who listens.
        receiver: usize,
        /// The level.
        level: Volts,
    },
    /// A level above 3.6 V at an input whose tolerance nobody has said.
    StandsUnsaid {
        /// Who drives.
        driver: usize,
        /// Who listens.
        receiver: usize,
        /// The level.
        level: Volts,
    },
}

/// What an input of 3.3 V stands where nothing else is said: nothing above its supply and a little.
const ORDINARY_STANDS: f64 = 3.6;

impl Wiring {
    /// Joins the pads by the wires.
    pub fn new(pads: Vec<Pad>, joins: Vec<Join>) -> Result<Self, WiringFault> {
        let count = pads.len();
        for (wire, join) in joins.iter().enumerate() {
            if let Some(pad) = [join.from, join.to].into_iter().find(|pad| *pad >= count) {
                return Err(WiringFault::NoPad { wire, pad, pads: count });
            }
        }
        let mut root: Vec<usize> = (0..count).collect();
        for join in &joins {
            let (a, b) = (find(&mut root, join.from), find(&mut root, join.to));
            // The lesser number leads, so that nets come in the order of their first pads.
            root[a.max(b)] = a.min(b);
        }
        let mut nets: Vec<Net> = Vec::new();
        let mut of_root: Vec<Option<usize>> = vec![None; count];
        let mut of_pad = vec![None; count];
        let mut members: Vec<usize> = vec![0; count];
        for pad in 0..count {
            let lead = find(&mut root, pad);
            members[lead] += 1;
        }
        for (pad, slot) in of_pad.iter_mut().enumerate() {
            let lead = find(&mut root, pad);
            if members[lead] < 2 {
                continue;
            }
            let net = *of_root[lead].get_or_insert_with(|| {
                nets.push(Net { pads: Vec::new() });
                nets.len() - 1
            });
            nets[net].pads.push(pad);
            *slot = Some(net);
        }
        Ok(Self { pads, joins, nets, of_pad })
    }

    /// All pads.
    pub fn pads(&self) -> &[Pad] {
        &self.pads
    }
    /// All wires.
    pub fn joins(&self) -> &[Join] {
        &self.joins
    }
    /// All nets of two pads and more.
    pub fn nets(&self) -> &[Net] {
        &self.nets
    }
    /// The net of a pad, if a wire is on it.
    pub fn net_of(&self, pad: usize) -> Option<usize> {
        self.of_pad.get(pad).copied().flatten()
    }
    /// Whether two pads are one piece of copper.
    pub fn joined(&self, a: usize, b: usize) -> bool {
        a == b || (self.net_of(a).is_some() && self.net_of(a) == self.net_of(b))
    }

    fn role(&self, pad: usize) -> Option<Role> {
        self.pads[pad].role
    }

    /// Everything wrong in one net. Pads of which nobody has said what they do take no part.
    pub fn faults_in(&self, net: &Net) -> Vec<NetFault> {
        let with = |wanted: &dyn Fn(Role) -> bool| -> Vec<usize> {
            net.pads.iter().copied().filter(|pad| self.role(*pad).is_some_and(wanted)).collect()
        };
        let drivers = with(&Role::drives);
        let listeners = with(&Role::listens);
        let either = with(&|role| matches!(role, Role::HalfDuplex | Role::OneWire | Role::Bus));
        let signals = with(&Role::is_signal);
        let grounds = with(&|role| role == Role::Ground);
        let out = with(&|role| role == Role::SupplyOut);
        let supplies = with(&Role::is_supply);
        let mut found = Vec::new();
        let unknown = net.pads.iter().any(|pad| self.role(*pad).is_none());
        match (drivers.as_slice(), listeners.as_slice()) {
            ([a, b, ..], []) if either.is_empty() && !unknown => {
                found.push(NetFault::SendersMeet { a: *a, b: *b });
            }
            ([a, b, ..], [to, ..]) => found.push(NetFault::TwoDrivers { a: *a, b: *b, to: *to }),
            ([a, b, ..], []) => {
                found.push(NetFault::TwoDrivers { a: *a, b: *b, to: either.first().copied().unwrap_or(*a) })
            }
            ([], [a, b, ..])
                if either.is_empty() && !unknown && supplies.is_empty() && grounds.is_empty() =>
            {
                found.push(NetFault::ReceiversMeet { a: *a, b: *b });
            }
            _ => {}
        }
        if let (Some(supply), Some(signal)) = (supplies.first(), signals.first()) {
            found.push(NetFault::SupplyOnSignal { supply: *supply, signal: *signal });
        }
        if let (Some(supply), Some(ground)) = (supplies.first(), grounds.first()) {
            found.push(NetFault::SupplyOnGround { supply: *supply, ground: *ground });
        }
        if let (Some(signal), Some(ground)) = (signals.first(), grounds.first()) {
            found.push(NetFault::SignalOnGround { signal: *signal, ground: *ground });
        }
        if let [a, b, ..] = out.as_slice() {
            found.push(NetFault::SuppliesMeet { a: *a, b: *b });
        }
        for driver in drivers.iter().chain(&either) {
            let Some(level) = self.pads[*driver].level.high else { continue };
            for receiver in listeners.iter().chain(&either).filter(|pad| *pad != driver) {
                let (driver, receiver) = (*driver, *receiver);
                match self.pads[receiver].level.stands {
                    Some(stands) if level.get() > stands.get() + 1e-9 => {
                        found.push(NetFault::LevelTooHigh { driver, receiver, level, stands });
                    }
                    None if level.get() > ORDINARY_STANDS => {
                        found.push(NetFault::StandsUnsaid { driver, receiver, level });
                    }
                    _ if level.get() < V_IH => found.push(NetFault::LevelTooLow { driver, receiver, level }),
                    _ => {}
                }
            }
        }
        found
    }
}

fn find(root: &mut [usize], mut pad: usize) -> usize {
    while root[pad] != pad {
        root[pad] = root[root[pad]];
        pad = root[pad];
    }
    pad
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use crate::Level;
    use proptest::prelude::*;

    fn pad(owner: usize, role: Role) -> Pad {
        let level = Level { high: Some(Volts::new(3.3)), stands: Some(Volts::new(3.6)) };
        Pad { owner, role: Some(role), level, port: None }
    }

    fn faults(roles: &[Role]) -> Vec<NetFault> {
        let pads: Vec<Pad> = roles.iter().enumerate().map(|(n, role)| pad(n, *role)).collect();
        let joins = (1..pads.len()).map(|to| Join { from: 0, to }).collect();
        let wiring = Wiring::new(pads, joins).unwrap();
        wiring.faults_in(&wiring.nets()[0])
    }

    #[test]
    fn send_to_receive_is_sound() {
        assert_eq!(faults(&[Role::Send, Role::Receive]), []);
        assert_eq!(faults(&[Role::Send, Role::Receive, Role::Receive]), []);
        assert_eq!(faults(&[Role::HalfDuplex, Role::HalfDuplex]), []);
    }

    #[test]
    fn two_that_talk_and_two_that_listen_are_crossed() {
        assert_eq!(faults(&[Role::Send, Role::Send]), [NetFault::SendersMeet { a: 0, b: 1 }]);
        assert_eq!(faults(&[Role::Receive, Role::Receive]), [NetFault::ReceiversMeet { a: 0, b: 1 }]);
        assert_eq!(
            faults(&[Role::Send, Role::Receive, Role::Send]),
            [NetFault::TwoDrivers { a: 0, b: 2, to: 1 }]
        );
    }

    #[test]
    fn a_supply_meets_neither_signal_nor_ground_nor_another() {
        assert_eq!(
            faults(&[Role::SupplyOut, Role::Receive]),
            [NetFault::SupplyOnSignal { supply: 0, signal: 1 }]
        );
        assert_eq!(
            faults(&[Role::SupplyOut, Role::Ground]),
            [NetFault::SupplyOnGround { supply: 0, ground: 1 }]
        );
        assert_eq!(faults(&[Role::SupplyOut, Role::SupplyOut]), [NetFault::SuppliesMeet { a: 0, b: 1 }]);
        assert_eq!(faults(&[Role::SupplyOut, Role::SupplyIn, Role::SupplyIn]), []);
    }

    #[test]
    fn five_volts_are_too_much_for_an_input_of_three() {
        let level = |volts: f64, stands: Option<f64>| {
            let mut pads = vec![pad(0, Role::Send), pad(1, Role::Receive)];
            pads[0].level.high = Some(Volts::new(volts));
            pads[1].level.stands = stands.map(Volts::new);
            let wiring = Wiring::new(pads, vec![Join { from: 0, to: 1 }]).unwrap();
            wiring.faults_in(&wiring.nets()[0])
        };
        assert!(matches!(level(5.0, Some(3.6)).as_slice(), [NetFault::LevelTooHigh { .. }]));
        assert!(matches!(level(5.0, None).as_slice(), [NetFault::StandsUnsaid { .. }]));
        assert!(matches!(level(1.8, Some(3.6)).as_slice(), [NetFault::LevelTooLow { .. }]));
        assert_eq!(level(5.0, Some(5.5)), []);
        assert_eq!(level(3.3, None), []);
    }

    #[test]
    fn a_wire_to_no_pad_is_told() {
        let told = Wiring::new(vec![pad(0, Role::Send)], vec![Join { from: 0, to: 4 }]).unwrap_err();
        assert_eq!(told.to_string(), "wire 0 ends at pad 4, and there are 1; join it to a pad that is there");
    }

    fn drawn() -> impl Strategy<Value = (Vec<Pad>, Vec<Join>)> {
        (2usize..14).prop_flat_map(|count| {
            let pads = prop::collection::vec((0usize..5, 0usize..13), count)
                .prop_map(|pads| pads.into_iter().map(|(n, r)| pad(n, Role::ALL[r])).collect());
            let joins = prop::collection::vec((0..count, 0..count), 0..16)
                .prop_map(|joins| joins.into_iter().map(|(from, to)| Join { from, to }).collect());
            (pads, joins)
        })
    }

    proptest! {
        #[test]
        fn nets_part_the_pads_and_hold_every_wire((pads, joins) in drawn()) {
            let wiring = Wiring::new(pads, joins.clone()).unwrap();
            for join in &joins {
                prop_assert!(wiring.joined(join.from, join.to));
            }
            let total: usize = wiring.nets().iter().map(|net| net.pads.len()).sum();
            let mut seen: Vec<usize> = wiring.nets().iter().flat_map(|net| net.pads.clone()).collect();
            seen.sort_unstable();
            seen.dedup();
            prop_assert_eq!(seen.len(), total);
            prop_assert!(wiring.nets().iter().all(|net| net.pads.len() > 1));
        }

        #[test]
        fn the_order_and_the_way_of_wires_change_nothing((pads, joins) in drawn()) {
            let one = Wiring::new(pads.clone(), joins.clone()).unwrap();
            let turned = joins.iter().rev().map(|join| Join { from: join.to, to: join.from }).collect();
            let other = Wiring::new(pads, turned).unwrap();
            prop_assert_eq!(one.nets(), other.nets());
            for net in one.nets() {
                prop_assert_eq!(one.faults_in(net), other.faults_in(net));
            }
        }
    }
}
