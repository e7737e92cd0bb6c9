//! Fault finding for one craft: facts from its parts and proof, the session kept in the workshop, the advice of the moment.

use crate::bench::{Bench, now};
use crate::judged::Judged;
use crate::refusal::{Cause, Refusal};
use crate::wire::mend::{
    MendBarred, MendCause, MendComplaint, MendDone, MendFact, MendLearnt, MendOutcome, MendPast, MendSaid,
    MendSession, MendStep, MendTool, MendVerdict, MendView,
};
use care::EntryKind;
use craft::schema::PartKind;
use craft::{Craft, CraftClass, CraftId, Value};
use faults::{
    Advice, Answer, Base, Counts, Depth, Evidence, Facts, Priors, Ruling, Session, Step, Verdict, Weighed,
    WhyNot, advise, chance_words, in_doubt, order_words, priors, reason, why_not,
};
use proof::{Finding, Verdict as Found};
use std::sync::OnceLock;
use workshop::{Keep, MendingRow, Workshop};

/// Causes that a page shows at most.
const CAUSES_SHOWN: usize = 12;
/// Looks and steps that a page shows at most.
const LOOKS_SHOWN: usize = 3;
/// A look that tells less than this many bits is not worth the asking.
const LOOK_BITS_LEAST: f64 = 0.05;
const STEPS_SHOWN: usize = 6;
/// A sound rule speaks against its causes from this certainty on.
const SURELY: f64 = 0.95;
/// The setting that says after which session the fleet's counts begin.
const COUNTS_SINCE: &str = "mend.counts_since";

/// The knowledge that comes with the program.
pub fn base() -> &'static Base {
    static BASE: OnceLock<Base> = OnceLock::new();
    BASE.get_or_init(|| Base::embedded().0)
}

impl From<faults::SessionFault> for Refusal {
    fn from(fault: faults::SessionFault) -> Self {
        use faults::SessionFault::*;
        let cause = match fault {
            NoSuch { .. } | NoEntry { .. } => Cause::NoSuch,
            Ended => Cause::Clash,
            NoOutcome { .. } | Likelihood { .. } | TooLong => Cause::Unfit,
        };
        Refusal::new(cause, fault.to_string())
    }
}

/// What holds for a craft, from its parts and from what the rules found.
pub fn facts_of(base: &Base, judged: &Judged) -> Facts {
    let mut facts = Facts::usual(base);
    let craft = &judged.craft;
    let has = |kind: PartKind| craft.parts.iter().any(|part| part.kind == kind);
    let flag = |kind: PartKind, key: &str| {
        craft.parts.iter().filter(|part| part.kind == kind).find_map(|part| match part.values.get(key) {
            Some(Value::Flag(flag)) => Some(*flag),
            _ => None,
        })
    };
    if !craft.parts.is_empty() {
        facts.say(base, "has_pigtail", has(PartKind::Pigtail));
        facts.say(base, "integrated_board", has(PartKind::IntegratedBoard));
        facts.say(base, "one_cell", is_one_cell(craft));
    }
    if let Some(dual) = flag(PartKind::Camera, "analogue_out") {
        facts.say(base, "camera_dual_mode", dual);
    }
    if let Some(card) = flag(PartKind::VideoTransmitter, "card") {
        facts.say(base, "air_records", card);
    }
    facts.rulings = rulings(base, &judged.proved.findings);
    facts
}

/// What the journal says of a craft since its last flight: a crash, a load.
fn since_the_last_flight(shop: &Workshop, id: &CraftId) -> Result<Vec<&'static str>, Refusal> {
    let mut entries = shop.kept::<care::Entry>()?;
    entries.retain(|kept| kept.thing.craft.as_deref() == Some(id.as_str()));
    let last = |kind: EntryKind| {
        entries.iter().filter(|kept| kept.thing.kind == kind).map(|kept| kept.thing.at).max()
    };
    let flown = last(EntryKind::Flown).max(last(EntryKind::Repaired));
    let since = |kind: EntryKind| last(kind).is_some_and(|at| Some(at) >= flown);
    let mut facts = Vec::new();
    facts.extend(since(EntryKind::Crashed).then_some("recent_crash"));
    facts.extend(since(EntryKind::Loaded).then_some("recent_load"));
    Ok(facts)
}

/// The class for failure rates that a craft belongs to.
pub fn fleet_of(craft: &Craft) -> Result<usize, Refusal> {
    use CraftClass::*;
    match craft.class {
        Some(Ducted65 | Ducted75 | Ducted85) => Ok(0),
        Some(Ducted25 | Ducted3 | Ducted35 | Open3 | Open35 | Open4) => Ok(1),
        Some(Open5) => Ok(2),
        Some(Open7) => Ok(3),
        None => Err(Refusal::new(
            Cause::Unfit,
            format!("craft {:?} has no class, and failures go by class", craft.name),
        )
        .hint("Set its class first.")),
    }
}

