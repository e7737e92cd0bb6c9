//! What does a converter give at its output, and what does it take for that?
//!
//! Linear: output = min(set, input − dropout), the output's current plus its own flows in. Step-down: output = min(set, input −
//! headroom), input power = output power/η. Step-up: the set voltage, or what comes in less the diode where that is more;
//! input power = output power/η. η goes by the share of the limit that is drawn. Below the least input it is off; above the greatest
//! it is in danger. The limit falls straight to nothing between two temperatures. Left out: soft start, ripple of its own.

use crate::cell::interpolated;
use crate::{PowerFault, Told};
use quantity::{Amperes, Celsius, Percent, Source, Volts, Watts};

/// Where the efficiencies of a converter without a table come from.
pub const CONVERTER_SOURCE: Source = Source::common_practice(
    "small step-down and step-up converters: 75 % at a tenth of the load, 90 % in the middle, 85 % at the limit",
);

/// Load in percent of the limit, efficiency in percent.
const USUAL: [[f64; 2]; 4] = [[10.0, 75.0], [30.0, 87.0], [60.0, 90.0], [100.0, 85.0]];

/// How a converter works.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Conversion {
    /// Burns what is too much.
    Linear {
        /// By how much the input must lie above the output.
        dropout: Volts,
        /// What it takes itself.
        own: Amperes,
    },
    /// Switches down.
    StepDown {
        /// By how much the input must lie above the output.
        headroom: Volts,
    },
    /// Switches up.
    StepUp,
}

/// A converter as its data sheet has it.
#[derive(Clone, Debug, PartialEq)]
pub struct Converter {
    conversion: Conversion,
    output: f64,
    input: [f64; 2],
    limit: f64,
    /// Percent of the limit, percent.
    efficiency: Vec<[f64; 2]>,
    derating: Option<[f64; 2]>,
}

/// What keeps a rail at its voltage, or not.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum RailState {
    /// It stands at its set voltage.
    Holds,
    /// Its input is too near: the output follows the input.
    DropsOut,
    /// It is asked for more than its limit.
    Overloaded,
    /// Its input lies below the least, or is gone.
    Off,
    /// Its input lies above the greatest.
    InDanger,
}

/// A converter at work.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Converted {
    pub(crate) volts: f64,
    pub(crate) state: RailState,
}

impl Converter {
    /// Set voltage, range of its input, greatest output current.
    pub fn new(
        conversion: Conversion,
        output: Volts,
        [least, most]: [Volts; 2],
        limit: Amperes,
    ) -> Result<Self, PowerFault> {
        let [low, high] = [0.5, 60.0].map(Volts::new);
        PowerFault::within("output of the converter", output, low, high, "state the set voltage")?;
        PowerFault::within("greatest input of the converter", most, low, high, "see its data sheet")?;
        PowerFault::within(
            "least input of the converter",
            least,
            Volts::new(0.0),
            most,
            "it lies below the greatest",
        )?;
        let [small, large] = [0.001, 100.0].map(Amperes::new);
        PowerFault::within("limit of the converter", limit, small, large, "see its data sheet")?;
        let above = match conversion {
            Conversion::Linear { dropout, own } => {
                let [none, most] = [0.0, 1.0].map(Amperes::new);
                PowerFault::within("own current of the converter", own, none, most, "see its data sheet")?;
                dropout
            }
            Conversion::StepDown { headroom } => headroom,
            Conversion::StepUp => Volts::new(0.0),
        };
        PowerFault::within(
            "headroom of the converter",
            above,
            Volts::new(0.0),
            Volts::new(5.0),
            "see its data sheet",
        )?;
        let reaches = match conversion {
            Conversion::StepUp => output > least,
            _ => output <= most,
        };
        if !reaches {
            return Err(PowerFault::Contradictory {
                what: "converter",
                one: format!("an output of {output}"),
                other: format!("an input of {least} to {most}"),
                mend: "a step-down has its output below its input, a step-up above",
            });
        }
        let input = [least.get(), most.get()];
        let efficiency = USUAL.to_vec();
        Ok(Self { conversion, output: output.get(), input, limit: limit.get(), efficiency, derating: None })
    }

