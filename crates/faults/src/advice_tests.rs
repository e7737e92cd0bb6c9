//! The advice against plain enumeration, and the ways it must go.

use crate::posterior_tests::{case, numbers};
use crate::*;
use proptest::prelude::*;

fn advice_of(facts_on: &[&str], complaint: &str, answers: &[(&str, usize)]) -> (Base, Evidence, Advice) {
    let (base, _) = Base::embedded();
    let mut facts = Facts::usual(&base);
    for id in facts_on {
        assert!(facts.say(&base, id, true), "{id}");
    }
    let mut evidence = Evidence { complaint: base.sign(complaint), seen: Vec::new() };
    for (id, outcome) in answers {
        let step = base
            .sign(id)
            .map(Step::Look)
            .or(base.test(id).map(Step::Try))
            .or(base.repair(id).map(Step::Mend));
        evidence.seen.push(as_observation(step.unwrap_or_else(|| panic!("{id}")), *outcome));
    }
    let priors = priors(&base, &facts, &Counts::default());
    let advice = advise(&base, &facts, &priors, &evidence, &Means::default(), Depth::default());
    let advice = advice.unwrap_or_else(|fault| panic!("{fault}"));
    (base, evidence, advice)
}

fn next_but_looks(base: &Base, advice: &Advice) -> String {
    let next = advice.steps.iter().find(|step| !matches!(step.step, Step::Look(_)));
    next.map(|step| step.step.id(base).to_owned()).unwrap_or_default()
}

#[test]
fn no_picture_and_no_camera_light_lead_to_the_harness_in_two_steps() {
    let seen = [("camera_light_off", 0), ("text_without_picture", 0), ("link_no_lock", 1)];
    let (base, _, advice) = advice_of(&["spare_harness"], "no_picture", &seen);
    assert_eq!(next_but_looks(&base, &advice), "reseat_harness");
    let (base, evidence, advice) =
        advice_of(&["spare_harness"], "no_picture", &[&seen[..], &[("reseat_harness", 1)]].concat());
    assert_eq!(next_but_looks(&base, &advice), "swap_harness");
    let step = advice.steps.iter().find(|step| step.step.id(&base) == "swap_harness").cloned();
    let told = step.map(|step| reason(&base, &evidence, &advice, &step)).unwrap_or_default();
    assert!(
        told.starts_with(
            "It tells the two likeliest causes, \"strands broken, pinched, plug pins bent\" from"
        ),
        "{told}"
    );
    let (base, _, advice) = advice_of(
        &["spare_harness"],
        "no_picture",
        &[&seen[..], &[("reseat_harness", 1), ("swap_harness", 0)]].concat(),
    );
    assert_eq!(advice.settled, base.test("swap_harness").map(Step::Try));
    assert_eq!(base.causes[advice.posterior.ranked()[0]].id, "harness_damaged");
}

#[test]
fn what_one_lacks_is_not_advised_and_danger_comes_not_at_all() {
    let (base, evidence, _) = advice_of(&[], "no_picture", &[("burnt_smell", 0)]);
    let facts = Facts::usual(&base);
    let meter = base.tools.iter().position(|tool| tool == "meter");
    let means = Means { lacking: meter.into_iter().collect(), ..Means::default() };
    let why = |id: &str| base.test(id).and_then(|test| why_not(&base, &facts, &evidence, &means, test));
    assert_eq!(why("supply_at_pin"), Some(WhyNot::Lacks("meter".into())));
    assert_eq!(why("hover_fresh_pack"), Some(WhyNot::Never("burnt_smell".into())));
    assert_eq!(why("reload_right_image"), Some(WhyNot::After("supply_at_pin".into())));
    assert_eq!(why("swap_camera"), Some(WhyNot::Needs("spare_camera".into())));
    assert_eq!(why("clean_lens"), Some(WhyNot::Pointless));
    assert_eq!(why("choose_input"), None);
}

#[test]
fn a_limited_supply_is_wanted_where_something_smells_burnt() {
    let (base, evidence, _) = advice_of(&[], "no_picture", &[("burnt_smell", 0)]);
    let step = base.test("supply_at_pin").map(Step::Try);
    let cautions = step.map(|step| step.cautions(&base, &Facts::usual(&base), &evidence)).unwrap_or_default();
    assert!(cautions.iter().any(|caution| caution.contains("current-limited")), "{cautions:?}");
    assert!(cautions.iter().any(|caution| caution.contains("blades off")), "{cautions:?}");
}

