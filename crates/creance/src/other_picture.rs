//! Another picture to hold beside the one that a craft shows: through another lens, or through the same lens in another
//! shape. The craft with that one edit, which nobody keeps.
//!
//! In another shape the picture has as many lines as before; it reads as much of the sensor as its shape allows.

use crate::refusal::{Cause, Refusal};
use craft::schema::{PartKind, camera};
use craft::{Craft, Edit, Part, PartId, PlaceId};
use proof::told_apart;
use std::collections::BTreeMap;

/// The other picture.
#[derive(Clone, Debug, PartialEq)]
pub enum OtherPicture {
    /// Through another lens.
    Lens(PartId),
    /// Through the same lens in another shape.
    Shape {
        /// Parts of the width.
        across: u32,
        /// As many parts of the height.
        down: u32,
    },
}

/// A lens on its camera, by their places.
#[derive(Clone, Debug)]
pub struct Seated {
    /// The place of the lens.
    pub lens: PlaceId,
    /// The place of the camera.
    pub camera: PlaceId,
}

/// One picture that can be asked for.
#[derive(Clone, Debug, PartialEq)]
pub struct Choice {
    /// The word that asks for it.
    pub word: String,
    /// What a person calls it.
    pub called: String,
}

const SHAPES: [(&str, u32, u32); 2] = [("4:3", 4, 3), ("16:9", 16, 9)];

impl Seated {
    /// The lens on a camera: that at a place, or the first there is.
    pub fn of(craft: &Craft, camera: Option<&str>) -> Option<Self> {
        let kind =
            |id: &PlaceId| craft.place(id).and_then(|place| craft.part_at(place)).map(|part| part.kind);
        craft.places.iter().filter(|place| kind(&place.id) == Some(PartKind::Lens)).find_map(|lens| {
            let under = lens.on.as_ref()?.place()?;
            let wanted = camera.is_none_or(|camera| under.as_str() == camera);
            (wanted && kind(under) == Some(PartKind::Camera))
                .then(|| Self { lens: lens.id.clone(), camera: under.clone() })
        })
    }

    /// The lenses of the craft and of a drawer that are not the one in place.
    fn lenses<'a>(&self, craft: &'a Craft, drawer: &'a [Part]) -> impl Iterator<Item = &'a Part> {
        let here = craft.place(&self.lens).map(|place| place.part.clone());
        let drawer = drawer.iter().filter(|part| craft.part(&part.id).is_none());
        let all = craft.parts.iter().chain(drawer);
        all.filter(move |part| part.kind == PartKind::Lens && Some(&part.id) != here.as_ref())
    }

    /// What can be held beside its picture, which has this shape in words.
    pub fn choices(&self, craft: &Craft, drawer: &[Part], shape: Option<&str>) -> Vec<Choice> {
        let all = || craft.parts.iter().chain(drawer);
        let lenses = self.lenses(craft, drawer).map(|part| Choice {
            word: part.id.to_string(),
            called: format!("through {}", told_apart(part, all())),
        });
        let shapes = SHAPES.iter().filter(|(_, across, down)| shape != Some(&format!("{across} : {down}")));
        let shapes = shapes.map(|(word, across, down)| Choice {
            word: (*word).to_owned(),
            called: format!("the same lens in {across} : {down}"),
        });
        lenses.chain(shapes).collect()
    }
}

impl OtherPicture {
    /// What a word asks for.
    pub fn of_word(craft: &Craft, seated: &Seated, drawer: &[Part], word: &str) -> Result<Self, Refusal> {
        let plain: String = word.split_whitespace().collect();
        if let Some((_, across, down)) = SHAPES.iter().find(|(shape, ..)| *shape == plain) {
            return Ok(Self::Shape { across: *across, down: *down });
        }
        let mut lenses = seated.lenses(craft, drawer);
        let is_it = |part: &&Part| part.id.as_str() == word || part.name.eq_ignore_ascii_case(word.trim());
        if let Some(part) = lenses.find(is_it) {
            return Ok(Self::Lens(part.id.clone()));
        }
        let others: Vec<String> =
            seated.choices(craft, drawer, None).into_iter().map(|choice| choice.word).collect();
        let near = quantity::near_name(word, others.iter().map(String::as_str));
        let hint = match near {
            Some(near) => format!("Did you mean {near:?}?"),
            None => format!("There are {}.", others.join(", ")),
        };
        let words = format!("{word:?} is no other lens of {:?} and no shape of a picture", craft.name);
        Err(Refusal::new(Cause::NoSuch, words).hint(hint))
    }

    /// What a person calls it.
    pub fn called(&self, craft: &Craft, drawer: &[Part]) -> String {
        match self {
            Self::Lens(id) => {
                let part = craft.part(id).or_else(|| drawer.iter().find(|part| part.id == *id));
                let all = craft.parts.iter().chain(drawer);
                part.map_or_else(|| id.to_string(), |part| format!("through {}", told_apart(part, all)))
            }
            Self::Shape { across, down } => format!("the same lens in {across} : {down}"),
        }
    }

