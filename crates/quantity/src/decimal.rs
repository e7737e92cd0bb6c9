//! One rule of rounding for every figure that is printed: half away from zero, on the number as a person writes it.
//!
//! The nearest binary number to 9.45 lies below it, so the formatter of the language writes 9.4; and of exact halves it takes the even
//! one. A builder who reads 9.45 on the data sheet expects 9.5 on the card. So the number is first taken to [`FIGURES`] figures,
//! which is what it was before it became binary and was added up, and those are rounded. Rounding half away from zero is rule B of
//! ISO 80000-1:2009, annex B, here from memory.

/// Figures that are believed of a number: beyond them it is noise of adding up.
const FIGURES: usize = 12;

/// A number with so many decimals, halves away from zero; nought has no sign. What is no number is written as such.
pub fn decimal(value: f64, decimals: usize) -> String {
    if !value.is_finite() {
        return value.to_string();
    }
    let written = format!("{:.*e}", FIGURES - 1, value.abs());
    let Some((figures, exponent)) = written.split_once('e') else { return written };
    let exponent: i64 = exponent.parse().unwrap_or(0);
    // Figures that stay: those before the point and so many after it.
    let keep = exponent + 1 + decimals as i64;
    if keep >= FIGURES as i64 {
        return unsigned_nought(format!("{value:.decimals$}"));
    }
    let figures: Vec<u8> = figures.bytes().filter(u8::is_ascii_digit).map(|figure| figure - b'0').collect();
    // The first stands for a carry.
    let mut kept = vec![0u8];
    kept.extend(figures.iter().take(keep.max(0) as usize));
    let next = usize::try_from(keep).ok().and_then(|at| figures.get(at));
    if next.is_some_and(|next| *next >= 5) {
        for figure in kept.iter_mut().rev() {
            *figure += 1;
            if *figure < 10 {
                break;
            }
            *figure = 0;
        }
    }
    let whole = kept.len().saturating_sub(decimals);
    let mut text: String = kept.iter().take(whole).map(|figure| char::from(b'0' + figure)).collect();
    text = text.trim_start_matches('0').to_owned();
    if text.is_empty() {
        text.push('0');
    }
    if decimals > 0 {
        text.push('.');
        text.extend(std::iter::repeat_n('0', decimals.saturating_sub(kept.len())));
        text.extend(kept.iter().skip(whole).map(|figure| char::from(b'0' + figure)));
    }
    if value < 0.0 {
        text.insert(0, '-');
    }
    unsigned_nought(text)
}

fn unsigned_nought(text: String) -> String {
    match text.strip_prefix('-') {
        Some(rest) if rest.chars().all(|c| matches!(c, '0' | '.')) => rest.to_owned(),
        _ => text,
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn halves_go_away_from_zero_as_they_are_written() {
        let tenths = [9.45, -9.45, 9.449, 0.05, 0.049, 9.95, 99.95, 0.1 + 0.35, 2.25, 1e9 + 0.25, 0.0, -0.04];
        let written = tenths.map(|value| decimal(value, 1));
        assert_eq!(
            written,
            ["9.5", "-9.5", "9.4", "0.1", "0.0", "10.0", "100.0", "0.5", "2.3", "1000000000.3", "0.0", "0.0"]
        );
        assert_eq!([0.5, 1.5, 2.5, -2.5, 0.49].map(|value| decimal(value, 0)), ["1", "2", "3", "-3", "0"]);
        assert_eq!(
            [0.005, 1.005, 0.0049, 2e-9].map(|value| decimal(value, 2)),
            ["0.01", "1.01", "0.00", "0.00"]
        );
        assert_eq!([f64::NAN, f64::INFINITY].map(|value| decimal(value, 1)), ["NaN", "inf"]);
        assert_eq!(decimal(1e300, 1).len(), 303);
    }

    proptest! {
        #[test]
        fn it_is_never_more_than_half_a_place_off(value in -1e7f64..1e7, decimals in 0usize..5) {
            let read: f64 = decimal(value, decimals).parse().unwrap();
            let half = 0.5 * 10f64.powi(-(decimals as i32));
            prop_assert!((read - value).abs() <= half + value.abs() * 1e-11, "{value} {read}");
        }

        #[test]
        fn what_has_few_decimals_is_written_as_it_is(steps in -1_000_000i64..1_000_000, decimals in 0usize..5) {
            let value = steps as f64 / 10f64.powi(decimals as i32);
            let read: f64 = decimal(value, decimals).parse().unwrap();
            prop_assert_eq!(read, value);
        }
    }
}
