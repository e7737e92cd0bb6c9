//! What of the motors' switching reaches the video, and what stands across the supply to keep it away.
//!
//! The motors chop a current at half throttle: what flows in their windings there, on for half of the time. Four motors are out of step and
//! add as roots of squares. What they leave on the bus is that current times the impedance of the pack beside the capacitor: the
//! pack behind its resistance and the inductance of its lead, the capacitor behind its own resistance. A converter keeps most of it from its
//! rail; a coil with the capacitor behind it keeps the rest out, or rings with it.

use super::SupplyModel;
use super::custom::{LEAD_INDUCTANCE, RAIL_KEEPS_OUT};
use super::slots::{Slot, Slots};
use super::worst::Chain;
use crate::{Placed, Proof};
use craft::schema::{PartKind, board, drive, place};
use craft::{Missing, PlaceId};
use power::{Capacitor, Chopping, Filter, Microhenries, PACK};
use quantity::{Amperes, FactPath, Hertz, Microfarads, Milliohms, Percent, Volts};

/// A capacitor and what it stands across.
#[derive(Clone, Debug, PartialEq)]
pub struct CapacitorFacts {
    /// Its place.
    pub place: PlaceId,
    /// What a person calls it.
    pub called: String,
    /// `pack`, a rail, or a place at whose pins it stands.
    pub across: Result<String, Missing>,
    /// µF.
    pub capacitance: Option<Slot>,
    /// V.
    pub rated: Option<Slot>,
    /// mΩ.
    pub esr: Option<Slot>,
}

impl CapacitorFacts {
    pub(super) fn all(proof: &Proof, slots: &mut Slots) -> Vec<Self> {
        let of = |placed: Placed, slots: &mut Slots| {
            let item = placed.part.item();
            let across = placed.place.item().text(&place::FED_FROM).map(|said| said.trim().to_owned());
            let across = across.map_err(|missing| Missing {
                label: format!("supply that {:?} stands across", placed.part.name),
                ..missing
            });
            Self {
                place: placed.place.id.clone(),
                called: placed.part.name.clone(),
                across,
                capacitance: item.read(&drive::CAPACITANCE).ok().map(|c| slots.fact(&c)),
                rated: item.read(&drive::RATED).ok().map(|volts| slots.fact(&volts)),
                esr: item.read(&drive::ESR).ok().map(|ohm| slots.fact(&ohm)),
            }
        };
        proof.places_of(PartKind::Capacitor).map(|placed| of(placed, slots)).collect()
    }

    fn capacitor(&self, values: &[f64]) -> Option<Capacitor> {
        let (farads, ohm) = (self.capacitance?.at(values), self.esr?.at(values));
        Capacitor::new(Microfarads::new(farads), Milliohms::new(ohm)).ok()
    }
}

/// A coil in the plus wire of the video.
#[derive(Clone, Debug, PartialEq)]
pub struct CoilFacts {
    /// µH.
    pub henries: Slot,
    /// mΩ.
    pub ohm: Option<Slot>,
}

impl CoilFacts {
    pub(super) fn of(video: Placed, slots: &mut Slots) -> Option<Self> {
        let item = video.place.item();
        let henries = slots.fact(&item.read(&place::COIL).ok()?);
        Some(Self { henries, ohm: item.read(&place::COIL_RESISTANCE).ok().map(|ohm| slots.fact(&ohm)) })
    }
}

/// How often the motors are switched.
pub(super) fn switching(proof: &Proof) -> Result<f64, Missing> {
    let boards = proof
        .placed()
        .filter(|placed| [PartKind::SpeedController, PartKind::IntegratedBoard].contains(&placed.part.kind));
    let mut missing = Missing {
        path: FactPath("craft.speed_controller".to_owned()),
        label: format!("switching rate of the motors of {:?}", proof.craft.name),
    };
    for board in boards {
        match board.part.item().read(&board::SWITCHING) {
            Ok(rate) => return Ok(rate.value.get()),
            Err(lack) => missing = lack,
        }
    }
    Err(missing)
}

