//! Which antenna of the station carries the link where along the flying line?

use super::{Link, LinkAsked};
use quantity::{Db, Metres};
use radio::{RadioFault, carrying};

/// How many places are looked at.
const PLACES: usize = 240;

/// A stretch of the flying line on which one antenna carries.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Carried {
    /// The number of the station's antenna.
    pub ground: usize,
    /// From here.
    pub from: Metres,
    /// To here.
    pub to: Metres,
    /// The least margin on it.
    pub least: Db,
}

impl Link {
    /// Stretch by stretch from a nearest to a farthest distance, as asked in all else. Ends are good to a place looked at: the
    /// length over 240.
    pub fn carried(
        &self,
        asked: &LinkAsked,
        [nearest, farthest]: [Metres; 2],
    ) -> Result<Vec<Carried>, RadioFault> {
        let mut found: Vec<Carried> = Vec::new();
        for n in 0..=PLACES {
            let share = n as f64 / PLACES as f64;
            let at = Metres::new(nearest.get() + (farthest.get() - nearest.get()) * share);
            let margins =
                self.margins(Self::on_line(at, asked.height)?, asked.attitude(), asked.level.at_socket)?;
            let Some(ground) = carrying(&margins) else { continue };
            let margin = margins[ground];
            match found.last_mut() {
                Some(last) if last.ground == ground => {
                    last.to = at;
                    if margin < last.least {
                        last.least = margin;
                    }
                }
                before => {
                    let from = before.map_or(at, |last| last.to);
                    found.push(Carried { ground, from, to: at, least: margin });
                }
            }
        }
        Ok(found)
    }
}
