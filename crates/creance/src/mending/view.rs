//! A session as a page and the command read it: what it may be, what to do next and why, what was done, what is known.

use super::facts::{Known, known_of};
use crate::judged::Judged;
use crate::wire::mend::{
    MendBarred, MendCause, MendComplaint, MendDone, MendFact, MendLearnt, MendOutcome, MendPast, MendSession,
    MendStep, MendTool, MendVerdict, MendView,
};
use craft::Craft;
use faults::{
    Advice, Answer, Base, Counts, Depth, Evidence, Facts, Priors, Session, Step, Weighed, WhyNot, advise,
    chance_words, in_doubt, order_words, priors, reason, why_not,
};
use proof::History;

/// Causes that a page shows at most.
const CAUSES_SHOWN: usize = 12;
/// Looks and steps that a page shows at most.
const LOOKS_SHOWN: usize = 3;
/// A look that tells less than this many bits is not worth the asking.
const LOOK_BITS_LEAST: f64 = 0.05;
const STEPS_SHOWN: usize = 6;

pub(super) fn sign_words(base: &Base, id: &str) -> String {
    base.sign(id).map_or_else(|| id.replace('_', " "), |sign| base.signs[sign].is.clone())
}

pub(super) fn cause_words(base: &Base, id: &str) -> String {
    base.cause(id).map_or_else(|| id.replace('_', " "), |cause| base.causes[cause].is.clone())
}

pub(super) fn does_of(base: &Base, id: &str) -> String {
    let sign = base.sign(id).map(|sign| base.signs[sign].is.clone());
    let test = || base.test(id).map(|test| base.tests[test].does.clone());
    let repair = || base.repair(id).map(|repair| base.repairs[repair].does.clone());
    sign.or_else(test).or_else(repair).unwrap_or_else(|| id.replace('_', " "))
}

pub(super) fn past(base: &Base, number: i64, session: &Session) -> MendPast {
    let verdict = session.verdict.as_ref();
    MendPast {
        number: u32::try_from(number).unwrap_or(u32::MAX),
        ended: verdict.map(|verdict| verdict.at.clone()).unwrap_or_default(),
        complaint: sign_words(base, &session.complaint),
        found: verdict
            .map(|verdict| verdict.causes.iter().map(|id| cause_words(base, id)).collect())
            .unwrap_or_default(),
        repair: verdict.and_then(|verdict| verdict.repair.as_ref()).map(|id| does_of(base, id)),
        answers: session.entries.len() as u32,
        words: verdict.map(|verdict| verdict.words.clone()).unwrap_or_default(),
    }
}

/// The page around a session.
pub fn page(
    base: &Base,
    craft: &Craft,
    session: Option<MendSession>,
    past: Vec<MendPast>,
    counts: &Counts,
) -> MendView {
    let own = counts.own_share(base);
    MendView {
        craft: craft.id.to_string(),
        name: craft.name.clone(),
        session,
        complaints: base
            .complaints
            .iter()
            .map(|one| MendComplaint {
                id: one.id.clone(),
                words: one.words.clone(),
                usually: one.usually.clone(),
                wrongly: one.wrongly.clone(),
            })
            .collect(),
        past,
        learnt: MendLearnt {
            sessions: counts.visits,
            lore: own.lore,
            own: own.own,
            share: own.share(),
            laid_over: super::own_words(base),
        },
        never: base.nevers.clone(),
    }
}

