//! What one thing more or less costs the link, as metres of its range and as metres of the way on which it holds.

use super::words::{decibels, metres, shown};
use super::{LinkFault, LinkShown, lacks, radio};
use crate::chart::Caption;
use proof::link::{Cost, Farthest, Gone};
use quantity::Figure;

pub(super) fn reaches(range: Farthest) -> String {
    match range {
        Farthest::Nowhere => "nowhere".to_owned(),
        Farthest::To(far) => format!("to {}", metres(far.get())),
        Farthest::Beyond(far) => format!("past {}", metres(far.get())),
    }
}

/// How much of a way holds, in words: `70 m hold and 43 m break, 6.2 m of them lost`.
pub(super) fn way_words(gone: &Gone) -> String {
    let breaks = Gone::length(&gone.breaks).get();
    if breaks == 0.0 {
        return "all holds".to_owned();
    }
    let lost = Gone::length(&gone.lost).get();
    let lost = if lost >= 0.05 { format!(", {} of them lost", metres(lost)) } else { String::new() };
    format!("{} hold and {} break{lost}", metres(gone.holds().get()), metres(breaks.max(0.1)))
}

/// What a better pair of antennas is, and what it brings as asked, in metres and at the asked place: in words, and as figures.
pub(super) fn better(shown: &LinkShown) -> Result<(String, [Figure; 2]), LinkFault> {
    let found = shown.model.better(shown.asked, &shown.proved.ledger);
    let (now, cost) = found.ok_or_else(|| lacks(shown))?.map_err(radio)?;
    let by = apart(now.range.distance().get(), cost.range.distance().get());
    let there = cost.change.get();
    let asked = metres(shown.asked.distance.get());
    let [holds, would_hold] = [&now.gone, &cost.gone].map(|gone| metres(gone.holds().get()));
    let range = if reaches(cost.range) == reaches(now.range) {
        format!("it would hold {} at {}, as it does now", reaches(now.range), shown.asked.level.out)
    } else {
        let (then, now) = (reaches(cost.range), reaches(now.range));
        format!("it would hold {then} at {}, where it now holds {now}: {by}", shown.asked.level.out)
    };
    let way = if holds == would_hold {
        format!("of the way to {asked} {holds} hold with either")
    } else {
        let by = apart(now.gone.holds().get(), cost.gone.holds().get());
        format!("of the way to {asked} it would hold on {would_hold} instead of {holds}: {by}")
    };
    let words = format!(
        "With {}, {range}; {way}; at {asked} there would be {} {} in hand.",
        cost.what,
        decibels(there.abs()),
        if there < 0.0 { "less" } else { "more" }
    );
    Ok((words, [cost.figure, cost.on_way]))
}

/// How much one length is more than another, as the difference of the two as they are shown, so that the sum on the page comes out.
fn apart(now: f64, then: f64) -> String {
    let more = shown(then) - shown(now);
    if more.abs() < 0.5 {
        "no metre more".to_owned()
    } else if more > 0.0 {
        format!("{} more", metres(more))
    } else {
        format!("{} less", metres(-more))
    }
}

/// What each thing costs or brings, with two figures for each: metres of range and metres of the way that hold, below nought lost. They are the link's
/// own figures, as asked.
pub fn costs(shown: &LinkShown) -> Result<(Caption, Vec<Figure>), LinkFault> {
    let costs = shown.model.costs(shown.asked, &shown.proved.ledger);
    let (now, rows) = costs.ok_or_else(|| lacks(shown))?.map_err(radio)?;
    let change = |cost: &Cost| [cost.figure.quantity.value, cost.on_way.quantity.value];
    let told = |cost: &Cost| {
        let [range, way] = change(cost).map(|metres_more| match metres_more {
            none if none.abs() < 0.05 => "none".to_owned(),
            lost if lost < 0.0 => format!("{} lost", metres(-lost)),
            gained => format!("{} gained", metres(gained)),
        });
        format!("of the range {range}, of that way {way}")
    };
    // What breaks on the way counts for as much as what the range loses.
    let sum = |cost: &Cost| change(cost).iter().sum::<f64>();
    let by_change = |a: &&Cost, b: &&Cost| sum(a).total_cmp(&sum(b));
    let dearest = rows.iter().min_by(by_change).filter(|cost| sum(cost) <= -0.5);
    let dearest = dearest.map_or(String::new(), |cost| format!(" Dearest is {}: {}.", cost.what, told(cost)));
    let best = rows.iter().max_by(by_change).filter(|cost| sum(cost) >= 0.5);
    let best =
        best.map_or(String::new(), |cost| format!(" Most is brought by {}: {}.", cost.what, told(cost)));
    let holds = match now.range {
        Farthest::Nowhere => "it does not hold 99 % of the time even close by".to_owned(),
        range => format!("it holds {}, 99 % of the time, short breaks apart", reaches(range)),
    };
    let message = format!(
        "As it is, {holds}, {} up at {}; of the way to {} {}.{dearest}{best}",
        metres(shown.asked.height.get()),
        shown.asked.level.out,
        metres(shown.asked.distance.get()),
        way_words(&now.gone)
    );
    let caption = Caption::new(format!("{}: what things cost", shown.craft), message)
        .noting("Each is tried alone, all else as asked: distance, height, heading and level.")
        .noting(format!(
            "A range is as far as the picture holds 99 % of the time on all antennas of the station together, short breaks apart: {}. \
             The metres of the way count every break. Tree and wall always stand half way between the station and the craft.",
            shown.link.blink.words()
        ))
        .noting(super::POWER_NOTE);
    Ok((caption, rows.into_iter().flat_map(|cost| [cost.figure, cost.on_way]).collect()))
}

#[cfg(test)]
mod tests {
    use super::*;
    #[test]
    fn the_difference_is_that_of_the_shown_numbers() {
        // 164.4 and 83.6 are shown as 164 and 84; 80.8 would be shown as 81.
        assert_eq!(apart(83.6, 164.4), "80 m more");
        assert_eq!(apart(8.26, 7.94), "no metre more");
        assert_eq!(apart(8.26, 7.04), "1.3 m less");
        assert_eq!(apart(0.0, 20.2), "20 m more");
    }
}
