//! What makes a plan hold that does not: a shorter flight, a larger pack, a warm one. Each is worked through before it is said.
//!
//! Nine flights in ten must last 1.2 times the plan, and the mean must too, with the plan itself all but sure. Of a larger pack its own mass and its
//! lesser resistance are counted; how sure its time is, is taken in proportion from that of the pack as it is.

use super::kept::Supply;
use super::mends::POCKET;
use super::told::minutes;
use super::worst::Chain;
use super::{PackFacts, PlanFacts, Resistance, SupplyModel};
use crate::Proof;
use crate::limits::TIGHT_UNDER;
use crate::numbers::at_most;
use crate::supply_limits::{FLIGHT_RESERVE, FLIGHT_RESERVE_TIMES, LANDING_RESERVE};
use quantity::{Linear, Percent, chance_at_least};

/// A time below this is no flight that anybody plans, s.
const SHORTEST: f64 = 5.0;
/// Packs are sold in such steps, mAh.
const STEP: f64 = 50.0;
/// By how much each pack that is tried is larger than the one before it, and how many are: up to twice as large, beyond which nothing of it is of
/// one make.
const LARGER: f64 = 1.06;
const TRIED: i32 = 12;

/// What would make the planned flight hold.
#[derive(Clone, Debug, Default, PartialEq)]
pub(crate) struct Longer {
    /// The longest plan that holds, in s; none where no flight does.
    pub plan: Option<f64>,
    /// The least pack of the same make with which the plan holds, in mAh, and by how many grams it is heavier, if that is known.
    pub pack: Option<(f64, Option<f64>)>,
    /// How long it lasts as it is, in s.
    pub lasts: f64,
    /// How long it lasts with its pack kept warm, in s, where the plan then holds.
    pub warm: Option<f64>,
}

impl Longer {
    /// What is found for a plan, in s; `time` is how long it lasts, with its doubt.
    pub fn of(proof: &Proof, supply: &Supply, chain: &Chain, (time, planned): (&Linear, f64)) -> Self {
        let plan = longest(proof, time).filter(|plan| *plan >= SHORTEST);
        let warm = supply.warmed().and_then(|warm| {
            let lasts = warm.model().slots.linear(proof, warm.lasts()?);
            holds(proof, &lasts, planned).then_some(lasts.value)
        });
        let carries = |mean: f64| holds(proof, &(time * (mean / time.value.max(1e-9))), planned);
        let pack = plan.and_then(|_| larger(supply.model(), chain, carries));
        Self { plan, pack, lasts: time.value, warm }
    }

    /// As mends.
    pub fn words(&self, air: quantity::Celsius) -> Vec<String> {
        let warm = self.warm.map(|time| {
            format!(
                "Keep the pack warm until take-off: at {POCKET} in air of {air} it lasts {} on the mean instead of {}.",
                minutes_at_most(time),
                minutes_at_most(self.lasts)
            )
        });
        let Some(plan) = self.plan else {
            return vec![warm.unwrap_or_else(|| NO_FLIGHT.to_owned())];
        };
        let shorter = format!("Plan {} at most.", minutes_at_most(plan));
        let pack = match self.pack {
            Some((charge, more)) => format!(
                "Or take a pack of about {charge} mAh of the same make{}.",
                more.map_or_else(String::new, |more| format!(
                    ": the {} g that it is heavier are counted",
                    crate::numbers::rounded(more, 0)
                ))
            ),
            None => {
                "No pack of the same make of up to twice its charge carries the plan: it weighs more as well."
                    .to_owned()
            }
        };
        warm.into_iter().chain([shorter, pack]).collect()
    }
}