/// A session with the advice of the moment.
pub fn session_view(
    lore: &Base,
    number: i64,
    session: &Session,
    judged: &Judged,
    counts: &Counts,
    history: Option<&History>,
) -> MendSession {
    let base = &counts.applied(lore);
    let known = known_of(base, judged, history);
    let facts = session.facts(base, &known.facts);
    let priors = priors(base, &facts, counts);
    let (evidence, _) = session.evidence(base);
    let means = session.means(base);
    let advised = advise(base, &facts, &priors, &evidence, &means, Depth::default());
    let mut view = MendSession {
        number: u32::try_from(number).unwrap_or(u32::MAX),
        complaint: sign_words(base, &session.complaint),
        begun: session.begun.clone(),
        about: session.about.clone(),
        clash: None,
        causes: Vec::new(),
        looks: Vec::new(),
        steps: Vec::new(),
        barred: barred(base, &facts, &evidence, session),
        stop_asking: false,
        nothing_left: false,
        hand_over: false,
        settled: None,
        suggested: None,
        in_doubt: Vec::new(),
        order: String::new(),
        repair_minutes: 0.0,
        covered: 0.0,
        done: done(base, session),
        facts: facts_view(base, &facts, &known, session),
        tools: base
            .tools
            .iter()
            .map(|name| MendTool { name: name.clone(), at_hand: !session.lacking.contains(name) })
            .collect(),
        at_the_field: session.at_the_field,
    };
    match advised {
        Err(fault) => view.clash = Some(fault.to_string()),
        Ok(advice) => {
            fill(base, (&facts, &priors), counts, &evidence, &advice, &mut view);
            if counts.visits > 0 {
                say_sooner(lore, &facts, counts, session, &mut view);
            }
        }
    }
    view
}

/// Says of each step whether the fleet's own verdicts brought it forward: the same evidence is weighed by the lore alone.
fn say_sooner(lore: &Base, facts: &Facts, counts: &Counts, session: &Session, view: &mut MendSession) {
    let (evidence, _) = session.evidence(lore);
    let alone = priors(lore, facts, &Counts::default());
    let Ok(advice) = advise(lore, facts, &alone, &evidence, &session.means(lore), Depth::default()) else {
        return;
    };
    let by_lore: Vec<&str> = advice
        .steps
        .iter()
        .filter(|weighed| !matches!(weighed.step, Step::Look(_)))
        .map(|weighed| weighed.step.id(lore))
        .collect();
    for (place, step) in view.steps.iter_mut().enumerate() {
        let before = by_lore.iter().position(|id| *id == step.id);
        if before.is_some_and(|before| before <= place) {
            continue;
        }
        let found = found_here(lore, counts, &step.id);
        if found.is_empty() {
            continue;
        }
        let lore_place = before.map_or("not at all".to_owned(), |before| format!("in place {}", before + 1));
        step.sooner = Some(format!(
            "Tried sooner than the lore alone would, which has it {lore_place}: here {}",
            found.join(" and ")
        ));
    }
}

/// What was found in this fleet of all that a test or repair sets right, with how often.
fn found_here(base: &Base, counts: &Counts, step: &str) -> Vec<String> {
    let repair = match base.test(step) {
        Some(test) => base.tests[test].stands_for,
        None => base.repair(step),
    };
    let mends = repair.map(|repair| base.repairs[repair].mends.as_slice()).unwrap_or_default();
    let told = |cause: &usize| {
        let cause = &base.causes[*cause];
        let times = match counts.found.get(&cause.id)? {
            1 => "once".to_owned(),
            2 => "twice".to_owned(),
            times => format!("{times} times"),
        };
        Some(format!("\"{}\" was found {times}", cause.is))
    };
    mends.iter().filter_map(told).collect()
}

