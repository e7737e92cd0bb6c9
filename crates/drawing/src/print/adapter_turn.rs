//! Which turn of a board an adapter is best made for: that with the most room at its tightest place.
//!
//! Every eighth of a turn that keeps the screw heads apart is tried with the board as it is placed, and with its holes over the
//! middle of the frame's; and where the board cannot lie straight, the least turn that keeps them apart, to the left and to the right, unless
//! the board has an arrow: nobody sets up a gyro at 11°. Each is put into the craft and the rules of the dry fit are asked that look at where solids are; how leads lie is not
//! asked, since that takes longer and their length can be chosen. Best is what breaks least, then what leaves the board where it is, then the
//! greatest worst margin of what touches board and plate, then the least turn. If none of these keeps the heads apart the turn with most air between them is taken.
//!
//! Beside the best the best of each other plate is kept: what stands round it may be put otherwise too, and then another plate may serve.

use super::adapter_for_board::{Case, Way};
use super::adapter_plate::AdapterPlate;
use super::fault::PrintFault;
use super::printed::mm;
use super::ring::distance;
use craft::schema::PartKind;
use craft::{Anchor, Craft, Edit, PlaceId, apply};
use fit::PlanePoint;
use proof::rules::rule_of;
use proof::{Finding, OutlineStore, Proof, Verdict};
use quantity::{Degrees, Unit};
use std::cmp::Ordering;
use std::sync::Arc;

/// The rules that are asked of each way: those on where solids are.
const ASKED: [&str; 7] = [
    "fit.pair_clearance",
    "fit.pattern_match",
    "fit.adapter_heads",
    "fit.stack_height",
    "fit.plug_pull",
    "fit.service_access",
    "fit.carbon_short",
];
/// Turns that are tried.
const EIGHTHS: usize = 8;
/// Margins that differ by less count as the same, in mm: no print is as good as that.
const ALIKE: f64 = 0.05;

/// How far the board is moved aside where it is short as it lies, in mm.
const ASIDE: [f64; 2] = [1.5, 3.0];
/// The ways that are tried with the board moved aside: the best of those over the middle.
const MOVED_ASIDE: usize = 2;

/// The ways that were chosen, one to a plate, the best first; and why that one in words.
pub(super) struct Chosen {
    pub ways: Vec<Way>,
    pub why: Option<String>,
}

/// A way that was tried, with what the rules say of it.
struct Tried {
    way: Way,
    broken: usize,
    /// The worst margin in mm and what it is about.
    worst: Option<(f64, String)>,
}

impl Tried {
    /// Whether what touches board and plate has too little.
    fn is_short(&self) -> bool {
        self.worst.as_ref().is_some_and(|(margin, _)| *margin < 0.0)
    }
}

type Made = Result<Way, Vec<PrintFault>>;

/// Chooses among the ways a plate can be made; `make` makes one of a turn and of a middle of the board's holes.
pub(super) fn chosen(
    craft: &Craft,
    case: &Case,
    asked: Option<Degrees>,
    as_placed: Option<PlanePoint>,
    make: impl Fn(Option<Degrees>, Option<PlanePoint>) -> Made + Copy,
) -> Result<Chosen, Vec<PrintFault>> {
    if let Some(turn) = asked {
        let way = make(Some(turn), as_placed)?;
        return Ok(Chosen { ways: vec![way], why: None });
    }
    let middles: Vec<Option<PlanePoint>> = as_placed.map(Some).into_iter().chain([None]).collect();
    let mut ways: Vec<Way> = Vec::new();
    for middle in middles {
        for turn in turns(case, |turn| make(Some(turn), middle).is_ok()) {
            let Ok(way) = make(Some(turn), middle) else { continue };
            // Where the holes are over the middle as it is placed, both are the same.
            if middle.is_some() || as_placed.is_none() || way.is_moved {
                ways.push(way);
            }
        }
    }
    let outlines = Arc::default();
    let mut tried: Vec<Tried> =
        ways.into_iter().filter_map(|way| judged(craft, case, way, &outlines)).collect();
    tried.sort_by(order);
    if tried.first().is_some_and(Tried::is_short) {
        let aside = aside(&tried, make);
        tried.extend(aside.into_iter().filter_map(|way| judged(craft, case, way, &outlines)));
        tried.sort_by(order);
    }
    let Some(best) = tried.first() else {
        // None keeps the heads apart: as it is placed if it can be, else over the middle.
        let way = make(None, as_placed).or_else(|faults| make(None, None).map_err(|_| faults))?;
        return Ok(Chosen { ways: vec![way], why: None });
    };
    let others: Vec<&Tried> =
        tried[1..].iter().filter(|other| other.way.is_moved == best.way.is_moved).collect();
    let why = why(best, &others);
    let mut ways: Vec<Way> = Vec::new();
    for one in tried {
        if ways.iter().all(|known| !is_same_plate(&known.plate, &one.way.plate)) {
            ways.push(one.way);
        }
    }
    Ok(Chosen { ways, why })
}

/// The turns that are tried; `is_clear` says whether one keeps the screw heads apart.
fn turns(case: &Case, is_clear: impl Fn(Degrees) -> bool) -> Vec<Degrees> {
    let within = |turn: f64| Degrees::new(if turn > 180.0 { turn - 360.0 } else { turn });
    let mut turns: Vec<Degrees> =
        (0..EIGHTHS).map(|eighth| within(360.0 / EIGHTHS as f64 * eighth as f64)).collect();
    let has_arrow = matches!(case.board.part.kind, PartKind::FlightController | PartKind::IntegratedBoard);
    if has_arrow || is_clear(Degrees::new(0.0)) {
        return turns;
    }
    for side in [1.0, -1.0] {
        let least = (1..45).map(|turn| side * f64::from(turn)).find(|turn| is_clear(Degrees::new(*turn)));
        let quarters =
            |turn: f64| [0.0, 90.0, 180.0, 270.0].map(|quarter| within((turn + quarter).rem_euclid(360.0)));
        turns.extend(least.into_iter().flat_map(quarters));
    }
    turns
}

