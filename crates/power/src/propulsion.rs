//! How much power do the motors take to hover, to climb, to fly level, and how much throttle is that?
//!
//! Electrical power = (T·v/FM + T·V·sin α)/η: the induced part of momentum theory over the figure of merit, the part that lifts or
//! drags as it is, all over the efficiency of motor, controller and wires. Level flight: drag ½·ρ·C_dA·V² and weight add at right
//! angles, α = atan(drag/weight). Points measured on a thrust stand replace FM·η at rest by what they say, between points straight in
//! FM·η over thrust. Thrust at a throttle goes with density and with the square of the voltage. Left out: descent, wind, the
//! profile power that grows with speed (some 10 % at 20 m/s), and what turns cost.

use crate::disc::{Discs, IdealPower};
use crate::{Air, Draw, PowerFault};
use quantity::{
    Amperes, Degrees, Grade, Grams, GramsForce, Measure, MetresPerSecond, Newtons, Percent, Ratio, Source,
    Volts, Watts,
};

/// Where the merit of small propellers comes from.
pub const MERIT_SOURCE: Source = Source {
    title: "public propeller data and common practice",
    place: "figure of merit 0.4 to 0.65 for 3 to 9 inches; times motor, controller and wires 0.24 (31 mm) to 0.42 (178 mm)",
    grade: Grade::Memory,
};

/// Weight of a gram in newtons.
const NEWTONS_PER_GRAM: f64 = 1e-3 * quantity::STANDARD_GRAVITY;

/// A point of a thrust stand: one motor at rest in the air of the bench.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct StandPoint {
    /// Throttle.
    pub throttle: Percent,
    /// Thrust.
    pub thrust: GramsForce,
    /// Current into the controller.
    pub current: Amperes,
    /// Voltage at the controller.
    pub voltage: Volts,
}

/// What turns electrical power into thrust.
#[derive(Clone, Debug, PartialEq)]
pub struct Propulsion {
    discs: Discs,
    count: f64,
    merit: f64,
    drive: f64,
    /// Sorted by throttle, with the air they were measured in.
    stand: Option<(Vec<StandPoint>, Air)>,
}

/// How a craft flies level at a speed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LevelFlight {
    /// How far it leans.
    pub tilt: Degrees,
    /// All motors together.
    pub thrust: Newtons,
    /// Electrical power of the motors.
    pub power: Watts,
}

/// The weight of a mass.
pub fn weight(mass: Grams) -> Newtons {
    Newtons::new(mass.get() * NEWTONS_PER_GRAM)
}

impl Propulsion {
    /// So many discs, alike, with their figure of merit and the efficiency of motor, controller and wires.
    pub fn new(discs: Discs, count: u32, merit: Ratio, drive: Ratio) -> Result<Self, PowerFault> {
        let [least, most] = [0.05, 1.0].map(Ratio::of);
        let mend = "0.4 to 0.65 for small propellers";
        let merit = PowerFault::within("figure of merit", merit, least, most, mend)?.get();
        let mend = "0.5 to 0.85 for motor, controller and wires together";
        let drive = PowerFault::within("efficiency of the drive", drive, least, most, mend)?.get();
        let [one, most] = [1.0, 16.0].map(quantity::Count::of);
        let count = quantity::Count::of(f64::from(count));
        let count = PowerFault::within("number of propellers", count, one, most, "count them")?.get();
        Ok(Self { discs, count, merit, drive, stand: None })
    }

