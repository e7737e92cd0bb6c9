//! What rules ask of the picture of one lens: its view, its detail, its pixels, each with the facts it follows.

use crate::inputs::Grown;
use crate::view_figures::{detail, followed};
use crate::{LensView, Placed, Proof};
use craft::PlaceId;
use craft::schema::camera;
use optics::View;
use quantity::{Linear, Measure};

/// The picture of one lens.
pub(crate) struct Sight<'p, 'a> {
    proof: &'p Proof<'a>,
    /// What it sees.
    pub looking: &'p LensView,
    grown: &'p [Grown],
}

impl<'p, 'a> Sight<'p, 'a> {
    /// The picture of each lens that is known, by the number of its view.
    pub fn all(proof: &'p Proof<'a>) -> impl Iterator<Item = Self> {
        let views = proof.lens_views().iter().zip(proof.grown_views());
        views.filter_map(move |(view, grown)| Some(Self { proof, looking: view.as_ref().ok()?, grown }))
    }

    /// A number of the view, with the facts it follows.
    pub fn follow(&self, of: &dyn Fn(&View) -> Option<f64>) -> Option<Linear> {
        followed(self.looking, self.grown, of)
    }

    /// From bottom to top, in degrees.
    pub fn upright(&self) -> Option<Linear> {
        self.follow(&|view| view.angles().vertical.ok().map(Measure::raw))
    }

    /// Pixels a degree of the picture that is sent, in the middle.
    pub fn fine(&self) -> Option<Linear> {
        self.follow(&|view| detail(self.looking, view, 0.0).map(|detail| detail.along))
    }

    /// How much of the sensor one pixel of the picture takes, in µm.
    pub fn pixel_um(&self) -> Option<Linear> {
        let (across, _) = self.looking.pixels?;
        self.follow(&|view| Some(1000.0 * view.area().width().get() / f64::from(across)))
    }

    /// The lens in its place.
    pub fn lens(&self) -> Option<Placed<'a>> {
        self.proof.placed_number(self.looking.lens)
    }

    /// The camera in its place.
    pub fn camera(&self) -> Option<Placed<'a>> {
        self.proof.placed_number(self.looking.camera)
    }

    /// The focal length in mm: as stated, or the slope of a measured map on the axis.
    pub fn focal_length(&self) -> Linear {
        let stated = self.lens().and_then(|lens| lens.part.item().read(&camera::FOCAL_LENGTH).ok());
        let measured = self.looking.projection().0 == "measured";
        match stated.filter(|_| !measured) {
            Some(stated) => self.proof.lean(&stated),
            None => Linear::exact(self.looking.focal_length_mm()),
        }
    }

    /// The places of lens and camera.
    pub fn places(&self) -> [PlaceId; 2] {
        [self.looking.lens, self.looking.camera].map(|number| self.proof.craft.places[number].id.clone())
    }

    /// The id of a figure of this lens.
    pub fn id(&self, key: &str) -> String {
        format!("view.{key}[{}]", self.proof.craft.places[self.looking.lens].id)
    }
}

/// Each lens whose picture is known is asked; for each of the others *unknown* is said.
pub(crate) fn each_sight(
    proof: &Proof,
    rule: &'static str,
    judge: impl Fn(&Sight, &mut crate::Answer),
) -> crate::Answer {
    let mut answer = crate::Answer::default();
    Sight::all(proof).for_each(|sight| judge(&sight, &mut answer));
    let unseen = proof.lens_views().iter().filter_map(|view| view.as_ref().err());
    answer.findings.extend(unseen.map(|unseen| unseen.finding(rule)));
    answer
}
