//! The best placements proved by every rule, and put in order.
//!
//! Better than the craft as it stands is a placement that breaks nothing that was not broken, makes nothing that is broken worse, and has
//! fewer broken findings, or as many and stands better by the rules of the dry fit or by its worst margin. Told are those; and after them such
//! as break less in all but something that was whole, which is said. Order: the better ones first; then fewest broken findings in all; then
//! what the rules of the dry fit say of what was searched and of what carries it, adapter and screws; then the worst margin, how sure
//! that is, fewer changes.
//!
//! Of these only such are told as truly differ from each one before them. Two placements differ truly if some unit is on
//! another seat, turned otherwise, on its other side, or on spacers that must be bought instead of some at hand; unless
//! the one is the other's mirror image with the same margin, or makes all changes of the other and further ones (moves
//! another unit, turns, exchanges spacers) for neither more room nor more certainty.

use super::body::{Pair, micrometres};
use super::counts::Counts;
use super::mended::{Mended, mended};
use super::puzzle::Puzzle;
use super::search::{Choices, Found, Margin};
use super::{Placement, edits, swap, told};
use crate::engine::prove_tried;
use crate::numbers::capital;
use crate::numbers::listed;
use crate::subject::{WantingPlate, wanting_plates};
use crate::{Finding, OutlineStore, Proof, Proved, Verdict};
use craft::schema::PartKind;
use craft::{Anchor, Craft, Edit, Place, PlaceId, apply};
use quantity::{Millimetres, Probability};
use std::cmp::Reverse;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::sync::{Arc, Mutex, PoisonError};

/// How a craft stands with a placement.
#[derive(Clone, Debug, PartialEq)]
pub struct Standing {
    /// The worst margin of what was searched; 2 mm stands for that and more.
    pub margin: Option<Millimetres>,
    /// What decides: the two that stand worst.
    pub between: Option<[String; 2]>,
    /// The worst verdict of the dry fit on what was searched.
    pub verdict: Verdict,
    /// The least certainty among these findings.
    pub certainty: Option<Probability>,
    /// All findings by verdict.
    pub counts: Counts,
    /// Plates the frame is without, each with why and what to do: what they would be too near to nobody can say, and what is
    /// not broken without them is *unknown*.
    pub lacks: Vec<String>,
}

/// A margin this short stays short though edits are written with hundredths of a millimetre.
const SURELY_SHORT: Margin = -20;

/// Proves candidates.
pub(crate) struct Judge<'j, 'p, 'a> {
    pub puzzle: &'j Puzzle<'p, 'a>,
    pub proved: &'j Proved,
    pub outlines: &'j Arc<OutlineStore>,
}

/// The craft as it stands.
pub(crate) struct Now {
    pub verdict: Verdict,
    pub margin: Margin,
    pair: Option<Pair>,
    certainty: Option<Probability>,
    counts: Counts,
    lacks: Vec<String>,
}

/// A candidate with what the rules say of it.
pub(crate) struct Tried {
    found: Found,
    placement: Placement,
    after: Craft,
    findings: Vec<Finding>,
}

/// A candidate ready to be proved: what makes it, and the craft it makes.
pub(crate) struct Ready {
    edits: Vec<Edit>,
    after: Craft,
}

/// Proves several, two at a time; each in its place. Which is done first makes no difference to any.
pub(crate) fn prove_together(ready: &[Option<Ready>], outlines: &Arc<OutlineStore>) -> Vec<Option<Proved>> {
    let next = AtomicUsize::new(0);
    let done: Mutex<Vec<Option<Proved>>> = Mutex::new(ready.iter().map(|_| None).collect());
    let work = || {
        while let Some((number, ready)) = {
            let number = next.fetch_add(1, Ordering::Relaxed);
            ready.get(number).map(|ready| (number, ready))
        } {
            let proved = ready.as_ref().map(|ready| prove_tried(&ready.after, outlines));
            done.lock().unwrap_or_else(PoisonError::into_inner)[number] = proved;
        }
    };
    std::thread::scope(|threads| {
        let helper = threads.spawn(work);
        work();
        // What a thread that failed leaves undone is proved when it is judged.
        helper.join().ok();
    });
    done.into_inner().unwrap_or_else(PoisonError::into_inner)
}

