//! The coax from a unit's socket over pigtails to an antenna.
//!
//! A chain starts at every coax plug of a part, and at every plug an antenna or pigtail names. From there
//! it follows `from` and `to` of pigtails and `from` of antennas, either way round. A pigtail named by
//! another lead is entered at its first end unless the word after the stroke says *second*. A chain
//! that would come back to a place it has passed ends there.

use super::{End, end};
use crate::{Placed, Proof};
use craft::schema::{PartKind, air, place, shape::plug};
use craft::{Item, Missing, PlaceId};
use std::collections::HashMap;

/// One side of a joint.
#[derive(Clone, Debug)]
pub(crate) struct Half<'a> {
    /// What a person calls it.
    pub called: String,
    /// The type of its connector.
    pub connector: Result<&'a str, Missing>,
    /// Whether its middle is a pin or a socket.
    pub gender: Result<&'a str, Missing>,
}

/// Where a chain ends.
#[derive(Clone, Debug)]
pub(crate) enum ChainEnd<'a> {
    /// At an antenna.
    Antenna(Placed<'a>),
    /// At a plug or at the end of a pigtail with nothing on it.
    Open,
    /// At a reference to something that is not there.
    Nowhere(&'a str),
}

/// The coax of one socket.
#[derive(Clone, Debug)]
pub(crate) struct Chain<'a> {
    /// The unit it starts at.
    pub unit: Placed<'a>,
    /// What a person calls the plug it starts at.
    pub plug: String,
    /// The pigtails on the way.
    pub pigtails: Vec<Placed<'a>>,
    /// The joints on the way: the side toward the unit, the side toward the antenna.
    pub joints: Vec<[Half<'a>; 2]>,
    /// Where it ends.
    pub end: ChainEnd<'a>,
}

/// The coax of every socket that has or wants one, in the order of the sheet.
pub(crate) fn coax_chains<'a>(proof: &Proof<'a>) -> Vec<Chain<'a>> {
    let leads = leads(proof);
    let mut in_plugs: HashMap<(&PlaceId, String), (usize, usize)> = HashMap::new();
    for (number, lead) in leads.iter().enumerate() {
        for (end, at) in lead.ends.iter().enumerate() {
            if let End::Plug(placed, row) = at {
                let plug = row.name().unwrap_or_default().to_owned();
                in_plugs.entry((&placed.place.id, plug)).or_insert((number, end));
            }
        }
    }
    let mut chains = Vec::new();
    for unit in proof.placed() {
        for row in unit.part.rows(&plug::TABLE) {
            let name = row.name().unwrap_or_default().to_owned();
            let first = in_plugs.get(&(&unit.place.id, name)).copied();
            if first.is_some() || row.text(&plug::USE) == Ok("coax") {
                chains.push(chain(proof, unit, row, &leads, first));
            }
        }
    }
    chains
}

/// Pigtails followed at most in one chain; beyond that it counts as ending in the air.
const PIGTAILS_MAX: usize = 32;

/// An antenna or a pigtail with where its ends go. An antenna has one end.
struct Lead<'a> {
    placed: Placed<'a>,
    ends: Vec<End<'a>>,
}

fn leads<'a>(proof: &Proof<'a>) -> Vec<Lead<'a>> {
    proof
        .placed()
        .filter_map(|placed| {
            let ends = match placed.part.kind {
                PartKind::Antenna => vec![end(proof, placed.place, &place::FROM)],
                PartKind::Pigtail => {
                    vec![end(proof, placed.place, &place::FROM), end(proof, placed.place, &place::TO)]
                }
                _ => return None,
            };
            Some(Lead { placed, ends })
        })
        .collect()
}

impl<'a> Lead<'a> {
    /// Which of its ends is in that end of another lead. A word that names no end fits both.
    fn end_in(&self, lead: &Lead<'a>, leaving: usize) -> Option<usize> {
        let fits = |word: &str| match named_end(word) {
            Some(end) => end == leaving,
            None => true,
        };
        self.ends
            .iter()
            .position(|end| matches!(end, End::Lead(placed, word) if lead.is(placed) && fits(word)))
    }

    fn is(&self, placed: &Placed<'a>) -> bool {
        self.placed.place.id == placed.place.id
    }

    /// The connector at one end.
    fn half(&self, end: usize) -> Half<'a> {
        let item = self.placed.part.item();
        let (side, connector, gender) = match (self.placed.part.kind, end) {
            (PartKind::Antenna, _) => ("", &air::CONNECTOR, &air::GENDER),
            (_, 0) => ("first end of ", &air::END_A, &air::GENDER_A),
            _ => ("second end of ", &air::END_B, &air::GENDER_B),
        };
        Half {
            called: format!("{side}{:?}", self.placed.part.name),
            connector: item.text(connector),
            gender: item.text(gender),
        }
    }
}

/// Which end of a lead a word means: `first end`, `second end`.
pub(crate) fn named_end(word: &str) -> Option<usize> {
    ["first", "second"].into_iter().position(|end| word.starts_with(end))
}

/// The chain from a plug; `first` is the lead in it and which of its ends that is.
fn chain<'a>(
    proof: &Proof<'a>,
    unit: Placed<'a>,
    row: Item<'a>,
    leads: &[Lead<'a>],
    first: Option<(usize, usize)>,
) -> Chain<'a> {
    let several = proof.stands_at(&unit.part.id) > 1;
    let mut chain = Chain {
        unit,
        plug: if several { format!("{} at {}", row.called, unit.place.id) } else { row.called.clone() },
        pigtails: Vec::new(),
        joints: Vec::new(),
        end: ChainEnd::Open,
    };
    let mut near = Half {
        called: row.called.clone(),
        connector: row.text(&plug::TYPE),
        gender: row.text(&plug::GENDER),
    };
    let mut next = first.and_then(|(number, end)| Some((leads.get(number)?, end)));
    while let Some((lead, entered)) = next {
        if chain.pigtails.len() == PIGTAILS_MAX {
            break;
        }
        chain.joints.push([near, lead.half(entered)]);
        if lead.placed.part.kind == PartKind::Antenna {
            chain.end = ChainEnd::Antenna(lead.placed);
            break;
        }
        chain.pigtails.push(lead.placed);
        let leaving = 1 - entered;
        near = lead.half(leaving);
        let passed = |other: &Lead| chain.pigtails.iter().any(|pigtail| other.is(pigtail));
        next = match lead.ends.get(leaving) {
            Some(End::Lead(there, word)) => leads
                .iter()
                .find(|other| other.is(there) && !passed(other))
                .map(|other| (other, named_end(word).filter(|end| *end < other.ends.len()).unwrap_or(0))),
            Some(End::Nowhere(text)) => {
                chain.end = ChainEnd::Nowhere(text);
                None
            }
            // Nothing is said from this side: another lead may name this one.
            _ => leads
                .iter()
                .filter(|other| !passed(other))
                .find_map(|other| Some((other, other.end_in(lead, leaving)?))),
        };
    }
    chain
}
