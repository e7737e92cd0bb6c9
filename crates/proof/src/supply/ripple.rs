//! What of the motors' switching and commutation reaches the video, and what stands across the supply to keep it away.
//!
//! The motors chop a current at half throttle: what flows in their windings there, on for half of the time. Four motors are out of step and
//! add as roots of squares. At full throttle nothing is chopped, and the current dips at each of six steps by what the wave of a winding has
//! sunk by then, 1 - cos 30°: that comes at any rate from 5 to 25 kHz as the motors turn. What either leaves on the bus is its current times
//! the impedance of the pack beside the capacitor: the pack behind its resistance and the inductance of its lead, the capacitor behind its own
//! resistance. A converter keeps most of it from its rail; a coil, or the wires alone, with the capacitor behind it keeps the rest out, or
//! rings with it. What counts is the greater of the two, the second at the worst rate of its band. Left out: what the video itself damps.

use super::SupplyModel;
use super::custom::{COMMUTATES, LEAD_INDUCTANCE, RAIL_KEEPS_OUT};
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

    /// As it is at some numbers; none where one of them lacks or cannot be.
    pub(crate) fn capacitor(&self, values: &[f64]) -> Option<Capacitor> {
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
    /// At the video's pins, V peak to peak: the greater of the next two.
    pub video: f64,
    /// Of that by switching.
    pub switched: f64,
    /// By commutation, at the worst rate.
    pub commutated: f64,
    /// Hz, that rate.
    pub worst_at: f64,
    /// Corner of the filter before the video, Hz; none where there is no coil.
    pub corner: Option<f64>,
    /// mΩ that would damp it; none where it does not ring.
    pub damping: Option<f64>,
    /// µF in the place of its capacitor with which it would not ring; none where it does not.
    pub larger: Option<f64>,
    /// How many times what comes in leaves the filter at its corner, and at the rate of switching.
    pub leaves: Option<[f64; 2]>,
    /// W that a converter behind the filter may take before the two swing by themselves; none without a filter.
    pub settles: Option<f64>,
}

/// By how much the current of a motor dips from one of its six steps to the next, peak to peak: 1 - cos 30°.
fn dip() -> f64 {
    1.0 - (std::f64::consts::PI / 6.0).cos()
}
/// Rates at which the band of commutation is looked through, beside the corner of the filter.
const LOOKED: usize = 9;

