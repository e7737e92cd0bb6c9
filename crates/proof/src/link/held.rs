//! The share of the time that a picture holds, as it is told: nobody knows a tenth of a per cent near the ends.

use quantity::Probability;

/// Nearer to never or to always than this nothing is told apart.
const END: f64 = 1e-3;

/// In words: `over 99.9 %`, `99.4 %`, `87 %`, `under 0.1 %`.
pub fn held_words(held: Probability) -> String {
    match held.get() {
        share if share > 1.0 - END => format!("over {:.1} %", 100.0 * (1.0 - END)),
        share if share < END => format!("under {:.1} %", 100.0 * END),
        // What holds less than 99 % never reads as 99 %.
        share if (0.98..0.99).contains(&share) => format!("{:.1} %", (1000.0 * share).floor() / 10.0),
        share if !(0.01..=0.99).contains(&share) => format!("{:.1} %", 100.0 * share),
        share => format!("{:.0} %", 100.0 * share),
    }
}

/// In per cent, as far as anything is told apart.
pub fn held_percent(held: Probability) -> f64 {
    100.0 * held.get().clamp(END, 1.0 - END)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_picture_holds_all_of_the_time() {
        let told = [1.0, 0.9995, 0.994, 0.99, 0.9897, 0.976, 0.5, 0.004, 0.0]
            .map(|share| held_words(Probability::new(share)));
        assert_eq!(
            told,
            [
                "over 99.9 %",
                "over 99.9 %",
                "99.4 %",
                "99 %",
                "98.9 %",
                "98 %",
                "50 %",
                "0.4 %",
                "under 0.1 %"
            ]
        );
        assert_eq!([1.0, 0.25].map(|share| held_percent(Probability::new(share))), [99.9, 25.0]);
    }
}
