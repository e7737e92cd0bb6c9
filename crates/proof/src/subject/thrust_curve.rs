//! How the thrust of a motor follows its throttle.
//!
//! Points come from the stand measurements, with the thrust at full throttle as the point at 100 % where the
//! stand has none. Between two points thrust runs straight. Below the lowest point of a stand, thrust ∝ throttle². Where full
//! thrust is all that is known, thrust ∝ throttleⁿ with n anywhere from 1 to 2: speed follows throttle and thrust the square of
//! speed, but controllers bend the one, and sag the other. Above the highest point nothing is said. The points' doubts are taken
//! as independent; a stand that reads high throughout is left out.

use super::by_custom;
use crate::numbers::rounded;
use crate::view_limits::Custom;
use crate::{Placed, Proof};
use craft::Missing;
use craft::schema::{craft as craft_schema, drive};
use power::{Air, PowerFault};
use quantity::{Celsius, Linear, Metres, Ratio, Source};

/// Thrust by throttle: throttle in per cent, rising; thrust in gf, rising.
#[derive(Clone, Debug)]
pub(crate) struct Curve {
    points: Vec<(f64, Linear)>,
    /// The power of throttle that thrust goes with where one point is all there is.
    bend: Linear,
}

/// The power of throttle that thrust goes with, without a stand.
pub(crate) const BEND: Custom<Ratio> = Custom {
    value: Ratio::new(1.5),
    within: Ratio::new(0.5),
    source: Source::common_practice(
        "stands show thrust from in proportion to throttle up to with its square, by controller and blades",
    ),
};

/// Thrust of one motor at full throttle, in gf: as given, else the stand's point at 100 %.
pub(crate) fn full_thrust(proof: &Proof, motor: Placed) -> Result<Linear, Missing> {
    let stated = motor.part.item().read(&drive::THRUST_FULL);
    match stated {
        Ok(full) => Ok(proof.lean(&full)),
        Err(missing) => {
            let row = motor
                .part
                .rows(&drive::thrust::TABLE)
                .find(|row| {
                    row.read(&drive::thrust::THROTTLE).is_ok_and(|throttle| throttle.value.get() >= 100.0)
                })
                .ok_or(missing)?;
            row.read(&drive::thrust::THRUST).map(|thrust| proof.lean(&thrust))
        }
    }
}

/// How warm a stand is taken to stand, at the height of the sea: nobody writes it down.
const STAND_WARMTH: Celsius = Celsius::new(20.0);

/// The air of a stand.
pub(crate) fn stand_air() -> Result<Air, PowerFault> {
    Air::at(Metres::new(0.0), STAND_WARMTH)
}

/// How many times the thrust of a stand must be what is wanted of it here: the stand's air, that of the sea at 20 °C, over the thinnest the
/// craft is flown in, by altitude and the hottest air. Thrust at a throttle goes with density; air that is denser is not counted on.
pub(crate) fn thinner(proof: &Proof) -> f64 {
    let item = proof.craft.item();
    let altitude = item.read(&craft_schema::ALTITUDE).map_or(Metres::new(0.0), |height| height.value);
    let warm = item.read(&craft_schema::HOTTEST).map_or(STAND_WARMTH, |hottest| hottest.value);
    match (stand_air(), Air::at(altitude, warm)) {
        (Ok(stand), Ok(here)) => (stand.density().get() / here.density().get()).max(1.0),
        _ => 1.0,
    }
}

/// The curve of a motor. An error is a fact that is missing, or what is wrong with the points.
pub(crate) fn thrust_curve(proof: &Proof, motor: Placed) -> Result<Curve, Result<Missing, String>> {
    let mut points = Vec::new();
    for row in motor.part.rows(&drive::thrust::TABLE) {
        let throttle = row.read(&drive::thrust::THROTTLE).map_err(Ok)?.value.get();
        let thrust = row.read(&drive::thrust::THRUST).map_err(Ok)?;
        if throttle > 0.0 {
            points.push((throttle, proof.lean(&thrust)));
        }
    }
    points.sort_by(|a, b| a.0.total_cmp(&b.0));
    if points.last().is_none_or(|(throttle, _)| *throttle < 100.0) {
        match full_thrust(proof, motor) {
            Ok(full) => points.push((100.0, full)),
            Err(missing) if points.is_empty() => return Err(Ok(missing)),
            Err(_) => {}
        }
    }
    let falls = points.windows(2).find(|pair| pair[1].0 <= pair[0].0 || pair[1].1.value <= pair[0].1.value);
    if let Some([(before, less), (after, more)]) = falls {
        return Err(Err(format!(
            "The stand of {} does not rise: {} gf at {} %, then {} gf at {} %",
            motor.part.name,
            rounded(less.value, 0),
            rounded(*before, 0),
            rounded(more.value, 0),
            rounded(*after, 0)
        )));
    }
    match points.first() {
        Some((throttle, thrust)) if thrust.value <= 0.0 => {
            Err(Err(format!("The stand of {} has no thrust at {} %", motor.part.name, rounded(*throttle, 0))))
        }
        _ => {
            let path = "craft.thrust_bend".to_owned();
            let bend = by_custom(path, "power of throttle that thrust goes with", &BEND);
            let bend = if points.len() == 1 { proof.lean(&bend) } else { Linear::exact(2.0) };
            Ok(Curve { points, bend })
        }
    }
}

