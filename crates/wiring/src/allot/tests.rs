//! Allotments held against every way there is, tried one after the other.
#![allow(clippy::unwrap_used)]

use super::*;
use proptest::prelude::*;

const FULL: Port = Port { lines: Lines::BOTH, inverts: false, level: None, stands: None, rate_max: None };
const TALKS: Want = Want {
    lines: Lines { send: false, receive: true },
    inverted: false,
    level: None,
    stands: None,
    rate: None,
    kept: false,
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
fn what_is_kept_is_given_up_last() {
    let rate = Some(Baud::new(115_200.0));
    let kept = Want { kept: true, ..BOTH };
    let listens = Want { lines: Lines { send: true, receive: false }, rate, ..TALKS };
    let talks = Want { rate, ..TALKS };
    // Two that share the port are more than one, but the one is kept.
    let found = allot(&[FULL], &[listens, talks, kept]).unwrap();
    assert_eq!(found, Allotment::Short { core: vec![0, 2], most: vec![(2, 0)] });
    // What no port suits is not kept for the sake of it.
    let low = Want { inverted: true, kept: true, ..BOTH };
    let found = allot(&[FULL], &[low, BOTH]).unwrap();
    assert_eq!(found, Allotment::Short { core: vec![0], most: vec![(1, 0)] });
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
    assert!(matches!(allot(&ports, &[BOTH; 12]).unwrap(), Allotment::Short { core, .. } if core.len() == 12));
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
    let want =
        (0u8..3, prop::bool::weighted(0.2), prop::bool::weighted(0.2), 0usize..3, prop::bool::weighted(0.3))
            .prop_map(|(lines, inverted, five, rate, kept)| Want {
                kept,
                lines: Lines { send: lines != 1, receive: lines != 0 },
                inverted,
                level: Some(Volts::new(if five { 5.0 } else { 3.3 })),
                stands: Some(Volts::new(5.5)),
                rate: Some(Baud::new([9600.0, 115_200.0, 420_000.0][rate])),
            });
    prop::collection::vec(want, 0..6)
}

/// Every way there is, tried one after the other.
fn slow(ports: &[Port], wants: &[Want], of: &[usize]) -> Option<u32> {
    fn go(ports: &[Port], wants: &[Want], of: &[usize], given: &mut Vec<usize>) -> Option<u32> {
        let Some(want) = of.get(given.len()).map(|want| &wants[*want]) else { return Some(0) };
        let mut least = None;
        for port in 0..ports.len() {
            let sharing =
                given.iter().zip(of).all(|(taken, other)| *taken != port || may_share(&wants[*other], want));
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
                let told: Vec<usize> = most.iter().map(|(want, _)| *want).collect();
                prop_assert!(slow(&ports, &wants, &told).is_some());
                // Nothing that can be had holds more of the kept, nor as many and more in all.
                let worth = |set: &[usize]| (set.iter().filter(|want| wants[**want].kept).count(), set.len());
                for set in 0u32..1 << wants.len() {
                    let set: Vec<usize> = all.iter().copied().filter(|want| set >> want & 1 == 1).collect();
                    prop_assert!(worth(&set) <= worth(&told) || slow(&ports, &wants, &set).is_none());
                }
            }
        }
    }
}
