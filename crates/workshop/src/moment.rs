//! A moment: a second in universal time, as journal lines and backup names carry it.
//!
//! The store reads no clock; whoever calls it says when. A moment is written as RFC 3339 asks, always in
//! universal time and to the second: `2031-05-04T09:30:00Z`. Days are turned into dates by the rules of the
//! Gregorian calendar (ISO 8601: a leap year every fourth, but not every hundredth, but every
//! four-hundredth), counted in years that begin in March so that the leap day comes last.
//! Leap seconds and years outside 1970 to 9999 are left out.

use std::fmt;

/// A second in universal time.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Moment {
    seconds: i64,
}

/// Seconds from the start of 1970 to the end of 9999.
const SECONDS_MAX: i64 = 253_402_300_799;
const SECONDS_A_DAY: i64 = 86_400;
/// Days from 1 March of the year 0 to 1 January 1970.
const DAYS_TO_1970: i64 = 719_468;
/// Days in four hundred years.
const DAYS_A_CYCLE: i64 = 146_097;

impl Moment {
    /// The moment so many seconds after the start of 1970; one outside 1970 to 9999 becomes the nearest inside.
    pub fn from_unix_seconds(seconds: i64) -> Self {
        Self { seconds: seconds.clamp(0, SECONDS_MAX) }
    }

    /// Seconds since the start of 1970.
    pub fn unix_seconds(self) -> i64 {
        self.seconds
    }

    /// Whole days from an earlier moment to this one; negative if that one is later.
    pub fn days_since(self, earlier: Moment) -> i64 {
        (self.seconds - earlier.seconds).div_euclid(SECONDS_A_DAY)
    }

    /// Reads `2031-05-04T09:30:00Z`; no other spelling.
    pub fn read(text: &str) -> Option<Self> {
        let number = |from: usize, to: usize| {
            let digits = text.get(from..to)?;
            digits.bytes().all(|byte| byte.is_ascii_digit()).then(|| digits.parse::<i64>().ok()).flatten()
        };
        let (year, month, day) = (number(0, 4)?, number(5, 7)?, number(8, 10)?);
        let (hour, minute, second) = (number(11, 13)?, number(14, 16)?, number(17, 19)?);
        let from_march = (month + 9) % 12;
        let years = year - i64::from(from_march >= 10);
        let days = years * 365 + years / 4 - years / 100 + years / 400 + (153 * from_march + 2) / 5 + day
            - 1
            - DAYS_TO_1970;
        let moment = Self::from_unix_seconds(days * SECONDS_A_DAY + hour * 3600 + minute * 60 + second);
        // A text that names no real moment, such as the 31st of April, does not come back as it went in.
        (moment.to_string() == text).then_some(moment)
    }

    /// As file names carry it: `20310504T093000Z`.
    pub fn compact(self) -> String {
        self.to_string().replace(['-', ':'], "")
    }

    /// Reads `20310504T093000Z`.
    pub(crate) fn read_compact(text: &str) -> Option<Self> {
        if text.len() != 16 || !text.is_ascii() {
            return None;
        }
        let (date, time) = (&text[..8], &text[9..15]);
        Self::read(&format!(
            "{}-{}-{}{}{}:{}:{}{}",
            &date[..4],
            &date[4..6],
            &date[6..],
            &text[8..9],
            &time[..2],
            &time[2..4],
            &time[4..],
            &text[15..]
        ))
    }
}

impl fmt::Display for Moment {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (day, second) = (self.seconds / SECONDS_A_DAY, self.seconds % SECONDS_A_DAY);
        let since = day + DAYS_TO_1970;
        let in_cycle = since % DAYS_A_CYCLE;
        // 1460 days make four years, 36524 a hundred, 146096 all but the last day of four hundred.
        let year_in_cycle = (in_cycle - in_cycle / 1460 + in_cycle / 36_524 - in_cycle / 146_096) / 365;
        let in_year = in_cycle - (year_in_cycle * 365 + year_in_cycle / 4 - year_in_cycle / 100);
        let from_march = (5 * in_year + 2) / 153;
        let month_day = in_year - (153 * from_march + 2) / 5 + 1;
        let month = (from_march + 2) % 12 + 1;
        let year = since / DAYS_A_CYCLE * 400 + year_in_cycle + i64::from(month <= 2);
        let (hour, minute, second) = (second / 3600, second / 60 % 60, second % 60);
        write!(f, "{year:04}-{month:02}-{month_day:02}T{hour:02}:{minute:02}:{second:02}Z")
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    // Origin: POSIX.1-2017, base definitions 4.16, "seconds since the Epoch", evaluated by hand.
    #[test]
    fn known_moments_are_written_as_the_standard_asks() {
        for (seconds, text) in [
            (0, "1970-01-01T00:00:00Z"),
            (951_782_400, "2000-02-29T00:00:00Z"),
            (1_000_000_000, "2001-09-09T01:46:40Z"),
            (4_107_542_399, "2100-02-28T23:59:59Z"),
            (4_107_542_400, "2100-03-01T00:00:00Z"),
            (SECONDS_MAX, "9999-12-31T23:59:59Z"),
        ] {
            assert_eq!(Moment::from_unix_seconds(seconds).to_string(), text);
        }
    }

    #[test]
    fn what_names_no_moment_is_refused() {
        for text in [
            "",
            "2031-04-31T00:00:00Z",
            "2031-05-04 09:30:00Z",
            "2031-05-04T09:30:00+02:00",
            "2031-05-04T24:00:00Z",
        ] {
            assert_eq!(Moment::read(text), None, "{text}");
        }
        assert_eq!(Moment::read_compact("20310504T0930000"), None);
    }

    proptest! {
        #[test]
        fn a_moment_reads_back_as_written(seconds in 0..=SECONDS_MAX) {
            let moment = Moment::from_unix_seconds(seconds);
            prop_assert_eq!(Moment::read(&moment.to_string()), Some(moment));
            prop_assert_eq!(Moment::read_compact(&moment.compact()), Some(moment));
        }

        #[test]
        fn later_moments_read_later(seconds in 0..SECONDS_MAX) {
            let (one, next) = (Moment::from_unix_seconds(seconds), Moment::from_unix_seconds(seconds + 1));
            prop_assert!(one.to_string() < next.to_string() && one.compact() < next.compact());
        }
    }
}
