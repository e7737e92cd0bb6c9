//! Which voltage stands on a pack while loads pull at it, and when does it fall over?
//!
//! Cells in series, each perhaps another, and strings in parallel that share the current. The bus voltage V solves
//! V = ΣU − R·I − Σa·asinh(I/s), where the loads take I = P/V + I_c + k·V²: constant power (converters, a held thrust), constant
//! current, and full throttle, whose current goes with the square of the voltage. The greatest root is the stable one; Newton's
//! steps from above come down on it without passing it. For constant power P behind R alone there is none when V² < 4·R·P.
//! Left out: strings of unlike cells in parallel, the inductance of leads.

use crate::cell::warm;
use crate::cold::share_to_be_had;
use crate::measures::FREEZING;
use crate::terminals::{Pull, Terminals, asinh};
use crate::{Age, BRANCHES_MOST, Cell, JoulesPerKelvin, PowerFault, WattsPerKelvin};
use quantity::{
    Amperes, Celsius, Count, Measure, MilliampereHours, Milliohms, Percent, Seconds, Volts, Watts,
};

/// How a pack warms itself.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Warming {
    /// Heat it takes to warm it; about 1 J/K a gram.
    pub capacity: JoulesPerKelvin,
    /// What goes from it to the air.
    pub to_air: WattsPerKelvin,
}

/// Cells in series and parallel, with leads and plug.
#[derive(Clone, Debug, PartialEq)]
pub struct Pack {
    /// Like cells, and how many of them stand in series.
    groups: Vec<(Cell, f64)>,
    parallel: f64,
    /// Ohm of leads, plug and board, out and back.
    joints: f64,
    warming: Option<Warming>,
}

/// What pulls at a pack at one moment.
#[derive(Clone, Copy, Debug, PartialEq, Default)]
pub struct Draw {
    /// Loads that take the same power at any voltage.
    pub power: Watts,
    /// Loads that take the same current at any voltage.
    pub current: Amperes,
    /// Motors at a held throttle: their current at some voltage.
    pub throttle: Option<(Amperes, Volts)>,
}

/// Where a pack stands under a load.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Standing {
    /// Voltage behind leads and plug.
    pub bus: Volts,
    /// Current.
    pub current: Amperes,
    /// Voltage of the weakest cell.
    pub weakest: Volts,
}

/// No voltage at which source and loads agree: the loads pull the pack down.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Fold {
    /// The voltage without any load.
    pub rest: Volts,
}

impl Pack {
    /// Like cells: so many in series, so many strings of them.
    pub fn new(series: u32, parallel: u32, cell: Cell, joints: Milliohms) -> Result<Self, PowerFault> {
        Self::of_cells(vec![(cell, series)], parallel, joints)
    }

    /// Cells of several kinds in series: each with its number.
    pub fn of_cells(groups: Vec<(Cell, u32)>, parallel: u32, joints: Milliohms) -> Result<Self, PowerFault> {
        let count = |n: u32| Count::of(f64::from(n));
        let [one, most] = [1.0, 16.0].map(Count::of);
        let series = groups.iter().map(|(_, n)| n).fold(0u32, |sum, n| sum.saturating_add(*n));
        PowerFault::within("cells in series", count(series), one, most, "count them")?;
        PowerFault::within("cells in parallel", count(parallel), one, most, "count them")?;
        let [least, most] = [0.0, 1_000.0].map(Milliohms::new);
        let joints = PowerFault::within("resistance of leads and plug", joints, least, most, "measure it")?
            .get()
            * 1e-3;
        let groups =
            groups.into_iter().filter(|(_, n)| *n > 0).map(|(cell, n)| (cell, f64::from(n))).collect();
        Ok(Self { groups, parallel: f64::from(parallel), joints, warming: None })
    }

    /// The same pack, warming itself as it is used.
    pub fn warming(self, warming: Warming) -> Result<Self, PowerFault> {
        let [least, most] = [1.0, 1e5].map(JoulesPerKelvin::new);
        PowerFault::within("heat capacity of the pack", warming.capacity, least, most, "about 1 J/K a gram")?;
        let [least, most] = [0.0, 100.0].map(WattsPerKelvin::new);
        PowerFault::within("heat from pack to air", warming.to_air, least, most, "0 if it is wrapped up")?;
        Ok(Self { warming: Some(warming), ..self })
    }

