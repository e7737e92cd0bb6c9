//! Is the sharpness setting moderate?

use crate::names::called;
use crate::numbers::legible;
use crate::rule::rule;
use crate::standing::standing;
use crate::view_limits::SHARPNESS as LIMIT;
use crate::{Answer, Finding, Proof, Verdict};
use craft::schema::{PartKind, place};

rule! {
    /// Is the sharpness setting moderate?
    ///
    /// ## Why
    /// Sharpening adds no detail: it draws halos on edges, makes moving leaves crawl, and lifts noise, and the encoder wastes
    /// its bits on all three, so blocks come earlier. Too little makes twigs and gate edges soft.
    ///
    /// ## Sound when
    /// It stands at 60 % of its scale or lower; over 80 % is broken. Most pictures want 20 to 40 %, less over grass and in
    /// low light.
    ///
    /// ## Rests on
    /// The sharpness setting that the camera's place says. What grows at a flying place is not known here and is left out:
    /// over open ground more does less harm. Common practice.
    ///
    /// ## Mend
    /// Turn it down to 30 %, look at leaves in the wind, and go on from there.
    SHARPNESS_SETTING = "view.sharpness_setting", run
}

/// Under so much of its scale edges are soft, in per cent. Common practice: most pictures want 20 to 40.
const SOFT: f64 = 15.0;

fn run(proof: &Proof) -> Answer {
    let judge = |camera| {
        let finding = judge(proof, camera);
        finding.at([camera.place.id.clone()])
    };
    Answer { findings: proof.places_of(PartKind::Camera).map(judge).collect(), figures: Vec::new() }
}

fn judge(proof: &Proof, camera: crate::Placed) -> Finding {
    let subject = called(proof, camera);
    let setting = match camera.place.item().read(&place::SHARPNESS) {
        Ok(setting) => proof.lean(&setting),
        Err(missing) => return Finding::unknown(SHARPNESS_SETTING.id, subject, vec![missing]),
    };
    let judged = standing(proof, &setting, &LIMIT);
    let at = legible(setting.value, 0);
    let message = match judged.verdict {
        Verdict::Sound if setting.value < SOFT => {
            format!(
                "Sharpness stands at {at} % of its scale: nothing crawls, but twigs and edges of gates stay soft"
            )
        }
        Verdict::Sound => format!("Sharpness stands at {at} % of its scale"),
        _ => format!(
            "Sharpness stands at {at} % of its scale: leaves and noise eat the bit rate, and blocks come earlier"
        ),
    };
    let sound = judged.verdict == Verdict::Sound;
    let finding = judged.finding(SHARPNESS_SETTING.id, subject, message);
    if sound { finding } else { finding.mend("Turn it down to 30 %, and lower over grass and in low light.") }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use crate::testing::set;
    use crate::testing_view::{view_is_sound, view_told};
    use craft::Craft;
    use expect_test::{Expect, expect};

    fn check(spoil: impl FnOnce(&mut Craft), expected: Expect) {
        expected.assert_eq(&view_told(&SHARPNESS_SETTING, spoil));
    }

    #[test]
    fn a_moderate_setting_is_sound() {
        view_is_sound(&SHARPNESS_SETTING);
    }

    #[test]
    fn too_little_is_sound_and_soft() {
        check(
            |craft| set(craft, "place cam.sharpness", "5 %"),
            expect![[r#"
            sound · nano camera · 75 % · 100 %
              Sharpness stands at 5 % of its scale: nothing crawls, but twigs and edges of gates stay soft
        "#]],
        );
    }

    #[test]
    fn a_high_setting_feeds_leaves_to_the_encoder() {
        check(
            |craft| set(craft, "place cam.sharpness", "70 %"),
            expect![[r#"
            tight · nano camera · 10 % · 100 %
              Sharpness stands at 70 % of its scale: leaves and noise eat the bit rate, and blocks come earlier
              > Turn it down to 30 %, and lower over grass and in low light.
        "#]],
        );
        check(
            |craft| set(craft, "place cam.sharpness", "90 %"),
            expect![[r#"
            broken · nano camera · -10 % · 0 %
              Sharpness stands at 90 % of its scale: leaves and noise eat the bit rate, and blocks come earlier
              > Turn it down to 30 %, and lower over grass and in low light.
        "#]],
        );
    }

    #[test]
    fn the_setting_must_be_known() {
        check(
            |craft| set(craft, "place cam.sharpness", ""),
            expect![[r#"
            unknown · nano camera
              Nobody can say yet: the sharpness setting of place "cam" is not known
              > Measure or look up the sharpness setting of place "cam".
        "#]],
        );
    }
}
