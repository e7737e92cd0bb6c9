//! What stands somewhere as solids, and the worst margin between two such things.
//!
//! The margins are those of the rules: distance less need of `fit.pair_clearance` (in contact: how much less than
//! allowed the one sinks in), of `fit.carbon_short` and `fit.blade_sweep`, and the air beside the way out of every
//! plug, `fit.plug_pull` and `fit.service_access`. As there, what is more than 2 mm beyond its need is not told, so
//! no margin counts for more than that. Doubt takes no part: it is drawn in when the best are proved.

use super::search::{IMPOSSIBLE, Margin};
use crate::Proof;
use crate::inputs::{ALLOWANCE, Contacts, CraftSolid, Piece, Rest, needs_here};
use crate::limits::{BLADE_TO_SOFT, PAD_TO_CARBON};
use crate::rules::{SINKS, SOFT};
use crate::subject::{PUSHED_ASIDE, PluggedIn, pull_ways};
use craft::Anchor;
use craft::schema::place as place_schema;
use fit::{
    Body as BodyFrame, BodyPoint, Extent, Nearness, Placement, Role, Scene, Solid, SolidIndex,
    apart_at_least, nearer_than, nearer_unless_deep, needs_at_most, required_clearance,
};
use quantity::Millimetres;

/// Micrometres in a millimetre.
const MICRO: f64 = 1000.0;
/// The most a margin counts for.
pub(crate) const MOST: Margin = (ALLOWANCE.get() * MICRO) as Margin;

/// Looked for at least, in mm, so that what overlaps is found.
const TOUCH: f64 = 0.01;

/// How much surer than needed an estimate is taken, in mm.
const BARELY: f64 = 0.01;

/// A margin as the search compares it.
pub(crate) fn micrometres(mm: f64) -> Margin {
    ((mm * MICRO).round() as Margin).min(MOST)
}

/// The way out of a plug.
#[derive(Clone, Debug)]
pub(crate) struct Way {
    space: Solid,
    extent: Extent,
    name: String,
    place: usize,
    row: usize,
}

/// One solid with what it takes to say what it needs.
#[derive(Clone, Debug)]
struct Piecewise {
    solid: CraftSolid,
    extent: Extent,
    /// The most it may need toward anything, in mm.
    needs: f64,
    rest: usize,
}

/// Where a place is seated.
#[derive(Clone, Debug)]
pub(crate) struct Seated {
    pub place: usize,
    pub on: Option<Anchor>,
    pub under: Option<usize>,
    /// Whether it stands on soft mounts.
    pub soft: bool,
}

/// What stands somewhere.
#[derive(Clone, Debug, Default)]
pub(crate) struct Body {
    pieces: Vec<Piecewise>,
    /// The box round all pieces.
    round: Option<Extent>,
    ways: Vec<Way>,
    seated: Vec<Seated>,
}

/// The pair that decides.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Tightest {
    pub margin: Margin,
    pub pair: Option<Pair>,
}

/// Two solids, or the way out of a plug and a solid.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Pair {
    /// Names of the two.
    pub names: [String; 2],
    /// Places of the two.
    pub places: [usize; 2],
    /// The pieces, which tell the two wherever they stand.
    pub pieces: [Piece; 2],
}

/// What the rules say of pairs in this craft.
pub(crate) struct Needs<'p, 'a> {
    proof: &'p Proof<'a>,
    contacts: Contacts<'p, 'a>,
    plugged: PluggedIn,
}

impl Body {
    /// Adds the solids of a place.
    pub fn add(&mut self, seated: Seated, solids: impl IntoIterator<Item = CraftSolid>) {
        let rest = self.seated.len();
        self.seated.push(seated);
        for mut solid in solids {
            solid.solid.drifts.clear();
            if let Some(extent) = extent(&solid.solid) {
                let needs = needs_at_most(solid.solid.role).get();
                self.round = Some(self.round.map_or(extent, |round| hull(&round, &extent)));
                self.pieces.push(Piecewise { solid, extent, needs, rest });
            }
        }
    }

