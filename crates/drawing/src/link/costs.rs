//! What one thing more or less costs the link, as metres of its range.

use super::words::{decibels, metres};
use super::{LinkFault, LinkShown, radio};
use crate::chart::Caption;
use proof::link::{Cost, Farthest, KEPT_WORDS};
use quantity::Figure;

/// What a better pair of antennas is, and what it brings as asked, in metres and at the asked place: in words, and as a figure.
pub(super) fn better(shown: &LinkShown) -> Result<(String, Figure), LinkFault> {
    let lacks = || LinkFault::Lacks { craft: shown.craft.to_owned(), lacks: "a part".to_owned() };
    let found = shown.model.better(shown.asked, &shown.proved.ledger);
    let (now, cost) = found.ok_or_else(lacks)?.map_err(radio)?;
    let reaches = |range: Farthest| match range {
        Farthest::Nowhere => "nowhere".to_owned(),
        Farthest::To(far) => format!("to {}", metres(far.get())),
        Farthest::Beyond(far) => format!("past {}", metres(far.get())),
    };
    let metres_more = cost.figure.quantity.value;
    let by = if metres_more.abs() < 0.5 {
        "no metre more".to_owned()
    } else if metres_more > 0.0 {
        format!("{} more", metres(metres_more))
    } else {
        format!("{} less", metres(-metres_more))
    };
    let there = cost.change.get();
    let words = format!(
        "With {}, it would hold {} at {}, where it now holds {}: {by}; at {} there would be {} {} in hand.",
        cost.what,
        reaches(cost.range),
        shown.asked.level.out,
        reaches(now),
        metres(shown.asked.distance.get()),
        decibels(there.abs()),
        if there < 0.0 { "less" } else { "more" }
    );
    Ok((words, cost.figure))
}

/// What each thing costs or brings, with a figure for each: metres of range, below nought lost. They are the link's own figures, as asked.
pub fn costs(shown: &LinkShown) -> Result<(Caption, Vec<Figure>), LinkFault> {
    let lacks = || LinkFault::Lacks { craft: shown.craft.to_owned(), lacks: "a part".to_owned() };
    let costs = shown.model.costs(shown.asked, &shown.proved.ledger);
    let (now, rows) = costs.ok_or_else(lacks)?.map_err(radio)?;
    let change = |cost: &Cost| cost.figure.quantity.value;
    let told = |cost: &Cost| match change(cost) {
        lost if lost < 0.0 => format!("{} lost", metres(-lost)),
        gained => format!("{} gained", metres(gained)),
    };
    let by_change = |a: &&Cost, b: &&Cost| change(a).total_cmp(&change(b));
    let dearest = rows.iter().min_by(by_change).filter(|cost| change(cost) <= -0.5);
    let dearest = dearest.map_or(String::new(), |cost| format!(" Dearest is {}: {}.", cost.what, told(cost)));
    let best = rows.iter().max_by(by_change).filter(|cost| change(cost) >= 0.5);
    let best =
        best.map_or(String::new(), |cost| format!(" Most is brought by {}: {}.", cost.what, told(cost)));
    let holds = match now {
        Farthest::Nowhere => "it does not hold even close by".to_owned(),
        Farthest::To(far) => format!("it holds all the way to {}, 99 % of the time", metres(far.get())),
        Farthest::Beyond(far) => format!("it holds all the way past {}, 99 % of the time", metres(far.get())),
    };
    let message = format!(
        "As it is, {holds}, {} up at {}.{dearest}{best}",
        metres(shown.asked.height.get()),
        shown.asked.level.out
    );
    let caption = Caption::new(format!("{}: what things cost", shown.craft), message)
        .noting("Each is tried alone, all else as asked: distance, height, heading and level.")
        .noting(format!("In every range so much is {KEPT_WORDS}."))
        .noting(super::POWER_NOTE);
    Ok((caption, rows.into_iter().map(|cost| cost.figure).collect()))
}
