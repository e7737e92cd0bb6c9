//! What does an antenna send round about, as it stands or flies?

use super::{Attitude, Link, Side};
use quantity::{Db, Dbi, Degrees};
use radio::{Direction, Polarisation, RadioFault, loss_of};

/// A plane through an antenna.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Plane {
    /// Level: nought along the flying line, left positive.
    Level,
    /// Upright along the flying line: nought along it, up positive.
    Along,
    /// Upright across the flying line: nought to the left, up positive.
    Across,
}

/// What an antenna sends in one direction.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PatternPoint {
    /// In the plane.
    pub angle: Degrees,
    /// Its gain there.
    pub gain: Dbi,
    /// What the craft takes of it.
    pub shadow: Db,
    /// How what is sent there is polarised; `None` where nothing is.
    pub polarisation: Option<Polarisation>,
}

impl Plane {
    /// The direction at an angle of the plane.
    pub fn direction(self, angle: Degrees) -> Result<Direction, RadioFault> {
        let (s, c) = angle.get().to_radians().sin_cos();
        match self {
            Plane::Level => Direction::new(c, s, 0.0),
            Plane::Along => Direction::new(c, 0.0, s),
            Plane::Across => Direction::new(0.0, c, s),
        }
    }
}

impl Link {
    /// One antenna all round in a plane, in so many steps; one of the station stands as it stands, whatever the attitude.
    pub fn pattern_cut(
        &self,
        (side, number): (Side, usize),
        plane: Plane,
        attitude: Attitude,
        steps: usize,
    ) -> Result<Vec<PatternPoint>, RadioFault> {
        let antennas = match side {
            Side::Craft => &self.senders,
            Side::Ground => &self.grounds,
        };
        let Some(mounted) = antennas.get(number) else { return Ok(Vec::new()) };
        let flown = match side {
            Side::Craft => attitude.turn(),
            Side::Ground => radio::Turn::NONE,
        };
        let turn = flown.after(mounted.turn);
        (0..steps)
            .map(|n| {
                let angle = Degrees::new(360.0 * n as f64 / steps as f64);
                let toward = plane.direction(angle)?;
                let wave = mounted.antenna.wave(turn, toward);
                let shadow = mounted.shadows.loss(flown.inward(toward), self.carrier);
                let gain = Dbi::new(-loss_of(wave.power()).get());
                Ok(PatternPoint { angle, gain, shadow, polarisation: wave.polarisation() })
            })
            .collect()
    }
}
