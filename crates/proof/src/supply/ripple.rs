//! What of the motors' switching and commutation reaches the video, and what stands across the supply to keep it away.
//!
//! A motor's winding takes its current from the supply for a share of each period, as much as the throttle says, and nothing for the rest: the
//! greatest wave of a few throttles counts. Each motor is switched by a clock of its own; out of step, several add as roots of squares, which is the mean over
//! all that their clocks may stand to each other, and for moments they come into step and add whole. At full throttle nothing is chopped, and the
//! current dips at each of six steps by what the wave of a winding has sunk by then, 1 - cos 30°: that comes at any rate from 5 to 25 kHz as
//! the motors turn. Either meets the pack behind its resistance and the inductance of its lead, the capacitors across it and the ceramics of the speed
//! controller's own board, and what hangs on the bus before the video (`power/src/bus.rs`). A converter keeps most of it from its rail; a coil, or the wires
//! alone, with the capacitor behind it keeps the rest out, or rings with it. What counts is the greater of the two, the second at the worst rate of
//! its band. Left out: what the video itself damps.

use super::added::{Added, BOARD_CERAMICS, COIL_OHM};
use super::custom::{COMMUTATES, LEAD_INDUCTANCE, RAIL_KEEPS_OUT};
use super::slots::{Slot, Slots};
use super::worst::Chain;
use crate::{Placed, Proof};
use craft::schema::{PartKind, board, drive, place};
use craft::{Missing, PlaceId};
use power::{Bus, Capacitor, Chopping, Filter, Microhenries, PACK, Tap, out_of_step};
use quantity::{Amperes, FactPath, Hertz, Microfarads, Milliohms, Percent, Ratio, Volts};

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
    /// Throttle in % at which the motors' switching leaves most.
    pub throttle: f64,
    /// Current that one motor's winding then takes and lets go, A.
    pub chopped: f64,
    /// How many motors are switched.
    pub motors: u32,
    /// On the bus, V peak to peak, the motors out of step.
    pub bus: f64,
    /// At the video's pins, V peak to peak: the greater of the next two.
    pub video: f64,
    /// Of that by switching, out of step.
    pub switched: f64,
    /// The same where all motors come into step.
    pub in_step: f64,
    /// By commutation, at the worst rate.
    pub commutated: f64,
    /// Hz, that rate.
    pub worst_at: f64,
}

/// The coil before the video with the capacitor behind it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CoilFilter {
    /// Its corner, Hz.
    pub corner: f64,
    /// mΩ that would damp it in all; none where it does not ring.
    pub damping: Option<f64>,
    /// How many times what comes in leaves it at its corner, and at the rate of switching.
    pub leaves: [f64; 2],
    /// W that a converter behind it may take before the two swing by themselves.
    pub settles: f64,
    /// mΩ that its source resists at its corner: the pack beside its capacitors.
    pub source: f64,
}

/// By how much the current of a motor dips from one of its six steps to the next, peak to peak: 1 - cos 30°.
fn dip() -> f64 {
    1.0 - (std::f64::consts::PI / 6.0).cos()
}
/// Rates at which the band of commutation is looked through, beside the corner of the filter.
const LOOKED: usize = 9;
/// Throttles at which the switching is looked at, in %: under the first the current is small, and from the last on hardly anything is cut out.
const THROTTLES: [f64; 5] = [30.0, 45.0, 60.0, 75.0, 90.0];

