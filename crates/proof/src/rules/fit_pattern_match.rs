//! Do each board's holes meet the holes it is seated on?

use crate::limits::FLOAT_USED_TIGHT;
use crate::numbers::{listed, mm};
use crate::rule::rule;
use crate::standing::{Standing, standing_of, standing_of_all};
use crate::subject::hole_match::{Known, Seen, float_left, known, screw};
use crate::working::Lines;
use crate::{Answer, Finding, Placed, Proof, Verdict};
use craft::schema::{PartKind, place as place_schema, shape};
use craft::{Anchor, Item, Part};
use fit::{Meeting, Thread, meet};
use quantity::{Degrees, FigureId, Grade, Linear, Millimetres, Source, Unit};

rule! {
    /// Do each board's holes meet the holes it is seated on?
    ///
    /// ## Why
    /// Some makers drill 25 or 26 mm where the trade says 25.5. The board lies down, two screws go in and the third
    /// does not; forced, it cracks a trace.
    ///
    /// ## Sound when
    /// Where the board is placed, at its turn and side, every screw passes through both holes, the worst using at most 80 % of
    /// its float, with 95 % certainty. Tight beyond 80 %, broken when a screw does not pass.
    ///
    /// ## Rests on
    /// Both hole patterns and hole diameters with their doubt, and the screw. Holes of a square move together with its pitch;
    /// holes listed one by one are each off on their own. The float of a hole is half of what it is
    /// wider than the screw (floating fastener, ASME Y14.5); the clearance holes of ISO 273 are the usual ones.
    ///
    /// ## Mend
    /// Turn or flip the board as said, seat it on a pattern it fits, take an adapter, or open the holes.
    PATTERN_MATCH = "fit.pattern_match", run
}

const SOURCE: Source = Source {
    title: "ASME Y14.5, fixed and floating fastener formulas",
    place: "float of a clearance hole, H = F + T",
    grade: Grade::Memory,
};

fn run(proof: &Proof) -> Answer {
    let mut answer = Answer::default();
    for placed in proof.placed() {
        let is_board = matches!(
            placed.part.kind,
            PartKind::FlightController
                | PartKind::SpeedController
                | PartKind::IntegratedBoard
                | PartKind::VideoTransmitter
                | PartKind::Adapter
        );
        let Some((holder, feature)) = is_board.then(|| seat_of(proof, placed)).flatten() else { continue };
        let Some(target) = holder.part.row_named(&shape::pattern::TABLE, feature) else { continue };
        one(proof, placed, holder, &target, &mut answer);
    }
    answer
}

/// The feature a board is seated on, by its spacers if it is seated on these.
fn seat_of<'a>(proof: &Proof<'a>, placed: Placed<'a>) -> Option<(Placed<'a>, &'a str)> {
    let mut on = placed.place.on.as_ref()?;
    if let Anchor::Place(under) = on {
        let under = proof.placed_at(under)?;
        if !matches!(under.part.kind, PartKind::Spacer | PartKind::SoftMount) {
            return None;
        }
        on = under.place.on.as_ref()?;
    }
    let Anchor::Feature(holder, feature) = on else { return None };
    Some((proof.placed_at(holder)?, feature))
}

fn one(proof: &Proof, placed: Placed, holder: Placed, target: &Item<'_>, answer: &mut Answer) {
    let part = placed.part;
    let subject = format!("{} on {} of {}", part.name, target.name().unwrap_or("pattern"), holder.part.name);
    let places = [placed.place.id.clone(), holder.place.id.clone()];
    let own: Vec<Item> = part.rows(&shape::pattern::TABLE).collect();
    if own.is_empty() {
        let missing = part.item().missing(&shape::pattern::PITCH.def);
        answer.findings.push(Finding::unknown(PATTERN_MATCH.id, subject, vec![missing]).at(places));
        return;
    }
    let under = match known(proof, target, Seen::FromSeat) {
        Ok(under) => under,
        Err(missing) => {
            answer.findings.push(Finding::unknown(PATTERN_MATCH.id, subject, missing).at(places));
            return;
        }
    };
    let mut best: Option<(Tried, Known)> = None;
    let mut lacking = Vec::new();
    for row in &own {
        let Some(thread) = screw(proof, placed, [row, target]) else {
            lacking.push(target.missing(&shape::pattern::SCREW.def));
            continue;
        };
        match known(proof, row, Seen::FromOrigin) {
            Ok(board) => {
                let tried = try_on(placed, &board, &under, thread);
                if best.as_ref().is_none_or(|(old, _)| tried.rank() > old.rank()) {
                    best = Some((tried, board));
                }
            }
            Err(missing) => lacking.extend(missing),
        }
    }
    let Some((tried, board)) = best else {
        answer.findings.push(Finding::unknown(PATTERN_MATCH.id, subject, lacking).at(places));
        return;
    };
    let finding = match &tried.as_seated {
        Some(meeting) if meeting.fits() && tried.beside > SHIFT_SLACK => {
            misplaced(&subject, meeting, tried.beside)
        }
        Some(meeting) => seated(proof, &subject, meeting, &board, &under, tried.thread, answer),
        None => unmet(proof, placed, &subject, &tried, &board, &under),
    };
    answer.findings.push(finding.at(places));
}