/// The ripple on its way.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Ripple {
    /// Current that is chopped, A.
    pub chopped: f64,
    /// On the bus, V peak to peak.
    pub bus: f64,
    /// At the video's pins, V peak to peak.
    pub video: f64,
    /// Corner of the filter before the video, Hz; none where there is no coil.
    pub corner: Option<f64>,
    /// mΩ that would damp it; none where it does not ring.
    pub damping: Option<f64>,
    /// How many times what comes in leaves the filter at its corner, and at the rate of switching.
    pub leaves: Option<[f64; 2]>,
}

impl Chain<'_> {
    /// The ripple at some numbers; none where a capacitor's facts or the rate lack.
    pub fn ripple(&self, model: &SupplyModel, values: &[f64]) -> Option<Ripple> {
        let rate = *model.switching.as_ref().ok()?;
        let one = self.drive.full.at(values) * self.drive.in_flight.at(values);
        // Half throttle: the windings carry the supply's current over its share of the time.
        let chopped = one * self.drive.current_share(50.0) / 0.5 * f64::from(self.drive.count).sqrt();
        let w = std::f64::consts::TAU * rate;
        let cell = self.pack.ohmic(values).ok()?;
        let length: f64 = self.pack.wires.iter().map(|wires| wires.length.at(values)).sum();
        let pack =
            [1e-3 * (cell + self.pack.joints(values).ok()?.get()), w * LEAD_INDUCTANCE * 1e-9 * length];
        let across_bus = model.capacitors.iter().filter(|cap| cap.across.as_deref() == Ok(PACK));
        let beside = across_bus.filter_map(|cap| {
            let (farads, ohm) = (cap.capacitance?.at(values) * 1e-6, cap.esr?.at(values) * 1e-3);
            Some([ohm, -1.0 / (w * farads)])
        });
        let [re, im] = beside.fold(pack, parallel);
        // A square wave about its middle: peak to peak is the current times the impedance.
        let bus = chopped * re.hypot(im);
        let direct = self.net.video().on == PACK;
        let fed = if direct { bus } else { bus / RAIL_KEEPS_OUT };
        let filter = model.coil.as_ref().and_then(|coil| {
            let at_pins = |cap: &&super::CapacitorFacts| cap.across.as_deref() == Ok(model.unit.as_str());
            let capacitor = model.capacitors.iter().find(at_pins)?.capacitor(values)?;
            let ohm = Milliohms::new(coil.ohm.map_or(0.0, |ohm| ohm.at(values)));
            Filter::new(Microhenries::new(coil.henries.at(values)), ohm, capacitor).ok()
        });
        let chopping =
            Chopping { current: Amperes::new(chopped), duty: Percent::new(50.0), rate: Hertz::new(rate) };
        let passed = filter.and_then(|filter| filter.passes(Volts::new(fed), &chopping, None).ok());
        Some(Ripple {
            chopped,
            bus,
            video: passed.map_or(fed, |volts| volts.get()),
            corner: filter.map(|filter| filter.corner().get()),
            damping: filter.filter(|filter| filter.rings()).map(|filter| filter.damping_wanted().get()),
            leaves: filter.and_then(|filter| {
                let at = |rate: Hertz| filter.transfer(rate, None).ok().map(|ratio| ratio.get());
                Some([at(filter.corner())?, at(Hertz::new(rate))?])
            }),
        })
    }
}

/// Two impedances side by side.
fn parallel([ar, ai]: [f64; 2], [br, bi]: [f64; 2]) -> [f64; 2] {
    let (top_r, top_i) = (ar * br - ai * bi, ar * bi + ai * br);
    let (r, i) = (ar + br, ai + bi);
    let square = (r * r + i * i).max(1e-18);
    [(top_r * r + top_i * i) / square, (top_i * r - top_r * i) / square]
}

#[cfg(test)]
mod tests {
    use super::parallel;

    #[test]
    fn two_alike_are_half_of_one_and_resonance_stands_out() {
        assert_eq!(parallel([2.0, 0.0], [2.0, 0.0]), [1.0, 0.0]);
        // A coil beside a capacitor of the same reactance, each behind 0.1: (0.1² + 1)/0.2.
        let [re, im] = parallel([0.1, 1.0], [0.1, -1.0]);
        assert!((re - 5.05).abs() < 1e-12 && im.abs() < 1e-12);
    }
}
