//! Breaking words into lines that fit, by the widths of letters.
//!
//! Widths are those of the stronger of the two sans the program carries, by groups of letters and rounded up, so that plain and
//! bold, and most other sans a reader's machine may put in their place, keep to the line. Left out: kerning.

use quantity::{Unit, accepted_spellings};

/// Width of a letter over the height of the type.
fn letter_width(letter: char) -> f64 {
    match letter {
        'i' | 'j' | 'l' | '.' | ',' | ':' | ';' | '\'' | '|' | '!' | ' ' | '·' => 0.3,
        'f' | 't' | 'r' | 'I' | '1' | '(' | ')' | '[' | ']' | '/' | '-' | '"' => 0.41,
        'm' | 'M' | 'w' | 'W' | '%' | '@' | '—' | '…' => 0.92,
        'A'..='Z' => 0.65,
        ' '..='~' => 0.57,
        // Ideographs and their like fill the square.
        '\u{1100}'..='\u{11ff}' | '\u{2e80}'..='\u{ffff}' | '\u{10000}'.. => 1.0,
        _ => 0.65,
    }
}

/// How wide a text is set, in mm.
pub(crate) fn width_of(text: &str, size: f64) -> f64 {
    text.chars().map(letter_width).sum::<f64>() * size
}

/// The text in lines no wider than `width`, at most `lines_max`; the last ends in `…` if there is more.
pub(crate) fn wrapped(text: &str, width: f64, size: f64, lines_max: usize) -> Vec<String> {
    let width = width.max(4.0 * size);
    let mut lines: Vec<String> = vec![String::new()];
    for word in unbroken(text) {
        for piece in pieces(&word, width, size) {
            let line = lines.len() - 1;
            let used = width_of(&lines[line], size);
            if used > 0.0 && used + width_of(" ", size) + width_of(&piece, size) > width {
                lines.push(piece);
            } else {
                if used > 0.0 {
                    lines[line].push(' ');
                }
                lines[line].push_str(&piece);
            }
        }
        if lines.len() > lines_max {
            break;
        }
    }
    if lines.len() > lines_max {
        lines.truncate(lines_max);
        if let Some(last) = lines.last_mut() {
            while width_of(last, size) + width_of("…", size) > width && last.pop().is_some() {}
            last.push('…');
        }
    }
    lines
}

/// The words of a text, a number with its unit and its doubt as one: `1.4 mm`, `0.4 ± 0.3 mm`.
fn unbroken(text: &str) -> Vec<String> {
    let mut kept: Vec<String> = Vec::new();
    for word in text.split_whitespace() {
        match kept.last_mut() {
            Some(before) if belongs(before, word) => {
                before.push(' ');
                before.push_str(word);
            }
            _ => kept.push(word.to_owned()),
        }
    }
    kept
}

/// Whether a word goes with what stands before it: a sign of doubt, the doubt after it, the unit of a number.
fn belongs(before: &str, word: &str) -> bool {
    if word == "±" || before.ends_with('±') {
        return true;
    }
    let unit = word.trim_end_matches([',', '.', ';', ':', ')', '?']);
    let is_unit = || Unit::ALL.iter().any(|known| accepted_spellings(*known).contains(&unit));
    before.ends_with(|last: char| last.is_ascii_digit()) && is_unit()
}

/// The text on one line, cut short with `…` where it does not fit.
pub(crate) fn on_one_line(text: &str, width: f64, size: f64) -> String {
    let words: Vec<&str> = text.split_whitespace().collect();
    let mut line = words.join(" ");
    if width_of(&line, size) > width {
        while width_of(&line, size) + width_of("…", size) > width && line.pop().is_some() {}
        line.push('…');
    }
    line
}

/// A word in pieces no wider than a line.
fn pieces(word: &str, width: f64, size: f64) -> Vec<String> {
    let mut pieces = vec![String::new()];
    let mut used = 0.0;
    for letter in word.chars() {
        let wide = letter_width(letter) * size;
        if used + wide > width && used > 0.0 {
            pieces.push(String::new());
            used = 0.0;
        }
        if let Some(last) = pieces.last_mut() {
            last.push(letter);
        }
        used += wide;
    }
    pieces
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_line_is_wider_than_it_may_be_and_no_letter_is_lost() {
        let lines = wrapped(&format!("the lens {} the cage", "x".repeat(90)), 20.0, 3.0, 40);
        assert!(lines.iter().all(|line| width_of(line, 3.0) <= 20.0), "{lines:?}");
        assert_eq!(lines.concat().replace(' ', "").len(), "thelensthecage".len() + 90);
    }

    #[test]
    fn a_number_keeps_its_unit_and_its_doubt() {
        assert_eq!(unbroken("overlap by 1.4 mm: 50 % sure"), ["overlap", "by", "1.4 mm:", "50 %", "sure"]);
        assert_eq!(
            unbroken("0.4 ± 0.3 mm (2.4 GHz) at 4 arms"),
            ["0.4 ± 0.3 mm", "(2.4 GHz)", "at", "4", "arms"]
        );
        assert_eq!(wrapped("they overlap by 1.4 mm", 28.0, 3.0, 4), ["they overlap by", "1.4 mm"]);
    }

    #[test]
    fn what_does_not_fit_is_said_to_go_on() {
        assert_eq!(wrapped("one two three four", 12.0, 3.0, 2), ["one two", "three…"]);
        assert_eq!(on_one_line("front left standoff", 20.0, 3.0), "front left st…");
        assert_eq!(on_one_line("front left", 20.0, 3.0), "front left");
    }
}
