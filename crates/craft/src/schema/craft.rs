//! What may be said of a craft as a whole.

use super::{Field, FieldDef};
use quantity::{Celsius, DoubtKind::*, MetresPerSecond, Percent, Seconds, Volts};

/// What it is for.
pub const USE: Field<str> =
    Field::line("use", "use").help("Race, freestyle, filming, long flights, indoors.");
/// Planned time in the air.
pub const PLANNED_FLIGHT: Field<Seconds> =
    Field::quantity("planned_flight", "planned flight", Exact, 1.0, 36_000.0)
        .help("From take-off to landing, such as 4 min.");
/// Cruise speed.
pub const CRUISE: Field<MetresPerSecond> =
    Field::quantity("cruise", "cruise speed", Exact, 0.0, 120.0).help("Usual speed in level flight.");
/// Cell voltage to land at.
pub const LAND_AT: Field<Volts> = Field::quantity("land_at", "land at", Exact, 2.5, 4.2)
    .help("A cell, at rest: 3.5 V for lithium polymer.");
/// Charge left at landing.
pub const LAND_CHARGE: Field<Percent> =
    Field::quantity("land_charge", "charge at landing", Exact, 0.0, 90.0).help("Share of the pack's charge.");
/// Coldest air.
pub const COLDEST: Field<Celsius> =
    Field::quantity("coldest", "coldest air", Exact, -40.0, 60.0).help("Coldest air it will be flown in.");
/// Hottest air.
pub const HOTTEST: Field<Celsius> =
    Field::quantity("hottest", "hottest air", Exact, -40.0, 60.0).help("Hottest air it will be flown in.");
/// Note.
pub const NOTE: Field<str> = Field::note("note", "note").help("Anything worth remembering.");

/// Everything that may be said of a craft, in the order of the form.
pub const FIELDS: &[FieldDef] = &[
    USE.def,
    PLANNED_FLIGHT.def,
    CRUISE.def,
    LAND_AT.def,
    LAND_CHARGE.def,
    COLDEST.def,
    HOTTEST.def,
    NOTE.def,
];
