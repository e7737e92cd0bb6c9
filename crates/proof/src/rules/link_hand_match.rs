//! Do all antennas of the link turn the same way?

use crate::limits::HAND_MATCH;
use crate::link::{Attitude, Lack, Link, LinkAntenna, LinkModel, Mounted};
use crate::rule::rule;
use crate::standing::standing;
use crate::subject::{LinkPlan, OUT_AND_HOME, db, lacking, link_tried, reaches, stationed};
use crate::working::Lines;
use crate::{Answer, Proof, Verdict};
use craft::schema::{air, station};
use craft::{Craft, Value};
use quantity::{Db, FigureId, Linear, Unit};
use radio::{Hand, POLARISATION_SOURCE, coupling, loss_of};

rule! {
    /// Do all antennas of the link turn the same way?
    ///
    /// ## Why
    /// A right-hand antenna hardly hears a left-hand one: 10 to 20 dB are gone, as with a tenth of the range. Both fit the
    /// same plug and look alike; it is the commonest fault of a new station.
    ///
    /// ## Sound when
    /// Between each antenna of the craft and each of the station at most 3.5 dB are lost because they do not fit: a linear one
    /// with a circular one, 3 dB, just passes. More is tight, over 8 dB broken.
    ///
    /// ## Rests on
    /// Element, polarisation and axial ratio of both, each along its own mast or aim; two linear ones as they stand to each
    /// other at the farthest planned point, flying away, where a plan is known. The doubt of the axial ratios counts.
    /// Balanis, polarisation loss factor.
    ///
    /// ## Mend
    /// Bring the odd one to the hand of the others. The range that gives back was computed with the other hand in place.
    HANDS_MATCH = "link.hand_match", run
}

fn run(proof: &Proof) -> Answer {
    let mut answer = Answer::default();
    let Some(model) = stationed(proof) else { return answer };
    for sender in &model.senders {
        for ground in &model.grounds {
            match (&sender.built, &ground.built) {
                (Ok(on_craft), Ok(standing)) => {
                    judge(proof, model, (sender, on_craft), (ground, standing), &mut answer);
                }
                (one, other) => {
                    let mut lack = Lack::default();
                    [one, other]
                        .into_iter()
                        .filter_map(|built| built.as_ref().err())
                        .for_each(|l| lack.add(l));
                    let subject = format!("{} and {}", sender.called, ground.called);
                    let finding = lacking(HANDS_MATCH.id, subject, &lack);
                    answer.findings.push(finding.at([sender.place.clone(), ground.place.clone()]));
                }
            }
        }
    }
    answer
}

/// What two linear antennas lose because of how they stand, at the farthest planned point, flying away.
fn as_flown(proof: &Proof, model: &LinkModel, sender: &LinkAntenna, ground: &LinkAntenna) -> Option<f64> {
    let planned = proof.link_plan()?;
    let plan = planned.as_ref().ok()?;
    let number = |of: &[LinkAntenna], one: &LinkAntenna| of.iter().position(|other| std::ptr::eq(other, one));
    let pair = (number(&model.senders, sender)?, number(&model.grounds, ground)?);
    let there = Link::on_line(plan.fly_to, plan.height).ok()?;
    let flown = Attitude::cruising(OUT_AND_HOME[0], plan.tilt);
    let at = model.link().ok()?.at(there, flown, plan.level.at_socket).ok()?;
    let pair = at.pairs.iter().find(|at| (at.sender, at.ground) == pair)?;
    Some(pair.budget.reception.polarisation.usual.get())
}

/// A hand in words.
fn hand_words(hand: Option<Hand>) -> &'static str {
    match hand {
        Some(Hand::Right) => "right-hand",
        Some(Hand::Left) => "left-hand",
        None => "linear",
    }
}

