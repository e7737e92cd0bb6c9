//! What field does an antenna send in a direction, and how much of a field does it take from there?
//!
//! Antennas on a mast have their axis up (z); aimed ones look forward (x). By the angle θ off the axis:
//! - half-wave dipole: power [cos(½π·cos θ)/sin θ]², gain 1.6409, polarised along the axis;
//! - circular omnidirectional: a belt round the mast, power f + (1−f)·sinᵐθ with f the level on the axis and m = 2 for a loop
//!   with a dipole (Wheeler 1947); more gain than that gives narrows the belt, less means loss;
//! - aimed: a [`Beam`], from a patch's data sheet or a [`Helix`];
//! - measured: a [`MeasuredPattern`].
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
enum Pattern {
    HalfWave,
    Belt { exponent: f64, gain: f64, efficiency: f64 },
    Beam(Beam),
    MeasuredMast(MeasuredPattern),
    MeasuredAim(MeasuredPattern),
}

/// An antenna, in its own frame.
#[derive(Clone, Debug, PartialEq)]
pub struct Antenna {
    pattern: Pattern,
    polarisation: Polarisation,
}

impl Antenna {
    /// A half-wave dipole along the mast; whips and sleeve antennas of like length count as that.
    pub const fn half_wave_dipole() -> Self {
        Self { pattern: Pattern::HalfWave, polarisation: Polarisation::UPRIGHT }
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
        Ok(Self {
            pattern: Pattern::Belt { exponent, gain: wanted, efficiency: efficiency.min(1.0) },
            polarisation,
        })
    }

    /// A patch or another aimed antenna, by its beam and its polarisation on the axis.
    pub const fn aimed(beam: Beam, polarisation: Polarisation) -> Self {
        Self { pattern: Pattern::Beam(beam), polarisation }
    }

    /// An axial-mode helix, wound to a hand.
    pub fn helix(helix: Helix, hand: Hand) -> Result<Self, RadioFault> {
        let polarisation = Polarisation::elliptical(hand, helix.axial_ratio(), Degrees::new(90.0))?;
        Ok(Self::aimed(helix.beam()?, polarisation))
    }

    /// An antenna on a mast whose pattern was measured off the mast's axis; round it from x toward y.
    pub const fn measured_on_mast(pattern: MeasuredPattern, polarisation: Polarisation) -> Self {
        Self { pattern: Pattern::MeasuredMast(pattern), polarisation }
    }

    /// An aimed antenna whose pattern was measured off its aim; round it from y (left) toward z (up).
    pub const fn measured_aimed(pattern: MeasuredPattern, polarisation: Polarisation) -> Self {
        Self { pattern: Pattern::MeasuredAim(pattern), polarisation }
    }

    /// The polarisation where the antenna is meant to work.
    pub const fn polarisation(&self) -> Polarisation {
        self.polarisation
    }