impl Chain<'_> {
    /// The ripple at some numbers; none where a capacitor's facts or the rate lack.
    pub fn ripple(&self, model: &SupplyModel, values: &[f64]) -> Option<Ripple> {
        let rate = *model.switching.as_ref().ok()?;
        let one = self.drive.full.at(values) * self.drive.in_flight.at(values);
        let motors = f64::from(self.drive.count).sqrt();
        // Half throttle: the windings carry the supply's current over its share of the time.
        let chopped = one * self.drive.current_share(50.0) / 0.5 * motors;
        let cell = self.pack.ohmic(values).ok()?;
        let length: f64 = self.pack.wires.iter().map(|wires| wires.length.at(values)).sum();
        let resists = 1e-3 * (cell + self.pack.joints(values).ok()?.get());
        let across = model.capacitors_across(PACK);
        let on_bus = |rate: f64| {
            let w = std::f64::consts::TAU * rate;
            let beside = across.iter().filter_map(|cap| {
                let (farads, ohm) = (cap.capacitance?.at(values) * 1e-6, cap.esr?.at(values) * 1e-3);
                Some([ohm, -1.0 / (w * farads)])
            });
            let [re, im] = beside.fold([resists, w * LEAD_INDUCTANCE * 1e-9 * length], parallel);
            re.hypot(im)
        };
        // A square wave about its middle: peak to peak is the current times the impedance.
        let bus = chopped * on_bus(rate);
        let kept = if self.net.video().on == PACK { 1.0 } else { RAIL_KEEPS_OUT };
        let filter = self.before_the_video(model, values);
        let chopping =
            Chopping { current: Amperes::new(chopped), duty: Percent::new(50.0), rate: Hertz::new(rate) };
        let passed = filter.and_then(|filter| filter.passes(Volts::new(bus / kept), &chopping, None).ok());
        let switched = passed.map_or(bus / kept, |volts| volts.get());
        let lets_through = |rate: f64| {
            filter.map_or(1.0, |filter| filter.transfer(Hertz::new(rate), None).map_or(1.0, |h| h.get()))
        };
        let [low, high] = COMMUTATES;
        let step = (high / low).powf(1.0 / (LOOKED - 1) as f64);
        let rates = (0..LOOKED).map(|k| low * step.powi(k as i32));
        // Between two rates that are looked at a corner could hide.
        let corner = filter.map(|filter| filter.corner().get());
        let rates = rates.chain(corner.filter(|corner| (low..=high).contains(corner)));
        let by_rate =
            rates.map(|rate| (one * dip() * motors * on_bus(rate) / kept * lets_through(rate), rate));
        let (commutated, worst_at) = by_rate.max_by(|a, b| a.0.total_cmp(&b.0))?;
        // Wires alone are no filter that anybody would damp.
        let coil = filter.filter(|_| model.coil.is_some());
        let rings = coil.filter(|filter| filter.rings());
        Some(Ripple {
            chopped,
            bus,
            video: switched.max(commutated),
            switched,
            commutated,
            worst_at,
            corner: coil.and(corner),
            damping: rings.map(|filter| filter.damping_wanted().get()),
            larger: rings.map(|filter| filter.capacitance_wanted().get()),
            leaves: coil.and_then(|filter| {
                let at = |rate: Hertz| filter.transfer(rate, None).ok().map(|ratio| ratio.get());
                Some([at(filter.corner())?, at(Hertz::new(rate))?])
            }),
            settles: coil
                .and_then(|filter| Some(filter.settles_up_to(self.at_the_video(values)?).ok()?.get())),
        })
    }

    /// The coil before the video, or its wires where there is none, with the capacitors at its pins; none without those.
    fn before_the_video(&self, model: &SupplyModel, values: &[f64]) -> Option<Filter> {
        let at_pins = model.capacitors_across(model.unit.as_str());
        let known =
            at_pins.into_iter().filter_map(|cap| Some([cap.capacitance?.at(values), cap.esr?.at(values)]));
        // Side by side: their capacitances add, and their resistances by how much of the current each carries.
        let [farads, per_ohm] =
            known.fold([0.0, 0.0], |sum, [farads, ohm]| [sum[0] + farads, sum[1] + 1.0 / ohm.max(1e-3)]);
        if farads <= 0.0 {
            return None;
        }
        let capacitor = Capacitor::new(Microfarads::new(farads), Milliohms::new(1.0 / per_ohm)).ok()?;
        let wires = self.net.video().wires.as_ref();
        let wire_ohm = wires.and_then(|wires| wires.resistance(values).ok()).map_or(0.0, |ohm| ohm.get());
        let wire_henries = wires.map_or(0.0, |wires| 1e-3 * LEAD_INDUCTANCE * wires.length.at(values));
        let coil = model.coil.as_ref();
        let henries = wire_henries + coil.map_or(0.0, |coil| coil.henries.at(values));
        let ohm = wire_ohm + coil.and_then(|coil| coil.ohm).map_or(0.0, |ohm| ohm.at(values));
        Filter::new(Microhenries::new(henries), Milliohms::new(ohm), capacitor).ok()
    }

    /// V that the video's filter stands at, at landing: where a converter behind it takes the most current.
    fn at_the_video(&self, values: &[f64]) -> Option<Volts> {
        let video = self.net.video();
        match self.net.rail(&video.on) {
            Some(rail) => Some(Volts::new(rail.out.at(values))),
            None => Some(self.pack.at(values).ok()?.rest(self.plan.land)),
        }
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
