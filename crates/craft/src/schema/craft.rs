//! What may be said of a craft as a whole.

use super::{Field, FieldDef};
use quantity::{
    Celsius, Degrees, DegreesPerSecond, DoubtKind::*, Megahertz, Metres, MetresPerSecond, Millimetres,
    Milliseconds, Milliwatts, Percent, Ratio, Seconds, SquareMetres, Volts,
};

/// What it is for.
pub const USE: Field<str> =
    Field::line("use", "use").help("Race, freestyle, filming, long flights, indoors.");
/// Planned time in the air.
pub const PLANNED_FLIGHT: Field<Seconds> =
    Field::quantity("planned_flight", "planned flight", Exact, 1.0, 36_000.0)
        .help("From take-off to landing, such as 4 min.");
/// Cruise speed.
pub const CRUISE: Field<MetresPerSecond> = Field::quantity("cruise", "cruise speed", Exact, 0.0, 50.0)
    .help("Usual speed in level flight; 50 m/s are 180 km/h, and no craft of these classes cruises faster.");
/// The thinnest thing to be dodged.
pub const OBSTACLE: Field<Millimetres> =
    Field::quantity("obstacle", "thinnest obstacle", Exact, 1.0, 10_000.0)
        .help("The thinnest thing it must see and dodge where it flies: a twig is 10 mm, a gate post 100.");
/// Drag area.
pub const DRAG_AREA: Field<SquareMetres> = Field::quantity("drag_area", "drag area", Other, 0.000_1, 1.0)
    .help("C_dA, nose ahead; that of its class unless said. A glide or a measured top speed tells it.");
/// Turn rate.
pub const TURN_RATE: Field<DegreesPerSecond> = Field::quantity("turn_rate", "turn rate", Exact, 1.0, 5000.0)
    .help("How fast it turns in a brisk turn, 200 °/s unless said: what smears and skews the picture.");
/// Bank rate.
pub const BANK_RATE: Field<DegreesPerSecond> = Field::quantity("bank_rate", "bank rate", Exact, 10.0, 5000.0)
    .help("How fast it banks at full stick, 400 °/s unless said.");
/// The pilot's reaction.
pub const REACTION: Field<Milliseconds> = Field::quantity("reaction", "reaction time", Exact, 50.0, 3000.0)
    .help("From seeing a thing to moving the stick, 250 ms unless said; more when tired.");
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
/// Height above the sea.
pub const ALTITUDE: Field<Metres> =
    Field::quantity("altitude", "height above the sea", Exact, -400.0, 6_000.0)
        .or(0.0)
        .help("Of the place it is flown at: thin air takes more power and cools less.");
/// The pack's temperature at take-off.
pub const PACK_TEMPERATURE: Field<Celsius> =
    Field::quantity("pack_temperature", "pack at take-off", Exact, -40.0, 80.0).help(
        "Its temperature at take-off; that of the coldest air unless said. A warm pocket is worth a cell.",
    );
/// Charge at take-off.
pub const START_CHARGE: Field<Percent> =
    Field::quantity("start_charge", "charge at take-off", Exact, 1.0, 100.0)
        .or(100.0)
        .help("Full when left out.");
/// Share of the time in hover.
pub const HOVER_SHARE: Field<Percent> =
    Field::quantity("hover_share", "time in hover", Exact, 0.0, 100.0).or(20.0).help(
        "Share of the flight in hover or slow flight; what is neither hover nor climb nor punch is cruise.",
    );
/// Share of the time climbing.
pub const CLIMB_SHARE: Field<Percent> = Field::quantity("climb_share", "time in climb", Exact, 0.0, 100.0)
    .or(10.0)
    .help("Share of the flight spent climbing.");
/// Rate of climb.
pub const CLIMB_RATE: Field<MetresPerSecond> =
    Field::quantity("climb_rate", "rate of climb", Exact, 0.0, 60.0)
        .or(3.0)
        .help("How fast it usually climbs.");
/// What turns cost.
pub const MANOEUVRE: Field<Ratio> = Field::quantity("manoeuvre", "load of its flying", Exact, 1.0, 6.0).or(1.3).help(
    "Power in cruise over that of straight and level flight: 1.3 when gentle, 1.5 to 2 in freestyle, 2.5 to 4 in a race.",
);
/// Length of a punch.
pub const PUNCH: Field<Seconds> = Field::quantity("punch", "length of a punch", Exact, 0.1, 60.0)
    .or(2.0)
    .help("How long full throttle is held.");
/// How often one punches.
pub const PUNCH_EVERY: Field<Seconds> = Field::quantity("punch_every", "a punch every", Exact, 1.0, 3600.0)
    .or(20.0)
    .help("From one punch to the next.");
/// Limit of the throttle.
pub const THROTTLE_LIMIT: Field<Percent> =
    Field::quantity("throttle_limit", "throttle limited to", Exact, 10.0, 100.0)
        .or(100.0)
        .help("Highest throttle the controller gives; all of it when left out.");
/// Merit of the drive.
pub const DRIVE_MERIT: Field<Ratio> = Field::quantity("drive_merit", "merit of the drive", Other, 0.05, 0.8).help(
    "Figure of merit of the blades times the efficiency of motor, controller and wires; by class unless said, and measured stand points go before it.",
);
/// Waiting before the start.
pub const WAIT: Field<Seconds> = Field::quantity("wait", "wait on the line", Exact, 0.0, 7_200.0)
    .help("How long it stands powered and still before take-off.");
/// Time powered on the bench.
pub const BENCH_TIME: Field<Seconds> =
    Field::quantity("bench_time", "time powered on the bench", Exact, 0.0, 36_000.0)
        .help("How long it is powered for setting and looking, without wind.");
