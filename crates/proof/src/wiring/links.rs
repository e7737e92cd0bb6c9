//! Serial links: which port of a controller each peripheral's port touches, and how.

use super::WiringModel;
use wiring::{LinkState, PortLink, Role, link_of};

/// How a peripheral's port touches one port of a controller.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Touch {
    /// The port of the controller.
    pub port: usize,
    /// How the lines are joined; the peripheral is the first, the controller the second.
    pub link: PortLink,
}

/// A peripheral's port with all it touches.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SerialLink {
    /// The port of the peripheral.
    pub port: usize,
    /// The ports of controllers that any of its lines meets.
    pub touches: Vec<Touch>,
}

impl SerialLink {
    /// The one port it is on, if it is on one only.
    pub fn on(&self) -> Option<Touch> {
        match self.touches.as_slice() {
            [one] => Some(*one),
            _ => None,
        }
    }
    /// Whether the controller can talk to it.
    pub fn is_told(&self) -> bool {
        self.touches.iter().any(|touch| {
            !touch.link.senders_meet
                && matches!(touch.link.state, LinkState::BothWays | LinkState::SecondTalks)
        })
    }
    /// Whether it can talk to the controller.
    pub fn tells(&self) -> bool {
        self.touches.iter().any(|touch| {
            !touch.link.senders_meet
                && matches!(touch.link.state, LinkState::BothWays | LinkState::FirstTalks)
        })
    }
    /// Whether send meets send or receive meets receive anywhere.
    pub fn is_crossed(&self) -> bool {
        self.touches.iter().any(|touch| touch.link.state == LinkState::Crossed)
    }
}

impl WiringModel {
    /// The ports of controllers, by number; those a board keeps for itself left out.
    pub fn controller_ports(&self) -> Vec<usize> {
        let free =
            |port: &usize| self.is_controller(self.ports[*port].unit) && self.ports[*port].kept_for.is_none();
        (0..self.ports.len()).filter(free).collect()
    }

    /// The ports of everything else, by number.
    pub fn peripheral_ports(&self) -> Vec<usize> {
        (0..self.ports.len()).filter(|port| !self.is_controller(self.ports[*port].unit)).collect()
    }

    /// The link of a peripheral's port.
    pub fn link(&self, port: usize) -> SerialLink {
        let touches = (0..self.ports.len()).filter(|other| self.is_controller(self.ports[*other].unit));
        let touches = touches.filter_map(|other| {
            let link = link_of(&self.nets, port, other);
            (link.state != LinkState::Apart).then_some(Touch { port: other, link })
        });
        SerialLink { port, touches: touches.collect() }
    }

    /// The pad of a port with a role, if there is one.
    pub fn line(&self, port: usize, role: Role) -> Option<usize> {
        (0..self.pads.len())
            .find(|pad| self.pads[*pad].port == Some(port) && self.pads[*pad].role == Some(role))
    }
}
