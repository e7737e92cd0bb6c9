//! The mass of the craft as it flies, as a figure. Several rules ask for it and it belongs to none: it is told for
//! every craft whose masses are all known, with or without motors.
//!
//! mass = Σ mass of each part, as often as it is there. Ground units stay behind.

use crate::Proof;
use crate::subject::all_up_mass;
use crate::working::Lines;
use quantity::{Figure, Source, Unit};

/// The mass as it flies; nothing while a mass is missing.
pub(crate) fn mass_figure(proof: &Proof) -> Option<Figure> {
    let mass = all_up_mass(proof);
    if !mass.missing.is_empty() || mass.known.value <= 0.0 {
        return None;
    }
    let lines = mass.parts.iter().fold(Lines::of(proof), |lines, (fact, count)| lines.counted(*fact, *count));
    Some(lines.figure(
        "craft.mass",
        "mass as it flies",
        (&mass.known, Unit::Grams),
        "mass = Σ mass of each part · how often it is there",
        Source::common_practice("everything that leaves the ground is weighed"),
    ))
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use crate::prove;
    use crate::testing::{set, sound_craft};
    use craft::Craft;

    fn told(craft: &Craft) -> Option<f64> {
        let proved = prove(craft);
        let mut mass = proved.figures.iter().filter(|figure| figure.id.0 == "craft.mass");
        let first = mass.next()?;
        assert!(mass.next().is_none() && first.uncertainty.is_some());
        Some(first.quantity.value)
    }

    #[test]
    fn mass_is_told_with_and_without_thrust() {
        let mut craft = sound_craft();
        let whole = told(&craft).unwrap();
        set(&mut craft, "motor.thrust_full", "");
        assert_eq!(told(&craft), Some(whole));
    }

    #[test]
    fn mass_is_not_told_while_one_is_missing() {
        let mut craft = sound_craft();
        set(&mut craft, "pack.mass", "");
        assert_eq!(told(&craft), None);
    }
}
