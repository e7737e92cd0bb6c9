//! What one thing more or less costs the link, as metres of its range.

use super::words::{decibels, metres};
use super::{LinkFault, LinkShown, radio};
use crate::chart::Caption;
use proof::link::{Cost, LOOKED};
use quantity::{Basis, Figure, FigureId, Metres, Quantity, Source, Term, Unit, Working};

/// What each thing costs, with a figure for each: metres that are lost.
pub fn costs(shown: &LinkShown) -> Result<(Caption, Vec<Figure>), LinkFault> {
    let lacks = || LinkFault::Lacks { craft: shown.craft.to_owned(), lacks: "a part".to_owned() };
    let (now, rows) = shown.model.costs(shown.asked).ok_or_else(lacks)?.map_err(radio)?;
    let far = |cost: &Cost| cost.range.map_or(0.0, Metres::get);
    let whole = far(&now);
    let worst = rows.iter().min_by(|a, b| far(a).total_cmp(&far(b)));
    let beyond = if whole >= LOOKED[1].get() { "beyond " } else { "" };
    let dearest = worst
        .filter(|cost| far(cost) < whole)
        .map_or(String::new(), |cost| format!(" Dearest is {}: {} are left.", cost.what, metres(far(cost))));
    let message = format!(
        "As it is, it holds all the way to {beyond}{}, {} up at {}.{dearest}",
        metres(whole),
        metres(shown.asked.height.get()),
        shown.asked.level.out
    );
    let caption = Caption::new(format!("{}: what things cost", shown.craft), message)
        .noting("Each is tried alone, all else as asked: distance, height, heading and level.")
        .noting(super::POWER_NOTE);
    let figures = rows.iter().map(|cost| figure(cost, whole)).collect();
    Ok((caption, figures))
}

fn figure(cost: &Cost, whole: f64) -> Figure {
    let left = cost.range.map_or(0.0, Metres::get);
    let line = |label: &str, value: f64, unit: Unit, origin: &str| Term {
        label: label.to_owned(),
        quantity: Quantity { value, unit },
        uncertainty: None,
        origin: origin.to_owned(),
    };
    let id: String = cost.what.chars().map(|c| if c.is_ascii_alphanumeric() { c } else { '_' }).collect();
    Figure {
        id: FigureId(format!("link.asked.cost_{id}").into()),
        label: format!(
            "{}: {} at the asked distance; it then holds to {}",
            cost.what,
            decibels(cost.change.get()),
            metres(left)
        ),
        quantity: Quantity { value: left - whole, unit: Unit::Metres },
        uncertainty: None,
        basis: Basis::DataSheet,
        working: Working {
            formula: "range with this − range as it is".to_owned(),
            terms: vec![
                line("holds all the way as it is", whole, Unit::Metres, "sampled along the flying line"),
                line("holds all the way with this", left, Unit::Metres, "the same, with this alone changed"),
                line(
                    "change of the margin at the asked distance",
                    cost.change.get(),
                    Unit::Db,
                    "the same sum, with this alone changed",
                ),
            ],
            source: Source::common_practice("the link computed anew with one thing changed"),
        },
    }
}
