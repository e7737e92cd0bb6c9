//! How far cameras can be tilted, as a page draws it.

use crate::judged::Judged;
use proof::limits::{TILT_LEAST, TILT_MOST};
use proof::{TiltSlot, Verdict};
use quantity::{FactLedger, standard_uncertainty};
use serde::Serialize;
use ts_rs::TS;

/// How far one camera can be tilted.
#[derive(Serialize, TS)]
pub struct TiltView {
    /// Its place.
    pub place: String,
    /// What a person calls it.
    pub name: String,
    /// The tilt that is set.
    pub wanted_degrees: f64,
    /// The tilts looked at, least and greatest.
    pub looked_degrees: [f64; 2],
    /// Why what is free is not free for sure, such as a plate without a body; empty where it is.
    pub unsure: String,
    /// The mount it hangs in, then the others of the craft.
    pub slots: Vec<TiltSlotView>,
}

/// One mount a camera can hang in.
#[derive(Serialize, TS)]
pub struct TiltSlotView {
    /// The mount, as a seat is written.
    pub seat: String,
    /// What a person calls it.
    pub called: String,
    /// Every free range, in order.
    pub free: Vec<TiltArc>,
    /// How far the set tilt lies from the nearer stop: negative where it is not free.
    pub room_degrees: Option<f64>,
    /// How far the lens lies behind the cage's front at the set tilt: negative where it stands proud.
    pub behind_mm: Option<f64>,
}

/// A range in which nothing stops the tilt.
#[derive(Serialize, TS)]
pub struct TiltArc {
    /// Its lower end.
    pub low: TiltArcEnd,
    /// Its upper end.
    pub high: TiltArcEnd,
}

/// One end of a free range.
#[derive(Serialize, TS)]
pub struct TiltArcEnd {
    /// Where.
    pub degrees: f64,
    /// Its standard uncertainty, where facts carry doubt.
    pub doubt_degrees: Option<f64>,
    /// What stops it there, in words; nothing where it is free as far as is looked.
    pub stop: Option<String>,
}

/// Every camera of a craft.
pub fn tilts(judged: &Judged) -> Vec<TiltView> {
    let Judged { craft, proved, .. } = judged;
    let of = |tilt: &proof::CameraTilt| {
        let place = &craft.places[tilt.place];
        let unknown = proved.findings.iter().find(|finding| {
            finding.rule == "fit.tilt_range"
                && finding.verdict == Verdict::Unknown
                && finding.places.contains(&place.id)
        });
        let slots = std::iter::once(&tilt.here).chain(&tilt.others);
        TiltView {
            place: place.id.to_string(),
            name: craft.part(&place.part).map_or(String::new(), |part| part.name.clone()),
            wanted_degrees: tilt.wanted.value,
            unsure: unknown.map_or(String::new(), |finding| finding.message.clone()),
            looked_degrees: [TILT_LEAST.get(), TILT_MOST.get()],
            slots: slots
                .enumerate()
                .map(|(n, slot)| slot_view(slot, (n == 0).then_some(&proved.ledger)))
                .collect(),
        }
    };
    proved.tilts.iter().map(of).collect()
}

/// The doubts of another mount's ends lean on a ledger of its own and are not told.
fn slot_view(slot: &TiltSlot, ledger: Option<&FactLedger>) -> TiltSlotView {
    let end = |end: &fit::TiltEnd, stop: &Option<proof::TiltStopper>| TiltArcEnd {
        degrees: end.angle.value,
        doubt_degrees: ledger
            .map(|ledger| standard_uncertainty(&end.angle, ledger))
            .filter(|doubt| *doubt > 0.0),
        stop: stop.as_ref().map(|stop| format!("{} meets {}", stop.turning, stop.against)),
    };
    let arcs = slot.free.iter().zip(&slot.stops);
    TiltSlotView {
        seat: slot.seat.clone(),
        called: slot.called.clone(),
        free: arcs
            .map(|(free, [low, high])| TiltArc { low: end(&free.low, low), high: end(&free.high, high) })
            .collect(),
        room_degrees: slot.room.as_ref().map(|room| room.value),
        behind_mm: slot.behind_mm,
    }
}
