//! The way out along the flying line, looked at once and asked many times.
//!
//! A level moves what is in hand by the same everywhere, so one way serves ranges at any number of levels, their ends of doubt, and what is gone on
//! the way. It is cut into stretches, each as long as a wide step (`way.rs`); a stretch is looked into closely when somebody asks about a margin
//! that its lobes may reach, and what was seen is kept. Between places straight in decibels; in a null all places of its search are kept, so that
//! its width is known to a hundredth of a lobe.

use super::farthest::{Blink, Farthest, WITHIN};
use super::way::{EXACT, FARTHEST, Looked, Way, begins};
use super::{Attitude, Link, LinkAsked};
use quantity::{Db, Dbm, Metres};
use radio::RadioFault;

/// The first step from nought in which a margin is looked for that a way leaves, in decibels; the most it may be either way; and how closely it is
/// told. Steps double: a margin far over what is left would have every lobe near by looked into for nothing.
const LEFT_FROM: f64 = 4.0;
const LEFT_MOST: f64 = 200.0;
const LEFT_TO: f64 = 0.004;
/// The range that a margin ends is asked so much over it.
const OVER: f64 = 0.01;
/// A break that ends nearer than this to the end of a range is the one that ends it, in metres.
const AT_END: f64 = 0.05;
/// Ends nearer together than this are one, in metres.
const ONE: f64 = 1e-9;

/// One stretch.
struct Stretch {
    /// What may be asked of it: no margin over this.
    under: Db,
    /// Whether it was looked into closely.
    close: bool,
    /// Its places from near to far, without its beginning, with its end.
    places: Vec<Looked>,
}

/// The way out at a height, with the craft turned one way.
pub struct Outward<'l> {
    way: Way<'l>,
    blink: Blink,
    /// The level it is looked at; others are told from it.
    level: Dbm,
    first: Looked,
    stretches: Vec<Stretch>,
}

/// Where on a way the picture is gone.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Gone {
    /// Where the way that was looked at begins and ends.
    pub way: [Metres; 2],
    /// Where it holds less than 99 % of the time, from near to far.
    pub breaks: Vec<[Metres; 2]>,
    /// Where nothing is in hand even in the mean.
    pub lost: Vec<[Metres; 2]>,
}

impl Gone {
    /// How long stretches are together.
    pub fn length(stretches: &[[Metres; 2]]) -> Metres {
        Metres::new(stretches.iter().map(|[from, to]| (*to - *from).get()).sum())
    }

    /// The longest of some stretches.
    pub fn longest(stretches: &[[Metres; 2]]) -> Option<[Metres; 2]> {
        stretches.iter().copied().max_by(|a, b| (a[1] - a[0]).get().total_cmp(&(b[1] - b[0]).get()))
    }

    /// The metres on which it holds.
    pub fn holds(&self) -> Metres {
        self.way[1] - self.way[0] - Self::length(&self.breaks)
    }
}

impl Link {
    /// The way out at a height, looked at from a level.
    pub fn outward(&self, height: Metres, attitude: Attitude, level: Dbm) -> Result<Outward<'_>, RadioFault> {
        let mut way = Way::new(self, height, attitude, level);
        let first = way.look(begins(height).get())?;
        Ok(Outward { way, blink: self.blink, level, first, stretches: Vec::new() })
    }

    /// The same as asked.
    pub fn outward_as_asked(&self, asked: &LinkAsked) -> Result<Outward<'_>, RadioFault> {
        self.outward(asked.height, asked.attitude(), asked.level.at_socket)
    }
}

