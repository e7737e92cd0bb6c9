//! Do heads keep away from the powered antennas?

use crate::limits::EXPOSURE;
use crate::link::{Lack, LinkModel};
use crate::numbers::rounded;
use crate::rule::rule;
use crate::standing::standing;
use crate::subject::{Radiating, lacking, milliwatts, radiating};
use crate::working::Lines;
use crate::{Answer, Finding, Proof, Verdict};
use quantity::{Dbm, Figure, FigureId, Linear, Metres, Milliwatts, Unit};
use radio::{EXPOSURE_LEVEL_W_PER_M2, EXPOSURE_SOURCE, exposure_distance};
use std::f64::consts::LN_10;

rule! {
    /// Do heads keep away from the powered antennas?
    ///
    /// ## Why
    /// Close to an antenna its field warms what takes it in, eyes first. On a bench a head is soon nearer than anybody would
    /// stand by plan.
    ///
    /// ## Sound when
    /// The nearest that people come is at least three times the distance at which the power density falls to the
    /// reference level for the public, 10 W/m². Nearer than three times is tight, nearer than once broken. From half a watt
    /// on, at the socket or radiated, nearer than 30 cm is tight whatever is reckoned. Defer to your local rules.
    ///
    /// ## Rests on
    /// The radiated power with its doubt, along the antenna's strongest direction, all of the time; the distance to people that
    /// you entered. Within a few wavelengths it is an order, not a measure. ICNIRP (2020), reference level above 2 GHz.
    ///
    /// ## Mend
    /// Step back, stay at standby on the bench, or set a lower level.
    HEADS_KEEP_AWAY = "safe.exposure", run
}

fn run(proof: &Proof) -> Answer {
    let Some(model) = proof.link() else { return Answer::default() };
    let figures: Vec<Figure> =
        radiating(model).ok().and_then(|found| figure(proof, model, &found)).into_iter().collect();
    if model.station.is_none() && model.plan.people_at.is_err() {
        return Answer { findings: Vec::new(), figures };
    }
    let findings = match (&model.plan.people_at, radiating(model)) {
        (Ok(people), Ok(found)) => judge(proof, model, *people, &found).into_iter().collect(),
        (people, found) => {
            let mut lack = found.err().unwrap_or_default();
            if let Err(missing) = people {
                lack.add(&Lack::missing(missing.clone()));
            }
            vec![lacking(HEADS_KEEP_AWAY.id, "people near the antennas", &lack)]
        }
    };
    let at = |finding: Finding| finding.at([model.unit.clone()]);
    Answer { findings: findings.into_iter().map(at).collect(), figures }
}

const ID: &str = "safe.exposure_distance";
/// From this power on heads keep an arm's length away, whatever is reckoned. Common practice.
const STRONG: Milliwatts = Milliwatts::new(500.0);
/// So far.
const ARMS_LENGTH: Metres = Metres::new(0.3);

/// How near the reference level comes, whether or not anybody said where people are.
fn figure(proof: &Proof, model: &LinkModel, found: &Radiating) -> Option<Figure> {
    let eirp = Dbm::new(found.eirp.value);
    let away = exposure_distance(eirp, EXPOSURE_LEVEL_W_PER_M2)?;
    let distance = Linear::chained(away.get(), &[(away.get() * LN_10 / 20.0, &found.eirp)]);
    let mut lines = Lines::of(proof)
        .given("radiated power", eirp.power().get(), Unit::Milliwatts, "link.radiated")
        .given("reference level in W/m²", EXPOSURE_LEVEL_W_PER_M2, Unit::Ratio, EXPOSURE_SOURCE.line());
    if let Ok(people) = &model.plan.people_at {
        lines = lines.given("people", people.get(), Unit::Metres, "as entered");
    }
    Some(lines.facts(&distance).figure(
        ID,
        "distance at which the power density falls to the reference level",
        (&distance, Unit::Metres),
        "d = √(P/(4π·S)); within a few wavelengths an order, not a measure",
        EXPOSURE_SOURCE,
    ))
}

