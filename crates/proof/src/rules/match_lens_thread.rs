//! Does each lens screw into its camera?

use crate::rule::rule;
use crate::{Answer, Finding, Proof, Verdict};
use craft::schema::{PartKind, camera};

rule! {
    /// Does each lens screw into its camera?
    ///
    /// ## Why
    /// A lens with another thread goes in a turn or two, sits askew and strips the holder.
    ///
    /// ## Sound when
    /// Lens and holder have the same thread.
    ///
    /// ## Rests on
    /// The thread of the lens and the thread of the camera's holder. Common practice.
    ///
    /// ## Mend
    /// Take a lens with the holder's thread, or a holder for the lens's thread.
    LENS_THREAD = "match.lens_thread", run
}

fn run(proof: &Proof) -> Answer {
    let mut answer = Answer::default();
    for lens_place in proof.places_of(PartKind::Lens) {
        let Some(under) = proof.part_under(lens_place.place, PartKind::Camera) else { continue };
        let (lens, camera) = (lens_place.part, under.part);
        let subject = format!("{} in {}", lens.name, camera.name);
        let places = [lens_place.place.id.clone(), under.place.id.clone()];
        let finding = match (lens.item().text(&camera::THREAD), camera.item().text(&camera::LENS_THREAD)) {
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
            (thread, holder) => Finding::unknown(
                LENS_THREAD.id,
                subject,
                thread.err().into_iter().chain(holder.err()).collect(),
            ),
        };
        answer.findings.push(finding.at(places));
    }
    answer
}
