//! What is kept from one proof to the next, since an edit seldom touches it: outlines cut into pieces, routes of leads,
//! shares of pictures, what was found of a supply, the level that a link wants.
//!
//! Each is kept with all it was made from and taken again only where that is the same, bit for bit; so a proof is the same
//! with a store and without. How much is kept is limited: beyond it the oldest is let go.

use crate::link::KEPT_FOR;
use crate::link::Link;
use crate::subject::Wanted;
use crate::supply::{Supply, SupplyModel};
use fit::{Hole, KnownRoute, Outline, PlanePoint};
use optics::{KnownShares, Shares, View, shares_again};
use quantity::{Probability, Ratio};
use radio::{Combining, Fading, Lasting, RadioFault};
use std::collections::HashMap;
use std::sync::{Arc, Mutex, PoisonError};

/// What is kept from one proof to the next.
#[derive(Debug, Default)]
pub struct OutlineStore {
    known: Mutex<HashMap<OutlineKey, Result<Outline, String>>>,
    routes: Mutex<Vec<Arc<KnownRoute>>>,
    shares: Mutex<Vec<Arc<KnownShares>>>,
    supplies: Mutex<Vec<Arc<Supply>>>,
    wanted: Mutex<Vec<KnownWanted>>,
    lasting: Mutex<Vec<KnownLasting>>,
}

/// The lowest level that holds a flight, as found on a link for what was asked of it.
#[derive(Debug)]
struct KnownWanted {
    link: Link,
    asked: [f64; 6],
    wanted: Wanted,
}

/// What is left of margins 99 % of the time, by how antennas fade, how alike, and how they are put together.
#[derive(Debug)]
struct KnownLasting {
    of: (Fading, Ratio, Combining),
    lasting: Arc<Lasting>,
}

/// Laws of fading kept at most.
const LASTING_KEPT_MAX: usize = 16;

/// Levels kept at most.
const WANTED_KEPT_MAX: usize = 16;

impl OutlineStore {
    /// What is left of margins 99 % of the time, made ready or known.
    pub(crate) fn lasting(
        &self,
        fading: Fading,
        alike: Ratio,
        combining: Combining,
    ) -> Result<Arc<Lasting>, RadioFault> {
        let of = (fading, alike, combining);
        let known = self.lasting.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some(known) = known.iter().find(|known| known.of == of) {
            return Ok(Arc::clone(&known.lasting));
        }
        drop(known);
        let lasting = Arc::new(Lasting::new(fading, alike, combining, Probability::new(KEPT_FOR))?);
        push(&self.lasting, KnownLasting { of, lasting: Arc::clone(&lasting) }, LASTING_KEPT_MAX);
        Ok(lasting)
    }
}

impl OutlineStore {
    /// The lowest level that holds a flight, found or known of the same link and plan: every lobe on the way out is looked into for it.
    pub(crate) fn wanted(
        &self,
        link: &Link,
        asked: [f64; 6],
        find: impl FnOnce() -> Result<Wanted, RadioFault>,
    ) -> Result<Wanted, RadioFault> {
        let known = self.wanted.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some(known) = known.iter().find(|known| known.asked == asked && known.link == *link) {
            return Ok(known.wanted);
        }
        drop(known);
        let wanted = find()?;
        push(&self.wanted, KnownWanted { link: link.clone(), asked, wanted }, WANTED_KEPT_MAX);
        Ok(wanted)
    }
}

/// Supplies kept at most: those of a handful of craft and of what is tried on them.
const SUPPLIES_KEPT_MAX: usize = 16;

impl OutlineStore {
    /// What was found of a supply in an earlier proof, if none of its numbers changed; else it begins anew.
    pub(crate) fn supply(&self, model: SupplyModel) -> Arc<Supply> {
        let mut kept = self.supplies.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some(known) = kept.iter().find(|known| *known.model() == model) {
            return Arc::clone(known);
        }
        let made = Arc::new(Supply::of(model));
        if kept.len() >= SUPPLIES_KEPT_MAX {
            kept.remove(0);
        }
        kept.push(Arc::clone(&made));
        made
    }
}

/// Outlines kept at most; beyond it the store starts afresh.
const OUTLINES_KEPT_MAX: usize = 4_000;
/// Routes kept at most: those of a handful of craft and of what is tried on them.
const ROUTES_KEPT_MAX: usize = 96;
/// Shares kept at most: a view with its doubts asks for up to a dozen.
const SHARES_KEPT_MAX: usize = 64;

/// An outline's numbers, bit by bit.
type OutlineKey = Vec<u64>;

impl OutlineStore {
    /// An outline with holes, cut or found cut; an error says all that is wrong with it.
    pub(crate) fn outline(&self, outer: Vec<PlanePoint>, holes: Vec<Hole>) -> Result<Outline, String> {
        let key = outline_key(&outer, &holes);
        let mut known = self.known.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some(found) = known.get(&key) {
            return found.clone();
        }
        if known.len() >= OUTLINES_KEPT_MAX {
            known.clear();
        }
        let made = Outline::new(outer, holes)
            .map_err(|faults| faults.iter().map(ToString::to_string).collect::<Vec<_>>().join("; "));
        known.insert(key, made.clone());
        made
    }

    /// The routes found so far, oldest first.
    pub(crate) fn routes(&self) -> Vec<Arc<KnownRoute>> {
        self.routes.lock().unwrap_or_else(PoisonError::into_inner).clone()
    }

    /// Keeps a route.
    pub(crate) fn know_route(&self, route: Arc<KnownRoute>) {
        push(&self.routes, route, ROUTES_KEPT_MAX);
    }

    /// How much of a picture each solid fills; of those that are not counted, if some are, less may be told.
    pub(crate) fn shares(&self, view: &View, scene: &optics::Scene, counted: Option<&[bool]>) -> Shares {
        let known = self.shares.lock().unwrap_or_else(PoisonError::into_inner).clone();
        let (shares, found) = shares_again(view, scene, counted, &known);
        if let Some(found) = found {
            push(&self.shares, found, SHARES_KEPT_MAX);
        }
        shares
    }
}

fn push<T>(kept: &Mutex<Vec<T>>, one: T, most: usize) {
    let mut kept = kept.lock().unwrap_or_else(PoisonError::into_inner);
    if kept.len() >= most {
        kept.remove(0);
    }
    kept.push(one);
}

fn outline_key(outer: &[PlanePoint], holes: &[Hole]) -> OutlineKey {
    let mut key = Vec::with_capacity(2 * outer.len() + 6 * holes.len());
    let mut put = |tag: u64, numbers: &[f64]| {
        key.push(tag);
        key.extend(numbers.iter().map(|number| number.to_bits()));
    };
    for point in outer {
        put(0, &[point.x, point.y]);
    }
    for hole in holes {
        match hole {
            Hole::Round { centre, diameter } => put(1, &[centre.x, centre.y, diameter.get()]),
            Hole::Slot { from, to, width } => put(2, &[from.x, from.y, to.x, to.y, width.get()]),
            Hole::Polygon(points) => {
                put(3, &[]);
                for point in points {
                    put(4, &[point.x, point.y]);
                }
            }
        }
    }
    key
}
