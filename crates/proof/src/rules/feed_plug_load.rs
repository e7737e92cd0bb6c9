//! Does the plug of the pack carry the craft's current?

use crate::numbers::rounded;
use crate::rule::rule;
use crate::standing::standing;
use crate::supply::custom::CONNECTOR_CLASSES;
use crate::supply_limits::{PLUG_LOAD, PLUG_PUNCH};
use crate::working::Lines;
use crate::{Answer, Finding, Proof, Verdict};
use craft::schema::{PartKind, drive};
use quantity::{FigureId, Linear, Unit};

rule! {
    /// Does the plug of the pack carry the craft's current?
    ///
    /// ## Why
    /// Contacts are small springs. Over their rating they heat, their springs go soft, they resist more and heat more: volts are lost where the
    /// video needs them, and in the end the housing melts or the contacts weld.
    ///
    /// ## Sound when
    /// The root mean square of the current over the planned flight is 80 % or less of what the pair carries for long, and a punch takes no more
    /// than twice that. Over all of it for long, or three times of it at a punch, is broken.
    ///
    /// ## Rests on
    /// The current that the pair carries for long, by its sheet or its class; the flight as planned, motors and rails. That a pair
    /// stands twice its rating for some seconds is common practice.
    ///
    /// ## Mend
    /// The next greater class of plug, on the pack and on the craft.
    PLUG_CARRIES = "feed.plug_load", run
}

fn run(proof: &Proof) -> Answer {
    let (Some(supply), Some(pack)) = (proof.supply(), proof.places_of(PartKind::Pack).next()) else {
        return Answer::default();
    };
    let subject = format!("plug of {}", pack.part.name);
    let at = |finding: Finding| Answer::of(finding.at([pack.place.id.clone()]));
    // What lacks of the supply itself is told by the rules that judge it.
    let Some(found) = supply.bus_current() else { return Answer::default() };
    let carries = match pack.part.item().read(&drive::CONNECTOR_CURRENT) {
        Ok(carries) => carries,
        Err(missing) => return at(Finding::unknown(PLUG_CARRIES.id, subject, vec![missing])),
    };
    let slots = &supply.model().slots;
    let flows = slots.linear(proof, &found.rms);
    let rated = proof.lean(&carries);
    let percent = 100.0 * flows.value / rated.value;
    let load = Linear::chained(percent, &[(100.0 / rated.value, &flows), (-percent / rated.value, &rated)]);
    let times = found.peak / rated.value;
    let at_punch = Linear::chained(times, &[(-times / rated.value, &rated)]);
    // The worse of the two is what is in hand, with its own likelihood.
    let by_both = [standing(proof, &load, &PLUG_LOAD), standing(proof, &at_punch, &PLUG_PUNCH)];
    let [for_long, punched] = by_both;
    let judged = if punched.verdict < for_long.verdict { punched } else { for_long };
    let held = rounded(found.punch.get(), 1);
    let [rms, most, peak] = [flows.value, rated.value, found.peak].map(|amperes| rounded(amperes, 1));
    let heats = match judged.verdict {
        Verdict::Sound => "",
        _ => ": its contacts heat, and lose volts more with every flight",
    };
    let message = format!(
        "Over a flight {rms} A flow through it, which carries {most} A for long, and {peak} A for {held} s at a punch{heats}"
    );
    let sound = judged.verdict == Verdict::Sound;
    let mut finding = judged.finding(PLUG_CARRIES.id, subject, message);
    if !sound {
        let cells = supply.model().cells.as_ref().map_or(2, |cells| cells.series);
        let would_do = |class: f64| {
            100.0 * flows.value / class <= PLUG_LOAD.tight && found.peak / class <= PLUG_PUNCH.tight
        };
        let class = CONNECTOR_CLASSES[usize::from(cells > 1)].iter().find(|class| would_do(**class));
        finding = finding.mend(match class {
            Some(class) => format!("Fit plugs of the {} A class, on the pack and on the craft.", rounded(*class, 0)),
            None => "No plug of a usual class carries it: fly with less punch, or feed the craft by two packs side by side."
                .to_owned(),
        });
    }
    finding.figure = Some(FigureId("feed.plug_load".into()));
    let figure = Lines::of(proof)
        .result("current over the flight", &flows, Unit::Amperes, "root mean square, motors and rails")
        .result("the pair carries for long", &rated, Unit::Amperes, "its sheet or its class")
        .given("most at a punch", found.peak, Unit::Amperes, "the flight as planned")
        .given("that over what it carries", times, Unit::Ratio, PLUG_PUNCH.source.place)
        .facts(&load)
        .figure(
            "feed.plug_load",
            "load of the pack's plug",
            (&load, Unit::Percent),
            "root mean square of the current / current that the pair carries for long",
            PLUG_LOAD.source,
        );
    let mut answer = at(finding);
    answer.figures.push(figure);
    answer
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::testing_supply::{check, is_sound, set};
    use expect_test::expect;

    #[test]
    fn a_plug_of_the_usual_class_is_sound() {
        is_sound(&PLUG_CARRIES);
    }

    #[test]
    fn a_plug_near_its_rating_is_tight() {
        check(
            &PLUG_CARRIES,
            |craft| set(craft, "pack.connector_current", "7 A, data sheet"),
            expect![[r#"
                broken · plug of 650 pack · -7.573 % · 14 %
                  Over a flight 7.5 A flow through it, which carries 7 A for long, and 28.1 A for 1.5 s at a punch: its contacts heat, and lose volts more with every flight
                  > Fit plugs of the 30 A class, on the pack and on the craft.
                  ? No single measurement would change this verdict; two would: current of the motors in flight over that of a stand (by custom: in flight 15 to 30 % less than on a stand with a fresh supply) and connector current of "650 pack". They take its certainty from 86 % to 89 %.
            "#]],
        );
    }

    #[test]
    fn a_plug_over_its_rating_is_broken() {
        check(
            &PLUG_CARRIES,
            |craft| set(craft, "pack.connector_current", "4 A, data sheet"),
            expect![[r#"
                broken · plug of 650 pack · -88.252 % · 0 %
                  Over a flight 7.5 A flow through it, which carries 4 A for long, and 28.1 A for 1.5 s at a punch: its contacts heat, and lose volts more with every flight
                  > Fit plugs of the 30 A class, on the pack and on the craft.
            "#]],
        );
    }

    /// Cool over the flight and too much at a punch: what is told as short is the punch.
    #[test]
    fn where_the_punch_decides_its_own_margin_is_told() {
        check(
            &PLUG_CARRIES,
            |craft| {
                set(craft, "pack.connector_current", "9 A, data sheet");
                set(craft, "craft.punch_every", "60 s");
            },
            expect![[r#"
                broken · plug of 650 pack · -0.025 · 42 %
                  Over a flight 4.8 A flow through it, which carries 9 A for long, and 27.2 A for 1.5 s at a punch: its contacts heat, and lose volts more with every flight
                  > Fit plugs of the 30 A class, on the pack and on the craft.
                  ? connector current of "650 pack"
            "#]],
        );
    }

    #[test]
    fn without_its_rating_it_is_unknown() {
        check(
            &PLUG_CARRIES,
            |craft| set(craft, "pack.connector_current", ""),
            expect![[r#"
            unknown · plug of 650 pack
              Nobody can say yet: the connector current of "650 pack" is not known
              > Measure or look up the connector current of "650 pack".
        "#]],
        );
    }
}
