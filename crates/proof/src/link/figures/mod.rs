//! What a link gives in numbers: budget, share of time held, ranges, what spoils it. Figures, each with its
//! working; no verdict is passed here. What a rule judges is told beside the rule and nowhere else: the feeds of the craft's antennas, what is
//! radiated, how near one may stand, the lowest level that holds the flight.

mod far;
mod feed;
mod range;

use super::{Link, LinkAsked, LinkModel};
pub(crate) use feed::feed_figure;
use quantity::{Basis, FactLedger, Figure};
use radio::RadioFault;
pub use range::RangeTold;

/// The figures of the link, as far as its facts are known. They rest on the model and on the facts it was read from alone.
pub(crate) fn link_figures(model: &LinkModel, facts: &FactLedger) -> Vec<Figure> {
    let mut figures: Vec<Figure> = Vec::new();
    figures.extend(model.grounds.iter().filter_map(|antenna| feed_figure(facts, antenna)));
    if let (Ok(link), Ok(_)) = (model.link(), &model.plan.level) {
        // What cannot be computed is no figure: rules say why.
        figures.extend(flown(facts, model, link).unwrap_or_default());
    }
    // What is told without its doubt rests on the facts all the same.
    let weakest = model.facts().into_iter().filter_map(|fact| facts.get(fact)).map(|entry| entry.basis);
    if let Some(weakest) = weakest.reduce(Basis::weaker) {
        figures
            .iter_mut()
            .filter(|figure| figure.uncertainty.is_none())
            .for_each(|figure| figure.basis = weakest);
    }
    figures
}

/// All that rests on how it is flown.
fn flown(facts: &FactLedger, model: &LinkModel, link: &Link) -> Result<Vec<Figure>, RadioFault> {
    let plan = &model.plan;
    let (Ok(height), Ok(tilt), Some(asked)) =
        (plan.height.as_ref(), plan.cruise_tilt(), LinkAsked::planned(model))
    else {
        return Ok(Vec::new());
    };
    let mut figures = Vec::new();
    if let Ok(fly_to) = plan.fly_to.as_ref() {
        figures.extend(far::at_the_farthest(facts, model, link, &asked.level, (*fly_to, *height), tilt)?);
        figures.extend(far::carriers(facts, model, link, &asked.level, (*fly_to, *height), tilt)?);
    }
    let mut out = link.outward_as_asked(&asked)?;
    if let Some(ranges) = model.range_figures(&asked, facts, &mut out) {
        figures.extend(ranges?.into_iter().map(|told| told.figure));
    }
    if let Some(costs) = model.costs(&asked, facts) {
        figures.extend(costs?.1.into_iter().flat_map(|cost| [cost.figure, cost.on_way]));
    }
    Ok(figures)
}
