//! Does the power reach the antenna?

use crate::limits::FEED_LOSS;
use crate::link::{LinkAntenna, Mounted, feed_figure};
use crate::numbers::rounded;
use crate::rule::rule;
use crate::standing::standing;
use crate::subject::{Chain, ChainEnd, coax_chains, db, lacking, link_tried};
use crate::{Answer, Proof, Verdict};
use craft::schema::{air, camera, place as place_schema};
use craft::{Craft, PlaceId, Value};
use quantity::Linear;
use radio::Coax;

rule! {
    /// Does the power reach the antenna?
    ///
    /// ## Why
    /// What thin coax, joints and a bad match take never leaves the craft: 3 dB are half the power and three tenths of the
    /// range, and they warm the transmitter. A level turned up to make up for a worn plug heats and disturbs.
    ///
    /// ## Sound when
    /// Pigtails, joints and the mismatch of both ends take at most 1.5 dB together; more is tight, over 3 dB broken.
    ///
    /// ## Rests on
    /// The stated loss of each pigtail, or else its coax by kind and length; the state of each joint, sound unless said
    /// otherwise; the standing wave ratio of antenna and socket. A joint counts with what is usual in its state,
    /// the mismatch with the mean over the phase that nobody knows; how far both may be off is told. The doubts of the
    /// facts count. Pozar on attenuation and mismatch; joints are common practice.
    ///
    /// ## Mend
    /// Renew a worn plug, take a shorter or thicker pigtail, or screw the antenna on the unit. Each was computed.
    FEED_IS_SHORT = "link.feed_loss", run
}

fn run(proof: &Proof) -> Answer {
    let mut answer = Answer::default();
    let Some(model) = proof.link() else { return answer };
    for sender in &model.senders {
        match &sender.built {
            Ok(mounted) => judge(proof, sender, mounted, &mut answer),
            Err(lack) => {
                let finding = lacking(FEED_IS_SHORT.id, format!("feed of {}", sender.called), lack);
                answer.findings.push(finding.at([sender.place.clone()]));
            }
        }
    }
    answer
}

fn judge(proof: &Proof, sender: &LinkAntenna, mounted: &Mounted, answer: &mut Answer) {
    let (name, place) = (&sender.called, &sender.place);
    let total = mounted.loss.total();
    let value = total.usual.get();
    let loss: Linear = mounted.with_doubt(|_, loss| loss.get());
    let judged = standing(proof, &loss, &FEED_LOSS);
    let verdict = judged.verdict;
    let share = rounded(100.0 * (1.0 - 10f64.powf(-value / 10.0)), 0);
    let message = match verdict {
        Verdict::Sound => format!("{} are lost before {name}, {share} % of the power", db(value)),
        _ => format!(
            "{} lost before {name}, {share} % of the power ({} to {} by joints and phase)",
            db(value),
            rounded(total.least.get(), 1),
            db(total.most.get())
        ),
    };
    let figure = feed_figure(&proof.ledger(), sender);
    let mut finding = judged.finding(FEED_IS_SHORT.id, format!("feed of {name}"), message);
    if verdict != Verdict::Sound {
        finding = finding.measured_first();
        finding.mends.extend(mends(proof, place, value));
    }
    finding.figure = figure.as_ref().map(|figure| figure.id.clone());
    answer.figures.extend(figure);
    answer.findings.push(finding.at([place.clone()]));
}

