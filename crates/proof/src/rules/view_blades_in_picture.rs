//! Do the blades stay out of the picture?

use crate::limits::{BLADES_IN_PICTURE as LIMIT, CAMERA_FORWARD_MAX, CAMERA_LIFT_MAX, CAMERA_TILT_MAX};
use crate::numbers::{legible, rounded};
use crate::rule::rule;
use crate::standing::standing;
use crate::subject::{BladeShare, CameraMove, Hindrance, blade_share, clears, hindrances};
use crate::working::Lines;
use crate::{Answer, LensView, Proof, Verdict};
use craft::schema::PartKind;
use optics::{ViewAngles, whereabouts};
use quantity::{FigureId, Linear, Unit};

rule! {
    /// Do the blades stay out of the picture?
    ///
    /// ## Why
    /// Blades that turn in the picture flicker, draw the eye away from the gap ahead, and take detail from the rest: the
    /// unit spends its bits on what changes most.
    ///
    /// ## Sound when
    /// The discs the blades sweep fill at most 2 % of the picture; more is tight, over 6 % broken. Of the picture, what
    /// lies within the image circle counts; what stands before a disc hides it.
    ///
    /// ## Rests on
    /// Focal length and projection of the lens; pixel pitch and pixels of the sensor, or its diagonal; the camera's first
    /// picture mode; where the front of the lens stands and how it is tilted; the discs. The image circle, where it is
    /// known: without it the whole picture counts. Limits are common practice.
    ///
    /// ## Mend
    /// Move the camera forward, lift it, or tilt it up: the finding says how much of each alone serves, and leaves out
    /// what would break something else of the fit. Tilting up lowers the blades in the picture. Where no movement is
    /// free: a lens of longer focal length, or smaller blades.
    BLADES_IN_PICTURE = "view.blades_in_picture", run
}

fn run(proof: &Proof) -> Answer {
    let mut answer = Answer::default();
    if proof.places_of(PartKind::Blades).next().is_none() {
        return answer;
    }
    for view in proof.lens_views() {
        match view {
            Ok(view) => judge(proof, view, &mut answer),
            Err(unseen) => answer.findings.push(unseen.finding(BLADES_IN_PICTURE.id)),
        }
    }
    answer
}

fn judge(proof: &Proof, view: &LensView, answer: &mut Answer) {
    let BladeShare { share, shares } = blade_share(proof, view);
    let judged = standing(proof, &share, &LIMIT);
    let verdict = judged.verdict;
    let percent = legible(share.value, 1);
    let place = whereabouts(&shares.by_ninth(|n| view.is_blades[n]));
    let all = shares.of_all(|_| true).get();
    let mut message = match &place {
        Some(place) => format!("Blades fill {percent} % of the picture, {place}"),
        None => "No blade stands in the picture".to_owned(),
    };
    // Less than is worth a word is not told.
    let rest = rounded(all - share.value, 1);
    if rest != "0" {
        message += &format!("; the rest of the craft fills {rest} %");
    }
    let mut mends = Vec::new();
    if verdict != Verdict::Sound && !proof.is_trial() {
        mends.push(mend(proof, view));
    }
    let figure = figure(proof, view, &share, all);
    let mut finding = judged.finding(BLADES_IN_PICTURE.id, view.subject.clone(), message);
    finding.mends = mends;
    if verdict == Verdict::Tight {
        finding = finding.measured_first();
    }
    finding.figure = Some(FigureId(figure.id.0.clone()));
    let places = [view.lens, view.camera].map(|number| proof.craft.places[number].id.clone());
    answer.findings.push(finding.at(places));
    answer.figures.push(figure);
}

/// What to do: each way alone serves, and breaks nothing else.
fn mend(proof: &Proof, view: &LensView) -> String {
    let limit = legible(LIMIT.tight, 0);
    let moves = clears(view).moves();
    if moves.is_empty() {
        return format!(
            "No {} mm forward, {} mm up or {}° more tilt alone brings the blades under {limit} %: take a lens of \
             longer focal length, or a frame whose front arms are swept back.",
            legible(CAMERA_FORWARD_MAX.get(), 0),
            legible(CAMERA_LIFT_MAX.get(), 0),
            legible(CAMERA_TILT_MAX.get(), 0),
        );
    }
    let hindered = hindrances(proof, view, &moves);
    let free = moves.iter().zip(&hindered).filter(|(_, hindered)| hindered.is_none());
    let told = |(n, by): (usize, &CameraMove)| {
        let camera = if n == 0 { "the camera" } else { "it" };
        match by {
            CameraMove::Forward(by) => format!("move {camera} {} mm forward", legible(*by, 1)),
            CameraMove::Lift(by) => format!("lift {camera} {} mm", legible(*by, 1)),
            CameraMove::Tilt(by) => format!("tilt {camera} {}° more", legible(*by, 1)),
        }
    };
    let told: Vec<String> = free.map(|(by, _)| by).enumerate().map(told).collect();
    let sentence = match told.as_slice() {
        [] => return all_hindered(&hindered),
        [one] => one.clone(),
        [first @ .., last] => format!("{}, or {last}", first.join(", ")),
    };
    let mut letters = sentence.chars();
    let capital: String = letters.next().into_iter().flat_map(char::to_uppercase).collect();
    format!("{capital}{}: that alone brings the blades under {limit} %.", letters.as_str())
}

/// What stops each way, and what is left to do.
fn all_hindered(hindered: &[Option<Hindrance>]) -> String {
    let hindered: Vec<&Hindrance> = hindered.iter().flatten().collect();
    let words: Vec<&str> = hindered.iter().map(|hindrance| hindrance.words.as_str()).collect();
    let cage = if hindered.iter().any(|hindrance| hindrance.short_cage) { ", a longer cage" } else { "" };
    format!(
        "Take a lens of longer focal length, smaller blades{cage}, or a frame whose front arms are swept back: moving \
         the camera alone does not serve ({}).",
        words.join("; ")
    )
}

fn figure(proof: &Proof, view: &LensView, share: &Linear, all: f64) -> quantity::Figure {
    let lens = view.view.lens();
    let area = view.view.area();
    let mut lines = Lines::of(proof);
    for fact in view.facts(proof) {
        lines = lines.fact(fact);
    }
    let read = match &view.mode {
        Some(mode) => format!("sensor, cut to the mode {mode:?}"),
        None => "sensor".to_owned(),
    };
    lines = lines
        .given("width in use", area.width().get(), Unit::Millimetres, read.clone())
        .given("height in use", area.height().get(), Unit::Millimetres, read)
        .given("tilt of the lens axis", view.tilt.get(), Unit::Degrees, "where the camera stands");
    let ViewAngles { horizontal, vertical, diagonal } = view.view.angles();
    let whole = format!("{} projection", lens.projection_word());
    for (label, angle) in [
        ("view across", horizontal),
        ("view from bottom to top", vertical),
        ("view from corner to corner", diagonal),
    ] {
        if let Ok(angle) = angle {
            lines = lines.given(label, angle.get(), Unit::Degrees, whole.clone());
        }
    }
    let lit =
        if view.circle_known { "within the image circle" } else { "image circle not known: all counts" };
    lines = lines.given("the craft fills, all in all", all, Unit::Percent, lit).facts(share);
    lines.figure(
        format!("view.blades_in_picture[{}]", proof.craft.places[view.lens].id),
        "how much of the picture blades fill",
        (share, Unit::Percent),
        "share = area on the sensor whose rays meet a swept disc before anything else / area that is lit",
        LIMIT.source,
    )
}

#[cfg(test)]
#[path = "view_blades_in_picture_tests.rs"]
mod tests;
