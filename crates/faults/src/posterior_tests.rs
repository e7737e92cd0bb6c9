//! The exact chances against plain enumeration, and what is said of evidence that cannot be.

use crate::*;
use proptest::prelude::*;
use proptest::test_runner::{RngAlgorithm, TestRng};

/// A base of a few causes, signs and tests made up from numbers.
fn made_up(numbers: &mut impl FnMut() -> f64, causes: usize, signs: usize, tests: usize) -> Base {
    let mut text = "creance_faults = 1\nsound_divides = 3\nminutes_per_part = 6\nhand_over_minutes = 240\ncomplaint_leak = 0.1\n\
                    perhaps = 0.7\nlore_visits = 20\nlore_looks = 10\nfluke = 0.02\nsettle_minutes = 2\n"
        .to_owned();
    let given = |numbers: &mut dyn FnMut() -> f64, sort: &str, count: usize, share: f64| {
        let mut listed = Vec::new();
        for n in 0..count {
            if numbers() < share {
                listed.push(format!("{sort}_{n} = {:.3}", 0.02 + 0.46 * numbers()));
            }
        }
        format!("{{ {} }}", listed.join(", "))
    };
    for n in 0..signs {
        text += &format!(
            "[sign.s_{n}]\nis = \"s\"\nleak = {:.3}\nminutes = 1\nbasis = \"expert estimate\"\n",
            0.05 * numbers()
        );
    }
    for n in 0..causes {
        let weight = 0.5 + 30.0 * numbers();
        let signs = given(numbers, "s", signs, 0.5);
        text += &format!(
            "[cause.c_{n}]\nis = \"c\"\nside = \"air\"\nweight = {weight:.3}\nsigns = {signs}\nbasis = \"expert estimate\"\n"
        );
    }
    for n in 0..tests {
        let (reads, words) = if n % 3 == 0 {
            ("cure", "\"a\", \"b\"")
        } else if n % 3 == 1 {
            ("fault", "\"a\", \"b\"")
        } else {
            ("fault", "\"a\", \"m\", \"b\"")
        };
        text += &format!(
            "[test.t_{n}]\ndo = \"t\"\nminutes = 1\nrisk = 0\nreads = \"{reads}\"\noutcomes = [{words}]\nbasis = \"expert estimate\"\n"
        );
        for outcome in if n % 3 == 2 { &["a", "m"][..] } else { &["a"] } {
            let causes = given(numbers, "c", causes, 0.4);
            text += &format!(
                "[test.t_{n}.chance.{outcome}]\nother = {:.3}\ngiven = {causes}\n",
                0.02 + 0.05 * numbers()
            );
        }
    }
    for n in 0..causes {
        text += &format!(
            "[repair.r_{n}]\ndo = \"r\"\nmends = [\"c_{n}\"]\nminutes = {:.2}\nworks = {:.3}\nbasis = \"expert estimate\"\n",
            1.0 + 20.0 * numbers(),
            0.5 + 0.5 * numbers()
        );
    }
    let (base, faults) = Base::read(&text);
    assert_eq!(faults, [], "{text}");
    base
}

/// Numbers from 0 to 1 by a seed.
pub(crate) fn numbers(seed: u64) -> impl FnMut() -> f64 {
    let mut rng = TestRng::from_seed(
        RngAlgorithm::ChaCha,
        &std::array::from_fn::<u8, 32, _>(|at| (seed >> (8 * (at % 8))) as u8),
    );
    move || f64::from(rng.next_u32()) / f64::from(u32::MAX)
}

/// Evidence about everything there is, each with some chance.
fn evidence(base: &Base, numbers: &mut impl FnMut() -> f64, share: f64) -> Evidence {
    let mut evidence = Evidence { complaint: (numbers() < 0.7).then_some(0), seen: Vec::new() };
    for sign in 1..base.signs.len() {
        if numbers() < share {
            let said = [Said::Yes, Said::No, Said::Perhaps(numbers())][(numbers() * 2.99) as usize];
            evidence.seen.push(Observation::Sign { sign, said });
        }
    }
    for test in 0..base.tests.len() {
        if numbers() < share {
            let outcome = (numbers() * (base.tests[test].outcome_count() as f64 - 0.01)) as usize;
            let sure = if numbers() < 0.7 { 1.0 } else { numbers() };
            evidence.seen.push(Observation::Test { test, outcome, sure });
        }
    }
    for repair in 0..base.repairs.len() {
        if numbers() < 0.15 {
            evidence.seen.push(Observation::Repair { repair, gone: numbers() < 0.2 });
        }
    }
    evidence
}