fn is_one_cell(craft: &Craft) -> bool {
    let packs = craft.parts.iter().filter(|part| part.kind == PartKind::Pack);
    let cells = packs.filter_map(|part| match part.values.get("cells") {
        Some(Value::Count(cells)) => Some(*cells),
        _ => None,
    });
    match cells.min() {
        Some(cells) => cells == 1,
        None => matches!(craft.class, Some(CraftClass::Ducted65 | CraftClass::Ducted75)),
    }
}

/// What the rules that concern causes said: the worst finding of each counts.
fn rulings(base: &Base, findings: &[Finding]) -> Vec<(String, Ruling)> {
    let ruling = |id: &String| {
        let of_rule: Vec<&Finding> = findings.iter().filter(|finding| finding.rule == id).collect();
        let any = |verdict: Found| of_rule.iter().any(|finding| finding.verdict == verdict);
        let sure = |finding: &&Finding| {
            finding.verdict == Found::Sound
                && finding.certainty.is_some_and(|certainty| certainty.get() > SURELY)
        };
        if any(Found::Broken) {
            Some(Ruling::Broken)
        } else if any(Found::Tight) {
            Some(Ruling::Tight)
        } else if !of_rule.is_empty() && of_rule.iter().all(sure) {
            Some(Ruling::SurelySound)
        } else {
            None
        }
    };
    base.rules.iter().filter_map(|rule| Some((rule.id.clone(), ruling(&rule.id)?))).collect()
}

/// What the fleet's ended sessions taught, and how many of them counted.
pub fn counts_of(base: &Base, shop: &Workshop) -> Result<Counts, Refusal> {
    let since: i64 = shop.setting(COUNTS_SINCE)?.and_then(|text| text.parse().ok()).unwrap_or(0);
    let mut counts = Counts::default();
    for row in shop.mendings(None)?.iter().rev().filter(|row| row.ended && row.number > since) {
        if let Some((causes, signs, outcomes)) = session_of(row)?.lesson(base) {
            counts.learn(base, &causes, &signs, &outcomes);
        }
    }
    Ok(counts)
}

fn session_of(row: &MendingRow) -> Result<Session, Refusal> {
    serde_json::from_str(&row.text).map_err(|error| {
        Refusal::new(Cause::Ours, format!("mending session {} cannot be read: {error}", row.number))
    })
}

impl Bench {
    /// The page of a craft.
    pub fn mend(&mut self, id: &CraftId) -> Result<MendView, Refusal> {
        let judged = self.judged(id)?;
        let rows = self.shop().mendings(Some(id))?;
        let counts = counts_of(base(), self.shop())?;
        let happened = since_the_last_flight(self.shop(), id)?;
        let open = rows
            .iter()
            .find(|row| !row.ended)
            .map(|row| Ok::<_, Refusal>((row.number, session_of(row)?)))
            .transpose()?;
        let past =
            rows.iter().filter(|row| row.ended).map(|row| Ok(past(base(), row.number, &session_of(row)?)));
        let past = past.collect::<Result<Vec<MendPast>, Refusal>>()?;
        let session =
            open.map(|(number, session)| session_view(base(), number, &session, &judged, &counts, &happened));
        Ok(page(base(), &judged.craft, session, past, &counts))
    }

    /// Says something in the session of a craft.
    pub fn mend_say(&mut self, id: &CraftId, said: MendSaid) -> Result<MendView, Refusal> {
        let base = base();
        let at = now();
        let stamp = at.to_string();
        let rows = self.shop().mendings(Some(id))?;
        if matches!(said, MendSaid::Forget {}) {
            let last = self.shop().mendings(None)?.first().map_or(0, |row| row.number);
            self.shop_mut().set_setting(COUNTS_SINCE, Some(&last.to_string()))?;
            return self.mend(id);
        }
        self.shop().craft(id)?;
        let open = rows.iter().find(|row| !row.ended);
        let (number, mut session) = match (open, &said) {
            (Some(_), MendSaid::Begin { .. }) => {
                let words = "a mending session of this craft is still open";
                return Err(Refusal::new(Cause::Clash, words)
                    .hint("End it first; what was answered stays on record."));
            }
            (None, MendSaid::Begin { complaint }) => (None, Session::begin(base, complaint, &stamp)?),
            (Some(row), _) => (Some(row.number), session_of(row)?),
            (None, _) => {
                let words = "no mending session of this craft is open";
                return Err(Refusal::new(Cause::NoSuch, words).hint("Begin one with what is seen."));
            }
        };
        let what = say(base, &mut session, said, &stamp)?;
        let text =
            serde_json::to_string(&session).map_err(|error| Refusal::new(Cause::Ours, error.to_string()))?;
        let ended = session.verdict.is_some();
        self.shop_mut().keep_mending(number, id, ended, &text, what.clone(), at)?;
        if ended {
            let mut entry =
                care::Entry::new(at.unix_seconds(), EntryKind::Repaired, what.trim_start_matches("Mended: "));
            entry.craft = Some(id.to_string());
            self.shop_mut().keep("Put a repair in the journal", &[Keep::Entry(None, entry)], at)?;
        }
        self.mend(id)
    }
}

