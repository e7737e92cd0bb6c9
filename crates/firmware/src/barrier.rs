//! May a unit go from this version to that one in a single step?
//!
//! A barrier is a version that may not be jumped over on the way up and not crossed on the way down. Which there are
//! for a kind is said by its images ([`Image::step`]).

use crate::{Image, Version};

/// How a change of version stands toward the barriers of a kind.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Crossing {
    /// Nothing is crossed.
    Free,
    /// On the way up this version comes first.
    First(Version),
    /// It would go back below this version.
    Back(Version),
    /// There are barriers, and the version the unit has is not known.
    FromUnknown(Version),
}

/// The barriers of a kind of unit, lowest first.
pub fn barriers(images: &[Image], kind: &str) -> Vec<Version> {
    let of_kind =
        |image: &&Image| image.fits.iter().any(|fits| fits.kind.to_lowercase() == kind.to_lowercase());
    let mut found: Vec<Version> =
        images.iter().filter(of_kind).filter_map(|image| image.step.clone()).collect();
    found.sort();
    found.dedup();
    found
}

/// What a change of version crosses.
pub fn crossing(barriers: &[Version], from: Option<&Version>, to: &Version) -> Crossing {
    let Some(from) = from else {
        // Below every barrier nothing can be jumped over, but it may still be a way back.
        return barriers.first().map_or(Crossing::Free, |barrier| Crossing::FromUnknown(barrier.clone()));
    };
    if let Some(first) = barriers.iter().find(|barrier| from < barrier && *barrier < to) {
        return Crossing::First(first.clone());
    }
    match barriers.iter().rev().find(|barrier| to < barrier && *barrier <= from) {
        Some(barrier) => Crossing::Back(barrier.clone()),
        None => Crossing::Free,
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn version(text: &str) -> Version {
        Version::read(text).unwrap()
    }

    #[test]
    fn a_barrier_is_met_first_and_never_recrossed() {
        let barriers = [version("3.5"), version("5.0")];
        let from = |from: &str, to: &str| crossing(&barriers, Some(&version(from)), &version(to));
        assert_eq!(from("3.1", "4.2"), Crossing::First(version("3.5")));
        assert_eq!(from("3.1", "6.0"), Crossing::First(version("3.5")));
        assert_eq!(from("3.1", "3.5"), Crossing::Free);
        assert_eq!(from("3.5", "4.2"), Crossing::Free);
        assert_eq!(from("4.2", "3.5"), Crossing::Free);
        assert_eq!(from("4.2", "3.4"), Crossing::Back(version("3.5")));
        assert_eq!(from("6.0", "3.4"), Crossing::Back(version("5.0")));
        assert_eq!(crossing(&barriers, None, &version("3.6")), Crossing::FromUnknown(version("3.5")));
        assert_eq!(crossing(&[], None, &version("3.6")), Crossing::Free);
    }

    proptest! {
        #[test]
        fn going_where_it_says_always_ends(from in 0u32..20, to in 0u32..20, at in proptest::collection::btree_set(0u32..20, 0..5)) {
            let number = |n: u32| version(&n.to_string());
            let barriers: Vec<Version> = at.into_iter().map(number).collect();
            let (mut now, to) = (number(from), number(to));
            for _ in 0..=barriers.len() {
                match crossing(&barriers, Some(&now), &to) {
                    Crossing::First(next) => {
                        prop_assert!(now < next && next < to);
                        prop_assert_eq!(crossing(&barriers, Some(&now), &next), Crossing::Free);
                        now = next;
                    }
                    _ => return Ok(()),
                }
            }
            prop_assert!(false, "it never ends");
        }
    }
}
