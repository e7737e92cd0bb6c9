//! Pads: what a piece of bare copper does, seen from the part it is on.

use quantity::Volts;

/// What a pad does.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Role {
    /// Return of all currents.
    Ground,
    /// Where the part is fed.
    SupplyIn,
    /// Where the part feeds others.
    SupplyOut,
    /// Where the part talks.
    Send,
    /// Where the part listens.
    Receive,
    /// One line for both ways.
    HalfDuplex,
    /// Takes an analogue voltage or picture.
    AnalogueIn,
    /// Gives an analogue voltage or picture.
    AnalogueOut,
    /// One wire with a protocol of its own: lights, motor signals.
    OneWire,
    /// A line of a bus with several parts on it: compass.
    Bus,
    /// One lane of the camera's harness.
    CameraLane,
    /// To a motor.
    MotorPhase,
    /// Not connected inside.
    Nothing,
}

impl Role {
    /// Every role, in the order of the words on a sheet.
    pub const ALL: [Role; 13] = [
        Role::Ground,
        Role::SupplyIn,
        Role::SupplyOut,
        Role::Send,
        Role::Receive,
        Role::HalfDuplex,
        Role::AnalogueIn,
        Role::AnalogueOut,
        Role::OneWire,
        Role::Bus,
        Role::CameraLane,
        Role::MotorPhase,
        Role::Nothing,
    ];

    /// Whether it drives its net by itself.
    pub const fn drives(self) -> bool {
        matches!(self, Role::Send | Role::AnalogueOut)
    }
    /// Whether it only listens to its net.
    pub const fn listens(self) -> bool {
        matches!(self, Role::Receive | Role::AnalogueIn)
    }
    /// Whether it carries a signal that wants ground beside it.
    pub const fn is_signal(self) -> bool {
        matches!(
            self,
            Role::Send
                | Role::Receive
                | Role::HalfDuplex
                | Role::AnalogueIn
                | Role::AnalogueOut
                | Role::OneWire
                | Role::Bus
        )
    }
    /// Whether it is one of the two supply roles.
    pub const fn is_supply(self) -> bool {
        matches!(self, Role::SupplyIn | Role::SupplyOut)
    }
}

/// Logic levels at a pad, as far as anybody has said them.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Level {
    /// Voltage of the high state it drives.
    pub high: Option<Volts>,
    /// The most its input stands.
    pub stands: Option<Volts>,
}

/// One pad.
#[derive(Clone, Debug, PartialEq)]
pub struct Pad {
    /// The number of the part in its place.
    pub owner: usize,
    /// What it does; `None` where nobody has said it.
    pub role: Option<Role>,
    /// Its logic levels.
    pub level: Level,
    /// The number of the serial port whose line it is, counted over all parts.
    pub port: Option<usize>,
}
