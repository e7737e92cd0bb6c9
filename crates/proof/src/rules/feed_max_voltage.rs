//! Does everything on the pack stand the full pack and what braking adds?

use crate::numbers::rounded;
use crate::rule::rule;
use crate::standing::standing;
use crate::supply::{CellsFacts, RailFacts, Slot, SupplyModel, first_that_holds, rail_figure, volts};
use crate::supply_limits::FULL_PACK;
use crate::working::Lines;
use crate::{Answer, Finding, Proof, Verdict};
use craft::schema::air;
use craft::{Missing, PlaceId};
use power::PACK;
use quantity::{FigureId, Unit};

rule! {
    /// Does everything on the pack stand the full pack and what braking adds?
    ///
    /// ## Why
    /// A full cell has 4.20 V, of the high-voltage kind 4.35 V. When the motors brake they feed back, and for milliseconds the bus stands
    /// 3 to 12 V higher. What is rated for the nominal voltage only dies on the first hard stop.
    ///
    /// ## Sound when
    /// What hangs on the pack itself stands 1.25 times the full pack. Between that and the full pack it is tight; below it is broken.
    ///
    /// ## Rests on
    /// Cells and chemistry of the pack, the greatest supply on each sheet. Parts on a rail see the rail; the rail's own converter is judged.
    ///
    /// ## Mend
    /// Feed it from a rail, or take fewer cells. A rail is named only if the part works from it and no other rule of the supply calls the craft worse.
    STANDS_FULL_PACK = "feed.max_voltage", run
}

struct OnPack<'m> {
    called: &'m str,
    place: &'m PlaceId,
    most: Result<Slot, Missing>,
    /// What it works from, where somebody said so.
    least: Option<Slot>,
    key: String,
}

fn run(proof: &Proof) -> Answer {
    let Some(supply) = proof.supply() else { return Answer::default() };
    let model = supply.model();
    let Some(net) = model.net.as_ref().ok().or(model.rest.as_ref()) else { return Answer::default() };
    let Ok(cells) = &model.cells else { return Answer::default() };
    let mut on_pack = Vec::new();
    let video = model.net.as_ref().ok().map(|net| net.video());
    if let Some(video) = video.filter(|video| video.on == PACK) {
        let missing = || {
            let part =
                proof.placed_at(&video.place).map(|placed| placed.part.item().missing(&air::SUPPLY_MAX.def));
            part.unwrap_or(Missing {
                path: quantity::FactPath(String::new()),
                label: "greatest supply".to_owned(),
            })
        };
        let most = video.most.ok_or_else(missing);
        on_pack.push(OnPack {
            called: &video.called,
            place: &video.place,
            most,
            least: video.least,
            key: video.place.to_string(),
        });
    }
    for rail in net.rails.iter().filter(|rail| rail.from == PACK) {
        if let Some(most) = rail.input_max {
            on_pack.push(OnPack {
                called: &rail.called,
                place: &rail.place,
                most: Ok(most),
                least: rail.input_min,
                key: rail.name.clone(),
            });
        }
    }
    let mut answer = Answer::default();
    for one in on_pack {
        let (finding, figure) = judge(proof, model, cells, &one);
        answer.findings.push(finding.at([one.place.clone()]));
        answer.figures.extend(figure);
    }
    answer
}