    /// With measured efficiencies by load in percent of the limit.
    pub fn with_efficiency(self, points: &[(Percent, Percent)]) -> Result<Self, PowerFault> {
        let mut table = Vec::new();
        for (load, efficiency) in points {
            let [none, full] = [0.0, 100.0].map(Percent::new);
            PowerFault::within(
                "load of a point of efficiency",
                *load,
                none,
                full,
                "in percent of the limit",
            )?;
            let [least, most] = [5.0, 99.9].map(Percent::new);
            PowerFault::within(
                "efficiency",
                *efficiency,
                least,
                most,
                "nothing comes out whole: measure again",
            )?;
            table.push([load.get(), efficiency.get()]);
        }
        table.sort_by(|a, b| a[0].total_cmp(&b[0]));
        if table.is_empty() {
            return Err(PowerFault::Short {
                what: "efficiency of the converter",
                has: 0,
                needs: "one at least",
            });
        }
        if let Some(pair) = table.windows(2).find(|pair| pair[0][0] == pair[1][0] && pair[0][1] != pair[1][1])
        {
            let told = |row: [f64; 2]| format!("{} % at a load of {} %", row[1], row[0]);
            let (one, other) = (told(pair[0]), told(pair[1]));
            let mend = "state one efficiency for each load";
            return Err(PowerFault::Contradictory { what: "efficiency of the converter", one, other, mend });
        }
        Ok(Self { efficiency: table, ..self })
    }

    /// With a limit that falls from one temperature and is gone at another.
    pub fn derated(self, from: Celsius, gone: Celsius) -> Result<Self, PowerFault> {
        let (coldest, hottest) = (Celsius::new(-40.0), Celsius::new(250.0));
        PowerFault::within(
            "temperature at which the limit is gone",
            gone,
            from,
            hottest,
            "it lies above the first",
        )?;
        PowerFault::within(
            "temperature from which the limit falls",
            from,
            coldest,
            gone,
            "it lies below the second",
        )?;
        if from.stated() == gone.stated() {
            return PowerFault::within(
                "span of derating",
                gone - from,
                Celsius::new(1.0),
                hottest,
                "state two temperatures",
            )
            .map(|_| self);
        }
        Ok(Self { derating: Some([from.get(), gone.get()]), ..self })
    }

    /// The current it can give at a temperature.
    pub fn limit_at(&self, temperature: Celsius) -> Amperes {
        let share = self
            .derating
            .map_or(1.0, |[from, gone]| ((gone - temperature.get()) / (gone - from)).clamp(0.0, 1.0));
        Amperes::new(self.limit * share)
    }
    /// Its set voltage.
    pub fn output(&self) -> Volts {
        Volts::new(self.output)
    }
    /// The least input at which its output stands.
    pub fn least_input(&self) -> Volts {
        let above = match self.conversion {
            Conversion::Linear { dropout: above, .. } | Conversion::StepDown { headroom: above } => {
                self.output + above.get()
            }
            Conversion::StepUp => 0.0,
        };
        Volts::new(above.max(self.input[0]))
    }
    /// Its efficiency at an output current.
    pub fn efficiency(&self, output: Amperes) -> Percent {
        Percent::new(interpolated(&self.efficiency, 100.0 * output.get() / self.limit))
    }

    /// Output voltage and state at an input, while it gives a current.
    pub(crate) fn at(&self, input: f64, amperes: f64, limit: f64) -> Converted {
        let [least, most] = self.input;
        if input < least || input.is_nan() || input <= 0.0 {
            return Converted { volts: 0.0, state: RailState::Off };
        }
        let reach = match self.conversion {
            Conversion::Linear { dropout: above, .. } | Conversion::StepDown { headroom: above } => {
                input - above.get()
            }
            Conversion::StepUp => f64::INFINITY,
        };
        let passes = matches!(self.conversion, Conversion::StepUp) && input > self.output;
        let volts = if passes { input } else { self.output.min(reach).max(0.0) };
        let state = if input > most {
            RailState::InDanger
        } else if amperes > limit {
            RailState::Overloaded
        } else if volts < self.output {
            RailState::DropsOut
        } else {
            RailState::Holds
        };
        Converted { volts, state }
    }

