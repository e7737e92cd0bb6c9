//! What one thing more or less costs the link, or brings it, as metres of the range.
//!
//! The link is computed anew with one thing changed and all else kept as asked, and its range is searched out as every range is (`farthest.rs`):
//! the other hand on the craft, a metre of thin coax, a bank, a tree, a wall, a better pair of antennas. Figures and panes tell this one list.
//! Tree and wall always stand half way between the station and the craft, square to the way, wherever it flies.
//!
//! Doubt: both ranges lean on the same facts, so both are searched out again together with twice the uncertainty of the margin less at the socket
//! and more; what the change comes to there is told, and between these ends lie four times its uncertainty: they seldom lie to both sides alike.
//! On top comes what is published of the tree or the wall itself, by how the changed range moves with the margin.

use super::band::{TIMES, metres_a_decibel};
use super::ready::Between;
use super::{Attitude, Farthest, KEPT_WORDS, LOOKED, Link, LinkAsked, LinkModel};
use crate::numbers::rounded;
use crate::working::Lines;
use quantity::{
    Db, Dbi, Dbm, Degrees, FactLedger, Figure, Linear, Metres, Millimetres, Source, Unit,
    standard_uncertainty,
};
use radio::{
    Antenna, BEAM_SOURCE, Beam, COAX_SOURCE, Coax, FeedPart, Hand, MATERIAL_SOURCE, Material,
    POLARISATION_SOURCE, Place, Polarisation, RadioFault, Slab, Turn, WOODLAND_SOURCE, Wall, Wood,
};

/// The bank that is tried.
const BANK: Degrees = Degrees::new(60.0);
/// The lead that is tried: word and length.
const THIN: (&str, Metres) = ("1.13 mm", Metres::new(1.0));
/// The crown that is tried: radius and height.
const CROWN: [Metres; 2] = [Metres::new(3.0), Metres::new(12.0)];
/// The wall that is tried: of what, how thick, how wide, how high.
const WALL: (&str, Millimetres, Metres, Metres) =
    ("brick", Millimetres::new(110.0), Metres::new(20.0), Metres::new(3.0));
/// The better pair that is tried. Common practice: a long patch or a small array on a tripod, an omni of a good make on the craft.
const PATCH: (Dbi, Degrees, Db) = (Dbi::new(11.0), Degrees::new(45.0), Db::new(20.0));
const OMNI: Dbi = Dbi::new(1.6);
const AXIAL: Db = Db::new(1.0);

/// What one thing costs.
#[derive(Clone, Debug, PartialEq)]
pub struct Cost {
    /// What is changed.
    pub what: String,
    /// How far the link then holds all the way.
    pub range: Farthest,
    /// How the margin at the asked distance changes; below nought it costs.
    pub change: Db,
    /// How the range changes, with its working: below nought metres are lost.
    pub figure: Figure,
}

/// One thing to be changed.
struct Change {
    key: &'static str,
    what: String,
    link: Link,
    attitude: Attitude,
    source: Source,
}

impl LinkModel {
    /// How far the link holds as asked, and what each change costs; `None` where something of the link lacks.
    pub fn costs(
        &self,
        asked: &LinkAsked,
        facts: &FactLedger,
    ) -> Option<Result<(Farthest, Vec<Cost>), RadioFault>> {
        Some(costs(self.link().ok()?, asked, facts))
    }
}

impl LinkModel {
    /// How far the link holds as asked, and what a better pair of antennas brings; `None` where something of the link lacks.
    pub fn better(
        &self,
        asked: &LinkAsked,
        facts: &FactLedger,
    ) -> Option<Result<(Farthest, Cost), RadioFault>> {
        let link = self.link().ok()?;
        let found = As::asked((link, asked), facts).and_then(|as_is| {
            let better = better(link, asked)?;
            Ok((as_is.ranges[1], cost(&as_is, better, (link, asked), facts)?))
        });
        Some(found)
    }
}

impl Link {
    /// How far it holds all the way at a level, as asked in all else.
    pub fn range_as_asked(&self, asked: &LinkAsked) -> Result<Farthest, RadioFault> {
        range(self, asked, asked.attitude())
    }
}

fn range(link: &Link, asked: &LinkAsked, attitude: Attitude) -> Result<Farthest, RadioFault> {
    let found = link.farthest(asked.height, attitude, &[asked.level.at_socket], Db::new(0.0))?;
    Ok(found.first().copied().unwrap_or(Farthest::Nowhere))
}

