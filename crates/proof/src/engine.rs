//! The proof of one craft: inputs made once, every rule asked, the answers in order.

use crate::history::History;
use crate::inputs::{CraftSolid, Grown, Inputs, LensView, NearPair, Unseen, Weights, lens_views};
use crate::kept::OutlineStore;
use crate::laying::Laying;
use crate::link::{LinkModel, link_figures};
use crate::rules::{ASK_LEADS, RULES, asks_history};
use crate::subject::{
    BOARDS_MAX, CameraTilt, Lead, PlannedLink, PlugHold, camera_tilts, control_antennas, leads, pull_spaces,
    push_on_plugs, questions,
};
use crate::supply::{Supply, SupplyModel};
use crate::wiring::WiringModel;
use crate::{Answer, Finding, PartAtHand, Rule, Verdict};
use craft::schema::PartKind;
use craft::{Anchor, Craft, Part, PartId, Place, PlaceId, Reading};
use fit::{
    AskedRoute, Hole, NoRoute, Outline, PlanePoint, Route, RouteQuestion, TooManyPairs, route_again,
    route_kept,
};
use quantity::{FactIndex, FactLedger, Figure, LedgerEntry, Linear, Measure};
use std::cell::{OnceCell, RefCell};
use std::collections::{HashMap, HashSet};
use std::sync::Arc;

/// A craft being proved: what the rules may look at.
pub struct Proof<'a> {
    /// The craft.
    pub craft: &'a Craft,
    parts: Vec<Option<&'a Part>>,
    numbers: HashMap<&'a PlaceId, usize>,
    stands: HashMap<&'a PartId, usize>,
    seated: HashMap<&'a Anchor, Vec<usize>>,
    ledger: RefCell<FactLedger>,
    outlines: Arc<OutlineStore>,
    inputs: OnceCell<Inputs>,
    near: OnceCell<Result<Vec<NearPair>, TooManyPairs>>,
    weights: OnceCell<Weights>,
    views: OnceCell<Vec<Result<LensView, Unseen>>>,
    grown: OnceCell<Vec<Vec<Grown>>>,
    leads: OnceCell<Vec<Lead>>,
    tilts: OnceCell<Vec<CameraTilt>>,
    held: OnceCell<Vec<PlugHold>>,
    turns: RefCell<HashMap<usize, Option<f64>>>,
    control_antennas: OnceCell<HashMap<usize, usize>>,
    link: OnceCell<Option<Arc<LinkModel>>>,
    wiring: OnceCell<Option<Arc<WiringModel>>>,
    pub(crate) planned: PlannedLink,
    at_hand: &'a [PartAtHand],
    supply: OnceCell<Option<Arc<Supply>>>,
    is_trial: bool,
    pub(crate) history: Option<Arc<History>>,
}

/// By how much of itself a size is changed to see what a view makes of it.
const GROWTH: f64 = 1e-4;

/// A place with the part that stands there.
#[derive(Clone, Copy, Debug)]
pub struct Placed<'a> {
    /// The place.
    pub place: &'a Place,
    /// The part.
    pub part: &'a Part,
}

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

impl<'a> Proof<'a> {
    /// Makes the inputs of all disciplines.
    pub fn new(craft: &'a Craft) -> Self {
        Self::with_outlines(craft, Arc::default())
    }

    /// The same, using outlines cut before.
    pub fn with_outlines(craft: &'a Craft, outlines: Arc<OutlineStore>) -> Self {
        let mut parts: HashMap<&PartId, &Part> = HashMap::with_capacity(craft.parts.len());
        for part in &craft.parts {
            parts.entry(&part.id).or_insert(part);
        }
        let at_places: Vec<Option<&Part>> =
            craft.places.iter().map(|place| parts.get(&place.part).copied()).collect();
        let mut numbers = HashMap::with_capacity(craft.places.len());
        for (number, place) in craft.places.iter().enumerate() {
            numbers.entry(&place.id).or_insert(number);
        }
        let mut stands = HashMap::with_capacity(craft.parts.len());
        for part in at_places.iter().flatten() {
            *stands.entry(&part.id).or_insert(0) += 1;
        }
        let mut seated: HashMap<&Anchor, Vec<usize>> = HashMap::with_capacity(craft.places.len());
        for (number, place) in craft.places.iter().enumerate() {
            if let Some(on) = &place.on {
                seated.entry(on).or_default().push(number);
            }
        }
        Self {
            craft,
            parts: at_places,
            numbers,
            stands,
            seated,
            ledger: RefCell::default(),
            outlines,
            supply: OnceCell::new(),
            inputs: OnceCell::new(),
            near: OnceCell::new(),
            weights: OnceCell::new(),
            views: OnceCell::new(),
            grown: OnceCell::new(),
            leads: OnceCell::new(),
            tilts: OnceCell::new(),
            held: OnceCell::new(),
            turns: RefCell::default(),
            control_antennas: OnceCell::new(),
            link: OnceCell::new(),
            wiring: OnceCell::new(),
            planned: PlannedLink::default(),
            at_hand: &[],
            is_trial: false,
            history: None,
        }
    }

