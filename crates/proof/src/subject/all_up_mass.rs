//! What the craft weighs as it flies: every part on it, once for each place, screws as often as they are set.
//!
//! mass = Σ mass of part · count. Ground units stay behind. Where anything stands does not matter here.

use crate::{Placed, Proof};
use craft::schema::{PartKind, frame, place};
use craft::{Missing, Reading};
use quantity::{FactIndex, Grams, Linear};

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
    matches!(kind, PartKind::GroundReceiver | PartKind::Display)
}

/// What the craft weighs as it flies.
pub(crate) fn all_up_mass(proof: &Proof) -> AllUpMass {
    let mut sum = AllUpMass { known: Linear::exact(0.0), parts: Vec::new(), missing: Vec::new() };
    for placed in proof.placed().filter(|placed| !stays_on_the_ground(placed.part.kind)) {
        match placed.part.item().read(&frame::MASS) {
            Ok(mass) => sum.add(proof.enter(&mass), &mass, count(placed)),
            Err(missing) => sum.missing.push(missing),
        }
    }
    sum.missing.sort();
    sum.missing.dedup();
    sum
}

fn count(placed: Placed) -> u32 {
    match placed.part.kind {
        PartKind::Screw => placed.place.item().count(&place::COUNT).unwrap_or(1),
        _ => 1,
    }
}

impl AllUpMass {
    fn add(&mut self, fact: FactIndex, mass: &Reading<Grams>, times: u32) {
        let share = Linear { value: mass.value.get(), slopes: vec![(fact, 1.0)] };
        self.known = &self.known + &(share * f64::from(times));
        match self.parts.iter_mut().find(|(known, _)| *known == fact) {
            Some((_, count)) => *count += times,
            None => self.parts.push((fact, times)),
        }
    }

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