/// Carries out what was said; gives it in words for the record.
fn say(base: &Base, session: &mut Session, said: MendSaid, at: &str) -> Result<String, Refusal> {
    let told = |answer: &Answer| {
        answer.observation(base).map(|one| {
            let words = one.words(base);
            let (id, outcome) = words.split_once(": ").unwrap_or((&words, ""));
            format!("Mending: {}: {}", does_of(base, id), outcome.replace('_', " "))
        })
    };
    let mut answer = |answer: Answer| -> Result<String, Refusal> {
        let words = told(&answer)?;
        session.answer(base, answer, at)?;
        Ok(words)
    };
    Ok(match said {
        MendSaid::Begin { .. } | MendSaid::Forget {} => {
            format!("Mending begun: {}", sign_words(base, &session.complaint))
        }
        MendSaid::Sign { id, seen } => answer(Answer::Sign { id, seen })?,
        MendSaid::Test { id, outcome, sure } => answer(Answer::Test { id, outcome, sure })?,
        MendSaid::Repair { id, gone } => answer(Answer::Repair { id, gone })?,
        MendSaid::TakeBack { number } => {
            session.take_back(number as usize, at)?;
            format!("Mending: answer {number} taken back")
        }
        MendSaid::Fact { id, holds } => {
            session.say(base, &id, holds)?;
            format!("Mending: {} {}", id.replace('_', " "), if holds { "holds" } else { "does not hold" })
        }
        MendSaid::Tool { name, at_hand } => {
            session.tool(base, &name, at_hand)?;
            format!("Mending: {name} {}", if at_hand { "at hand" } else { "not at hand" })
        }
        MendSaid::Strike { id, out } => {
            session.strike(base, &id, out)?;
            format!("Mending: {} {}", does_of(base, &id), if out { "struck out" } else { "stands again" })
        }
        MendSaid::Field { at_the_field } => {
            session.at_the_field = at_the_field;
            format!("Mending: at the {}", if at_the_field { "field" } else { "bench" })
        }
        MendSaid::End { causes, repair, words } => {
            let found: Vec<String> = causes.iter().map(|id| cause_words(base, id)).collect();
            let found = if found.is_empty() { "nothing found".to_owned() } else { found.join(" and ") };
            let repaired = repair.as_ref().map(|id| format!("; {}", does_of(base, id))).unwrap_or_default();
            let more = if words.trim().is_empty() { String::new() } else { format!(" ({})", words.trim()) };
            let complaint = sign_words(base, &session.complaint);
            if words.chars().count() > 2000 {
                return Err(Refusal::new(Cause::Unfit, "the words of a verdict are at most 2000 letters"));
            }
            session
                .end(base, Verdict { at: at.to_owned(), causes, repair, words: words.trim().to_owned() })?;
            format!("Mended: {complaint}: {found}{repaired}{more}")
        }
    })
}

fn sign_words(base: &Base, id: &str) -> String {
    base.sign(id).map_or_else(|| id.replace('_', " "), |sign| base.signs[sign].is.clone())
}

fn cause_words(base: &Base, id: &str) -> String {
    base.cause(id).map_or_else(|| id.replace('_', " "), |cause| base.causes[cause].is.clone())
}

fn does_of(base: &Base, id: &str) -> String {
    let sign = base.sign(id).map(|sign| base.signs[sign].is.clone());
    let test = || base.test(id).map(|test| base.tests[test].does.clone());
    let repair = || base.repair(id).map(|repair| base.repairs[repair].does.clone());
    sign.or_else(test).or_else(repair).unwrap_or_else(|| id.replace('_', " "))
}