    /// How many cells stand in series.
    pub fn series(&self) -> f64 {
        self.groups.iter().map(|(_, n)| n).sum()
    }
    /// Its capacity: that of its smallest cell.
    pub fn capacity(&self) -> MilliampereHours {
        let least = self.groups.iter().map(|(cell, _)| cell.ampere_hours).fold(f64::INFINITY, f64::min);
        MilliampereHours::new(self.parallel * least * 1e3)
    }
    /// Its voltage at rest at a charge.
    pub fn rest(&self, charge: Percent) -> Volts {
        let share = charge.get() * 1e-2;
        Volts::new(self.groups.iter().map(|(cell, n)| n * cell.curve.value(share)).sum())
    }

    /// The same pack after years of use.
    pub fn aged(&self, age: Age) -> Result<Self, PowerFault> {
        let aged = |(cell, n): &(Cell, f64)| Ok((cell.clone().aged(age)?, *n));
        let groups = self.groups.iter().map(aged).collect::<Result<_, PowerFault>>()?;
        Ok(Self { groups, ..self.clone() })
    }
    /// The share of charge at which its cells rest at a voltage on average.
    pub(crate) fn share_at_rest(&self, cell: Volts) -> f64 {
        let wanted = cell.get() * self.series();
        let (mut low, mut high) = (0.0, 1.0);
        for _ in 0..50 {
            let middle = 0.5 * (low + high);
            let rest: f64 = self.groups.iter().map(|(cell, n)| n * cell.curve.value(middle)).sum();
            if rest < wanted { low = middle } else { high = middle }
        }
        0.5 * (low + high)
    }

    /// Rested at a charge and a temperature.
    pub fn rested(&self, charge: Percent, temperature: Celsius) -> Result<PackState, PowerFault> {
        let [empty, full] = [0.0, 100.0].map(Percent::new);
        let share = PowerFault::within("charge", charge, empty, full, "100 % is full")?.get() * 1e-2;
        let cells = vec![CellState { share, over: [0.0; BRANCHES_MOST] }; self.groups.len()];
        Ok(PackState { cells, kelvin: warm(temperature)? })
    }

    /// As it stands at a charge after constant currents, each for a time, the earliest first: its slow voltages are those that the
    /// currents left, its charge is the one asked for at the end of them all. A punch at the end of a flight begins so.
    pub fn worked(
        &self,
        charge: Percent,
        temperature: Celsius,
        currents: &[(Amperes, Seconds)],
    ) -> Result<PackState, PowerFault> {
        let mut state = self.rested(charge, temperature)?;
        for (current, time) in currents {
            let (i, t) = (self.shared(*current)?, lasting(*time)?);
            for ((cell, _), at) in self.groups.iter().zip(&mut state.cells) {
                let factor = cell.at(state.kelvin).factor();
                for (v, [ohm, slow]) in at.over.iter_mut().zip(&cell.branches) {
                    let kept = (-t / slow).exp();
                    *v = *v * kept + ohm * factor * (1.0 - kept) * i;
                }
            }
        }
        Ok(state)
    }

    /// The pack as its loads see it in a state.
    pub(crate) fn terminals(&self, state: &PackState) -> Terminals {
        let mut seen = Terminals::behind(self.joints);
        for ((cell, n), at) in self.groups.iter().zip(&state.cells) {
            seen.rest += n * (cell.curve.value(at.share) - at.over.iter().sum::<f64>());
            seen.resists(cell.at(state.kelvin), at.share, *n, self.parallel);
        }
        seen
    }

