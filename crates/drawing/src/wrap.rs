//! Breaking words into lines that fit, by the usual width of letters.
//!
//! Sans letters are half as wide as the type is high, on average; 0.5 is that and no more: most words are narrower. Left out:
//! the true widths of a font, which is the reader's own.

/// Average width of a letter over the height of the type.
const LETTER_WIDTH: f64 = 0.5;

/// The text in lines no wider than `width`, at most `lines_max`; the last ends in `…` if there is more.
pub(crate) fn wrapped(text: &str, width: f64, size: f64, lines_max: usize) -> Vec<String> {
    let letters = ((width / (size * LETTER_WIDTH)) as usize).max(4);
    let mut lines: Vec<String> = vec![String::new()];
    for word in text.split_whitespace() {
        for piece in pieces(word, letters) {
            let line = lines.len() - 1;
            let used = lines[line].chars().count();
            if used > 0 && used + 1 + piece.chars().count() > letters {
                lines.push(piece);
            } else {
                if used > 0 {
                    lines[line].push(' ');
                }
                lines[line].push_str(&piece);
            }
        }
    }
    if lines.len() > lines_max {
        lines.truncate(lines_max);
        if let Some(last) = lines.last_mut() {
            let kept: String = last.chars().take(letters.saturating_sub(1)).collect();
            *last = kept + "…";
        }
    }
    lines
}

/// A word in pieces no longer than a line.
fn pieces(word: &str, letters: usize) -> Vec<String> {
    let all: Vec<char> = word.chars().collect();
    all.chunks(letters).map(|chunk| chunk.iter().collect()).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_line_is_longer_than_it_may_be() {
        let lines = wrapped(&format!("the lens {} the cage", "x".repeat(90)), 20.0, 3.0, 40);
        assert!(lines.iter().all(|line| line.chars().count() <= 13), "{lines:?}");
        assert_eq!(lines.concat().replace(' ', "").len(), "thelensthecage".len() + 90);
    }

    #[test]
    fn what_does_not_fit_is_said_to_go_on() {
        assert_eq!(wrapped("one two three four", 7.0, 3.0, 2), ["one", "two…"]);
    }
}