struct Tried {
    thread: Thread,
    /// The meeting at the turn and side the board is seated, nearest to where it is placed.
    as_seated: Option<Meeting>,
    /// How far from there it is placed, in mm.
    beside: f64,
    /// Other ways in which every screw passes.
    otherwise: Vec<Meeting>,
}

impl Tried {
    fn rank(&self) -> (bool, bool, bool) {
        let fits = self.as_seated.as_ref().is_some_and(Meeting::fits);
        (fits, self.as_seated.is_some(), !self.otherwise.is_empty())
    }
}

/// How far the seated turn may be off a meeting's own and still be called that one.
const TURN_SLACK: f64 = 3.0;

fn try_on(placed: Placed, board: &Known, under: &Known, thread: Thread) -> Tried {
    let item = placed.place.item();
    let flipped = item.flag(&place_schema::FLIPPED).unwrap_or(false);
    let yaw = item.read::<Degrees>(&place_schema::YAW).map_or(0.0, |yaw| yaw.value.get());
    let least = board.holes.holes.len().min(under.holes.holes.len()).min(4);
    let meetings = meet(&board.holes, &under.holes, thread.diameter).unwrap_or_default();
    let whole: Vec<Meeting> = meetings.into_iter().filter(|m| m.matched.len() >= least.max(2)).collect();
    let at_turn = |m: &&Meeting| m.flipped == flipped && turn_between(m.turn.get(), yaw) <= TURN_SLACK;
    let along = |field| item.read::<Millimetres>(field).map_or(0.0, |at| at.value.get());
    let (x, y) = (along(&place_schema::X), along(&place_schema::Y));
    let beside = |m: &Meeting| (m.shift.x - x).hypot(m.shift.y - y);
    let as_seated = whole
        .iter()
        .filter(at_turn)
        .min_by(|a, b| b.fits().cmp(&a.fits()).then(beside(a).total_cmp(&beside(b))))
        .cloned();
    let beside = as_seated.as_ref().map_or(0.0, beside);
    Tried { thread, as_seated, beside, otherwise: whole.into_iter().filter(Meeting::fits).collect() }
}

/// How far a board may be placed beside where its holes meet, in mm: more is no matter of doubt.
const SHIFT_SLACK: f64 = 0.5;

/// The holes would meet, but not where the board is placed: every clearance is judged in the wrong place.
fn misplaced(subject: &str, meeting: &Meeting, beside: f64) -> Finding {
    let message = format!("As placed the holes miss by {}, though they would meet", mm(beside));
    let at = |value: f64| mm((value * 100.0).round() / 100.0);
    Finding::new(PATTERN_MATCH.id, Verdict::Broken, subject, message)
        .margin(Millimetres::new(SHIFT_SLACK - beside), None)
        .mend(format!(
            "Place it at x = {}, y = {}: there every screw passes.",
            at(meeting.shift.x),
            at(meeting.shift.y)
        ))
}

fn turn_between(a: f64, b: f64) -> f64 {
    let d = (a - b).rem_euclid(360.0);
    d.min(360.0 - d)
}

