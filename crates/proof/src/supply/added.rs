//! Capacitors and coils that are sold, and what a craft has more once one is soldered in: what mends name, and try.
//!
//! Sizes and ratings of the common series of electrolytic capacitors; a low-resistance one of the usual case has 15 to 40 mΩ.

use super::{SupplyModel, Takes};
use crate::numbers::rounded;
use crate::supply_limits::CAP_RATING;
use craft::schema::{PartKind, drive, frame, place};
use craft::{Anchor, Craft, Part, PartId, Place, PlaceId, Value};
use power::{Capacitor, PACK};
use quantity::{Basis, Fact, Grams, Measure, Microfarads, Microhenries, Milliohms, Source, Volts};

/// Capacitors that are sold, µF.
pub(crate) const SIZES: [f64; 4] = [100.0, 220.0, 470.0, 1000.0];
/// Resistance of one of low resistance, mΩ.
pub(crate) const LOW: f64 = 25.0;
/// Coils that are sold for a supply wire, µH, and the resistance of their winding, mΩ.
pub(crate) const COILS: [f64; 2] = [10.0, 22.0];
/// Resistance of such a coil.
pub(crate) const COIL_OHM: f64 = 30.0;
/// A coil saturates at so many times the most it carries, or more: common practice.
const SATURATES: f64 = 2.0;
/// Ratings that are sold, V.
const RATED: [f64; 7] = [6.3, 10.0, 16.0, 25.0, 35.0, 50.0, 63.0];
/// Volts of a pack at the end of a flight over those of the full one.
const NEARLY_EMPTY: f64 = 0.75;
/// Mass of a capacitor that is tried, g.
const WEIGHS: f64 = 2.0;
/// What a speed controller's own board has across its supply, under voltage: µF, mΩ.
pub(crate) const BOARD_CERAMICS: [f64; 2] = [10.0, 3.0];
/// Where that comes from.
pub(crate) const CERAMICS_SOURCE: Source = Source::common_practice(
    "speed controllers have some 10 to 40 µF of ceramic capacitors across their supply, of a few mΩ, of which voltage takes half and more",
);

/// The least rating that is sold for a supply of some volts.
pub(crate) fn rating(volts: f64) -> f64 {
    RATED.into_iter().find(|rated| *rated >= CAP_RATING.tight * volts).unwrap_or(RATED[RATED.len() - 1])
}

/// What is soldered in. Capacitors in µF, of [`LOW`] resistance; coils in µH, of [`COIL_OHM`].
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Added {
    /// Across the pack lead.
    pub across_pack: Option<f64>,
    /// Across the pins of the video.
    pub at_pins: Option<f64>,
    /// Into the plus wire of the video.
    pub coil: Option<f64>,
}

impl Added {
    /// Nothing.
    pub(crate) const NONE: Self = Self { across_pack: None, at_pins: None, coil: None };

    /// A capacitor across the pins, and a coil before it or none.
    pub(crate) const fn at_pins(size: f64, coil: Option<f64>) -> Self {
        Self { across_pack: None, at_pins: Some(size), coil }
    }

    /// One of these capacitors.
    pub(super) fn capacitor(size: f64) -> Option<Capacitor> {
        Capacitor::new(Microfarads::new(size), Milliohms::new(LOW)).ok()
    }

    /// As it is bought: `470 µF, 25 V, of 25 mΩ or less`.
    pub(crate) fn bought(size: f64, volts: f64) -> String {
        let [size, rated] = [size, rating(volts)].map(|value| rounded(value, 1));
        format!("{size} µF, {rated} V, of {} mΩ or less", rounded(LOW, 0))
    }

    /// A coil as it is bought: `10 µH that saturates above 2 A`. Over its current a coil is none; twice the load is common practice.
    pub(crate) fn bought_coil(size: f64, amperes: f64) -> String {
        let saturates = (2.0 * SATURATES * amperes).ceil() / 2.0;
        format!("{} µH that saturates above {} A", rounded(size, 0), rounded(saturates.max(0.5), 1))
    }

    /// What stands at the pins then, to be put behind the feed, of so many volts and amperes: `, with 470 µF, 25 V, of 25 mΩ or less across its
    /// pins`; nothing where nothing does.
    pub(crate) fn words(&self, [volts, amperes]: [f64; 2]) -> String {
        let Some(size) = self.at_pins else { return String::new() };
        let bought = Self::bought(size, volts);
        match self.coil {
            Some(coil) => {
                let coil = Self::bought_coil(coil, amperes);
                format!(", with a coil of {coil} in its plus wire and {bought} across its pins")
            }
            None => format!(", with {bought} across its pins"),
        }
    }

    /// Puts it on a craft, at the pins of a part; nothing is put across the pack.
    pub(super) fn put_on(&self, craft: &mut Craft, pins_of: &PlaceId, volts: f64) {
        let fact = |value: Fact| Value::Fact(value);
        if let Some(coil) = self.coil
            && let Some(place) = craft.places.iter_mut().find(|place| place.id == *pins_of)
        {
            let coil = Fact::new(Microhenries::new(coil), Basis::DataSheet);
            let ohm = Fact::new(Milliohms::new(COIL_OHM), Basis::DataSheet);
            place.values.insert(place::COIL.def.key.to_owned(), fact(coil));
            place.values.insert(place::COIL_RESISTANCE.def.key.to_owned(), fact(ohm));
        }
        let Some(size) = self.at_pins else { return };
        let (Ok(part_id), Ok(place_id)) = (PartId::new(TRIED), PlaceId::new(TRIED)) else { return };
        let mut part = Part::new(part_id.clone(), PartKind::Capacitor, "capacitor that is tried");
        let facts = [
            (drive::CAPACITANCE.def.key, Fact::new(Microfarads::new(size), Basis::DataSheet)),
            (drive::ESR.def.key, Fact::new(Milliohms::new(LOW), Basis::DataSheet)),
            (drive::RATED.def.key, Fact::new(Volts::new(rating(volts)), Basis::DataSheet)),
            (frame::MASS.def.key, Fact::new(Grams::new(WEIGHS), Basis::DataSheet)),
        ];
        part.values.extend(facts.into_iter().map(|(key, value)| (key.to_owned(), fact(value))));
        craft.parts.push(part);
        let mut place = Place { id: place_id, part: part_id, on: None::<Anchor>, values: Default::default() };
        place.values.insert(place::FED_FROM.def.key.to_owned(), Value::Text(pins_of.to_string()));
        craft.places.push(place);
    }
}

/// The name of the part and the place that are tried.
const TRIED: &str = "tried-capacitor";

impl SupplyModel {
    /// The volts that stand across the pins of the video on a feed: of the full pack, or of the rail.
    pub(crate) fn stands_across(&self, feed: &str) -> f64 {
        let rail = || {
            let net = self.net.as_ref().ok()?;
            Some(net.rail(feed)?.out.at(self.slots.values()))
        };
        let full = self.cells.as_ref().map_or(0.0, |cells| cells.full.raw());
        if feed == PACK { full } else { rail().unwrap_or(full) }
    }

    /// The most that the video takes on a feed, A: of a pack that is nearly empty.
    pub(crate) fn most_taken(&self, feed: &str) -> f64 {
        let volts = self.stands_across(feed) * if feed == PACK { NEARLY_EMPTY } else { 1.0 };
        let values = self.slots.values();
        let watts = self.net.as_ref().ok().map_or(0.0, |net| match net.video().takes {
            Takes::Video { draw, swing, .. } => draw.at(values) * (1.0 + 1e-2 * swing.at(values)),
            _ => 0.0,
        });
        watts / volts.max(1.0)
    }
}