fn judge(
    proof: &Proof,
    model: &LinkModel,
    (sender, on_craft): (&LinkAntenna, &Mounted),
    (ground, standing_one): (&LinkAntenna, &Mounted),
    answer: &mut Answer,
) {
    let with = |one: radio::Polarisation, other: radio::Polarisation| loss_of(coupling(one, other)).get();
    let (a, b) = (on_craft.antenna.polarisation(), standing_one.antenna.polarisation());
    let linear = on_craft.hand.is_none() && standing_one.hand.is_none();
    let crossed = linear.then(|| as_flown(proof, model, sender, ground)).flatten();
    let value = crossed.unwrap_or_else(|| with(a, b));
    let by_craft = on_craft.with_doubt(|antenna, _| with(antenna.polarisation(), b));
    let by_ground = standing_one.with_doubt(|antenna, _| with(a, antenna.polarisation()));
    let loss = Linear { value, slopes: (&by_craft + &by_ground).slopes };
    let judged = standing(proof, &loss, &HAND_MATCH);
    let verdict = judged.verdict;
    let words = [hand_words(on_craft.hand), hand_words(standing_one.hand)];
    let message = match verdict {
        Verdict::Sound if value < 0.05 => {
            format!("{} on the craft, {} on {}: they fit", first_up(words[0]), words[1], ground.called)
        }
        Verdict::Sound => format!(
            "{} on the craft, {} on {}: {} lost because they do not fit",
            first_up(words[0]),
            words[1],
            ground.called,
            db(value)
        ),
        _ => format!(
            "{} on the craft, {} on {}: {} gone{}",
            first_up(words[0]),
            words[1],
            ground.called,
            db(value),
            if crossed.is_some() { ", for they stand across each other" } else { "" }
        ),
    };
    let subject = format!("{} and {}", sender.called, ground.called);
    let id = format!("link.polarisation_loss[{}|{}]", sender.called, ground.called);
    let ratio = |mounted: &Mounted| mounted.antenna.polarisation().axial_ratio().map_or(60.0, Db::get);
    answer.figures.push(
        Lines::of(proof)
            .given("axial ratio on the craft, 60 dB standing for linear", ratio(on_craft), Unit::Db, words[0])
            .given(
                "axial ratio at the station, 60 dB standing for linear",
                ratio(standing_one),
                Unit::Db,
                words[1],
            )
            .facts(&loss)
            .figure(
                id.clone(),
                "loss because two antennas do not fit in polarisation",
                (&loss, Unit::Db),
                "L = -10·log10 |-a₁b₁ + a₂b₂|², a and b the Jones vectors of the two, level and up",
                POLARISATION_SOURCE,
            ),
    );
    let mut finding = judged.finding(HANDS_MATCH.id, subject, message);
    if verdict != Verdict::Sound {
        finding = finding.measured_first();
        finding.mends.extend(mend(proof, model, (sender, on_craft), (ground, standing_one), value));
    }
    finding.figure = Some(FigureId(id.into()));
    answer.findings.push(finding.at([sender.place.clone(), ground.place.clone()]));
}

fn first_up(word: &str) -> String {
    let mut chars = word.chars();
    chars.next().map_or(String::new(), |first| first.to_uppercase().chain(chars).collect())
}

/// Which of the two is odd, and what the other hand gives back.
fn mend(
    proof: &Proof,
    model: &LinkModel,
    (sender, on_craft): (&LinkAntenna, &Mounted),
    (ground, standing_one): (&LinkAntenna, &Mounted),
    loss: f64,
) -> Option<String> {
    if proof.is_trial() {
        return None;
    }
    let hands = |antennas: &[LinkAntenna]| -> Vec<Option<Hand>> {
        antennas.iter().filter_map(|antenna| Some(antenna.built.as_ref().ok()?.hand)).collect()
    };
    let of_grounds = hands(&model.grounds);
    let others = of_grounds.iter().filter(|hand| **hand == standing_one.hand).count();
    let change_craft = model.senders.len() == 1 && of_grounds.len() > 1 && others == of_grounds.len();
    // One antenna to change is one mend, however many it does not fit.
    let first = model.grounds.first().is_some_and(|first| std::ptr::eq(first, ground));
    if change_craft && !first {
        return Some(format!(
            "The antenna on the craft is the odd one: changed for {}, it fits {} as well.",
            model.grounds.first().map_or("the other", |first| first.called.as_str()),
            ground.called
        ));
    }
    let (wanted, called) = if change_craft {
        (standing_one.hand, "on the craft".to_owned())
    } else {
        (on_craft.hand, format!("for {}", ground.called))
    };
    let Some(wanted) = wanted else {
        return Some(format!("Turn {} so that it stands as the other does.", ground.called));
    };
    let word = if wanted == Hand::Right { "right" } else { "left" };
    let changed = |craft: &mut Craft| {
        if change_craft {
            let part = craft.places.iter().find(|place| place.id == sender.place)?.part.clone();
            let part = craft.parts.iter_mut().find(|other| other.id == part)?;
            part.values.insert(air::HAND.def.key.to_owned(), Value::Text(word.to_owned()));
        } else {
            let row = station_row(craft, ground)?;
            row.insert(air::HAND.def.key.to_owned(), Value::Text(word.to_owned()));
        }
        Some(())
    };
    let range = |model: &LinkModel| LinkPlan::of(model).ok()?.range(model.link().ok()?).ok();
    let (before, after) = (range(model), link_tried(proof, changed, range));
    let back = format!("Take a {word}-hand antenna {called}: that gives back {}", db(loss));
    Some(match (before, after) {
        (Some(before), Some(after)) if after.distance() > before.distance() * 1.1 => {
            format!("{back}; the picture then holds {} instead of {}.", reaches(after), reaches(before))
        }
        _ => format!("{back} on it."),
    })
}