impl Tried {
    /// Whether it breaks nothing in the dry fit of what was searched.
    pub fn serves(&self) -> bool {
        self.placement.then.verdict != Verdict::Broken
    }
}

impl Now {
    pub fn standing(&self) -> Standing {
        let lacks = self.lacks.clone();
        standing((self.margin, self.pair.as_ref()), self.verdict, self.certainty, self.counts, lacks)
    }
}

fn standing(
    (margin, pair): (Margin, Option<&Pair>),
    verdict: Verdict,
    certainty: Option<Probability>,
    counts: Counts,
    lacks: Vec<String>,
) -> Standing {
    let margin = Some(Millimetres::new(f64::from(margin) / 1000.0));
    let between = pair.map(|pair| pair.names.clone());
    Standing { margin, between, verdict, certainty, counts, lacks }
}

impl Standing {
    /// The worst margin in words: `0.6 mm to spare`, `3.2 mm too little`.
    pub fn margin_words(&self) -> Option<String> {
        self.margin.map(|margin| told::spare(micrometres(margin.get())))
    }
}

impl Judge<'_, '_, '_> {
    /// The craft as it stands.
    pub fn now(&self) -> Now {
        let as_it_stands = self.puzzle.as_it_stands();
        let tightest = as_it_stands.as_ref().map(|found| self.puzzle.tightest(found));
        let (verdict, certainty) = self.of_searched(self.puzzle.proof.craft, &self.proved.findings);
        Now {
            verdict,
            margin: tightest.as_ref().map_or(self.puzzle.most(), |tightest| tightest.margin),
            pair: tightest.and_then(|tightest| tightest.pair),
            certainty,
            counts: Counts::of(&self.proved.findings),
            lacks: lacks(self.puzzle.proof),
        }
    }

    /// A candidate ready to be proved; `None` for the craft as it stands, and where the edits cannot be made.
    pub fn ready(&self, found: &Found) -> Option<Ready> {
        let edits = edits::edits(self.puzzle, found);
        if edits.is_empty() {
            return None;
        }
        let step = Edit::Together { what: "another placement".to_owned(), edits };
        let after = apply(self.puzzle.proof.craft, &step).ok()?;
        let Edit::Together { edits, .. } = step else { return None };
        Some(Ready { edits, after })
    }

    /// Whether a candidate can come to be told, before it is proved; `serves` says that something breaks nothing already.
    /// Of what is short the rules say broken, and then it is not told. The most the rules can say of any other is that
    /// nothing is broken and all is sure: if the craft as it stands is as good as that, it is not told either.
    pub fn is_worth_proving(&self, found: &Found, now: &Now, serves: bool) -> bool {
        if serves && self.is_in_vain(found) {
            return false;
        }
        let at_best = (Reverse(0), Verdict::Sound, found.margin, 100);
        at_best > (Reverse(now.counts.broken), now.verdict, now.margin, sure(now.certainty))
    }

    /// Whether the holes of all that was placed meet those of their seats.
    fn is_met(&self, found: &Found) -> bool {
        self.puzzle.fixed(found).into_iter().all(|(unit, choice)| self.puzzle.stand(unit, choice).met)
    }

    /// Whether the best of all is surely short: then none can serve, and most that is told is what breaks less than now.
    pub fn is_in_vain(&self, best: &Found) -> bool {
        best.margin < SURELY_SHORT && self.is_met(best)
    }

    /// A candidate proved by every rule, and what is said of it.
    pub fn judged(&self, found: &Found, now: &Now, ready: Ready, proved: Option<Proved>) -> Tried {
        let Ready { mut edits, mut after } = ready;
        let mut proved = proved.unwrap_or_else(|| prove_tried(&after, self.outlines));
        let mut steps = told::steps(self.puzzle, found);
        // Screws that the new heights make too long or too short, where one at hand serves.
        for swap in swap::swaps(&after, &new_findings(&proved, self.proved), self.outlines) {
            if let Some(better) = made(&after, &swap.edits) {
                steps.push(told::lower(&swap.step));
                edits.extend(swap.edits);
                (after, proved) = (better, Proved::default());
            }
        }
        if proved.findings.is_empty() {
            proved = prove_tried(&after, self.outlines);
        }
        let tightest = self.puzzle.tightest(found);
        let (verdict, certainty) = self.of_searched(&after, &proved.findings);
        let counts = Counts::of(&proved.findings);
        let of_it = now.pair.as_ref().map_or(self.puzzle.most(), |pair| self.puzzle.of_pair(found, pair));
        let then = (tightest.margin, tightest.pair.as_ref());
        let words = told::Words::of(self.puzzle, found);
        let why = words.why((now.margin, now.pair.as_ref()), of_it, then);
        let spoilt = spoilt(&proved.findings, &self.proved.findings);
        let better = spoilt.is_none()
            && (Reverse(counts.broken), verdict, tightest.margin, sure(certainty))
                > (Reverse(now.counts.broken), now.verdict, now.margin, sure(now.certainty));
        let spoils = spoilt.map(|(finding, was_broken)| {
            let does = if was_broken { "makes worse what is broken" } else { "breaks what was whole" };
            format!("Not better in every way: it {does}. {}", finding.message)
        });
        let placement = Placement {
            edits,
            steps: steps.iter().map(|step| capital(step)).collect(),
            reason: format!("{}: {why}", capital(&listed(&steps))),
            why,
            notes: spoils.into_iter().chain(told::notes(self.puzzle, found)).collect(),
            then: standing(then, verdict, certainty, counts, now.lacks.clone()),
            swaps: Vec::new(),
            then_swapped: counts,
            mended: Mended::default(),
            changes: found.changes,
            is_better: better,
        };
        Tried { found: found.clone(), placement, after, findings: proved.findings }
    }

    /// The placement of a candidate, with the parts at hand that mend what a rule still names then.
    pub fn swapped(&self, tried: Tried) -> Placement {
        let mut placement = tried.placement;
        let swaps = swap::swaps(&tried.after, &tried.findings, self.outlines);
        let edits: Vec<Edit> = swaps.iter().flat_map(|swap| swap.edits.clone()).collect();
        if let Some(craft) = made(&tried.after, &edits).filter(|_| !edits.is_empty()) {
            placement.then_swapped = Counts::of(&prove_tried(&craft, self.outlines).findings);
            placement.swaps = swaps;
        }
        placement.mended = mended(&tried.after, &placement.swaps, None, self.outlines);
        placement
    }

    /// What the rules of the dry fit say of what was searched: the worst verdict, the least certainty.
    fn of_searched(&self, craft: &Craft, findings: &[Finding]) -> (Verdict, Option<Probability>) {
        let places: Vec<&PlaceId> = self
            .puzzle
            .movers
            .iter()
            .flat_map(|mover| mover.unit.places())
            .map(|number| &self.puzzle.proof.craft.places[number].id)
            .collect();
        of_places(self.puzzle.proof, findings, &with_carriers(craft, places))
    }
}

