//! How a margin leans on the facts of the antennas, feeds, level and receiver, and on what is published of walls, leaves and ground.

use super::{Attitude, Link, RadioLevel};
use quantity::{Dbm, FactIndex, Linear, Metres};
use radio::{Place, RadioFault};
use std::collections::BTreeSet;

/// Nearer than this nobody asks how a range leans.
const CLEAR: Metres = Metres::new(10.0);

impl Link {
    /// What is in hand there at a level that the transmitter offers, with its slope on every fact that may be off and on the spread of what is
    /// published of walls, leaves and ground, as they take from the pair that carries the link.
    pub fn margin_with_doubt(
        &self,
        craft: Place,
        attitude: Attitude,
        level: &RadioLevel,
    ) -> Result<Linear, RadioFault> {
        let mut margin = self.margin_of_facts(craft, attitude, level)?;
        margin.slopes.extend(self.spread_at(craft, attitude, level.at_socket)?);
        Ok(margin)
    }

    /// The same with its slope on the facts of both ends alone. Differences
    /// over a small step; a receiver that takes the best input leans on the facts of that one.
    pub fn margin_of_facts(
        &self,
        craft: Place,
        attitude: Attitude,
        level: &RadioLevel,
    ) -> Result<Linear, RadioFault> {
        // What the craft takes of the ray hangs on none of these facts.
        let shadows = self.shadows(craft, attitude)?;
        let result = self.with_doubt(|link| {
            let margins = link.margins_shadowed(craft, attitude, level.at_socket, &shadows)?;
            Ok(link.of_all(&margins).get())
        })?;
        let mut slopes = vec![(level.fact, 1.0)];
        slopes.extend(self.threshold.leans.iter().map(|(fact, slope)| (*fact, -slope)));
        let leans = Linear { value: 0.0, slopes };
        Ok(&result + &leans)
    }

    /// How a margin leans on all facts of both ends, toward a range: asked clear of ground and obstacles, for in the null of a lobe a
    /// gain seems to do what it does nowhere else. Its value is nought.
    pub(crate) fn leaning(
        &self,
        (distance, height): (Metres, Metres),
        attitude: Attitude,
        level: &RadioLevel,
    ) -> Linear {
        let mut clear = self.clone();
        clear.scenery = radio::Scenery::default();
        let at = Link::on_line(distance.max(CLEAR), height);
        let whole = at.and_then(|at| clear.margin_with_doubt(at, attitude, level));
        let threshold = self.threshold.leans.iter().map(|(fact, slope)| (*fact, -slope));
        // A link that cannot be computed there still leans on its level and on what it needs.
        let least = || std::iter::once((level.fact, 1.0)).chain(threshold).collect();
        Linear { value: 0.0, slopes: whole.map_or_else(|_| least(), |whole| whole.slopes) }
    }

    /// How the margin there leans on what is published of walls, leaves and ground.
    pub(crate) fn spread_at(
        &self,
        craft: Place,
        attitude: Attitude,
        level: Dbm,
    ) -> Result<Vec<(FactIndex, f64)>, RadioFault> {
        let at = self.at(craft, attitude, level)?;
        Ok(at.carrying().map_or_else(Vec::new, |pair| self.spreads.slopes(&pair.budget)))
    }

    /// Any number that follows from the antennas and feeds, with its slope on each of their facts.
    pub fn with_doubt(&self, of: impl Fn(&Link) -> Result<f64, RadioFault>) -> Result<Linear, RadioFault> {
        let value = of(self)?;
        let both = || self.senders.iter().chain(&self.grounds);
        let facts: BTreeSet<_> =
            both().flat_map(|mounted| &mounted.nudged).map(|nudged| nudged.fact).collect();
        let mut slopes = Vec::with_capacity(facts.len());
        for fact in facts {
            let mut moved = self.clone();
            let mut step = 0.0;
            for mounted in moved.senders.iter_mut().chain(&mut moved.grounds) {
                let Some(nudged) = mounted.nudged.iter().find(|nudged| nudged.fact == fact) else { continue };
                step = nudged.step;
                mounted.antenna = nudged.antenna.clone();
                let more = nudged.loss - mounted.loss.total().usual;
                mounted.loss.leads = mounted.loss.leads + more;
            }
            let slope = (of(&moved)? - value) / step;
            if slope != 0.0 && slope.is_finite() {
                slopes.push((fact, slope));
            }
        }
        Ok(Linear { value, slopes })
    }
}
