//! Which known name a mistyped word was probably meant to be.
//!
//! The distance is that of Damerau and Levenshtein in its restricted form (one letter added, left out,
//! changed, or two neighbours swapped, each counting one), over letters folded to lower case. A name is
//! offered only if the distance is small for the length of the word: a wrong guess costs more than none.
//! - up to two letters: only a difference of case;
//! - three to five letters: one change;
//! - six to eight letters: two; longer: three.

/// The candidate nearest to `word`, or `None` if none is near enough. The first of equals wins.
pub fn near_name<'a>(word: &str, candidates: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    let word = folded(word);
    // A word this long is no slip of the finger, and the table below grows with its length.
    if word.len() > 80 {
        return None;
    }
    let allowed = match word.len() {
        0..=2 => 0,
        3..=5 => 1,
        6..=8 => 2,
        _ => 3,
    };
    candidates
        .into_iter()
        .filter_map(|name| {
            let letters = folded(name);
            let possible = letters.len().abs_diff(word.len()) <= allowed;
            let distance = if possible { edit_distance(&word, &letters) } else { usize::MAX };
            (distance <= allowed).then_some((distance, name))
        })
        .min_by_key(|&(distance, _)| distance)
        .map(|(_, name)| name)
}

fn folded(text: &str) -> Vec<char> {
    text.chars().flat_map(char::to_lowercase).collect()
}

fn edit_distance(a: &[char], b: &[char]) -> usize {
    let width = b.len() + 1;
    let mut table = vec![0; (a.len() + 1) * width];
    for (i, cell) in table.iter_mut().step_by(width).enumerate() {
        *cell = i;
    }
    for (j, cell) in table.iter_mut().take(width).enumerate() {
        *cell = j;
    }
    for i in 1..=a.len() {
        for j in 1..=b.len() {
            let differs = usize::from(a[i - 1] != b[j - 1]);
            let at = |i: usize, j: usize| i * width + j;
            let mut least =
                (table[at(i - 1, j)] + 1).min(table[at(i, j - 1)] + 1).min(table[at(i - 1, j - 1)] + differs);
            if i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1] {
                least = least.min(table[at(i - 2, j - 2)] + 1);
            }
            table[at(i, j)] = least;
        }
    }
    table[a.len() * width + b.len()]
}

#[cfg(test)]
mod tests {
    use super::*;

    const NAMES: [&str; 4] = ["upper plate", "lower plate", "camera", "cage"];

    #[test]
    fn slips_of_the_finger_find_their_name() {
        assert_eq!(near_name("uper plate", NAMES), Some("upper plate"));
        assert_eq!(near_name("Camrea", NAMES), Some("camera"));
        assert_eq!(near_name("cgae", NAMES), Some("cage"));
        assert_eq!(near_name("MM", ["m", "mm"]), Some("mm"));
    }

    #[test]
    fn far_words_find_nothing() {
        assert_eq!(near_name("propeller", NAMES), None);
        assert_eq!(near_name("x", ["m", "g"]), None);
        assert_eq!(near_name("", NAMES), None);
        assert_eq!(near_name(&"a".repeat(100_000), NAMES), None);
    }

    #[test]
    fn distances_worked_by_hand() {
        let distance = |a: &str, b: &str| edit_distance(&folded(a), &folded(b));
        assert_eq!(distance("kitten", "sitting"), 3);
        assert_eq!(distance("ab", "ba"), 1);
        assert_eq!(distance("", "abc"), 3);
    }
}
