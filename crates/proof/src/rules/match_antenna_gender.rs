//! Does every joint from unit to antenna mate, pin into socket?

use crate::names::{called, same_words};
use crate::rule::rule;
use crate::subject::{Chain, ChainEnd, End, Half, coax_chains, end};
use crate::{Answer, Finding, Proof, Verdict};
use craft::schema::{PartKind, place};
use craft::{Missing, PlaceId};
use quantity::FactPath;
use std::collections::HashSet;

rule! {
    /// Does every joint from unit to antenna mate, pin into socket?
    ///
    /// ## Why
    /// Threaded connectors exist in a reversed kind that screws on with two pins or two holes in the middle:
    /// nothing connects. A transmitter with no antenna gets its power thrown back and may burn within
    /// seconds.
    ///
    /// ## Sound when
    /// Every coax plug of a unit on the craft leads over at most one pigtail to an antenna, both sides of every
    /// joint name the same connector, and one side has the pin, the other the socket. A second pigtail or an
    /// adapter is tight: each joint costs 0.1 to 0.2 dB and may work loose.
    ///
    /// ## Rests on
    /// What plugs into what, and the connector and gender of every plug, pigtail end and antenna. Common
    /// practice.
    ///
    /// ## Mend
    /// Take the antenna or pigtail of the other gender or connector. Never power a transmitter without its
    /// antenna.
    ANTENNA_GENDER = "match.antenna_gender", run
}

const CAUTION: &str = "Never power it without an antenna.";

fn run(proof: &Proof) -> Answer {
    let chains = coax_chains(proof);
    let attached: HashSet<PlaceId> = chains.iter().flat_map(places).collect();
    let mut findings: Vec<Finding> =
        chains.iter().filter_map(|chain| judge(proof, chain, &attached)).collect();
    for unit in proof.places_of(PartKind::VideoTransmitter) {
        if !attached.contains(&unit.place.id) {
            // Without a coax plug on its data sheet nobody can say what its antenna must have.
            let plugs = Missing {
                path: FactPath(format!("{}.plug", unit.part.id)),
                label: format!("coax plug of {:?}", unit.part.name),
            };
            let finding =
                Finding::unknown(ANTENNA_GENDER.id, format!("coax of {}", unit.part.name), vec![plugs]);
            findings.push(finding.at([unit.place.id.clone()]));
        }
    }
    Answer { findings, figures: Vec::new() }
}

fn judge(proof: &Proof, chain: &Chain, attached: &HashSet<PlaceId>) -> Option<Finding> {
    let subject = chain.plug.clone();
    let found = |verdict, message: String| {
        Finding::new(ANTENNA_GENDER.id, verdict, subject.clone(), message).at(places(chain))
    };
    if let Some(fault) = chain.joints.iter().find_map(|joint| fault(joint)) {
        return Some(found(Verdict::Broken, fault.0).mend(fault.1).mend(CAUTION));
    }
    match &chain.end {
        ChainEnd::Nowhere(text) => return Some(astray(chain, "its coax", text)),
        ChainEnd::Open => return open(proof, chain, attached),
        ChainEnd::Antenna(_) => {}
    }
    let missing: Vec<Missing> = chain
        .joints
        .iter()
        .flatten()
        .flat_map(|half| [half.connector.as_ref().err(), half.gender.as_ref().err()])
        .flatten()
        .cloned()
        .collect();
    Some(if !missing.is_empty() {
        Finding::unknown(ANTENNA_GENDER.id, subject.clone(), missing).at(places(chain)).mend(CAUTION)
    } else if chain.pigtails.len() > 1 {
        let joints = chain.joints.len();
        found(
            Verdict::Tight,
            format!("It reaches its antenna over {} leads and {joints} joints: each costs level and may work loose", chain.pigtails.len()),
        )
        .mend("Take one pigtail that has both ends right.")
    } else {
        found(Verdict::Sound, "Every joint mates, pin into socket, up to the antenna".to_owned())
    })
}

/// Why a joint makes no contact, and the mend; `None` where it mates or nobody knows.
fn fault([near, far]: &[Half; 2]) -> Option<(String, String)> {
    if let (Ok(ours), Ok(theirs)) = (&near.connector, &far.connector)
        && !same_words(ours, theirs)
    {
        return Some((
            format!("The {} is {ours}, the {} is {theirs}: they do not mate", near.called, far.called),
            format!("Take an antenna or pigtail with {ours}."),
        ));
    }
    match (&near.gender, &far.gender) {
        (Ok(ours), Ok(theirs)) if ours == theirs => {
            let (both, wanted) =
                if *ours == "pin" { ("both have a pin", "a socket") } else { ("neither has a pin", "a pin") };
            Some((
                format!(
                    "The {} and the {} screw together, but {both} in the middle: nothing connects, and the \
                     transmitter may burn",
                    near.called, far.called
                ),
                format!("Take an antenna or pigtail with {wanted} in the middle."),
            ))
        }
        _ => None,
    }
}

/// A lead that is said to go to something that is not there.
fn astray(chain: &Chain, lead: &str, text: &str) -> Finding {
    let message = format!("Nobody can say yet: {lead} is said to go to \"{text}\", which is not there");
    let finding = Finding::new(ANTENNA_GENDER.id, Verdict::Unknown, chain.plug.clone(), message);
    finding
        .at(places(chain))
        .mend("Name the place and the plug as they are called, as place/plug.")
        .mend(CAUTION)
}

/// A chain that stops short of an antenna.
fn open(proof: &Proof, chain: &Chain, attached: &HashSet<PlaceId>) -> Option<Finding> {
    if chain.unit.part.kind == PartKind::GroundReceiver {
        return None; // A free input of a receiver harms nobody.
    }
    let mut missing = Vec::new();
    for lead in [PartKind::Antenna, PartKind::Pigtail].into_iter().flat_map(|kind| proof.places_of(kind)) {
        if attached.contains(&lead.place.id) {
            continue;
        }
        match end(proof, lead.place, &place::FROM) {
            End::Unsaid(lack) => missing.push(lack),
            End::Nowhere(text) => return Some(astray(chain, &called(proof, lead), text)),
            _ => {}
        }
    }
    if !missing.is_empty() {
        let unknown = Finding::unknown(ANTENNA_GENDER.id, chain.plug.clone(), missing);
        return Some(unknown.at(places(chain)).mend(CAUTION));
    }
    let at = chain.joints.last().map_or_else(
        || format!("Nothing is on the {}", chain.plug),
        |[_, far]| {
            format!(
                "Its coax stops at {}",
                far.called.trim_start_matches("first end of ").trim_start_matches("second end of ")
            )
        },
    );
    let harm = if chain.unit.part.kind == PartKind::VideoTransmitter {
        "powered like this, the transmitter may burn"
    } else {
        "without an antenna there is no link"
    };
    let finding =
        Finding::new(ANTENNA_GENDER.id, Verdict::Broken, chain.plug.clone(), format!("{at}: {harm}"));
    Some(finding.at(places(chain)).mend("Put an antenna on, and say which plug it starts at.").mend(CAUTION))
}

fn places(chain: &Chain) -> Vec<PlaceId> {
    let antenna = match &chain.end {
        ChainEnd::Antenna(antenna) => Some(antenna),
        _ => None,
    };
    std::iter::once(&chain.unit)
        .chain(&chain.pigtails)
        .chain(antenna)
        .map(|placed| placed.place.id.clone())
        .collect()
}

#[cfg(test)]
#[path = "match_antenna_gender_tests.rs"]
mod tests;