#[test]
fn a_limited_supply_is_wanted_after_water_and_for_a_dead_unit() {
    let limited = |base: &Base, facts: &Facts, evidence: &Evidence| {
        let step = base.test("read_versions").map(Step::Try);
        let cautions = step.map(|step| step.cautions(base, facts, evidence)).unwrap_or_default();
        cautions.iter().any(|caution| caution.contains("current-limited"))
    };
    let (base, evidence, _) = advice_of(&[], "no_picture", &[]);
    let mut facts = Facts::usual(&base);
    assert!(!limited(&base, &facts, &evidence));
    facts.say(&base, "wet_flight", true);
    assert!(limited(&base, &facts, &evidence));
    let (_, dead, _) = advice_of(&[], "dead_after_load", &[]);
    assert!(limited(&base, &Facts::usual(&base), &dead));
}

#[test]
fn what_must_come_before_a_trial_comes_before_its_repair() {
    let (base, _, advice) = advice_of(&[], "dead_after_load", &[]);
    let recover = base.repair("recover_unit").map(Step::Mend);
    assert!(advice.steps.iter().all(|step| Some(step.step) != recover), "the supply is not proved");
    assert!(!advice.nothing_left);
    for amiss in [0, 1] {
        let (_, _, advice) = advice_of(&[], "dead_after_load", &[("supply_at_pin", amiss)]);
        let reload = [recover, base.test("reload_right_image").map(Step::Try)];
        assert!(advice.steps.iter().all(|step| !reload.contains(&Some(step.step))), "the supply is amiss");
    }
    let (_, _, advice) = advice_of(&[], "dead_after_load", &[("supply_at_pin", 2)]);
    assert!(advice.steps.iter().any(|step| Some(step.step) == recover));
}

#[test]
fn the_look_ahead_knows_what_a_test_opens() {
    // A unit that a load left dead comes back by the right image, as soon as its supply was seen to be right.
    let (base, evidence, advice) = advice_of(&[], "dead_after_load", &[]);
    let check = advice.steps.iter().find(|step| step.step.id(&base) == "supply_at_pin");
    let check = check.unwrap_or_else(|| panic!("the check of the supply is not among the steps"));
    assert_eq!(check.opens.map(|step| step.id(&base)), Some("reload_right_image"));
    assert_eq!(next_but_looks(&base, &advice), "supply_at_pin");
    let why = crate::reason(&base, &evidence, &advice, check);
    assert!(why.contains("must be right before this is tried: fresh card"), "{why}");
    // Two steps are looked ahead: dearer than the reload from where it is the first, far cheaper than repairs alone.
    let (_, _, later) = advice_of(&[], "dead_after_load", &[("supply_at_pin", 2)]);
    let reload = later.steps.iter().find(|step| step.step.id(&base) == "reload_right_image");
    let reload = reload.unwrap_or_else(|| panic!("no reload"));
    assert!(reload.expected_cost < check.expected_cost);
    assert!(
        check.expected_cost < 0.65 * advice.repair_cost,
        "{} {}",
        check.expected_cost,
        advice.repair_cost
    );
}

#[test]
fn a_repair_that_left_the_complaint_is_not_advised_again() {
    let (base, _, advice) = advice_of(&[], "stuck_lowest", &[]);
    let first = advice.repairs.first().map(|repair| base.repairs[*repair].id.clone()).unwrap_or_default();
    let (base, _, later) = advice_of(&[], "stuck_lowest", &[(first.as_str(), 1)]);
    assert!(later.steps.iter().all(|step| step.step.id(&base) != first));
}

