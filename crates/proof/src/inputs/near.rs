//! Every pair of solids that comes near what it needs, worked out once for all rules.
//!
//! Needs come from `fit`'s table of roles, changed by what only the craft knows: an insulating sheet
//! under a board lowers its need toward carbon to 1.0 mm; soft mounts add 0.5 mm between boards, since
//! they let them move. Both are common practice.

use super::{CraftSolid, Inputs};
use crate::engine::Proof;
use craft::schema::{PartKind, place as place_schema};
use fit::{Clearance, ClearanceQuestion, Requirement, Role, TooManyPairs, clearances};
use quantity::{Linear, Millimetres, Source};

/// How much further than its need a pair is still worth telling.
const ALLOWANCE: Millimetres = Millimetres::new(2.0);
/// How many pairs are measured at most.
const PAIRS_MAX: usize = 100_000;

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
}

impl Inputs {
    /// Measures every near pair.
    pub(crate) fn near(&self, proof: &Proof) -> Result<Vec<NearPair>, TooManyPairs> {
        let question =
            ClearanceQuestion { touching: &self.touching, allowance: ALLOWANCE, pairs_max: PAIRS_MAX };
        let all = clearances(&self.scene, &question)?;
        Ok(all
            .into_iter()
            .map(|mut clearance| {
                let pair = [clearance.a, clearance.b].map(|index| &self.solids[index.0 as usize]);
                clearance.needs = needs_here(proof, pair, clearance.needs);
                let margin = &clearance.gap.linear - clearance.needs.distance.get();
                let places = [pair[0].place.min(pair[1].place), pair[0].place.max(pair[1].place)];
                NearPair { clearance, margin, places }
            })
            .collect())
    }
}

fn needs_here(proof: &Proof, pair: [&CraftSolid; 2], usual: Requirement) -> Requirement {
    let [a, b] = pair;
    let insulated = |solid: &CraftSolid| {
        proof.craft.places[solid.place].item().flag(&place_schema::INSULATED).unwrap_or(false)
    };
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
    if is(a, BOARDS) && is(b, BOARDS) && (on_soft_mounts(proof, a.place) || on_soft_mounts(proof, b.place)) {
        let distance = usual.distance + SOFT_MOUNT_ADDS;
        return Requirement { distance, source: SOFT_MOUNT_SOURCE, ..usual };
    }
    usual
}

/// Whether soft mounts share the seat of a place.
fn on_soft_mounts(proof: &Proof, number: usize) -> bool {
    let seat = &proof.craft.places[number].on;
    proof.places_of(PartKind::SoftMount).any(|mount| {
        &mount.place.on == seat || seat.as_ref().and_then(craft::Anchor::place) == Some(&mount.place.id)
    })
}
