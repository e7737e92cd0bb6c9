//! Numbers as messages say them: rounded by the one rule of `quantity::decimal`, no trailing noughts, no minus before nought.

use quantity::decimal;

/// A number with so many decimals at most: `14`, `0.4`.
pub(crate) fn rounded(value: f64, decimals: usize) -> String {
    let text = decimal(value, decimals);
    let text = if text.contains('.') { text.trim_end_matches('0').trim_end_matches('.') } else { &text };
    if text == "-0" { "0".to_owned() } else { text.to_owned() }
}

/// The same, but what is there does not read as nought: it has as many more decimals as its first digit takes.
pub(crate) fn legible(value: f64, decimals: usize) -> String {
    let text = rounded(value, decimals);
    if text != "0" || value == 0.0 {
        return text;
    }
    match (-value.abs().log10()).ceil() {
        more if more <= LEAST_DECIMALS => rounded(value, more as usize),
        _ => format!("under {}", 10f64.powf(-LEAST_DECIMALS)),
    }
}

/// The most decimals that anybody reads.
const LEAST_DECIMALS: f64 = 6.0;

/// The greatest number of so many decimals that is no greater, for what still serves if it is a little less. Where that would be nought
/// it has as many more decimals as it takes.
pub(crate) fn at_most(value: f64, decimals: i32) -> f64 {
    let down = |decimals: i32| {
        let steps = 10f64.powi(decimals);
        (value * steps).floor() / steps
    };
    let enough = |down: &f64| *down > 0.0 || value <= 0.0;
    (decimals..=LEAST_DECIMALS as i32).map(down).find(enough).unwrap_or(0.0)
}

/// Three figures that count, as far as hundredths: how lists tell numbers of any unit.
pub fn three_figures(value: f64) -> String {
    let decimals = match value.abs() {
        size if size >= 100.0 => 0,
        size if size >= 10.0 => 1,
        // What is there does not read as nought.
        size if (5e-5..0.005).contains(&size) => (1.0 - size.log10().floor()).min(5.0) as usize,
        _ => 2,
    };
    rounded(value, decimals)
}

/// A length to a tenth of a millimetre; to a hundredth under one. What is there, yet too little to write
/// down, is not nought.
pub(crate) fn mm(value: f64) -> String {
    let decimals = if value.abs() < 0.95 { 2 } else { 1 };
    if value != 0.0 && value.abs() < LEAST_MM {
        return format!("under {} mm", 2.0 * LEAST_MM);
    }
    format!("{} mm", rounded(value, decimals))
}

/// Two lengths that differ, so that they read as different: to a tenth as usual, to a hundredth where a tenth hides it.
pub(crate) fn told_apart(one: f64, other: f64) -> [String; 2] {
    let usual = [mm(one), mm(other)];
    let same = usual[0] == usual[1] && (one - other).abs() >= LEAST_MM;
    if same { [fine_mm(one), fine_mm(other)] } else { usual }
}

/// Below this a length is not written in figures.
const LEAST_MM: f64 = 0.005;

/// A length to a hundredth of a millimetre, for optics.
pub(crate) fn fine_mm(value: f64) -> String {
    format!("{} mm", rounded(value, 2))
}

/// A mass or a thrust in whole grams; to a tenth under ten.
pub(crate) fn grams(value: f64) -> String {
    format!("{} g", rounded(value, if value.abs() < 9.95 { 1 } else { 0 }))
}

/// `cell` or `cells`.
pub(crate) fn cells_word(count: u32) -> &'static str {
    if count == 1 { "cell" } else { "cells" }
}

/// Words in a row: `a`, `a and b`, `a, b and c`.
pub(crate) fn listed<S: AsRef<str>>(words: &[S]) -> String {
    match words {
        [] => String::new(),
        [one] => one.as_ref().to_owned(),
        [first @ .., last] => {
            let first: Vec<&str> = first.iter().map(S::as_ref).collect();
            format!("{} and {}", first.join(", "), last.as_ref())
        }
    }
}

/// A sentence with its first letter as a capital.
pub(crate) fn capital(words: &str) -> String {
    let mut letters = words.chars();
    letters.next().map_or(String::new(), |first| first.to_uppercase().collect::<String>() + letters.as_str())
}

/// The same sentence inside another one.
pub(crate) fn lower(words: &str) -> String {
    let mut letters = words.chars();
    letters.next().map_or(String::new(), |first| first.to_lowercase().collect::<String>() + letters.as_str())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_read_as_a_person_writes_them() {
        assert_eq!(rounded(-0.04, 1), "0");
        assert_eq!([rounded(120.0, 0), rounded(9.45, 1), rounded(0.285, 2)], ["120", "9.5", "0.29"]);
        assert_eq!([mm(14.0), mm(0.25), mm(-1.26)], ["14 mm", "0.25 mm", "-1.3 mm"]);
        assert_eq!([mm(0.0), mm(0.004), mm(0.006)], ["0 mm", "under 0.01 mm", "0.01 mm"]);
        assert_eq!([grams(3.24), grams(182.7)], ["3.2 g", "183 g"]);
        assert_eq!(listed(&["a", "b", "c"]), "a, b and c");
        assert_eq!(told_apart(2.95, 3.0), ["2.95 mm", "3 mm"]);
        assert_eq!(told_apart(2.9, 3.0), ["2.9 mm", "3 mm"]);
    }

    #[test]
    fn what_is_there_does_not_read_as_nought() {
        assert_eq!(
            [legible(0.0, 1), legible(0.04, 1), legible(-0.04, 1), legible(3.21, 1)],
            ["0", "0.04", "-0.04", "3.2"]
        );
        assert_eq!(
            [legible(0.0096, 0), legible(0.000_3, 2), legible(1e-9, 0)],
            ["0.01", "0.0003", "under 0.000001"]
        );
        assert_eq!(
            [at_most(3.29, 1), at_most(0.034, 1), at_most(0.0, 1), at_most(-0.04, 1)],
            [3.2, 0.03, 0.0, -0.1]
        );
    }
}
