//! How far the nose is down in level flight at a speed, from what the craft weighs and the drag area of its class.
//!
//! tan θ = ½ρ C_dA v² / (m g), in standard air. The drag area is that said of the craft, or else the middle of what craft of the class usually have, in
//! doubt by all of that range; a craft whose class is not said has none. The slopes on each mass and on the drag area follow from the
//! formula.
//!
//! Who states how far the nose is down in cruise knows it better than a class does: that angle then holds at cruise speed, and at other speeds the tangent
//! goes with the square of the speed. Link and view take the nose from here, so that one flight has one angle.

use crate::Proof;
use crate::classes::{DRAG_SOURCE, class_row};
use crate::subject::all_up_mass;
use crate::working::Lines;
use craft::schema::craft as craft_schema;
use craft::{Missing, Reading};
use optics::{LEVEL_FLIGHT_SOURCE, nose_down_in_level_flight};
use power::{AIR_SOURCE, Air};
use quantity::{
    Basis, Degrees, Doubt, DoubtKind, FactPath, Figure, Grams, KilogramsPerCubicMetre, Linear, Metres,
    MetresPerSecond, SquareMetres, Unit,
};

/// What level flight rests on: mass and drag area.
#[derive(Clone, Debug)]
pub struct LevelFlight {
    /// The mass as it flies, in g.
    pub(crate) mass: Linear,
    /// The drag area, in m².
    pub(crate) drag_area: Linear,
    /// How far the nose is down at a speed, where that is stated.
    pub(crate) stated: Option<StatedTilt>,
}

/// How far the nose is stated to be down in cruise.
#[derive(Clone, Debug)]
pub(crate) struct StatedTilt {
    /// In degrees.
    pub tilt: Linear,
    /// At which speed.
    pub cruise: MetresPerSecond,
}

/// How far the nose is down in cruise, and why.
#[derive(Clone, Debug, PartialEq)]
pub struct CruiseNose {
    /// So far.
    pub down: Degrees,
    /// The same in degrees, with what it leans on.
    pub leans: Linear,
    /// Whether that is stated; otherwise it follows from mass, drag area and cruise speed.
    pub stated: bool,
}

impl CruiseNose {
    /// Why it is so far down.
    pub const fn because(&self) -> &'static str {
        if self.stated { "stated of the craft in cruise" } else { "from mass, drag area and cruise speed" }
    }
}

/// How far the nose is down in cruise: as stated, or else as level flight at cruise speed has it; what lacks where neither can be said.
pub(crate) fn cruise_nose(proof: &Proof) -> Result<CruiseNose, Missing> {
    let item = proof.craft.item();
    item.read(&craft_schema::CRUISE_TILT)
        .map(|tilt| CruiseNose { down: tilt.value, leans: stated(proof, &tilt), stated: true })
        .or_else(|missing| {
            let cruise = item.read(&craft_schema::CRUISE).ok().map(|cruise| cruise.value);
            let flight = level_flight(proof).ok();
            let down = flight.zip(cruise).and_then(|(flight, cruise)| flight.nose_down(cruise));
            down.map(|leans| CruiseNose { down: Degrees::new(leans.value), leans, stated: false })
                .ok_or(missing)
        })
}

/// A stated tilt, in degrees; one without doubt leans on nothing.
fn stated(proof: &Proof, tilt: &Reading<Degrees>) -> Linear {
    let sure = tilt.doubt.standard_uncertainty() == 0.0;
    if sure { Linear::exact(tilt.value.get()) } else { proof.lean(tilt) }
}

/// The air that flight is reckoned in: that of the standard atmosphere at the level of the sea.
pub(crate) fn air_density() -> KilogramsPerCubicMetre {
    let sea = Air::standard(Metres::new(0.0)).map_or(f64::NAN, |air| air.density().get());
    KilogramsPerCubicMetre::new(sea)
}