    /// Adds the way out of a plug.
    pub fn add_way(&mut self, way: &Way, moved: Option<Placement<BodyFrame, BodyFrame>>) {
        let Some(moved) = moved else { return self.ways.push(way.clone()) };
        let space = Solid { pose: moved * way.space.pose, ..way.space.clone() };
        if let Some(extent) = extent(&space) {
            self.ways.push(Way { space, extent, ..way.clone() });
        }
    }
}

/// The box round two boxes.
fn hull(a: &Extent, b: &Extent) -> Extent {
    let corner = |a: BodyPoint, b: BodyPoint, of: fn(f64, f64) -> f64| {
        let (a, b) = (a.coordinates(), b.coordinates());
        BodyPoint::new(of(a[0], b[0]), of(a[1], b[1]), of(a[2], b[2]))
    };
    Extent { low: corner(a.low, b.low, f64::min), high: corner(a.high, b.high, f64::max) }
}

fn extent(solid: &Solid) -> Option<Extent> {
    Scene::new(vec![solid.clone()]).ok()?.extent(SolidIndex(0))
}

/// The ways out of all plugs of a place as the craft has it.
pub(crate) fn ways_of(proof: &Proof, number: usize) -> Vec<Way> {
    let (ways, _) = pull_ways(proof, number, |_| true);
    ways.into_iter()
        .filter_map(|pull| {
            let space = Solid { drifts: Vec::new(), ..pull.space };
            let (name, extent) = (pull.plug.solid.name.clone(), extent(&space)?);
            Some(Way { space, extent, name, place: number, row: pull.row })
        })
        .collect()
}

impl<'p, 'a> Needs<'p, 'a> {
    /// Looks up what touches what and what is plugged in where.
    pub fn of(proof: &'p Proof<'a>) -> Self {
        Self { proof, contacts: Contacts::of(proof), plugged: PluggedIn::of(proof) }
    }

    /// The worst margin between two bodies, and what has it.
    pub fn between(&self, a: &Body, b: &Body) -> Tightest {
        let mut worst = Worst::from(MOST, IMPOSSIBLE);
        self.both(a, b, &mut worst);
        worst.told()
    }

    /// By how much the places of one body are short of what they need toward each other. A board has as much toward
    /// its own screws and spacers wherever it stands: that counts only where it is short.
    pub fn within(&self, a: &Body) -> Tightest {
        let mut worst = Worst::from(0, IMPOSSIBLE);
        self.inside(a, &mut worst);
        match worst.between {
            Some(_) => worst.told(),
            None => Tightest { margin: MOST, pair: None },
        }
    }

    /// The worst margin between two bodies, exact from `floor` up: what lies below is told as something below it that is
    /// no less than the truth.
    pub fn margin_between(&self, a: &Body, b: &Body, floor: Margin) -> Margin {
        let mut worst = Worst::from(MOST, floor);
        self.both(a, b, &mut worst);
        worst.margin
    }

    /// The same within one body.
    pub fn margin_within(&self, a: &Body, floor: Margin) -> Margin {
        let mut worst = Worst::from(0, floor);
        self.inside(a, &mut worst);
        if worst.between.is_some() { worst.margin } else { MOST }
    }

