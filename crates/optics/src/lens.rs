//! Where on the sensor does a direction fall?
//!
//! Distance r from the middle of the image for an angle θ off the axis, focal length f:
//! - rectilinear r = f·tan θ, under 90°;
//! - stereographic r = 2f·tan(θ/2), under 180°;
//! - equidistant r = f·θ, to 180°;
//! - equisolid r = 2f·sin(θ/2), to 180°;
//! - measured: a map of points, see [`MeasuredMap`].
//!
//! An image circle, where one is known, ends the image sooner. Left out: lenses that are not round about
//! their axis, and a middle that is off the sensor's middle.

use crate::{MeasuredMap, OpticsFault};
use quantity::{Degrees, Grade, Millimetres, Source};
use std::f64::consts::{FRAC_PI_2, PI};

/// Where the projections come from.
pub const PROJECTION_SOURCE: Source = Source {
    title: "Kannala & Brandt, A generic camera model, IEEE Trans. PAMI 28 (2006)",
    place: "section 2, the projections of table 1",
    grade: Grade::Memory,
};

/// The longest focal length.
const FOCAL_LENGTH_MAX: Millimetres = Millimetres::new(1_000.0);

/// How a lens draws angles, by formula.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Projection {
    /// Straight lines stay straight.
    Rectilinear,
    /// Equal angles are equal distances from the middle.
    Equidistant,
    /// Equal solid angles are equal areas.
    Equisolid,
    /// Small shapes keep their shape.
    Stereographic,
}

impl Projection {
    /// Every projection.
    pub const ALL: [Projection; 4] =
        [Projection::Rectilinear, Projection::Equidistant, Projection::Equisolid, Projection::Stereographic];

    /// The word sheets know it by.
    pub const fn word(self) -> &'static str {
        match self {
            Projection::Rectilinear => "rectilinear",
            Projection::Equidistant => "equidistant",
            Projection::Equisolid => "equisolid",
            Projection::Stereographic => "stereographic",
        }
    }

    /// The projection of a word.
    pub fn of_word(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|projection| projection.word() == word)
    }

    /// The formula in plain text.
    pub const fn formula(self) -> &'static str {
        match self {
            Projection::Rectilinear => "r = f · tan θ",
            Projection::Equidistant => "r = f · θ",
            Projection::Equisolid => "r = 2 f · sin(θ/2)",
            Projection::Stereographic => "r = 2 f · tan(θ/2)",
        }
    }
}

#[derive(Clone, Debug, PartialEq)]
enum Model {
    Formula { projection: Projection, focal_length: f64 },
    Measured(MeasuredMap),
}

/// A lens: how it draws angles, and how far out it draws.
#[derive(Clone, Debug, PartialEq)]
pub struct Lens {
    model: Model,
    circle_radius: Option<f64>,
}

impl Lens {
    /// A lens of a projection and a focal length.
    pub fn new(projection: Projection, focal_length: Millimetres) -> Result<Self, OpticsFault> {
        let value = focal_length.get();
        if !(value > 0.0 && value <= FOCAL_LENGTH_MAX.get()) {
            return Err(OpticsFault::FocalLength { value: focal_length, limit: FOCAL_LENGTH_MAX });
        }
        Ok(Self { model: Model::Formula { projection, focal_length: value }, circle_radius: None })
    }

    /// A lens whose projection was measured.
    pub fn measured(map: MeasuredMap) -> Self {
        Self { model: Model::Measured(map), circle_radius: None }
    }

    /// The same lens, known to light a circle of this diameter.
    pub fn with_image_circle(self, diameter: Millimetres) -> Result<Self, OpticsFault> {
        if !(diameter.get() > 0.0 && diameter.get().is_finite()) {
            return Err(OpticsFault::ImageCircle { value: diameter });
        }
        Ok(Self { circle_radius: Some(diameter.get() / 2.0), ..self })
    }

    /// The focal length: for a measured lens, the slope of its map on the axis.
    pub fn focal_length(&self) -> Millimetres {
        Millimetres::new(match &self.model {
            Model::Formula { focal_length, .. } => *focal_length,
            Model::Measured(map) => map.focal_length(),
        })
    }

