//! How far the nose is down in level flight at a speed, from what the craft weighs and the drag area of its class.
//!
//! tan θ = ½ρ C_dA v² / (m g), in standard air. The drag area is that said of the craft, or else the middle of what craft of the class usually have, in
//! doubt by all of that range; a craft whose class is not said has none. The slopes on each mass and on the drag area follow from the
//! formula.

use crate::Proof;
use crate::classes::{DRAG_SOURCE, class_row};
use crate::subject::all_up_mass;
use crate::working::Lines;
use craft::schema::craft as craft_schema;
use craft::{Missing, Reading};
use optics::{LEVEL_FLIGHT_SOURCE, nose_down_in_level_flight};
use power::{AIR_SOURCE, Air};
use quantity::{
    Basis, Doubt, DoubtKind, FactPath, Figure, Grams, KilogramsPerCubicMetre, Linear, Metres,
    MetresPerSecond, SquareMetres, Unit,
};

/// What level flight rests on: mass and drag area.
#[derive(Clone, Debug)]
pub struct LevelFlight {
    /// The mass as it flies, in g.
    pub(crate) mass: Linear,
    /// The drag area, in m².
    pub(crate) drag_area: Linear,
}

/// The air that flight is reckoned in: that of the standard atmosphere at the level of the sea.
pub(crate) fn air_density() -> KilogramsPerCubicMetre {
    let sea = Air::standard(Metres::new(0.0)).map_or(f64::NAN, |air| air.density().get());
    KilogramsPerCubicMetre::new(sea)
}

/// What level flight of a craft rests on, or what is missing.
pub fn level_flight(proof: &Proof) -> Result<LevelFlight, Vec<Missing>> {
    let area = drag_area(proof);
    match (all_up_mass(proof).whole(), area) {
        (Ok(mass), Ok(area)) => Ok(LevelFlight { mass, drag_area: proof.lean(&area) }),
        (Ok(_), Err(missing)) => Err(vec![missing]),
        (Err(mut missing), area) => {
            missing.extend(area.err());
            Err(missing)
        }
    }
}

/// The drag area: as said of the craft, or else that of the class.
fn drag_area(proof: &Proof) -> Result<Reading<SquareMetres>, Missing> {
    if let Ok(said) = proof.craft.item().read(&craft_schema::DRAG_AREA) {
        return Ok(said);
    }
    let path = |key: &str| FactPath(format!("craft.{key}"));
    let Some(row) = proof.craft.class.and_then(class_row) else {
        return Err(Missing { path: path("class"), label: format!("class of {:?}", proof.craft.name) });
    };
    let (least, most) = row.drag_area;
    Ok(Reading {
        value: (least + most) * 0.5,
        doubt: Doubt::even((most - least).get() / 2.0),
        kind: DoubtKind::Other,
        basis: Basis::Typical,
        path: path("drag_area"),
        label: format!("drag area, {}", DRAG_SOURCE.place),
    })
}

impl LevelFlight {
    /// How far the nose is down at a speed, in degrees; nothing for a craft without weight.
    pub fn nose_down(&self, speed: MetresPerSecond) -> Option<Linear> {
        let (mass, area) = (Grams::new(self.mass.value), SquareMetres::new(self.drag_area.value));
        let angle = nose_down_in_level_flight(mass, area, air_density(), speed)?.get();
        let tangent = angle.to_radians().tan();
        // θ = atan q with q ∝ area / mass.
        let by_share = (tangent / (1.0 + tangent * tangent)).to_degrees();
        Some(Linear::chained(
            angle,
            &[(-by_share / mass.get(), &self.mass), (by_share / area.get(), &self.drag_area)],
        ))
    }

    /// The same as a figure.
    pub fn figure(&self, proof: &Proof, speed: MetresPerSecond) -> Option<Figure> {
        let angle = self.nose_down(speed)?;
        let lines = Lines::of(proof)
            .given("speed", speed.get(), Unit::MetresPerSecond, "asked")
            .result("mass", &self.mass, Unit::Grams, "figure craft.mass")
            .result("drag area", &self.drag_area, Unit::SquareMetres, DRAG_SOURCE.line())
            .given("density of air", air_density().get(), Unit::KilogramsPerCubicMetre, AIR_SOURCE.line());
        Some(lines.figure(
            "view.nose_down",
            format!("nose down in level flight at {} m/s", speed.get()),
            (&angle, Unit::Degrees),
            "tan θ = ½ ρ · C_dA · v² / (m g), g = 9.80665 m/s²",
            LEVEL_FLIGHT_SOURCE,
        ))
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use crate::testing::{set, sound_craft};
    use craft::{Craft, CraftClass};
    use quantity::standard_uncertainty;

    #[test]
    fn the_nose_goes_down_with_speed_in_doubt_by_the_range_of_the_class() {
        let mut craft = sound_craft();
        craft.class = Some(CraftClass::Open3);
        let proof = Proof::new(&craft);
        let flight = level_flight(&proof).unwrap();
        let slow = flight.nose_down(MetresPerSecond::new(5.0)).unwrap();
        let fast = flight.nose_down(MetresPerSecond::new(15.0)).unwrap();
        assert!(slow.value > 1.0 && fast.value > 2.0 * slow.value && fast.value < 60.0);
        // 0.005 m² ± 0.001: a fifth of the tangent, spread evenly.
        let tangent = fast.value.to_radians().tan();
        let steeper = (1.2 * tangent).atan().to_degrees() - fast.value;
        let doubt = standard_uncertainty(&fast, &proof.ledger());
        assert!((doubt * 3f64.sqrt() / steeper - 1.0).abs() < 0.2, "{doubt} against {steeper}");
    }

    #[test]
    fn the_slopes_are_those_of_the_formula() {
        let craft = Craft { class: Some(CraftClass::Open3), ..sound_craft() };
        let proof = Proof::new(&craft);
        let flight = level_flight(&proof).unwrap();
        let speed = MetresPerSecond::new(12.0);
        let told = flight.nose_down(speed).unwrap();
        let heavier = LevelFlight { mass: &flight.mass * 1.0001, ..flight.clone() };
        let moved = heavier.nose_down(speed).unwrap().value - told.value;
        let (fact, times) = flight.mass.slopes[0];
        let expected = told.slope_on(fact) / times * 0.0001 * flight.mass.value;
        assert!((moved / expected - 1.0).abs() < 1e-3, "{moved} against {expected}");
    }

    #[test]
    fn without_class_or_mass_nobody_can_say() {
        let mut craft = Craft { class: None, ..sound_craft() };
        let missing = |craft: &Craft| level_flight(&Proof::new(craft)).unwrap_err().len();
        assert_eq!(missing(&craft), 1);
        set(&mut craft, "pack.mass", "");
        assert_eq!(missing(&craft), 2);
    }
}
