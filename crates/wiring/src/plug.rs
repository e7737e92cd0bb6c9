//! Do the pins of a ready-made lead meet what they should?
//!
//! Such a lead joins pin n of one plug to pin n of the other. Makers of boards do not share an order: a supply then meets a
//! signal. Each pin has what it does; a pair clashes where one supply meets a signal, ground meets anything but ground, or
//! two talk or listen. Common practice.

use crate::Role;

/// Two pins that a ready-made lead would join and should not.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct PinClash {
    /// The number of both pins.
    pub number: u32,
    /// What the first plug has there.
    pub first: Role,
    /// What the second plug has there.
    pub second: Role,
    /// Where this line of the first plug belongs in the second, if it has such a pin.
    pub belongs_at: Option<u32>,
}

impl PinClash {
    /// Whether it puts voltage where none may be: the port or the unit is dead then, not merely mute.
    pub const fn kills(&self) -> bool {
        self.first.is_supply() != self.second.is_supply()
            && !matches!(self.first, Role::Nothing)
            && !matches!(self.second, Role::Nothing)
    }
}

/// Whether two pads may be joined with nothing else.
const fn meet(a: Role, b: Role) -> bool {
    use Role::{AnalogueIn, AnalogueOut, Bus, CameraLane, Ground, HalfDuplex, MotorPhase, Nothing, OneWire};
    use Role::{Receive, Send, SupplyIn, SupplyOut};
    matches!(
        (a, b),
        (Nothing, _)
            | (_, Nothing)
            | (Ground, Ground)
            | (SupplyOut, SupplyIn)
            | (SupplyIn, SupplyOut)
            | (SupplyIn, SupplyIn)
            | (Send, Receive)
            | (Receive, Send)
            | (HalfDuplex, HalfDuplex | Send | Receive)
            | (Send | Receive, HalfDuplex)
            | (AnalogueIn, AnalogueOut)
            | (AnalogueOut, AnalogueIn)
            | (OneWire, OneWire)
            | (Bus, Bus)
            | (CameraLane, CameraLane)
            | (MotorPhase, MotorPhase)
    )
}

/// The pins that clash, by number; each plug as its pins' numbers with what they do. Pins that one side lacks or does not
/// tell take no part.
pub fn clashes(first: &[(u32, Role)], second: &[(u32, Role)]) -> Vec<PinClash> {
    let mut found: Vec<PinClash> = first
        .iter()
        .filter_map(|(number, a)| {
            let (_, b) = second.iter().find(|(other, _)| other == number)?;
            (!meet(*a, *b)).then_some(PinClash { number: *number, first: *a, second: *b, belongs_at: None })
        })
        .collect();
    found.sort_by_key(|clash| clash.number);
    // Where each line belongs: the pins that suit, in order, each given once.
    let mut free: Vec<(u32, Role)> = second.to_vec();
    free.sort_by_key(|(number, _)| *number);
    free.retain(|(number, b)| {
        !first.iter().any(|(other, a)| other == number && meet(*a, *b) && *b != Role::Nothing)
    });
    for clash in &mut found {
        let at = free.iter().position(|(_, b)| *b != Role::Nothing && meet(clash.first, *b));
        clash.belongs_at = at.map(|at| free.remove(at).0);
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn plugs_of_one_order_meet() {
        let board = [(1, Role::SupplyOut), (2, Role::Ground), (3, Role::Send), (4, Role::Receive)];
        let unit = [(1, Role::SupplyIn), (2, Role::Ground), (3, Role::Receive), (4, Role::Send)];
        assert_eq!(clashes(&board, &unit), []);
    }

    #[test]
    fn a_turned_plug_puts_the_supply_on_a_signal_and_says_where_it_belongs() {
        let board = [(1, Role::SupplyOut), (2, Role::Ground), (3, Role::Send), (4, Role::Receive)];
        let turned = [(4, Role::SupplyIn), (3, Role::Ground), (2, Role::Receive), (1, Role::Send)];
        let found = clashes(&board, &turned);
        assert_eq!(found.iter().map(|clash| clash.number).collect::<Vec<_>>(), [1, 2, 3, 4]);
        assert_eq!(
            found.iter().map(|clash| clash.belongs_at).collect::<Vec<_>>(),
            [Some(4), Some(3), Some(2), Some(1)]
        );
        assert!(found[0].kills() && found[3].kills() && !found[1].kills());
    }
}