    /// Its projection, where that is a formula.
    pub fn projection(&self) -> Option<Projection> {
        match &self.model {
            Model::Formula { projection, .. } => Some(*projection),
            Model::Measured(_) => None,
        }
    }

    /// The word of its projection.
    pub fn projection_word(&self) -> &'static str {
        match &self.model {
            Model::Formula { projection, .. } => projection.word(),
            Model::Measured(_) => "measured",
        }
    }

    /// Where the image ends, from the middle: at the image circle, or where the projection does; `None` if it does not.
    pub fn image_end(&self) -> Option<Millimetres> {
        Some(self.image_radius()).filter(|end| end.is_finite()).map(Millimetres::new)
    }

    /// How far from the middle an angle off the axis falls.
    pub fn radius(&self, angle: Degrees) -> Result<Millimetres, OpticsFault> {
        let radius = self.radius_at(angle.get().to_radians());
        radius.map(Millimetres::new).ok_or_else(|| OpticsFault::BeyondProjection {
            projection: self.projection_word(),
            angle,
            limit: Degrees::new(self.widest().to_degrees()),
        })
    }

    /// Which angle off the axis falls this far from the middle.
    pub fn angle(&self, radius: Millimetres) -> Result<Degrees, OpticsFault> {
        let limit = self.image_radius();
        let found = (radius.get() <= limit).then(|| self.angle_at(radius.get())).flatten();
        let angle = found.map(|radians| Degrees::new(radians.to_degrees()));
        angle.ok_or(OpticsFault::BeyondImage { radius, limit: Millimetres::new(limit) })
    }

    /// The widest angle of the projection, in radians.
    fn widest(&self) -> f64 {
        match &self.model {
            Model::Formula { projection: Projection::Rectilinear, .. } => FRAC_PI_2,
            Model::Formula { .. } => PI,
            Model::Measured(map) => map.end().0,
        }
    }

    /// Radius in mm at an angle in radians; `None` beyond the projection.
    pub(crate) fn radius_at(&self, angle: f64) -> Option<f64> {
        if !(angle >= 0.0 && angle <= self.widest()) {
            return None;
        }
        let radius = match &self.model {
            Model::Formula { projection, focal_length: f } => match projection {
                Projection::Rectilinear if angle >= FRAC_PI_2 => return None,
                Projection::Stereographic if angle >= PI => return None,
                Projection::Rectilinear => f * angle.tan(),
                Projection::Equidistant => f * angle,
                Projection::Equisolid => 2.0 * f * (angle / 2.0).sin(),
                Projection::Stereographic => 2.0 * f * (angle / 2.0).tan(),
            },
            Model::Measured(map) => map.radius(angle),
        };
        Some(radius)
    }

    /// Angle in radians at a radius in mm; `None` beyond the projection.
    pub(crate) fn angle_at(&self, radius: f64) -> Option<f64> {
        if !(radius >= 0.0 && radius <= self.model_radius()) {
            return None;
        }
        Some(match &self.model {
            Model::Formula { projection, focal_length: f } => match projection {
                Projection::Rectilinear => (radius / f).atan(),
                Projection::Equidistant => radius / f,
                Projection::Equisolid => 2.0 * (radius / (2.0 * f)).min(1.0).asin(),
                Projection::Stereographic => 2.0 * (radius / (2.0 * f)).atan(),
            },
            Model::Measured(map) => map.angle(radius),
        })
    }

    /// The largest radius of the projection, in mm, whatever the image circle.
    pub(crate) fn model_radius(&self) -> f64 {
        match &self.model {
            Model::Formula { projection, focal_length: f } => match projection {
                Projection::Rectilinear | Projection::Stereographic => f64::INFINITY,
                Projection::Equidistant => PI * f,
                Projection::Equisolid => 2.0 * f,
            },
            Model::Measured(map) => map.end().1,
        }
    }

    /// Where the image ends, in mm from the middle: the image circle, or the projection if that ends sooner.
    pub(crate) fn image_radius(&self) -> f64 {
        self.circle_radius.unwrap_or(f64::INFINITY).min(self.model_radius())
    }
}