/// The best of these ways with the board some millimetres ahead, behind or beside: a plate need not hold it over the middle.
fn aside(tried: &[Tried], make: impl Fn(Option<Degrees>, Option<PlanePoint>) -> Made) -> Vec<Way> {
    let mut ways: Vec<Way> = Vec::new();
    for known in tried.iter().take(MOVED_ASIDE) {
        let (turn, at) = (known.way.plate.turn(), known.way.plate.board_middle());
        for by in ASIDE {
            for (x, y) in [(by, 0.0), (-by, 0.0), (0.0, by), (0.0, -by)] {
                let middle = PlanePoint::new(at.x + x, at.y + y);
                ways.extend(make(Some(turn), Some(middle)).ok());
            }
        }
    }
    ways
}

/// Whether two plates have the same holes: a board that lies on one in another of its quarters needs no other plate.
fn is_same_plate(a: &AdapterPlate, b: &AdapterPlate) -> bool {
    let near = |p: &PlanePoint| b.board_holes().iter().any(|q| distance(*p, *q) < 0.05);
    a.board_holes().iter().all(near)
}

fn judged(craft: &Craft, case: &Case, way: Way, outlines: &Arc<OutlineStore>) -> Option<Tried> {
    let mut edits = vec![
        Edit::AddPartWhole { part: way.part.clone() },
        Edit::AddPlace {
            id: Some(way.place.clone()),
            part: way.part.id.clone(),
            on: Some(case.onto.to_string()),
        },
    ];
    edits.extend(way.edits.iter().cloned());
    let after = apply(craft, &Edit::Together { what: "an adapter".to_owned(), edits }).ok()?;
    let proof = Proof::with_outlines(&after, Arc::clone(outlines));
    let rules = ASKED.iter().filter_map(|id| rule_of(id));
    let findings: Vec<Finding> = rules.flat_map(|rule| (rule.run)(&proof).findings).collect();
    let broken = findings.iter().filter(|finding| finding.verdict == Verdict::Broken).count();
    let mine = concerned(&after, &case.board.place.id, &way.place);
    let of_mine = findings.iter().filter(|finding| finding.places.iter().any(|place| mine.contains(place)));
    let margins = of_mine.filter_map(|finding| {
        let margin = finding.margin?.quantity;
        (margin.unit == Unit::Millimetres).then(|| (margin.value, finding.subject.clone()))
    });
    let worst = margins.min_by(|a, b| a.0.total_cmp(&b.0));
    Some(Tried { way, broken, worst })
}

/// The board, the plate, and all that stands on them.
fn concerned(craft: &Craft, board: &PlaceId, plate: &PlaceId) -> Vec<PlaceId> {
    let mut mine = vec![board.clone(), plate.clone()];
    loop {
        let stands = |place: &&craft::Place| {
            let under = place.on.as_ref().and_then(Anchor::place);
            under.is_some_and(|under| mine.contains(under)) && !mine.contains(&place.id)
        };
        let more: Vec<PlaceId> = craft.places.iter().filter(stands).map(|place| place.id.clone()).collect();
        if more.is_empty() {
            return mine;
        }
        mine.extend(more);
    }
}

fn order(a: &Tried, b: &Tried) -> Ordering {
    let margin = |tried: &Tried| {
        let worst = tried.worst.as_ref().map_or(f64::INFINITY, |(margin, _)| *margin);
        (worst / ALIKE).floor()
    };
    let turn = |tried: &Tried| tried.way.plate.turn().get();
    (a.broken.cmp(&b.broken))
        .then(a.way.is_moved.cmp(&b.way.is_moved))
        .then(margin(b).total_cmp(&margin(a)))
        .then(turn(a).abs().total_cmp(&turn(b).abs()))
        .then(turn(b).total_cmp(&turn(a)))
}

/// Why this one: its worst margin, and what the next ones come to.
fn why(best: &Tried, others: &[&Tried]) -> Option<String> {
    let turn = |tried: &Tried| format!("{}°", tried.way.plate.turn().get());
    let (margin, about) = best.worst.as_ref()?;
    let count = others.len() + 1;
    let mut said = match count {
        1 => format!("Of the turns tried only {} keeps the screw heads apart", turn(best)),
        _ => format!("Of {count} ways to lie that keep the screw heads apart {} is the best", turn(best)),
    };
    said += &format!(": the tightest place, {about}, has {}", spare(*margin));
    let next = others.first().and_then(|other| Some((other, other.worst.as_ref()?)));
    if let Some((other, (margin, about))) = next {
        said += &match other.broken - best.broken {
            0 => format!("; next comes {} with {} ({about})", turn(other), spare(*margin)),
            1 => format!("; next comes {}, where one thing more is broken", turn(other)),
            more => format!("; next comes {}, where {more} things more are broken", turn(other)),
        };
    }
    said += ". How the leads lie was not asked.";
    if *margin < 0.0 {
        said += " No turn is clear here: look at the findings once it is put on, and think of another seat.";
    }
    Some(said)
}

fn spare(margin: f64) -> String {
    match margin < 0.0 {
        true => format!("{} too little", mm(-margin)),
        false => format!("{} to spare", mm(margin)),
    }
}