#[test]
fn the_spread_of_one_fault_is_as_worked_by_hand() {
    // One fault at a time: P(cause | evidence) ∝ weight × P(evidence | only this cause).
    let (base, _) = Base::embedded();
    let mut facts = Facts::usual(&base);
    for (id, holds) in [
        ("recent_crash", true),
        ("camera_dual_mode", true),
        ("units_are_paired", false),
        ("receiver_behind_display_cable", false),
    ] {
        facts.say(&base, id, holds);
    }
    let priors = priors(&base, &facts, &Counts::default());
    let spread = |evidence: &Evidence| {
        let mut chances: Vec<f64> = (0..base.causes.len())
            .map(|cause| priors.weights[cause] * crate::chance::of_evidence(&base, evidence, &[cause]))
            .collect();
        let total: f64 = chances.iter().sum();
        chances.iter_mut().for_each(|chance| *chance /= total);
        chances
    };
    let check = |evidence: &Evidence, doubt: f64, expected: &[(&str, f64)]| {
        let chances = spread(evidence);
        assert!((entropy(&chances) - doubt).abs() < 5e-4, "{} {doubt}", entropy(&chances));
        for (id, chance) in expected {
            let ours = base.cause(id).map_or(f64::NAN, |cause| chances[cause]);
            assert!((ours - chance).abs() < 5e-4, "{id}: {ours} {chance}");
        }
    };
    let mut evidence = Evidence::default();
    check(&evidence, 5.1904, &[("harness_loose", 0.0934), ("harness_damaged", 0.0667)]);
    evidence.complaint = base.sign("no_picture");
    check(
        &evidence,
        3.1585,
        &[
            ("harness_loose", 0.3375),
            ("harness_damaged", 0.2089),
            ("camera_dead", 0.0964),
            ("camera_mode_switched", 0.0739),
        ],
    );
    let look = |id: &str, outcome: usize| base.sign(id).map(|sign| as_observation(Step::Look(sign), outcome));
    evidence.seen.extend(look("camera_light_off", 0));
    check(&evidence, 1.9176, &[("harness_loose", 0.5005), ("harness_mirrored", 0.0104)]);
    evidence.seen.extend(look("air_dark", 1));
    evidence.seen.extend(look("link_no_lock", 1));
    evidence.seen.extend(look("text_without_picture", 0));
    check(&evidence, 1.8830, &[("harness_loose", 0.4986), ("camera_dead", 0.1620)]);
    let test = |id: &str, outcome: usize| base.test(id).map(|test| as_observation(Step::Try(test), outcome));
    evidence.seen.extend(test("press_mode_button", 1));
    evidence.seen.extend(test("reseat_harness", 1));
    check(
        &evidence,
        1.8064,
        &[("harness_loose", 0.1207), ("harness_damaged", 0.4199), ("camera_dead", 0.3883)],
    );
    evidence.seen.extend(test("swap_harness", 0));
    check(
        &evidence,
        1.0703,
        &[("harness_loose", 0.2052), ("harness_damaged", 0.7365), ("harness_mirrored", 0.0504)],
    );
}

/// The expected cost by plain recursion: every step, every second step.
fn plain(belief: &[f64], options: &[PlainStep], repairs: &dyn Fn(&[f64]) -> f64, depth: usize) -> f64 {
    let mut best = repairs(belief);
    if depth == 0 {
        return best;
    }
    for option in options {
        let mut cost = option.cost;
        for (outcome, row) in option.rows.iter().enumerate() {
            let joint: Vec<f64> = belief.iter().zip(row).map(|(one, likely)| one * likely).collect();
            let chance: f64 = joint.iter().sum();
            if chance > 1e-12 && option.done != Some(outcome) {
                let next: Vec<f64> = joint.iter().map(|one| one / chance).collect();
                cost += chance * plain(&next, options, repairs, depth - 1);
            }
        }
        best = best.min(cost);
    }
    best
}

