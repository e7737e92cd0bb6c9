//! Which lens at hand, or which focal length, brings back a view from bottom to top?
//!
//! At hand are the lenses that lie on the sheet without a place, of the thread the camera takes and with an image circle
//! that reaches the corners of what is read, as far as those are known. Of those that show enough the longest is best: it
//! costs least detail. Where none shows enough, the one that shows most.

use crate::rules::rule_of;
use crate::subject::Sight;
use crate::{Proof, Verdict};
use craft::Part;
use craft::schema::{PartKind, camera};
use optics::View;

/// A lens at hand that shows more.
pub(crate) struct OtherLens<'a> {
    /// The lens.
    pub part: &'a Part,
    /// What it shows from bottom to top, in degrees.
    pub upright: f64,
    /// Its focal length over that of the lens that is on.
    pub focal_share: f64,
    /// What the rule for blades in the picture then says, where it is not sound.
    pub blades: Option<String>,
}

/// The lens at hand that brings the view to what is wanted, or most of the way.
pub(crate) fn other_lens<'a>(proof: &Proof<'a>, sight: &Sight, wanted: f64) -> Option<OtherLens<'a>> {
    let now = sight.looking.angles()[1]?.get();
    let thread = sight.camera()?.part.item().text(&camera::LENS_THREAD).ok();
    let candidates = proof.craft.parts.iter().filter(|part| {
        let own = part.item().text(&camera::THREAD).ok();
        part.kind == PartKind::Lens
            && proof.stands_at(&part.id) == 0
            && (thread.is_none() || own.is_none() || own == thread)
    });
    let shown: Vec<(&Part, f64, f64)> = candidates
        .filter_map(|part| {
            let view: View = sight.looking.through(proof, part)?;
            let angles = view.angles();
            angles.diagonal.ok()?;
            Some((part, angles.vertical.ok()?.get(), view.lens().focal_length().get()))
        })
        .filter(|(_, upright, _)| *upright > now + 1.0)
        .collect();
    let enough = shown.iter().filter(|(_, upright, _)| *upright >= wanted).max_by(|a, b| a.2.total_cmp(&b.2));
    let (part, upright, focal) = *enough.or_else(|| shown.iter().max_by(|a, b| a.1.total_cmp(&b.1)))?;
    let focal_share = focal / sight.looking.focal_length_mm();
    Some(OtherLens { part, upright, focal_share, blades: blades_with(proof, sight, part) })
}

/// What the rule for blades says with another lens on, where that is not sound.
fn blades_with(proof: &Proof, sight: &Sight, part: &Part) -> Option<String> {
    let mut changed = proof.craft.clone();
    changed.places[sight.looking.lens].part = part.id.clone();
    let trial = proof.trial(&changed);
    let lens = &proof.craft.places[sight.looking.lens].id;
    let answer = (rule_of("view.blades_in_picture")?.run)(&trial);
    let finding = answer.findings.into_iter().find(|finding| finding.places.contains(lens))?;
    (finding.verdict != Verdict::Sound).then_some(finding.message)
}
