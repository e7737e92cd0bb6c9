//! Is every antenna made for the band of the unit it is on?

use crate::limits::STANDING_WAVE;
use crate::numbers::rounded;
use crate::rule::rule;
use crate::standing::standing;
use crate::subject::{Chain, ChainEnd, coax_chains};
use crate::{Answer, Finding, Margin, Placed, Proof, Verdict};
use craft::schema::{PartKind, air};
use craft::{Missing, Reading};
use quantity::{Megahertz, Quantity};

rule! {
    /// Is every antenna made for the band of the unit it is on?
    ///
    /// ## Why
    /// An antenna for the wrong band fits the same plug. It throws most of the power back into the
    /// transmitter: a picture at ten metres, none at a hundred, and a hot final stage.
    ///
    /// ## Sound when
    /// The antenna's band covers all of the unit's band, and its standing wave ratio, where known, is at most
    /// 2; a higher ratio is tight.
    ///
    /// ## Rests on
    /// Lowest and highest frequency of unit and antenna (of a control receiver: its band), and the standing
    /// wave ratio. Common practice.
    ///
    /// ## Mend
    /// Take an antenna for the unit's band.
    ANTENNA_BAND = "match.antenna_band", run
}

fn run(proof: &Proof) -> Answer {
    let findings = coax_chains(proof).iter().filter_map(|chain| judge(proof, chain)).collect();
    Answer { findings, figures: Vec::new() }
}

/// The lowest and the highest frequency of a unit or an antenna.
fn band(placed: Placed) -> Result<(Megahertz, Megahertz), Vec<Missing>> {
    let item = placed.part.item();
    if placed.part.kind == PartKind::ControlReceiver {
        return item
            .read(&air::CONTROL_BAND)
            .map(|band| (band.value, band.value))
            .map_err(|missing| vec![missing]);
    }
    let value = |reading: Reading<Megahertz>| reading.value;
    match (item.read(&air::BAND_LOW).map(value), item.read(&air::BAND_HIGH).map(value)) {
        (Ok(low), Ok(high)) => Ok((low, high)),
        (low, high) => Err(low.err().into_iter().chain(high.err()).collect()),
    }
}

fn judge(proof: &Proof, chain: &Chain) -> Option<Finding> {
    let ChainEnd::Antenna(antenna) = chain.end else { return None };
    let unit = chain.unit;
    let has_band = [&air::BAND_LOW.def, &air::CONTROL_BAND.def]
        .into_iter()
        .any(|def| unit.part.kind.def().fields.iter().any(|field| field.key == def.key));
    if !has_band {
        return None; // A board that is no radio unit on its sheet: its coax is judged by its joints alone.
    }
    let subject = format!("{} on {}", antenna.part.name, chain.plug);
    let places = [antenna.place.id.clone(), unit.place.id.clone()];
    let ((low, high), (from, to)) = match (band(unit), band(antenna)) {
        (Ok(wanted), Ok(given)) => (wanted, given),
        (wanted, given) => {
            let missing = wanted.err().into_iter().chain(given.err()).flatten().collect();
            return Some(Finding::unknown(ANTENNA_BAND.id, subject, missing).at(places));
        }
    };
    let in_hand = (low - from).min(to - high);
    let words = |low: Megahertz, high: Megahertz| {
        if low == high { format!("{low}") } else { format!("{} to {high}", rounded(low.get(), 3)) }
    };
    let (wanted, given) = (words(low, high), words(from, to));
    let mut finding = if in_hand.get() < 0.0 {
        let message = if to < low || from > high {
            format!("This antenna is for {given}, the unit works at {wanted}: hardly any power leaves it")
        } else {
            format!("This antenna is for {given}, the unit's band is {wanted}: it does not cover all of it")
        };
        Finding::new(ANTENNA_BAND.id, Verdict::Broken, subject, message)
            .mend(format!("Take an antenna for {wanted}."))
            .mend("Until then leave the unit unpowered.")
    } else {
        standing_wave(proof, antenna, &subject).unwrap_or_else(|| {
            let message = format!("The antenna is for {given}, the unit's band is {wanted}");
            Finding::new(ANTENNA_BAND.id, Verdict::Sound, subject, message)
        })
    };
    finding.margin = Some(Margin { quantity: Quantity::of(in_hand), uncertainty: None });
    Some(finding.at(places))
}