/// A fan on the bench.
pub const BENCH_FAN: Field<bool> =
    Field::flag("bench_fan", "fan on the bench").help("Whether a fan blows along it on the bench.");
/// Stands in the sun.
pub const IN_SUN: Field<bool> = Field::flag("in_sun", "waits in the sun")
    .help("Whether it waits in the sun: a dark canopy adds some 15 K.");
/// Nose down in cruise.
pub const CRUISE_TILT: Field<Degrees> =
    Field::quantity("cruise_tilt", "nose down in cruise", Exact, 0.0, 80.0).help(
        "How far the nose is down at cruise speed: about the camera's tilt. The antenna leans with it.",
    );
/// Usual bank.
pub const BANK: Field<Degrees> = Field::quantity("bank", "bank in turns", Exact, 0.0, 90.0)
    .help("How far it leans in the turns it is flown in: 30 degrees in quiet flight, 60 to 80 in a race.");
/// Farthest planned.
pub const FLY_TO: Field<Metres> = Field::quantity("fly_to", "farthest planned", Exact, 1.0, 20_000.0)
    .help("How far from the pilot it is meant to fly, along the flying line of the ground station. Up to 20 km the earth still counts as flat; beyond, no link is worked out.");
/// Height there.
pub const FLY_HEIGHT: Field<Metres> = Field::quantity("fly_height", "height flown at", Exact, 0.1, 500.0)
    .help("Above the ground where the station stands. Low flight far out is what loses pictures.");
/// Free way.
pub const FREE_SPACE: Field<Metres> = Field::quantity("free_space", "free way", Exact, 1.0, 5_000.0).help(
    "How far it may fly on from anywhere it is flown, straight and blind, before trees, walls or people: what a restart of the video needs.",
);
/// Level set.
pub const LEVEL: Field<Milliwatts> = Field::quantity("level", "level set", Exact, 0.0, 10_000.0)
    .help("Of the video transmitter: one of the levels on its sheet.");
/// Channel.
pub const CHANNEL: Field<Megahertz> = Field::quantity("channel", "channel", Exact, 100.0, 100_000.0)
    .help("Centre frequency that the video transmitter is set to.");
/// Mode.
pub const VIDEO_MODE: Field<str> = Field::line("video_mode", "video mode")
    .help("The name of one of the receiver's thresholds: it says how much signal the picture needs.");
/// Stated limit.
pub const RADIATED_LIMIT: Field<Milliwatts> =
    Field::quantity("radiated_limit", "limit on radiated power", Exact, 0.1, 1_000_000.0)
        .help("Equivalent isotropic power that your licence or law allows on this channel. Check your local rules: nobody else can state it.");
/// Standby.
pub const STANDBY: Field<bool> = Field::flag("standby", "standby until armed")
    .help("Whether the level stays at standby until the motors are armed: it keeps the unit cool and others' pictures whole.");
/// People.
pub const PEOPLE_AT: Field<Metres> = Field::quantity("people_at", "distance to people", Exact, 0.01, 1_000.0)
    .help("The nearest that anybody's head comes to the powered antennas, on the bench or on the field.");
/// Powered before.
pub const POWERED: Field<bool> = Field::flag("powered", "powered since it was wired")
    .help("Whether it has been powered since it was last built or rewired. Say no before the first time: the cautions of that step then stand here.");
/// Blades off.
pub const BLADES_OFF: Field<bool> = Field::flag("blades_off", "blades are off")
    .help("For the bench: that the blades are off, looked at and not remembered.");
/// What it is first powered from.
pub const FIRST_SUPPLY: Field<str> = Field::choice(
    "first_supply",
    "first powered from",
    &["current-limited supply", "pack through a limiter", "pack alone"],
)
.help("What the first power-up after wiring is done from. A short then costs a fuse and not a board.");
/// When the limits were last looked up.
pub const LIMITS_READ: Field<str> = Field::choice(
    "limits_read",
    "local limits looked up",
    &["this year", "longer ago"],
)
.help("When you last looked up what is allowed where you fly: radiated power and flying. Nobody else can state it.");
/// Note.
pub const NOTE: Field<str> = Field::note("note", "note").help("Anything worth remembering.");

/// Everything that may be said of a craft, in the order of the form.
pub const FIELDS: &[FieldDef] = &[
    USE.def,
    PLANNED_FLIGHT.def,
    CRUISE.def,
    OBSTACLE.def,
    DRAG_AREA.def,
    TURN_RATE.def,
    BANK_RATE.def,
    REACTION.def,
    LAND_AT.def,
    LAND_CHARGE.def,
    COLDEST.def,
    HOTTEST.def,
    ALTITUDE.def,
    PACK_TEMPERATURE.def,
    START_CHARGE.def,
    HOVER_SHARE.def,
    CLIMB_SHARE.def,
    CLIMB_RATE.def,
    MANOEUVRE.def,
    PUNCH.def,
    PUNCH_EVERY.def,
    THROTTLE_LIMIT.def,
    DRIVE_MERIT.def,
    WAIT.def,
    BENCH_TIME.def,
    BENCH_FAN.def,
    IN_SUN.def,
    CRUISE_TILT.def,
    BANK.def,
    FLY_TO.def,
    FLY_HEIGHT.def,
    FREE_SPACE.def,
    LEVEL.def,
    CHANNEL.def,
    VIDEO_MODE.def,
    RADIATED_LIMIT.def,
    STANDBY.def,
    PEOPLE_AT.def,
    POWERED.def,
    BLADES_OFF.def,
    FIRST_SUPPLY.def,
    LIMITS_READ.def,
    NOTE.def,
];
