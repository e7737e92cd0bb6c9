//! What cures say: a repair or a swap after which the complaint is gone, or stays.
//!
//! A cure mends each cause that it is for by its own chance, and no other. The complaint is gone if every acting cause of it was mended;
//! else by a fluke, and where no cause of it acts by that fluke alone. So each acting cause leaves each cure *foiled* for certain where the
//! cure is not for it, and by some chance where it is. A cure is for few causes: after one cause has acted only the cures for that
//! cause can be unfoiled, after two only those for both. The sets of foiled cures that can be reached are few hundreds however many cures were
//! tried, and the sweep carries them as they are: nothing is left out and nothing is subtracted.

use crate::base::Base;
use std::collections::BTreeMap;

/// A cure that was made, and what was said of the complaint after it.
pub(crate) struct Cure {
    /// For each cause, the chance that it is mended, beyond the fluke.
    pub mended: Vec<f64>,
    /// The chance that the complaint goes by itself.
    pub fluke: f64,
    /// The likelihood of what was said if the complaint is gone.
    pub gone: f64,
    /// The same if it stays.
    pub stays: f64,
    /// Whether what it mends stays mended: a repair, and not a swap that is put back.
    pub lasts: bool,
}

/// Which cures are foiled: some acting cause was not mended. None where no cause of the complaint acts.
type Foiled = Option<Vec<bool>>;

/// All cures of one complaint, as states that acting causes lead through.
#[derive(Clone, Debug, PartialEq, Default)]
pub(crate) struct Cures {
    /// By cause: for each state, the states that its acting leads to, with their chances; empty for a cause not of the complaint.
    moves: Vec<Vec<Vec<(usize, f64)>>>,
    /// The same for a cause that acts and that no lasting cure mended: it is at fault still.
    held: Vec<Vec<Vec<(usize, f64)>>>,
    /// What is said, weighed by state. The first state is that no cause of the complaint acts. Empty without cures.
    end: Vec<f64>,
    /// For each cure, by cause, the chance that it is foiled by it.
    foils: Vec<Vec<f64>>,
    /// For each cure, the weights of what was said: foiled, and not.
    said: Vec<[f64; 2]>,
    /// For each cure, whether it lasts.
    lasts: Vec<bool>,
}

/// The chance that a cure mends each cause, beyond the fluke, from the chances that the complaint is gone when that cause alone acts.
pub(crate) fn mended_by(base: &Base, listed: &[(usize, f64)], fluke: f64) -> Vec<f64> {
    let mut mended = vec![0.0; base.causes.len()];
    for (cause, gone) in listed.iter().filter(|(_, gone)| *gone > fluke) {
        mended[*cause] = (gone - fluke) / (1.0 - fluke);
    }
    mended
}

/// The chance that a repair mends each cause, beyond the fluke.
pub(crate) fn mended_by_repair(base: &Base, repair: usize) -> Vec<f64> {
    let repair = &base.repairs[repair];
    let listed: Vec<(usize, f64)> = repair.mends.iter().map(|cause| (*cause, repair.works)).collect();
    mended_by(base, &listed, base.fluke)
}

impl Cures {
    /// The most states that are carried.
    pub(crate) const STATES_MOST: usize = 1 << 14;

    /// The states of these cures under the causes that can bring the complaint, of `count` causes in all. More states than can be carried
    /// are left off: [`Cures::states`] then tells more than [`Cures::STATES_MOST`].
    pub(crate) fn of(concerned: &[usize], count: usize, cures: &[Cure]) -> Self {
        if cures.is_empty() {
            return Self::default();
        }
        let foils: Vec<Vec<f64>> =
            cures.iter().map(|cure| cure.mended.iter().map(|mended| 1.0 - mended).collect()).collect();
        let said: Vec<[f64; 2]> = cures
            .iter()
            .map(|cure| [cure.fluke * cure.gone + (1.0 - cure.fluke) * cure.stays, cure.gone])
            .collect();
        let lasts = cures.iter().map(|cure| cure.lasts).collect();
        let moves = vec![Vec::new(); count];
        let mut cures = Self { held: moves.clone(), moves, end: Vec::new(), foils, said, lasts };
        let mut places: BTreeMap<Foiled, usize> = BTreeMap::new();
        let mut states: Vec<Foiled> = vec![None];
        places.insert(None, 0);
        let mut at = 0;
        while at < states.len() && states.len() <= Self::STATES_MOST {
            for cause in concerned {
                for held in [false, true] {
                    let mut moves = Vec::new();
                    for (to, chance) in cures.led(&states[at], *cause, held) {
                        let place = *places.entry(to.clone()).or_insert_with(|| {
                            states.push(to);
                            states.len() - 1
                        });
                        moves.push((place, chance));
                    }
                    let by_cause = if held { &mut cures.held } else { &mut cures.moves };
                    by_cause[*cause].push(moves);
                }
            }
            at += 1;
        }
        cures.end = states.iter().map(|state| cures.weight_of(state)).collect();
        cures
    }

