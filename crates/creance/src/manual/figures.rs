//! The families of figures: what each id computes, by which formula, from which source.
//!
//! A figure carries its own working, so the families are read off the proofs of the demo craft: one
//! entry for each id with the place's name in brackets left out.

use crate::demo;
use quantity::{Figure, Source};
use std::sync::OnceLock;

/// One family of figures.
#[derive(Clone, Debug, PartialEq)]
pub struct FigureFamily {
    /// The id, without a place's name.
    pub id: String,
    /// What it is.
    pub label: String,
    /// The symbol of its unit.
    pub unit: &'static str,
    /// The formula in plain text.
    pub formula: String,
    /// Where the formula comes from.
    pub source: Source,
}

/// The id of a figure without the place's name in brackets.
pub fn stem(id: &str) -> &str {
    id.split('[').next().unwrap_or(id)
}

/// Every family, in the order in which the rules compute them.
pub fn families() -> &'static [FigureFamily] {
    static FAMILIES: OnceLock<Vec<FigureFamily>> = OnceLock::new();
    FAMILIES.get_or_init(|| {
        // The sheets of the demo are held to be without fault by a test of their own.
        let craft = demo::craft().unwrap_or_default();
        let figures: Vec<Figure> =
            craft.iter().flat_map(|(craft, _)| proof::prove(craft).all_figures()).collect();
        families_of(&figures)
    })
}

fn families_of(figures: &[Figure]) -> Vec<FigureFamily> {
    let mut families: Vec<FigureFamily> = Vec::new();
    for figure in figures {
        let id = stem(&figure.id.0);
        match families.iter_mut().find(|known| known.id == id) {
            Some(known) => known.label = common(&known.label, &figure.label).to_owned(),
            None => families.push(family(id, figure)),
        }
    }
    families
}

/// What two labels of a family have in common before a comma; the first where that is nothing. What stands behind the comma is the
/// thing one of them is about, a lens or a lead.
fn common<'l>(one: &'l str, other: &str) -> &'l str {
    if one == other {
        return one;
    }
    let begins = |cut: &usize| {
        let rest = other.strip_prefix(&one[..*cut]);
        rest.is_some_and(|rest| rest.is_empty() || rest.starts_with(", "))
    };
    let cuts = one.match_indices(", ").map(|(cut, _)| cut).chain([one.len()]);
    cuts.filter(begins).last().map_or(one, |cut| &one[..cut])
}

fn family(id: &str, figure: &Figure) -> FigureFamily {
    FigureFamily {
        id: id.to_owned(),
        label: figure.label.clone(),
        unit: figure.quantity.unit.symbol(),
        formula: figure.working.formula.clone(),
        source: figure.working.source,
    }
}

#[cfg(test)]
mod tests {
    use super::common;

    #[test]
    fn a_family_is_not_called_by_one_lens() {
        let of = |lens: &str| format!("view, from side to side, {lens} on camera");
        assert_eq!(common(&of("1.6 mm lens, M8"), &of("2 mm lens, M8")), "view, from side to side");
        assert_eq!(common("view, from side to side", &of("2 mm lens")), "view, from side to side");
        assert_eq!(common("air that a needs", "air that b needs"), "air that a needs");
    }
}
