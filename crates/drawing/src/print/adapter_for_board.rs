//! Which adapter a board needs: its own holes over those of the frame it does not fit.
//!
//! The board is the first whose holes meet what it is seated on at no turn and on neither side. The adapter goes
//! on that pattern; the board, with the spacers and screws that hold it and nothing else, moves onto it. Heads of the board's
//! screws are sunk in the underside, so that the plate lies flat; heads of the frame's screws are sunk only where the board
//! stands too low over them.
//!
//! The board's holes are taken as the board lies: mirrored where it lies on its face, turned as it is turned, and off the middle where
//! its pattern or the board itself is. Which turn is best with all that stands around is asked of the rules (`adapter_turn.rs`).

use super::adapter_plate::{AdapterAsked, AdapterPlate, AdapterSide, centre_of};
use super::adapter_turn::{Chosen, chosen};
use super::as_part::{BOARD_SIDE, FRAME_SIDE};
use super::bore::{HeadFace, HeadSeat, ScrewHole, ScrewInPrint};
use super::custom::{Filament, WALL};
use super::own_screws::{NewScrews, OwnScrews, head_for};
use super::printed::{
    At, Draft, Printed, angle, cannot, fresh_ids, length, mm, named, of_place, places_of, set_place,
};
use super::refusal::PrintRefusal;
use super::wanted::{PrintKind, Wanted};
use craft::schema::{PartKind, place as place_schema, shape};
use craft::{Anchor, Craft, Edit, Item, Missing, PlaceId, Value, write_value};
use fit::{HolePattern, MountHole, PlanePoint, Role, THREADS, Thread, meet, required_clearance};
use quantity::{Degrees, Millimetres};

/// What stands on hole patterns.
pub(super) const BOARDS: &[PartKind] = &[
    PartKind::VideoTransmitter,
    PartKind::FlightController,
    PartKind::SpeedController,
    PartKind::IntegratedBoard,
];
/// What moves with a board: what holds it.
const HOLDING: &[PartKind] = &[PartKind::Spacer, PartKind::SoftMount, PartKind::Screw];
/// How thick an adapter is when nothing asks for more; prints of 2 to 3 mm are usual.
const THICKNESS: f64 = 3.0;

/// Plates that are told at most: a builder prints one.
const PLATES_TOLD: usize = 3;

/// A board and the two patterns that shall meet.
pub(super) struct Case<'a> {
    pub board: At<'a>,
    /// The pattern it goes on.
    pub onto: Anchor,
    own: Side,
    under: Side,
}

/// One pattern, with the screw through it.
struct Side {
    /// Of a board from its origin, of what lies under from the middle of its seat and from the side things are mounted on.
    holes: HolePattern,
    thread: Thread,
    words: String,
}

/// How a board lies on its seat.
#[derive(Clone, Copy)]
struct Lies {
    at: PlanePoint,
    yaw: f64,
    flipped: bool,
}

impl Lies {
    fn of(board: At<'_>) -> Self {
        let at =
            PlanePoint::new(of_place(board.place, &place_schema::X), of_place(board.place, &place_schema::Y));
        let flipped = board.place.item().flag(&place_schema::FLIPPED).unwrap_or(false);
        Self { at, yaw: of_place(board.place, &place_schema::YAW), flipped }
    }

    /// A hole of the board in the plane of its seat.
    fn hole(&self, hole: &MountHole) -> MountHole {
        let side = if self.flipped { -1.0 } else { 1.0 };
        let laid = turned(PlanePoint::new(hole.at.x, side * hole.at.y), self.yaw);
        MountHole { at: PlanePoint::new(laid.x + self.at.x, laid.y + self.at.y), ..*hole }
    }
}

fn turned(p: PlanePoint, degrees: f64) -> PlanePoint {
    let (sin, cos) = degrees.to_radians().sin_cos();
    PlanePoint::new(p.x * cos - p.y * sin, p.x * sin + p.y * cos)
}

/// One way to make the plate, with what it does to the craft.
pub(super) struct Way {
    pub plate: AdapterPlate,
    pub part: craft::Part,
    pub place: PlaceId,
    pub edits: Vec<Edit>,
    /// Whether the board's holes are moved over the middle of the frame's.
    pub is_moved: bool,
}