fn judge(proof: &Proof, model: &LinkModel, people: Metres, found: &Radiating) -> Option<Finding> {
    let eirp = Dbm::new(found.eirp.value);
    let away = exposure_distance(eirp, EXPOSURE_LEVEL_W_PER_M2)?;
    // The distance goes with the root of the power: dd/dP = d·ln 10/20 a decibel.
    let ratio = Linear::chained(
        people.get() / away.get(),
        &[(-people.get() / away.get() * LN_10 / 20.0, &found.eirp)],
    );
    let mut judged = standing(proof, &ratio, &EXPOSURE);
    // Near in the reckoned distance is an order only: the custom holds whatever comes out.
    let at_socket = model.plan.set.as_ref().map(|level| level.at_socket.power());
    let strong = eirp.power() >= STRONG || at_socket.is_ok_and(|power| power >= STRONG);
    let by_custom = strong && people < ARMS_LENGTH;
    if by_custom {
        judged.verdict = judged.verdict.min(Verdict::Tight);
    }
    let reckoned_enough = ratio.value >= EXPOSURE.tight;
    let verdict = judged.verdict;
    let cm = |distance: Metres| {
        format!("{} cm", rounded(distance.get() * 100.0, usize::from(distance.get() < 0.1)))
    };
    let message = match verdict {
        Verdict::Sound => format!(
            "At {} people keep {} away, {} times the distance of the reference level",
            model.plan.set.as_ref().map_or(milliwatts(eirp), |level| level.out.to_string()),
            metres_or_cm(people),
            rounded(ratio.value, if ratio.value < 10.0 { 1 } else { 0 })
        ),
        _ if by_custom && reckoned_enough => format!(
            "People come as near as {}: from half a watt on heads keep 30 cm away, whatever is reckoned so near to an antenna",
            metres_or_cm(people)
        ),
        _ => format!(
            "At {} e.i.r.p. the reference level reaches {}; people come as near as {}",
            milliwatts(eirp),
            cm(away),
            metres_or_cm(people)
        ),
    };
    let mut finding = judged.finding(HEADS_KEEP_AWAY.id, "people near the antennas", message);
    if verdict != Verdict::Sound {
        let reckoned = away * EXPOSURE.tight;
        let keep = if strong && reckoned < ARMS_LENGTH { ARMS_LENGTH } else { reckoned };
        finding = finding
            .mend(format!("Keep {} and more away from powered antennas.", cm(keep)))
            .mend("On the bench stay at standby, or set the lowest level.");
    }
    finding.figure = Some(FigureId(ID.into()));
    Some(finding)
}

fn metres_or_cm(distance: Metres) -> String {
    let m = distance.get();
    if m < 1.0 { format!("{} cm", rounded(m * 100.0, 0)) } else { format!("{} m", rounded(m, 1)) }
}

#[cfg(test)]
mod tests {
    use super::HEADS_KEEP_AWAY;
    use crate::testing::{row, set};
    use crate::testing_link::{link_is_sound, link_names_missing, link_told};
    use craft::Craft;
    use expect_test::{Expect, expect};

    fn check(spoil: impl FnOnce(&mut Craft), expected: Expect) {
        expected.assert_eq(&link_told(&HEADS_KEEP_AWAY, spoil));
    }

    #[test]
    fn people_a_metre_away_are_sound() {
        link_is_sound(&HEADS_KEEP_AWAY);
    }

    #[test]
    fn a_head_over_the_antenna_is_broken() {
        check(
            |craft| {
                set(craft, "craft.level", "400 mW");
                set(craft, "craft.people_at", "0.05 m");
            },
            expect![[r#"
                broken · people near the antennas · -0.181 · 18 %
                  At 468 mW e.i.r.p. the reference level reaches 6.1 cm; people come as near as 5 cm
                  > Keep 18 cm and more away from powered antennas.
                  > On the bench stay at standby, or set the lowest level.
                  ? level at the socket of level 3 of "Lanner small air unit"
            "#]],
        );
    }

    #[test]
    fn one_near_it_is_tight() {
        check(
            |craft| {
                set(craft, "craft.people_at", "0.04 m");
            },
            expect![[r#"
                tight · people near the antennas · 1.621 · 100 %
                  At 29 mW e.i.r.p. the reference level reaches 1.5 cm; people come as near as 4 cm
                  > Keep 4.6 cm and more away from powered antennas.
                  > On the bench stay at standby, or set the lowest level.
            "#]],
        );
    }

    #[test]
    fn from_half_a_watt_on_an_arms_length_is_kept_whatever_is_reckoned() {
        let strong = |craft: &mut Craft, people: &str| {
            row(craft, "vtx", "level", &[("out", "800 mW")]);
            set(craft, "craft.level", "800 mW");
            set(craft, "craft.people_at", people);
        };
        check(
            |craft| strong(craft, "0.27 m"),
            expect![[r#"
            tight · people near the antennas · 2.127 · 100 %
              People come as near as 27 cm: from half a watt on heads keep 30 cm away, whatever is reckoned so near to an antenna
              > Keep 30 cm and more away from powered antennas.
              > On the bench stay at standby, or set the lowest level.
        "#]],
        );
        check(
            |craft| strong(craft, "0.31 m"),
            expect![[r#"
            sound · people near the antennas · 2.59 · 100 %
              At 800 mW people keep 31 cm away, 3.6 times the distance of the reference level
        "#]],
        );
    }

    #[test]
    fn the_distance_of_people_is_needed() {
        link_names_missing(&HEADS_KEEP_AWAY, "craft.people_at", r#"distance to people of "Wheatear""#);
    }
}