pub(crate) fn case(
    seed: u64,
    causes: usize,
    signs: usize,
    tests: usize,
    share: f64,
) -> (Base, Priors, Evidence) {
    let mut numbers = numbers(seed);
    let base = made_up(&mut numbers, causes, signs, tests);
    let evidence = evidence(&base, &mut numbers, share);
    let priors = priors(&base, &Facts::usual(&base), &Counts::default());
    (base, priors, evidence)
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 120, ..ProptestConfig::default() })]

    #[test]
    fn the_sweep_agrees_with_enumeration(seed in 0_u64..1_000_000) {
        let (base, priors, evidence) = case(seed, 9, 8, 9, 0.6);
        let enumerated = by_enumeration(&base, &priors, &evidence);
        match posterior(&base, &priors, &evidence) {
            Ok(swept) => {
                let enumerated = enumerated.unwrap_or_default();
                for (ours, theirs) in swept.chances.iter().zip(&enumerated) {
                    prop_assert!((ours - theirs).abs() < 1e-12, "{:?} {:?}", swept.chances, enumerated);
                }
            }
            Err(fault) => prop_assert!(enumerated.is_none(), "{fault}"),
        }
    }
}

#[test]
fn eighty_causes_and_sixty_observations_are_exact() {
    // Blocks of four causes that share no sign with other blocks: each block alone can be enumerated.
    let mut numbers = numbers(7);
    let mut base = made_up(&mut numbers, 80, 40, 20);
    for (place, cause) in base.causes.iter_mut().enumerate() {
        let own = |sign: usize| sign / 2 == place / 4;
        cause.signs = (0..40).filter(|sign| own(*sign)).map(|sign| (sign, 0.1 + 0.8 * numbers())).collect();
    }
    for (place, test) in base.tests.iter_mut().enumerate() {
        test.reads = Reads::Fault;
        for outcome in &mut test.shown {
            outcome.given = (4 * place..4 * place + 4).map(|cause| (cause, 0.05 + 0.4 * numbers())).collect();
        }
    }
    let mut evidence = Evidence::default();
    for sign in 0..40 {
        let said = if numbers() < 0.7 { Said::Yes } else { Said::No };
        evidence.seen.push(Observation::Sign { sign, said });
    }
    for test in 0..20 {
        evidence.seen.push(Observation::Test { test, outcome: usize::from(numbers() < 0.4), sure: 1.0 });
    }
    assert_eq!(evidence.seen.len(), 60);
    let whole = priors(&base, &Facts::usual(&base), &Counts::default());
    let swept = posterior(&base, &whole, &evidence).unwrap_or_else(|fault| panic!("{fault}"));
    for block in 0..20 {
        let mut alone = whole.clone();
        for cause in (0..80).filter(|cause| cause / 4 != block) {
            alone.chances[cause] = 0.0;
        }
        let about = |one: &&Observation| match one {
            Observation::Sign { sign, .. } => sign / 2 == block,
            Observation::Test { test, .. } => *test == block,
            Observation::Repair { .. } => false,
        };
        let part = Evidence { complaint: None, seen: evidence.seen.iter().filter(about).copied().collect() };
        let enumerated = by_enumeration(&base, &alone, &part).unwrap_or_default();
        let own = 4 * block..4 * block + 4;
        for (ours, theirs) in swept.chances[own.clone()].iter().zip(&enumerated[own]) {
            assert!((ours - theirs).abs() < 1e-13);
        }
    }
}

#[test]
fn every_sign_seen_and_every_swap_in_vain_is_still_summed() {
    let (base, _) = Base::embedded();
    let mut facts = Facts::usual(&base);
    facts.say(&base, "recent_crash", true);
    let priors = priors(&base, &facts, &Counts::default());
    let mut evidence = Evidence { complaint: base.sign("no_picture"), seen: Vec::new() };
    for id in [
        "camera_light_off",
        "text_without_picture",
        "returns_on_touch",
        "wrong_colour",
        "breakup_random",
        "burnt_smell",
    ] {
        evidence.seen.extend(base.sign(id).map(|sign| Observation::Sign { sign, said: Said::Yes }));
    }
    for id in [
        "reseat_harness",
        "swap_harness",
        "swap_camera",
        "press_mode_button",
        "choose_input",
        "set_channel_by_hand",
    ] {
        evidence.seen.extend(base.test(id).map(|test| Observation::Test { test, outcome: 1, sure: 1.0 }));
    }
    let swept = posterior(&base, &priors, &evidence).unwrap_or_else(|fault| panic!("{fault}"));
    assert!(swept.chances.iter().all(|chance| (0.0..=1.0).contains(chance)));
}

