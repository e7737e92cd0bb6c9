//! What does the picture do at a margin: clean, thin, breaking or lost?
//!
//! Digital video falls off a cliff, but the cliff has a width: from the threshold up it first breaks into blocks, then is
//! whole with nothing in hand. Light encoders break over 4 to 8 dB, heavy ones over 2 to 4; the unit's own data wins.
//!
//! A link fades, and so each word says what holds nearly all of the time: the picture is clean, or thin, where that much over the
//! threshold is left nearly all of the time ([`crate::Lasting`]); it is lost where not even the mean reaches the threshold; between, it
//! breaks now and then. A range, to where the picture holds nearly all of the time, ends within what breaks.

use crate::RadioFault;
use quantity::{Db, Source};

/// Where the typical cliff comes from.
pub const CLIFF_SOURCE: Source = Source::common_practice(
    "lost below the threshold, breaking to 3 dB, thin to 6 dB, clean above, less what fades take",
);

/// How the picture is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Picture {
    /// Gone: the mean lies under the threshold.
    Lost,
    /// Blocks, or a picture that comes and goes.
    Breaking,
    /// Whole nearly all of the time, with nothing in hand.
    Thin,
    /// Clean nearly all of the time.
    Clean,
}

/// How wide the cliff is, from the threshold up.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Cliff {
    breaking: Db,
    thin: Db,
}

impl Cliff {
    /// Where a unit says nothing.
    pub const TYPICAL: Self = Self { breaking: Db::new(3.0), thin: Db::new(6.0) };

    /// Of the margins up to which it breaks, and up to which it is thin.
    pub fn new(breaking: Db, thin: Db) -> Result<Self, RadioFault> {
        RadioFault::within(
            "width of breaking",
            breaking,
            Db::new(0.0),
            Db::new(30.0),
            "count it from the threshold up",
        )?;
        RadioFault::within(
            "end of the cliff",
            thin,
            breaking,
            Db::new(40.0),
            "it lies at or above that of breaking",
        )?;
        Ok(Self { breaking, thin })
    }

    /// The picture, by what is left over the threshold nearly all of the time, and by what is over it in the mean.
    pub fn picture(self, lasting: Db, mean: Db) -> Picture {
        if lasting >= self.thin {
            Picture::Clean
        } else if lasting >= self.breaking {
            Picture::Thin
        } else if mean >= Db::new(0.0) {
            Picture::Breaking
        } else {
            Picture::Lost
        }
    }

    /// Whether it is the usual one.
    pub fn is_usual(self) -> bool {
        self == Self::TYPICAL
    }

    /// The margin from which on it is whole.
    pub const fn whole_from(self) -> Db {
        self.breaking
    }

    /// The margin from which on it is clean.
    pub const fn clean_from(self) -> Db {
        self.thin
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_cliff_is_a_band() {
        let at = |lasting: f64| Cliff::TYPICAL.picture(Db::new(lasting), Db::new(lasting + 7.0));
        let seen = [-7.1, -7.0, 0.0, 2.9, 3.0, 6.0].map(at);
        let [lost, breaking] = [Picture::Lost, Picture::Breaking];
        assert_eq!(seen, [lost, breaking, breaking, breaking, Picture::Thin, Picture::Clean]);
        assert_eq!(at(f64::NAN), Picture::Lost);
        assert!(Cliff::new(Db::new(4.0), Db::new(2.0)).is_err());
        assert!(
            Cliff::new(Db::new(4.0), Db::new(8.0))
                .is_ok_and(|cliff| cliff.picture(Db::new(5.0), Db::new(9.0)) == Picture::Thin)
        );
    }
}