    /// Volts of the bus and the current at the end of a punch, whose own current has drawn down the slow voltages: that of a first look
    /// without it. Before it a mean current flowed for a time; the charge is the one at the end of all. The inner fault is that nothing holds.
    pub fn at_punch(
        &self,
        charge: Percent,
        temperature: Celsius,
        before: (Amperes, Seconds),
        (draw, held): (&Draw, Seconds),
    ) -> Result<Result<(Volts, Amperes), Fold>, PowerFault> {
        let [empty, full] = [0.0, 100.0].map(Percent::new);
        let share = PowerFault::within("charge", charge, empty, full, "100 % is full")?.get() * 1e-2;
        let kelvin = warm(temperature)?;
        let mean = self.shared(before.0)?;
        let [before, held] = [before.1, held].map(lasting);
        let (before, held) = (before?, held?);
        let mut seen = Terminals::behind(self.joints);
        let mut slow = 0.0;
        for (cell, n) in &self.groups {
            let here = cell.at(kelvin);
            let mut over = 0.0;
            for [ohm, time] in &cell.branches {
                let [then, kept] = [before, held].map(|t| (-t / time).exp());
                over += ohm * here.factor() * (1.0 - then) * mean * kept;
                slow += n * ohm * here.factor() * (1.0 - kept) / self.parallel;
            }
            seen.rest += n * (cell.curve.value(share) - over);
            seen.resists(here, share, *n, self.parallel);
        }
        let pull = Pull::of(draw);
        let mut once = |near: Option<f64>| {
            let found = seen.solve(&pull, near).ok_or(Fold { rest: Volts::new(seen.rest) })?;
            seen.rest -= slow * found[1];
            Ok(found)
        };
        let found = once(None).and_then(|[volts, _]| once(Some(volts)));
        Ok(found.map(|[volts, amperes]| (Volts::new(volts), Amperes::new(amperes))))
    }

    /// A current of the pack as one string feels it, in A.
    fn shared(&self, current: Amperes) -> Result<f64, PowerFault> {
        let [none, most] = [0.0, 1e4].map(Amperes::new);
        let mend = "a discharge is positive";
        Ok(PowerFault::within("current of the pack", current, none, most, mend)?.get() / self.parallel)
    }

    /// Where the pack stands under a load, or that it cannot.
    pub fn standing(&self, state: &PackState, draw: &Draw) -> Result<Standing, Fold> {
        let seen = self.terminals(state);
        let solved = seen.solve(&Pull::of(draw), None).ok_or(Fold { rest: Volts::new(seen.rest) })?;
        Ok(self.told(state, solved))
    }

    pub(crate) fn told(&self, state: &PackState, [volts, amperes]: [f64; 2]) -> Standing {
        let i = amperes / self.parallel;
        let weakest = self.groups.iter().zip(&state.cells).map(|((cell, _), at)| {
            let here = cell.at(state.kelvin);
            let [scale, current] = here.transfer();
            cell.curve.value(at.share)
                - at.over.iter().sum::<f64>()
                - here.ohmic(at.share) * i
                - scale * asinh(i / current)[0]
        });
        let weakest = Volts::new(weakest.fold(f64::INFINITY, f64::min));
        Standing { bus: Volts::new(volts), current: Amperes::new(amperes), weakest }
    }

    /// The state after a time under a constant current, exactly; `air` in kelvin. Resistances and heat are those of the state
    /// `via`, at the start or in the middle of the time.
    #[allow(clippy::too_many_arguments)]
    pub(crate) fn advance(
        &self,
        from: &PackState,
        via: &PackState,
        amperes: f64,
        volts: f64,
        seconds: f64,
        air: f64,
        to: &mut PackState,
    ) {
        let i = amperes / self.parallel;
        to.kelvin = from.kelvin;
        if let Some(warming) = self.warming {
            let rest: f64 = self
                .groups
                .iter()
                .zip(&via.cells)
                .map(|((cell, n), at)| n * cell.curve.value(at.share))
                .sum();
            let heat = (rest - volts - self.joints * amperes) * amperes;
            let (mass, to_air) = (warming.capacity.get(), warming.to_air.get());
            // The limit of (1 − e^(−x))/x, so that no conductance at all is not a division by nothing.
            let x = to_air * seconds / mass;
            let spread = if x > 1e-9 { -(-x).exp_m1() / x } else { 1.0 };
            to.kelvin += (heat - to_air * (from.kelvin - air)) * spread * seconds / mass;
        }
        to.cells.clear();
        let given = given(from, to.kelvin);
        for ((cell, _), at) in self.groups.iter().zip(&from.cells) {
            let factor = cell.at(via.kelvin).factor();
            let mut over = at.over;
            for (v, [ohm, time]) in over.iter_mut().zip(&cell.branches) {
                let kept = (-seconds / time).exp();
                *v = *v * kept + ohm * factor * (1.0 - kept) * i;
            }
            to.cells
                .push(CellState { share: given(at.share, i * seconds / (3600.0 * cell.ampere_hours)), over });
        }
    }

