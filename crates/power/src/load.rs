//! What hangs on a rail: how much it takes, and between which voltages it works.

use crate::converter::Taken;
use crate::{PowerFault, Usage};
use quantity::{Amperes, Milliohms, Volts, Watts};

/// How much a load takes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Demand {
    /// The same power at any voltage: whatever has a converter of its own.
    Power {
        /// Usually.
        typical: Watts,
        /// At most, for a moment.
        peak: Watts,
        /// At its lowest level, before arming; none if it has no such level.
        waiting: Option<Watts>,
    },
    /// The same current at any voltage.
    Current {
        /// Usually.
        typical: Amperes,
        /// At most, for a moment.
        peak: Amperes,
    },
}

/// A load on a rail.
#[derive(Clone, Debug, PartialEq)]
pub struct Load {
    /// Its name.
    pub name: String,
    /// The rail it hangs on, or [`PACK`].
    pub on: String,
    /// Resistance of the way to it, out and back.
    pub lead: Milliohms,
    /// What it takes.
    pub demand: Demand,
    /// The least and the greatest voltage at its pins.
    pub needs: [Volts; 2],
}

impl Demand {
    pub(crate) fn taken(self, usage: Usage) -> Taken {
        match (self, usage) {
            (Demand::Power { waiting: Some(watts), .. }, Usage::Waiting) => Taken::Power(watts.get()),
            (Demand::Power { peak, .. }, Usage::Peak) => Taken::Power(peak.get()),
            (Demand::Power { typical, .. }, _) => Taken::Power(typical.get()),
            (Demand::Current { peak, .. }, Usage::Peak) => Taken::Current(peak.get()),
            (Demand::Current { typical, .. }, _) => Taken::Current(typical.get()),
        }
    }
}

impl Load {
    pub(crate) fn checked(&self) -> Result<(), PowerFault> {
        let name = &self.name;
        let mend = "a load takes: state what it takes at its pins";
        let order = "the peak is not below the typical";
        match self.demand {
            Demand::Power { typical, peak, waiting } => {
                let [none, most] = [0.0, 10_000.0].map(Watts::new);
                PowerFault::within(format_args!("typical power of {name}"), typical, none, most, mend)?;
                PowerFault::within(format_args!("peak power of {name}"), peak, typical, most, order)?;
                if let Some(waiting) = waiting {
                    PowerFault::within(format_args!("waiting power of {name}"), waiting, none, peak, mend)?;
                }
            }
            Demand::Current { typical, peak } => {
                let [none, most] = [0.0, 1_000.0].map(Amperes::new);
                PowerFault::within(format_args!("typical current of {name}"), typical, none, most, mend)?;
                PowerFault::within(format_args!("peak current of {name}"), peak, typical, most, order)?;
            }
        }
        let [least, most] = self.needs;
        let [none, high] = [0.0, 100.0].map(Volts::new);
        PowerFault::within(
            format_args!("greatest voltage of {name}"),
            most,
            none,
            high,
            "see its data sheet",
        )?;
        PowerFault::within(
            format_args!("least voltage of {name}"),
            least,
            none,
            most,
            "it lies below the greatest",
        )?;
        Ok(())
    }
}
