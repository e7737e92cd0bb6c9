//! All rules asked of one craft, and their answers in order.

use super::Proof;
use crate::history::History;
use crate::inputs::{CraftSolid, LensView, Unseen};
use crate::kept::OutlineStore;
use crate::link::{LinkModel, link_figures};
use crate::rules::{ASK_LEADS, RULES, asks_history};
use crate::subject::{CameraTilt, Lead, PlugHold, pull_spaces, questions};
use crate::supply::Supply;
use crate::wiring::WiringModel;
use crate::{Answer, Finding, PartAtHand, Rule, Verdict};
use craft::{Craft, PlaceId};
use quantity::{FactLedger, Figure};
use std::collections::{HashMap, HashSet};
use std::sync::Arc;

/// What came of it.
#[derive(Clone, Debug, Default)]
pub struct Proved {
    /// Findings, worst first, in the rules' order within a verdict.
    pub findings: Vec<Finding>,
    /// Figures, in the rules' order: those that findings rest on, and those that cost next to nothing. The others are
    /// told by [`Proved::all_figures`].
    pub figures: Vec<Figure>,
    /// The facts everything rests on.
    pub ledger: FactLedger,
    /// The craft's solids, for drawing; witnesses refer to them by number. Last stand the spaces that plugs
    /// need to come out, which are drawn and never measured.
    pub solids: Vec<CraftSolid>,
    /// What each lens on a camera sees of the craft; an error says why nobody can say.
    pub views: Vec<Result<LensView, Unseen>>,
    /// Every lead and how it lies.
    pub leads: Vec<Lead>,
    /// How far each camera can be tilted.
    pub tilts: Vec<CameraTilt>,
    /// Every push-on plug and what holds it.
    pub held: Vec<PlugHold>,
    /// The radio link; `None` if the craft carries no video transmitter.
    pub link: Option<Arc<LinkModel>>,
    /// Pads, ports and wires; `None` if no part has any.
    pub wiring: Option<Arc<WiringModel>>,
    /// The supply; `None` if the craft carries no video transmitter or no pack.
    pub supply: Option<Arc<Supply>>,
    /// From the anchor's frame of each place to the craft's, for moving it; `None` where nothing says it yet.
    pub anchors: Vec<Option<fit::Pose>>,
}

impl Proved {
    /// What a rule says of the thing at a place.
    pub fn finding_at(&self, rule: &str, place: &PlaceId) -> Option<&Finding> {
        self.findings.iter().find(|finding| finding.rule == rule && finding.places.contains(place))
    }

    /// What the radio link gives in numbers. No finding rests on these figures and they take as long as a third of a
    /// proof, so they are worked out when somebody asks.
    pub fn link_figures(&self) -> Vec<Figure> {
        self.link.as_ref().map_or_else(Vec::new, |model| link_figures(model, &self.ledger))
    }

    /// Every figure of the craft.
    pub fn all_figures(&self) -> Vec<Figure> {
        let link = self.link_figures();
        self.figures.iter().cloned().chain(link).collect()
    }

    /// The worst verdict, *unknown* counting less than *tight*.
    pub fn verdict(&self) -> Verdict {
        self.findings.iter().map(|finding| finding.verdict).min().unwrap_or(Verdict::Unknown)
    }
}

/// Judges a craft by every rule.
pub fn prove(craft: &Craft) -> Proved {
    prove_again(craft, &Arc::default())
}

/// A message may begin with a part's own name; said alone it is still a sentence.
fn begin_as_a_sentence(message: &mut String) {
    if let Some(first) = message.chars().next().filter(|first| first.is_lowercase()) {
        message.replace_range(..first.len_utf8(), &first.to_uppercase().to_string());
    }
}

/// Judges a craft by every rule, using outlines cut in an earlier proof.
pub fn prove_again(craft: &Craft, outlines: &Arc<OutlineStore>) -> Proved {
    proved(Proof::with_outlines(craft, Arc::clone(outlines)))
}