    /// Sets the charges anew for a mean current that is known better.
    pub(crate) fn charge_by(&self, from: &PackState, amperes: f64, seconds: f64, to: &mut PackState) {
        let i = amperes / self.parallel;
        let given = given(from, to.kelvin);
        for ((cell, _), (before, after)) in self.groups.iter().zip(from.cells.iter().zip(&mut to.cells)) {
            after.share = given(before.share, i * seconds / (3600.0 * cell.ampere_hours));
        }
    }

    /// How much volts bend while a current that changes by one ampere flows for a time: the size of errors of a step.
    pub(crate) fn stiffness(&self, state: &PackState, seconds: f64) -> f64 {
        let had = share_to_be_had(state.kelvin);
        let cell = |(cell, n): &(Cell, f64), at: &CellState| {
            let factor = cell.at(state.kelvin).factor();
            let slow: f64 =
                cell.branches.iter().map(|[ohm, time]| ohm * factor * -(-seconds / time).exp_m1()).sum();
            n * (slow + cell.curve.slope(at.share) * seconds / (3600.0 * cell.ampere_hours * had))
        };
        self.groups.iter().zip(&state.cells).map(|(g, at)| cell(g, at)).sum::<f64>() / self.parallel
    }
}

/// What is left of a cell's charge, as a share of what is to be had, once a share of all of its charge is taken from what was left. What was
/// taken before counts against what is to be had now: a cell that warms up has more again.
fn given(from: &PackState, kelvin: f64) -> impl Fn(f64, f64) -> f64 + use<> {
    let [before, now] = [from.kelvin, kelvin].map(share_to_be_had);
    // All of it, as a warm cell has it, loses no digits.
    let whole = before == now;
    move |left, taken| match whole {
        true => left - taken / now,
        false => 1.0 - ((1.0 - left) * before + taken) / now,
    }
}

/// The state of a pack: charge and slow voltages of each kind of cell, and temperature.
#[derive(Clone, Debug, PartialEq)]
pub struct PackState {
    cells: Vec<CellState>,
    kelvin: f64,
}

#[derive(Clone, Copy, Debug, PartialEq)]
struct CellState {
    share: f64,
    over: [f64; BRANCHES_MOST],
}

impl PackState {
    /// The charge of its emptiest cell, as a share of what is to be had at its temperature.
    pub fn charge(&self) -> Percent {
        Percent::new(self.share().max(0.0) * 1e2)
    }
    pub(crate) fn share(&self) -> f64 {
        self.cells.iter().map(|cell| cell.share).fold(f64::INFINITY, f64::min)
    }
    /// Its temperature.
    pub fn temperature(&self) -> Celsius {
        Celsius::new(self.kelvin - FREEZING)
    }
}

impl Draw {
    /// Whether every load is one.
    pub(crate) fn checked(&self) -> Result<&Self, PowerFault> {
        let mend = "a load takes; what gives current is left out";
        PowerFault::within("power of a load", self.power, Watts::new(0.0), Watts::new(1e5), mend)?;
        PowerFault::within("current of a load", self.current, Amperes::new(0.0), Amperes::new(1e4), mend)?;
        if let Some((current, volts)) = self.throttle {
            PowerFault::within(
                "current at full throttle",
                current,
                Amperes::new(0.0),
                Amperes::new(1e4),
                mend,
            )?;
            let [least, most] = [0.5, 100.0].map(Volts::new);
            PowerFault::within(
                "voltage of the full throttle current",
                volts,
                least,
                most,
                "state where it was measured",
            )?;
        }
        Ok(self)
    }
}

fn lasting(time: Seconds) -> Result<f64, PowerFault> {
    let [none, day] = [0.0, 86_400.0].map(Seconds::new);
    Ok(PowerFault::within("time of a current", time, none, day, "check the unit")?.get())
}

#[cfg(test)]
#[path = "pack_tests.rs"]
mod tests;