/// These places with what carries them and is built with them: the adapter plates they stand on, spacers, soft mounts and screws there.
pub(super) fn with_carriers<'c>(craft: &'c Craft, places: Vec<&'c PlaceId>) -> Vec<&'c PlaceId> {
    const CARRIERS: [PartKind; 4] =
        [PartKind::Adapter, PartKind::Spacer, PartKind::SoftMount, PartKind::Screw];
    let carries = |place: &Place| craft.part(&place.part).is_some_and(|part| CARRIERS.contains(&part.kind));
    let mut all = places;
    let mut next = 0;
    while let Some(place) = all.get(next).and_then(|id| craft.place(id)) {
        next += 1;
        let under = place.on.as_ref().and_then(Anchor::place);
        let belongs = |other: &&Place| {
            carries(other)
                && (Some(&other.id) == under
                    || other.on.as_ref().and_then(Anchor::place) == Some(&place.id)
                    || (place.on.is_some() && other.on == place.on && is_adapter(craft, place)))
        };
        let more: Vec<&PlaceId> = craft.places.iter().filter(belongs).map(|other| &other.id).collect();
        all.extend(more.into_iter().filter(|id| !all.contains(id)).collect::<Vec<_>>());
    }
    all
}

fn is_adapter(craft: &Craft, place: &Place) -> bool {
    craft.part(&place.part).is_some_and(|part| part.kind == PartKind::Adapter)
}