/// The plates that a board may be put on, the best first.
pub(super) fn adapters_for_board(craft: &Craft, wanted: &Wanted) -> Result<Vec<Printed>, PrintRefusal> {
    let case = case(craft, wanted)?;
    let name = format!("adapter {} to {}", case.under.words, case.own.words);
    let asked = asked(&case, wanted)?;
    let lies = Lies::of(case.board);
    let (part, place) = fresh_ids(craft, &format!("adapter {}", case.board.place.id));
    let filament = Filament::StiffHeatProof;
    // On another seat than its own nobody said where it shall stand: over the middle.
    let as_placed = (case.board.place.on.as_ref() == Some(&case.onto)).then(|| middle(&asked.board.holes));
    let make = |turn: Option<Degrees>, board_middle: Option<PlanePoint>| {
        let plate = AdapterPlate::new(&AdapterAsked { turn, board_middle, ..asked.clone() })?;
        let edits = edits(craft, &case, &plate, &place, lies, middle(&asked.board.holes));
        let is_moved = as_placed.is_some_and(|at| super::ring::distance(at, plate.board_middle()) > 0.005);
        let part = plate.as_part(part.clone(), &name, filament);
        Ok(Way { plate, part, place: place.clone(), edits, is_moved })
    };
    let Chosen { ways, mut why } =
        chosen(craft, &case, wanted.turn, as_placed, make).map_err(cannot(&name))?;
    let printed = |way: Way| {
        let mesh = way.plate.mesh().map_err(|fault| cannot(&name)(vec![fault]))?;
        let screws = own_screws(craft, &case, &way);
        let mut says = says(&case, &way, lies, &screws);
        // Said of the first alone.
        says.splice(2..2, why.take());
        let draft = Draft {
            kind: PrintKind::Adapter,
            for_place: &case.board.place.id,
            part: way.part,
            mesh,
            filament,
            what: format!("Print {name} and put it under {:?}", case.board.part.name),
            on: case.onto.to_string(),
            edits: way.edits,
            place: way.place,
            says,
            screws,
        };
        Ok(draft.done(craft))
    };
    ways.into_iter().take(PLATES_TOLD).map(printed).collect()
}

/// The plate to be made, its turn and middle left open: the board's holes as they lie now.
fn asked(case: &Case, wanted: &Wanted) -> Result<AdapterAsked, PrintRefusal> {
    let frame_thread = wanted.thread()?.unwrap_or(case.under.thread);
    let narrow = case.under.holes.holes.iter().map(|hole| hole.diameter).find(|d| *d < frame_thread.diameter);
    if let Some(hole) = narrow {
        return Err(PrintRefusal::NothingThere {
            what: format!(
                "{} screws do not go through the holes of {}, which are {} wide: ask for {}, or for none in particular",
                frame_thread.name,
                case.onto,
                mm(hole.get()),
                case.under.thread.name
            ),
        });
    }
    let plain = |thread, face| ScrewInPrint::plain(thread, face);
    let (mut of_frame, mut of_board) =
        (plain(frame_thread, HeadFace::Upper), plain(case.own.thread, HeadFace::Lower));
    let height = of_place(case.board.place, &place_schema::Z);
    let room = required_clearance(Role::ScrewHead, Role::Board).map_or(0.0, |needs| needs.distance.get());
    of_board.seat = wanted.heads.unwrap_or(HeadSeat::Pocket);
    of_frame.seat = wanted.heads.unwrap_or(match height >= of_frame.head_height().get() + room {
        true => HeadSeat::OnFace,
        false => HeadSeat::Pocket,
    });
    let sunk = of_frame.depth().get().max(of_board.depth().get()) + WALL.length.get();
    let thickness = wanted.thickness.unwrap_or(Millimetres::new(((sunk * 2.0).ceil() / 2.0).max(THICKNESS)));
    let lies = Lies::of(case.board);
    let laid = case.own.holes.holes.iter().map(|hole| lies.hole(hole)).collect();
    Ok(AdapterAsked {
        frame: AdapterSide { holes: case.under.holes.clone(), screw: of_frame },
        board: AdapterSide { holes: HolePattern { holes: laid }, screw: of_board },
        thickness,
        turn: None,
        board_middle: None,
    })
}

fn middle(pattern: &HolePattern) -> PlanePoint {
    centre_of(&pattern.holes.iter().map(|hole| hole.at).collect::<Vec<_>>())
}

