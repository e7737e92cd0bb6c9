//! What a newcomer does next, from an empty craft to a first verdict.
//!
//! One thing at a time, and what is begun is finished first: the class, the frame with what bounds the
//! parts, then part by part: add it, put it in its place, enter the facts the rules ask for and what stands
//! out of it. Among missing facts the one that keeps most rules from answering comes first. When nothing is
//! left to enter, the verdict is there to be read.
//!
//! Left out: facts that no rule has asked for yet. They can wait.

mod advice;

use crate::wire::target::enterable;
use advice::{FRAME_TABLES, PART_TABLES, part_advice, seat_advice};
use craft::schema::{PartKind, TableDef, frame};
use craft::{Craft, CraftClass, Missing, Part, Place};
use proof::{Proved, Verdict};
use std::fmt;

/// What to do, and why.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NextStep {
    /// What to do.
    pub title: String,
    /// Why, in a sentence that teaches.
    pub why: String,
    /// What the page opens.
    pub action: Action,
}

/// What the page opens.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Action {
    /// The choice of class.
    Class,
    /// The form for a new part of a kind.
    Add(PartKind),
    /// The field of a path, or the table of a part: `cam.body_width`, `frame.plate`.
    Fill(String),
    /// The seat of a part that has none, or of a place without one.
    Place(String),
    /// The findings.
    Read,
}

impl fmt::Display for Action {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Action::Class => f.write_str("class"),
            Action::Add(kind) => write!(f, "add:{}", kind.def().word),
            Action::Fill(path) => write!(f, "fill:{path}"),
            Action::Place(id) => write!(f, "place:{id}"),
            Action::Read => f.write_str("read"),
        }
    }
}

/// The next step; `None` when every rule is answered and nothing is broken or tight.
pub fn next_step(craft: &Craft, proved: &Proved) -> Option<NextStep> {
    class(craft)
        .or_else(|| the_frame(craft))
        .or_else(|| unplaced(craft))
        .or_else(|| missing_fact(craft, proved, true))
        .or_else(|| bare_table(craft))
        .or_else(|| next_part(craft))
        .or_else(|| missing_fact(craft, proved, false))
        .or_else(|| read(proved))
}

fn step(title: impl Into<String>, why: &str, action: Action) -> NextStep {
    NextStep { title: title.into(), why: why.to_owned(), action }
}

fn class(craft: &Craft) -> Option<NextStep> {
    let why = "The class says how large the blades are and whether they run in ducts. It tells the rules what is usual \
               for such a craft, and you what to look for.";
    craft.class.is_none().then(|| step("Choose the class of the craft", why, Action::Class))
}

fn parts(craft: &Craft, kind: PartKind) -> impl Iterator<Item = &Part> {
    craft.parts.iter().filter(move |part| part.kind == kind)
}

fn has(craft: &Craft, kind: PartKind) -> bool {
    parts(craft, kind).next().is_some()
}

fn the_frame(craft: &Craft) -> Option<NextStep> {
    let Some(frame) = parts(craft, PartKind::Frame).next() else {
        let why = "The frame decides what fits: everything else is seated on it. Take its data sheet and your calipers; \
                   you can begin with one plate and two standoffs.";
        return Some(step("Add the frame", why, Action::Add(PartKind::Frame)));
    };
    // A small ducted frame is moulded in one: it has no posts, and a canopy holds its camera.
    let moulded = |table: &TableDef| ["standoff", "camera_mount"].contains(&table.key) && is_small(craft);
    let wanting = |table: &TableDef| is_bare(frame, table.key) && !moulded(table);
    let (table, title, why) = FRAME_TABLES.into_iter().find(|(table, _, _)| wanting(table))?;
    Some(step(title, why, Action::Fill(format!("{}.{}", frame.id, table.key))))
}

fn is_small(craft: &Craft) -> bool {
    craft.class.is_some_and(|class| class <= CraftClass::Ducted85)
}

fn is_bare(part: &Part, table: &str) -> bool {
    part.tables.get(table).is_none_or(Vec::is_empty)
}

/// A part that says its size but not what stands out of it.
fn bare_table(craft: &Craft) -> Option<NextStep> {
    let bare = |part: &Part| {
        let of_kind = PART_TABLES.into_iter().find(|(kind, ..)| *kind == part.kind)?;
        is_bare(part, of_kind.1.key).then_some((part.id.clone(), part.name.clone(), of_kind))
    };
    let (id, name, (_, table, title, why)) = craft.parts.iter().find_map(bare)?;
    Some(step(format!("{title} {name}"), why, Action::Fill(format!("{id}.{}", table.key))))
}

