//! Which way does each pixel look, and where in the picture does a direction fall?
//!
//! A place in the picture is counted in pixels from its top left corner, so the middle of the first pixel is
//! (0.5, 0.5). On the sensor, u = (across/2 − x)·width/across left of the middle and
//! v = (down/2 − y)·height/down above it, r = √(u² + v²), and the direction is (cos θ, sin θ·u/r, sin θ·v/r)
//! with θ the lens's angle at r.
//!
//! View angles: over a side of length s, 2·θ(s/2); over the diagonal alike (a lens is round about its axis).

use crate::rays::RayTable;
use crate::vector::Triple;
use crate::{Direction, Lens, OpticsFault, SensorArea};
use quantity::{Degrees, Millimetres};

/// The most pixels in either direction.
pub const PIXELS_MAX: u32 = 20_000;

/// A place in the picture, in pixels from its top left corner.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PicturePoint {
    /// Pixels to the right.
    pub across: f64,
    /// Pixels down.
    pub down: f64,
}

/// A lens over a sensor area under a grid of pixels.
#[derive(Clone, Debug, PartialEq)]
pub struct View {
    lens: Lens,
    area: SensorArea,
    across: u32,
    down: u32,
    rays: RayTable,
}

pub(crate) fn checked_pixels(across: u32, down: u32) -> Result<(), OpticsFault> {
    let sound = |count: u32| (1..=PIXELS_MAX).contains(&count);
    let fault = OpticsFault::Pixels { across, down, limit: PIXELS_MAX };
    (sound(across) && sound(down)).then_some(()).ok_or(fault)
}

impl View {
    /// A view with so many pixels.
    pub fn new(lens: Lens, area: SensorArea, across: u32, down: u32) -> Result<Self, OpticsFault> {
        checked_pixels(across, down)?;
        let rays = RayTable::new(&lens, area.diagonal().get() / 2.0);
        Ok(Self { lens, area, across, down, rays })
    }

    /// The same view with another grid of pixels.
    pub fn with_pixels(self, across: u32, down: u32) -> Result<Self, OpticsFault> {
        checked_pixels(across, down)?;
        Ok(Self { across, down, ..self })
    }

    /// The lens.
    pub fn lens(&self) -> &Lens {
        &self.lens
    }
    /// What is read of the sensor.
    pub fn area(&self) -> SensorArea {
        self.area
    }
    /// Pixels across and down.
    pub fn pixels(&self) -> (u32, u32) {
        (self.across, self.down)
    }
    pub(crate) fn rays(&self) -> &RayTable {
        &self.rays
    }
    /// Half the width and half the height of the area, in mm.
    pub(crate) fn half_sides(&self) -> (f64, f64) {
        (self.area.width().get() / 2.0, self.area.height().get() / 2.0)
    }

    /// Which way a place in the picture looks; `None` where it is dark, or outside the picture.
    pub fn ray(&self, at: PicturePoint) -> Option<Direction> {
        let (across, down) = (f64::from(self.across), f64::from(self.down));
        if !((0.0..=across).contains(&at.across) && (0.0..=down).contains(&at.down)) {
            return None;
        }
        let (half_width, half_height) = self.half_sides();
        let u = half_width * (1.0 - 2.0 * at.across / across);
        let v = half_height * (1.0 - 2.0 * at.down / down);
        let radius = u.hypot(v);
        if radius > self.lens.image_radius() {
            return None;
        }
        let (sin, cos) = self.lens.angle_at(radius)?.sin_cos();
        let over = if radius > 0.0 { sin / radius } else { 0.0 };
        Some(Direction(Triple::new(cos, u * over, v * over)))
    }

    /// Where a direction falls: a place that may lie outside the frame of the picture or where it is dark.
    /// An error says that the projection has no place for it.
    pub fn place_of(&self, ray: Direction) -> Result<PicturePoint, OpticsFault> {
        let Triple { x, y, z } = ray.0;
        let off_axis = y.hypot(z);
        let angle = off_axis.atan2(x);
        let radius = self.lens.radius(Degrees::new(angle.to_degrees()))?.get();
        let (half_width, half_height) = self.half_sides();
        let over = if off_axis > 0.0 { radius / off_axis } else { 0.0 };
        Ok(PicturePoint {
            across: f64::from(self.across) / 2.0 * (1.0 - y * over / half_width),
            down: f64::from(self.down) / 2.0 * (1.0 - z * over / half_height),
        })
    }

    /// How wide the picture sees.
    pub fn angles(&self) -> ViewAngles {
        view_angles(&self.lens, self.area)
    }
}

/// How wide a lens sees over a sensor area. An error says that the image ends before the picture does.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ViewAngles {
    /// From side to side.
    pub horizontal: Result<Degrees, OpticsFault>,
    /// From bottom to top.
    pub vertical: Result<Degrees, OpticsFault>,
    /// From corner to corner.
    pub diagonal: Result<Degrees, OpticsFault>,
}

/// How wide a lens sees over a sensor area.
pub fn view_angles(lens: &Lens, area: SensorArea) -> ViewAngles {
    let over = |side: Millimetres| lens.angle(side * 0.5).map(|half| half * 2.0);
    ViewAngles {
        horizontal: over(area.width()),
        vertical: over(area.height()),
        diagonal: over(area.diagonal()),
    }
}
