//! Numbers as a chart writes them.
//!
//! So many decimals as the step of the marks needs, a true minus sign, thousands apart by a thin space (ISO 80000-1:2009, 7.3.1).

use quantity::Unit;

/// A number to so many decimals.
pub(super) fn fixed(value: f64, decimals: usize) -> String {
    let plain = format!("{:.decimals$}", value.abs());
    let (whole, rest) = plain.split_at(plain.find('.').unwrap_or(plain.len()));
    let mut spaced = String::new();
    for (n, digit) in whole.chars().enumerate() {
        if whole.len() > 4 && n > 0 && (whole.len() - n).is_multiple_of(3) {
            spaced.push('\u{2009}');
        }
        spaced.push(digit);
    }
    let is_nought = plain.chars().all(|c| c == '0' || c == '.');
    let sign = if value < 0.0 && !is_nought { "−" } else { "" };
    format!("{sign}{spaced}{rest}")
}

/// How many decimals tell steps apart.
pub(super) fn decimals(step: f64) -> usize {
    (-(step.log10() + 1e-9).floor()).clamp(0.0, 9.0) as usize
}

/// A number as short as it reads well: three figures, no needless noughts.
pub(super) fn short(value: f64) -> String {
    let size = value.abs().max(1e-9);
    let places = (2.0 - size.log10().floor()).clamp(0.0, 6.0) as usize;
    let long = fixed(value, places);
    if long.contains('.') { long.trim_end_matches('0').trim_end_matches('.').to_owned() } else { long }
}

/// A number with its sign always shown, to a tenth.
pub(super) fn signed(value: f64) -> String {
    let words = fixed(value, 1);
    // What is nought as it is written has no sign.
    match words.trim_start_matches('−') {
        nought @ "0.0" => nought.to_owned(),
        _ if words.starts_with('−') => words,
        _ => format!("+{words}"),
    }
}

/// A number with its unit.
pub(super) fn with_unit(number: &str, unit: Unit) -> String {
    match unit.symbol() {
        "" => number.to_owned(),
        "°" => format!("{number}°"),
        symbol => format!("{number} {symbol}"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_read_as_a_drawing_writes_them() {
        assert_eq!(fixed(-12_345.678, 1), "−12\u{2009}345.7");
        assert_eq!(fixed(-0.04, 1), "0.0");
        assert_eq!(
            [1234.0, 0.25, 66.66, -3.0, 0.001_234].map(short),
            ["1234", "0.25", "66.7", "−3", "0.00123"]
        );
        assert_eq!([3.0, -3.04].map(signed), ["+3.0", "−3.0"]);
        assert_eq!([2.0, 0.5, 0.02].map(decimals), [0, 1, 2]);
        assert_eq!(with_unit("45", Unit::Degrees), "45°");
    }
}
