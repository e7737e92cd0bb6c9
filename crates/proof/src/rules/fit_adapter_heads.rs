//! Do the screw heads on an adapter plate keep clear of each other?

use crate::inputs::{head_of, pattern_holes};
use crate::limits::HEAD_GAP;
use crate::numbers::mm;
use crate::rule::rule;
use crate::standing::standing;
use crate::working::Lines;
use crate::{Answer, Finding, Placed, Proof, Verdict};
use craft::schema::{PartKind, shape};
use craft::{Item, Missing};
use fit::{HolePattern, MountHole, PlanePoint, best_head_turn, head_gap};
use quantity::{Degrees, FigureId, Linear, Millimetres, Unit};

rule! {
    /// Do the screw heads on an adapter plate keep clear of each other?
    ///
    /// ## Why
    /// An adapter carries two patterns on one small plate. Where a head of one meets a head of the other, the second
    /// screw never seats.
    ///
    /// ## Sound when
    /// The rims of the two nearest heads keep 0.5 mm of air. Under 0.5 mm it is tight, overlapping it is broken.
    ///
    /// ## Rests on
    /// Both patterns of the adapter and the heads of their screws; the largest usual head where none is given. Common
    /// practice: (p₂ − p₁)/2·√2 against both head radii and 0.5 mm.
    ///
    /// ## Mend
    /// Turn the inner pattern 45°, or use countersunk screws.
    ADAPTER_HEADS = "fit.adapter_heads", run
}

fn run(proof: &Proof) -> Answer {
    let mut answer = Answer::default();
    for placed in proof.places_of(PartKind::Adapter) {
        let rows: Vec<Item> = placed.part.rows(&shape::pattern::TABLE).collect();
        for (number, first) in rows.iter().enumerate() {
            for second in &rows[number + 1..] {
                one(proof, placed, first, second, &mut answer);
            }
        }
    }
    answer
}

struct Side {
    holes: HolePattern,
    head: Millimetres,
    pitch: Option<Linear>,
}

fn side(proof: &Proof, row: &Item<'_>) -> Result<Side, Missing> {
    let diameter = row.read(&shape::pattern::HOLE)?.value;
    let head = row.text(&shape::pattern::SCREW).ok().and_then(|thread| head_of(thread, None));
    let head = head.ok_or_else(|| row.missing(&shape::pattern::SCREW.def))?;
    let middle = |field| row.read(field).map_or(0.0, |at: craft::Reading<Millimetres>| at.value.get());
    let (x, y) = (middle(&shape::X), middle(&shape::Y));
    let points = pattern_holes(row).ok_or_else(|| row.missing(&shape::pattern::PITCH.def))?;
    let holes = points
        .into_iter()
        .map(|[u, v]| MountHole { at: PlanePoint::new(x + u, y + v), slot_to: None, diameter })
        .collect();
    let pitch = row
        .read(&shape::pattern::PITCH)
        .ok()
        .map(|pitch| Linear { value: pitch.value.get(), slopes: vec![(proof.enter(&pitch), 1.0)] });
    Ok(Side { holes: HolePattern { holes }, head: head.diameter, pitch })
}

fn one(proof: &Proof, placed: Placed, first: &Item<'_>, second: &Item<'_>, answer: &mut Answer) {
    let name = |row: &Item<'_>| row.name().unwrap_or("pattern").to_owned();
    let subject = format!("{} and {} on {}", name(first), name(second), placed.part.name);
    let (a, b) = match (side(proof, first), side(proof, second)) {
        (Ok(a), Ok(b)) => (a, b),
        (a, b) => {
            let missing = a.err().into_iter().chain(b.err()).collect();
            answer
                .findings
                .push(Finding::unknown(ADAPTER_HEADS.id, subject, missing).at([placed.place.id.clone()]));
            return;
        }
    };
    let Some(gap) = head_gap(&a.holes, &b.holes, a.head, b.head, Degrees::new(0.0)) else { return };
    let mut room = Linear::exact(gap.gap.get());
    if let (Some(p), Some(q)) = (&a.pitch, &b.pitch) {
        let share = if p.value < q.value { -1.0 } else { 1.0 } / std::f64::consts::SQRT_2;
        room =
            &room + &Linear { value: 0.0, slopes: p.slopes.iter().map(|(f, s)| (*f, s * share)).collect() };
        room =
            &room + &Linear { value: 0.0, slopes: q.slopes.iter().map(|(f, s)| (*f, -s * share)).collect() };
    }
    let judged = standing(proof, &room, &HEAD_GAP);
    let verdict = judged.verdict;
    let message = if gap.gap.get() < 0.0 {
        format!("Screw heads meet on this adapter: they overlap by {}", mm(-gap.gap.get()))
    } else {
        format!("Screw heads on this adapter keep {} of air", mm(gap.gap.get()))
    };
    let id = format!("fit.head_gap[{subject}]");
    answer.figures.push(
        Lines::of(proof)
            .given("head of the first screw", a.head.get(), Unit::Millimetres, fit::HEAD_SOURCE.line())
            .given("head of the second screw", b.head.get(), Unit::Millimetres, fit::HEAD_SOURCE.line())
            .facts(&room)
            .figure(
                id.clone(),
                "air between the screw heads of an adapter",
                (&room, Unit::Millimetres),
                "distance of the two nearest holes - both head radii",
                HEAD_GAP.source,
            ),
    );
    let mut finding = judged.finding(ADAPTER_HEADS.id, subject, message);
    if verdict != Verdict::Sound {
        match best_head_turn(&a.holes, &b.holes, a.head, b.head) {
            Some(best) if best.gap.get() >= HEAD_GAP.tight => {
                finding = finding.mend(format!(
                    "Turn {} by {:.0}°: then {} are clear.",
                    name(first),
                    best.turn.get(),
                    mm(best.gap.get())
                ));
            }
            _ => finding = finding.mend("Use countersunk screws in one of the patterns."),
        }
    }
    finding.figure = Some(FigureId(id.into()));
    answer.findings.push(finding.at([placed.place.id.clone()]));
}