/// A part that stands nowhere, too few motors for the mounts or blades for the motors, a place without a seat.
fn unplaced(craft: &Craft) -> Option<NextStep> {
    let places_of = |part: &Part| craft.places.iter().filter(|place| place.part == part.id).count();
    let mounts =
        parts(craft, PartKind::Frame).map(|frame| frame.rows(&frame::motor_mount::TABLE).count()).sum();
    let motors: usize = parts(craft, PartKind::Motor).map(places_of).sum();
    let blades: usize = parts(craft, PartKind::Blades).map(places_of).sum();
    let wanting = |part: &&Part| match part.kind {
        kind if kind.stays_on_the_ground() => false,
        PartKind::Motor => motors < mounts,
        PartKind::Blades => blades < motors,
        _ => places_of(part) == 0,
    };
    if let Some(part) = craft.parts.iter().find(wanting) {
        return Some(step(
            format!("Put {} in its place", part.name),
            seat_advice(part.kind),
            Action::Place(part.id.to_string()),
        ));
    }
    let seatless = |place: &&Place| place.on.is_none();
    let place = craft.places.iter().find(seatless)?;
    let name = craft.part_at(place).map_or(place.part.as_str(), |part| part.name.as_str());
    let why = "It is in the craft but seated on nothing yet. Say what it is screwed, tied or plugged to.";
    Some(step(format!("Say what {name} is seated on"), why, Action::Place(place.id.to_string())))
}

/// The missing fact that keeps most rules from answering.
fn missing_fact(craft: &Craft, proved: &Proved, core: bool) -> Option<NextStep> {
    let unknown = || proved.findings.iter().filter(|finding| finding.verdict == Verdict::Unknown);
    let wanted: Vec<&Missing> =
        unknown().flat_map(|finding| &finding.missing).filter(|m| !core || is_core(m)).collect();
    let times = |fact: &Missing| wanted.iter().filter(|other| other.path == fact.path).count();
    // The first of equals wins, so that the guide does not jump about.
    let most = wanted.iter().map(|fact| times(fact)).max()?;
    let fact = wanted.iter().find(|fact| times(fact) == most)?;
    let rules = match most {
        1 => "One rule waits for it.".to_owned(),
        more => format!("{more} findings wait for it."),
    };
    let why = format!(
        "{rules} Measure it, read it off the data sheet, or enter what is typical and say so: the doubt follows."
    );
    Some(step(format!("Enter the {}", fact.label), &why, Action::Fill(enterable(craft, &fact.path.0))))
}

/// Whether any kind's schema calls the key core; the keys are alike across kinds.
fn is_core(missing: &Missing) -> bool {
    let key = missing.path.0.rsplit('.').next().unwrap_or_default();
    let core = |def: &craft::schema::FieldDef| def.key == key && def.need == craft::schema::Need::Core;
    PartKind::ALL.iter().any(|kind| {
        let def = kind.def();
        def.fields.iter().any(core) || def.tables.iter().any(|table| table.fields.iter().any(core))
    })
}

/// The next part a craft needs, in the order in which they are usually known.
fn next_part(craft: &Craft) -> Option<NextStep> {
    use PartKind::*;
    let boards = has(craft, IntegratedBoard);
    let small = is_small(craft);
    let lacks = |kind: PartKind| match kind {
        IntegratedBoard => small && !has(craft, FlightController) && !boards,
        FlightController => !boards && !has(craft, FlightController),
        SpeedController => !boards && !has(craft, SpeedController),
        kind => !has(craft, kind),
    };
    let order = [
        VideoTransmitter,
        Camera,
        IntegratedBoard,
        FlightController,
        SpeedController,
        Antenna,
        Motor,
        Blades,
        Pack,
    ];
    let kind = order.into_iter().find(|kind| lacks(*kind))?;
    Some(step(format!("Add the {}", kind.def().plain), part_advice(kind), Action::Add(kind)))
}

