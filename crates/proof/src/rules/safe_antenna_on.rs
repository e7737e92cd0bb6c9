//! Is there an antenna on every socket before it is powered?

use crate::names::called;
use crate::rule::rule;
use crate::subject::{ChainEnd, coax_chains};
use crate::{Answer, Finding, Proof, Verdict};
use craft::schema::{PartKind, craft as craft_schema, place};

rule! {
    /// Is there an antenna on every socket before it is powered?
    ///
    /// ## Why
    /// Without an antenna all that a transmitter sends comes back into it. At high levels it is damaged in seconds, and
    /// afterwards it is merely weak: a fault that is looked for everywhere else.
    ///
    /// ## Sound when
    /// Every coax plug of the video transmitter leads to an antenna.
    ///
    /// ## Rests on
    /// What is plugged into what on the craft. Common practice.
    ///
    /// ## Mend
    /// Put the antenna on before any power; until then unplug the unit's supply.
    ANTENNA_ON = "safe.antenna_on", run
}

fn run(proof: &Proof) -> Answer {
    let level = proof.craft.item().read(&craft_schema::LEVEL).ok().map(|level| level.value.to_string());
    let chains = coax_chains(proof);
    let mut of_video: Vec<_> =
        chains.iter().filter(|chain| chain.unit.part.kind == PartKind::VideoTransmitter).collect();
    of_video.sort_by_key(|chain| !matches!(chain.end, ChainEnd::Antenna(_)));
    // An antenna that leads nowhere may be meant for an open socket, and nobody has said so plainly.
    let on: Vec<_> = of_video
        .iter()
        .filter_map(|chain| match chain.end {
            ChainEnd::Antenna(antenna) => Some(&antenna.place.id),
            _ => None,
        })
        .collect();
    let loose = proof.places_of(PartKind::Antenna).filter(|antenna| {
        let number = proof.number_of(&antenna.place.id).unwrap_or_default();
        !on.contains(&&antenna.place.id) && !proof.control_antennas().contains_key(&number)
    });
    let loose = loose.map(|antenna| antenna.place.item().missing(&place::FROM.def)).next();
    let findings = of_video.into_iter().map(|chain| {
        let subject = chain.plug.clone();
        let found = |verdict, message: String| {
            Finding::new(ANTENNA_ON.id, verdict, subject.clone(), message).at([chain.unit.place.id.clone()])
        };
        match &chain.end {
            ChainEnd::Antenna(antenna) => {
                found(Verdict::Sound, format!("{} is on it", called(proof, *antenna)))
            }
            // One of the craft's antennas may be meant for it, and nobody has said where it is plugged in.
            ChainEnd::Open | ChainEnd::Nowhere(_) if loose.is_some() => {
                let missing = loose.clone().into_iter().collect();
                Finding::unknown(ANTENNA_ON.id, subject.clone(), missing).at([chain.unit.place.id.clone()])
            }
            ChainEnd::Open | ChainEnd::Nowhere(_) => {
                let at = level.as_ref().map_or_else(String::new, |level| format!(" at {level}"));
                found(Verdict::Broken, format!("No antenna: do not power it. Damage in seconds{at}"))
                    .mend("Put the antenna on, and only then the pack.")
            }
        }
    });
    Answer { findings: findings.collect(), figures: Vec::new() }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::testing::remove_place;
    use crate::testing_wiring::{check, is_sound};
    use expect_test::expect;

    #[test]
    fn an_antenna_on_the_socket_is_sound() {
        is_sound(&ANTENNA_ON);
    }

    #[test]
    fn a_pigtail_that_ends_in_the_air_is_broken() {
        check(
            &ANTENNA_ON,
            |craft| remove_place(craft, "stub"),
            expect![[r#"
                broken · plug "coax 1" of "Lanner small air unit"
                  No antenna: do not power it. Damage in seconds
                  > Put the antenna on, and only then the pack.
            "#]],
        );
    }
}
