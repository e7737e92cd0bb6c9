//! Mean minutes to a working picture: the advice against swapping parts and against probability alone, with 95 % intervals.
//!
//! `cargo run --release -p faults --example mean_minutes [TRIALS]` prints the whole table, 240 craft in each of its two blocks unless
//! another number is given: first where the knowledge is right, then with a truth in which every weight and likelihood is off by a
//! factor of 2, up or down. Each craft has dice of its own, so the figures are the same however many threads share the work.

use faults::simulate::{Dice, Took, Way, bent, mean, trial};
use faults::{Base, Facts};
use std::sync::atomic::{AtomicU64, Ordering};

const WAYS: [(Way, &str); 4] = [
    (Way::Advised, "as advised"),
    (Way::SwapParts, "swapping parts, cheapest first"),
    (Way::ByProbability, "repairs by probability alone"),
    (Way::ByChanceOverCost, "repairs by chance over cost"),
];
const DAYS: [&[&str]; 4] = [&[], &["recent_crash"], &["new_build"], &["recent_rewire"]];
const SPARES: [&str; 6] = [
    "spare_harness",
    "spare_camera",
    "spare_antenna",
    "spare_pigtail",
    "spare_ground_antenna",
    "second_ground_set",
];
/// Craft in each block.
const TRIALS: u64 = 240;
const SEED: u64 = 20_260_601;

/// One craft: the same whoever asks, and in whatever order.
fn craft(base: &Base, number: u64, factor: f64) -> Vec<Took> {
    let mut dice = Dice::new(SEED.wrapping_add(number.wrapping_mul(0x9e37_79b9_7f4a_7c15)));
    let mut facts = Facts::usual(base);
    for id in DAYS[(number % 4) as usize].iter().chain(&SPARES) {
        facts.say(base, id, true);
    }
    let truth = if factor == 1.0 { base.clone() } else { bent(base, factor, &mut dice) };
    trial(base, &truth, &facts, &WAYS.map(|(way, _)| way), &mut dice)
}

fn block(base: &Base, trials: u64, factor: f64) -> Vec<Vec<Took>> {
    let next = AtomicU64::new(0);
    let work = || {
        let mut done = Vec::new();
        loop {
            let number = next.fetch_add(1, Ordering::Relaxed);
            if number >= trials {
                return done;
            }
            done.push((number, craft(base, number, factor)));
            if number % 20 == 19 {
                eprintln!("{} of {trials}", number + 1);
            }
        }
    };
    let threads = std::thread::available_parallelism().map_or(1, usize::from);
    let mut took: Vec<(u64, Vec<Took>)> = std::thread::scope(|scope| {
        let running: Vec<_> = (0..threads).map(|_| scope.spawn(work)).collect();
        running.into_iter().flat_map(|one| one.join().unwrap_or_default()).collect()
    });
    took.sort_by_key(|(number, _)| *number);
    took.into_iter().map(|(_, took)| took).collect()
}

fn main() {
    let trials: u64 = std::env::args().nth(1).and_then(|text| text.parse().ok()).unwrap_or(TRIALS);
    let (base, _) = Base::embedded();
    for (title, factor) in [("the knowledge is right", 1.0), ("every weight and likelihood is off by 2", 2.0)]
    {
        let took = block(&base, trials, factor);
        if factor != 1.0 {
            println!();
        }
        println!("{title}: {trials} craft");
        println!(
            "{:<34} {:>18} {:>24} {:>26} {:>12}",
            "way", "minutes", "minutes with parts", "more than as advised", "handed over"
        );
        for (place, (_, name)) in WAYS.iter().enumerate() {
            let of = |read: &dyn Fn(&Vec<Took>) -> f64| mean(&took.iter().map(read).collect::<Vec<f64>>());
            let (minutes, cost) = (of(&|one| one[place].minutes), of(&|one| one[place].cost));
            let more = of(&|one| one[place].cost - one[0].cost);
            let handed = took.iter().filter(|one| one[place].handed_over).count();
            println!(
                "{name:<34} {:>9.1} ± {:>5.1} {:>15.1} ± {:>5.1} {:>17.1} ± {:>5.1} {handed:>12}",
                minutes.0, minutes.1, cost.0, cost.1, more.0, more.1
            );
        }
    }
}
