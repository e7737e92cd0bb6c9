//! Which change keeps the video up at a punch, tried one by one, and what each costs.
//!
//! Tried: a better plug, landing with more charge, a limit of the throttle, a warm pack, a shorter way. Each is worked through the
//! whole chain with all doubts, to a chance of 99 %. Order: first what mends wholly, then what costs least. A change of plan or setting costs the
//! share of flight time or thrust it takes; a part costs as much as [`A_PART`] of the flight, which is our weighing, not a law.

use super::custom::GOOD_CONNECTOR;
use super::draws::Draws;
use super::punch::Punches;
use super::worst::{Chain, Moment, Ready};
use super::{Resistance, SupplyModel};
use crate::numbers::rounded;
use crate::supply_limits::STAYS_UP;
use quantity::Celsius;

/// What a part with its soldering counts as, in per cent of flight time or thrust.
const A_PART: f64 = 12.0;
/// The warmth of a pack out of a pocket.
pub const POCKET: Celsius = Celsius::new(25.0);
/// Throttles below this are no limit but another craft, in %.
const LEAST_THROTTLE: f64 = 50.0;

/// What a change costs.
#[derive(Clone, Debug, PartialEq)]
pub struct Costs {
    /// In words.
    pub words: String,
    /// In per cent of flight time or thrust.
    pub weight: f64,
}

/// A change that was tried.
#[derive(Clone, Debug, PartialEq)]
pub struct Tried {
    /// What to do, as an imperative without a full stop.
    pub change: String,
    /// Chance that the video then stays up at a punch at landing.
    pub stays_up: f64,
    /// What it costs.
    pub costs: Costs,
}

impl Tried {
    /// Whether it mends wholly.
    pub fn mends(&self) -> bool {
        self.stays_up >= STAYS_UP.tight * 1e-2
    }
    /// As a mend of a finding.
    pub fn words(&self) -> String {
        let sure = sure(self.stays_up);
        let costs = &self.costs.words;
        if self.mends() {
            format!("{}: the video then stays up ({sure} sure). It costs {costs}.", self.change)
        } else {
            format!("{}: helps, yet only {sure} sure. It costs {costs}.", self.change)
        }
    }
}

/// A share of trials, which is never all of what may come.
pub fn sure(share: f64) -> String {
    match share {
        share if share > 0.99 => "over 99 %".to_owned(),
        share if share < 0.01 => "under 1 %".to_owned(),
        share => format!("{} %", rounded((share * 1e2).floor(), 0)),
    }
}

/// All changes that were tried, those that mend first, cheapest first.
pub(super) fn tried(
    chain: &Chain,
    model: &SupplyModel,
    ready: &Ready,
    (draws, punches): (&Draws, &Punches),
) -> Vec<Tried> {
    let (slots, at, moment) = (&model.slots, model.slots.values(), chain.moment());
    let wanted = STAYS_UP.tight * 1e-2;
    let chance = |values: &[f64]| {
        let ready = chain.ready_again(ready, slots, values);
        ready.map_or(0.0, |ready| chain.punches(&ready, slots, values, draws).stays_up(chain, &moment))
    };
    let mut found = Vec::new();
    let mut push = |change: String, stays_up: f64, words: String, weight: f64| {
        found.push(Tried { change, stays_up, costs: Costs { words, weight } });
    };
    let good = GOOD_CONNECTOR[usize::from(chain.pack.series > 1)];
    let old = chain.pack.connector.at(at);
    if old > 1.4 * good {
        let values = slots.with(chain.pack.connector, good);
        let kind = contacts(chain);
        push(
            format!("Fit a plug with {kind}, {} mΩ instead of {}", rounded(good, 1), rounded(old, 1)),
            chance(&values),
            "two plugs and some soldering".to_owned(),
            A_PART,
        );
    }
    if let Some(charge) = chain.charge_for(punches, &moment, wanted) {
        push(
            format!("Land at {} % instead of {} %", rounded(charge, 0), rounded(moment.charge, 0)),
            wanted,
            chain.charge_costs(at, charge),
            100.0 * chain.charge_lost(charge),
        );
    }
    if chain.drive.stand.len() >= 2
        && let Some(throttle) = chain.throttle_for(punches, &moment, wanted).filter(|t| *t >= LEAST_THROTTLE)
    {
        push(
            format!("Limit the throttle to {} %", rounded(throttle, 0)),
            wanted,
            chain.throttle_costs(at, throttle),
            100.0 * chain.thrust_lost(throttle),
        );
    }
    if moment.pack_at < POCKET {
        let warm = Moment { pack_at: POCKET, ..moment };
        let up = |moment: &Moment| punches.stays_up(chain, moment);
        let (as_it_is, up) = (up(&moment), up(&warm));
        if up > as_it_is + 0.05 || (up >= wanted && up > as_it_is) {
            push(
                format!("Keep the pack warm until take-off: {POCKET} instead of {}", moment.pack_at),
                up,
                "a pocket, and care before each flight".to_owned(),
                A_PART / 2.0,
            );
        }
    }
    if let Resistance::Stated(slot) = chain.pack.resistance {
        let now = slot.at(at);
        let less = slots.with(slot, 0.6 * now);
        push(
            format!(
                "Take a pack of {} mΩ a cell instead of {}: larger or of a better make",
                rounded(0.6 * now, 1),
                rounded(now, 1)
            ),
            chance(&less),
            "a pack".to_owned(),
            2.0 * A_PART,
        );
    }
    if !found.iter().any(Tried::mends) {
        found.extend(pair(chain, model, ready, draws));
    }
    found.sort_by(|a, b| {
        let key = |tried: &Tried| (u8::from(!tried.mends()), tried.costs.weight);
        key(a).0.cmp(&key(b).0).then(key(a).1.total_cmp(&key(b).1))
    });
    found
}