impl Chain<'_> {
    /// What landing with more charge makes of the planned flight, to be put behind that advice: nothing where the plan still holds on the mean.
    pub(crate) fn landing_costs(&self, values: &[f64], charge: f64) -> String {
        let Ok(planned) = &self.plan.planned else { return String::new() };
        let plan = PlanFacts { land: Percent::new(charge), ..self.plan.clone() };
        match (Chain { plan: &plan, ..*self }).lasts(values) {
            Some(lasts) if lasts < planned.get() => format!(
                "; the pack then lasts {}, and {} are planned",
                minutes_at_most(lasts),
                minutes(planned.get())
            ),
            _ => String::new(),
        }
    }
}

/// What is said of a pack on which nothing flies.
const NO_FLIGHT: &str =
    "No flight can be planned with this pack: take one of far less resistance or of more charge.";

/// Whether a time holds a plan, by the rule of the reserve of the flight and by that of the landing.
fn holds(proof: &Proof, time: &Linear, planned: f64) -> bool {
    let chance = |of: f64| chance_at_least(time, &proof.ledger(), of).get();
    let reserve = (1.0 + 1e-2 * LANDING_RESERVE.tight) * planned;
    time.value >= reserve
        && 100.0 * chance(FLIGHT_RESERVE_TIMES * planned) >= FLIGHT_RESERVE.tight
        && chance(planned) >= TIGHT_UNDER
}

/// The longest plan that a time holds, as it is said; none where not even the shortest does.
fn longest(proof: &Proof, time: &Linear) -> Option<f64> {
    let most = said_down(time.value / FLIGHT_RESERVE_TIMES)?;
    let step = if most < 119.5 { 1.0 } else { 6.0 };
    let plans = |steps: u32| said_down((most - f64::from(steps) * step).max(0.0));
    let (mut bad, mut good) = (None, (most / step).ceil() as u32 + 1);
    while good > bad.map_or(0, |bad: u32| bad + 1) {
        let middle = bad.map_or(0, |bad| bad + 1).midpoint(good - 1);
        match plans(middle).is_some_and(|plan| holds(proof, time, plan)) {
            true => good = middle,
            false => bad = Some(middle),
        }
    }
    plans(good).filter(|plan| *plan > 0.0)
}

/// A time rounded down to what is said of it.
fn said_down(seconds: f64) -> Option<f64> {
    let step = if seconds < 119.5 { 1.0 } else { 6.0 };
    let down = (seconds / step).floor() * step;
    down.is_finite().then_some(down.max(0.0))
}

/// A time as it is said, rounded down.
fn minutes_at_most(seconds: f64) -> String {
    minutes(said_down(seconds).unwrap_or(0.0))
}

/// The least larger pack of the same make whose mean time carries a plan.
fn larger(model: &SupplyModel, chain: &Chain, carries: impl Fn(f64) -> bool) -> Option<(f64, Option<f64>)> {
    let own = chain.pack.capacity.at(model.slots.values());
    let holds = |charge: f64| chain.lasts(&with_pack(model, chain, charge / own)).is_some_and(&carries);
    let charges = (1..=TRIED).map(|n| ((own * LARGER.powi(n) / STEP).ceil() * STEP).max(own + 1.0));
    let charge = charges.into_iter().find(|charge| holds(*charge))?;
    let more = chain.pack.mass.map(|mass| mass.at(model.slots.values()) * (charge / own - 1.0));
    Some((at_most(charge, 0), more))
}

/// All numbers with a pack of the same make, so many times as large.
fn with_pack(model: &SupplyModel, chain: &Chain, times: f64) -> Vec<f64> {
    let PackFacts { capacity, resistance, mass, .. } = chain.pack;
    let mut values = model.slots.values().to_vec();
    let own = mass.map_or(0.0, |mass| mass.at(&values));
    capacity.set(&mut values, |mah| mah * times);
    chain.drive.mass.set(&mut values, |grams| grams + own * (times - 1.0));
    if let Some(mass) = mass {
        mass.set(&mut values, |grams| grams * times);
    }
    match resistance {
        Resistance::Stated(slot) => slot.set(&mut values, |ohm| ohm / times),
        Resistance::Each(slots) => slots.iter().for_each(|slot| slot.set(&mut values, |ohm| ohm / times)),
        // What a test showed is of that pack.
        Resistance::Tested { .. } => {}
    }
    values
}

