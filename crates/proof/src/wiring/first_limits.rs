//! What is a current-limited supply set to at a first power-up, step by step?
//!
//! At first with the video unplugged: one and a half times what the video draws at its lowest level, half an ampere at least. That holds a slip to a
//! warm wire. Then the video starts: what its start-up peak takes through its rails, at the supply's voltage, with all else that is on, and a quarter
//! more. Then a motor turns by itself: what the stand's lowest point takes, else by custom, twice for spinning up. Last all of them idle. Beyond what a
//! small bench supply gives it is the pack behind a limiter.

use super::Proof;
use crate::supply::VIDEO;
use craft::schema::{PartKind, air, drive};
use power::{PACK, Rails, Usage};
use quantity::{Celsius, Measure, Source, Volts};

/// A motor without blades, idling, in A, where no stand says what it takes.
pub const IDLE: f64 = 0.8;
/// Where that comes from.
pub const IDLE_SOURCE: Source =
    Source::common_practice("motors of hand-sized craft idle at 0.3 to 1.5 A without blades");
/// What a small bench supply gives, in A.
pub const BENCH_SUPPLY: f64 = 5.0;
/// How many times its usual draw a video unit takes at its start, where no peak is stated: 1.3 to 1.8.
const START_TIMES: f64 = 1.8;
/// Of a converter of which nothing is said.
const EFFICIENCY: f64 = 0.85;

/// One setting of the limiter.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LimitStep {
    /// What flows at most if all is well, A.
    pub takes: f64,
    /// What the limiter is set to, A.
    pub limit: f64,
}

/// The settings of the limiter.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FirstLimits {
    /// Voltage of the supply, where the cells of the pack are known.
    pub volts: Option<f64>,
    /// Without the video, A.
    pub boards: f64,
    /// Once the video is plugged in; none without a video transmitter.
    pub video: Option<LimitStep>,
    /// One motor turning by itself without blades; none without motors.
    pub motor: Option<LimitStep>,
    /// All of them idling.
    pub armed: Option<LimitStep>,
    /// What one motor takes, A, and whether a stand says so.
    pub idle: (f64, bool),
}

/// What the limiter is set to, step by step.
pub fn first_limits(proof: &Proof) -> FirstLimits {
    let cells = proof.places_of(PartKind::Pack).find_map(|pack| pack.part.item().count(&drive::CELLS).ok());
    let known = cells.map(|cells| 3.7 * f64::from(cells));
    let volts = known.unwrap_or(3.7);
    let draws = |most: fn(f64, f64) -> f64| -> f64 {
        let units = proof.places_of(PartKind::VideoTransmitter).filter_map(|unit| {
            let rows = unit.part.rows(&air::level::TABLE);
            rows.filter_map(|row| row.read(&air::level::DRAW).ok().map(|draw| draw.value.raw())).reduce(most)
        });
        units.sum()
    };
    let boards = up((1.5 * draws(f64::min) / volts).max(0.5));
    let has_video = proof.places_of(PartKind::VideoTransmitter).next().is_some();
    let video = has_video.then(|| {
        let takes = start_through_rails(proof, volts).unwrap_or_else(|| {
            let peaks = proof
                .places_of(PartKind::VideoTransmitter)
                .filter_map(|unit| Some(unit.part.item().read(&air::START_PEAK).ok()?.value.get()));
            // Where its rail is not known, the ampere of its pins is taken as one of the supply: too much where a rail steps down.
            peaks.sum::<f64>().max(START_TIMES * draws(f64::max) / EFFICIENCY / volts)
        });
        LimitStep { takes, limit: up((1.25 * takes).max(boards)) }
    });
    let idle = idle(proof);
    let before = video.map_or(boards, |video| video.limit);
    let held = video.map_or(0.0, |video| video.takes);
    let motors = proof.places_of(PartKind::Motor).count() as f64;
    let step = |count: f64| {
        let takes = held + count * idle.0;
        (motors > 0.0).then(|| LimitStep { takes, limit: up((takes + idle.0).max(before)) })
    };
    FirstLimits { volts: known, boards, video, motor: step(1.0), armed: step(motors), idle }
}

