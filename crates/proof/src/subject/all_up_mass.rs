//! What the craft weighs as it flies: every part on it, once for each place, screws as often as they are set.
//!
//! mass = Σ mass of part · count. Ground units stay behind. Where anything stands does not matter here.

use crate::{Placed, Proof};
use craft::Missing;
use craft::schema::{PartKind, frame, place};
use quantity::{FactIndex, Linear};
use std::collections::BTreeMap;

/// The mass of a craft, or what is missing.
#[derive(Clone, Debug)]
pub(crate) struct AllUpMass {
    /// The sum in g of all masses that are known, with their facts.
    pub known: Linear,
    /// How often each mass counts: its fact, how many.
    pub parts: Vec<(FactIndex, u32)>,
    /// Masses nobody knows yet.
    pub missing: Vec<Missing>,
}

/// Whether a part stays on the ground.
pub(crate) fn stays_on_the_ground(kind: PartKind) -> bool {
    kind.stays_on_the_ground()
}

/// What the craft weighs as it flies.
pub(crate) fn all_up_mass(proof: &Proof) -> AllUpMass {
    let mut value = 0.0;
    let mut counts: BTreeMap<FactIndex, u32> = BTreeMap::new();
    let mut missing = Vec::new();
    for placed in proof.placed().filter(|placed| !stays_on_the_ground(placed.part.kind)) {
        match placed.part.item().read(&frame::MASS) {
            Ok(mass) => {
                let times = count(placed);
                value += mass.value.get() * f64::from(times);
                *counts.entry(proof.enter(&mass)).or_insert(0) += times;
            }
            Err(lack) => missing.push(lack),
        }
    }
    missing.sort();
    missing.dedup();
    let slopes = counts.iter().map(|(fact, times)| (*fact, f64::from(*times))).collect();
    AllUpMass { known: Linear { value, slopes }, parts: counts.into_iter().collect(), missing }
}

fn count(placed: Placed) -> u32 {
    match placed.part.kind {
        PartKind::Screw => placed.place.item().count(&place::COUNT).unwrap_or(1),
        _ => 1,
    }
}

impl AllUpMass {
    /// The whole mass in g, if every mass is known and there is one.
    pub fn whole(self) -> Result<Linear, Vec<Missing>> {
        if self.missing.is_empty() { Ok(self.known) } else { Err(self.missing) }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::testing::{part, place, set, sound_craft};

    #[test]
    fn parts_count_once_a_place_and_screws_as_often_as_they_are_set() {
        let mut craft = sound_craft();
        part(&mut craft, PartKind::Screw, "m2", "M2x6", &[("mass", "0.2 g, measured")]);
        place(&mut craft, "screws", "m2", "frame", &[("count", "8")]);
        set(&mut craft, "ground.mass", "300 g");
        let mass = all_up_mass(&Proof::new(&craft)).whole();
        // 42 + 2.1 + 1.2 + 0.9 + 5.8 + 0.8 + 3.4 + 4·8.6 + 4·1 + 7.4 + 72 + 8·0.2
        assert!(mass.is_ok_and(|mass| (mass.value - 175.6).abs() < 1e-9));
    }
}