fn costs(link: &Link, asked: &LinkAsked, facts: &FactLedger) -> Result<(Farthest, Vec<Cost>), RadioFault> {
    let as_is = As::asked((link, asked), facts)?;
    let rows = changes(link, asked)?.into_iter().map(|change| cost(&as_is, change, (link, asked), facts));
    Ok((as_is.ranges[1], rows.collect::<Result<_, RadioFault>>()?))
}

/// The link as it is.
struct As {
    /// With twice the doubt less at the socket, as thought, and with more.
    ranges: [Farthest; 3],
    /// At which levels that is.
    levels: [Dbm; 3],
    /// How the margin leans on all facts where the range ends, and its standard uncertainty.
    leaning: Linear,
    doubt: Db,
    margin: Db,
}

impl As {
    fn asked((link, asked): (&Link, &LinkAsked), facts: &FactLedger) -> Result<Self, RadioFault> {
        let (attitude, level) = (asked.attitude(), asked.level.at_socket);
        let end = range(link, asked, attitude)?;
        let mut leaning = link.leaning((end.distance(), asked.height), attitude, &asked.level);
        leaning.slopes.extend(spread_at((link, asked), attitude, end)?);
        let doubt = Db::new(standard_uncertainty(&leaning, facts));
        let wide = Db::new(TIMES * doubt.get());
        let levels = [level - wide, level, level + wide];
        let ranges = three(link, asked, attitude, levels)?;
        let margin = link.margin(asked.place()?, attitude, level)?;
        Ok(Self { ranges, levels, leaning, doubt, margin })
    }
}

/// The ranges at three levels, least first, in one search.
fn three(
    link: &Link,
    asked: &LinkAsked,
    attitude: Attitude,
    levels: [Dbm; 3],
) -> Result<[Farthest; 3], RadioFault> {
    let found = link.farthest(asked.height, attitude, &levels, Db::new(0.0))?;
    Ok(std::array::from_fn(|n| found.get(n).copied().unwrap_or(Farthest::Nowhere)))
}

/// How the margin where a range ends leans on what is published of what stands about.
fn spread_at(
    (link, asked): (&Link, &LinkAsked),
    attitude: Attitude,
    range: Farthest,
) -> Result<Vec<(quantity::FactIndex, f64)>, RadioFault> {
    let end = Link::on_line(range.distance().max(LOOKED[0]), asked.height)?;
    let at = link.at(end, attitude, asked.level.at_socket)?;
    Ok(at.carrying().map_or_else(Vec::new, |pair| link.spreads.slopes(&pair.budget)))
}

fn cost(
    as_is: &As,
    change: Change,
    (link, asked): (&Link, &LinkAsked),
    facts: &FactLedger,
) -> Result<Cost, RadioFault> {
    let after = three(&change.link, asked, change.attitude, as_is.levels)?;
    let margin = change.link.margin(asked.place()?, change.attitude, asked.level.at_socket)?;
    let changed = margin - as_is.margin;
    let metres = |range: Farthest| range.distance().get();
    let ends: [f64; 3] = std::array::from_fn(|n| metres(after[n]) - metres(as_is.ranges[n]));
    let value = ends[1];
    // Four times the uncertainty lie between the ends.
    let (least, most) = (ends[0].min(value).min(ends[2]), ends[0].max(value).max(ends[2]));
    let slope =
        if as_is.doubt.get() > 0.0 { (most - least) / (2.0 * TIMES * as_is.doubt.get()) } else { 0.0 };
    let mut result = Linear::chained(value, &[(slope, &as_is.leaning)]);
    if change.link.between.is_some() {
        let own = spread_at((&change.link, asked), change.attitude, after[1])?;
        let a_decibel = metres_a_decibel([after[0].distance(), after[2].distance()], as_is.doubt).abs();
        let own = Linear::chained(0.0, &[(a_decibel, &Linear { value: 0.0, slopes: own })]);
        // No more than the whole of either range can be in doubt: it jumps, and a slope knows no end.
        let most = 0.5 * metres(after[1]).max(metres(as_is.ranges[1]));
        let share = (most / standard_uncertainty(&own, facts)).min(1.0);
        result = &result + &(&own * share);
    }
    let figure = figure(&change, (as_is, after), (ends, changed), (link, asked), &result, facts)?;
    Ok(Cost { what: change.what, range: after[1], change: changed, figure })
}

