//! One set of numbers at a punch: what of them no moment changes is worked out once, and asked at any charge, throttle and warmth.

use super::drive::DriveFacts;
use super::slots::{Slots, is_held};
use super::worst::{Chain, Moment, Ready};
use power::{Draw, Pack, PackState};
use quantity::{Amperes, Celsius, Percent, Seconds};
use std::sync::Arc;

/// How long the pack has flown at its mean load before the punch, in s.
const FLOWN: f64 = 120.0;

/// The supply at some numbers, ready for any moment.
#[derive(Clone, Debug)]
pub(crate) struct Punch {
    /// None where the numbers contradict each other.
    pack: Option<Pack>,
    /// What is left of the limit of the rails on the video's way; none straight on the pack.
    left: Option<f64>,
    /// Least volts of the bus, and W of the rails there; none if the video is never held.
    rails: Option<[f64; 2]>,
    /// V of the pack when full.
    full: f64,
    /// W of motors and rails outside the punches.
    mean: f64,
    /// How far charge and warmth are from what is planned.
    read: f64,
    warmth: f64,
    /// A of all motors at full throttle in flight.
    motors: f64,
    /// How far the pins lie below their mean, V, by the highest throttle in %, and how many times that.
    troughs: Arc<[[f64; 2]]>,
    times: f64,
}

impl Punch {
    pub(super) fn of(chain: &Chain, ready: &Ready, values: &[f64]) -> Self {
        let rails = ready.rails.as_ref();
        let estimate = |sloped| Slots::estimate(sloped, &ready.found_at, values);
        let outside = rails.map_or(0.0, |[_, watts]| watts.value);
        Self {
            pack: chain.pack.at(values).ok(),
            left: ready.left(values),
            rails: rails.map(|[least, watts]| [estimate(least), estimate(watts)]),
            full: ready.full,
            mean: estimate(&ready.mean).max(0.0) + outside,
            read: chain.pack.read.at(values),
            warmth: chain.pack.warmth.at(values),
            motors: chain.drive.full_throttle(values),
            troughs: Arc::clone(&ready.troughs),
            times: chain.model.ripple_off.at(values),
        }
    }

    /// How far the video's pins lie below their mean at a punch up to a throttle, V.
    pub(super) fn trough(&self, throttle: f64) -> f64 {
        self.times * along(&self.troughs, throttle)
    }

    pub(super) fn pack(&self) -> Option<&Pack> {
        self.pack.as_ref()
    }

    pub(super) fn motors(&self, drive: &DriveFacts, moment: &Moment) -> Draw {
        drive.draw(self.motors, moment.throttle)
    }

    /// Charge and warmth at a moment, and the mean current in A that has flowed before it.
    fn before(&self, chain: &Chain, pack: &Pack, moment: &Moment) -> (Percent, Celsius, f64) {
        let charge = Percent::new((moment.charge + self.read).clamp(0.0, 100.0));
        let celsius = moment.pack_at + Celsius::new(self.warmth);
        let [coldest, hottest] = power::CELL_SPAN;
        let celsius = celsius.max(coldest).min(hottest);
        let rest = pack.rest(charge).get();
        let [held, apart] = chain.plan.punch;
        let motors = self.motors(chain.drive, moment).throttle;
        let punches = motors
            .map_or(0.0, |(amperes, volts)| amperes.get() * (rest / volts.get()).powi(2) * held / apart);
        (charge, celsius, self.mean / rest + punches)
    }

    pub(super) fn state(
        &self,
        chain: &Chain,
        pack: &Pack,
        moment: &Moment,
        punch: Amperes,
    ) -> Option<PackState> {
        let (charge, celsius, mean) = self.before(chain, pack, moment);
        let held = Seconds::new(chain.plan.punch[0]);
        pack.worked(charge, celsius, &[(Amperes::new(mean), Seconds::new(FLOWN)), (punch, held)]).ok()
    }

    /// Volts of the bus at the end of a punch under a draw; the fault is what falls over, none where nothing can be worked out.
    fn bus(&self, chain: &Chain, moment: &Moment, draw: &Draw) -> Result<f64, Option<power::Fold>> {
        let pack = self.pack().ok_or(None)?;
        let (charge, celsius, mean) = self.before(chain, pack, moment);
        let before = (Amperes::new(mean), Seconds::new(FLOWN));
        let punch = (draw, Seconds::new(chain.plan.punch[0]));
        match pack.at_punch(charge, celsius, before, punch) {
            Ok(Ok((volts, _))) => Ok(volts.get()),
            Ok(Err(fold)) => Err(Some(fold)),
            Err(_) => Err(None),
        }
    }