fn judge(
    proof: &Proof,
    model: &SupplyModel,
    pack: &CellsFacts,
    one: &OnPack,
) -> (Finding, Option<quantity::Figure>) {
    let subject = format!("{} on the pack", one.called);
    let most = match &one.most {
        Ok(most) => *most,
        Err(missing) => return (Finding::unknown(STANDS_FULL_PACK.id, subject, vec![missing.clone()]), None),
    };
    let full = pack.full;
    let slots = &model.slots;
    let Some(ratio) = slots.sloped(|values| Some(most.at(values) / full.get())) else {
        let words = "Nobody can say yet: a voltage is no number";
        return (Finding::new(STANDS_FULL_PACK.id, Verdict::Unknown, subject, words), None);
    };
    let ratio = slots.linear(proof, &ratio);
    let judged = standing(proof, &ratio, &FULL_PACK);
    let verdict = judged.verdict;
    let [charged, limit] = [full.get(), slots.of(most)].map(volts);
    let message = match verdict {
        Verdict::Broken => format!(
            "A charged pack has {charged}, and {} stands {limit}: it dies on the first plug",
            one.called
        ),
        Verdict::Tight => format!(
            "A charged pack has {charged}, and {} stands {limit}: braking pumps the bus up to {}",
            one.called,
            volts(FULL_PACK.tight * full.get())
        ),
        _ => format!("A charged pack has {charged}, and {} stands {limit}", one.called),
    };
    let mut finding = judged.finding(STANDS_FULL_PACK.id, subject.clone(), message);
    if verdict != Verdict::Sound {
        let rails = model.net.as_ref().map(|net| net.rails.as_slice()).unwrap_or_default();
        let within = |rail: &&RailFacts| {
            let out = rail.out.at(slots.values());
            let works = one.least.is_none_or(|least| out >= slots.of(least));
            rail.name != one.key
                && works
                && out < slots.of(most)
                && rail.from == PACK
                && one.place != &rail.place
        };
        let feeds = rails.iter().filter(within).map(|rail| rail.name.as_str());
        let fits = first_that_holds(proof, one.place, feeds, (STANDS_FULL_PACK.id, &subject));
        let fits = fits.and_then(|fits| Some((rails.iter().find(|rail| rail.name == fits.feed)?, fits)));
        finding = finding.mend(match fits {
            Some((rail, fits)) => format!("Feed it from {}{}.", rail.called, fits.words(proof, one.place)),
            None if pack.series == 1 => {
                "Solder a capacitor of low resistance to the pack lead: it takes what braking feeds back."
                    .to_owned()
            }
            None => format!(
                "Take a pack of {} cells at most, or a clamp and a capacitor on the bus.",
                rounded(
                    (slots.of(most) / FULL_PACK.tight / (full.get() / f64::from(pack.series)))
                        .floor()
                        .max(1.0),
                    0
                )
            ),
        });
    }
    let id = rail_figure("feed.max_voltage", &one.key);
    finding.figure = Some(FigureId(id.clone().into()));
    let figure = Lines::of(proof)
        .given("full pack", full.get(), Unit::Volts, format!("{} in series", pack.series))
        .facts(&ratio)
        .figure(
            id,
            format!("what {} stands over the full pack", one.called),
            (&ratio, Unit::Ratio),
            "greatest supply / full pack",
            FULL_PACK.source,
        );
    (finding, Some(figure))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::testing_supply::{check, is_sound, on_the_pack, set};
    use expect_test::expect;

    #[test]
    fn rails_that_stand_the_full_pack_and_its_spikes_are_sound() {
        is_sound(&STANDS_FULL_PACK);
    }

    #[test]
    fn little_above_the_full_pack_is_tight() {
        check(
            &STANDS_FULL_PACK,
            |craft| set(craft, "fc.rail[1].input_max", "18.5 V, measured"),
            expect![[r#"
                tight · 9 V of flight controller on the pack · 0.101 · 100 %
                  A charged pack has 16.8 V, and 9 V of flight controller stands 18.5 V: braking pumps the bus up to 21 V
                  > Take a pack of 3 cells at most, or a clamp and a capacitor on the bus.
            "#]],
        );
    }

    #[test]
    fn less_than_the_full_pack_is_broken() {
        check(
            &STANDS_FULL_PACK,
            |craft| {
                on_the_pack(craft);
                set(craft, "vtx.supply_max", "15 V, measured");
            },
            expect![[r#"
                broken · Lanner small air unit on the pack · -0.107 · 0 %
                  A charged pack has 16.8 V, and Lanner small air unit stands 15 V: it dies on the first plug
                  > Feed it from 9 V of flight controller: take the wire of vtx/VCC from esc/BAT to fc/9V, with a ground wire from fc beside it.
            "#]],
        );
    }

    #[test]
    fn a_unit_on_the_pack_of_which_nobody_says_what_it_stands_is_unknown() {
        check(
            &STANDS_FULL_PACK,
            |craft| {
                on_the_pack(craft);
                set(craft, "vtx.supply_max", "");
            },
            expect![[r#"
                unknown · Lanner small air unit on the pack
                  Nobody can say yet: the greatest supply of "Lanner small air unit" is not known
                  > Measure or look up the greatest supply of "Lanner small air unit".
            "#]],
        );
    }
}
