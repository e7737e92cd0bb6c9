//! What becomes of the supply when a part hangs on another feed: tried before anybody is told to do it.
//!
//! The craft is changed as a mend would have it: the wire at its supply pad goes to a pad that gives the new feed, or its place says another
//! one. Then the rules of the supply judge it again. A feed holds if what is to be mended is mended, and if none of them calls anything else worse
//! than it does now, unless what is broken becomes no more than tight elsewhere. The pack is tried bare and with what is sold to stand across the
//! pins, a coil before it in the end, until one leaves nothing worse; what holds but for a tight finding stands in where none does. Left out: what
//! the change means for anything but the supply, and the ground wire beside, which is advised with it.

use super::added::{Added, COILS, SIZES};
use super::wired::{feeder, wire_to_move, wired_feed};
use crate::rules::rule_of;
use crate::wiring::{Role, WiringModel};
use crate::{Finding, Proof, Verdict};
use craft::schema::{place, wiring::wire};
use craft::{Craft, PlaceId, Row, Value};
use power::PACK;
use std::cell::{OnceCell, RefCell};

/// The rules that say what a feed does.
const ASKED: [&str; 8] = [
    "wire.supply_order",
    "feed.max_voltage",
    "feed.rail_load",
    "feed.inrush",
    "feed.dropout",
    "feed.boost_fold",
    OF_RIPPLE,
    "feed.video_at_punch",
];
/// So many feeds are tried of one craft. No craft that flies has as many to mend; of one that has, the others are told without a name.
const TRIED_MOST: usize = 16;

/// What was tried of a craft.
#[derive(Debug, Default)]
pub(crate) struct FeedsTried {
    now: OnceCell<Vec<Finding>>,
    /// What was found of each change: several findings ask for the same one.
    found: RefCell<Vec<(Craft, Vec<Finding>)>>,
}

/// What a mend is to mend: a rule and the subject of its finding.
pub(crate) type Mended<'s> = (&'static str, &'s str);

/// A feed that holds.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Fits<'f> {
    /// The pack, or a rail as place/rail.
    pub feed: &'f str,
    added: Added,
    volts: f64,
    amperes: f64,
}

impl Fits<'_> {
    /// What stands at its pins then, to be put behind what is advised; nothing where nothing more does.
    pub fn beside(&self) -> String {
        self.added.words([self.volts, self.amperes])
    }
    /// How the part is fed then, behind the name of the feed: what stands at its pins, and which wire to move.
    pub fn words(&self, proof: &Proof, part: &PlaceId) -> String {
        format!("{}{}", self.beside(), wire_to_move(proof, part, self.feed))
    }
}

/// What is tried at the pins of a part on the pack, beside nothing.
const AT_PINS: [Added; 3] = [
    Added::at_pins(SIZES[1], None),
    Added::at_pins(SIZES[2], None),
    Added::at_pins(SIZES[2], Some(COILS[0])),
];

/// The first of some feeds (the pack, or rails as place/rail) on which a part could hang without harm.
pub(crate) fn first_that_holds<'f>(
    proof: &Proof,
    part: &PlaceId,
    feeds: impl IntoIterator<Item = &'f str>,
    mended: Mended,
) -> Option<Fits<'f>> {
    // What stands at the pins of the video is asked by its rules; of other parts nobody asks.
    let video = proof.supply().map(|supply| supply.model()).filter(|model| model.unit == *part);
    let mut tight = None;
    for feed in feeds {
        let Some(changed) = rehung(proof, part, feed) else { continue };
        let [volts, amperes] =
            video.map_or([0.0; 2], |model| [model.stands_across(feed), model.most_taken(feed)]);
        let more = video.filter(|_| feed == PACK).map_or(&[][..], |_| &AT_PINS);
        for added in [Added::NONE].iter().chain(more) {
            let mut changed = changed.clone();
            added.put_on(&mut changed, part, volts);
            let fits = || Fits { feed, added: *added, volts, amperes };
            let (held, but_for_ripple) = holds(proof, &changed, Some(mended));
            match held {
                Holds::Wholly => return Some(fits()),
                Holds::ButTight => tight = tight.or_else(|| Some(fits())),
                Holds::Not => {}
            }
            // Against anything else a capacitor does nothing.
            if !but_for_ripple {
                break;
            }
        }
    }
    tight
}

/// Whether a supply pad could be fed from a pad that gives without harm: both by number.
pub(crate) fn holds_at(proof: &Proof, model: &WiringModel, fed: usize, source: usize) -> bool {
    let mut changed = proof.craft.clone();
    rewire(&mut changed, model, fed, Some(source));
    holds(proof, &changed, None).0 != Holds::Not
}

/// What the rules of the supply do not call sound.
fn complaints(trial: &Proof) -> Vec<Finding> {
    let rules = ASKED.iter().filter_map(|id| rule_of(id));
    let findings = rules.flat_map(|rule| (rule.run)(trial).findings);
    findings.filter(|finding| finding.verdict != Verdict::Sound).collect()
}