struct PlainStep {
    cost: f64,
    rows: Vec<Vec<f64>>,
    done: Option<usize>,
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 40, ..ProptestConfig::default() })]

    #[test]
    fn information_is_never_negative_and_agrees_with_the_fall_of_doubt(seed in 0_u64..100_000) {
        let mut numbers = numbers(seed);
        let raw: Vec<f64> = (0..12).map(|_| numbers()).collect();
        let total: f64 = raw.iter().sum();
        let belief: Vec<f64> = raw.iter().map(|one| one / total).collect();
        let first: Vec<f64> = (0..12).map(|_| numbers()).collect();
        let second: Vec<f64> = first.iter().map(|one| (1.0 - one) * numbers()).collect();
        let rest: Vec<f64> = first.iter().zip(&second).map(|(a, b)| 1.0 - a - b).collect();
        let rows = [first, second, rest];
        let (bits, chances) = expected_information(&belief, &rows);
        let mut fall = entropy(&belief);
        for (row, chance) in rows.iter().zip(&chances) {
            let after: Vec<f64> = belief.iter().zip(row).map(|(one, likely)| one * likely / chance).collect();
            fall -= chance * entropy(&after);
        }
        prop_assert!(bits >= 0.0 && (bits - fall).abs() < 1e-12, "{bits} {fall}");
        // A test that names the explanation brings all the doubt there is.
        let certain: Vec<Vec<f64>> = (0..12).map(|at| (0..12).map(|other| f64::from(u8::from(at == other))).collect()).collect();
        prop_assert!((expected_information(&belief, &certain).0 - entropy(&belief)).abs() < 1e-12);
    }

    #[test]
    fn two_steps_ahead_agree_with_plain_recursion(seed in 0_u64..100_000) {
        let (base, priors, _) = case(seed, 5, 4, 3, 0.0);
        let evidence = Evidence { complaint: Some(0), seen: Vec::new() };
        let facts = Facts::usual(&base);
        let depth = Depth { most: 10_000, enough: 1.0 };
        // Where no cause of the base brings the sign and nothing leaks, it cannot have been seen at all.
        let advice = advise(&base, &facts, &priors, &evidence, &Means::default(), depth).map_err(|fault| TestCaseError::reject(fault.to_string()))?;
        prop_assume!(advice.steps.len() > 2 && advice.covered > 1.0 - 1e-9);
        let sets: Vec<Vec<usize>> = advice.explanations.iter().map(|one| one.causes.clone()).collect();
        let belief: Vec<f64> = advice.explanations.iter().map(|one| one.chance).collect();
        let options: Vec<PlainStep> = advice.steps.iter().map(|step| {
            let of = |set: &Vec<usize>| match step.step {
                Step::Look(sign) => crate::chance::seen(&base, sign, false, set, &aside(&advice)),
                Step::Try(test) => crate::chance::outcomes(&base, test, Some(0), set, &aside(&advice)),
                Step::Mend(repair) => { let gone = crate::chance::repaired(&base, repair, Some(0), set); vec![gone, 1.0 - gone] }
            };
            let by_set: Vec<Vec<f64>> = sets.iter().map(of).collect();
            let rows = (0..by_set[0].len()).map(|outcome| by_set.iter().map(|row| row[outcome]).collect()).collect();
            PlainStep { cost: step.cost, rows, done: matches!(step.step, Step::Mend(_)).then_some(0) }
        }).collect();
        let repairs = |belief: &[f64]| sequence_cost(&base, &sets, belief);
        prop_assert!((repairs(&belief) - advice.repair_cost).abs() < 1e-9 * advice.repair_cost, "{} {}", repairs(&belief), advice.repair_cost);
        for (step, option) in advice.steps.iter().zip(&options) {
            prop_assert!(step.looked_ahead);
            let mut cost = option.cost;
            for (outcome, row) in option.rows.iter().enumerate().filter(|(outcome, _)| option.done != Some(*outcome)) {
                let joint: Vec<f64> = belief.iter().zip(row).map(|(one, likely)| one * likely).collect();
                let chance: f64 = joint.iter().sum();
                let next: Vec<f64> = joint.iter().map(|one| one / chance).collect();
                let _ = outcome;
                let others: Vec<PlainStep> = options.iter().zip(&advice.steps).filter(|(_, other)| other.step != step.step)
                    .map(|(other, _)| PlainStep { cost: other.cost, rows: other.rows.clone(), done: other.done }).collect();
                cost += chance * plain(&next, &others, &repairs, 1);
            }
            prop_assert!((cost - step.expected_cost).abs() < 1e-9 * cost, "{:?}: {cost} {}", step.step, step.expected_cost);
        }
    }
}

fn aside(advice: &Advice) -> Vec<f64> {
    advice
        .posterior
        .chances
        .iter()
        .zip(&advice.concerned)
        .map(|(chance, concerned)| if *concerned { 0.0 } else { *chance })
        .collect()
}

/// Repairs by chance over cost until handed over, written down the long way; each cause of these bases has one repair of its own number.
fn sequence_cost(base: &Base, sets: &[Vec<usize>], belief: &[f64]) -> f64 {
    let wanted: Vec<Vec<usize>> = sets
        .iter()
        .map(|set| set.iter().copied().filter(|cause| base.link(*cause, 0) > 0.0).collect())
        .collect();
    let gain = |repair: usize| -> f64 {
        wanted
            .iter()
            .zip(belief)
            .filter(|(set, _)| set.contains(&repair))
            .map(|(_, one)| one * base.repairs[repair].works)
            .sum()
    };
    let mut order: Vec<usize> = (0..base.repairs.len()).filter(|repair| gain(*repair) > 1e-6).collect();
    order.sort_by(|a, b| {
        (gain(*b) / base.repairs[*b].minutes).total_cmp(&(gain(*a) / base.repairs[*a].minutes))
    });
    let mut best = base.hand_over_minutes;
    for cut in 1..=order.len() {
        let mut cost = 0.0;
        for (set, one) in wanted.iter().zip(belief) {
            let places: Vec<Option<usize>> =
                set.iter().map(|cause| order[..cut].iter().position(|repair| repair == cause)).collect();
            let works: f64 = if set.is_empty() || places.contains(&None) {
                0.0
            } else {
                set.iter().map(|cause| base.repairs[*cause].works).product()
            };
            let last = places.iter().flatten().copied().max().unwrap_or(0);
            let spent =
                |upto: usize| order[..=upto].iter().map(|repair| base.repairs[*repair].minutes).sum::<f64>();
            cost += one * (works * spent(last) + (1.0 - works) * (spent(cut - 1) + base.hand_over_minutes));
        }
        best = best.min(cost);
    }
    best
}