fn figure(
    change: &Change,
    (as_is, after): (&As, [Farthest; 3]),
    (ends, changed): ([f64; 3], Db),
    (link, asked): (&Link, &LinkAsked),
    result: &Linear,
    facts: &FactLedger,
) -> Result<Figure, RadioFault> {
    let low = ends.iter().copied().fold(f64::INFINITY, f64::min);
    let high = ends.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let shown = |metres: f64| format!("{} m", rounded(metres, usize::from(metres.abs() < 10.0)));
    let words = if high - low < 1.0 {
        "change of the range".to_owned()
    } else {
        format!("change of the range, between {} and {} with the doubt of both ends", shown(low), shown(high))
    };
    let now = as_is.ranges;
    let end = Link::on_line(now[1].distance().max(LOOKED[0]), asked.height)?;
    let kept = link.taken_by_fades(end, asked.attitude(), asked.level.at_socket)?;
    let mut lines = Lines::over(facts)
        .given("holds all the way as it is", now[1].distance().get(), Unit::Metres, now[1].words())
        .given("holds all the way with this", after[1].distance().get(), Unit::Metres, after[1].words())
        .given(KEPT_WORDS, kept.get(), Unit::Db, "where it ends as it is");
    for (n, more) in [(0, "less"), (2, "more")] {
        lines = lines.given(
            &format!("change of both with {more} at the socket"),
            ends[n],
            Unit::Metres,
            format!(
                "from {} to {}, with twice the standard uncertainty {more}",
                crate::subject::metres(now[n].distance()),
                crate::subject::metres(after[n].distance())
            ),
        );
    }
    if let Some(between) = change.link.between {
        let station = link.grounds.iter().map(|ground| ground.place[2]).sum::<f64>();
        let station = station / link.grounds.len().max(1) as f64;
        let (ray, top) = (0.5 * (station + asked.height.get()), top(between).get());
        let origin = if ray > top {
            format!("over it: it is {top} m high")
        } else {
            format!("through it: it is {top} m high")
        };
        lines = lines.given("the straight way half way is so high", ray, Unit::Metres, origin);
    }
    Ok(lines
        .given(
            "change of the margin at the asked distance",
            changed.get(),
            Unit::Db,
            "the same sum, with this alone changed",
        )
        .given("asked distance", asked.distance.get(), Unit::Metres, asked.level.out.to_string())
        .facts(result)
        .figure(
            format!("link.change[{}]", change.key),
            format!("{}: {words} at {}", change.what, asked.level.out),
            (result, Unit::Metres),
            "range with this − range as it is",
            change.source,
        ))
}

/// How high it is.
const fn top(between: Between) -> Metres {
    match between {
        Between::Tree => CROWN[1],
        Between::Wall(_) => WALL.3,
    }
}

fn changes(link: &Link, asked: &LinkAsked) -> Result<Vec<Change>, RadioFault> {
    let attitude = asked.attitude();
    let put =
        |key, what: &str, link: Link, source| Change { key, what: what.to_owned(), link, attitude, source };
    let mut changes = Vec::new();
    if let Some(other) = other_hand(link) {
        changes.push(put("other hand", "the other hand on the craft", other, POLARISATION_SOURCE));
    }
    if let Some(longer) = longer_coax(link)? {
        let what = format!("a metre more of {} coax at the station", THIN.0);
        changes.push(put("thin coax", &what, longer, COAX_SOURCE));
    }
    // To the side that costs more.
    let sides = [BANK, -BANK].map(|bank| (bank, range(link, asked, attitude.banked(bank))));
    let mut worse: Option<(Degrees, f64)> = None;
    for (bank, range) in sides {
        let range = range?.distance().get();
        if worse.is_none_or(|(_, known)| range < known) {
            worse = Some((bank, range));
        }
    }
    let bank = worse.map_or(BANK, |(bank, _)| bank);
    let side = if bank.get() > 0.0 { "right" } else { "left" };
    let what = format!("a bank of {} to the {side}, the worse of the two sides", BANK);
    changes.push(Change {
        attitude: attitude.banked(bank),
        ..put("bank", &what, link.clone(), POLARISATION_SOURCE)
    });
    let what = format!("a tree with {} of leaves, always half way to the craft", CROWN[0] * 2.0);
    changes.push(put("tree", &what, with_tree(link)?, WOODLAND_SOURCE));
    let what = format!("a {} wall {} high and {} wide, always half way to the craft", WALL.0, WALL.3, WALL.2);
    changes.push(put("wall", &what, with_wall(link)?, MATERIAL_SOURCE));
    changes.push(better(link, asked)?);
    Ok(changes)
}