/// The worst of what a change breaks that was whole, or makes worse where it was broken; and whether it was broken.
fn spoilt<'f>(after: &'f [Finding], before: &[Finding]) -> Option<(&'f Finding, bool)> {
    let margin = |finding: &Finding| finding.margin.as_ref().map_or(0.0, |margin| margin.quantity.value);
    let broken = |finding: &&Finding| finding.verdict == Verdict::Broken;
    let is_spoilt = |finding: &'f Finding| {
        let same = |old: &&Finding| {
            old.rule == finding.rule && (old.subject == finding.subject || old.places == finding.places)
        };
        // A rule that told several things of the same is taken at its worst.
        let was = before.iter().filter(broken).filter(same).map(margin).reduce(f64::min);
        was.is_none_or(|was| margin(finding) < was - WORSE).then_some((finding, was.is_some()))
    };
    let spoilt = after.iter().filter(broken).filter_map(is_spoilt);
    spoilt.min_by(|(a, _), (b, _)| margin(a).total_cmp(&margin(b)))
}

/// A margin that falls by less stays as it was: edits are written with hundredths.
const WORSE: f64 = 0.02;

/// The worst verdict of the dry fit on these places, and the least certainty.
fn of_places(proof: &Proof, findings: &[Finding], places: &[&PlaceId]) -> (Verdict, Option<Probability>) {
    let mine = |finding: &&Finding| {
        finding.rule.starts_with("fit.") && finding.places.iter().any(|place| places.contains(&place))
    };
    let verdict = findings.iter().filter(mine).map(|finding| finding.verdict).min();
    let certainty = findings.iter().filter(mine).filter_map(|finding| finding.certainty);
    let least = certainty.min_by(|a, b| a.get().total_cmp(&b.get()));
    let verdict = verdict.unwrap_or(Verdict::Unknown);
    (if lacks(proof).is_empty() { verdict } else { verdict.min(Verdict::Unknown) }, least)
}

/// What the frame is without, in words.
fn lacks(proof: &Proof) -> Vec<String> {
    let told = |one: WantingPlate| {
        format!(
            "{}: {}. What it would be too near to nobody can say. {}",
            capital(&one.what),
            one.why,
            one.mend
        )
    };
    wanting_plates(proof).into_iter().map(told).collect()
}

/// How the units of these places stand, where none of them can stand otherwise.
pub(crate) fn as_it_stands(proof: &Proof, findings: &[Finding], places: &[&PlaceId]) -> Standing {
    let (verdict, certainty) = of_places(proof, findings, &with_carriers(proof.craft, places.to_vec()));
    let (counts, lacks) = (Counts::of(findings), lacks(proof));
    Standing { margin: None, between: None, verdict, certainty, counts, lacks }
}

/// The craft after edits; `None` if one of them is refused.
pub(crate) fn made(craft: &Craft, edits: &[Edit]) -> Option<Craft> {
    edits.iter().try_fold(craft.clone(), |craft, edit| apply(&craft, edit).ok())
}

/// Findings that were not there before.
fn new_findings(after: &Proved, before: &Proved) -> Vec<Finding> {
    let was = |finding: &Finding| {
        before.findings.iter().any(|old| {
            old.rule == finding.rule && old.verdict == finding.verdict && old.message == finding.message
        })
    };
    after.findings.iter().filter(|finding| !was(finding)).cloned().collect()
}