#[test]
fn pairs_that_cannot_both_hold_are_named() {
    let (base, _) = Base::embedded();
    let priors = priors(&base, &Facts::usual(&base), &Counts::default());
    let sign = |id: &str| base.sign(id).unwrap_or_else(|| panic!("{id}"));
    let mut evidence = Evidence {
        complaint: Some(sign("no_picture")),
        seen: vec![
            Observation::Sign { sign: sign("air_dark"), said: Said::Yes },
            Observation::Sign { sign: sign("text_without_picture"), said: Said::Yes },
        ],
    };
    let told = posterior(&base, &priors, &evidence).map_err(|fault| fault.to_string());
    assert_eq!(
        told.err().as_deref(),
        Some(
            "\"air unit shows no light at all and stays cold (air_dark): seen\" and \"overlay or standby screen arrives, picture part is black or frozen (text_without_picture): seen\" cannot both hold; look again and take back the one that is not so"
        )
    );
    // Said again, the later answer counts, and the clash is gone.
    evidence.seen.push(Observation::Sign { sign: sign("air_dark"), said: Said::No });
    assert!(posterior(&base, &priors, &evidence).is_ok());
}

#[test]
fn what_no_cause_can_bring_about_is_named_with_the_fewest_that_clash() {
    let text = "creance_faults = 1\nsound_divides = 3\nminutes_per_part = 6\nhand_over_minutes = 240\ncomplaint_leak = 0.1\n\
                perhaps = 0.7\nlore_visits = 20\nlore_looks = 10\nfluke = 0\nsettle_minutes = 2\n\
                [sign.dark]\nis = \"d\"\nleak = 0\nminutes = 1\nbasis = \"expert estimate\"\n\
                [sign.warm]\nis = \"w\"\nleak = 0\nminutes = 1\nbasis = \"expert estimate\"\n\
                [sign.loud]\nis = \"l\"\nleak = 0.1\nminutes = 1\nbasis = \"expert estimate\"\n\
                [cause.dead]\nis = \"x\"\nside = \"air\"\nweight = 3\nsigns = { dark = 1.0, warm = 1.0 }\nbasis = \"expert estimate\"\n";
    let (base, faults) = Base::read(text);
    assert_eq!(faults, []);
    let priors = priors(&base, &Facts::usual(&base), &Counts::default());
    let seen = |said: [Said; 3]| Evidence {
        complaint: None,
        seen: said.iter().enumerate().map(|(sign, said)| Observation::Sign { sign, said: *said }).collect(),
    };
    let told = posterior(&base, &priors, &seen([Said::Yes, Said::No, Said::Yes]));
    assert_eq!(
        told,
        Err(EvidenceFault::Impossible {
            together: vec!["d (dark): seen".into(), "w (warm): not seen".into()]
        })
    );
    let perhaps = posterior(&base, &priors, &seen([Said::Yes, Said::Perhaps(0.3), Said::Yes]));
    assert!(perhaps.is_ok_and(|perhaps| perhaps.chances[0] > 0.999));
}

#[test]
fn every_repair_and_every_swap_in_vain_is_still_summed_exactly() {
    let (base, _) = Base::embedded();
    let priors = priors(&base, &Facts::usual(&base), &Counts::default());
    for complaint in 0..base.signs.len() {
        let mut evidence = Evidence { complaint: Some(complaint), seen: Vec::new() };
        for repair in 0..base.repairs.len() {
            evidence.seen.push(Observation::Repair { repair, gone: false });
        }
        for (test, _) in base.tests.iter().enumerate().filter(|(_, test)| test.reads == Reads::Cure) {
            evidence.seen.push(Observation::Test { test, outcome: 1, sure: 1.0 });
        }
        for sign in (0..base.signs.len()).filter(|sign| *sign != complaint).step_by(3) {
            evidence.seen.push(Observation::Sign { sign, said: Said::Perhaps(0.6) });
        }
        let told = posterior(&base, &priors, &evidence);
        let told = told.unwrap_or_else(|fault| panic!("{}: {fault}", base.signs[complaint].id));
        assert!(evidence.seen.len() >= 60 && told.chances.iter().all(|one| (0.0..=1.0).contains(one)));
        let network = crate::network::Network::of(&base, &priors, &evidence);
        assert!(network.cures.states() < 4096, "{} states", network.cures.states());
    }
}

