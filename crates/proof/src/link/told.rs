//! Each term of a budget with its name, its formula in plain text, what went in and its source.

use super::account::{AccountTerm, NOTHING};
use super::spread::rests_on;
use super::{Link, LinkAsked, LinkModel, PairAt};
use quantity::{Basis, Figure, FigureId, Quantity, Source, Term, Unit, Working};
use radio::{
    BUDGET_SOURCE, BudgetTerm, FREE_SPACE_SOURCE, GAS_SOURCE, GROUND_SOURCE, JOINT_SOURCE,
    POLARISATION_SOURCE, Part, RAIN_SOURCE, SHADOW_SOURCE, SLAB_SOURCE, WOODLAND_SOURCE,
};

pub(super) fn given(label: &str, value: f64, unit: Unit, origin: &str) -> Term {
    Term {
        label: label.to_owned(),
        quantity: Quantity { value, unit },
        uncertainty: None,
        origin: origin.to_owned(),
    }
}

pub(super) fn figure(
    id: &str,
    label: String,
    value: f64,
    unit: Unit,
    formula: &str,
    terms: Vec<Term>,
    source: Source,
) -> Figure {
    Figure {
        id: FigureId(format!("link.asked.{id}").into()),
        label,
        quantity: Quantity { value, unit },
        uncertainty: None,
        basis: Basis::DataSheet,
        working: Working { formula: formula.to_owned(), terms, source },
    }
}

/// A cloudburst, in mm an hour. Common practice.
const CLOUDBURST: f64 = 100.0;

/// What is needed to tell a term.
pub(super) struct Told<'a> {
    pub model: &'a LinkModel,
    pub link: &'a Link,
    pub asked: &'a LinkAsked,
    pub pair: &'a PairAt,
}

