//! What does the picture do at a margin: clean, thin, breaking or lost?
//!
//! Digital video falls off a cliff, but the cliff has a width: from the threshold up it first comes with blocks, then is
//! whole with little in hand. Light encoders break over 4 to 8 dB, heavy ones over 2 to 4; the unit's own data wins.
//!
//! A link fades, and so each word says what holds nearly all of the time ([`crate::Lasting`]): the picture is clean where so much over the
//! threshold is left, thin where it holds with less, breaking where it does not hold so long, and lost where not even the mean reaches the
//! threshold. A range, to where the picture holds nearly all of the time, ends where it breaks. Who tells of a picture goes by these four words
//! and by nothing else. How wide the blocks are is asked only where one wants to know whether they warn in time.

use crate::RadioFault;
use quantity::{Db, Source};

/// Where the typical cliff comes from.
pub const CLIFF_SOURCE: Source = Source::common_practice(
    "lost below the threshold, blocks to 3 dB above it, clean from 6 dB up; less what fades take",
);

/// How the picture is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Picture {
    /// Gone: the mean lies under the threshold.
    Lost,
    /// A picture that comes and goes: it holds less than nearly all of the time.
    Breaking,
    /// It holds nearly all of the time, with little in hand.
    Thin,
    /// Clean nearly all of the time.
    Clean,
}

/// How wide the cliff is, from the threshold up.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Cliff {
    whole: Db,
    clean: Db,
}

impl Cliff {
    /// Where a unit says nothing.
    pub const TYPICAL: Self = Self { whole: Db::new(3.0), clean: Db::new(6.0) };

    /// Of the margins up to which there are blocks, and from which on it is clean.
    pub fn new(whole: Db, clean: Db) -> Result<Self, RadioFault> {
        RadioFault::within(
            "end of the blocks",
            whole,
            Db::new(0.0),
            Db::new(30.0),
            "count it from the threshold up",
        )?;
        RadioFault::within(
            "end of the cliff",
            clean,
            whole,
            Db::new(40.0),
            "it lies at or above that of the blocks",
        )?;
        Ok(Self { whole, clean })
    }

    /// The picture, by what is left over the threshold nearly all of the time, and by what is over it in the mean.
    pub fn picture(self, lasting: Db, mean: Db) -> Picture {
        if lasting >= self.clean {
            Picture::Clean
        } else if lasting >= Db::new(0.0) {
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

    /// The margin from which on no block is seen.
    pub const fn whole_from(self) -> Db {
        self.whole
    }

    /// The margin from which on it is clean.
    pub const fn clean_from(self) -> Db {
        self.clean
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_cliff_is_a_band() {
        let at = |lasting: f64| Cliff::TYPICAL.picture(Db::new(lasting), Db::new(lasting + 7.0));
        let seen = [-7.1, -7.0, -0.1, 0.0, 5.9, 6.0].map(at);
        let [lost, breaking] = [Picture::Lost, Picture::Breaking];
        assert_eq!(seen, [lost, breaking, breaking, Picture::Thin, Picture::Thin, Picture::Clean]);
        assert_eq!(at(f64::NAN), Picture::Lost);
        assert!(Cliff::new(Db::new(4.0), Db::new(2.0)).is_err());
        assert!(
            Cliff::new(Db::new(4.0), Db::new(8.0))
                .is_ok_and(|cliff| cliff.picture(Db::new(5.0), Db::new(9.0)) == Picture::Thin)
        );
    }
}
