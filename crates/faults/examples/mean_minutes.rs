//! Mean minutes to a working picture: the advice against swapping parts and against probability alone, with 95 % intervals.
//!
//! `cargo run --release -p faults --example mean_minutes [TRIALS]`. Seeded: the same figures each time. Printed twice, the second time with
//! a truth in which every weight and likelihood is off by a factor of 2, up or down.

use faults::simulate::{Dice, Took, Way, bent, mean, trial};
use faults::{Base, Facts};

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

fn main() {
    let trials: u64 = std::env::args().nth(1).and_then(|text| text.parse().ok()).unwrap_or(400);
    let (base, _) = Base::embedded();
    let ways = WAYS.map(|(way, _)| way);
    for (title, factor) in [("the knowledge is right", 1.0), ("every weight and likelihood is off by 2", 2.0)]
    {
        let mut dice = Dice::new(20_260_601);
        let mut took: Vec<Vec<Took>> = Vec::new();
        for number in 0..trials {
            let mut facts = Facts::usual(&base);
            let day = DAYS[(number % 4) as usize];
            for id in day.iter().chain(&SPARES) {
                facts.say(&base, id, true);
            }
            let truth = if factor == 1.0 { base.clone() } else { bent(&base, factor, &mut dice) };
            took.push(trial(&base, &truth, &facts, &ways, &mut dice));
        }
        println!("\n{title}: {trials} craft");
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