impl Chain<'_> {
    /// What a limit of the throttle costs: `33 % of the thrust; the motors then pull 2.1 times the weight`, the latter where it is known.
    pub(crate) fn throttle_costs(&self, values: &[f64], throttle: f64) -> String {
        let share = self.drive.thrust_share(throttle);
        let left = self.drive.thrust.map_or_else(String::new, |full| {
            let times = full * share / self.drive.mass(values).get().max(1e-3);
            format!("; the motors then pull {} times the weight", rounded(times, 1))
        });
        format!("{} % of the thrust{left}", rounded(100.0 * self.thrust_lost(throttle), 0))
    }

    /// Which share of the planned thrust a limit of the throttle takes.
    fn thrust_lost(&self, throttle: f64) -> f64 {
        1.0 - self.drive.thrust_share(throttle) / self.drive.thrust_share(self.plan.throttle)
    }

    /// What landing with more charge costs: `45 % of the flight time`, and what that makes of the plan.
    pub(crate) fn charge_costs(&self, values: &[f64], charge: f64) -> String {
        let lost = 100.0 * self.charge_lost(charge);
        format!("{} % of the flight time{}", rounded(lost, 0), self.landing_costs(values, charge))
    }

    /// Which share of the flight's charge is not flown then.
    fn charge_lost(&self, charge: f64) -> f64 {
        let (start, land) = (self.plan.start.get(), self.plan.land.get());
        (charge - land) / (start - land).max(1.0)
    }
}

fn contacts(chain: &Chain) -> &'static str {
    if chain.pack.series == 1 { "blade contacts" } else { "round contacts" }
}

/// Where no change alone mends it: a better plug together with a warm pack, or with landing earlier as well; none where those do not either.
fn pair(chain: &Chain, model: &SupplyModel, ready: &Ready, draws: &Draws) -> Option<Tried> {
    let (slots, moment) = (&model.slots, chain.moment());
    let wanted = STAYS_UP.tight * 1e-2;
    let good = GOOD_CONNECTOR[usize::from(chain.pack.series > 1)];
    let old = chain.pack.connector.at(slots.values());
    let plug = old > 1.4 * good;
    let values = if plug { slots.with(chain.pack.connector, good) } else { slots.values().to_vec() };
    let punches = chain.punches(&chain.ready_again(ready, slots, &values)?, slots, &values, draws);
    let warm = Moment { pack_at: moment.pack_at.max(POCKET), ..moment };
    let is_cold = moment.pack_at < POCKET;
    let (mut said, mut words, mut weight) = (Vec::new(), Vec::new(), 0.0);
    if plug {
        said.push(format!("fit a plug with {}, {} mΩ", contacts(chain), rounded(good, 1)));
        words.push("two plugs and some soldering".to_owned());
        weight += A_PART;
    }
    if is_cold {
        said.push(format!("keep the pack warm until take-off, {POCKET}"));
        words.push("a pocket before each flight".to_owned());
        weight += A_PART / 2.0;
    }
    let mut stays_up = punches.stays_up(chain, &warm);
    if stays_up < wanted {
        let charge = chain.charge_for(&punches, &warm, wanted)?;
        said.push(format!("land at {} %", rounded(charge, 0)));
        words.push(chain.charge_costs(&values, charge));
        (stays_up, weight) = (wanted, weight + 100.0 * chain.charge_lost(charge));
    }
    (said.len() > 1).then(|| {
        let change = said.join(", and ");
        let mut letters = change.chars();
        let first = letters.next().map(|first| first.to_uppercase().to_string()).unwrap_or_default();
        let costs = Costs { words: words.join(", "), weight };
        Tried { change: format!("{first}{}", letters.as_str()), stays_up, costs }
    })
}
