//! One craft being proved: what the rules may look at, each thing made when it is first asked for. What comes of it: `engine/proving.rs`.

mod once;
mod proving;

pub(crate) use proving::prove_tried;
pub use proving::{Proved, prove, prove_again, prove_by, prove_with, prove_with_history, told_anew};

use crate::PartAtHand;
use crate::history::History;
use crate::inputs::{
    Grown, Inputs, LensView, NearPair, Seat, Unbuilt, Unseen, Weights, lens_views, seats_of,
};
use crate::kept::OutlineStore;
use crate::laying::Laying;
use crate::link::LinkModel;
use crate::subject::{
    BOARDS_MAX, CameraTilt, Lead, PlannedLink, PlugHold, camera_tilts, control_antennas, leads, push_on_plugs,
};
use crate::supply::{FeedsTried, Supply, SupplyModel};
use crate::wiring::WiringModel;
use craft::schema::PartKind;
use craft::{Anchor, Craft, Part, PartId, Place, PlaceId, Reading};
use fit::{
    AskedRoute, Hole, NoRoute, Outline, PlanePoint, Route, RouteQuestion, TooManyPairs, route_again,
    route_kept,
};
use quantity::{FactIndex, FactLedger, LedgerEntry, Linear, Measure};
use std::cell::{OnceCell, RefCell};
use std::collections::HashMap;
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
    seats: OnceCell<Vec<Result<Seat, Unbuilt>>>,
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
    pub(crate) feeds_tried: FeedsTried,
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
            feeds_tried: FeedsTried::default(),
            seats: OnceCell::new(),
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

    /// Where every place stands, by its number: for whoever asks nothing of the solids there.
    pub(crate) fn seats(&self) -> &[Result<Seat, Unbuilt>] {
        self.seats.get_or_init(|| seats_of(self))
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
