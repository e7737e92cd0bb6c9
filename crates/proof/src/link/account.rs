//! A budget as it is told: each term of the pair that carries the link, with its working.
//!
//! The numbers are those of [`Link::at`]; here they get names, the formula in plain text, what went in and its source, so that
//! each can be opened. The first term is the sender's share of the level, the last what
//! several antennas bring together.

use super::told::{Told, figure, given};
use super::{Link, LinkAsked, LinkAt, LinkModel, held_percent, held_words};
use quantity::{Db, Figure, Probability, Quantity, Term, Unit};
use radio::{BUDGET_SOURCE, BudgetTerm, DIVERSITY_SOURCE, FADING_SOURCE, Part, Picture, RadioFault};

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
    /// What of it is left 99 % of the time, with its working.
    pub lasting: Figure,
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

/// Terms under this are told as nothing.
pub(super) const NOTHING: f64 = 0.005;

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
    // Air stands there even where it takes nothing: that is what one wants to see of it.
    let worth = |term: &&BudgetTerm| {
        term.part == Part::Gas
            || [term.change, term.worse, term.better].iter().any(|part| part.get().abs() > NOTHING)
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
        if combined.get().abs() > NOTHING {
            format!("what arrives at {}, and what the other ground antennas add", carried[1])
        } else {
            format!("what arrives at {}", carried[1])
        },
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
        given(
            "with every unknown phase and state and all that is published at its worst",
            low.get(),
            Unit::Db,
            "ranges of the terms",
        ),
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
    let lasting = figure(
        "lasting",
        "left of it 99 % of the time, on all antennas of the station together".to_owned(),
        at.lasting.get(),
        Unit::Db,
        "x by which all margins may fall until the picture holds just 99 % of the time",
        vec![
            given("in hand", at.margin.get(), Unit::Db, "opened above"),
            given("fades take", (at.margin - at.lasting).get(), Unit::Db, "by the surroundings"),
        ],
        FADING_SOURCE,
    );
    let held = held_figure(&at, at.held);
    Ok(Account { at, carried, start, terms, received, needed, margin, lasting, held })
}

fn held_figure(at: &LinkAt, held: Probability) -> Figure {
    figure(
        "held",
        // Nearer to never or to always nothing is told apart.
        match (held_percent(held) - 100.0 * held.get()).abs() < 1e-9 {
            true => "share of the time that the picture holds".to_owned(),
            false => format!("share of the time that the picture holds, {}", held_words(held)),
        },
        held_percent(held),
        Unit::Percent,
        "chance that fading takes no more than is in hand",
        vec![given("in hand", at.margin.get(), Unit::Db, "opened above")],
        FADING_SOURCE,
    )
}