impl Chain<'_> {
    /// The ripple at some numbers, with what is added; none where a capacitor's facts or the rate lack.
    pub fn ripple(&self, values: &[f64], added: &Added) -> Option<Ripple> {
        let commutated = self.commutated(values, added)?;
        let all = self.chopped_at();
        let all = all.filter_map(|throttle| self.chopped(values, added, throttle, commutated));
        all.max_by(|a, b| a.switched.total_cmp(&b.switched))
    }

    /// The same at one throttle, in %.
    pub fn ripple_at(&self, values: &[f64], added: &Added, throttle: f64) -> Option<Ripple> {
        self.chopped(values, added, throttle, self.commutated(values, added)?)
    }

    /// The throttles at which something is cut out that are looked at; a limit of the throttle below the last of them is flown as well.
    fn chopped_at(&self) -> impl Iterator<Item = f64> + use<> {
        let most = self.plan.throttle;
        let throttles = THROTTLES.into_iter().filter(move |throttle| *throttle < most);
        throttles.chain((most <= THROTTLES[THROTTLES.len() - 1]).then_some(most))
    }

    /// How far the video's pins lie below their mean at the worst moment of a punch up to a throttle: rows of % and V, rising. Half of the ripple
    /// peak to peak counts, at the throttle where it and the sag together leave least: a little less throttle may cost more by what it chops than
    /// it gives back. None of it where what it rests on lacks, which is told by the rule of the ripple.
    pub(super) fn troughs(&self, values: &[f64], bus_at: impl Fn(f64) -> Option<f64>) -> Vec<[f64; 2]> {
        let Some((commutated, rate)) = self.commutated(values, &Added::NONE) else { return Vec::new() };
        let most = self.plan.throttle;
        let chopped = self.chopped_at().chain((most > THROTTLES[THROTTLES.len() - 1]).then_some(most));
        let at = |throttle: f64| {
            let turning = commutated * self.drive.current_share(throttle) / self.drive.current_share(most);
            let switched = (throttle <= THROTTLES[THROTTLES.len() - 1]).then(|| {
                self.chopped(values, &Added::NONE, throttle, (commutated, rate)).map(|found| found.switched)
            });
            let switched = switched.flatten().unwrap_or(0.0);
            [throttle, 0.5 * switched.max(turning), bus_at(throttle).unwrap_or(0.0)]
        };
        let found: Vec<[f64; 3]> = chopped.map(at).collect();
        let trough = |n: usize| {
            let [throttle, _, bus] = found[n];
            let all = found[..=n].iter().map(|[_, half, there]| half - (there - bus).max(0.0));
            [throttle, all.fold(0.0, f64::max)]
        };
        (0..found.len()).map(trough).collect()
    }

    /// What the motors' commutation leaves at the video's pins, V peak to peak, at its worst rate, Hz.
    fn commutated(&self, values: &[f64], added: &Added) -> Option<(f64, f64)> {
        let (bus, tap) = (self.bus(values, added)?, self.tap(values, added));
        let full = self.drive.full.at(values) * self.drive.in_flight.at(values);
        let [low, high] = COMMUTATES;
        let step = (high / low).powf(1.0 / (LOOKED - 1) as f64);
        let rates = (0..LOOKED).map(|k| low * step.powi(k as i32));
        // Between two rates that are looked at a corner could hide.
        let corner = tap.filter.map(|filter| filter.corner().get());
        let rates = rates.chain(corner.filter(|corner| (low..=high).contains(corner)));
        let dips = full * self.drive.current_share(self.plan.throttle) * dip();
        let by_rate = rates.filter_map(|rate| {
            let ohm = 1e-3 * bus.impedances(Hertz::new(rate), &tap).ok()?.pins.get();
            let together = out_of_step(Volts::new(dips * ohm), self.drive.count).get();
            Some((together * self.model.ripple_off.at(values), rate))
        });
        by_rate.max_by(|a, b| a.0.total_cmp(&b.0))
    }

    /// What the motors' switching leaves at a throttle, beside what their commutation does.
    fn chopped(
        &self,
        values: &[f64],
        added: &Added,
        throttle: f64,
        (commutated, worst_at): (f64, f64),
    ) -> Option<Ripple> {
        let rate = *self.model.switching.as_ref().ok()?;
        let (bus, tap) = (self.bus(values, added)?, self.tap(values, added));
        let (motors, full) = (self.drive.count, self.drive.full.at(values) * self.drive.in_flight.at(values));
        // The windings carry the supply's current over its share of the time.
        let chopped = full * self.drive.current_share(throttle) / (1e-2 * throttle);
        let chopping =
            Chopping { current: Amperes::new(chopped), duty: Percent::new(throttle), rate: Hertz::new(rate) };
        let one = bus.swings(&chopping, &tap).ok()?;
        let off = self.model.ripple_off.at(values);
        let together = |one: Volts| off * out_of_step(one, motors).get();
        let switched = together(one.pins);
        Some(Ripple {
            throttle,
            chopped,
            motors,
            bus: together(one.bus),
            video: switched.max(commutated),
            switched,
            in_step: off * one.pins.get() * f64::from(motors),
            commutated,
            worst_at,
        })
    }

    /// The coil before the video with the capacitor behind it; none without a coil, or without a capacitor at the pins.
    pub fn coil_filter(&self, values: &[f64]) -> Option<CoilFilter> {
        // Wires alone are no filter that anybody would damp.
        self.model.coil.as_ref()?;
        let filter = self.before_the_video(values, &Added::NONE)?;
        let corner = filter.corner();
        // What resists before the coil damps it as the coil's own resistance does; a rail resists nothing that anybody states.
        let source = match self.net.video().on == PACK {
            true => {
                let bus = self.bus(values, &Added::NONE)?;
                bus.impedances(corner, &Tap::default()).ok()?.bus_real
            }
            false => Milliohms::new(0.0),
        };
        let seen = filter.fed_through(source).ok()?;
        let at = |rate: Hertz| filter.transfer(rate, None).ok().map(|ratio| ratio.get());
        let rate = Hertz::new(*self.model.switching.as_ref().ok()?);
        Some(CoilFilter {
            corner: corner.get(),
            damping: seen.rings().then(|| seen.damping_wanted().get()),
            leaves: [at(corner)?, at(rate)?],
            settles: seen.settles_up_to(self.at_the_video(values)?).ok()?.get(),
            source: source.get(),
        })
    }

    /// The pack with its lead, the capacitors across it and the ceramics of the speed controller.
    fn bus(&self, values: &[f64], added: &Added) -> Option<Bus> {
        let cells = self.pack.ohmic(values).ok()?;
        let resists = Milliohms::new(cells + self.pack.joints(values).ok()?.get());
        let length: f64 = self.pack.wires.iter().map(|wires| wires.length.at(values)).sum();
        let [farads, ohm] = BOARD_CERAMICS;
        let ceramics = Capacitor::new(Microfarads::new(farads), Milliohms::new(ohm)).ok()?;
        let across = self.model.capacitors_across(PACK).into_iter().filter_map(|cap| cap.capacitor(values));
        let across = across.chain(added.across_pack.and_then(Added::capacitor)).chain([ceramics]);
        Bus::new(resists, Microhenries::new(1e-3 * LEAD_INDUCTANCE * length.max(1.0)), across.collect()).ok()
    }

    /// Where the video hangs.
    fn tap(&self, values: &[f64], added: &Added) -> Tap {
        let behind = self.net.video().on != PACK;
        Tap {
            kept_out: behind.then_some(Ratio::new(RAIL_KEEPS_OUT)),
            filter: self.before_the_video(values, added),
        }
    }

    /// The coil before the video, or its wires where there is none, with the capacitors at its pins; none without those.
    fn before_the_video(&self, values: &[f64], added: &Added) -> Option<Filter> {
        let at_pins = self.model.capacitors_across(self.model.unit.as_str());
        let known = at_pins.into_iter().filter_map(|cap| cap.capacitor(values));
        let capacitor = Capacitor::beside(known.chain(added.at_pins.and_then(Added::capacitor)))?;
        let wires = self.net.video().wires.as_ref();
        let wire_ohm = wires.and_then(|wires| wires.resistance(values).ok()).map_or(0.0, |ohm| ohm.get());
        let wire_henries = wires.map_or(0.0, |wires| 1e-3 * LEAD_INDUCTANCE * wires.length.at(values));
        let coil = self.model.coil.as_ref();
        let [coil_henries, coil_ohm] = match added.coil {
            Some(coil) => [coil, COIL_OHM],
            None => [
                coil.map_or(0.0, |coil| coil.henries.at(values)),
                coil.and_then(|coil| coil.ohm).map_or(0.0, |ohm| ohm.at(values)),
            ],
        };
        let henries = Microhenries::new((wire_henries + coil_henries).max(1e-3));
        Filter::new(henries, Milliohms::new(wire_ohm + coil_ohm), capacitor).ok()
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
