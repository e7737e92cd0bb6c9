//! What one thing more or less costs the link, or brings it, as metres of the range.
//!
//! The link is computed anew with one thing changed and all else kept as asked, and its range is searched out as every range is (`farthest.rs`):
//! the other hand on the craft, a metre of thin coax, a bank, a tree, a wall, a better pair of antennas. Figures and panes tell this one list.
//!
//! Doubt: both ranges lean on the same facts, so most of it cancels; each range moves with the margin as it does when it is searched out again with twice the
//! uncertainty less and more (`band.rs`): behind a wall that is little, in the open ln 10/20 of itself a decibel. What the spread of published
//! values makes of a tree or a wall is that where the range ends, of the ground that at the asked distance.

use super::band::metres_a_decibel;
use super::{Attitude, Farthest, KEPT_WORDS, LOOKED, Link, LinkAsked, LinkModel};
use crate::working::Lines;
use quantity::{
    Db, Dbi, Degrees, FactLedger, Figure, Linear, Metres, Millimetres, Source, Unit, standard_uncertainty,
};
use radio::{
    Antenna, BEAM_SOURCE, Beam, COAX_SOURCE, Coax, FeedPart, Hand, MATERIAL_SOURCE, Material,
    POLARISATION_SOURCE, Part, Place, Polarisation, RadioFault, Slab, Turn, WOODLAND_SOURCE, Wall, Wood,
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
            Ok((as_is.range, cost(&as_is, better, (link, asked), facts)?))
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
    let found = link.farthest(asked.height, attitude, &[asked.level.at_socket], link.kept())?;
    Ok(found.first().copied().unwrap_or(Farthest::Nowhere))
}

fn costs(link: &Link, asked: &LinkAsked, facts: &FactLedger) -> Result<(Farthest, Vec<Cost>), RadioFault> {
    let as_is = As::asked((link, asked), facts)?;
    let rows = changes(link, asked)?.into_iter().map(|change| cost(&as_is, change, (link, asked), facts));
    Ok((as_is.range, rows.collect::<Result<_, RadioFault>>()?))
}

/// The link as it is.
struct As {
    range: Farthest,
    /// How the range leans on the facts, in metres.
    leans: Linear,
    margin: Db,
}

impl As {
    fn asked((link, asked): (&Link, &LinkAsked), facts: &FactLedger) -> Result<Self, RadioFault> {
        let attitude = asked.attitude();
        let range = range(link, asked, attitude)?;
        let leans = leans((link, asked), attitude, range, facts)?;
        let margin = link.margin(asked.place()?, attitude, asked.level.at_socket)?;
        Ok(Self { range, leans, margin })
    }
}

fn cost(
    as_is: &As,
    change: Change,
    (link, asked): (&Link, &LinkAsked),
    facts: &FactLedger,
) -> Result<Cost, RadioFault> {
    let after = range(&change.link, asked, change.attitude)?;
    let margin = change.link.margin(asked.place()?, change.attitude, asked.level.at_socket)?;
    let changed = margin - as_is.margin;
    let own = leans((&change.link, asked), change.attitude, after, facts)?;
    let [before_m, after_m] = [as_is.range, after].map(|range| range.distance().get());
    let result = Linear::chained(after_m - before_m, &[(1.0, &own), (-1.0, &as_is.leans)]);
    let figure = figure(&change, (as_is.range, after), changed, (link, asked), &result, facts);
    Ok(Cost { what: change.what, range: after, change: changed, figure })
}

/// How a range leans on every fact, and on the spread of what stands about, in metres.
fn leans(
    (link, asked): (&Link, &LinkAsked),
    attitude: Attitude,
    range: Farthest,
    facts: &FactLedger,
) -> Result<Linear, RadioFault> {
    let mut margin = link.leaning((range.distance(), asked.height), attitude, &asked.level);
    let end = Link::on_line(range.distance().max(LOOKED[0]), asked.height)?;
    for (place, of_ground) in [(end, false), (asked.place()?, true)] {
        let at = link.at(place, attitude, asked.level.at_socket)?;
        let spread = at.carrying().map_or_else(Vec::new, |pair| link.spreads.slopes(&pair.budget));
        let ground = link.spreads.fact(Part::Ground);
        margin.slopes.extend(spread.into_iter().filter(|(fact, _)| (Some(*fact) == ground) == of_ground));
    }
    let doubt = Db::new(standard_uncertainty(&margin, facts));
    let ends = link.ends_by_facts(asked.height, attitude, &[(asked.level.at_socket, doubt)])?;
    let slope = ends.first().map_or(0.0, |ends| metres_a_decibel(*ends, doubt));
    Ok(Linear::chained(0.0, &[(slope, &margin)]))
}

