//! Serial lines: how two ports stand to each other, and how far two rates may differ.
//!
//! A frame is a start bit, D data bits and a stop bit: 10 bit times for 8 data bits. A receiver that samples S times a bit
//! holds a frame as long as the sender is not slower than (D+1)·S/(S−1+D·S+S_F) and not faster than
//! (D+2)·S/((D+1)·S+S_M) of its own rate; S = 16, S_F = 8, S_M = 9. Between two ports each line goes from send to receive.

use crate::Wiring;
use crate::pad::Role;
use quantity::{Baud, Grade, Hertz, Measure, Source};

/// Where the limits of rates come from.
pub const FRAME_SOURCE: Source = Source {
    title: "Receiver error tables of two makers of microcontrollers",
    place: "asynchronous operational range, 8 data bits, 16 samples a bit: 95.36 to 104.58 %; ±2.0 % recommended",
    grade: Grade::PublishedValue,
};
/// Where the logic levels come from.
pub const LEVEL_SOURCE: Source = Source {
    title: "JESD8C",
    place: "3.3 V LVCMOS: low up to 0.8 V, high from 2.0 V",
    grade: Grade::PublishedValue,
};

/// From here an input of 3.3 V logic reads high: [`LEVEL_SOURCE`].
pub(crate) const V_IH: f64 = 2.0;
/// Beyond this share two rates garble each other, whichever is the faster: [`FRAME_SOURCE`].
pub const RATE_BROKEN: f64 = 0.0454;
/// Beyond this share makers advise against it: [`FRAME_SOURCE`].
pub const RATE_TIGHT: f64 = 0.02;

/// The slowest and the fastest sender a receiver holds, as shares of its own rate, for frames of so many data bits.
pub fn rate_limits(data_bits: u32) -> (f64, f64) {
    let (d, s, first, middle) = (f64::from(data_bits), 16.0, 8.0, 9.0);
    ((d + 1.0) * s / (s - 1.0 + d * s + first), (d + 2.0) * s / ((d + 1.0) * s + middle))
}

/// By which share one rate is off another; `None` where either is nought or less.
pub fn rate_off(set: Baud, wanted: Baud) -> Option<f64> {
    (set.get() > 0.0 && wanted.get() > 0.0).then(|| set.get() / wanted.get() - 1.0)
}

/// The whole divisor nearest to a rate for a clock sampled 16 times a bit, and by which share the rate is then off.
pub fn divided_rate(clock: Hertz, wanted: Baud) -> Option<(u32, f64)> {
    if !(clock.raw() > 0.0 && wanted.get() > 0.0) {
        return None;
    }
    let exact = clock.raw() / 16.0 / wanted.get();
    let divisor = exact.round().clamp(1.0, f64::from(u32::MAX));
    Some((divisor as u32, exact / divisor - 1.0))
}

/// How the lines of two ports are joined.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum LinkState {
    /// Each sends to the other's receiver.
    BothWays,
    /// Only the first talks to the second.
    FirstTalks,
    /// Only the second talks to the first.
    SecondTalks,
    /// Send meets send, or receive meets receive.
    Crossed,
    /// No line of the one meets a line of the other.
    Apart,
}

/// How two ports are joined, with the pads concerned.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct PortLink {
    /// How.
    pub state: LinkState,
    /// Whether send meets send.
    pub senders_meet: bool,
    /// Whether receive meets receive.
    pub receivers_meet: bool,
}

/// How the lines of two ports are joined. Ports by number, as pads name them.
pub fn link_of(wiring: &Wiring, first: usize, second: usize) -> PortLink {
    let pads = wiring.pads();
    let lines = |port: usize, role: Role| {
        (0..pads.len()).filter(move |pad| pads[*pad].port == Some(port) && pads[*pad].role == Some(role))
    };
    let meet = |a: Role, b: Role| {
        lines(first, a).any(|one| lines(second, b).any(|other| one != other && wiring.joined(one, other)))
    };
    let half = meet(Role::HalfDuplex, Role::HalfDuplex);
    let first_talks = half || meet(Role::Send, Role::Receive);
    let second_talks = half || meet(Role::Receive, Role::Send);
    let (senders_meet, receivers_meet) = (meet(Role::Send, Role::Send), meet(Role::Receive, Role::Receive));
    let state = if senders_meet || receivers_meet {
        LinkState::Crossed
    } else {
        match (first_talks, second_talks) {
            (true, true) => LinkState::BothWays,
            (true, false) => LinkState::FirstTalks,
            (false, true) => LinkState::SecondTalks,
            (false, false) => LinkState::Apart,
        }
    };
    PortLink { state, senders_meet, receivers_meet }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use crate::{Join, Level, Pad};
    use proptest::prelude::*;

    /// Two ports with send and receive each: pads 0 and 1 are the first's, 2 and 3 the second's.
    fn link(joins: &[(usize, usize)]) -> PortLink {
        let pad = |port: usize, role: Role| Pad {
            owner: port,
            role: Some(role),
            level: Level::default(),
            port: Some(port),
        };
        let pads = vec![pad(0, Role::Send), pad(0, Role::Receive), pad(1, Role::Send), pad(1, Role::Receive)];
        let joins = joins.iter().map(|(from, to)| Join { from: *from, to: *to }).collect();
        link_of(&Wiring::new(pads, joins).unwrap(), 0, 1)
    }

    #[test]
    fn send_goes_to_receive_both_ways() {
        assert_eq!(link(&[(0, 3), (2, 1)]).state, LinkState::BothWays);
        assert_eq!(link(&[(0, 3)]).state, LinkState::FirstTalks);
        assert_eq!(link(&[(1, 2)]).state, LinkState::SecondTalks);
        assert_eq!(link(&[]).state, LinkState::Apart);
        let crossed = link(&[(0, 2), (1, 3)]);
        assert!(crossed.senders_meet && crossed.receivers_meet && crossed.state == LinkState::Crossed);
    }

    #[test]
    fn what_garbles_is_what_the_formula_says() {
        let (slow, fast) = rate_limits(8);
        assert!((1.0 - slow).min(fast - 1.0) - RATE_BROKEN < 2e-3 && RATE_BROKEN < fast - 1.0);
        assert!((1.0 - slow - 0.0464).abs() < 1e-3);
    }

    proptest! {
        #[test]
        fn the_nearest_divisor_is_the_nearest(clock in 1e6..5e8f64, rate in 1e3..2e6f64) {
            let (divisor, off) = divided_rate(Hertz::of(clock), Baud::new(rate)).unwrap();
            prop_assert!(divisor >= 1);
            for other in [divisor.saturating_sub(1).max(1), divisor + 1] {
                let bits = |d: u32| clock / 16.0 / rate - f64::from(d);
                prop_assert!(bits(divisor).abs() <= bits(other).abs() + 1e-9);
            }
            prop_assert!(off.is_finite());
        }
    }
}
