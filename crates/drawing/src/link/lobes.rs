//! The margin over distance and height: the lobes that the ground makes.

use super::words::{decibels, metres};
use super::{EXPOSURE_NOTE, LinkFault, LinkShown, MODEL_NOTE, radio};
use crate::chart::{Across, Axis, Caption, Chart, FieldChart, Limit, Mark};
use quantity::{Db, Metres, Unit};

/// How far it goes: so many times as far as asked, and at least so far, in metres.
const FAR: (f64, f64) = (2.0, 60.0);
/// Margins beyond this are all alike to a pilot: a chart with them has no room for those that matter.
const CAPPED: f64 = 40.0;
const STEP: f64 = 5.0;

/// Each place as the mean power of itself and, by half as much, of those above and below it: between two samples of a lobe a null would be as deep as it
/// happens to lie to them, and look like beads.
fn smoothed(field: &[Vec<Db>]) -> Vec<Db> {
    let power = |row: usize, column: usize| field[row][column].ratio();
    let mut values = Vec::new();
    for row in 0..field.len() {
        let [above, below] = [(row + 1).min(field.len() - 1), row.saturating_sub(1)];
        values.extend((0..field[row].len()).map(|column| {
            let mean = 0.5 * power(row, column) + 0.25 * (power(above, column) + power(below, column));
            Db::new(10.0 * mean.max(f64::MIN_POSITIVE).log10())
        }));
    }
    values
}

/// The margin over distance and height.
pub fn lobes(shown: &LinkShown) -> Result<Chart, LinkFault> {
    let asked = shown.asked;
    let far = (asked.distance.get() * FAR.0).max(FAR.1);
    let top = (asked.height.get() * 2.0).clamp(6.0, 200.0);
    let [distances, heights] = shown.link.lobe_places(Metres::new(far), Metres::new(top));
    let [columns, rows] =
        [&distances, &heights].map(|all| all.iter().map(|place| place.get()).collect::<Vec<f64>>());
    let (near, low) = (columns.first().copied().unwrap_or(far), rows.first().copied().unwrap_or(0.0));
    let field =
        shown.link.lobes(&distances, &heights, asked.attitude(), asked.level.at_socket).map_err(radio)?;
    let values: Vec<f64> =
        smoothed(&field).into_iter().map(|margin| margin.get().clamp(-CAPPED, CAPPED)).collect();
    let [least, most] =
        values.iter().fold([f64::INFINITY, f64::NEG_INFINITY], |[low, high], v| [low.min(*v), high.max(*v)]);
    let first = (least / STEP).ceil() as i32;
    let last = (most / STEP).floor() as i32;
    let levels: Vec<f64> = (first..=last.max(first)).map(|n| f64::from(n) * STEP).collect();
    let here = shown
        .link
        .margin(asked.place().map_err(radio)?, asked.attitude(), asked.level.at_socket)
        .map_err(radio)?;
    let message = format!(
        "{} in hand at {}, {} up. Low over the ground the straight ray and the one off the ground take each other away; a little height brings more than power.",
        decibels(here.get()),
        metres(asked.distance.get()),
        metres(asked.height.get())
    );
    let caption = Caption::new(format!("{}: margin by distance and height", shown.craft), message)
        .noting(format!(
            "At {}, turned as asked; from {} on, for nearer the lobes lie closer together than can be drawn. Each place is a mean over a fifth of a lobe in height; beyond ±40 dB all counts alike. {MODEL_NOTE}",
            asked.level.out,
            metres(near)
        ))
        .noting(EXPOSURE_NOTE);
    Ok(FieldChart {
        caption,
        across: Axis::even("distance", Unit::Metres),
        up: Axis::even("height", Unit::Metres),
        label: "margin".to_owned(),
        unit: Unit::Db,
        columns,
        rows,
        values,
        levels,
        limit: (least < 0.0 && most > 0.0).then(|| Limit {
            lies: Across::Level,
            at: 0.0,
            words: "picture lost below".to_owned(),
        }),
        // What is asked nearer than the picture begins is told in words alone.
        marks: (asked.distance.get() >= near)
            .then(|| Mark {
                at: [asked.distance.get().min(far), asked.height.get().clamp(low, top)],
                words: "asked".to_owned(),
            })
            .into_iter()
            .collect(),
    }
    .into())
}
