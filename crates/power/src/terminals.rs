//! At which voltage do a pack and what pulls at it agree?
//!
//! V = ΣU − R·I − Σa·asinh(I/s) with I = P/V + I_c + k·V²: the greatest root, by Newton's steps from above (`pack.rs` says why). Pack and loads
//! stand here as bare numbers of one moment, since this is asked thousands of times over a flight.

use crate::Draw;
use crate::cell::CellAt;

/// What pulls, in bare numbers: W, A, A/V².
#[derive(Clone, Copy, Debug)]
pub(crate) struct Pull {
    pub(crate) power: f64,
    current: f64,
    square: f64,
}

impl Pull {
    pub(crate) fn of(draw: &Draw) -> Self {
        let square = draw.throttle.map_or(0.0, |(amperes, volts)| amperes.get() / volts.get().powi(2));
        Self { power: draw.power.get(), current: draw.current.get(), square }
    }
    pub(crate) fn amperes(&self, volts: f64) -> f64 {
        self.at(volts)[0]
    }
    fn at(&self, volts: f64) -> [f64; 2] {
        let by_power = self.power / volts;
        [by_power + self.current + self.square * volts * volts, 2.0 * self.square * volts - by_power / volts]
    }
}

/// A pack as its loads see it at one moment.
pub(crate) struct Terminals {
    pub(crate) rest: f64,
    ohm: f64,
    /// Volts and current of each charge transfer: one for each kind of cell.
    transfers: [[f64; 2]; 4],
    kinds: usize,
    others: Vec<[f64; 2]>,
}

/// Newton's steps square what is left: one as short as this share of the voltage leaves less than a millionth of a millivolt.
const LAST_STEP: f64 = 1e-6;

impl Terminals {
    /// No cells yet, behind leads and plug.
    pub(crate) fn behind(ohm: f64) -> Self {
        Self { rest: 0.0, ohm, transfers: [[0.0, 1.0]; 4], kinds: 0, others: Vec::new() }
    }

    /// So many cells of a kind in series.
    pub(crate) fn resists(&mut self, cell: CellAt<'_>, share: f64, n: f64, parallel: f64) {
        self.ohm += n * cell.ohmic(share) / parallel;
        let [volts, scale] = cell.transfer();
        let transfer = [n * volts, scale * parallel];
        match self.transfers.get_mut(self.kinds) {
            Some(place) => (*place, self.kinds) = (transfer, self.kinds + 1),
            None => self.others.push(transfer),
        }
    }

    /// What is lost at a current, and how fast that grows.
    pub(crate) fn lost(&self, amperes: f64) -> [f64; 2] {
        let mut lost = [self.ohm * amperes, self.ohm];
        for [volts, scale] in self.transfers[..self.kinds].iter().chain(&self.others) {
            let [found, root] = asinh(amperes / scale);
            lost[0] += volts * found;
            lost[1] += volts / (scale * root);
        }
        lost
    }

    /// Volts and amperes at the greatest root.
    pub(crate) fn solve(&self, pull: &Pull, near: Option<f64>) -> Option<[f64; 2]> {
        near.and_then(|volts| self.newton(pull, volts)).or_else(|| self.newton(pull, self.rest))
    }

    fn newton(&self, pull: &Pull, start: f64) -> Option<[f64; 2]> {
        let mut volts = start;
        for _ in 0..60 {
            if volts.is_nan() || volts <= 1e-3 {
                return None;
            }
            let [amperes, slope] = pull.at(volts);
            let [lost, grows] = self.lost(amperes);
            let (over, bend) = (self.rest - lost - volts, -grows * slope - 1.0);
            // Where the loads win over the source, no stable point lies.
            if bend >= 0.0 {
                return None;
            }
            let step = over / bend;
            volts -= step;
            // Near a fold the steps square badly: there they go on until nothing is left.
            let last = if bend < -0.3 { LAST_STEP } else { 1e-10 };
            if step.abs() < last * self.rest {
                let amperes = pull.at(volts)[0];
                return (volts > 1e-3 && amperes.is_finite()).then_some([volts, amperes]);
            }
        }
        None
    }

    /// How many volts the bus moves where the loads take a watt more, at a voltage and current that agree.
    pub(crate) fn volts_by_watt(&self, pull: &Pull, [volts, amperes]: [f64; 2]) -> f64 {
        let [_, grows] = self.lost(amperes);
        grows / (volts * (-grows * pull.at(volts)[1] - 1.0))
    }
}

/// asinh(x) = ±ln(|x| + √(x² + 1)), with that root: no current over its scale is so great that its square is none, or so little that the
/// rounding beside 1 is felt in the voltage. By |x|, for below nought the sum would lose its digits, and at last all of them.
pub(crate) fn asinh(x: f64) -> [f64; 2] {
    let root = (x * x + 1.0).sqrt();
    [(x.abs() + root).ln().copysign(x), root]
}

#[cfg(test)]
mod tests {
    use super::asinh;

    #[test]
    fn the_root_of_a_current_is_as_exact_backward_as_forward() {
        for x in [0.0, 1e-3, 0.5, 3.0, 1e4, 1e9, 1e150] {
            let [found, root] = asinh(x);
            assert!((found - x.asinh()).abs() <= 1e-12 * x.asinh().max(1.0), "{x}");
            assert_eq!(asinh(-x), [-found, root]);
        }
    }
}
