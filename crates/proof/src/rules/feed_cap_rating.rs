//! Does a capacitor stand on the pack lead, and does it stand the spikes?

use crate::numbers::rounded;
use crate::rule::rule;
use crate::standing::standing;
use crate::supply::{CellsFacts, SupplyModel, rail_figure, rating, volts};
use crate::supply_limits::{CAP_RATING, CAP_WANTED_FROM};
use crate::working::Lines;
use crate::{Answer, Finding, Proof, Verdict};
use power::PACK;
use quantity::{FigureId, Unit};

rule! {
    /// Does a capacitor stand on the pack lead, and does it stand the spikes?
    ///
    /// ## Why
    /// Motors chop their current thousands of times a second. Without a capacitor near the pack lead that reaches the video as noise and the
    /// boards as spikes. One rated too low dies first, often shorted.
    ///
    /// ## Sound when
    /// Its rated voltage is 1.3 times the full pack or more; under 1.15 is broken. From three cells on there is one; without it is tight.
    ///
    /// ## Rests on
    /// Capacitors that say they stand across the pack; cells and chemistry.
    ///
    /// ## Mend
    /// A low-resistance one of the usual size for the pack, legs under 10 mm.
    CAPACITOR_STANDS = "feed.cap_rating", run
}

const SUBJECT: &str = "capacitor on the pack lead";

fn run(proof: &Proof) -> Answer {
    let Some(supply) = proof.supply() else { return Answer::default() };
    let model = supply.model();
    let Ok(pack) = &model.cells else { return Answer::default() };
    let full = pack.full.get();
    let mut answer = Answer::default();
    for cap in &model.capacitors {
        let subject = format!("{} on the pack lead", cap.called);
        match (&cap.across, cap.rated) {
            (Err(missing), _) => {
                let finding = Finding::unknown(CAPACITOR_STANDS.id, subject, vec![missing.clone()]);
                answer.findings.push(finding.at([cap.place.clone()]));
            }
            (Ok(across), Some(rated)) if across == PACK => {
                let slots = &model.slots;
                let Some(ratio) = slots.sloped(|values| Some(rated.at(values) / full)) else { continue };
                let ratio = slots.linear(proof, &ratio);
                let judged = standing(proof, &ratio, &CAP_RATING);
                let [rating, charged] = [slots.of(rated), full].map(volts);
                let times = rounded(ratio.value, 2);
                let sound = judged.verdict == Verdict::Sound;
                let message = format!("Rated {rating}, {times} times the {charged} of a full pack");
                let mut finding =
                    judged.finding(CAPACITOR_STANDS.id, subject, message).at([cap.place.clone()]);
                if !sound {
                    finding = finding.mend(wanted(pack, full));
                }
                let id = rail_figure("feed.cap_rating", cap.place.as_str());
                finding.figure = Some(FigureId(id.clone().into()));
                answer.findings.push(finding);
                answer.figures.push(
                    Lines::of(proof)
                        .given("full pack", full, Unit::Volts, format!("{} in series", pack.series))
                        .facts(&ratio)
                        .figure(
                            id,
                            format!("rating of {} over the full pack", cap.called),
                            (&ratio, Unit::Ratio),
                            "rated voltage / full pack",
                            CAP_RATING.source,
                        ),
                );
            }
            _ => {}
        }
    }
    if none_on_pack(model) && pack.series >= CAP_WANTED_FROM {
        let message = "No capacitor stands on the pack lead: noise in the picture, and spikes on every board";
        let finding = Finding::new(CAPACITOR_STANDS.id, Verdict::Tight, SUBJECT, message);
        answer.findings.push(finding.mend(wanted(pack, full)).at([pack.place.clone()]));
    }
    answer
}

fn none_on_pack(model: &SupplyModel) -> bool {
    !model.capacitors.iter().any(|cap| cap.across.as_deref().map_or(true, |across| across == PACK))
}

/// The usual one for the pack.
fn wanted(pack: &CellsFacts, full: f64) -> String {
    // The least rating that is usual for the cells, which leaves more than the spikes want where the pack is small.
    let (farads, usual) = match pack.series {
        1 => (220, 10.0),
        2..=4 => (470, 25.0),
        _ => (1000, 35.0),
    };
    let rated = rating(full).max(usual);
    format!(
        "Solder {farads} µF, {} V, of low resistance to the pack lead, legs under 10 mm.",
        rounded(rated, 0)
    )
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::testing_supply::{check, is_sound, set};
    use expect_test::expect;

    #[test]
    fn a_capacitor_of_25_v_on_four_cells_is_sound() {
        is_sound(&CAPACITOR_STANDS);
    }

    #[test]
    fn little_in_hand_is_tight_and_none_at_all_too() {
        check(
            &CAPACITOR_STANDS,
            |craft| set(craft, "cap.rated", "20 V"),
            expect![[r#"
            tight · capacitor, 470 µF on the pack lead · 0.04 · 100 %
              Rated 20 V, 1.19 times the 16.8 V of a full pack
              > Solder 470 µF, 25 V, of low resistance to the pack lead, legs under 10 mm.
        "#]],
        );
        check(
            &CAPACITOR_STANDS,
            |craft| crate::testing::remove_place(craft, "cap"),
            expect![[r#"
            tight · capacitor on the pack lead
              No capacitor stands on the pack lead: noise in the picture, and spikes on every board
              > Solder 470 µF, 25 V, of low resistance to the pack lead, legs under 10 mm.
        "#]],
        );
    }

    #[test]
    fn a_rating_below_the_full_pack_and_its_spikes_is_broken() {
        check(
            &CAPACITOR_STANDS,
            |craft| set(craft, "cap.rated", "16 V"),
            expect![[r#"
            broken · capacitor, 470 µF on the pack lead · -0.198 · 0 %
              Rated 16 V, 0.95 times the 16.8 V of a full pack
              > Solder 470 µF, 25 V, of low resistance to the pack lead, legs under 10 mm.
        "#]],
        );
    }

    #[test]
    fn a_capacitor_of_which_nobody_says_where_it_stands_is_unknown() {
        check(
            &CAPACITOR_STANDS,
            |craft| set(craft, "place cap.fed_from", ""),
            expect![[r#"
            unknown · capacitor, 470 µF on the pack lead
              Nobody can say yet: the supply that "capacitor, 470 µF" stands across is not known
              > Measure or look up the supply that "capacitor, 470 µF" stands across.
        "#]],
        );
    }
}