/// A tenth of an ampere upward.
fn up(amperes: f64) -> f64 {
    (10.0 * amperes - 1e-9).ceil() / 10.0
}

/// A of the supply while the video starts and all else is on, through the rails as they are; none where they are not known.
fn start_through_rails(proof: &Proof, volts: f64) -> Option<f64> {
    let model = proof.supply()?.model();
    let net = model.net.as_ref().ok()?;
    let (slots, video) = (&model.slots, net.video());
    let values = slots.values();
    let made = net.at(values, Celsius::new(30.0)).ok()?;
    let bus = Volts::new(volts);
    let report = made.at(bus, Usage::Typical);
    let usual = (report.loads[VIDEO].amperes.get(), report.loads[VIDEO].volts.get());
    let start = video.start.map_or(START_TIMES * usual.0, |start| start.at(values));
    let way = net.way_in(&video.on);
    let shares = way.iter().map(|rail| rail.efficiency.map_or(EFFICIENCY, |share| 1e-2 * share.at(values)));
    let efficiency: f64 = shares.product();
    let at = if video.on == PACK { volts } else { usual.1 };
    let more = (start - usual.0).max(0.0) * at / efficiency.max(0.1);
    let watts = Rails::power(&made, bus, Usage::Typical).get() + more;
    (watts > 0.0 && at > 0.0).then(|| watts / volts)
}

/// What one motor takes at the least throttle a stand was read at, else by custom; `true` if by the stand.
fn idle(proof: &Proof) -> (f64, bool) {
    use drive::thrust::{CURRENT, TABLE};
    let motor = proof.places_of(PartKind::Motor).next();
    let rows = motor.iter().flat_map(|motor| motor.part.rows(&TABLE));
    let least =
        rows.filter_map(|row| Some(row.read(&CURRENT).ok()?.value.get())).filter(|amperes| *amperes > 0.0);
    // With blades, and so more than without.
    least.reduce(f64::min).filter(|least| *least <= 3.0).map_or((IDLE, false), |least| (least, true))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::testing_supply::{on_the_pack, set, sound_supply};

    fn limits(spoil: impl FnOnce(&mut craft::Craft)) -> FirstLimits {
        let mut craft = sound_supply();
        spoil(&mut craft);
        first_limits(&Proof::new(&craft))
    }

    /// 0.9 A at 9 V through 90 % are 9 W, or 0.61 A at 14.8 V, beside what boards and receiver take.
    #[test]
    fn the_start_of_the_video_fits_under_its_limit_with_all_else() {
        let found = limits(|_| {});
        let video = found.video.unwrap_or(LimitStep { takes: 0.0, limit: 0.0 });
        assert!(video.takes > 0.61 && video.takes < 0.85, "{found:?}");
        assert!(video.limit >= 1.25 * video.takes && video.limit > found.boards, "{found:?}");
        // Straight on the pack the ampere is the supply's own.
        let direct = limits(on_the_pack);
        assert!(direct.video.is_some_and(|video| video.takes > 0.9 && video.limit >= 1.2), "{direct:?}");
    }

    #[test]
    fn each_further_step_carries_more_and_all_motors_carry_most() {
        let found = limits(|craft| set(craft, "vtx.start_peak", ""));
        let steps = [found.video, found.motor, found.armed].map(|step| step.map_or(0.0, |step| step.limit));
        assert!(steps[0] > found.boards && steps[1] > steps[0] && steps[2] > steps[1], "{found:?}");
        let takes = found.armed.map_or(0.0, |step| step.takes);
        assert!(takes >= 4.0 * IDLE && steps[2] > takes, "{found:?}");
    }
}