/// The row of an antenna of the station, in a craft about to be changed.
pub(super) fn station_row<'c>(craft: &'c mut Craft, ground: &LinkAntenna) -> Option<&'c mut craft::Values> {
    let part = craft.places.iter().find(|place| place.id == ground.place)?.part.clone();
    let part = craft.parts.iter_mut().find(|other| other.id == part)?;
    let row = part.tables.get_mut(station::antenna::TABLE.key)?.get_mut(ground.row?)?;
    Some(&mut row.0)
}

#[cfg(test)]
mod tests {
    use super::HANDS_MATCH;
    use crate::testing::set;
    use crate::testing_link::{link_is_sound, link_names_missing, link_told};
    use craft::Craft;
    use expect_test::{Expect, expect};

    fn check(spoil: impl FnOnce(&mut Craft), expected: Expect) {
        expected.assert_eq(&link_told(&HANDS_MATCH, spoil));
    }

    #[test]
    fn antennas_of_one_hand_are_sound() {
        link_is_sound(&HANDS_MATCH);
    }

    #[test]
    fn a_left_hand_patch_is_broken_and_the_range_it_gives_back_is_told() {
        check(
            |craft| {
                set(craft, "field.antenna[1].hand", "left");
            },
            expect![[r#"
                broken · stub antenna and patch · -8.24 dB · 0 %
                  Right-hand on the craft, left-hand on patch: 16.2 dB gone
                  > Take a right-hand antenna for patch: that gives back 16.2 dB on it.
                sound · stub antenna and omni · 7.999 dB · 100 %
                  Right-hand on the craft, right-hand on omni: they fit
            "#]],
        );
    }

    #[test]
    fn a_left_hand_craft_is_the_odd_one() {
        check(
            |craft| {
                set(craft, "stub.hand", "left");
            },
            expect![[r#"
                broken · stub antenna and omni · -8.24 dB · 0 %
                  Left-hand on the craft, right-hand on omni: 16.2 dB gone
                  > Take a right-hand antenna on the craft: that gives back 16.2 dB; the picture then holds to 378 m instead of to 111 m.
                broken · stub antenna and patch · -8.24 dB · 0 %
                  Left-hand on the craft, right-hand on patch: 16.2 dB gone
                  > The antenna on the craft is the odd one: changed for omni, it fits patch as well.
            "#]],
        );
    }

    #[test]
    fn linear_antennas_that_stand_across_each_other_are_broken() {
        let linear = |craft: &mut Craft, lean: &str| {
            set(craft, "stub.element", "dipole");
            set(craft, "field.antenna[0].element", "dipole");
            set(craft, "field.antenna[0].lean", lean);
        };
        check(
            |craft| linear(craft, "90°"),
            expect![[r#"
            broken · stub antenna and omni · -22 dB · 0 %
              Linear on the craft, linear on omni: 30 dB gone, for they stand across each other
              > Turn omni so that it stands as the other does.
            sound · stub antenna and patch · 5.675 dB · 100 %
              Linear on the craft, right-hand on patch: 2.3 dB lost because they do not fit
        "#]],
        );
        check(
            |craft| linear(craft, "0°"),
            expect![[r#"
            sound · stub antenna and omni · 8 dB · 100 %
              Linear on the craft, linear on omni: they fit
            sound · stub antenna and patch · 5.675 dB · 100 %
              Linear on the craft, right-hand on patch: 2.3 dB lost because they do not fit
        "#]],
        );
    }

    #[test]
    fn the_hand_is_needed() {
        link_names_missing(
            &HANDS_MATCH,
            "field.antenna[1].hand",
            r#"polarisation of antenna "patch" of "club field""#,
        );
    }
}