    fn both<'b>(&self, a: &'b Body, b: &'b Body, worst: &mut Worst<'b>) {
        let reach = |needs: f64| needs + 0.5 + f64::from(MOST) / MICRO;
        if let Some(round_b) = &b.round {
            // A piece that stays clear of all of the other body is held against none of it.
            let near = |one: &&Piecewise| apart(&one.extent, round_b) < reach(one.needs);
            for one in a.pieces.iter().filter(near) {
                for other in &b.pieces {
                    self.pair((a, one), (b, other), worst);
                    if worst.is_enough() {
                        return;
                    }
                }
            }
        }
        self.ways(a, b, worst);
        self.ways(b, a, worst);
    }

    fn inside<'b>(&self, a: &'b Body, worst: &mut Worst<'b>) {
        for (number, one) in a.pieces.iter().enumerate() {
            for other in a.pieces[number + 1..].iter().filter(|other| other.solid.place != one.solid.place) {
                self.pair((a, one), (a, other), worst);
                if worst.is_enough() {
                    return;
                }
            }
        }
        self.ways(a, a, worst);
    }

    /// What one pair of solids has in hand, wherever the two stand in these bodies.
    pub fn of_pair(&self, bodies: &[&Body], wanted: &Pair) -> Margin {
        let mut worst = Worst::from(MOST, IMPOSSIBLE);
        let is = |end: usize, place: usize, piece: &Piece| {
            wanted.places[end] == place && wanted.pieces[end] == *piece
        };
        for a in bodies {
            for b in bodies {
                for other in b.pieces.iter().filter(|p| is(1, p.solid.place, &p.solid.piece)) {
                    for one in a.pieces.iter().filter(|p| is(0, p.solid.place, &p.solid.piece)) {
                        self.pair((a, one), (b, other), &mut worst);
                    }
                    for way in a.ways.iter().filter(|way| is(0, way.place, &Piece::WayOut(way.row))) {
                        self.way(way, other, &mut worst);
                    }
                }
            }
        }
        worst.margin
    }

    fn pair<'b>(
        &self,
        (a, one): (&'b Body, &'b Piecewise),
        (b, other): (&'b Body, &'b Piecewise),
        worst: &mut Worst<'b>,
    ) {
        let roles = [one.solid.solid.role, other.solid.solid.role];
        let Some(usual) = required_clearance(roles[0], roles[1]) else { return };
        // Soft mounts add half a millimetre at most.
        let reach = usual.distance.get() + 0.5 + f64::from(worst.margin) / MICRO;
        if apart(&one.extent, &other.extent) >= reach {
            return;
        }
        let both = |x: &[Role], y: &[Role]| {
            (x.contains(&roles[0]) && y.contains(&roles[1]))
                || (x.contains(&roles[1]) && y.contains(&roles[0]))
        };
        if both(&[Role::PlugPullSpace], Role::ALL)
            || both(&[Role::BladeSweep], &[Role::BladeSweep, Role::MouldedDuct])
        {
            return;
        }
        let (at_one, at_other) = (&a.seated[one.rest], &b.seated[other.rest]);
        let pair = [&one.solid, &other.solid];
        let seated = ((pair[0], rest(at_one)), (pair[1], rest(at_other)));
        if self.contacts.left_open_at(seated.0, seated.1) {
            return;
        }
        let touching = self.contacts.meant_at(seated.0, seated.1);
        let need = if touching {
            -SINKS
        } else if both(&[Role::BareConductor], &[Role::CarbonPlate]) {
            let insulated = pair.iter().any(|solid| {
                let place = &self.proof.craft.places[solid.place];
                solid.solid.role == Role::BareConductor && place.is_marked(&place_schema::INSULATED)
            });
            if insulated { 0.0 } else { PAD_TO_CARBON.broken }
        } else if both(&[Role::BladeSweep], SOFT) {
            BLADE_TO_SOFT.broken
        } else {
            needs_here(self.proof, at_one.soft || at_other.soft, pair, usual).distance.get()
        };
        // Of two that are meant to touch only that counts by which they sink too deep: and their boxes alone tell of most
        // that they do not.
        if touching && apart_at_least(&pair[0].solid, &pair[1].solid).get() > BARELY - SINKS {
            return;
        }
        let limit = if touching { TOUCH } else { (need + f64::from(worst.margin) / MICRO).max(TOUCH) };
        let Some(margin) = worst.measured([&pair[0].solid, &pair[1].solid], limit, need) else { return };
        if margin < worst.margin && !(touching && margin >= 0) {
            worst.take(margin, Between::Solids(pair));
        }
    }

    /// The ways out of the plugs of one body past the solids of another.
    fn ways<'b>(&self, a: &'b Body, b: &'b Body, worst: &mut Worst<'b>) {
        let Some(round_b) = &b.round else { return };
        for way in a.ways.iter().filter(|way| apart(&way.extent, round_b) < f64::from(MOST) / MICRO) {
            for other in b.pieces.iter().filter(|other| other.solid.place != way.place) {
                if worst.is_enough() {
                    return;
                }
                self.way(way, other, worst);
            }
        }
    }

    fn way<'b>(&self, way: &'b Way, other: &'b Piecewise, worst: &mut Worst<'b>) {
        let reach = f64::from(worst.margin) / MICRO;
        if apart(&way.extent, &other.extent) >= reach
            || other.solid.ghost
            || PUSHED_ASIDE.contains(&other.solid.solid.role)
            || self.plugged.joined(way.place, way.row).contains(&other.solid.place)
        {
            return;
        }
        let Some(margin) = worst.measured([&way.space, &other.solid.solid], reach.max(TOUCH), 0.0) else {
            return;
        };
        if margin < worst.margin {
            worst.take(margin, Between::Way(way, &other.solid));
        }
    }
}

