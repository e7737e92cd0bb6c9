//! What a printed part, and a plate that is cut, must keep: walls, webs, holes, ties; and what a print is printed from.
//!
//! All lengths are common practice of the trade, one row each, with the source beside it. Densities are those
//! of solid filament; small parts are printed with so many walls that hardly any air is left in them.

use quantity::{Celsius, Grade, Grams, Millimetres, Source};

/// A length that custom asks for.
#[derive(Clone, Copy, Debug)]
pub struct Custom {
    /// What it is, in words.
    pub of: &'static str,
    /// The length.
    pub length: Millimetres,
    /// Where it comes from.
    pub source: Source,
}

const fn custom(of: &'static str, millimetres: f64) -> Custom {
    Custom { of, length: Millimetres::new(millimetres), source: Source::common_practice(of) }
}

/// The thinnest wall.
pub const WALL: Custom = custom("printed wall, least", 1.2);
/// Material round a hole, and between two.
pub const ROUND_HOLE: Custom =
    custom("printed material round a hole, least", proof::limits::PRINTED_WEB.tight);
/// Material between two holes of a plate that is cut, and between a hole and the edge.
pub const CUT_WEB: Custom = custom("web in a plate that is cut, least", proof::limits::CUT_WEB.tight);
/// What a hole is wider than the screw, stem or post that goes through.
pub const CLEAR: Custom = custom("printed hole over what goes through it", 0.3);
/// What a hole is narrower than the screw that cuts its thread in it.
pub const SELF_CUT: Custom = custom("printed hole under the screw that cuts into it, flexible filament", 0.2);
/// How much deeper a pocket is than the head sunk in it is high.
pub const OVER_HEAD: Custom = custom("printed pocket over the height of the head in it", 0.5);
/// Nearest the tie may lie behind the plug.
pub const TIE_NEAR: Custom = custom("strain relief behind a plug, nearest", 5.0);
/// Farthest the tie may lie behind the plug.
pub const TIE_FAR: Custom = custom("strain relief behind a plug, farthest", 8.0);
/// Length of a slot for a small tie, along the lead: a tie is 2.5 mm wide.
pub const TIE_LENGTH: Custom = custom("slot for a small tie, along the lead", 3.0);
/// Width of a slot for a small tie: a tie is 1.1 mm thick.
pub const TIE_WIDTH: Custom = custom("slot for a small tie, across the lead", 1.6);
/// How wide the slit of a clamp is, before the tie closes it.
pub const SLIT: Custom = custom("slit of a printed clamp", 1.2);
/// Air between a printed rim and the body it holds, each side.
pub const RIM_PLAY: Custom = custom("printed rim to the body it holds, each side", 0.2);
/// Air between the rim of a screw head and a printed wall beside it.
pub const BESIDE_HEAD: Custom = custom("screw head to a printed wall beside it", 0.4);
/// Foam or tape between a camera and the seat it leans on.
pub const SEAT_PAD: Custom = custom("foam or tape between a camera and its printed seat", 0.5);
/// Air beside a printed seat between the plates of a mount, each side.
pub const SEAT_SIDE: Custom = custom("printed seat to the plates beside it, each side", 0.3);
/// How far a cheek stays behind the face of the camera, so that it does not meet the lens.
pub const BEHIND_FACE: Custom = custom("printed cheek behind the camera's face", 1.0);

/// A threaded socket that a pigtail ends with, to be held by a nut.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ThreadedSocket {
    /// What connectors of it are called, in small letters, wherever it stands in their names.
    pub named: &'static str,
    /// Its thread, outside.
    pub thread: Millimetres,
    /// Its flange, and its nut, across flats.
    pub flats: Millimetres,
    /// Where this comes from.
    pub source: Source,
}

/// The threaded sockets a holder can be made for: 1/4-36 UNS-2 is 6.35 mm, its nut 5/16 in across flats.
pub const SOCKETS: &[ThreadedSocket] = &[ThreadedSocket {
    named: "sma",
    thread: Millimetres::new(6.35),
    flats: Millimetres::new(7.94),
    source: Source {
        title: "IEC 61169-15, SMA connectors",
        place: "coupling thread 1/4-36 UNS-2; nut 5/16 in across flats by common practice",
        grade: Grade::Memory,
    },
}];
/// How thick the wall is through which a threaded socket goes: its thread is 6 mm long and more, its nut 2.3 mm high.
pub const SOCKET_WALL: Custom = custom("printed wall that a threaded socket goes through", 2.5);

/// Every row, in the order of the manual.
pub const CUSTOMS: &[Custom] = &[
    WALL,
    ROUND_HOLE,
    CUT_WEB,
    CLEAR,
    SELF_CUT,
    OVER_HEAD,
    TIE_NEAR,
    TIE_FAR,
    TIE_LENGTH,
    TIE_WIDTH,
    SLIT,
    RIM_PLAY,
    BESIDE_HEAD,
    SEAT_PAD,
    SEAT_SIDE,
    BEHIND_FACE,
    SOCKET_WALL,
];

impl ThreadedSocket {
    /// The socket of a connector that is called so; `None` where it is not threaded, or nobody knows how.
    pub fn of_connector(name: &str) -> Option<Self> {
        SOCKETS.iter().copied().find(|socket| name.to_lowercase().contains(socket.named))
    }
}

/// What a part is printed from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Filament {
    /// Stiff, and keeps its shape beside a transmitter.
    StiffHeatProof,
    /// Bends in a crash and damps what shakes.
    Flexible,
}

/// What is said of a filament.
#[derive(Clone, Copy, Debug)]
pub struct FilamentRow {
    /// The filament.
    pub filament: Filament,
    /// The word for the material on a sheet.
    pub material: &'static str,
    /// The temperature it must stand.
    pub softens: Celsius,
    /// The mass of a cubic centimetre.
    pub gram_each_cm3: Grams,
    /// What to load.
    pub advice: &'static str,
    /// Where this comes from.
    pub source: Source,
}

/// The filaments that parts of a craft are printed from.
pub const FILAMENTS: &[FilamentRow] = &[
    FilamentRow {
        filament: Filament::StiffHeatProof,
        material: "printed, stiff",
        softens: Celsius::new(90.0),
        gram_each_cm3: Grams::new(1.07),
        advice: "Print it from a stiff filament that stands more than 70 °C (ASA, ABS, PC): common plastics soften there, and a transmitter gets that hot.",
        source: Source::common_practice(
            "stiff, heat-proof filament beside a transmitter; density of solid ASA",
        ),
    },
    FilamentRow {
        filament: Filament::Flexible,
        material: "printed, flexible",
        softens: Celsius::new(80.0),
        gram_each_cm3: Grams::new(1.21),
        advice: "Print it from a flexible filament (about Shore 95A), solid: it gives in a crash instead of breaking. Keep it off the transmitter: more than 70 °C softens it.",
        source: Source::common_practice(
            "flexible filament for camera and antenna mounts; density of solid TPU 95A",
        ),
    },
];

impl Filament {
    /// What is said of it.
    pub const fn row(self) -> &'static FilamentRow {
        match self {
            Filament::StiffHeatProof => &FILAMENTS[0],
            Filament::Flexible => &FILAMENTS[1],
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_filament_has_its_own_row() {
        for row in FILAMENTS {
            assert_eq!(row.filament.row().material, row.material);
            // What touches a transmitter must stand more than 70 °C.
            assert!(row.softens.get() > 70.0);
        }
    }
}
