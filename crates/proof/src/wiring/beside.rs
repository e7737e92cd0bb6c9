//! What is joined beside the wires of a craft: capacitors, motors, the camera's harness, antennas. Each is a matter of its place, no row of the
//! table of wires, and so not on the diagram; a list that left it out without a word would be taken as whole.

use crate::Proof;
use crate::numbers::listed;
use craft::schema::{PartKind, drive, place};

/// A joint that is no wire of the craft.
#[derive(Clone, Debug, PartialEq)]
pub struct Beside {
    /// What is joined.
    pub from: String,
    /// To what.
    pub to: String,
    /// How many joints or pins; nought where it is one plug.
    pub joints: usize,
    /// What must not be wrong about it.
    pub mind: String,
}

impl Beside {
    /// As a line of a list.
    pub fn words(&self) -> String {
        let joints = match self.joints {
            0 => String::new(),
            count => format!(", {count} joints"),
        };
        format!("{} to {}{joints}: {}", self.from, self.to, self.mind)
    }
}

/// What is soldered or plugged beside the wires of the craft: capacitors, motors, the camera's harness, antennas. Each is a matter of its place, and
/// is not drawn.
pub fn beside_the_wires(proof: &Proof) -> Vec<Beside> {
    let mut list = Vec::new();
    for capacitor in proof.places_of(PartKind::Capacitor) {
        let across = capacitor.place.item().text(&place::FED_FROM).map(str::trim);
        let to = match across {
            Ok("pack") => "the pack's lead at the speed controller".to_owned(),
            Ok(other) => other.to_owned(),
            Err(_) => "its supply, which its place does not say yet".to_owned(),
        };
        list.push(Beside {
            from: capacitor.place.id.to_string(),
            to,
            joints: 2,
            mind: match capacitor.part.item().text(&drive::POLARITY) {
                Ok(drive::EITHER_WAY) => "either way round, close to the pads: no longer than they need",
                Ok(_) => "the leg at the stripe on minus, legs under 10 mm; the wrong way round it bursts",
                Err(_) => "legs under 10 mm. A can has a stripe, which goes on minus: the wrong way round it bursts; a ceramic block has none",
            }
            .to_owned(),
        });
    }
    let boards = [PartKind::SpeedController, PartKind::IntegratedBoard];
    let board = proof.placed().find(|placed| boards.contains(&placed.part.kind));
    let motors: Vec<_> = proof.places_of(PartKind::Motor).collect();
    if let (Some(board), false) = (board, motors.is_empty()) {
        let names: Vec<String> = motors.iter().map(|motor| motor.place.id.to_string()).collect();
        list.push(Beside {
            from: listed(&names),
            to: board.place.id.to_string(),
            joints: 3 * motors.len(),
            mind: "three wires each, in any order; two of them swapped turn it the other way. None may touch another, or carbon".to_owned(),
        });
    }
    for placed in proof.placed() {
        let (verb, mind) = match placed.part.kind {
            PartKind::CameraHarness => (
                "camera harness",
                "pushed in at both ends before any power, its faces as the plugs want them",
            ),
            PartKind::Pigtail => ("pigtail", "plugged in, and held, before any power"),
            PartKind::Antenna => ("antenna", "plugged in, and held, before any power"),
            _ => continue,
        };
        let item = placed.place.item();
        let Ok(from) = item.text(&place::FROM) else { continue };
        let id = &placed.place.id;
        list.push(Beside {
            from: from.to_owned(),
            to: match item.text(&place::TO) {
                Ok(to) => format!("{to} by {verb} {id}"),
                Err(_) => format!("{verb} {id}"),
            },
            joints: 0,
            mind: mind.to_owned(),
        });
    }
    list
}