impl Told<'_> {
    pub(super) fn term(
        &self,
        name: impl Into<String>,
        term: BudgetTerm,
        formula: &str,
        lines: Vec<Term>,
        source: Source,
    ) -> AccountTerm {
        let name = name.into();
        let mut lines = lines;
        for (by, words) in [(term.worse, "may be worse by"), (term.better, "may be better by")] {
            if by.get() > NOTHING {
                lines.push(given(words, by.get(), Unit::Db, rests_on(term.part)));
            }
        }
        let id = name.replace(' ', "_");
        let mut figure = figure(&id, name.clone(), term.change.get(), Unit::Db, formula, lines, source);
        // Between its ends anything is as likely.
        let half = 0.5 * (term.worse.get() + term.better.get());
        figure.uncertainty = (half > NOTHING).then(|| half / 3f64.sqrt());
        AccountTerm { name, change: term.change, worse: term.worse, better: term.better, figure }
    }

    /// What a cloudburst would take: little here, and told so that one sees it.
    fn cloudburst(&self) -> Term {
        let distance = self.pair.budget.reception.distance;
        let rain = radio::rain_loss(distance, CLOUDBURST, quantity::Degrees::new(45.0), self.link.carrier);
        let lost = -rain.map_or(0.0, quantity::Db::get);
        given("a cloudburst of 100 mm an hour would take", lost, Unit::Db, "ITU-R P.838-3")
    }

    /// Why the nose is so far down.
    fn nose_because(&self) -> String {
        let plan = &self.model.plan;
        match plan.cruise_tilt() {
            Ok(cruise) if cruise == self.asked.nose_down => plan.nose_because().to_owned(),
            _ => "as asked".to_owned(),
        }
    }

    pub(super) fn of(&self, term: BudgetTerm) -> AccountTerm {
        let path = &self.pair.budget.reception;
        let distance =
            || given("d, straight way", path.distance.get(), Unit::Metres, "places of both antennas");
        let frequency = self.link.carrier.frequency().get();
        let carrier = || given("f, channel", frequency, Unit::Megahertz, "the craft's sheet");
        let pose = || {
            let asked = self.asked;
            vec![
                given("heading", asked.heading.get(), Unit::Degrees, "as asked"),
                given("nose down", asked.nose_down.get(), Unit::Degrees, &self.nose_because()),
                given("bank", asked.bank.get(), Unit::Degrees, "as asked"),
            ]
        };
        let [sender, ground] =
            [self.model.sender_called(self.pair.sender), self.model.ground_called(self.pair.ground)];
        let feed = |loss: &radio::FeedLoss| {
            vec![
                given("coax", -loss.leads.get(), Unit::Db, "type and length on the sheet"),
                given("joints", -loss.joints.usual.get(), Unit::Db, "a loss for each, by its state"),
                given("mismatch", -loss.mismatch.usual.get(), Unit::Db, "standing wave ratios of both ends"),
            ]
        };
        let (name, formula, lines, source) = match term.part {
            Part::SenderFeed => (
                format!("feed to {sender}"),
                "−(coax + joints + mismatch)",
                feed(&self.pair.budget.sender_feed),
                JOINT_SOURCE,
            ),
            Part::ReceiverFeed => (
                format!("feed of {ground}"),
                "−(coax + joints + mismatch)",
                feed(&self.pair.budget.receiver_feed),
                JOINT_SOURCE,
            ),
            Part::SenderGain => (
                sender,
                "gain of its pattern toward the station, turned with the craft",
                pose(),
                BUDGET_SOURCE,
            ),
            Part::ReceiverGain => (
                ground,
                "gain of its pattern toward the craft, turned as it is aimed",
                vec![
                    distance(),
                    given("h, height of the craft", self.asked.height.get(), Unit::Metres, "as asked"),
                ],
                BUDGET_SOURCE,
            ),
            Part::SenderShadow => (
                "shadow of the craft".to_owned(),
                "−20 · log10|1 − B|, B by Fresnel's integrals over the plates and the pack in the way",
                pose(),
                SHADOW_SOURCE,
            ),
            Part::Spreading => (
                "spreading in free space".to_owned(),
                "−(32.45 + 20 · log10(f / MHz) + 20 · log10(d / km))",
                vec![distance(), carrier()],
                FREE_SPACE_SOURCE,
            ),
            Part::Gas => {
                ("air".to_owned(), "−γ · d", vec![distance(), carrier(), self.cloudburst()], GAS_SOURCE)
            }
            Part::Rain => ("rain".to_owned(), "−k · R^α · d", vec![distance(), carrier()], RAIN_SOURCE),
            Part::Polarisation => (
                "polarisation".to_owned(),
                "20 · log10|e_sent · e_taken|, by hand, axial ratio and tilt",
                pose(),
                POLARISATION_SOURCE,
            ),
            Part::Walls => (
                "walls".to_owned(),
                "20 · log10|Π (1 − B·(1 − T))|, B the share of the wavefront before each wall, T what it lets through",
                vec![
                    distance(),
                    given(
                        "walls about",
                        self.link.scenery.walls.len() as f64,
                        Unit::Count,
                        "the station's sheet",
                    ),
                ],
                SLAB_SOURCE,
            ),
            Part::Leaves => (
                "leaves".to_owned(),
                "loss of a wood by the length of the way through leaves, the first 6 m as those of one crown",
                vec![
                    distance(),
                    given(
                        "crowns about",
                        self.link.scenery.woods.len() as f64,
                        Unit::Count,
                        "the station's sheet",
                    ),
                ],
                WOODLAND_SOURCE,
            ),
            Part::Ground => {
                let mut lines = vec![distance()];
                if let Some(bounce) = path.bounce {
                    lines.push(given(
                        "grazing angle",
                        bounce.grazing.get(),
                        Unit::Degrees,
                        "both heights and the distance",
                    ));
                    lines.push(given(
                        "longer way",
                        bounce.longer.get(),
                        Unit::Metres,
                        "both heights and the distance",
                    ));
                    lines.push(given(
                        "ray off the ground under the straight one",
                        bounce.below.get(),
                        Unit::Db,
                        "ground and its roughness",
                    ));
                }
                (
                    "ground".to_owned(),
                    "20 · log10|1 + ρ · e^(−jkΔ)|, of the straight ray and the one off the ground",
                    lines,
                    GROUND_SOURCE,
                )
            }
            Part::ReceiverShadow => {
                ("shadow at the station".to_owned(), "−20 · log10|1 − B|", vec![], SHADOW_SOURCE)
            }
        };
        self.term(name, term, formula, lines, source)
    }
}