    /// What flows in while a current flows out: a power, or a current.
    pub(crate) fn takes(&self, volts: f64, amperes: f64) -> Taken {
        match self.conversion {
            Conversion::Linear { own, .. } => Taken::Current(amperes + own.get()),
            _ if amperes <= 0.0 => Taken::Power(0.0),
            _ => Taken::Power(volts * amperes / (self.efficiency(Amperes::new(amperes)).get() * 1e-2)),
        }
    }
}

/// What something takes from what feeds it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Taken {
    Power(f64),
    Current(f64),
}

impl Taken {
    /// Volts at its pins and the current, behind a resistance; none if nothing holds.
    pub(crate) fn behind(self, volts: f64, ohm: f64) -> Option<[f64; 2]> {
        match self {
            Taken::Current(amperes) => (amperes * ohm < volts).then_some([volts - amperes * ohm, amperes]),
            Taken::Power(watts) if watts <= 0.0 => Some([volts, 0.0]),
            Taken::Power(watts) => {
                let inner = volts * volts - 4.0 * ohm * watts;
                (volts > 0.0 && inner >= 0.0).then(|| {
                    let there = 0.5 * (volts + inner.sqrt());
                    [there, watts / there]
                })
            }
        }
    }
}

/// The most power that anything can take behind a resistance, and whether a load of constant power would fall over.
pub fn greatest_power(rest: Volts, resistance: quantity::Milliohms) -> Result<Watts, PowerFault> {
    let [least, most] = [0.01, 1e5].map(quantity::Milliohms::new);
    let mend = "measure it: no source is without resistance";
    let ohm = PowerFault::within("resistance of the source", resistance, least, most, mend)?.get() * 1e-3;
    let [none, high] = [0.0, 100.0].map(Volts::new);
    let volts = PowerFault::within("voltage at rest", rest, none, high, "check the unit")?.get();
    Ok(Watts::new(volts * volts / (4.0 * ohm)))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn down() -> Converter {
        let kind = Conversion::StepDown { headroom: Volts::new(0.8) };
        let made = Converter::new(kind, Volts::new(9.0), [6.0, 28.0].map(Volts::new), Amperes::new(2.0));
        made.unwrap_or_else(|f| unreachable!("{f}"))
    }

    #[test]
    fn a_rail_follows_its_input_down_and_then_goes_off() {
        let at = |volts| down().at(volts, 1.0, 2.0);
        assert_eq!(at(12.0), Converted { volts: 9.0, state: RailState::Holds });
        assert_eq!(at(9.3).state, RailState::DropsOut);
        assert!((at(9.3).volts - 8.5).abs() < 1e-12);
        assert_eq!(at(5.0), Converted { volts: 0.0, state: RailState::Off });
        assert_eq!(at(30.0).state, RailState::InDanger);
        assert_eq!(down().at(12.0, 2.1, 2.0).state, RailState::Overloaded);
        assert_eq!(down().least_input(), Volts::new(9.8));
    }

    #[test]
    fn a_hot_converter_gives_less() {
        let hot =
            down().derated(Celsius::new(60.0), Celsius::new(110.0)).unwrap_or_else(|f| unreachable!("{f}"));
        assert_eq!(hot.limit_at(Celsius::new(85.0)), Amperes::new(1.0));
        assert_eq!(hot.limit_at(Celsius::new(20.0)), Amperes::new(2.0));
        assert!(down().derated(Celsius::new(110.0), Celsius::new(60.0)).is_err());
        assert!(down().derated(Celsius::new(60.0), Celsius::new(60.0)).is_err());
    }

    #[test]
    fn what_contradicts_itself_is_told() {
        let told = Converter::new(
            Conversion::StepUp,
            Volts::new(5.0),
            [6.0, 12.0].map(Volts::new),
            Amperes::new(1.0),
        );
        let words = "converter: an output of 5 V and an input of 6 V to 12 V contradict each other; a step-down has its output below its input, a step-up above";
        assert_eq!(told.map_err(|f| f.to_string()), Err(words.to_owned()));
        let twice = [(50.0, 80.0), (50.0, 90.0)].map(|(l, e)| (Percent::new(l), Percent::new(e)));
        assert!(down().with_efficiency(&twice).is_err());
        assert!(down().with_efficiency(&[]).is_err());
    }
}