    /// The same antenna wound the other way; `None` if it is linear, which has no hand.
    pub fn other_handed(&self) -> Option<Self> {
        let polarisation = self.polarisation.other_handed()?;
        Some(Self { pattern: self.pattern.clone(), polarisation })
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

    fn power_gain(&self, own: Direction) -> f64 {
        let Direction(d) = own;
        match &self.pattern {
            Pattern::HalfWave => {
                let (cosine, sine) = (d.z, d.x.hypot(d.y));
                if sine < 1e-6 { 0.0 } else { DIPOLE_GAIN * ((FRAC_PI_2 * cosine).cos() / sine).powi(2) }
            }
            Pattern::Belt { exponent, gain, .. } => {
                gain * (AXIS_LEVEL + (1.0 - AXIS_LEVEL) * d.x.hypot(d.y).min(1.0).powf(*exponent))
            }
            Pattern::Beam(beam) => Db::new(beam.gain().get()).ratio() * beam.share(d.x.clamp(-1.0, 1.0)),
            Pattern::MeasuredMast(pattern) => of_grid(pattern, d.z, d.y.atan2(d.x)),
            Pattern::MeasuredAim(pattern) => of_grid(pattern, d.x, d.z.atan2(d.y)),
        }
    }

    /// The field it sends in one of its own directions; its power is the gain there.
    fn field(&self, own: Direction) -> Field {
        let size = self.power_gain(own).sqrt();
        let jones = self.polarisation.jones();
        let (level, up) = own.basis();
        let unit = match &self.pattern {
            Pattern::HalfWave | Pattern::Belt { .. } | Pattern::MeasuredMast(_) => {
                Field::of(jones, level, up)
            }
            Pattern::Beam(_) | Pattern::MeasuredAim(_) => {
                let currents = Field::of(jones, Triple::Y, Triple::Z);
                let sent = currents.square_to(own.0);
                // Along a linear current nothing is sent; the pattern's share there has the level polarisation.
                sent.unit()
                    .unwrap_or_else(|| Field::of(Polarisation::linear(Degrees::new(0.0)).jones(), level, up))
            }
        };
        unit.times(size)
    }

    /// The wave it sends in a direction of the site, once turned: its power is the gain, its parts level and up.
    pub fn wave(&self, turn: Turn, toward: Direction) -> Jones {
        let field = self.field(turn.inward(toward)).turned(turn);
        let (level, up) = toward.basis();
        Jones { across: field.along(level), up: field.along(up) }
    }

    /// The amplitude it takes, once turned, of a wave that comes along a direction of the site: its power over that of
    /// an isotropic antenna that fits.
    pub fn takes(&self, turn: Turn, wave: Jones, along: Direction) -> Complex {
        taken(wave, self.wave(turn, along.opposite()))
    }
}

fn of_grid(pattern: &MeasuredPattern, cosine: f64, round: f64) -> f64 {
    let off = Degrees::new(cosine.clamp(-1.0, 1.0).acos().to_degrees());
    Db::new(pattern.gain(off, Degrees::new(round.to_degrees())).get()).ratio()
}

/// The mean of sinᵐ over the sphere: ½∫ sin^(m+1) θ dθ, by the substitution that makes it smooth at both ends.
fn mean_of_sine(exponent: f64) -> f64 {
    let steps = 128;
    let sum: f64 =
        (0..steps).map(|n| (PI * (f64::from(n) + 0.5) / f64::from(steps)).sin().powf(exponent + 1.0)).sum();
    0.5 * sum * PI / f64::from(steps)
}

/// A complex field with three components.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Field([Complex; 3]);

impl Field {
    fn of(jones: Jones, first: Triple, second: Triple) -> Self {
        let part = |a: f64, b: f64| jones.across * a + jones.up * b;
        Self([part(first.x, second.x), part(first.y, second.y), part(first.z, second.z)])
    }
    fn along(self, axis: Triple) -> Complex {
        self.0[0] * axis.x + self.0[1] * axis.y + self.0[2] * axis.z
    }
    fn square_to(self, d: Triple) -> Self {
        let along = self.along(d);
        Self([self.0[0] - along * d.x, self.0[1] - along * d.y, self.0[2] - along * d.z])
    }
    fn times(self, k: f64) -> Self {
        Self(self.0.map(|part| part * k))
    }
    fn unit(self) -> Option<Self> {
        let size = self.0.iter().map(|part| part.power()).sum::<f64>().sqrt();
        (size > 1e-9).then(|| self.times(1.0 / size))
    }
    fn turned(self, turn: Turn) -> Self {
        let part = |pick: fn(Complex) -> f64| {
            turn.turned(Triple::new(pick(self.0[0]), pick(self.0[1]), pick(self.0[2])))
        };
        let (re, im) = (part(|c| c.re), part(|c| c.im));
        Self([Complex::new(re.x, im.x), Complex::new(re.y, im.y), Complex::new(re.z, im.z)])
    }
}