    /// The same with parts of the workshop at hand, which mends may name.
    pub fn with_at_hand(self, at_hand: &'a [PartAtHand]) -> Self {
        Self { at_hand, ..self }
    }

    /// Parts of the workshop that may be put on.
    pub(crate) fn at_hand(&self) -> &'a [PartAtHand] {
        self.at_hand
    }

    /// A proof of the same craft changed a little, to see whether a mend would do.
    pub(crate) fn trial<'b>(&self, changed: &'b Craft) -> Proof<'b> {
        Proof { is_trial: true, ..Proof::with_outlines(changed, Arc::clone(&self.outlines)) }
    }

    /// Whether it is such a trial, which tries nothing further.
    pub(crate) fn is_trial(&self) -> bool {
        self.is_trial
    }

    /// A better turn of the board at a place, tried once; of very many boards the first few only.
    pub(crate) fn turned(&self, place: usize, tried: impl FnOnce() -> Option<f64>) -> Option<f64> {
        if let Some(known) = self.turns.borrow().get(&place) {
            return *known;
        }
        if self.turns.borrow().len() >= BOARDS_MAX {
            return None;
        }
        let turn = tried();
        self.turns.borrow_mut().insert(place, turn);
        turn
    }

    /// Where everything is, and its solids: worked out when first asked for.
    pub fn inputs(&self) -> &Inputs {
        self.inputs.get_or_init(|| Inputs::of(self))
    }

    /// Every pair of solids that comes near what it needs: measured when first asked for.
    pub fn near_pairs(&self) -> Result<&[NearPair], &TooManyPairs> {
        self.near.get_or_init(|| self.inputs().near(self)).as_deref()
    }

    /// What the craft weighs and where it balances: worked out when first asked for.
    pub fn weights(&self) -> &Weights {
        self.weights.get_or_init(|| self.inputs().weights(self))
    }

    /// What each lens on a camera sees of the craft; an error says why nobody can say.
    pub fn lens_views(&self) -> &[Result<LensView, Unseen>] {
        self.views.get_or_init(|| lens_views(self))
    }

    /// Each view after each fact it follows has grown by a little: by the number of the view; none for one nobody knows.
    pub(crate) fn grown_views(&self) -> &[Vec<Grown>] {
        self.grown.get_or_init(|| {
            let grown = |view: &Result<LensView, Unseen>| {
                view.as_ref().map_or_else(|_| Vec::new(), |v| v.grown(self, GROWTH))
            };
            self.lens_views().iter().map(grown).collect()
        })
    }

    /// The places of antennas that are plugged into a control receiver, each with its receiver's place.
    pub(crate) fn control_antennas(&self) -> &HashMap<usize, usize> {
        self.control_antennas.get_or_init(|| control_antennas(self))
    }

    /// Every lead and how it lies: worked out when first asked for.
    pub fn leads(&self) -> &[Lead] {
        self.leads.get_or_init(|| leads(self))
    }

    /// Whether anybody asked how leads lie.
    #[cfg(test)]
    pub(crate) fn has_laid_leads(&self) -> bool {
        self.leads.get().is_some()
    }

    /// How far each camera can be tilted: worked out when first asked for.
    pub fn camera_tilts(&self) -> &[CameraTilt] {
        self.tilts.get_or_init(|| camera_tilts(self))
    }

    /// Every push-on plug and what holds it: worked out when first asked for.
    pub fn push_on_plugs(&self) -> &[PlugHold] {
        self.held.get_or_init(|| push_on_plugs(self))
    }

    /// The radio link, read from the craft when first asked for; `None` if it carries no video transmitter.
    pub fn link(&self) -> Option<&LinkModel> {
        self.link.get_or_init(|| LinkModel::of(self).map(Arc::new)).as_deref()
    }

    /// Pads, ports and wires, read when first asked for; `None` if no part has pads or ports.
    pub fn wiring(&self) -> Option<&WiringModel> {
        self.wiring.get_or_init(|| WiringModel::of(self).map(Arc::new)).as_deref()
    }

    /// The supply, read from the craft when first asked for; `None` if it carries no video transmitter or no pack.
    pub fn supply(&self) -> Option<&Supply> {
        let known = || SupplyModel::of(self).map(|model| self.outlines.supply(model));
        self.supply.get_or_init(known).as_deref()
    }

    /// The facts entered so far.
    pub fn ledger(&self) -> std::cell::Ref<'_, FactLedger> {
        self.ledger.borrow()
    }

    /// What is kept from one proof to the next.
    pub(crate) fn kept(&self) -> &OutlineStore {
        &self.outlines
    }

    /// An outline with holes, cut or found cut; an error says all that is wrong with it.
    pub(crate) fn outline(&self, outer: Vec<PlanePoint>, holes: Vec<Hole>) -> Result<Outline, String> {
        self.outlines.outline(outer, holes)
    }

    /// The shortest route of a lead, found or known from an earlier proof.
    pub(crate) fn route(&self, question: &RouteQuestion) -> Result<Route, NoRoute> {
        let (found, known) = route_again(&self.inputs().scene, question, &self.outlines.routes());
        known.into_iter().for_each(|known| self.outlines.know_route(known));
        found
    }

    /// Which of some routes nobody knows yet, to be laid ahead.
    pub(crate) fn unlaid(&self, questions: Vec<AskedRoute>) -> Laying {
        let (scene, known) = (&self.inputs().scene, self.outlines.routes());
        let unknown = |asked: &AskedRoute| route_kept(scene, &asked.question(), &known).is_none();
        Laying::of(questions.into_iter().filter(unknown).collect())
    }

    /// Keeps what was laid ahead.
    pub(crate) fn know_laid(&self, laying: Laying) {
        laying.found().into_iter().for_each(|known| self.outlines.know_route(known));
    }

    /// Every place whose part is known, in the order of the sheet.
    pub fn placed(&self) -> impl Iterator<Item = Placed<'a>> {
        let places = self.craft.places.iter().zip(&self.parts);
        places.filter_map(|(place, part)| Some(Placed { place, part: (*part)? }))
    }

    /// The number of a place in the craft.
    pub fn number_of(&self, place: &PlaceId) -> Option<usize> {
        self.numbers.get(place).copied()
    }

    /// The place of an id, if its part is known.
    pub fn placed_at(&self, place: &PlaceId) -> Option<Placed<'a>> {
        self.placed_number(self.number_of(place)?)
    }

    /// The place of a number, if its part is known.
    pub fn placed_number(&self, number: usize) -> Option<Placed<'a>> {
        Some(Placed { place: self.craft.places.get(number)?, part: self.parts.get(number).copied()?? })
    }

    /// The part at the place of a number.
    pub fn part_of(&self, number: usize) -> Option<&'a Part> {
        self.parts.get(number).copied().flatten()
    }

    /// Every place on one seat, in the order of the sheet.
    pub fn seated_on(&self, seat: &Anchor) -> impl Iterator<Item = Placed<'a>> {
        let numbers = self.seated.get(seat).map_or(&[][..], Vec::as_slice);
        numbers.iter().filter_map(|number| self.placed_number(*number))
    }

    /// At how many places a part stands.
    pub fn stands_at(&self, part: &PartId) -> usize {
        self.stands.get(part).copied().unwrap_or(0)
    }

    /// The places of one kind of part.
    pub fn places_of(&self, kind: PartKind) -> impl Iterator<Item = Placed<'a>> {
        self.placed().filter(move |placed| placed.part.kind == kind)
    }

    /// The part a place is seated on, if it is of this kind.
    pub fn part_under(&self, place: &Place, kind: PartKind) -> Option<Placed<'a>> {
        let under = place.on.as_ref()?.place()?;
        self.placed_at(under).filter(|placed| placed.part.kind == kind)
    }

    /// Enters a fact in the ledger.
    pub fn enter<M: Measure>(&self, reading: &Reading<M>) -> FactIndex {
        reading.enter(&mut self.ledger.borrow_mut())
    }

    /// Enters a fact that is made of another.
    pub(crate) fn enter_entry(&self, entry: LedgerEntry) -> FactIndex {
        self.ledger.borrow_mut().enter(entry)
    }

    /// A reading as a result that leans on that fact alone.
    pub fn lean<M: Measure>(&self, reading: &Reading<M>) -> Linear {
        Linear { value: reading.value.raw(), slopes: vec![(self.enter(reading), 1.0)] }
    }
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
    }
    proved.findings.sort_by_key(|finding| finding.verdict);
    tell_apart(&mut proved.findings);
    proved.findings.iter_mut().for_each(|finding| begin_as_a_sentence(&mut finding.message));
    proof.lens_views();
    if !proof.is_trial() {
        proof.link();
    }
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
