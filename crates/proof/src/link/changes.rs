//! The things that are tried on a link, one by one: the other hand, thin coax, a banked turn, a tree, a wall, a better pair of antennas.
//!
//! Tree and wall always stand half way between the station and the craft, square to the way, wherever it flies. The turn is flown on that heading and to
//! that side where it leaves least: what a bank costs hangs on where the antenna leans, and nobody turns only with the nose away.

use super::ready::Between;
use super::way::begins;
use super::{Attitude, Link, LinkAsked};
use crate::subject::nose;
use quantity::{Db, Dbi, Degrees, Metres, Millimetres, Source};
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
/// Headings on which the bank is tried, and places of the way at which it is asked there.
const HEADINGS: u32 = 8;
const PLACES: u32 = 12;

/// One thing to be changed.
pub(super) struct Change {
    pub key: &'static str,
    pub what: String,
    pub link: Link,
    pub attitude: Attitude,
    pub source: Source,
}

/// How high it is.
pub(super) const fn top(between: Between) -> Metres {
    match between {
        Between::Tree => CROWN[1],
        Between::Wall(_) => WALL.3,
    }
}

/// Every change, by itself.
pub(super) fn changes(link: &Link, asked: &LinkAsked) -> Result<Vec<Change>, RadioFault> {
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
    let banked = worst_bank(link, asked)?;
    let side = if banked.bank.get() > 0.0 { "right" } else { "left" };
    let what =
        format!("a turn banked {BANK} to the {side}, {}, where that leaves least", nose(banked.heading));
    changes.push(Change { attitude: banked, ..put("bank", &what, link.clone(), POLARISATION_SOURCE) });
    let what = format!("a tree with {} of leaves, always half way to the craft", CROWN[0] * 2.0);
    changes.push(put("tree", &what, with_tree(link)?, WOODLAND_SOURCE));
    let what = format!("a {} wall {} high and {} wide, always half way to the craft", WALL.0, WALL.3, WALL.2);
    changes.push(put("wall", &what, with_wall(link)?, MATERIAL_SOURCE));
    changes.push(better(link, asked)?);
    Ok(changes)
}

/// The bank that is tried, on that heading and to that side where it leaves least: the mean, over some places of the way that is asked about, of the decibels
/// that are left 99 % of the time.
fn worst_bank(link: &Link, asked: &LinkAsked) -> Result<Attitude, RadioFault> {
    let level = asked.level.at_socket;
    let begin = begins(asked.height).get();
    let far = asked.distance.get().max(begin * 1.01);
    let mut worst: Option<(f64, Attitude)> = None;
    for n in 0..HEADINGS {
        let heading = Degrees::new(
            (asked.heading.get() + 360.0 * f64::from(n) / f64::from(HEADINGS)).rem_euclid(360.0),
        );
        for bank in [BANK, -BANK] {
            let attitude = Attitude::cruising(heading, asked.nose_down).banked(bank);
            let mut flown = link.flown(attitude);
            let mut left = 0.0;
            for place in 0..PLACES {
                let d = begin * (far / begin).powf((f64::from(place) + 0.5) / f64::from(PLACES));
                left += flown.depth(Link::on_line(Metres::new(d), asked.height)?, level)?.actual.get();
            }
            if worst.is_none_or(|(known, _)| left < known) {
                worst = Some((left, attitude));
            }
        }
    }
    Ok(worst.map_or(asked.attitude().banked(BANK), |(_, attitude)| attitude))
}

/// Where at the station an antenna stands, in words.
fn stands([ahead, aside, height]: [f64; 3]) -> String {
    let told = |by: f64, [over, under]: [&str; 2]| {
        (by.abs() >= 0.05).then(|| {
            format!(
                "{} {}",
                crate::subject::metres(Metres::new(by.abs())),
                if by > 0.0 { over } else { under }
            )
        })
    };
    let parts = [
        told(ahead, ["ahead", "behind"]),
        told(aside, ["to the left", "to the right"]),
        told(height, ["up", "down"]),
    ];
    format!(" that stands {}", parts.into_iter().flatten().collect::<Vec<_>>().join(", "))
}

/// The better pair alone.
pub(super) fn better(link: &Link, asked: &LinkAsked) -> Result<Change, RadioFault> {
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
        Some(old) => {
            // Where several are of one kind it is told by its place.
            let alike = link.grounds.iter().filter(|ground| ground.element == old.element).count() > 1;
            format!(
                " in place of the {}{}",
                old.element,
                if alike { stands(old.place) } else { String::new() }
            )
        }
        None => String::new(),
    };
    let rest = match round {
        Some(round) => format!(", beside the {}, which looks to all other sides", round.element),
        None => format!(", which looks {} wide along the line while nothing looks all round", PATCH.1),
    };
    Ok((format!("{pair}a patch of {} along the flying line{instead}{rest}", PATCH.0), with))
}
