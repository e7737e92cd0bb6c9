//! Where in the picture, in words.
//!
//! The ninths of the picture that hold at least [`WORTH_NAMING`] of what is seen are named, joined where one
//! word serves for several: `lower corners`, `left edge`.

use quantity::Percent;

/// The share of what is seen that makes a ninth worth naming.
const WORTH_NAMING: f64 = 0.15;

const TOP_LEFT: usize = 0;
const TOP: usize = 1;
const TOP_RIGHT: usize = 2;
const LEFT: usize = 3;
const MIDDLE: usize = 4;
const RIGHT: usize = 5;
const LOW_LEFT: usize = 6;
const LOW: usize = 7;
const LOW_RIGHT: usize = 8;

/// Groups with a name of their own, the larger first.
const NAMES: &[(&[usize], &str)] = &[
    (&[TOP_LEFT, TOP_RIGHT, LOW_LEFT, LOW_RIGHT], "all four corners"),
    (&[LOW_LEFT, LOW, LOW_RIGHT], "lower edge"),
    (&[TOP_LEFT, TOP, TOP_RIGHT], "upper edge"),
    (&[TOP_LEFT, LEFT, LOW_LEFT], "left edge"),
    (&[TOP_RIGHT, RIGHT, LOW_RIGHT], "right edge"),
    (&[LOW_LEFT, LOW_RIGHT], "lower corners"),
    (&[TOP_LEFT, TOP_RIGHT], "upper corners"),
    (&[TOP_LEFT, LOW_LEFT], "left corners"),
    (&[TOP_RIGHT, LOW_RIGHT], "right corners"),
    (&[LEFT, RIGHT], "both sides"),
    (&[LOW_LEFT], "lower left corner"),
    (&[LOW_RIGHT], "lower right corner"),
    (&[TOP_LEFT], "upper left corner"),
    (&[TOP_RIGHT], "upper right corner"),
    (&[LOW], "lower edge"),
    (&[TOP], "upper edge"),
    (&[LEFT], "left edge"),
    (&[RIGHT], "right edge"),
    (&[MIDDLE], "middle"),
];

/// Where the shares of the ninths lie: `lower corners`. `None` where nothing is seen.
pub fn whereabouts(ninths: &[Percent; 9]) -> Option<String> {
    let total: f64 = ninths.iter().map(|share| share.get()).sum();
    if total <= 0.0 {
        return None;
    }
    let mut left: Vec<usize> = (0..9).filter(|n| ninths[*n].get() >= WORTH_NAMING * total).collect();
    let mut words: Vec<&str> = Vec::new();
    for (group, name) in NAMES {
        if group.iter().all(|n| left.contains(n)) {
            left.retain(|n| !group.contains(n));
            words.push(name);
        }
    }
    match words.as_slice() {
        [] => Some("all over".to_owned()),
        [one] => Some((*one).to_owned()),
        [first @ .., last] => Some(format!("{} and {last}", first.join(", "))),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn check(ninths: [f64; 9], expected: Option<&str>) {
        assert_eq!(whereabouts(&ninths.map(Percent::new)).as_deref(), expected);
    }

    #[test]
    fn places_are_named_as_a_person_would() {
        check([0.0; 9], None);
        check([0.0, 0.0, 0.0, 0.1, 0.0, 0.1, 2.0, 0.0, 2.0], Some("lower corners"));
        check([0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 2.0, 3.0, 2.0], Some("lower edge"));
        check([1.0, 0.0, 1.0, 0.0, 0.0, 0.0, 1.0, 0.0, 1.0], Some("all four corners"));
        check(
            [0.0, 0.0, 1.0, 0.0, 0.0, 0.0, 1.0, 0.0, 0.0],
            Some("lower left corner and upper right corner"),
        );
        check([0.0, 0.0, 0.0, 1.0, 0.0, 1.0, 2.0, 0.0, 2.0], Some("lower corners and both sides"));
        check([1.0; 9], Some("all over"));
    }
}