    /// The craft with that picture.
    pub fn craft(&self, craft: &Craft, seated: &Seated, drawer: &[Part]) -> Result<Craft, Refusal> {
        let unfit = |fault: craft::EditFault| Refusal::new(Cause::Unfit, fault.to_string());
        let mut craft = craft.clone();
        match self {
            Self::Lens(id) => {
                if let Some(part) = drawer.iter().find(|part| part.id == *id && craft.part(id).is_none()) {
                    craft =
                        craft::apply(&craft, &Edit::AddPartWhole { part: part.clone() }).map_err(unfit)?;
                }
                let text = Some(id.to_string());
                let edit = Edit::SetPlace { place: seated.lens.clone(), key: "part".to_owned(), text };
                craft::apply(&craft, &edit).map_err(unfit)
            }
            Self::Shape { across, down } => {
                let edits = shaped(&craft, seated, *across, *down)?;
                let apply = |craft: Craft, edit: &Edit| craft::apply(&craft, edit).map_err(unfit);
                edits.iter().try_fold(craft, apply)
            }
        }
    }
}

/// What gives the camera a picture of this shape with as many lines as now.
fn shaped(craft: &Craft, seated: &Seated, across: u32, down: u32) -> Result<Vec<Edit>, Refusal> {
    let under = craft.place(&seated.camera).and_then(|place| craft.part_at(place));
    let Some(part) = under else {
        return Err(Refusal::new(Cause::NoSuch, format!("{:?} has no camera", craft.name)));
    };
    let row = part.rows(&camera::mode::TABLE).next();
    let lines = row
        .as_ref()
        .map_or_else(|| part.item().count(&camera::PIXELS_DOWN), |row| row.count(&camera::mode::DOWN));
    let lines = lines.map_err(|missing| {
        let words = format!("nobody can say how many lines a picture in {across} : {down} has");
        Refusal::new(Cause::Unfit, words).hint(format!("Enter the {} first.", missing.label))
    })?;
    let wide = (f64::from(lines) * f64::from(across) / f64::from(down)).round().to_string();
    let (table, part) = (camera::mode::TABLE.key.to_owned(), part.id.clone());
    let said = |key: &'static str, value: String| (key.to_owned(), value);
    let sizes =
        [said(camera::mode::ACROSS.def.key, wide), said(camera::mode::DOWN.def.key, lines.to_string())];
    Ok(match row {
        Some(_) => sizes
            .into_iter()
            .map(|(key, text)| Edit::SetRow {
                part: part.clone(),
                table: table.clone(),
                row: 0,
                key,
                text: Some(text),
            })
            .collect(),
        None => vec![Edit::AddRow { part, table, values: BTreeMap::from(sizes) }],
    })
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use craft::read_sheet;

    fn fieldfare() -> Craft {
        read_sheet(include_str!("../../../demo/fieldfare.toml")).craft
    }

    #[test]
    fn the_other_shape_has_as_many_lines() {
        let craft = fieldfare();
        let seated = Seated::of(&craft, None).unwrap();
        for (word, ratio) in [("4:3", 4.0 / 3.0), ("16 : 9", 16.0 / 9.0)] {
            let other = OtherPicture::of_word(&craft, &seated, &[], word).unwrap();
            let changed = other.craft(&craft, &seated, &[]).unwrap();
            let view = proof::prove(&changed).views.remove(0).unwrap();
            let (across, down) = view.pixels.unwrap();
            let before = proof::prove(&craft).views.remove(0).unwrap().pixels.unwrap();
            assert_eq!(down, before.1);
            assert!((f64::from(across) / f64::from(down) / ratio - 1.0).abs() < 0.002, "{across} × {down}");
            assert!((view.aspect() / ratio - 1.0).abs() < 0.01);
        }
    }

    #[test]
    fn a_lens_from_the_drawer_can_be_looked_through() {
        let craft = fieldfare();
        let seated = Seated::of(&craft, None).unwrap();
        let mut spare = craft.parts.iter().find(|part| part.kind == PartKind::Lens).unwrap().clone();
        spare.id = PartId::from_name("spare lens");
        spare.name = "Spare lens".to_owned();
        let drawer = [spare];
        let choices = seated.choices(&craft, &drawer, Some("4 : 3"));
        let words: Vec<&str> = choices.iter().map(|choice| choice.word.as_str()).collect();
        assert!(
            words.contains(&"spare-lens") && words.contains(&"16:9") && !words.contains(&"4:3"),
            "{words:?}"
        );
        let other = OtherPicture::of_word(&craft, &seated, &drawer, "spare lens").unwrap();
        let changed = other.craft(&craft, &seated, &drawer).unwrap();
        assert_eq!(changed.place(&seated.lens).unwrap().part.as_str(), "spare-lens");
        assert_eq!(other.called(&craft, &drawer), "through Spare lens");
    }

    #[test]
    fn what_is_not_there_is_refused_with_what_is() {
        let craft = fieldfare();
        let seated = Seated::of(&craft, None).unwrap();
        let refusal = OtherPicture::of_word(&craft, &seated, &[], "5:4").unwrap_err().to_string();
        assert!(refusal.contains("\"5:4\" is no other lens") && refusal.contains("4:3"), "{refusal}");
    }
}
