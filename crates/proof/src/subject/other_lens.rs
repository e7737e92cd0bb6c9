//! Which lens at hand, or which focal length, brings back a view from bottom to top?
//!
//! At hand are the lenses that lie on the sheet without a place, and those that the workshop holds, as far as whoever asked for the
//! proof handed them in; of the thread the camera takes and with an image circle that reaches the corners of what is read, as far
//! as those are known. Of those that show enough the longest is best: it costs least detail. Where none shows enough, the one that
//! shows most. Of equals the sheet's own comes first, then what lies free, then what another craft would have to give.

use crate::rules::rule_of;
use crate::subject::Sight;
use crate::{Proof, Verdict, told_apart};
use craft::Part;
use craft::schema::{PartKind, camera};
use optics::View;

/// A lens at hand that shows more.
pub(crate) struct OtherLens {
    /// What a person calls it, told apart from others of its name.
    pub called: String,
    /// Where it is: `that lies ready`.
    pub lies: String,
    /// What it shows from bottom to top, in degrees.
    pub upright: f64,
    /// Its focal length over that of the lens that is on.
    pub focal_share: f64,
    /// What the rule for blades in the picture then says, where it is not sound.
    pub blades: Option<String>,
}

/// The lens at hand that brings the view to what is wanted, or most of the way.
pub(crate) fn other_lens(proof: &Proof, sight: &Sight, wanted: f64) -> Option<OtherLens> {
    let now = sight.looking.angles()[1]?.get();
    let thread = sight.camera()?.part.item().text(&camera::LENS_THREAD).ok();
    let fits = |part: &Part| {
        let own = part.item().text(&camera::THREAD).ok();
        part.kind == PartKind::Lens && (thread.is_none() || own.is_none() || own == thread)
    };
    let ready = proof.craft.parts.iter().filter(|part| proof.stands_at(&part.id) == 0);
    let ready = ready.map(|part| (part, 0, "that lies ready".to_owned()));
    let beyond = proof.at_hand().iter().filter(|other| proof.craft.part(&other.part.id).is_none());
    let beyond = beyond.map(|other| (&other.part, if other.on.is_empty() { 1 } else { 2 }, other.lies()));
    let shown: Vec<Shown> = ready
        .chain(beyond)
        .filter(|(part, ..)| fits(part))
        .filter_map(|(part, rank, lies)| {
            let view: View = sight.looking.through(proof, part)?;
            let angles = view.angles();
            angles.diagonal.ok()?;
            let (upright, focal) = (angles.vertical.ok()?.get(), view.lens().focal_length().get());
            Some(Shown { part, rank, lies, upright, focal })
        })
        .filter(|shown| shown.upright > now + 1.0)
        .collect();
    let nearer = |a: &Shown, b: &Shown| b.rank.cmp(&a.rank);
    let enough = shown.iter().filter(|shown| shown.upright >= wanted);
    let enough = enough.max_by(|a, b| a.focal.total_cmp(&b.focal).then(nearer(a, b)));
    let most = || shown.iter().max_by(|a, b| a.upright.total_cmp(&b.upright).then(nearer(a, b)));
    let best = enough.or_else(most)?;
    let all = proof.craft.parts.iter().chain(proof.at_hand().iter().map(|other| &other.part));
    Some(OtherLens {
        called: told_apart(best.part, all),
        lies: best.lies.clone(),
        upright: best.upright,
        focal_share: best.focal / sight.looking.focal_length_mm(),
        blades: blades_with(proof, sight, best.part),
    })
}

/// A lens at hand and what it would show.
struct Shown<'p> {
    part: &'p Part,
    /// How near at hand: on the sheet, in the workshop, on another craft.
    rank: u8,
    lies: String,
    upright: f64,
    focal: f64,
}

/// What the rule for blades says with another lens on, where that is not sound.
fn blades_with(proof: &Proof, sight: &Sight, part: &Part) -> Option<String> {
    let mut changed = proof.craft.clone();
    if changed.part(&part.id).is_none() {
        changed.parts.push(part.clone());
    }
    changed.places[sight.looking.lens].part = part.id.clone();
    let trial = proof.trial(&changed);
    let lens = &proof.craft.places[sight.looking.lens].id;
    let answer = (rule_of("view.blades_in_picture")?.run)(&trial);
    let finding = answer.findings.into_iter().find(|finding| finding.places.contains(lens))?;
    (finding.verdict != Verdict::Sound).then_some(finding.message)
}
