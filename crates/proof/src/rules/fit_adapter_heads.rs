//! Do the screw heads on an adapter plate keep clear of each other?

use crate::inputs::{head_of, pattern_holes};
use crate::limits::HEAD_GAP;
use crate::numbers::mm;
use crate::rule::rule;
use crate::standing::standing;
use crate::working::Lines;
use crate::{Answer, Finding, Placed, Proof, Verdict};
use craft::schema::{PartKind, fixing, shape};
use craft::{Anchor, Item, Missing};
use fit::{HolePattern, MountHole, PlanePoint, Thread, best_head_turn, head_gap};
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
    /// Both patterns of the adapter and the heads of the screws placed in them; the largest usual head where none is.
    /// A countersunk or flat head lies level, and another may lie over its rim: it counts by its thread alone. Common
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

fn side(proof: &Proof, placed: Placed, row: &Item<'_>) -> Result<Side, Missing> {
    let diameter = row.read(&shape::pattern::HOLE)?.value;
    let usual =
        || row.text(&shape::pattern::SCREW).ok().and_then(|thread| Some(head_of(thread, None)?.diameter));
    let head = placed_head(proof, placed, row).or_else(usual);
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
    Ok(Side { holes: HolePattern { holes }, head, pitch })
}

/// The head of the screws that are placed in a pattern of the adapter: on the pattern itself, or with the
/// adapter on the seat it is screwed to.
fn placed_head(proof: &Proof, placed: Placed, row: &Item<'_>) -> Option<Millimetres> {
    let own = Anchor::Feature(placed.place.id.clone(), row.name()?.to_owned());
    let wanted = row.text(&shape::pattern::SCREW).ok();
    let through = placed.place.on.as_ref().filter(|on| **on != Anchor::Body);
    let with_it = through.into_iter().flat_map(|on| proof.seated_on(on));
    let with_it =
        with_it.filter(|other| wanted.is_some() && other.part.item().text(&fixing::THREAD).ok() == wanted);
    let screw = proof.seated_on(&own).chain(with_it).find(|other| other.part.kind == PartKind::Screw)?;
    let item = screw.part.item();
    let (thread, form) = (item.text(&fixing::THREAD).ok()?, item.text(&fixing::HEAD).ok());
    if matches!(form, Some("countersunk" | "flat")) {
        return Thread::named(thread).map(|thread| thread.diameter);
    }
    let given = item.read(&fixing::HEAD_DIAMETER).ok().map(|diameter| diameter.value);
    given.or_else(|| Some(head_of(thread, form)?.diameter))
}

fn one(proof: &Proof, placed: Placed, first: &Item<'_>, second: &Item<'_>, answer: &mut Answer) {
    let name = |row: &Item<'_>| row.name().unwrap_or("pattern").to_owned();
    let subject = format!("{} and {} on {}", name(first), name(second), placed.part.name);
    let (a, b) = match (side(proof, placed, first), side(proof, placed, second)) {
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

#[cfg(test)]
mod tests {
    use super::ADAPTER_HEADS;
    use crate::testing::{part, place, set};
    use crate::testing_stack::{bay_is_sound, bay_told, bay_told_of};
    use craft::Craft;
    use craft::schema::PartKind;
    use expect_test::{Expect, expect};

    fn check(spoil: impl FnOnce(&mut Craft), expected: Expect) {
        expected.assert_eq(&bay_told(&ADAPTER_HEADS, spoil));
    }

    #[test]
    fn an_adapter_whose_heads_keep_clear_is_sound() {
        bay_is_sound(&ADAPTER_HEADS);
        // Corners (30.5 - 20)/2·√2 = 7.425 mm apart, heads of 5.7 and 3.8 mm: 7.425 - 4.75 = 2.675 mm.
        expect![[r#"
            sound · outer and inner on adapter plate · 2.675 mm · 100 %
              Screw heads on this adapter keep 2.7 mm of air
        "#]]
        .assert_eq(&bay_told_of(&ADAPTER_HEADS, "", |_| {}));
    }

    #[test]
    fn heads_that_nearly_meet_are_tight_and_turned() {
        // 25.5 and 20 mm: 3.889 mm apart, two M2 heads of 3.8 mm: 0.089 mm of air, doubt 0.1·√2/2 from each pitch.
        check(
            |craft| {
                set(craft, "adapter.pattern[0].pitch", "25.5 mm, measured");
                set(craft, "adapter.pattern[0].screw", "M2");
            },
            expect![[r#"
                tight · outer and inner on adapter plate · 0.089 mm · 93 %
                  Screw heads on this adapter keep 0.09 mm of air
                  > Turn outer by 45°: then 9 mm are clear.
                  ? No measurement would settle this: what it rests on is known as well as one can measure, and the verdict is 93 % certain.
            "#]],
        );
    }

    #[test]
    fn heads_that_overlap_are_broken() {
        // 25.5 and 20 mm with M3 and M2: 3.889 - 4.75 = -0.861 mm.
        check(
            |craft| set(craft, "adapter.pattern[0].pitch", "25.5 mm, measured"),
            expect![[r#"
            broken · outer and inner on adapter plate · -0.861 mm · 0 %
              Screw heads meet on this adapter: they overlap by 0.86 mm
              > Turn outer by 45°: then 8.1 mm are clear.
        "#]],
        );
    }

    #[test]
    fn countersunk_screws_in_one_pattern_mend_it() {
        // The inner M2 screws lie level and count by their thread: 3.889 - (3.8 + 2)/2 = 0.989 mm.
        let spoil = |craft: &mut Craft| {
            set(craft, "adapter.pattern[0].pitch", "25.5 mm, measured");
            set(craft, "adapter.pattern[0].screw", "M2");
            part(
                craft,
                PartKind::Screw,
                "flush",
                "M2×6 flush",
                &[("thread", "M2"), ("length", "6 mm"), ("head", "countersunk")],
            );
            place(craft, "flush", "flush", "adapter/inner", &[("count", "4")]);
        };
        check(spoil, expect![[""]]);
    }

    #[test]
    fn a_pattern_without_a_screw_is_unknown() {
        check(
            |craft| set(craft, "adapter.pattern[1].screw", ""),
            expect![[r#"
            unknown · outer and inner on adapter plate
              Nobody can say yet: the screw of hole pattern "inner" of "adapter plate" is not known
              > Measure or look up the screw of hole pattern "inner" of "adapter plate".
        "#]],
        );
    }
}