#[cfg(test)]
mod tests {
    use crate::testing_supply::{set, sound_supply};
    use crate::{Proof, Verdict, rules};
    use craft::Craft;

    /// What the two rules of the reserve say of a craft: the worse verdict, and all that they would have done.
    fn told(craft: &Craft) -> (Verdict, Vec<String>) {
        let proof = Proof::new(craft);
        let found = ["feed.flight_reserve", "craft.landing_reserve"].into_iter().filter_map(rules::rule_of);
        let found: Vec<_> = found.flat_map(|rule| (rule.run)(&proof).findings).collect();
        let worst = found.iter().map(|finding| finding.verdict).min().unwrap_or(Verdict::Unknown);
        (worst, found.into_iter().flat_map(|finding| finding.mends).collect())
    }
    fn planned(words: &str, spoil: impl Fn(&mut Craft)) -> Craft {
        let mut craft = sound_supply();
        set(&mut craft, "craft.planned_flight", words);
        spoil(&mut craft);
        craft
    }
    /// The number that follows some words.
    fn said(mends: &[String], words: &str) -> Option<String> {
        let rest = mends.iter().find_map(|mend| mend.split_once(words))?.1;
        let mut parts = rest.split(' ');
        Some(format!("{} {}", parts.next()?, parts.next()?.trim_end_matches('.')))
    }

    #[test]
    fn the_plan_and_the_pack_that_are_named_hold_when_done() {
        for plan in ["5.6 min", "5.8 min", "6.1 min", "7 min", "9 min", "25 min"] {
            let (verdict, mends) = told(&planned(plan, |_| ()));
            assert!(verdict != Verdict::Sound, "{plan}");
            let shorter = said(&mends, "Plan ").unwrap_or_else(|| unreachable!("{mends:?}"));
            assert!(shorter != plan, "{plan} {mends:?}");
            assert_eq!(told(&planned(&shorter, |_| ())).0, Verdict::Sound, "{plan}: {shorter}");
            let Some(pack) = said(&mends, "pack of about ") else { continue };
            let charge: f64 = pack.trim_end_matches(" mAh").parse().unwrap_or(f64::NAN);
            let times = charge / 650.0;
            assert!(times > 1.0, "{pack}");
            let larger = planned(plan, |craft| {
                let facts = [
                    ("charge", format!("{charge} mAh, data sheet")),
                    ("cell_resistance", format!("{} mΩ, measured", 7.0 / times)),
                    ("mass", format!("{} g, measured", 68.0 * times)),
                ];
                facts.iter().for_each(|(key, text)| set(craft, &format!("pack.{key}"), text));
            });
            assert_eq!(told(&larger).0, Verdict::Sound, "{plan}: {pack}");
        }
    }

    /// Wherever a warm pack mends it that is said, and nowhere else.
    #[test]
    fn a_pack_that_only_the_cold_makes_short_is_to_be_kept_warm() {
        let pack_at = |celsius: &'static str| {
            move |craft: &mut Craft| {
                set(craft, "craft.coldest", "-18 °C");
                set(craft, "craft.pack_temperature", celsius);
                set(craft, "craft.punch_every", "60 s");
            }
        };
        let mut mended = 0;
        for tenths in (52..80).step_by(2) {
            let plan = format!("{} min", f64::from(tenths) / 10.0);
            let (cold, mends) = told(&planned(&plan, pack_at("-18 °C")));
            if cold == Verdict::Sound {
                continue;
            }
            let warm = told(&planned(&plan, pack_at("25 °C"))).0;
            let says = mends.iter().any(|mend| mend.starts_with("Keep the pack warm"));
            assert_eq!(says, warm == Verdict::Sound, "{plan} {mends:?}");
            mended += usize::from(says);
        }
        assert!(mended > 0);
    }
}