fn past(base: &Base, number: i64, session: &Session) -> MendPast {
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
        learnt: MendLearnt { sessions: counts.visits, lore: own.lore, own: own.own, share: own.share() },
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
    happened: &[&str],
) -> MendSession {
    let base = &counts.applied(lore);
    let mut craft_facts = facts_of(base, judged);
    for fact in happened {
        craft_facts.say(base, fact, true);
    }
    let facts = session.facts(base, &craft_facts);
    let priors = priors(base, &facts, counts);
    let (evidence, _) = session.evidence(base);
    let means = session.means(base);
    let advised = advise(base, &facts, &priors, &evidence, &means, Depth::default());
    let mut view = MendSession {
        number: u32::try_from(number).unwrap_or(u32::MAX),
        complaint: sign_words(base, &session.complaint),
        begun: session.begun.clone(),
        clash: None,
        causes: Vec::new(),
        looks: Vec::new(),
        steps: Vec::new(),
        barred: barred(base, &facts, &evidence, session),
        stop_asking: false,
        hand_over: false,
        settled: None,
        suggested: None,
        in_doubt: Vec::new(),
        order: String::new(),
        repair_minutes: 0.0,
        covered: 0.0,
        done: done(base, session),
        facts: facts_view(base, &facts, session),
        tools: base
            .tools
            .iter()
            .map(|name| MendTool { name: name.clone(), at_hand: !session.lacking.contains(name) })
            .collect(),
        at_the_field: session.at_the_field,
    };
    match advised {
        Err(fault) => view.clash = Some(fault.to_string()),
        Ok(advice) => fill(base, &priors, &evidence, &advice, &mut view),
    }
    view
}

fn fill(base: &Base, priors: &Priors, evidence: &Evidence, advice: &Advice, view: &mut MendSession) {
    let concerned = |cause: &usize| {
        advice.concerned[*cause] || evidence.complaint.is_some_and(|sign| base.link(*cause, sign) > 0.0)
    };
    let likely = advice.posterior.ranked().into_iter().filter(concerned);
    view.causes = likely
        .take(CAUSES_SHOWN)
        .filter(|cause| advice.posterior.chances[*cause] >= 0.005)
        .map(|cause| MendCause {
            id: base.causes[cause].id.clone(),
            is: base.causes[cause].is.clone(),
            chance: advice.posterior.chances[cause],
            words: chance_words(advice.posterior.chances[cause]).to_owned(),
            before: priors.chances[cause],
            side: base.causes[cause].side.word().to_owned(),
            because: priors.because[cause]
                .iter()
                .map(|(id, factor)| {
                    format!("{id} ×{factor:.3}").trim_end_matches(['0']).trim_end_matches('.').to_owned()
                })
                .collect(),
            basis: base.causes[cause].basis.words(),
        })
        .collect();
    let step = |weighed: &Weighed| step_view(base, evidence, advice, weighed);
    let is_look = |weighed: &&Weighed| matches!(weighed.step, Step::Look(_));
    let telling = |weighed: &&Weighed| is_look(weighed) && weighed.bits >= LOOK_BITS_LEAST;
    let mut looks: Vec<&Weighed> = advice.steps.iter().filter(telling).collect();
    looks.sort_by(|a, b| b.bits_a_minute.total_cmp(&a.bits_a_minute));
    view.looks = looks.into_iter().take(LOOKS_SHOWN).map(step).collect();
    view.steps =
        advice.steps.iter().filter(|weighed| !is_look(weighed)).take(STEPS_SHOWN).map(step).collect();
    view.stop_asking = advice.stop_asking;
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

fn step_view(base: &Base, evidence: &Evidence, advice: &Advice, weighed: &Weighed) -> MendStep {
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
        outcomes: outcomes.map(|(word, chance)| MendOutcome { word, chance: *chance }).collect(),
        minutes: weighed.minutes,
        cost: weighed.cost,
        bits_a_minute: weighed.bits_a_minute,
        expected_minutes: weighed.expected_cost,
        risk: weighed.risk,
        tools,
        cautions: weighed.step.cautions(base, evidence),
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
        MendDone {
            number: place as u32 + 1,
            at: entry.at.clone(),
            does: does_of(base, id),
            outcome,
            taken_back: entry.taken_back.clone(),
        }
    };
    session.entries.iter().enumerate().map(entry).collect()
}

fn facts_view(base: &Base, facts: &Facts, session: &Session) -> Vec<MendFact> {
    let view = |(place, fact): (usize, &faults::Fact)| MendFact {
        id: fact.id.clone(),
        is: fact.is.clone(),
        holds: facts.holds[place],
        from: fact.from.clone(),
        said: session.facts.contains_key(&fact.id),
    };
    base.facts.iter().enumerate().map(view).collect()
}
