//! Does the video mode suit the distance that is planned?

use crate::limits::MARGIN_AT_PLAN;
use crate::link::{Link, LinkModel};
use crate::numbers::listed;
use crate::rule::rule;
use crate::standing::standing_of;
use crate::subject::{LinkPlan, db, lacking, metres, stationed};
use crate::working::Lines;
use crate::{Answer, Finding, Proof, Verdict};
use craft::Item;
use craft::schema::ground;
use quantity::{Dbm, FigureId, Linear, Unit};
use radio::{MODE_SOURCE, noise_floor};

rule! {
    /// Does the video mode suit the distance that is planned?
    ///
    /// ## Why
    /// A mode with more detail needs more signal: 3 dB more, and the picture that holds to 300 m holds to 200. A narrow or
    /// robust one gives that back for nothing but detail.
    ///
    /// ## Sound when
    /// In the mode that is set nine tenths of all headings and fades at the farthest planned point leave 0 dB or more. Less is
    /// broken where another mode of the receiver would hold; where none would, the margin is told of and nothing here.
    ///
    /// ## Rests on
    /// The thresholds on the receiver's sheet and the margin at the farthest planned point, with its doubt. What a mode's
    /// width costs or saves neighbours on other channels is not asked: that is a matter of all pilots in the air.
    ///
    /// ## Mend
    /// Set the mode that needs less. What it gives is the difference of the two thresholds.
    MODE_SUITS = "link.mode_for_site", run
}

fn run(proof: &Proof) -> Answer {
    let Some(model) = stationed(proof) else { return Answer::default() };
    let judged = match (model.link(), proof.link_plan()) {
        (Ok(link), Some(Ok(plan))) => judge(proof, model, link, plan),
        (_, Some(Err(lack))) => Err(lack.clone()),
        _ => return Answer::default(),
    };
    let answer = judged.unwrap_or_else(|lack| Answer::of(lacking(MODE_SUITS.id, "video mode", &lack)));
    let at = |finding: Finding| finding.at(model.receiver.clone());
    Answer { findings: answer.findings.into_iter().map(at).collect(), ..answer }
}

/// The other modes of the receiver, each with what it gives over the one that is set.
fn others(proof: &Proof, model: &LinkModel, link: &Link) -> Vec<(String, f64)> {
    let Some(receiver) = model.receiver.as_ref().and_then(|place| proof.placed_at(place)) else {
        return Vec::new();
    };
    let rows = receiver.part.rows(&ground::threshold::TABLE);
    let others = rows.filter_map(|row| {
        let name = row.name().filter(|name| !crate::names::same_words(name, &link.threshold.mode))?;
        let level = needed(&receiver.part.item(), &row)?;
        Some((name.to_owned(), (link.threshold.level - level).get()))
    });
    others.collect()
}

/// What a mode needs: as stated, or over the noise.
fn needed(receiver: &Item, row: &Item) -> Option<Dbm> {
    if let Ok(level) = row.read(&ground::threshold::LEVEL) {
        return Some(level.value);
    }
    let width = row.read(&ground::threshold::WIDTH).ok()?.value;
    let figure = receiver.read(&ground::NOISE_FIGURE).ok()?.value;
    let ratio = row.read(&ground::threshold::RATIO).ok()?.value;
    Some(noise_floor(width, figure).ok()? + ratio)
}

