//! A budget as it is told: each term of the pair that carries the link, with its working.
//!
//! The numbers are those of [`Link::at`]; here they get names, the formula in plain text, what went in and its source, so that
//! each can be opened. The first term is the sender's share of the level, the last what
//! several antennas bring together.

use super::{Link, LinkAsked, LinkAt, LinkModel, PairAt};
use quantity::{Basis, Db, Figure, FigureId, Probability, Quantity, Source, Term, Unit, Working};
use radio::{
    BUDGET_SOURCE, BudgetTerm, Cliff, DIVERSITY_SOURCE, FADING_SOURCE, FREE_SPACE_SOURCE, GAS_SOURCE,
    GROUND_SOURCE, JOINT_SOURCE, POLARISATION_SOURCE, Part, Picture, RAIN_SOURCE, RadioFault, SHADOW_SOURCE,
    SLAB_SOURCE, WOODLAND_SOURCE,
};

/// A term with its name and working.
#[derive(Clone, Debug, PartialEq)]
pub struct AccountTerm {
    /// What it is.
    pub name: String,
    /// How it changes the level; above nought it helps.
    pub change: Db,
    /// How much worse it may be.
    pub worse: Db,
    /// How much better it may be.
    pub better: Db,
    /// Its working.
    pub figure: Figure,
}

/// The budget at a pose.
#[derive(Clone, Debug, PartialEq)]
pub struct Account {
    /// The link there.
    pub at: LinkAt,
    /// What a person calls the craft's antenna and the station's antenna that carry it.
    pub carried: [String; 2],
    /// The level of the transmitter at all its sockets together.
    pub start: Quantity,
    /// The terms, in the order in which the wave meets them. Terms of nothing are left out.
    pub terms: Vec<AccountTerm>,
    /// What arrives, with its working.
    pub received: Figure,
    /// What is needed, with its working.
    pub needed: Figure,
    /// What is in hand, with its working.
    pub margin: Figure,
    /// The share of the time that the picture holds, with its working.
    pub held: Figure,
}

/// What a picture does, in a word.
pub const fn picture_word(picture: Picture) -> &'static str {
    match picture {
        Picture::Lost => "lost",
        Picture::Breaking => "breaking",
        Picture::Thin => "thin",
        Picture::Clean => "clean",
    }
}

/// How the picture is at a margin, in a word, from the worst, 0, to the best, 3.
pub fn picture_at(margin: Db) -> (usize, &'static str) {
    let picture = Cliff::TYPICAL.picture(margin);
    (picture as usize, picture_word(picture))
}

/// Terms under this are told as nothing.
const NOTHING: f64 = 0.005;

impl LinkModel {
    /// The budget at a pose, term by term; `None` where something of the link lacks.
    pub fn account(&self, asked: &LinkAsked) -> Option<Result<Account, RadioFault>> {
        let link = self.link().ok()?;
        Some(account(self, link, asked))
    }

    /// What a person calls an antenna of the craft.
    pub fn sender_called(&self, n: usize) -> String {
        self.senders.get(n).map_or_else(|| "antenna".to_owned(), |antenna| antenna.called.clone())
    }

    /// What a person calls an antenna of the station.
    pub fn ground_called(&self, n: usize) -> String {
        self.grounds.get(n).map_or_else(|| "ground antenna".to_owned(), |antenna| antenna.called.clone())
    }
}