fn case<'a>(craft: &'a Craft, wanted: &Wanted) -> Result<Case<'a>, PrintRefusal> {
    if let Some(id) = &wanted.place {
        let board = named(craft, id, BOARDS, "a board")?;
        let case = read(craft, board, wanted)?;
        if wanted.turn.is_none() && fits(&case) {
            let why = format!(
                "{:?} needs no adapter: its holes meet {} as they are; name a turn if it shall lie otherwise",
                board.part.name, case.onto
            );
            return Err(PrintRefusal::NotNeeded { why });
        }
        on_a_frame(craft, &case)?;
        return Ok(case);
    }
    let mut lacking = None;
    for board in places_of(craft, BOARDS) {
        match read(craft, board, wanted) {
            Ok(case) if !fits(&case) => {
                on_a_frame(craft, &case)?;
                return Ok(case);
            }
            Ok(_) => {}
            Err(refusal) => lacking = lacking.or(Some(refusal)),
        }
    }
    Err(lacking.unwrap_or_else(|| PrintRefusal::NotNeeded {
        why: "no board of this craft needs an adapter: the holes of each meet what it is seated on; name a place and a turn, or a place and a pattern to go on".to_owned(),
    }))
}

/// A plate lies on a plate: on another board of a stack it would lie in that board's parts.
fn on_a_frame(craft: &Craft, case: &Case) -> Result<(), PrintRefusal> {
    let under = case.onto.place().and_then(|id| craft.place(id)).and_then(|place| craft.part_at(place));
    match under {
        Some(under) if BOARDS.contains(&under.kind) => Err(PrintRefusal::NothingThere {
            what: format!(
                "{} are the holes of {:?}, a board: an adapter lies on a plate; name a pattern of the frame to go on",
                case.onto, under.name
            ),
        }),
        _ => Ok(()),
    }
}

/// Whether the holes meet at some turn, on either side.
fn fits(case: &Case) -> bool {
    let least = case.own.holes.holes.len().min(case.under.holes.holes.len()).min(4);
    meet(&case.own.holes, &case.under.holes, case.own.thread.diameter)
        .is_ok_and(|ways| ways.iter().any(|way| way.fits() && way.matched.len() >= least))
}

fn read<'a>(craft: &'a Craft, board: At<'a>, wanted: &Wanted) -> Result<Case<'a>, PrintRefusal> {
    let called = || format!("{:?} at place \"{}\"", board.part.name, board.place.id);
    let onto = wanted.onto.as_ref().or(board.place.on.as_ref());
    let Some(onto @ Anchor::Feature(under, feature)) = onto else {
        let what =
            format!("{} is seated on no hole pattern; name one to go on, such as frame/rear stack", called());
        return Err(PrintRefusal::NothingThere { what });
    };
    let holder = craft.place(under).and_then(|place| craft.part_at(place));
    let Some(target) = holder.and_then(|part| part.row_named(&shape::pattern::TABLE, feature)) else {
        let what = format!("{onto} is no hole pattern of this craft; name another to go on");
        return Err(PrintRefusal::NothingThere { what });
    };
    let Some(own) = board.part.rows(&shape::pattern::TABLE).next() else {
        return Err(board.part.item().missing(&shape::pattern::PITCH.def).into());
    };
    let at = |field| own.read(field).map_or(0.0, |at: craft::Reading<Millimetres>| at.value.get());
    let offset = PlanePoint::new(at(&shape::X), at(&shape::Y));
    // Of a lower face the holes are seen from below: left is right.
    let mirrored = target.text(&shape::pattern::FACE) == Ok("lower");
    Ok(Case {
        board,
        onto: onto.clone(),
        own: side(&own, |[x, y]| PlanePoint::new(x + offset.x, y + offset.y))?,
        under: side(&target, |[x, y]| PlanePoint::new(x, if mirrored { -y } else { y }))?,
    })
}