    /// Where a state leads when this cause acts too; `held`: and was mended by no lasting cure.
    fn led(&self, from: &Foiled, cause: usize, held: bool) -> Vec<(Foiled, f64)> {
        let start = from.clone().unwrap_or_else(|| vec![false; self.foils.len()]);
        let mut led = vec![(start, 1.0)];
        for (cure, foils) in self.foils.iter().enumerate() {
            let foils = foils[cause];
            let held = held && self.lasts[cure];
            if foils <= 0.0 && !held {
                continue;
            }
            let mut both = Vec::new();
            for (mut state, chance) in led {
                if held {
                    if foils > 0.0 {
                        state[cure] = true;
                        both.push((state, chance * foils));
                    }
                    continue;
                }
                if state[cure] {
                    both.push((state, chance));
                    continue;
                }
                if foils < 1.0 {
                    both.push((state.clone(), chance * (1.0 - foils)));
                }
                state[cure] = true;
                both.push((state, chance * foils));
            }
            led = both;
        }
        led.into_iter().map(|(state, chance)| (Some(state), chance)).collect()
    }

    fn weight_of(&self, state: &Foiled) -> f64 {
        match state {
            None => self.said.iter().map(|said| said[0]).product(),
            Some(foiled) => {
                let weigh = |(foiled, said): (&bool, &[f64; 2])| if *foiled { said[0] } else { said[1] };
                foiled.iter().zip(&self.said).map(weigh).product()
            }
        }
    }

    /// How many states there are; one without cures.
    pub(crate) fn states(&self) -> usize {
        self.end.len().max(1)
    }

    /// What is said, weighed by state.
    pub(crate) fn end(&self) -> Vec<f64> {
        if self.end.is_empty() { vec![1.0] } else { self.end.clone() }
    }

    /// Whether a cause can foil cures.
    pub(crate) fn concern(&self, cause: usize) -> bool {
        self.moves.get(cause).is_some_and(|moves| !moves.is_empty())
    }

    /// Lets an acting cause lead on, in a table whose lowest places are the states.
    pub(crate) fn lead(&self, table: &mut [f64], cause: usize) {
        if !self.concern(cause) {
            return;
        }
        let mut led = vec![0.0; self.states()];
        for chunk in table.chunks_exact_mut(led.len()) {
            led.fill(0.0);
            for (entry, moves) in chunk.iter().zip(&self.moves[cause]).filter(|(entry, _)| **entry != 0.0) {
                moves.iter().for_each(|(to, chance)| led[*to] += entry * chance);
            }
            chunk.copy_from_slice(&led);
        }
    }

    /// The same seen from behind.
    pub(crate) fn lead_back(&self, table: &mut [f64], cause: usize) {
        self.back_by(table, &self.moves, cause);
    }

    /// The same of a cause that acts and that no lasting cure mended.
    pub(crate) fn lead_back_held(&self, table: &mut [f64], cause: usize) {
        self.back_by(table, &self.held, cause);
    }

    fn back_by(&self, table: &mut [f64], moves: &[Vec<Vec<(usize, f64)>>], cause: usize) {
        if !self.concern(cause) {
            return;
        }
        let mut led = vec![0.0; self.states()];
        for chunk in table.chunks_exact_mut(led.len()) {
            for (entry, moves) in led.iter_mut().zip(&moves[cause]) {
                *entry = moves.iter().map(|(to, chance)| chance * chunk[*to]).sum();
            }
            chunk.copy_from_slice(&led);
        }
    }

    /// What is said, weighed if exactly these causes act.
    pub(crate) fn weigh(&self, acting: &[usize]) -> f64 {
        let acting: Vec<usize> = acting.iter().copied().filter(|cause| self.concern(*cause)).collect();
        let weigh = |(foils, [foiled, not]): (&Vec<f64>, &[f64; 2])| {
            let clear = acting.iter().map(|cause| 1.0 - foils[*cause]).product::<f64>();
            if acting.is_empty() { *foiled } else { clear * not + (1.0 - clear) * foiled }
        };
        self.foils.iter().zip(&self.said).map(weigh).product()
    }
}