/// What becomes of a craft that was changed, the worst first.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Holds {
    /// It is not mended, or something else is worse.
    Not,
    /// It is mended, but something else is tight that was not.
    ButTight,
    /// What was to be mended is, and nothing is worse.
    Wholly,
}

/// The rule of the ripple at the video's pins.
const OF_RIPPLE: &str = "feed.ripple_video";

/// How a change holds, and whether nothing but the ripple speaks against it.
fn holds(proof: &Proof, changed: &Craft, mended: Option<Mended>) -> (Holds, bool) {
    let tried = &proof.feeds_tried;
    if proof.is_trial() {
        return (Holds::Not, false);
    }
    // The craft as it is, asked as a trial is: no mend is looked for.
    let now = tried.now.get_or_init(|| complaints(&proof.trial(proof.craft)));
    let is_now = |(rule, subject): Mended| {
        now.iter().find(|known| known.rule == rule && known.subject == subject).map(|known| known.verdict)
    };
    // What nothing feeds is broken.
    let was = mended.and_then(is_now).unwrap_or(Verdict::Broken);
    let of = |found: &Finding| {
        let same = |known: &&Finding| known.rule == found.rule && known.subject == found.subject;
        let is_mended = mended == Some((found.rule, found.subject.as_str()));
        match now.iter().find(same) {
            Some(known) if is_mended && known.verdict < found.verdict => Holds::Wholly,
            Some(known) if !is_mended && known.verdict <= found.verdict => Holds::Wholly,
            _ if was == Verdict::Broken && found.verdict == Verdict::Tight => Holds::ButTight,
            _ => Holds::Not,
        }
    };
    let known = tried.found.borrow().iter().position(|(craft, _)| craft == changed);
    let number = match known {
        Some(number) => number,
        None if tried.found.borrow().len() >= TRIED_MOST => return (Holds::Not, false),
        None => {
            let found = complaints(&proof.trial(changed));
            let mut all = tried.found.borrow_mut();
            all.push((changed.clone(), found));
            all.len() - 1
        }
    };
    let all = tried.found.borrow();
    let Some((_, found)) = all.get(number) else { return (Holds::Not, false) };
    let held = |finding: &&Finding| of(finding) != Holds::Wholly;
    let but_for_ripple = found.iter().filter(held).all(|finding| finding.rule == OF_RIPPLE);
    (found.iter().map(of).min().unwrap_or(Holds::Wholly), but_for_ripple)
}

/// The craft with a part on another feed.
fn rehung(proof: &Proof, part: &PlaceId, feed: &str) -> Option<Craft> {
    let number = proof.number_of(part)?;
    let mut changed = proof.craft.clone();
    let wired = proof.wiring().zip(wired_feed(proof, proof.placed_number(number)?));
    let mut by_wire = false;
    if let Some((model, wired)) = wired {
        let source = feeder(model, wired.fed, Some(feed));
        rewire(&mut changed, model, wired.fed, source);
        by_wire = source.is_some();
    }
    let values = &mut changed.places.get_mut(number)?.values;
    let key = place::FED_FROM.def.key;
    if !by_wire || values.contains_key(key) {
        values.insert(key.to_owned(), Value::Text(feed.to_owned()));
    }
    Some(changed)
}

/// Takes the wires that feed a pad off, and brings it one from another pad. The other pins of a ready-made lead become wires.
fn rewire(craft: &mut Craft, model: &WiringModel, fed: usize, source: Option<usize>) {
    let text = |pad: usize| Value::Text(model.pad_name(pad));
    let (from, to) = (wire::FROM.def.key, wire::TO.def.key);
    let rows = craft.tables.entry(wire::TABLE.key.to_owned()).or_default();
    let mut kept = Vec::with_capacity(rows.len() + 1);
    // Gauge, length and colour go with the wire.
    let mut moved = Row::default();
    for (number, row) in rows.drain(..).enumerate() {
        let joins = model.wires.iter().find(|wire| wire.row == number).map_or(&[][..], |wire| &wire.joins);
        let feeds = |join: &[usize; 2]| {
            let other = join.iter().find(|pad| **pad != fed);
            join.contains(&fed) && other.is_some_and(|pad| model.pads[*pad].role == Some(Role::SupplyOut))
        };
        if !joins.iter().any(feeds) {
            kept.push(row);
            continue;
        }
        if joins.len() == 1 {
            moved = row;
            continue;
        }
        for [a, b] in joins.iter().filter(|join| !feeds(join)) {
            let ends = [(from, *a), (to, *b)].map(|(key, pad)| (key.to_owned(), text(pad)));
            kept.push(Row(ends.into_iter().collect()));
        }
    }
    if let Some(source) = source {
        moved.0.extend([(from, source), (to, fed)].map(|(key, pad)| (key.to_owned(), text(pad))));
        kept.push(moved);
    }
    *rows = kept;
}
