//! Every pair of solids that comes near what it needs, worked out once for all rules.
//!
//! Needs come from `fit`'s table of roles, changed by what only the craft knows: an insulating sheet
//! under a board lowers its need toward carbon to 1.0 mm; soft mounts add 0.5 mm between boards, since
//! they let them move. Both are common practice.

use super::touching::Contacts;
use super::{CraftSolid, Inputs};
use crate::engine::Proof;
use craft::Anchor;
use craft::schema::{PartKind, place as place_schema};
use fit::{
    Clearance, ClearanceQuestion, Extent, Requirement, Role, SolidIndex, TooManyPairs, clearances,
    clearances_after, overlap, required_clearance,
};
use quantity::{Linear, Millimetres, Source};
use std::collections::HashSet;

/// How much further than its need a pair is still worth telling.
pub(crate) const ALLOWANCE: Millimetres = Millimetres::new(2.0);
/// How many pairs are measured at most.
const PAIRS_MAX: usize = 100_000;

/// What is asked of `fit`.
const QUESTION: ClearanceQuestion =
    ClearanceQuestion { touching: &[], allowance: ALLOWANCE, pairs_max: PAIRS_MAX };

/// What a board needs toward carbon with a sheet between.
const INSULATED_NEED: Millimetres = Millimetres::new(1.0);
const INSULATED_SOURCE: Source = Source::common_practice("board to carbon with an insulating sheet between");
/// What soft mounts add between boards.
const SOFT_MOUNT_ADDS: Millimetres = Millimetres::new(0.5);
const SOFT_MOUNT_SOURCE: Source = Source::common_practice("board to board, populated, one on soft mounts");

/// A pair of solids of two places.
#[derive(Clone, Debug)]
pub struct NearPair {
    /// What `fit` measured, with the need that holds in this craft.
    pub clearance: Clearance,
    /// Actual less required, with the facts it leans on.
    pub margin: Linear,
    /// The places of the two solids, lower number first.
    pub places: [usize; 2],
    /// Whether the two are meant to touch: a board and its spacer, a motor and its arm.
    pub touching: bool,
}

impl Inputs {
    /// Measures every near pair.
    pub(crate) fn near(&self, proof: &Proof) -> Result<Vec<NearPair>, TooManyPairs> {
        let all = clearances(&self.scene, &QUESTION)?;
        Ok(self.judged(proof, &Contacts::of(proof), all))
    }

    /// Measures the near pairs of one place that are meant to keep apart; `None` where one of them overlaps, which is
    /// seen long before it is known how deep.
    pub(crate) fn near_of(&self, proof: &Proof, place: usize) -> Result<Option<Vec<NearPair>>, TooManyPairs> {
        let contacts = Contacts::of(proof);
        let (own, mine): (Vec<SolidIndex>, Vec<&CraftSolid>) = self.solids_of(place).unzip();
        let fouled = |(one, extent): &(&CraftSolid, Extent), (number, other): (usize, &CraftSolid)| {
            let roles = [one, other].map(|solid| solid.solid.role);
            let meets =
                self.scene.extent(SolidIndex(number as u32)).is_some_and(|box_of| meet(extent, &box_of));
            meets
                && other.place != place
                && required_clearance(roles[0], roles[1]).is_some()
                && !contacts.meant(one, other)
                && !contacts.left_open(one, other)
                && overlap(&one.solid, &other.solid)
        };
        let boxed = mine.into_iter().zip(own.iter().filter_map(|index| self.scene.extent(*index)));
        if boxed.into_iter().any(|one| self.solids.iter().enumerate().any(|other| fouled(&one, other))) {
            return Ok(None);
        }
        let all = clearances_after(&self.scene, &QUESTION, &[], &own)?;
        let all = self.judged(proof, &contacts, all);
        Ok(Some(all.into_iter().filter(|pair| !pair.touching).collect()))
    }

    fn judged(&self, proof: &Proof, contacts: &Contacts, all: Vec<Clearance>) -> Vec<NearPair> {
        let soft = SoftlyMounted::of(proof);
        all.into_iter()
            .map(|clearance| {
                let pair = [clearance.a, clearance.b].map(|index| &self.solids[index.0 as usize]);
                (clearance, pair)
            })
            .filter(|(_, pair)| !contacts.left_open(pair[0], pair[1]))
            .map(|(mut clearance, pair)| {
                let moves = pair.iter().any(|solid| soft.carries(solid.place));
                clearance.needs = needs_here(proof, moves, pair, clearance.needs);
                let margin = &clearance.gap.linear - clearance.needs.distance.get();
                let places = [pair[0].place.min(pair[1].place), pair[0].place.max(pair[1].place)];
                let touching = contacts.meant(pair[0], pair[1]);
                NearPair { clearance, margin, places, touching }
            })
            .collect()
    }
}

/// What two solids need in this craft; `moves` says that one of them stands on soft mounts.
pub(crate) fn needs_here(
    proof: &Proof,
    moves: bool,
    pair: [&CraftSolid; 2],
    usual: Requirement,
) -> Requirement {
    let [a, b] = pair;
    let insulated = |solid: &CraftSolid| proof.craft.places[solid.place].is_marked(&place_schema::INSULATED);
    let is = |solid: &CraftSolid, roles: &[Role]| roles.contains(&solid.solid.role);
    const BARE: &[Role] = &[Role::Board, Role::BareConductor];
    for (board, plate) in [(a, b), (b, a)] {
        if is(board, BARE) && is(plate, &[Role::CarbonPlate]) && insulated(board) {
            if INSULATED_NEED < usual.distance {
                return Requirement { distance: INSULATED_NEED, source: INSULATED_SOURCE, ..usual };
            }
            return usual;
        }
    }
    const BOARDS: &[Role] = &[Role::Board, Role::Transmitter];
    if is(a, BOARDS) && is(b, BOARDS) && moves {
        let distance = usual.distance + SOFT_MOUNT_ADDS;
        return Requirement { distance, source: SOFT_MOUNT_SOURCE, ..usual };
    }
    usual
}

/// The places that stand on soft mounts: those that share the seat of some, or are seated on them.
pub(crate) struct SoftlyMounted(Vec<bool>);

impl SoftlyMounted {
    /// Looks every seat up once.
    pub fn of(proof: &Proof) -> Self {
        let mounts = || proof.places_of(PartKind::SoftMount);
        let seats: HashSet<&Anchor> = mounts().filter_map(|mount| mount.place.on.as_ref()).collect();
        let ids: HashSet<_> = mounts().map(|mount| &mount.place.id).collect();
        let is_soft = |on: &Anchor| {
            (*on != Anchor::Body && seats.contains(on)) || on.place().is_some_and(|id| ids.contains(id))
        };
        Self(proof.craft.places.iter().map(|place| place.on.as_ref().is_some_and(is_soft)).collect())
    }

    /// Whether the place of a number stands on soft mounts.
    pub fn carries(&self, place: usize) -> bool {
        self.0.get(place).copied().unwrap_or(false)
    }
}

/// Whether two boxes share a place.
fn meet(a: &Extent, b: &Extent) -> bool {
    let (a_low, a_high) = (a.low.coordinates(), a.high.coordinates());
    let (b_low, b_high) = (b.low.coordinates(), b.high.coordinates());
    (0..3).all(|axis| a_low[axis] <= b_high[axis] && b_low[axis] <= a_high[axis])
}

#[cfg(test)]
#[path = "near_tests.rs"]
mod tests;