/// Judges a craft with what it has been through.
pub fn prove_with_history(craft: &Craft, outlines: &Arc<OutlineStore>, history: &Arc<History>) -> Proved {
    proved(Proof::with_outlines(craft, Arc::clone(outlines)).with_history(Arc::clone(history)))
}

/// The same proof after something else happened to the craft: only the rules that ask for that are asked again.
pub fn told_anew(craft: &Craft, proved: &Proved, history: &Arc<History>) -> Proved {
    let mut told = proved.clone();
    let of_history = |finding: &Finding| asks_history(finding.rule);
    told.findings.retain(|finding| !of_history(finding));
    let proof = Proof::new(craft).with_history(Arc::clone(history));
    for rule in RULES.iter().filter(|rule| asks_history(rule.id)) {
        told.findings.extend(readable(rule.id, (rule.run)(&proof)).findings);
    }
    told.findings.sort_by_key(|finding| finding.verdict);
    tell_apart(&mut told.findings);
    told.findings.iter_mut().for_each(|finding| begin_as_a_sentence(&mut finding.message));
    told
}

/// The same with what a workshop knows beside the craft: parts at hand, which mends may name, and what it has been through. Of the rules
/// that do not ask for the latter, verdicts and figures are those of [`prove_again`].
pub fn prove_with(
    craft: &Craft,
    outlines: &Arc<OutlineStore>,
    at_hand: &[PartAtHand],
    history: Option<&Arc<History>>,
) -> Proved {
    let proof = Proof::with_outlines(craft, Arc::clone(outlines)).with_at_hand(at_hand);
    proved(match history {
        Some(history) => proof.with_history(Arc::clone(history)),
        None => proof,
    })
}

/// Judges a craft that is only tried: by every rule, and no mend is tried further.
pub(crate) fn prove_tried(craft: &Craft, outlines: &Arc<OutlineStore>) -> Proved {
    proved(Proof { is_trial: true, ..Proof::with_outlines(craft, Arc::clone(outlines)) })
}

/// Judges a craft by some rules only, told by their ids: for one question that is asked again and again, such as what a lens sees at
/// a tilt that is tried. What they say is what [`prove_with`] has them say.
pub fn prove_by(
    craft: &Craft,
    outlines: &Arc<OutlineStore>,
    at_hand: &[PartAtHand],
    rules: &[&str],
) -> Proved {
    let proof = Proof::with_outlines(craft, Arc::clone(outlines)).with_at_hand(at_hand);
    let mut proved = Proved::default();
    for rule in RULES.iter().filter(|rule| rules.contains(&rule.id)) {
        let Answer { findings, figures } = readable(rule.id, (rule.run)(&proof));
        proved.findings.extend(findings);
        proved.figures.extend(figures);
    }
    settled(proof, proved)
}

fn proved(proof: Proof) -> Proved {
    let mut proved = Proved::default();
    for Answer { findings, figures } in answers(&proof) {
        proved.findings.extend(findings);
        proved.figures.extend(figures);
    }
    // Before what the rules of the whole craft work out from it.
    let craft = proved.figures.iter().position(|figure| figure.id.0.starts_with("craft."));
    let at = craft.unwrap_or(proved.figures.len());
    proved.figures.splice(at..at, crate::weight::mass_figure(&proof));
    // A craft that is only tried is asked for its verdicts.
    if !proof.is_trial() {
        proved.figures.extend(crate::view_figures::view_figures(&proof));
        proof.link();
    }
    settled(proof, proved)
}