fn account(model: &LinkModel, link: &Link, asked: &LinkAsked) -> Result<Account, RadioFault> {
    let at = link.at(asked.place()?, asked.attitude(), asked.level.at_socket)?;
    let pair = at.carrying().cloned().ok_or(RadioFault::NoTurn { end: "the station" })?;
    let told = Told { model, link, asked, pair: &pair };
    let mut terms = Vec::new();
    let shared = pair.budget.level - asked.level.at_socket;
    if shared.get().abs() > NOTHING {
        let count = link.senders.len() as f64;
        terms.push(told.term(
            "shared among antennas",
            BudgetTerm { part: Part::SenderFeed, change: shared, worse: Db::new(0.0), better: Db::new(0.0) },
            "−10 · log10(n)",
            vec![given("n, antennas of the transmitter", count, Unit::Count, "counted on the craft")],
            BUDGET_SOURCE,
        ));
    }
    let worth = |term: &&BudgetTerm| {
        [term.change, term.worse, term.better].iter().any(|part| part.get().abs() > NOTHING)
    };
    terms.extend(pair.budget.terms.iter().filter(worth).map(|term| told.of(*term)));
    let received = at.inputs.get(at.carries).map_or(pair.budget.received(), |input| input.received);
    let others = received - pair.budget.received();
    if others.get().abs() > NOTHING {
        let from = format!("{} other antennas of the craft", link.senders.len().saturating_sub(1));
        terms.push(told.term(
            "other antennas of the craft",
            BudgetTerm {
                part: Part::ReceiverGain,
                change: others,
                worse: Db::new(0.0),
                better: Db::new(0.0),
            },
            "10 · log10(Σ powers / power of the carrying pair)",
            vec![given(&from, others.get(), Unit::Db, "powers add at the receiver")],
            DIVERSITY_SOURCE,
        ));
    }
    let combined = at.margin - at.inputs.get(at.carries).map_or(at.margin, |input| input.margin);
    if combined.get().abs() > NOTHING {
        terms.push(told.term(
            "other ground antennas",
            BudgetTerm {
                part: Part::ReceiverGain,
                change: combined,
                worse: Db::new(0.0),
                better: Db::new(0.0),
            },
            "10 · log10(Σ ratios over noise / ratio of the carrying antenna)",
            vec![given(
                "antennas of the station",
                link.grounds.len() as f64,
                Unit::Count,
                "the station's sheet",
            )],
            DIVERSITY_SOURCE,
        ));
    }
    let received = received + combined;
    let carried = [model.sender_called(pair.sender), model.ground_called(pair.ground)];
    let lines = terms.iter().map(|term| given(&term.name, term.change.get(), Unit::Db, "opened above"));
    let start = Quantity::of(asked.level.at_socket);
    let level_line = Term {
        label: format!("level set to {}", asked.level.out),
        quantity: start,
        uncertainty: None,
        origin: "the transmitter's sheet".to_owned(),
    };
    let received = figure(
        "received",
        format!("what arrives at {}", carried[1]),
        received.get(),
        Unit::Dbm,
        "level + Σ terms",
        std::iter::once(level_line).chain(lines).collect(),
        BUDGET_SOURCE,
    );
    let threshold = &link.threshold;
    let needed = figure(
        "needed",
        format!("what the receiver needs in mode {}", threshold.mode),
        threshold.level.get(),
        Unit::Dbm,
        "as stated, or noise floor + ratio",
        vec![given(
            &format!("threshold in mode {}", threshold.mode),
            threshold.level.get(),
            Unit::Dbm,
            "the receiver's sheet",
        )],
        BUDGET_SOURCE,
    );
    let (low, high) = at.between;
    let mut lines = vec![
        given("what arrives", received.quantity.value, Unit::Dbm, "opened above"),
        given("what is needed", needed.quantity.value, Unit::Dbm, "opened above"),
        given("with every unknown phase and state at its worst", low.get(), Unit::Db, "ranges of the terms"),
        given("at its best", high.get(), Unit::Db, "ranges of the terms"),
    ];
    lines.extend(at.inputs.iter().enumerate().map(|(n, input)| {
        given(&format!("in hand at {}", model.ground_called(n)), input.margin.get(), Unit::Db, "the same sum")
    }));
    let margin = figure(
        "margin",
        "in hand".to_owned(),
        at.margin.get(),
        Unit::Db,
        "what arrives − what is needed, of the best antenna or of all together",
        lines,
        BUDGET_SOURCE,
    );
    let held = held_figure(&at, at.held);
    Ok(Account { at, carried, start, terms, received, needed, margin, held })
}

fn held_figure(at: &LinkAt, held: Probability) -> Figure {
    figure(
        "held",
        "share of the time that the picture holds".to_owned(),
        held.get() * 100.0,
        Unit::Percent,
        "chance that fading takes no more than is in hand",
        vec![given("in hand", at.margin.get(), Unit::Db, "opened above")],
        FADING_SOURCE,
    )
}

fn given(label: &str, value: f64, unit: Unit, origin: &str) -> Term {
    Term {
        label: label.to_owned(),
        quantity: Quantity { value, unit },
        uncertainty: None,
        origin: origin.to_owned(),
    }
}

fn figure(
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

/// What is needed to tell a term.
struct Told<'a> {
    model: &'a LinkModel,
    link: &'a Link,
    asked: &'a LinkAsked,
    pair: &'a PairAt,
}

impl Told<'_> {
    fn term(
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
                lines.push(given(words, by.get(), Unit::Db, "unknown phase or state"));
            }
        }
        let id = name.replace(' ', "_");
        let figure = figure(&id, name.clone(), term.change.get(), Unit::Db, formula, lines, source);
        AccountTerm { name, change: term.change, worse: term.worse, better: term.better, figure }
    }

    fn of(&self, term: BudgetTerm) -> AccountTerm {
        let path = &self.pair.budget.reception;
        let distance =
            || given("d, straight way", path.distance.get(), Unit::Metres, "places of both antennas");
        let frequency = self.link.carrier.frequency().get();
        let carrier = || given("f, channel", frequency, Unit::Megahertz, "the craft's sheet");
        let pose = || {
            let asked = self.asked;
            vec![
                given("heading", asked.heading.get(), Unit::Degrees, "as asked"),
                given("nose down", asked.nose_down.get(), Unit::Degrees, "as asked"),
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
            Part::Gas => ("air".to_owned(), "−γ · d", vec![distance(), carrier()], GAS_SOURCE),
            Part::Rain => ("rain".to_owned(), "−k · R^α · d", vec![distance(), carrier()], RAIN_SOURCE),
            Part::Polarisation => (
                "polarisation".to_owned(),
                "20 · log10|e_sent · e_taken|, by hand, axial ratio and tilt",
                pose(),
                POLARISATION_SOURCE,
            ),
            Part::Walls => (
                "walls".to_owned(),
                "the better of the way through and the ways over and round",
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
                "loss by the length of the way through leaves",
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