    /// The same, by what a thrust stand measured of one motor.
    pub fn measured(self, points: &[StandPoint], air: Air) -> Result<Self, PowerFault> {
        let mut points = points.to_vec();
        for point in &points {
            let [none, full] = [0.0, 100.0].map(Percent::new);
            PowerFault::within("throttle of the stand", point.throttle, none, full, "in percent")?;
            let [little, most] = [0.1, 50_000.0].map(GramsForce::new);
            PowerFault::within(
                "thrust of the stand",
                point.thrust,
                little,
                most,
                "of one motor; leave out rows at rest",
            )?;
            let [little, most] = [0.001, 500.0].map(Amperes::new);
            PowerFault::within("current of the stand", point.current, little, most, "into the controller")?;
            let [little, most] = [1.0, 100.0].map(Volts::new);
            PowerFault::within("voltage of the stand", point.voltage, little, most, "at the controller")?;
        }
        points.sort_by(|a, b| a.throttle.get().total_cmp(&b.throttle.get()));
        if points.len() < 2 {
            return Err(PowerFault::Short {
                what: "thrust stand table",
                has: points.len(),
                needs: "two rows at least",
            });
        }
        let falls = |falls: &dyn Fn(&StandPoint, &StandPoint) -> bool,
                     told: &dyn Fn(&StandPoint) -> String,
                     mend: &'static str| {
            let pair = points.windows(2).find(|pair| falls(&pair[0], &pair[1]))?;
            let (one, other) = (told(&pair[0]), told(&pair[1]));
            Some(PowerFault::Contradictory { what: "thrust stand table", one, other, mend })
        };
        let of_thrust = falls(
            &|one, other| other.thrust <= one.thrust || other.throttle <= one.throttle,
            &|point| format!("{} at {}", point.thrust, point.throttle),
            "thrust must rise with throttle: measure the later row again",
        );
        // Sag on the bench may hold the current back a little, but what lifts more takes more.
        let of_current = || {
            falls(
                &|one, other| other.current <= one.current,
                &|point| format!("{} at {}", point.current, point.throttle),
                "current must rise with throttle: measure the later row again",
            )
        };
        if let Some(fault) = of_thrust.or_else(of_current) {
            return Err(fault);
        }
        let found = Self { stand: Some((points, air)), ..self };
        if let Some((points, air)) = &found.stand {
            for point in points {
                let merit = Ratio::of(found.merit_at(point, *air));
                let mend = "no propeller is better than its ideal disc: check diameter, thrust and current";
                let what = format_args!("figure of merit with drive at {}", point.throttle);
                PowerFault::within(what, merit, Ratio::of(0.0), Ratio::of(1.0), mend)?;
            }
        }
        Ok(found)
    }

    /// FM·η at a point of the stand.
    fn merit_at(&self, point: &StandPoint, air: Air) -> f64 {
        let thrust = newtons(point.thrust);
        let disc = self.discs.area().get() * 1e-4 / self.count;
        let ideal = thrust * (thrust / (2.0 * air.density().get() * disc)).sqrt();
        ideal / (point.current.get() * point.voltage.get())
    }

    /// FM·η at a thrust of all motors: at the same thrust that of the bench, so that thinner air costs power by the root of its density, as disc
    /// theory has it.
    fn merit(&self, thrust: f64) -> f64 {
        let Some((points, bench)) = &self.stand else { return self.merit * self.drive };
        let there = thrust / self.count;
        let rows: Vec<[f64; 2]> =
            points.iter().map(|p| [newtons(p.thrust), self.merit_at(p, *bench)]).collect();
        crate::cell::interpolated(&rows, there)
    }

    /// Electrical power for a thrust of all motors, through air that comes at a speed under a tilt; 90° is a climb.
    pub fn power(
        &self,
        thrust: Newtons,
        speed: MetresPerSecond,
        tilt: Degrees,
        air: Air,
    ) -> Result<Watts, PowerFault> {
        let IdealPower { induced, .. } = self.discs.forward(thrust, speed, tilt, air)?;
        let moved = thrust.get() * speed.get() * tilt.get().to_radians().sin();
        let merit = self.merit(thrust.get());
        // At rest measured points know FM·η only together; what moves the craft pays η alone.
        Ok(Watts::new(thrust.get() * induced.get() / merit + moved / self.drive))
    }

    /// Electrical power in hover.
    pub fn hover(&self, mass: Grams, air: Air) -> Result<Watts, PowerFault> {
        self.power(heavy(mass)?, MetresPerSecond::new(0.0), Degrees::new(0.0), air)
    }

    /// Electrical power straight up.
    pub fn climb(&self, mass: Grams, speed: MetresPerSecond, air: Air) -> Result<Watts, PowerFault> {
        self.power(heavy(mass)?, speed, Degrees::new(90.0), air)
    }

    /// Level flight with a drag area in m².
    pub fn level(
        &self,
        mass: Grams,
        speed: MetresPerSecond,
        drag_area_m2: f64,
        air: Air,
    ) -> Result<LevelFlight, PowerFault> {
        let area = Ratio::of(drag_area_m2);
        let mend = "0.003 to 0.016 m² for such craft";
        PowerFault::within("drag area in m²", area, Ratio::of(0.0), Ratio::of(1.0), mend)?;
        let weight = heavy(mass)?.get();
        let drag = 0.5 * air.density().get() * drag_area_m2 * speed.get().powi(2);
        let (tilt, thrust) =
            (Degrees::new(drag.atan2(weight).to_degrees()), Newtons::new(drag.hypot(weight)));
        Ok(LevelFlight { tilt, thrust, power: self.power(thrust, speed, tilt, air)? })
    }

    /// The most thrust of all motors at a bus voltage; none without a stand.
    pub fn most_thrust(&self, bus: Volts, air: Air) -> Option<Newtons> {
        let (points, bench) = self.stand.as_ref()?;
        let top = points.last()?;
        let scale = (bus / top.voltage).powi(2) * air.density().get() / bench.density().get();
        Some(Newtons::new(self.count * newtons(top.thrust) * scale))
    }

    /// The most thrust over the weight; none without a stand.
    pub fn thrust_to_weight(&self, mass: Grams, bus: Volts, air: Air) -> Option<Ratio> {
        let weight = heavy(mass).ok()?.get();
        Some(Ratio::of(self.most_thrust(bus, air)?.get() / weight))
    }

    /// The throttle that carries a mass at a bus voltage; none without a stand, or if full throttle does not.
    pub fn hover_throttle(&self, mass: Grams, bus: Volts, air: Air) -> Option<Percent> {
        let (points, bench) = self.stand.as_ref()?;
        let density = air.density().get() / bench.density().get();
        let wanted = heavy(mass).ok()?.get() / self.count;
        let lift = |p: &StandPoint| newtons(p.thrust) * (bus / p.voltage).powi(2) * density;
        // Below the first row thrust runs with the square of the throttle down to nothing.
        let first = points.first()?;
        if wanted <= lift(first) {
            return Some(first.throttle * (wanted / lift(first)).sqrt());
        }
        let pair = points.windows(2).find(|pair| lift(&pair[0]) <= wanted && wanted <= lift(&pair[1]))?;
        let part = (wanted - lift(&pair[0])) / (lift(&pair[1]) - lift(&pair[0]));
        Some(pair[0].throttle + (pair[1].throttle - pair[0].throttle) * part)
    }

    /// All motors at full throttle, as a pack feels them; `in_flight` is what the stand's current comes to in moving air, 0.7 to 0.85.
    pub fn full_throttle(&self, in_flight: Ratio) -> Result<Option<Draw>, PowerFault> {
        let [least, most] = [0.3, 1.2].map(Ratio::of);
        let share = PowerFault::within(
            "current in flight over that of the stand",
            in_flight,
            least,
            most,
            "0.7 to 0.85",
        )?;
        let top = self.stand.as_ref().and_then(|(points, _)| points.last());
        Ok(top.map(|top| {
            let current = top.current * (self.count * share.get());
            Draw { throttle: Some((current, top.voltage)), ..Draw::default() }
        }))
    }
}

