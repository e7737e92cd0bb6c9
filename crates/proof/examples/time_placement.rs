//! Times the search for the best placement of every demo craft, beside trying all, for the bench.
//!
//! Timed here: the whole question as command and server ask it, with every alternative proved by all rules and listed; and
//! the search alone beside trying every placement one by one, each with geometry of its own that nothing was
//! asked of before. Both must agree on the best, or nothing is written. What has more placements than are tried in a
//! bench has no second figure.

#[allow(dead_code)]
mod shared;

use proof::placement::{BEST_MAX, PlacementQuestion, by_search_and_by_trying_all, placements, searched_by};
use serde_json::{Value, json};
use shared::demo;
use std::error::Error;
use std::hint::black_box;
use std::sync::Arc;
use std::time::Instant;

/// The median of this many rounds is told.
const ROUNDS: usize = 5;
/// Placements tried one by one at most.
const TRIED_MAX: f64 = 1e5;
/// The best that are held against each other.
const KEPT: usize = 24;

fn main() -> Result<(), Box<dyn Error>> {
    let out = std::env::args().nth(1).ok_or("usage: time_placement OUT.json [CRAFT]")?;
    let only = std::env::args().nth(2);
    let (mut timings, mut trying_all) = (Vec::new(), Vec::new());
    for craft in demo()?.into_iter().filter(|craft| only.as_ref().is_none_or(|name| &craft.name == name)) {
        let question = PlacementQuestion { best: BEST_MAX, ..PlacementQuestion::default() };
        let ask = || placements(&craft, &question, &Arc::default(), &|_| true);
        let found = ask()?;
        // What is searched when nobody names anything; nothing where nothing has a choice.
        let choices = searched_by(&craft, &found.searched, KEPT, false)?;
        let scene = format!("{}: {} units, {choices} placements", craft.name, found.searched.len());
        let timing = |what: &str, seconds: f64| json!({ "scene": scene, "what": what, "seconds": seconds });
        timings.push(timing("best placements proved", median(ROUNDS, || black_box(ask()).map(drop))?));
        let search = |all| searched_by(&craft, &found.searched, KEPT, all).map(drop);
        let what = if choices <= TRIED_MAX { "search for the best" } else { "search, too many to try all" };
        timings.push(timing(what, median(ROUNDS, || search(false))?));
        if choices <= TRIED_MAX {
            let [fast, slow] = by_search_and_by_trying_all(&craft, &found.searched, KEPT)?;
            if fast != slow {
                return Err(format!("{}: the search and trying all disagree on the best", craft.name).into());
            }
            trying_all.push(timing("search for the best", median(1, || search(true))?));
        }
    }
    let written: Value = json!({ "timings": timings, "trying_all": { "timings": trying_all } });
    std::fs::write(out, written.to_string())?;
    Ok(())
}

fn median<E>(rounds: usize, timed: impl Fn() -> Result<(), E>) -> Result<f64, E> {
    let mut seconds = Vec::with_capacity(rounds);
    for _ in 0..rounds {
        let start = Instant::now();
        timed()?;
        seconds.push(start.elapsed().as_secs_f64());
    }
    seconds.sort_by(f64::total_cmp);
    Ok(seconds[rounds / 2])
}