/// The board lies with its holes over the frame's: how much float is left, and how sure that is.
fn seated(
    proof: &Proof,
    subject: &str,
    meeting: &Meeting,
    board: &Known,
    under: &Known,
    thread: Thread,
    answer: &mut Answer,
) -> Finding {
    let lines = float_left(meeting, board, under);
    let left = lines.first().cloned().unwrap_or_else(|| Linear::exact(meeting.float_left.get()));
    let judged = standing_of_all(proof, &lines, 0.0, Unit::Millimetres)
        .unwrap_or_else(|| standing_of(proof, &left, 0.0, Unit::Millimetres));
    let used = meeting.float_used() * 100.0;
    let verdict = match judged.verdict {
        Verdict::Sound if used > FLOAT_USED_TIGHT => Verdict::Tight,
        verdict => verdict,
    };
    let (name, float) = (thread.name, meeting.float.get());
    let message = if meeting.fits() {
        let count = meeting.matched.len();
        let worst = format!("the worst uses {used:.0} % of its float of {}", mm(float));
        if verdict == Verdict::Broken {
            format!(
                "As drawn {name} screws pass at all {count} holes; {worst}, and the holes may well be off by more"
            )
        } else {
            format!("{name} screws pass at all {count} holes; {worst}")
        }
    } else {
        format!(
            "{} on {}: at the worst hole the two miss by {}, the float of {name} is only {}",
            board.words,
            under.words,
            mm(meeting.misfit.get()),
            mm(float)
        )
    };
    let id = format!("fit.float_left[{subject}]");
    answer.figures.push(
        Lines::of(proof)
            .given("screw diameter d", thread.diameter.get(), Unit::Millimetres, fit::THREAD_SOURCE.line())
            .given(
                "how far the worst two holes are apart",
                meeting.misfit.get(),
                Unit::Millimetres,
                "both patterns, best shift",
            )
            .facts(&left)
            .figure(
                id.clone(),
                "float left at the worst hole",
                (&left, Unit::Millimetres),
                "(D_board - d)/2 + (D_frame - d)/2 - misfit",
                SOURCE,
            ),
    );
    let standing = Standing { verdict, ..judged };
    let advice = standing.advice.clone();
    let mut finding = standing.finding(PATTERN_MATCH.id, subject, message);
    if verdict != Verdict::Sound {
        if let Some(advice) = advice.next {
            finding = finding.mend(format!("Measure the {} first: it decides.", advice.label));
        }
        let open = (2.0 * (meeting.misfit.get() - float)).max(0.0) + 0.3;
        finding = finding.mend(format!("Open the board's holes by {}, or put grommets in them.", mm(open)));
    }
    finding.figure = Some(FigureId(id.into()));
    finding
}

/// The holes do not meet as seated: say which other way they would, or what adapter it takes.
fn unmet(
    proof: &Proof,
    placed: Placed,
    subject: &str,
    tried: &Tried,
    board: &Known,
    under: &Known,
) -> Finding {
    let message = format!("{} do not meet {} as seated", board.as_holes(), under.words);
    let mut finding = Finding::new(PATTERN_MATCH.id, Verdict::Broken, subject, message);
    let item = placed.place.item();
    let yaw = item.read::<Degrees>(&place_schema::YAW).map_or(0.0, |yaw| yaw.value.get());
    if let Some(other) = tried.otherwise.iter().min_by(|a, b| {
        a.flipped
            .cmp(&b.flipped)
            .then(turn_between(a.turn.get(), yaw).total_cmp(&turn_between(b.turn.get(), yaw)))
    }) {
        let side = if other.flipped { ", flipped" } else { "" };
        return finding
            .mend(format!("Turn the board to {:.0}°{side}: there every screw passes.", other.turn.get()));
    }
    let fitting: Vec<String> = proof
        .placed()
        .filter(|holder| {
            // An adapter that lies there already is held by one of its patterns itself.
            matches!(holder.part.kind, PartKind::Frame | PartKind::PrintedPart)
        })
        .flat_map(|holder| {
            let part = holder.part;
            part.rows(&shape::pattern::TABLE).filter_map(move |row| {
                let holes = known(proof, &row, Seen::FromSeat).ok()?;
                let meets = holder.place.id != placed.place.id
                    && meet(&board.holes, &holes.holes, tried.thread.diameter)
                        .ok()?
                        .iter()
                        .any(|m| m.fits() && m.matched.len() >= board.holes.holes.len().min(4));
                meets.then(|| format!("{}/{}", holder.place.id, row.name().unwrap_or("pattern")))
            })
        })
        .collect();
    if !fitting.is_empty() {
        finding = finding.mend(format!("Seat it on {}: that pattern fits.", listed(&fitting)));
    }
    let adapters: Vec<&str> = proof
        .craft
        .parts
        .iter()
        .filter(|part| part.kind == PartKind::Adapter && adapts(proof, part, board, under, tried.thread))
        .map(|part| part.name.as_str())
        .collect();
    match adapters.as_slice() {
        [] => finding.mend(format!("Put an adapter plate from {} to {} between.", board.words, under.words)),
        found => finding.mend(format!("Put {} between.", listed(found))),
    }
}

/// Whether an adapter carries a pattern for the board and one for what lies under it.
fn adapts(proof: &Proof, adapter: &Part, board: &Known, under: &Known, thread: Thread) -> bool {
    let patterns: Vec<(Known, Thread)> = adapter
        .rows(&shape::pattern::TABLE)
        .filter_map(|row| {
            let own = row.text(&shape::pattern::SCREW).ok().and_then(Thread::named);
            Some((known(proof, &row, Seen::FromSeat).ok()?, own.unwrap_or(thread)))
        })
        .collect();
    let serves = |wanted: &Known| {
        patterns.iter().any(|(pattern, thread)| {
            meet(&wanted.holes, &pattern.holes, thread.diameter)
                .is_ok_and(|all| all.iter().any(|m| m.fits() && m.matched.len() >= 3))
        })
    };
    serves(board) && serves(under)
}

#[cfg(test)]
#[path = "fit_pattern_match_tests.rs"]
mod tests;