impl Outward<'_> {
    /// How far it holds at each of some levels, least first, with a reserve left.
    pub fn ranges(&mut self, levels: &[Dbm], reserve: Db) -> Result<Vec<Farthest>, RadioFault> {
        let wanted: Vec<Db> = levels.iter().map(|level| reserve - (*level - self.level)).collect();
        self.searched(&wanted, FARTHEST.get())
    }

    /// How far it holds at a level.
    pub fn range(&mut self, level: Dbm) -> Result<Farthest, RadioFault> {
        Ok(self.ranges(&[level], Db::new(0.0))?.first().copied().unwrap_or(Farthest::Nowhere))
    }

    /// Where the picture is gone on the way to a distance at a level.
    pub fn gone(&mut self, to: Metres, level: Dbm) -> Result<Gone, RadioFault> {
        let limit = self.level - level;
        let (mut breaks, mut lost) = (Runs::default(), Runs::default());
        let end = to.get().max(self.first.d);
        let mut n = 0;
        let mut here = self.first;
        while here.d < end && self.closely(n, limit)? {
            self.closely(n + 1, limit)?;
            for place in &self.stretches[n].places {
                breaks.pass(here, *place, |looked| looked.depth.actual - limit, end);
                lost.pass(here, *place, |looked| looked.depth.margin - limit, end);
                here = *place;
            }
            n += 1;
        }
        let told = |runs: Runs| runs.0.into_iter().map(|run| run.map(Metres::new)).collect();
        Ok(Gone { way: [self.first.d, end].map(Metres::new), breaks: told(breaks), lost: told(lost) })
    }

    /// The breaks that are flown through before a range at a level ends: that with which it ends is none of them.
    pub fn flown_through(&mut self, range: Farthest, level: Dbm) -> Result<Gone, RadioFault> {
        let mut gone = self.gone(range.distance(), level)?;
        let end = gone.way[1];
        let before = |runs: &mut Vec<[Metres; 2]>| runs.retain(|[_, to]| (end - *to).get() > AT_END);
        before(&mut gone.breaks);
        before(&mut gone.lost);
        Ok(gone)
    }

    /// The margin that is left 99 % of the time on the way to a distance at a level, blinks flown through: with so much less it just holds so far. And
    /// the place where it would break with any more taken.
    pub fn left(&mut self, to: Metres, level: Dbm) -> Result<(Metres, Db), RadioFault> {
        let stop = to.get() + self.blink.within().get();
        let mut ended = |wanted: f64| -> Result<Farthest, RadioFault> {
            Ok(self.searched(&[Db::new(wanted)], stop)?.first().copied().unwrap_or(Farthest::Nowhere))
        };
        let up = ended(0.0)?.distance() >= to;
        let (mut known, mut step) = (0.0, if up { LEFT_FROM } else { -LEFT_FROM });
        let mut beyond = known + step;
        while f64::abs(beyond) < LEFT_MOST && (ended(beyond)?.distance() >= to) == up {
            step *= 2.0;
            (known, beyond) = (beyond, beyond + step);
        }
        let [mut holds, mut breaks] = if up { [known, beyond] } else { [beyond, known] };
        while breaks - holds > LEFT_TO {
            let middle = 0.5 * (holds + breaks);
            if ended(middle)?.distance() >= to { holds = middle } else { breaks = middle }
        }
        let at = ended(breaks + OVER)?.distance().max(Metres::new(self.first.d)).min(to);
        Ok((at, Db::new(holds) + (level - self.level)))
    }

    /// How far it holds with each of some margins wanted, most first, and looked no farther than so.
    fn searched(&mut self, wanted: &[Db], stop: f64) -> Result<Vec<Farthest>, RadioFault> {
        let stop = stop.min(FARTHEST.get());
        let blink = self.blink;
        let mut runs = vec![[Runs::default(), Runs::default()]; wanted.len()];
        let mut ends: Vec<Option<f64>> = vec![None; wanted.len()];
        let mut open = 0;
        let mut here = self.first;
        let mut n = 0;
        while let Some(under) = wanted.get(open).copied() {
            if here.d >= stop || !self.closely(n, under)? {
                break;
            }
            self.closely(n + 1, under)?;
            for place in &self.stretches[n].places {
                let lowest = here.depth.actual.get().min(place.depth.actual.get());
                let reached = wanted[open..].iter().take_while(|wanted| wanted.get() > lowest).count();
                for m in open..open + reached {
                    let [breaks, lost] = &mut runs[m];
                    let passed = breaks.pass(here, *place, |looked| looked.depth.actual - wanted[m], stop);
                    lost.pass(here, *place, |looked| looked.depth.margin - wanted[m], stop);
                    if passed && ends[m].is_none() {
                        let too_much = breaks.too_much(blink.gone()) || lost.too_much(blink.lost());
                        ends[m] = if too_much { breaks.0.last().map(|run| run[0]) } else { None };
                    }
                }
                while ends.get(open).is_some_and(Option::is_some) {
                    open += 1;
                }
                here = *place;
            }
            n += 1;
        }
        let first = self.first.d;
        Ok(ends
            .into_iter()
            .map(|end| match end {
                Some(end) if end <= first + ONE => Farthest::Nowhere,
                Some(end) => Farthest::To(Metres::new(end)),
                None => Farthest::Beyond(Metres::new(stop)),
            })
            .collect())
    }

    /// Looks into a stretch so closely that nothing under a margin is stepped over; false where the way has ended before it.
    fn closely(&mut self, n: usize, under: Db) -> Result<bool, RadioFault> {
        let from = match n.checked_sub(1) {
            None => self.first,
            Some(before) => match self.stretches.get(before).and_then(|before| before.places.last()) {
                Some(from) => *from,
                None => return Ok(false),
            },
        };
        if from.d >= FARTHEST.get() {
            return Ok(false);
        }
        let known = self.stretches.get(n).map_or(Db::new(f64::NEG_INFINITY), |known| known.under);
        if known >= under {
            return Ok(true);
        }
        self.way.exact_under(under);
        // What was not worked out to the last may now matter.
        let from = self.exact(from, known, under)?;
        match n.checked_sub(1).and_then(|before| self.stretches.get_mut(before)?.places.last_mut()) {
            Some(end) => *end = from,
            None => self.first = from,
        }
        let mut places = match self.stretches.get_mut(n) {
            Some(stretch) if stretch.close => std::mem::take(&mut stretch.places),
            _ => Vec::new(),
        };
        let mut close = !places.is_empty();
        if close {
            for place in &mut places {
                *place = self.exact(*place, known, under)?;
            }
        } else {
            (close, places) = self.way.stretch(from, FARTHEST.get(), under)?;
        }
        if self.stretches.len() == n {
            self.stretches.push(Stretch { under, close, places });
        } else {
            self.stretches[n] = Stretch { under, close, places };
        }
        if close {
            self.nulls(n, known, under)?;
        }
        Ok(true)
    }

    /// A place worked out to the last, if it was not and that matters now.
    fn exact(&mut self, place: Looked, known: Db, under: Db) -> Result<Looked, RadioFault> {
        let matters = place.depth.actual >= known + EXACT && place.depth.actual < under + EXACT;
        if matters { self.way.look(place.d) } else { Ok(place) }
    }

    /// Searches out the nulls of a stretch, and the one about its beginning, that matter under a margin and did not before.
    fn nulls(&mut self, n: usize, known: Db, under: Db) -> Result<(), RadioFault> {
        let mut about: Vec<Looked> = Vec::new();
        if let Some(before) = n.checked_sub(1).and_then(|before| self.stretches.get(before)) {
            about.extend(before.places.iter().rev().take(2).rev());
            if before.places.len() == 1 {
                let earlier = n.checked_sub(2).and_then(|earlier| self.stretches[earlier].places.last());
                about.insert(0, *earlier.unwrap_or(&self.first));
            }
        } else {
            about.push(self.first);
        }
        about.extend(&self.stretches[n].places);
        let mut found = Vec::new();
        for three in about.windows(3) {
            self.way.search_null([three[0], three[1], three[2]], [known, under], &mut found)?;
        }
        for place in found {
            self.put(n, place);
        }
        Ok(())
    }

    /// Puts a place where it belongs: into a stretch or those before it.
    fn put(&mut self, n: usize, place: Looked) {
        for which in (n.saturating_sub(2)..=n).rev() {
            let begins = match which.checked_sub(1) {
                None => self.first.d,
                Some(before) => {
                    self.stretches.get(before).and_then(|s| s.places.last()).map_or(self.first.d, |p| p.d)
                }
            };
            if place.d > begins {
                let places = &mut self.stretches[which].places;
                let at = places.partition_point(|known| known.d < place.d);
                if places.get(at).is_none_or(|known| known.d > place.d) {
                    places.insert(at, place);
                }
                return;
            }
        }
    }
}

