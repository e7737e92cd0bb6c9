//! What field does an antenna send in a direction, and how much of a field does it take from there?
//!
//! Antennas on a mast have their axis up (z); aimed ones look forward (x). By the angle θ off the axis:
//! - half-wave dipole: power [cos(½π·cos θ)/sin θ]², gain 1.6409, polarised along the axis;
//! - circular omnidirectional: a belt round the mast, power f + (1−f)·sinᵐθ with f the level on the axis and m = 2 for a loop
//!   with a dipole (Wheeler 1947); more gain than that gives narrows the belt, less means loss;
//! - aimed: a [`Beam`], from a patch's data sheet or a [`Helix`];
//! - measured: a [`MeasuredPattern`], with the polarisation of each direction where that was measured.
//!
//! Polarisation: on a mast it is the same all round. An aimed antenna sends what crossed currents square to its axis send:
//! E ∝ J − d·(d·J), so a circular one grows elliptical off the axis and turns the other hand behind.
//! Left out: what the craft does to the pattern (see `screen`), and phase that differs over directions.

use crate::complex::Complex;
use crate::direction::Triple;
use crate::polarisation::{Hand, Jones, Polarisation, taken};
use crate::{Beam, Direction, Helix, MeasuredPattern, RadioFault, Turn, loss_of};
use quantity::{Db, Dbi, Degrees, Grade, Source};
use std::f64::consts::{FRAC_PI_2, PI};

/// Gain of a half-wave dipole as a plain ratio: 4 / Cin(2π).
pub const DIPOLE_GAIN: f64 = 1.640_922_376_984_585_6;

/// Where the dipole comes from.
pub const DIPOLE_SOURCE: Source = Source {
    title: "Balanis, Antenna Theory",
    place: "section 4.6, half-wavelength dipole, by integration of its pattern",
    grade: Grade::WorkedFromTheStandard,
};

/// Where the belt of a circular omnidirectional antenna comes from.
pub const OMNI_SOURCE: Source = Source {
    title: "Wheeler, A helical antenna for circular polarization, Proc. IRE 35 (1947)",
    place: "sin θ pattern of loop and dipole together; the level on the axis is common practice",
    grade: Grade::Memory,
};

/// Where the polarisation of aimed antennas off their axis comes from.
pub const CURRENTS_SOURCE: Source = Source {
    title: "Balanis, Antenna Theory",
    place: "section 3.6, far field of a current: its part square to the direction",
    grade: Grade::Memory,
};

/// Power on the axis of a circular omnidirectional antenna over that at the rim: 15 dB down (common practice: 8 to 20).
const AXIS_LEVEL: f64 = 0.031_622_776_601_683_79;
/// The belt of a loop with a dipole.
const BELT: f64 = 2.0;

#[derive(Clone, Debug, PartialEq)]
pub(crate) enum Pattern {
    HalfWave,
    Belt { exponent: f64, gain: f64, efficiency: f64 },
    Beam(Beam),
    MeasuredMast(MeasuredPattern),
    MeasuredAim(MeasuredPattern),
}

/// An antenna, in its own frame.
#[derive(Clone, Debug, PartialEq)]
pub struct Antenna {
    pub(crate) pattern: Pattern,
    polarisation: Polarisation,
    /// The same as two amplitudes.
    jones: Jones,
    /// The greatest gain, as a plain ratio.
    greatest: f64,
}

impl Antenna {
    /// A half-wave dipole along the mast; whips and sleeve antennas of like length count as that.
    pub fn half_wave_dipole() -> Self {
        Self::of(Pattern::HalfWave, Polarisation::UPRIGHT)
    }

    fn of(pattern: Pattern, polarisation: Polarisation) -> Self {
        let greatest = match &pattern {
            Pattern::HalfWave => DIPOLE_GAIN,
            Pattern::Belt { gain, .. } => *gain,
            Pattern::Beam(beam) => Db::new(beam.gain().get()).ratio(),
            Pattern::MeasuredMast(pattern) | Pattern::MeasuredAim(pattern) => {
                Db::new(pattern.greatest().get()).ratio()
            }
        };
        Self { pattern, polarisation, jones: polarisation.jones(), greatest }
    }

    /// A circular omnidirectional antenna on a mast, by its gain at the rim; an axial ratio has the long axis along
    /// the mast.
    pub fn circular_omni(hand: Hand, gain: Dbi, axial_ratio: Db) -> Result<Self, RadioFault> {
        RadioFault::within(
            "gain",
            gain,
            Dbi::new(-20.0),
            Dbi::new(6.0),
            "a belt cannot have more; check the unit",
        )?;
        let polarisation = Polarisation::elliptical(hand, axial_ratio, Degrees::new(90.0))?;
        let wanted = Db::new(gain.get()).ratio();
        let lossless = |exponent: f64| 1.0 / (AXIS_LEVEL + (1.0 - AXIS_LEVEL) * mean_of_sine(exponent));
        let mut exponent = BELT;
        if lossless(BELT) < wanted {
            let (mut low, mut high) = (BELT, 200.0);
            for _ in 0..40 {
                let middle = 0.5 * (low + high);
                if lossless(middle) < wanted { low = middle } else { high = middle }
            }
            exponent = high;
        }
        let efficiency = wanted / lossless(exponent);
        let belt = Pattern::Belt { exponent, gain: wanted, efficiency: efficiency.min(1.0) };
        Ok(Self::of(belt, polarisation))
    }

