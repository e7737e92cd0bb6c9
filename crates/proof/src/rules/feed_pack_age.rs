//! Has the pack's resistance stayed near that of when it was new?

use crate::numbers::rounded;
use crate::rule::rule;
use crate::standing::standing;
use crate::supply_limits::PACK_AGE;
use crate::working::Lines;
use crate::{Answer, Placed, Proof, Verdict};
use craft::Reading;
use craft::schema::{PartKind, drive};
use quantity::{FigureId, Linear, Milliohms, Unit};

rule! {
    /// Has the pack's resistance stayed near that of when it was new?
    ///
    /// ## Why
    /// Resistance is how a pack ages: what has doubled sags twice as deep and warms twice as much at the same current. One bad cell is enough.
    ///
    /// ## Sound when
    /// The worst cell has at most 1.5 times the resistance first measured; over twice it is broken. Asked of packs of which both are entered.
    ///
    /// ## Rests on
    /// The cells one by one, or the resistance of a cell now and when new. Measure alike each time: full, warm, by the same meter.
    ///
    /// ## Mend
    /// Retire it from racing; then from flying.
    PACK_IS_YOUNG = "feed.pack_age", run
}

fn run(proof: &Proof) -> Answer {
    let Some(pack) = proof.places_of(PartKind::Pack).next() else { return Answer::default() };
    let pairs = pairs(pack);
    let worst = pairs.iter().max_by(|a, b| {
        let ratio = |(_, now, new): &(usize, Reading<Milliohms>, Reading<Milliohms>)| {
            now.value.get() / new.value.get()
        };
        ratio(a).total_cmp(&ratio(b))
    });
    let Some((number, now, new)) = worst else { return Answer::default() };
    let (now, new) = (proof.lean(now), proof.lean(new));
    let ratio = now.value / new.value;
    let result = Linear::chained(ratio, &[(1.0 / new.value, &now), (-ratio / new.value, &new)]);
    let judged = standing(proof, &result, &PACK_AGE);
    let which = if pairs.len() > 1 { format!("cell {number}") } else { "a cell".to_owned() };
    let [before, after, times] = [rounded(new.value, 1), rounded(now.value, 1), rounded(ratio, 1)];
    // What is only typical lies on one side of its usual value more often than on the other: then as entered it is too much, and still it
    // more likely holds. A margin with a sign would say the contrary of the certainty beside it.
    let split = judged.margin.quantity.value < 0.0 && judged.verdict != Verdict::Broken;
    let message = match judged.verdict {
        Verdict::Tight if split => format!(
            "As entered the resistance of {which} rose from {before} to {after} mΩ, {times} times; yet what it was when new is known so roughly that it may be less"
        ),
        Verdict::Sound => {
            format!("The resistance of {which} went from {before} to {after} mΩ, {times} times")
        }
        _ => format!(
            "The resistance of {which} rose from {before} to {after} mΩ, {times} times: it sags deeper and warms more"
        ),
    };
    let verdict = judged.verdict;
    let mut finding =
        judged.finding(PACK_IS_YOUNG.id, pack.part.name.clone(), message).at([pack.place.id.clone()]);
    if split {
        finding.margin = None;
        finding = finding
            .mend("Enter what was measured when it was new, and measure it now: same meter, full, warm.");
    }
    if verdict != Verdict::Sound {
        finding = finding.mend(match verdict {
            Verdict::Broken => "Retire this pack: discharge it, take it to a collection point.",
            _ => "Retire it from racing, and land it with more charge.",
        });
    }
    finding.figure = Some(FigureId("feed.pack_age".into()));
    let figure = Lines::of(proof)
        .result("resistance now", &now, Unit::Milliohms, "worst cell")
        .result("resistance when new", &new, Unit::Milliohms, "the same cell")
        .figure(
            "feed.pack_age",
            "resistance over that when new",
            (&result, Unit::Ratio),
            "resistance now / when new",
            PACK_AGE.source,
        );
    Answer { findings: vec![finding], figures: vec![figure] }
}

/// Each cell of which both are known, by number from 1.
fn pairs(pack: Placed) -> Vec<(usize, Reading<Milliohms>, Reading<Milliohms>)> {
    let item = pack.part.item();
    let all = item.read(&drive::RESISTANCE_NEW).ok();
    let rows = pack.part.rows(&drive::cell::TABLE).enumerate().filter_map(|(k, row)| {
        let new = row.read(&drive::cell::NEW).ok().or_else(|| all.clone())?;
        Some((k + 1, row.read(&drive::cell::NOW).ok()?, new))
    });
    let rows: Vec<_> = rows.collect();
    if !rows.is_empty() {
        return rows;
    }
    match (item.read(&drive::CELL_RESISTANCE), all) {
        (Ok(now), Some(new)) => vec![(1, now, new)],
        _ => Vec::new(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::testing_supply::{check, is_sound, set};
    use expect_test::expect;

    #[test]
    fn a_pack_as_good_as_new_is_sound() {
        is_sound(&PACK_IS_YOUNG);
    }

    #[test]
    fn a_pack_that_rose_by_three_quarters_is_tight() {
        check(
            &PACK_IS_YOUNG,
            |craft| set(craft, "pack.resistance_new", "4 mΩ, measured"),
            expect![[r#"
            tight · 650 pack · 0.25 · 96 %
              The resistance of a cell rose from 4 to 7 mΩ, 1.8 times: it sags deeper and warms more
              > Retire it from racing, and land it with more charge.
        "#]],
        );
    }

    #[test]
    fn a_pack_that_more_than_doubled_is_broken() {
        check(
            &PACK_IS_YOUNG,
            |craft| set(craft, "pack.resistance_new", "3 mΩ, measured"),
            expect![[r#"
            broken · 650 pack · -0.333 · 4 %
              The resistance of a cell rose from 3 to 7 mΩ, 2.3 times: it sags deeper and warms more
              > Retire this pack: discharge it, take it to a collection point.
        "#]],
        );
    }

    #[test]
    fn where_it_was_when_new_is_but_typical_no_margin_contradicts_the_certainty() {
        check(
            &PACK_IS_YOUNG,
            |craft| set(craft, "pack.resistance_new", "3.2 mΩ"),
            expect![[r#"
            tight · 650 pack · 65 %
              As entered the resistance of a cell rose from 3.2 to 7 mΩ, 2.2 times; yet what it was when new is known so roughly that it may be less
              > Enter what was measured when it was new, and measure it now: same meter, full, warm.
              > Retire it from racing, and land it with more charge.
              ? resistance of a cell when new of "650 pack"
        "#]],
        );
    }

    #[test]
    fn of_a_pack_never_measured_when_new_nothing_is_said() {
        check(&PACK_IS_YOUNG, |craft| set(craft, "pack.resistance_new", ""), expect![[r#""#]]);
    }
}
