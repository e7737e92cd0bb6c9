//! How warm a stranded wire of a gauge gets: for good in still air, and after a punch.

use power::{Air, Lay, Surroundings, WIRE_LIMIT, Wire};
use quantity::{Amperes, Celsius, Metres, MetresPerSecond, Seconds};

/// Still air as hot as it is flown in.
pub(crate) fn still(air: Celsius) -> Option<Surroundings> {
    let air = Air::at(Metres::new(0.0), air).ok()?;
    Some(Surroundings { air, speed: MetresPerSecond::new(0.0) })
}

pub(crate) fn stranded(gauge: u32) -> Option<Wire> {
    Wire::gauge(i32::try_from(gauge).ok()?, Lay::Stranded).ok()
}

/// The current that warms a stranded wire to its limit for good.
pub(crate) fn steady_current(gauge: u32, about: Surroundings) -> Option<f64> {
    Some(stranded(gauge)?.steady_current(WIRE_LIMIT, about)?.get())
}

/// Its temperature after a punch that comes on top of what flows for good; none where it runs away.
pub(crate) fn after_punch(
    gauge: u32,
    steady: f64,
    (peak, held): (Amperes, Seconds),
    about: Surroundings,
) -> Option<f64> {
    let wire = stranded(gauge)?;
    let warm = wire.steady_temperature(Amperes::new(steady), about).ok()??;
    Some(wire.warmed(warm, peak, held).ok()?.get())
}

/// The copper of a stranded wire, mm².
pub(crate) fn copper(gauge: u32) -> Option<f64> {
    Some(stranded(gauge)?.area().get())
}