    /// A patch or another aimed antenna, by its beam and its polarisation on the axis.
    pub fn aimed(beam: Beam, polarisation: Polarisation) -> Self {
        Self::of(Pattern::Beam(beam), polarisation)
    }

    /// An axial-mode helix, wound to a hand.
    pub fn helix(helix: Helix, hand: Hand) -> Result<Self, RadioFault> {
        let polarisation = Polarisation::elliptical(hand, helix.axial_ratio(), Degrees::new(90.0))?;
        Ok(Self::aimed(helix.beam()?, polarisation))
    }

    /// An antenna on a mast whose pattern was measured off the mast's axis; round it from x toward y.
    ///
    /// The polarisation is that of every direction, unless the pattern has its own.
    pub fn measured_on_mast(pattern: MeasuredPattern, polarisation: Polarisation) -> Self {
        let polarisation = pattern.polarisation_at_greatest().unwrap_or(polarisation);
        Self::of(Pattern::MeasuredMast(pattern), polarisation)
    }

    /// An aimed antenna whose pattern was measured off its aim; round it from y (left) toward z (up).
    ///
    /// The polarisation is that on the axis, unless the pattern has its own.
    pub fn measured_aimed(pattern: MeasuredPattern, polarisation: Polarisation) -> Self {
        let polarisation = pattern.polarisation_at_greatest().unwrap_or(polarisation);
        Self::of(Pattern::MeasuredAim(pattern), polarisation)
    }

    /// The polarisation where the antenna is meant to work.
    pub const fn polarisation(&self) -> Polarisation {
        self.polarisation
    }

    /// The same antenna wound the other way; `None` if it is linear, which has no hand.
    pub fn other_handed(&self) -> Option<Self> {
        let polarisation = self.polarisation.other_handed()?;
        let pattern = match &self.pattern {
            Pattern::MeasuredMast(pattern) => Pattern::MeasuredMast(pattern.other_handed()),
            Pattern::MeasuredAim(pattern) => Pattern::MeasuredAim(pattern.other_handed()),
            other => other.clone(),
        };
        Some(Self::of(pattern, polarisation))
    }

    /// The share of its power that it radiates.
    pub fn efficiency(&self) -> f64 {
        match &self.pattern {
            Pattern::HalfWave => 1.0,
            Pattern::Belt { efficiency, .. } => *efficiency,
            Pattern::Beam(beam) => beam.efficiency(),
            Pattern::MeasuredMast(pattern) | Pattern::MeasuredAim(pattern) => pattern.efficiency(),
        }
    }

    /// The greatest gain, whatever the direction.
    pub fn greatest_gain(&self) -> Dbi {
        match &self.pattern {
            Pattern::HalfWave => Dbi::new(10.0 * DIPOLE_GAIN.log10()),
            Pattern::Belt { gain, .. } => Dbi::new(10.0 * gain.log10()),
            Pattern::Beam(beam) => beam.gain(),
            Pattern::MeasuredMast(pattern) | Pattern::MeasuredAim(pattern) => pattern.greatest(),
        }
    }

    /// The gain in one of its own directions.
    pub fn gain(&self, own: Direction) -> Dbi {
        Dbi::new(-loss_of(self.power_gain(own)).get())
    }

    pub(crate) fn power_gain(&self, own: Direction) -> f64 {
        let Direction(d) = own;
        match &self.pattern {
            Pattern::HalfWave => half_wave(d.z, d.x.hypot(d.y)),
            Pattern::Belt { exponent, gain, .. } => gain * belt(*exponent, d.x.hypot(d.y)),
            Pattern::Beam(beam) => self.greatest * beam.share(d.x.clamp(-1.0, 1.0)),
            Pattern::MeasuredMast(pattern) => of_grid(pattern, on_mast(d)),
            Pattern::MeasuredAim(pattern) => of_grid(pattern, off_aim(d)),
        }
    }

    /// The wave it sends in a direction of the site, once turned: its power is the gain, its parts level and up.
    pub fn wave(&self, turn: Turn, toward: Direction) -> Jones {
        let (level, up) = toward.basis();
        self.wave_on(turn, toward.0, level, up)
    }

