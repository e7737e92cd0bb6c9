//! How far is the nose down in level flight at a speed?
//!
//! Thrust holds the weight upright and the drag ahead: tan θ = ½ρ·C_dA·v² / (m·g). The drag area is that of level flight; it
//! grows by a tenth to a third as the craft leans, which is left out and is less than the drag areas of a class differ.

use quantity::STANDARD_GRAVITY as GRAVITY;
use quantity::{Degrees, Grams, KilogramsPerCubicMetre, MetresPerSecond, Source, SquareMetres};

/// Where the formula comes from.
pub const LEVEL_FLIGHT_SOURCE: Source =
    Source::common_practice("drag ½ρ C_dA v² ahead and weight m g down: thrust leans by their ratio");

/// How far the nose is down in level flight; nothing without mass, drag area or air, or at a speed that is no number.
pub fn nose_down_in_level_flight(
    mass: Grams,
    drag_area: SquareMetres,
    air: KilogramsPerCubicMetre,
    speed: MetresPerSecond,
) -> Option<Degrees> {
    let weight = mass.get() / 1000.0 * GRAVITY;
    let drag = 0.5 * air.get() * drag_area.get() * speed.get() * speed.get();
    let sound = weight > 0.0 && weight.is_finite() && drag >= 0.0 && drag.is_finite();
    sound.then(|| Degrees::new((drag / weight).atan().to_degrees()))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn nose_down(mass: f64, area: f64, speed: f64) -> Option<f64> {
        let found = nose_down_in_level_flight(
            Grams::new(mass),
            SquareMetres::new(area),
            KilogramsPerCubicMetre::new(1.225),
            MetresPerSecond::new(speed),
        );
        found.map(Degrees::get)
    }

    #[test]
    fn a_heavy_craft_leans_less_and_standing_still_not_at_all() {
        // ½ · 1.225 · 0.010 · 20² = 2.45 N against 0.70 · 9.80665 = 6.8647 N.
        let leans = nose_down(700.0, 0.010, 20.0).map(|angle| (angle * 1e4).round() / 1e4);
        assert_eq!(leans, Some((2.45f64 / 6.864_655).atan().to_degrees()).map(|a| (a * 1e4).round() / 1e4));
        assert_eq!(nose_down(700.0, 0.010, 0.0), Some(0.0));
        assert!(nose_down(165.0, 0.005, 20.0) > nose_down(700.0, 0.010, 20.0));
    }

    #[test]
    fn what_cannot_be_is_not_told() {
        assert_eq!(nose_down(0.0, 0.010, 20.0), None);
        assert_eq!(nose_down(700.0, f64::NAN, 20.0), None);
        assert_eq!(nose_down(700.0, 0.010, f64::INFINITY), None);
    }
}