#[test]
fn many_cures_of_either_end_agree_with_enumeration() {
    for seed in 0..24 {
        let (base, priors, mut evidence) = case(900 + seed, 9, 3, 4, 0.5);
        let mut numbers = numbers(seed);
        evidence.complaint = Some(0);
        evidence.seen.retain(|one| !matches!(one, Observation::Repair { .. }));
        for repair in 0..base.repairs.len() {
            evidence.seen.push(Observation::Repair { repair, gone: numbers() < 0.1 });
        }
        let Ok(told) = posterior(&base, &priors, &evidence) else { continue };
        let enumerated = by_enumeration(&base, &priors, &evidence).unwrap_or_default();
        for (ours, theirs) in told.chances.iter().zip(&enumerated) {
            assert!((ours - theirs).abs() < 1e-12, "seed {seed}: {ours} {theirs}");
        }
    }
}

#[test]
fn denying_what_the_search_is_about_is_a_clash_that_is_named() {
    let (base, _) = Base::embedded();
    let priors = priors(&base, &Facts::usual(&base), &Counts::default());
    let sign = base.sign("no_picture").unwrap_or_default();
    let mut evidence =
        Evidence { complaint: Some(sign), seen: vec![Observation::Sign { sign, said: Said::No }] };
    let told = posterior(&base, &priors, &evidence).err().map(|fault| fault.to_string()).unwrap_or_default();
    assert!(
        told.contains("(no_picture): seen\" and \"")
            && told.contains("(no_picture): not seen\" cannot both hold"),
        "{told}"
    );
    evidence.seen.push(Observation::Sign { sign, said: Said::Yes });
    assert!(posterior(&base, &priors, &evidence).is_ok());
}

#[test]
fn what_repairs_mended_is_at_fault_no_more_as_enumerated() {
    for seed in 0..24 {
        let (base, priors, mut evidence) = case(1700 + seed, 8, 3, 3, 0.5);
        evidence.complaint = Some(0);
        evidence.seen.retain(|one| !matches!(one, Observation::Repair { .. }));
        let made: Vec<usize> =
            (0..base.repairs.len()).filter(|repair| (repair + seed as usize).is_multiple_of(2)).collect();
        evidence.seen.extend(made.iter().map(|repair| Observation::Repair { repair: *repair, gone: false }));
        let Ok(told) = posterior(&base, &priors, &evidence) else { continue };
        // With a cause held to act, its repairs fail by 1 - works each; nothing else of the evidence knows whether they did.
        let mended = |cause: usize| {
            let all = made.iter().map(|repair| crate::cures::mended_by_repair(&base, *repair)[cause]);
            all.map(|mended| 1.0 - mended).product::<f64>()
        };
        let without = Evidence {
            seen: evidence
                .seen
                .iter()
                .filter(|one| !matches!(one, Observation::Repair { .. }))
                .copied()
                .collect(),
            ..evidence.clone()
        };
        for cause in 0..base.causes.len() {
            let brings = base.link(cause, 0) > 0.0;
            let expected = if brings {
                // P(c, every cure of it foiled by it, all stay) = P(c, rest)·Π(1 - mended)·Π(1 - fluke), over P(all).
                let rest = posterior(&base, &priors, &without).unwrap_or_else(|fault| panic!("{fault}"));
                let stay = (1.0 - base.fluke).powi(made.len() as i32);
                rest.chances[cause] * mended(cause) * stay * (rest.log_evidence - told.log_evidence).exp()
            } else {
                told.chances[cause] * mended(cause)
            };
            assert!(
                (told.still[cause] - expected).abs() < 1e-12,
                "seed {seed}: {} {expected}",
                told.still[cause]
            );
            assert!(told.still[cause] <= told.chances[cause] + 1e-15);
        }
    }
}