    /// The same, where level and up are known already.
    pub(crate) fn wave_on(&self, turn: Turn, toward: Triple, level: Triple, up: Triple) -> Jones {
        let jones = self.wave_measured(turn, toward).unwrap_or(self.jones);
        match &self.pattern {
            Pattern::HalfWave | Pattern::Belt { .. } | Pattern::MeasuredMast(_) => {
                // Its own level lies square to the mast and to the direction, as far from their line as the sine says.
                let mast = turn.up_axis();
                let square = mast.cross(toward);
                let sine = square.length();
                let gain = match &self.pattern {
                    Pattern::HalfWave => half_wave(mast.dot(toward), sine),
                    Pattern::Belt { exponent, gain, .. } => gain * belt(*exponent, sine),
                    _ => self.power_gain(turn.inward(Direction(toward))),
                };
                // Along the mast itself the own level is the antenna's y.
                let (along, scale) = if sine > 1e-9 { (square, 1.0 / sine) } else { (turn.left_axis(), 1.0) };
                let (size, c, s) = (gain.sqrt(), along.dot(level) * scale, along.dot(up) * scale);
                Jones {
                    across: (jones.across * c - jones.up * s) * size,
                    up: (jones.across * s + jones.up * c) * size,
                }
            }
            Pattern::MeasuredAim(pattern) if pattern.tells_polarisation() => {
                // Level and up of its own: as one sees them who looks along the wave, with the antenna upright.
                let own_level = turn.up_axis().cross(toward).unit().unwrap_or(turn.left_axis());
                let own_up = toward.cross(own_level);
                let size = self.power_gain(turn.inward(Direction(toward))).sqrt();
                let part =
                    |axis: Triple| (jones.across * own_level.dot(axis) + jones.up * own_up.dot(axis)) * size;
                Jones { across: part(level), up: part(up) }
            }
            Pattern::Beam(_) | Pattern::MeasuredAim(_) => {
                // E ∝ J − d·(d·J): its parts along level and up are those of J.
                let (first, second) = (turn.left_axis(), turn.up_axis());
                let part = |axis: Triple| jones.across * first.dot(axis) + jones.up * second.dot(axis);
                let sent = Jones { across: part(level), up: part(up) };
                let gain = match &self.pattern {
                    Pattern::Beam(beam) => {
                        self.greatest * beam.share(turn.forward_axis().dot(toward).clamp(-1.0, 1.0))
                    }
                    _ => self.power_gain(turn.inward(Direction(toward))),
                };
                let power = sent.power();
                if power > 1e-18 {
                    let size = (gain / power).sqrt();
                    return Jones { across: sent.across * size, up: sent.up * size };
                }
                // Along a linear current nothing is sent; the pattern's share there has the level polarisation.
                let own = second.cross(toward).unit().unwrap_or(first);
                let size = Complex::real(gain.sqrt());
                Jones { across: size * own.dot(level), up: size * own.dot(up) }
            }
        }
    }

    /// What was measured to be sent there, of power one; `None` where nobody measured it.
    fn wave_measured(&self, turn: Turn, toward: Triple) -> Option<Jones> {
        let (pattern, angles): (_, fn(Triple) -> [Degrees; 2]) = match &self.pattern {
            Pattern::MeasuredMast(pattern) => (pattern, on_mast),
            Pattern::MeasuredAim(pattern) => (pattern, off_aim),
            _ => return None,
        };
        if !pattern.tells_polarisation() {
            return None;
        }
        let [off, round] = angles(turn.inward(Direction(toward)).0);
        pattern.wave(off, round)
    }

    /// The amplitude it takes, once turned, of a wave that comes along a direction of the site: its power over that of
    /// an isotropic antenna that fits.
    pub fn takes(&self, turn: Turn, wave: Jones, along: Direction) -> Complex {
        taken(wave, self.wave(turn, along.opposite()))
    }
}

fn half_wave(cosine: f64, sine: f64) -> f64 {
    if sine < 1e-6 { 0.0 } else { DIPOLE_GAIN * ((FRAC_PI_2 * cosine).cos() / sine).powi(2) }
}

fn belt(exponent: f64, sine: f64) -> f64 {
    let sine = sine.min(1.0);
    let round = if exponent == BELT { sine * sine } else { sine.powf(exponent) };
    AXIS_LEVEL + (1.0 - AXIS_LEVEL) * round
}

fn of_grid(pattern: &MeasuredPattern, [off, round]: [Degrees; 2]) -> f64 {
    Db::new(pattern.gain(off, round).get()).ratio()
}

/// Angles off the mast and round it, from x toward y.
fn on_mast(own: Triple) -> [Degrees; 2] {
    angles(own.z, own.y.atan2(own.x))
}

/// Angles off the aim and round it, from y toward z.
fn off_aim(own: Triple) -> [Degrees; 2] {
    angles(own.x, own.z.atan2(own.y))
}

fn angles(cosine: f64, round: f64) -> [Degrees; 2] {
    [cosine.clamp(-1.0, 1.0).acos(), round].map(|angle| Degrees::new(angle.to_degrees()))
}

/// The mean of sinᵐ over the sphere: ½∫ sin^(m+1) θ dθ, by the substitution that makes it smooth at both ends.
fn mean_of_sine(exponent: f64) -> f64 {
    let steps = 128;
    let sum: f64 =
        (0..steps).map(|n| (PI * (f64::from(n) + 0.5) / f64::from(steps)).sin().powf(exponent + 1.0)).sum();
    0.5 * sum * PI / f64::from(steps)
}
