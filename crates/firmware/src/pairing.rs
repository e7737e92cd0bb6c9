//! Will these two ends understand each other?

use crate::Version;
use serde::{Deserialize, Serialize};

/// Versions that go together, though they are not the same.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct MatchingSet {
    /// The video system, as its recipes name it.
    pub system: String,
    /// The version on the craft.
    pub air: Version,
    /// The version on the ground.
    pub ground: Version,
    /// Who says so.
    #[serde(default)]
    pub notes: String,
}

/// How the versions at the two ends stand.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Pairing {
    /// In no set, and not even the first number is the same: no picture.
    Apart,
    /// In no set, but the first number is the same: it may do.
    SameMajor,
    /// The same version, or listed as going together.
    Matched,
}

/// How the versions at the two ends stand. The same version at both ends goes
/// together without being listed (common practice).
pub fn pairing(sets: &[MatchingSet], system: &str, air: &Version, ground: &Version) -> Pairing {
    let listed = sets.iter().any(|set| {
        set.system.to_lowercase() == system.to_lowercase() && &set.air == air && &set.ground == ground
    });
    match () {
        () if listed || air == ground => Pairing::Matched,
        () if air.major() == ground.major() => Pairing::SameMajor,
        () => Pairing::Apart,
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    #[test]
    fn a_listed_pair_goes_together_in_its_own_system_only() {
        let v = |text: &str| Version::read(text).unwrap();
        let set =
            MatchingSet { system: "Lanner".into(), air: v("4.2"), ground: v("5.0"), notes: String::new() };
        let of = |system: &str, air: &str, ground: &str| {
            pairing(std::slice::from_ref(&set), system, &v(air), &v(ground))
        };
        assert_eq!(of("lanner", "4.2", "5.0"), Pairing::Matched);
        assert_eq!(of("lanner", "5.0", "4.2"), Pairing::Apart);
        assert_eq!(of("merlin", "4.2", "5.0"), Pairing::Apart);
        assert_eq!(of("merlin", "4.2", "4.2.0"), Pairing::Matched);
        assert_eq!(of("merlin", "4.2", "4.3"), Pairing::SameMajor);
    }
}