fn better(link: &Link, asked: &LinkAsked) -> Result<Change, RadioFault> {
    let (what, better) = better_pair(link, asked)?;
    Ok(Change { key: "better pair", what, link: better, attitude: asked.attitude(), source: BEAM_SOURCE })
}

/// The same link with every circular antenna of the craft of the other hand.
fn other_hand(link: &Link) -> Option<Link> {
    let mut other = link.clone();
    let mut turned = false;
    for sender in &mut other.senders {
        turned |= sender.turn_hand();
    }
    turned.then_some(other)
}

/// The same link with a metre of thin coax more before each antenna of the station.
fn longer_coax(link: &Link) -> Result<Option<Link>, RadioFault> {
    let Some(thin) = Coax::of_word(THIN.0) else { return Ok(None) };
    let mut longer = link.clone();
    for ground in &mut longer.grounds {
        ground.put_before(FeedPart::Lead(thin, THIN.1), link.carrier)?;
    }
    Ok(Some(longer))
}

fn on_ground(x: f64, y: f64) -> Result<Place, RadioFault> {
    Place::new(Metres::new(x), Metres::new(y), Metres::new(0.0))
}

fn with_tree(link: &Link) -> Result<Link, RadioFault> {
    let mut with = link.clone();
    with.scenery.woods.push(Wood::new(on_ground(0.0, 0.0)?, CROWN[0], CROWN[1])?);
    with.between = Some(Between::Tree);
    Ok(with)
}

fn with_wall(link: &Link) -> Result<Link, RadioFault> {
    let mut with = link.clone();
    let Some(material) = Material::of_word(WALL.0) else { return Ok(with) };
    let (slab, half) = (Slab::of(material, WALL.1)?, WALL.2.get() / 2.0);
    with.scenery.walls.push(Wall::new(on_ground(0.0, -half)?, on_ground(0.0, half)?, WALL.3, slab)?);
    with.between = Some(Between::Wall(WALL.2));
    Ok(with)
}

/// The same link with a better antenna at either end: on the craft a circular one of the station's hand where it flies a linear one; at the station
/// a patch along the flying line in place of that aimed antenna where it gives most as asked, beside the others where none is aimed: what looks all
/// round stays. What they are, and what else changes, in words.
pub(crate) fn better_pair(link: &Link, asked: &LinkAsked) -> Result<(String, Link), RadioFault> {
    let mut better = link.clone();
    let station = better.grounds.iter().find_map(|ground| ground.hand);
    let hand = better.senders.iter().find_map(|sender| sender.hand).or(station).unwrap_or(Hand::Right);
    let mut pair = "better antennas, ";
    for sender in better.senders.iter_mut().filter(|sender| sender.hand.is_none()) {
        sender.put_antenna(Antenna::circular_omni(hand, OMNI, AXIAL)?, Some(hand));
        pair = "better antennas, a circular omni on the craft and ";
    }
    let beam = Beam::new(PATCH.0, PATCH.1, Some(PATCH.2))?;
    let polarisation = Polarisation::elliptical(hand, AXIAL, Degrees::new(90.0))?;
    let aimed: Vec<usize> = (0..link.grounds.len()).filter(|n| !link.grounds[*n].on_mast).collect();
    let round = link.grounds.iter().find(|ground| ground.on_mast);
    let mut places = aimed.clone();
    if let (true, Some(first)) = (aimed.is_empty(), better.grounds.first().cloned()) {
        places.push(better.grounds.len());
        better.grounds.push(first);
    }
    let mut best: Option<(Db, Link, usize)> = None;
    for which in places {
        let mut with = better.clone();
        let ground = &mut with.grounds[which];
        ground.put_antenna(Antenna::aimed(beam, polarisation), Some(hand));
        (ground.on_mast, ground.turn) = (false, Turn::NONE);
        let margin = with.margin(asked.place()?, asked.attitude(), asked.level.at_socket)?;
        if best.as_ref().is_none_or(|(known, ..)| margin > *known) {
            best = Some((margin, with, which));
        }
    }
    let Some((_, with, which)) = best else { return Ok((format!("{pair}none"), better)) };
    let instead = match link.grounds.get(which) {
        Some(old) => format!(" in place of the {}", old.element),
        None => String::new(),
    };
    let rest = match round {
        Some(round) => format!(", beside the {}, which looks to all other sides", round.element),
        None => format!(", which looks {} wide along the line while nothing looks all round", PATCH.1),
    };
    Ok((format!("{pair}a patch of {} along the flying line{instead}{rest}", PATCH.0), with))
}