fn newtons(thrust: GramsForce) -> f64 {
    thrust.get() * NEWTONS_PER_GRAM
}

fn heavy(mass: Grams) -> Result<Newtons, PowerFault> {
    let [least, most] = [1.0, 50_000.0].map(Grams::new);
    Ok(weight(PowerFault::within("mass of the craft", mass, least, most, "weigh it with its pack")?))
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;
    use quantity::{Metres, Millimetres};

    fn sea() -> Air {
        Air::standard(Metres::new(0.0)).unwrap_or_else(|f| unreachable!("{f}"))
    }
    fn four(mm: f64) -> Propulsion {
        let discs = Discs::new(4, Millimetres::new(mm)).unwrap_or_else(|f| unreachable!("{f}"));
        Propulsion::new(discs, 4, Ratio::of(0.6), Ratio::of(0.75)).unwrap_or_else(|f| unreachable!("{f}"))
    }
    /// Throttle, thrust, current at 22.2 V.
    const STAND: [[f64; 3]; 5] = [
        [20.0, 110.0, 0.85],
        [40.0, 330.0, 3.6],
        [60.0, 690.0, 10.2],
        [80.0, 1080.0, 20.5],
        [100.0, 1420.0, 33.0],
    ];
    fn points() -> Vec<StandPoint> {
        let point = |[throttle, thrust, current]: [f64; 3]| StandPoint {
            throttle: Percent::new(throttle),
            thrust: GramsForce::new(thrust),
            current: Amperes::new(current),
            voltage: Volts::new(22.2),
        };
        STAND.map(point).to_vec()
    }
    fn on_the_stand() -> Propulsion {
        four(127.0).measured(&points(), sea()).unwrap_or_else(|f| unreachable!("{f}"))
    }

    /// What lifts more takes more: a row read with a slipped clamp is told.
    #[test]
    fn a_current_that_falls_while_the_thrust_rises_is_told() {
        let mut rows = points();
        rows[4].current = Amperes::new(19.0);
        let told = four(127.0).measured(&rows, sea()).map_err(|fault| fault.to_string());
        assert!(told.as_ref().is_err_and(|told| told.contains("current must rise")), "{told:?}");
    }

    #[test]
    fn half_a_kilogram_on_five_inches_takes_68_watts() {
        let power = four(127.0).hover(Grams::new(500.0), sea()).map(Watts::get);
        assert!(power.is_ok_and(|power| (power - 68.48).abs() < 0.01));
    }

    #[test]
    fn measured_points_stand_in_for_the_theory() {
        let craft = on_the_stand();
        let power = craft.hover(Grams::new(4.0 * 330.0), sea()).map(Watts::get);
        assert!(power.is_ok_and(|power| (power - 4.0 * 3.6 * 22.2).abs() < 1e-6));
        let bus = Volts::new(22.2);
        let ratio = craft.thrust_to_weight(Grams::new(700.0), bus, sea()).map(|r| r.get());
        assert!(ratio.is_some_and(|ratio| (ratio - 4.0 * 1420.0 / 700.0).abs() < 1e-9));
        let throttle = craft.hover_throttle(Grams::new(4.0 * 220.0), bus, sea()).map(Percent::get);
        assert!(throttle.is_some_and(|throttle| (throttle - 30.0).abs() < 1e-9));
        assert!(craft.hover_throttle(Grams::new(9_000.0), bus, sea()).is_none());
        assert!(
            craft.hover_throttle(Grams::new(700.0), Volts::new(19.0), sea())
                > craft.hover_throttle(Grams::new(700.0), bus, sea())
        );
    }

    #[test]
    fn a_stand_that_contradicts_itself_is_told() {
        let mut falls = points();
        falls[2].thrust = GramsForce::new(300.0);
        let words = "thrust stand table: 330 gf at 40 % and 300 gf at 60 % contradict each other; thrust must rise with throttle: measure the later row again";
        assert_eq!(
            four(127.0).measured(&falls, sea()).map_err(|f| f.to_string()).map(|_| ()),
            Err(words.to_owned())
        );
        let mut perfect = points();
        // Each current a tenth of what was read: it still rises.
        perfect.iter_mut().for_each(|point| point.current = point.current * 0.1);
        let told = four(127.0).measured(&perfect, sea()).map_err(|f| f.to_string());
        assert!(told.is_err_and(|words| words.contains("no propeller is better than its ideal disc")));
    }

    #[test]
    fn level_flight_is_cheapest_at_some_speed() {
        let craft = four(127.0);
        let at = |speed: f64| craft.level(Grams::new(700.0), MetresPerSecond::new(speed), 0.010, sea());
        let power = |speed: f64| at(speed).map_or(f64::NAN, |level| level.power.get());
        assert!(power(8.0) < power(0.0) && power(25.0) > power(8.0));
        // The handbook's craft: 5° at 10 m/s, 20° at 20, 39° at 30.
        for (speed, degrees) in [(10.0, 5.0), (20.0, 20.0), (30.0, 39.0)] {
            assert!(at(speed).is_ok_and(|level| (level.tilt.get() - degrees).abs() < 1.0));
        }
    }

    proptest! {
        #[test]
        fn thin_air_and_mass_cost_power(mass in 50.0..2_000.0f64, height in 0.0..4_000.0f64) {
            let craft = on_the_stand();
            let air = |z: f64| Air::standard(Metres::new(z)).unwrap_or_else(|f| unreachable!("{f}"));
            let stand = |z: f64| craft.hover(Grams::new(mass), air(z)).map_or(f64::NAN, Watts::get);
            let [low, high] = [height, height + 500.0].map(|z| (stand(z), air(z).density().get()));
            prop_assert!((high.0 / low.0 - (low.1 / high.1).sqrt()).abs() < 1e-9);
            let power = |mass: f64, z: f64| craft.hover(Grams::new(mass), air(z)).map_or(f64::NAN, Watts::get);
            prop_assert!(power(mass * 1.02, height) > power(mass, height));
            prop_assert!(four(127.0).hover(Grams::new(mass), air(height + 100.0)).map(Watts::get).unwrap_or(0.0)
                > four(127.0).hover(Grams::new(mass), air(height)).map(Watts::get).unwrap_or(f64::INFINITY));
        }
    }
}
