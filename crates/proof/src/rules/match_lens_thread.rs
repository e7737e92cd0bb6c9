//! Does each lens screw into its camera?

use crate::limits::{BARREL_SPARE, HEAD_SPARE};
use crate::names::called;
use crate::numbers::mm;
use crate::rule::rule;
use crate::standing::standing_of;
use crate::{Answer, Finding, Placed, Proof, Verdict};
use craft::schema::{PartKind, camera};

rule! {
    /// Does each lens screw into its camera?
    ///
    /// ## Why
    /// A lens with another thread goes in a turn or two, sits askew and strips the holder. A barrel longer
    /// than the holder meets the filter before the picture is sharp; a head wider than the body's
    /// window cannot be turned in at all.
    ///
    /// ## Sound when
    /// Lens and holder have the same thread, the barrel is no longer than the holder is deep and the head
    /// passes the body's window. A barrel too long or a head too wide is tight: focus may still be found
    /// part of the way in.
    ///
    /// ## Rests on
    /// The thread of the lens and of the camera's holder; barrel length, holder depth, head and window where
    /// they are given. Common practice.
    ///
    /// ## Mend
    /// Take a lens with the holder's thread, or a holder for the lens's thread.
    LENS_THREAD = "match.lens_thread", run
}

fn run(proof: &Proof) -> Answer {
    let mut answer = Answer::default();
    for lens in proof.places_of(PartKind::Lens) {
        let Some(camera) = proof.part_under(lens.place, PartKind::Camera) else { continue };
        let places = [lens.place.id.clone(), camera.place.id.clone()];
        let judged = std::iter::once(thread(proof, lens, camera))
            .chain(barrel(proof, lens, camera))
            .chain(head(proof, lens, camera));
        answer.findings.extend(judged.map(|finding| finding.at(places.clone())));
    }
    answer
}

fn thread(proof: &Proof, lens: Placed, camera: Placed) -> Finding {
    let subject = format!("{} in {}", called(proof, lens), called(proof, camera));
    match (lens.part.item().text(&camera::THREAD), camera.part.item().text(&camera::LENS_THREAD)) {
        (Ok(thread), Ok(holder)) if thread == holder => Finding::new(
            LENS_THREAD.id,
            Verdict::Sound,
            subject,
            format!("Lens and holder are both {holder}"),
        ),
        (Ok(thread), Ok(holder)) => Finding::new(
            LENS_THREAD.id,
            Verdict::Broken,
            subject,
            format!("The lens is {thread}, the holder {holder}: it will not screw in"),
        )
        .mend(format!("Take a lens with {holder}, or a holder with {thread}.")),
        (thread, holder) => {
            Finding::unknown(LENS_THREAD.id, subject, thread.err().into_iter().chain(holder.err()).collect())
        }
    }
}

/// Says something only where both lengths are known and the barrel may be too long.
fn barrel(proof: &Proof, lens: Placed, camera: Placed) -> Option<Finding> {
    let barrel = lens.part.item().read(&camera::BARREL).ok()?;
    let depth = camera.part.item().read(&camera::HOLDER_DEPTH).ok()?;
    let room = proof.lean(&depth) - proof.lean(&barrel);
    let mut standing = standing_of(proof, &room, BARREL_SPARE.tight, BARREL_SPARE.unit);
    if standing.verdict == Verdict::Sound {
        return None;
    }
    standing.verdict = Verdict::Tight;
    let (barrel, depth) = (barrel.value.get(), depth.value.get());
    let message = format!(
        "The barrel is {}, the holder {} deep: the lens may meet the filter before the picture is sharp",
        mm(barrel),
        mm(depth)
    );
    let subject = format!("barrel of {} in {}", called(proof, lens), called(proof, camera));
    Some(standing.finding(LENS_THREAD.id, subject, message).mend(format!(
        "Turn the lens in by hand and stop at the first touch, or take one whose barrel is at most {}.",
        mm(depth)
    )))
}

/// Says something only where both diameters are known and the head may not pass.
fn head(proof: &Proof, lens: Placed, camera: Placed) -> Option<Finding> {
    let head = lens.part.item().read(&camera::HEAD_DIAMETER).ok()?;
    let window = camera.part.item().read(&camera::LENS_WINDOW).ok()?;
    let room = proof.lean(&window) - proof.lean(&head);
    let mut standing = standing_of(proof, &room, HEAD_SPARE.tight, HEAD_SPARE.unit);
    if standing.verdict == Verdict::Sound {
        return None;
    }
    standing.verdict = Verdict::Tight;
    let (head, window) = (head.value.get(), window.value.get());
    let message = format!(
        "The head is {} across, the window {}: it may not go in far enough to focus",
        mm(head),
        mm(window)
    );
    let subject = format!("head of {} in {}", called(proof, lens), called(proof, camera));
    Some(
        standing
            .finding(LENS_THREAD.id, subject, message)
            .mend(format!("Take a lens with a head of at most {}, or open the window.", mm(window))),
    )
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use crate::testing::{is_sound, names_missing, set, told};
    use craft::Craft;
    use expect_test::{Expect, expect};

    fn check(spoil: impl FnOnce(&mut Craft), expected: Expect) {
        expected.assert_eq(&told(&LENS_THREAD, spoil));
    }

    #[test]
    fn a_lens_with_the_holders_thread_is_sound() {
        is_sound(&LENS_THREAD);
    }

    #[test]
    fn another_thread_is_broken() {
        check(
            |craft| set(craft, "lens.thread", "M12x0.5"),
            expect![[r#"
            broken · Siskin wide lens in Siskin nano camera
              The lens is M12x0.5, the holder M8x0.5: it will not screw in
              > Take a lens with M8x0.5, or a holder with M12x0.5.
        "#]],
        );
    }

    #[test]
    fn an_unknown_thread_is_named() {
        names_missing(
            &LENS_THREAD,
            "cam.lens_thread",
            "Siskin wide lens in Siskin nano camera",
            r#"lens thread of "Siskin nano camera""#,
        );
    }

    #[test]
    fn a_barrel_longer_than_the_holder_is_tight() {
        check(
            |craft| set(craft, "lens.barrel", "6.1 mm, data sheet"),
            expect![[r#"
            tight · barrel of Siskin wide lens in Siskin nano camera · -0.1 mm · 33 %
              The barrel is 6.1 mm, the holder 6 mm deep: the lens may meet the filter before the picture is sharp
              > Turn the lens in by hand and stop at the first touch, or take one whose barrel is at most 6 mm.
              ? barrel length of "Siskin wide lens"
            sound · Siskin wide lens in Siskin nano camera
              Lens and holder are both M8x0.5
        "#]],
        );
    }

    #[test]
    fn a_head_wider_than_the_window_is_tight() {
        check(
            |craft| set(craft, "lens.head_diameter", "14 mm, measured"),
            expect![[r#"
            tight · head of Siskin wide lens in Siskin nano camera · -2 mm · 0 %
              The head is 14 mm across, the window 12 mm: it may not go in far enough to focus
              > Take a lens with a head of at most 12 mm, or open the window.
            sound · Siskin wide lens in Siskin nano camera
              Lens and holder are both M8x0.5
        "#]],
        );
    }
}
