//! What one thing more or less costs the link, as metres of the range.
//!
//! The link is computed anew with one thing changed and all else kept, level and nose away as planned: the other hand on the station, a
//! metre of thin coax, a bank, a tree, a wall. The range is as far as it holds all the way from near, by the usual value of each term.

use super::{Attitude, Link, LinkAsked, LinkModel};
use quantity::{Db, Degrees, Metres, Millimetres};
use radio::{Coax, FeedPart, Hand, Material, Place, RadioFault, Slab, Wall, Wood};

/// The nearest that is looked at, and the farthest.
pub const LOOKED: [Metres; 2] = [Metres::new(5.0), Metres::new(20_000.0)];
/// How far beyond the range as it is a changed one is looked at.
const BEYOND: f64 = 1.3;
/// The bank that is tried.
const BANK: Degrees = Degrees::new(60.0);

/// What one thing costs.
#[derive(Clone, Debug, PartialEq)]
pub struct Cost {
    /// What is changed.
    pub what: String,
    /// How far the link then holds all the way; `None` if it does not hold near by.
    pub range: Option<Metres>,
    /// How the margin at the asked distance changes; below nought it costs.
    pub change: Db,
}

impl LinkModel {
    /// How far the link holds as asked, and what each change costs; `None` where something of the link lacks.
    pub fn costs(&self, asked: &LinkAsked) -> Option<Result<(Cost, Vec<Cost>), RadioFault>> {
        Some(costs(self.link().ok()?, asked))
    }
}

fn costs(link: &Link, asked: &LinkAsked) -> Result<(Cost, Vec<Cost>), RadioFault> {
    let attitude = asked.attitude();
    let level = asked.level.at_socket;
    let margin = |link: &Link, attitude: Attitude| link.margin(asked.place()?, attitude, level);
    let now = margin(link, attitude)?;
    let cost_to = |what: &str, link: &Link, attitude: Attitude, far: Metres| -> Result<Cost, RadioFault> {
        let reach = link.reach([LOOKED[0], far], asked.height, attitude, level)?;
        let range = Link::range(&reach, Db::new(0.0), Db::new(0.0)).all_the_way;
        Ok(Cost { what: what.to_owned(), range, change: margin(link, attitude)? - now })
    };
    let as_it_is = cost_to("as it is", link, attitude, LOOKED[1])?;
    // What costs never brings more than a little beyond: a way to the end of the world for each would take a second.
    let whole = as_it_is.range.map_or(asked.distance.get(), Metres::get);
    let far = Metres::new((whole * BEYOND).clamp(LOOKED[0].get() * 2.0, LOOKED[1].get()));
    let cost = |what: &str, link: &Link, attitude: Attitude| cost_to(what, link, attitude, far);
    let mut rows = Vec::new();
    if let Some(other) = other_hand(link) {
        rows.push(cost("the other hand on the craft", &other, attitude)?);
    }
    if let Some(longer) = longer_coax(link)? {
        rows.push(cost("a metre more of 1.13 mm coax at the station", &longer, attitude)?);
    }
    let words = format!("a bank of {}°", BANK.get());
    rows.push(cost(&words, link, attitude.banked(BANK))?);
    let half = Metres::new((asked.distance.get() / 2.0).max(2.0));
    rows.push(cost("a tree 6 m thick, half way", &with_tree(link, half)?, attitude)?);
    rows.push(cost("a brick wall 3 m high and 20 m wide, half way", &with_wall(link, half)?, attitude)?);
    Ok((as_it_is, rows))
}

/// The same link with every circular antenna of the craft of the other hand.
fn other_hand(link: &Link) -> Option<Link> {
    let mut other = link.clone();
    let mut turned = false;
    for sender in &mut other.senders {
        if let Some(antenna) = sender.antenna.other_handed() {
            sender.antenna = antenna;
            sender.hand = sender.hand.map(Hand::other);
            turned = true;
        }
    }
    turned.then_some(other)
}

/// The same link with a metre of thin coax more before each antenna of the station.
fn longer_coax(link: &Link) -> Result<Option<Link>, RadioFault> {
    let Some(thin) = Coax::of_word("1.13 mm") else { return Ok(None) };
    let mut longer = link.clone();
    for ground in &mut longer.grounds {
        ground.feed.parts.push(FeedPart::Lead(thin, Metres::new(1.0)));
        ground.loss = ground.feed.loss(link.carrier)?;
    }
    Ok(Some(longer))
}

fn on_ground(x: f64, y: f64) -> Result<Place, RadioFault> {
    Place::new(Metres::new(x), Metres::new(y), Metres::new(0.0))
}

fn with_tree(link: &Link, at: Metres) -> Result<Link, RadioFault> {
    let mut with = link.clone();
    with.scenery.woods.push(Wood::new(on_ground(at.get(), 0.0)?, Metres::new(3.0), Metres::new(12.0))?);
    Ok(with)
}

fn with_wall(link: &Link, at: Metres) -> Result<Link, RadioFault> {
    let mut with = link.clone();
    let Some(brick) = Material::of_word("brick") else { return Ok(with) };
    let slab = Slab::of(brick, Millimetres::new(110.0))?;
    let wall = Wall::new(on_ground(at.get(), -10.0)?, on_ground(at.get(), 10.0)?, Metres::new(3.0), slab)?;
    with.scenery.walls.push(wall);
    Ok(with)
}
