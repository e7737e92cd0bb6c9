//! The budget as an account of signed terms.

use super::words::{asked_words, decibels};
use super::{EXPOSURE_NOTE, LinkFault, LinkShown, MODEL_NOTE, POWER_NOTE, lacks, radio};
use crate::chart::{Caption, Chart, Level, Step, StepChart};
use proof::link::{Account, held_words, picture_word};
use quantity::{Figure, Unit, standard_uncertainty};

/// The budget of a link at the asked pose, with a figure for each of its numbers.
pub fn budget(shown: &LinkShown) -> Result<(Chart, Vec<Figure>), LinkFault> {
    let mut account = shown.model.account(shown.asked).ok_or_else(|| lacks(shown))?.map_err(radio)?;
    let asked = shown.asked;
    let place = asked.place().map_err(radio)?;
    let doubted = shown.link.margin_with_doubt(place, asked.attitude(), &asked.level).map_err(radio)?;
    let whole = standard_uncertainty(&doubted, &shown.proved.ledger);
    account.margin.uncertainty = (whole > 0.0).then_some(whole);
    // What fades take hangs on none of these facts.
    account.lasting.uncertainty = account.margin.uncertainty;
    // The band takes the ends of what is published of walls, leaves and ground by themselves.
    let facts = shown.link.margin_of_facts(place, asked.attitude(), &asked.level).map_err(radio)?;
    let doubt = standard_uncertainty(&facts, &shown.proved.ledger);
    let (better, brings) = super::costs::better(shown)?;
    let chart = chart(shown, &account, doubt, better);
    let Account { terms, received, needed, margin, lasting, held, .. } = account;
    let mut figures = vec![margin, held, lasting];
    figures.extend(terms.into_iter().map(|term| term.figure));
    figures.extend([received, needed]);
    // They rest on what the link rests on, whose weakest basis theirs is.
    let weakest = shown.model.weakest_basis(&shown.proved.ledger);
    for figure in &mut figures {
        figure.basis = weakest.unwrap_or(figure.basis);
    }
    figures.extend(brings);
    Ok((chart, figures))
}

/// Both ends of what is in hand, each with its side where they differ.
fn ends(low: f64, high: f64) -> String {
    let side = |value: f64| if value < 0.0 { "short" } else { "over" };
    let [least, most] = [low, high].map(|value| decibels(value.abs()));
    match (side(low), side(high)) {
        (one, other) if one == other => format!("{least} and {most} {one}"),
        (one, other) => format!("{least} {one} and {most} {other}"),
    }
}

/// What is to be said first of a level that the unit cannot be at.
fn asked_of(shown: &LinkShown) -> Option<String> {
    shown.asked.unreached(shown.model)
}

fn chart(shown: &LinkShown, account: &Account, doubt: f64, better: String) -> Chart {
    let at = &account.at;
    let margin = at.margin.get();
    let (low, high) = (at.between.0.get() - 2.0 * doubt, at.between.1.get() + 2.0 * doubt);
    let side = if margin < 0.0 { "short of" } else { "over" };
    let [sender, ground] = &account.carried;
    let message = format!(
        "{} {side} what is needed in mode {}; between {} with all doubt. The picture is {}: 99 % of the time {}; it holds {} of the time. It is carried by {ground}, from {sender}.",
        decibels(margin.abs()),
        shown.link.threshold.mode,
        ends(low, high),
        picture_word(at.picture),
        match at.lasting.get() {
            short if short < 0.0 => format!("{} are lacking", decibels(-short)),
            left => format!("{} and more are in hand", decibels(left)),
        },
        held_words(at.held),
    );
    let message = match asked_of(shown) {
        Some(words) => format!("{words} {message}"),
        None => message,
    };
    let air = account.terms.iter().find(|term| term.name == "air");
    let air = air.and_then(|term| {
        let burst = term.figure.working.terms.last()?.quantity.value;
        let [air, burst] = [term.change.get(), burst].map(|taken| decibels(taken.abs()));
        Some(format!(
            "Air takes {air} on this way and a cloudburst would take {burst}: here neither matters."
        ))
    });
    let caption = Caption::new(format!("{}: link budget", shown.craft), message)
        .noting(better)
        .noting("Filled bars take, open bars help. Under a bar: how far that term may be off. Hatched: what arrives, with all doubt (phases, states and what is published of walls, leaves and ground at their ends, twice the standard uncertainty of the facts).")
        .noting(MODEL_NOTE)
        .noting(format!("{POWER_NOTE} {EXPOSURE_NOTE}"));
    let caption = caption.noting(format!("Asked: {}.", asked_words(shown.asked)));
    let caption = match air {
        Some(words) => caption.noting(words),
        None => caption,
    };
    let terms = account.terms.iter().map(|term| Step {
        name: term.name.clone(),
        change: term.change.get(),
        worse: term.worse.get().max(0.0),
        better: term.better.get().max(0.0),
    });
    let total = account.start.value + account.terms.iter().map(|term| term.change.get()).sum::<f64>();
    let needed = shown.link.threshold.level.get();
    StepChart {
        caption,
        level_unit: Unit::Dbm,
        change_unit: Unit::Db,
        start: Level {
            name: format!("transmitter at {}", shown.asked.level.out),
            value: account.start.value,
        },
        terms: terms.collect(),
        left: "what arrives".to_owned(),
        band: Some([total.min(total + low - margin), total.max(total + high - margin)]),
        needed: Level { name: format!("needed, mode {}", shown.link.threshold.mode), value: needed },
    }
    .into()
}