fn side(row: &Item<'_>, seen: impl Fn([f64; 2]) -> PlanePoint) -> Result<Side, Missing> {
    let diameter = row.read(&shape::pattern::HOLE)?.value;
    let points = proof::pattern_holes(row).ok_or_else(|| row.missing(&shape::pattern::PITCH.def))?;
    let thread = match row.text(&shape::pattern::SCREW) {
        Ok(name) => Thread::named(name),
        // The largest screw that goes through; lens threads are no screws.
        Err(_) => {
            THREADS.iter().copied().rfind(|thread| thread.diameter <= diameter && !thread.name.contains('x'))
        }
    };
    let thread = thread.ok_or_else(|| row.missing(&shape::pattern::SCREW.def))?;
    let hole = |at| MountHole { at: seen(at), slot_to: None, diameter };
    let pitches = (row.read(&shape::pattern::PITCH), row.read(&shape::pattern::PITCH_ACROSS));
    let words = match (row.points(&shape::pattern::HOLES), pitches) {
        (Err(_), (Ok(pitch), Err(_))) => pitch.value.get().to_string(),
        (Err(_), (Ok(pitch), Ok(across))) => format!("{} × {}", pitch.value.get(), across.value.get()),
        _ => row.name().unwrap_or("pattern").to_owned(),
    };
    Ok(Side { holes: HolePattern { holes: points.into_iter().map(hole).collect() }, thread, words })
}

/// What takes the board onto the plate, so that it lies over the plate's holes; `holes` is the middle of its own as they lie now.
fn edits(
    craft: &Craft,
    case: &Case,
    plate: &AdapterPlate,
    place: &PlaceId,
    lies: Lies,
    holes: PlanePoint,
) -> Vec<Edit> {
    let mut edits = Vec::new();
    let under = stands_off(plate);
    if under > 0.0 {
        edits.push(set_place(place, place_schema::Z.def.key, length(under)));
    }
    let board = case.board.place;
    let onto = Anchor::Feature(place.clone(), BOARD_SIDE.to_owned()).to_string();
    for at in moved_along(craft, case) {
        edits.push(set_place(&at.place.id, "on", onto.clone()));
        let from_below = at.place.item().flag(&place_schema::FLIPPED).unwrap_or(false);
        if at.part.kind == PartKind::Screw && from_below {
            edits.push(set_place(&at.place.id, place_schema::Z.def.key, length(-head_below(plate))));
        }
    }
    edits.push(set_place(&board.id, "on", onto));
    // Its seat is then the middle of its own holes.
    let from_holes = turned(PlanePoint::new(lies.at.x - holes.x, lies.at.y - holes.y), plate.turn().get());
    for (field, was, is) in
        [(&place_schema::X, lies.at.x, from_holes.x), (&place_schema::Y, lies.at.y, from_holes.y)]
    {
        if (was - is).abs() > 0.005 {
            edits.push(set_place(&board.id, field.def.key, length(is)));
        }
    }
    if plate.turn() != Degrees::new(0.0) {
        edits.push(set_place(&board.id, place_schema::YAW.def.key, angle(lies.yaw + plate.turn().get())));
    }
    edits
}

/// How thick a head is drawn that lies level with its plate.
const FLUSH: Millimetres = Millimetres::new(0.2);

/// What stands on the board's seat and moves with it: what holds it, where no other board shares that seat.
fn moved_along<'a>(craft: &'a Craft, case: &Case) -> Vec<At<'a>> {
    let board = case.board.place;
    let alone = !places_of(craft, BOARDS).any(|at| at.place.id != board.id && at.place.on == board.on);
    places_of(craft, HOLDING).filter(|at| alone && at.place.on == board.on).collect()
}

/// How far below the plate's upper face the heads of the board's screws lie.
fn head_below(plate: &AdapterPlate) -> f64 {
    let screw = plate.screws()[1];
    // A cone is a little wider than the head, which so lies a little deeper.
    let in_cone = FLUSH + (screw.widest() - screw.head_diameter()) / 2.0;
    let sunk = if screw.seat == HeadSeat::Cone { in_cone } else { screw.depth() };
    (plate.thickness() - sunk).get()
}

