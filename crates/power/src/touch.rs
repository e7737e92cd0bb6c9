//! Is it too hot to touch?
//!
//! The ladder of a safety standard for equipment: how hot a surface may be by what it is made of and how long a hand stays on it,
//! measured in air of 25 °C. Only the limits for metal and plastic in the first and third rows were read; the rest is recalled.
//! The caution is the usual one, and no substitute for the rules where the craft is flown.

use quantity::{Celsius, Grade, Source};

/// Where the ladder comes from.
pub const TOUCH_SOURCE: Source = Source {
    title: "IEC 62368-1",
    place: "table 38, limits TS1: metal 48 °C when held, plastic 77 °C for 1 to 10 s read in quotations; the rest recalled",
    grade: Grade::Memory,
};

/// What is touched.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Skin {
    /// Bare metal.
    Metal,
    /// Glass, ceramics, bare board.
    Glass,
    /// Plastic and lacquer.
    Plastic,
}

/// How long a hand stays.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Contact {
    /// A minute or longer.
    Held,
    /// Ten seconds to a minute.
    Handled,
    /// One to ten seconds.
    Gripped,
    /// Less than a second.
    Brushed,
}

/// Contacts from the longest, then metal, glass, plastic in °C.
const LADDER: [(Contact, [f64; 3]); 4] = [
    (Contact::Held, [48.0, 48.0, 48.0]),
    (Contact::Handled, [51.0, 56.0, 60.0]),
    (Contact::Gripped, [60.0, 71.0, 77.0]),
    (Contact::Brushed, [70.0, 85.0, 94.0]),
];

/// The hottest that a surface may be for a contact.
pub fn touch_limit(skin: Skin, contact: Contact) -> Celsius {
    let column = match skin {
        Skin::Metal => 0,
        Skin::Glass => 1,
        Skin::Plastic => 2,
    };
    let row = LADDER.iter().find(|(known, _)| *known == contact);
    Celsius::new(row.map_or(0.0, |(_, limits)| limits[column]))
}

/// The longest contact that a surface allows; none where even a brush burns.
pub fn longest_contact(skin: Skin, surface: Celsius) -> Option<Contact> {
    LADDER.iter().map(|(contact, _)| *contact).find(|contact| surface <= touch_limit(skin, *contact))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn hotter_may_be_held_shorter() {
        let longest = |celsius| longest_contact(Skin::Metal, Celsius::new(celsius));
        assert_eq!(longest(40.0), Some(Contact::Held));
        assert_eq!(longest(55.0), Some(Contact::Gripped));
        assert_eq!(longest(65.0), Some(Contact::Brushed));
        assert_eq!(longest(80.0), None);
        assert_eq!(longest(f64::NAN), None);
    }

    #[test]
    fn every_step_of_the_ladder_is_higher() {
        for skin in [Skin::Metal, Skin::Glass, Skin::Plastic] {
            for pair in LADDER.windows(2) {
                assert!(touch_limit(skin, pair[0].0) < touch_limit(skin, pair[1].0));
            }
        }
    }
}