fn fill(
    base: &Base,
    (facts, priors): (&Facts, &Priors),
    counts: &Counts,
    evidence: &Evidence,
    advice: &Advice,
    view: &mut MendSession,
) {
    let concerned = |cause: &usize| {
        advice.concerned[*cause] || evidence.complaint.is_some_and(|sign| base.link(*cause, sign) > 0.0)
    };
    // While the complaint stands, what is at fault still; once it is gone, what was.
    let (chances, ranked) = match advice.settled {
        Some(_) => (&advice.posterior.chances, advice.posterior.ranked()),
        None => (&advice.posterior.still, advice.posterior.ranked_still()),
    };
    let likely = ranked.into_iter().filter(concerned);
    view.causes = likely
        .take(CAUSES_SHOWN)
        .filter(|cause| chances[*cause] >= 0.005)
        .map(|cause| MendCause {
            id: base.causes[cause].id.clone(),
            is: base.causes[cause].is.clone(),
            chance: chances[cause],
            words: chance_words(chances[cause]).to_owned(),
            before: priors.chances[cause],
            side: base.causes[cause].side.word().to_owned(),
            because: priors.because[cause]
                .iter()
                .map(|(id, factor)| {
                    format!("{id} ×{factor:.3}").trim_end_matches(['0']).trim_end_matches('.').to_owned()
                })
                .collect(),
            found: counts.found.get(&base.causes[cause].id).copied().unwrap_or(0),
            basis: base.causes[cause].basis.words(),
        })
        .collect();
    let step = |weighed: &Weighed| step_view(base, facts, evidence, advice, weighed);
    let is_look = |weighed: &&Weighed| matches!(weighed.step, Step::Look(_));
    let telling = |weighed: &&Weighed| is_look(weighed) && weighed.bits >= LOOK_BITS_LEAST;
    let mut looks: Vec<&Weighed> = advice.steps.iter().filter(telling).collect();
    looks.sort_by(|a, b| b.bits_a_minute.total_cmp(&a.bits_a_minute));
    view.looks = looks.into_iter().take(LOOKS_SHOWN).map(step).collect();
    view.steps =
        advice.steps.iter().filter(|weighed| !is_look(weighed)).take(STEPS_SHOWN).map(step).collect();
    view.stop_asking = advice.stop_asking;
    view.nothing_left = advice.nothing_left;
    view.hand_over = advice.hand_over;
    view.settled = advice.settled.map(|step| step.does(base));
    view.in_doubt = in_doubt(base, evidence, advice);
    view.order = order_words(advice);
    view.repair_minutes = advice.repair_cost;
    view.covered = advice.covered;
    view.suggested = advice.settled.map(|settled| suggested(base, evidence, advice, settled));
}

/// The verdict that a step suggests after which the complaint was gone: the likeliest cause that it can have mended.
fn suggested(base: &Base, evidence: &Evidence, advice: &Advice, settled: Step) -> MendVerdict {
    let repair = match settled {
        Step::Mend(repair) => Some(repair),
        Step::Try(test) => base.tests[test].stands_for,
        Step::Look(_) => None,
    };
    let mends = |cause: &usize| repair.is_some_and(|repair| base.repairs[repair].mends.contains(cause));
    let brings = |cause: &usize| evidence.complaint.is_none_or(|sign| base.link(*cause, sign) > 0.0);
    let cause = advice.posterior.ranked().into_iter().find(|cause| mends(cause) && brings(cause));
    MendVerdict {
        causes: cause.iter().map(|cause| base.causes[*cause].id.clone()).collect(),
        found: cause.iter().map(|cause| base.causes[*cause].is.clone()).collect(),
        repair: repair.map(|repair| base.repairs[repair].id.clone()),
        repaired: repair.map(|repair| base.repairs[repair].does.clone()),
    }
}

fn step_view(
    base: &Base,
    facts: &Facts,
    evidence: &Evidence,
    advice: &Advice,
    weighed: &Weighed,
) -> MendStep {
    let (kind, tools, prove, basis) = match weighed.step {
        Step::Look(sign) => ("look", Vec::new(), String::new(), &base.signs[sign].basis),
        Step::Try(test) => {
            let test = &base.tests[test];
            (
                "test",
                test.tools.iter().map(|tool| base.tools[*tool].clone()).collect(),
                String::new(),
                &test.basis,
            )
        }
        Step::Mend(repair) => {
            ("repair", Vec::new(), base.repairs[repair].prove.clone(), &base.repairs[repair].basis)
        }
    };
    let outcomes = weighed.step.outcomes(base).into_iter().zip(&weighed.chances);
    MendStep {
        kind,
        id: weighed.step.id(base).to_owned(),
        does: weighed.step.does(base),
        why: reason(base, evidence, advice, weighed),
        sooner: None,
        outcomes: outcomes.map(|(word, chance)| MendOutcome { word, chance: *chance }).collect(),
        minutes: weighed.minutes,
        cost: weighed.cost,
        bits_a_minute: weighed.bits_a_minute,
        expected_minutes: weighed.expected_cost,
        risk: weighed.risk,
        tools,
        cautions: weighed.step.cautions(base, facts, evidence),
        prove,
        basis: basis.words(),
    }
}

