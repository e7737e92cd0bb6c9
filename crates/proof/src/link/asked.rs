//! A pose that somebody asks about: how far, how high, turned how, at which level.

use super::{Attitude, Link, LinkModel, RadioLevel};
use quantity::{Degrees, Metres};
use radio::{Place, RadioFault};

/// Where the craft is asked about when its sheet does not say how far it is to fly, and how high: a look round, no plan.
const UNPLANNED: (Metres, Metres) = (Metres::new(150.0), Metres::new(5.0));

/// A pose on the flying line, at a level.
#[derive(Clone, Debug, PartialEq)]
pub struct LinkAsked {
    /// Along the flying line.
    pub distance: Metres,
    /// Above the ground.
    pub height: Metres,
    /// Where the nose points: nought away, left positive.
    pub heading: Degrees,
    /// How far the nose is down; up is under nought.
    pub nose_down: Degrees,
    /// Right side down positive.
    pub bank: Degrees,
    /// The level that is set.
    pub level: RadioLevel,
}

impl LinkAsked {
    /// What the sheet plans: as far and as high as it is to fly, nose away, in cruise, at the level that is set; the least
    /// level where none is. `None` if the transmitter offers no level.
    pub fn planned(model: &LinkModel) -> Option<Self> {
        let plan = &model.plan;
        let level = plan.level.as_ref().ok().or_else(|| model.levels.first())?.clone();
        Some(Self {
            distance: plan.fly_to.as_ref().map_or(UNPLANNED.0, |fly_to| *fly_to),
            height: plan.height.as_ref().map_or(UNPLANNED.1, |height| *height),
            heading: Degrees::new(0.0),
            nose_down: plan.cruise_tilt().unwrap_or(Degrees::new(0.0)),
            bank: Degrees::new(0.0),
            level,
        })
    }

    /// How the craft is turned.
    pub fn attitude(&self) -> Attitude {
        Attitude::cruising(self.heading, self.nose_down).banked(self.bank)
    }

    /// Why the unit cannot be at that level, as a sentence; `None` where it can.
    pub fn unreached(&self, model: &LinkModel) -> Option<String> {
        let held = model.plan.held_low.as_ref()?;
        let least = model.levels.first()?;
        (self.level.at_socket > least.at_socket).then(|| {
            format!(
                "As it is wired the unit cannot be set to {}: {}, and so it stays at {}.",
                self.level.out, held.why, least.out
            )
        })
    }

    /// Where it is.
    pub fn place(&self) -> Result<Place, RadioFault> {
        Link::on_line(self.distance, self.height)
    }
}
