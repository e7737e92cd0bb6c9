//! The fast search held to trying all, on made-up matrices.

use super::*;
use crate::placement::try_all::try_all;
use proptest::prelude::*;

/// Numbers instead of geometry: margins are drawn from a few values, so that there are ties.
#[derive(Clone, Debug)]
struct Made {
    arrangements: Vec<Vec<Step>>,
    counts: Vec<u32>,
    seed: u64,
    /// How far below nought the margins begin.
    short: Margin,
}

impl Made {
    fn drawn(&self, of: &[u64]) -> u64 {
        let mixed = of.iter().fold(self.seed | 1, |sum, part| {
            (sum ^ part.wrapping_add(0x9e37_79b9_7f4a_7c15))
                .wrapping_mul(0xbf58_476d_1ce4_e5b9)
                .rotate_left(29)
        });
        mixed ^ (mixed >> 31)
    }

    /// What is below a floor, told as something else below it that is no less.
    fn as_told(&self, margin: Margin, floor: Margin) -> Margin {
        if margin >= floor || margin == IMPOSSIBLE {
            return margin;
        }
        margin + (self.drawn(&[5, margin as u64]) % (floor - margin) as u64) as Margin
    }
}

impl Choices for Made {
    fn arrangements(&self) -> usize {
        self.arrangements.len()
    }
    fn steps(&self, arrangement: usize) -> &[Step] {
        &self.arrangements[arrangement]
    }
    fn choices(&self, arrangement: usize, step: usize, below: Option<u32>) -> Vec<u32> {
        let unit = self.arrangements[arrangement][step].unit;
        // What stands on something has other choices on each thing it may stand on.
        let from = below.map_or(0, |below| 1 + below % 3) * 5;
        (0..self.counts[unit]).map(|choice| from + choice).collect()
    }
    fn own(&self, unit: usize, choice: u32) -> Margin {
        match self.drawn(&[1, unit as u64, u64::from(choice)]) % 12 {
            0 => IMPOSSIBLE,
            drawn => drawn as Margin * 100 - self.short,
        }
    }
    fn between(&self, one: (usize, u32), other: (usize, u32)) -> Margin {
        let (a, b) = if one.0 < other.0 { (one, other) } else { (other, one) };
        let drawn = self.drawn(&[2, a.0 as u64, u64::from(a.1), b.0 as u64, u64::from(b.1)]);
        if drawn.is_multiple_of(9) { IMPOSSIBLE } else { (drawn % 13) as Margin * 100 - self.short }
    }
    fn own_from(&self, unit: usize, choice: u32, floor: Margin) -> Margin {
        self.as_told(self.own(unit, choice), floor)
    }
    fn between_from(&self, one: (usize, u32), other: (usize, u32), floor: Margin) -> Margin {
        self.as_told(self.between(one, other), floor)
    }
    fn changes(&self, unit: usize, choice: u32) -> u32 {
        (self.drawn(&[3, unit as u64, u64::from(choice)]) % 3) as u32
    }
    fn likeness(&self, unit: usize, choice: u32) -> u64 {
        self.drawn(&[4, unit as u64, u64::from(choice / 2)])
    }
    fn most(&self) -> Margin {
        1000
    }
}

fn made() -> impl Strategy<Value = Made> {
    let free =
        |units: Vec<usize>| units.into_iter().map(|unit| Step { unit, upon: None }).collect::<Vec<_>>();
    let short = prop_oneof![Just(0), Just(300), Just(1000), Just(1700), Just(2600)];
    let drawn = (1usize..4, proptest::collection::vec(1u32..6, 3), any::<u64>(), short);
    drawn.prop_map(move |(units, counts, seed, short)| {
        let mut arrangements = vec![free((0..units).collect())];
        if units > 1 {
            // The second stands on the first, and the other way round.
            for (low, high) in [(0, 1), (1, 0)] {
                let mut steps = vec![Step { unit: low, upon: None }, Step { unit: high, upon: Some(0) }];
                steps.extend((2..units).map(|unit| Step { unit, upon: None }));
                arrangements.push(steps);
            }
        }
        if units > 2 {
            arrangements.push((0..3).map(|unit| Step { unit, upon: unit.checked_sub(1) }).collect());
        }
        Made { arrangements, counts, seed, short }
    })
}

fn told(found: &[Found]) -> Vec<(Margin, u32)> {
    found.iter().map(|found| (found.margin, found.changes)).collect()
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(256))]

    #[test]
    fn the_fast_search_finds_what_trying_all_finds(problem in made(), keep in 1usize..6) {
        let (fast, slow) = (search(&problem, keep, &mut |_| true), try_all(&problem, keep));
        prop_assert_eq!(told(&fast.best), told(&slow.best));
        prop_assert_eq!(fast.choices, slow.choices);
        prop_assert!(fast.whole);
        // The proof: nothing that was cut off could have been among the best.
        if let (Some(cut), Some(last)) = (fast.cut_off, fast.best.get(keep - 1)) {
            prop_assert!(cut <= last.margin);
        }
    }

    #[test]
    fn what_lies_below_the_floor_changes_nothing_that_is_told(problem in made(), keep in 1usize..6) {
        let told = search(&problem, keep, &mut |_| true);
        let exact = search_from(&problem, keep, &[IMPOSSIBLE], &mut |_| true);
        prop_assert_eq!(&told.best, &exact.best);
        prop_assert_eq!((told.at_most, told.cut_off, told.choices), (exact.at_most, exact.cut_off, exact.choices));
    }

    #[test]
    fn the_share_done_rises_to_the_whole(problem in made()) {
        let mut before = 0.0;
        let mut rises = true;
        search(&problem, 3, &mut |share| {
            rises &= share >= before && share <= 1.0;
            before = share;
            true
        });
        prop_assert!(rises);
    }
}

#[test]
fn a_search_that_is_stopped_says_so_and_keeps_what_it_has() {
    let steps = (0..3).map(|unit| Step { unit, upon: None }).collect();
    let problem = Made { arrangements: vec![steps], counts: vec![5, 5, 5], seed: 77, short: 300 };
    let stopped = search(&problem, 2, &mut |_| false);
    assert!(!stopped.whole && stopped.best.len() <= 2);
}
