//! Does the bus stay far enough above each rail that steps down?

use crate::numbers::rounded;
use crate::rule::rule;
use crate::standing::{standing, would_be_sound};
use crate::supply::{
    Kind, POCKET, RailFacts, Supply, first_that_holds, rail_figure, spoilt, volts, warm_board,
};
use crate::supply_limits::DROPOUT;
use crate::working::Lines;
use crate::{Answer, Finding, Proof, Verdict};
use craft::schema::{PartKind, board, drive};
use power::{CONVERTER_SOURCE, PACK};
use quantity::{FigureId, Unit};

rule! {
    /// Does the bus stay far enough above each rail that steps down?
    ///
    /// ## Why
    /// A converter that steps down needs its input 0.7 to 1.2 V above its output. Below that its output follows the pack down: a 10 V rail on
    /// three cells sags with every punch from 3.7 V a cell on.
    ///
    /// ## Sound when
    /// At the deepest sag, a punch at the charge of landing, the input lies 0.3 V or more above output and headroom. Less is tight, nothing
    /// in hand broken.
    ///
    /// ## Rests on
    /// The same chain as the video at a punch; the rails that carry something and hang on the pack; headroom from the sheet, or from the least input.
    ///
    /// ## Mend
    /// A warm pack where that is enough, more cells where motors and boards are made for them, a rail of less voltage, or the video straight on
    /// the pack where it stands that.
    KEEPS_ABOVE = "feed.dropout", run
}

/// More cells in series are not advised: common practice ends at eight.
const CELLS_MOST: f64 = 8.0;

fn run(proof: &Proof) -> Answer {
    let Some(supply) = proof.supply() else { return Answer::default() };
    let chain = match supply.chain() {
        Ok(chain) => chain,
        Err(lack) => {
            let judged = |rail: &RailFacts| rail.conversion != Kind::StepUp && rail.from == PACK;
            return match supply.model().net.as_ref().is_ok_and(|net| net.rails.iter().any(judged)) {
                true => spoilt(proof, KEEPS_ABOVE.id, "rails at a punch", &lack),
                false => Answer::default(),
            };
        }
    };
    let Some(deepest) = supply.deepest() else { return Answer::default() };
    let mut answer = Answer::default();
    for (k, rail) in chain.net.rails.iter().enumerate() {
        let carries = chain.net.loads.iter().any(|load| load.on == rail.name)
            || chain.net.rails.iter().any(|other| other.from == rail.name);
        if rail.conversion == Kind::StepUp || rail.from != PACK || !carries {
            continue;
        }
        if let Some((finding, figure)) = judge(proof, supply, k, deepest) {
            answer.findings.push(finding.at([rail.place.clone()]));
            answer.figures.push(figure);
        }
    }
    answer
}