/// Where something lies under nought, from near to far.
#[derive(Clone, Debug, Default)]
pub(super) struct Runs(pub Vec<[f64; 2]>);

impl Runs {
    /// Goes on from one place to the next, no farther than an end; whether anything of it lies under nought.
    pub fn pass(&mut self, from: Looked, to: Looked, over: impl Fn(Looked) -> Db, end: f64) -> bool {
        let [was, now] = [over(from).get(), over(to).get()];
        let crosses = from.d + (to.d - from.d) * (was / (was - now)).clamp(0.0, 1.0);
        let [start, stop] = match (was < 0.0, now < 0.0) {
            (false, false) => return false,
            (true, true) => [from.d, to.d],
            (true, false) => [from.d, crosses],
            (false, true) => [crosses, to.d],
        };
        let stop = stop.min(end);
        if stop <= start {
            return false;
        }
        match self.0.last_mut().filter(|last| start - last[1] < ONE) {
            Some(last) => last[1] = stop,
            None => self.0.push([start, stop]),
        }
        true
    }

    /// Whether with the last run more is gone than so much of any length of the way as long as breaks count together.
    fn too_much(&self, gone: Metres) -> bool {
        let Some(last) = self.0.last() else { return false };
        // What is gone of a length never shrinks while its end moves on within a run: no more can be left behind than comes.
        let from = last[1] - WITHIN.get();
        let about = self.0.iter().rev().take_while(|run| run[1] > from);
        about.map(|run| run[1] - run[0].max(from)).sum::<f64>() > gone.get() + ONE
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn ends(runs: &[[f64; 2]], gone: f64) -> Option<f64> {
        let mut known = Runs::default();
        runs.iter().find_map(|run| {
            known.0.push(*run);
            known.too_much(Metres::new(gone)).then_some(run[0])
        })
    }

    #[test]
    fn a_blink_is_flown_through_and_a_break_ends_where_it_begins() {
        assert_eq!(ends(&[[10.0, 12.0], [40.0, 42.0]], 2.4), None);
        assert_eq!(ends(&[[10.0, 12.0], [40.0, 43.0]], 2.4), Some(40.0));
    }

    #[test]
    fn of_blinks_that_come_close_upon_each_other_the_one_ends_it_that_is_too_much() {
        assert_eq!(ends(&[[10.0, 12.0], [13.0, 14.0]], 2.4), Some(13.0));
        assert_eq!(ends(&[[10.0, 12.0], [21.0, 22.5], [29.0, 31.0]], 2.4), Some(29.0));
        // The first is left behind before the last has come to its end.
        assert_eq!(ends(&[[10.0, 11.5], [19.0, 23.0]], 2.6), Some(19.0));
        assert_eq!(ends(&[[10.0, 11.5], [20.5, 23.0]], 2.6), None);
    }

    proptest! {
        #[test]
        fn who_allows_longer_breaks_never_has_the_shorter_range(
            steps in prop::collection::vec((0.01..8.0_f64, 0.01..4.0_f64), 1..20), gone in 0.5..3.0_f64, more in 0.0..2.0_f64,
        ) {
            let mut at = 0.0;
            let runs: Vec<[f64; 2]> = steps.iter().map(|(free, long)| {
                let from = at + free;
                at = from + long;
                [from, at]
            }).collect();
            let [short, long] = [gone, gone + more].map(|gone| ends(&runs, gone).unwrap_or(f64::INFINITY));
            prop_assert!(short <= long);
            // Every length of the way before the end has no more than is allowed, asked plainly.
            let end = short.min(at);
            for n in 0..400 {
                let to = end * f64::from(n) / 400.0;
                let in_it: f64 = runs.iter().map(|[a, b]| (b.min(to) - a.max(to - WITHIN.get())).max(0.0)).sum();
                prop_assert!(in_it <= gone + 1e-6);
            }
        }
    }
}
