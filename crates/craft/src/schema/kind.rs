//! The kinds of part, each with its fields and tables in the order of a data sheet.

use super::shape::{body, pad, pattern, pin, plug, port, rail};
use super::{FieldDef, TableDef, air, board, camera, drive, fixing, frame, ground, station};
use serde::{Deserialize, Serialize};

/// One kind of part.
#[derive(Clone, Copy, Debug)]
pub struct KindDef {
    /// The word on a sheet.
    pub word: &'static str,
    /// In plain words.
    pub plain: &'static str,
    /// Its fields.
    pub fields: &'static [FieldDef],
    /// Its tables.
    pub tables: &'static [TableDef],
    /// What it is and the trap to mind.
    pub help: &'static str,
}

macro_rules! kinds {
    ($($(#[$doc:meta])* $kind:ident = $word:literal, $plain:literal, $help:literal, [$($field:expr),* $(,)?], [$($table:expr),* $(,)?];)*) => {
        /// What a part is.
        #[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
        #[serde(rename_all = "snake_case")]
        pub enum PartKind {
            $($(#[$doc])* $kind,)*
        }

        impl PartKind {
            /// Every kind, in the order of the manual.
            pub const ALL: &[PartKind] = &[$(PartKind::$kind),*];

            /// Its definition.
            pub const fn def(self) -> &'static KindDef {
                match self {
                    $(PartKind::$kind => &KindDef {
                        word: $word,
                        plain: $plain,
                        fields: &[$($field.def),*],
                        tables: &[$($table),*],
                        help: $help,
                    },)*
                }
            }
        }
    };
}

kinds! {
    /// A frame.
    Frame = "frame", "frame", "Plates, posts, cage and mounts. Enter what bounds the parts: plates near boards, standoffs, camera mount, motor mounts.",
        [frame::MASS, frame::WHEELBASE, frame::BLADE_MAX, frame::CLEAR_HEIGHT],
        [frame::plate::TABLE, frame::hole::TABLE, frame::cutout::TABLE, frame::standoff::TABLE, pattern::TABLE, frame::camera_mount::TABLE, frame::motor_mount::TABLE, frame::antenna_mount::TABLE, frame::duct::TABLE, body::TABLE];
    /// A camera.
    Camera = "camera", "camera", "The size name tells the width only; depth is quoted without the plug.",
        [frame::MASS, camera::SYSTEM, camera::PAIRS_WITH, camera::BODY_WIDTH, camera::BODY_HEIGHT, camera::BODY_DEPTH, camera::FACE_AHEAD, camera::LENS_THREAD, camera::HOLDER_DEPTH, camera::LENS_WINDOW, camera::SIDE_SCREW, camera::SIDE_DEPTH, camera::PIXEL_PITCH, camera::PIXELS_ACROSS, camera::PIXELS_DOWN, camera::SENSOR_DIAGONAL, camera::READ_OUT, camera::SHUTTER, camera::LATENCY, camera::DRAW, camera::ANALOGUE_OUT, camera::SETTINGS_FROM],
        [plug::TABLE, camera::mode::TABLE, pin::TABLE, body::TABLE, pad::TABLE];
    /// A lens.
    Lens = "lens", "lens", "The claimed view is for some other sensor as a rule.",
        [frame::MASS, camera::THREAD, camera::PROUD, camera::HEAD_DIAMETER, camera::BARREL, camera::IMAGE_CIRCLE, camera::FOCAL_LENGTH, camera::F_NUMBER, camera::TRANSMISSION, camera::PROJECTION, camera::VIEW_CLAIMED, camera::BACK_FOCUS, camera::FILTER, camera::LOCK],
        [camera::map::TABLE];
    /// A camera harness.
    CameraHarness = "camera_harness", "camera harness", "A mirrored harness fits mechanically, and kills or mutes.",
        [frame::MASS, camera::LEAD_LENGTH, camera::END_A, camera::END_B, camera::FACES, camera::STRANDS, camera::BUNDLE_WIDTH, camera::BUNDLE_THICKNESS, camera::BEND, camera::MATINGS],
        [pin::TABLE];
    /// A video transmitter.
    VideoTransmitter = "video_transmitter", "video transmitter", "Also called air unit. The outline often leaves out coax plugs and sink screws. Never power it without an antenna.",
        [frame::MASS, camera::SYSTEM, camera::PAIRS_WITH, air::LENGTH, air::WIDTH, air::HEIGHT, air::BARE_HEIGHT, air::HOT_FACE, air::SUPPLY_MIN, air::SUPPLY_MAX, air::START_PEAK, air::START_TIME, air::RESTART, air::STANDBY_DRAW, air::SWING, air::LIMIT_TEMPERATURE, air::FOLD_BACK, air::COOLING_AREA, air::SINK_MASS, air::SINK_AREA, air::PAD_THICKNESS, air::BAND_LOW, air::BAND_HIGH, air::OCCUPIED_WIDTH, air::CHANNELS, air::CHAINS, air::SOCKET_VSWR, air::CARD, air::CAMERA_LIGHT, air::LATENCY, air::REVISION],
        [pattern::TABLE, plug::TABLE, air::level::TABLE, camera::mode::TABLE, port::TABLE, pin::TABLE, body::TABLE, pad::TABLE];
    /// An antenna.
    Antenna = "antenna", "antenna", "An antenna for the wrong band fits the same plug.",
        [frame::MASS, air::ELEMENT, air::HAND, air::BAND_LOW, air::BAND_HIGH, air::GAIN, air::AXIAL_RATIO, air::VSWR, air::BEAM_WIDTH, air::FRONT_TO_BACK, air::TURNS, air::COIL_DIAMETER, air::COIL_PITCH, air::MEASURED_ABOUT, air::CONNECTOR, air::GENDER, air::ELEMENT_LENGTH, air::STEM_DIAMETER, air::ACTIVE_LENGTH, air::CAP_DIAMETER, air::STIFF],
        [body::TABLE, air::cut::TABLE];
    /// A pigtail.
    Pigtail = "pigtail", "pigtail", "A short coax lead between transmitter and antenna.",
        [frame::MASS, camera::LEAD_LENGTH, air::END_A, air::GENDER_A, air::END_B, air::GENDER_B, air::COAX, air::COAX_DIAMETER, air::LOSS, camera::MATINGS],
        [];
    /// A flight controller.
    FlightController = "flight_controller", "flight controller", "The order of pins differs between makers: never assume.",
        [frame::MASS, air::LENGTH, air::WIDTH, board::BOARD, board::ABOVE, board::BELOW, board::PROCESSOR, board::CURRENT_SCALE, board::VOLTAGE_SCALE, board::LOG_MEMORY, board::ANALOGUE_PADS, board::ARROW, board::OWN_DRAW, air::SUPPLY_MIN, air::SUPPLY_MAX],
        [pattern::TABLE, plug::TABLE, port::TABLE, rail::TABLE, pin::TABLE, pad::TABLE, body::TABLE];
    /// A speed controller.
    SpeedController = "speed_controller", "speed controller", "One board that drives four motors. Burst ratings hold ten seconds, in wind.",
        [frame::MASS, air::LENGTH, air::WIDTH, board::BOARD, board::ABOVE, board::BELOW, board::CONTINUOUS, board::BURST, board::CELLS_MIN, board::CELLS_MAX, board::CAPACITOR_PADS, board::TELEMETRY, board::OWN_DRAW, board::SWITCHING],
        [pattern::TABLE, plug::TABLE, rail::TABLE, pin::TABLE, pad::TABLE, body::TABLE, port::TABLE];
    /// Flight controller and speed controller in one.
    IntegratedBoard = "integrated_board", "integrated board", "Flight controller and speed controller in one, sometimes with the control receiver. One dead function is the whole board.",
        [frame::MASS, air::LENGTH, air::WIDTH, board::BOARD, board::ABOVE, board::BELOW, board::CONTINUOUS, board::BURST, board::CELLS_MIN, board::CELLS_MAX, board::PROCESSOR, board::CURRENT_SCALE, board::VOLTAGE_SCALE, board::LOG_MEMORY, board::ANALOGUE_PADS, board::ARROW, board::CAPACITOR_PADS, board::TELEMETRY, board::OWN_DRAW, board::SWITCHING],
        [pattern::TABLE, plug::TABLE, port::TABLE, rail::TABLE, pin::TABLE, pad::TABLE, body::TABLE];
    /// A motor.
    Motor = "motor", "motor", "A screw too long shorts the windings.",
        [frame::MASS, drive::BELL_DIAMETER, drive::MOTOR_HEIGHT, drive::STATOR, drive::KV, drive::BOLT_CIRCLE, drive::SCREW, drive::SCREW_DEPTH, drive::SHAFT, drive::POLE_PAIRS, drive::CELLS_MIN, drive::CELLS_MAX, drive::THRUST_FULL, drive::CURRENT_FULL],
        [drive::thrust::TABLE, pin::TABLE];
    /// Blades.
    Blades = "blades", "blades", "The set on one motor. Its direction must match the motor's setting.",
        [frame::MASS, drive::DIAMETER, drive::PITCH, drive::BLADES, drive::SWEEP_HEIGHT, drive::HUB, drive::HAND],
        [];
    /// A pack.
    Pack = "pack", "pack", "Charge it attended, in a fireproof place, as its chemistry asks. A crashed pack rests outdoors.",
        [frame::MASS, air::LENGTH, air::WIDTH, air::HEIGHT, drive::CHEMISTRY, drive::CELLS, drive::CHARGE, drive::PARALLEL, drive::CELL_RESISTANCE, drive::RESISTANCE_NEW, drive::CHARGE_LEFT, drive::CLAIMED_RATE, drive::CONNECTOR, drive::CONNECTOR_RESISTANCE, drive::CONNECTOR_CURRENT, drive::LEAD, drive::LEAD_GAUGE],
        [drive::load_test::TABLE, drive::cell::TABLE, plug::TABLE, body::TABLE, pin::TABLE];
    /// A capacitor.
    Capacitor = "capacitor", "capacitor", "On the pack lead, legs under 10 mm. Its rating wants 1.3 times the full pack.",
        [frame::MASS, drive::CAN_DIAMETER, drive::CAN_LENGTH, drive::CAPACITANCE, drive::RATED, drive::ESR, drive::POLARITY, drive::RIPPLE],
        [pad::TABLE, pin::TABLE];
    /// A control receiver.
    ControlReceiver = "control_receiver", "control receiver", "Its antenna wants 60 mm from the video antenna, at right angles.",
        [frame::MASS, air::LENGTH, air::WIDTH, air::HEIGHT, air::CONTROL_BAND, air::UPDATE_RATE, air::ANTENNAS, air::TELEMETRY, air::CURRENT],
        [plug::TABLE, port::TABLE, pad::TABLE, body::TABLE, pin::TABLE];
    /// A GNSS module.
    Gnss = "gnss", "GNSS module", "Keep it 40 mm from the video transmitter, never above it.",
        [frame::MASS, air::LENGTH, air::WIDTH, air::HEIGHT, air::FIX_RATE, air::COMPASS, air::CURRENT],
        [plug::TABLE, port::TABLE, body::TABLE, pin::TABLE];
    /// An adapter plate.
    Adapter = "adapter", "adapter plate", "Carries two hole patterns; the screw heads of one must not meet those of the other.",
        [frame::MASS, air::LENGTH, air::WIDTH, frame::plate::THICKNESS, frame::plate::MATERIAL],
        [frame::plate::TABLE, frame::hole::TABLE, pattern::TABLE];
    /// Spacers.
    Spacer = "spacer", "spacers", "A set of equal spacers, one at each hole.",
        [frame::MASS, fixing::SPACER_HEIGHT, fixing::OUTER, fixing::BORE, fixing::COUNT, fixing::MATERIAL],
        [];
    /// Soft mounts.
    SoftMount = "soft_mount", "soft mounts", "They squash under the screw and let the board move: both cables want slack.",
        [frame::MASS, fixing::LOADED_HEIGHT, fixing::OUTER, fixing::BORE, fixing::PLAY, fixing::COUNT, fixing::SOFTENS],
        [];
    /// A printed part.
    PrintedPart = "printed_part", "printed part", "Whatever touches the transmitter must stand 70 °C.",
        [frame::MASS, fixing::LENGTH, fixing::WIDTH, fixing::HEIGHT, fixing::MATERIAL, fixing::SOFTENS, fixing::HOLDS],
        [pattern::TABLE, body::TABLE, frame::plate::TABLE, frame::hole::TABLE, frame::cutout::TABLE, frame::antenna_mount::TABLE, frame::camera_mount::TABLE];
    /// A strain relief.
    Relief = "relief", "strain relief", "What holds a lead within 10 mm of its plug: never hot glue on a hot board, and a tie round the board's edge, not round the plug.",
        [frame::MASS, fixing::RELIEF_FORM, fixing::LENGTH, fixing::WIDTH, fixing::HEIGHT],
        [];
    /// Screws.
    Screw = "screw", "screws", "One kind of screw. Thread lock on metal in metal only, never near lenses.",
        [frame::MASS, fixing::THREAD, fixing::SCREW_LENGTH, fixing::HEAD, fixing::HEAD_DIAMETER, fixing::HEAD_HEIGHT, fixing::SCREW_MATERIAL],
        [];
    /// A ground receiver.
    GroundReceiver = "ground_receiver", "ground receiver", "Threaded sockets on ground gear may be of reversed gender.",
        [frame::MASS, camera::SYSTEM, camera::PAIRS_WITH, ground::INPUTS, ground::DIVERSITY, ground::NOISE_FIGURE, air::SOCKET_VSWR, ground::SUPPLY_MIN, ground::SUPPLY_MAX, camera::DRAW, air::LATENCY, ground::RECORDER, ground::SCREEN, ground::OUTPUT, air::BAND_LOW, air::BAND_HIGH],
        [ground::threshold::TABLE, plug::TABLE];
    /// A ground station.
    Station = "station", "ground station", "Where the pilot stands with the receiver: its antennas as they stand and look, and what is in the way. It stays on the ground.",
        [frame::MASS, station::SURROUNDINGS, station::RICIAN, station::GROUND, station::ROUGHNESS, station::WEATHER, station::CORRELATION],
        [station::antenna::TABLE, station::cut::TABLE, station::obstacle::TABLE];
    /// A display.
    Display = "display", "display", "Its own pack runs flat first: the picture drops as it browns out.",
        [frame::MASS, camera::SYSTEM, ground::ACROSS, ground::DOWN, camera::FILL, ground::RATE, ground::VIEW, ground::LATENCY, ground::INPUT, ground::SUPPLY_MIN, ground::SUPPLY_MAX, camera::DRAW, ground::FAN, ground::OWN_PACK, ground::RECORDER],
        [];
}

impl PartKind {
    /// Whether such a part never leaves the ground: it has no solids and weighs nothing in the air.
    pub const fn stays_on_the_ground(self) -> bool {
        matches!(self, PartKind::GroundReceiver | PartKind::Display | PartKind::Station)
    }

    /// The kind of a word on a sheet.
    pub fn from_word(word: &str) -> Option<Self> {
        Self::ALL.iter().copied().find(|kind| kind.def().word == word)
    }
}