fn judge(
    proof: &Proof,
    supply: &Supply,
    k: usize,
    deepest: &crate::supply::Sloped,
) -> Option<(Finding, quantity::Figure)> {
    let chain = supply.chain().ok()?;
    let slots = &supply.model().slots;
    let rail = &chain.net.rails[k];
    let needs = slots.sloped(|values| Some(rail.converter(values).ok()?.least_input().get()))?;
    let bus = slots.linear(proof, deepest);
    let least = slots.linear(proof, &needs);
    let margin = &bus - &least;
    let judged = standing(proof, &margin, &DROPOUT);
    let verdict = judged.verdict;
    let out = rail.out.at(slots.values());
    // The bus at which it drops out, told as a cell under load.
    let cell = needs.value / f64::from(chain.pack.series);
    let message = match verdict {
        Verdict::Sound => format!(
            "{} keeps its voltage down to a bus of {}; the deepest is {}",
            rail.called,
            volts(needs.value),
            volts(bus.value)
        ),
        _ => format!(
            "{} sags with the pack below {} a cell under load; at a punch at landing the bus falls to {}",
            rail.called,
            volts(cell),
            volts(bus.value)
        ),
    };
    let mut finding = judged.finding(KEEPS_ABOVE.id, rail.called.clone(), message);
    if verdict != Verdict::Sound {
        let wanted =
            ((needs.value + DROPOUT.tight) / (bus.value / f64::from(chain.pack.series)).max(0.1)).ceil();
        let video = chain.net.video();
        let full = chain.pack.full().ok()?.get();
        if video.on == rail.name
            && video.most.is_some_and(|most| slots.of(most) > 1.25 * full)
            && video.least.is_some_and(|least| slots.of(least) + DROPOUT.tight < bus.value)
            && let Some(fits) = first_that_holds(proof, &video.place, [PACK], (KEEPS_ABOVE.id, &rail.called))
        {
            let how = fits.words(proof, &video.place);
            finding = finding.mend(format!("Feed the video from the pack itself{how}."));
        }
        if !proof.is_trial()
            && let Some(warm) = supply.warmed()
            && let Some(bus) = warm.deepest().map(|deepest| warm.model().slots.linear(proof, deepest))
            && would_be_sound(proof, &(&bus - &least), &DROPOUT)
        {
            finding = finding.mend(format!(
                "Keep the pack warm until take-off: at {POCKET} the bus keeps {} at a punch instead of {}.",
                volts(bus.value),
                volts(deepest.value)
            ));
        }
        // No craft of this kind flies on more cells than a pack may have; as many as it has are no mend.
        let most = cells_most(proof).map_or(CELLS_MOST, |most| CELLS_MOST.min(f64::from(most)));
        finding = finding.mend(if wanted <= most && wanted > f64::from(chain.pack.series) {
            format!("Take a pack of {} cells, or a rail of less than {}.", rounded(wanted, 0), volts(out))
        } else {
            format!("Take a rail of less than {}.", volts(out))
        });
    }
    let id = rail_figure("feed.dropout", &rail.name);
    finding.figure = Some(FigureId(id.clone().into()));
    let hottest = chain.plan.hottest;
    let figure = Lines::of(proof)
        .result("bus at the deepest", &bus, Unit::Volts, "a punch at the charge of landing")
        .result("least input", &least, Unit::Volts, "output and headroom")
        .given("about the converter", warm_board(hottest).get(), Unit::Celsius, "20 K over the hottest air")
        .figure(
            id,
            format!("input of {} over what it needs", rail.called),
            (&margin, Unit::Volts),
            "lowest volts of the bus - (output + headroom)",
            CONVERTER_SOURCE,
        );
    Some((finding, figure))
}

/// The most cells that the motors and boards of a craft are made for, where they say so.
fn cells_most(proof: &Proof) -> Option<u32> {
    let of = |placed: crate::Placed| {
        let item = placed.part.item();
        let own = if placed.part.kind == PartKind::Motor { &drive::CELLS_MAX } else { &board::CELLS_MAX };
        item.count(own).ok()
    };
    proof.placed().filter_map(of).min()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::testing_supply::{check, is_sound, set};
    use expect_test::expect;

    #[test]
    fn rails_far_below_the_deepest_bus_are_sound() {
        is_sound(&KEEPS_ABOVE);
    }

    #[test]
    fn an_input_just_above_what_it_needs_is_tight() {
        check(
            &KEEPS_ABOVE,
            |craft| set(craft, "fc.rail[1].input_min", "12.4 V, data sheet"),
            expect![[r#"
                tight · 9 V of flight controller · 0.525 V · 91 %
                  9 V of flight controller sags with the pack below 3.1 V a cell under load; at a punch at landing the bus falls to 12.9 V
                  > Feed the video from the pack itself, with a coil of 10 µH that saturates above 1 A in its plus wire and 470 µF, 25 V, of 25 mΩ or less across its pins.
                  > Keep the pack warm until take-off: at 25 °C the bus keeps 13.1 V at a punch instead of 12.9 V.
                  > Take a rail of less than 9 V.
                  ? No single measurement would change this verdict, nor would two: it is 91 % certain now, and would be 93 % certain with every fact measured.
            "#]],
        );
    }

    #[test]
    fn a_rail_that_sags_with_the_pack_is_broken() {
        check(
            &KEEPS_ABOVE,
            |craft| set(craft, "fc.rail[1].input_min", "14 V, data sheet"),
            expect![[r#"
                broken · 9 V of flight controller · -1.075 V · under 1 %
                  9 V of flight controller sags with the pack below 3.5 V a cell under load; at a punch at landing the bus falls to 12.9 V
                  > Feed the video from the pack itself, with a coil of 10 µH that saturates above 1 A in its plus wire and 470 µF, 25 V, of 25 mΩ or less across its pins.
                  > Take a rail of less than 9 V.
            "#]],
        );
    }

    #[test]
    fn what_lacks_of_the_plug_is_told_of_the_video() {
        check(&KEEPS_ABOVE, |craft| set(craft, "pack.connector_resistance", ""), expect![[r#""#]]);
    }
}