impl Curve {
    /// The highest point: throttle, thrust.
    pub fn highest(&self) -> Option<&(f64, Linear)> {
        self.points.last()
    }

    /// The points on either side of a thrust: one where it lies below the lowest.
    pub fn around(&self, thrust: f64) -> &[(f64, Linear)] {
        match self.points.iter().position(|(_, at)| at.value >= thrust) {
            Some(0) => &self.points[..1],
            Some(above) => &self.points[above - 1..=above],
            None => &[],
        }
    }

    /// The throttle, in per cent, that gives a thrust; `None` above the highest point.
    pub fn throttle_for(&self, thrust: &Linear) -> Option<Linear> {
        match self.around(thrust.value) {
            [(throttle, lowest)] => {
                // t = t₁·(F/F₁)^(1/n)
                let (share, n) = (thrust.value / lowest.value, self.bend.value);
                let value = throttle * share.powf(1.0 / n);
                let slope = value / n;
                Some(Linear::chained(
                    value,
                    &[
                        (slope / thrust.value, thrust),
                        (-slope / lowest.value, lowest),
                        (-slope * share.ln() / n, &self.bend),
                    ],
                ))
            }
            [(from, less), (to, more)] => {
                // t = t₀ + (F − F₀)·(t₁ − t₀)/(F₁ − F₀)
                let slope = (to - from) / (more.value - less.value);
                let part = (thrust.value - less.value) / (more.value - less.value);
                Some(Linear::chained(
                    from + part * (to - from),
                    &[(slope, thrust), (-slope * (1.0 - part), less), (-slope * part, more)],
                ))
            }
            _ => None,
        }
    }

    /// The thrust at a throttle in per cent; `None` above the highest point.
    pub fn thrust_at(&self, throttle: f64) -> Option<f64> {
        let above = self.points.iter().position(|(at, _)| *at >= throttle)?;
        let (to, more) = &self.points[above];
        Some(match above.checked_sub(1).map(|below| &self.points[below]) {
            None => more.value * (throttle / to).powf(self.bend.value),
            Some((from, less)) => less.value + (more.value - less.value) * (throttle - from) / (to - from),
        })
    }

    /// The formula used for a thrust, in plain text.
    pub fn model(&self, thrust: &Linear) -> &'static str {
        match (self.points.len(), self.around(thrust.value).len()) {
            (1, _) => {
                "throttle = 100 % · (thrust of each / full thrust)^(1/n), n from 1 to 2: a stand would tell"
            }
            (_, 1) => {
                "throttle = t₁ · √(thrust of each / F₁): below the lowest stand point thrust goes with throttle²"
            }
            _ => {
                "throttle = t₀ + (thrust of each − F₀) · (t₁ − t₀)/(F₁ − F₀), between the stand points around it"
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn curve(points: &[(f64, f64)]) -> Curve {
        let points = points.iter().map(|(t, f)| (*t, Linear::exact(*f))).collect();
        Curve { points, bend: Linear::exact(2.0) }
    }

    #[test]
    fn points_are_met_and_the_square_law_holds_below_them() {
        let curve = curve(&[(50.0, 100.0), (100.0, 400.0)]);
        let at = |thrust: f64| curve.throttle_for(&Linear::exact(thrust)).map(|t| t.value);
        assert_eq!([at(100.0), at(400.0), at(25.0), at(401.0)], [Some(50.0), Some(100.0), Some(25.0), None]);
        assert_eq!(curve.thrust_at(75.0), Some(250.0));
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(64))]

        #[test]
        fn more_thrust_takes_more_throttle_and_the_curve_reads_back(
            steps in prop::collection::vec((1.0..20.0f64, 1.0..200.0f64), 1..6),
            share in 0.01..0.99f64,
        ) {
            let mut at = (0.0, 0.0);
            let points: Vec<(f64, f64)> = steps.iter().map(|(t, f)| { at = (at.0 + t, at.1 + f); at }).collect();
            let curve = curve(&points);
            let thrust = share * at.1;
            let throttle = curve.throttle_for(&Linear::exact(thrust)).map_or(f64::NAN, |t| t.value);
            let more = curve.throttle_for(&Linear::exact(thrust * 1.005)).map_or(f64::INFINITY, |t| t.value);
            prop_assert!(more > throttle && throttle > 0.0 && throttle <= at.0);
            let back = curve.thrust_at(throttle).unwrap_or(f64::NAN);
            prop_assert!((back - thrust).abs() < 1e-9 * at.1);
        }
    }
}
