//! Times what a slider of the link asks for: each picture of each demo craft, drawn anew for another pose.
//!
//! The craft is proved once, as on the bench; then each picture is worked out as asked, its height a little other each round, so that nothing of the
//! round before can serve again. The median is told.

#[allow(dead_code)]
#[path = "../../proof/examples/shared/mod.rs"]
mod shared;

use drawing::chart::Ground;
use drawing::link::{LinkFault, LinkShown, budget, costs, held, lobes, patterns, plan_view, range};
use proof::link::LinkAsked;
use quantity::Metres;
use serde_json::json;
use shared::demo;
use std::error::Error;
use std::hint::black_box;
use std::time::Instant;

/// The median of this many rounds is told.
const ROUNDS: usize = 9;
/// How much higher each round is asked, in metres.
const HIGHER: f64 = 0.01;
/// How wide pictures are, in mm: as the bench asks for them.
const WIDTH: f64 = 160.0;

/// A picture of the link, and what makes it.
type Picture = (&'static str, fn(&LinkShown) -> Result<(), LinkFault>);

const PICTURES: [Picture; 7] = [
    ("budget", |shown| drawn(budget(shown)?.0)),
    ("range", |shown| drawn(range(shown)?.0)),
    ("held", |shown| drawn(held(shown)?)),
    ("lobes", |shown| drawn(lobes(shown)?)),
    ("pattern", |shown| patterns(shown)?.into_iter().try_for_each(|cut| drawn(cut.chart))),
    ("costs", |shown| {
        black_box(costs(shown)?);
        Ok(())
    }),
    ("station", |shown| {
        black_box(plan_view(shown, WIDTH, Ground::Paper)?);
        Ok(())
    }),
];

fn drawn(chart: drawing::chart::Chart) -> Result<(), LinkFault> {
    black_box((chart.picture(WIDTH, Ground::Paper)?, chart.told()?));
    Ok(())
}

fn main() -> Result<(), Box<dyn Error>> {
    let out = std::env::args().nth(1).ok_or("usage: time_panes OUT.json [CRAFT]")?;
    let only = std::env::args().nth(2);
    let mut timings = Vec::new();
    for craft in demo()? {
        if only.as_ref().is_some_and(|only| *only != craft.name) {
            continue;
        }
        let proved = proof::prove(&craft);
        let Some(planned) = proved.link.as_deref().and_then(LinkAsked::planned) else { continue };
        for (picture, draw) in PICTURES {
            let mut seconds = Vec::new();
            for round in 0..ROUNDS {
                let height = planned.height + Metres::new(HIGHER * round as f64);
                let asked = LinkAsked { height, ..planned.clone() };
                let shown = LinkShown::new(&craft.name, &proved, &asked)?;
                let begun = Instant::now();
                draw(&shown)?;
                seconds.push(begun.elapsed().as_secs_f64());
            }
            seconds.sort_by(f64::total_cmp);
            let scene = format!("{}, {picture}", craft.name);
            timings.push(
                json!({ "scene": scene, "what": "a picture of the link", "seconds": seconds[ROUNDS / 2] }),
            );
        }
    }
    std::fs::write(out, json!({ "timings": timings }).to_string())?;
    Ok(())
}
