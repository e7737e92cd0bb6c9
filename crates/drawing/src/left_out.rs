//! What a drawing leaves out, since its facts are missing or wrong, with what mends it: for whoever writes the file.

use craft::schema::PartKind;
use craft::{Craft, PlaceId};
use proof::{Proof, Unbuilt};

/// Every piece of a craft that no view shows, each with why and what mends it.
pub fn left_out(craft: &Craft) -> Vec<String> {
    told(&Proof::new(craft), |_| true)
}

/// Every plate that a template leaves out, each with why and what mends it. `of` is as for a template.
pub fn left_out_of_template(craft: &Craft, of: Option<&str>) -> Vec<String> {
    let proof = Proof::new(craft);
    let place = of.map(|of| of.split_once('/').map_or(of, |(place, _)| place).trim());
    let asked = place.map(|place| PlaceId::new(place).ok().and_then(|id| proof.number_of(&id)));
    // One plate alone is drawn, or refused with the same words.
    if of.is_some_and(|of| of.contains('/')) {
        return Vec::new();
    }
    let drilled = |unbuilt: &Unbuilt| {
        let here = asked.is_none_or(|number| number == Some(unbuilt.place));
        here && is_drilled(&proof, unbuilt.place)
    };
    told(&proof, drilled)
}

/// Whether a part holds plates that a template shows.
pub(crate) fn is_drilled(proof: &Proof, place: usize) -> bool {
    let kinds = [PartKind::Frame, PartKind::Adapter];
    proof.part_of(place).is_some_and(|part| kinds.contains(&part.kind))
}

/// Why something is not built.
pub(crate) fn lacks(unbuilt: &Unbuilt) -> String {
    let lacks: Vec<&str> = unbuilt.missing.iter().map(|missing| missing.label.as_str()).collect();
    unbuilt.wrong.clone().unwrap_or_else(|| format!("nobody said {}", lacks.join(", ")))
}

fn told(proof: &Proof, wanted: impl Fn(&Unbuilt) -> bool) -> Vec<String> {
    let of_interest = proof.inputs().unbuilt.iter().filter(|unbuilt| wanted(unbuilt));
    let mut words: Vec<String> =
        of_interest.map(|unbuilt| format!("{}: {}", unbuilt.what, lacks(unbuilt))).collect();
    words.dedup();
    words
}