/// The worst found so far, and from where up it must be exact.
struct Worst<'b> {
    margin: Margin,
    between: Option<Between<'b>>,
    floor: Margin,
}

enum Between<'b> {
    Solids([&'b CraftSolid; 2]),
    Way(&'b Way, &'b CraftSolid),
}

impl<'b> Worst<'b> {
    fn from(margin: Margin, floor: Margin) -> Self {
        Self { margin, between: None, floor }
    }

    /// Whether it lies below all that matters.
    fn is_enough(&self) -> bool {
        self.margin < self.floor
    }

    /// What two solids have in hand beyond a need, if they are nearer than a limit: exact unless it lies below all that
    /// matters.
    fn measured(&self, pair: [&Solid; 2], limit: f64, need: f64) -> Option<Margin> {
        let limit = Millimetres::new(limit);
        if self.floor == IMPOSSIBLE {
            return Some(micrometres(nearer_than(pair[0], pair[1], limit)?.get() - need));
        }
        let deep = BARELY - f64::from(self.floor) / MICRO - need;
        Some(match nearer_unless_deep(pair[0], pair[1], limit, Millimetres::new(deep))? {
            Nearness::Exactly(far) => micrometres(far.get() - need),
            Nearness::DeeperThan(depth) => micrometres(-depth.get() - need),
        })
    }

    fn take(&mut self, margin: Margin, between: Between<'b>) {
        (self.margin, self.between) = (margin, Some(between));
    }

    fn told(self) -> Tightest {
        let pair = self.between.map(|between| match between {
            Between::Solids(pair) => Pair {
                names: pair.map(|solid| solid.solid.name.clone()),
                places: [pair[0].place, pair[1].place],
                pieces: pair.map(|solid| solid.piece.clone()),
            },
            Between::Way(way, other) => Pair {
                names: [way.name.clone(), other.solid.name.clone()],
                places: [way.place, other.place],
                pieces: [Piece::WayOut(way.row), other.piece.clone()],
            },
        });
        Tightest { margin: self.margin, pair }
    }
}

fn rest(seated: &Seated) -> Rest<'_> {
    Rest { place: seated.place, on: seated.on.as_ref(), under: seated.under }
}

/// How far two boxes are apart along the axis on which they are furthest.
fn apart(a: &Extent, b: &Extent) -> f64 {
    let (a_low, a_high) = (a.low.coordinates(), a.high.coordinates());
    let (b_low, b_high) = (b.low.coordinates(), b.high.coordinates());
    (0..3).map(|axis| (a_low[axis] - b_high[axis]).max(b_low[axis] - a_high[axis])).fold(f64::MIN, f64::max)
}