fn judge(
    proof: &Proof,
    model: &LinkModel,
    link: &Link,
    plan: &LinkPlan,
) -> Result<Answer, crate::link::Lack> {
    let margin: Linear = proof.link_margin(plan.in_ten)?;
    let judged = standing_of(proof, &margin, 0.0, Unit::Db);
    let (mode, now) = (&link.threshold.mode, plan.in_ten.get());
    let mut others = others(proof, model, link);
    others.sort_by(|a, b| b.1.total_cmp(&a.1));
    let helps: Vec<&(String, f64)> =
        others.iter().filter(|(_, more)| *more > 0.5 && now + more >= 0.0).collect();
    let breaks = judged.verdict == Verdict::Broken;
    if breaks && helps.is_empty() {
        return Ok(Answer::default());
    }
    let verdict = if breaks { Verdict::Broken } else { Verdict::Sound };
    let message = match (verdict, others.as_slice()) {
        (Verdict::Broken, _) => {
            format!(
                "Mode {mode} lacks {} at {} in the worst tenth; another would hold",
                db(-now),
                metres(plan.fly_to)
            )
        }
        (_, []) => format!(
            "Mode {mode} is the only one on the receiver's sheet, and it holds at {}",
            metres(plan.fly_to)
        ),
        (_, others) => {
            let each: Vec<String> = others
                .iter()
                .map(|(name, more)| {
                    let way = if *more >= 0.0 { "more" } else { "less" };
                    format!("{name} would have {} {way}", db(more.abs()))
                })
                .collect();
            format!("Mode {mode} holds at {}; {}", metres(plan.fly_to), listed(&each))
        }
    };
    let id = "link.mode_threshold";
    let needed = Linear { value: link.threshold.level.get(), slopes: link.threshold.leans.clone() };
    let figure = Lines::of(proof).facts(&needed).figure(
        id,
        format!("level that the receiver needs in mode {mode}"),
        (&needed, Unit::Dbm),
        "as stated, or noise floor of the width + figure + ratio over noise",
        MODE_SOURCE,
    );
    let mut finding = judged.finding(MODE_SUITS.id, "video mode", message + &plan.held_words());
    finding.verdict = verdict;
    if verdict == Verdict::Sound {
        // What little is in hand is told of the farthest planned point.
        (finding.certainty, finding.measure_next, finding.no_single_fact) = (None, None, None);
    }
    for (name, more) in helps.into_iter().take(2).filter(|_| breaks) {
        let enough = if now + more >= MARGIN_AT_PLAN.tight { ", enough" } else { "" };
        finding = finding.mend(format!(
            "Set mode {name}: {} more{enough}, for less detail. Neighbours on other channels are not asked here.",
            db(*more)
        ));
    }
    finding.figure = Some(FigureId(id.into()));
    Ok(Answer { findings: vec![finding], figures: vec![figure] })
}

#[cfg(test)]
mod tests {
    use super::MODE_SUITS;
    use crate::testing::set;
    use crate::testing_link::{link_is_sound, link_told};
    use craft::Craft;
    use expect_test::{Expect, expect};

    fn check(spoil: impl FnOnce(&mut Craft), expected: Expect) {
        expected.assert_eq(&link_told(&MODE_SUITS, spoil));
    }

    #[test]
    fn a_mode_that_holds_is_sound() {
        link_is_sound(&MODE_SUITS);
    }

    #[test]
    fn a_mode_that_is_known_over_the_noise_counts_as_well() {
        let told = link_told(&MODE_SUITS, |craft| {
            set(craft, "ground.threshold[1].level", "");
            set(craft, "ground.threshold[1].ratio", "9 dB");
        });
        // −174 dBm/Hz + 73 dB of 20 MHz + 6 dB + 9 dB are −86 dBm, 9 dB more than the other needs.
        assert!(told.contains("detail would have 9 dB less"), "{told}");
    }

    #[test]
    fn one_with_too_much_detail_is_broken() {
        check(
            |craft| {
                set(craft, "craft.video_mode", "detail");
                set(craft, "ground.threshold[1].level", "-88 dBm, measured");
                set(craft, "craft.fly_to", "1300 m");
            },
            expect![[r#"
                broken · video mode · -2.557 dB · 9 %
                  Mode detail lacks 2.6 dB at 1300 m in the worst tenth; another would hold
                  > Set mode smooth: 7 dB more, for less detail. Neighbours on other channels are not asked here.
                  ? No single measurement would change this verdict, nor would two: it is 91 % certain now, and would be 91 % certain with every fact measured.
            "#]],
        );
    }
}