/// What to say where the standing wave ratio is known and may be too high.
fn standing_wave(proof: &Proof, antenna: Placed, subject: &str) -> Option<Finding> {
    let ratio = antenna.part.item().read(&air::VSWR).ok()?;
    let standing = standing(proof, &proof.lean(&ratio), &STANDING_WAVE);
    if standing.verdict == Verdict::Sound {
        return None;
    }
    let (advice, ratio) = (standing.advice, ratio.value.get());
    // Share of power reflected: ((s − 1)/(s + 1))².
    let back = ((ratio - 1.0) / (ratio + 1.0)).powi(2) * 100.0;
    let message = format!(
        "The band is right, but a standing wave ratio of {} throws {} % of the power back",
        rounded(ratio, 2),
        rounded(back, 0)
    );
    let finding = Finding::new(ANTENNA_BAND.id, Verdict::Tight, subject, message).mend(format!(
        "Take an antenna with a ratio of at most {}; straighten or replace a bent one.",
        STANDING_WAVE.tight
    ));
    Some(Finding { measure_next: advice.next, no_single_fact: advice.no_single, ..finding })
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use crate::testing::{is_sound, part, place, row, set, told};
    use craft::Craft;
    use expect_test::{Expect, expect};

    fn check(spoil: impl FnOnce(&mut Craft), expected: Expect) {
        expected.assert_eq(&told(&ANTENNA_BAND, spoil));
    }

    #[test]
    fn an_antenna_that_covers_the_band_is_sound() {
        is_sound(&ANTENNA_BAND);
    }

    #[test]
    fn an_antenna_for_another_band_is_broken() {
        check(
            |craft| {
                set(craft, "stub.band_low", "2400 MHz");
                set(craft, "stub.band_high", "2.5 GHz");
            },
            expect![[r#"
                broken · stub antenna on plug "coax 1" of "Lanner small air unit" · -3450 MHz
                  This antenna is for 2400 to 2500 MHz, the unit works at 5650 to 5950 MHz: hardly any power leaves it
                  > Take an antenna for 5650 to 5950 MHz.
                  > Until then leave the unit unpowered.
            "#]],
        );
    }

    #[test]
    fn an_antenna_that_covers_a_part_is_broken() {
        check(
            |craft| set(craft, "stub.band_low", "5725 MHz"),
            expect![[r#"
                broken · stub antenna on plug "coax 1" of "Lanner small air unit" · -75 MHz
                  This antenna is for 5725 to 6000 MHz, the unit's band is 5650 to 5950 MHz: it does not cover all of it
                  > Take an antenna for 5650 to 5950 MHz.
                  > Until then leave the unit unpowered.
            "#]],
        );
    }

    #[test]
    fn a_high_standing_wave_ratio_is_tight() {
        check(
            |craft| set(craft, "stub.vswr", "2.6, measured"),
            expect![[r#"
                tight · stub antenna on plug "coax 1" of "Lanner small air unit" · 50 MHz
                  The band is right, but a standing wave ratio of 2.6 throws 20 % of the power back
                  > Take an antenna with a ratio of at most 2; straighten or replace a bent one.
            "#]],
        );
        check(
            |craft| set(craft, "stub.vswr", "1.95, typical"),
            expect![[r#"
                tight · stub antenna on plug "coax 1" of "Lanner small air unit" · 50 MHz
                  The band is right, but a standing wave ratio of 1.95 throws 10 % of the power back
                  > Take an antenna with a ratio of at most 2; straighten or replace a bent one.
                  ? standing wave ratio of "stub antenna"
            "#]],
        );
    }

    #[test]
    fn unknown_edges_are_named() {
        check(
            |craft| {
                set(craft, "stub.band_high", "");
                set(craft, "vtx.band_low", "");
            },
            expect![[r#"
                unknown · stub antenna on plug "coax 1" of "Lanner small air unit"
                  Nobody can say yet: the lowest frequency of "Lanner small air unit" and the highest frequency of "stub antenna" are not known
                  > Measure or look up the lowest frequency of "Lanner small air unit".
                  > Measure or look up the highest frequency of "stub antenna".
            "#]],
        );
    }

    #[test]
    fn a_control_receiver_wants_its_own_band() {
        check(
            |craft| {
                part(craft, PartKind::ControlReceiver, "rx", "control receiver", &[("band", "2400 MHz")]);
                row(craft, "rx", "plug", &[("name", "coax"), ("use", "coax")]);
                place(craft, "rx", "rx", "frame", &[]);
                place(craft, "tee", "stub", "frame", &[("from", "rx/coax")]);
            },
            expect![[r#"
                broken · stub antenna on plug "coax" of "control receiver" · -3200 MHz
                  This antenna is for 5600 to 6000 MHz, the unit works at 2400 MHz: hardly any power leaves it
                  > Take an antenna for 2400 MHz.
                  > Until then leave the unit unpowered.
                sound · stub antenna on plug "coax 1" of "Lanner small air unit" · 50 MHz
                  The antenna is for 5600 to 6000 MHz, the unit's band is 5650 to 5950 MHz
            "#]],
        );
    }
}