    /// Volts of the bus while the rails take what they do where the video just holds, at the trough of the ripple; less that voltage.
    pub(super) fn margin(&self, chain: &Chain, moment: &Moment) -> Option<f64> {
        // A rail that never gives what is asked: as much is short as the whole pack has.
        let Some([least, watts]) = self.rails else { return Some(-self.full) };
        let rails = Amperes::new((watts / least).max(0.0));
        let draw = Draw { current: rails, ..self.motors(chain.drive, moment) };
        match self.bus(chain, moment, &draw) {
            Ok(bus) => Some(bus - least - self.trough(moment.throttle)),
            Err(Some(_)) => Some(-least),
            Err(None) => None,
        }
    }

    /// Volts of the bus with the motors at the moment's throttle and a current beside them; none where they alone are too much.
    pub(super) fn left_beside(&self, chain: &Chain, moment: &Moment, beside: f64) -> Option<f64> {
        let draw = Draw { current: Amperes::new(beside), ..self.motors(chain.drive, moment) };
        self.bus(chain, moment, &draw).ok()
    }

    /// What is in hand of whatever decides whether the video stays up: fed, and carried by its rails.
    fn up(&self, chain: &Chain, moment: &Moment) -> Option<f64> {
        match self.left {
            // What is not carried need not be worked through the pack.
            Some(left) if left < 0.0 => Some(left),
            _ => self.margin(chain, moment),
        }
    }

    /// The charge at which the video fails at a punch; 0 if it holds down to empty, 100 if it fails when full.
    pub(super) fn fail_charge(&self, chain: &Chain, moment: &Moment) -> Option<f64> {
        let at = |charge: f64| self.margin(chain, &Moment { charge, ..*moment });
        if at(100.0)? < 0.0 {
            return Some(100.0);
        }
        // From above: near empty a table may bend back.
        let mut above = 100.0;
        for charge in (0..25).rev().map(|step| f64::from(step) * 4.0) {
            if at(charge)? < 0.0 {
                let (mut low, mut high) = (charge, above);
                for _ in 0..14 {
                    let middle = 0.5 * (low + high);
                    if at(middle)? < 0.0 { low = middle } else { high = middle }
                }
                return Some(high);
            }
            above = charge;
        }
        Some(0.0)
    }
}

/// Straight between rows, constant beyond them; nought without rows.
fn along(rows: &[[f64; 2]], x: f64) -> f64 {
    let after = rows.iter().position(|row| row[0] >= x);
    match (after, rows) {
        (_, []) => 0.0,
        (None, [.., last]) => last[1],
        (Some(0), [first, ..]) => first[1],
        (Some(n), _) => {
            let [[x0, y0], [x1, y1]] = [rows[n - 1], rows[n]];
            y0 + (y1 - y0) * (x - x0) / (x1 - x0).max(1e-12)
        }
    }
}

/// All trials of the numbers, each ready for any moment.
#[derive(Debug)]
pub(crate) struct Punches(pub(super) Vec<Punch>);

impl Punches {
    /// Which share of trials leaves the video up at a moment: fed, and carried by its rails, in the same trial.
    pub(super) fn stays_up(&self, chain: &Chain, moment: &Moment) -> f64 {
        let held = self.0.iter().filter(|punch| punch.up(chain, moment).is_some_and(is_held));
        held.count() as f64 / self.0.len() as f64
    }

