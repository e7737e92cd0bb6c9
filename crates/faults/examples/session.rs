//! What a session looks like in figures: the advice after each answer, and how long it takes to work out.
//!
//! `cargo run -p faults --example session`

use faults::{Base, Counts, Depth, Evidence, Facts, Means, Step, advise, as_observation, priors};
use std::time::Instant;

fn main() {
    let (base, _) = Base::embedded();
    for (title, complaint, facts_on, answers) in [
        (
            "no picture after a crash, no camera light",
            "no_picture",
            &["recent_crash", "spare_harness", "spare_camera", "spare_antenna", "spare_pigtail"][..],
            &[
                ("camera_light_off", 0),
                ("text_without_picture", 0),
                ("link_no_lock", 1),
                ("reseat_harness", 1),
                ("swap_harness", 0),
            ][..],
        ),
        (
            "half the range since a crash",
            "range_short",
            &["recent_crash", "spare_antenna", "spare_pigtail"],
            &[("breakup_close", 1), ("look_antenna", 1), ("swap_air_antenna", 1), ("level_at_5m", 0)],
        ),
        (
            "new build, no text",
            "no_text",
            &["new_build", "standby_enabled"],
            &[("stuck_lowest", 0), ("no_picture", 1), ("read_port_setting", 1), ("serial_idle_volts", 0)],
        ),
    ] {
        let mut facts = Facts::usual(&base);
        for id in facts_on {
            facts.say(&base, id, true);
        }
        let priors = priors(&base, &facts, &Counts::default());
        let mut evidence = Evidence { complaint: base.sign(complaint), seen: Vec::new() };
        println!("\n== {title}");
        for at in 0..=answers.len() {
            let start = Instant::now();
            let advice = match advise(&base, &facts, &priors, &evidence, &Means::default(), Depth::default())
            {
                Ok(advice) => advice,
                Err(fault) => return println!("{fault}"),
            };
            let took = start.elapsed();
            let likely: Vec<String> = advice
                .posterior
                .ranked()
                .iter()
                .take(4)
                .map(|cause| format!("{} {:.3}", base.causes[*cause].id, advice.posterior.chances[*cause]))
                .collect();
            println!(
                "{took:.1?}  doubt {:.2} bit, {} explanations cover {:.4}; {}",
                advice.doubt,
                advice.explanations.len(),
                advice.covered,
                likely.join(", ")
            );
            for step in advice.steps.iter().take(5) {
                let id = match step.step {
                    Step::Look(sign) => &base.signs[sign].id,
                    Step::Try(test) => &base.tests[test].id,
                    Step::Mend(repair) => &base.repairs[repair].id,
                };
                println!(
                    "    {id}: {:.3} bit/min, cost to a picture {:.2}",
                    step.bits_a_minute, step.expected_cost
                );
            }
            println!(
                "    repairs at once {:.2}, stop asking: {}, {:?}",
                advice.repair_cost, advice.stop_asking, advice.order_holds
            );
            if let Some((id, outcome)) = answers.get(at) {
                let step = base.sign(id).map(Step::Look).or(base.test(id).map(Step::Try));
                evidence.seen.extend(step.map(|step| as_observation(step, *outcome)));
                println!("  > {id} {outcome}");
            }
        }
    }
}
