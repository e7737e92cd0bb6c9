//! Whether a board on a hole pattern would do better turned: tried, not guessed.
//!
//! The board is turned by a quarter, a half and three quarters, and each time the craft is asked anew: whether the
//! board stands clear of everything, whether its plugs come out and its sockets are reached, and whether its
//! holes meet. Only a turn at which all of that is sound is proposed, the least first. Not tried: flipping it over,
//! which asks for other spacers too; and crafts so large that trying would take long.

use crate::names::called;
use crate::rules::rule_of;
use crate::{Proof, Verdict};
use craft::schema::{PartKind, place as place_schema, shape};
use craft::{Anchor, Craft, Value};
use quantity::{Basis, Degrees, Doubt, Fact, Quantity, Unit, chance_at_least};

/// Solids beyond which nothing is tried.
const SOLIDS_MAX: usize = 400;
/// Boards tried in one proof.
pub(crate) const BOARDS_MAX: usize = 6;

/// What to do so that the board at a place does no harm, if turning it is enough; `None` for a part that is
/// not on a hole pattern, and where no turn is better.
pub(crate) fn better_turn(proof: &Proof, number: usize) -> Option<String> {
    let placed = proof.placed_number(number)?;
    let Some(Anchor::Feature(under, feature)) = &placed.place.on else { return None };
    proof.placed_at(under)?.part.row_named(&shape::pattern::TABLE, feature)?;
    let turned = proof.turned(number, || try_turns(proof, number))?;
    let follow = match placed.part.kind {
        PartKind::FlightController | PartKind::IntegratedBoard => "; and tell its settings so",
        _ => "",
    };
    let name = called(proof, placed);
    Some(format!(
        "Turn {name} to {turned:.0}°: there it stands clear, its plugs come out and its holes meet{follow}."
    ))
}

fn try_turns(proof: &Proof, number: usize) -> Option<f64> {
    if proof.is_trial() || proof.inputs().solids.len() > SOLIDS_MAX {
        return None;
    }
    let place = proof.craft.places.get(number)?;
    let yaw = place.item().read::<Degrees>(&place_schema::YAW).ok()?.value.get();
    let mut turns = [yaw + 90.0, yaw - 90.0, yaw + 180.0].map(|turn| {
        let turn = turn.rem_euclid(360.0);
        if turn > 180.0 { turn - 360.0 } else { turn }
    });
    turns.sort_by(|a, b| a.abs().total_cmp(&b.abs()).then(b.total_cmp(a)));
    turns.into_iter().find(|turn| does_no_harm(proof, &turned(proof.craft, number, *turn), number))
}

/// The same craft with one place turned.
fn turned(craft: &Craft, number: usize, yaw: f64) -> Craft {
    let mut turned = craft.clone();
    let quantity = Quantity { value: yaw, unit: Unit::Degrees };
    let fact = Fact { quantity, stated: Some(Doubt::NONE), basis: Basis::Measured };
    if let Some(place) = turned.places.get_mut(number) {
        place.values.insert(place_schema::YAW.def.key.to_owned(), Value::Fact(fact));
    }
    turned
}

fn does_no_harm(proof: &Proof, craft: &Craft, number: usize) -> bool {
    let trial = proof.trial(craft);
    // Only what is turned is measured, and what overlaps is measured no further.
    let Ok(Some(near)) = trial.inputs().near_of(&trial, number) else { return false };
    let clear = near
        .iter()
        .all(|pair| chance_at_least(&pair.margin, &trial.ledger(), 0.0).get() >= crate::limits::TIGHT_UNDER);
    let id = &craft.places[number].id;
    let sound = |rule: &str| {
        rule_of(rule).is_some_and(|rule| {
            let findings = (rule.run)(&trial).findings;
            findings.iter().filter(|f| f.places.contains(id)).all(|f| f.verdict == Verdict::Sound)
        })
    };
    clear && ["fit.pattern_match", "fit.plug_pull", "fit.service_access"].into_iter().all(sound)
}