/// Findings in their order and words, and with them all that a proof found out on the way.
fn settled(proof: Proof, mut proved: Proved) -> Proved {
    proved.findings.sort_by_key(|finding| finding.verdict);
    tell_apart(&mut proved.findings);
    super::once::told_once(&mut proved.findings);
    proved.findings.iter_mut().for_each(|finding| begin_as_a_sentence(&mut finding.message));
    proof.lens_views();
    proved.solids = proof.inputs().solids.clone();
    proved.anchors =
        proof.inputs().seats.iter().map(|seat| seat.as_ref().ok().map(|seat| seat.anchor)).collect();
    // After the scene's own, whose numbers witnesses name.
    proved.solids.extend(pull_spaces(&proof));
    proved.views = proof.views.into_inner().unwrap_or_default();
    proved.leads = proof.leads.into_inner().unwrap_or_default();
    proved.tilts = proof.tilts.into_inner().unwrap_or_default();
    proved.link = proof.link.into_inner().flatten();
    proved.wiring = proof.wiring.into_inner().flatten();
    proved.supply = proof.supply.into_inner().flatten();
    proved.held = proof.held.into_inner().unwrap_or_default();
    proved.ledger = proof.ledger.into_inner();
    proved
}

/// The answers of all rules, in their order. Those that ask how leads lie come last in time: meanwhile a thread lays them.
fn answers(proof: &Proof) -> Vec<Answer> {
    let ask = |rule: &Rule| readable(rule.id, (rule.run)(proof));
    let laying = proof.unlaid(questions(proof));
    let scene = &proof.inputs().scene;
    let mut answers: Vec<Option<Answer>> = laying.meanwhile(scene, || {
        RULES.iter().map(|rule| (!ASK_LEADS.contains(&rule.id)).then(|| ask(rule))).collect()
    });
    proof.know_laid(laying);
    for (answer, rule) in answers.iter_mut().zip(RULES) {
        answer.get_or_insert_with(|| ask(rule));
    }
    answers.into_iter().flatten().collect()
}

/// Findings of one rule that are told one by one. No real craft has as many; beyond it they are counted.
const FINDINGS_OF_A_RULE_MAX: usize = 250;

/// An answer a person can read: the worst findings, and one that counts the rest.
fn readable(rule: &'static str, mut answer: Answer) -> Answer {
    if answer.findings.len() <= FINDINGS_OF_A_RULE_MAX {
        return answer;
    }
    answer.findings.sort_by_key(|finding| finding.verdict);
    let rest = answer.findings.split_off(FINDINGS_OF_A_RULE_MAX);
    let dropped: HashSet<_> = rest.iter().filter_map(|finding| finding.figure.as_ref()).collect();
    let kept: HashSet<_> = answer.findings.iter().filter_map(|finding| finding.figure.as_ref()).collect();
    answer.figures.retain(|figure| kept.contains(&figure.id) || !dropped.contains(&figure.id));
    let counts: Vec<String> = Verdict::ALL
        .into_iter()
        .map(|verdict| (verdict, rest.iter().filter(|finding| finding.verdict == verdict).count()))
        .filter(|(_, count)| *count > 0)
        .map(|(verdict, count)| format!("{count} {}", verdict.word()))
        .collect();
    let verdict = rest.first().map_or(Verdict::Sound, |finding| finding.verdict);
    let message = format!("{} further findings of this rule: {}", rest.len(), counts.join(", "));
    let counted = Finding::new(rule, verdict, "further findings", message);
    answer.findings.push(match verdict {
        Verdict::Sound => counted,
        _ => counted.mend("Mend what is told one by one; then the next are told."),
    });
    answer
}

/// Findings of one rule are told apart by their subject: where two have the same, their places are named.
fn tell_apart(findings: &mut [Finding]) {
    let mut count: HashMap<(&'static str, String), usize> = HashMap::new();
    for finding in findings.iter() {
        *count.entry((finding.rule, finding.subject.clone())).or_default() += 1;
    }
    for finding in findings {
        if count.get(&(finding.rule, finding.subject.clone())).is_some_and(|count| *count > 1) {
            let places: Vec<&str> = finding.places.iter().map(|place| place.as_str()).collect();
            finding.subject = format!("{} ({})", finding.subject, places.join(", "));
        }
    }
}
