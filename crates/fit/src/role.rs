//! What a solid is, and how much air two such solids need between them.
//!
//! One table, [`REQUIREMENTS`], holds every number; each row names two groups of roles and the least
//! distance in mm. A pair takes the strictest row that names it, in either order. A pair no row names
//! must merely not overlap. Pairs of [`NO_DEMAND`] may even overlap: two spaces for pulling plugs are
//! both only air. All numbers are common practice of the trade.
//!
//! Contact that is meant (a board on its own spacer, a motor on its arm) is not a matter of roles and is
//! not here: it is listed by pair in [`crate::ClearanceQuestion::touching`].

use quantity::{Millimetres, Source};

macro_rules! roles {
    ($($(#[$doc:meta])* $name:ident = $words:literal,)*) => {
        /// What a solid is.
        #[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
        #[repr(u8)]
        pub enum Role { $($(#[$doc])* $name,)* }

        impl Role {
            /// Every role, in the order of the manual.
            pub const ALL: &[Role] = &[$(Role::$name,)*];
            /// The role in words.
            pub const fn words(self) -> &'static str {
                match self { $(Role::$name => $words,)* }
            }
        }
    };
}

roles! {
    /// A populated circuit board with its parts.
    Board = "board",
    /// A pad, pin or solder joint with nothing over it.
    BareConductor = "bare conductor",
    /// A plate of carbon fibre, which conducts: arms and cage too.
    CarbonPlate = "carbon plate",
    /// A plate of glass fibre or other material that does not conduct.
    InsulatingPlate = "insulating plate",
    /// A moulded duct or canopy.
    MouldedDuct = "moulded duct",
    /// A standoff between plates.
    Standoff = "standoff",
    /// The head of a screw, or a nut.
    ScrewHead = "screw head",
    /// The end of a screw that stands out.
    ScrewTip = "screw tip",
    /// The body of a camera.
    CameraBody = "camera body",
    /// The lens barrel of a camera.
    Lens = "lens",
    /// A plug in its socket.
    Plug = "plug",
    /// The space a plug needs to come out.
    PlugPullSpace = "space to pull a plug",
    /// A bundle of wires.
    Harness = "harness",
    /// A coaxial lead.
    Coax = "coax",
    /// The radiating part of a video antenna.
    AntennaElement = "antenna element",
    /// A video transmitter's body.
    Transmitter = "transmitter",
    /// The face of a video transmitter that sheds heat.
    TransmitterHotFace = "hot face of a transmitter",
    /// A flight pack.
    Pack = "pack",
    /// A strap or its tail.
    Strap = "strap",
    /// The disc a blade sweeps.
    BladeSweep = "blade sweep",
    /// A motor.
    Motor = "motor",
    /// The winding inside a motor.
    MotorWinding = "motor winding",
    /// A capacitor.
    Capacitor = "capacitor",
    /// A satellite receiver with its antenna.
    GnssModule = "satellite receiver",
    /// A control receiver.
    ControlReceiver = "control receiver",
    /// The antenna of a control receiver.
    ControlAntenna = "control antenna",
    /// A grommet or gel mount.
    SoftMount = "soft mount",
    /// A stiff spacer.
    Spacer = "spacer",
    /// A printed part.
    PrintedPart = "printed part",
    /// What holds a lead against a tug: a clamp bar, a tie, a dab of glue, a keeper.
    Relief = "strain relief",
    /// Space that must stay free.
    KeepOut = "space to keep free",
    /// The space behind a camera in which its plug sits and its harness bends.
    RearRoom = "room behind a camera",
    /// Anything else that is solid.
    Other = "other solid",
}

/// How much air a pair needs, and why.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Requirement {
    /// The least distance.
    pub distance: Millimetres,
    /// Why, in a few plain words.
    pub why: &'static str,
    /// Where the number comes from.
    pub source: Source,
}

/// One row of the table of required clearances.
#[derive(Clone, Copy, Debug)]
pub struct RequirementRow {
    /// The one side.
    pub a: &'static [Role],
    /// The other side.
    pub b: &'static [Role],
    /// What such a pair needs.
    pub needs: Requirement,
}

const fn row(
    a: &'static [Role],
    b: &'static [Role],
    distance: f64,
    why: &'static str,
    place: &'static str,
) -> RequirementRow {
    let needs =
        Requirement { distance: Millimetres::new(distance), why, source: Source::common_practice(place) };
    RequirementRow { a, b, needs }
}

/// What any two solids need that no row names.
pub const APART: Requirement = Requirement {
    distance: Millimetres::new(0.0),
    why: "two solids cannot share a place",
    source: Source::common_practice("solids do not overlap"),
};

const ANTENNAS: &[Role] = &[Role::AntennaElement, Role::ControlAntenna];
const BARE: &[Role] = &[Role::Board, Role::BareConductor];
const SOFT: &[Role] = &[Role::Harness, Role::Coax, Role::Pack, Role::Strap];
/// Boards of every kind, bare or cased, and what they stand on.
const BOARDS_AND_POSTS: &[Role] =
    &[Role::Board, Role::Transmitter, Role::ControlReceiver, Role::GnssModule, Role::Standoff, Role::Spacer];
const WALLS: &[Role] = &[Role::CarbonPlate, Role::InsulatingPlate, Role::MouldedDuct, Role::PrintedPart];

/// Required clearances by pair of roles, in mm: common practice, one row a reason.
pub const REQUIREMENTS: &[RequirementRow] = &[
    row(
        BARE,
        &[Role::CarbonPlate],
        1.5,
        "carbon conducts: a short, or stray supply on the frame",
        "bare board or solder to carbon",
    ),
    row(
        &[Role::Board, Role::Transmitter],
        &[Role::Board, Role::Transmitter],
        1.0,
        "boards flex in a crash",
        "board to board, populated",
    ),
    row(
        &[Role::TransmitterHotFace],
        Role::ALL,
        3.0,
        "the hot face sheds its heat into moving air",
        "transmitter hot face to anything",
    ),
    row(
        &[Role::TransmitterHotFace],
        &[Role::Pack, Role::SoftMount, Role::PrintedPart],
        5.0,
        "heat swells packs and softens foam and prints",
        "transmitter hot face to foam, pack or printed plastic",
    ),
    row(
        SOFT,
        &[Role::BladeSweep],
        8.0,
        "arms flex about 3 degrees; what the blade reaches it cuts",
        "soft parts to the swept disc",
    ),
    row(
        &[Role::BladeSweep],
        Role::ALL,
        1.0,
        "blades and arms flex in hard turns",
        "blade tip to anything, least gap",
    ),
    row(ANTENNAS, &[Role::BladeSweep], 10.0, "a whip bends back into the blade", "antenna to swept disc"),
    row(
        ANTENNAS,
        &[Role::CarbonPlate, Role::Pack, Role::Harness, Role::Coax],
        15.0,
        "carbon and wires shadow and detune the antenna",
        "antenna element to carbon, pack and wires",
    ),
    row(
        &[Role::AntennaElement],
        &[Role::ControlAntenna],
        60.0,
        "the transmitter drowns the control link",
        "control antenna to video antenna",
    ),
    row(
        &[Role::GnssModule],
        &[Role::Transmitter, Role::TransmitterHotFace, Role::AntennaElement],
        40.0,
        "noise and heat of the transmitter cost satellites",
        "satellite receiver to transmitter and its antenna",
    ),
    row(
        &[Role::Harness, Role::Coax],
        &[Role::CarbonPlate],
        1.0,
        "a carbon edge saws through insulation",
        "harness or coax to a carbon edge",
    ),
    row(
        &[Role::CameraBody, Role::Lens],
        WALLS,
        0.3,
        "a camera that rubs cannot tilt",
        "camera to cage plates, each side",
    ),
    // Beside and below, a camera needs no more than not to meet them: the room is wanted behind it.
    row(
        &[Role::RearRoom],
        BOARDS_AND_POSTS,
        0.0,
        "the harness leaves at the back of the camera and must bend",
        "back of camera to first board or standoff",
    ),
    row(
        &[Role::ScrewHead],
        BARE,
        0.8,
        "a screw head beside pads is the classic short",
        "screw head to board parts and pads",
    ),
    row(
        &[Role::ScrewTip],
        &[Role::MotorWinding],
        0.5,
        "a screw in the winding burns the motor",
        "screw tip to motor winding",
    ),
];

/// All roles but [`BOARDS_AND_POSTS`].
const BUT_BOARDS_AND_POSTS: &[Role] = {
    const MOST: usize = Role::ALL.len() - BOARDS_AND_POSTS.len();
    const REST: [Role; MOST] = {
        let mut rest = [Role::RearRoom; MOST];
        let (mut i, mut count) = (0, 0);
        while i < Role::ALL.len() {
            let (mut j, mut among) = (0, false);
            while j < BOARDS_AND_POSTS.len() {
                among |= BOARDS_AND_POSTS[j] as usize == i;
                j += 1;
            }
            if !among {
                rest[count] = Role::ALL[i];
                count += 1;
            }
            i += 1;
        }
        rest
    };
    &REST
};

/// How much room a camera needs behind its back for a plug nobody described: common practice.
pub const PLUG_ROOM: Requirement = Requirement {
    distance: Millimetres::new(3.0),
    why: "the plug sits at the back of the camera",
    source: Source::common_practice("back of camera to first board or standoff, for the plug alone"),
};

/// Pairs that ask for nothing, because one side is only air that the other may enter, or because they
/// are made to touch wherever they meet.
pub const NO_DEMAND: &[(&[Role], &[Role])] = &[
    (&[Role::PlugPullSpace, Role::KeepOut], &[Role::PlugPullSpace, Role::KeepOut]),
    // Behind a camera only boards and posts are in the way: plates and prints are gone round.
    (&[Role::RearRoom], BUT_BOARDS_AND_POSTS),
    // Wires and straps are moved aside to pull a plug.
    (&[Role::PlugPullSpace], &[Role::Harness, Role::Coax, Role::Strap, Role::BladeSweep]),
    // A strap is pulled tight round the pack and its plate.
    (
        &[Role::Strap],
        &[Role::Pack, Role::CarbonPlate, Role::InsulatingPlate, Role::MouldedDuct, Role::PrintedPart],
    ),
    // A strain relief lies on what it holds the lead to, and is taken off before the plug is pulled.
    (
        &[Role::Relief],
        &[
            Role::Relief,
            Role::Plug,
            Role::PlugPullSpace,
            Role::Harness,
            Role::Coax,
            Role::Board,
            Role::Transmitter,
            Role::CameraBody,
            Role::CarbonPlate,
            Role::InsulatingPlate,
            Role::PrintedPart,
            Role::MouldedDuct,
            Role::Standoff,
        ],
    ),
    // The blade sits on the motor.
    (&[Role::BladeSweep], &[Role::Motor, Role::MotorWinding]),
    (&[Role::Motor], &[Role::MotorWinding]),
];

const KINDS: usize = Role::ALL.len();
const NOTHING: u8 = u8::MAX;
const GENERAL: u8 = u8::MAX - 1;

/// Row numbers by pair, worked out from the two tables when the program is built.
const BY_PAIR: [[u8; KINDS]; KINDS] = {
    let mut table = [[GENERAL; KINDS]; KINDS];
    let mut r = 0;
    while r < REQUIREMENTS.len() {
        let mut i = 0;
        while i < REQUIREMENTS[r].a.len() {
            let mut j = 0;
            while j < REQUIREMENTS[r].b.len() {
                let (a, b) = (REQUIREMENTS[r].a[i] as usize, REQUIREMENTS[r].b[j] as usize);
                let old = table[a][b];
                if old == GENERAL
                    || REQUIREMENTS[old as usize].needs.distance.get() < REQUIREMENTS[r].needs.distance.get()
                {
                    table[a][b] = r as u8;
                    table[b][a] = r as u8;
                }
                j += 1;
            }
            i += 1;
        }
        r += 1;
    }
    let mut r = 0;
    while r < NO_DEMAND.len() {
        let mut i = 0;
        while i < NO_DEMAND[r].0.len() {
            let mut j = 0;
            while j < NO_DEMAND[r].1.len() {
                let (a, b) = (NO_DEMAND[r].0[i] as usize, NO_DEMAND[r].1[j] as usize);
                table[a][b] = NOTHING;
                table[b][a] = NOTHING;
                j += 1;
            }
            i += 1;
        }
        r += 1;
    }
    table
};

/// What two solids of these roles need between them; `None` where they may touch or overlap. The order
/// does not matter.
pub fn required_clearance(a: Role, b: Role) -> Option<Requirement> {
    match BY_PAIR[a as usize][b as usize] {
        NOTHING => None,
        GENERAL => Some(APART),
        row => Some(REQUIREMENTS[row as usize].needs),
    }
}

/// The most any pair with this role may need: how far a coarse search must look.
pub fn needs_at_most(role: Role) -> Millimetres {
    Millimetres::new(reach(role))
}

/// The same, in mm.
pub(crate) fn reach(role: Role) -> f64 {
    Role::ALL
        .iter()
        .filter_map(|other| required_clearance(role, *other))
        .fold(0.0, |most, needs| most.max(needs.distance.get()))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_order_of_a_pair_does_not_matter() {
        for a in Role::ALL {
            for b in Role::ALL {
                assert_eq!(required_clearance(*a, *b), required_clearance(*b, *a));
            }
        }
    }

    #[test]
    fn the_strictest_row_holds() {
        let mm = |a, b| required_clearance(a, b).map(|r| r.distance.get());
        assert_eq!(mm(Role::CarbonPlate, Role::BareConductor), Some(1.5));
        assert_eq!(mm(Role::TransmitterHotFace, Role::Pack), Some(5.0));
        assert_eq!(mm(Role::TransmitterHotFace, Role::GnssModule), Some(40.0));
        assert_eq!(mm(Role::BladeSweep, Role::Harness), Some(8.0));
        assert_eq!(mm(Role::BladeSweep, Role::Motor), None);
        assert_eq!(mm(Role::Standoff, Role::Pack), Some(0.0));
        // A camera keeps from boards and posts by the room behind it, not by its sides.
        assert_eq!(mm(Role::CameraBody, Role::Board), Some(0.0));
        assert_eq!(mm(Role::RearRoom, Role::Standoff), Some(0.0));
        assert_eq!(mm(Role::RearRoom, Role::CarbonPlate), None);
        assert_eq!(mm(Role::RearRoom, Role::Harness), None);
    }

    #[test]
    fn roles_are_told_apart_by_their_words() {
        for (i, a) in Role::ALL.iter().enumerate() {
            assert_eq!(*a as usize, i);
            assert!(Role::ALL.iter().skip(i + 1).all(|b| b.words() != a.words()));
        }
    }
}
