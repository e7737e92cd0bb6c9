//! A supply with what was found of it: each result is worked out when it is first asked for, and kept as long as no number changes.

use super::draws::Draws;
use super::flown::{Flown, Lasts};
use super::mends::{POCKET, Tried, tried};
use super::punch::Punches;
use super::worst::{Chain, Moment, Ready, TRIALS, Worst};
use super::{Sloped, SupplyModel};
use crate::link::Lack;
use crate::supply_limits::STAYS_UP;
use quantity::Seconds;
use std::sync::OnceLock;

/// The longest flight that is shown where no time is planned, in s.
const SHOWN: f64 = 1_800.0;

/// The supply of a craft, with what was found of it so far.
#[derive(Debug)]
pub struct Supply {
    model: SupplyModel,
    ready: OnceLock<Option<Ready>>,
    draws: Draws,
    punches: OnceLock<Option<Punches>>,
    worst: OnceLock<Option<Worst>>,
    fail_charge: OnceLock<Option<Sloped>>,
    deepest: OnceLock<Option<Sloped>>,
    weakest: OnceLock<Option<Sloped>>,
    mends: OnceLock<Vec<Tried>>,
    lasts: OnceLock<Option<Lasts>>,
    flown: OnceLock<Option<Flown>>,
    warmed: OnceLock<Option<Box<Supply>>>,
}

impl Supply {
    /// Nothing found yet.
    pub(crate) fn of(model: SupplyModel) -> Self {
        Self {
            draws: Draws::of(model.slots.values().len(), TRIALS),
            model,
            ready: OnceLock::new(),
            punches: OnceLock::new(),
            worst: OnceLock::new(),
            fail_charge: OnceLock::new(),
            deepest: OnceLock::new(),
            weakest: OnceLock::new(),
            mends: OnceLock::new(),
            lasts: OnceLock::new(),
            flown: OnceLock::new(),
            warmed: OnceLock::new(),
        }
    }

    /// What it rests on.
    pub fn model(&self) -> &SupplyModel {
        &self.model
    }
    /// Pack, rails, motors and plan, or all that lacks.
    pub fn chain(&self) -> Result<Chain<'_>, Lack> {
        self.model.chain()
    }

    fn ready(&self) -> Option<&Ready> {
        let find = || self.chain().ok()?.ready(&self.model.slots, self.model.slots.values());
        self.ready.get_or_init(find).as_ref()
    }

    /// Every trial of the numbers as they stand, for all moments that are asked.
    fn trials(&self) -> Option<&Punches> {
        let find = || {
            let (slots, chain) = (&self.model.slots, self.chain().ok()?);
            Some(chain.punches(self.ready()?, slots, slots.values(), &self.draws))
        };
        self.punches.get_or_init(find).as_ref()
    }

    /// The worst moment as planned; none where facts lack or nothing can be worked out.
    pub fn worst(&self) -> Option<&Worst> {
        let find = || {
            let (chain, ready) = (self.chain().ok()?, self.ready()?);
            chain.worst(ready, &self.model.slots, &self.draws, || self.trials())
        };
        self.worst.get_or_init(find).as_ref()
    }

    /// The charge at which the video fails at a punch, with its doubt.
    pub fn fail_charge(&self) -> Option<&Sloped> {
        let find = || {
            let (chain, ready) = (self.chain().ok()?, self.ready()?);
            let moment = chain.moment();
            self.model.slots.sloped(|values| chain.fail_charge(ready, values, &moment))
        };
        self.fail_charge.get_or_init(find).as_ref()
    }

    /// The lowest volts of the bus at a punch at landing, with their doubt; 0 where the supply falls over.
    pub fn deepest(&self) -> Option<&Sloped> {
        let find = || {
            let (chain, ready) = (self.chain().ok()?, self.ready()?);
            let moment = chain.moment();
            self.model.slots.sloped(|values| Some(chain.deepest(ready, values, &moment)))
        };
        self.deepest.get_or_init(find).as_ref()
    }

    /// The lowest volts of any cell then.
    pub fn weakest(&self) -> Option<&Sloped> {
        let find = || self.weakest_at(&self.chain().ok()?.moment());
        self.weakest.get_or_init(find).as_ref()
    }
    /// The same at another moment.
    pub(crate) fn weakest_at(&self, moment: &Moment) -> Option<Sloped> {
        let (chain, ready) = (self.chain().ok()?, self.ready()?);
        self.model.slots.sloped(|values| Some(chain.weakest(ready, values, moment)))
    }

    /// The volts that the motors leave of the bus at a punch at landing, with a current beside them.
    pub(crate) fn left_without_rails(&self, beside: f64) -> Option<f64> {
        let (chain, ready) = (self.chain().ok()?, self.ready()?);
        chain.left(ready, self.model.slots.values(), &chain.moment(), beside)
    }

    /// The changes that keep the video up, tried, cheapest first.
    pub fn mends(&self) -> &[Tried] {
        let find = || {
            let trials = (&self.draws, self.trials()?);
            Some(tried(&self.chain().ok()?, &self.model, self.ready()?, trials))
        };
        self.mends.get_or_init(|| find().unwrap_or_default())
    }

    /// The charge in whole per cent to land with so that the video stays up at a punch, as surely as it must; none where it does as planned,
    /// and where no charge does.
    pub(crate) fn landing_that_holds(&self) -> Option<f64> {
        let wanted = STAYS_UP.tight * 1e-2;
        if self.worst()?.stays_up >= wanted {
            return None;
        }
        let chain = self.chain().ok()?;
        chain.charge_for(self.trials()?, &chain.moment(), wanted)
    }

    /// How long the pack lasts until the planned charge is left, in s, with its doubt.
    pub fn lasts(&self) -> Option<&Sloped> {
        self.flights().map(|flights| &flights.time)
    }

    /// The same with how many flights last how long: rule, figure, chart and pane tell these.
    pub fn flights(&self) -> Option<&Lasts> {
        let find = || self.chain().ok()?.flights(&self.model.slots);
        self.lasts.get_or_init(find).as_ref()
    }

    /// The same supply with its pack kept warm until take-off; none where it is.
    pub(crate) fn warmed(&self) -> Option<&Supply> {
        let find = || {
            let mut model = self.model.clone();
            let plan = model.plan.as_mut().ok()?;
            if plan.pack_at >= POCKET {
                return None;
            }
            plan.pack_at = POCKET;
            Some(Box::new(Self::of(model)))
        };
        self.warmed.get_or_init(find).as_deref()
    }

    /// The flight as planned, or until the planned charge is left where no time is planned.
    pub fn flown(&self) -> Option<&Flown> {
        let find = || {
            let chain = self.chain().ok()?;
            let planned = chain.plan.planned.as_ref().ok().copied();
            let length =
                planned.or_else(|| self.lasts().map(|lasts| Seconds::new(lasts.value.min(SHOWN))))?;
            chain.flown(self.model.slots.values(), length).ok()
        };
        self.flown.get_or_init(find).as_ref()
    }
}