fn read(proved: &Proved) -> Option<NextStep> {
    let open = proved.findings.iter().any(|finding| finding.verdict != Verdict::Sound);
    let why = "Every rule has what it needs. Begin at the top: the worst finding comes first, with its margin, how sure that is and \
               what to do. Open one to see its working.";
    open.then(|| step("Read your first verdict", why, Action::Read))
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use craft::{Anchor, CraftId, Edit, PartId, PlaceId, Row, apply};
    use proof::{Finding, prove};
    use quantity::FactPath;

    fn empty() -> Craft {
        Craft::new(CraftId::from_name("first"), "First")
    }

    fn check(craft: &Craft, action: &str) -> NextStep {
        let step = next_step(craft, &prove(craft)).unwrap();
        assert_eq!(step.action.to_string(), action, "{}", step.title);
        step
    }

    fn add(craft: &mut Craft, kind: PartKind, on: Option<Anchor>) -> PartId {
        let id = PartId::from_name(kind.def().plain);
        craft.parts.push(Part::new(id.clone(), kind, kind.def().plain));
        if let Some(on) = on {
            craft.places.push(Place::new(PlaceId::from_name(kind.def().plain), id.clone(), on));
        }
        id
    }

    fn framed() -> Craft {
        let mut craft = Craft { class: Some(CraftClass::Open3), ..empty() };
        add(&mut craft, PartKind::Frame, Some(Anchor::Body));
        for (table, _, _) in FRAME_TABLES {
            craft.parts[0].tables.insert(table.key.to_owned(), vec![Row::default()]);
        }
        craft
    }

    #[test]
    fn an_empty_craft_begins_with_its_class_and_its_frame() {
        let mut craft = empty();
        check(&craft, "class");
        craft.class = Some(CraftClass::Open3);
        check(&craft, "add:frame");
        add(&mut craft, PartKind::Frame, None);
        for table in ["plate", "standoff", "pattern", "camera_mount", "motor_mount"] {
            check(&craft, &format!("fill:frame.{table}"));
            craft.parts[0].tables.insert(table.to_owned(), vec![Row::default()]);
        }
        check(&craft, "place:frame");
    }

    #[test]
    fn a_moulded_frame_is_not_asked_for_posts() {
        let mut craft = Craft { class: Some(CraftClass::Ducted75), ..empty() };
        add(&mut craft, PartKind::Frame, None);
        for table in ["plate", "pattern", "motor_mount"] {
            check(&craft, &format!("fill:frame.{table}"));
            craft.parts[0].tables.insert(table.to_owned(), vec![Row::default()]);
        }
        check(&craft, "place:frame");
    }

    #[test]
    fn what_is_begun_is_finished_before_something_new() {
        let mut craft = framed();
        let step = next_step(&craft, &Proved::default()).unwrap();
        assert_eq!(step.action, Action::Add(PartKind::VideoTransmitter));
        add(&mut craft, PartKind::VideoTransmitter, None);
        check(&craft, "place:video-transmitter");
    }

    #[test]
    fn a_small_ducted_craft_is_offered_one_board_for_all() {
        let mut craft = framed();
        craft.class = Some(CraftClass::Ducted75);
        for kind in [PartKind::VideoTransmitter, PartKind::Camera] {
            add(&mut craft, kind, Some(Anchor::Body));
            let part = craft.parts.last_mut().unwrap();
            part.tables.insert("plug".into(), vec![Row::default()]);
        }
        let step = next_step(&craft, &Proved::default()).unwrap();
        assert_eq!(step.action, Action::Add(PartKind::IntegratedBoard));
        craft.class = Some(CraftClass::Open5);
        let step = next_step(&craft, &Proved::default()).unwrap();
        assert_eq!(step.action, Action::Add(PartKind::FlightController));
    }

    #[test]
    fn every_mount_gets_its_motor() {
        let mut craft = framed();
        craft.parts[0].tables.insert("motor_mount".into(), vec![Row::default(), Row::default()]);
        add(&mut craft, PartKind::Motor, Some(Anchor::Body));
        check(&craft, "place:motor");
    }

    #[test]
    fn the_fact_that_most_rules_wait_for_comes_first() {
        let missing = |path: &str| Missing { path: FactPath(path.into()), label: path.into() };
        let unknown =
            |paths: &[&str]| Finding::unknown("fit.x", "x", paths.iter().map(|p| missing(p)).collect());
        let findings = vec![
            unknown(&["a.mass", "b.mass"]),
            unknown(&["b.mass"]),
            unknown(&["c.no_such_key", "c.no_such_key"]),
        ];
        let proved = Proved { findings, ..Proved::default() };
        assert_eq!(next_step(&framed(), &proved).unwrap().action, Action::Fill("b.mass".into()));
    }

    #[test]
    fn a_craft_with_nothing_left_to_enter_is_read() {
        let mut craft = framed();
        for kind in [
            PartKind::VideoTransmitter,
            PartKind::Camera,
            PartKind::IntegratedBoard,
            PartKind::Antenna,
            PartKind::Motor,
            PartKind::Blades,
            PartKind::Pack,
        ] {
            add(&mut craft, kind, Some(Anchor::Body));
            let part = craft.parts.last_mut().unwrap();
            part.tables.insert("plug".into(), vec![Row::default()]);
        }
        let tight = vec![Finding::new("fit.x", Verdict::Tight, "x", "x")];
        let proved = |findings| Proved { findings, ..Proved::default() };
        assert_eq!(next_step(&craft, &proved(tight)).unwrap().action, Action::Read);
        assert_eq!(next_step(&craft, &proved(vec![])), None);
    }

    /// Follows the guide by the edits a page would send; no step may come twice in a row without an effect.
    #[test]
    fn whoever_follows_the_guide_gets_past_the_frame() {
        let mut craft = empty();
        let mut told = Vec::new();
        for _ in 0..8 {
            let step = next_step(&craft, &prove(&craft)).unwrap();
            let edit = match &step.action {
                Action::Class => Edit::SetCraft { key: "class".into(), text: Some("open_3".into()) },
                Action::Add(kind) => Edit::AddPart { id: None, kind: *kind, name: kind.def().plain.into() },
                Action::Fill(path) => {
                    let (part, table) = path.split_once('.').unwrap();
                    let row = [("name".to_owned(), "one".to_owned())].into();
                    Edit::AddRow { part: PartId::new(part).unwrap(), table: table.into(), values: row }
                }
                Action::Place(part) => Edit::AddPlace {
                    id: None,
                    part: PartId::new(part.as_str()).unwrap(),
                    on: Some("body".into()),
                },
                Action::Read => break,
            };
            craft = apply(&craft, &edit).unwrap();
            told.push(step.action.to_string());
        }
        let unlike: std::collections::HashSet<&String> = told.iter().collect();
        assert_eq!(unlike.len(), 8, "{told:?}");
    }
}
