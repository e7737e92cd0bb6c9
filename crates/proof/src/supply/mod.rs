//! The supply of a craft: from its facts to what `power` asks, once a proof.
//!
//! [`SupplyModel`] holds every number in a slot with the fact it leans on (`slots.rs`), and the shape about them: the pack (`pack.rs`), rails
//! and loads (`net.rs`), motors (`drive.rs`), how it is flown (`plan.rs`). Each part is there, or says what it lacks. Results are asked of it
//! lazily and kept from one proof to the next while no number changed (`kept.rs`): a whole flight, the worst moment of the video
//! (`worst.rs`), endurance. Typical values stand in `custom.rs`. Left out: the sag of one motor's wires, braking back into the pack.

mod added;
mod asked;
mod cells;
pub mod custom;
mod draws;
mod drive;
mod feeds;
mod flown;
mod hot_air;
mod kept;
mod loads;
mod longer;
mod main_lead;
mod mends;
mod net;
mod pack;
mod plan;
mod punch;
mod reads;
mod rehung;
mod resistance;
mod ripple;
mod slots;
mod stand_table;
mod told;
mod warm;
mod wire_heat;
mod wired;
mod worst;

pub use added::Added;
pub(crate) use added::{BOARD_CERAMICS, CERAMICS_SOURCE, COILS, LOW, SIZES, rating};
pub use asked::{LastsIn, PunchAt, RailRow, SupplyAsked, SupplyPoint, WarmLine};
pub use cells::{CellsFacts, Chemistry};
pub use drive::DriveFacts;
pub use flown::{Flown, Lasts};
pub(crate) use hot_air::{air_too_hot, limit_in_doubt};
pub use kept::Supply;
pub(crate) use longer::Longer;
pub use mends::{Costs, POCKET, Tried, sure};
pub use net::{Astray, Kind, LoadFacts, NetFacts, RailFacts, Takes, VIDEO};
pub use pack::{PackFacts, Wires};
pub use plan::PlanFacts;
pub(crate) use rehung::{FeedsTried, first_that_holds, holds_at};
pub use resistance::Resistance;
pub use ripple::{CapacitorFacts, CoilFacts, CoilFilter, Ripple};
pub use slots::{Sloped, Slot, Slots};
pub use stand_table::{StandFault, StandReading, read_stand, stand_on_sheet};
pub(crate) use told::{minutes, of_unit, rail_figure, spoilt, volts};
pub(crate) use warm::ROOM;
pub use warm::{Does, FOR_EVER, HeatFacts, LevelFacts, Where};
pub(crate) use wire_heat::{after_punch, copper, steady_current, still};
pub(crate) use wired::{
    Disagreement, disagreement, fed_through, feed_that_suits, feeder, given_by, giver_of, supply_wire,
};
pub(crate) use worst::whole_between;
pub use worst::{Chain, Moment, Worst, warm_board};

use crate::Proof;
use crate::link::Lack;
use crate::subject::by_custom;
use craft::schema::PartKind;
use craft::{Missing, PlaceId};

/// What the supply of a craft rests on.
#[derive(Clone, Debug, PartialEq)]
pub struct SupplyModel {
    /// Every number.
    pub slots: Slots,
    /// The place of the video transmitter.
    pub unit: PlaceId,
    /// What its cells are: known though its resistance may not be.
    pub cells: Result<CellsFacts, Lack>,
    /// The pack.
    pub pack: Result<PackFacts, Lack>,
    /// The rails and loads.
    pub net: Result<NetFacts, Lack>,
    /// What of the net stands where the video itself hangs on nothing that leads to the pack.
    pub rest: Option<NetFacts>,
    /// Rails to which no way leads from the pack, by place/rail, and why.
    pub astray: Astray,
    /// The motors.
    pub drive: Result<DriveFacts, Lack>,
    /// The plan.
    pub plan: Result<PlanFacts, Lack>,
    /// The transmitter's warmth.
    pub heat: Result<HeatFacts, Lack>,
    /// What stands across which supply.
    pub capacitors: Vec<CapacitorFacts>,
    /// The coil before the video, if there is one.
    pub coil: Option<CoilFacts>,
    /// How often the motors are switched, Hz.
    pub switching: Result<f64, Missing>,
    /// How many times the ripple that is worked out it may be.
    pub ripple_off: Slot,
}

impl SupplyModel {
    /// Read from a craft; `None` if it carries no video transmitter, or no pack yet: then nobody asks about its supply.
    pub(crate) fn of(proof: &Proof) -> Option<Self> {
        let unit = proof.places_of(PartKind::VideoTransmitter).next()?;
        proof.places_of(PartKind::Pack).next()?;
        let mut slots = Slots::default();
        let pack = PackFacts::of(proof, &mut slots);
        let (net, rest, astray) = NetFacts::of(proof, unit, &mut slots);
        let cells = CellsFacts::of(proof);
        let drive = DriveFacts::of(proof, &mut slots);
        let plan = PlanFacts::of(proof, pack.as_ref().ok());
        let heat = HeatFacts::of(proof, unit, &mut slots);
        let capacitors = CapacitorFacts::all(proof, &mut slots);
        let coil = CoilFacts::of(unit, &mut slots);
        let switching = ripple::switching(proof);
        let ripple_off = slots.fact(&by_custom(
            "craft.ripple_off".to_owned(),
            "ripple over what is worked out",
            &custom::RIPPLE_OFF,
        ));
        let unit = unit.place.id.clone();
        Some(Self {
            slots,
            unit,
            cells,
            pack,
            net,
            rest,
            astray,
            drive,
            plan,
            heat,
            capacitors,
            coil,
            switching,
            ripple_off,
        })
    }

    /// The capacitors across the pack, a rail, or a place at whose pins they stand.
    pub(crate) fn capacitors_across(&self, what: &str) -> Vec<&CapacitorFacts> {
        self.capacitors.iter().filter(|cap| cap.across.as_deref() == Ok(what)).collect()
    }

    /// Why no way leads from the pack to a rail, by place/rail; none where one does.
    pub fn off_the_pack(&self, rail: &str) -> Option<&str> {
        self.astray.iter().find(|(name, _)| name == rail).map(|(_, why)| why.as_str())
    }

    /// Everything that the worst moment and a flight rest on, or all that lacks.
    pub fn chain(&self) -> Result<Chain<'_>, Lack> {
        match (&self.pack, &self.net, &self.drive, &self.plan) {
            (Ok(pack), Ok(net), Ok(drive), Ok(plan)) => Ok(Chain { model: self, pack, net, drive, plan }),
            (pack, net, drive, plan) => {
                let mut lack = Lack::default();
                for other in
                    [pack.as_ref().err(), net.as_ref().err(), drive.as_ref().err(), plan.as_ref().err()]
                {
                    other.into_iter().for_each(|other| lack.add(other));
                }
                Err(lack)
            }
        }
    }
}