/// What level flight of a craft rests on, or what is missing.
pub fn level_flight(proof: &Proof) -> Result<LevelFlight, Vec<Missing>> {
    let area = drag_area(proof);
    let item = proof.craft.item();
    let (tilt, cruise) = (item.read(&craft_schema::CRUISE_TILT).ok(), item.read(&craft_schema::CRUISE).ok());
    let tilt_at = tilt.zip(cruise).filter(|(_, cruise)| cruise.value.get() > 0.0);
    let stated =
        tilt_at.map(|(tilt, cruise)| StatedTilt { tilt: stated(proof, &tilt), cruise: cruise.value });
    match (all_up_mass(proof).whole(), area) {
        (Ok(mass), Ok(area)) => Ok(LevelFlight { mass, drag_area: proof.lean(&area), stated }),
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
        if let Some(stated) = &self.stated {
            let (tilt, ratio) = (stated.tilt.value.to_radians(), speed / stated.cruise);
            let tangent = tilt.tan() * ratio * ratio;
            let angle = tangent.atan().to_degrees();
            // dθ/dtilt = ratio² · (1 + tan² tilt) / (1 + tan² θ), both in degrees.
            let by_tilt = ratio * ratio * (1.0 + tilt.tan().powi(2)) / (1.0 + tangent * tangent);
            return angle.is_finite().then(|| Linear::chained(angle, &[(by_tilt, &stated.tilt)]));
        }
        self.by_drag(speed)
    }

    /// How far the nose would be down by mass and drag area alone.
    fn by_drag(&self, speed: MetresPerSecond) -> Option<Linear> {
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

    /// At which speed the nose is so far down; never for an angle under nought.
    pub fn speed_at(&self, down: Degrees) -> Option<MetresPerSecond> {
        // The tangent goes with the square of the speed.
        let one = MetresPerSecond::new(1.0);
        let at_one = self.nose_down(one)?.value.to_radians().tan();
        let square = down.get().to_radians().tan() / at_one;
        (square >= 0.0 && square.is_finite()).then(|| one * square.sqrt())
    }

    /// The same as a figure.
    pub fn figure(&self, proof: &Proof, speed: MetresPerSecond) -> Option<Figure> {
        let angle = self.nose_down(speed)?;
        let mut lines = Lines::of(proof).given("speed", speed.get(), Unit::MetresPerSecond, "asked");
        let (mut label, mut formula) = ("", "tan θ = ½ ρ · C_dA · v² / (m g), g = 9.80665 m/s²");
        if let Some(stated) = &self.stated {
            lines = lines
                .result("nose down in cruise", &stated.tilt, Unit::Degrees, "stated of the craft")
                .given("cruise speed", stated.cruise.get(), Unit::MetresPerSecond, "said of the craft");
            if let Some(by_drag) = self.by_drag(speed) {
                let origin = "what mass and drag area alone would make of it: stated goes before";
                lines = lines.given("by mass and drag area", by_drag.value, Unit::Degrees, origin);
            }
            (label, formula) = (", as stated for cruise", "tan θ = tan(stated) · (v / cruise)²");
        }
        let lines = lines
            .result("mass", &self.mass, Unit::Grams, "figure craft.mass")
            .result("drag area", &self.drag_area, Unit::SquareMetres, DRAG_SOURCE.line())
            .given("density of air", air_density().get(), Unit::KilogramsPerCubicMetre, AIR_SOURCE.line());
        Some(lines.figure(
            "view.nose_down",
            format!("nose down in level flight at {} m/s{label}", speed.get()),
            (&angle, Unit::Degrees),
            formula,
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
    fn a_stated_tilt_goes_before_drag_and_one_flight_has_one_angle() {
        let mut craft = Craft { class: Some(CraftClass::Open3), ..sound_craft() };
        set(&mut craft, "craft.cruise", "12 m/s");
        let nose = |craft: &Craft| {
            let proof = Proof::new(craft);
            let flight = level_flight(&proof).unwrap();
            let [slow, cruise] =
                [6.0, 12.0].map(|v| flight.nose_down(MetresPerSecond::new(v)).unwrap().value);
            (cruise_nose(&proof).unwrap(), slow, cruise)
        };
        let (computed, _, cruise) = nose(&craft);
        assert_eq!((computed.down.get(), computed.stated), (cruise, false));
        set(&mut craft, "craft.cruise_tilt", "30°");
        let (stated, slow, cruise) = nose(&craft);
        assert_eq!((stated.down.get(), stated.stated), (30.0, true));
        assert!((cruise - 30.0).abs() < 1e-9);
        assert!((slow.to_radians().tan() / 30f64.to_radians().tan() - 0.25).abs() < 1e-9, "{slow}");
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
