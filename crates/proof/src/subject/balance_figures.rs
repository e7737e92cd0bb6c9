//! Where the craft balances and how hard it is to turn, as figures.

use crate::Proof;
use crate::working::Lines;
use quantity::{Figure, Source, Unit};

const INERTIA: Source = Source {
    title: "textbook mechanics of rigid bodies",
    place: "parallel-axis theorem",
    grade: quantity::Grade::Memory,
};
const CENTRE: Source = Source {
    title: "textbook mechanics of rigid bodies",
    place: "centre of mass",
    grade: quantity::Grade::Memory,
};

/// The balance point and the moments of inertia; nothing while a mass is missing.
pub(crate) fn balance_figures(proof: &Proof) -> Vec<Figure> {
    let weights = proof.weights();
    let (Some(balance), true) = (&weights.balance, weights.missing.is_empty()) else { return Vec::new() };
    let centre = [
        ("craft.balance_forward", "balance point forward of the origin"),
        ("craft.balance_left", "balance point left of the origin"),
        ("craft.balance_up", "balance point above the origin"),
    ];
    let centre = centre.into_iter().zip(&balance.centre).map(|((id, label), along)| {
        Lines::of(proof).result("mass M", &balance.mass, Unit::Grams, "sum over all parts that fly").figure(
            id,
            label,
            (along, Unit::Millimetres),
            "Σ mass · place / M, each part evenly filled",
            CENTRE,
        )
    });
    let moments = [
        (
            "craft.inertia_roll",
            "moment of inertia about the forward axis",
            "Σ (own I + mass · (left² + up²))",
        ),
        (
            "craft.inertia_pitch",
            "moment of inertia about the axis to the left",
            "Σ (own I + mass · (forward² + up²))",
        ),
        (
            "craft.inertia_yaw",
            "moment of inertia about the upright axis",
            "Σ (own I + mass · (forward² + left²))",
        ),
    ];
    let moments = moments.into_iter().zip(&weights.inertia).map(|((id, label, formula), moment)| {
        Lines::of(proof)
            .result("mass M", &balance.mass, Unit::Grams, "sum over all parts that fly")
            .result("balance point, forward", &balance.centre[0], Unit::Millimetres, "Σ mass · place / M")
            .result("balance point, left", &balance.centre[1], Unit::Millimetres, "Σ mass · place / M")
            .result("balance point, up", &balance.centre[2], Unit::Millimetres, "Σ mass · place / M")
            .figure(id, label, (moment, Unit::GramSquareMillimetres), formula, INERTIA)
    });
    centre.chain(moments).collect()
}