#[test]
fn what_mends_nothing_of_the_complaint_is_never_advised_and_at_last_the_craft_is_handed_over() {
    let (base, _) = Base::embedded();
    let facts = Facts::usual(&base);
    let priors = priors(&base, &facts, &Counts::default());
    for id in ["range_short", "no_picture", "soft_picture"] {
        let mut evidence = Evidence { complaint: base.sign(id), seen: Vec::new() };
        let mut handed = false;
        for taken in 0..70 {
            let advice = advise(&base, &facts, &priors, &evidence, &Means::default(), Depth::default());
            let advice = advice.unwrap_or_else(|fault| panic!("{id} after {taken}: {fault}"));
            let mends = advice.steps.iter().filter_map(|step| match step.step {
                Step::Mend(repair) => Some((repair, step.chances[0])),
                _ => None,
            });
            for (repair, gone) in mends {
                assert!(
                    gone > base.fluke + 0.004,
                    "{} after {taken} is no repair of {id}",
                    base.repairs[repair].id
                );
            }
            handed = advice.hand_over || advice.steps.is_empty();
            let Some(first) = advice.steps.first().filter(|_| !handed) else { break };
            // The answer that helps least each time: the last outcome, which is "same" or "stays".
            let outcome = first.step.outcomes(&base).len() - 1;
            evidence.seen.push(as_observation(first.step, outcome));
        }
        assert!(handed, "{id} ends in handing over");
    }
}

#[test]
fn when_every_repair_was_in_vain_it_says_so_and_hands_over() {
    let (base, _) = Base::embedded();
    let priors = priors(&base, &Facts::usual(&base), &Counts::default());
    let mut evidence = Evidence { complaint: base.sign("no_picture"), seen: Vec::new() };
    let advise = |evidence: &Evidence| {
        advise(&base, &Facts::usual(&base), &priors, evidence, &Means::default(), Depth::default())
            .unwrap_or_else(|fault| panic!("{fault}"))
    };
    assert!(!advise(&evidence).nothing_left);
    for repair in 0..base.repairs.len() {
        evidence.seen.push(Observation::Repair { repair, gone: false });
    }
    for (test, _) in base.tests.iter().enumerate().filter(|(_, test)| test.reads == Reads::Cure) {
        evidence.seen.push(Observation::Test { test, outcome: 1, sure: 1.0 });
    }
    let advice = advise(&evidence);
    assert_eq!((advice.nothing_left, advice.hand_over, advice.repairs.len()), (true, true, 0));
    assert!(order_words(&advice).starts_with("No repair that is known"));
}

#[test]
fn a_fault_that_was_mended_is_no_second_one() {
    // The antenna was seen to be damaged, was replaced, and the range is still short: something else is amiss, alone.
    let seen = [("look_antenna", 0), ("replace_air_antenna", 1)];
    let (base, _, advice) = advice_of(&[], "range_short", &seen);
    let mended = &base.repairs[base.repair("replace_air_antenna").unwrap_or(usize::MAX)].mends;
    let several = |of: &dyn Fn(&Explanation) -> usize| -> f64 {
        advice.explanations.iter().filter(|one| of(one) > 1).map(|one| one.chance).sum()
    };
    let with_mended = several(&|one| one.causes.len());
    let left = several(&|one| one.causes.iter().filter(|cause| !mended.contains(cause)).count());
    assert!(with_mended > left + 0.1, "{with_mended} {left}");
    let told = order_words(&advice);
    assert!(!told.contains(&format!("a chance of {:.0} %", 100.0 * with_mended)), "{told}");
}