/// What takes less, each computed, those that give most first.
fn mends(proof: &Proof, place: &PlaceId, now: f64) -> Vec<String> {
    if proof.is_trial() {
        return Vec::new();
    }
    let ends_here =
        |chain: &Chain| matches!(chain.end, ChainEnd::Antenna(antenna) if antenna.place.id == *place);
    let Some(chain) = coax_chains(proof).into_iter().find(ends_here) else { return Vec::new() };
    let after = |change: &dyn Fn(&mut Craft) -> Option<()>| {
        link_tried(proof, change, |model| {
            let sender = model.senders.iter().find(|sender| sender.place == *place)?;
            Some(sender.built.as_ref().ok()?.loss.total().usual.get())
        })
    };
    let mut found: Vec<(f64, String)> = Vec::new();
    let mut put = |loss: Option<f64>, words: String| {
        if let Some(loss) = loss.filter(|loss| *loss < now - 0.2) {
            found.push((loss, format!("{words}: {} instead of {}.", db(loss), db(now))));
        }
    };
    let leads = chain.pigtails.iter().map(|pigtail| pigtail.place.id.clone()).chain([place.clone()]);
    for lead in leads {
        let Some(placed) = proof.placed_at(&lead) else { continue };
        let state = placed.place.item().text(&place_schema::JOINT);
        if state.is_ok_and(|state| state != "sound") {
            let renewed = |craft: &mut Craft| {
                let place = craft.places.iter_mut().find(|other| other.id == lead)?;
                place.values.remove(place_schema::JOINT.def.key);
                Some(())
            };
            let words = format!("Renew the plug of {}, or push it home", placed.part.name);
            put(after(&renewed), words);
        }
    }
    for pigtail in &chain.pigtails {
        let id = pigtail.part.id.clone();
        // The shortest length in stock that its way wants.
        let order = proof.leads().iter().find(|lead| proof.craft.places[lead.place].id == pigtail.place.id);
        let order = order.and_then(|lead| lead.way.as_ref().ok()?.order.as_ref().map(|fit| fit.length.get()));
        let thick = Coax::ALL[2];
        let other = |length: Option<f64>, coax: Option<&'static str>| {
            let id = id.clone();
            move |craft: &mut Craft| {
                let part = craft.parts.iter_mut().find(|part| part.id == id)?;
                let stated = part.values.remove(air::LOSS.def.key);
                if let Some(coax) = coax {
                    part.values.insert(air::COAX.def.key.to_owned(), Value::Text(coax.to_owned()));
                }
                if let (Some(length), Some(Value::Fact(fact))) =
                    (length, part.values.get_mut(camera::LEAD_LENGTH.def.key))
                {
                    if length >= fact.quantity.value && coax.is_none() && stated.is_none() {
                        return None;
                    }
                    fact.quantity.value = length.min(fact.quantity.value);
                }
                Some(())
            }
        };
        if let Some(length) = order {
            let words = format!("Take a pigtail of {} mm for {}", rounded(length, 0), pigtail.part.name);
            put(after(&other(Some(length), None)), words);
        }
        let words = format!("Take a pigtail of {} coax for {}", thick.word, pigtail.part.name);
        put(after(&other(order, Some(thick.word))), words);
    }
    if !chain.pigtails.is_empty() {
        let direct = |craft: &mut Craft| {
            let first = chain.pigtails.first()?.place.item().text(&place_schema::FROM).ok()?.to_owned();
            let place = craft.places.iter_mut().find(|other| other.id == *place)?;
            place.values.insert(place_schema::FROM.def.key.to_owned(), Value::Text(first));
            Some(())
        };
        put(after(&direct), "Plug the antenna into the unit itself".to_owned());
    }
    found.sort_by(|a, b| a.0.total_cmp(&b.0));
    found.truncate(3);
    found.into_iter().map(|(_, words)| words).collect()
}

#[cfg(test)]
mod tests {
    use super::FEED_IS_SHORT;
    use crate::testing::set;
    use crate::testing_link::{link_is_sound, link_names_missing, link_told};
    use craft::Craft;
    use expect_test::{Expect, expect};

    fn check(spoil: impl FnOnce(&mut Craft), expected: Expect) {
        expected.assert_eq(&link_told(&FEED_IS_SHORT, spoil));
    }

    #[test]
    fn a_short_pigtail_is_sound() {
        link_is_sound(&FEED_IS_SHORT);
    }

    #[test]
    fn a_worn_plug_on_thin_coax_is_broken() {
        check(
            |craft| {
                set(craft, "tail.coax", "0.81 mm");
                set(craft, "tail.length", "120 mm, measured");
                set(craft, "place stub.joint", "worn");
            },
            expect![[r#"
                broken · feed of stub antenna · -1.469 dB · 0 %
                  4.5 dB lost before stub antenna, 64 % of the power (2.3 to 7.6 dB by joints and phase)
                  > Renew the plug of stub antenna, or push it home: 1.6 dB instead of 4.5 dB.
                  > Take a pigtail of 1.37 mm coax for pigtail 60: 4 dB instead of 4.5 dB.
            "#]],
        );
    }

    #[test]
    fn a_long_one_is_tight() {
        check(
            |craft| {
                set(craft, "tail.length", "200 mm, measured");
            },
            expect![[r#"
                tight · feed of stub antenna · 1.343 dB · 100 %
                  1.7 dB lost before stub antenna, 32 % of the power (1.3 to 2 dB by joints and phase)
                  > Take a pigtail of 1.37 mm coax for pigtail 60: 1.5 dB instead of 1.7 dB.
            "#]],
        );
    }

    #[test]
    fn the_kind_of_coax_is_needed() {
        link_names_missing(&FEED_IS_SHORT, "tail.coax", r#"coax of "pigtail 60""#);
    }
}