    /// Asks at moment after moment whether a share of the trials leaves the video up. Trials end as soon as too many are lost; those that
    /// were lost before are tried first, which changes nothing of how many are.
    pub(super) fn holding(&self, chain: &Chain, share: f64) -> impl FnMut(&Moment) -> bool {
        let mut order: Vec<usize> = (0..self.0.len()).collect();
        move |moment| {
            let count = self.0.len();
            let mut lost = 0;
            for n in 0..count {
                if !self.0[order[n]].up(chain, moment).is_some_and(is_held) {
                    order.swap(lost, n);
                    lost += 1;
                    if ((count - lost) as f64 / count as f64) < share {
                        return false;
                    }
                }
            }
            true
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::Proof;
    use crate::supply::draws::Draws;
    use crate::supply::{Resistance, Supply};
    use crate::testing_supply::{on_the_pack, set, sound_supply};
    use craft::Craft;

    const TRIALS: usize = 120;

    /// A supply that stays up in some trials only: straight on the pack, with a resistance that is stated, tested or told cell by cell;
    /// and one behind a rail whose limit is near.
    fn each(ask: impl Fn(&Supply, &Chain, &Ready, &Draws)) {
        let spoilt = |spoil: &dyn Fn(&mut Craft)| {
            let mut craft = sound_supply();
            spoil(&mut craft);
            let proof = Proof::new(&craft);
            let supply = proof.supply().unwrap_or_else(|| unreachable!("it has a supply"));
            let chain = supply.chain().unwrap_or_else(|lack| unreachable!("{lack:?}"));
            let slots = &supply.model().slots;
            let ready =
                chain.ready(slots, slots.values()).unwrap_or_else(|| unreachable!("it can be worked out"));
            ask(supply, &chain, &ready, &Draws::of(slots.values().len(), TRIALS));
        };
        spoilt(&|craft| {
            on_the_pack(craft);
            set(craft, "vtx.supply_min", "13 V, measured");
        });
        spoilt(&|craft| {
            set(craft, "vtx.level[0].draw", "6.8 W, data sheet");
            set(craft, "fc.rail[1].current", "0.95 A, data sheet");
        });
    }

    fn moments(chain: &Chain) -> Vec<Moment> {
        let planned = chain.moment();
        let charges = [95.0, 10.0, 60.0, 33.0].map(|charge| Moment { charge, ..planned });
        let throttles = [40.0, 85.0, 62.0].map(|throttle| Moment { throttle, ..planned });
        let warm = Moment { pack_at: Celsius::new(25.0), ..planned };
        [planned, warm].into_iter().chain(charges).chain(throttles).collect()
    }

    #[test]
    fn trials_that_are_kept_tell_of_every_moment_what_trials_of_its_own_would() {
        each(|supply, chain, ready, draws| {
            let slots = &supply.model().slots;
            let kept = chain.punches(ready, slots, slots.values(), draws);
            let mut shares = Vec::new();
            for moment in moments(chain) {
                let own = |values: &[f64]| Punch::of(chain, ready, values).up(chain, &moment);
                let fresh = Draws::of(slots.values().len(), TRIALS);
                let plain = slots.share_held(slots.values(), &fresh, own);
                assert_eq!(kept.stays_up(chain, &moment), plain, "{moment:?}");
                shares.push(plain);
            }
            assert!(shares.iter().any(|share| *share > 0.0 && *share < 1.0), "{shares:?}");
        });
    }

    /// The same craft, its parts by other names: in a workshop beside another with a part of that name.
    #[test]
    fn what_a_part_is_called_changes_no_trial() {
        let chance = |renamed: bool| {
            let mut craft = sound_supply();
            on_the_pack(&mut craft);
            set(&mut craft, "vtx.supply_min", "13 V, measured");
            if renamed {
                for part in &mut craft.parts {
                    let id = craft::PartId::new(format!("{}-2", part.id).as_str());
                    let id = id.unwrap_or_else(|fault| unreachable!("{fault}"));
                    craft.places.iter_mut().filter(|place| place.part == part.id).for_each(|place| {
                        place.part = id.clone();
                    });
                    part.id = id;
                }
            }
            let proof = Proof::new(&craft);
            proof.supply().and_then(|supply| Some(supply.worst()?.stays_up))
        };
        assert!(chance(false).is_some_and(|up| up > 0.0 && up < 1.0), "{:?}", chance(false));
        assert_eq!(chance(false), chance(true));
    }

    #[test]
    fn whichever_trial_is_asked_first_the_same_moments_hold() {
        each(|supply, chain, ready, draws| {
            let slots = &supply.model().slots;
            let kept = chain.punches(ready, slots, slots.values(), draws);
            for wanted in [0.5, 0.9, 0.99, 1.0] {
                let mut holds = kept.holding(chain, wanted);
                for moment in moments(chain) {
                    assert_eq!(
                        holds(&moment),
                        kept.stays_up(chain, &moment) >= wanted,
                        "{wanted} {moment:?}"
                    );
                }
            }
        });
    }

    #[test]
    fn what_no_rail_looks_at_leaves_them_as_they_were() {
        each(|supply, chain, ready, _| {
            let slots = &supply.model().slots;
            let resistance = match chain.pack.resistance {
                Resistance::Stated(slot) => slot,
                _ => chain.pack.connector,
            };
            for slot in [chain.pack.connector, resistance, chain.drive.full, chain.net.rails[0].out] {
                let at = slots.with(slot, 0.8 * slots.of(slot));
                let told =
                    |ready: Option<Ready>| ready.map(|r| (r.rails, r.carries, r.mean, r.full, r.found_at));
                assert_eq!(told(chain.ready_again(ready, slots, &at)), told(chain.ready(slots, &at)));
            }
        });
    }
}
