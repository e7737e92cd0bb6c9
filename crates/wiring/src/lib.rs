//! Does every wire go where it should, and can every peripheral have a port?
//!
//! Plain functions over pads, joins and ports: nets, what is wrong in them, how two serial ports stand to each other, how
//! ground comes back, how the pins of a ready-made lead meet, and the exact allotment of peripherals to ports or the
//! smallest set of wants that cannot be met together. The crate knows only `quantity`. Left out: what currents do (that is
//! power), where wires lie (that is geometry).

mod allot;
mod fault;
mod ground;
mod net;
mod pad;
mod plug;
mod serial;
mod supply;

pub use allot::{Allotment, Lines, PORTS_MOST, Port, Unsuited, WANTS_MOST, Want, allot, cost_of, suits};
pub use fault::WiringFault;
pub use ground::{GroundPath, ground_path};
pub use net::{Join, Net, NetFault, Wiring};
pub use pad::{Level, Pad, Role};
pub use plug::{PinClash, clashes};
pub use serial::{
    FRAME_SOURCE, LEVEL_SOURCE, LinkState, PortLink, RATE_BROKEN, RATE_TIGHT, divided_rate, link_of,
    rate_limits, rate_off,
};
pub use supply::{SupplyFault, SupplyPad, supply_faults};
