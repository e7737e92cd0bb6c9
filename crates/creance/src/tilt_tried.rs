//! A camera tilted otherwise, to see what its lens would see: the craft with that one edit, which nobody keeps.

use crate::refusal::{Cause, Refusal};
use craft::schema::{PartKind, place};
use craft::{Craft, Edit, PlaceId};
use serde::Deserialize;

/// Which camera is tilted, and how far.
#[derive(Clone, Debug, Default, Deserialize)]
pub struct TiltTried {
    /// The tilt in degrees, nose up; as set when left out.
    pub tilt: Option<f64>,
    /// The camera's place; the first that carries a lens when left out.
    pub camera: Option<String>,
}

impl TiltTried {
    /// The craft with the camera so tilted.
    pub fn craft(&self, craft: &Craft, tilt: f64) -> Result<Craft, Refusal> {
        let camera = self.camera(craft)?;
        let text = Some(format!("{tilt}°"));
        let edit = Edit::SetPlace { place: camera, key: place::PITCH.def.key.to_owned(), text };
        craft::apply(craft, &edit).map_err(|fault| Refusal::new(Cause::Unfit, fault.to_string()))
    }

    fn camera(&self, craft: &Craft) -> Result<PlaceId, Refusal> {
        let none = |words: String| Refusal::new(Cause::NoSuch, words);
        let kind = |place: &craft::Place| craft.part_at(place).map(|part| part.kind);
        let cameras = || craft.places.iter().filter(|place| kind(place) == Some(PartKind::Camera));
        let Some(asked) = &self.camera else {
            let on = |place: &craft::Place| place.on.as_ref().and_then(|on| on.place()).cloned();
            let lenses = craft.places.iter().filter(|place| kind(place) == Some(PartKind::Lens));
            let under = lenses.filter_map(on).find(|under| cameras().any(|camera| camera.id == *under));
            return under.ok_or_else(|| none(drawing::no_lens(craft).to_string()));
        };
        let found = cameras().find(|camera| camera.id.as_str() == asked);
        found.map(|camera| camera.id.clone()).ok_or_else(|| {
            let near = quantity::near_name(asked, cameras().map(|camera| camera.id.as_str()));
            let refusal = none(format!("no camera stands at {asked:?} in {:?}", craft.name));
            match near {
                Some(near) => refusal.hint(format!("Did you mean {near:?}?")),
                None => refusal,
            }
        })
    }
}