fn figure(
    change: &Change,
    (now, after): (Farthest, Farthest),
    changed: Db,
    (link, asked): (&Link, &LinkAsked),
    result: &Linear,
    facts: &FactLedger,
) -> Figure {
    let words = match result.value {
        metres if metres <= -0.5 => "metres of range lost",
        metres if metres >= 0.5 => "metres of range gained",
        _ => "no metre of range lost or gained",
    };
    let past = |range: Farthest| match range {
        Farthest::Nowhere => "it does not hold even close by",
        Farthest::To(_) => "where it first breaks",
        Farthest::Beyond(_) => "as far as was looked: it may hold farther",
    };
    Lines::over(facts)
        .given("holds all the way as it is", now.distance().get(), Unit::Metres, past(now))
        .given("holds all the way with this", after.distance().get(), Unit::Metres, past(after))
        .given(KEPT_WORDS, link.kept().get(), Unit::Db, "in both ranges")
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
        )
}

fn changes(link: &Link, asked: &LinkAsked) -> Result<Vec<Change>, RadioFault> {
    let attitude = asked.attitude();
    let half = Metres::new((asked.distance.get() / 2.0).max(2.0));
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
    let what = format!("a tree with {} of leaves, half way", CROWN[0] * 2.0);
    changes.push(put("tree", &what, with_tree(link, half)?, WOODLAND_SOURCE));
    let what = format!("a {} wall {} high and {} wide, half way", WALL.0, WALL.3, WALL.2);
    changes.push(put("wall", &what, with_wall(link, half)?, MATERIAL_SOURCE));
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

fn with_tree(link: &Link, at: Metres) -> Result<Link, RadioFault> {
    let mut with = link.clone();
    with.scenery.woods.push(Wood::new(on_ground(at.get(), 0.0)?, CROWN[0], CROWN[1])?);
    Ok(with)
}

fn with_wall(link: &Link, at: Metres) -> Result<Link, RadioFault> {
    let mut with = link.clone();
    let Some(material) = Material::of_word(WALL.0) else { return Ok(with) };
    let (slab, half) = (Slab::of(material, WALL.1)?, WALL.2.get() / 2.0);
    with.scenery.walls.push(Wall::new(
        on_ground(at.get(), -half)?,
        on_ground(at.get(), half)?,
        WALL.3,
        slab,
    )?);
    Ok(with)
}

/// The same link with a better antenna at either end: on the craft a circular one of the station's hand where it flies a linear one; at the station
/// a patch along the flying line in place of that antenna where it gives most as asked. What they are, in words.
pub(crate) fn better_pair(link: &Link, asked: &LinkAsked) -> Result<(String, Link), RadioFault> {
    let mut better = link.clone();
    let station = better.grounds.iter().find_map(|ground| ground.hand);
    let hand = better.senders.iter().find_map(|sender| sender.hand).or(station).unwrap_or(Hand::Right);
    let mut on_craft = "";
    for sender in better.senders.iter_mut().filter(|sender| sender.hand.is_none()) {
        sender.put_antenna(Antenna::circular_omni(hand, OMNI, AXIAL)?, Some(hand));
        on_craft = "a circular omni on the craft and ";
    }
    let beam = Beam::new(PATCH.0, PATCH.1, Some(PATCH.2))?;
    let polarisation = Polarisation::elliptical(hand, AXIAL, Degrees::new(90.0))?;
    let mut best: Option<(Db, String, Link)> = None;
    for which in 0..link.grounds.len() {
        let mut with = better.clone();
        let ground = &mut with.grounds[which];
        ground.put_antenna(Antenna::aimed(beam, polarisation), Some(hand));
        (ground.on_mast, ground.turn) = (false, Turn::NONE);
        let margin = with.margin(asked.place()?, asked.attitude(), asked.level.at_socket)?;
        if best.as_ref().is_none_or(|(known, ..)| margin > *known) {
            best = Some((margin, link.grounds[which].element.clone(), with));
        }
    }
    let (instead, better) = match best {
        Some((_, element, with)) => (format!(" in place of the {element}"), with),
        None => (String::new(), better),
    };
    let what =
        format!("a better pair of antennas, {on_craft}a patch of {} along the flying line{instead}", PATCH.0);
    Ok((what, better))
}
