//! Parts that lie beyond the sheet and could be put on: what a workshop holds.
//!
//! A proof reads no store: whoever asks for it hands the parts in. A mend then names the lens that lies in the workshop, or is on
//! another craft, as well as one that lies on the sheet without a place. Verdicts never depend on them.

use crate::numbers::rounded;
use craft::Part;
use craft::schema::camera;

/// A part of the workshop.
#[derive(Clone, Debug, PartialEq)]
pub struct PartAtHand {
    /// The part.
    pub part: Part,
    /// The names of the craft that carry it; none where it lies free.
    pub on: Vec<String>,
}

impl PartAtHand {
    /// Where it is, in words: `that lies in the workshop`, `that is on "Dunnock"`.
    pub(crate) fn lies(&self) -> String {
        match &self.on[..] {
            [] => "that lies in the workshop".to_owned(),
            [first, rest @ ..] => {
                let more = if rest.is_empty() { "" } else { " and others" };
                format!("that is on \"{first}\"{more}")
            }
        }
    }
}

/// A part's name, and where another has the same name, what tells the two apart: for lenses focal length and f-number if these differ,
/// else the part's id.
pub fn told_apart<'p>(part: &Part, others: impl IntoIterator<Item = &'p Part>) -> String {
    let same = |other: &&Part| other.id != part.id && crate::names::same_words(&other.name, &part.name);
    let twins: Vec<&Part> = others.into_iter().filter(same).collect();
    if twins.is_empty() {
        return part.name.clone();
    }
    let optics = |part: &Part| {
        let item = part.item();
        let focal = item.read(&camera::FOCAL_LENGTH).ok();
        let stop = item.read(&camera::F_NUMBER).ok();
        let words = [
            focal.map(|focal| format!("{} mm", rounded(focal.value.get(), 2))),
            stop.map(|stop| format!("f/{}", rounded(quantity::Measure::raw(stop.value), 1))),
        ];
        words.into_iter().flatten().collect::<Vec<_>>().join(", ")
    };
    let own = optics(part);
    if !own.is_empty() && twins.iter().all(|twin| optics(twin) != own) {
        return format!("{} ({own})", part.name);
    }
    format!("{} ({})", part.name, part.id)
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use crate::testing::{part, set};
    use crate::testing_view::sighted;
    use craft::schema::PartKind;

    #[test]
    fn lenses_of_one_name_are_told_apart_by_what_differs() {
        let mut craft = sighted();
        part(&mut craft, PartKind::Lens, "a", "Short lens", &[("focal_length", "1.7 mm, data sheet")]);
        part(&mut craft, PartKind::Lens, "b", "short  lens", &[("focal_length", "1.9 mm, data sheet")]);
        let told = |craft: &craft::Craft, id: &str| {
            told_apart(craft.parts.iter().find(|part| part.id.as_str() == id).unwrap(), &craft.parts)
        };
        assert_eq!(told(&craft, "a"), "Short lens (1.7 mm)");
        set(&mut craft, "b.focal_length", "1.7 mm, data sheet");
        assert_eq!([told(&craft, "a"), told(&craft, "b")], ["Short lens (a)", "short  lens (b)"]);
        assert_eq!(told(&craft, "lens"), "lens");
    }
}
