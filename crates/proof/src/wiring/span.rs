//! How long is a wire to be cut?
//!
//! Along the edges of the craft from pad to pad, |Δx| + |Δy| + |Δz|: wires are led square round boards, not through them.
//! Slack wanted beside that is 12 mm or 8 %, whichever is more, for soldering, a loop and soft mounts; 3 mm of each end are
//! stripped and tinned. Rounded up to 5 mm. Common practice. Where no pad has a place of its own, that of its plug is taken,
//! or the middle of its part: that is good for a first cut, not for a fit.

use super::{WireRow, WiringModel};
use quantity::Source;

/// Where slack comes from.
pub const LENGTH_SOURCE: Source =
    Source::common_practice("wires: led square, 12 mm or 8 % of slack, 3 mm stripped at each end");
/// The least slack, mm.
pub const SLACK_LEAST: f64 = 12.0;
const SLACK_SHARE: f64 = 0.08;
const STRIPPED: f64 = 3.0;
const STEP: f64 = 5.0;

/// The length to cut between two places, mm.
pub fn cut_length(from: [f64; 3], to: [f64; 3]) -> f64 {
    let led: f64 = from.iter().zip(to).map(|(a, b)| (a - b).abs()).sum();
    let length = led + SLACK_LEAST.max(SLACK_SHARE * led) + 2.0 * STRIPPED;
    (length / STEP - 1e-9).ceil() * STEP
}

impl WiringModel {
    /// The length of a wire: as said, or worked out from where its pads stand; `true` beside one that was said.
    pub fn length_of(&self, wire: &WireRow) -> Option<(f64, bool)> {
        if let Some(said) = wire.length {
            return Some((said, true));
        }
        let [from, to] = *wire.joins.first()?;
        Some((cut_length(self.pads[from].at?, self.pads[to].at?), false))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_wire_is_led_square_with_slack() {
        assert_eq!(cut_length([0.0; 3], [30.0, 20.0, 10.0]), 80.0);
        assert_eq!(cut_length([0.0; 3], [300.0, 0.0, 0.0]), 330.0);
        assert_eq!(cut_length([1.0; 3], [1.0; 3]), 20.0);
    }
}