fn barred(base: &Base, facts: &Facts, evidence: &Evidence, session: &Session) -> Vec<MendBarred> {
    let means = session.means(base);
    let told = |test: usize| {
        let id_words = |id: &str| {
            base.fact(id)
                .map(|fact| base.facts[fact].is.clone())
                .or_else(|| base.sign(id).map(|sign| base.signs[sign].is.clone()))
                .unwrap_or_else(|| id.to_owned())
        };
        let why = match why_not(base, facts, evidence, &means, test)? {
            WhyNot::Struck => "struck out".to_owned(),
            WhyNot::Lacks(tool) => format!("no {tool} at hand"),
            WhyNot::Needs(fact) => format!("wants: {}", id_words(&fact)),
            WhyNot::Never(what) => format!("dangerous while this is so: {}", id_words(&what)),
            WhyNot::After(first) => format!("only after: {}", does_of(base, &first)),
            WhyNot::Tried | WhyNot::Pointless => return None,
        };
        let test = &base.tests[test];
        Some(MendBarred { id: test.id.clone(), does: test.does.clone(), why })
    };
    (0..base.tests.len()).filter_map(told).collect()
}

fn done(base: &Base, session: &Session) -> Vec<MendDone> {
    let entry = |(place, entry): (usize, &faults::Entry)| {
        let (id, outcome) = match &entry.answer {
            Answer::Sign { id, seen } if *seen >= 1.0 => (id, "seen".to_owned()),
            Answer::Sign { id, seen } if *seen <= 0.0 => (id, "not seen".to_owned()),
            Answer::Sign { id, seen } => (id, format!("perhaps ({:.0} %)", 100.0 * seen)),
            Answer::Test { id, outcome, sure } if *sure >= 1.0 => (id, outcome.replace('_', " ")),
            Answer::Test { id, outcome, sure } => {
                (id, format!("{}, perhaps ({:.0} %)", outcome.replace('_', " "), 100.0 * sure))
            }
            Answer::Repair { id, gone } => (id, if *gone { "gone" } else { "stays" }.to_owned()),
        };
        let outcome = match replaced(base, session, place) {
            true => format!("{outcome}; answered anew below"),
            false => outcome,
        };
        // A certain outcome of a test rules the others out; what is perhaps so rules out nothing.
        let others = match &entry.answer {
            Answer::Test { id, outcome, sure } if *sure >= 1.0 => base
                .test(id)
                .map(|test| {
                    base.tests[test]
                        .outcomes()
                        .filter(|word| word.replace('_', " ") != outcome.replace('_', " "))
                })
                .map(|words| words.map(|word| word.replace('_', " ")).collect())
                .unwrap_or_default(),
            _ => Vec::new(),
        };
        MendDone {
            others,
            number: place as u32 + 1,
            at: entry.at.clone(),
            does: does_of(base, id),
            outcome,
            taken_back: entry.taken_back.clone(),
        }
    };
    session.entries.iter().enumerate().map(entry).collect()
}

/// Whether a later answer to the same question, not taken back, took the place of this one.
fn replaced(base: &Base, session: &Session, place: usize) -> bool {
    let entry = &session.entries[place];
    let (Ok(one), None) = (entry.answer.observation(base), &entry.taken_back) else { return false };
    session.entries[place + 1..].iter().any(|later| {
        later.taken_back.is_none() && later.answer.observation(base).is_ok_and(|two| one.same_question(&two))
    })
}

fn facts_view(base: &Base, facts: &Facts, known: &Known, session: &Session) -> Vec<MendFact> {
    let view = |(place, fact): (usize, &faults::Fact)| MendFact {
        id: fact.id.clone(),
        is: fact.is.clone(),
        holds: facts.holds[place],
        from: fact.from.clone(),
        said: session.facts.contains_key(&fact.id) && !session.carried.contains(&fact.id),
        because: match session.carried.contains(&fact.id) {
            true => "as in the search before".to_owned(),
            false => known.because.get(&fact.id).cloned().unwrap_or_default(),
        },
    };
    base.facts.iter().enumerate().map(view).collect()
}
