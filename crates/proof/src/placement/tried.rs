//! The best placements by their margins, proved by every rule.

use super::judged::{Judge, Now, Tried, prove_together};
use super::search::{self, Found, Searched};
use super::{Doing, Progress};
use crate::Verdict;

/// Placements proved by every rule.
const PROVED: usize = 24;
/// The same where all of these break a rule that the search does not know.
const PROVED_MOST: usize = 16 * PROVED;
/// Placements proved where none can serve: what breaks less than now is looked for among these.
const PROVED_IN_VAIN: usize = 8;
/// Placements that are proved before it is asked again whether to go on.
const TOGETHER: usize = 4;

/// The best by their margins, proved by every rule; and whether it came to its end. Where each of them breaks
/// a rule that the search does not know, more are proved.
pub(crate) fn found_and_tried(
    judge: &Judge,
    now: &Now,
    wanted: usize,
    go_on: &dyn Fn(Progress) -> bool,
) -> (Searched, Vec<Tried>, bool) {
    let mut tried: Vec<Tried> = Vec::new();
    let mut keep = PROVED.max(wanted);
    let (mut from, mut done) = (0.0, 0);
    loop {
        let share = |done: f64, doing| Progress { share: from + (0.9 - from) * done, doing };
        let found =
            search::search(judge.puzzle, keep, &mut |done| go_on(share(done * 0.8, Doing::Searching)));
        let (mut whole, mut hopeless) = (found.whole, false);
        let in_vain = found.best.first().is_some_and(|best| judge.is_in_vain(best));
        let most = if in_vain { PROVED_IN_VAIN.max(wanted).min(found.best.len()) } else { found.best.len() };
        let (fresh, mut proved) = (&found.best[done.min(most)..most], 0);
        'proving: for together in fresh.chunks(TOGETHER) {
            let serves = now.verdict != Verdict::Broken || tried.iter().any(Tried::serves);
            let worth = |candidate: &Found| judge.is_worth_proving(candidate, now, serves);
            // Those after it have less room still.
            hopeless |= !together.iter().all(worth);
            let ready: Vec<_> = together
                .iter()
                .map(|candidate| worth(candidate).then(|| judge.ready(candidate)).flatten())
                .collect();
            let told = prove_together(&ready, judge.outlines);
            for ((candidate, ready), told) in together.iter().zip(ready).zip(told) {
                tried.extend(ready.map(|ready| judge.judged(candidate, now, ready, told)));
                proved += 1;
                // What is stopped while it proves keeps what it has proved.
                if !go_on(share(0.8 + 0.2 * f64::from(proved) / fresh.len() as f64, Doing::Proving)) {
                    whole = false;
                    break 'proving;
                }
            }
        }
        let serves = tried.iter().any(Tried::serves);
        let more = found.best.len() == keep && found.best.first().is_some_and(|best| best.margin >= 0);
        if !whole || serves || hopeless || !more || keep >= PROVED_MOST {
            return (found, tried, whole);
        }
        (from, done) = (0.5 * from + 0.45, found.best.len());
        keep *= 4;
    }
}