/// The screws into the frame, and those into the board where none moves along with it.
fn own_screws(craft: &Craft, case: &Case, way: &Way) -> OwnScrews {
    let plate = &way.plate;
    let [of_frame, of_board] = plate.screws();
    let word = |what: &str| format!("{} {what} screws", way.place);
    let on = |side: &str| Anchor::Feature(way.place.clone(), side.to_owned()).to_string();
    let key = place_schema::Z.def.key;
    // A countersunk head lies level with the upper face; the pattern lies where its cone begins.
    let up = if of_frame.seat == HeadSeat::Cone { (of_frame.depth() - FLUSH).get() } else { 0.0 };
    let mut new = vec![NewScrews {
        word: word("frame"),
        on: on(FRAME_SIDE),
        says: (up > 0.0).then(|| (key, length(up))).into_iter().collect(),
        thread: of_frame.thread,
        head: head_for(of_frame.seat),
        count: plate.frame_holes().len(),
        why: format!("hold it to {} from above, with nuts from below", case.onto),
        heads: Some(heads(of_frame)),
    }];
    let there: Vec<_> = moved_along(craft, case)
        .into_iter()
        .filter(|at| at.part.kind == PartKind::Screw)
        .map(|at| (at.place.id.clone(), Some(head_for(of_board.seat))))
        .collect();
    if there.is_empty() {
        new.push(NewScrews {
            word: word("board"),
            on: on(BOARD_SIDE),
            says: vec![
                (key, length(-head_below(plate))),
                (place_schema::FLIPPED.def.key, write_value(&Value::Flag(true))),
            ],
            thread: of_board.thread,
            head: head_for(of_board.seat),
            count: plate.board_holes().len(),
            why: "go up into the board from below".to_owned(),
            heads: Some(heads(of_board)),
        });
    }
    OwnScrews { new, there }
}

/// How far the plate must stand off the frame for heads under it, to the next half millimetre.
fn stands_off(plate: &AdapterPlate) -> f64 {
    let screw = plate.screws()[1];
    match (screw.seat, screw.hole) {
        (HeadSeat::OnFace, ScrewHole::Clear) => (screw.head_height().get() * 2.0).ceil() / 2.0,
        _ => 0.0,
    }
}

/// How the heads of a screw lie in the plate.
fn heads(screw: &ScrewInPrint) -> String {
    match screw.seat {
        HeadSeat::OnFace => "on its face".to_owned(),
        HeadSeat::Cone => "sunk in cones".to_owned(),
        HeadSeat::Pocket => format!("sunk {} deep", mm(screw.depth().get())),
    }
}

fn says(case: &Case, way: &Way, lies: Lies, own: &OwnScrews) -> Vec<String> {
    let plate = &way.plate;
    let [_, of_board] = plate.screws();
    let mut says = vec![format!(
        "For {:?} at place \"{}\": its holes are {}, {} has {}.",
        case.board.part.name, case.board.place.id, case.own.words, case.onto, case.under.words
    )];
    let gap = mm(plate.head_gap().get());
    says.push(match plate.turn() == Degrees::new(0.0) {
        true => format!("The board lies as it lay: the nearest screw heads are {gap} apart."),
        false => format!(
            "The board is turned by {}°: the nearest screw heads are {gap} apart. Look where its plugs point then, and let the setting follow its arrow.",
            plate.turn().get()
        ),
    });
    if lies.flipped {
        says.push("The board lies on its face, and the plate has its holes mirrored so.".to_owned());
    }
    let (of_holes, middle) = (plate.board_middle(), plate.frame_middle());
    let beside =
        [(of_holes.x - middle.x, "forward", "back"), (of_holes.y - middle.y, "to the left", "to the right")];
    let beside = beside.into_iter().filter(|(by, ..)| by.abs() >= 0.05);
    let beside: Vec<String> = beside
        .map(|(by, plus, minus)| format!("{} {}", mm(by.abs()), if by > 0.0 { plus } else { minus }))
        .collect();
    let beside = beside.join(" and ");
    if !beside.is_empty() && way.is_moved {
        says.push(format!(
            "The board moves: the middle of its holes then lies {beside} of the middle of the frame's. Mark which way is forward on the print."
        ));
    } else if !beside.is_empty() {
        says.push(format!(
            "The middle of its holes lies {beside} of the middle of the frame's, as the board is placed and drilled: mark which way is forward on the print."
        ));
    } else if way.is_moved {
        says.push(
            "The board moves: the middle of its holes comes to lie over that of the frame's.".to_owned(),
        );
    }
    // Those that come with the print say so themselves; these are there, and move along.
    if !own.there.is_empty() {
        says.push(format!(
            "The {} screws of the board go up into it from below, heads {}.",
            of_board.thread.name,
            heads(of_board)
        ));
    }
    says.push("What the board or the frame will cover goes in first: screws into the plate, then the board onto it, then both onto the frame.".to_owned());
    if stands_off(plate) > 0.0 {
        says.push(format!("Stand it on spacers of {} for the heads under it.", mm(stands_off(plate))));
    }
    says
}