/// The best that truly differ and are better than now, best first.
pub(crate) fn ranked(puzzle: &Puzzle, mut tried: Vec<Tried>, now: &Now, wanted: usize) -> Vec<Tried> {
    tried.sort_by_key(|one| {
        let then = &one.placement.then;
        let order = (Reverse(one.found.margin), Reverse(sure(then.certainty)), one.placement.changes);
        let broken = (!one.placement.is_better, then.counts.broken);
        (broken, Reverse(then.verdict), order, then.counts.tight, left_first(puzzle, &one.found))
    });
    let some_serve = now.verdict != Verdict::Broken || tried.iter().any(Tried::serves);
    let mut kept: Vec<Tried> = Vec::new();
    for one in tried {
        let breaks_less = one.placement.then.counts.broken < now.counts.broken;
        let worse = !(one.placement.is_better || breaks_less) || (some_serve && !one.serves());
        let known = |known: &Tried| {
            let surer = sure(one.placement.then.certainty) > sure(known.placement.then.certainty);
            mirrors(puzzle, &known.found, &one.found)
                || (!surer && goes_beyond(puzzle, &known.found, &one.found))
        };
        if !worse && !kept.iter().any(known) {
            kept.push(one);
        }
        if kept.len() == wanted {
            break;
        }
    }
    kept
}

/// A certainty in whole per cent.
fn sure(certainty: Option<Probability>) -> i64 {
    certainty.map_or(100, |sure| (sure.get() * 100.0).round() as i64)
}

/// Of a left and a right turn the left one comes first, a quarter before half a turn.
fn left_first(puzzle: &Puzzle, found: &Found) -> Vec<(i64, bool)> {
    let turned = |(unit, choice): (usize, u32)| puzzle.turned(unit, &puzzle.stand(unit, choice));
    puzzle.fixed(found).into_iter().map(turned).map(|turn| (turn.abs().round() as i64, turn < 0.0)).collect()
}

/// Whether the second makes all changes of the first and more, for no more room. What brings a unit to another
/// seat or side is no mere addition.
fn goes_beyond(puzzle: &Puzzle, one: &Found, other: &Found) -> bool {
    if other.margin > one.margin {
        return false;
    }
    let (mut others, mut more) = (puzzle.fixed(other), false);
    others.sort_unstable();
    let mut ones = puzzle.fixed(one);
    ones.sort_unstable();
    for ((unit, a), (_, b)) in ones.into_iter().zip(others) {
        let moved_as_well = puzzle.is_now(unit, a) && !puzzle.is_now(unit, b);
        let (a, b) = (puzzle.stand(unit, a), puzzle.stand(unit, b));
        let turns = [&a, &b].map(|stand| puzzle.turned(unit, stand));
        let turned_as_well = turns[0].abs() < 1.0 && turns[1].abs() >= 1.0;
        let raised_as_well = a.height == 0 && b.height != 0;
        let same_turn = turned_as_well || (turns[0] - turns[1]).abs() < 1.0;
        let same_height = raised_as_well || a.height == b.height;
        let same = a.seat == b.seat && a.flipped == b.flipped && same_turn && same_height;
        if !moved_as_well && !same {
            return false;
        }
        more |= moved_as_well || turned_as_well || raised_as_well;
    }
    more
}

/// Whether two combinations are mirror images with the same worst margin.
fn mirrors(puzzle: &Puzzle, one: &Found, other: &Found) -> bool {
    if one.margin != other.margin || one.changes != other.changes {
        return false;
    }
    let by_unit = |found: &Found| {
        let mut fixed = puzzle.fixed(found);
        fixed.sort_unstable();
        fixed
    };
    by_unit(one).into_iter().zip(by_unit(other)).all(|((unit, a), (_, b))| {
        let (a, b) = (puzzle.stand(unit, a), puzzle.stand(unit, b));
        let turns = puzzle.turned(unit, &a) + puzzle.turned(unit, &b);
        a.seat == b.seat && a.flipped == b.flipped && (turns.abs() < 1.0 || (turns.abs() - 360.0).abs() < 1.0)
    })
}
