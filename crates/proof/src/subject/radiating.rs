//! What a craft radiates: the level at the socket less the feed plus the greatest gain of its antenna.
//!
//! Of several antennas the one that radiates most counts, with the whole level: they share it, but in some
//! direction their fields may add.

use crate::link::{Lack, LinkModel, Mounted, RadioLevel};
use quantity::{Db, Dbi, Dbm, Linear};

/// What is radiated at the level that is set.
pub(crate) struct Radiating {
    /// Equivalent isotropic power in dBm, with the facts it leans on.
    pub eirp: Linear,
    /// At the socket.
    pub level: Dbm,
    /// What the feed usually loses.
    pub feed: Db,
    /// The greatest gain.
    pub gain: Dbi,
}

/// What the craft radiates at the level that is set, or what lacks.
pub(crate) fn radiating(model: &LinkModel) -> Result<Radiating, Lack> {
    let mut lack = Lack::default();
    model.senders.iter().filter_map(|sender| sender.built.as_ref().err()).for_each(|other| lack.add(other));
    let level = model.plan.set.as_ref().map_err(|other| lack.add(other)).ok();
    let built = model.senders.iter().filter_map(|sender| sender.built.as_ref().ok());
    let strongest = built.max_by(|a, b| over(a).total_cmp(&over(b)));
    match (level, strongest) {
        (Some(level), Some(mounted)) if lack.is_empty() => Ok(of(level, mounted)),
        _ => Err(lack),
    }
}

/// Gain less feed.
fn over(mounted: &Mounted) -> f64 {
    mounted.antenna.greatest_gain().get() - mounted.feed_loss().usual.get()
}

fn of(level: &RadioLevel, mounted: &Mounted) -> Radiating {
    let own = mounted.with_doubt(|antenna, loss| antenna.greatest_gain().get() - loss.get());
    let socket = Linear { value: level.at_socket.get(), slopes: vec![(level.fact, 1.0)] };
    Radiating {
        eirp: &own + &socket,
        level: level.at_socket,
        feed: mounted.feed_loss().usual,
        gain: mounted.antenna.greatest_gain(),
    }
}

/// Whether a level keeps within the limit that the pilot stated; without one nobody said no.
pub(crate) fn within_limit(model: &LinkModel, level: &RadioLevel) -> bool {
    let Ok(limit) = &model.plan.radiated_limit else { return true };
    let built = model.senders.iter().filter_map(|sender| sender.built.as_ref().ok());
    let most = built.map(over).fold(f64::NEG_INFINITY, f64::max);
    Dbm::from_power(*limit).is_none_or(|limit| level.at_socket.get() + most <= limit.get())
}
