//! What one thing more or less costs the link, as metres of its range.

use super::words::{decibels, metres, shown};
use super::{LinkFault, LinkShown, radio};
use crate::chart::Caption;
use proof::link::{Cost, Farthest};
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
    let by = apart(now, cost.range);
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

/// How much farther one range goes than another, as the difference of the two as they are shown, so that the sum on the page comes out.
fn apart(now: Farthest, then: Farthest) -> String {
    let more = shown(then.distance().get()) - shown(now.distance().get());
    if more.abs() < 0.5 {
        "no metre more".to_owned()
    } else if more > 0.0 {
        format!("{} more", metres(more))
    } else {
        format!("{} less", metres(-more))
    }
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
        Farthest::Nowhere => "it does not hold 99 % of the time even close by".to_owned(),
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
        .noting("Every range is as far as the picture holds 99 % of the time, all the way, on all antennas of the station together. Tree and wall always stand half way between the station and the craft.")
        .noting(super::POWER_NOTE);
    Ok((caption, rows.into_iter().map(|cost| cost.figure).collect()))
}

#[cfg(test)]
mod tests {
    use super::*;
    use quantity::Metres;

    #[test]
    fn the_difference_is_that_of_the_shown_numbers() {
        let to = |metres: f64| Farthest::To(Metres::new(metres));
        // 164.4 and 83.6 are shown as 164 and 84; 80.8 would be shown as 81.
        assert_eq!(apart(to(83.6), to(164.4)), "80 m more");
        assert_eq!(apart(to(8.26), to(7.94)), "no metre more");
        assert_eq!(apart(to(8.26), to(7.04)), "1.3 m less");
        assert_eq!(apart(Farthest::Nowhere, to(20.2)), "20 m more");
    }
}
